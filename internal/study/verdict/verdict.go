// Package verdict is the owner's answer: it prepares the shop, runs the studies there are, ranks what they found, says
// what would help, what was not looked at, and what would be most worth finding out.
//
// It refuses to know text and units: findings carry numbers in SI, remedies carry edits. Start reading at Prepare, then Of.
package verdict

import (
	"cmp"
	"context"
	"slices"

	"winnow/internal/shop"
	"winnow/internal/shop/plan"
	"winnow/internal/shop/typical"
	"winnow/internal/study/airflow"
	"winnow/internal/study/doubt"
	"winnow/internal/study/power"
	"winnow/internal/study/roomair"
	"winnow/internal/unit"
)

// Ready is a shop prepared for every study: filled, laid out, with the belief about its doubts.
type Ready struct {
	Shop    *shop.Shop
	Layout  *plan.Layout
	Belief  *doubt.Belief
	Assumed []shop.Finding // what was filled in
	Laid    []shop.Finding // what the plan found

	Notes []shop.Finding // what the file alone says

	roomSaid bool // the owner said something of the room or of a usual week: else its air is anybody's guess
}

// Prepare fills, lays out and believes. known may be nil: the prior.
func Prepare(s *shop.Shop, known *doubt.Belief) *Ready {
	return PrepareArranged(s, "", known)
}

// PrepareArranged is Prepare for one arrangement; the empty name is the first.
func PrepareArranged(s *shop.Shop, arrangement shop.ID, known *doubt.Belief) *Ready {
	r := &Ready{Belief: known}
	if r.Belief == nil {
		r.Belief = doubt.Prior()
	}
	r.roomSaid = s.Room.Height.Basis == unit.Given || len(s.Routine.HoursPerWeek) > 0
	r.Notes = shop.Notes(s)
	r.Shop, r.Assumed = typical.Fill(s)
	r.Layout, r.Laid = plan.Of(r.Shop, arrangement)
	return r
}

// Verdict is the whole answer.
type Verdict struct {
	Results  []airflow.Result
	Capped   int // settings that were left out because there are too many
	Ports    []Port
	Findings []shop.Finding // of airflow and the plan
	Worth    []Worth
	Power    *power.Report   // nil where the file names no circuits
	Air      *roomair.Answer // as `winnow air` gives it, but for the owner's own options
	Other    []shop.Finding  // problems and warnings of power and air
}

// Port is one port at its worst: the setting in which it gets the least share of its need.
type Port struct {
	Result   *airflow.Result
	Port     *airflow.PortResult
	Remedies []shop.Remedy
}

// Of runs the studies. try may be nil: then nothing is proposed. A cancelled context returns what there is so far and its error.
func Of(ctx context.Context, r *Ready, try shop.Trial) (Verdict, error) {
	var v Verdict
	room := r.breathed(ctx) // worked out beside the rest, which it does not need
	sets, left := airflow.EverySetting(r.Shop)
	v.Capped = left
	results, findings, err := airflow.Study(ctx, r.Shop, r.Layout, r.Belief, sets)
	v.Results = results
	v.Findings = append(slices.Clone(r.Laid), findings...)
	v.Findings = append(v.Findings, r.Notes...)
	v.Findings = append(v.Findings, Loud(r.Assumed)...) // a kind that is not known, a size nobody sells
	if err != nil {
		return v, err
	}
	if err := v.otherArrangements(ctx, r, sets); err != nil {
		return v, err
	}
	v.Findings = append(v.Findings, airflow.Judge(r.Shop, r.Layout, v.Results)...)
	v.Ports = worstOf(v.Results)
	if try != nil {
		for i := range v.Ports {
			p := &v.Ports[i]
			if p.Port.Verdict == airflow.Works || p.Port.Verdict == airflow.Unknown {
				continue
			}
			if err := ctx.Err(); err != nil {
				return v, err
			}
			var limits []shop.Finding
			p.Remedies, limits = airflow.Remedies(ctx, r.Shop, r.layoutOf(p.Result.Setting), *p.Result, p.Port.Port, airflow.Settings(r.Shop), try)
			v.Findings = append(v.Findings, limits...)
		}
	}
	v.Worth = worthFinding(r, v.Ports)
	Rank(v.Findings)
	return v, v.otherStudies(ctx, r, try, room)
}

// layoutOf is the layout in which a setting was studied.
func (r *Ready) layoutOf(s airflow.Setting) *plan.Layout {
	if s.Arrangement == "" || s.Arrangement == r.Layout.Arrangement {
		return r.Layout
	}
	l, _ := plan.Of(r.Shop, s.Arrangement)
	return l
}

// breathed begins the study of the room's air, where the owner said anything of the room. The owner's own options stand with
// the airflow they change.
func (r *Ready) breathed(ctx context.Context) <-chan roomair.Answer {
	out := make(chan roomair.Answer, 1) // nobody may wait for it any more
	if r.roomSaid {
		go func() { out <- air(ctx, r.Shop, r.Belief, nil, true) }()
	}
	return out
}

// otherStudies adds what the circuits and the room's air say.
func (v *Verdict) otherStudies(ctx context.Context, r *Ready, try shop.Trial, room <-chan roomair.Answer) error {
	if len(r.Shop.Circuits) > 0 {
		report, err := power.Study(ctx, r.Shop, power.Options{Trial: try, Arrangement: r.Layout.Arrangement})
		if err != nil {
			return err
		}
		v.Power = &report
		v.Other = append(v.Other, Loud(report.Findings)...)
	}
	if err := ctx.Err(); err != nil || !r.roomSaid {
		return err
	}
	var a roomair.Answer
	select {
	case a = <-room:
	case <-ctx.Done():
		return ctx.Err()
	}
	v.Air = &a
	if slices.ContainsFunc(a.Findings, func(f shop.Finding) bool {
		return f.Code == roomair.CodeFlame || f.Code == roomair.CodeBesideFlame || f.Code == roomair.CodeAskFlame
	}) { // the room's air knows how hard the flue is pulled at: once is enough
		v.Other = slices.DeleteFunc(v.Other, func(f shop.Finding) bool { return f.Code == power.CodeFlame })
	}
	v.Other = append(v.Other, Loud(a.Findings)...)
	Rank(v.Other)
	return ctx.Err()
}

// Loud leaves the notes out.
func Loud(fs []shop.Finding) []shop.Finding {
	return slices.DeleteFunc(slices.Clone(fs), func(f shop.Finding) bool { return f.Code.Severity == shop.Note })
}

// otherArrangements studies the layouts beyond the first in which the air has another way: where a length or an angle that is
// drawn comes out otherwise. A machine that is away then is left out.
func (v *Verdict) otherArrangements(ctx context.Context, r *Ready, sets []airflow.Setting) error {
	for i, a := range r.Shop.Arrangements {
		if i == 0 {
			continue
		}
		layout, findings := plan.Of(r.Shop, a.Name)
		for _, f := range findings {
			if !slices.ContainsFunc(v.Findings, func(g shop.Finding) bool { return g.Code == f.Code && g.Where == f.Where }) {
				f.In = a.Name
				v.Findings = append(v.Findings, f)
			}
		}
		if sameWay(r.Layout, layout) {
			continue
		}
		var there []airflow.Setting
		for _, set := range sets {
			away := slices.ContainsFunc(set.Running, func(x airflow.Running) bool {
				m := layout.Machine(x.Machine)
				return m != nil && m.Away
			})
			if !away {
				set.Arrangement = a.Name
				there = append(there, set)
			}
		}
		results, _, err := airflow.Study(ctx, r.Shop, layout, r.Belief, there)
		v.Results = append(v.Results, results...)
		if err != nil {
			return err
		}
	}
	return nil
}

// sameWay reports whether the air meets the same lengths and angles in two layouts.
func sameWay(a, b *plan.Layout) bool {
	return slices.EqualFunc(a.Pieces, b.Pieces, func(p, q plan.PieceLayout) bool {
		return p.Path == q.Path && p.Length.Best == q.Length.Best && p.Turn.Best == q.Turn.Best
	})
}

// worstOf is every port once, in the setting in which it fares worst, the worst port first.
func worstOf(results []airflow.Result) []Port {
	var ports []Port
	for i := range results {
		r := &results[i]
		for j := range r.Ports {
			p := &r.Ports[j]
			k := slices.IndexFunc(ports, func(x Port) bool { return x.Port.Port == p.Port })
			switch {
			case k < 0:
				ports = append(ports, Port{Result: r, Port: p})
			case worse(p, ports[k].Port):
				ports[k].Result, ports[k].Port = r, p
			}
		}
	}
	slices.SortStableFunc(ports, func(a, b Port) int { return cmp.Compare(airflow.ShareOf(*a.Port), airflow.ShareOf(*b.Port)) })
	return ports
}

func worse(a, b *airflow.PortResult) bool { return airflow.ShareOf(*a) < airflow.ShareOf(*b)*(1-1e-9) }

// Rank puts the worst findings first and keeps their order within a severity.
func Rank(fs []shop.Finding) {
	slices.SortStableFunc(fs, func(a, b shop.Finding) int { return cmp.Compare(b.Code.Severity, a.Code.Severity) })
}

// Worth is a thing that was assumed and that the answer hangs on.
type Worth struct {
	What  string // the part or kind, in words
	Path  shop.Path
	Share float64 // of the doubt about the port's airflow
	Port  shop.PortRef
}

// worthFinding names, for the ports whose verdict is open, which assumption makes most of the doubt.
func worthFinding(r *Ready, ports []Port) []Worth {
	var all []Worth
	for _, p := range ports {
		if c := p.Port.Chance; c < 0 || c > 0.95 || c < 0.05 {
			continue // no reading would change the verdict
		}
		for _, d := range airflow.DoubtOf(r.Shop, r.layoutOf(p.Result.Setting), r.Belief, *p.Result, *p.Port) {
			all = append(all, Worth{What: d.What, Path: d.Path, Share: d.Share, Port: p.Port.Port})
		}
	}
	slices.SortStableFunc(all, func(a, b Worth) int { return cmp.Compare(b.Share, a.Share) })
	return all[:min(len(all), 5)]
}
