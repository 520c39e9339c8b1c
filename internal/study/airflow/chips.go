package airflow

import (
	"winnow/internal/physics/air"
	"winnow/internal/shop/plan"
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
