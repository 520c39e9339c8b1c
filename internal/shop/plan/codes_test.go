package plan_test

import (
	"strings"
	"testing"

	"winnow/internal/shop"
	"winnow/internal/shop/plan"
	"winnow/internal/unit"
)

func box(name shop.ID, e, n float64) shop.Machine {
	return shop.Machine{Name: name, Places: []shop.Place{{At: at(e, n)}}, Footprint: foot(ft(2), ft(2))}
}

func room(w, d float64) shop.Room {
	return shop.Room{Corners: corners(0, 0, w, 0, w, d, 0, d), Height: given(ft(9))}
}

// One shop for each finding, with the sentences it makes in both systems.
var everyCode = []struct {
	code        *shop.Code
	where       shop.Path
	us, si      string
	arrangement shop.ID
	shop        func() *shop.Shop
}{
	{
		plan.NoSuchArrangement, "arrangements",
		"There is no arrangement called boat in; the shop is laid out as it usually stands.",
		"There is no arrangement called boat in; the shop is laid out as it usually stands.",
		"boat in", func() *shop.Shop { return &shop.Shop{} },
	},
	{
		plan.NoSuchPlace, "arrangements/today/saw",
		"saw has no place called attic; it is left at its first one.", "saw has no place called attic; it is left at its first one.",
		"", func() *shop.Shop {
			return &shop.Shop{Machines: []shop.Machine{box("saw", 3, 3)}, Arrangements: []shop.Arrangement{{Name: "today", Stand: []shop.Standing{{Machine: "saw", Place: "attic"}}}}}
		},
	},
	{
		plan.RoomCrossesItself, "room/corners",
		"The walls of the room cross each other, so it has no area.", "The walls of the room cross each other, so it has no area.",
		"", func() *shop.Shop { return &shop.Shop{Room: shop.Room{Corners: corners(0, 0, 10, 10, 10, 0, 0, 10)}} },
	},
	{
		plan.DoorOffWall, "room/doors/d", "The door d is 12 in away from the nearest wall.", "The door d is 305 mm away from the nearest wall.",
		"", func() *shop.Shop {
			r := room(10, 10)
			r.Doors = []shop.Door{{Name: "d", From: at(2, 1), To: at(5, 1), Opens: "up"}}
			return &shop.Shop{Room: r}
		},
	},
	{
		plan.DoorBlocked, "machines/saw", "saw stands where the door d swings.", "saw stands where the door d swings.",
		"", func() *shop.Shop {
			r := room(10, 10)
			r.Doors = []shop.Door{{Name: "d", From: at(2, 0), To: at(5, 0), Opens: "in"}}
			return &shop.Shop{Room: r, Machines: []shop.Machine{box("saw", 3, 3)}}
		},
	},
	{
		plan.OutsideRoom, "machines/saw", "saw reaches 6 in beyond the walls.", "saw reaches 152 mm beyond the walls.",
		"", func() *shop.Shop { return &shop.Shop{Room: room(10, 10), Machines: []shop.Machine{box("saw", 9.5, 5)}} },
	},
	{
		plan.StandInEachOther, "machines/lathe", "saw and lathe stand 6 in into each other.", "saw and lathe stand 152 mm into each other.",
		"", func() *shop.Shop {
			return &shop.Shop{Machines: []shop.Machine{box("saw", 3, 3), box("lathe", 4.5, 3)}}
		},
	},
	{
		plan.FeedBlocked, "machines/saw/outfeed", "The outfeed that saw asks for, 6 ft, is not free: the wall is in it.",
		"The outfeed that saw asks for, 1.83 m, is not free: the wall is in it.",
		"", func() *shop.Shop {
			m := box("saw", 5, 5)
			m.Outfeed, m.Infeed = given(ft(6)), assumed(ft(9))
			return &shop.Shop{Room: room(10, 10), Machines: []shop.Machine{m}}
		},
	},
	{
		plan.LengthUnclear, mainPieces + "/pipe 1",
		"pipe 1 of main is to be measured on the plan, but between gate g of main and the inlet of collector more than its length is open: give tap T of main its at, or write the length.",
		"pipe 1 of main is to be measured on the plan, but between gate g of main and the inlet of collector more than its length is open: give tap T of main its at, or write the length.",
		"", func() *shop.Shop {
			return of(collector(at(9, 0, 1), run("main", 4, gate("g", 0, 0, 1), pipeDrawn(), tap("T"), pipeDrawn())))
		},
	},
	{
		plan.LengthNoPoint, mainPieces + "/pipe 1",
		"pipe 1 of main is to be measured on the plan, but its port at saw has no place there: give saw its at, or write the length.",
		"pipe 1 of main is to be measured on the plan, but its port at saw has no place there: give saw its at, or write the length.",
		"", func() *shop.Shop {
			s := of(collector(at(9, 0, 1), from(run("main", 4, pipeDrawn()), port("saw"))))
			s.Machines = []shop.Machine{{Name: "saw", Ports: ports(shop.Port{})}}
			return s
		},
	},
	{
		plan.NothingLeft, mainPieces + "/pipe 2",
		"pipe 2 of main is to be measured on the plan, but from gate g of main to the inlet of collector it is 5 ft, and the pieces between already take 6 ft.",
		"pipe 2 of main is to be measured on the plan, but from gate g of main to the inlet of collector it is 1.52 m, and the pieces between already take 1.83 m.",
		"", func() *shop.Shop {
			return of(collector(at(5, 0, 1), run("main", 4, gate("g", 0, 0, 1), pipe(6), tap("T"), pipeDrawn())))
		},
	},
	{
		plan.TurnUnclear, mainPieces + "/elbow 1",
		"The angle of elbow 1 of main is to be measured on the plan, but the plan does not show how the pipe runs into it: give elbow 1 of main and its neighbours their at, or write the angle.",
		"The angle of elbow 1 of main is to be measured on the plan, but the plan does not show how the pipe runs into it: give elbow 1 of main and its neighbours their at, or write the angle.",
		"", func() *shop.Shop {
			return of(collector(at(5, 0, 1), run("main", 4, tap("T"), pipe(3), elbowDrawn(0, 0, 1), pipeDrawn())))
		},
	},
	{
		plan.LengthDiffers, mainPieces + "/pipe 1",
		"pipe 1 of main is written as 6 ft, and on the plan it is 5 ft. The written length counts.",
		"pipe 1 of main is written as 1.83 m, and on the plan it is 1.52 m. The written length counts.",
		"", func() *shop.Shop { return of(collector(at(5, 0, 1), run("main", 4, gate("g", 0, 0, 1), pipe(6)))) },
	},
	{
		plan.StretchDiffers, "systems/collector/runs/main",
		"From gate g of main to the inlet of collector the pieces are written as 7 ft together, and on the plan it is 5 ft. The written lengths count.",
		"From gate g of main to the inlet of collector the pieces are written as 2.13 m together, and on the plan it is 1.52 m. The written lengths count.",
		"", func() *shop.Shop {
			return of(collector(at(5, 0, 1), run("main", 4, gate("g", 0, 0, 1), pipe(6), tap("T"), pipe(1))))
		},
	},
	{
		plan.TurnDiffers, mainPieces + "/elbow 1",
		"elbow 1 of main is written as 45°, and on the plan it turns by 90°. The written angle counts.",
		"elbow 1 of main is written as 45°, and on the plan it turns by 90°. The written angle counts.",
		"", func() *shop.Shop {
			return of(collector(at(5, 5, 1), run("main", 4, gate("g", 0, 0, 1), pipeDrawn(), elbow(45, 5, 0, 1), pipeDrawn())))
		},
	},
	{
		plan.GoesDiffers, mainPieces + "/pipe 1",
		"pipe 1 of main is written as going up, and on the plan it lies level. The written word counts.",
		"pipe 1 of main is written as going up, and on the plan it lies level. The written word counts.",
		"", func() *shop.Shop {
			return of(collector(at(5, 0, 1), run("main", 4, gate("g", 0, 0, 1), goes(pipeDrawn(), "up"))))
		},
	},
	{
		plan.PipeMissing, "systems/collector/runs/main",
		"There are 5 ft between gate g of main and tap T of main on the plan, and no pipe or hose is written there.",
		"There are 1.52 m between gate g of main and tap T of main on the plan, and no pipe or hose is written there.",
		"", func() *shop.Shop {
			return of(collector(at(9, 0, 1), run("main", 4, gate("g", 0, 0, 1), tap("T", 5, 0, 1), pipeDrawn())))
		},
	},
	{
		plan.HoseTooShort, "systems/collector/runs/main",
		"The hose main does not reach saw: it is 6 ft long and the straight way is 8 ft, 2 ft more.",
		"The hose main does not reach saw: it is 1.83 m long and the straight way is 2.44 m, 610 mm more.",
		"", func() *shop.Shop {
			s := of(collector(at(9, 0, 1), from(run("main", 4, hose(6)), port("saw"), port("lathe"))))
			for _, m := range []shop.Machine{box("saw", 0, 0), box("lathe", 4, 0)} {
				m.Places[0].Facing = given(deg(90)) // front east
				m.Ports = ports(shop.Port{Side: "front", Height: given(ft(1))})
				s.Machines = append(s.Machines, m)
			}
			return s
		},
	},
	{
		plan.PieceTooShort, "systems/collector/runs/main",
		"From gate g of main to the inlet of collector the straight way is 9 ft, and hose and pipe there are only 8 ft long.",
		"From gate g of main to the inlet of collector the straight way is 2.74 m, and hose and pipe there are only 2.44 m long.",
		"", func() *shop.Shop {
			return of(collector(at(9, 0, 1), run("main", 4, gate("g", 0, 0, 1), pipe(2), hose(6))))
		},
	},
	{
		plan.CordTooShort, "machines/saw/plug",
		"The cord of saw does not reach wall: it is 6 ft long and the straight way is 7 ft.",
		"The cord of saw does not reach wall: it is 1.83 m long and the straight way is 2.13 m.",
		"", func() *shop.Shop {
			m := box("saw", 0, 0)
			m.Plug = plug("wall", 6)
			return &shop.Shop{Machines: []shop.Machine{m}, Circuits: []shop.Circuit{{Name: "A", Outlets: []shop.Outlet{{Name: "wall", At: at(8, 0)}}}}}
		},
	},
	{
		plan.AcrossWalkway, mainPieces + "/hose 1",
		"hose 1 of main lies across aisle: somebody will trip.", "hose 1 of main lies across aisle: somebody will trip.",
		"", func() *shop.Shop {
			s := of(collector(at(9, 0, 1), run("main", 4, gate("g", 0, 0, 1), hose(9))))
			s.Room.Walkways = []shop.Walkway{{Name: "aisle", Corners: corners(3, -5, 6, -5, 6, 5, 3, 5)}}
			return s
		},
	},
	{
		plan.ThroughObstacle, mainPieces + "/pipe 1",
		"pipe 1 of main runs through post.", "pipe 1 of main runs through post.",
		"", func() *shop.Shop {
			s := of(collector(at(9, 0, 1), run("main", 4, gate("g", 0, 0, 1), pipeDrawn())))
			s.Room.Obstacles = []shop.Obstacle{{Name: "post", At: at(5, 0), Footprint: foot(ft(1), ft(1)), Height: given(ft(8))}}
			return s
		},
	},
	{
		plan.ThroughWall, mainPieces + "/pipe 1",
		"pipe 1 of main goes through a wall.", "pipe 1 of main goes through a wall.",
		"", func() *shop.Shop {
			s := of(collector(at(9, 5, 1), run("main", 4, gate("g", 20, 5, 1), pipeDrawn())))
			s.Room = room(15, 10)
			return s
		},
	},
	{
		plan.AboveCeiling, mainPieces + "/gate g",
		"gate g of main lies 12 in above the ceiling.", "gate g of main lies 305 mm above the ceiling.",
		"", func() *shop.Shop {
			s := of(collector(at(9, 5, 10), run("main", 4, gate("g", 2, 5, 10), pipeDrawn())))
			s.Room = room(15, 10)
			return s
		},
	},
}

func TestEveryCodeIsReached(t *testing.T) {
	reached := map[*shop.Code]bool{}
	for _, c := range everyCode {
		_, found := plan.Of(c.shop(), c.arrangement)
		ok := false
		for _, f := range found {
			if f.Code != c.code {
				t.Errorf("%s: beside it %s at %s", c.code.Name, f.Code.Name, f.Where)
				continue
			}
			if ok {
				continue // one of each kind is looked at
			}
			ok = true
			reached[c.code] = true
			if f.Where != c.where {
				t.Errorf("%s: at %s, want %s", c.code.Name, f.Where, c.where)
			}
			if got := f.Sentence(unit.US); got != c.us {
				t.Errorf("%s: got\n%s\nwant\n%s", c.code.Name, got, c.us)
			}
			if got := f.Sentence(unit.SI); got != c.si {
				t.Errorf("%s: got\n%s\nwant\n%s", c.code.Name, got, c.si)
			}
		}
		if !ok {
			t.Errorf("%s: not found; %d others", c.code.Name, len(found))
		}
	}
	seen := map[string]bool{}
	for _, c := range plan.Codes() {
		if !reached[c] {
			t.Errorf("%s: no shop reaches it", c.Name)
		}
		if seen[c.Name] || c.Name == "" || c.Sentence == "" || c.Help == "" || strings.Contains(c.Sentence, "!") {
			t.Errorf("%q: name taken, or something is missing", c.Name)
		}
		seen[c.Name] = true
	}
}

// What is near a finding and is none.
func TestNoFindingWhereNoneIs(t *testing.T) {
	for _, c := range []struct {
		name string
		shop func() *shop.Shop
	}{
		{"a saw that stands on a bench", func() *shop.Shop {
			r := room(20, 20)
			r.Obstacles = []shop.Obstacle{{Name: "bench", At: at(5, 5), Footprint: foot(ft(8), ft(3)), Height: given(in(34))}}
			return &shop.Shop{Room: r, Machines: []shop.Machine{box("saw", 6, 5)}}
		}},
		{"flush with the wall, and with each other", func() *shop.Shop {
			return &shop.Shop{Room: room(20, 20), Machines: []shop.Machine{box("saw", 1, 1), box("lathe", 3, 1)}}
		}},
		{"in the notch's shadow of a concave room", func() *shop.Shop {
			r := room(20, 20)
			r.Corners = corners(0, 0, 20, 0, 20, 20, 10, 20, 10, 10, 0, 10)
			return &shop.Shop{Room: r, Machines: []shop.Machine{box("saw", 11.1, 18)}}
		}},
		{"a pipe under the ceiling, over a bench, a rack and a walkway", func() *shop.Shop {
			s := of(collector(at(19, 10, 8.5), run("main", 4, gate("g", 1, 10, 8.5), pipeDrawn())))
			s.Room = room(20, 20)
			s.Room.Obstacles = []shop.Obstacle{{Name: "rack", At: at(10, 10), Footprint: foot(ft(2), ft(8)), Height: given(ft(8))}}
			s.Room.Walkways = []shop.Walkway{{Name: "aisle", Corners: corners(3, 0, 6, 0, 6, 20, 3, 20)}}
			return s
		}},
		{"outfeed through the door", func() *shop.Shop {
			m := box("saw", 5, 5)
			m.Outfeed = given(ft(9))
			r := room(10, 10)
			r.Doors = []shop.Door{{Name: "d", From: at(3, 0), To: at(7, 0), Opens: "up"}}
			return &shop.Shop{Room: r, Machines: []shop.Machine{m}}
		}},
		{"a machine on wheels in the outfeed", func() *shop.Shop {
			m, w := box("saw", 10, 10), box("cart", 10, 6)
			m.Outfeed, w.Wheels = given(ft(6)), true
			return &shop.Shop{Room: room(20, 20), Machines: []shop.Machine{m, w}}
		}},
		{"a hose of half an inch too little", func() *shop.Shop {
			return of(collector(at(9, 0, 1), run("main", 4, gate("g", 0, 0, 1), hose(9-0.5/12))))
		}},
		{"a hose whose length nobody gave", func() *shop.Shop {
			return of(collector(at(9, 0, 1), run("main", 4, gate("g", 0, 0, 1), shop.Piece{What: shop.Hose, Hose: assumed(ft(4))})))
		}},
		{"the run of a machine that is away", func() *shop.Shop {
			s := of(collector(at(9, 0, 1), from(run("main", 4, hose(4)), port("saw"))))
			m := box("saw", 0, 0)
			m.Ports = ports(shop.Port{Side: "top", Height: given(ft(1))})
			s.Machines = []shop.Machine{m}
			s.Arrangements = []shop.Arrangement{{Name: "empty", Stand: []shop.Standing{{Machine: "saw", Place: "away"}}}}
			return s
		}},
	} {
		if _, found := plan.Of(c.shop(), ""); len(found) > 0 {
			t.Errorf("%s: %s", c.name, found[0].Sentence(unit.US))
		}
	}
}
