package file

import (
	"bytes"
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/goccy/go-yaml"
	"github.com/google/go-cmp/cmp"
)

// Files that would eat memory or time are refused at once.
func TestMonstersAreRefusedQuickly(t *testing.T) {
	var bomb, stairs strings.Builder
	bomb.WriteString("winnow: 1\nnote0: &a0 [x, x, x, x, x, x, x, x, x]\n")
	for i := 1; i < 12; i++ {
		fmt.Fprintf(&bomb, "note%d: &a%d [%s*a%d]\n", i, i, strings.Repeat(fmt.Sprintf("*a%d, ", i-1), 8), i-1)
	}
	for i := range 2000 {
		stairs.WriteString(strings.Repeat(" ", i) + "a:\n")
	}
	for _, m := range []struct {
		name string
		src  []byte
		code *Code
	}{
		{"100 MB", bytes.Repeat([]byte("# dust\n"), 100<<20/7), TooBig},
		{"10,000 brackets", []byte("winnow: 1\nnote: " + strings.Repeat("[", 10000)), TooDeep},
		{"10,000 braces", []byte("winnow: 1\nnote: " + strings.Repeat("{a: ", 10000)), TooDeep},
		{"10,000 dashes", []byte("winnow: 1\nnote:\n  " + strings.Repeat("- ", 10000) + "x"), TooDeep},
		{"2,000 steps", []byte(stairs.String()), TooDeep},
		{"alias bomb", []byte(bomb.String()), Anchor},
		{"a million brackets", bytes.Repeat([]byte("["), 1<<20), TooDeep},
	} {
		t.Run(m.name, func(t *testing.T) {
			start := time.Now()
			_, faults := Parse(m.src)
			if took := time.Since(start); took > 3*time.Second {
				t.Errorf("took %v", took)
			}
			found := false
			for _, f := range faults {
				found = found || f.Code == m.code
			}
			if !found {
				t.Errorf("want [%s], got:\n%.500s", m.code.Name, texts(faults))
			}
		})
	}
}

// A long file of one trouble again and again takes time in proportion to its length: four times the length at most eight
// times the time, where time in proportion to the square would be sixteen. The machine may be busy with other things, so
// the better of two goes counts, and three tries are given.
func TestNothingIsSlowerThanItsLength(t *testing.T) {
	many := func(n int, s string) string {
		var b strings.Builder
		for i := range n {
			b.WriteString(strings.ReplaceAll(strings.ReplaceAll(s, "#+", fmt.Sprint(i+1)), "#", fmt.Sprint(i)))
		}
		return b.String()
	}
	const one = "winnow: 1\nmachines: {m: {}}\nsystems:\n  s:\n    runs:\n      main: {from: m, pieces: [{wye: r0}]}\n"
	for name, made := range map[string]func(n int) string{
		"one long line":           func(n int) string { return "winnow: 1\nmachines: {" + many(n, "µ#: {kind: x}, ") + "}\n" },
		"faults in one line":      func(n int) string { return "winnow: 1\nmachines: {" + many(n, "m#: {knd: x}, ") + "}\n" },
		"one key again and again": func(n int) string { return "winnow: 1\n" + strings.Repeat("name: x\n", n) },
		"names nobody gave": func(n int) string {
			return "winnow: 1\nmachines:\n" + many(n, "  m#: {plug: {outlet: o#}}\n") + "circuits: {A: {outlets: {" + many(n, "p#: {}, ") + "}}}\n"
		},
		"one run of many pieces": func(n int) string {
			return "winnow: 1\nsystems: {s: {runs: {main: {from: cap, pieces: [" + many(n, "{pipe: 1 fx}, ") + "]}}}}\n"
		},
		"many runs":     func(n int) string { return one + many(n, "      r#: {from: m, pieces: [{wye: r#}]}\n") },
		"runs in a row": func(n int) string { return one + many(n, "      r#: {from: m, pieces: [{wye: r#+}]}\n") },
		"many systems": func(n int) string {
			return "winnow: 1\nmachines: {m: {}}\nsystems:\n" + many(n, "  s#: {runs: {main: {from: m, pieces: [{pipe: drawn}]}}}\n")
		},
		"sensors": func(n int) string {
			return "winnow: 1\nsystems: {s: {runs: {main: {from: cap, pieces: [" + many(n, "{tap: t#}, ") + "]}}}}\nsensors:\n" + many(n, "  c#: {reads: suction, system: s, tap: t#}\n")
		},
		"options": func(n int) string {
			return "winnow: 1\noptions:\n" + many(n, "  o#: {change: [{set: machines/x/prt, to: {a: b}}]}\n")
		},
		"block texts": func(n int) string { return "winnow: 1\nspares:\n" + many(n, "  s#: |\n    x\n") },
		"comments": func(n int) string {
			return "winnow: 1\n" + strings.Repeat("# x\n", n) + "name: x\n" + strings.Repeat("\n  # x\n", n)
		},
	} {
		t.Run(name, func(t *testing.T) {
			took := func(n int) time.Duration {
				src := []byte(made(n))
				best := time.Hour
				for range 2 {
					start := time.Now()
					Parse(src)
					best = min(best, time.Since(start))
				}
				return best
			}
			var short, long time.Duration
			for range 3 {
				if short, long = took(2000), took(8000); long < 8*short+5*time.Millisecond {
					return
				}
			}
			t.Errorf("2,000 take %v, 8,000 take %v", short, long)
		})
	}
}

// A second YAML library, not related to ours, reads the good files as the same keys and values in the same order.
func TestAnotherLibraryReadsTheSame(t *testing.T) {
	for _, name := range goodFiles(t) {
		src := read(t, name)
		d := good(t, src)
		var other any
		if err := yaml.UnmarshalWithOptions(src, &other, yaml.UseOrderedMap()); err != nil {
			t.Fatal(name, err)
		}
		if d := cmp.Diff(generic(d.root), ordered(other)); d != "" {
			t.Errorf("%s (- ours, + the other):\n%s", name, d)
		}
	}
}

type keyed struct {
	Key   string
	Value any
}

func generic(n *node) any {
	switch n.form {
	case list:
		out := []any{}
		for _, c := range n.items {
			out = append(out, generic(c))
		}
		return out
	case dict:
		out := []keyed{}
		for i, c := range n.items {
			out = append(out, keyed{n.keys[i].text, generic(c)})
		}
		return out
	}
	return n.text
}

func ordered(v any) any {
	switch v := v.(type) {
	case yaml.MapSlice:
		out := []keyed{}
		for _, item := range v {
			out = append(out, keyed{fmt.Sprint(item.Key), ordered(item.Value)})
		}
		return out
	case []any:
		out := []any{}
		for _, c := range v {
			out = append(out, ordered(c))
		}
		return out
	case nil:
		return ""
	}
	return fmt.Sprint(v)
}

// large is a shop of very many machines.
func large(machines int, line func(i int) string) []byte {
	var b strings.Builder
	b.WriteString("winnow: 1\nmachines:\n")
	for i := range machines {
		fmt.Fprintf(&b, "  machine %c%d:\n    kind: jointer\n    at: [16 ft, 8 ft]\n    port: {size: %s, needs: {chips: 350 cfm ± 10 %%}}\n    # a comment\n", 'a'+i%26, i, line(i))
	}
	return []byte(b.String())
}

func oneInFive(i int) string {
	if i%5 == 0 {
		return "4 inn"
	}
	return "4 in"
}

func TestThousandFaults(t *testing.T) {
	_, faults := Parse(large(5000, oneInFive))
	if len(faults) != 1000 {
		t.Errorf("got %d faults, want 1000", len(faults))
	}
}

func BenchmarkParse(b *testing.B) {
	src := whole(b)
	b.ReportAllocs()
	for b.Loop() {
		Parse(src)
	}
}

func BenchmarkTry(b *testing.B) {
	d := good(b, whole(b))
	e := dragged(b)
	b.ReportAllocs()
	for b.Loop() {
		if _, err := d.Try(e...); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkApply(b *testing.B) {
	d := good(b, whole(b))
	e := dragged(b)
	b.ReportAllocs()
	for b.Loop() {
		if _, err := d.Apply(e...); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkThousandFaults(b *testing.B) {
	src := large(5000, oneInFive)
	b.SetBytes(int64(len(src)))
	for b.Loop() {
		Parse(src)
	}
}

// A bound on an item of a list is told like any other: it once brought the reader down.
func TestItemsOfListsHaveBoundsToo(t *testing.T) {
	for _, size := range []string{"0 in", "-4 in", "4 in"} {
		_, faults := Parse([]byte("winnow: 1\nname: x\nstock:\n  ribbed hose: [" + size + "]\n"))
		if want := size != "4 in"; (len(faults) == 1) != want || want && faults[0].Code != OutOfRange {
			t.Errorf("%s: %v", size, faults)
		}
	}
}

// A file of nothing but faults is told of its first thousand, and how many follow.
func TestFaultsAreToldToAThousand(t *testing.T) {
	_, faults := Parse([]byte("winnow: 1\n" + strings.Repeat("nonsense: 1\n", 1500)))
	if len(faults) != mostFaults || !strings.Contains(faults[len(faults)-1].Cure, "more faults follow") {
		t.Errorf("%d faults, the last: %s", len(faults), faults[len(faults)-1].Cure)
	}
}
