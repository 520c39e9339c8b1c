package gates

import (
	"flag"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

var update = flag.Bool("update", false, "write the stories anew: read the difference before it is kept")

// A change of behaviour is a difference to read: each scenario stands beside the story it makes.
func TestStories(t *testing.T) {
	scenarios, err := filepath.Glob(filepath.Join("testdata", "stories", "*.txt"))
	if err != nil || len(scenarios) < 4 {
		t.Fatalf("%d scenarios; %v", len(scenarios), err)
	}
	for _, path := range scenarios {
		t.Run(filepath.Base(path), func(t *testing.T) {
			scenario, err := os.ReadFile(path)
			if err != nil {
				t.Fatal(err)
			}
			got, err := Play(bench(nil), string(scenario))
			if err != nil {
				t.Fatal(err)
			}
			golden := strings.TrimSuffix(path, ".txt") + ".story"
			if *update {
				if err := os.WriteFile(golden, []byte(got), 0o644); err != nil {
					t.Fatal(err)
				}
			}
			want, err := os.ReadFile(golden)
			if err != nil {
				t.Fatal(err)
			}
			if got != string(want) {
				t.Errorf("got\n%s\nwant\n%s", got, want)
			}
		})
	}
}
