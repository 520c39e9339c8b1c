package unit

import "errors"

var basisWords = [...]string{Unsaid: "unsaid", Assumed: "assumed", Given: "given", Drawn: "drawn", Fitted: "fitted", Absent: "absent"}

// String is the word shown and written in --json.
func (b Basis) String() string {
	if int(b) < len(basisWords) {
		return basisWords[b]
	}
	return "unsaid"
}

// MarshalText writes the word.
func (b Basis) MarshalText() ([]byte, error) { return []byte(b.String()), nil }

// UnmarshalText reads the word.
func (b *Basis) UnmarshalText(text []byte) error {
	for i, w := range basisWords {
		if w == string(text) {
			*b = Basis(i)
			return nil
		}
	}
	return errors.New(string(text) + " is no origin of a number")
}

// String is the word of the shop file: us or si.
func (s System) String() string {
	if s == SI {
		return "si"
	}
	return "us"
}

// MarshalText writes the word.
func (s System) MarshalText() ([]byte, error) { return []byte(s.String()), nil }

// UnmarshalText reads the word.
func (s *System) UnmarshalText(text []byte) error {
	got, ok := ParseSystem(string(text))
	if !ok {
		return errors.New(string(text) + " is no family of units: write us or si")
	}
	*s = got
	return nil
}

// ParseSystem reads us or si.
func ParseSystem(text string) (System, bool) {
	switch text {
	case "us":
		return US, true
	case "si":
		return SI, true
	}
	return US, false
}
