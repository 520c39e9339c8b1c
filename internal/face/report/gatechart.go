package report

import (
	"fmt"
	"slices"
)

// GateChart is the chart for working by hand, as one pins it to the wall: a row for each machine, a column for each gate, and
// the signs of the page's floor.
type GateChart struct {
	Title   string
	First   string // the answer in one sentence
	Rule    string // what goes for every row
	Heads   GateHeads
	Signs   GateSigns
	Tables  []GateTable
	Notes   []string
	Caution string
}

// GateHeads are the words over the columns beside the gates.
type GateHeads struct{ Machine, Carry, Start, Wait string }

// GateSigns are the words for the signs.
type GateSigns struct{ Open, Shut, Unknown, Rests, ByHand string }

func (g GateSigns) word(s Stand) string {
	return [...]string{Shut: g.Shut, Open: g.Open, Unknown: g.Unknown}[s]
}

// GateTable is one system with its gates.
type GateTable struct {
	System string
	Gates  []GateColumn
	Rows   []GateRow
}

// GateColumn is one gate.
type GateColumn struct {
	Name   string
	Rests  bool // left open when nothing runs
	ByHand bool
}

// GateRow is one machine, or nothing running.
type GateRow struct {
	Name               string
	Stand              []Stand // of each gate of the table
	Carry, Start, Wait string
	Light              bool // the wait is long: marked
}

// Stand is how a gate is to stand.
type Stand uint8

// How a gate can stand. Unknown is as it was left.
const (
	Shut Stand = iota
	Open
	Unknown
)

// Sizes in millimetres. A sheet lies or stands, whichever leaves the chart larger, and fits on A4 and on US Letter alike.
const (
	long, short = 279.0, 210.0
	margin      = 12.0
	titleSize   = 7.0
	textSize    = 3.6
	smallSize   = 3.2
	leading     = 4.6
	leastColumn = 12.0
	mostColumn  = 20.0
	mostWords   = 58.0 // wide, a text beside the gates
	leastRow    = 10.4
)

const styleSheet = `text{font-family:"Atkinson Hyperlegible Next","Atkinson Hyperlegible",Verdana,"DejaVu Sans",sans-serif;font-size:3.6px;fill:#22282d}
.title{font-size:7px;font-weight:650}.name{font-weight:650}.system{font-size:4.6px;font-weight:650}
.middle{text-anchor:middle}.small{font-size:3.2px}
.pipe{fill:none;stroke:#8b8f8f;stroke-width:.35}.air{fill:none;stroke:#0e6f76;stroke-width:.5}
.bar{fill:#22282d}.hollow{fill:#fff;stroke:#22282d;stroke-width:.4}.dot{fill:#22282d}
.lit{fill:#d6e8e6}.rule{fill:none;stroke:#22282d;stroke-width:.35}.faint{fill:none;stroke:#c9c3b6;stroke-width:.25}
`

// SVG draws the chart.
func (c GateChart) SVG() []byte {
	width := long
	for _, t := range c.Tables {
		width = max(width, t.columns(c.Heads).leastWidth()+2*margin)
	}
	p := &pen{}
	y := margin + titleSize*0.8
	p.words("title", margin, y, leading, c.Title)
	y += leading * 0.6
	for _, text := range []string{c.First, c.Rule} {
		lines := wrap(text, textSize, width-2*margin, false)
		p.words("", margin, y+leading, leading, lines...)
		y += leading * float64(len(lines))
	}
	y += leading
	for _, t := range c.Tables {
		y = t.draw(p, c.Heads, c.Signs, y, width)
	}
	y = c.legend(p, y)
	for _, n := range append(slices.Clone(c.Notes), c.Caution) {
		class := ""
		if n == c.Caution {
			class = "name"
		}
		lines := wrap(n, textSize, width-2*margin, class != "")
		p.words(class, margin, y+leading, leading, lines...)
		y += leading*float64(len(lines)) + 1.6
	}
	y += margin
	return c.sheet(p, width, y)
}

// sheet is the drawing on its paper.
func (c GateChart) sheet(p *pen, width, height float64) []byte {
	paper, lies := [2]float64{long, short}, "landscape"
	if min(long/width, short/height) < min(short/width, long/height) {
		paper, lies = [2]float64{short, long}, "portrait"
	}
	scale := min(paper[0]/width, paper[1]/height)
	head := fmt.Sprintf("<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"%smm\" height=\"%smm\" viewBox=\"%s 0 %s %s\" role=\"img\" aria-labelledby=\"title\">\n<title id=\"title\">%s</title>\n<style>\n@page{size:%s;margin:0}%s</style>\n",
		mm(paper[0]), mm(paper[1]), mm((width-paper[0]/scale)/2), mm(paper[0]/scale), mm(paper[1]/scale), escaped(c.Title), lies, styleSheet)
	return append(append([]byte(head), p.b.Bytes()...), "</svg>\n"...)
}

// columns are the widths of a table's columns.
type columns struct {
	name, carry, start, wait float64
	gate                     float64
	gates                    int
}

func (t GateTable) columns(h GateHeads) columns {
	head := func(word string) float64 { return widthOf(word, textSize, true) }
	c := columns{name: head(h.Machine), start: head(h.Start), wait: head(h.Wait), gate: leastColumn, gates: len(t.Gates)}
	for _, r := range t.Rows {
		c.name = max(c.name, head(r.Name))
		c.start = min(mostWords, max(c.start, widthOf(r.Start, textSize, false)))
		c.wait = min(mostWords, max(c.wait, widthOf(r.Wait, textSize, r.Light)))
		if r.Carry != "" {
			c.carry = min(mostWords, max(c.carry, widthOf(r.Carry, textSize, false), head(h.Carry)))
		}
	}
	c.name, c.start, c.wait = c.name+5, c.start+6, c.wait+3 // with what lies between the columns
	if c.carry > 0 {
		c.carry += 6
	}
	for _, g := range t.Gates { // the longest word of a name must fit
		for _, word := range wrap(g.Name, smallSize, 0, true) {
			c.gate = max(c.gate, widthOf(word, smallSize, true)+2)
		}
	}
	return c
}

func (c columns) leastWidth() float64 {
	return c.name + float64(c.gates)*c.gate + 3 + c.carry + c.start + c.wait
}

// fill gives the gates what room there is, up to where it would look empty.
func (c columns) fill(width float64) columns {
	if c.gates > 0 {
		c.gate += max(0, min(mostColumn-c.gate, (width-2*margin-c.leastWidth())/float64(c.gates)))
	}
	return c
}

func (t GateTable) draw(p *pen, h GateHeads, signs GateSigns, y, width float64) float64 {
	c := t.columns(h).fill(width)
	right := margin + c.leastWidth()
	y += leading * 1.4
	p.words("system", margin, y, leading, t.System)
	y += 2.5
	y = t.heads(p, h, c, y)
	p.line("rule", margin, y, right, y)
	for _, r := range t.Rows {
		y = t.row(p, signs, c, r, y)
		p.line("faint", margin, y, right, y)
	}
	return y + leading
}

// heads writes the names over the columns, standing on their line.
func (t GateTable) heads(p *pen, h GateHeads, c columns, y float64) float64 {
	tall := 1
	names := make([][]string, len(t.Gates))
	for i, g := range t.Gates {
		names[i] = wrap(g.Name, smallSize, c.gate-1.5, true)
		tall = max(tall, len(names[i]))
	}
	const step = smallSize * 1.25
	foot := y + float64(tall)*step + 1
	for i, lines := range names {
		x := margin + c.name + (float64(i)+0.5)*c.gate
		p.words("middle small", x, foot-1-float64(len(lines)-1)*step, step, lines...)
		if t.Gates[i].Rests {
			p.dot(x, foot-1-float64(len(lines))*step, 0.8)
		}
	}
	x := margin + c.name + float64(len(t.Gates))*c.gate + 3
	p.words("name", margin, foot-1, leading, h.Machine)
	if c.carry > 0 {
		p.words("name", x, foot-1, leading, h.Carry)
		x += c.carry
	}
	p.words("name", x, foot-1, leading, h.Start)
	p.words("name", x+c.start, foot-1, leading, h.Wait)
	return foot + 1
}

func (t GateTable) row(p *pen, signs GateSigns, c columns, r GateRow, y float64) float64 {
	carry := wrap(r.Carry, textSize, c.carry-6, false)
	start := wrap(r.Start, textSize, c.start-6, false)
	wait := wrap(r.Wait, textSize, c.wait-3, r.Light)
	high := max(leastRow, leading*float64(max(len(carry), len(start), len(wait)))+3)
	middle := y + high/2
	text := func(class string, x float64, lines []string) {
		p.words(class, x, middle+textSize*0.36-leading*float64(len(lines)-1)/2, leading, lines...)
	}
	text("name", margin, []string{r.Name})
	mixed := slices.ContainsFunc(t.Gates, func(g GateColumn) bool { return !g.ByHand })
	for i, s := range r.Stand {
		left := margin + c.name + float64(i)*c.gate
		if s == Open {
			p.rect("lit", left, y+0.15, c.gate, high-0.3)
		}
		up := 0.0
		if s == Open && t.Gates[i].ByHand && mixed {
			p.words("middle small", left+c.gate/2, middle+high/2-1.2, leading, signs.ByHand)
			up = 1.6
		}
		p.begin(fmt.Sprintf("%s, %s: %s", r.Name, t.Gates[i].Name, signs.word(s)))
		sign(p, left+c.gate/2, middle-up, s)
		if s == Open && t.Gates[i].Rests {
			p.dot(left+c.gate/2+6, middle-up, 0.8)
		}
		p.end()
	}
	x := margin + c.name + float64(len(t.Gates))*c.gate + 3
	if c.carry > 0 {
		text("", x, carry)
		x += c.carry
	}
	text("", x, start)
	class := ""
	if r.Light {
		class = "name"
	}
	text(class, x+c.start, wait)
	return y + high
}

// sign draws a gate as on the floor: two lines of pipe; a bar through them is shut, beside them open, hollow unknown.
func sign(p *pen, x, y float64, s Stand) {
	const half, wide = 4.5, 1.7
	class := "pipe"
	if s == Open {
		class = "air"
	}
	p.line(class, x-half, y-wide, x+half, y-wide)
	p.line(class, x-half, y+wide, x+half, y+wide)
	switch s {
	case Open:
		p.rect("bar", x-2.6, y+wide+1, 5.2, 1.2)
	case Unknown:
		p.rect("hollow", x-0.6, y-wide-1.1, 1.2, 2*wide+2.2)
	default:
		p.rect("bar", x-0.6, y-wide-1.1, 1.2, 2*wide+2.2)
	}
}

// legend says what the signs mean that are on this sheet.
func (c GateChart) legend(p *pen, y float64) float64 {
	used := map[Stand]bool{}
	rests := false
	for _, t := range c.Tables {
		for _, g := range t.Gates {
			rests = rests || g.Rests
		}
		for _, r := range t.Rows {
			for _, s := range r.Stand {
				used[s] = true
			}
		}
	}
	if len(used) == 0 {
		return y
	}
	y += leading
	x := margin
	say := func(word string) {
		p.words("", x, y+1.2, leading, word)
		x += widthOf(word, textSize, false) + 6
	}
	for _, s := range []struct {
		stand Stand
		word  string
	}{{Open, c.Signs.Open}, {Shut, c.Signs.Shut}, {Unknown, c.Signs.Unknown}} {
		if used[s.stand] {
			sign(p, x+4.5, y, s.stand)
			x += 11
			say(s.word)
		}
	}
	if rests {
		p.dot(x+0.8, y, 0.8)
		x += 3.5
		say(c.Signs.Rests)
	}
	return y + leading*1.6
}
