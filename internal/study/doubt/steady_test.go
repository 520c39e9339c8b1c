package doubt

import (
	"fmt"
	"math"
	"testing"
)

// A product of known log-normal factors has a known distribution: its percentiles are exp(±1.6449·s), s the root of the
// summed squares (standard normal table). The steadied samples must meet them closer than plain ones can.
func TestSteadiedPercentilesMeetTheExactOnes(t *testing.T) {
	b := Prior()
	widths := []float64{1.2, 1.5, 1.1, 1.3, 1.15}
	var s2 float64
	for _, w := range widths {
		s2 += math.Pow(math.Log(w)/z95, 2)
	}
	exact := math.Exp(z95 * math.Sqrt(s2))
	worst := 0.0
	for naming := range 16 {
		y := make([]float64, Samples)
		zs := make([][]float64, len(widths))
		for i := range y {
			y[i] = 1
		}
		for k, w := range widths {
			f := Own(Key(fmt.Sprint(naming, "/", k)), 1/w, w)
			zs[k] = b.Draws(f, Samples)[1:]
			for i := range y {
				y[i] *= f.At(zs[k][i])
			}
		}
		r := RangeOf(Steady(y, zs))
		worst = max(worst, math.Abs(r.High/exact-1), math.Abs(r.Low*exact-1))
	}
	if worst > 0.002 {
		t.Errorf("percentiles off by up to %.2f %%, want under 0.2 %%", 100*worst)
	}
}

// What does not depend on the keys comes through untouched but for the luck of the fit.
func TestSteadyKeepsWhatTheLineDoesNotExplain(t *testing.T) {
	b := Prior()
	hidden := b.Draws(Own("hidden", 0.5, 2), Samples)[1:]
	y := make([]float64, Samples)
	for i, z := range hidden {
		y[i] = math.Exp(0.2 * z * z)
	}
	zs := [][]float64{b.Draws(Own("a", 0.5, 2), Samples)[1:], b.Draws(Own("b", 0.5, 2), Samples)[1:]}
	plain, steadied := RangeOf(append([]float64(nil), y...)), RangeOf(Steady(y, zs))
	if math.Abs(steadied.High/plain.High-1) > 0.03 || math.Abs(steadied.Median/plain.Median-1) > 0.03 {
		t.Errorf("unexplained numbers became %+v from %+v", steadied, plain)
	}
}
