package desk

import (
	"context"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"time"

	"winnow/internal/shop"
	"winnow/internal/shop/file"
)

// Revision is one state of the whole file.
type Revision struct {
	Number int
	Cause  string // in the words of whoever changed it: "moved planer, phone"
	When   time.Time
	Text   []byte
	Doc    *file.Doc // the text, read; it has faults only if somebody else wrote it
}

// What a revision is called that nobody made here.
const (
	CauseFound   = "as it was found"
	CauseOutside = "changed outside winnow"
)

// Desk is one shop file lying open. Its methods may be used by several goroutines at once, and several programs may
// have the same file open.
type Desk struct {
	turn    chan struct{} // of those who see or change the file; taken before mu
	mu      sync.Mutex    // guards everything below
	path    string        // of the file itself, links followed
	clock   func() time.Time
	history history
	disk    onDisk    // as last seen; its text is that of the latest revision
	doc     *file.Doc // of the latest revision
	service service
	swept   bool
	settled time.Duration
}

// Open opens a shop file. Nothing is written yet, and a damaged history keeps nobody from opening (see Trouble). The
// clock dates revisions; nil leaves them undated.
func Open(path string, clock func() time.Time) (*Desk, error) {
	real, err := filepath.EvalSymlinks(path)
	if err != nil {
		return nil, diskError(path, err)
	}
	if real, err = filepath.Abs(real); err != nil {
		return nil, diskError(path, err)
	}
	if clock == nil {
		clock = func() time.Time { return time.Time{} }
	}
	d := &Desk{turn: make(chan struct{}, 1), path: real, clock: clock, history: history{shop: real, folder: Folder(real), keep: kept}, settled: settled}
	release := d.lockIfThere()
	defer release()
	if err := d.see(context.Background()); err != nil {
		return nil, err
	}
	return d, nil
}

// Folder is the folder beside a shop file in which its history, its readings and its drafts are kept.
func Folder(path string) string {
	for _, ending := range []string{".yaml", ".yml"} {
		if stem, ok := strings.CutSuffix(path, ending); ok && filepath.Base(stem) != "." && filepath.Base(path) != ending {
			return stem + ".winnow"
		}
	}
	return path + ".winnow"
}

// Path is where the file really lies.
func (d *Desk) Path() string { return d.path }

// Head is the latest revision known. Commit, Undo, Redo, Watch and Look find out about newer ones.
func (d *Desk) Head() Revision {
	d.mu.Lock()
	defer d.mu.Unlock()
	return d.headRevision()
}

// Look compares the disk with the latest revision and returns what is the latest then. A change made by somebody else
// becomes a revision that can be undone.
func (d *Desk) Look(ctx context.Context) (Revision, error) {
	release, err := d.hold(ctx, lookPatience)
	if err != nil {
		return Revision{}, err
	}
	defer release()
	d.mu.Lock()
	defer d.mu.Unlock()
	if err := d.see(ctx); err != nil {
		return Revision{}, err
	}
	_, _ = d.history.flush() // what is wrong stays in Trouble
	return d.headRevision(), nil
}

// Revision is an earlier revision by its number; false if it is not known any more.
func (d *Desk) Revision(number int) (Revision, bool) {
	d.mu.Lock()
	defer d.mu.Unlock()
	return d.revision(d.history.find(number))
}

// Entry is a line of the history.
type Entry struct {
	Number int
	Cause  string
	When   time.Time
}

// History lists what is known of how the file came to be, oldest first.
func (d *Desk) History() []Entry {
	d.mu.Lock()
	defer d.mu.Unlock()
	var all []Entry
	for _, r := range d.history.records {
		all = append(all, Entry{r.Number, r.Cause, r.When})
	}
	return all
}

// Steps says what undo would undo and what redo would redo; empty where there is nothing.
func (d *Desk) Steps() (undo, redo string) {
	d.mu.Lock()
	defer d.mu.Unlock()
	head := d.history.head()
	if d.history.undone(head) != nil {
		undo = d.history.origin(head).Cause
	}
	if r := d.history.redone(head); r != nil {
		redo = d.history.origin(r).Cause
	}
	return undo, redo
}

// Trouble says why the history will not survive a restart; nil if it will. The shop file itself is not concerned.
func (d *Desk) Trouble() error {
	d.mu.Lock()
	defer d.mu.Unlock()
	if d.history.trouble != nil {
		return d.history.trouble
	}
	return d.service.trouble
}

func (d *Desk) headRevision() Revision {
	h := d.history.head()
	return Revision{h.Number, h.Cause, h.When, d.disk.text, d.doc}
}

func (d *Desk) revision(r *record) (Revision, bool) {
	if r == nil {
		return Revision{}, false
	}
	if r == d.history.head() {
		return d.headRevision(), true
	}
	text, ok := d.history.text(r)
	if !ok {
		return Revision{}, false
	}
	doc, _ := file.Parse(text)
	return Revision{r.Number, r.Cause, r.When, text, doc}, true
}

// see brings the desk up to date: revisions other programs have made, then what stands in the file.
func (d *Desk) see(ctx context.Context) error {
	d.history.load()
	d.service.load(d.history.folder)
	now, err := readFile(d.path)
	if err != nil {
		return err
	}
	head := d.history.head()
	if head != nil && head.Text != hashOf(now.text) && d.doc != nil && now.stamp != d.disk.stamp {
		if now, err = readSettled(ctx, d.path, d.settled); err != nil {
			return err
		}
	}
	hash := hashOf(now.text)
	switch {
	case head == nil:
		d.history.add(record{Cause: CauseFound, When: d.clock()}, now.text)
	case head.Text != hash:
		r := record{Cause: CauseOutside, When: d.clock(), Undo: head.Number}
		if n := len(d.history.records); n > 1 && d.history.records[n-2].Text == hash {
			r.Voids = head.Number
			head.ID = ""
		}
		d.history.add(r, now.text)
	}
	if d.doc == nil || hashOf(d.disk.text) != hash {
		d.doc, _ = file.Parse(now.text)
	}
	d.disk = now
	return nil
}

// Option says more about a change.
type Option func(*record)

// Once gives the request that makes a change a name of its own: made again, it returns the revision it made before.
func Once(id string) Option { return func(r *record) { r.ID = id } }

// Commit makes edits that were meant for revision base (0: for whatever is the latest) and saves the file. If the file
// has changed since base, the edits are made where they still fit by path; else nothing is written and a *Conflict
// holds both sides. Edits that cannot be made at all are a *file.EditError, and a disk that refuses is a *DiskError.
func (d *Desk) Commit(ctx context.Context, base int, edits []shop.Edit, cause string, more ...Option) (Revision, error) {
	return d.CommitOf(ctx, base, func(*file.Doc) ([]shop.Edit, error) { return edits, nil }, cause, more...)
}

// CommitOf is Commit for edits that are worked out from the text they are meant for: what speaks of a machine is known
// only there. of is not asked again for a request that has been carried out.
func (d *Desk) CommitOf(ctx context.Context, base int, of func(*file.Doc) ([]shop.Edit, error), cause string, more ...Option) (Revision, error) {
	return d.change(ctx, base, cause, more, func(from, head *file.Doc) (*file.Doc, error) {
		edits, err := of(from)
		if err != nil {
			return nil, err
		}
		if from == head {
			return head.Apply(edits...)
		}
		ours, err := from.Apply(edits...)
		if err != nil {
			return nil, err
		}
		moved, err := rebase(from, head, edits)
		if err == nil {
			var next *file.Doc
			if next, err = head.Apply(moved...); err == nil {
				return next, nil
			}
		}
		return nil, d.conflict(ours.Text(), err)
	})
}

// CommitText replaces the whole text, which was written over revision base (0: over whatever is the latest). A text
// with faults is not written: it is kept as a draft, and returned as *Faulty. If the file has changed since base, both
// changes are kept where they lie in different lines, and are a *Conflict where they do not.
func (d *Desk) CommitText(ctx context.Context, base int, text []byte, cause string, more ...Option) (Revision, error) {
	return d.change(ctx, base, cause, more, func(from, head *file.Doc) (*file.Doc, error) {
		ours, faults := file.Parse(text)
		if len(faults) > 0 {
			return nil, &Faulty{Faults: faults, Draft: d.draft(text)}
		}
		if from == head {
			return ours, nil
		}
		merged, err := mergeLines(from.Text(), d.disk.text, text)
		if err != nil {
			return nil, d.conflict(text, err)
		}
		next, faults := file.Parse(merged)
		if len(faults) > 0 {
			return nil, d.conflict(text, faults[0])
		}
		return next, nil
	})
}

func (d *Desk) conflict(ours []byte, why error) error {
	return &Conflict{Head: d.headRevision(), Ours: ours, Draft: d.draft(ours), Why: why}
}

// change makes one revision; build gets the file as it was for the one who asks, and as it is.
func (d *Desk) change(ctx context.Context, base int, cause string, more []Option, build func(from, head *file.Doc) (*file.Doc, error)) (Revision, error) {
	return d.locked(ctx, func() (Revision, error) {
		head := d.history.head()
		r := record{Cause: cause, Undo: head.Number}
		for _, o := range more {
			o(&r)
		}
		if done := d.history.request(r.ID); done != nil {
			if rev, ok := d.revision(done); ok {
				return rev, nil
			}
		}
		from, err := d.from(base)
		if err != nil {
			return Revision{}, err
		}
		next, err := build(from, d.doc)
		if err != nil {
			return Revision{}, err
		}
		return d.save(r, next)
	})
}

// from is the file as it was at a revision; the very document of the latest where the text is the same.
func (d *Desk) from(base int) (*file.Doc, error) {
	head := d.history.head()
	if base == 0 || base == head.Number {
		return d.doc, nil
	}
	r := d.history.find(base)
	if r == nil {
		return nil, &Stale{base, head.Number}
	}
	if r.Text == head.Text {
		return d.doc, nil
	}
	text, ok := d.history.text(r)
	if !ok {
		return nil, &Stale{base, head.Number}
	}
	doc, _ := file.Parse(text)
	return doc, nil
}

// Undo brings back the text before the latest change, as a new revision. base is the revision the one who asks is
// looking at, 0 for any: a step that somebody else has made since is not undone by accident.
func (d *Desk) Undo(ctx context.Context, base int, more ...Option) (Revision, error) {
	return d.stepTo(ctx, base, more, "undo: ", ErrNothingToUndo, func(head *record) (record, *record) {
		to := d.history.undone(head)
		if to == nil {
			return record{}, nil
		}
		return record{Cause: d.history.origin(head).Cause, Undo: to.Undo, Redo: head.Number}, to
	})
}

// Redo brings back what Undo took away, until something else is changed.
func (d *Desk) Redo(ctx context.Context, base int, more ...Option) (Revision, error) {
	return d.stepTo(ctx, base, more, "redo: ", ErrNothingToRedo, func(head *record) (record, *record) {
		to := d.history.redone(head)
		if to == nil {
			return record{}, nil
		}
		return record{Cause: d.history.origin(to).Cause, Undo: head.Number, Redo: to.Redo}, to
	})
}

func (d *Desk) stepTo(ctx context.Context, base int, more []Option, verb string, nothing error, step func(*record) (record, *record)) (Revision, error) {
	return d.locked(ctx, func() (Revision, error) {
		var asked record
		for _, o := range more {
			o(&asked)
		}
		if done := d.history.request(asked.ID); done != nil {
			if rev, ok := d.revision(done); ok {
				return rev, nil
			}
		}
		head := d.history.head()
		if base != 0 && base != head.Number {
			return Revision{}, &Stale{base, head.Number}
		}
		r, to := step(head)
		if to == nil {
			return Revision{}, nothing
		}
		r.Cause, r.Of, r.ID = verb+r.Cause, d.history.origin(to).Number, asked.ID
		text, ok := d.history.text(to)
		if !ok {
			return Revision{}, nothing
		}
		return d.saveText(r, text, nil)
	})
}

// errMoved: the file was changed between looking at it and writing it.
var errMoved = &DiskError{Reason: Busy}

// locked does one change with the locks held and the disk seen, again if the file was changed in between.
func (d *Desk) locked(ctx context.Context, change func() (Revision, error)) (Revision, error) {
	release, err := d.hold(ctx, patience)
	if err != nil {
		return Revision{}, err
	}
	defer release()
	d.mu.Lock()
	defer d.mu.Unlock()
	for range 5 {
		if err := ctx.Err(); err != nil {
			return Revision{}, err
		}
		if err := d.see(ctx); err != nil {
			return Revision{}, err
		}
		r, err := change()
		if err != errMoved {
			return r, err
		}
	}
	return Revision{}, &DiskError{Reason: Busy, Path: d.path}
}

func (d *Desk) save(r record, next *file.Doc) (Revision, error) {
	return d.saveText(r, next.Text(), next)
}

// saveText writes a text as the next revision. The order is what a crash cannot break: the new text complete beside
// the file, then the line in the history, then the one step that makes it the file. Killed before that step, the file
// is the old revision and the next look says so; killed after it, the file is the new one and the history knows it.
func (d *Desk) saveText(r record, text []byte, doc *file.Doc) (Revision, error) {
	if hashOf(text) == d.history.head().Text {
		return d.headRevision(), nil
	}
	if len(text) > maxFile {
		return Revision{}, &DiskError{Reason: TooBig, Path: d.path}
	}
	mode, err := mayWrite(d.path)
	if err != nil {
		return Revision{}, err
	}
	p, err := prepare(d.path, text, mode)
	if err != nil {
		return Revision{}, err
	}
	if info, err := os.Stat(d.path); err != nil || stampOf(info) != d.disk.stamp {
		p.drop()
		return Revision{}, errMoved
	}
	r.When = d.clock()
	d.history.keepText(d.disk.text)
	d.history.add(r, text)
	takeBack, _ := d.history.flush() // a history that cannot be written is told by Trouble; the shop file matters more
	if err := p.put(); err != nil {
		takeBack()
		d.history.takeBack()
		return Revision{}, err
	}
	if doc == nil {
		doc, _ = file.Parse(text)
	}
	d.doc, d.disk = doc, onDisk{text: text}
	if info, err := os.Stat(d.path); err == nil {
		d.disk.stamp = stampOf(info)
	}
	if d.history.trouble == nil {
		d.history.trouble = d.history.prune()
	}
	return d.headRevision(), nil
}
