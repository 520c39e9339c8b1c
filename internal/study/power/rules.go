package power

import (
	"winnow/internal/physics/circuit"
	"winnow/internal/shop"
	"winnow/internal/unit"
)

// Word is yes, no, or not known: unknown is its own state.
type Word string

// The three answers of a rule or a limit.
const (
	Yes      Word = "yes"
	No       Word = "no"
	NotKnown Word = "not known"
)

// Rule is one row of "may it be loaded so", by the published rules of a family.
type Rule struct {
	Circuit shop.ID     `json:"circuit"`
	Load    string      `json:"load"` // what it is about
	Rule    string      `json:"rule"` // in words
	Has     unit.Ampere `json:"has_a"`
	Most    unit.Ampere `json:"most_a"`
	OK      Word        `json:"ok"`
	Source  string      `json:"source"`
	Edition string      `json:"edition"`
	code    *shop.Code
	where   shop.Path
	said    string // how it comes to what it has, in words
}

// editions says which numbering the US rows follow.
const editions = "NEC 2011 to 2020 numbering; 2023 moves 210.23(A) to 210.23(B)"

// rules asks of every circuit whether it may be loaded so. A continuous load is one that can run three hours: collectors, cleaners
// and what is always on; a machine is not.
func (g *Grid) rules() []Rule {
	var out []Rule
	for c := range g.lines {
		ln := &g.lines[c]
		members := g.onCircuit(c)
		if !ln.known || len(members) == 0 {
			continue
		}
		for _, l := range members {
			out = append(out, g.single(c, l)...)
		}
		if r, ok := g.added(c); ok {
			out = append(out, r)
		}
		if g.family == circuit.UL489 {
			out = append(out, g.continuous(c, members)...)
			out = append(out, g.fastened(c, members)...)
		}
	}
	return out
}

func (g *Grid) onCircuit(c int) []*Load {
	var out []*Load
	for _, l := range g.loads {
		if l.circuit == c {
			out = append(out, l)
		}
	}
	return out
}

// single judges one load against its circuit: 80 % where it is one of several plugs on 15 or 20 A, else the rating.
func (g *Grid) single(c int, l *Load) []Rule {
	ln := &g.lines[c]
	r := Rule{
		Circuit: ln.name, Load: l.Name, Most: ln.breaker.Rating, where: l.where, code: CodeOverRating, said: l.rated(),
		Rule: "one load is not rated over its circuit", Source: "S-321", Edition: editions,
	}
	if g.family == circuit.IEC60898 {
		r.Source, r.Edition = "S-328", editionIEC
	} else if m, one := g.onePlug(c, l); one {
		r.Most, r.code = m, CodePlugOverEighty
		r.Rule = "one plugged load on a 15 or 20 A circuit with two or more outlets: at most 80 % of it"
	}
	r.Has, r.OK = l.compared(r.Most)
	switch {
	case l.Known && r.OK == NotKnown:
		r.code, r.said = CodeReadPlate, l.asked()
	case r.Has > ln.breaker.Rating:
		r.code = CodeOverRating
	}
	return []Rule{r}
}

const editionIEC = "IEC 60364; national rules differ"

// onePlug is the most of one plugged load among several outlets; false where that rule does not speak.
func (g *Grid) onePlug(c int, l *Load) (unit.Ampere, bool) {
	if g.family != circuit.UL489 || l.fastened {
		return 0, false
	}
	return circuit.MostOnePlug(g.lines[c].breaker.Rating, len(g.lines[c].outlets))
}

// allowed compares a load with what is allowed. No only where what is certain is over it, as an estimate proves nothing.
func allowed(known bool, has, least, most unit.Ampere) Word {
	switch over := most * (1 + 1e-9); {
	case least > over:
		return No
	case !known || has > over:
		return NotKnown
	}
	return Yes
}

// sum is what loads that may run at once come to by the rules: as rated, and what of it is certain. What is switched by hand is not in it.
type sum struct {
	has, least unit.Ampere
	longLeast  unit.Ampere // of what can run three hours, as it is rated
	known      bool
	long       bool // some of it counts at 125 %
	names      []string
}

// addUp adds loads up as the rules do: in the US what can run three hours counts at 125 % [S-320].
func (g *Grid) addUp(on mask) sum {
	s := sum{known: true}
	var other, long, otherLeast, longLeast unit.Ampere
	on.each(func(i int) {
		l := g.loads[i]
		if l.byHand {
			return
		}
		s.names = append(s.names, l.Name)
		s.known = s.known && l.Known
		if l.long && g.family == circuit.UL489 {
			s.long = true
			long, longLeast = long+l.Rated, longLeast+l.least
		} else {
			other, otherLeast = other+l.Rated, otherLeast+l.least
		}
	})
	s.has, s.least, s.longLeast = circuit.LeastRating(other, long), circuit.LeastRating(otherLeast, longLeast), longLeast
	return s
}

// added judges all that may run at once on a circuit, in the set where it comes to the most. One load alone has a row of its own.
func (g *Grid) added(c int) (Rule, bool) {
	ln := &g.lines[c]
	var worst sum
	for _, s := range g.sets {
		if a := g.addUp(g.on(c, s.loads)); a.least > worst.least || a.least == worst.least && a.has > worst.has {
			worst = a
		}
	}
	if len(worst.names) < 2 {
		return Rule{}, false
	}
	r := Rule{
		Circuit: ln.name, Load: list(worst.names), Has: worst.has, Most: ln.breaker.Rating, where: ln.path, code: CodeTotal,
		Rule: "all that may run at once, added up: not over the circuit", Source: "S-344", Edition: editionIEC,
	}
	if g.family == circuit.UL489 {
		r.Rule = "all that may run at once, with what can run three hours at 125 %: not over the circuit"
		r.Source, r.Edition = "S-320, S-321", editions
	}
	if worst.long {
		r.said = ", with what can run three hours counted at 125 %"
	}
	if r.OK = allowed(worst.known, worst.has, worst.least, r.Most); r.OK == No {
		r.Has = worst.least
	}
	return r, true
}

func within(known bool, has, most unit.Ampere) Word {
	switch {
	case !known:
		return NotKnown
	case has > most*(1+1e-9):
		return No
	}
	return Yes
}

// continuous adds up what can run three hours, in the set where most of it meets.
func (g *Grid) continuous(c int, members []*Load) []Rule {
	ln := &g.lines[c]
	worst, least, names, known := unit.Ampere(-1), unit.Ampere(0), []string{}, true
	for _, s := range g.sets {
		sum, sure, here, all := unit.Ampere(0), unit.Ampere(0), []string{}, true
		for _, l := range g.loadsOf(g.on(c, s.loads)) {
			if l.long && !l.byHand {
				sum += l.Rated
				sure += l.least
				here = append(here, l.Name)
				all = all && l.Known
			}
		}
		if sum > worst {
			worst, least, names, known = sum, sure, here, all
		}
	}
	if len(names) == 0 {
		return nil
	}
	most := circuit.MostContinuous(ln.breaker.Rating)
	return []Rule{{
		Circuit: ln.name, Load: list(names), Has: worst, Most: most, OK: allowed(known, worst, least, most),
		Rule: "what can run three hours or more: at most 80 % of the breaker", Source: "S-320", Edition: editions, code: CodeContinuous, where: ln.path,
	}}
}

func (g *Grid) loadsOf(m mask) []*Load {
	var out []*Load
	m.each(func(i int) { out = append(out, g.loads[i]) })
	return out
}

// fastened adds up what is wired to a circuit that feeds outlets too.
func (g *Grid) fastened(c int, members []*Load) []Rule {
	ln := &g.lines[c]
	limit, speaks := circuit.MostFastened(ln.breaker.Rating)
	if !speaks || len(ln.outlets) == 0 {
		return nil
	}
	sum, least, names, known := unit.Ampere(0), unit.Ampere(0), []string{}, true
	for _, l := range members {
		if l.fastened {
			sum += l.Rated
			least += l.least
			names = append(names, l.Name)
			known = known && l.Known
		}
	}
	if len(names) == 0 {
		return nil
	}
	return []Rule{{
		Circuit: ln.name, Load: list(names), Has: sum, Most: limit, OK: allowed(known, sum, least, limit), where: ln.path, code: CodeFastened,
		Rule: "what is wired to a circuit that also feeds outlets: at most half of it", Source: "S-321", Edition: editions,
	}}
}
