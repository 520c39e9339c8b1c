package cli

import (
	"bytes"
	"io"
	"strings"
	"unicode"
	"unicode/utf8"
)

// calm writes text that cannot take over a terminal, and that breaks where a reader would break it.
//
// What a shop file or a file's name says may hold control characters, and some of them move the cursor, change the window's title
// or type. They are shown as �; line ends and tabs pass. Where width is set, lines longer than it are folded between columns or
// words, further in than they began. A write is folded by itself: a line must come in one write.
type calm struct {
	w     io.Writer
	width int // columns of the terminal; 0 where nothing is to be folded
}

func (c *calm) Write(p []byte) (int, error) {
	shown := bytes.Map(func(r rune) rune {
		if unicode.IsControl(r) && r != '\n' && r != '\t' {
			return unicode.ReplacementChar
		}
		return r
	}, p)
	if c.width > 0 {
		lines := strings.Split(string(shown), "\n")
		for i, line := range lines {
			lines[i] = fold(line, c.width)
		}
		shown = []byte(strings.Join(lines, "\n"))
	}
	if _, err := c.w.Write(shown); err != nil {
		return 0, err
	}
	return len(p), nil
}

// fold breaks a line that is too long for the width: between columns if there is such a gap in its second half, else between
// words. A word that is longer than a line stays whole.
func fold(line string, width int) string {
	const further = 4
	begin := len(line) - len(strings.TrimLeft(line, " "))
	indent := strings.Repeat(" ", min(begin+further, width/2))
	var b strings.Builder
	for rest := line; ; {
		at := foldAt(rest, width)
		if at < 0 {
			b.WriteString(rest)
			return b.String()
		}
		b.WriteString(strings.TrimRight(rest[:at], " ") + "\n")
		rest = indent + strings.TrimLeft(rest[at:], " ")
	}
}

// foldAt is the byte at which to break, -1 where the line fits or has no place for it.
func foldAt(line string, width int) int {
	if utf8.RuneCountInString(strings.TrimRight(line, " ")) <= width {
		return -1
	}
	word, gap := -1, -1
	text, column := false, 0 // text: past the indent
	for i, r := range line {
		if column > width && word >= 0 {
			break
		}
		column++
		if r != ' ' {
			text = true
			continue
		}
		if text && strings.TrimSpace(line[i:]) != "" {
			word = i
			if strings.HasPrefix(line[i:], "  ") && column > width/2 {
				gap = i
			}
		}
	}
	if gap >= 0 {
		// The gap's beginning, not its last two spaces.
		return len(strings.TrimRight(line[:gap], " "))
	}
	return word
}
