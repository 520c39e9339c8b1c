package unit

import (
	"math"
	"strconv"
	"strings"
	"unicode/utf8"
)

// scanner reads a quantity from left to right. It never backs up further than one quantity and uses no patterns, as
// a shop file is read at every keystroke.
type scanner struct {
	text string
	pos  int
	book *book
	find func(word string) *def // instead of the book; nil nearly always
}

// number is a value as written, with no unit yet.
type number struct {
	x     float64
	whole bool // no fraction and no point: may be followed by a smaller unit
	minus bool
	from  int
}

func (s *scanner) skip() {
	for s.pos < len(s.text) {
		c := s.text[s.pos]
		if c == ' ' || c == '\t' {
			s.pos++
			continue
		}
		if c < utf8.RuneSelf {
			return
		}
		r, n := utf8.DecodeRuneInString(s.text[s.pos:])
		if !space(r) {
			return
		}
		s.pos += n
	}
}

func (s *scanner) has(mark string) bool {
	if strings.HasPrefix(s.text[s.pos:], mark) {
		s.pos += len(mark)
		return true
	}
	return false
}

func digit(c byte) bool { return c >= '0' && c <= '9' }

// at is the byte i ahead, 0 past the end.
func (s *scanner) at(i int) byte {
	if s.pos+i < len(s.text) {
		return s.text[s.pos+i]
	}
	return 0
}

// number reads `12`, `.5`, `1.5e3`, `3/4`, `1 1/2`, `1-1/2`, `2½`, with a sign before any of them.
func (s *scanner) number() (number, *ParseError) {
	n := number{from: s.pos}
	negative := s.has("-") || s.has("−")
	if !negative {
		s.has("+")
	}
	if !digit(s.at(0)) && !(s.at(0) == '.' && digit(s.at(1))) {
		if part, ok := s.vulgar(); ok {
			return finish(n, part, negative), nil
		}
		return n, s.fail(NoNumber, n.from, len(s.text))
	}
	x, whole, err := s.decimal(n.from)
	if err != nil {
		return n, err
	}
	if whole {
		x, whole, err = s.fraction(x, n.from)
		if err != nil {
			return n, err
		}
	}
	n.whole = whole
	return finish(n, x, negative), nil
}

func finish(n number, x float64, negative bool) number {
	n.minus = negative
	if negative && x != 0 { // no negative zero
		x = -x
	}
	n.x = x
	return n
}

// decimal reads digits, a point and an exponent. Up to 15 digits and 10^22 the product below is exact to the last
// bit (both factors are, and it is rounded once); strconv does the rest.
func (s *scanner) decimal(from int) (x float64, whole bool, err *ParseError) {
	start, digits, point, power := s.pos, 0, false, 0
	var m uint64
	for ; s.pos < len(s.text); s.pos++ {
		c := s.text[s.pos]
		if digit(c) {
			if digits++; digits <= 15 {
				m = m*10 + uint64(c-'0')
			}
			if point {
				power--
			}
			continue
		}
		if c != '.' || point {
			break
		}
		point = true
	}
	if point && s.at(0) == '.' {
		for digit(s.at(0)) || s.at(0) == '.' {
			s.pos++
		}
		return 0, false, s.fail(BadNumber, from, s.pos)
	}
	if s.at(0) == ',' && digit(s.at(1)) {
		return 0, false, s.comma(from)
	}
	exponent := false
	if c := s.at(0); c == 'e' || c == 'E' {
		i := 1
		if s.at(1) == '-' || s.at(1) == '+' {
			i = 2
		}
		if digit(s.at(i)) {
			exponent = true
			for s.pos += i; digit(s.at(0)); s.pos++ {
			}
		}
	}
	if digits <= 15 && power >= -22 && !exponent {
		return float64(m) / tens[-power], !point, nil
	}
	x, bad := strconv.ParseFloat(s.text[start:s.pos], 64)
	if bad != nil || math.IsInf(x, 0) {
		return 0, false, s.fail(TooBig, from, s.pos)
	}
	return x, !point && !exponent, nil
}

var tens = func() (t [23]float64) {
	for i := range t {
		t[i], _ = strconv.ParseFloat("1e"+strconv.Itoa(i), 64)
	}
	return t
}()

// fraction reads on after a whole number: `/4`, ` 1/2`, `-1/2`, `½`. The number comes back as it was if none follows.
func (s *scanner) fraction(whole float64, from int) (float64, bool, *ParseError) {
	if s.at(0) == '/' && digit(s.at(1)) {
		s.pos++
		return s.over(whole, from)
	}
	if part, ok := s.vulgar(); ok {
		return whole + part, false, nil
	}
	mark := s.pos
	if s.at(0) == '-' {
		s.pos++
	} else {
		s.skip()
	}
	if s.pos == mark {
		return whole, true, nil
	}
	if part, ok := s.vulgar(); ok {
		return whole + part, false, nil
	}
	i := 0
	for digit(s.at(i)) {
		i++
	}
	if i == 0 || i > 6 || s.at(i) != '/' || !digit(s.at(i+1)) {
		if i > 0 && s.text[mark] != '-' {
			s.pos += i
			e := s.fail(BadNumber, from, s.pos) // 1 250: a space may not part thousands, nor a number lose its fraction bar
			if i == 3 {
				e.Write = s.text[:mark] + s.text[s.pos-i:]
			}
			return 0, false, e
		}
		s.pos = mark
		return whole, true, nil
	}
	top, _ := strconv.Atoi(s.text[s.pos : s.pos+i])
	s.pos += i + 1
	part, _, err := s.over(float64(top), from)
	if err == nil && part >= 1 {
		err = s.fail(BadNumber, from, s.pos)
	}
	return whole + part, false, err
}

func (s *scanner) over(top float64, from int) (float64, bool, *ParseError) {
	i, bottom := 0, 0.0
	for ; digit(s.at(i)); i++ {
		bottom = bottom*10 + float64(s.at(i)-'0')
	}
	s.pos += i
	if bottom == 0 || i > 6 || s.at(0) == '/' || s.at(0) == '.' && digit(s.at(1)) {
		return 0, false, s.fail(BadNumber, from, s.pos)
	}
	return top / bottom, false, nil
}

var vulgars = map[rune]float64{
	'½': 1.0 / 2, '¼': 1.0 / 4, '¾': 3.0 / 4, '⅛': 1.0 / 8, '⅜': 3.0 / 8, '⅝': 5.0 / 8, '⅞': 7.0 / 8, '⅓': 1.0 / 3, '⅔': 2.0 / 3,
}

// vulgar reads a fraction that is one character.
func (s *scanner) vulgar() (float64, bool) {
	if s.at(0) < utf8.RuneSelf {
		return 0, false
	}
	r, n := utf8.DecodeRuneInString(s.text[s.pos:])
	x, ok := vulgars[r]
	if ok {
		s.pos += n
	}
	return x, ok
}

// comma explains a comma inside a number: 1,5 was meant as 1.5, 1,250 as 1250; which is which differs by country,
// so neither is guessed.
func (s *scanner) comma(from int) *ParseError {
	end, groups, last := s.pos, 0, 0
	for end < len(s.text) {
		c := s.text[end]
		if c == ',' && end+1 < len(s.text) && digit(s.text[end+1]) {
			groups, last = groups+1, 0
		} else if digit(c) {
			last++
		} else {
			break
		}
		end++
	}
	body := s.text[from:end]
	head := strings.TrimLeft(body[:strings.IndexByte(body, ',')], "+-−")
	meant := strings.ReplaceAll(body, ",", "")
	if pointed := strings.Contains(head, "."); !pointed && groups == 1 && (last != 3 || head == "0" || len(head) > 3) {
		meant = strings.Replace(body, ",", ".", 1)
	} else if pointed { // 1.250,5
		meant = strings.Replace(strings.ReplaceAll(body, ".", ""), ",", ".", 1)
	}
	e := s.fail(Comma, from, end)
	e.Write = s.text[:from] + meant + s.text[end:]
	return e
}

// word reads a unit as far as it goes: up to a mark of doubt, a new number, or the words "to" and "at".
func (s *scanner) word() string {
	s.skip()
	from := s.pos
	if from == len(s.text) {
		return ""
	}
	if n := quoteMark(s.text[from:]); n > 0 {
		return s.quoted(from, n)
	}
	if c := s.text[from]; c == '-' && letter(s.at(1)) { // 4-inch
		s.pos++
		from++
	}
	switch c := s.text[from]; {
	case digit(c) || c == '.' || c == ',' || c == '+' || c == '-':
		return ""
	case (c == 't' || c == 'a') && s.breaks():
		return ""
	}
	for s.pos < len(s.text) {
		c := s.text[s.pos]
		if c < utf8.RuneSelf {
			if c == '+' || c == '-' && !letter(s.at(1)) || c == ' ' && s.breaks() || c == '/' && s.pairs() {
				break
			}
			s.pos++
			continue
		}
		r, n := utf8.DecodeRuneInString(s.text[s.pos:])
		if r == '±' || r == '–' || r == '—' || r == '−' || space(r) && s.breaks() {
			break
		}
		s.pos += n
	}
	return s.text[from:s.pos]
}

func letter(c byte) bool { return c >= 'a' && c <= 'z' || c >= 'A' && c <= 'Z' }

// pairs tells, standing on a slash, whether it parts the halves of +25/-10 %.
func (s *scanner) pairs() bool {
	t := strings.TrimLeft(s.text[s.pos+1:], " ")
	return t != "" && (t[0] == '-' || t[0] == '+' || strings.HasPrefix(t, "−"))
}

// breaks tells, standing on a space, whether the unit ends here.
func (s *scanner) breaks() bool {
	rest := scanner{text: s.text, pos: s.pos}
	rest.skip()
	c := rest.at(0)
	if c == 0 || digit(c) || c == '+' || c == '-' || c == '.' || c == ',' || c == '/' && rest.pairs() {
		return true
	}
	if c < utf8.RuneSelf {
		t := rest.text[rest.pos:]
		return strings.HasPrefix(t, "to ") || t == "to" || strings.HasPrefix(t, "at ")
	}
	r, _ := utf8.DecodeRuneInString(rest.text[rest.pos:])
	_, fraction := vulgars[r]
	return fraction || r == '±' || r == '–' || r == '—' || r == '−'
}

// quoteMark is the length of a foot or inch mark at the start of t, else 0.
func quoteMark(t string) int {
	switch t[0] {
	case '"':
		return 1
	case '\'':
		if len(t) > 1 && t[1] == '\'' {
			return 2
		}
		return 1
	case 0xe2:
		for _, m := range [...]string{"′", "″", "’", "”"} {
			if strings.HasPrefix(t, m) {
				return len(m)
			}
		}
	}
	return 0
}

// quoted reads a foot or inch mark: alone, or with the water of `2.4" wg`.
func (s *scanner) quoted(from, n int) string {
	s.pos += n
	mark := s.pos
	s.skip()
	if letter(s.at(0)) && s.book != nil && s.book.dim == "pressure" {
		rest := s.word()
		if whole := s.text[from:s.pos]; rest != "" && s.book.find(whole) != nil {
			return whole
		}
	}
	s.pos = mark
	return s.text[from:mark]
}

// fail makes an error about text[from:to].
func (s *scanner) fail(p Problem, from, to int) *ParseError {
	e := &ParseError{Text: s.text, Offset: from, Problem: p, Word: strings.TrimSpace(s.text[from:to])}
	if s.book != nil {
		e.Wanted, e.Would = s.book.dim, offered(s.book.dim)
	}
	return e
}
