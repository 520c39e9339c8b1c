package server

import (
	"bufio"
	"net/http"
	"os"
	"strings"
	"testing"

	"winnow/internal/face/wire"
)

// Two shops served at one address, one after the other, have the same revision numbers. What a page read of the first is not
// written into the second.
func TestWhatIsMeantForAnotherShopIsRefused(t *testing.T) {
	_, web, _ := openShop(t, "carport.yaml", nil)
	var first wire.State
	get(t, web.URL+"/api/shops/shop", &first)
	_, web, path := openShop(t, "garden-shed.yaml", nil)
	shop := web.URL + "/api/shops/shop"
	var second wire.State
	get(t, shop, &second)
	if first.Rev != second.Rev || first.Run == second.Run || second.Run == "" {
		t.Fatalf("revision %d of run %q, then %d of %q", first.Rev, first.Run, second.Rev, second.Run)
	}
	var said struct{ Yours, Theirs, Detail string }
	name := []wire.Edit{{Set: "name", To: text("carport")}}
	if code := post(t, shop+"/edits", wire.Change{Rev: first.Rev, Run: first.Run, Cause: "named", Edits: name}, &said); code != http.StatusConflict {
		t.Errorf("an edit for the first shop: %d", code)
	}
	if said.Theirs != second.Text || !strings.Contains(said.Yours, "carport") || !strings.Contains(said.Detail, "started anew") {
		t.Errorf("it is refused with %d and %d bytes: %s", len(said.Yours), len(said.Theirs), said.Detail)
	}
	if code := post(t, shop+"/edits", wire.Change{Rev: first.Rev, Run: first.Run, Cause: "typed", Text: &first.Text}, &said); code != http.StatusConflict || said.Yours != first.Text {
		t.Errorf("the text of the first shop: %d", code)
	}
	step := map[string]any{"rev": 0, "run": first.Run, "id": ""}
	for _, which := range []string{"/undo", "/redo"} {
		said.Theirs = ""
		if code := post(t, shop+which, step, &said); code != http.StatusConflict || said.Theirs != second.Text {
			t.Errorf("%s for the first shop: %d", which, code)
		}
	}
	if now, _ := os.ReadFile(path); string(now) != second.Text {
		t.Error("a refused change was written")
	}
	for _, run := range []string{second.Run, ""} { // scripts say none
		if code := post(t, shop+"/edits", wire.Change{Run: run, Cause: "named", Edits: []wire.Edit{{Set: "name", To: text("shed " + run)}}}, nil); code != http.StatusOK {
			t.Errorf("an edit of run %q: %d", run, code)
		}
	}
	resp, err := http.Get(shop + "/events")
	if err != nil {
		t.Fatal(err)
	}
	defer resp.Body.Close()
	for lines := bufio.NewScanner(resp.Body); lines.Scan(); {
		if data, ok := strings.CutPrefix(lines.Text(), "data: "); ok {
			if !strings.Contains(data, `"run":"`+second.Run+`"`) {
				t.Errorf("the stream begins with %s", data)
			}
			break
		}
	}
}
