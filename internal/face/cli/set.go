package cli

import (
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"winnow/internal/shop"
	"winnow/internal/shop/file"
	"winnow/internal/shop/typical"
)

func setCommand(e *env) *cobra.Command {
	var was, cause string
	var dry bool
	cmd := &cobra.Command{
		Use:   "set FILE PATH VALUE",
		Short: "write one value of a shop file; everything else stays as it is",
		Long: `set writes VALUE at PATH. A path is keys joined by /; a piece is its kind with its name, or with its number of that
kind in the run. What is not there yet is added. VALUE is written as in the file: 12 ft, none, unknown,
{size: 4 in}, [us osha, us acgih]. A part of a machine, system or circuit that is not there, and whose name looks like one that
is, is refused: a new one is added by setting it whole. winnow undo takes it back.`,
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
			if err := refuseStranger(d.Head().Doc, edit.Set); err != nil {
				return err
			}
			return change(cmd.Context(), e, d, args[0], []shop.Edit{edit}, cause, dry)
		},
	}
	cmd.Flags().StringVar(&was, "was", "", "`VALUE` that must stand there now, else nothing is changed")
	addChangeFlags(cmd, &cause, &dry)
	return cmd
}

// namesChosen are the sections whose keys are names of the owner's choosing.
var namesChosen = []string{"machines", "systems", "circuits", "air cleaners", "other loads", "respirators", "sensors", "arrangements"}

// refuseStranger keeps a slip in a name from becoming a second machine: a part of something that is not there is only set if
// nothing there has a similar name.
func refuseStranger(doc *file.Doc, at shop.Path) error {
	keys := at.Keys()
	if len(keys) < 3 || !slices.Contains(namesChosen, keys[0]) {
		return nil
	}
	section, written := doc.Value(shop.Path(keys[0]))
	if !written || slices.Contains(section.Keys, keys[1]) {
		return nil
	}
	near := typical.Nearest(keys[1], section.Keys, 2)
	if len(near) == 0 {
		return nil
	}
	whole := shop.Path(keys[0]).Join(keys[1])
	return badInput("there is no `%s`, nothing was changed; is it %s?\nA new one is set whole: winnow set FILE '%s' '{...}'", whole,
		"`"+strings.Join(near, "` or `")+"`", whole)
}
