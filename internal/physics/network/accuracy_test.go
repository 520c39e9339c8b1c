package network_test

import (
	"testing"

	"winnow/internal/physics/network/netcase"
	"winnow/internal/unit"
)

// TestToleranceIsKept: whatever the start (nothing, another duct, a gate just moved), no flow is off by more than the tolerance
// asked for times the largest flow, also where that lets a solve end early. Source [S-046].
func TestToleranceIsKept(t *testing.T) {
	for _, relTol := range []float64{1e-2, 1e-4, 1e-6, 1e-9} {
		t.Logf("%-12s %8s %9s %9s %9s", "case", "asked", "cold", "warm", "toggle")
		for _, c := range cases(t) {
			bound := relTol
			if c.Name == "stiff-01" {
				bound = max(bound, 1e-7) // README: the drop over its fat pieces is 1e-7 of the pressures
			}
			s := compile(t, c.Network)
			link, gate := middleDuct(c), middleGate(c)
			other := c.Network.Links[link].Law
			other.K = other.K*1.1 + 0.05
			off := [3]float64{flowError(c, s.Solve(relTol).Flow)}
			set(t, s, link, other)
			s.Solve(relTol)
			set(t, s, link, c.Network.Links[link].Law)
			off[1] = flowError(c, s.Solve(relTol).Flow)
			set(t, s, gate, flipped(c, gate))
			s.Solve(relTol)
			set(t, s, gate, c.Network.Links[gate].Law)
			off[2] = flowError(c, s.Solve(relTol).Flow)
			t.Logf("%-12s %8.0e %9.1e %9.1e %9.1e", c.Name, relTol, off[0], off[1], off[2])
			for k, start := range [3]string{"cold", "warm", "after a gate moved"} {
				if !(off[k] <= bound) {
					t.Errorf("%s, %s: a flow is off by %.1e of the largest, asked for %.0e", c.Name, start, off[k], relTol)
				}
			}
		}
	}
}

// flowError is the largest error of a flow over the largest flow.
func flowError(c netcase.Case, flow []unit.M3PerSec) float64 {
	off, _ := worst(flow, c.Want.Flows)
	if top := largest(c.Want.Flows); top > 0 {
		return off / top
	}
	return off / 1e-6
}
