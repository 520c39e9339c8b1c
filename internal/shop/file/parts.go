package file

import (
	"reflect"

	"winnow/internal/shop"
)

// ParseValue reads a value as it would stand behind a key of a shop file: `5 in`, `[4 in, 5 in]`, `{size: 4 in}`. What may
// stand where is asked when an edit is made of it.
func ParseValue(text string) (*shop.Value, []Fault) {
	const before = "x: "
	if faults := foreign([]byte(text)); faults != nil {
		return nil, newText(text).finish(faults, nil)
	}
	root, faults := readTree(newText(before + text))
	if len(faults) == 0 && (root.form != dict || len(root.items) != 1 || root.keys[0].text != "x") {
		faults = []Fault{{Code: Syntax, Pos: Pos{1, len(before) + 1}, What: "this is more than one value", Cure: "Put a list in brackets, a map in braces, and text with a colon in quotes.", span: 1}}
	}
	if len(faults) > 0 {
		for i := range faults {
			if faults[i].Pos.Line == 1 {
				faults[i].Pos.Column = max(1, faults[i].Pos.Column-len(before))
			}
		}
		return nil, newText(text).finish(faults, nil)
	}
	v := valueOf(root.items[0])
	return &v, nil
}

// ParseEdits reads a list of edits, or one alone, as YAML or JSON: the same language as the `change` of an option.
func ParseEdits(src []byte) ([]shop.Edit, []Fault) {
	t := newText(string(src))
	if faults := foreign(src); faults != nil {
		return nil, t.finish(faults, nil)
	}
	root, faults := readTree(t)
	if root == nil || len(faults) > 0 {
		return nil, t.finish(faults, root)
	}
	items := root
	if root.form == dict && !root.null {
		items = &node{form: list, items: []*node{root}, pos: root.pos}
	}
	d := &decoder{}
	var edits []shop.Edit
	if items.form != list || len(items.items) == 0 {
		d.fault(root, EmptyFile, "there is no edit here", "Write {set: PATH, to: VALUE}, or a list of such edits.")
	} else {
		d.value(items, grammarOf(reflect.TypeFor[[]shop.Edit]()), nil, reflect.ValueOf(&edits).Elem())
		for _, e := range d.edits {
			d.pathOf(e)
		}
	}
	if len(d.faults) > 0 {
		return nil, t.finish(d.faults, items)
	}
	return edits, nil
}
