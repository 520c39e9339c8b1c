package duct_test

import (
	"math"
	"testing"

	"winnow/internal/physics/air"
	"winnow/internal/physics/duct"
	"winnow/internal/refcase"
	"winnow/internal/unit"
)

// section is one run of the handbook's supply example: its loss of total pressure.
func section(t testing.TB, q, d, length, sumC, rho float64) (loss, vp float64) {
	t.Helper()
	v := unit.MPerSec(q / areaOf(d))
	fit := duct.Coefficient{K: sumC}
	loss = lossPerMetre(t, q, d, float64(duct.RoughnessSpiral12), rho, 1.82e-5)*length + float64(fit.Loss(unit.KgPerM3(rho), v))
	return loss, float64(air.VelocityPressure(unit.KgPerM3(rho), v))
}

// ASHRAE Fundamentals 2021 ch. 21 example 8, whole: four terminals, equal friction.
func TestFourTerminalSystem(t *testing.T) {
	c := refcase.Airflow(t, "AF-SYS-001")
	b := c.GivenTable(t, "sections")
	rho := c.Num(t, "rho")
	loss := map[string]float64{}
	for i := range b.Rows {
		name := b.Text(t, i, "section")
		q, length, sumC := b.Num(t, i, "Q_L_s")*litre, b.Num(t, i, "L_m"), b.Num(t, i, "sum_C")
		if name == "fan-1" { // 450 x 500: friction by the round equivalent at the real flow
			d := float64(duct.RoundOfRectangle(0.450, 0.500))
			loss[name] = lossPerMetre(t, q, d, float64(duct.RoughnessSpiral12), rho, 1.82e-5) * length
		} else {
			var vp float64
			loss[name], vp = section(t, q, b.Num(t, i, "size_mm")/1000, length, sumC, rho)
			c.Near(t, name+" velocity pressure", vp, b.Num(t, i, "pv_Pa"), 0, 0.6)
		}
		c.Near(t, name, loss[name], b.Num(t, i, "section_loss_Pa"), 0, 1+0.5*sumC) // printed from a velocity pressure cut to 1 Pa, and cut again
	}
	path := func(names ...string) (sum float64) {
		for _, n := range names {
			sum += loss[n]
		}
		return sum
	}
	a := path("fan-1", "1-2", "2-3")
	bb := path("fan-1", "1-2", "2-4", "4-5")
	cc := path("fan-1", "1-2", "2-4", "4-6", "6-7")
	d := path("fan-1", "1-2", "2-4", "4-6", "6-8", "8-9")
	c.Check(t, "path_A_total", a)
	c.Check(t, "path_B_total", bb)
	c.Check(t, "path_C_total", cc)
	c.Check(t, "path_D_total", d)
	c.Check(t, "worst_path_fan_total_pressure", max(a, bb, cc, d))
	c.Check(t, "imbalance_A", 1-a/d)
	c.Check(t, "imbalance_B", 1-bb/d)
	c.Check(t, "imbalance_C", 1-cc/d)
}

// The same system sized by static regain.
func TestStaticRegainSystem(t *testing.T) {
	c := refcase.Airflow(t, "AF-SYS-002")
	b := c.GivenTable(t, "trials")
	rho := c.Num(t, "rho")
	before := map[string]float64{"2-4": 375, "4-6": 350, "6-8": 325} // the bore before each, as chosen
	loss := map[string]float64{}
	for i := range b.Rows {
		name := b.Text(t, i, "from_to")
		dmm := b.Num(t, i, "D_mm")
		l, vp := section(t, b.Num(t, i, "Q_L_s")*litre, dmm/1000, b.Num(t, i, "L_m"), b.Num(t, i, "C"), rho)
		c.Near(t, name+" velocity pressure", vp, b.Num(t, i, "pv_Pa"), 0, 0.6)
		c.Near(t, name+" loss", l, b.Num(t, i, "section_loss_Pa"), 0, 1.2)
		// what the section upstream carries: 1520, 1140 or 760 L/s in the bore chosen for it
		upstream := map[string]float64{"2-4": 1520, "4-6": 1140, "6-8": 760}[name]
		_, vp0 := section(t, upstream*litre, before[name]/1000, 0, 0, rho)
		c.Near(t, name+" regain", float64(duct.StaticRegain(unit.Pascal(vp0), unit.Pascal(vp), unit.Pascal(l))), b.Num(t, i, "regain_Pa"), 0, 2)
		if chosen := map[string]float64{"2-4": 350, "4-6": 325, "6-8": 250}[name]; dmm == chosen {
			loss[name] = l
		}
	}
	head, _ := section(t, 1.520, 0.375, 6, 0.06, rho)
	fan1 := lossPerMetre(t, 1.520, float64(duct.RoundOfRectangle(0.450, 0.500)), float64(duct.RoughnessSpiral12), rho, 1.82e-5) * 1.5
	trunk := fan1 + head
	// branch sections 173, 159, 148, last 154 Pa are given
	c.Check(t, "path_A_total", trunk+173)
	c.Check(t, "path_B_total", trunk+loss["2-4"]+159)
	c.Check(t, "path_C_total", trunk+loss["2-4"]+loss["4-6"]+148)
	c.Check(t, "path_D_total", trunk+loss["2-4"]+loss["4-6"]+loss["6-8"]+154)
}

// Worksheet after the exhaust manual (22nd ed.), under its own conventions: no acceleration between sections, entries charged to the main.
func TestExhaustMainByHand(t *testing.T) {
	c := refcase.Airflow(t, "AF-SYS-003")
	b := c.GivenTable(t, "sections")
	elbow := elbow(t, duct.Bend{Make: duct.FourPiece, Angle: duct.Deg(90)})
	entry := must[duct.Coefficient](t)(duct.BranchEntry(duct.Deg(45))).K
	var before, discharge, hood, inletVP float64
	for i := range b.Rows {
		name := b.Text(t, i, "section")
		s := duct.HandSection{
			Flow: unit.M3PerSec(b.Num(t, i, "Q_cfm") * cfm), Bore: unit.Metre(b.Num(t, i, "D_in") * inch),
			Length: unit.Metre(b.Num(t, i, "L_ft") * foot), Fittings: elbow*b.Num(t, i, "n_elbows") + entry*b.Num(t, i, "n_entries"),
			HasHood: name == "A-B", Hood: 0.5,
		}
		s.Friction = duct.HandFriction(unit.MPerSec(float64(s.Flow)/areaOf(float64(s.Bore))), s.Flow)
		line := duct.HandSheet(s, air.StandardUS)
		c.Near(t, name+" VP", float64(line.VelocityPressure)/inWarm, b.Num(t, i, "VP_in_wg"), 0, 0.006)
		c.Near(t, name+" loss", float64(line.DuctLoss)/inWarm, b.Num(t, i, "section_loss"), 0, 0.04)
		if name == "J-K (discharge)" {
			discharge = float64(line.DuctLoss) / inWarm
			continue
		}
		before += float64(line.DuctLoss) / inWarm
		hood += float64(line.HoodSuction) / inWarm
		inletVP = float64(line.VelocityPressure) / inWarm
	}
	c.Check(t, "duct_loss_before_fan", before)
	c.Check(t, "hood_static_pressure", hood)
	c.Check(t, "suction_at_fan_inlet", before+hood)
	c.Check(t, "discharge_loss", discharge)
	c.Check(t, "VP_fan_inlet", inletVP)
	fsp := discharge + before + hood - inletVP
	c.Check(t, "fan_static_pressure", fsp)
	c.Check(t, "with_20_percent_margin", 1.2*fsp)
}

// University design problem 2, one branch by the velocity-pressure method, under its own convention for Hf.
func TestOneBranchByHand(t *testing.T) {
	c := refcase.Airflow(t, "AF-SYS-004")
	q := unit.M3PerSec(c.Num(t, "Q") * cfm)
	widest := duct.BoreOfArea(unit.M2(float64(q) / (c.Num(t, "min_transport_velocity") * fpm)))
	c.Check(t, "D_max", float64(widest)/inch)
	selected := 0.0
	for _, d := range []float64{3, 3.5, 4, 4.5, 5} { // for dust the next smaller standard size
		if d*inch <= float64(widest) {
			selected = d
		}
	}
	c.Check(t, "D_selected", selected)
	bore := unit.Metre(selected * inch)
	c.Check(t, "area", float64(duct.AreaOfBore(bore))/(foot*foot))
	line := duct.HandSheet(duct.HandSection{
		Flow: q, Bore: bore, Length: unit.Metre(c.Num(t, "L") * foot), Friction: c.Num(t, "Hf_printed") / foot,
		Hood: must[duct.Mouth](t)(duct.HoodMouth(duct.GrinderStraight)).Loss().K, HasHood: true,
	}, air.StandardUS)
	c.Check(t, "V", float64(line.Speed)/fpm)
	c.Check(t, "VP", float64(line.VelocityPressure)/inWarm)
	c.Check(t, "hood_static_pressure", float64(line.HoodSuction)/inWarm)
	c.Check(t, "friction", float64(line.DuctLoss/line.VelocityPressure))
	c.Check(t, "duct_loss", float64(line.DuctLoss)/inWarm)
	c.Check(t, "branch_static_pressure", float64(line.Suction)/inWarm)
	// the manual's own fit at the real speed agrees within the sheet's width
	c.Check(t, "friction", duct.HandFriction(line.Speed, q)*c.Num(t, "L")*foot)
}

func TestBalancingByFlow(t *testing.T) {
	c := refcase.Airflow(t, "AF-SYS-006")
	got := duct.BalancedFlow(unit.M3PerSec(c.Num(t, "Q")*cfm), unit.Pascal(c.Num(t, "SP_governing")*inH2O), unit.Pascal(c.Num(t, "SP_branch")*inH2O))
	c.Check(t, "Q_corrected", float64(got)/cfm)
}

func TestTotalIsStaticAndVelocity(t *testing.T) {
	c := refcase.Airflow(t, "AF-VP-002")
	c.Check(t, "SP", float64(duct.StaticOf(unit.Pascal(c.Num(t, "TP")), unit.Pascal(c.Num(t, "VP")))))
	// in suction SP lies further below the room than TP
	if sp := duct.StaticOf(-300, 200); sp != -500 {
		t.Errorf("got %v, want -500 Pa", sp)
	}
}

func TestResultantVelocityPressure(t *testing.T) {
	c := refcase.Airflow(t, "AF-VP-004")
	got := duct.ResultantVP(unit.M3PerSec(c.Num(t, "Q1")*cfm), unit.Pascal(c.Num(t, "VP1")*inH2O), unit.M3PerSec(c.Num(t, "Q2")*cfm), unit.Pascal(c.Num(t, "VP2")*inH2O))
	c.Check(t, "VPr", float64(got)/inH2O)
	// speeding up is charged, slowing down gives nothing back (the case's note)
	if a := duct.Acceleration(2.0*inH2O, got); math.Abs(float64(a)/inH2O-0.2) > 0.01 {
		t.Errorf("acceleration %v, want 0.2 inH2O", float64(a)/inH2O)
	}
	if a := duct.Acceleration(1.0*inH2O, got); a != 0 {
		t.Errorf("regain of %v, the manual gives none", a)
	}
}

// ASHRAE ch. 21 equations 35 and 36.
func TestEvenStart(t *testing.T) {
	c := refcase.Airflow(t, "AF-FAN-006")
	a := duct.AreaOfBore(0.150)
	c.Check(t, "Le_for_150mm_at_20_m_s", float64(duct.EvenStart(20, a)))
	c.Check(t, "Le_for_150mm_at_10_m_s", float64(duct.EvenStart(10, a)))
	c.Check(t, "Le_in_diameters_low_speed", float64(duct.EvenStart(10, a))/0.150)
}

// Filters are linear in flow, ducts quadratic: half the flow through a system that loses half in each costs 0.375, not 0.25.
func TestPitfall08FiltersAreLinear(t *testing.T) {
	c := refcase.Airflow(t, "AF-FAN-008")
	const q, bore = 0.2, 0.1
	pipe := duct.Coefficient{K: 3}
	lost := func(x float64) float64 { return float64(pipe.Loss(1.2, unit.MPerSec(x*q/areaOf(bore)))) }
	c.Check(t, "p_at_half_flow_ratio", lost(0.5)/lost(1))
	filter := must[duct.Resistance](t)(duct.FilterAtFlow(unit.Pascal(lost(1)), q))
	both := func(x float64) float64 { return lost(x) + float64(filter.Loss(unit.M3PerSec(x*q))) }
	c.Check(t, "with_filter_linear_half_share_at_half_flow", both(0.5)/both(1))
	new := must[duct.Resistance](t)(duct.Filter(duct.Spunbond, duct.Seasoned, 4))
	if got := float64(new.Loss(0.1) / new.Loss(0.2)); math.Abs(got-0.5) > 1e-12 {
		t.Errorf("half the flow through a filter loses %v of the pressure, want 0.5", got)
	}
}

// Flow at a speed by bore: geometry, in US sizes and in DN.
func TestFlowAtSpeed(t *testing.T) {
	c := refcase.Airflow(t, "AF-TRN-005")
	b, tol := c.Table(t, "table"), c.Tol(t, "tol_abs_cfm")
	for i := range b.Rows {
		a := float64(duct.AreaOfBore(unit.Metre(b.Num(t, i, "D_in") * inch)))
		for column, v := range map[string]float64{"Q_cfm_at_3500": 3500, "Q_cfm_at_4000": 4000, "Q_cfm_at_4500": 4500} {
			c.Near(t, column, a*v*fpm/cfm, b.Num(t, i, column), 0, tol)
		}
	}
	c = refcase.Airflow(t, "AF-EXH-012")
	b, rel := c.Table(t, "table"), c.Tol(t, "tol_rel")
	for i := range b.Rows {
		a := float64(duct.AreaOfBore(unit.Metre(b.Num(t, i, "DN_mm") / 1000)))
		c.Near(t, "m³/h", a*20*3600, b.Num(t, i, "Q_m3_h_at_20"), rel, 0)
		c.Near(t, "cfm", a*20/cfm, b.Num(t, i, "Q_cfm_at_20"), rel, 0)
	}
}
