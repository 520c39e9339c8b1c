package plan_test

import (
	"math"
	"testing"

	"winnow/internal/shop"
	"winnow/internal/shop/plan"
	"winnow/internal/unit"
)

func ft(x float64) unit.Metre { return unit.Metre(0.3048 * x) }
func in(x float64) unit.Metre { return unit.Metre(0.0254 * x) }

func deg(x float64) unit.Radian { return unit.Radian(x * math.Pi / 180) }

func given[T unit.Real](v T) unit.Amount[T] {
	return unit.Amount[T]{Best: v, Low: v, High: v, Basis: unit.Given}
}

func assumed[T unit.Real](v T) unit.Amount[T] {
	return unit.Amount[T]{Best: v, Low: v, High: v, Basis: unit.Assumed}
}

func drawn[T unit.Real]() unit.Amount[T] { return unit.Amount[T]{Basis: unit.Drawn} }

// at is a point in feet: east, north, and the height if there is a third number.
func at(feet ...float64) shop.Point {
	p := shop.Point{East: ft(feet[0]), North: ft(feet[1]), Basis: unit.Given}
	if len(feet) > 2 {
		p.Height = given(ft(feet[2]))
	}
	return p
}

func corners(feet ...float64) []shop.Point {
	var out []shop.Point
	for i := 0; i < len(feet); i += 2 {
		out = append(out, at(feet[i], feet[i+1]))
	}
	return out
}

func foot(width, depth unit.Metre) shop.Footprint {
	return shop.Footprint{Width: width, Depth: depth, Basis: unit.Given}
}

func pipe(feet float64) shop.Piece { return shop.Piece{What: shop.Pipe, Pipe: given(ft(feet))} }
func hose(feet float64) shop.Piece { return shop.Piece{What: shop.Hose, Hose: given(ft(feet))} }
func pipeDrawn() shop.Piece        { return shop.Piece{What: shop.Pipe, Pipe: drawn[unit.Metre]()} }

func goes(p shop.Piece, way string) shop.Piece { p.Goes = way; return p }

func sized(p shop.Piece, inches float64) shop.Piece { p.Size = given(in(inches)); return p }

func elbow(degrees float64, feet ...float64) shop.Piece {
	return located(shop.Piece{What: shop.Elbow, Elbow: given(deg(degrees))}, feet)
}

func elbowDrawn(feet ...float64) shop.Piece {
	return located(shop.Piece{What: shop.Elbow, Elbow: drawn[unit.Radian]()}, feet)
}

func gate(name string, feet ...float64) shop.Piece {
	return located(shop.Piece{What: shop.Gate, Gate: name}, feet)
}

func tap(name string, feet ...float64) shop.Piece {
	return located(shop.Piece{What: shop.Tap, Tap: name}, feet)
}

func kink(open float64) shop.Piece {
	return shop.Piece{What: shop.Kink, Kink: given(unit.Fraction(open))}
}

func separator(name string, feet ...float64) shop.Piece {
	return located(shop.Piece{What: shop.Separator, Separator: name}, feet)
}

func reducer(inches float64, feet ...float64) shop.Piece {
	return located(shop.Piece{What: shop.Reducer, Reducer: given(in(inches))}, feet)
}

func wye(runs ...string) shop.Piece {
	return shop.Piece{What: shop.Wye, Wye: runs, Angle: assumed(deg(45))}
}

func where(p shop.Piece, feet ...float64) shop.Piece { return located(p, feet) }

func located(p shop.Piece, feet []float64) shop.Piece {
	if len(feet) > 0 {
		p.At = at(feet...)
	}
	return p
}

func run(name string, inches float64, pieces ...shop.Piece) shop.Run {
	return shop.Run{Name: name, Size: given(in(inches)), Pieces: pieces}
}

func from(r shop.Run, ports ...shop.PortRef) shop.Run {
	r.From = shop.From{Ports: ports, Basis: unit.Given}
	return r
}

func port(machine string, name ...string) shop.PortRef {
	if len(name) > 0 {
		return shop.PortRef{Machine: machine, Port: name[0]}
	}
	return shop.PortRef{Machine: machine}
}

func ports(p ...shop.Port) shop.Maybe[[]shop.Port] {
	return shop.Maybe[[]shop.Port]{Value: p, Basis: unit.Given}
}

func plug(outlet string, cord float64) shop.Maybe[shop.Plug] {
	return shop.Maybe[shop.Plug]{Value: shop.Plug{Outlet: outlet, Cord: given(ft(cord))}, Basis: unit.Given}
}

// collector is a system at a point with the given runs.
func collector(spot shop.Point, runs ...shop.Run) shop.System {
	return shop.System{Name: "collector", Kind: "collector", At: spot, Runs: runs}
}

func of(systems ...shop.System) *shop.Shop { return &shop.Shop{Version: 1, Systems: systems} }

// lay lays a shop out and returns the names of the findings too.
func lay(t testing.TB, s *shop.Shop, arrangement ...shop.ID) (*plan.Layout, []string) {
	t.Helper()
	name := ""
	if len(arrangement) > 0 {
		name = arrangement[0]
	}
	l, found := plan.Of(s, name)
	var codes []string
	for _, f := range found {
		codes = append(codes, f.Code.Name)
	}
	return l, codes
}

func near(t testing.TB, what string, got, want unit.Metre) {
	t.Helper()
	if d := math.Abs(float64(got - want)); !(d <= 1e-9*math.Max(1, math.Abs(float64(want)))) {
		t.Errorf("%s: got %.9g m (%.6g ft), want %.9g m (%.6g ft)", what, float64(got), float64(got)/0.3048, float64(want), float64(want)/0.3048)
	}
}

func nearAngle(t testing.TB, what string, got, want unit.Radian) {
	t.Helper()
	if d := math.Abs(float64(got - want)); !(d <= 1e-9) {
		t.Errorf("%s: got %.9g°, want %.9g°", what, float64(got)*180/math.Pi, float64(want)*180/math.Pi)
	}
}

func none(t testing.TB, codes []string) {
	t.Helper()
	if len(codes) > 0 {
		t.Errorf("findings %q, want none", codes)
	}
}

func has(codes []string, name string) bool {
	for _, c := range codes {
		if c == name {
			return true
		}
	}
	return false
}

func piece(t testing.TB, l *plan.Layout, path shop.Path) *plan.PieceLayout {
	t.Helper()
	p := l.PieceAt(path)
	if p == nil {
		t.Fatalf("no piece at %s", path)
	}
	return p
}
