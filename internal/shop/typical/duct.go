package typical

import (
	"math"

	"winnow/internal/unit"
)

// Pipe is a kind of pipe or hose.
type Pipe struct {
	Name, About string
	Also        []string
	Hose        bool
	Wall        string                   // the name under which the friction model knows its inside
	Roughness   unit.Amount[unit.Metre]  // of a pipe
	Friction    unit.Amount[unit.Number] // of a hose: times smooth pipe, as the trade says it. The friction model has its own
	Bend        unit.Amount[unit.Number] // least radius of a hose's middle line, in bores
	Stretch     unit.Amount[unit.Fraction]
	Elbow       string                     // the make of elbow that usually goes with it
	Seam        unit.Amount[unit.Number]   // leakage class of its seams and joints: cfm for 100 ft² at 1 inH2O
	FoldsTo     unit.Amount[unit.Fraction] // length folded over length pulled out; Unsaid where it does not fold
	sizes       []sized
}

// sized is a trade size with the true width behind it.
type sized struct {
	nominal unit.Metre
	sys     unit.System
	true    unit.Amount[unit.Metre]
}

// Sizes lists the trade sizes sold to owners of one family of units.
func (p *Pipe) Sizes(sys unit.System) []unit.Metre {
	var out []unit.Metre
	for _, s := range p.sizes {
		if s.sys == sys {
			out = append(out, s.nominal)
		}
	}
	return out
}

// Bore returns the true bore behind a trade size. false says that the size is not one of the kind's: the bore then follows the
// nearest size, and is known less well.
func (p *Pipe) Bore(size unit.Metre) (unit.Amount[unit.Metre], bool) {
	s, exact := nearestSize(p.sizes, size)
	if exact {
		return s.true, true
	}
	a := scaled(s.true, float64(size/s.nominal))
	a.Low, a.High = min(a.Low, a.Best*0.96), max(a.High, a.Best*1.04)
	return a, false
}

// nearestSize finds the listed size nearest in proportion. 4 in and 100 mm are 1.6 % apart, so exact means within 0.6 %.
func nearestSize(list []sized, size unit.Metre) (sized, bool) {
	best := list[0]
	for _, s := range list[1:] {
		if share(s.nominal, size) < share(best.nominal, size) {
			best = s
		}
	}
	return best, share(best.nominal, size) < 0.006
}

// PipeKind finds a kind of pipe or hose.
func PipeKind(name string) (*Pipe, bool) { return tables().pipes.find(name) }

// PipeKinds lists all kinds of pipe and hose.
func PipeKinds() []*Pipe { return tables().pipes.list }

// Bore returns the true bore of a kind at a trade size, with its range and source. false: unknown kind, or a size it is not sold
// in; the bore is then the trade size itself, or follows the nearest size.
func Bore(kind string, size unit.Metre) (unit.Amount[unit.Metre], bool) {
	p, ok := PipeKind(kind)
	if !ok {
		return assumed(size, size*0.94, size*1.03, tables().sources["S-121"].String()), false
	}
	return p.Bore(size)
}

// SeamLeak returns the open area times discharge by which the seams and joints of a straight pipe let air in:
//
//	Q = CL·Δp^0.65        Q in cfm for 100 ft² of wall, Δp in inH2O
//
// turned into an orifice that passes the same at 4 inH2O. Range: the class's own. Unknown kind: the widest class. Source [S-138].
func SeamLeak(kind string, bore, length unit.Metre) unit.Amount[unit.M2] {
	p, ok := PipeKind(kind)
	if !ok || p.Seam.Basis == unit.Unsaid {
		p, _ = PipeKind("snap-lock pipe")
	}
	const (
		at      = 4.0                           // inH2O
		cfm     = 0.3048 * 0.3048 * 0.3048 / 60 // m³/s
		sheet   = 100 * 0.3048 * 0.3048         // m²
		inH2O   = 249.089                       // Pa
		density = 1.2                           // kg/m³
	)
	wall := math.Pi * float64(bore) * float64(length) / sheet
	speed := math.Sqrt(2 * at * inH2O / density)
	return times[unit.Number, unit.Number, unit.M2](p.Seam, exactly(wall*cfm*math.Pow(at, 0.65)/speed), p.Seam.Source)
}

func exactly(v float64) unit.Amount[unit.Number] {
	n := unit.Number(v)
	return unit.Amount[unit.Number]{Best: n, Low: n, High: n}
}

// PortOutside returns the outside diameter of a machine's port of a trade size, which decides what hose goes over it. false: the
// size is not in the table.
func PortOutside(size unit.Metre) (unit.Amount[unit.Metre], bool) {
	s, exact := nearestSize(tables().outside, size)
	if exact {
		return s.true, true
	}
	return assumed(size, size*0.98, size*1.01, tables().sources["S-121"].String()), false
}

// Fit says how a hose or pipe goes onto a port.
type Fit struct {
	Word    string     // fits, tight, loose, adapter
	Gap     unit.Metre // bore less outside; negative: the hose must stretch
	Advice  string
	Measure bool // the size has two meanings in the trade: measure before buying
}

// Fits says whether a hose or pipe goes over a machine's port, from the port's outside and the hose's bore. An adapter's own loss
// follows from the change of bore, which the airflow model reckons. Common practice. Source [S-120].
func Fits(port unit.Metre, kind string, size unit.Metre) Fit {
	outside, _ := PortOutside(port)
	bore, _ := Bore(kind, size)
	f := Fit{Gap: bore.Best - outside.Best}
	f.Measure = outside.High-outside.Low > 4e-3 || bore.High-bore.Low > 3.5e-3
	switch mm := 1e3 * float64(f.Gap); {
	case mm < -3:
		f.Word, f.Advice = "adapter", "too narrow for the port: an adapter is needed"
	case mm < -0.2:
		f.Word, f.Advice = "tight", "tight: warm the hose and push it on"
	case mm <= 1.8:
		f.Word, f.Advice = "fits", "goes on; a clamp holds it"
	case mm <= 4:
		f.Word, f.Advice = "loose", "2 to 3 mm loose: wrap the port and clamp the hose"
	default:
		f.Word, f.Advice = "adapter", "too wide for the port: an adapter is needed"
	}
	return f
}

// Elbow is a make of elbow.
type Elbow struct {
	Name, About string
	Also        []string
	Table       string                   // the row of the elbow model
	Radius      unit.Amount[unit.Number] // of its middle line, in bores
}

// ElbowMake finds a make of elbow.
func ElbowMake(name string) (*Elbow, bool) { return tables().elbows.find(name) }

// ElbowMakes lists them.
func ElbowMakes() []*Elbow { return tables().elbows.list }

// Wye is a make of junction, or of reducer: how slanting it is.
type Wye struct {
	Name, About string
	Also        []string
	Angle       unit.Amount[unit.Radian] // of the side leg; of a reducer's cone
}

// WyeMake finds a make of junction.
func WyeMake(name string) (*Wye, bool) { return tables().wyes.find(name) }

// WyeMakes lists them.
func WyeMakes() []*Wye { return tables().wyes.list }

// ReducerMake finds a make of reducer.
func ReducerMake(name string) (*Wye, bool) { return tables().reducers.find(name) }

// Gate is a make, or state, of slide gate.
type Gate struct {
	Name string
	Also []string
	leak unit.Amount[unit.M2] // open area times discharge, shut, at 4 in
}

// Discharge is the share of a small opening's area that counts: CdA = 0.61·A. The shop file's `leak` is an open area A.
const Discharge = 0.61

// GateLeak returns the open area times discharge of a shut slide gate, which grows with its diameter; "" is a gate of unsaid make.
// false: a make nobody knows, taken as unsaid. Judgement 0.6 (0.2 to 2) cm² at 4 in; the makes from flows the trade sees at
// 6 inH2O. Source [S-120], [S-121].
func GateLeak(makes string, size unit.Metre) (unit.Amount[unit.M2], bool) {
	g, ok := tables().gates.find(makes)
	if makes == "" || !ok {
		g, _ = tables().gates.find("unsaid")
		ok = makes == ""
	}
	return scaled(g.leak, float64(size/gateSize)), ok
}

const gateSize unit.Metre = 4 * 0.0254

// Leak is a usual leak: open area times discharge.
type Leak struct {
	Name string
	Area unit.Amount[unit.M2]
}

// LeakOf finds a usual leak: adjustable elbow, bin lid, good bin lid.
func LeakOf(name string) (*Leak, bool) { return tables().leaks.find(name) }

// Kink is a flattened hose in words.
type Kink struct {
	Name string
	Open unit.Amount[unit.Fraction]
}

// Kinks lists them, from slight to pinched.
func Kinks() []*Kink { return tables().kinks.list }

// Time is a usual time: a gate's travel, how long a fan runs on.
type Time struct {
	Name string
	Time unit.Amount[unit.Second]
}

// TravelOf returns how long a gate takes to move: motor, slow actuator, hand.
func TravelOf(by string) (unit.Amount[unit.Second], bool) {
	t, ok := tables().travel.find(by)
	if !ok {
		return unit.Amount[unit.Second]{}, false
	}
	return t.Time, true
}

// hoseHabits is how hoses lie.
type hoseHabits struct {
	carried, drop, pipe unit.Amount[unit.Metre]
	bendStart, bendEach unit.Amount[unit.Radian]
	radius              unit.Amount[unit.Number]
}

// HoseBends returns the bends of a hose nobody described, all together: a start, and so much for each 10 ft, never more than a
// full turn. Judgement. Source [S-121].
func HoseBends(length unit.Metre) unit.Amount[unit.Radian] {
	h := &tables().hoses
	parts := unit.Radian(length / (10 * 0.3048))
	turn := func(start, each unit.Radian) unit.Radian { return min(start+parts*each, 2*math.Pi) }
	return assumed(turn(h.bendStart.Best, h.bendEach.Best), turn(h.bendStart.Low, h.bendEach.Low),
		turn(h.bendStart.High, h.bendEach.High), h.bendEach.Source)
}

func (b *book) readDucts() {
	for _, e := range entries("ducts.txt") {
		switch e.class {
		case "pipe", "hose":
			p := b.pipe(e)
			b.pipes.add(p, e, append([]string{p.Name}, p.Also...)...)
		case "port-outside":
			b.outside = append(b.outside, b.sizes(e)...)
		case "elbow":
			w := &Elbow{e.name, e.text("about"), e.list("also"), e.text("table"), need[unit.Number](b, e, "radius")}
			b.elbows.add(w, e, append([]string{w.Name}, w.Also...)...)
		case "wye", "reducer":
			w := &Wye{e.name, e.text("about"), without(e.list("also"), e.name), need[unit.Radian](b, e, "angle")}
			x := &b.wyes
			if e.class == "reducer" {
				x = &b.reducers
			}
			x.add(w, e, append([]string{w.Name}, w.Also...)...)
		case "gate":
			g := &Gate{Name: e.name, Also: e.list("also"), leak: b.leak(e)}
			b.gates.add(g, e, append([]string{g.Name}, g.Also...)...)
		case "leak":
			b.leaks.add(&Leak{e.name, b.leak(e)}, e, e.name)
		case "kink":
			b.kinks.add(&Kink{e.name, need[unit.Fraction](b, e, "open")}, e, e.name)
		case "travel":
			b.travel.add(&Time{e.name, need[unit.Second](b, e, "time")}, e, e.name)
		default:
			b.ductHabit(e)
		}
		e.done()
	}
}

// ductHabit reads the single values of how hoses lie.
func (b *book) ductHabit(e *entry) {
	switch h := &b.hoses; e.class + " " + e.name {
	case "hose-length carried":
		h.carried = need[unit.Metre](b, e, "length")
	case "hose-length drop":
		h.drop = need[unit.Metre](b, e, "length")
	case "pipe-length unsaid":
		h.pipe = need[unit.Metre](b, e, "length")
	case "bends start":
		h.bendStart = need[unit.Radian](b, e, "angle")
	case "bends each 10 ft":
		h.bendEach = need[unit.Radian](b, e, "angle")
	case "hose-radius bend":
		h.radius = need[unit.Number](b, e, "radius")
	default:
		e.bad(e.no, "nobody reads this entry")
	}
}

// leak reads an area, or a flow at 6 inH2O as the orifice that passes it: A·Cd = Q/√(2Δp/ρ).
func (b *book) leak(e *entry) unit.Amount[unit.M2] {
	if a, ok := have[unit.M2](b, e, "leak"); ok {
		return a
	}
	q := need[unit.M3PerSec](b, e, "flow")
	speed := math.Sqrt(2 * 6 * 249.089 / 1.2)
	return times[unit.M3PerSec, unit.Number, unit.M2](q, exactly(1/speed), q.Source)
}

func (b *book) pipe(e *entry) *Pipe {
	p := &Pipe{Name: e.name, About: e.text("about"), Also: without(e.list("also"), e.name), Hose: e.class == "hose", Wall: e.text("wall")}
	if p.Wall == "" {
		p.Wall = p.Name
	}
	if p.Hose {
		p.Friction, p.Bend = need[unit.Number](b, e, "friction"), need[unit.Number](b, e, "bend")
		p.Stretch = need[unit.Fraction](b, e, "stretch")
		p.FoldsTo, _ = have[unit.Fraction](b, e, "folds to")
	} else {
		p.Roughness, p.Seam = need[unit.Metre](b, e, "roughness"), need[unit.Number](b, e, "seam")
		p.Elbow = e.text("elbow")
	}
	p.sizes = b.sizes(e)
	if len(p.sizes) == 0 {
		e.bad(e.no, "a pipe needs sizes")
	}
	return p
}

// sizes reads the trade sizes: each with its true width, or lists whose true width is the size itself to half a percent
// (2 % for a hose).
func (b *book) sizes(e *entry) []sized {
	var out []sized
	source := ""
	if id := e.text("source"); id != "" {
		source = b.sources[id].String()
	}
	doubt := unit.Metre(0.005)
	if e.class == "hose" {
		doubt = 0.02
	}
	for i, sys := range []string{"us", "si"} {
		for _, l := range e.all("size " + sys) {
			n := read[unit.Metre](b, e, &line{key: l.key, cols: l.cols[:1], no: l.no}, 0)
			out = append(out, sized{n.Best, unit.System(i), read[unit.Metre](b, e, l, 1)})
		}
		for _, text := range e.list("nominal " + sys) {
			n, err := unit.Parse[unit.Metre](text)
			if err != nil {
				e.bad(e.no, "%v", err)
			}
			out = append(out, sized{n.Best, unit.System(i), assumed(n.Best, n.Best*(1-doubt), n.Best*(1+doubt), source)})
		}
	}
	return out
}
