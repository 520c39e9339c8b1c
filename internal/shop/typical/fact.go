package typical

import (
	"slices"

	"winnow/internal/unit"
)

// fact is one line of the table of single facts.
type fact struct {
	name, remark string
	dim          unit.Dimension
	amount       any // unit.Amount of the dimension's type
	row          Row
}

// Fact returns a single fact that belongs to no kind, such as "clean the filter at" or "flue limit, natural draught". false: no
// such fact, or it measures something else.
func Fact[T unit.Real](name string) (unit.Amount[T], bool) {
	f, ok := tables().facts[name]
	if !ok {
		return unit.Amount[T]{}, false
	}
	a, ok := f.amount.(unit.Amount[T])
	return a, ok
}

// Facts lists them all, ready to print.
func Facts() []Row {
	b := tables()
	out := make([]Row, len(b.factNames))
	for i, n := range b.factNames {
		out[i] = b.facts[n].row
	}
	return out
}

func (b *book) readFacts() {
	b.facts = map[string]*fact{}
	readers := map[unit.Dimension]func(*entry, *line) (any, Row){
		"pressure": readFact[unit.Pascal](b), "share": readFact[unit.Fraction](b), "time": readFact[unit.Second](b),
		"speed": readFact[unit.MPerSec](b), "number": readFact[unit.Number](b), "length": readFact[unit.Metre](b),
		"sound level": readFact[unit.Decibel](b), "area": readFact[unit.M2](b), "airflow": readFact[unit.M3PerSec](b),
	}
	for _, e := range entries("facts.txt") {
		for _, l := range e.lines {
			dim := unit.Dimension(l.col(0))
			reader, ok := readers[dim]
			if !ok {
				e.bad(l.no, "no facts are read in %q", dim)
			}
			if _, twice := b.facts[l.key]; twice {
				e.bad(l.no, "%q is there twice", l.key)
			}
			f := &fact{name: l.key, remark: l.col(4), dim: dim}
			f.amount, f.row = reader(e, l)
			b.facts[l.key] = f
			b.factNames = append(b.factNames, l.key)
		}
	}
	b.factNames = slices.Clip(b.factNames)
}

func readFact[T unit.Real](b *book) func(*entry, *line) (any, Row) {
	return func(e *entry, l *line) (any, Row) {
		a := read[T](b, e, l, 1)
		return a, amountRow(l.key, a)
	}
}
