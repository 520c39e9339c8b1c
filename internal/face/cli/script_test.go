package cli

import (
	"bytes"
	"errors"
	"os"
	"path/filepath"
	"testing"

	"github.com/spf13/cobra"

	"github.com/rogpeppe/go-internal/testscript"
)

func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){
		"winnow": func() { os.Exit(Run(os.Args[1:], os.Stdin, os.Stdout, os.Stderr)) },
	})
}

// Each script reads like the help page of its command. $EXAMPLES holds the shops of the project's examples folder.
func TestScripts(t *testing.T) { runScripts(t, "script") }

func runScripts(t *testing.T, folder string) {
	examples, err := filepath.Abs(filepath.Join("..", "..", "..", "examples"))
	if err != nil {
		t.Fatal(err)
	}
	testscript.Run(t, testscript.Params{
		Dir:                 filepath.Join("testdata", folder),
		RequireExplicitExec: true,
		Setup: func(e *testscript.Env) error {
			e.Setenv("EXAMPLES", examples)
			e.Setenv("NO_COLOR", "1")
			return nil
		},
	})
}

// alone runs one command, whatever else is registered, and returns all it said.
func alone(t *testing.T, command func(*env) *cobra.Command, e *env, args []string) (out string, code int) {
	t.Helper()
	var buf bytes.Buffer
	e.out, e.err = &buf, &buf
	cmd := command(e)
	cmd.SilenceErrors, cmd.SilenceUsage = true, true
	cmd.SetArgs(args)
	err := cmd.Execute()
	var x *exit
	switch {
	case err == nil:
	case errors.As(err, &x):
		code = x.code
	default:
		t.Fatal(err)
	}
	return buf.String(), code
}
