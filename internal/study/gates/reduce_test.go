package gates

import (
	"fmt"
	"math/rand/v2"
	"testing"
)

// explored is every world of a run, by its key without what went wrong where that is asked for.
func explored(t *testing.T, p *Plant, d Dials, twins bool, by func(*walker, *world) key) map[key]bool {
	t.Helper()
	d.States = 3_000_000
	r, err := newRoom(p, d, Step)
	if err != nil {
		t.Fatal(err)
	}
	x := newSearch(r)
	x.seen.apart = twins
	if got := x.run(t.Context(), func(float64) {}); !got.Complete {
		t.Fatalf("not every state was reached: %d; %s", got.Explored, got.Why)
	}
	all := map[key]bool{}
	w := newWalker(r)
	for s := range x.seen.shards {
		for i := range x.seen.shards[s].n {
			var now world
			r.unpack(*x.seen.key(uint32(i*shardCount + s)), &now)
			all[by(w, &now)] = true
		}
	}
	return all
}

func plainKey(w *walker, now *world) key { return w.pack(now) }

// symmetric is a plant of two machines that are alike; rivals may not run at once.
func symmetric(rivals bool) *Plant {
	return bench(func(p *Plant) {
		p.ShutOff = 0
		if rivals {
			p.sets[3] = SetRefuse
		}
	})
}

// Sorting stations that are alike loses no world and adds none: those reached are those reached without sorting, sorted.
func TestSortingStationsLosesNoWorld(t *testing.T) {
	three := func(p *Plant) *Plant {
		p.Gates = append(p.Gates, Gate{Name: "C gate", Travel: 1500, TimeOut: 4500, Proof: BySwitch})
		p.Stations = append(p.Stations, Station{Name: "C", Gates: 8, StartsAt: 1000, StopsAt: 500, Keep: 15000})
		p.sets = append(p.sets, p.sets...)
		return p
	}
	for _, x := range []struct {
		name  string
		plant *Plant
		Dials
		pairs int
	}{
		{"whole", symmetric(false), Dials{Stations: 2, Whole: true}, 1},
		{"brief, one fault", symmetric(false), Dials{Stations: 2, Brief: true, Faults: 1}, 1},
		{"by the clock", symmetric(false), Dials{Stations: 2, Timed: true}, 1},
		{"rivals", symmetric(true), Dials{Stations: 2}, 1},
		{"rivals, brief, one fault", symmetric(true), Dials{Stations: 2, Brief: true, Faults: 1}, 1},
		{"three, brief", three(symmetric(false)), Dials{Stations: 3, Brief: true}, 3},
		{"the mill", mill(), Dials{Stations: 4, Brief: true}, 2},
		{"two rivals and a third", three(symmetric(true)), Dials{Stations: 3, Brief: true}, 1},
	} {
		t.Run(x.name, func(t *testing.T) {
			t.Parallel()
			sorted := x.Dials
			sorted.Alike = true
			got := explored(t, x.plant, sorted, false, plainKey)
			r, err := newRoom(x.plant, sorted, Step)
			if err != nil {
				t.Fatal(err)
			}
			if len(r.pairs) != x.pairs {
				t.Fatalf("%d pairs are alike, want %d", len(r.pairs), x.pairs)
			}
			all := 0
			want := explored(t, x.plant, x.Dials, false, func(w *walker, now *world) key {
				all++
				w.room = r
				w.sort(now)
				return w.pack(now)
			})
			for k := range want {
				if !got[k] {
					t.Fatalf("a world is lost: %v", k)
				}
			}
			if len(got) != len(want) {
				t.Errorf("%d worlds, want %d", len(got), len(want))
			}
			t.Logf("%d worlds for %d", len(got), all)
		})
	}
}

// A world to which something went wrong that left no trace is left out where its twin was looked at. No other world is lost by that.
func TestLeavingOutTwinsLosesNoWorld(t *testing.T) {
	for _, d := range []Dials{{Stations: 1, Faults: 1, Whole: true}, {Stations: 1, Faults: 2}, {Stations: 2, Brief: true, Faults: 1}, {Stations: 1, Timed: true, Faults: 1}} {
		t.Run(fmt.Sprintf("%+v", d), func(t *testing.T) {
			t.Parallel()
			bare := func(w *walker, now *world) key {
				k := w.pack(now)
				k[3] &^= trouble
				return k
			}
			with, without := explored(t, bench(dialled), d, true, bare), explored(t, bench(dialled), d, false, bare)
			for k := range with {
				if !without[k] {
					t.Fatalf("a world is lost: %v", k)
				}
			}
			if len(with) != len(without) {
				t.Errorf("%d worlds without twins, %d with", len(without), len(with))
			}
			t.Logf("%d worlds", len(with))
		})
	}
}

// What forget clears decides nothing: from a world as it is, and from the same after forgetting, the same worlds can be reached in one
// moment, once forgotten over. It is tried along long random ways on which nothing is ever forgotten.
func TestWhatIsForgottenDecidesNothing(t *testing.T) {
	for _, d := range []Dials{
		{Name: "whole", Stations: 2, Whole: true, Faults: 3}, {Name: "not whole", Stations: 2, Faults: 3}, {Name: "brief", Stations: 3, Brief: true, Faults: 3},
		{Name: "by the clock", Stations: 2, Timed: true, Faults: 3}, {Name: "by the clock, whole", Stations: 2, Timed: true, Whole: true, Faults: 3},
	} {
		t.Run(d.Name, func(t *testing.T) {
			t.Parallel()
			for seed := range uint64(60) {
				chance := rand.New(rand.NewPCG(seed, 78))
				r, err := newRoom(four(seed), d, Step)
				if err != nil {
					t.Fatal(err)
				}
				raw, clean := newWalker(r), newWalker(r)
				raw.raw = true
				raw.now = raw.begin()
				for n := range 120 {
					clean.now = raw.now
					clean.forget(&clean.now)
					settle(t, raw, &clean.now)
					var next []world
					here := r.pack(&clean.now)
					from, to := map[key]moment{here: {}}, map[key]moment{here: {}}
					raw.found = func(w *world, m moment) {
						next = append(next, *w)
						over := *w
						clean.forget(&over)
						from[r.pack(&over)] = m
					}
					clean.found = func(w *world, m moment) { to[r.pack(w)] = m }
					for _, wrong := range []bool{false, true} {
						if wrong && int(raw.now.faults) >= d.Faults {
							break
						}
						raw.successors(wrong)
						clean.successors(wrong)
					}
					if raw.broken != 0 || clean.broken != 0 {
						t.Fatalf("seed %d: rule %d or %d breaks: %s%s", seed, raw.broken, clean.broken, raw.why, clean.why)
					}
					for k, m := range from {
						if _, ok := to[k]; !ok {
							t.Fatalf("seed %d, moment %d: %s leads elsewhere after forgetting", seed, n, r.words(m))
						}
					}
					for k, m := range to {
						if _, ok := from[k]; !ok {
							t.Fatalf("seed %d, moment %d: %s is possible only after forgetting", seed, n, r.words(m))
						}
					}
					raw.now = next[chance.IntN(len(next))]
				}
			}
		})
	}
}

// settle fires the timers that are due and were forgotten, which time would wait for: they must decide nothing.
func settle(t *testing.T, raw *walker, clean *world) {
	t.Helper()
	for again := true; again && raw.dials.Timed; {
		again = false
		for n := range raw.slots[:raw.counters] {
			if raw.now.left[n] != 1 || clean.left[n] != 0 {
				continue
			}
			m := moment{what: mTimer, index: int8(n)}
			next, fired := raw.now, false
			raw.only, raw.found = &m, func(w *world, _ moment) { next, fired = *w, true }
			raw.successors(false)
			raw.only = nil
			over := next
			raw.forget(&over)
			if over != *clean {
				t.Fatalf("%s was forgotten, and decides something", raw.words(m))
			}
			if fired {
				raw.now, again = next, true
			}
		}
	}
}

// A world is its key: nothing is lost by packing.
func TestPackingLosesNothing(t *testing.T) {
	for _, d := range []Dials{{Stations: 4, Whole: true, Faults: 100}, {Stations: 2, Timed: true, Faults: 100}} {
		for seed := range uint64(20) {
			chance := rand.New(rand.NewPCG(seed, 79))
			r, err := newRoom(four(seed), d, Step)
			if err != nil {
				t.Fatal(err)
			}
			x := newWalker(r)
			x.now = x.begin()
			for range 100 {
				var next []world
				x.found = func(w *world, _ moment) {
					next = append(next, *w)
					var again world
					if r.unpack(r.pack(w), &again); again != *w {
						t.Fatalf("packed and unpacked: %+v, was %+v", again, *w)
					}
				}
				x.successors(false)
				calm := len(next)
				x.successors(true)
				if chance.IntN(20) > 0 {
					next = next[:calm]
				}
				x.now = next[chance.IntN(len(next))]
			}
		}
	}
}

// What is brief is also possible at length: with nothing going wrong, no world is reached that the full look does not reach.
func TestABriefLookSeesNothingElse(t *testing.T) {
	for _, p := range []*Plant{bench(nil), bench(dialled), symmetric(true)} {
		full := explored(t, p, Dials{Stations: 2}, false, plainKey)
		brief := explored(t, p, Dials{Stations: 2, Brief: true}, false, plainKey)
		for k := range brief {
			if !full[k] {
				t.Fatalf("a world is reached only in brief: %v", k)
			}
		}
		t.Logf("%d worlds of %d", len(brief), len(full))
	}
}

// The answer does not depend on how many hands work.
func TestManyHandsComeToTheSameAnswer(t *testing.T) {
	late := mutants[3].step
	for _, step := range []stepper{Step, late} {
		var first ProofResult
		for _, hands := range []int{1, 2, 5} {
			r, err := prove(t.Context(), bench(dialled), Dials{Stations: 2, Whole: true, States: 1_000_000, Hands: hands}, nil, step)
			if err != nil {
				t.Fatal(err)
			}
			if hands == 1 {
				first = r
			}
			if r.Explored != first.Explored || r.Broken != first.Broken || len(r.Timeline) != len(first.Timeline) {
				t.Errorf("%d hands: %d states, rule %d; one: %d, rule %d", hands, r.Explored, r.Broken, first.Explored, first.Broken)
			}
			for i, l := range r.Timeline {
				if l != first.Timeline[i] {
					t.Errorf("%d hands: %q, one: %q", hands, l, first.Timeline[i])
				}
			}
		}
	}
}
