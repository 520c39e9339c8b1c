package gates

import (
	"testing"

	"winnow/internal/refcase"
	"winnow/internal/shop"
	"winnow/internal/study/power"
)

// Rule 20: the trip verdict is monotone in current. What a breaker does not hold for some machines, it does not hold for more.
func TestWhatTripsForSomeTripsForMore(t *testing.T) {
	refusals := 0
	for _, path := range []string{"examples/carport.yaml", "examples/garden-shed.yaml", "examples/millrace.yaml", "testdata/shop/whole.yaml"} {
		s := shopOf(t, string(refcase.Open(t, path)))
		permit := power.Permit(s)
		n := min(len(s.Machines), 8)
		held := make([]bool, 1<<n)
		for set := range held {
			var running []shop.ID
			for i := range n {
				if set>>i&1 == 1 {
					running = append(running, s.Machines[i].Name)
				}
			}
			held[set], _ = permit(running)
			if !held[set] {
				refusals++
			}
			for i := range n {
				if less := set &^ (1 << i); less != set && held[set] && !held[less] {
					t.Errorf("%s: refused without %s, permitted with it: %v", path, s.Machines[i].Name, running)
				}
			}
		}
	}
	if refusals == 0 {
		t.Error("no set was refused: nothing was tested")
	}
}
