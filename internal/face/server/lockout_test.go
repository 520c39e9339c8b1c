package server

import (
	"net/netip"
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
		for ; n < most && l.mayTry(from); n++ {
			l.failed(from)
		}
		return n
	}
	one := prefix(t, "10.1.2.9/32")
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
	if !l.mayTry(one) || len(l.wrong) != 0 {
		t.Errorf("a minute later %d tries are still held against them", len(l.wrong))
	}
}
