package airflow

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"winnow/internal/shop"
	"winnow/internal/shop/file"
	"winnow/internal/shop/plan"
	"winnow/internal/shop/typical"
	"winnow/internal/study/doubt"
	"winnow/internal/unit"
)

const cfm = 0.3048 * 0.3048 * 0.3048 / 60

// ready reads a shop and prepares it as the commands do.
func ready(t testing.TB, text string) (*shop.Shop, *plan.Layout) {
	t.Helper()
	doc, faults := file.Parse([]byte(text))
	for _, f := range faults {
		t.Errorf("the test's own shop is faulty: %s", f.Text("shop.yaml"))
	}
	if t.Failed() {
		t.FailNow()
	}
	s, _ := typical.Fill(doc.Shop())
	l, _ := plan.Of(s, "")
	return s, l
}

// example reads one of the shops in examples.
func example(t testing.TB, name string) (*shop.Shop, *plan.Layout) {
	t.Helper()
	src, err := os.ReadFile(filepath.Join("..", "..", "..", "examples", name))
	if err != nil {
		t.Fatal(err)
	}
	return ready(t, string(src))
}

// study solves settings without ranges and insists on an answer.
func study(t testing.TB, s *shop.Shop, l *plan.Layout, sets ...Setting) []Result {
	t.Helper()
	return studied(t, s, l, nil, sets...)
}

func studied(t testing.TB, s *shop.Shop, l *plan.Layout, b *doubt.Belief, sets ...Setting) []Result {
	t.Helper()
	rs, findings, err := Study(context.Background(), s, l, b, sets)
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range findings {
		t.Errorf("%s: %s", f.Where, f.Sentence(unit.US))
	}
	for _, r := range rs {
		if !r.Solved {
			t.Errorf("%s with %v: %s", r.System, r.Setting.Running, r.Status)
		}
	}
	if t.Failed() {
		t.FailNow()
	}
	return rs
}

func alone(machine shop.ID, filter FilterState) Setting {
	return Setting{Running: []Running{{Machine: machine}}, Filter: filter}
}

// gets is what a port gets in cfm.
func gets(t testing.TB, rs []Result, port string) float64 {
	t.Helper()
	for _, r := range rs {
		for _, p := range r.Ports {
			if p.Port.String() == port {
				return float64(p.Gets) / cfm
			}
		}
	}
	t.Fatalf("no port %s in %d results", port, len(rs))
	return 0
}

// hoseShop is one collector, one hose, one planer: the everyday question.
func hoseShop(fan, hose string) string {
	return strings.NewReplacer("FAN", fan, "HOSE", hose).Replace(`winnow: 1
machines:
  planer: {kind: thickness planer, port: {size: 4 in, needs: {chips: 400 cfm}}}
systems:
  collector:
    kind: collector
    fan: FAN
    filter: {kind: bag, area: 16 ft2}
    runs:
      main: {from: planer, size: 4 in, kind: wire-helix hose, pieces: [HOSE]}
`)
}

// twoDrops is a main with two gated drops and a third that is always open.
const twoDrops = `winnow: 1
machines:
  saw: {kind: cabinet saw, port: {size: 4 in, needs: {chips: 350 cfm}}}
  planer: {kind: thickness planer, port: {size: 4 in, needs: {chips: 400 cfm}}}
systems:
  collector:
    kind: collector
    fan: {curve: [[0 cfm, 10 inH2O], [400 cfm, 9.2 inH2O], [800 cfm, 6 inH2O], [1100 cfm, 0 inH2O]]}
    filter: {kind: cartridge, area: 120 ft2}
    runs:
      main: {size: 6 in, kind: spiral steel, pieces: [{wye: [saw drop, planer drop]}, {pipe: 12 ft}, {elbow: 90°}, {hose: 3 ft, kind: wire-helix hose}]}
      saw drop: {from: saw, size: 4 in, kind: spiral steel, pieces: [{hose: 5 ft, kind: wire-helix hose}, {gate: saw gate}, {pipe: 8 ft}]}
      planer drop: {from: planer, size: 4 in, kind: spiral steel, pieces: [{hose: 8 ft, kind: wire-helix hose}, {gate: planer gate}, {pipe: 10 ft}]}
`

func replaced(t testing.TB, text, old, new string) string {
	t.Helper()
	if !strings.Contains(text, old) {
		t.Fatalf("the shop has no %q to replace", old)
	}
	return strings.Replace(text, old, new, 1)
}

var _ = fmt.Sprint
