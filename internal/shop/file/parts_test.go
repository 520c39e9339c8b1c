package file

import (
	"reflect"
	"testing"

	"winnow/internal/shop"
)

func TestParseValue(t *testing.T) {
	for _, test := range []struct {
		text string
		want shop.Value
	}{
		{"5 in", shop.Value{Text: "5 in"}},
		{"7' 6\"", shop.Value{Text: "7' 6\""}},
		{"'no'", shop.Value{Text: "no"}},
		{"[4 in, 5 in]", shop.Value{Kind: shop.List, Items: []shop.Value{{Text: "4 in"}, {Text: "5 in"}}}},
		{"{size: 4 in}", shop.Value{Kind: shop.Map, Keys: []string{"size"}, Items: []shop.Value{{Text: "4 in"}}}},
		{"{\"size\": \"4 in\",\n \"side\": \"top\"}", shop.Value{Kind: shop.Map, Keys: []string{"size", "side"}, Items: []shop.Value{{Text: "4 in"}, {Text: "top"}}}},
	} {
		got, faults := ParseValue(test.text)
		if len(faults) > 0 || !reflect.DeepEqual(*got, test.want) {
			t.Errorf("%s: got %+v %s", test.text, got, texts(faults))
		}
	}
	for text, at := range map[string]Pos{"{size: 4 in": {1, 1}, "a: b": {1, 2}, "x\ny: z": {1, 1}, "[1, &a 2]": {1, 5}, "ab\x00": {1, 3}} {
		v, faults := ParseValue(text)
		if v != nil || len(faults) == 0 || faults[0].Pos != at {
			t.Errorf("%q: got %+v:\n%s", text, v, texts(faults))
		}
	}
}

func TestParseEdits(t *testing.T) {
	want := []shop.Edit{{Set: "machines/planer/port/size", Was: shop.Text("4 in"), To: shop.Text("5 in")}}
	for _, src := range []string{
		"{set: machines/planer/port/size, was: 4 in, to: 5 in}",
		"set: machines/planer/port/size\nwas: 4 in\nto: 5 in\n",
		"# c\n- {set: machines/planer/port/size, was: 4 in, to: 5 in}\n",
		`[{"set": "machines/planer/port/size", "was": "4 in", "to": "5 in"}]`,
	} {
		got, faults := ParseEdits([]byte(src))
		if len(faults) > 0 || !reflect.DeepEqual(got, want) {
			t.Errorf("%s: got %+v\n%s", src, got, texts(faults))
		}
	}
	for _, test := range []struct {
		src  string
		at   Pos
		code *Code
	}{
		{"", Pos{1, 1}, EmptyFile},
		{"[]", Pos{1, 1}, EmptyFile},
		{"planer", Pos{1, 1}, EmptyFile},
		{"- {set: machines/planer/port/size}", Pos{1, 3}, EditShape},
		{"- {remove: machines/planer}\n- {set: machines/planer/prt, to: x}", Pos{2, 25}, EditPath},
		{"- {set: machines/planer/port/size, to: 5}", Pos{1, 40}, NoUnit},
		{"- {sett: x}", Pos{1, 4}, UnknownKey},
		{"[{set: x, to: y}", Pos{1, 1}, Syntax},
	} {
		got, faults := ParseEdits([]byte(test.src))
		if got != nil || len(faults) == 0 || faults[0].Pos != test.at || faults[0].Code != test.code {
			t.Errorf("%q: want %v [%s], got:\n%s", test.src, test.at, test.code.Name, texts(faults))
		}
	}
}
