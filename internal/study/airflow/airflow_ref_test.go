package airflow

import (
	"math"
	"testing"

	"winnow/internal/unit"
)

// AF-SYS-004, university course notes after the exhaust manual: 390 cfm through a grinder hood (entry loss 0.65) and 15 ft of
// 4 in galvanised duct. Hood suction 2.057 inH2O (±0.012). With the friction of 0.09 mm roughness, which our pipe has, the case
// gives 3.23 inH2O at the end of the branch (its own printed friction, 2 to 6 % higher, 3.38). A steep fan holds the flow.
func TestAPublishedBranchComesOutOfTheWholeStudy(t *testing.T) {
	s, l := ready(t, `winnow: 1
site: {altitude: 0 ft, temperature: 70 °F, humidity: 0 %}
machines:
  grinder: {kind: other machine, port: {size: 4 in, entry: 1.65, needs: {chips: 350 cfm}}}
systems:
  collector:
    kind: collector
    fan: {curve: [[0 cfm, 5000 inH2O], [389.99 cfm, 10 inH2O], [390.01 cfm, 0 inH2O]]}
    filter: none
    runs: {main: {from: grinder, size: 4 in, kind: spiral steel, pieces: [{pipe: 15 ft, leak: none}]}}
`)
	m, findings := Build(s, l, "collector")
	if m == nil {
		t.Fatal(findings)
	}
	set := alone("grinder", Due)
	sheet, err := m.Explain(set, m.Ports(set)[0])
	if err != nil {
		t.Fatal(err)
	}
	const inH2O = 249.089
	if q := float64(sheet.FanFlow) / cfm; math.Abs(q-390) > 0.5 {
		t.Fatalf("the fan moves %.2f cfm, the case 390", q)
	}
	hood, end := -float64(sheet.Rows[0].Static)/inH2O, -float64(sheet.Rows[len(sheet.Rows)-1].Static)/inH2O
	if math.Abs(hood-2.057) > 0.012 {
		t.Errorf("suction behind the hood %.3f inH2O, want 2.057 ± 0.012", hood)
	}
	if math.Abs(end/3.23-1) > 0.01 {
		t.Errorf("suction at the end of the branch %.3f inH2O, want 3.23 within 1 %%", end)
	}
	if vp := float64(sheet.Rows[0].Velocity) / inH2O; math.Abs(vp-1.246) > 0.006 {
		t.Errorf("velocity pressure %.3f inH2O, want 1.246 ± 0.006", vp)
	}
}

// AF-TRN-002, transport speeds of the exhaust manual, metric copy: wood flour 12 to 15, light shavings 15 to 20, sawdust 20 to
// 23 m/s. Each floor lies in its printed range.
func TestTransportFloorsLieInThePublishedRanges(t *testing.T) {
	for _, c := range []struct {
		form      string
		low, high unit.MPerSec
	}{{"fine dust", 12, 15}, {"shavings", 15, 20}, {"sawdust", 20, 23}, {"chips", 20, 23}, {"mixed", 20, 23}} {
		if f := floorOf([]string{c.form}); f < c.low || f > c.high {
			t.Errorf("%s: floor %.1f m/s, published %g to %g", c.form, f, c.low, c.high)
		}
	}
	if f := floorOf([]string{"fine dust", "sawdust"}); f != DryChips {
		t.Errorf("dust and sawdust together ask %.1f m/s, want that of the sawdust", f)
	}
}

// Words of chips by share of the floor, level and upright. 4000 fpm is the trade's number for "keeps moving".
func TestWordsForChips(t *testing.T) {
	s, l := ready(t, twoDrops)
	m, _ := Build(s, l, "collector")
	a := m.air
	a.Density = 1.2
	for _, c := range []struct {
		speed unit.MPerSec
		long  float64
		want  Moves
	}{
		{20.32, 50, KeepsMoving}, {19.9, 50, MaySettle}, {15.1, 50, MaySettle}, {14.9, 50, ExpectSettling}, {9.9, 50, WillDrop},
		{9.9, 5, ExpectSettling}, {14.9, 5, MaySettle}, {16, 5, MaySettle},
	} {
		if got := movesIn(c.speed, DryChips, 1, c.long, a); got != c.want {
			t.Errorf("%.1f m/s in a level piece of %g bores: %s, want %s", c.speed, c.long, got, c.want)
		}
	}
	if got := movesIn(10.1, DryChips, 2, 50, a); got != KeepsMoving {
		t.Errorf("10.1 m/s straight up: %s, want keeps moving", got)
	}
}
