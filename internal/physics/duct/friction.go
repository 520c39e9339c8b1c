package duct

import (
	"math"

	"winnow/internal/physics/air"
)

// Bounds of the three rules of friction, by Reynolds number [-].
const (
	LaminarBelow   = 2000
	TurbulentAbove = 4000
)

// twoOverLn10 turns a natural logarithm into -(-2·log10).
const twoOverLn10 = 2 / math.Ln10

// FrictionFactor returns the Darcy friction factor of a round duct [-]:
//
//	Re <= 2000   f = 64/Re
//	Re >= 4000   1/√f = -2·log10( (ε/D)/3.7 + 2.51/(Re·√f) )          (Colebrook)
//	between      the cubic in Re that meets both ends in value and slope
//
// re is the Reynolds number [-], above 0 to 1e8; relRough is ε/D [-], 0 to 0.1 (Colebrook's own data end at 0.05; suction hose
// is put at 0.07). Outside either it returns an *air.RangeError. Solved to 1e-12 relative. Between 2000 and 4000 no real duct is
// predictable: the cubic only keeps the answer definite, with a loss that rises steadily with flow. Leaves out the inlet length
// (about 20 D), seams, dents and sag. Source [S-040], [S-041].
func FrictionFactor(re, relRough float64) (float64, error) {
	if !(re > 0 && re <= 1e8) {
		return 0, &air.RangeError{What: "Reynolds number", Value: re, Low: 0, High: 1e8}
	}
	w, err := NewWarmFriction(relRough)
	if err != nil {
		return 0, err
	}
	f, _ := w.At(re)
	return f, nil
}

// WarmFriction is FrictionFactor for one duct asked again and again: it keeps 1/√f and its logarithm from the last time, so that
// the next factor costs one high-order step and, near the last place, no logarithm. The answer does not depend on what was kept.
type WarmFriction struct {
	Turbulent
	Band
}

// Turbulent is the part of WarmFriction from Reynolds number 4000 upwards. WarmFriction makes it.
type Turbulent struct {
	wall float64 // ε/(3.7·D)
	root float64 // 1/√f of the last call

	// The kept logarithm: lnAt = 2/ln10·ln(at), with oneOver = 1/at.
	oneOver, lnAt float64
}

// Band is the part of WarmFriction below Reynolds number 4000. It stands apart from Turbulent because few ducts ever need it: whoever
// sweeps over many ducts need not read it.
type Band struct {
	// The cubic between laminar and turbulent: value at 4000, and 2000 times the slope there.
	end, endSlope float64
}

// NewWarmFriction prepares the friction of a wall with relRough = ε/D [-], 0 to 0.1; else an *air.RangeError.
func NewWarmFriction(relRough float64) (WarmFriction, error) {
	if !(relRough >= 0 && relRough <= 0.1) {
		return WarmFriction{}, &air.RangeError{What: "relative roughness", Value: relRough, Low: 0, High: 0.1}
	}
	w := WarmFriction{Turbulent: Turbulent{wall: relRough / 3.7}}
	f, slope := w.At(TurbulentAbove)
	w.end = f
	w.endSlope = f * slope * (TurbulentAbove - LaminarBelow) / TurbulentAbove
	w.At(1e5) // where ducts usually work
	return w, nil
}

// At returns the factor [-] at Reynolds number re [-], above 0, and its slope d(ln f)/d(ln Re) [-]. Solved to 1e-12 relative.
// Source [S-040], [S-041].
func (w *WarmFriction) At(re float64) (f, slope float64) {
	if re < TurbulentAbove {
		return w.Below(re)
	}
	if w.root == 0 {
		w.root = -twoOverLn10 * math.Log(w.wall+5.74*math.Pow(re, -0.9)) // a few per cent off: the steps see to it
	}
	for range 20 {
		var left float64
		if f, slope, left = w.Step(re); left < 1e-12 {
			break
		}
	}
	return f, slope
}

// Step is one step towards Colebrook's factor at Reynolds number re [-], 4000 or more, from the kept 1/√f. left bounds what f is
// still off by, relative: the caller steps again, or comes back with a better re, until it is small enough. A step takes an
// error of 1 % in 1/√f to about 1e-9, and one of 0.1 % to rounding.
//
// With x = 1/√f, F(x) = x + 2·log10(wall + 2.51·x/Re) and s = 2.51/(Re·(wall + 2.51·x/Re)): F' = 1 + c·s, F” = -c·s²,
// F”' = 2·c·s³, c = 2/ln 10. The step is Chebyshev's of third order with these.
func (w *Turbulent) Step(re float64) (f, slope, left float64) {
	b := 2.51 / re
	x := w.root
	arg := w.wall + b*x
	t := arg*w.oneOver - 1
	var ln float64
	if t > -0.04 && t < 0.04 {
		// 2/ln10·ln(1+t) by its series: the next term is below 3e-14
		t2 := t * t
		t4 := t2 * t2
		ln = w.lnAt + t*(twoOverLn10*((1-t*(1./2))+t2*((1./3)-t*(1./4))+t4*((1./5-t*(1./6))+t2*(1./7-t*(1./8)))))
	} else {
		ln = twoOverLn10 * math.Log(arg)
		w.oneOver, w.lnAt = 1/arg, ln
	}
	// with q = 1/(arg + c·b): F/F' = F·arg·q, c·s/F' = c·b·q, and s·F/F' = b·F·q
	cb := twoOverLn10 * b
	q := 1 / (arg + cb)
	d := (x + ln) * q
	y := b * d
	d *= arg
	e := cb * q
	d *= 1 - y*e*(0.5-y*(0.5*e-1./3))
	x -= d
	w.root = x
	y *= y
	left = y * y // times c·arg·q/x, which is below 1: the step's own error goes with the fourth power of y
	return 1 / (x * x), -2 * cb / (arg - b*d + cb), left
}

// Below returns the factor [-] at a Reynolds number re [-] above 0 and under 4000, and its slope d(ln f)/d(ln Re) [-]. Source [S-040].
func (w *Band) Below(re float64) (f, slope float64) {
	if re <= LaminarBelow {
		return 64 / re, -1
	}
	const start = 64. / LaminarBelow // also minus its slope by s: 64/Re has d(ln f)/d(ln Re) = -1 and the band is 2000 wide
	s := (re - LaminarBelow) / (TurbulentAbove - LaminarBelow)
	s2 := s * s
	s3 := s2 * s
	f = (2*s3-3*s2+1)*start - (s3-2*s2+s)*start + (3*s2-2*s3)*w.end + (s3-s2)*w.endSlope
	df := (6*s2-6*s)*(start-w.end) - (3*s2-4*s+1)*start + (3*s2-2*s)*w.endSlope
	return f, df / f * re / (TurbulentAbove - LaminarBelow)
}
