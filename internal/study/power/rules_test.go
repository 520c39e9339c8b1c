package power

import (
	"math"
	"strings"
	"testing"

	"winnow/internal/shop"
	"winnow/internal/unit"
)

// row returns the first rule of a circuit by its code.
func (r Report) row(circuit string, code *shop.Code) *Rule {
	for i := range r.Rules {
		if r.Rules[i].Circuit == circuit && r.Rules[i].code == code {
			return &r.Rules[i]
		}
	}
	return nil
}

func (r Report) limit(what string) *Limit {
	for i := range r.Limits {
		if strings.HasPrefix(r.Limits[i].What, what) {
			return &r.Limits[i]
		}
	}
	return nil
}

// NEC 210.19(A)(1), 210.20(A) [S-320]: the breaker is at least the other load and 125 % of the continuous one; 210.23 [S-321]: in no case over the
// circuit. 10 A of a saw and 10 A of a collector, 22.5 A, are too much for 20 A, although each alone is not; 10 A and 8 A, 20 A, are not.
func TestALoadIsAddedUp(t *testing.T) {
	shop := func(collector string) string {
		return shed(`
machines: {saw: {kind: cabinet saw, motor: {voltage: 120 V, current: 10 A}, plug: {outlet: b1}, port: {size: 4 in}}}
systems: {puller: {kind: collector, motor: {power: 1 hp, voltage: 120 V, current: ` + collector + `}, plug: {outlet: b2}, runs: {main: {from: saw, size: 4 in, pieces: [{hose: 8 ft}]}}}}
other loads: {heater: {outlet: b1, current: 12 A, works: by hand}}
`)
	}
	over := studied(t, shop("10 A"))
	row := over.row("b", CodeTotal)
	if row == nil || row.OK != No || !near(float64(row.Has), 22.5) || row.Most != 20 || row.Load != "saw and puller" {
		t.Fatalf("saw and collector added up: %+v, want 22.5 A on 20 A, no", row)
	}
	if f := over.finding(CodeTotal); f == nil || !strings.Contains(f.Sentence(unit.US), "22.5 A") {
		t.Errorf("nothing is said of 22.5 A on 20 A: %+v", f)
	}
	if row := studied(t, shop("8 A")).row("b", CodeTotal); row == nil || row.OK != Yes || !near(float64(row.Has), 20) {
		t.Errorf("10 A and 125 %% of 8 A: %+v, want 20 A, yes", row)
	}
}

// IEC 60364-4-43 433.1 [S-344, from memory]: the design current is at most the rating of the breaker. Five loads that are each allowed are not all
// allowed at once.
func TestAnIECLoadIsAddedUp(t *testing.T) {
	r := studied(t, `winnow: 1
site: {wiring: iec}
circuits: {south: {breaker: 16 A, curve: C, voltage: 230 V, wire: 2.5 mm², outlets: {x: {}}}}
machines:
  lathe: {kind: lathe, motor: {voltage: 230 V, current: 6 A}, plug: {outlet: x}}
  band saw: {kind: band saw, motor: {voltage: 230 V, current: 9 A}, plug: {outlet: x}}
other loads: {compressor: {outlet: x, current: 8 A, start: 30 A, works: by itself}}
routine: {together: [[lathe, band saw]]}
`)
	row := r.row("south", CodeTotal)
	if row == nil || row.OK != No || row.Has != 23 || row.Most != 16 {
		t.Errorf("6, 9 and 8 A on 16 A: %+v, want 23 A, no", row)
	}
	for _, row := range r.Rules {
		if row.code != CodeTotal && row.OK != Yes {
			t.Errorf("%s alone: %s", row.Load, row.OK)
		}
	}
}

// The watts on the plate of a brushed tool are what it takes in (EN 62841-1 8.1: rated input, from memory): P/(V·cosφ) with 0.92 to 0.95, common practice.
// A router of 2 kW draws about 9.4 A at 230 V, takes 2 kW in, and fits a fused plug of 13 A.
func TestTheWattsOfABrushedToolAreItsInput(t *testing.T) {
	r := studied(t, `winnow: 1
site: {wiring: iec, limits: [uk]}
circuits: {a: {breaker: 16 A, voltage: 230 V, wire: 2.5 mm², curve: C, outlets: {x: {}}}}
machines: {router: {kind: router table, motor: {power: 2 kW, voltage: 230 V}, plug: {outlet: x}}}
routine: {hours per week: {router: 10 h}}
`)
	l := r.Loads[0]
	if i := float64(l.Full); i < 2000/(0.95*230) || i > 2000/(0.92*230)+0.01 {
		t.Errorf("2 kW at 230 V are taken to draw %.2f A, want 9.15 to 9.45", i)
	}
	if got, want := float64(r.Energy.Week)/3.6e6, 2*machineLoad[1]*10; math.Abs(got-want) > 1e-9 {
		t.Errorf("%.3f kWh in ten hours, want %.3f: 2 kW go in, not more", got, want)
	}
	if row := r.limit("fuse in the plug"); row == nil || row.OK != Yes {
		t.Errorf("the fuse of its plug: %+v", row)
	}
}

// What is only estimated never makes a problem, and is not said to be rated so; what it must draw even without any loss may.
func TestAnEstimateAloneIsNoProblem(t *testing.T) {
	iec := func(power string) Report {
		return studied(t, `winnow: 1
site: {wiring: iec, limits: [uk]}
circuits: {a: {breaker: 16 A, voltage: 230 V, wire: 2.5 mm², curve: C, outlets: {x: {}}}}
machines: {saw: {kind: cabinet saw, motor: {power: `+power+`, voltage: 230 V}, plug: {outlet: x, cord: 2 m, extension: {length: 5 m, wire: 1.5 mm²}}}}
`)
	}
	r := iec("2.4 kW")
	if l := r.Loads[0]; l.Rated <= 16 {
		t.Fatalf("the estimate is %.1f A: this shop shows nothing", float64(l.Rated))
	}
	for _, f := range r.Findings {
		if f.Code == CodeOverRating || f.Code == CodePlugFuse || f.Code == CodeThinExtension {
			t.Errorf("an estimate raised: %s", f.Sentence(unit.SI))
		}
		if strings.Contains(f.Sentence(unit.SI), "is rated") {
			t.Errorf("an estimate is said to be rated: %s", f.Sentence(unit.SI))
		}
	}
	for _, what := range []string{"fuse in the plug", "extension cord"} {
		if row := r.limit(what); row == nil || row.OK != NotKnown || !strings.Contains(row.Note, "read the") {
			t.Errorf("%s: %+v, want not known: read the plate", what, row)
		}
	}
	if f := r.finding(CodeReadPlate); f == nil || strings.Contains(f.Sentence(unit.SI), "table") {
		t.Errorf("no amps are given and no plate is asked for, or a table is named that is not used: %+v", f)
	}
	if must := iec("3.2 kW"); must.finding(CodePlugFuse) == nil { // 3200/230 = 13.9 A even without any loss
		t.Error("3.2 kW through a fuse of 13 A raise nothing")
	} else if s := must.finding(CodePlugFuse).Sentence(unit.SI); !strings.Contains(s, "at least 13.9 A") {
		t.Errorf("said: %s", s)
	}
}

// 2.5 mm² carries 18.5 A in a pipe in an insulated wall and 27 A clipped to a surface: IEC 60364-5-52 tables B.52 [S-307, from memory]. "However it is laid"
// goes with the least.
func TestWhatAWireAllowsHoweverItIsLaid(t *testing.T) {
	wire := func(breaker string) *Limit {
		return studied(t, "winnow: 1\nsite: {wiring: iec}\ncircuits: {a: {breaker: "+breaker+", voltage: 230 V, wire: 2.5 mm², curve: B, outlets: {x: {}}}}\n").limit("wire of")
	}
	if l := wire("16 A"); l.OK != Yes || l.Allows != 18.5 {
		t.Errorf("2.5 mm² on 16 A: %s, allows %v A %s; want 18.5", l.OK, float64(l.Allows), l.Note)
	}
	if l := wire("20 A"); l.OK != NotKnown || l.Allows != 18.5 || !strings.Contains(l.Note, "27 A") {
		t.Errorf("2.5 mm² on 20 A: %s, allows %v A, %q; want 18.5 A inside insulation, 27 A on a surface", l.OK, float64(l.Allows), l.Note)
	}
	if l := wire("40 A"); l.OK != No || l.Allows != 27 {
		t.Errorf("2.5 mm² on 40 A: %s, allows %v A; want 27 at best", l.OK, float64(l.Allows))
	}
}

// Whether outlets have a GFCI (NEC 210.8) or an RCD of 30 mA (IEC 60364-4-41 411.3.3, from memory) is asked where nobody said it, once.
func TestAGuardThatNobodySaidIsAskedFor(t *testing.T) {
	r := studied(t, shed(""))
	rows := 0
	for _, l := range r.Limits {
		if strings.Contains(l.What, "GFCI") {
			rows++
			if l.OK != NotKnown || !strings.Contains(l.What, "a and b") {
				t.Errorf("%s: %s", l.What, l.OK)
			}
		}
	}
	if f := r.finding(CodeAskGuard); rows != 1 || f == nil || !strings.Contains(f.Sentence(unit.US), "a and b") {
		t.Errorf("%d rows and %+v ask about a GFCI, want one of each", rows, f)
	}
	guarded := strings.Replace(shed(""), "outlets: {a1", "protection: [gfci], outlets: {a1", 1)
	if l := studied(t, guarded).limit("GFCI"); l == nil || strings.Contains(l.What, "a and b") {
		t.Errorf("a circuit with a GFCI is asked about: %+v", l)
	}
	if l := studied(t, "winnow: 1\nsite: {wiring: iec}\ncircuits: {a: {breaker: 16 A, voltage: 230 V, wire: 2.5 mm², outlets: {x: {}}}, lamps: {breaker: 10 A, voltage: 230 V}}\n").limit("RCD"); l == nil || strings.Contains(l.What, "lamps") {
		t.Errorf("an RCD for outlets: %+v", l)
	}
}
