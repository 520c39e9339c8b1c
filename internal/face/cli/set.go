package cli

import (
	"github.com/spf13/cobra"

	"winnow/internal/shop"
)

func setCommand(e *env) *cobra.Command {
	var was, cause string
	var dry bool
	cmd := &cobra.Command{
		Use:   "set FILE PATH VALUE",
		Short: "write one value of a shop file; everything else stays as it is",
		Long: `set writes VALUE at PATH. A path is keys joined by /; a piece is its kind with its name, or with its number of that
kind in the run. What is not there yet is added. VALUE is written as in the file: 12 ft, none, unknown,
{size: 4 in}, [us osha, us acgih]. winnow undo takes it back.`,
		Example: "  winnow set shop.yaml machines/planer/port/size '5 in'\n" +
			"  winnow set shop.yaml 'systems/collector/runs/long hose/pieces/hose 1/hose' '12 ft' --was '20 ft'\n" +
			"  winnow set shop.yaml 'machines/lathe/port' '{size: 6 in}' --dry-run\n" +
			"  winnow set shop.yaml -- site/temperature '-5 to 27 °C'",
		Args: func(cmd *cobra.Command, args []string) error {
			if len(args) != 3 {
				return badInput("%s wants a shop file, a path and a value, not %s: %s", cmd.CommandPath(), count(len(args), "word"), cmd.UseLine())
			}
			return nil
		},
		RunE: func(cmd *cobra.Command, args []string) error {
			to, err := readValue(args[2])
			if err != nil {
				return err
			}
			edit := shop.Edit{Set: shop.Path(args[1]), To: to}
			if cmd.Flags().Changed("was") {
				if edit.Was, err = readValue(was); err != nil {
					return err
				}
			}
			if cause == "" {
				cause = causeOf([]shop.Edit{edit}, nil)
			}
			d, err := openDesk(args[0])
			if err != nil {
				return err
			}
			return change(cmd.Context(), e, d, args[0], []shop.Edit{edit}, cause, dry)
		},
	}
	cmd.Flags().StringVar(&was, "was", "", "`VALUE` that must stand there now, else nothing is changed")
	addChangeFlags(cmd, &cause, &dry)
	return cmd
}
