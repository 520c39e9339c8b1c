package refcase

import (
	"math"
	"os"
	"sync"
	"testing"

	"go.yaml.in/yaml/v4"
)

// AirCase is one published check value of testdata/reference/air.yaml.
type AirCase struct {
	ID, Topic, Kind string
	Given           map[string]any
	Expected        map[string]any
	Tolerance       map[string]any
	Verified        string
	Source          struct {
		By, Title string
	}
}

var airCases = sync.OnceValues(func() (map[string]AirCase, error) {
	path, err := find("testdata/reference/air.yaml")
	if err != nil {
		return nil, err
	}
	src, err := os.ReadFile(path)
	if err != nil {
		return nil, err
	}
	var file struct{ Cases []AirCase }
	if err := yaml.Unmarshal(src, &file); err != nil {
		return nil, err
	}
	all := map[string]AirCase{}
	for _, c := range file.Cases {
		all[c.ID] = c
	}
	return all, nil
})

// AllAir returns every case of testdata/reference/air.yaml by its id.
func AllAir(t testing.TB) map[string]AirCase {
	t.Helper()
	all, err := airCases()
	if err != nil {
		t.Fatal(err)
	}
	return all
}

// Air returns a case of testdata/reference/air.yaml by its id.
func Air(t testing.TB, id string) AirCase {
	t.Helper()
	c, ok := AllAir(t)[id]
	if !ok {
		t.Fatalf("air.yaml has no case %s", id)
	}
	return c
}

// AirNum returns the number under a key of a case's given or expected values.
func AirNum(t testing.TB, m map[string]any, key string) float64 {
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

// Near compares with a case's own tolerance. Cases recalled from memory only warn.
func (c AirCase) Near(t testing.TB, what string, got, want float64) {
	t.Helper()
	allowed := 0.0
	if c.Tolerance["rel"] != nil {
		allowed = AirNum(t, c.Tolerance, "rel") * math.Abs(want)
	}
	if c.Tolerance["abs"] != nil {
		allowed = math.Max(allowed, AirNum(t, c.Tolerance, "abs"))
	}
	if math.Abs(got-want) <= allowed+1e-12*math.Abs(want) {
		return
	}
	c.Say(t, "%s: %s is %.6g, %s gives %.6g ± %.3g", c.ID, what, got, c.Source.By, want, allowed)
}

// Say reports a case that is not met: as an error, or as a question where the case was recalled from memory.
func (c AirCase) Say(t testing.TB, format string, args ...any) {
	t.Helper()
	if c.Verified == "memory" || c.Verified == "common-practice" {
		t.Logf("question, not a bug: "+format, args...)
		return
	}
	t.Errorf(format, args...)
}

// Rows are the rows of a table case as numbers; NaN where the table holds no number.
func (c AirCase) Rows(t testing.TB) [][]float64 {
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

// Words are the first column of a table case.
func (c AirCase) Words(t testing.TB) []string {
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
