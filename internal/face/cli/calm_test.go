package cli

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// A shop file from somebody else must not reach the terminal's controls: neither by a name, nor by the name of the file.
func TestControlCharactersAreShownNotObeyed(t *testing.T) {
	path := filepath.Join(t.TempDir(), "a\x1b]0;owned\x07b.yaml")
	if err := os.WriteFile(path, []byte("winnow: 1\nname: \"a\\x1b[2Jb\\u009b2Jc\"\nmachnes: {}\n"), 0o644); err != nil {
		t.Fatal(err)
	}
	for _, args := range [][]string{{"check", path}, {"airflow", path}, {"set", path, "name", "x"}, {"check", path + "\x1b[2J"}} {
		var out, errs bytes.Buffer
		Run(args, strings.NewReader(""), &out, &errs)
		said := out.String() + errs.String()
		if strings.ContainsAny(said, "\x1b\x07\u009b") {
			t.Errorf("winnow %q reaches the terminal's controls: %q", args, said)
		}
		if !strings.Contains(said, "\ufffd") {
			t.Errorf("winnow %q hides that something was there: %q", args, said)
		}
	}
}
