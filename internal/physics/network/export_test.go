package network

// Scatter multiplies every flow by factors, as a start for the next solve: for tests of convergence from anywhere.
func (s *Solver) Scatter(factor func() float64) {
	for c := range s.chains {
		s.chains[c].q *= factor()
		s.list(int32(c))
	}
	for i := range s.joins {
		jn := &s.joins[i]
		jn.q[0] *= factor()
		jn.q[1] *= factor()
		jn.was, jn.fresh = jn.q, true
	}
}
