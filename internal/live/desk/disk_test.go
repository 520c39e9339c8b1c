//go:build unix

package desk

import (
	"bufio"
	"errors"
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"os/signal"
	"path/filepath"
	"strconv"
	"strings"
	"syscall"
	"testing"
	"time"

	"winnow/internal/shop"
	"winnow/internal/shop/file"
)

// helperEnv makes the test binary play a program that has a shop file open.
const helperEnv = "DESK_TEST_HELPER"

func TestMain(m *testing.M) {
	switch os.Getenv(helperEnv) {
	case "":
		os.Exit(m.Run())
	case "commits":
		commitForEver(os.Args[1])
	case "full disk":
		os.Exit(commitOnAFullDisk(os.Args[1]))
	case "no permission":
		os.Exit(commitWithoutPermission(os.Args[1]))
	}
}

// commitForEver numbers the shop's name, undoes every seventh time, and prints a number once it is saved.
func commitForEver(path string) {
	d, err := Open(path, time.Now)
	if err != nil {
		fmt.Println("cannot open:", err)
		os.Exit(1)
	}
	d.history.keep = 8 // so that the history is rewritten often
	n, _ := strconv.Atoi(d.Head().Doc.Shop().Name)
	for {
		n++
		name := strconv.Itoa(n)
		if _, err := d.Commit(ctx, 0, []shop.Edit{set("name", name)}, "number "+name, Once(fmt.Sprint(os.Getpid(), " ", n))); err != nil {
			fmt.Println("cannot commit:", err)
			os.Exit(1)
		}
		fmt.Println("saved", n)
		if n%7 == 0 {
			if _, err := d.Undo(ctx, 0); err != nil {
				fmt.Println("cannot undo:", err)
				os.Exit(1)
			}
			if _, err := d.Redo(ctx, 0); err != nil {
				fmt.Println("cannot redo:", err)
				os.Exit(1)
			}
		}
		if n%5 == 0 {
			if _, err := d.PutInService(ctx, d.Head().Number); err != nil {
				fmt.Println("cannot put in service:", err)
				os.Exit(1)
			}
		}
	}
}

// The program is killed at random moments. Each time the file is a whole revision, no less far than what was reported
// as saved, and the history opens and goes on without a gap.
func TestKilledAtRandomMoments(t *testing.T) {
	path := newFile(t, strings.Replace(small, "small shop", "0", 1))
	seed := uint64(time.Now().UnixNano())
	random := rand.New(rand.NewPCG(seed, 1))
	t.Logf("seed %d", seed)
	self, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	cut, voided := 0, 0
	for kill := range 25 {
		c := exec.Command(self, path)
		c.Env = append(os.Environ(), helperEnv+"=commits")
		out, err := c.StdoutPipe()
		if err != nil {
			t.Fatal(err)
		}
		if err := c.Start(); err != nil {
			t.Fatal(err)
		}
		first, saved := make(chan struct{}), make(chan int)
		go func() {
			last := 0
			for s := bufio.NewScanner(out); s.Scan(); {
				if n, ok := strings.CutPrefix(s.Text(), "saved "); ok {
					if last == 0 {
						close(first)
					}
					last, _ = strconv.Atoi(n)
				} else {
					t.Errorf("the program says: %s", s.Text())
				}
			}
			saved <- last
		}()
		select {
		case <-first:
		case <-time.After(20 * time.Second):
			t.Error("the program saves nothing")
		}
		time.Sleep(time.Duration(random.IntN(120_000)) * time.Microsecond)
		_ = c.Process.Kill()
		last := <-saved // all of the pipe is read before Wait closes it
		_ = c.Wait()

		text := read(t, path)
		doc, faults := file.Parse([]byte(text))
		if len(faults) > 0 {
			t.Fatalf("kill %d: the file is no whole revision: %v\n%s", kill, faults[0], text)
		}
		n, err := strconv.Atoi(doc.Shop().Name)
		if err != nil || text != strings.Replace(small, "small shop", strconv.Itoa(n), 1) {
			t.Fatalf("kill %d: the file is no revision:\n%s", kill, text)
		}
		if n < last-1 || n < last && last%7 != 0 { // at every seventh the step back may be where it was killed
			t.Fatalf("kill %d: %d was reported as saved, and the file says %d", kill, last, n)
		}
		if left, _ := filepath.Glob(filepath.Join(filepath.Dir(path), ".*")); len(left) > 0 {
			cut++
		}
		d := open(t, path)
		if err := d.Trouble(); err != nil {
			t.Fatalf("kill %d: %v", kill, err)
		}
		head := d.Head()
		if string(head.Text) != text {
			t.Fatalf("kill %d: the history's latest text is not the file", kill)
		}
		if d.history.unsaved > 0 && d.history.head().Voids > 0 {
			voided++
		}
		if kill > 0 {
			if u, _ := d.Steps(); u == "" {
				t.Fatalf("kill %d: nothing can be undone", kill)
			}
		}
		if _, ok := d.InService(); kill > 3 && !ok {
			t.Fatalf("kill %d: nothing is in service any more", kill)
		}
	}
	d := open(t, path)
	must[Revision](t)(d.Look(ctx))
	if left, _ := filepath.Glob(filepath.Join(filepath.Dir(path), ".*")); len(left) > 0 {
		t.Errorf("unfinished files were left lying: %v", left)
	}
	t.Logf("%d kills left an unfinished file, %d fell between the history and the file", cut, voided)
}

// Killed between the line in the history and the file: the request counts as not made, and made again it is made once.
func TestKilledBeforeTheFileWasReplaced(t *testing.T) {
	path := newFile(t, small)
	d := open(t, path)
	commit(t, d, 0, set("note", "first"))
	before := read(t, path)
	more := &shop.Value{Kind: shop.Map, Keys: []string{"pipe"}, Items: []shop.Value{{Text: "2 ft"}}}
	edits := []shop.Edit{{Insert: more, After: "systems/collector/runs/main/pieces/gate g"}}
	must[Revision](t)(d.Commit(ctx, 0, edits, "more", Once("a7")))
	write(t, path, before) // as if the last step had not come

	must[Revision](t)(open(t, path).Look(ctx)) // another program is the first to see it
	d = open(t, path)
	r := must[Revision](t)(d.Commit(ctx, 0, edits, "more", Once("a7")))
	if n := strings.Count(read(t, path), "pipe"); n != 1 || r.Number != 5 {
		t.Fatalf("%d pipes, revision %d", n, r.Number)
	}
	for _, d := range []*Desk{d, open(t, path)} {
		if again := must[Revision](t)(d.Commit(ctx, 0, edits, "more", Once("a7"))); again.Number != r.Number {
			t.Errorf("revision %d", again.Number)
		}
	}
}

// Injuries to the folder, and what must survive: the file opens, can be changed, and what is whole can be undone.
func TestDamagedHistory(t *testing.T) {
	log := func(path string) string { return filepath.Join(Folder(path), "history.jsonl") }
	tests := []struct {
		name    string
		injure  func(t *testing.T, path string)
		steps   int  // that can still be undone afterwards
		trouble bool // said after a commit
	}{
		{"none", func(*testing.T, string) {}, 4, false},
		{"a torn last line", func(t *testing.T, path string) { s := read(t, log(path)); write(t, log(path), s[:len(s)-9]) }, 4, false},
		{"a line of noise", func(t *testing.T, path string) { write(t, log(path), read(t, log(path))+"\x00\xff{]\n") }, 4, false},
		{"the first line gone", func(t *testing.T, path string) {
			_, s, _ := strings.Cut(read(t, log(path)), "\n")
			write(t, log(path), s)
		}, 4, false},
		{"empty", func(t *testing.T, path string) { write(t, log(path), "") }, 0, false},
		{"gone", func(t *testing.T, path string) { _ = os.Remove(log(path)) }, 0, false},
		{"the whole folder gone", func(t *testing.T, path string) { _ = os.RemoveAll(Folder(path)) }, 0, false},
		{"a text flipped", func(t *testing.T, path string) {
			h := hashOf([]byte(strings.Replace(small, "small shop", "shop 1", 1)))
			f := filepath.Join(Folder(path), "texts", h+".yaml")
			write(t, f, strings.Replace(read(t, f), "10 ft", "11 ft", 1))
		}, 3, false},
		{"all texts gone", func(t *testing.T, path string) { _ = os.RemoveAll(filepath.Join(Folder(path), "texts")) }, 0, false},
		{"a folder in place of the history", func(t *testing.T, path string) {
			_ = os.Remove(log(path))
			_ = os.Mkdir(log(path), 0o755)
		}, 0, true},
		{"a file in place of the folder", func(t *testing.T, path string) { _ = os.RemoveAll(Folder(path)); write(t, Folder(path), "x") }, 0, true},
		{"from a newer program", func(t *testing.T, path string) {
			write(t, log(path), `{"format":"winnow history","version":2}`+"\n"+`{"revision":"seven"}`+"\n")
		}, 0, true},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			path := newFile(t, small)
			d := open(t, path)
			for i := range 4 {
				commit(t, d, 0, set("name", fmt.Sprint("shop ", i)))
			}
			test.injure(t, path)
			whole := ""
			if test.name == "from a newer program" {
				whole = read(t, log(path))
			}
			d = open(t, path)
			if string(d.Head().Text) != read(t, path) {
				t.Fatal("the head is not the file")
			}
			commit(t, d, 0, set("note", "more"))
			if got := d.Head().Doc.Shop(); got.Note != "more" || got.Name != "shop 3" {
				t.Fatal("the change is not there")
			}
			if (d.Trouble() != nil) != test.trouble {
				t.Errorf("trouble: %v", d.Trouble())
			}
			if !test.trouble {
				if d = open(t, path); d.Head().Cause != "test" {
					t.Errorf("after a restart the latest is %q", d.Head().Cause)
				}
			}
			must[Revision](t)(d.Undo(ctx, 0)) // this one always
			n := 0
			for ; ; n++ {
				if _, err := d.Undo(ctx, 0); errors.Is(err, ErrNothingToUndo) {
					break
				} else if err != nil {
					t.Fatal(err)
				}
			}
			if n != test.steps {
				t.Errorf("%d more steps could be undone, want %d", n, test.steps)
			}
			if whole != "" && read(t, log(path)) != whole {
				t.Error("the history of a newer program was written to")
			}
		})
	}
}

func TestDiskErrors(t *testing.T) {
	reason := func(t *testing.T, err error, want Reason) {
		t.Helper()
		var disk *DiskError
		if !errors.As(err, &disk) || disk.Reason != want {
			t.Errorf("%v", err)
		}
	}
	t.Run("no file", func(t *testing.T) {
		_, err := Open(filepath.Join(t.TempDir(), "shop.yaml"), nil)
		reason(t, err, Gone)
	})
	t.Run("a folder", func(t *testing.T) { _, err := Open(t.TempDir(), nil); reason(t, err, NotAFile) })
	t.Run("write-protected", func(t *testing.T) {
		path := newFile(t, small)
		d := open(t, path)
		_ = os.Chmod(path, 0o444)
		_, err := d.Commit(ctx, 0, []shop.Edit{set("name", "x")}, "test")
		reason(t, err, ReadOnly)
		if read(t, path) != small || d.Head().Number != 1 {
			t.Error("something was changed")
		}
		_ = os.Chmod(path, 0o644)
		commit(t, d, 0, set("name", "x"))
	})
	t.Run("the file goes away", func(t *testing.T) {
		path := newFile(t, small)
		d := open(t, path)
		_ = os.Remove(path)
		_, err := d.Commit(ctx, 0, []shop.Edit{set("name", "x")}, "test")
		reason(t, err, Gone)
		write(t, path, small)
		commit(t, d, 0, set("name", "x"))
	})
	t.Run("the folder may not be written", func(t *testing.T) {
		path := newFile(t, small)
		_ = os.Chmod(filepath.Dir(path), 0o555)
		defer func() { _ = os.Chmod(filepath.Dir(path), 0o755) }()
		self := must[string](t)(os.Executable())
		c := exec.Command(self, path)
		c.Env = append(os.Environ(), helperEnv+"=no permission")
		if out, err := c.CombinedOutput(); err != nil {
			t.Errorf("%v\n%s", err, out)
		}
		if read(t, path) != small {
			t.Error("the file was changed")
		}
	})
	t.Run("too big", func(t *testing.T) {
		path := newFile(t, small)
		write(t, path, strings.Repeat("#", maxFile+1))
		_, err := Open(path, nil)
		reason(t, err, TooBig)
	})
}

// A limit on the size of files makes writes fail in the middle, as a full disk does.
func TestFullDisk(t *testing.T) {
	path := newFile(t, small+"note: "+strings.Repeat("x", 3000)+"\n")
	before := read(t, path)
	commit(t, open(t, path), 0, set("name", "first"))
	must[Revision](t)(open(t, path).Undo(ctx, 0))
	self, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	c := exec.Command(self, path)
	c.Env = append(os.Environ(), helperEnv+"=full disk")
	if out, err := c.CombinedOutput(); err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
	if read(t, path) != before {
		t.Error("the file was changed")
	}
	d := open(t, path)
	if err := d.Trouble(); err != nil {
		t.Error(err)
	}
	if _, redo := d.Steps(); redo != "test" {
		t.Errorf("redo is %q: the history is not as it was", redo)
	}
	if left, _ := filepath.Glob(filepath.Join(filepath.Dir(path), ".*")); len(left) > 0 {
		t.Errorf("unfinished files were left lying: %v", left)
	}
	must[Revision](t)(d.Redo(ctx, 0))
}

func commitOnAFullDisk(path string) int {
	signal.Ignore(syscall.SIGXFSZ)
	d, err := Open(path, time.Now)
	if err != nil {
		fmt.Println(err)
		return 1
	}
	if err := syscall.Setrlimit(syscall.RLIMIT_FSIZE, &syscall.Rlimit{Cur: 2000, Max: 2000}); err != nil {
		fmt.Println(err)
		return 1
	}
	_, err = d.Commit(ctx, 0, []shop.Edit{set("name", "another")}, "test")
	var disk *DiskError
	if !errors.As(err, &disk) || disk.Reason != Full {
		fmt.Printf("on a full disk: %v\n", err)
		return 1
	}
	if d.Head().Doc.Shop().Name != "small shop" {
		fmt.Println("the head moved on")
		return 1
	}
	return 0
}

func commitWithoutPermission(path string) int {
	d, err := Open(path, time.Now)
	if err != nil {
		fmt.Println(err)
		return 1
	}
	if os.Geteuid() == 0 { // the superuser may write everywhere
		if err := syscall.Setuid(65534); err != nil {
			fmt.Println(err)
			return 1
		}
	}
	_, err = d.Commit(ctx, 0, []shop.Edit{set("name", "another")}, "test")
	var disk *DiskError
	if !errors.As(err, &disk) || disk.Reason != NoPermission {
		fmt.Printf("without permission: %v\n", err)
		return 1
	}
	return 0
}

func TestPermissionsAndLinks(t *testing.T) {
	path := newFile(t, small)
	_ = os.Chmod(path, 0o600)
	link := filepath.Join(t.TempDir(), "link.yaml")
	if err := os.Symlink(path, link); err != nil {
		t.Fatal(err)
	}
	d := open(t, link)
	commit(t, d, 0, set("name", "x"))
	info := must[os.FileInfo](t)(os.Lstat(link))
	if info.Mode()&os.ModeSymlink == 0 {
		t.Error("the link became a file")
	}
	if info := must[os.FileInfo](t)(os.Stat(path)); info.Mode().Perm() != 0o600 {
		t.Errorf("mode %v", info.Mode())
	}
	if !strings.Contains(read(t, path), "name: x") {
		t.Error("the file behind the link was not written")
	}
	switch info, err := os.Stat(Folder(path)); {
	case err != nil:
		t.Error("the folder does not lie beside the file:", err)
	case info.Mode().Perm() != 0o700:
		t.Errorf("the file is its owner's alone, and its old texts lie in a folder of mode %v", info.Mode())
	}
	_ = os.Chmod(path, 0o640)
	commit(t, d, 0, set("name", "shared"))
	if info := must[os.FileInfo](t)(os.Stat(Folder(path))); info.Mode().Perm()&0o007 != 0 {
		t.Errorf("others may not read the file, and may enter the folder: mode %v", info.Mode())
	}
	if os.Geteuid() == 0 {
		_ = os.Chown(path, 1234, 2345)
		commit(t, d, 0, set("name", "y"))
		s := must[os.FileInfo](t)(os.Stat(path)).Sys().(*syscall.Stat_t)
		if s.Uid != 1234 || s.Gid != 2345 {
			t.Errorf("owner %d:%d", s.Uid, s.Gid)
		}
	}
}

func TestFolderNames(t *testing.T) {
	for path, want := range map[string]string{
		"a/shop.yaml": "a/shop.winnow", "shop.yml": "shop.winnow", "shop": "shop.winnow", "a/.yaml": "a/.yaml.winnow", "shop.txt": "shop.txt.winnow",
	} {
		if got := Folder(path); got != want {
			t.Errorf("%s: %s, want %s", path, got, want)
		}
	}
}

func TestCreateNeverWritesOver(t *testing.T) {
	path := filepath.Join(t.TempDir(), "shop.yaml")
	if err := Create(path, []byte(small)); err != nil {
		t.Fatal(err)
	}
	if err := Create(path, []byte("x")); !errors.Is(err, os.ErrExist) {
		t.Error(err)
	}
	entries, _ := os.ReadDir(filepath.Dir(path))
	if read(t, path) != small || len(entries) != 1 {
		t.Error(entries)
	}
	var disk *DiskError
	if err := Create(filepath.Join(filepath.Dir(path), "no", "shop.yaml"), nil); !errors.As(err, &disk) || disk.Reason != Gone {
		t.Error(err)
	}
}

// Whatever stands in the folder, the file opens, changes, and the change can be undone after a restart.
func FuzzHistory(f *testing.F) {
	h := hashOf([]byte(small))
	f.Add([]byte(`{"format":"winnow history","version":1}`+"\n"+`{"revision":1,"text":"`+h+`","cause":"x","when":"2026-03-01T12:00:00Z"}`+"\n"), []byte(small))
	f.Add([]byte(`{"revision":2,"text":"`+h+`","undo":1,"redo":1,"of":9,"id":"a","voids":1}`), []byte("# winnow in service: {\"version\":1}\n"))
	f.Add([]byte(`{"format":"winnow history","version":7}`), []byte(serviceMark+`{"version":2}`))
	f.Add([]byte("\x00\n\n{"), []byte(nil))
	f.Fuzz(func(t *testing.T, log, inService []byte) {
		path := newFile(t, small)
		if err := os.MkdirAll(filepath.Join(Folder(path), "texts"), 0o755); err != nil {
			t.Fatal(err)
		}
		write(t, filepath.Join(Folder(path), "history.jsonl"), string(log))
		write(t, filepath.Join(Folder(path), "texts", h+".yaml"), small)
		write(t, serviceFile(Folder(path)), string(inService))
		d := open(t, path)
		d.Steps()
		commit(t, d, 0, set("name", "x"))
		if d.history.trouble != nil && !d.history.foreign {
			t.Fatal(d.history.trouble)
		}
		if !d.history.foreign {
			d = open(t, path)
		}
		if r := must[Revision](t)(d.Undo(ctx, 0)); string(r.Text) != small || read(t, path) != small {
			t.Fatalf("undo brings back\n%s", r.Text)
		}
	})
}
