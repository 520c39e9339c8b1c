package gates

import (
	"fmt"
	"math/bits"
	"slices"
)

// Usual are the runs of `winnow gates prove`, the quick ones first. What each leaves out another looks at: docs/gates.md, "The proof".
func (p *Plant) Usual() []Dials {
	most := len(p.Stations)
	dials := []Dials{{Name: "in every order, one thing going wrong", Stations: 1, Whole: true, Faults: 1}}
	if most >= 2 {
		dials = append(dials, Dials{Name: "in every order, nothing going wrong", Stations: 2, Whole: true})
	}
	if most >= 3 {
		dials = append(dials,
			Dials{Name: "and any number of others, in brief, nothing going wrong", Stations: 1, Rest: true, Brief: true, Alike: true},
			Dials{Name: "and any number of others, in brief, nothing going wrong", Stations: 2, Rest: true, Brief: true, Alike: true},
			Dials{Name: "in brief, nothing going wrong", Stations: min(most, 5), Brief: true, Alike: true},
			Dials{Name: "in brief, one thing going wrong", Stations: min(most, 4), Brief: true, Alike: true, Faults: 1})
	}
	if most == 2 {
		dials = append(dials, Dials{Name: "in every order, one thing going wrong", Stations: 2, Alike: true, Faults: 1})
	}
	if most >= 2 {
		dials = append(dials, Dials{Name: "by the clock, one thing going wrong", Stations: 2, Timed: true, Alike: true, Faults: 1})
	}
	for i := range dials {
		dials[i] = p.sized(dials[i])
	}
	return dials
}

const mostWorlds = 12_000_000 // about 800 MB

// sized has as many stations as can be packed, and its name tells how many.
func (p *Plant) sized(d Dials) Dials {
	d.States = mostWorlds
	for d.Stations > 1 {
		if _, err := newRoom(p, d, Step); err == nil {
			break
		}
		d.Stations--
	}
	how := [...]string{"", "one machine", "two machines", "three machines", "four machines", "five machines"}[d.Stations]
	if !d.Rest {
		how += ","
	}
	d.Name = how + " " + d.Name
	return d
}

// SetCount says how the sets of stations that may run at once came out.
type SetCount struct {
	Asked  int         `json:"asked"`
	Bleed  int         `json:"with_bleed_gate"`
	Warn   int         `json:"warned"`
	Refuse int         `json:"refused"`
	Alone  []SetByName `json:"machines_alone,omitempty"` // those that are not simply fine
	Why    []SetReason `json:"why,omitempty"`            // by verdict and reason
}

// SetReason counts the sets that came out one way for one reason, and names those of them that hold no smaller one: every other holds
// one of these.
type SetReason struct {
	Verdict  string     `json:"verdict"`
	Reason   string     `json:"reason"` // the code of the study that said so
	Count    int        `json:"count"`
	Smallest [][]string `json:"smallest"`
}

// SetByName is one station alone, by the words of its verdict.
type SetByName struct {
	Station string `json:"station"`
	Verdict string `json:"verdict"`
}

func (v SetVerdict) String() string {
	return [...]string{"fine", "with the bleed gate", "refused", "warned"}[v]
}

// Sets counts them: all 2^n up to 10 stations; above that each alone, and the rest is warned of.
func (p *Plant) Sets() SetCount {
	var c SetCount
	for set, v := range p.sets {
		if set == 0 {
			continue
		}
		c.Asked++
		switch v {
		case SetBleed:
			c.Bleed++
		case SetWarn:
			c.Warn++
		case SetRefuse:
			c.Refuse++
		}
	}
	c.Why = p.reasons()
	for i, s := range p.Stations {
		if v := p.verdict(1 << i); v != SetFine {
			c.Alone = append(c.Alone, SetByName{s.Name, v.String()})
		}
	}
	return c
}

// reasons tells the sets that are not simply fine apart, the smaller sets first.
func (p *Plant) reasons() []SetReason {
	var reasons []SetReason
	smallest := map[int][]Mask{}
	for size := 1; size <= len(p.Stations); size++ {
		for set := range Mask(len(p.sets)) {
			if bits.OnesCount16(uint16(set)) != size || p.verdict(set) == SetFine || p.reason(set) == "" {
				continue
			}
			n := slices.IndexFunc(reasons, func(r SetReason) bool { return r.Verdict == p.verdict(set).String() && r.Reason == p.reason(set) })
			if n < 0 {
				n = len(reasons)
				reasons = append(reasons, SetReason{Verdict: p.verdict(set).String(), Reason: p.reason(set)})
			}
			reasons[n].Count++
			if !slices.ContainsFunc(smallest[n], func(less Mask) bool { return less&^set == 0 }) {
				smallest[n] = append(smallest[n], set)
				reasons[n].Smallest = append(reasons[n].Smallest, p.named(set))
			}
		}
	}
	return reasons
}

func (p *Plant) reason(set Mask) string {
	if int(set) < len(p.why) && p.why[set] != nil {
		return p.why[set].Name
	}
	return ""
}

func (p *Plant) named(set Mask) (names []string) {
	for i, s := range p.Stations {
		if set.has(i) {
			names = append(names, s.Name)
		}
	}
	return names
}

// NotCovered says in words what the runs leave out.
func (p *Plant) NotCovered() []string {
	out := []string{
		"Two things going wrong at once, a gate that lies about its end switch, and a run contact that welds shut.",
		"Travel and coast-down longer than the file says: measure them.",
		"By the clock, travel and coast-down are small whole ticks in the same order; every other time may be of any length.",
		"The wires, the broker and the loop that drives the controller: only the controller itself is explored.",
		"Rule 18 rests on a relay that drops by itself; rules 20 and 21 are held by tests of the program.",
	}
	if n := len(p.Stations); n > 4 {
		out = append(out, fmt.Sprintf("More than 4 of the %d machines with one thing going wrong, or 5 with nothing: machines are taken in the order of the file. "+
			"Beside the first one or two the others are free, with nothing going wrong.", n))
	}
	if p.sharesGates() {
		out = append(out, "Beside others, that another machine opens the same gate.")
	}
	for _, g := range p.Gates {
		if g.Proof == ByHand {
			return append(out, "Gates moved by hand: they are taken to be open when their machine runs. You answer for that.")
		}
	}
	return out
}

// sharesGates reports whether two stations open the same gate.
func (p *Plant) sharesGates() bool {
	var seen Mask
	for _, s := range p.Stations {
		if s.Gates&seen&^p.Bleed != 0 {
			return true
		}
		seen |= s.Gates
	}
	return false
}
