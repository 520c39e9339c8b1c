package wire

import (
	"fmt"
	"slices"

	"winnow/internal/shop"
	"winnow/internal/study/gates"
	"winnow/internal/unit"
)

// Chart is the gate chart, for `winnow gates chart --json` and the page's place Gates.
type Chart struct {
	Shop     string `json:"shop"`
	Sentence []Part `json:"sentence" doc:"the answer in one sentence"`
	gates.Chart
	Lines    []ChartLine `json:"lines"`
	Findings []Finding   `json:"findings"`
}

// ChartLine is one line of the chart.
type ChartLine struct {
	gates.Line
	Starts string `json:"starts" doc:"how its extraction starts: by hand, first; or by itself"`
}

// ChartOf turns the study's chart into its shape.
func ChartOf(name string, c gates.Chart, sys unit.System, place func(shop.Path) (line, column int)) Chart {
	out := Chart{Shop: name, Sentence: chartSentence(c, sys), Chart: c, Lines: []ChartLine{}, Findings: Findings(c.Findings, sys, place)}
	for _, l := range c.Lines {
		out.Lines = append(out.Lines, ChartLine{Line: l, Starts: l.Starts.String()})
	}
	return whole(out)
}

// chartSentence says what moves by itself, what a person does, and the longest wait.
func chartSentence(c gates.Chart, sys unit.System) []Part {
	var machines, own, half []shop.ID
	gated := false
	longest := 0
	for i, l := range c.Lines {
		if !slices.Contains(machines, l.Machine) {
			machines = append(machines, l.Machine)
			switch {
			case l.Starts != gates.ByItself:
			case slices.ContainsFunc(l.Open, func(g shop.ID) bool { return slices.Contains(l.ByHand, g) }):
				half = append(half, l.Machine)
			default:
				own = append(own, l.Machine)
			}
		}
		gated = gated || len(l.Open)+len(l.Shut) > 0
		if l.Wait > c.Lines[longest].Wait {
			longest = i
		}
	}
	if len(c.Lines) == 0 {
		return []Part{{Text: "No machine is joined to a collector or vacuum yet, so there are no gates to work."}}
	}
	first := whoWorks(len(machines), len(own), len(half), gated)
	l := c.Lines[longest]
	if l.Starts != gates.ByItself || l.Wait <= gates.SlowStart {
		return []Part{{Text: first}}
	}
	return []Part{{Text: first + " The air is there "}, {Text: unit.Print(l.Wait, sys), Kind: "verdict"}, {Text: " after the "},
		{Text: l.Machine, Kind: "machine", Path: string(shop.MachinePath(l.Machine))}, {Text: ": wait for the light before the first cut."}}
}

// whoWorks says what moves by itself and what a person does.
func whoWorks(all, own, half int, gated bool) string {
	switch {
	case own+half == 0 && !gated:
		return "No gates here: start the extraction first, then the machine."
	case own+half == 0:
		return "Every gate and start here is worked by hand: open the gate, start the extraction, then the machine."
	case own == all && all == 1:
		return "Your one machine starts its extraction and moves its gates by itself."
	case own == all:
		return fmt.Sprintf("All %d machines start their extraction and move their gates by themselves.", all)
	case half == all:
		return "The extraction starts by itself here; the gates you move by hand."
	}
	text := fmt.Sprintf("%d of %d machines start their extraction and move their gates by themselves", own, all)
	if own == 0 {
		text = fmt.Sprintf("%d of %d machines start their extraction by themselves", half, all)
	} else if half > 0 {
		text += fmt.Sprintf(", %d more only start it", half)
	}
	if own+half < all || half > 0 {
		text += "; the rest you work by hand"
	}
	return text + "."
}
