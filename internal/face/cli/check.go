package cli

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"os"
	"os/signal"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"winnow/internal/face/wire"
	"winnow/internal/shop"
	"winnow/internal/study/airflow"
	"winnow/internal/study/doubt"
	"winnow/internal/study/roomair"
	"winnow/internal/study/verdict"
	"winnow/internal/unit"
)

type checkAnswer struct {
	Shop        string           `json:"shop"`
	Next        []wire.Step      `json:"next"`
	Ports       []checkPort      `json:"ports"`
	Results     []airflow.Result `json:"results"`
	Findings    []wire.Finding   `json:"findings"`
	Other       []wire.Finding   `json:"power_and_air"`
	Assumed     []wire.Finding   `json:"assumed"`
	Worth       []checkWorth     `json:"worth_finding_out"`
	NotLookedAt []string         `json:"not_looked_at"`
	Capped      int              `json:"settings_left_out,omitempty"`
}

type checkPort struct {
	Port       string        `json:"port"`
	System     string        `json:"system"`
	Verdict    string        `json:"verdict"`
	Gets       float64       `json:"gets_m3s"`
	NeedsChips float64       `json:"needs_chips_m3s"`
	Range      *doubt.Range  `json:"gets_range_m3s,omitempty"`
	Chance     float64       `json:"chance_chips"`
	Remedies   []wire.Remedy `json:"remedies"`
}

type checkWorth struct {
	What  string  `json:"what"`
	Port  string  `json:"port"`
	Path  string  `json:"path"`
	Share float64 `json:"share"`
}

func checkCommand(e *env) *cobra.Command {
	var why bool
	cmd := &cobra.Command{
		Use:   "check [FILE]",
		Short: "the whole verdict: what works, why not, what would help, how sure",
		Long: `check reads a shop file and gives the verdict: which machines get their air with the filters just before
cleaning, what takes the pull, what would help (free acts first, each solved again), and how sure that is.`,
		Example: "  winnow check shop.yaml\n  winnow check shop.yaml --why",
		Args:    theFile,
		RunE: func(cmd *cobra.Command, args []string) error {
			o, err := loadShop(e, fileOf(args))
			if err != nil {
				return err
			}
			ctx, stop := signal.NotifyContext(cmd.Context(), os.Interrupt)
			defer stop()
			ready := verdict.Prepare(o.doc.Shop(), nil)
			done := e.busy("trying every setting, and what would help")
			v, err := verdict.Of(ctx, ready, o.doc.Try)
			done()
			if errors.Is(err, context.Canceled) {
				return badInput("stopped before the verdict was ready")
			}
			if err != nil {
				return err
			}
			if e.json {
				err = wire.Write(e.out, wire.Envelope{Shape: "check/1", Winnow: Version, Answer: checkJSON(o, ready, v)})
			} else {
				printCheck(e, o, ready, v, why)
			}
			if err != nil {
				return err
			}
			return exitFor(nil, append(slices.Clone(v.Findings), v.Other...))
		},
	}
	cmd.Flags().BoolVar(&why, "why", false, "every finding with its place, and every assumption")
	return cmd
}

func checkJSON(o *opened, ready *verdict.Ready, v verdict.Verdict) checkAnswer {
	a := checkAnswer{
		Shop: o.shop.Name, Next: wire.NextOf("", v, o.units, o.at).Steps, Results: v.Results, Findings: wire.Findings(v.Findings, o.units, o.at),
		Other:   wire.Findings(v.Other, o.units, o.at),
		Assumed: wire.Findings(ready.Assumed, o.units, o.at), NotLookedAt: notLookedAt(o, checkReads), Capped: v.Capped,
		Ports: []checkPort{}, Worth: []checkWorth{},
	}
	for _, p := range v.Ports {
		a.Ports = append(a.Ports, checkPort{
			Port: p.Port.Port.String(), System: p.Result.System, Verdict: p.Port.Verdict.String(), Gets: float64(p.Port.Gets),
			NeedsChips: float64(p.Port.NeedsChips), Range: p.Port.Range, Chance: p.Port.Chance, Remedies: wire.Remedies(p.Remedies, o.units, o.at),
		})
	}
	for _, w := range v.Worth {
		a.Worth = append(a.Worth, checkWorth{What: w.What, Port: w.Port.String(), Path: string(w.Path), Share: w.Share})
	}
	return a
}

func printCheck(e *env, o *opened, ready *verdict.Ready, v verdict.Verdict, why bool) {
	fmt.Fprintf(e.out, "%s\n\n", cmp.Or(o.shop.Name, o.path))
	printDangers(e, o, v)
	printVerdict(e, o, v)
	printNext(e, o, v)
	printCauses(e, v)
	printRemedies(e, o, v, why)
	printDoubt(e, o, ready, v)
	printFindingSummary(e, o, v.Findings, why)
	printOthers(e, o, v)
	if why {
		printAssumed(e, o, ready)
	}
	if left := notLookedAt(o, checkReads); len(left) > 0 {
		fmt.Fprintf(e.out, "\nNot looked at yet: %s.\n", strings.Join(left, ", "))
	}
	if v.Capped > 0 {
		fmt.Fprintf(e.out, "%d settings were left out: there are too many.\n", v.Capped)
	}
	if !why {
		fmt.Fprintf(e.out, "\nwinnow check %s --why shows every finding; winnow explain MACHINE %s every number's working.\n", o.path, o.path)
	}
}

func printVerdict(e *env, o *opened, v verdict.Verdict) {
	well := 0
	for _, p := range v.Ports {
		if p.Port.Verdict == airflow.Works || p.Port.Verdict == airflow.Just {
			well++
		}
	}
	switch {
	case len(v.Ports) == 0:
		fmt.Fprintln(e.out, "No machine is joined to a collector or vacuum, so there is no airflow to judge.")
		fmt.Fprintln(e.out, "Write a system with a run that starts at a machine (docs/shop-file.md), or let winnow new ask you a few questions.")
		return
	case well == len(v.Ports):
		fmt.Fprintf(e.out, "%s, filters due for cleaning.%s\n\n", allWell(well), butWords(v))
	default:
		fmt.Fprintf(e.out, "%s, filters due for cleaning.%s\n\n", someWell(well, len(v.Ports)), butWords(v))
	}
	var rows [][]string
	for _, p := range v.Ports {
		rows = append(rows, []string{
			portName(p), portVerdict(p.Port, o.units), unit.Print(p.Port.Gets, o.units), needText(p.Port.NeedsChips, o.units),
			rangeText(p.Port.Range, o.units), wire.ChanceWords(p.Port.Chance), fineText(p.Port, o.units),
		})
	}
	printTable(e.out, []string{"", "verdict", "gets", "needs", "likely", "chance", "fine dust"}, rows, 3, 4, 5)
}

// printNext says what to do next in the whole shop, three acts at most; all of them stand below, port by port.
func printNext(e *env, o *opened, v verdict.Verdict) {
	var rows [][]string
	for _, s := range verdict.Steps(v) {
		does := ""
		switch {
		case s.About == verdict.OfAir:
			does = "you breathe " + roomair.PrintLess(s.Less, " dust", "today")
		case len(s.Reaches) > 0:
			var names []string
			for _, p := range s.Reaches {
				names = append(names, p.String()+withText(s.Effects, p))
			}
			does = join(names) + " " + getVerb(len(names)) + " enough"
		case s.About == verdict.OfAirflow:
			does = strings.TrimSpace(s.Effects[0].Port.String() + " " + effectText(s.Effects[0], o.units))
		}
		rows = append(rows, []string{freeOrPrice(s.Remedy), s.Sentence(o.units), does})
	}
	if len(rows) > 0 {
		fmt.Fprintln(e.out, "\nDo next")
		printTable(e.out, nil, rows)
	}
}

// withText says which machines run besides the port's own where the act was judged.
func withText(effects []shop.Effect, port shop.PortRef) string {
	i := slices.IndexFunc(effects, func(f shop.Effect) bool { return f.Port == port })
	if i < 0 || len(effects[i].With) == 0 {
		return ""
	}
	var names []string
	for _, id := range effects[i].With {
		names = append(names, string(id))
	}
	return " with " + join(names) + " running"
}

func getVerb(n int) string {
	if n == 1 {
		return "gets"
	}
	return "get"
}

// printDangers puts what can hurt before everything else.
func printDangers(e *env, o *opened, v verdict.Verdict) {
	for _, f := range v.Other {
		if danger(f) {
			fmt.Fprintf(e.out, "First: %s\n%s\n\n", f.Sentence(o.units), f.Code.Help)
		}
	}
}

// butWords adds to the first sentence what airflow alone does not show: chips that lie down, machines without a hose.
func butWords(v verdict.Verdict) string {
	drops, without := 0, []string{}
	for _, f := range v.Findings {
		switch f.Code {
		case airflow.CodeDrops:
			drops++
		case airflow.CodeNoHose:
			without = append(without, f.Where.Last())
		}
	}
	words := ""
	if drops > 0 {
		words += fmt.Sprintf(" In %s of pipe or hose the air is too slow: chips will lie there.", count(drops, "run"))
	}
	if len(without) > 0 {
		words += fmt.Sprintf(" No hose at all: %s.", join(without))
	}
	return words
}

// nearly is the share of a need that nobody could tell is missing, where the doubt reaches beyond it. Judgement.
const nearly = 0.05

// portVerdict is the verdict's word; a port that misses its need by less than the doubt is told so, as "short" alone reads like
// something to spend money on.
func portVerdict(p *airflow.PortResult, sys unit.System) string {
	if p.Verdict == airflow.Short && airflow.ShareOf(*p) >= 1-nearly && p.Range != nil && p.Range.High >= float64(p.NeedsChips) {
		return "short by " + unit.Print(p.NeedsChips-p.Gets, sys) + ", within the doubt"
	}
	return p.Verdict.String()
}

func portName(p verdict.Port) string {
	name := p.Port.Port.String()
	if p.Port.Setup != "" && len(p.Result.Setting.Running) == 1 && p.Result.Setting.Running[0].Setup != "" {
		name += ", " + p.Port.Setup
	}
	if n := len(p.Result.Setting.Running); n > 1 {
		name += " with others"
	}
	if a := p.Result.Setting.Arrangement; a != "" {
		name += " (" + a + ")"
	}
	return name
}

func rangeText(r *doubt.Range, sys unit.System) string {
	if r == nil {
		return ""
	}
	return unit.PrintRange(unit.M3PerSec(r.Low), unit.M3PerSec(r.High), sys)
}

func fineText(p *airflow.PortResult, sys unit.System) string {
	switch {
	case p.NeedsFine <= 0:
		return ""
	case p.Gets >= p.NeedsFine:
		return "caught too"
	}
	return "would need " + unit.Print(p.NeedsFine, sys)
}

// printCauses says where the pull goes for the ports that are short.
func printCauses(e *env, v verdict.Verdict) {
	var rows [][]string
	for _, p := range v.Ports {
		if p.Port.Verdict != airflow.Short && p.Port.Verdict != airflow.MuchTooShort {
			continue
		}
		var words []string
		for _, s := range p.Port.Pull {
			if t := tenths(s.Of); t != "0" {
				words = append(words, s.Group.String()+" "+t)
			}
		}
		rows = append(rows, []string{portName(p), strings.Join(words, ", ")})
	}
	if len(rows) > 0 {
		fmt.Fprintln(e.out, "\nWhere the pull goes, in parts of ten")
		printTable(e.out, nil, rows)
	}
}

// shown is how many acts of each sort are shown for one port.
const shown = 4

// helped is for how many ports the acts are shown; the rest are a --why away.
const helped = 3

func printRemedies(e *env, o *opened, v verdict.Verdict, why bool) {
	ports, left := 0, 0
	for _, p := range v.Ports {
		if p.Port.Verdict == airflow.Works || p.Port.Verdict == airflow.Unknown || sameAct(v.Ports, p) {
			continue
		}
		if ports++; ports > helped && !why {
			left++
			continue
		}
		fmt.Fprintf(e.out, "\nWhat would help the %s\n", portName(p))
		if len(p.Remedies) == 0 {
			fmt.Fprintln(e.out, "  Nothing that was tried helps by more than 2 %.")
			continue
		}
		var rows [][]string
		free, money := 0, 0
		for _, r := range p.Remedies {
			if n := &money; r.Free {
				n = &free
				if *n++; *n > shown {
					continue
				}
			} else if *n++; *n > shown {
				continue
			}
			rows = append(rows, []string{freeOrPrice(r), r.Sentence(o.units), effectText(r.Effects[0], o.units)})
			if worse := madeWorse(r, o.units); worse != "" {
				rows = append(rows, []string{"", "  but " + worse, ""})
			}
		}
		printTable(e.out, nil, rows)
		for _, f := range v.Findings {
			if f.Code == airflow.CodeNoLength && f.Where == p.Port.Port.Path() {
				fmt.Fprintf(e.out, "  %s\n", f.Sentence(o.units))
			}
		}
	}
	if left > 0 {
		fmt.Fprintf(e.out, "\nWhat would help %s: --why\n", count(left, "more port"))
	}
}

// sameAct reports whether a worse port on the same carried hose already shows the same acts.
func sameAct(ports []verdict.Port, p verdict.Port) bool {
	for _, q := range ports {
		if q.Port == p.Port {
			return false
		}
		if len(q.Remedies) > 0 && len(q.Remedies) == len(p.Remedies) && slices.EqualFunc(q.Remedies, p.Remedies, func(a, b shop.Remedy) bool {
			return a.What == b.What && a.Effects[0].After == b.Effects[0].After
		}) {
			return true
		}
	}
	return false
}

func freeOrPrice(r shop.Remedy) string {
	switch {
	case r.Free:
		return "free"
	case r.Price.Amount.Best > 0:
		return r.Price.Print()
	}
	return "money"
}

func effectText(f shop.Effect, sys unit.System) string {
	if f.NeedsAfter != f.NeedsBefore {
		return fmt.Sprintf("need %s -> %s", number(f.NeedsBefore, sys), unit.Print(f.NeedsAfter, sys))
	}
	return fmt.Sprintf("%s -> %s", number(f.Before, sys), unit.Print(f.After, sys))
}

// madeWorse names the ports that lose by an act, and the pipes in which chips settle after it.
func madeWorse(r shop.Remedy, sys unit.System) string {
	var words []string
	for i, f := range r.Worse {
		if i == 1 {
			words = append(words, fmt.Sprintf("and so in %s more", count(len(r.Worse)-1, "piece")))
			break
		}
		s := f.Sentence(sys)
		words = append(words, strings.ToLower(s[:1])+strings.TrimSuffix(s[1:], "."))
	}
	for _, f := range r.Effects[1:] {
		if f.After < f.Before {
			words = append(words, fmt.Sprintf("%s %s", f.Port, effectText(f, sys)))
		}
	}
	return strings.Join(words, ", ")
}

func printDoubt(e *env, o *opened, ready *verdict.Ready, v verdict.Verdict) {
	if len(v.Ports) == 0 {
		return
	}
	fmt.Fprintf(e.out, "\nHow sure: %s assumed.", count(len(ready.Assumed), "value")+verbWas(len(ready.Assumed)))
	if len(v.Worth) == 0 {
		fmt.Fprintln(e.out, " No reading would change a verdict.")
	} else {
		var words []string
		for _, w := range v.Worth {
			if !slices.Contains(words, w.What) {
				words = append(words, w.What)
			}
		}
		fmt.Fprintf(e.out, " Most of the doubt comes from %s.\n", join(words[:min(3, len(words))]))
		fmt.Fprintln(e.out, "One reading of the pull with the inlet blocked, and one of the speed at the hose's end, would settle most of it.")
	}
	for _, f := range v.Findings {
		if f.Code == airflow.CodeGuessedFan {
			fmt.Fprintf(e.out, "%s %s\n", f.Sentence(o.units), f.Code.Help)
		}
	}
}

func join(words []string) string {
	if len(words) < 2 {
		return strings.Join(words, "")
	}
	return strings.Join(words[:len(words)-1], ", ") + " and " + words[len(words)-1]
}

func printFindingSummary(e *env, o *opened, fs []shop.Finding, why bool) {
	var rest []shop.Finding
	for _, f := range fs {
		if why || f.Code.Severity > shop.Note && !saidAbove(f) {
			rest = append(rest, f)
		}
	}
	if len(rest) == 0 {
		return
	}
	fmt.Fprintln(e.out, "\nAlso found")
	const most = 8
	for i, f := range rest {
		if i == most && !why {
			fmt.Fprintf(e.out, "  and %d more: --why shows them\n", len(rest)-most)
			break
		}
		place := ""
		if line, _ := o.at(f.Where); line > 0 && !why {
			place = fmt.Sprintf(" (line %d)", line)
		}
		fmt.Fprintf(e.out, "  %s: %s%s\n", f.Code.Severity, f.Sentence(o.units), place)
		if why {
			fmt.Fprintf(e.out, "      %s  [%s] %s\n", o.place(f.Where), f.Code.Name, f.Code.Help)
		}
	}
}

// printOthers says in a few lines what the circuits and the room's air say; their own commands say the rest.
func printOthers(e *env, o *opened, v verdict.Verdict) {
	if v.Power == nil && v.Air == nil {
		return
	}
	fmt.Fprintln(e.out, "\nBreakers and air")
	if v.Power != nil && !slices.ContainsFunc(v.Other, func(f shop.Finding) bool { return strings.HasPrefix(string(f.Where), "circuits") }) {
		fmt.Fprintln(e.out, "  Every circuit holds in every set the routine allows.")
	}
	const most = 5
	for i, f := range v.Other {
		if danger(f) {
			continue // said first of all
		}
		if i == most {
			fmt.Fprintf(e.out, "  and %d more\n", len(v.Other)-most)
			break
		}
		fmt.Fprintf(e.out, "  %s: %s\n", f.Code.Severity, f.Sentence(o.units))
	}
	if v.Air != nil {
		fmt.Fprint(e.out, "  ")
		printMasks(e, *v.Air)
	}
	fmt.Fprintln(e.out, "  A check and not a permit: local code and a licensed electrician decide about wiring. No model shows that a dust limit is kept.")
	fmt.Fprintf(e.out, "  The rest: winnow power %s, winnow air %s\n", o.path, o.path)
}

// saidAbove are the findings that the table and the acts have told already.
func saidAbove(f shop.Finding) bool {
	switch f.Code {
	case airflow.CodeShort, airflow.CodeUnsure, airflow.CodeFine, airflow.CodeNoLength, airflow.CodeNoHose:
		return true
	}
	return false
}

func printAssumed(e *env, o *opened, ready *verdict.Ready) {
	fmt.Fprintln(e.out, "\nAssumed, what matters most first")
	for _, f := range ready.Assumed {
		fmt.Fprintf(e.out, "  %s\n", f.Sentence(o.units))
	}
}

// danger is a finding that can kill: fumes drawn back into the room.
func danger(f shop.Finding) bool {
	return f.Code == roomair.CodeFlame || f.Code == roomair.CodeBesideFlame
}
