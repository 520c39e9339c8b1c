package cli

import (
	"bytes"
	"encoding/json"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// siEndings are how a number's key says its SI unit; share, number and the plain names below have none.
var siEndings = []string{"_m", "_m2", "_m3", "_m3s", "_ms", "_pa", "_s", "_per_s", "_kgm3", "_k", "_a", "_v", "_w", "_j", "_rad", "_share", "_number"}

// plainNumbers are counts, chances, ratios and places in a text. chance_ begins a chance; low, median and high are ranges of what
// stands above them.
var plainNumbers = []string{"line", "column", "left", "of", "steps", "unsolved", "darcy", "share", "loss_coefficient", "low", "median",
	"high", "in_si", "days_a_week", "cost_a_week", "cost_a_week_low", "cost_a_week_high", "cords_too_short", "cost_a_week_at_20_k"}

// Whoever reads --json must never guess a unit: every key of a number names it.
func TestEveryNumberInJSONNamesItsUnit(t *testing.T) {
	examples := filepath.Join("..", "..", "..", "examples")
	runs := [][]string{{"kinds"}, {"units"}}
	for _, shop := range []string{"carport.yaml", "garden-shed.yaml", "millrace.yaml"} {
		file := filepath.Join(examples, shop)
		runs = append(runs, []string{"airflow", file}, []string{"air", file}, []string{"power", file}, []string{"gates", "chart", file},
			[]string{"explain", "planer", file})
	}
	runs = append(runs, []string{"check", filepath.Join(examples, "carport.yaml")})
	numbers := 0
	for _, run := range runs {
		var out, errs bytes.Buffer
		if code := Run(append(run, "--json"), strings.NewReader(""), &out, &errs); code > exitFailing {
			t.Fatalf("winnow %q: exit code %d\n%s", run, code, errs.String())
		}
		var answer any
		if err := json.Unmarshal(out.Bytes(), &answer); err != nil {
			t.Fatalf("winnow %q: not JSON: %v", run, err)
		}
		eachNumber("", answer, func(key string) {
			numbers++
			ends := slices.ContainsFunc(siEndings, func(e string) bool { return strings.HasSuffix(key, e) })
			if !ends && !slices.Contains(plainNumbers, key) && !strings.HasPrefix(key, "chance_") {
				t.Errorf("winnow %q: the number %q names no unit", run, key)
			}
		})
	}
	if numbers < 1000 {
		t.Errorf("only %d numbers found: the search is broken", numbers)
	}
}

func eachNumber(key string, v any, found func(key string)) {
	switch v := v.(type) {
	case map[string]any:
		for k, below := range v {
			eachNumber(k, below, found)
		}
	case []any:
		for _, below := range v {
			eachNumber(key, below, found)
		}
	case float64:
		found(key)
	}
}
