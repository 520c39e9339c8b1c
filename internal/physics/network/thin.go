package network

import "math"

const (
	dryAir        = 287.05 // J/(kg·K), R/M of dry air: 8314.46/28.965. Source [S-045]
	thinThreshold = 5000   // Pa
	thinPasses    = 30
)

// thinOut brings the densities up to date with the pressures and balances again, until they rest.
func (s *Solver) thinOut(st Status, relTol float64) Status {
	threshold := float64(s.compress.Threshold)
	if threshold == 0 {
		threshold = thinThreshold
	}
	for range thinPasses {
		if st != Balanced {
			return st
		}
		s.finish(st) // the pressures by node
		var most float64
		for _, p := range s.ans.Pressure {
			most = math.Max(most, math.Abs(float64(p)))
		}
		if s.updateDensities(most > threshold) <= relTol {
			return st
		}
		st = s.solveDense(relTol)
	}
	return IterationLimit
}

// updateDensities gives each link the density of its mean pressure, or the network's, and returns the largest relative change.
func (s *Solver) updateDensities(apart bool) (change float64) {
	c := s.compress
	gas := c.GasConstant
	if gas == 0 {
		gas = dryAir
	}
	ratio := func(p float64) float64 { // network density over the density at gauge pressure p
		if !apart {
			return 1
		}
		abs := math.Max(float64(c.Ambient)+p, 0.01*float64(c.Ambient)) // no suction is deeper than the air
		return float64(s.air.Density) * gas * float64(c.Temperature) / abs
	}
	for i := range s.law {
		x := ratio(float64(s.ans.Pressure[s.from[i]]+s.ans.Pressure[s.to[i]]) / 2)
		if off := math.Abs(x/s.thin[i] - 1); off > 0 {
			change = math.Max(change, off)
			s.thin[i] = x
			s.load(i)
		}
	}
	for i := range s.chains {
		s.sum(int32(i))
	}
	for i := range s.joins {
		jn := &s.joins[i]
		x := ratio(s.verts[jn.v[2]].p)
		change = math.Max(change, math.Abs(x/jn.thin-1))
		jn.times(x / jn.thin)
		jn.thin = x
	}
	return change
}
