package file

import (
	"errors"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"testing"
	"time"

	"winnow/internal/shop"
)

// seeds are the good and the bad files, the whole of them.
func seeds(t testing.TB) [][]byte {
	t.Helper()
	files, err := filepath.Glob(filepath.Join(testdata, "bad", "*.yaml"))
	if err != nil || len(files) < 50 {
		t.Fatalf("only %d seeds (%v)", len(files), err)
	}
	var out [][]byte
	for _, f := range append(files, goodFiles(t)...) {
		out = append(out, read(t, f))
	}
	return out
}

// Whatever the bytes: no panic, an answer soon, and every fault in words at a place that is there.
func FuzzParse(f *testing.F) {
	for _, s := range seeds(f) {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, src []byte) {
		start := time.Now()
		d, faults := Parse(src, testKinds)
		if took := time.Since(start); took > 5*time.Second {
			t.Fatalf("%d bytes took %v", len(src), took)
		}
		lines := newText(string(src))
		for _, fault := range faults {
			if fault.Code == nil || fault.What == "" {
				t.Fatalf("a fault without a word: %+v", fault)
			}
			if fault.Pos.Line < 1 || fault.Pos.Line > len(lines.lines) || fault.Pos.Column < 1 || fault.Pos.Column > len([]rune(lines.lineText(fault.Pos.Line)))+1 {
				t.Fatalf("a fault at %+v of %d lines: %s", fault.Pos, len(lines.lines), fault.What)
			}
			if strings.Count(fault.Excerpt, "\n") != 1 {
				t.Fatalf("the excerpt is not two lines: %q", fault.Excerpt)
			}
		}
		if !slices.IsSortedFunc(faults, func(a, b Fault) int {
			if a.Pos.before(b.Pos) {
				return -1
			}
			return 0
		}) {
			t.Fatal("faults are not in the order of the file")
		}
		if len(faults) == 0 {
			again, more := Parse(d.Text(), testKinds)
			if len(more) > 0 || !reflect.DeepEqual(again.Shop(), d.Shop()) {
				t.Fatal("read twice, it says two things")
			}
		}
	})
}

// Whatever the file and the edit: what the tree takes the text takes, and it then says the same.
func FuzzApply(f *testing.F) {
	for i, s := range seeds(f) {
		f.Add(s, uint(7*i), byte(i), "note")
		f.Add(s, uint(13*i+3), byte(i+1), "7 ft")
	}
	for i, s := range []string{
		"winnow: 1\nmachines: {µ planer: {kind: planer, note: 'µm',\tport: {size: 4 in}}}   # c\n",
		"winnow: 1\nnote: |\n  one\n\n  two\n\nname: x\n",
		"winnow: 1\nnote: one\n  two\n\n  three   # c\nname: x",
		"winnow: 1\r\nmachines:\r\n  planer:\r\n  # c\r\n  jointer: {port: , kind: jointer,}\r\n",
		"winnow: 1\nmachines: {\n  a: {},   # the a\n  b: {},\n  c: {}   # the c ]}\n}\n",
		"winnow: 1\nreadings:\n  - date: 2026-10-03\n    # c\n    suction: 2 inH2O\n    where: room\n  -\n    {flow: 1 cfm}\n",
		"winnow: 1\nsite:\n  limits:\n  - us osha\n  -   # nothing yet\n  - us acgih\n",
		"winnow: 1\nroutine:\n  together:\n  - - a\n    - b   # c\n  - [a,\n     b]\nmachines: {a: {}, b: {}}\n",
		"\ufeff---\nwinnow: 1 # c\n\n\nsystems:\n s:\n    runs: {main: {from: cap, pieces: [{pipe: 9 ft x}]}}\n...\n",
	} {
		for how := range byte(7) {
			f.Add([]byte(s), uint(i)+uint(how), how, "new")
		}
	}
	f.Fuzz(func(t *testing.T, src []byte, which uint, how byte, word string) {
		d, faults := Parse(src)
		if len(faults) > 0 || len(src) > 1<<16 {
			return
		}
		var paths []shop.Path
		for _, p := range pathsOf(d.root) {
			if p != "" {
				paths = append(paths, p)
			}
		}
		if len(paths) == 0 {
			return
		}
		slices.Sort(paths)
		paths = slices.Compact(paths)
		p := paths[which%uint(len(paths))]
		v := valueOf(d.nodeAt(p))
		var e shop.Edit
		switch how % 7 {
		case 0:
			e = shop.Edit{Remove: p}
		case 1:
			e = shop.Edit{Set: p, To: shop.Text(word)}
		case 2:
			e = shop.Edit{Set: p.Join(word), To: &v}
		case 3:
			e = shop.Edit{Rename: p, To: shop.Text(word)}
		case 4:
			e = shop.Edit{Insert: &v, After: p}
		case 5:
			e = shop.Edit{Insert: &shop.Value{Kind: shop.Map, Keys: []string{word}, Items: []shop.Value{v}}, Before: p}
		case 6:
			e = shop.Edit{Set: p, To: &shop.Value{Kind: shop.List, Items: []shop.Value{v, {Text: word}}}}
		}
		want, err := d.Try(e)
		if err != nil {
			var refused *EditError
			if !errors.As(err, &refused) {
				t.Fatalf("refused without a reason: %v", err)
			}
			return
		}
		next, err := d.Apply(e)
		if err != nil {
			t.Fatalf("%+v: %v\n%s", e, err, src)
		}
		if !reflect.DeepEqual(next.Shop(), want) {
			t.Fatalf("%+v: text and tree differ\n%s", e, next.src)
		}
	})
}
