package unit

import (
	"strconv"
	"strings"
)

// Clock is a time of day: minutes after midnight, 0 to 1439.
type Clock int

// Hours is a part of the day, `9 pm to 7 am`; it may run over midnight.
type Hours struct{ From, To Clock }

// ParseClock reads `9 pm`, `7:30 am`, `noon`, `midnight`. A bare 21:00 is refused, as many readers of such files take it
// for the number 1260. Errors are *ParseError.
func ParseClock(text string) (Clock, error) {
	t := strings.ToLower(strings.TrimSpace(text))
	switch t {
	case "noon":
		return 12 * 60, nil
	case "midnight":
		return 0, nil
	}
	e := &ParseError{Text: text, Problem: NoSuchTime, Word: strings.TrimSpace(text), Wanted: "time of day"}
	body, late, half := halfDay(t)
	h, m, minutes := strings.Cut(strings.TrimSpace(body), ":")
	hour, ok := digits(h)
	minute := 0
	if minutes {
		var fine bool
		minute, fine = digits(m)
		ok = ok && fine && len(m) == 2 && minute < 60
	}
	if !ok || len(h) > 2 || hour > 24 || half && (hour < 1 || hour > 12) {
		return 0, e
	}
	if !half {
		e.Write = Clock((hour*60 + minute) % 1440).String()
		return 0, e
	}
	return Clock((hour%12+late)*60 + minute), nil
}

// halfDay cuts am or pm off and says how many hours that adds.
func halfDay(t string) (rest string, late int, ok bool) {
	for _, s := range [...]string{"am", "a.m."} {
		if rest, ok = strings.CutSuffix(t, s); ok {
			return rest, 0, true
		}
	}
	for _, s := range [...]string{"pm", "p.m."} {
		if rest, ok = strings.CutSuffix(t, s); ok {
			return rest, 12, true
		}
	}
	return t, 0, false
}

// String writes 9 pm, 7:30 am, noon, midnight.
func (c Clock) String() string {
	switch c {
	case 0:
		return "midnight"
	case 12 * 60:
		return "noon"
	}
	hour, half := (int(c)/60+11)%12+1, " am"
	if c >= 12*60 {
		half = " pm"
	}
	s := strconv.Itoa(hour)
	if m := int(c) % 60; m > 0 {
		s += ":" + pad(m, 2)
	}
	return s + half
}

// ParseHours reads `9 pm to 7 am`. Errors are *ParseError.
func ParseHours(text string) (Hours, error) {
	left, right, ok := strings.Cut(text, " to ")
	if !ok {
		return Hours{}, &ParseError{Text: text, Problem: NoSuchTime, Word: text, Wanted: "time of day", Write: ""}
	}
	from, err := ParseClock(left)
	if err != nil {
		return Hours{}, within(err, text, 0, left)
	}
	to, err := ParseClock(right)
	if err != nil {
		return Hours{}, within(err, text, len(left)+len(" to "), right)
	}
	return Hours{From: from, To: to}, nil
}

// String writes 9 pm to 7 am.
func (h Hours) String() string { return h.From.String() + " to " + h.To.String() }

// Has says whether a time lies inside; From does, To does not. Equal ends are the whole day.
func (h Hours) Has(c Clock) bool {
	if h.From < h.To {
		return c >= h.From && c < h.To
	}
	return c >= h.From || c < h.To
}
