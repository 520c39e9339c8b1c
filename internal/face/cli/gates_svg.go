package cli

import (
	"cmp"
	"slices"

	"winnow/internal/face/report"
	"winnow/internal/face/wire"
	"winnow/internal/shop"
	"winnow/internal/study/gates"
	"winnow/internal/unit"
)

// chartDrawing is the chart as rows of signs and words, to be drawn.
func chartDrawing(o *opened, c gates.Chart) report.GateChart {
	notes := chartNotes(o, c)
	d := report.GateChart{
		Title:   cmp.Or(o.shop.Name, o.path) + ": gates for working by hand",
		First:   wire.Plain(wire.ChartOf("", c, o.units, o.at).Sentence),
		Rule:    "Shut every gate that is not shown open in the row.",
		Heads:   report.GateHeads{Machine: "machine", Carry: "hose", Start: "start, in this order", Wait: "wait"},
		Signs:   report.GateSigns{Open: "open", Shut: "shut", Unknown: "as it was left", Rests: "left open when nothing runs", ByHand: "by hand"},
		Notes:   notes[:len(notes)-1],
		Caution: notes[len(notes)-1],
	}
	for _, y := range o.shop.Systems {
		if t := chartTable(o, c, y); len(t.Rows) > 0 {
			d.Tables = append(d.Tables, t)
		}
	}
	return d
}

// chartTable is one system: its gates in the order of the file, a row a line of the chart, and how all stands when nothing runs.
func chartTable(o *opened, c gates.Chart, y shop.System) report.GateTable {
	t := report.GateTable{System: y.Name}
	idle := report.GateRow{Name: "nothing runs"}
	kept := false // somebody or something brings gates to where they rest
	for _, r := range y.Runs {
		for _, p := range r.Pieces {
			if p.What != shop.Gate {
				continue
			}
			g := report.GateColumn{Name: p.Gate, Rests: p.Idle == "open", ByHand: p.Device == ""}
			t.Gates = append(t.Gates, g)
			kept = kept || g.Rests || !g.ByHand
			switch {
			case g.Rests:
				idle.Stand = append(idle.Stand, report.Open)
			case g.ByHand:
				idle.Stand = append(idle.Stand, report.Unknown)
			default:
				idle.Stand = append(idle.Stand, report.Shut)
			}
		}
	}
	for _, l := range c.Lines {
		if l.System != y.Name {
			continue
		}
		row := report.GateRow{Name: l.Machine, Carry: hoseWords(l), Start: startWords(l), Wait: unit.Print(l.Wait, o.units)}
		if more := cmp.Or(l.Setup, l.Place); more != "" {
			row.Name += ", " + more
		}
		if l.Starts == gates.ByItself && l.Wait > gates.SlowStart {
			row.Wait, row.Light = row.Wait+", wait for the light", true
		}
		for _, g := range t.Gates {
			stand := report.Shut
			if slices.Contains(l.Open, g.Name) {
				stand = report.Open
			}
			row.Stand = append(row.Stand, stand)
		}
		t.Rows = append(t.Rows, row)
	}
	if len(t.Rows) > 0 && kept && o.shop.Control.Practice != "balance" {
		t.Rows = append(t.Rows, idle)
	}
	return t
}
