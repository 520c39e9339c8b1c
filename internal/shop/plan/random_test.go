package plan_test

import (
	"math"
	"reflect"
	"strconv"
	"testing"

	"pgregory.net/rapid"

	"winnow/internal/shop"
	"winnow/internal/shop/plan"
	"winnow/internal/unit"
)

// drawPoint is on a coarse grid, so that points meet, lie in line and stand above each other often; or it is no point.
func drawPoint(t *rapid.T) shop.Point {
	if rapid.IntRange(0, 2).Draw(t, "no point") == 0 {
		return shop.Point{}
	}
	p := at(float64(rapid.IntRange(0, 6).Draw(t, "e")), float64(rapid.IntRange(0, 6).Draw(t, "n")))
	if rapid.Bool().Draw(t, "height") {
		p.Height = given(ft(float64(rapid.IntRange(0, 8).Draw(t, "h"))))
	}
	return p
}

func drawAmount[T unit.Real](t *rapid.T, scale T) unit.Amount[T] {
	switch rapid.IntRange(0, 4).Draw(t, "basis") {
	case 0:
		return unit.Amount[T]{}
	case 1:
		return assumed(scale * T(rapid.IntRange(0, 9).Draw(t, "v")))
	case 2:
		return drawn[T]()
	}
	return given(scale * T(rapid.IntRange(0, 9).Draw(t, "v")))
}

func drawPiece(t *rapid.T, n int, names []string) shop.Piece {
	name := "x" + strconv.Itoa(n)
	p := shop.Piece{
		What: rapid.SampledFrom([]shop.What{
			shop.Pipe, shop.Pipe, shop.Pipe, shop.Hose, shop.Hose, shop.Elbow, shop.Elbow, shop.Reducer, shop.Gate, shop.Wye, shop.Separator,
			shop.Tap, shop.Kink, shop.Other, shop.Split,
		}).Draw(t, "what"),
		At: drawPoint(t), Goes: rapid.SampledFrom([]string{"", "", "up", "down", "level"}).Draw(t, "goes"),
		Pipe: drawAmount(t, ft(1)), Hose: drawAmount(t, ft(1)), Elbow: drawAmount(t, deg(15)), Angle: drawAmount(t, deg(15)),
		Reducer: drawAmount(t, in(1)), Size: drawAmount(t, in(1)), Gate: name, Separator: name, Tap: name, Split: name,
	}
	if p.Size.Basis == unit.Drawn {
		p.Size = unit.Amount[unit.Metre]{}
	}
	if p.Reducer.Basis == unit.Drawn {
		p.Reducer = unit.Amount[unit.Metre]{}
	}
	if p.What == shop.Wye {
		p.Wye = rapid.SliceOfN(rapid.SampledFrom(names), 0, 2).Draw(t, "wye")
	}
	return p
}

func drawShop(t *rapid.T) *shop.Shop {
	s := &shop.Shop{}
	for range rapid.IntRange(0, 6).Draw(t, "corners") {
		s.Room.Corners = append(s.Room.Corners, at(float64(rapid.IntRange(0, 6).Draw(t, "e")), float64(rapid.IntRange(0, 6).Draw(t, "n"))))
	}
	s.Room.Doors = []shop.Door{{Name: "d", From: drawPoint(t), To: drawPoint(t), Opens: rapid.SampledFrom([]string{"in", "out", "up", ""}).Draw(t, "opens")}}
	s.Room.Walkways = []shop.Walkway{{Name: "w", Corners: corners(1, 1, 4, 1, 4, 2, 1, 2)}}
	s.Room.Obstacles = []shop.Obstacle{{Name: "o", At: drawPoint(t), Footprint: foot(ft(1), ft(2)), Height: given(ft(3))}}
	s.Circuits = []shop.Circuit{{Name: "A", Outlets: []shop.Outlet{{Name: "out", At: drawPoint(t)}}}}
	for _, name := range []string{"m0", "m1"} {
		m := shop.Machine{Name: name, Places: []shop.Place{{Name: "p", At: drawPoint(t)}, {Name: "q", At: drawPoint(t)}}, Plug: plug("out", 3)}
		m.Footprint = foot(ft(float64(rapid.IntRange(0, 3).Draw(t, "w"))), ft(2))
		m.Ports = ports(shop.Port{Side: rapid.SampledFrom([]string{"", "back", "top"}).Draw(t, "side"), Height: drawAmount(t, ft(1)), Size: given(in(4))})
		s.Machines = append(s.Machines, m)
	}
	names := []string{"main", "a", "b"}
	y := shop.System{Name: "collector", At: drawPoint(t), Footprint: foot(ft(1), ft(1)), Height: drawAmount(t, ft(1))}
	for k, name := range names {
		r := shop.Run{Name: name, Size: given(in(4))}
		for n := range rapid.IntRange(0, 8).Draw(t, "pieces") {
			r.Pieces = append(r.Pieces, drawPiece(t, 10*k+n, names))
		}
		switch rapid.IntRange(0, 4).Draw(t, "from") {
		case 0:
			r.From = shop.From{Ports: []shop.PortRef{port("m0")}, Basis: unit.Given}
		case 1:
			r.From = shop.From{Ports: []shop.PortRef{port("m0"), port("m1")}, Basis: unit.Given}
		case 2:
			r.From = shop.From{Cap: true, Basis: unit.Given}
		case 3:
			r.From = shop.From{Split: "x" + strconv.Itoa(rapid.IntRange(0, 30).Draw(t, "split")), Basis: unit.Given}
		}
		y.Runs = append(y.Runs, r)
	}
	for n := range rapid.IntRange(0, 4).Draw(t, "exhaust") {
		y.Exhaust = append(y.Exhaust, drawPiece(t, 40+n, names))
	}
	s.Systems = []shop.System{y}
	s.Arrangements = []shop.Arrangement{{Name: "today"}, {Name: "else", Stand: []shop.Standing{{Machine: "m0", Place: rapid.SampledFrom([]string{"p", "q", "away", "nope"}).Draw(t, "place")}}}}
	return s
}

// Whatever the file says: no panic, no number that is none; a written length is kept; what is drawn is measured or named
// in a finding; and the lines of neighbours join.
func TestAnyShop(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawShop(t)
		arrangement := rapid.SampledFrom([]string{"", "else", "nope"}).Draw(t, "arrangement")
		l, found := plan.Of(s, arrangement)
		named := map[shop.Path]map[*shop.Code]bool{}
		for _, f := range found {
			if named[f.Where] == nil {
				named[f.Where] = map[*shop.Code]bool{}
			}
			named[f.Where][f.Code] = true
			if f.Sentence(unit.US) == "" || f.Where == "" {
				t.Fatalf("finding %+v", f)
			}
		}
		numbers(t, reflect.ValueOf(*l), "layout")
		y := &s.Systems[0]
		for k := range y.Runs {
			for n := range y.Runs[k].Pieces {
				checkPiece(t, &y.Runs[k].Pieces[n], l.Piece("collector", y.Runs[k].Name, n), named)
			}
			checkJoints(t, l.RunPieces("collector", y.Runs[k].Name))
			if u := l.Unfold("collector", y.Runs[k].Name); u != nil {
				numbers(t, reflect.ValueOf(*u), "unfolded")
			}
		}
		for n := range y.Exhaust {
			checkPiece(t, &y.Exhaust[n], l.Piece("collector", "", n), named)
		}
		for _, place := range []shop.ID{"", "p", "q", "nope"} {
			numbers(t, reflect.ValueOf(l.Reach("collector", "main", "m0", place)), "reach")
			c, _ := l.CordReach("m0", place)
			numbers(t, reflect.ValueOf(c), "cord")
		}
	})
}

func checkPiece(t *rapid.T, src *shop.Piece, p *plan.PieceLayout, named map[shop.Path]map[*shop.Code]bool) {
	at := named[p.Path]
	a := src.Pipe
	switch src.What {
	case shop.Hose:
		a = src.Hose
		fallthrough
	case shop.Pipe:
		switch {
		case a.Basis == unit.Given && p.Length != a:
			t.Fatalf("%s: written %v became %v", p.Path, a, p.Length)
		case a.Basis == unit.Drawn && p.Length.Basis == unit.Drawn && p.Length.Best > 0:
		case a.Basis == unit.Drawn && !(p.Length.Basis == unit.Unsaid && (at[plan.LengthUnclear] || at[plan.LengthNoPoint] || at[plan.NothingLeft])):
			t.Fatalf("%s: drawn, got %v and findings %v", p.Path, p.Length, at)
		}
	case shop.Elbow:
		switch {
		case src.Elbow.Basis == unit.Given && p.Turn != src.Elbow:
			t.Fatalf("%s: written %v became %v", p.Path, src.Elbow, p.Turn)
		case src.Elbow.Basis == unit.Drawn && p.Turn.Basis != unit.Drawn && !at[plan.TurnUnclear]:
			t.Fatalf("%s: drawn, got %v and findings %v", p.Path, p.Turn, at)
		}
	}
	if p.Length.Low > p.Length.Best || p.Length.Best > p.Length.High || p.Length.Best < 0 || p.Turn.Best < 0 || p.Turn.Best > math.Pi {
		t.Fatalf("%s: length %v, turn %v", p.Path, p.Length, p.Turn)
	}
	if placed := src.At.Basis == unit.Given && src.What != shop.Pipe && src.What != shop.Hose; placed && !p.Placed {
		t.Fatalf("%s has a point and no place", p.Path)
	}
	if p.Line != nil && p.Sketch != nil {
		t.Fatalf("%s has a line and a sketch", p.Path)
	}
}

// checkJoints: a pipe's line starts at the fitting before it and ends at the one behind.
func checkJoints(t *rapid.T, pieces []plan.PieceLayout) {
	for i := 1; i < len(pieces); i++ {
		a, b := &pieces[i-1], &pieces[i]
		end, start := a.At, b.At
		switch {
		case a.Line != nil && (a.What == shop.Pipe || a.What == shop.Hose):
			end = a.Line[len(a.Line)-1]
		case !a.Placed:
			continue
		}
		switch {
		case b.Line != nil && (b.What == shop.Pipe || b.What == shop.Hose):
			start = b.Line[0]
		case !b.Placed:
			continue
		}
		if ext := func(p *plan.PieceLayout) bool { return p.What == shop.Pipe || p.What == shop.Hose }; !ext(a) && !ext(b) {
			continue // two fittings that touch: their bodies lie between
		}
		if plan.Distance(end, start) > 1e-9 {
			t.Fatalf("%s ends at %v, %s starts at %v", a.Path, end, b.Path, start)
		}
	}
}

// numbers finds every float in a value and fails on one that is none.
func numbers(t *rapid.T, v reflect.Value, where string) {
	switch v.Kind() {
	case reflect.Float64:
		if f := v.Float(); math.IsNaN(f) || math.IsInf(f, 0) {
			t.Fatalf("%s is %g", where, f)
		}
	case reflect.Slice:
		for i := range v.Len() {
			numbers(t, v.Index(i), where+"["+strconv.Itoa(i)+"]")
		}
	case reflect.Struct:
		for i := range v.NumField() {
			if f := v.Type().Field(i); f.IsExported() {
				numbers(t, v.Field(i), where+"."+f.Name)
			}
		}
	}
}
