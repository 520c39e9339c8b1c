package cli

import (
	"cmp"
	"context"
	"fmt"
	"io"
	"math"
	"os"
	"os/signal"
	"runtime"
	"slices"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"winnow/internal/face/server"
	"winnow/internal/face/wire"
	"winnow/internal/shop"
	"winnow/internal/study/gates"
	"winnow/internal/study/power"
	"winnow/internal/study/verdict"
	"winnow/internal/unit"
)

func gatesCommand(e *env) *cobra.Command {
	cmd := &cobra.Command{
		Use:                        "gates",
		SuggestionsMinimumDistance: 2,
		Short:                      "which gates for which machine, and how they start and stop by themselves",
		Long: `gates says which gates belong to which machine. It is no safety device and never powers a machine.
Before you clear a blockage: unplug the machine and the collector, and lock them out.`,
		RunE: func(cmd *cobra.Command, args []string) error {
			if len(args) > 0 {
				return badInput("gates has no command %q%s\nwinnow gates --help lists its commands", args[0], didYouMean(cmd, args[0]))
			}
			return cmd.Help()
		},
	}
	cmd.AddCommand(gatesChartCommand(e), gatesSimulateCommand(e), gatesProveCommand(e))
	return cmd
}

func gatesChartCommand(e *env) *cobra.Command {
	var markdown, svg bool
	cmd := &cobra.Command{
		Use:   "chart FILE",
		Short: "the chart for working by hand: machine, gates, hose, order, seconds",
		Long: `chart lists for every machine, and for every setup and place in which they differ, the gates to open, the hose to
carry, what to start in which order, how long to wait, and what to listen for. With --svg it is a drawing
to be printed and hung up, with the signs of the page's floor; with --markdown a table.`,
		Example: "  winnow gates chart shop.yaml\n  winnow gates chart shop.yaml --svg > chart.svg",
		Args:    oneFile,
		RunE: func(_ *cobra.Command, args []string) error {
			o, err := loadShop(e, args[0])
			if err != nil {
				return err
			}
			c := gates.ChartOf(o.shop, verdict.Ways(o.shop, o.layout))
			switch {
			case e.json:
				return wire.Write(e.out, wire.Envelope{Shape: "gates-chart/1", Winnow: Version, Answer: wire.ChartOf(o.shop.Name, c, o.units, o.at)})
			case svg:
				_, err = e.out.Write(chartDrawing(o, c).SVG())
				return err
			case markdown:
				printChartMarkdown(e.out, o, c)
			default:
				printChart(e.out, o, c)
			}
			return nil
		},
	}
	cmd.Flags().BoolVar(&markdown, "markdown", false, "as Markdown, to be printed")
	cmd.Flags().BoolVar(&svg, "svg", false, "as a drawing in SVG, to be printed; a browser opens it")
	cmd.MarkFlagsMutuallyExclusive("markdown", "svg")
	return cmd
}

func gatesSimulateCommand(e *env) *cobra.Command {
	var system string
	cmd := &cobra.Command{
		Use:   "simulate SCENARIO FILE",
		Short: "play a scenario against the controller and tell what it does, rule by rule",
		Long: `simulate plays a scenario, a text file, against the controller of a shop file, with gates and a fan that take their time.
It tells what happens and every command with the number of the rule that made it (docs/gates.md). Nothing real is moved.
A line of a scenario is a time, two spaces, and what happens:

  31 s   panel saw on
  60 s   saw gate jams
  90 s   end

What can happen: STATION on, off, silent, speaks; GATE jams, frees, deaf, lost, back; start, stop, start and stop, seen;
selector auto, off, hand; emergency stop, emergency released; lock, unlock; link lost, link back; power back; stall; end.`,
		Example: "  winnow gates simulate monday.txt shop.yaml",
		Args: func(cmd *cobra.Command, args []string) error {
			if len(args) != 2 {
				return badInput("%s wants a scenario and a shop file, not %d arguments: %s", cmd.CommandPath(), len(args), cmd.UseLine())
			}
			return nil
		},
		RunE: func(_ *cobra.Command, args []string) error {
			o, err := loadShop(e, args[1])
			if err != nil {
				return err
			}
			scenario, err := readFile(e, args[0])
			if err != nil {
				return badInput("the scenario: %v", err)
			}
			p, err := plantOf(o, system)
			if err != nil {
				return err
			}
			story, err := gates.Play(p, string(scenario))
			if err != nil {
				return badInput("%s: %v", args[0], err)
			}
			if e.json {
				return wire.Write(e.out, wire.Envelope{Shape: "gates-story/1", Winnow: Version, Answer: map[string]any{
					"system": p.Name, "story": strings.Split(strings.TrimSuffix(story, "\n"), "\n")}})
			}
			_, err = io.WriteString(e.out, story)
			return err
		},
	}
	cmd.Flags().StringVar(&system, "system", "", "which system or air cleaner, where several start by themselves")
	return cmd
}

func gatesProveCommand(e *env) *cobra.Command {
	var limit time.Duration
	cmd := &cobra.Command{
		Use:   "prove FILE",
		Short: "look for a way in which the controller of this shop could break one of its rules",
		Long: `prove explores the controller itself, with the machines, gates and buttons of the file: every order of starts, stops, buttons,
fired timers and gate travels, with one thing going wrong at a time. A rule that can be broken is told as a timeline.
It says how far it got in its time, and what it does not look at. It is a proof of a program, not of a shop's safety.`,
		Example: "  winnow gates prove shop.yaml\n  winnow gates prove shop.yaml --time 5m",
		Args:    oneFile,
		RunE: func(cmd *cobra.Command, args []string) error {
			if limit <= 0 {
				return badInput("--time is %v: write a time such as 30s or 5m", limit)
			}
			o, err := loadShop(e, args[0])
			if err != nil {
				return err
			}
			if _, err := plantOf(o, ""); err != nil {
				return err
			}
			plants, found := gates.PlantsOf(o.shop, verdict.Ways(o.shop, o.layout), verdict.Permit(o.shop, o.layout))
			told, stop := signal.NotifyContext(cmd.Context(), os.Interrupt) // ends the looking, not the answer
			defer stop()
			ctx, cancel := context.WithTimeout(told, limit)
			defer cancel()
			tell, done := progress(e)
			a, err := server.Prove(ctx, plants, runtime.GOMAXPROCS(0), math.MaxInt, tell)
			done()
			if err != nil {
				return badInput("%s: %v", o.path, err)
			}
			a.Shop, a.Findings = o.shop.Name, wire.Findings(found, o.units, o.at)
			broken := slices.ContainsFunc(a.Systems, func(y wire.SystemProof) bool {
				return slices.ContainsFunc(y.Runs, func(r gates.ProofResult) bool { return r.Broken != 0 })
			})
			if e.json {
				err = wire.Write(e.out, wire.Envelope{Shape: "gates-proof/1", Winnow: Version, Answer: a})
			} else {
				printProof(e.out, o, a)
			}
			if err == nil && broken {
				return failing
			}
			return err
		},
	}
	cmd.Flags().DurationVar(&limit, "time", 30*time.Second, "how long to look")
	return cmd
}

// progress writes one line over and over on a terminal, twice a second, and nothing elsewhere; done wipes it.
func progress(e *env) (tell func(looks, states int), done func()) {
	if e.bar == nil {
		return func(int, int) {}, func() {}
	}
	var told time.Time
	tell = func(looks, states int) {
		if time.Since(told) < time.Second/2 {
			return
		}
		told = time.Now()
		fmt.Fprintf(e.bar, "\r%s done, %d states looked at; Ctrl-C ends it early\x1b[K", count(looks, "look"), states)
	}
	return tell, func() { fmt.Fprint(e.bar, "\r\x1b[K") }
}

func printProof(w io.Writer, o *opened, a wire.Proof) {
	fmt.Fprintf(w, "%s\n", cmp.Or(a.Shop, o.path))
	for _, y := range a.Systems {
		fmt.Fprintf(w, "\n%s: %s, %s\n", y.System, count(y.Stations, "machine"), count(y.Gates, "gate"))
		for _, r := range y.Runs {
			how := "all of them: no rule can be broken"
			switch {
			case r.Broken != 0:
				how = fmt.Sprintf("rule %d CAN be broken: %s", r.Broken, r.Why)
			case !r.Complete:
				how = "not all of them in this time: none broken so far"
			}
			fmt.Fprintf(w, "  %s\n    %d states, %s\n", capital(r.Name), r.Explored, how)
			for i, l := range r.Timeline {
				fmt.Fprintf(w, "    %3d  %s\n", i+1, l)
			}
		}
		s := y.Sets
		fmt.Fprintf(w, "  Sets of machines at once: %d asked; %d need the bleed gate, %d are warned of, %d refused.\n", s.Asked, s.Bleed, s.Warn, s.Refuse)
		for _, r := range s.Why {
			fmt.Fprintf(w, "    %s\n", whyWords(r))
		}
		if len(s.Why) == 0 {
			for _, m := range s.Alone {
				fmt.Fprintf(w, "    %s alone: %s\n", m.Station, m.Verdict)
			}
		}
		fmt.Fprintln(w, "  Not looked at:")
		for _, l := range y.NotCovered {
			fmt.Fprintf(w, "    %s\n", l)
		}
	}
	for _, f := range a.Findings {
		fmt.Fprintf(w, "\n%s: %s\n    %s\n", capital(f.Severity), f.Sentence, f.Help)
	}
	fmt.Fprintln(w, "\nThis is no safety device. Before you clear a blockage: unplug the machine and the collector, and lock them out.")
}

// whyWords says why sets came out as they did, and which few machines make it so.
func whyWords(r gates.SetReason) string {
	reason, known := map[string]string{gates.SlowSet: "the air in the pipes is too slow or too weak", power.CodeTrips.Name: "a breaker trips"}[r.Reason]
	if !known {
		reason = r.Reason
	}
	if r.Verdict == gates.SetBleed.String() {
		reason += " without"
	}
	const shown = 6
	var sets []string
	for _, set := range r.Smallest[:min(shown, len(r.Smallest))] {
		sets = append(sets, strings.Join(set, " + "))
	}
	if more := len(r.Smallest) - shown; more > 0 {
		sets = append(sets, fmt.Sprintf("%d more", more))
	}
	hold := "each of them holds one of these"
	if r.Count == len(r.Smallest) {
		hold = "this"
	}
	return fmt.Sprintf("%d %s, as %s; %s: %s", r.Count, r.Verdict, reason, hold, strings.Join(sets, "; "))
}

// plantOf is the controller asked for, or the first of the file.
func plantOf(o *opened, name string) (*gates.Plant, error) {
	plants, found := gates.PlantsOf(o.shop, verdict.Ways(o.shop, o.layout), verdict.Permit(o.shop, o.layout))
	var names []string
	for _, p := range plants {
		if name == "" || p.Name == name {
			return p, nil
		}
		names = append(names, p.Name)
	}
	if len(plants) > 0 {
		return nil, badInput("no %q starts by itself in %s; these do: %s", name, o.path, strings.Join(names, ", "))
	}
	why := ""
	for _, f := range found {
		if f.Code.Severity == shop.Problem || f.Code == gates.CodeByHand || f.Code == gates.CodeNoSensor {
			why += "\n" + f.Sentence(o.units) + " " + f.Code.Help
		}
	}
	return nil, badInput("%s: nothing starts by itself%s", o.path, why)
}

var chartHeader = []string{"machine", "open", "hose", "start", "wait"}

func chartRows(o *opened, c gates.Chart) [][]string {
	var rows [][]string
	for _, l := range c.Lines {
		name := l.Machine
		if more := cmp.Or(l.Setup, l.Place); more != "" {
			name += ", " + more
		}
		rows = append(rows, []string{name, openWords(l), hoseWords(l), startWords(l), unit.Print(l.Wait, o.units)})
	}
	return rows
}

// slowNotes says once, of all machines that wait as long for the same system, that the light is to be waited for.
func slowNotes(o *opened, c gates.Chart) []string {
	var notes []string
	told := map[string]bool{}
	for _, l := range c.Lines {
		key := l.System + unit.Print(l.Wait, o.units)
		if l.Starts != gates.ByItself || l.Wait <= gates.SlowStart || told[key] {
			continue
		}
		told[key] = true
		var who []string
		for _, k := range c.Lines {
			if k.Starts == l.Starts && k.System == l.System && k.Wait == l.Wait && !slices.Contains(who, k.Machine) {
				who = append(who, k.Machine)
			}
		}
		var parts []string
		for _, d := range l.Made {
			parts = append(parts, d.What+" "+unit.PrintIn(d.Time, "s"))
		}
		notes = append(notes, fmt.Sprintf("Wait for the light: %s draws fully only %s after %s starts (%s). %s",
			l.System, unit.Print(l.Wait, o.units), strings.Join(who, ", "), strings.Join(parts, ", "), gates.CodeSlow.Help))
	}
	return notes
}

func openWords(l gates.Line) string {
	switch {
	case len(l.Open) == 0 && len(l.Shut) == 0:
		return "no gates"
	case len(l.Open) == 0:
		return "none: the way is always open"
	}
	words := slices.Clone(l.Open)
	if l.Starts == gates.ByItself {
		for i, g := range words {
			if slices.Contains(l.ByHand, g) {
				words[i] = g + " (by hand, first)"
			}
		}
	}
	return strings.Join(words, ", ")
}

func hoseWords(l gates.Line) string {
	if l.Carry == "" {
		return ""
	}
	if l.Carry == "main" {
		return "carry the hose to it" // the last way of all, with nothing to tell it from
	}
	return "carry " + l.Carry + " to it"
}

func startWords(l gates.Line) string {
	if l.Starts == gates.ByItself {
		return l.Machine + "; " + l.System + " follows"
	}
	return strings.Join(append([]string{l.System}, append(slices.Clone(l.Also), l.Machine)...), ", then ")
}

func printChart(w io.Writer, o *opened, c gates.Chart) {
	fmt.Fprintf(w, "%s: gates for working by hand\n%s\n\nShut every gate that is not named in the line.\n", cmp.Or(o.shop.Name, o.path), wire.Plain(wire.ChartOf("", c, o.units, o.at).Sentence))
	printTable(w, chartHeader, chartRows(o, c), 5)
	for _, line := range chartNotes(o, c) {
		fmt.Fprintf(w, "\n%s\n", line)
	}
}

func printChartMarkdown(w io.Writer, o *opened, c gates.Chart) {
	fmt.Fprintf(w, "# Gates: %s\n\nShut every gate that is not named in the line.\n\n", cmp.Or(o.shop.Name, o.path))
	fmt.Fprintf(w, "| %s |\n|%s\n", strings.Join(chartHeader, " | "), strings.Repeat("---|", len(chartHeader)))
	for _, r := range chartRows(o, c) {
		fmt.Fprintf(w, "| %s |\n", strings.Join(r, " | "))
	}
	for _, line := range chartNotes(o, c) {
		fmt.Fprintf(w, "\n%s\n", line)
	}
}

// chartNotes are what the rows have no room for: listening, waiting, stopping, and what is not safe to do.
func chartNotes(o *opened, c gates.Chart) []string {
	notes := []string{
		"Listen: the collector climbs to one steady note. If the note is higher and thinner than usual, hardly any air passes: look for a shut gate or a plugged hose.",
	}
	told := map[shop.ID]bool{}
	for _, l := range c.Lines {
		if told[l.System] {
			continue
		}
		told[l.System] = true
		who := "Leave " + l.System + " running"
		if l.Starts == gates.ByItself {
			who = l.System + " keeps running"
		}
		note := fmt.Sprintf("Stop: %s for %s after the machine stops, so that the last chips arrive.", who, unit.Print(l.Keep, o.units))
		if len(l.Shut)+len(l.Open) > 0 {
			note += fmt.Sprintf(" Its fan then takes %s to stand: leave one gate open as long.", unit.Print(l.CoastFor, o.units))
		}
		notes = append(notes, note)
		if l.Proof != "" {
			notes = append(notes, fmt.Sprintf("Look: %s says whether %s really draws.", l.Proof, l.System))
		}
	}
	notes = append(notes, slowNotes(o, c)...)
	if len(c.Unserved) > 0 {
		notes = append(notes, "No extraction draws from: "+strings.Join(c.Unserved, ", ")+".")
	}
	return append(notes, "Before you clear a blockage: unplug the machine and the collector, and lock them out. A gate, a program or this chart is no lock.")
}
