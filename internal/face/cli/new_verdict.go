package cli

import (
	"cmp"
	"context"
	"fmt"
	"slices"
	"strings"

	"winnow/internal/face/wire"
	"winnow/internal/shop"
	"winnow/internal/shop/file"
	"winnow/internal/shop/typical"
	"winnow/internal/study/airflow"
	"winnow/internal/study/verdict"
	"winnow/internal/unit"
)

type newAnswer struct {
	File     string      `json:"file"`
	Guessed  []string    `json:"guessed"`
	Ports    []checkPort `json:"ports"`
	Begin    []newOption `json:"begin_with,omitempty"` // nothing yet: what each choice would do
	Findings int         `json:"findings"`
}

type newOption struct {
	Option string   `json:"option"`
	Floor  float64  `json:"floor_m2"`
	Fits   bool     `json:"fits"`
	Works  []string `json:"works"`
	Short  []string `json:"short"`
}

// firstVerdict is that on what was written, and on what could be bought where there is nothing yet.
type firstVerdict struct {
	doc     *file.Doc
	ready   *verdict.Ready
	verdict verdict.Verdict
	begin   []beginning
}

// beginning is one choice for somebody who has nothing yet.
type beginning struct {
	option shop.Option
	fits   bool
	ports  []airflow.PortResult
}

func (b beginning) enough() int {
	n := 0
	for _, p := range b.ports {
		if p.Verdict <= airflow.Just {
			n++
		}
	}
	return n
}

func (v *interview) judge(ctx context.Context, doc *file.Doc) (*firstVerdict, error) {
	j := &firstVerdict{doc: doc, ready: verdict.Prepare(doc.Shop(), nil)}
	var err error
	if j.verdict, err = verdict.Of(ctx, j.ready, doc.Try); err != nil {
		return nil, err
	}
	v.starredFirst(j.verdict.Ports)
	for _, o := range doc.Shop().Options {
		b := beginning{option: o, fits: true}
		if most := doc.Shop().Wishes.FloorAtMost; most.Best > 0 {
			b.fits = o.Floor.Best <= most.Best
		}
		if b.ports, err = portsWith(ctx, doc, o.Change...); err != nil {
			return nil, err
		}
		j.begin = append(j.begin, b)
	}
	return j, nil
}

// portsWith is what every port would get after some edits, best estimates, filters due.
func portsWith(ctx context.Context, doc *file.Doc, edits ...shop.Edit) ([]airflow.PortResult, error) {
	s, err := doc.Try(edits...)
	if err != nil {
		return nil, err
	}
	ready := verdict.Prepare(s, nil)
	results, _, err := airflow.Study(ctx, ready.Shop, ready.Layout, nil, airflow.Settings(ready.Shop))
	var ports []airflow.PortResult
	for _, r := range results {
		ports = append(ports, r.Ports...)
	}
	return ports, err
}

// starredFirst puts the machine that annoys first; the rest keeps its order, the worst first.
func (v *interview) starredFirst(ports []verdict.Port) {
	slices.SortStableFunc(ports, func(a, b verdict.Port) int {
		return cmp.Compare(v.rank(a.Port.Port.Machine), v.rank(b.Port.Port.Machine))
	})
}

func (v *interview) rank(machine shop.ID) int {
	for _, m := range v.a.machines {
		if m.name == machine && m.annoys {
			return 0
		}
	}
	return 1
}

// running shows how it stands with what has been said so far.
func (v *interview) running(ctx context.Context) {
	doc, faults := file.Parse(v.text())
	if len(faults) > 0 {
		return
	}
	with := ""
	var edits []shop.Edit
	if o := doc.Shop().Options; len(o) > 2 {
		edits, with = o[2].Change, ", with a "+o[2].Name
	}
	ports, err := portsWith(ctx, doc, edits...)
	if err != nil || len(ports) == 0 {
		return
	}
	slices.SortStableFunc(ports, func(a, b airflow.PortResult) int {
		return cmp.Or(cmp.Compare(v.rank(a.Port.Machine), v.rank(b.Port.Machine)), cmp.Compare(a.Gets/a.NeedsChips, b.Gets/b.NeedsChips))
	})
	var words []string
	for _, p := range ports {
		words = append(words, fmt.Sprintf("%s %s, %s of %s", p.Port, p.Verdict, number(p.Gets, v.sys()), unit.Print(p.NeedsChips, v.sys())))
	}
	fmt.Fprintf(v.e.out, "\n   So far%s: %s.\n", with, strings.Join(words, "; "))
}

// guesses lists what the owner was not sure of, in words.
func (v *interview) guesses() []string {
	a := &v.a
	var g []string
	add := func(is bool, what string) {
		if is {
			g = append(g, what)
		}
	}
	there := v.collectorIsThere()
	add(there && a.have == "", "what collects")
	add(there && a.claim == "" && a.pull == "", "the fan")
	add(there && a.motor == "", "its motor")
	add(there && a.hoseWidth == "", "the hose's width")
	add(there && a.hoseLength == "", "its length")
	add(there && a.lies == "", "how it lies")
	add(a.guessed, "the machines")
	var ports, needs []string
	for _, m := range a.machines {
		if mainPort(m.kind) != nil {
			if m.port == "" {
				ports = append(ports, "the "+m.name)
			}
			if m.chips == "" {
				needs = append(needs, "the "+m.name)
			}
		}
	}
	add(len(ports) > 0, "the port of "+join(ports))
	add(len(needs) > 0, "the airflow that "+join(needs)+" "+verb(len(needs), "needs", "need"))
	add(there && a.bag == "", map[bool]string{true: "the filter", false: "the bag"}[a.have == "vacuum" || a.have == "cartridge" || a.have == "cyclone"])
	add(there && a.cleaned == "", "when its filter was cleaned")
	return g
}

func (v *interview) answer(path string, j *firstVerdict) newAnswer {
	a := newAnswer{File: path, Guessed: v.guesses(), Ports: []checkPort{}, Findings: len(j.verdict.Findings)}
	if a.Guessed == nil {
		a.Guessed = []string{}
	}
	for _, p := range j.verdict.Ports {
		a.Ports = append(a.Ports, checkPort{
			Port: p.Port.Port.String(), System: p.Result.System, Verdict: p.Port.Verdict.String(), Gets: float64(p.Port.Gets),
			NeedsChips: float64(p.Port.NeedsChips), Range: p.Port.Range, Chance: p.Port.Chance, Remedies: wire.Remedies(p.Remedies, v.sys(), func(shop.Path) (int, int) { return 0, 0 }),
		})
	}
	for _, b := range j.begin {
		o := newOption{Option: b.option.Name, Floor: float64(b.option.Floor.Best), Fits: b.fits, Works: []string{}, Short: []string{}}
		for _, p := range b.ports {
			if p.Verdict <= airflow.Just {
				o.Works = append(o.Works, p.Port.String())
			} else {
				o.Short = append(o.Short, p.Port.String())
			}
		}
		a.Begin = append(a.Begin, o)
	}
	return a
}

// printVerdict says it in this order: how each machine fares, the one that annoys first; why; what is free; what costs
// money; how sure. It never ends on something that fails without an act that costs nothing.
func (v *interview) printVerdict(path string, j *firstVerdict) {
	out := v.e.out
	fmt.Fprintf(out, "\nWritten to %s.\n\n", path)
	switch {
	case len(j.begin) > 0:
		v.printBeginnings(j)
	case len(j.verdict.Ports) == 0:
		fmt.Fprintln(out, "None of these machines has a port, so there is no airflow to judge.")
	default:
		v.printPorts(j)
		v.printCause(j)
		moneyLeads := j.onlyMoneyReaches()
		if moneyLeads {
			v.printActs(j, false)
		}
		if !v.printActs(j, true) && v.anyShort(j) {
			fmt.Fprintln(out, "\nFree\n  Find out what is guessed, as below, before you spend anything: it may turn out better.")
		}
		v.printLimits(j)
		if !moneyLeads {
			v.printActs(j, false)
		}
		v.printGuesses(path, j)
	}
	fmt.Fprintln(out, "\nNext")
	printTable(out, nil, [][]string{
		{"try it on the floor, draw the shop", "winnow serve " + path + " --open"},
		{"will it trip my breaker?", "winnow power " + path},
		{"do I breathe it?", "winnow air " + path},
		{"the whole verdict", "winnow check " + path},
		{"put in what you find out", "winnow set " + path + " PATH VALUE, or any editor"},
	})
}

func (v *interview) printPorts(j *firstVerdict) {
	var rows [][]string
	for _, p := range j.verdict.Ports {
		name := p.Port.Port.String()
		if v.rank(p.Port.Port.Machine) == 0 {
			name += " *"
		}
		likely := ""
		if p.Port.Range != nil {
			likely = "likely " + rangeText(p.Port.Range, v.sys())
		}
		rows = append(rows, []string{name, portVerdict(p.Port, v.sys()), "gets " + number(p.Port.Gets, v.sys()) + " of " + unit.Print(p.Port.NeedsChips, v.sys()), likely})
	}
	printTable(v.e.out, nil, rows)
}

// reaching counts the acts that bring the first port all that its chips need.
func (j *firstVerdict) reaching() (free, money int) {
	for _, r := range j.verdict.Ports[0].Remedies {
		switch {
		case r.Effects[0].After < r.Effects[0].NeedsAfter:
		case r.Free:
			free++
		default:
			money++
		}
	}
	return free, money
}

func (j *firstVerdict) short() bool {
	w := j.verdict.Ports[0].Port.Verdict
	return w == airflow.Short || w == airflow.MuchTooShort
}

// onlyMoneyReaches reports whether what is free is not enough and something else is: what cannot be enough may not lead.
func (j *firstVerdict) onlyMoneyReaches() bool {
	free, money := j.reaching()
	return j.short() && free == 0 && money > 0
}

func (v *interview) anyShort(j *firstVerdict) bool {
	return slices.ContainsFunc(j.verdict.Ports, func(p verdict.Port) bool { return p.Port.Verdict > airflow.Just })
}

// printCause says where the pull goes for the first port that is not well off.
func (v *interview) printCause(j *firstVerdict) {
	i := slices.IndexFunc(j.verdict.Ports, func(p verdict.Port) bool { return p.Port.Verdict > airflow.Works })
	if i < 0 {
		return
	}
	p := j.verdict.Ports[i]
	var words []string
	for _, s := range p.Port.Pull {
		if t := tenths(s.Of); t != "0" && len(words) < 3 && s.Group != airflow.Rest { // the rest is nothing anybody could look at
			words = append(words, fmt.Sprintf("%s %s", s.Group, t))
		}
	}
	if len(words) == 0 {
		return
	}
	words[0] += " parts in 10"
	fmt.Fprintf(v.e.out, "\nWhere the pull goes at the %s: %s.\n", p.Port.Port, strings.Join(words, ", "))
}

// printActs lists what would help, each once, with what it does for the port it helps most of those that need it.
func (v *interview) printActs(j *firstVerdict, free bool) bool {
	var rows [][]string
	said := map[string]bool{}
	for _, p := range j.verdict.Ports {
		if p.Port.Verdict == airflow.Works {
			continue
		}
		n := 0
		for _, r := range enoughFirst(p.Remedies) {
			sentence, once := r.Sentence(v.sys()), r.What.Name
			if strings.Contains(sentence, p.Port.Port.Machine) {
				once += p.Port.Port.String() // an act at the machine, not at the hose that all of them share
			}
			if r.Free != free || said[once] || n == 2 {
				continue
			}
			said[once] = true
			n++
			rows = append(rows, []string{sentence, p.Port.Port.String() + " " + effectText(r.Effects[0], v.sys())})
		}
	}
	if len(rows) == 0 {
		return false
	}
	fmt.Fprintln(v.e.out, map[bool]string{true: "\nFree", false: "\nFor money"}[free])
	printTable(v.e.out, nil, rows)
	return true
}

// enoughFirst puts the acts that reach the need before those that do not.
func enoughFirst(acts []shop.Remedy) []shop.Remedy {
	acts = slices.Clone(acts)
	rank := func(r shop.Remedy) int {
		if r.Effects[0].After >= r.Effects[0].NeedsAfter {
			return 0
		}
		return 1
	}
	slices.SortStableFunc(acts, func(a, b shop.Remedy) int { return cmp.Compare(rank(a), rank(b)) })
	return acts
}

// printLimits says so plainly where no hose length will do, and what to expect of a fan without papers.
func (v *interview) printLimits(j *firstVerdict) {
	lines := v.limitLines(j)
	if len(lines) > 0 {
		fmt.Fprintf(v.e.out, "\n%s\n", strings.Join(lines, "\n"))
	}
}

func (v *interview) limitLines(j *firstVerdict) []string {
	var lines []string
	if len(j.verdict.Ports) > 0 {
		first := j.verdict.Ports[0].Port.Port
		if free, money := j.reaching(); j.short() && free+money == 0 {
			lines = append(lines, fmt.Sprintf("No single act reaches what the %s needs. Several together may; else ask less of it, or look at the fan.", first))
		}
		for _, f := range j.verdict.Findings {
			if f.Code.Name == "fan-is-the-limit" && f.Where == first.Path() {
				lines = append(lines, f.Sentence(v.sys()))
			}
		}
	}
	if line := smallPortLine(j.verdict.Findings); line != "" {
		lines = append(lines, line)
	}
	if !v.a.noPapers {
		return lines
	}
	if line := v.soundLine(); line != "" {
		return append(lines, line)
	}
	for _, f := range j.verdict.Findings {
		if f.Code.Name == "fan-without-papers" {
			lines = append(lines, f.Sentence(v.sys()))
		}
	}
	return lines
}

// smallPortLine says where a vacuum belongs.
func smallPortLine(fs []shop.Finding) string {
	var ports []string
	for _, f := range fs {
		if f.Code.Name == "small-port-on-a-collector" {
			i := slices.IndexFunc(f.Args, func(a shop.Arg) bool { return a.Name == "port" })
			ports = append(ports, f.Args[i].Word)
		}
	}
	switch len(ports) {
	case 0:
		return ""
	case 1:
		return fmt.Sprintf("A vacuum belongs at the %s: the port is small, and a collector moves much air at too little pull for it.", ports[0])
	}
	return fmt.Sprintf("A vacuum belongs at the %s: the ports are small, and a collector moves much air at too little pull for them.", join(ports))
}

// soundLine holds the pull that was read against what such a motor usually gives.
func (v *interview) soundLine() string {
	pull, err := unit.Parse[unit.Pascal](v.a.pull)
	power, err2 := unit.Parse[unit.Watt](v.a.motor)
	if err != nil || err2 != nil || v.a.have == "vacuum" {
		return ""
	}
	mains := unit.US
	if v.a.iec {
		mains = unit.SI
	}
	usual := typical.CollectorFan(power, mains).ShutOff
	says := fmt.Sprintf("With the inlet blocked it pulls %s; a collector with such a motor usually pulls %s",
		unit.Print(pull.Best, v.sys()), unit.PrintRange(usual.Low, usual.High, v.sys()))
	if pull.Best < usual.Low {
		return says + ".\nSomething is wrong with it: a worn or foreign wheel, a leak, the motor turning backwards. Find it before you pay for it."
	}
	return says + ": the fan is sound."
}

func (v *interview) printGuesses(path string, j *firstVerdict) {
	var most []string
	for _, w := range j.verdict.Worth {
		if !slices.Contains(most, w.What) && len(most) < 3 {
			most = append(most, w.What)
		}
	}
	if g := v.guesses(); len(g) > 0 {
		fmt.Fprintf(v.e.out, "\nI guessed %s.\n", strings.Join(g, "; "))
	}
	if len(most) > 0 {
		fmt.Fprintf(v.e.out, "Most of the doubt lies in %s.\n", join(most))
	}
	fmt.Fprintln(v.e.out, v.howToKnow(path))
}

// howToKnow is the one thing that takes most of the doubt away and costs next to nothing.
func (v *interview) howToKnow(path string) string {
	put := fmt.Sprintf("winnow set %s systems/%s/fan/rating/shut-off ", path, v.systemName())
	switch {
	case v.a.pull != "":
		return "The pull is measured. A ruler across the hose and the ports takes away more of the doubt."
	case v.a.have == "vacuum":
		return "The plate or the box of the vacuum may say its sealed suction; put it in:\n" + put + v.pick("'18 kPa'", "'60 inH2O'")
	}
	return fmt.Sprintf(`One reading of five minutes would take much of it away. Bend %s of clear tube to a U, half fill it with water and tape it
to a board. Lead one end through a hole in a second, flat board; run the collector, hold that board, never a hand, over the
inlet for three seconds, and see how far apart the two levels stand. Put it in:
%s%s`, v.pick("1 m", "3 ft"), put, v.pick("'180 mmH2O'", "'7.5 inH2O'"))
}

// printBeginnings compares what somebody could begin with.
func (v *interview) printBeginnings(j *firstVerdict) {
	out := v.e.out
	fmt.Fprintf(out, "There is nothing yet. With %s of hose carried from machine to machine, filters due for cleaning:\n", v.pick("3 m", "10 ft"))
	var rows [][]string
	best := -1
	for i, b := range j.begin {
		var short []string
		for _, p := range b.ports {
			if p.Verdict > airflow.Just {
				short = append(short, fmt.Sprintf("%s %s of %s", p.Port, number(p.Gets, v.sys()), unit.Print(p.NeedsChips, v.sys())))
			}
		}
		what := "enough for all"
		if len(short) > 0 {
			what = "short: " + strings.Join(short, ", ")
		}
		floor := unit.Print(b.option.Floor.Best, v.sys())
		if !b.fits {
			floor += ", more than you have"
		}
		rows = append(rows, []string{b.option.Name, fmt.Sprintf("%d of %d", b.enough(), len(b.ports)), what, floor})
		if b.fits && (best < 0 || b.enough() > j.begin[best].enough()) {
			best = i
		}
	}
	printTable(out, []string{"", "do", "", "floor"}, rows)
	v.printBestBeginning(j, best)
}

func (v *interview) printBestBeginning(j *firstVerdict, best int) {
	out := v.e.out
	any := 0 // the smallest that does most, whatever its floor
	for i, b := range j.begin {
		if b.enough() > j.begin[any].enough() {
			any = i
		}
	}
	most := j.begin[any]
	fmt.Fprintln(out)
	switch {
	case most.enough() == 0:
		fmt.Fprintln(out, "None of them does it through one hose: look at the ports first, wider ones cost least.")
	case best >= 0 && j.begin[best].enough() == most.enough():
		fmt.Fprintf(out, "The smallest that does most of it is the %s.\n", j.begin[best].option.Name)
	default:
		fmt.Fprintf(out, "The floor is what is short. The smallest that does most of it is the %s, on %s; hung on the wall it takes about %s.\n",
			most.option.Name, unit.Print(most.option.Floor.Best, v.sys()), v.pick("0.4 m²", "4 ft²"))
	}
	fmt.Fprintf(out, "Free: lay the shop out so that %s of hose reach every machine; each %s more costs air.\n", v.pick("2 m", "6 ft"), v.pick("metre", "yard"))
	fmt.Fprintln(out, "Write a price to each option in the file, and winnow weighs them.")
}
