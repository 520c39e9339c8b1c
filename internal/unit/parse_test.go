package unit

import (
	"errors"
	"math"
	"strings"
	"testing"
)

// close compares to a relative tolerance.
func near(got, want, tol float64) bool {
	return got == want || math.Abs(got-want) <= tol*math.Max(math.Abs(got), math.Abs(want))
}

// reads checks a text read as dimension dim against what it should say in SI: one value, or low, high, or best, low, high.
func reads(t *testing.T, dim Dimension, text string, want ...float64) {
	t.Helper()
	s := scanner{text: text, book: books[dim]}
	r, err := s.amount()
	if err != nil {
		t.Errorf("%s as %s: %v", text, dim, err)
		return
	}
	w := reading{best: want[0], low: want[0], high: want[0]}
	switch len(want) {
	case 2:
		w = reading{best: (want[0] + want[1]) / 2, low: want[0], high: want[1]}
	case 3:
		w = reading{best: want[0], low: want[1], high: want[2]}
	}
	if r.basis != Given || !near(r.best, w.best, 1e-12) || !near(r.low, w.low, 1e-12) || !near(r.high, w.high, 1e-12) {
		t.Errorf("%s as %s: got %v %v..%v, want %v %v..%v", text, dim, r.best, r.low, r.high, w.best, w.low, w.high)
	}
}

const (
	cfm   = 0.3048 * 0.3048 * 0.3048 / 60
	h2o   = 249.08891
	fpm   = 0.3048 / 60
	horse = 745.69987158227022
)

func degF(f float64) float64 { return (f + 459.67) * 5 / 9 }

func awg(n float64) float64 { // ASTM B258, from memory: each gauge is 92^(1/39) thinner than the last
	d := 0.005 * 0.0254 * math.Pow(92, (36-n)/39)
	return math.Pi * d * d / 4
}

// Every quantity in the example of the shop file, key by key, with the SI value worked out here by hand.
func TestShopFileValues(t *testing.T) {
	for _, c := range []struct {
		dim  Dimension
		text string
		want []float64
	}{
		{"length", "620 ft", []float64{188.976}},
		{"temperature", "45 to 85 °F", []float64{degF(45), degF(85)}},
		{"share", "30 to 80 %", []float64{0.3, 0.8}},
		{"length", "0 ft", []float64{0}},
		{"length", "30 ft", []float64{9.144}},
		{"length", "9 ft", []float64{2.7432}},
		{"length", `2' 6"`, []float64{0.762}},
		{"length", "34 in", []float64{0.8636}},
		{"current", "20 A", []float64{20}},
		{"voltage", "120 V", []float64{120}},
		{"wire size", "12 AWG", []float64{awg(12)}},
		{"wire size", "14 AWG", []float64{awg(14)}},
		{"wire size", "2.5 mm²", []float64{2.5e-6}},
		{"length", "46 ft", []float64{14.0208}},
		{"power", "320 W", []float64{320}},
		{"current", "1.8 A", []float64{1.8}},
		{"angle", "0°", []float64{0}},
		{"angle", "45°", []float64{math.Pi / 4}},
		{"angle", "90°", []float64{math.Pi / 2}},
		{"angle", "180°", []float64{math.Pi}},
		{"angle", "90 deg", []float64{math.Pi / 2}},
		{"power", "3 hp", []float64{3 * horse}},
		{"power", "1 hp", []float64{horse}},
		{"power", "1 1/2 hp", []float64{1.5 * horse}},
		{"power", "3/4 hp", []float64{0.75 * horse}},
		{"voltage", "240 V", []float64{240}},
		{"length", "4 in", []float64{0.1016}},
		{"length", "2 1/2 in", []float64{0.0635}},
		{"length", "1 1/2 in", []float64{0.0381}},
		{"length", "27 mm", []float64{0.027}},
		{"length", "1 µm", []float64{1e-6}},
		{"length", "3.5 m", []float64{3.5}},
		{"airflow", "350 cfm", []float64{350 * cfm}},
		{"airflow", "500 cfm", []float64{500 * cfm}},
		{"airflow", "25 L/h", []float64{25e-3 / 3600}},
		{"airflow", "120 L/h", []float64{120e-3 / 3600}},
		{"area", "40 in2", []float64{40 * 0.0254 * 0.0254}},
		{"number", "2.0", []float64{2}},
		{"number", "1.5", []float64{1.5}},
		{"number", "1", []float64{1}},
		{"number", "8", []float64{8}},
		{"airflow", "0 cfm", []float64{0}},
		{"airflow", "1250 cfm", []float64{1250 * cfm}},
		{"pressure", "9.5 inH2O", []float64{9.5 * h2o}},
		{"pressure", "55 inH2O", []float64{55 * h2o}},
		{"pressure", "0 inH2O", []float64{0}},
		{"area", "38 ft2", []float64{38 * 0.3048 * 0.3048}},
		{"time", "30 h", []float64{108000}},
		{"volume", "30 gal", []float64{30 * 0.003785411784}},
		{"sound level", "82 dBA", []float64{82}},
		{"time", "3 s", []float64{3}},
		{"time", "1.5 s", []float64{1.5}},
		{"time", "45 min", []float64{2700}},
		{"time", "200 h", []float64{720000}},
		{"share", "85 %", []float64{0.85}},
		{"share", "70 %", []float64{0.70}},
		{"airflow", "360 to 480 cfm", []float64{360 * cfm, 480 * cfm}},
		{"power", "130 W", []float64{130}},
		{"rate", "0.4 /h", []float64{0.4 / 3600}},
		{"rate", "2.6 /h", []float64{2.6 / 3600}},
		{"pressure", "0.8 inH2O", []float64{0.8 * h2o}},
		{"speed", "3150 fpm ± 5 %", []float64{3150 * fpm, 3150 * fpm * 0.95, 3150 * fpm * 1.05}},
		{"pressure", "2.4 inH2O ± 0.1 inH2O", []float64{2.4 * h2o, 2.3 * h2o, 2.5 * h2o}},
		{"current", "11.8 A ± 3 %", []float64{11.8, 11.8 * 0.97, 11.8 * 1.03}},
		{"pressure", "8.3 inH2O ± 0.2 inH2O", []float64{8.3 * h2o, 8.1 * h2o, 8.5 * h2o}},
		{"length", `7' 6"`, []float64{2.286}},
		{"airflow", "350 cfm ± 10 %", []float64{350 * cfm, 315 * cfm, 385 * cfm}},
		{"airflow", "350 cfm +/- 10 %", []float64{350 * cfm, 315 * cfm, 385 * cfm}},
		{"airflow", "350 cfm +25/-10 %", []float64{350 * cfm, 315 * cfm, 437.5 * cfm}},
		{"area", "4 ft2", []float64{4 * 0.09290304}},
	} {
		reads(t, c.dim, c.text, c.want...)
	}
}

// Ways of writing that mean the same.
func TestSpellings(t *testing.T) {
	for _, c := range []struct {
		dim   Dimension
		want  float64
		texts []string
	}{
		{"airflow", 350 * cfm, []string{
			"350 cfm", "350cfm", "350 CFM", "350 Cfm", "  350 cfm ", "350\u00a0cfm", "350 ft3/min", "350 ft³/min", "350 ft^3/min", "350 cu ft/min",
			"350 cubic feet per minute", "+350 cfm", "350.0 cfm", "3.5e2 cfm",
		}},
		{"airflow", 0.1, []string{"100 L/s", "100 l/s", "360 m³/h", "360 m3/h", "360 M3/H", "360 m3/hr", "360 m^3/h", "0.1 m³/s", "6000 L/min", "6 m³/min", "360 cubic metres per hour"}},
		{"speed", 20, []string{"20 m/s", "20 M/S", "20000 mm/s", "20 m per s", "72 km/h", "1200 m/min"}},
		{"speed", 0.3048 * 60, []string{"3600 fpm", "60 ft/s", "3600 ft/min", "3600 feet per minute", "60 fps"}},
		{"length", 2.286, []string{
			`7' 6"`, `7'6"`, `7'-6"`, "7’ 6”", "7′ 6″", "7 ft 6 in", "7ft 6in", "7 foot 6 inches", "7.5 ft", "7 1/2 ft", "7½ ft", "90 in", `90"`, "90''",
			"2.286 m", "2286 mm", "228.6 cm", "2.5 yd",
		}},
		{"length", 0.0635, []string{"2 1/2 in", "2-1/2 in", "2½ in", "2 ½ in", "2.5 in", "5/2 in", `2 1/2"`, "2 1/2 inch", "2 1/2-inch", "63.5 mm", "63.5 MM"}},
		{"length", 12e-6, []string{"12 µm", "12 μm", "12 um", "12 micron", "12 microns"}},
		{"length", -0.762, []string{`-2' 6"`, "−2 ft 6 in", "-30 in"}},
		{"length", -0.1524, []string{`-0' 6"`, "-6 in"}},
		{"pressure", 2.4 * h2o, []string{
			"2.4 inH2O", "2.4 in H2O", "2.4 inh2o", "2.4 IN H2O", "2.4 in wg", "2.4 in. wg", "2.4 in w.g.", "2.4 inWC", "2.4 in WC", `2.4" wg`, `2.4"wc`,
			"2.4 inches of water", "2.4 iwc", "60.96 mmH2O", "60.96 mm H2O",
		}},
		{"pressure", 1500, []string{"1500 Pa", "1.5 kPa", "1.5 KPA", "1.5 kpa", "15 mbar", "15 hPa", "0.015 bar"}},
		{"area", 0.09290304, []string{"1 ft²", "1 ft2", "1 sq ft", "1 sqft", "1 sq. ft.", "1 square foot", "144 in²", "144 in2", "144 sq in"}},
		{"area", 0.01, []string{"100 cm²", "100 cm2", "10000 mm²", "0.01 m²", "0.01 M2"}},
		{"temperature", 293.15, []string{"20 °C", "20°C", "20 C", "20 c", "20 deg C", "20 degrees C", "68 °F", "68 F", "68 ºF", "68 deg F", "293.15 K"}},
		{"mass", 0.45359237, []string{"1 lb", "1 lbs", "16 oz", "453.59237 g", "1 LB"}},
		{"time", 5400, []string{"1 h 30 min", "1 hr 30 min", "90 min", "1.5 h", "1 1/2 hours", "5400 s", "5400000 ms"}},
		{"time", 2700, []string{"45 min", "45 Min", "45 Minutes", "45 MINUTES", "2700 Sec"}},
		{"speed", 0.44704 * 20, []string{"20 mph", "20 Mph", "20 MPH"}},
		{"length", 3, []string{"3 m", "3 Metres", "3000 Millimetres", "3 METERS"}},
		{"time", 365.25 * 86400, []string{"1 year", "12 months", "365.25 days", "8766 h"}},
		{"rate", 8.0 / 3600, []string{"8 /h", "8/h", "8 per hour", "8 /hr", "8 /hour", "8 ACH"}},
		{"rate", 60, []string{"60 Hz", "60 /s", "3600 rpm"}},
		{"mass rate", 1e-6, []string{"60 mg/min", "1 mg/s", "0.06 g/min", "3.6 g/h", "60 MG/MIN"}},
		{"concentration", 5e-6, []string{"5 mg/m³", "5 mg/m3", "5000 µg/m³", "5000 ug/m3", "5 MG/M3"}},
		{"concentration", 16.018463373960138, []string{"1 lb/ft³", "1 lb/ft3", "7000 gr/ft³"}},
		{"volume", 0.003785411784, []string{"1 gal", "1 gallon", "231 in³", "4 qt", "3.785411784 L"}},
		{"share", 0.5, []string{"50 %", "50%", "50 percent", "50 % RH"}},
		{"angle", math.Pi / 2, []string{"90°", "90 °", "90 deg", "90 degrees", "90º"}},
		{"sound level", 82, []string{"82 dBA", "82 dB(A)", "82 db(a)", "82 dba"}},
		{"energy", 3.6e6, []string{"1 kWh", "1 KWH", "1000 Wh", "3.6 MJ", "3600 kJ"}},
		{"viscosity", 1.8e-5, []string{"18 µPa·s", "18 uPa s", "0.018 mPa·s", "0.018 cP"}},
		{"wire size", awg(0), []string{"1/0 AWG", "0 AWG", "0 awg"}},
		{"wire size", awg(-1), []string{"2/0 AWG", "2/0 ga"}},
		{"power", 750, []string{"750 W", "0.75 kW", "3/4 kW", "0.75 KW"}},
		{"current", 0.03, []string{"30 mA", "0.03 A", "30 MA"}},
	} {
		for _, text := range c.texts {
			reads(t, c.dim, text, c.want)
		}
	}
}

func TestDoubts(t *testing.T) {
	for _, c := range []struct {
		dim  Dimension
		text string
		want []float64
	}{
		{"airflow", "350 cfm±10%", []float64{350 * cfm, 315 * cfm, 385 * cfm}},
		{"airflow", "350 cfm +- 10 percent", []float64{350 * cfm, 315 * cfm, 385 * cfm}},
		{"airflow", "350 ± 35 cfm", []float64{350 * cfm, 315 * cfm, 385 * cfm}},
		{"airflow", "350 cfm -10/+25 %", []float64{350 * cfm, 315 * cfm, 437.5 * cfm}},
		{"airflow", "350 cfm +25 % / -10 %", []float64{350 * cfm, 315 * cfm, 437.5 * cfm}},
		{"airflow", "350 cfm +35/-10 cfm", []float64{350 * cfm, 340 * cfm, 385 * cfm}},
		{"airflow", "0.1 m³/s ± 36 m³/h", []float64{0.1, 0.09, 0.11}},
		{"airflow", "250 cfm to 345 cfm", []float64{250 * cfm, 345 * cfm}},
		{"airflow", "250–345 cfm", []float64{250 * cfm, 345 * cfm}},
		{"airflow", "250-345 cfm", []float64{250 * cfm, 345 * cfm}},
		{"airflow", "0.1 m³/s to 720 m³/h", []float64{0.1, 0.2}},
		{"length", "2 to 2 1/2 in", []float64{0.0508, 0.0635}},
		{"length", `4'-6'`, []float64{1.2192, 1.8288}},
		{"length", `7' 6" ± 1"`, []float64{2.286, 2.2606, 2.3114}},
		{"length", "11 in to 1 ft 2 in", []float64{11 * 0.0254, 14 * 0.0254}},
		{"temperature", "68 °F ± 9 °F", []float64{293.15, 288.15, 298.15}},
		{"temperature", "20 °C ± 9 °F", []float64{293.15, 288.15, 298.15}},
		{"temperature", "-10 to 5 °C", []float64{263.15, 278.15}},
		{"share", "70 % ± 5 points", []float64{0.7, 0.65, 0.75}},
		{"share", "70 % +5/-10 points", []float64{0.7, 0.6, 0.75}},
		{"number", "1.4 to 1.9", []float64{1.4, 1.9}},
		{"number", "1.5 ± 10 %", []float64{1.5, 1.35, 1.65}},
		{"number", "1.5 ± 0.1", []float64{1.5, 1.4, 1.6}},
		{"number", "1.5 +0.3/-0.1", []float64{1.5, 1.4, 1.8}},
		{"wire size", "12 to 14 AWG", []float64{awg(14), awg(12)}},
		{"wire size", "14 to 12 AWG", []float64{awg(14), awg(12)}},
		{"pressure", "-2 inH2O ± 10 %", []float64{-2 * h2o, -2.2 * h2o, -1.8 * h2o}},
		{"sound level", "82 dBA ± 3 dBA", []float64{82, 79, 85}},
	} {
		reads(t, c.dim, c.text, c.want...)
	}
}

func TestWordsForNoNumber(t *testing.T) {
	for text, want := range map[string]Basis{"unknown": Unsaid, " Unknown ": Unsaid, "none": Absent, "drawn": Drawn} {
		a, err := Parse[Metre](text)
		if err != nil || a != (Amount[Metre]{Basis: want}) {
			t.Errorf("%q: got %+v, %v; want %v and zeros", text, a, err, want)
		}
	}
}

// What is refused, with the sentence the owner reads.
func TestRefusals(t *testing.T) {
	for _, c := range []struct {
		dim     Dimension
		text    string
		problem Problem
		says    string
	}{
		{"airflow", "350 fpm", WrongKind, "350 fpm is a speed; an airflow is wanted here: cfm, L/s, m³/h or m³/s"},
		{"speed", "350 cfm", WrongKind, "350 cfm is an airflow; a speed is wanted here: fpm, ft/s or m/s"},
		{"number", "3 in", WrongKind, "3 in is a length; a bare number is wanted here"},
		{"pressure", "9 in", WrongKind, "9 in is a length: write 9 inH2O"},
		{"airflow", "350", NoUnit, "350 has no unit: write 350 cfm, 350 L/s, 350 m³/h or 350 m³/s"},
		{"angle", "90", NoUnit, "90 has no unit: write 90° or 90 rad"},
		{"share", "0.7", NoUnit, "0.7 has no unit: write 70 % or 0.7 %"},
		{"length", "9 ft 3", NoUnit, "3 has no unit: write 9 ft 3 in"},
		{"airflow", "350 cfm ± 10", NoUnit, "10 has no unit: write 350 cfm ± 10 cfm or 350 cfm ± 10 %"},
		{"airflow", "350 ± 10 %", NoUnit, "350 has no unit; an airflow is wanted here: cfm, L/s, m³/h or m³/s"},
		{"airflow", "250 cfm to 345", NoUnit, "345 has no unit; an airflow is wanted here: cfm, L/s, m³/h or m³/s"},
		{"airflow", "350 cfn", UnknownUnit, "cfn is not a unit known here: write 350 cfm"},
		{"length", "12 metrs", UnknownUnit, "metrs is not a unit known here: write 12 m"},
		{"length", "12 M", UnknownUnit, "M is not a unit known here: write 12 m"},
		{"length", "12 Mm", UnknownUnit, "Mm is not a unit known here: write 12 mm"},
		{"airflow", "350 zorkmids", UnknownUnit, "zorkmids is not a unit known here; an airflow is wanted here: cfm, L/s, m³/h or m³/s"},
		{"sound level", "82 dB", UnknownUnit, "dB is not a unit known here: write 82 dBA"},
		{"length", "1,5 m", Comma, "the comma in 1,5 can be read in two ways: write 1.5 m"},
		{"airflow", "1,250 cfm", Comma, "the comma in 1,250 can be read in two ways: write 1250 cfm"},
		{"airflow", "1,250,000 cfm", Comma, "the comma in 1,250,000 can be read in two ways: write 1250000 cfm"},
		{"airflow", "1.250,5 cfm", Comma, "the comma in 1.250,5 can be read in two ways: write 1250.5 cfm"},
		{"airflow", "0,250 m³/s", Comma, "the comma in 0,250 can be read in two ways: write 0.250 m³/s"},
		{"airflow", "1 250 cfm", BadNumber, "1 250 is not a number: write 1250 cfm"},
		{"power", "1/0 hp", BadNumber, "1/0 is not a number"},
		{"length", "1 7/4 in", BadNumber, "1 7/4 is not a number"},
		{"length", "1.2.3 in", BadNumber, "1.2.3 is not a number"},
		{"airflow", "about 350 cfm", NoNumber, "about 350 cfm does not start with a number: write 350 cfm ± 10 %"},
		{"airflow", "plenty", NoNumber, "plenty does not start with a number; an airflow is wanted here: cfm, L/s, m³/h or m³/s"},
		{"airflow", "NaN cfm", NoNumber, "NaN cfm does not start with a number; an airflow is wanted here: cfm, L/s, m³/h or m³/s"},
		{"airflow", "Inf cfm", NoNumber, "Inf cfm does not start with a number; an airflow is wanted here: cfm, L/s, m³/h or m³/s"},
		{"airflow", "", Empty, "nothing is written here; an airflow is wanted here: cfm, L/s, m³/h or m³/s"},
		{"airflow", "350 cfm or so", Leftover, "or so is left over"},
		{"airflow", "350 cfm ± 10 % or so", Leftover, "or so is left over"},
		{"airflow", "350 cfm ± 0 %", BadDoubt, "0 % is no doubt that can be used; one is written ± 10 %, or left out"},
		{"airflow", "350 cfm ± 120 %", BadDoubt, "120 % is no doubt that can be used; one is written ± 10 %, or left out"},
		{"airflow", "350 cfm ± -10 %", BadDoubt, "-10 % is no doubt that can be used; one is written ± 10 %, or left out"},
		{"airflow", "350 cfm +10/10 %", BadDoubt, "+10/10 % is no doubt that can be used; one is written ± 10 %, or left out"},
		{"airflow", "350 cfm +10/+5 %", BadDoubt, "+10/+5 % is no doubt that can be used; one is written ± 10 %, or left out"},
		{"airflow", "350 cfm +10/-5", NoUnit, "5 has no unit: write 350 cfm +10/-5 cfm or 350 cfm +10/-5 %"},
		{"airflow", "350 cfm ± 1e-30 cfm", BadDoubt, "1e-30 cfm is no doubt that can be used; one is written ± 10 %, or left out"},
		{"airflow", "350 to 350 cfm", BadDoubt, "350 to 350 cfm is no doubt that can be used; one is written ± 10 %, or left out"},
		{"energy", "-1.7e308 J to 1.7e308 J", TooBig, "-1.7e308 J to 1.7e308 J is beyond any number kept here"},
		{"angle", "4 A", WrongKind, "4 A is a current; an angle is wanted here: ° or rad"},
		{"airflow", "350 cfm +10 %", BadDoubt, "+10 % is no doubt that can be used; one is written ± 10 %, or left out"},
		{"airflow", "350 cfm ± 10 fpm", WrongKind, "10 fpm is a speed; an airflow is wanted here: cfm, L/s, m³/h or m³/s"},
		{"airflow", "345 to 250 cfm", EndsSwapped, "345 to 250 cfm has its larger end first"},
		{"share", "50 % ± 10 %", UnclearDoubt, "50 % ± 10 % is not clear: it could be a part of the share or points of it: write 50 % ± 10 points"},
		{"temperature", "68 °F ± 10 %", UnclearDoubt, "68 °F ± 10 % is not clear: a temperature has no tenth; give its doubt in degrees, such as ± 5 °F"},
		{"temperature", "-500 °F", TooCold, "-500 °F is colder than anything can be"},
		{"temperature", "-1 K", TooCold, "-1 K is colder than anything can be"},
		{"length", "9 ft 15 in", Mixed, "9 ft 15 in does not add up"},
		{"length", "7.5 ft 3 in", Mixed, "7.5 ft 3 in does not add up"},
		{"length", "9 in 3 ft", Mixed, "9 in 3 ft does not add up"},
		{"airflow", "1e400 cfm", TooBig, "1e400 is beyond any number kept here"},
		{"volume", "1e308 m³ to 1.7e308 m³ or", Leftover, "or is left over"},
		{"energy", "1e308 kWh", TooBig, "1e308 kWh is beyond any number kept here"},
		{"wire size", "12 AWG ± 1 AWG", BadDoubt, "1 AWG is no doubt that can be used; one is written ± 10 %, or left out"},
	} {
		s := scanner{text: c.text, book: books[c.dim]}
		r, err := s.amount()
		if err == nil {
			t.Errorf("%q as %s: got %+v, want %s", c.text, c.dim, r, c.problem)
			continue
		}
		if err.Problem != c.problem || err.Error() != c.says {
			t.Errorf("%q as %s:\n got %s %q\nwant %s %q", c.text, c.dim, err.Problem, err, c.problem, c.says)
		}
		if err.Text != c.text || err.Offset < 0 || err.Offset > len(c.text) || err.Wanted != c.dim {
			t.Errorf("%q: error about %q at %d, wants %s", c.text, err.Text, err.Offset, err.Wanted)
		}
	}
}

// A text that says what to write must be right about it.
func TestSuggestionsCanBeRead(t *testing.T) {
	for text, dim := range map[string]Dimension{
		"350 cfn": "airflow", "12 M": "length", "1,5 m": "length", "1,250 cfm ± 10 %": "airflow", "1 250 cfm": "airflow", "9 in": "pressure",
		"9 ft 3": "length", "about 350 cfm": "airflow", "50 % ± 10 %": "share", "82 dB": "sound level", "1.250,5 Pa": "pressure",
	} {
		s := scanner{text: text, book: books[dim]}
		_, err := s.amount()
		if err == nil || err.Write == "" {
			t.Errorf("%q: %v; want something to write", text, err)
			continue
		}
		again := scanner{text: err.Write, book: books[dim]}
		if _, bad := again.amount(); bad != nil {
			t.Errorf("%q: told to write %q, which is refused: %v", text, err.Write, bad)
		}
	}
}

func TestTooLong(t *testing.T) {
	_, err := Parse[M3PerSec]("350 cfm " + strings.Repeat("and then some ", 100000))
	if want := "350 cfm and then some and then some and ... is too long for a quantity; an airflow is wanted here: cfm, L/s, m³/h or m³/s"; err == nil || err.Error() != want {
		t.Errorf("says %v", err)
	}
}

func TestParseErrorType(t *testing.T) {
	_, err := Parse[M3PerSec]("350 fpm")
	var e *ParseError
	if !errors.As(err, &e) || e.Given != "speed" || e.Wanted != "airflow" || len(e.Would) != 4 || e.Offset != 0 || e.Word != "350 fpm" {
		t.Errorf("got %+v", e)
	}
}

func TestLossAt(t *testing.T) {
	l, err := ParseLossAt("1.5 inH2O at 500 cfm")
	if err != nil || !near(float64(l.Drop.Best), 1.5*h2o, 1e-12) || !near(float64(l.At.Best), 500*cfm, 1e-12) {
		t.Errorf("got %+v, %v", l, err)
	}
	if got := l.Print(US); got != "1.5 inH2O at 500 cfm" {
		t.Errorf("prints %q", got)
	}
	var e *ParseError
	if _, err := ParseLossAt("1.8 inH2O at 1,800 cfm"); !errors.As(err, &e) || e.Offset != 13 || e.Text != "1.8 inH2O at 1,800 cfm" {
		t.Errorf("the fault is at %d of %q, not at 13", e.Offset, e.Text)
	}
	if none, err := ParseLossAt("none"); err != nil || none.Print(US) != "none" {
		t.Errorf("none: %v, %v", none, err)
	}
	if l, err = ParseLossAt("unknown"); err != nil || l.Drop.Basis != Unsaid || l.At.Basis != Unsaid {
		t.Errorf("unknown: %+v, %v", l, err)
	}
	for text, want := range map[string]string{
		"1.8 inH2O":              "1.8 inH2O says no flow; a loss is a pressure at a flow, such as 1.8 inH2O at 800 cfm",
		"1.8 cfm at 800 cfm":     "1.8 cfm is an airflow; a pressure is wanted here: inH2O, Pa or kPa",
		"1.8 inH2O at 1,800 cfm": "the comma in 1,800 can be read in two ways: write 1.8 inH2O at 1800 cfm",
		"1.8 inH2O at 0 cfm":     "1.8 inH2O at 0 cfm says no flow; a loss is a pressure at a flow, such as 1.8 inH2O at 800 cfm",
		"1.8 inH2O at 800":       "800 has no unit; an airflow is wanted here: cfm, L/s, m³/h or m³/s",
		"1.8 inH2O at 4000 fpm":  "4000 fpm is a speed; an airflow is wanted here: cfm, L/s, m³/h or m³/s",
		"1.8 inH2O at unknown":   "1.8 inH2O at unknown says no flow; a loss is a pressure at a flow, such as 1.8 inH2O at 800 cfm",
	} {
		if _, err := ParseLossAt(text); err == nil || err.Error() != want {
			t.Errorf("%q:\n got %v\nwant %s", text, err, want)
		}
	}
}

func TestSides(t *testing.T) {
	for text, want := range map[string][2]float64{
		"30 ft x 22 ft": {9.144, 6.7056}, `9 ft x 2' 6"`: {2.7432, 0.762}, `15 ft x 4' 6"`: {4.572, 1.3716}, "38 in x 22 in": {0.9652, 0.5588}, "2 m × 80 cm": {2, 0.8},
	} {
		w, d, err := ParseSides(text)
		if err != nil || !near(float64(w.Best), want[0], 1e-12) || !near(float64(d.Best), want[1], 1e-12) {
			t.Errorf("%q: got %v x %v, %v", text, w.Best, d.Best, err)
		}
	}
	for text, want := range map[string]string{
		"30 ft":        "30 ft is not a size; one is written 30 ft x 22 ft",
		"30 x 22 ft":   "30 has no unit: write 30 ft x 22 ft",
		"0 ft x 22 ft": "0 ft x 22 ft is not a size; one is written 30 ft x 22 ft",
		"30 ft x 22":   "22 has no unit; a length is wanted here: in, ft, mm or m",
	} {
		if _, _, err := ParseSides(text); err == nil || err.Error() != want {
			t.Errorf("%q:\n got %v\nwant %s", text, err, want)
		}
	}
}
