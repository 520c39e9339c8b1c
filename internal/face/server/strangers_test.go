package server

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"net"
	"net/http"
	"net/http/httptest"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"time"
)

// network is a listener to which connections come from wherever a test says.
type network struct {
	come chan net.Conn
	shut chan struct{}
	once sync.Once
}

func (n *network) Accept() (net.Conn, error) {
	select {
	case c := <-n.come:
		return c, nil
	case <-n.shut:
		return nil, net.ErrClosed
	}
}
func (n *network) Close() error   { n.once.Do(func() { close(n.shut) }); return nil }
func (n *network) Addr() net.Addr { return &net.TCPAddr{IP: net.IPv4(10, 1, 2, 3), Port: 80} }

type from struct {
	net.Conn
	address net.Addr
}

func (f from) RemoteAddr() net.Addr { return f.address }

// dial opens a connection from an address.
func (n *network) dial(t testing.TB, address string, port int) net.Conn {
	t.Helper()
	ours, theirs := net.Pipe()
	select {
	case n.come <- from{theirs, &net.TCPAddr{IP: net.ParseIP(address), Port: port}}:
	case <-time.After(5 * time.Second):
		t.Fatal("nobody listens")
	}
	t.Cleanup(func() { ours.Close() })
	return ours
}

// netOf serves a shop to a whole network.
func netOf(t *testing.T) (*Server, *network) {
	s, _, _ := open(t, func(o *Options) {
		o.Passphrase = Hash("ash, oak, elm and hornbeam")
		o.Reach = func() Reach { return Reach{Hosts: []string{"10.1.2.3"}, Phone: "http://10.1.2.3/"} }
	})
	n := &network{come: make(chan net.Conn), shut: make(chan struct{})}
	web := s.HTTP()
	go func() { _ = web.Serve(n) }()
	t.Cleanup(func() { s.Close(); web.Close() })
	return s, n
}

// asked sends a request over a connection and gives the status; the connection stays.
func asked(c net.Conn, method, path string, header ...string) (int, error) {
	_ = c.SetDeadline(time.Now().Add(5 * time.Second))
	r := httptest.NewRequest(method, "http://10.1.2.3"+path, http.NoBody)
	for i := 0; i+1 < len(header); i += 2 {
		r.Header.Set(header[i], header[i+1])
	}
	if err := r.Write(c); err != nil {
		return 0, err
	}
	resp, err := http.ReadResponse(bufio.NewReader(c), r)
	if err != nil {
		return 0, err
	}
	if resp.Header.Get("Content-Type") != "text/event-stream" {
		_, err = io.Copy(io.Discard, resp.Body)
	}
	return resp.StatusCode, err
}

// dead reports whether the server has hung up.
func dead(c net.Conn) bool {
	_ = c.SetReadDeadline(time.Now().Add(50 * time.Millisecond))
	_, err := c.Read(make([]byte, 1))
	var late net.Error
	return err != nil && !(errors.As(err, &late) && late.Timeout())
}

// alive counts those that the server still holds, all at once: it hangs up by itself on who says nothing for some seconds.
func alive(cs []net.Conn) int {
	var n atomic.Int32
	var all sync.WaitGroup
	for _, c := range cs {
		all.Go(func() {
			if !dead(c) {
				n.Add(1)
			}
		})
	}
	all.Wait()
	return int(n.Load())
}

// One stranger opens connection after connection and says half a request on each: it keeps its share, and the owner is answered,
// on this machine and on a phone.
func TestAStrangerCannotHoldAllConnections(t *testing.T) {
	s, n := netOf(t)
	var all []net.Conn
	for i := range 3 * connectionsOfOne {
		c := n.dial(t, "10.1.2.66", 1000+i)
		_ = c.SetWriteDeadline(time.Now().Add(time.Second))
		_, _ = io.WriteString(c, "GET / HTTP/1.1\r\nHost: 10.1.2.3\r\nX: ") // a header that does not end
		all = append(all, c)
	}
	if left := alive(all); left != connectionsOfOne {
		t.Errorf("the stranger holds %d connections; its share is %d", left, connectionsOfOne)
	}
	if dead(all[len(all)-1]) || !dead(all[0]) {
		t.Error("not the oldest were closed")
	}
	if code, err := asked(n.dial(t, "127.0.0.1", 9), "GET", "/healthz"); code != http.StatusOK {
		t.Errorf("this machine: %d %v", code, err)
	}
	id, err := s.locks.open()
	if err != nil {
		t.Fatal(err)
	}
	if code, err := asked(n.dial(t, "10.1.2.9", 9), "GET", "/api/shops", "Cookie", cookieName+"="+id); code != http.StatusOK {
		t.Errorf("the phone: %d %v", code, err)
	}
}

// A whole crowd opens connections: all together are bounded, and who has said the passphrase keeps the stream it has.
func TestACrowdCannotHoldAllConnections(t *testing.T) {
	s, n := netOf(t)
	id, err := s.locks.open()
	if err != nil {
		t.Fatal(err)
	}
	phone := n.dial(t, "10.1.2.9", 9)
	if code, err := asked(phone, "GET", "/api/shops/shop/events", "Cookie", cookieName+"="+id); code != http.StatusOK {
		t.Fatalf("the phone's stream: %d %v", code, err)
	}
	go func() { _, _ = io.Copy(io.Discard, phone) }()
	var crowd []net.Conn
	for i := range connectionsOfAll + 60 { // one each: the oldest of them would be the phone's
		crowd = append(crowd, n.dial(t, fmt.Sprintf("10.1.%d.%d", 3+i/200, 1+i%200), 9))
	}
	if left := alive(crowd); left != connectionsOfAll-1 { // one is the phone's
		t.Errorf("the crowd holds %d connections of %d", left, connectionsOfAll)
	}
	s.hub.mu.Lock()
	if len(s.hub.pages) != 1 {
		t.Error("the phone's stream was closed")
	}
	s.hub.mu.Unlock()
	if code, err := asked(n.dial(t, "10.1.2.9", 10), "GET", "/"); code != http.StatusOK {
		t.Errorf("another phone's first request: %d %v", code, err)
	}
}

// This machine opens as many as it likes, and a closed connection is counted no more.
func TestThisMachineIsNotBounded(t *testing.T) {
	_, n := netOf(t)
	var all []net.Conn
	for i := range 2 * connectionsOfOne {
		all = append(all, n.dial(t, "127.0.0.1", 1000+i))
	}
	if left := alive(all); left != len(all) {
		t.Errorf("%d of %d connections are left to this machine", left, len(all))
	}
	stays := n.dial(t, "10.1.2.9", 9)
	if code, err := asked(stays, "GET", "/healthz"); code != http.StatusOK {
		t.Fatalf("one that stays: %d %v", code, err)
	}
	for i := range connectionsOfAll + 10 { // as many devices, one after the other
		c := n.dial(t, fmt.Sprintf("10.1.%d.%d", 3+i/200, 1+i%200), 9)
		if code, err := asked(c, "GET", "/healthz", "Connection", "close"); code != http.StatusOK {
			t.Fatalf("device %d in turn: %d %v", i, code, err)
		}
		c.Close()
	}
	if dead(stays) {
		t.Error("closed connections were counted against one that is open")
	}
}

// A request that ends in time is not cut: more than its share at once, the oldest lose, and the rest are answered.
func TestIdleConnectionsGiveWayFirst(t *testing.T) {
	_, n := netOf(t)
	busy := n.dial(t, "10.1.2.9", 1)
	_ = busy.SetWriteDeadline(time.Now().Add(time.Second))
	_, _ = io.WriteString(busy, "GET / HTTP/1.1\r\nHost: 10.1.2.3\r\n")
	var idle []net.Conn
	for i := range connectionsOfOne {
		c := n.dial(t, "10.1.2.9", 10+i)
		if code, err := asked(c, "GET", "/healthz"); code != http.StatusOK {
			t.Fatalf("%d: %d %v", i, code, err)
		}
		idle = append(idle, c)
		time.Sleep(2 * time.Millisecond) // it is idle once the answer is sent
	}
	if !dead(idle[0]) {
		t.Error("the oldest that waits for nothing was kept")
	}
	_ = busy.SetDeadline(time.Now().Add(5 * time.Second))
	_, _ = io.WriteString(busy, "\r\n")
	line, err := bufio.NewReader(busy).ReadString('\n')
	if err != nil || !strings.Contains(line, "200") {
		t.Errorf("a request under way was cut: %q %v", line, err)
	}
}
