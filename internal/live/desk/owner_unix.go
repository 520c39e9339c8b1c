//go:build unix

package desk

import (
	"os"
	"syscall"
)

// keepOwner gives a new file the owner of the one it will replace, where that is allowed.
func keepOwner(f *os.File, path string) {
	info, err := os.Stat(path)
	if err != nil {
		return
	}
	if s, ok := info.Sys().(*syscall.Stat_t); ok && (int(s.Uid) != os.Geteuid() || int(s.Gid) != os.Getegid()) {
		_ = f.Chown(int(s.Uid), int(s.Gid))
	}
}
