package network

import "math"

// slopeFloor keeps a link without resistance (a piece of no length, a shut-off fan) from having none at all, Pa/(m³/s). The law
// itself is not touched, so the answer is not either.
const slopeFloor = 1e-6

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
			s.head = max(s.head, math.Abs(drop))
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
	ch.r = max(r, slopeFloor)
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
	k := ch.h - ch.r*ch.at
	if ch.from < 0 {
		inv := 1 / ch.r
		*m = affine{(ch.fixed - k) * inv, inv}
		return
	}
	v := &s.verts[ch.from]
	inv := 1 / (1 + v.g*ch.r)
	*m = affine{(v.alpha - v.g*k) * inv, v.g * inv}
}

// down gives every vertex its pressure and every element its flow, from the roots outwards. At each vertex the subtree that
// yields most takes what the others leave: so the flows balance to the last digit, however little drives them.
func (s *Solver) down() {
	for i := range s.verts[:s.nRoots] {
		v := &s.verts[i]
		switch {
		case v.fixed || i < s.nCore:
		case v.g > 0:
			v.p, v.rest = v.alpha/v.g, 0
		default:
			v.p, v.rest = 0, 0
		}
	}
	for i := range s.verts {
		v := &s.verts[i]
		n := v.kid1 - v.kid0
		if n == 0 {
			continue
		}
		best := v.best
		var spare float64
		if v.fixed {
			best = none
		} else if best >= 0 {
			spare = v.rest
			if n > 1 {
				for pos := v.kid0; pos < v.kid1; pos++ {
					if pos != best {
						m := &s.maps[pos]
						spare -= m.alpha - m.g*v.p
					}
				}
			}
		}
		for pos := v.kid0; pos < v.kid1; pos++ {
			q := spare
			if pos != best {
				m := &s.maps[pos]
				q = m.alpha - m.g*v.p
			}
			if e := s.order[pos]; e >= 0 {
				s.downChain(e, v.p, q)
			} else {
				s.downJoin(&s.joins[^e], v.p, q)
			}
		}
	}
}

func (s *Solver) downChain(c int32, p, q float64) {
	ch := &s.chains[c]
	if ch.closed || c == s.pinned {
		ch.q = q
		if ch.from >= 0 {
			v := &s.verts[ch.from]
			v.rest = q
			v.p = 0
			if v.g > 0 {
				v.p = (v.alpha - q) / v.g
			}
		}
		return
	}
	s.setFlow(c, ch, q)
	if ch.from >= 0 {
		v := &s.verts[ch.from]
		v.rest = q
		if v.g > 0 {
			// not p + h + r·(q - at): with flows from balances that would be shooting, and rounding would grow along the way
			v.p = (v.alpha - q) / v.g
		} else {
			v.p = p + ch.h + ch.r*(q-ch.at)
		}
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
	}
	if e > s.worst {
		s.worst, s.worstChain = e, c
	}
}

func (s *Solver) downJoin(jn *join, p, q float64) {
	x := jn.maps[0].alpha - jn.maps[0].g*p
	y := jn.maps[1].alpha - jn.maps[1].g*p
	if jn.maps[0].g > jn.maps[1].g { // the one that yields more takes what the other leaves
		x = q - y
	} else {
		y = q - x
	}
	jn.settle(x, y)
	es, eb := jn.drops()
	kids := joinKids[jn.parent]
	var d [2]float64
	switch jn.parent {
	case 2:
		d = [2]float64{es, eb}
	case 0:
		d = [2]float64{eb - es, -es}
	default:
		d = [2]float64{es - eb, -eb}
	}
	for k, q := range [2]float64{x, y} {
		v := &s.verts[jn.v[kids[k]]]
		if v.fixed {
			continue
		}
		v.p, v.rest = p+d[k], q
		if v.g > 0 {
			v.p = (v.alpha - q) / v.g
		}
	}
}
