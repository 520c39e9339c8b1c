package server

import (
	"encoding/json"
	"fmt"
	"io"
	"net/http"
	"sync"
	"time"

	"winnow/internal/face/wire"
)

// event is a new revision, or a job that has got further.
type event struct {
	rev   int
	cause string
	job   *wire.Job
}

// hub hands events to every open page. A page that does not keep up is dropped and comes back by itself.
type hub struct {
	mu     sync.Mutex
	pages  map[chan event]bool
	last   int
	closed bool
}

func newHub() *hub { return &hub{pages: map[chan event]bool{}} }

func (h *hub) tell(e event) {
	h.mu.Lock()
	defer h.mu.Unlock()
	if e.job == nil {
		if e.rev <= h.last {
			return // the watcher and the committer both saw it
		}
		h.last = e.rev
	}
	for page := range h.pages {
		select {
		case page <- e:
		default:
			if e.job != nil && e.job.State == "running" {
				continue // there will be another
			}
			delete(h.pages, page)
			close(page)
		}
	}
}

func (h *hub) join() chan event {
	h.mu.Lock()
	defer h.mu.Unlock()
	page := make(chan event, 16)
	if h.closed {
		close(page)
		return page
	}
	h.pages[page] = true
	return page
}

func (h *hub) leave(page chan event) {
	h.mu.Lock()
	defer h.mu.Unlock()
	if h.pages[page] {
		delete(h.pages, page)
		close(page)
	}
}

func (h *hub) close() {
	h.mu.Lock()
	defer h.mu.Unlock()
	h.closed = true
	for page := range h.pages {
		delete(h.pages, page)
		close(page)
	}
}

// patience is how long a page may take to read one event before its stream is given up.
const patience = 30 * time.Second

// events streams revisions and jobs. Every stream begins with the latest revision and with the jobs there are, so that a page that
// was away, or whose server was started anew, knows at once whether what it holds is still true.
func (s *Server) events(w http.ResponseWriter, r *http.Request) {
	control := http.NewResponseController(w)
	w.Header().Set("Content-Type", "text/event-stream")
	w.Header().Set("Cache-Control", "no-store")
	page := s.hub.join()
	defer s.hub.leave(page)
	send := func(text string) bool {
		_ = control.SetWriteDeadline(time.Now().Add(patience))
		_, err := io.WriteString(w, text)
		return err == nil && control.Flush() == nil
	}
	head := s.Desk.Head()
	if !send(event{rev: head.Number, cause: head.Cause}.text(s.run)) {
		return
	}
	for _, j := range s.jobs.list() {
		if !send(event{job: &j}.text(s.run)) {
			return
		}
	}
	beat := time.NewTicker(20 * time.Second)
	defer beat.Stop()
	for {
		text := ": still here\n\n"
		select {
		case e, open := <-page:
			if !open {
				return
			}
			text = e.text(s.run)
		case <-beat.C:
		case <-r.Context().Done():
			return
		}
		if !s.mayEnter(r) { // the session has ended, or the passphrase is a new one
			return
		}
		if !send(text) {
			return
		}
	}
}

// text is an event as it is sent; the id of a revision is its number, and a job leaves that as it was.
func (e event) text(run string) string {
	if e.job != nil {
		data, _ := json.Marshal(e.job)
		return fmt.Sprintf("event: job\ndata: %s\n\n", data)
	}
	data, _ := json.Marshal(map[string]any{"rev": e.rev, "run": run, "cause": e.cause})
	return fmt.Sprintf("id: %d\nevent: doc\ndata: %s\n\n", e.rev, data)
}
