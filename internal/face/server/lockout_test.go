package server

import (
	"net/http"
	"net/netip"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"time"
)

func prefix(t testing.TB, s string) netip.Prefix {
	t.Helper()
	p, err := netip.ParsePrefix(s)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// A session lasts a month, not longer; where there are too many the one that ends first makes room.
func TestSessionsEnd(t *testing.T) {
	now := time.Date(2026, 3, 1, 8, 0, 0, 0, time.UTC)
	l := newLockout()
	l.now = func() time.Time { return now }
	first, err := l.open()
	if err != nil {
		t.Fatal(err)
	}
	now = now.Add(sessionLasts - time.Minute)
	if !l.known(first) {
		t.Error("it ended a minute early")
	}
	now = now.Add(2 * time.Minute)
	if l.known(first) {
		t.Error("it lasts longer than a month")
	}
	var all []string
	for range mostSessions + 1 {
		now = now.Add(time.Second)
		id, err := l.open()
		if err != nil {
			t.Fatal(err)
		}
		all = append(all, id)
	}
	if len(l.sessions) != mostSessions || l.known(all[0]) || !l.known(all[1]) || !l.known(all[mostSessions]) {
		t.Errorf("%d sessions; the oldest is known: %t, the next: %t, the latest: %t", len(l.sessions), l.known(all[0]), l.known(all[1]), l.known(all[mostSessions]))
	}
	seen := map[string]bool{}
	for _, id := range all {
		if seen[id] || len(id) < 40 {
			t.Errorf("the session %q can be guessed", id)
		}
		seen[id] = true
	}
}

// Five wrong tries a minute from one device, sixty from all together; a right one costs nothing, and a minute later all may try again.
func TestGuessingIsSlow(t *testing.T) {
	now := time.Date(2026, 3, 1, 8, 0, 0, 0, time.UTC)
	l := newLockout()
	l.now = func() time.Time { return now }
	tries := func(from netip.Prefix, most int) int {
		n := 0
		for ; n < most; n++ {
			try, ok := l.book(from)
			if !ok {
				break
			}
			try.over(false)
		}
		return n
	}
	one := prefix(t, "10.1.2.9/32")
	for range 2 * triesPerMinute {
		if try, ok := l.book(one); ok {
			try.over(true)
		}
	}
	if n := tries(one, 100); n != triesPerMinute {
		t.Errorf("one device may try %d times", n)
	}
	sum := triesPerMinute
	for i := range 100 {
		sum += tries(prefix(t, netip.AddrFrom4([4]byte{10, 1, 3, byte(i)}).String()+"/32"), 1)
	}
	if sum != triesOfAll {
		t.Errorf("all together may try %d times", sum)
	}
	now = now.Add(time.Minute + time.Second)
	if _, ok := l.book(one); !ok || len(l.wrong) != 1 {
		t.Errorf("a minute later %d tries are still held against them", len(l.wrong))
	}
}

// Fifty tries at once are counted before they are evaluated: each takes 64 MiB (RFC 9106, second recommended option), and all of
// them together would take the memory of the machine.
func TestManyTriesAtOnce(t *testing.T) {
	s, _, _ := open(t, func(o *Options) {
		o.Passphrase = Hash("ash, oak, elm and hornbeam")
		o.Reach = func() Reach { return Reach{Hosts: []string{"10.1.2.3"}} }
	})
	var evaluated, now, most atomic.Int32
	real := s.locks.stretch
	s.locks.stretch = func(words string, salt []byte) []byte {
		evaluated.Add(1)
		n := now.Add(1)
		defer now.Add(-1)
		for m := most.Load(); n > m && !most.CompareAndSwap(m, n); m = most.Load() {
		}
		time.Sleep(50 * time.Millisecond)
		if words == "ash, oak, elm and hornbeam" {
			return real(words, salt)
		}
		return make([]byte, 32)
	}
	codes := make([]int, 50)
	for wave := range 6 {
		var all sync.WaitGroup
		for i := range codes {
			all.Go(func() { codes[i] = asks(s, "POST", "http://10.1.2.3/api/session", tablet, `{"passphrase":"elm"}`).Code })
		}
		all.Wait()
		for _, code := range codes {
			if code != http.StatusUnauthorized && code != http.StatusTooManyRequests {
				t.Fatalf("wave %d: %d", wave, code)
			}
		}
	}
	if evaluated.Load() != triesPerMinute || most.Load() > triesAtOnce {
		t.Errorf("%d tries were evaluated, %d of them at once", evaluated.Load(), most.Load())
	}
	if w := asks(s, "POST", "http://10.1.2.3/api/session", "10.1.2.10:1", `{"passphrase":"ash, oak, elm and hornbeam"}`); w.Code != http.StatusNoContent {
		t.Errorf("another device with the right words: %d", w.Code)
	}
	long := `{"passphrase":"` + strings.Repeat("x", maxLogin) + `"}`
	if w := asks(s, "POST", "http://10.1.2.3/api/session", "10.1.2.11:1", long); w.Code != http.StatusBadRequest {
		t.Errorf("a passphrase of a kilobyte: %d", w.Code)
	}
}
