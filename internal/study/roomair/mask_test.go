package roomair

import (
	"math"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"winnow/internal/shop"
	"winnow/internal/study/doubt"
	"winnow/internal/unit"
)

// milder to stronger.
var maskWords = []string{MaskAlone, MaskBetter, MaskYes}

func rankOf(word string) int { return slices.Index(maskWords, word) }

// More dust never gives a milder word, nor does any reason more; and where nothing is caught, or the top of the range is
// over the level to judge by, the word is never the mildest.
func TestMoreDustNeverGivesAMilderWord(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		level := rapid.Float64Range(0, 20e-6)
		flag := rapid.Bool()
		a := maskCase{chore: flag.Draw(t, "chore"), bare: flag.Draw(t, "bare"), fine: flag.Draw(t, "fine"), wood: flag.Draw(t, "wood"), day: flag.Draw(t, "day")}
		mid, more := level.Draw(t, "mid"), level.Draw(t, "more")
		a.mid, a.top = unit.KgPerM3(mid), unit.KgPerM3(mid+level.Draw(t, "above"))
		b := a
		b.mid, b.top = a.mid+unit.KgPerM3(more), a.top+unit.KgPerM3(more)
		if flag.Draw(t, "only the top") {
			b.mid = a.mid
		}
		b.bare, b.fine, b.wood, b.day = b.bare || flag.Draw(t, "b"), b.fine || flag.Draw(t, "f"), b.wood || flag.Draw(t, "w"), b.day || flag.Draw(t, "d")
		judge := unit.KgPerM3(rapid.Float64Range(0.1e-6, 1e-6).Draw(t, "judge"))
		x, y := rankOf(a.word(judge)), rankOf(b.word(judge))
		if x < 0 || y < x {
			t.Fatalf("%+v is %q and %+v is %q", a, a.word(judge), b, b.word(judge))
		}
		if a.word(judge) == MaskAlone && (a.bare || a.fine || a.wood || a.chore || a.top > judge) {
			t.Fatalf("%+v is %q", a, MaskAlone)
		}
		if lower := judge / 2; rankOf(a.word(lower)) < x {
			t.Fatalf("a stricter level makes the word of %+v milder", a)
		}
	})
}

// A mask divides the dust by the factor of its kind (29 CFR 1910.134, table 1), and never by more than its filter class lets it:
// FFP1 keeps 80 % (EN 149), so five. The fit test is done anew each year: 1910.134(f)(2). Both from memory.
func TestMaskIsNoBetterThanItsFilterNorItsFitTest(t *testing.T) {
	tested, year, day := unit.Date{Year: 2025, Month: 3, Day: 1}, unit.Date{Year: 2026, Month: 3, Day: 1}, unit.Date{Year: 2026, Month: 3, Day: 2}
	for _, c := range []struct {
		kind, filter string
		fit, today   unit.Date
		want         float64
	}{
		{"half mask", "P100", tested, unit.Date{}, 10}, {"half mask", "p100 ", tested, year, 10}, {"half mask", "P100", tested, day, 0},
		{"filtering", "FFP1", tested, unit.Date{}, 5}, {"filtering", "FFP2 NR D", tested, year, 10}, {"half mask", "P3 R", tested, year, 10},
		{"full face", "P100", tested, unit.Date{}, 50}, {"full face", "N95", tested, unit.Date{}, 20}, {"half mask", "P100", unit.Date{}, unit.Date{}, 0},
		{"half mask", "", tested, unit.Date{}, 0}, {"half mask", "very fine", tested, unit.Date{}, 0}, {"", "P100", tested, unit.Date{}, 0},
	} {
		got := float64(OfMask(shop.Respirator{Type: c.kind, Filter: c.filter, FitTested: c.fit}, c.today))
		if math.Abs(got-c.want) > 1e-9*c.want {
			t.Errorf("%+v: divides by %g", c, got)
		}
	}
	day1 := func(filter, today string) Answer {
		_, s := parsed(t, with(t, "type: half mask, filter: P100", "type: filtering, filter: "+filter+", fit tested: 2025-03-01"))
		d, _ := unit.ParseDate(today)
		return Study(Input{Shop: s, Samples: 32, Today: d})
	}
	fine, coarse := day1("P100", ""), day1("FFP1", "")
	if fine.WithMask == nil || coarse.WithMask == nil || !(fine.WithMask.Inhalable.Median < coarse.WithMask.Inhalable.Median) {
		t.Fatalf("a P100 leaves %+v, an FFP1 %+v", fine.WithMask, coarse.WithMask)
	}
	if f := fine.finding(CodeFitYearly); f == nil || !strings.Contains(f.Sentence(unit.SI), "2025-03-01") {
		t.Error("it is not said that a fit test holds for a year")
	}
	if a := day1("P100", "2026-03-02"); a.WithMask != nil || a.finding(CodeFitOld) == nil || a.finding(CodeFitYearly) != nil {
		t.Error("a fit test of more than a year ago was counted")
	}
	if a := day1("very fine", ""); a.WithMask != nil || a.finding(CodeMaskFilter) == nil {
		t.Error("a filter of no known class was counted")
	}
	newer := strings.Replace(with(t, "filter: P100}", "filter: P100, fit tested: 2011-03-01}"), "filter: {grade: 5 µm claimed}", "filter: {grade: 5 µm claimed, installed: 2024-01-05}", 1)
	if a := answer(t, newer); a.WithMask != nil || a.finding(CodeFitOld) == nil {
		t.Error("a fit test of 2011 was counted beside a filter of 2024")
	}
}

// The same through whole days: in each shop, and from shop to shop, whatever the limits named there.
func TestMaskWordsOfWholeDays(t *testing.T) {
	between := func(text, from, to string) string {
		return text[:strings.Index(text, from)] + text[strings.Index(text, to):]
	}
	bare := between(strings.Replace(quarryLane, "port: {size: 27 mm}", "port: none", 1), "  little vacuum:", "air cleaners:")
	nothing := between(bare, "systems:", "air cleaners:")
	shops := map[string]string{
		"as it is": quarryLane, "no hose at the sander": bare, "no extraction at all": nothing,
		"long days":    strings.Replace(quarryLane, "table saw: 3 h, planer: 1 h, sander: 2 h", "table saw: 20 h, planer: 10 h, sander: 15 h", 1),
		"a high limit": strings.Replace(quarryLane, "limits: [us osha, us niosh, us acgih]", "limits: [uk hse]", 1),
		"softwood":     strings.Replace(quarryLane, "wood: hardwood", "wood: pine", 1), "board": strings.Replace(quarryLane, "wood: hardwood", "wood: mdf", 1),
		"walnut": strings.Replace(quarryLane, "wood: hardwood", "wood: walnut", 1),
	}
	usual := func(text string, samples int) Answer {
		_, s := parsed(t, text)
		return Study(Input{Shop: s, Samples: samples})
	}
	for name, text := range shops {
		a := usual(text, doubt.Samples)
		for i, k := range usual(text, 48).Tasks { // as a quick answer takes
			if k.Mask != a.Tasks[i].Mask {
				t.Errorf("%s, %s: %q with few draws, %q with the usual number", name, k.Name, k.Mask, a.Tasks[i].Mask)
			}
		}
		for _, k := range a.Tasks {
			if rankOf(k.Mask) < 0 {
				t.Errorf("%s, %s: %q is no word", name, k.Name, k.Mask)
			}
			over := k.Mean.Inhalable.High > 1*mgM3 || k.Mean.Respirable.High > 1*mgM3
			if k.Mask == MaskAlone && (k.Caught.Median < bareBelow || over || k.Name == "sander" || name == "board" || name == "walnut") {
				t.Errorf("%s, %s: %q at up to %.2g kg/m³ with %.0f %% caught", name, k.Name, k.Mask, k.Mean.Inhalable.High, 100*k.Caught.Median)
			}
			if k.Mean.Inhalable.Median > 1*mgM3 && k.Mask != MaskYes {
				t.Errorf("%s, %s: %q at a median over 1 mg/m³", name, k.Name, k.Mask)
			}
			for _, j := range a.Tasks { // machines of one sort, in one day
				same := !k.Chore && !j.Chore && (k.Name == "sander") == (j.Name == "sander") && (k.Caught.Median < bareBelow) == (j.Caught.Median < bareBelow)
				if same && j.Mean.Inhalable.Median >= k.Mean.Inhalable.Median && j.Mean.Inhalable.High >= k.Mean.Inhalable.High && rankOf(j.Mask) < rankOf(k.Mask) {
					t.Errorf("%s: %s is %q, and %s, dustier, %q", name, k.Name, k.Mask, j.Name, j.Mask)
				}
			}
		}
	}
	// With no extraction at all nothing is said to be fine without.
	for _, k := range answer(t, nothing).Tasks {
		if k.Mask == MaskAlone {
			t.Errorf("nothing catches the dust of %s, and the mask is %q", k.Name, k.Mask)
		}
	}
}

// What holds in any shop is told from what this shop's own data bring up.
func TestGeneralCautions(t *testing.T) {
	say := func(text string) (general, own []string) {
		a := answer(t, text)
		for _, f := range a.Findings {
			if !slices.Contains(a.General, f.Code.Name) {
				own = append(own, f.Code.Name)
			}
		}
		return a.General, own
	}
	general, own := say(quarryLane)
	for _, name := range []string{"wood-dust-group-1", "dust-can-burn", "vapour-is-not-dust", "old-paint-and-treated-wood", "children-and-asthma", "monitor-is-not-exposure"} {
		if !slices.Contains(general, name) {
			t.Errorf("%s is not general", name)
		}
	}
	if !slices.Contains(own, "car-inside") { // a garage
		t.Errorf("a garage brings up no car: %v", own)
	}
	if _, own = say(with(t, "name: Quarry Lane garage", "name: Carver Lane shop")); slices.Contains(own, "car-inside") {
		t.Error("a carver is no car")
	}
	if _, own = say(with(t, "wood: hardwood", "wood: mdf")); !slices.Contains(own, "board-dust") {
		t.Errorf("board brings up nothing: %v", own)
	}
}
