package typical_test

import (
	"math"
	"testing"

	"winnow/internal/refcase"
	"winnow/internal/shop/typical"
	"winnow/internal/unit"
)

const (
	cfm = 0.3048 * 0.3048 * 0.3048 / 60 // m³/s
	m3h = 1.0 / 3600
)

// published is one flow that somebody printed for a machine, beside our kind and port.
type published struct {
	row        int // of the case's table
	kind, port string
	size       float64 // in
}

// between demands that a published flow lies between the low end of the chips need and the high end of the fine one.
func between(t *testing.T, c *refcase.Case, p published, flow float64) (nearerFine bool) {
	t.Helper()
	chips, fine := port(t, p.kind, p.port).Needs(inches(p.size), 0)
	if flow < float64(chips.Low)*0.98 || flow > float64(fine.High)*1.02 {
		c.Report(t, "%s/%s: published %.0f cfm is outside %.0f (chips, low) to %.0f (fine, high)", p.kind, p.port, flow/cfm,
			float64(chips.Low)/cfm, float64(fine.High)/cfm)
	}
	return math.Abs(math.Log(flow/float64(fine.Best))) <= math.Abs(math.Log(flow/float64(chips.Best)))
}

// The German rule ties a flow to keeping a dust limit. For saws and jointers it lies nearer to our fine need; for planers it lies
// nearer to chips, as the trade asks more to clear their shavings than the rule asks for their dust.
func TestFlowsOfTheGermanRule(t *testing.T) {
	c := refcase.Airflow(t, "AF-EXH-010")
	table := c.Table(t, "table")
	for _, p := range []published{
		{0, "jointer 6 in", "", 4},
		{0, "thickness planer 13 in", "", 4},
		{0, "planer-jointer", "", 4},
		{1, "thickness planer 20 in", "", 5},
		{4, "cabinet saw", "cabinet", 4},
	} {
		nearer := between(t, c, p, table.Num(t, p.row, "Q_m3_h")*m3h)
		if p.kind == "jointer 6 in" || p.kind == "cabinet saw" {
			if !nearer {
				t.Errorf("%s: %.0f m³/h is nearer to chips", p.kind, table.Num(t, p.row, "Q_m3_h"))
			}
		}
	}
}

// Side by side with a choice: each inside our band, and most of them nearer to fine.
func TestFlowsSideBySide(t *testing.T) {
	c := refcase.Airflow(t, "AF-EXH-017")
	table := c.Table(t, "table")
	rows := []published{
		{0, "cabinet saw", "cabinet", 4},
		{1, "open-base saw", "cabinet", 4},
		{3, "jointer 6 in", "", 4},
		{3, "jointer 8 in", "", 4},
		{4, "thickness planer 13 in", "", 4},
		{5, "thickness planer 20 in", "", 5},
		{7, "band saw", "lower", 4},
		{8, "disc sander", "", 4},
		{9, "belt sander", "", 4},
		{10, "drum sander", "", 4},
		{11, "router table", "box", 4},
		{11, "shaper", "fence", 4},
		{12, "lathe", "hood", 5},
		{13, "random orbit sander", "", 1.25},
		{14, "floor sweep", "", 6},
	}
	nearer := 0
	for _, p := range rows {
		if between(t, c, p, table.Num(t, p.row, "default_cfm")*cfm) {
			nearer++
		} else {
			t.Logf("%s: the published choice is nearer to chips", table.Text(t, p.row, "machine"))
		}
	}
	if nearer*2 <= len(rows) {
		t.Errorf("only %d of %d published flows are nearer to our fine needs", nearer, len(rows))
	}
}

func TestFlowsOfTheWoodworkingPlates(t *testing.T) {
	c := refcase.Airflow(t, "AF-EXH-003") // recalled: warns
	table := c.Table(t, "table")
	want := map[string]published{
		"table saw": {0, "cabinet saw", "cabinet", 4}, "jointer": {7, "jointer 6 in", "", 4}, "radial or swing saw": {3, "radial arm saw", "hood", 4},
		"floor sweep": {27, "floor sweep", "", 6},
	}
	seen := 0
	for i := range table.Rows {
		if p, ok := want[table.Text(t, i, "machine")]; ok && p.row == i {
			seen++
			between(t, c, p, table.Num(t, i, "Q_cfm")*cfm)
		}
	}
	if seen < 2 {
		t.Errorf("only %d rows of the plates were found", seen)
	}
	same(t, "planer to 20 in (recalled)", mustFine(t, "thickness planer 15 in", ""), "785 cfm", "")
}

func mustFine(t *testing.T, kind, name string) unit.Amount[unit.M3PerSec] {
	t.Helper()
	_, fine := port(t, kind, name).Needs(inches(4), 0)
	return fine
}

// The law's rows for discs and belts were written for polishing: a floor for sanders.
func TestLegalFlowsOfDiscsAndBelts(t *testing.T) {
	c := refcase.Airflow(t, "AF-EXH-002")
	disc, belt := c.Table(t, "horizontal_single_spindle_disc"), c.Table(t, "belts")
	chips, _ := port(t, "disc sander", "").Needs(inches(4), 0)
	if legal := disc.Num(t, 0, "Q_cfm") * cfm; float64(chips.Low) < legal {
		t.Errorf("a 12 in disc sander may ask %.0f cfm, the law's analogue asks %.0f", float64(chips.Low)/cfm, legal/cfm)
	}
	chips, _ = port(t, "belt sander", "").Needs(inches(4), 0)
	if legal := belt.Num(t, 1, "Q_cfm") * cfm; float64(chips.Low) < legal {
		t.Errorf("a 6 in belt sander may ask %.0f cfm, the law's analogue asks %.0f for 5 in", float64(chips.Low)/cfm, legal/cfm)
	}
}

func TestHandToolFlows(t *testing.T) {
	c := refcase.Airflow(t, "AF-EXH-013")
	expected := c.Map(t)
	shroud, face := float64(expected["orbital_sander_shroud_min_flow_cfm"].(int)), float64(expected["downdraft_table_face_velocity_fpm"].(int))
	chips, _ := port(t, "random orbit sander", "").Needs(inches(1.25), 0)
	if float64(chips.Best)/cfm < shroud {
		t.Errorf("a sander asks %.0f cfm, published is at least %.0f", float64(chips.Best)/cfm, shroud)
	}
	// fpm through 1 ft² is cfm.
	chips, _ = port(t, "down-draught bench", "").Needs(inches(4), 0.3048*0.3048)
	if math.Abs(float64(chips.Best)/cfm-face) > 0.01*face {
		t.Errorf("a down-draught bench asks %.0f cfm for each ft², published %.0f fpm", float64(chips.Best)/cfm, face)
	}
}

// Filter cloth: the felt's range of permeability, at 200 Pa, must lie in the band of a bag's K1.
func TestBagResistanceAgainstPermeability(t *testing.T) {
	c := refcase.Airflow(t, "AF-FIL-013")
	table := c.Table(t, "table")
	bag, _ := typical.FilterKindOf("bag")
	for i := range 3 { // 100, 150, 300 L/(dm² min)
		if k := table.Num(t, i, "K1_Pa_s_m"); k < float64(bag.K1.Low)*0.99 || k > float64(bag.K1.High)*1.01 {
			c.Report(t, "felt of %s: K1 %.0f is outside %.0f to %.0f", table.Text(t, i, "fabric_value"), k, float64(bag.K1.Low), float64(bag.K1.High))
		}
	}
}

func TestRoughnessIsTheHandbooks(t *testing.T) {
	c := refcase.Airflow(t, "AF-FRIC-009")
	table := c.Table(t, "table")
	kinds := map[string]string{
		"PVC plastic pipe": "schedule 40 pipe", "galvanised, spiral seam, 3.05 m joints": "spiral steel",
		"galvanised, round, longitudinal seam, 1.22 m joints": "snap-lock pipe", "aluminium, round, crimped slip joints 0.91 m": "aluminium pipe",
	}
	seen := 0
	for i := range table.Rows {
		kind, ok := kinds[table.Text(t, i, "material")]
		if !ok {
			continue
		}
		seen++
		p, _ := typical.PipeKind(kind)
		low, high := table.Num(t, i, "eps_min_mm")*1e-3, table.Num(t, i, "eps_max_mm")*1e-3
		if best := table.Num(t, i, "category_mm") * 1e-3; math.Abs(float64(p.Roughness.Best)/best-1) > 1e-6 {
			c.Report(t, "%s: %.3g m, want %.3g", kind, float64(p.Roughness.Best), best)
		}
		if float64(p.Roughness.Low) > low*1.001 || float64(p.Roughness.High) < high*0.999 {
			c.Report(t, "%s: %.3g to %.3g m does not hold %.3g to %.3g", kind, float64(p.Roughness.Low), float64(p.Roughness.High), low, high)
		}
	}
	if seen != len(kinds) {
		t.Errorf("found %d of %d materials", seen, len(kinds))
	}
}

// The trade's "times smooth pipe" of the ordinary dust hose is the derived band at 4 in: 1.28, 2.72, 4.98.
func TestDustHoseAgainstTheDerivedBand(t *testing.T) {
	c := refcase.Airflow(t, "AF-FLEX-029")
	table := c.Table(t, "darcy_factor")
	p, _ := typical.PipeKind("wire-helix hose")
	c.Near(t, "typical", float64(p.Friction.Best), table.Num(t, 1, "x_typical"), 0.02, 0)
	c.Near(t, "low", float64(p.Friction.Low), table.Num(t, 1, "x_low"), 0.02, 0)
	c.Near(t, "high", float64(p.Friction.High), table.Num(t, 1, "x_high"), 0.02, 0)
}
