package plan

import (
	"math"

	"winnow/internal/shop"
	"winnow/internal/unit"
)

// foot6 and tenth are rule 9 of the shop file: a written length and the plan disagree by more than 10 % and 6 in.
const (
	tenth             = 0.10
	foot6  unit.Metre = 0.1524
	no2ft  unit.Metre = 0.61              // fittings may touch; two feet between them are a forgotten pipe (our judgement)
	tenDeg            = math.Pi / 18      // an angle may differ by so much, and by a tenth
	fiveDg            = math.Pi * 5 / 180 // our judgement: what an eye calls level, or straight
)

func differ(written, plan unit.Metre) bool {
	d := math.Abs(float64(written - plan))
	return d > tenth*float64(written) && d > float64(foot6)
}

// lengths measures each gap, and says what cannot be measured before the first and after the last point.
func (t *tracer) lengths() {
	if len(t.gaps) == 0 {
		only := -1
		for k := range t.marks {
			if t.marks[k].ok {
				only = k
			}
		}
		t.pointless(0, len(t.spans), only)
		return
	}
	first, last := t.gaps[0].a, t.gaps[len(t.gaps)-1].b
	t.pointless(0, first, first)
	for i := range t.gaps {
		t.measure(&t.gaps[i])
	}
	t.pointless(last, len(t.spans), last)
}

// pointless names the end that is missing for each drawn length outside the points of the run.
func (t *tracer) pointless(from, to, known int) {
	for k := from; k < to; k++ {
		s := t.spans[k]
		if s == nothing || lengthOf(&t.pieces[s]).Basis != unit.Drawn {
			continue
		}
		missing := 0 // the start, unless it is the only one known
		if known == 0 || known > 0 && k >= known {
			missing = len(t.marks) - 1
		}
		end, owner := t.endWords(missing)
		t.find(LengthNoPoint, t.out[s].Path, shop.Word("piece", label(&t.out[s])), shop.Word("end", end), shop.Word("owner", owner))
	}
}

// endWords is how a sentence calls a mark, and what has to be given a place for it.
func (t *tracer) endWords(k int) (end, owner string) {
	switch m := t.marks[k]; {
	case m.piece >= 0:
		return label(&t.out[m.piece]), label(&t.out[m.piece])
	case m.piece == jointMark:
		return "the joint before " + label(&t.out[t.spans[k]]), "a fitting there"
	case m.piece == startMark && t.port.Machine != "":
		return "its port at " + t.port.String(), t.port.Machine
	case m.piece == startMark:
		return "the start of " + t.rowName(), "the first fitting"
	case t.run == nil:
		return "the end of " + t.rowName(), "the last fitting"
	}
	if r, n := joinedAt(t.y, t.run.Name); r >= 0 {
		wye := label(t.l.Piece(t.y.Name, t.y.Runs[r].Name, n))
		return "its end at " + wye, wye
	}
	return "the inlet of " + t.y.Name, t.y.Name
}

func (t *tracer) rowName() string {
	if t.run == nil {
		return "the exhaust of " + t.y.Name
	}
	return t.run.Name
}

func (t *tracer) word(k int) string {
	end, _ := t.endWords(k)
	return end
}

// tally is what lies in a gap.
type tally struct {
	pieces  int        // pipes and hoses
	open    int        // to be measured
	first   int        // span of the first of those
	last    int        // span of the last of those
	hoses   int        // of written or assumed length
	hose    unit.Metre // their length
	assumed int        // pipes nobody gave a length
	guess   int        // span of the last of those
	pipe    unit.Metre // length of the pipes, written and assumed
	only    int        // span of a pipe or hose: the only one if pieces is 1
}

func (t *tracer) tally(g *gap) tally {
	var c tally
	for k := g.a; k < g.b; k++ {
		s := t.spans[k]
		if s == nothing {
			continue
		}
		c.pieces++
		c.only = k
		switch a := lengthOf(&t.pieces[s]); {
		case a.Basis == unit.Drawn:
			if c.open == 0 {
				c.first = k
			}
			c.open++
			c.last = k
		case t.pieces[s].What == shop.Hose:
			c.hoses++
			c.hose += a.Best
		default:
			c.pipe += a.Best
			if a.Basis != unit.Given {
				c.assumed++
				c.guess = k
			}
		}
	}
	return c
}

func (t *tracer) measure(g *gap) {
	c := t.tally(g)
	t.leans(g)
	switch {
	case c.pieces == 0:
		t.touch(g)
	case c.open == 1 && c.hoses == 0:
		t.measureOne(g, c, c.first, false)
	case c.open > 0:
		t.unclear(g, c)
	case c.hoses > 0:
		t.slack(g, c)
	case c.assumed == 1: // nobody gave it, and the plan knows better than the usual value
		t.measureOne(g, c, c.guess, true)
	default:
		t.compare(g, c)
	}
}

// leans marks the pieces whose measure leans on a guessed height.
func (t *tracer) leans(g *gap) {
	if !t.marks[g.a].guessed && !t.marks[g.b].guessed {
		return
	}
	for k := g.a; k < g.b; k++ {
		if s := t.spans[k]; s != nothing {
			t.out[s].HeightAssumed = true
		}
	}
}

// touch shares the distance between two fittings that touch between them: half of it is the body of each.
func (t *tracer) touch(g *gap) {
	apart := g.straight - t.marks[g.a].slop - t.marks[g.b].slop
	if t.marks[g.a].guessed || t.marks[g.b].guessed { // only the floor is sure
		apart = Distance(t.marks[g.a].at.level(), t.marks[g.b].at.level()) - t.marks[g.a].slop - t.marks[g.b].slop
	}
	if apart > no2ft {
		t.find(PipeMissing, t.row.Path, shop.Number("distance", g.straight), shop.Word("from", t.word(g.a)), shop.Word("to", t.word(g.b)))
	}
	a, b := t.marks[g.a].piece, t.marks[g.b].piece
	middle := t.marks[g.a].at.towards(t.marks[g.b].at, 0.5)
	switch {
	case g.straight < hair:
		return
	case a < 0 && b < 0:
		return
	case a < 0:
		middle = t.marks[g.a].at
	case b < 0:
		middle = t.marks[g.b].at
	}
	if a >= 0 {
		t.body(a, Distance(t.marks[g.a].at, middle), t.marks[g.a].at, middle)
	}
	if b >= 0 {
		t.body(b, Distance(t.marks[g.b].at, middle), middle, t.marks[g.b].at)
	}
}

func (t *tracer) body(piece int, long unit.Metre, from, to Vec3) {
	out := &t.out[piece]
	best := out.Length.Best + long
	out.Length = unit.Amount[unit.Metre]{Best: best, Low: best, High: best, Basis: unit.Drawn}
	if n := len(out.Line); n > 0 && out.Line[n-1] == from {
		out.Line = append(out.Line, to)
		return
	}
	out.Line = append(out.Line, from, to)
}

// measureOne measures the one open length of a gap: the rest of a straight line, or with one bend of known angle
// between, the missing side of the triangle. Quiet: an assumed length is kept where that fails.
func (t *tracer) measureOne(g *gap, c tally, k int, quiet bool) {
	s := t.spans[k]
	others := c.pipe
	if quiet {
		others -= t.out[s].Length.Best
	}
	rest, ok := g.straight-others, true
	switch {
	case g.turns == 1:
		rest, ok = t.legBesideBend(g, k)
	case g.turns > 1:
		ok = false
	}
	if !ok {
		if !quiet {
			t.unclear(g, c)
		}
		return
	}
	if rest < hair {
		if !quiet {
			t.find(NothingLeft, t.out[s].Path, shop.Word("piece", label(&t.out[s])), shop.Word("from", t.word(g.a)), shop.Word("to", t.word(g.b)),
				shop.Number("straight", g.straight), shop.Number("written", others))
		}
		return
	}
	slop := t.marks[g.a].slop + t.marks[g.b].slop
	t.out[s].Length = unit.Amount[unit.Metre]{Best: rest, Low: max(0, rest-slop), High: rest + slop, Basis: unit.Drawn}
	if t.pieces[s].What == shop.Hose {
		t.out[s].Straight, t.out[s].SlackKnown = rest, true
	}
}

// legBesideBend solves D² = x² + y² + 2·x·y·cos θ for the leg x on the open pipe's side of the one bend, turning the air
// by θ, and takes off what else lies on that leg. Law of cosines. Source [S-203]. False where the bend has no angle, or two
// lengths would do; negative or 0 where none does.
func (t *tracer) legBesideBend(g *gap, open int) (unit.Metre, bool) {
	bend := -1
	for k := g.a + 1; k < g.b; k++ {
		if p := t.marks[k].piece; p >= 0 && t.mayTurn(p) {
			bend = k
		}
	}
	p := &t.pieces[t.marks[bend].piece]
	if p.What != shop.Elbow || !said(p.Elbow) || p.Elbow.Basis == unit.Drawn {
		return 0, false
	}
	var same, y float64 // written on the open pipe's leg, and on the other
	for k := g.a; k < g.b; k++ {
		if s := t.spans[k]; s == nothing || k == open {
			continue
		}
		if (k < bend) == (open < bend) {
			same += float64(lengthOf(&t.pieces[t.spans[k]]).Best)
		} else {
			y += float64(lengthOf(&t.pieces[t.spans[k]]).Best)
		}
	}
	sin, cos := math.Sincos(float64(p.Elbow.Best))
	d := float64(g.straight)
	root := d*d - y*y*sin*sin
	if root < 0 {
		return 0, true // nothing is left for it
	}
	far, near := math.Sqrt(root)-y*cos-same, -math.Sqrt(root)-y*cos-same
	if near >= float64(hair) { // past a sharp bend the end may lie on this side of the nearest point, or on the other
		return 0, false
	}
	return unit.Metre(far), true
}

// unclear names what has to be given a point so that each open length of a gap can be measured.
func (t *tracer) unclear(g *gap, c tally) {
	for k := g.a; k < g.b; k++ {
		s := t.spans[k]
		if s == nothing || lengthOf(&t.pieces[s]).Basis != unit.Drawn {
			continue
		}
		t.find(LengthUnclear, t.out[s].Path, shop.Word("piece", label(&t.out[s])), shop.Word("from", t.word(g.a)), shop.Word("to", t.word(g.b)),
			shop.Word("fitting", t.needsPoint(g, k)))
	}
}

// needsPoint is the fitting of a gap whose point would help most to measure span k: one that turns, else one that parts
// it from another open length or hose.
func (t *tracer) needsPoint(g *gap, k int) string {
	for m := g.a + 1; m < g.b; m++ {
		if p := t.marks[m].piece; p >= 0 && t.mayTurn(p) {
			return label(&t.out[p])
		}
	}
	for step := 1; step < g.b-g.a; step++ { // the nearest one
		for _, m := range [2]int{k + 1 - step, k + step} {
			if m > g.a && m < g.b && t.marks[m].piece >= 0 {
				return label(&t.out[t.marks[m].piece])
			}
		}
	}
	return "a fitting between them"
}

// compare holds written pipes against the plan. With a bend between they may reach less far than their length, never
// farther; with a guessed height only the floor distance is sure.
func (t *tracer) compare(g *gap, c tally) {
	plan := g.straight
	if t.marks[g.a].guessed || t.marks[g.b].guessed {
		if plan = LineLength(flat(t.wayOf(g.a, g.b))); plan < c.pipe {
			return
		}
	}
	if c.assumed > 0 || !differ(c.pipe, plan) || g.turns > 0 && plan < c.pipe {
		return
	}
	if c.pieces == 1 {
		s := t.spans[c.only]
		t.find(LengthDiffers, t.out[s].Path, shop.Word("piece", label(&t.out[s])), shop.Number("written", c.pipe), shop.Number("drawn", plan))
		return
	}
	t.find(StretchDiffers, t.row.Path, shop.Word("from", t.word(g.a)), shop.Word("to", t.word(g.b)), shop.Number("written", c.pipe), shop.Number("drawn", plan))
}

// flat presses a way onto the floor, in place.
func flat(way []Vec3) []Vec3 {
	for i := range way {
		way[i].Height = 0
	}
	return way
}

// slack gives the hoses of a gap what their length has over the straight way. Pipes in the gap take their length off the
// way as long as nothing turns; with a bend between nobody can say, but that all of it together must span the way.
func (t *tracer) slack(g *gap, c tally) {
	if g.turns > 0 {
		t.lacking(g, c, c.hose+c.pipe+unit.Metre(g.turns)*no2ft)
		return
	}
	straight := max(0, g.straight-c.pipe)
	for k := g.a; k < g.b; k++ {
		s := t.spans[k]
		if s == nothing || t.pieces[s].What != shop.Hose {
			continue
		}
		out := &t.out[s]
		share := 1 / float64(c.hoses)
		if c.hose > 0 {
			share = float64(out.Length.Best / c.hose)
		}
		out.Straight = unit.Metre(share) * straight
		if out.Length.Basis != unit.Given { // a hose in use reaches: it is at least as long as the way
			if out.Length.Best < out.Straight {
				out.Length = unit.Amount[unit.Metre]{Best: out.Straight, Low: out.Straight, High: max(out.Length.High, out.Straight), Basis: unit.Drawn}
			}
		}
		out.Slack, out.SlackKnown = out.Length.Best-out.Straight, true
	}
	t.lacking(g, c, c.hose+c.pipe)
}

// lacking says so where hoses of written length cannot span a gap, all pipes of it laid straight.
func (t *tracer) lacking(g *gap, c tally, all unit.Metre) {
	for k := g.a; k < g.b; k++ {
		if s := t.spans[k]; s != nothing && lengthOf(&t.pieces[s]).Basis != unit.Given {
			return
		}
	}
	lack := g.straight - all - t.marks[g.a].slop - t.marks[g.b].slop
	if t.row.Carried || lack <= inch || t.startsAway(g) {
		return
	}
	t.find(PieceTooShort, t.row.Path, shop.Word("from", t.word(g.a)), shop.Word("to", t.word(g.b)),
		shop.Number("straight", g.straight), shop.Number("hose", c.hose+c.pipe))
}

// startsAway: the machine at the start of the gap is not there in this arrangement.
func (t *tracer) startsAway(g *gap) bool {
	if t.marks[g.a].piece != startMark || t.port.Machine == "" {
		return false
	}
	m := t.l.Machine(t.port.Machine)
	return m != nil && m.Away
}

// total is the run's length: of its pipes and hoses, and of fittings as far as they take up way.
func (t *tracer) total() {
	sum := unit.Amount[unit.Metre]{Basis: unit.Given}
	rank := func(b unit.Basis) int {
		switch b {
		case unit.Unsaid:
			return 3
		case unit.Assumed:
			return 2
		case unit.Drawn:
			return 1
		}
		return 0
	}
	for i := range t.out {
		a := t.out[i].Length
		if a.Basis == unit.Absent {
			continue
		}
		sum.Best, sum.Low, sum.High = sum.Best+a.Best, sum.Low+a.Low, sum.High+a.High
		if rank(a.Basis) > rank(sum.Basis) {
			sum.Basis = a.Basis
		}
	}
	t.row.Length = sum
}
