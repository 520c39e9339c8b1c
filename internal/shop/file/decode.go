package file

import (
	"fmt"
	"reflect"
	"strings"
	"unicode/utf8"

	"winnow/internal/shop"
	"winnow/internal/unit"
)

// decoder walks the tree and the grammar side by side. It never stops at a fault.
type decoder struct {
	shop   shop.Shop
	faults []Fault

	system, machine string // whose runs, whose ports and places are being read
	names           []name
	uses            []use
	runs            []runAt
	sensors         []sensorAt
	machines        map[string]*shop.Machine
	systems         map[string]*shop.System
	home            map[[2]string]string // the system a tap or separator is in
	splits          map[string]bool      // whether the place of a split is known
	edits           []editAt
	exhausts        []exhaustAt
}

// name is a name given; use is one spoken of.
type name struct {
	kind, text, scope string
	node              *node
}

type use struct {
	kind, text      string
	system, machine string
	node            *node
}

type runAt struct {
	system string
	run    *shop.Run
	key    *node
	from   *node // what is written there, if anything is
	pieces []*node
}

type sensorAt struct {
	sensor *shop.Sensor
	node   *node
}

type exhaustAt struct {
	system *shop.System
	pieces []*node
}

type editAt struct {
	edit *shop.Edit
	node *node
}

// decode reads a tree as a shop, with everything that is wrong with it.
func decode(root *node, kinds *Vocabulary) (*shop.Shop, []Fault) {
	d := &decoder{}
	d.value(root, shopGrammar(), nil, reflect.ValueOf(&d.shop).Elem())
	d.check(kinds)
	return &d.shop, d.faults
}

// decodeLoosely reads what is left of a file: names are not checked against each other, nor is anything missed.
func decodeLoosely(root *node) (shop.Shop, []Fault) {
	d := &decoder{}
	d.value(root, shopGrammar(), nil, reflect.ValueOf(&d.shop).Elem())
	kept := d.faults[:0]
	for _, f := range d.faults {
		if f.Code != NoVersion {
			kept = append(kept, f)
		}
	}
	return d.shop, kept
}

func (d *decoder) fault(n *node, c *Code, what, cure string) *Fault {
	d.faults = append(d.faults, Fault{Code: c, Pos: n.pos, What: what, Cure: cure, node: n, span: n.width()})
	return &d.faults[len(d.faults)-1]
}

// width is how many characters of its first line a value covers, for the mark under it.
func (n *node) width() int {
	if n.form == scalar {
		w := utf8.RuneCountInString(n.text)
		if !n.plain {
			w += 2
		}
		return max(1, w)
	}
	return 1
}

// onLine says where something is; what an edit has only just written is on no line yet.
func (n *node) onLine() string {
	if n.pos.Line == 0 {
		return "there"
	}
	return fmt.Sprintf("on line %d", n.pos.Line)
}

// value reads one node. f is the key it stands under, nil for what has none of its own.
func (d *decoder) value(n *node, g *grammar, f *field, dst reflect.Value) {
	switch g.shape {
	case asLeaf:
		d.leaf(n, g, f, dst)
	case asMaybe:
		switch {
		case n.unsaid():
		case n.word("none"):
			dst.Field(1).Set(reflect.ValueOf(unit.Absent))
		default:
			dst.Field(1).Set(reflect.ValueOf(unit.Given))
			d.value(n, g.elem, f, dst.Field(0))
		}
	case asStruct:
		d.structure(n, g, dst)
	case asNamed:
		d.named(n, g, dst)
	case asList:
		d.list(n, g, f, dst)
	}
}

func (d *decoder) leaf(n *node, g *grammar, f *field, dst reflect.Value) {
	if n.memo != nil {
		if v, ok := n.memo.(reflect.Value); ok && v.Type() == g.typ {
			dst.Set(v)
			return
		}
	}
	before := len(d.faults)
	g.leaf.read(d, n, f, dst)
	if before == len(d.faults) && g.leaf.keep && n.memo == nil {
		n.memo = reflect.ValueOf(dst.Interface())
	}
}

func (d *decoder) structure(n *node, g *grammar, dst reflect.Value) {
	if n.unsaid() {
		return
	}
	if n.form != dict {
		if n.form == list || !d.trap(n) {
			d.wrongShape(n, g)
		}
		return
	}
	if n.bare {
		d.fault(n, BarePair, "without braces of its own YAML takes each pair in a list for one item", "Write {"+pairText(n)+"}, with all that belongs together inside one pair of braces.")
	}
	var seen uint64
	strange := false
	var rest []int
	for i, k := range n.keys {
		f := g.keys[k.text]
		switch {
		case k.odd:
			strange = true
		case f != nil:
			d.keyed(n, i, f, &seen, dst)
		case g.rest != nil:
			rest = append(rest, i)
		default:
			strange = true
			d.unknownKey(n, k, g)
		}
	}
	if rest != nil {
		d.namedPairs(n, rest, g.rest.grammar, dst.Field(g.rest.index))
	}
	d.together(n, g, seen)
	if g.whats != nil && !n.bare {
		d.exactlyOne(n, g, seen, strange)
	}
	d.after(n, g, seen, dst)
}

// keyed reads one key of a struct.
func (d *decoder) keyed(n *node, i int, f *field, seen *uint64, dst reflect.Value) {
	k, v := n.keys[i], n.items[i]
	if *seen&(1<<f.number) != 0 {
		first := n.earlier(i, f)
		if first.text == k.text {
			d.fault(k, DuplicateKey, fmt.Sprintf("`%s` is already %s", k.text, first.onLine()), "Keep one of the two.").also = first
		} else {
			d.fault(k, BothForms, fmt.Sprintf("`%s` and `%s` (%s) say the same thing", k.text, first.text, first.onLine()), "One alone is `"+f.one+"`; several are a map of names under `"+f.key+"`. Keep one of the two keys.").also = first
		}
		return
	}
	*seen |= 1 << f.number
	if k.text == f.one {
		d.one(v, f, dst.Field(f.index))
		return
	}
	d.value(v, f.grammar, f, dst.Field(f.index))
}

// earlier is the key before i that said the same.
func (n *node) earlier(i int, f *field) *node {
	for _, k := range n.keys[:i] {
		if k.text == f.key || k.text == f.one {
			return k
		}
	}
	return n.keys[i]
}

// one reads the singular: a single item without a name, or a bare point for `at`.
func (d *decoder) one(n *node, f *field, dst reflect.Value) {
	g := f.grammar
	if g.shape == asMaybe {
		if n.unsaid() {
			return
		}
		if n.word("none") {
			dst.Field(1).Set(reflect.ValueOf(unit.Absent))
			return
		}
		dst.Field(1).Set(reflect.ValueOf(unit.Given))
		g, dst = g.elem, dst.Field(0)
	}
	if n.unsaid() {
		return
	}
	item := reflect.MakeSlice(g.typ, 1, 1)
	if inner := g.elem.keys[f.one]; inner != nil {
		d.value(n, inner.grammar, inner, item.Index(0).Field(inner.index))
	} else {
		d.value(n, g.elem, nil, item.Index(0))
	}
	dst.Set(item)
}

func (d *decoder) unknownKey(n, k *node, g *grammar) {
	if k.null {
		d.fault(k, UnknownKey, "a key is missing before the colon", "Write the key, or remove the line.")
		return
	}
	what := "`" + k.text + "` is not a key here"
	words := g.words()
	cure := "Here may stand: " + orList(words) + "."
	first, rest, two := strings.Cut(k.text, " ")
	if two && g.keys[first] != nil {
		cure = "Did you mean `" + first + ": " + rest + "`?"
	} else if near := nearest(k.text, words); near != "" {
		cure = "Did you mean `" + near + "`?"
	} else if under := g.holder(k.text); under != "" {
		cure = "It belongs under `" + under + "`."
	}
	d.fault(k, UnknownKey, what, cure)
}

// holder is the key under which a stray key belongs.
func (g *grammar) holder(key string) string {
	for _, f := range g.fields {
		inner := f.grammar
		for inner.elem != nil {
			inner = inner.elem
		}
		if inner.shape == asStruct && inner.keys[key] != nil {
			if f.one != "" {
				return f.one
			}
			return f.key
		}
	}
	return ""
}

// together refuses keys that exclude each other.
func (d *decoder) together(n *node, g *grammar, seen uint64) {
	for _, f := range g.fields {
		if f.not == nil || seen&(1<<f.number) == 0 {
			continue
		}
		for _, other := range f.not {
			o := g.keys[other]
			if seen&(1<<o.number) == 0 {
				continue
			}
			a, b := n.keys[n.find(f.key)], n.keys[n.find(other)]
			if b.pos.before(a.pos) {
				a, b = b, a
			}
			d.fault(b, BothForms, fmt.Sprintf("`%s` and `%s` (%s) exclude each other", b.text, a.text, a.onLine()), "Keep one of the two.").also = a
		}
	}
}

// exactlyOne checks the telling key of a piece, a reading or an edit.
func (d *decoder) exactlyOne(n *node, g *grammar, seen uint64, strange bool) {
	var found []*node
	for _, k := range n.keys {
		if f := g.keys[k.text]; f != nil && f.what && (len(found) == 0 || found[0].text != k.text) {
			found = append(found, k)
		}
	}
	switch {
	case len(found) > 1:
		d.fault(found[1], SaysTwo, fmt.Sprintf("`%s` and `%s` stand in one %s, and it is told by exactly one", found[0].text, found[1].text, g.calls()), "Make two of it, or remove one of the keys.").also = found[0]
	case len(found) == 0 && !strange:
		var words []string
		for _, f := range g.whats {
			words = append(words, f.key)
		}
		d.fault(n, SaysNothing, "nothing says what this "+g.calls()+" is", "Exactly one of these belongs in it: "+orList(words)+".")
	}
}

// calls is what the owner calls such a block.
func (g *grammar) calls() string {
	switch g.typ {
	case reflect.TypeFor[shop.Piece]():
		return "piece"
	case reflect.TypeFor[shop.Reading]():
		return "reading"
	case reflect.TypeFor[shop.Edit]():
		return "edit"
	}
	return "block"
}

func (d *decoder) named(n *node, g *grammar, dst reflect.Value) {
	if n.unsaid() || n.word("none") {
		return
	}
	if n.form != dict {
		if n.form == list || !d.trap(n) {
			d.wrongShape(n, g)
		}
		return
	}
	all := make([]int, len(n.keys))
	for i := range all {
		all[i] = i
	}
	d.namedPairs(n, all, g, dst)
}

// namedPairs reads a map of names; pairs are the keys to take.
func (d *decoder) namedPairs(n *node, pairs []int, g *grammar, dst reflect.Value) {
	item := g.elem
	items := reflect.MakeSlice(g.typ, len(pairs), len(pairs))
	dst.Set(items) // at once: what is noted about an item keeps a pointer to it
	first := map[string]*node{}
	for j, i := range pairs {
		k, v := n.keys[i], n.items[i]
		to := items.Index(j)
		if k.odd {
			continue
		}
		if p := first[k.text]; p != nil {
			d.fault(k, DuplicateKey, fmt.Sprintf("`%s` is already %s", k.text, p.onLine()), "Give one of the two another name, or remove it.").also = p
			continue
		}
		first[k.text] = k
		to.Field(item.name.index).SetString(k.text)
		leave := d.enter(k, item)
		d.nameOf(k, item.name)
		if item.whole != nil {
			d.value(v, item.whole.grammar, item.whole, to.Field(item.whole.index))
		} else {
			d.value(v, item, nil, to)
		}
		if r, ok := to.Addr().Interface().(*shop.Run); ok {
			d.noteRun(k, v, r)
		}
		leave()
	}
}

// enter remembers whose things are being read.
func (d *decoder) enter(k *node, item *grammar) func() {
	switch item.typ {
	case reflect.TypeFor[shop.System]():
		d.system = k.text
		return func() { d.system = "" }
	case reflect.TypeFor[shop.Machine](), reflect.TypeFor[shop.Standing]():
		d.machine = k.text
		return func() { d.machine = "" }
	}
	return func() {}
}

func (d *decoder) noteRun(k, v *node, r *shop.Run) {
	at := runAt{system: d.system, run: r, key: k, from: v.get("from")}
	if p := v.get("pieces"); p != nil && p.form == list {
		at.pieces = p.items
	}
	d.runs = append(d.runs, at)
}

func (d *decoder) list(n *node, g *grammar, f *field, dst reflect.Value) {
	if n.unsaid() || n.word("none") {
		return
	}
	if n.form != list {
		if f == nil || !f.single || n.form != scalar {
			d.wrongShape(n, g)
			return
		}
		n = &node{form: list, items: []*node{n}}
	}
	items := reflect.MakeSlice(g.typ, len(n.items), len(n.items))
	dst.Set(items)
	before := len(d.faults)
	for i, c := range n.items {
		d.value(c, g.elem, f, items.Index(i))
	}
	switch g.typ {
	case reflect.TypeFor[[]shop.Point]():
		if len(n.items) < 3 {
			d.fault(n, BadCorners, fmt.Sprintf("%s here, and an outline has three or more", count(len(n.items), "corner stands", "corners stand")), "Write [[0 ft, 0 ft], [30 ft, 0 ft], [30 ft, 20 ft], [0 ft, 20 ft]]; a rectangle can be `footprint: 30 ft x 20 ft`.")
		}
	case reflect.TypeFor[[]shop.FanPoint]():
		if len(d.faults) == before {
			d.curve(n, dst.Interface().([]shop.FanPoint))
		}
	}
}

func (d *decoder) curve(n *node, points []shop.FanPoint) {
	if len(points) < 2 {
		d.fault(n, BadCurve, count(len(points), "point stands", "points stand")+" here, and a curve needs two or more", "Write [[0 cfm, 9.5 inH2O], [400 cfm, 8.9 inH2O], ...]; two ends alone can be `rating: {free air: ..., shut-off: ...}`.")
		return
	}
	for i := 1; i < len(points); i++ {
		if points[i].Flow <= points[i-1].Flow {
			d.fault(n.items[i], BadCurve, "the airflow of this point is not above that of the point before it", "Put the points in order, from shut (0 cfm) to free air.")
			return
		}
	}
}

func count(n int, one, many string) string {
	switch n {
	case 0:
		return "no " + one
	case 1:
		return "1 " + one
	}
	return fmt.Sprint(n, " ", many)
}

// after does what no tag can say, once a struct is read.
func (d *decoder) after(n *node, g *grammar, seen uint64, dst reflect.Value) {
	switch v := dst.Addr().Interface().(type) {
	case *shop.Shop:
		d.version(n, v)
	case *shop.Piece:
		d.pieceDone(n, g, v)
	case *shop.Sensor:
		d.sensors = append(d.sensors, sensorAt{v, n})
	case *shop.Edit:
		d.editDone(n, v)
	case *shop.System:
		if e := n.get("exhaust"); e != nil && e.form == list {
			d.exhausts = append(d.exhausts, exhaustAt{v, e.items})
		}
	}
}

func (d *decoder) version(n *node, s *shop.Shop) {
	i := n.find("winnow")
	switch {
	case i < 0 || n.items[i].unsaid():
		d.fault(n, NoVersion, "`winnow: 1` is missing", "Put the line `winnow: 1` at the top: it says which grammar the file is written in.").Pos = Pos{1, 1}
	case s.Version != 1 && n.items[i].memo != nil:
		d.fault(n.items[i], WrongVersion, fmt.Sprintf("the file is written for version %d of the grammar, and this program reads version 1", s.Version), "Get a newer Winnow; the file is left as it is.")
	}
}

func (d *decoder) pieceDone(n *node, g *grammar, p *shop.Piece) {
	for _, k := range n.keys {
		if f := g.keys[k.text]; f != nil && f.what {
			p.What = shop.What(f.key)
			break
		}
	}
	if p.What == "" {
		return
	}
	if v := n.get("wye"); p.What == shop.Wye && len(p.Wye) == 0 && v != nil && (v.unsaid() || v.form == list) {
		d.fault(n, SaysNothing, "this wye takes in no run", "Write the run that comes in at its side, {wye: NAME}, or remove the piece.")
	}
	for _, k := range n.keys {
		if f := g.keys[k.text]; f != nil && f.only != nil && !contains(f.only, string(p.What)) {
			d.fault(k, NotForThis, fmt.Sprintf("`%s` says nothing about a %s", k.text, p.What), "It belongs to a "+orList(f.only)+".")
		}
	}
}

func (d *decoder) editDone(n *node, e *shop.Edit) {
	d.edits = append(d.edits, editAt{e, n})
	shape := func(what, cure string) { d.fault(n, EditShape, what, cure) }
	placed := e.Before != "" || e.After != ""
	switch {
	case e.Insert != nil && !placed:
		shape("nothing says where to insert it", "Add before: PATH or after: PATH.")
	case e.Insert == nil && placed:
		shape("`before` and `after` belong to an insert", "Remove the key, or write {insert: ITEM, after: PATH}.")
	case (e.Set != "" || e.Rename != "") && e.To == nil:
		shape("nothing says what to change it to", "Add to: VALUE.")
	case e.To != nil && (e.Remove != "" || e.Insert != nil):
		shape("`to` belongs to a set or a rename", "Remove it.")
	case e.Was != nil && (e.Rename != "" || e.Insert != nil):
		shape("`was` guards a set or a remove", "Remove it.")
	case e.Rename != "" && (e.To.Kind != shop.Scalar || e.To.Text == ""):
		shape("the new name is not a name", "Write to: NAME.")
	}
}

// wrongShape: a list where a map belongs, and so on.
func (d *decoder) wrongShape(n *node, g *grammar) {
	if n.word("none") {
		d.fault(n, NoneNotHere, "`none` says there is none, and here something always is", "Write `unknown`, or leave the key out.")
		return
	}
	d.fault(n, WrongShape, n.shown()+", where "+g.belongs()+" belongs", n.reshaped(g))
}

// reshaped is what was probably meant by a value of another shape.
func (n *node) reshaped(g *grammar) string {
	for g.shape == asMaybe {
		g = g.elem
	}
	words := n.form == scalar && n.plain && !n.null
	switch {
	case g.shape == asStruct && words:
		if key := g.takes(n.text); key != "" {
			return "Did you mean {" + key + ": " + n.text + "}?"
		}
	case g.shape == asNamed && words:
		return "Did you mean {" + n.text + ": {}}?"
	case g.shape == asNamed && n.form == list && !n.flow:
		return "Remove the dashes: each name is a key, and what belongs to it follows its colon."
	case g.shape == asNamed && n.form == list:
		return "Write {NAME: {...}, NAME: {...}}: each name is a key."
	case g.shape == asList && words && g.elem.shape == asLeaf:
		return "Did you mean [" + n.text + "]?"
	case g.shape == asList && n.form == dict:
		return "Put it in brackets, or behind a dash: it is one item of a list."
	}
	return "Write " + g.example() + "."
}

func (n *node) shown() string {
	switch {
	case n.form == list:
		return "a list stands here"
	case n.form == dict:
		return "a map stands here"
	case n.null:
		return "nothing stands here"
	}
	return "`" + short(n.text) + "` stands here"
}

// belongs completes "where ... belongs".
func (g *grammar) belongs() string {
	switch g.shape {
	case asStruct:
		return "a block of keys"
	case asNamed:
		return "a map of names"
	case asList:
		return "a list"
	case asMaybe:
		return g.elem.belongs()
	}
	return g.leaf.what
}

func (g *grammar) example() string {
	switch g.shape {
	case asStruct:
		w := g.words()
		if len(w) > 0 {
			return "the keys one a line, or {" + w[0] + ": ...}"
		}
	case asNamed:
		return "NAME: {...}, one a line"
	case asList:
		return "[" + strings.TrimPrefix(g.elem.example(), "the ") + ", ...]"
	case asMaybe:
		return g.elem.example()
	case asLeaf:
		return g.leaf.example
	}
	return "{...}"
}

// takes is the key of a struct that could have been meant by a bare value: 4 in for {size: 4 in}, a name for {outlet: NAME}.
func (g *grammar) takes(text string) string {
	for _, f := range g.fields {
		if f.shape == asLeaf && f.leaf.quantity != nil {
			if _, err := f.leaf.quantity(text); err == nil {
				return f.key
			}
		}
	}
	for _, f := range g.fields {
		if f.shape == asLeaf && (f.ref != "" || f.kinds != "") && f.key != "*" && badName(text, "") == "" {
			return f.key
		}
	}
	return ""
}

func pairText(n *node) string {
	if len(n.items) > 0 && n.items[0].form == scalar {
		return n.keys[0].text + ": " + n.items[0].text
	}
	return "..."
}

func short(s string) string {
	if utf8.RuneCountInString(s) <= 40 {
		return s
	}
	return string([]rune(s)[:39]) + "…"
}

func contains(words []string, w string) bool {
	for _, x := range words {
		if x == w {
			return true
		}
	}
	return false
}

func orList(words []string) string {
	switch len(words) {
	case 0:
		return "nothing"
	case 1:
		return words[0]
	}
	return strings.Join(words[:len(words)-1], ", ") + " or " + words[len(words)-1]
}
