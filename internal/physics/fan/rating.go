package fan

import (
	"fmt"
	"math"

	"winnow/internal/physics/air"
	"winnow/internal/unit"
)

// Family is a kind of fan that shares a shape of curve.
type Family uint8

const (
	Radial Family = iota // radial-blade blower of a dust collector
	Vacuum               // several wheels behind each other, high speed: vacuums and extractors
)

// Tested says what stood in the way when the figures were taken.
type Tested uint8

const (
	ClaimBare   Tested = iota // nothing: bare fan, no filter, no hose; what a box means unless it says otherwise
	ClaimAsSold               // its own clean filter in place
)

// Rating is what a box, a plate or a wheel tells about a fan. Zero means not known.
type Rating struct {
	Family  Family
	FreeAir unit.M3PerSec // claimed
	ShutOff unit.Pascal   // claimed suction with the inlet blocked
	Tested  Tested
	Wheel   unit.Metre   // diameter
	Speed   unit.PerSec  // turns per second; 0: two-pole induction motor at the mains frequency, with slip
	Mains   unit.PerSec  // 50 or 60 per second; 0: 60
	Motor   unit.Watt    // power on the plate, shaft
	Density unit.KgPerM3 // of the air the shop has; 0: standard
}

// Estimate is a rating turned into the three numbers of p = p0·[1 - (Q/Q0)^n], each with its range, in the shop's air. The range
// of the product is not the product of the ranges: see Correlation.
type Estimate struct {
	ShutOff        unit.Amount[unit.Pascal]
	FreeAir        unit.Amount[unit.M3PerSec]
	Exponent       unit.Amount[unit.Number]
	IncludesFilter bool // the free air was claimed with the fan's own clean filter in place: it must not be counted again
	Density        unit.KgPerM3
	Because        []string // how each number was come by, for the sheet
}

// Correlation is that of ln p0 with ln Q0 between fans of one claim: a fan that is better than its box in one is so in the other.
// Judgement. Source [S-103].
const Correlation = 0.3

const (
	freeAirShare, freeAirLow, freeAirHigh = 0.80, 0.60, 1.00 // real over claimed free air. Judgement. Source [S-103]
	shutOffDoubt                          = 0.20             // of a claimed shut-off. Judgement. Source [S-103]
	tipShare, tipLow, tipHigh             = 0.53, 0.43, 0.63 // p0/(ρ·u²). Judgement. Source [S-103]
	powerShare, powerLow, powerHigh       = 0.32, 0.20, 0.45 // best air power over plate power of the trade's fans. Source [S-104]
	slip                                  = 0.965            // of a loaded two-pole induction motor. Common practice
)

// Doubts of a curve that was measured, as a fraction of flow, nine in ten. Source [S-103] (ISO 13348 grades, from memory).
const (
	TestedCurveDoubt = 0.05 // a test report
	MakerCurveDoubt  = 0.10 // a maker's curve without certificate
)

// RatingError says what is missing from a rating.
type RatingError struct{ Missing string }

// Error names what is missing and what would do.
func (e *RatingError) Error() string { return "fan rating: " + e.Missing }

// Estimate returns p0, Q0 and n with their ranges.
//
// n 3 (2 to 3.9) for radial collectors, 1.1 (1 to 1.4) for vacuums. p0: the claim ±20 %; else 0.53 (0.43 to 0.63)·ρ·u² from the
// wheel's tip speed. Q0: the claim x 0.80 (0.6 to 1.0); else from the motor, as much as makes the best air power 0.32 (0.20 to 0.45) of
// the plate. With Q0 but neither p0 nor wheel, p0 comes from the motor the same way. What cannot be had from anything is a
// *RatingError; numbers beyond all fans an *air.RangeError. The claim is taken as made in standard air, the estimate is for Density.
// Even so the flow in use is about ±15 %. Source [S-103], [S-104].
func (r Rating) Estimate() (Estimate, error) {
	r = r.filled()
	if err := r.check(); err != nil {
		return Estimate{}, err
	}
	e := Estimate{IncludesFilter: r.Tested == ClaimAsSold && r.FreeAir > 0, Density: r.Density, Exponent: exponent(r.Family)}
	thin := float64(r.Density / air.StandardSI)
	n := float64(e.Exponent.Best)
	if r.FreeAir > 0 {
		e.FreeAir = spread(r.FreeAir, freeAirShare, freeAirLow, freeAirHigh, "claim x 0.80 [S-103]")
		e.say("free air: the claim x %.2f (%.1f to %.1f)", freeAirShare, freeAirLow, freeAirHigh)
	}
	switch {
	case r.ShutOff > 0:
		e.ShutOff = spread(r.ShutOff, thin, thin*(1-shutOffDoubt), thin*(1+shutOffDoubt), "claim ±20 % [S-103]")
		e.say("suction with the inlet blocked: the claim ±%.0f %%", 100*shutOffDoubt)
	case r.Wheel > 0:
		u := math.Pi * float64(r.Wheel) * float64(r.Speed)
		e.ShutOff = spread(unit.Pascal(float64(r.Density)*u*u), tipShare, tipLow, tipHigh, "tip speed [S-103]")
		e.say("suction with the inlet blocked: %.2f·ρ·u², tip speed %.0f m/s", tipShare, u)
	case r.FreeAir > 0 && r.Motor > 0:
		p := float64(r.Motor) / (peakShare(n) * float64(e.FreeAir.Best))
		e.ShutOff = spread(unit.Pascal(p), powerShare, powerLow, powerHigh, "motor power [S-104]")
		e.say("suction with the inlet blocked: from the motor, best air power %.0f %% of the plate", 100*powerShare)
	default:
		return Estimate{}, &RatingError{Missing: "neither the suction with the inlet blocked, nor the wheel's diameter, nor free air with the motor's power"}
	}
	if r.FreeAir == 0 {
		if r.Motor == 0 {
			return Estimate{}, &RatingError{Missing: "neither free air nor the motor's power"}
		}
		q := float64(r.Motor) / (peakShare(n) * float64(e.ShutOff.Best))
		e.FreeAir = spread(unit.M3PerSec(q), powerShare, powerLow, powerHigh, "motor power [S-104]")
		e.say("free air: from the motor, best air power %.0f %% of the plate", 100*powerShare)
	}
	return e, nil
}

// filled puts the usual values where a rating says nothing. A vacuum's motor turns at no speed that the mains would tell, and its
// wheels stand behind each other: without a stated speed its wheel says nothing.
func (r Rating) filled() Rating {
	if r.Family == Vacuum && r.Speed == 0 {
		r.Wheel = 0
	}
	if r.Mains == 0 {
		r.Mains = 60
	}
	if r.Speed == 0 {
		r.Speed = r.Mains * slip
	}
	if r.Density == 0 {
		r.Density = air.StandardSI
	}
	return r
}

func (r Rating) check() error {
	for _, c := range []struct {
		what           string
		value, low, up float64
		unit           string
	}{
		{"free air", float64(r.FreeAir), 0, 20, "m³/s"},
		{"suction with the inlet blocked", float64(r.ShutOff), 0, 60e3, "Pa"},
		{"wheel", float64(r.Wheel), 0, 1.5, "m"},
		{"speed", float64(r.Speed), 1, 2000, "1/s"},
		{"motor power", float64(r.Motor), 0, 50e3, "W"},
		{"density", float64(r.Density), 0.2, 3, "kg/m³"},
	} {
		if err := air.Check(c.what, c.value, c.low, c.up, c.unit); err != nil {
			return err
		}
	}
	return nil
}

func (e *Estimate) say(format string, args ...any) {
	e.Because = append(e.Because, fmt.Sprintf(format, args...))
}

func exponent(f Family) unit.Amount[unit.Number] {
	a := unit.Amount[unit.Number]{Best: 3, Low: 2, High: 3.9, Basis: unit.Assumed, Source: "shape of radial blowers [S-103]"}
	if f == Vacuum {
		a.Best, a.Low, a.High, a.Source = 1.1, 1, 1.4, "shape of vacuum cleaners [S-103]"
	}
	return a
}

// spread returns x times a factor and its range.
func spread[T unit.Real](x T, best, low, high float64, source string) unit.Amount[T] {
	return unit.Amount[T]{Best: x * T(best), Low: x * T(low), High: x * T(high), Basis: unit.Assumed, Source: source}
}

// peakShare returns the most air power of p = p0·[1 - (Q/Q0)^n] over p0·Q0: n/(n+1)·(n+1)^(-1/n), 0.47 for n = 3. Calculus.
func peakShare(n float64) float64 { return n / (n + 1) * math.Pow(n+1, -1/n) }

// Curve returns the estimate's best curve.
func (e Estimate) Curve() Curve {
	return Rated(e.ShutOff.Best, e.FreeAir.Best, float64(e.Exponent.Best), e.Density)
}

// Rated returns the curve p = p0·[1 - (Q/Q0)^n] as a monotone cubic through 33 points, within 0.2 % of p0 of the formula; beyond Q0
// it falls on straight. p0, q0 above 0, n 0.5 to 6: panics otherwise, for these are ours, drawn or estimated. Source [S-103].
func Rated(p0 unit.Pascal, q0 unit.M3PerSec, n float64, density unit.KgPerM3) Curve {
	if !(p0 > 0 && q0 > 0 && n >= 0.5 && n <= 6) {
		panic(fmt.Sprintf("fan: no such rated curve: p0 %g, Q0 %g, n %g", p0, q0, n))
	}
	const steps = 32
	points := make([]Point, steps+1)
	for i := range points {
		x := float64(i) / steps
		points[i] = Point{Flow: q0 * unit.M3PerSec(x), Pressure: p0 * unit.Pascal(1-math.Pow(x, n))}
	}
	c, err := NewCurve(points, Monotone, density)
	if err != nil {
		panic(err) // the points above always make a curve
	}
	return c
}

// Verdict says whether a claim can be true by its motor's power.
type Verdict string

// The words of the power test.
const (
	Plausible    Verdict = "plausible"
	Unlikely     Verdict = "unlikely"
	CannotBeTrue Verdict = "cannot be true"
	CannotSay    Verdict = "cannot say" // the motor's power, free air or shut-off is not known
)

const (
	bestEfficiency, bestEfficiencyLow, bestEfficiencyHigh = 0.60, 0.45, 0.70 // of a small radial blower. Judgement. Source [S-103]

	// peakLoad is the shaft power where the air power peaks over that at free air, which is what the motor was chosen for: a radial
	// blower draws 0.73 to 0.74 there. Source [S-105].
	peakLoad = 0.74
)

// Power is the power test of a claim, with its numbers.
type Power struct {
	Verdict Verdict
	Air     unit.Watt // the most air power the claim would make, at the best point of its curve
	Strict  unit.Watt // what the motor can make of it when it is fully loaded at free air
	Loose   unit.Watt // what it can make at its service factor, wherever it is loaded so
}

// Truth tests a claim of shut-off and free air by the motor's plate: the curve's peak air power (0.47·p0·Q0 at n = 3) must not be more
// than 0.60 of the shaft power.
//
//	above 0.60·P·(service factor)           cannot be true
//	above 0.60·0.74·P·(service factor)      unlikely: the motor is full at free air, and the peak is at 0.74 of that
//	else                                    plausible
//
// claim in standard air, before any factor of ours; service factor 0 means 1. Source [S-103].
func Truth(claim Rating, serviceFactor float64) Power {
	if serviceFactor == 0 {
		serviceFactor = 1
	}
	n := float64(exponent(claim.Family).Best)
	p := Power{
		Air:    unit.Watt(peakShare(n) * float64(claim.ShutOff) * float64(claim.FreeAir)),
		Loose:  unit.Watt(bestEfficiency * serviceFactor * float64(claim.Motor)),
		Strict: unit.Watt(bestEfficiency * peakLoad * serviceFactor * float64(claim.Motor)),
	}
	switch {
	case !(claim.ShutOff > 0 && claim.FreeAir > 0 && claim.Motor > 0):
		p.Verdict = CannotSay
	case p.Air > p.Loose:
		p.Verdict = CannotBeTrue
	case p.Air > p.Strict:
		p.Verdict = Unlikely
	default:
		p.Verdict = Plausible
	}
	return p
}
