package airflow

import (
	"context"
	"fmt"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"winnow/internal/shop"
	"winnow/internal/shop/plan"
	"winnow/internal/study/doubt"
	"winnow/internal/unit"
)

// The sheet is worked out row by row from the flow, the solver by a network; they must meet. This is the check that no
// piece is forgotten, counted twice or given another law on paper than in the network.
func TestEverySheetAddsUpToTheFan(t *testing.T) {
	for _, name := range []string{"carport.yaml", "garden-shed.yaml"} {
		s, l := example(t, name)
		sheets := 0
		for _, y := range s.Systems {
			m, findings := Build(s, l, y.Name)
			if m == nil {
				t.Fatalf("%s: %v", name, findings)
			}
			for _, set := range Settings(s) {
				for _, set.Filter = range []FilterState{Due, AsIs, Clean} {
					for _, port := range m.Ports(set) {
						sheet, err := m.Explain(set, port)
						if err != nil {
							t.Fatal(err)
						}
						sheets++
						if d := math.Abs(float64(sheet.Sum/sheet.FanRise) - 1); d > 1e-8 {
							t.Errorf("%s, %s, %s: the rows add up to %.6f Pa, the solver's fan gives %.6f Pa", name, port, set.Filter, sheet.Sum, sheet.FanRise)
						}
					}
				}
			}
		}
		if sheets < 9 {
			t.Errorf("%s: only %d sheets were looked at", name, sheets)
		}
	}
}

// What a gauge on a tap would read: nowhere before the fan more than the fan's own suction at its inlet, and nothing at a free end.
func TestTheSheetsPullIsWhatAGaugeReads(t *testing.T) {
	s, l := example(t, "millrace.yaml")
	for _, y := range s.Systems {
		m, findings := Build(s, l, y.Name)
		if m == nil {
			t.Fatal(findings)
		}
		for _, set := range Settings(s) {
			for _, port := range m.Ports(set) {
				sheet, err := m.Explain(set, port)
				if err != nil {
					t.Fatal(err)
				}
				for _, r := range sheet.Rows {
					// The pull is the fan's less what stands behind it, plus at most one velocity pressure.
					if -r.Static > 1.001*(sheet.FanRise+r.Velocity) {
						t.Errorf("%s, %s: a pull of %.0f Pa, and the fan makes %.0f", port, r.What, -r.Static, sheet.FanRise)
					}
				}
				if last := sheet.Rows[len(sheet.Rows)-1]; y.Kind == "collector" && math.Abs(float64(last.Static)) > 1e-6*float64(sheet.FanRise) {
					t.Errorf("%s: %.2f Pa behind the last piece, want 0 in the open", port, last.Static)
				}
			}
		}
	}
}

// The working of a reducer by hand: at one flow the pull behind it is the total pressure lost so far plus the velocity pressure
// of the bore that follows, not of its own narrow end.
func TestThePullBehindAReducerIsThatOfTheBoreAfterIt(t *testing.T) {
	s, l := ready(t, hoseShop("{rating: {free air: 1200 cfm, shut-off: 9.5 inH2O}}", "{hose: 4 ft, size: 2 1/2 in}, {reducer: 4 in}, {hose: 6 ft}"))
	m, _ := Build(s, l, "collector")
	set := alone("planer", Due)
	sheet, err := m.Explain(set, m.Ports(set)[0])
	if err != nil {
		t.Fatal(err)
	}
	for i, r := range sheet.Rows {
		if strings.HasPrefix(r.Path.Last(), "reducer") {
			after := sheet.Rows[i+1]
			if want := r.Total - after.Velocity; math.Abs(float64(r.Static-want)) > 1e-6 {
				t.Errorf("pull behind the reducer %.1f Pa, want %.1f", -r.Static, -want)
			}
			return
		}
	}
	t.Error("no reducer on the sheet")
}

// A wider stack behind the fan never costs more than one of the outlet's size.
func TestAWiderStackIsNoWorse(t *testing.T) {
	flow := func(size string) float64 {
		s, l := ready(t, replaced(t, twoDrops, "    filter: {kind: cartridge, area: 120 ft2}\n", "    filter: none\n    air goes: outdoors\n    exhaust: [{pipe: 3 ft, size: "+size+"}]\n"))
		return float64(study(t, s, l, Setting{Running: []Running{{Machine: "saw"}, {Machine: "planer"}}})[0].Fan.Flow)
	}
	if six, eight := flow("6 in"), flow("8 in"); eight < six {
		t.Errorf("an 8 in stack gives %.4f m³/s, a 6 in one %.4f", eight, six)
	}
}

// A bend closer to the fan costs more, and fades out: no cliff.
func TestABendNearTheFanFadesOut(t *testing.T) {
	before := 0.0
	for _, feet := range []string{"0.1", "0.5", "1", "1.5", "2", "2.6", "3.5"} {
		text := replaced(t, twoDrops, "{pipe: 12 ft}, {elbow: 90°}, {hose: 3 ft, kind: wire-helix hose}", "{pipe: 12 ft}, {elbow: 90°}, {pipe: "+feet+" ft}")
		s, l := ready(t, text)
		q := float64(study(t, s, l, alone("saw", Due))[0].Fan.Flow)
		if q < 0.999*before || before > 0 && q > 1.06*before {
			t.Errorf("with %s ft between elbow and fan %.4f m³/s, nearer %.4f", feet, q, before)
		}
		before = q
	}
}

// A claim that its motor cannot make is cut to what it can.
func TestAClaimNoMotorCanMakeIsCut(t *testing.T) {
	text := replaced(t, hoseShop("{rating: {free air: 1200 cfm, shut-off: 90 inH2O}}", "{hose: 8 ft}"), "    filter:", "    motor: {power: 1 1/2 hp, voltage: 120 V}\n    filter:")
	s, l := ready(t, text)
	r := study(t, s, l, alone("planer", Clean))[0]
	if power := float64(r.Fan.Rise) * float64(r.Fan.Flow); power > 0.6*1.5*746 {
		t.Errorf("a motor of 1½ hp is made to move %.0f W of air", power)
	}
}

func TestALongerHoseAlwaysGivesLess(t *testing.T) {
	before := math.Inf(1)
	for _, feet := range []int{3, 6, 10, 15, 20, 30} {
		s, l := ready(t, hoseShop("{rating: {free air: 1200 cfm, shut-off: 9.5 inH2O}}", fmt.Sprintf("{hose: %d ft}", feet)))
		q := gets(t, study(t, s, l, alone("planer", Due)), "planer")
		if q >= before {
			t.Errorf("%d ft of hose: %.1f cfm, not less than the shorter one's %.1f", feet, q, before)
		}
		before = q
	}
}

// A filter loads from clean to due; what is judged is the worst of the three.
func TestADirtierFilterGivesLess(t *testing.T) {
	s, l := ready(t, hoseShop("{rating: {free air: 1200 cfm, shut-off: 9.5 inH2O}}", "{hose: 10 ft}"))
	clean := gets(t, study(t, s, l, alone("planer", Clean)), "planer")
	now := gets(t, study(t, s, l, alone("planer", AsIs)), "planer")
	due := gets(t, study(t, s, l, alone("planer", Due)), "planer")
	if !(clean > now && now > due) {
		t.Errorf("clean %.0f, as it is %.0f, due %.0f cfm: not in that order", clean, now, due)
	}
}

func TestOnlyTheGatesOnTheWayOfWhatRunsAreOpen(t *testing.T) {
	s, l := ready(t, twoDrops)
	r := study(t, s, l, alone("saw", Due))[0]
	for _, g := range r.Gates {
		if g.Open != (g.Gate == "saw gate") {
			t.Errorf("with the saw running %s is open: %t", g.Gate, g.Open)
		}
	}
	if r.Leaks <= 0 || r.Leaks > 0.2*r.Fan.Flow {
		t.Errorf("leaks and the shut gate let in %.1f cfm of %.0f", float64(r.Leaks)/cfm, float64(r.Fan.Flow)/cfm)
	}
}

func TestAHandOnAGateWins(t *testing.T) {
	s, l := ready(t, twoDrops)
	shut := alone("saw", Due)
	plain := gets(t, study(t, s, l, shut), "saw")
	both := shut
	both.Open = []shop.ID{"planer gate"}
	if q := gets(t, study(t, s, l, both), "saw"); q >= plain {
		t.Errorf("with a second gate open the saw gets %.0f cfm, not less than %.0f", q, plain)
	}
	shut.Shut = []shop.ID{"saw gate"}
	if q := gets(t, study(t, s, l, shut), "saw"); q > 0.25*plain {
		t.Errorf("through its own shut gate the saw still gets %.0f cfm", q)
	}
}

// Balance practice: all gates stay open.
func TestWhereGatesOnlyTrimAllStayOpen(t *testing.T) {
	s, l := ready(t, twoDrops+"control: {practice: balance}\n")
	for _, g := range study(t, s, l, alone("saw", Due))[0].Gates {
		if !g.Open {
			t.Errorf("%s is shut though the practice is to balance", g.Gate)
		}
	}
}

// A carried hose is on the machine that runs.
func TestACarriedHoseServesTheMachineThatRuns(t *testing.T) {
	s, l := example(t, "garden-shed.yaml")
	for _, m := range []shop.ID{"mitre saw", "sander", "planer"} {
		rs := study(t, s, l, alone(m, Due))
		if len(rs) != 1 || len(rs[0].Ports) != 1 || rs[0].Ports[0].Port.Machine != m {
			t.Errorf("with the %s running the hose serves %+v", m, rs)
		}
	}
}

// A setup that does without a port asks no air for it, but an ungated hose still draws there: real, and not credited.
func TestASetupWithoutAPortDoesNotCountIt(t *testing.T) {
	s, l := example(t, "carport.yaml")
	set := Setting{Running: []Running{{Machine: "table saw", Setup: "dado"}}}
	r := study(t, s, l, set)[0]
	if len(r.Ports) != 1 || r.Ports[0].Port.Port != "cabinet" {
		t.Fatalf("dado draws at %v, want the cabinet alone", r.Ports)
	}
	if r.Leaks < 50*cfm {
		t.Errorf("the guard's open hose lets in only %.0f cfm", float64(r.Leaks)/cfm)
	}
}

// Where the pull goes is all of it: the shares add up to the fan's pressure.
func TestTheSharesOfThePullAddUp(t *testing.T) {
	s, l := example(t, "carport.yaml")
	for _, r := range study(t, s, l, Settings(s)...) {
		for _, p := range r.Ports {
			var sum unit.Pascal
			for _, share := range p.Pull {
				sum += share.Loss
			}
			if math.Abs(float64(sum/r.Fan.Rise)-1) > 1e-8 {
				t.Errorf("%s: shares add up to %.3f Pa of the fan's %.3f Pa", p.Port, sum, r.Fan.Rise)
			}
		}
	}
}

// The planted faults of the demo shop are found by the numbers alone.
func TestTheDemoShopShowsItsFaults(t *testing.T) {
	s, l := example(t, "carport.yaml")
	for _, r := range study(t, s, l, Settings(s)...) {
		for _, p := range r.Ports {
			switch p.Port.Machine {
			case "band saw":
				if p.Verdict != MuchTooShort || p.Pull[0].Group != HoseGroup {
					t.Errorf("band saw: %s, most pull in %s; want much too short, and its hose", p.Verdict, p.Pull[0].Group)
				}
			case "planer":
				if p.Verdict != Short && p.Verdict != MuchTooShort {
					t.Errorf("planer on 25 ft of hose: %s, want short", p.Verdict)
				}
			}
		}
	}
}

// Pitfall 10: closing gates lowers the main's speed, and chips that moved may settle.
func TestPitfall10ClosingGatesSlowsTheMain(t *testing.T) {
	s, l := ready(t, twoDrops)
	both := Setting{Running: []Running{{Machine: "saw"}, {Machine: "planer"}}}
	main := func(r Result) PieceFlow {
		for _, p := range r.Pieces {
			if p.Run == "main" && strings.HasPrefix(p.Path.Last(), "pipe") {
				return p
			}
		}
		t.Fatal("the main has no pipe")
		return PieceFlow{}
	}
	one, two := main(study(t, s, l, alone("saw", Due))[0]), main(study(t, s, l, both)[0])
	if one.Speed >= two.Speed || one.Chips < two.Chips {
		t.Errorf("main at %.1f m/s (%s) with one gate open, %.1f m/s (%s) with two", one.Speed, one.Chips, two.Speed, two.Chips)
	}
}

// Pitfall 13: a leak on the suction side adds flow at the fan and takes it from the machine.
func TestPitfall13ALeakFeedsTheFanAndStarvesTheMachine(t *testing.T) {
	s, l := ready(t, twoDrops)
	tight := study(t, s, l, alone("saw", Due))
	s, l = ready(t, replaced(t, twoDrops, "{pipe: 12 ft}", "{pipe: 12 ft, leak: 20 cm2}"))
	leaky := study(t, s, l, alone("saw", Due))
	if leaky[0].Fan.Flow <= tight[0].Fan.Flow || gets(t, leaky, "saw") >= gets(t, tight, "saw") {
		t.Errorf("with a hole: fan %.0f, saw %.0f; without: fan %.0f, saw %.0f cfm",
			float64(leaky[0].Fan.Flow)/cfm, gets(t, leaky, "saw"), float64(tight[0].Fan.Flow)/cfm, gets(t, tight, "saw"))
	}
}

// Pitfall 14: a rating is free air without the filter; no working point may reach it.
func TestPitfall14ARatingIsNotWhatAMachineGets(t *testing.T) {
	s, l := ready(t, hoseShop("{rating: {free air: 1200 cfm, shut-off: 9.5 inH2O}}", "{hose: 3 ft}"))
	if q := gets(t, study(t, s, l, alone("planer", Clean)), "planer"); q > 0.75*1200 {
		t.Errorf("even 3 ft of hose gives %.0f cfm of a claimed 1200", q)
	}
}

// A machine's own blower pushes, and the gets can only rise.
func TestAMachinesOwnBlowerHelps(t *testing.T) {
	text := hoseShop("{rating: {free air: 600 cfm, shut-off: 6.3 inH2O}}", "{hose: 20 ft}")
	s, l := ready(t, text)
	plain := gets(t, study(t, s, l, alone("planer", Due)), "planer")
	s, l = ready(t, replaced(t, text, "needs: {chips: 400 cfm}", "needs: {chips: 400 cfm}, blower: {rating: {free air: 400 cfm, shut-off: 4 inH2O}}"))
	if q := gets(t, study(t, s, l, alone("planer", Due)), "planer"); q <= plain {
		t.Errorf("with its own blower the planer gets %.0f cfm, without %.0f", q, plain)
	}
}

func TestVerdicts(t *testing.T) {
	for _, c := range []struct {
		gets, needs unit.M3PerSec
		chance      float64
		want        Verdict
	}{
		{400, 400, 0.9, Works},
		{400, 400, 0.8, Just},
		{399, 400, 0.9, Short}, // the best estimate decides, whatever the chance
		{300, 400, 0.1, Short},
		{299, 400, 0.1, MuchTooShort},
		{440, 400, -1, Works},
		{439, 400, -1, Just},
		{0, 400, -1, MuchTooShort},
		{400, 0, 0.9, Unknown},
		{unit.M3PerSec(math.NaN()), 400, 0.9, Unknown},
	} {
		if got := VerdictOf(c.gets, c.needs, c.chance); got != c.want {
			t.Errorf("gets %g of %g, chance %g: %s, want %s", c.gets, c.needs, c.chance, got, c.want)
		}
	}
}

// Opening one more gate never lowers what a falling fan moves. What the others get usually falls, but need not: a fast side leg
// draws a slow main along, as an ejector does. Drawn shops.
func TestOneMoreGateMovesMore(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		drops := rapid.IntRange(2, 5).Draw(rt, "drops")
		text := drawnMain(rt, drops)
		s, l := ready(t, text)
		m, findings := Build(s, l, "collector")
		if m == nil {
			rt.Fatalf("%v\n%s", findings, text)
		}
		var set Setting
		fan := 0.0
		for i := range drops {
			set.Running = append(set.Running, Running{Machine: fmt.Sprint("m", i)})
			r := m.Result(set, nil)
			if !r.Solved {
				rt.Fatalf("%s\n%s", r.Status, text)
			}
			if q := float64(r.Fan.Flow); q < fan*(1-1e-9) {
				rt.Fatalf("with %d drops open the fan moves %.6g, with one fewer %.6g m³/s\n%s", i+1, q, fan, text)
			} else {
				fan = q
			}
		}
	})
}

// drawnMain is a main with drops one after the other.
func drawnMain(rt *rapid.T, drops int) string {
	var b strings.Builder
	b.WriteString("winnow: 1\nmachines:\n")
	for i := range drops {
		fmt.Fprintf(&b, "  m%d: {kind: band saw, port: {size: 4 in, entry: %.2f}}\n", i, rapid.Float64Range(1.4, 4).Draw(rt, "entry"))
	}
	fmt.Fprintf(&b, "systems:\n  collector:\n    kind: collector\n    fan: {rating: {free air: %d cfm, shut-off: %.1f inH2O}}\n    filter: {kind: bag, area: 30 ft2}\n    runs:\n",
		rapid.IntRange(500, 2000).Draw(rt, "free air"), rapid.Float64Range(6, 14).Draw(rt, "shut-off"))
	fmt.Fprintf(&b, "      main: {from: m0, size: 6 in, kind: spiral steel, pieces: [{hose: 4 ft, kind: wire-helix hose}, {gate: g0}")
	for i := 1; i < drops; i++ {
		fmt.Fprintf(&b, ", {pipe: %.1f ft}, {wye: d%d, angle: %d°}", rapid.Float64Range(1, 20).Draw(rt, "between"), i, rapid.SampledFrom([]int{30, 45, 60, 90}).Draw(rt, "angle"))
	}
	b.WriteString("]}\n")
	for i := 1; i < drops; i++ {
		fmt.Fprintf(&b, "      d%d: {from: m%d, size: %s, kind: spiral steel, pieces: [{hose: %.1f ft, kind: wire-helix hose}, {gate: g%d}, {pipe: 6 ft}]}\n",
			i, i, rapid.SampledFrom([]string{"4 in", "5 in"}).Draw(rt, "size"), rapid.Float64Range(2, 10).Draw(rt, "hose"), i)
	}
	return b.String()
}

// Doubt is keyed by part: renaming the system shuffles every draw anew, and the percentiles must not care.
func TestRangesDoNotDependOnTheShuffle(t *testing.T) {
	var low, mid, high, chances []float64
	for i := range 32 {
		text := strings.Replace(hoseShop("{rating: {free air: 1200 cfm, shut-off: 9.5 inH2O}}", "{hose: 12 ft, bends: 90°}"), "collector:\n", fmt.Sprintf("sucker %d:\n", i), 1)
		text = strings.Replace(text, "{chips: 400 cfm}", "{chips: 390 cfm}", 1)
		s, l := ready(t, strings.ReplaceAll(text, "planer", fmt.Sprint("planer ", i)))
		p := studied(t, s, l, doubt.Prior(), alone(fmt.Sprint("planer ", i), Due))[0].Ports[0]
		low, mid, high, chances = append(low, p.Range.Low), append(mid, p.Range.Median), append(high, p.Range.High), append(chances, p.Chance)
	}
	for _, c := range []struct {
		what   string
		xs     []float64
		within float64
		share  bool
	}{{"5th percentile", low, 0.01, true}, {"median", mid, 0.01, true}, {"95th percentile", high, 0.01, true}, {"chance", chances, 0.02, false}} {
		mean, sd := meanSD(c.xs)
		if c.share {
			sd /= mean
		}
		t.Logf("%s: mean %.4g, spread %.2f %%", c.what, mean, 100*sd)
		if sd > c.within {
			t.Errorf("%s: mean %.4g, spread over 32 shuffles %.2f %%, want under %.0f %%", c.what, mean, 100*sd, 100*c.within)
		}
	}
	if low[0] >= mid[0] || mid[0] >= high[0] {
		t.Errorf("range %.3g, %.3g, %.3g is none", low[0], mid[0], high[0])
	}
}

func meanSD(xs []float64) (float64, float64) {
	var s, s2 float64
	for _, x := range xs {
		s, s2 = s+x, s2+x*x
	}
	n := float64(len(xs))
	return s / n, math.Sqrt(max(0, s2/n-s*s/n/n))
}

// Another machine elsewhere in the file changes no draw of the first.
func TestAnotherMachineReshufflesNothing(t *testing.T) {
	s, l := ready(t, twoDrops)
	before := studied(t, s, l, doubt.Prior(), alone("saw", Due))[0].Ports[0].Samples
	more := replaced(t, twoDrops, "systems:\n", `  sander: {kind: random orbit sander, port: {size: 27 mm}}
systems:
  extractor: {kind: extractor, fan: {rating: {free air: 130 cfm, shut-off: 90 inH2O}}, runs: {main: {from: sander, size: 27 mm, kind: smooth hose, pieces: [{hose: 3 m}]}}}
`)
	s, l = ready(t, more)
	after := studied(t, s, l, doubt.Prior(), alone("saw", Due))[0].Ports[0].Samples
	for i := range before {
		if math.Abs(before[i]/after[i]-1) > 1e-8 {
			t.Fatalf("draw %d is %g without the sander and %g with it", i, before[i], after[i])
		}
	}
}

// The answer does not depend on how many workers there are, and a cancelled study says so.
func TestACancelledStudySaysSo(t *testing.T) {
	s, l := ready(t, twoDrops)
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if _, _, err := Study(ctx, s, l, doubt.Prior(), Settings(s)); err == nil {
		t.Error("a cancelled study returned no error")
	}
}

func BenchmarkStudyCarportWithRanges(b *testing.B) {
	s, l := example(b, "carport.yaml")
	sets := Settings(s)
	belief := doubt.Prior()
	for b.Loop() {
		if _, _, err := Study(context.Background(), s, l, belief, sets); err != nil {
			b.Fatal(err)
		}
	}
}

var _ *plan.Layout

// A shop whose nature differs from the model: hose whose factor falls with speed (as smooth-bore hose does) instead of
// staying constant, and wyes that give back less momentum and cost more at their edges. The true airflow must still lie in the
// 90 % range in at least 80 % of the draws: the range must be wide enough for being wrong about laws, not only about numbers.
func TestAMisspecifiedShopStaysInTheRange(t *testing.T) {
	const draws = 400
	b := doubt.Prior()
	for _, c := range []struct {
		name, text, port string
		set              Setting
	}{
		{"one hose", hoseShop("{rating: {free air: 1200 cfm, shut-off: 9.5 inH2O}}", "{hose: 12 ft, bends: 90°}"), "planer", alone("planer", Due)},
		{"two drops open", twoDrops, "saw", Setting{Running: []Running{{Machine: "saw"}, {Machine: "planer"}}}},
	} {
		s, l := ready(t, c.text)
		var want doubt.Range
		for _, p := range studied(t, s, l, b, c.set)[0].Ports {
			if p.Port.String() == c.port {
				want = *p.Range
			}
		}
		m, _ := Build(s, l, "collector")
		inside := 0
		for i := 1; i <= draws; i++ {
			if q := m.solveTwin(c.set, b, i, draws, c.port); q >= want.Low && q <= want.High {
				inside++
			}
		}
		t.Logf("%s: %d of %d draws of the other nature lie in the 90 %% range", c.name, inside, draws)
		if inside < draws*80/100 {
			t.Errorf("%s: only %d of %d draws of the other nature lie in the 90 %% range, want 80 %%", c.name, inside, draws)
		}
	}
}

// solveTwin solves a sample of the other nature: the hose's factor is found again for its own speed until both agree.
func (m *Model) solveTwin(set Setting, b *doubt.Belief, sample, of int, port string) float64 {
	sol := m.Solve(set, b, sample, of)
	for range 6 {
		speeds := make([]float64, len(m.elements))
		for n := range m.elements {
			if e := &m.elements[n]; e.join < 0 && e.law.Darcy > 0 {
				speeds[n] = math.Abs(float64(m.speed(n, sol)))
			}
		}
		m.apply(set, sample)
		for n := range m.elements {
			e := &m.elements[n]
			if e.join >= 0 || e.law.Darcy == 0 {
				continue
			}
			law := e.law
			for j := range e.doubts {
				e.doubts[j].multiply(&law, sample)
			}
			law.Darcy *= math.Pow(max(speeds[n], 1)/20, -0.12)
			m.set(e.link, law)
		}
		for j := range m.net.Joins {
			join := m.net.Joins[j]
			join.Kappa *= 0.8
			join.KThrough += 0.1
			join.KBranch += 0.15
			if err := m.solver.SetJoin(j, join); err != nil {
				panic(err)
			}
		}
		sol = m.solver.Solve(tight)
	}
	for _, mo := range m.mouths {
		if mo.port.String() == port {
			return float64(sol.Flow[mo.first])
		}
	}
	return math.NaN()
}
