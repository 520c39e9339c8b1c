package cli

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"winnow/internal/face/wire"
	"winnow/internal/shop"
	"winnow/internal/study/power"
	"winnow/internal/study/roomair"
	"winnow/internal/study/verdict"
	"winnow/internal/unit"
)

func powerCommand(e *env) *cobra.Command {
	var why bool
	cmd := &cobra.Command{
		Use:   "power [FILE]",
		Short: "which circuits hold, which trip, and what to plug in where",
		Long: `power reads a shop file and judges every set of machines the routine allows, with the extraction and the
cleaners it brings and whatever starts by itself: whether each breaker holds, whether the rules allow it, and what wire,
cord and plug allow. It names the smallest change that cures, and finds the plan of plugs with the fewest moves.
It is a check and not a permit: local code first, and a licensed electrician for wiring.`,
		Example: "  winnow power shop.yaml\n  winnow power shop.yaml --why",
		Args:    theFile,
		RunE: func(cmd *cobra.Command, args []string) error {
			o, err := loadShop(e, fileOf(args))
			if err != nil {
				return err
			}
			r, err := verdict.Circuits(cmd.Context(), o.shop, o.layout, o.doc.Try)
			if err != nil {
				return err
			}
			if e.json {
				err = wire.Write(e.out, wire.Envelope{Shape: "power/1", Winnow: Version, Answer: wire.PowerOf(o.shop.Name, r, o.units, o.at)})
			} else {
				printPower(e, o, r, why)
			}
			if err != nil {
				return err
			}
			return exitFor(nil, r.Findings)
		},
	}
	cmd.Flags().BoolVar(&why, "why", false, "every load, rule and limit with its source, and what was taken")
	return cmd
}

func printPower(e *env, o *opened, r power.Report, why bool) {
	fmt.Fprintf(e.out, "%s\n\n%s\n\n", cmp.Or(o.shop.Name, o.path), wire.Plain(wire.PowerOf("", r, o.units, o.at).Sentence))
	if len(r.Circuits) > 0 {
		printCircuits(e, o, r)
		printSets(e, r)
	}
	printPowerFindings(e, o, r, why)
	if len(r.Chart) > 0 {
		printOutlets(e, o, r)
	}
	printEnergy(e, o, r)
	if why {
		printPowerWhy(e, o, r)
	}
	fmt.Fprintln(e.out)
	for _, c := range r.Cautions {
		fmt.Fprintln(e.out, c)
	}
	if !why {
		fmt.Fprintf(e.out, "\nwinnow power %s --why shows every load, rule and limit with its source.\n", o.path)
	}
}

func printCircuits(e *env, o *opened, r power.Report) {
	var rows [][]string
	for _, c := range r.Circuits {
		rating := "not known"
		if c.Known {
			rating = unit.Print(c.Rating, o.units) + ", " + unit.Print(c.Voltage, o.units)
		}
		if len(c.Worst.Loads) == 0 {
			rows = append(rows, []string{c.Name, rating, "", "", "", endangered("nothing on it", c), "", ""})
			continue
		}
		w := c.Worst
		chance := ""
		if w.Word != "holds" && w.Word != "not known" {
			chance = power.ChanceWords(w.Chance)
		}
		rows = append(rows, []string{
			c.Name, rating, unit.Print(w.Idle, o.units), unit.Print(w.Cut, o.units), unit.Print(w.Full, o.units), endangered(w.Word, c), chance, c.WorstSet,
		})
	}
	fmt.Fprintln(e.out, "Each circuit at its worst")
	printTable(e.out, []string{"circuit", "breaker", "idling", "typical cut", "full plate", "breaker then", "chance", "with"}, rows, 3, 4, 5)
	fmt.Fprintln(e.out)
}

// endangered puts what can burn or break before what the breaker does, so that no such circuit reads as fine.
func endangered(word string, c power.Circuit) string {
	if len(c.Danger) == 0 {
		return word
	}
	return "DANGER, " + strings.Join(c.Danger, ", ") + " (" + word + ")"
}

func printSets(e *env, r power.Report) {
	fmt.Fprintln(e.out, "What may run at once")
	var rows [][]string
	for _, s := range r.Sets {
		var where []string
		for _, h := range s.Circuits {
			if h.Word != "holds" {
				where = append(where, "circuit "+h.Circuit)
			}
		}
		rows = append(rows, []string{s.Name, strings.Join(s.Brings, ", "), s.Verdict, strings.Join(where, ", ")})
	}
	printTable(e.out, []string{"running", "with", "", ""}, rows)
}

// printPowerFindings prints the weightiest first, each with its help and its cures.
func printPowerFindings(e *env, o *opened, r power.Report, why bool) {
	findings := slices.Clone(r.Findings)
	slices.SortStableFunc(findings, func(a, b shop.Finding) int { return cmp.Compare(b.Code.Severity, a.Code.Severity) })
	for _, f := range findings {
		fmt.Fprintf(e.out, "\n%s: %s", capital(f.Code.Severity.String()), f.Sentence(o.units))
		if why {
			fmt.Fprintf(e.out, " [%s, %s]", f.Code.Name, o.place(f.Where))
		}
		fmt.Fprintln(e.out)
		if f.Code.Help != "" && !slices.ContainsFunc(f.Remedies, func(m shop.Remedy) bool { return m.Free }) {
			fmt.Fprintf(e.out, "    %s\n", f.Code.Help)
		}
		for _, m := range f.Remedies {
			mark := "ask "
			if m.Free {
				mark = "free"
			} else if len(m.Edits) > 0 {
				mark = "try "
			}
			fmt.Fprintf(e.out, "    %s  %s\n", mark, m.Sentence(o.units))
		}
	}
}

func printOutlets(e *env, o *opened, r power.Report) {
	plan := "as it is"
	if n := len(r.Assignment.Moves); n > 0 {
		plan = count(n, "plug") + " moved, the fewest that do"
		if !r.Assignment.Fewest {
			plan = count(n, "plug") + " moved; fewer may do"
		}
	}
	fmt.Fprintf(e.out, "\nOutlets; the plan: %s (%s)\n", plan, planOutcome(r))
	if n := r.Assignment.Short; n > 0 {
		fmt.Fprintf(e.out, "It needs a longer cord for %s: no plan without one does as well.\n", count(n, "plug"))
	}
	if b := r.Assignment.Breaks; len(b) > 0 {
		fmt.Fprintf(e.out, "No plan that keeps the rules as well as today does as well. This one breaks them: %s.\n", strings.Join(b, "; "))
	}
	var rows [][]string
	for _, c := range r.Chart {
		kind := unit.Print(c.Rating, o.units) + ", " + unit.Print(c.Voltage, o.units)
		rows = append(rows, []string{c.Name, c.Circuit, kind, dash(strings.Join(c.Plugged, ", ")), dash(strings.Join(c.Plan, ", ")), unit.Print(c.Spare, o.units)})
	}
	printTable(e.out, []string{"outlet", "circuit", "breaker", "plugged in now", "by the plan", "spare"}, rows, 6)
}

func planOutcome(r power.Report) string {
	switch a := r.Assignment; a.Outcome {
	case power.AllHold, power.AsItIs:
		return "every circuit holds in every allowed set"
	case power.NoneTrips:
		return "no circuit is expected to trip, some may"
	case power.Cannot:
		return fmt.Sprintf("%s still trip", count(a.Left, "set"))
	case power.NotDecided:
		return "not decided within the limit of the search: the best found"
	}
	return "nothing can be plugged in elsewhere"
}

func dash(s string) string { return cmp.Or(s, "-") }

func printEnergy(e *env, o *opened, r power.Report) {
	n := r.Energy
	if len(n.Rows) == 0 {
		return
	}
	fmt.Fprintf(e.out, "\nA usual week takes %s (%s)", unit.Print(n.Week, o.units), unit.PrintRange(n.Low, n.High, o.units))
	if n.Cost != nil {
		fmt.Fprintf(e.out, ", about %s %s", power.PrintCost(*n.Cost), n.Currency)
		if low, high := power.PrintCost(*n.CostLow), power.PrintCost(*n.CostHigh); low != high {
			fmt.Fprintf(e.out, " (%s to %s)", low, high)
		}
	}
	fmt.Fprintf(e.out, "; with %s running, %s of heat stay in the room.\n", n.HeatSet, unit.Print(n.Heat, o.units))
	for _, t := range r.Outdoors {
		if t.Now {
			continue // a finding says it
		}
		fmt.Fprintf(e.out, "If the %s blew outdoors (%s, %s), it would throw out %s at %s inside against outside, %s at %s", t.System,
			unit.Print(t.Flow, o.units), t.FlowFrom, unit.Print(t.AtTwenty, o.units), roomair.PrintColder(20, o.units), unit.Print(t.AtThirty, o.units), roomair.PrintColder(30, o.units))
		if t.Cost != nil {
			fmt.Fprintf(e.out, "; about %s %s a week at the first", power.PrintCost(*t.Cost), t.Currency)
		}
		fmt.Fprintln(e.out, ".")
		if t.Flame != "" {
			fmt.Fprintf(e.out, "Before that: %s. Pulled backwards, a flue fills the room with carbon monoxide.\n", t.Flame)
		}
	}
}

// orNothing prints a current, and nothing where a limit has none.
func orNothing(i unit.Ampere, sys unit.System) string {
	if i == 0 {
		return ""
	}
	return unit.Print(i, sys)
}

func printPowerWhy(e *env, o *opened, r power.Report) {
	fmt.Fprintln(e.out, "\nLoads")
	var rows [][]string
	for _, l := range r.Loads {
		volts := ""
		if l.AtRun > 0 {
			volts = unit.Print(l.AtRun, o.units)
		}
		if l.AtStart > 0 {
			volts += " / " + unit.Print(l.AtStart, o.units)
		}
		rows = append(rows, []string{
			l.Name, dash(l.Circuit), unit.Print(l.Idle, o.units), unit.Print(l.Cut, o.units), unit.Print(l.Full, o.units),
			unit.Print(l.Start, o.units), unit.Print(l.Lasts, o.units), volts, l.How,
		})
	}
	printTable(e.out, []string{"load", "circuit", "idling", "typical cut", "plate", "start", "for", "volts left, run / start", "by"}, rows, 3, 4, 5, 6, 7)

	fmt.Fprintln(e.out, "\nMay it be loaded so")
	rows = nil
	for _, l := range r.Rules {
		rows = append(rows, []string{string(l.OK), "circuit " + l.Circuit, l.Load, unit.Print(l.Has, o.units), unit.Print(l.Most, o.units), l.Rule, l.Source})
	}
	printTable(e.out, []string{"", "", "", "has", "at most", "rule", "source"}, rows, 4, 5)
	if len(r.Rules) > 0 {
		fmt.Fprintf(e.out, "%s.\n", r.Rules[0].Edition)
	}

	fmt.Fprintln(e.out, "\nWhat wire, cord, plug and switch allow")
	rows = nil
	for _, l := range r.Limits {
		rows = append(rows, []string{string(l.OK), l.What, orNothing(l.Has, o.units), orNothing(l.Allows, o.units), l.Note, l.Source})
	}
	printTable(e.out, []string{"", "", "has", "allows", "", "source"}, rows, 3, 4)

	for _, m := range r.Starts {
		fmt.Fprintf(e.out, "\nThe %s may start %.0f times an hour (%s), with %s of rest.", m.System, float64(m.May)*3600, m.From, unit.Print(m.Rest, o.units))
	}
	if len(r.Circuits) > 0 {
		printFeeder(e, o, r)
	}
	fmt.Fprintf(e.out, "\nTaken: %s.\nNot computed: %s.\nNot in the week's energy: %s.\n",
		strings.Join(r.Taken, "; "), strings.Join(r.NotComputed, "; "), strings.Join(r.Energy.LeftOut, ", "))
}

// printFeeder says what has to be carried to all circuits together.
func printFeeder(e *env, o *opened, r power.Report) {
	fmt.Fprintf(e.out, "\nWhat feeds all these circuits, the panel or a sub-panel's breaker, carries up to %s at a typical cut", unit.Print(r.Together, o.units))
	if r.OneWire > r.Together*1.001 {
		fmt.Fprintf(e.out, " if they are shared out evenly, %s if they lie on one wire", unit.Print(r.OneWire, o.units))
	}
	fmt.Fprintln(e.out, ".")
}
