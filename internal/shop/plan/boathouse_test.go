package plan_test

import (
	"testing"

	"winnow/internal/shop"
	"winnow/internal/shop/plan"
	"winnow/internal/unit"
)

// boathouse is the geometry of the worked example of the shop file, filled where it leaves gaps (footprints and the
// heights of ports are ours).
func boathouse() *shop.Shop {
	s := &shop.Shop{Version: 1}
	s.Room = shop.Room{
		Corners: corners(0, 0, 30, 0, 30, 22, 12, 22, 12, 17, 0, 17),
		Height:  given(ft(9)),
		Doors: []shop.Door{
			{Name: "slip door", From: at(30, 6), To: at(30, 16), Opens: "up"},
			{Name: "house door", From: at(12, 19), To: at(12, 22), Opens: "in"},
		},
		Obstacles: []shop.Obstacle{
			{Name: "bench", At: at(6, 15), Footprint: foot(ft(9), ft(2.5)), Height: given(in(34))},
			{Name: "oar rack", Corners: corners(20, 20, 30, 20, 30, 22, 20, 22), Height: given(ft(8))},
		},
		Walkways: []shop.Walkway{{Name: "to the water", Corners: corners(12, 18, 16, 18, 30, 14, 30, 10, 12, 15)}},
	}
	s.Circuits = []shop.Circuit{
		{Name: "A", Outlets: []shop.Outlet{{Name: "bench wall", At: at(2, 17)}, {Name: "west post", At: at(0, 9)}}},
		{Name: "B", Outlets: []shop.Outlet{{Name: "street wall", At: at(20, 0)}, {Name: "ceiling", At: at(16, 11, 9)}}},
		{Name: "C", Outlets: []shop.Outlet{{Name: "saw", At: at(17, 0)}}},
	}
	one := func(name shop.ID, w, d float64, facing float64, spot shop.Point) shop.Machine {
		return shop.Machine{Name: name, Places: []shop.Place{{At: spot, Facing: given(deg(facing))}}, Footprint: foot(in(w), in(d))}
	}
	saw := one("table saw", 40, 30, 0, at(16, 8))
	saw.Plug = plug("saw", 8)
	saw.Infeed, saw.Outfeed = given(ft(4)), given(ft(6))
	saw.Ports = ports(
		shop.Port{Name: "cabinet", Size: given(in(4)), Side: "back", Height: given(in(12))},
		shop.Port{Name: "guard", Size: given(in(2.5)), Side: "top", Height: given(in(44))},
	)
	planer := one("planer", 24, 24, 0, at(24, 10))
	planer.Wheels = true
	planer.Ports = ports(shop.Port{Size: given(in(4)), Height: assumed(in(30))})
	planer.Plug = plug("street wall", 6)
	planer.Plug.Value.Extension = shop.Maybe[shop.Extension]{Value: shop.Extension{Length: given(ft(25))}, Basis: unit.Given}
	jointer := one("jointer", 60, 18, 90, at(21, 5))
	jointer.Wheels = true
	jointer.Places = []shop.Place{
		{Name: "short boards", At: at(21, 5), Facing: given(deg(90))},
		{Name: "long boards", At: at(22, 14), Facing: given(deg(45))},
	}
	jointer.Ports = ports(shop.Port{Size: given(in(4)), Side: "left", Height: given(in(16))})
	jointer.Plug = plug("street wall", 10)
	band := one("band saw", 24, 24, 0, at(9, 5))
	band.Ports = ports(shop.Port{Size: given(in(4)), Side: "back", Height: given(in(18))})
	mitre := one("mitre saw", 24, 20, 0, at(8, 15))
	mitre.Ports = ports(shop.Port{Size: given(in(1.5)), Height: given(in(44))})
	sander := one("sander", 6, 6, 0, at(4, 14))
	sander.Ports = ports(shop.Port{Size: given(unit.Metre(0.027)), Height: given(in(38))})
	lathe := one("lathe", 50, 14, 0, at(24, 2))
	lathe.Plug = plug("street wall", 8)
	s.Machines = []shop.Machine{saw, planer, jointer, band, mitre, sander, lathe}
	s.Arrangements = []shop.Arrangement{
		{Name: "working"},
		{
			Name:      "boat in",
			Stand:     []shop.Standing{{Machine: "planer", Place: "away"}, {Machine: "jointer", Place: "short boards"}},
			AlsoThere: []shop.Obstacle{{Name: "boat", At: at(22, 9), Footprint: foot(ft(15), ft(4.5)), Height: given(ft(4))}},
		},
	}
	main := run("main", 6,
		where(wye("ceiling", "long hose"), 4, 2, 4), hose(2), separator("drum"), hose(3))
	ceiling := run("ceiling", 5,
		where(wye("saw cabinet", "saw guard"), 16, 6, 1),
		pipeDrawn(),
		gate("saw gate", 17, 6, 1),
		pipeDrawn(),
		elbowDrawn(18, 6, 1),
		pipeDrawn(),
		elbowDrawn(18, 6, 8),
		pipeDrawn(),
		elbowDrawn(18, 2, 8),
		pipeDrawn(),
		reducer(6, 11, 2, 8),
		where(wye("band saw drop"), 10, 2, 8),
		pipeDrawn(),
		elbowDrawn(4, 2, 8),
		pipeDrawn(),
		tap("A", 4, 2, 6),
		pipeDrawn(),
	)
	y := collector(at(2, 2), main, ceiling,
		from(run("saw cabinet", 4, hose(2)), port("table saw", "cabinet")),
		from(run("saw guard", 2.5, hose(7)), port("table saw", "guard")),
		from(run("band saw drop", 4, hose(4), gate("band saw gate"), goes(pipe(5), "up"), elbow(90), pipe(3)), port("band saw")),
		from(run("long hose", 4, hose(20), kink(0.7), gate("hose gate")), port("planer"), port("jointer")),
	)
	y.Footprint = foot(in(38), in(22))
	y.Plug = plug("west post", 6)
	vacuum := shop.System{Name: "saw vacuum", Kind: "vacuum", At: at(10, 13), Footprint: foot(in(16), in(16)), Runs: []shop.Run{
		from(run("main", 2.5, hose(6), separator("pail"), hose(3)), port("mitre saw")),
	}}
	extractor := shop.System{Name: "extractor", Kind: "extractor", Wheels: true, At: at(3, 12), Footprint: foot(in(16), in(16)), Runs: []shop.Run{
		from(shop.Run{Name: "main", Size: given(unit.Metre(0.027)), Pieces: []shop.Piece{{What: shop.Hose, Hose: given(unit.Metre(3.5))}}}, port("sander")),
	}}
	s.Systems = []shop.System{y, vacuum, extractor}
	s.AirCleaners = []shop.AirCleaner{{Name: "ceiling cleaner", At: at(16, 10), Plug: plug("ceiling", 4)}}
	return s
}

// The ceiling run by hand, in feet, from the points in the file (E, N, H); each step changes one coordinate:
//
//	wye 16,6,1 -> gate 17,6,1           1   (17-16)
//	gate       -> elbow 1 18,6,1        1   (18-17)
//	elbow 1    -> elbow 2 18,6,8        7   (8-1), up
//	elbow 2    -> elbow 3 18,2,8        4   (6-2)
//	elbow 3    -> reducer 11,2,8        7   (18-11)
//	reducer    -> wye 10,2,8            1   no pipe written: half a foot is the body of each
//	wye        -> elbow 4 4,2,8         6   (10-4)
//	elbow 4    -> tap 4,2,6             2   (8-6), down
//	tap        -> wye of main 4,2,4     2   (6-4), down
//
// Pipes 1+1+7+4+7+6+2+2 = 30 ft, with the two bodies 31 ft. Every bend joins two axes of the grid: 90°.
func TestCeilingByHand(t *testing.T) {
	l, _ := lay(t, boathouse())
	base := shop.Path("systems/collector/runs/ceiling/pieces")
	for key, want := range map[string]struct {
		feet float64
		goes plan.Goes
		rise float64
	}{
		"pipe 1": {1, plan.Level, 0},
		"pipe 2": {1, plan.Level, 0},
		"pipe 3": {7, plan.Up, 7},
		"pipe 4": {4, plan.Level, 0},
		"pipe 5": {7, plan.Level, 0},
		"pipe 6": {6, plan.Level, 0},
		"pipe 7": {2, plan.Down, -2},
		"pipe 8": {2, plan.Down, -2},
	} {
		p := piece(t, l, base.Join(key))
		near(t, key, p.Length.Best, ft(want.feet))
		near(t, key+" rise", p.Rise, ft(want.rise))
		if p.Length.Basis != unit.Drawn || p.Goes != want.goes || p.GoesBasis != unit.Drawn || len(p.Line) != 2 {
			t.Errorf("%s: basis %d, goes %v (basis %d), line %v", key, p.Length.Basis, p.Goes, p.GoesBasis, p.Line)
		}
	}
	for _, key := range []string{"elbow 1", "elbow 2", "elbow 3", "elbow 4"} {
		p := piece(t, l, base.Join(key))
		nearAngle(t, key, p.Turn.Best, deg(90))
		if p.Turn.Basis != unit.Drawn {
			t.Errorf("%s: basis %d, want drawn", key, p.Turn.Basis)
		}
	}
	near(t, "reducer", piece(t, l, base.Join("reducer 1")).Length.Best, ft(0.5))
	near(t, "wye", piece(t, l, base.Join("wye band saw drop")).Length.Best, ft(0.5))
	near(t, "whole run", l.Run("collector", "ceiling").Length.Best, ft(31))
}
