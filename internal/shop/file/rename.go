package file

import (
	"reflect"
	"slices"
	"strconv"
	"strings"

	"winnow/internal/shop"
)

// renaming works out which scalars a rename changes, and to what: the name itself and all that speaks of it, in the
// paths and values of options too.
func renaming(root *node, p shop.Path, to string) (map[*node]string, *EditError) {
	t, err := find(root, p)
	if err != nil {
		return nil, err
	}
	keys := p.Keys()
	segs := segmentsOf(keys)
	it := segs[len(segs)-1]
	named := t.keyOf()
	if t.parent().form == list {
		kind, value := t.node.pieceKind()
		if pieceName(kind, value) == "" || kind == "wye" {
			return nil, refuse(CannotRename, p, "this has no name of its own", "Rename what it names.")
		}
		named, it = value, segment{kind: kind, system: it.system, def: true}
		it.text = value.text
	}
	if named == nil || !it.def {
		return nil, refuse(CannotRename, p, "this is not a name you gave", "Rename the thing where its name is given.")
	}
	it.text = named.text
	if why := badName(to, it.kind); why != "" {
		return nil, refuse(CannotRename, p, why, "A name starts with a letter and has no / ~ : , # or quotes.")
	}
	if it.kind == "run" && it.text == "main" {
		return nil, refuse(CannotRename, p, "`main` is the run that ends at the inlet, and keeps its name", "")
	}
	r := &renamer{it: it, to: to, keys: keys, texts: map[*node]string{named: to}}
	d := &decoder{}
	var s shop.Shop
	d.value(root, shopGrammar(), nil, reflect.ValueOf(&s).Elem())
	for _, u := range d.uses {
		r.use(u, &s)
	}
	for _, e := range d.edits {
		r.edit(e, &s)
	}
	return r.texts, nil
}

// keyOf is the key the target stands under.
func (t *target) keyOf() *node {
	if p := t.parent(); p.form == dict {
		return p.keys[t.last()]
	}
	return nil
}

// segment is one key of a path: the name of something, given there or spoken of.
type segment struct {
	kind, text      string
	system, machine string // whose it is
	def             bool
}

// segmentsOf says for every key of a path whose name it is. Keys of the grammar and numbers have no kind.
func segmentsOf(keys []string) []segment {
	segs := make([]segment, len(keys))
	system, machine := "", ""
	for i, k := range keys {
		g := grammarAt(keys[:i])
		if g.bad >= 0 {
			break
		}
		in := g.grammar
		for in.shape == asMaybe {
			in = in.elem
		}
		s := &segs[i]
		s.text, s.system, s.machine = k, system, machine
		switch {
		case in.shape == asNamed:
			s.name(in.elem.name)
		case in.shape == asStruct && in.keys[k] == nil && in.rest != nil:
			s.name(in.rest.elem.name)
		case in.shape == asList && in.elem.typ == reflect.TypeFor[shop.Piece]():
			kind, which, ok := strings.Cut(k, " ")
			if _, err := strconv.Atoi(which); err != nil && ok {
				s.kind, s.text, s.def = kind, which, kind != "wye"
				if kind == "wye" {
					s.kind = "run"
				}
			}
		}
		switch s.kind {
		case "system":
			system = k
		case "machine":
			machine = k
		}
	}
	return segs
}

func (s *segment) name(f *field) {
	switch {
	case f.def != "":
		s.kind, s.def = f.def, true
	case f.ref != "":
		s.kind = f.ref
	case f.kinds == "":
		s.kind, s.def = "name", true
	}
}

// renamer collects what a rename changes.
type renamer struct {
	it    segment
	to    string
	keys  []string // the path of what is renamed
	texts map[*node]string
}

func (r *renamer) set(n *node, s string) { r.texts[n] = s }

// use mends one place that speaks of a name.
func (r *renamer) use(u use, s *shop.Shop) {
	it := r.it
	switch u.kind {
	case "source", "spot":
		machine, port, named := strings.Cut(u.text, "/")
		switch {
		case it.kind == "machine" && machine == it.text:
			if named {
				r.set(u.node, r.to+"/"+port)
			} else {
				r.set(u.node, r.to)
			}
		case it.kind == "port" && machine == it.machine && named && port == it.text:
			r.set(u.node, machine+"/"+r.to)
		case u.kind == "spot" && it.kind == "system" && u.text == it.text:
			r.set(u.node, r.to)
		case u.kind == "spot" && it.kind == "tap" && u.text == "tap "+it.text:
			r.set(u.node, "tap "+r.to)
		}
	case "starter":
		if (it.kind == "system" || it.kind == "cleaner") && u.text == it.text {
			r.set(u.node, r.to)
		}
	case "split":
		if it.kind == "split" && u.text == it.text {
			r.set(u.node, "split "+r.to)
		}
	case it.kind:
		if u.text != it.text || it.kind == "run" && u.system != it.system || (it.kind == "port" || it.kind == "place") && u.machine != it.machine {
			return
		}
		r.set(u.node, r.to)
	}
}

// edit mends the paths of an option's edit, and the names spoken of in its values.
func (r *renamer) edit(e editAt, s *shop.Shop) {
	for _, key := range []string{"set", "remove", "rename", "before", "after"} {
		n := e.node.get(key)
		if n == nil || n.form != scalar || n.unsaid() {
			continue
		}
		keys := shop.Path(n.text).Keys()
		segs := segmentsOf(keys)
		was := slices.Clone(keys)
		changed := false
		for i, seg := range segs {
			if !r.meant(seg) && !(i == len(r.keys)-1 && slices.Equal(was[:i+1], r.keys)) {
				continue
			}
			changed = true
			if kind, _, isPiece := strings.Cut(keys[i], " "); isPiece && keys[i] != seg.text {
				keys[i] = kind + " " + r.to
			} else {
				keys[i] = r.to
			}
		}
		if changed {
			r.set(n, strings.Join(keys, "/"))
		}
		r.values(e.node, segs, was, key, s)
	}
}

// meant: the key of a path speaks of what is renamed.
func (r *renamer) meant(seg segment) bool {
	if seg.kind != r.it.kind || seg.text != r.it.text || seg.kind == "" || seg.kind == "name" && r.it.kind == "name" {
		return false
	}
	switch seg.kind {
	case "run":
		return seg.system == r.it.system
	case "port", "place", "setup":
		return seg.machine == r.it.machine
	}
	return true
}

// values mends names spoken of inside what an option would write.
func (r *renamer) values(edit *node, segs []segment, keys []string, key string, s *shop.Shop) {
	at := grammarAt(keys)
	if at.bad >= 0 {
		return
	}
	if (key == "before" || key == "after") && at.name {
		at = grammarAt(keys[:len(keys)-1])
	}
	d := &decoder{}
	for _, seg := range segs {
		switch seg.kind {
		case "system":
			d.system = seg.text
		case "machine":
			d.machine = seg.text
		}
	}
	for _, part := range []string{"to", "insert", "was"} {
		n := edit.get(part)
		if n == nil || part == "to" && key == "rename" || at.none && n.word("none") {
			continue
		}
		d.value(n, at.grammar, at.field, reflect.New(at.typ).Elem())
	}
	for _, u := range d.uses {
		r.use(u, s)
	}
}
