package report

import (
	"bytes"
	"encoding/xml"
	"fmt"
	"strconv"
	"strings"
)

// pen draws on a sheet in millimetres.
type pen struct{ b bytes.Buffer }

// mm writes a length: a hundredth of a millimetre is finer than any printer.
func mm(v float64) string {
	return strings.TrimSuffix(strings.TrimRight(strconv.FormatFloat(v, 'f', 2, 64), "0"), ".")
}

func escaped(s string) string {
	var b bytes.Buffer
	_ = xml.EscapeText(&b, []byte(s))
	return b.String()
}

// line draws along points.
func (p *pen) line(class string, points ...float64) {
	p.b.WriteString(`<path class="` + class + `" d="`)
	for i := 0; i+1 < len(points); i += 2 {
		step := "L"
		if i == 0 {
			step = "M"
		}
		p.b.WriteString(step + mm(points[i]) + " " + mm(points[i+1]))
	}
	p.b.WriteString("\"/>\n")
}

func (p *pen) rect(class string, x, y, w, h float64) {
	fmt.Fprintf(&p.b, "<rect class=%q x=%q y=%q width=%q height=%q/>\n", class, mm(x), mm(y), mm(w), mm(h))
}

func (p *pen) dot(x, y, r float64) {
	fmt.Fprintf(&p.b, "<circle class=\"dot\" cx=%q cy=%q r=%q/>\n", mm(x), mm(y), mm(r))
}

// begin groups what is drawn until end under a title, which a pointer or a screen reader says.
func (p *pen) begin(title string) { p.b.WriteString("<g><title>" + escaped(title) + "</title>\n") }
func (p *pen) end()               { p.b.WriteString("</g>\n") }

// words writes lines of text one under the other; y is the base line of the first.
func (p *pen) words(class string, x, y, step float64, lines ...string) {
	for i, l := range lines {
		fmt.Fprintf(&p.b, "<text class=%q x=%q y=%q>%s</text>\n", class, mm(x), mm(y+float64(i)*step), escaped(l))
	}
}

// widthOf is how wide a text of this size is, a little on the wide side: which letters the reader's machine has is not known.
func widthOf(s string, size float64, bold bool) float64 {
	w := 0.0
	for _, r := range s {
		switch {
		case strings.ContainsRune("ijlI.,;:'!|()[]", r), r == ' ':
			w += 0.30
		case strings.ContainsRune("mwMW@%", r):
			w += 0.90
		case r >= 'A' && r <= 'Z':
			w += 0.70
		default:
			w += 0.57
		}
	}
	if bold {
		w *= 1.07
	}
	return w * size
}

// wrap breaks a text into lines no wider than width. A word that is wider than a line has one of its own, and a number keeps its
// unit.
func wrap(s string, size, width float64, bold bool) []string {
	var lines []string
	now := ""
	all := strings.Fields(s)
	for i, word := range all {
		if i > 0 && isNumber(all[i-1]) {
			continue // written with it
		}
		if i+1 < len(all) && isNumber(word) {
			word += " " + all[i+1]
		}
		next := strings.TrimSpace(now + " " + word)
		if now != "" && widthOf(next, size, bold) > width {
			lines, now = append(lines, now), word
			continue
		}
		now = next
	}
	if now != "" {
		lines = append(lines, now)
	}
	return lines
}

func isNumber(s string) bool {
	_, err := strconv.ParseFloat(s, 64)
	return err == nil
}
