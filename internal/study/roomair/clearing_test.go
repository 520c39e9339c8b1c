package roomair

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"winnow/internal/refcase"
	"winnow/internal/study/doubt"
)

// What is left after the minutes of CDC 1994, table S3-1: the complement of what was removed. A day of two rates multiplies
// what each leaves. purge-cdc-table, purge-formula.
func TestTheCurveByThePurgeTable(t *testing.T) {
	const forever = 1e300
	tenthAt := func(ach float64) []float64 { return []float64{3600 * math.Ln10 / ach} }
	c := refcase.Air(t, "purge-cdc-table")
	rows := c.Rows(t)
	for _, r := range rows {
		for i, tens1 := range []float64{1, 2, 3} {
			// Printed to whole minutes: as much as half of one does to the exponent.
			near := 0.6 / r[i+1] * tens1
			if got := tens([]fade{{forever, tenthAt(r[0])}}, 0, 60*r[i+1]); math.Abs(got-tens1) > near {
				c.Say(t, "%g air changes: after %g min gone down by %g tenths, published %g", r[0], r[i+1], got, tens1)
			}
		}
	}
	// The timer stops after the fast rate has removed nine parts in ten; the slow one removes nine in ten of the rest.
	fast, slow := rows[len(rows)-1], rows[0]
	timer := 60 * fast[1]
	two := []fade{{timer, tenthAt(fast[0])}, {forever, tenthAt(slow[0])}}
	if got := tens(two, 0, timer+60*slow[1]); math.Abs(got-2) > 0.05+0.6/fast[1] {
		t.Errorf("both together leave 10^-%.3f, and a hundredth is due", got)
	}
	for _, f := range [][]fade{two, {{forever, tenthAt(3)}}, {{60, tenthAt(12)}, {120, tenthAt(6)}, {forever, tenthAt(1)}}} {
		if at := reaches(f, 0); math.Abs(tens(f, 0, at)-1) > 1e-12 {
			t.Errorf("a tenth is said to be reached after %.0f s, where 10^-%g is left", at, tens(f, 0, at))
		}
	}
}

// The curve and the waits say the same: where the middle of the curve meets a tenth, the median wait is up, and at the wait
// that is long enough nine times in ten nine draws in ten are under it. With the cleaner never more is left than as its
// timer is set, and so never more than without.
func TestTheCurveAgreesWithTheWaits(t *testing.T) {
	doc, s := parsed(t, with(t, "keeps running: 20 min", "keeps running: 50 min"))
	st := &study{in: Input{Shop: s, Try: doc.Try, Belief: doubt.Prior()}, of: 256, ans: &Answer{}}
	st.l = build(s, nil)
	st.base = st.l.run(st.in.Belief, st.of, false)
	st.clearing()
	c := st.ans.Clearing
	if n := len(c.Curve); n != curvePoints+1 {
		t.Fatalf("%d points", n)
	}
	if first := c.Curve[0]; first.After != 0 || first.Alone != (Span{1, 1, 1}) || *first.AsSet != (Span{1, 1, 1}) {
		t.Errorf("it begins at %+v", first)
	}
	if last := c.Curve[curvePoints]; last.After != c.Alone.NineInTen || last.Alone.Median > 0.1 {
		t.Errorf("it ends at %+v, the wait is %v", last, c.Alone)
	}
	before := c.Curve[0]
	for _, p := range c.Curve[1:] {
		if !(p.Alone.Median < before.Alone.Median && p.WithCleaner.Median < before.WithCleaner.Median && p.AsSet.High <= before.AsSet.High && p.After > before.After) {
			t.Errorf("%+v does not fall to %+v", before, p)
		}
		for _, x := range [][3]float64{{p.WithCleaner.Low, p.AsSet.Low, p.Alone.Low}, {p.WithCleaner.Median, p.AsSet.Median, p.Alone.Median}, {p.WithCleaner.High, p.AsSet.High, p.Alone.High}} {
			if !(x[0] <= x[1]*(1+1e-12) && x[1] <= x[2]*(1+1e-12)) {
				t.Errorf("after %v: with the cleaner %g, as it is set %g, without it %g", p.After, x[0], x[1], x[2])
			}
		}
		before = p
	}
	// Each point by the waits alone: the middle goes by the median wait, and one timer makes two pieces of each draw.
	alone, _ := waits(st.base.alone)
	helped, _ := waits(st.base.helped)
	timer := float64(st.l.cleaners[0].keeps) - st.l.dayOf(false).after // it began when the last machine stopped
	if !(timer > 600) {
		t.Fatalf("the timer ends %.0f s after work: nothing is tested", timer)
	}
	for _, p := range c.Curve {
		t10 := float64(p.After)
		for _, x := range [][2]float64{{p.Alone.Median, math.Pow(10, -t10/alone)}, {p.WithCleaner.Median, math.Pow(10, -t10/helped)}} {
			if math.Abs(x[0]-x[1]) > 0.02*x[1]*math.Max(1, t10/helped) {
				t.Errorf("after %v %.5g is left, and the median wait says %.5g", p.After, x[0], x[1])
			}
		}
		set := spanOf(st.of, func(i int) float64 {
			return math.Pow(0.1, math.Min(t10, timer)/st.base.helped[i]) * math.Pow(0.1, math.Max(0, t10-timer)/st.base.alone[i])
		})
		for _, x := range [][2]float64{{p.AsSet.Low, set.Low}, {p.AsSet.Median, set.Median}, {p.AsSet.High, set.High}} {
			if math.Abs(x[0]-x[1]) > 1e-9 {
				t.Errorf("after %v as it is set %.5g is left, and its timer says %.5g", p.After, x[0], x[1])
			}
		}
	}
	forever := math.Inf(1)
	for name, x := range map[string]struct {
		fades []fade
		waits []float64
	}{
		"alone": {[]fade{{forever, st.base.alone}}, st.base.alone}, "with the cleaner": {[]fade{{forever, st.base.helped}}, st.base.helped},
		"as it is set": {st.base.asSet, st.asSet()},
	} {
		median, nine := waits(x.waits)
		if got := spanOf(st.of, func(i int) float64 { return math.Pow(10, -tens(x.fades, i, median)) }).Median; math.Abs(got-0.1) > 0.002 {
			t.Errorf("%s: at the median wait of %.0f s %.4f is left", name, median, got)
		}
		under := 0
		for i := 1; i <= st.of; i++ {
			if tens(x.fades, i, nine) >= 1-1e-12 {
				under++
			}
		}
		if share := float64(under) / float64(st.of); share < 0.9 || share > 0.91 {
			t.Errorf("%s: at the longer wait %.3f of the draws are down to a tenth", name, share)
		}
	}
}

// Cleaners with timers of their own stop one after the other, and one that is switched by hand is not waited for.
func TestEachCleanersTimer(t *testing.T) {
	two := func(other, works string) Clearing {
		text := with(t, "air cleaners:\n", fmt.Sprintf("air cleaners:\n  other cleaner: {flow: 400 cfm, stages: [{grade: MERV 13}], %s}\n", other))
		return answer(t, strings.Replace(text, "works: with machines, keeps running: 20 min", works, 1)).Clearing
	}
	stays, hand := two("works: always", "works: with machines, keeps running: 90 min"), two("works: always", "works: by hand")
	if hand.StayOut == *hand.WithCleaner || hand.StayOut.NineInTen < stays.StayOut.NineInTen {
		t.Errorf("one by hand is counted: %v against %v with both", hand.StayOut, *hand.WithCleaner)
	}
	if !(hand.StayOut.NineInTen < hand.Alone.NineInTen) {
		t.Error("the one that always runs is not counted")
	}
	short, long := two("works: with machines, keeps running: 5 min", "works: by hand"), two("works: with machines, keeps running: 6 h", "works: by hand")
	if !(long.StayOut.NineInTen < short.StayOut.NineInTen) {
		t.Errorf("keeping on for 6 h is no quicker than for 5 min: %v, %v", long.StayOut, short.StayOut)
	}
}

// A shop without dust has nothing to wait for, to hold against a limit, or to have less of.
func TestNoDustNoPromises(t *testing.T) {
	for _, text := range []string{"winnow: 1\n", "winnow: 1\nmachines: {saw: {kind: cabinet saw}}\nroutine: {hours per week: {saw: 0 h}}\n"} {
		a := answer(t, text)
		if len(a.Tasks) == 0 && (len(a.Options)+len(a.Limits)+len(a.Filters)+len(a.Clearing.Curve) > 0 || a.Clearing.Alone.NineInTen != 0 || a.Cleaner.StopAt != 0) {
			t.Errorf("%s: %+v", text, a)
		}
		if a.finding(CodePeople) != nil && len(a.Tasks) == 0 {
			t.Errorf("%s: others are told to stay out", text)
		}
	}
}

// Hours that nobody wrote are said to be guessed; a machine that the routine leaves out is named and not counted.
func TestHoursThatNobodyWrote(t *testing.T) {
	if a := answer(t, quarryLane); a.task(t, "table saw").Guessed || len(a.NoHours) > 0 {
		t.Errorf("written hours are said to be guessed, or missing: %v", a.NoHours)
	}
	none := answer(t, quarryLane[:strings.Index(quarryLane, "routine:")])
	if k := none.task(t, "table saw"); !k.Guessed || none.task(t, "sweeping dry").Guessed {
		t.Errorf("%+v", k)
	}
	some := answer(t, with(t, "table saw: 3 h, planer: 1 h, sander: 2 h, lathe: 1 h", "table saw: 3 h"))
	if got := strings.Join(some.NoHours, ","); got != "planer,sander,lathe" {
		t.Errorf("without hours: %s", got)
	}
}

// Which task gives most is known by its share of the draws: they add up to all, and more hours never make it less likely.
func TestWhichTaskGivesMost(t *testing.T) {
	sum, sander := 0.0, 0.0
	for _, k := range answer(t, quarryLane).Tasks {
		sum += k.Most
		if k.Name == "sander" {
			sander = k.Most
		}
	}
	if sum < 0.9 || sum > 1.1 { // each is rounded to 5 %
		t.Errorf("the chances add up to %g", sum)
	}
	if more := answer(t, with(t, "sander: 2 h", "sander: 12 h")).task(t, "sander").Most; more <= sander {
		t.Errorf("two hours a week give most with a chance of %g, twelve with %g", sander, more)
	}
	if one := answer(t, oneSander).task(t, "sander").Most; one < 0.5 {
		t.Errorf("two hours a day at the only machine give most with a chance of %g", one)
	}
}

// A timer begins when the last machine stops: while one cleans up it runs on, and what is left of it counts after work. A
// timer that is used up by cleaning up leaves others waiting as long as without a cleaner.
func TestATimerBeginsWithTheLastMachine(t *testing.T) {
	at := func(keeps string) (Answer, float64) {
		text := with(t, "keeps running: 20 min", "keeps running: "+keeps)
		_, s := parsed(t, text)
		return answer(t, text), build(s, nil).dayOf(false).after
	}
	short, work := at("14 min")
	if short.Clearing.StayOut != short.Clearing.Alone || work < 14*60 {
		t.Errorf("14 min are used up after %.0f s of cleaning up, and others wait %v, not %v", work, short.Clearing.StayOut, short.Clearing.Alone)
	}
	long, _ := at("3 h")
	if long.task(t, "sweeping dry").Mean.Respirable.Median >= short.task(t, "sweeping dry").Mean.Respirable.Median {
		t.Error("a cleaner that runs on while one sweeps cleans nothing")
	}
	_, nine := waits([]float64{0, float64(long.Clearing.WithCleaner.NineInTen)})
	if c := long.Clearing; float64(c.CleanerRuns) < work || float64(c.CleanerRuns) > 2*(work+nine) {
		t.Errorf("set to %v, cleaning up takes %.0f s and the wait %v", c.CleanerRuns, work, c.WithCleaner)
	}
	// The day is as long as it was: only what runs in it differs.
	if a, b := short.Day[len(short.Day)-1].To, long.Day[len(long.Day)-1].To; a != b {
		t.Errorf("a timer makes the day %v long, and not %v", b, a)
	}
}
