package roomair

import (
	"math"
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
	for text, s := range map[string]unit.Second{"40 min": 2400, "1 h": 3600, "1.5 h": 5400, "3 h": 10800, "72 min": 4320, "1 min": 20, "3 min": 204} {
		if got := PrintWait(s); got != text {
			t.Errorf("%v s is said as %q, not %q", s, got, text)
		}
	}
	for text, got := range map[string]string{
		"5.4 kW": PrintTwo(unit.Watt(5432), unit.SI), "26 kWh": PrintTwo(unit.Joule(9.38e7), unit.US), "150 kWh": PrintTwo(unit.Joule(149*3.6e6), unit.SI),
		"2.2 ft²": PrintTwo(unit.M2(0.2043), unit.US), "6 Pa": PrintTwo(unit.Pascal(5.98), unit.SI), "1/8 in": PrintTwo(LayerDepth(250), unit.US),
		"1.3 mg/m³": unit.Print(Two(1.34e-6), unit.US), "13 mg/m³": unit.Print(Two(13.2e-6), unit.SI),
	} {
		if got != text {
			t.Errorf("%q is said as %q", text, got)
		}
	}
}
