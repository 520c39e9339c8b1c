package desk

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"testing"

	"pgregory.net/rapid"
)

// model is what an owner expects of undo: a stack of texts behind, a stack of texts ahead. It knows nothing of revisions.
type model struct {
	text          string
	behind, ahead []string
	// steps that must be there, whatever of the history was let go: no more than are kept
	sure, sureAhead int
}

const modelKeeps = 6

func (m *model) change(text string) {
	if text == m.text {
		return
	}
	m.behind, m.text, m.ahead = append(m.behind, m.text), text, nil
	m.sure, m.sureAhead = min(m.sure+1, modelKeeps), 0
}

func (m *model) undo() bool {
	if len(m.behind) == 0 {
		return false
	}
	n := len(m.behind) - 1
	m.ahead, m.text, m.behind = append(m.ahead, m.text), m.behind[n], m.behind[:n]
	m.sure, m.sureAhead = max(0, m.sure-1), min(m.sureAhead+1, modelKeeps)
	return true
}

func (m *model) redo() bool {
	if len(m.ahead) == 0 {
		return false
	}
	n := len(m.ahead) - 1
	m.behind, m.text, m.ahead = append(m.behind, m.text), m.ahead[n], m.ahead[:n]
	m.sure, m.sureAhead = min(m.sure+1, modelKeeps), max(0, m.sureAhead-1)
	return true
}

// Random changes, undos, redos, hand edits and restarts, on two desks by turns, against the plain stacks. The history is
// kept so short that it is rewritten all the time; as many steps as are kept must be there, and none must be wrong.
func TestAgainstPlainStacks(t *testing.T) {
	folder := t.TempDir()
	if memory, err := os.MkdirTemp("/dev/shm", "desk"); err == nil { // a disk in memory, where there is one: it need not be waited for
		folder = memory
		t.Cleanup(func() { _ = os.RemoveAll(memory) })
	}
	run := 0
	rapid.Check(t, func(t *rapid.T) {
		run++
		path := filepath.Join(folder, fmt.Sprint(run), "shop.yaml")
		if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
			t.Fatal(err)
		}
		text := func(n int) string { return fmt.Sprintf("winnow: 1\nname: shop %d\n", n) }
		put := func(s string) {
			if err := os.WriteFile(path, []byte(s), 0o644); err != nil {
				t.Fatal(err)
			}
		}
		put(text(0))
		start := func() *Desk {
			d, err := Open(path, nil)
			if err != nil {
				t.Fatal(err)
			}
			d.history.keep, d.settled = modelKeeps, 0
			return d
		}
		desks := [2]*Desk{start(), start()}
		m := &model{text: text(0)}
		t.Repeat(map[string]func(*rapid.T){
			"commit": func(t *rapid.T) {
				n := rapid.IntRange(1, 5).Draw(t, "n")
				if _, err := desks[rapid.IntRange(0, 1).Draw(t, "desk")].CommitText(ctx, 0, []byte(text(n)), "test"); err != nil {
					t.Fatal(err)
				}
				m.change(text(n))
			},
			"by hand": func(t *rapid.T) {
				n := rapid.IntRange(1, 5).Draw(t, "n")
				put(text(n))
				if _, err := desks[rapid.IntRange(0, 1).Draw(t, "desk")].Look(ctx); err != nil {
					t.Fatal(err)
				}
				m.change(text(n))
			},
			"undo": func(t *rapid.T) {
				_, err := desks[rapid.IntRange(0, 1).Draw(t, "desk")].Undo(ctx, 0)
				switch {
				case err == nil:
					if !m.undo() {
						t.Fatal("something was undone that nobody did")
					}
				case !errors.Is(err, ErrNothingToUndo):
					t.Fatal(err)
				case m.sure > 0:
					t.Fatalf("nothing to undo, but %d changes must still be known", m.sure)
				}
			},
			"redo": func(t *rapid.T) {
				_, err := desks[rapid.IntRange(0, 1).Draw(t, "desk")].Redo(ctx, 0)
				switch {
				case err == nil:
					if !m.redo() {
						t.Fatal("something was redone that nobody undid")
					}
				case !errors.Is(err, ErrNothingToRedo):
					t.Fatal(err)
				case m.sureAhead > 0:
					t.Fatalf("nothing to redo, but %d undone changes must still be known", m.sureAhead)
				}
			},
			"restart": func(t *rapid.T) { desks[rapid.IntRange(0, 1).Draw(t, "desk")] = start() },
			"": func(t *rapid.T) {
				got, err := os.ReadFile(path)
				if err != nil || string(got) != m.text {
					t.Fatalf("the file says %q, want %q", got, m.text)
				}
			},
		})
	})
}
