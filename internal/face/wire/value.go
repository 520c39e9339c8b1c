package wire

import (
	"bytes"
	"encoding/json"
	"fmt"

	"github.com/danielgtaylor/huma/v2"

	"winnow/internal/shop"
)

// Value is a value of the shop file as JSON: text, a list, or an object whose keys keep their order, as they do in the file.
type Value struct{ shop.Value }

func valueOf(v *shop.Value) *Value {
	if v == nil {
		return nil
	}
	return &Value{*v}
}

// MarshalJSON writes the keys in their order.
func (v Value) MarshalJSON() ([]byte, error) {
	switch v.Kind {
	case shop.List:
		items := make([]Value, len(v.Items))
		for i := range v.Items {
			items[i] = Value{v.Items[i]}
		}
		return json.Marshal(items)
	case shop.Map:
		var b bytes.Buffer
		b.WriteByte('{')
		for i, k := range v.Keys {
			if i > 0 {
				b.WriteByte(',')
			}
			key, err := json.Marshal(k)
			if err != nil {
				return nil, err
			}
			item, err := json.Marshal(Value{v.Items[i]})
			if err != nil {
				return nil, err
			}
			b.Write(key)
			b.WriteByte(':')
			b.Write(item)
		}
		b.WriteByte('}')
		return b.Bytes(), nil
	}
	return json.Marshal(v.Text)
}

// deepest is how deep a value of an edit may nest; the grammar needs five.
const deepest = 20

// UnmarshalJSON reads text, numbers, booleans, lists and objects, keeping the order of keys.
func (v *Value) UnmarshalJSON(text []byte) error {
	d := json.NewDecoder(bytes.NewReader(text))
	d.UseNumber()
	out, err := readValue(d, 0)
	if err != nil {
		return err
	}
	v.Value = out
	return nil
}

func readValue(d *json.Decoder, depth int) (shop.Value, error) {
	if depth > deepest {
		return shop.Value{}, fmt.Errorf("a value may nest %d deep, not more", deepest)
	}
	t, err := d.Token()
	if err != nil {
		return shop.Value{}, err
	}
	switch t := t.(type) {
	case string:
		return shop.Value{Text: t}, nil
	case json.Number:
		return shop.Value{Text: t.String()}, nil
	case bool:
		return shop.Value{Text: fmt.Sprint(t)}, nil
	case json.Delim:
		if t == '[' {
			return readList(d, depth)
		}
		return readMap(d, depth)
	}
	return shop.Value{}, fmt.Errorf("null is no value: leave the key out")
}

func readList(d *json.Decoder, depth int) (shop.Value, error) {
	v := shop.Value{Kind: shop.List}
	for d.More() {
		item, err := readValue(d, depth+1)
		if err != nil {
			return v, err
		}
		v.Items = append(v.Items, item)
	}
	_, err := d.Token()
	return v, err
}

func readMap(d *json.Decoder, depth int) (shop.Value, error) {
	v := shop.Value{Kind: shop.Map}
	for d.More() {
		key, err := d.Token()
		if err != nil {
			return v, err
		}
		item, err := readValue(d, depth+1)
		if err != nil {
			return v, err
		}
		v.Keys, v.Items = append(v.Keys, fmt.Sprint(key)), append(v.Items, item)
	}
	_, err := d.Token()
	return v, err
}

// Schema says to OpenAPI that anything goes.
func (Value) Schema(huma.Registry) *huma.Schema {
	return &huma.Schema{Description: "text, a list, or an object"}
}
