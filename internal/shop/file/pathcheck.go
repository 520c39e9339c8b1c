package file

import (
	"reflect"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"winnow/internal/shop"
	"winnow/internal/unit"
)

type (
	metres = unit.Amount[unit.Metre]
	flows  = unit.Amount[unit.M3PerSec]
	pulls  = unit.Amount[unit.Pascal]
)

// spot is a place in the grammar: what may stand at a path, whether or not the file has something there.
type spot struct {
	*grammar
	field *field // the key it stands under, if it has one of its own
	item  bool   // an item of a list or of a map of names
	name  bool   // an item of a map of names
	none  bool   // may be `none`
	bad   int    // index of the first key that can never be there; -1 if all may
	words []string
}

// grammarAt walks a path through the grammar alone.
func grammarAt(keys []string) spot {
	at := spot{grammar: shopGrammar(), bad: -1}
	for i, k := range keys {
		for at.shape == asMaybe {
			at.grammar = at.elem
		}
		next, ok := at.grammar.child(k, at.field)
		if !ok {
			at.bad, at.words = i, at.grammar.words()
			return at
		}
		at = next
	}
	return at
}

// child is what may stand behind a key.
func (g *grammar) child(key string, under *field) (spot, bool) {
	s := spot{bad: -1}
	switch g.shape {
	case asStruct:
		f := g.keys[key]
		switch {
		case f != nil && key == f.one:
			s.field, s.grammar, s.none = f, singular(f), f.shape == asMaybe
			if inner := s.grammar.keys[f.one]; inner != nil {
				s.field, s.grammar = inner, inner.grammar
			}
		case f != nil:
			s.field, s.grammar = f, f.grammar
		case g.rest != nil && badName(key, "") == "":
			return g.rest.grammar.child(key, g.rest)
		default:
			return s, false
		}
	case asNamed:
		s.item, s.name, s.grammar = true, true, g.elem
		if g.elem.whole != nil {
			s.field, s.grammar = g.elem.whole, g.elem.whole.grammar
		}
	case asList:
		s.item, s.field, s.grammar = true, under, g.elem
		number, err := strconv.Atoi(key)
		kind, _, _ := strings.Cut(key, " ")
		if isPiece := g.elem.typ == reflect.TypeFor[shop.Piece](); err == nil && number > 0 || isPiece && contains(pieceKinds(), kind) {
			return s, true
		}
		return s, false
	case asLeaf:
		return g.part(key)
	default:
		return s, false
	}
	return s, true
}

// part is a number inside a point, or one machine of a carried hose.
func (g *grammar) part(key string) (spot, bool) {
	number, err := strconv.Atoi(key)
	var t reflect.Type
	switch {
	case err != nil || number < 1:
		return spot{}, false
	case g.typ == reflect.TypeFor[shop.Point]() && number <= 3:
		t = reflect.TypeFor[metres]()
	case g.typ == reflect.TypeFor[shop.FanPoint]() && number <= 2:
		t = []reflect.Type{reflect.TypeFor[flows](), reflect.TypeFor[pulls]()}[number-1]
	case g.typ == reflect.TypeFor[shop.From]():
		t = g.typ
	default:
		return spot{}, false
	}
	return spot{grammar: grammarOf(t), item: true, bad: -1}, true
}

// singular is the item of a plural key.
func singular(f *field) *grammar {
	g := f.grammar
	for g.shape == asMaybe {
		g = g.elem
	}
	return g.elem
}

// pathOf checks an edit of an option against the grammar: a path that can never be, and a value that cannot stand there.
// Whether the thing is there today is not asked here: an option may be out of date, and that is no fault of the file.
func (d *decoder) pathOf(e editAt) {
	for _, key := range []string{"set", "remove", "rename", "before", "after"} {
		n := e.node.get(key)
		if n == nil || n.form != scalar || n.unsaid() {
			continue
		}
		keys := shop.Path(n.text).Keys()
		if slices.ContainsFunc(keys, func(k string) bool { return strings.TrimSpace(k) == "" }) {
			continue // told
		}
		at := grammarAt(keys)
		if at.bad >= 0 {
			d.badPath(n, keys, at)
			continue
		}
		switch key {
		case "set":
			d.fits(e.node.get("to"), at)
			d.fits(e.node.get("was"), at)
		case "remove":
			d.fits(e.node.get("was"), at)
		case "before", "after":
			if !at.item {
				d.fault(n, EditPath, "`"+short(n.text)+"` is no item of a list or of a map of names, so nothing can stand before or after it", "Use {set: PATH, to: VALUE} for a key.")
				continue
			}
			if at.name {
				parent := grammarAt(keys[:len(keys)-1])
				d.fits(e.node.get("insert"), parent)
				continue
			}
			d.fits(e.node.get("insert"), at)
		}
	}
}

func (d *decoder) badPath(n *node, keys []string, at spot) {
	stray := keys[at.bad]
	cure := "Nothing can be there."
	if len(at.words) > 0 {
		cure = "There may stand: " + orList(at.words) + "."
	}
	if near := nearest(stray, at.words); near != "" {
		cure = "Did you mean `" + near + "`?"
	}
	f := d.fault(n, EditPath, "the path leads nowhere: `"+short(stray)+"` cannot be there", cure)
	if n.plain {
		f.Pos.Column += utf8.RuneCountInString(strings.Join(keys[:at.bad], "/"))
		if at.bad > 0 {
			f.Pos.Column++
		}
		f.span = utf8.RuneCountInString(stray)
	}
}

// fits reads a value of an edit as what would stand at its path. Names are left alone: the option may bring them.
func (d *decoder) fits(n *node, at spot) {
	if n == nil || at.none && n.word("none") {
		return
	}
	try := &decoder{}
	try.value(n, at.grammar, at.field, reflect.New(at.typ).Elem())
	d.faults = append(d.faults, try.faults...)
}
