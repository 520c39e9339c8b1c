package roomair

import (
	"encoding/json"
	"fmt"
	"math"
	"os"
	"reflect"
	"regexp"
	"strings"
	"testing"

	"winnow/internal/refcase"
	"winnow/internal/shop"
	"winnow/internal/study/doubt"
	"winnow/internal/unit"
)

func answer(t testing.TB, text string) Answer {
	t.Helper()
	doc, s := parsed(t, text)
	return Study(Input{Shop: s, Try: doc.Try, Samples: 128})
}

func (a Answer) task(t testing.TB, name string) Task {
	t.Helper()
	for _, k := range a.Tasks {
		if k.Name == name {
			return k
		}
	}
	t.Fatalf("no task %q", name)
	return Task{}
}

func (a Answer) finding(code *shop.Code) *shop.Finding {
	for i := range a.Findings {
		if a.Findings[i].Code == code {
			return &a.Findings[i]
		}
	}
	return nil
}

func (a Answer) option(code *shop.Code) *Option {
	for i := range a.Options {
		if a.Options[i].Remedy.What == code {
			return &a.Options[i]
		}
	}
	return nil
}

// with replaces one piece of the demo shop; a piece that is not there is our own mistake.
func with(t testing.TB, old, new string) string {
	t.Helper()
	if !strings.Contains(quarryLane, old) {
		t.Fatalf("the shop does not say %q", old)
	}
	return strings.Replace(quarryLane, old, new, 1)
}

// ---- pitfalls, Room and dose, in their order -------------------------------------------------------------------------

// 1 A PM2.5 number is not wood-dust exposure.
func TestNoParticulateIndexStandsForExposure(t *testing.T) {
	a := answer(t, quarryLane)
	if a.finding(CodeMonitor) == nil {
		t.Error("nothing warns of a monitor's number")
	}
	text, err := json.Marshal(a)
	if err != nil {
		t.Fatal(err)
	}
	if regexp.MustCompile(`(?i)pm2|pm10|aqi|index`).Match(text) {
		t.Error("an index for outdoor air is in the answer")
	}
	// sensor-occupational-underestimate: such sensors read wood dust and its like low, by 72 % on the whole.
	if c := refcase.Air(t, "sensor-occupational-underestimate"); refcase.AirNum(t, c.Expected, "value") > -50 || !strings.Contains(CodeMonitor.Sentence, "mostly read wood dust low") {
		t.Error("the sentence and the published bias differ")
	}
}

// 2 Never compare minutes with 8 hours; the average divides by 8 hours always; the task's mean stands beside it.
func TestEightHoursAlwaysAndTheTaskBesideIt(t *testing.T) {
	one := answer(t, oneSander)
	k := one.task(t, "sander")
	if k.A != 7200 {
		t.Fatalf("two hours a week are %v a day", k.A)
	}
	var sum float64
	for _, k := range one.Tasks {
		sum += float64(k.Mean.Inhalable.Median) * float64(k.A)
	}
	// Medians do not add up exactly, but a division by the hours worked would be out by four.
	if r := sum / eightHours / float64(one.TWA.Inhalable.Median); r < 0.7 || r > 1.4 {
		t.Errorf("tasks over 8 hours give %.2f of the average", r)
	}
	if k.Mean.Inhalable.Median < 2*one.TWA.Inhalable.Median {
		t.Error("the task's mean is hidden by the average")
	}
}

// 3 Total, inhalable, thoracic and respirable limits are different things; so is the wood; a mixture takes the strictest.
func TestLimitsByWhatTheyCountAndTheWood(t *testing.T) {
	uk := func(wood string) float64 {
		least := math.Inf(1)
		for _, l := range chosen([]string{"uk hse"}, woodOf(wood)) {
			if l.Fraction == "inhalable" {
				least = math.Min(least, float64(l.Level)*1e6)
			}
		}
		return least
	}
	if uk("softwood") != 5 || uk("hardwood") != 3 || uk("softwood and hardwood") != 3 || uk("mixed") != 3 || uk("") != 3 {
		t.Error("the wood does not choose the limit")
	}
	d := dose{10e-6, 4e-6, 1e-6}
	for _, l := range limits {
		got := l.read(d, 1) * 1e6
		want := map[string]float64{"total": 4.5, "inhalable": 10, "thoracic": 4, "respirable": 1}[l.Fraction]
		if math.Abs(got-want) > 1e-9 {
			t.Errorf("%s %s counts %.3g of inhalable 10, thoracic 4, respirable 1", l.By, l.Fraction, got)
		}
		if l.By == "" || l.Place == "" || l.Year == "" || l.Status == "" || l.Source == "" {
			t.Errorf("a limit does not say whose it is: %+v", l)
		}
	}
	if got := chosen([]string{"us osha"}, woodOf("oak")); len(got) != 2 {
		t.Errorf("%d limits of OSHA", len(got))
	}
}

// 5 Purge times hold only after the source has stopped.
func TestARoomThatIsWorkedInNeverClears(t *testing.T) {
	r := box(100, 2.0/3600)
	worked := runBox(t, r, []Mode{{FarSource: []float64{1e-9}}}, []Spell{{For: 1e6}}, 0).Far[0]
	on := runBox(t, r, []Mode{{FarSource: []float64{1e-9}}}, []Spell{{For: 7200}}, worked).Far[0]
	off := runBox(t, r, []Mode{{}}, []Spell{{For: 7200}}, worked).Far[0]
	if on < 0.999*worked || off > 0.03*worked {
		t.Errorf("after two hours %.3g with the source on and %.3g with it off, of %.3g", on, off, worked)
	}
	// The wait that is advised begins when work ends: on the day's line nobody is there any more.
	a := answer(t, quarryLane)
	last := a.Day[len(a.Day)-1]
	if last.There || last.To < a.Clearing.StayOut.Median {
		t.Error("the line of the day does not follow the empty room")
	}
}

// 6 A collector that returns air is a source of Q·C·(1-E): a poorer filter is never better, and outdoors ends it.
func TestAPoorerFilterIsNeverBetter(t *testing.T) {
	a := answer(t, quarryLane)
	at := map[string]float64{}
	for _, f := range a.Filters {
		at[f.Grade] = f.Respirable.Median
	}
	if !(at["30 µm claimed"] > at["5 µm claimed"] && at["5 µm claimed"] > at["1 µm claimed"] && at["1 µm claimed"] >= at["outdoors"]) {
		t.Errorf("by filter: %v", at)
	}
	bad := answer(t, with(t, "filter: {grade: 5 µm claimed}", "filter: none"))
	if bad.finding(CodeReturns) == nil {
		t.Error("a collector without a filter blows back what it caught, and nothing says so")
	}
	if bad.TWA.Respirable.Median < 1.3*a.TWA.Respirable.Median {
		t.Errorf("without any filter the day is %.3g, with a bag %.3g", bad.TWA.Respirable.Median, a.TWA.Respirable.Median)
	}
}

// 7 Capture against airflow is an assumption but for hand sanders, and the answer says which.
func TestTheShapeOfCaptureIsSaidToBeAssumed(t *testing.T) {
	a := answer(t, quarryLane)
	if !a.task(t, "table saw").Assumed || a.task(t, "sander").Assumed {
		t.Error("the wrong shapes are called assumed")
	}
	f := a.finding(CodeShapeAssumed)
	if f == nil || !strings.Contains(f.Sentence(unit.US), "table saw") || strings.Contains(f.Sentence(unit.US), "sander catches") {
		t.Errorf("%+v", f)
	}
	_ = refcase.Air(t, "lev-stationary-machine-curve")
	// More airflow never catches less, and beyond the need no more.
	_, s := parsed(t, quarryLane)
	last := -1.0
	for _, part := range []float64{0, 0.2, 0.5, 0.8, 1, 1.3} {
		q := unit.Exactly(unit.M3PerSec(part) * s.Machines[0].Ports.Value[0].Needs.Fine.Best)
		got := build(s, Airflow{refOf(s, 0, 0): q}).run(doubt.Prior(), 1, false).caught[0][0]
		if got < last || part > 1 && math.Abs(got-last) > 1e-12 {
			t.Errorf("at %.1f of the need %.4f are caught, before %.4f", part, got, last)
		}
		last = got
	}
}

// 9 Finer paper makes less dust in all but more of it airborne (wood-sanding-airborne-trend, -total-mass-trend).
func TestFinerPaperIsSaid(t *testing.T) {
	c := refcase.Air(t, "wood-sanding-airborne-trend")
	f := answer(t, quarryLane).finding(CodeFinerPaper)
	if f == nil {
		t.Fatal("nothing is said about paper")
	}
	low, high := 100*refcase.AirNum(t, c.Expected, "low"), 100*refcase.AirNum(t, c.Expected, "high")
	if s := f.Sentence(unit.US); !strings.Contains(s, "16 to 32 %") || low != 16 || high != 32 {
		t.Errorf("%s; published %g to %g %%", s, low, high)
	}
	if answer(t, strings.ReplaceAll(fullTimeSaw, "SAW", "cabinet saw")).finding(CodeFinerPaper) != nil {
		t.Error("a shop without a sander is told about paper")
	}
}

const fullTimeSaw = `
winnow: 1
machines: {saw: {kind: SAW, port: none}}
routine: {hours per week: {saw: 2 h}}
`

// 11 An assigned protection factor needs a fit test; below a standard's scope is out of scope, not safe.
func TestNoFactorWithoutAFitTest(t *testing.T) {
	a := answer(t, quarryLane)
	if a.WithMask != nil || a.finding(CodeNoFit) == nil {
		t.Error("a mask without a fit test was counted")
	}
	if !strings.Contains(CodeNoFit.Help, "beard") {
		t.Error("nothing is said about beards")
	}
	b := answer(t, with(t, "filter: P100}", "filter: P100, fit tested: 2026-05-02}"))
	if b.WithMask == nil || b.finding(CodeNoFit) != nil {
		t.Fatal("a fit-tested mask was not counted")
	}
	if !(b.WithMask.Inhalable.Median < b.TWA.Inhalable.Median && b.WithMask.Inhalable.Median > b.TWA.Inhalable.Median/10) {
		t.Errorf("with the mask on for some tasks %.3g, without %.3g", b.WithMask.Inhalable.Median, b.TWA.Inhalable.Median)
	}
	if f := a.finding(CodeExplosive); f == nil || !strings.Contains(f.Sentence(unit.US), "out of scope is not safe") {
		t.Error("a small shop is not told that out of scope is not safe")
	}
}

// 12 Rules on returning air differ by jurisdiction: each names whose it is.
func TestEachReturnRuleNamesWhoseItIs(t *testing.T) {
	if len(ReturnRules()) < 4 {
		t.Fatal("rules are missing")
	}
	for _, r := range ReturnRules() {
		if r.Whose == "" || r.Says == "" || r.Source == "" {
			t.Errorf("%+v", r)
		}
	}
	// recirc-michigan-limit, -fresh-air, -toxicity, recirc-niosh-carcinogens, recirc-norway-exemption, recirc-nfpa-efficiency.
	all := ""
	for _, r := range ReturnRules() {
		all += r.Whose + ": " + r.Says + "\n"
	}
	for _, id := range []string{"recirc-michigan-limit", "recirc-michigan-fresh-air", "recirc-michigan-toxicity", "recirc-nfpa-efficiency"} {
		c := refcase.Air(t, id)
		for _, key := range []string{"value", "min"} {
			if c.Expected[key] != nil && !strings.Contains(all, unit.Print(unit.Number(refcase.AirNum(t, c.Expected, key)), unit.SI)) {
				c.Say(t, "%s: the rules do not say %v", id, c.Expected[key])
			}
		}
	}
	f := answer(t, quarryLane).finding(CodeReturnRules)
	if f == nil || !strings.Contains(f.Sentence(unit.US), "NIOSH") || !strings.Contains(f.Sentence(unit.US), "Norway") {
		t.Errorf("%+v", f)
	}
}

// ---- the two questions -------------------------------------------------------------------------------------------------

// Question 8: blow it outside in January, with a water heater here? Not beside a natural-draught flame unless a door is
// open; it throws out so much heat. The flame is asked first.
func TestBlowItOutsideInJanuary(t *testing.T) {
	flow := Fixed(Airflow{{Machine: "table saw"}: unit.Exactly(unit.M3PerSec(cfm(800))), {Machine: "planer"}: unit.Exactly(unit.M3PerSec(cfm(800)))})
	at := func(text string) Answer {
		doc, s := parsed(t, text)
		return Study(Input{Shop: s, Try: doc.Try, Airflow: flow})
	}
	a := at(quarryLane)
	o := a.Outdoors
	if o == nil || o.Flames != natural || a.Flames != natural || o.Advice != "not beside the flame" {
		t.Fatalf("%+v", o)
	}
	// 800 cfm of air 20 K warmer: about 9 kW (common practice), by hand 0.3776 m³/s · 1.2 · 1006 · 20.
	if math.Abs(float64(o.Heat)/9100-1) > 0.05 {
		t.Errorf("it throws out %v W", o.Heat)
	}
	if o.Below < 5 {
		t.Errorf("a tight garage is pulled only %v Pa below outdoors", o.Below)
	}
	// The opening holds it under the flue's limit: about 1.5 ft² pass 500 cfm at 5 Pa, so 800 cfm at 2 Pa want more.
	if got := float64(OrificeFlow(o.Opening, flueHolds, 1.2)); math.Abs(got/cfm(800)-1) > 0.05 || float64(o.Opening) < 1.5*0.0929 {
		t.Errorf("an opening of %v m²", o.Opening)
	}
	if w := a.option(ActOutdoors).Withheld; !strings.Contains(w, "natural-draught") {
		t.Errorf("outdoors is proposed: %q", w)
	}
	// Without the flame it may; with nothing said the question comes first, and no advice.
	if o := at(with(t, "flames: {heater: {at: [22 ft, 18 ft], draught: natural}}", "flames: none")); o.Outdoors.Advice != "may" || o.option(ActOutdoors).Withheld != "" {
		t.Errorf("%+v", o.Outdoors)
	}
	asked := at(with(t, "  flames: {heater: {at: [22 ft, 18 ft], draught: natural}}\n", ""))
	if vacuum := answer(t, oneSander); vacuum.Outdoors != nil || vacuum.Flames != notSaid { // the fan in the window waits for it all the same
		t.Errorf("a vacuum alone: %+v, flames %q", vacuum.Outdoors, vacuum.Flames)
	}
	if asked.Outdoors.Advice != "say first" || asked.finding(CodeAskFlame) == nil || asked.option(ActOutdoors).Withheld == "" {
		t.Errorf("%+v", asked.Outdoors)
	}
	// A draught that nobody named counts as natural.
	if o := at(with(t, ", draught: natural", "")).Outdoors; o.Flames != natural {
		t.Errorf("a flame of unknown draught is taken as %q", o.Flames)
	}
	// A draught that the flue bears is the same finding once, milder, and never a second one beside it.
	slow := Fixed(Airflow{{Machine: "table saw"}: unit.Exactly(unit.M3PerSec(cfm(40))), {Machine: "planer"}: unit.Exactly(unit.M3PerSec(cfm(40)))})
	doc, s := parsed(t, with(t, "    filter: {grade: 5 µm claimed}\n", "    filter: {grade: 5 µm claimed}\n    air goes: outdoors\n"))
	mild := Study(Input{Shop: s, Try: doc.Try, Airflow: slow, Samples: 64})
	if f := mild.finding(CodeBesideFlame); f == nil || f.Code.Severity != shop.WatchOut || mild.finding(CodeFlame) != nil || mild.finding(CodeMakeUp) != nil {
		t.Errorf("pulled %v Pa below: %+v", mild.Outdoors.Below, f)
	}
	if p := mild.Outdoors.Below; p > flueHolds {
		t.Errorf("40 cfm pull the garage %v Pa below", p)
	}
	// Blown out already beside it: a problem, with the opening it needs.
	blown := at(with(t, "    filter: {grade: 5 µm claimed}\n", "    filter: {grade: 5 µm claimed}\n    air goes: outdoors\n"))
	if f := blown.finding(CodeFlame); f == nil || f.Code.Severity != shop.Problem || !strings.Contains(f.Sentence(unit.US), "heater") || blown.finding(CodeBesideFlame) != nil || blown.finding(CodeMakeUp) != nil {
		t.Errorf("%+v", f)
	}
}

// Question 9: when can my child come in? So long with the cleaner, longer without, each with its doubt.
func TestWhenCanMyChildComeIn(t *testing.T) {
	timed := with(t, "keeps running: 20 min", "keeps running: 40 min")
	a := answer(t, timed)
	c := a.Clearing
	if c.WithCleaner == nil {
		t.Fatal("the cleaner is not counted")
	}
	m := func(s unit.Second) float64 { return float64(s) / 60 }
	// A practitioner's figures, common practice: 35 min (20 to 60) with the cleaner, 2 h without. Shape, not numbers.
	if !(m(c.WithCleaner.Median) > 15 && m(c.WithCleaner.Median) < 70) {
		t.Errorf("with the cleaner %.0f min", m(c.WithCleaner.Median))
	}
	if !(c.Alone.Median > 2*c.WithCleaner.Median) || m(c.Alone.Median) < 60 {
		t.Errorf("without it %.0f min", m(c.Alone.Median))
	}
	if !(c.WithCleaner.NineInTen > c.WithCleaner.Median) || c.CleanerRuns < c.WithCleaner.NineInTen {
		t.Errorf("%v and %v", *c.WithCleaner, c.CleanerRuns)
	}
	// Its timer of 40 min stops too soon: as it is set the wait is longer, and by hand it is as long as without.
	if !(c.StayOut.NineInTen > c.WithCleaner.NineInTen && c.StayOut.NineInTen < c.Alone.NineInTen) {
		t.Errorf("as it is set %v, with %v, alone %v", c.StayOut, *c.WithCleaner, c.Alone)
	}
	if by := answer(t, with(t, "works: with machines", "works: by hand")).Clearing; by.StayOut != by.Alone {
		t.Errorf("by hand %v, alone %v", by.StayOut, by.Alone)
	}
	if f := a.finding(CodePeople); f == nil || !regexp.MustCompile(`for [\d.]+ (min|h) after`).MatchString(f.Sentence(unit.US)) {
		t.Error("children are not told how long to stay out")
	}
	// The timer is set to the longer time, by an edit that applies and mends the finding.
	f := a.finding(CodeKeepsShort)
	if f == nil || len(f.Remedies) != 1 || !f.Remedies[0].Free {
		t.Fatalf("%+v", f)
	}
	doc, _ := parsed(t, timed)
	done, err := doc.Apply(f.Remedies[0].Edits...)
	if err != nil {
		t.Fatal(err)
	}
	_, s := parsed(t, string(done.Text()))
	if after := Study(Input{Shop: s, Samples: 128}); after.finding(CodeKeepsShort) != nil || after.Clearing.StayOut.NineInTen != after.Clearing.WithCleaner.NineInTen {
		t.Error("the remedy does not mend it")
	}
	// Without a cleaner the room alone decides.
	none := answer(t, regexp.MustCompile(`(?s)air cleaners:.*respirators`).ReplaceAllString(quarryLane, "respirators"))
	if none.Clearing.WithCleaner != nil || none.Clearing.StayOut != none.Clearing.Alone || none.Clearing.CleanerRuns != 0 {
		t.Errorf("%+v", none.Clearing)
	}
}

// ---- answers -------------------------------------------------------------------------------------------------------------

func TestRatiosLeadAndComeSorted(t *testing.T) {
	a := answer(t, quarryLane)
	if len(a.Options) < 6 {
		t.Fatalf("%d options", len(a.Options))
	}
	free := 0
	for i, o := range a.Options {
		if !(o.Inhalable.Low <= o.Inhalable.Median && o.Inhalable.Median <= o.Inhalable.High) || o.Inhalable.Low <= 0 {
			t.Errorf("%s: %+v", o.Remedy.What.Name, o.Inhalable)
		}
		if i > 0 && (o.Withheld == "") == (a.Options[i-1].Withheld == "") && o.Inhalable.Median < a.Options[i-1].Inhalable.Median { // what is held back is a list of its own, last
			t.Errorf("%s stands after a weaker one", o.Remedy.What.Name)
		}
		if o.Remedy.Free {
			free++
		}
	}
	if free < 2 {
		t.Error("no free act is offered")
	}
	// Generation cancels: a ratio is known far better than the level.
	level := float64(a.TWA.Inhalable.High / a.TWA.Inhalable.Low)
	door := a.option(ActDoor).Inhalable
	if door.High/door.Low > level/3 {
		t.Errorf("the ratio spans %.1f, the level %.1f", door.High/door.Low, level)
	}
}

// The same option through edits and through the study's own change gives the same ratio.
func TestEditsSayWhatWasComputed(t *testing.T) {
	doc, s := parsed(t, quarryLane)
	with, without := Study(Input{Shop: s, Try: doc.Try, Samples: 64}), Study(Input{Shop: s, Samples: 64})
	edits := 0
	for _, o := range without.Options {
		if len(o.Remedy.Edits) == 0 {
			continue
		}
		edits++
		p := (Answer{Options: with.Options}).option(o.Remedy.What)
		if p == nil {
			t.Errorf("%s does not apply", o.Remedy.What.Name)
			continue
		}
		if o.Remedy.What == ActFilter {
			continue // two systems have one; compared below
		}
		if math.Abs(p.Inhalable.Median/o.Inhalable.Median-1) > 1e-9 {
			t.Errorf("%s: %.6f by edits, %.6f by hand", o.Remedy.What.Name, p.Inhalable.Median, o.Inhalable.Median)
		}
	}
	if edits < 3 {
		t.Fatalf("only %d options are edits", edits)
	}
	// A shop without a cleaner is offered one, as an edit that reads back.
	doc, s = parsed(t, regexp.MustCompile(`(?s)air cleaners:.*respirators`).ReplaceAllString(quarryLane, "respirators"))
	o := Study(Input{Shop: s, Try: doc.Try, Samples: 64}).option(ActCleaner)
	if o == nil {
		t.Fatal("no cleaner is offered, or its edit does not apply")
	}
	changed, err := doc.Try(o.Remedy.Edits...)
	if err != nil || len(changed.AirCleaners) != 1 || len(changed.AirCleaners[0].Stages) != 2 {
		t.Errorf("%v %+v", err, changed)
	}
}

// Adding a machine reshuffles nothing: what was said of another stays.
func TestTheSameLuckBeforeAndAfter(t *testing.T) {
	a := answer(t, quarryLane)
	b := answer(t, with(t, "  lathe: {kind: lathe, port: none}\n", "  lathe: {kind: lathe, port: none}\n  drill: {kind: drill press}\n"))
	if a.task(t, "table saw").Caught != b.task(t, "table saw").Caught {
		t.Error("a drill press changed what the saw catches")
	}
}

// Without its guard a saw lets more escape, in every draw.
func TestASetupWithoutTheGuard(t *testing.T) {
	saw := with(t, "table saw: {kind: cabinet saw, port: {size: 4 in, needs: {chips: 350 cfm, fine: 500 cfm}}}",
		"table saw: {kind: cabinet saw, ports: {cabinet: {size: 4 in}, guard: {size: 2 1/2 in}}, setups: {with guard: {}, dado: {without: [guard]}}}")
	saw = strings.Replace(saw, "main: {from: [table saw, planer], size: 4 in, kind: wire-helix hose, pieces: [{hose: 12 ft}]}",
		"main: {size: 5 in, kind: wire-helix hose, pieces: [{wye: [low, high, plane]}, {hose: 6 ft}]}\n      low: {from: table saw/cabinet, size: 4 in, kind: wire-helix hose, pieces: [{hose: 3 ft}]}\n      high: {from: table saw/guard, size: 2 1/2 in, kind: ribbed hose, pieces: [{hose: 6 ft}]}\n      plane: {from: planer, size: 4 in, kind: wire-helix hose, pieces: [{hose: 6 ft}]}", 1)
	a := answer(t, saw)
	if len(a.Setups) != 1 || a.Setups[0].Setup != "dado" {
		t.Fatalf("%+v", a.Setups)
	}
	if x := a.Setups[0]; x.Escapes.Low < 1 || x.Escapes.Median < 1.1 || x.Caught.Median >= a.task(t, "table saw").Caught.Median {
		t.Errorf("%+v against %+v", x, a.task(t, "table saw").Caught)
	}
}

// A second machine beside one's own adds dust, and less than all of its own.
func TestTwoTogether(t *testing.T) {
	a := answer(t, quarryLane+"  together:\n    - [lathe, planer]\n")
	if len(a.Together) != 2 {
		t.Fatalf("%+v", a.Together)
	}
	for _, x := range a.Together {
		if x.Breathes.Median <= 1 || x.Breathes.Median > 3 {
			t.Errorf("at %s with %s running %.2f of alone", x.At, x.With, x.Breathes.Median)
		}
	}
	if !(a.Together[1].Breathes.Median > a.Together[0].Breathes.Median) { // the planer is caught, the lathe is not
		t.Errorf("%+v", a.Together)
	}
}

// The owner's own options stand among the others, with their price; one that does not fit is left out.
func TestOwnOptionsAreCompared(t *testing.T) {
	text := quarryLane + `options:
  finer bag: {price: 80 USD, change: [{set: systems/bag collector/filter/grade, to: HEPA H13}]}
  out: {price: 20 USD, change: [{set: systems/bag collector/air goes, to: outdoors}]}
  stale: {price: 5 USD, change: [{set: systems/bag collector/filter/grade, was: MERV 3, to: MERV 4}]}
`
	var own []Option
	for _, o := range answer(t, text).Options {
		if o.Remedy.What == ActOwn {
			own = append(own, o)
		}
	}
	if len(own) != 2 {
		t.Fatalf("%+v", own)
	}
	for _, o := range own {
		if o.Remedy.Price.Code != "USD" || o.Respirable.Median >= 1 {
			t.Errorf("%+v", o)
		}
		if out := strings.Contains(o.Remedy.Sentence(unit.US), "option out"); out != (o.Withheld != "") {
			t.Errorf("%s: withheld %q", o.Remedy.Sentence(unit.US), o.Withheld)
		}
	}
}

func TestMaskByTaskInWords(t *testing.T) {
	bare := regexp.MustCompile(`(?s)  little vacuum:.*air cleaners`).ReplaceAllString(quarryLane, "air cleaners")
	a := answer(t, strings.Replace(bare, "port: {size: 27 mm}", "port: none", 1))
	for name, want := range map[string]string{"sander": MaskYes, "emptying the bin": MaskYes, "sweeping dry": MaskYes} {
		if got := a.task(t, name).Mask; got != want {
			t.Errorf("%s: %q, not %q", name, got, want)
		}
	}
	doc, s := parsed(t, strings.Replace(quarryLane, "respirators:\n  half mask: {type: half mask, filter: P100}\n", "", 1))
	if Study(Input{Shop: s, Try: doc.Try}).finding(CodeNoMask) == nil {
		t.Error("a shop without a mask is not told")
	}
}

// What a ceiling cleaner cannot do: -5 % of the own dose in 10 min, -20 % in 30, -49 % in 3 h in one typical room,
// worked outside this code. Ours must have that shape and lie near it.
func TestACeilingCleanerHardlyHelpsDuringShortWork(t *testing.T) {
	a := answer(t, quarryLane)
	s := a.Cleaner.Short
	for i, want := range []float64{0.05, 0.20, 0.49} {
		if s[i] < want/2 || s[i] > want*1.6 {
			t.Errorf("%.2f is spared where %.2f was worked out", s[i], want)
		}
	}
	if !(s[0] < s[1] && s[1] < s[2]) || a.finding(CodeShortWork) == nil {
		t.Errorf("%v", s)
	}
}

func TestWhereToStopPayingForACleaner(t *testing.T) {
	a := answer(t, quarryLane)
	if !(a.Cleaner.StopAt > 0 && a.Cleaner.HalfHour > 0) {
		t.Fatalf("%+v", a.Cleaner)
	}
	big := answer(t, with(t, "footprint: 24 ft x 20 ft", "footprint: 40 ft x 30 ft"))
	if big.Cleaner.HalfHour != 0 && big.Cleaner.HalfHour <= a.Cleaner.HalfHour {
		t.Error("a larger room asks for no larger cleaner")
	}
}

// The advice is in the words of the file: the box that is advised, written as it is sold, does what is said of it, and one a fifth
// smaller does not. About 0.85 of a claim is delivered (common practice, no source).
func TestTheCleanerThatIsAdvisedDoesWhatIsSaid(t *testing.T) {
	for _, room := range []string{"footprint: 24 ft x 20 ft", "footprint: 14 ft x 12 ft", "footprint: 28 ft x 24 ft"} {
		text := with(t, "footprint: 24 ft x 20 ft", room)
		a := answer(t, text)
		if a.Cleaner.HalfHour <= 0 {
			t.Fatalf("%s: %+v", room, a.Cleaner)
		}
		with := func(claim unit.M3PerSec) Wait {
			box := fmt.Sprintf("{flow: %.0f m³/h, stages: [{grade: MERV 13}], works: with machines, keeps running: 60 min}", 3600*float64(claim))
			return *answer(t, strings.Replace(text, "{flow: 400 cfm, stages: [{grade: MERV 8}, {grade: MERV 13}], works: with machines, keeps running: 20 min}", box, 1)).Clearing.WithCleaner
		}
		if got := with(a.Cleaner.HalfHour); got.NineInTen > 1800 {
			t.Errorf("%s: with %.2f m³/s it takes %g min", room, float64(a.Cleaner.HalfHour), float64(got.NineInTen)/60)
		}
		if got := with(0.8 * a.Cleaner.HalfHour); got.NineInTen <= 1800 {
			t.Errorf("%s: a fifth less than %.2f m³/s does it too", room, float64(a.Cleaner.HalfHour))
		}
	}
}

// A flame whose draught nobody knows is treated as an open flue (judgement: it may be one), and that is said; what is held back
// because of it never stands before what may be done.
func TestADraughtNobodyKnows(t *testing.T) {
	known, unknown := answer(t, quarryLane), answer(t, with(t, "draught: natural", "draught: unknown"))
	if known.finding(CodeDraught) != nil || unknown.finding(CodeDraught) == nil {
		t.Error("a draught that is not known is not said, or one that is")
	}
	if unknown.Flames != known.Flames {
		t.Errorf("%q for a draught that is not known", unknown.Flames)
	}
	last, held := "", 0
	for _, o := range unknown.Options {
		if last != "" && o.Withheld == "" {
			t.Errorf("%s stands behind what is held back", o.Remedy.What.Name)
		}
		if last = o.Withheld; last != "" {
			held++
		}
	}
	if held == 0 {
		t.Error("nothing is held back beside a flame")
	}
}

// What lies beyond any shop that was checked is named. The bounds are judgement; what is counted is arithmetic: 100 h in five
// days, 9000 cfm times 0.85 in 3840 ft³.
func TestBeyondWhatThisCanSay(t *testing.T) {
	for edit, want := range map[[2]string]string{
		{"sander: 2 h", "sander: 2 h"}:                             "",
		{"sander: 2 h", "sander: 100 h"}:                           "21 h a day",
		{"  height: 8 ft", "  height: 8 ft\n  air changes: 300/h"}: "300 times an hour",
		{"flow: 400 cfm", "flow: 9000 cfm"}:                        "120 times an hour",
	} {
		f := answer(t, with(t, edit[0], edit[1])).finding(CodeBeyond)
		switch {
		case f == nil && want != "":
			t.Errorf("%s: nothing is said", edit[1])
		case f != nil && (want == "" || !strings.Contains(f.Sentence(unit.US), want)):
			t.Errorf("%s: %s", edit[1], f.Sentence(unit.US))
		}
	}
}

// A limit gets one of three words, and none of them says that it is kept.
func TestThreeWordsForALimit(t *testing.T) {
	for over, want := range map[float64]string{0: LikelyBelow, 0.049: LikelyBelow, 0.05: CannotSay, 0.5: CannotSay, 0.70: CannotSay, 0.71: LikelyAbove, 1: LikelyAbove} {
		if got := wordFor(over); got != want {
			t.Errorf("a chance of %g reads %q", over, got)
		}
	}
	loud := answer(t, strings.NewReplacer("PORT4", "none", "PORT1", "none", "SYSTEMS", "", "WOOD", "western red cedar", "units: si", "units: si\nsite: {limits: [us acgih]}").Replace(fullTime))
	if loud.finding(CodeLikelyAbove) == nil || loud.finding(CodeSensitiser) == nil || loud.finding(CodeNoPickup) == nil {
		t.Error("a full-time cedar shop without extraction is not warned")
	}
	for _, l := range loud.Limits {
		if l.Chance < 0.05 || l.Chance > 0.95 {
			t.Errorf("a chance of %g is certain", l.Chance)
		}
	}
	text, _ := json.Marshal(loud)
	if regexp.MustCompile(`(?i)complian|"safe|passes`).Match(text) {
		t.Error("the answer shows compliance")
	}
}

// The EU's limit is for hardwood: for softwood none of the limits asked for applies, and that is said.
func TestNoLimitForThisWoodIsSaid(t *testing.T) {
	soft := strings.Replace(with(t, "wood: hardwood", "wood: pine"), "limits: [us osha, us niosh, us acgih]", "limits: [eu]", 1)
	if a := answer(t, soft); len(a.Limits) != 0 || a.finding(CodeNoLimit) == nil {
		t.Errorf("%+v", a.Limits)
	}
	if a := answer(t, quarryLane); a.finding(CodeNoLimit) != nil {
		t.Error("limits apply, and it is said that none does")
	}
}

func TestMDFIsDustier(t *testing.T) {
	board := answer(t, with(t, "wood: hardwood", "wood: mdf"))
	if board.task(t, "table saw").Mean.Inhalable.Median <= answer(t, quarryLane).task(t, "table saw").Mean.Inhalable.Median || board.finding(CodeBoard) == nil {
		t.Error("MDF is not dustier than wood")
	}
}

// A shop that says nothing, and one that says odd things, are answered without a fault.
func TestOddShops(t *testing.T) {
	for _, text := range []string{
		"winnow: 1\n",
		"winnow: 1\nroom: {footprint: 1 ft x 1 ft, height: 1 ft}\nmachines: {saw: {kind: cabinet saw}}\n",
		"winnow: 1\nmachines: {thing: {}}\nsystems: {vac: {kind: vacuum, filter: none, runs: {main: {from: thing, pieces: [{hose: 2 m}]}}}}\n",
		"winnow: 1\nmachines: {saw: {kind: cabinet saw, port: none}}\nroutine: {hours per week: {saw: 0 h}}\n",
		"winnow: 1\nmachines: {saw: {kind: cabinet saw}}\nair cleaners: {box: {flow: 300 cfm, works: by hand}}\nroom: {air changes: 0 /h}\n",
	} {
		doc, s := parsed(t, text)
		a := Study(Input{Shop: s, Try: doc.Try, Samples: 32})
		if _, err := json.Marshal(a); err != nil {
			t.Errorf("%s: %v", text, err)
		}
		raw := doc.Shop() // not filled: nothing was assumed for it
		if _, err := json.Marshal(Study(Input{Shop: raw, Samples: 8})); err != nil {
			t.Errorf("%s, not filled: %v", text, err)
		}
		for _, f := range a.Findings {
			if s := f.Sentence(unit.US); strings.Contains(s, "{") || strings.Contains(s, "unknown") {
				t.Errorf("%s: %s", f.Code.Name, s)
			}
		}
	}
}

func TestByHandIsNotCounted(t *testing.T) {
	text := with(t, "works: with machines", "works: by hand")
	a := answer(t, text)
	f := a.finding(CodeByHand)
	if f == nil || len(f.Remedies) != 1 || a.option(ActWithMachines) == nil {
		t.Fatalf("%+v", f)
	}
	if got := a.option(ActWithMachines).Respirable.Median; got >= 1 {
		t.Errorf("switching it on leaves %.2f", got)
	}
	if a.TWA.Respirable.Median <= answer(t, quarryLane).TWA.Respirable.Median {
		t.Error("a cleaner that is off cleans")
	}
}

// Every key that carries a quantity ends in its SI unit.
func TestKeysEndInTheirUnit(t *testing.T) {
	suffix := map[reflect.Type]string{
		reflect.TypeFor[unit.KgPerM3](): "_kgm3", reflect.TypeFor[unit.Second](): "_s", reflect.TypeFor[unit.M3PerSec](): "_m3s",
		reflect.TypeFor[unit.Metre](): "_m", reflect.TypeFor[unit.M2](): "_m2", reflect.TypeFor[unit.Watt](): "_w", reflect.TypeFor[unit.Pascal](): "_pa",
	}
	seen, checked := map[reflect.Type]bool{}, 0
	var walk func(reflect.Type)
	walk = func(x reflect.Type) {
		for x.Kind() == reflect.Slice || x.Kind() == reflect.Pointer || x.Kind() == reflect.Array {
			x = x.Elem()
		}
		if x.Kind() != reflect.Struct || seen[x] {
			return
		}
		seen[x] = true
		for i := range x.NumField() {
			f := x.Field(i)
			key, _, _ := strings.Cut(f.Tag.Get("json"), ",")
			if key == "-" {
				continue
			}
			if want, ok := suffix[f.Type]; ok && f.IsExported() {
				checked++
				if !strings.HasSuffix(key, want) {
					t.Errorf("%s.%s is %q", x, f.Name, key)
				}
			}
			walk(f.Type)
		}
	}
	walk(reflect.TypeFor[Answer]())
	if checked < 12 {
		t.Fatalf("only %d quantities", checked)
	}
}

// Every code has a sentence, a help text and a shop that shows it.
func TestEveryCodeIsReached(t *testing.T) {
	reached := map[*shop.Code]bool{}
	add := func(a Answer) {
		for _, f := range a.Findings {
			reached[f.Code] = true
			for _, r := range f.Remedies {
				reached[r.What] = true
			}
			for _, sys := range []unit.System{unit.US, unit.SI} {
				if s := f.Sentence(sys); strings.ContainsAny(s, "{}") {
					t.Errorf("%s: %s", f.Code.Name, s)
				}
			}
		}
		for _, o := range a.Options {
			reached[o.Remedy.What] = true
			if s := o.Remedy.Sentence(unit.US); strings.ContainsAny(s, "{}") {
				t.Errorf("%s: %s", o.Remedy.What.Name, s)
			}
		}
	}
	add(answer(t, quarryLane))
	add(answer(t, with(t, "grade: 5 µm claimed", "grade: very fine")))
	add(answer(t, quarryLane+"options: {finer bag: {price: 80 USD, change: [{set: systems/bag collector/filter/grade, to: HEPA H13}]}}\n"))
	add(answer(t, with(t, "works: with machines", "works: by hand")))
	add(answer(t, with(t, "    filter: {grade: 5 µm claimed}\n", "    filter: {grade: 5 µm claimed}\n    air goes: outdoors\n")))
	add(answer(t, strings.Replace(with(t, "draught: natural", "draught: sealed"), "    filter: {grade: 5 µm claimed}\n", "    filter: {grade: 5 µm claimed}\n    air goes: outdoors\n", 1)))
	add(answer(t, with(t, "  flames: {heater: {at: [22 ft, 18 ft], draught: natural}}\n", "")))
	add(answer(t, with(t, "    filter: {grade: 5 µm claimed}\n", "    filter: none\n")))
	add(answer(t, with(t, "wood: hardwood", "wood: mdf and cedar")))
	add(answer(t, with(t, "table saw: 3 h, planer: 1 h, sander: 2 h, lathe: 1 h", "planer: 20 min")))
	add(answer(t, regexp.MustCompile(`(?s)air cleaners:.*routine`).ReplaceAllString(quarryLane, "routine")))
	add(answer(t, strings.NewReplacer("PORT4", "none", "PORT1", "none", "SYSTEMS", "", "WOOD", "oak", "units: si", "units: si\nsite: {limits: [us acgih]}").Replace(fullTime)))
	add(answer(t, with(t, "limits: [us osha, us niosh, us acgih]", "limits: [atlantis]")))
	_, s := parsed(t, with(t, "    filter: {grade: 5 µm claimed}\n", "    filter: {grade: 5 µm claimed}\n    air goes: outdoors\n"))
	add(Study(Input{Shop: s, Samples: 8, Airflow: Fixed(Airflow{{Machine: "table saw"}: unit.Exactly(unit.M3PerSec(cfm(40))), {Machine: "planer"}: unit.Exactly(unit.M3PerSec(cfm(40)))})}))
	for _, mask := range []string{"P100, fit tested: 2026-05-02", "very fine, fit tested: 2026-05-02"} {
		add(answer(t, with(t, "filter: P100", "filter: "+mask)))
	}
	add(answer(t, with(t, "filter: P100}", "filter: P100, fit tested: 2011-05-02}\n  newer mask: {type: half mask, filter: P3, fit tested: 2026-05-02}")))
	add(answer(t, with(t, "draught: natural", "draught: unknown")))
	add(answer(t, with(t, "sander: 2 h", "sander: 100 h")))
	full := Fixed(Airflow{{Machine: "table saw"}: unit.Exactly(unit.M3PerSec(cfm(900)))})
	doc, s := parsed(t, quarryLane)
	add(Study(Input{Shop: s, Try: doc.Try, Airflow: full}))
	for _, c := range Codes() {
		if !reached[c] {
			t.Errorf("no shop shows %s", c.Name)
		}
		if c.Sentence == "" || c.Help == "" || !regexp.MustCompile(`^[a-z0-9-]+$`).MatchString(c.Name) {
			t.Errorf("%+v", c)
		}
	}
}

// Every published case about air is worked here or in physics/particle, or stands here with the reason why not.
func TestEveryAirCaseIsWorkedOrNamed(t *testing.T) {
	elsewhere := map[string]string{
		"ambient-index":  "an outdoor index over 24 hours: it has no place in this answer, on purpose",
		"sensor":         "readings of monitors",
		"trace-analysis": "readings of monitors; the chamber's decays are worked in physics/particle",
		"noise":          "sound, not dust",
	}
	named := map[string]string{
		"purge-source-on":       "pitfall 5",
		"settling-stirred-room": "formula of StirredLoss", "deposition-no-single-rate": "every size has its own rate",
		"wood-cell-wall-density": "sizes are aerodynamic from the start", "wood-sanding-dust-per-mass-removed": "species are not told apart",
		"wood-planing-chip-thickness": "chip thickness is not in the shop file", "exposure-intervention-effect": "advice alone changed little; no number of ours stands against it",
		"lev-horizontal-belt-sander": "air jets are no part of a small shop",
		"lev-disc-sander":            "air jets are no part of a small shop", "lev-belt-sander-high": "direction only", "bulk-density-planer-chips": "bulk weights are typical values",
		"twa-mixture-example": "several agents at once: wood dust is one", "recirc-niosh-carcinogens": "return rules", "recirc-norway-exemption": "return rules",
		"backdraft-no-single-method": "CodeFlame says it", "ufc-woodshop-rules": "gates", "dust-pmax": "cautions only",
		"dust-size-trend": "cautions only", "dust-mie": "cautions only", "dust-kst": "cautions only",
		"dust-layer-area-rules": "cautions only", "dust-deflagrable-definition": "cautions only", "hse-explosible-criteria": "cautions only",
		"dust-layer-ignition-wood-flour": "cautions only", "dust-layer-hotplate-spruce": "cautions only", "duct-material-official": "airflow's parts", "dust-cautions": "CodeExplosive.Help",
		"wood-sanding-total-mass-trend": "pitfall 9",
	}
	var tests string
	for _, f := range []string{"room_ref_test.go", "bracket_test.go", "roomair_test.go", "../../physics/particle/particle_ref_test.go", "../../physics/particle/particle_test.go"} {
		src, err := os.ReadFile(f)
		if err != nil {
			t.Fatal(err)
		}
		tests += string(src)
	}
	worked := 0
	for id, c := range refcase.AllAir(t) {
		by := regexp.MustCompile(`settling-[\d.]+um|chamber-trial\d`).ReplaceAllString(id, "")
		switch {
		case strings.Contains(tests, id) && named[id] == "":
			worked++
		case by == "" || named[id] != "" || elsewhere[c.Topic] != "":
		default:
			t.Errorf("%s (%s) is neither worked nor named", id, c.Topic)
		}
	}
	if worked < 90 {
		t.Errorf("only %d cases are worked", worked)
	}
	if len(CodeExplosive.Help) == 0 || !strings.Contains(CodeExplosive.Help, "compressed air") {
		t.Error("dust-cautions: no caution on blowing down")
	}
}

// ---- speed -----------------------------------------------------------------------------------------------------------------

func BenchmarkBand512(b *testing.B) {
	_, s := parsed(b, quarryLane)
	l := build(s, nil)
	for b.Loop() {
		l.run(doubt.Prior(), doubt.Samples, true)
	}
}

// 512 draws of the day of 500 events and 30 machines.
func BenchmarkBigDay512(b *testing.B) {
	room, modes, spells := bigDay()
	var e Engine
	c := &Course{}
	for b.Loop() {
		for range 512 {
			if err := e.Prepare(&room, modes); err != nil {
				b.Fatal(err)
			}
			e.Run(&room, spells, nil, nil, false, c)
		}
	}
}

func BenchmarkStudy(b *testing.B) {
	doc, s := parsed(b, quarryLane)
	for b.Loop() {
		Study(Input{Shop: s, Try: doc.Try})
	}
}
