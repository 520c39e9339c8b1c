package cli

import (
	"bytes"
	"strings"
	"testing"
	"unicode/utf8"
)

func TestLongLinesFoldWhereAReaderWould(t *testing.T) {
	for _, c := range []struct{ line, want string }{
		{"short", "short"},
		{"", ""},
		{"one two three four five six", "one two three four\n    five six"},
		{"  planer    short   315 cfm   400 cfm", "  planer    short\n      315 cfm\n      400 cfm"},
		{"  a-word-longer-than-the-whole-line and more", "  a-word-longer-than-the-whole-line\n      and more"},
		{"µµµµµµµµµ µµµµµµµµµ", "µµµµµµµµµ µµµµµµµµµ"},
		{"exactly twenty chars", "exactly twenty chars"},
		{"spaces at the end           ", "spaces at the end           "},
	} {
		if got := fold(c.line, 20); got != c.want {
			t.Errorf("%q:\n%s\nwant\n%s", c.line, got, c.want)
		}
	}
}

// No run of the examples has a line over 80 columns on such a terminal, and folding loses no word.
func TestNothingIsLostInANarrowTerminal(t *testing.T) {
	carport := "../../../examples/carport.yaml"
	for _, args := range [][]string{{"check", carport}, {"air", carport}, {"power", carport}, {"explain", "planer", carport}, {"gates", "chart", carport}} {
		var out, errs, folded bytes.Buffer
		Run(args, strings.NewReader(""), &out, &errs)
		if _, err := (&calm{w: &folded, width: 80}).Write(out.Bytes()); err != nil {
			t.Fatal(err)
		}
		for line := range strings.Lines(folded.String()) {
			if n := utf8.RuneCountInString(strings.TrimRight(line, "\n ")); n > 80 && strings.Contains(strings.TrimSpace(line), " ") {
				t.Errorf("winnow %v: %d columns: %s", args, n, line)
			}
		}
		if strings.Join(strings.Fields(out.String()), " ") != strings.Join(strings.Fields(folded.String()), " ") {
			t.Errorf("winnow %v: folding changed the words", args)
		}
	}
}
