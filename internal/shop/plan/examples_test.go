package plan_test

import (
	"os"
	"path/filepath"
	"testing"

	"winnow/internal/shop"
	"winnow/internal/shop/file"
	"winnow/internal/shop/plan"
	"winnow/internal/shop/typical"
	"winnow/internal/unit"
)

// The example shops, read and filled as the program does it: nothing that is drawn stays unmeasured, and no arrangement
// makes a problem.
func TestExamples(t *testing.T) {
	paths, err := filepath.Glob("../../../examples/*.yaml")
	if err != nil || len(paths) == 0 {
		t.Fatalf("no examples: %v", err)
	}
	for _, path := range paths {
		src, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		doc, faults := file.Parse(src)
		if len(faults) > 0 {
			t.Errorf("%s: %d faults", path, len(faults))
			continue
		}
		s, _ := typical.Fill(doc.Shop())
		names := []shop.ID{""}
		for i := range s.Arrangements {
			names = append(names, s.Arrangements[i].Name)
		}
		for _, name := range names {
			l, found := plan.Of(s, name)
			for i := range l.Pieces {
				if p := &l.Pieces[i]; p.Length.Basis == unit.Unsaid {
					t.Errorf("%s %s: %s has no length", path, name, p.Path)
				}
			}
			for _, f := range found {
				if f.Code.Severity == shop.Problem {
					t.Errorf("%s %s: %s", path, name, f.Sentence(unit.US))
				} else {
					t.Logf("%s %s: %s", filepath.Base(path), name, f.Sentence(unit.US))
				}
			}
		}
	}
}
