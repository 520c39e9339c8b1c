package main

import (
	"context"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
)

// benchPage prints how fast the page is, by the real binary in a real browser: cold start, looks, drag, pan, weight and memory, each
// beside its goal. It needs Node and Chromium.
func benchPage(ctx context.Context) error {
	if err := buildPage(ctx); err != nil {
		return err
	}
	if _, err := exec.LookPath("node"); err != nil {
		return fmt.Errorf("node is missing: the page cannot be measured")
	}
	browser, err := exec.LookPath("chromium")
	if err != nil {
		return fmt.Errorf("chromium is missing: the page cannot be measured")
	}
	bin, err := build(ctx)
	if err != nil {
		return err
	}
	for name, value := range map[string]string{"CHROMIUM": browser, "WINNOW": bin} {
		if err := os.Setenv(name, value); err != nil {
			return err
		}
	}
	return shIn(ctx, web, "node", filepath.Join("bench", "page.mjs"))
}
