package doubt

import (
	"fmt"
	"math"
	"testing"
)

// The draws of one key are the normal distribution: its percentiles are those of any table of the standard normal
// (0.05: -1.6449, 0.95: 1.6449; sd 1).
func TestAKeyIsDrawnFromTheWholeNormalDistribution(t *testing.T) {
	z := Prior().Draws(Own("kind/hose/friction", 0.5, 2), Samples)
	if z[0] != 0 {
		t.Errorf("sample 0 is %g, want 0: it is the best estimate", z[0])
	}
	r := RangeOf(append([]float64(nil), z[1:]...))
	for _, c := range []struct{ got, want float64 }{{r.Low, -1.6449}, {r.Median, 0}, {r.High, 1.6449}} {
		if math.Abs(c.got-c.want) > 0.002 {
			t.Errorf("percentile %.4f, want %.4f", c.got, c.want)
		}
	}
	var sum2 float64
	for _, x := range z[1:] {
		sum2 += x * x
	}
	if v := sum2 / Samples; math.Abs(v-1) > 0.02 {
		t.Errorf("variance %.3f, want 1", v)
	}
}

func TestABandComesBackAsItsOwnPercentiles(t *testing.T) {
	f := Own("kind/filter/state", 0.5, 3)
	b := Prior()
	samples := make([]float64, Samples)
	for i := range samples {
		samples[i] = b.Factor(f, i+1, Samples)
	}
	r := RangeOf(samples)
	for _, c := range []struct{ got, want float64 }{{r.Low, 0.5}, {r.Median, 1}, {r.High, 3}} {
		if math.Abs(c.got/c.want-1) > 0.01 {
			t.Errorf("percentile %.4f, want %.4f within 1 %%", c.got, c.want)
		}
	}
}

func TestManyValuesAreThoseOfOneAtATime(t *testing.T) {
	for _, f := range []Factor{Own("a", 0.5, 3), Own("b", 0, 2), Own("c", 1, 1), Own("d", 0.9, 0)} {
		zs := []float64{-2, -1.6448536269514722, 0, 0.3, 1.6448536269514722, 3}
		for i, v := range f.Values(zs) {
			if want := f.At(zs[i]); math.Abs(v/want-1) > 1e-12 {
				t.Errorf("%+v at %g: %g, want %g", f, zs[i], v, want)
			}
		}
	}
}

func TestDifferentKeysAreIndependentAndSharedOnesAreNot(t *testing.T) {
	b := Prior()
	corr := func(f, g Factor) float64 {
		x, y := b.Draws(f, Samples), b.Draws(g, Samples)
		var s float64
		for i := range x {
			s += x[i] * y[i]
		}
		return s / Samples
	}
	worst := 0.0
	for i := range 30 {
		for j := range i {
			f, g := Own(Key(fmt.Sprint("part/", i)), 0.5, 2), Own(Key(fmt.Sprint("part/", j)), 0.5, 2)
			worst = max(worst, math.Abs(corr(f, g)))
		}
	}
	// 435 pairs of 512 independent draws: the largest of them has a standard error of 1/√512 = 0.044; 4 of them.
	if worst > 4/math.Sqrt(Samples) {
		t.Errorf("two keys of different names correlate by %.3f", worst)
	}
	f, g := Shared("kind/gate/leak", 0.5, "part/a", 0.3, 3), Shared("kind/gate/leak", 0.5, "part/b", 0.3, 3)
	if c := corr(f, g); math.Abs(c-0.5) > 0.1 {
		t.Errorf("half-shared factors correlate by %.2f, want 0.5", c)
	}
}

// Twenty hoses of one kind: their mean factor must stay as uncertain as the kind is.
func TestSharedDoubtDoesNotAverageAway(t *testing.T) {
	b := Prior()
	mean := func(share float64) Range {
		samples := make([]float64, Samples)
		for i := range samples {
			for h := range 20 {
				samples[i] += b.Factor(Shared("kind/hose", share, Key(fmt.Sprint("part/", h)), 0.5, 2), i+1, Samples) / 20
			}
		}
		return RangeOf(samples)
	}
	if all := mean(1); all.High < 1.9 {
		t.Errorf("fully shared: 95th percentile %.2f, want 2", all.High)
	}
	if none := mean(0); none.High > 1.3 {
		t.Errorf("independent: 95th percentile %.2f, should have averaged away", none.High)
	}
}

func TestAnotherKeyReshufflesNothing(t *testing.T) {
	alone, crowded := Prior(), Prior()
	for i := range 40 {
		crowded.Draws(Own(Key(fmt.Sprint("other/", i)), 0.5, 2), Samples)
	}
	f := Own("part/long hose", 0.5, 2)
	for i := range Samples + 1 {
		if a, c := alone.Factor(f, i, Samples), crowded.Factor(f, i, Samples); a != c {
			t.Fatalf("sample %d is %g alone and %g among others", i, a, c)
		}
	}
}

// Nine factors of a fan with a hose; the flow goes with about the third root of each (a falling fan curve against a
// quadratic loss). Percentiles stay put whatever the factors are called.
func TestPercentilesDoNotDependOnNames(t *testing.T) {
	b := Prior()
	width := []float64{1.2, 1.25, 1.1, 1.15, 1.4, 1.1, 1.2, 1.05, 1.1}
	var low, high, mid []float64
	for name := range 32 {
		samples := make([]float64, Samples)
		for i := range samples {
			samples[i] = 1
			for j, w := range width {
				samples[i] *= math.Cbrt(b.Factor(Own(Key(fmt.Sprint(name, "/", j)), 1/w, w), i+1, Samples))
			}
		}
		r := RangeOf(samples)
		low, mid, high = append(low, r.Low), append(mid, r.Median), append(high, r.High)
	}
	for what, xs := range map[string][]float64{"5th": low, "50th": mid, "95th": high} {
		var s, s2 float64
		for _, x := range xs {
			s, s2 = s+x, s2+x*x
		}
		n := float64(len(xs))
		if sd := math.Sqrt(s2/n-s*s/n/n) / (s / n); sd > 0.01 {
			t.Errorf("%s percentile varies by %.2f %% over 32 namings, want under 1 %%", what, 100*sd)
		}
	}
}
