package gates

import (
	"reflect"
	"slices"
	"strings"
	"testing"

	"winnow/internal/shop"
	"winnow/internal/shop/file"
	"winnow/internal/shop/typical"
	"winnow/internal/unit"
)

// The loft of these tests, invented: two watched machines, one on wheels that shares a carried hose, a gate by hand, an idle gate.
const loft = `winnow: 1
name: Fern Rise loft
units: si
site: {wiring: iec}
circuits:
  A: {breaker: 16 A, voltage: 230 V, wire: 2.5 mm², length: 12 m, outlets: {beam: {}, stair: {}}}
machines:
  saw: {kind: cabinet saw, plug: {outlet: beam}, port: {size: 100 mm, needs: {chips: 600 m³/h}}}
  planer: {kind: thickness planer, wheels: true, plug: {outlet: stair}, port: {size: 100 mm, needs: {chips: 700 m³/h}}}
  jointer: {kind: jointer, wheels: true, plug: {outlet: stair}, port: {size: 100 mm, needs: {chips: 700 m³/h}}}
  lathe: {kind: lathe, port: none, also starts: [cyclone]}
  band saw: {kind: band saw, port: {size: 100 mm}}
systems:
  cyclone:
    kind: collector
    device: contactor
    starting: {run-up: 4 s, keeps running: 15 s, coast-down: 30 s, rest at least: 80 s, run at least: 60 s, starts per hour: 8}
    runs:
      main:
        size: 125 mm
        pieces:
          - {wye: [saw drop, hose, band drop], make: two-way split}
          - {pipe: 2 m}
      saw drop: {from: saw, size: 100 mm, pieces: [{hose: 1 m}, {gate: saw gate, device: g1, travel: 1.5 s, end switches: open}]}
      hose: {from: [planer, jointer], size: 100 mm, pieces: [{hose: 4 m}, {gate: hose gate, device: g2, travel: 2 s}]}
      band drop: {from: band saw, size: 100 mm, pieces: [{hose: 1 m}, {gate: band gate, device: g3, travel: 1.5 s, idle: open}]}
control: {alarm after: 8 s, lost sensor holds: 10 min, stale after: 10 s}
sensors:
  saw clamp: {reads: current, machine: saw, starts at: 1 A, stops at: 0.5 A, device: c1}
  stair clamp: {reads: current, outlet: stair, starts at: 1.2 A, stops at: 0.6 A, device: c2}
  pull: {reads: suction, system: cyclone, starts at: 300 Pa, stops at: 150 Pa, device: p1}
`

func shopOf(t testing.TB, text string) *shop.Shop {
	t.Helper()
	doc, faults := file.Parse([]byte(text))
	for _, f := range faults {
		t.Fatal(f.Text("shop.yaml"))
	}
	s, _ := typical.Fill(doc.Shop())
	return s
}

// ways of the loft, written down by reading its runs.
func loftWays(machine, _, _ shop.ID) []Way {
	open := map[shop.ID]shop.ID{"saw": "saw gate", "planer": "hose gate", "jointer": "hose gate", "band saw": "band gate"}[machine]
	if open == "" {
		return nil
	}
	return []Way{{System: "cyclone", Open: []shop.ID{open}}}
}

func TestTheChartSaysWhatToOpenCarryAndStart(t *testing.T) {
	c := ChartOf(shopOf(t, loft), loftWays)
	if len(c.Lines) != 4 || !slices.Equal(c.Unserved, []shop.ID{"lathe"}) {
		t.Fatalf("%d lines, without extraction %v; want 4 and the lathe", len(c.Lines), c.Unserved)
	}
	// The waits are sums by hand: report 1 s, being sure 0.5 s, gate 1.5 or 2 s, run-up 4 s; by hand only the run-up.
	for i, want := range []struct {
		open, carry string
		starts      Starts
		wait        unit.Second
	}{
		{"saw gate", "", ByItself, 7}, {"hose gate", "hose", ByItself, 7.5}, {"hose gate", "hose", ByItself, 7.5}, {"band gate", "", ByYou, 4},
	} {
		l := c.Lines[i]
		if !slices.Equal(l.Open, []shop.ID{want.open}) || len(l.Shut) != 2 || l.Carry != want.carry || l.Starts != want.starts || l.Wait != want.wait {
			t.Errorf("%s: %+v, want %+v and two gates shut", l.Machine, l, want)
		}
	}
	if n := len(c.Findings); n != 3 {
		t.Errorf("%d machines are to wait for the light; want the 3 that start it by themselves", n)
	}
}

// 3 s to the end of the wait is common practice, without a source: at 3 s nothing is said, above it something is.
func TestWaitingForTheLightIsSaidAboveThreeSeconds(t *testing.T) {
	text := strings.Replace(loft, "jointer: {kind: jointer, wheels: true, plug: {outlet: stair}", "jointer: {kind: jointer, wheels: true, plug: {outlet: beam}", 1)
	for runUp, want := range map[string]int{"run-up: 4 s": 2, "run-up: 0 s": 1} { // at 0 s the saw waits 1 + 0.5 + 1.5 s, the planer 3.5 s
		c := ChartOf(shopOf(t, strings.Replace(text, "run-up: 4 s", runUp, 1)), loftWays)
		if len(c.Findings) != want {
			t.Errorf("%s: %d machines wait for the light, want %d", runUp, len(c.Findings), want)
		}
	}
}

func TestThePlantIsReadFromTheFile(t *testing.T) {
	plants, found := PlantsOf(shopOf(t, loft), loftWays, nil)
	if len(plants) != 1 {
		t.Fatalf("%d plants; %v", len(plants), found)
	}
	p := plants[0]
	if len(p.Gates) != 3 || p.Gates[0].Proof != BySwitch || p.Gates[1].Proof != ByTravel || p.Idle != 0b100 || p.Rescue != 0b100 {
		t.Errorf("gates %+v, idle %b, rescue %b", p.Gates, p.Idle, p.Rescue)
	}
	if len(p.Stations) != 2 || p.Stations[0].Gates != 0b001 || p.Stations[1].Gates != 0b010 || !slices.Equal(p.Stations[1].Machines, []shop.ID{"planer", "jointer"}) {
		t.Errorf("stations %+v", p.Stations)
	}
	if p.Stations[0].Keep != 15000 || p.Coast != 30000 || p.Starts != 8 || !p.Proved || p.ProvedAt != 3000 {
		t.Errorf("times and levels: %+v", p)
	}
	var said []string
	for _, f := range found {
		said = append(said, f.Code.Name)
	}
	if !slices.Equal(said, []string{"machine-not-watched", "machine-not-watched"}) { // the lathe starts it too, and the band saw
		t.Errorf("found %v", said)
	}
}

// What is wrong in the file is told, and where it is unsafe no plant is made.
func TestWhatThePlantRefuses(t *testing.T) {
	for _, x := range []struct {
		name, old, new, code string
		plants               int
	}{
		{"a metering switch at the saw", "device: contactor", "device: c1", "switches-a-machine", 0},
		{"a gate on the switch of an outlet", "device: g2", "device: c2", "switches-a-machine", 0},
		{"levels the wrong way round", "starts at: 1 A, stops at: 0.5 A", "starts at: 0.5 A, stops at: 1 A", "stops-above-start", 0},
		{"no switch", "    device: contactor\n", "", "started-by-hand", 0},
		{"no proof", "reads: suction", "reads: filter pressure", "air-not-proved", 1},
		{"no gate left open", ", idle: open", "", "no-gate-left-open", 1},
		{"a gate by hand", ", device: g2", "", "gates-partly-by-hand", 1},
		{"no sensors", "reads: current", "reads: temperature", "nothing-starts-it", 0},
	} {
		t.Run(x.name, func(t *testing.T) {
			text := strings.ReplaceAll(loft, x.old, x.new)
			if text == loft {
				t.Fatal("nothing was changed")
			}
			if x.code == "nothing-starts-it" {
				text = strings.NewReplacer(", starts at: 1 A, stops at: 0.5 A", "", ", starts at: 1.2 A, stops at: 0.6 A", "").Replace(text)
			}
			if x.code == "air-not-proved" {
				text = strings.Replace(text, ", starts at: 300 Pa, stops at: 150 Pa", "", 1)
			}
			plants, found := PlantsOf(shopOf(t, text), loftWays, nil)
			if !slices.ContainsFunc(found, func(f shop.Finding) bool { return f.Code.Name == x.code }) || len(plants) != x.plants {
				t.Errorf("%d plants, found %v; want %d and %s", len(plants), found, x.plants, x.code)
			}
			for _, f := range found {
				if s := f.Sentence(unit.SI); strings.ContainsAny(s, "{}") {
					t.Errorf("%s: a word is missing: %s", f.Code.Name, s)
				}
			}
		})
	}
}

func TestEverySetOfStationsIsAskedOnce(t *testing.T) {
	slow := &shop.Code{Name: SlowSet}
	s := shopOf(t, strings.Replace(loft, "control: {", "control: {slow set: bleed gate, bleed gate: band gate, ", 1))
	asked := 0
	plants, _ := PlantsOf(s, loftWays, func(running []shop.ID) (bool, *shop.Code) {
		asked++
		if len(running) == 2 {
			return false, slow
		}
		if running[0] == "saw" {
			return true, slow
		}
		return true, nil
	})
	if got, want := plants[0].sets, []SetVerdict{SetFine, SetBleed, SetFine, SetRefuse}; asked != 3 || !slices.Equal(got, want) {
		t.Errorf("asked %d times: %v, want %v", asked, got, want)
	}
}

// One more open gate cures slow air; from machines that have too little it takes more.
func TestNoBleedGateIsOpenedForAWeakSet(t *testing.T) {
	for file, want := range map[string]SetVerdict{"slow set: bleed gate, bleed gate: band gate": SetWarn, "slow set: refuse": SetRefuse} {
		s := shopOf(t, strings.Replace(loft, "control: {", "control: {"+file+", ", 1))
		plants, _ := PlantsOf(s, loftWays, func(running []shop.ID) (bool, *shop.Code) { return true, &shop.Code{Name: WeakSet} })
		if got := plants[0].sets[1]; got != want {
			t.Errorf("%s: %v, want %v", file, got, want)
		}
	}
}

// The sets are told apart by what they came to and why; of each kind those that hold no smaller one are named.
func TestTheReasonsOfTheSetsAreCounted(t *testing.T) {
	p := four(0)
	trips, slow := &shop.Code{Name: "circuit-trips"}, &shop.Code{Name: SlowSet}
	p.why = make([]*shop.Code, 16)
	for set := range Mask(16) {
		switch {
		case set&3 == 3: // A and B on one circuit
			p.sets[set], p.why[set] = SetRefuse, trips
		case set&4 != 0:
			p.sets[set], p.why[set] = SetBleed, slow
		default:
			p.sets[set] = SetFine
		}
	}
	want := []SetReason{
		{"with the bleed gate", SlowSet, 6, [][]string{{"C0"}}},
		{"refused", "circuit-trips", 4, [][]string{{"A", "B"}}},
	}
	if got := p.Sets(); !reflect.DeepEqual(got.Why, want) || got.Asked != 15 || got.Refuse != 4 || got.Bleed != 6 {
		t.Errorf("got %+v, want %+v", got, want)
	}
}

// Rule 11: the fan is proved by suction, or else by the current of its own motor; a gate that is shut it cannot tell by that.
func TestTheMotorsCurrentProvesTheFan(t *testing.T) {
	motor := "fan clamp: {reads: current, system: cyclone, starts at: 6 A, stops at: 3 A, device: p1}"
	for _, x := range []struct {
		name, sensors, proof string
		at, below            int32
	}{
		{"suction alone", "pull: {reads: suction, system: cyclone, starts at: 300 Pa, stops at: 150 Pa, device: p1}", "pull", 3000, 1500},
		{"current alone", motor, "fan clamp", 6000, 3000},
		{"suction first", motor + "\n  pull: {reads: suction, system: cyclone, starts at: 300 Pa, stops at: 150 Pa, device: p2}", "pull", 3000, 1500},
	} {
		t.Run(x.name, func(t *testing.T) {
			text := strings.Replace(loft, "pull: {reads: suction, system: cyclone, starts at: 300 Pa, stops at: 150 Pa, device: p1}", x.sensors, 1)
			plants, found := PlantsOf(shopOf(t, text), loftWays, nil)
			p := plants[0]
			if !p.Proved || p.ProofIs != x.proof || p.ProvedAt != x.at || p.NotProved != x.below || len(p.Stations) != 2 {
				t.Errorf("proof %q at %d, not below %d, %d stations", p.ProofIs, p.ProvedAt, p.NotProved, len(p.Stations))
			}
			if slices.ContainsFunc(found, func(f shop.Finding) bool { return f.Code == CodeNotProvable }) {
				t.Error("said to be not provable")
			}
			if x.proof != "fan clamp" {
				return
			}
			lines := played(t, p, "60 s  saw on\n90 s  end")
			if ready := when(lines, "lamp: ready", 60); ready != 66 { // 0.5 s to be sure, 1.5 s of gate, 4 s of run-up: then the motor draws
				t.Errorf("the lamp comes at %.2f s, want 66 s\n%s", ready, strings.Join(lines, "\n"))
			}
		})
	}
}

// Rule 4: the last chips arrive. Trade, common practice without a source (case tl-stop-last-tool): run-down and way add up.
func TestTheFanKeepsRunningUntilTheLastChipsArrive(t *testing.T) {
	slow := func(machine, setup, place shop.ID) []Way {
		ways := loftWays(machine, setup, place)
		for i := range ways {
			ways[i].Clears = 7.5
		}
		return ways
	}
	plants, _ := PlantsOf(shopOf(t, loft), slow, nil)
	if got := plants[0].Stations[0].Keep; got != 17500 { // 10 s of run-down and 7.5 s of pipe are more than the 15 s of the file
		t.Errorf("keeps running %d ms, want 17500", got)
	}
}

// Rule 19: only where machine and collector hang on one breaker does our start wait.
func TestOurStartWaitsOnASharedCircuit(t *testing.T) {
	for _, x := range []struct {
		plug  string
		waits bool
	}{{"", false}, {"    plug: {outlet: stair}\n", true}} {
		text := strings.Replace(loft, "    device: contactor\n", "    device: contactor\n"+x.plug, 1)
		plants, _ := PlantsOf(shopOf(t, text), loftWays, nil)
		if got := plants[0].Stations[0].RunUp; (got > 0) != x.waits {
			t.Errorf("collector plugged in at %q: the start waits %d ms", x.plug, got)
		}
	}
}
