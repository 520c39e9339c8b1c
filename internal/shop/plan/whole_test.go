package plan_test

import (
	"encoding/json"
	"math"
	"reflect"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"winnow/internal/shop"
	"winnow/internal/shop/plan"
	"winnow/internal/unit"
)

// turnedShop is the shop turned clockwise about its zero and then shifted: every point, and every facing.
func turnedShop(s *shop.Shop, turn unit.Radian, east, north unit.Metre) *shop.Shop {
	sin, cos := math.Sincos(float64(turn))
	var walk func(v reflect.Value)
	walk = func(v reflect.Value) {
		switch v.Kind() {
		case reflect.Pointer:
			if !v.IsNil() {
				walk(v.Elem())
			}
		case reflect.Slice:
			for i := range v.Len() {
				walk(v.Index(i))
			}
		case reflect.Struct:
			if p, ok := v.Addr().Interface().(*shop.Point); ok && p.Basis == unit.Given {
				e, n := float64(p.East), float64(p.North)
				p.East, p.North = unit.Metre(e*cos+n*sin)+east, unit.Metre(n*cos-e*sin)+north
				return
			}
			for i := range v.NumField() {
				if f := v.Type().Field(i); f.Name == "Facing" && v.Type().Name() != "Machine" {
					a := v.Field(i).Addr().Interface().(*unit.Amount[unit.Radian])
					*a = given(a.Best + turn)
				} else if f.IsExported() {
					walk(v.Field(i))
				}
			}
		}
	}
	walk(reflect.ValueOf(s))
	return s
}

// Turning and shifting the whole shop changes no length, turn, slack, rise, finding or crossing.
func TestTurnedShopIsTheSame(t *testing.T) {
	for _, arrangement := range []shop.ID{"", "boat in"} {
		want, found := plan.Of(boathouse(), arrangement)
		rapid.Check(t, func(t *rapid.T) {
			turn := unit.Radian(rapid.Float64Range(-7, 7).Draw(t, "turn"))
			east, north := unit.Metre(rapid.Float64Range(-50, 50).Draw(t, "east")), unit.Metre(rapid.Float64Range(-50, 50).Draw(t, "north"))
			got, found2 := plan.Of(turnedShop(boathouse(), turn, east, north), arrangement)
			close := func(what string, a, b float64) {
				if math.Abs(a-b) > 1e-9 {
					t.Fatalf("%s: %.12g, was %.12g", what, a, b)
				}
			}
			for i := range want.Pieces {
				w, g := &want.Pieces[i], &got.Pieces[i]
				what := string(w.Path)
				close(what+" length", float64(g.Length.Best), float64(w.Length.Best))
				close(what+" low", float64(g.Length.Low), float64(w.Length.Low))
				close(what+" turn", float64(g.Turn.Best), float64(w.Turn.Best))
				close(what+" rise", float64(g.Rise), float64(w.Rise))
				close(what+" slack", float64(g.Slack), float64(w.Slack))
				close(what+" line", float64(plan.LineLength(g.Line)), float64(plan.LineLength(w.Line)))
				if g.Goes != w.Goes || len(g.Crosses) != len(w.Crosses) || len(g.Line) != len(w.Line) || g.Length.Basis != w.Length.Basis {
					t.Fatalf("%s: %+v, was %+v", what, g, w)
				}
			}
			for i := range want.Lays {
				close("lay", float64(got.Lays[i].Straight), float64(want.Lays[i].Straight))
			}
			for i := range want.Cords {
				if want.Cords[i].Of != "ceiling cleaner" { // its footprint has no facing
					close("cord", float64(got.Cords[i].Straight), float64(want.Cords[i].Straight))
					close("cord by the walls", float64(got.Cords[i].Walls), float64(want.Cords[i].Walls))
				}
			}
			close("area", float64(got.Room.Area), float64(want.Room.Area))
			if len(found) != len(found2) {
				t.Fatalf("%d findings, were %d", len(found2), len(found))
			}
			for i := range found {
				if found[i].Code != found2[i].Code || found[i].Sentence(unit.SI) != found2[i].Sentence(unit.SI) {
					t.Fatalf("finding %q, was %q", found2[i].Sentence(unit.SI), found[i].Sentence(unit.SI))
				}
			}
		})
	}
}

func TestShopIsNotChanged(t *testing.T) {
	s := boathouse()
	plan.Of(s, "boat in")
	if d := cmp.Diff(boathouse(), s); d != "" {
		t.Error(d)
	}
}

func TestSameTwice(t *testing.T) {
	a, f := plan.Of(boathouse(), "")
	b, g := plan.Of(boathouse(), "")
	x, err := json.Marshal(a)
	if err != nil {
		t.Fatal(err)
	}
	y, err := json.Marshal(b)
	if err != nil {
		t.Fatal(err)
	}
	if string(x) != string(y) || len(f) != len(g) {
		t.Error("two layouts of one shop differ")
	}
}

// Keys of numbers end in their SI unit, and lookups find what is listed.
func TestJSONKeysEndInTheirUnit(t *testing.T) {
	seen := map[reflect.Type]bool{}
	var walk func(ty reflect.Type)
	walk = func(ty reflect.Type) {
		for ty.Kind() == reflect.Slice || ty.Kind() == reflect.Pointer {
			ty = ty.Elem()
		}
		if ty.Kind() != reflect.Struct || seen[ty] || !strings.HasSuffix(ty.PkgPath(), "shop/plan") {
			return
		}
		seen[ty] = true
		for i := range ty.NumField() {
			f := ty.Field(i)
			if !f.IsExported() {
				continue
			}
			key := f.Tag.Get("json")
			if key == "" || strings.ToLower(key) != key || strings.Contains(key, " ") {
				t.Errorf("%s.%s has no key for JSON: %q", ty.Name(), f.Name, key)
			}
			for kind, end := range map[string]string{"Metre": "_m", "M2": "_m2", "Radian": "_rad"} {
				if n := f.Type.Name(); (n == kind || strings.Contains(n, "unit."+kind+"]")) && !strings.HasSuffix(key, end) {
					t.Errorf("%s.%s: key %q does not end in %s", ty.Name(), f.Name, key, end)
				}
			}
			walk(f.Type)
		}
	}
	walk(reflect.TypeFor[plan.Layout]())
	walk(reflect.TypeFor[plan.Unfolded]())
	if len(seen) < 15 {
		t.Errorf("only %d types seen", len(seen))
	}
}

func TestLookups(t *testing.T) {
	l, _ := lay(t, boathouse())
	for i := range l.Pieces {
		p := &l.Pieces[i]
		if l.PieceAt(p.Path) != p || l.Piece(p.System, p.Run, p.Index) != p {
			t.Errorf("%s is not found again", p.Path)
		}
	}
	s := boathouse()
	for i := range s.Systems {
		for _, r := range s.Systems[i].Runs {
			for n := range r.Pieces {
				if p := l.PieceAt(shop.PiecePath(s.Systems[i].Name, r, n)); p == nil || p.Index != n {
					t.Errorf("%s: %v", shop.PiecePath(s.Systems[i].Name, r, n), p)
				}
			}
		}
	}
	if g := l.Named(shop.Gate, "collector", "saw gate"); g == nil || !g.Placed {
		t.Error("the saw gate has no place")
	}
	if g := l.Named(shop.Tap, "", "A"); g == nil {
		t.Error("no tap A")
	}
	if l.PieceAt("nope") != nil || l.Piece("collector", "main", 9) != nil || l.Piece("collector", "main", -1) != nil ||
		l.Run("x", "main") != nil || l.System("x") != nil || l.Outlet("x") != nil || l.Machine("x") != nil || l.Port(port("x")) != nil || l.Unfold("x", "main") != nil {
		t.Error("found what is not there")
	}
	if l.Port(port("table saw", "nope")) != nil {
		t.Error("found a port that is not there")
	}
}

// The ceiling run unfolded by hand: along 0,1,2,9,13,20,(20.5,21),27,29,31 ft at heights 1,1,1,8,8,8,8,8,8,6,4.
func TestUnfoldByHand(t *testing.T) {
	l, _ := lay(t, boathouse())
	u := l.Unfold("collector", "ceiling")
	want := map[string][2]float64{
		"wye 1": {0, 1}, "pipe 1": {0, 1}, "gate saw gate": {1, 1}, "pipe 2": {1, 1}, "elbow 1": {2, 1}, "pipe 3": {2, 1}, "elbow 2": {9, 8},
		"pipe 4": {9, 8}, "elbow 3": {13, 8}, "pipe 5": {13, 8}, "reducer 1": {20, 8}, "wye band saw drop": {20.5, 8}, "pipe 6": {21, 8},
		"elbow 4": {27, 8}, "pipe 7": {27, 8}, "tap A": {29, 6}, "pipe 8": {29, 6}, "": {31, 4},
	}
	if len(u.Points) != len(want) || !u.Absolute {
		t.Fatalf("%d points, absolute %v", len(u.Points), u.Absolute)
	}
	for _, p := range u.Points {
		w := want[p.Piece.Last()]
		near(t, string(p.Piece)+" along", p.Along, ft(w[0]))
		near(t, string(p.Piece)+" height", p.Height, ft(w[1]))
		if !p.Sure {
			t.Errorf("%s is not sure", p.Piece)
		}
	}
	// The band saw's drop has no points: port at 18 in, wye at 8 ft, 5 ft of it a plumb pipe, level behind it; the hose has
	// the 1.5 ft that are left, and nothing else can have them.
	u = l.Unfold("collector", "band saw drop")
	for i, w := range [][2]float64{{0, 1.5}, {4, 3}, {4, 3}, {9, 8}, {9, 8}, {12, 8}} {
		near(t, "drop along", u.Points[i].Along, ft(w[0]))
		near(t, "drop height", u.Points[i].Height, ft(w[1]))
		if !u.Points[i].Sure {
			t.Errorf("point %d is not sure", i)
		}
	}
	// no height anywhere: from zero, 5 ft up
	bare, _ := lay(t, of(shop.System{Name: "collector", Runs: []shop.Run{run("main", 4, hose(4), goes(pipe(5), "up"), elbow(90), pipe(3))}}))
	u = bare.Unfold("collector", "main")
	near(t, "top", u.Points[4].Height, ft(5))
	near(t, "end", u.Points[4].Along, ft(12))
	if u.Absolute || u.Points[2].Sure {
		t.Error("nothing is known of its height")
	}
	// a known end alone: backwards from the inlet at 6 ft
	bare, _ = lay(t, of(collector(at(0, 0, 6), run("main", 4, goes(pipe(5), "up"), elbow(90), pipe(3)))))
	u = bare.Unfold("collector", "main")
	near(t, "start", u.Points[0].Height, ft(1))
	if !u.Points[0].Sure || !u.Absolute {
		t.Error("it follows from what is written")
	}
}

// Where pieces have no points, the sketch still goes from end to end, in one line, with plumb pipes plumb.
func TestSketch(t *testing.T) {
	l, _ := lay(t, boathouse())
	var at *plan.Vec3
	pieces := l.RunPieces("collector", "band saw drop")
	for i := range pieces {
		p := &pieces[i]
		if p.Line != nil || p.Sketch == nil {
			t.Fatalf("%s: line %v, sketch %v", p.Path, p.Line, p.Sketch)
		}
		if at != nil && plan.Distance(*at, p.Sketch[0]) > 1e-9 {
			t.Errorf("%s starts at %v, the one before ends at %v", p.Path, p.Sketch[0], *at)
		}
		at = &p.Sketch[len(p.Sketch)-1]
	}
	same(t, "from the port", pieces[0].Sketch[0], l.Port(port("band saw")).At)
	same(t, "to the wye", *at, spot(10, 2, 8))
	// port 9,4,1.5 to wye 10,2,8: the level 3 ft pipe is longer than the way of √5 ft, so it takes all of it; the plumb
	// pipe 5 ft; the hose what is left upwards, 1.5 ft
	same(t, "end of the hose", pieces[0].Sketch[1], spot(9, 4, 3))
	same(t, "top of the drop", pieces[2].Sketch[1], spot(9, 4, 8))
}

func BenchmarkOf(b *testing.B) {
	s := boathouse()
	b.ReportAllocs()
	for b.Loop() {
		plan.Of(s, "")
	}
}
