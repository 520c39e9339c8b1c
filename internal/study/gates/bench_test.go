package gates

import (
	"fmt"
	"testing"
)

// mill is the plant of examples/millrace.yaml as its first five machines make it: two pairs of them share a breaker, any two are slow.
func mill() *Plant {
	p := bench(nil)
	p.Name, p.Gates, p.Stations = "cyclone", nil, nil
	for i, name := range []string{"panel saw", "planer", "jointer", "shaper", "drum sander"} {
		p.Gates = append(p.Gates, Gate{Name: name + " gate", Device: fmt.Sprint("g", i), Travel: 1500, TimeOut: 4500, Proof: BySwitch})
		p.Stations = append(p.Stations, Station{Name: name, Gates: 1 << i, StartsAt: 1000, StopsAt: 500, Keep: 15000})
	}
	p.Gates = append(p.Gates, Gate{Name: "sweep gate", Device: "g9", Travel: 1500, TimeOut: 4500, Proof: BySwitch})
	p.Idle, p.Bleed, p.Rescue, p.ShutOff, p.RunAtLeast = 0, 1<<5, 1<<5, 0, 60000
	p.sets = make([]SetVerdict, 1<<5)
	for set := range Mask(1 << 5) {
		switch {
		case set&0b01010 == 0b01010 || set&0b10100 == 0b10100:
			p.sets[set] = SetRefuse
		case set&(set-1) != 0:
			p.sets[set] = SetBleed
		}
	}
	return p
}

// The proof at work: how many states it looks at in a second, with one hand, and how much each keeps in memory.
func BenchmarkProof(b *testing.B) {
	for _, d := range []Dials{
		{Name: "one machine, one fault", Stations: 1, Whole: true, Faults: 1},
		{Name: "two by the clock", Stations: 2, Timed: true, Alike: true},
		{Name: "four in brief", Stations: 4, Brief: true, Alike: true},
		{Name: "one beside others", Stations: 1, Rest: true, Brief: true, Alike: true},
	} {
		b.Run(d.Name, func(b *testing.B) {
			d.States = 2_000_000
			states, bytes := 0, 0
			for b.Loop() {
				r, err := Prove(b.Context(), mill(), d, nil)
				if err != nil || !r.Complete {
					b.Fatal(r.Why, err)
				}
				states += r.Explored
				bytes = r.Bytes / r.Explored
			}
			b.ReportMetric(float64(states)/b.Elapsed().Seconds(), "states/s")
			b.ReportMetric(float64(bytes), "B/state")
		})
	}
}
