//go:build unix

package desk

import (
	"errors"
	"os"
	"syscall"
)

// tryLock takes a lock that the system drops with the process, so a crash leaves none behind.
func tryLock(f *os.File) (taken bool, err error) {
	err = syscall.Flock(int(f.Fd()), syscall.LOCK_EX|syscall.LOCK_NB)
	if errors.Is(err, syscall.EWOULDBLOCK) {
		return false, nil
	}
	if errors.Is(err, syscall.ENOTSUP) || errors.Is(err, syscall.ENOSYS) || errors.Is(err, syscall.ENOLCK) {
		return true, nil // some network disks have no locks: work without
	}
	return err == nil, err
}
