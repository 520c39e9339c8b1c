package file

import (
	"strings"

	"winnow/internal/shop"
)

// Doc is a shop file that was read: its text, its tree and its shop. A Doc never changes; edits make another. Several
// goroutines may use one.
type Doc struct {
	*text
	root   *node
	shop   *shop.Shop
	faults []Fault
	kinds  *Vocabulary
}

// Vocabulary lists the kinds that typical values are known for. An empty list leaves its kinds unchecked.
type Vocabulary struct {
	Machines []string
	Ducts    []string // pipe and hose
	Filters  []string
}

// Option changes how a file is read.
type Option func(*Doc)

// WithKinds checks every `kind` against a vocabulary.
func WithKinds(v Vocabulary) Option { return func(d *Doc) { d.kinds = &v } }

// Parse reads a shop file. It finds every fault, in the order of the file; only a fault of syntax hides those in its own
// section, and what names say of each other. The Doc is never nil. With faults its shop holds what could be read: enough to draw, not to judge by.
func Parse(src []byte, options ...Option) (*Doc, []Fault) {
	d := &Doc{}
	for _, o := range options {
		o(d)
	}
	if faults := foreign(src); faults != nil {
		d.text = newText("")
		d.shop = &shop.Shop{}
		d.root = &node{form: dict, null: true, pos: Pos{1, 1}}
		if len(src) > maxBytes {
			src = src[:200]
		}
		d.faults = newText(string(src)).finish(faults, nil)
		return d, d.faults
	}
	d.text = newText(string(src))
	d.read()
	return d, d.faults
}

func (d *Doc) read() {
	root, faults := readTree(d.text)
	d.root, d.shop = root, &shop.Shop{}
	switch {
	case root == nil:
		faults = d.readAround(faults)
	case root.null:
		faults = append(faults, Fault{
			Code: EmptyFile, Pos: Pos{1, 1}, What: "there is nothing in the file",
			Cure: "Start with the line `winnow: 1`, or with an example: winnow new", span: 1,
		})
	case root.form != dict:
		faults = append(faults, Fault{
			Code: WrongShape, Pos: root.pos, What: root.shown() + ", where the keys of a shop belong",
			Cure: "Start with the line `winnow: 1`.", span: 1,
		})
	default:
		var more []Fault
		d.shop, more = decode(root, d.kinds)
		faults = append(faults, more...)
	}
	d.faults = d.finish(faults, d.root)
}

// readAround reads what is left of a file when the sections that cannot be read are left out, one after the other. Names
// are not checked against each other then: what a name speaks of may be in a section that is missing.
func (d *Doc) readAround(faults []Fault) []Fault {
	d.root = &node{form: dict, null: true, pos: Pos{1, 1}}
	lines := strings.SplitAfter(d.src, "\n")
	for range 20 {
		if !emptySection(lines, faults[len(faults)-1].Pos.Line) {
			return faults
		}
		root, more := readTree(newText(strings.Join(lines, "")))
		faults = append(faults, more...)
		if root == nil {
			continue
		}
		if root.form == dict && !root.null {
			d.root = root
			var s shop.Shop
			s, more = decodeLoosely(root)
			d.shop = &s
			faults = append(faults, more...)
		}
		return faults
	}
	return faults
}

// emptySection empties the section that a line is in: from a key at the edge to the next one. It answers whether there
// was anything in it.
func emptySection(lines []string, line int) bool {
	heads := func(i int) bool {
		c := strings.TrimPrefix(lines[i], byteOrderMark)
		return c != "" && strings.IndexByte(" #-\r\n\t%]}.", c[0]) < 0
	}
	from := min(line, len(lines)) - 1
	for from > 0 && !heads(from) {
		from--
	}
	found := false
	for i := from; i < len(lines) && (i == from || !heads(i)); i++ {
		rest := strings.TrimRight(lines[i], "\r\n")
		found = found || strings.TrimSpace(rest) != ""
		lines[i] = lines[i][len(rest):]
	}
	return found
}

// Shop is what the file says. It is shared: whoever wants to change it makes an Edit.
func (d *Doc) Shop() *shop.Shop { return d.shop }

// Faults are those Parse found.
func (d *Doc) Faults() []Fault { return d.faults }

// Text is the file as it is written.
func (d *Doc) Text() []byte { return []byte(d.src) }

// Place is the line of a part of the shop. What is not written has the place of the nearest thing above it that is.
func (d *Doc) Place(p shop.Path) Pos {
	way, left := d.root.follow(p)
	n := way[len(way)-1]
	if len(left) == 0 && len(way) > 1 {
		if up := way[len(way)-2]; up.form == dict {
			for i, c := range up.items {
				if c == n {
					return up.keys[i].pos
				}
			}
		}
	}
	if len(way) > 1 && len(left) > 0 {
		return d.Place(shop.Path(p[:len(p)-len(string(shop.Path("").Join(left...)))-1]))
	}
	return n.pos
}

// Value is a part of the file as data, as an edit would write it; false if it is not written.
func (d *Doc) Value(p shop.Path) (*shop.Value, bool) {
	way, left := d.root.follow(p)
	if len(left) > 0 {
		return nil, false
	}
	v := valueOf(way[len(way)-1])
	return &v, true
}
