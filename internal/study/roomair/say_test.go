package roomair

import (
	"encoding/json"
	"math"
	"os"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"winnow/internal/unit"
)

// A difference of 20 K is 36 °F, not 68 °F: 1.8 by definition (BIPM, SI brochure, on the degree Celsius; NIST SP 811).
func TestADifferenceOfTemperature(t *testing.T) {
	if us, si := PrintColder(20, unit.US), PrintColder(20, unit.SI); us != "36 °F" || si != "20 °C" {
		t.Errorf("%q and %q", us, si)
	}
	a := answer(t, strings.Replace(with(t, "draught: natural", "draught: sealed"), "    filter: {grade: 5 µm claimed}\n", "    filter: {grade: 5 µm claimed}\n    air goes: outdoors\n", 1))
	f := a.finding(CodeMakeUp)
	if f == nil {
		t.Fatal("nothing is said of the air that must come in")
	}
	if us, si := f.Sentence(unit.US), f.Sentence(unit.SI); !strings.Contains(us, "36 °F colder") || strings.Contains(us, "°C") || !strings.Contains(si, "20 °C colder") {
		t.Errorf("%s\n%s", us, si)
	}
}

// Waits are rounded up, to a step, and never by more than the next step; sizes to what can be bought.
func TestNoFinerThanItIsKnown(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := rapid.Float64Range(1, 5*86400).Draw(t, "wait")
		up := float64(stepUp(s))
		if up < s*(1-1e-6) || s > 300 && up > 2*s+1 {
			t.Fatalf("%g s is said as %g s", s, up)
		}
		q := unit.M3PerSec(rapid.Float64Range(0.001, 2).Draw(t, "flow"))
		for sys, step := range map[unit.System]float64{unit.US: 50 * 0.000471947443, unit.SI: 100.0 / 3600} {
			said := PrintSize(q, sys)
			got, err := unit.Parse[unit.M3PerSec](said)
			if err != nil {
				t.Fatal(err)
			}
			if n := float64(got.Best) / step; math.Abs(n-math.Round(n)) > 1e-3 || math.Abs(float64(got.Best-q)) > step {
				t.Fatalf("%g m³/s is said as %s", float64(q), said)
			}
		}
	})
	for text, got := range map[string]string{
		"0.15 in": depthArg(LayerDepth(250)).Print(unit.US), "3.8 mm": depthArg(LayerDepth(250)).Print(unit.SI), // 3.81 mm by OSHA 2015: two figures of both
		"16 lb/ft³": bulkArg(250).Print(unit.US), "250 kg/m³": bulkArg(250).Print(unit.SI), // 15.6 by NIST SP 811
		"1.3 mg/m³": unit.Print(Two(1.34e-6), unit.US), "13 mg/m³": unit.Print(Two(13.2e-6), unit.SI),
	} {
		if got != text {
			t.Errorf("%q is said as %q", text, got)
		}
	}
}

// The words are a table that the page is held to as well: the same share, ratio, wait, size and level by both.
func TestTheAirIsSaidAlike(t *testing.T) {
	type row struct {
		Low, Median, High, Share, S, M3s, K, V float64
		Quantity, System, Reads                string
	}
	var say map[string]json.RawMessage
	text, err := os.ReadFile("testdata/say.json")
	if err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal(text, &say); err != nil {
		t.Fatal(err)
	}
	two := map[string]func(float64, unit.System) string{
		"area":     func(v float64, s unit.System) string { return PrintTwo(unit.M2(v), s) },
		"power":    func(v float64, s unit.System) string { return PrintTwo(unit.Watt(v), s) },
		"energy":   func(v float64, s unit.System) string { return PrintTwo(unit.Joule(v), s) },
		"pressure": func(v float64, s unit.System) string { return PrintTwo(unit.Pascal(v), s) },
	}
	says := map[string]func(row, unit.System) string{
		"less":   func(r row, _ unit.System) string { return PrintLess(Span{r.Low, r.Median, r.High}, "", "today") },
		"share":  func(r row, _ unit.System) string { return PrintShare(r.Share) },
		"wait":   func(r row, _ unit.System) string { return PrintWait(unit.Second(r.S)) },
		"size":   func(r row, s unit.System) string { return PrintSize(unit.M3PerSec(r.M3s), s) },
		"colder": func(r row, s unit.System) string { return PrintColder(unit.Kelvin(r.K), s) },
		"two":    func(r row, s unit.System) string { return two[r.Quantity](r.V, s) },
		"levels": func(r row, s unit.System) string {
			return PrintLevels(Levels{Low: unit.KgPerM3(r.Low), High: unit.KgPerM3(r.High)}, s)
		},
	}
	for name, say1 := range says {
		var rows []row
		if err := json.Unmarshal(say[name], &rows); err != nil || len(rows) == 0 {
			t.Fatalf("%s: %v", name, err)
		}
		for _, r := range rows {
			sys := unit.SI
			if r.System == "us" {
				sys = unit.US
			}
			if got := say1(r, sys); got != r.Reads {
				t.Errorf("%s: %+v is said as %q", name, r, got)
			}
		}
	}
	if got := PrintLess(Span{Low: 1.18, Median: 1.41, High: 1.73}, " dust", "usually"); got != "41 % more dust (18 to 73)" {
		t.Error(got)
	}
}
