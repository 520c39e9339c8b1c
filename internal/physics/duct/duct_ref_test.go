package duct_test

import (
	"math"
	"testing"

	"winnow/internal/physics/air"
	"winnow/internal/physics/duct"
	"winnow/internal/refcase"
	"winnow/internal/unit"
)

const (
	inch   = 0.0254
	foot   = 0.3048
	fpm    = 0.00508
	cfm    = 0.47194745e-3
	litre  = 1e-3
	inH2O  = 249.089 // water at 4 °C
	inHg   = 3386.39
	inWarm = 248.84 // water at 60 °F, the design manuals' inch
)

// must fails the test on an error.
func must[T any](t testing.TB) func(T, error) T {
	return func(v T, err error) T {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
		return v
	}
}

func friction(t testing.TB, re, relative float64) float64 {
	t.Helper()
	return must[float64](t)(duct.FrictionFactor(re, relative))
}

func areaOf(d float64) float64 { return math.Pi / 4 * d * d }

// lossPerMetre is Darcy and Weisbach with Colebrook, as every case below wants it.
func lossPerMetre(t testing.TB, q, d, eps, rho, mu float64) float64 {
	t.Helper()
	v := q / areaOf(d)
	return friction(t, rho*v*d/mu, eps/d) / d * rho * v * v / 2
}

// ---- friction ----------------------------------------------------------------------------------------------------------------

// fluids 1.0.22, friction_factor.
func TestFrictionFactorCases(t *testing.T) {
	c := refcase.Airflow(t, "AF-FRIC-001")
	b, tol := c.Table(t, "table"), c.Tol(t, "tol_rel")
	for i := range b.Rows {
		c.Near(t, "f", friction(t, b.Num(t, i, "Re"), b.Num(t, i, "eps_over_D")), b.Num(t, i, "f"), tol, 0)
	}
}

// Three published conventions of galvanised duct, in inH2O per 100 ft.
func TestFrictionConventions(t *testing.T) {
	c := refcase.Airflow(t, "AF-FRIC-002")
	b, tol := c.Table(t, "table"), c.Tol(t, "tol_rel")
	rho, mu := c.Num(t, "rho")*16.018463, c.Num(t, "mu")
	for i := range b.Rows {
		q, d := b.Num(t, i, "Q_cfm")*cfm, b.Num(t, i, "D_in")*inch
		per100 := func(eps unit.Metre) float64 {
			return lossPerMetre(t, q, d, float64(eps), rho, mu) * 100 * foot / inH2O
		}
		v := q / areaOf(d)
		c.Near(t, "speed", v/fpm, b.Num(t, i, "V_fpm"), tol, 0)
		c.Near(t, "velocity pressure", float64(air.VelocityPressure(air.StandardUS, unit.MPerSec(v)))/inH2O, b.Num(t, i, "VP_in_wg"), tol, 0)
		c.Near(t, "0.0003 ft", per100(duct.RoughnessHandbook), b.Num(t, i, "loss_eps_0.0003ft"), tol, 0)
		c.Near(t, "0.0005 ft", per100(duct.RoughnessOldChart), b.Num(t, i, "loss_eps_0.0005ft"), tol, 0)
		hand := duct.HandFriction(unit.MPerSec(v), unit.M3PerSec(q)) * 100 * foot * rho * v * v / 2 / inH2O
		c.Near(t, "the manual's fit", hand, b.Num(t, i, "loss_ACGIH_Hf"), tol, 0)
	}
}

func TestFrictionOfSmoothAndRoughMaterials(t *testing.T) {
	c := refcase.Airflow(t, "AF-FRIC-003")
	b, tol := c.Table(t, "table"), c.Tol(t, "tol_rel")
	rho := c.Num(t, "rho") * 16.018463
	for i := range b.Rows {
		q, d := b.Num(t, i, "Q_cfm")*cfm, b.Num(t, i, "D_in")*inch
		per100 := func(eps unit.Metre) float64 {
			return lossPerMetre(t, q, d, float64(eps), rho, 1.825e-5) * 100 * foot / inH2O
		}
		c.Near(t, "smooth", per100(duct.RoughnessSmooth), b.Num(t, i, "loss_smooth_eps_0.46um"), tol, 0)
		c.Near(t, "film duct", per100(duct.RoughnessFilmDuct), b.Num(t, i, "loss_flex_extended_eps_0.9mm"), tol, 0)
	}
}

// ACGIH 22nd ed. as printed in worksheets.
func TestPrintedFrictionOfWorksheets(t *testing.T) {
	c := refcase.Airflow(t, "AF-FRIC-004")
	b, tol := c.Table(t, "table"), c.Tol(t, "tol_rel")
	for i := range b.Rows {
		got := duct.HandFriction(unit.MPerSec(b.Num(t, i, "V_fpm")*fpm), unit.M3PerSec(b.Num(t, i, "Q_cfm")*cfm)) * foot
		c.Near(t, "Hf", got, b.Num(t, i, "Hf_VP_per_ft"), tol, 0)
	}
}

// McDonald and Magande 2013, problem 2.1.
func TestTextbookChartReading(t *testing.T) {
	c := refcase.Airflow(t, "AF-FRIC-005")
	q, d := c.Num(t, "Q")*cfm, c.Num(t, "D")*inch
	for _, eps := range []unit.Metre{duct.RoughnessHandbook, duct.RoughnessOldChart} {
		per := lossPerMetre(t, q, d, float64(eps), float64(air.StandardUS), 1.825e-5) * foot / inH2O
		c.Check(t, "loss_per_100ft", 100*per)
		c.Check(t, "section_loss", 75*per)
	}
}

// ASHRAE Fundamentals 2021 ch. 21 example 8, twelve straight runs.
func TestPublishedRunsAtAltitude(t *testing.T) {
	c := refcase.Airflow(t, "AF-FRIC-006")
	b, tol := c.Table(t, "table"), c.Tol(t, "tol_abs_Pa")
	rho := c.Num(t, "rho")
	c.Near(t, "roughness", 1000*float64(duct.RoughnessSpiral12), c.Num(t, "eps"), 1e-9, 0)
	for i := range b.Rows {
		q, d := b.Num(t, i, "Q_L_s")*litre, b.Num(t, i, "D_mm")/1000
		loss := lossPerMetre(t, q, d, float64(duct.RoughnessSpiral12), rho, 1.82e-5) * b.Num(t, i, "L_m")
		c.Near(t, "loss", loss, b.Num(t, i, "loss_Pa"), 0, tol)
	}
}

// The same handbook, equation 25.
func TestRoundOfRectangle(t *testing.T) {
	c := refcase.Airflow(t, "AF-FRIC-007")
	b, tol := c.Table(t, "table"), c.Tol(t, "tol_abs_mm")
	for i := range b.Rows {
		got := duct.RoundOfRectangle(unit.Metre(b.Num(t, i, "a_mm")/1000), unit.Metre(b.Num(t, i, "b_mm")/1000))
		c.Near(t, "De", 1000*float64(got), b.Num(t, i, "De_mm"), 0, tol)
	}
}

// Douglas, Fluid Mechanics, example 14.6: the book's 0.008 is a Fanning factor.
func TestDarcyOrFanning(t *testing.T) {
	c := refcase.Airflow(t, "AF-FRIC-008")
	f, rho := duct.DarcyOfFanning(c.Num(t, "fanning_f")), unit.KgPerM3(c.Num(t, "rho"))
	run := func(q, d, lengthOverD, k float64) float64 {
		loss := duct.Coefficient{K: f*lengthOverD + k}
		return float64(loss.Loss(rho, unit.MPerSec(q/areaOf(d))))
	}
	one := run(0.2, 0.15, 10/0.15, 4)
	two := run(0.8, 0.30, 20/0.30+20, 0)
	c.Check(t, "dp_1", one)
	c.Check(t, "dp_2", two)
	c.Check(t, "fan_pressure", one+two)
}

// ASHRAE Fundamentals 2021 ch. 21 table 1: our figures are its figures.
func TestRoughnessTable(t *testing.T) {
	c := refcase.Airflow(t, "AF-FRIC-009")
	b := c.Table(t, "table")
	row := map[string]int{}
	for i := range b.Rows {
		row[b.Text(t, i, "material")] = i
	}
	for kind, material := range map[duct.Kind]string{
		duct.SpiralSteel: "galvanised, spiral seam, 3.05 m joints",
		duct.SeamSteel:   "galvanised, round, longitudinal seam, 1.22 m joints",
		duct.SmoothSteel: "commercial steel or wrought iron",
		duct.Aluminium:   "aluminium, round, crimped slip joints 0.91 m",
		duct.SewerPipe:   "PVC plastic pipe",
		duct.ThinSewer:   "PVC plastic pipe",
		duct.Schedule40:  "PVC plastic pipe",
		duct.DrainPipe:   "PVC plastic pipe",
		duct.IndoorDrain: "PVC plastic pipe",
	} {
		i, ok := row[material]
		if !ok {
			t.Fatalf("the table has no %q", material)
		}
		w := must[duct.Wall](t)(duct.WallOf(kind, 0.1))
		c.Near(t, string(kind)+" best", 1000*float64(w.Roughness.Best), b.Num(t, i, "category_mm"), 1e-9, 0)
		if low := 1000 * float64(w.Roughness.Low); low > b.Num(t, i, "eps_min_mm")*1.001 {
			t.Errorf("%s: low %v mm leaves out the printed %v", kind, low, b.Num(t, i, "eps_min_mm"))
		}
		if high := 1000 * float64(w.Roughness.High); high < b.Num(t, i, "eps_max_mm")*0.999 {
			t.Errorf("%s: high %v mm leaves out the printed %v", kind, high, b.Num(t, i, "eps_max_mm"))
		}
	}
	for material, eps := range map[string]unit.Metre{
		"drawn tubing": duct.RoughnessSmooth,
		"flexible duct, nonmetallic and wire, fully extended": duct.RoughnessFilmDuct,
		"galvanised, older friction chart, 0.76 m joints":     duct.RoughnessOldChart,
		"galvanised, rectangular, 1.22 m joints":              duct.RoughnessHandbook,
	} {
		c.Near(t, material, 1000*float64(eps), b.Num(t, row[material], "category_mm"), 1e-9, 0)
	}
}

// ASHRAE: the chart for standard air holds within 5 % for ±15 K, 500 m or ±5 kPa, each alone. An inequality on our friction.
func TestHowFarTheFrictionChartStretches(t *testing.T) {
	c := refcase.Airflow(t, "AF-AIR-012")
	w := c.Want(t, "friction_error_within")
	per := func(s air.State) float64 {
		return lossPerMetre(t, 0.16, 0.102, float64(duct.RoughnessHandbook), float64(s.Density), float64(s.Viscosity))
	}
	base := must[air.State](t)(air.At(0, air.Zero+20, 0))
	for name, s := range map[string]air.State{
		"15 K colder":   must[air.State](t)(air.At(0, air.Zero+5, 0)),
		"15 K warmer":   must[air.State](t)(air.At(0, air.Zero+35, 0)),
		"500 m up":      must[air.State](t)(air.At(500, air.Zero+20, 0)),
		"5 kPa suction": must[air.State](t)(base.UnderSuction(5000)),
	} {
		change := math.Abs(per(s)/per(base) - 1)
		if change > w.Value+w.Abs {
			t.Errorf("%s: friction changes by %.3f, the handbook says at most about %.2f", name, change, w.Value)
		}
		if change < 0.01 {
			t.Errorf("%s: friction changes by %.4f only: the air has no say", name, change)
		}
	}
}

// ---- hoods -------------------------------------------------------------------------------------------------------------------

// ACGIH hood chart, from memory: warns only. Ce follows from F, which is a check of the table itself.
func TestHoodChart(t *testing.T) {
	c := refcase.Airflow(t, "AF-HOOD-001")
	b, tol := c.Table(t, "table"), c.Tol(t, "tol_abs")
	for i := range b.Rows {
		var m duct.Mouth
		switch name := b.Text(t, i, "hood"); name {
		case "tapered hood, 45 deg included angle, round":
			m = must[duct.Mouth](t)(duct.TaperedHood(duct.Deg(45), false))
		case "tapered hood, 90 deg included angle, round":
			m = must[duct.Mouth](t)(duct.TaperedHood(duct.Deg(90), false))
		case "sharp-edged orifice (in orifice VP)":
			m = must[duct.Mouth](t)(duct.HoodMouth(duct.SharpOrifice))
		case "standard grinder hood, straight take-off":
			m = must[duct.Mouth](t)(duct.HoodMouth(duct.GrinderStraight))
		case "standard grinder hood, tapered take-off":
			m = must[duct.Mouth](t)(duct.HoodMouth(duct.GrinderTapered))
		default:
			m = must[duct.Mouth](t)(duct.HoodMouth(duct.Hood(name)))
		}
		c.Near(t, "F", m.Loss().K, b.Num(t, i, "Fh"), 0, tol)
		c.Near(t, "Ce", m.CoefficientOfEntry(), b.Num(t, i, "Ce"), 0, tol)
	}
}

// The tapered hood chart: the table that was seen must fit; the recalled one only in its middle, as the case says.
func TestTaperedHoods(t *testing.T) {
	c := refcase.Airflow(t, "AF-HOOD-002")
	tol := c.Tol(t, "tol_abs")
	seen, recalled := c.Table(t, "table_seen"), c.Table(t, "table_recalled")
	loss := func(deg float64, rect bool) float64 {
		return must[duct.Mouth](t)(duct.TaperedHood(duct.Deg(deg), rect)).Loss().K
	}
	for i := range seen.Rows {
		deg := seen.Num(t, i, "included_angle_deg")
		c.Near(t, "round", loss(deg, false), seen.Num(t, i, "Fh_round"), 0, tol)
		c.Near(t, "rectangular", loss(deg, true), seen.Num(t, i, "Fh_rectangular"), 0, tol)
	}
	for i := range recalled.Rows {
		deg := recalled.Num(t, i, "included_angle_deg")
		if deg < 40 || deg > 150 {
			continue // the two tables part company there
		}
		c.Near(t, "round, recalled", loss(deg, false), recalled.Num(t, i, "Fh_round"), 0, tol)
	}
	if best := loss(45, false); best > loss(20, false) || best > loss(90, false) {
		t.Error("the best taper is about 45° included")
	}
}

// 29 CFR 1910.94(b)(3)(ii).
func TestLegalGrinderHoods(t *testing.T) {
	c := refcase.Airflow(t, "AF-HOOD-003")
	c.Check(t, "Fh_straight_takeoff", must[duct.Mouth](t)(duct.HoodMouth(duct.GrinderStraight)).Loss().K)
	c.Check(t, "Fh_tapered_takeoff", duct.LegalGrinderTapered)
}

// Idelchik's bellmouths as reprinted by ASHRAE.
func TestBellmouths(t *testing.T) {
	c := refcase.Airflow(t, "AF-HOOD-004")
	b, tol := c.Table(t, "table"), c.Tol(t, "tol_abs")
	for i := range b.Rows {
		r := b.Num(t, i, "r_over_D")
		c.Near(t, "in wall", must[duct.Mouth](t)(duct.RoundedEnd(r, true)).Loss().K, b.Num(t, i, "C_in_wall"), 0, tol)
		c.Near(t, "free", must[duct.Mouth](t)(duct.RoundedEnd(r, false)).Loss().K, b.Num(t, i, "C_free_standing"), 0, tol)
	}
}

// Idelchik diagram 3-1: pipe ends standing out of a wall.
func TestProjectingEnds(t *testing.T) {
	c := refcase.Airflow(t, "AF-HOOD-005")
	b, tol := c.Table(t, "table"), c.Tol(t, "tol_abs")
	for i := range b.Rows {
		for column, out := range map[string]float64{"LD_0": 0, "LD_0.002": 0.002, "LD_0.01": 0.01, "LD_0.05": 0.05, "LD_0.2": 0.2, "LD_0.5": 0.5, "LD_1.0": 1} {
			got := must[duct.Mouth](t)(duct.ProjectingEnd(b.Num(t, i, "t_over_D"), out)).Loss().K
			c.Near(t, column, got, b.Num(t, i, column), 0, tol)
		}
	}
}

// Hood suction is (1 + F)·VP. Examination question bank, question 9: 3.2, not the 1.2 of those who forget the 1.
func TestPitfall01HoodSuctionHasItsOne(t *testing.T) {
	c := refcase.Airflow(t, "AF-HOOD-006")
	vp, f := c.Num(t, "VPd"), c.Num(t, "Fh")
	m := duct.MouthOf(duct.Coefficient{K: f, Low: f, High: f})
	c.Check(t, "SPh", -m.Suction.K*vp)
	if got := m.Loss().K; math.Abs(got-f) > 1e-12 {
		t.Errorf("the network's share of the mouth is %v, want F = %v", got, f)
	}
	line := duct.HandSheet(duct.HandSection{Flow: 0.2, Bore: 0.1, Hood: f, HasHood: true}, 1.2)
	c.Near(t, "sheet", float64(line.HoodSuction/line.VelocityPressure), 1.6, 1e-12, 0)

	// and the coefficient of entry is an efficiency: below 1, and lower where more is lost
	bell := must[duct.Mouth](t)(duct.HoodMouth(duct.Bellmouth))
	plain := must[duct.Mouth](t)(duct.HoodMouth(duct.PlainEnd))
	if !(plain.CoefficientOfEntry() < bell.CoefficientOfEntry() && bell.CoefficientOfEntry() < 1) {
		t.Errorf("Ce of a plain end %v, of a bellmouth %v", plain.CoefficientOfEntry(), bell.CoefficientOfEntry())
	}
}

func TestCoefficientOfEntry(t *testing.T) {
	c := refcase.Airflow(t, "AF-HOOD-007")
	k := c.Num(t, "SPh") / c.Num(t, "VP")
	c.Check(t, "Ce", must[duct.Mouth](t)(duct.MouthGiven(k, k, k)).CoefficientOfEntry())
}

func TestFlowFromHoodSuction(t *testing.T) {
	c := refcase.Airflow(t, "AF-HOOD-008")
	bore := unit.Metre(math.Sqrt(c.Num(t, "A") * foot * foot * 4 / math.Pi))
	q := must[unit.M3PerSec](t)(duct.Stub(c.Num(t, "Ce"), bore, unit.Pascal(c.Num(t, "SPh")*inWarm), air.StandardUS))
	c.Check(t, "Q", float64(q)/cfm)
}

// ---- fittings ----------------------------------------------------------------------------------------------------------------

func elbow(t testing.TB, b duct.Bend) float64 {
	t.Helper()
	return must[duct.Coefficient](t)(duct.Elbow(b)).K
}

// ACGIH elbow chart, from memory: warns only.
func TestElbowChart(t *testing.T) {
	c := refcase.Airflow(t, "AF-FIT-001")
	b, tol := c.Table(t, "table"), c.Tol(t, "tol_abs")
	makes := map[string]duct.Make{
		"stamped (smooth)": duct.Stamped, "5-piece": duct.FivePiece, "4-piece": duct.FourPiece, "3-piece": duct.ThreePiece,
		"mitred, no vanes": duct.Mitred,
	}
	for i := range b.Rows {
		mk, ok := makes[b.Text(t, i, "construction")]
		if !ok {
			t.Fatalf("no make for %q", b.Text(t, i, "construction"))
		}
		for column, r := range map[string]float64{"RD_0.50": 0.5, "RD_0.75": 0.75, "RD_1.00": 1, "RD_1.50": 1.5, "RD_2.00": 2, "RD_2.50": 2.5} {
			if b.Empty(t, i, column) {
				continue
			}
			c.Near(t, string(mk)+" "+column, elbow(t, duct.Bend{Make: mk, Radius: r, Angle: duct.Deg(90)}), b.Num(t, i, column), 0, tol)
		}
	}
}

// Exhaust practice: in proportion to the angle. Calculation-sheet footnote of the manual.
func TestElbowAngles(t *testing.T) {
	c := refcase.Airflow(t, "AF-FIT-002")
	b, tol := c.Table(t, "table"), c.Tol(t, "tol_abs")
	for i := range b.Rows {
		deg := duct.Deg(b.Num(t, i, "angle_deg"))
		got := elbow(t, duct.Bend{Make: duct.FourPiece, Angle: deg}) / elbow(t, duct.Bend{Make: duct.FourPiece, Angle: duct.Deg(90)})
		c.Near(t, "share of 90°", got, b.Num(t, i, "fraction_of_90"), 0, tol)
	}
}

// Editions and makes stay apart: at R/D 1.5 a round 90° loses 0.39 (old), 0.27 (four-piece), 0.15 (stamped); half at 45° by one
// handbook only. ACGIH (from memory but for the 0.27), SMACNA and ASHRAE 0.60 at 45° (note of AF-FIT-002).
func TestPitfall04ElbowTablesDifferByEditionAndMake(t *testing.T) {
	for mk, want := range map[duct.Make]float64{duct.OldManual: 0.39, duct.FourPiece: 0.27, duct.Stamped: 0.15} {
		if got := elbow(t, duct.Bend{Make: mk, Radius: 1.5, Angle: duct.Deg(90)}); math.Abs(got-want) > 1e-9 {
			t.Errorf("%s at R/D 1.5: %v, want %v", mk, got, want)
		}
	}
	half := must[duct.Coefficient](t)(duct.Elbow(duct.Bend{Make: duct.FourPiece, Angle: duct.Deg(45)}))
	other := must[duct.Coefficient](t)(duct.Elbow(duct.Bend{Make: duct.FourPiece, Angle: duct.Deg(45), Rule: duct.DuctHandbook}))
	if math.Abs(half.K-0.27/2) > 1e-9 || math.Abs(other.K-0.60*0.27) > 1e-9 {
		t.Errorf("45°: %v by the exhaust manual, %v by the duct handbook, want 0.135 and 0.162", half.K, other.K)
	}
	if half.High < other.K || other.Low > half.K {
		t.Error("either rule's range must hold the other's figure")
	}
}

// Values printed in a worksheet that follows the manual, so these do fail.
func TestPrintedElbowAndBranch(t *testing.T) {
	c := refcase.Airflow(t, "AF-FIT-004")
	c.Check(t, "elbow_4piece_RD_1.5", elbow(t, duct.Bend{Make: duct.FourPiece, Radius: 1.5, Angle: duct.Deg(90)}))
	c.Check(t, "branch_entry_45deg", must[duct.Coefficient](t)(duct.BranchEntry(duct.Deg(45))).K)
}

func TestBranchEntryChart(t *testing.T) {
	c := refcase.Airflow(t, "AF-FIT-003")
	b, tol := c.Table(t, "table"), c.Tol(t, "tol_abs")
	for i := range b.Rows {
		got := must[duct.Coefficient](t)(duct.BranchEntry(duct.Deg(b.Num(t, i, "entry_angle_deg")))).K
		c.Near(t, "K", got, b.Num(t, i, "K_branch_VP"), 0, tol)
	}
}

// ASHRAE Fundamentals 2021 ch. 3 table 3: those of its fittings that this package has.
func TestPipeFittings(t *testing.T) {
	c := refcase.Airflow(t, "AF-FIT-006")
	b, tol := c.Table(t, "table"), c.Tol(t, "tol_abs")
	got := map[string]float64{
		"sharp entrance":              must[duct.Mouth](t)(duct.RoundedEnd(0, true)).Loss().K,
		"sharp contraction D2/D1 0.5": must[duct.Coefficient](t)(duct.Contraction(0.2, 0.1, duct.Abrupt)).K,
		"90 deg short radius":         elbow(t, duct.Bend{Make: duct.ShortSocket, Angle: duct.Deg(90)}),
		"90 deg long radius":          elbow(t, duct.Bend{Make: duct.LongSocket, Angle: duct.Deg(90)}),
		"mitre with vanes":            elbow(t, duct.Bend{Make: duct.MitredVanes, Angle: duct.Deg(90)}),
	}
	allowed := map[string]float64{
		"sharp contraction D2/D1 0.5": 0.15, // another correlation: handbooks differ by 15 to 40 %, as AF-FIT-009 says
	}
	elsewhere := map[string]bool{ // threaded water fittings, or a shape that the tables for duct give otherwise
		"well-rounded entrance": true, "90 deg mitre": true, "gate valve open": true, "gate valve 75 percent open": true,
		"gate valve 50 percent open": true, "gate valve 25 percent open": true, "tee straight through": true, "tee through branch": true,
	}
	for i := range b.Rows {
		name := b.Text(t, i, "fitting")
		k, ok := got[name]
		if !ok {
			if !elsewhere[name] {
				t.Errorf("%q is neither checked nor set aside", name)
			}
			continue
		}
		c.Near(t, name, k, b.Num(t, i, "K"), 0, tol+allowed[name])
	}
}

// Idelchik's gate, from memory: warns only.
func TestGateByOpening(t *testing.T) {
	c := refcase.Airflow(t, "AF-FIT-007")
	b, tol := c.Table(t, "table"), c.Tol(t, "tol_rel")
	for i := range b.Rows {
		h := b.Num(t, i, "h_over_D")
		if h >= 0.8 {
			continue // the groove of an open gate is charged there: 0.1
		}
		got := must[duct.Coefficient](t)(duct.Gate(unit.Fraction(h))).K
		c.Near(t, "C", got, b.Num(t, i, "C"), tol, 0)
	}
}

// ACGIH contraction and expansion charts, from memory: warns only, and shows where the correlations in use part from them.
func TestAreaChangeCharts(t *testing.T) {
	c := refcase.Airflow(t, "AF-FIT-008")
	tol := c.Tol(t, "tol_abs")
	b := c.Table(t, "abrupt_contraction")
	for i := range b.Rows {
		to := unit.Metre(0.2 * math.Sqrt(b.Num(t, i, "A2_over_A1")))
		c.Near(t, "abrupt contraction", must[duct.Coefficient](t)(duct.Contraction(0.2, to, duct.Abrupt)).K, b.Num(t, i, "K"), 0, tol)
	}
	b = c.Table(t, "taper_contraction")
	for i := range b.Rows { // the manual's angle is that of one side
		got := must[duct.Coefficient](t)(duct.Contraction(0.2, 0.13, duct.Deg(2*b.Num(t, i, "taper_angle_deg")))).K
		share := 1 - math.Pow(0.13/0.2, 4) // VP2 - VP1 over VP2
		c.Near(t, "taper "+b.Text(t, i, "taper_angle_deg"), got/share, b.Num(t, i, "K"), 0, tol)
	}
	b = c.Table(t, "expansion_regain")
	for i := range b.Rows {
		angle := duct.Abrupt
		if name := b.Text(t, i, "taper_angle_deg"); name != "abrupt" {
			angle = duct.Deg(2 * b.Num(t, i, "taper_angle_deg"))
		}
		for column, ratio := range map[string]float64{"D_ratio_1.25": 1.25, "D_ratio_1.5": 1.5, "D_ratio_1.75": 1.75, "D_ratio_2": 2, "D_ratio_2.5": 2.5} {
			k := must[duct.Coefficient](t)(duct.Expansion(0.1, unit.Metre(0.1*ratio), angle)).K
			regain := 1 - k/(1-math.Pow(ratio, -4))
			c.Near(t, "regain "+b.Text(t, i, "taper_angle_deg")+" "+column, regain, b.Num(t, i, column), 0, tol)
		}
	}
}

// fluids 1.0.22, contraction_sharp, diffuser_sharp, diffuser_conical, contraction_conical.
func TestAreaChangeCorrelations(t *testing.T) {
	c := refcase.Airflow(t, "AF-FIT-009")
	small, large := unit.Metre(0.1016), unit.Metre(0.1524)
	k := func(from, to unit.Metre, angle unit.Radian) float64 {
		r := must[duct.Coefficient](t)(duct.SizeChange(from, to, angle))
		if r.On != small {
			t.Errorf("K is on %v m, want on the smaller bore", r.On)
		}
		return r.K
	}
	c.Check(t, "sharp_contraction_6_to_4_K_on_4in", k(large, small, duct.Abrupt))
	c.Check(t, "sharp_expansion_4_to_6_K_on_4in", k(small, large, duct.Abrupt))
	c.Check(t, "conical_expansion_15deg_K", k(small, large, duct.Deg(15)))
	c.Check(t, "conical_expansion_30deg_K", k(small, large, duct.Deg(30)))
	c.Check(t, "conical_contraction_30deg_K", k(large, small, duct.Deg(30)))

	// the case's widths allow for other handbooks; the correlation itself must come out to its printed digits
	// (AF-FIT-009: 0.384, 0.088, 0.253, 0.041; Rennels and Hudson's five branches as the library's documentation works them)
	for _, x := range []struct {
		name      string
		got, want float64
	}{
		{"sharp contraction", k(large, small, duct.Abrupt), 0.384},
		{"cone 15°", k(small, large, duct.Deg(15)), 0.088},
		{"cone 30°", k(small, large, duct.Deg(30)), 0.253},
		{"narrowing cone 30°", k(large, small, duct.Deg(30)), 0.041},
	} {
		if math.Abs(x.got-x.want) > 0.0006 {
			t.Errorf("%s: %v, want %v", x.name, x.got, x.want)
		}
	}
}

func TestWeatherCap(t *testing.T) {
	c := refcase.Airflow(t, "AF-FIT-010")
	b, tol := c.Table(t, "table"), c.Tol(t, "tol_abs")
	for i := range b.Rows {
		c.Near(t, "cap", must[duct.Coefficient](t)(duct.WeatherCap(b.Num(t, i, "H_over_D"))).K, b.Num(t, i, "loss_VP"), 0, tol)
	}
}

// ASHRAE ch. 21 table 7 (ED7-2).
func TestFanInletElbow(t *testing.T) {
	c := refcase.Airflow(t, "AF-FIT-012")
	b, tol := c.Table(t, "table"), c.Tol(t, "tol_abs")
	for i := range b.Rows {
		r := b.Num(t, i, "r_over_D")
		for column, l := range map[string]float64{"LD_0": 0, "LD_2": 2, "LD_5": 5, "LD_10": 10} {
			c.Near(t, column, must[duct.Coefficient](t)(duct.FanInletElbow(r, l)).K, b.Num(t, i, column), 0, tol)
		}
	}
	// "two diameters of straight duct cut the loss by about 45 percent"
	near, two := must[duct.Coefficient](t)(duct.FanInletElbow(1.5, 0)), must[duct.Coefficient](t)(duct.FanInletElbow(1.5, 2))
	if cut := 1 - two.K/near.K; math.Abs(cut-0.45) > 0.03 {
		t.Errorf("two diameters cut the loss by %.2f, the text says 0.45", cut)
	}
	// the lump used where nothing is known must hold what the table says within three diameters
	lump := duct.FanInletEffect()
	for _, l := range []float64{0, 1, 2, 3} {
		if add := must[duct.Coefficient](t)(duct.NearFan(1.5, l)).K; add < lump.Low || add > lump.High {
			t.Errorf("%v D before the fan adds %v, outside the lump's %v to %v", l, add, lump.Low, lump.High)
		}
	}
}

// ---- leaks -------------------------------------------------------------------------------------------------------------------

const perClassFlow = cfm / (100 * foot * foot) // cfm per 100 ft² in m/s

// US Bureau of Reclamation design guide, p. 14.
func TestLeakageClassExample(t *testing.T) {
	c := refcase.Airflow(t, "AF-LEAK-001")
	p := unit.Pascal(c.Num(t, "P") * inH2O)
	per := must[duct.Leak](t)(duct.SeamsOfClass(c.Num(t, "CL"), 100*foot*foot))
	c.Check(t, "F", float64(per.Flow(p, air.StandardUS))/cfm)
	all := must[duct.Leak](t)(duct.SeamsOfClass(c.Num(t, "CL"), unit.M2(c.Num(t, "area")*foot*foot)))
	c.Check(t, "Q_leak", float64(all.Flow(p, air.StandardUS))/cfm)
}

// SMACNA 1985 table 4-1.
func TestLeakageClasses(t *testing.T) {
	c := refcase.Airflow(t, "AF-LEAK-002")
	columns := map[duct.Seal]string{duct.SealC: "half_1_2_in_class_seal_C", duct.SealB: "3_in_class_seal_B", duct.SealA: "4_6_10_in_class_seal_A"}
	m, b := c.Map(t), c.Table(t, "table")
	for seal, column := range columns {
		round := must[duct.Leak](t)(duct.Seams(seal, 1))
		class := float64(round.Flow(inH2O, 1.2)) / perClassFlow
		c.Near(t, "round", class, b.Num(t, 1, column), 1e-6, 0)
		c.Near(t, "rectangular", duct.RectangularClass[seal], b.Num(t, 0, column), 1e-9, 0)
	}
	c.Near(t, "unsealed rectangular", duct.RectangularClass[duct.Unsealed], float64(m["unsealed_rectangular"].(int)), 1e-9, 0)
	loose := must[duct.Leak](t)(duct.Seams(duct.Unsealed, 1))
	c.Near(t, "unsealed", float64(loose.Flow(inH2O, 1.2))/perClassFlow, float64(m["unsealed_flexible"].(int)), 1e-6, 0)
}

func TestLeakageClassSI(t *testing.T) {
	c := refcase.Airflow(t, "AF-LEAK-003")
	for name, class := range map[string]float64{"class_3_SI": 3, "class_6_SI": 6} {
		c.Check(t, name, must[duct.Leak](t)(duct.SeamsOfClass(class, 1)).C*1000)
	}
}

// ASHRAE ch. 21 example 7: the exact column, not the printed one, which was cut to one figure.
func TestLeakageOverSections(t *testing.T) {
	c := refcase.Airflow(t, "AF-LEAK-004")
	in, want := c.GivenTable(t, "sections"), c.Table(t, "exact")
	tol := c.Tol(t, "tol_rel_exact")
	share := unit.Fraction(c.Num(t, "leak_fraction") / 100)
	face := unit.MPerSec(c.Num(t, "Q_fan") * litre / c.Num(t, "A_system"))
	total := 0.0
	for i := range in.Rows {
		p := unit.Pascal(in.Num(t, i, "dp_Pa"))
		class := duct.LeakageClass(share, face, p)
		c.Near(t, "class", class*1000, want.Num(t, i, "class_SI"), tol, 0)
		q := duct.Leak{C: class * in.Num(t, i, "A_m2"), N: duct.SeamExponent}.Flow(p, 1.2)
		c.Near(t, "allowed", float64(q)/litre, want.Num(t, i, "allowable_L_s"), tol, 0)
		total += float64(q) / litre
	}
	c.Near(t, "total", total, 0.03*c.Num(t, "Q_fan"), tol, 0)
}

func TestLeakageClassForATarget(t *testing.T) {
	c := refcase.Airflow(t, "AF-LEAK-005")
	share, face := unit.Fraction(c.Num(t, "fraction")/100), unit.MPerSec(c.Num(t, "Q_fan_over_A")*litre)
	c.Check(t, "CL_at_750_Pa", duct.LeakageClass(share, face, 750)*1000)
	c.Check(t, "CL_at_125_Pa", duct.LeakageClass(share, face, 125)*1000)
}

func TestHoles(t *testing.T) {
	c := refcase.Airflow(t, "AF-LEAK-006")
	a := duct.Leak{CdA: 2 * foot * foot, N: 0.5} // the published case has no discharge coefficient
	q := a.Flow(0.05*inWarm, air.StandardUS)
	c.Check(t, "a_V", float64(q)/(2*foot*foot)/fpm)
	c.Check(t, "a_Q", float64(q)/cfm)
	hole := must[duct.Leak](t)(duct.Hole(inch * inch))
	c.Check(t, "b_Q", float64(hole.Flow(5*inWarm, air.StandardUS))/cfm)
}

// ---- filters and cyclones ----------------------------------------------------------------------------------------------------

// usDrag turns inH2O per (lb/ft²) per (ft/min) into 1/s.
const usDrag = inH2O / (4.88243 * fpm)

// Williams, Hatch and Greenburg 1940, in Wang et al. 2004.
func TestCakeOfWood(t *testing.T) {
	c := refcase.Airflow(t, "AF-FIL-001")
	b := c.Table(t, "table")
	for i := range b.Rows {
		if b.Text(t, i, "dust") == "wood" {
			c.Near(t, "wood", duct.CakePessimistic/usDrag, b.Num(t, i, "K2"), c.Tol(t, "tol_rel"), 0)
			c.Near(t, "wood SI", duct.CakePessimistic, c.Tol(t, "wood_K2_SI_per_s"), c.Tol(t, "tol_rel"), 0)
			return
		}
	}
	t.Error("the table has no wood")
}

func TestDragModel(t *testing.T) {
	c := refcase.Airflow(t, "AF-FIL-002")
	v := c.Num(t, "V") * fpm
	k1 := c.Num(t, "K1") * inH2O / fpm
	k2, w := c.Num(t, "K2")*usDrag, c.Num(t, "W")*4.88243
	cake := duct.Cake(k1, k2, w, 1)
	clean := duct.Cake(k1, k2, 0, 1)
	at := func(r duct.Resistance, v float64) float64 { return float64(r.Loss(unit.M3PerSec(v))) / inH2O }
	c.Check(t, "clean_part", at(clean, v))
	c.Check(t, "cake_part", at(cake, v)-at(clean, v))
	c.Check(t, "dp", at(cake, v))
	c.Check(t, "dp_at_half_V_same_W", at(cake, v/2))
}

// Dembinski et al. 2021: the range in use holds all three bags.
func TestMeasuredCakes(t *testing.T) {
	c := refcase.Airflow(t, "AF-FIL-011")
	b, tol := c.Table(t, "table"), c.Tol(t, "tol_rel")
	for i := range b.Rows {
		k := b.Num(t, i, "K_per_s")
		c.Near(t, "US units", k/usDrag, b.Num(t, i, "K2_US_units"), tol, 0)
		if k < duct.CakeLow*(1-tol) || k > duct.CakeHigh*(1+tol) {
			t.Errorf("%s: %v is outside the range in use, %v to %v", b.Text(t, i, "bag"), k, duct.CakeLow, duct.CakeHigh)
		}
	}
	if duct.CakeTypical < duct.CakeLow || duct.CakeTypical > duct.CakeHigh {
		t.Error("the typical cake lies outside its range")
	}
}

func TestDirtyFilterAtTheFaceLoading(t *testing.T) {
	c := refcase.Airflow(t, "AF-FIL-012")
	b, tol := c.Table(t, "table"), c.Tol(t, "tol_rel")
	v, k1 := unit.M3PerSec(c.Num(t, "v")), c.Num(t, "K1")
	for i := range b.Rows {
		for column, w := range map[string]float64{"W_0": 0, "W_0.1": 0.1, "W_0.25": 0.25, "W_0.5": 0.5, "W_1": 1} {
			got := duct.Cake(k1, b.Num(t, i, "K_per_s"), w, 1).Loss(v)
			c.Near(t, column, float64(got), b.Num(t, i, column), tol, 0)
		}
	}
}

// Common practice, warns only: permeability of cloth and what follows from it.
func TestCleanDrag(t *testing.T) {
	c := refcase.Airflow(t, "AF-FIL-013")
	b, tol := c.Table(t, "table"), c.Tol(t, "tol_rel")
	for i := range b.Rows {
		test, face := unit.Pascal(200), unit.MPerSec(b.Num(t, i, "fabric_value")*0.001/(0.01*60))
		if b.Text(t, i, "unit") == "cfm/ft2" {
			test, face = 125, unit.MPerSec(b.Num(t, i, "fabric_value")*fpm)
		}
		c.Near(t, "face speed", float64(face), b.Num(t, i, "v_m_s"), tol, 0)
		c.Near(t, "K1", duct.CleanDrag(test, face), b.Num(t, i, "K1_Pa_s_m"), tol, 0)
	}
	felt := must[duct.Resistance](t)(duct.Filter(duct.Felt, duct.New, 1)) // needle felt, 100 to 300 L/(dm² min)
	c.Near(t, "felt, low", felt.Linear*felt.Low, 400, tol, 0)
	c.Near(t, "felt, high", felt.Linear*felt.High, 1200, tol, 0)
}

// Face loading of the German guidance: conversions, and the two-bag collector of its note.
func TestFaceLoading(t *testing.T) {
	c := refcase.Airflow(t, "AF-FIL-010")
	v := c.Want(t, "filter_face_loading_max").Value / 3600
	c.Check(t, "same_face_velocity", v)
	c.Check(t, "same_ft_per_min", v/fpm)
	// 3 m² of seasoned felt at that loading: 150·3/3600 m³/s through it
	f := must[duct.Resistance](t)(duct.Filter(duct.Felt, duct.Seasoned, 3))
	got := float64(f.Loss(unit.M3PerSec(3 * v)))
	if got < 2*700*v*0.99 || got > 5*700*v {
		t.Errorf("seasoned felt at the face loading loses %.0f Pa, want %.0f to %.0f", got, 2*700*v, 5*700*v)
	}
}

// Shepherd and Lapple, from memory: warns only.
func TestCycloneHeads(t *testing.T) {
	c := refcase.Airflow(t, "AF-CYC-004")
	b, tol := c.Table(t, "heads"), c.Tol(t, "tol_rel")
	for i := range b.Rows {
		k := duct.CycloneHeads(unit.Metre(b.Num(t, i, "H_over_D")), unit.Metre(b.Num(t, i, "W_over_D")), unit.Metre(b.Num(t, i, "De_over_D")))
		c.Near(t, b.Text(t, i, "design"), k.K, b.Num(t, i, "NH"), tol, 0)
	}
	b = c.Table(t, "lapple_examples")
	for i := range b.Rows {
		d := b.Num(t, i, "D_m")
		k := duct.CycloneHeads(unit.Metre(d/2), unit.Metre(d/4), unit.Metre(d/2))
		v := unit.MPerSec(b.Num(t, i, "Q_cfm") * cfm / (d * d / 8))
		c.Near(t, "inlet speed", float64(v), b.Num(t, i, "V_m_s"), tol, 0)
		c.Near(t, "loss", float64(k.Loss(1.2, v))/inH2O, b.Num(t, i, "dp_in_wg"), tol, 0)
	}
}

// Wang et al. 2006: at one inlet speed the loss does not depend on the size.
func TestCycloneLossDoesNotGoWithSize(t *testing.T) {
	c := refcase.Airflow(t, "AF-CYC-006")
	small, large := duct.CycloneHeads(0.1, 0.05, 0.1), duct.CycloneHeads(0.3, 0.15, 0.3)
	depends := 0.0
	if math.Abs(small.K-large.K) > 1e-12 {
		depends = 1
	}
	c.Check(t, "pressure_drop_depends_on_diameter_at_fixed_inlet_velocity", depends)
}
