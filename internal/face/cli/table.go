package cli

import (
	"io"

	"github.com/jedib0t/go-pretty/v6/table"
	"github.com/jedib0t/go-pretty/v6/text"
)

// printTable writes rows under a header without lines, two spaces in: calm, and still readable when pasted in a mail.
func printTable(w io.Writer, header []string, rows [][]string, right ...int) {
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

func cells(row []string) table.Row {
	r := make(table.Row, len(row))
	for i, c := range row {
		r[i] = c
	}
	return r
}
