package power

import (
	"fmt"

	"winnow/internal/physics/circuit"
	"winnow/internal/shop"
	"winnow/internal/unit"
)

// Limit is one row of "what do wire, cord, plug and switch allow".
type Limit struct {
	What   string      `json:"what"` // wire of circuit A, extension of the planer, ...
	Has    unit.Ampere `json:"has_a"`
	Allows unit.Ampere `json:"allows_a"`
	OK     Word        `json:"ok"`
	Note   string      `json:"note,omitempty"`
	Source string      `json:"source"`
	code   *shop.Code
	where  shop.Path
	args   []shop.Arg
}

func (g *Grid) limits() []Limit {
	var out []Limit
	for c := range g.lines {
		if l, ok := g.wireLimit(c); ok {
			out = append(out, l)
		}
	}
	if l, ask := g.guards(); ask {
		out = append(out, l)
	}
	for _, l := range g.loads {
		if l.ext != nil {
			out = append(out, g.extension(l))
		}
		out = append(out, g.plugAndSwitch(l)...)
	}
	return out
}

// wireLimit compares a breaker with its wire. A wire that was assumed from the breaker says nothing about it: not known.
func (g *Grid) wireLimit(c int) (Limit, bool) {
	ln := &g.lines[c]
	if !ln.known {
		return Limit{}, false
	}
	l := Limit{What: "wire of circuit " + ln.name, Has: ln.breaker.Rating, where: ln.path, OK: NotKnown, code: CodeBreakerOverWire}
	if !ln.wireOK {
		l.Note = "the wire is not said, or smaller than any of the tables"
		return l, true
	}
	l.args = []shop.Arg{shop.Word("circuit", ln.name), shop.Word("wire", ln.wire.Name()), shop.Number("breaker", ln.breaker.Rating)}
	if ln.wire.Metric {
		g.metricWire(ln, &l)
	} else {
		l.Source = "S-316, S-306"
		l.Allows = wireAllows(ln.wire)
		l.OK = within(l.Allows > 0, l.Has, l.Allows)
		l.Note = "copper, 60 °C terminals, by NEC 240.4(D) and the table of 2011 and later; editions up to 2008 read higher, with the same breaker"
	}
	l.args = append(l.args, shop.Number("allows", l.Allows))
	switch {
	case ln.wireSaid == unit.Assumed:
		l.OK, l.Note = NotKnown, "the wire is assumed from the breaker: read it off the cable"
	case ln.assumed:
		l.OK, l.Note, l.code = NotKnown, "the breaker is assumed: read the number on its handle", nil
	}
	return l, true
}

// guards asks once for every circuit with outlets of which nobody said what protects people there: whether it has that is not known.
func (g *Grid) guards() (Limit, bool) {
	var names []string
	for i := range g.lines {
		if ln := &g.lines[i]; len(ln.outlets) > 0 && len(ln.guarded) == 0 {
			names = append(names, ln.name)
		}
	}
	if len(names) == 0 {
		return Limit{}, false
	}
	of := "circuit " + names[0]
	if len(names) > 1 {
		of = "circuits " + list(names)
	}
	l := Limit{
		What: "GFCI for the outlets of " + of, OK: NotKnown, where: "circuits", code: CodeAskGuard, Source: "S-345",
		Note: "nobody said: the rules ask for one at the outlets of a garage, a shed and an unfinished basement (up to 250 V since 2020, 120 V before)",
	}
	guard := "a GFCI"
	if g.family == circuit.IEC60898 {
		guard, l.What, l.Source = "an RCD of 30 mA", "RCD of 30 mA for the outlets of "+of, "S-346"
		l.Note = "nobody said: the rules ask for one at outlets that anyone may use, to 32 A"
	}
	l.args = []shop.Arg{shop.Word("circuits", of), shop.Word("guard", guard)}
	return l, true
}

// wireAllows is the biggest breaker on copper by gauge: 240.4(D) for the small ones, the 60 °C column for 8 AWG.
func wireAllows(w circuit.Conductor) unit.Ampere {
	if m, ok := w.MostBreaker(); ok {
		return m
	}
	m, _ := w.Ampacity(circuit.At60, circuit.NEC2011)
	return m
}

// metricWire: good however it is laid, never good, or it depends; a ring of 2.5 mm² on 30 or 32 A is its own case.
func (g *Grid) metricWire(ln *line, l *Limit) {
	worst, _ := ln.wire.AmpacityLaid(circuit.InInsulation)
	best, ok := ln.wire.AmpacityLaid(circuit.Clipped)
	l.Source, l.Allows = "S-307 (from memory)", best
	device, copper, _, _ := circuit.Ring()
	switch {
	case !ok:
		l.OK = NotKnown
	case l.Has <= worst:
		l.OK, l.Allows, l.Note = Yes, worst, fmt.Sprintf("even inside insulation, where it carries least; %s clipped to a surface", unit.Print(best, unit.SI))
	case (l.Has == device[0] || l.Has == device[1]) && ln.wire.Area >= copper*0.99 && l.Has > best:
		l.OK, l.Note, l.Source = NotKnown, "right only if it is a ring, each leg good for 20 A", "S-327"
		l.code = CodeWireDepends
	case l.Has <= best:
		l.OK, l.Allows = NotKnown, worst
		l.Note = fmt.Sprintf("depends on how it is laid: not enough inside insulation; clipped to a surface it allows %s", unit.Print(best, unit.SI))
		l.code = CodeWireDepends
	default:
		l.OK, l.Note = No, "even clipped to a surface, where it carries most"
	}
}

// extension compares an extension cord with what is plugged into it. Two of its conductors carry current, three for a three-phase load.
func (g *Grid) extension(l *Load) Limit {
	r := Limit{What: "extension cord of the " + l.Name, Has: l.Rated, OK: NotKnown, where: l.plug, code: CodeThinExtension, Source: "S-306", Note: CordCaution}
	w, ok := circuit.Size(l.ext.Wire.Best, g.family == circuit.IEC60898)
	if !ok || l.ext.Wire.Basis == unit.Unsaid {
		return r
	}
	carrying := 2
	if l.phases == 3 {
		carrying = 3
	}
	a, ok := w.CordAmpacity(carrying)
	if w.Metric {
		r.Source = "S-307 (from memory)"
	}
	r.Allows = a
	r.Has, r.OK = l.compared(a)
	if r.OK == NotKnown {
		r.Note = readPlate + "; " + CordCaution
	}
	if !ok || l.ext.Wire.Basis == unit.Assumed {
		r.OK = NotKnown
	}
	r.args = []shop.Arg{shop.Word("load", l.Name), shop.Word("wire", w.Name()), shop.Number("has", r.Has), shop.Number("allows", a), shop.Word("said", l.rated())}
	return r
}

// readPlate stands where only an estimate is over a limit.
const readPlate = "no amps are given: read the plate"

// resistiveSwitch is what a common plug-in switch carries of a resistive load; on a motor its contacts weld. Common practice.
const resistiveSwitch = 16

func (g *Grid) plugAndSwitch(l *Load) []Limit {
	var out []Limit
	if g.fused() && l.hasPlug && class(g.voltageOf(l)) == 2 && l.phases != 3 {
		has, ok := l.compared(circuit.PlugFuse)
		note := "13 A plug with a fuse"
		if ok == NotKnown {
			note += "; " + readPlate
		}
		out = append(out, Limit{
			What: "fuse in the plug of the " + l.Name, Has: has, Allows: circuit.PlugFuse, OK: ok,
			Source: "S-326", Note: note, code: CodePlugFuse, where: l.where,
			args: []shop.Arg{shop.Word("load", l.Name), shop.Number("has", has), shop.Number("allows", circuit.PlugFuse), shop.Word("said", l.rated())},
		})
	}
	if l.device != "" && l.motor && !l.brushed && l.Sort == System {
		out = append(out, Limit{
			What: fmt.Sprintf("switch %s of the %s", l.device, l.Name), Has: l.Start, Allows: resistiveSwitch, OK: NotKnown,
			Source: "common practice", Note: "it must have a motor rating or be a contactor: the contacts of a 10 to 16 A resistive switch weld at a motor's start",
			code: CodeResistiveSwitch, where: l.where.Join("device"),
			args: []shop.Arg{shop.Word("load", l.Name), shop.Word("device", l.device), shop.Number("start", l.Start)},
		})
	}
	return out
}

// fused says whether plugs carry a fuse: the file names no country, but whose exposure limits to compare with does.
func (g *Grid) fused() bool {
	if g.family != circuit.IEC60898 {
		return false
	}
	for _, l := range g.shop.Site.Limits {
		if len(l) >= 2 && (l[:2] == "uk" || l[:2] == "ie") && (len(l) == 2 || l[2] == ' ') {
			return true
		}
	}
	return false
}
