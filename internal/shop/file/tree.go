package file

import (
	"errors"
	"strings"
	"unicode/utf8"

	"go.yaml.in/yaml/v4"
	"go.yaml.in/yaml/v4/plugin/loaderlimits"
)

type form uint8

const (
	scalar form = iota
	list
	dict
)

// node is one value of the file with the bytes it covers. Values made by an edit have no place (end is 0).
type node struct {
	form  form
	text  string  // of a scalar
	plain bool    // a scalar without quotes
	null  bool    // nothing is written
	block bool    // a scalar written with | or >
	flow  bool    // a list or map in brackets
	odd   bool    // a key that is refused: nothing more is said about it
	bare  bool    // a map of one pair in a list in brackets, without braces of its own
	keys  []*node // of a map, beside items
	items []*node // of a map or list

	pos        Pos
	start, end int // bytes of the text; of a key the key alone

	memo any // the quantity its text was read as, so that a trial need not read it again
}

func (n *node) get(key string) *node {
	if i := n.find(key); i >= 0 {
		return n.items[i]
	}
	return nil
}

func (n *node) find(key string) int {
	if n.form == dict {
		for i, k := range n.keys {
			if k.text == key {
				return i
			}
		}
	}
	return -1
}

// word reports whether the node is this bare word: in quotes it would be a name or a note.
func (n *node) word(w string) bool { return n.form == scalar && n.plain && n.text == w }

// unsaid: nothing written, or `unknown`.
func (n *node) unsaid() bool { return n.null || n.word("unknown") }

// treeBuilder turns the library's nodes into ours, with byte offsets, and notes what the grammar refuses.
type treeBuilder struct {
	*text
	faults  []Fault
	at      cursor
	blanked []bool // lines that were hidden from the library, by number from 0
	again   bool   // one of them was no comment after all
}

// readTree reads the text as YAML. With faults of syntax there is no tree; with others there is one all the same.
//
// A shop file is half comments, and the library takes a third of its time over them, so lines that are nothing but a
// comment are hidden from it. In the rare text that runs over several lines such a line may be part of the text: then
// all is read again as it stands.
func readTree(t *text) (*node, []Fault) {
	src, blanked := t.withoutCommentLines()
	if blanked != nil {
		b := &treeBuilder{text: t, blanked: blanked}
		if root, ok := b.readTree(src); ok && !b.again {
			return root, b.faults
		}
	}
	b := &treeBuilder{text: t}
	root, _ := b.readTree(strings.TrimPrefix(t.src, byteOrderMark))
	return root, b.faults
}

// withoutCommentLines is the text with its comment lines emptied, and which they are; nil if there are none.
func (t *text) withoutCommentLines() (string, []bool) {
	var blanked []bool
	var b strings.Builder
	from := t.lines[0]
	for i, start := range t.lines {
		body := start
		for body < len(t.src) && t.src[body] == ' ' {
			body++
		}
		if body >= len(t.src) || t.src[body] != '#' {
			continue
		}
		if blanked == nil {
			blanked = make([]bool, len(t.lines))
			b.Grow(len(t.src))
		}
		blanked[i] = true
		b.WriteString(t.src[from:start])
		from = t.lineEnd(i + 1)
	}
	if blanked == nil {
		return "", nil
	}
	b.WriteString(t.src[from:])
	return b.String(), blanked
}

// hides notes a text over several lines with a hidden one among them.
func (b *treeBuilder) hides(n *node) {
	for l, last := b.line(n.start), b.line(n.end); l < last; l++ {
		b.again = b.again || b.blanked[l]
	}
}

func (b *treeBuilder) readTree(src string) (*node, bool) {
	var docs []*yaml.Node
	loader, err := yaml.NewLoader(strings.NewReader(src), limits)
	for err == nil && len(docs) < 2 {
		doc := new(yaml.Node)
		if err = loader.Load(doc); err == nil {
			docs = append(docs, doc)
		}
	}
	if err != nil && len(docs) < 2 && !drained(err) {
		b.syntax(err)
		return nil, false
	}
	if len(docs) == 0 || len(docs[0].Content) == 0 {
		return &node{form: dict, null: true, pos: Pos{1, 1}}, true
	}
	b.directives(docs[0])
	if len(docs) > 1 {
		b.add(Pos{max(docs[1].Line, 1), max(docs[1].Column, 1)}, 3, SeveralDocuments, "a second document starts here, and a shop file is one", "Remove the line with --- or ..., or move the rest to a file of its own.")
	}
	return b.convert(docs[0].Content[0], 1), true
}

var limits = yaml.WithPlugin(loaderlimits.New(loaderlimits.DepthValue(maxDepth)))

func (b *treeBuilder) add(p Pos, span int, c *Code, what, cure string) {
	b.faults = append(b.faults, Fault{Code: c, Pos: p, What: what, Cure: cure, span: span})
}

// drained: the loader says so in several ways that there is no document left.
func drained(err error) bool {
	return err != nil && (strings.HasSuffix(err.Error(), "EOF") || strings.Contains(err.Error(), "no documents in stream"))
}

func (b *treeBuilder) directives(doc *yaml.Node) {
	for l := 1; l <= len(b.lines) && l < doc.Content[0].Line; l++ {
		if strings.HasPrefix(b.lineText(l), "%") {
			b.add(Pos{l, 1}, utf8.RuneCountInString(b.lineText(l)), Directive, "a line starting with % speaks to the YAML reader, and a shop file has none", "Remove the line.")
		}
	}
}

func (b *treeBuilder) convert(y *yaml.Node, depth int) *node {
	n := &node{pos: Pos{y.Line, y.Column}}
	n.start = b.seek(&b.at, n.pos)
	b.refuse(y, n)
	if depth > maxDepth {
		b.add(n.pos, 1, TooDeep, tooDeep, tooDeepCure)
		n.plain, n.null, n.end = true, true, n.start
		return n
	}
	switch y.Kind {
	case yaml.MappingNode:
		b.convertMap(n, y, depth)
	case yaml.SequenceNode:
		n.form, n.flow = list, y.Style&yaml.FlowStyle != 0
		n.items = make([]*node, len(y.Content))
		for i, c := range y.Content {
			n.items[i] = b.convert(c, depth+1)
		}
		n.end = b.close(n, ']')
	default:
		b.convertScalar(n, y)
	}
	return n
}

func (b *treeBuilder) convertMap(n *node, y *yaml.Node, depth int) {
	n.form, n.flow = dict, y.Style&yaml.FlowStyle != 0
	pairs := len(y.Content) / 2
	nodes := make([]*node, 2*pairs)
	n.keys, n.items = nodes[:pairs:pairs], nodes[pairs:]
	for i := range pairs {
		k, v := y.Content[2*i], y.Content[2*i+1]
		if k.Tag == "!!merge" {
			b.add(Pos{k.Line, k.Column}, 2, MergeKey, "<< would copy keys from somewhere else, and a shop file says each thing where it is", "Write the keys out.")
			k.Tag, k.Style = "!!str", 0
			n.keys[i] = b.convert(k, depth+1)
			n.keys[i].odd = true
		} else {
			n.keys[i] = b.convert(k, depth+1)
		}
		if n.keys[i].form != scalar {
			b.add(n.keys[i].pos, 1, OddKey, "a list or map stands where a name belongs", "Put a name before the colon; if the line is meant as a value, give it a key.")
			n.keys[i] = &node{pos: n.keys[i].pos, start: n.keys[i].start, end: n.keys[i].end, plain: true, odd: true}
		} else if q := strings.TrimRight(b.src[:n.keys[i].start], " \t"); strings.HasSuffix(q, "?") && !n.keys[i].null {
			b.add(n.keys[i].pos, len([]rune(n.keys[i].text)), OddKey, "a key with a question mark before it cannot be edited here", "Remove the question mark and write KEY: VALUE.")
			n.keys[i].odd = true
		}
		n.items[i] = b.convert(v, depth+1)
		if n.items[i].null {
			n.items[i].start = b.afterColon(n.keys[i].end)
			n.items[i].end = n.items[i].start
		}
	}
	n.bare = n.flow && (n.start >= len(b.src) || b.src[n.start] != '{')
	n.end = b.close(n, '}')
}

// refuse what makes edits and errors unclear.
func (b *treeBuilder) refuse(y *yaml.Node, n *node) {
	if y.Anchor != "" && y.Kind != yaml.AliasNode {
		b.add(n.pos, 1+utf8.RuneCountInString(y.Anchor), Anchor, "&"+y.Anchor+" would mark this to be repeated elsewhere, and a shop file says each thing where it is", "Remove &"+y.Anchor+" and write the value out where it is repeated. Text that starts with & goes in quotes.")
		n.start = b.skipProperties(n.start)
	}
	if y.Style&yaml.TaggedStyle != 0 {
		b.add(n.pos, 1, Tag, "text starting with ! would be an order to the YAML reader, and a shop file has none", "Remove it; text that starts with ! goes in quotes.")
		n.start = b.skipProperties(n.start)
	}
}

// skipProperties steps over &anchor and !tag to the value itself.
func (b *treeBuilder) skipProperties(i int) int {
	for i < len(b.src) && (b.src[i] == '&' || b.src[i] == '!') {
		for i < len(b.src) && !strings.ContainsRune(" \t\r\n,]}", rune(b.src[i])) {
			i++
		}
		for i < len(b.src) && (b.src[i] == ' ' || b.src[i] == '\t') {
			i++
		}
	}
	return i
}

func (b *treeBuilder) convertScalar(n *node, y *yaml.Node) {
	n.text = y.Value
	switch {
	case y.Kind == yaml.AliasNode:
		b.add(n.pos, 1+utf8.RuneCountInString(y.Value), Alias, "*"+y.Value+" would repeat something from elsewhere, and a shop file says each thing where it is", "Write the value out. Text that starts with * goes in quotes.")
		n.null, n.plain = true, true
		n.end = n.start + 1 + len(y.Value)
	case y.Style&yaml.DoubleQuotedStyle != 0:
		n.end = b.quotedEnd(n.start, '"')
	case y.Style&yaml.SingleQuotedStyle != 0:
		n.end = b.quotedEnd(n.start, '\'')
	case y.Style&(yaml.LiteralStyle|yaml.FoldedStyle) != 0:
		n.block = true
		n.end = b.blockEnd(n.start)
	default:
		n.plain = true
		n.null = y.Value == ""
		n.end = b.plainEnd(n.start, y.Value)
	}
	if b.blanked != nil {
		b.hides(n)
	}
}

// quotedEnd is the offset after the closing quote.
func (t *text) quotedEnd(i int, quote byte) int {
	for i++; i < len(t.src); i++ {
		switch {
		case t.src[i] == '\\' && quote == '"':
			i++
		case t.src[i] != quote:
		case quote == '\'' && i+1 < len(t.src) && t.src[i+1] == quote:
			i++
		default:
			return i + 1
		}
	}
	return len(t.src)
}

// plainEnd is the offset after a scalar without quotes. Most are one line and stand in the text as they are; in one that
// runs over several lines each line break reads as one space, and each empty line as a break.
func (t *text) plainEnd(i int, value string) int {
	if strings.HasPrefix(t.src[i:], value) {
		return i + len(value)
	}
	for j := 0; j < len(value) && i < len(t.src); {
		if t.src[i] == value[j] && value[j] != '\n' && !t.blankToLineEnd(i) {
			i, j = i+1, j+1
			continue
		}
		if value[j] != ' ' && value[j] != '\n' {
			return i // not what the library read: keep to the part that is certain
		}
		for j < len(value) && (value[j] == '\n' || value[j] == ' ') {
			j++
		}
		for i < len(t.src) && strings.IndexByte(" \t\r\n", t.src[i]) >= 0 {
			i++
		}
	}
	return i
}

// blankToLineEnd: only blanks from here to the end of the line.
func (t *text) blankToLineEnd(i int) bool {
	for i < len(t.src) && (t.src[i] == ' ' || t.src[i] == '\t') {
		i++
	}
	return i >= len(t.src) || t.src[i] == '\n' || t.src[i] == '\r'
}

// blockEnd is the end of the last line of a | or > text that starts at i: the lines that follow and are set in deeper
// than the line it starts on.
func (t *text) blockEnd(i int) int {
	line := t.line(i)
	outer := t.parentIndent(line, i)
	end := t.lineEnd(line)
	for l := line + 1; l <= len(t.lines); l++ {
		s := t.lineText(l)
		body := strings.TrimLeft(s, " ")
		if strings.TrimSpace(body) == "" {
			continue
		}
		if len(s)-len(body) <= outer {
			break
		}
		end = t.lineEnd(l)
	}
	return end
}

// parentIndent is the column, from 0, of the key or dash that a block text belongs to.
func (t *text) parentIndent(line, at int) int {
	s := t.src[t.lines[line-1]:at]
	indent := len(s) - len(strings.TrimLeft(s, " "))
	rest := s[indent:]
	for strings.HasPrefix(rest, "- ") {
		trimmed := strings.TrimLeft(rest[1:], " ")
		if trimmed == "" || trimmed == rest[1:] || strings.HasPrefix(trimmed, "|") || strings.HasPrefix(trimmed, ">") {
			break
		}
		indent += len(rest) - len(trimmed)
		rest = trimmed
	}
	return indent
}

// afterColon is the offset right after the colon that follows a key, or the key's end where there is none.
func (t *text) afterColon(i int) int {
	for j := i; j < len(t.src); j++ {
		switch t.src[j] {
		case ' ', '\t', '\r', '\n':
		case ':':
			return j + 1
		default:
			return i
		}
	}
	return i
}

// close is the offset after the whole of a list or map. In brackets it is found from the last child on, never by counting
// brackets or quotes from the start: `9 ft x 2' 6"` holds one of each quote and is plain text.
func (t *text) close(n *node, bracket byte) int {
	end := n.start
	if n.flow && !n.bare {
		end++
	}
	if last := len(n.items) - 1; last >= 0 {
		end = max(end, n.items[last].end)
	}
	if !n.flow || n.bare {
		return end
	}
	for i := end; i < len(t.src); i++ {
		switch c := t.src[i]; {
		case c == bracket:
			return i + 1
		case c == '#':
			for i+1 < len(t.src) && t.src[i+1] != '\n' {
				i++
			}
		}
	}
	return end
}

const (
	tooDeep     = "things are nested too deep here: more than 40 levels, where a shop file has about 9"
	tooDeepCure = "Is a bracket or brace missing its partner further up?"
)

// syntax rewords what the library could not read.
func (b *treeBuilder) syntax(err error) {
	var one *yaml.LoadError
	var all *yaml.LoadErrors
	if errors.As(err, &all) && len(all.Errors) > 0 {
		one = all.Errors[0]
	}
	if one == nil && !errors.As(err, &one) {
		b.add(Pos{1, 1}, 1, Syntax, "this cannot be read as a shop file", "Compare it with an example: winnow new")
		return
	}
	at := b.valid(Pos{one.Mark.Line, one.Mark.Column})
	from := b.valid(Pos{one.ContextMark.Line, one.ContextMark.Column})
	if one.ContextMark.Line == 0 {
		from = at
	}
	b.reword(one.Message, one.ContextMsg, at, from)
}

// valid brings a place back into the file.
func (t *text) valid(p Pos) Pos { return t.pos(t.offset(p)) }
