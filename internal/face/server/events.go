package server

import (
	"encoding/json"
	"fmt"
	"net/http"
	"strconv"
	"sync"
	"time"
)

// event is a new revision.
type event struct {
	rev   int
	cause string
}

// hub hands events to every open page. A page that does not keep up is dropped and comes back by itself.
type hub struct {
	mu     sync.Mutex
	pages  map[chan event]bool
	recent []event // newest last
	closed bool
}

// kept is how many events a page that was away may catch up on; further back it is told to load anew.
const kept = 64

func newHub() *hub { return &hub{pages: map[chan event]bool{}} }

func (h *hub) tell(e event) {
	h.mu.Lock()
	defer h.mu.Unlock()
	if n := len(h.recent); n > 0 && h.recent[n-1].rev >= e.rev {
		return // the watcher and the committer both saw it
	}
	h.recent = append(h.recent, e)
	if len(h.recent) > kept {
		h.recent = h.recent[1:]
	}
	for page := range h.pages {
		select {
		case page <- e:
		default:
			delete(h.pages, page)
			close(page)
		}
	}
}

// join opens a stream; missed are the events since a revision, all of them if complete.
func (h *hub) join(since int) (page chan event, missed []event, complete bool) {
	h.mu.Lock()
	defer h.mu.Unlock()
	page = make(chan event, 16)
	if h.closed {
		close(page)
		return page, nil, true
	}
	h.pages[page] = true
	complete = since == 0 || len(h.recent) == 0 || h.recent[0].rev <= since+1
	for _, e := range h.recent {
		if since > 0 && e.rev > since {
			missed = append(missed, e)
		}
	}
	return page, missed, complete
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

// events streams revisions. The id of an event is its revision, so Last-Event-ID says what a page has.
func (s *Server) events(w http.ResponseWriter, r *http.Request) {
	since, _ := strconv.Atoi(r.Header.Get("Last-Event-ID"))
	control := http.NewResponseController(w)
	_ = control.SetWriteDeadline(time.Time{})
	w.Header().Set("Content-Type", "text/event-stream")
	w.Header().Set("Cache-Control", "no-store")
	page, missed, complete := s.hub.join(since)
	defer s.hub.leave(page)
	if !complete {
		fmt.Fprint(w, "event: reload\ndata: {}\n\n")
	}
	for _, e := range missed {
		write(w, e)
	}
	fmt.Fprint(w, ": open\n\n")
	if control.Flush() != nil {
		return
	}
	beat := time.NewTicker(20 * time.Second)
	defer beat.Stop()
	for {
		select {
		case e, open := <-page:
			if !open {
				return
			}
			write(w, e)
		case <-beat.C:
			fmt.Fprint(w, ": still here\n\n")
		case <-r.Context().Done():
			return
		}
		if control.Flush() != nil {
			return
		}
	}
}

func write(w http.ResponseWriter, e event) {
	data, _ := json.Marshal(map[string]any{"rev": e.rev, "cause": e.cause})
	fmt.Fprintf(w, "id: %d\nevent: doc\ndata: %s\n\n", e.rev, data)
}
