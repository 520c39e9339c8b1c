package server

import (
	"crypto/rand"
	"crypto/subtle"
	"encoding/base64"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"net"
	"net/http"
	"net/netip"
	"net/url"
	"slices"
	"strings"
	"sync"
	"time"

	"golang.org/x/crypto/argon2"
)

// guard lets nobody in but this machine, or who knows the passphrase; and no foreign page may speak for them.
func (s *Server) guard(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		defer func() {
			if p := recover(); p != nil && p != http.ErrAbortHandler {
				s.Log.Error("a fault of the program itself", "what", p, "path", r.URL.Path)
				s.refuse(w, r, http.StatusInternalServerError, "a fault of the program itself; nothing was changed")
			}
		}()
		h := w.Header()
		h.Set("X-Content-Type-Options", "nosniff")
		h.Set("Referrer-Policy", "no-referrer")
		h.Set("Cross-Origin-Opener-Policy", "same-origin")
		h.Set("Cross-Origin-Resource-Policy", "same-origin")
		switch {
		case !s.hostKnown(r.Host):
			s.refuse(w, r, http.StatusMisdirectedRequest, "this address is not one of mine: open the page at the address that winnow serve printed")
		case !sameOrigin(r):
			s.refuse(w, r, http.StatusForbidden, "another page may not speak for this one")
		case r.ContentLength > maxBody:
			s.refuse(w, r, http.StatusRequestEntityTooLarge, fmt.Sprintf("%d bytes; the limit is %d", r.ContentLength, maxBody))
		case !s.mayEnter(r):
			s.refuse(w, r, http.StatusUnauthorized, "say the passphrase first")
		default:
			r.Body = http.MaxBytesReader(w, r.Body, maxBody)
			next.ServeHTTP(w, r)
		}
	})
}

func (s *Server) refuse(w http.ResponseWriter, r *http.Request, status int, why string) {
	s.Log.Warn("refused", "status", status, "method", r.Method, "path", r.URL.Path, "from", r.RemoteAddr, "host", r.Host)
	w.Header().Set("Content-Type", "application/problem+json")
	w.WriteHeader(status)
	_ = json.NewEncoder(w).Encode(map[string]any{"status": status, "detail": why})
}

// hostKnown keeps a foreign name that was bent to this machine's address from being served (DNS rebinding).
func (s *Server) hostKnown(host string) bool {
	name := host
	if h, _, err := net.SplitHostPort(host); err == nil {
		name = h
	}
	name = strings.Trim(name, "[]")
	if name == "localhost" {
		return true
	}
	if ip, err := netip.ParseAddr(name); err == nil && ip.IsLoopback() {
		return true
	}
	name = strings.TrimSuffix(name, ".")
	return slices.ContainsFunc(s.reach.get().Hosts, func(h string) bool { return strings.EqualFold(h, name) })
}

// sameOrigin: what changes or asks anything must come from our own page. Browsers send Origin with every POST and say in
// Sec-Fetch-Site where a GET comes from; programs send neither.
func sameOrigin(r *http.Request) bool {
	if site := r.Header.Get("Sec-Fetch-Site"); site != "" && site != "same-origin" && site != "none" {
		return r.Method == http.MethodGet && r.Header.Get("Sec-Fetch-Mode") == "navigate" && r.URL.Path == "/"
	}
	origin := r.Header.Get("Origin")
	if origin == "" {
		return true
	}
	u, err := url.Parse(origin)
	return err == nil && u.Host == r.Host
}

// forwarding are the headers by which a proxy says for whom it speaks.
var forwarding = []string{"Forwarded", "X-Forwarded-For", "X-Forwarded-Host", "X-Real-Ip", "Via"}

// fromHere reports whether a request comes from this very machine. A proxy on this machine speaks for others.
func fromHere(r *http.Request) bool { return isHere(r.RemoteAddr, r.Header.Get) }

func isHere(address string, header func(string) string) bool {
	if slices.ContainsFunc(forwarding, func(name string) bool { return header(name) != "" }) {
		return false
	}
	host, _, err := net.SplitHostPort(address)
	if err != nil {
		return false
	}
	ip, err := netip.ParseAddr(host)
	return err == nil && ip.IsLoopback()
}

const cookieName = "winnow_session"

// mayEnter: from this machine always, from elsewhere with a session. The page itself and the login are open, so that it
// can ask for the passphrase.
func (s *Server) mayEnter(r *http.Request) bool {
	if fromHere(r) {
		return true
	}
	if len(s.secret()) == 0 {
		return false
	}
	if r.URL.Path == "/api/session" || !strings.HasPrefix(r.URL.Path, "/api/") {
		return true
	}
	c, err := r.Cookie(cookieName)
	if err != nil || !s.locks.known(c.Value) {
		return false
	}
	know(r)
	return true
}

// Hash turns a passphrase into what is kept of it: argon2id with its salt (RFC 9106, second recommended option).
func Hash(passphrase string) []byte {
	salt := make([]byte, 16)
	_, _ = rand.Read(salt)
	return append(salt, stretch(passphrase, salt)...)
}

func stretch(passphrase string, salt []byte) []byte {
	return argon2.IDKey([]byte(passphrase), salt, 3, 64<<10, 2, 32)
}

// lockout keeps sessions and slows guessing down: so many wrong tries a minute from one device, and from all together.
type lockout struct {
	mu       sync.Mutex
	sessions map[string]time.Time // until when each lasts
	wrong    []*wrongTry          // those under way among them
	now      func() time.Time
	hashing  chan struct{}
	stretch  func(passphrase string, salt []byte) []byte
}

type wrongTry struct {
	from netip.Prefix
	at   time.Time
}

const (
	triesPerMinute = 5
	triesOfAll     = 60 // each costs the server a tenth of a second
	sessionLasts   = 30 * 24 * time.Hour
	triesAtOnce    = 2
	mostSessions   = 100
	maxLogin       = 1 << 10 // bytes of a passphrase and what is around it
)

func newLockout() *lockout {
	return &lockout{sessions: map[string]time.Time{}, now: time.Now, hashing: make(chan struct{}, triesAtOnce), stretch: stretch}
}

// device is who a request comes from: an address, or the network of an IPv6 one.
func device(r *http.Request) netip.Prefix { return deviceAt(r.RemoteAddr) }

func deviceAt(address string) netip.Prefix {
	host, _, err := net.SplitHostPort(address)
	if err != nil {
		return netip.Prefix{}
	}
	ip, err := netip.ParseAddr(host)
	if err != nil {
		return netip.Prefix{}
	}
	bits := ip.BitLen()
	if ip.Is6() && !ip.Is4In6() {
		bits = 64
	}
	p, _ := ip.Prefix(bits)
	return p
}

// book lets a device try, and counts the try as wrong until it proves right: many that come at once are counted before any is
// evaluated. No more are evaluated at a time than there are places, as each takes 64 MiB.
func (l *lockout) book(from netip.Prefix) (try booked, ok bool) {
	select {
	case l.hashing <- struct{}{}:
	default:
		return booked{}, false
	}
	l.mu.Lock()
	defer l.mu.Unlock()
	now := l.now()
	l.wrong = slices.DeleteFunc(l.wrong, func(t *wrongTry) bool { return now.Sub(t.at) > time.Minute })
	own := 0
	for _, t := range l.wrong {
		if t.from == from {
			own++
		}
	}
	if own >= triesPerMinute || len(l.wrong) >= triesOfAll {
		<-l.hashing
		return booked{}, false
	}
	t := &wrongTry{from, now}
	l.wrong = append(l.wrong, t)
	return booked{l, t}, true
}

// booked is a try under way.
type booked struct {
	locks *lockout
	try   *wrongTry
}

// over gives the place back, and the try where it was right.
func (b booked) over(right bool) {
	<-b.locks.hashing
	if !right {
		return
	}
	b.locks.mu.Lock()
	defer b.locks.mu.Unlock()
	b.locks.wrong = slices.DeleteFunc(b.locks.wrong, func(t *wrongTry) bool { return t == b.try })
}

// open begins a session; where there are too many the one that ends first makes room.
func (l *lockout) open() (string, error) {
	l.mu.Lock()
	defer l.mu.Unlock()
	oldest := ""
	for id, until := range l.sessions {
		if l.now().After(until) {
			delete(l.sessions, id)
		} else if oldest == "" || until.Before(l.sessions[oldest]) {
			oldest = id
		}
	}
	if len(l.sessions) >= mostSessions {
		delete(l.sessions, oldest)
	}
	id := make([]byte, 32)
	if _, err := rand.Read(id); err != nil {
		return "", err
	}
	key := base64.RawURLEncoding.EncodeToString(id)
	l.sessions[key] = l.now().Add(sessionLasts)
	return key, nil
}

// closeAll ends every session.
func (l *lockout) closeAll() {
	l.mu.Lock()
	defer l.mu.Unlock()
	clear(l.sessions)
}

func (l *lockout) known(id string) bool {
	l.mu.Lock()
	defer l.mu.Unlock()
	until, ok := l.sessions[id]
	return ok && l.now().Before(until)
}

// login takes the passphrase and gives a session.
func (s *Server) login(w http.ResponseWriter, r *http.Request) {
	var body struct {
		Passphrase string `json:"passphrase"`
	}
	if err := json.NewDecoder(http.MaxBytesReader(w, r.Body, maxLogin)).Decode(&body); err != nil {
		s.refuse(w, r, http.StatusBadRequest, "the passphrase could not be read")
		return
	}
	hash := s.secret()
	if len(hash) < 16 {
		w.WriteHeader(http.StatusNoContent) // nothing to sign in to
		return
	}
	try, ok := s.locks.book(device(r))
	if !ok {
		w.Header().Set("Retry-After", "60")
		s.refuse(w, r, http.StatusTooManyRequests, "too many tries: wait a minute")
		return
	}
	if !s.evaluate(try, body.Passphrase, hash) {
		s.refuse(w, r, http.StatusUnauthorized, "that is not the passphrase")
		return
	}
	id, err := s.locks.open()
	if err != nil {
		s.refuse(w, r, http.StatusServiceUnavailable, err.Error())
		return
	}
	http.SetCookie(w, &http.Cookie{
		Name: cookieName, Value: id, Path: "/", HttpOnly: true, SameSite: http.SameSiteStrictMode, Secure: r.TLS != nil,
		MaxAge: int(sessionLasts.Seconds()),
	})
	w.WriteHeader(http.StatusNoContent)
}

// evaluate ends a try, whatever comes of it.
func (s *Server) evaluate(try booked, words string, hash []byte) (right bool) {
	defer func() { try.over(right) }()
	salt, want := hash[:16], hash[16:]
	return subtle.ConstantTimeCompare(s.locks.stretch(words, salt), want) == 1
}

// HashText and ParseHash keep the hash in a text file of the shop's own folder.
func HashText(hash []byte) string { return "argon2id " + hex.EncodeToString(hash) + "\n" }

// ParseHash reads what HashText wrote.
func ParseHash(text string) ([]byte, error) {
	body, ok := strings.CutPrefix(strings.TrimSpace(text), "argon2id ")
	if !ok {
		return nil, errors.New("the passphrase file is not one of winnow's")
	}
	hash, err := hex.DecodeString(body)
	if err != nil || len(hash) != 16+32 {
		return nil, errors.New("the passphrase file is damaged: set a new passphrase")
	}
	return hash, nil
}
