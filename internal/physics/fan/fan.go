// Package fan holds fan curves: from points, or guessed from what the box says; and what a motor's power allows such a claim to be.
//
// It refuses to know what a fan is bolted to: filter, outlet and duct belong to others. Fan pressure here is *static* unless a
// name says total. Start reading at Curve, then Rating (what a box claims) and Truth (whether that can be).
package fan

import (
	"fmt"
	"math"

	"winnow/internal/physics/air"
	"winnow/internal/unit"
)

// Point is one point of a curve.
type Point struct {
	Flow     unit.M3PerSec
	Pressure unit.Pascal // fan static pressure
}

// Shape says how a curve runs between its points.
type Shape uint8

const (
	Monotone Shape = iota // cubic, never beyond its neighbours, smooth: for shops
	Linear                // straight: for the reference networks
)

// Curve is the pressure of a fan against its flow, in air of one density. The zero Curve has no points and must not be evaluated.
type Curve struct {
	points  []Point
	slopes  []float64 // at the points, Pa per m³/s; Monotone only
	shape   Shape
	square  float64 // Pa per (m³/s)², added everywhere: the outlet's velocity pressure in a total-pressure curve
	density unit.KgPerM3
}

// CurveError says why points make no curve.
type CurveError struct {
	Why   string
	Point int // from 0; -1: the whole
}

// Error gives the reason and the point, counted from 1.
func (e *CurveError) Error() string {
	if e.Point < 0 {
		return "fan curve: " + e.Why
	}
	return fmt.Sprintf("fan curve, point %d: %s", e.Point+1, e.Why)
}

// NewCurve returns the curve through points, in air of a density (that of the test; standard air if the maker says nothing).
//
// Flows must rise and not be negative, pressures be finite; at least two points, else a *CurveError. Monotone is the cubic of
// Fritsch and Carlson: continuous in value and slope, and between two points never above the higher nor below the lower, so it
// invents no hump. Beyond the ends both shapes go on straight: through the first point with the first slope (Monotone: not rising
// to the left of it), past the last with the last. Source [S-100].
func NewCurve(points []Point, shape Shape, density unit.KgPerM3) (Curve, error) {
	if len(points) < 2 {
		return Curve{}, &CurveError{Why: "needs two points at least", Point: -1}
	}
	for i, p := range points {
		switch {
		case math.IsNaN(float64(p.Flow)) || math.IsInf(float64(p.Flow), 0) || math.IsNaN(float64(p.Pressure)) || math.IsInf(float64(p.Pressure), 0):
			return Curve{}, &CurveError{Why: "not a number", Point: i}
		case p.Flow < 0:
			return Curve{}, &CurveError{Why: "negative flow", Point: i}
		case i > 0 && p.Flow <= points[i-1].Flow:
			return Curve{}, &CurveError{Why: "flow does not rise from the point before", Point: i}
		}
	}
	if err := air.Check("density", float64(density), 0.2, 3, "kg/m³"); err != nil {
		return Curve{}, err
	}
	c := Curve{points: append([]Point(nil), points...), shape: shape, density: density}
	c.fit()
	return c, nil
}

// fit reckons the slopes of the monotone cubic at the points.
func (c *Curve) fit() {
	if c.shape == Linear {
		return
	}
	n := len(c.points)
	d := make([]float64, n-1) // secants
	h := make([]float64, n-1)
	for i := range d {
		h[i] = float64(c.points[i+1].Flow - c.points[i].Flow)
		d[i] = float64(c.points[i+1].Pressure-c.points[i].Pressure) / h[i]
	}
	m := make([]float64, n)
	if n == 2 {
		m[0], m[1] = d[0], d[0]
		c.slopes = m
		return
	}
	for i := 1; i < n-1; i++ {
		if d[i-1]*d[i] > 0 { // weighted harmonic mean; zero at a turning point
			w1, w2 := 2*h[i]+h[i-1], h[i]+2*h[i-1]
			m[i] = (w1 + w2) / (w1/d[i-1] + w2/d[i])
		}
	}
	m[0] = endSlope(h[0], h[1], d[0], d[1])
	m[n-1] = endSlope(h[n-2], h[n-3], d[n-2], d[n-3])
	c.slopes = m
}

// endSlope is the one-sided three-point slope, held to the sign and three times the size of the end secant. Source [S-100].
func endSlope(h0, h1, d0, d1 float64) float64 {
	m := ((2*h0+h1)*d0 - h0*d1) / (h0 + h1)
	switch {
	case m*d0 <= 0:
		return 0
	case d0*d1 <= 0 && math.Abs(m) > 3*math.Abs(d0):
		return 3 * d0
	}
	return m
}

// At returns the pressure [Pa] and its slope [Pa per m³/s] at a flow, any flow.
func (c Curve) At(q unit.M3PerSec) (unit.Pascal, float64) {
	x := float64(q)
	p, slope := c.bare(x)
	return unit.Pascal(p + c.square*x*math.Abs(x)), slope + 2*c.square*math.Abs(x)
}

// bare evaluates the curve without the outlet's velocity pressure.
func (c Curve) bare(x float64) (p, slope float64) {
	n := len(c.points)
	first, last := c.points[0], c.points[n-1]
	switch {
	case x <= float64(first.Flow):
		s := c.endSlopeOf(0)
		return float64(first.Pressure) + s*(x-float64(first.Flow)), s
	case x >= float64(last.Flow):
		s := c.endSlopeOf(n - 1)
		return float64(last.Pressure) + s*(x-float64(last.Flow)), s
	}
	i := c.interval(x)
	a, b := c.points[i], c.points[i+1]
	h := float64(b.Flow - a.Flow)
	t := (x - float64(a.Flow)) / h
	rise := float64(b.Pressure - a.Pressure)
	if c.shape == Linear {
		return float64(a.Pressure) + t*rise, rise / h
	}
	m0, m1 := c.slopes[i]*h, c.slopes[i+1]*h
	u := 1 - t
	p = float64(a.Pressure)*(1+2*t)*u*u + float64(b.Pressure)*(3-2*t)*t*t + m0*t*u*u - m1*t*t*u
	slope = (6*rise*t*u + m0*u*(1-3*t) + m1*t*(3*t-2)) / h
	return p, slope
}

// endSlopeOf returns the slope with which the curve goes on beyond its end i.
func (c Curve) endSlopeOf(i int) float64 {
	if c.shape == Monotone {
		return c.slopes[i]
	}
	if i == 0 {
		return secant(c.points[0], c.points[1])
	}
	return secant(c.points[i-1], c.points[i])
}

func secant(a, b Point) float64 { return float64(b.Pressure-a.Pressure) / float64(b.Flow-a.Flow) }

// interval returns i with points[i].Flow <= x < points[i+1].Flow.
func (c Curve) interval(x float64) int {
	lo, hi := 0, len(c.points)-1
	for hi-lo > 1 {
		mid := (lo + hi) / 2
		if float64(c.points[mid].Flow) <= x {
			lo = mid
		} else {
			hi = mid
		}
	}
	return lo
}

// Points returns a copy of the points, without the outlet's velocity pressure of a total curve.
func (c Curve) Points() []Point { return append([]Point(nil), c.points...) }

// Shape returns how the curve runs between its points.
func (c Curve) Shape() Shape { return c.shape }

// Density returns the density the curve holds for.
func (c Curve) Density() unit.KgPerM3 { return c.density }

// Outlet returns what is added to the points' pressure per square of the flow [Pa per (m³/s)²]: 0 for a static curve.
func (c Curve) Outlet() float64 { return c.square }

// ShutOff returns the pressure at no flow.
func (c Curve) ShutOff() unit.Pascal {
	p, _ := c.At(0)
	return p
}

// FreeAir returns the largest flow at which the curve is at zero static pressure, and false where it never gets there: a curve that
// does not fall at its end has no free air.
func (c Curve) FreeAir() (unit.M3PerSec, bool) {
	last := c.points[len(c.points)-1]
	lo, hi := 0.0, float64(last.Flow)
	if last.Pressure > 0 {
		s := c.endSlopeOf(len(c.points) - 1)
		if s >= 0 {
			return 0, false
		}
		return last.Flow + unit.M3PerSec(float64(last.Pressure)/-s), true
	}
	for i := len(c.points) - 2; i >= 0; i-- { // the last interval in which the pressure is lost
		if c.points[i].Pressure > 0 {
			lo = float64(c.points[i].Flow)
			hi = float64(c.points[i+1].Flow)
			break
		}
	}
	for range 100 {
		mid := (lo + hi) / 2
		if p, _ := c.bare(mid); p > 0 {
			lo = mid
		} else {
			hi = mid
		}
	}
	return unit.M3PerSec((lo + hi) / 2), true
}

// Falling says whether the pressure never rises with the flow between the points. Where it does the curve is humped and may have
// several working points.
func (c Curve) Falling() bool {
	for i := 1; i < len(c.points); i++ {
		if c.points[i].Pressure > c.points[i-1].Pressure {
			return false
		}
	}
	return true
}

// Total returns the curve of fan *total* pressure, FTP = FSP + VP_outlet with VP_outlet = ρ/2·(Q/A)² of the outlet. This is the one
// place where fan data turn from static to total; the free exit then costs K = 1. outlet above 0. Source [S-101].
func (c Curve) Total(outlet unit.M2) Curve {
	c.square += 0.5 * float64(c.density) / float64(outlet*outlet)
	return c
}

// Static returns the curve of static pressure again: the inverse of Total for the same outlet.
func (c Curve) Static(outlet unit.M2) Curve {
	c.square -= 0.5 * float64(c.density) / float64(outlet*outlet)
	return c
}

// Scaled returns the curve at another speed, density and size, by the fan laws
//
//	Q ~ N·D³      p ~ ρ·N²·D²      P ~ ρ·N³·D⁵
//
// speed and size are new over old, density is the new one. 60 Hz to 50 Hz is speed 5/6: flow 0.83, pressure 0.69. For geometrically
// alike fans; leaves out Reynolds number (small fans do a little worse). All above 0, else an *air.RangeError. Source [S-102].
func (c Curve) Scaled(speed, size float64, density unit.KgPerM3) (Curve, error) {
	for _, x := range []float64{speed, size} {
		if err := air.Check("ratio of speeds or sizes", x, 1e-3, 1e3, ""); err != nil {
			return Curve{}, err
		}
	}
	if err := air.Check("density", float64(density), 0.05, 3, "kg/m³"); err != nil {
		return Curve{}, err
	}
	law := Laws(speed, size, float64(density/c.density))
	out := Curve{points: make([]Point, len(c.points)), shape: c.shape, density: density}
	for i, p := range c.points {
		out.points[i] = Point{Flow: p.Flow * unit.M3PerSec(law.Flow), Pressure: p.Pressure * unit.Pascal(law.Pressure)}
	}
	out.square = c.square * law.Pressure / (law.Flow * law.Flow)
	out.fit()
	return out, nil
}

// InAir returns the curve in air of another density, same fan, same speed: pressures go with density, flows stay.
func (c Curve) InAir(density unit.KgPerM3) (Curve, error) { return c.Scaled(1, 1, density) }

// Law holds the factors of the fan laws.
type Law struct{ Flow, Pressure, Power float64 }

// Laws returns the factors on flow, pressure and power for ratios of speed, size and density, new over old. Source [S-102].
func Laws(speed, size, density float64) Law {
	return Law{
		Flow:     speed * size * size * size,
		Pressure: density * speed * speed * size * size,
		Power:    density * speed * speed * speed * math.Pow(size, 5),
	}
}

// StaticPressure returns the fan static pressure from what is measured at its two sides,
//
//	FSP = SP_out - SP_in - VP_in
//
// gauge pressures with their signs (SP_in of an exhaust fan is negative). It is not the static rise across the fan. Source [S-101].
func StaticPressure(staticOut, staticIn, velocityIn unit.Pascal) unit.Pascal {
	return staticOut - staticIn - velocityIn
}

// TotalPressure returns the fan total pressure, (SP_out + VP_out) - (SP_in + VP_in). Source [S-101].
func TotalPressure(staticOut, velocityOut, staticIn, velocityIn unit.Pascal) unit.Pascal {
	return staticOut + velocityOut - staticIn - velocityIn
}

// AirPower returns Q·p_total [W]. Source [S-101].
func AirPower(q unit.M3PerSec, total unit.Pascal) unit.Watt {
	return unit.Watt(float64(q) * float64(total))
}

// Sample returns points on the curve, outlet's velocity pressure included, perInterval (1 or more) in each interval between two given
// points: for a solver that keeps curves of its own.
func (c Curve) Sample(perInterval int) []Point {
	if perInterval < 1 {
		panic("fan: no points per interval")
	}
	out := make([]Point, 0, perInterval*(len(c.points)-1)+1)
	add := func(q unit.M3PerSec) {
		p, _ := c.At(q)
		out = append(out, Point{Flow: q, Pressure: p})
	}
	for i := 0; i+1 < len(c.points); i++ {
		a, b := c.points[i].Flow, c.points[i+1].Flow
		for j := range perInterval {
			add(a + (b-a)*unit.M3PerSec(j)/unit.M3PerSec(perInterval))
		}
	}
	add(c.points[len(c.points)-1].Flow)
	return out
}
