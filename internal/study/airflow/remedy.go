package airflow

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"slices"
	"strings"

	"winnow/internal/shop"
	"winnow/internal/shop/plan"
	"winnow/internal/shop/typical"
	"winnow/internal/unit"
)

// The acts that may help. Each is a list of edits of the file, solved again before it is offered.
var (
	actCleanFilter = &shop.Code{Name: "clean-the-filter", Sentence: "Shake or clean the filter of {system}."}
	actStraighten  = &shop.Code{Name: "straighten-the-hose", Sentence: "Lay {piece} straighter: {to} of bends instead of {from}."}
	actStretch     = &shop.Code{Name: "stretch-the-hose", Sentence: "Pull {piece} out to its full length, so that its ribs open."}
	actNoKink      = &shop.Code{Name: "free-the-kink", Sentence: "Free the kink in {run}."}
	actShorten     = &shop.Code{Name: "shorten-the-hose", Sentence: "Shorten {piece} from {from} to {to}."}
	actLighterCuts = &shop.Code{Name: "lighter-cuts", Sentence: "Take half the depth at the {machine}: half the chips need about {to} instead of {from}."}
	actOpening     = &shop.Code{Name: "open-the-cabinet", Sentence: "Give the {machine} more openings for air: {to} instead of {from}."}
	actWiden       = &shop.Code{Name: "widen-the-piece", Sentence: "Replace {piece} of {run}, {from}, by {to}: it is narrower than what it joins."}
	actWiderHose   = &shop.Code{Name: "wider-hose-and-port", Sentence: "Give the {machine} a {to} port and {what} instead of {from}."}
	actOpenPort    = &shop.Code{Name: "open-the-port", Sentence: "Open the port of the {machine} to {to}, the size of its hose, instead of {from}."}
	actCollector   = &shop.Code{Name: "collector-instead", Sentence: "A collector instead: {power}, with {length} of {size} hose and a port of that size."}
	actPipe        = &shop.Code{Name: "pipe-to-the-post", Sentence: "Replace {from} of {piece} by smooth pipe, and keep {to} of hose."}
	actSmooth      = &shop.Code{Name: "smoother-hose", Sentence: "Replace {piece} by {to}: its ribs cost more than anything else it does."}
	actFilter      = &shop.Code{Name: "bigger-filter", Sentence: "A filter of {to} instead of {from} on {system}."}
	actSeal        = &shop.Code{Name: "seal-the-joints", Sentence: "Tape the joints of the pipes of {system}: what leaks in there is air the machine does not get."}
	actNextFan     = &shop.Code{Name: "bigger-collector", Sentence: "A collector of the next size, {to} instead of {from}."}
	actOption      = &shop.Code{Name: "option", Sentence: "Your option: {name}."}
	actNextFanHose = &shop.Code{Name: "bigger-collector-shorter-hose", Sentence: "A collector of the next size, {to} instead of {from}, and {length} of hose."}
	actWiderRun    = &shop.Code{Name: "wider-main", Sentence: "Make {run} one size wider, {to} instead of {from}."}
)

// lighterNeed is the share of the chips need that is left at half the depth of cut: less to carry, the same hood. Judgement.
// Source [S-214].
const lighterNeed = 0.75

// Remedies lists what would help one port, each act solved again: free acts first, then by what it gains. Acts that gain
// less than 2 % are left out. set is the setting that found it wanting; others are the settings in which side effects are
// looked for. base is the shop as filled, try applies edits to the file.
//
// The findings say what no act of the sort can do: that no length of this hose reaches the need.
func Remedies(ctx context.Context, base *shop.Shop, l *plan.Layout, r Result, port shop.PortRef, others []Setting, try shop.Trial) ([]shop.Remedy, []shop.Finding) {
	c := &cure{ctx: ctx, base: base, layout: l, result: r, port: port, try: try, sets: relevant(r.Setting, others)}
	c.before = c.solve(base, l, c.sets)
	if c.before == nil {
		return nil, nil
	}
	for _, propose := range []func(){c.cleanFilter, c.hoseActs, c.lighterCuts, c.openings, c.narrowPieces, c.smootherHose, c.seal, c.biggerFilter, c.widerHose, c.pipeToPost, c.widerRuns, c.nextFan, c.collectorInstead, c.options} {
		if ctx.Err() != nil {
			break
		}
		propose()
	}
	slices.SortStableFunc(c.found, func(a, b shop.Remedy) int {
		return cmp.Or(cmp.Compare(order(a), order(b)), cmp.Compare(cost(a), cost(b)), cmp.Compare(gain(b), gain(a)))
	})
	return c.found, c.limits
}

// order puts free acts first, then those that reach the need, then the rest.
func order(r shop.Remedy) int {
	switch {
	case r.Free:
		return 0
	case r.Effects[0].After >= r.Effects[0].NeedsAfter:
		return 1
	}
	return 2
}

// cost ranks acts by what they take: free ones, then a piece of hose and what the owner has priced, then pipe and ports, then another fan.
func cost(r shop.Remedy) int {
	switch {
	case r.Free:
		return 0
	case r.What == actWiden || r.What == actOpenPort || r.What == actSeal || r.What == actSmooth || r.What == actOption:
		return 1
	case r.What == actNextFan || r.What == actNextFanHose || r.What == actCollector:
		return 3
	}
	return 2
}

// gain is how much nearer to its need the first port comes.
func gain(r shop.Remedy) float64 {
	e := r.Effects[0]
	return float64(e.After/e.NeedsAfter) - float64(e.Before/e.NeedsBefore)
}

// worthIt is the least gain, as a share of the need, for which an act is offered.
const worthIt = 0.02

// relevant are the setting in question and those whose side effects matter, each once.
func relevant(set Setting, others []Setting) []Setting {
	sets := []Setting{set}
	for _, o := range others {
		o.Filter = set.Filter
		if !slices.ContainsFunc(sets, o.same) {
			sets = append(sets, o)
		}
	}
	return sets
}

// cure gathers remedies for one port.
type cure struct {
	ctx    context.Context
	base   *shop.Shop
	layout *plan.Layout
	result Result
	port   shop.PortRef
	try    shop.Trial
	sets   []Setting
	before []Result
	found  []shop.Remedy
	limits []shop.Finding
	way    []shop.Path // pieces between the port and the inlet
}

// solve is the best estimate of every setting for a filled shop; nil if it cannot be computed.
func (c *cure) solve(s *shop.Shop, l *plan.Layout, sets []Setting) []Result {
	m, _ := Build(s, l, c.result.System)
	if m == nil {
		return nil
	}
	var rs []Result
	for _, set := range sets {
		if m.hasPart(set) {
			rs = append(rs, m.Result(set, nil))
		}
	}
	return rs
}

// tried applies edits and prepares the shop anew.
func (c *cure) tried(edits []shop.Edit) (*shop.Shop, *plan.Layout) {
	raw, err := c.try(edits...)
	if err != nil {
		return nil, nil
	}
	s, _ := typical.Fill(raw)
	l, _ := plan.Of(s, c.result.Setting.Arrangement)
	return s, l
}

// offer solves an act again and keeps it if it helps. filter is the state the act leaves the filter in.
func (c *cure) offer(act *shop.Code, free bool, filter FilterState, edits []shop.Edit, args ...shop.Arg) *shop.Remedy {
	s, l := c.tried(edits)
	if s == nil {
		return nil
	}
	sets := slices.Clone(c.sets)
	for i := range sets {
		sets[i].Filter = filter
	}
	after := c.solve(s, l, sets)
	if after == nil {
		return nil
	}
	r := shop.Remedy{What: act, Args: args, Edits: edits, Free: free}
	r.Effects = c.effects(after)
	r.Worse = newTrouble(judgePieces(c.before), judgePieces(after))
	least := worthIt
	if act == actCleanFilter {
		least = 0.002 // always worth knowing: it is free, and due
	}
	if len(r.Effects) == 0 || r.Effects[0].Port != c.port || gain(r) < least {
		return nil
	}
	c.found = append(c.found, r)
	return &c.found[len(c.found)-1]
}

// newTrouble are the findings about pieces that were not there before, or not as bad.
func newTrouble(before, after []shop.Finding) []shop.Finding {
	var fresh []shop.Finding
	for _, a := range after {
		run := a.Where.Parent()
		if a.Code == CodeDrops && !slices.ContainsFunc(before, func(b shop.Finding) bool { return b.Where.Parent() == run && b.Code == a.Code }) {
			fresh = append(fresh, a)
		}
	}
	return fresh
}

// touched is the change of another port's airflow from which on it is named.
const touched = 0.01

// effects compares every port before and after; the port in question comes first, the others only if they feel it.
func (c *cure) effects(after []Result) []shop.Effect {
	var all []shop.Effect
	for _, b := range c.before {
		a := find(after, b.Setting)
		if a == nil {
			continue
		}
		for _, p := range b.Ports {
			q := findPort(a, p.Port)
			if q == nil {
				continue
			}
			e := shop.Effect{Port: p.Port, Before: p.Gets, After: q.Gets, NeedsBefore: p.NeedsChips, NeedsAfter: q.NeedsChips}
			first := p.Port == c.port && len(all) == 0
			if first || math.Abs(float64(e.After/e.Before)-1) > touched && !slices.ContainsFunc(all, func(x shop.Effect) bool { return x.Port == e.Port }) {
				all = append(all, e)
			}
		}
	}
	return all
}

func find(rs []Result, set Setting) *Result {
	for i := range rs {
		x := rs[i].Setting
		x.Filter = set.Filter
		if x.same(set) {
			return &rs[i]
		}
	}
	return nil
}

func findPort(r *Result, port shop.PortRef) *PortResult {
	for i := range r.Ports {
		if r.Ports[i].Port == port {
			return &r.Ports[i]
		}
	}
	return nil
}

// state is the filter's in the setting that found the port wanting.
func (c *cure) state() FilterState { return c.result.Setting.Filter }

func set(p shop.Path, to string) shop.Edit { return shop.Edit{Set: p, To: shop.Text(to)} }

// cleanFilter: the act leaves the file's hours at nought, so the filter is as it is when just cleaned.
func (c *cure) cleanFilter() {
	y := c.base.System(c.result.System)
	if y.Filter.Basis == unit.Absent || c.state() == Clean {
		return
	}
	edit := set(shop.SystemPath(y.Name).Join("filter", "since cleaning"), "0 h")
	c.offer(actCleanFilter, true, Clean, []shop.Edit{edit}, shop.Word("system", y.Name))
}

// onWay visits the pieces of the runs between the port and the inlet, with their run.
func (c *cure) onWay(visit func(r *shop.Run, i int, p *shop.Piece, path shop.Path)) {
	y := c.base.System(c.result.System)
	seen := map[shop.Path]bool{}
	for _, pf := range c.wayPaths() {
		if seen[pf] {
			continue
		}
		seen[pf] = true
		for ri := range y.Runs {
			r := &y.Runs[ri]
			for i := range r.Pieces {
				if path := shop.PiecePath(y.Name, *r, i); path == pf {
					visit(r, i, &r.Pieces[i], path)
				}
			}
		}
	}
}

// wayPaths are the paths of the pieces on the way of the port's air.
func (c *cure) wayPaths() []shop.Path {
	if c.way == nil {
		c.way = c.findWay()
	}
	return c.way
}

func (c *cure) findWay() []shop.Path {
	m, _ := Build(c.base, c.layout, c.result.System)
	if m == nil {
		return nil
	}
	var paths []shop.Path
	for _, mo := range m.mouths {
		if mo.port == c.port && m.attached(mo, c.result.Setting) {
			for _, n := range m.way(mo) {
				paths = append(paths, m.elements[n].path)
			}
		}
	}
	return paths
}

func (c *cure) hoseActs() {
	c.onWay(func(r *shop.Run, _ int, p *shop.Piece, path shop.Path) {
		switch p.What {
		case shop.Kink:
			c.offer(actNoKink, true, c.state(), []shop.Edit{{Remove: path}}, shop.Word("run", r.Name))
		case shop.Hose:
			c.straighten(r, p, path)
			c.shorten(r, p, path)
		}
	})
}

func (c *cure) straighten(r *shop.Run, p *shop.Piece, path shop.Path) {
	piece := shop.Word("piece", pieceName(r, path))
	const quarter = math.Pi / 2
	if p.Bends.Basis == unit.Given && p.Bends.Best > quarter*1.2 {
		c.offer(actStraighten, true, c.state(), []shop.Edit{set(path.Join("bends"), "90°")}, piece,
			shop.Number("from", p.Bends.Best), shop.Number("to", unit.Radian(quarter)))
	}
	if p.Stretch.Basis == unit.Given && p.Stretch.Best < 0.95 {
		edits := []shop.Edit{set(path.Join("stretch"), "100 %")}
		if p.Hose.Basis == unit.Given { // pulled out it is longer
			edits = append(edits, set(path.Join("hose"), unit.PrintIn(p.Hose.Best/unit.Metre(p.Stretch.Best), lengthUnit(c.base.Units))))
		}
		c.offer(actStretch, true, c.state(), edits, piece)
	}
}

// pieceName is a hose or pipe as the owner would point at it.
func pieceName(r *shop.Run, path shop.Path) string {
	name := "the " + strings.TrimRight(path.Last(), " 0123456789")
	return name + " of " + r.Name
}

// reserve is how much longer than the straight way a hose must stay: a third, as it has to lie and move. Judgement.
const reserve = 1.33

// shorten looks for the longest hose that gives the port its need; where none does, the shortest that still reaches.
func (c *cure) shorten(r *shop.Run, p *shop.Piece, path shop.Path) {
	full := float64(p.Hose.Best)
	if p.Hose.Basis != unit.Given || full < 1.5 {
		return
	}
	step, least := c.step(), c.shortest(r, p)
	need := findPort(&c.result, c.port).NeedsChips
	if p.Size.Best >= narrow*r.Size.Best {
		c.noLength(r, path, step)
	}
	best := 0.0
	for length := step * math.Floor(full/step); length >= least; length -= step {
		if length >= full-step/2 {
			continue
		}
		best = length
		if q := c.quick(set(path.Join("hose"), lengthText(length, c.base.Units))); q >= need {
			break
		}
	}
	if best > 0 {
		c.offer(actShorten, true, c.state(), []shop.Edit{set(path.Join("hose"), lengthText(best, c.base.Units))},
			shop.Word("piece", pieceName(r, path)), shop.Number("from", p.Hose.Best), shop.Number("to", unit.Metre(best)))
	}
}

// noLength tells that even the shortest hose would not do, and what takes most of the pull then.
func (c *cure) noLength(r *shop.Run, path shop.Path, shortest float64) {
	s, l := c.tried([]shop.Edit{set(path.Join("hose"), lengthText(shortest, c.base.Units))})
	if s == nil {
		return
	}
	rs := c.solve(s, l, c.sets[:1])
	if len(rs) == 0 {
		return
	}
	p := findPort(&rs[0], c.port)
	if p == nil || p.Gets >= p.NeedsChips {
		return
	}
	limit := "The fan is the limit"
	if len(p.Pull) > 0 && p.Pull[0].Of >= 0.4 && p.Pull[0].Group != Rest {
		limit = map[Group]string{
			Mouth: "Its own mouth is the limit", FilterGroup: "The filter is the limit", HoseGroup: "The other hose on the way is the limit",
			PipeGroup: "The pipe is the limit", Bends: "Bends and wyes are the limit", SeparatorGroup: "The separator is the limit",
		}[p.Pull[0].Group]
	}
	c.limits = append(c.limits, finding(CodeNoLength, c.port.Path(), shop.Word("port", c.port.String()), shop.Word("piece", pieceName(r, path)),
		shop.Number("gets", p.Gets), shop.Number("needs", p.NeedsChips), shop.Word("limit", limit)))
}

// step is how finely hose lengths are tried: whole feet, or quarters of a metre.
func (c *cure) step() float64 {
	if c.base.Units == "si" {
		return 0.25
	}
	return 0.3048
}

func lengthUnit(units string) string {
	if units == "si" {
		return "m"
	}
	return "ft"
}

func lengthText(metres float64, units string) string {
	if units == "si" {
		return fmt.Sprintf("%.2f m", metres)
	}
	return fmt.Sprintf("%.0f ft", metres/0.3048)
}

// shortest is the least length at which the hose reaches every machine it serves, where the plan knows; else a third of
// what it is, and no less than 1 m.
func (c *cure) shortest(r *shop.Run, p *shop.Piece) float64 {
	least := 0.0
	for _, lay := range c.layout.Lays {
		if lay.System == c.result.System && lay.Run == r.Name && lay.Known {
			rest := float64(lay.Hose.Best - p.Hose.Best)
			least = max(least, reserve*float64(lay.Straight)-rest)
		}
	}
	if c.hand() {
		return max(handReach, least)
	}
	if least > 0 {
		return max(0.5, least)
	}
	return max(1, float64(p.Hose.Best)/3)
}

// handReach is the shortest hose a tool in the hand can be worked with. Common practice.
const handReach = 2.5

// hand reports whether the machine is held in the hand.
func (c *cure) hand() bool {
	kind, ok := typical.MachineKind(c.base.Machine(c.port.Machine).Kind)
	return ok && kind.Hand
}

// quick is what the port gets after edits, in its own setting; 0 if it cannot be computed.
func (c *cure) quick(edits ...shop.Edit) unit.M3PerSec {
	s, l := c.tried(edits)
	if s == nil {
		return 0
	}
	rs := c.solve(s, l, c.sets[:1])
	if len(rs) == 0 {
		return 0
	}
	if p := findPort(&rs[0], c.port); p != nil {
		return p.Gets
	}
	return 0
}

// lighterCuts lowers what has to be carried, for machines that plane.
func (c *cure) lighterCuts() {
	m := c.base.Machine(c.port.Machine)
	kind, ok := typical.MachineKind(m.Kind)
	if !ok || kind.Form != "shavings" {
		return
	}
	p := m.Port(c.port.Port)
	from := p.Needs.Chips.Best
	if from <= 0 {
		return
	}
	to := from * lighterNeed
	path := c.port.Path().Join("needs", "chips")
	c.offer(actLighterCuts, true, c.state(), []shop.Edit{set(path, flowText(to, c.base.Units))},
		shop.Word("machine", m.Name), shop.Number("from", from), shop.Number("to", to))
}

func flowText(q unit.M3PerSec, units string) string {
	if units == "si" {
		return unit.PrintIn(q, "m³/h")
	}
	return unit.PrintIn(q, "cfm")
}

func (c *cure) openings() {
	m := c.base.Machine(c.port.Machine)
	p := m.Port(c.port.Port)
	if p.Opening.Basis != unit.Given {
		return
	}
	to := 2 * p.Opening.Best
	name := "in²"
	if c.base.Units == "si" {
		name = "cm²"
	}
	c.offer(actOpening, true, c.state(), []shop.Edit{set(c.port.Path().Join("opening"), unit.PrintIn(to, name))},
		shop.Word("machine", m.Name), shop.Number("from", p.Opening.Best), shop.Number("to", to))
}

// narrow is the share of the run's bore below which a piece counts as a throttle.
const narrow = 0.85

// narrowPieces puts the run's own size where a piece of it is narrower.
func (c *cure) narrowPieces() {
	c.onWay(func(r *shop.Run, _ int, p *shop.Piece, path shop.Path) {
		if p.Size.Basis != unit.Given || p.Size.Best >= narrow*r.Size.Best {
			return
		}
		edits := []shop.Edit{{Remove: path.Join("size")}}
		to := r.Kind
		if p.Kind != "" && p.What == shop.Hose {
			to = p.Kind
		}
		c.offer(actWiden, false, c.state(), edits, shop.Word("piece", path.Last()), shop.Word("run", r.Name),
			shop.Number("from", p.Size.Best), shop.Word("to", unit.Print(r.Size.Best, system(c.base))+" "+to))
	})
}

func system(s *shop.Shop) unit.System {
	if s.Units == "si" {
		return unit.SI
	}
	return unit.US
}

// widerHose takes the port and the run it starts one trade size up: wider hose alone helps little while the port stays.
func (c *cure) widerHose() {
	y := c.base.System(c.result.System)
	run := c.firstRun(y)
	if run == nil {
		return
	}
	m := c.base.Machine(c.port.Machine)
	if c.hand() {
		return // the port of a hand tool is what it is
	}
	port := m.Port(c.port.Port)
	if run.Size.Best > 1.1*port.Size.Best { // the hose is wider than the port: it is the port that throttles
		c.offer(actOpenPort, false, c.state(), []shop.Edit{set(c.port.Path().Join("size"), sizeText(run.Size.Best, c.base.Units))},
			shop.Word("machine", c.port.String()), shop.Number("from", port.Size.Best), shop.Number("to", run.Size.Best))
		return
	}
	next := nextSize(c.base, run, port.Size.Best)
	if next == 0 {
		return
	}
	size := sizeText(next, c.base.Units)
	edits := []shop.Edit{set(c.port.Path().Join("size"), size)}
	if run.Size.Best < next {
		edits = append(edits, set(shop.RunPath(y.Name, run.Name).Join("size"), size))
	}
	for i, p := range run.Pieces {
		if p.Size.Basis == unit.Given && p.Size.Best < next {
			edits = append(edits, set(shop.PiecePath(y.Name, *run, i).Join("size"), size))
		}
	}
	c.offer(actWiderHose, false, c.state(), edits, shop.Word("machine", c.port.String()), shop.Word("what", branchWords(run)),
		shop.Number("from", port.Size.Best), shop.Number("to", next))
}

// branchWords says what has to be wider along a run.
func branchWords(r *shop.Run) string {
	hose, pipe := false, false
	for _, p := range r.Pieces {
		hose = hose || p.What == shop.Hose
		pipe = pipe || p.What == shop.Pipe || p.What == shop.Elbow
	}
	switch {
	case hose && pipe:
		return "hose and pipe"
	case pipe:
		return "pipe"
	}
	return "hose"
}

// smootherHose puts the next smoother kind of hose in place of a ribbed one, or of the usual one.
func (c *cure) smootherHose() {
	y := c.base.System(c.result.System)
	c.onWay(func(r *shop.Run, i int, p *shop.Piece, path shop.Path) {
		if p.What != shop.Hose {
			return
		}
		kind := cmp.Or(p.Kind, r.Kind)
		if k, ok := typical.PipeKind(kind); ok {
			kind = k.Name
		}
		to := map[string]string{"ribbed hose": "smooth hose", "flexible duct": "wire-helix hose", "wire-helix hose": "smooth hose"}[kind]
		if to == "" {
			return
		}
		c.offer(actSmooth, false, c.state(), []shop.Edit{set(shop.PiecePath(y.Name, *r, i).Join("kind"), to)}, shop.Word("piece", pieceName(r, path)), shop.Word("to", to))
	})
}

// seal tapes every pipe joint of the system.
func (c *cure) seal() {
	y := c.base.System(c.result.System)
	var edits []shop.Edit
	for i := range y.Runs {
		for k, p := range y.Runs[i].Pieces {
			if p.What == shop.Pipe && p.Leak.Basis != unit.Absent {
				edits = append(edits, set(shop.PiecePath(y.Name, y.Runs[i], k).Join("leak"), "none"))
			}
		}
	}
	if len(edits) > 0 {
		c.offer(actSeal, false, c.state(), edits, shop.Word("system", y.Name))
	}
}

// biggerFilter doubles and more the area: to the usual one of a cartridge.
func (c *cure) biggerFilter() {
	y := c.base.System(c.result.System)
	f := y.Filter.Value
	if y.Kind != "collector" || y.Filter.Basis == unit.Absent || f.Loss.Drop.Basis == unit.Given || f.Area.Best <= 0 {
		return
	}
	kind, ok := typical.FilterKindOf("cartridge")
	if !ok {
		return
	}
	to := kind.Area.Best
	if y.Motor.Value.Power.Best > 1300 {
		to = kind.AreaBig.Best
	}
	if to < 1.5*f.Area.Best {
		return
	}
	name := "ft²"
	if c.base.Units == "si" {
		name = "m²"
	}
	at := shop.SystemPath(y.Name).Join("filter")
	c.offer(actFilter, false, c.state(), []shop.Edit{set(at.Join("area"), unit.PrintIn(to, name)), set(at.Join("kind"), "cartridge")},
		shop.Word("system", y.Name), shop.Number("from", f.Area.Best), shop.Number("to", to))
}

// firstRun is the run that starts at the port.
func (c *cure) firstRun(y *shop.System) *shop.Run {
	for i := range y.Runs {
		for _, p := range y.Runs[i].From.Ports {
			if p.Machine == c.port.Machine && (p.Port == c.port.Port || p.Port == "") {
				return &y.Runs[i]
			}
		}
	}
	return nil
}

// nextSize is the next trade size of the run's kind above a size: from the owner's stock, else those usually had.
func nextSize(s *shop.Shop, r *shop.Run, size unit.Metre) unit.Metre {
	var sizes []unit.Metre
	if kind, ok := typical.PipeKind(r.Kind); ok {
		sizes = kind.Sizes(system(s))
	}
	for _, item := range s.Stock {
		if item.Kind == r.Kind {
			sizes = sizes[:0]
			for _, a := range item.Sizes {
				sizes = append(sizes, a.Best)
			}
		}
	}
	for _, x := range slices.Sorted(slices.Values(sizes)) {
		if x > 1.05*size {
			return x
		}
	}
	return 0
}

func sizeText(size unit.Metre, units string) string {
	if units == "si" {
		return fmt.Sprintf("%.0f mm", 1000*float64(size))
	}
	return unit.PrintIn(size, "in")
}

// kept is how much hose stays when pipe takes over: enough to move the machine. Common practice.
const kept = 6 * 0.3048

func (c *cure) pipeToPost() {
	c.onWay(func(r *shop.Run, _ int, p *shop.Piece, path shop.Path) {
		if p.What != shop.Hose || p.Hose.Basis != unit.Given || p.Hose.Best < kept+1.2 || len(r.From.Ports) > 1 || c.hand() {
			return // a carried hose, or that of a tool in the hand, must stay one
		}
		pipe := float64(p.Hose.Best) - kept
		kind := "snap-lock pipe"
		if c.base.Units == "si" {
			kind = "spiral steel"
		}
		item := &shop.Value{Kind: shop.Map, Keys: []string{"pipe", "kind"}, Items: []shop.Value{*shop.Text(lengthText(pipe, c.base.Units)), *shop.Text(kind)}}
		edits := []shop.Edit{set(path.Join("hose"), lengthText(kept, c.base.Units)), {Insert: item, After: path}}
		if p.Bends.Basis == unit.Given && p.Bends.Best > math.Pi/2 {
			edits = append(edits, set(path.Join("bends"), "90°"))
		}
		c.offer(actPipe, false, c.state(), edits, shop.Word("piece", pieceName(r, path)),
			shop.Number("from", unit.Metre(pipe)), shop.Number("to", unit.Metre(kept)))
	})
}

// nextFan tries the usual collector of the next motor size.
func (c *cure) nextFan() {
	y := c.base.System(c.result.System)
	if y.Kind != "collector" {
		return
	}
	sys := system(c.base)
	now := y.Motor.Value.Power.Best
	for _, row := range typical.CollectorFans(sys) {
		if row.Power.Best <= now*1.1 {
			continue
		}
		at := shop.SystemPath(y.Name)
		// The table's airflow is what such a fan really moves with its clean filter; a claim is taken at 0.80 of its word.
		claimed := row.Free.Best / 0.8
		var edits []shop.Edit
		if len(y.Fan.Curve) > 0 {
			edits = append(edits, shop.Edit{Remove: at.Join("fan", "curve")})
		}
		pressure := pressureText(row.ShutOff.Best, sys)
		rating := &shop.Value{Kind: shop.Map, Keys: []string{"free air", "shut-off"}, Items: []shop.Value{*shop.Text(flowText(claimed, c.base.Units)), *shop.Text(pressure)}}
		edits = append(edits, shop.Edit{Set: at.Join("fan", "rating"), To: rating}, set(at.Join("fan", "tested"), "as sold"),
			shop.Edit{Set: at.Join("motor"), To: &shop.Value{Kind: shop.Map, Keys: []string{"power", "voltage", "current"}, Items: []shop.Value{
				*shop.Text(unit.PrintMotor(row.Power.Best, sys)), *shop.Text(unit.PrintIn(row.Voltage, "V")), *shop.Text(unit.PrintIn(row.Current.Best, "A")),
			}}})
		if y.Fan.Wheel.Basis == unit.Given {
			edits = append(edits, shop.Edit{Remove: at.Join("fan", "wheel")})
		}
		from, to := shop.Word("from", unit.PrintMotor(now, sys)), shop.Word("to", unit.PrintMotor(row.Power.Best, sys))
		r := c.offer(actNextFan, false, c.state(), edits, from, to)
		if r == nil || r.Effects[0].After < r.Effects[0].NeedsAfter {
			c.withShorterHose(edits, from, to)
		}
		return
	}
}

// withShorterHose looks for the longest hose with which the bigger fan does it.
func (c *cure) withShorterHose(edits []shop.Edit, from, to shop.Arg) {
	need := findPort(&c.result, c.port).NeedsChips
	tried := false
	c.onWay(func(r *shop.Run, _ int, p *shop.Piece, path shop.Path) {
		if tried || p.What != shop.Hose || p.Hose.Basis != unit.Given || p.Hose.Best < 1.5 {
			return
		}
		tried = true
		step, least := c.step(), c.shortest(r, p)
		for length := step * (math.Ceil(float64(p.Hose.Best)/step) - 1); length >= least; length -= step {
			both := append(slices.Clone(edits), set(path.Join("hose"), lengthText(length, c.base.Units)))
			if c.quick(both...) >= need {
				c.offer(actNextFanHose, false, c.state(), both, from, to, shop.Number("length", unit.Metre(length)))
				return
			}
		}
	})
}

// widerRuns takes each shared run on the way one size up: less loss, and slower air.
func (c *cure) widerRuns() {
	y := c.base.System(c.result.System)
	first := c.firstRun(y)
	seen := map[shop.ID]bool{}
	c.onWay(func(r *shop.Run, _ int, _ *shop.Piece, _ shop.Path) {
		if seen[r.Name] || first != nil && r.Name == first.Name || r.Size.Basis != unit.Given {
			return
		}
		seen[r.Name] = true
		next := nextSize(c.base, r, r.Size.Best)
		if next == 0 {
			return
		}
		c.offer(actWiderRun, false, c.state(), []shop.Edit{set(shop.RunPath(y.Name, r.Name).Join("size"), sizeText(next, c.base.Units))},
			shop.Word("run", r.Name), shop.Number("from", r.Size.Best), shop.Number("to", next))
	})
}

// collectorInstead is for a machine that asks more than any vacuum moves: the usual collector with a short hose.
func (c *cure) collectorInstead() {
	y := c.base.System(c.result.System)
	need := findPort(&c.result, c.port).NeedsChips
	if y.Kind == "collector" || need < vacuumMost {
		return
	}
	sys := system(c.base)
	size, length := "4 in", "10 ft"
	if sys == unit.SI {
		size, length = "100 mm", "3 m"
	}
	run := c.firstRun(y)
	if run == nil || len(run.Pieces) == 0 {
		return
	}
	at, main := shop.SystemPath(y.Name), shop.RunPath(y.Name, run.Name)
	text := func(s string) shop.Value { return *shop.Text(s) }
	for _, row := range typical.CollectorFans(sys) {
		if row.Free.Best < 1.6*need {
			continue
		}
		rating := &shop.Value{Kind: shop.Map, Keys: []string{"free air", "shut-off"}, Items: []shop.Value{
			text(flowText(row.Free.Best/0.8, c.base.Units)), text(pressureText(row.ShutOff.Best, sys)),
		}}
		fan := &shop.Value{Kind: shop.Map, Keys: []string{"rating"}, Items: []shop.Value{*rating}}
		hose := &shop.Value{Kind: shop.List, Items: []shop.Value{{Kind: shop.Map, Keys: []string{"hose"}, Items: []shop.Value{text(length)}}}}
		bag := &shop.Value{Kind: shop.Map, Keys: []string{"kind"}, Items: []shop.Value{text("bag")}}
		motor := &shop.Value{Kind: shop.Map, Keys: []string{"power"}, Items: []shop.Value{text(unit.PrintMotor(row.Power.Best, sys))}}
		edits := []shop.Edit{
			set(at.Join("kind"), "collector"), {Set: at.Join("fan"), To: fan}, {Set: at.Join("filter"), To: bag}, {Set: at.Join("motor"), To: motor},
			set(main.Join("size"), size), set(main.Join("kind"), "wire-helix hose"), {Set: main.Join("pieces"), To: hose}, set(c.port.Path().Join("size"), size),
		}
		c.offer(actCollector, false, c.state(), edits, shop.Word("power", unit.PrintMotor(row.Power.Best, sys)), shop.Word("length", length), shop.Word("size", size))
		return
	}
}

// vacuumMost is the airflow beyond which no shop vacuum comes at the end of a hose: 110 cfm (80 to 140) is usual. Common practice.
const vacuumMost unit.M3PerSec = 0.085 // 180 cfm

func pressureText(p unit.Pascal, sys unit.System) string {
	if sys == unit.SI {
		return unit.PrintIn(p, "Pa")
	}
	return unit.PrintIn(p, "inH2O")
}

// options tries what the owner has written down with a price.
func (c *cure) options() {
	for _, o := range c.base.Options {
		if len(o.OnlyWith) > 0 {
			continue
		}
		if r := c.offer(actOption, false, c.state(), o.Change, shop.Word("name", o.Name)); r != nil {
			r.Price = o.Price
		}
	}
}
