package particle

import "winnow/internal/unit"

// Residue is what wood becomes, by the room it takes.
type Residue uint8

// The residues of the published table.
const (
	Sawdust Residue = iota
	Shavings
	ChipsLoose
	ChipsCompacted
	HogFuel
)

// Bulking returns how much room a residue takes over the solid wood it came from [-]: sawdust 2.5, planer shavings
// 4.0, chips 2.5 to 2.86. ±20 %; blown-in shavings can be looser. Source [S-363].
func (r Residue) Bulking() unit.Number {
	return [...]unit.Number{Sawdust: 2.5, Shavings: 4.0, ChipsLoose: 2.86, ChipsCompacted: 2.5, HogFuel: 2.74}[r]
}

// Loose returns the loose volume of a residue from the solid volume taken off [m³]. Source [S-363].
func (r Residue) Loose(solid unit.M3) unit.M3 { return solid * unit.M3(r.Bulking()) }
