package unit

import (
	"math"
	"strings"
)

// Parse reads a quantity as an owner writes it, with its doubt:
//
//	350 cfm        7' 6"        1 1/2 in        68 °F        12 AWG
//	350 cfm ± 10 %      350 cfm +/- 10 %      350 cfm +25/-10 %
//	2.4 inH2O ± 0.1 inH2O      45 to 85 °F      70 % ± 5 points
//	unknown      none      drawn
//
// A written doubt is the range in which the truth lies nine times in ten. Of a range written by its ends, Best is the
// middle, halfway between them: the number its owner would name. (How the doubt is spread between the ends is not
// said here.) Low <= Best <= High always holds. `unknown` gives Basis Unsaid, `none` Absent, `drawn` Drawn, each with
// zeros; anything else gives Given.
//
// Any error is a *ParseError. A decimal comma is one, as are NaN, infinity, a bare number for anything but Number,
// and a doubt that is zero, negative or larger than the value it is a share of.
func Parse[T Real](text string) (Amount[T], error) {
	var zero T
	s := scanner{text: text, book: books[zero.Dimension()]}
	r, err := s.amount()
	if err != nil {
		return Amount[T]{}, err
	}
	return Amount[T]{Best: T(r.best), Low: T(r.low), High: T(r.high), Basis: r.basis}, nil
}

// longest is more than any quantity needs, in bytes. It keeps a pasted page from being searched for units.
const longest = 200

// reading is an Amount before it has a type.
type reading struct {
	best, low, high float64
	basis           Basis
}

// quantity is one number with its unit.
type quantity struct {
	number
	unit *def
	v    float64 // SI
	span float64 // SI, as a difference: 5 °F is 2.78 K
	to   int     // where it ends
}

// amount reads the whole text.
func (s *scanner) amount() (reading, *ParseError) {
	s.skip()
	if basis, ok := saidInWords(s.text[s.pos:]); ok {
		return reading{basis: basis}, nil
	}
	if s.pos == len(s.text) {
		return reading{}, s.fail(Empty, 0, len(s.text))
	}
	if len(s.text) > longest {
		e := s.fail(TooLong, s.pos, len(s.text))
		e.Word = strings.ToValidUTF8(e.Word[:min(40, len(e.Word))], "")
		return reading{}, e
	}
	a, err := s.quantity(false)
	if err != nil {
		return reading{}, s.startingNear(err)
	}
	s.skip()
	r := reading{basis: Given}
	switch {
	case s.pos == len(s.text):
		err = s.exactly(a, &r)
	case s.has("±"), s.has("+/-"), s.has("+-"), s.has("+/−"):
		err = s.within(a, &r)
	case s.at(0) == '+', s.minusFirst():
		err = s.uneven(a, &r)
	case s.has("to "), s.has("–"), s.has("—"), s.has("-"):
		err = s.between(a, &r)
	}
	if err != nil {
		return reading{}, err
	}
	if s.skip(); s.pos < len(s.text) {
		return reading{}, s.fail(Leftover, s.pos, len(s.text))
	}
	return r, s.sane(r)
}

func saidInWords(text string) (Basis, bool) {
	if len(text) < 4 || len(text) > 16 || !letter(text[0]) {
		return 0, false
	}
	switch text = strings.TrimSpace(text); {
	case strings.EqualFold(text, "unknown"):
		return Unsaid, true
	case strings.EqualFold(text, "none"):
		return Absent, true
	case strings.EqualFold(text, "drawn"):
		return Drawn, true
	}
	return 0, false
}

// quantity reads a number and its unit, or several: 9 ft 3 in. A doubt may be in %.
func (s *scanner) quantity(doubt bool) (quantity, *ParseError) {
	if s.book.dim == "wire size" {
		if q, ok := s.oughts(); ok {
			return q, nil
		}
	}
	n, err := s.number()
	if err != nil {
		return quantity{}, err
	}
	q := quantity{number: n, to: s.pos}
	from := s.pos
	w := s.word()
	if w == "" {
		s.pos = from
		return q, nil
	}
	if first, _, _ := strings.Cut(w, " "); doubt && (first == "%" || first == "percent") {
		s.pos += len(first) - len(w)
		q.unit, q.to = percent, s.pos
		return q, nil
	}
	if q.unit = s.lookup(&w); q.unit == nil {
		return q, s.stranger(n.from, w)
	}
	q.to = s.pos
	if err := q.measure(s); err != nil {
		return q, err
	}
	if q.unit.flag&chain != 0 {
		err = s.chained(&q, w)
	}
	return q, err
}

// measure takes q to SI.
func (q *quantity) measure(s *scanner) *ParseError {
	if q.unit != nil {
		q.v, q.span = q.unit.toSI(q.x), q.unit.diff(q.x)
	} else {
		q.v, q.span = q.x, q.x
	}
	if math.IsInf(q.v, 0) || math.IsNaN(q.v) || math.IsInf(q.span, 0) {
		return s.fail(TooBig, q.from, q.to)
	}
	return nil
}

// lookup finds the unit w; of several words the longest beginning that is one, so that `350 cfm about` is faulted for
// its last word only.
func (s *scanner) lookup(w *string) *def {
	find := s.find
	if find == nil {
		find = s.book.find
	}
	end := s.pos
	for word := *w; ; {
		if d := find(word); d != nil {
			s.pos = end - len(*w) + len(word)
			*w = word
			return d
		}
		cut := strings.LastIndexByte(word, ' ')
		if cut <= 0 {
			return nil
		}
		word = strings.TrimRight(word[:cut], " ")
	}
}

// stranger explains a unit that does not belong here.
func (s *scanner) stranger(from int, w string) *ParseError {
	if d := anyBook.find(w); d != nil {
		e := s.fail(WrongKind, from, s.pos)
		e.Given = d.dim
		if water := map[string]string{"in": "inH2O", "mm": "mmH2O"}[d.name]; s.book.dim == "pressure" && water != "" {
			e.Nearest = water // "9 inches of pull"
			e.Write = s.text[:s.pos-len(w)] + water + s.text[s.pos:]
		}
		return e
	}
	start := s.pos - len(w)
	e := s.fail(UnknownUnit, start, s.pos)
	if e.Nearest = nearest(w, s.book); e.Nearest != "" {
		if d := s.book.exact[e.Nearest]; d != nil {
			e.Write = s.text[:start] + d.name + s.text[s.pos:]
		}
	}
	return e
}

// chained reads on after feet, hours or pounds: 9 ft 3 in, 7'-6", 1 h 30 min. Only the last may have a fraction, and
// each must be less than one of the unit before it.
func (s *scanner) chained(q *quantity, w string) *ParseError {
	for last := q.unit; ; {
		mark := s.pos
		s.skip()
		dash := s.at(0) == '-' && digit(s.at(1)) && quoteMark(w) > 0
		if dash {
			s.pos++
		}
		if _, fraction := s.peekVulgar(); !digit(s.at(0)) && !fraction {
			s.pos = mark
			return nil
		}
		n, err := s.number()
		if err != nil {
			return err
		}
		to := s.pos
		w = s.word()
		next := (*def)(nil)
		if w != "" {
			next = s.lookup(&w)
		}
		if dash && (next == nil || next.flag&chain == 0 || next.si >= last.si) {
			s.pos = mark // 4'-6' is a range
			return nil
		}
		if next == nil {
			if w != "" {
				return s.stranger(n.from, w)
			}
			e := s.fail(NoUnit, n.from, to)
			if small := below(last); small != nil && q.whole {
				e.Write = s.text[:to] + " " + small.name + s.text[to:]
			}
			return e
		}
		if next.flag&chain == 0 || n.x*next.si >= last.si || !q.whole {
			return s.fail(Mixed, q.from, s.pos)
		}
		sum := math.Abs(q.x)*math.Round(last.si/next.si) + n.x
		if q.minus {
			sum = -sum
		}
		q.x, q.unit, q.whole, q.to = sum, next, n.whole, s.pos
		if err := q.measure(s); err != nil {
			return err
		}
		last = next
	}
}

// below is the unit that usually follows in a chain: inches after feet.
func below(d *def) *def {
	var best *def
	for _, u := range books[d.dim].defs {
		if u.flag&chain != 0 && u.si < d.si && (best == nil || u.si > best.si) {
			best = u
		}
	}
	return best
}

func (s *scanner) peekVulgar() (float64, bool) {
	ahead := *s
	return ahead.vulgar()
}

// oughts reads the large gauges, 1/0 to 4/0 AWG.
func (s *scanner) oughts() (quantity, bool) {
	t := s.text[s.pos:]
	if len(t) < 3 || t[0] < '1' || t[0] > '4' || t[1] != '/' || t[2] != '0' || len(t) > 3 && digit(t[3]) {
		return quantity{}, false
	}
	ahead := *s
	ahead.pos += 3
	w := ahead.word()
	d := ahead.lookup(&w)
	if w == "" || d == nil || d.flag&gauge == 0 {
		return quantity{}, false
	}
	n := number{x: -float64(t[0] - '1'), from: s.pos}
	s.pos = ahead.pos
	return quantity{number: n, unit: d, v: d.toSI(n.x), to: s.pos}, true
}

// needUnit refuses a bare number, except where a number is all that is wanted.
func (s *scanner) needUnit(q quantity) *ParseError {
	if q.unit != nil || s.book.dim == "number" {
		return nil
	}
	e := s.fail(NoUnit, q.from, q.to)
	if n := len(e.Would); n > 0 {
		var each []string
		if s.book.dim == "share" && q.x > 0 && q.x <= 1 { // most who leave out the % mean 0.7 to be 70 %
			each = append(each, plain(q.x*100)+" %")
		}
		for _, u := range e.Would {
			each = append(each, e.Word+gap(u)+u)
		}
		if q.from == 0 && q.to == len(s.text) {
			e.Write = orList(each)
		}
	}
	return e
}

// gap is what stands between a number and its unit.
func gap(unit string) string {
	if d := anyBook.exact[unit]; d != nil && d.flag&hideGap != 0 {
		return ""
	}
	return " "
}

func (s *scanner) exactly(a quantity, r *reading) *ParseError {
	if err := s.needUnit(a); err != nil {
		return err
	}
	if err := s.settle(&a); err != nil {
		return err
	}
	r.best, r.low, r.high = a.v, a.v, a.v
	return nil
}

// settle works out a number whose unit was written later, or not at all.
func (s *scanner) settle(a *quantity) *ParseError {
	if a.unit == nil {
		return a.measure(s)
	}
	return nil
}

// lend gives one side's missing unit the other's: 45 to 85 °F.
func (s *scanner) lend(a *quantity, b quantity) *ParseError {
	if a.unit == nil && b.unit != nil {
		a.unit = b.unit
		return a.measure(s)
	}
	if err := s.needUnit(*a); err != nil {
		return err
	}
	return s.settle(a)
}

// between reads the far end of a range.
func (s *scanner) between(a quantity, r *reading) *ParseError {
	s.skip()
	b, err := s.quantity(false)
	if err != nil {
		return err
	}
	if err := s.needUnit(b); err != nil {
		return err
	}
	if err := s.settle(&b); err != nil {
		return err
	}
	if err := s.lend(&a, b); err != nil {
		return err
	}
	if b.v < a.v && b.unit != nil && b.unit.flag&gauge != 0 && a.unit.flag&gauge != 0 {
		a, b = b, a // gauges count downwards: 12 to 14 AWG names the thicker wire first
	}
	if b.v < a.v {
		return s.fail(EndsSwapped, min(a.from, b.from), s.pos)
	}
	if b.v == a.v {
		return s.fail(BadDoubt, a.from, s.pos)
	}
	r.low, r.high, r.best = a.v, b.v, a.v+(b.v-a.v)/2
	return nil
}

// within reads what follows ±.
func (s *scanner) within(a quantity, r *reading) *ParseError {
	s.skip()
	d, err := s.width(a)
	if err != nil {
		return err
	}
	if d.unit != percent || s.book.dim == "share" {
		if err := s.lend(&a, d); err != nil {
			return err
		}
	} else if err := s.lend(&a, quantity{}); err != nil {
		return err
	}
	w := spread(a, d)
	r.best, r.low, r.high = a.v, a.v-w, a.v+w
	return s.widened(r, d)
}

// uneven reads +25/-10 %, or -10/+25 %. A unit written once serves both.
func (s *scanner) uneven(a quantity, r *reading) *ParseError {
	from := s.pos
	first := s.text[s.pos]
	s.pos++
	d1, err := s.width(a)
	if err != nil {
		return err
	}
	s.skip()
	if !s.has("/") {
		return s.fail(BadDoubt, from, len(s.text))
	}
	s.skip()
	if second := s.at(0); second != '+' && second != '-' && !strings.HasPrefix(s.text[s.pos:], "−") || second == first {
		return s.fail(BadDoubt, from, len(s.text))
	}
	if !s.has("−") {
		s.pos++
	}
	d2, err := s.width(a)
	if err != nil {
		return err
	}
	if d1.unit == nil {
		d1.unit = d2.unit
		if d1.unit != percent || s.book.dim == "share" {
			if err := d1.measure(s); err != nil {
				return err
			}
		}
	}
	if d1.unit == nil && s.book.dim != "number" || d1.unit == percent && d2.unit == nil {
		return s.needUnit(d2)
	}
	if err := s.lend(&a, quantity{}); err != nil {
		return err
	}
	up, down := spread(a, d1), spread(a, d2)
	if first != '+' {
		up, down = down, up
	}
	r.best, r.low, r.high = a.v, a.v-down, a.v+up
	return s.widened(r, d2)
}

// minusFirst tells a doubt that starts with its lower side, -10/+25 %, from the far end of a range.
func (s *scanner) minusFirst() bool {
	if s.at(0) != '-' {
		return false
	}
	t := s.text[s.pos:]
	slash := strings.IndexByte(t, '/')
	return slash > 0 && strings.HasPrefix(strings.TrimLeft(t[slash+1:], " "), "+")
}

// width reads a doubt: a number above zero, in % or in a unit of the same kind.
func (s *scanner) width(a quantity) (quantity, *ParseError) {
	from := s.pos
	s.skip()
	if !digit(s.at(0)) && s.at(0) != '.' {
		if _, ok := s.peekVulgar(); !ok {
			return quantity{}, s.fail(BadDoubt, from, len(s.text))
		}
	}
	if s.find == nil && a.unit != nil && a.unit.flag&gauge != 0 {
		return quantity{}, s.fail(BadDoubt, from, len(s.text)) // half a gauge is no size
	}
	d, err := s.quantity(true)
	if err != nil {
		return d, err
	}
	if d.unit == nil {
		if err := d.measure(s); err != nil {
			return d, err
		}
	}
	if d.x <= 0 || d.unit == percent && d.x > 100 && s.book.dim != "share" || d.unit != nil && d.unit.flag&gauge != 0 {
		return d, s.fail(BadDoubt, d.from, d.to)
	}
	if d.unit == percent {
		return d, s.unclear(a, d)
	}
	if d.unit == nil && s.book.dim != "number" && a.unit != nil && !s.halfOfPair() {
		e := s.fail(NoUnit, d.from, d.to)
		e.Write = s.text[:d.to] + gap(a.unit.name) + a.unit.name + " or " + s.text[:d.to] + " %"
		return d, e
	}
	return d, nil
}

// halfOfPair tells whether a doubt without a unit is a side of +25/-10 %, which may get it from the other side.
func (s *scanner) halfOfPair() bool {
	ahead := *s
	ahead.skip()
	return ahead.at(0) == '/'
}

// unclear refuses a doubt in % of what % says nothing about.
func (s *scanner) unclear(a, d quantity) *ParseError {
	switch s.book.dim {
	case "share":
		e := s.fail(UnclearDoubt, a.from, d.to)
		number := strings.TrimSuffix(strings.TrimSuffix(s.text[:d.to], "%"), "percent")
		e.Write = strings.TrimRight(number, " ") + " points"
		return e
	case "temperature", "sound level":
		return s.fail(UnclearDoubt, a.from, d.to)
	}
	return nil
}

// spread is a doubt in SI.
func spread(a, d quantity) float64 {
	if d.unit == percent {
		return math.Abs(a.v) * d.x / 100
	}
	return d.span
}

// widened checks that the doubt widened the value at all: 1 m ± 1e-20 m is the same number three times.
func (s *scanner) widened(r *reading, d quantity) *ParseError {
	if r.low == r.high {
		return s.fail(BadDoubt, d.from, d.to)
	}
	return nil
}

// sane refuses what no quantity can be.
func (s *scanner) sane(r reading) *ParseError {
	for _, v := range [...]float64{r.best, r.low, r.high} {
		if math.IsInf(v, 0) || math.IsNaN(v) {
			return s.fail(TooBig, 0, len(s.text))
		}
	}
	if r.low < 0 && s.book.dim == "temperature" {
		return s.fail(TooCold, 0, len(s.text))
	}
	return nil
}

// startingNear turns "about 350 cfm" and "~350 cfm" into what the doubt is for.
func (s *scanner) startingNear(e *ParseError) *ParseError {
	if e.Problem != NoNumber || e.Offset != 0 || e.Wanted == "temperature" || e.Wanted == "share" || e.Wanted == "sound level" {
		return e
	}
	for _, word := range [...]string{"about ", "approx. ", "approx ", "ca. ", "ca ", "circa ", "roughly ", "around ", "~", "≈"} {
		if rest, ok := strings.CutPrefix(s.text, word); ok {
			again := scanner{text: rest, book: s.book, find: s.find}
			if r, bad := again.amount(); bad == nil && r.low == r.high {
				e.Write = strings.TrimSpace(rest) + " ± 10 %"
			}
		}
	}
	return e
}
