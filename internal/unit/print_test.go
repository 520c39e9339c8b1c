package unit

import (
	"encoding/json"
	"flag"
	"math"
	"os"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

var update = flag.Bool("update", false, "rewrite the golden files")

func printed(v float64, dim Dimension, sys System) string { return shown(v, dim, sys) }

// What an owner sees. The expected texts are ours to choose; the values beside them are exact or worked out by hand.
func TestPrint(t *testing.T) {
	for _, c := range []struct {
		dim    Dimension
		v      float64
		us, si string
	}{
		{"airflow", 350 * cfm, "350 cfm", "595 m³/h"},
		{"airflow", 1250 * cfm, "1250 cfm", "2120 m³/h"},
		{"airflow", 0.3 * cfm, "0.3 cfm", "0.5 m³/h"},
		{"airflow", -1e-12, "0 cfm", "0 m³/h"},
		{"speed", 3150 * fpm, "3150 fpm", "16 m/s"},
		{"speed", 4003 * fpm, "4000 fpm", "20.3 m/s"},
		{"pressure", 0.25 * h2o, "0.25 inH2O", "62 Pa"},
		{"pressure", 9.5 * h2o, "9.5 inH2O", "2.37 kPa"},
		{"pressure", 999.6, "4.01 inH2O", "1 kPa"},
		{"pressure", -2 * h2o, "-2 inH2O", "-498 Pa"},
		{"length", 0, "0 in", "0 mm"},
		{"length", 0.1016, "4 in", "102 mm"},
		{"length", 0.1026, "4 1/16 in", "103 mm"},
		{"length", 0.0635, "2 1/2 in", "63.5 mm"},
		{"length", 0.01905, "3/4 in", "19.1 mm"},
		{"length", 0.6095, "2 ft", "610 mm"},
		{"length", 0.8636, "2 ft 10 in", "864 mm"},
		{"length", 2.8194, "9 ft 3 in", "2.82 m"},
		{"length", 3.6576, "12 ft", "3.66 m"},
		{"length", -2.286, "-7 ft 6 in", "-2.29 m"},
		{"length", 188.976, "620 ft", "189 m"},
		{"length", 1e-6, "1 µm", "1 µm"},
		{"length", 0.00015, "0.15 mm", "0.15 mm"},
		{"area", 40 * 0.0254 * 0.0254, "40 in²", "258 cm²"},
		{"area", 38 * 0.09290304, "38 ft²", "3.53 m²"},
		{"volume", 0.1135624, "30 gal", "114 L"},
		{"volume", 150, "5300 ft³", "150 m³"},
		{"power", 320, "320 W", "320 W"},
		{"power", 9000, "9 kW", "9 kW"},
		{"current", 13, "13 A", "13 A"},
		{"current", 0.03, "30 mA", "30 mA"},
		{"voltage", 117.46, "117 V", "117 V"},
		{"temperature", 293.15, "68 °F", "20 °C"},
		{"temperature", degF(-0.2), "0 °F", "-18 °C"},
		{"share", 0.55, "55 %", "55 %"},
		{"share", 0.9997, "99.97 %", "99.97 %"},
		{"share", 0.996, "99.6 %", "99.6 %"},
		{"share", 1, "100 %", "100 %"},
		{"share", 0.00005, "0.005 %", "0.005 %"},
		{"share", 0.0253, "2.5 %", "2.5 %"},
		{"time", 45, "45 s", "45 s"},
		{"time", 119.7, "2 min", "2 min"},
		{"time", 2700, "45 min", "45 min"},
		{"time", 720000, "200 h", "200 h"},
		{"time", 5 * 365.25 * 86400, "5 years", "5 years"},
		{"concentration", 35e-9, "35 µg/m³", "35 µg/m³"},
		{"concentration", 0.5e-6, "0.5 mg/m³", "0.5 mg/m³"},
		{"concentration", 1.2, "0.0749 lb/ft³", "1.2 kg/m³"},
		{"rate", 2.6 / 3600, "2.6 /h", "2.6 /h"},
		{"rate", 60, "60 Hz", "60 Hz"},
		{"angle", math.Pi / 2, "90°", "90°"},
		{"angle", math.Pi / 8, "22.5°", "22.5°"},
		{"sound level", 82.4, "82 dBA", "82 dBA"},
		{"energy", 3.6e6, "1 kWh", "1 kWh"},
		{"viscosity", 1.82e-5, "18.2 µPa·s", "18.2 µPa·s"},
		{"wire size", awg(12), "12 AWG", "3.31 mm²"},
		{"wire size", awg(-1), "2/0 AWG", "67.4 mm²"},
		{"wire size", 2.5e-6, "2.5 mm²", "2.5 mm²"},
		{"number", 0.01852, "0.0185", "0.0185"},
		{"number", 1, "1", "1"},
		{"number", 123456, "123000", "123000"},
		{"number", 1e20, "1e+20", "1e+20"},
		{"mass", 5e-6, "5 mg", "5 mg"},
		{"mass", 5, "11 lb", "5 kg"},
		{"mass rate", 1e-6 / 3, "20 mg/min", "20 mg/min"},
		{"airflow", math.NaN(), "unknown", "unknown"},
		{"time", math.Inf(1), "no limit", "no limit"},
	} {
		if got := printed(c.v, c.dim, US); got != c.us {
			t.Errorf("%s %g: got %q, want %q", c.dim, c.v, got, c.us)
		}
		if got := printed(c.v, c.dim, SI); got != c.si {
			t.Errorf("%s %g: got %q, want %q", c.dim, c.v, got, c.si)
		}
	}
}

func TestPrintRangesAndAmounts(t *testing.T) {
	a := Amount[M3PerSec]{Best: 310 * cfm, Low: 250 * cfm, High: 345 * cfm, Basis: Assumed}
	for _, c := range []struct{ got, want string }{
		{PrintAmount(a, US), "310 cfm, likely 250 to 345 cfm"},
		{PrintAmount(Exactly(M3PerSec(350*cfm)), US), "350 cfm"},
		{PrintAmount(Amount[Pascal]{}, US), "unknown"},
		{PrintAmount(Amount[Pascal]{Basis: Absent}, US), "none"},
		{PrintAmount(Amount[Metre]{Basis: Drawn}, US), "drawn"},
		{PrintRange(Pascal(800), 1200, SI), "0.8 to 1.2 kPa"},
		{PrintRange(Metre(2.7), 3.2, US), "8 ft 10 in to 10 ft 6 in"},
		{PrintRange(Kelvin(degF(45)), Kelvin(degF(85)), US), "45 to 85 °F"},
		{PrintRange(Radian(math.Pi/4), math.Pi/2, US), "45 to 90°"},
		{PrintRange(Second(45), 45.01, US), "45 s"},
		{PrintRange(Fraction(0.3), 0.8, US), "30 to 80 %"},
		{PrintRange(Number(1.4), 1.9, US), "1.4 to 1.9"},
		{PrintRange(Wire(awg(14)), Wire(awg(12)), US), "14 to 12 AWG"},
		{PrintRange(M3PerSec(-0.1), 0.05, SI), "-360 to 180 m³/h"},
		{PrintIn(Watt(1.5*horse), "hp"), "1.5 hp"},
		{PrintIn(Metre(0.762), "ft"), "2.5 ft"},
		{PrintMotor(750, SI) + PrintMotor(Watt(3*horse), US), "0.75 kW3 hp"},
		{PrintBulk(120e-3/3600, SI) + PrintBulk(120e-3/3600, US), "120 L/h32 gal/h"},
	} {
		if c.got != c.want {
			t.Errorf("got %q, want %q", c.got, c.want)
		}
	}
}

func TestPrintInRefusesStrangers(t *testing.T) {
	defer func() {
		if recover() == nil {
			t.Error("PrintIn of a length in cfm should panic")
		}
	}()
	PrintIn(Metre(1), "cfm")
}

func TestText(t *testing.T) {
	for _, c := range []struct{ text, unit string }{
		{"350 cfm", "cfm"}, {"350 cfm ± 10 %", "cfm"}, {"350 cfm +87.5/-35 cfm", "cfm"}, {"unknown", "cfm"}, {"none", "cfm"}, {"25 L/h", "L/h"},
	} {
		a, err := Parse[M3PerSec](c.text)
		if got := Text(a, c.unit); err != nil || got != c.text {
			t.Errorf("got %q, %v; want %q", got, err, c.text)
		}
	}
	k, _ := Parse[Kelvin]("45 to 85 °F")
	s, _ := Parse[Fraction]("70 % +5/-3 points")
	w, _ := Parse[Wire]("2/0 AWG")
	n, _ := Parse[Number]("1.5 ± 0.1")
	for _, c := range []struct{ got, want string }{
		{Text(k, "°F"), "45 to 85 °F"}, {Text(s, "%"), "70 % +5/-3 points"}, {Text(s, "‰"), "700 ‰ +5/-3 points"}, {Text(w, "AWG"), "2/0 AWG"}, {Text(n, ""), "1.4 to 1.6"},
	} {
		if c.got != c.want {
			t.Errorf("got %q, want %q", c.got, c.want)
		}
	}
}

// golden is what another program must write for the same values; the page's own formatter is held to it.
type golden struct {
	About  string        `json:"about"`
	Looks  []goldenLook  `json:"looks"`
	Cases  []goldenCase  `json:"cases"`
	Ranges []goldenRange `json:"ranges"`
}

// goldenLook is one row of the table of looks: value = si·per/mul - zero_at, shown from `from` up.
type goldenLook struct {
	Quantity Dimension `json:"quantity"`
	System   System    `json:"system"`
	Unit     string    `json:"unit"`
	From     float64   `json:"from"`
	How      string    `json:"how,omitempty"`
	Mul      float64   `json:"mul"`
	Per      float64   `json:"per"`
	ZeroAt   float64   `json:"zero_at,omitempty"`
	Step     int       `json:"step"`
	Fixed    bool      `json:"fixed,omitempty"`
	Nought   bool      `json:"nought,omitempty"`
	NoGap    bool      `json:"no_gap,omitempty"`
}

type goldenCase struct {
	Quantity Dimension `json:"quantity"`
	SI       float64   `json:"si"`
	USText   string    `json:"us_text"`
	SIText   string    `json:"si_text"`
}

type goldenRange struct {
	Quantity Dimension `json:"quantity"`
	Low      float64   `json:"low"`
	High     float64   `json:"high"`
	USText   string    `json:"us_text"`
	SIText   string    `json:"si_text"`
}

func TestGolden(t *testing.T) {
	const file = "../../testdata/format.json"
	g := makeGolden()
	data := []byte("{\"about\": " + line(t, g.About) + ",\n" + block(t, "looks", g.Looks) + ",\n" + block(t, "cases", g.Cases) + ",\n" + block(t, "ranges", g.Ranges) + "}\n")
	if err := json.Unmarshal(data, new(golden)); err != nil {
		t.Fatal(err)
	}
	if *update {
		if err := os.WriteFile(file, data, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(string(want), string(data)); diff != "" {
		t.Errorf("format.json has drifted; -update if meant:\n%s", diff)
	}
}

func line(t *testing.T, v any) string {
	t.Helper()
	b, err := json.Marshal(v)
	if err != nil {
		t.Fatal(err)
	}
	return string(b)
}

// block writes a list one item a line, so that a change of the rule is a diff one can read.
func block[T any](t *testing.T, name string, items []T) string {
	t.Helper()
	lines := make([]string, len(items))
	for i, it := range items {
		lines[i] = "  " + line(t, it)
	}
	return line(t, name) + ": [\n" + strings.Join(lines, ",\n") + "\n]"
}

func makeGolden() golden {
	g := golden{About: "How a value in SI is written for the owner. Written by `go test ./internal/unit -update`; the rule is in internal/unit/print.go."}
	for _, dim := range Dimensions() {
		for _, sys := range []System{US, SI} {
			for _, l := range looksOf(dim, sys) {
				g.Looks = append(g.Looks, goldenLook{
					Quantity: dim, System: sys, Unit: l.unit, From: l.from, How: l.how, Mul: l.def.mul, Per: l.def.per, ZeroAt: l.def.zero,
					Step: l.def.step, Fixed: l.def.flag&fixed != 0, Nought: l.zero, NoGap: l.def.flag&hideGap != 0,
				})
			}
		}
		for _, v := range goldenValues(dim) {
			g.Cases = append(g.Cases, goldenCase{Quantity: dim, SI: v, USText: shown(v, dim, US), SIText: shown(v, dim, SI)})
		}
		v := goldenValues(dim)
		for i := 3; i+4 < len(v); i += 5 {
			low, high := min(v[i], v[i+4]), max(v[i], v[i+4])
			g.Ranges = append(g.Ranges, goldenRange{Quantity: dim, Low: low, High: high, USText: shownRange(low, high, dim, US), SIText: shownRange(low, high, dim, SI)})
		}
	}
	return g
}

// goldenValues walks through every look of a dimension: its start, just under it, round values and odd ones, and zero.
func goldenValues(dim Dimension) []float64 {
	seen := map[float64]bool{}
	var out []float64
	add := func(v float64) {
		if v == 0 {
			v = 0 // no negative zero
		}
		if !seen[v] && (dim != "temperature" || v >= 0) && (dim != "wire size" || v > 0) {
			seen[v] = true
			out = append(out, v)
		}
	}
	add(0)
	for _, sys := range []System{US, SI} {
		for _, l := range looksOf(dim, sys) {
			if dim == "wire size" && l.unit == "AWG" {
				for n := -3.0; n <= 18; n += 3 {
					add(awgArea(n))
				}
				continue
			}
			base := max(l.from, math.Pow10(l.def.step))
			if l.def.flag&fixed != 0 {
				base = 1
			}
			for _, k := range []float64{0.9996, 1, 1.5, 2.4451, 4, 9.996, 12.5, 33.333, 81.7, 99.6, 347.2} {
				add(l.def.toSI(base * k))
			}
			add(l.def.toSI(-1.5 * base))
			add(l.def.toSI(base * 0.034))
		}
	}
	return out
}
