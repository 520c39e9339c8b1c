package plan_test

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"winnow/internal/shop"
	"winnow/internal/shop/plan"
	"winnow/internal/unit"
)

// The carried hose of the worked example by hand, in feet, to the split at 4,2,4:
//
//	planer at 24,10, side not known, port 30 in high:    sqrt(20² + 8² + 1.5²)                          = 21.593
//	jointer at 21,5 facing east, left port 16 in high: 21, 2.5:  sqrt(17² + 0.5² + (4-4/3)²)            = 17.215
//	jointer at 22,14 facing north-east: left port at 22+1.768, 14-1.768: sqrt(19.768² + 10.232² + 2.667²) = 22.418
func TestReachByHand(t *testing.T) {
	l, _ := lay(t, boathouse())
	for _, c := range []struct {
		machine, place shop.ID
		straight       float64
		reaches        bool
	}{
		{"planer", "", math.Sqrt(400 + 64 + 2.25), false},
		{"jointer", "short boards", math.Sqrt(17*17 + 0.25 + 64.0/9), true},
		{"jointer", "", math.Sqrt(17*17 + 0.25 + 64.0/9), true},
		{"jointer", "long boards", 22.418, false},
	} {
		r := l.Reach("collector", "long hose", c.machine, c.place)
		if !r.Known || math.Abs(float64(r.Straight)/0.3048-c.straight) > 1e-3 || r.Reaches() != c.reaches {
			t.Errorf("%s %s: %.4f ft, want %.4f; reaches %v", c.machine, c.place, r.Straight/0.3048, c.straight, r.Reaches())
		}
		near(t, "hose", r.Hose.Best, ft(20))
		near(t, "slack", r.Slack, ft(20)-r.Straight)
		if long := plan.LineLength(r.Line); math.Abs(float64(long/max(ft(20), r.Straight)-1)) > 0.01 {
			t.Errorf("%s %s: line of %g ft", c.machine, c.place, long/0.3048)
		}
	}
	if r := l.Reach("collector", "long hose", "planer", ""); math.Abs(float64(r.Doubt-ft(1))) > 1e-12 { // (2 + 2) / 4
		t.Errorf("doubt %g ft, want 1", r.Doubt/0.3048)
	}
	for _, bad := range [][4]shop.ID{
		{"nope", "long hose", "planer", ""},
		{"collector", "nope", "planer", ""},
		{"collector", "long hose", "lathe", ""},
		{"collector", "long hose", "jointer", "nope"},
	} {
		if r := l.Reach(bad[0], bad[1], bad[2], bad[3]); r.Known {
			t.Errorf("%q reaches", bad)
		}
	}
	if n := len(l.Lays); n != 3 {
		t.Errorf("%d lays, want planer and two places of the jointer", n)
	}
}

// The walkway of the worked example is crossed only from the jointer's long-board place: at 22,14 it stands north of the
// strip from 12,15..30,10 to 16,18..30,14, the split south of it.
func TestTripMark(t *testing.T) {
	l, _ := lay(t, boathouse())
	trips := func(r plan.Lay) (out []plan.Crossing) {
		for _, c := range r.Crosses {
			if c.What == plan.CrossesWalkway {
				out = append(out, c)
			}
		}
		return out
	}
	got := trips(l.Reach("collector", "long hose", "jointer", "long boards"))
	if len(got) != 1 || got[0].Name != "to the water" {
		t.Fatalf("crossings %v", got)
	}
	// The port at 23.768,12.232 lies in the strip already: its south edge is at 15 - (E-12)·5/18. The way to 4,2 leaves
	// the strip where 12.232 - (23.768-E)·10.232/19.768 = 15 - (E-12)·5/18, that is at E = 23.14.
	const slopeHose, slopeEdge = 10.232 / 19.768, 5.0 / 18
	east := (15 + 12*slopeEdge - 12.232 + 23.768*slopeHose) / (slopeHose + slopeEdge)
	if math.Abs(float64(got[0].Out.East)/0.3048-east) > 1e-2 {
		t.Errorf("leaves at %.3f ft east, want %.3f", got[0].Out.East/0.3048, east)
	}
	if got := trips(l.Reach("collector", "long hose", "planer", "")); len(got) > 0 {
		t.Errorf("from the planer: %v", got)
	}
}

func TestCarriedDrawnHoseReachesAll(t *testing.T) {
	y := collector(at(0, 0, 1), from(run("main", 4, shop.Piece{What: shop.Hose, Hose: drawn[unit.Metre]()}), port("a"), port("b")))
	s := of(y)
	for _, m := range []struct {
		name shop.ID
		east float64
	}{{"a", 5}, {"b", 9}} {
		s.Machines = append(s.Machines, shop.Machine{Name: m.name, Places: []shop.Place{{At: at(m.east, 0)}}, Ports: ports(shop.Port{Side: "top", Height: given(ft(1))})})
	}
	l, codes := lay(t, s)
	none(t, codes)
	p := piece(t, l, mainPieces+"/hose 1")
	near(t, "as long as the farthest needs", p.Length.Best, ft(9))
	near(t, "run", l.Run("collector", "main").Length.Best, ft(9))
	near(t, "slack at the near one", l.Lays[0].Slack, ft(4))
	near(t, "slack at the far one", l.Lays[1].Slack, 0)

	// behind a gate at the port, and up to a tap a foot before the inlet
	s.Systems[0].Runs[0].Pieces = []shop.Piece{gate("g"), {What: shop.Hose, Hose: drawn[unit.Metre]()}, tap("T", 1, 0, 1), pipe(1)}
	l, codes = lay(t, s)
	none(t, codes)
	near(t, "behind a gate", piece(t, l, mainPieces+"/hose 1").Length.Best, ft(8))
	if end := l.Lays[1].End; end != mainPieces+"/tap T" {
		t.Errorf("it ends at %s", end)
	}
}

// The bow: right length, both ends, smooth, level to one side, and the other side is its mirror image.
func TestBow(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		draw := func(name string) unit.Metre { return unit.Metre(rapid.Float64Range(-5, 5).Draw(t, name)) }
		a := plan.Vec3{East: draw("e"), North: draw("n"), Height: draw("h")}
		b := plan.Vec3{East: draw("e"), North: draw("n"), Height: draw("h")}
		straight := plan.Distance(a, b)
		if straight < 1e-3 {
			t.Skip("both ends in one point: a loop, held at the end of this test")
		}
		long := straight * unit.Metre(rapid.Float64Range(0.5, 4).Draw(t, "ratio"))
		line := plan.Bow(a, b, long, +1)
		if line[0] != a || line[len(line)-1] != b {
			t.Fatalf("ends %v %v, want %v %v", line[0], line[len(line)-1], a, b)
		}
		if got, want := plan.LineLength(line), max(long, straight); math.Abs(float64(got-want)) > 1e-6*float64(want) {
			t.Fatalf("length %g, want %g", got, want)
		}
		mirror := plan.Bow(a, b, long, -1)
		for i, p := range line {
			f := float64(i) / float64(len(line)-1)
			q := mirror[i]
			mid := plan.Vec3{East: (p.East + q.East) / 2, North: (p.North + q.North) / 2, Height: (p.Height + q.Height) / 2}
			on := plan.Vec3{
				East: a.East + unit.Metre(f)*(b.East-a.East), North: a.North + unit.Metre(f)*(b.North-a.North), Height: a.Height + unit.Metre(f)*(b.Height-a.Height),
			}
			if plan.Distance(mid, on) > 1e-9 || math.Abs(float64(p.Height-on.Height)) > 1e-9 {
				t.Fatalf("point %d: %v and %v do not mirror about %v", i, p, q, on)
			}
		}
	})
	if n := len(plan.Bow(spot(0, 0), spot(10, 0), ft(12), 1)); n != 13 {
		t.Errorf("a fifth to spare is one bow of 12 steps, not %d points", n)
	}
	// smooth: no corner of the polyline turns by more than 40° for a hose with a fifth to spare
	line := plan.Bow(spot(0, 0), spot(10, 0), ft(12), 1)
	for i := 2; i < len(line); i++ {
		u := plan.Vec3{East: line[i-1].East - line[i-2].East, North: line[i-1].North - line[i-2].North}
		v := plan.Vec3{East: line[i].East - line[i-1].East, North: line[i].North - line[i-1].North}
		if a, ok := plan.AngleBetween(u, v); !ok || a > deg(20) {
			t.Errorf("corner %d turns by %g°", i, a*180/math.Pi)
		}
	}
	if up := line[6]; up.North <= 0 {
		t.Errorf("the left of the way east is north, not %v", up)
	}
	// ends that meet: a loop of the hose's length
	loop := plan.Bow(spot(1, 1), spot(1, 1), ft(6), 1)
	near(t, "loop", plan.LineLength(loop), ft(6))
}

// Where one side is less in the way the hose lies there: a hose along the south wall bows north.
func TestBowStaysInTheRoom(t *testing.T) {
	s := of(collector(at(9, 0.5, 1), run("main", 4, gate("g", 1, 0.5, 1), hose(10))))
	s.Room.Corners = corners(0, 0, 10, 0, 10, 10, 0, 10)
	l, codes := lay(t, s)
	none(t, codes)
	for _, p := range piece(t, l, mainPieces+"/hose 1").Line {
		if p.North < 0 {
			t.Fatalf("through the wall at %v", p)
		}
	}
	// the other way round its left is south: it must turn to the right
	s.Systems[0] = collector(at(1, 0.5, 1), run("main", 4, gate("g", 9, 0.5, 1), hose(10)))
	l, codes = lay(t, s)
	none(t, codes)
	for _, p := range piece(t, l, mainPieces+"/hose 1").Line {
		if p.North < 0 {
			t.Fatalf("through the wall at %v", p)
		}
	}
}

// Cords by hand. The machine is 2 x 2 ft at 5,5 in a room of 20 x 10.
//
//	straight: from the nearest edge, 6,5, to the outlet on the east wall at 20,5:        14
//	walls:    straight to the wall before it is the shortest, 14
//	outlet at 10,0: from the corner 6,4: sqrt(4² + 4²) = 5.657; by the wall: 4 down, 4 along = 8
func TestCordsByHand(t *testing.T) {
	s := &shop.Shop{Room: shop.Room{Corners: corners(0, 0, 20, 0, 20, 10, 0, 10), Doors: []shop.Door{{Name: "gate", From: at(7, 0), To: at(9, 0), Opens: "out"}}}}
	s.Circuits = []shop.Circuit{{Name: "A", Outlets: []shop.Outlet{{Name: "east", At: at(20, 5)}, {Name: "south", At: at(10, 0)}, {Name: "high", At: at(5, 10, 4)}, {Name: "floor", At: at(12, 5)}}}}
	s.Machines = []shop.Machine{{Name: "saw", Places: []shop.Place{{At: at(5, 5)}}, Footprint: foot(ft(2), ft(2))}}
	for _, c := range []struct {
		outlet          shop.ID
		straight, walls float64
		doors           int
	}{
		{"east", 14, 14, 0},
		{"south", 4 * math.Sqrt2, 8, 1},
		// 4 ft to the wall, and from a foot above the floor (30 cm) up to 4 ft
		{"high", math.Hypot(4, 4-0.3/0.3048), 4 + 4 - 0.3/0.3048, 0},
		{"floor", 6, 0, 0}, // hangs on no wall
	} {
		s.Machines[0].Plug = plug(c.outlet, 10)
		l, _ := lay(t, s)
		cord := l.Cords[0]
		near(t, string(c.outlet)+" straight", cord.Straight, ft(c.straight))
		near(t, string(c.outlet)+" by the walls", cord.Walls, ft(c.walls))
		near(t, string(c.outlet)+" slack", cord.Slack, ft(10-c.straight))
		if len(cord.Doors) != c.doors {
			t.Errorf("%s: doors %q", c.outlet, cord.Doors)
		}
	}
	// round a corner: outlet in the south-east corner's east wall at 20,2 from a machine at 16,5: wall way 3 ft east
	// (17 to 20) then 3 ft... from the corner 17,4: east wall at 20,4, then 2 along
	s.Machines[0].Places[0].At = at(16, 5)
	s.Circuits[0].Outlets[0].At = at(20, 2)
	s.Machines[0].Plug = plug("east", 3)
	s.Machines[0].Plug.Value.Extension = shop.Maybe[shop.Extension]{Value: shop.Extension{Length: given(ft(25))}, Basis: unit.Given}
	l, _ := lay(t, s)
	near(t, "straight", l.Cords[0].Straight, ft(math.Hypot(3, 2)))
	near(t, "by the walls", l.Cords[0].Walls, ft(5))
	near(t, "with its extension", l.Cords[0].Cord.Best, ft(28))
}

// Round the inner corner of the boathouse's notch and along five walls: the line along the walls is as long as said.
func TestWallLineIsAsLongAsSaid(t *testing.T) {
	s := boathouse()
	rapid.Check(t, func(t *rapid.T) {
		s.Circuits[1].Outlets[0].At = at(rapid.Float64Range(0, 30).Draw(t, "e"), 0)
		s.Machines[6].Places[0].At = at(rapid.Float64Range(2, 28).Draw(t, "e"), rapid.Float64Range(2, 15).Draw(t, "n"))
		l, _ := plan.Of(s, "")
		for _, c := range l.Cords {
			if c.WallLine == nil {
				continue
			}
			flat := append([]plan.Vec3(nil), c.WallLine...)
			for i := range flat {
				flat[i].Height = 0
			}
			want := plan.LineLength(flat)
			if first, last := c.WallLine[0].Height, c.WallLine[len(flat)-1].Height; first != last {
				want += unit.Metre(math.Abs(float64(first - last)))
			}
			if math.Abs(float64(c.Walls-want)) > 2e-3 {
				t.Fatalf("%s: %g said, line of %g: %v", c.Of, c.Walls, want, c.WallLine)
			}
			if c.Walls < c.Straight-1e-6 {
				t.Fatalf("%s: shorter by the walls (%g) than straight (%g)", c.Of, c.Walls, c.Straight)
			}
		}
	})
}

func TestCordReach(t *testing.T) {
	l, _ := lay(t, boathouse())
	now, ok := l.CordReach("jointer", "")
	there, ok2 := l.CordReach("jointer", "long boards")
	if !ok || !ok2 || now.Slack <= 0 || there.Slack >= 0 || there.Place != "long boards" {
		t.Errorf("10 ft of cord reach today (slack %g m) and not from the long boards (slack %g m)", now.Slack, there.Slack)
	}
	if _, ok := l.CordReach("band saw", ""); ok {
		t.Error("a machine without a plug has no cord")
	}
	if _, ok := l.CordReach("jointer", "nope"); ok {
		t.Error("a place that is not there has no cord")
	}
	if _, ok := l.CordReach("nope", ""); ok {
		t.Error("a machine that is not there has no cord")
	}
}

// A hose with much to spare across a narrow room lies in flat waves rather than through the walls, and what only the
// drawing of its slack would cross is no finding.
func TestMuchSlackInANarrowRoom(t *testing.T) {
	s := of(collector(at(15, 2, 1), run("main", 4, gate("g", 1, 2, 1), hose(22))))
	s.Room.Corners = corners(0, 0, 16, 0, 16, 4, 0, 4)
	l, codes := lay(t, s)
	none(t, codes)
	p := piece(t, l, mainPieces+"/hose 1")
	for _, q := range p.Line {
		if !l.Room.Corners.Contains(q) && l.Room.Corners.Gap(q) > in(1) {
			t.Fatalf("through the wall at %v", q)
		}
	}
	if got := plan.LineLength(p.Line); math.Abs(float64(got/ft(22)-1)) > 1e-6 {
		t.Errorf("%g ft long", got/0.3048)
	}
	// a walkway beside the way, too near to bow clear of it on either side: the straight hose would not be in it
	s.Room.Corners = nil
	s.Room.Walkways = []shop.Walkway{
		{Name: "north", Corners: corners(0, 2.2, 16, 2.2, 16, 4, 0, 4)},
		{Name: "south", Corners: corners(0, 0, 16, 0, 16, 1.8, 0, 1.8)},
	}
	l, codes = lay(t, s)
	none(t, codes)
	if c := piece(t, l, mainPieces+"/hose 1").Crosses; len(c) > 0 {
		t.Errorf("crosses %v", c)
	}
}
