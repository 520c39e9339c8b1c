package network

import (
	"errors"
	"fmt"
	"math"

	"winnow/internal/physics/duct"
)

// check says what is wrong with a law's numbers, or nil.
func (l *Law) check() error {
	switch l.Kind {
	case Shut:
		return nil
	case Duct:
		if err := l.checkBore(); err != nil {
			return err
		}
		if !(l.Length >= 0) || math.IsInf(float64(l.Length), 0) {
			return bad("length", float64(l.Length), "0 or more")
		}
		if !(l.Darcy >= 0) || math.IsInf(l.Darcy, 0) {
			return bad("Darcy factor", l.Darcy, "0 or more")
		}
		if !(l.FrictionScale >= 0) || math.IsInf(l.FrictionScale, 0) {
			return bad("friction scale", l.FrictionScale, "0 or more")
		}
		if l.Darcy == 0 && !(l.Roughness >= 0 && l.Roughness <= l.Diameter/10) {
			return bad("roughness", float64(l.Roughness), "0 to a tenth of the diameter")
		}
	case Loss:
		if err := l.checkBore(); err != nil {
			return err
		}
	case Orifice:
		if !(l.CdA > 0) || math.IsInf(float64(l.CdA), 0) {
			return bad("CdA", float64(l.CdA), "above 0")
		}
	case Filter:
		if !(l.A >= 0) || !(l.B >= 0) || math.IsInf(l.A+l.B, 0) {
			return bad("filter coefficient", math.Min(l.A, l.B), "0 or more")
		}
	case Leak:
		if !(l.C > 0) || math.IsInf(l.C, 0) {
			return bad("leak coefficient", l.C, "above 0")
		}
		if !(l.Exponent >= 0.5 && l.Exponent <= 1) {
			return bad("leak exponent", l.Exponent, "0.5 to 1")
		}
	case Fan:
		if l.Curve == nil || len(l.Curve.q) < 2 {
			return errors.New("fan without a curve")
		}
		return l.checkScales()
	case FanRating:
		if !(l.ShutOff > 0) || math.IsInf(float64(l.ShutOff), 0) {
			return bad("shut-off pressure", float64(l.ShutOff), "above 0")
		}
		if !(l.FreeFlow > 0) || math.IsInf(float64(l.FreeFlow), 0) {
			return bad("free flow", float64(l.FreeFlow), "above 0")
		}
		if !(l.Exponent >= 1 && l.Exponent <= 20) {
			return bad("rating exponent", l.Exponent, "1 to 20")
		}
		return l.checkScales()
	default:
		return fmt.Errorf("unknown kind of law %d", l.Kind)
	}
	if !(l.Density >= 0) || math.IsInf(float64(l.Density), 0) {
		return bad("density", float64(l.Density), "0 or more")
	}
	return nil
}

func (l *Law) checkBore() error {
	if !(l.Diameter > 0) || math.IsInf(float64(l.Diameter), 0) {
		return bad("diameter", float64(l.Diameter), "above 0")
	}
	if !(l.K >= 0) || math.IsInf(l.K, 0) {
		return bad("loss coefficient", l.K, "0 or more")
	}
	return nil
}

func (l *Law) checkScales() error {
	for _, x := range [3]float64{l.Speed, l.FlowScale, l.PressureScale} {
		if !(x >= 0) || math.IsInf(x, 0) {
			return bad("fan speed or scale", x, "0 or more")
		}
	}
	return nil
}

func bad(what string, got float64, want string) error {
	return fmt.Errorf("%s is %g, must be %s", what, got, want)
}

func orOne(x float64) float64 {
	if x == 0 {
		return 1
	}
	return x
}

// What an item's drop depends on, beside its two coefficients.
const (
	plain   uint8 = iota // a·Q + k·Q|Q| alone
	walled               // and friction
	special              // Leak, Fan or FanRating: computed from the Law itself
	shut
)

// item is one link in its chain: Δp along the link = a·Q + k·Q|Q|, friction and special laws apart.
type item struct {
	k, a float64
	link int32
	node int32 // the node after it along the chain; -1 after the last
	kind uint8
	back bool // the link points against the chain
}

// sign is 1 if the link points along the chain, else -1.
func (it *item) sign() float64 {
	if it.back {
		return -1
	}
	return 1
}

// pipe is the friction of one duct: drop = phi·f·Q|Q|, Re = re·|Q|. f and m are factor and slope d(ln f)/d(ln Re) where it was last
// evaluated; f is 0 where the flow is laminar. For a special law phi is 0, and f and m are its drop and slope there.
// It fills one line of the cache: what is seldom needed (Solver.bands, usual, rel0) lies elsewhere.
type pipe struct {
	phi, re float64
	f, m    float64
	warm    duct.Turbulent
}

// typicalSpeed is where friction is taken for a first guess, m/s: common practice in dust collection, no source.
const typicalSpeed = 20

// load turns link i's law into the numbers of its item.
func (s *Solver) load(i int) {
	l := &s.law[i]
	at := s.itemOf[i]
	it := &s.items[at]
	p := &s.pipes[at]
	rho := float64(s.air.Density)
	thin := s.thin[i]
	if l.Density > 0 {
		thin *= rho / float64(l.Density)
	}
	it.k, it.a, it.kind = 0, 0, plain
	p.phi = 0
	switch l.Kind {
	case Shut:
		it.kind = shut
	case Duct:
		d := float64(l.Diameter)
		area := math.Pi / 4 * d * d
		half := thin * rho / (2 * area * area)
		it.k = l.K * half
		run := orOne(l.FrictionScale) * float64(l.Length) / d * half
		if l.Darcy > 0 {
			it.k += l.Darcy * run
			break
		}
		if run == 0 {
			break
		}
		it.kind = walled
		p.phi = run
		p.re = rho * d / (area * float64(s.air.Viscosity))
		if rough := float64(l.Roughness) / d; rough != s.rel0[i] {
			w, _ := duct.NewWarmFriction(rough) // in range: check saw to it
			s.rel0[i] = rough
			p.f, p.m = w.At(math.Max(typicalSpeed*p.re*area, duct.TurbulentAbove))
			s.usual[i] = p.f
			p.warm, s.bands[at] = w.Turbulent, w.Band
		}
	case Loss:
		area := math.Pi / 4 * float64(l.Diameter) * float64(l.Diameter)
		it.k = l.K * thin * rho / (2 * area * area)
	case Orifice:
		it.k = thin * rho / (2 * float64(l.CdA) * float64(l.CdA))
	case Filter:
		it.a, it.k = thin*l.A, thin*l.B
	default:
		it.kind = special
	}
}

// leakLaminar is the share of a Leak's laminar term at 1 Pa: it keeps the slope above 0 at no flow.
const leakLaminar = 0.01

// special returns drop and slope of a Leak or a fan at flow q along the link, and the range of flows in which the drop is
// exactly linear (empty where it is smooth).
func (s *Solver) special(i int32, q float64) (drop, slope, from, to float64) {
	l := &s.law[i]
	switch l.Kind {
	case Leak:
		u := math.Abs(q) / l.C
		p := math.Pow(u, 1/l.Exponent)
		lam := leakLaminar / l.C
		thin := s.thin[i]
		if l.Density > 0 {
			thin *= float64(s.air.Density / l.Density)
		}
		slope = lam
		if u > 0 {
			slope += p / u / l.Exponent / l.C
		}
		return thin * (math.Copysign(p, q) + lam*q), thin * slope, q, q
	case Fan:
		speed := orOne(l.Speed)
		wide, tall := speed*orOne(l.FlowScale), speed*speed*orOne(l.PressureScale)
		c := l.Curve
		if s.envelope {
			c = c.over
		}
		rise, m, piece := c.at(q / wide)
		from, to = q, q
		if c.m == nil || piece < 0 || piece == len(c.q)-1 {
			from, to = c.span(piece, wide)
		}
		return -tall * rise, -tall / wide * m, from, to
	default: // FanRating
		speed := orOne(l.Speed)
		wide, tall := float64(l.FreeFlow)*speed*orOne(l.FlowScale), float64(l.ShutOff)*speed*speed*orOne(l.PressureScale)
		u := math.Abs(q) / wide
		p := math.Pow(u, l.Exponent)
		if u > 0 {
			slope = tall * l.Exponent * p / u / wide
		}
		return -tall * (1 - math.Copysign(p, q)), slope, q, q
	}
}

// span returns the flows between which a piece of the curve lies, stretched by wide.
func (c *Curve) span(piece int, wide float64) (from, to float64) {
	from, to = math.Inf(-1), math.Inf(1)
	n := len(c.q)
	if c.m == nil { // the outer pieces go on beyond the points
		if piece < 0 {
			piece = 0
		} else if piece > n-2 {
			piece = n - 2
		}
		if piece > 0 {
			from = c.q[piece] * wide
		}
		if piece < n-2 {
			to = c.q[piece+1] * wide
		}
		return from, to
	}
	if piece < 0 {
		return from, c.q[0] * wide
	}
	return c.q[n-1] * wide, to
}

// offCurve tells whether flow q lies beyond the fan's points.
func (l *Law) offCurve(q float64) bool {
	wide := orOne(l.Speed) * orOne(l.FlowScale)
	lo, hi := 0.0, float64(l.FreeFlow)
	if l.Kind == Fan {
		lo, hi = l.Curve.q[0], l.Curve.q[len(l.Curve.q)-1]
	}
	slack := 1e-9 * (hi - lo) * wide
	return q < lo*wide-slack || q > hi*wide+slack
}
