package server

import (
	"context"
	"fmt"
	"net/http"
	"slices"
	"strings"
	"sync"
	"time"
	"unicode/utf8"

	"github.com/danielgtaylor/huma/v2"
	"rsc.io/qr"

	"winnow/internal/face/wire"
)

// Reach is under which names and addresses the page may be asked for besides this machine's own, and the one a phone would use.
type Reach struct {
	Hosts []string
	Phone string // empty where this machine is not open to others
	Moved bool   // it was open, and was shut as the network is another
	TLS   bool   // what crosses the network can be read by nobody else
}

// reaching asks anew now and then: a machine that is carried about gets other addresses.
type reaching struct {
	ask  func() Reach
	now  func() time.Time
	mu   sync.Mutex
	last Reach
	at   time.Time
}

const reachHolds = 2 * time.Second

func (r *reaching) get() Reach {
	if r.ask == nil {
		return Reach{}
	}
	r.mu.Lock()
	defer r.mu.Unlock()
	if now := r.now(); r.at.IsZero() || now.Sub(r.at) >= reachHolds {
		r.last, r.at = r.ask(), now
	}
	return r.last
}

// anew forgets what was heard: something has just been opened.
func (r *reaching) anew() {
	r.mu.Lock()
	defer r.mu.Unlock()
	r.at = time.Time{}
}

// LeastPassphrase is how many characters one must have: four words, or a dozen letters.
const LeastPassphrase = 12

// CheckPassphrase says what is wrong with a passphrase that somebody wants to set.
func CheckPassphrase(words string) error {
	if n := utf8.RuneCountInString(words); n < LeastPassphrase {
		return fmt.Errorf("that passphrase has %d characters, and %d are the least", n, LeastPassphrase)
	}
	return nil
}

type othersIn struct {
	here bool // from this machine
	Body wire.LetIn
}

// Resolve is called by the API library with the request.
func (in *othersIn) Resolve(c huma.Context) []error {
	in.here = isHere(c.RemoteAddr(), c.Header)
	return nil
}

type whoIn struct{ here bool }

// Resolve is called by the API library with the request.
func (in *whoIn) Resolve(c huma.Context) []error {
	in.here = isHere(c.RemoteAddr(), c.Header)
	return nil
}

func (s *Server) registerOthers() {
	huma.Register(s.api, huma.Operation{OperationID: "others", Method: http.MethodGet, Path: "/api/others", Summary: "whether other devices can come in, and how"},
		func(_ context.Context, in *whoIn) (*answer[wire.Others], error) {
			return &answer[wire.Others]{s.others(in.here)}, nil
		})
	huma.Register(s.api, huma.Operation{OperationID: "let-in", Method: http.MethodPut, Path: "/api/others", Summary: "sets the passphrase and lets other devices in; only from the computer itself"},
		func(_ context.Context, in *othersIn) (*answer[wire.Others], error) {
			if err := s.letIn(in.here, in.Body.Passphrase); err != nil {
				return nil, err
			}
			return &answer[wire.Others]{s.others(in.here)}, nil
		})
	huma.Register(s.api, huma.Operation{OperationID: "keep-out", Method: http.MethodDelete, Path: "/api/others", Summary: "keeps other devices out again; only from the computer itself"},
		func(_ context.Context, in *whoIn) (*answer[wire.Others], error) {
			if err := s.keepOut(in.here); err != nil {
				return nil, err
			}
			return &answer[wire.Others]{s.others(in.here)}, nil
		})
}

// keepOut shuts other devices out: their sessions end, and the page is known by no other name than this machine's.
func (s *Server) keepOut(here bool) error {
	switch {
	case !here:
		return huma.Error403Forbidden("only the computer on which winnow runs keeps other devices out")
	case s.Open == nil || s.Shut == nil:
		return huma.Error409Conflict("it was started open to other devices: end the program and start it without --addr to keep them out")
	}
	s.locks.closeAll()
	if err := s.Shut(); err != nil {
		return huma.Error409Conflict(err.Error())
	}
	s.reach.anew()
	s.Log.Info("shut to other devices")
	return nil
}

func (s *Server) others(here bool) wire.Others {
	r := s.reach.get()
	return wire.Others{
		Open: r.Phone != "", Address: r.Phone, Passphrase: len(s.secret()) > 0, Here: here, CanOpen: here && s.Open != nil, Clear: !r.TLS, Moved: r.Moved,
	}
}

func (s *Server) letIn(here bool, words string) error {
	if !here {
		return huma.Error403Forbidden("only the computer on which winnow runs lets other devices in")
	}
	switch words = strings.TrimSpace(words); {
	case words != "":
		if err := CheckPassphrase(words); err != nil {
			return huma.Error422UnprocessableEntity(err.Error())
		}
		if err := s.setSecret(Hash(words)); err != nil {
			return huma.Error403Forbidden("the passphrase cannot be kept: " + err.Error())
		}
	case len(s.secret()) == 0:
		return huma.Error422UnprocessableEntity("other devices need a passphrase: think of four words")
	}
	if s.Open == nil {
		return nil // open already, or never
	}
	if err := s.Open(); err != nil {
		return huma.Error409Conflict(err.Error())
	}
	s.reach.anew()
	s.Log.Info("open to other devices", "address", s.reach.get().Phone)
	return nil
}

// secret is the hash of the passphrase; empty where none is set.
func (s *Server) secret() []byte {
	s.secrets.RLock()
	defer s.secrets.RUnlock()
	return s.hash
}

// setSecret keeps a new one and asks every other device for it.
func (s *Server) setSecret(hash []byte) error {
	if s.Keep != nil {
		if err := s.Keep(hash); err != nil {
			return err
		}
	}
	s.secrets.Lock()
	s.hash = slices.Clone(hash)
	s.secrets.Unlock()
	s.locks.closeAll()
	return nil
}

// phone draws the address for a phone's camera.
func (s *Server) phone(w http.ResponseWriter, r *http.Request) {
	address := s.reach.get().Phone
	if address == "" {
		s.refuse(w, r, http.StatusNotFound, "this shop is served to this machine only: start winnow serve with --addr 0.0.0.0:PORT to let a phone in")
		return
	}
	code, err := qr.Encode(address, qr.M)
	if err != nil {
		s.refuse(w, r, http.StatusInternalServerError, "the code could not be drawn")
		return
	}
	w.Header().Set("Content-Type", "image/png")
	w.Header().Set("Cache-Control", "no-store")
	_, _ = w.Write(code.PNG())
}
