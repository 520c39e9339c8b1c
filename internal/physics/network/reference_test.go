package network_test

import (
	"math"
	"os"
	"slices"
	"sort"
	"testing"
	"time"

	"winnow/internal/physics/network"
	"winnow/internal/physics/network/netcase"
	"winnow/internal/unit"
)

// cases reads the reference networks, or those in the folder WINNOW_NETWORKS names. Their solutions come from Newton's method at 80 bits or
// 40 digits, checked a second way and against a general-purpose engine: README.md beside them. Source [S-046].
func cases(t testing.TB) []netcase.Case {
	t.Helper()
	dir := os.Getenv("WINNOW_NETWORKS")
	if dir == "" {
		dir = "../../../testdata/reference/networks"
	}
	all, err := netcase.Load(os.DirFS(dir))
	if err != nil {
		t.Fatal(err)
	}
	return all
}

func compile(t testing.TB, n network.Network) *network.Solver {
	t.Helper()
	s, err := network.Compile(n)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// worst is the largest difference, NaN if there is one.
func worst[T unit.Real](got []T, want []float64) (off float64, at int) {
	for i, w := range want {
		if d := math.Abs(float64(got[i]) - w); !(d <= off) {
			off, at = d, i
		}
	}
	return off, at
}

func largest(x []float64) float64 {
	m := 0.0
	for _, v := range x {
		m = math.Max(m, math.Abs(v))
	}
	return m
}

// TestReferenceNetworks solves every case cold, warm and after a gate was toggled twice, at the tight tolerance.
func TestReferenceNetworks(t *testing.T) {
	t.Logf("%-12s %6s %5s %9s %9s %9s %9s %9s", "case", "links", "steps", "flow/Qmax", "p/pmax", "cold µs", "warm µs", "toggle µs")
	for _, c := range cases(t) {
		t.Run(c.Name, func(t *testing.T) {
			s := compile(t, c.Network)
			start := time.Now()
			sol := s.Solve(1e-9)
			cold := time.Since(start)
			eq, ep := compare(t, c, s, sol)
			steps := sol.Iterations

			link := middleDuct(c)
			law := c.Network.Links[link].Law
			other := law
			other.K = law.K*1.1 + 0.05
			set(t, s, link, other)
			mustSolve(t, s)
			set(t, s, link, law)
			start = time.Now()
			sol = s.Solve(1e-9)
			warm := time.Since(start)
			compare(t, c, s, sol)

			gate := middleGate(c)
			set(t, s, gate, flipped(c, gate))
			mustSolve(t, s)
			set(t, s, gate, c.Network.Links[gate].Law)
			start = time.Now()
			sol = s.Solve(1e-9)
			toggle := time.Since(start)
			compare(t, c, s, sol)
			us := func(d time.Duration) float64 { return float64(d.Nanoseconds()) / 1000 }
			t.Logf("%-12s %6d %5d %9.1e %9.1e %9.1f %9.1f %9.1f", c.Name, len(c.Network.Links), steps, eq, ep, us(cold), us(warm), us(toggle))
		})
	}
}

func set(t testing.TB, s *network.Solver, link int, l network.Law) {
	t.Helper()
	if err := s.Set(link, l); err != nil {
		t.Fatal(err)
	}
}

func mustSolve(t testing.TB, s *network.Solver) network.Solution {
	t.Helper()
	sol := s.Solve(1e-9)
	if !sol.Status.Solved() {
		t.Errorf("%v, residual %g Pa at link %d", sol.Status, float64(sol.Residual), sol.WorstLink)
	}
	return sol
}

// middleDuct is the duct about half way down the list of open links: the one the timing peer changes.
func middleDuct(c netcase.Case) int { return netcase.MiddleDuct(c) }

func middleGate(c netcase.Case) int { return netcase.MiddleGate(c) }

func flipped(c netcase.Case, gate int) network.Law {
	if c.Network.Links[gate].Law.Kind == network.Shut {
		return c.Open[gate]
	}
	return network.Law{Kind: network.Shut}
}

func compare(t *testing.T, c netcase.Case, s *network.Solver, sol network.Solution) (flow, pressure float64) {
	t.Helper()
	qmax, pmax, tol := largest(c.Want.Flows), largest(c.Want.Pressures), 1e-9
	if qmax == 0 {
		qmax = 1e-6
	}
	if c.Name == "stiff-01" {
		tol = 1e-7 // README: the drop over its fat pieces is 1e-7 of the pressures
	}
	if sol.Status != network.Balanced {
		t.Errorf("status %v, residual %g Pa at link %d", sol.Status, float64(sol.Residual), sol.WorstLink)
	}
	eq, at := worst(sol.Flow, c.Want.Flows)
	if !(eq <= tol*qmax) {
		t.Errorf("flow of %s: got %.12g, want %.12g, off by %.1e of the largest", c.LinkIDs[at], sol.Flow[at], c.Want.Flows[at], eq/qmax)
	}
	ep, at := worst(sol.Pressure, c.Want.Pressures)
	if !(ep <= tol*pmax) {
		t.Errorf("pressure of node %d: got %.12g, want %.12g, off by %.1e of the largest", at, sol.Pressure[at], c.Want.Pressures[at], ep/pmax)
	}
	for j, w := range c.Want.Joins {
		for k, q := range w {
			if d := math.Abs(float64(sol.JoinFlow[j][k]) - q); !(d <= tol*qmax) {
				t.Errorf("join %d, leg %d: got %.12g, want %.12g", j, k, sol.JoinFlow[j][k], q)
			}
		}
	}
	if d := imbalance(c.Network, sol); !(d <= 1e-9*qmax) {
		t.Errorf("a node is out of balance by %.1e of the largest flow", d/qmax)
	}
	if !slices.Equal(sol.LegsReversed, c.Want.LegsReversed) {
		t.Errorf("legs reversed: got %v, want %v", sol.LegsReversed, c.Want.LegsReversed)
	}
	if got := s.LaminarCount(); got != c.Want.Laminar {
		t.Errorf("laminar: got %d, want %d", got, c.Want.Laminar)
	}
	want := slices.Clone(c.Want.Transition)
	sort.Ints(want)
	if got := s.LinksInTransition(); !slices.Equal(got, want) {
		t.Errorf("in transition: got %v, want %v", got, want)
	}
	comparePoints(t, c, qmax, pmax)
	return eq / qmax, ep / pmax
}

func comparePoints(t *testing.T, c netcase.Case, qmax, pmax float64) {
	t.Helper()
	if len(c.Want.Points) == 0 {
		return
	}
	fan := -1
	for i, l := range c.Network.Links {
		if l.Law.Kind == network.Fan {
			fan = i
		}
	}
	got, err := compile(t, c.Network).OperatingPoints(fan, 1e-9)
	if err != nil {
		t.Fatal(err)
	}
	if len(got) != len(c.Want.Points) {
		t.Fatalf("operating points: got %v, want %v", got, c.Want.Points)
	}
	for i, w := range c.Want.Points {
		g := got[i]
		if math.Abs(float64(g.Flow-w.Flow)) > 1e-9*qmax || math.Abs(float64(g.Rise-w.Rise)) > 1e-9*pmax || g.Stable != w.Stable {
			t.Errorf("operating point %d: got %+v, want %+v", i, g, w)
		}
	}
}

// imbalance is the largest sum of flows at a free node.
func imbalance(n network.Network, sol network.Solution) float64 {
	sum := make([]float64, len(n.Nodes))
	for i, l := range n.Links {
		sum[l.From] -= float64(sol.Flow[i])
		sum[l.To] += float64(sol.Flow[i])
	}
	for i, j := range n.Joins {
		qs, qb := float64(sol.JoinFlow[i][0]), float64(sol.JoinFlow[i][1])
		sum[j.Through] -= qs
		sum[j.Branch] -= qb
		sum[j.Common] += qs + qb
	}
	m := 0.0
	for v, x := range sum {
		if !n.Nodes[v].Fixed {
			m = math.Max(m, math.Abs(x))
		}
	}
	return m
}
