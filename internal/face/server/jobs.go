package server

import (
	"context"
	"crypto/rand"
	"encoding/hex"
	"errors"
	"fmt"
	"net/http"
	"slices"
	"sync"
	"time"

	"github.com/danielgtaylor/huma/v2"

	"winnow/internal/face/wire"
)

const (
	usualLimit = time.Minute
	jobTells   = 500 * time.Millisecond // how often progress is told
	jobsKept   = 8                      // with their answers, the one under way included
)

// jobs are what takes longer than a page waits for: one of a kind at a time, and each ends by its own time limit though the
// page that began it is gone.
type jobs struct {
	ctx  context.Context // ends with the server
	stop context.CancelFunc
	tell func(wire.Job)

	mu      sync.Mutex
	all     []*job // oldest first
	running sync.WaitGroup
	closed  bool
}

// job is one of them. What it says of itself is guarded by the lock of jobs.
type job struct {
	wire.Job
	began  time.Time
	ended  time.Time
	told   time.Time
	halted bool // somebody asked it to stop
	stop   context.CancelFunc
	over   chan struct{}
}

// work does a job: it says how far it is, and returns early with what it has when ctx is done.
type work func(ctx context.Context, far func(change func(*wire.Job))) error

var errClosing = errors.New("the server is stopping")

func newJobs(tell func(wire.Job)) *jobs {
	ctx, stop := context.WithCancel(context.Background())
	return &jobs{ctx: ctx, stop: stop, tell: tell}
}

// begin starts a job, or returns the one of its kind that is under way: two people who press the button look at one proof.
func (j *jobs) begin(kind string, rev int, limit time.Duration, do work) (wire.Job, error) {
	j.mu.Lock()
	defer j.mu.Unlock()
	if j.closed {
		return wire.Job{}, errClosing
	}
	for _, other := range j.all {
		if other.Kind == kind && other.ended.IsZero() && !other.halted {
			return other.now(), nil
		}
	}
	id := make([]byte, 8)
	_, _ = rand.Read(id)
	ctx, stop := context.WithTimeout(j.ctx, limit)
	one := &job{
		Job:   wire.Job{ID: hex.EncodeToString(id), Kind: kind, Rev: rev, State: "running", Limit: limit.Seconds()},
		began: time.Now(), stop: stop, over: make(chan struct{}),
	}
	if len(j.all) >= jobsKept {
		if i := slices.IndexFunc(j.all, func(o *job) bool { return !o.ended.IsZero() }); i >= 0 {
			j.all = slices.Delete(j.all, i, i+1)
		}
	}
	j.all = append(j.all, one)
	j.running.Go(func() {
		defer close(one.over)
		defer stop()
		j.run(ctx, one, do)
	})
	return one.now(), nil
}

// run does the job and tells of it now and then.
func (j *jobs) run(ctx context.Context, one *job, do work) {
	far := func(change func(*wire.Job)) {
		j.mu.Lock()
		change(&one.Job)
		now := one.now()
		speak := time.Since(one.told) >= jobTells
		if speak {
			one.told = time.Now()
		}
		j.mu.Unlock()
		if speak {
			j.tell(now)
		}
	}
	err := guarded(func() error { return do(ctx, far) })
	j.mu.Lock()
	one.ended = time.Now()
	switch {
	case err != nil:
		one.State, one.Why = "failed", err.Error()
	case one.halted:
		one.State = "stopped"
	default:
		one.State = "done"
	}
	now := one.now()
	j.mu.Unlock()
	j.tell(now)
}

// guarded turns a fault of the program itself into an error.
func guarded(do func() error) (err error) {
	defer func() {
		if p := recover(); p != nil {
			err = fmt.Errorf("a fault of the program itself: %v", p)
		}
	}()
	return do()
}

// now is a job as it is told, without its answer.
func (o *job) now() wire.Job {
	w := o.Job
	w.Proof = nil
	w.Took = time.Since(o.began).Seconds()
	if !o.ended.IsZero() {
		w.Took = o.ended.Sub(o.began).Seconds()
	}
	return w
}

// whole is a job with its answer.
func (o *job) whole() wire.Job {
	w := o.now()
	if !o.ended.IsZero() {
		w.Proof = o.Proof
	}
	return w
}

func (j *jobs) list() []wire.Job {
	j.mu.Lock()
	defer j.mu.Unlock()
	out := make([]wire.Job, len(j.all))
	for i, o := range j.all {
		out[i] = o.now()
	}
	return out
}

func (j *jobs) find(_ context.Context, id string) (wire.Job, bool) {
	j.mu.Lock()
	defer j.mu.Unlock()
	for _, o := range j.all {
		if o.ID == id {
			return o.whole(), true
		}
	}
	return wire.Job{}, false
}

// end stops a job and waits until it has noticed; what it has found until then is its answer. A job that is over is left as it is.
func (j *jobs) end(ctx context.Context, id string) (wire.Job, bool) {
	j.mu.Lock()
	i := slices.IndexFunc(j.all, func(o *job) bool { return o.ID == id })
	if i < 0 {
		j.mu.Unlock()
		return wire.Job{}, false
	}
	one := j.all[i]
	one.halted = true
	one.stop()
	j.mu.Unlock()
	select {
	case <-one.over:
	case <-ctx.Done():
	}
	j.mu.Lock()
	defer j.mu.Unlock()
	return one.whole(), true
}

// close stops all jobs and waits for them to notice.
func (j *jobs) close() {
	j.mu.Lock()
	j.closed = true
	j.mu.Unlock()
	j.stop()
	j.running.Wait()
}

type jobIn struct {
	InShop
	Body wire.JobAsk
}

type thatJob struct {
	InShop
	ID string `path:"id" maxLength:"100"`
}

func (s *Server) registerJobs() {
	huma.Register(s.api, huma.Operation{OperationID: "begin-job", Method: http.MethodPost, Path: "/api/shops/{shop}/jobs"},
		func(_ context.Context, in *jobIn) (*answer[wire.Job], error) {
			if err := known(in.Shop); err != nil {
				return nil, err
			}
			j, err := s.beginJob(in.Body)
			if err != nil {
				return nil, problem(err)
			}
			return &answer[wire.Job]{j}, nil
		})
	huma.Register(s.api, huma.Operation{OperationID: "jobs", Method: http.MethodGet, Path: "/api/shops/{shop}/jobs", Summary: "those under way and the last few, oldest first, without their answers"},
		func(_ context.Context, in *InShop) (*answer[[]wire.Job], error) {
			if err := known(in.Shop); err != nil {
				return nil, err
			}
			return &answer[[]wire.Job]{s.jobs.list()}, nil
		})
	one := func(find func(context.Context, string) (wire.Job, bool)) func(context.Context, *thatJob) (*answer[wire.Job], error) {
		return func(ctx context.Context, in *thatJob) (*answer[wire.Job], error) {
			if err := known(in.Shop); err != nil {
				return nil, err
			}
			j, ok := find(ctx, in.ID)
			if !ok {
				return nil, huma.Error404NotFound("there is no job of that name any more: begin it again")
			}
			return &answer[wire.Job]{j}, nil
		}
	}
	huma.Register(s.api, huma.Operation{OperationID: "job", Method: http.MethodGet, Path: "/api/shops/{shop}/jobs/{id}", Summary: "with its answer, once it has ended"}, one(s.jobs.find))
	huma.Register(s.api, huma.Operation{OperationID: "end-job", Method: http.MethodDelete, Path: "/api/shops/{shop}/jobs/{id}", Summary: "stops it; what was found until then is its answer"}, one(s.jobs.end))
}

func (s *Server) beginJob(ask wire.JobAsk) (wire.Job, error) {
	rev := s.Desk.Head()
	if ask.Rev != 0 && ask.Rev != rev.Number {
		old, ok := s.Desk.Revision(ask.Rev)
		if !ok {
			return wire.Job{}, fmt.Errorf("%w: revision %d is not known any more", errBadAsk, ask.Rev)
		}
		rev = old
	}
	limit := usualLimit
	if ask.Seconds > 0 {
		limit = time.Duration(ask.Seconds) * time.Second
	}
	return s.jobs.begin(ask.Kind, rev.Number, limit, proving(rev.Doc)) // one kind so far; the API refuses others
}
