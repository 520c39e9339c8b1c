package shop

// Path names one thing of the file: keys joined by /, e.g. systems/collector/runs/long hose/pieces/hose 1.
// A piece is its kind with its name (`gate saw gate`), or its number of that kind in the run, from 1 (`pipe 2`);
// items of other lists are counted from 1.
type Path string

// Edit is the one language of change: the page sends it, a remedy proposes it, an option is a list of it.
// Exactly one of Set, Remove, Rename and Insert is used.
type Edit struct {
	Set    Path   `key:"set,what,ref=path" help:"the value to write, new or not"`
	Remove Path   `key:"remove,what,ref=path" help:"what to take out, with its own comment"`
	Rename Path   `key:"rename,what,ref=path" help:"mends all references"`
	Insert *Value `key:"insert,what" help:"an item of a list, with before or after"`
	Before Path   `key:"before,ref=path,not=after" help:"where to insert"`
	After  Path   `key:"after,ref=path" help:"where to insert"`
	To     *Value `key:"to" help:"the new value, or the new name"`
	Was    *Value `key:"was" help:"guard: if the file says something else by then, the edit no longer fits"`
}

// Target is the path an edit is about.
func (e Edit) Target() Path {
	for _, p := range []Path{e.Set, e.Remove, e.Rename, e.Before, e.After} {
		if p != "" {
			return p
		}
	}
	return ""
}

// Value is a piece of the file's grammar as data: a scalar as its text, a list, or a map in order.
// Exactly one of the three is used; Keys and Items run in parallel for a map.
type Value struct {
	Text  string
	Keys  []string
	Items []Value
	Kind  ValueKind
}

// ValueKind says which of the three a Value is.
type ValueKind uint8

// The three kinds of Value.
const (
	Scalar ValueKind = iota
	List
	Map
)

// Text returns a scalar Value.
func Text(s string) *Value { return &Value{Text: s} }

// Trial applies edits to the shop a study was given and returns the changed shop; nothing is written.
type Trial func(...Edit) (*Shop, error)

// Value is the edit as it is written under an option's `change`.
func (e Edit) Value() Value {
	v := Value{Kind: Map}
	put := func(key string, item *Value) {
		if item != nil {
			v.Keys, v.Items = append(v.Keys, key), append(v.Items, *item)
		}
	}
	path := func(p Path) *Value {
		if p == "" {
			return nil
		}
		return Text(string(p))
	}
	put("set", path(e.Set))
	put("remove", path(e.Remove))
	put("rename", path(e.Rename))
	put("insert", e.Insert)
	put("before", path(e.Before))
	put("after", path(e.After))
	put("was", e.Was)
	put("to", e.To)
	return v
}

// Keep writes edits into the file as an option, to be weighed later. The price is written as money: `95 USD`; "" leaves it out.
func Keep(name ID, price string, edits []Edit) []Edit {
	option := &Value{Kind: Map}
	if price != "" {
		option.Keys, option.Items = append(option.Keys, "price"), append(option.Items, Value{Text: price})
	}
	change := Value{Kind: List}
	for _, e := range edits {
		change.Items = append(change.Items, e.Value())
	}
	option.Keys, option.Items = append(option.Keys, "change"), append(option.Items, change)
	return []Edit{{Set: Path("options").Join(name), To: option}}
}
