package power

import (
	"context"
	"fmt"
	"math"
	"slices"
	"strings"

	"winnow/internal/physics/circuit"
	"winnow/internal/shop"
	"winnow/internal/unit"
)

// Options are what a caller may add to the shop.
type Options struct {
	// Trial tries edits on the shop as it is written; without it no cure is an edit.
	Trial shop.Trial
	// Flow is the airflow of a system by the airflow study, for heat thrown outdoors; without it a guess from the fan is used.
	Flow func(system shop.ID) (unit.M3PerSec, bool)
	// Arrangement is the one that is looked at; empty: the first, today's.
	Arrangement shop.ID
	// Nodes is the budget of the search for a plan of plugs, in steps; 0 is DefaultNodes.
	Nodes int
}

// Circuit is one circuit at its worst.
type Circuit struct {
	Name     shop.ID       `json:"name"`
	Rating   unit.Ampere   `json:"rating_a"`
	Voltage  unit.Volt     `json:"voltage_v"`
	Wire     string        `json:"wire,omitempty"`
	WireBy   bool          `json:"wire_assumed,omitempty"`
	Length   unit.Metre    `json:"length_m,omitempty"` // panel to the farthest outlet
	LengthBy bool          `json:"length_assumed,omitempty"`
	Known    bool          `json:"known"`
	Assumed  bool          `json:"rating_assumed,omitempty"`
	Guarded  []string      `json:"protection,omitempty"` // whether these open cannot be computed
	WorstSet string        `json:"worst_set,omitempty"`
	Worst    Held          `json:"worst"`
	Danger   []string      `json:"danger,omitempty"` // what can burn or break whatever its breaker does
	Drop     unit.Fraction `json:"drop_share"`       // of its voltage, on its own wire, at a typical cut of the worst set
}

// SetResult is one allowed set, circuit by circuit; circuits without load are left out.
type SetResult struct {
	Set
	Verdict  string `json:"verdict"` // the worst of its circuits
	Circuits []Held `json:"circuits"`
}

// Outlet is one row of the outlet chart.
type Outlet struct {
	Name    shop.ID     `json:"name"`
	Circuit shop.ID     `json:"circuit"`
	Rating  unit.Ampere `json:"rating_a"`
	Voltage unit.Volt   `json:"voltage_v"`
	Shape   string      `json:"shape,omitempty"` // of the outlet such a circuit usually has
	Plugged []shop.ID   `json:"plugged"`
	Plan    []shop.ID   `json:"plan"`    // under the plan of plugs
	Spare   unit.Ampere `json:"spare_a"` // rating less the most its circuit carries at a typical cut
}

// Report is everything the study found.
type Report struct {
	Family      string        `json:"family"` // us or iec
	Circuits    []Circuit     `json:"circuits"`
	Loads       []*Load       `json:"loads"`
	Sets        []SetResult   `json:"sets"`
	Rules       []Rule        `json:"rules"`
	Limits      []Limit       `json:"limits"`
	Assignment  Assignment    `json:"assignment"`
	Chart       []Outlet      `json:"outlets"`
	Starts      []MotorStarts `json:"motor_starts"`
	Energy      Energy        `json:"energy"`
	Outdoors    []Thrown      `json:"outdoors"`
	Together    unit.Ampere   `json:"all_circuits_a"` // most that all circuits carry at once on each wire that feeds them, shared evenly
	OneWire     unit.Ampere   `json:"one_wire_a"`     // the same if all that could lies on one of those wires: what feeds them must stand it
	Cautions    []string      `json:"cautions"`
	Taken       []string      `json:"taken"` // what was taken for usual work
	NotComputed []string      `json:"not_computed"`

	Findings []shop.Finding `json:"-"`
	grid     *Grid
}

// Study answers for a filled shop. It stops early, with the error of ctx, only between its parts.
func Study(ctx context.Context, s *shop.Shop, o Options) (Report, error) {
	g := GridIn(s, o.Arrangement)
	r := Report{Family: "us", Cautions: Cautions, grid: g, Loads: g.loads}
	if g.family == circuit.IEC60898 {
		r.Family = "iec"
	}
	r.Sets = g.results()
	r.Circuits = g.circuits()
	r.Rules, r.Limits = g.rules(), g.limits()
	if err := ctx.Err(); err != nil {
		return r, err
	}
	r.Assignment = g.Assign(ctx, o.Nodes)
	r.Chart = g.chart(r.Assignment)
	r.Starts, r.Energy, r.Outdoors = g.starts(), g.energy(), g.thrown(o.Flow)
	r.Together, r.OneWire = g.together()
	r.Taken = g.taken()
	r.NotComputed = g.notComputed()
	if err := ctx.Err(); err != nil {
		return r, err
	}
	r.Findings = dangersFirst(g.findings(ctx, &r, o.Trial))
	g.markDangers(&r)
	return r, ctx.Err()
}

// dangers are the problems that a breaker that holds does not cure: what can burn, blow or break.
var dangers = map[*shop.Code]string{
	CodeBreakerOverWire: "its wire is too thin for its breaker", CodeThinExtension: "extension cord too thin: ",
	CodePlugFuse: "over the fuse of its plug: ", CodeVoltage: "made for another voltage: ",
}

// IsDanger tells whether a finding is about what can burn, blow or break, whether the breaker holds or not.
func IsDanger(c *shop.Code) bool { return dangers[c] != "" }

func dangersFirst(fs []shop.Finding) []shop.Finding {
	slices.SortStableFunc(fs, func(a, b shop.Finding) int {
		switch x, y := IsDanger(a.Code), IsDanger(b.Code); {
		case x == y:
			return 0
		case x:
			return -1
		}
		return 1
	})
	return fs
}

// markDangers names each danger in the row of its circuit, so that none reads as fine.
func (g *Grid) markDangers(r *Report) {
	for _, f := range r.Findings {
		if !IsDanger(f.Code) {
			continue
		}
		c, text := g.byName[f.Where.Last()]-1, dangers[f.Code]
		if f.Code != CodeBreakerOverWire {
			name := f.Args[0].Word
			c, text = -1, text+name
			for _, l := range g.loads {
				if l.Name == name {
					c = l.circuit
				}
			}
		}
		if c >= 0 {
			r.Circuits[c].Danger = append(r.Circuits[c].Danger, text)
		}
	}
}

func (g *Grid) results() []SetResult {
	out := make([]SetResult, 0, len(g.sets))
	for n, s := range g.sets {
		r := SetResult{Set: s, Circuits: []Held{}}
		worst := circuit.Holds
		for c := range g.lines {
			h := g.heldIn(c, n)
			if len(h.Loads) == 0 {
				continue
			}
			r.Circuits = append(r.Circuits, h)
			if rank(h.Verdict) > rank(worst) {
				worst = h.Verdict
			}
		}
		s.loads.each(func(i int) {
			if g.loads[i].circuit < 0 && !g.loads[i].byHand && rank(worst) < rank(circuit.Unknown) {
				worst = circuit.Unknown
			}
		})
		r.Verdict = worst.String()
		out = append(out, r)
	}
	return out
}

func (g *Grid) circuits() []Circuit {
	out := make([]Circuit, 0, len(g.lines))
	for c := range g.lines {
		ln := &g.lines[c]
		row := Circuit{Name: ln.name, Rating: ln.breaker.Rating, Voltage: ln.voltage, Known: ln.known, Assumed: ln.assumed, Guarded: ln.guarded}
		if ln.wireOK {
			row.Wire, row.WireBy = ln.wire.Name(), ln.wireSaid == unit.Assumed
		}
		row.Length, row.LengthBy = ln.length, ln.lengthSaid == unit.Assumed
		for n := range g.sets {
			if h := g.heldIn(c, n); n == 0 || worse(h, row.Worst) {
				row.Worst, row.WorstSet = h, g.sets[n].Name
			}
		}
		if ln.wireOK && ln.voltage > 0 {
			fall := circuit.Drop([]circuit.Segment{{Length: ln.length, Each: ln.wire.Resistance(circuit.Solid, warm), Current: row.Worst.Cut}})
			row.Drop = unit.Fraction(fall / ln.voltage)
		}
		out = append(out, row)
	}
	return out
}

// chart lists the outlets with what is plugged in and what would be.
func (g *Grid) chart(a Assignment) []Outlet {
	out := []Outlet{}
	plan := map[shop.ID]shop.ID{}
	for _, m := range a.Moves {
		plan[m.Load] = m.To
	}
	for c := range g.lines {
		ln := &g.lines[c]
		most := g.mostCut(c)
		for _, o := range ln.outlets {
			row := Outlet{Name: o.Name, Circuit: ln.name, Rating: ln.breaker.Rating, Voltage: ln.voltage, Plugged: []shop.ID{}, Plan: []shop.ID{}}
			row.Spare = max(0, ln.breaker.Rating-most)
			if g.family == circuit.UL489 {
				row.Shape, _ = circuit.Shape(ln.voltage, ln.breaker.Rating, false)
			}
			for _, l := range g.loads {
				if l.Outlet == o.Name {
					row.Plugged = append(row.Plugged, l.Name)
				}
				if to, moves := plan[l.Name]; moves && to == o.Name || !moves && l.Outlet == o.Name {
					row.Plan = append(row.Plan, l.Name)
				}
			}
			out = append(out, row)
		}
	}
	return out
}

// mostCut is the most a circuit carries at a typical cut, over all sets: where a start is what strains it, that is another set than the worst.
func (g *Grid) mostCut(c int) unit.Ampere {
	var most unit.Ampere
	for n := range g.sets {
		most = max(most, g.heldIn(c, n).Cut)
	}
	return most
}

// together is the most that all circuits carry at once, on each outer wire or phase that feeds them: even where the circuits of the
// lower voltage are shared out evenly, oneWire where all of them lie on the same. The file does not say on which a circuit lies.
func (g *Grid) together() (even, oneWire unit.Ampere) {
	low, wires := 1, unit.Ampere(2) // a split phase: 120 V between an outer wire and the neutral
	if g.family == circuit.IEC60898 {
		low, wires = 2, 1
		for i := range g.lines {
			if class(g.lines[i].voltage) == 3 { // three phases come into the shop
				wires = 3
			}
		}
	}
	for n := range g.sets {
		var shared, all unit.Ampere
		for c := range g.lines {
			i := g.heldIn(c, n).Cut
			all += i
			if class(g.lines[c].voltage) == low {
				i /= wires
			}
			shared += i
		}
		even, oneWire = max(even, shared), max(oneWire, all)
	}
	return even, oneWire
}

func (g *Grid) taken() []string {
	out := []string{
		"usual work between two rests: ten minutes of cutting, one of them at full plate, and ten of idling (assumed)",
		"a typical cut draws 65 % of the plate (50 to 80), a fan 85 % (70 to 100) (assumed)",
		fmt.Sprintf("%d at work: as many machines cut at once, the others idle", g.people),
		"what works always is counted in the week's energy for the hours somebody works, a freezer or pump for the part of the day it usually runs (assumed)",
		"currents are added without regard to their phase, which is on the safe side",
	}
	if len(g.away()) > 0 {
		out = append(out, "machines that are away in this arrangement are left out")
	}
	return out
}

func (g *Grid) notComputed() []string {
	out := []string{}
	if g.family == circuit.UL489 {
		out = append(out, "whether a start opens a breaker at once: no standard fixes that point for small US-style breakers")
	} else {
		out = append(out, "starts are compared with the letter of the breaker by r.m.s. current; the first half-wave can stand higher")
	}
	for i := range g.lines {
		if len(g.lines[i].guarded) > 0 {
			out = append(out, fmt.Sprintf("whether %s of circuit %s opens", strings.ToUpper(list(g.lines[i].guarded)), g.lines[i].name))
		}
	}
	out = append(out, "the panel's or sub-panel's own feeder: compare its breaker with what all circuits carry together")
	if g.family == circuit.UL489 {
		return append(out, "on which half of the split phase a circuit lies: the file does not say, so both bounds are given")
	}
	return append(out, "on which phase a circuit lies: the file does not say")
}

// findings says in words what the tables show, circuits first.
func (g *Grid) findings(ctx context.Context, r *Report, try shop.Trial) []shop.Finding {
	if len(g.lines) == 0 {
		return append([]shop.Finding{{Code: CodeNoCircuits, Where: "circuits"}}, g.thrownFindings(r)...)
	}
	var out []shop.Finding
	for _, v := range []circuit.Verdict{circuit.Trips, circuit.MayTrip, circuit.Unknown} {
		for _, t := range g.troubles(v) {
			out = append(out, g.troubled(ctx, t, &r.Assignment, try))
		}
	}
	out = append(out, g.ruled(r)...)
	out = append(out, g.limited(r)...)
	out = append(out, g.loadFindings()...)
	out = append(out, g.planFindings(r)...)
	out = append(out, g.startFindings(r)...)
	out = append(out, g.thrownFindings(r)...)
	for i := range g.lines {
		if ln := &g.lines[i]; len(ln.guarded) > 0 {
			out = append(out, shop.Finding{
				Code: CodeGuard, Where: ln.path.Join("protection"),
				Args: []shop.Arg{shop.Word("circuit", ln.name), shop.Word("guard", strings.ToUpper(list(ln.guarded)))},
			})
		}
	}
	return out
}

// troubled words one circuit's trouble.
func (g *Grid) troubled(ctx context.Context, t trouble, plan *Assignment, try shop.Trial) shop.Finding {
	ln, h := &g.lines[t.c], t.worst
	f := shop.Finding{Code: CodeMayTrip, Where: ln.path, Source: "S-309, S-311; between their points S-312 (judgement)"}
	var sets []string
	for _, n := range t.sets {
		sets = append(sets, g.sets[n].Name)
	}
	f.Args = []shop.Arg{
		shop.Word("circuit", ln.name), shop.Number("rating", h.Rating), shop.Word("sets", orList(sets)), shop.Number("idle", h.Idle), shop.Number("cut", h.Cut),
		shop.Number("full", h.Full), whenArg(h), chanceArg("chance", h.Chance),
	}
	for _, l := range h.Loads {
		f.Because = append(f.Because, shop.Number(l.Name, l.Full))
	}
	switch {
	case h.Verdict == circuit.Unknown:
		f.Code = CodeNotJudged
		missing := "the amps of the " + list(h.NotKnown)
		if !ln.known {
			missing = "its breaker and voltage"
		}
		f.Args = append(f.Args, shop.Word("missing", missing))
		return f
	case h.BecauseStart:
		if f.Code = CodeStartMayTrip; h.Verdict == circuit.Trips && !ln.assumed {
			f.Code = CodeStartTrips
		}
		f.Args = append(f.Args, shop.Word("starter", h.Starter), shop.Number("start", h.StartTotal), shop.Number("lasts", h.StartLasts), shop.Word("once", onlyOnce(h)))
	case h.Verdict == circuit.Trips && ln.assumed:
		f.Code = CodeTripsAssumed
	case h.Verdict == circuit.Trips:
		f.Code = CodeTrips
	}
	f.Remedies = g.cures(ctx, t, plan, try)
	return f
}

// orList writes sets apart from each other: "planer; table saw", as the name of a set may itself hold an "and".
func orList(sets []string) string {
	const shown = 6
	if len(sets) > shown {
		return strings.Join(sets[:shown], "; ") + fmt.Sprintf(" and %d more sets", len(sets)-shown)
	}
	return strings.Join(sets, "; ")
}

// whenArg says after how long: the first of idling, a typical cut and full plate that can open the breaker.
func whenArg(h Held) shop.Arg {
	say := func(unit.System) string {
		for _, s := range []struct {
			what string
			t    Times
			i    unit.Ampere
		}{{"even idling", h.AtIdle, h.Idle}, {"a typical cut", h.AtCut, h.Cut}, {"full plate", h.AtFull, h.Full}} {
			switch {
			case s.t.May == nil:
				continue
			case s.t.Must == nil && s.i < saysWhenFrom*h.Rating:
				return "whether " + strings.TrimPrefix(s.what, "even ") + " opens it is not sure" + atFull(s.what, h) + atOnce(h)
			case s.t.Must == nil:
				return s.what + " may open it from " + about(*s.t.May) + " on" + atFull(s.what, h) + atOnce(h)
			}
			return s.what + " opens it after " + about(*s.t.May) + " to " + about(*s.t.Must) + atOnce(h)
		}
		return "only a start can open it" + atOnce(h)
	}
	a := shop.Arg{Name: "when", Print: say, Unit: unit.Suffix[unit.Second]()}
	if h.AtFull.May != nil {
		a.Value = float64(*h.AtFull.May)
	}
	return a
}

// onlyOnce is atOnce where the start was named already.
func onlyOnce(h Held) string {
	switch at := atOnce(h); {
	case at == "":
		return ""
	case h.Instant == circuit.Trips.String():
		return "; that opens a " + h.Curve + " breaker at once"
	}
	return "; that may open a " + h.Curve + " breaker at once"
}

// saysWhenFrom is the multiple of the rating from which a time is given: under it the quick end of the band is no fact. Judgement [S-349].
const saysWhenFrom = 1.2

// atOnce says what the letter of the breaker makes of the worst start; empty where it does not open at once, or no point is fixed.
func atOnce(h Held) string {
	if h.Curve == "" {
		return ""
	}
	switch h.Instant {
	case circuit.MayTrip.String():
		return fmt.Sprintf("; the start of the %s, %s, may open a %s breaker at once", h.Starter, unit.Print(h.StartTotal, unit.SI), h.Curve)
	case circuit.Trips.String():
		return fmt.Sprintf("; the start of the %s, %s, opens a %s breaker at once", h.Starter, unit.Print(h.StartTotal, unit.SI), h.Curve)
	}
	return ""
}

func atFull(what string, h Held) string {
	if what == "full plate" || h.AtFull.Must == nil {
		return ""
	}
	return ", full plate opens it after " + about(*h.AtFull.May) + " to " + about(*h.AtFull.Must)
}

// about says a time as it is known: devices of one rating differ by a factor of five and more. The nearest step of a ladder, in
// proportion; the ladder is ours.
func about(t unit.Second) string {
	ladder := []struct {
		t    unit.Second
		text string
	}{
		{2, "a second or two"}, {5, "5 s"}, {10, "10 s"}, {15, "15 s"}, {20, "20 s"}, {30, "half a minute"}, {45, "45 s"}, {60, "a minute"},
		{90, "1½ min"}, {120, "2 min"}, {180, "3 min"}, {300, "5 min"}, {600, "10 min"}, {900, "15 min"}, {1200, "20 min"}, {1800, "half an hour"},
		{3600, "an hour"}, {7200, "two hours"},
	}
	best := ladder[0]
	for _, l := range ladder[1:] {
		if t*t >= best.t*l.t { // beyond the middle of the two, in proportion
			best = l
		}
	}
	return best.text
}

// chanceArg writes a chance to 5 %, under 5 and over 95 clamped: the device, the work and the plates are not known better.
func chanceArg(name string, p unit.Fraction) shop.Arg {
	return shop.Arg{Name: name, Value: float64(p), Unit: unit.Suffix[unit.Fraction](), Print: func(unit.System) string { return ChanceWords(p) }}
}

// ChanceWords says a chance to 5 %, never surer than under 5 or over 95: no more is known.
func ChanceWords(p unit.Fraction) string {
	switch {
	case p < 0.05:
		return "under 5 %"
	case p > 0.95:
		return "over 95 %"
	}
	return fmt.Sprintf("about %.0f %%", 5*math.Round(float64(p)*20))
}

func (g *Grid) ruled(r *Report) []shop.Finding {
	var out []shop.Finding
	for _, row := range r.Rules {
		if row.OK != No && row.code != CodeReadPlate {
			continue // what is not known of a sum is asked of each load of it
		}
		ln := &g.lines[g.byName[row.Circuit]-1]
		out = append(out, shop.Finding{
			Code: row.code, Where: row.where, Source: row.Source,
			Args: []shop.Arg{
				shop.Word("load", row.Load), shop.Word("circuit", row.Circuit), shop.Number("has", row.Has), shop.Number("most", row.Most),
				shop.Number("rating", ln.breaker.Rating), shop.Word("said", row.said),
			},
		})
	}
	return out
}

func (g *Grid) limited(r *Report) []shop.Finding {
	var out []shop.Finding
	for _, l := range r.Limits {
		says := l.OK == No || l.OK == NotKnown && (l.code == CodeWireDepends || l.code == CodeResistiveSwitch || l.code == CodeAskGuard)
		if says && len(l.args) > 0 {
			out = append(out, shop.Finding{Code: l.code, Where: l.where, Args: l.args, Source: l.Source})
		}
	}
	return out
}

// weakTorque is the share of its pull at the start under which a motor is said to start slowly: 65 %, judgement.
const weakTorque = 0.65

func (g *Grid) loadFindings() []shop.Finding {
	var out []shop.Finding
	for _, l := range g.loads {
		if l.circuit < 0 {
			if !l.fastened {
				out = append(out, shop.Finding{Code: CodeNoOutlet, Where: l.where, Args: []shop.Arg{shop.Word("load", l.Name)}})
			}
			continue
		}
		out = append(out, g.onItsCircuit(l, &g.lines[l.circuit])...)
	}
	return out
}

func (g *Grid) onItsCircuit(l *Load, ln *line) []shop.Finding {
	if !ln.known {
		return nil
	}
	var out []shop.Finding
	say := func(code *shop.Code, where shop.Path, source string, args ...shop.Arg) {
		args = append([]shop.Arg{shop.Word("load", l.Name), shop.Word("circuit", ln.name), shop.Number("supply", ln.voltage)}, args...)
		out = append(out, shop.Finding{Code: code, Where: where, Source: source, Args: args})
	}
	if v := class(l.Voltage); v != 0 && v != class(ln.voltage) {
		say(CodeVoltage, l.where, "", shop.Number("plate", l.Voltage))
	}
	if l.peak {
		m := g.shop.Machine(l.Name)
		power := unit.Watt(0)
		if l.Sort == Machine && m != nil {
			power = m.Motor.Value.Power.Best
		} else if y := g.shop.System(l.Name); y != nil {
			power = y.Motor.Value.Power.Best
		}
		i, _ := circuit.PeakClaim(power, ln.voltage, ln.breaker.Rating)
		p := shop.Number("power", power)
		p.Print = func(s unit.System) string { return unit.PrintMotor(power, s) }
		say(CodePeak, l.where.Join("motor"), "S-308", p, shop.Number("current", i), shop.Number("rating", ln.breaker.Rating))
	}
	if lost := ln.voltage - l.AtRun; l.AtRun > 0 && unit.Fraction(lost/ln.voltage) > circuit.DropWhole {
		say(CodeLongWay, l.where, "S-317", shop.Number("lost", lost), shop.Number("left", l.AtRun))
	}
	if l.motor && l.StartTorque > 0 && l.StartTorque < weakTorque {
		say(CodeWeakStart, l.where, "S-317", shop.Number("left", l.AtStart), shop.Number("torque", l.StartTorque))
	}
	if l.StartsItself {
		if w := g.worstOf(l.circuit); w.Verdict == circuit.Trips || w.Verdict == circuit.MayTrip {
			out = append(out, shop.Finding{
				Code: CodeSelfStarter, Where: l.where, DependsOn: CodeMayTrip.Name,
				Args: []shop.Arg{shop.Word("load", l.Name), shop.Word("circuit", ln.name), shop.Word("word", w.Word)},
			})
		}
	}
	return out
}

func (g *Grid) planFindings(r *Report) []shop.Finding {
	a := &r.Assignment
	switch {
	case a.Outcome == NotDecided:
		return []shop.Finding{{Code: CodeNotDecided, Where: "circuits", Args: []shop.Arg{countArg("left", a.Left), countArg("of", a.Of)}}}
	case a.Outcome == Cannot:
		smallest := ""
		if a.Smallest {
			smallest = "; no smaller number of loads is already too much"
		}
		return []shop.Finding{{Code: CodeCannot, Where: "circuits", Args: []shop.Arg{shop.Word("loads", list(a.Cannot)), shop.Word("smallest", smallest)}}}
	case len(a.Moves) == 0:
		return nil
	}
	holds := "holds"
	if a.Outcome == NoneTrips {
		holds = "may still open now and then, but is not expected to trip,"
	}
	moves := "one plug"
	if len(a.Moves) > 1 {
		moves = fmt.Sprintf("%d plugs", len(a.Moves))
	}
	but := ""
	if a.Short > 0 {
		but = " No plan without a longer cord does as well."
	}
	if len(a.Breaks) > 0 {
		but = " No plan that keeps the rules as well as today does as well; this one breaks them: " + list(a.Breaks) + "."
	}
	return []shop.Finding{{
		Code: CodePlan, Where: "circuits", Args: []shop.Arg{shop.Word("but", but), shop.Word("moves", moves), shop.Word("holds", holds), shop.Word("plan", planWords(a.Moves))},
	}}
}

func (g *Grid) startFindings(r *Report) []shop.Finding {
	var out []shop.Finding
	for _, m := range r.Starts {
		if m.Could <= m.May*1.01 {
			continue
		}
		perHour := func(name string, f unit.PerSec) shop.Arg {
			a := shop.Number(name, f)
			a.Print = func(unit.System) string { return fmt.Sprintf("%.0f", float64(f)*3600) }
			return a
		}
		out = append(out, shop.Finding{
			Code: CodeStarts, Where: shop.SystemPath(m.System).Join("starting"), Source: "S-305",
			Args: []shop.Arg{shop.Word("load", m.System), perHour("could", m.Could), perHour("may", m.May), shop.Number("keeps", m.Keeps)},
		})
	}
	return out
}

func (g *Grid) thrownFindings(r *Report) []shop.Finding {
	var out []shop.Finding
	for _, t := range r.Outdoors {
		if !t.Now {
			continue
		}
		where := shop.SystemPath(t.System).Join("air goes")
		cost := ""
		if t.Cost != nil {
			cost = fmt.Sprintf(", about %s %s a week", PrintCost(*t.Cost), t.Currency)
		}
		diff := shop.Arg{Name: "difference", Value: 20, Unit: "k", Print: func(s unit.System) string {
			if s == unit.US {
				return "36 °F"
			}
			return "20 °C"
		}}
		out = append(out, shop.Finding{
			Code: CodeThrown, Where: where, Source: "S-331",
			Args: []shop.Arg{shop.Word("load", t.System), shop.Number("flow", t.Flow), shop.Number("heat", t.AtTwenty), diff, shop.Word("cost", cost)},
		})
		if t.Flame != "" {
			out = append(out, shop.Finding{Code: CodeFlame, Where: where, Args: []shop.Arg{shop.Word("load", t.System), shop.Word("flame", t.Flame)}})
		}
	}
	return out
}
