package server

import (
	"bufio"
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"io"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"sync"
	"testing"
	"time"

	"winnow/internal/face/wire"
	"winnow/internal/live/desk"
)

// open serves a copy of an example shop on loopback.
func open(t testing.TB, change func(*Options)) (*Server, *httptest.Server, string) {
	t.Helper()
	return openShop(t, "carport.yaml", change)
}

func openShop(t testing.TB, example string, change func(*Options)) (*Server, *httptest.Server, string) {
	t.Helper()
	src, err := os.ReadFile(filepath.Join("..", "..", "..", "examples", example))
	if err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(t.TempDir(), "shop.yaml")
	if err := os.WriteFile(path, src, 0o644); err != nil {
		t.Fatal(err)
	}
	d, err := desk.Open(path, time.Now)
	if err != nil {
		t.Fatal(err)
	}
	o := Options{Desk: d, Version: "test"}
	if change != nil {
		change(&o)
	}
	s := New(o)
	web := httptest.NewServer(s.Handler())
	t.Cleanup(func() { s.Close(); web.Close() })
	return s, web, path
}

// post sends JSON and reads the answer into out; it returns the status.
func post(t testing.TB, url string, body, out any, header ...string) int {
	t.Helper()
	text, err := json.Marshal(body)
	if err != nil {
		t.Fatal(err)
	}
	r, _ := http.NewRequest(http.MethodPost, url, bytes.NewReader(text))
	r.Header.Set("Content-Type", "application/json")
	return send(t, r, out, header...)
}

func get(t testing.TB, url string, out any, header ...string) int {
	t.Helper()
	r, _ := http.NewRequest(http.MethodGet, url, nil)
	return send(t, r, out, header...)
}

func send(t testing.TB, r *http.Request, out any, header ...string) int {
	t.Helper()
	for i := 0; i+1 < len(header); i += 2 {
		if header[i] == "Host" {
			r.Host = header[i+1]
		} else {
			r.Header.Set(header[i], header[i+1])
		}
	}
	resp, err := http.DefaultClient.Do(r)
	if err != nil {
		t.Fatal(err)
	}
	defer resp.Body.Close()
	text, _ := io.ReadAll(resp.Body)
	if out != nil {
		if err := json.Unmarshal(text, out); err != nil {
			t.Fatalf("%s %s: %d %s: %v", r.Method, r.URL, resp.StatusCode, text, err)
		}
	}
	return resp.StatusCode
}

func TestTheStateIsTheFile(t *testing.T) {
	_, web, path := open(t, nil)
	var st wire.State
	if code := get(t, web.URL+"/api/shops/shop", &st); code != http.StatusOK {
		t.Fatal(code)
	}
	text, _ := os.ReadFile(path)
	if st.Text != string(text) || st.Rev != 1 || st.File != "shop.yaml" || len(st.Machines) != 7 || len(st.Layout.Machines) != 7 {
		t.Errorf("state %d of %s with %d machines", st.Rev, st.File, len(st.Machines))
	}
	if len(st.Layout.Corners) < 4 || !st.Layout.Placed {
		t.Error("the room is not laid out")
	}
	if code := get(t, web.URL+"/api/shops/other", nil); code != http.StatusNotFound {
		t.Errorf("a shop that is not there: %d", code)
	}
}

// What the page shows is what the command prints: both ask the same study.
func TestALookIsPureAndFollowsTheEdits(t *testing.T) {
	_, web, path := open(t, nil)
	before, _ := os.ReadFile(path)
	ask := wire.Ask{Running: []wire.AskRunning{{Machine: "planer"}}, Select: "planer", Want: []string{"alone", "ranges", "sheet", "curve", "findings", "layout", "remedies"}}
	var plain, short wire.Look
	if code := post(t, web.URL+"/api/shops/shop/look", ask, &plain); code != http.StatusOK {
		t.Fatal(code)
	}
	value := wire.Value{}
	value.Text = "10 ft"
	ask.Edits = []wire.Edit{{Set: "systems/collector/runs/long hose/pieces/hose 1/hose", To: &value}}
	post(t, web.URL+"/api/shops/shop/look", ask, &short)
	a, b := planer(t, plain), planer(t, short)
	if b.Gets <= a.Gets {
		t.Errorf("a shorter hose gives %.4f m³/s, the long one %.4f", b.Gets, a.Gets)
	}
	if a.Low == nil || *a.Low >= a.Gets || a.Chance == nil || a.ChanceWords == "" {
		t.Error("ranges were wanted and are not there")
	}
	if plain.Sheet == nil || plain.Curve == nil || plain.Layout == nil || len(plain.Findings) == 0 || len(plain.Remedies) == 0 || len(plain.Sentence) == 0 {
		t.Error("a part that was wanted is missing")
	}
	if after, _ := os.ReadFile(path); !bytes.Equal(before, after) {
		t.Error("a look changed the file")
	}
	if len(plain.Ports) != 7 {
		t.Errorf("%d ports, want all 7: one running, the rest alone", len(plain.Ports))
	}
}

func planer(t testing.TB, l wire.Look) wire.LookPort {
	t.Helper()
	for _, p := range l.Ports {
		if p.Port == "planer" {
			return p
		}
	}
	t.Fatal("no planer in the look")
	return wire.LookPort{}
}

func text(s string) *wire.Value {
	v := &wire.Value{}
	v.Text = s
	return v
}

func TestEditsUndoAndRedoKeepEveryByte(t *testing.T) {
	_, web, path := open(t, nil)
	before, _ := os.ReadFile(path)
	change := wire.Change{Rev: 1, ID: "one", Cause: "shorter hose", Edits: []wire.Edit{{Set: "systems/collector/runs/long hose/pieces/hose 1/hose", To: text("12 ft")}}}
	var done wire.Changed
	if code := post(t, web.URL+"/api/shops/shop/edits", change, &done); code != http.StatusOK || done.Rev != 2 {
		t.Fatalf("%d, revision %d", code, done.Rev)
	}
	if post(t, web.URL+"/api/shops/shop/edits", change, &done); done.Rev != 2 {
		t.Errorf("the same request again made revision %d", done.Rev)
	}
	after, _ := os.ReadFile(path)
	if n := lines(before, after); n != 1 {
		t.Errorf("%d lines changed, want the one", n)
	}
	post(t, web.URL+"/api/shops/shop/undo", map[string]any{"rev": 0, "id": "u"}, &done)
	if now, _ := os.ReadFile(path); !bytes.Equal(now, before) {
		t.Error("undo did not bring the identical file back")
	}
	post(t, web.URL+"/api/shops/shop/redo", map[string]any{"rev": 0, "id": "r"}, &done)
	if now, _ := os.ReadFile(path); !bytes.Equal(now, after) {
		t.Error("redo did not bring the change back")
	}
}

func lines(a, b []byte) int {
	x, y := strings.Split(string(a), "\n"), strings.Split(string(b), "\n")
	n := 0
	for i := range min(len(x), len(y)) {
		if x[i] != y[i] {
			n++
		}
	}
	return n + max(len(x), len(y)) - min(len(x), len(y))
}

func TestARemedyCanBeAppliedAsItCame(t *testing.T) {
	_, web, _ := open(t, nil)
	ask := wire.Ask{Running: []wire.AskRunning{{Machine: "planer"}}, Select: "planer", Want: []string{"remedies"}}
	var l wire.Look
	post(t, web.URL+"/api/shops/shop/look", ask, &l)
	applied := 0
	for _, r := range l.Remedies {
		var look wire.Look
		if code := post(t, web.URL+"/api/shops/shop/look", wire.Ask{Edits: r.Edits, Running: ask.Running}, &look); code != http.StatusOK {
			t.Errorf("%s: %d", r.Code, code)
			continue
		}
		applied++
		if r.Code == "clean-the-filter" || r.Code == "lighter-cuts" {
			continue // they change the filter's state or the need, not what is gotten with it due
		}
		if got, want := planer(t, look).Gets, r.Effects[0].After; got < 0.999*want || got > 1.001*want {
			t.Errorf("%s promised %.4f m³/s and gives %.4f", r.Code, want, got)
		}
	}
	if applied < 4 {
		t.Errorf("only %d remedies were there to try", applied)
	}
}

func TestRefusals(t *testing.T) {
	_, web, path := open(t, nil)
	shop := web.URL + "/api/shops/shop"
	if code := get(t, shop, nil, "Host", "shop.example"); code != http.StatusMisdirectedRequest {
		t.Errorf("a foreign name bent to this machine: %d", code)
	}
	if code := post(t, shop+"/undo", map[string]any{}, nil, "Origin", "http://elsewhere.example"); code != http.StatusForbidden {
		t.Errorf("another page's form: %d", code)
	}
	if code := get(t, shop, nil, "Sec-Fetch-Site", "cross-site"); code != http.StatusForbidden {
		t.Errorf("another page's script: %d", code)
	}
	if code := get(t, web.URL+"/api/nosuch", nil); code != http.StatusNotFound {
		t.Errorf("an address that is not there: %d", code)
	}
	if code := post(t, shop+"/look", wire.Ask{Running: []wire.AskRunning{{Machine: "ghost"}}}, nil); code != http.StatusUnprocessableEntity {
		t.Errorf("a machine that is not there: %d", code)
	}
	if code := post(t, shop+"/look", map[string]any{"edits": "all"}, nil); code != http.StatusUnprocessableEntity {
		t.Errorf("an ask of the wrong shape: %d", code)
	}
	big, _ := http.NewRequest(http.MethodPost, shop+"/look", strings.NewReader(`{"text":"`+strings.Repeat("x", maxBody)+`"}`))
	if code := send(t, big, nil); code != http.StatusRequestEntityTooLarge {
		t.Errorf("a body of %d MB: %d", maxBody>>20, code)
	}
	list := "winnow: 1\nmachines: [planer]\n"
	faulty := wire.Change{Text: &list, Cause: "typed"}
	var d detail
	if code := post(t, shop+"/edits", faulty, &d); code != http.StatusUnprocessableEntity || len(d.Faults) == 0 || d.Faults[0].Line != 2 {
		t.Errorf("a faulty text: %d with %+v", code, d.Faults)
	}
	for _, reach := range []string{"/../../etc/passwd", "/%2e%2e/%2e%2e/etc/passwd", "/assets/../../../shop.yaml"} {
		r, _ := http.NewRequest(http.MethodGet, web.URL, nil)
		r.URL.Opaque = reach
		if resp, err := http.DefaultClient.Do(r); err == nil {
			body, _ := io.ReadAll(resp.Body)
			resp.Body.Close()
			if bytes.Contains(body, []byte("root:")) || bytes.Contains(body, []byte("winnow: 1")) {
				t.Errorf("%s reaches outside the page", reach)
			}
		}
	}
	// Outside change of the same line: both are kept.
	src, _ := os.ReadFile(path)
	_ = os.WriteFile(path, bytes.Replace(src, []byte("{hose: 25 ft,"), []byte("{hose: 19 ft,"), 1), 0o644)
	mine := wire.Change{Rev: 1, Cause: "dragged", Edits: []wire.Edit{{Set: "systems/collector/runs/long hose/pieces/hose 1/hose", Was: text("25 ft"), To: text("11 ft")}}}
	var conflict detail
	if code := post(t, shop+"/edits", mine, &conflict); code != http.StatusConflict || !strings.Contains(conflict.Yours, "hose: 11 ft") || !strings.Contains(conflict.Theirs, "hose: 19 ft") {
		t.Errorf("two changes of one line: %d, yours %t, theirs %t", code, strings.Contains(conflict.Yours, "11 ft"), strings.Contains(conflict.Theirs, "19 ft"))
	}
}

// From another device only with the passphrase; guessing is slowed down.
func TestOtherDevicesNeedThePassphrase(t *testing.T) {
	s, _, _ := open(t, func(o *Options) {
		o.Passphrase = Hash("four plain words here")
		o.Reach = func() Reach { return Reach{Hosts: []string{"10.1.2.3"}} }
	})
	ask := func(method, path, body, cookie string) *httptest.ResponseRecorder {
		r := httptest.NewRequest(method, "http://10.1.2.3"+path, strings.NewReader(body))
		r.RemoteAddr = "10.1.2.9:5555"
		if cookie != "" {
			r.AddCookie(&http.Cookie{Name: cookieName, Value: cookie})
		}
		w := httptest.NewRecorder()
		s.Handler().ServeHTTP(w, r)
		return w
	}
	if w := ask("GET", "/api/shops/shop", "", ""); w.Code != http.StatusUnauthorized {
		t.Errorf("without a session: %d", w.Code)
	}
	if w := ask("GET", "/", "", ""); w.Code != http.StatusOK {
		t.Errorf("the page that asks for it: %d", w.Code)
	}
	if w := ask("POST", "/api/session", `{"passphrase":"wrong words"}`, ""); w.Code != http.StatusUnauthorized {
		t.Errorf("a wrong passphrase: %d", w.Code)
	}
	w := ask("POST", "/api/session", `{"passphrase":"four plain words here"}`, "")
	if w.Code != http.StatusNoContent || len(w.Result().Cookies()) != 1 {
		t.Fatalf("the right passphrase: %d", w.Code)
	}
	c := w.Result().Cookies()[0]
	if !c.HttpOnly || c.SameSite != http.SameSiteStrictMode {
		t.Error("the session's cookie is not kept from scripts and other sites")
	}
	if w := ask("GET", "/api/shops/shop", "", c.Value); w.Code != http.StatusOK {
		t.Errorf("with a session: %d", w.Code)
	}
	for range triesPerMinute {
		w = ask("POST", "/api/session", `{"passphrase":"guess"}`, "")
	}
	if w.Code != http.StatusTooManyRequests {
		t.Errorf("guessing on: %d", w.Code)
	}
	other := httptest.NewRequest("POST", "http://10.1.2.3/api/session", strings.NewReader(`{"passphrase":"four plain words here"}`))
	other.RemoteAddr = "10.1.2.77:5555"
	if w := httptest.NewRecorder(); true {
		s.Handler().ServeHTTP(w, other)
		if w.Code != http.StatusNoContent {
			t.Errorf("a stranger's guesses keep another device out: %d", w.Code)
		}
	}
	hash, err := ParseHash(HashText(s.Passphrase))
	if err != nil || !bytes.Equal(hash, s.Passphrase) {
		t.Errorf("the hash does not come back from its file: %v", err)
	}
}

func TestEveryPageHearsOfARevisionAndCatchesUp(t *testing.T) {
	s, web, _ := open(t, nil)
	listen := func(last string) <-chan string {
		out := make(chan string, 10)
		ctx, cancel := context.WithTimeout(context.Background(), 10*time.Second)
		t.Cleanup(cancel)
		r, _ := http.NewRequestWithContext(ctx, http.MethodGet, web.URL+"/api/shops/shop/events", nil)
		if last != "" {
			r.Header.Set("Last-Event-ID", last)
		}
		resp, err := http.DefaultClient.Do(r)
		if err != nil {
			t.Fatal(err)
		}
		lines := bufio.NewScanner(resp.Body)
		go func() {
			defer resp.Body.Close()
			for lines.Scan() {
				if d, ok := strings.CutPrefix(lines.Text(), "data: "); ok {
					out <- d
				}
			}
		}()
		return out
	}
	hears := func(who <-chan string, want string) {
		t.Helper()
		select {
		case d := <-who:
			if want := fmt.Sprintf(want, s.run); d != want {
				t.Errorf("heard %s, want %s", d, want)
			}
		case <-time.After(5 * time.Second):
			t.Fatalf("heard nothing, want %s", want)
		}
	}
	first := listen("")
	hears(first, `{"cause":"as it was found","rev":1,"run":"%s"}`)
	for i := range 3 {
		post(t, web.URL+"/api/shops/shop/edits", wire.Change{ID: fmt.Sprint(i), Cause: fmt.Sprint("change ", i),
			Edits: []wire.Edit{{Set: "name", To: text(fmt.Sprint("shop ", i))}}}, nil)
	}
	hears(first, `{"cause":"change 0","rev":2,"run":"%s"}`)
	hears(listen("2"), `{"cause":"change 2","rev":4,"run":"%s"}`) // a page that was away hears at once where things stand
}

// Two pages ask at once, with ranges: no answer may disturb another (the race detector looks on).
func TestTwoPagesAskAtOnce(t *testing.T) {
	s, _, _ := open(t, nil)
	var wg sync.WaitGroup
	for range 4 {
		wg.Go(func() {
			for _, machine := range []string{"planer", "band saw", "table saw"} {
				ask := wire.Ask{Running: []wire.AskRunning{{Machine: machine}}, Want: []string{"ranges"}}
				if _, err := s.look(context.Background(), ask); err != nil {
					t.Error(err)
				}
			}
		})
	}
	wg.Wait()
}

// What the shop does not have is not answered as if it had it.
func TestUnknownNamesAreRefused(t *testing.T) {
	_, web, _ := open(t, nil)
	for _, ask := range []wire.Ask{
		{Running: []wire.AskRunning{{Machine: "table saw", Setup: "dadoo"}}}, {Running: []wire.AskRunning{{Machine: "planer", Place: "attic"}}},
		{Shut: []string{"no gate"}}, {Open: []string{"no gate"}}, {Arrangement: "nope"},
	} {
		if code := post(t, web.URL+"/api/shops/shop/look", ask, nil); code != http.StatusUnprocessableEntity {
			t.Errorf("%+v: %d", ask, code)
		}
	}
}

// While a draft has faults the floor stays on the last good text; edits in hand count for remedies too.
func TestADraftWithFaultsKeepsTheLastGoodFloor(t *testing.T) {
	_, web, _ := open(t, nil)
	ask := wire.Ask{Running: []wire.AskRunning{{Machine: "planer"}}, Select: "planer", Want: []string{"remedies"}}
	var good, draft, short wire.Look
	post(t, web.URL+"/api/shops/shop/look", ask, &good)
	faulty := ask
	broken := "winnow: 1\nmachines: [\n"
	faulty.Text = &broken
	post(t, web.URL+"/api/shops/shop/look", faulty, &draft)
	if len(draft.Faults) == 0 || planer(t, draft).Gets != planer(t, good).Gets {
		t.Errorf("%d faults; the planer gets %.4f, on the last good text %.4f", len(draft.Faults), planer(t, draft).Gets, planer(t, good).Gets)
	}
	ask.Edits = []wire.Edit{{Set: "systems/collector/runs/long hose/pieces/hose 1/hose", To: text("10 ft")}}
	post(t, web.URL+"/api/shops/shop/look", ask, &short)
	for _, r := range short.Remedies {
		if r.Effects[0].Before != planer(t, short).Gets {
			t.Errorf("%s counts from %.4f m³/s, with the edits in hand it is %.4f", r.Code, r.Effects[0].Before, planer(t, short).Gets)
		}
	}
}

// Junk must neither bring the server down nor make it grow.
func TestJunkDoesNotGrowTheServer(t *testing.T) {
	s, _, _ := open(t, nil)
	h := s.Handler()
	junk := func(i int) {
		r := httptest.NewRequest(http.MethodPost, "http://127.0.0.1/api/shops/shop/look", strings.NewReader(strings.Repeat("[{", i%50)+"\x00"))
		r.RemoteAddr = "127.0.0.1:4"
		h.ServeHTTP(httptest.NewRecorder(), r)
	}
	for i := range 200 {
		junk(i)
	}
	var a, b runtime.MemStats
	runtime.GC()
	runtime.ReadMemStats(&a)
	var wg sync.WaitGroup
	for range 4 {
		wg.Go(func() {
			for i := range 1000 {
				junk(i)
			}
		})
	}
	wg.Wait()
	runtime.GC()
	runtime.ReadMemStats(&b)
	if grown := int64(b.HeapAlloc) - int64(a.HeapAlloc); grown > 4<<20 {
		t.Errorf("4000 junk requests left %d kB behind", grown>>10)
	}
}

// The value of an edit comes in with its keys in the order they were sent, and any junk is an error, never a panic.
func FuzzEditValue(f *testing.F) {
	f.Add(`{"pipe":"19 ft","kind":"snap-lock pipe"}`)
	f.Add(`["a",["b",1.5],true]`)
	f.Add(`null`)
	f.Add(strings.Repeat("[", 100))
	f.Fuzz(func(t *testing.T, src string) {
		var v wire.Value
		if json.Unmarshal([]byte(src), &v) != nil {
			return
		}
		out, err := json.Marshal(v)
		if err != nil {
			t.Fatalf("%q was read and cannot be written: %v", src, err)
		}
		var again wire.Value
		if err := json.Unmarshal(out, &again); err != nil {
			t.Fatalf("%q was written as %s, which cannot be read: %v", src, out, err)
		}
		if back, _ := json.Marshal(again); !bytes.Equal(back, out) {
			t.Fatalf("%q: %s became %s", src, out, back)
		}
	})
}

// Air of a shop that was asked about before, as every look after the first one asks.
func BenchmarkLookAirAgain(b *testing.B) {
	s, _, _ := open(b, nil)
	ask := func() {
		if _, err := s.look(context.Background(), wire.Ask{Running: []wire.AskRunning{{Machine: "planer"}}, Want: []string{"air"}}); err != nil {
			b.Fatal(err)
		}
	}
	ask()
	for b.Loop() {
		ask()
	}
}

func BenchmarkLook(b *testing.B) {
	s, _, _ := open(b, nil)
	for _, c := range []struct {
		name string
		want []string
	}{{"best estimate", []string{"alone"}}, {"with ranges", []string{"ranges"}}, {"all ports with ranges", []string{"alone", "ranges"}}, {"air of a new shop", []string{"air"}}} {
		b.Run(c.name, func(b *testing.B) {
			feet := 0
			for b.Loop() {
				feet++ // every look of a drag is a new shop
				ask := wire.Ask{Running: []wire.AskRunning{{Machine: "planer"}}, Want: c.want,
					Edits: []wire.Edit{{Set: "systems/collector/runs/long hose/pieces/hose 1/hose", To: text(fmt.Sprintf("%d.%03d ft", 10+feet%10, feet%1000))}}}
				if _, err := s.look(context.Background(), ask); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
