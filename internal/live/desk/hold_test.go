//go:build unix

package desk

import (
	"context"
	"errors"
	"os"
	"path/filepath"
	"sync"
	"testing"
	"time"

	"winnow/internal/shop"
)

// While another program holds the file, whoever looks is answered from what was read last, and whoever changes something is told.
func TestNobodyWaitsToLookForAnotherProgram(t *testing.T) {
	path := filepath.Join(t.TempDir(), "shop.yaml")
	write(t, path, "winnow: 1\nname: shed\n")
	d := open(t, path)
	edit := []shop.Edit{set("name", "barn")}
	if _, err := d.Commit(t.Context(), 0, edit, "named"); err != nil {
		t.Fatal(err)
	}
	other, err := os.OpenFile(d.lockFile(), os.O_RDWR, 0o644)
	if err != nil {
		t.Fatal(err)
	}
	defer other.Close()
	if taken, err := tryLock(other); !taken || err != nil {
		t.Fatal(taken, err)
	}
	ctx, hangUp := context.WithTimeout(t.Context(), 300*time.Millisecond)
	defer hangUp()
	var all sync.WaitGroup
	for range 4 {
		all.Go(func() {
			if _, err := d.Commit(ctx, 0, edit, "named again"); !errors.Is(err, context.DeadlineExceeded) {
				t.Errorf("changed while another program holds the file: %v", err)
			}
		})
	}
	time.Sleep(50 * time.Millisecond)
	began := time.Now()
	for range 100 {
		if d.Head().Number != 2 || d.mayHaveChanged() {
			t.Error("the head is not what was read last")
		}
		d.Steps()
		_ = d.Trouble()
	}
	if took := time.Since(began); took > 100*time.Millisecond {
		t.Errorf("a hundred looks take %v while another program holds the file", took)
	}
	all.Wait()
	began = time.Now()
	var disk *DiskError
	if _, err := d.Look(t.Context()); !errors.As(err, &disk) || disk.Reason != Busy || time.Since(began) > 2*lookPatience {
		t.Errorf("a look at the disk: %v after %v", err, time.Since(began))
	}
	other.Close()
	if r, err := d.Commit(t.Context(), 0, []shop.Edit{set("name", "loft")}, "named once more"); err != nil || r.Number != 3 {
		t.Errorf("afterwards: revision %d, %v", r.Number, err)
	}
}
