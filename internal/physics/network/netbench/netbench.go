// Package netbench times the solver on the reference networks.
//
// It refuses to know the clock and the file system: both are handed in, so that the core stays pure. Start reading at Run.
package netbench

import (
	"io/fs"
	"math"
	"sort"
	"time"

	"winnow/internal/physics/network"
	"winnow/internal/physics/network/netcase"
)

// Row is the timing of one case: medians in µs a solve, with the steps it took and the largest error of a flow over the largest flow.
// Compiling (with the ordering of the matrix) is not in it; writing flows and pressures is.
type Row struct {
	Name   string `json:"name"`
	Family string `json:"family"`
	Links  int    `json:"links"`

	Cold      float64 `json:"cold_us"` // last answer forgotten, then solved
	ColdSteps int     `json:"cold_steps"`
	ColdError float64 `json:"cold_error"`

	Warm      float64 `json:"warm_us"` // one duct's loss coefficient changed to and fro (the change is timed too), then solved
	WarmSteps float64 `json:"warm_steps"`
	WarmError float64 `json:"warm_error"`

	Toggle      float64 `json:"toggle_us"` // one gate shut or opened (timed too), then solved
	ToggleSteps float64 `json:"toggle_steps"`
}

// Options say how to measure.
type Options struct {
	Tolerance float64              // relTol of every solve; 0 means 1e-6
	Each      time.Duration        // time spent per case and kind of start; 0 means 0.3 s
	Clock     func() time.Duration // a monotonic clock
	Only      func(name string) bool
}

// Run times every case of a folder.
func Run(dir fs.FS, o Options) ([]Row, error) {
	all, err := netcase.Load(dir)
	if err != nil {
		return nil, err
	}
	if o.Tolerance == 0 {
		o.Tolerance = 1e-6
	}
	if o.Each == 0 {
		o.Each = 300 * time.Millisecond
	}
	var out []Row
	for _, c := range all {
		if o.Only != nil && !o.Only(c.Name) {
			continue
		}
		r, err := one(c, o)
		if err != nil {
			return nil, err
		}
		out = append(out, r)
	}
	return out, nil
}

func one(c netcase.Case, o Options) (Row, error) {
	s, err := network.Compile(c.Network)
	if err != nil {
		return Row{}, err
	}
	r := Row{Name: c.Name, Family: c.Family, Links: len(c.Network.Links)}
	w := NewWork(c, s, o.Tolerance)
	r.Cold = measure(o, w.Cold)
	s.Reset()
	sol := s.Solve(o.Tolerance)
	r.ColdSteps, r.ColdError = sol.Iterations, errorOf(c, sol)

	r.Warm = measure(o, w.Warm)
	for k := range 6 {
		r.WarmSteps += float64(w.Warm(k)) / 6
	}
	w.Warm(0)
	w.Warm(1) // back at the case's own law
	r.WarmError = errorOf(c, s.Solve(o.Tolerance))

	r.Toggle = measure(o, w.Toggle)
	for k := range 6 {
		r.ToggleSteps += float64(w.Toggle(k)) / 6
	}
	return r, nil
}

// Work is the three kinds of solve of one case, each ready to be called again and again.
type Work struct {
	s          *network.Solver
	tol        float64
	duct, gate int
	ductLaws   [2]network.Law
	gateLaws   [2]network.Law
}

// NewWork picks the duct and the gate and prepares their laws.
func NewWork(c netcase.Case, s *network.Solver, tol float64) *Work {
	w := &Work{s: s, tol: tol, duct: netcase.MiddleDuct(c), gate: netcase.MiddleGate(c)}
	l := c.Network.Links[w.duct].Law
	w.ductLaws = [2]network.Law{l, l}
	w.ductLaws[0].K = l.K*1.1 + 0.05
	g := c.Network.Links[w.gate].Law
	w.gateLaws = [2]network.Law{{Kind: network.Shut}, g}
	if g.Kind == network.Shut {
		w.gateLaws[0] = c.Open[w.gate]
	}
	return w
}

// Cold forgets the last answer and solves.
func (w *Work) Cold(int) int {
	w.s.Reset()
	return w.s.Solve(w.tol).Iterations
}

// Warm changes the duct (k even: more loss, odd: as it was) and solves.
func (w *Work) Warm(k int) int {
	if err := w.s.Set(w.duct, w.ductLaws[k&1]); err != nil {
		return -1
	}
	return w.s.Solve(w.tol).Iterations
}

// Toggle moves the gate (k even: away from the case's state, odd: back) and solves.
func (w *Work) Toggle(k int) int {
	if err := w.s.Set(w.gate, w.gateLaws[k&1]); err != nil {
		return -1
	}
	return w.s.Solve(w.tol).Iterations
}

// measure returns the median time of a call in µs, each sample being enough calls to last about 2 ms.
func measure(o Options, f func(int) int) float64 {
	for end := o.Clock() + min(60*time.Millisecond, o.Each); o.Clock() < end; {
		f(0)
		f(1)
	}
	n := 2
	for {
		start := o.Clock()
		for k := range n {
			f(k)
		}
		if o.Clock()-start > 2*time.Millisecond || n > 1<<15 {
			break
		}
		n *= 2
	}
	var samples []float64
	for end := o.Clock() + o.Each; len(samples) < 5 || o.Clock() < end; {
		start := o.Clock()
		for k := range n {
			f(k)
		}
		samples = append(samples, float64((o.Clock()-start).Nanoseconds())/1000/float64(n))
	}
	sort.Float64s(samples)
	return samples[len(samples)/2]
}

func errorOf(c netcase.Case, sol network.Solution) float64 {
	top, off := 0.0, 0.0
	for i, q := range c.Want.Flows {
		top = math.Max(top, math.Abs(q))
		off = math.Max(off, math.Abs(float64(sol.Flow[i])-q))
	}
	if top == 0 {
		top = 1e-6
	}
	return off / top
}
