package file

import (
	"fmt"
	"reflect"
	"strings"

	"winnow/internal/shop"
	"winnow/internal/unit"
)

// KeyTable lists every key of the grammar as Markdown: where it stands, what may stand behind it, what it means. It is
// made from the same tags that files are read by.
func KeyTable() string {
	t := &keyTable{done: map[reflect.Type]string{}}
	t.block("The file", shopGrammar())
	for len(t.queue) > 0 {
		next := t.queue[0]
		t.queue = t.queue[1:]
		t.block(next.title, next.grammar)
	}
	return t.b.String()
}

type keyTable struct {
	b     strings.Builder
	done  map[reflect.Type]string
	queue []queued
}

type queued struct {
	title string
	*grammar
}

func (t *keyTable) block(title string, g *grammar) {
	fmt.Fprintf(&t.b, "### %s\n\n| key | what stands there | what it says |\n|---|---|---|\n", title)
	t.done[g.typ] = title
	for _, f := range g.fields {
		switch f.key {
		case "*":
			continue
		case "~":
			fmt.Fprintf(&t.b, "| %s | %s | %s |\n", "NAME", t.what(f.grammar.elem.whole, f.grammar.elem.whole.grammar, title), escape(f.help))
			continue
		case "=":
			continue
		}
		key := "`" + f.key + "`"
		if f.one != "" {
			key = "`" + f.one + "` or `" + f.key + "`"
		}
		fmt.Fprintf(&t.b, "| %s | %s | %s |\n", key, t.what(f, f.grammar, title+", "+f.key), escape(f.help))
	}
	t.b.WriteByte('\n')
}

func escape(s string) string { return strings.ReplaceAll(s, "|", "\\|") }

// what says what may stand behind a key.
func (t *keyTable) what(f *field, g *grammar, title string) string {
	switch g.shape {
	case asMaybe:
		return t.what(f, g.elem, title) + ", or `none`"
	case asStruct:
		return "block: " + t.link(g)
	case asNamed:
		if w := g.elem.whole; w != nil {
			return "map of names: " + t.what(w, w.grammar, title)
		}
		return "map of names: " + t.link(g.elem)
	case asList:
		each := *f
		each.grammar, each.single = g.elem, false
		s := "list, each " + strings.TrimPrefix(t.what(&each, g.elem, title), "block: ")
		if f.single {
			s += ", or one alone"
		}
		return s
	}
	return escape(t.leafWhat(f, g))
}

func (t *keyTable) leafWhat(f *field, g *grammar) string {
	switch {
	case f.of != nil:
		return "`" + strings.Join(f.of, "`, `") + "`"
	case f.ref != "" && g.typ == reflect.TypeFor[string]():
		return "a name: " + callKind(f.ref)
	case f.kinds != "":
		return "a kind"
	case f.def != "":
		return "its name"
	case g.typ == reflect.TypeFor[string]():
		return "text"
	case g.typ == reflect.TypeFor[int]():
		return "a whole number"
	case g.typ == reflect.TypeFor[bool]():
		return "`true` or `false`"
	case g.typ == reflect.TypeFor[unit.Amount[unit.Number]]():
		return "a bare number"
	case g.typ == reflect.TypeFor[*shop.Value]():
		return "a value, as it would be written there"
	}
	s := g.leaf.what + ": `" + g.leaf.example + "`"
	if g.typ == reflect.TypeFor[shop.From]() {
		s = g.leaf.example
	}
	if f.drawn {
		s += ", or `drawn`"
	}
	return s
}

// titles of blocks whose kebab name is not what an owner would say.
var titles = map[string]string{
	"other-load": "Other load", "load": "Other load", "hours": "Hours", "stock-item": "Stock", "edit": "Edit of an option",
	"makes": "What a machine makes", "needs": "Needs of a port", "filter": "Filter", "place": "Place of a machine",
}

// link names the block and sees to it that it has a table.
func (t *keyTable) link(g *grammar) string {
	name := kebab(g.typ)
	title := titles[name]
	if title == "" {
		title = strings.ToUpper(name[:1]) + strings.ReplaceAll(name[1:], "-", " ")
	}
	if t.done[g.typ] == "" {
		t.done[g.typ] = title
		t.queue = append(t.queue, queued{title, g})
	}
	return "[" + title + "](#" + strings.ReplaceAll(strings.ToLower(title), " ", "-") + ")"
}

// CodeTable lists the kinds of fault as Markdown.
func CodeTable() string {
	var b strings.Builder
	b.WriteString("| word | means |\n|---|---|\n")
	for _, c := range append(append([]*Code{}, Codes...), OptionStale) {
		fmt.Fprintf(&b, "| `%s` | %s |\n", c.Name, escape(c.Help))
	}
	b.WriteByte('\n')
	return b.String()
}
