package typical

import (
	"slices"

	"winnow/internal/shop"
	"winnow/internal/unit"
)

// Machine is what is usual for one kind of machine.
type Machine struct {
	Name   string
	Also   []string // other spellings
	About  string
	Ports  []Port
	Setups []Setup // the first is the usual one

	Drive   string // induction or universal; "" where it has no motor
	Power   Pair[unit.Watt]
	Voltage Pair[unit.Volt]
	Current Pair[unit.Ampere]

	Form       string
	Rate       unit.Amount[unit.M3PerSec] // loose chips
	Emission   *Emission                  // released into the air where it is not caught
	Escape     *Escape                    // share missed with all its ports, at the fine need
	EscapeBare *Escape                    // share missed without those ports that many do not have

	Width, Depth    unit.Amount[unit.Metre]
	Infeed, Outfeed unit.Amount[unit.Metre]
	Noise           unit.Amount[unit.Decibel]
	KeepsRunning    unit.Amount[unit.Second] // how long the fan should run on after it
	Hand            bool                     // held in the hand

	Blower     string // yes, maybe or "": a fan inside that pushes
	BlowerFlow unit.Amount[unit.M3PerSec]
	BlowerShut unit.Amount[unit.Pascal]

	FineInAll unit.Amount[unit.M3PerSec] // what all ports together need for fine dust; Unsaid where one port says it
}

// Port is a usual port of a machine.
type Port struct {
	Name   string // "" where it is the only one
	Also   []string
	Usual  bool // most such machines have it
	Size   Pair[unit.Metre]
	Side   string
	Height unit.Amount[unit.Metre]
	Entry  *Entry
	Area   unit.Amount[unit.M2] // the drawing area, where the need goes by it
	words  []string             // name and spellings, folded, a space at each end
	needs  []needRow
	face   [2]unit.Amount[unit.MPerSec] // chips and fine, where the need goes by area
}

// needRow is the two airflows of a port between two trade sizes.
type needRow struct {
	from, upto  unit.Metre // upto 0: no end
	chips, fine unit.Amount[unit.M3PerSec]
}

// Needs returns the airflow at which chips leave and at which fine dust is caught, for a port of a trade size. A bench that
// draws through its top needs so much for each area: area 0 takes the usual one.
func (p *Port) Needs(size unit.Metre, area unit.M2) (chips, fine unit.Amount[unit.M3PerSec]) {
	if p.face[0].Basis != unit.Unsaid {
		return p.byArea(0, area), p.byArea(1, area)
	}
	row := p.needs[0]
	for _, r := range p.needs[1:] {
		if size >= r.from && (r.upto == 0 || size < r.upto) {
			row = r
		}
	}
	return row.chips, row.fine
}

func (p *Port) byArea(which int, area unit.M2) unit.Amount[unit.M3PerSec] {
	v, a := p.face[which], p.Area
	if area > 0 {
		a = unit.Amount[unit.M2]{Best: area, Low: area, High: area}
	}
	low, high := spread(float64(v.Low/v.Best), float64(a.Low/a.Best)), spread(float64(v.High/v.Best), float64(a.High/a.Best))
	best := float64(v.Best) * float64(a.Best)
	return assumed(unit.M3PerSec(best), unit.M3PerSec(best*low), unit.M3PerSec(best*high), v.Source)
}

// Setup is a usual way of using a machine.
type Setup struct {
	Name    string
	Without []string
	Rate    unit.Amount[unit.M3PerSec] // Unsaid: as the machine
}

// Emission is the airborne inhalable dust a task releases where nothing catches it.
type Emission struct {
	Name string
	Rate unit.Amount[unit.KgPerSec]
}

// Escape is the share of that dust which a pickup misses.
type Escape struct {
	Name  string
	Share unit.Amount[unit.Fraction]
}

// Entry is a kind of machine mouth: suction over the velocity pressure of its port, the 1 that speeds the air up included.
// The names are those of the airflow model's ports.
type Entry struct {
	Name    string
	Suction unit.Amount[unit.Number]
}

// MachineKind finds a kind of machine by name or other spelling.
func MachineKind(name string) (*Machine, bool) { return tables().machines.find(name) }

// MachineKinds lists all kinds of machine.
func MachineKinds() []*Machine { return tables().machines.list }

// WidestMachine stands for a machine of unknown kind.
func WidestMachine() *Machine { return tables().machines.at(widestMachine) }

const widestMachine = "other machine"

// EmissionOf finds an emission by the name of its task.
func EmissionOf(task string) (*Emission, bool) { return tables().emissions.find(task) }

// EscapeOf finds an escape by the name of its kind of pickup.
func EscapeOf(pickup string) (*Escape, bool) { return tables().escapes.find(pickup) }

// EntryKind finds a kind of mouth.
func EntryKind(name string) (*Entry, bool) { return tables().entries.find(name) }

// EntryKinds lists all kinds of mouth.
func EntryKinds() []*Entry { return tables().entries.list }

func (b *book) readMachines() {
	all := entries("machines.txt")
	named := map[string]*entry{}
	for _, e := range all {
		switch e.class {
		case "emission":
			b.emissions.add(&Emission{e.name, need[unit.KgPerSec](b, e, "rate")}, e, e.name)
			e.done()
		case "escape":
			b.escapes.add(&Escape{e.name, need[unit.Fraction](b, e, "share")}, e, e.name)
			e.done()
		case "entry":
			b.entries.add(&Entry{e.name, need[unit.Number](b, e, "suction")}, e, e.name)
			e.done()
		}
	}
	for _, e := range all {
		if e.class != "machine" {
			continue
		}
		if like := e.text("like"); like != "" {
			from, ok := named[like]
			if !ok {
				e.bad(e.no, "like %q, which does not stand before it", like)
			}
			e.inherit(from)
		}
		named[e.name] = e
		m := b.machine(e)
		b.machines.add(m, e, append([]string{m.Name}, m.Also...)...)
	}
}

func (b *book) machine(e *entry) *Machine {
	m := &Machine{
		Name: e.name, Also: without(e.list("also"), e.name), About: e.text("about"),
		Form: e.text("form"), Rate: need[unit.M3PerSec](b, e, "rate"),
		Emission: b.emissions.must(e, e.text("emission")), Escape: b.escapes.must(e, e.text("escape")),
		Width: need[unit.Metre](b, e, "width"), Depth: need[unit.Metre](b, e, "depth"),
		Infeed: need[unit.Metre](b, e, "infeed"), Outfeed: need[unit.Metre](b, e, "outfeed"),
		Noise: need[unit.Decibel](b, e, "noise"), KeepsRunning: need[unit.Second](b, e, "keeps"),
		Hand: e.text("hand") == "yes",
	}
	m.EscapeBare = m.Escape
	if bare := e.text("escape bare"); bare != "" {
		m.EscapeBare = b.escapes.must(e, bare)
	}
	m.FineInAll, _ = have[unit.M3PerSec](b, e, "fine in all")
	if m.Blower = e.text("blower"); m.Blower == "no" {
		m.Blower = ""
	}
	m.BlowerFlow, _ = have[unit.M3PerSec](b, e, "blower flow")
	m.BlowerShut, _ = have[unit.Pascal](b, e, "blower shut")
	if e.text("motor") != "none" {
		b.machineMotor(m, e)
	}
	for _, p := range e.partsOf("port") {
		m.Ports = append(m.Ports, b.port(p))
	}
	for _, p := range e.partsOf("setup") {
		s := Setup{Name: p.name, Without: p.list("without")}
		s.Rate, _ = have[unit.M3PerSec](b, p, "rate")
		m.Setups = append(m.Setups, s)
		p.done()
	}
	if len(m.Ports) == 0 || len(m.Setups) == 0 {
		e.bad(e.no, "a machine needs a port and a setup")
	}
	e.done()
	return m
}

func (b *book) machineMotor(m *Machine, e *entry) {
	m.Drive = e.text("drive")
	m.Power = Pair[unit.Watt]{need[unit.Watt](b, e, "power us"), need[unit.Watt](b, e, "power si")}
	m.Voltage = Pair[unit.Volt]{need[unit.Volt](b, e, "voltage us"), assumed[unit.Volt](230, 220, 240, b.sources["S-143"].String())}
	m.Current = Pair[unit.Ampere]{need[unit.Ampere](b, e, "current us"), need[unit.Ampere](b, e, "current si")}
}

// port reads a port; keys after a `from` line belong to ports of that trade size and more.
func (b *book) port(e *entry) Port {
	p := Port{
		Name: e.name, Also: e.list("also"), Usual: e.text("usual") != "no", Side: e.text("side"),
		Height: need[unit.Metre](b, e, "height"), Entry: b.entries.must(e, e.text("entry")),
		Size: Pair[unit.Metre]{need[unit.Metre](b, e, "size us"), need[unit.Metre](b, e, "size si")},
	}
	for _, w := range append([]string{p.Name}, p.Also...) {
		if w != "" {
			p.words = append(p.words, " "+fold(w)+" ")
		}
	}
	p.Area, _ = have[unit.M2](b, e, "area")
	p.face[0], _ = have[unit.MPerSec](b, e, "chips face")
	p.face[1], _ = have[unit.MPerSec](b, e, "fine face")
	row := needRow{}
	for _, l := range e.lines {
		switch l.key {
		case "from":
			p.needs = append(p.needs, row)
			row = needRow{from: read[unit.Metre](b, e, l, 0).Best}
		case "upto":
			row.upto = read[unit.Metre](b, e, l, 0).Best
		case "chips":
			row.chips = read[unit.M3PerSec](b, e, l, 0)
		case "fine":
			row.fine = read[unit.M3PerSec](b, e, l, 0)
		default:
			continue
		}
		l.read = true
	}
	p.needs = append(p.needs, row)
	e.done()
	return p
}

// EscapeOfMachine returns the share of dust a machine's pickups miss at the fine need: less where it has, and uses, the ports that
// many such machines lack; all of it where it has none. off names the ports not in use.
func EscapeOfMachine(m *shop.Machine, off ...shop.ID) unit.Amount[unit.Fraction] {
	k, ok := MachineKind(m.Kind)
	if !ok {
		k = WidestMachine()
	}
	used, extra, wanted := 0, 0, 0
	for i := range k.Ports {
		if !k.Ports[i].Usual {
			wanted++
		}
	}
	for i := range m.Ports.Value {
		p := &m.Ports.Value[i]
		if slices.Contains(off, p.Name) {
			continue
		}
		used++
		if !k.nearestPort(p.Name, p.Size.Best).Usual {
			extra++
		}
	}
	switch {
	case used == 0 || !m.Ports.Is():
		return assumed[unit.Fraction](1, 1, 1, "nothing is caught where nothing draws")
	case wanted == 0 || extra > 0:
		return k.Escape.Share
	}
	return k.EscapeBare.Share
}

// without drops a name from its own other spellings.
func without(list []string, name string) []string {
	out := list[:0]
	for _, w := range list {
		if fold(w) != fold(name) {
			out = append(out, w)
		}
	}
	return out
}

// nearestPort is the usual port that a port of the owner's is most like: by name, else by size.
func (m *Machine) nearestPort(name string, size unit.Metre) *Port {
	if len(m.Ports) == 1 || name == "" && size == 0 {
		return &m.Ports[0]
	}
	if p := m.portNamed(name); p != nil {
		return p
	}
	if name == "" {
		return m.mainPort(size)
	}
	best := &m.Ports[0]
	for i := range m.Ports {
		if off(size, m.Ports[i].Size) < off(size, best.Size) {
			best = &m.Ports[i]
		}
	}
	return best
}

// mainPort is the first, or the one of the written size where the first is of quite another: a mitre saw whose only port
// is 4 in has a hood, not a spigot.
func (m *Machine) mainPort(size unit.Metre) *Port {
	first := &m.Ports[0]
	if size == 0 || off(size, first.Size) < 0.35 || size <= widestSpigot && first.Size.US.Best <= widestSpigot {
		return first
	}
	best := first
	for i := range m.Ports {
		if off(size, m.Ports[i].Size) < off(size, best.Size) {
			best = &m.Ports[i]
		}
	}
	return best
}

// widestSpigot is the largest trade size of a small spigot, 2½ in: up to it a machine's small port stays what it is, only wider.
// Common practice.
const widestSpigot unit.Metre = 0.065

// off is how far a size is from the nearer of the two usual ones, as a share.
func off(size unit.Metre, usual Pair[unit.Metre]) float64 {
	return min(share(size, usual.US.Best), share(size, usual.SI.Best))
}

func share(a, b unit.Metre) float64 {
	if a < b {
		a, b = b, a
	}
	return float64(a/b) - 1
}
