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
