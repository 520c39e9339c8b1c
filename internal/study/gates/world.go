package gates

import "fmt"

// stepper is Step, or a mutant of it.
type stepper func(p *Plant, s State, in Input, out []Command) (State, []Command)

const (
	proofGates = 8
	proofSlots = 40
)

// world is the controller and its devices at one moment, as the proof sees them. It is comparable: it is its own key.
type world struct {
	s      State
	d      Devices
	left   [proofSlots]uint8 // ticks to go plus one; untimed: 1 where armed
	gate   [proofGates]uint8 // timed: ticks until the gate arrives
	coast  uint8
	silent Mask
	sawOff Mask // ghost: a start of this machine may count
	fresh  Mask // ghost: started where it counts
	person bool // ghost: a person started
	faults uint8
	hand   bool // ghost: the selector was on HAND, or a fault happened: what is physically so is no longer vouched for
	late   lateWord
	rest   uint8 // which verdict the sets with others have
}

// lateWord is the word of an end switch that is still on its way.
type lateWord struct {
	is   bool
	gate int8
	open bool
}

// moment is one thing that may happen in the world.
type moment struct {
	what  momentKind
	index int8
	value int8
}

type momentKind uint8

const (
	mBegin momentKind = iota
	mMachine
	mBeat
	mTimer
	mArrive
	mArriveLost
	mArriveLate
	mArriveTwice
	mLate
	mFeel
	mButtons
	mEmergency
	mLock
	mSelector
	mJam
	mDeaf
	mHears
	mSilent
	mSpeaks
	mGateLost
	mGateBack
	mPower
	mLinkLost
	mLinkBack
	mDrops
	mAssert
	mTick
	mRest
	mVerdict
	mStall
)

// room is what does not change while a proof goes on.
type room struct {
	p        *Plant
	dials    Dials
	step     stepper
	slots    []Timer // of each slot
	slotOf   [timers]int8
	pairs    []pair
	full     int                  // the first so many stations are looked at in full,
	gates    int                  // with the first so many gates; what comes behind stands for the rest
	plants   [restVerdicts]*Plant // by world.rest
	wide     uint                 // bits of a counter of ticks
	counters int                  // the first so many slots run by ticks, where there is a clock; the others fire at any time
}

func newRoom(p *Plant, d Dials, step stepper) (*room, error) {
	small, err := p.Small(d.Stations)
	if err != nil {
		return nil, err
	}
	small = small.scaled()
	if !d.Whole {
		small.RunAtLeast = 0 // to the rest it is one more reason to stop later, like the starts of the hour
	}
	r := &room{p: small, dials: d, step: step, wide: 1}
	if d.Timed {
		r.wide = ticksWide
	}
	r.full, r.gates = len(small.Stations), len(small.Gates)
	for v := range r.plants {
		r.plants[v] = small
	}
	if d.Rest {
		r.plants = small.withRest()
		r.p = r.plants[0]
	}
	r.nameSlots()
	if d.Alike {
		r.pairs = alike(r.plants[restRefused])
	}
	return r, r.fits()
}

// nameSlots gives each timer its place. First those that run by ticks: they wait for a gate or for the fan. All others may fire at any
// time, which is more than any clock allows: whatever holds for that holds in time.
func (x *room) nameSlots() {
	for i := range x.slotOf {
		x.slotOf[i] = -1
	}
	add := func(t Timer) {
		x.slotOf[t] = int8(len(x.slots))
		x.slots = append(x.slots, t)
	}
	for g := range x.gates {
		add(TimerGate + Timer(g))
	}
	add(TimerCoast)
	add(TimerRescue)
	x.counters = len(x.slots)
	for i := range x.full {
		for _, kind := range []Timer{TimerOn, TimerOff, TimerKeep, TimerHold, TimerAir} {
			add(kind + Timer(i))
		}
	}
	for i := range x.p.Starts {
		add(TimerStart + Timer(i))
	}
	for _, t := range []Timer{TimerRun, TimerDelay, TimerRunUp, TimerBlocked} {
		add(t)
	}
}

// Small is the plant cut down to its first n stations and their gates, with the gates left open and the bleed gate.
func (p *Plant) Small(n int) (*Plant, error) {
	if n > len(p.Stations) {
		return nil, fmt.Errorf("%s has %d stations, not %d", p.Name, len(p.Stations), n)
	}
	keep := p.Idle | p.Bleed | p.Rescue
	for _, s := range p.Stations[:n] {
		keep |= s.Gates
	}
	q := *p
	q.Gates = nil
	var number [MaxGates]int
	for i, g := range p.Gates {
		if keep.has(i) {
			number[i] = len(q.Gates)
			q.Gates = append(q.Gates, g)
		}
	}
	if len(q.Gates) > proofGates {
		return nil, fmt.Errorf("%d stations of %s have %d gates; the proof holds %d", n, p.Name, len(q.Gates), proofGates)
	}
	again := func(m Mask) (to Mask) {
		for i := range p.Gates {
			if m.has(i) && keep.has(i) {
				to |= 1 << number[i]
			}
		}
		return to
	}
	q.Idle, q.Bleed, q.Rescue = again(p.Idle), again(p.Bleed), again(p.Rescue)
	q.Stations = append([]Station(nil), p.Stations[:n]...)
	for i := range q.Stations {
		q.Stations[i].Gates = again(q.Stations[i].Gates)
	}
	q.sets = p.sets[:1<<n]
	return &q, nil
}

// scaled keeps the order of the times in small whole ticks: debounce < travel < time-out < keeps running < coast < rest.
func (p *Plant) scaled() *Plant {
	q := *p
	q.Gates = append([]Gate(nil), p.Gates...)
	for i := range q.Gates {
		q.Gates[i].Travel, q.Gates[i].TimeOut = 2, 3
	}
	q.Stations = append([]Station(nil), p.Stations...)
	for i := range q.Stations {
		q.Stations[i].Keep = 4
		q.Stations[i].RunUp = min(1, q.Stations[i].RunUp)
	}
	q.OnDelay, q.OffDelay, q.RunUp, q.Coast, q.Reassert, q.Rest = 1, 1, 1, 5, 1, 7
	q.RunAtLeast = min(3, q.RunAtLeast)
	q.AlarmAfter, q.Hold, q.Starts = 4, 5, 1
	return &q
}

// story tells a timeline in words.
func (x *room) story(r *ProofResult) []string {
	lines := []string{"power on, all at rest"}
	for _, m := range r.moments {
		lines = append(lines, x.words(m))
	}
	return append(lines, fmt.Sprintf("BROKEN, rule %d: %s", r.Broken, r.Why))
}

func (x *room) words(m moment) string {
	gate := func() string { return x.p.Gates[m.index].Name }
	station := func() string { return x.p.Stations[m.index].Name }
	pick := func(names ...string) string { return names[m.value] }
	switch m.what {
	case mMachine:
		return station() + pick(" goes off", " goes on")
	case mBeat:
		return "the sensor of " + station() + " says it again"
	case mTimer:
		return "timer " + x.slots[m.index].String()
	case mArrive:
		return gate() + " arrives"
	case mArriveLost:
		return gate() + " arrives, and its switch is not heard"
	case mArriveLate:
		return gate() + " arrives, and its switch is late"
	case mArriveTwice:
		return gate() + " arrives, and its switch speaks twice"
	case mLate:
		return "the late word of " + gate() + " comes"
	case mFeel:
		return "the suction sensor speaks"
	case mButtons:
		return pick("", "start is pressed", "stop is pressed", "start and stop are pressed", "the alarm is acknowledged")
	case mEmergency:
		return pick("the emergency stop is released", "the emergency stop is pressed")
	case mLock:
		return pick("the lock flag is taken off", "the lock flag is set")
	case mSelector:
		return "the selector is turned to " + pick("AUTO", "OFF", "HAND")
	case mJam:
		return gate() + " jams"
	case mDeaf:
		return gate() + " hears nothing"
	case mHears:
		return gate() + " hears again"
	case mSilent:
		return "the sensor of " + station() + " falls silent"
	case mSpeaks:
		return "the sensor of " + station() + " speaks again"
	case mGateLost:
		return gate() + " gives no signal"
	case mGateBack:
		return gate() + " is back"
	case mPower:
		return "the power fails and returns"
	case mLinkLost:
		return "the link is lost"
	case mLinkBack:
		return "the link is back"
	case mDrops:
		return "the run contact drops by itself"
	case mAssert:
		return "all levels are said again"
	case mTick:
		return "time passes"
	case mRest:
		return pick("another machine starts", "no other machine runs any more", "no other machine keeps the fan running any more",
			"the gates of the others are known to be open", "a gate of the others is not open yet", "another machine runs whose start nobody saw")
	case mVerdict:
		return "the sets with others are " + pick("fine", "too slow", "refused", "too slow, and one more is refused,") + " from now on"
	case mStall:
		return "the controller stands still, and all its timers are due at once"
	}
	return "?"
}
