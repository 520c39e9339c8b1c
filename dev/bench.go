package main

import (
	"context"
	"encoding/json"
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"sort"
	"time"

	"winnow/internal/physics/duct"
	"winnow/internal/physics/network/netbench"
)

// bench prints our speed beside the peer's, in one run on one machine, then our own benchmarks. Nothing is asserted.
// With the word networks it stops after the first part, with page it measures the page; with another NAME it runs only the Go benchmarks that match it.
func bench(ctx context.Context, args []string) error {
	switch {
	case len(args) == 1 && args[0] == "networks":
		return benchNetworks(ctx)
	case len(args) == 1 && args[0] == "page":
		return benchPage(ctx)
	case len(args) == 1:
		return goBench(ctx, args[0])
	}
	if err := benchNetworks(ctx); err != nil {
		return err
	}
	if err := benchVersion(ctx); err != nil {
		return err
	}
	return goBench(ctx, ".")
}

func goBench(ctx context.Context, pattern string) error {
	return sh(ctx, "go", "test", "-run", "^$", "-bench", pattern, "-benchmem", "./internal/...")
}

// peerRow is the engine's timing of one case, in µs.
type peerRow struct {
	Cold float64 `json:"cold_us"`
	Warm float64 `json:"warm_us"`
}

// benchNetworks times the reference networks by our solver and by a general-purpose engine, accuracy 1e-6 on both sides,
// matrix ordering timed on neither. "warm" changes one loss coefficient on both sides; the true gate toggle stands beside it.
func benchNetworks(ctx context.Context) error {
	began := time.Now()
	ours, err := netbench.Run(os.DirFS(filepath.Join("testdata", "reference", "networks")), netbench.Options{
		Clock: func() time.Duration { return time.Since(began) },
	})
	if err != nil {
		return err
	}
	peer, err := peerRows(ctx)
	if err != nil {
		fmt.Println("no peer beside us:", err)
	}
	fmt.Printf("%-11s %6s %10s %10s %7s %10s %10s %7s %10s %9s\n", "case", "links", "cold µs", "peer", "x", "warm µs", "peer", "x", "toggle µs", "error")
	for _, r := range ours {
		p, ok := peer[r.Name]
		peerCold, timesCold, peerWarm, timesWarm := "-", "-", "-", "-"
		if ok {
			peerCold, timesCold = fmt.Sprintf("%.1f", p.Cold), fmt.Sprintf("%.1f", p.Cold/r.Cold)
			peerWarm, timesWarm = fmt.Sprintf("%.1f", p.Warm), fmt.Sprintf("%.1f", p.Warm/r.Warm)
		}
		fmt.Printf("%-11s %6d %10.2f %10s %7s %10.2f %10s %7s %10.2f %9.1e\n", r.Name, r.Links, r.Cold, peerCold, timesCold, r.Warm, peerWarm, timesWarm,
			r.Toggle, r.ColdError)
	}
	for _, name := range []string{"tree-100", "tree-1000", "tree-10000"} {
		for _, r := range ours {
			if r.Name == name {
				fmt.Printf("%s: %.1f ns a link cold, %.1f warm\n", name, 1e3*r.Cold/float64(r.Links), 1e3*r.Warm/float64(r.Links))
			}
		}
	}
	fmt.Printf("one exact Colebrook factor with its slope: %.1f ns (the floor is about 13)\n\n", factorTime())
	return nil
}

// peerRows runs the engine on the same cases.
func peerRows(ctx context.Context) (map[string]peerRow, error) {
	dir := filepath.Join("dev", "peer")
	if _, err := exec.LookPath("node"); err != nil {
		return nil, fmt.Errorf("node is missing")
	}
	if _, err := os.Stat(filepath.Join(dir, "node_modules")); err != nil {
		if err := shIn(ctx, dir, "npm", "ci", "--no-audit", "--no-fund", "--silent"); err != nil {
			return nil, err
		}
	}
	cmd := exec.CommandContext(ctx, "node", "bench-epanet.mjs", "--accuracy", "1e-6", "--json")
	cmd.Dir, cmd.Stderr = dir, os.Stderr
	out, err := cmd.Output()
	if err != nil {
		return nil, err
	}
	var answer struct {
		Cases map[string]peerRow `json:"cases"`
	}
	return answer.Cases, json.Unmarshal(out, &answer)
}

// factorTime is the time of one friction factor with slope from a cold start, ns, over a spread of Reynolds numbers.
func factorTime() float64 {
	const n = 2_000_000
	warm, err := duct.NewWarmFriction(1e-3)
	if err != nil {
		return math.NaN()
	}
	sum := 0.0
	began := time.Now()
	for i := range n {
		f, m := warm.At(5e3 + float64(i%1000)*300)
		sum += f + m
	}
	took := time.Since(began)
	if sum == 0 {
		return math.NaN()
	}
	return float64(took.Nanoseconds()) / n
}

// benchVersion is the time from start to end of the smallest command of the real binary.
func benchVersion(ctx context.Context) error {
	bin, err := build(ctx)
	if err != nil {
		return err
	}
	var times []float64
	for range 21 {
		began := time.Now()
		if err := exec.CommandContext(ctx, bin, "version").Run(); err != nil {
			return err
		}
		times = append(times, float64(time.Since(began).Microseconds())/1000)
	}
	sort.Float64s(times)
	fmt.Printf("winnow version: %.1f ms, the middle of %d\n\n", times[len(times)/2], len(times))
	return nil
}
