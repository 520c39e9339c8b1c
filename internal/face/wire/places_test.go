package wire

import (
	"context"
	"maps"
	"os"
	"strings"
	"testing"

	"winnow/internal/shop"
	"winnow/internal/shop/file"
	"winnow/internal/shop/plan"
	"winnow/internal/shop/typical"
	"winnow/internal/study/verdict"
	"winnow/internal/unit"
)

func nowhere(shop.Path) (int, int) { return 0, 0 }

func powerOf(t *testing.T, text string) Power {
	t.Helper()
	doc, faults := file.Parse([]byte(text))
	if len(faults) > 0 {
		t.Fatalf("%v", faults)
	}
	filled, _ := typical.Fill(doc.Shop())
	layout, _ := plan.Of(filled, "")
	r, err := verdict.Circuits(context.Background(), filled, layout, doc.Try)
	if err != nil {
		t.Fatal(err)
	}
	return PowerOf("", r, unit.US, nowhere)
}

// Circuits and machines of the sentence lead to where they are.
func TestPowerSentenceLinks(t *testing.T) {
	carport, err := os.ReadFile("../../../examples/carport.yaml")
	if err != nil {
		t.Fatal(err)
	}
	links := map[string]string{}
	for _, p := range powerOf(t, string(carport)).Sentence {
		if p.Path != "" {
			links[p.Text] = p.Kind + " " + p.Path
		}
	}
	want := map[string]string{"A": "circuit circuits/A", "mitre saw": "machine machines/mitre saw", "sander": "machine machines/sander"}
	if !maps.Equal(links, want) {
		t.Errorf("links %v, want %v", links, want)
	}
}

// The first sentence of Power is the worst there is, and what cannot be judged is never said to hold.
func TestPowerSentence(t *testing.T) {
	const one = "winnow: 1\nmachines:\n  saw:\n    kind: table saw\n    motor: {current: 11 A, voltage: 120 V}\n    plug: {outlet: bench}\ncircuits:\n  A:\n    breaker: 15 A\n    voltage: 120 V\n    outlets:\n      bench: {}\n"
	const two = "winnow: 1\nmachines:\n  saw: {kind: table saw, motor: {current: 27 A, voltage: 120 V}, plug: {outlet: bench}}\n  planer: {kind: planer, motor: {current: 60 A, voltage: 120 V}, plug: {outlet: wall}}\n" +
		"circuits:\n  A: {breaker: 15 A, voltage: 120 V, outlets: {bench: {}}}\n  B: {breaker: 20 A, voltage: 120 V, outlets: {wall: {}}}\n"
	carport, err := os.ReadFile("../../../examples/carport.yaml")
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct{ name, text, want string }{
		{"no circuits", "winnow: 1\nmachines:\n  saw: {kind: table saw}\n", "No circuit is written yet"},
		{"one that holds", one, "Your one circuit holds"},
		{"an overloaded one", strings.Replace(one, "current: 11 A", "current: 34 A", 1), "Circuit A trips with saw: "},
		{"one without a rating", strings.Replace(one, "breaker: 15 A", "breaker: unknown", 1), "Your one circuit holds with all that your routine lets run at once. The breaker of circuit A is not known; 15 A is taken for it."},
		{"one with nothing plugged in", strings.Replace(one, "    plug: {outlet: bench}\n", "", 1), "No circuit can be judged yet. Nobody said where the saw is plugged in."},
		{
			"one with a machine that is plugged in nowhere", strings.Replace(one, "machines:\n", "machines:\n  lathe: {kind: lathe, motor: {current: 8 A, voltage: 120 V}}\n", 1),
			"Your one circuit holds with what is known to be plugged in. Nobody said where the lathe is plugged in.",
		},
		{
			"a wire that its breaker does not protect", strings.Replace(one, "breaker: 15 A", "breaker: 60 A\n    wire: 12 AWG", 1),
			"Circuit A: a breaker of 60 A does not protect 12 AWG copper, which allows 20 A at most. The wire can overheat without a trip. Another question is what the breakers do: your one circuit holds",
		},
		{
			"a danger before a nuisance", strings.Replace(strings.Replace(one, "breaker: 15 A", "breaker: 20 A\n    wire: 14 AWG", 1), "current: 11 A", "current: 40 A", 1),
			"Circuit A: a breaker of 20 A does not protect 14 AWG copper, which allows 15 A at most. The wire can overheat without a trip. Another question is what the breakers do: circuit A trips",
		},
		{
			"a tool for another voltage", strings.Replace(one, "voltage: 120 V}", "voltage: 240 V}", 1),
			"The saw is made for 240 V and plugged into circuit A of 120 V.",
		},
		{"two that trip, the worse one second", two, "2 of 2 circuits trip: A and B; worst is B with planer: "},
		{"the carport", string(carport), "Circuit A trips with mitre saw and sander: 27.2 A at a typical cut"},
	} {
		t.Run(c.name, func(t *testing.T) {
			if got := Plain(powerOf(t, c.text).Sentence); !strings.HasPrefix(got, c.want) {
				t.Errorf("said %q, want it to begin %q", got, c.want)
			}
		})
	}
}
