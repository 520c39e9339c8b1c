package gates

import "slices"

// pair are two stations that nothing tells apart but their names, and the gates that only one of them opens, in the order in which they
// answer to each other. Exchanging both in a world gives a world to which the same can happen, under other names; so one of the two is
// looked at for both. Where the two are rivals, it matters who is asked first which of them is admitted: then both orders are looked at.
type pair struct {
	i, j   int
	gates  [][2]int
	rivals bool
}

// alike finds the pairs of a plant. Two stations are alike when they have the same constants and gates of one kind that nobody else
// uses, and when every set of stations has the verdict of the set with the two exchanged. Rivals are taken up only where they have no
// third of their kind.
func alike(p *Plant) (pairs []pair) {
	var of [MaxStations]int
	for j := range p.Stations {
		for i := range j {
			if x, ok := p.pairOf(i, j); ok {
				pairs = append(pairs, x)
				of[i]++
				of[j]++
			}
		}
	}
	return slices.DeleteFunc(pairs, func(x pair) bool { return x.rivals && (of[x.i] > 1 || of[x.j] > 1) })
}

func (p *Plant) pairOf(i, j int) (pair, bool) {
	a, b := &p.Stations[i], &p.Stations[j]
	x := pair{i: i, j: j, rivals: p.rivals(i, j)}
	if a.Keep != b.Keep || a.RunUp != b.RunUp || !p.alikeInSets(i, j) {
		return x, false
	}
	if a.Gates == b.Gates {
		return x, true
	}
	shared := p.Idle | p.Bleed | p.Rescue
	for n := range p.Stations {
		if n != i && n != j {
			shared |= p.Stations[n].Gates
		}
	}
	as, bs := numbers(a.Gates), numbers(b.Gates)
	if (a.Gates|b.Gates)&shared != 0 || a.Gates&b.Gates != 0 || len(as) != len(bs) {
		return x, false
	}
	for n := range as {
		g, h := p.Gates[as[n]], p.Gates[bs[n]]
		if g.Proof != h.Proof || g.Travel != h.Travel || g.TimeOut != h.TimeOut {
			return x, false
		}
		x.gates = append(x.gates, [2]int{as[n], bs[n]})
	}
	return x, true
}

func (p *Plant) alikeInSets(i, j int) bool {
	for set := range Mask(len(p.sets)) {
		if p.verdict(set) != p.verdict(exchange(set, i, j)) {
			return false
		}
	}
	return true
}

// rivals reports whether one of two is ever the reason of a refusal.
func (p *Plant) rivals(i, j int) bool {
	for set := range Mask(len(p.sets)) {
		for _, n := range [...]int{i, j} {
			if (p.verdict(set) == SetRefuse) != (p.verdict(set&^(1<<n)) == SetRefuse) {
				return true
			}
		}
	}
	return false
}

// numbers are the members of a set.
func numbers(m Mask) (n []int) {
	for i := range MaxGates {
		if m.has(i) {
			n = append(n, i)
		}
	}
	return n
}

// exchange swaps two members of a set.
func exchange(m Mask, i, j int) Mask {
	d := (m>>i ^ m>>j) & 1
	return m ^ d<<i ^ d<<j
}

// sort exchanges pairs until each is in order.
func (x *walker) sort(w *world) {
	for again := len(x.pairs) > 0; again; {
		again = false
		for n := range x.pairs {
			if p := &x.pairs[n]; x.order(w, p) > 0 {
				x.turn(w, p)
				again = true
			}
		}
	}
}

// order compares the two of a pair by all that is theirs: below zero, equal, or above. Timers go with the bits that armed them, but for
// those of the gates.
func (x *walker) order(w *world, p *pair) int {
	s, d := &w.s, &w.d
	for _, m := range [...]Mask{s.On, s.Seen, s.Keep, s.Edge, s.Admitted, s.Rising, s.Falling, s.Lost, s.AirDue, d.Machines, w.silent, w.sawOff, w.fresh} {
		if (m>>p.i^m>>p.j)&1 != 0 {
			return int(m>>p.i&1)*2 - 1
		}
	}
	for _, g := range p.gates {
		for _, m := range [...]Mask{s.CmdOpen, s.Open, s.Travels, s.Known, s.Fault, s.GateOut, d.AtOpen, d.GoOpen, d.Jam, d.Deaf} {
			if (m>>g[0]^m>>g[1])&1 != 0 {
				return int(m>>g[0]&1)*2 - 1
			}
		}
		h, k := x.slotOf[TimerGate+Timer(g[0])], x.slotOf[TimerGate+Timer(g[1])]
		if h < 0 {
			continue
		}
		if c := int(w.left[h]) - int(w.left[k]); c != 0 {
			return c
		}
		if c := int(w.gate[g[0]]) - int(w.gate[g[1]]); c != 0 {
			return c
		}
		if w.late.is && w.late.gate == int8(g[0]) {
			return 1
		}
		if w.late.is && w.late.gate == int8(g[1]) {
			return -1
		}
	}
	return 0
}

// turn exchanges the two of a pair, and their gates.
func (x *walker) turn(w *world, p *pair) {
	s, d := &w.s, &w.d
	for _, m := range [...]*Mask{&s.On, &s.Rising, &s.Falling, &s.Seen, &s.Edge, &s.Admitted, &s.Keep, &s.Lost, &s.AirDue, &d.Machines, &w.silent, &w.sawOff, &w.fresh} {
		*m = exchange(*m, p.i, p.j)
	}
	for _, kind := range [...]Timer{TimerOn, TimerOff, TimerKeep, TimerHold, TimerAir} {
		x.exchangeTimers(w, kind+Timer(p.i), kind+Timer(p.j))
	}
	for _, g := range p.gates {
		for _, m := range [...]*Mask{&s.CmdOpen, &s.Known, &s.Open, &s.Travels, &s.Fault, &s.GateOut, &d.AtOpen, &d.GoOpen, &d.Jam, &d.Deaf} {
			*m = exchange(*m, g[0], g[1])
		}
		x.exchangeTimers(w, TimerGate+Timer(g[0]), TimerGate+Timer(g[1]))
		w.gate[g[0]], w.gate[g[1]] = w.gate[g[1]], w.gate[g[0]]
		if w.late.is {
			switch int(w.late.gate) {
			case g[0]:
				w.late.gate = int8(g[1])
			case g[1]:
				w.late.gate = int8(g[0])
			}
		}
	}
}

func (x *walker) exchangeTimers(w *world, t, u Timer) {
	i, j := x.slotOf[t], x.slotOf[u]
	if i < 0 {
		return
	}
	w.left[i], w.left[j] = w.left[j], w.left[i]
}

// mirror makes a moment happen also to the worlds in which rivals have changed places, since there another may be admitted first.
func (x *walker) mirror(m moment) {
	now, only, found := x.now, x.only, x.found
	x.mirrored = true
	for set := 1; set < 1<<len(x.pairs); set++ {
		x.now = now
		its := m
		rivals := false
		for n := range x.pairs {
			if set>>n&1 == 1 {
				x.turn(&x.now, &x.pairs[n])
				its = x.turnMoment(its, &x.pairs[n])
				rivals = rivals || x.pairs[n].rivals
			}
		}
		if !rivals {
			continue
		}
		x.only = &its
		x.found = func(w *world, _ moment) { found(w, m) }
		x.successors(x.wrong)
	}
	x.now, x.only, x.found, x.mirrored = now, only, found, false
}

// turnMoment is what happens to the one of a pair, happening to the other.
func (x *walker) turnMoment(m moment, p *pair) moment {
	other := func(n, i, j int8) int8 {
		switch n {
		case i:
			return j
		case j:
			return i
		}
		return n
	}
	switch m.what {
	case mMachine, mBeat, mSilent, mSpeaks, mRest:
		m.index = other(m.index, int8(p.i), int8(p.j))
	case mArrive, mArriveLost, mArriveLate, mArriveTwice, mLate, mJam, mDeaf, mHears, mGateLost, mGateBack:
		for _, g := range p.gates {
			m.index = other(m.index, int8(g[0]), int8(g[1]))
		}
	case mTimer:
		t := x.slots[m.index]
		for _, kind := range [...]Timer{TimerOn, TimerOff, TimerKeep, TimerHold, TimerAir} {
			t = otherTimer(t, kind+Timer(p.i), kind+Timer(p.j))
		}
		for _, g := range p.gates {
			t = otherTimer(t, TimerGate+Timer(g[0]), TimerGate+Timer(g[1]))
		}
		m.index = x.slotOf[t]
	case mLinkBack:
		m.value = int8(exchange(Mask(m.value), p.i, p.j))
	}
	return m
}

func otherTimer(t, i, j Timer) Timer {
	switch t {
	case i:
		return j
	case j:
		return i
	}
	return t
}
