package airflow

import (
	"context"
	"runtime"
	"sync"

	"winnow/internal/shop"
	"winnow/internal/shop/plan"
	"winnow/internal/study/doubt"
	"winnow/internal/unit"
)

// Study solves every setting on every system that has a part in it, in the order of the settings and then of the
// systems. b may be nil: then only the best estimate is computed, without ranges. Settings are shared out to as many
// workers as there are processors; the answer does not depend on how many. A cancelled context ends it early with its error.
func Study(ctx context.Context, s *shop.Shop, l *plan.Layout, b *doubt.Belief, sets []Setting) ([]Result, []shop.Finding, error) {
	models, findings := Models(s, l)
	results, err := Solve(ctx, models, b, sets)
	return results, findings, err
}

// Models builds every system of the shop; what could not be built is told and left out.
func Models(s *shop.Shop, l *plan.Layout) ([]*Model, []shop.Finding) {
	var models []*Model
	var findings []shop.Finding
	for _, y := range s.Systems {
		m, found := Build(s, l, y.Name)
		findings = append(findings, found...)
		if m != nil {
			models = append(models, m)
		}
	}
	return models, findings
}

// Solve solves every setting on every model that has a part in it. See Study.
func Solve(ctx context.Context, models []*Model, b *doubt.Belief, sets []Setting) ([]Result, error) {
	type job struct{ model, set, slot int }
	var jobs []job
	for i, set := range sets {
		for j, m := range models {
			if m.hasPart(set) {
				jobs = append(jobs, job{j, i, len(jobs)})
			}
		}
	}
	for _, m := range models {
		if b != nil {
			m.draw(b, doubt.Samples) // once, before the models are cloned
		}
	}
	results := make([]Result, len(jobs))
	next := make(chan job)
	var wg sync.WaitGroup
	var broke sync.Once
	var panicked any // a fault of ours in a worker is handed to the caller's goroutine, whose face knows what to say
	for range min(runtime.GOMAXPROCS(0), len(jobs)) {
		wg.Go(func() {
			defer func() {
				if p := recover(); p != nil {
					broke.Do(func() { panicked = p })
					for range next { // let the others end
					}
				}
			}()
			own := make([]*Model, len(models))
			for j := range next {
				if own[j.model] == nil {
					own[j.model] = models[j.model].Clone()
				}
				results[j.slot] = own[j.model].ranged(ctx, sets[j.set], b)
			}
		})
	}
	for _, j := range jobs {
		if ctx.Err() != nil {
			break
		}
		next <- j
	}
	close(next)
	wg.Wait()
	if panicked != nil {
		panic(panicked)
	}
	return results, ctx.Err()
}

// ranged is the result of a setting with the range of every number that is uncertain.
func (m *Model) ranged(ctx context.Context, set Setting, b *doubt.Belief) Result {
	r := m.Result(set, b)
	if b == nil || !r.Solved {
		return r
	}
	ports := m.portsOf(set)
	gets := make([][]float64, len(ports))
	speeds := make([][]float64, len(r.Pieces))
	var fan []float64
	for sample := 1; sample <= doubt.Samples; sample++ {
		if sample%64 == 0 && ctx.Err() != nil {
			return r
		}
		sol := m.Solve(set, b, sample, doubt.Samples)
		if !sol.Status.Solved() {
			r.Unsolved++
			continue
		}
		for i, mo := range ports {
			gets[i] = append(gets[i], float64(sol.Flow[mo.first]))
		}
		fan = append(fan, float64(sol.Flow[m.elements[m.fan].link]))
		for i, p := range r.Pieces {
			if !p.Shut {
				speeds[i] = append(speeds[i], float64(m.speed(p.element, sol)))
			}
		}
	}
	for i := range r.Ports {
		p := &r.Ports[i]
		if r.Unsolved == 0 {
			gets[i] = doubt.Steady(gets[i], m.keyDraws)
		}
		p.Chance = chance(gets[i], p.NeedsChips)
		p.ChanceFine = chance(gets[i], p.NeedsFine)
		p.Samples = append([]float64(nil), gets[i]...)
		if len(gets[i]) > 0 {
			range90 := doubt.RangeOf(gets[i])
			p.Range = &range90
		}
		p.Verdict = VerdictOf(p.Gets, p.NeedsChips, p.Chance)
		p.VerdictFine = VerdictOf(p.Gets, p.NeedsFine, p.ChanceFine)
	}
	for i := range r.Pieces {
		if p := &r.Pieces[i]; !p.Shut && len(speeds[i]) > 0 {
			range90 := doubt.RangeOf(speeds[i])
			p.Range = &range90
			p.ChipsLow = m.moves(*p, unit.MPerSec(range90.Low))
		}
	}
	if len(fan) > 0 {
		range90 := doubt.RangeOf(fan)
		r.Fan.Range = &range90
	}
	return r
}

func chance(samples []float64, need unit.M3PerSec) float64 {
	if need <= 0 || len(samples) == 0 {
		return -1
	}
	return doubt.Chance(samples, float64(need))
}

// portsOf are the mouths that draw air in a setting.
func (m *Model) portsOf(set Setting) []mouth {
	var on []mouth
	for _, mo := range m.mouths {
		if m.drawing(mo, set) {
			on = append(on, mo)
		}
	}
	return on
}
