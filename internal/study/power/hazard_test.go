package power

import (
	"strings"
	"testing"

	"winnow/internal/shop"
	"winnow/internal/unit"
)

// What can burn or break comes before what trips, and the row of its circuit names it. NEC 240.4(D) [S-316]: 12 AWG on 60 A, 14 AWG on 20 A.
func TestADangerComesFirst(t *testing.T) {
	for wire, breaker := range map[string]string{"12 AWG": "60 A", "14 AWG": "20 A"} {
		r := studied(t, `winnow: 1
site: {wiring: us}
circuits:
  a: {breaker: `+breaker+`, voltage: 120 V, wire: `+wire+`, length: 20 ft, outlets: {a1: {}, a2: {}}}
  b: {breaker: 15 A, voltage: 120 V, wire: 14 AWG, length: 20 ft, outlets: {b1: {}, b2: {}}}
machines:
  saw: {kind: band saw, motor: {voltage: 120 V, current: 14 A}, plug: {outlet: a1}, port: {size: 4 in}}
  jointer: {kind: jointer, motor: {voltage: 120 V, current: 18 A}, plug: {outlet: b1}}
`)
		if len(r.Findings) == 0 || r.Findings[0].Code != CodeBreakerOverWire {
			t.Errorf("%s on %s: the first finding is %v", wire, breaker, r.Findings[0].Code.Name)
		}
		if d := r.Circuits[0].Danger; len(d) != 1 || !strings.Contains(d[0], "wire") {
			t.Errorf("%s on %s: the row of the circuit says %v", wire, breaker, d)
		}
		if d := r.Circuits[1].Danger; len(d) != 0 {
			t.Errorf("a sound circuit is said to have %v", d)
		}
	}
}

// A thin extension, a plug's fuse and a voltage that differs stand in the row of the circuit the load hangs on.
func TestADangerStandsAtItsCircuit(t *testing.T) {
	for name, want := range map[string]string{"thin-extension": "extension", "plug-fuse": "fuse", "voltage-differs": "voltage", "breaker-over-wire": "wire"} {
		r := studied(t, codeShops[name])
		if d := r.Circuits[0].Danger; len(d) != 1 || !strings.Contains(d[0], want) {
			t.Errorf("%s: the row of the circuit says %v", name, d)
		}
		if r.Findings[0].Code.Name != name {
			t.Errorf("%s: the first finding is %s", name, r.Findings[0].Code.Name)
		}
	}
}

// B opens at once between 3 and 5 times its rating, C between 5 and 10 (IEC 60898-1 tests d and e [S-311]): one start, two answers.
func TestTheLetterOfABreakerIsSaid(t *testing.T) {
	start := func(curve string) (Report, string) {
		r := studied(t, `winnow: 1
site: {wiring: iec}
circuits: {a: {breaker: 16 A, curve: `+curve+`, voltage: 230 V, wire: 2.5 mm², length: 12 m, outlets: {x: {}}}}
machines: {saw: {kind: cabinet saw, motor: {voltage: 230 V, current: 12 A}, plug: {outlet: x}}}
`)
		var all []string
		for _, f := range r.Findings {
			all = append(all, f.Sentence(unit.SI))
		}
		return r, strings.Join(all, "\n")
	}
	if r, said := start("B"); !strings.Contains(said, "B breaker") || r.Circuits[0].Worst.Chance < 0.3 {
		t.Errorf("72 A on B16, 4 times its rating (%s, chance %.2f): %s", r.Circuits[0].Worst.Instant, float64(r.Circuits[0].Worst.Chance), said)
	}
	if _, said := start("D"); strings.Contains(said, "at once") {
		t.Errorf("72 A on D16, under 10 times its rating: %s", said)
	}
}

// Two ways to open are independent: 1 - (1 - a)(1 - b). The chance is over the larger of the two.
func TestChancesOfHeatAndStartJoin(t *testing.T) {
	r := studied(t, `winnow: 1
site: {wiring: iec}
circuits: {a: {breaker: 16 A, curve: B, voltage: 230 V, wire: 2.5 mm², length: 30 m, outlets: {x: {}}}}
machines:
  lathe: {kind: lathe, motor: {voltage: 230 V, current: 14 A}, plug: {outlet: x}}
  saw: {kind: band saw, motor: {voltage: 230 V, current: 13 A}, plug: {outlet: x}}
routine: {together: [[lathe, saw]]}
`)
	g := r.grid
	h := r.set(t, "lathe and saw").on(t, "a")
	members := g.loadsOf(h.loads)
	most := 0.0
	for _, l := range members {
		joined, larger := 0.0, 0.0
		for _, p := range places {
			s := g.totals(members, p)
			total := g.startTotal(l, 0, s, p)
			heat, now := g.lines[0].breaker.Chance(append(stretch(total, l), s.work()...)), instant(g.lines[0].breaker, total)
			joined += (1 - (1-heat)*(1-now)) / 5
			larger += max(heat, now) / 5
		}
		if joined <= larger+1e-6 {
			t.Fatalf("heat and start do not both count for the %s: this shop shows nothing", l.Name)
		}
		most = max(most, joined)
	}
	if !near(float64(h.Chance), most) {
		t.Errorf("chance %.4f, want %.4f", float64(h.Chance), most)
	}
}

// Little over the rating, no standard says when and breakers differ most: no time is given below 1.2 times it.
func TestNoTimeIsGivenLittleOverTheRating(t *testing.T) {
	idling := func(a string) string {
		r := studied(t, shed("other loads: {one: {outlet: a1, current: "+a+", start: "+a+", works: always}, two: {outlet: a2, current: 8 A, start: 8 A, works: always}}\n"))
		for _, f := range r.Findings {
			if f.Code == CodeMayTrip || f.Code == CodeTrips {
				return f.Sentence(unit.US)
			}
		}
		return ""
	}
	if s := idling("8.5 A"); !strings.Contains(s, "not sure") || strings.Contains(s, "from") { // 1.10 times
		t.Errorf("16.5 A on 15 A: %q", s)
	}
	if s := idling("10.9 A"); !strings.Contains(s, " from ") { // 1.26 times
		t.Errorf("18.9 A on 15 A: %q", s)
	}
}

func has(rs []shop.Remedy, code *shop.Code) int {
	for i, r := range rs {
		if r.What == code {
			return i
		}
	}
	return -1
}
