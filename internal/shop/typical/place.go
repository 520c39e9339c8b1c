package typical

import (
	"strings"

	"winnow/internal/unit"
)

// place is what is usual for sites, rooms and circuits.
type place struct {
	altitude    unit.Amount[unit.Metre]
	temperature unit.Amount[unit.Kelvin]
	humidity    unit.Amount[unit.Fraction]

	width, depth, height Pair[unit.Metre]
	airChanges           unit.Amount[unit.PerSec]
	obstacle, portHeight unit.Amount[unit.Metre]
	outlet               Pair[unit.Metre]
	cleanerHeight        unit.Amount[unit.Metre]

	circuits         map[string]circuitRow
	wires            map[string][]wireRow
	cord, extension  Pair[unit.Metre]
	extensionWire    Pair[unit.Wire]
	alarm, lost, old unit.Amount[unit.Second]
	starts, stops    unit.Amount[unit.Fraction] // of the plate's amps
	suction, slack   unit.Amount[unit.Fraction] // of the pull with the inlet blocked
	hours            unit.Amount[unit.Second]
	leastRun         unit.Amount[unit.Second]
}

type circuitRow struct {
	voltage unit.Amount[unit.Volt]
	breaker unit.Amount[unit.Ampere]
	length  unit.Amount[unit.Metre]
	curve   string
}

type wireRow struct {
	from unit.Ampere
	wire unit.Amount[unit.Wire]
}

// MotorKind ties a plate's power to its current, and its current to idling and starting.
type MotorKind struct {
	Name  string
	Ratio unit.Amount[unit.Fraction] // shaft power over volts times amps
	Idle  unit.Amount[unit.Fraction] // of the plate's amps
	Start unit.Amount[unit.Number]   // times the plate's amps
}

// MotorOf finds a kind of motor: induction, universal.
func MotorOf(drive string) (*MotorKind, bool) { return tables().motors.find(drive) }

// LoadKind is something that draws current and makes no dust.
type LoadKind struct {
	Name    string
	Also    []string
	Current unit.Amount[unit.Ampere] // at 120 V
	Start   unit.Amount[unit.Ampere]
	Power   unit.Amount[unit.Watt]
	Works   string
}

// LoadOf finds a load by a word of its name; any other name is of unsaid kind, and false.
func LoadOf(name string) (*LoadKind, bool) {
	x := &tables().loads
	for _, word := range append([]string{name}, splitWords(name)...) {
		if k, ok := x.find(word); ok {
			return k, true
		}
		if k, ok := x.find(trimS(word)); ok {
			return k, true
		}
	}
	return x.at("unsaid"), false
}

// LoadKinds lists them.
func LoadKinds() []*LoadKind { return tables().loads.list }

func (b *book) readPlace() {
	p := &b.place
	p.circuits, p.wires = map[string]circuitRow{}, map[string][]wireRow{}
	for _, e := range entries("room.txt") {
		names := append([]string{e.name}, e.list("also")...)
		switch e.class {
		case "site":
			p.altitude, p.temperature = need[unit.Metre](b, e, "altitude"), need[unit.Kelvin](b, e, "temperature")
			p.humidity = need[unit.Fraction](b, e, "humidity")
		case "room":
			b.room(e)
		case "circuit":
			p.circuits[e.name] = circuitRow{need[unit.Volt](b, e, "voltage"), need[unit.Ampere](b, e, "breaker"), need[unit.Metre](b, e, "length"), e.text("curve")}
		case "wire":
			w := need[unit.Wire](b, e, "wire")
			family := e.name[:2]
			w.Source = b.sources[map[string]string{"us": "S-142", "ie": "S-143"}[family]].String()
			p.wires[family] = append(p.wires[family], wireRow{need[unit.Ampere](b, e, "breaker").Best, w})
		case "cord":
			b.cord(e)
		case "motor":
			b.motors.add(&MotorKind{e.name, need[unit.Fraction](b, e, "ratio"), need[unit.Fraction](b, e, "idle"), need[unit.Number](b, e, "start")}, e, names...)
		case "load":
			b.loads.add(&LoadKind{
				e.name, names[1:], need[unit.Ampere](b, e, "current us"), need[unit.Ampere](b, e, "start us"),
				need[unit.Watt](b, e, "power"), e.text("works"),
			}, e, names...)
		case "control":
			p.alarm, p.lost, p.old = need[unit.Second](b, e, "alarm"), need[unit.Second](b, e, "lost"), need[unit.Second](b, e, "stale")
		case "sensor":
			starts, stops := need[unit.Fraction](b, e, "starts"), need[unit.Fraction](b, e, "stops")
			if e.name == "current" {
				p.starts, p.stops = starts, stops
			} else {
				p.suction, p.slack = starts, stops
			}
		case "routine":
			p.hours = need[unit.Second](b, e, "hours")
		default:
			e.bad(e.no, "nobody reads this entry")
		}
		e.done()
	}
}

func (b *book) room(e *entry) {
	p := &b.place
	both := func(key string) Pair[unit.Metre] {
		return Pair[unit.Metre]{need[unit.Metre](b, e, key+" us"), need[unit.Metre](b, e, key+" si")}
	}
	p.width, p.depth, p.height, p.outlet = both("width"), both("depth"), both("height"), both("outlet")
	p.airChanges = need[unit.PerSec](b, e, "air changes")
	p.obstacle, p.portHeight = need[unit.Metre](b, e, "obstacle"), need[unit.Metre](b, e, "port height")
	p.cleanerHeight = need[unit.Metre](b, e, "cleaner height us")
}

func (b *book) cord(e *entry) {
	p := &b.place
	length := Pair[unit.Metre]{need[unit.Metre](b, e, "length"), need[unit.Metre](b, e, "length si")}
	if e.name == "machine" {
		p.cord = length
		return
	}
	p.extension = length
	p.extensionWire = Pair[unit.Wire]{need[unit.Wire](b, e, "wire us"), need[unit.Wire](b, e, "wire si")}
}

// WireFor returns the smallest usual copper wire of a breaker.
func WireFor(breaker unit.Ampere, sys unit.System) unit.Amount[unit.Wire] {
	family := "us"
	if sys == unit.SI {
		family = "ie"
	}
	rows := tables().place.wires[family]
	w := rows[0].wire
	for _, r := range rows {
		if breaker >= r.from {
			w = r.wire
		}
	}
	return w
}

func splitWords(name string) []string { return strings.Fields(fold(name)) }

// trimS takes a plural's s away.
func trimS(word string) string { return strings.TrimSuffix(word, "s") }
