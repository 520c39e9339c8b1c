package verdict

import (
	"context"
	"os"
	"path/filepath"
	"testing"

	"winnow/internal/shop/file"
	"winnow/internal/study/airflow"
	"winnow/internal/study/doubt"
)

func example(t testing.TB, name string) *file.Doc {
	t.Helper()
	src, err := os.ReadFile(filepath.Join("..", "..", "..", "examples", name))
	if err != nil {
		t.Fatal(err)
	}
	doc, faults := file.Parse(src)
	for _, f := range faults {
		t.Fatal(f.Text(name))
	}
	return doc
}

// The two figures of the issue of speed: all settings with ranges, and with remedies.
func BenchmarkVerdictMillraceRangesOnly(b *testing.B) {
	doc := example(b, "millrace.yaml")
	for b.Loop() {
		r := Prepare(doc.Shop(), doubt.Prior())
		sets, _ := airflow.EverySetting(r.Shop)
		if _, _, err := airflow.Study(context.Background(), r.Shop, r.Layout, r.Belief, sets); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkVerdictMillraceWithRemedies(b *testing.B) {
	doc := example(b, "millrace.yaml")
	for b.Loop() {
		if _, err := Of(context.Background(), Prepare(doc.Shop(), doubt.Prior()), doc.Try); err != nil {
			b.Fatal(err)
		}
	}
}
