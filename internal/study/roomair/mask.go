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
// classes source [S-371]; FFP and P classes of EN 149 and EN 143 from memory.
func MaskFilter(class string) (unit.Fraction, bool) {
	keeps, ok := map[string]unit.Fraction{
		"N95": 0.95, "R95": 0.95, "P95": 0.95, "N99": 0.99, "P99": 0.99, "N100": 0.9997, "R100": 0.9997, "P100": 0.9997,
		"FFP1": 0.80, "FFP2": 0.94, "FFP3": 0.99, "P1": 0.80, "P2": 0.94, "P3": 0.9995,
	}[strings.ToUpper(strings.TrimSpace(class))]
	return keeps, ok
}

// counts reports whether a mask has a factor: only with a fit test.
func counts(r shop.Respirator) bool {
	return r.FitTested.Valid() && ProtectionFactor(r.Type) > 0
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
	for _, r := range masks {
		if !counts(r) {
			st.find(CodeNoFit, shop.Path("respirators").Join(r.Name), "S-370", shop.Word("mask", r.Name))
		}
	}
}

// withMask is the day with the best fit-tested mask on where it is advised; absent without a fit test.
func (st *study) withMask(on []bool) {
	best := unit.Number(0)
	for _, r := range st.in.Shop.Respirators {
		if counts(r) {
			best = max(best, ProtectionFactor(r.Type))
		}
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
