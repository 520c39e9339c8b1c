package file

import (
	"errors"
	"fmt"
	"reflect"
	"strings"
	"testing"

	"winnow/internal/shop"
)

func apply(t testing.TB, d *Doc, edits ...shop.Edit) *Doc {
	t.Helper()
	want, err := d.Try(edits...)
	if err != nil {
		t.Fatalf("try: %v", err)
	}
	next, err := d.Apply(edits...)
	if err != nil {
		t.Fatalf("apply: %v", err)
	}
	if !reflect.DeepEqual(next.Shop(), want) {
		t.Fatalf("the tree and the text differ after %v", edits)
	}
	return next
}

// diff lists the lines that differ between two texts, as - and +.
func diff(before, after string) []string {
	a, b := strings.Split(before, "\n"), strings.Split(after, "\n")
	for len(a) > 0 && len(b) > 0 && a[0] == b[0] {
		a, b = a[1:], b[1:]
	}
	for len(a) > 0 && len(b) > 0 && a[len(a)-1] == b[len(b)-1] {
		a, b = a[:len(a)-1], b[:len(b)-1]
	}
	var d []string
	for _, l := range a {
		d = append(d, "-"+l)
	}
	for _, l := range b {
		d = append(d, "+"+l)
	}
	return d
}

type replacement struct {
	path shop.Path
	text string
}

// otherScalars is another value of the same kind for every scalar of a file, where there is one.
func otherScalars(d *Doc) []replacement {
	var out []replacement
	paths := pathsOf(d.root)
	var walk func(n *node)
	walk = func(n *node) {
		if n.form == scalar {
			if !n.null {
				out = append(out, replacement{paths[n], n.text})
			}
			return
		}
		for _, c := range n.items {
			walk(c)
		}
	}
	walk(d.root)
	return out
}

// Each scalar of the example is replaced in turn by another that the grammar allows there; whatever it is, exactly that
// one line of the file may change.
func TestEveryScalarReplacedChangesOneLine(t *testing.T) {
	d := good(t, whole(t))
	scalars := otherScalars(d)
	if len(scalars) < 450 {
		t.Fatalf("only %d scalars found in the example", len(scalars))
	}
	changed := 0
	for _, r := range scalars {
		for _, other := range []string{"unknown", r.text + " x", "7 ft", "7 in", "77 cfm", "7 A", "7 V", "7 s", "7 h", "7 hp", "77°", "77 %", "7 gal", "7 kW", "7 USD", "7 USD/kWh", "7 inH2O", "7 fpm", "3", "false", "7 ft2", "77 °F", "10 AWG", "2026-01-07", "open", "none", "77 dBA", "7 /h", "7 inH2O at 77 cfm", "7 ft x 7 ft", "si", "by hand", "refuse", "outdoors", "shut", "warn", "always", "suction", "money", "level", "down", "left", "bare", "dirty", "chips", "cap", "10 pm to 6 am", "7 L/h", "half mask"} {
			if other == r.text {
				continue
			}
			e := shop.Edit{Set: r.path, To: shop.Text(other)}
			if _, err := d.Try(e); err != nil {
				continue
			}
			changed++
			next := apply(t, d, e)
			if got := diff(d.src, next.src); len(got) != 2 {
				t.Errorf("%s set to %s changes:\n%s", r.path, other, strings.Join(got, "\n"))
			}
			break
		}
	}
	if changed < 400 {
		t.Errorf("only %d of %d scalars could be replaced", changed, len(scalars))
	}
	t.Logf("%d of %d scalars replaced", changed, len(scalars))
}

// Every run takes a new piece after every piece, and every block a new note; only what is new may differ.
func TestEveryPlaceTakesSomethingNew(t *testing.T) {
	d := good(t, whole(t))
	pieces, notes := 0, 0
	for n, p := range pathsOf(d.root) {
		if kind, _ := n.pieceKind(); kind != "" && p.Parent().Last() == "pieces" && !strings.HasPrefix(string(p), "options") {
			e := shop.Edit{Insert: value(t, "{elbow: 45°, note: new}"), After: p}
			if _, err := d.Try(e); err != nil {
				continue // behind a wye that starts a run, or before a measured length
			}
			pieces++
			onlyNew(t, d, e, "{elbow: 45°, note: new}")
		}
		at := grammarAt(p.Keys())
		if n.form != dict || at.bad >= 0 || at.grammar.keys["note"] == nil || n.get("note") != nil {
			continue
		}
		notes++
		onlyNew(t, d, shop.Edit{Set: p.Join("note"), To: shop.Text("new")}, "note: new")
	}
	if pieces < 30 || notes < 100 {
		t.Errorf("only %d pieces and %d notes were put in", pieces, notes)
	}
	t.Logf("%d pieces, %d notes", pieces, notes)
}

// onlyNew: the text after an edit is the text before with one part more.
func onlyNew(t *testing.T, d *Doc, e shop.Edit, part string) {
	t.Helper()
	next := apply(t, d, e).src
	for i := range next {
		if rest, ok := strings.CutPrefix(next[i:], part); ok {
			for _, around := range [][2]string{{", ", ""}, {"", ", "}, {"", ""}} {
				before := strings.TrimSuffix(next[:i], around[0])
				after := strings.TrimPrefix(rest, around[1])
				if before+after == d.src {
					return
				}
				if line := strings.LastIndexByte(before, '\n'); line >= 0 && strings.Trim(before[line:], "\n -") == "" && before[:line]+after == d.src {
					return
				}
			}
		}
	}
	t.Errorf("%+v changes more than it adds:\n%s", e, strings.Join(diff(d.src, next), "\n"))
}

func value(t testing.TB, yamlText string) *shop.Value {
	t.Helper()
	root, faults := readTree(newText("x: " + yamlText))
	if len(faults) > 0 || root == nil {
		t.Fatalf("%s: %s", yamlText, texts(faults))
	}
	v := valueOf(root.items[0])
	return &v
}

// edits of the text, side by side: what the owner would see.
func TestEditsOfText(t *testing.T) {
	const head = "winnow: 1\n"
	tests := []struct {
		name, before, after string
		edits               []shop.Edit
	}{
		{
			"set in a flow map, after µ and with a comment", "machines: {µ planer: {kind: planer, note: 'µm',\tport: {size: 4 in}}}   # c\n",
			"machines: {µ planer: {kind: planer, note: 'µm',\tport: {size: 5 in}}}   # c\n",
			[]shop.Edit{{Set: "machines/µ planer/port/size", To: shop.Text("5 in")}},
		},
		{
			"quotes stay", "name: 'my shop'\nnote: \"so\"\n", "name: 'your ''shop'\nnote: \"it is: so\"\n",
			[]shop.Edit{{Set: "name", To: shop.Text("your 'shop")}, {Set: "note", To: shop.Text("it is: so")}},
		},
		{
			"quotes where they are needed", "name: shop\nnote: so\n", "name: \"no\"\nnote: 'a # sign, \"x\"'\n",
			[]shop.Edit{{Set: "name", To: shop.Text("no")}, {Set: "note", To: shop.Text("a # sign, \"x\"")}},
		},
		{
			"quotes inside quotes", "machines: {a: {note: \"say \\\"}\\\" \\\\\"}, b: {note: 'it''s }'}}\n", "machines: {a: {note: \"say \\\"}\\\" \\\\\", wheels: true}, b: {note: 'that''s {'}}\n",
			[]shop.Edit{{Set: "machines/a/wheels", To: shop.Text("true")}, {Set: "machines/b/note", To: shop.Text("that's {")}},
		},
		{
			"a | text", "note: |\n  one\n\n  two\n\nname: x\n", "note: three\n\nname: x\n",
			[]shop.Edit{{Set: "note", To: shop.Text("three")}},
		},
		{
			"a text over several lines", "note: one\n  two\n\n  three   # c\nname: x\n", "note: four   # c\nname: x\n",
			[]shop.Edit{{Set: "note", To: shop.Text("four")}},
		},
		{
			"nothing written", "machines:\n  planer:\n  jointer: {port: , kind: jointer}\n", "machines:\n  planer: {kind: planer}\n  jointer: {port: {size: 4 in}, kind: jointer}\n",
			[]shop.Edit{{Set: "machines/planer", To: value(t, "{kind: planer}")}, {Set: "machines/jointer/port", To: value(t, "{size: 4 in}")}},
		},
		{
			"below what was unknown", "machines:\n  m:\n    port: unknown   # c\n    motor: {power: unknown}\n    makes: unknown\n", "machines:\n  m:\n    port: {needs: {chips: 350 cfm}}   # c\n    motor: {power: 1 hp}\n    makes: {form: chips}\n",
			[]shop.Edit{{Set: "machines/m/port/needs/chips", To: shop.Text("350 cfm")}, {Set: "machines/m/motor/power", To: shop.Text("1 hp")}, {Set: "machines/m/makes/form", To: shop.Text("chips")}},
		},
		{
			"a name without a colon", "machines: {planer, jointer: {}}\n", "machines: {planer: {kind: x}, jointer: {}}\n",
			[]shop.Edit{{Set: "machines/planer", To: value(t, "{kind: x}")}},
		},
		{
			"a new key in a block", "machines:\n  planer:\n    kind: planer   # it planes\n\n  jointer: {}\n", "machines:\n  planer:\n    kind: planer   # it planes\n    wheels: true\n\n  jointer: {}\n",
			[]shop.Edit{{Set: "machines/planer/wheels", To: shop.Text("true")}},
		},
		{
			"a new key at the end of a block, above a comment that ends it", "machines:\n  planer:\n    kind: planer\n    # it planes\n  jointer: {}\n", "machines:\n  planer:\n    kind: planer\n    wheels: true\n    # it planes\n  jointer: {}\n",
			[]shop.Edit{{Set: "machines/planer/wheels", To: shop.Text("true")}},
		},
		{
			"a new key in braces", "machines: {planer: {}, jointer: {kind: jointer,}}\n", "machines: {planer: {wheels: true}, jointer: {kind: jointer, wheels: true,}}\n",
			[]shop.Edit{{Set: "machines/planer/wheels", To: shop.Text("true")}, {Set: "machines/jointer/wheels", To: shop.Text("true")}},
		},
		{
			"a new section, no line end at the end", "name: x", "name: x\nsite: {altitude: 100 ft}",
			[]shop.Edit{{Set: "site/altitude", To: shop.Text("100 ft")}},
		},
		{
			"a block becomes a word", "machines:\n  planer:\n    port:   # where the air goes in\n      size: 4 in\n      # c\n      height: 3 ft   # d\n    wheels: true\n", "machines:\n  planer:\n    port: none   # where the air goes in\n    wheels: true\n",
			[]shop.Edit{{Set: "machines/planer/port", To: shop.Text("none")}},
		},
		{
			"a word becomes a wide block", "machines:\n  planer:\n    note: x   # c\n    port: none   # d\n    wheels: true\n",
			"machines:\n  planer:\n    note: x   # c\n    port:   # d\n      size: 4 in\n      needs: {chips: 350 cfm, fine: 500 cfm}\n      note: a very long note that makes the whole of it too wide to stand on one line beside its key\n    wheels: true\n",
			[]shop.Edit{{Set: "machines/planer/port", To: value(t, "{size: 4 in, needs: {chips: 350 cfm, fine: 500 cfm}, note: a very long note that makes the whole of it too wide to stand on one line beside its key}")}},
		},
		{
			"remove with its own comment", "machines:\n  # the first\n\n  # the planer\n  # is old\n  planer: {}   # c\n  # the jointer\n  jointer: {}\n", "machines:\n  # the first\n\n  # the jointer\n  jointer: {}\n",
			[]shop.Edit{{Remove: "machines/planer"}},
		},
		{
			"remove the last of the file", "machines:\n  jointer: {}\n  planer: {}", "machines:\n  jointer: {}",
			[]shop.Edit{{Remove: "machines/planer"}},
		},
		{
			"remove the only one", "machines:   # c\n  planer: {}\nname: x\n", "machines: {}   # c\nname: x\n",
			[]shop.Edit{{Remove: "machines/planer"}},
		},
		{
			"remove from braces: first, middle, last, only", "machines: {a: {}, b: {}, c: {}, d: {kind: x}}\n", "machines: {c: {}}\n",
			[]shop.Edit{{Remove: "machines/a"}, {Remove: "machines/b"}, {Remove: "machines/d"}},
		},
		{
			"remove from braces over lines", "machines: {\n  a: {},   # the a\n  b: {},\n  c: {}   # the c\n}\n", "machines: {\n  b: {},\n}\n",
			[]shop.Edit{{Remove: "machines/a"}, {Remove: "machines/c"}},
		},
		{
			"the first key after a dash", "readings:\n  - date: 2026-10-03\n    # c\n    suction: 2 inH2O\n    where: room\n  - {date: 2026-10-03, flow: 1 cfm, where: room}\n", "readings:\n  -\n    # c\n    suction: 2 inH2O\n    where: room\n",
			[]shop.Edit{{Remove: "readings/1/date"}, {Remove: "readings/2"}},
		},
		{
			"items with nothing in them", "site:\n  limits:\n  - us osha\n  -   # nothing yet\n  - us acgih\n  -\n", "site:\n  limits:\n  - us osha\n  - us acgih\n  - us niosh\n",
			[]shop.Edit{{Remove: "site/limits/2"}, {Set: "site/limits/3", To: shop.Text("us niosh")}},
		},
		{
			"own comments below, set in deeper, go along", "machines:\n  a:\n    kind: x\n    # the end of a\n  # b's own\n  b: {}\n", "machines:\n  # b's own\n  b: {}\n",
			[]shop.Edit{{Remove: "machines/a"}},
		},
		{
			"among names", "machines:\n  a: {}\n  # own\n  c: {}\n", "machines:\n  a: {}\n  b: {kind: x}\n  # own\n  c: {}\n  d: {}\n",
			[]shop.Edit{{Insert: value(t, "{b: {kind: x}}"), Before: "machines/c"}, {Insert: value(t, "{d: {}}"), After: "machines/c"}},
		},
		{
			"into lists", "site: {limits: [us osha]}\nroutine:\n  together:\n  - [a, b]   # c\nmachines: {a: {}, b: {}, c: {}}\n", "site: {limits: [us niosh, us osha, us acgih]}\nroutine:\n  together:\n  - [a, b]   # c\n  - [b, c]\nmachines: {a: {}, b: {}, c: {}}\n",
			[]shop.Edit{{Insert: shop.Text("us acgih"), After: "site/limits/1"}, {Insert: shop.Text("us niosh"), Before: "site/limits/1"}, {Insert: value(t, "[b, c]"), After: "routine/together/1"}},
		},
	}
	for _, test := range tests {
		for _, crlf := range []bool{false, true} {
			before, after := head+test.before, head+test.after
			if crlf {
				before, after = strings.ReplaceAll(before, "\n", "\r\n"), strings.ReplaceAll(after, "\n", "\r\n")
			}
			t.Run(fmt.Sprintf("%s, crlf %v", test.name, crlf), func(t *testing.T) {
				d := good(t, []byte(before))
				if got := apply(t, d, test.edits...).src; got != after {
					t.Errorf("got:\n%q\nwant:\n%q", got, after)
				}
			})
		}
	}
}

// A rename mends every place that speaks of the name: afterwards the old name stands nowhere but in comments and notes.
func TestRenameMendsEveryReference(t *testing.T) {
	d := good(t, whole(t))
	for _, r := range []struct {
		path     shop.Path
		to       string
		mentions int // lines that change, counted in the example by hand
	}{
		{"machines/planer", "thicknesser", 6},
		{"machines/table saw", "saw bench", 6},
		{"machines/table saw/ports/guard", "hood", 3},
		{"machines/jointer/places/short boards", "short", 2},
		{"systems/collector", "big blower", 13},
		{"systems/collector/runs/long hose", "carried", 4},
		{"systems/collector/runs/band saw drop", "drop one", 2},
		{"systems/collector/runs/ceiling/pieces/gate saw gate", "blast", 1},
		{"systems/collector/runs/band saw drop/pieces/gate band saw gate", "bleeder", 2},
		{"systems/collector/runs/ceiling/pieces/tap A", "B", 3},
		{"systems/collector/runs/main/pieces/separator drum", "barrel", 2},
		{"circuits/B", "D", 2},
		{"circuits/A/outlets/bench wall", "north wall", 6},
		{"options/lathe hood", "hood for the lathe", 1},
		{"room/doors/slip door", "water door", 1},
		{"arrangements/boat in", "boat inside", 1},
		{"sensors/saw clamp", "clamp", 1},
	} {
		t.Run(string(r.path), func(t *testing.T) {
			next := apply(t, d, shop.Edit{Rename: r.path, To: shop.Text(r.to)})
			a, b := strings.Split(d.src, "\n"), strings.Split(next.src, "\n")
			if len(a) != len(b) {
				t.Fatalf("%d lines became %d", len(a), len(b))
			}
			changed := 0
			for i := range a {
				if a[i] != b[i] {
					changed++
					t.Logf("%d %s", i+1, b[i])
				}
			}
			if changed != r.mentions {
				t.Errorf("%d lines changed, want %d", changed, r.mentions)
			}
			back := apply(t, next, shop.Edit{Rename: renamed(r.path, r.to), To: shop.Text(oldName(r.path))})
			if back.src != d.src {
				t.Errorf("there and back is not the same file:\n%s", strings.Join(diff(d.src, back.src), "\n"))
			}
		})
	}
}

func oldName(p shop.Path) string {
	last := p.Last()
	for _, k := range pieceKinds() {
		if name, is := strings.CutPrefix(last, k+" "); is {
			return name
		}
	}
	return last
}

func renamed(p shop.Path, to string) shop.Path {
	last := p.Last()
	if name := oldName(p); name != last {
		to = strings.TrimSuffix(last, name) + to
	}
	return p.Parent().Join(to)
}

func TestRefusedEdits(t *testing.T) {
	d := good(t, whole(t))
	for _, test := range []struct {
		edit shop.Edit
		code *Code
		says string
	}{
		{shop.Edit{}, BadEdit, "exactly one"},
		{shop.Edit{Set: "name"}, BadEdit, "nothing says"},
		{shop.Edit{Set: "name", Remove: "name", To: shop.Text("x")}, BadEdit, "exactly one"},
		{shop.Edit{Insert: shop.Text("x")}, BadEdit, "before or after"},
		{shop.Edit{Set: "name", To: shop.Text("caf\xe9")}, BadEdit, "no UTF-8"},
		{shop.Edit{Remove: "machines/planner"}, NoSuchPath, "Did you mean `planer`?"},
		{shop.Edit{Set: "machines/planer/prot/size", To: shop.Text("4 in")}, CannotBe, "Did you mean `port`?"},
		{shop.Edit{Set: "machines/planer/port/size", To: shop.Text("4")}, MakesFault, "4 has no unit"},
		{shop.Edit{Set: "machines/planer/port/size", To: shop.Text("5 in"), Was: shop.Text("6 in")}, WasDiffers, "`6 in`, and now it is `4 in`"},
		{shop.Edit{Set: "machines/lathe/infeed", To: shop.Text("5 in"), Was: shop.Text("6 in")}, WasDiffers, "nothing is written"},
		{shop.Edit{Remove: "systems/collector/runs/long hose"}, MakesFault, "there is no run called `long hose`"},
		{shop.Edit{Remove: "winnow"}, MakesFault, "`winnow: 1` is missing"},
		{shop.Edit{Rename: "systems/collector/runs/main", To: shop.Text("trunk")}, CannotRename, "keeps its name"},
		{shop.Edit{Rename: "machines/planer", To: shop.Text("planer/2")}, CannotRename, "has the sign /"},
		{shop.Edit{Rename: "machines/planer", To: shop.Text("jointer")}, MakesFault, "`jointer` is already"},
		{shop.Edit{Rename: "machines/planer/kind", To: shop.Text("sort")}, CannotRename, "not a name you gave"},
		{shop.Edit{Insert: shop.Text("x"), After: "machines/planer/kind"}, BadEdit, "nothing can stand"},
		{shop.Edit{Insert: shop.Text("x"), After: "machines/planer"}, BadEdit, "has a name itself"},
		{shop.Edit{Set: "readings/9", To: value(t, "{flow: 1 cfm}")}, NoSuchPath, "no `9`"},
		{shop.Edit{Set: "machines/lathe/port/size", To: shop.Text("4 in")}, NoSuchPath, "`none` is written"},
	} {
		for _, f := range []func(...shop.Edit) error{
			func(e ...shop.Edit) error { _, err := d.Try(e...); return err },
			func(e ...shop.Edit) error { _, err := d.Apply(e...); return err },
		} {
			err := f(test.edit)
			var e *EditError
			if !errors.As(err, &e) {
				t.Errorf("%+v: got %v, want a refusal", test.edit, err)
				continue
			}
			if e.Code != test.code || !strings.Contains(e.Error(), test.says) {
				t.Errorf("%+v: got [%s] %v, want [%s] ...%s...", test.edit, e.Code.Name, e, test.code.Name, test.says)
			}
		}
	}
}

// The guard knows a length in other words.
func TestWasComparesMeaning(t *testing.T) {
	d := good(t, whole(t))
	for _, e := range []shop.Edit{
		{Set: "systems/collector/runs/long hose/pieces/hose 1/hose", Was: shop.Text("20'"), To: shop.Text("12 ft")},
		{Set: "machines/lathe/port", Was: shop.Text("none"), To: value(t, "{size: 4 in}")},
		{Set: "machines/lathe/infeed", Was: shop.Text("unknown"), To: shop.Text("4 ft")},
		{Remove: "machines/lathe/motor", Was: value(t, "{voltage: 120 V, power: 3/4 hp}")},
	} {
		apply(t, d, e)
	}
}

// The options of the example are tried as they stand.
func TestOptionsOfTheExampleFit(t *testing.T) {
	d := good(t, whole(t))
	for _, o := range d.Shop().Options {
		next := apply(t, d, o.Change...)
		t.Logf("%s:\n%s", o.Name, strings.Join(diff(d.src, next.src), "\n"))
	}
}

// dragged is what the page sends while an elbow is dragged.
func dragged(t testing.TB) []shop.Edit {
	return []shop.Edit{{Set: "systems/collector/runs/ceiling/pieces/elbow 2/at", To: value(t, "[18 ft 3 in, 6 ft, 8 ft]")}}
}

// Names spoken of inside an option, in its paths and in what it would write, are mended too.
func TestRenameInsideOptions(t *testing.T) {
	const src = `winnow: 1
machines:
  lathe: {places: {by the door: {at: [1 ft, 1 ft]}}, ports: {hood: {size: 4 in}}}
circuits: {A: {outlets: {north: {at: [0 ft, 0 ft]}}}}
systems:
  s:
    runs:
      main: {from: cap, pieces: [{gate: blast}, {tap: T}, {wye: side}]}
      side: {from: lathe/hood}
  lathe two: {}
arrangements: {a: {lathe: away}}
options:
  o:
    change:
      - {insert: {drop: {from: [lathe/hood, lathe], pieces: [{wye: side}]}}, after: systems/s/runs/side}
      - {insert: {wye: side}, before: systems/s/runs/main/pieces/wye side}
      - {set: routine/hours per week/lathe, to: 2 h}
      - {set: arrangements/a/lathe, to: by the door}
      - {rename: machines/lathe, to: lathe two}
      - {set: sensors/c, to: {reads: current, machine: lathe, outlet: unknown, tap: T}}
      - {set: machines/lathe/plug, to: {outlet: north}}
      - {set: machines/lathe/also opens, was: [blast], to: [blast, lathe gate]}
      - {remove: systems/s/runs/main/pieces/gate blast}
      - {set: readings, to: [{where: lathe/hood, running: [lathe], flow: 1 cfm}, {where: tap T, flow: 1 cfm}]}
      - {set: machines/lathe/setups, to: {open: {without: [hood]}}}
      - {set: machines/lathe/places/by the door/at, to: [2 ft, 2 ft]}
      - {set: machines/lathe/note, to: lathe}
  second: {only with: [o], change: []}
`
	d := good(t, []byte(src))
	for _, r := range []struct {
		path shop.Path
		to   string
		swap []string // old, new: in the whole text
	}{
		{"machines/lathe", "spindle", []string{
			"  lathe: {places", "  spindle: {places", "from: lathe/hood}", "from: spindle/hood}", "{a: {lathe: away}}", "{a: {spindle: away}}", "[lathe/hood, lathe]", "[spindle/hood, spindle]",
			"week/lathe", "week/spindle", "a/lathe", "a/spindle", "machines/lathe", "machines/spindle", "machine: lathe,", "machine: spindle,", "where: lathe/hood, running: [lathe]", "where: spindle/hood, running: [spindle]",
		}},
		{"machines/lathe/ports/hood", "scoop", []string{"{hood: {", "{scoop: {", "lathe/hood", "lathe/scoop", "[hood]", "[scoop]"}},
		{"machines/lathe/places/by the door", "aside", []string{"{by the door: ", "{aside: ", "to: by the door", "to: aside", "places/by the door", "places/aside"}},
		{"systems/s/runs/side", "branch", []string{"      side:", "      branch:", "wye: side}", "wye: branch}", "runs/side", "runs/branch", "pieces/wye side", "pieces/wye branch"}},
		{"systems/s/runs/main/pieces/gate blast", "iris", []string{"gate: blast}", "gate: iris}", "was: [blast], to: [blast,", "was: [iris], to: [iris,", "pieces/gate blast", "pieces/gate iris"}},
		{"systems/s/runs/main/pieces/tap T", "U", []string{"{tap: T}", "{tap: U}", "tap: T}", "tap: U}", "where: tap T", "where: tap U"}},
		{"circuits/A/outlets/north", "south", []string{"{north: {", "{south: {", "outlet: north", "outlet: south"}},
		{"options/o", "first", []string{"  o:\n", "  first:\n", "[o]", "[first]"}},
	} {
		want := strings.NewReplacer(r.swap...).Replace(src)
		if got := apply(t, d, shop.Edit{Rename: r.path, To: shop.Text(r.to)}).src; got != want {
			t.Errorf("%s to %s:\n%s", r.path, r.to, strings.Join(diff(want, got), "\n"))
		}
	}
}
