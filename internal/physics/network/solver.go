package network

import (
	"fmt"
	"math"

	"winnow/internal/physics/duct"
	"winnow/internal/unit"
)

// Solver holds one compiled network: its structure, its numbers and the last answer, from which the next solve starts.
// It is for one goroutine; Clone gives each worker its own.
type Solver struct {
	// structure, shared between clones
	order    []int32 // elements of the trees, from the roots outwards: chain c is c, join j is ^j
	itemOf   []int32 // by link
	chainOf  []int32 // by link
	joinAt   []int32 // by the caller's join number
	posOf    []int32 // by chain of a tree: its position in order
	from, to []int32 // by link: nodes
	plan     *corePlan

	nCore, nRoots     int // vertices: the core's first, then the other roots, then the rest
	nTree, nTreeJoins int // chains and joins of the trees come before those of the core

	// numbers
	air      Air
	compress *Compressible
	nodes    []Node
	law      []Law
	thin     []float64 // by link: network density over the link's, from Compressible
	items    []item
	pipes    []pipe      // beside items
	bands    []duct.Band // beside items: friction below Reynolds number 4000
	chains   []chain
	joins    []join
	verts    []vert
	maps     []affine  // beside order
	dirty    []bool    // beside order: the map is out of date
	rel0     []float64 // by link: the ε/D its friction was made for
	usual    []float64 // by link: its friction factor at a typical speed
	core     coreNumbers
	fans     []int32 // links that are, or have been, fans
	humps    int     // how many of them have a curve that rises somewhere
	envelope bool    // humped curves are replaced by the falling ones above them

	// state of the iteration
	todo       []int32   // chains whose law is to be evaluated anew
	evaluated  int       // how many of todo's chains, now off the list, were evaluated last
	last, full []float64 // by chain: flow before its last evaluation; the step being shortened
	cold       bool
	rough      bool    // laws are taken with typical friction: the start of networks with loops
	scale      float64 // largest flow of the last answer
	head       float64 // largest pressure of any fan or fixed node
	fixedHead  float64 // the same of fixed nodes alone
	wide       float64 // largest flow of the step before
	rel, floor float64 // a chain is at rest when its law is off by less than rel·|flow| + floor ...
	headFloor  float64 // ... and by less than this as a pressure
	again      bool    // the last step lost digits: take another
	worst      float64 // largest remainder of the last sweep, Pa
	worstChain int32
	stuck      float64 // the same of those chains that are not at rest
	offFlow    float64 // sum of the remainders of those chains, as flows

	// of OperatingPoints
	pinned  int32 // chain whose flow is given, or none
	pinFlow float64
	points  []OperatingPoint
	probes  []probe
	seen    []bool

	ans Solution
}

// vert is a vertex: a node where chains or joins meet, or the stand-in of a fixed node.
type vert struct {
	p, dp      float64 // pressure, and how far the last step moved it
	alpha, g   float64 // what hangs on it supplies alpha - g·(change of p)
	rest       float64 // flow that what hangs on it has to supply
	kid0, kid1 int32   // its elements, by position in order
	best       int32   // position of the one that yields most
	up         int32   // position of the element towards the root
	node       int32
	fixed      bool
	dirty      bool
}

// affine is what a subtree supplies to the vertex it hangs on, by the change of pressure there from the present one:
// q = alpha - g·dp. A dead leg has g = 0.
type affine struct{ alpha, g float64 }

// chain is a series of links with one flow, q, counted from its first end to its last. Its pressure drop is linearised:
// h + r·(q - at). It fills two lines of the cache, the first of them with what the sweeps need most.
type chain struct {
	q, at, h, r float64
	soft        float64 // the law's remainder after a step d from at, as a flow, is at most soft·d²
	left        float64 // relative error of the friction last evaluated
	from, to    int32   // vertices; from is none at a fixed node
	closed      bool    // a link in it is shut
	walls       bool    // it holds friction
	odd         bool    // it holds special links
	fan         bool    // one of them is a fan
	listed      bool    // it is in todo
	bound       bool    // lo and hi hold

	fixed        float64 // pressure of the first end, if that is a fixed node
	k, a         float64 // sums over the items
	guess        float64 // k with typical friction and leaks, for the start
	lo, hi       float64 // flows between which soft holds: where a fan's curve is straight, ducts are laminar
	pos          int32   // in order; none in the core
	item0, item1 int32
	fixed0       int32 // fixed node at the first end, or none
}

// Set gives a link another law: other coefficients, shut, open, leaking. The graph stays. No allocation.
// A law that cannot be computed with (NaN, no diameter) is refused with an error and the old law stays.
func (s *Solver) Set(link int, l Law) error {
	if link < 0 || link >= len(s.law) {
		return fmt.Errorf("there is no link %d", link)
	}
	if err := l.check(); err != nil {
		return fmt.Errorf("link %d: %w", link, err)
	}
	s.law[link] = l
	if l.Kind == Fan || l.Kind == FanRating {
		s.noteFan(int32(link))
	}
	s.load(link)
	s.sum(s.chainOf[link])
	return nil
}

// sum adds up a chain's items after one of them changed, and lists the chain for evaluation.
func (s *Solver) sum(c int32) {
	ch := &s.chains[c]
	was := ch.closed
	var k, a, guess float64
	closed, walls, odd, fan := false, false, false, false
	for i := ch.item0; i < ch.item1; i++ {
		it := &s.items[i]
		k += it.k
		a += it.a
		switch it.kind {
		case walled:
			walls = true
			guess += s.pipes[i].phi * s.usual[it.link]
		case special:
			odd = true
			if l := &s.law[it.link]; l.Kind == Leak {
				p := max(s.head, 100) / 4
				q := l.C * math.Pow(p, l.Exponent)
				guess += p / (q * q)
			} else {
				fan = true
			}
		case shut:
			closed = true
		}
	}
	ch.k, ch.a, ch.guess = k, a, k+guess
	ch.walls, ch.odd, ch.fan, ch.closed = walls, odd, fan, closed
	switch {
	case closed && was:
		return
	case closed:
		ch.q = 0
	case was:
		s.reopen(ch)
	}
	s.list(c)
}

// list notes that a chain is to be evaluated.
func (s *Solver) list(c int32) {
	if ch := &s.chains[c]; !ch.listed {
		ch.listed = true
		s.todo = append(s.todo, c)
	}
}

// reopen gives a chain that was shut the flow that the pressures at its ends would drive, were they to stay.
func (s *Solver) reopen(ch *chain) {
	drop := -s.verts[ch.to].p
	if ch.from >= 0 {
		drop += s.verts[ch.from].p
	} else {
		drop += ch.fixed
	}
	k := ch.guess
	if s.scale > 0 {
		k += ch.a / s.scale
	}
	if k > 0 && drop != 0 {
		ch.q = math.Copysign(math.Sqrt(math.Abs(drop)/k), drop)
		if top := 2 * s.scale; top > 0 && math.Abs(ch.q) > top {
			ch.q = math.Copysign(top, drop)
		}
		return
	}
	ch.q = s.scale / 4
}

// SetJoin gives a join other coefficients and diameters; its nodes must be the same. No allocation.
func (s *Solver) SetJoin(number int, j Join) error {
	if number < 0 || number >= len(s.joinAt) {
		return fmt.Errorf("there is no join %d", number)
	}
	if err := checkJoin(&j); err != nil {
		return fmt.Errorf("join %d: %w", number, err)
	}
	s.joins[s.joinAt[number]].load(&j, float64(s.air.Density))
	return nil
}

// SetPressure moves the pressure of a fixed node.
func (s *Solver) SetPressure(node int, p unit.Pascal) error {
	if node < 0 || node >= len(s.nodes) || !s.nodes[node].Fixed {
		return fmt.Errorf("there is no fixed node %d", node)
	}
	if !finite(float64(p)) {
		return fmt.Errorf("node %d: %w", node, bad("pressure", float64(p), "a finite number"))
	}
	s.nodes[node].Pressure = p
	s.findFixedHead()
	s.findHead()
	s.ans.Pressure[node] = p
	for c := range s.chains {
		if ch := &s.chains[c]; ch.fixed0 == int32(node) {
			ch.fixed = float64(p)
			s.list(int32(c))
		}
	}
	for v := range s.verts {
		if vt := &s.verts[v]; vt.fixed && vt.node == int32(node) {
			vt.p = float64(p)
			if vt.up >= 0 {
				s.dirty[vt.up] = true
			}
			for i := vt.kid0; i < vt.kid1; i++ {
				s.dirty[i] = true
			}
		}
	}
	return nil
}

// SetAir gives all links other air. Fan curves are not scaled: they hold for the network's density, whatever it is.
func (s *Solver) SetAir(a Air) error {
	if err := checkAir(a); err != nil {
		return err
	}
	scale := float64(a.Density / s.air.Density)
	s.air = a
	for i := range s.law {
		s.load(i)
	}
	for c := range s.chains {
		s.sum(int32(c))
	}
	for j := range s.joins {
		s.joins[j].times(scale)
	}
	return nil
}

// Reset forgets the last answer: the next solve starts cold.
func (s *Solver) Reset() { s.cold = true }

// Clone returns a solver of its own with the same numbers and the same last answer. The two share only what never changes.
func (s *Solver) Clone() *Solver {
	c := *s
	c.nodes = append([]Node(nil), s.nodes...)
	c.law = append([]Law(nil), s.law...)
	c.rel0 = append([]float64(nil), s.rel0...)
	c.usual = append([]float64(nil), s.usual...)
	c.thin = append([]float64(nil), s.thin...)
	c.items = append([]item(nil), s.items...)
	c.pipes = append([]pipe(nil), s.pipes...)
	c.bands = append([]duct.Band(nil), s.bands...)
	c.chains = append([]chain(nil), s.chains...)
	c.joins = append([]join(nil), s.joins...)
	c.verts = append([]vert(nil), s.verts...)
	c.maps = append([]affine(nil), s.maps...)
	c.dirty = append([]bool(nil), s.dirty...)
	c.fans = append([]int32(nil), s.fans...)
	c.points, c.probes, c.seen = nil, nil, nil
	c.core = s.core.clone()
	c.last = append([]float64(nil), s.last...)
	c.full = append([]float64(nil), s.full...)
	c.todo = append(make([]int32, 0, len(s.chains)), s.todo...)
	c.answer()
	copy(c.ans.Flow, s.ans.Flow)
	copy(c.ans.Pressure, s.ans.Pressure)
	copy(c.ans.JoinFlow, s.ans.JoinFlow)
	return &c
}

// answer makes room for the solution.
func (s *Solver) answer() {
	s.ans = Solution{
		Flow:         make([]unit.M3PerSec, len(s.law)),
		Pressure:     make([]unit.Pascal, len(s.nodes)),
		JoinFlow:     make([][2]unit.M3PerSec, len(s.joins)),
		LegsReversed: make([]JoinLeg, 0, 2*len(s.joins)),
		WorstLink:    none,
		FanOff:       none,
	}
	for v, n := range s.nodes {
		if n.Fixed {
			s.ans.Pressure[v] = n.Pressure
		}
	}
}
