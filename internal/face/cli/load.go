package cli

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"

	"winnow/internal/shop"
	"winnow/internal/shop/file"
	"winnow/internal/shop/plan"
	"winnow/internal/shop/typical"
	"winnow/internal/study/verdict"
	"winnow/internal/unit"
)

// opened is a shop file, read, filled with usual values and laid out.
type opened struct {
	path    string
	doc     *file.Doc
	shop    *shop.Shop // filled
	layout  *plan.Layout
	assumed []shop.Finding // what was filled in
	laid    []shop.Finding // what the plan found
	said    []shop.Finding // what the file alone says, and kinds that nobody knows
	units   unit.System
}

// maxFile is far above any shop file that a person keeps (the largest example has 20 kB).
const maxFile = 4 << 20

// loadShop opens a shop file and prepares it; every fault of the file is printed at once.
func loadShop(e *env, path string) (*opened, error) {
	src, err := readFile(e, path)
	if _, missing := os.Stat(path); err != nil && errors.Is(missing, fs.ErrNotExist) {
		return nil, badInput("%v\nwinnow new makes one", err)
	}
	if err != nil {
		return nil, err
	}
	doc, faults := file.Parse(src)
	if len(faults) > 0 {
		for _, f := range faults {
			fmt.Fprintln(e.err, f.Text(path))
		}
		return nil, badInput("%s: %s; nothing was computed", path, count(len(faults), "fault"))
	}
	for _, w := range doc.Warnings() { // an option that no longer fits does not keep the rest from being computed
		fmt.Fprintln(e.err, w.Text(path))
	}
	o := &opened{path: path, doc: doc}
	o.shop, o.assumed = typical.Fill(doc.Shop())
	o.layout, o.laid = plan.Of(o.shop, "")
	o.said = append(shop.Notes(doc.Shop()), verdict.Loud(o.assumed)...)
	o.units = e.system(doc.Shop().Units)
	return o, nil
}

// readFile reads a file that somebody named, or standard input for "-".
func readFile(e *env, path string) ([]byte, error) {
	if path == "-" {
		return readAtMost(e.in, "standard input")
	}
	if info, err := os.Stat(path); err == nil && !info.Mode().IsRegular() && !info.IsDir() {
		return nil, badInput("%s is not a file; give one, or - for standard input", path)
	}
	f, err := os.Open(path)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nil, badInput("%s: there is no such file", path)
	case errors.Is(err, fs.ErrPermission):
		return nil, badInput("%s: you may not read this file: ask its owner, or change its permissions", path)
	case err != nil:
		return nil, badInput("%s cannot be opened: %v", path, err)
	}
	defer f.Close()
	if info, err := f.Stat(); err == nil && info.IsDir() {
		return nil, badInput("%s is a folder; name the shop file in it", path)
	}
	return readAtMost(f, path)
}

func readAtMost(r io.Reader, name string) ([]byte, error) {
	src, err := io.ReadAll(io.LimitReader(r, maxFile+1))
	if err != nil {
		return nil, badInput("%s cannot be read: %v", name, err)
	}
	if len(src) > maxFile {
		return nil, badInput("%s is larger than %d MB, the limit for a shop file: is it the right file?", name, maxFile>>20)
	}
	return src, nil
}

// place is where a path stands in the file: "shop.yaml:12:5".
func (o *opened) place(p shop.Path) string {
	pos := o.doc.Place(p)
	if pos.Line == 0 {
		return o.path
	}
	return fmt.Sprintf("%s:%d:%d", o.path, pos.Line, pos.Column)
}

// at is where a path stands, for wire.
func (o *opened) at(p shop.Path) (line, column int) {
	pos := o.doc.Place(p)
	return pos.Line, pos.Column
}

// sections are the keys that the file has at its top, in its order.
func (o *opened) sections() []string {
	v, ok := o.doc.Value("")
	if !ok {
		return nil
	}
	return v.Keys
}

func count(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}
