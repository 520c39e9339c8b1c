package house

import (
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
)

// ranks are the storeys of the house, lowest first. A package may import only packages on a lower storey.
var ranks = [][]string{
	{"unit"},
	{"physics/air"},
	{"physics/duct", "physics/fan", "physics/particle", "physics/circuit"},
	{"physics/network"},
	{"shop"},
	{"shop/file", "shop/typical", "shop/plan"},
	{"study/doubt"},
	{"study/airflow"},
	{"study/roomair", "study/power", "study/reach", "study/watch", "study/gates", "study/calibrate", "study/upkeep"},
	{"study/verdict"},
	{"study/next"},
	{"live/store", "live/link", "live/desk"},
	{"live/runner", "live/sim"},
	{"face/wire", "face/report"},
	{"face/server"},
	{"face/cli"},
}

// beside are packages that serve tests and benchmarks of the project, outside the storeys. No storey may import them
// in shipped code.
var beside = map[string]string{
	"house":                    "these tests",
	"refcase":                  "reads published reference cases",
	"physics/network/netcase":  "reads reference networks",
	"physics/network/netbench": "times reference networks",
}

// core storeys must replay the same way every time, so they may touch neither clock, disk, network nor chance.
const lastCoreRank = "study/next"

var forbiddenInCore = map[string]string{
	"os":        "the core gets text and gives text; the edges read and write",
	"syscall":   "the core knows no system",
	"net":       "the core speaks to nobody",
	"log":       "the core returns what it found; the edges report it",
	"math/rand": "chance comes in as an argument",
}

func rankOf(pkg string) int {
	for i, storey := range ranks {
		for _, p := range storey {
			if p == pkg {
				return i
			}
		}
	}
	return -1
}

type imported struct{ file, pkg, path string }

// imports lists the imports of shipped code (tests may look anywhere).
func imports(t *testing.T) []imported {
	t.Helper()
	var all []imported
	err := filepath.WalkDir("..", func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || !strings.HasSuffix(path, ".go") || strings.HasSuffix(path, "_test.go") {
			return err
		}
		f, err := parser.ParseFile(token.NewFileSet(), path, nil, parser.ImportsOnly)
		if err != nil {
			return err
		}
		for _, spec := range f.Imports {
			p, err := strconv.Unquote(spec.Path.Value)
			if err != nil {
				return err
			}
			pkg := filepath.ToSlash(strings.TrimPrefix(filepath.Dir(path), ".."+string(filepath.Separator)))
			all = append(all, imported{path, pkg, p})
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	if len(all) < 10 {
		t.Fatalf("only %d imports found: the walk is broken", len(all))
	}
	return all
}

func TestEachPackageImportsOnlyLowerStoreys(t *testing.T) {
	for _, im := range imports(t) {
		from := rankOf(im.pkg)
		if from < 0 {
			if _, ok := beside[im.pkg]; !ok {
				t.Errorf("%s: package %s stands on no storey: give it a place in ranks, with a reason in docs/architecture.md", im.file, im.pkg)
			}
			continue
		}
		other, ours := strings.CutPrefix(im.path, "winnow/internal/")
		if !ours {
			continue
		}
		if _, ok := beside[other]; ok {
			t.Errorf("%s imports %s, which only tests may", im.file, other)
		} else if to := rankOf(other); to >= from {
			t.Errorf("%s: %s may not import %s, which is not on a lower storey", im.file, im.pkg, other)
		}
	}
}

func TestTheCoreTouchesNothingOfTheWorld(t *testing.T) {
	last := rankOf(lastCoreRank)
	for _, im := range imports(t) {
		if r := rankOf(im.pkg); r < 0 || r > last {
			continue
		}
		for path, why := range forbiddenInCore {
			if im.path == path || strings.HasPrefix(im.path, path+"/") {
				t.Errorf("%s imports %s: %s", im.file, im.path, why)
			}
		}
		if strings.HasPrefix(im.path, "go.yaml.in/yaml") && im.pkg != "shop/file" {
			t.Errorf("%s imports %s: only shop/file reads YAML", im.file, im.path)
		}
	}
}

// The clock is a function, not an import: time itself is wanted for durations.
func TestTheCoreNeverAsksTheClock(t *testing.T) {
	last := rankOf(lastCoreRank)
	seen := map[string]bool{}
	for _, im := range imports(t) {
		if r := rankOf(im.pkg); r < 0 || r > last || seen[im.file] {
			continue
		}
		seen[im.file] = true
		src, err := os.ReadFile(im.file)
		if err != nil {
			t.Fatal(err)
		}
		for _, call := range []string{"time.Now(", "time.Since(", "time.Until(", "time.After(", "time.AfterFunc(", "time.Sleep(", "time.NewTimer(", "time.NewTicker(", "time.Tick("} {
			if strings.Contains(string(src), call) {
				t.Errorf("%s calls %s): time comes in as an argument", im.file, call)
			}
		}
	}
}
