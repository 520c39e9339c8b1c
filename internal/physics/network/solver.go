package network

import (
	"errors"

	"winnow/internal/unit"
)

// Solver holds one compiled network: its structure, its numbers and the last answer, from which the next solve starts.
// It is for one goroutine; Clone gives each worker its own.
type Solver struct{}

var errNotBuilt = errors.New("network: the solver is being built")

// Compile checks a network and prepares it. Every fault is an error that names the links, nodes or joins by number.
func Compile(n Network) (*Solver, error) { return nil, errNotBuilt }

// Set gives a link another law: other coefficients, shut, open, leaking. The graph stays. No allocation.
// A law that cannot be computed with (NaN, no diameter) is refused with an error and the old law stays.
func (s *Solver) Set(link int, l Law) error { return errNotBuilt }

// SetJoin gives a join other coefficients and diameters; its nodes must be the same.
func (s *Solver) SetJoin(join int, j Join) error { return errNotBuilt }

// SetPressure moves the pressure of a fixed node.
func (s *Solver) SetPressure(node int, p unit.Pascal) error { return errNotBuilt }

// SetAir gives all links other air.
func (s *Solver) SetAir(a Air) error { return errNotBuilt }

// Solve balances the network, starting from the last answer, until no flow is off by more than relTol times the largest
// flow. relTol is 1e-6 for everyday work, 1e-9 when tight. No allocation.
func (s *Solver) Solve(relTol float64) Solution { return Solution{} }

// Clone returns a solver of its own with the same numbers and the same last answer.
func (s *Solver) Clone() *Solver { return s }

// Reset forgets the last answer: the next solve starts cold.
func (s *Solver) Reset() {}

// OperatingPoints returns all flows at which the one fan and its system agree, by rising flow.
func (s *Solver) OperatingPoints(fan int, relTol float64) ([]OperatingPoint, error) {
	return nil, errNotBuilt
}

// LinksInTransition returns the ducts of the last answer whose Reynolds number lies between 2000 and 4000, where no real
// duct is predictable.
func (s *Solver) LinksInTransition() []int { return nil }

// LaminarCount counts the ducts of the last answer with flow and a Reynolds number up to 2000.
func (s *Solver) LaminarCount() int { return 0 }
