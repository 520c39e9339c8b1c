package cli

import (
	"bufio"
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"slices"
	"strconv"
	"strings"

	"winnow/internal/shop/typical"
	"winnow/internal/unit"
)

// answers are what an owner has said; an empty text is "not sure".
type answers struct {
	metric, iec bool
	have        string // vacuum, bag, cartridge, cyclone, nothing
	noPapers    bool
	motor       string
	motorIsAmps bool
	claim       string
	inlet       string // no papers: what can be measured
	wheel       string
	bag         string // area
	pull        string
	hoseWidth   string
	hoseLength  string
	lies        string // straight, curves, loops
	machines    []ticked
	guessed     bool // the machines
	floor       string
	cleaned     string // this month, never

	askedPower bool     // the two questions about the breaker
	breaker    string   // its rating
	dark       []string // what hangs on it; nil: all
	airGoes    string   // room, outdoors
	flame      string   // none, chimney, sealed
}

// ticked is a machine the owner has.
type ticked struct {
	name, kind string
	annoys     bool
	port       string // as the owner says it; empty: usual
	chips      string
}

// interview asks the questions and keeps the answers.
type interview struct {
	e      *env
	in     *bufio.Reader
	silent bool
	a      answers
	done   map[string]bool // questions that need not be asked any more, by name
}

// question is one screen. take gets what the owner wrote, never empty; unsure is called for an empty answer.
type question struct {
	name string
	flag string // empty: cannot be said by a flag
	help string
	text func() string
	when func() bool
	take func(string) error
	skip func() // not sure
	more bool   // asked again until the answer is empty
}

func newInterview(e *env, mixed bool) *interview {
	v := &interview{e: e, in: bufio.NewReader(e.in), done: map[string]bool{}}
	switch {
	case mixed:
		v.a.iec = true
		v.done["units"] = true
	case e.units != "":
		v.a.metric, v.a.iec = e.units == "si", e.units == "si"
		v.done["units"] = true
	default:
		v.a.metric = !inchesSpoken(os.Getenv)
		v.a.iec = v.a.metric
	}
	return v
}

// inchesSpoken guesses from the language of the system, as a page would from that of the browser.
func inchesSpoken(getenv func(string) string) bool {
	for _, name := range []string{"LC_ALL", "LC_MEASUREMENT", "LANG"} {
		if l := getenv(name); l != "" {
			return strings.Contains(l, "_US") || l == "C" || strings.HasPrefix(l, "C.") || l == "POSIX"
		}
	}
	return true
}

func (v *interview) take(q question, text string) error {
	v.done[q.name] = true
	text = strings.TrimSpace(text)
	if text == "" || text == "not sure" || text == "unknown" {
		if q.skip != nil {
			q.skip()
		}
		return nil
	}
	return q.take(text)
}

var (
	errQuit = errors.New("quit")
	errLeft = errors.New("left in the middle")
)

// ask goes through the questions that no flag has answered. At the end of the input the rest is "not sure". With running
// it says how it stands after each answer.
func (v *interview) ask(ctx context.Context, all []question, running bool) error {
	var asked []int
	for i := 0; i < len(all); {
		q := all[i]
		if v.done[q.name] || q.when != nil && !q.when() {
			i++
			continue
		}
		line, back, err := v.answer1(ctx, q)
		if errors.Is(err, errQuit) {
			return errLeft
		}
		if err != nil {
			return err
		}
		if back {
			if len(asked) > 0 {
				i, asked = asked[len(asked)-1], asked[:len(asked)-1]
				delete(v.done, all[i].name)
			}
			continue
		}
		if err := v.take(q, line); err != nil {
			delete(v.done, q.name)
			fmt.Fprintf(v.e.out, "   %v\n", err)
			continue
		}
		if q.more && line != "" {
			delete(v.done, q.name)
			continue
		}
		asked = append(asked, i)
		if running && len(v.a.machines) > 0 && !v.silent {
			v.running(ctx)
		}
		i++
	}
	return nil
}

// answer1 shows a question and reads a line.
func (v *interview) answer1(ctx context.Context, q question) (line string, back bool, err error) {
	if ctx.Err() != nil {
		return "", false, errQuit
	}
	if v.silent {
		return "", false, nil
	}
	fmt.Fprintf(v.e.out, "\n%s\n> ", q.text())
	line, err = v.in.ReadString('\n')
	if err != nil && line == "" {
		if !errors.Is(err, io.EOF) {
			return "", false, badInput("the answer cannot be read: %v", err)
		}
		v.silent = true // nobody is there any more
		fmt.Fprintln(v.e.out)
		return "", false, nil
	}
	switch line = strings.TrimSpace(line); strings.ToLower(line) {
	case "b", "back":
		return "", true, nil
	case "q", "quit":
		return "", false, errQuit
	}
	return line, false, nil
}

// choice is one of a few answers, by number or by word.
func choice(text string, words ...string) (string, error) {
	if n, err := strconv.Atoi(text); err == nil && n >= 1 && n <= len(words) {
		return words[n-1], nil
	}
	for _, w := range words {
		if strings.EqualFold(text, w) {
			return w, nil
		}
	}
	for _, w := range words {
		if len(text) >= 2 && strings.Contains(w, strings.ToLower(text)) {
			return w, nil
		}
	}
	return "", fmt.Errorf("%q is none of these: a number from 1 to %d, or %s", text, len(words), strings.Join(words, ", "))
}

// quantity reads an answer; a bare number gets the unit of the question.
func quantity[T unit.Real](text, bare string) (string, error) {
	if _, err := strconv.ParseFloat(text, 64); err == nil {
		text += " " + bare
	}
	a, err := unit.Parse[T](text)
	if err != nil {
		return "", err
	}
	if a.Basis != unit.Given || a.Best <= 0 {
		return "", fmt.Errorf("%s: a number above zero belongs here, with its unit", text)
	}
	return text, nil
}

func (v *interview) pick(metric, us string) string {
	if v.a.metric {
		return metric
	}
	return us
}

func (v *interview) collectorIsThere() bool { return v.a.have != "nothing" }

func (v *interview) questions() []question {
	a := &v.a
	return slices.Concat([]question{v.unitsQuestion(), v.haveQuestion()}, v.fanQuestions(), v.hoseQuestions(), []question{
		{
			name: "machines", flag: "machines", help: "what you own, in a list; a * behind the one that annoys you",
			text: v.machinesText,
			take: v.takeMachines,
			skip: func() {
				a.machines, a.guessed = nil, true
				for _, kind := range []string{"cabinet saw", "thickness planer"} {
					a.machines = append(a.machines, ticked{name: shortName(kind), kind: kind})
				}
			},
		},
		{
			name: "corrections", more: true,
			text: v.correctionsText,
			take: func(s string) error { return a.correct(s, v.sys()) },
		},
		{
			name: "floor", flag: "floor", help: "nothing yet: the floor a collector may have",
			when: func() bool { return a.have == "nothing" },
			text: func() string {
				return fmt.Sprintf("How much floor can it have? (%s)   [enter: not sure]", v.pick("m²", "ft²"))
			},
			take: func(s string) (err error) { a.floor, err = quantity[unit.M2](s, v.pick("m²", "ft2")); return err },
			skip: func() { a.floor = "" },
		},
		{
			name: "cleaned", flag: "cleaned", help: "when the filter was last shaken or cleaned: this month, never, not sure",
			when: v.collectorIsThere,
			text: func() string {
				return "When did you last shake or clean the filter?\n   1 this month   2 never   [enter: not sure]"
			},
			take: func(s string) (err error) { a.cleaned, err = choice(s, "this month", "never"); return err },
			skip: func() { a.cleaned = "" },
		},
	})
}

func (v *interview) unitsQuestion() question {
	a := &v.a
	return question{
		name: "units",
		text: func() string {
			return "Enter stands for \"not sure\" all along: the usual value is taken and marked as guessed. b goes back, q leaves.\n\n" +
				v.pick("Millimetres, m³/h, 230 volts. Right?   [enter: yes]   u inches, cfm, 120 volts   x mixed: inches and cfm, 230 volts",
					"Inches, cfm, 120 volts. Right?   [enter: yes]   m millimetres, m³/h, 230 volts   x mixed: inches and cfm, 230 volts")
		},
		take: func(s string) error {
			switch strings.ToLower(s) {
			case "y", "yes":
			case "u", "us":
				a.metric, a.iec = false, false
			case "m", "metric", "si":
				a.metric, a.iec = true, true
			case "x", "mixed":
				a.metric, a.iec = false, true
			default:
				return fmt.Errorf("%q: enter, u, m or x", s)
			}
			return nil
		},
	}
}

func (v *interview) haveQuestion() question {
	a := &v.a
	return question{
		name: "have", flag: "collector", help: "vacuum, bag, cartridge, cyclone or nothing",
		text: func() string {
			return "What sucks up your chips today?\n" +
				"   1 shop vacuum   2 collector with one bag   3 collector, bag and cartridge   4 collector with a cyclone   5 nothing yet\n" +
				"   [enter: not sure, taken as 2]"
		},
		take: func(s string) (err error) {
			a.have, err = choice(s, "vacuum", "bag", "cartridge", "cyclone", "nothing")
			return err
		},
		skip: func() { a.have = "" },
	}
}

func (v *interview) fanQuestions() []question {
	a := &v.a
	measured := func() bool { return a.noPapers && v.collectorIsThere() }
	return []question{
		{
			name: "motor", flag: "motor", help: "plate of the collector's motor: 1 1/2 hp, 0.75 kW, 13 A",
			when: v.collectorIsThere,
			text: func() string {
				return fmt.Sprintf("Read me the plate on its motor: %s or amps.   [enter: not sure]   n no papers, no box, second-hand", v.pick("kW", "hp"))
			},
			take: v.takeMotor,
			skip: func() { a.motor = "" },
		},
		{
			name: "claim", flag: "claim", help: "airflow that the box claims",
			when: func() bool { return v.collectorIsThere() && !a.noPapers },
			text: func() string {
				return fmt.Sprintf("The number on the box, if you have it (%s).   [enter: no]", v.pick("m³/h", "cfm"))
			},
			take: func(s string) (err error) {
				a.claim, err = quantity[unit.M3PerSec](s, v.pick("m³/h", "cfm"))
				return err
			},
			skip: func() { a.claim = "" },
		},
		{
			name: "inlet", flag: "inlet", help: "no papers: width of the inlet",
			when: measured,
			text: func() string {
				return fmt.Sprintf("How wide is its inlet? (%s)   [enter: not sure]", v.pick("mm", "in"))
			},
			take: func(s string) (err error) { a.inlet, err = quantity[unit.Metre](s, v.pick("mm", "in")); return err },
			skip: func() { a.inlet = "" },
		},
		{
			name: "wheel", flag: "wheel", help: "no papers: how far the wheel is across",
			when: measured,
			text: func() string {
				return fmt.Sprintf("Unplug it. Then, with a stick through the inlet: how far is the wheel across? (%s)   [enter: not sure]", v.pick("mm", "in"))
			},
			take: func(s string) (err error) { a.wheel, err = quantity[unit.Metre](s, v.pick("mm", "in")); return err },
			skip: func() { a.wheel = "" },
		},
		{
			name: "bag", flag: "bag", help: "no papers: the bag, across x tall",
			when: measured,
			text: func() string {
				return fmt.Sprintf("How big is its bag or cartridge, across x tall? (%s)   [enter: not sure]", v.pick("45 cm x 80 cm", "18 in x 30 in"))
			},
			take: v.takeBag,
			skip: func() { a.bag = "" },
		},
		{
			name: "pull", flag: "pull-blocked", help: "pull with the inlet blocked, read on a tube of water",
			when: measured,
			text: func() string {
				return "If you can run it: a flat board over the inlet for three seconds, and a U of clear tube with water to read the pull.\n" +
					fmt.Sprintf("How far apart do the levels stand? (%s)   [enter: not read]", v.pick("mmH2O, or kPa", "inH2O"))
			},
			take: func(s string) (err error) {
				a.pull, err = quantity[unit.Pascal](s, v.pick("mmH2O", "inH2O"))
				return err
			},
			skip: func() { a.pull = "" },
		},
	}
}

func (v *interview) takeMotor(s string) error {
	a := &v.a
	if l := strings.ToLower(s); l == "n" || l == "no papers" {
		a.noPapers = true
		delete(v.done, "motor")
		return errors.New("then let us see what can be measured")
	}
	text, err := quantity[unit.Watt](s, v.pick("kW", "hp"))
	amps := err != nil
	if amps {
		if text, err = quantity[unit.Ampere](s, "A"); err != nil {
			return fmt.Errorf("%s: power or amps belong here, such as %s", s, v.pick("0.75 kW or 5 A", "1 1/2 hp or 13 A"))
		}
	}
	if p, err := unit.Parse[unit.Watt](text); !amps && err == nil && a.have == "vacuum" && p.Best > 2000 {
		return errors.New("a vacuum says its peak power, which its outlet could never give: read me the amps instead")
	}
	a.motor, a.motorIsAmps = text, amps
	return nil
}

// takeBag turns across x tall into the area of the cloth; a pleated cartridge has far more, and its number says so.
func (v *interview) takeBag(s string) error {
	if text, err := quantity[unit.M2](s, v.pick("m²", "ft2")); err == nil {
		v.a.bag = text
		return nil
	}
	across, tall, err := unit.ParseSides(s)
	if err != nil {
		return fmt.Errorf("%s: across x tall belong here, such as %s", s, v.pick("45 cm x 80 cm", "18 in x 30 in"))
	}
	v.a.bag = unit.Print(unit.M2(3.14159*float64(across.Best)*float64(tall.Best)), v.sys())
	return nil
}

func (v *interview) hoseQuestions() []question {
	a := &v.a
	return []question{
		{
			name: "width", flag: "hose-width", help: "width of the hose you drag around",
			when: v.collectorIsThere,
			text: func() string {
				return fmt.Sprintf("The hose you drag around: how wide? (%s)   [enter: not sure, taken as %s]", v.pick("mm", "in"), v.usualWidth())
			},
			take: func(s string) (err error) { a.hoseWidth, err = quantity[unit.Metre](s, v.pick("mm", "in")); return err },
			skip: func() { a.hoseWidth = "" },
		},
		{
			name: "length", flag: "hose-length", help: "its length, pulled straight, to the farthest machine",
			when: v.collectorIsThere,
			text: func() string {
				return fmt.Sprintf("How long is it, pulled straight, to the farthest machine? (%s)   [enter: not sure, taken as %s]", v.pick("m", "ft"), v.pick("3 m", "10 ft"))
			},
			take: func(s string) (err error) { a.hoseLength, err = quantity[unit.Metre](s, v.pick("m", "ft")); return err },
			skip: func() { a.hoseLength = "" },
		},
		{
			name: "lies", flag: "hose-lies", help: "how it lies: straight, curves or loops",
			when: v.collectorIsThere,
			text: func() string {
				return "How does it lie?\n   1 nearly straight   2 a couple of curves   3 loops on the floor   [enter: not sure]"
			},
			take: func(s string) (err error) { a.lies, err = choice(s, "straight", "curves", "loops"); return err },
			skip: func() { a.lies = "" },
		},
	}
}

func (v *interview) usualWidth() string {
	if v.a.have == "vacuum" {
		return v.pick("58 mm", "2 1/2 in")
	}
	return v.pick("100 mm", "4 in")
}

// offered are the machines that most small shops choose from; any other kind can be written.
var offered = []string{
	"cabinet saw", "open-base saw", "job-site saw", "thickness planer", "jointer", "planer-jointer", "band saw", "mitre saw",
	"router table", "drum sander", "belt sander", "random orbit sander", "drill press", "floor sweep",
}

// shortNames are what owners call some kinds.
var shortNames = map[string]string{
	"cabinet saw": "table saw", "open-base saw": "table saw", "thickness planer": "planer", "thickness planer 13 in": "planer",
	"thickness planer 15 in": "planer", "thickness planer 20 in": "planer", "planer with blower": "planer", "jointer 6 in": "jointer",
	"jointer 8 in": "jointer", "band saw 18 in": "band saw", "random orbit sander": "hand sander", "floor sweep": "sweep",
}

func shortName(kind string) string {
	if s, ok := shortNames[kind]; ok {
		return s
	}
	return kind
}

func (v *interview) machinesText() string {
	var b strings.Builder
	b.WriteString("What do you own? Numbers or names, a * behind the one that annoys you: 1, 4*, 8\n")
	for i, kind := range offered {
		fmt.Fprintf(&b, "  %2d %-22s", i+1, offeredName(kind))
		if i%4 == 3 || i == len(offered)-1 {
			b.WriteString("\n")
		}
	}
	b.WriteString("   [enter: not sure, taken as a table saw and a planer]")
	return b.String()
}

func offeredName(kind string) string {
	switch kind {
	case "cabinet saw":
		return "table saw, closed base"
	case "open-base saw":
		return "table saw, open base"
	case "random orbit sander":
		return "hand sander"
	}
	return kind
}

// mostMachines is more than a small shop has.
const mostMachines = 60

func (v *interview) takeMachines(text string) error {
	var list []ticked
	for _, item := range strings.FieldsFunc(text, func(r rune) bool { return r == ',' || r == ';' }) {
		parts := []string{item}
		if f := strings.Fields(item); !slices.ContainsFunc(f, func(s string) bool { _, err := strconv.Atoi(strings.TrimRight(s, "*")); return err != nil }) {
			parts = f // numbers need no comma
		}
		for _, p := range parts {
			t, err := tick(p)
			if err != nil {
				return err
			}
			if len(list) == mostMachines {
				return fmt.Errorf("that is over %d machines: begin with fewer, and add the rest in the file", mostMachines)
			}
			for n := 2; slices.ContainsFunc(list, func(o ticked) bool { return o.name == t.name }); n++ {
				t.name = fmt.Sprintf("%s %d", shortName(t.kind), n)
			}
			list = append(list, t)
		}
	}
	if len(list) == 0 {
		return errors.New("name one machine at least")
	}
	v.a.machines, v.a.guessed = list, false
	return nil
}

func tick(text string) (ticked, error) {
	text = strings.TrimSpace(text)
	name, annoys := strings.CutSuffix(text, "*")
	name = strings.TrimSpace(name)
	if n, err := strconv.Atoi(name); err == nil {
		if n < 1 || n > len(offered) {
			return ticked{}, fmt.Errorf("there is no number %d", n)
		}
		name = offered[n-1]
	}
	kind, ok := typical.MachineKind(name)
	for _, k := range offered {
		if !ok && (name == shortName(k) || name == offeredName(k)) {
			kind, ok = typical.MachineKind(k)
		}
	}
	if !ok {
		return ticked{}, fmt.Errorf("no kind of machine is called %q: take a number, or a name from winnow kinds", name)
	}
	return ticked{name: shortName(kind.Name), kind: kind.Name, annoys: annoys}, nil
}

// mainPort is the port that most machines of a kind have; nil for a machine that has none.
func mainPort(kind string) *typical.Port {
	k, ok := typical.MachineKind(kind)
	if !ok {
		return nil
	}
	for i := range k.Ports {
		if k.Ports[i].Usual {
			return &k.Ports[i]
		}
	}
	return nil
}

func (v *interview) correctionsText() string {
	var b strings.Builder
	b.WriteString("Their ports, and the airflow at which their chips leave:\n")
	for _, m := range v.a.machines {
		fmt.Fprintf(&b, "   %-16s %s\n", m.name, v.portWords(m))
	}
	first := v.a.machines[0].name
	fmt.Fprintf(&b, "Is one of them otherwise? Write %s, or %s.   [enter: no]", first+" "+v.pick("80 mm", "2 1/2 in"), first+" "+v.pick("600 m³/h", "350 cfm"))
	return b.String()
}

func (v *interview) portWords(m ticked) string {
	p := mainPort(m.kind)
	if p == nil && m.port == "" {
		return "no port"
	}
	size, chips := m.port, m.chips
	if size == "" {
		size = unit.Print(p.Size.For(v.sys()).Best, v.sys())
	}
	if chips == "" && p != nil {
		at, err := unit.Parse[unit.Metre](size)
		if err == nil {
			need, _ := p.Needs(at.Best, 0)
			chips = unit.Print(need.Best, v.sys())
		}
	}
	return size + ", " + chips
}

// correct takes `planer 2 1/2 in` or `planer 350 cfm`.
func (a *answers) correct(text string, _ unit.System) error {
	best := -1
	for i, m := range a.machines {
		if strings.HasPrefix(text, m.name+" ") && (best < 0 || len(m.name) > len(a.machines[best].name)) {
			best = i
		}
	}
	if best < 0 {
		return fmt.Errorf("%s: start with one of the machines, and write its port or its airflow behind", text)
	}
	m := &a.machines[best]
	for _, value := range strings.Split(strings.TrimPrefix(text, m.name+" "), ",") {
		value = strings.TrimSpace(value)
		if size, err := unit.Parse[unit.Metre](value); err == nil && size.Best > 0 {
			m.port = value
			continue
		}
		if flow, err := unit.Parse[unit.M3PerSec](value); err == nil && flow.Best > 0 {
			m.chips = value
			continue
		}
		return fmt.Errorf("%s: a port is a size such as 4 in or 100 mm, an airflow such as 350 cfm or 600 m³/h", value)
	}
	return nil
}
