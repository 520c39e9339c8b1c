package cli

import (
	"bytes"
	"io"
	"unicode"
)

// calm writes text that cannot take over a terminal: what a shop file or a file's name says may hold control characters, and
// some of them move the cursor, change the window's title or type. They are shown as �; line ends and tabs pass.
// JSON is left as it is: it has none.
type calm struct{ w io.Writer }

func (c calm) Write(p []byte) (int, error) {
	shown := bytes.Map(func(r rune) rune {
		if unicode.IsControl(r) && r != '\n' && r != '\t' {
			return unicode.ReplacementChar
		}
		return r
	}, p)
	if _, err := c.w.Write(shown); err != nil {
		return 0, err
	}
	return len(p), nil
}
