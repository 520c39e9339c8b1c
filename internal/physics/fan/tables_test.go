package fan_test

import (
	"math"
	"strings"
	"testing"

	"winnow/internal/physics/fan"
	"winnow/internal/refcase"
	"winnow/internal/unit"
)

// The tests of this file ask whether tables and judgements stand in the code as they were written down; they say nothing about physics.

func exact(t testing.TB, what string, got, want float64) {
	t.Helper()
	if math.Abs(got-want) > 1e-9*(1+math.Abs(want)) {
		t.Errorf("%s: %.9g stands in the code, %.9g was written down", what, got, want)
	}
}

func exactRange[T unit.Real](t testing.TB, what string, a unit.Amount[T], low, best, high float64) {
	t.Helper()
	exact(t, what+", low", float64(a.Low), low)
	exact(t, what+", best", float64(a.Best), best)
	exact(t, what+", high", float64(a.High), high)
	if a.Basis != unit.Assumed || !strings.Contains(a.Source, "[S-1") {
		t.Errorf("%s: basis %v, source %q", what, a.Basis, a.Source)
	}
}

func TestRatingJudgementsStandAsDecided(t *testing.T) {
	e := must[fan.Estimate](t)(fan.Rating{FreeAir: 0.5, ShutOff: 2000, Density: 0.602}.Estimate()) // half the density of standard air
	exactRange(t, "claimed free air", e.FreeAir, 0.30, 0.40, 0.50)
	exactRange(t, "claimed shut-off", e.ShutOff, 800, 1000, 1200)
	exactRange(t, "exponent", e.Exponent, 2, 3, 3.9)
	e = must[fan.Estimate](t)(fan.Rating{Family: fan.Vacuum, FreeAir: 0.05, ShutOff: 20e3}.Estimate())
	exactRange(t, "vacuum's exponent", e.Exponent, 1, 1.1, 1.4)

	u := math.Pi * 0.3 * 50 // m/s
	e = must[fan.Estimate](t)(fan.Rating{FreeAir: 0.5, Wheel: 0.3, Speed: 50, Density: 1.2}.Estimate())
	exactRange(t, "tip speed", e.ShutOff, 0.43*1.2*u*u, 0.53*1.2*u*u, 0.63*1.2*u*u)

	peak := 0.75 * math.Pow(4, -1.0/3) // of p0·Q0, at n = 3
	e = must[fan.Estimate](t)(fan.Rating{ShutOff: 2000, Motor: 1000}.Estimate())
	q := 1000 / (peak * 2000)
	if math.Abs(float64(e.ShutOff.Best)-2000) > 1e-9 {
		t.Errorf("a claim in standard air stays: %v", e.ShutOff.Best)
	}
	exactRange(t, "free air by the motor", e.FreeAir, 0.20*q, 0.32*q, 0.45*q)
	e = must[fan.Estimate](t)(fan.Rating{FreeAir: 0.5, Motor: 1000}.Estimate())
	p := 1000 / (peak * 0.4)
	exactRange(t, "shut-off by the motor", e.ShutOff, 0.20*p, 0.32*p, 0.45*p)
	if !strings.Contains(strings.Join(e.Because, "; "), "32 % of the plate") {
		t.Errorf("the sheet is told %q", e.Because)
	}
	exact(t, "tested curve", fan.TestedCurveDoubt, 0.05)
	exact(t, "maker's curve", fan.MakerCurveDoubt, 0.10)
	exact(t, "correlation", fan.Correlation, 0.3)

	// a claim wins over the wheel, the wheel over the motor
	both := must[fan.Estimate](t)(fan.Rating{FreeAir: 0.5, ShutOff: 2000, Wheel: 0.3, Motor: 1000}.Estimate())
	exact(t, "claim first", float64(both.ShutOff.Best), 2000)
	small := must[fan.Estimate](t)(fan.Rating{FreeAir: 0.5, ShutOff: 0.5}.Estimate()) // absurd, but said
	exact(t, "even a tiny claim", float64(small.ShutOff.Best), 0.5)
}

// The trade's shape of shaft power, and the currents that follow from it.
func TestMotorJudgementsStandAsDecided(t *testing.T) {
	b := refcase.Airflow(t, "AF-FAN-007").Table(t, "table")
	for i := range b.Rows {
		exact(t, "load", must[float64](t)(fan.LoadShare(b.Num(t, i, "q"))), b.Num(t, i, "shaft_power_over_free_delivery_power"))
	}
	exact(t, "past free air", must[float64](t)(fan.LoadShare(1.1)), 1.07)
	current := func(idle, load float64) float64 { return 10 * math.Sqrt(idle*idle+(1-idle*idle)*load*load) }
	a := must[unit.Amount[unit.Ampere]](t)(fan.Motor{Plate: 10}.Current(0, 1))
	exactRange(t, "blocked", a, current(0.40, 0.8*0.4), current(0.55, 0.4), current(0.75, 1.1*0.4))
	a = must[unit.Amount[unit.Ampere]](t)(fan.Motor{Plate: 10, Idle: 0.6, Full: 0.9}.Current(1, 1))
	exactRange(t, "wide open, plate known", a, current(0.6, 0.9), current(0.6, 0.9), current(0.6, 0.9))
	none := must[unit.Amount[unit.Ampere]](t)(fan.Motor{}.Current(0.5, 1))
	if none.Basis != unit.Unsaid || none.Best != 0 {
		t.Errorf("no plate: %+v, want unsaid", none)
	}
}

func TestCurveOddsAndEnds(t *testing.T) {
	open := must[fan.Curve](t)(fan.NewCurve([]fan.Point{{Flow: 0, Pressure: 1000}, {Flow: 0.2, Pressure: 600}}, fan.Linear, 1.2)) // ends above zero
	q, ok := open.FreeAir()
	if !ok || math.Abs(float64(q)-0.5) > 1e-12 {
		t.Errorf("carried on straight, free air is at %v, want 0.5", q)
	}
	exact(t, "shut-off", float64(open.ShutOff()), 1000)
	thin := must[fan.Curve](t)(open.InAir(0.9))
	p, _ := thin.At(0.1)
	exact(t, "thin air", float64(p), 800*0.75)
	exact(t, "its density", float64(thin.Density()), 0.9)
	if _, err := fan.NewCurve([]fan.Point{{Flow: 0, Pressure: 1}, {Flow: 0, Pressure: 2}}, fan.Linear, 1.2); err == nil || !strings.Contains(err.Error(), "point 2") {
		t.Errorf("the error names no point: %v", err)
	}
	if _, err := fan.NewCurve(nil, fan.Linear, 1.2); err == nil || strings.Contains(err.Error(), "point 0") {
		t.Errorf("no point is at fault: %v", err)
	}
	if _, err := fan.NewCurve([]fan.Point{{Flow: 0, Pressure: 1}, {Flow: 1, Pressure: 0}}, fan.Linear, 0); err == nil {
		t.Error("air without density")
	}
}
