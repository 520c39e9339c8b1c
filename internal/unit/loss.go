package unit

import "strings"

// LossAt is a pressure lost at a flow: `1.8 inH2O at 800 cfm`.
type LossAt struct {
	Drop Amount[Pascal]
	At   Amount[M3PerSec]
}

// ParseLossAt reads a loss at a flow. `unknown` and `none` may stand for both. Errors are *ParseError, their Offset in the
// whole text.
func ParseLossAt(text string) (LossAt, error) {
	if basis, ok := saidInWords(strings.TrimSpace(text)); ok {
		return LossAt{Drop: Amount[Pascal]{Basis: basis}, At: Amount[M3PerSec]{Basis: basis}}, nil
	}
	left, right, ok := strings.Cut(text, " at ")
	if !ok {
		return LossAt{}, &ParseError{Text: text, Problem: NoFlow, Word: text, Wanted: "airflow", Would: offered("airflow")}
	}
	drop, err := Parse[Pascal](left)
	if err != nil {
		return LossAt{}, within(err, text, 0, left)
	}
	at, err := Parse[M3PerSec](right)
	if err != nil {
		return LossAt{}, within(err, text, len(left)+len(" at "), right)
	}
	for _, basis := range [...]Basis{drop.Basis, at.Basis} {
		if basis != Given {
			return LossAt{}, &ParseError{Text: text, Problem: NoFlow, Word: text, Wanted: "airflow", Would: offered("airflow")}
		}
	}
	if !(at.Best > 0) {
		return LossAt{}, &ParseError{Text: text, Offset: len(left) + len(" at "), Problem: NoFlow, Word: right, Wanted: "airflow", Would: offered("airflow")}
	}
	return LossAt{Drop: drop, At: at}, nil
}

// Print writes the loss for the owner.
func (l LossAt) Print(sys System) string {
	if l.Drop.Basis == Unsaid || l.Drop.Basis == Absent {
		return PrintAmount(l.Drop, sys)
	}
	return Print(l.Drop.Best, sys) + " at " + Print(l.At.Best, sys)
}

// within moves an error about a part of a text to its place in the whole.
func within(err error, whole string, offset int, part string) error {
	e, ok := err.(*ParseError)
	if !ok {
		return err
	}
	moved := *e
	moved.Text, moved.Offset = whole, e.Offset+offset
	switch {
	case e.Problem == NoUnit && strings.Contains(e.Write, " or "): // a choice of units reads badly inside a longer text
		moved.Write = ""
	case e.Write != "":
		moved.Write = whole[:offset] + e.Write + whole[offset+len(part):]
	}
	return &moved
}

// ParseSides reads a footprint, `30 ft x 22 ft`: along the front first, then the depth. Errors are *ParseError.
func ParseSides(text string) (width, depth Amount[Metre], err error) {
	for _, by := range [...]string{" x ", "×", " X ", " by "} {
		left, right, ok := strings.Cut(text, by)
		if !ok {
			continue
		}
		if width, err = Parse[Metre](left); err != nil {
			return width, depth, lentUnit(within(err, text, 0, left), left, by, right)
		}
		if depth, err = Parse[Metre](right); err != nil {
			return width, depth, within(err, text, len(left)+len(by), right)
		}
		if width.Basis == Given && depth.Basis == Given && width.Low > 0 && depth.Low > 0 {
			return width, depth, nil
		}
		break
	}
	return Amount[Metre]{}, Amount[Metre]{}, &ParseError{Text: text, Problem: NotASize, Word: text, Wanted: "length", Would: offered("length")}
}

// lentUnit suggests the unit of the second side for the first: 30 x 22 ft.
func lentUnit(err error, left, by, right string) error {
	e, ok := err.(*ParseError)
	last := strings.LastIndexAny(right, "0123456789")
	if !ok || e.Problem != NoUnit || last < 0 {
		return err
	}
	try := strings.TrimSpace(left) + " " + strings.TrimSpace(right[last+1:])
	if _, bad := Parse[Metre](try); bad == nil {
		e.Write = try + by + right
	}
	return e
}
