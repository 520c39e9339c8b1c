package main

import (
	"context"
	"os"
	"path/filepath"
	"runtime"
)

const demoShop = "examples/carport.yaml"

// demo builds the real binary and shows the demo shop with it.
func demo(ctx context.Context, args []string) error {
	bin, err := build(ctx)
	if err != nil {
		return err
	}
	if len(args) == 0 {
		args = []string{"airflow", demoShop}
	}
	return sh(ctx, bin, args...)
}

// build makes the binary under .cache, as it is shipped: static and stripped.
func build(ctx context.Context) (string, error) {
	bin := filepath.Join(".cache", "winnow")
	if runtime.GOOS == "windows" {
		bin += ".exe"
	}
	if err := os.Setenv("CGO_ENABLED", "0"); err != nil {
		return "", err
	}
	abs, err := filepath.Abs(bin)
	if err != nil {
		return "", err
	}
	return abs, sh(ctx, "go", "build", "-trimpath", "-ldflags", "-s -w", "-o", bin, "./cmd/winnow")
}
