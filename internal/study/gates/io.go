package gates

import "fmt"

// InputKind is what happened.
type InputKind uint8

const (
	Boot          InputKind = iota // the controller begins, or power came back
	Reading                        // station Index reads Value (mA)
	Suction                        // the proving sensor reads Value (tenths of a pascal, or mA of the fan's motor)
	SwitchOpen                     // the end switch for open of gate Index: Value 1 made, 0 not
	GateLost                       // gate Index gives no signal any more
	GateBack                       // and does again
	Buttons                        // Value: the buttons pressed since the last input, together
	Selector                       // Value: a Mode, as read from the switch at the collector
	EmergencyStop                  // Value 1: pressed, or the fire signal; 0: released
	LockFlag                       // Value 1: somebody works on it; a flag, no lock
	LinkLost                       // the broker is gone
	LinkBack
	Fired // Timer
	inputKinds
)

// Input is one thing that happened. Index and Value mean what its kind says.
type Input struct {
	Kind  InputKind
	Index int8
	Timer Timer
	Value int32
}

// The buttons of Buttons, which may be pressed together.
const (
	PressStart = 1 << iota
	PressStop
	PressSeen // an alarm is acknowledged
)

// Mode is the selector at the collector. It is wired and works without us; we only read it.
type Mode uint8

const (
	Auto Mode = iota
	Off
	Hand
)

// Timer names a timer. One that is armed comes back as Fired, once.
type Timer uint8

// Timers that every station, gate or start has one of: add its number.
const (
	TimerOn    Timer = 16 * iota // station: above its upper level
	TimerOff                     // station: below its lower level
	TimerKeep                    // station: keeps running
	TimerStale                   // station: no reading
	TimerHold                    // station: how long a lost sensor is believed
	TimerAir                     // station: extraction must be proved by then
	TimerGate                    // gate: travel, or its time-out
	TimerStart                   // one of the starts of the last hour
)

// Timers that there is one of.
const (
	TimerCoast   Timer = 128 + iota
	TimerRun           // least running time
	TimerRest          // least rest
	TimerRecent        // a machine started less than a minute ago
	TimerDelay         // the machine's own motor runs up
	TimerRescue        // the gate left open must be confirmed by then
	TimerRunUp         // of our fan
	TimerBlocked       // suction as with nothing open
	TimerAssert        // say all levels again
	TimerProof         // no reading of suction
	timers
)

func (t Timer) String() string {
	if t < 128 {
		what := [...]string{"on", "off", "keep", "stale", "hold", "air", "gate", "start"}
		return fmt.Sprintf("%s %d", what[t/16], t%16+1)
	}
	if t >= timers {
		return "no timer"
	}
	return [...]string{"coast", "run", "rest", "recent", "delay", "rescue", "run-up", "blocked", "assert", "proof"}[t-128]
}

// CommandKind is what the controller can do. None of them reaches the outlet of a machine: that is rule 10.
type CommandKind uint8

const (
	OpenGate   CommandKind = iota // gate Index
	ShutGate                      // gate Index
	RunFan                        // hold the run contact; it drops by itself after Time
	StopFan                       // let the run contact go
	LampOn                        // extraction is proved: cut
	LampOff                       //
	RaiseAlarm                    // Alarm Index
	ClearAlarm                    // Alarm Index
	Arm                           // Timer, to fire in Time
	Disarm                        // Timer
	commandKinds
)

// Command is one output. Gate and fan commands are levels, never toggles; they carry an issue number, so that a late one is known,
// and are void after Time.
type Command struct {
	Kind  CommandKind
	Index int8
	Rule  uint8 // of docs/gates.md: why
	Timer Timer
	Issue uint16
	Time  Millis
}

// Moves reports whether a command goes to a device.
func (c Command) Moves() bool { return c.Kind <= StopFan }

// Alarm is something a person should know.
type Alarm int8

const (
	NoGateOpen Alarm = iota
	NothingOpen
	NoExtraction
	NotProvable
	RunsUnseen
	NoSignal
	GateFault
	SetRefused
	SetWarned
	StopWithheld
	ShortRest
	ManyStarts
	Linkless
	alarms
)

func (a Alarm) String() string {
	return [...]string{
		"the fan turns and no gate is known to be open", "the pull is that of a shut inlet: no gate is open",
		"a machine runs without extraction", "nothing can prove that air moves", "a machine ran before anybody saw it start",
		"a sensor gives no signal", "a gate did not arrive", "these machines may not run at once: extraction is refused to the last",
		"what runs now is too slow or too weak in the pipes, or trips a breaker", "the collector runs on, to spare its motor a start", "the motor had less rest than it should",
		"the motor has had all its starts of this hour", "the link to the devices is gone",
	}[a]
}
