package server

import (
	"bufio"
	"context"
	"encoding/json"
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

	"github.com/danielgtaylor/huma/v2"
)

type route struct{ method, path string }

// routes are all there are: those that the API tells of, and those beside it.
func routes(t testing.TB, s *Server) []route {
	t.Helper()
	all := []route{
		{"GET", "/"},
		{"GET", "/power"},
		{"GET", "/healthz"},
		{"GET", "/api/openapi.json"},
		{"POST", "/api/session"},
		{"GET", "/api/phone.png"},
		{"GET", "/api/shops/shop/events"},
		{"GET", "/api/handbook/pictures/floor.png"},
		{"GET", "/api/nosuch"},
		{"GET", "/assets/nosuch.js"},
	}
	for path, item := range s.api.OpenAPI().Paths {
		path = strings.NewReplacer("{shop}", "shop", "{id}", "x", "{name}", "page").Replace(path)
		for method, op := range map[string]*huma.Operation{"GET": item.Get, "POST": item.Post, "PUT": item.Put, "DELETE": item.Delete} {
			if op != nil {
				all = append(all, route{method, path})
			}
		}
	}
	if len(all) < 25 {
		t.Fatalf("only %d routes: the walk is broken", len(all))
	}
	return all
}

// ask sends a request past the network; a stream is given a moment, then hung up.
func (r route) ask(s *Server, from string, header ...string) int {
	ctx, cancel := context.WithTimeout(context.Background(), 200*time.Millisecond)
	defer cancel()
	q := httptest.NewRequest(r.method, "http://127.0.0.1"+r.path, strings.NewReader(`{}`)).WithContext(ctx)
	q.RemoteAddr = from
	q.Header.Set("Content-Type", "application/json")
	for i := 0; i+1 < len(header); i += 2 {
		if header[i] == "Host" {
			q.Host = header[i+1]
		} else {
			q.Header.Set(header[i], header[i+1])
		}
	}
	w := httptest.NewRecorder()
	s.Handler().ServeHTTP(w, q)
	return w.Code
}

// No route is answered under a foreign name, to a foreign page, or to a stranger.
func TestEveryRouteIsGuarded(t *testing.T) {
	s, _, path := open(t, func(o *Options) {
		o.Passphrase = Hash("ash, oak, elm and hornbeam")
		o.Reach = func() Reach { return Reach{Hosts: []string{"10.1.2.3"}, Phone: "http://10.1.2.3/"} }
	})
	before, _ := os.ReadFile(path)
	for _, r := range routes(t, s) {
		for _, host := range []string{"shop.example", "127.0.0.1.shop.example", "10.1.2.4", "localhost.shop.example:8420", ""} {
			if code := r.ask(s, desktop, "Host", host); code != http.StatusMisdirectedRequest {
				t.Errorf("%s %s under the name %q: %d", r.method, r.path, host, code)
			}
		}
		for _, origin := range []string{"http://elsewhere.example", "null", "http://127.0.0.1.elsewhere.example", "https://127.0.0.1:99", "%"} {
			if code := r.ask(s, desktop, "Origin", origin); code != http.StatusForbidden {
				t.Errorf("%s %s from a page at %q: %d", r.method, r.path, origin, code)
			}
		}
		for _, site := range []string{"cross-site", "same-site"} {
			if code := r.ask(s, desktop, "Sec-Fetch-Site", site, "Sec-Fetch-Mode", "no-cors"); code != http.StatusForbidden {
				t.Errorf("%s %s fetched by a page that is %s: %d", r.method, r.path, site, code)
			}
		}
		if strings.HasPrefix(r.path, "/api/") && r.path != "/api/session" {
			for _, cookie := range []string{"", cookieName + "=guessed", cookieName + "="} {
				if code := r.ask(s, tablet, "Host", "10.1.2.3", "Cookie", cookie); code != http.StatusUnauthorized {
					t.Errorf("%s %s by a stranger with %q: %d", r.method, r.path, cookie, code)
				}
			}
		}
	}
	if code := (route{"GET", "/"}).ask(s, desktop, "Sec-Fetch-Site", "cross-site", "Sec-Fetch-Mode", "navigate"); code != http.StatusOK {
		t.Errorf("a link to the page: %d", code)
	}
	if now, _ := os.ReadFile(path); string(now) != string(before) {
		t.Error("a refused request changed the file")
	}
	if entries, _ := os.ReadDir(filepath.Dir(path)); len(entries) != 1 {
		t.Errorf("refused requests left %d things beside the file", len(entries)-1)
	}
}

// Junk to every route, streams opened and broken off, jobs begun and dropped: afterwards the server is as large as before.
func TestJunkLeavesNothingBehind(t *testing.T) {
	s, web, path := openShop(t, "garden-shed.yaml", nil)
	all := routes(t, s)
	bodies := []string{`{`, `[]`, `null`, `{"rev":1e99}`, `{"text":"\u0000"}`, `{"edits":[{"set":"a/b","to":{"c":[]}}]}`, `{"kind":"prove","seconds":-1}`, strings.Repeat("[", 2000), "\xff\xfe"}
	junk := func(i int) {
		r := all[i%len(all)]
		if r.path == "/api/shops/shop/events" || r.path == "/api/session" { // streams below; a try at the passphrase is slow on purpose
			return
		}
		q := httptest.NewRequest(r.method, "http://127.0.0.1"+r.path, strings.NewReader(bodies[i%len(bodies)]))
		q.RemoteAddr = desktop
		q.Header.Set("Content-Type", []string{"application/json", "text/plain", "application/cbor", ""}[i%4])
		w := httptest.NewRecorder()
		s.Handler().ServeHTTP(w, q)
		if w.Code >= http.StatusInternalServerError {
			t.Errorf("%s %s with %q: %d %s", r.method, r.path, bodies[i%len(bodies)], w.Code, w.Body)
		}
	}
	stream := func() {
		ctx, hangUp := context.WithCancel(context.Background())
		defer hangUp()
		r, _ := http.NewRequestWithContext(ctx, http.MethodGet, web.URL+"/api/shops/shop/events", nil)
		resp, err := http.DefaultClient.Do(r)
		if err != nil {
			t.Error(err)
			return
		}
		_, _ = bufio.NewReader(resp.Body).ReadString('\n')
		resp.Body.Close()
	}
	load := func(n int) {
		var wg sync.WaitGroup
		for k := range 4 {
			wg.Go(func() {
				for i := range n {
					junk(i*4 + k)
				}
				for range n / 20 {
					stream()
				}
			})
		}
		wg.Wait()
	}
	load(100) // what is made once is made
	heap, routines := settled()
	load(800)
	heapAfter, after := settled()
	if after > routines+3 {
		t.Errorf("%d goroutines became %d", routines, after)
	}
	if grown := heapAfter - heap; grown > 4<<20 {
		t.Errorf("the heap grew by %d kB", grown>>10)
	}
	s.hub.mu.Lock()
	if n := len(s.hub.pages); n != 0 {
		t.Errorf("%d pages are still told of revisions", n)
	}
	s.hub.mu.Unlock()
	if src, _ := os.ReadFile(path); !strings.Contains(string(src), "winnow: 1") {
		t.Error("the file is gone")
	}
}

// settled is what is left once all has come to rest.
func settled() (heap int64, routines int) {
	http.DefaultClient.CloseIdleConnections()
	for range 50 {
		routines = runtime.NumGoroutine()
		time.Sleep(20 * time.Millisecond)
		if runtime.NumGoroutine() == routines {
			break
		}
	}
	var m runtime.MemStats
	runtime.GC()
	runtime.GC()
	runtime.ReadMemStats(&m)
	return int64(m.HeapAlloc), runtime.NumGoroutine()
}

// fuzzed serves one shop to all inputs of a fuzzer and takes any answer but a fault of the program itself.
func fuzzed(f *testing.F, method, path string, first func(map[string]string) ([]byte, error)) func(t *testing.T, body []byte) {
	s, _, _ := openShop(f, "garden-shed.yaml", func(o *Options) { o.First = first })
	return func(t *testing.T, body []byte) {
		q := httptest.NewRequest(method, "http://127.0.0.1"+path, strings.NewReader(string(body)))
		q.RemoteAddr = desktop
		q.Header.Set("Content-Type", "application/json")
		w := httptest.NewRecorder()
		began := time.Now()
		s.Handler().ServeHTTP(w, q)
		if w.Code >= http.StatusInternalServerError {
			t.Fatalf("%d for %q: %s", w.Code, body, w.Body)
		}
		if took := time.Since(began); took > 5*time.Second {
			t.Fatalf("%q took %v", body, took)
		}
		if _, err := io.Copy(io.Discard, w.Body); err != nil {
			t.Fatal(err)
		}
	}
}

func FuzzLook(f *testing.F) {
	for _, seed := range []string{
		`{}`, `{"rev":1,"running":[{"machine":"table saw","setup":"","place":""}],"select":"table saw","want":["alone","sheet","curve","remedies","findings","layout","power","gates"]}`,
		`{"edits":[{"set":"name","to":"x"},{"take_out":"machines/table saw"}]}`, `{"edits":[{"duplicate":"machines/table saw","to":"twin"}],"want":["alone"]}`,
		`{"edits":[{"rename":"machines/table saw","to":"a/b"}]}`, `{"text":"winnow: 1\nmachines: {a: {port: {size: 4 in}}}\n","want":["findings","power"]}`,
		`{"filter":"clean","open":["x"],"shut":[""],"arrangement":"none"}`, `{"edits":[{"insert":{"a":[1,{"b":null}]},"after":"machines/table saw"}]}`,
	} {
		f.Add([]byte(seed))
	}
	f.Fuzz(fuzzed(f, http.MethodPost, "/api/shops/shop/look", nil))
}

// A draft is any text at all. Whatever it says, it is answered, and so is a change of it.
func FuzzDraft(f *testing.F) {
	files, err := filepath.Glob(filepath.Join("..", "..", "..", "examples", "*.yaml"))
	if err != nil || len(files) == 0 {
		f.Fatal("no examples to begin with")
	}
	for _, file := range files {
		src, err := os.ReadFile(file)
		if err != nil {
			f.Fatal(err)
		}
		f.Add(string(src))
	}
	f.Add("winnow: 1\nmachines: {a: {port: {size: 4 in}}, b: {}}\nsystems: {s: {runs: {main: {from: [a, b], pieces: [{hose: 0 ft}]}}}}\n")
	f.Add("winnow: 1\nmachines: {a: {}}\nsystems: {s: {fan: {curve: [[0 cfm, 0 inH2O]]}, runs: {main: {from: a}}}}\nroom: {footprint: 0 ft x 0 ft}\n")
	try := fuzzed(f, http.MethodPost, "/api/shops/shop/look", nil)
	f.Fuzz(func(t *testing.T, text string) {
		ask := map[string]any{"text": text, "want": []string{"findings", "layout", "power", "gates"}}
		body, err := json.Marshal(ask)
		if err != nil {
			t.Fatal(err)
		}
		try(t, body)
	})
}

func FuzzEdits(f *testing.F) {
	for _, seed := range []string{
		`{"cause":"x","edits":[{"set":"name","to":"x"}]}`, `{"cause":"x","edits":[{"remove":"machines"}]}`, `{"cause":"x","edits":[{"take_out":"machines/table saw"}]}`,
		`{"cause":"x","text":"winnow: 1\n"}`, `{"cause":"x","text":"winnow: 1\nname: [\n"}`, `{"rev":1,"id":"a","cause":"x","edits":[]}`, `{"rev":99,"cause":"x","edits":[{"set":"name","was":"y","to":"x"}]}`,
	} {
		f.Add([]byte(seed))
	}
	f.Fuzz(fuzzed(f, http.MethodPost, "/api/shops/shop/edits", nil))
}

func FuzzFirst(f *testing.F) {
	for _, seed := range []string{`{"answers":{}}`, `{"answers":{"collector":"bag","motor":"1 1/2 hp"},"want":["alone"]}`, `{"answers":{"text":"winnow: 1\n"}}`} {
		f.Add([]byte(seed))
	}
	f.Fuzz(fuzzed(f, http.MethodPost, "/api/first", func(answers map[string]string) ([]byte, error) { return []byte(answers["text"]), nil }))
}
