package roomair

import (
	"cmp"
	"math"
	"slices"
	"strings"

	"winnow/internal/physics/particle"
	"winnow/internal/shop"
	"winnow/internal/study/doubt"
	"winnow/internal/unit"
)

// ProtectionFactor is what a kind of mask is assumed to divide the dust by, with a fit test and a clean-shaven face
// [-]; 0 where there is none to assume. Without a fit test there is no such factor at all. Source [S-370], from memory
// but for the two rows of hoods and loose facepieces.
func ProtectionFactor(kind string) unit.Number {
	switch kind {
	case "quarter mask":
		return 5
	case "filtering", "half mask":
		return 10
	case "full face":
		return 50
	case "powered": // a loose hood, with no test by its maker
		return 25
	case "powered half mask":
		return 50
	case "powered full face", "powered hood tested":
		return 1000
	}
	return 0
}

// Highest is the highest level a mask may be worn in [kg/m³]: its factor times the limit. Source [S-370].
func Highest(factor unit.Number, limit unit.KgPerM3) unit.KgPerM3 {
	return unit.KgPerM3(factor) * limit
}

// MaskFilter returns the least a mask's filter keeps of 0.3 µm dust [-]; false where the class is not known here. US
// classes source [S-371]; FFP and P classes of EN 149 and EN 143 from memory, with R, NR and D as they are printed after them.
func MaskFilter(class string) (unit.Fraction, bool) {
	class = strings.ToUpper(strings.NewReplacer(" ", "", "-", "").Replace(class))
	for _, mark := range []string{"D", "NR", "R"} {
		class = strings.TrimSuffix(class, mark)
	}
	keeps, ok := map[string]unit.Fraction{
		"N95": 0.95, "R95": 0.95, "P95": 0.95, "N99": 0.99, "P99": 0.99, "N100": 0.9997, "R100": 0.9997, "P100": 0.9997,
		"FFP1": 0.80, "FFP2": 0.94, "FFP3": 0.99, "P1": 0.80, "P2": 0.94, "P3": 0.9995,
	}[class]
	return keeps, ok
}

// OfMask returns what a mask divides the dust by [-]: what its kind is assumed to, and never more than its filter lets it,
//
//	min(factor of the kind, 1/(1 - what the filter keeps))
//
// 0: there is no number, as there was no fit test, it is out of date, or the kind or the filter is not known here. today is
// as lastDay takes it. Leaves out that the filter's leak and the face's add up, and that most wood dust is coarser than the
// 0.3 µm the class is tested with. Source [S-370], [S-371].
func OfMask(r shop.Respirator, today unit.Date) unit.Number {
	keeps, known := MaskFilter(r.Filter)
	if !known || !r.FitTested.Valid() || fitOld(r.FitTested, today) {
		return 0
	}
	return min(ProtectionFactor(r.Type), unit.Number(1/(1-float64(keeps))))
}

// fitOld reports whether a fit test lies more than a year back: it is done anew each year, 29 CFR 1910.134(f)(2), from memory
// [S-370]. Where the day of today is not known, nothing is old.
func fitOld(tested, today unit.Date) bool {
	tested.Year++
	return later(today, tested)
}

func later(a, b unit.Date) bool {
	return cmp.Or(cmp.Compare(a.Year, b.Year), cmp.Compare(a.Month, b.Month), cmp.Compare(a.Day, b.Day)) > 0
}

// lastDay is today as far as it is known: as it came in, else the newest day in the file. A study has no clock.
func (in *Input) lastDay() unit.Date {
	if in.Today.Valid() {
		return in.Today
	}
	var days []unit.Date
	s := in.Shop
	for _, r := range s.Readings {
		days = append(days, r.Date)
	}
	for _, r := range s.Respirators {
		days = append(days, r.FitTested)
	}
	for i := range s.Systems {
		y := &s.Systems[i]
		days = append(days, y.Fan.Installed, y.Filter.Value.Installed)
		for _, r := range y.Runs {
			for _, p := range r.Pieces {
				days = append(days, p.Installed)
			}
		}
	}
	var last unit.Date
	for _, d := range days {
		if later(d, last) {
			last = d
		}
	}
	return last
}

// What is said of the mask at a task.
const (
	MaskYes    = "yes"
	MaskBetter = "better"
	MaskAlone  = "not for this alone"
)

// maskCase is what the word for a task is made from.
type maskCase struct {
	chore    bool // a dry chore
	bare     bool // nothing catches its dust
	fine     bool // sanding
	wood     bool // board, or wood that makes allergic
	day      bool // the day is over the level to judge by without a mask on here
	mid, top unit.KgPerM3
}

// word says yes for dry chores, for fine dust that nothing catches, and where the median is over the level to judge by or
// the day needs it; better where nothing catches it, where the top of the range is over that level, and for sanding, board
// and wood that makes allergic. More dust never gives a milder word. A caution by common practice: no task is held to keep
// a limit by it.
func (m maskCase) word(judge unit.KgPerM3) string {
	switch {
	case m.chore, m.bare && m.fine, m.day, !(m.mid <= judge):
		return MaskYes
	case m.bare, m.fine, m.wood, !(m.top <= judge):
		return MaskBetter
	}
	return MaskAlone
}

// bareBelow is a share caught that counts as nothing.
const bareBelow = 0.02

// judgeMasksBy is the lowest level named that counts inhalable or total dust, and never more than 1 mg/m³ [S-396], so that
// the same air gets the same word in every shop.
func (st *study) judgeMasksBy() unit.KgPerM3 {
	level := 1 * mgM3
	for _, l := range st.ans.Limits {
		if l.counts == particle.Inhalable {
			level = min(level, l.Level)
		}
	}
	return level
}

// masks gives each task its word, always from the usual number of draws, so that a quick answer and a full one do not
// differ in it. By the day it is yes for those that together bring what is left of it under the level to judge by in three
// draws of four, dustiest first.
func (st *study) masks() {
	judge := st.judgeMasksBy()
	run, of := st.base, st.of
	if of < doubt.Samples {
		run, of = st.l.run(st.in.Belief, doubt.Samples, false), doubt.Samples
	}
	cases := st.maskCases(run, of)
	on := make([]bool, len(cases))
	var order []int
	for s := range cases {
		if st.l.sources[s].time > 0 {
			on[s] = cases[s].word(judge) == MaskYes
			order = append(order, s)
		}
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(cases[b].mid, cases[a].mid) })
	for _, s := range order {
		over := 0
		for i := 1; i <= of; i++ {
			if st.restOf(run, on, i, 0) > float64(judge) {
				over++
			}
		}
		if 4*over <= of {
			break
		}
		on[s], cases[s].day = true, true
	}
	var names []string
	k := 0
	for s := range cases {
		if st.l.sources[s].time <= 0 {
			continue
		}
		st.ans.Tasks[k].Mask = cases[s].word(judge)
		if on[s] {
			names = append(names, st.l.sources[s].name)
		}
		k++
	}
	st.maskFindings(names)
	st.withMask(on)
}

func (st *study) maskCases(run *outcome, of int) []maskCase {
	wood := woodOf(st.in.Shop.Routine.Wood)
	cases := make([]maskCase, len(st.l.sources))
	for s := range cases {
		src := &st.l.sources[s]
		if src.time <= 0 {
			continue
		}
		air := levelsOf(run.task[s], 0)
		cases[s] = maskCase{
			chore: src.chore != NotAChore, bare: !(spanOf(of, func(i int) float64 { return run.caught[s][i] }).Median >= bareBelow),
			fine: src.about != nil && src.about.Form == "fine dust", wood: wood.board || wood.cedar || sensitises(st.in.Shop.Routine.Wood),
			mid: air.Median, top: air.High,
		}
	}
	return cases
}

// restOf is what one draw leaves of the 8-hour average without the tasks that the mask is on for.
func (st *study) restOf(run *outcome, on []bool, i, c int) float64 {
	x := run.twa[i][c]
	for s := range on {
		if on[s] {
			x -= run.task[s][i][c] * float64(st.l.sources[s].time) / eightHours
		}
	}
	return math.Max(0, x)
}

func (st *study) maskFindings(tasks []string) {
	masks := st.in.Shop.Respirators
	if len(masks) == 0 && len(tasks) > 0 {
		st.find(CodeNoMask, "respirators", "S-370", shop.Word("tasks", list(tasks)))
	}
	today := st.in.lastDay()
	for _, r := range masks {
		at, mask, tested := shop.Path("respirators").Join(r.Name), shop.Word("mask", r.Name), shop.Word("tested", r.FitTested.String())
		_, known := MaskFilter(r.Filter)
		switch {
		case !r.FitTested.Valid():
			st.find(CodeNoFit, at, "S-370", mask)
		case fitOld(r.FitTested, today):
			st.find(CodeFitOld, at, "S-370", mask, tested, shop.Word("newest", today.String()))
		case !known:
			st.find(CodeMaskFilter, at.Join("filter"), "S-371", mask, shop.Word("filter", cmp.Or(strings.TrimSpace(r.Filter), "not written")))
		case OfMask(r, today) > 0:
			st.find(CodeFitYearly, at, "S-370", mask, tested)
		}
	}
}

// withMask is the day with the best fit-tested mask on where it is advised; absent without a fit test.
func (st *study) withMask(on []bool) {
	best := unit.Number(0)
	for _, r := range st.in.Shop.Respirators {
		best = max(best, OfMask(r, st.in.lastDay()))
	}
	if best == 0 {
		return
	}
	d := make([]dose, st.of+1)
	for i := range d {
		for c := range d[i] {
			left := st.restOf(st.base, on, i, c)
			d[i][c] = left + (st.base.twa[i][c]-left)/float64(best)
		}
	}
	dust := dustOf(d)
	st.ans.WithMask = &dust
}
