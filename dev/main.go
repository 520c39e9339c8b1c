// Command dev does the two things a newcomer needs, and the few a maintainer does.
//
//	go run ./dev run             build winnow and show the demo shop
//	go run ./dev test            everything, in stages; stops at the first red
//	go run ./dev test core       the inner loop: the core packages only
//	go run ./dev bench           our speed beside a general-purpose peer
//	go run ./dev bench page      the page's speed in a real browser
//	go run ./dev lint            formatting, vet, staticcheck
//	go run ./dev fuzz 10m        every fuzz target for that long
//
// It needs Go; stages that need another tool install it where they may, and say what to type where they may not.
package main

import (
	"context"
	"fmt"
	"os"
	"os/signal"
)

func main() {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt)
	defer stop()
	if err := do(ctx, os.Args[1:]); err != nil {
		fmt.Fprintln(os.Stderr, "dev:", err)
		os.Exit(1)
	}
}

const usage = `usage: go run ./dev run | test [core|page|live] | bench [networks|page|NAME] | lint | fuzz DURATION`

func do(ctx context.Context, args []string) error {
	if len(args) == 0 {
		return fmt.Errorf("say what to do\n%s", usage)
	}
	if err := toRoot(); err != nil {
		return err
	}
	verb, rest := args[0], args[1:]
	switch verb {
	case "run":
		return demo(ctx, rest)
	case "test":
		return test(ctx, rest)
	case "bench":
		return bench(ctx, rest)
	case "lint":
		return runStages(ctx, []stage{houseStage})
	case "fuzz":
		return fuzz(ctx, rest)
	}
	return fmt.Errorf("there is no %q\n%s", verb, usage)
}

// toRoot goes up to the folder of go.mod, so that dev works from anywhere inside the project.
func toRoot() error {
	for {
		if _, err := os.Stat("go.mod"); err == nil {
			return nil
		}
		before, err := os.Getwd()
		if err != nil {
			return err
		}
		if err := os.Chdir(".."); err != nil {
			return err
		}
		if after, err := os.Getwd(); err != nil || after == before {
			return fmt.Errorf("no go.mod above this folder: run it inside the project")
		}
	}
}
