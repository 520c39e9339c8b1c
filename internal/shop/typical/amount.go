package typical

import (
	"math"
	"strings"

	"winnow/internal/unit"
)

// assumed is an amount nobody gave.
func assumed[T unit.Real](best, low, high T, source string) unit.Amount[T] {
	return unit.Amount[T]{Best: best, Low: low, High: high, Basis: unit.Assumed, Source: source}
}

// scaled multiplies an amount and keeps its relative range.
func scaled[T unit.Real](a unit.Amount[T], by float64) unit.Amount[T] {
	k := T(by)
	a.Best, a.Low, a.High = a.Best*k, a.Low*k, a.High*k
	return a
}

// spread is the edge of a product of two independent factors whose edges, over their best, are a and b: their logarithms add as
// squares, as independent doubts do. Both lie on the same side of 1.
func spread(a, b float64) float64 {
	if a <= 0 || b <= 0 {
		return 0
	}
	s := math.Hypot(math.Log(a), math.Log(b))
	if a*b < 1 {
		s = -s
	}
	return math.Exp(s)
}

// edges are low and high over best.
func edges[T unit.Real](a unit.Amount[T]) (low, high float64) {
	if a.Best == 0 {
		return 1, 1
	}
	return float64(a.Low / a.Best), float64(a.High / a.Best)
}

// times is the product of two amounts as another quantity, with independent doubts.
func times[A, B, T unit.Real](a unit.Amount[A], b unit.Amount[B], source string) unit.Amount[T] {
	best := T(float64(a.Best) * float64(b.Best))
	al, ah := edges(a)
	bl, bh := edges(b)
	return assumed(best, best*T(spread(al, bl)), best*T(spread(ah, bh)), source)
}

// over is the quotient of two amounts as another quantity, with independent doubts.
func over[A, B, T unit.Real](a unit.Amount[A], b unit.Amount[B], source string) unit.Amount[T] {
	best := T(float64(a.Best) / float64(b.Best))
	al, ah := edges(a)
	bl, bh := edges(b)
	return assumed(best, best*T(spread(al, 1/bh)), best*T(spread(ah, 1/bl)), source)
}

// portNamed finds a usual port by its name or another spelling, or by a word of either within the owner's name.
func (m *Machine) portNamed(name string) *Port {
	if name == "" {
		return nil
	}
	want := " " + fold(name) + " "
	for pass := range 2 {
		for i := range m.Ports {
			for _, k := range m.Ports[i].words {
				if k == want || pass == 1 && strings.Contains(want, k) {
					return &m.Ports[i]
				}
			}
		}
	}
	return nil
}
