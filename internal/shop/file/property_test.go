package file

import (
	"errors"
	"fmt"
	"reflect"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"winnow/internal/shop"
)

// restyler writes a tree anew in a random hand: brackets or lines, quotes, comments, blank lines, line ends. What it says
// stays the same.
type restyler struct {
	t   *rapid.T
	b   strings.Builder
	eol string
}

func (r *restyler) chance(percent int) bool {
	return rapid.IntRange(0, 99).Draw(r.t, "chance") < percent
}

func restyle(t *rapid.T, root *node) string {
	r := &restyler{t: t, eol: rapid.SampledFrom([]string{"\n", "\n", "\r\n"}).Draw(t, "eol")}
	if r.chance(10) {
		r.b.WriteString(byteOrderMark)
	}
	if r.chance(20) {
		r.b.WriteString("---" + r.eol)
	}
	r.block(root, 0, "")
	s := r.b.String()
	if r.chance(30) {
		s = strings.TrimRight(s, "\r\n")
	}
	return s
}

// block writes the children of a list or map, one a line. head is what already stands on the first line.
func (r *restyler) block(n *node, indent int, head string) {
	pad := strings.Repeat(" ", indent)
	for i, c := range n.items {
		start := pad
		if i == 0 && head != "" {
			start = head
		} else {
			r.between(indent)
		}
		if n.form == dict {
			start += r.scalar(n.keys[i], false) + ":"
		} else {
			start += "-"
		}
		switch {
		case c.form != scalar && len(c.items) > 0 && !r.chance(50):
			deeper := indent + rapid.IntRange(1, 4).Draw(r.t, "deeper")
			if n.form == list && r.chance(60) { // the first key beside the dash
				gap := strings.Repeat(" ", deeper-indent-1)
				if gap == "" {
					gap, deeper = " ", indent+2
				}
				r.block(c, deeper, start+gap)
				continue
			}
			if n.form == dict && c.form == list && r.chance(30) {
				deeper = indent // a list may stand as far in as its key
			}
			r.b.WriteString(start + r.comment() + r.eol)
			r.block(c, deeper, "")
		case c.null:
			r.b.WriteString(start + r.comment() + r.eol)
		default:
			r.b.WriteString(start + " " + r.inline(c, indent+1, false) + r.comment() + r.eol)
		}
	}
}

func (r *restyler) between(indent int) {
	for r.chance(12) {
		switch rapid.IntRange(0, 2).Draw(r.t, "between") {
		case 0:
			r.b.WriteString(r.eol)
		case 1:
			r.b.WriteString(strings.Repeat(" ", indent) + "# dust: {[ 6\" ]}" + r.eol)
		case 2:
			r.b.WriteString(strings.Repeat(" ", rapid.IntRange(0, 9).Draw(r.t, "stray")) + "# µ stray" + r.eol)
		}
	}
}

func (r *restyler) comment() string {
	if r.chance(12) {
		return "   # it's 5\" : {, ]}"
	}
	return ""
}

// inline writes a value in brackets, perhaps over several lines.
func (r *restyler) inline(n *node, indent int, inFlow bool) string {
	if n.form == scalar {
		return r.scalar(n, inFlow)
	}
	open, shut := "[", "]"
	if n.form == dict {
		open, shut = "{", "}"
	}
	var parts []string
	for i, c := range n.items {
		s := ""
		if n.form == dict {
			s = r.scalar(n.keys[i], true) + ":"
			if !c.null {
				s += " "
			}
		}
		if !c.null || n.form == list {
			s += r.inline(c, indent, true)
		}
		parts = append(parts, s)
	}
	sep, after, before := ", ", "", ""
	if len(parts) > 0 && r.chance(10) {
		line := r.eol + strings.Repeat(" ", indent+1)
		sep, after, before = ","+r.comment()+line, line, r.comment()+line
	}
	if len(parts) > 0 && r.chance(5) {
		before = "," + before
	}
	return open + after + strings.Join(parts, sep) + before + shut
}

func (r *restyler) scalar(n *node, inFlow bool) string {
	if n.null {
		return ""
	}
	words := n.plain && contains([]string{"unknown", "none", "drawn", "cap", "true", "false"}, n.text)
	if !words && r.chance(8) {
		return scalarText(n.text, inFlow, rapid.SampledFrom([]byte{'"', '\''}).Draw(r.t, "quote"))
	}
	return scalarText(n.text, inFlow, 0)
}

// A file written in another hand says the same, and every one of its places can be edited.
func TestAnyHandReadsTheSame(t *testing.T) {
	d := good(t, whole(t))
	rapid.Check(t, func(t *rapid.T) {
		src := restyle(t, d.root)
		other, faults := Parse([]byte(src))
		if len(faults) > 0 {
			t.Fatalf("faults in:\n%s\n%s", src, texts(faults))
		}
		if !reflect.DeepEqual(other.Shop(), d.Shop()) {
			t.Fatalf("another shop in:\n%s", src)
		}
		checkSpans(t, other)
	})
}

// checkSpans: the bytes a node covers read as that node.
func checkSpans(t *rapid.T, d *Doc) {
	var walk func(n *node)
	walk = func(n *node) {
		if n.form == scalar && n.plain && !strings.Contains(d.src[n.start:n.end], "\n") && d.src[n.start:n.end] != n.text {
			t.Fatalf("line %d: %q covers %q", n.pos.Line, n.text, d.src[n.start:n.end])
		}
		if n.flow && !n.bare {
			first, last := d.src[n.start], d.src[n.end-1]
			if n.form == list && (first != '[' || last != ']') || n.form == dict && (first != '{' || last != '}') {
				t.Fatalf("line %d: covers %q", n.pos.Line, d.src[n.start:n.end])
			}
		}
		for i, c := range n.items {
			if n.form == dict {
				walk(n.keys[i])
			}
			walk(c)
		}
	}
	walk(d.root)
}

// randomEdit draws an edit of a file; many will be refused, and that is looked at elsewhere.
func randomEdit(t *rapid.T, d *Doc) shop.Edit {
	var paths []shop.Path
	kinds := map[shop.Path]*node{}
	for n, p := range pathsOf(d.root) {
		if p != "" && (n.form != scalar || kinds[p] == nil) {
			if kinds[p] == nil {
				paths = append(paths, p)
			}
			kinds[p] = n
		}
	}
	slices.Sort(paths)
	p := rapid.SampledFrom(paths).Draw(t, "path")
	n := d.nodeAt(p)
	v := valueOf(n)
	switch rapid.IntRange(0, 5).Draw(t, "edit") {
	case 0:
		return shop.Edit{Remove: p, Was: &v}
	case 1:
		return shop.Edit{Set: p.Join("note"), To: shop.Text(rapid.SampledFrom([]string{"a", "x, y", "it's", "no", "a: b", "µm # 5", "two\nlines", "", "-", "{"}).Draw(t, "note"))}
	case 2:
		return shop.Edit{Set: p, Was: &v, To: shop.Text("unknown")}
	case 3:
		q := rapid.SampledFrom(paths).Draw(t, "other")
		w := valueOf(d.nodeAt(q))
		return shop.Edit{Set: p, To: &w}
	case 4:
		return shop.Edit{Rename: p, To: shop.Text(rapid.SampledFrom([]string{"new name", "Ünal", "x1"}).Draw(t, "name"))}
	}
	item := &v
	if parent := d.nodeAt(p.Parent()); parent.form == dict {
		item = &shop.Value{Kind: shop.Map, Keys: []string{"one more"}, Items: []shop.Value{v}}
	}
	if rapid.Bool().Draw(t, "before") {
		return shop.Edit{Insert: item, Before: p}
	}
	return shop.Edit{Insert: item, After: p}
}

func (d *Doc) nodeAt(p shop.Path) *node {
	way, _ := d.root.follow(p)
	return way[len(way)-1]
}

// Whatever an edit may be: if the tree takes it, the text takes it too and says the same; if not, the refusal is in words.
func TestTextFollowsTree(t *testing.T) {
	d := good(t, whole(t))
	taken := 0
	rapid.Check(t, func(t *rapid.T) {
		file, faults := Parse([]byte(restyle(t, d.root)))
		if len(faults) > 0 {
			t.Fatal(texts(faults))
		}
		for range 3 {
			e := randomEdit(t, file)
			want, err := file.Try(e)
			var refused *EditError
			if err != nil {
				if !errors.As(err, &refused) || refused.What == "" {
					t.Fatalf("refused without a word: %v", err)
				}
				continue
			}
			next, err := file.Apply(e)
			if err != nil {
				t.Fatalf("%+v: %v\n%s", e, err, file.src)
			}
			if !reflect.DeepEqual(next.Shop(), want) {
				t.Fatalf("%+v: text and tree differ", e)
			}
			taken++
			file = next
		}
	})
	t.Logf("%d edits taken", taken)
	if taken == 0 {
		t.Error("no edit was ever taken")
	}
}

// An item put in and taken out again leaves the file as it was, byte by byte.
func TestInsertThenRemoveIsTheSameFile(t *testing.T) {
	d := good(t, whole(t))
	done := 0
	rapid.Check(t, func(t *rapid.T) {
		file, faults := Parse([]byte(restyle(t, d.root)))
		if len(faults) > 0 {
			t.Fatal(texts(faults))
		}
		for range 3 {
			e := randomEdit(t, file)
			for e.Insert == nil && !(e.Set != "" && e.Set.Last() == "note") {
				e = randomEdit(t, file)
			}
			if _, has := file.Value(e.Set); e.Set != "" && has {
				continue
			}
			if parent := file.nodeAt(e.Set.Parent()); e.Set != "" && (parent.null || parent.form != dict) {
				continue // the braces that hold the new key stay when it goes
			}
			next, err := file.Apply(e)
			if err != nil {
				continue
			}
			out := shop.Edit{Remove: e.Set}
			if e.Insert != nil {
				out.Remove = inserted(file, e)
			}
			back, err := next.Apply(out)
			if err != nil {
				t.Fatalf("%+v then %+v: %v\n%s", e, out, err, next.src)
			}
			if back.src != file.src {
				t.Fatalf("%+v then %+v:\n%s", e, out, strings.Join(diff(file.src, back.src), "\n"))
			}
			done++
		}
	})
	t.Logf("%d there and back", done)
	if done == 0 {
		t.Error("nothing was ever inserted")
	}
}

// inserted is the path of what an insert brought: by its number, which is never in doubt.
func inserted(d *Doc, e shop.Edit) shop.Path {
	anchor := e.Before + e.After
	parent := anchor.Parent()
	if e.Insert.Kind == shop.Map && d.nodeAt(parent).form == dict {
		return parent.Join(e.Insert.Keys[0])
	}
	i := d.nodeAt(parent).step(anchor.Last())
	if e.After != "" {
		i++
	}
	return parent.Join(fmt.Sprint(i + 1))
}
