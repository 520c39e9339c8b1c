package wire

import (
	"strings"
	"testing"

	"winnow/internal/physics/circuit"
	"winnow/internal/shop"
	"winnow/internal/study/airflow"
	"winnow/internal/study/power"
	"winnow/internal/study/roomair"
	"winnow/internal/study/verdict"
	"winnow/internal/unit"
)

// The first sentence counts who is short, says what comes next and whether it is free; what endangers somebody comes before it.
func TestNextSentence(t *testing.T) {
	port := func(v airflow.Verdict) verdict.Port { return verdict.Port{Port: &airflow.PortResult{Verdict: v}} }
	held := func(vs ...circuit.Verdict) *power.Report {
		var r power.Report
		for i, v := range vs {
			r.Circuits = append(r.Circuits, power.Circuit{Name: string(rune('A' + i)), Worst: power.Held{Verdict: v, Loads: []power.Share{{}}}})
		}
		return &r
	}
	act := shop.Remedy{What: &shop.Code{Sentence: "Clean the filter: it gains much."}, Free: true}
	dear := shop.Remedy{What: &shop.Code{Sentence: "A bigger fan."}}
	flame := verdict.Verdict{Other: []shop.Finding{{Code: roomair.CodeFlame}}}
	for _, c := range []struct {
		name  string
		v     verdict.Verdict
		steps []verdict.Step
		want  string
	}{
		{"nothing joined", verdict.Verdict{}, nil, "No machine is joined to a collector or vacuum yet: that comes first."},
		{"all well", verdict.Verdict{Ports: []verdict.Port{port(airflow.Works)}}, nil, "Every port gets the airflow its chips need. Nothing has to be done."},
		{"short, nothing helps", verdict.Verdict{Ports: []verdict.Port{port(airflow.Short)}}, nil, "One port is short of air. Nothing that was tried helps."},
		{"free", verdict.Verdict{Ports: []verdict.Port{port(airflow.Short), port(airflow.MuchTooShort), port(airflow.Just)}}, []verdict.Step{{Remedy: act, About: verdict.OfAirflow}},
			"2 of 3 ports are short of air. Next, and free: clean the filter."},
		{"money", verdict.Verdict{Ports: []verdict.Port{port(airflow.Short)}}, []verdict.Step{{Remedy: dear, About: verdict.OfAirflow}}, "One port is short of air. Next: a bigger fan."},
		{"a breaker", verdict.Verdict{Ports: []verdict.Port{port(airflow.Short)}, Power: held(circuit.MayTrip, circuit.Trips, circuit.Holds)}, []verdict.Step{{Remedy: act, About: verdict.OfPower}},
			"One port is short of air, and circuit B trips. Next, and free:"},
		{"breakers that may", verdict.Verdict{Ports: []verdict.Port{port(airflow.Works)}, Power: held(circuit.MayTrip, circuit.MayTrip)}, []verdict.Step{{Remedy: act, About: verdict.OfAir}},
			"Every port gets the airflow its chips need, and 2 circuits may trip. Next, and free:"},
		{"breakers that hold", verdict.Verdict{Ports: []verdict.Port{port(airflow.Works)}, Power: held(circuit.Holds)}, nil, "Every port gets the airflow its chips need. Nothing has to be done."},
		{"a flame", flame, []verdict.Step{{Remedy: act, About: verdict.OfAir}}, "Before anything else:"},
	} {
		t.Run(c.name, func(t *testing.T) {
			if got := Plain(nextOf("", c.v, c.steps, unit.US, nowhere).Sentence); !strings.HasPrefix(got, c.want) || c.steps == nil && got != c.want {
				t.Errorf("said %q, want it to begin %q", got, c.want)
			}
		})
	}
}
