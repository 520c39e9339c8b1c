package desk

import (
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"time"
)

// maxFile is far above any shop file that a person keeps.
const maxFile = 4 << 20

// onDisk is the file as it was last seen.
type onDisk struct {
	text  []byte
	stamp stamp
}

// stamp tells cheaply whether a file may have changed.
type stamp struct {
	modified time.Time
	size     int64
}

func stampOf(info fs.FileInfo) stamp { return stamp{info.ModTime(), info.Size()} }

// readFile reads the whole shop file.
func readFile(path string) (onDisk, error) {
	if info, err := os.Stat(path); err == nil && !info.Mode().IsRegular() {
		return onDisk{}, &DiskError{Reason: NotAFile, Path: path} // asked before opening: a pipe would keep us waiting
	}
	f, err := os.Open(path)
	if err != nil {
		return onDisk{}, diskError(path, err)
	}
	defer f.Close()
	info, err := f.Stat()
	if err != nil {
		return onDisk{}, diskError(path, err)
	}
	if !info.Mode().IsRegular() {
		return onDisk{}, &DiskError{Reason: NotAFile, Path: path}
	}
	text, err := io.ReadAll(io.LimitReader(f, maxFile+1))
	if err != nil {
		return onDisk{}, diskError(path, err)
	}
	if len(text) > maxFile {
		return onDisk{}, &DiskError{Reason: TooBig, Path: path}
	}
	return onDisk{text, stampOf(info)}, nil
}

// settled is how long a file that somebody else is writing must have been left alone before it is believed: an editor
// that writes in place would else be caught halfway.
const settled = 20 * time.Millisecond

// readSettled reads a file that has just been found changed.
func readSettled(ctx context.Context, path string, settled time.Duration) (onDisk, error) {
	seen, err := readFile(path)
	for range 25 {
		if err != nil {
			return seen, err
		}
		select {
		case <-ctx.Done():
			return seen, ctx.Err()
		case <-time.After(settled):
		}
		again, err := readFile(path)
		if err != nil || again.stamp == seen.stamp {
			return again, err
		}
		seen = again
	}
	return seen, nil
}

// mayWrite respects a file that is marked write-protected, though renaming another over it would work.
func mayWrite(path string) (fs.FileMode, error) {
	info, err := os.Stat(path)
	if err != nil {
		return 0, diskError(path, err)
	}
	if info.Mode().Perm()&0o222 == 0 {
		return 0, &DiskError{Reason: ReadOnly, Path: path}
	}
	return info.Mode().Perm(), nil
}

// tempMark tells our unfinished files from those of editors.
const tempMark = ".winnow-"

// sweep removes what a killed program left unfinished. The caller holds the lock, so nobody is writing.
func sweep(path string) {
	left, _ := filepath.Glob(filepath.Join(filepath.Dir(path), "."+filepath.Base(path)+tempMark+"*"))
	for _, l := range left {
		_ = os.Remove(l)
	}
}

// prepared is a text that lies complete on the disk beside the place where it belongs.
type prepared struct{ temp, path string }

// prepare writes and flushes a text beside its place, so that a full disk is met before anything is changed.
func prepare(path string, text []byte, mode fs.FileMode) (p prepared, err error) {
	f, err := os.CreateTemp(filepath.Dir(path), "."+filepath.Base(path)+tempMark+"*")
	if err != nil {
		return p, diskError(path, err)
	}
	p = prepared{f.Name(), path}
	defer func() {
		if err != nil {
			f.Close()
			p.drop()
			err = diskError(path, err)
		}
	}()
	if _, err = f.Write(text); err != nil {
		return p, err
	}
	if err = f.Chmod(mode); err != nil {
		return p, err
	}
	keepOwner(f, path)
	if err = f.Sync(); err != nil {
		return p, err
	}
	return p, f.Close()
}

func (p prepared) drop() { _ = os.Remove(p.temp) }

// put moves the text to its place in one step. Whoever opens the file sees the old text or the new one.
func (p prepared) put() error {
	if err := os.Rename(p.temp, p.path); err != nil {
		p.drop()
		return diskError(p.path, err)
	}
	return syncFolder(filepath.Dir(p.path))
}

// syncFolder makes the names in a folder last. Where folders cannot be flushed there is nothing more to be done.
func syncFolder(folder string) error {
	d, err := os.Open(folder)
	if err != nil {
		return nil
	}
	defer d.Close()
	_ = d.Sync()
	return nil
}

// writeWhole writes a file of the history in one step.
func writeWhole(path string, text []byte) error {
	p, err := prepare(path, text, 0o644)
	if err != nil {
		return err
	}
	return p.put()
}

// Create writes a new shop file and never writes over another, not even one that appears meanwhile.
func Create(path string, text []byte) error {
	if len(text) > maxFile {
		return &DiskError{Reason: TooBig, Path: path}
	}
	p, err := prepare(path, text, 0o644)
	if err != nil {
		return err
	}
	defer p.drop()
	err = os.Link(p.temp, path) // unlike a rename it fails where something is
	if err == nil || errors.Is(err, fs.ErrExist) {
		if err == nil {
			return syncFolder(filepath.Dir(path))
		}
		return fmt.Errorf("%s: %w", path, fs.ErrExist)
	}
	f, err := os.OpenFile(path, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o644) // disks without links
	if errors.Is(err, fs.ErrExist) {
		return fmt.Errorf("%s: %w", path, fs.ErrExist)
	}
	if err != nil {
		return diskError(path, err)
	}
	_, err = f.Write(text)
	if err = errors.Join(err, f.Sync(), f.Close()); err != nil {
		_ = os.Remove(path)
		return diskError(path, err)
	}
	return syncFolder(filepath.Dir(path))
}
