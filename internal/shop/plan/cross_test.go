package plan_test

import (
	"strings"
	"testing"

	"winnow/internal/shop"
	"winnow/internal/shop/plan"
	"winnow/internal/unit"
)

func words(crosses []plan.Crossing) string {
	var out []string
	for _, c := range crosses {
		out = append(out, strings.TrimSpace(string(c.What)+" "+c.Name))
	}
	return strings.Join(out, ", ")
}

// A line at a height through a room of 20 x 10 with a notch, a rack, a walkway, a saw and a door.
func TestCrossings(t *testing.T) {
	s := &shop.Shop{Room: shop.Room{
		Corners:   corners(0, 0, 20, 0, 20, 10, 12, 10, 12, 6, 8, 6, 8, 10, 0, 10), // a U: the bay is from 8 to 12, above 6
		Doors:     []shop.Door{{Name: "gate", From: at(20, 2), To: at(20, 5), Opens: "up"}},
		Walkways:  []shop.Walkway{{Name: "aisle", Corners: corners(9, 0, 11, 0, 11, 6, 9, 6)}},
		Obstacles: []shop.Obstacle{{Name: "rack", At: at(3, 3), Footprint: foot(ft(2), ft(2)), Height: given(ft(6))}},
	}}
	s.Machines = []shop.Machine{box("saw", 15, 3)}
	s.Systems = []shop.System{{Name: "collector", At: at(18, 8), Footprint: foot(ft(2), ft(2))}}
	l, codes := lay(t, s)
	none(t, codes)
	for _, c := range []struct {
		name string
		line []plan.Vec3
		want string
	}{
		{"on the floor from end to end", []plan.Vec3{spot(1, 3, 1), spot(19, 3, 1)}, "walkway aisle, obstacle rack, machine saw"},
		{"at 5 ft: over the saw, not the rack", []plan.Vec3{spot(1, 3, 5), spot(19, 3, 5)}, "walkway aisle, obstacle rack"},
		{"at 6.2 ft: over the rack, head height in the aisle", []plan.Vec3{spot(1, 3, 6.2), spot(19, 3, 6.2)}, "walkway aisle"},
		{"at 8 ft: over everything", []plan.Vec3{spot(1, 3, 8), spot(19, 3, 8)}, ""},
		{"high at the rack, low behind it", []plan.Vec3{spot(1, 3, 8), spot(5, 3, 8), spot(8, 3, 1)}, ""},
		{"sinks into the rack", []plan.Vec3{spot(1, 3, 8), spot(5, 3, 1)}, "obstacle rack"},
		{"through the bay", []plan.Vec3{spot(6, 8, 8), spot(14, 8, 8)}, "wall, wall"},
		{"out of the gate", []plan.Vec3{spot(17, 4, 8), spot(25, 4, 8)}, "door gate"},
		{"out beside the gate", []plan.Vec3{spot(17, 1, 8), spot(25, 1, 8)}, "wall"},
		{"starts on the rack", []plan.Vec3{spot(3, 3, 1), spot(7, 3, 1)}, ""},
		{"ends at the saw", []plan.Vec3{spot(12, 3, 1), spot(14, 3, 1)}, ""},
		{"past the collector", []plan.Vec3{spot(18, 5, 1), spot(18, 9.9, 1)}, "machine collector"},
		{"along a wall", []plan.Vec3{spot(0, 0, 1), spot(8, 0, 1)}, ""},
		{"a point", []plan.Vec3{spot(3, 3, 1)}, ""},
	} {
		if got := words(l.Crossings(c.line)); got != c.want {
			t.Errorf("%s: got %q, want %q", c.name, got, c.want)
		}
	}
	in := l.Crossings([]plan.Vec3{spot(1, 3, 1), spot(19, 3, 1)})[0]
	same(t, "into the aisle", in.At, spot(9, 3, 1))
	same(t, "out of it", in.Out, spot(11, 3, 1))
	if in.Path != "room/walkways/aisle" {
		t.Errorf("path %s", in.Path)
	}
}

// A run through two walls of one room is told once; the pieces carry both places.
func TestToldOnce(t *testing.T) {
	s := of(collector(at(25, 5, 8), run("main", 4, gate("g", -5, 5, 8), pipeDrawn())))
	s.Room = room(20, 10)
	l, codes := lay(t, s)
	if got := strings.Join(codes, " "); got != "outside-room through-wall" {
		t.Errorf("findings %q", got)
	}
	if got := words(piece(t, l, mainPieces+"/pipe 1").Crosses); got != "wall, wall" {
		t.Errorf("crosses %q", got)
	}
	// two walkways are two
	s = of(collector(at(20, 0, 1), run("main", 4, gate("g", 0, 0, 1), hose(20.5))))
	s.Room.Walkways = []shop.Walkway{{Name: "a", Corners: corners(3, -5, 6, -5, 6, 5, 3, 5)}, {Name: "b", Corners: corners(9, -5, 12, -5, 12, 5, 9, 5)}}
	if _, codes = lay(t, s); strings.Join(codes, " ") != "across-walkway across-walkway" {
		t.Errorf("findings %q", codes)
	}
}

// A carried hose across a walkway is told for each machine that is there, with its name, and the pieces behind the hose
// for themselves; the run of a machine that is away trips nobody.
func TestCarriedAcrossWalkway(t *testing.T) {
	make := func() *shop.Shop {
		s := of(collector(at(20, 0, 1), from(run("main", 4, hose(11), tap("T", 10, 0, 1), pipeDrawn()), port("saw"), port("lathe"))))
		s.Room.Walkways = []shop.Walkway{{Name: "aisle", Corners: corners(3, -9, 6, -9, 6, 9, 3, 9)}, {Name: "hall", Corners: corners(12, -9, 14, -9, 14, 9, 12, 9)}}
		for _, m := range []shop.Machine{box("saw", 0, 0), box("lathe", 0, 4)} {
			m.Ports = ports(shop.Port{Side: "top", Height: given(ft(1))})
			s.Machines = append(s.Machines, m)
		}
		s.Arrangements = []shop.Arrangement{{Name: "today"}, {Name: "one", Stand: []shop.Standing{{Machine: "saw", Place: "away"}}}, {Name: "none", Stand: []shop.Standing{{Machine: "saw", Place: "away"}, {Machine: "lathe", Place: "away"}}}}
		return s
	}
	for _, c := range []struct {
		arrangement string
		want        []string
	}{
		{"today", []string{
			"pipe 1 of main lies across hall: somebody will trip.",
			"The hose main, carried to saw, lies across aisle: somebody will trip.",
			"The hose main, carried to lathe, lies across aisle: somebody will trip.",
		}},
		{"one", []string{
			"pipe 1 of main lies across hall: somebody will trip.",
			"The hose main, carried to lathe, lies across aisle: somebody will trip.",
		}},
		{"none", []string{"pipe 1 of main lies across hall: somebody will trip."}},
	} {
		_, found := plan.Of(make(), c.arrangement)
		var got []string
		for _, f := range found {
			got = append(got, f.Sentence(unit.US))
		}
		if strings.Join(got, "\n") != strings.Join(c.want, "\n") {
			t.Errorf("%s: got\n%s\nwant\n%s", c.arrangement, strings.Join(got, "\n"), strings.Join(c.want, "\n"))
		}
	}
}

func TestCordAcrossWalkwayAndBench(t *testing.T) {
	s := &shop.Shop{Machines: []shop.Machine{box("saw", 0, 0)}, Circuits: []shop.Circuit{{Name: "A", Outlets: []shop.Outlet{{Name: "wall", At: at(12, 0)}}}}}
	s.Machines[0].Plug = plug("wall", 12)
	s.Room.Walkways = []shop.Walkway{{Name: "aisle", Corners: corners(3, -5, 6, -5, 6, 5, 3, 5)}}
	s.Room.Obstacles = []shop.Obstacle{{Name: "bench", At: at(9, 0), Footprint: foot(ft(2), ft(4)), Height: given(ft(3))}}
	l, found := plan.Of(s, "")
	if len(found) != 1 || found[0].Sentence(unit.US) != "The cord of saw lies across aisle: somebody will trip." {
		t.Errorf("findings %v", found)
	}
	if got := words(l.Cords[0].Crosses); got != "walkway aisle, obstacle bench" {
		t.Errorf("crosses %q", got)
	}
}

// The floor around the end of a 10 ft hose at 0,0: reached within 10 ft of it, in any direction.
func TestReachFromAnyPoint(t *testing.T) {
	l, _ := lay(t, of(collector(at(0, 0, 1), from(run("main", 4, hose(10)), port("saw")))))
	for _, c := range []struct {
		at      plan.Vec3
		reaches bool
	}{
		{spot(6, 8, 1), true},       // 10 ft
		{spot(-6, -7.9, 1), true},   //
		{spot(6, 8.2, 1), false},    //
		{spot(6, 6, 6.4), true},     // 36 + 36 + 5.4² = 101: half an inch lacks
		{spot(6, 6, 7.5), false},    //
		{spot(0, 0, 1), true},       //
		{spot(-10.2, 0, 1), false},  //
		{spot(-10.05, 0, 1), true},  // 0.6 in
		{spot(-10.1, -0, 1), false}, // 1.2 in
	} {
		if r := l.ReachFrom("collector", "main", c.at); r.Reaches() != c.reaches {
			t.Errorf("%v: slack %g ft, reaches %v", c.at, r.Slack/0.3048, r.Reaches())
		}
	}
	if r := l.ReachFrom("collector", "nope", spot(0, 0)); r.Known {
		t.Error("a run that is not there reaches")
	}
}
