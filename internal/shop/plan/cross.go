package plan

import (
	"slices"

	"winnow/internal/shop"
	"winnow/internal/unit"
)

const (
	headroom   unit.Metre = 2.0 // what hangs higher than this over a walkway trips nobody and hits no head (our judgement)
	machineTop unit.Metre = 1.2 // what passes higher than this passes over a machine (our judgement)
)

func boxOf(line []Vec3) Box {
	var b Box
	b.add(line...)
	return b
}

func (b Box) apart(c Box) bool {
	return b.High.East < c.Low.East || c.High.East < b.Low.East || b.High.North < c.Low.North || c.High.North < b.Low.North
}

// through is where a line first comes into an area, lower than top, and where it leaves it for the last time.
func through(line []Vec3, box Box, area Polygon, top unit.Metre) (in, out Vec3, ok bool) {
	if len(area) < 3 || box.Low.Height >= top || box.apart(boxOf(area)) {
		return in, out, false
	}
	areaBox := boxOf(area)
	for i := 1; i < len(line); i++ {
		p, q := line[i-1], line[i]
		if boxOf(line[i-1 : i+1]).apart(areaBox) {
			continue
		}
		f, g, crosses := area.Entry(p, q)
		if !crosses {
			continue
		}
		from, to := p.towards(q, f), p.towards(q, g)
		if min(from.Height, to.Height) >= top-hair {
			continue
		}
		if !ok {
			in, ok = from, true
		}
		out = to
	}
	return in, out, ok
}

func (b *builder) low(line []Vec3, box Box, area Polygon, top unit.Metre) bool {
	_, _, ok := through(line, box, area, top)
	return ok
}

// cross lists all that a line crosses. What it starts or ends in is not in its way: a hose begins on the bench its
// machine stands on.
func (b *builder) cross(line []Vec3) []Crossing {
	if len(line) < 2 {
		return nil
	}
	var out []Crossing
	box := boxOf(line)
	first, last := line[0], line[len(line)-1]
	add := func(kind CrossingKind, name shop.ID, path shop.Path, area Polygon, top unit.Metre) {
		if in, leave, ok := through(line, box, area, top); ok {
			out = append(out, Crossing{What: kind, Name: name, Path: path, At: in, Out: leave})
		}
	}
	for i := range b.l.Walkways {
		w := &b.l.Walkways[i]
		add(CrossesWalkway, w.Name, w.Path, w.Corners, headroom)
	}
	for i := range b.l.Obstacles {
		o := &b.l.Obstacles[i]
		if said(o.Height) && !o.Corners.Contains(first) && !o.Corners.Contains(last) {
			add(CrossesObstacle, o.Name, o.Path, o.Corners, o.Height.Best)
		}
	}
	for i := range b.l.Machines {
		m := &b.l.Machines[i]
		if m.Placed && !m.Away && !touches(m.Footprint, first) && !touches(m.Footprint, last) {
			add(CrossesMachine, m.Name, m.Path, m.Footprint, machineTop)
		}
	}
	for i := range b.l.Systems {
		y := &b.l.Systems[i]
		if y.Placed && !touches(y.Footprint, first) && !touches(y.Footprint, last) {
			add(CrossesMachine, y.Name, y.Path, y.Footprint, machineTop)
		}
	}
	return b.crossWalls(out, line)
}

// touches: the point lies in the area or on its edge.
func touches(area Polygon, p Vec3) bool {
	return len(area) > 2 && !boxOf(area).apart(Box{p, p, true}) && (area.Contains(p) || area.Gap(p) < hair)
}

// crossAnyhow lists what a line with slack crosses however it is laid: what the straight way between its ends crosses too.
// Which way a hose bows is only our drawing.
func (b *builder) crossAnyhow(line []Vec3) []Crossing {
	all := b.cross(line)
	if len(all) == 0 || len(line) == 2 {
		return all
	}
	sure := b.cross([]Vec3{line[0], line[len(line)-1]})
	out := all[:0]
	for _, c := range all {
		for _, s := range sure {
			if c.What == s.What && c.Path == s.Path {
				out = append(out, c)
				break
			}
		}
	}
	return out
}

// crossWalls adds the walls and doors a line goes through.
func (b *builder) crossWalls(out []Crossing, line []Vec3) []Crossing {
	room := b.l.Room.Corners
	for i := 1; i < len(line); i++ {
		room.edges(func(c, d Vec3) bool {
			f, ok := cut(line[i-1], line[i], c, d)
			if !ok {
				return true
			}
			at := line[i-1].towards(line[i], f)
			cr := Crossing{What: CrossesWall, Path: "room", At: at, Out: at}
			for k := range b.l.Room.Doors {
				if door := &b.l.Room.Doors[k]; toSegment(at, door.Hinge, door.Latch) < inch {
					cr.What, cr.Name, cr.Path = CrossesDoor, door.Name, door.Path
				}
			}
			out = append(out, cr)
			return true
		})
	}
	return out
}

// crossings fills in what each line crosses, and says so.
func (b *builder) crossings() {
	for i := range b.l.Pieces {
		p := &b.l.Pieces[i]
		b.l.Box.add(p.Line...)
		if p.Crosses = b.crossing(p); p.Crosses == nil {
			continue
		}
		if r := b.l.Run(p.System, p.Run); (r.Away || r.Carried) && b.inFirstStretch(p) {
			continue // a carried hose is spoken of once for each machine it goes to, and not where there is none
		}
		b.say(p.Crosses, p.Path, func() string { return label(p) })
	}
	for i := range b.l.Lays {
		lay := &b.l.Lays[i]
		if lay.Now && lay.Carried {
			b.say(lay.Crosses, shop.RunPath(lay.System, lay.Run), func() string { return "The hose " + lay.Run + ", carried to " + lay.Port.Machine + "," })
		}
	}
	for i := range b.l.Cords {
		c := &b.l.Cords[i]
		b.say(overBench(c.Crosses), c.Path.Join("plug"), func() string { return "The cord of " + c.Of })
	}
	b.aboveCeiling()
}

// overBench leaves out obstacles: a cord goes over or under what a pipe cannot, and mostly does.
func overBench(crosses []Crossing) []Crossing {
	var out []Crossing
	for _, c := range crosses {
		if c.What != CrossesObstacle {
			out = append(out, c)
		}
	}
	return out
}

func (b *builder) inFirstStretch(p *PieceLayout) bool {
	return p.Index < firstStretch(b.s.System(p.System).Run(p.Run))
}

func (b *builder) crossing(p *PieceLayout) []Crossing {
	if p.What == shop.Hose {
		return b.crossAnyhow(p.Line)
	}
	return b.cross(p.Line)
}

func (b *builder) say(crosses []Crossing, where shop.Path, name func() string) {
	for i, c := range crosses {
		if said := func(d Crossing) bool { return d.What == c.What && d.Path == c.Path }; slices.ContainsFunc(crosses[:i], said) {
			continue // once is enough
		}
		switch c.What {
		case CrossesWalkway:
			b.find(AcrossWalkway, where, shop.Word("thing", name()), shop.Word("walkway", c.Name))
		case CrossesObstacle:
			b.find(ThroughObstacle, where, shop.Word("thing", name()), shop.Word("obstacle", c.Name))
		case CrossesWall:
			b.find(ThroughWall, where, shop.Word("thing", name()), shop.Word("wall", "a wall"))
		case CrossesDoor:
			b.find(ThroughWall, where, shop.Word("thing", name()), shop.Word("wall", "the door "+c.Name))
		}
	}
}

// aboveCeiling speaks once a run, of its highest piece.
func (b *builder) aboveCeiling() {
	top := b.l.Room.Height
	if top.Basis != unit.Given {
		return
	}
	for i := range b.l.Runs {
		r := &b.l.Runs[i]
		worst, by := -1, inch
		for k := r.First; k < r.First+r.Count; k++ {
			p := &b.l.Pieces[k]
			high := p.At.Height
			for _, q := range p.Line {
				high = max(high, q.Height)
			}
			if (p.Placed || p.Line != nil) && high-top.Best > by {
				worst, by = k, high-top.Best
			}
		}
		if worst >= 0 {
			p := &b.l.Pieces[worst]
			b.find(AboveCeiling, p.Path, shop.Word("piece", label(p)), shop.Number("by", by))
		}
	}
}
