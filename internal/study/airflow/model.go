package airflow

import (
	"fmt"

	"winnow/internal/physics/air"
	"winnow/internal/physics/duct"
	"winnow/internal/physics/network"
	"winnow/internal/shop"
	"winnow/internal/shop/plan"
	"winnow/internal/shop/typical"
	"winnow/internal/study/doubt"
	"winnow/internal/unit"
)

// Model is one system as a network: which piece is which link. It is built once and solved for many settings and
// samples; it is not safe for several goroutines (Clone it).
type Model struct {
	shop   *shop.Shop
	system *shop.System
	layout *plan.Layout
	air    air.State

	elements []element
	net      network.Network
	solver   *network.Solver
	joinElem []([2]int) // by join number: the elements of its through and branch leg

	runs   map[shop.ID]*runModel
	mouths []mouth
	tail   []int // elements after the main: inlet, fan, filter, exhaust

	fan    int // element number of the fan
	filter int // element number of the filter, -1 if there is none
	gates  map[shop.ID][]int

	drawn   bool
	refused error // of the last apply
	asSold  bool  // the fan was rated with its own clean filter in place

	keyDraws [][]float64   // of every key, without sample 0
	belief   *doubt.Belief // whose draws are in the elements
	of       int
}

// element is one line of the calculation sheet: a piece, or a part of one, with its law.
type element struct {
	path   shop.Path // the part of the shop it stands for
	what   string
	group  Group
	source string
	basis  unit.Basis
	run    shop.ID

	link int // its link; -1 for a leg of a join
	join int // its join; -1 for a link
	leg  network.Leg

	law     network.Law
	shutLaw network.Law // for a gate
	gate    shop.ID
	bore    unit.Metre
	length  unit.Metre
	goes    plan.Goes
	k       float64 // loss coefficient on its own bore, without friction
	turns   float64 // angle of an elbow, rad
	radius  float64 // of its middle line, in bores
	seams   float64 // leakage class of a pipe's joints

	doubts []doubted
}

// target is the number of a law that a factor multiplies.
type target uint8

const (
	onK target = iota
	onFriction
	onBore
	onResistance // A and B of a filter
	onLeak
	onPressure // of a fan
	onFlow     // of a fan
	onExponent // of a fan
)

// doubted is a factor and what it multiplies. values are its multipliers by sample, of the belief last used.
type doubted struct {
	on     target
	factor doubt.Factor
	values []float64
}

// mouth is one port as the start of a run: the link from the room into it.
type mouth struct {
	port     shop.PortRef
	run      *runModel
	elements []int // mouth, blower, adapter to the run, in the direction of the air
	first    int   // the link through which the port's air enters
	bore     unit.Metre
}

// runModel is one run: its own elements, and how the air goes on.
type runModel struct {
	run      *shop.Run
	elements []int
	gates    []shop.ID
	start    int // node
	end      int // node
	endBore  unit.Metre
	into     *runModel // the run it joins; nil for the main
	tail     []int     // join legs between its end and the run it joins
	at       int       // number of elements of that run before the place where it comes in
}

// Build makes the model of one system. Findings name what could not be modelled; where a piece cannot, the model is nil.
func Build(s *shop.Shop, l *plan.Layout, system shop.ID) (*Model, []shop.Finding) {
	y := s.System(system)
	if y == nil {
		return nil, []shop.Finding{finding(codeNoSystem, shop.SystemPath(system), shop.Word("system", system))}
	}
	b := &builder{
		Model:  &Model{shop: s, system: y, layout: l, runs: map[shop.ID]*runModel{}, gates: map[shop.ID][]int{}, filter: -1, fan: -1},
		splits: map[shop.ID]int{},
	}
	b.build()
	if b.failed {
		return nil, b.findings
	}
	solver, err := network.Compile(b.net)
	if err != nil {
		b.fail(codeCannotSolve, shop.SystemPath(system), shop.Word("system", system), shop.Word("why", err.Error()))
		return nil, b.findings
	}
	b.solver = solver
	return b.Model, b.findings
}

// Clone returns a model for another goroutine. Draw first: the clones share the drawn multipliers.
func (m *Model) Clone() *Model {
	c := *m
	c.solver = m.solver.Clone()
	return &c
}

// builder grows a model run by run, from the main upstream.
type builder struct {
	*Model
	findings []shop.Finding
	failed   bool
	splits   map[shop.ID]int // node of each named split
	open     []shop.ID       // runs being built: to notice a loop
}

func (b *builder) fail(code *shop.Code, where shop.Path, args ...shop.Arg) {
	b.failed = true
	b.findings = append(b.findings, finding(code, where, args...))
}

func (b *builder) node() int {
	b.net.Nodes = append(b.net.Nodes, network.Node{})
	return len(b.net.Nodes) - 1
}

// room is the node of the air the shop stands in; outdoors is at the same pressure.
const room = 0

// add appends an element with a link of its own.
func (b *builder) add(from, to int, e element) int {
	e.link, e.join = len(b.net.Links), -1
	b.net.Links = append(b.net.Links, network.Link{From: from, To: to, Law: e.law})
	b.elements = append(b.elements, e)
	return len(b.elements) - 1
}

func (b *builder) build() {
	state, err := siteAir(b.shop.Site)
	if err != nil {
		b.fail(codeBadPart, "site", shop.Word("part", "the site"), shop.Word("why", err.Error()))
		return
	}
	b.air = state
	b.net.Air = network.Air{Density: state.Density, Viscosity: state.Viscosity}
	if b.system.Kind != "collector" {
		b.net.Compressible = &network.Compressible{Temperature: state.Temperature, Ambient: state.Pressure}
	}
	b.net.Nodes = []network.Node{{Fixed: true}}

	main := b.system.Run("main")
	if main == nil {
		b.fail(codeNoMain, shop.SystemPath(b.system.Name), shop.Word("system", b.system.Name))
		return
	}
	r := b.buildRun(main)
	if b.failed {
		return
	}
	b.buildFanEnd(r)
}

func siteAir(s shop.Site) (air.State, error) {
	altitude, temperature, humidity := s.Altitude.Best, s.Temperature.Best, s.Humidity.Best
	if s.Temperature.Basis == unit.Unsaid {
		temperature = 293.15
	}
	return air.At(altitude, temperature, humidity)
}

// buildRun builds one run and everything that flows into it.
func (b *builder) buildRun(run *shop.Run) *runModel {
	path := shop.RunPath(b.system.Name, run.Name)
	for _, open := range b.open {
		if open == run.Name {
			b.fail(codeRunLoop, path, shop.Word("run", run.Name))
			return &runModel{run: run}
		}
	}
	b.open = append(b.open, run.Name)
	defer func() { b.open = b.open[:len(b.open)-1] }()

	r := &runModel{run: run}
	b.runs[run.Name] = r
	c := &cursor{builder: b, r: r, size: run.Size.Best}
	pieces := run.Pieces
	switch {
	case run.From.Split != "":
		r.start = b.split(run.From.Split)
		c.node = r.start
	case run.From.Basis == unit.Unsaid && len(pieces) > 0 && pieces[0].What == shop.Wye:
		c.gather(pieces[0], 0)
		pieces = pieces[1:]
	default:
		r.start = b.node()
		c.node = r.start
	}
	first := len(run.Pieces) - len(pieces)
	for i := range pieces {
		c.piece(pieces[i], first+i)
		if b.failed {
			return r
		}
	}
	r.end, r.endBore = c.node, c.bore
	if r.endBore == 0 {
		r.endBore = b.bore(run.Kind, c.size).Best
	}
	b.seams(r)
	for _, p := range run.From.Ports {
		b.buildMouth(r, p)
	}
	return r
}

func (b *builder) split(name shop.ID) int {
	n, ok := b.splits[name]
	if !ok {
		n = b.node()
		b.splits[name] = n
	}
	return n
}

// bore is the true bore behind a trade size of a kind of pipe or hose.
func (b *builder) bore(kind string, size unit.Metre) unit.Amount[unit.Metre] {
	a, _ := typical.Bore(kind, size)
	return a
}

// cursor walks along a run in the direction of the air.
type cursor struct {
	*builder
	r    *runModel
	node int        // where the air is now
	size unit.Metre // trade size from here on
	bore unit.Metre // true bore of the last piece; 0 before the first
}

// then adds an element from here to a new node, and an adapter before it where the bores differ.
func (c *cursor) then(e element) int {
	if e.bore > 0 {
		c.adapt(e.path, e.bore)
	}
	to := c.builder.node()
	e.run = c.r.run.Name
	n := c.add(c.node, to, e)
	c.r.elements = append(c.r.elements, n)
	c.node = to
	if e.bore > 0 {
		c.bore = e.bore
	}
	return n
}

// sameBore: below 3 % the parts slip into each other and no adapter is needed.
const sameBore = 0.03

// adapt adds what joins the last bore to the next.
func (c *cursor) adapt(at shop.Path, next unit.Metre) {
	if c.bore == 0 || near(c.bore, next) {
		return
	}
	if c.r.run.Name == "" && next > c.bore { // behind the fan: see exhaust
		c.bore = next
		return
	}
	k, err := duct.Adapter(c.bore, next)
	if err != nil {
		c.fail(codeBadPart, at, shop.Word("part", string(at.Last())), shop.Word("why", err.Error()))
		return
	}
	e := c.coefficient(at, Rest, k, min(c.bore, next))
	to := c.builder.node()
	e.run = c.r.run.Name
	n := c.add(c.node, to, e)
	c.r.elements = append(c.r.elements, n)
	c.node, c.bore = to, next
}

func near(a, b unit.Metre) bool { return a/b > 1-sameBore && b/a > 1-sameBore }

// coefficient is an element that loses K velocity pressures of a bore.
func (b *builder) coefficient(at shop.Path, g Group, k duct.Coefficient, bore unit.Metre) element {
	k = k.ToBore(bore)
	return element{
		path: at, what: k.What, group: g, source: k.Source, basis: k.Basis, bore: bore, k: k.K,
		law:    network.Law{Kind: network.Loss, Diameter: bore, K: k.K},
		doubts: b.fittingDoubt(at, k),
	}
}

// gather starts a run with the wye that brings its runs together.
func (c *cursor) gather(p shop.Piece, i int) {
	legs := make([]*runModel, 0, len(p.Wye))
	for _, name := range p.Wye {
		run := c.system.Run(name)
		if run == nil {
			c.fail(codeNoRun, c.path(i), shop.Word("run", name))
			return
		}
		legs = append(legs, c.buildRun(run))
		if c.failed {
			return
		}
	}
	common := c.bore0(p).Best
	first := legs[0]
	if len(legs) == 1 { // a wye of one run is just its continuation
		first.into, first.at = c.r, 0
		c.node, c.bore = first.end, first.endBore
		return
	}
	// More than two come together one after the other, in the order written.
	node, bore := first.end, first.endBore
	joined := []*runModel{first}
	for n, leg := range legs[1:] {
		through, branch, out := c.join(p, i, n, node, bore, leg.end, leg.endBore, common, true)
		for _, r := range joined {
			r.tail = append(r.tail, through)
		}
		leg.tail = append(leg.tail, branch)
		joined = append(joined, leg)
		node, bore = out, common
	}
	for _, r := range joined {
		r.into, r.at = c.r, 0
	}
	c.node, c.bore = node, common
}

// bore0 is the true bore of the run where the piece sits.
func (c *cursor) bore0(p shop.Piece) unit.Amount[unit.Metre] {
	size, kind := c.size, c.r.run.Kind
	if p.Size.Basis != unit.Unsaid {
		size = p.Size.Best
	}
	if p.Kind != "" {
		kind = p.Kind
	}
	return c.builder.bore(kind, size)
}

// wye lets side runs in along the way.
func (c *cursor) wye(p shop.Piece, i int) {
	bore := c.bore0(p).Best
	c.adapt(c.path(i), bore)
	if c.bore == 0 {
		c.bore = bore
	}
	var sides []*runModel
	for n, name := range p.Wye {
		run := c.system.Run(name)
		if run == nil {
			c.fail(codeNoRun, c.path(i), shop.Word("run", name))
			return
		}
		side := c.buildRun(run)
		if c.failed {
			return
		}
		through, branch, out := c.join(p, i, n, c.node, c.bore, side.end, side.endBore, bore, false)
		for _, s := range sides {
			s.tail = append(s.tail, through)
		}
		side.tail = append(side.tail, branch)
		sides = append(sides, side)
		c.r.elements = append(c.r.elements, through)
		c.node, c.bore = out, bore
	}
	for _, s := range sides {
		s.into, s.at = c.r, len(c.r.elements)
	}
}

// join adds a converging junction and its two elements; fork says that both legs come in at an angle.
func (c *cursor) join(p shop.Piece, i, n, through int, throughBore unit.Metre, branch int, branchBore, common unit.Metre, fork bool) (int, int, int) {
	out := c.builder.node()
	angle := p.Angle.Best
	if pl := c.laid(i); pl != nil && pl.Turn.Basis != unit.Unsaid && !fork {
		angle = pl.Turn.Best
	}
	var j duct.Join
	var err error
	if fork {
		if angle == 0 {
			angle = duct.Deg(30)
		}
		j, err = duct.TwoWaySplit(2 * angle) // the file's angle is each leg's off the middle line
	} else {
		if angle == 0 {
			angle = duct.Deg(45)
		}
		j, err = duct.JoinOf(angle)
	}
	if err != nil {
		c.fail(codeBadPart, c.path(i), shop.Word("part", string(c.path(i).Last())), shop.Word("why", err.Error()))
		return 0, 0, out
	}
	number := len(c.net.Joins)
	c.net.Joins = append(c.net.Joins, network.Join{
		Through: through, Branch: branch, Common: out,
		DThrough: throughBore, DBranch: branchBore, DCommon: common,
		Kappa: j.Kappa.K, KThrough: j.Through.K, KBranch: j.Branch.K,
	})
	at := c.path(i)
	leg := func(l network.Leg, k duct.Coefficient, bore unit.Metre, words string) int {
		what := fmt.Sprintf("%s, %s", j.What, words)
		e := element{
			path: at, what: what, group: Bends, source: k.Source, basis: k.Basis, run: c.r.run.Name,
			link: -1, join: number, leg: l, bore: bore, k: k.K, doubts: joinDoubt(at, l, n, k),
		}
		c.elements = append(c.elements, e)
		return len(c.elements) - 1
	}
	words := [2]string{"straight through", "side leg"}
	if fork {
		words = [2]string{"one leg", "the other leg"}
	}
	a := leg(network.Through, j.Through, throughBore, words[0])
	b := leg(network.Branch, j.Branch, branchBore, words[1])
	c.joinElem = append(c.joinElem, [2]int{a, b})
	return a, b, out
}

// laid is piece i as the plan measured it; nil where the plan does not know it.
func (c *cursor) laid(i int) *plan.PieceLayout { return c.layout.Piece(c.system.Name, c.r.run.Name, i) }

func (c *cursor) path(i int) shop.Path {
	if c.r.run.Name == "" {
		return shop.SystemPath(c.system.Name).Join("exhaust", shop.PieceKey(c.r.run.Pieces, i))
	}
	return shop.PiecePath(c.system.Name, *c.r.run, i)
}
