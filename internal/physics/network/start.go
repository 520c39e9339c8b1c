package network

import "math"

// start sets the flows of a cold solve. In a tree all losses are taken as purely quadratic, with a typical friction factor: then
// subtrees combine in closed form (q = C·√(drop): in series 1/C² adds, side by side C does) and one fan meets its system in a few
// steps. That lands within some per cent, where Newton is quick. Elsewhere the start is a fair speed.
func (s *Solver) start() {
	s.scale = 0
	var fan int32 = none // chain of the first fan
	var typical float64  // half its widest flow
	for _, i := range s.fans {
		l := &s.law[i]
		c := s.chainOf[i]
		if l.Kind != Fan && l.Kind != FanRating || s.chains[c].closed {
			continue
		}
		q, _ := l.reach()
		fan, typical = c, q/2
		break
	}
	for v := range s.verts {
		if vt := &s.verts[v]; !vt.fixed {
			vt.p = 0
		}
	}
	clear(s.core.lo)
	s.conduct(typical)
	s.todo = s.todo[:0]
	for i := range s.verts[:s.nRoots] {
		s.verts[i].rest = 0
		s.spreadGuess(&s.verts[i], fan, typical)
	}
	for i := s.nRoots; i < len(s.verts); i++ {
		s.spreadGuess(&s.verts[i], none, typical)
	}
	for c := s.nTree; c < len(s.chains); c++ {
		ch := &s.chains[c]
		s.begin(int32(c), ch, s.fair(ch, typical))
	}
	for i := s.nTreeJoins; i < len(s.joins); i++ {
		s.joins[i].q = [2]float64{typical / 4, typical / 4}
	}
	for i := range s.joins {
		jn := &s.joins[i]
		jn.was, jn.fresh = jn.q, true
	}
	for i := range s.dirty {
		s.dirty[i] = true
	}
}

// findFixedHead takes the largest pressure of any fixed node.
func (s *Solver) findFixedHead() {
	s.fixedHead = 0
	for _, n := range s.nodes {
		if n.Fixed {
			s.fixedHead = max(s.fixedHead, math.Abs(float64(n.Pressure)))
		}
	}
}

// findHead takes the largest pressure of any fixed node or fan.
func (s *Solver) findHead() {
	s.head = s.fixedHead
	for _, i := range s.fans {
		if l := &s.law[i]; l.Kind == Fan || l.Kind == FanRating {
			_, h := l.reach()
			s.head = max(s.head, h)
		}
	}
}

// reach is a fan's widest flow and its highest pressure.
func (l *Law) reach() (q, h float64) {
	speed := orOne(l.Speed)
	wide, tall := speed*orOne(l.FlowScale), speed*speed*orOne(l.PressureScale)
	if l.Kind == FanRating {
		return wide * float64(l.FreeFlow), tall * float64(l.ShutOff)
	}
	c := l.Curve
	return wide * max(math.Abs(c.q[0]), math.Abs(c.q[len(c.q)-1])), tall * c.top
}

// conduct folds the quadratic stand-ins, from the leaves to the roots: maps[..].g is C, verts[..].g the sum.
func (s *Solver) conduct(typical float64) {
	for v := range s.verts {
		s.verts[v].g = 0
	}
	for pos := len(s.order) - 1; pos >= 0; pos-- {
		var c float64
		var to int32
		if e := s.order[pos]; e >= 0 {
			ch := &s.chains[e]
			to = ch.to
			if !ch.closed && !ch.fan {
				k := ch.guess
				if ch.a > 0 {
					k += ch.a * 4 / (typical + tinyFlow)
				}
				switch {
				case ch.from < 0:
					c = 1 / math.Sqrt(k+slopeFloor)
				case s.verts[ch.from].g > 0:
					g := s.verts[ch.from].g
					c = g / math.Sqrt(1+k*g*g)
				}
			}
		} else {
			jn := &s.joins[^e]
			to = jn.v[jn.parent]
			for _, k := range joinKids[jn.parent] {
				if v := &s.verts[jn.v[k]]; v.fixed {
					v.g = 1 / math.Sqrt(jn.cc)
				}
				c += s.verts[jn.v[k]].g
			}
		}
		s.maps[pos].g = c
		s.verts[to].g += c
	}
}

// spreadGuess shares out what a vertex has to supply among its elements. At the root of a fan's tree the fan sets the flow.
func (s *Solver) spreadGuess(v *vert, fan int32, typical float64) {
	if fan != none && s.chains[fan].pos >= v.kid0 && s.chains[fan].pos < v.kid1 && !v.fixed {
		v.rest = -s.meet(fan, v.g)
	}
	share := 0.0
	if v.g > 0 {
		share = v.rest / v.g
	}
	for pos := v.kid0; pos < v.kid1; pos++ {
		q := share * s.maps[pos].g
		e := s.order[pos]
		if e < 0 {
			jn := &s.joins[^e]
			kids := joinKids[jn.parent]
			var part [2]float64
			for k := range kids {
				w := &s.verts[jn.v[kids[k]]]
				if w.g > 0 && s.maps[pos].g > 0 {
					part[k] = q * w.g / s.maps[pos].g
				}
				w.rest = part[k]
			}
			jn.settle(part[0], part[1])
			continue
		}
		ch := &s.chains[e]
		switch {
		case ch.closed:
			q = 0
		case e == fan && !v.fixed:
			q = -v.rest
		case v.fixed && ch.fan:
			q = s.meet(e, math.Inf(1))
		case v.rest == 0 && s.maps[pos].g > 0 || ch.fan:
			q = s.fair(ch, typical)
		}
		s.begin(e, ch, q)
		if ch.from >= 0 {
			s.verts[ch.from].rest = q
		}
	}
}

// begin gives a chain its first flow. All chains come here, so that the list is made anew.
func (s *Solver) begin(c int32, ch *chain, q float64) {
	if ch.closed {
		q = 0
	}
	ch.q, ch.at, ch.h, ch.r = q, q, 0, 0
	if q > s.scale {
		s.scale = q
	} else if -q > s.scale {
		s.scale = -q
	}
	ch.listed = true
	s.todo = append(s.todo, c)
}

// fair is a flow that a quarter of the largest pressure would drive through a chain, or a quarter of the fan's.
func (s *Solver) fair(ch *chain, typical float64) float64 {
	if ch.fan {
		for i := ch.item0; i < ch.item1; i++ {
			if it := &s.items[i]; it.kind == special && s.law[it.link].Kind != Leak {
				return it.sign() * typical
			}
		}
	}
	if ch.guess == 0 && ch.a == 0 {
		return 0 // around a loop without resistance any flow will do: none is best
	}
	q := math.Sqrt(0.25 * s.head / (ch.guess + slopeFloor))
	if typical > 0 {
		q = min(q, typical/2)
	}
	return min(q, 0.25*s.head/(ch.a+tinyFlow))
}

// meet is the flow, along its chain, at which a fan agrees with quadratic losses: its own chain's, those beyond its first end,
// and conductance c at its second.
func (s *Solver) meet(f int32, c float64) float64 {
	ch := &s.chains[f]
	k := ch.guess + 1/(c*c)
	if ch.from >= 0 {
		g := s.verts[ch.from].g
		k += 1 / (g * g)
	}
	if math.IsInf(k, 1) || math.IsNaN(k) {
		return 0
	}
	q := s.fair(ch, 0)
	for i := ch.item0; i < ch.item1; i++ {
		if it := &s.items[i]; it.kind == special && s.law[it.link].Kind != Leak {
			wide, _ := s.law[it.link].reach()
			q = it.sign() * wide / 2
		}
	}
	for range 6 {
		h, r := (ch.a+k*math.Abs(q))*q, ch.a+2*k*math.Abs(q)
		for i := ch.item0; i < ch.item1; i++ {
			if it := &s.items[i]; it.kind == special {
				d, m, _, _ := s.special(it.link, q*it.sign())
				h += it.sign() * d
				r += math.Max(m, 0)
			}
		}
		d := h / (r + slopeFloor)
		q -= d
		if math.Abs(d) < 0.01*math.Abs(q) {
			break
		}
	}
	return q
}
