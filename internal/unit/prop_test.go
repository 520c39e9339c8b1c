package unit

import (
	"encoding/json"
	"errors"
	"math"
	"os"
	"testing"

	"pgregory.net/rapid"
)

var allDims = Dimensions()

func read(dim Dimension, text string) (reading, *ParseError) {
	s := scanner{text: text, book: books[dim]}
	return s.amount()
}

// drawValue makes a value of any size a shop or a slip of the finger can hold, often one close to where the unit changes.
func drawValue(t *rapid.T, dim Dimension) float64 {
	if l := rapid.SampledFrom(looksOf(dim, rapid.SampledFrom([]System{US, SI}).Draw(t, "near"))).Draw(t, "look"); l.from > 0 && rapid.Bool().Draw(t, "at change") {
		return l.start() * rapid.Float64Range(0.99, 1.01).Draw(t, "times")
	}
	v := rapid.Float64Range(1, 10).Draw(t, "figure") * math.Pow10(rapid.IntRange(-12, 9).Draw(t, "power"))
	switch dim {
	case "temperature":
		return rapid.Float64Range(1, 2000).Draw(t, "kelvin")
	case "wire size":
		return v * 1e-6
	}
	if rapid.Bool().Draw(t, "negative") {
		return -v
	}
	return v
}

// What is printed can be typed back, and then prints the same.
func TestPrintParsePrint(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		dim := rapid.SampledFrom(allDims).Draw(t, "dim")
		sys := rapid.SampledFrom([]System{US, SI}).Draw(t, "system")
		v := drawValue(t, dim)
		text := shown(v, dim, sys)
		r, err := read(dim, text)
		if err != nil {
			t.Fatalf("%g prints %q, which is refused: %v", v, text, err)
		}
		if again := shown(r.best, dim, sys); again != text {
			t.Fatalf("%g prints %q, reads %g, prints %q", v, text, r.best, again)
		}
	})
}

// Rounding errs by less than half a step of what it shows: 0.5 % from three figures, or half the finest step.
func TestPrintIsNear(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		dim := rapid.SampledFrom(allDims).Draw(t, "dim")
		sys := rapid.SampledFrom([]System{US, SI}).Draw(t, "system")
		v := drawValue(t, dim)
		r, err := read(dim, shown(v, dim, sys))
		if err != nil {
			t.Fatal(err)
		}
		l, _ := chooseLook(v, looksOf(dim, sys))
		step := math.Abs(l.def.diff(math.Pow10(l.def.step)))
		switch {
		case l.how == "sixteenths":
			step = inch / 16
		case l.how == "feet and inches":
			step = inch
		case l.def.flag&gauge != 0:
			step = math.Max(math.Abs(v)*0.05, 1e-10) // 2 % to a gauge, else the step of a mm²
		case dim == "share":
			step = 0.01
		}
		if off := math.Abs(r.best - v); off > 0.51*step && off > 0.0051*math.Abs(v) {
			t.Fatalf("%s %g is shown as %s, off by %g", dim, v, shown(v, dim, sys), off)
		}
	})
}

// A larger value never prints as a smaller one.
func TestPrintKeepsOrder(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		dim := rapid.SampledFrom(allDims).Draw(t, "dim")
		sys := rapid.SampledFrom([]System{US, SI}).Draw(t, "system")
		a := drawValue(t, dim)
		b := a + math.Abs(a)*rapid.Float64Range(0, 0.2).Draw(t, "more")
		ra, err1 := read(dim, shown(a, dim, sys))
		rb, err2 := read(dim, shown(b, dim, sys))
		if err1 != nil || err2 != nil {
			t.Fatal(err1, err2)
		}
		if dim != "wire size" && rb.best < ra.best-1e-9*math.Abs(ra.best) {
			t.Fatalf("%s: %g shows %s, the larger %g shows %s", dim, a, shown(a, dim, sys), b, shown(b, dim, sys))
		}
	})
}

// A printed range can be typed back too, and then prints the same.
func TestRangeParsePrint(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		dim := rapid.SampledFrom(allDims).Draw(t, "dim")
		sys := rapid.SampledFrom([]System{US, SI}).Draw(t, "system")
		low := drawValue(t, dim)
		high := low + math.Abs(low)*rapid.Float64Range(0, 5).Draw(t, "more")
		text := shownRange(low, high, dim, sys)
		r, err := read(dim, text)
		if err != nil {
			t.Fatalf("%g to %g prints %q, which is refused: %v", low, high, text, err)
		}
		if again := shownRange(r.low, r.high, dim, sys); again != text {
			t.Fatalf("%g to %g prints %q, reads %g to %g, prints %q", low, high, text, r.low, r.high, again)
		}
	})
}

// Twice the number is twice the quantity, in every unit with a natural zero; and every unit goes there and back.
func TestUnitsScaleAndReturn(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		dim := rapid.SampledFrom(allDims[:len(allDims)-1]).Draw(t, "dim")
		d := rapid.SampledFrom(books[dim].defs).Draw(t, "unit")
		x := rapid.Float64Range(0.001, 1e6).Draw(t, "x")
		if d.flag&gauge != 0 {
			x = math.Mod(x, 40)
		}
		if back := d.fromSI(d.toSI(x)); math.Abs(back-x) > 1e-11*(x+d.zero+1) {
			t.Fatalf("%g %s comes back as %g", x, d.name, back)
		}
		one, err := read(dim, plain(x)+" "+d.name)
		if err != nil {
			t.Fatal(err)
		}
		two, err := read(dim, plain(2*x)+" "+d.name)
		if err != nil {
			t.Fatal(err)
		}
		if d.zero == 0 && d.flag&gauge == 0 && !near(two.best, 2*one.best, 1e-14) {
			t.Fatalf("%g %s is %g, twice that %g", x, d.name, one.best, two.best)
		}
		for _, s := range d.spells {
			if same, err := read(dim, plain(x)+" "+s); err != nil || same.best != one.best {
				t.Fatalf("%g %s: %v, %v; %s gives %v", x, s, same.best, err, d.name, one.best)
			}
		}
	})
}

// Text is exact: Parse(Text(a)) is a, whatever the unit and however the doubt lies.
func TestTextIsExact(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		dim := rapid.SampledFrom(allDims).Draw(t, "dim")
		if dim == "wire size" { // AWG is written to the nearest gauge on purpose; mm² is a plain unit like others
			return
		}
		w := writer{dim: dim}
		if dim != "number" {
			w.unit = rapid.SampledFrom(books[dim].defs).Draw(t, "unit")
		}
		if w.unit != nil && w.unit.name == "points" {
			return
		}
		r := reading{best: drawValue(t, dim), basis: Given}
		down, up := rapid.Float64Range(0.001, 0.9).Draw(t, "down"), rapid.Float64Range(0.001, 0.9).Draw(t, "up")
		switch rapid.IntRange(0, 2).Draw(t, "doubt") {
		case 0:
			down, up = 0, 0
		case 1:
			up = down
		}
		r.low, r.high = r.best-down*math.Abs(r.best), r.best+up*math.Abs(r.best)
		text := w.amount(r)
		got, err := read(dim, text)
		if err != nil {
			t.Fatalf("%+v writes %q, which is refused: %v", r, text, err)
		}
		tol := 4e-15 * math.Max(math.Abs(r.low), math.Abs(r.high))
		if dim == "temperature" {
			tol = 1e-12 // K: the offset of the scale costs figures
		}
		if math.Abs(got.best-r.best) > tol || math.Abs(got.low-r.low) > tol || math.Abs(got.high-r.high) > tol {
			t.Fatalf("%+v writes %q, which reads %+v", r, text, got)
		}
		if again := w.amount(got); again != text {
			if twice, err := read(dim, again); err != nil || math.Abs(twice.best-got.best) > tol {
				t.Fatalf("%q is written again as %q", text, again)
			}
		}
	})
}

// Doubts hold what they say, in whatever order they are written.
func TestDoubtHolds(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		x := rapid.Float64Range(0.01, 1e5).Draw(t, "x")
		p, q := rapid.IntRange(1, 100).Draw(t, "up"), rapid.IntRange(1, 100).Draw(t, "down")
		a, err := Parse[M3PerSec](plain(x) + " cfm +" + plain(float64(p)) + "/-" + plain(float64(q)) + " %")
		if err != nil {
			t.Fatal(err)
		}
		b, err := Parse[M3PerSec](plain(x) + " cfm -" + plain(float64(q)) + "/+" + plain(float64(p)) + " %")
		if err != nil || a != b {
			t.Fatalf("%+v and %+v, %v", a, b, err)
		}
		if !(a.Low <= a.Best && a.Best <= a.High) || !near(float64(a.High), float64(a.Best)*(1+float64(p)/100), 1e-12) || !near(float64(a.Low)+1, float64(a.Best)*(1-float64(q)/100)+1, 1e-12) {
			t.Fatalf("%+v from +%d/-%d", a, p, q)
		}
	})
}

func TestJSON(t *testing.T) {
	type row struct {
		Basis Basis  `json:"basis"`
		Units System `json:"units"`
		Day   Date   `json:"day"`
	}
	in := row{Assumed, SI, Date{2026, 3, 1}}
	b, err := json.Marshal(in)
	if err != nil || string(b) != `{"basis":"assumed","units":"si","day":"2026-03-01"}` {
		t.Fatalf("%s, %v", b, err)
	}
	var out row
	if err := json.Unmarshal(b, &out); err != nil || out != in {
		t.Fatalf("%+v, %v", out, err)
	}
	for _, bad := range []string{`{"basis":"maybe"}`, `{"units":"metric"}`, `{"day":"2026-02-30"}`} {
		if err := json.Unmarshal([]byte(bad), &out); err == nil {
			t.Errorf("%s is taken", bad)
		}
	}
	// A number that is none must fail loudly at the edge instead of becoming a null or a zero.
	if b, err := json.Marshal(Amount[Pascal]{Best: Pascal(math.NaN())}); err == nil {
		t.Errorf("NaN is written as %s", b)
	}
}

// FuzzParse: no panic, no number that is none, a known kind of error with its place inside the text, and what is read can
// be written and read again.
func FuzzParse(f *testing.F) {
	seeds, err := os.ReadDir("testdata/fuzz/FuzzParse")
	if err != nil || len(seeds) == 0 {
		f.Fatal("testdata/fuzz/FuzzParse has no seeds")
	}
	f.Fuzz(func(t *testing.T, text string) {
		for _, dim := range allDims {
			r, err := read(dim, text)
			if err != nil {
				if err.Problem == "" || err.Offset < 0 || err.Offset > len(text) || err.Error() == "" {
					t.Fatalf("%q as %s: poor error %+v", text, dim, err)
				}
				continue
			}
			if r.basis != Given {
				continue
			}
			if !(r.low <= r.best && r.best <= r.high) || math.IsInf(r.low, 0) || math.IsInf(r.high, 0) {
				t.Fatalf("%q as %s reads %+v", text, dim, r)
			}
			for _, sys := range []System{US, SI} {
				once := shown(r.best, dim, sys)
				if back, err := read(dim, once); err != nil {
					t.Fatalf("%q as %s prints %q, refused: %v", text, dim, once, err)
				} else if again := shown(back.best, dim, sys); again != once {
					t.Fatalf("%q as %s prints %q, then %q", text, dim, once, again)
				}
			}
		}
		if l, err := ParseLossAt(text); err == nil && l.Drop.Basis == Given && !(l.At.Best > 0) {
			t.Fatalf("%q: loss at no flow", text)
		}
		others(t, text)
	})
}

// others feeds the same text to the smaller readers.
func others(t *testing.T, text string) {
	t.Helper()
	var e *ParseError
	if m, err := ParseMoney(text); err != nil {
		if !errors.As(err, &e) {
			t.Fatalf("%q: %T", text, err)
		}
	} else if m.Amount.Basis == Given && (m.Code == "" || m.Amount.Low < 0) {
		t.Fatalf("%q: %+v", text, m)
	}
	if _, err := ParseMoneyPer[Joule](text); err != nil && !errors.As(err, &e) {
		t.Fatalf("%q: %T", text, err)
	}
	if d, err := ParseDate(text); err == nil && (!d.Valid() || DateOf(d.Number()) != d) {
		t.Fatalf("%q: %v", text, d)
	}
	if c, err := ParseClock(text); err == nil && (c < 0 || c >= 1440) {
		t.Fatalf("%q: %d", text, c)
	}
	if _, err := ParseHours(text); err != nil && !errors.As(err, &e) {
		t.Fatalf("%q: %T", text, err)
	}
	if w, d, err := ParseSides(text); err == nil && (w.Low <= 0 || d.Low <= 0) {
		t.Fatalf("%q: %v x %v", text, w, d)
	}
}

func BenchmarkParse(b *testing.B) {
	for _, text := range []string{"350 cfm", "1 1/2 in", `7' 6"`, "350 cfm ± 10 %", "45 to 85 °F", "2.4 in wg", "12 AWG", "350 CFM"} {
		dim := Dimension("")
		for _, d := range allDims {
			if _, err := read(d, text); err == nil {
				dim = d
				break
			}
		}
		b.Run(text, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				s := scanner{text: text, book: books[dim]}
				if _, err := s.amount(); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

func BenchmarkParseTyped(b *testing.B) {
	b.ReportAllocs()
	for b.Loop() {
		if _, err := Parse[M3PerSec]("350 cfm"); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkPrint(b *testing.B) {
	b.ReportAllocs()
	for b.Loop() {
		Print(M3PerSec(0.165), US)
		Print(Metre(2.82), US)
		Print(Pascal(597), US)
	}
}
