package plan

import (
	"math"

	"winnow/internal/shop"
	"winnow/internal/unit"
)

// slack a tape measure leaves: what stands nearer than an inch is not said to be in the way.
const inch unit.Metre = 0.0254

func said[T unit.Real](a unit.Amount[T]) bool {
	return a.Basis != unit.Unsaid && a.Basis != unit.Absent
}

func placed(p shop.Point) bool { return p.Basis != unit.Unsaid && p.Basis != unit.Absent }

func floor(p shop.Point) Vec3 { return Vec3{East: p.East, North: p.North} }

func polygon(corners []shop.Point) Polygon {
	if len(corners) < 3 {
		return nil
	}
	p := make(Polygon, len(corners))
	for i, c := range corners {
		p[i] = floor(c)
	}
	return p
}

func (b *builder) room() {
	r, out := &b.s.Room, &b.l.Room
	out.Height = r.Height
	switch f := r.Footprint; {
	case len(r.Corners) >= 3:
		out.Corners = polygon(r.Corners)
	case f.Basis == unit.Given:
		out.Corners = Polygon{{}, {East: f.Width}, {East: f.Width, North: f.Depth}, {North: f.Depth}}
	default: // a usual room has an area, but nobody knows where its walls are
		out.Area = unit.M2(f.Width * f.Depth)
	}
	switch {
	case out.Corners.CrossesItself():
		b.find(RoomCrossesItself, "room/corners")
		b.badRoom = true
	case out.Corners != nil:
		out.Area = out.Corners.Area()
	}
	for i := range r.Doors {
		b.door(&r.Doors[i])
	}
	out.Walls = wallsBeside(out.Corners, out.Doors)
	b.l.Box.add(out.Corners...)
}

func (b *builder) door(d *shop.Door) {
	if !placed(d.From) || !placed(d.To) {
		return
	}
	room := b.l.Room.Corners
	out := DoorLayout{Name: d.Name, Path: shop.Path("room/doors").Join(d.Name), Hinge: floor(d.From), Latch: floor(d.To), Opens: d.Opens}
	out.Swing = swing(room, out.Hinge, out.Latch, d.Opens)
	b.l.Room.Doors = append(b.l.Room.Doors, out)
	if room == nil {
		return
	}
	if gap := offWall(room, out.Hinge, out.Latch); gap > 3*inch {
		b.find(DoorOffWall, out.Path, shop.Word("door", d.Name), shop.Number("gap", gap))
	}
}

// offWall is how far the two ends of a door are from the wall that suits both best.
func offWall(room Polygon, hinge, latch Vec3) unit.Metre {
	best := unit.Metre(math.Inf(1))
	room.edges(func(a, c Vec3) bool {
		best = min(best, max(toSegment(hinge, a, c), toSegment(latch, a, c)))
		return true
	})
	return best
}

// swing is the quarter circle of the leaf. Without a room, `in` is to the left of the way from hinge to latch.
func swing(room Polygon, hinge, latch Vec3, opens string) Polygon {
	if opens != "in" && opens != "out" || Distance(hinge, latch) < hair {
		return nil
	}
	leaf := latch.minus(hinge)
	side := leaf.across()
	inside := hinge.towards(latch, 0.5).plus(side.times(0.05))
	if room != nil && !room.Contains(inside) {
		side = side.times(-1)
	}
	if opens == "out" {
		side = side.times(-1)
	}
	const steps = 12
	out := make(Polygon, 0, steps+2)
	out = append(out, hinge)
	for i := 0; i <= steps; i++ {
		sin, cos := math.Sincos(math.Pi / 2 * float64(i) / steps)
		out = append(out, hinge.plus(leaf.times(cos)).plus(side.times(sin)))
	}
	return out
}

// wallsBeside are the edges of the room without the doors in them.
func wallsBeside(room Polygon, doors []DoorLayout) []Wall {
	var walls []Wall
	room.edges(func(a, c Vec3) bool {
		walls = append(walls, edgeBeside(a, c, doors)...)
		return true
	})
	return walls
}

func edgeBeside(a, c Vec3, doors []DoorLayout) []Wall {
	long := float64(Distance(a, c))
	if long == 0 {
		return nil
	}
	var holes [][2]float64
	for _, d := range doors {
		if max(toSegment(d.Hinge, a, c), toSegment(d.Latch, a, c)) > 6*inch {
			continue
		}
		f, g := Distance(a, nearest(d.Hinge, a, c)), Distance(a, nearest(d.Latch, a, c))
		holes = append(holes, [2]float64{float64(min(f, g)) / long, float64(max(f, g)) / long})
	}
	var out []Wall
	at := 0.0
	for len(holes) > 0 { // the next hole along the wall; there are few
		k := 0
		for i := range holes {
			if holes[i][0] < holes[k][0] {
				k = i
			}
		}
		if holes[k][0] > at+1e-9 {
			out = append(out, Wall{a.towards(c, at), a.towards(c, holes[k][0])})
		}
		at = max(at, holes[k][1])
		holes = append(holes[:k], holes[k+1:]...)
	}
	if at < 1-1e-9 {
		out = append(out, Wall{a.towards(c, at), c})
	}
	return out
}

func (b *builder) obstacles() {
	r := &b.s.Room
	for i := range r.Obstacles {
		b.obstacle(&r.Obstacles[i], shop.Path("room/obstacles"), false)
	}
	if b.arr != nil {
		base := shop.Path("arrangements").Join(b.arr.Name, "also there")
		for i := range b.arr.AlsoThere {
			b.obstacle(&b.arr.AlsoThere[i], base, true)
		}
	}
	for i := range r.Walkways {
		w := &r.Walkways[i]
		out := WalkwayLayout{w.Name, shop.Path("room/walkways").Join(w.Name), polygon(w.Corners)}
		b.l.Walkways = append(b.l.Walkways, out)
		b.l.Box.add(out.Corners...)
	}
}

func (b *builder) obstacle(o *shop.Obstacle, base shop.Path, also bool) {
	out := ObstacleLayout{Name: o.Name, Path: base.Join(o.Name), Corners: polygon(o.Corners), Height: o.Height, Also: also}
	if f := o.Footprint; out.Corners == nil && placed(o.At) && f.Width > 0 && f.Depth > 0 {
		out.Corners = Rectangle(floor(o.At), f.Width, f.Depth, o.Facing.Best)
	}
	b.l.Obstacles = append(b.l.Obstacles, out)
	b.l.Box.add(out.Corners...)
}

func (b *builder) outlets() {
	for i := range b.s.Circuits {
		c := &b.s.Circuits[i]
		for k := range c.Outlets {
			o := &c.Outlets[k]
			out := OutletLayout{
				Name: o.Name, Circuit: c.Name, Path: shop.Path("circuits").Join(c.Name, "outlets", o.Name),
				At: floor(o.At), Placed: placed(o.At), HeightKnown: o.At.Height.Basis == unit.Given,
			}
			out.At.Height = o.At.Height.Best
			b.l.Outlets = append(b.l.Outlets, out)
			if out.Placed {
				b.l.Box.add(out.At)
			}
		}
	}
}

func (b *builder) spots() {
	add := func(what string, name shop.ID, base shop.Path, at shop.Point) {
		if !placed(at) {
			return
		}
		s := Spot{What: what, Name: name, Path: base.Join(name), At: floor(at)}
		s.At.Height = at.Height.Best
		b.l.Spots = append(b.l.Spots, s)
		b.l.Box.add(s.At)
	}
	for i := range b.s.Room.Flames.Value {
		f := &b.s.Room.Flames.Value[i]
		add("flame", f.Name, "room/flames", f.At)
	}
	for i := range b.s.Sensors {
		add("sensor", b.s.Sensors[i].Name, "sensors", b.s.Sensors[i].At)
	}
}
