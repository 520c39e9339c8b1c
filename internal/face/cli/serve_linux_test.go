package cli

import (
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"
	"unsafe"

	"winnow/internal/face/server"
	"winnow/internal/live/desk"
)

// realTerminal is one seen from both sides: keys go in and what it shows comes out at one, programs sit at the other.
func realTerminal(t testing.TB) (keys, screen *os.File) {
	t.Helper()
	keys, err := os.OpenFile("/dev/ptmx", os.O_RDWR|syscall.O_NOCTTY, 0)
	if err != nil {
		t.Skipf("no terminals here: %v", err)
	}
	t.Cleanup(func() { keys.Close() })
	var unlock, number int32
	for request, value := range map[uintptr]*int32{syscall.TIOCSPTLCK: &unlock, syscall.TIOCGPTN: &number} {
		if _, _, fault := syscall.Syscall(syscall.SYS_IOCTL, keys.Fd(), request, uintptr(unsafe.Pointer(value))); fault != 0 {
			t.Skipf("no terminals here: %v", fault)
		}
	}
	screen, err = os.OpenFile(fmt.Sprintf("/dev/pts/%d", number), os.O_RDWR|syscall.O_NOCTTY, 0)
	if err != nil {
		t.Skipf("no terminals here: %v", err)
	}
	t.Cleanup(func() { screen.Close() })
	return keys, screen
}

// Typed at a terminal, a passphrase is not shown, and is the one that is kept.
func TestAPassphraseTypedAtATerminalIsNotShown(t *testing.T) {
	keys, screen := realTerminal(t)
	path := filepath.Join(t.TempDir(), "shop.yaml")
	if err := os.WriteFile(path, []byte(firstFile), 0o644); err != nil {
		t.Fatal(err)
	}
	d, err := desk.Open(path, time.Now)
	if err != nil {
		t.Fatal(err)
	}
	shown := &said{}
	go func() { _, _ = io.Copy(shown, keys) }()
	type set struct {
		hash []byte
		err  error
	}
	done := make(chan set, 1)
	go func() {
		hash, err := passphraseHash(&env{in: screen, err: screen}, d, true)
		done <- set{hash, err}
	}()
	for end := time.Now().Add(10 * time.Second); !strings.Contains(shown.String(), "Passphrase"); time.Sleep(5 * time.Millisecond) {
		if time.Now().After(end) {
			t.Fatal("it does not ask")
		}
	}
	time.Sleep(50 * time.Millisecond) // it asks first and then turns the echo off
	if _, err := io.WriteString(keys, "ash, oak, elm and hornbeam\n"); err != nil {
		t.Fatal(err)
	}
	got := <-done
	if got.err != nil {
		t.Fatal(got.err)
	}
	if strings.Contains(shown.String(), "oak") {
		t.Errorf("the terminal shows %q", shown)
	}
	text, err := os.ReadFile(passphraseFile(d))
	if err != nil || server.HashText(got.hash) != string(text) {
		t.Errorf("it is not kept: %v", err)
	}
}
