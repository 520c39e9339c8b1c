// Package refcase reads the published reference cases of testdata/reference/airflow.yaml and air.yaml for tests, with their tolerances.
//
// It refuses to know how a case is worked: a test asks for a case, works it, and checks a number under its name. A case that was
// recalled from memory, or whose source is little trusted, only warns. Start reading at Airflow, and at Air.
package refcase

import (
	"bytes"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"sync"
	"testing"

	"go.yaml.in/yaml/v4"
)

// Case is one published case.
type Case struct {
	ID       string         `yaml:"id"`
	Topic    string         `yaml:"topic"`
	Title    string         `yaml:"title"`
	Given    map[string]any `yaml:"given"`
	Expected any            `yaml:"expected"`
	Verified string         `yaml:"verified"`
	Trust    string         `yaml:"trust"`
	Source   struct {
		Organisation string `yaml:"organisation"`
		Title        string `yaml:"title"`
	} `yaml:"source"`
}

// Soft says whether the case only warns: recalled, trade knowledge, or from a source of low trust.
func (c *Case) Soft() bool {
	return c.Verified == "memory" || c.Verified == "common-practice" || c.Trust == "low"
}

var (
	once  sync.Once
	cases map[string]*Case
	order []string
	fault error
)

func read() {
	path, err := find("testdata/reference/airflow.yaml")
	if err != nil {
		fault = err
		return
	}
	text, err := os.ReadFile(path)
	if err != nil {
		fault = err
		return
	}
	var file struct {
		Cases []*Case `yaml:"cases"`
	}
	// a lone dash in a flow list is an empty cell there; strict readers want it quoted
	text = bytes.ReplaceAll(text, []byte(", -,"), []byte(`, "-",`))
	if err := yaml.Load(text, &file); err != nil {
		fault = err
		return
	}
	cases = map[string]*Case{}
	for _, c := range file.Cases {
		cases[c.ID] = c
		order = append(order, c.ID)
	}
}

// find walks up from the package under test to the folder that holds the path.
func find(path string) (string, error) {
	dir, err := os.Getwd()
	if err != nil {
		return "", err
	}
	for {
		p := filepath.Join(dir, path)
		if _, err := os.Stat(p); err == nil {
			return p, nil
		}
		up := filepath.Dir(dir)
		if up == dir {
			return "", fmt.Errorf("%s is in no folder above", path)
		}
		dir = up
	}
}

// All returns every case in the file's order.
func All(t testing.TB) []*Case {
	t.Helper()
	once.Do(read)
	if fault != nil {
		t.Fatal(fault)
	}
	all := make([]*Case, len(order))
	for i, id := range order {
		all[i] = cases[id]
	}
	return all
}

// Airflow returns the case with this id; a test that asks for none that exists fails.
func Airflow(t testing.TB, id string) *Case {
	t.Helper()
	All(t)
	c, ok := cases[id]
	if !ok {
		t.Fatalf("no reference case %s", id)
	}
	return c
}

// Num returns a given input by name: a number, or a map with a value.
func (c *Case) Num(t testing.TB, name string) float64 {
	t.Helper()
	v, ok := c.Given[name]
	if !ok {
		t.Fatalf("%s gives no %q", c.ID, name)
	}
	if m, ok := v.(map[string]any); ok {
		v = m["value"]
	}
	return number(t, c.ID+" "+name, v)
}

// Want is one expected number with its tolerance.
type Want struct {
	Value, Rel, Abs float64
	Unit            string
}

// Want returns the expected entry of this name from a list of them.
func (c *Case) Want(t testing.TB, name string) Want {
	t.Helper()
	return c.want(t, c.Expected, name)
}

func (c *Case) want(t testing.TB, list any, name string) Want {
	t.Helper()
	entries, ok := list.([]any)
	if !ok {
		t.Fatalf("%s has no list of expected values", c.ID)
	}
	for _, e := range entries {
		m := e.(map[string]any)
		if m["name"] != name {
			continue
		}
		w := Want{Value: number(t, c.ID+" "+name, m["value"])}
		if v, ok := m["tol_rel"]; ok {
			w.Rel = number(t, c.ID, v)
		}
		if v, ok := m["tol_abs"]; ok {
			w.Abs = number(t, c.ID, v)
		}
		w.Unit, _ = m["unit"].(string)
		return w
	}
	t.Fatalf("%s expects no %q", c.ID, name)
	return Want{}
}

// Check compares a number with the expected entry of that name, in the entry's unit and to its tolerance.
func (c *Case) Check(t testing.TB, name string, got float64) {
	t.Helper()
	w := c.Want(t, name)
	c.Near(t, name, got, w.Value, w.Rel, w.Abs)
}

// CheckIn does the same for a list of entries inside the expected mapping ("ratios").
func (c *Case) CheckIn(t testing.TB, list, name string, got float64) {
	t.Helper()
	w := c.want(t, c.Map(t)[list], name)
	if w.Rel == 0 && w.Abs == 0 {
		w.Rel = c.Tol(t, "tol_rel")
	}
	c.Near(t, name, got, w.Value, w.Rel, w.Abs)
}

// Near compares got with want. The tolerances add up; a soft case warns, any other fails.
func (c *Case) Near(t testing.TB, what string, got, want, rel, abs float64) {
	t.Helper()
	slack := rel*math.Abs(want) + abs + 1e-12*math.Abs(want)
	if math.Abs(got-want) <= slack {
		return
	}
	c.Report(t, "%s: got %.6g, want %.6g ± %.3g (%s, %s)", what, got, want, slack, c.Source.Organisation, c.Source.Title)
}

// Report fails the test, or warns when the case is soft.
func (c *Case) Report(t testing.TB, format string, args ...any) {
	t.Helper()
	text := c.ID + ": " + fmt.Sprintf(format, args...)
	if c.Soft() {
		t.Logf("warning, %s case: %s", c.Verified, text)
		return
	}
	t.Error(text)
}

// Map returns the expected values as a mapping.
func (c *Case) Map(t testing.TB) map[string]any {
	t.Helper()
	m, ok := c.Expected.(map[string]any)
	if !ok {
		t.Fatalf("%s has no mapping of expected values", c.ID)
	}
	return m
}

// Tol returns a tolerance written beside the tables ("tol_rel", "tol_abs", "tol_abs_Pa").
func (c *Case) Tol(t testing.TB, key string) float64 {
	t.Helper()
	return number(t, c.ID+" "+key, c.Map(t)[key])
}

// Range returns an expected {min, max}.
func (c *Case) Range(t testing.TB, name string) (low, high float64) {
	t.Helper()
	m, ok := c.Map(t)[name].(map[string]any)
	if !ok {
		t.Fatalf("%s expects no range %q", c.ID, name)
	}
	return number(t, c.ID, m["min"]), number(t, c.ID, m["max"])
}

// Table is a table of a case.
type Table struct {
	id      string
	Columns []string
	Rows    [][]any
}

// Table returns an expected table by name.
func (c *Case) Table(t testing.TB, name string) Table {
	t.Helper()
	return c.table(t, c.Map(t)[name], name)
}

// GivenTable returns a given table by name.
func (c *Case) GivenTable(t testing.TB, name string) Table {
	t.Helper()
	return c.table(t, c.Given[name], name)
}

func (c *Case) table(t testing.TB, v any, name string) Table {
	t.Helper()
	m, ok := v.(map[string]any)
	if !ok {
		t.Fatalf("%s has no table %q", c.ID, name)
	}
	out := Table{id: c.ID + " " + name}
	for _, col := range m["columns"].([]any) {
		out.Columns = append(out.Columns, fmt.Sprint(col))
	}
	for _, row := range m["rows"].([]any) {
		out.Rows = append(out.Rows, row.([]any))
	}
	if len(out.Rows) == 0 {
		t.Fatalf("%s is empty", out.id)
	}
	return out
}

func (b Table) column(t testing.TB, name string) int {
	t.Helper()
	for i, col := range b.Columns {
		if col == name {
			return i
		}
	}
	t.Fatalf("%s has no column %q", b.id, name)
	return 0
}

// Num returns the number in a row and column.
func (b Table) Num(t testing.TB, row int, column string) float64 {
	t.Helper()
	return number(t, b.id, b.Rows[row][b.column(t, column)])
}

// Text returns the text in a row and column.
func (b Table) Text(t testing.TB, row int, column string) string {
	t.Helper()
	return fmt.Sprint(b.Rows[row][b.column(t, column)])
}

// Empty says whether the table gives nothing there.
func (b Table) Empty(t testing.TB, row int, column string) bool {
	t.Helper()
	return b.Rows[row][b.column(t, column)] == nil
}

func number(t testing.TB, what string, v any) float64 {
	t.Helper()
	switch x := v.(type) {
	case float64:
		return x
	case int:
		return float64(x)
	}
	t.Fatalf("%s: %v is not a number", what, v)
	return 0
}

// Open returns the content of a file of the repository, found from the package under test upwards.
func Open(t testing.TB, path string) []byte {
	t.Helper()
	p, err := find(path)
	if err != nil {
		t.Fatal(err)
	}
	b, err := os.ReadFile(p)
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// Dir returns where a folder of the repository lies, found from the package under test upwards.
func Dir(t testing.TB, path string) string {
	t.Helper()
	p, err := find(path)
	if err != nil {
		t.Fatal(err)
	}
	return p
}
