package airflow

import (
	"cmp"
	"context"
	"math"
	"slices"

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
	actCollector   = &shop.Code{Name: "collector-instead", Sentence: "A collector instead: {power}, with {length} of {size} hose and a port of that size; keep the vacuum for the small ports."}
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
			e := shop.Effect{Port: p.Port, Before: p.Gets, After: q.Gets, NeedsBefore: p.NeedsChips, NeedsAfter: q.NeedsChips, With: b.Setting.besides(p.Port.Machine)}
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
