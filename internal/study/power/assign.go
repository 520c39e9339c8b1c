package power

import (
	"cmp"
	"context"
	"slices"

	"winnow/internal/physics/circuit"
	"winnow/internal/shop"
	"winnow/internal/unit"
)

// DefaultNodes is the budget of the search for a plan of plugs, in steps. There is no clock in the core, so a search ends by its steps.
const DefaultNodes = 400_000

// mendCosts is what one step of looking for fewer moves costs in steps of placing: it looks at all circuits, not at one.
const mendCosts = 4

// Outcome is how the search for a plan of plugs ended.
type Outcome string

// The outcomes.
const (
	AsItIs     Outcome = "holds as it is"
	AllHold    Outcome = "all hold"    // every circuit holds in every allowed set
	NoneTrips  Outcome = "none trips"  // some may trip; no plan makes all hold
	Cannot     Outcome = "cannot"      // every plan trips somewhere
	NotDecided Outcome = "not decided" // the budget ended first; the best found is given
	Nothing    Outcome = "nothing to arrange"
)

// Move is one plug into another outlet.
type Move struct {
	Load        shop.ID `json:"load"`
	From        shop.ID `json:"from,omitempty"` // outlet; empty: nobody said
	To          shop.ID `json:"to"`
	FromCircuit shop.ID `json:"from_circuit,omitempty"`
	ToCircuit   shop.ID `json:"to_circuit"`
	Beyond      float64 `json:"beyond_cord_m,omitempty"`   // straight distance the cord lacks
	Unsure      bool    `json:"reach_not_known,omitempty"` // nobody said where the load stands, or how long its cord is

	edit shop.Edit
}

// Assignment is the best plan of plugs.
type Assignment struct {
	Outcome  Outcome   `json:"outcome"`
	Moves    []Move    `json:"moves"`
	Fewest   bool      `json:"fewest"`           // no plan with fewer moves does it
	Cannot   []shop.ID `json:"cannot,omitempty"` // loads that no plan lets run as allowed
	Smallest bool      `json:"smallest,omitempty"`
	Left     int       `json:"left"` // sets in which a circuit still trips under this plan
	Of       int       `json:"of"`
	Steps    int       `json:"steps"`
	LeftOut  []shop.ID `json:"left_out,omitempty"` // loads whose current is not known
	Breaks   []string  `json:"breaks,omitempty"`   // what this plan breaks that is kept today: no plan that breaks nothing does as well
	Short    int       `json:"cords_too_short"`    // moves that need a longer cord: no plan without them does as well

	at []int // circuit of each load
}

// level is what is asked of every circuit: to hold, or at least not to trip.
type level circuit.Verdict

const (
	mustHold    = level(circuit.Holds)
	mustNotTrip = level(circuit.MayTrip)
)

// seeker is one search.
type seeker struct {
	g      *Grid
	ctx    context.Context
	ask    level
	nodes  int // left
	spent  int
	sets   []mask // of known loads
	can    [][]int
	start  []int
	order  []int  // loads that can be moved, heaviest first
	twins  []int  // circuit -> the first circuit just like it
	near   []mask // circuit -> loads whose cord reaches it, or is not known to fail to
	within bool   // only moves that the cord reaches

	all            [][]int // circuits each load may be plugged into, whatever is asked
	rules, reach   bool    // see tier
	most, mostLong []unit.Ampere
	passed         map[question]bool // what fine answered in this tier
}

func (g *Grid) seeker(ctx context.Context, nodes int) *seeker {
	s := &seeker{g: g, ctx: ctx, nodes: nodes}
	s.most, s.mostLong = g.ceilings()
	var known mask
	for i, l := range g.loads {
		s.start = append(s.start, l.circuit)
		if l.Known {
			known.put(i)
		}
		s.all = append(s.all, g.candidates(l))
	}
	s.can = make([][]int, len(s.all))
	for _, set := range g.sets {
		s.sets = append(s.sets, set.loads.and(known))
	}
	s.sets = maximal(s.sets)
	s.near = make([]mask, len(g.lines))
	for c := range g.lines {
		for i, l := range g.loads {
			if _, beyond, known := g.nearest(l, c); !known || beyond <= reachSlack {
				s.near[c].put(i)
			}
		}
	}
	s.set(tier{ask: mustHold})
	return s
}

func (s *seeker) sortOrder() {
	slices.SortStableFunc(s.order, func(a, b int) int { return cmp.Compare(s.g.loads[b].full[1], s.g.loads[a].full[1]) })
}

// maximal drops every set that lies within another: by monotony it holds wherever the other does.
func maximal(sets []mask) []mask {
	var out []mask
	for i, a := range sets {
		within := false
		for j, b := range sets {
			if i != j && a.and(b) == a && (a != b || j < i) {
				within = true
				break
			}
		}
		if !within {
			out = append(out, a)
		}
	}
	return out
}

// candidates are the circuits a load may be plugged into, the present one first, then by whether its cord reaches; none for what is
// wired.
func (g *Grid) candidates(l *Load) []int {
	if l.fastened || l.plug == "" {
		return nil
	}
	var out []int
	for c := range g.lines {
		if c != l.circuit && g.suits(l, c) {
			out = append(out, c)
		}
	}
	slices.SortStableFunc(out, func(a, b int) int {
		_, da, _ := g.nearest(l, a)
		_, db, _ := g.nearest(l, b)
		return cmp.Compare(da, db)
	})
	if l.circuit >= 0 {
		out = append([]int{l.circuit}, out...)
	}
	return out
}

// twins finds circuits that judge alike, so that an empty one need not be tried twice.
func (g *Grid) twins() []int {
	out := make([]int, len(g.lines))
	for c := range g.lines {
		out[c] = c
		for d := range c {
			a, b := &g.lines[c], &g.lines[d]
			if a.known && b.known && a.breaker == b.breaker && a.voltage == b.voltage && a.length == b.length && a.wire.Area == b.wire.Area && a.wireOK == b.wireOK {
				out[c] = d
				break
			}
		}
	}
	return out
}

func (s *seeker) step() bool {
	s.spent++
	return s.spent <= s.nodes && s.ctx.Err() == nil
}

func (s *seeker) over() bool { return s.spent > s.nodes || s.ctx.Err() != nil }

// fine tells whether a circuit passes with these loads in one set.
func (s *seeker) fine(c int, on mask) bool {
	if on.empty() {
		return true
	}
	q := question{c, on}
	if ok, asked := s.passed[q]; asked {
		return ok
	}
	ok := s.keeps(c, on)
	if ok {
		v := s.g.judge(c, on).Verdict
		ok = v == circuit.Unknown || level(v) <= s.ask
	}
	s.passed[q] = ok
	return ok
}

// fits tells whether a circuit passes in every set that has load i.
func (s *seeker) fits(c, i int, on mask) bool {
	for _, set := range s.sets {
		if set.has(i) && !s.fine(c, on.and(set)) {
			return false
		}
	}
	return true
}

// place finds a plan for the loads in `of` alone, or proves that there is none: it puts one load after the other, the heaviest first, and
// turns back where a circuit fails. Turning back is right because adding a load never cures a circuit.
func (s *seeker) place(of mask) (at []int, found bool) {
	at = slices.Clone(s.start)
	on := make([]mask, len(s.g.lines))
	for i, l := range s.g.loads {
		if of.has(i) && l.Known && len(s.can[i]) == 0 && l.circuit >= 0 {
			on[l.circuit].put(i)
		}
	}
	for c := range on {
		for _, set := range s.sets {
			if !s.fine(c, on[c].and(set)) {
				return nil, false
			}
		}
	}
	var order []int
	for _, i := range s.order {
		if of.has(i) {
			order = append(order, i)
		}
	}
	wired := slices.Clone(on)
	var rest func(k int) bool
	rest = func(k int) bool {
		if k == len(order) {
			return true
		}
		i := order[k]
		for n, c := range s.can[i] {
			if n > 0 && s.likeEarlier(i, n, on, wired) {
				continue
			}
			if !s.step() {
				return false
			}
			on[c].put(i)
			if s.fits(c, i, on[c]) {
				at[i] = c
				if rest(k + 1) {
					return true
				}
			}
			on[c].drop(i)
			if s.over() {
				return false
			}
		}
		return false
	}
	if rest(0) {
		return at, true
	}
	return nil, false
}

// likeEarlier: candidate n of load i is an empty twin of an empty circuit tried before it.
func (s *seeker) likeEarlier(i, n int, on, wired []mask) bool {
	c := s.can[i][n]
	if !on[c].empty() || !wired[c].empty() {
		return false
	}
	for _, d := range s.can[i][:n] {
		if s.twins[d] == s.twins[c] && on[d].empty() && wired[d].empty() {
			return true
		}
	}
	return false
}

// fewest finds a plan with the fewest moves, trying none, one, two and so on up to a limit: wherever a circuit fails in a set, at least
// one of the loads that meet there has to move. done is false where the budget ended first.
func (s *seeker) fewest(limit int) (at []int, done bool) {
	for k := 0; k <= limit; k++ {
		for _, s.within = range [2]bool{true, false} { // of as many moves, those that need no longer cord
			if s.reach && !s.within {
				continue // those are all there are
			}
			at := slices.Clone(s.start)
			moved := mask{}
			if s.mend(at, &moved, k) {
				return at, true
			}
			if s.over() {
				return nil, false
			}
		}
	}
	return nil, true
}

func (s *seeker) mend(at []int, moved *mask, left int) bool {
	s.spent += mendCosts - 1
	if !s.step() {
		return false
	}
	clash, c, need := s.clash(at)
	if need == 0 {
		return true
	}
	if need > left {
		return false
	}
	var who []int
	clash.each(func(i int) { who = append(who, i) })
	for _, i := range who {
		if moved.has(i) || len(s.can[i]) == 0 {
			continue
		}
		moved.put(i)
		for _, d := range s.can[i] {
			if d == c || d == s.start[i] || s.within && !s.near[d].has(i) {
				continue
			}
			at[i] = d
			if s.mend(at, moved, left-1) {
				return true
			}
			if s.over() {
				return false
			}
		}
		at[i] = s.start[i]
		moved.drop(i)
	}
	return false
}

// clash finds the first loads that fail together and the circuit they are on, -1 for a load that is plugged in nowhere. need is how many
// such clashes there are without a load in common: each takes a move of its own. 0: the plan passes.
func (s *seeker) clash(at []int) (first mask, circuit, need int) {
	on := make([]mask, len(s.g.lines))
	var met mask
	note := func(loads mask, c int) {
		if need == 0 {
			first, circuit = loads, c
		}
		met = met.or(loads)
		need++
	}
	for i, a := range at {
		switch {
		case !s.g.loads[i].Known:
		case a >= 0:
			on[a].put(i)
		case len(s.can[i]) > 0:
			var one mask
			one.put(i)
			note(one, -1)
		}
	}
	for c := range on {
		for _, set := range s.sets {
			if here := on[c].and(set); met.and(here).empty() && !s.fine(c, here) {
				note(here, c)
			}
		}
	}
	return first, circuit, need
}

// trim takes back every move that a plan can do without.
func (s *seeker) trim(at []int) []int {
	for again := true; again; {
		again = false
		for i := range at {
			if at[i] == s.start[i] || s.start[i] < 0 {
				continue
			}
			was := at[i]
			at[i] = s.start[i]
			if _, _, need := s.clash(at); need == 0 {
				again = true
			} else {
				at[i] = was
			}
		}
	}
	return at
}

// core shrinks the loads to a set that no plan can serve, and then looks for a smaller one.
func (s *seeker) core() (loads mask, smallest bool) {
	var all []int
	var u mask
	for i, l := range s.g.loads {
		if l.Known && (l.circuit >= 0 || len(s.can[i]) > 0) {
			u.put(i)
			all = append(all, i)
		}
	}
	for _, i := range all { // the lightest last in the file go first; what is needed stays
		u.drop(i)
		if _, found := s.place(u); found || s.over() {
			u.put(i)
		}
		if s.over() {
			return u, false
		}
	}
	for k := 1; k < u.count(); k++ {
		if w, found := s.subset(all, k); found {
			return w, true
		}
		if s.over() {
			return u, false
		}
	}
	return u, true
}

// subset looks for k loads that no plan can serve.
func (s *seeker) subset(all []int, k int) (mask, bool) {
	var u mask
	var pick func(from, left int) bool
	pick = func(from, left int) bool {
		if left == 0 {
			_, found := s.place(u)
			return !found && !s.over()
		}
		for n := from; n+left <= len(all); n++ {
			u.put(all[n])
			if pick(n+1, left-1) {
				return true
			}
			u.drop(all[n])
			if s.over() {
				return false
			}
		}
		return false
	}
	if pick(0, k) {
		return u, true
	}
	return mask{}, false
}

// Assign finds the plan of plugs with the fewest moves under which every circuit holds in every allowed set; if there is none, one under
// which none trips; if there is none, the smallest set of loads that no plan can serve. Exact within its budget of steps, and said where
// it was not.
func (g *Grid) Assign(ctx context.Context, nodes int) Assignment {
	if nodes <= 0 {
		nodes = DefaultNodes
	}
	s := g.seeker(ctx, nodes)
	a := Assignment{Outcome: Nothing, Moves: []Move{}, Of: len(g.sets), at: s.start, Fewest: true}
	for _, l := range g.loads {
		if !l.Known && l.hasPlug {
			a.LeftOut = append(a.LeftOut, l.Name)
		}
	}
	if len(s.order) > 0 {
		g.search(s, &a)
	}
	a.Steps = s.spent
	a.Moves = g.moves(s.start, a.at)
	a.Left = g.tripping(a.at)
	if len(a.Moves) > 0 {
		a.Breaks = g.under(a.at).newlyBroken(g)
	}
	for _, m := range a.Moves {
		if m.Beyond > float64(reachSlack) {
			a.Short++
		}
	}
	return a
}

func (g *Grid) search(s *seeker, a *Assignment) {
	var all mask
	for i := range g.loads {
		all.put(i)
	}
	budget, open := s.nodes, false
	for _, try := range s.tiers() {
		if !s.set(try) {
			continue
		}
		s.nodes = s.spent + (budget-s.spent)/3
		at, found := s.place(all)
		over := !found && s.over()
		s.nodes = budget
		if over {
			at = s.patch()
			found = at != nil
		}
		if !found {
			open = open || over
			continue
		}
		a.Outcome, a.at = try.is, s.trim(at)
		if near := s.patch(); !over && near != nil {
			if near = s.trim(near); g.countMoves(s.start, near) < g.countMoves(s.start, a.at) {
				a.at = near
			}
		}
		s.nodes = s.spent + (budget-s.spent)/2
		few, done := s.fewest(g.countMoves(s.start, a.at))
		if done && few != nil {
			a.at = few
		}
		a.Fewest = done && few != nil && !open // where a stricter question stayed open, another plan may be better
		if try.ask == mustHold && g.countMoves(s.start, a.at) == 0 {
			a.Outcome = AsItIs
		}
		return
	}
	s.set(tier{ask: mustNotTrip})
	if open {
		a.Outcome, a.Fewest, s.nodes = NotDecided, false, budget
		a.at = g.greedy(s)
		return
	}
	a.Outcome, s.nodes = Cannot, budget
	core, smallest := s.core()
	a.Smallest = smallest
	core.each(func(i int) { a.Cannot = append(a.Cannot, g.loads[i].Name) })
	s.nodes = max(budget, s.spent) + 20_000
	a.at = g.greedy(s)
	a.Fewest = false
}

// greedy moves one plug at a time as long as fewer sets trip: the best found where the exact search did not end, or cannot succeed.
func (g *Grid) greedy(s *seeker) []int {
	at := slices.Clone(s.start)
	for best := g.tripping(at); best > 0 && s.ctx.Err() == nil; {
		bestLoad, bestAt := -1, -1
		for _, i := range s.order {
			was := at[i]
			for _, c := range s.can[i] {
				if c == was {
					continue
				}
				at[i] = c
				if n := g.tripping(at); n < best {
					best, bestLoad, bestAt = n, i, c
				}
			}
			at[i] = was
		}
		if bestLoad < 0 {
			break
		}
		at[bestLoad] = bestAt
	}
	return at
}

// tripping counts the sets in which a circuit trips under a plan.
func (g *Grid) tripping(at []int) int {
	on := make([]mask, len(g.lines))
	for i, c := range at {
		if c >= 0 {
			on[c].put(i)
		}
	}
	n := 0
	for _, set := range g.sets {
		for c := range on {
			if here := on[c].and(set.loads); !here.empty() && g.judge(c, here).Verdict == circuit.Trips {
				n++
				break
			}
		}
	}
	return n
}

func (g *Grid) countMoves(from, to []int) int {
	n := 0
	for i := range from {
		if from[i] != to[i] {
			n++
		}
	}
	return n
}

// moves writes the plan as plugs, each into the nearest outlet of its circuit.
func (g *Grid) moves(from, to []int) []Move {
	out := []Move{}
	for i, l := range g.loads {
		if from[i] != to[i] {
			out = append(out, g.move(l, to[i]))
		}
	}
	return out
}

func (g *Grid) move(l *Load, c int) Move {
	o, beyond, known := g.nearest(l, c)
	m := Move{Load: l.Name, From: l.Outlet, To: o.Name, FromCircuit: l.Circuit, ToCircuit: g.lines[c].name, edit: plugEdit(l, o.Name)}
	m.Unsure = !known
	if known {
		m.Beyond = float64(beyond)
	}
	return m
}

// plugEdit is the edit of the file that plugs a load in elsewhere.
func plugEdit(l *Load, outlet shop.ID) shop.Edit {
	switch {
	case !l.hasPlug:
		return shop.Edit{Set: l.plug.Parent(), To: &shop.Value{Kind: shop.Map, Keys: []string{"outlet"}, Items: []shop.Value{*shop.Text(outlet)}}}
	case l.Outlet == "":
		return shop.Edit{Set: l.plug, To: shop.Text(outlet)}
	}
	return shop.Edit{Set: l.plug, To: shop.Text(outlet), Was: shop.Text(l.Outlet)}
}
