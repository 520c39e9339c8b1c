package verdict

import (
	"context"

	"winnow/internal/shop"
	"winnow/internal/shop/plan"
	"winnow/internal/study/airflow"
	"winnow/internal/study/doubt"
	"winnow/internal/study/power"
	"winnow/internal/study/roomair"
	"winnow/internal/unit"
)

// Circuits is the study of the circuits in full: with cures that are edits, and the airflow that each system's fan moves at
// most over the usual settings. A system that could not be solved is left to the study's own guess. try may be nil: then
// no cure is an edit.
func Circuits(ctx context.Context, filled *shop.Shop, layout *plan.Layout, try shop.Trial) (power.Report, error) {
	most := map[shop.ID]unit.M3PerSec{}
	results, _, err := airflow.Study(ctx, filled, layout, nil, airflow.Settings(filled))
	if err == nil {
		for _, r := range results {
			if r.Solved {
				most[r.System] = max(most[r.System], r.Fan.Flow)
			}
		}
	}
	flow := func(system shop.ID) (unit.M3PerSec, bool) {
		q, ok := most[system]
		return q, ok
	}
	return power.Study(ctx, filled, power.Options{Trial: try, Flow: flow})
}

// Air is the study of the room's air in full: every option's airflow is solved again, with the filters as they are.
func Air(ctx context.Context, filled *shop.Shop, belief *doubt.Belief, try shop.Trial) roomair.Answer {
	flow := func(s *shop.Shop) roomair.Airflow {
		l, _ := plan.Of(s, "")
		sets := airflow.Settings(s)
		for i := range sets {
			sets[i].Filter = airflow.AsIs
		}
		results, _, err := airflow.Study(ctx, s, l, nil, sets)
		if err != nil { // the study then takes it from the needs, and says so
			return nil
		}
		return roomair.Gets(results)
	}
	return roomair.Study(roomair.Input{Shop: filled, Try: try, Belief: belief, Airflow: flow})
}
