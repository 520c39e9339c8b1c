package unit

import (
	"math"
	"strconv"
	"strings"
)

// Text writes an amount so that Parse gives back the very same numbers, in the named unit: for putting it into a shop
// file, not for reading in a result. A doubt is written as ± a share if that is short and exact, else by its ends, else as
// two sides. An amount with no number is its word: unknown, none, drawn. A unit that does not fit T panics.
func Text[T Real](a Amount[T], unit string) string {
	var zero T
	switch {
	case a.Basis == Unsaid:
		return "unknown"
	case a.Basis == Absent:
		return "none"
	case a.Basis == Drawn:
		return "drawn"
	}
	w := writer{dim: zero.Dimension()}
	if w.dim != "number" {
		w.unit = mustUnit(w.dim, unit)
	}
	return w.amount(reading{best: float64(a.Best), low: float64(a.Low), high: float64(a.High), basis: Given})
}

// writer writes exact texts in one unit.
type writer struct {
	dim  Dimension
	unit *def
}

func (w writer) amount(r reading) string {
	best := w.exact(r.best) + w.suffix()
	if r.low == r.high {
		return best
	}
	var tries []string
	if share := (r.high - r.best) / math.Abs(r.best) * 100; w.takesShare() && share < 100 {
		tries = append(tries, best+" ± "+strconv.FormatFloat(share, 'g', 3, 64)+" %")
	}
	tries = append(tries, w.exact(r.low)+" to "+w.exact(r.high)+w.suffix())
	for _, t := range tries {
		if w.says(t, r) {
			return t
		}
	}
	if w.unit != nil && w.unit.flag&gauge != 0 {
		return tries[0]
	}
	return best + " +" + w.width(r.high-r.best) + "/-" + w.width(r.best-r.low) + w.doubtSuffix()
}

func (w writer) takesShare() bool {
	return w.dim != "share" && w.dim != "temperature" && w.dim != "sound level" && (w.unit == nil || w.unit.flag&gauge == 0)
}

// says checks a text against what it should say, to the last bit but one or two.
func (w writer) says(text string, r reading) bool {
	s := scanner{text: text, book: books[w.dim]}
	got, err := s.amount()
	return err == nil && same(got.best, r.best) && same(got.low, r.low) && same(got.high, r.high)
}

func same(a, b float64) bool {
	return a == b || math.Abs(a-b) <= 1e-15*math.Max(math.Abs(a), math.Abs(b))
}

func (w writer) suffix() string {
	if w.unit == nil {
		return ""
	}
	return gap(w.unit.name) + w.unit.name
}

// doubtSuffix is the unit of a doubt: that of a share is points.
func (w writer) doubtSuffix() string {
	if w.dim == "share" {
		return " points"
	}
	return w.suffix()
}

// exact writes v in the fewest figures that give v back.
func (w writer) exact(v float64) string {
	if w.unit == nil {
		return plain(v)
	}
	if w.unit.flag&gauge != 0 {
		return strings.TrimSuffix(gaugeName(int(math.Round(w.unit.fromSI(v)))), " AWG")
	}
	x := w.unit.fromSI(v)
	for n := 3; n < 17; n++ {
		y, _ := strconv.ParseFloat(strconv.FormatFloat(x, 'g', n, 64), 64)
		if w.unit.toSI(y) == v {
			return plain(y)
		}
	}
	return plain(x)
}

// width writes a difference; that of a share in points.
func (w writer) width(v float64) string {
	d := w.unit
	if d == nil {
		return plain(v)
	}
	if w.dim == "share" {
		d = percent
	}
	x := v * d.per / d.mul
	for n := 2; n < 17; n++ {
		y, _ := strconv.ParseFloat(strconv.FormatFloat(x, 'g', n, 64), 64)
		if same(d.diff(y), v) {
			return plain(y)
		}
	}
	return plain(x)
}
