package main

import (
	"context"
	"os"
	"path/filepath"
	"runtime"
)

const demoShop = "examples/carport.yaml"

// demo builds the page and the real binary, shows the demo shop's airflow, and serves its page from a copy, so that trying
// things does not change the example. With words of its own it runs the binary with them instead.
func demo(ctx context.Context, args []string) error {
	if err := buildPage(ctx); err != nil {
		return err
	}
	bin, err := build(ctx)
	if err != nil {
		return err
	}
	if len(args) > 0 {
		return sh(ctx, bin, args...)
	}
	copied := filepath.Join(".cache", "demo", "carport.yaml")
	if err := os.MkdirAll(filepath.Dir(copied), 0o755); err != nil {
		return err
	}
	src, err := os.ReadFile(demoShop)
	if err != nil {
		return err
	}
	if err := os.WriteFile(copied, src, 0o644); err != nil {
		return err
	}
	_ = sh(ctx, bin, "airflow", copied) // exit code 1 says that the demo shop has its faults
	return sh(ctx, bin, "serve", copied)
}

// build makes the binary under .cache, as it is shipped: static and stripped.
func build(ctx context.Context) (string, error) {
	bin := filepath.Join(".cache", "winnow")
	if runtime.GOOS == "windows" {
		bin += ".exe"
	}
	abs, err := filepath.Abs(bin)
	if err != nil {
		return "", err
	}
	return abs, shEnv(ctx, []string{"CGO_ENABLED=0"}, "go", "build", "-trimpath", "-ldflags", "-s -w", "-o", bin, "./cmd/winnow")
}
