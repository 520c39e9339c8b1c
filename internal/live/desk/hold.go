package desk

import (
	"context"
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"time"
)

// patience is how long another program may take to make a revision; it takes it milliseconds. Who only looks waits less: what was
// read last is at hand.
const (
	patience     = 5 * time.Second
	lookPatience = time.Second
)

// hold keeps other programs from making a revision at the same time, and takes its turn among ours; the caller must not hold d.mu,
// so that Head waits for no other program. Where there can be no lock, there is no folder for a history either, and that is told by
// Trouble.
func (d *Desk) hold(ctx context.Context, patience time.Duration) (release func(), err error) {
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	patient, cancel := context.WithTimeout(ctx, patience)
	defer cancel()
	tooLate := func() error {
		if err := ctx.Err(); err != nil {
			return err
		}
		return &DiskError{Reason: Busy, Path: d.path}
	}
	select {
	case d.turn <- struct{}{}:
	case <-patient.Done():
		return nil, tooLate()
	}
	f := d.openLock()
	if f == nil {
		return func() { <-d.turn }, nil
	}
	release = func() { f.Close(); <-d.turn } // closing drops the lock
	for {
		if taken, err := tryLock(f); taken || err != nil {
			break
		}
		select {
		case <-patient.Done():
			release()
			return nil, tooLate()
		case <-time.After(5 * time.Millisecond):
		}
	}
	d.sweepOnce()
	return release, nil
}

// openLock makes the folder and opens the file that is locked; nil where that cannot be.
func (d *Desk) openLock() *os.File {
	d.mu.Lock()
	defer d.mu.Unlock()
	if err := d.history.open(); err != nil {
		d.history.trouble = err
		return nil
	}
	f, err := os.OpenFile(d.lockFile(), os.O_RDWR|os.O_CREATE, 0o644)
	if err != nil {
		d.history.trouble = diskError(d.lockFile(), err)
		return nil
	}
	return f
}

// sweepOnce removes what a killed program left; the lock is held.
func (d *Desk) sweepOnce() {
	d.mu.Lock()
	defer d.mu.Unlock()
	if !d.swept {
		d.swept = true
		sweep(d.path)
		sweep(d.history.file())
	}
}

// lockIfThere waits for a change that is just being made, if somebody ever made one; it writes nothing.
func (d *Desk) lockIfThere() (release func()) {
	f, err := os.Open(d.lockFile())
	if err != nil {
		return func() {}
	}
	for waited := time.Duration(0); waited < patience; waited += 5 * time.Millisecond {
		if taken, err := tryLock(f); taken || err != nil {
			break
		}
		time.Sleep(5 * time.Millisecond)
	}
	return func() { f.Close() }
}

func (d *Desk) lockFile() string { return filepath.Join(d.history.folder, "lock") }

// Watch looks at the file every so often until ctx ends, and tells of each new revision: changes by editors, and by
// other programs that have the file open. A file that is missing for a while is waited for.
func (d *Desk) Watch(ctx context.Context, every time.Duration, tell func(Revision)) error {
	tick := time.NewTicker(every)
	defer tick.Stop()
	last := d.Head().Number
	for {
		select {
		case <-ctx.Done():
			return ctx.Err()
		case <-tick.C:
		}
		if !d.mayHaveChanged() {
			continue
		}
		r, err := d.Look(ctx)
		var disk *DiskError
		if errors.As(err, &disk) {
			continue // away for the moment; Commit will say so if it stays away
		}
		if err != nil {
			return err
		}
		if r.Number != last {
			last = r.Number
			tell(r)
		}
	}
}

// mayHaveChanged asks only for stamps.
func (d *Desk) mayHaveChanged() bool {
	d.mu.Lock()
	defer d.mu.Unlock()
	info, err := os.Stat(d.path)
	if err != nil {
		return !errors.Is(err, fs.ErrNotExist)
	}
	if stampOf(info) != d.disk.stamp || d.history.unsaved > 0 && d.history.trouble == nil {
		return true
	}
	h := d.history.read
	info, err = os.Stat(d.history.file())
	return err == nil && (h == nil || info.Size() != h.Size() || !info.ModTime().Equal(h.ModTime()))
}
