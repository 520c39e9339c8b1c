package network

import "winnow/internal/unit"

// Density is that of the air in a link in the last answer: its own where its law or Compressible gives one, else the
// network's. For calculation sheets. Source [S-045].
func (s *Solver) Density(link int) unit.KgPerM3 {
	rho := s.air.Density / unit.KgPerM3(s.thin[link])
	if own := s.law[link].Density; own > 0 {
		rho *= own / s.air.Density
	}
	return rho
}
