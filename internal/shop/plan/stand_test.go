package plan_test

import (
	"math"
	"testing"

	"winnow/internal/shop"
	"winnow/internal/shop/plan"
	"winnow/internal/unit"
)

func same(t testing.TB, what string, got, want plan.Vec3) {
	t.Helper()
	if plan.Distance(got, want) > 1e-9 {
		t.Errorf("%s: at %.4g %.4g %.4g ft, want %.4g %.4g %.4g ft", what,
			got.East/0.3048, got.North/0.3048, got.Height/0.3048, want.East/0.3048, want.North/0.3048, want.Height/0.3048)
	}
}

func spot(feet ...float64) plan.Vec3 {
	v := plan.Vec3{East: ft(feet[0]), North: ft(feet[1])}
	if len(feet) > 2 {
		v.Height = ft(feet[2])
	}
	return v
}

// A 4 x 2 ft machine at 10,10 by hand. Left and right are those of somebody at the front, looking at it: facing north it
// is looked at southwards, so its right is west.
func TestPortsByHand(t *testing.T) {
	m := shop.Machine{Name: "saw", Footprint: foot(ft(4), ft(2))}
	for _, side := range []string{"front", "back", "left", "right", "top", "bottom", ""} {
		m.Ports.Value = append(m.Ports.Value, shop.Port{Name: "p" + side, Side: side, Height: given(ft(3))})
	}
	m.Ports.Value = append(m.Ports.Value, shop.Port{Name: "own point", Side: "left", At: at(1, 2, 5), Height: given(ft(3))})
	m.Ports.Basis = unit.Given
	for _, c := range []struct {
		facing float64
		want   map[string]plan.Vec3
	}{
		{0, map[string]plan.Vec3{
			"front": spot(10, 11, 3), "back": spot(10, 9, 3), "right": spot(8, 10, 3), "left": spot(12, 10, 3),
			"top": spot(10, 10, 3), "bottom": spot(10, 10, 3), "": spot(10, 10, 3),
		}},
		{90, map[string]plan.Vec3{ // front east; looked at westwards, right is north
			"front": spot(11, 10, 3), "back": spot(9, 10, 3), "right": spot(10, 12, 3), "left": spot(10, 8, 3),
		}},
		// front south-west; √2/2 of a foot each way
		{225, map[string]plan.Vec3{"front": spot(10-math.Sqrt2/2, 10-math.Sqrt2/2, 3), "back": spot(10+math.Sqrt2/2, 10+math.Sqrt2/2, 3)}},
	} {
		m.Places = []shop.Place{{At: at(10, 10), Facing: given(deg(c.facing))}}
		s := &shop.Shop{Machines: []shop.Machine{m}}
		l, codes := lay(t, s)
		none(t, codes)
		for side, want := range c.want {
			p := l.Port(port("saw", "p"+side))
			same(t, "port "+side, p.At, want)
			if p.SideKnown != (side != "") || !p.Placed {
				t.Errorf("port %q: side known %v, placed %v", side, p.SideKnown, p.Placed)
			}
		}
		same(t, "own point", l.Port(port("saw", "own point")).At, spot(1, 2, 5))
	}
	// without a place nothing has one, but the ports are there
	m.Places = nil
	l, codes := lay(t, &shop.Shop{Machines: []shop.Machine{m}})
	none(t, codes)
	if p := l.Port(port("saw", "pback")); p == nil || p.Placed || l.Machine("saw").Footprint != nil {
		t.Errorf("a machine without a place: port %v, footprint %v", p, l.Machine("saw").Footprint)
	}
}

// The room of the worked example by hand: 30 x 22 less the notch of 12 x 5 is 600 ft², with 104 ft of wall all round
// (30+22+18+5+12+17), of which 10 ft of slip door and 3 ft of house door are none.
func TestRoomByHand(t *testing.T) {
	l, codes := lay(t, &shop.Shop{Room: boathouse().Room})
	none(t, codes)
	if got := float64(l.Room.Area) / (0.3048 * 0.3048); math.Abs(got-600) > 1e-9 {
		t.Errorf("area %g ft², want 600", got)
	}
	near(t, "perimeter", l.Room.Corners.Perimeter(), ft(104))
	var sum unit.Metre
	for _, w := range l.Room.Walls {
		sum += plan.Distance(w.From, w.To)
	}
	near(t, "walls beside the doors", sum, ft(91))
	if len(l.Room.Walls) != 7 { // six edges: the east one in two, and the door of the west one ends in its corner
		t.Errorf("%d walls: %v", len(l.Room.Walls), l.Room.Walls)
	}
	slip, house := l.Room.Doors[0], l.Room.Doors[1]
	if slip.Swing != nil {
		t.Errorf("a door that goes up swings: %v", slip.Swing)
	}
	// a quarter of a circle of 3 ft about 12,19, from 12,22 (shut) to 15,19 (open, inside): π·9/4 = 7.07 ft², and the
	// twelve chords of 7.5° take r²/2·(π/2 - 12·sin 7.5°) = 0.0202 ft² off it
	same(t, "hinge", house.Swing[0], spot(12, 19))
	same(t, "shut", house.Swing[1], spot(12, 22))
	same(t, "open", house.Swing[len(house.Swing)-1], spot(15, 19))
	want := 9.0 / 2 * 12 * math.Sin(7.5*math.Pi/180)
	if got := float64(house.Swing.Area()) / (0.3048 * 0.3048); math.Abs(got-want) > 1e-9 || math.Abs(got-math.Pi*9/4) > 0.03 {
		t.Errorf("swing of %g ft², want %g, near π·9/4", got, want)
	}
	same(t, "low corner", l.Box.Low, spot(0, 0))
	same(t, "high corner", l.Box.High, spot(30, 22))
}

func TestDoorsSwing(t *testing.T) {
	square := corners(0, 0, 10, 0, 10, 10, 0, 10)
	for _, c := range []struct {
		name  string
		d     shop.Door
		open  plan.Vec3
		swing bool
	}{
		{"in, hinge first", shop.Door{From: at(2, 0), To: at(5, 0), Opens: "in"}, spot(2, 3), true},
		{"in, hinge last", shop.Door{From: at(5, 0), To: at(2, 0), Opens: "in"}, spot(5, 3), true},
		{"out", shop.Door{From: at(2, 0), To: at(5, 0), Opens: "out"}, spot(2, -3), true},
		{"slides", shop.Door{From: at(2, 0), To: at(5, 0), Opens: "slides"}, plan.Vec3{}, false},
	} {
		l, codes := lay(t, &shop.Shop{Room: shop.Room{Corners: square, Doors: []shop.Door{c.d}}})
		none(t, codes)
		swing := l.Room.Doors[0].Swing
		if c.swing != (swing != nil) {
			t.Errorf("%s: swing %v", c.name, swing)
		} else if c.swing {
			same(t, c.name, swing[len(swing)-1], c.open)
		}
		if n := len(l.Room.Walls); n != 5 {
			t.Errorf("%s: %d walls, want 5", c.name, n)
		}
	}
}

func TestArrangements(t *testing.T) {
	s := boathouse()
	today, _ := lay(t, s)
	if today.Arrangement != "working" {
		t.Errorf("today is %q", today.Arrangement)
	}
	same(t, "jointer today", today.Machine("jointer").At, spot(21, 5))
	if today.Machine("jointer").Place != "short boards" || today.Machine("planer").Away || len(today.Obstacles) != 2 {
		t.Errorf("today: %+v, obstacles %v", today.Machine("jointer"), today.Obstacles)
	}
	boat, _ := lay(t, s, "boat in")
	if !boat.Machine("planer").Away || len(boat.Obstacles) != 3 || !boat.Obstacles[2].Also {
		t.Errorf("boat in: planer %+v, obstacles %v", boat.Machine("planer"), boat.Obstacles)
	}
	if p := boat.Obstacles[2].Path; p != "arrangements/boat in/also there/boat" {
		t.Errorf("path %s", p)
	}
	// the carried hose lies at the first machine that is there
	same(t, "hose today", today.Run("collector", "long hose").From, today.Port(port("planer")).At)
	same(t, "hose with the boat in", boat.Run("collector", "long hose").From, boat.Port(port("jointer")).At)

	s.Arrangements = append(s.Arrangements, shop.Arrangement{Name: "long", Stand: []shop.Standing{{Machine: "jointer", Place: "long boards"}}})
	long, _ := lay(t, s, "long")
	same(t, "jointer for long boards", long.Machine("jointer").At, spot(22, 14))
	nearAngle(t, "turned", long.Machine("jointer").Facing, deg(45))
	// its left port: front north-east, looked at south-westwards, left is south-east: half of 60 in is 2.5 ft
	h := 2.5 * math.Sqrt2 / 2
	same(t, "its port", long.Port(port("jointer")).At, spot(22+h, 14-h, 16.0/12))
}

func TestFootprintAndFeeds(t *testing.T) {
	l, _ := lay(t, boathouse())
	saw := l.Machine("table saw")
	// 40 x 30 in at 16,8 facing north: 14 1/3 to 17 2/3 east, 6.75 to 9.25 north
	same(t, "north-west corner", saw.Footprint[0], spot(16-20.0/12, 9.25))
	same(t, "south-east corner", saw.Footprint[2], spot(16+20.0/12, 6.75))
	// infeed 4 ft before the front, outfeed 6 ft behind the back, both as wide as the saw
	same(t, "far end of the infeed", saw.Infeed[0], spot(16-20.0/12, 13.25))
	same(t, "far end of the outfeed", saw.Outfeed[2], spot(16+20.0/12, 0.75))
	if a := float64(saw.Outfeed.Area()) / (0.3048 * 0.3048); math.Abs(a-20) > 1e-9 { // 3 1/3 x 6
		t.Errorf("outfeed of %g ft², want 20", a)
	}
}

func TestFacingWrittenOnTheMachine(t *testing.T) {
	m := shop.Machine{Name: "saw", Facing: given(deg(90)), Places: []shop.Place{{Name: "a", At: at(0, 0), Facing: assumed(deg(0))}, {Name: "b", At: at(9, 9), Facing: given(deg(180))}}}
	s := &shop.Shop{Machines: []shop.Machine{m}, Arrangements: []shop.Arrangement{{Name: "one"}, {Name: "two", Stand: []shop.Standing{{Machine: "saw", Place: "b"}}}}}
	l, _ := lay(t, s)
	nearAngle(t, "as on the machine", l.Machine("saw").Facing, deg(90))
	l, _ = lay(t, s, "two")
	nearAngle(t, "as at the place", l.Machine("saw").Facing, deg(180))
}

// A pillar that stands out from the wall reaches 9 in into the side of a machine whose own corners are all in the room:
// the machine from 3.25 to 5.25, the pillar from 4 to 4.5.
func TestPillarInAMachine(t *testing.T) {
	s := &shop.Shop{Room: shop.Room{Corners: corners(0, 0, 4, 0, 4, 3, 4.5, 3, 4.5, 0, 10, 0, 10, 10, 0, 10)}, Machines: []shop.Machine{box("saw", 4.25, 3)}}
	_, found := plan.Of(s, "")
	if len(found) != 1 || found[0].Sentence(unit.US) != "saw reaches 9 in beyond the walls." {
		t.Errorf("findings %v", found)
	}
}

func TestCleaner(t *testing.T) {
	s := &shop.Shop{AirCleaners: []shop.AirCleaner{{Name: "c", At: at(5, 5, 8), Footprint: foot(ft(2), ft(1))}, {Name: "boxed"}}}
	l, codes := lay(t, s)
	none(t, codes)
	same(t, "cleaner", l.Cleaners[0].At, spot(5, 5, 8))
	same(t, "its south-east corner", l.Cleaners[0].Footprint[2], spot(6, 4.5))
	if l.Cleaners[1].Placed || l.Cleaners[1].Footprint != nil {
		t.Errorf("a cleaner without a place: %+v", l.Cleaners[1])
	}
	same(t, "box", l.Box.High, spot(6, 5.5, 8))
}

func TestSpots(t *testing.T) {
	s := &shop.Shop{Sensors: []shop.Sensor{{Name: "dust", At: at(6, 13, 4)}, {Name: "clamp"}}}
	s.Room.Flames = shop.Maybe[[]shop.Flame]{Value: []shop.Flame{{Name: "heater", At: at(13, 21)}}, Basis: unit.Given}
	l, _ := lay(t, s)
	if len(l.Spots) != 2 || l.Spots[0].What != "flame" || l.Spots[0].Path != "room/flames/heater" || l.Spots[1].Path != "sensors/dust" {
		t.Fatalf("spots %+v", l.Spots)
	}
	same(t, "sensor", l.Spots[1].At, spot(6, 13, 4))
}

func TestUsualFootprintsHaveLeeway(t *testing.T) {
	a, b := box("saw", 3, 3), box("lathe", 4.6, 3) // 0.4 ft into each other
	if _, codes := lay(t, &shop.Shop{Machines: []shop.Machine{a, b}}); !has(codes, "stand-in-each-other") {
		t.Errorf("given footprints: %q", codes)
	}
	b.Footprint.Basis = unit.Assumed
	_, codes := lay(t, &shop.Shop{Machines: []shop.Machine{a, b}})
	none(t, codes)
}
