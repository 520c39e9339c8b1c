package network

import (
	"math"
	"slices"
)

// corePlan is how the core is eliminated: the order (fewest neighbours first), where each number lies, and which numbers each
// pivot changes. It depends on the graph alone.
type corePlan struct {
	pivots []int32 // vertices in order of elimination
	first  []int32 // by position: where its neighbours start in next
	next   []int32 // neighbours still to come, in order of elimination; the index is also the slot of the pair's two numbers
	pairs  []corePair
	firstP []int32 // by position: where its pairs start in pairs
	chains []int32 // by core chain: slot of its two ends; none if both are the same vertex
	swap   []bool  // by core chain: its second end is eliminated first
	joins  [][3]coreSlot
}

// corePair is a pair of neighbours of a pivot: the slots pivot-first and pivot-second, and the slot of the pair itself.
type corePair struct{ a, b, to int32 }

// coreSlot is where the pair through-branch, through-common or branch-common lies; swap says the second is eliminated first.
type coreSlot struct {
	slot int32
	swap bool
}

// coreNumbers are the numbers of one elimination. Without joins the matrix is symmetric and only upper is used.
type coreNumbers struct {
	ground []float64 // conductance to the outside; with joins the whole diagonal
	upper  []float64 // by slot: conductance between the pair; with joins minus the entry (first, second)
	lower  []float64 // minus the entry (second, first)
	rhs    []float64
	w      []float64 // by core chain: conductance
	flow   []float64 // by core chain: what the pressures drive
	lo     []float64 // what the vertices' pressures have beyond double precision
	share  []float64 // by slot: upper/pivot, without joins
	inv    []float64 // 1/pivot, 0 for a vertex cut off from everything
}

func (c *coreNumbers) clone() coreNumbers {
	return coreNumbers{
		ground: slices.Clone(c.ground), upper: slices.Clone(c.upper), lower: slices.Clone(c.lower), rhs: slices.Clone(c.rhs),
		w: slices.Clone(c.w), flow: slices.Clone(c.flow), lo: slices.Clone(c.lo), share: slices.Clone(c.share), inv: slices.Clone(c.inv),
	}
}

// planCore finds the order and the slots.
func (s *Solver) planCore() {
	p := &corePlan{}
	s.plan = p
	n := s.nCore
	if n == 0 {
		return
	}
	near := make([]map[int32]bool, n)
	for v := range near {
		near[v] = map[int32]bool{}
	}
	link := func(a, b int32) {
		if a != b {
			near[a][b], near[b][a] = true, true
		}
	}
	for c := s.nTree; c < len(s.chains); c++ {
		link(s.chains[c].from, s.chains[c].to)
	}
	for j := s.nTreeJoins; j < len(s.joins); j++ {
		v := s.joins[j].v
		link(v[0], v[1])
		link(v[0], v[2])
		link(v[1], v[2])
	}
	rank := make([]int32, n)
	for v := range rank {
		rank[v] = none
	}
	later := make([][]int32, 0, n)
	for range n {
		best := none
		for v := range near {
			if rank[v] == none && (best == none || len(near[v]) < len(near[best])) {
				best = v
			}
		}
		rank[best] = int32(len(p.pivots))
		p.pivots = append(p.pivots, int32(best))
		var ns []int32
		for w := range near[best] {
			ns = append(ns, w)
		}
		slices.Sort(ns)
		for i, a := range ns {
			delete(near[a], int32(best))
			for _, b := range ns[:i] {
				link(a, b)
			}
		}
		later = append(later, ns)
	}
	for k := range later {
		slices.SortFunc(later[k], func(a, b int32) int { return int(rank[a] - rank[b]) })
		p.first = append(p.first, int32(len(p.next)))
		p.next = append(p.next, later[k]...)
	}
	p.first = append(p.first, int32(len(p.next)))
	find := func(a, b int32) coreSlot {
		swap := rank[a] > rank[b]
		if swap {
			a, b = b, a
		}
		k := rank[a]
		for i := p.first[k]; i < p.first[k+1]; i++ {
			if p.next[i] == b {
				return coreSlot{i, swap}
			}
		}
		panic("network: pair not in the plan of the core")
	}
	for k := range later {
		p.firstP = append(p.firstP, int32(len(p.pairs)))
		for i, a := range later[k] {
			for j := i + 1; j < len(later[k]); j++ {
				p.pairs = append(p.pairs, corePair{p.first[k] + int32(i), p.first[k] + int32(j), find(a, later[k][j]).slot})
			}
		}
	}
	p.firstP = append(p.firstP, int32(len(p.pairs)))
	for c := s.nTree; c < len(s.chains); c++ {
		ch := &s.chains[c]
		if ch.from == ch.to {
			p.chains = append(p.chains, none)
			p.swap = append(p.swap, false)
			continue
		}
		sl := find(ch.from, ch.to)
		p.chains = append(p.chains, sl.slot)
		p.swap = append(p.swap, sl.swap)
	}
	for j := s.nTreeJoins; j < len(s.joins); j++ {
		v := s.joins[j].v
		p.joins = append(p.joins, [3]coreSlot{find(v[0], v[1]), find(v[0], v[2]), find(v[1], v[2])})
	}
	chains, slots := len(s.chains)-s.nTree, len(p.next)
	s.core = coreNumbers{
		ground: make([]float64, n), upper: make([]float64, slots), lower: make([]float64, slots), rhs: make([]float64, n),
		w: make([]float64, chains), flow: make([]float64, chains), lo: make([]float64, n), share: make([]float64, slots), inv: make([]float64, n),
	}
}

// solveCore finds pressures and flows of the core. Where the elimination was too stiff for the flows to balance at once it is
// repeated on what is left, before any law is looked at again.
func (s *Solver) solveCore() {
	for v := range s.verts[:s.nCore] {
		s.verts[v].dp = 0
	}
	for range 6 {
		s.pressureStep()
		if s.balanceCore() {
			break
		}
	}
	s.coreFlows()
}

// pressureStep finds by how much each core vertex's pressure has to change. It works with changes, and keeps pressures to more
// than double precision, because the drop over a short fat piece may be a ten-millionth of the pressures at its ends.
func (s *Solver) pressureStep() {
	c := &s.core
	clear(c.upper)
	for v := range s.verts[:s.nCore] {
		vt := &s.verts[v]
		c.ground[v] = vt.g
		c.rhs[v] = vt.alpha - vt.g*vt.dp
	}
	joins := s.nTreeJoins < len(s.joins)
	if joins {
		clear(c.lower)
	}
	for i, slot := range s.plan.chains {
		ch := &s.chains[s.nTree+i]
		if ch.closed || slot == none && int32(s.nTree+i) != s.pinned {
			continue
		}
		var q0 float64
		if int32(s.nTree+i) == s.pinned {
			q0 = s.pinFlow
		} else {
			w := 1 / ch.r
			c.w[i] = w
			q0 = s.driven(ch, w)
			c.upper[slot] += w
			if joins {
				c.lower[slot] += w
				c.ground[ch.from] += w
				c.ground[ch.to] += w
			}
		}
		c.rhs[ch.from] -= q0
		c.rhs[ch.to] += q0
	}
	if !joins {
		s.eliminateSymmetric()
	} else {
		s.stampJoins()
		s.eliminate()
	}
	for v := range s.verts[:s.nCore] {
		vt := &s.verts[v]
		if vt.fixed {
			continue
		}
		d := c.rhs[v]
		vt.dp += d
		if d == 0 && c.inv[v] == 0 {
			vt.p, c.lo[v] = 0, 0
			continue
		}
		d += c.lo[v]
		sum := vt.p + d
		b := sum - vt.p
		vt.p, c.lo[v] = sum, (vt.p-(sum-b))+(d-b)
	}
}

// driven is the flow that the present pressures would drive through a core chain by its linearised law.
func (s *Solver) driven(ch *chain, w float64) float64 {
	if ch.from == ch.to {
		return ch.at - ch.h/ch.r
	}
	a, b := &s.verts[ch.from], &s.verts[ch.to]
	return ch.at + ((a.p-b.p)+(s.core.lo[ch.from]-s.core.lo[ch.to])-ch.h)*w
}

// eliminateSymmetric solves the core without joins. Conductances are only added, multiplied and divided, never subtracted, so
// that however stiff the network, each pivot is right to the last digits, and one is exactly 0 if its part is cut off.
func (s *Solver) eliminateSymmetric() {
	p, c := s.plan, &s.core
	upper, share := c.upper, c.share
	for k, v := range p.pivots {
		first, last := p.first[k], p.first[k+1]
		w := upper[first:last]
		sum := c.ground[v]
		for _, x := range w {
			sum += x
		}
		inv := 0.0
		if sum > 0 {
			inv = 1 / sum
		}
		c.inv[v] = inv
		rhs, ground := c.rhs[v], c.ground[v]
		f := share[first:last][:len(w)]
		ns := p.next[first:last][:len(w)]
		for i, x := range w {
			x *= inv
			f[i] = x
			u := ns[i]
			c.rhs[u] += x * rhs
			c.ground[u] += x * ground
		}
		for _, o := range p.pairs[p.firstP[k]:p.firstP[k+1]] {
			upper[o.to] += share[o.a] * upper[o.b]
		}
	}
	s.substituteBack()
}

// substituteBack turns what eliminateSymmetric left of the right side into the change of each pressure.
func (s *Solver) substituteBack() {
	p, c := s.plan, &s.core
	for k := len(p.pivots) - 1; k >= 0; k-- {
		v := p.pivots[k]
		first, last := p.first[k], p.first[k+1]
		f := c.share[first:last]
		ns := p.next[first:last][:len(f)]
		x := c.rhs[v] * c.inv[v]
		for i, y := range f {
			x += y * c.rhs[ns[i]]
		}
		c.rhs[v] = x
	}
}

// conductance inverts a join's slopes; where they are singular (no branch flow, no loss of the through leg) a little is added:
// that changes the step, not the answer.
func (jn *join) conductance() [4]float64 {
	j := jn.j
	add := 1e-7*(math.Abs(j[0])+math.Abs(j[3])) + slopeFloor
	j[0] += add
	j[3] += add
	det := j[0]*j[3] - j[1]*j[2]
	if !(det > 0) {
		j[1], j[2] = 0, 0
		j[0], j[3] = math.Max(j[0], add), math.Max(j[3], add)
		det = j[0] * j[3]
	}
	return [4]float64{j[3] / det, -j[1] / det, -j[2] / det, j[0] / det}
}

// drivenJoin is what the present pressures would drive through a core join.
func (s *Solver) drivenJoin(jn *join, g *[4]float64) (qs, qb float64) {
	a, b, c := &s.verts[jn.v[0]], &s.verts[jn.v[1]], &s.verts[jn.v[2]]
	lo := s.core.lo
	ds := (a.p - c.p) + (lo[jn.v[0]] - lo[jn.v[2]]) - jn.e[0]
	db := (b.p - c.p) + (lo[jn.v[1]] - lo[jn.v[2]]) - jn.e[1]
	return jn.at[0] + g[0]*ds + g[1]*db, jn.at[1] + g[2]*ds + g[3]*db
}

func (s *Solver) stampJoins() {
	c := &s.core
	put := func(sl coreSlot, ab, ba float64) { // minus the entries (a, b) and (b, a)
		if sl.swap {
			ab, ba = ba, ab
		}
		c.upper[sl.slot] += ab
		c.lower[sl.slot] += ba
	}
	for i, slots := range s.plan.joins {
		jn := &s.joins[s.nTreeJoins+i]
		g := jn.conductance()
		qs, qb := s.drivenJoin(jn, &g)
		a, b, m := jn.v[0], jn.v[1], jn.v[2]
		c.rhs[a] -= qs
		c.rhs[b] -= qb
		c.rhs[m] += qs + qb
		c.ground[a] += g[0]
		c.ground[b] += g[3]
		c.ground[m] += g[0] + g[1] + g[2] + g[3]
		put(slots[0], -g[1], -g[2])
		put(slots[1], g[0]+g[1], g[0]+g[2])
		put(slots[2], g[2]+g[3], g[1]+g[3])
	}
	for v := range s.verts[:s.nCore] {
		if s.verts[v].fixed { // held: so stiff to the outside that it does not move
			c.ground[v] = math.Inf(1)
		}
	}
}

// eliminate solves the core with joins: nonsymmetric, the pattern still is.
func (s *Solver) eliminate() {
	p, c := s.plan, &s.core
	pair := 0
	for k, v := range p.pivots {
		up := c.upper[p.first[k]:p.first[k+1]]
		lo := c.lower[p.first[k]:p.first[k+1]]
		ns := p.next[p.first[k]:p.first[k+1]]
		var inv float64
		if d := c.ground[v]; d != 0 {
			inv = 1 / d
		}
		c.inv[v] = inv
		if inv == 0 {
			pair += len(ns) * (len(ns) - 1) / 2
			continue
		}
		for i, u := range ns {
			f, r := lo[i]*inv, up[i]*inv
			c.rhs[u] += f * c.rhs[v]
			c.ground[u] -= f * up[i]
			for m := i + 1; m < len(ns); m++ {
				c.upper[p.pairs[pair].to] += f * up[m]
				c.lower[p.pairs[pair].to] += r * lo[m]
				pair++
			}
			if math.Abs(c.ground[u]) < 1e-13*math.Abs(f*up[i]) {
				c.ground[u] = 0 // cut off: what is left is rounding
			}
		}
	}
	for k := len(p.pivots) - 1; k >= 0; k-- {
		v := p.pivots[k]
		x := c.rhs[v]
		for i := p.first[k]; i < p.first[k+1]; i++ {
			x += c.upper[i] * c.rhs[p.next[i]]
		}
		c.rhs[v] = x * c.inv[v]
	}
}

// balanceCore says at each vertex what its trees have to supply, and whether that is what they do: to the tolerance, and to the
// pressure it would take a tight tree to supply the difference.
func (s *Solver) balanceCore() bool {
	for v := range s.verts[:s.nCore] {
		s.verts[v].rest = 0
	}
	for i := s.nTree; i < len(s.chains); i++ {
		ch := &s.chains[i]
		var q float64
		switch {
		case ch.closed:
			continue
		case int32(i) == s.pinned:
			q = s.pinFlow
		default:
			q = s.driven(ch, s.core.w[i-s.nTree])
		}
		s.core.flow[i-s.nTree] = q
		s.verts[ch.from].rest += q
		s.verts[ch.to].rest -= q
	}
	for i := s.nTreeJoins; i < len(s.joins); i++ {
		jn := &s.joins[i]
		g := jn.conductance()
		qs, qb := s.drivenJoin(jn, &g)
		s.verts[jn.v[0]].rest += qs
		s.verts[jn.v[1]].rest += qb
		s.verts[jn.v[2]].rest -= qs + qb
	}
	wide := max(s.wide, leastFlow)
	most, least := max(s.rel, 1e-13)*wide, 4e-16*wide
	for i := range s.verts[:s.nCore] {
		v := &s.verts[i]
		limit := most
		if v.g > 0 {
			limit = max(min(most, 0.25*v.g*s.headFloor), least)
		}
		if !v.fixed && math.Abs(v.rest-(v.alpha-v.g*v.dp)) > limit {
			return false
		}
	}
	return true
}

// coreFlows gives the core's elements the flows that go with the new pressures.
func (s *Solver) coreFlows() {
	for i := s.nTree; i < len(s.chains); i++ {
		ch := &s.chains[i]
		switch {
		case ch.closed:
			ch.q = 0
		case int32(i) == s.pinned:
			ch.q = s.pinFlow
		default:
			s.setFlow(int32(i), ch, s.core.flow[i-s.nTree])
		}
	}
	for i := s.nTreeJoins; i < len(s.joins); i++ {
		jn := &s.joins[i]
		g := jn.conductance()
		qs, qb := s.drivenJoin(jn, &g)
		jn.was, jn.q = jn.q, [2]float64{qs, qb}
	}
}
