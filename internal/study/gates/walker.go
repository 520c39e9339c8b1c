package gates

// walker makes things happen in a world.
type walker struct {
	*room
	now      world
	next     world
	only     *moment // replaying: nothing else happens
	wrong    bool    // only what goes wrong happens, else only the rest
	found    func(*world, moment)
	outs     [8][]Command
	depth    int
	steps    int
	premises [22]int
	broken   uint8
	why      string
	at       moment // where it broke
	tie      bool   // in the last step one was admitted, and another was not
	mirrored bool
	raw      bool // nothing is forgotten, for a test
}

func newWalker(r *room) *walker {
	w := &walker{room: r}
	for i := range w.outs {
		w.outs[i] = make([]Command, 0, 64)
	}
	return w
}

// begin is power on, all at rest.
func (x *walker) begin() world {
	w := world{d: newDevices(x.p)}
	x.boot(&w, Boot)
	x.forget(&w)
	return w
}

// try makes a moment happen in a copy of the world.
func (x *walker) try(m moment, change func(w *world)) {
	if x.broken != 0 || x.wrong || x.only != nil && *x.only != m {
		return
	}
	x.make(m, change)
}

// trouble makes something go wrong.
func (x *walker) trouble(m moment, change func(w *world)) {
	if x.broken != 0 || !x.wrong || x.only != nil && *x.only != m {
		return
	}
	x.make(m, func(w *world) {
		w.faults++
		w.hand = true
		change(w)
	})
}

func (x *walker) make(m moment, change func(w *world)) {
	x.next, x.tie = x.now, false
	change(&x.next)
	x.steps++
	if x.broken != 0 {
		x.at = m
		return
	}
	x.leaveOut(&x.next)
	if x.raw {
		x.found(&x.next, m)
		return
	}
	x.forget(&x.next)
	x.sort(&x.next)
	if x.next != x.now {
		x.found(&x.next, m)
	}
	if x.tie && !x.mirrored {
		x.mirror(m)
	}
}

// successors makes everything happen that may: what goes wrong, or all else.
func (x *walker) successors(wrong bool) {
	x.wrong = wrong
	w := &x.now
	link := !w.s.is(linkless)
	for n := range x.full {
		if link || !x.dials.Brief {
			x.try(moment{mMachine, int8(n), int8(1 - w.d.Machines>>n&1)}, func(w *world) {
				w.d.Machines ^= 1 << n
				x.read(w, n)
			})
		}
		if w.silent.has(n) && link {
			x.try(moment{what: mSpeaks, index: int8(n)}, func(w *world) {
				w.silent &^= 1 << n
				x.read(w, n)
			})
		}
		if x.news(w, n) {
			x.try(moment{what: mBeat, index: int8(n)}, func(w *world) { x.read(w, n) })
		}
	}
	due := x.timersOf(w)
	due = x.gatesOf(w, link) || due
	if x.dials.Timed && !due {
		x.try(moment{what: mTick}, x.tick)
	}
	if w.late.is && link {
		x.try(moment{what: mLate, index: w.late.gate}, func(w *world) {
			l := w.late
			w.late = lateWord{}
			x.apply(w, Input{Kind: SwitchOpen, Index: l.gate, Value: truth(l.open)})
		})
	}
	if link && x.p.Proved && (x.dials.Whole || x.p.ShutOff > 0) {
		x.try(moment{what: mFeel}, x.feel)
	}
	if x.dials.Rest {
		x.restOf(w, link)
	}
	x.people(w)
	x.recover(w, link)
	if wrong {
		x.disturb(w, link)
	}
}

func (x *walker) read(w *world, n int) {
	if w.silent.has(n) || w.s.is(linkless) {
		return
	}
	value := int32(0)
	if w.d.Machines.has(n) {
		value = x.p.Stations[n].StartsAt
	}
	x.apply(w, Input{Kind: Reading, Index: int8(n), Value: value})
	if !x.dials.Brief {
		return
	}
	for _, t := range [...]Timer{TimerOn + Timer(n), TimerOff + Timer(n)} { // the level has stood for its time
		if s := x.slotOf[t]; w.left[s] != 0 {
			w.left[s] = 0
			x.apply(w, Input{Kind: Fired, Timer: t})
		}
	}
}

// news reports whether a sensor that says again what it measures tells the controller something.
func (x *walker) news(w *world, n int) bool {
	if w.silent.has(n) || w.s.is(linkless) {
		return false
	}
	if w.d.Machines.has(n) {
		return !(w.s.On | w.s.Rising).has(n) || w.s.Falling.has(n)
	}
	return w.s.Rising.has(n) || !w.s.Falling.has(n) && (w.s.On.has(n) || !w.s.Seen.has(n))
}

func (x *walker) feel(w *world) {
	value := int32(0)
	if w.d.Fan == Running {
		value = x.p.ProvedAt
		if w.d.AtOpen|w.s.CmdOpen&w.s.Open&x.restGates() == 0 && len(x.p.Gates) > 0 && x.p.ShutOff > 0 {
			value = x.p.ShutOff
		}
	}
	x.apply(w, Input{Kind: Suction, Value: value})
}

// timersOf fires what is armed.
func (x *walker) timersOf(w *world) (due bool) {
	for n, t := range x.slots {
		if w.left[n] != 1 {
			continue
		}
		if x.tooSoon(w, t) {
			continue
		}
		due = due || n < x.counters
		x.try(moment{what: mTimer, index: int8(n)}, func(w *world) {
			w.left[n] = 0
			if t == TimerCoast && w.s.Mode != Hand && !x.dials.Timed {
				w.d.Fan = Standing
			}
			x.apply(w, Input{Kind: Fired, Timer: t})
		})
	}
	return due
}

// tooSoon: by the clock, what the devices do at an instant comes before a timer of that instant. Without a clock a timer may fire at any
// time, but never against what the file says of the devices: a travel is over when the gate is there or stuck, a coast-down when the
// contact is let go.
func (x *walker) tooSoon(w *world, t Timer) bool {
	moving := w.d.underway()
	if x.dials.Timed {
		for g := range x.gates {
			if w.gate[g] > 1 {
				moving &^= 1 << g
			}
		}
	}
	switch {
	case t >= TimerGate && t < TimerGate+16:
		return moving.has(int(t - TimerGate))
	case t == TimerRescue:
		return moving&x.p.Rescue != 0
	case t == TimerCoast:
		return w.d.Contact && !x.dials.Timed
	}
	return false
}

// gatesOf lets gates arrive, with a switch that speaks, and as a fault one that does not, or late, or twice.
func (x *walker) gatesOf(w *world, link bool) (due bool) {
	for g := range x.gates {
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
		x.try(moment{what: mArrive, index: int8(g)}, func(w *world) { arrive(w); say(w) })
		if x.p.Gates[g].Proof != BySwitch || !link {
			continue
		}
		x.trouble(moment{what: mArriveLost, index: int8(g)}, func(w *world) { arrive(w) })
		x.trouble(moment{what: mArriveTwice, index: int8(g)}, func(w *world) { arrive(w); say(w); say(w) })
		x.trouble(moment{what: mArriveLate, index: int8(g)}, func(w *world) {
			arrive(w)
			w.late = lateWord{true, int8(g), w.d.AtOpen.has(g)}
		})
	}
	return due
}

// people press things. What stops is always free; the selector, a lock and an emergency stop are counted as disturbances.
func (x *walker) people(w *world) {
	if w.s.is(linkless) {
		return
	}
	for _, b := range [...]int8{PressStart, PressStop, PressStart | PressStop} {
		if x.dials.Brief && (b == PressStart|PressStop || b == PressStart && (x.barred(w) || w.s.On != 0 && w.s.On&^(w.s.Edge&w.fresh) == 0)) {
			continue // nothing comes of it
		}
		x.try(moment{what: mButtons, value: b}, func(w *world) { x.apply(w, Input{Kind: Buttons, Value: int32(b)}) })
	}
	if w.s.Fault != 0 || w.s.Alarms != 0 {
		x.try(moment{what: mButtons, value: PressSeen}, func(w *world) { x.apply(w, Input{Kind: Buttons, Value: PressSeen}) })
	}
	x.trouble(moment{mEmergency, 0, 1}, func(w *world) { x.apply(w, Input{Kind: EmergencyStop, Value: 1}) })
	x.trouble(moment{mLock, 0, 1}, func(w *world) { x.apply(w, Input{Kind: LockFlag, Value: 1}) })
	for _, m := range [...]Mode{Off, Hand} {
		if m == w.s.Mode {
			continue
		}
		x.trouble(moment{mSelector, 0, int8(m)}, func(w *world) { x.switchTo(w, m) })
	}
	if w.s.is(stopped) {
		x.try(moment{mEmergency, 0, 0}, func(w *world) { x.apply(w, Input{Kind: EmergencyStop}) })
	}
	if w.s.is(locked) {
		x.try(moment{mLock, 0, 0}, func(w *world) { x.apply(w, Input{Kind: LockFlag}) })
	}
	if w.s.Mode != Auto {
		x.try(moment{mSelector, 0, int8(Auto)}, func(w *world) { x.switchTo(w, Auto) })
	}
}

func (x *walker) switchTo(w *world, m Mode) {
	if m == Hand {
		w.d.Contact, w.d.Fan = false, Running
	} else {
		x.letGo(w)
	}
	x.apply(w, Input{Kind: Selector, Value: int32(m)})
}

// letGo drops the run contact; a fan that ran coasts from now on.
func (x *walker) letGo(w *world) {
	if w.d.Fan == Running {
		w.coast = uint8(x.p.Coast)
	}
	w.d.letGo()
}

// recover lets what went wrong go right again, and says levels again.
func (x *walker) recover(w *world, link bool) {
	switch {
	case link && x.dials.Brief && x.inStep(w): // nothing comes of it
	case link:
		x.try(moment{what: mAssert}, func(w *world) { x.apply(w, Input{Kind: Fired, Timer: TimerAssert}) })
	case x.dials.Brief:
		for m := range int8(1) << x.full {
			x.try(moment{mLinkBack, 0, m}, func(w *world) { w.d.Machines = Mask(m); x.boot(w, LinkBack) })
		}
	default:
		x.try(moment{what: mLinkBack}, func(w *world) { x.boot(w, LinkBack) })
	}
	if !link {
		if w.d.Contact {
			x.try(moment{what: mDrops}, func(w *world) { x.letGo(w) })
		}
	}
	for g := range x.p.Gates {
		if w.d.Deaf.has(g) {
			x.try(moment{what: mHears, index: int8(g)}, func(w *world) {
				w.d.Deaf &^= 1 << g
				if x.dials.Brief && !w.s.is(linkless) {
					x.apply(w, Input{Kind: Fired, Timer: TimerAssert})
				}
			})
		}
		if w.s.GateOut.has(g) && link {
			x.try(moment{what: mGateBack, index: int8(g)}, func(w *world) { x.apply(w, Input{Kind: GateBack, Index: int8(g)}); x.report(w, g) })
		}
	}
}

// barred: nothing of the controller's may start.
func (x *walker) barred(w *world) bool { return w.s.is(stopped|locked|linkless) || w.s.Mode != Auto }

// inStep: every device is where it was told to be, or on its way, and has said so.
func (x *walker) inStep(w *world) bool {
	return w.d.GoOpen == w.s.CmdOpen && w.d.AtOpen == w.s.Open && w.d.Jam|w.d.Deaf|w.s.GateOut == 0 && w.d.Contact == (w.s.Fan == Running)
}

// disturb lets one thing go wrong.
func (x *walker) disturb(w *world, link bool) {
	for g := range x.p.Gates {
		if x.p.Gates[g].Proof == ByHand {
			continue
		}
		if g >= x.gates {
			if link {
				x.trouble(moment{what: mGateLost, index: int8(g)}, func(w *world) { x.apply(w, Input{Kind: GateLost, Index: int8(g)}) })
			}
			continue
		}
		x.trouble(moment{what: mJam, index: int8(g)}, func(w *world) { w.d.Jam |= 1 << g; w.gate[g] = 0 })
		x.trouble(moment{what: mDeaf, index: int8(g)}, func(w *world) { w.d.Deaf |= 1 << g })
		if link {
			x.trouble(moment{what: mGateLost, index: int8(g)}, func(w *world) { x.apply(w, Input{Kind: GateLost, Index: int8(g)}) })
		}
	}
	for n := range x.full {
		if link {
			x.trouble(moment{what: mSilent, index: int8(n)}, func(w *world) {
				w.silent |= 1 << n
				x.apply(w, Input{Kind: Fired, Timer: TimerStale + Timer(n)})
			})
		}
	}
	if x.dials.Timed {
		x.trouble(moment{what: mStall}, x.stall)
	}
	x.trouble(moment{what: mPower}, func(w *world) { x.boot(w, Boot) })
	if link {
		x.trouble(moment{what: mLinkLost}, func(w *world) { x.apply(w, Input{Kind: LinkLost}) })
	}
}

// boot begins again: no timer is left, and the switches say where they are.
func (x *walker) boot(w *world, kind InputKind) {
	w.left = [proofSlots]uint8{}
	w.late = lateWord{}
	x.apply(w, Input{Kind: kind})
	x.reports(w)
	if x.dials.Brief {
		for n := range x.full {
			x.read(w, n)
		}
	}
}

func (x *walker) reports(w *world) {
	for g := range x.gates {
		x.report(w, g)
	}
}

func (x *walker) report(w *world, g int) {
	if g < x.gates && x.p.Gates[g].Proof == BySwitch {
		x.apply(w, Input{Kind: SwitchOpen, Index: int8(g), Value: truth(w.d.AtOpen.has(g))})
	}
}

// tick lets one tick pass; nothing is due.
func (x *walker) tick(w *world) {
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

// stall: the clock jumps, or the controller stands still for longer than any timer; then all is due at once.
func (x *walker) stall(w *world) {
	for n := range w.left {
		w.left[n] = min(w.left[n], 1)
	}
	for g := range w.gate {
		w.gate[g] = min(w.gate[g], 1)
	}
	if w.coast = 0; w.d.Fan == Coasting {
		w.d.Fan = Standing
	}
}

// apply gives the controller an input, holds the rules against what it does, and carries its commands out.
func (x *walker) apply(w *world, in Input) {
	if x.broken != 0 {
		return
	}
	before := *w
	x.ghosts(w, in)
	out := x.outs[x.depth][:0]
	w.s, out = x.step(x.plants[w.rest], w.s, in, out)
	w.s.Issue = 0
	if len(x.pairs) > 0 && x.refused(w.s) != 0 && w.s.Admitted&^before.s.Admitted&w.s.On != 0 {
		x.tie = true
	}
	moved, there := x.obey(w, out)
	if rule, why := x.check(&before, in, out, w); rule != 0 {
		x.broken, x.why = rule, why
		return
	}
	x.depth++
	for g := range x.gates {
		if moved.has(g) {
			w.d.leave(g)
			if x.p.Gates[g].Proof == BySwitch && !w.s.is(linkless) {
				x.apply(w, Input{Kind: SwitchOpen, Index: int8(g), Value: 0})
			}
		} else if there.has(g) && !w.s.is(linkless) {
			x.report(w, g)
		}
	}
	x.depth--
}

// obey carries commands out. It returns the gates that leave their end, and those that are where they were told to be: their switches
// say so, in the end.
func (x *walker) obey(w *world, out []Command) (moved, there Mask) {
	for i := range out {
		c := &out[i]
		switch c.Kind {
		case Arm:
			if n := x.slotOf[c.Timer]; n >= 0 {
				w.left[n] = 1
				if x.dials.Timed && int(n) < x.counters {
					w.left[n] = uint8(1 + c.Time)
				}
			}
		case Disarm:
			if n := x.slotOf[c.Timer]; n >= 0 {
				w.left[n] = 0
			}
		case RunFan, StopFan, OpenGate, ShutGate:
			if x.dials.Rest && c.Kind <= ShutGate && int(c.Index) >= x.gates {
				continue // of the others
			}
			was := w.d
			w.d.obey(x.p, *c)
			if w.s.Mode == Hand {
				w.d.Fan = Running // by hand, whatever we say
			}
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
	return moved, there
}

// leaveOut drops what a brief look does not look at: starts are not counted, so no stop is withheld. Beside others they are.
func (x *walker) leaveOut(w *world) {
	if x.dials.Brief && !x.dials.Rest {
		w.s.Starts = 0
		w.left[x.slotOf[TimerStart]] = 0
	}
}

// inert are the flags that only tell, and those that only make a time longer that may be of any length here.
const inert = resting | lamp | saidNotProved | recent | stretch

// forget clears what decides nothing any more, so that worlds that cannot be told apart by anything to come are one. That it decides
// nothing is a test.
func (x *walker) forget(w *world) {
	idle := func(t Timer) {
		if n := x.slotOf[t]; n >= 0 {
			w.left[n] = 0
		}
	}
	w.s.Flags &^= inert
	w.s.Alarms &= 1 << NoExtraction
	w.d.AtShut = 0
	if !x.dials.Whole { // whether air is proved decides of alarms and the lamp, and of nothing else
		w.s.Flags &^= running
		w.s.Alarms, w.s.AirDue = 0, 0
		for i := range x.full {
			idle(TimerAir + Timer(i))
		}
		idle(TimerRunUp)
	}
	if x.dials.Rest {
		x.heapUp(w)
	}
	w.s.Seen &^= w.s.On // asked when a machine goes on, and set when it goes off
	w.sawOff &^= w.s.On
	if x.dials.Brief && w.s.is(linkless) { // the controller begins anew when the link is back
		w.s = State{Starts: w.s.Starts, Mode: w.s.Mode, Flags: w.s.Flags & (stopped | locked | linkless)}
		w.d.Machines, w.sawOff, w.fresh, w.person = 0, 0, 0, false
		for n, t := range x.slots {
			if t < TimerStart || t >= TimerStart+16 {
				w.left[n] = 0
			}
		}
	}
	if !w.s.is(young) {
		idle(TimerRun)
	}
	if !w.s.is(rescuing) {
		idle(TimerRescue)
	}
	if w.s.Fan != Coasting {
		idle(TimerCoast)
	}
	if w.s.Fan != Running || x.p.Proved {
		idle(TimerRunUp)
	}
	for g := range x.gates { // a gate that is shut, told so, and of which no old word is on its way: its switch will say nothing else
		bit := Mask(1) << g
		if (w.s.CmdOpen|w.s.Open|w.d.AtOpen|w.d.GoOpen)&bit == 0 && !(w.late.is && int(w.late.gate) == g) {
			w.s.Travels &^= bit
			idle(TimerGate + Timer(g))
		}
	}
	if x.dials.Timed {
		if w.d.Fan != Coasting {
			w.coast = 0
		}
		for g := range x.gates {
			if !w.d.underway().has(g) {
				w.gate[g] = 0
			}
		}
		return
	}
	w.coast, w.gate = 0, [proofGates]uint8{}
}
