package network_test

import (
	"os"
	"testing"
	"time"

	"winnow/internal/physics/network/netbench"
)

// BenchmarkSolve times cold, warm and toggled solves of every reference network at the everyday tolerance.
func BenchmarkSolve(b *testing.B) {
	for _, c := range cases(b) {
		b.Run(c.Name, func(b *testing.B) {
			w := netbench.NewWork(c, compile(b, c.Network), 1e-6)
			for _, kind := range []struct {
				name string
				f    func(int) int
			}{{"cold", w.Cold}, {"warm", w.Warm}, {"toggle", w.Toggle}} {
				b.Run(kind.name, func(b *testing.B) {
					for k := range b.N {
						kind.f(k)
					}
				})
			}
		})
	}
}

// TestBenchTable prints the table of timings when WINNOW_BENCH is set: a table to read, which asserts nothing and so is not run
// with the tests.
func TestBenchTable(t *testing.T) {
	if os.Getenv("WINNOW_BENCH") == "" {
		t.Skip("set WINNOW_BENCH to print the timings")
	}
	dir := os.Getenv("WINNOW_NETWORKS")
	if dir == "" {
		dir = "../../../testdata/reference/networks"
	}
	start := time.Now()
	rows, err := netbench.Run(os.DirFS(dir), netbench.Options{Clock: func() time.Duration { return time.Since(start) }, Each: 100 * time.Millisecond})
	if err != nil {
		t.Fatal(err)
	}
	for _, r := range rows {
		t.Logf("%-12s %6d  cold %9.2f µs %2d steps %.0e  warm %9.2f µs %4.1f steps %.0e  toggle %9.2f µs %4.1f steps",
			r.Name, r.Links, r.Cold, r.ColdSteps, r.ColdError, r.Warm, r.WarmSteps, r.WarmError, r.Toggle, r.ToggleSteps)
	}
}
