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
		Circuit: ln.name, Load: l.Name, Has: l.Rated, Most: ln.breaker.Rating, where: l.where, code: CodeOverRating,
		Rule: "one load is not rated over its circuit", Source: "S-321", Edition: editions,
	}
	if g.family == circuit.IEC60898 {
		r.Source, r.Edition = "S-328", "IEC 60364; national rules differ"
	} else if m, speaks := circuit.MostOnePlug(ln.breaker.Rating, len(ln.outlets)); speaks && !l.fastened {
		r.Most, r.code = m, CodePlugOverEighty
		r.Rule = "one plugged load on a 15 or 20 A circuit with two or more outlets: at most 80 % of it"
	}
	if r.Has > ln.breaker.Rating {
		r.code = CodeOverRating
	}
	r.OK = within(l.Known, r.Has, r.Most)
	if r.OK == No && l.Rated != l.Marked { // the table stands in for a plate nobody read
		r.OK, r.code = NotKnown, CodeReadPlate
	}
	return []Rule{r}
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
	worst, names, known := unit.Ampere(-1), []string{}, true
	for _, s := range g.sets {
		sum, here, all := unit.Ampere(0), []string{}, true
		for _, l := range g.loadsOf(g.on(c, s.loads)) {
			if l.long && !l.byHand {
				sum += l.Rated
				here = append(here, l.Name)
				all = all && l.Known
			}
		}
		if sum > worst {
			worst, names, known = sum, here, all
		}
	}
	if len(names) == 0 {
		return nil
	}
	return []Rule{{
		Circuit: ln.name, Load: list(names), Has: worst, Most: circuit.MostContinuous(ln.breaker.Rating), OK: within(known, worst, circuit.MostContinuous(ln.breaker.Rating)),
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
	sum, names, known := unit.Ampere(0), []string{}, true
	for _, l := range members {
		if l.fastened {
			sum += l.Rated
			names = append(names, l.Name)
			known = known && l.Known
		}
	}
	if len(names) == 0 {
		return nil
	}
	return []Rule{{
		Circuit: ln.name, Load: list(names), Has: sum, Most: limit, OK: within(known, sum, limit), where: ln.path, code: CodeFastened,
		Rule: "what is wired to a circuit that also feeds outlets: at most half of it", Source: "S-321", Edition: editions,
	}}
}
