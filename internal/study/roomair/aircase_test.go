package roomair

import (
	"math"
	"os"
	"sync"
	"testing"

	"go.yaml.in/yaml/v4"
)

// airCase is one published check value of testdata/reference/air.yaml.
type airCase struct {
	ID, Topic, Kind string
	Given           map[string]any
	Expected        map[string]any
	Tolerance       map[string]any
	Verified        string
	Source          struct {
		By, Title string
	}
}

var airCases = sync.OnceValues(func() (map[string]airCase, error) {
	src, err := os.ReadFile("../../../testdata/reference/air.yaml")
	if err != nil {
		return nil, err
	}
	var file struct{ Cases []airCase }
	if err := yaml.Unmarshal(src, &file); err != nil {
		return nil, err
	}
	all := map[string]airCase{}
	for _, c := range file.Cases {
		all[c.ID] = c
	}
	return all, nil
})

func caseOf(t testing.TB, id string) airCase {
	t.Helper()
	all, err := airCases()
	if err != nil {
		t.Fatal(err)
	}
	c, ok := all[id]
	if !ok {
		t.Fatalf("air.yaml has no case %s", id)
	}
	return c
}

func num(t testing.TB, m map[string]any, key string) float64 {
	t.Helper()
	switch x := m[key].(type) {
	case int:
		return float64(x)
	case float64:
		return x
	}
	t.Fatalf("%q is %v, no number", key, m[key])
	return 0
}

// near compares with a case's own tolerance. Cases recalled from memory only warn.
func (c airCase) near(t testing.TB, what string, got, want float64) {
	t.Helper()
	allowed := 0.0
	if c.Tolerance["rel"] != nil {
		allowed = num(t, c.Tolerance, "rel") * math.Abs(want)
	}
	if c.Tolerance["abs"] != nil {
		allowed = math.Max(allowed, num(t, c.Tolerance, "abs"))
	}
	if math.Abs(got-want) <= allowed+1e-12*math.Abs(want) {
		return
	}
	c.say(t, "%s: %s is %.6g, %s gives %.6g ± %.3g", c.ID, what, got, c.Source.By, want, allowed)
}

func (c airCase) say(t testing.TB, format string, args ...any) {
	t.Helper()
	if c.Verified == "memory" || c.Verified == "common-practice" {
		t.Logf("question, not a bug: "+format, args...)
		return
	}
	t.Errorf(format, args...)
}

// rows are the rows of a table case as numbers; NaN where the table holds no number.
func (c airCase) rows(t testing.TB) [][]float64 {
	t.Helper()
	var out [][]float64
	for _, r := range c.Expected["rows"].([]any) {
		var row []float64
		for _, x := range r.([]any) {
			switch x := x.(type) {
			case int:
				row = append(row, float64(x))
			case float64:
				row = append(row, x)
			default:
				row = append(row, math.NaN())
			}
		}
		out = append(out, row)
	}
	if len(out) == 0 {
		t.Fatalf("%s has no rows", c.ID)
	}
	return out
}

// words are the first column of a table case.
func (c airCase) words(t testing.TB) []string {
	t.Helper()
	var out []string
	for _, r := range c.Expected["rows"].([]any) {
		s, ok := r.([]any)[0].(string)
		if !ok {
			t.Fatalf("%s: the first column is not words", c.ID)
		}
		out = append(out, s)
	}
	return out
}
