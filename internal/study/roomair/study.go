package roomair

import (
	"math"
	"slices"

	"winnow/internal/shop"
	"winnow/internal/shop/typical"
	"winnow/internal/study/doubt"
	"winnow/internal/unit"
)

// Input is what the study needs. Only Shop must be there.
type Input struct {
	Shop    *shop.Shop                  // filled: nothing is Unsaid
	Airflow func(*shop.Shop) Airflow    // what ports get; nil: taken from what they need, and said
	Fans    Fans                        // the most each system's fan moves; nil: the sum of what one machine's ports get
	Belief  *doubt.Belief               // nil: the prior
	Try     shop.Trial                  // nil: options are computed without edits of the file
	Fill    func(*shop.Shop) *shop.Shop // fills what Try gives back; nil: the usual values
	Samples int                         // 0: the usual number
	Brief   bool                        // without what is compared beside the acts: setups, pairs, filters, cleaner sizes
	Today   unit.Date                   // no date: the newest one in the file
}

// Levels is one quantity of air with its median and 90 % range.
type Levels struct {
	Low    unit.KgPerM3 `json:"low_kgm3"`
	Median unit.KgPerM3 `json:"median_kgm3"`
	High   unit.KgPerM3 `json:"high_kgm3"`
}

// Dust is the same air by how deep the dust goes.
type Dust struct {
	Inhalable  Levels `json:"inhalable"`
	Thoracic   Levels `json:"thoracic"`
	Respirable Levels `json:"respirable"`
}

// Span is a share or a ratio with its median and 90 % range.
type Span struct {
	Low    float64 `json:"low"`
	Median float64 `json:"median"`
	High   float64 `json:"high"`
}

// Task is a machine or a chore: what is breathed while at it. The task's mean is never compared with an 8-hour limit.
type Task struct {
	Name    shop.ID     `json:"name"`
	Where   shop.Path   `json:"where"`
	Chore   bool        `json:"chore,omitempty"`
	A       unit.Second `json:"a_day_s"`
	Mean    Dust        `json:"task_mean"`
	Caught  Span        `json:"caught_share"`  // of the dust that would fly
	OfDay   Span        `json:"of_day_share"`  // of the day's inhalable dose
	Most    float64     `json:"chance_most"`   // that it gives more than any other, to 5 %
	Assumed bool        `json:"shape_assumed"` // the line of capture against airflow has no published support here
	Mask    string      `json:"mask"`          // yes, better, not for this alone
	Guessed bool        `json:"hours_assumed,omitempty"`
}

// LimitAnswer is one named limit and its word.
type LimitAnswer struct {
	Limit
	Chance float64 `json:"chance_over"`
	Word   string  `json:"word"`
}

// Point is the day as a line: what a person breathes from one moment on.
type Point struct {
	From    unit.Second `json:"from_s"`
	To      unit.Second `json:"to_s"`
	Running shop.ID     `json:"running,omitempty"` // machine or chore; empty in a pause and when nobody is there
	There   bool        `json:"there"`
	Level   Levels      `json:"respirable"`
}

// CleanerAdvice is how big a cleaner is worth having, with a MERV 13 as its last filter. Sizes are what is claimed for the box,
// as the file takes them: about 0.85 of that is delivered.
type CleanerAdvice struct {
	HalfHour unit.M3PerSec `json:"for_half_an_hour_m3s"` // clears the room in 30 min, nine times in ten; 0: none up to 1.2 m³/s does
	StopAt   unit.M3PerSec `json:"stop_paying_at_m3s"`   // beyond it another 170 m³/h (100 cfm) saves under 5 min
	Short    [3]float64    `json:"spares_in_10_30_180_min_share"`
	At       shop.ID       `json:"at"`
}

// FilterChoice is what the day would be with another filter on the system that returns most air.
type FilterChoice struct {
	Grade      string `json:"grade"`
	Sold       string `json:"sold_as,omitempty"` // what is sold with such a grade. Common practice, no source
	Inhalable  Span   `json:"inhalable_of_today"`
	Respirable Span   `json:"respirable_of_today"`
}

// Outdoors is what blowing outdoors would mean. Flames is asked first: not asked, none, sealed or forced, natural.
type Outdoors struct {
	Flames   string        `json:"flames"`
	Advice   string        `json:"advice"`            // "say first", "may", "not beside the flame"
	Already  bool          `json:"already,omitempty"` // it blows outdoors today
	System   shop.ID       `json:"system"`
	Flow     unit.M3PerSec `json:"flow_m3s"`      // the most its fan moves in any set that is allowed, leaks included
	Highest  unit.M3PerSec `json:"flow_high_m3s"` // the upper end of that: an opening is sized by it
	Colder   unit.Kelvin   `json:"colder_k"`      // on the day that the heat is reckoned for
	Heat     unit.Watt     `json:"heat_w"`
	HeatWeek unit.Joule    `json:"heat_a_week_j"`
	Below    unit.Pascal   `json:"below_pa"` // doors shut, the best estimate
	BelowLow unit.Pascal   `json:"below_low_pa"`
	BelowTop unit.Pascal   `json:"below_high_pa"`
	Opening  unit.M2       `json:"opening_m2"` // holds it under 2 Pa at the highest flow
	Gain     Span          `json:"respirable_of_today"`
}

// Option is something that can be done, by what it leaves of today.
type Option struct {
	Inhalable  Span        `json:"inhalable_of_today"`
	Respirable Span        `json:"respirable_of_today"`
	Withheld   string      `json:"withheld,omitempty"` // why it is not advised
	Remedy     shop.Remedy `json:"-"`
}

// Answer is all the study found. Options come first: ratios hold where levels do not.
type Answer struct {
	Options  []Option       `json:"-"`
	Tasks    []Task         `json:"tasks"`
	NoHours  []shop.ID      `json:"no_hours,omitempty"` // machines that make dust and have no hours in the routine: not counted
	Setups   []SetupAnswer  `json:"setups,omitempty"`
	Together []Together     `json:"together,omitempty"`
	Clearing Clearing       `json:"clearing"`
	TWA      Dust           `json:"twa_8h"`
	Others   Dust           `json:"rest_of_the_room"`
	Days     int            `json:"days_a_week"`
	WithMask *Dust          `json:"twa_8h_with_mask,omitempty"` // only with a fit test
	Limits   []LimitAnswer  `json:"limits"`
	Cleaner  CleanerAdvice  `json:"cleaner"`
	Filters  []FilterChoice `json:"filters,omitempty"`
	FilterOf shop.ID        `json:"filter_of,omitempty"` // the system whose filter is compared
	Flames   string         `json:"flames"`              // in the room: not said, none, sealed or forced, natural draught
	Outdoors *Outdoors      `json:"outdoors,omitempty"`
	Hoods    []HoodAdvice   `json:"hoods,omitempty"`
	Day      []Point        `json:"day"`
	General  []string       `json:"general"` // codes of the findings that hold in any shop
	Findings []shop.Finding `json:"-"`
}

// SetupAnswer is another way of using a machine, against its usual one.
type SetupAnswer struct {
	Machine shop.ID `json:"machine"`
	Setup   shop.ID `json:"setup"`
	Caught  Span    `json:"caught_share"`
	Escapes Span    `json:"escapes_of_usual"` // what escapes over what usually does
}

// Together is a second machine running while the person is at the first.
type Together struct {
	At       shop.ID `json:"at"`
	With     shop.ID `json:"with"`
	Breathes Span    `json:"of_alone"` // half an hour's dose over that of the first alone
}

// study carries what the parts of the answer share.
type study struct {
	in   Input
	of   int
	flow Airflow // of the shop as it is
	l    *layout
	base *outcome
	ans  *Answer
}

// Study answers for a filled shop: do I breathe it, what helps most, how long must the cleaner run, when is the mask on.
func Study(in Input) Answer {
	if in.Belief == nil {
		in.Belief = doubt.Prior()
	}
	if in.Airflow == nil {
		in.Airflow = Fixed(nil)
	}
	if in.Fill == nil {
		in.Fill = func(s *shop.Shop) *shop.Shop { filled, _ := typical.Fill(s); return filled }
	}
	st := &study{in: in, of: in.Samples, ans: &Answer{General: []string{}}}
	if st.of == 0 {
		st.of = doubt.Samples
	}
	st.flow = in.Airflow(in.Shop)
	st.l = build(in.Shop, st.flow)
	st.base = st.l.run(in.Belief, st.of, true)
	st.ans.Findings = st.l.findings
	st.ans.Days = st.l.days
	st.ans.Flames, _ = flames(in.Shop.Room)
	st.tasks()
	st.ans.TWA, st.ans.Others = dustOf(st.base.twa), dustOf(st.base.others)
	if !in.Brief {
		st.setups()
		st.together()
	}
	st.line()
	if len(st.ans.Tasks) > 0 { // else there is no dust to wait for, to hold against a limit or to have less of
		st.clearing()
		st.limits()
		st.noLimit()
		st.masks()
		st.options()
		if !in.Brief {
			st.cleanerAdvice()
			st.filters()
		}
	}
	st.outdoors()
	st.hoods()
	st.beyond()
	st.cautions()
	for _, f := range st.ans.Findings {
		if General(f, in.Shop) {
			st.ans.General = append(st.ans.General, f.Code.Name)
		}
	}
	return *st.ans
}

// rangeOf reads a range off the draws, leaving out the best estimate at index 0 and what could not be computed.
func rangeOf(n int, at func(i int) float64) doubt.Range {
	x := make([]float64, 0, n)
	for i := 1; i <= n; i++ {
		if v := at(i); !math.IsNaN(v) && !math.IsInf(v, 0) {
			x = append(x, v)
		}
	}
	return doubt.RangeOf(x)
}

func spanOf(n int, at func(i int) float64) Span {
	r := rangeOf(n, at)
	if math.IsNaN(r.Median) {
		return Span{}
	}
	return Span{r.Low, r.Median, r.High}
}

func levelsOf(d []dose, c int) Levels {
	r := rangeOf(len(d)-1, func(i int) float64 { return d[i][c] })
	return Levels{unit.KgPerM3(r.Low), unit.KgPerM3(r.Median), unit.KgPerM3(r.High)}
}

func dustOf(d []dose) Dust { return Dust{levelsOf(d, 0), levelsOf(d, 1), levelsOf(d, 2)} }

// part is a source's part of the 8-hour average in one sample.
func (st *study) part(s, i, c int) float64 {
	return st.base.task[s][i][c] * float64(st.l.sources[s].time) / eightHours
}

func (st *study) tasks() {
	var shape, flow []string
	most := st.mostOf()
	for s := range st.l.sources {
		src := &st.l.sources[s]
		if src.time <= 0 {
			if src.chore == NotAChore {
				st.ans.NoHours = append(st.ans.NoHours, src.name)
			}
			continue
		}
		t := Task{
			Name: src.name, Where: src.path, Chore: src.chore != NotAChore, A: src.time, Mean: dustOf(st.base.task[s]),
			Assumed: src.chore == NotAChore && !src.hand && len(src.hoods) > 0, Guessed: src.guessed,
			Caught: spanOf(st.of, func(i int) float64 { return st.base.caught[s][i] }),
			OfDay:  spanOf(st.of, func(i int) float64 { return st.part(s, i, 0) / st.base.twa[i][0] }),
			Most:   math.Round(20*most[s]) / 20,
		}
		st.ans.Tasks = append(st.ans.Tasks, t)
		if t.Assumed {
			shape = append(shape, src.name)
		}
		if slices.ContainsFunc(src.hoods, func(h hood) bool { return h.assumed }) {
			flow = append(flow, src.name)
		}
	}
	if len(shape) > 0 {
		st.find(CodeShapeAssumed, "machines", "S-390", shop.Word("machines", list(shape)))
	}
	if len(flow) > 0 {
		st.find(CodeAirflowAssumed, "machines", "S-388", shop.Word("machines", list(flow)))
	}
	if share := st.ofChores(); share > 0.4 {
		st.find(CodeCleaningUpDominates, "routine", "S-389", partArg("share", share))
	}
}

// mostOf is, by source, the share of the draws in which it gives more inhalable dust than any other.
func (st *study) mostOf() []float64 {
	out := make([]float64, len(st.l.sources))
	for i := 1; i <= st.of; i++ {
		top := 0
		for s := range out {
			if st.part(s, i, 0) > st.part(top, i, 0) {
				top = s
			}
		}
		if len(out) > 0 {
			out[top] += 1 / float64(st.of)
		}
	}
	return out
}

// ofChores is the part of the day's inhalable dose that cleaning up gives, by the median.
func (st *study) ofChores() float64 {
	return spanOf(st.of, func(i int) float64 {
		sum := 0.0
		for s := range st.l.sources {
			if st.l.sources[s].chore != NotAChore {
				sum += st.part(s, i, 0)
			}
		}
		return sum / st.base.twa[i][0]
	}).Median
}

func (st *study) find(c *shop.Code, where shop.Path, source string, args ...shop.Arg) *shop.Finding {
	st.ans.Findings = append(st.ans.Findings, shop.Finding{Code: c, Where: where, Args: args, Source: source})
	return &st.ans.Findings[len(st.ans.Findings)-1]
}

func (st *study) line() {
	d := st.l.dayOf(true)
	at := 0.0
	for i, s := range d.spells {
		p := Point{From: unit.Second(at), To: unit.Second(at + float64(s.For)), There: d.task[i] != away, Level: levelsOf(st.base.line[i], 2)}
		if d.task[i] >= 0 {
			p.Running = st.l.sources[d.task[i]].name
		}
		at += float64(s.For)
		st.ans.Day = append(st.ans.Day, p)
	}
}

// tried keeps a remedy only if its edits apply.
func (st *study) tried(r shop.Remedy) []shop.Remedy {
	if st.in.Try != nil {
		if _, err := st.in.Try(r.Edits...); err != nil {
			return nil
		}
	}
	return []shop.Remedy{r}
}

func (st *study) limits() {
	wood := woodOf(st.in.Shop.Routine.Wood)
	total := vary(st.in.Belief, doubt.Own("room/total dust sampler", 0.55, 1.8), st.of)
	for _, l := range chosen(st.in.Shop.Site.Limits, wood) {
		over := 0
		for i := 1; i <= st.of; i++ {
			if l.read(st.base.twa[i], total[i]) > float64(l.Level) {
				over++
			}
		}
		chance := float64(over) / float64(st.of)
		a := LimitAnswer{Limit: l, Chance: math.Min(0.95, math.Max(0.05, math.Round(20*chance)/20)), Word: wordFor(chance)}
		st.ans.Limits = append(st.ans.Limits, a)
		if a.Word == LikelyAbove {
			st.find(CodeLikelyAbove, "routine", l.Source, shop.Number("limit", l.Level), shop.Word("by", l.By), shop.Word("place", l.Place), shop.Word("year", l.Year), shop.Word("fraction", l.Fraction))
		}
	}
}

func (st *study) noLimit() {
	if len(st.ans.Limits) == 0 {
		st.find(CodeNoLimit, "site/limits", "S-394", shop.Word("limits", list(st.in.Shop.Site.Limits)), shop.Word("wood", st.in.Shop.Routine.Wood))
	}
}

// ofInhalable is what a "total dust" sampler reads of the inhalable dust: 0.45 (0.25 to 0.8). From memory [S-375].
const ofInhalable = 0.45

// read is the dust of a sample as this limit counts it.
func (l *Limit) read(d dose, total float64) float64 {
	if l.total {
		return d[0] * math.Min(1, ofInhalable*total)
	}
	return d[int(l.counts)-1]
}

func list(words []string) string {
	switch n := len(words); n {
	case 0:
		return "nothing"
	case 1:
		return words[0]
	default:
		out := words[0]
		for _, w := range words[1 : n-1] {
			out += ", " + w
		}
		return out + " and " + words[n-1]
	}
}
