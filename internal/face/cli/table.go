package cli

import (
	"fmt"
	"io"
	"strings"
	"unicode/utf8"

	"github.com/jedib0t/go-pretty/v6/table"
	"github.com/jedib0t/go-pretty/v6/text"
)

// printTable writes rows under a header without lines, two spaces in: calm, and still readable when pasted in a mail.
// On a terminal that is too narrow for it, each row is stacked instead.
func printTable(w io.Writer, header []string, rows [][]string, right ...int) {
	if c, ok := w.(*calm); ok && c.width > 0 && widest(header, rows) > c.width {
		if header == nil {
			hang(w, rows)
		} else {
			stack(w, header, rows, c.width)
		}
		return
	}
	t := table.NewWriter()
	t.SetOutputMirror(w)
	t.SetStyle(table.Style{
		Box:    table.BoxStyle{PaddingLeft: "  ", PaddingRight: ""},
		Format: table.FormatOptions{Header: text.FormatDefault},
	})
	var columns []table.ColumnConfig
	for _, n := range right {
		columns = append(columns, table.ColumnConfig{Number: n, Align: text.AlignRight, AlignHeader: text.AlignRight})
	}
	t.SetColumnConfigs(columns)
	if header != nil {
		t.AppendHeader(cells(header))
	}
	for _, r := range rows {
		t.AppendRow(cells(r))
	}
	t.SuppressTrailingSpaces()
	t.Render()
}

// widest is how many columns the table takes.
func widest(header []string, rows [][]string) int {
	sum := 0
	for _, w := range widths(append([][]string{header}, rows...)) {
		sum += 2 + w
	}
	return sum
}

func widths(rows [][]string) []int {
	var most []int
	for _, r := range rows {
		for i, cell := range r {
			if i == len(most) {
				most = append(most, 0)
			}
			most[i] = max(most[i], utf8.RuneCountInString(cell))
		}
	}
	return most
}

// hang writes the first two cells of a row side by side and every further one under the second; a long one is folded by calm.
func hang(w io.Writer, rows [][]string) {
	first := widths(rows)[0]
	for _, r := range rows {
		lead := fmt.Sprintf("  %-*s  ", first, r[0])
		for _, cell := range r[1:] {
			if cell != "" {
				fmt.Fprintln(w, lead+cell)
				lead = strings.Repeat(" ", first+4)
			}
		}
	}
}

// stack writes each row as its name with "label: value" under it, as many to a line as fit; what is empty is left out. So no row
// is broken where its eye would have to find the column again.
func stack(w io.Writer, header []string, rows [][]string, width int) {
	const between = "   "
	for _, r := range rows {
		name := r[0]
		if header[0] != "" && name != "" {
			name = header[0] + " " + name
		}
		fmt.Fprintln(w, "  "+name)
		line := "     "
		for i, cell := range r[1:] {
			if cell == "" {
				continue
			}
			if label := header[i+1]; label != "" {
				cell = label + ": " + cell
			}
			if strings.TrimSpace(line) != "" && utf8.RuneCountInString(line+between+cell) > width {
				fmt.Fprintln(w, line)
				line = "     "
			}
			if strings.TrimSpace(line) == "" {
				line += " " + cell
			} else {
				line += between + cell
			}
		}
		if strings.TrimSpace(line) != "" {
			fmt.Fprintln(w, line)
		}
	}
}

func cells(row []string) table.Row {
	r := make(table.Row, len(row))
	for i, c := range row {
		r[i] = c
	}
	return r
}
