package plan

import (
	"math"

	"winnow/internal/shop"
	"winnow/internal/unit"
)

// A run is traced as a row of marks with spans between them. A mark is a point: an end of the run, a fitting, or the
// joint of two pipes without a fitting. A span is one pipe or hose, or nothing where two fittings touch. Marks that have
// a place part the run into gaps, and each gap is measured on its own.
type mark struct {
	piece   int // number of the fitting in the run, or one of the three below
	at      Vec3
	ok      bool       // it has a place
	high    bool       // it has a height
	guessed bool       // the height is assumed, or level with a neighbour
	slop    unit.Metre // how far off the place may be
	tall    unit.Metre // a height that is not known is no more than this; 0: nobody knows
}

const (
	startMark = -1
	endMark   = -2
	jointMark = -3
	nothing   = -1 // a span without pipe or hose
)

// gap is the stretch between two marks with a place, numbers a and b, and no other between them.
type gap struct {
	a, b     int
	turns    int        // fittings between that turn the air, or may
	straight unit.Metre // length of the way from a to b, through the points of its pipes and hoses if they have any
	out, in  Vec3       // the way at its two ends
}

type tracer struct {
	*builder
	y      *shop.System
	run    *shop.Run // nil for the exhaust
	row    *RunLayout
	pieces []shop.Piece
	out    []PieceLayout
	port   shop.PortRef // where it starts in this arrangement, if at a port
	away   Vec3         // the way the air leaves that port
}

func (b *builder) trace(system, run int) {
	y := &b.s.Systems[system]
	r := &y.Runs[run]
	t := tracer{builder: b, y: y, run: r, row: b.l.Run(y.Name, r.Name), pieces: r.Pieces}
	t.out = b.l.Pieces[t.row.First : t.row.First+t.row.Count]
	t.walk(t.start(), t.end())
}

func (b *builder) traceExhaust(system int) {
	y, place := &b.s.Systems[system], &b.l.Systems[system]
	t := tracer{builder: b, y: y, row: b.l.Run(y.Name, ""), pieces: y.Exhaust}
	t.out = b.l.Pieces[t.row.First : t.row.First+t.row.Count]
	start := mark{piece: startMark, at: place.Inlet, ok: place.Placed, high: !place.noHeight, slop: place.slop, tall: place.tall}
	t.walk(&start, mark{piece: endMark})
}

func (t *tracer) walk(start *mark, end mark) {
	t.lay(start, end)
	t.heights()
	t.spread()
	t.findGaps()
	t.lengths()
	t.places()
	t.turnAngles()
	t.ways()
	t.total()
	t.sizes()
}

// start is where the air comes in; nil where the run starts with a fitting that brings its runs together.
func (t *tracer) start() *mark {
	m := mark{piece: startMark}
	switch f := &t.run.From; {
	case len(f.Ports) > 0:
		t.row.Carried = len(f.Ports) > 1
		t.atPort(&m, t.servedFirst(f.Ports))
	case f.Split != "":
		if k, n := splitAt(t.y, f.Split); k >= 0 {
			t.atFitting(&m, k, n)
		}
	case f.Cap:
	default:
		if len(t.pieces) > 0 && !extended(t.pieces[0].What) {
			return nil
		}
	}
	return &m
}

// servedFirst is the machine that has a carried hose when none runs: the first that is there.
func (t *tracer) servedFirst(ports []shop.PortRef) shop.PortRef {
	for _, p := range ports {
		if m := t.l.Machine(p.Machine); m != nil && m.Placed && !m.Away {
			return p
		}
	}
	t.row.Away = true
	for _, p := range ports {
		m := t.l.Machine(p.Machine)
		t.row.Away = t.row.Away && m != nil && m.Away
	}
	return ports[0]
}

func (t *tracer) atPort(m *mark, ref shop.PortRef) {
	t.port = ref
	machine := t.l.Machine(ref.Machine)
	if machine == nil || !machine.Placed {
		return
	}
	m.ok, m.guessed = true, true
	p := machine.port(ref.Port)
	if p == nil { // known to have none, or nobody said
		m.at = machine.At
		return
	}
	m.at, m.slop, m.high, m.guessed = p.At, p.slop, !p.noHeight, p.HeightAssumed
	t.away = p.away
}

// atFitting puts a mark where a fitting of another run is: as traced, or at least as written.
func (t *tracer) atFitting(m *mark, run, piece int) {
	r := &t.y.Runs[run]
	if p := t.l.Piece(t.y.Name, r.Name, piece); p.Placed {
		m.at, m.ok, m.high, m.guessed = p.At, true, true, p.HeightAssumed
		return
	}
	t.written(m, &r.Pieces[piece])
}

func (t *tracer) written(m *mark, p *shop.Piece) {
	if !placed(p.At) {
		return
	}
	m.at, m.ok, m.high = floor(p.At), true, said(p.At.Height)
	m.at.Height, m.guessed = p.At.Height.Best, p.At.Height.Basis != unit.Given
}

// end is where the run ends: main at the system's inlet, any other in the wye that names it.
func (t *tracer) end() mark {
	m := mark{piece: endMark}
	if k, n := joinedAt(t.y, t.run.Name); k >= 0 {
		t.atFitting(&m, k, n)
		return m
	}
	if t.run.Name == mainRun {
		if s := t.l.System(t.y.Name); s.Placed {
			m.at, m.ok, m.high, m.slop, m.tall = s.Inlet, true, !s.noHeight, s.slop, s.tall
		}
	}
	return m
}

func extended(w shop.What) bool { return w == shop.Pipe || w == shop.Hose }

// lay puts marks and spans in a row.
func (t *tracer) lay(start *mark, end mark) {
	t.marks, t.spans = t.marks[:0], t.spans[:0]
	add := func(m mark, open bool) {
		if len(t.marks) > 0 && !open {
			t.spans = append(t.spans, nothing)
		}
		t.marks = append(t.marks, m)
	}
	open := false // a pipe or hose waits for its end
	if start != nil {
		add(*start, false)
	}
	for i := range t.pieces {
		p := &t.pieces[i]
		t.out[i].Length = writtenLength(p)
		if extended(p.What) {
			if open || len(t.marks) == 0 {
				add(mark{piece: jointMark}, open)
			}
			t.spans, open = append(t.spans, i), true
			continue
		}
		m := mark{piece: i}
		t.written(&m, p)
		add(m, open)
		open = false
	}
	add(end, open)
}

// writtenLength is the length in the file; one to be measured is not known yet, a fitting has none.
func writtenLength(p *shop.Piece) unit.Amount[unit.Metre] {
	switch a := lengthOf(p); {
	case !extended(p.What):
		return unit.Amount[unit.Metre]{Basis: unit.Absent}
	case a.Basis == unit.Drawn:
		return unit.Amount[unit.Metre]{}
	default:
		return a
	}
}

func lengthOf(p *shop.Piece) unit.Amount[unit.Metre] {
	if p.What == shop.Hose {
		return p.Hose
	}
	return p.Pipe
}

// climb is how much a plumb pipe of written length rises; false for all others.
func (t *tracer) climb(span int) (unit.Metre, bool) {
	if span == nothing || t.pieces[span].What != shop.Pipe || t.pieces[span].Pipe.Basis != unit.Given {
		return 0, false
	}
	switch t.pieces[span].Goes {
	case "up":
		return t.pieces[span].Pipe.Best, true
	case "down":
		return -t.pieces[span].Pipe.Best, true
	}
	return 0, false
}

// heights gives every mark with a place a height: its own, else level with the mark before it but for plumb pipes
// between, else with the one behind it, else the floor.
func (t *tracer) heights() {
	level := func(order func(i int) (k, span int, sign unit.Metre)) {
		var h unit.Metre
		known := false
		for i := range t.marks {
			k, span, sign := order(i)
			if i > 0 {
				dz, _ := t.climb(span)
				h += sign * dz
			}
			switch m := &t.marks[k]; {
			case m.ok && m.high:
				h, known = m.at.Height, true
			case m.ok && known:
				if m.at.Height, m.high, m.guessed = h, true, true; m.tall > 0 {
					m.at.Height = min(h, m.tall)
				}
			}
		}
	}
	last := len(t.marks) - 1
	level(func(i int) (int, int, unit.Metre) { return i, t.spanAt(i - 1), +1 })
	level(func(i int) (int, int, unit.Metre) { return last - i, t.spanAt(last - i), -1 })
	for k := range t.marks {
		if m := &t.marks[k]; m.ok && !m.high {
			m.at.Height, m.high, m.guessed = 0, true, true
		}
	}
}

func (t *tracer) spanAt(i int) int {
	if i < 0 || i >= len(t.spans) {
		return nothing
	}
	return t.spans[i]
}

// spread carries places along where they follow for certain: through fittings that touch, and up and down plumb pipes.
func (t *tracer) spread() {
	for k := 0; k+1 < len(t.marks); k++ {
		t.carry(&t.marks[k], &t.marks[k+1], t.spans[k], +1)
	}
	for k := len(t.marks) - 2; k >= 0; k-- {
		t.carry(&t.marks[k+1], &t.marks[k], t.spans[k], -1)
	}
}

func (t *tracer) carry(from, to *mark, span int, sign unit.Metre) {
	if !from.ok || to.ok {
		return
	}
	dz, plumb := t.climb(span)
	if span != nothing && !plumb {
		return
	}
	to.at, to.ok, to.high, to.guessed, to.slop = from.at, true, true, from.guessed, from.slop
	to.at.Height += sign * dz
}

func (t *tracer) findGaps() {
	t.gaps = t.gaps[:0]
	a := -1
	for k := range t.marks {
		if !t.marks[k].ok {
			continue
		}
		if a >= 0 {
			t.gaps = append(t.gaps, t.newGap(a, k))
		}
		a = k
	}
}

func (t *tracer) newGap(a, b int) gap {
	g := gap{a: a, b: b}
	way := t.wayOf(a, b)
	g.straight = LineLength(way)
	g.out, g.in = way[1].minus(way[0]), way[len(way)-1].minus(way[len(way)-2])
	for k := a + 1; k < b; k++ {
		if p := t.marks[k].piece; p >= 0 && t.mayTurn(p) {
			g.turns++
		}
	}
	return g
}

// wayOf is the way between two marks: straight, but for the points of pipes and hoses that have one.
func (t *tracer) wayOf(a, b int) []Vec3 {
	t.way = append(t.way[:0], t.marks[a].at)
	h := t.marks[a].at.Height
	for k := a; k < b; k++ {
		if s := t.spans[k]; s != nothing && placed(t.pieces[s].At) {
			p := floor(t.pieces[s].At)
			if p.Height = h; said(t.pieces[s].At.Height) {
				p.Height = t.pieces[s].At.Height.Best
			}
			t.way = append(t.way, p)
		}
	}
	t.way = append(t.way, t.marks[b].at)
	return t.way
}

// mayTurn reports whether the air may leave a fitting in another direction than it came.
func (t *tracer) mayTurn(piece int) bool {
	switch p := &t.pieces[piece]; p.What {
	case shop.Elbow:
		return !said(p.Elbow) || p.Elbow.Basis == unit.Drawn || math.Abs(float64(p.Elbow.Best)) > math.Pi/180
	case shop.Separator:
		return true
	}
	return false
}
