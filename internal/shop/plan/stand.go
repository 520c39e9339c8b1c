package plan

import (
	"winnow/internal/shop"
	"winnow/internal/unit"
)

// bench is how high a thing may be that machines are meant to stand on.
const bench unit.Metre = 1.2 // our judgement: a high workbench is 42 in

func (b *builder) machines() {
	b.l.Machines = make([]MachineLayout, 0, len(b.s.Machines))
	for i := range b.s.Machines {
		m := &b.s.Machines[i]
		place, away := b.placeOf(m)
		out := standAt(m, place)
		out.Away = away
		b.l.Machines = append(b.l.Machines, out)
		if out.Placed && !away {
			b.l.Box.add(out.At)
			b.l.Box.add(out.Footprint...)
		}
	}
}

// placeOf is where the arrangement puts a machine: not named, it stays at its first place. Nil: it has none.
func (b *builder) placeOf(m *shop.Machine) (place *shop.Place, away bool) {
	if len(m.Places) > 0 {
		place = &m.Places[0]
	}
	if b.arr == nil {
		return place, false
	}
	for _, st := range b.arr.Stand {
		if st.Machine != m.Name {
			continue
		}
		if st.Place == "away" {
			return place, true
		}
		for i := range m.Places {
			if m.Places[i].Name == st.Place {
				return &m.Places[i], false
			}
		}
		b.find(NoSuchPlace, shop.Path("arrangements").Join(b.arr.Name, m.Name), shop.Word("machine", m.Name), shop.Word("place", st.Place))
	}
	return place, false
}

// standAt lays a machine out at one of its places.
func standAt(m *shop.Machine, place *shop.Place) MachineLayout {
	out := MachineLayout{Name: m.Name, Path: shop.MachinePath(m.Name)}
	out.Ports = make([]PortLayout, len(m.Ports.Value))
	for i := range m.Ports.Value {
		p := &m.Ports.Value[i]
		out.Ports[i] = PortLayout{Name: p.Name, Path: shop.PortRef{Machine: m.Name, Port: p.Name}.Path()}
	}
	if place == nil || !placed(place.At) {
		return out
	}
	out.Placed, out.Place, out.At = true, place.Name, floor(place.At)
	out.At.Height = place.At.Height.Best
	out.Facing = facing(m, place)
	w, d := m.Footprint.Width, m.Footprint.Depth
	if w > 0 && d > 0 {
		out.Footprint = Rectangle(out.At, w, d, out.Facing)
		out.Infeed = feed(out.At, w, d, out.Facing, m.Infeed, +1)
		out.Outfeed = feed(out.At, w, d, out.Facing, m.Outfeed, -1)
	}
	for i := range out.Ports {
		out.Ports[i].stand(&m.Ports.Value[i], &out, w, d)
	}
	return out
}

// facing at a place: written there, else written on the machine, else whatever was filled in.
func facing(m *shop.Machine, place *shop.Place) unit.Radian {
	if said(m.Facing) && place.Facing.Basis != unit.Given {
		return m.Facing.Best
	}
	return place.Facing.Best
}

// feed is the free floor before (+1) or behind (-1) a machine, as wide as it is.
func feed(at Vec3, w, d unit.Metre, facing unit.Radian, long unit.Amount[unit.Metre], side unit.Metre) Polygon {
	if !said(long) || long.Best <= 0 {
		return nil
	}
	middle := at.plus(bearing(facing).times(float64(side * (d + long.Best) / 2)))
	return Rectangle(middle, w, long.Best, facing)
}

func (out *PortLayout) stand(p *shop.Port, m *MachineLayout, w, d unit.Metre) {
	out.Placed = true
	f := frameOf(m.At, w, d, m.Facing)
	out.At, out.SideKnown = f.side(p.Side)
	if placed(p.At) { // the port's own point wins
		out.At, out.SideKnown = floor(p.At), true
	}
	if !out.SideKnown {
		out.slop = (w + d) / 4 // mean of half the width and half the depth
	}
	out.away = outward(p.Side, m.Facing)
	switch {
	case placed(p.At) && p.At.Height.Basis == unit.Given:
		out.At.Height = p.At.Height.Best
	case said(p.Height):
		out.At.Height, out.HeightAssumed = p.Height.Best, p.Height.Basis != unit.Given
	default:
		out.noHeight, out.HeightAssumed = true, true
	}
}

// outward is the way the air leaves a port by its side; zero where the side is not known.
func outward(side string, facing unit.Radian) Vec3 {
	ahead := bearing(facing)
	switch side {
	case "front":
		return ahead
	case "back":
		return ahead.times(-1)
	case "right":
		return ahead.across()
	case "left":
		return ahead.across().times(-1)
	case "top":
		return Vec3{Height: 1}
	case "bottom":
		return Vec3{Height: -1}
	}
	return Vec3{}
}

func (b *builder) systems() {
	b.l.Systems = make([]SystemLayout, 0, len(b.s.Systems))
	for i := range b.s.Systems {
		y := &b.s.Systems[i]
		out := SystemLayout{Name: y.Name, Path: shop.SystemPath(y.Name), Facing: y.Facing.Best}
		if placed(y.At) {
			w, d := y.Footprint.Width, y.Footprint.Depth
			out.Placed, out.At = true, floor(y.At)
			out.Inlet = out.At
			if out.noHeight = y.At.Height.Basis != unit.Given; !out.noHeight { // the usual height of a thing is the floor it stands on
				out.Inlet.Height = y.At.Height.Best
			}
			if said(y.Height) {
				out.tall = y.Height.Best
			}
			if w > 0 && d > 0 {
				out.Footprint = Rectangle(out.At, w, d, out.Facing)
				out.slop = (w + d) / 4
			}
			b.l.Box.add(out.At)
			b.l.Box.add(out.Footprint...)
		}
		b.l.Systems = append(b.l.Systems, out)
	}
	for i := range b.s.AirCleaners {
		c := &b.s.AirCleaners[i]
		out := CleanerLayout{Name: c.Name, Path: shop.CleanerPath(c.Name), Placed: placed(c.At), At: floor(c.At)}
		out.At.Height = c.At.Height.Best
		if f := c.Footprint; out.Placed && f.Width > 0 && f.Depth > 0 {
			out.Footprint = Rectangle(out.At, f.Width, f.Depth, 0)
		}
		if out.Placed {
			b.l.Box.add(out.At)
			b.l.Box.add(out.Footprint...)
		}
		b.l.Cleaners = append(b.l.Cleaners, out)
	}
}

// thing is whatever stands on the floor and takes room.
type thing struct {
	name   shop.ID
	path   shop.Path
	at     Vec3
	area   Polygon
	wheels bool
	usual  bool // the footprint is the usual one of its kind
}

// leeway is how far two things may stand into each other before that is said: usual footprints are half a foot off.
func leeway(a, b bool) unit.Metre {
	if a || b {
		return 6 * inch
	}
	return inch
}

func (b *builder) things() []thing {
	out := make([]thing, 0, len(b.l.Machines)+len(b.l.Systems))
	for i := range b.l.Machines {
		if m := &b.l.Machines[i]; m.Placed && !m.Away {
			out = append(out, thing{m.Name, m.Path, m.At, m.Footprint, b.s.Machines[i].Wheels, b.s.Machines[i].Footprint.Basis != unit.Given})
		}
	}
	for i := range b.l.Systems {
		if y := &b.l.Systems[i]; y.Placed {
			out = append(out, thing{y.Name, y.Path, y.At, y.Footprint, b.s.Systems[i].Wheels, b.s.Systems[i].Footprint.Basis != unit.Given})
		}
	}
	return out
}

// standing says what stands outside, in each other, or in the way of a door or of long boards.
func (b *builder) standing() {
	things := b.things()
	for i := range things {
		t := &things[i]
		if by := b.beyond(t); by > leeway(t.usual, false) {
			b.find(OutsideRoom, t.path, shop.Word("thing", t.name), shop.Number("by", by))
		}
		for k := range things[:i] {
			if by := Overlap(t.area, things[k].area); by > leeway(t.usual, things[k].usual) {
				b.find(StandInEachOther, t.path, shop.Word("thing", things[k].name), shop.Word("other", t.name), shop.Number("by", by))
			}
		}
		for k := range b.l.Obstacles {
			o := &b.l.Obstacles[k]
			if by := Overlap(t.area, o.Corners); by > leeway(t.usual, false) && !standsOn(t.at, o) && Meets(t.area, o.Corners) {
				b.find(StandInEachOther, t.path, shop.Word("thing", t.name), shop.Word("other", o.Name), shop.Number("by", by))
			}
		}
		for k := range b.l.Room.Doors {
			if d := &b.l.Room.Doors[k]; Overlap(t.area, d.Swing) > leeway(t.usual, false) && Meets(t.area, d.Swing) {
				b.find(DoorBlocked, t.path, shop.Word("thing", t.name), shop.Word("door", d.Name))
			}
		}
	}
	b.feeds(things)
}

// standsOn: what has its middle over a bench stands on it.
func standsOn(at Vec3, o *ObstacleLayout) bool {
	return (!said(o.Height) || o.Height.Best <= bench) && o.Corners.Contains(at)
}

// beyond is how far a thing reaches out of the room, or a corner of the room into the thing.
func (b *builder) beyond(t *thing) unit.Metre {
	room := b.l.Room.Corners
	if len(room) < 3 || b.badRoom {
		return 0
	}
	var by unit.Metre
	corners := t.area
	if len(corners) == 0 {
		corners = Polygon{t.at}
	}
	for _, c := range corners {
		if !room.Contains(c) {
			by = max(by, room.Gap(c))
		}
	}
	for _, c := range room {
		if len(t.area) > 2 && t.area.Contains(c) {
			by = max(by, t.area.Gap(c))
		}
	}
	return by
}

// feeds looks only at lengths the owner wrote: a typical one would warn of a wall in every small shop.
func (b *builder) feeds(things []thing) {
	for i := range b.l.Machines {
		m, src := &b.l.Machines[i], &b.s.Machines[i]
		if m.Away {
			continue
		}
		if src.Infeed.Basis == unit.Given {
			b.feed(m, m.Infeed, "infeed", src.Infeed.Best, things)
		}
		if src.Outfeed.Basis == unit.Given {
			b.feed(m, m.Outfeed, "outfeed", src.Outfeed.Best, things)
		}
	}
}

func (b *builder) feed(m *MachineLayout, area Polygon, word string, long unit.Metre, things []thing) {
	if area == nil {
		return
	}
	in := func(name string) {
		b.find(FeedBlocked, m.Path.Join(word), shop.Word("machine", m.Name), shop.Word("feed", word), shop.Number("length", long), shop.Word("thing", name))
	}
	for k := range things {
		if t := &things[k]; t.name != m.Name && !t.wheels && Overlap(area, t.area) > inch {
			in(t.name)
		}
	}
	for k := range b.l.Obstacles {
		if o := &b.l.Obstacles[k]; Overlap(area, o.Corners) > inch && Meets(area, o.Corners) {
			in(o.Name)
		}
	}
	for _, w := range b.l.Room.Walls { // a door in the way is a way out
		if _, _, ok := area.Entry(w.From, w.To); ok {
			in("the wall")
			return
		}
	}
}
