package roomair

import (
	"math"
	"slices"
	"strings"
	"testing"

	"winnow/internal/physics/particle"
	"winnow/internal/refcase"
	"winnow/internal/shop/typical"
	"winnow/internal/study/doubt"
	"winnow/internal/unit"
)

// A full-time small shop of 120 m³ with one machine at a time; pickups, filters and everything else as usual.
const fullTime = `
winnow: 1
room: {footprint: 8 m x 6 m, height: 2.5 m}
units: si
machines:
  saw: {kind: cabinet saw, port: PORT4}
  planer: {kind: thickness planer, port: PORT4}
  band saw: {kind: band saw, port: PORT4}
  sander: {kind: random orbit sander, port: PORT1}
SYSTEMS
routine:
  wood: WOOD
  hours per week: {saw: 12 h, planer: 5 h, band saw: 5 h, sander: 12 h}
`

const withSystems = `
systems:
  collector: {kind: collector, runs: {main: {from: [saw, planer, band saw], size: 4 in, kind: wire-helix hose, pieces: [{hose: 3 m}]}}}
  extractor: {kind: extractor, runs: {main: {from: sander, size: 27 mm, kind: smooth hose, pieces: [{hose: 3 m}]}}}
`

// worked is what people breathe while they work: a published sample runs for the work, not for eight hours.
type worked struct {
	day    []dose
	task   map[string][]dose
	caught map[string]Span
}

// work runs the shop without any pickup, or with every port getting its fine need.
func work(t testing.TB, controlled bool, wood string) worked {
	t.Helper()
	text := strings.NewReplacer("PORT4", "none", "PORT1", "none", "SYSTEMS", "", "WOOD", wood).Replace(fullTime)
	if controlled {
		text = strings.NewReplacer("PORT4", "{size: 4 in}", "PORT1", "{size: 27 mm}", "SYSTEMS", withSystems, "WOOD", wood).Replace(fullTime)
	}
	_, s := parsed(t, text)
	flow := Airflow{}
	for i := range s.Machines {
		for k := range s.Machines[i].Ports.Value {
			flow[refOf(s, i, k)] = s.Machines[i].Ports.Value[k].Needs.Fine
		}
	}
	l := build(s, flow)
	out := l.run(doubt.Prior(), doubt.Samples, false)
	w := worked{day: make([]dose, len(out.twa)), task: map[string][]dose{}, caught: map[string]Span{}}
	d, at := l.dayOf(true), 0.0
	for i, sp := range d.spells {
		if d.task[i] != away {
			at += float64(sp.For)
		}
	}
	for i := range out.twa {
		for c := range out.twa[i] {
			w.day[i][c] = out.twa[i][c] * eightHours / at
		}
	}
	for i := range l.sources {
		w.task[l.sources[i].name] = out.task[i]
		w.caught[l.sources[i].name] = spanOf(doubt.Samples, func(k int) float64 { return out.caught[i][k] })
	}
	return w
}

// ranged is low, median, high, and the ends of all draws, in mg/m³.
type ranged struct{ low, median, high, least, most float64 }

func mgOf(d []dose, c int) ranged {
	x := make([]float64, 0, len(d))
	for _, v := range d[1:] {
		x = append(x, v[c]*1e6)
	}
	r := doubt.RangeOf(x)
	return ranged{r.Low, r.Median, r.High, slices.Min(x), slices.Max(x)}
}

// The strongest check there is: with default values and nothing tuned, what is predicted with and without control must
// hold between them what was measured on people.
func TestPredictionsBracketPublishedExposures(t *testing.T) {
	on, off, board := work(t, true, "hardwood"), work(t, false, "hardwood"), work(t, false, "mdf")

	// between: medians with and without control hold a published middle.
	between := func(c refcase.AirCase, what string, published float64, with, without ranged) {
		t.Helper()
		if !(with.median <= published && published <= without.median) {
			c.Say(t, "%s: %s: published %.3g mg/m³ is not between %.3g with control and %.3g without", c.ID, what, published, with.median, without.median)
		}
	}
	// holds: the 90 % ranges together hold a published range.
	holds := func(c refcase.AirCase, what string, low, high float64, with, without ranged) {
		t.Helper()
		if with.low > low || without.high < high {
			c.Say(t, "%s: %s: published %.3g to %.3g mg/m³ is not within %.3g with control to %.3g without", c.ID, what, low, high, with.low, without.high)
		}
	}
	// spans: the middle of a published range lies in our 90 % range, its ends among our draws. Ends of a few short samples
	// are rarer than one in twenty.
	spans := func(c refcase.AirCase, what string, low, high float64, r ranged, least float64) {
		t.Helper()
		if mid := math.Sqrt(low * high); mid < r.low || mid > r.high {
			c.Say(t, "%s: %s: the middle of the published range, %.3g, is not within %.3g to %.3g", c.ID, what, mid, r.low, r.high)
		}
		if least > low || r.most < high {
			c.Say(t, "%s: %s: no draw reaches the published %.3g to %.3g: they end at %.3g and %.3g", c.ID, what, low, high, least, r.most)
		}
	}

	c := refcase.Air(t, "exposure-small-shops-gm")
	holds(c, "small shops with central collection", refcase.AirNum(t, c.Expected, "low"), refcase.AirNum(t, c.Expected, "high"), mgOf(on.day, 0), mgOf(off.day, 0))

	c = refcase.Air(t, "exposure-danish-tasks")
	for i, task := range c.Words(t) {
		r := c.Rows(t)[i]
		for _, gm := range []float64{r[1], r[3]} {
			switch task {
			case "all": // it holds handling and assembling too, which make little dust
				holds(c, task, gm, gm, mgOf(on.day, 0), mgOf(off.day, 0))
			case "cutting and sanding":
				between(c, task, gm, mgOf(on.day, 0), mgOf(off.day, 0))
			case "sanding":
				between(c, task, gm, mgOf(on.task["sander"], 0), mgOf(off.task["sander"], 0))
			case "cutting":
				between(c, task, gm, mgOf(on.task["saw"], 0), mgOf(off.task["saw"], 0))
			}
		}
	}

	c = refcase.Air(t, "exposure-us-industry-gm")
	for i, name := range c.Words(t) {
		k := slices.Index([]string{"inhalable", "thoracic", "respirable"}, name)
		holds(c, name, c.Rows(t)[i][1], c.Rows(t)[i][1], mgOf(on.day, k), mgOf(off.day, k))
	}
	c = refcase.Air(t, "exposure-italy")
	between(c, "all work", c.Rows(t)[0][1], mgOf(on.day, 0), mgOf(off.day, 0))

	c = refcase.Air(t, "exposure-oak-belt-sander")
	for i, name := range c.Words(t) {
		k := slices.Index([]string{"inhalable", "thoracic", "respirable"}, name)
		r := c.Rows(t)[i]
		holds(c, name, r[1], r[2], mgOf(on.task["sander"], k), mgOf(off.task["sander"], k))
		between(c, name, math.Sqrt(r[1]*r[2]), mgOf(on.task["sander"], k), mgOf(off.task["sander"], k))
	}

	for id, w := range map[string]worked{"exposure-cabinet-shop-softwood": off, "exposure-cabinet-shop-mdf": board} {
		c = refcase.Air(t, id)
		spans(c, "sanding", refcase.AirNum(t, c.Expected, "low"), refcase.AirNum(t, c.Expected, "high"), mgOf(w.task["sander"], 0), mgOf(on.task["sander"], 0).least)
	}
	c = refcase.Air(t, "exposure-cabinet-shop-respirable")
	for i, w := range []worked{board, off} {
		r := c.Rows(t)[i]
		spans(c, c.Words(t)[i], r[1], r[2], mgOf(w.task["sander"], 2), mgOf(on.task["sander"], 2).least)
	}

	c = refcase.Air(t, "exposure-hand-sanding-high")
	if got := mgOf(off.task["sander"], 0).median; got < refcase.AirNum(t, c.Expected, "min")*(1-refcase.AirNum(t, c.Tolerance, "rel")) {
		c.Say(t, "%s: sanding without extraction gives %.3g mg/m³", c.ID, got)
	}
}

func TestRespirableShareOfWhatIsBreathed(t *testing.T) {
	on, off := work(t, true, "hardwood"), work(t, false, "hardwood")
	share := func(d []dose, c int) ranged {
		x := make([]float64, 0, len(d))
		for _, v := range d[1:] {
			x = append(x, 100*v[c]/v[0])
		}
		r := doubt.RangeOf(x)
		return ranged{r.Low, r.Median, r.High, slices.Min(x), slices.Max(x)}
	}
	c := refcase.Air(t, "exposure-oak-respirable-share")
	for name, w := range map[string]worked{"with control": on, "without": off} {
		if got := share(w.day, 2); got.median < refcase.AirNum(t, c.Expected, "low") || got.median > refcase.AirNum(t, c.Expected, "high") {
			c.Say(t, "%s: %s %.1f %% of the inhalable dust is respirable, published %v to %v", c.ID, name, got.median, c.Expected["low"], c.Expected["high"])
		}
	}
	c = refcase.Air(t, "exposure-us-industry-shares")
	thoracic, respirable := c.Rows(t)[0][1], c.Rows(t)[1][1]
	saw := share(on.task["saw"], 2)
	if respirable < saw.low || respirable > saw.high {
		c.Say(t, "%s: respirable %.1f %% published, ours %.1f to %.1f", c.ID, respirable, saw.low, saw.high)
	}
	// Chips thrown at the sampler, coarse and inhalable, are left out: they can only lower the thoracic share. So ours stands
	// above the survey's, by less than a factor of two, and never below; TestWhyTheThoracicShareIsHigh says what does it.
	if got := share(on.task["saw"], 1); got.low < thoracic-refcase.AirNum(t, c.Tolerance, "abs") || got.median > 2*thoracic {
		c.Say(t, "%s: thoracic %.1f %% published, ours %.1f (%.1f to %.1f)", c.ID, thoracic, got.median, got.low, got.high)
	}
}

// The survey's two shares are no one spread's: a lognormal spread with its respirable share holds more than its thoracic one,
// however wide it is, by the definitions of EN 481 alone. Ours is 37 % thoracic where it is made; near the person coarse dust
// falls first, and in the room fine dust gathers: each adds, and neither is out by more than the survey's own spread.
func TestWhyTheThoracicShareIsHigh(t *testing.T) {
	c := refcase.Air(t, "exposure-us-industry-shares")
	thoracic, respirable := c.Rows(t)[0][1]/100, c.Rows(t)[1][1]/100
	for _, gsd := range []float64{2, 2.5, 3, 4, 5, 6, 7} {
		least, most := 1.0, 500.0 // µm: the median at which the respirable share is the survey's
		for range 60 {
			mid := math.Sqrt(least * most)
			s := particle.Spread{Median: unit.Metre(mid) * particle.Micrometre, GSD: unit.Number(gsd)}
			if float64(s.Breathed(particle.Respirable)/s.Breathed(particle.Inhalable)) > respirable {
				least = mid
			} else {
				most = mid
			}
		}
		s := particle.Spread{Median: unit.Metre(least) * particle.Micrometre, GSD: unit.Number(gsd)}
		if got := float64(s.Breathed(particle.Thoracic) / s.Breathed(particle.Inhalable)); got < 1.15*thoracic {
			t.Errorf("a spread of GSD %g has both shares: %.1f %% thoracic: then ours should have them too", gsd, 100*got)
		}
	}
	made := float64(coarseSpread.Breathed(particle.Thoracic) / coarseSpread.Breathed(particle.Inhalable))
	// Five minutes at the saw in clean air: the near zone alone, hardly any of the room.
	_, s := parsed(t, strings.NewReplacer("PORT4", "none", "PORT1", "none", "SYSTEMS", "", "WOOD", "hardwood").Replace(fullTime))
	l := build(s, nil)
	x := l.newNumbers()
	l.set(x, l.sampled(doubt.Prior(), 1), 0)
	at := func(seconds unit.Second) float64 {
		m := modeOf{source: 0, makes: true, people: true}
		if err := x.eng.Prepare(&x.room, []Mode{l.mode(x, &m)}); err != nil {
			t.Fatal(err)
		}
		x.eng.Run(&x.room, []Spell{{For: seconds, Moves: true}}, nil, nil, false, &x.course)
		d := l.counted(x.course.NearSum, 1)
		return d[1] / d[0]
	}
	near, long := at(60), at(4*3600)
	t.Logf("thoracic share at the saw: %.2f as made, %.2f near it, %.2f after four hours in a shut room; published %.2f", made, near, long, thoracic)
	if !(made > thoracic && near > made && long > near) {
		t.Errorf("as made %.2f, near it %.2f, in the room %.2f: the story told of it is not true", made, near, long)
	}
}

func TestEmissionOfSandingByOjima(t *testing.T) {
	// wood-mmad-sanding-beech-fine and -cypress-fine: 9.0 and 9.8 µm.
	for _, id := range []string{"wood-mmad-sanding-beech-fine", "wood-mmad-sanding-cypress-fine"} {
		c := refcase.Air(t, id)
		c.Near(t, "median size of sanding dust, µm", float64(spreadOf("fine dust").Median)*1e6, refcase.AirNum(t, c.Expected, "value"))
	}
	// The respirable part of our band must hold the middle of the published rate.
	e, ok := typical.EmissionOf("power sanding")
	if !ok {
		t.Fatal("no emission of power sanding")
	}
	s := spreadOf("fine dust")
	share := float64(s.Breathed(3) / s.Breathed(1))
	for _, id := range []string{"wood-sanding-respirable-rate", "wood-sanding-general-ventilation"} { // Q·1 mg/m³ is the rate
		c := refcase.Air(t, id)
		mid := math.Sqrt(refcase.AirNum(t, c.Expected, "low") * refcase.AirNum(t, c.Expected, "high"))
		low, high := float64(e.Rate.Low)*60e6*share, float64(e.Rate.High)*60e6*share
		if mid < low || mid > high {
			c.Say(t, "%s: the middle %.2g mg/min is not within %.2g to %.2g", id, mid, low, high)
		}
	}
	// wood-sanding-submicron-mass: hardly any mass below 1 µm. wood-airborne-mass-mostly-coarse: sawing mostly above 10.
	if under := s.Under(1e-6); under > 0.02 {
		t.Errorf("%.3f of sanding dust is below 1 µm", under)
	}
	if under := coarseSpread.Under(10e-6); under > 0.5 {
		t.Errorf("%.2f of sawing dust is below 10 µm", under)
	}
	// wood-sanding-under-80um: at least 90 % of all that sanding takes off.
	c := refcase.Air(t, "wood-sanding-under-80um")
	if got := 100 * float64(streamSpread.Under(80e-6)); got < refcase.AirNum(t, c.Expected, "min")-refcase.AirNum(t, c.Tolerance, "abs") {
		c.Say(t, "%s: %.1f %% is below 80 µm", c.ID, got)
	}
}

// Capture: what the tables say lies in the published bands.
func TestCaptureAgainstPublishedTrials(t *testing.T) {
	escape := func(kind string) (low, best, high float64) {
		e, ok := typical.EscapeOf(kind)
		if !ok {
			t.Fatalf("no escape of %s", kind)
		}
		return float64(e.Share.Low), float64(e.Share.Best), float64(e.Share.High)
	}
	// lev-table-saw-top-hood: an over-blade hood takes away over 90 % of what was left.
	c := refcase.Air(t, "lev-table-saw-top-hood")
	low, _, _ := escape("enclosed with guard")
	_, below, _ := escape("below table only")
	if cut := 100 * (1 - low/below); cut < refcase.AirNum(t, c.Expected, "min")-refcase.AirNum(t, c.Tolerance, "abs") {
		c.Say(t, "%s: the best guarded saw cuts %.0f %%", c.ID, cut)
	}
	// lev-random-orbital-lab, lev-orbital-lab, lev-rotational-field: 90, 90 and 80 % less.
	low, best, high := escape("extracted sander")
	for _, id := range []string{"lev-random-orbital-lab", "lev-orbital-lab", "lev-rotational-field"} {
		c := refcase.Air(t, id)
		if left := 1 - refcase.AirNum(t, c.Expected, "value")/100; left < low || left > high {
			c.Say(t, "%s: %.2f left is not within %.2f to %.2f", id, left, low, high)
		}
	}
	// lev-orbital-field-by-metric: the gravimetric row is the one to compare with.
	c = refcase.Air(t, "lev-orbital-field-by-metric")
	r := c.Rows(t)[2]
	if left := 1 - r[1]/100; left < low || left > high {
		c.Say(t, "%s: %.2f left by filter samples", c.ID, left)
	}
	// lev-capture-vs-flow-shape and -half-flow: straight up to the need, then flat.
	c = refcase.Air(t, "lev-capture-half-flow")
	_, s := parsed(t, oneSander)
	l := build(s, Airflow{refOf(s, 0, 0): half(s.Machines[0].Ports.Value[0].Needs.Fine)})
	got := l.run(doubt.Prior(), 1, false).caught[0][0]
	c.Near(t, "caught at half the need", got, refcase.AirNum(t, c.Expected, "value"))
	if math.Abs(got-(1-best)/2) > 1e-9 {
		t.Errorf("half the need catches %.4f, half of %.2f is due", got, 1-best)
	}
	// lev-sander-edge: on an edge 5 to 50 % are caught.
	c = refcase.Air(t, "lev-sander-edge")
	low, _, high = escape("edges")
	for _, r := range c.Rows(t) {
		if left := 1 - r[1]/100; left < low-0.1 || left > high+0.1 {
			c.Say(t, "%s: %.2f left is not within %.2f to %.2f", c.ID, left, low, high)
		}
	}
}

const oneSander = `
winnow: 1
units: si
machines: {sander: {kind: random orbit sander, port: {size: 27 mm}}}
systems: {extractor: {kind: extractor, runs: {main: {from: sander, size: 27 mm, kind: smooth hose, pieces: [{hose: 3 m}]}}}}
routine: {hours per week: {sander: 2 h}}
`
