package duct_test

import (
	"math"
	"testing"

	"winnow/internal/physics/duct"
	"winnow/internal/refcase"
	"winnow/internal/unit"
)

// The tests of this file ask whether tables and judgements stand in the code as they were written down. They say nothing about physics:
// the cases that do only warn where a table was recalled, and a slip of the pen must not hide behind that.

func exact(t testing.TB, what string, got, want float64) {
	t.Helper()
	if math.Abs(got-want) > 1e-9*(1+math.Abs(want)) {
		t.Errorf("%s: %.9g stands in the code, %.9g was written down", what, got, want)
	}
}

// Charts of the exhaust manual and of Idelchik, from memory, entry by entry.
func TestRecalledChartsAreCopiedRight(t *testing.T) {
	b := refcase.Airflow(t, "AF-FIT-001").Table(t, "table")
	for i, mk := range []duct.Make{duct.Stamped, duct.FivePiece, duct.FourPiece, duct.ThreePiece, duct.Mitred} {
		for column, r := range map[string]float64{"RD_0.50": 0.5, "RD_0.75": 0.75, "RD_1.00": 1, "RD_1.50": 1.5, "RD_2.00": 2, "RD_2.50": 2.5} {
			if !b.Empty(t, i, column) {
				exact(t, string(mk)+" "+column, elbow(t, duct.Bend{Make: mk, Radius: r, Angle: duct.Deg(90)}), b.Num(t, i, column))
			}
		}
	}
	for r, k := range map[float64]float64{1.25: 0.55, 1.5: 0.39, 1.75: 0.32, 2: 0.27, 2.25: 0.26, 2.5: 0.22, 2.75: 0.26} { // note of the case
		exact(t, "old row", elbow(t, duct.Bend{Make: duct.OldManual, Radius: r, Angle: duct.Deg(90)}), k)
	}
	b = refcase.Airflow(t, "AF-FIT-003").Table(t, "table")
	for i := range b.Rows {
		exact(t, "branch entry", must[duct.Coefficient](t)(duct.BranchEntry(duct.Deg(b.Num(t, i, "entry_angle_deg")))).K, b.Num(t, i, "K_branch_VP"))
	}
	b = refcase.Airflow(t, "AF-FIT-007").Table(t, "table")
	for i := range b.Rows {
		if h := b.Num(t, i, "h_over_D"); h < 0.85 { // the groove takes over
			exact(t, "gate", must[duct.Coefficient](t)(duct.Gate(unit.Fraction(h))).K, b.Num(t, i, "C"))
		}
	}
	b = refcase.Airflow(t, "AF-FIT-010").Table(t, "table")
	for i := range b.Rows {
		exact(t, "cap", must[duct.Coefficient](t)(duct.WeatherCap(b.Num(t, i, "H_over_D"))).K, b.Num(t, i, "loss_VP"))
	}
	b = refcase.Airflow(t, "AF-HOOD-001").Table(t, "table")
	names := []duct.Hood{
		duct.PlainEnd, duct.FlangedEnd, duct.Bellmouth, duct.SharpOrifice, duct.GrinderStraight, duct.GrinderTapered, duct.TrapChamber,
		duct.BoothBranch,
	}
	for i, h := range names {
		exact(t, string(h), must[duct.Mouth](t)(duct.HoodMouth(h)).Loss().K, b.Num(t, i, "Fh"))
	}
	b = refcase.Airflow(t, "AF-HOOD-002").Table(t, "table_seen")
	for i := range b.Rows {
		deg := duct.Deg(b.Num(t, i, "included_angle_deg"))
		exact(t, "round taper", must[duct.Mouth](t)(duct.TaperedHood(deg, false)).Loss().K, b.Num(t, i, "Fh_round"))
		exact(t, "flat taper", must[duct.Mouth](t)(duct.TaperedHood(deg, true)).Loss().K, b.Num(t, i, "Fh_rectangular"))
	}
	b = refcase.Airflow(t, "AF-HOOD-004").Table(t, "table")
	for i := range b.Rows {
		r := b.Num(t, i, "r_over_D")
		exact(t, "lip in wall", must[duct.Mouth](t)(duct.RoundedEnd(r, true)).Loss().K, b.Num(t, i, "C_in_wall"))
		exact(t, "lip", must[duct.Mouth](t)(duct.RoundedEnd(r, false)).Loss().K, b.Num(t, i, "C_free_standing"))
	}
	b = refcase.Airflow(t, "AF-HOOD-005").Table(t, "table")
	for i := range b.Rows {
		for column, out := range map[string]float64{"LD_0": 0, "LD_0.002": 0.002, "LD_0.01": 0.01, "LD_0.05": 0.05, "LD_0.2": 0.2, "LD_0.5": 0.5, "LD_1.0": 1} {
			exact(t, "end "+column, must[duct.Mouth](t)(duct.ProjectingEnd(b.Num(t, i, "t_over_D"), out)).Loss().K, b.Num(t, i, column))
		}
	}
}

// Formulas recalled for hoses: the arithmetic of the case, to its printed digits.
func TestRecalledHoseFormulasAreWorkedRight(t *testing.T) {
	b := refcase.Airflow(t, "AF-FLEX-026").Table(t, "table")
	for i := range b.Rows {
		if got, want := duct.DarcyOfPitch(unit.Metre(b.Num(t, i, "p_over_D")), 1), b.Num(t, i, "f_Darcy"); math.Abs(got-want) > 6e-5 {
			t.Errorf("pitch: %v, want %v", got, want)
		}
	}
	b = refcase.Airflow(t, "AF-FLEX-028").Table(t, "table")
	for i := range b.Rows {
		got := duct.DarcyOfRibs(unit.Metre(b.Num(t, i, "e_mm")/1000), unit.Metre(b.Num(t, i, "p_mm")/1000), 0.1)
		if want := b.Num(t, i, "f_Darcy"); math.Abs(got-want) > 6e-5 {
			t.Errorf("ribs: %v, want %v", got, want)
		}
	}
}

// ASHRAE 1989, mitred elbow, square section, by angle (CRC Press companion table): seen, so it does decide.
func TestMitredElbowByAngle(t *testing.T) {
	for deg, k := range map[float64]float64{20: 0.07, 30: 0.16, 45: 0.34, 60: 0.55, 75: 0.81, 90: 1.2} {
		for _, rule := range []duct.AngleRule{duct.ExhaustManual, duct.DuctHandbook} {
			exact(t, "mitred", elbow(t, duct.Bend{Make: duct.Mitred, Angle: duct.Deg(deg), Rule: rule}), k)
		}
	}
	exact(t, "mitred, 135°", elbow(t, duct.Bend{Make: duct.Mitred, Angle: duct.Deg(135)}), 1.8)
	for deg, share := range map[float64]float64{45: 0.60, 60: 0.78, 90: 1} { // SMACNA and ASHRAE (note of AF-FIT-002)
		exact(t, "handbook rule", elbow(t, duct.Bend{Make: duct.FivePiece, Angle: duct.Deg(deg), Rule: duct.DuctHandbook}), 0.24*share)
	}
	exact(t, "half a half-angle", elbow(t, duct.Bend{Make: duct.FivePiece, Angle: duct.Deg(10), Rule: duct.DuctHandbook}), 0.24*0.31/2)
}

// Judgements: low, best, high as decided. The specification of the models marks each as judgement.
func TestJudgementsStandAsDecided(t *testing.T) {
	co, mo := must[duct.Coefficient](t), must[duct.Mouth](t)
	for _, x := range []struct {
		c               duct.Coefficient
		low, best, high float64
	}{
		{mo(duct.MachineMouth(duct.PlainPort)).Suction, 1.4, 1.5, 1.9},
		{mo(duct.MachineMouth(duct.PlanerHood)).Suction, 1.5, 2.0, 2.9},
		{mo(duct.MachineMouth(duct.SawCabinet)).Suction, 1.7, 2.5, 5},
		{mo(duct.MachineMouth(duct.BandSawCase)).Suction, 1.5, 2.0, 3.5},
		{mo(duct.MachineMouth(duct.SmallGuard)).Suction, 2, 3, 5},
		{mo(duct.MachineMouth(duct.MitreChute)).Suction, 2, 4, 8},
		{mo(duct.MachineMouth(duct.SawCabinet)).Loss(), 0.7, 1.5, 4},
		{duct.FanInletEffect(), 0, 0.6, 1.3},
		{duct.OpenGate(), 0, 0.1, 0.2},
		{duct.Exit(), 1, 1, 1.06},
		{co(duct.HoseBend(duct.Deg(90))), 0.2, 0.4, 0.8},
		{co(duct.HoseBend(duct.Deg(180))), 0.4, 0.8, 1.6},
		{co(duct.SeparatorLoss(duct.Cyclone, 0.01)), 5.6, 8, 10.4},
		{co(duct.SeparatorLoss(duct.SmallCyclone, 0.01)), 5.6, 8, 10.4},
		{co(duct.SeparatorLoss(duct.BaffleLid, 0.01)), 1.5, 3, 5},
		{co(duct.SeparatorLoss(duct.PlainLid, 0.01)), 1.5, 3, 5},
		{co(duct.Elbow(duct.Bend{Make: duct.ShortSocket, Angle: duct.Deg(90)})), 0.33, 0.9, 1.125},
		{co(duct.Elbow(duct.Bend{Make: duct.LongSocket, Angle: duct.Deg(90)})), 0.15, 0.6, 0.75},
		{co(duct.Elbow(duct.Bend{Make: duct.FourPiece, Angle: duct.Deg(90)})), 0.27 * 0.75, 0.27, 0.27 * 1.25},
		{co(duct.Elbow(duct.Bend{Make: duct.FourPiece, Angle: duct.Deg(45)})), 0.27 * 0.75 / 2, 0.27 / 2, 0.27 * 1.25 * 0.6},
		{must[duct.Join](t)(duct.JoinOf(duct.Deg(45))).Branch, 0, 0.1, 0.3},
		{must[duct.Join](t)(duct.JoinOf(duct.Deg(45))).Through, 0, 0.05, 0.15},
		{co(duct.LossAtFlow(100, 0.1, 0.1, 1.2, "x")), 0.85 * 100 / (0.6 * sq(0.1/areaOf(0.1))), 100 / (0.6 * sq(0.1/areaOf(0.1))), 1.15 * 100 / (0.6 * sq(0.1/areaOf(0.1)))},
		{co(duct.Compression(0.2, 0.1)), 1 + 0.75*5.8*math.Exp(-0.992), 1 + 5.8*math.Exp(-0.992), 1 + 1.25*5.8*math.Exp(-0.992)},
		{co(duct.Compression(0.1, 0.1)), 1 + 0.5*5.8*math.Exp(-0.496), 1 + 5.8*math.Exp(-0.496), 1 + 1.5*5.8*math.Exp(-0.496)},
		{co(duct.NearFan(1.5, 0)), 0, 0.77, 1.155},
		{duct.CycloneHeads(0.2, 0.1, 0.2), 6, 8, 9},
		{mo(duct.TaperedHood(duct.Deg(40), false)).Loss(), 0.03, 0.06, 0.09},
	} {
		exact(t, x.c.What+", low", x.c.Low, x.low)
		exact(t, x.c.What+", best", x.c.K, x.best)
		exact(t, x.c.What+", high", x.c.High, x.high)
	}
	if duct.JoinError != 0.3 || duct.LegalGrinderTapered != 0.45 {
		t.Error("join error 0.3 and legal tapered take-off 0.45")
	}
}

func sq(x float64) float64 { return x * x }

// Filters and leaks as decided.
func TestFilterAndLeakJudgements(t *testing.T) {
	for f, k := range map[duct.Fabric][3]float64{duct.Felt: {400, 700, 1200}, duct.Spunbond: {700, 930, 1250}, duct.Membrane: {1600, 2500, 4000}} {
		for s, m := range map[duct.FilterState][3]float64{duct.New: {1, 1, 1}, duct.Seasoned: {2, 3, 5}, duct.Due: {5, 8, 15}} {
			r := must[duct.Resistance](t)(duct.Filter(f, s, 2))
			exact(t, r.What+", low", r.Linear*r.Low, k[0]*m[0]/2)
			exact(t, r.What+", best", r.Linear, k[1]*m[1]/2)
			exact(t, r.What+", high", r.Linear*r.High, k[2]*m[2]/2)
		}
	}
	// given seasoned (1000 Pa s/m³ ±15 %) and asked for due: factors 3 (2 to 5) to 8 (5 to 15)
	r := must[duct.Resistance](t)(duct.FilterAtFlow(1000, 1)).InState(duct.Seasoned, duct.Due)
	exact(t, "due, best", r.Linear, 1000*8/3.0)
	exact(t, "due, low", r.Linear*r.Low, 850*5/5)
	exact(t, "due, high", r.Linear*r.High, 1150*15/2.0)
	c := duct.Cake(800, 10000, 0.25, 4)
	exact(t, "cake", c.Linear, 825) // (800 + 2500)/4
	exact(t, "cake, low", c.Low, 0.5)
	exact(t, "cake, high", c.High, 2)
	exact(t, "least cake", duct.CakeLow, 6500)
	exact(t, "typical cake", duct.CakeTypical, 14000)
	exact(t, "most cake", duct.CakeHigh, 30000)

	gate := must[duct.Leak](t)(duct.GateLeak(4 * inch))
	exact(t, "gate leak", float64(gate.CdA), 0.6e-4)
	exact(t, "gate leak, low", float64(gate.CdA)*gate.Low, 0.2e-4)
	exact(t, "gate leak, high", float64(gate.CdA)*gate.High, 2e-4)
	open := must[duct.Leak](t)(duct.Opening(0.01))
	exact(t, "opening", float64(open.CdA), 0.0062)
	exact(t, "opening, low", float64(open.CdA)*open.Low, 0.0055)
	exact(t, "opening, high", float64(open.CdA)*open.High, 0.0075)
	hole := must[duct.Leak](t)(duct.Hole(0.01))
	for _, l := range []duct.Leak{gate, open, hole} {
		exact(t, l.What+", exponent", l.N, 0.5)
	}
	exact(t, "hole", float64(hole.CdA), 0.0061)
	exact(t, "hole, low", hole.Low, 0.9)
	exact(t, "hole, high", hole.High, 1.23)
	seams := must[duct.Leak](t)(duct.Seams(duct.SealB, 1))
	exact(t, "seams, low", seams.Low, 0.5)
	exact(t, "seams, high", seams.High, 2)
}

// A reducer nobody measured is a cone of 30°, and may be one of 15° or 60°; a smooth adapter is one of 20°; an unknown adapter is abrupt.
func TestReducersAndAdaptersOfTheTrade(t *testing.T) {
	k := func(from, to unit.Metre, deg float64) duct.Coefficient {
		return must[duct.Coefficient](t)(duct.SizeChange(from, to, duct.Deg(deg)))
	}
	for _, x := range [][2]unit.Metre{{0.1, 0.15}, {0.15, 0.1}} {
		r := must[duct.Coefficient](t)(duct.SizeChange(x[0], x[1], 0))
		exact(t, "reducer", r.K, k(x[0], x[1], 30).K)
		exact(t, "reducer, low", r.Low, min(k(x[0], x[1], 15).Low, k(x[0], x[1], 30).Low, k(x[0], x[1], 60).Low))
		exact(t, "reducer, high", r.High, max(k(x[0], x[1], 15).High, k(x[0], x[1], 30).High, k(x[0], x[1], 60).High))
		s := must[duct.Coefficient](t)(duct.SmoothAdapter(x[0], x[1]))
		exact(t, "smooth adapter", s.K, k(x[0], x[1], 20).K)
		a := must[duct.Coefficient](t)(duct.Adapter(x[0], x[1]))
		exact(t, "adapter", a.K, k(x[0], x[1], 180).K)
		exact(t, "adapter, low", a.Low, s.Low)
		exact(t, "adapter, high", a.High, k(x[0], x[1], 180).High)
	}
	// Borda and Carnot, half the area: (1 - 1/2)²
	exact(t, "half the area", k(0.1, unit.Metre(0.1*math.Sqrt2), 180).K, 0.25)
	exact(t, "half the area, high", k(0.1, unit.Metre(0.1*math.Sqrt2), 180).High, 0.275)
}

// Below the smallest printed opening the table goes on straight in the logarithms; nearly open, the groove takes over.
func TestGateBeyondItsTable(t *testing.T) {
	gate := func(h float64) float64 { return must[duct.Coefficient](t)(duct.Gate(unit.Fraction(h))).K }
	exact(t, "a tenth open", gate(0.1), 35*math.Pow(2, math.Log(3.5)/math.Log(1.5)))
	exact(t, "between", gate(0.25), math.Sqrt(35*10))
	for _, h := range []float64{0.87, 0.9, 0.95, 1} {
		exact(t, "groove", gate(h), 0.1)
	}
}

// True bores, all of them: the pipe standards from memory, hoses by common practice.
func TestAllTrueBores(t *testing.T) {
	hose := [][4]float64{
		{1.25 * inch, 0.0314, 0.032, 0.0326},
		{1.875 * inch, 0.0461, 0.047, 0.0479},
		{2.5 * inch, 0.054, 0.056, 0.058},
		{4 * inch, 0.102, 0.103, 0.104},
		{0.100, 0.100, 0.101, 0.102},
		{5 * inch, 0.125, 0.126, 0.127},
		{6 * inch, 0.150, 0.151, 0.152},
	}
	for kind, rows := range map[duct.Kind][][4]float64{
		duct.ThinSewer:   {{4 * inch, 0, 0.1032, 0}, {6 * inch, 0, 0.1543, 0}},
		duct.SewerPipe:   {{4 * inch, 0, 3.975 * inch, 0}, {6 * inch, 0, 5.915 * inch, 0}},
		duct.Schedule40:  {{2 * inch, 0, 2.067 * inch, 0}, {4 * inch, 0, 4.026 * inch, 0}, {6 * inch, 0, 6.065 * inch, 0}},
		duct.DrainPipe:   {{0.110, 0, 0.1036, 0}, {0.125, 0, 0.1186, 0}, {0.160, 0, 0.152, 0}},
		duct.IndoorDrain: {{0.050, 0, 0.0464, 0}, {0.075, 0, 0.0712, 0}, {0.110, 0, 0.1046, 0}},
		duct.SmoothHose:  hose, duct.HelixHose: hose, duct.RibbedHose: hose,
	} {
		for _, r := range rows {
			b := duct.BoreOf(kind, unit.Metre(r[0]))
			exact(t, string(kind), float64(b.Best), r[2])
			if r[1] > 0 {
				exact(t, string(kind)+", low", float64(b.Low), r[1])
				exact(t, string(kind)+", high", float64(b.High), r[3])
				continue
			}
			// a pipe's bore is held to about 1 % by its standard
			if low, high := float64(b.Low/b.Best), float64(b.High/b.Best); low < 0.985 || low > 0.996 || high > 1.015 || high < 1.004 {
				t.Errorf("%s %v: %v to %v of its bore", kind, r[0], low, high)
			}
		}
	}
	other := duct.BoreOf(duct.HelixHose, 0.2)
	exact(t, "another hose", float64(other.High), 0.204)
	sheet := duct.BoreOf(duct.SeamSteel, 0.2)
	exact(t, "sheet metal", float64(sheet.High), 0.201)
}

// The compressed film duct keeps its range, and so does the limp hose.
func TestSlackRanges(t *testing.T) {
	w := must[duct.Wall](t)(duct.WallOf(duct.FilmDuct, 0.2))
	s := must[duct.Wall](t)(w.Slack(0.9))
	m := must[duct.Coefficient](t)(duct.Compression(0.2, 0.1))
	exact(t, "low", float64(s.Darcy.Low), float64(w.Darcy.Low)*m.Low)
	exact(t, "high", float64(s.Darcy.High), float64(w.Darcy.High)*m.High)

	helix, ribbed := must[duct.Wall](t)(duct.WallOf(duct.HelixHose, 0.1)), must[duct.Wall](t)(duct.WallOf(duct.RibbedHose, 0.1))
	limp, half := must[duct.Wall](t)(helix.Slack(0.85)), must[duct.Wall](t)(helix.Slack(0.95))
	exact(t, "limp", float64(limp.Darcy.Best), float64(ribbed.Darcy.Best))
	exact(t, "limp, high", float64(limp.Darcy.High), float64(ribbed.Darcy.High))
	exact(t, "limp, low", float64(limp.Darcy.Low), float64(helix.Darcy.Low))
	exact(t, "half limp", float64(half.Darcy.Best), math.Sqrt(float64(helix.Darcy.Best*ribbed.Darcy.Best)))
	for kind, x := range map[duct.Kind][2]float64{duct.SmoothHose: {0.75, 1.5}, duct.HelixHose: {0.47, 1.83}, duct.RibbedHose: {0.55, 1.45}, duct.FilmDuct: {0.55, 1.25}} {
		h := must[duct.Wall](t)(duct.WallOf(kind, 0.1))
		exact(t, string(kind)+", low", float64(h.Darcy.Low/h.Darcy.Best), x[0])
		exact(t, string(kind)+", high", float64(h.Darcy.High/h.Darcy.Best), x[1])
	}
}

// Small geometry: the hydraulic diameter of a square is its side, of a slot nearly twice its width; a rectangular inlet counts by its area.
func TestSmallGeometry(t *testing.T) {
	exact(t, "square", float64(duct.Hydraulic(0.2, 0.2)), 0.2)
	exact(t, "slot", float64(duct.Hydraulic(0.01, 1)), 0.02/1.01)
	exact(t, "inlet", areaOf(float64(duct.CycloneHeads(0.1, 0.05, 0.1).On)), 0.005)
	exact(t, "area and bore", float64(duct.BoreOfArea(duct.AreaOfBore(0.123))), 0.123)
	exact(t, "just above 13 m/s", float64(duct.EvenStart(13.5, 0.01)), 13.5*100/4500)
	exact(t, "just below", float64(duct.EvenStart(12.5, 0.01)), 100/350.0)
}
