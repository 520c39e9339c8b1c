package server

import (
	"context"
	"crypto/sha256"
	"encoding/json"
	"slices"
	"sync"

	"winnow/internal/face/wire"
	"winnow/internal/shop/file"
	"winnow/internal/study/roomair"
)

// airs keeps the last few answers of the air, by what the shop says: they take a second, and pages ask for the same one again and
// again. Who asks for one that is being worked out waits for it; when nobody waits any more it is given up.
type airs struct {
	mu   sync.Mutex
	kept []*airing     // the one asked for last comes last
	slot chan struct{} // one at a time: the other core is the floor's
}

// airing is an answer, or one that is being worked out. Its answer is read only once over is closed.
type airing struct {
	key     airKey
	answer  roomair.Answer
	over    chan struct{}
	waiting int
	stop    context.CancelFunc
	failed  error
}

// airKey is all that an answer depends on.
type airKey struct {
	content     [sha256.Size]byte
	arrangement string
}

func keyOf(doc *file.Doc, edits []wire.Edit, arrangement string) airKey {
	h := sha256.New()
	_, _ = h.Write(doc.Text())
	_ = json.NewEncoder(h).Encode(edits)
	return airKey{[sha256.Size]byte(h.Sum(nil)), arrangement}
}

const keptAirs = 8

func newAirs() *airs { return &airs{slot: make(chan struct{}, 1)} }

// answer is the one of this key: kept, waited for, or worked out. It gives up when ctx does.
func (a *airs) answer(ctx context.Context, key airKey, work func(context.Context) roomair.Answer) (roomair.Answer, error) {
	one := a.join(key, work)
	select {
	case <-one.over:
		return one.answer, one.failed
	case <-ctx.Done():
		a.leave(one)
		return roomair.Answer{}, ctx.Err()
	}
}

func (a *airs) join(key airKey, work func(context.Context) roomair.Answer) *airing {
	a.mu.Lock()
	defer a.mu.Unlock()
	if i := slices.IndexFunc(a.kept, func(o *airing) bool { return o.key == key }); i >= 0 {
		one := a.kept[i]
		a.kept = append(slices.Delete(a.kept, i, i+1), one)
		one.waiting++
		return one
	}
	ctx, stop := context.WithCancel(context.Background())
	one := &airing{key: key, over: make(chan struct{}), waiting: 1, stop: stop}
	a.kept = append(a.kept, one)
	if len(a.kept) > keptAirs {
		a.kept = slices.Delete(a.kept, 0, 1) // who waits for it still has it
	}
	go a.work(ctx, one, work)
	return one
}

func (a *airs) work(ctx context.Context, one *airing, work func(context.Context) roomair.Answer) {
	defer close(one.over)
	defer one.stop()
	select {
	case a.slot <- struct{}{}:
		defer func() { <-a.slot }()
	case <-ctx.Done():
		one.failed = ctx.Err()
		return
	}
	one.failed = guarded(func() error {
		one.answer = work(ctx)
		return ctx.Err()
	})
	if one.failed != nil {
		a.forget(one)
	}
}

// leave is for one who does not wait any more. The last one stops the work.
func (a *airs) leave(one *airing) {
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

func (a *airs) forget(one *airing) {
	a.mu.Lock()
	defer a.mu.Unlock()
	a.drop(one)
}

func (a *airs) drop(one *airing) {
	if i := slices.Index(a.kept, one); i >= 0 {
		a.kept = slices.Delete(a.kept, i, i+1)
	}
}
