package file

import (
	"fmt"
	"strings"
	"unicode/utf8"
)

// Limits of a file. The largest shop tried, forty machines on six systems, is 60 kB and 9 levels deep.
const (
	maxBytes = 4 << 20
	maxDepth = 40
)

const byteOrderMark = "\ufeff"

// Pos is a place in the text. Both count from 1; Column counts characters, not bytes.
type Pos struct{ Line, Column int }

func (p Pos) before(q Pos) bool {
	return p.Line < q.Line || p.Line == q.Line && p.Column < q.Column
}

// text is the source with its lines.
type text struct {
	src   string
	lines []int // byte offset at which each line starts
}

func newText(src string) *text {
	t := &text{src: src, lines: make([]int, 1, 1+strings.Count(src, "\n"))}
	if strings.HasPrefix(src, byteOrderMark) {
		t.lines[0] = len(byteOrderMark) // it is no character of the first line
	}
	for i := 0; ; {
		n := strings.IndexByte(src[i:], '\n')
		if n < 0 {
			return t
		}
		i += n + 1
		t.lines = append(t.lines, i)
	}
}

// offset of a place; places past the end of a line or of the file are brought back to it.
func (t *text) offset(p Pos) int { return t.seek(new(cursor), p) }

// cursor remembers a place and its offset. Places are mostly asked for in the order of the file, and counting the
// characters of a long line from its start each time would take for ever.
type cursor struct {
	Pos
	offset int
}

// seek is the offset of a place, counted from the last one asked for; the cursor is then at the place, or as near as
// there is one.
func (t *text) seek(c *cursor, p Pos) int {
	switch {
	case p.Line < 1:
		p = Pos{1, 1}
	case p.Line > len(t.lines):
		p = Pos{len(t.lines), 1 << 30}
	}
	if c.Line != p.Line || c.Column > p.Column {
		*c = cursor{Pos{p.Line, 1}, t.lines[p.Line-1]}
	}
	i, end := c.offset, t.lineEnd(p.Line)
	n := c.Column
	for ; n < p.Column && i < end; n++ {
		if t.src[i] < utf8.RuneSelf {
			i++
			continue
		}
		_, w := utf8.DecodeRuneInString(t.src[i:])
		i += w
	}
	c.Column, c.offset = n, i
	return i
}

// line number of an offset.
func (t *text) line(offset int) int {
	lo, hi := 0, len(t.lines)
	for hi-lo > 1 {
		if mid := (lo + hi) / 2; t.lines[mid] <= offset {
			lo = mid
		} else {
			hi = mid
		}
	}
	return lo + 1
}

// pos is the place of an offset.
func (t *text) pos(offset int) Pos {
	l := t.line(offset)
	start := min(t.lines[l-1], offset)
	return Pos{Line: l, Column: 1 + utf8.RuneCountInString(t.src[start:offset])}
}

// lineEnd is the offset at which the text of a line ends, before its line break.
func (t *text) lineEnd(line int) int {
	end := len(t.src)
	if line < len(t.lines) {
		end = t.lines[line] - 1
		if end > t.lines[line-1] && t.src[end-1] == '\r' {
			end--
		}
	}
	return end
}

// lineText is one line without its break.
func (t *text) lineText(line int) string {
	if line < 1 || line > len(t.lines) {
		return ""
	}
	return t.src[t.lines[line-1]:t.lineEnd(line)]
}

// foreign refuses bytes that are no shop file before any of them is read as YAML. It answers at the first trouble of
// each kind, so that a picture saved under a wrong name does not give a thousand faults.
func foreign(src []byte) []Fault {
	if len(src) > maxBytes {
		return []Fault{{
			Code: TooBig, Pos: Pos{1, 1},
			What: fmt.Sprintf("the file has %s bytes, and a shop file may have %s", thousands(len(src)), thousands(maxBytes)),
			Cure: "Is this the shop file? What is measured second by second does not belong in it.",
		}}
	}
	if name := wide(src); name != "" {
		return []Fault{{
			Code: NotUTF8, Pos: Pos{1, 1},
			What: "the file is saved as " + name + ", and UTF-8 is needed",
			Cure: "Save it again as UTF-8 (in the editor: Save as, Encoding).",
		}}
	}
	var faults []Fault
	seen := map[*Code]bool{}
	t := newText(string(src))
	add := func(i int, c *Code, what, cure string) {
		if !seen[c] {
			seen[c] = true
			faults = append(faults, Fault{Code: c, Pos: t.pos(i), What: what, Cure: cure, span: 1})
		}
	}
	for i := 0; i < len(t.src); {
		c := t.src[i]
		if c >= ' ' && c < 0x7f || c == '\n' || c == '\t' {
			i++
			continue
		}
		if c == '\r' && i+1 < len(t.src) && t.src[i+1] == '\n' {
			i++
			continue
		}
		r, w := utf8.DecodeRuneInString(t.src[i:])
		switch {
		case r == utf8.RuneError && w == 1:
			add(i, NotUTF8, fmt.Sprintf("byte %d of the file is not UTF-8", i+1), "Save the file again as UTF-8 (in the editor: Save as, Encoding).")
		case r == 0:
			add(i, NulByte, "a zero byte stands here, and text has none", "Is this the shop file? If it is, delete the character.")
		case r == '\r':
			add(i, OddCharacter, "a line ends the way very old computers ended theirs", "Save the file again with line ends LF or CRLF.")
		case r == '\ufeff' && i == 0:
		case r < ' ' || r >= 0x7f && r < 0xa0 || r == '\u2028' || r == '\u2029' || r == '\ufeff':
			add(i, OddCharacter, fmt.Sprintf("a character nobody can see stands here (U+%04X)", r), "Delete it; it often comes along when text is copied from a page.")
		}
		i += w
	}
	return faults
}

// wide recognises the two-byte encodings some editors save in.
func wide(src []byte) string {
	if len(src) < 2 {
		return ""
	}
	switch {
	case src[0] == 0xff && src[1] == 0xfe, src[0] != 0 && src[1] == 0:
		return "UTF-16 (little end first)"
	case src[0] == 0xfe && src[1] == 0xff, src[0] == 0 && src[1] != 0:
		return "UTF-16 (big end first)"
	}
	return ""
}

func thousands(n int) string {
	s := fmt.Sprint(n)
	for i := len(s) - 3; i > 0; i -= 3 {
		s = s[:i] + "," + s[i:]
	}
	return s
}
