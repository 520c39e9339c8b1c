package plan_test

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"winnow/internal/shop/plan"
	"winnow/internal/unit"
)

func poly(xy ...float64) plan.Polygon {
	var p plan.Polygon
	for i := 0; i < len(xy); i += 2 {
		p = append(p, plan.Vec3{East: unit.Metre(xy[i]), North: unit.Metre(xy[i+1])})
	}
	return p
}

func TestAreaAgainstPublishedAndByHand(t *testing.T) {
	for _, c := range []struct {
		name string
		p    plan.Polygon
		want float64
	}{
		// [S-200] worked example: 30, given clockwise there, so negative here
		{"published", poly(3, 4, 5, 11, 12, 8, 9, 5, 5, 6), -30},
		{"square, counter-clockwise", poly(0, 0, 1, 0, 1, 1, 0, 1), 1},
		{"square, clockwise", poly(0, 0, 0, 1, 1, 1, 1, 0), -1},
		{"half a square", poly(0, 0, 2, 0, 0, 2), 2},
		// the boathouse in feet: 30 x 22 less the 12 x 5 notch = 660 - 60
		{"room with a notch", poly(0, 0, 30, 0, 30, 22, 12, 22, 12, 17, 0, 17), 600},
		// a U: 10 x 8 less the 4 x 5 bay = 80 - 20
		{"room with a bay", poly(0, 0, 10, 0, 10, 8, 7, 8, 7, 3, 3, 3, 3, 8, 0, 8), 60},
		{"two corners are no area", poly(0, 0, 5, 5), 0},
	} {
		if got := float64(c.p.SignedArea()); math.Abs(got-c.want) > 1e-12 {
			t.Errorf("%s: got %.15g, want %g", c.name, got, c.want)
		}
	}
	// far from zero the digits must not go: the same square a thousand kilometres east
	if got := float64(poly(1e6, 1e6, 1e6+1, 1e6, 1e6+1, 1e6+1, 1e6, 1e6+1).SignedArea()); got != 1 {
		t.Errorf("far square: got %.15g, want 1", got)
	}
}

// Heron's formula: area = sqrt(s(s-a)(s-b)(s-c)), which knows nothing of coordinates.
func TestTriangleAgainstHeron(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := drawPoints(t, 3)
		a, b, c := float64(plan.Distance(p[0], p[1])), float64(plan.Distance(p[1], p[2])), float64(plan.Distance(p[2], p[0]))
		s := (a + b + c) / 2
		want := math.Sqrt(math.Max(0, s*(s-a)*(s-b)*(s-c)))
		if got := float64(p.Area()); math.Abs(got-want) > 1e-5*(1+want) {
			t.Fatalf("triangle %v: got %g, want %g", p, got, want)
		}
	})
}

func drawPoints(t *rapid.T, n int) plan.Polygon {
	p := make(plan.Polygon, n)
	for i := range p {
		p[i] = plan.Vec3{East: unit.Metre(rapid.Float64Range(-20, 20).Draw(t, "east")), North: unit.Metre(rapid.Float64Range(-20, 20).Draw(t, "north"))}
	}
	return p
}

// drawStar is a polygon seen whole from its middle, concave as may be, counter-clockwise.
func drawStar(t *rapid.T) plan.Polygon {
	n := rapid.IntRange(3, 9).Draw(t, "corners")
	p := make(plan.Polygon, n)
	for i := range p {
		a := 2 * math.Pi * (float64(i) + rapid.Float64Range(0, 0.7).Draw(t, "at")) / float64(n)
		r := rapid.Float64Range(1, 10).Draw(t, "radius")
		p[i] = plan.Vec3{East: unit.Metre(r * math.Cos(a)), North: unit.Metre(r * math.Sin(a))}
	}
	return p
}

func moved(p plan.Polygon, turn, east, north float64) plan.Polygon {
	sin, cos := math.Sincos(turn)
	out := make(plan.Polygon, len(p))
	for i, c := range p {
		e, n := float64(c.East), float64(c.North)
		out[i] = plan.Vec3{East: unit.Metre(e*cos - n*sin + east), North: unit.Metre(e*sin + n*cos + north), Height: c.Height}
	}
	return out
}

func reversed(p plan.Polygon) plan.Polygon {
	out := make(plan.Polygon, len(p))
	for i := range p {
		out[len(p)-1-i] = p[i]
	}
	return out
}

func TestAreaTurnsAndShifts(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := drawStar(t)
		a := float64(p.SignedArea())
		turned := float64(moved(p, rapid.Float64Range(-4, 4).Draw(t, "turn"), rapid.Float64Range(-99, 99).Draw(t, "east"), rapid.Float64Range(-99, 99).Draw(t, "north")).SignedArea())
		if math.Abs(turned-a) > 1e-9*(1+math.Abs(a)) {
			t.Fatalf("area moved from %g to %g", a, turned)
		}
		if back := float64(reversed(p).SignedArea()); math.Abs(back+a) > 1e-9*(1+math.Abs(a)) {
			t.Fatalf("reversed: %g, want %g", back, -a)
		}
		if p.CrossesItself() {
			t.Fatalf("a star does not cross itself: %v", p)
		}
	})
}

// The winding number of Polygon p about q is the sum of the angles under which its edges are seen, over 2π: a second way
// to say inside, with nothing in common with counting crossings.
func winding(p plan.Polygon, q plan.Vec3) int {
	var sum float64
	for i := range p {
		a, b := p[i], p[(i+1)%len(p)]
		ax, ay := float64(a.East-q.East), float64(a.North-q.North)
		bx, by := float64(b.East-q.East), float64(b.North-q.North)
		sum += math.Atan2(ax*by-ay*bx, ax*bx+ay*by)
	}
	return int(math.Round(sum / (2 * math.Pi)))
}

func TestContainsAgainstWinding(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := drawStar(t)
		q := drawPoints(t, 1)[0]
		if p.Gap(q) < 1e-3 {
			t.Skip("on the outline, where the winding number is not defined")
		}
		if got, want := p.Contains(q), winding(p, q) != 0; got != want {
			t.Fatalf("%v in %v: got %v, want %v", q, p, got, want)
		}
	})
	square := poly(0, 0, 4, 0, 4, 4, 0, 4)
	for _, q := range []plan.Vec3{{}, {East: 2}, {East: 4, North: 2}, {East: 5, North: 2}} {
		if square.Contains(q) {
			t.Errorf("%v on the outline or outside counts as inside", q)
		}
	}
}

func TestCrossesItself(t *testing.T) {
	for _, c := range []struct {
		name string
		p    plan.Polygon
		want bool
	}{
		{"square", poly(0, 0, 4, 0, 4, 4, 0, 4), false},
		{"bow tie", poly(0, 0, 4, 4, 4, 0, 0, 4), true},
		{"notch", poly(0, 0, 30, 0, 30, 22, 12, 22, 12, 17, 0, 17), false},
		{"two corners swapped", poly(0, 0, 30, 0, 12, 22, 30, 22, 12, 17, 0, 17), true},
		{"a wall that comes back on itself", poly(0, 0, 4, 0, 4, 4, 4, 1, 0, 4), true},
		{"a corner on another wall", poly(0, 0, 4, 0, 4, 4, 2, 0, 0, 4), true},
		{"a corner too many on a straight wall", poly(0, 0, 2, 0, 4, 0, 4, 4, 0, 4), false},
	} {
		if got := c.p.CrossesItself(); got != c.want {
			t.Errorf("%s: got %v, want %v", c.name, got, c.want)
		}
	}
}

// By hand: two 4 x 2 boxes, the second 3 east and 1 north of the first, share 1 x 1; the shortest way out is 1.
func TestOverlapByHand(t *testing.T) {
	a := poly(0, 0, 4, 0, 4, 2, 0, 2)
	for _, c := range []struct {
		name string
		b    plan.Polygon
		want float64
	}{
		{"corner in corner", poly(3, 1, 7, 1, 7, 3, 3, 3), 1},
		{"half an inch of it", poly(3.99, 0, 5, 0, 5, 2, 3.99, 2), 0.01},
		{"touching", poly(4, 0, 5, 0, 5, 2, 4, 2), 0},
		{"apart", poly(9, 0, 12, 0, 12, 2, 9, 2), 0},
		// a diamond whose west tip reaches to x = 3: pushed east by 1 it is out
		{"tip of a diamond", poly(3, 1, 5, -1, 7, 1, 5, 3), 1},
		{"diamond past the corner", poly(4.1, 3, 6, 1.1, 7.9, 3, 6, 4.9), 0},
		// inside: 0.5 from the south wall, and 0.5 wide: 0.5 + 0.5 out
		{"inside", poly(1, 0.5, 3, 0.5, 3, 1, 1, 1), 1},
	} {
		if got := float64(plan.Overlap(a, c.b)); math.Abs(got-c.want) > 1e-12 {
			t.Errorf("%s: got %g, want %g", c.name, got, c.want)
		}
		if got := float64(plan.Overlap(c.b, a)); math.Abs(got-c.want) > 1e-12 {
			t.Errorf("%s, the other way round: got %g, want %g", c.name, got, c.want)
		}
		if got := plan.Meets(a, c.b); got != (c.want > 0) {
			t.Errorf("%s: meets %v", c.name, got)
		}
	}
}

func TestNoAreaMeetsNothing(t *testing.T) {
	a := poly(0, 0, 4, 0, 4, 2, 0, 2)
	for _, b := range []plan.Polygon{nil, poly(1, 1), poly(1, 1, 3, 1)} {
		if plan.Meets(a, b) || plan.Meets(b, a) || plan.Overlap(a, b) != 0 || b.Area() != 0 || b.Contains(a[0]) {
			t.Errorf("%v has an area", b)
		}
	}
	if !plan.Meets(a, a) || plan.Overlap(a, a) != 2 {
		t.Errorf("an area meets itself, %g deep", plan.Overlap(a, a))
	}
}

func TestEntryByHand(t *testing.T) {
	u := poly(0, 0, 10, 0, 10, 8, 7, 8, 7, 3, 3, 3, 3, 8, 0, 8) // a U
	v := func(x, y float64) plan.Vec3 { return plan.Vec3{East: unit.Metre(x), North: unit.Metre(y)} }
	for _, c := range []struct {
		name     string
		a, b     plan.Vec3
		from, to float64
		ok       bool
	}{
		{"through one leg", v(-5, 5), v(5, 5), 0.5, 0.8, true},                // x 0 to 3 of -5..5
		{"through both legs: the first", v(-5, 5), v(15, 5), 0.25, 0.4, true}, // x 0 to 3 of -5..15
		{"starts inside", v(1, 1), v(1, 21), 0, 0.35, true},                   // y 1 to 8 of 1..21
		{"all inside", v(1, 1), v(9, 1), 0, 1, true},
		{"in the bay", v(4, 5), v(6, 7), 0, 0, false},
		{"along a wall", v(0, 0), v(10, 0), 0, 0, false},
		{"touches a corner", v(-1, 1), v(1, -1), 0, 0, false},
		{"in by a corner", v(-1, -1), v(1, 1), 0.5, 1, true},
		{"outside", v(20, 0), v(30, 5), 0, 0, false},
	} {
		from, to, ok := u.Entry(c.a, c.b)
		if ok != c.ok || math.Abs(from-c.from) > 1e-12 || ok && math.Abs(to-c.to) > 1e-12 {
			t.Errorf("%s: got %g to %g %v, want %g to %g %v", c.name, from, to, ok, c.from, c.to, c.ok)
		}
	}
}

// Facing 90° the front looks east, so somebody looking at it looks west and has north on the right.
func TestRectangleByHand(t *testing.T) {
	for _, c := range []struct {
		facing float64
		want   plan.Polygon
	}{
		{0, poly(-2, 1, 2, 1, 2, -1, -2, -1)},   // front north; front right is the west end
		{90, poly(1, 2, 1, -2, -1, -2, -1, 2)},  // front east; front right is the north end
		{180, poly(2, -1, -2, -1, -2, 1, 2, 1)}, // front south; front right is the east end
		{270, poly(-1, -2, -1, 2, 1, 2, 1, -2)}, // front west; front right is the south end
	} {
		got := plan.Rectangle(plan.Vec3{}, 4, 2, deg(c.facing))
		for i := range got {
			if plan.Distance(got[i], c.want[i]) > 1e-12 {
				t.Errorf("facing %g°: corner %d at %v, want %v", c.facing, i, got[i], c.want[i])
			}
		}
		if a := got.SignedArea(); math.Abs(float64(a)+8) > 1e-12 { // clockwise
			t.Errorf("facing %g°: area %g, want -8", c.facing, a)
		}
	}
}

func TestAngleByHand(t *testing.T) {
	v := func(e, n, h float64) plan.Vec3 {
		return plan.Vec3{East: unit.Metre(e), North: unit.Metre(n), Height: unit.Metre(h)}
	}
	for _, c := range []struct {
		a, b plan.Vec3
		want float64
	}{
		{v(1, 0, 0), v(2, 0, 0), 0},
		{v(1, 0, 0), v(0, 0, 5), 90},
		{v(1, 0, 0), v(-3, 0, 0), 180},
		{v(1, 0, 0), v(1, 1, 0), 45},
		{v(1, 1, 0), v(0, 1, 1), 60}, // dot 1, lengths √2 each: cos = 1/2
		{v(1, 0, 0), v(-1, math.Sqrt(3), 0), 120},
	} {
		got, ok := plan.AngleBetween(c.a, c.b)
		if !ok {
			t.Errorf("%v, %v: no angle", c.a, c.b)
		}
		nearAngle(t, "angle", got, deg(c.want))
	}
	if _, ok := plan.AngleBetween(v(0, 0, 0), v(1, 0, 0)); ok {
		t.Error("a way of no length has no angle")
	}
}
