package main

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"sync"
	"time"
)

var fuzzFunc = regexp.MustCompile(`(?m)^func (Fuzz\w+)\(`)

type fuzzTarget struct{ pkg, name string }

func fuzz(ctx context.Context, args []string) error {
	if len(args) != 1 {
		return fmt.Errorf("say for how long: go run ./dev fuzz 10m")
	}
	d, err := time.ParseDuration(args[0])
	if err != nil || d <= 0 {
		return fmt.Errorf("%q is no time: 30s, 10m", args[0])
	}
	return fuzzAll(ctx, d)
}

func fuzzShort(ctx context.Context) error { return fuzzAll(ctx, 5*time.Second) }

// fuzzAll runs every target for d, two at a time.
func fuzzAll(ctx context.Context, d time.Duration) error {
	targets, err := fuzzTargets()
	if err != nil {
		return err
	}
	if len(targets) == 0 {
		return errors.New("no fuzz target found: the search is broken")
	}
	slots := make(chan struct{}, 2)
	var wg sync.WaitGroup
	errs := make([]error, len(targets))
	for i, t := range targets {
		slots <- struct{}{}
		wg.Go(func() {
			defer func() { <-slots }()
			// -parallel 1: two targets share the two cores of the usual machine.
			errs[i] = sh(ctx, "go", "test", "-run", "^$", "-fuzz", "^"+t.name+"$", "-fuzztime", d.String(), "-parallel", "1", t.pkg)
		})
	}
	wg.Wait()
	return errors.Join(errs...)
}

func fuzzTargets() ([]fuzzTarget, error) {
	var targets []fuzzTarget
	err := filepath.WalkDir("internal", func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || !strings.HasSuffix(path, "_test.go") {
			return err
		}
		src, err := os.ReadFile(path)
		if err != nil {
			return err
		}
		for _, m := range fuzzFunc.FindAllSubmatch(src, -1) {
			targets = append(targets, fuzzTarget{"./" + filepath.ToSlash(filepath.Dir(path)), string(m[1])})
		}
		return nil
	})
	return targets, err
}
