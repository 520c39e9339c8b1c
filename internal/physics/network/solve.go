package network

import (
	"math"

	"winnow/internal/unit"
)

const (
	iterationLimit = 150
	roughLimit     = 6
	roughTolerance = 0.03

	// Where nothing flows, tolerances are counted from these: a thousandth of a litre per second, and a thousandth of a pascal.
	leastFlow = 1e-6
	leastHead = 1e-3
)

// Solve balances the network, starting from the last answer, until no flow is off by more than relTol times the largest
// flow. relTol is 1e-6 for everyday work, 1e-9 when tight. No allocation.
//
// It is Newton's method on flows and pressures together. The laws are linearised only where the flow has moved enough to matter;
// every step solves the linear network exactly. Sources: laws S-040 and S-042, checked by S-046. The answer's Status says whether
// to trust it; one that did not converge is never marked as if it had.
func (s *Solver) Solve(relTol float64) Solution {
	s.ans.SeveralPoints = false
	s.ans.Iterations = 0
	st := s.solveDense(relTol)
	if s.compress != nil {
		st = s.thinOut(st, relTol)
	}
	s.finish(st)
	return s.ans
}

// solveDense solves at the present densities.
func (s *Solver) solveDense(relTol float64) Status {
	if s.humps > 0 {
		return s.balanceHumped(relTol)
	}
	return s.newton(relTol)
}

// newton iterates from the present flows.
func (s *Solver) newton(relTol float64) Status {
	if !(relTol > 1e-13) {
		relTol = 1e-13
	} else if relTol > 1e-2 {
		relTol = 1e-2
	}
	if s.cold {
		s.start()
		s.cold = false
		if s.nCore > 0 { // no closed form here: first a few steps with typical friction, which cost no logarithm
			s.rough = true
			s.iterate(roughTolerance, roughLimit)
			s.rough = false
			for c := range s.chains {
				s.list(int32(c))
			}
		}
	}
	return s.iterate(relTol, iterationLimit)
}

// iterate takes Newton steps until all is at rest.
func (s *Solver) iterate(relTol float64, limit int) Status {
	s.rel = 0.4 * relTol
	for it := 1; it <= limit; it++ {
		s.ans.Iterations++
		safe := it <= 2 // the first two steps are never shortened
		over, step := s.evaluateListed(safe)
		if !safe && over > step {
			s.backtrack(over, step)
		}
		s.again = false
		o, st := s.up()
		if !finite(over+o) || !finite(step+st) {
			return NotFinite
		}
		s.floor = s.rel * max(s.scale, leastFlow) / float64(1+len(s.chains))
		s.headFloor = s.rel * max(s.head, leastHead)
		s.wide, s.scale, s.worst, s.worstChain, s.stuck = s.scale, 0, 0, none, 0
		s.offFlow = 0
		if s.nCore > 0 {
			s.solveCore()
		}
		s.down()
		rest := s.restJoins()
		if rest && !s.again && (len(s.todo) == 0 || s.nearly() || it > 20 && s.stuck <= 1e-14*s.head) {
			return Balanced // the last way: what is left is the rounding of pressures
		}
	}
	return IterationLimit
}

// nearly tells whether the few chains not at rest are too little off to matter. Where no law falls, a law that is off by some pressure
// moves no flow by more than that pressure drives through its chain alone: the sum over these chains bounds what they do together.
// As pressures the laws still have to hold one by one. The chains stay listed for the next solve. The rough start may end sooner: typical
// friction is itself some per cent off.
func (s *Solver) nearly() bool {
	if s.rough {
		return s.offFlow <= 0.1*s.scale
	}
	return s.offFlow <= s.rel*s.scale && s.worst <= 1.5*s.headFloor && (s.humps == 0 || s.pinned != none)
}

// evaluateListed takes the laws of the listed chains and of the joins that moved. With later set it leaves the chains of the trees to up,
// which comes by anyway: in a large tree each pass through memory counts.
func (s *Solver) evaluateListed(later bool) (over, step float64) {
	for _, c := range s.todo {
		if int(c) < s.nTree {
			s.dirty[s.posOf[c]] = true
			if later {
				continue
			}
		}
		ch := &s.chains[c]
		ch.listed = false
		if !ch.closed && c != s.pinned {
			s.last[c] = ch.at
			o, st := s.evaluate(ch)
			over += o
			step += st
		}
	}
	s.evaluated = len(s.todo)
	s.todo = s.todo[:0]
	for i := range s.joins {
		jn := &s.joins[i]
		if jn.q == jn.at && !jn.fresh {
			continue
		}
		jn.fresh = false
		ls, lb := jn.drops()
		ds, db := jn.q[0]-jn.was[0], jn.q[1]-jn.was[1]
		step += ds*(jn.j[0]*ds+jn.j[1]*db) + db*(jn.j[2]*ds+jn.j[3]*db)
		jn.evaluate()
		over += (jn.e[0]-ls)*ds + (jn.e[1]-lb)*db
		if jn.pos >= 0 {
			s.dirty[jn.pos] = true
		}
	}
	return over, step
}

// restJoins tells whether all joins are at rest: their laws off by less than their chains' would be allowed to.
func (s *Solver) restJoins() bool {
	rest := true
	for i := range s.joins {
		jn := &s.joins[i]
		if jn.q == jn.at {
			continue
		}
		d := math.Abs(jn.q[0]-jn.at[0]) + math.Abs(jn.q[1]-jn.at[1])
		sum := math.Abs(jn.q[0]) + math.Abs(jn.q[1])
		off := min(2*d*d/(sum+tinyFlow), d)
		if (jn.q[0] < 0) != (jn.at[0] < 0) || (jn.q[1] < 0) != (jn.at[1] < 0) {
			off = d
		}
		if !(off <= s.rel*sum+s.floor) {
			rest = false
		}
		if e := off * (math.Abs(jn.j[0]) + math.Abs(jn.j[3])); e > s.worst {
			s.worst = e
		}
	}
	return rest
}

// backtrack shortens the last step. The power that the laws take along the step, less what the linear network gives, must not
// come out above 0: past the point where it is 0 the step has gone too far (for monotone laws there is one such point).
func (s *Solver) backtrack(over, step float64) {
	moved := s.todo[:s.evaluated] // chains whose law was just taken; the others hardly moved
	var given float64             // what the linear network gives along the whole step
	sum := func(t float64, first bool) float64 {
		var taken float64
		for _, c := range moved {
			ch := &s.chains[c]
			if ch.closed || c == s.pinned {
				continue
			}
			if first {
				s.full[c] = ch.q - s.last[c]
			} else {
				ch.q = s.last[c] + t*s.full[c]
				s.evaluate(ch)
			}
			taken += ch.h * s.full[c]
		}
		for i := range s.joins {
			jn := &s.joins[i]
			if first {
				jn.full = [2]float64{jn.q[0] - jn.was[0], jn.q[1] - jn.was[1]}
			} else {
				jn.q = [2]float64{jn.was[0] + t*jn.full[0], jn.was[1] + t*jn.full[1]}
				jn.evaluate()
				if jn.pos >= 0 {
					s.dirty[jn.pos] = true
				}
			}
			taken += jn.e[0]*jn.full[0] + jn.e[1]*jn.full[1]
		}
		return taken
	}
	given = sum(1, true) - over
	lo, flo, hi, fhi := 0.0, -step, 1.0, over
	for range 8 {
		t := lo - flo*(hi-lo)/(fhi-flo)
		t = min(max(t, lo+0.1*(hi-lo)), hi-0.1*(hi-lo))
		f := sum(t, false) - given
		if math.Abs(f) <= 0.3*step {
			break
		}
		if f > 0 {
			hi, fhi = t, f
		} else {
			lo, flo = t, f
		}
	}
}

// finish writes the answer by the caller's numbers.
func (s *Solver) finish(st Status) {
	a := &s.ans
	a.Status = st
	a.FanOff, a.WorstLink = none, none
	if s.worstChain != none {
		a.WorstLink = int(s.items[s.chains[s.worstChain].item0].link)
	}
	a.Residual = unit.Pascal(s.worst)
	s.writeAnswer(st == Balanced)
	if st == Balanced {
		for _, i := range s.fans {
			l := &s.law[i]
			if (l.Kind == Fan || l.Kind == FanRating) && l.offCurve(float64(a.Flow[i])) {
				a.Status, a.FanOff = FanOffCurve, int(i)
				break
			}
		}
	}
	a.LegsReversed = a.LegsReversed[:0]
	for i, at := range s.joinAt {
		jn := &s.joins[at]
		a.JoinFlow[i] = [2]unit.M3PerSec{unit.M3PerSec(jn.q[0]), unit.M3PerSec(jn.q[1])}
		for leg, q := range jn.q {
			if q < 0 && -q > 1e-12*s.scale {
				a.LegsReversed = append(a.LegsReversed, JoinLeg{Join: i, Leg: Leg(leg)})
			}
		}
	}
}

// writeAnswer writes flows and pressures, from the roots outwards. On the way it makes the flows balance at every vertex to the last digit,
// however little drives them: the subtree that yields most takes what the others leave.
func (s *Solver) writeAnswer(balanced bool) {
	for i := range s.verts {
		v := &s.verts[i]
		s.ans.Pressure[v.node] = unit.Pascal(v.p)
		if v.kid0 == v.kid1 {
			continue
		}
		if i < s.nRoots && i >= s.nCore {
			v.rest = 0
		}
		kids := s.order[v.kid0:v.kid1]
		if balanced && !v.fixed && v.best >= 0 {
			spare := v.rest
			for _, e := range kids {
				if e >= 0 {
					spare -= s.chains[e].q
				} else {
					spare -= s.joins[^e].total()
				}
			}
			if i < s.nCore && math.Abs(spare) <= 4e-16*s.scale {
				spare = 0 // the rounding of the loop's flows: to a tight tree it would be worth more than its tolerance
			}
			if e := s.order[v.best]; e >= 0 {
				s.chains[e].q += spare
			} else {
				s.joins[^e].add(spare)
			}
		}
		for _, e := range kids {
			if e >= 0 {
				ch := &s.chains[e]
				if ch.from >= 0 {
					s.verts[ch.from].rest = ch.q
				}
				s.spread(ch)
				continue
			}
			jn := &s.joins[^e]
			x, y := jn.parts()
			s.verts[jn.v[joinKids[jn.parent][0]]].rest = x
			s.verts[jn.v[joinKids[jn.parent][1]]].rest = y
		}
	}
	for c := s.nTree; c < len(s.chains); c++ {
		s.spread(&s.chains[c])
	}
}

// spread gives the links of a chain their flow and the nodes inside it their pressure.
func (s *Solver) spread(ch *chain) {
	if ch.closed {
		s.spreadClosed(ch)
		return
	}
	q, a := ch.q, &s.ans
	last := ch.item1 - 1
	if it := &s.items[last]; it.back {
		a.Flow[it.link] = unit.M3PerSec(-q)
	} else {
		a.Flow[it.link] = unit.M3PerSec(q)
	}
	if last == ch.item0 {
		return
	}
	p := s.headOf(ch)
	aq := math.Abs(q)
	for i := ch.item0; i < last; i++ {
		it := &s.items[i]
		if it.back {
			a.Flow[it.link] = unit.M3PerSec(-q)
		} else {
			a.Flow[it.link] = unit.M3PerSec(q)
		}
		p -= s.drop(i, ch, q, aq)
		a.Pressure[it.node] = unit.Pascal(p)
	}
}

// headOf is the pressure at the first end of a chain.
func (s *Solver) headOf(ch *chain) float64 {
	if ch.from >= 0 {
		return s.verts[ch.from].p
	}
	return ch.fixed
}

// drop is the pressure an item loses along its chain at the chain's flow, near where the chain was last evaluated.
func (s *Solver) drop(i int32, ch *chain, q, aq float64) float64 {
	it, p := &s.items[i], &s.pipes[i]
	lin := it.a + it.k*aq
	switch it.kind {
	case walled:
		if p.f == 0 {
			lin += p.phi * 64 / p.re
		} else {
			lin += p.phi * p.f * aq * (1 + p.m*(q-ch.at)/ch.at)
		}
	case special:
		return it.sign()*p.f + p.m*(q-ch.at)
	}
	return lin * q
}

// spreadClosed: the nodes on either side of a shut link stand at the pressure of their own end; what lies between two shut
// links is cut off, at 0.
func (s *Solver) spreadClosed(ch *chain) {
	p, a := s.headOf(ch), &s.ans
	items := s.items[ch.item0:ch.item1]
	for i := range items {
		it := &items[i]
		a.Flow[it.link] = 0
		switch it.kind {
		case shut:
			p = 0
		case special:
			p -= s.stillDrop(it)
		}
		if it.node >= 0 {
			a.Pressure[it.node] = unit.Pascal(p)
		}
	}
	p = s.verts[ch.to].p
	for i := len(items) - 1; i > 0 && items[i].kind != shut; i-- {
		if items[i].kind == special {
			p += s.stillDrop(&items[i])
		}
		a.Pressure[items[i-1].node] = unit.Pascal(p)
	}
}

// stillDrop is the drop of a leak or a fan without flow: only a fan has one.
func (s *Solver) stillDrop(it *item) float64 {
	d, _, _, _ := s.special(it.link, 0)
	return it.sign() * d
}

// LinksInTransition returns the ducts of the last answer whose Reynolds number lies between 2000 and 4000, where no real
// duct is predictable. The limits are a definition: source S-040.
func (s *Solver) LinksInTransition() []int {
	var out []int
	for i := range s.law {
		if re := s.reynolds(i); re > 2000 && re < 4000 {
			out = append(out, i)
		}
	}
	return out
}

// LaminarCount counts the ducts of the last answer with flow and a Reynolds number up to 2000. Source of the limit: S-040.
func (s *Solver) LaminarCount() int {
	n := 0
	for i := range s.law {
		if re := s.reynolds(i); re > 0 && re <= 2000 {
			n++
		}
	}
	return n
}

// reynolds is the Reynolds number of a duct in the last answer; 0 for other links.
func (s *Solver) reynolds(i int) float64 {
	l := &s.law[i]
	q := math.Abs(float64(s.ans.Flow[i]))
	if l.Kind != Duct || q < 1e-17 {
		return 0
	}
	return q * float64(s.air.Density) * float64(l.Diameter) / (boreArea(float64(l.Diameter)) * float64(s.air.Viscosity))
}
