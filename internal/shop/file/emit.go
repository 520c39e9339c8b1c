package file

import (
	"fmt"
	"strings"
	"unicode"

	"winnow/internal/shop"
)

// widest line an edit writes; what is wider goes on lines of its own where it may.
const (
	lineWidth = 110
	itemWidth = 160
)

// needsQuotes: without quotes the text would be read as something else.
func needsQuotes(s string, inFlow bool) bool {
	if s == "" || strings.TrimSpace(s) != s || s == "<<" || s == "=" || strings.HasPrefix(s, "---") || strings.HasPrefix(s, "...") {
		return true
	}
	if trapWords[s] != "" || clock.MatchString(s) {
		return true
	}
	switch c := s[0]; {
	case strings.IndexByte(",[]{}#&*!|>'\"%@`", c) >= 0:
		return true
	case c == '-' || c == '?' || c == ':':
		if len(s) == 1 || s[1] == ' ' || inFlow && strings.IndexByte(",[]{}", s[1]) >= 0 {
			return true
		}
	}
	if strings.Contains(s, ": ") || strings.HasSuffix(s, ":") || strings.Contains(s, " #") || inFlow && strings.ContainsAny(s, ",[]{}") {
		return true
	}
	return strings.ContainsFunc(s, hidden)
}

// hidden signs are written as escapes only.
func hidden(r rune) bool {
	return r < ' ' || r >= 0x7f && r <= 0xa0 || r == '\u2028' || r == '\u2029' || r == '\ufeff' || r == unicode.ReplacementChar
}

// scalarText writes a text, in quotes where it needs them. quote is the mark it had before, 0 for none.
func scalarText(s string, inFlow bool, quote byte) string {
	if quote == 0 && !needsQuotes(s, inFlow) {
		return s
	}
	if strings.ContainsFunc(s, hidden) || quote != '\'' && !strings.ContainsAny(s, "\"\\") {
		return doubleQuoted(s)
	}
	return "'" + strings.ReplaceAll(s, "'", "''") + "'"
}

func doubleQuoted(s string) string {
	var b strings.Builder
	b.WriteByte('"')
	for _, r := range s {
		switch {
		case r == '"' || r == '\\':
			b.WriteByte('\\')
			b.WriteRune(r)
		case r == '\n':
			b.WriteString(`\n`)
		case r == '\t':
			b.WriteString(`\t`)
		case hidden(r):
			fmt.Fprintf(&b, `\u%04X`, r)
		default:
			b.WriteRune(r)
		}
	}
	b.WriteByte('"')
	return b.String()
}

// flowText writes a value on one line, fit for inside brackets.
func flowText(v *shop.Value) string {
	var b strings.Builder
	writeFlow(&b, v, true)
	return b.String()
}

func writeFlow(b *strings.Builder, v *shop.Value, inFlow bool) {
	switch v.Kind {
	case shop.List:
		b.WriteByte('[')
		for i := range v.Items {
			if i > 0 {
				b.WriteString(", ")
			}
			writeFlow(b, &v.Items[i], true)
		}
		b.WriteByte(']')
	case shop.Map:
		b.WriteByte('{')
		for i := range v.Items {
			if i > 0 {
				b.WriteString(", ")
			}
			b.WriteString(scalarText(v.Keys[i], true, 0))
			b.WriteString(": ")
			writeFlow(b, &v.Items[i], true)
		}
		b.WriteByte('}')
	default:
		b.WriteString(scalarText(v.Text, inFlow, 0))
	}
}

// lineText writes a value to stand at a column (from 0) outside brackets: on one line if it fits, else "".
func lineText(v *shop.Value, column int) string {
	var b strings.Builder
	writeFlow(&b, v, false)
	s := b.String()
	if v.Kind != shop.Scalar && len(v.Items) > 0 && column+len([]rune(s)) > lineWidth {
		return ""
	}
	return s
}

// itemText is lineText for an item of a list. A map keeps its braces much longer there: a piece or an edit reads as one line.
func itemText(v *shop.Value, column int) string {
	if s := flowText(v); v.Kind == shop.Map && column+len([]rune(s)) <= itemWidth {
		return s
	}
	return lineText(v, column)
}

// blockLines writes a list or map over several lines, each set in by indent spaces.
func blockLines(v *shop.Value, indent int) []string {
	pad := strings.Repeat(" ", indent)
	var lines []string
	for i := range v.Items {
		head := pad + "- "
		if v.Kind == shop.Map {
			head = pad + scalarText(v.Keys[i], false, 0) + ":"
		}
		item := &v.Items[i]
		text := itemText
		if v.Kind == shop.Map {
			text = lineText
		}
		if s := text(item, len([]rune(head))); s != "" {
			if v.Kind == shop.Map {
				head += " "
			}
			lines = append(lines, head+s)
			continue
		}
		inner := blockLines(item, indent+2)
		if v.Kind == shop.Map {
			lines = append(append(lines, head), inner...)
			continue
		}
		lines = append(lines, head+strings.TrimLeft(inner[0], " "))
		lines = append(lines, inner[1:]...)
	}
	return lines
}
