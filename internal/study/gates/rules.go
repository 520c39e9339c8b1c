package gates

import "math/bits"

// ghosts follows, apart from the controller, which machines may count as started.
func (x *walker) ghosts(w *world, in Input) {
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
func (x *walker) check(b *world, in Input, out []Command, a *world) (uint8, string) {
	premise := func(rule int, holds bool) bool {
		if holds {
			x.premises[rule]++
		}
		return holds
	}
	sure := func(s State) Mask { return s.CmdOpen & s.Open &^ s.Fault &^ s.GateOut }
	turns := func(s State) bool { return s.Fan != Standing || s.Mode == Hand }
	p, s := x.plants[a.rest], a.s
	var shut, opened Mask
	run, stop, stopRule := false, false, uint8(0)
	for i := range out {
		c := &out[i]
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
	case !a.hand && a.d.Fan != Standing && hasGates && a.d.AtOpen|s.CmdOpen&s.Open&x.restGates() == 0:
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
	changed := s.On ^ b.s.On
	for m := (s.On | s.Lost | changed) & (1<<x.full - 1); m != 0; m &= m - 1 {
		i := bits.TrailingZeros16(uint16(m))
		bit := Mask(1) << i
		proved := (s.Fan == Running || s.Mode == Hand && p.Proved) && s.is(running) && p.Stations[i].Gates&^sure(s) == 0
		switch {
		case premise(12, changed&bit != 0) && !recognised(in, i):
			return 12, "a machine is taken to start or stop without its level having stood"
		case premise(11, s.On&bit != 0 && !proved) && a.left[x.slotOf[TimerAir+Timer(i)]] == 0 && s.Alarms>>NoExtraction&1 == 0:
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
func (x *walker) wayOpen(s State, active Mask) bool {
	open := s.CmdOpen & s.Open &^ s.Fault &^ s.GateOut
	for i, st := range x.p.Stations {
		if active.has(i) && st.Gates&^open == 0 && open != 0 {
			return true
		}
	}
	return active == 0 && open != 0 || len(x.p.Gates) == 0
}

// unsettled are the gates of machines that are wanted open, and neither known to be open nor out of order.
func (x *walker) unsettled(s State) (m Mask) {
	for i, st := range x.p.Stations {
		if s.Admitted.has(i) {
			m |= st.Gates
		}
	}
	return m &^ (s.CmdOpen & s.Open) &^ s.Fault &^ s.GateOut
}

func (x *walker) refused(s State) (m Mask) { return s.On & s.Edge &^ s.Admitted }

// recognised: what may change a station's state: its debounce, the end of belief, or a new beginning.
func recognised(in Input, i int) bool {
	return in.Kind == Boot || in.Kind == LinkBack || in.Kind == Fired && (in.Timer == TimerOn+Timer(i) || in.Timer == TimerOff+Timer(i) || in.Timer == TimerHold+Timer(i))
}

func (x *walker) overdue(b *world, in Input) bool {
	g := int(in.Timer - TimerGate)
	return x.p.Gates[g].Proof == BySwitch && b.s.Travels.has(g) && b.s.CmdOpen.has(g) && !b.s.Open.has(g)
}

func (x *walker) jamMoves(out []Command, jammed Mask) bool {
	for _, c := range out {
		if (c.Kind == OpenGate || c.Kind == ShutGate) && c.Rule != 1 && jammed>>c.Index&1 == 0 && c.Rule != 3 && c.Rule != 16 {
			return true
		}
	}
	return false
}
