package network

import (
	"fmt"
	"math"
	"sort"

	"winnow/internal/physics/duct"
	"winnow/internal/unit"
)

// Compile checks a network and prepares it. Every fault is an error that names the links, nodes or joins by number.
//
// Links in series become one chain, with one flow. What hangs on the network by one chain or join is folded, from the leaves
// inwards, into the vertex it hangs on; what cannot be folded is the core, where the loops are.
func Compile(n Network) (*Solver, error) {
	if err := check(n); err != nil {
		return nil, err
	}
	b := &builder{n: n}
	b.attach()
	b.makeChains()
	if err := b.checkIslands(); err != nil {
		return nil, err
	}
	b.fold()
	s := b.number()
	s.planCore()
	s.answer()
	s.pinned = none
	s.todo = make([]int32, 0, len(s.chains))
	s.last, s.full = make([]float64, len(s.chains)), make([]float64, len(s.chains))
	for i := range s.law {
		if k := s.law[i].Kind; k == Fan || k == FanRating {
			s.noteFan(int32(i))
		}
		s.load(i)
	}
	s.findFixedHead()
	s.findHead()
	for c := range s.chains {
		s.sum(int32(c))
	}
	for j := range s.joins {
		s.joins[j].load(&n.Joins[s.joins[j].id], float64(n.Air.Density))
	}
	s.Reset()
	return s, nil
}

func check(n Network) error {
	if err := checkAir(n.Air); err != nil {
		return err
	}
	if len(n.Links) == 0 {
		return fmt.Errorf("no links")
	}
	touched := make([]bool, len(n.Nodes))
	for i, l := range n.Links {
		for _, v := range [2]int{l.From, l.To} {
			if v < 0 || v >= len(n.Nodes) {
				return fmt.Errorf("link %d: there is no node %d", i, v)
			}
			touched[v] = true
		}
		if l.From == l.To {
			return fmt.Errorf("link %d: both ends are at node %d", i, l.From)
		}
		if err := l.Law.check(); err != nil {
			return fmt.Errorf("link %d: %w", i, err)
		}
	}
	port := map[int]int{}
	for j := range n.Joins {
		if err := checkJoin(&n.Joins[j]); err != nil {
			return fmt.Errorf("join %d: %w", j, err)
		}
		ends := [3]int{n.Joins[j].Through, n.Joins[j].Branch, n.Joins[j].Common}
		for k, v := range ends {
			if v < 0 || v >= len(n.Nodes) {
				return fmt.Errorf("join %d: there is no node %d", j, v)
			}
			for _, w := range ends[:k] {
				if v == w {
					return fmt.Errorf("join %d: two ports at node %d", j, v)
				}
			}
			if _, ok := port[v]; ok || n.Nodes[v].Fixed {
				touched[v] = true // by another join, or held
			}
			port[v] = j
		}
	}
	for v, nd := range n.Nodes {
		if !touched[v] {
			if j, ok := port[v]; ok {
				return fmt.Errorf("join %d: nothing is connected to its port at node %d", j, v)
			}
			return fmt.Errorf("node %d: nothing is connected to it", v)
		}
		if nd.Fixed && !finite(float64(nd.Pressure)) {
			return fmt.Errorf("node %d: %w", v, bad("pressure", float64(nd.Pressure), "a finite number"))
		}
	}
	return checkCompressible(n.Compressible)
}

func checkAir(a Air) error {
	if !(a.Density > 0) || math.IsInf(float64(a.Density), 0) {
		return fmt.Errorf("air: %w", bad("density", float64(a.Density), "above 0"))
	}
	if !(a.Viscosity > 0) || math.IsInf(float64(a.Viscosity), 0) {
		return fmt.Errorf("air: %w", bad("viscosity", float64(a.Viscosity), "above 0"))
	}
	return nil
}

func checkCompressible(c *Compressible) error {
	if c == nil {
		return nil
	}
	if !(c.Temperature > 0) || !finite(float64(c.Temperature)) {
		return bad("temperature", float64(c.Temperature), "above 0")
	}
	if !(c.Ambient > 0) || !finite(float64(c.Ambient)) {
		return bad("ambient pressure", float64(c.Ambient), "above 0")
	}
	if !(c.GasConstant >= 0) || !finite(c.GasConstant) {
		return bad("gas constant", c.GasConstant, "above 0, or 0 for dry air")
	}
	if !(c.Threshold >= 0) {
		return bad("threshold", float64(c.Threshold), "0 or more")
	}
	return nil
}

func checkJoin(j *Join) error {
	for _, d := range [3]unit.Metre{j.DThrough, j.DBranch, j.DCommon} {
		if !(d > 0) || math.IsInf(float64(d), 0) {
			return bad("diameter", float64(d), "above 0")
		}
	}
	if !(j.Kappa >= -1 && j.Kappa <= 1) {
		return bad("kappa", j.Kappa, "-1 to 1")
	}
	if !(j.KThrough >= 0) || !(j.KBranch >= 0) || math.IsInf(j.KThrough+j.KBranch, 0) {
		return bad("leg coefficient", math.Min(j.KThrough, j.KBranch), "0 or more")
	}
	return nil
}

// none marks "no vertex", "no chain" and the like.
const none = -1

// builder turns nodes, links and joins into vertices, chains and their order.
type builder struct {
	n Network

	ends   [][]int32 // by node: link ends there, 2·link + (1 if it is the To end)
	inJoin []bool    // by node: a join's port is there
	vertex []int32   // by node: its vertex, or none (a fixed node, or inside a chain)

	verts  []bvert
	chains []bchain
	joins  []bjoin
}

type bvert struct {
	node  int32 // none for the stand-in of a fixed end
	fixed bool
	elems []int32 // elements attached, folded or not: chain c is c, join j is ^j
	left  int     // attachments not yet folded
	kids  []int32 // elements folded into it
	fan   bool    // a fan's chain is attached
}

type bchain struct {
	end    [2]int32 // vertices; none = a fixed node
	fixed  [2]int32 // the fixed node at that end, if end is none
	links  []int32  // 2·link + (1 if the chain runs against it), from end 0 to end 1
	ready  [2]bool  // the subtree at that end is folded, or fixed
	folded bool
	fan    bool
}

type bjoin struct {
	end    [3]int32 // vertices at through, branch, common
	ready  [3]bool
	folded bool
	parent int // port, of a folded join
}

func (b *builder) attach() {
	n := &b.n
	b.ends = make([][]int32, len(n.Nodes))
	b.inJoin = make([]bool, len(n.Nodes))
	b.vertex = make([]int32, len(n.Nodes))
	for i, l := range n.Links {
		b.ends[l.From] = append(b.ends[l.From], int32(2*i))
		b.ends[l.To] = append(b.ends[l.To], int32(2*i+1))
	}
	for _, j := range n.Joins {
		b.inJoin[j.Through], b.inJoin[j.Branch], b.inJoin[j.Common] = true, true, true
	}
	for v := range n.Nodes {
		b.vertex[v] = none
		if !n.Nodes[v].Fixed && (b.inJoin[v] || len(b.ends[v]) != 2) {
			b.vertex[v] = b.addVertex(int32(v), false)
		}
	}
	for j := range n.Joins {
		e := bjoin{parent: none}
		for k, v := range [3]int{n.Joins[j].Through, n.Joins[j].Branch, n.Joins[j].Common} {
			u := b.vertex[v]
			if n.Nodes[v].Fixed { // each port at a fixed node has a stand-in of its own: the pressure parts them
				u = b.addVertex(int32(v), true)
				e.ready[k] = true
			}
			e.end[k] = u
			b.hang(u, ^int32(j))
		}
		b.joins = append(b.joins, e)
	}
}

func (b *builder) addVertex(node int32, fixed bool) int32 {
	b.verts = append(b.verts, bvert{node: node, fixed: fixed})
	return int32(len(b.verts) - 1)
}

func (b *builder) hang(v, elem int32) {
	b.verts[v].elems = append(b.verts[v].elems, elem)
	b.verts[v].left++
}

// makeChains walks from every vertex and every fixed node along links until the next one.
func (b *builder) makeChains() {
	done := make([]bool, len(b.n.Links))
	start := func(node int) {
		for _, e := range b.ends[node] {
			if !done[e/2] {
				b.walk(node, e, done)
			}
		}
	}
	for v := range b.n.Nodes {
		if b.n.Nodes[v].Fixed || b.vertex[v] != none {
			start(v)
		}
	}
	// what is left are rings of nodes with two links each, bound to nothing: checkIslands refuses them
	for i, l := range b.n.Links {
		if !done[i] {
			b.vertex[l.From] = b.addVertex(int32(l.From), false)
			start(l.From)
		}
	}
}

func (b *builder) walk(node int, end int32, done []bool) {
	c := int32(len(b.chains))
	ch := bchain{end: [2]int32{none, none}, fixed: [2]int32{none, none}}
	stop := func(k int, v int32) bool {
		switch {
		case b.n.Nodes[v].Fixed:
			ch.fixed[k], ch.ready[k] = v, true
		case b.vertex[v] != none:
			ch.end[k] = b.vertex[v]
			b.hang(b.vertex[v], c)
		default:
			return false
		}
		return true
	}
	stop(0, int32(node))
	for {
		i := end / 2
		done[i] = true
		l := &b.n.Links[i]
		ch.links = append(ch.links, end)
		if l.Law.Kind == Fan || l.Law.Kind == FanRating {
			ch.fan = true
		}
		far := l.To
		if end&1 == 1 {
			far = l.From
		}
		if stop(1, int32(far)) {
			break
		}
		next := b.ends[far][0]
		if next/2 == i {
			next = b.ends[far][1]
		}
		end = next
	}
	if ch.fan {
		for _, v := range ch.end {
			if v != none {
				b.verts[v].fan = true
			}
		}
	}
	b.chains = append(b.chains, ch)
}

// checkIslands refuses a part of the network that no fixed node is linked to, even with all gates open.
func (b *builder) checkIslands() error {
	up := make([]int, len(b.n.Nodes))
	for v := range up {
		up[v] = v
	}
	find := func(v int) int {
		for up[v] != v {
			up[v] = up[up[v]]
			v = up[v]
		}
		return v
	}
	for _, l := range b.n.Links {
		up[find(l.From)] = find(l.To)
	}
	for _, j := range b.n.Joins {
		up[find(j.Through)] = find(j.Common)
		up[find(j.Branch)] = find(j.Common)
	}
	held := make([]bool, len(up))
	for v, nd := range b.n.Nodes {
		if nd.Fixed {
			held[find(v)] = true
		}
	}
	for v := range b.n.Nodes {
		if !held[find(v)] {
			return fmt.Errorf("node %d: no fixed pressure in its part of the network", v)
		}
	}
	return nil
}

// fold takes elements off from the leaves inwards until only the core is left. Vertices where a fan hangs come last, so that
// in a tree the root is at the fan.
func (b *builder) fold() {
	var now, later []int32 // elements to fold; vertices to look at when nothing else is left
	for c := range b.chains {
		if ch := &b.chains[c]; ch.ready[0] || ch.ready[1] {
			now = append(now, int32(c))
		}
	}
	for j := range b.joins {
		if b.joins[j].waiting() <= 1 {
			now = append(now, ^int32(j))
		}
	}
	settle := func(v int32) { // v has one element left: if that can do without v, v is a leaf of it
		if e, ok := b.leafOf(v); ok {
			now = append(now, e)
		}
	}
	for v := range b.verts { // dead ends
		if b.verts[v].left == 1 && !b.verts[v].fixed {
			settle(int32(v))
		}
	}
	for len(now) > 0 || len(later) > 0 {
		if len(now) == 0 {
			v := later[0]
			later = later[1:]
			if b.verts[v].left == 1 {
				settle(v)
			}
			continue
		}
		e := now[0]
		now = now[1:]
		v, ok := b.foldElement(e)
		if !ok || b.verts[v].left != 1 || b.verts[v].fixed {
			continue
		}
		if b.verts[v].fan {
			later = append(later, v)
		} else {
			settle(v)
		}
	}
}

func (j *bjoin) waiting() int {
	n := 0
	for _, r := range j.ready {
		if !r {
			n++
		}
	}
	return n
}

// leafOf marks the last element at v as ready there and returns it if it can now be folded.
func (b *builder) leafOf(v int32) (int32, bool) {
	for _, e := range b.verts[v].elems {
		if e >= 0 {
			ch := &b.chains[e]
			if ch.folded || ch.end[0] == ch.end[1] && ch.end[0] != none {
				continue
			}
			k := 0
			if ch.end[1] == v {
				k = 1
			}
			if ch.ready[1-k] {
				return 0, false // v is to be its parent
			}
			ch.ready[k] = true
			return e, true
		}
		j := &b.joins[^e]
		if j.folded {
			continue
		}
		for k := range j.end {
			if j.end[k] == v {
				if j.ready[k] || j.waiting() == 1 {
					return 0, false
				}
				j.ready[k] = true
				return e, j.waiting() == 1
			}
		}
	}
	return 0, false
}

// foldElement folds e into the one vertex it is still waiting for and returns that.
func (b *builder) foldElement(e int32) (int32, bool) {
	var v int32
	if e >= 0 {
		ch := &b.chains[e]
		if ch.folded {
			return 0, false
		}
		ch.folded = true
		if ch.ready[0] && ch.ready[1] { // between two fixed nodes: a root of its own
			ch.end[1] = b.addVertex(ch.fixed[1], true)
			b.hang(ch.end[1], e)
			ch.ready[1] = false
		}
		if ch.ready[1] {
			ch.turn()
		}
		v = ch.end[1]
	} else {
		j := &b.joins[^e]
		if j.folded || j.waiting() > 1 {
			return 0, false
		}
		j.folded = true
		j.parent = 2
		for k := range j.ready {
			if !j.ready[k] {
				j.parent = k
			}
		}
		j.ready[j.parent] = false
		v = j.end[j.parent]
	}
	b.verts[v].kids = append(b.verts[v].kids, e)
	b.verts[v].left--
	return v, true
}

// turn reverses a chain, so that it runs from the folded end to its parent.
func (ch *bchain) turn() {
	ch.end[0], ch.end[1] = ch.end[1], ch.end[0]
	ch.fixed[0], ch.fixed[1] = ch.fixed[1], ch.fixed[0]
	ch.ready[0], ch.ready[1] = ch.ready[1], ch.ready[0]
	for i, j := 0, len(ch.links)-1; i < j; i, j = i+1, j-1 {
		ch.links[i], ch.links[j] = ch.links[j], ch.links[i]
	}
	for i := range ch.links {
		ch.links[i] ^= 1
	}
}

// number lays everything out in the order of the sweeps: vertices from the roots outwards, and beside each the elements folded
// into it, so that memory is read in order.
func (b *builder) number() *Solver {
	n := &b.n
	s := &Solver{air: n.Air, compress: n.Compressible}
	newVert := make([]int32, len(b.verts))
	for v := range newVert {
		newVert[v] = none
	}
	isKid := make([]bool, len(b.verts)) // a leaf or inner vertex of a tree: not a root
	for c := range b.chains {
		if ch := &b.chains[c]; ch.folded && ch.end[0] != none {
			isKid[ch.end[0]] = true
		}
	}
	for j := range b.joins {
		if e := &b.joins[j]; e.folded {
			for k, v := range e.end {
				if k != e.parent {
					isKid[v] = true
				}
			}
		}
	}
	var walk []int32
	take := func(v int32) {
		newVert[v] = int32(len(walk))
		walk = append(walk, v)
	}
	for pass := range 2 { // core vertices first
		for v := range b.verts {
			if !isKid[v] && (b.verts[v].left > 0) == (pass == 0) {
				take(int32(v))
			}
		}
		if pass == 0 {
			s.nCore = len(walk)
		}
	}
	s.nRoots = len(walk)
	newJoin := make([]int32, len(b.joins))
	var chains, joins []int32
	for i := 0; i < len(walk); i++ {
		kids := b.verts[walk[i]].kids
		sort.SliceStable(kids, func(x, y int) bool { return kids[x] > kids[y] })
		v := vert{node: b.verts[walk[i]].node, fixed: b.verts[walk[i]].fixed, up: none, kid0: int32(len(s.order))}
		for _, e := range kids {
			if e >= 0 {
				s.order = append(s.order, int32(len(chains)))
				chains = append(chains, e)
				if k := b.chains[e].end[0]; k != none {
					take(k)
				}
				continue
			}
			newJoin[^e] = int32(len(joins))
			s.order = append(s.order, ^int32(len(joins)))
			joins = append(joins, ^e)
			for k, u := range b.joins[^e].end {
				if k != b.joins[^e].parent {
					take(u)
				}
			}
		}
		v.kid1 = int32(len(s.order))
		s.verts = append(s.verts, v)
	}
	s.nTree, s.nTreeJoins = len(chains), len(joins)
	for c := range b.chains {
		if !b.chains[c].folded {
			chains = append(chains, int32(c))
		}
	}
	for j := range b.joins {
		if !b.joins[j].folded {
			newJoin[j] = int32(len(joins))
			joins = append(joins, int32(j))
		}
	}
	for pos, e := range s.order { // the element that leads from each vertex to the root
		if e >= 0 {
			if k := b.chains[chains[e]].end[0]; k != none {
				s.verts[newVert[k]].up = int32(pos)
			}
			continue
		}
		j := &b.joins[joins[^e]]
		for k, u := range j.end {
			if k != j.parent {
				s.verts[newVert[u]].up = int32(pos)
			}
		}
	}
	s.layItems(b, chains, newVert)
	for _, j := range joins {
		e := &b.joins[j]
		jn := join{id: j, parent: int8(e.parent), pos: none}
		for k, v := range e.end {
			jn.v[k] = newVert[v]
		}
		s.joins = append(s.joins, jn)
	}
	s.posOf = make([]int32, s.nTree)
	for pos, e := range s.order {
		if e < 0 {
			s.joins[^e].pos = int32(pos)
		} else {
			s.chains[e].pos = int32(pos)
			s.posOf[e] = int32(pos)
		}
	}
	s.joinAt = newJoin
	s.maps = make([]affine, len(s.order))
	s.dirty = make([]bool, len(s.order))
	s.nodes = append([]Node(nil), n.Nodes...)
	for v := range s.verts {
		if s.verts[v].fixed {
			s.verts[v].p = float64(n.Nodes[s.verts[v].node].Pressure)
		}
	}
	return s
}

// layItems lays the links of each chain one after the other.
func (s *Solver) layItems(b *builder, chains, newVert []int32) {
	nl := len(b.n.Links)
	s.law = make([]Law, nl)
	s.from, s.to = make([]int32, nl), make([]int32, nl)
	s.itemOf, s.chainOf = make([]int32, nl), make([]int32, nl)
	s.thin = make([]float64, nl)
	s.items, s.pipes, s.bands = make([]item, 0, nl), make([]pipe, nl), make([]duct.Band, nl)
	for i, l := range b.n.Links {
		s.law[i], s.thin[i] = l.Law, 1
		s.from[i], s.to[i] = int32(l.From), int32(l.To)
	}
	s.rel0, s.usual = make([]float64, nl), make([]float64, nl)
	for k := range s.rel0 {
		s.rel0[k] = -1
	}
	for _, c := range chains {
		ch := &b.chains[c]
		out := chain{from: none, to: none, fixed0: ch.fixed[0], pos: none, item0: int32(len(s.items))}
		for k, v := range ch.end {
			if v == none {
				continue
			}
			if k == 0 {
				out.from = newVert[v]
			} else {
				out.to = newVert[v]
			}
		}
		for k, e := range ch.links {
			i := e / 2
			it := item{link: i, node: none}
			far := s.to[i]
			if e&1 == 1 {
				it.back, far = true, s.from[i]
			}
			if k < len(ch.links)-1 {
				it.node = far
			}
			s.itemOf[i], s.chainOf[i] = int32(len(s.items)), int32(len(s.chains))
			s.items = append(s.items, it)
		}
		out.item1 = int32(len(s.items))
		if ch.fixed[0] != none {
			out.fixed = float64(b.n.Nodes[ch.fixed[0]].Pressure)
		}
		s.chains = append(s.chains, out)
	}
}
