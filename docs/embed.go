// Package docs carries the chapters an owner reads inside the binary, so that the handbook on the page is the one in the
// repository. It refuses to know how they are shown; face/server turns them into pages. Start reading at getting-started.md.
package docs

import "embed"

// Chapters are the texts and their pictures. How the code is built is not among them.
//
//go:embed air.md desk.md gates.md getting-started.md numbers.md page.md power.md shop-file.md sources.md words.md sources/*.md pictures/*.png
var Chapters embed.FS
