package cli

import (
	"fmt"
	"runtime"

	"github.com/spf13/cobra"

	"winnow/internal/face/wire"
)

type versionAnswer struct {
	Version string `json:"version"`
	Go      string `json:"go"`
	System  string `json:"system"`
}

func versionCommand(e *env) *cobra.Command {
	return &cobra.Command{
		Use:   "version",
		Short: "the version of this program",
		Args:  noArgs,
		RunE: func(*cobra.Command, []string) error {
			v := versionAnswer{Version, runtime.Version(), runtime.GOOS + "/" + runtime.GOARCH}
			if e.json {
				return wire.Write(e.out, wire.Envelope{Shape: "version/1", Winnow: Version, Answer: v})
			}
			_, err := fmt.Fprintf(e.out, "winnow %s (%s, %s)\n", v.Version, v.Go, v.System)
			return err
		},
	}
}

func noArgs(cmd *cobra.Command, args []string) error {
	if len(args) > 0 {
		return badInput("%s takes nothing more; %q is too much", cmd.CommandPath(), args[0])
	}
	return nil
}
