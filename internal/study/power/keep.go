package power

import (
	"fmt"

	"winnow/internal/physics/circuit"
	"winnow/internal/shop"
	"winnow/internal/unit"
)

// This file holds every move of a plug to what the rules and the limits say today: none may be broken that is kept, or broken worse.

// slightly is what a sum of currents may be off by rounding.
const slightly = 1 + 1e-9

// overOne is how far a load is over what a circuit allows one load, as a share of it; 0 within it, or where that is not certain.
func (g *Grid) overOne(l *Load, c int) float64 {
	if c < 0 || !g.lines[c].known {
		return 0
	}
	most := g.lines[c].breaker.Rating
	if m, speaks := g.onePlug(c, l); speaks {
		most = m
	}
	if l.least <= most*slightly {
		return 0
	}
	return float64(l.least / most)
}

// worstSums are the most that comes together on a circuit in any set, as far as it is certain: all by the rules, and what can run three hours.
func (g *Grid) worstSums(c int) (all, long unit.Ampere) {
	for _, s := range g.sets {
		a := g.addUp(g.on(c, s.loads))
		all, long = max(all, a.least), max(long, a.longLeast)
	}
	return all, long
}

// ceilings are what may come together on each circuit under a plan: what the rules allow, or what comes together today where that is more.
func (g *Grid) ceilings() (all, long []unit.Ampere) {
	for c := range g.lines {
		a, l := g.worstSums(c)
		r := g.lines[c].breaker.Rating
		all, long = append(all, max(a, r)), append(long, max(l, circuit.MostContinuous(r)))
	}
	return all, long
}

// under is the same shop with its loads on other circuits.
func (g *Grid) under(at []int) *Grid {
	own := *g
	own.memo = map[question]Held{}
	own.loads = make([]*Load, len(g.loads))
	for i, l := range g.loads {
		k := *l
		if k.circuit = at[i]; k.circuit >= 0 && k.circuit != l.circuit {
			k.Circuit = g.lines[k.circuit].name
			own.voltages(&k)
		}
		own.loads[i] = &k
	}
	return &own
}

// newlyBroken names what a change of plugs breaks that is kept today, or breaks worse: rules first, then limits.
func (g *Grid) newlyBroken(before *Grid) []string {
	var out []string
	for i, l := range g.loads {
		if was := before.loads[i]; l.circuit >= 0 && g.overOne(l, l.circuit) > before.overOne(was, was.circuit)*slightly {
			most := g.lines[l.circuit].breaker.Rating
			if m, speaks := g.onePlug(l.circuit, l); speaks {
				most = m
			}
			out = append(out, fmt.Sprintf("the %s, %s, is over the %s that circuit %s allows one plug", l.Name, unit.Print(l.least, unit.SI), unit.Print(most, unit.SI), g.lines[l.circuit].name))
		}
	}
	all, long := before.ceilings()
	for c := range g.lines {
		a, l := g.worstSums(c)
		name := g.lines[c].name
		if g.lines[c].known && a > all[c]*slightly {
			out = append(out, fmt.Sprintf("all that may run at once on circuit %s comes to %s by the rules, over its %s", name, unit.Print(a, unit.SI), unit.Print(g.lines[c].breaker.Rating, unit.SI)))
		}
		if most := circuit.MostContinuous(g.lines[c].breaker.Rating); g.lines[c].known && l > long[c]*slightly {
			out = append(out, fmt.Sprintf("what can run for hours on circuit %s comes to %s, over %s", name, unit.Print(l, unit.SI), unit.Print(most, unit.SI)))
		}
	}
	was := map[string]float64{}
	for _, l := range before.limits() {
		if l.OK == No {
			was[l.What] = float64(l.Has / l.Allows)
		}
	}
	for _, l := range g.limits() {
		if l.OK == No && float64(l.Has/l.Allows) > was[l.What]*slightly {
			out = append(out, fmt.Sprintf("%s: %s where %s are allowed", l.What, unit.Print(l.Has, unit.SI), unit.Print(l.Allows, unit.SI)))
		}
	}
	return out
}

// newlyWeak names what is advice, not a rule, and worse for a load in its new place: volts on the way, the pull at its start.
func (l *Load) newlyWeak(was *Load, supply, wasSupply unit.Volt) string {
	far := func(l *Load, v unit.Volt) bool {
		return l.AtRun > 0 && v > 0 && unit.Fraction((v-l.AtRun)/v) > circuit.DropWhole
	}
	weak := func(l *Load) bool { return l.motor && l.StartTorque > 0 && l.StartTorque < weakTorque }
	switch {
	case weak(l) && !weak(was):
		return "; it starts weakly there"
	case far(l, supply) && !far(was, wasSupply):
		return "; the way there takes over 5 % of its volts"
	}
	return ""
}

// tier is what is asked of a plan beside what its breakers do.
type tier struct {
	ask   level
	is    Outcome
	rules bool // no rule and no limit worse than today
	reach bool // only plugs moved whose cord reaches, or is not known to fail to
}

// tiers in the order they are tried: a plan is sought that holds, keeps the rules and needs no longer cord, and then what comes nearest.
func (s *seeker) tiers() []tier {
	var out []tier
	for _, rules := range [2]bool{true, false} {
		for _, t := range []tier{{ask: mustHold, is: AllHold}, {ask: mustNotTrip, is: NoneTrips}} {
			t.rules = rules
			if rules && s.someFar() {
				t.reach = true
				out = append(out, t)
				t.reach = false
			}
			out = append(out, t)
		}
	}
	return out
}

// someFar tells whether any cord is known not to reach a circuit.
func (s *seeker) someFar() bool {
	for i, can := range s.all {
		for _, c := range can {
			if c != s.start[i] && !s.near[c].has(i) {
				return true
			}
		}
	}
	return false
}

// set takes up a tier; false where it leaves a load that is plugged in nowhere without a circuit.
func (s *seeker) set(t tier) bool {
	s.ask, s.rules, s.reach, s.passed = t.ask, t.rules, t.reach, map[question]bool{}
	s.order = s.order[:0:0]
	whole := true
	for i, l := range s.g.loads {
		s.can[i] = nil
		for _, c := range s.all[i] {
			if c == s.start[i] || (!t.reach || s.near[c].has(i)) && (!t.rules || s.g.overOne(l, c) <= s.g.overOne(l, s.start[i])*slightly) {
				s.can[i] = append(s.can[i], c)
			}
		}
		if l.Known && len(s.all[i]) > 0 {
			whole = whole && len(s.can[i]) > 0
			if len(s.can[i]) > 0 {
				s.order = append(s.order, i)
			}
		}
	}
	s.sortOrder()
	s.twins = s.alike()
	return whole
}

// alike finds circuits that judge alike, allow alike and take the same plugs, so that an empty one need not be tried twice.
func (s *seeker) alike() []int {
	out := s.g.twins()
	takes := make([]mask, len(out))
	for i, can := range s.can {
		for _, c := range can {
			takes[c].put(i)
		}
	}
	for c, d := range out {
		if takes[c] != takes[d] || s.most[c] != s.most[d] || s.mostLong[c] != s.mostLong[d] {
			out[c] = c
		}
	}
	return out
}

// keeps tells whether what comes together on a circuit in one set is within its ceilings.
func (s *seeker) keeps(c int, on mask) bool {
	if !s.rules || !s.g.lines[c].known {
		return true
	}
	a := s.g.addUp(on)
	return a.least <= s.most[c]*slightly && a.longLeast <= s.mostLong[c]*slightly
}

// breaksWords names beside a move what it would break.
func breaksWords(broken []string) shop.Arg {
	if len(broken) == 0 {
		return shop.Word("breaks", "")
	}
	return shop.Word("breaks", "; but a rule is broken by it: "+list(broken))
}
