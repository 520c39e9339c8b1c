package cli

import (
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"winnow/internal/face/wire"
	"winnow/internal/shop/typical"
	"winnow/internal/unit"
)

// kindAnswer is one kind of something, with what is usual for it.
type kindAnswer struct {
	Of    string     `json:"of"` // machine, pipe, hose, ...
	Name  string     `json:"name"`
	About string     `json:"about,omitempty"`
	Also  []string   `json:"also,omitempty"`
	Usual []kindFact `json:"usual,omitempty"`
}

// kindFact is one usual value: as text, and in SI where it is a number.
type kindFact struct {
	What   string   `json:"what"`
	Value  string   `json:"value"`
	Best   *float64 `json:"best,omitempty"`
	Low    *float64 `json:"low,omitempty"`
	High   *float64 `json:"high,omitempty"`
	SI     string   `json:"si_unit,omitempty"`
	Source string   `json:"source,omitempty"`
}

func kindsCommand(e *env) *cobra.Command {
	return &cobra.Command{
		Use:   "kinds [NAME]",
		Short: "the kinds and makes that are known, and what is usual for them",
		Long: `kinds lists what may be written as a kind or make. With a NAME it prints the usual values of that kind, each with its
range and source; they fill what a shop file leaves out, and show as assumed.`,
		Example: "  winnow kinds\n  winnow kinds 'thickness planer'",
		Args:    cobra.MaximumNArgs(1),
		RunE: func(_ *cobra.Command, args []string) error {
			if len(args) == 0 {
				return listKinds(e)
			}
			sheets := typical.Describe(args[0], e.system(""))
			if len(sheets) == 0 {
				return noSuchKind(args[0])
			}
			if e.json {
				return wire.Write(e.out, wire.Envelope{Shape: "kinds/1", Winnow: Version, Answer: kindAnswers(sheets, e.system(""))})
			}
			for _, s := range sheets {
				printKind(e, s)
			}
			return nil
		},
	}
}

func noSuchKind(name string) error {
	var names []string
	for _, s := range typical.Kinds() {
		for _, i := range s.Items {
			names = append(names, i.Name)
		}
	}
	near := ""
	if words := typical.Nearest(name, names, 3); len(words) > 0 {
		near = "; did you mean " + strings.Join(words, " or ") + "?"
	}
	return badInput("no kind is called %q%s\nwinnow kinds lists all", name, near)
}

func listKinds(e *env) error {
	sorts := typical.Kinds()
	if e.json {
		var all []kindAnswer
		for _, s := range sorts {
			for _, i := range s.Items {
				all = append(all, kindAnswer{Of: s.Name, Name: i.Name, About: i.About, Also: i.Also})
			}
		}
		return wire.Write(e.out, wire.Envelope{Shape: "kinds/1", Winnow: Version, Answer: all})
	}
	var table [][]string
	for _, s := range sorts {
		for n, i := range s.Items {
			of := ""
			if n == 0 {
				of = s.Name
			}
			table = append(table, []string{of, i.Name, i.About})
		}
	}
	printTable(e.out, nil, table)
	fmt.Fprintln(e.out, "\nwinnow kinds NAME prints what is usual for one.")
	return nil
}

func kindAnswers(sheets []typical.Sheet, sys unit.System) []kindAnswer {
	out := make([]kindAnswer, len(sheets))
	for i, s := range sheets {
		out[i] = kindAnswer{Of: s.Sort, Name: s.Name, About: s.About, Also: s.Also}
		for _, r := range s.Rows {
			f := kindFact{What: r.What, Value: r.Text(sys), Source: r.Source}
			if r.Print != nil {
				f.Best, f.Low, f.High, f.SI = &r.Best, &r.Low, &r.High, r.Unit
			}
			out[i].Usual = append(out[i].Usual, f)
		}
	}
	return out
}

func printKind(e *env, s typical.Sheet) {
	fmt.Fprintf(e.out, "%s: %s\n", s.Name, s.Sort)
	if s.About != "" {
		fmt.Fprintln(e.out, s.About)
	}
	if len(s.Also) > 0 {
		fmt.Fprintf(e.out, "also written: %s\n", strings.Join(s.Also, ", "))
	}
	var table [][]string
	for _, r := range s.Rows {
		table = append(table, []string{r.What, r.Text(e.system("")), r.Source})
	}
	printTable(e.out, nil, table)
	fmt.Fprintln(e.out)
}
