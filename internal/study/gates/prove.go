package gates

import (
	"context"
	"fmt"
	"hash/maphash"
	"math/bits"
	"slices"
)

// Dials say what a proof looks at. Nothing outside them is proved; NotCovered says so in words.
type Dials struct {
	Name     string
	Stations int  // the first of the plant, each with its gates
	Timed    bool // timers run by ticks; else any armed timer may fire at any time
	Faults   int  // at most so many disturbances on one way
	States   int  // gives up behind so many
}

// ProofResult is what came out of one run.
type ProofResult struct {
	Dials
	Explored int      `json:"states"`
	Steps    int      `json:"steps"`
	Complete bool     `json:"complete"` // every reachable state was looked at
	Premises [22]int  `json:"premises"` // how often each rule had something to decide; [0] is not used
	Broken   uint8    `json:"broken_rule,omitempty"`
	Why      string   `json:"why,omitempty"`
	Timeline []string `json:"timeline,omitempty"`

	moments []moment // of the timeline: it can be replayed
}

// stepper is Step, or a mutant of it.
type stepper func(p *Plant, s State, in Input, out []Command) (State, []Command)

const (
	proofGates = 6
	proofSlots = 48
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
)

// explorer walks all worlds breadth first, so that a counterexample is a shortest one.
type explorer struct {
	p      *Plant
	dials  Dials
	step   stepper
	slots  []Timer // of each slot
	slotOf [timers]int8
	worlds []world
	from   []uint32
	by     []moment
	table  []uint32
	seed   maphash.Seed
	only   *moment // replaying: nothing else happens
	out    []Command
	result ProofResult
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
	q.AlarmAfter, q.Hold, q.Starts = 4, 5, 2
	return &q
}

// scaledTime is what a timer whose time is no key of the file lasts in ticks.
func scaledTime(t Timer, time Millis) uint8 {
	switch {
	case t == TimerRecent:
		return 5
	case t == TimerBlocked:
		return 2
	case t >= TimerStart && t < TimerStart+16:
		return 9
	}
	return uint8(min(time, 200))
}

// Prove explores every world the dials allow and says whether a rule can be broken. It ends early with what it has when ctx is
// done or the number of states is reached. tell is given the share of the allowed states seen so far; it may be nil.
func Prove(ctx context.Context, p *Plant, d Dials, tell func(float64)) (ProofResult, error) {
	return prove(ctx, p, d, tell, Step)
}

func prove(ctx context.Context, p *Plant, d Dials, tell func(float64), step stepper) (ProofResult, error) {
	x, err := newExplorer(p, d, step)
	if err != nil {
		return ProofResult{}, err
	}
	for i := 0; i < len(x.worlds) && x.result.Broken == 0; i++ {
		if i&1023 == 0 {
			if ctx.Err() != nil {
				return x.done(false), nil
			}
			if tell != nil {
				tell(float64(i) / float64(d.States))
			}
		}
		if len(x.worlds) > d.States {
			return x.done(false), nil
		}
		x.result.Explored = i + 1
		x.successors(uint32(i))
	}
	return x.done(x.result.Broken == 0), nil
}

// newExplorer stands at the beginning: power on, all at rest.
func newExplorer(p *Plant, d Dials, step stepper) (*explorer, error) {
	small, err := p.Small(d.Stations)
	if err != nil {
		return nil, err
	}
	small = small.scaled()
	if !d.Timed {
		small.Starts = 1
	}
	x := &explorer{p: small, dials: d, step: step, seed: maphash.MakeSeed(), result: ProofResult{Dials: d}}
	x.nameSlots()
	if len(x.slots) > proofSlots {
		return nil, fmt.Errorf("%d timers; the proof holds %d", len(x.slots), proofSlots)
	}
	x.table = make([]uint32, 1<<10)
	first := world{d: newDevices(small)}
	x.apply(&first, Input{Kind: Boot})
	x.reports(&first)
	x.add(first, 0, moment{})
	return x, nil
}

// replay walks a timeline again and returns the rule that breaks on it; 0 where none does, or where the timeline can no longer happen.
func replay(p *Plant, d Dials, moments []moment, step stepper) (uint8, error) {
	x, err := newExplorer(p, d, step)
	for n := range moments {
		if err != nil || x.result.Broken != 0 {
			break
		}
		x.only = &moments[n]
		now := x.worlds[len(x.worlds)-1]
		x.worlds, x.from, x.by, x.table = []world{now}, []uint32{0}, []moment{{}}, make([]uint32, 1<<10)
		x.successors(0)
	}
	if err != nil {
		return 0, err
	}
	return x.result.Broken, nil
}

func (x *explorer) done(complete bool) ProofResult {
	x.result.Complete = complete
	return x.result
}

func (x *explorer) nameSlots() {
	for i := range x.slotOf {
		x.slotOf[i] = -1
	}
	add := func(t Timer) {
		x.slotOf[t] = int8(len(x.slots))
		x.slots = append(x.slots, t)
	}
	for i := range x.p.Stations {
		for _, kind := range []Timer{TimerOn, TimerOff, TimerKeep, TimerHold, TimerAir} {
			add(kind + Timer(i))
		}
	}
	for g := range x.p.Gates {
		add(TimerGate + Timer(g))
	}
	for i := range x.p.Starts {
		add(TimerStart + Timer(i))
	}
	for _, t := range []Timer{TimerCoast, TimerRun, TimerRest, TimerRecent, TimerDelay, TimerRescue, TimerRunUp, TimerBlocked} {
		add(t)
	}
}

// add puts a world on the list where it is new.
func (x *explorer) add(w world, from uint32, by moment) {
	if 2*len(x.worlds) >= len(x.table) {
		x.grow()
	}
	mask := uint64(len(x.table) - 1)
	for h := maphash.Comparable(x.seed, w) & mask; ; h = (h + 1) & mask {
		n := x.table[h]
		if n == 0 {
			x.worlds = append(x.worlds, w)
			x.from = append(x.from, from)
			x.by = append(x.by, by)
			x.table[h] = uint32(len(x.worlds))
			return
		}
		if x.worlds[n-1] == w {
			return
		}
	}
}

func (x *explorer) grow() {
	x.table = make([]uint32, 2*len(x.table))
	mask := uint64(len(x.table) - 1)
	for i := range x.worlds {
		h := maphash.Comparable(x.seed, x.worlds[i]) & mask
		for x.table[h] != 0 {
			h = (h + 1) & mask
		}
		x.table[h] = uint32(i + 1)
	}
}

// try makes a moment happen in a copy of a world.
func (x *explorer) try(i uint32, m moment, change func(w *world)) {
	if x.result.Broken != 0 || x.only != nil && *x.only != m {
		return
	}
	w := x.worlds[i]
	change(&w)
	x.result.Steps++
	if x.result.Broken != 0 {
		x.result.Timeline = x.story(i, m)
		return
	}
	x.add(w, i, m)
}

// successors makes everything happen that may.
func (x *explorer) successors(i uint32) {
	w := x.worlds[i]
	link := !w.s.is(linkless)
	for n := range x.p.Stations {
		x.try(i, moment{mMachine, int8(n), int8(1 - w.d.Machines>>n&1)}, func(w *world) {
			w.d.Machines ^= 1 << n
			x.read(w, n)
		})
		if w.silent.has(n) && link {
			x.try(i, moment{what: mSpeaks, index: int8(n)}, func(w *world) {
				w.silent &^= 1 << n
				x.read(w, n)
			})
		}
	}
	due := x.timersOf(i, w)
	due = x.gatesOf(i, w, link) || due
	if x.dials.Timed && !due {
		x.try(i, moment{what: mTick}, x.tick)
	}
	if w.late.is && link {
		x.try(i, moment{what: mLate, index: w.late.gate}, func(w *world) {
			l := w.late
			w.late = lateWord{}
			x.apply(w, Input{Kind: SwitchOpen, Index: l.gate, Value: truth(l.open)})
		})
	}
	if link && x.p.Proved {
		x.try(i, moment{what: mFeel}, x.feel)
	}
	x.people(i, w)
	x.disturb(i, w, link)
}

func (x *explorer) read(w *world, n int) {
	if w.silent.has(n) || w.s.is(linkless) {
		return
	}
	value := int32(0)
	if w.d.Machines.has(n) {
		value = x.p.Stations[n].StartsAt
	}
	x.apply(w, Input{Kind: Reading, Index: int8(n), Value: value})
}

func (x *explorer) feel(w *world) {
	value := int32(0)
	if w.d.Fan == Running {
		value = x.p.ProvedAt
		if w.d.AtOpen == 0 && len(x.p.Gates) > 0 && x.p.ShutOff > 0 {
			value = x.p.ShutOff
		}
	}
	x.apply(w, Input{Kind: Suction, Value: value})
}

// timersOf fires what is armed: untimed at any time, but never against what the file says of the devices: a travel is over when the
// gate is there or stuck, a coast-down when the contact is let go.
func (x *explorer) timersOf(i uint32, w world) (due bool) {
	for n, t := range x.slots {
		if w.left[n] != 1 {
			continue
		}
		if t >= TimerGate && t < TimerGate+16 && w.d.underway().has(int(t-TimerGate)) {
			continue
		}
		if t == TimerRescue && w.d.underway()&x.p.Rescue != 0 || t == TimerCoast && w.d.Contact {
			continue
		}
		due = true
		x.try(i, moment{what: mTimer, index: int8(n)}, func(w *world) {
			w.left[n] = 0
			if t == TimerCoast {
				w.d.Fan = Standing
			}
			x.apply(w, Input{Kind: Fired, Timer: t})
		})
	}
	return due
}

// gatesOf lets gates arrive, with a switch that speaks, and as a fault one that does not, or late, or twice.
func (x *explorer) gatesOf(i uint32, w world, link bool) (due bool) {
	for g := range x.p.Gates {
		if !w.d.underway().has(g) || x.dials.Timed && w.gate[g] > 1 {
			continue
		}
		due = true
		arrive := func(w *world) { w.d.arrive(g); w.gate[g] = 0 }
		say := func(w *world) {
			if x.p.Gates[g].Proof == BySwitch && link {
				x.apply(w, Input{Kind: SwitchOpen, Index: int8(g), Value: truth(w.d.AtOpen.has(g))})
			}
		}
		x.try(i, moment{what: mArrive, index: int8(g)}, func(w *world) { arrive(w); say(w) })
		if !x.canFail(w) || x.p.Gates[g].Proof != BySwitch || !link {
			continue
		}
		x.try(i, moment{what: mArriveLost, index: int8(g)}, func(w *world) { x.fail(w); arrive(w) })
		x.try(i, moment{what: mArriveTwice, index: int8(g)}, func(w *world) { x.fail(w); arrive(w); say(w); say(w) })
		x.try(i, moment{what: mArriveLate, index: int8(g)}, func(w *world) {
			x.fail(w)
			arrive(w)
			w.late = lateWord{true, int8(g), w.d.AtOpen.has(g)}
		})
	}
	return due
}

func (x *explorer) canFail(w world) bool { return int(w.faults) < x.dials.Faults }

func (x *explorer) fail(w *world) {
	w.faults++
	w.hand = true
}

// people press things. What stops is always free; the selector, a lock and an emergency stop are counted as disturbances.
func (x *explorer) people(i uint32, w world) {
	if w.s.is(linkless) {
		return
	}
	for _, b := range []int8{PressStart, PressStop, PressStart | PressStop} {
		x.try(i, moment{what: mButtons, value: b}, func(w *world) { x.apply(w, Input{Kind: Buttons, Value: int32(b)}) })
	}
	if w.s.Fault|Mask(w.s.Alarms) != 0 {
		x.try(i, moment{what: mButtons, value: PressSeen}, func(w *world) { x.apply(w, Input{Kind: Buttons, Value: PressSeen}) })
	}
	if x.canFail(w) {
		x.try(i, moment{mEmergency, 0, 1}, func(w *world) { x.fail(w); x.apply(w, Input{Kind: EmergencyStop, Value: 1}) })
		x.try(i, moment{mLock, 0, 1}, func(w *world) { x.fail(w); x.apply(w, Input{Kind: LockFlag, Value: 1}) })
		for _, m := range []Mode{Off, Hand} {
			x.try(i, moment{mSelector, 0, int8(m)}, func(w *world) { x.fail(w); x.turn(w, m) })
		}
	}
	if w.s.is(stopped) {
		x.try(i, moment{mEmergency, 0, 0}, func(w *world) { x.apply(w, Input{Kind: EmergencyStop}) })
	}
	if w.s.is(locked) {
		x.try(i, moment{mLock, 0, 0}, func(w *world) { x.apply(w, Input{Kind: LockFlag}) })
	}
	if w.s.Mode != Auto {
		x.try(i, moment{mSelector, 0, int8(Auto)}, func(w *world) { x.turn(w, Auto) })
	}
}

func (x *explorer) turn(w *world, m Mode) {
	if m == Hand {
		w.d.Fan = Running
	} else if w.d.Fan == Running {
		w.d.Fan = Coasting
	}
	w.d.Contact = w.d.Contact && m == Auto
	x.apply(w, Input{Kind: Selector, Value: int32(m)})
}

// disturb lets one thing go wrong, and go right again.
func (x *explorer) disturb(i uint32, w world, link bool) {
	if link {
		x.try(i, moment{what: mAssert}, func(w *world) { x.apply(w, Input{Kind: Fired, Timer: TimerAssert}) })
	} else {
		x.try(i, moment{what: mLinkBack}, func(w *world) { x.boot(w, LinkBack) })
		if w.d.Contact {
			x.try(i, moment{what: mDrops}, func(w *world) { w.d.letGo() })
		}
	}
	for g := range x.p.Gates {
		if w.d.Deaf.has(g) {
			x.try(i, moment{what: mHears, index: int8(g)}, func(w *world) { w.d.Deaf &^= 1 << g })
		}
		if w.s.GateOut.has(g) && link {
			x.try(i, moment{what: mGateBack, index: int8(g)}, func(w *world) { x.apply(w, Input{Kind: GateBack, Index: int8(g)}); x.report(w, g) })
		}
	}
	if !x.canFail(w) {
		return
	}
	for g := range x.p.Gates {
		if x.p.Gates[g].Proof == ByHand {
			continue
		}
		x.try(i, moment{what: mJam, index: int8(g)}, func(w *world) { x.fail(w); w.d.Jam |= 1 << g; w.gate[g] = 0 })
		x.try(i, moment{what: mDeaf, index: int8(g)}, func(w *world) { x.fail(w); w.d.Deaf |= 1 << g })
		if link {
			x.try(i, moment{what: mGateLost, index: int8(g)}, func(w *world) { x.fail(w); x.apply(w, Input{Kind: GateLost, Index: int8(g)}) })
		}
	}
	for n := range x.p.Stations {
		if link {
			x.try(i, moment{what: mSilent, index: int8(n)}, func(w *world) {
				x.fail(w)
				w.silent |= 1 << n
				x.apply(w, Input{Kind: Fired, Timer: TimerStale + Timer(n)})
			})
		}
	}
	x.try(i, moment{what: mPower}, func(w *world) { x.fail(w); x.boot(w, Boot) })
	if link {
		x.try(i, moment{what: mLinkLost}, func(w *world) { x.fail(w); x.apply(w, Input{Kind: LinkLost}) })
	}
}

// boot begins again: no timer is left, and the switches say where they are.
func (x *explorer) boot(w *world, kind InputKind) {
	w.left = [proofSlots]uint8{}
	w.late = lateWord{}
	x.apply(w, Input{Kind: kind})
	x.reports(w)
}

func (x *explorer) reports(w *world) {
	for g := range x.p.Gates {
		x.report(w, g)
	}
}

func (x *explorer) report(w *world, g int) {
	if x.p.Gates[g].Proof == BySwitch {
		x.apply(w, Input{Kind: SwitchOpen, Index: int8(g), Value: truth(w.d.AtOpen.has(g))})
	}
}

// tick lets one tick pass; nothing is due.
func (x *explorer) tick(w *world) {
	for n := range w.left {
		if w.left[n] > 1 {
			w.left[n]--
		}
	}
	for g := range w.gate {
		if w.gate[g] > 1 {
			w.gate[g]--
		}
	}
	if w.coast > 0 {
		w.coast--
		if w.coast == 0 && w.d.Fan == Coasting {
			w.d.Fan = Standing
		}
	}
}

// apply gives the controller an input, holds the rules against what it does, and carries its commands out.
func (x *explorer) apply(w *world, in Input) {
	if x.result.Broken != 0 {
		return
	}
	before := *w
	x.ghosts(w, in)
	w.s, x.out = x.step(x.p, w.s, in, x.out[:0])
	w.s.Issue = 0
	var moved, there Mask // gates that left their end, or are where they were told to be: their switches say so, in the end
	for _, c := range x.out {
		switch c.Kind {
		case Arm:
			if n := x.slotOf[c.Timer]; n >= 0 {
				w.left[n] = 1
				if x.dials.Timed {
					w.left[n] = 1 + scaledTime(c.Timer, c.Time)
				}
			}
		case Disarm:
			if n := x.slotOf[c.Timer]; n >= 0 {
				w.left[n] = 0
			}
		default:
			was := w.d
			w.d.obey(x.p, c)
			if c.Kind == StopFan && was.Fan == Running {
				w.coast = uint8(x.p.Coast)
			}
			if c.Kind == OpenGate || c.Kind == ShutGate {
				g := int(c.Index)
				if !w.d.underway().has(g) {
					w.gate[g] = 0
					if !w.d.Jam.has(g) && !w.d.Deaf.has(g) {
						there |= 1 << g
					}
				} else if was.GoOpen != w.d.GoOpen || w.gate[g] == 0 {
					w.gate[g] = 3 // travel and one
					if w.d.AtOpen.has(g) {
						moved |= 1 << g
					}
				}
			}
		}
	}
	out := x.out
	x.out = nil
	if rule, why := x.check(&before, in, out, w); rule != 0 {
		x.result.Broken, x.result.Why = rule, why
	}
	for g := range x.p.Gates {
		if moved.has(g) {
			w.d.leave(g)
			if x.p.Gates[g].Proof == BySwitch && !w.s.is(linkless) {
				x.apply(w, Input{Kind: SwitchOpen, Index: int8(g), Value: 0})
			}
		} else if there.has(g) && !w.s.is(linkless) {
			x.report(w, g)
		}
	}
	if !x.dials.Timed { // without time these decide nothing: not what is armed, not what moves
		w.s.Flags &^= recent | stretch | resting | lamp | saidNotProved
		w.s.Alarms &= 1 << NoExtraction
		w.left[x.slotOf[TimerRecent]], w.left[x.slotOf[TimerRest]] = 0, 0
	}
	x.out = out
}

// ghosts follows, apart from the controller, which machines may count as started.
func (x *explorer) ghosts(w *world, in Input) {
	stop := in.Kind == Boot || in.Kind == LinkBack || (in.Kind == EmergencyStop || in.Kind == LockFlag) && in.Value != 0 ||
		in.Kind == Selector && Mode(in.Value) == Off || in.Kind == Buttons && in.Value&PressStop != 0
	switch {
	case stop:
		w.sawOff &^= w.d.Machines
		if in.Kind == Boot || in.Kind == LinkBack {
			w.sawOff = 0
		}
		w.fresh, w.person = 0, false
	case in.Kind == Reading && w.s.Lost.has(int(in.Index)) && !w.s.On.has(int(in.Index)):
		w.sawOff &^= 1 << in.Index // lost, then on, is no start
	case in.Kind == Buttons && in.Value&PressStart != 0 && w.s.Mode == Auto && !w.s.is(stopped|locked|linkless):
		w.fresh |= w.s.On
		w.person = w.person || w.s.On == 0
	case in.Kind == Fired && in.Timer < TimerOn+16:
		if bit := Mask(1) << in.Timer; w.sawOff&bit != 0 || w.s.Fan == Running {
			w.fresh |= bit
			w.person = false
		}
	case in.Kind == Fired && in.Timer >= TimerOff && in.Timer < TimerOff+16:
		bit := Mask(1) << (in.Timer - TimerOff)
		w.sawOff |= bit
		w.fresh &^= bit
	case in.Kind == Fired && in.Timer >= TimerHold && in.Timer < TimerHold+16:
		bit := Mask(1) << (in.Timer - TimerHold)
		w.sawOff &^= bit
		w.fresh &^= bit
	}
}

// check holds every rule against one step. It says which is broken, and counts how often each had something to decide.
func (x *explorer) check(b *world, in Input, out []Command, a *world) (uint8, string) {
	premise := func(rule int, holds bool) bool {
		if holds {
			x.result.Premises[rule]++
		}
		return holds
	}
	sure := func(s State) Mask { return s.CmdOpen & s.Open &^ s.Fault &^ s.GateOut }
	turns := func(s State) bool { return s.Fan != Standing || s.Mode == Hand }
	p, s := x.p, a.s
	var shut, opened Mask
	run, stop, stopRule := false, false, uint8(0)
	for _, c := range out {
		if c.Kind >= commandKinds || c.Rule == 0 || c.Rule > 21 || c.Kind <= ShutGate && (int(c.Index) >= len(p.Gates) || p.Gates[c.Index].Proof == ByHand) {
			return 10, "a command reaches what is no gate and no fan, or names no rule"
		}
		if c.Moves() && premise(16, c.Rule == 16) {
			told := c.Kind == RunFan && s.Fan != Running || c.Kind == StopFan && s.Fan == Running ||
				c.Kind == OpenGate && !s.CmdOpen.has(int(c.Index)) || c.Kind == ShutGate && s.CmdOpen.has(int(c.Index))
			if told {
				return 16, "a level is said again otherwise than it was"
			}
			continue
		}
		premise(10, c.Moves())
		switch c.Kind {
		case ShutGate:
			shut |= 1 << c.Index
		case OpenGate:
			opened |= 1 << c.Index
		case RunFan:
			run = true
		case StopFan:
			stop, stopRule = true, c.Rule
		}
	}
	held := s.is(stopped | locked | linkless)
	turned := b.d.Fan != Standing || a.d.Fan != Standing // the truth, not what the controller thinks
	active := s.On & s.Admitted
	hasGates := len(p.Gates) > 0
	switch {
	case premise(1, shut != 0 && turned && s.Fan == Running) && sure(s)&^shut == 0:
		return 1, "a gate is told to shut while the fan may turn, and no other is known to be open"
	case premise(1, turns(s) && sure(s) == 0 && hasGates && !held) && s.Fan == Running && p.Rescue != 0 && s.CmdOpen&p.Rescue == 0:
		return 1, "no gate is known to be open, and the gate left open was not told to open"
	case premise(1, in.Kind == Fired && in.Timer == TimerRescue && sure(b.s) == 0 && b.s.Fan == Running && b.s.is(rescuing)) && !stop:
		return 1, "the gate left open did not come, and the fan was not stopped"
	case !a.hand && a.d.Fan != Standing && hasGates && a.d.AtOpen == 0:
		return 1, "the fan turns against shut gates, with nothing broken"
	case premise(8, in.Kind == EmergencyStop && in.Value == 0) && run:
		return 8, "releasing the emergency stop starts the fan"
	case premise(5, shut != 0 && s.Fan != Running) && turned && sure(s)&^shut == 0:
		return 5, "the last gate is told to shut before the fan stands"
	case premise(2, run) && hasGates && !x.wayOpen(s, active):
		return 2, "the fan is started before the way of any machine is known to be open"
	case premise(3, shut != 0 && turned) && x.unsettled(s) != 0:
		return 3, "an old gate is told to shut before the new one is known to be open"
	case premise(4, stop && stopRule == 4) && (s.Keep != 0 || s.On&s.Edge&^x.refused(s) != 0):
		return 4, "the fan is stopped while a machine runs or the fan should keep running for it"
	case premise(6, stop && stopRule == 4) && (b.s.is(young) && !(in.Kind == Fired && in.Timer == TimerRun) || bits.OnesCount16(s.Starts) >= p.Starts):
		return 6, "the fan is stopped before its least running time, or with its starts spent"
	case premise(6, active != 0 && x.wayOpen(s, active) && s.Mode == Auto && !held && !s.is(delayed)) && s.Fan != Running:
		return 6, "extraction is refused to a running machine whose way is open"
	case premise(7, s.is(stopped|locked) || s.Mode != Auto) && (s.Fan == Running || run):
		return 7, "the fan runs by us against an emergency stop, a lock, OFF or HAND"
	case premise(7, in.Kind == Buttons && in.Value&PressStop != 0) && s.Fan == Running:
		return 7, "a start beats a stop"
	case premise(7, in.Kind == EmergencyStop && in.Value != 0) && shut|opened != 0:
		return 7, "a gate moves at an emergency stop"
	case premise(9, in.Kind == Boot || in.Kind == LinkBack) && (run || !stop || sure(s)&^handGates(p) != 0):
		return 9, "after a boot the motor is not off, or a gate is believed"
	case premise(9, run) && active&a.fresh == 0 && !a.person:
		return 9, "the fan starts for a machine that nobody saw start since the last stop"
	}
	for i := range p.Stations {
		bit := Mask(1) << i
		proved := (s.Fan == Running || s.Mode == Hand && p.Proved) && s.is(running) && p.Stations[i].Gates&^sure(s) == 0
		due := a.left[x.slotOf[TimerAir+Timer(i)]] != 0
		alarmed := s.Alarms>>NoExtraction&1 == 1
		switch {
		case premise(12, (s.On^b.s.On)&bit != 0) && !recognised(in, i):
			return 12, "a machine is taken to start or stop without its level having stood"
		case premise(11, s.On&bit != 0 && !proved) && !due && !alarmed:
			return 11, "a machine runs without extraction, and neither an alarm nor its timer is on"
		case premise(13, s.Lost&^b.s.Lost&bit != 0) && s.Alarms>>NoSignal&1 == 0:
			return 13, "a lost sensor raises no alarm"
		case premise(13, s.Lost&s.On&bit != 0) && a.left[x.slotOf[TimerHold+Timer(i)]] == 0:
			return 13, "a lost sensor is believed for ever"
		}
	}
	newFault := s.Fault &^ b.s.Fault
	switch {
	case premise(14, in.Kind == Fired && in.Timer >= TimerGate && in.Timer < TimerGate+16) && x.overdue(b, in) && s.Fault>>(in.Timer-TimerGate)&1 == 0:
		return 14, "a gate that did not arrive in time is no fault"
	case premise(14, newFault != 0) && x.jamMoves(out, newFault):
		return 14, "a jam moves another gate"
	case premise(15, active != 0) && active&^b.s.Admitted != 0 && p.verdict(active) == SetRefuse:
		return 15, "a set that the file refuses is admitted"
	case premise(15, p.verdict(active) == SetBleed) && !held && p.Bleed&^s.CmdOpen != 0:
		return 15, "a slow set runs without the bleed gate"
	case premise(17, in.Kind == LinkLost) && (s.Lost != 1<<len(p.Stations)-1 || sure(s)&^handGates(p) != 0):
		return 17, "the link is lost, and something behind it is not"
	case premise(17, in.Kind == GateLost) && sure(s)>>in.Index&1 == 1:
		return 17, "a lost gate is believed to be open"
	case premise(17, s.is(linkless)) && (run || shut|opened != 0):
		return 17, "something is sent with no link to send it"
	case premise(19, run) && a.left[x.slotOf[TimerDelay]] != 0:
		return 19, "the fan starts while the machine's motor runs up"
	}
	return 0, ""
}

func handGates(p *Plant) (m Mask) {
	for g := range p.Gates {
		if p.Gates[g].Proof == ByHand {
			m |= 1 << g
		}
	}
	return m
}

// wayOpen: the whole way of some machine that runs, or any gate where none does, is known to be open.
func (x *explorer) wayOpen(s State, active Mask) bool {
	open := s.CmdOpen & s.Open &^ s.Fault &^ s.GateOut
	for i, st := range x.p.Stations {
		if active.has(i) && st.Gates&^open == 0 && open != 0 {
			return true
		}
	}
	return active == 0 && open != 0 || len(x.p.Gates) == 0
}

// unsettled are the gates of machines that are wanted open, and neither known to be open nor out of order.
func (x *explorer) unsettled(s State) (m Mask) {
	for i, st := range x.p.Stations {
		if s.Admitted.has(i) {
			m |= st.Gates
		}
	}
	return m &^ (s.CmdOpen & s.Open) &^ s.Fault &^ s.GateOut
}

func (x *explorer) refused(s State) (m Mask) { return s.On & s.Edge &^ s.Admitted }

// recognised: what may change a station's state: its debounce, the end of belief, or a new beginning.
func recognised(in Input, i int) bool {
	return in.Kind == Boot || in.Kind == LinkBack || in.Kind == Fired && (in.Timer == TimerOn+Timer(i) || in.Timer == TimerOff+Timer(i) || in.Timer == TimerHold+Timer(i))
}

func (x *explorer) overdue(b *world, in Input) bool {
	g := int(in.Timer - TimerGate)
	return x.p.Gates[g].Proof == BySwitch && b.s.Travels.has(g) && b.s.CmdOpen.has(g) && !b.s.Open.has(g)
}

func (x *explorer) jamMoves(out []Command, jammed Mask) bool {
	for _, c := range out {
		if (c.Kind == OpenGate || c.Kind == ShutGate) && c.Rule != 1 && jammed>>c.Index&1 == 0 && c.Rule != 3 && c.Rule != 16 {
			return true
		}
	}
	return false
}

// story tells the way to a world, and the moment that broke it.
func (x *explorer) story(i uint32, last moment) []string {
	var ms []moment
	for n := i; n != 0; n = x.from[n] {
		ms = append(ms, x.by[n])
	}
	slices.Reverse(ms)
	ms = append(ms, last)
	x.result.moments = ms
	lines := []string{"power on, all at rest"}
	for _, m := range ms {
		lines = append(lines, x.words(m))
	}
	return append(lines, fmt.Sprintf("BROKEN, rule %d: %s", x.result.Broken, x.result.Why))
}

func (x *explorer) words(m moment) string {
	gate := func() string { return x.p.Gates[m.index].Name }
	station := func() string { return x.p.Stations[m.index].Name }
	pick := func(names ...string) string { return names[m.value] }
	switch m.what {
	case mMachine:
		return station() + pick(" goes off", " goes on")
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
	}
	return "?"
}
