package network

import (
	"fmt"
	"math"

	"winnow/internal/unit"
)

// FanPoint is a measured point of a fan: the rise of total pressure at a flow.
type FanPoint struct {
	Flow unit.M3PerSec
	Rise unit.Pascal
}

// Curve is a fan's pressure rise by flow through given points, straight or smooth between them. It does not change once
// made, so solvers share it.
type Curve struct {
	q, h   []float64
	m      []float64 // slope at each point, of the smooth curve; nil for the straight one
	falls  bool      // nowhere rising: one operating point at most
	lo, hi float64   // slopes beyond the ends
	top    float64   // largest pressure, either way
	over   *Curve    // the least curve that lies nowhere below this one and nowhere rises; straight between points
}

// Straight returns the curve that is linear between the points [m³/s, Pa]; the first and the last piece go on beyond the ends.
// At least two points, by rising flow; anything else is an error. A definition; the reference networks have such curves, see S-046.
func Straight(points []FanPoint) (*Curve, error) {
	c, err := newCurve(points)
	if err != nil {
		return nil, err
	}
	n := len(c.q)
	c.lo = (c.h[1] - c.h[0]) / (c.q[1] - c.q[0])
	c.hi = (c.h[n-1] - c.h[n-2]) / (c.q[n-1] - c.q[n-2])
	c.cover()
	return c, nil
}

// Smooth returns the monotone cubic through the points [m³/s, Pa] (Fritsch and Butland's slopes): it rises and falls only
// where the points do. Beyond the ends it goes on straight, and never rising outwards at the upper end nor falling towards
// the lower one, so that blowing a fan backwards always takes pressure. Source [S-044].
func Smooth(points []FanPoint) (*Curve, error) {
	c, err := newCurve(points)
	if err != nil {
		return nil, err
	}
	c.m = monotoneSlopes(c.q, c.h)
	c.lo = math.Min(c.m[0], 0)
	c.hi = math.Min(c.m[len(c.m)-1], 0)
	c.cover()
	return c, nil
}

// cover makes the falling curve over this one.
func (c *Curve) cover() {
	if c.falls {
		c.over = c
		return
	}
	n := len(c.q)
	o := &Curve{falls: true, hi: math.Min(c.hi, 0)}
	o.over = o
	q, h := []float64{c.q[n-1]}, []float64{c.h[n-1]} // from the right, keeping the highest so far
	top := c.h[n-1]
	for i := n - 2; i >= 0; i-- {
		if c.h[i] <= top {
			continue
		}
		if c.h[i+1] < top { // comes up through the level: flat until there
			q = append(q, c.q[i+1]+(c.q[i]-c.q[i+1])*(top-c.h[i+1])/(c.h[i]-c.h[i+1]))
			h = append(h, top)
		}
		q, h, top = append(q, c.q[i]), append(h, c.h[i]), c.h[i]
	}
	if last := len(q) - 1; q[last] > c.q[0] {
		q, h = append(q, c.q[0]), append(h, top)
	}
	for i := len(q) - 1; i >= 0; i-- {
		o.q, o.h = append(o.q, q[i]), append(o.h, h[i])
	}
	c.over = o
}

func newCurve(points []FanPoint) (*Curve, error) {
	if len(points) < 2 {
		return nil, fmt.Errorf("fan curve: %d points, at least 2 are needed", len(points))
	}
	c := &Curve{falls: true}
	for i, p := range points {
		q, h := float64(p.Flow), float64(p.Rise)
		if !finite(q) || !finite(h) {
			return nil, fmt.Errorf("fan curve: point %d is not a finite number", i)
		}
		if i > 0 && q <= c.q[i-1] {
			return nil, fmt.Errorf("fan curve: point %d has flow %g m³/s, not above the one before it (%g)", i, q, c.q[i-1])
		}
		if i > 0 && h > c.h[i-1] {
			c.falls = false
		}
		c.q, c.h = append(c.q, q), append(c.h, h)
		c.top = max(c.top, math.Abs(h))
	}
	return c, nil
}

// monotoneSlopes are the slopes of Fritsch and Butland's cubic (weighted harmonic means inside, three-point ends).
func monotoneSlopes(q, h []float64) []float64 {
	n := len(q)
	m := make([]float64, n)
	d := make([]float64, n-1) // secants
	for i := range d {
		d[i] = (h[i+1] - h[i]) / (q[i+1] - q[i])
	}
	if n == 2 {
		m[0], m[1] = d[0], d[0]
		return m
	}
	for i := 1; i < n-1; i++ {
		if d[i-1]*d[i] <= 0 {
			continue
		}
		a, b := q[i]-q[i-1], q[i+1]-q[i]
		w1, w2 := 2*b+a, b+2*a
		m[i] = (w1 + w2) / (w1/d[i-1] + w2/d[i])
	}
	m[0] = endSlope(q[1]-q[0], q[2]-q[1], d[0], d[1])
	m[n-1] = endSlope(q[n-1]-q[n-2], q[n-2]-q[n-3], d[n-2], d[n-3])
	return m
}

// endSlope is the three-point estimate at an end, kept so that the last piece stays monotone.
func endSlope(a, b, d0, d1 float64) float64 {
	m := ((2*a+b)*d0 - a*d1) / (a + b)
	switch {
	case m*d0 <= 0:
		return 0
	case d0*d1 <= 0 && math.Abs(m) > 3*math.Abs(d0):
		return 3 * d0
	}
	return m
}

// at returns rise and slope at flow q, and the piece it lies in (-1 below, len-1 above the points).
func (c *Curve) at(q float64) (rise, slope float64, piece int) {
	n := len(c.q)
	if q < c.q[0] {
		return c.h[0] + c.lo*(q-c.q[0]), c.lo, -1
	}
	if q >= c.q[n-1] {
		return c.h[n-1] + c.hi*(q-c.q[n-1]), c.hi, n - 1
	}
	i, j := 0, n-1
	for j-i > 1 {
		if k := (i + j) / 2; q >= c.q[k] {
			i = k
		} else {
			j = k
		}
	}
	w := c.q[i+1] - c.q[i]
	d := (c.h[i+1] - c.h[i]) / w
	u := q - c.q[i]
	if c.m == nil {
		return c.h[i] + d*u, d, i
	}
	s := u / w
	m0, m1 := c.m[i], c.m[i+1]
	c2 := 3*d - 2*m0 - m1
	c3 := m0 + m1 - 2*d
	return c.h[i] + u*(m0+s*(c2+s*c3)), m0 + s*(2*c2+3*s*c3), i
}

func finite(x float64) bool { return !math.IsNaN(x) && !math.IsInf(x, 0) }
