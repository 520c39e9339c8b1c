package network_test

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"winnow/internal/physics/network"
	"winnow/internal/unit"
)

func points(t failer, f func([]network.FanPoint) (*network.Curve, error), p ...network.FanPoint) *network.Curve {
	t.Helper()
	c, err := f(p)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

func rating(p unit.Pascal, q unit.M3PerSec) network.Law {
	return network.Law{Kind: network.FanRating, ShutOff: p, FreeFlow: q, Exponent: 3}
}

func lossOf(d unit.Metre, k float64) network.Law {
	return network.Law{Kind: network.Loss, Diameter: d, K: k}
}

// One fan and one loss: p0·(1 - (Q/Q0)³) = k·Q² has a root in closed form by bisection; scales stretch the curve without a rebuild.
func TestFanRatingScales(t *testing.T) {
	l := rating(2400, 0.7)
	n := network.Network{
		Air:   indoorAir,
		Nodes: []network.Node{{Fixed: true}, {}, {Fixed: true}},
		Links: []network.Link{{From: 0, To: 1, Law: lossOf(0.125, 3)}, {From: 1, To: 2, Law: l}},
	}
	s := compile(t, n)
	for _, row := range []struct{ flow, pressure, speed float64 }{{0, 0, 0}, {0.8, 1.2, 0}, {1, 1, 0.85}, {1.3, 0.7, 1.1}} {
		l.FlowScale, l.PressureScale, l.Speed = row.flow, row.pressure, row.speed
		set(t, s, 1, l)
		got := float64(mustSolve(t, s).Flow[1])
		want := falling(func(q float64) float64 {
			return -twinDrop(t, indoorAir, l, q) - twinDrop(t, indoorAir, lossOf(0.125, 3), q)
		}, 0, 2)
		if math.Abs(got-want) > 1e-9*want {
			t.Errorf("%+v: got %.12g, want %.12g", row, got, want)
		}
	}
}

// Fan laws (ISO 5801, similarity at constant density): speed s gives s times the flow against a purely quadratic system. Source [S-047].
func TestFanSimilarity(t *testing.T) {
	l := rating(2000, 0.5)
	n := network.Network{
		Air:   indoorAir,
		Nodes: []network.Node{{Fixed: true}, {}, {Fixed: true}},
		Links: []network.Link{{From: 0, To: 1, Law: lossOf(0.1, 5)}, {From: 1, To: 2, Law: l}},
	}
	s := compile(t, n)
	full := float64(mustSolve(t, s).Flow[1])
	l.Speed = 0.6
	set(t, s, 1, l)
	sol := mustSolve(t, s)
	if got := float64(sol.Flow[1]); math.Abs(got-0.6*full) > 1e-9*full {
		t.Errorf("flow at speed 0.6: got %g, want %g", got, 0.6*full)
	}
}

// Two like fans side by side share the flow evenly; one alone, the other's way shut, carries all; one switched off and left open lets air
// back through it, so that the running fan moves more than the system gets.
func TestTwoFansSideBySide(t *testing.T) {
	fan := rating(2000, 0.4)
	n := network.Network{
		Air:   indoorAir,
		Nodes: []network.Node{{Fixed: true}, {}, {}, {Fixed: true}},
		Links: []network.Link{
			{From: 0, To: 1, Law: lossOf(0.125, 4)},
			{From: 1, To: 2, Law: fan},
			{From: 1, To: 2, Law: fan},
			{From: 2, To: 3, Law: lossOf(0.125, 2)},
		},
	}
	s := compile(t, n)
	sol := mustSolve(t, s)
	if math.Abs(float64(sol.Flow[1]-sol.Flow[2])) > 1e-12 {
		t.Errorf("like fans carry %g and %g", sol.Flow[1], sol.Flow[2])
	}
	both := sol.Flow[0]
	want := falling(func(q float64) float64 {
		return -twinDrop(t, indoorAir, fan, q/2) - twinDrop(t, indoorAir, lossOf(0.125, 6), q)
	}, 0, 1)
	if math.Abs(float64(both)-want) > 1e-9 {
		t.Errorf("two fans: got %.12g, want %.12g", both, want)
	}
	set(t, s, 2, network.Law{Kind: network.Shut})
	alone := mustSolve(t, s).Flow[0]
	if alone >= both {
		t.Errorf("one fan moves %g, two %g", alone, both)
	}
	set(t, s, 2, lossOf(0.1, 8)) // off: a resistance
	sol = mustSolve(t, s)
	if sol.Flow[2] >= 0 || sol.Flow[1] <= sol.Flow[0] || sol.Flow[0] >= alone {
		t.Errorf("fan off and open: flows %v, alone it was %g", sol.Flow, alone)
	}
	if off := math.Abs(float64(sol.Flow[1] + sol.Flow[2] - sol.Flow[0])); off > 1e-12 {
		t.Errorf("flows %v do not add up", sol.Flow)
	}
}

// A fan overpowered by another is blown backwards: it still has a defined, steadily growing resistance.
func TestFanBlownBackwards(t *testing.T) {
	for _, weak := range []network.Law{
		rating(300, 0.3),
		{Kind: network.Fan, Curve: points(t, network.Straight, network.FanPoint{Flow: 0, Rise: 300}, network.FanPoint{Flow: 0.15, Rise: 200}, network.FanPoint{Flow: 0.3})},
	} {
		n := network.Network{
			Air:   indoorAir,
			Nodes: []network.Node{{Fixed: true}, {}, {Fixed: true}},
			Links: []network.Link{
				{From: 0, To: 1, Law: lossOf(0.1, 50)},
				{From: 1, To: 2, Law: rating(3000, 0.5)},
				{From: 1, To: 2, Law: weak},
			},
		}
		s := compile(t, n)
		sol := s.Solve(1e-9)
		if sol.Status != network.FanOffCurve || sol.FanOff != 2 || sol.Flow[2] >= 0 {
			t.Errorf("status %v, fan %d, flows %v", sol.Status, sol.FanOff, sol.Flow)
		}
		suction := float64(sol.Pressure[1])
		if weak.Kind == network.FanRating && math.Abs(suction-twinDrop(t, indoorAir, weak, float64(sol.Flow[2]))) > 1e-6 {
			t.Errorf("the weak fan is off its curve")
		}
	}
}

// A fan given in total pressure with K = 1 at its free exit is the fan given in static pressure with no exit loss: FTP = FSP + VP at its
// outlet (ISO 5801). Source [S-047].
func TestStaticAndTotalFan(t *testing.T) {
	const d = 0.15
	var static, total []network.FanPoint
	for k := range 41 { // dense, so that straight pieces do not matter
		q := 0.015 * float64(k)
		p := 2500 * (1 - math.Pow(q/0.6, 3))
		static = append(static, network.FanPoint{Flow: unit.M3PerSec(q), Rise: unit.Pascal(p)})
		total = append(total, network.FanPoint{Flow: unit.M3PerSec(q), Rise: unit.Pascal(p + velocityPressure(q, d))})
	}
	flow := func(c *network.Curve, exit float64) float64 {
		n := network.Network{
			Air:   indoorAir,
			Nodes: []network.Node{{Fixed: true}, {}, {}, {Fixed: true}},
			Links: []network.Link{
				{From: 0, To: 1, Law: network.Law{Kind: network.Duct, Diameter: 0.125, Length: 6, Roughness: 9e-5, K: 1.5}},
				{From: 1, To: 2, Law: network.Law{Kind: network.Fan, Curve: c}},
				{From: 2, To: 3, Law: lossOf(d, exit)},
			},
		}
		return float64(mustSolve(t, compile(t, n)).Flow[0])
	}
	a, b := flow(points(t, network.Smooth, static...), 0), flow(points(t, network.Smooth, total...), 1)
	if math.Abs(a-b) > 1e-4*a {
		t.Errorf("static fan %g m³/s, total fan with its exit loss %g", a, b)
	}
}

// With every gate shut the fan stands at its shut-off pressure; it must get there from a running state and come back from it.
func TestFanStaysOnItsCurveWhenAllIsShut(t *testing.T) {
	for _, c := range cases(t) {
		if c.Family != "edge" && c.Family != "shop" {
			continue
		}
		s := compile(t, c.Network)
		mustSolve(t, s)
		fan := -1
		for i := range c.Open {
			if c.Open[i].Kind == network.Fan {
				fan = i
			}
		}
		for range 3 {
			for i, l := range c.Open {
				if l.Kind == network.Loss && c.LinkIDs[i] != "separator" {
					set(t, s, i, network.Law{Kind: network.Shut})
				}
			}
			shut := mustSolve(t, s)
			if c.Family == "shop" && shut.Flow[fan] != 0 {
				t.Errorf("%s: all shut and the fan moves %g m³/s", c.Name, shut.Flow[fan])
			}
			for i := range c.Open {
				set(t, s, i, c.Network.Links[i].Law)
			}
			sol := mustSolve(t, s)
			if off, at := worst(sol.Flow, c.Want.Flows); off > 1e-9*max(largest(c.Want.Flows), 1e-6) {
				t.Errorf("%s: back from all shut link %s is off by %g", c.Name, c.LinkIDs[at], off)
			}
		}
	}
}

// The smooth curve goes through its points, stays monotone between them (Fritsch and Carlson's conditions) and has a continuous slope:
// seen from outside, the flow it gives against a rising system rises as the system's loss falls, without a jump.
func TestSmoothCurve(t *testing.T) {
	p := []network.FanPoint{{Flow: 0, Rise: 2400}, {Flow: 0.1, Rise: 2380}, {Flow: 0.3, Rise: 1900}, {Flow: 0.5, Rise: 700}, {Flow: 0.6, Rise: 0}}
	n := network.Network{
		Air:   indoorAir,
		Nodes: []network.Node{{Fixed: true}, {Fixed: true}},
		Links: []network.Link{{From: 0, To: 1, Law: network.Law{Kind: network.Fan, Curve: points(t, network.Smooth, p...)}}},
	}
	s := compile(t, n)
	for _, x := range p[1:] { // (the curve starts level, so its first point is no measure) against a fixed pressure the flow is read off the curve
		if err := s.SetPressure(1, x.Rise); err != nil {
			t.Fatal(err)
		}
		if got := mustSolve(t, s).Flow[0]; math.Abs(float64(got-x.Flow)) > 1e-9 {
			t.Errorf("at %g Pa: got %g, want %g", x.Rise, got, x.Flow)
		}
	}
	last := unit.M3PerSec(math.Inf(1))
	for rise := unit.Pascal(5); rise < 2400; rise += 5 {
		if err := s.SetPressure(1, rise); err != nil {
			t.Fatal(err)
		}
		q := mustSolve(t, s).Flow[0]
		if q >= last {
			t.Fatalf("not falling at %g Pa", rise)
		}
		last = q
	}
}

// A humped fan, straight or smooth, against a random quadratic system with a pressure across it: the points found are those a fine scan
// finds, and each is stable exactly when the curve falls through the system there.
func TestOperatingPointsAgainstScan(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var p []network.FanPoint
		for k := range 9 {
			p = append(p, network.FanPoint{Flow: unit.M3PerSec(0.05 * float64(k)), Rise: unit.Pascal(rapid.Float64Range(800, 1800).Draw(t, "rise"))})
		}
		p = append(p, network.FanPoint{Flow: 0.5, Rise: 100})
		p[0].Rise = max(p[0].Rise, p[1].Rise+1) // a first piece that rises goes on falling below its end, and meets the system in nonsense
		c := points(t, network.Straight, p...)
		across := unit.Pascal(rapid.Float64Range(-500, 1500).Draw(t, "across"))
		k := rapid.Float64Range(0.2, 20).Draw(t, "K")
		n := network.Network{
			Air:   indoorAir,
			Nodes: []network.Node{{Fixed: true}, {}, {}, {Fixed: true, Pressure: across}},
			Links: []network.Link{
				{From: 0, To: 1, Law: lossOf(0.14, k)},
				{From: 1, To: 2, Law: network.Law{Kind: network.Fan, Curve: c}},
				{From: 2, To: 3, Law: lossOf(0.14, 1)},
			},
		}
		s, err := network.Compile(n)
		if err != nil {
			t.Fatal(err)
		}
		got, err := s.OperatingPoints(1, 1e-9)
		if err != nil {
			t.Fatal(err)
		}
		left := func(q float64) float64 {
			return -twinFan(n.Links[1].Law, p, q) - twinDrop(t, indoorAir, lossOf(0.14, k+1), q) - float64(across)
		}
		var want []network.OperatingPoint
		const steps = 6000
		lowest := 0.0
		if left(0) < 0 {
			lowest = -1.5
		}
		for i := range steps {
			a, b := lowest+(1.5-lowest)*float64(i)/steps, lowest+(1.5-lowest)*float64(i+1)/steps
			if fa, fb := left(a), left(b); (fa > 0) != (fb > 0) {
				q := falling(func(x float64) float64 { return left(x) * math.Copysign(1, fa) }, a, b)
				want = append(want, network.OperatingPoint{Flow: unit.M3PerSec(q), Stable: fa > 0})
			}
		}
		if len(got) != len(want) {
			t.Fatalf("got %v, a scan finds %v", got, want)
		}
		for i := range want {
			if math.Abs(float64(got[i].Flow-want[i].Flow)) > 1e-8 || got[i].Stable != want[i].Stable {
				t.Fatalf("point %d: got %+v, a scan finds %+v", i, got[i], want[i])
			}
		}
		sol := s.Solve(1e-9)
		for i := len(want) - 1; i >= 0; i-- {
			if want[i].Stable {
				if math.Abs(float64(sol.Flow[1]-want[i].Flow)) > 1e-8 || sol.SeveralPoints != (len(want) > 1) {
					t.Fatalf("solve: flow %g, several %v, want %+v", sol.Flow[1], sol.SeveralPoints, want[i])
				}
				break
			}
		}
	})
}

// Two humped fans: the answer must lie on both true curves.
func TestTwoHumpedFans(t *testing.T) {
	p := []network.FanPoint{{Flow: 0, Rise: 1500}, {Flow: 0.09, Rise: 1236}, {Flow: 0.15, Rise: 1386}, {Flow: 0.21, Rise: 1652}, {Flow: 0.28, Rise: 1380}, {Flow: 0.4, Rise: 180}}
	c := points(t, network.Straight, p...)
	fan := network.Law{Kind: network.Fan, Curve: c}
	n := network.Network{
		Air:   indoorAir,
		Nodes: []network.Node{{Fixed: true}, {}, {}, {Fixed: true}},
		Links: []network.Link{
			{From: 0, To: 1, Law: lossOf(0.16, 2)},
			{From: 1, To: 2, Law: fan},
			{From: 1, To: 2, Law: fan},
			{From: 2, To: 3, Law: lossOf(0.16, 1)},
		},
	}
	sol := mustSolve(t, compile(t, n))
	if off, balance, where := offLaw(t, n, fanLaws{1: p, 2: p}, sol, 1e-9); off > 1e-6 || balance > 1e-9 {
		t.Errorf("%s off by %g Pa", where, off)
	}
	if !sol.SeveralPoints {
		t.Errorf("humped fans side by side may settle elsewhere: not said")
	}
}
