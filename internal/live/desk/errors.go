package desk

import (
	"errors"
	"fmt"
	"io/fs"
	"syscall"

	"winnow/internal/shop/file"
)

// Nothing to do is no harm, but somebody should be told.
var (
	ErrNothingToUndo = errors.New("there is nothing to undo")
	ErrNothingToRedo = errors.New("there is nothing to redo")
)

// Stale says that a change was made for a revision that is not known any more, or is not the latest where it must be.
type Stale struct{ Base, Head int }

func (e *Stale) Error() string {
	return fmt.Sprintf("the change was made for revision %d, and the file is at revision %d", e.Base, e.Head)
}

// Conflict says that the file was changed by somebody else so that our change does not fit any more. Nothing was
// written over; ours is kept as a draft.
type Conflict struct {
	Head  Revision // what stands in the file now
	Ours  []byte   // the text as it would have become
	Draft string   // where ours is kept; empty if it could not be
	Why   error
}

func (e *Conflict) Error() string {
	s := "the file was changed by somebody else, and this change does not fit any more: " + e.Why.Error()
	if e.Draft != "" {
		s += ". Your version is kept in " + e.Draft
	}
	return s
}

func (e *Conflict) Unwrap() error { return e.Why }

// Faulty says that a text has faults and was not written over the file. It is kept as a draft.
type Faulty struct {
	Faults []file.Fault
	Draft  string
}

func (e *Faulty) Error() string {
	n := len(e.Faults)
	s := fmt.Sprintf("the text has %d faults", n)
	if n == 1 {
		s = "the text has a fault"
	}
	if n > 0 {
		s += ", the first: " + e.Faults[0].Error()
	}
	if e.Draft != "" {
		s += ". It is kept in " + e.Draft
	}
	return s
}

// Reason is why the disk refused.
type Reason uint8

// The reasons a person can do something about, and the rest.
const (
	Other        Reason = iota
	Full                // no room left
	ReadOnly            // the file or the disk is write-protected
	NoPermission        // somebody else's file or folder
	Gone                // the file, or its folder, is not there
	Busy                // another program is making a revision and does not come to an end
	NotAFile            // a folder, a device
	TooBig              // far beyond any shop file
)

// DiskError says what the disk refused. The file is as it was.
type DiskError struct {
	Reason Reason
	Path   string
	Err    error
}

func (e *DiskError) Error() string {
	switch e.Reason {
	case Full:
		return e.Path + ": there is no room left on the disk; nothing was changed. Make room and try again"
	case ReadOnly:
		return e.Path + ": it is write-protected; nothing was changed. Take the protection off, or work on a copy"
	case NoPermission:
		return e.Path + ": you may not write there; nothing was changed. Ask its owner, or work on a copy"
	case Gone:
		return e.Path + ": there is no such file"
	case Busy:
		return e.Path + ": another program is changing it and does not come to an end; nothing was changed. Try again"
	case NotAFile:
		return e.Path + ": it is not a file"
	case TooBig:
		return fmt.Sprintf("%s: it is larger than %d MB, the limit for a shop file", e.Path, maxFile>>20)
	}
	return fmt.Sprintf("%s: %v", e.Path, e.Err)
}

func (e *DiskError) Unwrap() error { return e.Err }

// diskError finds the reason behind an error of the system.
func diskError(path string, err error) error {
	var known *DiskError
	if err == nil || errors.As(err, &known) {
		return err
	}
	e := &DiskError{Path: path, Err: err}
	switch {
	case errors.Is(err, syscall.ENOSPC), errors.Is(err, syscall.EDQUOT), errors.Is(err, syscall.EFBIG):
		e.Reason = Full
	case errors.Is(err, syscall.EROFS):
		e.Reason = ReadOnly
	case errors.Is(err, fs.ErrPermission):
		e.Reason = NoPermission
	case errors.Is(err, fs.ErrNotExist):
		e.Reason = Gone
	}
	return e
}
