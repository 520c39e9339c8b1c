package network_test

import (
	"math"
	"os"
	"testing"

	"winnow/internal/physics/network"
	"winnow/internal/physics/network/netcase"
)

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

func TestReferenceNetworks(t *testing.T) {
	for _, c := range cases(t) {
		s, err := network.Compile(c.Network)
		if err != nil {
			t.Errorf("%s: %v", c.Name, err)
			continue
		}
		sol := s.Solve(1e-9)
		qmax, pmax := 0.0, 0.0
		for _, q := range c.Want.Flows {
			qmax = math.Max(qmax, math.Abs(q))
		}
		for _, q := range c.Want.Pressures {
			pmax = math.Max(pmax, math.Abs(q))
		}
		if qmax == 0 {
			qmax = 1e-6
		}
		eq, ep := 0.0, 0.0
		wq, wp := 0, 0
		for i, q := range c.Want.Flows {
			if e := math.Abs(float64(sol.Flow[i]) - q); !(e <= eq) {
				eq, wq = e, i
			}
		}
		for i, q := range c.Want.Pressures {
			if e := math.Abs(float64(sol.Pressure[i]) - q); !(e <= ep) {
				ep, wp = e, i
			}
		}
		t.Logf("%-12s %6d it %3d %-10v eq %.1e (%s) ep %.1e (%d) res %.1e", c.Name, len(c.Want.Flows), sol.Iterations, sol.Status, eq/qmax, c.LinkIDs[wq], ep/pmax, wp, float64(sol.Residual))
	}
}
