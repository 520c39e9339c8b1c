package cli

import (
	"bytes"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

var (
	blockCommand  = regexp.MustCompile(`(?m)^(?:    )?(?:\$ )?(winnow [a-z][^\n\\]*(?:\\\n[^\n\\]*)*)$`)
	inlineCommand = regexp.MustCompile("`(winnow [a-z][^`]*)`")
	placeholder   = regexp.MustCompile(`\b[A-Z]{4,}\b`) // FILE, MACHINE: how a command is used, not a command
)

// docCommands are the command lines that a text shows: in blocks, and whole ones inside sentences.
func docCommands(text string) []string {
	var all []string
	for _, m := range blockCommand.FindAllStringSubmatch(text, -1) {
		all = append(all, m[1])
	}
	for _, m := range inlineCommand.FindAllStringSubmatch(text, -1) {
		if strings.Contains(m[1], ".yaml") {
			all = append(all, m[1])
		}
	}
	return all
}

// words splits a command line as a shell does: quotes, a # that begins a comment, a backslash that joins lines.
func words(t *testing.T, line string) []string {
	t.Helper()
	line = strings.ReplaceAll(line, "\\\n", " ")
	var out []string
	var word strings.Builder
	quote, inWord := rune(0), false
	for _, r := range line {
		switch {
		case quote != 0 && r == quote:
			quote = 0
		case quote != 0:
			word.WriteRune(r)
		case r == '\'' || r == '"':
			quote, inWord = r, true
		case r == '#' && !inWord:
			return out
		case r == ' ' || r == '\t':
			if inWord {
				out = append(out, word.String())
				word.Reset()
				inWord = false
			}
		default:
			word.WriteRune(r)
			inWord = true
		}
	}
	if quote != 0 {
		t.Fatalf("a quote is left open in %q", line)
	}
	if inWord {
		out = append(out, word.String())
	}
	return out
}

// Every command that the docs show runs. Exit code 1 is an answer too: the demo shop has its faults.
func TestEveryCommandInTheDocsRuns(t *testing.T) {
	root, err := filepath.Abs(filepath.Join("..", "..", ".."))
	if err != nil {
		t.Fatal(err)
	}
	docs, err := filepath.Glob(filepath.Join(root, "docs", "*.md"))
	if err != nil {
		t.Fatal(err)
	}
	ran := 0
	for _, doc := range append(docs, filepath.Join(root, "README.md")) {
		text, err := os.ReadFile(doc)
		if err != nil {
			t.Fatal(err)
		}
		for _, line := range docCommands(string(text)) {
			args := words(t, line)[1:]
			if args[0] == "serve" || args[0] == "new" && len(args) < 3 || placeholder.MatchString(line) {
				continue // would wait for somebody, or is a pattern
			}
			ran++
			t.Run(filepath.Base(doc)+"/"+line, func(t *testing.T) { runInShop(t, root, args) })
		}
	}
	if ran < 12 {
		t.Errorf("only %d commands found in the docs: the search is broken", ran)
	}
}

// runInShop runs a command in a folder that holds the demo shop as shop.yaml, the examples and the stories.
func runInShop(t *testing.T, root string, args []string) {
	dir := t.TempDir()
	shop, err := os.ReadFile(filepath.Join(root, "examples", "carport.yaml"))
	if err != nil {
		t.Fatal(err)
	}
	if err := os.CopyFS(filepath.Join(dir, "examples"), os.DirFS(filepath.Join(root, "examples"))); err != nil {
		t.Fatal(err)
	}
	if err := os.CopyFS(filepath.Join(dir, "docs", "stories"), os.DirFS(filepath.Join(root, "docs", "stories"))); err != nil {
		t.Fatal(err)
	}
	if args[0] != "new" {
		if err := os.WriteFile(filepath.Join(dir, "shop.yaml"), shop, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	t.Chdir(dir)
	if args[0] == "undo" || args[0] == "redo" { // there must be something to take back
		Run([]string{"set", "shop.yaml", "name", "Another name"}, strings.NewReader(""), &bytes.Buffer{}, &bytes.Buffer{})
	}
	var out, errs bytes.Buffer
	if code := Run(args, strings.NewReader(""), &out, &errs); code > exitFailing {
		t.Errorf("winnow %s: exit code %d\n%s", strings.Join(args, " "), code, errs.String())
	}
}

// What the README shows is what the program prints.
func TestTheReadmeShowsARealRun(t *testing.T) {
	root := filepath.Join("..", "..", "..")
	text, err := os.ReadFile(filepath.Join(root, "README.md"))
	if err != nil {
		t.Fatal(err)
	}
	_, after, found := strings.Cut(string(text), "$ go run ./dev run check examples/carport.yaml\n\n```\n")
	shown, _, closed := strings.Cut(after, "...\n```")
	if !found || !closed {
		t.Fatal("the README shows no run of check any more")
	}
	var out, errs bytes.Buffer
	Run([]string{"check", filepath.Join(root, "examples", "carport.yaml")}, strings.NewReader(""), &out, &errs)
	if !strings.HasPrefix(out.String(), shown) {
		t.Errorf("the README shows what the program no longer prints. Put this there:\n%s", out.String()[:min(len(shown)+400, out.Len())])
	}
}
