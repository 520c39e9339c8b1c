package file

import (
	"bytes"
	"encoding/json"
	"reflect"
	"strings"
	"unicode"

	"winnow/internal/shop"
	"winnow/internal/unit"
)

// Schema is the grammar as JSON Schema 2020-12, for editors: completion, a word about each key, and marks under what
// cannot be. It knows less than Parse: units, names against each other and the way of the air are beyond it.
func Schema() []byte {
	s := &schemaMaker{defs: object{}}
	root := s.structure(shopGrammar())
	root.set("required", []string{"winnow"})
	out := object{
		{"$schema", "https://json-schema.org/draft/2020-12/schema"},
		{"title", "Winnow shop file, version 1"},
	}
	out = append(out, root...)
	out = append(out, pair{"$defs", s.defs})
	var b bytes.Buffer
	enc := json.NewEncoder(&b)
	enc.SetEscapeHTML(false)
	enc.SetIndent("", " ")
	if err := enc.Encode(out); err != nil {
		panic(err) // only texts and maps of ours are in it
	}
	return b.Bytes()
}

// object is a JSON object that keeps its order.
type object []pair

type pair struct {
	key   string
	value any
}

func (o *object) set(key string, value any) { *o = append(*o, pair{key, value}) }

// MarshalJSON writes the pairs in order.
func (o object) MarshalJSON() ([]byte, error) {
	var b bytes.Buffer
	b.WriteByte('{')
	for i, p := range o {
		if i > 0 {
			b.WriteByte(',')
		}
		k, err := json.Marshal(p.key)
		if err != nil {
			return nil, err
		}
		var v bytes.Buffer
		enc := json.NewEncoder(&v)
		enc.SetEscapeHTML(false)
		if err := enc.Encode(p.value); err != nil {
			return nil, err
		}
		b.Write(k)
		b.WriteByte(':')
		b.Write(bytes.TrimSpace(v.Bytes()))
	}
	b.WriteByte('}')
	return b.Bytes(), nil
}

type schemaMaker struct{ defs object }

func (s *schemaMaker) has(name string) bool {
	for _, p := range s.defs {
		if p.key == name {
			return true
		}
	}
	return false
}

// ref puts a schema among the definitions and points to it.
func (s *schemaMaker) ref(name string, make func() object) object {
	if !s.has(name) {
		i := len(s.defs)
		s.defs.set(name, nil) // first, as a block may hold itself
		s.defs[i].value = make()
	}
	return object{{"$ref", "#/$defs/" + name}}
}

// unsaid lets `unknown`, or nothing, stand for anything.
func unsaid(also ...string) object {
	return object{{"enum", append([]any{"unknown", nil}, anys(also)...)}}
}

func anys(words []string) []any {
	out := make([]any, len(words))
	for i, w := range words {
		out[i] = w
	}
	return out
}

func either(options ...object) object { return object{{"anyOf", options}} }

func (s *schemaMaker) of(g *grammar, f *field) object {
	switch g.shape {
	case asMaybe:
		return either(unsaid("none"), s.of(g.elem, f))
	case asStruct:
		return either(unsaid(), s.ref(kebab(g.typ), func() object { return s.structure(g) }))
	case asNamed:
		return either(unsaid("none"), s.named(g))
	case asList:
		o := object{{"type", "array"}, {"items", s.of(g.elem, f)}}
		if g.typ == reflect.TypeFor[[]shop.Point]() {
			o.set("minItems", 3)
		}
		if g.typ == reflect.TypeFor[[]shop.FanPoint]() {
			o.set("minItems", 2)
		}
		options := []object{unsaid("none"), o}
		if f != nil && f.single {
			options = append(options, s.of(g.elem, f))
		}
		return either(options...)
	}
	return s.leaf(g, f)
}

const namePattern = "^[^\\s0-9/~:,#\"'`“”‘’\\[\\]{}()<>|*&!%@?=+.;_-][^/~:,#\"'`“”‘’]*$"

func (s *schemaMaker) named(g *grammar) object {
	item := g.elem
	value := s.of(item, nil)
	if item.whole != nil {
		value = s.of(item.whole.grammar, item.whole)
	}
	return object{{"type", "object"}, {"propertyNames", s.ref("name", func() object {
		return object{{"pattern", namePattern}, {"not", object{{"enum", reserved}}}}
	})}, {"additionalProperties", value}}
}

func (s *schemaMaker) structure(g *grammar) object {
	properties := object{}
	var exclusive []object
	needs := object{}
	for _, f := range g.fields {
		switch f.key {
		case "*", "~", "=":
			continue
		}
		properties.set(f.key, s.property(f, f.grammar, f))
		if f.one != "" {
			one := singular(f)
			under := (*field)(nil)
			if inner := one.keys[f.one]; inner != nil {
				one, under = inner.grammar, inner
			}
			p := s.property(f, one, under)
			if f.shape == asMaybe {
				p = described(f, either(unsaid("none"), s.of(one, under)))
			}
			properties.set(f.one, p)
			exclusive = append(exclusive, notBoth(f.key, f.one))
		}
		for _, other := range f.not {
			exclusive = append(exclusive, notBoth(f.key, other))
		}
		if f.only != nil {
			var any []object
			for _, kind := range f.only {
				any = append(any, object{{"required", []string{kind}}})
			}
			needs.set(f.key, either(any...))
		}
	}
	o := object{{"type", "object"}, {"properties", properties}}
	if g.rest != nil {
		o.set("additionalProperties", s.of(g.rest.elem.whole.grammar, g.rest.elem.whole))
	} else {
		o.set("additionalProperties", false)
	}
	if g.whats != nil {
		var one []object
		for _, f := range g.whats {
			one = append(one, object{{"required", []string{f.key}}})
		}
		o.set("oneOf", one)
	}
	if exclusive != nil {
		o.set("allOf", exclusive)
	}
	if len(needs) > 0 {
		o.set("dependentSchemas", needs)
	}
	return o
}

func notBoth(a, b string) object {
	return object{{"not", object{{"required", []string{a, b}}}}}
}

func (s *schemaMaker) property(f *field, g *grammar, under *field) object {
	if f.key == "winnow" {
		return described(f, object{{"const", 1}})
	}
	return described(f, s.of(g, under))
}

func described(f *field, o object) object {
	if f.help == "" {
		return o
	}
	return append(object{{"description", f.help}}, o...)
}

// anyQuantity is a number with something after it; which unit, the program says.
const anyQuantity = "[0-9½¼¾⅛⅜⅝⅞][^0-9]*[^0-9\\s.,/±+-]"

func (s *schemaMaker) leaf(g *grammar, f *field) object {
	switch g.typ {
	case reflect.TypeFor[string]():
		if f != nil && f.of != nil {
			return object{{"enum", append(anys(f.of), "unknown", nil)}}
		}
		return object{{"type", []string{"string", "number", "null"}}}
	case reflect.TypeFor[int]():
		return either(unsaid(), object{{"type", "integer"}, {"minimum", 0}})
	case reflect.TypeFor[bool]():
		return object{{"enum", []any{true, false, "unknown", nil}}}
	case reflect.TypeFor[unit.Amount[unit.Number]]():
		number := []object{{{"type", "number"}}, {{"type", "string"}, {"pattern", "[0-9]"}}}
		if f != nil && f.positive {
			return either(append([]object{unsaid()}, number...)...)
		}
		return either(append([]object{unsaid("none")}, number...)...)
	case reflect.TypeFor[unit.Date]():
		return either(unsaid(), object{{"type", "string"}, {"pattern", "^[0-9]{4}-[0-9]{2}-[0-9]{2}$"}})
	case reflect.TypeFor[shop.Point]():
		return either(unsaid(), s.ref("point", func() object {
			length := object{{"type", "string"}, {"pattern", anyQuantity}}
			return object{{"type", "array"}, {"prefixItems", []object{length, length}}, {"items", either(unsaid(), length)}, {"minItems", 2}, {"maxItems", 3}, {"examples", []any{[]string{"16 ft", "8 ft"}}}}
		}))
	case reflect.TypeFor[shop.FanPoint]():
		return s.ref("curve-point", func() object {
			q := object{{"type", "string"}, {"pattern", anyQuantity}}
			return object{{"type", "array"}, {"items", q}, {"minItems", 2}, {"maxItems", 2}}
		})
	case reflect.TypeFor[shop.From]():
		return either(unsaid(), object{{"type", "string"}}, object{{"type", "array"}, {"items", object{{"type", "string"}}}})
	case reflect.TypeFor[*shop.Value]():
		return object{}
	case reflect.TypeFor[shop.Path]():
		return object{{"type", "string"}}
	case reflect.TypeFor[unit.Hours]():
		return either(unsaid(), object{{"type", "string"}, {"pattern", "([0-9] ?[ap]\\.?m\\.?|noon|midnight) to "}})
	}
	var words []string
	if f == nil || !f.positive {
		words = append(words, "none")
	}
	if f != nil && f.drawn {
		words = append(words, "drawn")
	}
	name := strings.ReplaceAll(strings.TrimPrefix(strings.TrimPrefix(g.leaf.what, "an "), "a "), " ", "-")
	return either(unsaid(words...), s.ref(name, func() object {
		return object{{"type", "string"}, {"description", g.leaf.what}, {"pattern", anyQuantity}, {"examples", []string{g.leaf.example}}}
	}))
}

// kebab is the name of a block as words: air-cleaner.
func kebab(t reflect.Type) string {
	var b strings.Builder
	for i, r := range t.Name() {
		if unicode.IsUpper(r) && i > 0 {
			b.WriteByte('-')
		}
		b.WriteRune(unicode.ToLower(r))
	}
	return b.String()
}
