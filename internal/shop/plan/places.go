package plan

import (
	"math"

	"winnow/internal/shop"
	"winnow/internal/unit"
)

// places gives the fittings their points and pipes and hoses their lines, gap by gap.
func (t *tracer) places() {
	for i := range t.gaps {
		g := &t.gaps[i]
		c := t.tally(g)
		switch {
		case c.pieces == 0:
		case g.turns == 0 && c.pieces == c.hoses:
			t.hang(g)
		case g.turns == 0 && c.hoses == 0 && t.allKnown(g):
			t.line(g)
		default:
			t.sketch(g)
		}
	}
	for k := range t.marks {
		if m := &t.marks[k]; m.piece >= 0 && m.ok {
			out := &t.out[m.piece]
			out.At, out.Placed, out.HeightAssumed = m.at, true, m.guessed
			t.l.Box.add(m.at)
		}
	}
	if first := &t.marks[0]; first.ok {
		t.row.From, t.row.FromOK = first.at, true
	}
	if last := &t.marks[len(t.marks)-1]; last.ok {
		t.row.To, t.row.ToOK = last.at, true
		if t.run != nil && t.run.Name == mainRun && last.piece == endMark {
			t.l.System(t.y.Name).Inlet = last.at
		}
	}
}

func (t *tracer) allKnown(g *gap) bool {
	for k := g.a; k < g.b; k++ {
		if s := t.spans[k]; s != nothing && t.out[s].Length.Basis == unit.Unsaid {
			return false
		}
	}
	return true
}

// line lays the pipes of a gap along its way. Where the written lengths do not add up to it, they share the difference.
func (t *tracer) line(g *gap) {
	t.along(g, t.wayOf(g.a, g.b), t.sum(g))
}

// sum is the length of the pipes and hoses of a gap.
func (t *tracer) sum(g *gap) unit.Metre {
	var sum unit.Metre
	for k := g.a; k < g.b; k++ {
		if s := t.spans[k]; s != nothing {
			sum += t.out[s].Length.Best
		}
	}
	return sum
}

// along cuts a line into the pieces of a gap by their lengths and gives the marks between their points.
func (t *tracer) along(g *gap, line []Vec3, sum unit.Metre) {
	long := LineLength(line)
	guessed := t.marks[g.a].guessed || t.marks[g.b].guessed
	var at, cut unit.Metre
	for k := g.a; k < g.b; k++ {
		if s := t.spans[k]; s != nothing {
			cut += t.out[s].Length.Best
			from := at
			if at = long; sum > 0 { // written as nothing at all: the first has it
				at = cut * long / sum
			}
			t.out[s].Line = cutLine(line, from, at)
		}
		if m := &t.marks[k+1]; k+1 < g.b {
			m.at, m.ok, m.high, m.guessed = pointAlong(line, at), true, true, guessed
		}
	}
}

// hang lays the hoses of a gap as one: straight where they lack, else in a bow of their length.
func (t *tracer) hang(g *gap) {
	sum := t.sum(g)
	way := t.wayOf(g.a, g.b)
	if sum <= g.straight || g.straight == 0 && sum == 0 {
		t.along(g, way, sum)
		return
	}
	t.along(g, t.builder.bowAlong(way, sum), sum)
}

// sketch draws a gap whose fittings have no points: not to scale, but from end to end, plumb pipes plumb, and other pipes
// as long as they are if there is a hose to take up the rest. It fills Sketch only; nothing is measured on it.
func (t *tracer) sketch(g *gap) {
	a, b := t.marks[g.a].at, t.marks[g.b].at
	rest := b.minus(a)
	var hose, pipe unit.Metre
	for k := g.a; k < g.b; k++ {
		s := t.spans[k]
		if s == nothing {
			continue
		}
		if dz, plumb := t.climb(s); plumb {
			rest.Height -= dz
		} else if t.pieces[s].What == shop.Hose {
			hose += weight(&t.out[s])
		} else {
			pipe += weight(&t.out[s])
		}
	}
	step := func(s int) Vec3 {
		if dz, plumb := t.climb(s); plumb {
			return Vec3{Height: dz}
		}
		w := float64(weight(&t.out[s]))
		if hose == 0 {
			return rest.times(w / float64(pipe))
		}
		rigid, level := Vec3{}, rest.level()
		if long := level.length(); long > hair {
			rigid = level.times(min(1, float64(pipe/long)))
		}
		if t.pieces[s].What == shop.Hose {
			return rest.minus(rigid).times(w / float64(hose))
		}
		return rigid.times(w / float64(pipe))
	}
	at := a
	for k := g.a; k < g.b; k++ {
		s := t.spans[k]
		if s == nothing {
			continue
		}
		from := at
		if at = at.plus(step(s)); k+1 == g.b {
			at = b
		}
		t.out[s].Sketch = []Vec3{from, at}
		if m := t.marks[k+1]; k+1 < g.b && m.piece >= 0 {
			t.out[m.piece].Sketch = []Vec3{at}
		}
	}
}

// weight is a length to share by; an unknown one counts as a metre.
func weight(p *PieceLayout) unit.Metre {
	if p.Length.Best > hair {
		return p.Length.Best
	}
	return 1
}

// pointAlong is the point of a line at a distance from its start.
func pointAlong(line []Vec3, at unit.Metre) Vec3 {
	for i := 1; i < len(line); i++ {
		d := Distance(line[i-1], line[i])
		if at <= d && d > 0 {
			return line[i-1].towards(line[i], float64(max(0, at)/d))
		}
		at -= d
	}
	return line[len(line)-1]
}

// cutLine is the part of a line between two distances from its start.
func cutLine(line []Vec3, from, to unit.Metre) []Vec3 {
	const eps = 1e-9
	out := make([]Vec3, 1, len(line)+1)
	out[0] = pointAlong(line, from)
	var at unit.Metre
	for i := 1; i < len(line)-1; i++ {
		at += Distance(line[i-1], line[i])
		if at > from+eps && at < to-eps {
			out = append(out, line[i])
		}
	}
	return append(out, pointAlong(line, to))
}

// turnAngles measures the elbows that are drawn, or whose angle nobody gave, and holds written ones against the plan.
func (t *tracer) turnAngles() {
	for k := range t.marks {
		if p := t.marks[k].piece; p >= 0 && t.pieces[p].What == shop.Elbow {
			t.turnAngle(k, p)
		}
	}
	for k := range t.marks {
		if p := t.marks[k].piece; p >= 0 && t.pieces[p].What == shop.Wye {
			t.out[p].wayOn, _ = t.wayFrom(k)
		}
	}
	t.row.lastWay, _ = t.wayTo(len(t.marks) - 1)
}

func (t *tracer) turnAngle(k, p int) {
	src, out := &t.pieces[p], &t.out[p]
	in, bentIn := t.wayTo(k)
	on, bentOn := t.wayFrom(k)
	drawn, ok := AngleBetween(in, on)
	sure := ok && !bentIn && !bentOn
	switch {
	case src.Elbow.Basis == unit.Drawn && ok:
		out.Turn = measuredTurn(drawn)
	case src.Elbow.Basis == unit.Drawn:
		which := "on from"
		if in == (Vec3{}) {
			which = "into"
		}
		t.find(TurnUnclear, out.Path, shop.Word("piece", label(out)), shop.Word("which", which))
	case src.Elbow.Basis != unit.Given && sure && drawn > fiveDg:
		out.Turn = measuredTurn(drawn)
	default:
		out.Turn = src.Elbow
		d := math.Abs(float64(drawn - src.Elbow.Best))
		if src.Elbow.Basis == unit.Given && sure && d > tenDeg && d > tenth*math.Abs(float64(src.Elbow.Best)) {
			t.find(TurnDiffers, out.Path, shop.Word("piece", label(out)), shop.Number("written", src.Elbow.Best), shop.Number("drawn", drawn))
		}
	}
}

// wayTo is the way the air takes into mark k; zero where the plan does not show it. bent: along a hose, whose end may
// point anywhere.
func (t *tracer) wayTo(k int) (way Vec3, bent bool) {
	for j := k; j > 0; j-- {
		if j < k && t.marks[j].piece >= 0 && t.mayTurn(t.marks[j].piece) {
			return Vec3{}, false
		}
		if dz, ok := t.climb(t.spans[j-1]); ok {
			return Vec3{Height: dz}, false
		}
		if g := t.gapWith(j - 1); g != nil && g.turns == 0 && g.straight >= hair {
			return g.in, t.anyHose(g)
		} else if g == nil || g.turns > 0 {
			return Vec3{}, false
		}
	}
	return t.away, false
}

// wayFrom is the way the air takes on from mark k.
func (t *tracer) wayFrom(k int) (way Vec3, bent bool) {
	for j := k; j+1 < len(t.marks); j++ {
		if j > k && t.marks[j].piece >= 0 && t.mayTurn(t.marks[j].piece) {
			return Vec3{}, false
		}
		if dz, ok := t.climb(t.spans[j]); ok {
			return Vec3{Height: dz}, false
		}
		if g := t.gapWith(j); g != nil && g.turns == 0 && g.straight >= hair {
			return g.out, t.anyHose(g)
		} else if g == nil || g.turns > 0 {
			return Vec3{}, false
		}
	}
	return Vec3{}, false
}

// gapWith is the gap span k lies in.
func (t *tracer) gapWith(k int) *gap {
	for i := range t.gaps {
		if g := &t.gaps[i]; g.a <= k && k < g.b {
			return g
		}
	}
	return nil
}

func (t *tracer) anyHose(g *gap) bool {
	for k := g.a; k < g.b; k++ {
		if s := t.spans[k]; s != nothing && t.pieces[s].What == shop.Hose {
			return true
		}
	}
	return false
}
