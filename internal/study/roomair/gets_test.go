package roomair

import (
	"math"
	"testing"

	"winnow/internal/physics/particle"
	"winnow/internal/shop"
	"winnow/internal/study/airflow"
	"winnow/internal/study/doubt"
	"winnow/internal/unit"
)

// What was solved for one machine alone counts, with its range; not sets of machines, not what was not solved.
func TestGetsOfSolvedSettings(t *testing.T) {
	saw, drill := shop.PortRef{Machine: "saw", Port: "cabinet"}, shop.PortRef{Machine: "drill"}
	alone := airflow.Setting{Running: []airflow.Running{{Machine: "saw"}}}
	both := airflow.Setting{Running: []airflow.Running{{Machine: "saw"}, {Machine: "drill"}}}
	a := Gets([]airflow.Result{
		{Solved: true, Setting: both, Ports: []airflow.PortResult{{Port: saw, Gets: 9}}},
		{Solved: false, Setting: alone, Ports: []airflow.PortResult{{Port: saw, Gets: 8}}},
		{Solved: true, Setting: alone, Ports: []airflow.PortResult{{Port: saw, Gets: 0.2, Range: &doubt.Range{Low: 0.15, Median: 0.19, High: 0.24}}}},
		{Solved: true, Setting: alone, Ports: []airflow.PortResult{{Port: saw, Gets: 7}}},
		{Solved: true, Setting: airflow.Setting{Running: []airflow.Running{{Machine: "drill"}}}, Ports: []airflow.PortResult{{Port: drill, Gets: 0.1}}},
	})
	if q := a[saw]; q.Best != 0.2 || q.Low != 0.15 || q.High != 0.24 {
		t.Errorf("%+v", q)
	}
	if q := a[drill]; q.Best != 0.1 || q.Low != 0.1 || q.High != 0.1 {
		t.Errorf("%+v", q)
	}
	// A machine with one port may be named with or without it.
	if q, ok := a.portOf(shop.PortRef{Machine: "saw"}, true); !ok || q.Best != unit.M3PerSec(0.2) {
		t.Errorf("%v %v", q, ok)
	}
	if _, ok := a.portOf(shop.PortRef{Machine: "saw"}, false); ok {
		t.Error("one of several ports was guessed")
	}
}

// The airflow of the shop is what the capture goes by: none caught without any, more with more.
func TestAirflowDecidesWhatIsCaught(t *testing.T) {
	_, s := parsed(t, oneSander)
	caught := func(q float64) float64 {
		a := Study(Input{Shop: s, Airflow: Fixed(Airflow{{Machine: "sander"}: unit.Exactly(unit.M3PerSec(q))}), Samples: 32})
		return a.task(t, "sander").Caught.Median
	}
	if none, some, much := caught(0), caught(cfm(40)), caught(cfm(200)); none != 0 || !(some > 0.1) || !(much > some) {
		t.Errorf("caught %.2f, %.2f, %.2f", none, some, much)
	}
}

// Common practice: what a ceiling cleaner really moves is 0.85 (0.65 to 1) of the number on its box; a usual value is real.
func TestACleanersBoxClaimsTooMuch(t *testing.T) {
	_, s := parsed(t, quarryLane)
	got := build(s, nil).cleaners[0].flow
	for what, x := range map[string][2]float64{"best": {got.best, 0.85}, "low": {got.low, 0.65}, "high": {got.high, 1}} {
		if r := x[0] / cfm(400); r < x[1]-0.01 || r > x[1]+0.01 {
			t.Errorf("%s is %.3f of the claim, not %.2f", what, r, x[1])
		}
	}
	s.AirCleaners[0].Flow = unit.Amount[unit.M3PerSec]{Best: 0.2, Low: 0.15, High: 0.25, Basis: unit.Assumed}
	if got := build(s, nil).cleaners[0].flow; got != (band{0.2, 0.15, 0.25}) {
		t.Errorf("a usual value was taken for a claim: %+v", got)
	}
}

// A collector pushes through its filter, so it leaks dust even where its air goes outdoors; a vacuum pulls, and does not.
func TestPressureSideLeaks(t *testing.T) {
	_, s := parsed(t, quarryLane)
	s.Systems[0].AirGoes = "outdoors"
	l := build(s, nil)
	x := l.newNumbers()
	l.set(x, l.sampled(doubt.Prior(), 1), 0)
	for k := range l.sizes {
		if got := x.passes[0][k]; got != l.systems[0].leak.best {
			t.Errorf("blown outdoors %g of size %d comes back, the leak is %g", got, k, l.systems[0].leak.best)
		}
	}
	if l.systems[0].leak.best <= 0 || l.systems[1].leak.best != 0 {
		t.Errorf("leaks of collector and vacuum: %+v %+v", l.systems[0].leak, l.systems[1].leak)
	}
}

// A separator before the fan keeps most of the coarse from the filter, and little of the fine.
func TestASeparatorSparesTheFilter(t *testing.T) {
	caught := func(text string) []float64 {
		_, s := parsed(t, text)
		l := build(s, nil)
		x := l.newNumbers()
		l.set(x, l.sampled(doubt.Prior(), 1), 0)
		return x.caught[0][0]
	}
	bare := caught(quarryLane)
	kept := caught(with(t, "pieces: [{hose: 12 ft}]", "pieces: [{hose: 6 ft}, {separator: drum, make: baffle lid, bin: {volume: 30 gal}}, {hose: 6 ft}]"))
	for k, b := range particle.Usual() {
		want := 1 - float64(particle.Keeps(b.Mid(), 30*particle.Micrometre)) // a lid cuts at 30 µm (assumed)
		if got := kept[k] / bare[k]; math.Abs(got-want) > 1e-9 {
			t.Errorf("%.1f µm: %.4f goes on to the filter, Lapple's curve gives %.4f", float64(b.Mid()/particle.Micrometre), got, want)
		}
	}
}

// Feet stir up dust: in a pause the room holds some even where no machine made any.
func TestFeetAreASource(t *testing.T) {
	_, s := parsed(t, fullTimeSawNoDust)
	l := build(s, nil)
	for i := range l.sources {
		l.sources[i].dust = band{}
	}
	out := l.run(doubt.Prior(), 1, false)
	// By hand: 0.1 mg/min into a room of V m³ with k of 1 to 3 per hour gives some hundredths of a mg/m³ after two hours.
	if x := out.others[0][0] * 1e6; x < 0.003 || x > 0.2 {
		t.Errorf("walking gives %.4f mg/m³", x)
	}
}

const fullTimeSawNoDust = `
winnow: 1
machines: {saw: {kind: cabinet saw, port: none}}
routine: {hours per week: {saw: 2 h}}
`

// 60 h of 8 L/h are 480 L loose a week; a 100 L can takes three quarters of that, so 6.4 emptyings of 4 min over five days.
func TestEmptyingAsOftenAsTheBinFills(t *testing.T) {
	_, s := parsed(t, `
winnow: 1
machines: {saw: {kind: cabinet saw, port: {size: 4 in}, makes: {form: sawdust, rate: 8 L/h}}}
systems:
  collector:
    kind: collector
    runs: {main: {from: saw, size: 4 in, kind: wire-helix hose, pieces: [{hose: 2 m}, {separator: can, make: baffle lid, bin: {volume: 100 L}}, {hose: 1 m}]}}
routine: {hours per week: {saw: 60 h}}
`)
	l := build(s, nil)
	for _, x := range l.sources {
		if x.chore == Emptying {
			if got, want := float64(x.time)/60, 480.0/75*4/5; math.Abs(got/want-1) > 0.01 {
				t.Errorf("emptying takes %.2f min a day, by hand %.2f", got, want)
			}
			return
		}
	}
	t.Error("the bin is never emptied")
}
