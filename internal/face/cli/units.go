package cli

import (
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"winnow/internal/face/wire"
	"winnow/internal/unit"
)

type unitAnswer struct {
	Name    string   `json:"name"`
	Also    []string `json:"also"`
	Measure string   `json:"measures"`
	InSI    float64  `json:"in_si"`
	SI      string   `json:"si_unit"`
	Source  string   `json:"source"`
}

func unitsCommand(e *env) *cobra.Command {
	return &cobra.Command{
		Use:   "units [MEASURE]",
		Short: "every unit that may be written, by what it measures",
		Long: `units lists the units that a shop file understands, by what they measure, with other spellings. Units may be
mixed freely in one file. MEASURE is one of them: length, airflow, pressure, ...`,
		Example: "  winnow units\n  winnow units airflow",
		Args:    cobra.MaximumNArgs(1),
		RunE: func(_ *cobra.Command, args []string) error {
			rows, err := unitRows(args)
			if err != nil {
				return err
			}
			if e.json {
				answers := make([]unitAnswer, len(rows))
				for i, r := range rows {
					answers[i] = unitAnswer{r.Name, r.Also, string(r.Dimension), r.InSI, r.SIUnit, r.Source}
				}
				return wire.Write(e.out, wire.Envelope{Shape: "units/1", Winnow: Version, Answer: answers})
			}
			printUnits(e, rows)
			return nil
		},
	}
}

func unitRows(args []string) ([]unit.UnitRow, error) {
	all := unit.Table()
	if len(args) == 0 {
		return all, nil
	}
	var rows []unit.UnitRow
	var names []string
	for _, r := range all {
		if string(r.Dimension) == args[0] {
			rows = append(rows, r)
		}
		if n := len(names); n == 0 || names[n-1] != string(r.Dimension) {
			names = append(names, string(r.Dimension))
		}
	}
	if len(rows) == 0 {
		return nil, badInput("nothing is measured as %q; there are: %s", args[0], strings.Join(names, ", "))
	}
	return rows, nil
}

func printUnits(e *env, rows []unit.UnitRow) {
	var table [][]string
	var last unit.Dimension
	for _, r := range rows {
		name := ""
		if r.Dimension != last {
			name, last = string(r.Dimension), r.Dimension
		}
		worth := ""
		if r.InSI != 0 && r.Name != r.SIUnit {
			worth = fmt.Sprintf("%.7g %s", r.InSI, r.SIUnit)
		}
		table = append(table, []string{name, r.Name, worth, shortList(r.Also, 4)})
	}
	printTable(e.out, []string{"measures", "unit", "is", "also written"}, table, 3)
	fmt.Fprintln(e.out, "\nDoubt belongs to the number: 350 cfm ± 10 %, +25/-10 %, 45 to 85 °F. A loss is a pressure at an airflow: 1.8 inH2O at 800 cfm.")
}

// shortList joins the first n words.
func shortList(words []string, n int) string {
	return strings.Join(words[:min(n, len(words))], ", ")
}
