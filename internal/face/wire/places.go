package wire

import (
	"fmt"
	"slices"
	"strings"

	"winnow/internal/physics/circuit"
	"winnow/internal/shop"
	"winnow/internal/study/power"
	"winnow/internal/study/roomair"
	"winnow/internal/unit"
)

// Power is what the circuits answer, for `winnow power --json` and the page's place of that name.
type Power struct {
	Shop     string `json:"shop"`
	Sentence []Part `json:"sentence" doc:"the answer in one sentence"`
	power.Report
	Findings []CuredFinding `json:"findings"`
}

// CuredFinding is a finding with what cures it.
type CuredFinding struct {
	Finding
	Remedies []Remedy `json:"remedies,omitempty"`
}

// Air is what the room's air answers, for `winnow air --json` and the page's place of that name.
type Air struct {
	Shop     string `json:"shop"`
	Sentence []Part `json:"sentence" doc:"the answer in one sentence"`
	roomair.Answer
	Options  []AirOption    `json:"options"`
	Findings []CuredFinding `json:"findings"`
}

// AirOption is something that can be done, by what it leaves of today.
type AirOption struct {
	Remedy
	Inhalable  roomair.Span `json:"inhalable_of_today"`
	Respirable roomair.Span `json:"respirable_of_today"`
	Withheld   string       `json:"withheld,omitempty" doc:"why it is not advised"`
}

// PowerOf turns the study's report into its shape.
func PowerOf(name string, r power.Report, sys unit.System, place func(shop.Path) (line, column int)) Power {
	return whole(Power{Shop: name, Sentence: slices.Concat(dangerFirst(r, sys), taken(r, sys), nowherePart(r)), Report: r, Findings: cured(r.Findings, sys, place)})
}

// AirOf turns the study's answer into its shape.
func AirOf(name string, a roomair.Answer, sys unit.System, place func(shop.Path) (line, column int)) Air {
	out := Air{Shop: name, Sentence: airSentence(a, sys), Answer: a, Options: []AirOption{}, Findings: cured(a.Findings, sys, place)}
	for _, x := range a.Options {
		out.Options = append(out.Options, AirOption{
			Remedy: Remedies([]shop.Remedy{x.Remedy}, sys, place)[0], Inhalable: x.Inhalable, Respirable: x.Respirable, Withheld: x.Withheld,
		})
	}
	return whole(out)
}

func cured(fs []shop.Finding, sys unit.System, place func(shop.Path) (line, column int)) []CuredFinding {
	out := make([]CuredFinding, 0, len(fs))
	for i, f := range Findings(fs, sys, place) {
		c := CuredFinding{Finding: f}
		if rs := fs[i].Remedies; len(rs) > 0 {
			c.Remedies = Remedies(rs, sys, place)
		}
		out = append(out, c)
	}
	return out
}

// Plain is a sentence without its links.
func Plain(parts []Part) string {
	var b strings.Builder
	for _, p := range parts {
		b.WriteString(p.Text)
	}
	return b.String()
}

// dangerFirst leads with what can burn, blow or break: whether a breaker holds is another question, and comes after it.
func dangerFirst(r power.Report, sys unit.System) []Part {
	var dangers []shop.Finding
	for _, f := range r.Findings {
		if power.IsDanger(f.Code) {
			dangers = append(dangers, f)
		}
	}
	rest := powerSentence(r, sys)
	if len(dangers) == 0 {
		return rest
	}
	parts := []Part{{Text: upper(dangers[0].Sentence(sys)), Kind: "verdict", Path: string(dangers[0].Where)}}
	switch n := len(dangers) - 1; {
	case n == 1:
		parts = append(parts, Part{Text: " There is one more danger like it."})
	case n > 1:
		parts = append(parts, Part{Text: fmt.Sprintf(" There are %d more dangers like it.", n)})
	}
	rest[0].Text = lower(rest[0].Text)
	return append(append(parts, Part{Text: " Another question is what the breakers do: "}), rest...)
}

// powerSentence says the worst circuit: it trips, it cannot be judged, it may trip, or all hold.
func powerSentence(r power.Report, sys unit.System) []Part {
	if len(r.Circuits) == 0 {
		return []Part{{Text: "No circuit is written yet, so nothing can be said of breakers."}}
	}
	of := func(v circuit.Verdict) (rows []power.Circuit) {
		for _, c := range r.Circuits {
			if len(c.Worst.Loads)+len(c.Worst.NotKnown) > 0 && c.Worst.Verdict == v {
				rows = append(rows, c)
			}
		}
		return rows
	}
	trips, may, unknown := of(circuit.Trips), of(circuit.MayTrip), of(circuit.Unknown)
	switch {
	case len(trips) > 0:
		return append(circuitParts(trips, "trips", "trip", len(r.Circuits)), strain(r, worstChance(trips), sys)...)
	case len(may) > 0:
		parts := append(circuitParts(may, "may trip", "may trip", len(r.Circuits)), strain(r, worstChance(may), sys)...)
		if len(unknown) > 0 {
			parts = append(parts, Part{Text: " " + cannotJudge(unknown)})
		}
		return parts
	case len(unknown) > 0:
		return []Part{{Text: cannotJudge(unknown)}}
	}
	with := " with all that your routine lets run at once."
	if len(unplugged(r)) > 0 {
		if !slices.ContainsFunc(r.Circuits, func(c power.Circuit) bool { return len(c.Worst.Loads) > 0 }) {
			return []Part{{Text: "No circuit can be judged yet."}} // and what is missing is said after it
		}
		with = " with what is known to be plugged in."
	}
	if len(r.Circuits) == 1 {
		return []Part{{Text: "Your one circuit "}, {Text: "holds", Kind: "verdict"}, {Text: with}}
	}
	return []Part{{Text: fmt.Sprintf("All %d circuits ", len(r.Circuits))}, {Text: "hold", Kind: "verdict"}, {Text: with}}
}

// unplugged names what nobody said the outlet of: no circuit is judged with it.
func unplugged(r power.Report) []string {
	var out []string
	for _, f := range r.Findings {
		if f.Code == power.CodeNoOutlet {
			out = append(out, f.Where.Last())
		}
	}
	return out
}

// nowherePart says what nobody said the outlet of.
func nowherePart(r power.Report) []Part {
	const most = 3
	names := unplugged(r)
	switch n := len(names); {
	case n == 0 || len(r.Circuits) == 0:
		return nil
	case n == 1:
		return []Part{{Text: fmt.Sprintf(" Nobody said where the %s is plugged in.", names[0])}}
	case n > most:
		return []Part{{Text: fmt.Sprintf(" Nobody said where the %s and %d more are plugged in.", strings.Join(names[:most], ", the "), n-most)}}
	default:
		return []Part{{Text: fmt.Sprintf(" Nobody said where the %s and the %s are plugged in.", strings.Join(names[:n-1], ", the "), names[n-1])}}
	}
}

// taken says which breaker nobody read: what holds on a guess is said to be one.
func taken(r power.Report, sys unit.System) []Part {
	for _, c := range r.Circuits {
		if c.Assumed {
			return []Part{{Text: " The breaker of circuit "}, circuitPart(c), {Text: fmt.Sprintf(" is not known; %s is taken for it.", unit.Print(c.Rating, sys))}}
		}
	}
	return nil
}

func circuitParts(rows []power.Circuit, one, more string, of int) []Part {
	if len(rows) == 1 {
		return []Part{{Text: "Circuit "}, circuitPart(rows[0]), {Text: " "}, {Text: one, Kind: "verdict"}}
	}
	parts := []Part{{Text: fmt.Sprintf("%d of %d circuits ", len(rows), of)}, {Text: more, Kind: "verdict"}, {Text: ": "}}
	for i, c := range rows {
		switch {
		case i == 0:
		case i == len(rows)-1:
			parts = append(parts, Part{Text: " and "})
		default:
			parts = append(parts, Part{Text: ", "})
		}
		parts = append(parts, circuitPart(c))
	}
	return append(parts, Part{Text: "; worst is "}, circuitPart(worstChance(rows)))
}

func circuitPart(c power.Circuit) Part {
	return Part{Text: c.Name, Kind: "circuit", Path: string(shop.Path("circuits").Join(c.Name))}
}

func worstChance(rows []power.Circuit) power.Circuit {
	worst := rows[0]
	for _, c := range rows[1:] {
		if c.Worst.Chance > worst.Worst.Chance {
			worst = c
		}
	}
	return worst
}

// strain says what strains a circuit: a start, or what a usual cut draws of its rating.
func strain(r power.Report, c power.Circuit, sys unit.System) []Part {
	w := c.Worst
	if w.BecauseStart && w.Starter != "" {
		return []Part{{Text: fmt.Sprintf(" when the %s starts: %s for about %s on a %s breaker.", w.Starter, unit.Print(w.StartTotal, sys),
			unit.Print(w.StartLasts, sys), unit.Print(c.Rating, sys))}}
	}
	parts := append([]Part{{Text: " with "}}, setParts(r, c.WorstSet)...)
	return append(parts, Part{Text: fmt.Sprintf(": %s at a typical cut, %s at full plate, on a %s breaker.", unit.Print(w.Cut, sys), unit.Print(w.Full, sys), unit.Print(c.Rating, sys))})
}

// setParts names the machines of a set, each leading to the floor.
func setParts(r power.Report, name string) []Part {
	i := slices.IndexFunc(r.Sets, func(s power.SetResult) bool { return s.Name == name })
	if i < 0 || len(r.Sets[i].Machines) == 0 {
		return []Part{{Text: name}}
	}
	var parts []Part
	for k, m := range r.Sets[i].Machines {
		switch {
		case k == 0:
		case k == len(r.Sets[i].Machines)-1:
			parts = append(parts, Part{Text: " and "})
		default:
			parts = append(parts, Part{Text: ", "})
		}
		parts = append(parts, Part{Text: m, Kind: "machine", Path: string(shop.MachinePath(m))})
	}
	return parts
}

func cannotJudge(rows []power.Circuit) string {
	for _, c := range rows {
		if len(c.Worst.NotKnown) > 0 {
			return fmt.Sprintf("Circuit %s cannot be judged: what the %s draws is not known.", c.Name, strings.Join(c.Worst.NotKnown, " and the "))
		}
	}
	return fmt.Sprintf("Circuit %s cannot be judged: its rating is not known.", rows[0].Name)
}

// airSentence says what endangers first; else where the dust comes from and the best act.
func airSentence(a roomair.Answer, sys unit.System) []Part {
	for _, f := range a.Findings {
		if f.Code.Severity == shop.Problem {
			return []Part{{Text: upper(f.Sentence(sys)), Kind: "verdict", Path: string(f.Where)}}
		}
	}
	if len(a.Tasks) == 0 {
		return []Part{{Text: "Nothing in this file makes dust in the room, so there is nothing to breathe."}}
	}
	first, second := 0, -1
	for i := range a.Tasks {
		switch {
		case a.Tasks[i].OfDay.Median > a.Tasks[first].OfDay.Median:
			first, second = i, first
		case i != first && (second < 0 || a.Tasks[i].OfDay.Median > a.Tasks[second].OfDay.Median):
			second = i
		}
	}
	more := second >= 0 && a.Tasks[second].OfDay.Median > 0.05
	about := func(i int) string { return "about " + roomair.PrintShare(a.Tasks[i].OfDay.Median) }
	var parts []Part
	switch chance := a.Tasks[first].Most; { // no surer than the draws are
	case chance < 0.5 && more:
		parts = append(append([]Part{{Text: "No one task stands out: "}}, taskParts(a.Tasks[first], false)...), Part{Text: " gives you " + about(first) + " of a day's dust, "})
		parts = append(append(parts, taskParts(a.Tasks[second], false)...), Part{Text: " " + about(second)})
		return append(parts, actParts(a.Options, sys)...)
	case chance < 0.9:
		parts = append(taskParts(a.Tasks[first], true), Part{Text: " likely gives you the most dust, " + about(first) + " of a day's"})
	default:
		parts = append(taskParts(a.Tasks[first], true), Part{Text: " gives you the most dust, " + about(first) + " of a day's"})
	}
	if more {
		parts = append(parts, Part{Text: "; next "})
		parts = append(append(parts, taskParts(a.Tasks[second], false)...), Part{Text: ", " + about(second)})
	}
	return append(parts, actParts(a.Options, sys)...)
}

// actParts names the best act that is advised, and the best that costs nothing where that is another; with ranges, as an
// act is what the owner decides by.
func actParts(options []roomair.Option, sys unit.System) []Part {
	best := func(fits func(roomair.Option) bool) *roomair.Option {
		for i, o := range options {
			if o.Withheld == "" && 1-o.Inhalable.Median >= 0.015 && fits(o) {
				return &options[i]
			}
		}
		return nil
	}
	act := func(o *roomair.Option) []Part {
		return []Part{{Text: lower(o.Remedy.Sentence(sys)), Kind: "act"}, {Text: ", " + roomair.PrintLess(o.Inhalable, "", "today") + "."}}
	}
	most, free := best(func(roomair.Option) bool { return true }), best(func(o roomair.Option) bool { return o.Remedy.Free })
	switch {
	case most == nil:
		return []Part{{Text: ". Nothing known here would make it much less."}}
	case most == free:
		return append([]Part{{Text: ". What helps most is free: "}}, act(most)...)
	case free == nil:
		return append([]Part{{Text: ". What helps most: "}}, act(most)...)
	}
	parts := append([]Part{{Text: ". What helps most: "}}, act(most)...)
	return append(append(parts, Part{Text: " Free: "}), act(free)...)
}

// taskParts names a machine with its article, a chore by its verb.
func taskParts(t roomair.Task, begins bool) []Part {
	if t.Chore {
		name := t.Name
		if begins {
			name = upper(name)
		}
		return []Part{{Text: name, Kind: "task", Path: string(t.Where)}}
	}
	the := "the "
	if begins {
		the = "The "
	}
	return []Part{{Text: the}, {Text: t.Name, Kind: "machine", Path: string(t.Where)}}
}

func upper(s string) string {
	if s == "" {
		return s
	}
	return strings.ToUpper(s[:1]) + s[1:]
}

func lower(s string) string {
	if s == "" {
		return s
	}
	return strings.ToLower(s[:1]) + s[1:]
}
