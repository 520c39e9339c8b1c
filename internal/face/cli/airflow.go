package cli

import (
	"cmp"
	"fmt"
	"math"
	"os"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"winnow/internal/face/wire"
	"winnow/internal/shop"
	"winnow/internal/study/airflow"
	"winnow/internal/study/doubt"
	"winnow/internal/unit"
)

type airflowAnswer struct {
	Shop     string           `json:"shop"`
	Results  []airflow.Result `json:"results"`
	Findings []wire.Finding   `json:"findings"`
}

func airflowCommand(e *env) *cobra.Command {
	var running []string
	var filter string
	cmd := &cobra.Command{
		Use:   "airflow FILE",
		Short: "what every machine gets, what it needs, and where the pull goes",
		Long: `airflow reads a shop file and says what each machine gets and needs when it runs alone, with the
filters just before cleaning. --run asks about machines running together.`,
		Example: "  winnow airflow shop.yaml\n  winnow airflow shop.yaml --run planer --filter clean",
		Args:    oneFile,
		RunE: func(cmd *cobra.Command, args []string) error {
			o, err := loadShop(e, args[0])
			if err != nil {
				return err
			}
			sets, err := settings(o, running, filter)
			if err != nil {
				return err
			}
			results, findings, err := airflow.Study(cmd.Context(), o.shop, o.layout, doubt.Prior(), sets)
			if err != nil {
				return err
			}
			findings = slices.Concat(o.said, o.laid, findings)
			for _, r := range results {
				findings = append(findings, r.Notes...)
			}
			if e.json {
				err = wire.Write(e.out, wire.Envelope{Shape: "airflow/1", Winnow: Version, Answer: airflowAnswer{
					Shop: o.shop.Name, Results: results, Findings: wire.Findings(findings, o.units, o.at),
				}})
			} else {
				printAirflow(e, o, sets, results, findings)
			}
			if err != nil {
				return err
			}
			return exitFor(results, findings)
		},
	}
	cmd.Flags().StringSliceVar(&running, "run", nil, "machines that run together (MACHINE or MACHINE:SETUP), instead of each alone")
	cmd.Flags().StringVar(&filter, "filter", "due", "state of the filters: due, now or clean")
	return cmd
}

func oneFile(cmd *cobra.Command, args []string) error {
	if len(args) != 1 {
		return badInput("%s wants one shop file, not %d: %s", cmd.CommandPath(), len(args), cmd.UseLine())
	}
	return nil
}

// usualFile is the shop file of a folder, where nobody names another.
const usualFile = "shop.yaml"

// theFile lets a command take the folder's shop.yaml where no file is named, as serve does. Without one it asks for a file.
func theFile(cmd *cobra.Command, args []string) error {
	if len(args) > 0 {
		return oneFile(cmd, args)
	}
	if info, err := os.Stat(usualFile); err == nil && info.Mode().IsRegular() {
		return nil
	}
	return badInput("%s wants one shop file, not 0, and there is no %s in this folder: %s", cmd.CommandPath(), usualFile, cmd.UseLine())
}

// fileOf is the file that was named, else the folder's own.
func fileOf(args []string) string {
	if len(args) > 0 {
		return args[0]
	}
	return usualFile
}

// settings are those asked for, or the usual ones.
func settings(o *opened, running []string, filter string) ([]airflow.Setting, error) {
	state, ok := map[string]airflow.FilterState{"due": airflow.Due, "now": airflow.AsIs, "clean": airflow.Clean}[filter]
	if !ok {
		return nil, badInput("--filter is %q: write due (just before cleaning), now or clean", filter)
	}
	sets := airflow.Settings(o.shop)
	if len(running) > 0 {
		set := airflow.Setting{}
		for _, r := range running {
			name, setup, _ := strings.Cut(r, ":")
			if o.shop.Machine(name) == nil {
				return nil, badInput("there is no machine %q in %s; there are: %s", name, o.path, strings.Join(machineNames(o.shop), ", "))
			}
			set.Running = append(set.Running, airflow.Running{Machine: name, Setup: setup})
		}
		if err := airflow.CheckSetting(o.shop, set); err != nil {
			return nil, badInput("%s: %v", o.path, err)
		}
		sets = []airflow.Setting{set}
	}
	for i := range sets {
		sets[i].Filter = state
	}
	return sets, nil
}

func machineNames(s *shop.Shop) []string {
	var names []string
	for _, m := range s.Machines {
		names = append(names, m.Name)
	}
	return names
}

// exitFor: a problem, a machine below its chips need, or chips that will not move, fails.
func exitFor(results []airflow.Result, findings []shop.Finding) error {
	for _, f := range findings {
		if f.Code.Severity == shop.Problem {
			return failing
		}
	}
	for _, r := range results {
		for _, p := range r.Ports {
			if p.Verdict == airflow.Short || p.Verdict == airflow.MuchTooShort {
				return failing
			}
		}
		for _, p := range r.Pieces {
			if p.Chips >= airflow.ExpectSettling && p.Run != "" {
				return failing
			}
		}
	}
	return nil
}

// portLine is one port under one setting.
type portLine struct {
	r airflow.Result
	p airflow.PortResult
}

func lines(results []airflow.Result) []portLine {
	var all []portLine
	for _, r := range results {
		for _, p := range r.Ports {
			all = append(all, portLine{r, p})
		}
	}
	return all
}

func printAirflow(e *env, o *opened, sets []airflow.Setting, results []airflow.Result, findings []shop.Finding) {
	all := lines(results)
	fmt.Fprintf(e.out, "%s: %s\n\n", cmp.Or(o.shop.Name, o.path), settingWords(sets))
	for _, s := range firstSentences(o, all) {
		fmt.Fprintln(e.out, s)
	}
	fmt.Fprintln(e.out)
	rows := make([][]string, 0, len(all))
	for _, l := range all {
		rows = append(rows, []string{
			l.name(), unit.Print(l.p.Gets, o.units), rangeText(l.p.Range, o.units), needText(l.p.NeedsChips, o.units), needText(l.p.NeedsFine, o.units),
			verdictText(l.p, o.units), l.r.System,
		})
	}
	printTable(e.out, []string{"machine", "gets", "likely", "needs chips", "fine", "verdict", "on"}, rows, 2, 3, 4, 5)
	printLeftOut(e, sets, all)
	printPull(e, all)
	printSlow(e, o, results)
	printFans(e, o, results)
	printFindings(e, o, findings)
	printNotLookedAt(e, o)
}

// printLeftOut names the machines that were asked about and get nothing: their hose is on another.
func printLeftOut(e *env, sets []airflow.Setting, all []portLine) {
	for _, set := range sets {
		for _, r := range set.Running {
			if !slices.ContainsFunc(all, func(l portLine) bool { return l.p.Port.Machine == r.Machine && l.r.Setting.Runs(r.Machine) }) {
				fmt.Fprintf(e.out, "  The %s gets no air here: no run starts at it, or its hose is on another machine.\n", r.Machine)
			}
		}
	}
}

// name is the port, and who runs with it where that is not obvious.
func (l portLine) name() string {
	name := l.p.Port.String()
	if len(l.r.Setting.Running) > 1 {
		var with []string
		for _, r := range l.r.Setting.Running {
			if r.Machine != l.p.Port.Machine {
				with = append(with, r.Machine)
			}
		}
		name += " (with " + strings.Join(with, ", ") + ")"
	}
	return name
}

func settingWords(sets []airflow.Setting) string {
	who := "each machine running alone"
	if len(sets) == 1 {
		var names []string
		for _, r := range sets[0].Running {
			names = append(names, strings.TrimSuffix(r.Machine+":"+r.Setup, ":"))
		}
		who = strings.Join(names, " and ") + " running"
	}
	if len(sets) == 0 {
		return "no machine is joined to an extraction system"
	}
	return who + ", " + sets[0].Filter.String()
}

func needText(q unit.M3PerSec, sys unit.System) string {
	if q <= 0 {
		return "-"
	}
	return unit.Print(q, sys)
}

func verdictText(p airflow.PortResult, sys unit.System) string {
	switch p.Verdict {
	case airflow.Short, airflow.MuchTooShort:
		return fmt.Sprintf("%s, %s missing", p.Verdict, unit.Print(p.NeedsChips-p.Gets, sys))
	case airflow.Works, airflow.Just:
		if p.NeedsFine > 0 && p.Gets < p.NeedsFine {
			return p.Verdict.String() + " for chips, not for fine dust"
		}
	}
	return p.Verdict.String()
}

// firstSentences say in the owner's words how it stands: the worst first, then the rest in one line.
func firstSentences(o *opened, all []portLine) []string {
	worst := map[shop.PortRef]portLine{}
	for _, l := range all {
		if w, seen := worst[l.p.Port]; !seen || airflow.ShareOf(l.p) < airflow.ShareOf(w.p) {
			worst[l.p.Port] = l
		}
	}
	var bad []portLine
	for _, l := range all {
		if w := worst[l.p.Port]; w.name() == l.name() && (l.p.Verdict == airflow.Short || l.p.Verdict == airflow.MuchTooShort) {
			bad = append(bad, l)
		}
	}
	slices.SortStableFunc(bad, func(a, b portLine) int { return cmp.Compare(a.p.Gets/a.p.NeedsChips, b.p.Gets/b.p.NeedsChips) })
	var s []string
	switch good := len(worst) - len(bad); {
	case len(worst) == 0:
	case good == len(worst):
		s = append(s, allWell(good)+".")
	default:
		s = append(s, someWell(good, len(worst))+".")
	}
	for _, l := range bad {
		s = append(s, fmt.Sprintf("The %s is %s: it gets %s of the %s its chips need. %s", l.name(), l.p.Verdict,
			number(l.p.Gets, o.units), unit.Print(l.p.NeedsChips, o.units), largest(l.p.Pull)))
	}
	return s
}

// allWell and someWell are the first sentence of a shop that works, or partly.
func allWell(n int) string {
	if n == 1 {
		return "The one port gets the airflow its chips need"
	}
	if n == 2 {
		return "Both ports get the airflow their chips need"
	}
	return fmt.Sprintf("All %s ports get the airflow their chips need", numberWord(n))
}

func someWell(well, of int) string {
	if of == 1 {
		return "The one port does not get the airflow its chips need"
	}
	return fmt.Sprintf("%s of %s ports %s the airflow %s chips need", capital(numberWord(well)), numberWord(of), verb(well, "gets", "get"), verb(well, "its", "their"))
}

func verb(n int, one, many string) string {
	if n == 1 {
		return one
	}
	return many
}

func capital(s string) string { return strings.ToUpper(s[:1]) + s[1:] }

func numberWord(n int) string {
	words := []string{"none", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten"}
	if n < len(words) {
		return words[n]
	}
	return fmt.Sprint(n)
}

// number is a quantity without its unit, for "283 of the 400 cfm".
func number(q unit.M3PerSec, sys unit.System) string {
	return strings.Fields(unit.Print(q, sys))[0]
}

// largest names the two groups that take most of the pull.
func largest(pull []airflow.Share) string {
	if len(pull) == 0 {
		return ""
	}
	a := pull[0]
	if len(pull) == 1 || pull[1].Of < 0.15 {
		return fmt.Sprintf("%s takes %s of the pull.", capital(a.Group.String()), parts(a.Of))
	}
	b := pull[1]
	return fmt.Sprintf("%s takes %s of the pull, %s %s.", capital(a.Group.String()), parts(a.Of), b.Group, tenths(b.Of))
}

func tenths(share float64) string { return fmt.Sprint(int(math.Round(10 * share))) }

func parts(share float64) string { return tenths(share) + " parts in 10" }

func printPull(e *env, all []portLine) {
	fmt.Fprintln(e.out, "\nWhere the pull goes, in parts of ten")
	rows := make([][]string, 0, len(all))
	for _, l := range all {
		var words []string
		for _, s := range l.p.Pull {
			if t := tenths(s.Of); t != "0" {
				words = append(words, s.Group.String()+" "+t)
			}
		}
		rows = append(rows, []string{l.name(), strings.Join(words, ", ")})
	}
	printTable(e.out, nil, rows)
}

// printSlow lists the slowest level piece of each setting in which chips may not keep moving.
func printSlow(e *env, o *opened, results []airflow.Result) {
	var rows [][]string
	for _, r := range results {
		for _, p := range slowest(r.Pieces) {
			rows = append(rows, []string{runningWords(r.Setting), string(p.Run) + ", " + string(p.Path.Last()), unit.Print(p.Speed, o.units), p.Chips.String()})
		}
	}
	if len(rows) > 0 {
		fmt.Fprintln(e.out, "\nWhere chips may not keep moving (the slowest piece of each run)")
		printTable(e.out, []string{"running", "piece", "speed", "chips"}, rows, 3)
	}
}

func runningWords(s airflow.Setting) string {
	var names []string
	for _, r := range s.Running {
		names = append(names, r.Machine)
	}
	return strings.Join(names, ", ")
}

// slowest is, for each run, the piece in which chips fare worst.
func slowest(pieces []airflow.PieceFlow) []airflow.PieceFlow {
	var worst []airflow.PieceFlow
	for _, p := range pieces {
		if p.Chips < airflow.MaySettle || p.Run == "" {
			continue
		}
		i := slices.IndexFunc(worst, func(w airflow.PieceFlow) bool { return w.Run == p.Run })
		switch {
		case i < 0:
			worst = append(worst, p)
		case p.Chips > worst[i].Chips || p.Chips == worst[i].Chips && p.Speed < worst[i].Speed:
			worst[i] = p
		}
	}
	return worst
}

func printFans(e *env, o *opened, results []airflow.Result) {
	fmt.Fprintln(e.out, "\nWhere fan and hose agree")
	var rows [][]string
	for _, r := range results {
		if !r.Solved {
			continue
		}
		beyond := ""
		if r.Fan.Beyond {
			beyond = "beyond its written curve: a guess"
		}
		rows = append(rows, []string{r.System, runningWords(r.Setting), unit.Print(r.Fan.Flow, o.units), unit.Print(r.Fan.Rise, o.units),
			unit.Print(r.Leaks, o.units), beyond})
	}
	printTable(e.out, []string{"fan", "running", "moves", "at", "leaks and idle ports", ""}, rows, 3, 4, 5)
}

func printFindings(e *env, o *opened, findings []shop.Finding) {
	if len(findings) == 0 {
		return
	}
	fmt.Fprintln(e.out)
	for _, f := range findings {
		fmt.Fprintf(e.out, "%s  %s: %s [%s]\n", o.place(f.Where), f.Code.Severity, f.Sentence(o.units), f.Code.Name)
		if f.Code.Help != "" {
			fmt.Fprintf(e.out, "    %s\n", f.Code.Help)
		}
	}
}

func printNotLookedAt(e *env, o *opened) {
	fmt.Fprintln(e.out)
	if left := notLookedAt(o, airflowReads); len(left) > 0 {
		fmt.Fprintf(e.out, "Not looked at here: %s.\n", strings.Join(left, ", "))
	}
	fmt.Fprintf(e.out, "%s assumed, not given; this is the best estimate, and winnow check says how sure it is.\n", capital(count(len(o.assumed), "value")+verbWas(len(o.assumed))))
	fmt.Fprintf(e.out, "The working of a number: winnow explain MACHINE %s\n", o.path)
}

func verbWas(n int) string { return verb(n, " was", " were") }
