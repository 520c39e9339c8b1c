// Package file reads and writes the shop file: YAML to shop with every fault and its place, and edits back into the
// text so that only what was edited changes.
//
// It refuses to know disk (bytes in, bytes out), typical values and every study. Whatever the file may say is said by
// the `key` tags of package shop; this package holds no key of its own but a few checks that no tag can say.
//
// Start reading at Parse, then decoder, then Doc.Try and Doc.Apply.
package file
