package verdict

import (
	"context"
	"slices"

	"winnow/internal/shop"
	"winnow/internal/shop/plan"
	"winnow/internal/study/airflow"
	"winnow/internal/study/doubt"
	"winnow/internal/study/gates"
	"winnow/internal/study/power"
	"winnow/internal/study/roomair"
	"winnow/internal/unit"
)

// Circuits is the study of the circuits in full: with cures that are edits, and the airflow that each system's fan moves at
// most over the usual settings. A system that could not be solved is left to the study's own guess. try may be nil: then
// no cure is an edit.
func Circuits(ctx context.Context, filled *shop.Shop, layout *plan.Layout, try shop.Trial) (power.Report, error) {
	fans := fansOf(ctx, filled, layout, nil)
	flow := func(system shop.ID) (unit.M3PerSec, bool) {
		q, ok := fans[system]
		return q.Best, ok
	}
	return power.Study(ctx, filled, power.Options{Trial: try, Flow: flow, Arrangement: layout.Arrangement})
}

// fansOf is the most that each system's fan moves over the usual settings; with a belief, with its range in the setting where
// it moves most. What could not be solved is left out.
func fansOf(ctx context.Context, filled *shop.Shop, layout *plan.Layout, belief *doubt.Belief) roomair.Fans {
	results, _, err := airflow.Study(ctx, filled, layout, nil, airflow.Settings(filled))
	if err != nil {
		return nil
	}
	if belief == nil {
		return roomair.FansOf(results)
	}
	best := map[shop.ID]airflow.Result{}
	for _, r := range results {
		if have, ok := best[r.System]; r.Solved && (!ok || r.Fan.Flow > have.Fan.Flow) {
			best[r.System] = r
		}
	}
	var sets []airflow.Setting
	for _, r := range results { // in the order of the file
		if b := best[r.System]; r.Solved && b.Fan.Flow == r.Fan.Flow {
			sets = append(sets, r.Setting)
			delete(best, r.System)
		}
	}
	ranged, _, err := airflow.Study(ctx, filled, layout, belief, sets)
	if err != nil {
		return roomair.FansOf(results)
	}
	return roomair.FansOf(append(results, ranged...))
}

// Air is the study of the room's air in full: every option's airflow is solved again, with the filters as they are.
func Air(ctx context.Context, filled *shop.Shop, belief *doubt.Belief, try shop.Trial) roomair.Answer {
	return air(ctx, filled, belief, try, false)
}

func air(ctx context.Context, filled *shop.Shop, belief *doubt.Belief, try shop.Trial, brief bool) roomair.Answer {
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
	layout, _ := plan.Of(filled, "")
	return roomair.Study(roomair.Input{Shop: filled, Try: try, Belief: belief, Airflow: flow, Fans: fansOf(ctx, filled, layout, belief), Brief: brief})
}

// Ways asks the airflow study which gates stand open for one machine.
func Ways(filled *shop.Shop, layout *plan.Layout) gates.Ways {
	models, _ := airflow.Models(filled, layout)
	return func(machine, setup, place shop.ID) []gates.Way {
		set := airflow.Setting{Running: []airflow.Running{{Machine: machine, Setup: setup, Place: place}}}
		var ways []gates.Way
		for _, m := range models {
			if len(m.Ports(set)) == 0 {
				continue
			}
			w := gates.Way{System: m.System()}
			for _, p := range m.Result(set, nil).Ports {
				w.Clears = max(w.Clears, p.Clears.High)
			}
			for _, g := range m.Gates(set) {
				if g.Open {
					w.Open = append(w.Open, g.Gate)
				}
			}
			ways = append(ways, w)
		}
		return ways
	}
}

// Permit joins air and current: chips must keep moving in every pipe that is open, and no breaker may trip.
func Permit(filled *shop.Shop, layout *plan.Layout) gates.Permit {
	current := power.Permit(filled)
	models, _ := airflow.Models(filled, layout)
	slow := &shop.Code{Name: gates.SlowSet}
	return func(running []shop.ID) (bool, *shop.Code) {
		set := airflow.Setting{}
		all := slices.Clone(running)
		for _, m := range running {
			set.Running = append(set.Running, airflow.Running{Machine: m})
		}
		weak := false
		for _, m := range models {
			if len(m.Ports(set)) == 0 {
				continue
			}
			all = append(all, m.System())
			r := m.Result(set, nil)
			weak = weak || !r.Solved
			for _, p := range r.Pieces {
				weak = weak || !p.Shut && p.Chips >= airflow.ExpectSettling
			}
			for _, p := range r.Ports {
				weak = weak || p.Verdict == airflow.Short || p.Verdict == airflow.MuchTooShort
			}
		}
		ok, why := current(all)
		switch {
		case !ok:
			return false, why
		case weak:
			return true, slow
		case why == power.CodeTrips:
			return true, why // the file says to warn only
		}
		return true, nil
	}
}
