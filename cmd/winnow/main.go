// Command winnow answers, from one shop file, whether a small woodworking shop's dust control works and what to do
// next. Everything is in internal; start reading at internal/face/cli.
package main

import (
	"os"

	"winnow/internal/face/cli"
)

func main() {
	os.Exit(cli.Run(os.Args[1:], os.Stdin, os.Stdout, os.Stderr))
}
