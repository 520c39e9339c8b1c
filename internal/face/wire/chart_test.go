package wire

import (
	"strings"
	"testing"

	"winnow/internal/study/gates"
	"winnow/internal/unit"
)

// The first sentence of Gates says who does what, and never that something starts by itself that a person starts.
func TestChartSentence(t *testing.T) {
	hand := gates.Line{Machine: "saw", System: "collector", Open: []string{"saw gate"}, ByHand: []string{"saw gate"}, Wait: 3}
	own := gates.Line{Machine: "planer", System: "collector", Open: []string{"planer gate"}, Starts: gates.ByItself, Wait: 7}
	half := gates.Line{Machine: "jointer", System: "collector", Open: []string{"jointer gate"}, ByHand: []string{"jointer gate"}, Starts: gates.ByItself, Wait: 2}
	for _, c := range []struct {
		name  string
		lines []gates.Line
		want  string
	}{
		{"nothing joined", nil, "No machine is joined"},
		{"no gates", []gates.Line{{Machine: "saw", System: "vacuum"}}, "No gates here"},
		{"by hand", []gates.Line{hand}, "Every gate and start here is worked by hand"},
		{"all by themselves", []gates.Line{own}, "Your one machine starts its extraction and moves its gates by itself. The air is there 7 s after the planer"},
		{"mixed", []gates.Line{hand, own}, "1 of 2 machines start their extraction and move their gates by themselves; the rest you work by hand. The air is there 7 s after the planer"},
		{"starts by itself, gate by hand", []gates.Line{half}, "The extraction starts by itself here; the gates you move by hand."},
		{"all three", []gates.Line{hand, own, half}, "1 of 3 machines start their extraction and move their gates by themselves, 1 more only start it; the rest you work by hand."},
	} {
		t.Run(c.name, func(t *testing.T) {
			if got := Plain(ChartOf("", gates.Chart{Lines: c.lines}, unit.US, nowhere).Sentence); !strings.HasPrefix(got, c.want) {
				t.Errorf("said %q, want it to begin %q", got, c.want)
			}
		})
	}
}
