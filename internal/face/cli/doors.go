package cli

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"net"
	"net/http"
	"net/netip"
	"os"
	"slices"
	"strings"
	"sync"
	"time"

	"winnow/internal/face/server"
)

// doors are where the page can be asked for: the address that was named, and, once the owner lets other devices in, those that
// this machine has in its own network at the moment.
type doors struct {
	main      net.Listener
	cert, key string

	// own lists this machine's addresses; a test has its own.
	own  func() []netip.Addr
	mine func(netip.Addr) bool // of its own network, not of the internet

	mu   sync.Mutex
	web  *http.Server
	more map[netip.Addr]net.Listener
	// let are the places in the network that the owner opened; none while other devices are shut out
	let   []netip.Prefix
	moved bool // the network changed, and others were shut out for it
}

func newDoors(main net.Listener, cert, key string) *doors {
	return &doors{main: main, cert: cert, key: key, own: ownAddresses, mine: netip.Addr.IsPrivate, more: map[netip.Addr]net.Listener{}}
}

// ownAddresses are this machine's, loopback left out.
func ownAddresses() []netip.Addr {
	all, err := net.InterfaceAddrs()
	if err != nil {
		return nil
	}
	var out []netip.Addr
	for _, a := range all {
		if p, err := netip.ParsePrefix(a.String()); err == nil && !p.Addr().IsLoopback() {
			out = append(out, p.Addr())
		}
	}
	return out
}

func (d *doors) here() *net.TCPAddr { return d.main.Addr().(*net.TCPAddr) }

// local: the address that was named is this machine's alone.
func (d *doors) local() bool { return d.here().IP.IsLoopback() }

func (d *doors) scheme() string {
	if d.cert != "" {
		return "https"
	}
	return "http"
}

// address is what is printed: "0.0.0.0" is no place to go to.
func (d *doors) address() string {
	host := d.here().IP.String()
	if d.here().IP.IsUnspecified() {
		host = "127.0.0.1"
	}
	return d.at(host, d.here().Port)
}

func (d *doors) at(host string, port int) string {
	return fmt.Sprintf("%s://%s/", d.scheme(), net.JoinHostPort(host, fmt.Sprint(port)))
}

// reach is under which names the page may be asked for now.
func (d *doors) reach() server.Reach {
	d.mu.Lock()
	defer d.mu.Unlock()
	r := server.Reach{TLS: d.cert != "", Moved: d.moved}
	if d.local() && len(d.more) == 0 {
		return r
	}
	if !d.local() {
		r.Hosts = append(r.Hosts, d.here().IP.String())
	}
	if name, err := os.Hostname(); err == nil {
		name = strings.TrimSuffix(name, ".local")
		r.Hosts = append(r.Hosts, name, name+".local")
	}
	second := "" // the shorter address is shown where there are both
	for _, a := range d.own() {
		r.Hosts = append(r.Hosts, a.String())
		port := d.portAt(a)
		switch {
		case port == 0 || !d.mine(a):
		case a.Is4() && r.Phone == "":
			r.Phone = d.at(a.String(), port)
		case second == "":
			second = d.at(a.String(), port)
		}
	}
	r.Phone = cmp.Or(r.Phone, second)
	return r
}

// portAt is where an address of this machine is listened on; 0 for nowhere.
func (d *doors) portAt(a netip.Addr) int {
	if l := d.more[a]; l != nil {
		return l.Addr().(*net.TCPAddr).Port
	}
	if ip := d.here().IP; ip.IsUnspecified() || ip.Equal(a.AsSlice()) {
		return d.here().Port
	}
	return 0
}

// serve answers at the address that was named, and from now on at those that are opened.
func (d *doors) serve(web *http.Server) <-chan error {
	d.mu.Lock()
	d.web = web
	d.mu.Unlock()
	done := make(chan error, 1)
	go func() { done <- d.answer(d.main) }()
	return done
}

func (d *doors) answer(l net.Listener) error {
	if d.cert != "" {
		return d.web.ServeTLS(l, d.cert, d.key)
	}
	return d.web.Serve(l)
}

func (d *doors) shut(ctx context.Context) error {
	d.mu.Lock()
	web := d.web
	d.mu.Unlock()
	return web.Shutdown(ctx) // it closes every listener
}

// follows is how often a network that changes is looked at.
const follows = 5 * time.Second

// opener lets other devices in and, until ctx ends, watches whether this machine is carried into another network; nil where it
// listens on all its addresses already.
func (d *doors) opener(ctx context.Context) func() error {
	if !d.local() {
		return nil
	}
	var once sync.Once
	return func() error {
		if err := d.open(); err != nil {
			return err
		}
		once.Do(func() {
			go func() {
				tick := time.NewTicker(follows)
				defer tick.Stop()
				for {
					select {
					case <-ctx.Done():
						return
					case <-tick.C:
						d.follow()
					}
				}
			}()
		})
		return nil
	}
}

// open listens on every address that this machine has in its own network and does not listen on yet, and leaves those it has no
// more. A port that another program has there gives way to a free one.
func (d *doors) open() error {
	d.mu.Lock()
	defer d.mu.Unlock()
	own := d.own()
	if err := d.listen(own); err != nil {
		return err
	}
	d.let, d.moved = d.places(own), false
	return nil
}

// places are where this machine stands in its own networks: an address, or of IPv6, where addresses come and go, the network.
func (d *doors) places(own []netip.Addr) []netip.Prefix {
	var out []netip.Prefix
	for _, a := range own {
		if !d.mine(a) {
			continue
		}
		bits := a.BitLen()
		if a.Is6() {
			bits = 64
		}
		p, _ := a.Prefix(bits)
		out = append(out, p)
	}
	return out
}

// follow looks after the doors while they are open. Away from the network for a while they open again by themselves; in another
// one, which nobody has said a word about, they shut.
func (d *doors) follow() {
	d.mu.Lock()
	defer d.mu.Unlock()
	if d.let == nil {
		return
	}
	own := d.own()
	for _, p := range d.places(own) {
		if !slices.Contains(d.let, p) {
			d.shutOut()
			d.moved = true
			return
		}
	}
	_ = d.listen(own)
}

// closeAgain shuts other devices out.
func (d *doors) closeAgain() error {
	d.mu.Lock()
	defer d.mu.Unlock()
	d.shutOut()
	d.moved = false
	return nil
}

func (d *doors) shutOut() {
	for a, l := range d.more {
		_ = l.Close()
		delete(d.more, a)
	}
	d.let = nil
}

// listen listens on what of its own a machine does not listen on yet.
func (d *doors) listen(own []netip.Addr) error {
	for a, l := range d.more {
		if !slices.Contains(own, a) {
			_ = l.Close()
			delete(d.more, a)
		}
	}
	var failed error
	for _, a := range own {
		if !d.mine(a) || d.more[a] != nil {
			continue
		}
		l, err := net.Listen("tcp", net.JoinHostPort(a.String(), fmt.Sprint(d.here().Port)))
		if err != nil {
			l, err = net.Listen("tcp", net.JoinHostPort(a.String(), "0"))
		}
		if err != nil {
			failed = errors.Join(failed, err)
			continue
		}
		d.more[a] = l
		go func() { _ = d.answer(l) }()
	}
	switch {
	case len(d.more) > 0:
		return nil
	case failed != nil:
		return fmt.Errorf("no address of this computer could be opened: %w", failed)
	}
	return errors.New("this computer is in no network of its own: join the one your phone is in, then try again")
}
