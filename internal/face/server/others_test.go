package server

import (
	"bufio"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"
	"time"

	"winnow/internal/face/wire"
)

// asks sends a request as from an address, past the network.
func asks(s *Server, method, url, from, body string, cookies ...*http.Cookie) *httptest.ResponseRecorder {
	r := httptest.NewRequest(method, url, strings.NewReader(body))
	r.RemoteAddr = from
	if body != "" {
		r.Header.Set("Content-Type", "application/json")
	}
	for _, c := range cookies {
		r.AddCookie(c)
	}
	w := httptest.NewRecorder()
	s.Handler().ServeHTTP(w, r)
	return w
}

const (
	desktop = "127.0.0.1:4000"
	tablet  = "10.1.2.9:5555"
)

// From shut to open: the computer sets the passphrase and opens, a tablet comes in with it, and a new passphrase puts it out again.
func TestOthersAreLetInFromHere(t *testing.T) {
	inLAN, opened, kept := "10.1.2.3", 0, []byte(nil)
	s, _, _ := open(t, func(o *Options) {
		o.Reach = func() Reach {
			if opened == 0 {
				return Reach{}
			}
			return Reach{Hosts: []string{inLAN}, Phone: "http://" + inLAN + ":8420/"}
		}
		o.Open = func() error { opened++; return nil }
		o.Keep = func(hash []byte) error { kept = hash; return nil }
	})
	others := func(w *httptest.ResponseRecorder) wire.Others {
		var o wire.Others
		_ = json.Unmarshal(w.Body.Bytes(), &o)
		return o
	}
	if o := others(asks(s, "GET", "http://127.0.0.1/api/others", desktop, "")); o.Open || o.Passphrase || !o.Here || !o.CanOpen || o.Address != "" {
		t.Errorf("shut: %+v", o)
	}
	if w := asks(s, "GET", "http://10.1.2.3/api/others", tablet, ""); w.Code != http.StatusMisdirectedRequest {
		t.Errorf("a tablet while it is shut: %d", w.Code)
	}
	if w := asks(s, "PUT", "http://127.0.0.1/api/others", desktop, `{}`); w.Code != http.StatusUnprocessableEntity || opened != 0 {
		t.Errorf("opened %d times without a passphrase: %d", opened, w.Code)
	}
	w := asks(s, "PUT", "http://127.0.0.1/api/others", desktop, `{"passphrase":"ash, oak, elm and hornbeam"}`)
	if o := others(w); w.Code != http.StatusOK || !o.Open || !o.Passphrase || o.Address != "http://10.1.2.3:8420/" || !o.Clear || opened != 1 || kept == nil {
		t.Fatalf("%d, %+v, opened %d times, kept: %t", w.Code, o, opened, kept != nil)
	}
	login := func(words string) *http.Cookie {
		w := asks(s, "POST", "http://10.1.2.3/api/session", tablet, fmt.Sprintf(`{"passphrase":%q}`, words))
		if c := w.Result().Cookies(); len(c) == 1 {
			return c[0]
		}
		return nil
	}
	c := login("ash, oak, elm and hornbeam")
	if c == nil {
		t.Fatal("the tablet is not let in")
	}
	if w := asks(s, "GET", "http://10.1.2.3/api/others", tablet, "", c); others(w).Here || others(w).CanOpen || !others(w).Open {
		t.Errorf("what the tablet is told: %+v", others(w))
	}
	for _, body := range []string{`{"passphrase":"a passphrase of its own"}`, `{}`} {
		if w := asks(s, "PUT", "http://10.1.2.3/api/others", tablet, body, c); w.Code != http.StatusForbidden {
			t.Errorf("the tablet sets %s: %d", body, w.Code)
		}
	}
	// the network changes: the machine is known by its new address, and only by that
	inLAN = "10.9.9.9"
	s.reach.now = func() time.Time { return time.Now().Add(reachHolds) }
	if w := asks(s, "GET", "http://10.1.2.3/api/shops/shop", tablet, "", c); w.Code != http.StatusMisdirectedRequest {
		t.Errorf("by the address it had: %d", w.Code)
	}
	if w := asks(s, "GET", "http://10.9.9.9/api/shops/shop", tablet, "", c); w.Code != http.StatusOK {
		t.Errorf("by the address it has: %d", w.Code)
	}
	if w := asks(s, "PUT", "http://127.0.0.1/api/others", desktop, `{"passphrase":"quite another passphrase"}`); w.Code != http.StatusOK {
		t.Errorf("a new one: %d", w.Code)
	}
	if w := asks(s, "GET", "http://10.9.9.9/api/shops/shop", tablet, "", c); w.Code != http.StatusUnauthorized {
		t.Errorf("with the session of the old one: %d", w.Code)
	}
	if login2 := asks(s, "POST", "http://10.9.9.9/api/session", tablet, `{"passphrase":"ash, oak, elm and hornbeam"}`); login2.Code != http.StatusUnauthorized {
		t.Errorf("with the old one itself: %d", login2.Code)
	}
}

// What was opened is shut again from the computer, and from nowhere else; whoever was in is out.
func TestOthersAreKeptOutAgain(t *testing.T) {
	opened := true
	s, _, _ := open(t, func(o *Options) {
		o.Passphrase = Hash("ash, oak, elm and hornbeam")
		o.Open = func() error { opened = true; return nil }
		o.Shut = func() error { opened = false; return nil }
		o.Reach = func() Reach {
			if !opened {
				return Reach{Moved: true}
			}
			return Reach{Hosts: []string{"10.1.2.3"}, Phone: "http://10.1.2.3/"}
		}
	})
	id, err := s.locks.open()
	if err != nil {
		t.Fatal(err)
	}
	c := &http.Cookie{Name: cookieName, Value: id}
	if w := asks(s, "DELETE", "http://10.1.2.3/api/others", tablet, "", c); w.Code != http.StatusForbidden || !opened {
		t.Errorf("shut by a tablet: %d", w.Code)
	}
	w := asks(s, "DELETE", "http://127.0.0.1/api/others", desktop, "")
	var o wire.Others
	_ = json.Unmarshal(w.Body.Bytes(), &o)
	if w.Code != http.StatusOK || opened || o.Open || !o.CanOpen || !o.Moved {
		t.Errorf("shut here: %d, %+v", w.Code, o)
	}
	opened = true
	s.reach.anew()
	if w := asks(s, "GET", "http://10.1.2.3/api/shops/shop", tablet, "", c); w.Code != http.StatusUnauthorized {
		t.Errorf("the session of before, once it is open again: %d", w.Code)
	}
}

// Where it cannot be kept or opened, nothing is said to be open.
func TestOthersStayOutWhereItFails(t *testing.T) {
	for _, c := range []struct {
		keep, open error
		want       int
		set        bool
	}{{errors.New("the disk is full"), nil, http.StatusForbidden, false}, {nil, errors.New("in no network"), http.StatusConflict, true}} {
		opened := false
		s, _, _ := open(t, func(o *Options) {
			o.Keep = func([]byte) error { return c.keep }
			o.Open = func() error { opened = c.open == nil; return c.open }
		})
		w := asks(s, "PUT", "http://127.0.0.1/api/others", desktop, `{"passphrase":"ash, oak, elm and hornbeam"}`)
		if w.Code != c.want || opened || (len(s.secret()) > 0) != c.set {
			t.Errorf("keep %v, open %v: %d, opened %t, set %t", c.keep, c.open, w.Code, opened, len(s.secret()) > 0)
		}
	}
}

// A proxy on this machine comes from this machine and speaks for others: it gets no more than they do.
func TestAProxySpeaksForOthers(t *testing.T) {
	s, _, _ := open(t, func(o *Options) { o.Passphrase = Hash("ash, oak, elm and hornbeam") })
	for _, name := range forwarding {
		for _, r := range []route{{"GET", "/api/shops/shop"}, {"PUT", "/api/others"}} {
			if code := r.ask(s, desktop, name, "for=10.1.2.9"); code != http.StatusUnauthorized {
				t.Errorf("%s %s with %s: %d", r.method, r.path, name, code)
			}
		}
	}
	id, err := s.locks.open()
	if err != nil {
		t.Fatal(err)
	}
	session := cookieName + "=" + id
	if code := (route{"GET", "/api/shops/shop"}).ask(s, desktop, "X-Forwarded-For", "10.1.2.9", "Cookie", session); code != http.StatusOK {
		t.Errorf("with a session: %d", code)
	}
	if code := (route{"PUT", "/api/others"}).ask(s, desktop, "X-Forwarded-For", "10.1.2.9", "Cookie", session); code != http.StatusForbidden {
		t.Errorf("letting others in with a session: %d", code)
	}
}

// A stream that was opened with a session ends with it.
func TestAStreamEndsWithItsSession(t *testing.T) {
	s, _, _ := open(t, func(o *Options) {
		o.Passphrase = Hash("ash, oak, elm and hornbeam")
		o.Reach = func() Reach { return Reach{Hosts: []string{"10.1.2.3"}} }
	})
	id, err := s.locks.open()
	if err != nil {
		t.Fatal(err)
	}
	far := http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) { // as if from the tablet
		r.RemoteAddr, r.Host = tablet, "10.1.2.3"
		r.AddCookie(&http.Cookie{Name: cookieName, Value: id})
		s.Handler().ServeHTTP(w, r)
	})
	web := httptest.NewServer(far)
	defer web.Close()
	ctx, cancel := context.WithTimeout(context.Background(), 10*time.Second)
	defer cancel()
	r, _ := http.NewRequestWithContext(ctx, http.MethodGet, web.URL+"/api/shops/shop/events", nil)
	resp, err := http.DefaultClient.Do(r)
	if err != nil {
		t.Fatal(err)
	}
	defer resp.Body.Close()
	lines := bufio.NewScanner(resp.Body)
	if !lines.Scan() || !strings.HasPrefix(lines.Text(), "id: 1") {
		t.Fatalf("%d, %q", resp.StatusCode, lines.Text())
	}
	if err := s.setSecret(Hash("quite another passphrase")); err != nil {
		t.Fatal(err)
	}
	s.hub.tell(event{rev: 2, cause: "a secret change"})
	for lines.Scan() {
		if strings.Contains(lines.Text(), "secret") {
			t.Fatal("whoever was put out still hears")
		}
	}
	if ctx.Err() != nil {
		t.Error("the stream goes on")
	}
}
