package particle

import (
	"encoding/csv"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"testing"

	"winnow/internal/physics/air"
	"winnow/internal/refcase"
	"winnow/internal/unit"
)

// room20 is dry air at 20 °C and 1 atm, as the cases say.
func room20(t testing.TB) air.State {
	t.Helper()
	a, err := air.Of(air.SeaLevel, air.Zero+20, 0)
	if err != nil {
		t.Fatal(err)
	}
	return a
}

func um(x float64) unit.Metre { return unit.Metre(x) * Micrometre }

func TestAirByTheAerosolTexts(t *testing.T) {
	a := room20(t)
	refcase.Air(t, "air-mean-free-path").Near(t, "mean free path, µm", float64(FreePath(a)/Micrometre), refcase.AirNum(t, refcase.Air(t, "air-mean-free-path").Expected, "value"))
	refcase.Air(t, "air-viscosity").Near(t, "viscosity", float64(a.Viscosity), refcase.AirNum(t, refcase.Air(t, "air-viscosity").Expected, "value"))
	refcase.Air(t, "slip-1um").Near(t, "slip", float64(Slip(um(1), a)), 1.15)
}

// Hinds, Aerosol Technology, eq. 3.20 and 3.21, worked outside the project.
func TestSettlingByHinds(t *testing.T) {
	a := room20(t)
	for _, d := range []string{"0.3", "0.5", "1", "2.5", "10", "30", "100"} {
		c := refcase.Air(t, "settling-"+d+"um")
		size := um(refcase.AirNum(t, c.Given, "d_ae_um"))
		c.Near(t, "settling speed", float64(Settling(size, a)), refcase.AirNum(t, c.Expected, "value"))
		if c.Expected["slip_correction"] != nil {
			c.Near(t, "slip", float64(Slip(size, a)), refcase.AirNum(t, c.Expected, "slip_correction"))
		}
	}
	for _, id := range []string{"settling-loss-10um-2.4m", "settling-loss-2.5um-2.4m"} {
		c := refcase.Air(t, id)
		k := StirredLoss(um(refcase.AirNum(t, c.Given, "d_ae_um")), unit.Metre(refcase.AirNum(t, c.Given, "H_m")), a)
		c.Near(t, "loss per hour", 3600*float64(k), refcase.AirNum(t, c.Expected, "value"))
	}
	c := refcase.Air(t, "aerodynamic-diameter")
	got := Aerodynamic(um(refcase.AirNum(t, c.Given, "volume_equiv_um")), unit.KgPerM3(1000*refcase.AirNum(t, c.Given, "density_g_cm3")), unit.Number(refcase.AirNum(t, c.Given, "dynamic_shape_factor")))
	c.Near(t, "aerodynamic diameter", float64(got/Micrometre), refcase.AirNum(t, c.Expected, "value"))
}

// Stokes without the drag of faster flow would be 18 to 20 % too fast at 100 µm.
func TestDragCountsAtAHundredMicrometres(t *testing.T) {
	stokes := refcase.AirNum(t, refcase.Air(t, "settling-100um").Expected, "stokes_would_give")
	v := float64(Settling(um(100), room20(t)))
	if r := stokes / v; r < 1.16 || r > 1.24 {
		t.Errorf("Stokes over ours at 100 µm is %.3f, not about 1.2", r)
	}
}

// ISO 7708 by Soderholm 1989.
func TestConventions(t *testing.T) {
	c := refcase.Air(t, "convention-table")
	for _, r := range c.Rows(t) {
		for i, v := range []Convention{Inhalable, Thoracic, Respirable} {
			c.Near(t, fmt.Sprintf("%v at %g µm", v, r[0]), 100*float64(v.At(um(r[0]))), r[i+1])
		}
	}
	for id, conv := range map[string]Convention{"convention-cut-respirable": Respirable, "convention-cut-thoracic": Thoracic} {
		lo, hi := 1.0, 50.0
		for range 60 {
			if mid := (lo + hi) / 2; conv.At(um(mid)) > 0.5 {
				lo = mid
			} else {
				hi = mid
			}
		}
		refcase.Air(t, id).Near(t, "half-way size", lo, refcase.AirNum(t, refcase.Air(t, id).Expected, "value"))
	}
	// The three formulae, written out once more from the case texts: convention-inhalable-formula,
	// convention-thoracic-formula and convention-respirable-formula.
	for _, d := range []float64{0.4, 1.3, 4.25, 11.64, 33, 99} {
		si := 0.5 * (1 + math.Exp(-0.06*d))
		phi := func(m float64) float64 { return 0.5 * (1 + math.Erf(math.Log(d/m)/math.Log(1.5)/math.Sqrt2)) }
		for v, want := range map[Convention]float64{Inhalable: si, Thoracic: si * (1 - phi(11.64)), Respirable: si * (1 - phi(4.25))} {
			if got := float64(v.At(um(d))); math.Abs(got-want) > 1e-12 {
				t.Errorf("%v at %g µm is %g, the formula gives %g", v, d, got, want)
			}
		}
	}
}

func TestRespirableShareOfASpread(t *testing.T) {
	for _, id := range []string{"lognormal-respirable-share-mmad9-gsd2", "lognormal-respirable-share-mmad20-gsd2"} {
		c := refcase.Air(t, id)
		s := Spread{um(refcase.AirNum(t, c.Given, "MMAD_um")), unit.Number(refcase.AirNum(t, c.Given, "GSD"))}
		c.Near(t, "respirable of inhalable", float64(s.Breathed(Respirable)/s.Breathed(Inhalable)), refcase.AirNum(t, c.Expected, "value"))

		// The twelve bins must tell the same story, within 5 %.
		bins := Usual()
		share, resp, inh := s.Shares(bins), Respirable.OfBins(bins), Inhalable.OfBins(bins)
		var r, i float64
		for k := range bins {
			r, i = r+share[k]*resp[k], i+share[k]*inh[k]
		}
		if want := refcase.AirNum(t, c.Expected, "value"); math.Abs(r/i/want-1) > 0.05 {
			t.Errorf("%s: in bins %.4f, the integral is %.4f", id, r/i, want)
		}
	}
}

func ourRoom() Surfaces { return SurfacesOf(20, 18, 2.4) }

// Measured losses in houses against the default: Howard-Reed 2003, a preprint of 2022, Lee 2014, He 2005, Thatcher 2002.
func TestDepositionAgainstMeasuredRooms(t *testing.T) {
	a, s := room20(t), ourRoom()
	perHour := func(d float64) float64 { return 3600 * float64(Deposition(um(d), s, a).Best) }

	refcase.Air(t, "deposition-0.3-0.5um").Near(t, "loss at 0.4 µm", perHour(0.4), 0.3)
	refcase.Air(t, "deposition-0.3um-still-room").Near(t, "loss at 0.3 µm", perHour(0.3), 0.6)
	// "over 10 µm" by a counter is mostly what is just over it.
	refcase.Air(t, "deposition-over-10um").Near(t, "loss at 11 µm", perHour(11), 5.2)

	c := refcase.Air(t, "deposition-submicron-range")
	if r := Deposition(um(0.5), s, a); 3600*float64(r.High) < refcase.AirNum(t, c.Expected, "low")-0.2 {
		c.Say(t, "%s: the top of our range, %.2f per hour, does not reach the measured %.2f", c.ID, 3600*float64(r.High), refcase.AirNum(t, c.Expected, "low"))
	}
	// Furnishing and moving air each stay inside our half to three times.
	for _, id := range []string{"deposition-furnishing-factor", "deposition-airspeed-factor"} {
		c := refcase.Air(t, id)
		for _, d := range []float64{0.7, 2, 5, 10} {
			r := Deposition(um(d), s, a)
			if up := float64(r.High / r.Best); up < refcase.AirNum(t, c.Expected, "high") {
				c.Say(t, "%s: at %g µm the range reaches %.2f times the best, measured rooms %.2f", id, d, up, refcase.AirNum(t, c.Expected, "high"))
			}
		}
	}
	// A fan doubles what is under 5 µm, ±25 %: it must stay inside the range.
	c = refcase.Air(t, "deposition-fan-doubles")
	if r := Deposition(um(3), s, a); float64(r.High/r.Best) < refcase.AirNum(t, c.Expected, "value") {
		c.Say(t, "%s: a doubled loss at 3 µm is outside our range", c.ID)
	}
	// deposition-minimum-size: the modelled loss is lowest between 0.1 and 0.5 µm, around the measured 0.2 to 0.3.
	c = refcase.Air(t, "deposition-minimum-size")
	least, at := math.Inf(1), 0.0
	for d := 0.02; d < 3; d *= 1.02 {
		if k := float64(Modelled(um(d), UsualFriction, s, a)); k < least {
			least, at = k, d
		}
	}
	if at < refcase.AirNum(t, c.Expected, "low")/2 || at > refcase.AirNum(t, c.Expected, "high")*2 {
		c.Say(t, "%s: lowest loss at %.2f µm", c.ID, at)
	}
}

// Below 0.5 µm gravity alone is about 30 times too slow, so it is never used alone there.
func TestDepositionIsMeasuredNotSettledBelowAMicrometre(t *testing.T) {
	c := refcase.Air(t, "settling-loss-0.4um-underpredicts")
	a, d := room20(t), um(refcase.AirNum(t, c.Given, "d_ae_um"))
	alone := 3600 * float64(StirredLoss(d, unit.Metre(refcase.AirNum(t, c.Given, "H_m")), a))
	if math.Abs(alone-refcase.AirNum(t, c.Given, "settling_only_per_h")) > 0.003 {
		t.Errorf("settling alone at 0.4 µm is %.4f per hour, the case says %.4f", alone, refcase.AirNum(t, c.Given, "settling_only_per_h"))
	}
	if ours := 3600 * float64(Deposition(d, ourRoom(), a).Best); ours < 20*alone {
		t.Errorf("the loss at 0.4 µm is %.3f per hour, only %.0f times settling alone", ours, ours/alone)
	}
}

// Lai and Nazaroff 2000: smooth walls take what diffusion brings, floors what falls; curves from memory: at u* 1 cm/s
// a floor takes 1e-5 to 1e-4 m/s near 0.3 µm, and v_s above 2 µm.
func TestDepositionCurvesOfLaiAndNazaroff(t *testing.T) {
	a := room20(t)
	for _, d := range []float64{3, 10, 20} {
		wall, up, down := Onto(um(d), 0.01, a)
		vs := Settling(um(d), a)
		if r := float64(up / vs); math.Abs(r-1) > 0.02 {
			t.Errorf("at %g µm the floor takes %.3f of the settling speed", d, r)
		}
		if wall > vs/20 || down > vs/20 {
			t.Errorf("at %g µm walls take %g and the ceiling %g of a settling speed of %g", d, wall, down, vs)
		}
	}
	for _, d := range []float64{0.02, 0.1, 0.5, 1} {
		wall, up, down := Onto(um(d), 0.01, a)
		// Without gravity the three are one, and their mean stays the wall's.
		if !(down < wall && wall < up) {
			t.Errorf("at %g µm down %g, wall %g, up %g do not rise", d, down, wall, up)
		}
		if math.Abs(float64(up-down-Settling(um(d), a))) > 1e-9*float64(up) {
			t.Errorf("at %g µm floor less ceiling is %g, settling %g: the two formulae differ by exactly that", d, up-down, Settling(um(d), a))
		}
	}
	if _, up, _ := Onto(um(0.3), 0.01, a); up < 5e-6 || up > 1e-4 {
		t.Logf("question, not a bug (from memory): the floor takes %g m/s at 0.3 µm", up)
	}
}

// The closed form against the integral it stands for, with the eddy viscosity Lai and Nazaroff take for the three
// layers by the wall: ν_t/ν = 7.669e-4·y³ up to 4.3, 1e-3·y^2.8214 up to 12.5, 1.07e-2·y^1.8895 up to 30 (their table 2).
func TestDepositionAgainstTheLayersByTheWall(t *testing.T) {
	a := room20(t)
	nu := float64(a.Viscosity) / float64(a.Density)
	for _, p := range [][2]float64{{0.01, 0.01}, {0.05, 0.01}, {0.3, 0.01}, {1, 0.03}, {5, 0.01}, {15, 0.03}, {30, 0.1}} {
		d, u := p[0], p[1]
		diffusion := 1.380649e-23 * 293.15 * float64(Slip(um(d), a)) / (3 * math.Pi * float64(a.Viscosity) * d * 1e-6)
		eddy := func(y float64) float64 {
			switch {
			case y < 4.3:
				return 7.669e-4 * y * y * y
			case y < 12.5:
				return 1e-3 * math.Pow(y, 2.8214)
			}
			return 1.07e-2 * math.Pow(y, 1.8895)
		}
		from := d * 1e-6 * u / (2 * nu)
		sum, n := 0.0, 200000
		for i := range n { // even in the logarithm, as the wall matters most
			y := from * math.Pow(30/from, (float64(i)+0.5)/float64(n))
			sum += y * math.Log(30/from) / float64(n) / (eddy(y) + diffusion/nu)
		}
		wall, _, _ := Onto(um(d), unit.MPerSec(u), a)
		if r := u / float64(wall) / sum; math.Abs(r-1) > 0.015 {
			t.Errorf("at %g µm the closed form is %.4f of the integral", d, r)
		}
	}
}

func TestMERVMinimums(t *testing.T) {
	c := refcase.Air(t, "merv-minimums")
	for _, r := range c.Rows(t) {
		class := int(r[0])
		for e := 1; e <= 3; e++ {
			got, set := MERVMinimum(class, e)
			if set == math.IsNaN(r[e]) {
				c.Say(t, "MERV %d range %d: set is %v, the table says %v", class, e, set, r[e])
				continue
			}
			if set {
				c.Near(t, fmt.Sprintf("MERV %d range %d", class, e), 100*float64(got), r[e])
			}
		}
	}
	// The two rows that were seen, not recalled.
	for class, want := range map[int][3]float64{11: {0.20, 0.65, 0.85}, 13: {0.50, 0.85, 0.90}} {
		f, err := OfMERV(class)
		if err != nil {
			t.Fatal(err)
		}
		for i, d := range []float64{0.6, 2, 5} {
			if got := float64(f.Keeps(um(d), New).Best); math.Abs(got-want[i]) > 1e-12 {
				t.Errorf("MERV %d keeps %.3f at %g µm, its minimum is %.3f", class, got, d, want[i])
			}
		}
	}
	// merv-size-bins: our ranges end where the standard's twelve do.
	edges := refcase.Air(t, "merv-size-bins")
	for i, r := range edges.Expected["rows"].([]any) {
		list := r.([]any)[1].([]any)
		f, _ := OfMERV(13)
		last, _ := list[len(list)-1].(float64)
		if float64(f.steps[i].upTo/Micrometre) != last {
			t.Errorf("range %d ends at %v, the standard at %v", i+1, f.steps[i].upTo, last)
		}
	}
	// merv-2007-edition: the editions differ, so a MERV 13 says which: ours is 2017, with a floor in E1.
	if row := refcase.Air(t, "merv-2007-edition").Words(t); row[0] != "13" {
		t.Fatalf("the case changed: %v", row)
	}
	if e1, set := MERVMinimum(13, 1); !set || e1 >= 0.75 {
		t.Errorf("MERV 13 E1 is %v: the 2017 floor lies under the older 'under 75 %%'", e1)
	}
}

func TestISO16890Groups(t *testing.T) {
	c := refcase.Air(t, "iso16890-groups")
	for i, name := range c.Words(t) {
		top := c.Rows(t)[i][2]
		f, err := OfEPM(top, 0.55)
		if err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		// The mean over the group's range, on a fine grid of its own, gives the claim back.
		low, sum, n := c.Rows(t)[i][1], 0.0, 4000
		for k := range n {
			d := low * math.Pow(top/low, (float64(k)+0.5)/float64(n))
			sum += float64(f.Keeps(um(d), New).Best)
		}
		if got := sum / float64(n); math.Abs(got-0.55) > 0.001 {
			t.Errorf("%s 55 %% removes %.4f of its group", name, got)
		}
	}
}

func TestHighGrades(t *testing.T) {
	c := refcase.Air(t, "hepa-us")
	f, err := OfHighGrade("HEPA 99.97")
	if err != nil {
		t.Fatal(err)
	}
	c.Near(t, "HEPA at 0.3 µm", 100*float64(f.Keeps(um(refcase.AirNum(t, c.Given, "size_um")), New).Best), refcase.AirNum(t, c.Expected, "value"))
	c = refcase.Air(t, "hepa-en1822")
	for i, class := range c.Words(t) {
		f, err := OfHighGrade(class)
		if err != nil {
			t.Fatal(err)
		}
		c.Near(t, class, 100*float64(f.Keeps(um(0.3), New).Best), c.Rows(t)[i][1])
	}
	// filter-nominal-absolute: a nominal size fixes nothing, so its range is far wider than a tested class's.
	_ = refcase.Air(t, "filter-nominal-absolute")
	claimed, _ := ParseGrade("1 µm claimed")
	tested, _ := ParseGrade("MERV 13")
	width := func(f Filter) float64 { lo, hi := f.Doubt(); return hi / lo }
	if width(claimed) < 3*width(tested) {
		t.Errorf("a claim's odds span %.1f, a tested class's %.1f", width(claimed), width(tested))
	}
}

func TestSealedVacuumClasses(t *testing.T) {
	// EN 60335-2-69: 1, 0.1 and 0.005 % (from memory).
	for class, passes := range map[string]float64{"L": 0.01, "M": 0.001, "H": 0.00005} {
		f, err := ParseGrade("class " + class)
		if err != nil {
			t.Fatal(err)
		}
		if got := 1 - float64(f.Keeps(um(1), Seasoned).Best); math.Abs(got-passes) > 1e-12 {
			t.Errorf("class %s passes %g, the standard %g", class, got, passes)
		}
	}
}

// Common practice, no source: 1 µm or finer at the collector's filter; a plain shop vacuum returns the finest dust.
func TestFiltersOfTheTrade(t *testing.T) {
	keeps := func(grade string, d float64) float64 {
		f, err := ParseGrade(grade)
		if err != nil {
			t.Fatal(err)
		}
		return float64(f.Keeps(um(d), Seasoned).Best)
	}
	for _, d := range []float64{0.4, 1, 3} {
		if !(keeps("1 µm claimed", d) > keeps("5 µm claimed", d) && keeps("5 µm claimed", d) > keeps("30 µm claimed", d)) {
			t.Errorf("at %g µm a finer claim does not keep more", d)
		}
	}
	if k := keeps("", 0.4); k > 0.7 {
		t.Errorf("an unknown paper keeps %.2f at 0.4 µm: a plain vacuum returns the finest dust", k)
	}
	if keeps("", 0.4) > keeps("HEPA H13", 0.4)-0.2 {
		t.Error("a HEPA vacuum is hardly better than a plain one")
	}
}

func TestCleanAirDelivery(t *testing.T) {
	ft3, ft2, cfm := 0.3048*0.3048*0.3048, 0.3048*0.3048, 0.3048*0.3048*0.3048/60

	// cadr-definition: both faces of it.
	if got := CleanAir(0.2, 0.85); math.Abs(float64(got)-0.17) > 1e-12 {
		t.Errorf("0.2 m³/s at 85 %% delivers %v", got)
	}
	if got := CleanAirFromDecay(28.5, 5.0/3600, 0.5/3600); math.Abs(float64(got)-28.5*4.5/3600) > 1e-12 {
		t.Errorf("4.5 per hour more in 28.5 m³ delivers %v", got)
	}
	_ = refcase.Air(t, "cadr-definition")

	c := refcase.Air(t, "cadr-two-thirds-ach")
	floor := 300 * ft2
	ach := (2.0 / 3 * 300 * cfm) / (floor * refcase.AirNum(t, c.Given, "ceiling_ft") * 0.3048) * 3600
	c.Near(t, "air changes by the two-thirds rule", ach, refcase.AirNum(t, c.Expected, "value"))

	c = refcase.Air(t, "cadr-1.55-rule")
	volume := unit.M3(155 * ft2 * refcase.AirNum(t, c.Given, "ceiling_ft") * 0.3048)
	other := unit.PerSec(refcase.AirNum(t, c.Given, "background_loss_per_h") / 3600)
	c.Near(t, "reduction by the 1.55 rule", float64(Effect(unit.M3PerSec(100*cfm), volume, other)), refcase.AirNum(t, c.Expected, "value"))

	c = refcase.Air(t, "cleaner-95pct-need")
	k := unit.PerSec(refcase.AirNum(t, c.Given, "k_other_per_h") / 3600)
	need := Delivery(unit.Fraction(refcase.AirNum(t, c.Given, "target_reduction")), 1, k) // in 1 m³: a rate
	c.Near(t, "added clean air per hour", 3600*float64(need), refcase.AirNum(t, c.Expected, "value"))

	// cleaner-effectiveness: Delivery undoes Effect.
	_ = refcase.Air(t, "cleaner-effectiveness")
	if got := Effect(Delivery(0.7, 90, 0.001), 90, 0.001); math.Abs(float64(got)-0.7) > 1e-12 {
		t.Errorf("a delivery for 70 %% lowers by %v", got)
	}

	// diy-filter-box-cadr: five MERV 13 panels on a box fan. What it moves is not printed; a fan's 700 to 1,000 cfm
	// (common practice) through MERV 13 above 0.5 µm must meet the measured band.
	c = refcase.Air(t, "diy-filter-box-cadr")
	f, _ := OfMERV(13)
	low := 700 * float64(f.Keeps(um(2), New).Best)
	high := 1000 * float64(f.Keeps(um(2), New).Best)
	if high < refcase.AirNum(t, c.Expected, "low") || low > refcase.AirNum(t, c.Expected, "high") {
		c.Say(t, "%s: %.0f to %.0f cfm misses the measured band", c.ID, low, high)
	}
	_ = ft3
}

// CDC 1994, table S3-1: holds only after the source stops, with perfect mixing (purge-source-on, purge-formula).
func TestPurgeTable(t *testing.T) {
	c := refcase.Air(t, "purge-cdc-table")
	for _, r := range c.Rows(t) {
		for i, removed := range []unit.Fraction{0.90, 0.99, 0.999} {
			got := PurgeTime(unit.PerSec(r[0]/3600), removed, 1) / 60
			c.Near(t, fmt.Sprintf("%g air changes, %v", r[0], removed), float64(got), r[i+1])
		}
	}
	c = refcase.Air(t, "purge-mixing-factor")
	got := PurgeTime(unit.PerSec(refcase.AirNum(t, c.Given, "ach_per_h")/3600), unit.Fraction(refcase.AirNum(t, c.Given, "removal_pct")/100), unit.Number(refcase.AirNum(t, c.Given, "mixing_factor")))
	c.Near(t, "purge with poor mixing", float64(got)/60, refcase.AirNum(t, c.Expected, "value"))
	if c := refcase.Air(t, "purge-formula"); c.Kind != "formula" {
		t.Fatal("the case changed")
	}
}

func TestBulking(t *testing.T) {
	c := refcase.Air(t, "bulk-expansion-factors")
	of := map[string]Residue{"sawdust": Sawdust, "planer shavings": Shavings, "pulp chips, loose": ChipsLoose, "pulp chips, compacted": ChipsCompacted, "hog fuel": HogFuel}
	for i, name := range c.Words(t) {
		c.Near(t, name, float64(of[name].Bulking()), c.Rows(t)[i][1])
	}
	c = refcase.Air(t, "bulk-solid-per-200ft3-unit")
	for i, name := range c.Words(t) {
		c.Near(t, name, refcase.AirNum(t, c.Given, "unit_ft3")/float64(of[name].Bulking()), c.Rows(t)[i][1])
	}
	c = refcase.Air(t, "bulk-planer-bin-fill")
	solid := refcase.AirNum(t, c.Given, "board_width_mm") / 1e3 * refcase.AirNum(t, c.Given, "board_length_m") * refcase.AirNum(t, c.Given, "depth_mm") / 1e3 * refcase.AirNum(t, c.Given, "boards")
	c.Near(t, "litres of shavings", 1000*float64(Shavings.Loose(unit.M3(solid))), refcase.AirNum(t, c.Expected, "value"))
}

// Lapple's cyclone: the published relations and examples (airflow.yaml).
func TestCyclonesByLapple(t *testing.T) {
	warm := air.State{Density: 1.184, Viscosity: 1.849e-5}
	one := refcase.Airflow(t, "AF-CYC-001")
	_ = one
	// E 0.80 at 2.5 µm means a cut of 1.25 µm, and the body that has it at 0.111 m³/s is 123.5 mm.
	if got := BodyCut(0.1235, 0.111, 1500, warm); math.Abs(float64(got/Micrometre)-1.25) > 0.01 {
		t.Errorf("AF-CYC-001: the cut is %.3f µm, not 1.25", float64(got/Micrometre))
	}
	if got := Keeps(um(2.5), um(1.25)); math.Abs(float64(got)-0.8) > 1e-12 {
		t.Errorf("AF-CYC-001: it keeps %.3f at 2.5 µm, not 0.80", got)
	}
	if got := CycloneCut(0.15, 8, 20, 1000, air.State{Density: 1.009, Viscosity: 2.08e-5}); math.Abs(float64(got/Micrometre)/5.29-1) > 0.015 {
		t.Errorf("AF-CYC-002: the cut is %.3f µm, not 5.29", float64(got/Micrometre))
	}
	for _, r := range [][2]float64{{0.25, 0.0588}, {0.5, 0.2}, {1, 0.5}, {2, 0.8}, {3, 0.9}, {5, 0.9615}, {10, 0.9901}} {
		if got := Keeps(um(r[0]), um(1)); math.Abs(float64(got)-r[1]) > 0.001 {
			t.Errorf("AF-CYC-003: at %g cuts it keeps %.4f, not %.4f", r[0], got, r[1])
		}
	}
	// AF-CYC-004 (from memory): body, flow and cut at 650 kg/m³.
	for _, r := range [][3]float64{{0.3, 600, 4.44}, {0.4, 600, 6.83}, {0.4, 1000, 5.29}, {0.5, 1000, 7.4}} {
		got := BodyCut(unit.Metre(r[0]), unit.M3PerSec(r[1]*0.000471947), 650, air.State{Density: 1.2, Viscosity: 1.8e-5})
		if math.Abs(float64(got/Micrometre)/r[2]-1) > 0.02 {
			t.Logf("question, not a bug: AF-CYC-004: %g m at %g cfm cuts at %.2f µm, not %.2f", r[0], r[1], float64(got/Micrometre), r[2])
		}
	}
	// AF-CYC-005 (from memory): D 1 m, 150 m³/min, the whole of a size distribution.
	hot := air.State{Density: 1.0, Viscosity: 0.075 / 3600}
	cut := CycloneCut(0.25, 6, 20, 1600, hot)
	whole := 0.0
	for _, r := range [][2]float64{{1, .01}, {3, .09}, {5, .1}, {8, .3}, {14, .3}, {24, .14}, {40, .05}, {75, .01}} {
		whole += r[1] * float64(Keeps(um(r[0]), cut))
	}
	if math.Abs(float64(cut/Micrometre)/6.24-1) > 0.01 || math.Abs(whole-0.683) > 0.02 {
		t.Logf("question, not a bug: AF-CYC-005: cut %.2f µm, keeps %.3f in all", float64(cut/Micrometre), whole)
	}
}

// The recorded traces are not part of the project's tree; WINNOW_TRACES names the folder that holds them.
func traces(t *testing.T) string {
	t.Helper()
	dir := os.Getenv("WINNOW_TRACES")
	if dir == "" {
		t.Skip("WINNOW_TRACES is not set: the published sensor traces are not checked")
	}
	return dir
}

func column(t *testing.T, file, name string) (at []unit.Second, c []float64) {
	t.Helper()
	f, err := os.Open(filepath.Join(traces(t), file))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	time, col := -1, -1
	for i, h := range rows[0] {
		switch h {
		case "time":
			time = i
		case name:
			col = i
		}
	}
	if time < 0 || col < 0 {
		t.Fatalf("%s has no column %q", file, name)
	}
	for _, r := range rows[1:] {
		x, err1 := strconv.ParseFloat(r[time], 64)
		y, err2 := strconv.ParseFloat(r[col], 64)
		if err1 != nil || err2 != nil {
			t.Fatalf("%s: %v %v", file, err1, err2)
		}
		at, c = append(at, unit.Second(x)), append(c, y)
	}
	return at, c
}

// namedWindow is the window of the published list: from the first sample at or below 1000 after the maximum to the
// last before the first under 100.
func namedWindow(c []float64) (from, to int) {
	peak := 0
	for i := range c {
		if c[i] > c[peak] {
			peak = i
		}
	}
	from = peak
	for c[from] > 1000 {
		from++
	}
	to = from
	for to < len(c) && c[to] >= 100 {
		to++
	}
	return from, to
}

func TestPublishedDecaysOfAChamber(t *testing.T) {
	traces(t)
	fit := func(file string) Decay {
		at, c := column(t, file, "mPM2.5")
		from, to := namedWindow(c)
		d, err := FitThrough(at[from:to], c[from:to])
		if err != nil {
			t.Fatal(err)
		}
		return d
	}
	c := refcase.Air(t, "chamber-natural-decay-B")
	natural := fit(c.Given["file"].(string))
	c.Near(t, "natural loss per hour", 3600*float64(natural.Rate), refcase.AirNum(t, c.Expected, "value"))
	if natural.Points != int(refcase.AirNum(t, c.Expected, "points")) {
		t.Errorf("%d points, published %v", natural.Points, c.Expected["points"])
	}
	sides := refcase.Air(t, "chamber-volume")
	volume := 1.0
	for _, s := range sides.Given["in_inches"].([]any) {
		x, isInt := s.(int)
		y := float64(x)
		if !isInt {
			y = s.(float64)
		}
		volume *= y / 12
	}
	sides.Near(t, "volume of the chamber", volume, refcase.AirNum(t, sides.Expected, "value"))

	cubic, cfm := unit.M3(0.0283168466), 0.000471947443
	for n := 1; n <= 4; n++ {
		c := refcase.Air(t, fmt.Sprintf("chamber-trial%d", n))
		v := unit.M3(refcase.AirNum(t, c.Given, "volume_ft3")) * cubic
		off := unit.PerSec(refcase.AirNum(t, c.Given, "natural_decay_per_h") / 3600)
		want := refcase.AirNum(t, c.Expected, "value")
		on := fit(c.Given["file"].(string))
		c.Near(t, "total loss per hour", 3600*float64(on.Rate), refcase.AirNum(t, c.Expected, "total_decay_per_h"))
		c.Near(t, "clean-air delivery, cfm", float64(CleanAirFromDecay(v, on.Rate, off))/cfm, want)

		// Our own choice of window, on both traces, must come within 15 % of the published figure.
		at, y := column(t, c.Given["file"].(string), "mPM2.5")
		ours, err := FitDecay(at, y, 0, 0)
		if err != nil {
			t.Fatal(err)
		}
		at, y = column(t, "chamber-natural-sensorB.csv", "mPM2.5")
		still, err := FitDecay(at, y, 0, 0)
		if err != nil {
			t.Fatal(err)
		}
		if got := float64(CleanAirFromDecay(v, ours.Rate, still.Rate)) / cfm; math.Abs(got/want-1) > 0.15 {
			t.Errorf("trial %d: our own fit delivers %.0f cfm (%.1f and %.1f per hour), published %.0f", n, got, 3600*float64(ours.Rate), 3600*float64(still.Rate), want)
		}
	}
}

// Pitfall: the way of fitting alone moves the answer by about a fifth, so window and fit are said with every rate.
func TestTheWayOfFittingMatters(t *testing.T) {
	c := refcase.Air(t, "chamber-fit-method-matters")
	at, y := column(t, c.Given["file"].(string), "pm2.5")
	_, fine := column(t, c.Given["file"].(string), ">0.3")
	from := 0
	for fine[from] >= 65535 {
		from++
	}
	at, y = at[from:], append([]float64{}, y[from:]...)
	stop := 0
	for stop < len(y) && y[stop] >= 25 {
		stop++
	}
	short, err := FitThrough(at[:stop], y[:stop])
	if err != nil {
		t.Fatal(err)
	}
	for i := range y {
		y[i] = math.Max(y[i], 1) // zeros set to 1, as published
	}
	all, err := FitThrough(at, y)
	if err != nil {
		t.Fatal(err)
	}
	c.Near(t, "all of it", 3600*float64(all.Rate), c.Rows(t)[1][1])
	c.Near(t, "stopped at 25", 3600*float64(short.Rate), c.Rows(t)[2][1])
}

// Our own window on two natural decays of another sensor; how the author chose his is not recorded.
func TestOwnFitOfNaturalDecays(t *testing.T) {
	c := refcase.Air(t, "chamber-natural-decay-A")
	for i, file := range c.Words(t) {
		at, y := column(t, file, c.Given["column"].(string))
		d, err := FitDecay(at, y, 0, 0)
		if err != nil {
			t.Fatal(err)
		}
		if got, want := 3600*float64(d.Rate), c.Rows(t)[i][1]; math.Abs(got/want-1) > 0.15 {
			t.Errorf("%s: %.2f per hour, the author has %.2f", file, got, want)
		}
	}
	// chamber-size-dependent-loss: larger dust goes faster in the same room.
	c = refcase.Air(t, "chamber-size-dependent-loss")
	window := c.Given["window_s"].([]any)
	for i, name := range c.Words(t) {
		at, y := column(t, c.Given["file"].(string), name)
		lo, hi := 0, 0
		for k := range at {
			if float64(at[k]) < float64(window[0].(int)) {
				lo = k + 1
			}
			if float64(at[k]) <= float64(window[1].(int)) {
				hi = k + 1
			}
		}
		d, err := FitLine(at[lo:hi], y[lo:hi], 0)
		if err != nil {
			t.Fatal(err)
		}
		c.Near(t, name, 3600*float64(d.Rate), c.Rows(t)[i][1])
	}
}
