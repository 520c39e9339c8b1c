package server

import (
	"context"
	"encoding/json"
	"errors"
	"net/http"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"winnow/internal/face/wire"
	"winnow/internal/study/roomair"
)

// The same shop asked about again is answered at once and alike; another is worked out anew.
func TestAirIsWorkedOutOncePerContent(t *testing.T) {
	s, _, _ := open(t, nil)
	ask := func(a wire.Ask) (string, time.Duration) {
		a.Want = []string{"air"}
		began := time.Now()
		l, err := s.look(context.Background(), a)
		if err != nil || l.Air == nil {
			t.Fatal(err)
		}
		text, _ := json.Marshal(l.Air)
		return string(text), time.Since(began)
	}
	longer := []wire.Edit{{Set: "routine/hours per week/sander", To: text("9 h")}}
	plain, slow := ask(wire.Ask{})
	again, fast := ask(wire.Ask{Running: []wire.AskRunning{{Machine: "planer"}}})
	if plain != again || fast > slow/3 {
		t.Errorf("asked again it takes %v, the first time %v; alike: %t", fast, slow, plain == again)
	}
	edited, _ := ask(wire.Ask{Edits: longer})
	if edited == plain {
		t.Error("with nine hours of sanding the air is what it was")
	}
	if now, quick := ask(wire.Ask{Edits: longer}); now != edited || quick > slow/3 {
		t.Errorf("with the same edits again it takes %v", quick)
	}
	if car, _ := ask(wire.Ask{Arrangement: "car home"}); car == "" {
		t.Error("no answer")
	}
	if n := len(s.airs.kept); n != 3 {
		t.Errorf("%d answers are kept, want those of three shops", n)
	}
}

// While the air is being worked out for two pages, the floor of a third answers.
func TestAirKeepsNobodyFromLooking(t *testing.T) {
	s, _, _ := open(t, nil)
	s.airs.slot <- struct{}{} // another's is being worked out, and takes its time
	ctx, hangUp := context.WithCancel(context.Background())
	var all sync.WaitGroup
	for range 2 {
		all.Go(func() { _, _ = s.look(ctx, wire.Ask{Want: []string{"air"}}) })
	}
	soon(t, func() bool { return s.airs.waiting() == 2 })
	quick, late := context.WithTimeout(context.Background(), 10*time.Second)
	defer late()
	if _, err := s.look(quick, wire.Ask{Running: []wire.AskRunning{{Machine: "planer"}}}); err != nil {
		t.Errorf("the floor waits for the air: %v", err)
	}
	hangUp()
	all.Wait()
}

// Ten who ask at once wait for one answer; when all have hung up it is given up, and the next one begins anew.
func TestAirIsGivenUpWhenNobodyWaits(t *testing.T) {
	a := newSlow[roomair.Answer]()
	var began, stopped atomic.Int32
	work := func(ctx context.Context) (roomair.Answer, error) {
		began.Add(1)
		<-ctx.Done()
		stopped.Add(1)
		return roomair.Answer{}, nil
	}
	var all sync.WaitGroup
	hangUp := make([]context.CancelFunc, 10)
	for i := range hangUp {
		var ctx context.Context
		ctx, hangUp[i] = context.WithCancel(context.Background())
		all.Go(func() {
			if _, err := a.answer(ctx, slowKey{}, work); !errors.Is(err, context.Canceled) {
				t.Errorf("hung up and got %v", err)
			}
		})
	}
	soon(t, func() bool { return a.waiting() == len(hangUp) })
	for _, stop := range hangUp[1:] {
		stop()
	}
	soon(t, func() bool { return a.waiting() == 1 })
	if began.Load() != 1 || stopped.Load() != 0 {
		t.Errorf("begun %d times, stopped %d times while one still waits", began.Load(), stopped.Load())
	}
	hangUp[0]()
	all.Wait()
	if _, err := a.answer(context.Background(), slowKey{}, func(context.Context) (roomair.Answer, error) { return roomair.Answer{}, nil }); err != nil {
		t.Errorf("asked anew: %v", err)
	}
	if stopped.Load() != 1 {
		t.Errorf("stopped %d times", stopped.Load())
	}
	for i := range 3 * keptSlow {
		_, _ = a.answer(context.Background(), slowKey{arrangement: string(rune('a' + i))}, func(context.Context) (roomair.Answer, error) { return roomair.Answer{}, nil })
	}
	if len(a.kept) != keptSlow {
		t.Errorf("%d are kept", len(a.kept))
	}
	if _, err := a.answer(context.Background(), slowKey{arrangement: "faulty"}, func(context.Context) (roomair.Answer, error) { panic("no air") }); err == nil || a.has("faulty") {
		t.Errorf("a fault is answered as %v and kept: %t", err, a.has("faulty"))
	}
}

// While what to do next and the breakers are worked out for four pages, the floor of a fifth answers; it does not wait for ever either.
func TestNextAndPowerKeepNobodyFromLooking(t *testing.T) {
	s, web, _ := open(t, nil)
	s.nexts.slot <- struct{}{}
	s.powers.slot <- struct{}{}
	ctx, hangUp := context.WithCancel(context.Background())
	var all sync.WaitGroup
	for _, want := range []string{"next", "next", "power", "power"} {
		all.Go(func() { _, _ = s.look(ctx, wire.Ask{Want: []string{want}}) })
	}
	soon(t, func() bool { return s.nexts.waiting() == 2 && s.powers.waiting() == 2 })
	quick, late := context.WithTimeout(context.Background(), 10*time.Second)
	defer late()
	if _, err := s.look(quick, wire.Ask{Running: []wire.AskRunning{{Machine: "planer"}}}); err != nil {
		t.Errorf("the floor waits for what is slow: %v", err)
	}
	s.lookLasts = 50 * time.Millisecond
	if _, err := s.look(context.Background(), wire.Ask{Want: []string{"next"}}); !errors.Is(err, errTooLarge) {
		t.Errorf("a look past its time is answered with %v", err)
	}
	if code := post(t, web.URL+"/api/shops/shop/look", wire.Ask{Want: []string{"power"}}, nil); code != http.StatusServiceUnavailable {
		t.Errorf("and with %d", code)
	}
	hangUp()
	all.Wait()
	<-s.nexts.slot
	<-s.powers.slot
	s.lookLasts = lookLasts
	for range 2 {
		if l, err := s.look(context.Background(), wire.Ask{Want: []string{"next", "power"}}); err != nil || l.Next == nil || l.Power == nil {
			t.Errorf("both, once there is room: %v", err)
		}
	}
	if len(s.nexts.kept) != 1 || len(s.powers.kept) != 1 {
		t.Errorf("%d and %d answers are kept of one shop", len(s.nexts.kept), len(s.powers.kept))
	}
}

// soon waits until something is so.
func soon(t testing.TB, so func() bool) {
	t.Helper()
	for end := time.Now().Add(10 * time.Second); !so(); time.Sleep(time.Millisecond) {
		if time.Now().After(end) {
			t.Fatal("it did not come to pass in 10 s")
		}
	}
}

// waiting is how many wait for the last answer asked for.
func (a *slow[T]) waiting() int {
	a.mu.Lock()
	defer a.mu.Unlock()
	if len(a.kept) == 0 {
		return 0
	}
	return a.kept[len(a.kept)-1].waiting
}

func (a *slow[T]) has(arrangement string) bool {
	a.mu.Lock()
	defer a.mu.Unlock()
	for _, o := range a.kept {
		if o.key.arrangement == arrangement {
			return true
		}
	}
	return false
}
