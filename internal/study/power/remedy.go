package power

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"slices"

	"winnow/internal/physics/circuit"
	"winnow/internal/shop"
	"winnow/internal/shop/typical"
	"winnow/internal/unit"
)

// trouble is a circuit that trips or may trip: the sets in which it does, the worst first.
type trouble struct {
	c     int
	sets  []int
	worst Held
}

// troubles finds, circuit by circuit, the sets that do not hold for the given verdict.
func (g *Grid) troubles(v circuit.Verdict) []trouble {
	var out []trouble
	for c := range g.lines {
		t := trouble{c: c}
		for n, s := range g.sets {
			h := g.judge(c, g.on(c, s.loads))
			if h.Verdict != v || len(h.Loads) == 0 {
				continue
			}
			if len(t.sets) == 0 || worse(h, t.worst) {
				t.worst = h
				t.sets = append([]int{n}, t.sets...)
			} else {
				t.sets = append(t.sets, n)
			}
		}
		if len(t.sets) > 0 {
			out = append(out, t)
		}
	}
	return out
}

// worse orders two answers of one circuit: by verdict, by chance, then by current.
func worse(a, b Held) bool {
	if a.Verdict != b.Verdict {
		return rank(a.Verdict) > rank(b.Verdict)
	}
	if a.Chance != b.Chance {
		return a.Chance > b.Chance
	}
	return a.Full > b.Full
}

// rank orders verdicts from the mildest to the worst, what is not known between may trip and trips.
func rank(v circuit.Verdict) int {
	return map[circuit.Verdict]int{circuit.Holds: 0, circuit.MayTrip: 1, circuit.Unknown: 2, circuit.Trips: 3}[v]
}

// cures lists the smallest changes that cure a trouble: one plug moved, several plugs moved, machines run apart, starts in order, and at
// last what to ask an electrician. What is an edit was tried on the file and solved again; an edit that did not do what it promised
// is not offered.
func (g *Grid) cures(ctx context.Context, t trouble, plan *Assignment, try shop.Trial) []shop.Remedy {
	var out []shop.Remedy
	starter := shop.Word("starter", t.worst.Starter)
	switch {
	case t.worst.orderMatters:
		out = append(out, shop.Remedy{What: ActOrder, Args: []shop.Arg{starter}, Free: true})
	case t.worst.BecauseStart:
		out = append(out, shop.Remedy{What: ActKeep, Args: []shop.Arg{starter}, Free: true})
	}
	moved, shifted := g.singleMoves(ctx, t, try)
	out = append(out, moved...)
	if len(moved) == 0 && t.worst.Verdict == circuit.Trips {
		out = append(out, g.planned(plan, try)...)
	}
	out = append(append(out, g.apart(t, try)...), shifted...)
	if t.worst.BecauseStart && !t.worst.orderMatters {
		out = append(out, shop.Remedy{What: ActSoft, Args: []shop.Arg{starter, shop.Number("start", t.worst.StartTotal)}})
	}
	return append(out, g.ask(t)...)
}

// candidate is one plug that could be moved.
type candidate struct {
	move Move
	load *Load
	to   int
	left int // sets in which this circuit or the other still does not hold

	broken []string // rules and limits that are kept today and would not be
	shift  bool     // the other circuit gets worse: the risk only moves
}

// singleMoves tries every plug of the troubled circuit in every other circuit, keeps those after which neither trips, and takes the two best:
// first what breaks no rule, then what needs no longer cord. What breaks one is offered, and named, only where nothing else is there.
// What only moves the risk to the other circuit is no cure and comes apart.
func (g *Grid) singleMoves(ctx context.Context, t trouble, try shop.Trial) (cured, shifted []shop.Remedy) {
	if try == nil || ctx.Err() != nil {
		return nil, nil
	}
	var good []candidate
	before := g.bad(t.c, -1, nil)
	for i, l := range g.loads {
		if !t.worst.loads.has(i) || !l.Known {
			continue
		}
		for _, d := range g.candidates(l) {
			if d == t.c {
				continue
			}
			alone := g.bad(d, -1, nil)
			after := g.badWith(t.c, d, i)
			if after.trips > 0 || after.sum() >= before.sum()+alone.sum() { // a cure, and no new trouble beside it
				continue
			}
			at := g.now()
			at[i] = d
			then := g.under(at)
			good = append(good, candidate{
				move: g.move(l, d), load: l, to: d, left: after.sum(), broken: then.newlyBroken(g), shift: riskier(then.worstOf(d), g.worstOf(d)),
			})
		}
	}
	slices.SortStableFunc(good, func(a, b candidate) int {
		return cmp.Or(one(len(a.broken) > 0, len(b.broken) > 0), one(a.shift, b.shift), one(a.short(), b.short()), cmp.Compare(a.left, b.left), cmp.Compare(a.move.Beyond, b.move.Beyond), cmp.Compare(a.load.full[1], b.load.full[1]))
	})
	for _, c := range good {
		if len(cured)+len(shifted) == 2 || len(c.broken) > 0 && len(cured)+len(shifted) > 0 {
			break
		}
		switch r, ok := g.tryMove(t, c, try); {
		case !ok:
		case c.shift:
			shifted = append(shifted, r)
		default:
			cured = append(cured, r)
		}
	}
	return cured, shifted
}

// riskier tells whether a circuit that does not hold is worse off than before: by its word, or by a chance that shows at the 5 % a chance is said to.
func riskier(now, before Held) bool {
	return now.Verdict != circuit.Holds && (rank(now.Verdict) > rank(before.Verdict) || max(now.Chance-before.Chance, now.FullOn-before.FullOn) > 0.05)
}

func (c candidate) short() bool { return c.move.Beyond > float64(reachSlack) }

// one orders what is not so before what is.
func one(a, b bool) int {
	switch {
	case a == b:
		return 0
	case a:
		return 1
	}
	return -1
}

// tally counts the sets in which circuits do not hold.
type tally struct{ trips, may int }

func (t tally) sum() int { return 2*t.trips + t.may }

// bad counts for one or two circuits, under a change of places.
func (g *Grid) bad(c, d int, at func(i int) int) tally {
	var n tally
	for _, s := range g.sets {
		for _, k := range [2]int{c, d} {
			if k < 0 {
				continue
			}
			var on mask
			s.loads.each(func(i int) {
				where := g.loads[i].circuit
				if at != nil {
					where = at(i)
				}
				if where == k {
					on.put(i)
				}
			})
			switch g.judge(k, on).Verdict {
			case circuit.Trips:
				n.trips++
			case circuit.MayTrip:
				n.may++
			}
		}
	}
	return n
}

func (g *Grid) badWith(c, d, moved int) tally {
	return g.bad(c, d, func(i int) int {
		if i == moved {
			return d
		}
		return g.loads[i].circuit
	})
}

// again solves a changed shop from the start, in the same arrangement.
func (g *Grid) again(try shop.Trial, edits ...shop.Edit) (*Grid, bool) {
	s, err := try(edits...)
	if err != nil || s == nil {
		return nil, false
	}
	filled, _ := typical.Fill(s)
	arrangement := shop.ID("")
	if g.today != nil {
		arrangement = g.today.Name
	}
	return GridIn(filled, arrangement), true
}

// tryMove makes the move in the file's own language, solves the shop again and words what came of it.
func (g *Grid) tryMove(t trouble, c candidate, try shop.Trial) (shop.Remedy, bool) {
	after, ok := g.again(try, c.move.edit)
	if !ok || len(after.sets) != len(g.sets) || len(after.lines) != len(g.lines) {
		return shop.Remedy{}, false
	}
	set := t.sets[0]
	here, there := after.heldIn(t.c, set), after.worstOf(c.to)
	if here.Verdict == circuit.Trips || here.Verdict == t.worst.Verdict || there.Verdict == circuit.Trips || !worse(t.worst, here) {
		return shop.Remedy{}, false
	}
	reach := shop.Word("reach", "")
	switch {
	case c.short():
		reach = lacking("reach", "; its cord is too short by", unit.Metre(c.move.Beyond))
	case c.move.Unsure:
		reach = shop.Word("reach", "; see whether its cord reaches")
	}
	what, weak := ActMove, ""
	if c.shift {
		what = ActShift
	}
	for i, l := range after.loads {
		if l.Name == c.load.Name && l.Sort == c.load.Sort && i < len(g.loads) {
			weak = l.newlyWeak(g.loads[i], g.lines[c.to].voltage, g.lines[t.c].voltage)
		}
	}
	return shop.Remedy{
		What: what, Edits: []shop.Edit{c.move.edit}, Free: !c.short() && len(c.broken) == 0,
		Args: []shop.Arg{
			shop.Word("load", c.load.Name), shop.Word("set", g.sets[set].Name), shop.Word("outlet", c.move.To), shop.Word("to", g.lines[c.to].name), shop.Word("from", g.lines[t.c].name),
			shop.Number("before", t.worst.Cut), shop.Number("after", here.Cut), shop.Word("fromword", here.Word),
			shop.Number("there", there.Cut), shop.Word("toword", there.Word), shop.Word("self", after.selfStarters(c.to)), reach,
			shop.Word("weak", weak), breaksWords(c.broken),
		},
	}, true
}

// selfStarters names what starts by itself on a circuit: a plug moved there will share with it.
func (g *Grid) selfStarters(c int) string {
	var names []string
	for _, l := range g.onCircuit(c) {
		if l.StartsItself {
			names = append(names, l.Name)
		}
	}
	if len(names) == 0 {
		return ""
	}
	return " with the " + list(names) + ", which may start at any time"
}

func lacking(name, text string, by unit.Metre) shop.Arg {
	a := shop.Number(name, by)
	a.Print = func(s unit.System) string { return text + " " + roughly(by, s) }
	return a
}

// roughly is a length up to the next half foot, or tenth of a metre: places on a plan are known no better.
func roughly(by unit.Metre, s unit.System) string {
	step := unit.Metre(0.1)
	if s == unit.US {
		step = 6 * 0.0254
	}
	return "about " + unit.Print(step*unit.Metre(math.Ceil(float64(by/step)-1e-9)), s)
}

func (g *Grid) heldIn(c, set int) Held { return g.judge(c, g.on(c, g.sets[set].loads)) }

// worstOf is the worst answer of a circuit over all sets.
func (g *Grid) worstOf(c int) Held {
	var out Held
	for n := range g.sets {
		if h := g.heldIn(c, n); n == 0 || worse(h, out) {
			out = h
		}
	}
	return out
}

// planned offers the whole plan where no single plug does it.
func (g *Grid) planned(plan *Assignment, try shop.Trial) []shop.Remedy {
	before := g.tripping(g.now())
	if try == nil || plan == nil || len(plan.Moves) == 0 || plan.Left >= before {
		return nil
	}
	var edits []shop.Edit
	for _, m := range plan.Moves {
		edits = append(edits, m.edit)
	}
	after, ok := g.again(try, edits...)
	if !ok {
		return nil
	}
	left := after.tripping(after.now())
	if left >= before {
		return nil
	}
	return []shop.Remedy{{
		What: ActPlan, Edits: edits, Free: plan.Short == 0 && len(plan.Breaks) == 0,
		Args: []shop.Arg{breaksWords(plan.Breaks), shop.Word("plan", planWords(plan.Moves)), countArg("left", left), countArg("of", len(g.sets)), countArg("before", before)},
	}}
}

func (g *Grid) now() []int {
	at := make([]int, len(g.loads))
	for i, l := range g.loads {
		at[i] = l.circuit
	}
	return at
}

func planWords(moves []Move) string {
	var words []string
	for _, m := range moves {
		w := fmt.Sprintf("%s into %s", m.Load, m.To)
		if m.Beyond > float64(reachSlack) {
			w += " (its cord is too short)"
		}
		words = append(words, w)
	}
	return list(words)
}

func countArg(name string, n int) shop.Arg {
	a := shop.Number(name, unit.Number(n))
	a.Print = func(unit.System) string { return fmt.Sprint(n) }
	return a
}

// apart takes a line out of what the routine allows, where the trouble needs two machines at once.
func (g *Grid) apart(t trouble, try shop.Trial) []shop.Remedy {
	set := g.sets[t.sets[0]]
	if set.where == "" || try == nil || len(set.Machines) < 2 {
		return nil
	}
	edit := shop.Edit{Remove: set.where}
	after, ok := g.again(try, edit)
	if !ok {
		return nil
	}
	h := after.worstOf(t.c)
	if h.Verdict == circuit.Trips || !worse(t.worst, h) {
		return nil
	}
	return []shop.Remedy{{
		What: ActApart, Edits: []shop.Edit{edit}, Free: true,
		Args: []shop.Arg{
			shop.Word("machines", list(set.Machines)), shop.Word("circuit", g.lines[t.c].name), shop.Number("before", t.worst.Cut), shop.Number("after", h.Cut),
			shop.Word("word", h.Word),
		},
	}}
}

// ask words the questions for an electrician about the heaviest load there: a circuit of its own, and twice the voltage.
func (g *Grid) ask(t trouble) []shop.Remedy {
	var heavy *Load
	for _, l := range g.loadsOf(t.worst.loads) {
		if l.motor && l.Known && !l.StartsItself && (heavy == nil || l.full[1] > heavy.full[1]) {
			heavy = l
		}
	}
	if heavy == nil {
		return nil
	}
	var out []shop.Remedy
	if rating, ok := g.ownRating(heavy, t.c); ok {
		out = append(out, shop.Remedy{What: ActDedicated, Args: []shop.Arg{
			shop.Word("load", heavy.Name), shop.Number("rating", rating), shop.Number("has", heavy.Marked),
		}})
	}
	if g.family == circuit.UL489 && class(g.lines[t.c].voltage) == 1 && !heavy.brushed && (heavy.shaft.Best >= 746 || heavy.Marked >= 9) {
		out = append(out, shop.Remedy{What: ActHigher, Args: []shop.Arg{
			shop.Word("load", heavy.Name), shop.Number("volts", unit.Volt(240)), shop.Number("half", heavy.Marked/2),
		}})
	}
	return out
}

// ownRating is the smallest standard breaker on which the load alone holds, and whose 80 % it stays under where it can run three hours.
func (g *Grid) ownRating(l *Load, c int) (unit.Ampere, bool) {
	ratings := circuit.StandardRatings()
	if g.family == circuit.IEC60898 {
		ratings = []unit.Ampere{10, 13, 16, 20, 25, 32}
	}
	own := *g
	own.lines = slices.Clone(g.lines)
	own.memo = map[question]Held{}
	var one mask
	for i, k := range g.loads {
		if k == l {
			one.put(i)
		}
	}
	for _, r := range ratings {
		if l.long && l.Marked > circuit.MostContinuous(r) && g.family == circuit.UL489 || l.Marked > r {
			continue
		}
		own.lines[c].breaker.Rating = r
		own.lines[c].known = true
		if own.work(c, one).Verdict == circuit.Holds {
			return r, true
		}
	}
	return 0, false
}
