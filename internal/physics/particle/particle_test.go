package particle

import (
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"winnow/internal/unit"
)

func TestGradesAsOwnersWriteThem(t *testing.T) {
	for text, want := range map[string]string{
		"MERV 13": "MERV 13", "merv13": "MERV 13", "MERV-8": "MERV 8", "ePM1 55 %": "ePM1 55 %", "epm10 60%": "ePM10 60 %",
		"HEPA H13": "H13", "h14": "H14", "E11": "E11", "HEPA claimed": "HEPA claimed", "hepa": "HEPA claimed",
		"M": "class M", "class L": "class L", "H class": "class H",
		"1 µm claimed": "1 µm claimed", "0.5 um": "0.5 µm claimed", "30 micron": "30 µm claimed", "5 microns": "5 µm claimed",
		"99.97 % at 0.3 µm": "99.97 % at 0.3 µm", "F7": "ePM1 50 %", "none": "none", "": "unknown", "unknown": "unknown",
	} {
		f, err := ParseGrade(text)
		if err != nil || f.Name != want {
			t.Errorf("%q reads as %q (%v), want %q", text, f.Name, err, want)
		}
	}
	for _, text := range []string{"MERV 22", "MERV", "ePM2.5", "very good", "ePM3 50 %", "999 µm"} {
		f, err := ParseGrade(text)
		if err == nil {
			t.Errorf("%q was read as %q", text, f.Name)
		} else if strings.Contains(err.Error(), "strconv") {
			t.Errorf("%q: the message speaks Go: %v", text, err)
		}
	}
}

func anyFilter(t *rapid.T) Filter {
	f, err := ParseGrade(rapid.SampledFrom([]string{"", "MERV 8", "MERV 11", "MERV 13", "MERV 16", "ePM1 60 %", "ePM10 55 %",
		"H13", "HEPA claimed", "L", "M", "H", "1 µm claimed", "5 µm claimed", "30 µm claimed", "99.97 % at 0.3 µm", "none"}).Draw(t, "grade"))
	if err != nil {
		t.Fatal(err)
	}
	return f
}

func TestAFilterKeepsAShareAndMoreOfTheCoarse(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := anyFilter(t)
		s := rapid.SampledFrom([]State{New, Seasoned, Due}).Draw(t, "state")
		d := rapid.Float64Range(0.3, 90).Draw(t, "d")
		k, coarser := f.Keeps(um(d), s), f.Keeps(um(d*1.1), s)
		if !(0 <= k.Low && k.Low <= k.Best && k.Best <= k.High && k.High <= 1) {
			t.Fatalf("%s at %g µm: %+v", f.Name, d, k)
		}
		if coarser.Best < k.Best-1e-15 {
			t.Fatalf("%s keeps %g at %g µm but %g a tenth coarser", f.Name, k.Best, d, coarser.Best)
		}
		row := InRow([]Filter{f, f}, um(d), s)
		if row < k.Best-1e-12 {
			t.Fatalf("two %s keep %g, one keeps %g", f.Name, row, k.Best)
		}
	})
}

// Dust on a cloth makes it finer; on a filter that was not there it makes nothing.
func TestACakeKeepsMore(t *testing.T) {
	f, err := OfMERV(13)
	if err != nil {
		t.Fatal(err)
	}
	d := um(0.6)
	if clean, caked := f.Keeps(d, Seasoned).Best, f.Caked().Keeps(d, Seasoned).Best; caked <= clean || f.Caked().Keeps(d, New) != f.Keeps(d, New) {
		t.Errorf("caked it keeps %v, clean %v", caked, clean)
	}
	if k := None().Caked().Keeps(d, Due).Best; k != 0 {
		t.Errorf("no filter keeps %v", k)
	}
}

func TestSharesAddUp(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := Spread{um(rapid.Float64Range(0.5, 60).Draw(t, "median")), unit.Number(rapid.Float64Range(1.2, 4).Draw(t, "gsd"))}
		sum := 0.0
		for _, x := range s.Shares(Usual()) {
			if x < 0 {
				t.Fatalf("a share of %g", x)
			}
			sum += x
		}
		if math.Abs(sum-1) > 1e-12 {
			t.Fatalf("the shares add up to %g", sum)
		}
	})
}

func TestTheBinsHoldTheEdgesOfFiltersAndSensors(t *testing.T) {
	have := map[float64]bool{}
	for _, b := range Usual() {
		have[math.Round(float64(b.Low/Micrometre)*100)/100] = true
		have[math.Round(float64(b.High/Micrometre)*100)/100] = true
	}
	for _, e := range []float64{0.3, 0.5, 1, 2.5, 5, 10, 30, 100} {
		if !have[e] {
			t.Errorf("no bin ends at %g µm", e)
		}
	}
	if len(Usual()) != 12 {
		t.Errorf("%d bins", len(Usual()))
	}
}

// A slow honest twin: the drag equation bisected, against Newton's step.
func TestSettlingAgainstBisection(t *testing.T) {
	a := room20(t)
	rapid.Check(t, func(t *rapid.T) {
		d := um(rapid.Float64Range(0.1, 1000).Draw(t, "d"))
		stokes := (1000 - float64(a.Density)) * float64(d*d) * 9.80665 * float64(Slip(d, a)) / 18 / float64(a.Viscosity)
		lo, hi := 0.0, stokes
		for range 200 {
			v := (lo + hi) / 2
			if re := float64(a.Density) * v * float64(d) / float64(a.Viscosity); v*(1+0.15*math.Pow(re, 0.687)) < stokes {
				lo = v
			} else {
				hi = v
			}
		}
		if got := float64(Settling(d, a)); math.Abs(got/lo-1) > 1e-9 {
			t.Fatalf("at %v: %.12g, bisected %.12g", d, got, lo)
		}
	})
}

func TestSettlingAndDepositionRise(t *testing.T) {
	a, s := room20(t), ourRoom()
	last, lastRate := unit.MPerSec(0), unit.PerSec(0)
	for d := 0.3; d < 100; d *= 1.1 {
		v, r := Settling(um(d), a), Deposition(um(d), s, a)
		if v <= last {
			t.Fatalf("at %.2f µm it falls no faster than a smaller one", d)
		}
		if !(r.Low <= r.Best && r.Best <= r.High) || r.Best < lastRate {
			t.Fatalf("at %.2f µm the loss is %+v", d, r)
		}
		last, lastRate = v, r.Best
	}
}

// The fit gives back the rate of a decay that has one, through a sensor's ceiling and background.
func TestFitGivesTheRateBack(t *testing.T) {
	var at []unit.Second
	var c []float64
	for s := 0.0; s < 1800; s += 5 {
		x := 900*math.Exp(-s/300) + 300*math.Exp(-s/20) + 4 // at first it still mixes
		at, c = append(at, unit.Second(s)), append(c, math.Min(x, 700))
	}
	d, err := FitDecay(at, c, 4, 700)
	if err != nil {
		t.Fatal(err)
	}
	if math.Abs(float64(d.Rate)*300-1) > 1e-6 {
		t.Errorf("the rate is 1/%.1f s, it was made with 1/300 s", 1/float64(d.Rate))
	}
	for i := range c {
		if c[i] >= 700 {
			c[i] = 65535 // some sensors write their end so
		}
	}
	if d, err := FitDecay(at, c, 4, 700); err != nil || math.Abs(float64(d.Rate)*300-1) > 1e-6 {
		t.Errorf("readings past the sensor's end spoil the rate: %v %v", d, err)
	}
	if _, err := FitDecay(at[:5], c[:5], 4, 700); err == nil {
		t.Error("five readings at the ceiling gave a rate")
	}
	if _, err := FitThrough([]unit.Second{0, 1}, []float64{3, 0}); err == nil {
		t.Error("a reading of zero gave a logarithm")
	}
}

func FuzzParseGrade(f *testing.F) {
	for _, s := range []string{"MERV 13", "1 µm claimed", "99.97 % at 0.3 µm", "ePM1 55 %", "µm", "%", "class", "MERV 99999999999999999999"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		g, _ := ParseGrade(text)
		k := g.Keeps(um(1), Seasoned)
		if math.IsNaN(float64(k.Best)) || k.Best < 0 || k.Best > 1 {
			t.Fatalf("%q keeps %v", text, k)
		}
	})
}

func BenchmarkDeposition(b *testing.B) {
	a, s := room20(b), ourRoom()
	for b.Loop() {
		for _, bin := range Usual() {
			Deposition(bin.Mid(), s, a)
		}
	}
}
