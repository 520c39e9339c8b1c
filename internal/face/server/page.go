package server

import (
	"bytes"
	"crypto/rand"
	"encoding/base64"
	"fmt"
	"io/fs"
	"net/http"
	"path"
	"strings"

	"winnow/web"
)

// noPage is what is shown where the binary was built without the page.
const noPage = `<!doctype html><meta charset="utf-8"><title>Winnow</title>
<p>This winnow was built without its page. Build it with <code>go run ./dev run</code> (which needs Node), or ask for
numbers on the command line: <code>winnow check FILE</code>.</p>`

// page serves the built page. index.html gets a fresh nonce, so that the text editor's styles may load and nothing else may.
func (s *Server) page() http.Handler {
	dist, err := fs.Sub(web.Dist, "dist")
	if err != nil {
		panic(err)
	}
	files := http.FileServerFS(dist)
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		name := strings.TrimPrefix(path.Clean(r.URL.Path), "/")
		if name == "" || !strings.Contains(path.Base(name), ".") {
			index(w, dist)
			return
		}
		if strings.HasPrefix(name, "assets/") {
			w.Header().Set("Cache-Control", "public, max-age=31536000, immutable") // their names hold a hash of their content
		} else {
			w.Header().Set("Cache-Control", "no-cache")
		}
		files.ServeHTTP(w, r)
	})
}

func index(w http.ResponseWriter, dist fs.FS) {
	nonce := make([]byte, 18)
	_, _ = rand.Read(nonce)
	n := base64.RawURLEncoding.EncodeToString(nonce)
	h := w.Header()
	h.Set("Content-Type", "text/html; charset=utf-8")
	h.Set("Cache-Control", "no-cache")
	h.Set("Content-Security-Policy", fmt.Sprintf("default-src 'none'; script-src 'self' 'nonce-%[1]s'; style-src 'self' 'nonce-%[1]s'; "+
		"img-src 'self' data:; font-src 'self'; connect-src 'self'; manifest-src 'self'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'", n))
	text, err := fs.ReadFile(dist, "index.html")
	if err != nil {
		text = []byte(noPage)
	}
	_, _ = w.Write(bytes.ReplaceAll(text, []byte("NONCE"), []byte(n)))
}
