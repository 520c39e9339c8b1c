package server

import (
	"context"
	"crypto/tls"
	"net"
	"net/http"
	"net/netip"
	"slices"
	"sync"
)

// A browser opens six connections to a server, and a phone that slept leaves some behind that nobody has closed yet. More than
// these are somebody who holds them so that others get none.
const (
	connectionsOfOne = 24
	connectionsOfAll = 192 // of all other devices together: far below what a system lets a program have open
)

// strangers bounds the connections of other devices, before anybody is asked for a passphrase. This machine is not bounded. A
// device that opens more than its share loses its own oldest ones, so that it takes nothing from others; where all together have too
// many, the one with the most gives way, and who has not said the passphrase before who has.
type strangers struct {
	mu   sync.Mutex
	held []*held // the oldest first
}

// held is a connection of another device.
type held struct {
	of    *strangers
	from  netip.Prefix
	conn  net.Conn
	known bool // a session was shown on it; guarded by of.mu
	idle  bool // guarded by of.mu
}

type heldKey struct{}

// bound makes a server count; a proxy on this machine keeps its own count.
func (s *strangers) bound(web *http.Server) {
	web.ConnContext = func(ctx context.Context, c net.Conn) context.Context {
		if h := s.take(c); h != nil {
			return context.WithValue(ctx, heldKey{}, h)
		}
		return ctx
	}
	web.ConnState = func(c net.Conn, state http.ConnState) {
		switch state {
		case http.StateActive, http.StateIdle:
			s.rest(c, state == http.StateIdle)
		case http.StateClosed, http.StateHijacked:
			s.drop(c)
		}
	}
}

// take counts a new connection; nil for one of this machine.
func (s *strangers) take(c net.Conn) *held {
	from := deviceAt(c.RemoteAddr().String())
	if from.Addr().IsLoopback() {
		return nil
	}
	h := &held{of: s, from: from, conn: c}
	s.mu.Lock()
	s.held = append(s.held, h)
	out := s.tooMany(from)
	s.mu.Unlock()
	if out != nil {
		hangUp(out.conn)
	}
	return h
}

// tooMany takes one out where there are too many. The caller holds mu.
func (s *strangers) tooMany(from netip.Prefix) *held {
	own := 0
	for _, h := range s.held {
		if h.from == from {
			own++
		}
	}
	out := -1
	switch {
	case own > connectionsOfOne:
		out = s.first(func(h *held) bool { return h.from == from })
	case len(s.held) > connectionsOfAll:
		// What a device has shown a session on does not count against its next connection, which shows none yet.
		strange := slices.ContainsFunc(s.held, func(h *held) bool { return !h.known })
		yields := func(h *held) bool { return !strange || !h.known }
		count, most := map[netip.Prefix]int{}, 0
		for _, h := range s.held {
			if yields(h) {
				count[h.from]++
				most = max(most, count[h.from])
			}
		}
		out = s.first(func(h *held) bool { return yields(h) && count[h.from] == most })
	}
	if out < 0 {
		return nil
	}
	h := s.held[out]
	s.held = slices.Delete(s.held, out, out+1)
	return h
}

// first is the oldest that fits and waits for nothing, else the oldest that fits.
func (s *strangers) first(fits func(*held) bool) int {
	if i := slices.IndexFunc(s.held, func(h *held) bool { return h.idle && fits(h) }); i >= 0 {
		return i
	}
	return slices.IndexFunc(s.held, fits)
}

func (s *strangers) rest(c net.Conn, idle bool) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if i := slices.IndexFunc(s.held, func(h *held) bool { return h.conn == c }); i >= 0 {
		s.held[i].idle = idle
	}
}

func (s *strangers) drop(c net.Conn) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.held = slices.DeleteFunc(s.held, func(h *held) bool { return h.conn == c })
}

// know marks the connection of a request on which a session was shown.
func know(r *http.Request) {
	if h, ok := r.Context().Value(heldKey{}).(*held); ok {
		h.of.mu.Lock()
		defer h.of.mu.Unlock()
		h.known = true
	}
}

// hangUp closes a connection without a farewell, for which a stranger could keep us waiting.
func hangUp(c net.Conn) {
	if t, ok := c.(*tls.Conn); ok {
		c = t.NetConn()
	}
	_ = c.Close()
}
