package power

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"winnow/internal/physics/circuit"
	"winnow/internal/shop"
	"winnow/internal/unit"
)

// What starts by itself may do so in the middle of a cut; a machine is started while the others idle. Sums by hand.
func TestASelfStarterMeetsTheCut(t *testing.T) {
	src := shed(`
machines: {band saw: {kind: band saw, motor: {voltage: 120 V, current: 10 A}, plug: {outlet: b1}}}
other loads:
  freezer: {outlet: b1, current: 2 A, start: 12 A, works: by itself}
`)
	s, _ := written(t, src)
	g := GridOf(s)
	c := g.byName["b"] - 1
	members := g.loadsOf(g.on(c, g.sets[0].loads))
	sum := g.totals(members, 0)
	for _, l := range members {
		through := float64(g.through(l, c, l.Start))
		want := 6.5 + through // the saw at 65 % of its plate
		if !l.StartsItself {
			want = 2 + through // the freezer as it runs
		}
		if got := float64(g.startTotal(l, c, sum, 0)); math.Abs(got-want) > 1e-9 {
			t.Errorf("the start of the %s comes to %.3f A, want %.3f", l.Name, got, want)
		}
		if through >= float64(l.Start) {
			t.Errorf("the wire takes nothing off the start of the %s", l.Name)
		}
	}
}

// What is switched by hand counts when everything is on, and not in usual work.
func TestByHandCountsOnlyAllOut(t *testing.T) {
	r := studied(t, shed("other loads: {heater: {outlet: a1, current: 12 A, start: 12 A, works: by hand}, lamp: {outlet: a2, current: 2 A, start: 2 A, works: always}}\n"))
	w := r.Circuits[0].Worst
	if w.Idle != 2 || w.Cut != 2 || w.Full != 14 {
		t.Errorf("idling %.1f, cut %.1f, all out %.1f A; want 2, 2 and 14", float64(w.Idle), float64(w.Cut), float64(w.Full))
	}
}

func TestASetBringsItsExtractionAndCleaners(t *testing.T) {
	r := studied(t, shed(`
machines:
  saw: {kind: band saw, plug: {outlet: a1}, port: {size: 4 in}, also starts: [helper]}
  lathe: {kind: lathe, plug: {outlet: a1}}
systems:
  puller: {kind: collector, plug: {outlet: b1}, runs: {main: {from: saw, size: 4 in, pieces: [{hose: 8 ft}]}}}
  helper: {kind: vacuum, plug: {outlet: b2}}
air cleaners:
  follows: {works: with machines, plug: {outlet: b2}, power: 100 W}
  waits: {works: by hand, plug: {outlet: b2}, power: 100 W}
routine: {together: [[saw, lathe], [saw, lathe]]}
`))
	for set, want := range map[string][]string{
		"saw": {"puller", "helper", "follows"}, "lathe": {"follows"}, "saw and lathe": {"puller", "helper", "follows"},
	} {
		if got := r.set(t, set).Brings; !slices.Equal(got, want) {
			t.Errorf("%s brings %v, want %v", set, got, want)
		}
	}
	if len(r.Sets) != 3 {
		t.Errorf("%d sets: a line written twice is one", len(r.Sets))
	}
}

// A start is blamed only where everything else passes.
func TestAStartIsBlamedOnlyWhereTheRestPasses(t *testing.T) {
	if h := studied(t, slowStart).Circuits[1].Worst; !h.BecauseStart || h.Starter != "puller" {
		t.Errorf("a slow start on a circuit that else holds: because of a start %v, %s", h.BecauseStart, h.Starter)
	}
	if h := studied(t, fmt.Sprintf(twoCircuits, "window")).Circuits[0].Worst; h.BecauseStart {
		t.Error("an overload was blamed on a start")
	}
}

// Only what can run three hours is continuous: NEC Article 100 [S-320]; a saw is not.
func TestASawIsNotContinuous(t *testing.T) {
	r := studied(t, shed(`
machines: {saw: {kind: cabinet saw, motor: {voltage: 120 V, current: 15 A}, plug: {outlet: b1}, port: {size: 4 in}}}
systems: {puller: {kind: collector, motor: {power: 1 hp, voltage: 120 V, current: 10 A}, plug: {outlet: b2}, runs: {main: {from: saw, size: 4 in, pieces: [{hose: 8 ft}]}}}}
`))
	for _, row := range r.Rules {
		if row.code == CodeContinuous && (row.Has != 10 || row.Most != 16 || row.OK != Yes) {
			t.Errorf("continuous load %v A of %v, %s: %s", row.Has, row.Most, row.OK, row.Load)
		}
	}
}

// A wire that was assumed from its breaker proves nothing about it.
func TestAnAssumedWireIsNotKnown(t *testing.T) {
	r := studied(t, "winnow: 1\nsite: {wiring: us}\ncircuits: {a: {breaker: 20 A, voltage: 120 V, outlets: {x1: {}}}}\n")
	if got := r.Limits[0].OK; got != NotKnown {
		t.Errorf("the assumed wire is said to be %q", got)
	}
	if r.finding(CodeBreakerOverWire) != nil {
		t.Error("an assumed wire raised a problem")
	}
}

// The horsepower of a vacuum on its box is not used: its amps come from what its plug may draw, under 80 % of the branch.
func TestAPeakHorsepowerIsNotUsed(t *testing.T) {
	r := studied(t, codeShops["peak-horsepower"])
	if l := r.Loads[0]; l.Full > 12 || l.Full < 5 || !l.Assumed {
		t.Errorf("a 6 hp vacuum on 15 A is taken to draw %.1f A", float64(l.Full))
	}
	tool := studied(t, shed("machines: {big saw: {kind: mitre saw, motor: {power: 5 hp, voltage: 120 V}, plug: {outlet: a1}}}\n"))
	if l := tool.Loads[0]; l.Full > 12 || !l.Assumed || tool.finding(CodePeak) == nil {
		t.Errorf("a 5 hp mitre saw on 15 A is taken to draw %.1f A", float64(l.Full))
	}
	if f := r.finding(CodePeak); !strings.Contains(f.Sentence(unit.US), "6 hp at 120 V would draw 37.3 A") { // case peak-hp-6_0 [S-308]
		t.Errorf("said: %s", f.Sentence(unit.US))
	}
}

// Code letter K at 1 1/2 hp and 115 V: 104.3 to 117.3 A, case lra-from-letter-K-1_5hp-115V [S-303]. A brushed motor starts at 4 times, others at 6.
func TestWhereAStartComesFrom(t *testing.T) {
	r := studied(t, shed(`
machines:
  by letter: {kind: band saw, motor: {power: 1.5 hp, voltage: 115 V, current: 16 A, code: K}, plug: {outlet: b1}}
  by six: {kind: band saw, motor: {voltage: 120 V, current: 10 A}, plug: {outlet: b1}}
  brushed: {kind: mitre saw, motor: {voltage: 120 V, current: 10 A}, plug: {outlet: b1}}
`))
	for i, want := range [][2]float64{{104.3, 117.3}, {60, 60}, {40, 40}} {
		if got := float64(r.Loads[i].Start); got < want[0]-0.1 || got > want[1]+0.1 {
			t.Errorf("%s starts with %.1f A, want %g to %g", r.Loads[i].Name, got, want[0], want[1])
		}
	}
}

// The guess without an airflow study: 0.6 of the free air; and the starts a switched collector could make: one cut of 20 s with 10 s of running on, then
// 30 s of rest, is once a minute.
func TestFlowGuessAndStarts(t *testing.T) {
	r := studied(t, shed(`
systems:
  puller:
    kind: collector
    fan: {rating: {free air: 1000 cfm, shut-off: 9 inH2O}}
    motor: {power: 1 hp, voltage: 120 V, current: 10 A}
    plug: {outlet: b1}
    starting: {keeps running: 10 s, rest at least: 30 s, run at least: 5 s, starts per hour: 10}
`))
	if got := float64(r.Outdoors[0].Flow) / 0.00047194745; math.Abs(got-600) > 0.1 {
		t.Errorf("guessed %.1f cfm, want 600", got)
	}
	m := r.Starts[0]
	if could := float64(m.Could) * 3600; math.Abs(could-60) > 1e-6 {
		t.Errorf("could start %.2f times an hour, want 60", could)
	}
	if keeps := float64(m.Keeps); math.Abs(keeps-(360-20-30)) > 1e-6 {
		t.Errorf("kept running %.1f s to stay within 10 an hour, want 310", keeps)
	}
}

// A plug goes only where the voltage is its own, there is an outlet and the plate fits the breaker.
func TestWhereAPlugMayGo(t *testing.T) {
	s, _ := written(t, `winnow: 1
site: {wiring: us}
circuits:
  small: {breaker: 15 A, voltage: 120 V, outlets: {s1: {at: [0 ft, 0 ft]}}}
  big: {breaker: 20 A, voltage: 120 V, outlets: {b1: {at: [20 ft, 0 ft]}, b2: {at: [9 ft, 0 ft]}}}
  high: {breaker: 20 A, voltage: 240 V, outlets: {h1: {at: [0 ft, 0 ft]}}}
  bare: {breaker: 20 A, voltage: 120 V}
machines: {saw: {kind: band saw, at: [5 ft, 0 ft], motor: {voltage: 120 V, current: 16 A}, plug: {outlet: s1, cord: 6 ft}}}
`)
	g := GridOf(s)
	l := g.loads[0]
	for c, want := range map[string]bool{"small": false, "big": true, "high": false, "bare": false} {
		if got := g.suits(l, g.byName[c]-1); got != want {
			t.Errorf("16 A at 120 V into %s: %v, want %v", c, got, want)
		}
	}
	o, beyond, known := g.nearest(l, g.byName["big"]-1)
	if o.Name != "b2" || beyond != 0 || !known {
		t.Errorf("nearest is %s, %.2f m beyond its cord (known %v); b2 is 4 ft away and the cord has 6", o.Name, float64(beyond), known)
	}
	if far, _ := gap(l, g.lines[g.byName["big"]-1].outlets[0]); math.Abs(float64(far)-9*0.3048) > 1e-9 {
		t.Errorf("b1 is 15 ft away, the cord has 6: lacking %.3f m, want 9 ft", float64(far))
	}
}

// Two 120 V circuits share a pair of outer wires: half of their sum, and a 240 V circuit in full.
func TestWhatAllCircuitsCarryTogether(t *testing.T) {
	r := studied(t, `winnow: 1
site: {wiring: us}
circuits:
  one: {breaker: 15 A, voltage: 120 V, outlets: {o1: {}}}
  two: {breaker: 15 A, voltage: 120 V, outlets: {t1: {}}}
  high: {breaker: 20 A, voltage: 240 V, outlets: {h1: {}}}
other loads:
  first: {outlet: o1, current: 6 A, start: 6 A, works: always}
  second: {outlet: t1, current: 4 A, start: 4 A, works: always}
  third: {outlet: h1, current: 7 A, start: 7 A, works: always}
`)
	if !near(float64(r.Together), 12) {
		t.Errorf("%.2f A together, want (6 + 4)/2 + 7 = 12", float64(r.Together))
	}
	if !near(float64(r.OneWire), 17) {
		t.Errorf("%.2f A with both on one half, want 6 + 4 + 7 = 17", float64(r.OneWire))
	}
	for _, o := range r.Chart {
		if want := map[string]float64{"o1": 9, "t1": 11, "h1": 13}[o.Name]; !near(float64(o.Spare), want) {
			t.Errorf("%s has %.1f A to spare, want %.1f", o.Name, float64(o.Spare), want)
		}
	}
}

// Where three phases come in, 230 V circuits are shared by them at best, and a 400 V load draws its amps on each. With one phase all add up.
func TestWhatThreePhasesCarryTogether(t *testing.T) {
	const loads = `other loads:
  first: {outlet: o1, current: 6 A, start: 6 A, works: always}
  second: {outlet: t1, current: 3 A, start: 3 A, works: always}
`
	one := `winnow: 1
site: {wiring: iec}
circuits:
  one: {breaker: 16 A, voltage: 230 V, outlets: {o1: {}}}
  two: {breaker: 16 A, voltage: 230 V, outlets: {t1: {}}}
`
	if r := studied(t, one+loads); !near(float64(r.Together), 9) || !near(float64(r.OneWire), 9) {
		t.Errorf("%.2f and %.2f A on one phase, want 6 + 3 = 9", float64(r.Together), float64(r.OneWire))
	}
	three := one + "  high: {breaker: 16 A, voltage: 400 V, outlets: {h1: {}}}\n" + loads + "  third: {outlet: h1, current: 7 A, start: 7 A, works: always}\n"
	if r := studied(t, three); !near(float64(r.Together), 10) || !near(float64(r.OneWire), 16) {
		t.Errorf("%.2f and %.2f A on each of three phases, want (6 + 3)/3 + 7 = 10 and 6 + 3 + 7 = 16", float64(r.Together), float64(r.OneWire))
	}
}

// A circuit that is strained by a start has its spare by the most it carries, not by what it carries in that set.
func TestSpareGoesByTheMostThatFlows(t *testing.T) {
	r := studied(t, `winnow: 1
site: {wiring: iec}
circuits:
  one: {breaker: 32 A, curve: D, voltage: 230 V, outlets: {o1: {}}}
machines:
  sweep: {kind: floor sweep, port: {size: 100 mm}}
  left router: {kind: router table, motor: {voltage: 230 V, current: 14 A}, plug: {outlet: o1}}
  right router: {kind: router table, motor: {voltage: 230 V, current: 14 A}, plug: {outlet: o1}}
systems:
  cyclone:
    kind: collector
    motor: {power: 3 kW, voltage: 230 V, current: 18 A}
    plug: {outlet: o1}
    runs: {main: {from: sweep, size: 100 mm, pieces: [{hose: 2 m}]}}
routine: {people: 2, together: [[left router, right router]]}
`)
	worst := r.Circuits[0].Worst
	most := 0.0
	for _, s := range r.Sets {
		for _, h := range s.Circuits {
			most = math.Max(most, float64(h.Cut))
		}
	}
	if float64(worst.Cut) >= most {
		t.Fatalf("the worst set, %s, carries the most: this shop shows nothing", r.Circuits[0].WorstSet)
	}
	if got := float64(r.Chart[0].Spare); !near(got, 32-most) {
		t.Errorf("%.2f A to spare, want 32 less the most of all sets, %.2f", got, most)
	}
}

// How far a cord reaches goes by where the machine stands in the arrangement that is looked at.
func TestACordReachesFromWhereTheMachineStands(t *testing.T) {
	s, _ := written(t, `winnow: 1
circuits:
  A: {breaker: 20 A, voltage: 120 V, outlets: {here: {at: [0 ft, 0 ft]}}}
  B: {breaker: 20 A, voltage: 120 V, outlets: {there: {at: [30 ft, 0 ft]}}}
machines:
  planer:
    kind: thickness planer
    places: {near: {at: [1 ft, 0 ft]}, far: {at: [29 ft, 0 ft]}}
    motor: {voltage: 120 V, current: 15 A}
    plug: {outlet: here, cord: 6 ft}
arrangements:
  usual: {}
  big job: {planer: far}
  gone: {planer: away}
`)
	for arrangement, want := range map[string]float64{"": 29 - 6, "usual": 29 - 6, "big job": 0} {
		g := GridIn(s, arrangement)
		if _, beyond, known := g.nearest(g.loads[0], 1); !known || math.Abs(float64(beyond)-want*0.3048) > 1e-9 {
			t.Errorf("%q: %.2f m beyond its cord (%v), want %.2f", arrangement, float64(beyond), known, want*0.3048)
		}
	}
	if g := GridIn(s, "gone"); len(g.loads) != 0 {
		t.Errorf("a machine that is away is a load: %v", g.loads[0].Name)
	}
}

// A move says of the cord what is known: enough, too short by so much, or that somebody has to look.
func TestAMoveSaysWhetherTheCordReaches(t *testing.T) {
	text := func(saw, there string) string {
		return `winnow: 1
units: us
site: {wiring: us}
circuits:
  a: {breaker: 15 A, voltage: 120 V, outlets: {a1: {at: [0 ft, 0 ft]}}}
  b: {breaker: 20 A, voltage: 120 V, outlets: {b1: {at: [` + there + `, 0 ft]}}}
machines: {saw: {kind: band saw, ` + saw + `motor: {voltage: 120 V, current: 13 A}, plug: {outlet: a1, cord: 6 ft}}}
systems: {fan: {kind: collector, motor: {voltage: 120 V, current: 12 A}, plug: {outlet: a1, cord: 6 ft}, runs: {main: {from: saw, size: 4 in, pieces: [{hose: 8 ft}]}}}}
`
	}
	for _, c := range []struct{ name, src, says, not string }{
		{"near", text("at: [1 ft, 0 ft], ", "3 ft"), "Plug the saw into b1", "cord"},
		{"far", text("at: [1 ft, 0 ft], ", "20 ft"), "its cord is too short by about 13 ft", "see whether"},
		{"not placed", text("", "3 ft"), "see whether its cord reaches", "too short"},
	} {
		f := studied(t, c.src).finding(CodeTrips)
		if f == nil {
			t.Fatalf("%s: nothing trips", c.name)
		}
		said := ""
		for _, r := range f.Remedies {
			if r.What == ActMove && strings.Contains(r.Sentence(unit.US), "Plug the saw") {
				said = r.Sentence(unit.US)
			}
		}
		if !strings.Contains(said, c.says) || strings.Contains(said, c.not) {
			t.Errorf("%s: %q, want %q and not %q", c.name, said, c.says, c.not)
		}
	}
}

// The advice of 5 % [S-317]: case vd-120v-12a-branch-plus-cord loses 6.715 V over 40 ft of 14 AWG wire and 50 ft of 14 AWG cord at 12 A.
func TestVoltageOnTheWay(t *testing.T) {
	s, _ := written(t, shed("machines: {saw: {kind: band saw, motor: {voltage: 120 V, current: 12 A}, plug: {outlet: a1, cord: 0 ft, extension: {length: 50 ft, wire: 14 AWG}}}}\n"))
	l := GridOf(s).loads[0]
	if lost := 120 - float64(l.AtRun); math.Abs(lost-6.715) > 0.005*6.715 {
		t.Errorf("%.3f V lost, the published case says 6.715", lost)
	}
}

// The permit treats a machine whose outlet nobody said as not known.
func TestThePermitOfAnUnknownOutlet(t *testing.T) {
	s, _ := written(t, shed("machines: {lathe: {kind: lathe, motor: {voltage: 120 V, current: 8 A}}}\n"))
	if ok, why := Permit(s)([]shop.ID{"lathe"}); !ok || why != CodeNotJudged {
		t.Errorf("permit %v, %v", ok, why)
	}
	if ok, why := Permit(s)(nil); !ok || why != nil {
		t.Errorf("permit of nothing: %v, %v", ok, why)
	}
}

// On random shops: a move that is offered, once made, leaves its circuit milder, and trips no other.
func TestEveryOfferedMoveCures(t *testing.T) {
	offered := 0
	rapid.Check(t, func(t *rapid.T) {
		s := drawShop(t, 3, 5)
		try := func(edits ...shop.Edit) (*shop.Shop, error) { return plugged(s, edits) }
		g := GridOf(s)
		for _, v := range []circuit.Verdict{circuit.Trips, circuit.MayTrip} {
			for _, tr := range g.troubles(v) {
				cured, shifted := g.singleMoves(t.Context(), tr, try)
				for n, r := range append(cured, shifted...) {
					offered++
					changed, err := try(r.Edits...)
					if err != nil {
						t.Fatal(err)
					}
					after := GridOf(changed)
					if n < len(cured) == (r.What == ActShift) {
						t.Fatalf("%q is among the wrong ones", r.Sentence(unit.US))
					}
					if broken := after.newlyBroken(g); (len(broken) > 0) != strings.Contains(r.Sentence(unit.US), "a rule is broken") || len(broken) > 0 && r.Free {
						t.Fatalf("%q breaks %v", r.Sentence(unit.US), broken)
					}
					for c := range after.lines {
						was, is := g.worstOf(c).Verdict, after.worstOf(c).Verdict
						if now, old := after.worstOf(c), g.worstOf(c); r.What == ActMove && c != tr.c && (rank(is) > rank(was) || is != circuit.Holds && max(now.Chance-old.Chance, now.FullOn-old.FullOn) > 0.05) {
							t.Fatalf("%q moves the risk and is called a cure", r.Sentence(unit.US))
						}
						if rank(is) > rank(was) && is == circuit.Trips || c == tr.c && is == circuit.Trips {
							t.Fatalf("after %q circuit %d %v, before it %v", r.Sentence(unit.US), c, is, was)
						}
					}
					if h := after.heldIn(tr.c, tr.sets[0]); rank(h.Verdict) >= rank(tr.worst.Verdict) {
						t.Fatalf("after %q the worst set still %v", r.Sentence(unit.US), h.Verdict)
					}
				}
			}
		}
	})
	if offered == 0 {
		t.Error("no random shop was offered a move")
	}
}

// plugged makes the plug edits on a copy of a shop.
func plugged(s *shop.Shop, edits []shop.Edit) (*shop.Shop, error) {
	c := *s
	c.Machines, c.Systems, c.OtherLoads = slices.Clone(s.Machines), slices.Clone(s.Systems), slices.Clone(s.OtherLoads)
	for _, e := range edits {
		k := e.Set.Keys()
		switch k[0] {
		case "machines":
			c.Machine(k[1]).Plug.Value.Outlet = e.To.Text
		case "systems":
			c.System(k[1]).Plug.Value.Outlet = e.To.Text
		case "other loads":
			for i := range c.OtherLoads {
				if c.OtherLoads[i].Name == k[1] {
					c.OtherLoads[i].Outlet = e.To.Text
				}
			}
		default:
			return nil, fmt.Errorf("no such edit: %s", e.Set)
		}
	}
	return &c, nil
}

// Relative doubts add as the root of their squares: 10 A ± 10 % times 0.5 ± 20 % is 5 A ± 22.36 %.
func TestDoubtsOfACurrentAdd(t *testing.T) {
	b := part(Band{9, 10, 11}, [3]float64{0.4, 0.5, 0.6})
	d := 5 * math.Hypot(0.1, 0.2)
	for i, want := range [3]float64{5 - d, 5, 5 + d} {
		if math.Abs(float64(b[i])-want) > 1e-9 {
			t.Errorf("end %d is %.4f A, want %.4f", i, float64(b[i]), want)
		}
	}
	if lowest, best, highest := b.at(-1), b.at(0), b.at(1); lowest != b[0] || best != b[1] || highest != b[2] {
		t.Errorf("the places of the band are %.3f, %.3f, %.3f A", lowest, best, highest)
	}
}

// The short cut "nothing can happen here" rests on peak being more than anything that can flow.
func TestPeakIsMoreThanAnythingThatFlows(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		g := GridOf(drawShop(t, 2, 5))
		c := rapid.IntRange(0, len(g.lines)-1).Draw(t, "circuit")
		members := g.loadsOf(draw(t, "on", g))
		most := g.peak(c, members)
		for _, p := range places {
			sum := g.totals(members, p)
			for _, i := range []unit.Ampere{sum.idle, sum.cut, sum.hard, sum.full} {
				if i > most {
					t.Fatalf("%.2f A flow, the peak is %.2f", float64(i), float64(most))
				}
			}
			for _, l := range members {
				if i := g.startTotal(l, c, sum, p); i > most {
					t.Fatalf("%.2f A at the start of %s, the peak is %.2f", float64(i), l.Name, float64(most))
				}
			}
		}
	})
}

// A trimmed plan passes, and no single move of it can be taken back.
func TestATrimmedPlanNeedsEveryMove(t *testing.T) {
	moved := 0
	rapid.Check(t, func(t *rapid.T) {
		g := GridOf(drawShop(t, 3, 5))
		s := g.seeker(t.Context(), DefaultNodes)
		s.set(tier{ask: mustNotTrip})
		slices.Reverse(s.order) // another plan than the first that comes to mind
		for i := range s.can {
			slices.Reverse(s.can[i])
		}
		at, found := s.place(everything(g))
		if !found {
			return
		}
		at = s.trim(at)
		if _, _, need := s.clash(at); need != 0 {
			t.Fatal("the trimmed plan clashes")
		}
		for i := range at {
			if at[i] == s.start[i] {
				continue
			}
			moved++
			was := at[i]
			at[i] = s.start[i]
			if _, _, need := s.clash(at); need == 0 {
				t.Fatalf("the move of %s is not needed", g.loads[i].Name)
			}
			at[i] = was
		}
	})
	if moved == 0 {
		t.Error("no plan had a move to trim")
	}
}

// An edit that does not do what it promised is not offered.
func TestAnEditThatDoesNotCureIsNotOffered(t *testing.T) {
	s, _ := written(t, fmt.Sprintf(twoCircuits, "window"))
	r, err := Study(t.Context(), s, Options{Trial: func(...shop.Edit) (*shop.Shop, error) { return s, nil }})
	if err != nil {
		t.Fatal(err)
	}
	for _, m := range r.finding(CodeTrips).Remedies {
		if len(m.Edits) > 0 {
			t.Errorf("offered: %s", m.Sentence(unit.US))
		}
	}
}

// A circuit of its own: not under the plate (16 A asks for 20), and not under 125 % of what can run three hours (13 A of a collector asks for 20,
// NEC 210.20(A) [S-320]).
func TestACircuitOfItsOwn(t *testing.T) {
	for kind, want := range map[string]string{
		"machines: {big: {kind: jointer, motor: {voltage: 120 V, current: 16 A}, plug: {outlet: a1}}, more: {kind: jointer, motor: {voltage: 120 V, current: 12 A}, plug: {outlet: a2}}}\nroutine: {people: 2, together: [[big, more]]}\n":                                                                                          "20 A would do by its plate of 16 A",
		"machines: {saw: {kind: jointer, motor: {voltage: 120 V, current: 12 A}, plug: {outlet: a1}, port: {size: 4 in}}}\nsystems: {puller: {kind: collector, motor: {power: 1 hp, voltage: 120 V, current: 13 A}, starting: {run-up: 1 s}, plug: {outlet: a2}, runs: {main: {from: saw, size: 4 in, pieces: [{hose: 8 ft}]}}}}\n": "20 A would do by its plate of 13 A",
	} {
		f := studied(t, shed(kind)).finding(CodeTrips)
		if f == nil {
			t.Fatal("nothing trips")
		}
		said := ""
		for _, m := range f.Remedies {
			if m.What == ActDedicated {
				said = m.Sentence(unit.US)
			}
		}
		if !strings.Contains(said, want) {
			t.Errorf("said %q, want %q", said, want)
		}
	}
}

// A compressor runs for minutes a day, a freezer for hours: 3 and 40 % of the week at 0.92·V·A or their watts. Judgement [S-340].
func TestWhatStartsByItselfRunsForItsPartOfTheDay(t *testing.T) {
	r := studied(t, shed(`
other loads:
  compressor: {outlet: a1, power: 1000 W, current: 9 A, works: by itself}
  freezer: {outlet: b1, power: 100 W, current: 1 A, works: by itself}
`))
	for _, row := range r.Energy.Rows {
		want := map[string]float64{"compressor": 1000 * 0.03, "freezer": 100 * 0.40}[row.Name] * 168 / 1000
		if got := float64(row.Energy) / 3.6e6; math.Abs(got-want) > 1e-9 {
			t.Errorf("%s takes %.3f kWh a week, want %.3f", row.Name, got, want)
		}
	}
}

// Three-phase, 400 V: P/(√3·V·η·cosφ), 2.2 kW with 0.845 and 0.80 (circuit.EstimateCurrent): 4.70 A; it goes to its own kind of supply only, and
// loses √3·L·R·I on the way: 20 m of 2.5 mm² at 75 °C (7.41 Ω/km at 20 °C, IEC 60228 [S-307]).
func TestAThreePhaseMachine(t *testing.T) {
	s, _ := written(t, `winnow: 1
site: {wiring: iec}
circuits:
  power: {breaker: 16 A, voltage: 400 V, wire: 2.5 mm², length: 20 m, curve: C, outlets: {red: {}}}
  house: {breaker: 16 A, voltage: 230 V, wire: 2.5 mm², length: 20 m, curve: C, outlets: {blue: {}}}
machines: {planer: {kind: jointer, motor: {power: 2.2 kW, voltage: 400 V, phases: 3}, plug: {outlet: red, cord: 0 m}}}
`)
	g := GridOf(s)
	l := g.loads[0]
	want := 2200 / (math.Sqrt(3) * 400 * 0.845 * 0.80)
	if math.Abs(float64(l.Full)-want) > 0.01 {
		t.Errorf("%.2f A, want %.2f", float64(l.Full), want)
	}
	each := 7.41e-3 * (1 + 0.00393*55)
	if lost, want := 400-float64(l.AtRun), math.Sqrt(3)*20*each*float64(l.Full); math.Abs(lost-want) > 1e-6 {
		t.Errorf("%.4f V lost, want %.4f", lost, want)
	}
	if g.suits(l, g.byName["house"]-1) || !g.suits(l, g.byName["power"]-1) {
		t.Error("a 400 V machine goes into a 230 V outlet")
	}
	if v := g.heldIn(0, 0).Verdict; v != circuit.Holds {
		t.Errorf("4.7 A on C16: %v", v)
	}
}

// What a cord lacks is said no finer than a plan is drawn, and never as less than it is.
func TestWhatACordLacksIsSaidRoughly(t *testing.T) {
	for _, c := range []struct {
		by     unit.Metre
		us, si string
	}{{0.376, "about 18 in", "about 400 mm"}, {3.9624, "about 13 ft", "about 4 m"}, {0.11, "about 6 in", "about 200 mm"}, {0.3, "about 12 in", "about 300 mm"}} {
		if us, si := roughly(c.by, unit.US), roughly(c.by, unit.SI); us != c.us || si != c.si {
			t.Errorf("%v m: %q and %q, want %q and %q", c.by, us, si, c.us, c.si)
		}
	}
}
