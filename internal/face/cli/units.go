package cli

import (
	"github.com/spf13/cobra"

	"winnow/internal/face/wire"
	"winnow/internal/unit"
)

func unitsCommand(e *env) *cobra.Command {
	return &cobra.Command{
		Use:   "units",
		Short: "every unit that may be written, by what it measures",
		Args:  noArgs,
		RunE: func(*cobra.Command, []string) error {
			table := unit.Table()
			if e.json {
				return wire.Write(e.out, wire.Envelope{Shape: "units/1", Winnow: Version, Answer: table})
			}
			_ = table
			return nil
		},
	}
}
