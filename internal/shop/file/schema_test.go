package file

import (
	"bytes"
	"encoding/json"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v6"
)

const docs = "../../../docs"

func TestSchemaAndKeyTableAreUpToDate(t *testing.T) {
	compareGolden(t, filepath.Join(docs, "shop.schema.json"), string(Schema()))
	name := filepath.Join(docs, "shop-file.md")
	text := string(read(t, name))
	text = inside(t, text, "keys", KeyTable())
	text = inside(t, text, "codes", CodeTable())
	compareGolden(t, name, text)
}

// inside puts a made part between its marks.
func inside(t *testing.T, text, what, made string) string {
	t.Helper()
	from, to := "<!-- "+what+": made by go test ./internal/shop/file -update -->\n", "<!-- end of "+what+" -->\n"
	before, rest, ok := strings.Cut(text, from)
	_, after, ok2 := strings.Cut(rest, to)
	if !ok || !ok2 {
		t.Fatalf("the guide has no place for the %s", what)
	}
	return before + from + "\n" + made + to + after
}

// Every example in the guide reads without a fault.
func TestExamplesInTheGuide(t *testing.T) {
	parts := strings.Split(string(read(t, filepath.Join(docs, "shop-file.md"))), "```yaml\n")[1:]
	if len(parts) < 8 {
		t.Fatalf("only %d examples", len(parts))
	}
	for _, p := range parts {
		src, _, _ := strings.Cut(p, "```")
		if !strings.Contains(src, "winnow: 1") {
			src = "winnow: 1\n" + src
		}
		_, faults := Parse([]byte(src))
		if len(faults) > 0 {
			t.Errorf("%s\n%s", src, texts(faults))
		}
	}
}

func compiledSchema(t *testing.T) *jsonschema.Schema {
	t.Helper()
	doc, err := jsonschema.UnmarshalJSON(bytes.NewReader(Schema()))
	if err != nil {
		t.Fatal(err)
	}
	c := jsonschema.NewCompiler()
	if err := c.AddResource("shop.schema.json", doc); err != nil {
		t.Fatal(err)
	}
	s, err := c.Compile("shop.schema.json")
	if err != nil {
		t.Fatal(err)
	}
	return s
}

var wholeNumber, bareNumber = regexp.MustCompile(`^[0-9]+$`), regexp.MustCompile(`^-?[0-9]+(\.[0-9]+)?$`)

// plainJSON is a tree as YAML 1.2 editors see it: bare numbers, true and false are no texts.
func plainJSON(n *node) any {
	switch {
	case n.form == list:
		out := make([]any, len(n.items))
		for i, c := range n.items {
			out[i] = plainJSON(c)
		}
		return out
	case n.form == dict:
		out := map[string]any{}
		for i, c := range n.items {
			out[n.keys[i].text] = plainJSON(c)
		}
		return out
	case n.null:
		return nil
	case n.plain && (n.text == "true" || n.text == "false"):
		return n.text == "true"
	case n.plain && bareNumber.MatchString(n.text) && (wholeNumber.MatchString(n.text) || strings.Contains(n.text, ".")):
		f, _ := strconv.ParseFloat(n.text, 64)
		return json.Number(strconv.FormatFloat(f, 'f', -1, 64))
	}
	return n.text
}

// Every key says what it is for: an editor shows it, and the guide.
func TestEveryKeyHasAWord(t *testing.T) {
	good(t, whole(t)) // works all of the grammar out
	seen := 0
	for _, g := range grammars {
		for _, f := range g.fields {
			if f.key == "*" || f.key == "~" {
				continue
			}
			seen++
			if f.help == "" {
				t.Errorf("%s of %s says nothing", f.key, kebab(g.typ))
			}
		}
	}
	if seen < 200 {
		t.Errorf("only %d keys", seen)
	}
}

// The schema is judged by an implementation of JSON Schema that is not ours.
func TestSchemaTakesGoodFilesAndRefusesBadOnes(t *testing.T) {
	schema := compiledSchema(t)
	for _, name := range goodFiles(t) {
		d := good(t, read(t, name))
		if err := schema.Validate(plainJSON(d.root)); err != nil {
			t.Errorf("%s: %v", name, err)
		}
	}
	// faults that a schema can express; the rest need units, the calendar, or the whole file
	for _, name := range []string{
		"no-version", "wrong-version", "unknown-key", "wrong-shape", "both-forms", "says-nothing", "says-two", "not-for-this",
		"no-unit", "not-a-count", "not-true-or-false", "not-one-of", "bad-point", "bad-corners", "bad-name", "none-not-here", "drawn-not-here",
		"bad-hours", "bad-money",
	} {
		root, faults := readTree(newText(string(badFile(t, name))))
		if root == nil || len(faults) > 0 {
			t.Fatalf("%s: %s", name, texts(faults))
		}
		if err := schema.Validate(plainJSON(root)); err == nil {
			t.Errorf("%s: the schema takes it", name)
		}
	}
}

func goodFiles(t testing.TB) []string {
	t.Helper()
	files, err := filepath.Glob(filepath.Join(testdata, "shop", "*.yaml"))
	if err != nil || len(files) == 0 {
		t.Fatal("no good files", err)
	}
	return files
}
