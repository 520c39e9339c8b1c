package network_test

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"winnow/internal/physics/network"
	"winnow/internal/unit"
)

// drawn is a random network and what is to be known about it.
type drawn struct {
	network.Network
	fans  fanLaws
	gates []int // links that may be toggled
	fan   int
}

var indoorAir = network.Air{Density: 1.204, Viscosity: 1.813e-5}

func (d *drawn) node(fixed bool, p float64) int {
	d.Nodes = append(d.Nodes, network.Node{Fixed: fixed, Pressure: unit.Pascal(p)})
	return len(d.Nodes) - 1
}

func (d *drawn) link(t *rapid.T, from, to int, l network.Law) int {
	if rapid.Bool().Draw(t, "against") && l.Kind != network.Fan && l.Kind != network.FanRating {
		from, to = to, from
	}
	d.Links = append(d.Links, network.Link{From: from, To: to, Law: l})
	return len(d.Links) - 1
}

func drawPassive(t *rapid.T) network.Law {
	bore := unit.Metre(rapid.SampledFrom([]float64{0.038, 0.063, 0.08, 0.1, 0.125, 0.15, 0.2, 0.3}).Draw(t, "bore"))
	k := rapid.SampledFrom([]float64{0, 0.05, 0.4, 2, 30, 1e5}).Draw(t, "K")
	switch rapid.IntRange(0, 9).Draw(t, "law") {
	case 0:
		return network.Law{Kind: network.Loss, Diameter: bore, K: k + 0.02}
	case 1:
		return network.Law{Kind: network.Orifice, CdA: unit.M2(math.Pow(10, rapid.Float64Range(-9, -2).Draw(t, "log CdA")))}
	case 2:
		return network.Law{Kind: network.Leak, C: math.Pow(10, rapid.Float64Range(-7, -2).Draw(t, "log C")), Exponent: rapid.SampledFrom([]float64{0.5, 0.65, 1}).Draw(t, "n")}
	case 3:
		return network.Law{Kind: network.Filter, A: rapid.SampledFrom([]float64{0, 500, 3000}).Draw(t, "a"), B: rapid.SampledFrom([]float64{0, 700}).Draw(t, "b") + 1}
	case 4:
		return network.Law{Kind: network.Duct, Diameter: bore, Length: unit.Metre(rapid.Float64Range(0, 5).Draw(t, "length")), Darcy: 0.046, K: k}
	case 5: // a piece of next to no length, and wide
		return network.Law{Kind: network.Duct, Diameter: 0.8, Length: unit.Metre(rapid.SampledFrom([]float64{0, 0.02}).Draw(t, "length")), Roughness: 9e-5}
	}
	return network.Law{
		Kind: network.Duct, Diameter: bore, Length: unit.Metre(rapid.Float64Range(0.1, 12).Draw(t, "length")),
		Roughness: bore * unit.Metre(rapid.SampledFrom([]float64{0, 1e-4, 9e-4, 0.013, 0.07}).Draw(t, "relative roughness")), K: k,
		FrictionScale: rapid.SampledFrom([]float64{0, 0.8, 1.3}).Draw(t, "scale"),
	}
}

func (d *drawn) drawFan(t *rapid.T, from, to int) int {
	p := rapid.Float64Range(500, 5000).Draw(t, "shut-off")
	q := rapid.Float64Range(0.1, 1.5).Draw(t, "free flow")
	if rapid.Bool().Draw(t, "rating") {
		return d.link(t, from, to, network.Law{
			Kind: network.FanRating, ShutOff: unit.Pascal(p), FreeFlow: unit.M3PerSec(q), Exponent: rapid.SampledFrom([]float64{1, 1.2, 3}).Draw(t, "exponent"),
			Speed: rapid.SampledFrom([]float64{0, 0.85}).Draw(t, "speed"),
		})
	}
	var points []network.FanPoint
	for k := range 6 {
		x := float64(k) / 5
		points = append(points, network.FanPoint{Flow: unit.M3PerSec(x * q), Rise: unit.Pascal(p * (1 - x*x*(0.7+0.3*x)))})
	}
	c, err := network.Straight(points)
	if err != nil {
		t.Fatal(err)
	}
	i := d.link(t, from, to, network.Law{Kind: network.Fan, Curve: c, Speed: rapid.SampledFrom([]float64{0, 0.85}).Draw(t, "speed")})
	d.fans[i] = points
	return i
}

// drawNetwork makes a random tree that hangs on a fan, and adds to it extra links (loops, parallel links), rooms at other pressures,
// dead ends, shut gates and more fans.
func drawNetwork(t *rapid.T, loops bool) *drawn {
	d := &drawn{fans: fanLaws{}}
	d.Air = indoorAir
	out := d.node(true, 0)
	inlet := d.node(false, 0)
	d.fan = d.drawFan(t, inlet, out)
	inner := []int{inlet}
	n := rapid.IntRange(1, 14).Draw(t, "branches")
	resists := func() network.Law { // between a room and the network something must: rooms at two pressures would drive no end of air
		l := drawPassive(t)
		if l.Kind == network.Duct || l.Kind == network.Loss {
			l.K = max(l.K, 0.5)
		}
		return l
	}
	room := func() int {
		return d.node(true, rapid.SampledFrom([]float64{0, 0, 0, -30, 20, -600}).Draw(t, "room"))
	}
	for range n {
		at := rapid.SampledFrom(inner).Draw(t, "at")
		v := d.node(false, 0)
		i := d.link(t, v, at, drawPassive(t))
		if rapid.IntRange(0, 3).Draw(t, "is a gate") == 0 {
			d.gates = append(d.gates, i)
		}
		inner = append(inner, v)
		if rapid.IntRange(0, 3).Draw(t, "open end") > 0 {
			i := d.link(t, room(), v, resists())
			if rapid.Bool().Draw(t, "is a gate") {
				d.gates = append(d.gates, i)
			}
		}
	}
	if loops {
		for range rapid.IntRange(1, 6).Draw(t, "extra") {
			a, b := rapid.SampledFrom(inner).Draw(t, "from"), rapid.SampledFrom(inner).Draw(t, "to")
			if a != b {
				d.link(t, a, b, drawPassive(t))
			}
		}
	}
	for range rapid.IntRange(0, 2).Draw(t, "more fans") {
		d.drawFan(t, rapid.SampledFrom(inner).Draw(t, "its inlet"), d.node(true, 0))
	}
	for _, g := range d.gates {
		if rapid.Bool().Draw(t, "shut") {
			d.Links[g].Law = network.Law{Kind: network.Shut}
		}
	}
	return d
}

// checkBalanced: an answer that satisfies every law and balance is the answer, falling fan curves and rising losses having only one.
func checkBalanced(t *rapid.T, d *drawn, s *network.Solver) network.Solution {
	t.Helper()
	sol := s.Solve(1e-10)
	if !sol.Status.Solved() {
		t.Fatalf("%v after %d steps, residual %g Pa at link %d", sol.Status, sol.Iterations, float64(sol.Residual), sol.WorstLink)
	}
	off, balance, where := offLaw(t, d.Network, d.fans, sol, 1e-9)
	if off > 1e-5 {
		t.Fatalf("%s is off by %g Pa", where, off)
	}
	if balance > 1e-9 {
		t.Fatalf("a node is out of balance by %g of the largest flow", balance)
	}
	return sol
}

func TestRandomTreesBalance(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) { randomBalance(t, false) })
}
func TestRandomLoopsBalance(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) { randomBalance(t, true) })
}

func randomBalance(t *rapid.T, loops bool) {
	d := drawNetwork(t, loops)
	s, err := network.Compile(d.Network)
	if err != nil {
		t.Fatal(err)
	}
	checkBalanced(t, d, s)
	for range 4 { // then warm, through changes
		i := rapid.IntRange(0, len(d.Links)-1).Draw(t, "changed")
		l := &d.Links[i].Law
		switch {
		case l.Kind == network.Fan || l.Kind == network.FanRating:
			l.Speed = rapid.SampledFrom([]float64{0.5, 1, 1.1}).Draw(t, "new speed")
		case l.Kind == network.Shut || rapid.Bool().Draw(t, "new law"):
			if *l = drawPassive(t); l.Kind == network.Duct || l.Kind == network.Loss {
				l.K = max(l.K, 0.5)
			}
		default:
			*l = network.Law{Kind: network.Shut}
		}
		if err := s.Set(i, *l); err != nil {
			t.Fatal(err)
		}
		checkBalanced(t, d, s)
	}
}
