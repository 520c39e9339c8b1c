package file

import (
	"reflect"
	"slices"
	"strings"
	"unicode/utf8"

	"winnow/internal/shop"
)

// cut replaces some bytes of the text.
type cut struct {
	from, to int
	text     string
}

// Apply makes edits in the text: only what they change is written anew; comments, order, blank lines, quotes and line
// ends stay as they are. It refuses unless the new text reads as the shop that Try gives.
func (d *Doc) Apply(edits ...shop.Edit) (*Doc, error) {
	_, want, err := d.try(edits)
	if err != nil {
		return nil, err
	}
	if len(edits) == 0 {
		return d, nil
	}
	t, root := d.text, d.root
	for i, e := range edits {
		if i > 0 {
			var faults []Fault
			if root, faults = readTree(t); root == nil || len(faults) > 0 {
				return nil, notAsMeant(i, e)
			}
		}
		cuts, err := splice(t, root, e)
		if err != nil {
			err.Number = i + 1
			return nil, err
		}
		t = newText(t.carry(cuts))
	}
	next := &Doc{kinds: d.kinds}
	if foreign([]byte(t.src)) != nil {
		return nil, notAsMeant(len(edits), edits[len(edits)-1])
	}
	next.text = t
	next.read()
	if len(next.faults) > 0 || !reflect.DeepEqual(next.shop, want) {
		return nil, notAsMeant(len(edits), edits[len(edits)-1])
	}
	return next, nil
}

func notAsMeant(number int, e shop.Edit) *EditError {
	return &EditError{
		Code: NotAsMeant, Number: number, Path: e.Target(),
		What: "the changed text would not say what the edit means, so it is not written", Cure: "Make the change in the text itself.",
	}
}

// carry makes the cuts.
func (t *text) carry(cuts []cut) string {
	slices.SortStableFunc(cuts, func(a, b cut) int { return a.from - b.from })
	var b strings.Builder
	at := 0
	for _, c := range cuts {
		if c.from < at {
			continue // inside what is already cut out
		}
		b.WriteString(t.src[at:c.from])
		b.WriteString(c.text)
		at = c.to
	}
	b.WriteString(t.src[at:])
	return b.String()
}

// splice says which bytes an edit changes.
func splice(t *text, root *node, e shop.Edit) ([]cut, *EditError) {
	if err := checkEdit(e); err != nil {
		return nil, err
	}
	switch {
	case e.Set != "":
		at, left := locate(root, e.Set)
		if len(left) == 0 {
			return t.replace(at, e.To), nil
		}
		if at.node.form == dict && !at.node.null {
			return t.newKey(at, left[0], wrapped(left[1:], e.To)), nil
		}
		return t.replace(at, wrapped(left, e.To)), nil
	case e.Remove != "":
		at, err := find(root, e.Remove)
		if err != nil {
			return nil, err
		}
		return t.remove(at), nil
	case e.Insert != nil:
		at, err := insertTarget(root, e)
		if err != nil {
			return nil, err
		}
		return t.insert(at, e), nil
	}
	texts, err := renaming(root, e.Rename, e.To.Text)
	if err != nil {
		return nil, err
	}
	var cuts []cut
	for n, s := range texts {
		cuts = append(cuts, cut{n.start, n.end, scalarText(s, true, t.quoteOf(n))})
	}
	return cuts, nil
}

// quoteOf is the quote mark a scalar stands in, or 0.
func (t *text) quoteOf(n *node) byte {
	if n.form == scalar && !n.plain && !n.block && n.start < len(t.src) && (t.src[n.start] == '"' || t.src[n.start] == '\'') {
		return t.src[n.start]
	}
	return 0
}

// replace writes another value where one stands.
func (t *text) replace(at *target, v *shop.Value) []cut {
	n := at.node
	if at.inFlow() || n.flow && at.parent().flow {
		return []cut{{n.start, t.spaced(n), t.glue(n, t.oneLine(n, v, true))}}
	}
	line := t.line(n.start)
	column := utf8.RuneCountInString(t.src[t.lines[line-1]:n.start])
	parent := at.parent()
	if n.form != scalar && !n.flow { // a block over lines of its own
		if parent.form == list {
			return []cut{{n.start, t.lineEnd(t.line(n.end)), t.blockOr(v, column, n.pos.Column-1, line)}}
		}
		key := parent.keys[at.last()]
		colon := t.afterColon(key.end)
		end := t.lineEnd(t.line(n.end))
		if s := lineText(v, column+1); s != "" {
			return []cut{{colon, colon, " " + s}, {t.lineEnd(t.line(colon)), end, ""}}
		}
		nl := t.newline(line)
		return []cut{{t.lineEnd(t.line(colon)), end, nl + strings.Join(blockLines(v, key.pos.Column+1), nl)}}
	}
	if parent.form == list && v.Kind != shop.Scalar {
		return []cut{{n.start, n.end, t.glue(n, t.blockOr(v, column, n.pos.Column-1, line))}}
	}
	if s := lineText(v, column); s != "" {
		return []cut{{n.start, n.end, t.glue(n, t.oneLine(n, v, false))}}
	}
	// the key stays on its line with its comment, the lines of the block follow
	key := parent.keys[at.last()]
	nl := t.newline(line)
	from := n.start
	for from > key.end && t.src[from-1] == ' ' {
		from--
	}
	after := t.lineEnd(t.line(n.end))
	return []cut{{from, n.end, ""}, {after, after, nl + strings.Join(blockLines(v, key.pos.Column+1), nl)}}
}

// spaced is the end of a value; where nothing is written the blanks before a comma or brace are part of it.
func (t *text) spaced(n *node) int {
	end := n.end
	for n.null && end < len(t.src) && t.src[end] == ' ' {
		end++
	}
	if end < len(t.src) && strings.IndexByte(",]}", t.src[end]) >= 0 {
		return end
	}
	return n.end
}

// glue puts a space before a value that is written where nothing stood.
func (t *text) glue(n *node, s string) string {
	if !n.null || n.start != n.end {
		return s
	}
	switch {
	case n.start > 0 && t.src[n.start-1] == ':':
		return " " + s
	case n.start > 0 && t.src[n.start-1] == '-':
		return " " + s
	case n.start > 0 && t.src[n.start-1] != ' ':
		return ": " + s
	}
	return s
}

// oneLine writes a value on one line; a text keeps the quotes it had.
func (t *text) oneLine(n *node, v *shop.Value, inFlow bool) string {
	if v.Kind == shop.Scalar {
		quote := t.quoteOf(n)
		if _, word := map[string]bool{"unknown": true, "none": true, "drawn": true, "true": true, "false": true, "cap": true}[v.Text]; word {
			quote = 0 // in quotes it would be a text
		}
		return scalarText(v.Text, inFlow, quote)
	}
	var b strings.Builder
	writeFlow(&b, v, inFlow)
	return b.String()
}

// blockOr writes a list item's value: on its line if it fits, else as a block that starts there.
func (t *text) blockOr(v *shop.Value, column, indent, line int) string {
	if s := itemText(v, column); s != "" {
		return s
	}
	lines := blockLines(v, indent)
	return strings.TrimLeft(strings.Join(lines, t.newline(line)), " ")
}

// newline is how the lines around end.
func (t *text) newline(line int) string {
	for _, l := range [...]int{line, line - 1} {
		if l >= 1 && l < len(t.lines) {
			if end := t.lines[l]; end >= 2 && t.src[end-2] == '\r' {
				return "\r\n"
			}
			return "\n"
		}
	}
	return "\n"
}

// newKey adds a key to a map.
func (t *text) newKey(at *target, key string, v *shop.Value) []cut {
	n := at.node
	if n.flow || at.inFlow() {
		return []cut{t.intoFlow(n, len(n.items), scalarText(key, true, 0)+": "+flowText(v))}
	}
	return []cut{t.linesAfter(n, len(n.items)-1, t.pairLines(key, v, n.pos.Column-1))}
}

func (t *text) pairLines(key string, v *shop.Value, indent int) []string {
	return blockLines(&shop.Value{Kind: shop.Map, Keys: []string{key}, Items: []shop.Value{*v}}, indent)
}

// intoFlow writes an item into brackets before item i, or at the end.
func (t *text) intoFlow(n *node, i int, s string) cut {
	switch {
	case len(n.items) == 0:
		return cut{n.start + 1, n.start + 1, s}
	case i < len(n.items):
		from := n.itemStart(i)
		return cut{from, from, s + ", "}
	}
	end := n.items[len(n.items)-1].end
	return cut{end, end, ", " + s}
}

// itemStart is where an item starts: a pair at its key.
func (n *node) itemStart(i int) int {
	if n.form == dict {
		return n.keys[i].start
	}
	return n.items[i].start
}

// linesAfter writes lines of their own below item i of a block.
func (t *text) linesAfter(n *node, i int, lines []string) cut {
	last := t.line(n.items[i].end)
	last = t.trailing(last, n.pos.Column)
	at := t.lineEnd(last)
	nl := t.newline(last)
	return cut{at, at, nl + strings.Join(lines, nl)}
}

// trailing are comment lines right below a thing that are set in deeper than it: they are its own.
func (t *text) trailing(last, column int) int {
	for last < len(t.lines) {
		s := t.lineText(last + 1)
		body := strings.TrimLeft(s, " ")
		if !strings.HasPrefix(body, "#") || len(s)-len(body) < column {
			break
		}
		last++
	}
	return last
}

// leading is the first of the comment lines right above a line that belong to it: as far in, no blank line between.
func (t *text) leading(first, column int) int {
	for first > 1 {
		s := t.lineText(first - 1)
		body := strings.TrimLeft(s, " ")
		if !strings.HasPrefix(body, "#") || len(s)-len(body) != column-1 {
			break
		}
		first--
	}
	return first
}

func (t *text) insert(at *target, e shop.Edit) []cut {
	n, i := at.parent(), at.last()
	if e.After != "" {
		i++
	}
	inFlow := n.flow
	for _, w := range at.way {
		inFlow = inFlow || w.flow
	}
	if inFlow {
		s := flowText(e.Insert)
		if n.form == dict {
			s = s[1 : len(s)-1]
		}
		return []cut{t.intoFlow(n, i, s)}
	}
	holder := &shop.Value{Kind: shop.List, Items: []shop.Value{*e.Insert}}
	if n.form == dict {
		holder = e.Insert
	}
	lines := blockLines(holder, n.pos.Column-1)
	if e.After != "" {
		return []cut{t.linesAfter(n, i-1, lines)}
	}
	from := t.firstByte(n, i)
	line := t.line(from)
	nl := t.newline(line)
	if strings.TrimLeft(t.src[t.lines[line-1]:from], " ") != "" { // after a dash, on one line with it
		return []cut{{from, from, strings.TrimLeft(strings.Join(lines, nl), " ") + nl + strings.Repeat(" ", n.pos.Column-1)}}
	}
	top := t.lines[t.leading(line, n.pos.Column)-1]
	return []cut{{top, top, strings.Join(lines, nl) + nl}}
}

// firstByte is where item i of a block starts: its key, or its dash.
func (t *text) firstByte(n *node, i int) int {
	if n.form == dict {
		return n.keys[i].start
	}
	if i == 0 {
		return n.start
	}
	at := n.items[i].start
	if n.items[i].null && at > 0 && t.src[at-1] == '-' {
		return at - 1
	}
	// the dash is the last one in the list's own column above or on the line of the value
	for line := t.line(at); line >= 1; line-- {
		p := t.lines[line-1] + n.pos.Column - 1
		if p < len(t.src) && p <= at && p < t.lineEnd(line) && t.src[p] == '-' && strings.TrimLeft(t.src[t.lines[line-1]:p], " ") == "" {
			return p
		}
	}
	return at
}

func (t *text) remove(at *target) []cut {
	n, i := at.parent(), at.last()
	if n.flow || at.inFlow() {
		return t.removeFlow(n, i)
	}
	from := t.firstByte(n, i)
	first, last := t.line(from), t.line(n.items[i].end)
	if n.form == dict {
		last = max(last, t.line(n.keys[i].end))
	}
	last = t.trailing(last, n.pos.Column)
	alone := strings.TrimLeft(t.src[t.lines[first-1]:from], " ") == ""
	switch {
	case len(n.items) == 1:
		return t.emptied(at, from, last, alone)
	case !alone && i+1 < len(n.items): // after a dash, on one line with it
		next := t.firstByte(n, i+1)
		if strings.Contains(t.src[t.lineEnd(last):next], "#") {
			for from > 0 && t.src[from-1] == ' ' {
				from--
			}
			return []cut{{from, t.lineEnd(last), ""}}
		}
		return []cut{{from, next, ""}}
	}
	return []cut{t.lineCut(t.leading(first, n.pos.Column), last)}
}

// onlyComment: after this, its line has at most a comma and a comment.
func (t *text) onlyComment(i int) bool {
	rest := strings.TrimLeft(t.src[i:t.lineEnd(t.line(i))], " ,\t")
	return rest == "" || rest[0] == '#'
}

// lineCut takes whole lines out.
func (t *text) lineCut(first, last int) cut {
	from, to := t.lines[first-1], len(t.src)
	if last < len(t.lines) {
		return cut{from, t.lines[last], ""}
	}
	if first > 1 {
		from = t.lineEnd(first - 1) // the file does not end in a line break, and shall not
	}
	return cut{from, to, ""}
}

// emptied takes the only item out of a block: {} or [] stays.
func (t *text) emptied(at *target, from, last int, alone bool) []cut {
	n := at.parent()
	left := "{}"
	if n.form == list {
		left = "[]"
	}
	first := t.line(from)
	if !alone { // the block started after a dash
		return []cut{{from, t.lineEnd(last), left}}
	}
	up := at.way[max(0, len(at.way)-2)]
	j := at.index[max(0, len(at.index)-2)]
	if len(at.way) < 2 {
		return []cut{t.lineCut(t.leading(first, n.pos.Column), last)}
	}
	if up.form == list {
		return []cut{{n.start, t.lineEnd(last), left}}
	}
	colon := t.afterColon(up.keys[j].end)
	return []cut{{colon, colon, " " + left}, t.lineCut(t.leading(first, n.pos.Column), last)}
}

// removeFlow takes an item out of brackets.
func (t *text) removeFlow(n *node, i int) []cut {
	from, to := n.itemStart(i), n.items[i].end
	if n.form == dict {
		to = max(to, n.keys[i].end)
	}
	line := t.line(from)
	sameLine := func(a, b int) bool { return t.line(a) == t.line(b) }
	own := strings.TrimSpace(t.src[t.lines[line-1]:from]) == "" // nothing before it on its line
	if i+1 < len(n.items) {
		next := n.itemStart(i + 1)
		switch {
		case sameLine(to, next):
			return []cut{{from, next, ""}}
		case own:
			return []cut{t.lineCut(line, t.line(to))}
		}
	}
	if i > 0 {
		before := n.items[i-1].end
		if n.form == dict {
			before = max(before, n.keys[i-1].end)
		}
		if own && !sameLine(before, from) && t.onlyComment(to) {
			return []cut{t.lineCut(line, t.line(to))}
		}
		if !strings.Contains(t.src[before:from], "#") {
			return []cut{{before, to, ""}}
		}
	}
	// the only one, or the last after a comment
	end := to
	for end < len(t.src) && (t.src[end] == ' ' || t.src[end] == ',') {
		end++
	}
	if end > to && t.src[end-1] == ' ' && strings.Trim(t.src[to:end], " ") == "" {
		end = to
	}
	return []cut{{from, end, ""}}
}
