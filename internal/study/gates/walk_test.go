package gates

import (
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"
)

// The exploration goes broad and, in the time of a test, not deep. Long random ways through the same worlds go deep instead, and there
// three things may go wrong.
func TestLongWaysBreakNoRule(t *testing.T) {
	for _, d := range []Dials{
		{Name: "2 machines", Stations: 2, Faults: 3}, {Name: "2 machines by the clock", Stations: 2, Faults: 3, Timed: true},
		{Name: "4 machines", Stations: 4, Faults: 3}, {Name: "3 machines by the clock", Stations: 3, Timed: true},
	} {
		t.Run(d.Name, func(t *testing.T) {
			t.Parallel()
			for seed := range uint64(100) {
				walk(t, d, seed)
			}
		})
	}
}

// four is a plant of four machines; odd seeds take gates without switches.
func four(seed uint64) *Plant {
	p := bench(func(p *Plant) {
		p.RunAtLeast = Millis(seed%3) * 20000
		p.Gates = append([]Gate{{Name: "C gate", Travel: 1500, TimeOut: 4500, Proof: BySwitch}, {Name: "D gate", Travel: 1500, TimeOut: 4500, Proof: BySwitch}}, p.Gates...)
		p.Idle, p.Rescue, p.Bleed = 16, 16, 16
		p.Stations[0].Gates, p.Stations[1].Gates = 4, 8
		for i, gate := range []Mask{1, 3} { // the last needs two gates
			st := p.Stations[i]
			st.Name, st.Gates = fmt.Sprint("C", i), gate
			p.Stations = append(p.Stations, st)
		}
		p.Stations[1].RunUp = 1000
		p.sets = make([]SetVerdict, 16)
		p.sets[1], p.sets[2], p.sets[3], p.sets[7] = SetBleed, SetWarn, SetBleed, SetRefuse
	})
	for i := range p.Gates {
		if seed%2 == 1 {
			p.Gates[i].Proof = ByTravel
		}
	}
	return p
}

func walk(t *testing.T, d Dials, seed uint64) {
	chance := rand.New(rand.NewPCG(seed, 77))
	r, err := newRoom(four(seed), d, Step)
	if err != nil {
		t.Fatal(err)
	}
	x := newWalker(r)
	x.now = x.begin()
	var told []string
	for range 150 {
		var next []world
		var by []moment
		x.found = func(w *world, m moment) { next, by = append(next, *w), append(by, m) }
		x.successors(false)
		if int(x.now.faults) < d.Faults {
			x.successors(true)
		}
		if x.broken != 0 {
			t.Fatalf("seed %d: rule %d: %s\n%s\n%s", seed, x.broken, x.why, strings.Join(told, "\n"), x.words(x.at))
		}
		n := chance.IntN(len(next))
		told = append(told, r.words(by[n]))
		x.now = next[n]
	}
}
