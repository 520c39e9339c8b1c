package power

import (
	"testing"

	"winnow/internal/shop"
	"winnow/internal/shop/file"
	"winnow/internal/shop/typical"
	"winnow/internal/unit"
)

// written reads a shop as an owner writes it, fills it, and gives the trial of its edits.
func written(t testing.TB, src string) (*shop.Shop, shop.Trial) {
	t.Helper()
	doc, faults := file.Parse([]byte(src))
	for _, f := range faults {
		t.Error(f.Text("shop.yaml"))
	}
	if len(faults) > 0 {
		t.FailNow()
	}
	s, _ := typical.Fill(doc.Shop())
	return s, doc.Try
}

func studied(t testing.TB, src string) Report {
	t.Helper()
	s, try := written(t, src)
	r, err := Study(t.Context(), s, Options{Trial: try})
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// finding returns the first finding of that code.
func (r Report) finding(code *shop.Code) *shop.Finding {
	for i := range r.Findings {
		if r.Findings[i].Code == code {
			return &r.Findings[i]
		}
	}
	return nil
}

func (r Report) set(t testing.TB, name string) SetResult {
	t.Helper()
	for _, s := range r.Sets {
		if s.Name == name {
			return s
		}
	}
	t.Fatalf("no set %q", name)
	return SetResult{}
}

func (s SetResult) on(t testing.TB, circuit string) Held {
	t.Helper()
	for _, h := range s.Circuits {
		if h.Circuit == circuit {
			return h
		}
	}
	t.Fatalf("set %q has nothing on circuit %q", s.Name, circuit)
	return Held{}
}

func exactly[T unit.Real](v T) unit.Amount[T] { return unit.Exactly(v) }
