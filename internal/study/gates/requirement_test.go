package gates

import (
	"strings"
	"testing"

	"winnow/internal/refcase"
)

// Every requirement of testdata/reference/power.yaml is met by a story of this package, or declared in docs/gates.md.
func TestEveryRequirementIsMetOrDeclared(t *testing.T) {
	timeline(t, "tl-gate-jam") // reads the cases
	docs := strings.Join(strings.Fields(string(refcase.Open(t, "docs/gates.md"))), " ")
	tests := ""
	for _, file := range []string{"step_test.go", "prove_test.go"} {
		tests += string(refcase.Open(t, "internal/study/gates/"+file))
	}
	where := map[string]struct{ test, docs string }{
		"req-estop-not-ours":          {docs: "A stop button on a screen is no emergency stop, and is not red on yellow"},
		"req-lockout":                 {docs: "unplug the machine and the collector, and lock them out"},
		"req-auto-start-sign":         {docs: "ISO 7010, W018"},
		"req-rated-switching":         {docs: "Only a contactor or relay rated for the motor"},
		"req-no-safety-function":      {docs: "no function of it reaches a performance level (ISO 13849) or an integrity level (IEC 61508, IEC 62061)"},
		"req-estop-overrides":         {test: "7 emergency stop: off in the same step, gates hold"},
		"req-estop-reset-no-restart":  {test: "8 releasing the emergency stop starts nothing"},
		"req-no-unexpected-start":     {test: "14 a gate that does not arrive is a fault, no start relies on it"},
		"req-stop-priority":           {test: "7 stop beats start"},
		"req-lost-link-stops":         {test: "17 a lost link loses all its gates", docs: "A controller that stands still loses its collector"},
		"req-no-restart-after-outage": {test: "9 power returns while a machine runs"},
		"req-manual-override":         {test: "7 local off is not driven against", docs: "wired too, and works with everything else dead"},
		"req-fail-safe-gate":          {test: "1b the gate left open is told to open when the last is lost"},
		"req-watchdog":                {test: "18 a controller that stands still loses the run contact", docs: "must let go by itself when it is not told again"},
	}
	found := 0
	for id, c := range cases {
		if c["kind"] != "requirement" {
			continue
		}
		found++
		w, ok := where[id]
		if !ok || w.test+w.docs == "" {
			t.Errorf("%s is neither met nor declared", id)
			continue
		}
		if w.test != "" && !strings.Contains(tests, w.test) || w.docs != "" && !strings.Contains(docs, w.docs) {
			t.Errorf("%s: its test or its line in the docs is gone", id)
		}
		must := c["expected"].(map[string]any)["obligation"].(map[string]any)["value"]
		if must == "meet" && w.test == "" || must == "declare" && w.docs == "" {
			t.Errorf("%s: to %v", id, must)
		}
	}
	if found < 10 {
		t.Errorf("only %d requirements found", found)
	}
}
