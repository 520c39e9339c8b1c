package desk

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"syscall"
	"time"

	"winnow/internal/shop/file"
)

// service is the revision the controller obeys. Its file is the shop file of that revision under one line of comment,
// so that it is written in one step and reads as what it is.
type service struct {
	known   *Revision
	seen    stamp
	trouble error
}

type serviceLine struct {
	Version  int       `json:"version"`
	Revision int       `json:"revision"`
	Text     string    `json:"text"`
	Cause    string    `json:"cause"`
	When     time.Time `json:"when"`
}

const serviceMark = "# winnow in service: "

func serviceFile(folder string) string { return filepath.Join(folder, "in-service.yaml") }

// load reads which revision is in service, if that has changed.
func (s *service) load(folder string) {
	path := serviceFile(folder)
	info, err := os.Stat(path)
	if err != nil {
		s.known, s.seen, s.trouble = nil, stamp{}, nil
		if !errors.Is(err, fs.ErrNotExist) && !errors.Is(err, syscall.ENOTDIR) {
			s.trouble = diskError(path, err)
		}
		return
	}
	if stampOf(info) == s.seen {
		return
	}
	s.known, s.seen = nil, stampOf(info)
	src, err := os.ReadFile(path)
	if err != nil {
		s.trouble = diskError(path, err)
		return
	}
	s.trouble = fmt.Errorf("%s is damaged, so no revision is in service: put one in service again", path)
	line, text, _ := bytes.Cut(src, []byte("\n"))
	var l serviceLine
	about, marked := bytes.CutPrefix(line, []byte(serviceMark))
	if !marked || json.Unmarshal(about, &l) != nil || l.Text != hashOf(text) {
		return
	}
	if l.Version > version {
		s.trouble = fmt.Errorf("%s was written by a newer winnow, so no revision is in service here", path)
		return
	}
	doc, faults := file.Parse(text)
	if len(faults) > 0 {
		return
	}
	s.known, s.trouble = &Revision{l.Revision, l.Cause, l.When, text, doc}, nil
}

// InService is the revision the controller obeys; false if none was ever put in service. It is never the latest by
// itself: only PutInService changes it.
func (d *Desk) InService() (Revision, bool) {
	d.mu.Lock()
	defer d.mu.Unlock()
	if d.service.known == nil {
		return Revision{}, false
	}
	return *d.service.known, true
}

// PutInService makes a revision the one the controller obeys. It is a person's act. A revision with faults is refused.
func (d *Desk) PutInService(ctx context.Context, number int) (Revision, error) {
	release, err := d.hold(ctx, patience)
	if err != nil {
		return Revision{}, err
	}
	defer release()
	d.mu.Lock()
	defer d.mu.Unlock()
	if err := d.see(ctx); err != nil {
		return Revision{}, err
	}
	r, ok := d.revision(d.history.find(number))
	if !ok {
		return Revision{}, &Stale{number, d.history.head().Number}
	}
	if faults := r.Doc.Faults(); len(faults) > 0 {
		return Revision{}, &Faulty{Faults: faults}
	}
	if _, err := d.history.flush(); err != nil {
		return Revision{}, err
	}
	about, err := json.Marshal(serviceLine{version, r.Number, hashOf(r.Text), r.Cause, d.clock()})
	if err != nil {
		return Revision{}, err
	}
	src := append(append([]byte(serviceMark), about...), '\n')
	if err := writeWhole(serviceFile(d.history.folder), append(src, r.Text...)); err != nil {
		return Revision{}, err
	}
	d.service.load(d.history.folder)
	return r, nil
}
