package report

import (
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// element is what a test needs to know of a drawing.
type element struct {
	Name, Class, Text string
	X, Y, W, H        float64
	In                string // title of the group it stands in
}

// elements reads a drawing; it fails where it is no XML.
func elements(t testing.TB, svg []byte) []element {
	t.Helper()
	var all []element
	in, depth := "", 0
	d := xml.NewDecoder(strings.NewReader(string(svg)))
	for {
		token, err := d.Token()
		if errors.Is(err, io.EOF) {
			return all
		}
		if err != nil {
			t.Fatal(err)
		}
		switch token := token.(type) {
		case xml.StartElement:
			e := element{Name: token.Name.Local, In: in}
			for _, a := range token.Attr {
				v, _ := strconv.ParseFloat(strings.TrimSuffix(a.Value, "mm"), 64)
				switch a.Name.Local {
				case "class":
					e.Class = a.Value
				case "x", "cx":
					e.X = v
				case "y", "cy":
					e.Y = v
				case "width":
					e.W = v
				case "height":
					e.H = v
				case "viewBox":
					e.Text = a.Value
				}
			}
			if e.Name == "g" {
				depth++
			}
			all = append(all, e)
		case xml.EndElement:
			if token.Name.Local == "g" {
				depth, in = depth-1, ""
			}
		case xml.CharData:
			last := &all[max(0, len(all)-1)]
			if len(all) > 0 && last.Text == "" {
				last.Text = strings.TrimSpace(string(token))
				if last.Name == "title" && depth > 0 {
					in = last.Text
				}
			}
		}
	}
}

func drawn(gates int, rows int) GateChart {
	c := GateChart{
		Title: `Anna & "Bo" <shop>`, First: "All is well.", Rule: "Shut the rest.", Caution: "Unplug.",
		Heads: GateHeads{"machine", "hose", "start", "wait"}, Signs: GateSigns{"open", "shut", "as it was left", "rests open", "by hand"},
		Notes: []string{strings.Repeat("A long note of many words that goes on. ", 12)},
	}
	t := GateTable{System: "collector"}
	for i := range gates {
		t.Gates = append(t.Gates, GateColumn{Name: fmt.Sprintf("gate %d", i), Rests: i == 1, ByHand: i == 2})
	}
	for i := range rows {
		r := GateRow{Name: fmt.Sprintf("machine %d", i), Start: "collector, then the machine", Wait: "7 s"}
		for g := range gates {
			r.Stand = append(r.Stand, Stand((i+g)%3))
		}
		t.Rows = append(t.Rows, r)
	}
	c.Tables = []GateTable{t}
	return c
}

// Each cell shows what the row says: a filled bar through the pipe is shut, a filled one beside it open, a hollow one unknown.
func TestEachGateIsDrawnAsItStands(t *testing.T) {
	c := drawn(7, 5)
	all := elements(t, c.SVG())
	for _, r := range c.Tables[0].Rows {
		for i, s := range r.Stand {
			in := r.Name + ", " + c.Tables[0].Gates[i].Name + ": " + c.Signs.word(s)
			var bars []element
			for _, e := range all {
				if e.In == in && (e.Class == "bar" || e.Class == "hollow") {
					bars = append(bars, e)
				}
			}
			if len(bars) != 1 {
				t.Fatalf("%s: %d bars", in, len(bars))
			}
			b := bars[0]
			want := map[Stand]bool{Open: b.Class == "bar" && b.W > 2*b.H, Shut: b.Class == "bar" && b.H > 2*b.W, Unknown: b.Class == "hollow" && b.H > 2*b.W}
			if !want[s] {
				t.Errorf("%s is drawn as %+v", in, b)
			}
		}
	}
	dots := 0
	for _, e := range all {
		if e.Name == "circle" {
			dots++
		}
	}
	open := 0
	for _, r := range c.Tables[0].Rows {
		if r.Stand[1] == Open {
			open++
		}
	}
	if want := 1 + open + 1; dots != want { // over its column, where it is open, in the legend
		t.Errorf("%d dots, want %d", dots, want)
	}
}

// Whatever stands in a chart stays on its sheet, and the sheet fits on the paper, up or lying.
func TestAChartStaysOnItsSheet(t *testing.T) {
	for _, size := range [][2]int{{0, 1}, {1, 1}, {3, 6}, {12, 14}, {40, 6}, {6, 60}} {
		c := drawn(size[0], size[1])
		c.Tables[0].Gates = append([]GateColumn{}, c.Tables[0].Gates...)
		all := elements(t, c.SVG())
		var left, top, width, height float64
		if _, err := fmt.Sscanf(all[0].Text, "%g %g %g %g", &left, &top, &width, &height); err != nil {
			t.Fatalf("viewBox %q: %v", all[0].Text, err)
		}
		paper := []float64{all[0].W, all[0].H}
		if slices.Sort(paper); paper[0] != short || paper[1] != long {
			t.Errorf("%v: the paper is %v", size, paper)
		}
		if r := all[0].W / all[0].H * height / width; r < 0.999 || r > 1.001 {
			t.Errorf("%v: the drawing is stretched by %.3f", size, r)
		}
		last, row := 0.0, ""
		for _, e := range all[1:] {
			if e.Class == "bar" || e.Class == "hollow" {
				middle, name := e.X+e.W/2, strings.Split(e.In, ",")[0]
				if name == row && name != "" && middle-last < leastColumn-0.1 {
					t.Fatalf("%v: two gates of %s are %.1f mm apart", size, row, middle-last)
				}
				last, row = middle, name
			}
			right := e.X + e.W
			if e.Name == "text" && !strings.Contains(e.Class, "middle") {
				right = e.X + widthOf(e.Text, textSize, false)
			}
			if e.X < left || right > left+width || e.Y < 0 || e.Y+e.H > height {
				t.Errorf("%v: %+v is off the sheet %g %g %g %g", size, e, left, top, width, height)
			}
		}
	}
}

// Words of the owner's are words, never a part of the drawing; nothing in it runs or is fetched.
func TestNothingInAChartRuns(t *testing.T) {
	c := drawn(2, 2)
	c.Tables[0].Rows[0].Start = `<script href="http://x">&`
	svg := string(c.SVG())
	for _, bad := range []string{"<script", "href", "url(", "@import", "<image", "onload"} {
		if strings.Contains(strings.ReplaceAll(svg, "&lt;script href=&#34;", ""), bad) {
			t.Errorf("%s is in the drawing", bad)
		}
	}
	elements(t, []byte(svg))
}

func TestWrapKeepsWordsAndUnits(t *testing.T) {
	text := "wait 7 s after the drum sander starts and 0.5 s more of it"
	for width := 5.0; width < 100; width += 3 {
		lines := wrap(text, 3.6, width, false)
		if strings.Join(lines, " ") != text {
			t.Fatalf("%g: %q", width, lines)
		}
		for _, l := range lines {
			if strings.HasSuffix(l, " 7") || strings.HasSuffix(l, " 0.5") || l == "7" || l == "0.5" {
				t.Errorf("%g: a number lost its unit in %q", width, lines)
			}
			if widthOf(l, 3.6, false) > width && strings.ContainsRune(l, ' ') && !strings.HasSuffix(l, " s") {
				t.Errorf("%g: %q is too wide", width, l)
			}
		}
	}
}
