// Package server lets a browser see and change one shop: it answers what a change would do (look), commits edits, tells
// every open page of new revisions, and serves the page itself.
//
// It refuses to compute or draw anything of its own: numbers come from the studies, lines from shop/plan, revisions from
// live/desk. By itself it listens on this machine only. Start reading at New, then look.go.
package server
