package gates

import "math/bits"

// Fan is what the controller takes the fan to do.
type Fan uint8

const (
	Standing Fan = iota
	Running
	Coasting
)

// State is all the controller remembers. It holds no time: what is to come is in armed timers. It is comparable, and small.
type State struct {
	On       Mask // stations recognised as running
	Rising   Mask // above the upper level, not yet for long enough
	Falling  Mask
	Seen     Mask // seen off since boot, a stop or a lost sensor: only then is going on a start
	Edge     Mask // started where we saw it, so we follow
	Admitted Mask // whose gates are wanted: running, or keeping the fan running
	Keep     Mask // stopped, and the fan keeps running for it
	Lost     Mask
	AirDue   Mask // TimerAir is armed

	CmdOpen Mask // gates last told to open
	Known   Mask // gates told anything since boot
	Open    Mask // at the open end, by switch, by travel or by hand
	Travels Mask
	Fault   Mask
	GateOut Mask // no signal

	Starts uint16 // starts of the last hour, a bit each
	Alarms uint16
	Issue  uint16
	Fan    Fan
	Mode   Mode
	Flags  flags
}

type flags uint16

const (
	stopped flags = 1 << iota // emergency stop or fire
	locked
	linkless
	person   // a person's start, no machine runs
	young    // least running time not over
	resting  // least rest not over
	recent   // a machine started in the last minute
	stretch  // keeps running longer
	delayed  // the machine's motor runs up
	rescuing // the gate left open was told to open
	running  // our fan's run-up is over, or air is proved
	blocked  // suction as with nothing open, not for long enough
	lamp
	saidNotProved
)

// Confirmed are the gates known to be open and told to stay so.
func (s State) Confirmed() Mask { return s.CmdOpen & s.Open &^ s.Fault &^ s.GateOut }

// Spins reports whether the fan may turn.
func (s State) Spins() bool { return s.Fan != Standing || s.Mode == Hand }

func (s State) is(f flags) bool { return s.Flags&f != 0 }

// Step is the whole behaviour: the same state and input give the same commands. The caller stores the state before it sends any
// command, and appends to out to spare the allocation.
func Step(p *Plant, s State, in Input, out []Command) (State, []Command) {
	a := act{p, s, out}
	a.sense(in)
	if !a.s.is(linkless) {
		a.admit()
		a.openGates()
		a.driveFan()
		a.shutGates()
		a.rescue()
	}
	a.tell()
	return a.s, a.out
}

type act struct {
	p   *Plant
	s   State
	out []Command
}

func (a *act) set(f flags, on bool) {
	a.s.Flags &^= f
	if on {
		a.s.Flags |= f
	}
}

func (a *act) command(rule uint8, kind CommandKind, index int) {
	a.s.Issue++
	time := 2 * a.p.Reassert // void by then: nothing is kept for a device that is away
	if kind == RunFan {
		time = a.p.Watchdog
	}
	a.out = append(a.out, Command{Kind: kind, Index: int8(index), Rule: rule, Issue: a.s.Issue, Time: time})
}

func (a *act) arm(rule uint8, t Timer, time Millis) {
	a.out = append(a.out, Command{Kind: Arm, Rule: rule, Timer: t, Time: time})
}

func (a *act) disarm(rule uint8, t Timer) {
	a.out = append(a.out, Command{Kind: Disarm, Rule: rule, Timer: t})
}

func (a *act) alarm(rule uint8, x Alarm, on bool) {
	bit := uint16(1) << x
	if on == (a.s.Alarms&bit != 0) {
		return
	}
	a.s.Alarms ^= bit
	kind := ClearAlarm
	if on {
		kind = RaiseAlarm
	}
	a.out = append(a.out, Command{Kind: kind, Index: int8(x), Rule: rule})
}

// sense takes an input into the state.
func (a *act) sense(in Input) {
	i := int(in.Index)
	switch in.Kind {
	case Boot:
		a.boot()
	case Reading:
		a.reading(i, in.Value)
	case Suction:
		a.suction(in.Value)
	case SwitchOpen:
		a.openSwitch(i, in.Value != 0)
	case GateLost: // rule 14, 17: it keeps its place, and counts as shut where one must be open
		a.s.GateOut |= 1 << i
		a.s.Open &^= 1 << i
		a.stopTravel(17, i)
	case GateBack:
		a.gateBack(i)
	case Buttons:
		a.buttons(in.Value)
	case Selector:
		a.selector(Mode(in.Value))
	case EmergencyStop:
		a.set(stopped, in.Value != 0)
		if in.Value != 0 {
			a.stopAll(7)
		}
	case LockFlag:
		a.set(locked, in.Value != 0)
		if in.Value != 0 {
			a.stopAll(7)
		}
	case LinkLost:
		a.linkLost()
	case LinkBack:
		if a.s.is(linkless) {
			a.boot()
		}
	case Fired:
		a.fired(in.Timer)
	}
}

// boot: motors off, nothing believed, no start but one that is seen (rule 9). The starts of the last hour stay counted.
func (a *act) boot() {
	was := a.s
	a.s = State{Starts: was.Starts, Issue: was.Issue, Mode: was.Mode, Fan: Coasting, Flags: was.Flags & (stopped | locked)}
	if was.Alarms>>Linkless&1 == 1 {
		a.s.Alarms = 1 << Linkless
		a.alarm(17, Linkless, false)
	}
	a.command(9, StopFan, 0)
	a.arm(5, TimerCoast, a.p.Coast+a.p.Reassert)
	a.arm(16, TimerAssert, a.p.Reassert)
	for i := range a.p.Starts {
		if was.Starts>>i&1 == 1 {
			a.arm(6, TimerStart+Timer(i), hour)
		}
	}
	for i := range a.p.Stations {
		a.arm(13, TimerStale+Timer(i), a.p.Stale)
	}
	for g := range a.p.Gates {
		if a.p.Gates[g].Proof == ByHand {
			a.s.Known |= 1 << g
		}
	}
}

// reading classifies a station's current (rules 12 and 13).
func (a *act) reading(i int, value int32) {
	st, bit := &a.p.Stations[i], Mask(1)<<i
	a.arm(13, TimerStale+Timer(i), a.p.Stale)
	if a.s.Lost&bit != 0 {
		a.s.Lost &^= bit
		if a.s.On&bit == 0 {
			a.s.Seen &^= bit // lost, then on: no start
		} else {
			a.disarm(13, TimerHold+Timer(i))
		}
		a.alarm(13, NoSignal, a.s.Lost != 0)
	}
	high, low := value >= st.StartsAt, value < st.StopsAt
	if !high && a.s.Rising&bit != 0 {
		a.s.Rising &^= bit
		a.disarm(12, TimerOn+Timer(i))
	}
	if !low && a.s.Falling&bit != 0 {
		a.s.Falling &^= bit
		a.disarm(12, TimerOff+Timer(i))
	}
	switch {
	case high && (a.s.On|a.s.Rising)&bit == 0:
		a.s.Rising |= bit
		a.arm(12, TimerOn+Timer(i), a.p.OnDelay)
	case low && a.s.Falling&bit == 0 && (a.s.On&bit != 0 || a.s.Seen&bit == 0):
		a.s.Falling |= bit
		a.arm(12, TimerOff+Timer(i), a.p.OffDelay)
	}
}

// suction proves the fan, or that nothing is open.
func (a *act) suction(value int32) {
	if !a.p.Proved {
		return
	}
	a.arm(13, TimerProof, a.p.Stale)
	full := a.p.ShutOff > 0 && value >= a.p.ShutOff
	switch {
	case full && !a.s.is(blocked):
		a.set(blocked, true)
		a.arm(1, TimerBlocked, 2000)
	case !full && a.s.is(blocked):
		a.set(blocked, false)
		a.disarm(1, TimerBlocked)
	}
	if !full {
		a.alarm(1, NothingOpen, false)
	}
	switch {
	case value >= a.p.ProvedAt && !full:
		a.set(running, true)
	case value < a.p.NotProved:
		a.set(running, false)
	}
}

func (a *act) openSwitch(g int, made bool) {
	bit := Mask(1) << g
	a.s.GateOut &^= bit
	switch {
	case made:
		a.s.Open |= bit
		if a.s.CmdOpen&bit != 0 {
			a.s.Fault &^= bit
			a.stopTravel(14, g)
		}
	case a.s.Open&bit != 0:
		a.s.Open &^= bit
		if a.s.CmdOpen&bit != 0 && a.s.Travels&bit == 0 {
			a.s.Fault |= bit // it left the open end unasked
		}
	}
}

func (a *act) stopTravel(rule uint8, g int) {
	if a.s.Travels>>g&1 == 1 {
		a.s.Travels &^= 1 << g
		a.disarm(rule, TimerGate+Timer(g))
	}
}

// gateBack drives a gate again to where it was told to be: what was believed of it is void (rule 17).
func (a *act) gateBack(g int) {
	bit := Mask(1) << g
	if a.s.GateOut&bit == 0 {
		return
	}
	a.s.GateOut &^= bit
	if a.s.CmdOpen&bit != 0 && !a.hold() {
		a.drive(17, g, true)
	}
}

// stopAll is a stop by a person: nothing that runs now counts as a start afterwards (rules 7 and 8).
func (a *act) stopAll(rule uint8) {
	a.s.Edge, a.s.Admitted = 0, 0
	a.s.Seen &^= a.s.On | a.s.Rising
	for i := range a.p.Stations {
		if a.s.Keep.has(i) {
			a.disarm(rule, TimerKeep+Timer(i))
		}
	}
	a.s.Keep = 0
	a.set(person, false)
	a.stopFan(rule)
}

func (a *act) buttons(pressed int32) {
	if pressed&PressSeen != 0 {
		for x := range alarms {
			a.alarm(11, x, false)
		}
		a.s.Fault = 0
	}
	switch {
	case pressed&PressStop != 0: // stop wins (rule 7)
		a.stopAll(7)
	case pressed&PressStart != 0 && !a.barred():
		if a.s.On != 0 {
			a.s.Edge |= a.s.On
			a.alarm(9, RunsUnseen, false)
		} else {
			a.set(person, true)
		}
	}
}

// barred: nothing of ours may start.
func (a *act) barred() bool { return a.s.is(stopped|locked|linkless) || a.s.Mode != Auto }

// hold: gates stay where they are.
func (a *act) hold() bool { return a.s.is(stopped | locked | linkless) }

func (a *act) selector(m Mode) {
	if m == a.s.Mode || m > Hand {
		return
	}
	from := a.s.Mode
	a.s.Mode = m
	switch {
	case m == Off:
		a.stopAll(7)
		if from == Hand {
			a.coast(7)
		}
	case m == Hand && a.s.Fan == Running:
		a.stopFan(7) // we let go; the hand holds it
	case from == Hand:
		a.coast(7)
	}
}

func (a *act) linkLost() {
	a.set(linkless, true)
	a.alarm(17, Linkless, true)
	for i := range a.p.Stations {
		a.lose(i)
	}
	for g := range a.p.Gates {
		if a.p.Gates[g].Proof != ByHand {
			a.stopTravel(17, g)
			a.s.GateOut |= 1 << g
			a.s.Open &^= 1 << g
		}
	}
	a.set(running, false)
}

// lose: no reading in time. What ran is taken to run on for a while (rule 13).
func (a *act) lose(i int) {
	bit := Mask(1) << i
	if a.s.Lost&bit != 0 {
		return
	}
	a.s.Lost |= bit
	if a.s.Rising&bit != 0 {
		a.s.Rising &^= bit
		a.disarm(13, TimerOn+Timer(i))
	}
	if a.s.Falling&bit != 0 {
		a.s.Falling &^= bit
		a.disarm(13, TimerOff+Timer(i))
	}
	a.disarm(13, TimerStale+Timer(i))
	a.alarm(13, NoSignal, true)
	if a.s.On&bit != 0 {
		a.arm(13, TimerHold+Timer(i), a.p.Hold)
	}
}

func (a *act) fired(t Timer) {
	if t < 128 {
		a.firedOf(t&^15, int(t&15))
		return
	}
	switch t {
	case TimerCoast:
		if a.s.Fan == Coasting {
			a.s.Fan = Standing
		}
	case TimerRun:
		a.set(young, false)
	case TimerRest:
		a.set(resting, false)
		a.alarm(6, ShortRest, false)
	case TimerRecent:
		a.set(recent, false)
	case TimerDelay:
		a.set(delayed, false)
	case TimerRescue:
		if a.s.is(rescuing) && a.s.Confirmed() == 0 {
			a.alarm(1, NoGateOpen, true)
			a.stopFan(1)
		}
	case TimerRunUp:
		if a.s.Fan == Running && !a.p.Proved {
			a.set(running, true)
		}
	case TimerBlocked:
		if a.s.is(blocked) {
			a.alarm(1, NothingOpen, true)
			a.s.Fault |= a.s.CmdOpen & a.s.Open // whatever said it was open was wrong
		}
	case TimerProof:
		a.set(running, false)
	case TimerAssert:
		a.assert()
	}
}

func (a *act) firedOf(kind Timer, i int) {
	bit := Mask(1) << i
	switch kind {
	case TimerOn:
		if a.s.Rising&bit != 0 {
			a.s.Rising &^= bit
			a.machineOn(i)
		}
	case TimerOff:
		if a.s.Falling&bit != 0 {
			a.s.Falling &^= bit
			a.machineOff(i)
		}
	case TimerKeep:
		a.s.Keep &^= bit
	case TimerStale:
		a.lose(i)
	case TimerHold:
		if a.s.Lost&a.s.On&bit != 0 {
			a.s.On &^= bit
			a.s.Edge &^= bit
			a.s.Seen &^= bit
		}
	case TimerAir:
		if a.s.AirDue&bit != 0 {
			a.s.AirDue &^= bit
			a.alarm(11, NoExtraction, a.s.On&bit != 0 && !a.proved(i) || a.s.Alarms>>NoExtraction&1 == 1)
		}
	case TimerGate:
		a.arrived(i)
	case TimerStart:
		a.s.Starts &^= 1 << i
		a.alarm(6, ManyStarts, false)
	}
}

// machineOn: a start is only what was seen off before; while our fan runs anyway, whoever runs is followed.
func (a *act) machineOn(i int) {
	bit := Mask(1) << i
	a.s.On |= bit
	if a.s.Keep&bit != 0 {
		a.s.Keep &^= bit
		a.disarm(4, TimerKeep+Timer(i))
	}
	if a.s.Seen&bit == 0 && a.s.Fan != Running || a.s.is(stopped|locked) {
		a.s.Seen &^= bit
		a.alarm(9, RunsUnseen, true)
		return
	}
	a.s.Edge |= bit
	a.set(person, false)
	if a.s.is(recent) {
		a.set(stretch, true)
	}
	a.set(recent, true)
	a.arm(6, TimerRecent, minute)
	if run := a.p.Stations[i].RunUp; run > 0 && a.s.Fan != Running {
		a.set(delayed, true)
		a.arm(19, TimerDelay, run)
	}
}

func (a *act) machineOff(i int) {
	bit := Mask(1) << i
	a.s.Seen |= bit
	if a.s.Admitted&a.s.Edge&bit != 0 {
		keep := a.p.Stations[i].Keep
		if a.s.is(stretch) {
			keep *= 2
		}
		a.s.Keep |= bit
		a.arm(4, TimerKeep+Timer(i), keep)
	}
	a.s.On &^= bit
	a.s.Edge &^= bit
	if a.s.On&^a.s.Edge == 0 {
		a.alarm(9, RunsUnseen, false)
	}
}

// arrived: the travel of a gate is over, or its time to prove it.
func (a *act) arrived(g int) {
	bit := Mask(1) << g
	if a.s.Travels&bit == 0 {
		return
	}
	a.s.Travels &^= bit
	told, open := a.s.CmdOpen&bit != 0, a.s.Open&bit != 0
	switch {
	case a.p.Gates[g].Proof == ByTravel:
		if told && a.s.GateOut&bit == 0 {
			a.s.Open |= bit
		}
	case told != open:
		a.s.Fault |= bit
	case told:
		a.s.Fault &^= bit
	}
}

// assert says all levels again (rule 16).
func (a *act) assert() {
	a.arm(16, TimerAssert, a.p.Reassert)
	if a.s.is(linkless) {
		return
	}
	kind := StopFan
	if a.s.Fan == Running {
		kind = RunFan
	}
	a.command(16, kind, 0)
	for g := range a.p.Gates {
		if a.p.Gates[g].Proof == ByHand || a.s.Known>>g&1 == 0 {
			continue
		}
		kind = ShutGate
		if a.s.CmdOpen>>g&1 == 1 {
			kind = OpenGate
		}
		a.command(16, kind, g)
	}
}

// admit decides whose gates are wanted (rules 15 and 19).
func (a *act) admit() {
	a.s.Admitted &= a.s.On&a.s.Edge | a.s.Keep
	refused := a.s.On & a.s.Edge &^ a.s.Admitted
	for again := true; again; { // one more machine may make a set that is permitted where a smaller one was not: more air, a faster pipe
		again = false
		for i := range a.p.Stations {
			if bit := Mask(1) << i; refused&bit != 0 && a.p.verdict(a.s.Admitted&a.s.On|bit) != SetRefuse {
				a.s.Admitted |= bit
				refused &^= bit
				again = true
			}
		}
	}
	a.alarm(15, SetRefused, refused != 0)
	a.alarm(15, SetWarned, a.p.verdict(a.s.Admitted&a.s.On) == SetWarn)
}

func (p *Plant) verdict(set Mask) SetVerdict {
	if int(set) < len(p.sets) {
		return p.sets[set]
	}
	return SetWarn // never asked
}

// wanted are the gates that should be open.
func (a *act) wanted() Mask {
	if a.p.AllOpen {
		return 1<<len(a.p.Gates) - 1
	}
	if a.s.Admitted == 0 {
		if a.s.is(person) {
			return a.p.Idle | a.p.Rescue
		}
		return a.p.Idle
	}
	var m Mask
	for i := range a.p.Stations {
		if a.s.Admitted.has(i) {
			m |= a.p.Stations[i].Gates
		}
	}
	if a.p.verdict(a.s.Admitted&a.s.On) == SetBleed || a.p.verdict(a.s.Admitted) == SetBleed { // also while the fan keeps running
		m |= a.p.Bleed
	}
	return m
}

// drive tells a gate where to be.
func (a *act) drive(rule uint8, g int, open bool) {
	bit, gate := Mask(1)<<g, &a.p.Gates[g]
	a.s.Known |= bit
	kind := ShutGate
	a.s.CmdOpen &^= bit
	if open {
		kind = OpenGate
		a.s.CmdOpen |= bit
	}
	if gate.Proof == ByHand { // the owner answers for it
		a.s.Open = a.s.Open&^bit | a.s.CmdOpen&bit
		return
	}
	time := gate.Travel
	if gate.Proof == BySwitch {
		time = gate.TimeOut
	}
	a.s.Open &^= bit         // it must say anew where it is: an older word may be late
	a.command(rule, kind, g) // a fault stays until the gate shows itself at its end, or a person has seen it
	a.s.Travels |= bit
	a.arm(14, TimerGate+Timer(g), time)
}

// openGates opens what is wanted (rule 2), and what stays open when nothing runs (rule 5).
func (a *act) openGates() {
	if a.hold() {
		return
	}
	want := a.wanted()
	opening := uint8(2)
	if a.s.Admitted == 0 {
		opening = 5 // the gate left open when idle
	}
	for g := range a.p.Gates {
		if want.has(g) && !a.s.CmdOpen.has(g) {
			a.drive(opening, g, true)
		}
	}
}

// shutGates shuts the rest: while the fan may turn, or was just told to run, only if another gate is confirmed and stays
// (rules 1, 3 and 5).
func (a *act) shutGates() {
	if a.hold() {
		return
	}
	want := a.wanted()
	rule := uint8(5)
	if a.s.Spins() {
		rule = 3
		if a.s.Confirmed()&want == 0 || want&^(a.s.Confirmed()|a.s.Fault|a.s.GateOut) != 0 {
			return
		}
	}
	for g := range a.p.Gates {
		if !want.has(g) && (a.s.CmdOpen.has(g) || !a.s.Known.has(g)) && !a.s.GateOut.has(g) {
			a.drive(rule, g, false)
		}
	}
}

// driveFan starts behind a confirmed gate and stops when nobody needs it (rules 2, 4, 6 and 19).
func (a *act) driveFan() {
	active := a.s.Admitted & a.s.On
	if a.s.Fan != Running {
		a.alarm(6, StopWithheld, false)
		if (active != 0 || a.s.is(person)) && !a.barred() && !a.s.is(delayed) && a.ready(active) {
			a.startFan()
		}
		return
	}
	if a.s.Admitted != 0 || a.s.is(person) {
		a.alarm(6, StopWithheld, false)
		return
	}
	if a.s.is(young) || bits.OnesCount16(a.s.Starts) >= a.p.Starts {
		a.alarm(6, StopWithheld, true)
		return
	}
	a.stopFan(4)
}

// ready: some running station has its whole way open; no fault is relied on.
func (a *act) ready(active Mask) bool {
	open := a.s.Confirmed()
	if len(a.p.Gates) == 0 {
		return true
	}
	if active == 0 {
		return open != 0
	}
	for i := range a.p.Stations {
		if active.has(i) && a.p.Stations[i].Gates&^open == 0 && open != 0 {
			return true
		}
	}
	return false
}

func (a *act) startFan() {
	a.alarm(6, ShortRest, a.s.is(resting)) // never refused for want of rest (rule 6)
	if a.s.Fan == Coasting {
		a.disarm(5, TimerCoast)
	}
	a.s.Fan = Running
	a.set(running, false)
	a.command(2, RunFan, 0)
	if !a.p.Proved { // then the end of the run-up has to stand for a proof
		a.arm(2, TimerRunUp, a.p.RunUp)
	}
	if a.p.RunAtLeast > 0 {
		a.set(young, true)
		a.arm(6, TimerRun, a.p.RunAtLeast)
	}
	free := bits.TrailingZeros16(^a.s.Starts)
	if free < a.p.Starts {
		a.s.Starts |= 1 << free
		a.arm(6, TimerStart+Timer(free), hour)
	} else {
		a.alarm(6, ManyStarts, true)
	}
}

func (a *act) stopFan(rule uint8) {
	if a.s.Fan == Running {
		a.coast(rule)
		a.set(resting, true)
		a.arm(6, TimerRest, a.p.Rest)
	} else if rule == 7 {
		a.command(rule, StopFan, 0)
	}
}

// coast: the run contact is let go; the fan still turns for a while. Should this word be lost, it is said again within Reassert, so
// that much is waited besides.
func (a *act) coast(rule uint8) {
	a.command(rule, StopFan, 0)
	a.s.Fan = Coasting
	a.set(running|stretch|young, false)
	a.arm(5, TimerCoast, a.p.Coast+a.p.Reassert)
}

// rescue opens the gate left open when idle, at once, where none is confirmed while the fan may turn (rule 1).
func (a *act) rescue() {
	if len(a.p.Gates) == 0 {
		return
	}
	if !a.s.Spins() || a.s.Confirmed() != 0 {
		if a.s.is(rescuing) {
			a.set(rescuing, false)
			a.disarm(1, TimerRescue)
		}
		a.alarm(1, NoGateOpen, false)
		return
	}
	if a.s.is(rescuing) || a.hold() {
		return
	}
	if a.p.Rescue == 0 {
		a.alarm(1, NoGateOpen, true)
		a.stopFan(1)
		return
	}
	g := bits.TrailingZeros16(uint16(a.p.Rescue))
	a.set(rescuing, true)
	if !a.s.CmdOpen.has(g) || !a.s.Travels.has(g) {
		a.drive(1, g, true)
	}
	a.arm(1, TimerRescue, rescueTime+a.p.Gates[g].TimeOut)
}

// proved: the air of a station moves, as far as anything can tell.
func (a *act) proved(i int) bool {
	turns := a.s.Fan == Running || a.s.Mode == Hand && a.p.Proved // by hand only a sensor can tell
	return turns && a.s.is(running) && a.p.Stations[i].Gates&^a.s.Confirmed() == 0 && !a.s.is(linkless)
}

// tell brings alarms and the lamp up to date (rules 2, 11 and 14).
func (a *act) tell() {
	all, any := a.s.On != 0, false
	for i := range a.p.Stations {
		bit := Mask(1) << i
		switch {
		case a.s.On&bit == 0 || a.proved(i):
			if a.s.AirDue&bit != 0 {
				a.s.AirDue &^= bit
				a.disarm(11, TimerAir+Timer(i))
			}
		default:
			all, any = false, true
			if a.s.AirDue&bit == 0 && a.s.Alarms>>NoExtraction&1 == 0 {
				a.s.AirDue |= bit
				a.arm(11, TimerAir+Timer(i), a.p.AlarmAfter)
			}
		}
	}
	if !any {
		a.alarm(11, NoExtraction, false)
	}
	a.alarm(14, GateFault, a.s.Fault != 0)
	if a.s.Fan == Running && !a.p.Proved && !a.s.is(saidNotProved) {
		a.set(saidNotProved, true)
		a.alarm(11, NotProvable, true)
	}
	if all != a.s.is(lamp) {
		a.set(lamp, all)
		kind := LampOff
		if all {
			kind = LampOn
		}
		a.out = append(a.out, Command{Kind: kind, Rule: 2})
	}
}
