package plan

import (
	"math"

	"winnow/internal/shop"
	"winnow/internal/unit"
)

// Lay is the way of the first stretch of a run from one machine at one of its places: what a hose must reach.
type Lay struct {
	System  shop.ID      `json:"system"`
	Run     shop.ID      `json:"run"`
	Port    shop.PortRef `json:"port"`
	Place   shop.ID      `json:"place"`
	Now     bool         `json:"now"`     // the machine stands there in this arrangement
	Carried bool         `json:"carried"` // the hose serves several machines
	Known   bool         `json:"known"`   // both ends have a place; else the rest is empty

	From Vec3      `json:"from"` // the port
	To   Vec3      `json:"to"`   // the next point of the run that has a place
	End  shop.Path `json:"end"`  // of the piece there; of the run where it is the run's end

	Straight unit.Metre              `json:"straight_m"`
	Doubt    unit.Metre              `json:"doubt_m"`  // the straight way may be this much off: a side is not known
	Hose     unit.Amount[unit.Metre] `json:"hose_m"`   // length of the hoses and pipes between
	Flexible bool                    `json:"flexible"` // there is a hose between
	Slack    unit.Metre              `json:"slack_m"`  // what they have over; negative is lack
	Line     []Vec3                  `json:"line"`
	Crosses  []Crossing              `json:"crosses"`
}

// Reaches reports whether the hose reaches, by best estimate: lacking no more than an inch.
func (l *Lay) Reaches() bool { return l.Known && l.Slack >= -inch }

// Reach is the way from a machine at one of its places to the next point of a run, whatever the arrangement. An empty
// place means the one of this arrangement. Unknown names give a Lay that is not Known.
func (l *Layout) Reach(system, run, machine, place shop.ID) Lay {
	y, r := l.find(system, run)
	if r == nil {
		return Lay{}
	}
	for _, ref := range r.From.Ports {
		if ref.Machine == machine {
			return l.again().lay(y, r, ref, place)
		}
	}
	return Lay{}
}

// ReachFrom is the way from any point to the next point of a run: which spots of the floor a hose would reach.
func (l *Layout) ReachFrom(system, run shop.ID, from Vec3) Lay {
	y, r := l.find(system, run)
	if r == nil {
		return Lay{}
	}
	lay := Lay{System: system, Run: run, Carried: len(r.From.Ports) > 1, From: from}
	l.again().toNext(&lay, y, r, false)
	return lay
}

// Crossings lists what a line of any making crosses; what it starts or ends in is not in its way.
func (l *Layout) Crossings(line []Vec3) []Crossing { return l.again().cross(line) }

// AlongWalls is the shortest way from a point square to a wall it sees, along the walls, and to a point near a wall. Nil
// and 0 where no room is drawn, or the second point hangs on no wall.
func (l *Layout) AlongWalls(from, to Vec3) ([]Vec3, unit.Metre) {
	return l.again().alongWalls(from, to)
}

func (l *Layout) find(system, run shop.ID) (*shop.System, *shop.Run) {
	y := l.shop.System(system)
	if y == nil {
		return nil, nil
	}
	return y, y.Run(run)
}

// again is the builder of a finished layout, for questions after the fact.
func (l *Layout) again() *builder {
	return &builder{s: l.shop, l: l, badRoom: l.Room.Corners.CrossesItself()}
}

// lays lists the ways of every run that starts at a machine which is carried to, or can be moved.
func (b *builder) lays() {
	for i := range b.s.Systems {
		y := &b.s.Systems[i]
		for k := range y.Runs {
			r := &y.Runs[k]
			for _, ref := range r.From.Ports {
				m := b.s.Machine(ref.Machine)
				if m == nil || len(r.From.Ports) == 1 && len(m.Places) < 2 {
					continue
				}
				for n := range m.Places {
					b.l.Lays = append(b.l.Lays, b.lay(y, r, ref, m.Places[n].Name))
				}
			}
			b.carriedLength(y, r)
		}
	}
	for i := range b.l.Lays {
		b.tooShort(&b.l.Lays[i])
	}
}

// tooShort speaks of the machines where they stand now; of other places only who asks is told.
func (b *builder) tooShort(lay *Lay) {
	if !lay.Now || !lay.Known || !lay.Carried || !lay.Flexible || lay.Hose.Basis != unit.Given || -lay.Slack <= inch+lay.Doubt {
		return
	}
	b.find(HoseTooShort, shop.RunPath(lay.System, lay.Run), shop.Word("run", lay.Run), shop.Word("machine", lay.Port.Machine),
		shop.Number("hose", lay.Hose.Best), shop.Number("straight", lay.Straight), shop.Number("lack", -lay.Slack))
}

// carriedLength: a drawn hose that is carried must reach all its machines, so the farthest one sets its length.
func (b *builder) carriedLength(y *shop.System, r *shop.Run) {
	if len(r.From.Ports) < 2 {
		return
	}
	var out *PieceLayout
	for i := range r.Pieces[:firstStretch(r)] {
		if p := b.l.Piece(y.Name, r.Name, i); p.What == shop.Hose && p.Length.Basis == unit.Drawn && r.Pieces[i].Hose.Basis == unit.Drawn {
			out = p
		}
	}
	if out == nil {
		return
	}
	mine := func(lay *Lay) bool { return lay.System == y.Name && lay.Run == r.Name && lay.Known }
	var more unit.Metre // what the farthest one needs beyond the one it was measured to
	for i := range b.l.Lays {
		if lay := &b.l.Lays[i]; mine(lay) && lay.Now {
			more = max(more, -lay.Slack)
		}
	}
	total := &b.l.Run(y.Name, r.Name).Length
	for _, a := range [2]*unit.Amount[unit.Metre]{&out.Length, total} {
		a.Best, a.Low, a.High = a.Best+more, a.Low+more, a.High+more
	}
	out.Slack += more
	for i := range b.l.Lays {
		if lay := &b.l.Lays[i]; mine(lay) {
			a := &lay.Hose
			a.Best, a.Low, a.High = a.Best+more, a.Low+more, a.High+more
			lay.Slack += more
			b.hangLay(lay, r)
		}
	}
}

// firstStretch is how many pieces come before the first fitting with a point of its own.
func firstStretch(r *shop.Run) int {
	for i := range r.Pieces {
		if p := &r.Pieces[i]; !extended(p.What) && placed(p.At) {
			return i
		}
	}
	return len(r.Pieces)
}

func (b *builder) lay(y *shop.System, r *shop.Run, ref shop.PortRef, place shop.ID) Lay {
	lay := Lay{System: y.Name, Run: r.Name, Port: ref, Place: place, Carried: len(r.From.Ports) > 1}
	now := b.l.Machine(ref.Machine)
	m := b.s.Machine(ref.Machine)
	if m == nil || now == nil {
		return lay
	}
	there := *now
	if place == "" {
		lay.Place = now.Place
	} else if at := placeNamed(m, place); at != nil {
		there = standAt(m, at)
	} else if place != now.Place {
		return lay
	}
	lay.Now = now.Placed && !now.Away && now.Place == lay.Place
	if !there.Placed {
		return lay
	}
	if p := there.port(ref.Port); p != nil {
		lay.From, lay.Doubt = p.At, p.slop
		b.toNext(&lay, y, r, p.noHeight)
	} else {
		lay.From = there.At
		b.toNext(&lay, y, r, true)
	}
	return lay
}

func placeNamed(m *shop.Machine, place shop.ID) *shop.Place {
	for i := range m.Places {
		if m.Places[i].Name == place {
			return &m.Places[i]
		}
	}
	return nil
}

// toNext finds the next point of the run that has a place of its own, adds up what lies before it, and lays the line.
func (b *builder) toNext(lay *Lay, y *shop.System, r *shop.Run, noHeight bool) {
	row := b.l.Run(y.Name, r.Name)
	pieces := b.l.Pieces[row.First : row.First+row.Count]
	lay.Hose.Basis = unit.Given
	var open bool
	for i := range pieces {
		p := &pieces[i]
		if !extended(p.What) {
			if placed(r.Pieces[i].At) && p.Placed {
				lay.To, lay.End, lay.Known = p.At, p.Path, true
				break
			}
			continue
		}
		lay.Flexible = lay.Flexible || p.What == shop.Hose
		open = open || p.Length.Basis == unit.Unsaid
		if p.Length.Basis != unit.Given {
			lay.Hose.Basis = p.Length.Basis
		}
		lay.Hose.Best, lay.Hose.Low, lay.Hose.High = lay.Hose.Best+p.Length.Best, lay.Hose.Low+p.Length.Low, lay.Hose.High+p.Length.High
	}
	if !lay.Known && row.ToOK {
		lay.To, lay.End, lay.Known = row.To, row.Path, true
	}
	if !lay.Known {
		return
	}
	if noHeight {
		lay.From.Height = lay.To.Height
	}
	lay.Straight = LineLength(b.layWay(lay, r))
	if open { // nobody could measure it: as long as this way
		lay.Hose = unit.Amount[unit.Metre]{Best: lay.Straight, Low: lay.Straight, High: lay.Straight, Basis: unit.Drawn}
	}
	lay.Slack = lay.Hose.Best - lay.Straight
	b.hangLay(lay, r)
}

// hangLay gives a lay its line.
func (b *builder) hangLay(lay *Lay, r *shop.Run) {
	if lay.Line = b.layWay(lay, r); lay.Slack > 0 && lay.Flexible {
		lay.Line = b.bowAlong(lay.Line, lay.Hose.Best)
	}
	lay.Crosses = b.crossAnyhow(lay.Line)
}

// layWay is the straight way, through the points of the hoses that have one.
func (b *builder) layWay(lay *Lay, r *shop.Run) []Vec3 {
	way := []Vec3{lay.From}
	for i := range r.Pieces {
		p := &r.Pieces[i]
		if !extended(p.What) {
			if placed(p.At) {
				break
			}
			continue
		}
		if placed(p.At) {
			q := floor(p.At)
			if q.Height = lay.From.Height; said(p.At.Height) {
				q.Height = p.At.Height.Best
			}
			way = append(way, q)
		}
	}
	return append(way, lay.To)
}

// CordLayout is a cord from a thing to its outlet.
type CordLayout struct {
	Of     shop.ID   `json:"of"`
	Path   shop.Path `json:"path"`
	Outlet shop.ID   `json:"outlet"`
	Place  shop.ID   `json:"place"`
	Known  bool      `json:"known"` // both ends have a place; else Straight, Walls and Slack are empty

	Cord      unit.Amount[unit.Metre] `json:"cord_m"` // with its extension
	Straight  unit.Metre              `json:"straight_m"`
	Walls     unit.Metre              `json:"walls_m"` // to a wall and along the walls; 0 where no room is drawn
	Doors     []shop.ID               `json:"doors"`   // thresholds that way passes
	Slack     unit.Metre              `json:"slack_m"` // over the straight way; negative is lack
	WallSlack unit.Metre              `json:"wall_slack_m"`
	SlackOK   bool                    `json:"slack_known"` // the length of the cord is known
	Line      []Vec3                  `json:"line"`
	WallLine  []Vec3                  `json:"wall_line"`
	Crosses   []Crossing              `json:"crosses"`
}

// cordHeight is where a cord leaves a machine, if its outlet's height matters.
const cordHeight unit.Metre = 0.3 // our judgement: a foot above the floor

func (b *builder) cords() {
	for i := range b.s.Machines {
		m, at := &b.s.Machines[i], &b.l.Machines[i]
		if m.Plug.Is() && !at.Away {
			b.l.Cords = append(b.l.Cords, b.cord(m.Name, at.Path, &m.Plug.Value, at.Placed, at.At, at.Footprint, at.Place, false))
		}
	}
	for i := range b.s.Systems {
		y, at := &b.s.Systems[i], &b.l.Systems[i]
		if y.Plug.Is() {
			b.l.Cords = append(b.l.Cords, b.cord(y.Name, at.Path, &y.Plug.Value, at.Placed, at.At, at.Footprint, "", false))
		}
	}
	for i := range b.s.AirCleaners {
		c, at := &b.s.AirCleaners[i], &b.l.Cleaners[i]
		if c.Plug.Is() {
			b.l.Cords = append(b.l.Cords, b.cord(c.Name, at.Path, &c.Plug.Value, at.Placed, at.At, at.Footprint, "", true))
		}
	}
	for i := range b.l.Cords {
		c := &b.l.Cords[i]
		sure := c.Straight // where the outlet's height is only the usual one, the floor way is sure
		if out := b.l.Outlet(c.Outlet); c.Known && !out.HeightKnown {
			sure = LineLength(flat(append([]Vec3(nil), c.Line...)))
		}
		if c.Known && c.Cord.Basis == unit.Given && sure-c.Cord.Best > inch {
			b.find(CordTooShort, c.Path.Join("plug"), shop.Word("thing", c.Of), shop.Word("outlet", c.Outlet),
				shop.Number("cord", c.Cord.Best), shop.Number("straight", sure))
		}
	}
}

// CordReach is the cord of a machine at one of its places, whatever the arrangement. An empty place means the one of
// this arrangement. False where the machine has no plug or no such place.
func (l *Layout) CordReach(machine, place shop.ID) (CordLayout, bool) {
	m, now := l.shop.Machine(machine), l.Machine(machine)
	if m == nil || now == nil || !m.Plug.Is() {
		return CordLayout{}, false
	}
	at := *now
	if place != "" && place != now.Place {
		p := placeNamed(m, place)
		if p == nil {
			return CordLayout{}, false
		}
		at = standAt(m, p)
	}
	return l.again().cord(m.Name, at.Path, &m.Plug.Value, at.Placed, at.At, at.Footprint, at.Place, false), true
}

// cord measures from the nearest point of the footprint: the cord's length is counted from where it leaves the machine.
func (b *builder) cord(of shop.ID, path shop.Path, plug *shop.Plug, ok bool, at Vec3, area Polygon, place shop.ID, hangs bool) CordLayout {
	c := CordLayout{Of: of, Path: path, Outlet: plug.Outlet, Place: place, Cord: plug.Cord}
	if e := plug.Extension; e.Is() && said(e.Value.Length) {
		a := e.Value.Length
		c.Cord.Best, c.Cord.Low, c.Cord.High = c.Cord.Best+a.Best, c.Cord.Low+a.Low, c.Cord.High+a.High
		if a.Basis != unit.Given || !said(c.Cord) {
			c.Cord.Basis = min(a.Basis, plug.Cord.Basis)
		}
	}
	out := b.l.Outlet(plug.Outlet)
	if !ok || out == nil || !out.Placed {
		return c
	}
	end := out.At
	start := at.level()
	if len(area) > 2 {
		start = area.Nearest(end)
	}
	switch {
	case end.Height == 0:
	case hangs && at.Height == 0: // a cleaner under the ceiling whose height nobody gave
		start.Height = end.Height
	case hangs:
		start.Height = at.Height
	default:
		start.Height = cordHeight
	}
	c.Known, c.Line, c.Straight = true, []Vec3{start, end}, Distance(start, end)
	c.WallLine, c.Walls = b.alongWalls(start, end)
	c.Doors = b.thresholds(c.WallLine)
	if c.SlackOK = said(c.Cord); c.SlackOK {
		c.Slack = c.Cord.Best - c.Straight
		if c.WallLine != nil {
			c.WallSlack = c.Cord.Best - c.Walls
		}
	}
	c.Crosses = b.cross(c.Line)
	return c
}

// alongWalls is the shortest way that goes from a point square to some wall it sees, along the walls, and to an outlet,
// with the height between the two ends added.
func (b *builder) alongWalls(from, to Vec3) ([]Vec3, unit.Metre) {
	room := b.l.Room.Corners
	if len(room) < 3 || b.badRoom {
		return nil, 0
	}
	best := unit.Metre(math.Inf(1))
	var line []Vec3
	around := room.Perimeter()
	endS, endAt := onOutline(room, to)
	if Distance(endAt, to.level()) > no2ft {
		return nil, 0 // an outlet in the middle of the room hangs on no wall
	}
	height := from.Height - to.Height
	if height < 0 {
		height = -height
	}
	var s unit.Metre
	for i := range room {
		c, d := room[i], room[(i+1)%len(room)]
		n := nearest(from, c, d)
		startS := s + Distance(c.level(), n)
		s += Distance(c.level(), d.level())
		if !b.sees(from, n) {
			continue
		}
		ahead := endS - startS
		if ahead < 0 {
			ahead += around
		}
		along := min(ahead, around-ahead)
		long := toSegment(from, c, d) + along + Distance(endAt, to.level()) + height
		if long < best-hair {
			best = long
			line = b.outline(from, n, endAt, to, startS, ahead, around)
		}
	}
	return line, best
}

// sees: no wall stands between two points; that the second lies on a wall does not count.
func (b *builder) sees(p, q Vec3) bool {
	clear := true
	b.l.Room.Corners.edges(func(c, d Vec3) bool {
		if _, hit := cut(p, q, c, d); hit {
			clear = false
		}
		return clear
	})
	return clear
}

// onOutline is the point of the outline nearest to q, and its distance along the outline from the first corner.
func onOutline(room Polygon, q Vec3) (unit.Metre, Vec3) {
	best, at := unit.Metre(math.Inf(1)), Vec3{}
	var s, bestS unit.Metre
	room.edges(func(c, d Vec3) bool {
		n := nearest(q, c, d)
		if gap := Distance(n, q.level()); gap < best {
			best, at, bestS = gap, n, s+Distance(c.level(), n)
		}
		s += Distance(c.level(), d.level())
		return true
	})
	return bestS, at
}

// outline is the line from, wall point, corners passed, wall point, to.
func (b *builder) outline(from, n, m, to Vec3, startS, ahead, around unit.Metre) []Vec3 {
	room := b.l.Room.Corners
	line := []Vec3{from, n}
	forward := ahead <= around-ahead
	long := ahead
	if !forward {
		long = around - ahead
	}
	type corner struct {
		at   Vec3
		past unit.Metre
	}
	var passed []corner
	var s unit.Metre
	for i := range room {
		past := s - startS
		if !forward {
			past = -past
		}
		if past < 0 {
			past += around
		}
		if past > hair && past < long-hair {
			passed = append(passed, corner{room[i].level(), past})
		}
		s += Distance(room[i].level(), room[(i+1)%len(room)].level())
	}
	for i := 1; i < len(passed); i++ {
		for j := i; j > 0 && passed[j].past < passed[j-1].past; j-- {
			passed[j], passed[j-1] = passed[j-1], passed[j]
		}
	}
	for _, p := range passed {
		line = append(line, p.at)
	}
	return distinct(append(line, m, to))
}

// distinct drops points that are the one before again, seen from above, and keeps the ends.
func distinct(line []Vec3) []Vec3 {
	out := line[:1]
	for i, p := range line[1:] {
		if last := i == len(line)-2; Distance(p.level(), out[len(out)-1].level()) > hair || last && p.Height != out[len(out)-1].Height {
			out = append(out, p)
		}
	}
	return out
}

// thresholds are the doors a line along the walls passes.
func (b *builder) thresholds(line []Vec3) []shop.ID {
	var out []shop.ID
	for k := range b.l.Room.Doors {
		d := &b.l.Room.Doors[k]
		middle := d.Hinge.towards(d.Latch, 0.5)
		for i := 1; i < len(line); i++ {
			if toSegment(middle, line[i-1], line[i]) < 6*inch {
				out = append(out, d.Name)
				break
			}
		}
	}
	return out
}
