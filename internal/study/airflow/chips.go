package airflow

import (
	"winnow/internal/physics/air"
	"winnow/internal/physics/network"
	"winnow/internal/shop/plan"
	"winnow/internal/shop/typical"
	"winnow/internal/unit"
)

// Moves says what chips do in a pipe or hose.
type Moves uint8

// From nothing to the worst.
const (
	NoChips Moves = iota // none pass here
	KeepsMoving
	MaySettle
	ExpectSettling
	WillDrop
)

func (m Moves) String() string {
	return [...]string{"", "keeps moving", "may settle", "expect settling", "will drop"}[m]
}

// MarshalText writes the words.
func (m Moves) MarshalText() ([]byte, error) { return []byte(m.String()), nil }

// floors are the speeds at which what a machine makes keeps moving in a level pipe, in standard air: the middle of the
// published design range for its kind of dust (ACGIH transport velocities: wood flour 12 to 15, light shavings 15 to 20,
// sawdust 20 m/s; the German rule on wood dust 20 m/s for all). Correlations for chips in air give 5 to 10 m/s, which is why
// slower pipes often still work; practice is not relaxed for that. Source [S-212].
var floors = map[string]unit.MPerSec{"fine dust": 13.5, "shavings": 17.5}

// DryChips is the floor for dry chips and sawdust, and for whatever is not known. Source [S-212].
const DryChips unit.MPerSec = 20

// floorOf is the highest floor of what the machines make.
func floorOf(forms []string) unit.MPerSec {
	var most unit.MPerSec
	for _, f := range forms {
		floor, ok := floors[f]
		if !ok {
			floor = DryChips
		}
		most = max(most, floor)
	}
	if most == 0 {
		return DryChips
	}
	return most
}

// upright is the share of the floor that keeps chips moving straight up: twice the fall speed of large shavings, 2·5 m/s
// of 20. Judgement. Source [S-213].
const upright = 0.5

// shortPiece is the length in bores below which chips fly through a slow piece with the speed they have. Judgement.
// Source [S-213].
const shortPiece = 10

// movesIn judges a piece. At the floor and above chips keep moving; from 0.75 of it they may settle, from 0.5 expect it,
// below they will drop. The two lower bounds are judgement. An upright piece is judged by twice the fall speed of large
// shavings instead, and a short one a step milder. Thin air carries less: the floor grows with √(1.2/ρ).
func movesIn(v, floor unit.MPerSec, goes plan.Goes, lengthOverBore float64, a air.State) Moves {
	need := float64(floor) * a.ThinAirSpeed()
	if goes.Upright() {
		need *= upright
	}
	moves := WillDrop
	switch share := float64(v) / need; {
	case share >= 1:
		return KeepsMoving
	case share >= 0.75:
		return MaySettle
	case share >= 0.5:
		moves = ExpectSettling
	}
	if lengthOverBore < shortPiece {
		moves--
	}
	return moves
}

// What chips in the air cost while a planer, jointer or shaper cuts. With μ the mass of chips over that of air: friction grows by
// (1 + 0.35·μ), and bringing the chips up to 0.7 of the air's speed takes 2·μ·0.7 velocity pressures at the mouth. Source [S-215].
const (
	loadFriction = 0.35
	loadSlip     = 0.7
	// whileCutting is how many times the hour's mean rate comes off while the cutter is in the wood: 7.7 L/min for a bench planer
	// against 120 L in an hour of work. Arithmetic on trade figures. Source [S-215].
	whileCutting = 3.85
)

// chipLoad is μ at a mouth whose machine makes shavings, reckoned at its chips need; 0 for all others.
func (m *Model) chipLoad(mo mouth, set Setting) float64 {
	if m.formAt(mo, set) != "shavings" {
		return 0
	}
	machine := m.shop.Machine(mo.port.Machine)
	running, _ := set.of(mo.port.Machine)
	setup := setupOf(machine, running.Setup)
	rate := machine.Makes.Rate.Best
	if setup.Makes.Rate.Best > 0 {
		rate = setup.Makes.Rate.Best
	}
	need := float64(needsOf(machine, mo.port.Port, setup).Chips.Best)
	chips, ok := typical.ChipsOf("shavings")
	if !ok || need <= 0 {
		return 0
	}
	return whileCutting * float64(rate) * float64(chips.Bulk.Best) / (need * float64(m.air.Density))
}

// loads are the chip loads by element: of its own mouth up to the first wye, beyond which the air of others thins them.
func (m *Model) loads(set Setting) map[int]float64 {
	var loads map[int]float64
	for _, mo := range m.portsOf(set) {
		mu := m.chipLoad(mo, set)
		if mu == 0 {
			continue
		}
		if loads == nil {
			loads = map[int]float64{}
		}
		for _, n := range append(append([]int(nil), mo.elements...), mo.run.elements...) {
			if m.elements[n].join >= 0 {
				break
			}
			loads[n] = mu
		}
	}
	return loads
}

// withChips is a law while chips pass.
func withChips(law network.Law, g Group, mu float64) network.Law {
	if mu == 0 {
		return law
	}
	switch {
	case law.Kind == network.Duct:
		law.FrictionScale *= 1 + loadFriction*mu
	case law.Kind == network.Loss && g == Mouth:
		law.K += 2 * mu * loadSlip
	}
	return law
}

// Clearing is how long the last chips take from a port to the fan: 1.3 to 2 times the air's own way, ΣL/V, as chips lag behind.
// Source [S-215].
type Clearing struct {
	Low  unit.Second `json:"low_s"`
	High unit.Second `json:"high_s"`
}

func (m *Model) clearing(mo mouth, sol network.Solution) Clearing {
	var t float64
	for _, n := range m.way(mo) {
		if e := &m.elements[n]; e.length > 0 && e.bore > 0 && n != m.fan {
			if v := float64(m.speed(n, sol)); v > 0 {
				t += float64(e.length) / v
			}
		}
	}
	return Clearing{unit.Second(1.3 * t), unit.Second(2 * t)}
}
