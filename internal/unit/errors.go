package unit

import (
	"strconv"
	"strings"
)

// Problem names what is wrong with a written quantity. The names are stable: tests and findings hang on them.
type Problem string

const (
	Empty        Problem = "empty"         // nothing written
	NoNumber     Problem = "no-number"     // starts with something else than a number
	BadNumber    Problem = "bad-number"    // a number no one can read: 1/0, 1.2.3, 1 7/4
	Comma        Problem = "comma"         // 1,5 or 1,250: which of the two is meant differs by country
	NoUnit       Problem = "no-unit"       // a bare number where a unit is needed
	UnknownUnit  Problem = "unknown-unit"  // no such unit
	WrongKind    Problem = "wrong-kind"    // a unit of something else
	BadDoubt     Problem = "bad-doubt"     // ± nothing, ± a negative, ± a unit of something else
	UnclearDoubt Problem = "unclear-doubt" // 50 % ± 10 %: of the share or in points? 70 °F ± 10 %: of what?
	EndsSwapped  Problem = "ends-swapped"  // 85 to 45 °F
	Leftover     Problem = "leftover"      // something after the quantity
	TooLong      Problem = "too-long"      // more than any quantity needs
	TooBig       Problem = "too-big"       // beyond any number we keep
	TooCold      Problem = "too-cold"      // under absolute zero
	Mixed        Problem = "mixed-units"   // 9 ft 15 in, 7.5 ft 3 in
	NoFlow       Problem = "no-flow"       // a loss without "at" and a flow
	NoSuchDay    Problem = "no-such-day"   // 2026-02-30, or no date at all
	NoSuchTime   Problem = "no-such-time"  // a time of day nobody can read
	NoMoney      Problem = "no-money"      // no currency code, or one that does not exist
	NoPrice      Problem = "no-price"      // a sum where a price per something is wanted, or per something else
	Negative     Problem = "negative"      // less than nothing, where nothing is the least
	NotASize     Problem = "not-a-size"    // 30 ft x 22 ft wanted
)

// ParseError says what is wrong with a written quantity, where, and what to write instead. Its message is made for
// the owner.
type ParseError struct {
	Text    string  // what was written
	Offset  int     // byte in Text where the trouble starts
	Problem Problem // what kind of trouble
	Word    string  // the piece of Text it is about
	Wanted  Dimension
	Given   Dimension // for WrongKind
	Would   []string  // units that would do, the everyday ones first
	Nearest string    // the known name that Word most resembles, if any does
	Write   string    // the whole text as it was probably meant, if that can be told
}

// Error is one sentence without a full stop: what is wrong, then what to write.
func (e *ParseError) Error() string {
	s := e.trouble()
	switch {
	case e.Write != "":
		s += ": write " + e.Write
	case e.Nearest != "":
		s += ": did you mean " + e.Nearest + "?"
	}
	return s
}

func (e *ParseError) trouble() string {
	word := e.Word
	switch e.Problem {
	case Empty:
		return "nothing is written here" + e.wanted()
	case NoNumber:
		return e.Text + " does not start with a number" + e.wanted()
	case BadNumber:
		return word + " is not a number"
	case Comma:
		return "the comma in " + word + " can be read in two ways"
	case NoUnit:
		return word + " has no unit" + e.wanted()
	case UnknownUnit:
		return word + " is not a unit known here" + e.wanted()
	case WrongKind:
		return word + " is " + article(e.Given) + e.wanted()
	case BadDoubt:
		return word + " is no doubt that can be used; one is written ± 10 %, or left out"
	case UnclearDoubt:
		return word + " is not clear" + unclearBecause[e.Wanted]
	case EndsSwapped:
		return word + " has its larger end first"
	case Leftover:
		return word + " is left over"
	case TooLong:
		return word + "... is too long for a quantity" + e.wanted()
	case TooBig:
		return word + " is beyond any number kept here"
	case TooCold:
		return word + " is colder than anything can be"
	case Mixed:
		return word + " does not add up"
	case NoFlow:
		return e.Text + " says no flow; a loss is a pressure at a flow, such as 1.8 inH2O at 800 cfm"
	case NoSuchDay:
		return word + " is no day of the calendar; a date is written 2026-03-01"
	case NoSuchTime:
		return word + " is no time of day; one is written 9 pm, 7:30 am or noon"
	case NoMoney:
		return word + " names no currency; money is written 95 USD or 60 to 110 EUR"
	case NoPrice:
		return word + " is no price per " + string(e.Wanted) + "; one is written " + map[Dimension]string{"energy": "0.17 USD/kWh", "time": "300 USD per month"}[e.Wanted]
	case Negative:
		return word + " is less than nothing"
	case NotASize:
		return word + " is not a size; one is written 30 ft x 22 ft"
	}
	return e.Text + " cannot be read"
}

var unclearBecause = map[Dimension]string{
	"share":       ": it could be a part of the share or points of it",
	"temperature": ": a temperature has no tenth; give its doubt in degrees, such as ± 5 °F",
	"sound level": ": a sound level has no tenth; give its doubt in dBA, such as ± 3 dBA",
}

// wanted says what belongs here: "; an airflow is wanted here: cfm, L/s, m³/h or m³/s". When there is something
// better to say, it is silent.
func (e *ParseError) wanted() string {
	if e.Write != "" || e.Nearest != "" {
		return ""
	}
	s := "; " + article(e.Wanted) + " is wanted here"
	if len(e.Would) > 0 {
		s += ": " + orList(e.Would)
	}
	return s
}

func article(d Dimension) string {
	switch d {
	case "":
		return "something else"
	case "number":
		return "a bare number"
	case "date", "time of day", "money":
		return map[Dimension]string{"date": "a date", "time of day": "a time of day", "money": "a sum of money"}[d]
	}
	if strings.IndexByte("aeiou", d[0]) >= 0 {
		return "an " + string(d)
	}
	return "a " + string(d)
}

func orList(words []string) string {
	if len(words) == 1 {
		return words[0]
	}
	return strings.Join(words[:len(words)-1], ", ") + " or " + words[len(words)-1]
}

// nearest finds the unit name closest to a stranger: first among the wanted dimension's, then among all.
func nearest(word string, want *book) string {
	if want != nil {
		if n := want.nearest(word); n != "" {
			return n
		}
	}
	for _, g := range groups {
		if n := books[g.dim].nearest(word); n != "" {
			return n
		}
	}
	return ""
}

func (b *book) nearest(word string) string {
	f := fold(word)
	if len(f) > 32 {
		return ""
	}
	best, name := 1+min(2, (len(f)+1)/3), ""
	for _, d := range b.defs {
		for _, s := range d.folds { // the name comes first and wins over a spelling that is no nearer
			if n := typos(f, s); n < best {
				best, name = n, d.name
			}
		}
	}
	return name
}

// typos counts the letters put in, left out, changed or swapped with a neighbour between two words.
func typos(a, b string) int {
	if d := len(a) - len(b); d > 3 || d < -3 {
		return 9
	}
	var room [3][40]int
	if len(b) >= len(room[0]) {
		return 9
	}
	before, last, row := room[0][:len(b)+1], room[1][:len(b)+1], room[2][:len(b)+1]
	for j := range last {
		last[j] = j
	}
	for i := 1; i <= len(a); i++ {
		row[0] = i
		for j := 1; j <= len(b); j++ {
			cost := 1
			if a[i-1] == b[j-1] {
				cost = 0
			}
			row[j] = min(last[j]+1, row[j-1]+1, last[j-1]+cost)
			if i > 1 && j > 1 && a[i-1] == b[j-2] && a[i-2] == b[j-1] {
				row[j] = min(row[j], before[j-2]+1)
			}
		}
		before, last, row = last, row, before
	}
	return last[len(b)]
}

// plain writes a float the short way, for texts that repeat what an owner wrote.
func plain(x float64) string {
	if x != 0 && (x >= 1e15 || x <= -1e15 || x > -1e-9 && x < 1e-9) {
		return strconv.FormatFloat(x, 'g', -1, 64)
	}
	return strconv.FormatFloat(x, 'f', -1, 64)
}
