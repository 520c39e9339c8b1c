package duct

import (
	"math"

	"winnow/internal/physics/air"
	"winnow/internal/unit"
)

// Separator is a kind of pre-separator, in the shop file's words.
type Separator string

// Kinds of separator.
const (
	Cyclone      Separator = "cyclone"
	SmallCyclone Separator = "small cyclone" // on a pail, for vacuums
	BaffleLid    Separator = "baffle lid"
	PlainLid     Separator = "lid" // a lid with two spigots
)

// separatorHeads holds the loss in *inlet* velocity pressures: low, best, high.
var separatorHeads = map[Separator]struct {
	k   [3]float64
	src string
}{
	Cyclone:      {[3]float64{5.6, 8, 10.4}, srcCyclone},
	SmallCyclone: {[3]float64{5.6, 8, 10.4}, srcCyclone},
	BaffleLid:    {[3]float64{1.5, 3, 5}, srcLid},
	PlainLid:     {[3]float64{1.5, 3, 5}, srcLid},
}

// SeparatorLoss returns the loss of a separator on the velocity pressure of its *inlet*, which is often smaller than the hose; a
// rectangular inlet counts by the bore of the same area (On). Cyclone 8 ±30 %, lid or baffle 3 (1.5 to 5). inlet 3 to 2000 cm², else
// an *air.RangeError; an unknown kind is an *UnknownError. Leaves out chips in the air (they lower it a little). Source [S-097], [S-098].
func SeparatorLoss(kind Separator, inlet unit.M2) (Coefficient, error) {
	h, ok := separatorHeads[kind]
	if !ok {
		return Coefficient{}, &UnknownError{What: "make of separator", Given: string(kind), Known: []string{
			string(Cyclone), string(SmallCyclone), string(BaffleLid), string(PlainLid),
		}}
	}
	if err := air.Check("inlet of the separator", float64(inlet), 3e-4, 0.2, "m²"); err != nil {
		return Coefficient{}, err
	}
	return Coefficient{
		K: h.k[1], Low: h.k[0], High: h.k[2], Basis: unit.Assumed, Source: h.src,
		What: string(kind), On: BoreOfArea(inlet),
	}, nil
}

// CycloneHeads returns the loss of a cyclone with a tangential inlet in inlet velocity pressures, Shepherd and Lapple:
//
//	NH = 16·H·W/De²
//
// inlet height H, inlet width W and outlet bore De. The 16 was found between 12 and 18. Source [S-097], from memory.
func CycloneHeads(height, width, outlet unit.Metre) Coefficient {
	k := 16 * float64(height) * float64(width) / sq(float64(outlet))
	return Coefficient{
		K: k, Low: k * 12 / 16, High: k * 18 / 16, Basis: unit.Assumed, Source: srcCyclone, What: "cyclone",
		On: BoreOfArea(unit.M2(height) * unit.M2(width)),
	}
}

// LossAtFlow turns "this pressure at this flow" into a coefficient on a bore, so that it goes with the square of the flow and with
// density: K = Δp/(ρ/2·(Q/A)²), ρ the air it was measured in. Both above 0, else an *air.RangeError. Range ±15 % of one reading.
func LossAtFlow(p unit.Pascal, q unit.M3PerSec, bore unit.Metre, density unit.KgPerM3, what string) (Coefficient, error) {
	if err := air.Check("pressure", float64(p), 0, 50e3, "Pa"); err != nil {
		return Coefficient{}, err
	}
	if err := air.Check("flow", float64(q), 1e-5, 20, "m³/s"); err != nil {
		return Coefficient{}, err
	}
	v := float64(q) / area(bore)
	k := float64(p) / (0.5 * float64(density) * v * v)
	return Coefficient{K: k, Low: 0.85 * k, High: 1.15 * k, Basis: unit.Given, Source: srcGiven, What: what, On: bore}, nil
}

// BoreOfArea returns the bore of a round pipe of this area, √(4A/π): for speeds in a rectangular inlet. Not for friction.
func BoreOfArea(a unit.M2) unit.Metre { return unit.Metre(math.Sqrt(4 * float64(a) / math.Pi)) }

// AreaOfBore returns π·D²/4.
func AreaOfBore(bore unit.Metre) unit.M2 { return unit.M2(area(bore)) }
