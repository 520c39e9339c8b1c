package power

import (
	"encoding/json"
	"os"
	"testing"

	"winnow/internal/unit"
)

// What is said of times and chances is held to one table, which the page reads too: web/src/core/power.test.ts.
func TestWhatIsSaidOfABreaker(t *testing.T) {
	text, err := os.ReadFile("testdata/say.json")
	if err != nil {
		t.Fatal(err)
	}
	var say struct {
		About []struct {
			S     float64 `json:"s"`
			Reads string  `json:"reads"`
		} `json:"about"`
		Chance []struct {
			P     float64 `json:"p"`
			Reads string  `json:"reads"`
		} `json:"chance"`
		Cost []struct {
			X     float64 `json:"x"`
			Reads string  `json:"reads"`
		} `json:"cost"`
		When []struct {
			Idle, Cut, Full []unit.Second
			At              [3]unit.Ampere // idling, at a typical cut, at full plate
			Of, Start       unit.Ampere
			Curve, Once     string
			Reads           string
		} `json:"when"`
	}
	if err := json.Unmarshal(text, &say); err != nil {
		t.Fatal(err)
	}
	if len(say.About) < 10 || len(say.Chance) < 8 || len(say.When) < 6 {
		t.Fatal("the table is too short to hold anything")
	}
	for _, r := range say.About {
		if got := about(unit.Second(r.S)); got != r.Reads {
			t.Errorf("%g s is said as %q, want %q", r.S, got, r.Reads)
		}
	}
	for _, r := range say.Chance {
		if got := ChanceWords(unit.Fraction(r.P)); got != r.Reads {
			t.Errorf("a chance of %g is said as %q, want %q", r.P, got, r.Reads)
		}
	}
	for _, r := range say.Cost {
		if got := PrintCost(r.X); got != r.Reads {
			t.Errorf("a cost of %g is said as %q, want %q", r.X, got, r.Reads)
		}
	}
	band := func(t []unit.Second) (b Times) {
		if len(t) > 0 {
			b.May = &t[0]
		}
		if len(t) > 1 {
			b.Must = &t[1]
		}
		return b
	}
	for _, r := range say.When {
		got := whenArg(Held{
			AtIdle: band(r.Idle), AtCut: band(r.Cut), AtFull: band(r.Full), Idle: r.At[0], Cut: r.At[1], Full: r.At[2], Rating: r.Of,
			Starter: "saw", StartTotal: r.Start, Curve: r.Curve, Instant: r.Once,
		}).Print(unit.US)
		if got != r.Reads {
			t.Errorf("%v, %v, %v is said as %q, want %q", r.Idle, r.Cut, r.Full, got, r.Reads)
		}
	}
}
