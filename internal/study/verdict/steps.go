package verdict

import (
	"cmp"
	"slices"

	"winnow/internal/shop"
	"winnow/internal/study/airflow"
	"winnow/internal/study/power"
	"winnow/internal/study/roomair"
	"winnow/internal/unit"
)

// About is the study that a step comes from.
type About string

// The studies that propose acts.
const (
	OfAirflow About = "airflow"
	OfPower   About = "power"
	OfAir     About = "air"
)

// Step is an act for the whole shop: what it does to every port, to a circuit, or to what is breathed.
type Step struct {
	shop.Remedy
	About   About
	Because *shop.Finding  // of power: what it cures
	Reaches []shop.PortRef // ports that get what their chips need by it, and do not today
	Less    roomair.Span   // of air: what is breathed then, over today
}

// Steps picks what to do next: the best act of all, the best of another study, and one that costs money,
// for the port that is worst off where that reaches it; at most three. An act that several ports ask for is one step with all their gains.
func Steps(v Verdict) []Step {
	steps := slices.Concat(powerSteps(v.Power), airflowSteps(v.Ports), airSteps(v.Air))
	slices.SortStableFunc(steps, func(a, b Step) int {
		return cmp.Or(cmp.Compare(a.rank(), b.rank()), cmp.Compare(len(b.Reaches), len(a.Reaches)), cmp.Compare(b.gain(), a.gain()))
	})
	var chosen []Step
	take := func(fits func(Step) bool) bool {
		i := slices.IndexFunc(steps, fits)
		if i >= 0 {
			chosen = append(chosen, steps[i])
			steps = slices.Delete(steps, i, i+1)
		}
		return i >= 0
	}
	take(func(Step) bool { return true })
	if len(chosen) == 0 {
		return nil
	}
	take(func(s Step) bool { return s.About != chosen[0].About && s.Free })
	worst, any := worstPort(v.Ports)
	reaches := func(s Step) bool { return any && slices.Contains(s.Reaches, worst) && !s.hurts() }
	if slices.ContainsFunc(chosen, reaches) || !take(func(s Step) bool { return !s.Free && reaches(s) }) {
		take(func(s Step) bool { return !s.Free })
	}
	for len(chosen) < 3 && take(func(s Step) bool { return s.rank() < little || len(s.Reaches) > 0 && !s.hurts() }) {
	}
	slices.SortStableFunc(chosen, func(a, b Step) int { return cmp.Compare(price(a), price(b)) })
	return chosen
}

// worstPort is the short one that gets the least share of its need: what an owner reads first must not go without an act.
func worstPort(ports []Port) (shop.PortRef, bool) {
	var worst *airflow.PortResult
	for _, p := range ports {
		if short(p) && (worst == nil || airflow.ShareOf(*p.Port) < airflow.ShareOf(*worst)) {
			worst = p.Port
		}
	}
	if worst == nil {
		return shop.PortRef{}, false
	}
	return worst.Port, true
}

func short(p Port) bool {
	return p.Port.Verdict == airflow.Short || p.Port.Verdict == airflow.MuchTooShort
}

func price(s Step) int {
	if s.Free {
		return 0
	}
	return 1
}

// little is the rank from which a free act does too little to fill a card with.
const little = 4

// rank: a breaker that opens stops the work, so it comes first; then what costs nothing and is enough; money last. A tenth less to
// breathe, or a tenth of a need, is worth a card: judgement.
func (s Step) rank() int {
	switch {
	case s.About == OfPower && s.Because.Code.Severity == shop.Problem:
		return 0
	case s.Free && len(s.Reaches) > 0 && !s.hurts():
		return 1
	case s.About == OfAir && s.Free && s.Less.Median < 0.9:
		return 2
	case s.About == OfAirflow && s.Free && s.gain() > 0.1:
		return 3
	case s.Free:
		return little
	case len(s.Reaches) > 0 && !s.hurts():
		return 5
	}
	return 6
}

// hurts says whether another port has less than its need by it, and a twentieth of the need less than today: less is within
// the doubt. Judgement.
func (s Step) hurts() bool {
	return slices.ContainsFunc(s.Effects, func(e shop.Effect) bool {
		return e.After < e.NeedsAfter && e.After/e.NeedsAfter < e.Before/e.NeedsBefore-0.05
	})
}

// gain is how much nearer to their needs all ports come that lack something, or how much less is breathed.
func (s Step) gain() float64 {
	if s.About == OfAir {
		return 1 - s.Less.Median
	}
	sum := 0.0
	for _, e := range s.Effects {
		sum += min(1, float64(e.After/e.NeedsAfter)) - min(1, float64(e.Before/e.NeedsBefore))
	}
	return sum
}

// powerSteps are the free cures that are edits, one a finding: what wants an electrician is said at the finding itself.
func powerSteps(r *power.Report) []Step {
	if r == nil {
		return nil
	}
	var out []Step
	for i := range r.Findings {
		f := &r.Findings[i]
		if f.Code.Severity == shop.Note {
			continue
		}
		at := slices.IndexFunc(f.Remedies, func(m shop.Remedy) bool { return m.Free && len(m.Edits) > 0 })
		if at >= 0 {
			out = append(out, Step{Remedy: f.Remedies[at], About: OfPower, Because: f})
		}
	}
	return out
}

func airflowSteps(ports []Port) []Step {
	var out []Step
	index := map[string]int{}
	for _, p := range ports {
		if !short(p) {
			continue // it gets enough as it is
		}
		for _, r := range p.Remedies {
			key := r.Sentence(unit.SI) // edits hold pointers; the same act says the same
			i, have := index[key]
			if !have {
				i = len(out)
				index[key] = i
				out = append(out, Step{Remedy: r, About: OfAirflow})
				out[i].Effects = nil
			}
			out[i].add(r.Effects)
			if own := r.Effects[0]; own.After >= own.NeedsAfter {
				out[i].Reaches = append(out[i].Reaches, own.Port)
			}
		}
	}
	return out
}

// add joins effects: of a port that two of them name, the one worked out for it stands first in its list and counts.
func (s *Step) add(effects []shop.Effect) {
	for i, e := range effects {
		at := slices.IndexFunc(s.Effects, func(have shop.Effect) bool { return have.Port == e.Port })
		switch {
		case at < 0:
			s.Effects = append(s.Effects, e)
		case i == 0:
			s.Effects[at] = e
		}
	}
}

func airSteps(a *roomair.Answer) []Step {
	if a == nil {
		return nil
	}
	var out []Step
	for _, o := range a.Options {
		if o.Withheld == "" && o.Inhalable.Median < 0.985 {
			out = append(out, Step{Remedy: o.Remedy, About: OfAir, Less: o.Inhalable})
		}
	}
	return out
}
