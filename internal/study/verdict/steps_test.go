package verdict_test

import (
	"context"
	"math"
	"os"
	"slices"
	"testing"

	"winnow/internal/shop"
	"winnow/internal/shop/file"
	"winnow/internal/study/airflow"
	"winnow/internal/study/power"
	"winnow/internal/study/roomair"
	"winnow/internal/study/verdict"
	"winnow/internal/unit"
)

func nextOf(t *testing.T, example string) []verdict.Step {
	t.Helper()
	src, err := os.ReadFile("../../../examples/" + example)
	if err != nil {
		t.Fatal(err)
	}
	doc, faults := file.Parse(src)
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	v, err := verdict.Of(context.Background(), verdict.Prepare(doc.Shop(), nil), doc.Try)
	if err != nil {
		t.Fatal(err)
	}
	return verdict.Steps(v)
}

// The mill's lathe gets enough alone, and too little while the band saw runs: an act for it says for which of the two it is.
func TestAStepSaysWhoElseRuns(t *testing.T) {
	for _, step := range nextOf(t, "millrace.yaml") {
		for _, e := range step.Effects {
			if e.Port.Machine == "lathe" && slices.Contains(step.Reaches, e.Port) {
				if !slices.Equal(e.With, []shop.ID{"band saw"}) {
					t.Errorf("%s: with %q, want the band saw", step.What.Name, e.With)
				}
				return
			}
		}
	}
	t.Error("no step is for the lathe")
}

// Three at most, a free one first, one for the purse; whoever is said to be reached is reached.
func TestNextSteps(t *testing.T) {
	for _, example := range []string{"carport.yaml", "garden-shed.yaml", "millrace.yaml"} {
		t.Run(example, func(t *testing.T) {
			steps := nextOf(t, example)
			if len(steps) == 0 || len(steps) > 3 {
				t.Fatalf("%d steps", len(steps))
			}
			if !steps[0].Free {
				t.Errorf("the first costs money: %s", steps[0].What.Name)
			}
			money := 0
			for _, s := range steps {
				if !s.Free {
					money++
				}
				for _, port := range s.Reaches {
					found := false
					for _, e := range s.Effects {
						found = found || e.Port == port && e.After >= e.NeedsAfter
					}
					if !found {
						t.Errorf("%s: %s is said to have enough, and has not", s.What.Name, port)
					}
				}
			}
			if last := steps[len(steps)-1]; last.Free {
				t.Errorf("a free act stands behind one that costs money: %s", last.What.Name)
			}
			if money != 1 {
				t.Errorf("%d of %d steps cost money, want one", money, len(steps))
			}
		})
	}
}

// A breaker that opens stops the work: its free cure comes before any act for air.
func TestATrippingCircuitComesFirst(t *testing.T) {
	first := nextOf(t, "carport.yaml")[0]
	if first.About != verdict.OfPower || first.Because.Code != power.CodeTrips {
		t.Errorf("first is %q of %s, want the cure of the circuit that trips", first.What.Name, first.About)
	}
}

var (
	clean = &shop.Code{Name: "clean", Sentence: "Clean it."}
	swap  = &shop.Code{Name: "swap", Sentence: "Swap {port}."}
)

func port(name string, acts ...shop.Remedy) verdict.Port {
	p := &airflow.PortResult{Port: shop.PortRef{Machine: name}, Verdict: airflow.Short}
	return verdict.Port{Port: p, Remedies: acts}
}

func act(code *shop.Code, free bool, name string, effects ...shop.Effect) shop.Remedy {
	return shop.Remedy{What: code, Free: free, Args: []shop.Arg{shop.Word("port", name)}, Effects: effects}
}

func effect(name string, before, after, needs float64) shop.Effect {
	return shop.Effect{
		Port: shop.PortRef{Machine: name}, Before: unit.M3PerSec(before), After: unit.M3PerSec(after),
		NeedsBefore: unit.M3PerSec(needs), NeedsAfter: unit.M3PerSec(needs),
	}
}

// One act that two ports ask for is one step; what only another port's list says of a port does not count as reaching it, as
// it was worked out in that other's setting.
func TestAnActOfTwoPortsIsOneStep(t *testing.T) {
	v := verdict.Verdict{Ports: []verdict.Port{
		port("saw", act(clean, true, "", effect("saw", 0.1, 0.15, 0.2), effect("planer", 0.1, 0.3, 0.2))),
		port("planer", act(clean, true, "", effect("planer", 0.1, 0.19, 0.2), effect("saw", 0.1, 0.4, 0.2))),
	}}
	steps := verdict.Steps(v)
	if len(steps) != 1 || len(steps[0].Effects) != 2 || len(steps[0].Reaches) != 0 {
		t.Fatalf("%d steps, %+v", len(steps), steps)
	}
	for _, e := range steps[0].Effects {
		if e.After >= e.NeedsAfter {
			t.Errorf("%s: the effect of another's setting won", e.Port)
		}
	}
}

// What helps one by robbing another comes after what robs nobody.
func TestAnActThatRobsAnotherComesLater(t *testing.T) {
	v := verdict.Verdict{Ports: []verdict.Port{port("saw",
		act(swap, false, "a", effect("saw", 0.1, 0.3, 0.2), effect("jointer", 0.02, 0.2, 0.2), effect("planer", 0.19, 0.1, 0.2)),
		act(swap, false, "b", effect("saw", 0.1, 0.2, 0.2)))}}
	if steps := verdict.Steps(v); steps[0].Args[0].Word != "b" {
		t.Errorf("first is %q", steps[0].Args[0].Word)
	}
}

// The port that is worst off gets the act that costs money, though another would reach more.
func TestTheWorstPortIsNotForgotten(t *testing.T) {
	v := verdict.Verdict{Ports: []verdict.Port{
		port("saw", act(swap, false, "saw and planer", effect("saw", 0.1, 0.3, 0.2))),
		port("planer", act(swap, false, "saw and planer", effect("planer", 0.1, 0.3, 0.2))),
		port("band saw", act(swap, false, "band saw", effect("band saw", 0.02, 0.3, 0.2)), act(clean, true, "", effect("band saw", 0.02, 0.03, 0.2))),
	}}
	for i := range v.Ports {
		v.Ports[i].Port.NeedsChips, v.Ports[i].Port.Gets = 0.2, v.Ports[i].Remedies[0].Effects[0].Before
	}
	for _, s := range verdict.Steps(v) {
		if s.Sentence(unit.SI) == "Swap band saw." {
			return
		}
	}
	t.Errorf("no act for the band saw: %+v", verdict.Steps(v))
}

// A port that gets enough asks for nothing.
func TestNoStepForAPortThatGetsEnough(t *testing.T) {
	p := port("saw", act(clean, true, "", effect("saw", 0.3, 0.4, 0.2)))
	p.Port.Verdict = airflow.Works
	if steps := verdict.Steps(verdict.Verdict{Ports: []verdict.Port{p}}); len(steps) != 0 {
		t.Errorf("%d steps", len(steps))
	}
}

// What blows outdoors is one airflow, whoever is asked: the most the fan moves, leaks and a second machine included. An
// opening against fumes that was sized by what one machine's ports get was a third too small.
func TestAirAndPowerBlowTheSameAirOutdoors(t *testing.T) {
	src, err := os.ReadFile("../../../examples/millrace.yaml")
	if err != nil {
		t.Fatal(err)
	}
	doc, faults := file.Parse(src)
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	r := verdict.Prepare(doc.Shop(), nil)
	circuits, err := verdict.Circuits(context.Background(), r.Shop, r.Layout, doc.Try)
	if err != nil || len(circuits.Outdoors) != 1 {
		t.Fatal(err, circuits.Outdoors)
	}
	out := verdict.Air(context.Background(), r.Shop, r.Belief, doc.Try).Outdoors
	if by := circuits.Outdoors[0].Flow; out == nil || math.Abs(float64(out.Flow/by)-1) > 1e-6 {
		t.Fatalf("air says %+v, power %v", out, by)
	}
	if out.Highest <= out.Flow {
		t.Errorf("the upper end %v is not above %v", out.Highest, out.Flow)
	}
	// By hand: A = Q / (0.61·√(2·2 Pa/ρ)) for the upper end, at 1.2 kg/m³ within the 5 % by which the site's air differs.
	if want := float64(out.Highest) / (0.61 * math.Sqrt(4/1.2)); math.Abs(float64(out.Opening)/want-1) > 0.05 {
		t.Errorf("an opening of %v m², want about %.3f", out.Opening, want)
	}
	if !(out.BelowLow < out.Below && out.Below < out.BelowTop) {
		t.Errorf("pulled %v, %v, %v Pa below", out.BelowLow, out.Below, out.BelowTop)
	}
}

// An act that a flame forbids is no step, however much it would spare.
func TestNoStepThatIsWithheld(t *testing.T) {
	air := &roomair.Answer{Options: []roomair.Option{
		{Inhalable: roomair.Span{Median: 0.5}, Withheld: "not beside the flame", Remedy: shop.Remedy{What: clean, Free: true}},
		{Inhalable: roomair.Span{Median: 0.8}, Remedy: shop.Remedy{What: swap, Free: true, Args: []shop.Arg{shop.Word("port", "the broom")}}},
	}}
	steps := verdict.Steps(verdict.Verdict{Air: air})
	if len(steps) != 1 || steps[0].What != swap {
		t.Errorf("%+v", steps)
	}
}
