package fan_test

import (
	"errors"
	"math"
	"testing"

	"gonum.org/v1/gonum/interp"
	"pgregory.net/rapid"

	"winnow/internal/physics/air"
	"winnow/internal/physics/fan"
	"winnow/internal/unit"
)

func drawCurve(t *rapid.T, falling bool, shape fan.Shape) fan.Curve {
	n := rapid.IntRange(2, 8).Draw(t, "points")
	points := make([]fan.Point, n)
	q, p := 0.0, rapid.Float64Range(500, 4000).Draw(t, "p0")
	for i := range points {
		if i > 0 {
			q += rapid.Float64Range(0.01, 0.2).Draw(t, "dq")
			d := rapid.Float64Range(0, 900).Draw(t, "dp")
			if !falling && rapid.Bool().Draw(t, "rises") {
				d = -d
			}
			p -= d
		}
		points[i] = fan.Point{Flow: unit.M3PerSec(q), Pressure: unit.Pascal(p)}
	}
	c, err := fan.NewCurve(points, shape, 1.2)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

// The cubic never leaves the band of its two neighbours, so a falling list of points makes a falling curve.
func TestMonotoneCubicInventsNoHump(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		falling := rapid.Bool().Draw(t, "falling")
		c := drawCurve(t, falling, fan.Monotone)
		pts := c.Points()
		for i := 1; i < len(pts); i++ {
			a, b := pts[i-1], pts[i]
			w := unit.M3PerSec(rapid.Float64Range(0, 1).Draw(t, "w"))
			p, slope := c.At(a.Flow + w*(b.Flow-a.Flow))
			low, high := min(a.Pressure, b.Pressure), max(a.Pressure, b.Pressure)
			if p < low-1e-9 || p > high+1e-9 {
				t.Fatalf("between %v and %v Pa the curve is at %v", a.Pressure, b.Pressure, p)
			}
			if falling && slope > 1e-6 {
				t.Fatalf("a falling curve rises, slope %v", slope)
			}
		}
		if c.Falling() != falling && falling {
			t.Fatal("a falling curve is not known as one")
		}
	})
}

// Value and slope belong together, and both are continuous at the points and beyond the ends.
func TestCurveSlopeIsTheSlope(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		shape := fan.Shape(rapid.IntRange(0, 1).Draw(t, "shape"))
		c := drawCurve(t, false, shape)
		if rapid.Bool().Draw(t, "total") {
			c = c.Total(0.01)
		}
		pts := c.Points()
		end := float64(pts[len(pts)-1].Flow)
		q := rapid.Float64Range(0, 1.2*end).Draw(t, "q")
		const h = 1e-7
		left, _ := c.At(unit.M3PerSec(q - h))
		right, _ := c.At(unit.M3PerSec(q + h))
		_, slope := c.At(unit.M3PerSec(q))
		for _, p := range pts { // a straight curve has corners
			if shape == fan.Linear && math.Abs(q-float64(p.Flow)) < 2*h {
				return
			}
		}
		got := float64(right-left) / (2 * h)
		if math.Abs(got-slope) > 1e-3*(1+math.Abs(slope))+0.05 {
			t.Fatalf("slope %v, by difference %v", slope, got)
		}
	})
}

// gonum's Fritsch-Butland spline is the same cubic but for how it starts and ends; inside, the two agree.
func TestMonotoneCubicAgainstGonum(t *testing.T) {
	x := []float64{0, 0.1, 0.2, 0.35, 0.45, 0.5, 0.6}
	y := []float64{2400, 2390, 2250, 1700, 1100, 700, 0}
	var f interp.FritschButland
	if err := f.Fit(x, y); err != nil {
		t.Fatal(err)
	}
	points := make([]fan.Point, len(x))
	for i := range x {
		points[i] = fan.Point{Flow: unit.M3PerSec(x[i]), Pressure: unit.Pascal(y[i])}
	}
	c := must[fan.Curve](t)(fan.NewCurve(points, fan.Monotone, 1.2))
	for q := 0.1; q <= 0.5; q += 0.01 {
		p, slope := c.At(unit.M3PerSec(q))
		if want := f.Predict(q); math.Abs(float64(p)-want) > 1e-6*math.Abs(want) {
			t.Errorf("at %v: %v, gonum %v", q, p, want)
		}
		if want := f.PredictDerivative(q); math.Abs(slope-want) > 1e-6*math.Abs(want) {
			t.Errorf("slope at %v: %v, gonum %v", q, slope, want)
		}
	}
}

func TestTotalAndBack(t *testing.T) {
	c := fan.Rated(2400, 0.6, 3, 1.2)
	const outlet = 0.0177 // m², 150 mm
	total := c.Total(outlet)
	for _, q := range []unit.M3PerSec{0, 0.1, 0.3, 0.6, 0.7} {
		s, _ := c.At(q)
		p, _ := total.At(q)
		if want := 0.6 * math.Pow(float64(q)/outlet, 2); math.Abs(float64(p-s)-want) > 1e-9 {
			t.Errorf("at %v m³/s total is %v above static, want the outlet's %v", q, p-s, want)
		}
		back, _ := total.Static(outlet).At(q)
		if math.Abs(float64(back-s)) > 1e-9 {
			t.Errorf("and back: %v, want %v", back, s)
		}
	}
	a, okA := c.FreeAir()
	b, okB := total.FreeAir()
	if !okA || !okB || a != b || math.Abs(float64(a)-0.6) > 1e-9 {
		t.Errorf("free air is where *static* pressure is zero, 0.6: got %v and %v", a, b)
	}
}

func TestFanLawsKeepTheirShape(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := drawCurve(t, true, fan.Monotone).Total(0.02)
		speed, size := rapid.Float64Range(0.5, 2).Draw(t, "speed"), rapid.Float64Range(0.5, 2).Draw(t, "size")
		rho := unit.KgPerM3(rapid.Float64Range(0.8, 1.3).Draw(t, "rho"))
		s, err := c.Scaled(speed, size, rho)
		if err != nil {
			t.Fatal(err)
		}
		q := unit.M3PerSec(rapid.Float64Range(0, 1).Draw(t, "q"))
		law := fan.Laws(speed, size, float64(rho/1.2))
		a, _ := c.At(q)
		b, _ := s.At(q * unit.M3PerSec(law.Flow))
		if math.Abs(float64(b)-float64(a)*law.Pressure) > 1e-6*(1+math.Abs(float64(b))) {
			t.Fatalf("scaled %v, want %v", b, float64(a)*law.Pressure)
		}
	})
	// 60 to 50 Hz: flow 0.83, pressure 0.69. Common practice, no source
	law := fan.Laws(5.0/6, 1, 1)
	if math.Abs(law.Flow-0.83) > 0.005 || math.Abs(law.Pressure-0.69) > 0.005 {
		t.Errorf("60 to 50 Hz: flow %v, pressure %v; the trade says 0.83 and 0.69", law.Flow, law.Pressure)
	}
}

func TestRatedCurveFollowsItsFormula(t *testing.T) {
	for _, n := range []float64{1, 1.1, 2, 3, 3.9} {
		c := fan.Rated(2400, 0.6, n, 1.2)
		for x := 0.0; x <= 1; x += 0.005 {
			p, _ := c.At(unit.M3PerSec(0.6 * x))
			if want := 2400 * (1 - math.Pow(x, n)); math.Abs(float64(p)-want) > 0.002*2400 {
				t.Errorf("n %v at %v: %v, want %v", n, x, p, want)
			}
		}
		if p, _ := c.At(0.7); p >= 0 {
			t.Errorf("n %v: beyond free air the pressure is %v, want negative", n, p)
		}
	}
}

// At n = 3 the air power peaks at 0.47·p0·Q0, at 0.63 of free air: calculus, checked by search.
func TestPeakAirPower(t *testing.T) {
	c := fan.Rated(2000, 0.5, 3, 1.2)
	best, at := 0.0, 0.0
	for q := 0.0; q < 0.5; q += 0.0005 {
		p, _ := c.At(unit.M3PerSec(q))
		if w := float64(fan.AirPower(unit.M3PerSec(q), p)); w > best {
			best, at = w, q
		}
	}
	if got := best / (2000 * 0.5); math.Abs(got-0.4725) > 0.001 {
		t.Errorf("peak %v of p0·Q0, want 0.4725", got)
	}
	if math.Abs(at/0.5-0.63) > 0.005 {
		t.Errorf("at %v of free air, want 0.63", at/0.5)
	}
	truth := fan.Truth(fan.Rating{FreeAir: 0.5, ShutOff: 2000, Motor: 1000}, 1)
	if math.Abs(float64(truth.Air)-best) > 0.5 {
		t.Errorf("the truth test takes %v W, the curve makes %v", truth.Air, best)
	}
	if truth.Loose != 600 || math.Abs(float64(truth.Strict)-444) > 1e-9 {
		t.Errorf("bounds %v and %v W, want 600 and 444 of a 1000 W motor", truth.Loose, truth.Strict)
	}
	if got := fan.Truth(fan.Rating{FreeAir: 0.5, ShutOff: 2000, Motor: 1000}, 1.15).Loose; math.Abs(float64(got)-690) > 1e-9 {
		t.Errorf("with a service factor of 1.15: %v W, want 690", got)
	}
}

func TestEstimates(t *testing.T) {
	// p0 from the tip speed: 12 in wheel at 60 Hz. Common practice: 8 to 10 inH2O with an 11 to 12 in wheel
	wheel := must[fan.Estimate](t)(fan.Rating{Wheel: 12 * inch, FreeAir: 1000 * cfm}.Estimate())
	if got := float64(wheel.ShutOff.Best) / inH2O; got < 7.5 || got > 10 {
		t.Errorf("12 in wheel: %.2f inH2O, the trade says 8 to 10", got)
	}
	slow := must[fan.Estimate](t)(fan.Rating{Wheel: 12 * inch, FreeAir: 1000 * cfm, Mains: 50}.Estimate())
	if got := float64(slow.ShutOff.Best / wheel.ShutOff.Best); math.Abs(got-25.0/36) > 1e-9 {
		t.Errorf("50 Hz gives %v of the pressure, want 0.694", got)
	}
	// thin air: pressure goes with density, free air stays
	thin := must[fan.Estimate](t)(fan.Rating{ShutOff: 2000, FreeAir: 0.5, Density: 0.95}.Estimate())
	if got := float64(thin.ShutOff.Best) / 2000; math.Abs(got-0.95/1.204) > 1e-9 {
		t.Errorf("in thin air the claim gives %v of its pressure, want %v", got, 0.95/1.204)
	}
	// Q0 from the motor alone: 1½ hp with 9 inH2O. Common practice 800 cfm (700 to 900)
	motor := must[fan.Estimate](t)(fan.Rating{ShutOff: 9 * inH2O, Motor: 1.5 * hp}.Estimate())
	if low, high := float64(motor.FreeAir.Low)/cfm, float64(motor.FreeAir.High)/cfm; low > 700 || high < 900 {
		t.Errorf("1½ hp: %.0f to %.0f cfm, should hold the trade's 700 to 900", low, high)
	}
	vacuum := must[fan.Estimate](t)(fan.Rating{Family: fan.Vacuum, ShutOff: 20e3, FreeAir: 0.06}.Estimate())
	if vacuum.Exponent.Best != 1.1 {
		t.Errorf("a vacuum's exponent is %v, want 1.1", vacuum.Exponent.Best)
	}
	for name, r := range map[string]fan.Rating{"a vacuum's wheel": {Family: fan.Vacuum, Wheel: 0.14, FreeAir: 0.05}, "nothing": {}, "free air alone": {FreeAir: 0.5}, "shut-off alone": {ShutOff: 2000}} {
		var miss *fan.RatingError
		if _, err := r.Estimate(); !errors.As(err, &miss) {
			t.Errorf("%s: got %v, want a rating error", name, err)
		}
	}
	var out *air.RangeError
	if _, err := (fan.Rating{FreeAir: -1, ShutOff: 2000}).Estimate(); !errors.As(err, &out) {
		t.Errorf("negative free air: got %v", err)
	}
	for name, e := range map[string]fan.Estimate{"wheel": wheel, "motor": motor, "vacuum": vacuum} {
		if !(e.ShutOff.Low < e.ShutOff.Best && e.ShutOff.Best < e.ShutOff.High && e.FreeAir.Low < e.FreeAir.Best && e.FreeAir.Best < e.FreeAir.High) {
			t.Errorf("%s: ranges do not hold their best: %+v", name, e)
		}
		if len(e.Because) < 2 {
			t.Errorf("%s: says only %q", name, e.Because)
		}
	}
}

func TestCurvesThatAreNone(t *testing.T) {
	for name, points := range map[string][]fan.Point{
		"one point":     {{0, 100}},
		"flow falls":    {{0, 100}, {0.2, 80}, {0.1, 60}},
		"twice":         {{0, 100}, {0.1, 80}, {0.1, 60}},
		"negative flow": {{-0.1, 100}, {0.1, 60}},
		"not a number":  {{0, 100}, {0.1, unit.Pascal(math.NaN())}},
	} {
		var e *fan.CurveError
		if _, err := fan.NewCurve(points, fan.Monotone, 1.2); !errors.As(err, &e) {
			t.Errorf("%s: got %v, want a curve error", name, err)
		}
	}
	if _, ok := must[fan.Curve](t)(fan.NewCurve([]fan.Point{{0, 100}, {0.1, 100}}, fan.Monotone, 1.2)).FreeAir(); ok {
		t.Error("a flat curve has no free air")
	}
}

func TestSampleLiesOnTheCurve(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := drawCurve(t, false, fan.Monotone).Total(0.015)
		per := rapid.IntRange(1, 5).Draw(t, "per")
		s := c.Sample(per)
		if len(s) != per*(len(c.Points())-1)+1 {
			t.Fatalf("%d points", len(s))
		}
		for i, p := range s {
			if want, _ := c.At(p.Flow); want != p.Pressure {
				t.Fatalf("point %d is off the curve", i)
			}
			if i > 0 && p.Flow <= s[i-1].Flow {
				t.Fatalf("flows do not rise at %d", i)
			}
		}
	})
}
