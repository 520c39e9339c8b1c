package cli

import (
	"bytes"
	"strings"
	"testing"
	"unicode/utf8"

	"winnow/internal/study/verdict"
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

// At 80 columns the first table of check and the outlets of power keep every row readable: its name, and each value behind its label.
func TestATableThatDoesNotFitIsStacked(t *testing.T) {
	for _, c := range []struct {
		args   []string
		header string
		want   []string
	}{
		{[]string{"check"}, "fine dust", []string{"  band saw\n", "verdict: much too short", "gets: 121 cfm", "fine dust: would need 700 cfm"}},
		{[]string{"power"}, "plugged in now", []string{"  outlet rack\n", "circuit: A", "plugged in now: band saw, collector", "by the plan: band saw, collector"}},
	} {
		var out bytes.Buffer
		e := &env{out: &calm{w: &out, width: 80}, err: &out}
		o, err := loadShop(e, "../../../examples/carport.yaml")
		if err != nil {
			t.Fatal(err)
		}
		if c.args[0] == "check" {
			ready := verdict.Prepare(o.doc.Shop(), nil)
			v, err := verdict.Of(t.Context(), ready, o.doc.Try)
			if err != nil {
				t.Fatal(err)
			}
			printVerdict(e, o, v)
		} else {
			r, err := verdict.Circuits(t.Context(), o.shop, o.layout, o.doc.Try)
			if err != nil {
				t.Fatal(err)
			}
			printOutlets(e, o, r)
		}
		for _, w := range c.want {
			if !strings.Contains(out.String(), w) {
				t.Errorf("winnow %v: no %q in\n%s", c.args, w, out.String())
			}
		}
		for line := range strings.Lines(out.String()) {
			if n := utf8.RuneCountInString(strings.TrimRight(line, "\n")); n > 80 {
				t.Errorf("winnow %v: %d columns: %s", c.args, n, line)
			}
		}
	}
}

func TestARowWithoutLabelsHangsUnderItsSecondCell(t *testing.T) {
	var out bytes.Buffer
	rows := [][]string{{"free", "shake the filter", "100 -> 120 cfm"}, {"45 USD", "another hose", ""}}
	printTable(&calm{w: &out, width: 40}, nil, rows)
	if got, want := out.String(), "  free    shake the filter\n          100 -> 120 cfm\n  45 USD  another hose\n"; got != want {
		t.Errorf("%q, want %q", got, want)
	}
	out.Reset()
	printTable(&calm{w: &out, width: 60}, nil, rows) // it fits
	if !strings.Contains(out.String(), "shake the filter  100 -> 120 cfm") {
		t.Errorf("%q", out.String())
	}
}
