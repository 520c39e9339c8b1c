package network

import (
	"math"

	"winnow/internal/unit"
)

// Density is that of the air in a link in the last answer: its own where its law or Compressible gives one, else the
// network's. For calculation sheets. Source [S-045].
func (s *Solver) Density(link int) unit.KgPerM3 {
	rho := s.air.Density / unit.KgPerM3(s.thin[link])
	if own := s.law[link].Density; own > 0 {
		rho *= own / s.air.Density
	}
	return rho
}

// FanRise is the rise of a fan law (Fan, FanRating) at a flow, by the formulas of Law; 0 for any other law. For drawing a curve.
// Source [S-044].
func FanRise(l Law, q unit.M3PerSec) unit.Pascal {
	speed := orOne(l.Speed)
	tall := speed * speed * orOne(l.PressureScale)
	wide := speed * orOne(l.FlowScale)
	switch l.Kind {
	case Fan:
		rise, _, _ := l.Curve.at(float64(q) / wide)
		return unit.Pascal(tall * rise)
	case FanRating:
		u := float64(q) / (float64(l.FreeFlow) * wide)
		return unit.Pascal(float64(l.ShutOff) * tall * (1 - math.Copysign(math.Pow(math.Abs(u), l.Exponent), u)))
	}
	return 0
}

// FreeFlow is the flow at which a fan law's pressure is used up, by halving; 20 m³/s if it never is. Source [S-044].
func FreeFlow(l Law) unit.M3PerSec {
	low, high := unit.M3PerSec(0), unit.M3PerSec(0.01)
	for FanRise(l, high) > 0 && high < 20 {
		low, high = high, 2*high
	}
	for range 60 {
		if mid := (low + high) / 2; FanRise(l, mid) > 0 {
			low = mid
		} else {
			high = mid
		}
	}
	return high
}
