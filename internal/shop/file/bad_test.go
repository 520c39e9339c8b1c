package file

import (
	"flag"
	"os"
	"path/filepath"
	"reflect"
	"regexp"
	"strings"
	"testing"
	"unicode/utf8"

	"winnow/internal/shop"
)

var update = flag.Bool("update", false, "write the golden files anew")

// made here, because a file of four million bytes does not belong beside the others
var madeHere = map[string]func() []byte{
	"too-big": func() []byte { return []byte(strings.Repeat("# dust\n", maxBytes/7+1)) },
}

// places of the files that cannot say so themselves: their bytes are the trouble.
var placesOf = map[string]Pos{
	"not-utf8": {2, 10}, "nul-byte": {2, 11}, "odd-character": {2, 11}, "too-big": {1, 1}, "empty-file": {1, 1}, "directive": {1, 1},
}

// testKinds stand in for the vocabulary of typical values.
var testKinds = WithKinds(Vocabulary{
	Machines: []string{"thickness planer", "jointer", "lathe", "cabinet saw"},
	Ducts:    []string{"spiral steel", "ribbed hose", "wire-helix hose", "smooth hose"},
})

func badFile(t *testing.T, name string) []byte {
	if made := madeHere[name]; made != nil {
		return made()
	}
	return read(t, filepath.Join(testdata, "bad", name+".yaml"))
}

// marked is the place a bad file says its fault is at: under a line a comment `#   ^`, or `#!` for its first column.
func marked(src []byte) (Pos, bool) {
	lines := strings.Split(string(src), "\n")
	for i, l := range lines {
		if l == "#!" {
			return Pos{i, 1}, true
		}
		if before, found := strings.CutSuffix(l, "^"); found && strings.HasPrefix(l, "#") && strings.TrimLeft(before[1:], " ") == "" {
			return Pos{i, utf8.RuneCountInString(before) + 1}, true
		}
	}
	return Pos{}, false
}

func TestEveryCodeHasABadFileThatShowsIt(t *testing.T) {
	var golden strings.Builder
	for _, c := range Codes {
		t.Run(c.Name, func(t *testing.T) {
			src := badFile(t, c.Name)
			want, ok := marked(src)
			if !ok {
				if want, ok = placesOf[c.Name]; !ok {
					t.Fatal("the file does not say where its fault is")
				}
			}
			_, faults := Parse(src, testKinds)
			for _, f := range faults {
				golden.WriteString(f.Text(c.Name + ".yaml"))
			}
			if len(faults) != 1 || faults[0].Code != c {
				t.Fatalf("got %d faults, want one [%s]:\n%s", len(faults), c.Name, texts(faults))
			}
			if faults[0].Pos != want {
				t.Errorf("got line %d column %d, want %d %d:\n%s", faults[0].Pos.Line, faults[0].Pos.Column, want.Line, want.Column, texts(faults))
			}
			if c.Help == "" || faults[0].What == "" || faults[0].Cure == "" {
				t.Errorf("a fault says what is wrong and what to do: %+v", faults[0])
			}
			if strings.HasSuffix(faults[0].What, ".") {
				t.Errorf("what is wrong ends with a full stop: %s", faults[0].What)
			}
		})
	}
	compareGolden(t, filepath.Join(testdata, "bad", "faults.txt"), golden.String())
}

func TestEveryBadFileHasACode(t *testing.T) {
	files, err := filepath.Glob(filepath.Join(testdata, "bad", "*.yaml"))
	if err != nil || len(files) == 0 {
		t.Fatal("no bad files", err)
	}
	known := map[string]bool{}
	for _, c := range Codes {
		known[c.Name] = true
	}
	for _, f := range files {
		if name := strings.TrimSuffix(filepath.Base(f), ".yaml"); !known[name] {
			t.Errorf("%s shows no fault there is", name)
		}
	}
}

func compareGolden(t *testing.T, name, got string) {
	t.Helper()
	if *update {
		if err := os.WriteFile(name, []byte(got), 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	if want := string(read(t, name)); got != want {
		t.Errorf("%s differs from what is made now; look at the change, then run with -update", name)
	}
}

func texts(faults []Fault) string {
	var b strings.Builder
	for _, f := range faults {
		b.WriteString(f.Text("shop.yaml"))
	}
	return b.String()
}

// No message may show the inside of the program: a type's name, a package, the library's own words.
func TestMessagesAreInTheOwnersWords(t *testing.T) {
	inside := regexp.MustCompile(`\b(reflect|yaml:|go-yaml|unit\.|shop\.[A-Z]|Amount|M3PerSec|MPerSec|nil|struct|slice|\[\]|strconv|EOF|token|scalar|node|mapping|sequence|simple key|float64|int64|goroutine)\b|%!|<nil>|&\{`)
	said := messages(t)
	for _, text := range said {
		if m := inside.FindString(text); m != "" {
			t.Errorf("%q in a message:\n%s", m, text)
		}
	}
	var check func(ty reflect.Type)
	seen := map[reflect.Type]bool{}
	all := strings.Join(said, "\n")
	check = func(ty reflect.Type) {
		for ty.Kind() == reflect.Slice || ty.Kind() == reflect.Pointer {
			ty = ty.Elem()
		}
		if ty.Kind() != reflect.Struct || seen[ty] {
			return
		}
		seen[ty] = true
		if strings.Contains(all, "shop."+ty.Name()) || strings.Contains(all, "unit."+ty.Name()) {
			t.Errorf("a message names the type %s", ty.Name())
		}
		for i := range ty.NumField() {
			check(ty.Field(i).Type)
		}
	}
	check(reflect.TypeFor[shop.Shop]())
}

// messages are all the faults of all the bad files, and of the good one damaged line by line.
func messages(t *testing.T) []string {
	var all []string
	for _, c := range Codes {
		_, faults := Parse(badFile(t, c.Name), testKinds)
		for _, f := range faults {
			all = append(all, f.What+"\n"+f.Cure)
		}
	}
	lines := strings.Split(string(whole(t)), "\n")
	for i, l := range lines {
		if len(l) == 0 || l[0] == '#' {
			continue
		}
		damage := []string{l + " x", strings.Replace(l, ":", "", 1), strings.Replace(l, "{", "", 1), strings.Replace(l, "[", "{", 1), "\t" + l, strings.Replace(l, " ", "", 1)}[i%6]
		damaged := append(append(append([]string{}, lines[:i]...), damage), lines[i+1:]...)
		_, faults := Parse([]byte(strings.Join(damaged, "\n")), testKinds)
		for _, f := range faults {
			all = append(all, f.What+"\n"+f.Cure)
		}
	}
	return all
}
