package server

import (
	"errors"
	"path/filepath"

	"winnow/internal/live/desk"
)

// troubleText tells the owner what a history that cannot be written means: whether what is changed can be saved at all depends on
// why. shopFile is where the shop file lies.
func troubleText(trouble error, shopFile string) string {
	const notKept = "Changes are saved, but undo will not outlast a restart: "
	var disk *desk.DiskError
	if !errors.As(trouble, &disk) {
		return notKept + trouble.Error()
	}
	// The folder of the history stands beside the shop file: where it cannot be made, no change can be saved either.
	beside := disk.Path == desk.Folder(shopFile)
	place := filepath.Join(filepath.Base(desk.Folder(shopFile)), filepath.Base(disk.Path))
	if beside {
		place = filepath.Base(disk.Path)
	}
	switch disk.Reason {
	case desk.ReadOnly:
		return "This disk may not be written to: you can look and try, not save."
	case desk.NoPermission:
		if beside {
			return "This folder may not be written to: you can look and try, not save."
		}
		return notKept + "you may not write " + place + "."
	case desk.Full:
		return "There is no room left on the disk: make room before you change anything, as it may not be saved."
	case desk.NotAFile:
		return notKept + place + " is not a file."
	}
	if disk.Err != nil {
		return notKept + place + ": " + reasonOf(disk.Err) + "."
	}
	return notKept + place + " cannot be written."
}

// reasonOf is the system's word for it, without the path.
func reasonOf(err error) string {
	for {
		inner := errors.Unwrap(err)
		if inner == nil {
			return err.Error()
		}
		err = inner
	}
}
