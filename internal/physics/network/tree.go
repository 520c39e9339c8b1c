package network

import "math"

// slopeFloor keeps a link without resistance (a piece of no length, a shut-off fan) from having none at all, Pa/(m³/s). The law
// itself is not touched, so the answer is not either.
const slopeFloor = 1e-10

// coreSlopeFloor is the same in the core, whose pressures are known to more digits.
const coreSlopeFloor = 1e-12

// evaluate takes the law of a chain and its slope at the present flow. It returns by how much the law had moved away from the
// line of the last time, times the last step (the safeguard's measure of overshoot), and what the line itself did.
func (s *Solver) evaluate(ch *chain) (over, step float64) {
	q := ch.q
	aq := math.Abs(q)
	var h, r float64
	bend, left := 0.5, 0.0
	ch.bound = false
	switch {
	case s.rough:
		if s.ans.Iterations == 2 && !ch.fan {
			// The first step took resistances as given. Its pressures are the better half of its answer: what they drive by
			// a quadratic law is the geometric mean of the flow before and after.
			q = math.Copysign(math.Sqrt(aq*math.Abs(ch.at)), q)
			aq = math.Abs(q)
			ch.q = q
		}
		h = (ch.a + ch.guess*aq) * q
		r = ch.a + 2*ch.guess*aq
		if s.ans.Iterations == 1 { // through the origin: right whichever way the air will go
			r = ch.a + ch.guess*aq
		}
		if ch.odd {
			h -= (ch.guess - ch.k) * aq * q // a leak has its own law
			r -= 2 * (ch.guess - ch.k) * aq
		}
	case ch.walls:
		h, r, bend, left = s.friction(ch, aq)
		h *= q
	default:
		h = (ch.a + ch.k*aq) * q
		r = ch.a + 2*ch.k*aq
	}
	if ch.odd {
		if bend < 2 {
			bend = 2
		}
		ho, ro := s.oddItems(ch, q)
		h += ho
		r += ro
	}
	d := q - ch.at
	over = (h - ch.h - ch.r*d) * d
	step = ch.r * d * d
	ch.h, ch.at = h, q
	floor := slopeFloor
	if ch.pos < 0 {
		floor = coreSlopeFloor
	}
	if r < floor {
		r = floor
	}
	ch.r = r
	ch.left = left
	ch.soft = bend / (aq + tinyFlow)
	if bend == 0 { // all its ducts are laminar: only the rest of it bends
		ch.soft = ch.k / r
	}
	return over, step
}

// friction is the law of a chain with ducts, over its flow, and its slope. bend says how much the law bends: its remainder after a step
// d, as a flow, is at most bend·d²/flow. It is 0 where all ducts are laminar: their law is straight, up to the flow put into ch.hi.
func (s *Solver) friction(ch *chain, aq float64) (lin, r, bend, left float64) {
	lin = ch.a + ch.k*aq
	r = ch.a + 2*ch.k*aq
	laminar := math.Inf(1)
	for i := ch.item0; i < ch.item1; i++ {
		p := &s.pipes[i]
		if p.phi == 0 {
			continue
		}
		re := p.re * aq
		if re >= 4000 {
			f, m, off := p.warm.Step(re)
			p.f, p.m = f, m
			if off > left {
				left = off
			}
			hq := p.phi * f * aq
			lin += hq
			r += hq * (2 + m)
			if bend == 0 {
				bend = 0.5
			}
			if re < 5000 {
				bend = 4 // the band below bends more
			}
			continue
		}
		if re <= 2000 {
			p.f, p.m = 0, -1
			lam := p.phi * 64 / p.re
			lin += lam
			r += lam
			if re > 1500 {
				bend = 4
			} else if end := 2000 / p.re; end < laminar {
				laminar = end
			}
			continue
		}
		bend = 4
		p.f, p.m = s.bands[i].Below(re)
		hq := p.phi * p.f * aq
		lin += hq
		r += hq * (2 + p.m)
	}
	if bend == 0 {
		ch.bound, ch.lo, ch.hi = true, -laminar, laminar
	}
	return lin, r, bend, left
}

// oddItems are drop and slope of a chain's leaks and fans, and the flows between which they are exactly linear.
func (s *Solver) oddItems(ch *chain, q float64) (h, r float64) {
	if !ch.bound {
		ch.lo, ch.hi = math.Inf(-1), math.Inf(1)
	}
	for i := ch.item0; i < ch.item1; i++ {
		it := &s.items[i]
		if it.kind != special {
			continue
		}
		drop, slope, lo, hi := s.special(it.link, q*it.sign())
		s.pipes[i].f, s.pipes[i].m = drop, slope
		h += it.sign() * drop
		r += slope
		if lo < hi {
			if it.back {
				lo, hi = -hi, -lo
			}
			ch.bound, ch.lo, ch.hi = true, max(ch.lo, lo), min(ch.hi, hi)
		}
	}
	return h, r
}

const tinyFlow = 1e-30

// sumKids adds up what hangs on a vertex.
func (s *Solver) sumKids(v *vert) {
	var alpha, g float64
	best, most := int32(none), 0.0
	for i := v.kid0; i < v.kid1; i++ {
		m := &s.maps[i]
		alpha += m.alpha
		g += m.g
		if m.g > most {
			most, best = m.g, i
		}
	}
	v.alpha, v.g, v.best = alpha, g, best
	v.dirty = false
}

// up folds every subtree that changed, from the leaves to the roots. Of chains that are still listed it takes the law first.
func (s *Solver) up() (over, step float64) {
	for pos := len(s.order) - 1; pos >= 0; pos-- {
		if !s.dirty[pos] {
			continue
		}
		s.dirty[pos] = false
		e := s.order[pos]
		var to int32
		if e >= 0 {
			ch := &s.chains[e]
			to = ch.to
			if ch.listed {
				ch.listed = false
				if !ch.closed && e != s.pinned {
					s.last[e] = ch.at
					o, st := s.evaluate(ch)
					over += o
					step += st
				}
			}
			s.foldChain(ch, e, &s.maps[pos])
		} else {
			jn := &s.joins[^e]
			to = jn.v[jn.parent]
			s.maps[pos] = s.foldJoin(jn)
		}
		v := &s.verts[to]
		v.dirty = true
		if v.up >= 0 {
			s.dirty[v.up] = true
		}
	}
	for i := range s.verts[:s.nRoots] {
		if v := &s.verts[i]; v.dirty {
			s.sumKids(v)
		}
	}
	return over, step
}

// foldChain makes the map of a chain, seen from its second end: what it supplies there, by how much the pressure rises above the
// present one. Working with changes keeps the map exact where a wide opening makes g large.
func (s *Solver) foldChain(ch *chain, c int32, m *affine) {
	if ch.from >= 0 {
		if v := &s.verts[ch.from]; v.dirty {
			s.sumKids(v)
		}
	}
	if ch.closed {
		*m = affine{}
		return
	}
	if c == s.pinned {
		*m = affine{alpha: s.pinFlow}
		return
	}
	p := s.verts[ch.to].p
	if ch.from < 0 {
		inv := 1 / ch.r
		*m = affine{ch.at + (ch.fixed-p-ch.h)*inv, inv}
		return
	}
	v := &s.verts[ch.from]
	inv := 1 / (1 + v.g*ch.r)
	*m = affine{(v.alpha + v.g*(v.p-p-ch.h+ch.r*ch.at)) * inv, v.g * inv}
}

// down gives every vertex its pressure and every element the flow its map says, from the roots outwards, and brings the maps up to
// the new pressures: there alpha is the flow.
func (s *Solver) down() {
	for i := range s.verts[:s.nRoots] {
		v := &s.verts[i]
		switch {
		case v.fixed:
			v.dp = 0
		case i < s.nCore: // solveCore saw to it
			v.alpha -= v.g * v.dp
		case v.g > 0:
			v.dp = v.alpha / v.g
			v.p += v.dp
			v.alpha = 0
		default:
			v.p, v.dp = 0, 0
		}
	}
	coarse := 16 * max(s.wide, leastFlow)
	far := 100 * s.head
	wide := 16 * s.wide
	for pos, e := range s.order {
		m := &s.maps[pos]
		if e < 0 {
			s.downJoin(&s.joins[^e], m, coarse)
			continue
		}
		ch := &s.chains[e]
		u := &s.verts[ch.to]
		change := m.g * u.dp
		own := m.alpha - change
		m.alpha = own
		if (change > coarse || change < -coarse) && math.Abs(u.dp) > 1e-14*math.Abs(u.p) {
			s.dirty[pos] = true // what is left of alpha may be rounding: make the map anew
			s.again = true
		}
		still := ch.closed || e == s.pinned
		if ch.from >= 0 {
			v := &s.verts[ch.from]
			var d float64
			switch {
			// Behind a wide opening what the vertex supplies tells its pressure far better than a difference of large pressures.
			case (still || v.g*s.head > wide) && v.g > 0:
				d = (v.alpha - own) / v.g
			case still:
				d = -v.p
			default:
				d = u.dp - (v.p - (u.p - u.dp) - ch.h) + ch.r*(own-ch.at)
			}
			v.dp = d
			v.p += d
			v.alpha -= v.g * d
			if d > far || d < -far {
				s.again = true // the sum has lost digits
			}
		}
		if still {
			ch.q = own
			continue
		}
		s.setFlow(e, ch, own)
	}
}

// setFlow gives a chain its new flow and lists it if its law has to be evaluated again.
func (s *Solver) setFlow(c int32, ch *chain, q float64) {
	ch.q = q
	d := math.Abs(q - ch.at)
	aq := math.Abs(q)
	off := ch.soft * d * d
	if off > d {
		off = d
	}
	off += ch.left * aq
	if ch.bound && (q < ch.lo || q > ch.hi) {
		off = d
	}
	if aq > s.scale {
		s.scale = aq
	}
	e := off * ch.r
	if e > s.worst {
		s.worst, s.worstChain = e, c
	}
	if off <= s.rel*aq+s.floor && e <= s.headFloor {
		return
	}
	s.unrest(c, ch, off, e) // also if there is a NaN
}

// unrest lists a chain whose law has to be evaluated again; off and e are what its line may be off by, as a flow and as a pressure.
func (s *Solver) unrest(c int32, ch *chain, off, e float64) {
	s.offFlow += off
	if !ch.listed {
		ch.listed = true
		s.todo = append(s.todo, c)
	}
	if ch.pos < 0 {
		e *= 1e6 // the core's pressures are known to more digits
	}
	if e > s.stuck {
		s.stuck = e
	}
}

func (s *Solver) downJoin(jn *join, m *affine, coarse float64) {
	u := &s.verts[jn.v[jn.parent]]
	var part [2]float64
	for k := range part {
		m := &jn.maps[k]
		change := m.g * u.dp
		m.alpha -= change
		part[k] = m.alpha
		if math.Abs(change) > coarse && math.Abs(u.dp) > 1e-14*math.Abs(u.p) {
			s.dirty[jn.pos] = true
			s.again = true
		}
	}
	m.alpha = part[0] + part[1]
	jn.was = jn.q
	jn.settle(part[0], part[1])
	rise := jn.rises()
	for k, port := range joinKids[jn.parent] {
		v := &s.verts[jn.v[port]]
		if v.fixed {
			continue
		}
		d := u.p - v.p + rise[k]
		if v.g*s.head > 16*s.wide {
			d = (v.alpha - part[k]) / v.g
		}
		v.dp = d
		v.p += d
		v.alpha -= v.g * d
		if math.Abs(d) > 100*s.head {
			s.again = true
		}
	}
}
