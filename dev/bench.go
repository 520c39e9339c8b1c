package main

import "context"

// bench prints our speed beside the peer's, in one run on one machine. Nothing is asserted.
func bench(ctx context.Context, args []string) error {
	pattern := "."
	if len(args) == 1 {
		pattern = args[0]
	}
	return sh(ctx, "go", "test", "-run", "^$", "-bench", pattern, "-benchmem", "./internal/...")
}
