package duct

import (
	"errors"
	"math"
	"testing"

	"pgregory.net/rapid"

	"winnow/internal/physics/air"
)

// Colebrook's factor by the Lambert W function in the general-purpose library fluids 1.0.22 (fluids.friction.Colebrook, run
// on Python 3; its values agree with 40-digit bisection of the equation to 4e-14, mpmath 1.2.1). Source [S-041].
var colebrookTable = []struct{ re, relRough, want float64 }{
	{4000, 0, 0.0399070140556349},
	{4000, 1e-06, 0.03990802944617066},
	{4000, 0.0001, 0.04000843123355551},
	{4000, 0.0009, 0.04081110969437325},
	{4000, 0.005, 0.04471123631724273},
	{4000, 0.013, 0.05154849756337736},
	{4000, 0.05, 0.07698683488922502},
	{10000, 0, 0.03088295035348769},
	{10000, 1e-06, 0.03088449809142111},
	{10000, 0.0001, 0.03103721220099863},
	{10000, 0.0009, 0.03223608750526356},
	{10000, 0.005, 0.03762986197561705},
	{10000, 0.013, 0.04607025602862384},
	{10000, 0.05, 0.07380127563853858},
	{53000, 0, 0.02062240876194183},
	{53000, 1e-06, 0.02062615669932968},
	{53000, 0.0001, 0.02099045568715613},
	{53000, 0.0009, 0.02354993828115437},
	{53000, 0.005, 0.03207944700279348},
	{53000, 0.013, 0.04245162934534676},
	{53000, 0.05, 0.07198410699600484},
	{300000, 0, 0.01446303247715888},
	{300000, 1e-06, 0.01447364962143323},
	{300000, 0.0001, 0.01543060611017079},
	{300000, 0.0009, 0.02017931607039481},
	{300000, 0.005, 0.03068930541095297},
	{300000, 0.013, 0.04167578278851723},
	{300000, 0.05, 0.07162756094364585},
	{1e+06, 0, 0.01164504099799162},
	{1e+06, 1e-06, 0.01166815551348581},
	{1e+06, 0.0001, 0.01344143769250849},
	{1e+06, 0.0009, 0.01947385335568979},
	{1e+06, 0.005, 0.03046502582087509},
	{1e+06, 0.013, 0.04155634115349304},
	{1e+06, 0.05, 0.07157375385985786},
	{1e+07, 0, 0.008102669430874912},
	{1e+07, 1e-06, 0.008213180404259389},
	{1e+07, 0.0001, 0.01216608095889662},
	{1e+07, 0.0009, 0.01917559230446123},
	{1e+07, 0.005, 0.03037727459253993},
	{1e+07, 0.013, 0.04151005720456703},
	{1e+07, 0.05, 0.07155298184086675},
	{1e+08, 0, 0.005940466351636761},
	{1e+08, 1e-06, 0.00643255651969228},
	{1e+08, 0.0001, 0.01199905055536949},
	{1e+08, 0.0009, 0.01914482199270445},
	{1e+08, 0.005, 0.03036846034818896},
	{1e+08, 0.013, 0.04150542220786976},
	{1e+08, 0.05, 0.07155090409108325},
}

func TestFrictionFactorAgainstLibrary(t *testing.T) {
	for _, row := range colebrookTable {
		got, err := FrictionFactor(row.re, row.relRough)
		if err != nil {
			t.Fatal(err)
		}
		if off := math.Abs(got/row.want - 1); !(off <= 1e-12) {
			t.Errorf("Re %g, ε/D %g: got %.16g, want %.16g, off by %.1e", row.re, row.relRough, got, row.want, off)
		}
	}
}

// The rule below Re 4000 is a definition of the reference networks: laminar theory, and a cubic bound by value and slope at both
// ends (testdata/reference/networks/README.md). The ends are checked against 64/Re and Colebrook, the inside against the
// four conditions that make the cubic the only one.
func TestFrictionFactorBelowTurbulence(t *testing.T) {
	for _, relRough := range []float64{0, 9e-4, 0.05} {
		w, err := NewWarmFriction(relRough)
		if err != nil {
			t.Fatal(err)
		}
		near := func(what string, got, want, tol float64) {
			t.Helper()
			if math.Abs(got-want) > tol*math.Abs(want) {
				t.Errorf("ε/D %g, %s: got %.12g, want %.12g", relRough, what, got, want)
			}
		}
		f, m := w.At(1000)
		near("f(1000)", f, 0.064, 1e-15)
		near("slope(1000)", m, -1, 1e-15)
		f, m = w.At(2000.000001)
		near("f just above 2000", f, 0.032, 1e-8)
		near("slope just above 2000", m, -1, 1e-8)
		f, m = w.At(3999.999999)
		g, n := w.At(4000)
		near("f just below 4000", f, g, 1e-8)
		near("slope just below 4000", m, n, 1e-7)
		// a cubic's fourth difference is nothing
		var d float64
		for i, c := range []float64{1, -4, 6, -4, 1} {
			f, _ := w.At(2200 + 400*float64(i))
			d += c * f
		}
		if math.Abs(d) > 1e-15 {
			t.Errorf("ε/D %g: fourth difference %g in the band", relRough, d)
		}
	}
}

func TestFrictionFactorOutOfRange(t *testing.T) {
	for _, row := range []struct{ re, relRough float64 }{{0, 0}, {-5, 0}, {math.NaN(), 0}, {2e8, 0}, {1e5, -1e-9}, {1e5, 0.11}, {1e5, math.NaN()}} {
		var off *air.RangeError
		if _, err := FrictionFactor(row.re, row.relRough); !errors.As(err, &off) {
			t.Errorf("Re %g, ε/D %g: error %v, want a range error", row.re, row.relRough, err)
		}
	}
}

// What was kept from an earlier call must not show: any walk over Reynolds numbers gives the cold answers, and the slope
// agrees with a difference quotient; the loss f·Re² rises with Re throughout.
func TestWarmFrictionForgetsItsPast(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		relRough := math.Pow(10, rapid.Float64Range(-7, -1.001).Draw(t, "log ε/D"))
		w, err := NewWarmFriction(relRough)
		if err != nil {
			t.Fatal(err)
		}
		for range 20 {
			re := math.Pow(10, rapid.Float64Range(1, 8).Draw(t, "log Re"))
			got, slope := w.At(re)
			cold, err := FrictionFactor(re, relRough)
			if err != nil {
				t.Fatal(err)
			}
			if math.Abs(got/cold-1) > 2e-12 {
				t.Fatalf("Re %g, ε/D %g: warm %.16g, cold %.16g", re, relRough, got, cold)
			}
			const h = 1e-5
			up, _ := FrictionFactor(math.Min(re*(1+h), 1e8), relRough)
			down, _ := FrictionFactor(re*(1-h), relRough)
			quotient := math.Log(up/down) / math.Log(math.Min(1+h, 1e8/re)/(1-h))
			if math.Abs(slope-quotient) > 1e-4 {
				t.Fatalf("Re %g, ε/D %g: slope %.9g, difference quotient %.9g", re, relRough, slope, quotient)
			}
			if slope <= -2 {
				t.Fatalf("Re %g, ε/D %g: the loss does not rise (slope %g)", re, relRough, slope)
			}
		}
	})
}

// BenchmarkWarmFriction: an exact factor with its slope, at a Reynolds number a little off the last one.
func BenchmarkWarmFriction(b *testing.B) {
	for _, walk := range []struct {
		name string
		step float64
	}{{"near", 1e-3}, {"far", 0.3}} {
		b.Run(walk.name, func(b *testing.B) {
			ducts := make([]WarmFriction, 512)
			for i := range ducts {
				w, err := NewWarmFriction(1e-5 * float64(1+i))
				if err != nil {
					b.Fatal(err)
				}
				ducts[i] = w
			}
			re := [2]float64{1e5, 1e5 * (1 + walk.step)}
			var sum float64
			b.ResetTimer()
			for i := range b.N {
				f, m := ducts[i&511].At(re[i>>9&1])
				sum += f + m
			}
			if sum == 0 {
				b.Fatal("no factor")
			}
		})
	}
}
