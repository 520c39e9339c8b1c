package wire

import (
	"strings"
	"testing"

	"winnow/internal/shop"
	"winnow/internal/study/airflow"
	"winnow/internal/study/roomair"
	"winnow/internal/study/verdict"
	"winnow/internal/unit"
)

// The first sentence counts who is short, says what comes next and whether it is free; what endangers somebody comes before it.
func TestNextSentence(t *testing.T) {
	port := func(v airflow.Verdict) verdict.Port { return verdict.Port{Port: &airflow.PortResult{Verdict: v}} }
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
		{"a breaker", verdict.Verdict{Ports: []verdict.Port{port(airflow.Short)}}, []verdict.Step{{Remedy: act, About: verdict.OfPower}}, "One port is short of air, and a breaker may open. Next, and free:"},
		{"a flame", flame, []verdict.Step{{Remedy: act, About: verdict.OfAir}}, "Before anything else:"},
	} {
		t.Run(c.name, func(t *testing.T) {
			if got := Plain(nextOf("", c.v, c.steps, unit.US, nowhere).Sentence); !strings.HasPrefix(got, c.want) || c.steps == nil && got != c.want {
				t.Errorf("said %q, want it to begin %q", got, c.want)
			}
		})
	}
}
