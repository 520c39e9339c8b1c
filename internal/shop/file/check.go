package file

import (
	"fmt"
	"slices"
	"strings"
	"unicode"

	"winnow/internal/shop"
	"winnow/internal/unit"
)

// reserved are words of the grammar that no name may be.
var reserved = []string{"cap", "none", "drawn", "unknown", "true", "false"}

// nameOf checks a name that is given here, and keeps it.
func (d *decoder) nameOf(n *node, f *field) {
	if f.ref != "" {
		d.use(n, f.ref, n.text)
		return
	}
	if f.kinds != "" {
		d.use(n, "kind/"+f.kinds, n.text)
	}
	if n.plain && trapWords[n.text] != "" {
		d.fault(n, YAMLWord, "many YAML readers take the word `"+n.text+"` for something else", "Give it another name.")
		return
	}
	if why := badName(n.text, f.def); why != "" {
		d.fault(n, BadName, why, "A name starts with a letter and has no / ~ : , # or quotes.")
		return
	}
	if f.def != "" {
		d.names = append(d.names, name{kind: f.def, text: n.text, scope: d.scope(f.def), node: n})
	}
}

// scope is inside what a name must be unique; "" is the whole file.
func (d *decoder) scope(kind string) string {
	switch kind {
	case "run":
		return d.system
	case "port", "place", "setup":
		return d.machine
	}
	return ""
}

// badName says why a text cannot be a name, or "".
func badName(s, kind string) string {
	if s == "" {
		return "the name is missing"
	}
	for i, r := range s {
		if i == 0 && !unicode.IsLetter(r) {
			return "`" + short(s) + "` does not start with a letter"
		}
		if strings.ContainsRune("/~:,#\"'`“”‘’", r) {
			return "`" + short(s) + "` has the sign " + string(r) + " in it"
		}
		if unicode.IsControl(r) {
			return "the name runs over a line end"
		}
	}
	if strings.TrimSpace(s) != s {
		return "`" + short(s) + "` has a space at its end"
	}
	words := reserved
	switch kind {
	case "place":
		words = append(slices.Clip(words), "away")
	case "machine", "system":
		words = append(slices.Clip(words), "room")
		if strings.HasPrefix(s, "tap ") || strings.HasPrefix(s, "split ") {
			return "`" + short(s) + "` would be read as a " + s[:strings.IndexByte(s, ' ')] + " where it is spoken of"
		}
	}
	if contains(words, s) {
		return "`" + s + "` is a word of the grammar"
	}
	return ""
}

func (d *decoder) use(n *node, kind, text string) {
	d.uses = append(d.uses, use{kind: kind, text: text, system: d.system, machine: d.machine, node: n})
}

// check does everything that needs the whole file: names against each other, names spoken of against names given, and
// the way of the air.
func (d *decoder) check(kinds *Vocabulary) {
	b := newBook(d.names)
	d.index()
	d.clashes()
	for _, u := range d.uses {
		d.known(b, u, kinds)
	}
	d.joins(b)
	for _, e := range d.exhausts {
		d.exhaust(e)
	}
	for _, s := range d.sensors {
		d.target(s)
	}
	for _, e := range d.edits {
		d.pathOf(e)
	}
}

// index finds machines, systems and splits by name: looking through all of them each time is slow in a large file.
func (d *decoder) index() {
	d.machines, d.systems = map[string]*shop.Machine{}, map[string]*shop.System{}
	d.splits, d.home = map[string]bool{}, map[[2]string]string{}
	for i := range d.shop.Machines {
		d.machines[d.shop.Machines[i].Name] = &d.shop.Machines[i]
	}
	for i := range d.shop.Systems {
		d.systems[d.shop.Systems[i].Name] = &d.shop.Systems[i]
	}
	for _, r := range d.runs {
		for _, p := range r.run.Pieces {
			switch p.What {
			case shop.Split:
				d.splits[p.Split] = p.At.Basis == unit.Given
			case shop.Tap, shop.Separator:
				d.home[[2]string{string(p.What), p.Named()}] = r.system
			}
		}
	}
}

// book holds the names of the file by kind and scope.
type book struct {
	has  map[[3]string]*node
	list map[[2]string][]string
}

func newBook(names []name) *book {
	b := &book{has: make(map[[3]string]*node, len(names)), list: map[[2]string][]string{}}
	for _, n := range names {
		b.has[[3]string{n.kind, n.scope, n.text}] = n.node
		k := [2]string{n.kind, n.scope}
		b.list[k] = append(b.list[k], n.text)
	}
	return b
}

func (b *book) known(kind, scope, text string) bool {
	return b.has[[3]string{kind, scope, text}] != nil
}

// spokenAs are kinds that share a place where they are spoken of: `where`, `also starts`.
var spokenAs = map[string]string{"machine": "machine, system or air cleaner", "system": "machine, system or air cleaner", "cleaner": "machine, system or air cleaner"}

var called = map[string]string{
	"cleaner": "air cleaner", "source": "machine", "starter": "system or air cleaner", "spot": "place to measure",
}

func callKind(kind string) string {
	if c := called[kind]; c != "" {
		return c
	}
	return kind
}

func (d *decoder) clashes() {
	first := make(map[[3]string]name, len(d.names))
	for _, n := range d.names {
		group := n.kind
		if g := spokenAs[group]; g != "" {
			group = g
		}
		k := [3]string{group, n.scope, n.text}
		p, taken := first[k]
		if !taken {
			first[k] = n
			continue
		}
		what := fmt.Sprintf("the %s %s is called `%s` too", callKind(p.kind), p.node.onLine(), n.text)
		d.fault(n.node, NameClash, what, "Give one of the two another name.").also = p.node
	}
}

// known checks one name that is spoken of.
func (d *decoder) known(b *book, u use, kinds *Vocabulary) {
	switch u.kind {
	case "source":
		d.source(b, u)
		return
	case "starter":
		if !b.known("system", "", u.text) && !b.known("cleaner", "", u.text) {
			d.stranger(u, append(slices.Clone(b.list[[2]string{"system", ""}]), b.list[[2]string{"cleaner", ""}]...))
		}
		return
	case "spot":
		d.spot(b, u)
		return
	case "place":
		if u.text != "away" && !b.known("place", u.machine, u.text) {
			d.stranger(u, append(slices.Clone(b.list[[2]string{"place", u.machine}]), "away"))
		}
		return
	}
	if list, isKind := strings.CutPrefix(u.kind, "kind/"); isKind {
		d.knownKind(u, list, kinds)
		return
	}
	scope := ""
	switch u.kind {
	case "run":
		scope = u.system
	case "port":
		scope = u.machine
	}
	if !b.known(u.kind, scope, u.text) {
		d.stranger(u, b.list[[2]string{u.kind, scope}])
	}
}

func (d *decoder) stranger(u use, names []string) {
	kind := callKind(u.kind)
	what := "there is no " + kind + " called `" + short(u.text) + "`"
	if u.text == "" {
		what = "the name of the " + kind + " is missing"
	}
	d.fault(u.node, UnknownName, what, didYouMean(u.text, kind, names))
}

func didYouMean(text, kind string, names []string) string {
	if near := nearest(text, names); near != "" {
		return "Did you mean `" + near + "`?"
	}
	switch {
	case len(names) == 0:
		return "The file names no " + kind + " yet; add it, or remove this."
	case len(names) <= 8:
		return "There is: " + strings.Join(names, ", ") + "."
	}
	return "Add it, or write one that is there."
}

// source checks MACHINE and MACHINE/PORT.
func (d *decoder) source(b *book, u use) {
	machine, port, named := strings.Cut(u.text, "/")
	if !b.known("machine", "", machine) {
		u.text = machine
		d.stranger(u, b.list[[2]string{"machine", ""}])
		return
	}
	ports := b.list[[2]string{"port", machine}]
	m := d.machines[machine]
	switch {
	case named && !b.known("port", machine, port):
		what := "`" + machine + "` has no port called `" + short(port) + "`"
		cure := "It has one port without a name: write `" + machine + "`."
		if len(ports) > 0 {
			cure = didYouMean(port, "port", ports)
		}
		d.fault(u.node, UnknownName, what, cure)
	case !named && len(ports) > 0:
		d.fault(u.node, UnknownName, "`"+machine+"` has "+count(len(ports), "port with a name", "ports")+", and which one is not said", "Write "+orList(prefixed(machine+"/", ports))+".")
	case !named && m != nil && m.Ports.Basis != 0 && !m.Ports.Is():
		d.fault(u.node, UnknownName, "`"+machine+"` has no port (`port: none`)", "Give it a port, or start the run somewhere else.")
	}
}

func prefixed(before string, words []string) []string {
	out := make([]string, len(words))
	for i, w := range words {
		out[i] = before + w
	}
	return out
}

// spot checks the `where` of a reading.
func (d *decoder) spot(b *book, u use) {
	if u.text == "room" || b.known("system", "", u.text) {
		return
	}
	if tap, ok := strings.CutPrefix(u.text, "tap "); ok {
		if !b.known("tap", "", tap) {
			u.kind, u.text = "tap", tap
			d.stranger(u, b.list[[2]string{"tap", ""}])
		}
		return
	}
	if machine, port, named := strings.Cut(u.text, "/"); named {
		switch {
		case !b.known("machine", "", machine):
			u.kind, u.text = "machine", machine
			d.stranger(u, b.list[[2]string{"machine", ""}])
		case !b.known("port", machine, port):
			u.kind, u.text = "port", port
			d.stranger(u, b.list[[2]string{"port", machine}])
		}
		return
	}
	if b.known("machine", "", u.text) {
		return
	}
	names := append([]string{"room"}, b.list[[2]string{"machine", ""}]...)
	names = append(names, b.list[[2]string{"system", ""}]...)
	names = append(names, prefixed("tap ", b.list[[2]string{"tap", ""}])...)
	d.stranger(u, names)
}

func (d *decoder) knownKind(u use, list string, kinds *Vocabulary) {
	if kinds == nil {
		return
	}
	known := map[string][]string{"machine": kinds.Machines, "duct": kinds.Ducts, "filter": kinds.Filters}[list]
	if len(known) == 0 || contains(known, u.text) {
		return
	}
	cure := "`winnow kinds` lists what is known; leave `kind` out if nothing fits."
	if near := nearest(u.text, known); near != "" {
		cure = "Did you mean `" + near + "`?"
	}
	d.fault(u.node, UnknownKind, "no typical values are known for `"+short(u.text)+"`", cure)
}

// target: a sensor says what it sits on, and thresholds fit what it reads.
func (d *decoder) target(at sensorAt) {
	s := at.sensor
	where := s.Machine != "" || s.Outlet != "" || s.System != "" || s.Tap != "" || s.Separator != "" || s.Gate != ""
	switch s.Reads {
	case "current", "suction", "filter pressure", "bin level", "position":
		if !where {
			d.fault(at.node, NoTarget, "nothing says what this sensor sits on", "Add "+map[string]string{
				"current":         "machine: NAME, outlet: NAME or system: NAME",
				"suction":         "system: NAME and tap: NAME",
				"filter pressure": "system: NAME",
				"position":        "gate: NAME",
				"bin level":       "system: NAME, and separator: NAME if it is not the bin of the system itself",
			}[s.Reads]+".")
		}
	}
	for _, key := range []string{"starts at", "stops at"} {
		level := s.StartsAt
		if key == "stops at" {
			level = s.StopsAt
		}
		n := at.node.get(key)
		amps, pull := level.Current.Basis != 0, level.Pressure.Basis != 0
		switch {
		case !amps && !pull:
		case s.Reads == "current" && pull:
			d.fault(n, WrongDimension, "`"+short(n.text)+"` is a pressure, and this sensor reads a current", "Write 1.5 A.")
		case (s.Reads == "suction" || s.Reads == "filter pressure") && amps:
			d.fault(n, WrongDimension, "`"+short(n.text)+"` is a current, and this sensor reads a pressure", "Write 0.8 inH2O.")
		case s.Reads != "current" && s.Reads != "suction" && s.Reads != "filter pressure" && s.Reads != "":
			d.fault(n, NotForThis, "`"+key+"` says nothing to a sensor that reads "+s.Reads, "Remove it.")
		}
	}
	if s.System != "" {
		d.inSystem(at.node, "tap", s.Tap, s.System)
		d.inSystem(at.node, "separator", s.Separator, s.System)
	}
}

// inSystem: a tap or separator that is known, but in another system.
func (d *decoder) inSystem(n *node, kind, text, system string) {
	y := d.systems[system]
	if text == "" || y == nil {
		return
	}
	at := d.home[[2]string{kind, text}]
	if at != "" && at != system {
		elsewhere := at
		d.fault(n.get(kind), UnknownName, "the "+kind+" `"+text+"` is not in `"+system+"`", "It is in `"+elsewhere+"`.")
	}
}
