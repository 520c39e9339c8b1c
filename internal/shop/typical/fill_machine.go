package typical

import (
	"math"
	"slices"
	"strings"

	"winnow/internal/shop"
	"winnow/internal/unit"
)

// machine fills one machine from its kind.
func (f *filler) machine(m *shop.Machine) {
	base := shop.MachinePath(m.Name)
	k := f.machineKind(m, base)
	f.footprint(&m.Footprint, k.Width, k.Depth, ofSpace, base)
	fill(f, &m.Infeed, k.Infeed, ofSpace, base, "infeed")
	fill(f, &m.Outfeed, k.Outfeed, ofSpace, base, "outfeed")
	fill(f, &m.Noise, k.Noise, ofNoise, base, "noise")
	f.word(&m.Makes.Form, k.Form, ofUse, base, "makes/form")
	f.rate(&m.Makes.Rate, k.Rate, base)
	f.facing(&m.Facing)
	for i := range m.Places {
		p := &m.Places[i]
		if p.Facing.Basis == unit.Unsaid {
			p.Facing = m.Facing
		}
		f.height(&p.At, f.floor())
	}
	f.machineMotor(m, k, base)
	f.plug(&m.Plug, f.b.place.cord.For(f.sizes), base)
	f.ports(m, k, base)
	f.setups(m, k, base)
}

// machineKind finds what is usual for a machine; a kind nobody wrote is looked for in its name.
func (f *filler) machineKind(m *shop.Machine, base shop.Path) *Machine {
	if m.Kind != "" {
		if k, ok := MachineKind(m.Kind); ok {
			return k
		}
		f.unknown(CodeUnknownKind, base.Join("kind"), m.Kind, f.b.machines.names())
		return WidestMachine()
	}
	k, ok := MachineKind(m.Name)
	if !ok {
		k = kindInName(f.b.machines.list, m.Name)
	}
	f.word(&m.Kind, k.Name, ofMachineKind, base, "kind")
	return k
}

// kindInName takes the kind whose longest spelling stands in a machine's name: "old planer by the door" is a planer.
func kindInName(kinds []*Machine, name string) *Machine {
	best, longest := WidestMachine(), 0
	padded := " " + fold(name) + " "
	for _, k := range kinds {
		if k.Name == widestMachine {
			continue
		}
		for _, w := range append([]string{k.Name}, k.Also...) {
			if w := fold(w); len(w) > longest && strings.Contains(padded, " "+w+" ") {
				best, longest = k, len(w)
			}
		}
	}
	return best
}

func (x *index[T]) names() []string {
	out := make([]string, 0, len(x.by))
	for n := range x.by {
		out = append(out, n)
	}
	slices.Sort(out)
	return out
}

func (f *filler) machineMotor(m *shop.Machine, k *Machine, base shop.Path) {
	if m.Motor.Basis == unit.Absent {
		return
	}
	if m.Motor.Basis == unit.Unsaid {
		if k.Drive == "" {
			m.Motor.Basis = unit.Absent
			return
		}
		m.Motor.Basis = unit.Assumed
	}
	drive := k.Drive
	if drive == "" {
		drive, k = "induction", WidestMachine()
	}
	usual := usualMotor{
		power: k.Power.For(f.mains), voltage: k.Voltage.For(f.mains), current: k.Current.For(f.mains), drive: drive, topic: ofMotor,
	}
	f.motor(&m.Motor.Value, usual, f.outletVolt(m.Plug), base.Join("motor"))
}

// usualMotor is what a motor's plate usually says.
type usualMotor struct {
	power   unit.Amount[unit.Watt]
	voltage unit.Amount[unit.Volt]
	current unit.Amount[unit.Ampere] // at voltage.Best
	drive   string
	topic   *topic
}

// motor fills what a plate does not say from what it does: amps from power and volts, power from amps and volts.
func (f *filler) motor(m *shop.Motor, usual usualMotor, outlet unit.Volt, base shop.Path) {
	volt := usual.voltage
	if outlet > 0 {
		volt.Best, volt.Low, volt.High = outlet, outlet, outlet
	}
	fill(f, &m.Voltage, volt, ofVoltage, base, "voltage")
	kind, _ := MotorOf(usual.drive)
	v := exactly(float64(m.Voltage.Best))
	current := scaled(usual.current, float64(usual.voltage.Best/m.Voltage.Best))
	power := usual.power
	switch {
	case m.Power.Basis == unit.Given && math.Abs(float64(m.Power.Best/usual.power.Best)-1) < 0.03:
		// the usual current is that of just such a motor
	case m.Power.Basis == unit.Given && m.Current.Basis == unit.Unsaid && usual.drive == "universal" && m.Power.Best > 1.3*usual.power.High:
		// "peak" power of a box: no outlet gives it, so the current is that of its sort
	case m.Power.Basis == unit.Given && m.Current.Basis == unit.Unsaid:
		current = over[unit.Ampere, unit.Fraction, unit.Ampere](over[unit.Watt, unit.Number, unit.Ampere](m.Power, v, ""), kind.Ratio, kind.Ratio.Source)
	case m.Current.Basis == unit.Given && m.Power.Basis == unit.Unsaid:
		power = times[unit.Watt, unit.Fraction, unit.Watt](times[unit.Ampere, unit.Number, unit.Watt](m.Current, v, ""), kind.Ratio, kind.Ratio.Source)
	}
	f.fillMotorPower(&m.Power, power, usual.topic, base)
	fill(f, &m.Current, current, ofCurrent, base, "current")
	if m.Phases == 0 {
		if m.Phases = 1; m.Voltage.Best >= 350 {
			m.Phases = 3
		}
	}
}

// fillMotorPower prints hp or kW rather than watts.
func (f *filler) fillMotorPower(dst *unit.Amount[unit.Watt], v unit.Amount[unit.Watt], t *topic, base shop.Path) {
	if fill(f, dst, v, t, base, "power") {
		f.notes[len(f.notes)-1].print = func(sys unit.System) string { return likely(v, sys, unit.PrintMotor) }
	}
}

// rate prints litres or gallons an hour rather than an airflow.
func (f *filler) rate(dst *unit.Amount[unit.M3PerSec], v unit.Amount[unit.M3PerSec], base shop.Path) {
	if fill(f, dst, v, ofRate, base, "makes/rate") {
		f.notes[len(f.notes)-1].print = func(sys unit.System) string { return likely(v, sys, unit.PrintBulk) }
	}
}

// likely writes an amount and its range by another rule than the usual one.
func likely[T unit.Real](v unit.Amount[T], sys unit.System, print func(T, unit.System) string) string {
	best, low, high := print(v.Best, sys), print(v.Low, sys), print(v.High, sys)
	if low == high {
		return best
	}
	return best + ", likely " + low + " to " + high
}

// outletVolt is the voltage of the outlet a thing is plugged into; 0 where it is not known.
func (f *filler) outletVolt(p shop.Maybe[shop.Plug]) unit.Volt {
	if !p.Is() {
		return 0
	}
	if c := f.circuitOf(p.Value.Outlet); c != nil && c.Voltage.Basis != unit.Unsaid {
		return c.Voltage.Best
	}
	return 0
}

// plug fills cord and extension of a thing that is plugged in; where is never guessed.
func (f *filler) plug(p *shop.Maybe[shop.Plug], cord unit.Amount[unit.Metre], base shop.Path) {
	if !p.Is() {
		return
	}
	base = base.Join("plug")
	fill(f, &p.Value.Cord, cord, ofCord, base, "cord")
	x := &p.Value.Extension
	if !x.Is() {
		x.Basis = unit.Absent
		return
	}
	fill(f, &x.Value.Length, f.b.place.extension.For(f.sizes), ofRun, base.Join("extension"), "length")
	fill(f, &x.Value.Wire, f.b.place.extensionWire.For(f.mains), ofWire, base.Join("extension"), "wire")
}

// ports fills the ports; a machine of which none was said gets those its runs speak of, else the kind's first.
func (f *filler) ports(m *shop.Machine, k *Machine, base shop.Path) {
	if m.Ports.Basis == unit.Absent {
		return
	}
	if m.Ports.Basis == unit.Unsaid {
		m.Ports.Basis = unit.Assumed
		names := f.portsSpokenOf(m.Name)
		if len(names) == 0 {
			names = []string{""}
		}
		for _, n := range names {
			m.Ports.Value = append(m.Ports.Value, shop.Port{Name: n})
		}
		f.say(k.nearestPort(names[0], 0).where(), ofPort, base, "port")
	}
	for i := range m.Ports.Value {
		p := &m.Ports.Value[i]
		f.port(p, m, k, shop.PortRef{Machine: m.Name, Port: p.Name}.Path())
	}
}

// where says a usual port in words.
func (p *Port) where() string {
	if p.Name == "" {
		return "one at the " + p.Side
	}
	return p.Name + ", at the " + p.Side
}

// portsSpokenOf lists the ports of a machine that runs start from.
func (f *filler) portsSpokenOf(machine shop.ID) []shop.ID {
	var names []shop.ID
	for _, y := range f.s.Systems {
		for _, r := range y.Runs {
			for _, p := range r.From.Ports {
				if p.Machine == machine && !slices.Contains(names, p.Port) {
					names = append(names, p.Port)
				}
			}
		}
	}
	return names
}

func (f *filler) port(p *shop.Port, m *shop.Machine, k *Machine, base shop.Path) {
	u := k.nearestPort(p.Name, p.Size.Best)
	size := u.Size.For(f.sizes)
	size.Source = f.b.sources["S-120"].String()
	fill(f, &p.Size, size, ofSize, base, "size")
	area := p.Opening.Best
	chips, fine := u.Needs(p.Size.Best, area)
	if p.Needs.Chips.Basis == unit.Given && p.Needs.Fine.Basis == unit.Unsaid {
		// Fine is asked in proportion to chips where the owner knows better than the table.
		fine = scaled(fine, max(1, float64(p.Needs.Chips.Best/chips.Best)))
		fine = atLeast(fine, p.Needs.Chips.Best)
	}
	fill(f, &p.Needs.Chips, chips, ofChips, base, "needs/chips")
	fill(f, &p.Needs.Fine, fine, ofFine, base, "needs/fine")
	fill(f, &p.Entry, f.entry(p, u), ofEntry, base, "entry")
	f.word(&p.Side, u.Side, ofPlace, base, "side")
	fill(f, &p.Height, u.Height, ofPlace, base, "height")
	f.height(&p.At, p.Height)
	f.blower(p, k, base)
}

// entry is the lumped mouth; where the owner gave the openings, they stand for the ways inside and a plain port is left.
func (f *filler) entry(p *shop.Port, u *Port) unit.Amount[unit.Number] {
	if p.Opening.Basis == unit.Given {
		plain, _ := EntryKind("plain port")
		return plain.Suction
	}
	return u.Entry.Suction
}

func (f *filler) blower(p *shop.Port, k *Machine, base shop.Path) {
	switch {
	case p.Blower.Basis == unit.Unsaid && k.Blower == "yes":
		p.Blower.Basis = unit.Assumed
	case p.Blower.Basis == unit.Unsaid:
		p.Blower.Basis = unit.Absent
		if k.Blower == "maybe" {
			f.say("none", ofBlower, base, "blower")
		}
	}
	if !p.Blower.Is() {
		return
	}
	fan := &p.Blower.Value
	if len(fan.Curve) > 0 {
		f.word(&fan.Tested, "bare", ofHabits, base, "blower/tested")
		return
	}
	flow, shut := k.BlowerFlow, k.BlowerShut
	if flow.Basis == unit.Unsaid {
		usual := f.b.machines.at("planer with blower")
		flow, shut = usual.BlowerFlow, usual.BlowerShut
	}
	if fan.Rating.Basis == unit.Unsaid || fan.Rating.Basis == unit.Absent {
		fan.Rating.Basis = unit.Assumed
	}
	fill(f, &fan.Rating.Value.FreeAir, flow, ofFan, base, "blower/rating/free air")
	fill(f, &fan.Rating.Value.ShutOff, shut, ofShutOff, base, "blower/rating/shut-off")
	f.word(&fan.Tested, "as sold", ofHabits, base, "blower/tested")
}

// setups gives a machine of which no way of use was said its usual one, without ports it does not have.
func (f *filler) setups(m *shop.Machine, k *Machine, base shop.Path) {
	if len(m.Setups) > 0 {
		return
	}
	m.Setups = []shop.Setup{{Name: k.Setups[0].Name}}
	f.say(k.Setups[0].Name, ofUse, base, "setups")
}
