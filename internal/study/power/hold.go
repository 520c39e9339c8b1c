package power

import (
	"cmp"
	"math"
	"slices"

	"winnow/internal/physics/circuit"
	"winnow/internal/shop"
	"winnow/internal/unit"
)

// What a usual piece of work between two rests is taken to be: ten minutes of cutting, one of them with the machine at its full plate, and
// ten of idling. All out is two minutes with everything at its plate. Judgement [S-341], said on every output.
const (
	cutting = 540.0
	hardest = 60.0
	idling  = 600.0
	allOut  = 120.0
)

// Chances from which a caution is given, and from which it fails.
const (
	cautionFrom = 0.10
	failsFrom   = 0.50
)

// Share is one load's part of what a circuit carries.
type Share struct {
	Name shop.ID     `json:"name"`
	Idle unit.Ampere `json:"idle_a"`
	Cut  unit.Ampere `json:"cut_a"`
	Full unit.Ampere `json:"full_a"`
}

// Times is the band within which a breaker trips at a steady current; nil where it need not, or cannot.
type Times struct {
	May  *unit.Second `json:"may_s,omitempty"`
	Must *unit.Second `json:"must_s,omitempty"`
}

// Held is the answer to "will it hold" for one circuit and one set.
type Held struct {
	Circuit shop.ID         `json:"circuit"`
	Verdict circuit.Verdict `json:"-"`
	Word    string          `json:"verdict"`
	Rating  unit.Ampere     `json:"rating_a"`
	Idle    unit.Ampere     `json:"idle_a"`       // everything on, nothing being cut
	Cut     unit.Ampere     `json:"cut_a"`        // at a typical cut
	Full    unit.Ampere     `json:"full_a"`       // everything at its plate, what is switched by hand too
	Chance  unit.Fraction   `json:"chance_share"` // that the usual piece of work trips it
	FullOn  unit.Fraction   `json:"full_chance_share"`

	AtIdle Times `json:"at_idle"`
	AtCut  Times `json:"at_cut"`
	AtFull Times `json:"at_full"`

	Starter      shop.ID     `json:"starter,omitempty"` // whose start is the worst
	StartTotal   unit.Ampere `json:"start_total_a,omitempty"`
	StartLasts   unit.Second `json:"start_lasts_s,omitempty"`
	BecauseStart bool        `json:"because_of_a_start,omitempty"` // without that start it would pass
	Curve        string      `json:"curve,omitempty"`              // letter of the breaker, where that start may open it at once
	Instant      string      `json:"instant_trip,omitempty"`       // magnetic trip at that start
	NotKnown     []shop.ID   `json:"not_known,omitempty"`          // loads whose current is not known
	Loads        []Share     `json:"loads"`
	loads        mask
	orderMatters bool // the start is harmless when it comes first
}

type question struct {
	circuit int
	loads   mask
}

// judge answers for one circuit and the loads on it. The loads must be those on that circuit. Adding one never makes the verdict milder.
func (g *Grid) judge(c int, on mask) Held {
	q := question{c, on}
	if h, ok := g.memo[q]; ok {
		return h
	}
	h := g.work(c, on)
	g.memo[q] = h
	return h
}

// work is judge without its memory.
func (g *Grid) work(c int, on mask) Held {
	ln := &g.lines[c]
	h := Held{Circuit: ln.name, Rating: ln.breaker.Rating, loads: on, Loads: []Share{}}
	var members []*Load
	on.each(func(i int) { members = append(members, g.loads[i]) })
	for _, l := range members {
		h.Loads = append(h.Loads, Share{l.Name, l.idle[1], l.cut[1], l.full[1]})
		if !l.Known {
			h.NotKnown = append(h.NotKnown, l.Name)
		}
	}
	sum := g.totals(members, 0)
	h.Idle, h.Cut, h.Full = sum.idle, sum.cut, sum.full
	if !ln.known {
		h.Verdict = circuit.Unknown
		h.Word = h.Verdict.String()
		return h
	}
	b := ln.breaker
	h.AtIdle, h.AtCut, h.AtFull = times(b, h.Idle), times(b, h.Cut), times(b, h.Full)
	g.chances(&h, c, members)
	must := b.Damage(sum.work(), 1) >= 1
	switch {
	case must || h.Chance > failsFrom:
		h.Verdict = circuit.Trips
	case len(h.NotKnown) > 0:
		h.Verdict = circuit.Unknown
	case h.Chance >= cautionFrom || h.FullOn >= cautionFrom:
		h.Verdict = circuit.MayTrip
	}
	h.Word = h.Verdict.String()
	return h
}

// sums are what a circuit carries: idling, at a typical cut and at a hard one with as many machines cutting as there are people, all out.
type sums struct{ idle, cut, hard, full unit.Ampere }

// work is the usual piece of work.
func (s sums) work() []circuit.Stretch {
	return []circuit.Stretch{{Current: s.cut, Lasts: cutting}, {Current: s.hard, Lasts: hardest}, {Current: s.idle, Lasts: idling}}
}

// totals adds currents up at a place in the bands.
func (g *Grid) totals(members []*Load, place float64) sums {
	var s sums
	var cut, hard []unit.Ampere
	for _, l := range members {
		s.full += l.full.at(place)
		if l.byHand {
			continue
		}
		idle := l.idle.at(place)
		s.idle += idle
		if l.cuts {
			cut = append(cut, max(0, l.cut.at(place)-idle))
			hard = append(hard, max(0, l.full.at(place)-idle))
		}
	}
	s.cut, s.hard = s.idle+g.hands(cut), s.idle+g.hands(hard)
	s.full = max(s.full, s.hard)
	return s
}

// hands adds up the biggest, as many as there are people.
func (g *Grid) hands(extra []unit.Ampere) unit.Ampere {
	slices.SortFunc(extra, func(a, b unit.Ampere) int { return cmp.Compare(b, a) })
	var sum unit.Ampere
	for _, e := range extra[:min(g.people, len(extra))] {
		sum += e
	}
	return sum
}

func times(b circuit.Breaker, i unit.Ampere) Times {
	finite := func(t unit.Second) *unit.Second {
		if math.IsInf(float64(t), 1) {
			return nil
		}
		return &t
	}
	m := float64(i / b.Rating)
	return Times{finite(b.May(m)), finite(b.Must(m))}
}

// chances fills in how likely the usual piece of work and the all-out one trip, over devices and over how hard the work is; and which
// start is the worst.
func (g *Grid) chances(h *Held, c int, members []*Load) {
	b := g.lines[c].breaker
	if g.peak(c, members) <= b.Rating { // nothing can happen: at most the rating, start and all
		return
	}
	var plain, alone float64
	worst := make([]float64, len(members))
	first := make([]float64, len(members))
	for _, p := range places {
		sum := g.totals(members, p)
		work := sum.work()
		plain += b.Chance(work)
		alone += b.Chance([]circuit.Stretch{{Current: sum.full, Lasts: allOut}})
		for i, l := range members {
			if !l.starts() {
				continue
			}
			total := g.startTotal(l, c, sum, p)
			worst[i] += either(b.Chance(append(stretch(total, l), work...)), instant(b, total))
			by := g.through(l, c, l.start.at(p))
			first[i] += either(b.Chance(append(stretch(by, l), work...)), instant(b, by))
		}
	}
	n := float64(len(places))
	h.Chance, h.FullOn = unit.Fraction(plain/n), unit.Fraction(alone/n)
	for i, l := range members {
		if w := unit.Fraction(worst[i] / n); l.starts() && (h.Starter == "" || w > h.Chance) {
			total := g.startTotal(l, c, g.totals(members, 0), 0)
			if w <= h.Chance && total <= h.StartTotal {
				continue
			}
			h.Starter, h.StartTotal, h.StartLasts = l.Name, total, l.lasts[1]
			h.BecauseStart = w >= cautionFrom && plain/n < cautionFrom && h.FullOn < cautionFrom
			h.orderMatters = h.BecauseStart && !l.StartsItself && first[i]/n < cautionFrom
			h.Chance = max(h.Chance, w)
			h.Instant, h.Curve = b.Magnetic(float64(total/b.Rating)).String(), ""
			if v := b.Magnetic(float64(total / b.Rating)); v == circuit.MayTrip || v == circuit.Trips {
				h.Curve = b.Curve
			}
		}
	}
}

// either joins the chances of two ways to open: heat and magnet are set by parts of a breaker that do not know of each other.
func either(a, b float64) float64 { return 1 - (1-a)*(1-b) }

func stretch(i unit.Ampere, l *Load) []circuit.Stretch {
	return []circuit.Stretch{{Current: i, Lasts: l.lasts[1]}}
}

func (l *Load) starts() bool { return l.start[1] > l.full[1] && !l.byHand }

// startTotal is what flows while one load starts last, at a place in the bands: the others idle, or cut where it starts by itself.
func (g *Grid) startTotal(l *Load, c int, s sums, place float64) unit.Ampere {
	base := s.idle
	if l.StartsItself {
		base = s.cut
	}
	return base - l.idle.at(place) + g.through(l, c, l.start.at(place))
}

// peak is more than can ever flow on a circuit: everything at its highest and the biggest start on top.
func (g *Grid) peak(c int, members []*Load) unit.Ampere {
	var sum, start unit.Ampere
	for _, l := range members {
		sum += max(l.full[2], l.cut[2], l.idle[2])
		start = max(start, l.start[2])
	}
	return sum + start
}

// instant is the share of breakers that open at once at a start, spread in the logarithm between the two multiples of the letter. 0 where
// no point is fixed.
func instant(b circuit.Breaker, total unit.Ampere) float64 {
	low, high, ok := b.MagneticBand()
	m := float64(total / b.Rating)
	switch {
	case !ok || m <= low:
		return 0
	case m >= high:
		return 1
	}
	return circuit.Spread(math.Log(m/low) / math.Log(high/low))
}

// on are the loads of a set that hang on a circuit.
func (g *Grid) on(c int, set mask) mask {
	var m mask
	set.each(func(i int) {
		if g.loads[i].circuit == c {
			m.put(i)
		}
	})
	return m
}
