package network_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"pgregory.net/rapid"

	"winnow/internal/physics/network"
	"winnow/internal/unit"
)

// legs feeds a join with the given flows, through high resistances, and returns the two pressure
// differences and the flows that came; a flow of 0 is a shut leg.
func legs(t failer, j network.Join, qs, qb float64) (s, b float64, got [2]float64) {
	t.Helper()
	const high = 1e6 // Pa per m³/s
	j.Through, j.Branch, j.Common = 0, 1, 2
	n := network.Network{
		Air: indoorAir,
		Nodes: []network.Node{
			{}, {}, {},
			{Fixed: true, Pressure: unit.Pascal(high * qs)}, {Fixed: true, Pressure: unit.Pascal(high * qb)}, {Fixed: true},
		},
		Links: []network.Link{
			{From: 3, To: 0, Law: network.Law{Kind: network.Filter, A: high}},
			{From: 4, To: 1, Law: network.Law{Kind: network.Filter, A: high}},
			{From: 2, To: 5, Law: network.Law{Kind: network.Filter, A: 1e-3}},
		},
		Joins: []network.Join{j},
	}
	for i, q := range []float64{qs, qb} {
		if q == 0 {
			n.Links[i].Law = network.Law{Kind: network.Shut}
		}
	}
	sv, err := network.Compile(n)
	if err != nil {
		t.Fatal(err)
	}
	var sol network.Solution
	for range 3 { // the feed's pressure is raised by what the join takes, so that the flows come out as asked
		if sol = sv.Solve(1e-12); !sol.Status.Solved() {
			t.Fatalf("%v", sol.Status)
		}
		for i, q := range []float64{qs, qb} {
			if err := sv.SetPressure(3+i, unit.Pascal(high*q)+sol.Pressure[i]); err != nil {
				t.Fatal(err)
			}
		}
	}
	got = [2]float64{float64(sol.JoinFlow[0][0]), float64(sol.JoinFlow[0][1])}
	return float64(sol.Pressure[0] - sol.Pressure[2]), float64(sol.Pressure[1] - sol.Pressure[2]), got
}

func velocityPressure(q, d float64) float64 {
	v := q / (math.Pi / 4 * d * d)
	return float64(indoorAir.Density) / 2 * v * v
}

// Closed forms of the momentum balance: README.md beside the reference networks, "Joins". Source [S-042].
func TestJoinClosedForms(t *testing.T) {
	near := func(what string, got, want, tol float64) {
		t.Helper()
		if !(math.Abs(got-want) <= tol*math.Abs(want)+1e-6) {
			t.Errorf("%s: got %.9g, want %.9g", what, got, want)
		}
	}
	// the published branch-entry loss K comes back at no through flow with equal areas and kb = 0: κ = 1 - K/2.
	// K(θ) of the exhaust-duct handbooks, from memory: 30° 0.18, 45° 0.28, 60° 0.44, 90° 1.00.
	for _, row := range []struct{ angle, k float64 }{{30, 0.18}, {45, 0.28}, {60, 0.44}, {90, 1.00}} {
		j := network.Join{DThrough: 0.125, DBranch: 0.1, DCommon: 0.1, Kappa: 1 - row.k/2}
		_, b, q := legs(t, j, 0, 0.12)
		near("K at no through flow", b/velocityPressure(q[1], 0.1), row.k, 1e-9)
		j.KBranch = 0.1 // on top of it
		_, b, q = legs(t, j, 0, 0.12)
		near("K with the branch's own 0.1", b/velocityPressure(q[1], 0.1), row.k+0.1, 1e-9)
	}
	// one leg shut, the other as wide as the main: nothing is lost but ks
	j := network.Join{DThrough: 0.15, DBranch: 0.1, DCommon: 0.15, Kappa: 0.86, KThrough: 0.05, KBranch: 0.1}
	s, b, q := legs(t, j, 0.3, 0)
	near("through alone", s, 0.05*velocityPressure(q[0], 0.15), 1e-9)
	// the shut branch feels the static suction of the main: its total pressure is the common one less a velocity pressure
	near("shut branch", b, -velocityPressure(q[0], 0.15), 1e-9)
	// equal velocities, As + Ab = Ac, k = 0: both lose 2(1-κ)·Ab/Ac velocity pressures, together the power of K on the branch alone
	ds, db := 0.12, 0.09
	dc := math.Hypot(ds, db)
	v := 18.0
	qs, qb := v*math.Pi/4*ds*ds, v*math.Pi/4*db*db
	j = network.Join{DThrough: unit.Metre(ds), DBranch: unit.Metre(db), DCommon: unit.Metre(dc), Kappa: 0.86}
	s, b, _ = legs(t, j, qs, qb)
	want := 2 * (1 - 0.86) * (db * db) / (dc * dc) * velocityPressure(qb, db)
	near("equal velocities, through", s, want, 1e-7)
	near("equal velocities, branch", b, want, 1e-7)
	near("their power", s*qs+b*qb, 0.28*velocityPressure(qb, db)*qb, 1e-7)
	// equal legs meet symmetrically
	j = network.Join{DThrough: 0.1, DBranch: 0.1, DCommon: 0.14, Kappa: 1, KThrough: 0.1, KBranch: 0.1}
	s, b, _ = legs(t, j, 0.1, 0.1)
	near("equal legs", s, b, 1e-9)
}

func drawJoin(t *rapid.T) network.Join {
	d := func(name string) unit.Metre { return unit.Metre(rapid.Float64Range(0.05, 0.3).Draw(t, name)) }
	return network.Join{
		DThrough: d("through"), DBranch: d("branch"), DCommon: d("common"), Kappa: rapid.Float64Range(-1, 1).Draw(t, "kappa"),
		KThrough: rapid.Float64Range(0, 2).Draw(t, "ks"), KBranch: rapid.Float64Range(0, 2).Draw(t, "kb"),
	}
}

// A join with both legs forward never creates power, and its operator is monotone (README.md, "Joins": proved there in closed form).
func TestJoinDissipatesAndIsMonotone(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		j := drawJoin(t)
		flow := rapid.Float64Range(0, 0.5)
		qs, qb := flow.Draw(t, "qs"), flow.Draw(t, "qb")
		s, b, q := legs(t, j, qs, qb)
		if lost := s*q[0] + b*q[1]; lost < -1e-6 {
			t.Fatalf("the join gives %g W", -lost)
		}
		rs, rb := flow.Draw(t, "rs"), flow.Draw(t, "rb")
		s2, b2, r := legs(t, j, rs, rb)
		if x := (s2-s)*(r[0]-q[0]) + (b2-b)*(r[1]-q[1]); x < -1e-6 {
			t.Fatalf("not monotone: %g", x)
		}
	})
}

// joinTree is a random tree of joins, each leg a duct from the open air or another join, on a fan.
type joinTree struct {
	network.Network
	fans fanLaws
	root *joinNode
	fan  network.Law
}

type joinNode struct {
	leg    network.Law // the duct that leads to the node above
	join   *network.Join
	s, b   *joinNode // nil: the leg starts in the open air
	number int
}

func drawJoinTree(t *rapid.T, depth int) *joinTree {
	d := &joinTree{fans: fanLaws{}}
	d.Air = indoorAir
	node := func(fixed bool) int {
		d.Nodes = append(d.Nodes, network.Node{Fixed: fixed})
		return len(d.Nodes) - 1
	}
	ductLaw := func(bore unit.Metre) network.Law {
		return network.Law{
			Kind: network.Duct, Diameter: bore, Length: unit.Metre(rapid.Float64Range(0.5, 8).Draw(t, "length")), Roughness: 9e-5,
			K: rapid.SampledFrom([]float64{0.3, 1.5, 5, 400}).Draw(t, "K"),
		}
	}
	var grow func(to, level int, bore unit.Metre) *joinNode
	grow = func(to, level int, bore unit.Metre) *joinNode {
		n := &joinNode{leg: ductLaw(bore)}
		if level == 0 || rapid.IntRange(0, 3).Draw(t, "end") == 0 && level < depth {
			d.Links = append(d.Links, network.Link{From: node(true), To: to, Law: n.leg})
			return n
		}
		c, s, b := node(false), node(false), node(false)
		d.Links = append(d.Links, network.Link{From: c, To: to, Law: n.leg})
		j := network.Join{
			Through: s, Branch: b, Common: c, DThrough: bore, DBranch: bore * unit.Metre(rapid.Float64Range(0.5, 1).Draw(t, "branch bore")), DCommon: bore,
			Kappa: rapid.SampledFrom([]float64{0.91, 0.86, 0.5}).Draw(t, "kappa"), KThrough: 0.05, KBranch: 0.1,
		}
		n.number = len(d.Joins)
		d.Joins = append(d.Joins, j)
		n.join = &j
		n.s = grow(s, level-1, bore)
		n.b = grow(b, level-1, j.DBranch)
		return n
	}
	in, out := node(false), node(true)
	d.root = grow(in, depth, 0.15)
	d.fan = network.Law{Kind: network.FanRating, ShutOff: unit.Pascal(rapid.Float64Range(1000, 3000).Draw(t, "p0")), FreeFlow: 0.6, Exponent: 3}
	d.Links = append(d.Links, network.Link{From: in, To: out, Law: d.fan})
	return d
}

// supply is the slow honest twin: the total pressure at the end of a subtree that gives flow q, found by nested bracketing without any
// derivative; legs meet where their static pressures are equal.
func (n *joinNode) supply(t failer, q float64) float64 {
	end := 0.0
	if n.join != nil {
		h := func(d unit.Metre, k, q float64) float64 {
			return (1 + k) * math.Copysign(velocityPressure(q, float64(d)), q)
		}
		legFlow := func(c *joinNode, d unit.Metre, k, meet float64) float64 { // flow at which the leg arrives with static pressure meet
			return falling(func(x float64) float64 { return c.supply(t, x) - h(d, k, x) - meet }, -1, 1)
		}
		meet := falling(func(p float64) float64 {
			return legFlow(n.s, n.join.DThrough, n.join.KThrough, p) + legFlow(n.b, n.join.DBranch, n.join.KBranch, p) - q
		}, -1e5, 1e4)
		qs := legFlow(n.s, n.join.DThrough, n.join.KThrough, meet)
		s, _ := twinJoin(indoorAir, *n.join, qs, q-qs)
		end = meet + h(n.join.DThrough, n.join.KThrough, qs) - s
	}
	return end - twinDrop(t, indoorAir, n.leg, q)
}

// falling finds the root of a falling function by the bracketing of Anderson and Björck, to the last digits that matter.
func falling(f func(float64) float64, lo, hi float64) float64 {
	flo, fhi := f(lo), f(hi)
	for range 200 {
		if fhi == flo || hi-lo < 1e-13*(1+math.Abs(lo)) {
			break
		}
		x := hi - fhi*(hi-lo)/(fhi-flo)
		if !(x > lo && x < hi) {
			x = (lo + hi) / 2
		}
		fx := f(x)
		switch {
		case fx == 0:
			return x
		case fx > 0:
			m := 1 - fx/flo
			lo, flo = x, fx
			if m <= 0 {
				m = 0.5
			}
			fhi *= m
		default:
			m := 1 - fx/fhi
			hi, fhi = x, fx
			if m <= 0 {
				m = 0.5
			}
			flo *= m
		}
	}
	return (lo + hi) / 2
}

// One join deep here, which takes a second; two deep (up to three joins, twelve trees) agreed as well, in seven minutes.
func TestJoinTreeAgainstSlowTwin(t *testing.T) {
	trees := rapid.Custom(func(t *rapid.T) *joinTree { return drawJoinTree(t, 1) })
	for seed := range 15 {
		d := trees.Example(seed)
		sol := mustSolve(t, compile(t, d.Network))
		want := falling(func(q float64) float64 { return d.root.supply(t, q) - twinDrop(t, indoorAir, d.fan, q) }, 0, 0.7)
		got := float64(sol.Flow[len(d.Links)-1])
		if math.Abs(got-want) > 1e-8 {
			t.Errorf("tree %d with %d joins: fan flow got %.12g, the twin says %.12g", seed, len(d.Joins), got, want)
		}
	}
}

// Larger trees: every law and balance must hold (in a tree there is one solution, README.md), and the same point must be reached from
// wherever the flows start.
func TestJoinTreesBalanceFromAnyStart(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := drawJoinTree(t, 5)
		s, err := network.Compile(d.Network)
		if err != nil {
			t.Fatal(err)
		}
		sol := s.Solve(1e-10)
		if !sol.Status.Solved() {
			t.Fatalf("%v: residual %g", sol.Status, float64(sol.Residual))
		}
		if off, balance, where := offLaw(t, d.Network, nil, sol, 1e-9); off > 1e-5 || balance > 1e-9 {
			t.Fatalf("%s off by %g Pa, balance %g", where, off, balance)
		}
		first := append([]unit.M3PerSec(nil), sol.Flow...)
		r := rand.New(rand.NewPCG(1, 2))
		for range 5 {
			s.Scatter(func() float64 { return math.Exp((2*r.Float64() - 1) * math.Log(5)) })
			sol = s.Solve(1e-10)
			if !sol.Status.Solved() {
				t.Fatalf("from a scattered start: %v, residual %g", sol.Status, float64(sol.Residual))
			}
			for i, q := range sol.Flow {
				if math.Abs(float64(q-first[i])) > 1e-8 {
					t.Fatalf("link %d: %.12g from one start, %.12g from another", i, first[i], q)
				}
			}
		}
	})
}
