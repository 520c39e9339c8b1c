package network

import (
	"fmt"
	"math"
	"slices"

	"winnow/internal/unit"
)

// noteFan keeps the list of fans and the number of humped curves.
func (s *Solver) noteFan(i int32) {
	if !slices.Contains(s.fans, i) {
		s.fans = append(s.fans, i)
	}
	s.findHead()
	s.humps = 0
	for _, f := range s.fans {
		if s.law[f].humped() {
			s.humps++
		}
	}
}

func (l *Law) humped() bool { return l.Kind == Fan && !l.Curve.falls }

// running counts the fans that no shut link stops, and returns the last one.
func (s *Solver) running() (n int, last int32) {
	last = none
	for _, f := range s.fans {
		l := &s.law[f]
		if (l.Kind == Fan || l.Kind == FanRating) && !s.chains[s.chainOf[f]].closed {
			n++
			last = f
		}
	}
	return n, last
}

// balanceHumped solves a network in which some fan's curve rises somewhere. With one fan it finds all operating points and takes
// the steady one of largest flow. With several it solves with the falling curves above theirs and goes on from there with the true
// ones: a point that a fan run up with open gates would reach.
func (s *Solver) balanceHumped(relTol float64) Status {
	n, fan := s.running()
	if n == 1 && s.law[fan].humped() {
		s.findPoints(fan, relTol)
		best := none
		for i, p := range s.points {
			if p.Stable {
				best = i
			}
		}
		s.ans.SeveralPoints = len(s.points) > 1
		if best == none {
			return NoSteadyPoint
		}
		return s.pin(fan, float64(s.points[best].Flow), relTol)
	}
	if n > 0 {
		s.listFans()
		s.envelope = true
		st := s.newton(relTol)
		s.envelope = false
		s.listFans()
		if st != Balanced {
			return st
		}
	}
	st := s.newton(relTol)
	for _, f := range s.fans {
		if l := &s.law[f]; l.humped() && n > 0 {
			c := s.chainOf[f]
			q := s.chains[c].q * s.items[s.itemOf[f]].sign()
			drop, _, _, _ := s.special(f, q)
			s.ans.SeveralPoints = s.ans.SeveralPoints || l.dipsBelow(-drop, q)
		}
	}
	return st
}

func (s *Solver) listFans() {
	for _, f := range s.fans {
		if c := s.chainOf[f]; !s.chains[c].closed {
			s.list(c)
		}
	}
}

// dipsBelow tells whether the fan's curve lies below rise at some smaller flow: then it has that rise twice.
func (l *Law) dipsBelow(rise, q float64) bool {
	speed := orOne(l.Speed)
	wide, tall := speed*orOne(l.FlowScale), speed*speed*orOne(l.PressureScale)
	for i, x := range l.Curve.q {
		if x*wide < q && l.Curve.h[i]*tall < rise {
			return true
		}
	}
	return false
}

// OperatingPoints returns all flows at which a fan and its system agree, by rising flow, each with the fan's rise of pressure and
// whether it is stable: the fan's curve falls through the system's there, so that more pressure would give more flow. Other fans
// must have falling curves. Flows below the curve's first point are looked for only if the fan cannot hold that point. The answer of the last Solve is lost: solve again
// before reading flows.
// Source: definition of a fan's operating point, and of a stable one as where a little more flow meets more resistance than the fan
// gains; checked against the humped cases of testdata/reference/networks.
func (s *Solver) OperatingPoints(fan int, relTol float64) ([]OperatingPoint, error) {
	if fan < 0 || fan >= len(s.law) || s.law[fan].Kind != Fan && s.law[fan].Kind != FanRating {
		return nil, fmt.Errorf("link %d is not a fan", fan)
	}
	for _, f := range s.fans {
		if int(f) != fan && s.law[f].humped() && !s.chains[s.chainOf[f]].closed {
			return nil, fmt.Errorf("link %d: its curve rises in places, so the points of fan %d are not all to be found", f, fan)
		}
	}
	if s.chains[s.chainOf[fan]].closed {
		return nil, fmt.Errorf("link %d: the way of this fan is shut", fan)
	}
	if st := s.findPoints(int32(fan), relTol); st != Balanced {
		return nil, fmt.Errorf("fan %d: %v", fan, st)
	}
	return slices.Clone(s.points), nil
}

// probe is a fan flow and the pressure left over there: what fan and rooms drive less what the system takes.
type probe struct{ q, left float64 }

// findPoints fills s.points. The fan's flow is given, step by step, and the rest of the network solved: what is left over of the
// driving pressure changes sign at an operating point. Where the curve falls it does so at most once; where it rises, the range is
// searched finely, with a look for two close changes.
func (s *Solver) findPoints(fan int32, relTol float64) Status {
	s.points, s.probes = s.points[:0], s.probes[:0]
	c := s.chainOf[fan]
	if s.deadEnded(c) {
		s.addPoint(fan, 0, true)
		return Balanced
	}
	l := &s.law[fan]
	tol := math.Min(relTol, 1e-10)
	st := Balanced
	left := func(q float64) float64 {
		if one := s.pin(fan, q, tol); one != Balanced {
			st = one
		}
		return s.leftOver(c)
	}
	add := func(q float64) float64 {
		x := left(q)
		s.probes = append(s.probes, probe{q, x})
		return x
	}
	wide, _ := l.reach()
	lo := 0.0
	if l.Kind == Fan {
		lo = math.Min(0, l.Curve.q[0]*orOne(l.Speed)*orOne(l.FlowScale))
	}
	// outwards below, until the fan is blown backwards against its pressure
	for q, k := lo, 0; k < 60; k++ {
		if left(q) >= 0 || st != Balanced {
			lo = q
			break
		}
		q -= wide * 0.25 * float64(k+1)
		lo = q
	}
	add(lo)
	if lo < 0 {
		add(0)
	}
	if l.Kind == Fan {
		s.probePieces(l, add)
	}
	for q, k := wide, 0; k < 60 && s.probes[len(s.probes)-1].left > 0 && st == Balanced; k++ {
		q *= 1.3
		add(q)
	}
	if st != Balanced {
		return st
	}
	s.splitDips(left)
	for i := 1; i < len(s.probes); i++ {
		a, b := s.probes[i-1], s.probes[i]
		if a.left == 0 && i == 1 {
			s.addPoint(fan, a.q, b.left < 0)
		}
		if b.left == 0 {
			up := i+1 < len(s.probes) && s.probes[i+1].left > 0
			s.addPoint(fan, b.q, !up && a.left > 0)
			continue
		}
		if a.left*b.left < 0 {
			s.addPoint(fan, root(left, a, b, 1e-14*wide), a.left > 0)
		}
	}
	return st
}

// probePieces steps along the curve's pieces: a falling one in one step, a rising one in many.
func (s *Solver) probePieces(l *Law, add func(float64) float64) {
	wide := orOne(l.Speed) * orOne(l.FlowScale)
	c := l.Curve
	for i, q := range c.q {
		if i > 0 && c.h[i] > c.h[i-1] {
			const steps = 12
			for k := 1; k < steps; k++ {
				if x := c.q[i-1] + (q-c.q[i-1])*float64(k)/steps; x*wide > s.probes[len(s.probes)-1].q {
					add(x * wide)
				}
			}
		}
		if q*wide > s.probes[len(s.probes)-1].q {
			add(q * wide)
		}
	}
}

// splitDips looks, around each probe that comes nearer to 0 than its neighbours without a change of sign, for the place where it
// comes nearest, and adds that as a probe if the sign does change there.
func (s *Solver) splitDips(left func(float64) float64) {
	for i := 1; i+1 < len(s.probes); i++ {
		a, m, b := s.probes[i-1], s.probes[i], s.probes[i+1]
		sign := math.Copysign(1, m.left)
		if a.left*sign <= 0 || b.left*sign <= 0 || m.left*sign > a.left*sign || m.left*sign > b.left*sign {
			continue
		}
		lo, hi := a.q, b.q
		for range 40 {
			x, y := lo+0.382*(hi-lo), lo+0.618*(hi-lo)
			fx, fy := left(x)*sign, left(y)*sign
			if fx <= 0 || fy <= 0 {
				if fx > 0 {
					x, fx = y, fy
				}
				at := i
				if x > m.q {
					at = i + 1
				}
				s.probes = slices.Insert(s.probes, at, probe{x, fx * sign})
				i++
				break
			}
			if fx < fy {
				hi = y
			} else {
				lo = x
			}
		}
	}
}

// root closes in on a change of sign between two probes: false position with a halved end (Illinois), and bisection now and then.
func root(f func(float64) float64, a, b probe, tol float64) float64 {
	for k := range 100 {
		x := a.q - a.left*(b.q-a.q)/(b.left-a.left)
		if k%8 == 7 || !(x > math.Min(a.q, b.q) && x < math.Max(a.q, b.q)) {
			x = (a.q + b.q) / 2
		}
		y := f(x)
		if y == 0 || math.Abs(b.q-a.q) <= tol {
			return x
		}
		if y*b.left < 0 {
			a = b
		} else {
			a.left /= 2
		}
		if math.Abs(x-b.q) <= tol {
			return x
		}
		b = probe{x, y}
	}
	return b.q
}

func (s *Solver) addPoint(fan int32, q float64, stable bool) {
	drop, _, _, _ := s.special(fan, q)
	s.points = append(s.points, OperatingPoint{Flow: unit.M3PerSec(q), Rise: unit.Pascal(-drop), Stable: stable})
}

// pin solves the network with a fan's flow given.
func (s *Solver) pin(fan int32, q, relTol float64) Status {
	c := s.chainOf[fan]
	s.pinned, s.pinFlow = c, q*s.items[s.itemOf[fan]].sign()
	s.list(c)
	st := s.newton(relTol)
	s.pinned = none
	ch := &s.chains[c]
	s.evaluate(ch)
	s.list(c) // the next solve, with the fan free, needs its map
	return st
}

// leftOver is the pressure between a chain's ends less what its own law takes, positive if it would drive the fan's air.
func (s *Solver) leftOver(c int32) float64 {
	ch := &s.chains[c]
	left := -ch.h - s.verts[ch.to].p
	if ch.from >= 0 {
		left += s.verts[ch.from].p
	} else {
		left += ch.fixed
	}
	for i := ch.item0; i < ch.item1; i++ {
		if it := &s.items[i]; it.kind == special && s.law[it.link].Kind != Leak {
			return left * it.sign()
		}
	}
	return left
}

// deadEnded tells whether no air can pass a chain because what lies beyond one of its ends is shut off: from neither end... a way
// leads from each end, through open elements, to a fixed node or back to the other end.
func (s *Solver) deadEnded(c int32) bool {
	ch := &s.chains[c]
	if ch.from < 0 && s.verts[ch.to].fixed {
		return false
	}
	if s.seen == nil {
		s.seen = make([]bool, len(s.verts))
	}
	if ch.from >= 0 {
		clear(s.seen)
		if s.flood(ch.from, c) {
			return s.closedBehind(ch.to, c)
		}
		return !s.seen[ch.to]
	}
	return s.closedBehind(ch.to, c)
}

func (s *Solver) closedBehind(v, c int32) bool {
	clear(s.seen)
	return !s.flood(v, c)
}

// flood marks all vertices to which an open way leads from v without chain c, and tells whether one of the ways ends at a fixed node.
func (s *Solver) flood(v, c int32) (out bool) {
	s.seen[v] = true
	out = s.verts[v].fixed
	for grown := true; grown; {
		grown = false
		for i := range s.chains {
			ch := &s.chains[i]
			if ch.closed || int32(i) == c {
				continue
			}
			switch {
			case ch.from < 0:
				out = out || s.seen[ch.to]
			case s.seen[ch.from] != s.seen[ch.to]:
				s.seen[ch.from], s.seen[ch.to] = true, true
				grown = true
				out = out || s.verts[ch.to].fixed
			}
		}
		for i := range s.joins {
			w := &s.joins[i].v
			n := 0
			for _, x := range w {
				if s.seen[x] {
					n++
				}
			}
			if n > 0 && n < 3 {
				grown = true
				for _, x := range w {
					s.seen[x] = true
					out = out || s.verts[x].fixed
				}
			}
		}
	}
	return out
}
