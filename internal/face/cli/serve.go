package cli

import (
	"bufio"
	"context"
	"crypto/tls"
	"errors"
	"fmt"
	"io"
	"log/slog"
	"net"
	"net/http"
	"os"
	"os/exec"
	"os/signal"
	"path/filepath"
	"runtime"
	"strings"
	"syscall"
	"time"

	"github.com/spf13/cobra"
	"golang.org/x/term"

	"winnow/internal/face/server"
	"winnow/internal/live/desk"
)

func serveCommand(e *env) *cobra.Command {
	var addr, cert, key string
	var open, passphrase bool
	cmd := &cobra.Command{
		Use:   "serve [FILE]",
		Short: "open the page: the shop on its floor, to see and to try",
		Long: `serve shows the shop file in a browser. It listens on this machine only, until its page lets a phone in or
--addr says otherwise; other devices are asked for a passphrase (set it with --passphrase, or on the page of this machine). No
request ever goes out to the internet. Without FILE it opens shop.yaml in this folder, and begins it with a few questions on the
page if there is none.`,
		Example: "  winnow serve shop.yaml --open\n  winnow serve shop.yaml --addr 0.0.0.0:8420 --passphrase",
		Args: func(cmd *cobra.Command, args []string) error {
			if len(args) > 1 {
				return badInput("%s wants one shop file, not %d: %s", cmd.CommandPath(), len(args), cmd.UseLine())
			}
			return nil
		},
		RunE: func(cmd *cobra.Command, args []string) error {
			path := "shop.yaml"
			if len(args) == 1 {
				path = args[0]
			} else if err := begin(path); err != nil {
				return err
			}
			d, err := desk.Open(path, time.Now)
			if err != nil {
				return badInput("%v", err)
			}
			ctx, stop := signal.NotifyContext(cmd.Context(), os.Interrupt, syscall.SIGTERM)
			defer stop()
			return serve(ctx, e, d, serveOptions{addr, cert, key, open, passphrase})
		},
	}
	cmd.Flags().StringVar(&addr, "addr", "127.0.0.1:8420", "address and port to listen on; port 0 takes a free one")
	cmd.Flags().StringVar(&cert, "tls-cert", "", "certificate file, for https")
	cmd.Flags().StringVar(&key, "tls-key", "", "its key file")
	cmd.Flags().BoolVar(&open, "open", false, "open the browser")
	cmd.Flags().BoolVar(&passphrase, "passphrase", false, "set the passphrase for other devices, on this terminal")
	return cmd
}

// firstFile is the file of somebody who has none yet; the page asks its questions while there is no machine in it.
const firstFile = "# Begun by winnow serve. docs/shop-file.md says what may stand here.\n\nwinnow: 1\nname: my shop\n"

// begin makes the first file where there is none.
func begin(path string) error {
	err := desk.Create(path, []byte(firstFile))
	if err == nil || errors.Is(err, os.ErrExist) {
		return nil
	}
	return badInput("%v", err)
}

type serveOptions struct {
	addr, cert, key  string
	open, passphrase bool
}

func serve(ctx context.Context, e *env, d *desk.Desk, o serveOptions) error {
	if (o.cert == "") != (o.key == "") {
		return badInput("--tls-cert and --tls-key belong together: name both files, or neither")
	}
	hash, err := passphraseHash(e, d, o.passphrase)
	if err != nil {
		return err
	}
	if o.cert != "" {
		if _, err := tls.LoadX509KeyPair(o.cert, o.key); err != nil {
			return badInput("the certificate cannot be used: %v", err)
		}
	}
	listener, err := net.Listen("tcp", o.addr)
	if err != nil {
		return badInput("%s cannot be listened on: %v\nAnother program may have it: try --addr 127.0.0.1:0", o.addr, err)
	}
	doors := newDoors(listener, o.cert, o.key)
	if !doors.local() && len(hash) == 0 {
		listener.Close()
		return badInput("%s is open to other devices, so a passphrase is needed: add --passphrase", o.addr)
	}
	s := server.New(server.Options{
		Desk: d, Version: Version, First: firstText, Log: slog.New(slog.NewTextHandler(e.err, nil)), Passphrase: hash,
		Keep: func(hash []byte) error { return keepPassphrase(d, hash) }, Reach: doors.reach, Open: doors.opener(ctx), Shut: doors.closeAgain,
	})
	go s.Watch(ctx)
	fmt.Fprintln(e.out, doors.address())
	if phone := doors.reach().Phone; phone != "" {
		fmt.Fprintf(e.out, "on other devices: %s\n", phone)
		if o.cert == "" {
			fmt.Fprintln(e.err, "winnow: without --tls-cert the passphrase and everything else cross your network in clear")
		}
	}
	if o.open {
		openBrowser(doors.address())
	}
	done := doors.serve(s.HTTP())
	select {
	case err = <-done:
	case <-ctx.Done():
		s.Close()
		rest, cancel := context.WithTimeout(context.Background(), 5*time.Second)
		defer cancel()
		err = doors.shut(rest)
	}
	if errors.Is(err, http.ErrServerClosed) {
		return nil
	}
	return err
}

// passphraseHash is what is kept of the passphrase, in the shop's own folder; set anew where asked.
func passphraseHash(e *env, d *desk.Desk, set bool) ([]byte, error) {
	file := passphraseFile(d)
	if set {
		words, err := askPassphrase(e)
		if err != nil {
			return nil, err
		}
		hash := server.Hash(words)
		if err := keepPassphrase(d, hash); err != nil {
			return nil, badInput("the passphrase cannot be kept: %v", err)
		}
		return hash, nil
	}
	text, err := os.ReadFile(file)
	if errors.Is(err, os.ErrNotExist) {
		return nil, nil
	}
	if err != nil {
		return nil, badInput("the passphrase cannot be read: %v", err)
	}
	hash, err := server.ParseHash(string(text))
	if err != nil { // on this machine alone none is needed; for others serve says that there is none
		fmt.Fprintf(e.err, "winnow: %s: %v; set a new one with --passphrase\n", file, err)
		return nil, nil
	}
	return hash, nil
}

func passphraseFile(d *desk.Desk) string { return filepath.Join(desk.Folder(d.Path()), "passphrase") }

func keepPassphrase(d *desk.Desk, hash []byte) error {
	return keepPrivate(passphraseFile(d), server.HashText(hash))
}

// keepPrivate writes a file that only its owner may read, whole or not at all.
func keepPrivate(file, text string) error {
	if err := os.MkdirAll(filepath.Dir(file), 0o755); err != nil {
		return err
	}
	temp, err := os.CreateTemp(filepath.Dir(file), ".passphrase-*") // made with mode 0600
	if err != nil {
		return err
	}
	defer os.Remove(temp.Name())
	_, err = temp.WriteString(text)
	if err = errors.Join(err, temp.Sync(), temp.Close()); err != nil {
		return err
	}
	return os.Rename(temp.Name(), file)
}

func askPassphrase(e *env) (string, error) {
	fmt.Fprint(e.err, "Passphrase for other devices (four words will do): ")
	var words string
	if f, ok := e.in.(*os.File); ok && term.IsTerminal(int(f.Fd())) {
		typed, err := term.ReadPassword(int(f.Fd()))
		if err != nil {
			return "", badInput("the passphrase could not be read: %v", err)
		}
		fmt.Fprintln(e.err)
		words = string(typed)
	} else {
		line, err := bufio.NewReader(io.LimitReader(e.in, 1024)).ReadString('\n')
		if err != nil && line == "" {
			return "", badInput("no passphrase was given")
		}
		words = line
	}
	words = strings.TrimSpace(words)
	if err := server.CheckPassphrase(words); err != nil {
		return "", badInput("%v", err)
	}
	return words, nil
}

// openBrowser asks the system to; if it cannot, the address has been printed.
func openBrowser(address string) {
	name, args := "xdg-open", []string{address}
	switch runtime.GOOS {
	case "darwin":
		name = "open"
	case "windows":
		name, args = "rundll32", []string{"url.dll,FileProtocolHandler", address}
	}
	cmd := exec.Command(name, args...)
	if cmd.Start() == nil {
		go func() { _ = cmd.Wait() }()
	}
}
