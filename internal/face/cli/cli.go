// Package cli is the commands: it reads files, asks the studies, and writes sentences, tables or --json.
//
// It refuses to compute anything about a shop. Exit codes: 0 fine, 1 a finding that fails, 2 bad input,
// 3 a fault of the program itself. Start reading at Run, then at the command's own file.
package cli

import (
	"errors"
	"fmt"
	"io"
	"os"
	"strings"

	"github.com/spf13/cobra"
	"golang.org/x/term"

	"winnow/internal/unit"
)

// Exit codes of every command.
const (
	exitFine     = 0
	exitFailing  = 1
	exitBadInput = 2
	exitInternal = 3
)

// Version is the version of the program, set when it is built for release.
var Version = "0.1-dev"

// env is what a command gets from the world.
type env struct {
	out, err io.Writer
	shown    *calm // what out is
	in       io.Reader
	json     bool
	units    string    // us, si or empty: as the file says
	bar      io.Writer // the bare terminal, for a line written over and over; nil where nobody sits
}

// exit carries an exit code through cobra; said is false where the message still has to be printed.
type exit struct {
	code int
	why  error
}

func (e *exit) Error() string {
	if e.why == nil {
		return ""
	}
	return e.why.Error()
}

func badInput(format string, args ...any) error {
	return &exit{exitBadInput, fmt.Errorf(format, args...)}
}

// failing ends a command whose answer is printed and holds a problem.
var failing = &exit{code: exitFailing}

// Run runs one command line and returns its exit code.
func Run(args []string, in io.Reader, out, errs io.Writer) (code int) {
	defer func() {
		if p := recover(); p != nil {
			fmt.Fprintf(errs, "winnow: a fault of the program itself: %v\nNothing was written. Please report it with the shop file that shows it.\n", p)
			code = exitInternal
		}
	}()
	e := &env{in: in, bar: terminalOf(errs)}
	e.shown = &calm{w: out, width: widthOf(out)}
	out, errs = e.shown, &calm{w: errs, width: widthOf(errs)}
	e.out, e.err = out, errs
	root := rootCommand(e)
	root.SetArgs(args)
	root.SetIn(in)
	root.SetOut(out)
	root.SetErr(errs)
	err := root.Execute()
	if err == nil {
		return exitFine
	}
	var x *exit
	if errors.As(err, &x) {
		if x.why != nil {
			fmt.Fprintf(errs, "winnow: %v\n", x.why)
		}
		return x.code
	}
	fmt.Fprintf(errs, "winnow: %v\n", err)
	return exitBadInput
}

// terminalOf is w where somebody sits before it, else nil. NO_COLOR asks for no escape sequences at all (no-color.org).
func terminalOf(w io.Writer) io.Writer {
	f, isFile := w.(*os.File)
	if !isFile || os.Getenv("NO_COLOR") != "" {
		return nil
	}
	if info, err := f.Stat(); err != nil || info.Mode()&os.ModeCharDevice == 0 {
		return nil
	}
	return f
}

// widthOf is the width of the terminal that w is, 0 if it is none or says none. Below 40 columns nothing is folded any more.
func widthOf(w io.Writer) int {
	f, isFile := w.(*os.File)
	if !isFile {
		return 0
	}
	if width, _, err := term.GetSize(int(f.Fd())); err == nil && width >= 40 {
		return width
	}
	return 0
}

func rootCommand(e *env) *cobra.Command {
	root := &cobra.Command{
		Use:   "winnow",
		Short: "Will my dust control work, and what should I do next?",
		Long: `Winnow reads one file that describes a small woodworking shop and computes whether its dust
control works: what each machine gets and needs, where the pull goes, and what to do about it.

Exit codes: 0 fine, 1 a finding that fails, 2 input that cannot be used, 3 a fault of the program itself.`,
		SilenceUsage:  true,
		SilenceErrors: true,
		Args:          cobra.ArbitraryArgs,
		RunE: func(cmd *cobra.Command, args []string) error {
			if len(args) > 0 {
				return badInput("there is no command %q%s\nwinnow --help lists the commands", args[0], didYouMean(cmd, args[0]))
			}
			return cmd.Help()
		},
	}
	root.PersistentFlags().BoolVar(&e.json, "json", false, "answer as JSON, in SI")
	root.PersistentFlags().StringVar(&e.units, "units", "", "us or si; left out: as the shop file says")
	root.PersistentPreRunE = func(cmd *cobra.Command, _ []string) error {
		if markdown := cmd.Flags().Lookup("markdown"); e.shown != nil && (e.json || markdown != nil && markdown.Changed) {
			e.shown.width = 0 // meant for another program
		}
		switch e.units {
		case "", "us", "si":
			return nil
		}
		return badInput("--units is %q: write us or si", e.units)
	}
	root.AddCommand(newCommand(e), checkCommand(e), airflowCommand(e), explainCommand(e), airCommand(e), powerCommand(e), gatesCommand(e), unitsCommand(e), kindsCommand(e), serveCommand(e), setCommand(e), editCommand(e), undoCommand(e), redoCommand(e), versionCommand(e))
	return root
}

func didYouMean(cmd *cobra.Command, word string) string {
	if near := cmd.SuggestionsFor(word); len(near) > 0 {
		return "; did you mean " + strings.Join(near, " or ") + "?"
	}
	return ""
}

// system is the units to print in: the flag's, else the file's.
func (e *env) system(file string) unit.System {
	if e.units == "si" || e.units == "" && file == "si" {
		return unit.SI
	}
	return unit.US
}
