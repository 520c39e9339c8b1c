package power

import (
	"fmt"
	"testing"

	"pgregory.net/rapid"

	"winnow/internal/physics/circuit"
	"winnow/internal/shop"
	"winnow/internal/unit"
)

// drawShop makes a random filled shop: circuits of a few ratings, machines and a collector or two with plates, some loads beside.
func drawShop(t *rapid.T, circuits, machines int) *shop.Shop {
	s := &shop.Shop{Site: shop.Site{Wiring: rapid.SampledFrom([]string{"us", "iec"}).Draw(t, "wiring")}}
	volt := unit.Volt(120)
	ratings := []unit.Ampere{15, 20, 30}
	if s.Site.Wiring == "iec" {
		volt, ratings = 230, []unit.Ampere{10, 16, 20}
	}
	n := rapid.IntRange(1, circuits).Draw(t, "circuits")
	for i := range n {
		c := shop.Circuit{
			Name: fmt.Sprint("circuit ", i), Breaker: exactly(rapid.SampledFrom(ratings).Draw(t, "rating")), Voltage: exactly(volt),
			Wire: exactly(unit.Wire(3.31e-6)), Length: exactly(unit.Metre(rapid.IntRange(1, 30).Draw(t, "length"))),
			Curve: rapid.SampledFrom([]string{"", "B", "C", "D"}).Draw(t, "curve"), Outlets: []shop.Outlet{{Name: fmt.Sprint("outlet ", i), At: drawPlace(t)}},
		}
		if rapid.Bool().Draw(t, "two outlets") {
			c.Outlets = append(c.Outlets, shop.Outlet{Name: fmt.Sprint("other outlet ", i), At: drawPlace(t)})
		}
		s.Circuits = append(s.Circuits, c)
	}
	outlet := func() shop.ID { return fmt.Sprint("outlet ", rapid.IntRange(0, n-1).Draw(t, "outlet")) }
	for i := range rapid.IntRange(1, machines).Draw(t, "machines") {
		m := shop.Machine{Name: fmt.Sprint("machine ", i), Kind: rapid.SampledFrom([]string{"lathe", "band saw", "router table", "mitre saw"}).Draw(t, "kind")}
		m.Motor = drawMotor(t, volt)
		m.Places = []shop.Place{{At: drawPlace(t)}}
		m.Plug = shop.Maybe[shop.Plug]{Basis: unit.Given, Value: shop.Plug{Outlet: outlet(), Cord: exactly(unit.Metre(rapid.IntRange(1, 6).Draw(t, "cord")))}}
		s.Machines = append(s.Machines, m)
	}
	if rapid.Bool().Draw(t, "collector") {
		y := shop.System{Name: "puller", Kind: rapid.SampledFrom([]string{"collector", "vacuum"}).Draw(t, "kind of system"), Motor: drawMotor(t, volt)}
		y.Plug = shop.Maybe[shop.Plug]{Basis: unit.Given, Value: shop.Plug{Outlet: outlet()}}
		run := shop.Run{Name: "main"}
		for _, m := range s.Machines {
			run.From.Ports = append(run.From.Ports, shop.PortRef{Machine: m.Name})
		}
		y.Runs = []shop.Run{run}
		s.Systems = append(s.Systems, y)
	}
	if rapid.Bool().Draw(t, "freezer") {
		i := unit.Ampere(rapid.IntRange(1, 8).Draw(t, "freezer amps"))
		s.OtherLoads = append(s.OtherLoads, shop.Load{Name: "freezer", Outlet: outlet(), Current: exactly(i), Start: exactly(6 * i), Works: "by itself"})
	}
	s.Routine.People = rapid.IntRange(1, 2).Draw(t, "people")
	for range rapid.IntRange(0, 4).Draw(t, "together") {
		var set []shop.ID
		for _, m := range s.Machines {
			if rapid.Bool().Draw(t, "in the set") {
				set = append(set, m.Name)
			}
		}
		if len(set) > 1 {
			s.Routine.Together = append(s.Routine.Together, set)
		}
	}
	return s
}

// drawPlace is somewhere along a long wall, or nobody said where.
func drawPlace(t *rapid.T) shop.Point {
	if rapid.Bool().Draw(t, "placed") {
		return shop.Point{}
	}
	return shop.Point{Basis: unit.Given, East: unit.Metre(rapid.IntRange(0, 12).Draw(t, "east"))}
}

func drawMotor(t *rapid.T, v unit.Volt) shop.Maybe[shop.Motor] {
	m := shop.Motor{Voltage: exactly(v), Phases: 1, Current: exactly(unit.Ampere(rapid.IntRange(4, 36).Draw(t, "half amps")) / 2)}
	return shop.Maybe[shop.Motor]{Basis: unit.Given, Value: m}
}

func draw(t *rapid.T, name string, g *Grid) mask {
	var m mask
	for i := range g.loads {
		if rapid.Bool().Draw(t, name) {
			m.put(i)
		}
	}
	return m
}

func TestAddingALoadNeverCures(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		g := GridOf(drawShop(t, 3, 5))
		c := rapid.IntRange(0, len(g.lines)-1).Draw(t, "circuit")
		on := draw(t, "on", g)
		more := on.or(draw(t, "more", g))
		a, b := g.judge(c, on), g.judge(c, more)
		if rank(b.Verdict) < rank(a.Verdict) || b.Chance < a.Chance-1e-3 || b.FullOn < a.FullOn-1e-3 || b.Cut < a.Cut-1e-9 || b.Full < a.Full-1e-9 {
			t.Fatalf("with more on it circuit %d went from %v (%.4f, %.4f) to %v (%.4f, %.4f)", c, a.Verdict, float64(a.Chance), float64(a.FullOn), b.Verdict, float64(b.Chance), float64(b.FullOn))
		}
	})
}

func TestAHeavierPlateNeverCures(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawShop(t, 2, 4)
		before := GridOf(s)
		i := rapid.IntRange(0, len(s.Machines)-1).Draw(t, "machine")
		m := &s.Machines[i].Motor.Value
		m.Current = exactly(m.Current.Best + unit.Ampere(rapid.Float64Range(0, 10).Draw(t, "more amps")))
		after := GridOf(s)
		for c := range before.lines {
			for n := range before.sets {
				a, b := before.heldIn(c, n), after.heldIn(c, n)
				if rank(b.Verdict) < rank(a.Verdict) || b.Chance < a.Chance-1e-3 {
					t.Fatalf("a heavier %s turned circuit %d in set %q from %v (%.4f) to %v (%.4f)", s.Machines[i].Name, c, before.sets[n].Name, a.Verdict, float64(a.Chance), b.Verdict, float64(b.Chance))
				}
			}
		}
	})
}

func TestALongerCordNeverRaisesTheVoltage(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawShop(t, 2, 3)
		p := &s.Machines[0].Plug.Value
		p.Extension = shop.Maybe[shop.Extension]{Basis: unit.Given, Value: shop.Extension{
			Length: exactly(unit.Metre(rapid.Float64Range(0.5, 40).Draw(t, "extension"))), Wire: exactly(unit.Wire(rapid.SampledFrom([]float64{1.31e-6, 2.08e-6, 3.31e-6}).Draw(t, "wire"))),
		}}
		a := GridOf(s).loads[0]
		p.Extension.Value.Length.Best += unit.Metre(rapid.Float64Range(0, 30).Draw(t, "longer"))
		b := GridOf(s).loads[0]
		if b.AtRun > a.AtRun || b.AtStart > a.AtStart || b.StartTorque > a.StartTorque {
			t.Fatalf("the longer cord leaves %.3f V and %.3f V, the shorter %.3f V and %.3f V", float64(b.AtRun), float64(b.AtStart), float64(a.AtRun), float64(a.AtStart))
		}
	})
}

// brute tries every plan there is.
func brute(g *Grid, ask level, of mask, fits ...func(at []int) bool) (fewest int, found bool) {
	at := make([]int, len(g.loads))
	fewest = 1 << 30
	var rest func(i, moves int)
	rest = func(i, moves int) {
		if moves >= fewest {
			return
		}
		if i == len(at) {
			on := make([]mask, len(g.lines))
			for k, c := range at {
				if c >= 0 && of.has(k) {
					on[c].put(k)
				}
			}
			for _, set := range g.sets {
				for c := range on {
					if here := on[c].and(set.loads); !here.empty() && level(g.judge(c, here).Verdict) > ask {
						return
					}
				}
			}
			for _, fits := range fits {
				if !fits(at) {
					return
				}
			}
			fewest, found = moves, true
			return
		}
		l := g.loads[i]
		if !of.has(i) {
			at[i] = l.circuit
			rest(i+1, moves)
			return
		}
		can := g.candidates(l)
		if len(can) == 0 {
			can = []int{l.circuit}
		}
		for _, c := range can {
			at[i] = c
			if c == l.circuit {
				rest(i+1, moves)
			} else {
				rest(i+1, moves+1)
			}
		}
	}
	rest(0, 0)
	return fewest, found
}

// bruteTier is the best tier that any plan comes up to, and the fewest moves that do. Rules and limits are compared on the shop as it then is.
func bruteTier(g *Grid) (best tier, moves int) {
	for _, t := range []tier{
		{mustHold, AllHold, true, true}, {mustHold, AllHold, true, false}, {mustNotTrip, NoneTrips, true, true}, {mustNotTrip, NoneTrips, true, false},
		{mustHold, AllHold, false, false}, {mustNotTrip, NoneTrips, false, false},
	} {
		n, found := brute(g, t.ask, everything(g), func(at []int) bool { return !t.rules || len(g.under(at).newlyBroken(g)) == 0 }, func(at []int) bool {
			for i, l := range g.loads {
				if _, beyond, known := g.nearest(l, max(at[i], 0)); t.reach && at[i] != l.circuit && known && beyond > reachSlack {
					return false
				}
			}
			return true
		})
		if found {
			return t, n
		}
	}
	return tier{}, 0
}

func everything(g *Grid) mask {
	var all mask
	for i := range g.loads {
		all.put(i)
	}
	return all
}

func TestThePlanOfPlugsAgainstBruteForce(t *testing.T) {
	outcomes := map[Outcome]int{}
	rapid.Check(t, func(t *rapid.T) {
		g := GridOf(drawShop(t, 3, 5))
		a := g.Assign(t.Context(), 0)
		outcomes[a.Outcome]++
		want, moves := bruteTier(g)
		switch a.Outcome {
		case AsItIs, AllHold, NoneTrips:
			outcome := a.Outcome
			if outcome == AsItIs {
				outcome = AllHold
			}
			if outcome != want.is || !a.Fewest || len(a.Moves) != moves || a.Outcome == AsItIs && moves != 0 || len(a.Breaks) > 0 && want.rules || a.Short > 0 && want.reach {
				t.Fatalf("%s with %d moves (fewest %v), breaks %v, %d cords too short; by brute force %+v with %d", a.Outcome, len(a.Moves), a.Fewest, a.Breaks, a.Short, want, moves)
			}
		case Cannot:
			if want.is != "" || a.Left == 0 {
				t.Fatalf("cannot, with %d sets left; by brute force %+v with %d moves", a.Left, want, moves)
			}
			coreIsSmallest(t, g, a)
		default:
			t.Fatalf("%s within the default budget", a.Outcome)
		}
	})
	for _, o := range []Outcome{AsItIs, AllHold, Cannot} {
		if outcomes[o] == 0 {
			t.Errorf("no drawn shop ended in %q: the draw is too narrow (%v)", o, outcomes)
		}
	}
}

// coreIsSmallest: the loads named cannot be served by any plan, and no smaller number of loads is already too much.
func coreIsSmallest(t *rapid.T, g *Grid, a Assignment) {
	var core mask
	for _, name := range a.Cannot {
		for i, l := range g.loads {
			if l.Name == name {
				core.put(i)
			}
		}
	}
	if _, found := brute(g, mustNotTrip, core); found {
		t.Fatalf("%v can be served", a.Cannot)
	}
	if !a.Smallest {
		t.Fatalf("%v is not said to be the smallest", a.Cannot)
	}
	for bits := range 1 << len(g.loads) {
		var u mask
		for i := range g.loads {
			if bits&(1<<i) != 0 {
				u.put(i)
			}
		}
		if u.count() >= core.count() {
			continue
		}
		if _, found := brute(g, mustNotTrip, u); !found {
			t.Fatalf("%d loads are already too much, %v were named", u.count(), a.Cannot)
		}
	}
}

// What the budget leaves undecided is said so, and the best found is never worse than leaving everything as it is.
func TestASmallBudgetSaysSo(t *testing.T) {
	saw := false
	rapid.Check(t, func(t *rapid.T) {
		g := GridOf(drawShop(t, 3, 5))
		before := g.tripping(g.now())
		a := g.Assign(t.Context(), rapid.IntRange(1, 8).Draw(t, "budget"))
		if a.Left > before {
			t.Fatalf("%s: %d sets trip, %d before", a.Outcome, a.Left, before)
		}
		saw = saw || a.Outcome == NotDecided
		if a.Outcome == AllHold && a.Left > 0 {
			t.Fatalf("all hold, yet %d trip", a.Left)
		}
	})
	if !saw {
		t.Error("no budget was ever too small")
	}
}

// Whatever is found, within a small budget or by patching, is true: a plan that is said to hold does, and one that is said to be the best with the
// fewest moves is that by brute force.
func TestWhatIsFoundUnderASmallBudgetIsTrue(t *testing.T) {
	patched, open := false, false
	rapid.Check(t, func(t *rapid.T) {
		g := GridOf(drawShop(t, 3, 5))
		all := everything(g)
		moves, holds := brute(g, mustHold, all)
		want, best := bruteTier(g)
		s := g.seeker(t.Context(), DefaultNodes)
		s.set(tier{ask: mustHold})
		if at := s.patch(); at != nil {
			if _, _, need := s.clash(at); need != 0 || !holds || g.countMoves(s.start, at) < moves {
				t.Fatalf("patched with %d moves, %d clashes left; by brute force holds %v with %d", g.countMoves(s.start, at), need, holds, moves)
			}
			patched = patched || moves > 0
		}
		a := g.Assign(t.Context(), rapid.IntRange(1, 60).Draw(t, "budget"))
		open = open || a.Outcome == NotDecided
		switch a.Outcome {
		case AllHold, AsItIs:
			if !holds || len(a.Moves) < moves || a.Fewest && (len(a.Moves) != best || want.is != AllHold) {
				t.Fatalf("%s with %d moves (fewest %v); by brute force holds %v with %d", a.Outcome, len(a.Moves), a.Fewest, holds, moves)
			}
		case NoneTrips:
			if quiet, notTrip := brute(g, mustNotTrip, all); !notTrip || a.Fewest && (want.is != NoneTrips || len(a.Moves) != best) {
				t.Fatalf("none trips with %d moves (fewest %v); by brute force holds %v, none trips %v with %d", len(a.Moves), a.Fewest, holds, notTrip, quiet)
			}
		case Cannot:
			if _, notTrip := brute(g, mustNotTrip, all); notTrip {
				t.Fatal("cannot, and by brute force it can")
			}
		}
	})
	if !patched || !open {
		t.Errorf("the draw is too narrow: patched %v, left one open %v", patched, open)
	}
}

// The worst start first alone can only be milder than on top of what runs.
func TestUnknownLoadsAreLeftOutAndNamed(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawShop(t, 2, 3)
		s.Machines[0].Motor.Value.Current = unit.Amount[unit.Ampere]{}
		g := GridOf(s)
		a := g.Assign(t.Context(), 0)
		if len(a.LeftOut) == 0 || a.LeftOut[0] != s.Machines[0].Name {
			t.Fatalf("left out %v", a.LeftOut)
		}
		for _, m := range a.Moves {
			if m.Load == s.Machines[0].Name {
				t.Fatal("a load of unknown amps was moved")
			}
		}
		for c := range g.lines {
			on := g.on(c, everything(g))
			if h := g.judge(c, on); on.has(0) && h.Verdict != circuit.Unknown && h.Verdict != circuit.Trips {
				t.Fatalf("with an unknown load: %v", h.Verdict)
			}
		}
	})
}
