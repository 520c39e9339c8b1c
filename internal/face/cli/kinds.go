package cli

import (
	"fmt"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"winnow/internal/face/wire"
	"winnow/internal/shop/typical"
	"winnow/internal/unit"
)

// kindRow is one kind of something, with what is usual for it.
type kindRow struct {
	Of    string     `json:"of"` // machine, pipe, hose, ...
	Name  string     `json:"name"`
	About string     `json:"about,omitempty"`
	Also  []string   `json:"also,omitempty"`
	Usual []kindFact `json:"usual"`
}

// kindFact is one usual value as text, with its source.
type kindFact struct {
	What   string `json:"what"`
	Value  string `json:"value"`
	Source string `json:"source,omitempty"`
}

func kindsCommand(e *env) *cobra.Command {
	return &cobra.Command{
		Use:   "kinds [NAME]",
		Short: "the kinds of machine, pipe, filter and collector that are known, and what is usual for them",
		Long: `kinds lists what may be written as a kind. With a NAME it prints the usual values of that kind, each with its
range and source; they fill what a shop file leaves out, and show as assumed.`,
		Example: "  winnow kinds\n  winnow kinds 'thickness planer'",
		Args:    cobra.MaximumNArgs(1),
		RunE: func(_ *cobra.Command, args []string) error {
			rows := kindRows(e.system(""))
			if len(args) == 1 {
				var err error
				if rows, err = kindsNamed(rows, args[0]); err != nil {
					return err
				}
			}
			if e.json {
				return wire.Write(e.out, wire.Envelope{Shape: "kinds/1", Winnow: Version, Answer: rows})
			}
			if len(args) == 1 {
				printKind(e, rows)
			} else {
				printKinds(e, rows)
			}
			return nil
		},
	}
}

// kindRows gathers every table of usual values.
func kindRows(sys unit.System) []kindRow {
	var rows []kindRow
	for _, m := range typical.MachineKinds() {
		rows = append(rows, machineRow(m, sys))
	}
	for _, p := range typical.PipeKinds() {
		rows = append(rows, pipeRow(p, sys))
	}
	for _, f := range typical.FilterKinds() {
		r := kindRow{Of: "filter", Name: f.Name, About: f.About, Also: f.Also}
		r.add("area, up to 1.5 hp", amountText(f.Area, sys), f.Area.Source)
		r.add("area, above", amountText(f.AreaBig, sys), f.AreaBig.Source)
		rows = append(rows, r)
	}
	for _, y := range typical.SystemKinds() {
		rows = append(rows, kindRow{Of: "system", Name: y.Name, About: y.About, Also: y.Also})
	}
	for _, f := range typical.CollectorFans(sys) {
		r := kindRow{Of: "collector's fan", Name: unit.PrintMotor(f.Power.Best, sys)}
		r.add("free air, really", amountText(f.Free, sys), f.Free.Source)
		r.add("free air, on the box", amountText(f.Box, sys), f.Box.Source)
		r.add("pull with the inlet blocked", amountText(f.ShutOff, sys), f.ShutOff.Source)
		r.add("wheel", amountText(f.Wheel, sys), f.Wheel.Source)
		rows = append(rows, r)
	}
	for _, s := range typical.SeparatorMakes() {
		rows = append(rows, kindRow{Of: "separator", Name: s.Name, About: s.About, Also: s.Also})
	}
	for _, m := range typical.ElbowMakes() {
		rows = append(rows, kindRow{Of: "elbow", Name: m.Name, About: m.About, Also: m.Also})
	}
	return rows
}

func (r *kindRow) add(what, value, source string) {
	if value != "" {
		r.Usual = append(r.Usual, kindFact{what, value, source})
	}
}

func amountText[T unit.Real](a unit.Amount[T], sys unit.System) string {
	switch a.Basis {
	case unit.Unsaid:
		return ""
	case unit.Absent:
		return "none"
	}
	if a.Low >= a.High {
		return unit.Print(a.Best, sys)
	}
	return fmt.Sprintf("%s (%s)", unit.Print(a.Best, sys), unit.PrintRange(a.Low, a.High, sys))
}

func machineRow(m *typical.Machine, sys unit.System) kindRow {
	r := kindRow{Of: "machine", Name: m.Name, About: m.About, Also: m.Also}
	for _, p := range m.Ports {
		name := strings.TrimSpace("port " + p.Name)
		if !p.Usual {
			name += ", not on all"
		}
		size := p.Size.For(sys)
		r.add(name, amountText(size, sys), size.Source)
		chips, fine := p.Needs(size.Best, p.Area.Best)
		r.add("  needs, chips", amountText(chips, sys), chips.Source)
		r.add("  needs, fine dust", amountText(fine, sys), fine.Source)
	}
	r.add("current", amountText(m.Current.For(sys), sys), m.Current.For(sys).Source)
	r.add("makes", m.Form, "")
	if m.Rate.Best > 0 {
		r.add("loose chips", unit.PrintBulk(m.Rate.Best, sys), m.Rate.Source)
	}
	r.add("infeed", amountText(m.Infeed, sys), m.Infeed.Source)
	r.add("outfeed", amountText(m.Outfeed, sys), m.Outfeed.Source)
	return r
}

func pipeRow(p *typical.Pipe, sys unit.System) kindRow {
	r := kindRow{Of: "pipe", Name: p.Name, About: p.About, Also: p.Also}
	if p.Hose {
		r.Of = "hose"
	}
	for _, size := range p.Sizes(sys) {
		bore, _ := p.Bore(size)
		r.add("size "+unit.Print(size, sys), "bore "+unit.PrintIn(bore.Best, "mm"), bore.Source)
	}
	if p.Hose {
		r.add("friction, times smooth pipe", amountText(p.Friction, sys), p.Friction.Source)
	} else {
		r.add("roughness", amountText(p.Roughness, sys), p.Roughness.Source)
	}
	return r
}

func kindsNamed(rows []kindRow, name string) ([]kindRow, error) {
	var found []kindRow
	var names []string
	for _, r := range rows {
		names = append(names, r.Name)
		if strings.EqualFold(r.Name, name) || slices.ContainsFunc(r.Also, func(a string) bool { return strings.EqualFold(a, name) }) {
			found = append(found, r)
		}
	}
	if len(found) == 0 {
		near := ""
		if words := typical.Nearest(name, names, 3); len(words) > 0 {
			near = "; did you mean " + strings.Join(words, " or ") + "?"
		}
		return nil, badInput("no kind is called %q%s\nwinnow kinds lists all", name, near)
	}
	return found, nil
}

func printKinds(e *env, rows []kindRow) {
	var table [][]string
	last := ""
	for _, r := range rows {
		of := ""
		if r.Of != last {
			of, last = r.Of, r.Of
		}
		about := r.About
		if r.Of == "collector's fan" && len(r.Usual) > 0 {
			about = r.Usual[0].Value
		}
		table = append(table, []string{of, r.Name, about})
	}
	printTable(e.out, nil, table)
	fmt.Fprintln(e.out, "\nwinnow kinds NAME prints what is usual for one.")
}

func printKind(e *env, rows []kindRow) {
	for _, r := range rows {
		fmt.Fprintf(e.out, "%s: %s\n", r.Name, r.Of)
		if r.About != "" {
			fmt.Fprintf(e.out, "%s\n", r.About)
		}
		if len(r.Also) > 0 {
			fmt.Fprintf(e.out, "also written: %s\n", strings.Join(r.Also, ", "))
		}
		var table [][]string
		for _, f := range r.Usual {
			table = append(table, []string{f.What, f.Value, f.Source})
		}
		printTable(e.out, nil, table)
		fmt.Fprintln(e.out)
	}
}
