package airflow

import (
	"fmt"
	"testing"
)

// Facts of the trade, common practice, no source. They come out of the physics with the usual values; nothing is tuned to
// them.

func TestASmallCollectorCannotFeedAPlanerThroughALongHose(t *testing.T) {
	for _, claim := range []string{"500 cfm", "600 cfm"} {
		s, l := ready(t, hoseShop("{rating: {free air: "+claim+", shut-off: 6.3 inH2O}}", "{hose: 20 ft, bends: 90°}"))
		for _, state := range []FilterState{Clean, Due} {
			if q := gets(t, study(t, s, l, alone("planer", state)), "planer"); q >= 350 {
				t.Errorf("sold at %s, 20 ft of 4 in hose, %s: %.0f cfm, and 350 to 400 cannot be", claim, state, q)
			}
		}
	}
}

func TestACollectorSoldAt1200CanFeedAPlanerThroughALongHose(t *testing.T) {
	s, l := ready(t, hoseShop("{rating: {free air: 1200 cfm, shut-off: 9.5 inH2O}}", "{hose: 15 ft, bends: 90°}"))
	if q := gets(t, study(t, s, l, alone("planer", Clean)), "planer"); q < 350 {
		t.Errorf("sold at 1200 cfm, 15 ft of 4 in hose: %.0f cfm, and 350 to 400 can be had", q)
	}
}

func TestAShopVacuumNeverFeedsAPlaner(t *testing.T) {
	for _, length := range []string{"3 ft", "8 ft"} {
		s, l := ready(t, fmt.Sprintf(`winnow: 1
machines:
  planer: {kind: thickness planer, port: {size: 2 1/2 in, needs: {chips: 400 cfm}}}
systems:
  vacuum:
    kind: vacuum
    fan: {rating: {free air: 180 cfm, shut-off: 60 inH2O}, tested: as sold}
    runs: {main: {from: planer, size: 2 1/2 in, kind: ribbed hose, pieces: [{hose: %s}]}}
`, length))
		if q := gets(t, study(t, s, l, alone("planer", Clean)), "planer"); q > 200 {
			t.Errorf("a vacuum with %s of hose gives the planer %.0f cfm", length, q)
		}
	}
}
