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
	lin := ch.a + ch.k*aq
	r := ch.a + 2*ch.k*aq
	soft, left := 1.0, 0.0
	if ch.walls {
		for i := ch.item0; i < ch.item1; i++ {
			p := &s.pipes[i]
			if p.phi == 0 {
				continue
			}
			re := p.re * aq
			var hq float64
			if re >= 4000 {
				var off float64
				p.f, p.m, off = p.warm.Step(re)
				left = max(left, off)
				hq = p.phi * p.f * aq
				if re < 5000 {
					soft = 8
				}
			} else {
				if re <= 2000 {
					hq = p.lam
					p.f, p.m = 0, -1
				} else {
					p.f, p.m = p.warm.At(re)
					hq = p.phi * p.f * aq
				}
				if re > 1500 {
					soft = 8 // the band bends more
				}
			}
			lin += hq
			r += hq * (2 + p.m)
		}
	}
	h := lin * q
	if ch.odd {
		soft = max(soft, 4)
		ch.lo, ch.hi = math.Inf(-1), math.Inf(1)
		for i := ch.item0; i < ch.item1; i++ {
			it := &s.items[i]
			if it.kind != special {
				continue
			}
			drop, slope, lo, hi := s.special(it.link, q*it.sign)
			h += it.sign * drop
			r += slope
			if lo < hi {
				if it.sign < 0 {
					lo, hi = -hi, -lo
				}
				ch.lo, ch.hi = max(ch.lo, lo), min(ch.hi, hi)
			}
		}
	}
	d := q - ch.was
	over = (h - ch.h - ch.r*(q-ch.at)) * d
	step = ch.r * d * d
	ch.h, ch.at = h, q
	if ch.pos >= 0 {
		ch.r = max(r, slopeFloor)
	} else {
		ch.r = max(r, coreSlopeFloor)
	}
	ch.left = left
	ch.soft = soft / (2*aq + tinyFlow)
	return over, step
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

// up folds every subtree that changed, from the leaves to the roots.
func (s *Solver) up() {
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

// down gives every vertex its pressure and every element its flow, from the roots outwards. At each vertex the subtree that
// yields most takes what the others leave: so the flows balance to the last digit, however little drives them.
func (s *Solver) down() {
	for i := range s.verts[:s.nRoots] {
		v := &s.verts[i]
		switch {
		case v.fixed:
			v.dp = 0
		case i < s.nCore: // pressureStep saw to it
		case v.g > 0:
			v.dp, v.rest = v.alpha/v.g, 0
			v.p += v.dp
		default:
			v.p, v.dp, v.rest = 0, 0, 0
		}
	}
	coarse := 16 * max(s.wide, leastFlow)
	for i := range s.verts {
		v := &s.verts[i]
		if v.kid0 == v.kid1 {
			continue
		}
		// the maps are brought up to the new pressure: alpha becomes the flow there
		far := math.Abs(v.dp) > 1e-14*math.Abs(v.p) // else the step is rounding itself
		var sum float64
		for pos := v.kid0; pos < v.kid1; pos++ {
			m := &s.maps[pos]
			change := m.g * v.dp
			m.alpha -= change
			sum += m.alpha
			if math.Abs(change) > coarse && far { // what is left of alpha may be rounding: make the map anew
				s.dirty[pos] = true
				s.again = true
			}
		}
		v.alpha = sum
		best := v.best
		if v.fixed {
			best = none
		}
		for pos := v.kid0; pos < v.kid1; pos++ {
			own := s.maps[pos].alpha
			q := own
			if pos == best {
				q += v.rest - sum
			}
			if e := s.order[pos]; e >= 0 {
				s.downChain(e, v, q, own)
			} else {
				s.downJoin(&s.joins[^e], v, q, own)
			}
		}
	}
}

// downChain: q is the flow that balances the vertex u above, own what the chain's map says; they differ by rounding alone.
func (s *Solver) downChain(c int32, u *vert, q, own float64) {
	ch := &s.chains[c]
	if ch.from < 0 {
		if ch.closed || c == s.pinned {
			ch.q = q
			return
		}
		s.setFlow(c, ch, q)
		return
	}
	v := &s.verts[ch.from]
	v.rest = q
	if ch.closed || c == s.pinned {
		ch.q = q
		if v.g > 0 {
			s.below(v, (v.alpha-q)/v.g, q)
		} else {
			v.p, v.dp = 0, 0
		}
		return
	}
	s.below(v, u.dp-(v.p-(u.p-u.dp)-ch.h)+ch.r*(own-ch.at), q)
	s.setFlow(c, ch, q)
}

// below changes the pressure of a vertex by d, the change that goes with the drop from the vertex above. The drop is the one of the
// element's own flow: with the balanced flow it would be shooting, and rounding would grow along the way. Behind a wide opening
// what the vertex supplies tells its pressure far better than a difference of large pressures does.
func (s *Solver) below(v *vert, d, q float64) {
	if v.g*s.head > 16*s.wide {
		d = (v.alpha - q) / v.g
	}
	v.dp = d
	v.p += d
	if math.Abs(d) > 100*s.head {
		s.again = true // the sum has lost digits
	}
}

// setFlow gives a chain its new flow and lists it if its law has to be evaluated again.
func (s *Solver) setFlow(c int32, ch *chain, q float64) {
	ch.was, ch.q = ch.q, q
	d := q - ch.at
	aq := math.Abs(q)
	off := min(ch.soft*d*d, math.Abs(d)) + ch.left*aq
	if ch.odd {
		if q < ch.lo || q > ch.hi {
			off = math.Abs(d)
		}
	}
	if aq > s.scale {
		s.scale = aq
	}
	e := off * ch.r
	if !(off <= s.rel*aq+s.floor && e <= s.headFloor) { // said so that a NaN is listed too
		if !ch.listed {
			ch.listed = true
			s.todo = append(s.todo, c)
		}
		if ch.pos < 0 {
			s.stuck = max(s.stuck, 1e6*e) // the core's pressures are known to more digits
		} else {
			s.stuck = max(s.stuck, e)
		}
	}
	if e > s.worst {
		s.worst, s.worstChain = e, c
	}
}

func (s *Solver) downJoin(jn *join, u *vert, q, own float64) {
	var part [2]float64
	for k := range part {
		m := &jn.maps[k]
		change := m.g * u.dp
		m.alpha -= change
		if math.Abs(change) > 16*max(s.wide, leastFlow) && math.Abs(u.dp) > 1e-14*math.Abs(u.p) {
			s.dirty[jn.pos] = true
			s.again = true
		}
		part[k] = m.alpha
	}
	was := jn.q
	jn.settle(part[0], part[1])
	d := jn.rises()
	if jn.maps[0].g > jn.maps[1].g { // the one that yields more takes what the other leaves
		part[0] += q - own
	} else {
		part[1] += q - own
	}
	jn.settle(part[0], part[1])
	jn.was = was
	for k, port := range joinKids[jn.parent] {
		if v := &s.verts[jn.v[port]]; !v.fixed {
			v.rest = part[k]
			s.below(v, u.p-v.p+d[k], part[k])
		}
	}
}
