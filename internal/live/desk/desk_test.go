package desk

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"winnow/internal/shop"
	"winnow/internal/shop/file"
)

const small = `# kept by hand
winnow: 1
name: small shop   # ours
machines:
  planer: {kind: thickness planer, port: {size: 4 in}}
  jointer: {kind: jointer, port: {size: 4 in}}

systems:
  collector:
    kind: collector
    runs:
      main:
        from: [planer, jointer]
        size: 4 in
        pieces:
          - {hose: 10 ft}
          - {gate: g}
          - {hose: 3 ft}
`

var ctx = context.Background()

// newFile puts a shop file in a folder of its own.
func newFile(t testing.TB, text string) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), "shop.yaml")
	write(t, path, text)
	return path
}

func write(t testing.TB, path, text string) {
	t.Helper()
	if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
}

func read(t testing.TB, path string) string {
	t.Helper()
	text, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}

func open(t testing.TB, path string) *Desk {
	t.Helper()
	at := time.Date(2026, 3, 1, 12, 0, 0, 0, time.UTC)
	var mu sync.Mutex
	d, err := Open(path, func() time.Time { mu.Lock(); defer mu.Unlock(); at = at.Add(time.Minute); return at })
	if err != nil {
		t.Fatal(err)
	}
	return d
}

func set(path shop.Path, to string) shop.Edit { return shop.Edit{Set: path, To: shop.Text(to)} }

func commit(t testing.TB, d *Desk, base int, edits ...shop.Edit) Revision {
	t.Helper()
	r, err := d.Commit(ctx, base, edits, "test")
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func must[T any](t testing.TB) func(T, error) T {
	return func(v T, err error) T {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
		return v
	}
}

func TestCommitChangesOneLine(t *testing.T) {
	path := newFile(t, small)
	d := open(t, path)
	r := commit(t, d, d.Head().Number, set("name", "big shop"))
	want := strings.Replace(small, "small shop", "big shop", 1)
	if got := read(t, path); got != want || string(r.Text) != want || r.Doc.Shop().Name != "big shop" {
		t.Errorf("got\n%s", got)
	}
	if r.Number != 2 || r.Cause != "test" || r.When.IsZero() {
		t.Errorf("revision %d, %q, %v", r.Number, r.Cause, r.When)
	}
	if err := d.Trouble(); err != nil {
		t.Error(err)
	}
	left, _ := os.ReadDir(filepath.Dir(path))
	if len(left) != 2 {
		t.Errorf("beside the file and its folder there is more: %v", left)
	}
}

func TestSayingTheSameIsNoRevision(t *testing.T) {
	d := open(t, newFile(t, small))
	if r := commit(t, d, 1, set("name", "small shop")); r.Number != 1 {
		t.Errorf("revision %d", r.Number)
	}
}

func TestRefusedEditsChangeNothing(t *testing.T) {
	path := newFile(t, small)
	d := open(t, path)
	var refused *file.EditError
	for _, e := range []shop.Edit{
		set("machines/planer/knd", "jointer"), set("systems/collector/runs/main/size", "4"),
		{Set: "name", To: shop.Text("x"), Was: shop.Text("another")},
		{Remove: "machines/planer"},
	} {
		if _, err := d.Commit(ctx, 0, []shop.Edit{set("note", "x"), e}, "test"); !errors.As(err, &refused) {
			t.Errorf("%v: %v", e, err)
		}
	}
	if read(t, path) != small || d.Head().Number != 1 {
		t.Error("something was written")
	}
}

// Undo and redo bring back whole texts byte for byte, also after a restart.
func TestUndoRedo(t *testing.T) {
	path := newFile(t, small)
	d := open(t, path)
	texts := []string{small}
	for i := range 5 {
		commit(t, d, 0, set("name", fmt.Sprint("shop ", i)))
		texts = append(texts, read(t, path))
	}
	check := func(want int, r Revision, err error) {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
		if got := read(t, path); got != texts[want] || string(r.Text) != got || r.Doc.Shop().Name != must2(file.Parse([]byte(got))).Shop().Name {
			t.Fatalf("want text %d, got\n%s", want, got)
		}
	}
	undo := func(want int) { t.Helper(); r, err := d.Undo(ctx, 0); check(want, r, err) }
	redo := func(want int) { t.Helper(); r, err := d.Redo(ctx, 0); check(want, r, err) }
	undo(4)
	undo(3)
	d = open(t, path)
	undo(2)
	redo(3)
	redo(4)
	d = open(t, path)
	undo(3)
	undo(2)
	undo(1)
	undo(0)
	if _, err := d.Undo(ctx, 0); !errors.Is(err, ErrNothingToUndo) {
		t.Error(err)
	}
	for i := range 5 {
		redo(i + 1)
	}
	if _, err := d.Redo(ctx, 0); !errors.Is(err, ErrNothingToRedo) {
		t.Error(err)
	}
	undo(4)
	undo(3)
	commit(t, d, 0, set("name", "another way"))
	if _, err := d.Redo(ctx, 0); !errors.Is(err, ErrNothingToRedo) {
		t.Error("redo after another change:", err)
	}
	undo(3)
	undo(2)
}

func must2(d *file.Doc, _ []file.Fault) *file.Doc { return d }

func TestStepsSayWhat(t *testing.T) {
	path := newFile(t, small)
	d := open(t, path)
	steps := func(undo, redo string) {
		t.Helper()
		if u, r := d.Steps(); u != undo || r != redo {
			t.Errorf("undo %q, redo %q; want %q, %q", u, r, undo, redo)
		}
	}
	steps("", "")
	must[Revision](t)(d.Commit(ctx, 0, []shop.Edit{set("name", "a")}, "named it a"))
	must[Revision](t)(d.Commit(ctx, 0, []shop.Edit{set("name", "b")}, "named it b"))
	steps("named it b", "")
	must[Revision](t)(d.Undo(ctx, 0))
	steps("named it a", "named it b")
	must[Revision](t)(d.Undo(ctx, 0))
	steps("", "named it a")
	must[Revision](t)(d.Redo(ctx, 0))
	must[Revision](t)(d.Redo(ctx, 0))
	steps("named it b", "")
	if c := d.Head().Cause; c != "redo: named it b" {
		t.Error(c)
	}
}

// A step is not undone that somebody has made since.
func TestUndoOfWhatIsSeen(t *testing.T) {
	d := open(t, newFile(t, small))
	seen := commit(t, d, 0, set("name", "a"))
	commit(t, d, 0, set("name", "b"))
	var stale *Stale
	if _, err := d.Undo(ctx, seen.Number); !errors.As(err, &stale) || stale.Head != 3 {
		t.Error(err)
	}
}

// All steps that are kept can be undone after a restart, though undoing makes as many revisions again; the folder stays
// small. Twenty stand for the two hundred, as each waits for the disk.
func TestStepsSurvive(t *testing.T) {
	const keep, made = 20, 85 // the history is rewritten while it is being undone
	if kept != 200 {
		t.Errorf("%d steps are kept, and 200 are promised", kept)
	}
	path := newFile(t, small)
	few := func() *Desk { d := open(t, path); d.history.keep = keep; return d }
	d := few()
	for i := range made {
		commit(t, d, 0, set("name", fmt.Sprint("shop ", i)))
	}
	for i := range keep {
		if i%5 == 0 {
			d = few()
		}
		r := must[Revision](t)(d.Undo(ctx, 0))
		if want := fmt.Sprint("shop ", made-2-i); r.Doc.Shop().Name != want {
			t.Fatalf("step %d: %q, want %q", i, r.Doc.Shop().Name, want)
		}
	}
	d = few()
	for range keep {
		must[Revision](t)(d.Redo(ctx, 0))
	}
	if got := d.Head().Doc.Shop().Name; got != fmt.Sprint("shop ", made-1) {
		t.Error(got)
	}
	texts, _ := os.ReadDir(filepath.Join(Folder(path), "texts"))
	if len(texts) > 3*keep+1 {
		t.Errorf("%d texts are kept", len(texts))
	}
	if n := strings.Count(read(t, filepath.Join(Folder(path), "history.jsonl")), "\n"); n > 3*keep+1 {
		t.Errorf("%d lines are kept", n)
	}
}

func TestOutsideChangeIsARevision(t *testing.T) {
	path := newFile(t, small)
	d := open(t, path)
	theirs := strings.Replace(small, "10 ft", "12 ft", 1)
	write(t, path, theirs)
	r := must[Revision](t)(d.Look(ctx))
	if r.Number != 2 || r.Cause != CauseOutside || string(r.Text) != theirs {
		t.Fatalf("%d %q\n%s", r.Number, r.Cause, r.Text)
	}
	must[Revision](t)(d.Undo(ctx, 0))
	if read(t, path) != small {
		t.Error("undo of an outside change is not the file before")
	}
}

// While the program was not running, too.
func TestOutsideChangeBetweenRuns(t *testing.T) {
	path := newFile(t, small)
	commit(t, open(t, path), 0, set("name", "a"))
	write(t, path, small+"note: by hand\n")
	d := open(t, path)
	if d.Head().Cause != CauseOutside || d.Head().Number != 3 {
		t.Fatal(d.Head().Number, d.Head().Cause)
	}
	if r := must[Revision](t)(d.Undo(ctx, 0)); r.Doc.Shop().Name != "a" {
		t.Error(r.Doc.Shop().Name)
	}
}

// Edits made for an older text are made by path in the newer one, with the numbers of pieces mended.
func TestRebase(t *testing.T) {
	const pieces = "systems/collector/runs/main/pieces/"
	tests := []struct {
		name, old, new string // their change
		ours           []shop.Edit
		want           string // what our change makes of theirs; empty: a conflict
	}{
		{"different places", "name: small", "name: our small", []shop.Edit{set(pieces+"hose 1/hose", "8 ft")}, "{hose: 8 ft}"},
		{"a line more above", "machines:\n", "note: more\nmachines:\n", []shop.Edit{set(pieces+"hose 2/hose", "4 ft")}, "{hose: 4 ft}"},
		{"the same value", "{hose: 10 ft}", "{hose: 12 ft}", []shop.Edit{set(pieces+"hose 1/hose", "8 ft")}, ""},
		{"another key of the same piece", "{hose: 10 ft}", "{hose: 10 ft, bends: 90°}", []shop.Edit{set(pieces+"hose 1/hose", "8 ft")}, "{hose: 8 ft, bends: 90°}"},
		{
			"a hose before ours", "          - {hose: 10 ft}", "          - {hose: 1 ft}\n          - {hose: 10 ft}",
			[]shop.Edit{set(pieces+"hose 1/hose", "8 ft")},
			"- {hose: 1 ft}\n          - {hose: 8 ft}",
		},
		{"the piece is gone", "          - {hose: 3 ft}\n", "", []shop.Edit{set(pieces+"hose 2/hose", "4 ft")}, ""},
		{
			"two alike after they moved", "          - {gate: g}\n          - {hose: 3 ft}", "          - {hose: 3 ft}\n          - {gate: g}\n          - {hose: 3 ft}",
			[]shop.Edit{set(pieces+"hose 2/hose", "4 ft")},
			"",
		},
		{"renamed by them", "planer", "thicknesser", []shop.Edit{set("machines/planer/port/size", "5 in")}, ""},
		{"a guard that still fits", "small shop", "our shop", []shop.Edit{{Set: pieces + "hose 1/hose", To: shop.Text("8 ft"), Was: shop.Text("120 in")}}, "{hose: 8 ft}"},
		{"written by both", "name: small shop   # ours\n", "name: small shop   # ours\nnote: theirs\n", []shop.Edit{set("note", "ours")}, ""},
		{"inserted beside what they changed", "{hose: 10 ft}", "{hose: 12 ft}", []shop.Edit{{Insert: &shop.Value{Kind: shop.Map, Keys: []string{"pipe"}, Items: []shop.Value{{Text: "2 ft"}}}, After: pieces + "gate g"}}, "{pipe: 2 ft}"},
		{
			"two steps of ours", "name: small", "name: our small",
			[]shop.Edit{{Rename: "machines/planer", To: shop.Text("thicknesser")}, set("machines/thicknesser/port/size", "5 in")},
			"thicknesser: {kind: thickness planer, port: {size: 5 in}}",
		},
		{
			"remove what they changed", "{hose: 3 ft}", "{hose: 5 ft}", []shop.Edit{{Remove: pieces + "hose 2"}}, "",
		},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			if !strings.Contains(small, test.old) {
				t.Fatal("the test changes nothing")
			}
			path := newFile(t, small)
			d := open(t, path)
			base := d.Head().Number
			theirs := strings.ReplaceAll(small, test.old, test.new)
			write(t, path, theirs)
			r, err := d.Commit(ctx, base, test.ours, "ours")
			var conflict *Conflict
			switch {
			case test.want == "" && !errors.As(err, &conflict):
				t.Fatalf("no conflict: %v\n%s", err, r.Text)
			case test.want == "":
				if read(t, path) != theirs || string(conflict.Head.Text) != theirs {
					t.Error("theirs was written over")
				}
				ours := must[*file.Doc](t)(must2(file.Parse([]byte(small))).Apply(test.ours...))
				if !bytes.Equal(conflict.Ours, ours.Text()) || read(t, conflict.Draft) != string(ours.Text()) {
					t.Errorf("ours is not kept: %s", conflict.Draft)
				}
			case err != nil:
				t.Fatal(err)
			default:
				got := read(t, path)
				if !strings.Contains(got, test.want) {
					t.Errorf("%q is not in\n%s", test.want, got)
				}
				must[Revision](t)(d.Undo(ctx, 0))
				if read(t, path) != theirs {
					t.Error("undo does not bring back theirs")
				}
				must[Revision](t)(d.Undo(ctx, 0))
				if read(t, path) != small {
					t.Error("the second undo does not bring back the file before theirs")
				}
			}
		})
	}
}

func TestTextsAreMergedByLines(t *testing.T) {
	path := newFile(t, small)
	d := open(t, path)
	base := d.Head().Number
	theirs := strings.Replace(small, "{hose: 3 ft}", "{hose: 4 ft}", 1)
	write(t, path, theirs)
	ours := strings.Replace(small, "small shop", "our shop", 1)
	must[Revision](t)(d.CommitText(ctx, base, []byte(ours), "typed"))
	if got := read(t, path); got != strings.Replace(ours, "{hose: 3 ft}", "{hose: 4 ft}", 1) {
		t.Error(got)
	}
	write(t, path, strings.Replace(read(t, path), "our shop", "their shop", 1))
	var conflict *Conflict
	_, err := d.CommitText(ctx, base, []byte(ours), "typed")
	if !errors.As(err, &conflict) || read(t, conflict.Draft) != ours {
		t.Error(err)
	}
}

// mergeLines against merging by hand: ours and theirs change one line each of ten.
func TestMergeLines(t *testing.T) {
	var base []string
	for i := range 10 {
		base = append(base, fmt.Sprintf("line %d\n", i))
	}
	put := func(i int, s string) []byte {
		c := slices.Clone(base)
		c[i] = s
		return []byte(strings.Join(c, ""))
	}
	for i := range 10 {
		for j := range 10 {
			for _, s := range []string{"", "x\n", "x\ny\n"} {
				got, err := mergeLines([]byte(strings.Join(base, "")), put(i, s), put(j, "ours\n"))
				if i == j {
					if err == nil {
						t.Fatalf("%d: both changed it, and it was merged to\n%s", i, got)
					}
					continue
				}
				c := slices.Clone(base)
				c[i], c[j] = s, "ours\n"
				if err != nil || string(got) != strings.Join(c, "") {
					t.Fatalf("%d %q, %d: %v\n%s", i, s, j, err, got)
				}
			}
		}
	}
}

func TestFaultyTextIsADraft(t *testing.T) {
	path := newFile(t, small)
	d := open(t, path)
	text := strings.Replace(small, "10 ft", "10", 1)
	for range 2 { // typing on keeps no second copy of the same
		var faulty *Faulty
		_, err := d.CommitText(ctx, 0, []byte(text), "typed")
		if !errors.As(err, &faulty) || len(faulty.Faults) != 1 || faulty.Faults[0].Code != file.NoUnit || read(t, faulty.Draft) != text {
			t.Fatal(err)
		}
	}
	if read(t, path) != small {
		t.Error("the file was written over")
	}
	if drafts := d.Drafts(); len(drafts) != 1 {
		t.Error(drafts)
	}
}

// A text with faults that somebody else wrote is a revision, can be undone, and no edit is lost on it.
func TestFaultyOutsideChange(t *testing.T) {
	path := newFile(t, small)
	d := open(t, path)
	for _, theirs := range []string{strings.Replace(small, "10 ft", "10", 1), "{", "", "\xff\xfe\x00", "winnow: 2\n"} {
		base := d.Head().Number
		write(t, path, theirs)
		var conflict *Conflict
		if _, err := d.Commit(ctx, base, []shop.Edit{set("name", "ours")}, "ours"); !errors.As(err, &conflict) || !strings.Contains(read(t, conflict.Draft), "name: ours") {
			t.Fatalf("%q: %v", theirs, err)
		}
		if got := d.Head(); string(got.Text) != theirs || len(got.Doc.Faults()) == 0 {
			t.Errorf("the head is %q", got.Text)
		}
		must[Revision](t)(d.Undo(ctx, 0))
		if read(t, path) != small {
			t.Fatal("undo does not bring back the file before")
		}
	}
}

func TestOnceIsOnce(t *testing.T) {
	path := newFile(t, small)
	d := open(t, path)
	more := &shop.Value{Kind: shop.Map, Keys: []string{"pipe"}, Items: []shop.Value{{Text: "2 ft"}}}
	edits := []shop.Edit{{Insert: more, After: "systems/collector/runs/main/pieces/gate g"}}
	first := must[Revision](t)(d.Commit(ctx, 1, edits, "more", Once("a7")))
	commit(t, d, 0, set("name", "x"))
	for _, d := range []*Desk{d, open(t, path)} {
		again := must[Revision](t)(d.Commit(ctx, 1, edits, "more", Once("a7")))
		if again.Number != first.Number || !bytes.Equal(again.Text, first.Text) {
			t.Errorf("again it is revision %d", again.Number)
		}
	}
	if n := strings.Count(read(t, path), "pipe"); n != 1 {
		t.Errorf("%d pipes", n)
	}
	u := must[Revision](t)(d.Undo(ctx, 0, Once("u1")))
	if again := must[Revision](t)(d.Undo(ctx, 0, Once("u1"))); again.Number != u.Number {
		t.Error("undone twice")
	}
}

func TestInServiceStaysUntilAPersonSays(t *testing.T) {
	path := newFile(t, small)
	d := open(t, path)
	if _, ok := d.InService(); ok {
		t.Error("something is in service that nobody put there")
	}
	r := commit(t, d, 0, set("name", "a"))
	must[Revision](t)(d.PutInService(ctx, r.Number))
	d.history.keep = 5
	for i := range 40 {
		commit(t, d, 0, set("name", fmt.Sprint("shop ", i)))
	}
	for _, d := range []*Desk{d, open(t, path)} {
		s, ok := d.InService()
		if !ok || s.Number != r.Number || s.Doc.Shop().Name != "a" || !bytes.Equal(s.Text, r.Text) {
			t.Errorf("%v: revision %d", ok, s.Number)
		}
	}
	if _, err := d.PutInService(ctx, 99999); err == nil {
		t.Error("a revision that is not there was put in service")
	}
	write(t, path, "winnow: 1\nname: [\n")
	bad := must[Revision](t)(d.Look(ctx))
	var faulty *Faulty
	if _, err := d.PutInService(ctx, bad.Number); !errors.As(err, &faulty) {
		t.Error("a text with faults was put in service:", err)
	}
	// damaged: none is in service, and it is said
	write(t, serviceFile(Folder(path)), strings.Replace(read(t, serviceFile(Folder(path))), "10 ft", "11 ft", 1))
	d = open(t, path)
	if _, ok := d.InService(); ok || d.Trouble() == nil {
		t.Error("a damaged revision is in service")
	}
}

func TestTwoProgramsShareTheHistory(t *testing.T) {
	path := newFile(t, small)
	a, b := open(t, path), open(t, path)
	commit(t, a, 0, set("name", "from a"))
	commit(t, b, 0, set("note", "from b"))
	r := commit(t, a, 2, set("machines/planer/port/size", "5 in"))
	if r.Number != 4 || r.Doc.Shop().Name != "from a" || r.Doc.Shop().Note != "from b" {
		t.Fatal(r.Number, string(r.Text))
	}
	var causes []string
	for _, e := range open(t, path).History() {
		causes = append(causes, e.Cause)
	}
	if got := strings.Join(causes, ", "); got != "as it was found, test, test, test" {
		t.Error(got)
	}
	for _, d := range []*Desk{b, a, b} {
		must[Revision](t)(d.Undo(ctx, 0))
	}
	if read(t, path) != small {
		t.Error("three undos do not bring back the first text")
	}
}

// Many goroutines and two desks at once: every change lands, none twice. Meant for -race.
func TestManyAtOnce(t *testing.T) {
	path := newFile(t, small)
	desks := []*Desk{open(t, path), open(t, path)}
	watched, stop := context.WithCancel(ctx)
	var wg sync.WaitGroup
	wg.Add(1)
	go func() { defer wg.Done(); _ = desks[0].Watch(watched, time.Millisecond, func(Revision) {}) }()
	const each = 6
	var work sync.WaitGroup
	for g := range 4 {
		d := desks[g%2]
		work.Add(1)
		go func() {
			defer work.Done()
			for i := range each {
				name := fmt.Sprintf("m%d%d", g, i)
				v := &shop.Value{Kind: shop.Map, Keys: []string{"kind"}, Items: []shop.Value{{Text: "lathe"}}}
				if _, err := d.Commit(ctx, d.Head().Number, []shop.Edit{{Set: shop.Path("machines").Join(name), To: v}}, name); err != nil {
					t.Error(err)
				}
				d.Steps()
				d.InService()
			}
		}()
	}
	work.Wait()
	stop()
	wg.Wait()
	doc, faults := file.Parse([]byte(read(t, path)))
	if len(faults) > 0 || len(doc.Shop().Machines) != 2+4*each {
		t.Errorf("%d machines, %v", len(doc.Shop().Machines), faults)
	}
	if n := len(open(t, path).History()); n != 1+4*each {
		t.Errorf("%d revisions", n)
	}
}

func TestWatchTells(t *testing.T) {
	path := newFile(t, small)
	d := open(t, path)
	d.settled = 300 * time.Millisecond // a busy machine must not look like an editor at rest
	told := make(chan Revision, 10)
	watched, stop := context.WithCancel(ctx)
	done := make(chan error, 1)
	go func() { done <- d.Watch(watched, 2*time.Millisecond, func(r Revision) { told <- r }) }()
	next := func() Revision {
		t.Helper()
		select {
		case r := <-told:
			return r
		case <-time.After(5 * time.Second):
			t.Fatal("nothing was told")
			return Revision{}
		}
	}
	// an editor that writes in place, slowly
	f := must[*os.File](t)(os.OpenFile(path, os.O_WRONLY|os.O_TRUNC, 0))
	whole := strings.Replace(small, "small shop", "slow shop", 1)
	for i := 0; i < len(whole); i += 100 {
		_, _ = f.WriteString(whole[i:min(len(whole), i+100)])
		time.Sleep(3 * time.Millisecond)
	}
	f.Close()
	if r := next(); string(r.Text) != whole {
		t.Errorf("told of half a file:\n%s", r.Text)
	}
	// an editor that renames, with a moment in which there is no file
	other := path + ".new"
	write(t, other, small)
	if err := os.Remove(path); err != nil {
		t.Fatal(err)
	}
	time.Sleep(10 * time.Millisecond)
	if err := os.Rename(other, path); err != nil {
		t.Fatal(err)
	}
	if r := next(); string(r.Text) != small {
		t.Errorf("told\n%s", r.Text)
	}
	// another program
	commit(t, open(t, path), 0, set("name", "elsewhere"))
	if r := next(); r.Doc.Shop().Name != "elsewhere" || r.Cause != "test" {
		t.Errorf("told %q", r.Cause)
	}
	stop()
	if err := <-done; !errors.Is(err, context.Canceled) {
		t.Error(err)
	}
}

// One commit on the largest example: reading, editing by splice, and five flushes of the disk.
func BenchmarkCommit(b *testing.B) {
	path := newFile(b, read(b, filepath.Join("..", "..", "..", "examples", "millrace.yaml")))
	d := open(b, path)
	for i := 0; b.Loop(); i++ {
		commit(b, d, 0, set("machines/planer/port/size", fmt.Sprint(100+i%2, " mm")))
	}
}

func BenchmarkOpen(b *testing.B) {
	path := newFile(b, read(b, filepath.Join("..", "..", "..", "examples", "millrace.yaml")))
	d := open(b, path)
	for i := range 200 {
		commit(b, d, 0, set("machines/planer/port/size", fmt.Sprint(100+i%2, " mm")))
	}
	for b.Loop() {
		open(b, path)
	}
}
