package cli

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"winnow/internal/shop"
	"winnow/internal/shop/file"
	"winnow/internal/shop/typical"
	"winnow/internal/unit"
)

// text is the shop file that the answers make. What the owner was not sure of is written `unknown`, with the value that
// is taken instead behind it: so it counts as assumed, and is easily filled in.
func (v *interview) text() []byte {
	plain := v.write(nil)
	doc, faults := file.Parse(plain)
	if len(faults) > 0 {
		return plain // told by the caller
	}
	filled, _ := typical.Fill(doc.Shop())
	return v.write(filled)
}

// writer collects lines with what was guessed behind them.
type writer struct {
	b   strings.Builder
	sys unit.System
}

// line writes a line; guess goes behind it, if there is one.
func (w *writer) line(indent int, text string, guesses ...string) {
	guesses = slices.DeleteFunc(guesses, func(g string) bool { return g == "" })
	line := strings.Repeat("  ", indent) + text
	if len(guesses) > 0 {
		line += strings.Repeat(" ", max(3, 48-len(line))) + "# guessed: " + strings.Join(guesses, ", ")
	}
	w.b.WriteString(line + "\n")
}

// orUnknown is the answer, or unknown.
func orUnknown(text string) string {
	if text == "" {
		return "unknown"
	}
	return text
}

func guessOf[T unit.Real](w *writer, said string, a unit.Amount[T], what string) string {
	if said != "" || a.Basis == unit.Unsaid {
		return ""
	}
	return strings.TrimSpace(unit.Print(a.Best, w.sys) + " " + what)
}

// write writes the file; filled is the shop it makes, to take the guesses from. nil: without them.
func (v *interview) write(filled *shop.Shop) []byte {
	a := &v.a
	w := &writer{sys: v.sys()}
	w.b.WriteString("# Made by winnow new. What you were not sure of is `unknown`, with the value taken instead behind it. Put in what you\n" +
		"# find out, and the verdict gets surer. Units may be mixed: 10 ft, 3 m, 350 cfm. winnow kinds lists what is known.\n\n")
	w.line(0, "winnow: 1")
	w.line(0, "name: my shop")
	w.line(0, "units: "+v.pick("si", "us"))
	wiring := "us"
	if a.iec {
		wiring = "iec"
	}
	w.line(0, "site: {wiring: "+wiring+"}")
	if a.flame != "" {
		w.line(0, "room: {flames: "+flames[a.flame]+"}")
	}
	w.line(0, "")
	if a.askedPower {
		v.writeCircuit(w, filled)
	}
	v.writeMachines(w)
	if a.have == "nothing" {
		v.writeOptions(w)
	} else {
		v.writeSystem(w, filled)
	}
	return []byte(w.b.String())
}

func (v *interview) writeMachines(w *writer) {
	if v.a.guessed {
		w.line(0, "machines:", "what stands in most shops; write yours")
	} else {
		w.line(0, "machines:")
	}
	for _, m := range v.a.machines {
		w.line(1, m.name+":")
		w.line(2, "kind: "+m.kind)
		if m.annoys {
			w.line(2, "note: the one that annoys most")
		}
		v.writePlug(w, m.name)
		p := mainPort(m.kind)
		if p == nil && m.port == "" {
			w.line(2, "port: unknown", "it has none")
			continue
		}
		var size unit.Amount[unit.Metre]
		if p != nil {
			size = p.Size.For(v.sys())
		}
		at, chips, fine := size.Best, unit.Amount[unit.M3PerSec]{}, unit.Amount[unit.M3PerSec]{}
		if said, err := unit.Parse[unit.Metre](m.port); err == nil {
			at = said.Best
		}
		if p != nil {
			chips, fine = p.Needs(at, 0)
		}
		w.line(2, fmt.Sprintf("port: {size: %s, needs: {chips: %s, fine: unknown}}", orUnknown(m.port), orUnknown(m.chips)),
			guessOf(w, m.port, size, "wide"), guessOf(w, m.chips, chips, "for chips"), guessOf(w, "", fine, "for fine dust"))
	}
	w.line(0, "")
}

// writeCircuit writes the one breaker that was asked about.
func (v *interview) writeCircuit(w *writer, filled *shop.Shop) {
	var usual unit.Amount[unit.Ampere]
	if filled != nil && len(filled.Circuits) > 0 {
		usual = filled.Circuits[0].Breaker
	}
	w.line(0, "circuits:")
	w.line(1, "A:")
	w.line(2, "breaker: "+orUnknown(v.a.breaker), guessOf(w, v.a.breaker, usual, ""))
	w.line(2, "outlets: {"+outletName+": {}}")
	w.line(0, "")
}

func (v *interview) writePlug(w *writer, name string) {
	if plug := v.plug(name); plug != "" {
		w.line(2, "plug: "+plug, map[bool]string{true: "on that breaker"}[v.a.dark == nil])
	}
}

// served are the machines that the one hose is carried to.
func (a *answers) served() string {
	var names []string
	for _, m := range a.machines {
		if mainPort(m.kind) != nil || m.port != "" {
			names = append(names, m.name)
		}
	}
	return "[" + strings.Join(names, ", ") + "]"
}

func (v *interview) systemName() string {
	if v.a.have == "vacuum" {
		return "vacuum"
	}
	return "collector"
}

func (v *interview) writeSystem(w *writer, filled *shop.Shop) {
	a := &v.a
	name := v.systemName()
	y := &shop.System{}
	if filled != nil && filled.System(name) != nil {
		y = filled.System(name)
	}
	w.line(0, "systems:")
	if a.have == "" {
		w.line(1, name+":", "a collector with one bag")
	} else {
		w.line(1, name+":")
	}
	w.line(2, "kind: "+name)
	if a.inlet != "" {
		w.line(2, "inlet: "+a.inlet)
	}
	w.line(2, "fan:")
	rating := y.Fan.Rating.Value
	w.line(3, fmt.Sprintf("rating: {free air: %s, shut-off: %s}", orUnknown(a.claim), orUnknown(a.pull)),
		guessOf(w, a.claim, rating.FreeAir, "with nothing connected"), guessOf(w, a.pull, rating.ShutOff, "with the inlet blocked"))
	if a.wheel != "" {
		w.line(3, "wheel: "+a.wheel)
	}
	motor := y.Motor.Value
	switch {
	case a.motorIsAmps:
		w.line(2, "motor: {current: "+a.motor+"}")
	case a.motor == "" && motor.Power.Best > 0:
		w.line(2, "motor: {power: unknown}", unit.PrintMotor(motor.Power.Best, w.sys))
	default:
		w.line(2, "motor: {power: "+orUnknown(a.motor)+"}")
	}
	kind, area := map[string]string{"cartridge": "cartridge", "cyclone": "cartridge"}[a.have], ""
	if kind == "" && a.have != "vacuum" {
		kind = "bag"
	}
	if kind != "" {
		kind = "kind: " + kind + ", "
	}
	if a.bag != "" {
		area = "area: " + a.bag + ", "
	}
	w.line(2, "filter: {"+kind+area+"since cleaning: "+orUnknown(map[string]string{"this month": "0 to 10 h", "never": "20 to 200 h"}[a.cleaned])+"}",
		guessOf(w, a.cleaned, y.Filter.Value.SinceCleaning, "of running"))
	v.writePlug(w, name)
	if a.airGoes == "" {
		w.line(2, "air goes: unknown", cmp.Or(y.AirGoes, "room"))
	} else {
		w.line(2, "air goes: "+a.airGoes)
	}
	w.line(2, "runs:")
	v.writeRun(w, y)
}

// howItLies is a hose's bends and stretch by how the owner says it lies. Common practice, no source.
var howItLies = map[string][2]string{
	"straight": {"0 to 90°", "90 to 100 %"},
	"curves":   {"90 to 270°", "80 to 95 %"},
	"loops":    {"270 to 720°", "65 to 90 %"},
}

func (v *interview) writeRun(w *writer, y *shop.System) {
	a := &v.a
	w.line(3, "main:")
	w.line(4, "from: "+a.served())
	width := a.hoseWidth
	if width == "" {
		width = v.usualWidth()
	}
	w.line(4, "size: "+width, map[bool]string{true: "the usual; measure across the hose"}[a.hoseWidth == ""])
	w.line(4, "kind: "+map[bool]string{true: "ribbed hose", false: "wire-helix hose"}[a.have == "vacuum"])
	w.line(4, "pieces:")
	var hose shop.Piece
	if r := y.Run("main"); r != nil && len(r.Pieces) > 0 {
		hose = r.Pieces[0]
	}
	lies, said := howItLies[a.lies]
	if !said {
		lies = [2]string{"unknown", "unknown"}
	}
	length := orUnknown(a.hoseLength)
	if a.hoseLength == "" && !strings.Contains(a.served(), ",") {
		length = v.pick("3 m", "10 ft") + " +150/-40 %" // left out, a hose to one machine alone would be taken as a short drop
	}
	w.line(5, fmt.Sprintf("- {hose: %s, bends: %s, stretch: %s}", length, lies[0], lies[1]),
		guessOf(w, a.hoseLength, hose.Hose, "long"), guessOf(w, a.lies, hose.Bends, "of bends"), guessOf(w, a.lies, hose.Stretch, "pulled out"))
	if a.have == "cyclone" {
		w.line(5, "- {separator: cyclone, make: cyclone}")
	}
}

// candidate is a collector somebody without one could begin with.
type candidate struct {
	name, kind, motor, filter, body string
	width, length                   string
	cyclone                         bool
}

func (v *interview) candidates() []candidate {
	width, length := v.pick("100 mm", "4 in"), v.pick("3 m", "10 ft")
	list := []candidate{{name: "vacuum with a bucket", kind: "vacuum", body: "vacuum and bucket", width: v.pick("58 mm", "2 1/2 in"), length: length}}
	motors := [][2]string{{"1 hp", "1 hp"}, {"1½ hp", "1 1/2 hp"}, {"2 hp", "2 hp"}, {"3 hp", "3 hp"}}
	if v.a.iec {
		motors = [][2]string{{"0.75 kW", "0.75 kW"}, {"1.1 kW", "1.1 kW"}, {"1.5 kW", "1.5 kW"}, {"2.2 kW", "2.2 kW"}}
	}
	for i, m := range motors {
		c := candidate{name: "collector of " + m[0], kind: "collector", motor: m[1], filter: "bag", body: "bag collector", width: width, length: length}
		if i == len(motors)-1 {
			c.name, c.filter, c.body, c.cyclone = "cyclone of "+m[0], "cartridge", "cyclone", true
		}
		list = append(list, c)
	}
	return list
}

// system is the candidate as a part of the file.
func (c candidate) system(from string) string {
	motor, filter, pieces := "", "", "{hose: "+c.length+"}"
	if c.motor != "" {
		motor = ", motor: {power: " + c.motor + "}"
	}
	if c.filter != "" {
		filter = ", filter: {kind: " + c.filter + "}"
	}
	if c.cyclone {
		pieces += ", {separator: cyclone, make: cyclone}"
	}
	hose := map[bool]string{true: "ribbed hose", false: "wire-helix hose"}[c.kind == "vacuum"]
	return fmt.Sprintf("{kind: %s%s%s, runs: {main: {from: %s, size: %s, kind: %s, pieces: [%s]}}}", c.kind, motor, filter, from, c.width, hose, pieces)
}

// writeOptions writes what could be bought as options, so that each can be tried and put in by one edit.
func (v *interview) writeOptions(w *writer) {
	w.line(0, "options:                                        # what you could begin with; add a price when you know it")
	for _, c := range v.candidates() {
		w.line(1, c.name+":")
		if b, ok := typical.BodyOf(c.body); ok {
			w.line(2, "floor: "+unit.Print(b.Floor.Best, v.sys()))
		}
		w.line(2, "change:")
		w.line(3, "- {set: systems/"+c.kind+", to: "+c.system(v.a.served())+"}")
	}
	w.line(0, "")
	w.line(0, "wishes: {floor at most: "+orUnknown(v.a.floor)+"}")
}
