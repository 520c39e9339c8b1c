package cli

import (
	"bufio"
	"bytes"
	"context"
	"crypto/ecdsa"
	"crypto/elliptic"
	"crypto/rand"
	"crypto/tls"
	"crypto/x509"
	"encoding/json"
	"encoding/pem"
	"errors"
	"io"
	"math/big"
	"net"
	"net/http"
	"net/netip"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"winnow/internal/face/server"
	"winnow/internal/face/wire"
	"winnow/internal/live/desk"
)

// served is a shop that is served as winnow serve does it.
type served struct {
	address string
	path    string
	said    *said
	stop    func() error // as Ctrl-C does
}

// said is what a command says, to be read while it runs.
type said struct {
	mu sync.Mutex
	b  bytes.Buffer
}

func (s *said) Write(p []byte) (int, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.b.Write(p)
}

func (s *said) String() string {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.b.String()
}

func shopIn(t testing.TB) string {
	t.Helper()
	src, err := os.ReadFile(filepath.Join("..", "..", "..", "examples", "carport.yaml"))
	if err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(t.TempDir(), "shop.yaml")
	if err := os.WriteFile(path, src, 0o644); err != nil {
		t.Fatal(err)
	}
	return path
}

func startServe(t testing.TB, in io.Reader, o serveOptions) served {
	t.Helper()
	s := served{path: shopIn(t), said: &said{}}
	d, err := desk.Open(s.path, time.Now)
	if err != nil {
		t.Fatal(err)
	}
	read, write := io.Pipe()
	ctx, cancel := context.WithCancel(context.Background())
	done := make(chan error, 1)
	go func() {
		err := serve(ctx, &env{out: write, err: s.said, in: in}, d, o)
		_ = write.CloseWithError(io.EOF)
		done <- err
	}()
	s.stop = sync.OnceValue(func() error {
		cancel()
		select {
		case err := <-done:
			return err
		case <-time.After(20 * time.Second):
			return errors.New("it did not stop")
		}
	})
	t.Cleanup(func() { _ = s.stop() })
	lines := bufio.NewReader(read)
	line, _ := lines.ReadString('\n')
	s.address = strings.TrimSpace(line)
	go func() { _, _ = io.Copy(io.Discard, lines) }()
	if s.address == "" {
		t.Fatalf("it did not start: %v\n%s", s.stop(), s.said)
	}
	return s
}

// certificate makes one for this machine, with its key, in files.
func certificate(t testing.TB) (cert, key string, pool *x509.CertPool) {
	t.Helper()
	private, err := ecdsa.GenerateKey(elliptic.P256(), rand.Reader)
	if err != nil {
		t.Fatal(err)
	}
	about := &x509.Certificate{
		SerialNumber: big.NewInt(1), NotBefore: time.Now().Add(-time.Hour), NotAfter: time.Now().Add(time.Hour), IPAddresses: []net.IP{net.IPv4(127, 0, 0, 1)},
		IsCA: true, BasicConstraintsValid: true, KeyUsage: x509.KeyUsageDigitalSignature | x509.KeyUsageCertSign,
	}
	body, err := x509.CreateCertificate(rand.Reader, about, about, &private.PublicKey, private)
	if err != nil {
		t.Fatal(err)
	}
	secret, err := x509.MarshalECPrivateKey(private)
	if err != nil {
		t.Fatal(err)
	}
	folder := t.TempDir()
	put := func(name, kind string, body []byte) string {
		path := filepath.Join(folder, name)
		if err := os.WriteFile(path, pem.EncodeToMemory(&pem.Block{Type: kind, Bytes: body}), 0o600); err != nil {
			t.Fatal(err)
		}
		return path
	}
	read, err := x509.ParseCertificate(body)
	if err != nil {
		t.Fatal(err)
	}
	pool = x509.NewCertPool()
	pool.AddCert(read)
	return put("cert.pem", "CERTIFICATE", body), put("key.pem", "EC PRIVATE KEY", secret), pool
}

// With a certificate everything goes over TLS, the session's cookie too; plain http is not answered.
func TestServeOverTLS(t *testing.T) {
	cert, key, pool := certificate(t)
	s := startServe(t, strings.NewReader("four plain words here\n"), serveOptions{addr: "127.0.0.1:0", cert: cert, key: key, passphrase: true})
	if !strings.HasPrefix(s.address, "https://127.0.0.1:") {
		t.Fatalf("the address is %s", s.address)
	}
	client := &http.Client{Transport: &http.Transport{TLSClientConfig: &tls.Config{RootCAs: pool}}}
	defer client.CloseIdleConnections()
	resp, err := client.Get(s.address + "api/shops/shop")
	if err != nil {
		t.Fatal(err)
	}
	resp.Body.Close()
	if resp.StatusCode != http.StatusOK || resp.TLS == nil || resp.TLS.Version < tls.VersionTLS12 {
		t.Errorf("%d over %+v", resp.StatusCode, resp.TLS)
	}
	resp, err = client.Get(s.address + "api/others")
	if err != nil {
		t.Fatal(err)
	}
	var o wire.Others
	_ = json.NewDecoder(resp.Body).Decode(&o)
	resp.Body.Close()
	if !o.Passphrase || o.Clear {
		t.Errorf("others are told %+v", o)
	}
	resp, err = client.Post(s.address+"api/session", "application/json", strings.NewReader(`{"passphrase":"four plain words here"}`))
	if err != nil {
		t.Fatal(err)
	}
	resp.Body.Close()
	if c := resp.Cookies(); len(c) != 1 || !c[0].Secure || !c[0].HttpOnly {
		t.Errorf("the session's cookie: %+v", c)
	}
	if _, err := http.Get(s.address + "api/shops"); err == nil {
		t.Error("a client that does not know the certificate was content with it")
	}
	plain, err := http.Get(strings.Replace(s.address, "https:", "http:", 1) + "api/shops")
	if err == nil {
		plain.Body.Close()
		if plain.StatusCode != http.StatusBadRequest {
			t.Errorf("plain http is answered with %d", plain.StatusCode)
		}
	}
}

// What cannot be served is said before anything listens.
func TestServeRefusesWhatCannotBe(t *testing.T) {
	cert, key, _ := certificate(t)
	_, other, _ := certificate(t)
	junk := filepath.Join(t.TempDir(), "junk.pem")
	if err := os.WriteFile(junk, []byte("no certificate"), 0o600); err != nil {
		t.Fatal(err)
	}
	taken, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	defer taken.Close()
	d, err := desk.Open(shopIn(t), time.Now)
	if err != nil {
		t.Fatal(err)
	}
	for name, c := range map[string]struct {
		o    serveOptions
		says string
	}{
		"a key of another":       {serveOptions{addr: "127.0.0.1:0", cert: cert, key: other}, "the certificate cannot be used"},
		"no certificate at all":  {serveOptions{addr: "127.0.0.1:0", cert: junk, key: key}, "the certificate cannot be used"},
		"a file that is missing": {serveOptions{addr: "127.0.0.1:0", cert: cert, key: "none.pem"}, "the certificate cannot be used"},
		"half of it":             {serveOptions{addr: "127.0.0.1:0", cert: cert}, "belong together"},
		"a port that is taken":   {serveOptions{addr: taken.Addr().String()}, "cannot be listened on"},
		"open without words":     {serveOptions{addr: "0.0.0.0:0"}, "a passphrase is needed"},
		"words that are short":   {serveOptions{addr: "127.0.0.1:0", passphrase: true}, "12 are the least"},
	} {
		err := serve(context.Background(), &env{out: io.Discard, err: io.Discard, in: strings.NewReader("short\n")}, d, c.o)
		if err == nil || !strings.Contains(err.Error(), c.says) {
			t.Errorf("%s: %v", name, err)
		}
	}
}

// Ctrl-C ends a server to which pages are listening, at once and without complaint.
func TestServeStopsWithPagesOpen(t *testing.T) {
	s := startServe(t, nil, serveOptions{addr: "127.0.0.1:0"})
	ended := make(chan error, 3)
	for range cap(ended) {
		resp, err := http.Get(s.address + "api/shops/shop/events")
		if err != nil {
			t.Fatal(err)
		}
		first, err := bufio.NewReader(resp.Body).ReadString('\n')
		if err != nil || !strings.HasPrefix(first, "id: ") {
			t.Fatalf("%q, %v", first, err)
		}
		go func() {
			_, err := io.Copy(io.Discard, resp.Body)
			resp.Body.Close()
			ended <- err
		}()
	}
	began := time.Now()
	if err := s.stop(); err != nil {
		t.Errorf("it stopped with %v", err)
	}
	if took := time.Since(began); took > 4*time.Second {
		t.Errorf("it took %v to stop", took)
	}
	for range cap(ended) {
		select {
		case err := <-ended:
			if err != nil {
				t.Errorf("a page's stream broke off: %v", err)
			}
		case <-time.After(5 * time.Second):
			t.Fatal("a page still hangs")
		}
	}
}

func putOthers(t testing.TB, address, body string) (int, wire.Others) {
	t.Helper()
	r, _ := http.NewRequest(http.MethodPut, address+"api/others", strings.NewReader(body))
	r.Header.Set("Content-Type", "application/json")
	resp, err := http.DefaultClient.Do(r)
	if err != nil {
		t.Fatal(err)
	}
	defer resp.Body.Close()
	var o wire.Others
	_ = json.NewDecoder(resp.Body).Decode(&o)
	return resp.StatusCode, o
}

// A passphrase set on the page of this machine is kept as one set in the terminal: as a hash, for its owner alone, and known
// again after a restart.
func TestAPassphraseSetOnThePageIsKept(t *testing.T) {
	s := startServe(t, nil, serveOptions{addr: "127.0.0.1:0"})
	file := filepath.Join(desk.Folder(s.path), "passphrase")
	if code, _ := putOthers(t, s.address, `{"passphrase":"too short"}`); code != http.StatusUnprocessableEntity {
		t.Errorf("a short one: %d", code)
	}
	if code, _ := putOthers(t, s.address, `{}`); code != http.StatusUnprocessableEntity {
		t.Errorf("none: %d", code)
	}
	if _, err := os.Stat(file); err == nil {
		t.Error("a refused one is kept")
	}
	const words = "ash, oak, elm and hornbeam"
	if code, o := putOthers(t, s.address, `{"passphrase":"`+words+`"}`); code != http.StatusOK && code != http.StatusConflict || code == http.StatusOK && !o.Open {
		t.Errorf("%d, %+v", code, o) // 409: this computer is in no network
	}
	text, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	if info, _ := os.Stat(file); info.Mode().Perm() != 0o600 {
		t.Errorf("its file has mode %v", info.Mode().Perm())
	}
	if strings.Contains(string(text), "oak") {
		t.Error("the words themselves are kept")
	}
	if _, err := server.ParseHash(string(text)); err != nil {
		t.Error(err)
	}
	d, err := desk.Open(s.path, time.Now)
	if err != nil {
		t.Fatal(err)
	}
	if hash, err := passphraseHash(&env{err: io.Discard}, d, false); err != nil || server.HashText(hash) != string(text) {
		t.Errorf("after a restart it is not known: %v", err)
	}
}

// A machine that is let into one network and carried to another answers there, and no more where it was.
func TestDoorsFollowTheNetwork(t *testing.T) {
	main, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	home, cafe := netip.MustParseAddr("127.0.0.2"), netip.MustParseAddr("127.0.0.3") // stand for addresses of a network
	now := []netip.Addr{}
	d := newDoors(main, "", "")
	d.own, d.mine = func() []netip.Addr { return now }, netip.Addr.IsLoopback
	web := &http.Server{Handler: http.HandlerFunc(func(w http.ResponseWriter, _ *http.Request) { _, _ = io.WriteString(w, "hello") })}
	d.serve(web)
	defer web.Close()
	answers := func(a netip.Addr) bool {
		c := &http.Client{Timeout: 2 * time.Second, Transport: &http.Transport{DisableKeepAlives: true}}
		resp, err := c.Get(d.at(a.String(), d.here().Port))
		if err != nil {
			return false
		}
		resp.Body.Close()
		return true
	}
	if r := d.reach(); len(r.Hosts) > 0 || r.Phone != "" {
		t.Errorf("shut, it is reached as %+v", r)
	}
	if err := d.open(); err == nil || !strings.Contains(err.Error(), "no network") {
		t.Errorf("in no network: %v", err)
	}
	for _, c := range []struct {
		at     []netip.Addr
		in     netip.Addr
		absent netip.Addr
	}{{[]netip.Addr{home}, home, cafe}, {[]netip.Addr{cafe}, cafe, home}} {
		now = c.at
		if err := d.open(); err != nil {
			t.Skipf("this system has no second loopback address: %v", err)
		}
		r := d.reach()
		if !answers(c.in) || r.Phone != d.at(c.in.String(), d.here().Port) {
			t.Errorf("at %v it answers: %t, and a phone is shown %s", c.in, answers(c.in), r.Phone)
		}
		known := strings.Join(r.Hosts, " ")
		if !strings.Contains(known, c.in.String()) || strings.Contains(known, c.absent.String()) || answers(c.absent) {
			t.Errorf("at %v it is known as %s; where it was it answers: %t", c.in, known, answers(c.absent))
		}
	}
	// carried into another network it shuts and says so; back at home nothing opens by itself, and it can be shut by hand
	now = []netip.Addr{home}
	d.follow()
	if r := d.reach(); answers(cafe) || answers(home) || r.Phone != "" || !r.Moved {
		t.Errorf("in another network it answers: %t, %t, as %+v", answers(cafe), answers(home), r)
	}
	d.follow()
	if answers(home) {
		t.Error("it opens by itself")
	}
	if err := d.open(); err != nil || !answers(home) || d.reach().Moved {
		t.Errorf("opened again: %v, it answers: %t", err, answers(home))
	}
	now = nil // the network is away for a moment
	d.follow()
	now = []netip.Addr{home}
	d.follow()
	if !answers(home) {
		t.Error("a network that comes back finds it shut")
	}
	if err := d.closeAgain(); err != nil || answers(home) || d.reach().Phone != "" {
		t.Errorf("shut by hand it answers: %t, %v", answers(home), err)
	}
}
