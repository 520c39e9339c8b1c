package server

import (
	"context"
	"crypto/rand"
	"log/slog"
	"net/http"
	"sync"
	"time"

	"github.com/danielgtaylor/huma/v2"
	"github.com/danielgtaylor/huma/v2/adapters/humago"

	"winnow/docs"
	"winnow/internal/face/wire"
	"winnow/internal/live/desk"
	"winnow/internal/study/power"
	"winnow/internal/study/roomair"
	"winnow/internal/study/verdict"
)

// Options say what is served, and to whom.
type Options struct {
	Desk       *desk.Desk
	Version    string
	Log        *slog.Logger
	Passphrase []byte // hash made by Hash; empty: only this machine may come in
	// Keep keeps a passphrase that was set on the page of this machine; nil: it lasts as long as the server.
	Keep func(hash []byte) error
	// Reach says under which names the page may be asked for; nil: as this machine alone. It is asked again every few seconds.
	Reach func() Reach
	// Open lets other devices in from now on; nil: they are already, or never are.
	Open func() error
	// Shut keeps them out again; it is asked only where Open is there.
	Shut func() error
	// First makes a shop file of a first run's answers; nil: there is no first run.
	First func(answers map[string]string) ([]byte, error)
}

// Server serves one shop.
type Server struct {
	Options
	hub   *hub
	locks *lockout
	works *works
	jobs  *jobs
	run   string // of this start; another shop that is served at the same address later has another
	shops prepared
	airs  *slow[roomair.Answer]
	nexts *slow[verdict.Verdict]
	// powers and nexts each have a place of their own, as what to do next takes ten times as long
	powers    *slow[power.Report]
	lookLasts time.Duration
	mux       *http.ServeMux
	api       huma.API

	reach   *reaching
	secrets sync.RWMutex
	hash    []byte // of the passphrase; guarded by secrets

	handbook func() (*bound, error) // made when somebody first reads it
}

// maxBody is far above any shop file; what is larger is refused unread.
const maxBody = 4<<20 + 64<<10

// New makes the server; Watch must run beside it for pages to hear of changes made elsewhere.
func New(o Options) *Server {
	if o.Log == nil {
		o.Log = slog.New(slog.DiscardHandler)
	}
	s := &Server{Options: o, hub: newHub(), locks: newLockout(), works: newWorks(), mux: http.NewServeMux(), hash: o.Passphrase, run: rand.Text()}
	s.airs, s.nexts, s.powers, s.lookLasts = newSlow[roomair.Answer](), newSlow[verdict.Verdict](), newSlow[power.Report](), lookLasts
	s.reach = &reaching{ask: o.Reach, now: time.Now}
	s.jobs = newJobs(func(j wire.Job) { s.hub.tell(event{job: &j}) })
	s.handbook = sync.OnceValues(func() (*bound, error) { return bind(docs.Chapters) })
	config := huma.DefaultConfig("Winnow", o.Version)
	config.DocsPath, config.CreateHooks = "", nil   // the docs page would load scripts from elsewhere
	config.OpenAPIPath, config.SchemasPath = "", "" // the library would make its answer anew for two who ask first at once
	s.api = humago.New(s.mux, config)
	s.register()
	s.registerJobs()
	s.registerHandbook()
	s.registerOthers()
	s.mux.HandleFunc("GET /api/openapi.json", s.description())
	s.mux.HandleFunc("GET /api/shops/{shop}/events", s.events)
	s.mux.HandleFunc("GET /healthz", func(w http.ResponseWriter, _ *http.Request) { _, _ = w.Write([]byte("ok\n")) })
	s.mux.HandleFunc("POST /api/session", s.login)
	s.mux.HandleFunc("GET /api/phone.png", s.phone)
	s.mux.HandleFunc("GET /api/", func(w http.ResponseWriter, r *http.Request) {
		s.refuse(w, r, http.StatusNotFound, "there is nothing of that name here")
	})
	s.mux.Handle("GET /", s.page())
	return s
}

// description tells of the API, for the page's types.
func (s *Server) description() http.HandlerFunc {
	text := sync.OnceValues(func() ([]byte, error) { return s.api.OpenAPI().MarshalJSON() })
	return func(w http.ResponseWriter, r *http.Request) {
		body, err := text()
		if err != nil {
			s.refuse(w, r, http.StatusInternalServerError, "the description could not be written: "+err.Error())
			return
		}
		w.Header().Set("Content-Type", "application/openapi+json")
		_, _ = w.Write(body)
	}
}

// Handler is the server behind its guards.
func (s *Server) Handler() http.Handler { return s.guard(s.mux) }

// HTTP is a server with time-outs; the event stream lifts its own.
func (s *Server) HTTP() *http.Server {
	web := &http.Server{
		Handler: s.Handler(), ReadHeaderTimeout: 5 * time.Second, ReadTimeout: 30 * time.Second, WriteTimeout: 60 * time.Second,
		IdleTimeout: 2 * time.Minute, MaxHeaderBytes: 32 << 10, ErrorLog: slog.NewLogLogger(s.Log.Handler(), slog.LevelWarn),
	}
	(&strangers{}).bound(web)
	return web
}

// Watch tells the pages of changes made outside until ctx ends.
func (s *Server) Watch(ctx context.Context) {
	for ctx.Err() == nil {
		s.watchOnce(ctx)
		select { // after a fault of ours it goes on looking, a little later
		case <-ctx.Done():
		case <-time.After(2 * time.Second):
		}
	}
}

func (s *Server) watchOnce(ctx context.Context) {
	defer func() {
		if p := recover(); p != nil {
			s.Log.Error("a fault of the program itself while watching the file", "what", p)
		}
	}()
	_ = s.Desk.Watch(ctx, 500*time.Millisecond, func(r desk.Revision) {
		s.hub.tell(event{rev: r.Number, cause: r.Cause})
	})
}

// Close ends the event streams and the jobs.
func (s *Server) Close() {
	s.hub.close()
	s.jobs.close()
}

// works limits how many looks compute at once: more would only make all of them late.
type works struct{ slots chan struct{} }

func newWorks() *works { return &works{slots: make(chan struct{}, 2)} }

// enter waits for a place; it gives up when the client does.
func (w *works) enter(ctx context.Context) (leave func(), err error) {
	select {
	case w.slots <- struct{}{}:
		return sync.OnceFunc(func() { <-w.slots }), nil
	case <-ctx.Done():
		return nil, ctx.Err()
	}
}
