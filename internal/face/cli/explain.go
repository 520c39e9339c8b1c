package cli

import (
	"fmt"
	"math"
	"strings"

	"github.com/spf13/cobra"

	"winnow/internal/face/wire"
	"winnow/internal/study/airflow"
	"winnow/internal/unit"
)

func explainCommand(e *env) *cobra.Command {
	var setup, filter string
	cmd := &cobra.Command{
		Use:   "explain MACHINE FILE",
		Short: "the whole working of what a machine gets, piece by piece",
		Long: `explain shows the calculation sheet of a machine's port (MACHINE, or MACHINE/PORT): every piece in the order
of the air with its length, bore, speed, velocity pressure, coefficient, loss and source. A pocket calculator
reaches the same total.`,
		Example: "  winnow explain planer shop.yaml\n  winnow explain 'table saw/guard' shop.yaml --units si",
		Args: func(cmd *cobra.Command, args []string) error {
			if len(args) != 2 {
				return badInput("%s wants a machine and a shop file: %s", cmd.CommandPath(), cmd.UseLine())
			}
			if strings.HasSuffix(args[0], ".yaml") && !strings.HasSuffix(args[1], ".yaml") {
				args[0], args[1] = args[1], args[0] // either order does
			}
			return nil
		},
		RunE: func(cmd *cobra.Command, args []string) error {
			o, err := loadShop(e, args[1])
			if err != nil {
				return err
			}
			sheets, err := sheetsOf(o, args[0], setup, filter)
			if err != nil {
				return err
			}
			if e.json {
				return wire.Write(e.out, wire.Envelope{Shape: "sheet/1", Winnow: Version, Answer: sheets})
			}
			for _, s := range sheets {
				printSheet(e, o, s)
			}
			return nil
		},
	}
	cmd.Flags().StringVar(&setup, "setup", "", "the machine's setup; left out: its first")
	cmd.Flags().StringVar(&filter, "filter", "due", "state of the filters: due, now or clean")
	return cmd
}

// sheetsOf works out the sheets of a machine's ports, or of the one port named.
func sheetsOf(o *opened, name, setup, filter string) ([]airflow.Sheet, error) {
	machine, port, one := strings.Cut(name, "/")
	m := o.shop.Machine(machine)
	if m == nil {
		return nil, badInput("there is no machine %q in %s; there are: %s", machine, o.path, strings.Join(machineNames(o.shop), ", "))
	}
	asked := machine
	if setup != "" {
		asked += ":" + setup
	}
	sets, err := settings(o, []string{asked}, filter)
	if err != nil {
		return nil, err
	}
	var sheets []airflow.Sheet
	for _, y := range o.shop.Systems {
		model, findings := airflow.Build(o.shop, o.layout, y.Name)
		if model == nil {
			return nil, badInput("%s", findings[0].Sentence(o.units))
		}
		for _, p := range model.Ports(sets[0]) {
			if one && p.Port != port {
				continue
			}
			s, err := model.Explain(sets[0], p)
			if err != nil {
				return nil, err
			}
			sheets = append(sheets, s)
		}
	}
	if len(sheets) == 0 {
		return nil, badInput("no run of any system starts at %s in %s: it gets no air to explain", name, o.path)
	}
	return sheets, nil
}

func printSheet(e *env, o *opened, s airflow.Sheet) {
	fmt.Fprintf(e.out, "%s on %s, %s\n", s.Port, s.System, settingWords([]airflow.Setting{s.Setting}))
	fmt.Fprintf(e.out, "Air of %s. VP = density/2 x speed². A loss is its coefficient K times VP.\n\n", unit.Print(s.Density, o.units))
	var rows [][]string
	for i, r := range s.Rows {
		rows = append(rows, []string{
			fmt.Sprint(i + 1), r.What, print0(r.Length, o.units), print0(r.Bore, o.units), unit.Print(r.Flow, o.units), print0(r.Speed, o.units),
			print0(r.Velocity, o.units), coefficient(r), unit.Print(r.Loss, o.units), unit.Print(-r.Static, o.units),
		})
	}
	printTable(e.out, []string{"", "piece", "length", "bore", "airflow", "speed", "VP", "K", "loses", "pull behind it"}, rows, 1, 3, 4, 5, 6, 7, 8, 9, 10)
	fmt.Fprintf(e.out, "\nAll losses together %s; the solver gives the fan %s at %s (%s).\n",
		unit.Print(s.Sum, o.units), unit.Print(s.FanRise, o.units), unit.Print(s.FanFlow, o.units), s.FanWords)
	fmt.Fprintln(e.out, "\nHow, and from where")
	rows = rows[:0]
	for i, r := range s.Rows {
		rows = append(rows, []string{fmt.Sprint(i + 1), string(r.Path), how(r), whence(r)})
	}
	printTable(e.out, nil, rows, 1)
	fmt.Fprintln(e.out)
}

// print0 leaves a zero empty.
func print0[T unit.Real](v T, sys unit.System) string {
	if v == 0 {
		return ""
	}
	return unit.Print(v, sys)
}

func coefficient(r airflow.Row) string {
	if r.K == 0 {
		return ""
	}
	return fmt.Sprintf("%.3g", r.K)
}

// whence says where the row's numbers come from: the length on the one hand, the coefficient on the other.
func whence(r airflow.Row) string {
	if r.Length > 0 && r.Basis != "" {
		return "length " + r.Basis + "; " + r.Source
	}
	if r.Basis == "given" {
		return "given"
	}
	return r.Source
}

func how(r airflow.Row) string {
	if r.Friction > 0 {
		return fmt.Sprintf("%s, f %.4f, L/D %.4g", r.How, r.Friction, math.Round(1e4*float64(r.Length/r.Bore))/1e4)
	}
	return r.How
}
