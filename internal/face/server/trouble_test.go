package server

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"

	"winnow/internal/face/wire"
	"winnow/internal/live/desk"
)

// What is said of a history that cannot be written is so: it does not say that changes are saved where they cannot be.
func TestTroubleSaysWhatCanBeSaved(t *testing.T) {
	shop := filepath.Join("home", "shop.yaml")
	folder := desk.Folder(shop)
	for _, c := range []struct {
		trouble error
		saved   bool
		says    string
	}{
		{&desk.DiskError{Reason: desk.NoPermission, Path: folder, Err: fs.ErrPermission}, false, "This folder may not be written to: you can look and try, not save."},
		{&desk.DiskError{Reason: desk.NoPermission, Path: filepath.Join(folder, "history.jsonl"), Err: fs.ErrPermission}, true, "shop.winnow/history.jsonl"},
		{&desk.DiskError{Reason: desk.ReadOnly, Path: filepath.Join(folder, "lock"), Err: syscall.EROFS}, false, "look and try, not save"},
		{&desk.DiskError{Reason: desk.Full, Path: filepath.Join(folder, "texts"), Err: syscall.ENOSPC}, false, "no room"},
		{&desk.DiskError{Path: folder, Err: &fs.PathError{Op: "mkdir", Path: folder, Err: syscall.ENOTDIR}}, true, "shop.winnow: not a directory."},
		{errors.New("the history was written by a newer winnow"), true, "newer winnow"},
	} {
		says := troubleText(c.trouble, shop)
		if strings.HasPrefix(says, "Changes are saved") != c.saved || !strings.Contains(says, c.says) || strings.Contains(says, "nothing was changed") || strings.Contains(says, "home") {
			t.Errorf("%v: %s", c.trouble, says)
		}
	}
}

// Something else stands where the history would be: the file is saved, and the page says what is lost.
func TestTroubleReachesThePage(t *testing.T) {
	_, web, path := open(t, nil)
	if err := os.WriteFile(desk.Folder(path), []byte("not a folder"), 0o600); err != nil {
		t.Fatal(err)
	}
	url := web.URL + "/api/shops/shop"
	if code := post(t, url+"/edits", wire.Change{Cause: "named", Edits: []wire.Edit{{Set: "name", To: text("another")}}}, nil); code != 200 {
		t.Fatalf("not saved: %d", code)
	}
	var st wire.State
	get(t, url, &st)
	if st.Name != "another" || !strings.Contains(st.Trouble, "Changes are saved") || !strings.Contains(st.Trouble, "shop.winnow: not a directory") {
		t.Errorf("%q: %s", st.Name, st.Trouble)
	}
}
