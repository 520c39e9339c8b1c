package desk

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"
)

const (
	// kept is how many revisions and how many steps of undo survive a restart.
	kept = 200
	// version of the folder's format.
	version = 1
)

// record is one line of the history.
type record struct {
	Number int       `json:"revision"`
	Text   string    `json:"text"` // hash of the whole text
	Cause  string    `json:"cause"`
	When   time.Time `json:"when"`
	Undo   int       `json:"undo,omitempty"` // the revision whose text undo brings back
	Redo   int       `json:"redo,omitempty"` // the revision whose text redo brings back
	Of     int       `json:"of,omitempty"`   // undo and redo: the revision this one repeats
	ID     string    `json:"id,omitempty"`   // of the request that made it
	// Voids names a revision that never reached the file, because the program was killed just before: its request
	// counts as not made.
	Voids int `json:"voids,omitempty"`
}

// header is the first line of the history.
type header struct {
	Format  string `json:"format"`
	Version int    `json:"version"`
}

const format = "winnow history"

// history is the folder beside the file, and what of it could not be written yet.
type history struct {
	shop    string // the file itself
	folder  string
	keep    int // kept, or fewer
	records []record
	unsaved int               // how many of the last records are not in the file yet
	texts   map[string][]byte // texts that are not on the disk yet, by hash
	read    os.FileInfo       // of the history file as it was read
	lines   int
	trouble error // why the history does not survive a restart; nil while it does
	foreign bool  // written by a newer program: left alone
}

func hashOf(text []byte) string {
	sum := sha256.Sum256(text)
	return hex.EncodeToString(sum[:16])
}

func (h *history) file() string             { return filepath.Join(h.folder, "history.jsonl") }
func (h *history) textFile(t string) string { return filepath.Join(h.folder, "texts", t+".yaml") }

func (h *history) head() *record {
	if len(h.records) == 0 {
		return nil
	}
	return &h.records[len(h.records)-1]
}

func (h *history) find(number int) *record {
	i, ok := slices.BinarySearchFunc(h.records, number, func(r record, n int) int { return r.Number - n })
	if !ok {
		return nil
	}
	return &h.records[i]
}

// request finds the revision that a request has already made.
func (h *history) request(id string) *record {
	if id == "" {
		return nil
	}
	for i := len(h.records) - 1; i >= 0; i-- {
		if h.records[i].ID == id {
			return &h.records[i]
		}
	}
	return nil
}

// load reads the history if it is not as it was read last. Lines that make no sense are passed over: a torn last line
// is what a killed program leaves, and nothing in the history is worth refusing the shop file for.
func (h *history) load() {
	info, err := os.Stat(h.file())
	if err != nil {
		if !errors.Is(err, fs.ErrNotExist) {
			h.trouble = diskError(h.file(), err)
		}
		return
	}
	if h.read != nil && os.SameFile(info, h.read) && info.Size() == h.read.Size() && info.ModTime().Equal(h.read.ModTime()) {
		return
	}
	src, err := os.ReadFile(h.file())
	if err != nil {
		h.trouble = diskError(h.file(), err)
		return
	}
	h.trouble = nil
	h.read, h.unsaved, h.lines, h.foreign = info, 0, 0, false
	h.records = h.records[:0]
	damaged := 0
	for i, line := range bytes.Split(bytes.TrimRight(src, "\n"), []byte("\n")) {
		h.lines++
		var head header
		if i == 0 && json.Unmarshal(line, &head) == nil && head.Format == format {
			if head.Version > version {
				h.foreign = true
				h.trouble = fmt.Errorf("%s was written by a newer winnow and is left alone, so undo does not survive a restart", h.file())
				return
			}
			continue
		}
		var r record
		if json.Unmarshal(line, &r) != nil || r.Number <= 0 || len(r.Text) != 32 || strings.Trim(r.Text, "0123456789abcdef") != "" {
			damaged++
			continue
		}
		if last := h.head(); last != nil && r.Number <= last.Number {
			damaged++
			continue
		}
		if r.Voids > 0 {
			if v := h.find(r.Voids); v != nil {
				v.ID = ""
			}
		}
		h.records = append(h.records, r)
	}
}

// text is the whole text of a revision; false if it is lost or damaged.
func (h *history) text(r *record) ([]byte, bool) {
	if t, ok := h.texts[r.Text]; ok {
		return t, true
	}
	t, err := os.ReadFile(h.textFile(r.Text))
	if err != nil || hashOf(t) != r.Text {
		return nil, false
	}
	return t, true
}

// keepText sees to it that a text which undo will want is not lost, even if somebody has emptied the folder.
func (h *history) keepText(text []byte) {
	if _, ok := h.text(&record{Text: hashOf(text)}); !ok {
		h.remember(text)
	}
}

func (h *history) remember(text []byte) {
	if h.texts == nil {
		h.texts = map[string][]byte{}
	}
	h.texts[hashOf(text)] = text
}

// add makes the next revision. It is on the disk only after flush.
func (h *history) add(r record, text []byte) *record {
	r.Number = 1
	if last := h.head(); last != nil {
		r.Number = last.Number + 1
	}
	r.Text = hashOf(text)
	h.remember(text)
	h.records = append(h.records, r)
	h.unsaved++
	return h.head()
}

// takeBack removes the last revision, which was not flushed, or whose line is cut off again.
func (h *history) takeBack() {
	last := *h.head()
	h.records = h.records[:len(h.records)-1]
	h.unsaved = max(0, h.unsaved-1)
	if !slices.ContainsFunc(h.records, func(r record) bool { return r.Text == last.Text }) {
		delete(h.texts, last.Text)
	}
}

// open makes the folder.
func (h *history) open() error {
	if h.foreign {
		return h.trouble
	}
	if err := os.MkdirAll(filepath.Join(h.folder, "texts"), 0o755); err != nil {
		return diskError(h.folder, err)
	}
	h.guard()
	return nil
}

// guard shuts the folder to everybody whom the shop file itself is shut to: it holds the file's old texts.
func (h *history) guard() {
	shop, err := os.Stat(h.shop)
	if err != nil {
		return
	}
	folder, err := os.Stat(h.folder)
	if err != nil {
		return
	}
	if allowed := shop.Mode().Perm() & 0o044; allowed != 0o044 {
		// Who may not read the file may not enter the folder: read and search go together.
		_ = os.Chmod(h.folder, folder.Mode().Perm()&(0o700|allowed|allowed>>2))
	}
}

// flush writes what is not on the disk yet: texts first, then the lines that name them.
func (h *history) flush() (undo func(), err error) {
	undo = func() {}
	defer func() { h.trouble = err }()
	if err := h.open(); err != nil {
		return undo, err
	}
	fresh := h.records[len(h.records)-h.unsaved:]
	for hash, text := range h.texts {
		if on, err := os.ReadFile(h.textFile(hash)); err == nil && hashOf(on) == hash {
			continue
		}
		if err := writeWhole(h.textFile(hash), text); err != nil {
			return undo, err
		}
	}
	if len(fresh) == 0 {
		return undo, nil
	}
	before, err := h.append(fresh)
	if err != nil {
		return undo, err
	}
	h.unsaved, h.texts = 0, nil
	h.lines += len(fresh)
	return func() { _ = os.Truncate(h.file(), before); h.read = nil }, nil
}

// append adds lines at the end of the history and flushes them; before is its size without them.
func (h *history) append(rs []record) (before int64, err error) {
	f, err := os.OpenFile(h.file(), os.O_RDWR|os.O_CREATE|os.O_APPEND, 0o644)
	if err != nil {
		return 0, diskError(h.file(), err)
	}
	defer f.Close()
	info, err := f.Stat()
	if err != nil {
		return 0, diskError(h.file(), err)
	}
	before = info.Size()
	var b bytes.Buffer
	switch last := make([]byte, 1); {
	case before == 0:
		writeLine(&b, header{format, version})
		h.lines++
	default:
		if _, err := f.ReadAt(last, before-1); err == nil && last[0] != '\n' {
			b.WriteByte('\n') // a torn line must not swallow ours
		}
	}
	for _, r := range rs {
		writeLine(&b, r)
	}
	_, err = f.Write(b.Bytes())
	if err == nil {
		err = f.Sync()
	}
	if err != nil {
		_ = f.Truncate(before)
		return before, diskError(h.file(), err)
	}
	h.read, _ = f.Stat()
	return before, nil
}

func writeLine(b *bytes.Buffer, v any) {
	line, err := json.Marshal(v)
	if err != nil {
		panic(err) // plain structs of text and numbers
	}
	b.Write(append(line, '\n'))
}

// prune writes the history anew once it has three times the lines it needs: the last revisions, and the steps of
// undo and redo from the latest one. Texts that nothing names any more go.
func (h *history) prune() error {
	if h.lines < 3*h.keep || h.unsaved > 0 {
		return nil
	}
	keep := map[int]bool{}
	for _, r := range h.records[max(0, len(h.records)-h.keep):] {
		keep[r.Number] = true
	}
	for _, step := range []func(*record) *record{h.undone, h.redone} {
		r := h.head()
		for range h.keep {
			if r = step(r); r == nil {
				break
			}
			keep[r.Number] = true
		}
	}
	var b bytes.Buffer
	writeLine(&b, header{format, version})
	left := h.records[:0:0]
	texts := map[string]bool{}
	for _, r := range h.records {
		if keep[r.Number] {
			left = append(left, r)
			texts[r.Text] = true
			writeLine(&b, r)
		}
	}
	if err := writeWhole(h.file(), b.Bytes()); err != nil {
		return err
	}
	h.records, h.lines = left, len(left)+1
	h.read, _ = os.Stat(h.file())
	entries, _ := os.ReadDir(filepath.Join(h.folder, "texts"))
	for _, e := range entries {
		if name := strings.TrimSuffix(e.Name(), ".yaml"); !texts[name] {
			_ = os.Remove(filepath.Join(h.folder, "texts", e.Name()))
		}
	}
	return nil
}

// undone is the revision that undo brings back from r; one whose text is lost is passed over.
func (h *history) undone(r *record) *record { return h.step(r, func(r *record) int { return r.Undo }) }

// redone is the revision that redo brings back from r.
func (h *history) redone(r *record) *record { return h.step(r, func(r *record) int { return r.Redo }) }

func (h *history) step(r *record, to func(*record) int) *record {
	for r != nil {
		n := to(r)
		if n == 0 || n >= r.Number {
			return nil
		}
		next := h.find(n)
		if next == nil {
			return nil
		}
		if _, ok := h.text(next); ok {
			return next
		}
		r = next
	}
	return nil
}

// origin is the revision that made the change r stands for: itself, or the one it repeats.
func (h *history) origin(r *record) *record {
	if of := h.find(r.Of); of != nil {
		return of
	}
	return r
}
