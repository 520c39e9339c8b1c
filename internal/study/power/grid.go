package power

import (
	"math"
	"math/bits"
	"strings"

	"winnow/internal/physics/circuit"
	"winnow/internal/shop"
	"winnow/internal/unit"
)

// Grid is all that the verdicts need, prepared once: circuits, loads and the sets that may run together. It is read by
// one goroutine at a time, as it keeps what it has judged.
type Grid struct {
	shop    *shop.Shop
	today   *shop.Arrangement // nil: every machine at its first place
	family  circuit.Standard
	lines   []line
	loads   []*Load
	sets    []Set
	people  int
	outlets map[shop.ID]int // outlet -> circuit + 1
	byName  map[shop.ID]int // circuit -> circuit + 1
	memo    map[question]Held
}

// line is one circuit.
type line struct {
	name     shop.ID
	path     shop.Path
	known    bool // rating and voltage
	assumed  bool // the rating is a usual value, not the owner's
	breaker  circuit.Breaker
	voltage  unit.Volt
	length   unit.Metre
	wire     circuit.Conductor
	wireOK   bool
	wireSaid unit.Basis

	lengthSaid unit.Basis
	outlets    []shop.Outlet
	guarded    []string // gfci, afci, rcd
}

// mask is a set of loads by their number.
type mask [4]uint64

// most is how many loads one shop may have; beyond it they are named and left out.
const most = 4 * 64

func (m mask) has(i int) bool { return m[i/64]&(1<<(i%64)) != 0 }
func (m *mask) put(i int)     { m[i/64] |= 1 << (i % 64) }
func (m *mask) drop(i int)    { m[i/64] &^= 1 << (i % 64) }
func (m mask) and(o mask) mask {
	for i := range m {
		m[i] &= o[i]
	}
	return m
}

func (m mask) or(o mask) mask {
	for i := range m {
		m[i] |= o[i]
	}
	return m
}
func (m mask) empty() bool { return m == mask{} }

func (m mask) each(do func(i int)) {
	for w, word := range m {
		for word != 0 {
			i := bits.TrailingZeros64(word)
			do(w*64 + i)
			word &^= 1 << i
		}
	}
}

func (m mask) count() int {
	n := 0
	for _, w := range m {
		n += bits.OnesCount64(w)
	}
	return n
}

// Set is what may run at once.
type Set struct {
	Name     string    `json:"name"` // the machines, in words
	Machines []shop.ID `json:"machines"`
	Brings   []shop.ID `json:"brings"` // extraction and cleaners it starts
	where    shop.Path // of the line that allows it; empty for a machine alone
	loads    mask
}

// GridOf prepares a filled shop as it stands today: in its first arrangement.
func GridOf(s *shop.Shop) *Grid { return GridIn(s, "") }

// GridIn prepares a filled shop in one of its arrangements, "" or an unknown name for the first. Machines that are away in it are left out.
func GridIn(s *shop.Shop, arrangement shop.ID) *Grid {
	g := &Grid{shop: s, today: todays(s, arrangement), people: max(1, s.Routine.People), outlets: map[shop.ID]int{}, byName: map[shop.ID]int{}, memo: map[question]Held{}}
	if s.Site.Wiring == "iec" {
		g.family = circuit.IEC60898
	}
	for i := range s.Circuits {
		g.lines = append(g.lines, g.line(&s.Circuits[i]))
		g.byName[s.Circuits[i].Name] = i + 1
		for _, o := range s.Circuits[i].Outlets {
			g.outlets[o.Name] = i + 1
		}
	}
	g.takeLoads()
	g.sets = g.allowed()
	return g
}

func (g *Grid) line(c *shop.Circuit) line {
	l := line{
		name: c.Name, path: shop.Path("circuits").Join(c.Name), voltage: c.Voltage.Best, length: c.Length.Best, outlets: c.Outlets,
		known: c.Breaker.Basis != unit.Unsaid && c.Voltage.Basis != unit.Unsaid, assumed: c.Breaker.Basis == unit.Assumed,
		breaker: circuit.Breaker{Standard: g.family, Rating: c.Breaker.Best, Curve: strings.ToUpper(c.Curve)}, wireSaid: c.Wire.Basis, lengthSaid: c.Length.Basis,
	}
	if c.Wire.Basis != unit.Unsaid && c.Wire.Basis != unit.Absent {
		l.wire, l.wireOK = circuit.Size(c.Wire.Best, g.family == circuit.IEC60898)
	}
	for _, p := range c.Protection {
		l.guarded = append(l.guarded, strings.ToLower(p))
	}
	return l
}

func (g *Grid) takeLoads() {
	add := func(l *Load) {
		if l != nil && len(g.loads) < most {
			g.loads = append(g.loads, l)
		}
	}
	away := g.away()
	for i := range g.shop.Machines {
		if !away[g.shop.Machines[i].Name] {
			add(g.machine(&g.shop.Machines[i]))
		}
	}
	for i := range g.shop.Systems {
		add(g.system(&g.shop.Systems[i]))
	}
	for i := range g.shop.AirCleaners {
		add(g.cleaner(&g.shop.AirCleaners[i]))
	}
	for i := range g.shop.OtherLoads {
		add(g.other(&g.shop.OtherLoads[i]))
	}
	for _, l := range g.loads {
		if l.circuit >= 0 {
			g.voltages(l)
		}
	}
}

func todays(s *shop.Shop, arrangement shop.ID) *shop.Arrangement {
	for i := range s.Arrangements {
		if s.Arrangements[i].Name == arrangement {
			return &s.Arrangements[i]
		}
	}
	if len(s.Arrangements) > 0 {
		return &s.Arrangements[0]
	}
	return nil
}

// away are the machines that cannot be used in this arrangement.
func (g *Grid) away() map[shop.ID]bool {
	out := map[shop.ID]bool{}
	if g.today != nil {
		for _, st := range g.today.Stand {
			if st.Place == "away" {
				out[st.Machine] = true
			}
		}
	}
	return out
}

// standsAt is where a machine stands in this arrangement: how far its cord reaches goes by that.
func (g *Grid) standsAt(m *shop.Machine) shop.Point {
	if g.today != nil {
		for _, st := range g.today.Stand {
			for _, p := range m.Places {
				if st.Machine == m.Name && p.Name == st.Place {
					return p.At
				}
			}
		}
	}
	if len(m.Places) > 0 {
		return m.Places[0].At
	}
	return shop.Point{}
}

// warm is the temperature taken for conductors in use, °C: that of the US resistance table.
const warm = 75

// way is the wire from the panel to a load: the circuit's, the extension, its own cord.
func (g *Grid) way(l *Load, c int, i unit.Ampere) []circuit.Segment {
	ln := &g.lines[c]
	var way []circuit.Segment
	if ln.wireOK && ln.length > 0 {
		way = append(way, circuit.Segment{Length: ln.length, Each: ln.wire.Resistance(circuit.Solid, warm), Current: i})
	}
	if l.ext != nil {
		if w, ok := circuit.Size(l.ext.Wire.Best, g.family == circuit.IEC60898); ok {
			way = append(way, circuit.Segment{Length: l.ext.Length.Best, Each: w.Resistance(circuit.Stranded, warm), Current: i})
		}
	}
	if l.cord > 0 {
		way = append(way, circuit.Segment{Length: l.cord, Each: g.ownCord(l).Resistance(circuit.Stranded, warm), Current: i})
	}
	return way
}

// ownCord is the cord a tool of these amps usually comes with. Judgement.
func (g *Grid) ownCord(l *Load) circuit.Conductor {
	if g.family == circuit.IEC60898 {
		c, _ := circuit.Square(1.5)
		if l.Marked <= 10 {
			c, _ = circuit.Square(1)
		}
		return c
	}
	n := 12
	switch {
	case l.Marked <= 13:
		n = 16
	case l.Marked <= 18:
		n = 14
	}
	c, _ := circuit.Gauge(n)
	return c
}

// voltages computes what is left at the load's terminals.
func (g *Grid) voltages(l *Load) {
	ln := &g.lines[l.circuit]
	if !ln.known || !l.Known {
		return
	}
	l.AtRun = ln.voltage - g.drop(l, g.way(l, l.circuit, l.Full))
	if l.motor {
		st := circuit.Dip(ln.voltage, l.Start, circuit.Loop(g.way(l, l.circuit, l.Start)))
		l.AtStart, l.StartTorque = st.Voltage, st.Torque
	}
}

func (g *Grid) drop(l *Load, way []circuit.Segment) unit.Volt {
	if l.phases == 3 {
		return circuit.DropThreePhase(way)
	}
	return circuit.Drop(way)
}

// through is a start current as the wire of a circuit lets it through, at a place in its band.
func (g *Grid) through(l *Load, c int, i unit.Ampere) unit.Ampere {
	ln := &g.lines[c]
	if i <= l.full[1] || ln.voltage == 0 || !l.motor {
		return i
	}
	return circuit.Dip(ln.voltage, i, circuit.Loop(g.way(l, c, i))).Current
}

// class is the kind of supply a voltage belongs to: 1 for 100-130 V, 2 for 200-250 V, 3 for 380-480 V, 0 for none.
func class(v unit.Volt) int {
	switch {
	case v >= 100 && v <= 130:
		return 1
	case v >= 200 && v <= 250:
		return 2
	case v >= 380 && v <= 480:
		return 3
	}
	return 0
}

// suits tells whether a load may be plugged into a circuit at all: same kind of supply, an outlet there, and no more on its plate
// than the circuit is made for.
func (g *Grid) suits(l *Load, c int) bool {
	ln := &g.lines[c]
	if !ln.known || len(ln.outlets) == 0 || l.full[1] > ln.breaker.Rating {
		return false
	}
	want := class(g.voltageOf(l))
	return want == 0 || want == class(ln.voltage)
}

// gap is how far an outlet is beyond a load's cord, in a straight line over the floor; known is false where either is not placed.
func gap(l *Load, o shop.Outlet) (beyond unit.Metre, known bool) {
	if l.at.Basis == unit.Unsaid || o.At.Basis == unit.Unsaid || l.reach == 0 {
		return 0, false
	}
	d := math.Hypot(float64(l.at.East-o.At.East), float64(l.at.North-o.At.North))
	return unit.Metre(math.Max(0, d-float64(l.reach))), true
}

// reachSlack is what a cord may lack before it is said not to reach: the places on a plan are no better than that.
const reachSlack unit.Metre = 0.1

// nearest is the outlet of a circuit that suits a load's cord best.
func (g *Grid) nearest(l *Load, c int) (o shop.Outlet, beyond unit.Metre, known bool) {
	best := unit.Metre(math.Inf(1))
	for _, out := range g.lines[c].outlets {
		d, k := gap(l, out)
		if !k {
			d = 0
		}
		if d < best {
			o, best, known = out, d, k
		}
	}
	return o, best, known
}
