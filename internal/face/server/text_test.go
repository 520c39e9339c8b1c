package server

import (
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"winnow/internal/face/wire"
	"winnow/internal/live/desk"
)

// An emptied text is a text: it has the faults that the same file has on the disk, and is not answered as if it were saved.
func TestAnEmptyTextIsAText(t *testing.T) {
	_, web, path := open(t, nil)
	before, _ := os.ReadFile(path)
	shop := web.URL + "/api/shops/shop"
	for _, draft := range []string{"", "\n", "# all gone\n"} {
		onDisk := filepath.Join(t.TempDir(), "shop.yaml")
		if err := os.WriteFile(onDisk, []byte(draft), 0o600); err != nil {
			t.Fatal(err)
		}
		d, err := desk.Open(onDisk, time.Now)
		if err != nil {
			t.Fatal(err)
		}
		want := faults(d.Head().Doc.Faults())
		if len(want) == 0 {
			t.Fatalf("%q has no fault on the disk", draft)
		}
		var look wire.Look
		if code := post(t, shop+"/look", wire.Ask{Text: &draft}, &look); code != http.StatusOK || len(look.Faults) != len(want) || look.Faults[0] != want[0] {
			t.Errorf("a look at %q: %d, %d faults", draft, code, len(look.Faults))
		}
		var said struct{ Faults []wire.Fault }
		code := post(t, shop+"/edits", wire.Change{Text: &draft, Cause: "emptied"}, &said)
		if code != http.StatusUnprocessableEntity || len(said.Faults) != len(want) || said.Faults[0] != want[0] {
			t.Errorf("%q is saved with %d and %d faults", draft, code, len(said.Faults))
		}
	}
	if now, _ := os.ReadFile(path); string(now) != string(before) {
		t.Error("the file was changed")
	}
}

// Edits beside a text were dropped in silence, and nothing at all was answered as saved.
func TestAChangeIsEditsOrAText(t *testing.T) {
	_, web, path := open(t, nil)
	before, _ := os.ReadFile(path)
	shop := web.URL + "/api/shops/shop"
	edits, whole := []wire.Edit{{Set: "name", To: text("another")}}, string(before)
	for what, code := range map[string]int{
		"both":      post(t, shop+"/edits", wire.Change{Text: &whole, Edits: edits, Cause: "both"}, nil),
		"neither":   post(t, shop+"/edits", wire.Change{Cause: "neither"}, nil),
		"both seen": post(t, shop+"/look", wire.Ask{Text: &whole, Edits: edits}, nil),
	} {
		if code != http.StatusUnprocessableEntity {
			t.Errorf("%s: %d", what, code)
		}
	}
	if now, _ := os.ReadFile(path); string(now) != string(before) {
		t.Error("the file was changed")
	}
}

// In a shop with joined machines of which none runs, the sentence does not say that none is joined.
func TestNothingRunsIsNotNothingJoined(t *testing.T) {
	_, web, _ := open(t, nil)
	var idle, bare wire.Look
	post(t, web.URL+"/api/shops/shop/look", wire.Ask{}, &idle)
	if len(idle.Sentence) != 1 || !strings.HasPrefix(idle.Sentence[0].Text, "Nothing runs") {
		t.Errorf("idle: %+v", idle.Sentence)
	}
	draft := "winnow: 1\nmachines:\n  planer: {kind: planer}\n"
	post(t, web.URL+"/api/shops/shop/look", wire.Ask{Text: &draft}, &bare)
	if len(bare.Sentence) != 1 || !strings.HasPrefix(bare.Sentence[0].Text, "No machine is joined") {
		t.Errorf("nothing joined: %+v, %+v", bare.Sentence, bare.Faults)
	}
}
