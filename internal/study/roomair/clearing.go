package roomair

import (
	"math"
	"slices"

	"winnow/internal/shop"
	"winnow/internal/study/doubt"
	"winnow/internal/unit"
)

// Wait is a time with its median, and the one that is long enough nine times in ten.
type Wait struct {
	Median    unit.Second `json:"median_s"`
	NineInTen unit.Second `json:"nine_in_ten_s"`
}

// Clearing is how long a tenth of the dust stays once work has ended, cleaning up included.
type Clearing struct {
	Alone       Wait  `json:"alone"`
	WithCleaner *Wait `json:"with_cleaner,omitempty"`
	// StayOut is what to tell others, with the cleaner's timer as it is set today.
	StayOut Wait `json:"stay_out"`
	// CleanerRuns is what to set the timer to, after the last machine: through cleaning up, and the wait that is long enough
	// nine times in ten. 0: there is no cleaner.
	CleanerRuns unit.Second `json:"cleaner_runs_s"`
	// Curve is what is left from the end of work on; where it meets a tenth, the waits above are up.
	Curve []Left `json:"curve,omitempty"`
}

// Left is the share still in the air some time after work, of the dust that stays longest.
type Left struct {
	After       unit.Second `json:"after_s"`
	Alone       Span        `json:"alone_share"`
	WithCleaner *Span       `json:"with_cleaner_share,omitempty"`
	AsSet       *Span       `json:"as_set_share,omitempty"` // as the cleaner's timer is set today
}

func (st *study) clearing() {
	c := &st.ans.Clearing
	c.Alone = waitOf(st.base.alone)
	c.StayOut = c.Alone
	c.Curve = st.curve(c.Alone.NineInTen)
	if len(st.l.cleaners) == 0 {
		return
	}
	with := waitOf(st.base.helped)
	c.WithCleaner, c.StayOut = &with, waitOf(st.asSet())
	_, nine := waits(st.base.helped)
	c.CleanerRuns = stepUp(nine + st.l.dayOf(false).after)
	for _, k := range st.l.cleaners {
		switch {
		case k.works == "always":
		case k.works == "by hand":
			f := st.find(CodeByHand, k.path, "", shop.Word("cleaner", k.name))
			f.Remedies = st.tried(shop.Remedy{What: ActWithMachines, Free: true, Args: []shop.Arg{shop.Word("cleaner", k.name)},
				Edits: []shop.Edit{{Set: k.path.Join("works"), To: shop.Text("with machines")}}})
		case k.keeps < c.CleanerRuns:
			f := st.find(CodeKeepsShort, k.path, "S-393", shop.Word("cleaner", k.name), shop.Number("keeps", k.keeps), waitArg("needs", c.CleanerRuns))
			f.Remedies = st.tried(shop.Remedy{What: ActTimer, Free: true, Args: []shop.Arg{shop.Word("cleaner", k.name), waitArg("keeps", c.CleanerRuns)},
				Edits: []shop.Edit{{Set: k.path.Join("keeps running"), To: shop.Text(unit.PrintIn(c.CleanerRuns, "min"))}}})
		}
	}
}

// fade is how the dust goes until a time after work: s until a tenth would be left at that rate, by sample.
type fade struct {
	until float64
	tenth []float64
}

// runsOn is how long a cleaner goes on after the last machine by itself [s]: by hand nobody counts on it.
func (c *cleaner) runsOn() float64 {
	switch c.works {
	case "always":
		return math.Inf(1)
	case "by hand":
		return 0
	}
	return float64(c.keeps)
}

// timers are the times after work at which a cleaner stops, which began when the last machine did; the last is never.
func (l *layout) timers(work float64) []float64 {
	var out []float64
	for i := range l.cleaners {
		if t := l.cleaners[i].runsOn() - work; t > 0 && !math.IsInf(t, 1) {
			out = append(out, t)
		}
	}
	slices.Sort(out)
	return append(slices.Compact(out), math.Inf(1))
}

// tens is how many times the dust has gone down to a tenth after a while, in sample i: the rates of the fades one after
// the other.
func tens(fades []fade, i int, t float64) float64 {
	sum, from := 0.0, 0.0
	for _, f := range fades {
		if t <= from {
			break
		}
		sum += (math.Min(t, f.until) - from) / f.tenth[i]
		from = f.until
	}
	return sum
}

// reaches is when tens is 1: the wait until a tenth is left.
func reaches(fades []fade, i int) float64 {
	sum, from := 0.0, 0.0
	for _, f := range fades {
		t := from + (1-sum)*f.tenth[i]
		if t <= f.until {
			return t
		}
		sum += (f.until - from) / f.tenth[i]
		from = f.until
	}
	return math.NaN() // no dust: nothing to wait for
}

// asSet is the wait with cleaners that run on as their timers say, and none of those switched by hand.
func (st *study) asSet() []float64 {
	out := make([]float64, len(st.base.alone))
	for i := range out {
		out[i] = reaches(st.base.asSet, i)
	}
	return out
}

const (
	curvePoints  = 24
	curveLongest = 12 * 3600 // s: nobody waits longer in front of a door
)

// curve is the share left over time, draw by draw, until the longest wait is up or half a day has gone,
//
//	s = 10^(-t/t10)
//
// with t10 the wait of that draw: the same exponentials as the waits, so the two cannot differ. With the timer as it is
// set the exponent runs at the cleaner's rate first and at the room's own after. Points lie denser at the start, where most
// happens. Of the sizes that count it is the one that stays longest; the others are gone earlier. Source [S-393].
func (st *study) curve(until unit.Second) []Left {
	if until <= 0 {
		return nil
	}
	horizon := math.Min(float64(until), curveLongest)
	forever := math.Inf(1)
	alone, helped := []fade{{forever, st.base.alone}}, []fade{{forever, st.base.helped}}
	left := func(f []fade, t float64) Span {
		return spanOf(st.of, func(i int) float64 { return math.Pow(10, -tens(f, i, t)) })
	}
	var out []Left
	for n := 0; n <= curvePoints; n++ {
		t := horizon * float64(n*n) / (curvePoints * curvePoints)
		p := Left{After: unit.Second(t), Alone: left(alone, t)}
		if len(st.l.cleaners) > 0 {
			with, set := left(helped, t), left(st.base.asSet, t)
			p.WithCleaner, p.AsSet = &with, &set
		}
		out = append(out, p)
	}
	return out
}

// waitOf is the median and the time that is long enough nine times in ten, rounded up to a step.
func waitOf(t []float64) Wait {
	median, nine := waits(t)
	if nine == 0 {
		return Wait{}
	}
	return Wait{stepUp(median), stepUp(nine)}
}

func waits(t []float64) (median, nineInTen float64) {
	x := make([]float64, 0, len(t))
	for _, v := range t[1:] {
		if !math.IsNaN(v) {
			x = append(x, v)
		}
	}
	if len(x) == 0 {
		return 0, 0
	}
	median = doubt.RangeOf(x).Median // sorts x
	return median, x[int(math.Ceil(0.9*float64(len(x))))-1]
}
