package server

import (
	"bytes"
	"net/http"
	"os"
	"strings"
	"testing"

	"winnow/internal/face/wire"
)

// acts are the acts of several edits, with what the file must and must not say afterwards.
var acts = []struct {
	name      string
	edits     []wire.Edit
	has, lost string
}{
	{"take out a machine of a shared hose", []wire.Edit{{TakeOut: "machines/planer"}}, "from: jointer", "planer"},
	{"take out one of a pair", []wire.Edit{{TakeOut: "machines/sander"}}, "from: cap", "[mitre saw, sander]"},
	{"duplicate a machine", []wire.Edit{{Duplicate: "machines/planer", To: text("planer 2")}}, "  planer 2:", "nothing is lost"},
	{"duplicate a run", []wire.Edit{{Duplicate: "systems/collector/runs/saw guard", To: text("twin")}}, "wye: [saw cabinet, saw guard, twin]", "nothing is lost"},
	{"rename a machine", []wire.Edit{{Rename: "machines/planer", To: text("thicknesser")}}, "from: [thicknesser, jointer]", "  planer:"},
	{"after other edits of the same list", []wire.Edit{
		{Rename: "machines/planer", To: text("thicknesser")}, {TakeOut: "machines/thicknesser"}, {Duplicate: "machines/lathe", To: text("small lathe")},
	}, "  small lathe:", "thicknesser"},
}

// Each act is tried in a look as it is written by edits, and undo brings every byte back.
func TestActsOfSeveralEdits(t *testing.T) {
	for _, act := range acts {
		t.Run(act.name, func(t *testing.T) {
			_, web, path := open(t, nil)
			before, _ := os.ReadFile(path)
			var look wire.Look
			if code := post(t, web.URL+"/api/shops/shop/look", wire.Ask{Edits: act.edits, Want: []string{"layout", "alone"}}, &look); code != http.StatusOK {
				t.Fatalf("tried: %d", code)
			}
			var done, again wire.Changed
			change := wire.Change{ID: act.name, Cause: act.name, Edits: act.edits}
			if code := post(t, web.URL+"/api/shops/shop/edits", change, &done); code != http.StatusOK {
				t.Fatalf("written: %d", code)
			}
			if code := post(t, web.URL+"/api/shops/shop/edits", change, &again); code != http.StatusOK || again.Rev != done.Rev {
				t.Errorf("the same request again: %d, revision %d instead of %d", code, again.Rev, done.Rev)
			}
			after, _ := os.ReadFile(path)
			body := string(after[bytes.Index(after, []byte("\nwinnow: 1")):]) // the opening comment speaks of the planer too
			if !strings.Contains(body, act.has) || strings.Contains(body, act.lost) {
				t.Errorf("has %q: %t, lost %q: %t", act.has, strings.Contains(body, act.has), act.lost, !strings.Contains(body, act.lost))
			}
			var st wire.State
			get(t, web.URL+"/api/shops/shop", &st)
			if len(st.Layout.Machines) != len(look.Layout.Machines) || len(st.Layout.Lays) != len(look.Layout.Lays) {
				t.Error("what was tried is not what was written")
			}
			post(t, web.URL+"/api/shops/shop/undo", map[string]any{"rev": done.Rev, "id": "u"}, nil)
			if now, _ := os.ReadFile(path); !bytes.Equal(now, before) {
				t.Error("undo did not bring the identical file back")
			}
		})
	}
}

// A change made elsewhere meanwhile does not keep a machine from being taken out, unless it is about that machine.
func TestAnActIsMadeWhereTheFileHasGone(t *testing.T) {
	_, web, path := open(t, nil)
	src, _ := os.ReadFile(path)
	src = bytes.Replace(src, []byte("- [mitre saw, sander]"), []byte("- [band saw, lathe]\n    - [mitre saw, sander]"), 1)
	if err := os.WriteFile(path, src, 0o644); err != nil {
		t.Fatal(err)
	}
	var done wire.Changed
	if code := post(t, web.URL+"/api/shops/shop/edits", wire.Change{Rev: 1, Cause: "sold", Edits: []wire.Edit{{TakeOut: "machines/sander"}}}, &done); code != http.StatusOK {
		t.Fatal(code)
	}
	now, _ := os.ReadFile(path)
	if !bytes.Contains(now, []byte("- [band saw, lathe]")) || bytes.Contains(now, []byte("- [mitre saw, sander]")) {
		t.Error("the wrong line was taken out")
	}
}

func TestActsThatCannotBe(t *testing.T) {
	_, web, path := open(t, nil)
	before, _ := os.ReadFile(path)
	for _, e := range []wire.Edit{
		{TakeOut: "machines/ghost"},
		{TakeOut: "systems/collector"},
		{TakeOut: "machines/planer", To: text("x")},
		{TakeOut: "machines/planer", Remove: "name"},
		{Duplicate: "machines/planer"},
		{Duplicate: "machines/ghost", To: text("x")},
		{Duplicate: "machines/planer", To: text("jointer")},
		{Duplicate: "machines/planer", To: text(" ")},
		{TakeOut: "machines/planer", Duplicate: "machines/planer"},
		{Duplicate: "name", To: text("x")},
	} {
		if code := post(t, web.URL+"/api/shops/shop/look", wire.Ask{Edits: []wire.Edit{e}}, nil); code != http.StatusUnprocessableEntity {
			t.Errorf("%+v tried: %d", e, code)
		}
		if code := post(t, web.URL+"/api/shops/shop/edits", wire.Change{Edits: []wire.Edit{e}}, nil); code != http.StatusUnprocessableEntity {
			t.Errorf("%+v written: %d", e, code)
		}
	}
	if now, _ := os.ReadFile(path); !bytes.Equal(now, before) {
		t.Error("a refused act changed the file")
	}
}

// Undo with nothing to undo is no failure: nothing happens, and the answer says so by saying nothing.
func TestNothingToUndoIsQuiet(t *testing.T) {
	_, web, _ := open(t, nil)
	for _, step := range []string{"undo", "redo"} {
		var done wire.Changed
		if code := post(t, web.URL+"/api/shops/shop/"+step, map[string]any{"rev": 1, "id": step}, &done); code != http.StatusOK || done.Rev != 1 || done.What != "" {
			t.Errorf("%s: %d, %+v", step, code, done)
		}
	}
}
