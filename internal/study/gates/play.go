package gates

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"winnow/internal/shop"
)

// Play plays a scenario against the controller of a plant and returns the story: what happened, and every command with its rule.
//
// A scenario is lines of a time, two spaces or more, and what happens; # begins a remark:
//
//	0 s     saw on
//	30 s    saw off
//	40 s    saw gate jams
//	600 s   end
//
// What can happen: STATION on, STATION off, SENSOR silent, SENSOR speaks (by the station's name), GATE jams, GATE frees, GATE deaf,
// GATE lost, GATE back, start, stop, start and stop, seen, selector auto | off | hand, emergency stop, emergency released, lock,
// unlock, link lost, link back, power back, stall (the controller stands still), end. The last line must be end.
func Play(p *Plant, scenario string) (string, error) {
	acts, err := readScenario(p, scenario)
	if err != nil {
		return "", err
	}
	y := newPlayer(p)
	y.input("power on", Input{Kind: Boot})
	for _, a := range acts {
		y.runTo(a.at)
		if a.what == "end" {
			return y.story.String(), nil
		}
		y.happen(a)
	}
	return "", fmt.Errorf("the last line of a scenario must be `TIME  end`")
}

type scenarioAct struct {
	at    Millis
	what  string // without the name
	index int
	line  string
}

var scenarioWords = []string{
	"start", "stop", "start and stop", "seen", "selector auto", "selector off", "selector hand", "emergency stop", "emergency released",
	"lock", "unlock", "link lost", "link back", "power back", "stall", "end",
}

func readScenario(p *Plant, text string) ([]scenarioAct, error) {
	var acts []scenarioAct
	for n, line := range strings.Split(text, "\n") {
		line, _, _ = strings.Cut(line, "#")
		line = strings.TrimSpace(line)
		if line == "" {
			continue
		}
		time, what, ok := strings.Cut(line, "  ")
		what = strings.TrimSpace(what)
		seconds, isTime := strings.CutSuffix(strings.TrimSpace(time), " s")
		f, err := strconv.ParseFloat(seconds, 64)
		if !ok || !isTime || err != nil || f < 0 || f > 1e6 {
			return nil, fmt.Errorf("line %d: %q does not begin with a time in seconds and two spaces, as in `30 s  saw off`", n+1, line)
		}
		a := scenarioAct{at: Millis(f*1000 + 0.5), line: what}
		if len(acts) > 0 && a.at < acts[len(acts)-1].at {
			return nil, fmt.Errorf("line %d: %s is before the line above it", n+1, time)
		}
		if a.what, a.index, ok = scenarioWord(p, what); !ok {
			return nil, fmt.Errorf("line %d: %q is nothing that can happen to %s; its stations: %s; its gates: %s; besides: %s", n+1, what, p.Name,
				strings.Join(stationNames(p), ", "), strings.Join(gateNames(p), ", "), strings.Join(scenarioWords, ", "))
		}
		acts = append(acts, a)
	}
	if len(acts) == 0 || acts[len(acts)-1].what != "end" {
		return nil, fmt.Errorf("the last line of a scenario must be `TIME  end`")
	}
	return acts, nil
}

func scenarioWord(p *Plant, what string) (string, int, bool) {
	if slices.Contains(scenarioWords, what) {
		return what, 0, true
	}
	for i, name := range stationNames(p) {
		if verb, ok := strings.CutPrefix(what, name+" "); ok && slices.Contains([]string{"on", "off", "silent", "speaks"}, verb) {
			return verb, i, true
		}
	}
	for i, name := range gateNames(p) {
		if verb, ok := strings.CutPrefix(what, name+" "); ok && slices.Contains([]string{"jams", "frees", "deaf", "lost", "back"}, verb) {
			return verb, i, true
		}
	}
	return "", 0, false
}

func stationNames(p *Plant) (names []shop.ID) {
	for _, s := range p.Stations {
		names = append(names, s.Name)
	}
	return names
}

func gateNames(p *Plant) (names []shop.ID) {
	for _, g := range p.Gates {
		names = append(names, g.Name)
	}
	return names
}

const never = ^Millis(0)

// player moves the devices by the clock of the scenario.
type player struct {
	p      *Plant
	s      State
	d      Devices
	now    Millis
	due    [timers]Millis
	gate   [MaxGates]Millis // when it arrives
	drop   Millis           // when the run contact drops by itself
	coast  Millis           // when the fan stands
	proof  Millis           // when the air is felt or gone
	beat   Millis           // next heartbeat of the sensors
	silent Mask
	stall  bool

	unlinked, hand bool
	out            []Command
	story          strings.Builder
}

func newPlayer(p *Plant) *player {
	y := &player{p: p, d: newDevices(p), drop: never, coast: never, proof: never, beat: p.Stale / 3}
	for i := range y.due {
		y.due[i] = never
	}
	for i := range y.gate {
		y.gate[i] = never
	}
	return y
}

func (y *player) say(format string, args ...any) {
	fmt.Fprintf(&y.story, "%9.2f s  %s\n", float64(y.now)/1000, fmt.Sprintf(format, args...))
}

// input gives the controller an input; what it is called is told where it is not empty.
func (y *player) input(called string, in Input) {
	if called != "" {
		y.say("%s", called)
	}
	if y.stall || y.unlinked && in.Kind <= GateBack && in.Kind != Boot {
		return // nobody hears it
	}
	if in.Kind == Boot {
		for i := range y.due {
			y.due[i] = never
		}
	}
	y.s, y.out = Step(y.p, y.s, in, y.out[:0])
	for _, c := range y.out {
		y.obey(c)
	}
	if in.Kind == Boot || in.Kind == LinkBack { // what the switches last said is kept by the broker
		for g := range y.p.Gates {
			y.report(g, y.d.AtOpen.has(g))
		}
	}
}

func (y *player) obey(c Command) {
	switch c.Kind {
	case Arm:
		y.due[c.Timer] = y.now + c.Time
		return
	case Disarm:
		y.due[c.Timer] = never
		return
	}
	if c.Rule != 16 {
		y.say("    %s", describe(y.p, c))
	}
	was := y.d
	y.d.obey(y.p, c)
	if y.hand && c.Kind == StopFan {
		y.d.Fan = Running // by hand
		return
	}
	switch c.Kind {
	case RunFan:
		y.drop = y.now + c.Time
		y.coast = never
		if was.Fan != Running {
			y.proof = y.now + y.p.RunUp
		}
	case StopFan:
		y.fanLetGo(was)
	case OpenGate, ShutGate:
		g := int(c.Index)
		if was.GoOpen == y.d.GoOpen && y.gate[g] != never {
			return // the same again changes nothing
		}
		if y.d.underway().has(g) {
			y.gate[g] = y.now + y.p.Gates[g].Travel
			if y.d.AtOpen.has(g) {
				y.d.leave(g)
				y.report(g, false)
			}
		} else if !y.d.Jam.has(g) && !y.d.Deaf.has(g) {
			y.gate[g] = never
			y.report(g, y.d.AtOpen.has(g)) // it is there already, and says so
		}
	}
}

func (y *player) fanLetGo(was Devices) {
	y.drop = never
	if was.Fan == Running {
		y.coast = y.now + y.p.Coast
		y.proof = y.now
	}
}

// report is the word of an end switch.
func (y *player) report(g int, open bool) {
	if y.p.Gates[g].Proof != BySwitch {
		return
	}
	y.due2(Input{Kind: SwitchOpen, Index: int8(g), Value: truth(open)})
}

// due2 gives an input that a command brought about, after the commands of this step.
func (y *player) due2(in Input) {
	rest := slices.Clone(y.out)
	y.input("", in)
	y.out = rest
}

func truth(b bool) int32 {
	if b {
		return 1
	}
	return 0
}

// runTo lets time pass.
func (y *player) runTo(until Millis) {
	for {
		next, timer := y.next()
		if next > until {
			y.now = until
			return
		}
		y.now = next
		switch {
		case timer >= 0:
			y.due[timer] = never
			y.input("", Input{Kind: Fired, Timer: Timer(timer)})
		case next == y.drop:
			y.say("the run contact drops by itself")
			was := y.d
			y.d.letGo()
			y.fanLetGo(was)
		case next == y.coast:
			y.coast = never
			y.d.Fan = Standing
			y.say("the fan stands")
		case next == y.proof:
			y.proof = never
			y.feel()
		case next == y.beat:
			y.beat += y.p.Stale / 3
			y.heartbeat()
		default:
			y.arrivals()
		}
	}
}

// next is what comes first; what the devices do at an instant comes before a timer.
func (y *player) next() (Millis, int) {
	at := min(y.drop, y.coast, y.proof, y.beat, slices.Min(y.gate[:]))
	timer := -1
	if !y.stall {
		for i, d := range y.due {
			if d < at {
				at, timer = d, i
			}
		}
	}
	return at, timer
}

func (y *player) arrivals() {
	for g := range y.p.Gates {
		if y.gate[g] == y.now {
			y.gate[g] = never
			if y.d.Jam.has(g) {
				continue
			}
			y.d.arrive(g)
			word := "shut"
			if y.d.AtOpen.has(g) {
				word = "open"
			}
			y.say("%s is %s", y.p.Gates[g].Name, word)
			y.report(g, y.d.AtOpen.has(g))
			return
		}
	}
}

// feel is the suction as it is: that of a shut inlet where no gate is open.
func (y *player) feel() {
	if !y.p.Proved {
		return
	}
	value := int32(0)
	if y.d.Fan == Running {
		value = 2 * y.p.ProvedAt
		if y.d.AtOpen == 0 && len(y.p.Gates) > 0 && y.p.ShutOff > 0 {
			value = y.p.ShutOff
		}
	}
	y.input("", Input{Kind: Suction, Value: value})
}

func (y *player) heartbeat() {
	for i := range y.p.Stations {
		if !y.silent.has(i) {
			y.read(i, "")
		}
	}
	if y.proof == never {
		y.feel()
	}
}

func (y *player) read(i int, called string) {
	value := int32(0)
	if y.d.Machines.has(i) {
		value = 4 * y.p.Stations[i].StartsAt
	}
	y.input(called, Input{Kind: Reading, Index: int8(i), Value: value})
}

func (y *player) happen(a scenarioAct) {
	bit, g := Mask(1)<<a.index, int8(a.index)
	switch a.what {
	case "on", "off":
		y.d.Machines &^= bit
		if a.what == "on" {
			y.d.Machines |= bit
		}
		if y.silent.has(a.index) {
			y.say("%s", a.line)
			return
		}
		y.read(a.index, a.line)
	case "silent":
		y.silent |= bit
		y.say("%s", a.line)
	case "speaks":
		y.silent &^= bit
		y.read(a.index, a.line)
	case "jams":
		y.d.Jam |= bit
		y.say("%s", a.line)
	case "frees":
		y.d.Jam &^= bit
		y.say("%s", a.line)
	case "deaf":
		y.d.Deaf |= bit
		y.say("%s", a.line)
	case "lost":
		y.input(a.line, Input{Kind: GateLost, Index: g})
	case "back":
		y.input(a.line, Input{Kind: GateBack, Index: g})
	case "start":
		y.input(a.line, Input{Kind: Buttons, Value: PressStart})
	case "stop":
		y.input(a.line, Input{Kind: Buttons, Value: PressStop})
	case "start and stop":
		y.input(a.line, Input{Kind: Buttons, Value: PressStart | PressStop})
	case "seen":
		y.input(a.line, Input{Kind: Buttons, Value: PressSeen})
	case "selector auto":
		y.turn(a.line, Auto)
	case "selector off":
		y.turn(a.line, Off)
	case "selector hand":
		y.turn(a.line, Hand)
	case "emergency stop", "emergency released":
		y.input(a.line, Input{Kind: EmergencyStop, Value: truth(a.what == "emergency stop")})
	case "lock", "unlock":
		y.input(a.line, Input{Kind: LockFlag, Value: truth(a.what == "lock")})
	case "link lost":
		y.input(a.line, Input{Kind: LinkLost})
		y.unlinked = true
	case "link back":
		y.unlinked = false
		y.input(a.line, Input{Kind: LinkBack})
	case "power back":
		y.stall = false
		y.input(a.line, Input{Kind: Boot})
	case "stall":
		y.say("%s", a.line)
		y.stall = true
	}
}

// turn is the wired selector: by HAND the fan runs without us, else only by our contact.
func (y *player) turn(line string, m Mode) {
	was := y.d
	switch {
	case m == Hand && was.Fan != Running:
		y.d.Fan, y.coast, y.proof = Running, never, y.now+y.p.RunUp
	case m != Hand:
		y.d.letGo()
		y.fanLetGo(was)
	}
	y.hand = m == Hand
	y.input(line, Input{Kind: Selector, Value: int32(m)})
}

// describe says a command as an owner would, with the rule that made it.
func describe(p *Plant, c Command) string {
	var what string
	switch c.Kind {
	case OpenGate:
		what = "open " + p.Gates[c.Index].Name
	case ShutGate:
		what = "shut " + p.Gates[c.Index].Name
	case RunFan:
		what = "run " + p.Name
	case StopFan:
		what = "stop " + p.Name
	case LampOn:
		what = "lamp: ready"
	case LampOff:
		what = "lamp: wait"
	case RaiseAlarm:
		what = "alarm: " + Alarm(c.Index).String()
	case ClearAlarm:
		what = "over: " + Alarm(c.Index).String()
	case Arm:
		what = fmt.Sprintf("in %.2f s: %s", float64(c.Time)/1000, c.Timer)
	case Disarm:
		what = "no more: " + c.Timer.String()
	}
	return fmt.Sprintf("%-44s rule %d", what, c.Rule)
}
