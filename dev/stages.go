package main

import (
	"bytes"
	"context"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"time"
)

// A stage is one part of the test command; the first red one ends the run.
type stage struct {
	name string
	run  func(context.Context) error
}

var houseStage = stage{"house", house}

func test(ctx context.Context, args []string) error {
	sets := map[string][]stage{
		"":     {{"tools", tools}, houseStage, {"core", core}, {"commands", commands}, {"page", page}, {"race", race}, {"fuzz", fuzzShort}, {"benches", benchesRun}},
		"core": {{"core", core}},
		"page": {{"page", page}},
		"live": nil,
	}
	which := strings.Join(args, " ")
	stages, known := sets[which]
	if !known {
		return fmt.Errorf("test knows core, page and live, not %q", which)
	}
	if len(stages) == 0 {
		fmt.Printf("nothing to test under %q yet\n", which)
		return nil
	}
	return runStages(ctx, stages)
}

func runStages(ctx context.Context, stages []stage) error {
	start := time.Now()
	for _, s := range stages {
		began := time.Now()
		fmt.Printf("== %s\n", s.name)
		if err := s.run(ctx); err != nil {
			return fmt.Errorf("%s: %w", s.name, err)
		}
		fmt.Printf("== %s: green in %.1f s\n", s.name, time.Since(began).Seconds())
	}
	fmt.Printf("== all green in %.1f s\n", time.Since(start).Seconds())
	return nil
}

func inCI() bool { return os.Getenv("CI") != "" }

// tools makes sure that what later stages need is there. Where it may not install, it says what to type.
func tools(ctx context.Context) error {
	for _, t := range []struct{ program, pkg string }{{"chromium", "chromium"}, {"spin", "spin"}} {
		if err := need(ctx, t.program, t.pkg); err != nil {
			return err
		}
	}
	return sh(ctx, "go", "mod", "download")
}

// need installs a Debian package when its program is missing and this is root on such a system.
func need(ctx context.Context, program, pkg string) error {
	if _, err := exec.LookPath(program); err == nil {
		return nil
	}
	if os.Geteuid() == 0 {
		if _, err := exec.LookPath("apt-get"); err == nil {
			_ = sh(ctx, "apt-get", "-qq", "update")
			if err := sh(ctx, "apt-get", "-qq", "install", "-y", "--no-install-recommends", pkg); err == nil {
				return nil
			}
		}
	}
	if inCI() {
		return fmt.Errorf("%s is missing and could not be installed (package %s)", program, pkg)
	}
	fmt.Printf("SKIPPED what needs %s: apt-get install %s\n", program, pkg)
	return nil
}

// house keeps the walls straight: formatting, vet, staticcheck, the rank of every package, words, lock files.
func house(ctx context.Context) error {
	if err := formatted(ctx); err != nil {
		return err
	}
	if err := sh(ctx, "go", "vet", "./..."); err != nil {
		return err
	}
	if err := sh(ctx, "go", "tool", "-modfile=tools/go.mod", "staticcheck", "./..."); err != nil {
		return err
	}
	return sh(ctx, "go", "test", "./internal/house")
}

func formatted(ctx context.Context) error {
	out, err := exec.CommandContext(ctx, gofmt(ctx), "-l", "cmd", "dev", "internal").CombinedOutput()
	if err != nil {
		return fmt.Errorf("gofmt: %w\n%s", err, out)
	}
	if files := bytes.TrimSpace(out); len(files) > 0 {
		return fmt.Errorf("not formatted (gofmt -w would do it):\n%s", files)
	}
	return nil
}

// gofmt is on the PATH or beside the go command.
func gofmt(ctx context.Context) string {
	if p, err := exec.LookPath("gofmt"); err == nil {
		return p
	}
	root, err := exec.CommandContext(ctx, "go", "env", "GOROOT").Output()
	if err != nil {
		return "gofmt"
	}
	return filepath.Join(strings.TrimSpace(string(root)), "bin", "gofmt")
}

// core tests everything without the race detector: unit to the commands, references, properties, bad files.
func core(ctx context.Context) error {
	return sh(ctx, "go", "test", "./internal/...")
}

// commands builds the real binary and runs the scripts that read like its help page.
func commands(ctx context.Context) error {
	return sh(ctx, "go", "test", "./cmd/...", "./dev/...")
}

// race runs with the race detector only where goroutines are; it needs a C compiler.
func race(ctx context.Context) error {
	if _, err := exec.LookPath("gcc"); err != nil {
		if inCI() {
			return fmt.Errorf("gcc is missing: the race detector needs it")
		}
		fmt.Println("SKIPPED: the race detector needs gcc")
		return nil
	}
	var where []string
	for _, p := range []string{"./internal/live", "./internal/face/server", "./internal/study/airflow", "./internal/study/verdict"} {
		if _, err := os.Stat(p); err == nil {
			where = append(where, p+"/...")
		}
	}
	if len(where) == 0 {
		return nil
	}
	if err := sh(ctx, "go", append([]string{"test", "-race", "-short"}, where...)...); err != nil {
		return err
	}
	// The room's air takes minutes under the detector; what it does side by side is in these.
	return sh(ctx, "go", "test", "-race", "-short", "-run", "OneProcessor|EachIs", "./internal/study/roomair")
}

func benchesRun(ctx context.Context) error {
	return sh(ctx, "go", "test", "-run", "^$", "-bench", ".", "-benchtime", "1x", "./internal/...")
}

// sh runs a command with its output shown as it comes.
func sh(ctx context.Context, name string, args ...string) error {
	return shIn(ctx, "", name, args...)
}

func shIn(ctx context.Context, dir, name string, args ...string) error {
	return finish(exec.CommandContext(ctx, name, args...), dir, name, args)
}

// shEnv runs a command with more in its environment.
func shEnv(ctx context.Context, env []string, name string, args ...string) error {
	cmd := exec.CommandContext(ctx, name, args...)
	cmd.Env = append(os.Environ(), env...)
	return finish(cmd, "", name, args)
}

func finish(cmd *exec.Cmd, dir, name string, args []string) error {
	cmd.Dir, cmd.Stdout, cmd.Stderr = dir, os.Stdout, os.Stderr
	if err := cmd.Run(); err != nil {
		return fmt.Errorf("%s %s: %w", name, strings.Join(args, " "), err)
	}
	return nil
}
