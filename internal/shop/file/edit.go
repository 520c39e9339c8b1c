package file

import (
	"fmt"
	"reflect"
	"slices"
	"strings"
	"unicode/utf8"

	"winnow/internal/shop"
)

// What can be wrong with an edit. The file is left as it is.
var (
	BadEdit      = &Code{Name: "bad-edit", Help: "An edit is exactly one of set, remove, insert and rename, with what belongs to it."}
	NoSuchPath   = &Code{Name: "no-such-path", Help: "What the edit would change is not in the file."}
	CannotBe     = &Code{Name: "cannot-be", Help: "The grammar has no such thing at this path."}
	WasDiffers   = &Code{Name: "was-differs", Help: "The file has changed since the edit was made, so it no longer fits."}
	MakesFault   = &Code{Name: "makes-fault", Help: "With the edit the file would have a fault."}
	FileFaulty   = &Code{Name: "file-faulty", Help: "The file has faults, and only a file without is edited."}
	NotAsMeant   = &Code{Name: "not-as-meant", Help: "The changed text would not say what the edit means; it is not written."}
	CannotRename = &Code{Name: "cannot-rename", Help: "Only names the owner gave can be renamed."}
)

// EditCodes lists what can be wrong with an edit.
var EditCodes = []*Code{BadEdit, NoSuchPath, CannotBe, WasDiffers, MakesFault, FileFaulty, NotAsMeant, CannotRename}

// EditError says why edits were refused, in the owner's words.
type EditError struct {
	Code   *Code
	Number int       // which of the edits, from 1
	Path   shop.Path // what it is about
	What   string    // one sentence without a full stop
	Cure   string
	Faults []Fault // for MakesFault: the faults there would be
}

func (e *EditError) Error() string {
	s := e.What
	if e.Path != "" {
		s = string(e.Path) + ": " + s
	}
	if e.Cure != "" {
		s += ". " + e.Cure
	}
	return s
}

func refuse(c *Code, p shop.Path, what, cure string) *EditError {
	return &EditError{Code: c, Path: p, What: what, Cure: cure}
}

// Try applies edits to the tree and returns the shop there would be. No text is made and nothing is changed.
func (d *Doc) Try(edits ...shop.Edit) (*shop.Shop, error) {
	_, s, err := d.try(edits)
	if err != nil {
		return nil, err
	}
	return s, nil
}

func (d *Doc) try(edits []shop.Edit) (*node, *shop.Shop, error) {
	if len(d.faults) > 0 {
		return nil, nil, &EditError{Code: FileFaulty, Path: d.faults[0].Path, What: fmt.Sprintf("the file has %s, the first on line %d", count(len(d.faults), "fault", "faults"), d.faults[0].Pos.Line), Cure: "Mend the text first.", Faults: d.faults}
	}
	root := d.root
	for i, e := range edits {
		next, err := editTree(root, e)
		if err != nil {
			err.Number = i + 1
			return nil, nil, err
		}
		root = next
	}
	s, faults := decode(root, d.kinds)
	if len(faults) > 0 {
		return nil, nil, d.wouldFault(edits, faults, root)
	}
	return root, s, nil
}

func (d *Doc) wouldFault(edits []shop.Edit, faults []Fault, root *node) *EditError {
	paths := pathsOf(root)
	for i := range faults {
		faults[i].Path = paths[faults[i].node]
	}
	slices.SortStableFunc(faults, func(a, b Fault) int { return strings.Compare(string(a.Path), string(b.Path)) })
	e := &EditError{Code: MakesFault, Number: 1, Path: faults[0].Path, What: faults[0].What, Cure: faults[0].Cure, Faults: faults}
	for i, edit := range edits {
		if target := edit.Target(); target != "" && strings.HasPrefix(string(e.Path), string(target)) {
			e.Number = i + 1
		}
	}
	return e
}

// editTree makes one edit. Nodes are shared with the tree before; only those on the way to the change are new.
func editTree(root *node, e shop.Edit) (*node, *EditError) {
	if err := checkEdit(e); err != nil {
		return nil, err
	}
	switch {
	case e.Set != "":
		return setTree(root, e)
	case e.Remove != "":
		at, err := find(root, e.Remove)
		if err != nil {
			return nil, err
		}
		if err := guard(at.node, e.Was, e.Remove); err != nil {
			return nil, err
		}
		return at.rebuild(func(p *node, i int) {
			p.items = slices.Delete(p.items, i, i+1)
			if p.form == dict {
				p.keys = slices.Delete(p.keys, i, i+1)
			}
		}), nil
	case e.Insert != nil:
		return insertTree(root, e)
	}
	texts, err := renaming(root, e.Rename, e.To.Text)
	if err != nil {
		return nil, err
	}
	return rewrite(root, texts), nil
}

func checkEdit(e shop.Edit) *EditError {
	told := 0
	for _, is := range []bool{e.Set != "", e.Remove != "", e.Insert != nil, e.Rename != ""} {
		if is {
			told++
		}
	}
	bad := func(what string) *EditError { return refuse(BadEdit, e.Target(), what, "") }
	switch {
	case told != 1:
		return bad("an edit is exactly one of set, remove, insert and rename")
	case e.Set != "" && e.To == nil:
		return bad("nothing says what to set it to")
	case e.Insert != nil && (e.Before == "") == (e.After == ""):
		return bad("an insert says before or after what, and only one of them")
	case e.Rename != "" && (e.To == nil || e.To.Kind != shop.Scalar):
		return bad("the new name is missing")
	}
	for _, v := range []*shop.Value{e.To, e.Insert, {Text: string(e.Set)}} {
		if v != nil && !writable(v) {
			return bad("the text has bytes in it that are no UTF-8, and no file can hold them")
		}
	}
	return nil
}

// writable: a file can hold all the texts of a value.
func writable(v *shop.Value) bool {
	for _, k := range v.Keys {
		if !utf8.ValidString(k) {
			return false
		}
	}
	for i := range v.Items {
		if !writable(&v.Items[i]) {
			return false
		}
	}
	return utf8.ValidString(v.Text)
}

// target of an edit in a tree: the node, and the way to it.
type target struct {
	*node
	way   []*node // the nodes above it, root first
	index []int   // of the child taken in each
}

func (t *target) parent() *node { return t.way[len(t.way)-1] }
func (t *target) last() int     { return t.index[len(t.index)-1] }

// inFlow: the target stands inside brackets or braces.
func (t *target) inFlow() bool {
	for _, n := range t.way {
		if n.flow {
			return true
		}
	}
	return false
}

// locate walks a path as far as it goes.
func locate(root *node, p shop.Path) (*target, []string) {
	keys := p.Keys()
	t := &target{node: root}
	for i, k := range keys {
		j := t.node.step(k)
		if j < 0 {
			return t, keys[i:]
		}
		t.way, t.index, t.node = append(t.way, t.node), append(t.index, j), t.node.items[j]
	}
	return t, nil
}

// find wants all of a path.
func find(root *node, p shop.Path) (*target, *EditError) {
	t, left := locate(root, p)
	if len(left) > 0 {
		return nil, missing(t, p, left)
	}
	if len(t.way) == 0 {
		return nil, refuse(BadEdit, p, "the path is empty", "")
	}
	return t, nil
}

// missing says what of a path is not there, and the nearest that is.
func missing(t *target, p shop.Path, left []string) *EditError {
	var known []string
	for i := range t.node.items {
		if t.node.form == dict {
			known = append(known, t.node.keys[i].text)
		} else {
			known = append(known, pieceKey(t.node.items, i))
		}
	}
	cure := ""
	if near := nearest(left[0], known); near != "" {
		cure = "Did you mean `" + near + "`?"
	}
	return refuse(NoSuchPath, p, "there is no `"+left[0]+"` in the file", cure)
}

// rebuild copies the way down to the target and lets change work on its parent.
func (t *target) rebuild(change func(parent *node, i int)) *node {
	var below *node
	for i := len(t.way) - 1; i >= 0; i-- {
		c := t.way[i].copied()
		if below == nil {
			change(c, t.index[i])
		} else {
			c.items[t.index[i]] = below
		}
		below = c
	}
	return below
}

// copied is a node with lists of its own. What was read from it is forgotten.
func (n *node) copied() *node {
	c := *n
	c.memo = nil
	c.keys, c.items = slices.Clone(n.keys), slices.Clone(n.items)
	return &c
}

func setTree(root *node, e shop.Edit) (*node, *EditError) {
	t, left := locate(root, e.Set)
	if len(left) == 0 {
		if len(t.way) == 0 {
			return nil, refuse(BadEdit, e.Set, "the path is empty", "")
		}
		if err := guard(t.node, e.Was, e.Set); err != nil {
			return nil, err
		}
		return t.rebuild(func(p *node, i int) { p.items[i] = nodeOf(e.To) }), nil
	}
	if err := canBeNew(t, e, left); err != nil {
		return nil, err
	}
	if t.node.form == dict && !t.node.null {
		c := t.node.copied()
		c.keys = append(c.keys, keyNode(left[0]))
		c.items = append(c.items, nodeOf(wrapped(left[1:], e.To)))
		if len(t.way) == 0 {
			return c, nil
		}
		return t.rebuild(func(p *node, i int) { p.items[i] = c }), nil
	}
	return t.rebuild(func(p *node, i int) { p.items[i] = nodeOf(wrapped(left, e.To)) }), nil
}

// canBeNew: something that is not there yet may be written at the path.
func canBeNew(t *target, e shop.Edit, left []string) *EditError {
	if e.Was != nil && !(e.Was.Kind == shop.Scalar && e.Was.Text == "unknown") {
		return refuse(WasDiffers, e.Set, "the edit was made where this was "+shown(e.Was)+", and now nothing is written there", "")
	}
	at := grammarAt(e.Set.Keys())
	if at.bad >= 0 {
		cure := ""
		if near := nearest(e.Set.Keys()[at.bad], at.words); near != "" {
			cure = "Did you mean `" + near + "`?"
		}
		return refuse(CannotBe, e.Set, "`"+e.Set.Keys()[at.bad]+"` cannot be there", cure)
	}
	// a list has no place for a new item but before or after another
	done := len(e.Set.Keys()) - len(left)
	for i := done; i < len(e.Set.Keys()); i++ {
		g := grammarAt(e.Set.Keys()[:i]).grammar
		for g.shape == asMaybe {
			g = g.elem
		}
		if g.shape == asList || g.shape == asLeaf {
			return missing(t, e.Set, left[i-done:])
		}
	}
	if t.node.form != dict && !t.node.unsaid() {
		return refuse(NoSuchPath, e.Set, "`"+t.node.text+"` is written for what would hold it", "Set the whole of it.")
	}
	return nil
}

// wrapped puts a value inside the maps that are missing around it.
func wrapped(keys []string, v *shop.Value) *shop.Value {
	for i := len(keys) - 1; i >= 0; i-- {
		v = &shop.Value{Kind: shop.Map, Keys: []string{keys[i]}, Items: []shop.Value{*v}}
	}
	return v
}

func insertTree(root *node, e shop.Edit) (*node, *EditError) {
	t, err := insertTarget(root, e)
	if err != nil {
		return nil, err
	}
	return t.rebuild(func(p *node, i int) {
		if e.After != "" {
			i++
		}
		if p.form == list {
			p.items = slices.Insert(p.items, i, nodeOf(e.Insert))
			return
		}
		for j, k := range e.Insert.Keys {
			p.keys = slices.Insert(p.keys, i+j, keyNode(k))
			p.items = slices.Insert(p.items, i+j, nodeOf(&e.Insert.Items[j]))
		}
	}), nil
}

func insertTarget(root *node, e shop.Edit) (*target, *EditError) {
	p := e.Before + e.After
	t, err := find(root, p)
	if err != nil {
		return nil, err
	}
	at := grammarAt(p.Keys())
	if !at.item {
		return nil, refuse(BadEdit, p, "nothing can stand before or after this: it is no item of a list or of a map of names", "Use set.")
	}
	if t.parent().form == dict && (e.Insert.Kind != shop.Map || len(e.Insert.Keys) == 0) {
		return nil, refuse(BadEdit, p, "what is inserted among names has a name itself", "Write {NAME: {...}}.")
	}
	return t, nil
}

// guard compares the file with what an edit was made for.
func guard(n *node, was *shop.Value, p shop.Path) *EditError {
	if was == nil || says(n, was, p) {
		return nil
	}
	now := valueOf(n)
	return refuse(WasDiffers, p, "the edit was made where this was "+shown(was)+", and now it is "+shown(&now), "")
}

// says: the file says this, in the same words or in others that mean the same (20 ft and 240 in).
func says(n *node, was *shop.Value, p shop.Path) bool {
	now := valueOf(n)
	if reflect.DeepEqual(now, *was) || n.null && was.Kind == shop.Scalar && was.Text == "unknown" {
		return true
	}
	at := grammarAt(p.Keys())
	if at.bad >= 0 {
		return false
	}
	read := func(n *node) (any, bool) {
		d := &decoder{}
		v := reflect.New(at.typ).Elem()
		d.value(n, at.grammar, at.field, v)
		return v.Interface(), len(d.faults) == 0
	}
	a, ok := read(n)
	b, ok2 := read(nodeOf(was))
	return ok && ok2 && n.form == nodeOf(was).form && reflect.DeepEqual(a, b)
}

// shown is a value for a message.
func shown(v *shop.Value) string { return "`" + short(flowText(v)) + "`" }

// nodeOf is a value as a tree, as it will be read again once it is written.
func nodeOf(v *shop.Value) *node {
	n := &node{text: v.Text, plain: true}
	switch v.Kind {
	case shop.List:
		n.form = list
		n.items = make([]*node, len(v.Items))
		for i := range v.Items {
			n.items[i] = nodeOf(&v.Items[i])
		}
	case shop.Map:
		n.form = dict
		n.items, n.keys = make([]*node, len(v.Items)), make([]*node, len(v.Items))
		for i := range v.Items {
			n.keys[i], n.items[i] = keyNode(v.Keys[i]), nodeOf(&v.Items[i])
		}
	default:
		n.plain = !needsQuotes(v.Text, false)
	}
	return n
}

func keyNode(k string) *node { return &node{text: k, plain: !needsQuotes(k, false)} }

// rewrite gives some scalars another text.
func rewrite(n *node, texts map[*node]string) *node {
	if s, ok := texts[n]; ok {
		return &node{text: s, plain: !needsQuotes(s, false)}
	}
	var c *node
	put := func(items func(*node) []*node) {
		for i, old := range items(n) {
			if fresh := rewrite(old, texts); fresh != old {
				if c == nil {
					c = n.copied()
				}
				items(c)[i] = fresh
			}
		}
	}
	put(func(n *node) []*node { return n.keys })
	put(func(n *node) []*node { return n.items })
	if c == nil {
		return n
	}
	return c
}
