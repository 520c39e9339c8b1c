package server

import (
	"context"
	"crypto/sha256"
	"encoding/json"
	"slices"
	"sync"

	"winnow/internal/face/wire"
	"winnow/internal/shop/file"
)

// slow keeps the last few answers of a kind that takes a second or many, by what the shop says: pages ask for the same one again
// and again. Who asks for one that is being worked out waits for it; when nobody waits any more it is given up.
type slow[T any] struct {
	mu   sync.Mutex
	kept []*working[T] // the one asked for last comes last
	slot chan struct{} // one at a time: the other core is the floor's
}

// working is an answer, or one that is being worked out. Its answer is read only once over is closed.
type working[T any] struct {
	key     slowKey
	answer  T
	over    chan struct{}
	waiting int
	stop    context.CancelFunc
	failed  error
}

// slowKey is all that an answer depends on.
type slowKey struct {
	content     [sha256.Size]byte
	arrangement string
}

func keyOf(doc *file.Doc, edits []wire.Edit, arrangement string) slowKey {
	h := sha256.New()
	_, _ = h.Write(doc.Text())
	_ = json.NewEncoder(h).Encode(edits)
	return slowKey{[sha256.Size]byte(h.Sum(nil)), arrangement}
}

const keptSlow = 8

func newSlow[T any]() *slow[T] { return &slow[T]{slot: make(chan struct{}, 1)} }

// answer is the one of this key: kept, waited for, or worked out. It gives up when ctx does.
func (a *slow[T]) answer(ctx context.Context, key slowKey, work func(context.Context) (T, error)) (T, error) {
	one := a.join(key, work)
	select {
	case <-one.over:
		return one.answer, one.failed
	case <-ctx.Done():
		a.leave(one)
		var none T
		return none, ctx.Err()
	}
}

func (a *slow[T]) join(key slowKey, work func(context.Context) (T, error)) *working[T] {
	a.mu.Lock()
	defer a.mu.Unlock()
	if i := slices.IndexFunc(a.kept, func(o *working[T]) bool { return o.key == key }); i >= 0 {
		one := a.kept[i]
		a.kept = append(slices.Delete(a.kept, i, i+1), one)
		one.waiting++
		return one
	}
	ctx, stop := context.WithCancel(context.Background())
	one := &working[T]{key: key, over: make(chan struct{}), waiting: 1, stop: stop}
	a.kept = append(a.kept, one)
	if len(a.kept) > keptSlow {
		a.kept = slices.Delete(a.kept, 0, 1) // who waits for it still has it
	}
	go a.work(ctx, one, work)
	return one
}

func (a *slow[T]) work(ctx context.Context, one *working[T], work func(context.Context) (T, error)) {
	defer close(one.over)
	defer one.stop()
	select {
	case a.slot <- struct{}{}:
		defer func() { <-a.slot }()
	case <-ctx.Done():
		one.failed = ctx.Err()
		return
	}
	one.failed = guarded(func() (err error) {
		if one.answer, err = work(ctx); err != nil {
			return err
		}
		return ctx.Err()
	})
	if one.failed != nil {
		a.forget(one)
	}
}

// leave is for one who does not wait any more. The last one stops the work.
func (a *slow[T]) leave(one *working[T]) {
	a.mu.Lock()
	defer a.mu.Unlock()
	one.waiting--
	select {
	case <-one.over:
	default:
		if one.waiting == 0 {
			one.stop()
			a.drop(one)
		}
	}
}

func (a *slow[T]) forget(one *working[T]) {
	a.mu.Lock()
	defer a.mu.Unlock()
	a.drop(one)
}

func (a *slow[T]) drop(one *working[T]) {
	if i := slices.Index(a.kept, one); i >= 0 {
		a.kept = slices.Delete(a.kept, i, i+1)
	}
}
