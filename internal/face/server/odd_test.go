package server

import (
	"context"
	"encoding/json"
	"errors"
	"os"
	"path/filepath"
	"slices"
	"testing"
	"time"

	"pgregory.net/rapid"

	"winnow/internal/face/wire"
	"winnow/internal/shop"
	"winnow/internal/shop/file"
)

// oddValues can stand in many places of a shop file; most of them no owner would write, and some somebody does.
var oddValues = []string{
	"unknown", "none", "0 ft", "0.001 mm", "9000 ft", "0 cfm", "1 cfm", "99999 cfm", "0 inH2O", "500 inH2O", "0 A", "1 A", "9999 A", "0 V", "1 V", "0 W", "1 MW", "0 h", "9999 h",
	"0 ft2", "0.01 ft2", "1 %", "100 %", "0°", "180°", "359°", "-40 °F", "140 °F", "12000 ft", "0 gal", "0 s", "9999 s", "cap", "balance", "isolate", "open", "shut", "iec", "si", "3 hp", "0 hp", "drawn", "0 dBA",
}

// pathsOf are all places of a file that have a value.
func pathsOf(d *file.Doc) []shop.Path {
	var all []shop.Path
	var walk func(p shop.Path, v shop.Value)
	walk = func(p shop.Path, v shop.Value) {
		if p != "" {
			all = append(all, p)
		}
		for i, k := range v.Keys {
			walk(p.Join(k), v.Items[i])
		}
	}
	if v, ok := d.Value(""); ok {
		walk("", *v)
	}
	for _, y := range d.Shop().Systems {
		for _, r := range y.Runs {
			for i := range r.Pieces {
				p := shop.PiecePath(y.Name, r, i)
				all = append(all, p)
				if v, ok := d.Value(p); ok {
					for _, k := range v.Keys {
						all = append(all, p.Join(k))
					}
				}
			}
		}
	}
	return all
}

// Whatever an owner makes of a shop by a few edits, a look is an answer that can be sent, or a refusal, never a fault of ours.
func TestOddShopsAreAnswered(t *testing.T) {
	if testing.Short() {
		t.Skip("the race stage looks at what happens side by side; here nothing does, and core runs it in full")
	}
	type seed struct {
		s     *Server
		paths []shop.Path
	}
	var seeds []seed
	for _, example := range []string{"carport.yaml", "garden-shed.yaml", "millrace.yaml"} {
		src, err := os.ReadFile(filepath.Join("..", "..", "..", "examples", example))
		if err != nil {
			t.Fatal(err)
		}
		doc, faults := file.Parse(src)
		if len(faults) > 0 {
			t.Fatal(faults[0])
		}
		s, _, _ := openShop(t, example, nil)
		seeds = append(seeds, seed{s, pathsOf(doc)})
	}
	answered, slowest, slow := 0, time.Duration(0), wire.Ask{}
	rapid.Check(t, func(t *rapid.T) {
		from := rapid.SampledFrom(seeds).Draw(t, "example")
		doc := from.s.Desk.Head().Doc
		var all []wire.Edit // those that leave a shop without faults
		for range rapid.IntRange(1, 12).Draw(t, "edits") {
			edits := slices.Clone(all)
			path := string(rapid.SampledFrom(from.paths).Draw(t, "path"))
			switch rapid.IntRange(0, 9).Draw(t, "act") {
			case 0, 1:
				edits = append(edits, wire.Edit{Remove: path})
			case 2:
				edits = append(edits, wire.Edit{TakeOut: path})
			case 3:
				edits = append(edits, wire.Edit{Duplicate: path, To: text("twin")})
			default:
				edits = append(edits, wire.Edit{Set: path, To: text(rapid.SampledFrom(oddValues).Draw(t, "value"))})
			}
			if plain, err := editsOf(doc, edits); err == nil {
				if _, err := doc.Try(plain...); err == nil {
					all = edits
				}
			}
		}
		machines := doc.Shop().Machines
		wants := [][]string{{"alone", "findings", "layout"}, {"ranges", "sheet", "curve"}, {"remedies"}, {"power"}, {"gates"}} // each takes its time
		ask := wire.Ask{Edits: all, Want: rapid.SampledFrom(wants).Draw(t, "want")}
		if rapid.IntRange(0, 19).Draw(t, "of the room") == 7 {
			ask.Want = []string{"air"}
		}
		for _, m := range machines[:rapid.IntRange(0, 3).Draw(t, "running")] {
			ask.Running, ask.Select = append(ask.Running, wire.AskRunning{Machine: m.Name}), m.Name
		}
		began := time.Now()
		look, err := from.s.look(context.Background(), ask)
		if took := time.Since(began); took > slowest {
			slowest, slow = took, ask
		}
		var refused *file.EditError
		if errors.As(err, &refused) || errors.Is(err, errBadAsk) {
			return
		}
		if err != nil {
			t.Fatalf("%v", err)
		}
		if _, err := json.Marshal(look); err != nil { // a number that is none, above all
			t.Fatalf("the answer cannot be sent: %v", err)
		}
		answered++
	})
	if answered == 0 {
		t.Error("no odd shop was answered: the drawing is broken")
	}
	t.Logf("%d odd shops answered; the slowest took %v: %+v", answered, slowest, slow)
}
