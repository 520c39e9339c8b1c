package wire

import (
	"fmt"
	"strings"

	"winnow/internal/physics/circuit"
	"winnow/internal/shop"
	"winnow/internal/study/airflow"
	"winnow/internal/study/power"
	"winnow/internal/study/roomair"
	"winnow/internal/study/verdict"
	"winnow/internal/unit"
)

// Next is what to do next in the whole shop, for the page's place of that name.
type Next struct {
	Shop     string    `json:"shop"`
	Sentence []Part    `json:"sentence" doc:"the answer in one sentence"`
	Dangers  []Finding `json:"dangers" doc:"what endangers somebody: before any act"`
	Steps    []Step    `json:"steps" doc:"three at most"`
}

// Step is an act for the whole shop.
type Step struct {
	Remedy
	About   string        `json:"about" enum:"airflow,power,air"`
	Because string        `json:"because,omitempty" doc:"what it cures"`
	Reaches []string      `json:"reaches" doc:"ports that have enough by it, and have not today"`
	Less    *roomair.Span `json:"breathed_of_today,omitempty"`
	Words   string        `json:"breathed_words,omitempty" doc:"how much less is breathed"`
}

// NextOf picks the steps of a verdict and gives them their shape.
func NextOf(name string, v verdict.Verdict, sys unit.System, place func(shop.Path) (line, column int)) Next {
	return whole(nextOf(name, v, verdict.Steps(v), sys, place))
}

func nextOf(name string, v verdict.Verdict, steps []verdict.Step, sys unit.System, place func(shop.Path) (line, column int)) Next {
	out := Next{Shop: name, Dangers: []Finding{}, Steps: []Step{}}
	for i, f := range v.Other {
		if f.Code == roomair.CodeFlame || f.Code == roomair.CodeBesideFlame {
			out.Dangers = append(out.Dangers, Findings(v.Other[i:i+1], sys, place)...)
		}
	}
	for _, s := range steps {
		w := Step{Remedy: Remedies([]shop.Remedy{s.Remedy}, sys, place)[0], About: string(s.About), Reaches: []string{}}
		if s.Because != nil {
			w.Because = s.Because.Sentence(sys)
		}
		for _, p := range s.Reaches {
			w.Reaches = append(w.Reaches, p.String())
		}
		if s.About == verdict.OfAir {
			w.Less, w.Words = &s.Less, "you breathe "+roomair.PrintLess(s.Less, " dust", "today")
		}
		out.Steps = append(out.Steps, w)
	}
	out.Sentence = nextSentence(v, out)
	return out
}

// breakers says which circuit trips, or may, with the words of the place Power.
func breakers(r power.Report) string {
	for _, v := range []circuit.Verdict{circuit.Trips, circuit.MayTrip} {
		var names []string
		for _, c := range r.Circuits {
			if c.Worst.Verdict == v && len(c.Worst.Loads) > 0 {
				names = append(names, c.Name)
			}
		}
		verb := map[circuit.Verdict][2]string{circuit.Trips: {"trips", "trip"}, circuit.MayTrip: {"may trip", "may trip"}}[v]
		switch len(names) {
		case 0:
		case 1:
			return ", and circuit " + names[0] + " " + verb[0]
		default:
			return fmt.Sprintf(", and %d circuits %s", len(names), verb[1])
		}
	}
	return ""
}

// nextSentence says how many are short and what comes next.
func nextSentence(v verdict.Verdict, n Next) []Part {
	if len(n.Dangers) > 0 {
		return []Part{{Text: "Before anything else: " + lower(n.Dangers[0].Sentence), Kind: "verdict", Path: n.Dangers[0].Path}}
	}
	short := 0
	for _, p := range v.Ports {
		if p.Port.Verdict == airflow.Short || p.Port.Verdict == airflow.MuchTooShort {
			short++
		}
	}
	var first string
	switch {
	case len(v.Ports) == 0:
		first = "No machine is joined to a collector or vacuum yet: that comes first."
	case short == 0:
		first = "Every port gets the airflow its chips need."
	case short == 1:
		first = "One port is short of air."
	default:
		first = fmt.Sprintf("%d of %d ports are short of air.", short, len(v.Ports))
	}
	if v.Power != nil {
		first = strings.TrimSuffix(first, ".") + breakers(*v.Power) + "."
	}
	if len(n.Steps) == 0 {
		if len(v.Ports) == 0 {
			return []Part{{Text: first}}
		}
		if short == 0 {
			return []Part{{Text: first + " Nothing has to be done."}}
		}
		return []Part{{Text: first + " Nothing that was tried helps."}}
	}
	next := " Next: "
	if n.Steps[0].Free {
		next = " Next, and free: "
	}
	act, _, _ := strings.Cut(strings.TrimSuffix(lower(n.Steps[0].Sentence), "."), ": ") // what it does stands in the card
	return []Part{{Text: first + next}, {Text: act, Kind: "act"}, {Text: "."}}
}
