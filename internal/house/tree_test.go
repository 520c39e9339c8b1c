package house

import (
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

// Every package opens by saying what it is for, what it refuses to know and where to start reading.
func TestEveryPackageSaysWhatItIsFor(t *testing.T) {
	docs := map[string]string{}
	for _, root := range []string{"..", "../../cmd", "../../dev"} {
		err := filepath.WalkDir(root, func(path string, d fs.DirEntry, err error) error {
			if err != nil || d.IsDir() || !strings.HasSuffix(path, ".go") || strings.HasSuffix(path, "_test.go") {
				return err
			}
			f, err := parser.ParseFile(token.NewFileSet(), path, nil, parser.PackageClauseOnly|parser.ParseComments)
			if err != nil {
				return err
			}
			docs[filepath.Dir(path)] += f.Doc.Text()
			return nil
		})
		if err != nil {
			t.Fatal(err)
		}
	}
	if len(docs) < 5 {
		t.Fatalf("only %d packages found: the walk is broken", len(docs))
	}
	for dir, doc := range docs {
		if len(doc) < 80 {
			t.Errorf("%s: the package comment is missing or says too little: %q", dir, doc)
		}
	}
}

var (
	machinePath = regexp.MustCompile(`(^|[\s"'(])/(home|root|work|Users)/`)
	lockAddress = regexp.MustCompile(`"resolved": "http`)
)

// A path of one machine or a download address in the tree would bind the project to one place.
func TestNothingOfOneMachineIsInTheTree(t *testing.T) {
	files := 0
	err := filepath.WalkDir("../..", func(path string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		if d.IsDir() {
			switch d.Name() {
			case ".git", "node_modules", "dist", ".cache":
				return filepath.SkipDir
			}
			return nil
		}
		switch filepath.Ext(path) {
		case ".go", ".md", ".yaml", ".json", ".ts", ".svelte", ".mjs", ".txt", ".txtar", ".tsv":
		default:
			return nil
		}
		src, err := os.ReadFile(path)
		if err != nil {
			return err
		}
		files++
		if m := machinePath.Find(src); m != nil && !strings.HasSuffix(path, "tree_test.go") {
			t.Errorf("%s holds a path of one machine: %q", path, m)
		}
		if strings.HasSuffix(path, "package-lock.json") && lockAddress.Match(src) {
			t.Errorf("%s records download addresses: strip \"resolved\"", path)
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	if files < 50 {
		t.Fatalf("only %d files found: the walk is broken", files)
	}
}
