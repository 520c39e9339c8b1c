package typical

import (
	"embed"
	"fmt"
	"strings"

	"winnow/internal/unit"
)

// The tables are plain text so that anyone of the trade can read and correct them:
//
//	# a remark
//	[class name]                                  opens an entry
//	key | best | low to high | S-120 | a remark   one value of it
//
//go:embed data/*.txt
var data embed.FS

// line is one value of an entry.
type line struct {
	key  string
	cols []string
	no   int
	read bool // a key nobody reads is a misspelt one
}

func (l *line) col(i int) string {
	if i < len(l.cols) {
		return l.cols[i]
	}
	return ""
}

// entry is one block of a table.
type entry struct {
	class, name, file string
	no                int
	lines             []*line
	parts             []*entry // what hangs on it: ports and setups of a machine
}

// partOf says which classes hang on the entry above them.
var partOf = map[string]bool{"port": true, "setup": true}

// entries reads one table. The tables are ours, so a mistake in them panics with its place.
func entries(file string) []*entry {
	src, err := data.ReadFile("data/" + file)
	if err != nil {
		panic(err)
	}
	var all []*entry
	var open *entry
	for no, text := range strings.Split(string(src), "\n") {
		text = strings.TrimSpace(text)
		switch {
		case text == "" || text[0] == '#':
		case text[0] == '[':
			open = heading(file, no+1, text)
			if partOf[open.class] {
				owner := all[len(all)-1]
				owner.parts = append(owner.parts, open)
				continue
			}
			all = append(all, open)
		default:
			cols := strings.Split(text, "|")
			for i := range cols {
				cols[i] = strings.TrimSpace(cols[i])
			}
			if open == nil {
				open = &entry{file: file}
				all = append(all, open)
			}
			open.lines = append(open.lines, &line{key: cols[0], cols: cols[1:], no: no + 1})
		}
	}
	return all
}

func heading(file string, no int, text string) *entry {
	class, name, _ := strings.Cut(strings.Trim(text, "[]"), " ")
	return &entry{class: class, name: name, file: file, no: no}
}

// inherit takes over what e does not say from the entry it is like. Spellings, remarks and parts of the same class are its own.
func (e *entry) inherit(from *entry) {
	for _, l := range from.lines {
		switch l.key {
		case "also", "about", "like":
			continue
		}
		if e.line(l.key) == nil {
			copied := *l
			e.lines = append(e.lines, &copied)
		}
	}
	for class := range partOf {
		if len(e.partsOf(class)) == 0 {
			for _, p := range from.partsOf(class) {
				copied := *p
				e.parts = append(e.parts, &copied)
			}
		}
	}
}

func (e *entry) partsOf(class string) []*entry {
	var out []*entry
	for _, p := range e.parts {
		if p.class == class {
			out = append(out, p)
		}
	}
	return out
}

func (e *entry) line(key string) *line {
	for _, l := range e.lines {
		if l.key == key {
			return l
		}
	}
	return nil
}

func (e *entry) all(key string) []*line {
	var out []*line
	for _, l := range e.lines {
		if l.key == key {
			l.read = true
			out = append(out, l)
		}
	}
	return out
}

func (e *entry) bad(no int, format string, args ...any) {
	panic(fmt.Sprintf("typical: data/%s:%d [%s %s]: %s", e.file, no, e.class, e.name, fmt.Sprintf(format, args...)))
}

// text is the best column of a key, "" where it is not there.
func (e *entry) text(key string) string {
	if l := e.line(key); l != nil {
		l.read = true
		return l.col(0)
	}
	return ""
}

// list is a comma-separated key.
func (e *entry) list(key string) []string {
	return split(e.text(key))
}

func split(text string) []string {
	var out []string
	for _, w := range strings.Split(text, ",") {
		if w = strings.TrimSpace(w); w != "" {
			out = append(out, w)
		}
	}
	return out
}

// done complains of a key that was never read.
func (e *entry) done() {
	for _, l := range e.lines {
		if !l.read {
			e.bad(l.no, "nobody reads %q", l.key)
		}
	}
}

// need is an amount that must be there.
func need[T unit.Real](b *book, e *entry, key string) unit.Amount[T] {
	a, ok := have[T](b, e, key)
	if !ok {
		e.bad(e.no, "%q is missing", key)
	}
	return a
}

// have is an amount that may be there.
func have[T unit.Real](b *book, e *entry, key string) (unit.Amount[T], bool) {
	l := e.line(key)
	if l == nil {
		return unit.Amount[T]{}, false
	}
	l.read = true
	return read[T](b, e, l, 0), true
}

// read makes an amount of the columns best, range, source from column `from` on.
func read[T unit.Real](b *book, e *entry, l *line, from int) unit.Amount[T] {
	best, err := unit.Parse[T](l.col(from))
	if err != nil || best.Basis != unit.Given {
		e.bad(l.no, "%q: %v", l.col(from), err)
	}
	a := unit.Amount[T]{Best: best.Best, Low: best.Best, High: best.Best, Basis: unit.Assumed}
	if text := l.col(from + 1); text != "" {
		a.Low, a.High = ends[T](e, l, text)
	}
	if a.Low > a.Best || a.Best > a.High {
		e.bad(l.no, "%s is outside %s", l.col(from), l.col(from+1))
	}
	if id := l.col(from + 2); id != "" {
		s, ok := b.sources[id]
		if !ok {
			e.bad(l.no, "no source %q", id)
		}
		a.Source = s.String()
	}
	return a
}

// ends reads "300 to 400 cfm"; unlike the shop file it lets both ends be the same, or zero.
func ends[T unit.Real](e *entry, l *line, text string) (low, high T) {
	left, right, ok := strings.Cut(text, " to ")
	if !ok {
		e.bad(l.no, "%q is no range", text)
	}
	h, err := unit.Parse[T](right)
	if err != nil {
		e.bad(l.no, "%q: %v", right, err)
	}
	lo, err := unit.Parse[T](left)
	if err != nil {
		if lo, err = unit.Parse[T](left + right[numberEnd(right):]); err != nil {
			e.bad(l.no, "%q: %v", left, err)
		}
	}
	return lo.Best, h.Best
}

// numberEnd is where the number that starts text ends: 2 1/2 in at "in", 2 /h at "/h".
func numberEnd(text string) int {
	end := 0
	for i := range len(text) {
		c := text[i]
		switch {
		case c >= '0' && c <= '9' || c == '.':
			end = i + 1
		case c == '/' && end == i && i+1 < len(text) && text[i+1] >= '0' && text[i+1] <= '9', c == ' ':
		default:
			return end
		}
	}
	return end
}
