package cli

import (
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"winnow/internal/shop/file"
)

// What is shown as changed is all of the change: taking the lines out and putting them in turns one text into the other,
// and no fewer lines would do, says diff(1).
func TestChangedLinesAreTheChange(t *testing.T) {
	diff, _ := exec.LookPath("diff")
	folder := t.TempDir()
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.SliceOfN(rapid.SampledFrom([]string{"a", "b", "c", "", "  d"}), 0, 12)
		was, is := strings.Join(text.Draw(t, "was"), "\n"), strings.Join(text.Draw(t, "is"), "\n")
		got := changedLines(was, is)
		a, b := strings.Split(was, "\n"), strings.Split(is, "\n")
		gone, come := map[int]bool{}, map[int]bool{}
		for _, l := range got {
			if l.Sign == "-" {
				gone[l.Line] = true
				if a[l.Line-1] != l.Text {
					t.Fatalf("line %d is %q", l.Line, a[l.Line-1])
				}
			} else {
				come[l.Line] = true
				if b[l.Line-1] != l.Text {
					t.Fatalf("line %d is %q", l.Line, b[l.Line-1])
				}
			}
		}
		left := func(lines []string, without map[int]bool) (out []string) {
			for i, l := range lines {
				if !without[i+1] {
					out = append(out, l)
				}
			}
			return out
		}
		if !slices.Equal(left(a, gone), left(b, come)) {
			t.Fatalf("without the changed lines %q and %q differ", left(a, gone), left(b, come))
		}
		if diff == "" {
			return
		}
		f, g := filepath.Join(folder, "a"), filepath.Join(folder, "b")
		_ = os.WriteFile(f, []byte(was+"\n"), 0o644)
		_ = os.WriteFile(g, []byte(is+"\n"), 0o644)
		out, _ := exec.Command(diff, "-d", f, g).Output() // -d: the smallest set of changes
		n := 0
		for _, l := range strings.Split(string(out), "\n") {
			if strings.HasPrefix(l, "<") || strings.HasPrefix(l, ">") {
				n++
			}
		}
		if n != len(got) {
			t.Fatalf("diff needs %d lines, ours shows %d:\n%s", n, len(got), out)
		}
	})
}

func TestEditsAreReadAsWritten(t *testing.T) {
	for _, text := range []string{
		"{set: name, to: x}", "[{set: name, to: x}]", "- {set: name, to: x}", "- set: name\n  to: x", "set: name\nto: x", `{"set":"name","to":"x"}`,
		"# why\n\n- {set: name, to: x}   # so\n", "- {set: name, to: x}\r\n", "\ufeff[{\"set\": \"name\",\n \"to\": \"x\"}]", "{\n  set: name,\n  to: x\n}",
	} {
		edits, err := readEdits([]byte(text), "test")
		if err != nil || len(edits) != 1 || edits[0].Set != "name" || edits[0].To.Text != "x" {
			t.Errorf("%q: %v %v", text, edits, err)
		}
	}
	for _, text := range []string{"", "# nothing", "x", "- x", "{set: name}", "{to: x}", "- {set: name, to: x", "winnow: 1", "{set: no/where, to: x}", "\x00", "a: &b c"} {
		if edits, err := readEdits([]byte(text), "test"); err == nil {
			t.Errorf("%q was read as %v", text, edits)
		}
	}
}

// Any text is read as edits or refused in words; what is read can be asked of a shop.
func FuzzReadEdits(f *testing.F) {
	for _, seed := range []string{"- {set: name, to: x}", `[{"insert":{"pipe":"3 ft"},"after":"a/b"}]`, "set: a\nto: [b, {c: d}]\nwas: |\n  x", "- remove: x\n- rename: y\n  to: z", "{", "'"} {
		f.Add(seed)
	}
	doc, _ := file.Parse([]byte("winnow: 1\nname: x\nmachines: {a: {kind: lathe}}\n"))
	f.Fuzz(func(t *testing.T, text string) {
		edits, err := readEdits([]byte(text), "test")
		if (len(edits) > 0) == (err != nil) {
			t.Fatalf("%d edits, %v", len(edits), err)
		}
		if err != nil && strings.TrimSpace(err.Error()) == "" {
			t.Fatal("refused without a word")
		}
		_, _ = doc.Apply(edits...)
		_, _ = readValue(text)
	})
}
