// Package web carries the built page inside the binary. It refuses to know what the page says. `npm run build` in this
// folder fills dist; before that the server tells what is missing. Start reading at src/main.ts.
package web

import "embed"

// Dist is the built page.
//
//go:embed all:dist
var Dist embed.FS
