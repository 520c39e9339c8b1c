package power

import (
	"math"
	"strings"

	"winnow/internal/physics/circuit"
	"winnow/internal/shop"
	"winnow/internal/shop/typical"
	"winnow/internal/unit"
)

// Sort is what kind of thing draws current.
type Sort string

// The kinds of load.
const (
	Machine Sort = "machine"
	System  Sort = "system"
	Cleaner Sort = "air cleaner"
	Other   Sort = "other load"
)

// Band is a current with its 90 % range. All bands of one circuit move together: hard work is hard everywhere.
type Band [3]unit.Ampere

// places are five equally likely places in a band: the standard normal quantiles at 0.1, 0.3, 0.5, 0.7, 0.9 over that at 0.95.
var places = [5]float64{-0.779, -0.319, 0, 0.319, 0.779}

func (b Band) at(place float64) unit.Ampere {
	if place < 0 {
		return b[1] + (b[1]-b[0])*unit.Ampere(place)
	}
	return b[1] + (b[2]-b[1])*unit.Ampere(place)
}

// part is a share of a current, the relative doubts of both as a root of squares.
func part(of Band, share [3]float64) Band {
	if of[1] == 0 {
		return Band{}
	}
	best := of[1] * unit.Ampere(share[1])
	down := math.Hypot(1-float64(of[0]/of[1]), 1-share[0]/share[1])
	up := math.Hypot(float64(of[2]/of[1])-1, share[2]/share[1]-1)
	return Band{best * unit.Ampere(max(0, 1-down)), best, best * unit.Ampere(1+up)}
}

// Load is one thing that draws current.
type Load struct {
	Name    shop.ID `json:"name"`
	Sort    Sort    `json:"sort"`
	Outlet  shop.ID `json:"outlet,omitempty"` // empty: wired, or nobody said
	Circuit shop.ID `json:"circuit,omitempty"`
	Works   string  `json:"works,omitempty"`

	Marked  unit.Ampere `json:"marked_a"` // what the plate says or stands for
	How     string      `json:"how"`      // where that comes from, in words
	Rated   unit.Ampere `json:"rated_a"`  // what the rules go by: marked amps, else the full-load table by its horsepower
	RatedBy string      `json:"rated_by"`
	Idle    unit.Ampere `json:"idle_a"`
	Cut     unit.Ampere `json:"cut_a"` // at a typical cut; a fan: as it runs
	Full    unit.Ampere `json:"full_a"`
	Start   unit.Ampere `json:"start_a"` // at the plug, before the wire takes its share off
	Lasts   unit.Second `json:"start_lasts_s"`

	Voltage      unit.Volt     `json:"voltage_v,omitempty"`          // of its plate
	AtRun        unit.Volt     `json:"at_run_v,omitempty"`           // at its terminals, running at the plate's amps
	AtStart      unit.Volt     `json:"at_start_v,omitempty"`         // the lowest at its start
	StartTorque  unit.Fraction `json:"start_torque_share,omitempty"` // of what it has at full voltage
	StartsItself bool          `json:"starts_itself,omitempty"`
	Known        bool          `json:"known"` // false: its current is not known
	Assumed      bool          `json:"assumed,omitempty"`

	where    shop.Path
	plug     shop.Path // of its plug, empty where it is wired
	hasPlug  bool      // the file has a plug block
	at       shop.Point
	reach    unit.Metre // cord and extension
	cord     unit.Metre
	ext      *shop.Extension
	circuit  int // -1: not known
	phases   int
	idle     Band
	cut      Band
	full     Band
	start    Band
	lasts    [3]unit.Second
	cuts     bool // its current follows the work
	byHand   bool
	fastened bool
	long     bool // can run three hours
	motor    bool
	brushed  bool
	shaft    unit.Amount[unit.Watt] // of the plate
	input    unit.Amount[unit.Watt] // electrical, of what is no motor
	device   string
	letter   string
	peak     bool        // its horsepower cannot be true on its branch
	least    unit.Ampere // what it draws for certain: its plate, or its watts without any loss; 0 where neither is given
}

// always says whether it may draw current with whatever else runs.
func (l *Load) always() bool {
	return l.Sort == Other || l.Sort == Cleaner
}

func bandOf(a unit.Amount[unit.Ampere], doubt float64) Band {
	b := Band{a.Low, a.Best, a.High}
	if a.Low == a.High { // no doubt written: a plate is good to this
		b[0], b[2] = a.Best*unit.Ampere(1-doubt), a.Best*unit.Ampere(1+doubt)
	}
	return b
}

// plateDoubt is how far a motor's true full-load current lies from its plate: 5 %, judgement.
const plateDoubt = 0.05

// machine makes the load of a machine; nil where it has no motor.
func (g *Grid) machine(m *shop.Machine) *Load {
	if m.Motor.Basis == unit.Absent {
		return nil
	}
	l := &Load{Name: m.Name, Sort: Machine, where: shop.MachinePath(m.Name), cuts: true, motor: true, circuit: -1}
	l.at = g.standsAt(m)
	kind, ok := typical.MachineKind(m.Kind)
	l.brushed = ok && kind.Drive == "universal"
	g.plugged(l, m.Plug)
	g.motored(l, m.Motor)
	l.lasts = circuit.MachineStart
	if l.brushed {
		l.lasts = circuit.BrushedStart
	} else if l.shaft.Best >= 3*746 {
		l.lasts = circuit.HeavyStart
	}
	idle := usualIdle(l.brushed)
	l.idle, l.cut = part(l.full, idle), part(l.full, circuit.Cut)
	return g.finished(l)
}

// usualIdle is the share of its plate a motor idles at.
func usualIdle(brushed bool) [3]float64 {
	drive := "induction"
	if brushed {
		drive = "universal"
	}
	k, ok := typical.MotorOf(drive)
	if !ok {
		return [3]float64{0.3, 0.4, 0.5}
	}
	return [3]float64{float64(k.Idle.Low), float64(k.Idle.Best), float64(k.Idle.High)}
}

func (g *Grid) system(y *shop.System) *Load {
	if y.Motor.Basis == unit.Absent {
		return nil
	}
	l := &Load{Name: y.Name, Sort: System, where: shop.SystemPath(y.Name), at: y.At, long: true, motor: true, circuit: -1, device: y.Device}
	l.brushed = y.Kind != "collector"
	g.plugged(l, y.Plug)
	g.motored(l, y.Motor)
	switch {
	case l.brushed:
		l.lasts = circuit.BrushedStart
	case y.Starting.RunUp.Basis == unit.Given:
		s := heldFor * y.Starting.RunUp.Best
		l.lasts = [3]unit.Second{s * 0.7, s, s * 1.3}
	case y.Fan.Wheel.Best > 0.33 || l.shaft.Best > 2.2*746:
		l.lasts = circuit.HeavyStart
	default:
		l.lasts = circuit.WheelStart
	}
	l.idle = part(l.full, circuit.Fan)
	l.cut = l.idle
	return g.finished(l)
}

// heldFor is the part of a run-up for which a motor draws about its start current; it falls in the rest. Judgement [S-342].
const heldFor = 0.75

func (g *Grid) cleaner(c *shop.AirCleaner) *Load {
	l := &Load{
		Name: c.Name, Sort: Cleaner, where: shop.CleanerPath(c.Name), at: c.At, long: true, motor: true, circuit: -1, Works: c.Works,
		byHand: c.Works == "by hand", device: c.Device, input: c.Power,
	}
	g.plugged(l, c.Plug)
	g.watts(l, c.Power)
	l.start, l.lasts = startOf(l, circuit.StartMultiple), circuit.MachineStart
	l.idle, l.cut = l.full, l.full
	return g.finished(l)
}

func (g *Grid) other(o *shop.Load) *Load {
	l := &Load{
		Name: o.Name, Sort: Other, where: shop.Path("other loads").Join(o.Name), circuit: -1, Works: o.Works,
		byHand: o.Works == "by hand", StartsItself: o.Works == "by itself", long: o.Works == "always", input: o.Power,
	}
	if o.Outlet != "" {
		l.Outlet, l.plug, l.hasPlug = o.Outlet, l.where.Join("outlet"), true
		l.circuit = g.outlets[o.Outlet] - 1
	} else if o.Circuit != "" {
		l.fastened = true
		l.circuit = g.byName[o.Circuit] - 1
	}
	if o.Current.Basis != unit.Unsaid {
		l.Known, l.full = true, bandOf(o.Current, plateDoubt)
		l.How, l.Assumed = "its plate", o.Current.Basis == unit.Assumed
		if l.Assumed && o.Power.Basis == unit.Given {
			l.How = "its watts"
			l.leastOf(o.Power, g.voltageOf(l))
		} else if l.Assumed {
			l.How = "assumed: " + o.Current.Source
		}
	} else {
		g.watts(l, o.Power)
	}
	l.motor = l.StartsItself
	l.start, l.lasts = l.full, [3]unit.Second{0.2, 0.5, 1}
	if o.Start.Basis != unit.Unsaid {
		l.start = bandOf(o.Start, 0.2)
	}
	for i := range l.start {
		l.start[i] = max(l.start[i], l.full[i])
	}
	l.idle, l.cut = l.full, l.full
	return g.finished(l)
}

// plugged says where a load is plugged in and how far its cord reaches.
func (g *Grid) plugged(l *Load, p shop.Maybe[shop.Plug]) {
	if p.Basis == unit.Absent {
		l.fastened = true
		return
	}
	l.hasPlug = p.Is()
	l.plug = l.where.Join("plug", "outlet")
	l.Outlet = p.Value.Outlet
	l.circuit = g.outlets[l.Outlet] - 1
	l.cord = p.Value.Cord.Best
	l.reach = l.cord
	if p.Value.Extension.Is() {
		l.ext = &p.Value.Extension.Value
		l.reach += l.ext.Length.Best
	}
}

// watts takes the current of what says its power only: P/V; a power factor down to 0.7 is its upper end.
func (g *Grid) watts(l *Load, p unit.Amount[unit.Watt]) {
	v := g.voltageOf(l)
	if p.Basis == unit.Unsaid || v == 0 {
		return
	}
	l.Known, l.How, l.Assumed = true, "its watts", p.Basis == unit.Assumed
	i := unit.Ampere(float64(p.Best) / float64(v))
	l.full = Band{i, i * 1.1, i / 0.7}
	l.leastOf(p, v)
}

// leastOf takes what watts come to without any loss.
func (l *Load) leastOf(p unit.Amount[unit.Watt], v unit.Volt) {
	if p.Basis != unit.Given || v == 0 {
		return
	}
	l.least = unit.Ampere(float64(p.Best) / float64(v))
	if l.phases == 3 {
		l.least /= unit.Ampere(math.Sqrt(3))
	}
}

func (g *Grid) voltageOf(l *Load) unit.Volt {
	if l.Voltage != 0 {
		return l.Voltage
	}
	if l.circuit >= 0 && g.lines[l.circuit].known {
		return g.lines[l.circuit].voltage
	}
	if g.family == circuit.IEC60898 {
		return 230
	}
	return 120
}

// motored reads a motor's plate: its amperes; else what a motor of that power draws. A horsepower that its branch could
// not feed even without loss is a peak figure and is not used.
func (g *Grid) motored(l *Load, said shop.Maybe[shop.Motor]) {
	m := said.Value
	l.Voltage, l.phases, l.shaft, l.letter = m.Voltage.Best, max(m.Phases, 1), m.Power, m.Code
	v := g.voltageOf(l)
	if m.Power.Basis == unit.Given && l.circuit >= 0 && g.lines[l.circuit].known {
		if _, possible := circuit.PeakClaim(m.Power.Best, v, g.lines[l.circuit].breaker.Rating); !possible && l.phases == 1 {
			l.peak = true
		}
	}
	switch {
	case m.Current.Basis == unit.Given || m.Current.Basis == unit.Fitted:
		l.Known, l.How, l.full = true, "its plate", bandOf(m.Current, plateDoubt)
	case l.brushed && m.Power.Basis == unit.Given && g.family == circuit.IEC60898 && !l.peak:
		l.Known, l.Assumed, l.How = true, true, byInput
		low, best, high := circuit.PowerFactor(true, 1)
		i := unit.Ampere(float64(m.Power.Best) / float64(v))
		l.full = Band{i / unit.Ampere(high), i / unit.Ampere(best), i / unit.Ampere(low)}
		l.leastOf(m.Power, v)
		l.input, l.shaft = m.Power, unit.Amount[unit.Watt]{}
	case l.peak:
		r := g.lines[l.circuit].breaker.Rating
		l.Known, l.Assumed, l.How = true, true, "its horsepower cannot be true: taken from what its plug may draw"
		l.full = Band{0.5 * r, 0.65 * r, 0.8 * r}
		l.shaft = unit.Amount[unit.Watt]{}
	case m.Power.Basis == unit.Given:
		l.Known, l.Assumed, l.How = true, true, byHorsepower
		l.leastOf(m.Power, v)
		if m.Current.Basis == unit.Assumed && l.phases != 3 { // the usual ratio is a single-phase one
			l.full = bandOf(m.Current, 0.25)
			break
		}
		low, best, high := circuit.EstimateCurrent(m.Power.Best, v, l.phases)
		l.full = Band{low, best, high}
	case m.Current.Basis == unit.Assumed:
		l.Known, l.Assumed, l.How, l.full = true, true, "assumed: "+m.Current.Source, bandOf(m.Current, 0.25)
	default:
		l.How = "not known"
		return
	}
	l.start = startOf(l, circuit.StartMultiple)
	if l.letter != "" && l.shaft.Basis != unit.Unsaid {
		if low, high, err := circuit.StartByLetter(strings.ToUpper(l.letter), l.shaft.Best, v, l.phases); err == nil && !math.IsInf(float64(high), 1) {
			l.start = Band{low, (low + high) / 2, high}
		}
	}
}

// byHorsepower: no amps on the plate. Will it hold goes by the likely current; the rules go by the published table.
const byHorsepower = "its horsepower, at a usual efficiency and power factor"

// byInput: the watts on the plate of a brushed tool of IEC make are what it takes in, not what its shaft gives.
const byInput = "its watts, which on a tool with brushes are what it takes in"

// asked words where a current comes from that no plate says, before the number of it.
func (l *Load) asked() string {
	switch {
	case l.Rated != l.Marked:
		return "For a motor of its horsepower the table of the wiring rules counts"
	case l.How == byHorsepower:
		return "A motor of its power is taken to draw"
	case l.How == byInput || l.How == "its watts":
		return "By its watts it is taken to draw"
	}
	return "A thing of its kind is taken to draw"
}

// rated words how a load comes to the amps a rule or a limit is compared with.
func (l *Load) rated() string {
	if l.onPlate() {
		return "is rated"
	}
	return "by its power draws at least"
}

// onPlate says whether the file gives its amps.
func (l *Load) onPlate() bool { return l.How == "its plate" }

// startOf multiplies the full-load current; the doubt of the multiple stands for that of the plate too.
func startOf(l *Load, multiple func(bool) (low, best, high float64)) Band {
	low, best, high := multiple(l.brushed)
	f := l.full[1]
	return Band{f * unit.Ampere(low), f * unit.Ampere(best), f * unit.Ampere(high)}
}

// finished writes the figures that are shown.
func (g *Grid) finished(l *Load) *Load {
	if l.circuit >= 0 {
		l.Circuit = g.lines[l.circuit].name
	}
	l.Marked, l.Full, l.Idle, l.Cut = l.full[1], l.full[1], l.idle[1], l.cut[1]
	l.Rated, l.RatedBy = l.Marked, l.How
	if l.How == byHorsepower && g.family == circuit.UL489 {
		if row, err := circuit.FullLoad(l.shaft.Best, g.voltageOf(l), l.phases); err == nil {
			l.Rated, l.RatedBy = row.Current, "the full-load table, "+row.Trust.String()+", for wiring only: "+row.Source
		}
	}
	if l.onPlate() {
		l.least = l.Marked
	}
	l.Start, l.Lasts = l.start[1], l.lasts[1]
	return l
}

// compared is what a rule or a limit is compared with, and the answer: no only by what is certain, yes by what it is rated at.
func (l *Load) compared(most unit.Ampere) (unit.Ampere, Word) {
	w := allowed(l.Known, l.Rated, l.least, most)
	if w == No {
		return l.least, w
	}
	return l.Rated, w
}
