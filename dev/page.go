package main

import (
	"bytes"
	"context"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
)

const web = "web"

// havePage reports whether the page's sources are there yet.
func havePage() bool {
	_, err := os.Stat(filepath.Join(web, "package.json"))
	return err == nil
}

// buildPage installs the page's packages where the lock has changed, and builds it into web/dist, which the binary embeds.
// Without Node the binary still works, and its server says what is missing.
func buildPage(ctx context.Context) error {
	if !havePage() {
		return nil
	}
	if _, err := exec.LookPath("npm"); err != nil {
		if inCI() {
			return fmt.Errorf("npm is missing: the page cannot be built")
		}
		fmt.Println("SKIPPED the page: it needs Node and npm")
		return nil
	}
	if err := installPackages(ctx); err != nil {
		return err
	}
	return shIn(ctx, web, "npm", "run", "--silent", "build")
}

// installPackages runs npm ci only if the lock differs from the copy kept beside what was installed last.
func installPackages(ctx context.Context) error {
	lock, err := os.ReadFile(filepath.Join(web, "package-lock.json"))
	if err != nil {
		return err
	}
	kept := filepath.Join(web, "node_modules", ".lock-installed")
	if last, err := os.ReadFile(kept); err == nil && bytes.Equal(last, lock) {
		return nil
	}
	if err := shIn(ctx, web, "npm", "ci", "--no-audit", "--no-fund", "--silent"); err != nil {
		return err
	}
	return os.WriteFile(kept, lock, 0o644)
}

// page checks types, runs the plain TypeScript's tests, and then the journeys: the real binary in a real browser.
func page(ctx context.Context) error {
	if !havePage() {
		fmt.Println("there is no page yet")
		return nil
	}
	if err := buildPage(ctx); err != nil {
		return err
	}
	if _, err := exec.LookPath("npm"); err != nil {
		return nil
	}
	for _, script := range []string{"check", "test"} {
		if err := shIn(ctx, web, "npm", "run", "--silent", script); err != nil {
			return err
		}
	}
	if err := need(ctx, "chromium", "chromium"); err != nil {
		return err
	}
	browser, err := exec.LookPath("chromium")
	if err != nil {
		return nil // said by need
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
	return shIn(ctx, web, "npm", "run", "--silent", "e2e")
}
