package file

import (
	"reflect"
	"strings"
	"sync"

	"winnow/internal/shop"
	"winnow/internal/unit"
)

// shape is how a Go type is written in the file.
type shape uint8

const (
	asLeaf   shape = iota // one value with a reader of its own: a quantity, a point, a word
	asStruct              // keys and values
	asNamed               // a map of names
	asList                // items in order
	asMaybe               // a block that may be `none`
)

// grammar is a Go type with its tags, worked out once.
type grammar struct {
	shape  shape
	typ    reflect.Type
	elem   *grammar // of a named map, a list or a Maybe
	leaf   *leaf
	fields []*field
	keys   map[string]*field // by the key, and by the singular
	name   *field            // key:"*"
	rest   *field            // key:"~"
	whole  *field            // key:"="
	whats  []*field          // key:",what"
}

// field is one key of a struct.
type field struct {
	key, one string // one is the singular
	index    int
	number   int // among the fields of its struct, below 64
	*grammar

	of              []string
	what, drawn     bool
	positive, sign  bool
	single          bool
	most            string
	def, ref, kinds string
	not, only       []string
	help            string
}

var (
	grammarLock sync.Mutex
	grammars    = map[reflect.Type]*grammar{}
	shopGrammar = sync.OnceValue(func() *grammar { return grammarOf(reflect.TypeFor[shop.Shop]()) })
)

// grammarOf works out a type's grammar. A type that nothing here can read is a mistake of ours and panics.
func grammarOf(t reflect.Type) *grammar {
	grammarLock.Lock()
	defer grammarLock.Unlock()
	return workOut(t)
}

func workOut(t reflect.Type) *grammar {
	if g := grammars[t]; g != nil {
		return g
	}
	g := &grammar{typ: t}
	grammars[t] = g
	switch l := leafOf[t]; {
	case l != nil:
		g.shape, g.leaf = asLeaf, l
	case t.Kind() == reflect.Struct && isMaybe(t):
		g.shape, g.elem = asMaybe, workOut(t.Field(0).Type)
	case t.Kind() == reflect.Slice:
		g.elem = workOut(t.Elem())
		g.shape = asList
		if g.elem.shape == asStruct && g.elem.name != nil {
			g.shape = asNamed
		}
	case t.Kind() == reflect.Struct:
		g.shape = asStruct
		g.readFields()
	default:
		panic("shop/file: no grammar for " + t.String())
	}
	return g
}

func isMaybe(t reflect.Type) bool {
	return t.NumField() == 2 && t.Field(0).Name == "Value" && t.Field(1).Type == reflect.TypeFor[unit.Basis]()
}

func (g *grammar) readFields() {
	g.keys = map[string]*field{}
	for i := range g.typ.NumField() {
		sf := g.typ.Field(i)
		tag := sf.Tag.Get("key")
		if tag == "" || tag == "-" {
			continue
		}
		f := &field{index: i, number: len(g.fields), help: sf.Tag.Get("help")}
		f.readTag(tag, sf.Type)
		switch f.key {
		case "*":
			g.name = f
		case "~":
			g.rest = f
		case "=":
			g.whole = f
		default:
			g.keys[f.key] = f
			if f.one != "" {
				g.keys[f.one] = f
			}
			if f.what {
				g.whats = append(g.whats, f)
			}
		}
		g.fields = append(g.fields, f)
	}
}

func (f *field) readTag(tag string, t reflect.Type) {
	parts := strings.Split(tag, ",")
	f.key = parts[0]
	count := false
	for _, p := range parts[1:] {
		word, value, _ := strings.Cut(p, "=")
		switch word {
		case "one":
			f.one = value
		case "of":
			f.of = strings.Split(value, "|")
		case "not":
			f.not = strings.Split(value, "|")
		case "for":
			f.only = strings.Split(value, "|")
		case "what":
			f.what = true
		case "drawn":
			f.drawn = true
		case "positive":
			f.positive = true
		case "signed":
			f.sign = true
		case "single":
			f.single = true
		case "most":
			f.most = value
		case "def":
			f.def = value
		case "ref":
			f.ref = value
		case "kind":
			f.kinds = value
		case "count":
			count = true
		default:
			panic("shop/file: tag " + tag + " is not understood")
		}
	}
	if (t.Kind() == reflect.Int) != count {
		panic("shop/file: an int is a count, and a count an int: " + tag)
	}
	f.grammar = workOut(t)
}

// words lists the keys a struct knows, in the order of the grammar.
func (g *grammar) words() []string {
	var w []string
	for _, f := range g.fields {
		if f.key != "*" && f.key != "~" && f.key != "=" {
			w = append(w, f.key)
			if f.one != "" {
				w = append(w, f.one)
			}
		}
	}
	return w
}
