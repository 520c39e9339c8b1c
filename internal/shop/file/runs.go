package file

import (
	"fmt"

	"winnow/internal/shop"
	"winnow/internal/unit"
)

// joins checks the way of the air through each system: every run ends in exactly one place, and all end at the fan.
func (d *decoder) joins(b *book) {
	for i := 0; i < len(d.runs); {
		j := i
		for j < len(d.runs) && d.runs[j].system == d.runs[i].system {
			j++
		}
		d.joinsOf(b, d.runs[i:j])
		i = j
	}
}

// joined is where a run ends: the wye that names it, in the run it ends in.
type joined struct {
	into int // index among the runs
	wye  *node
	at   int // index of the wye among the pieces
}

func (d *decoder) joinsOf(b *book, runs []runAt) {
	index := map[string]int{}
	for i, r := range runs {
		if _, twice := index[r.run.Name]; !twice {
			index[r.run.Name] = i
		}
	}
	ends := make([]*joined, len(runs))
	splits := map[string]*node{}
	for i, r := range runs {
		for k, p := range r.run.Pieces {
			if p.What == shop.Wye && k < len(r.pieces) {
				d.wye(runs, index, ends, i, k)
			}
		}
		d.begins(r)
		if s := r.run.From.Split; s != "" {
			if first := splits[s]; first != nil {
				d.fault(r.key, SplitTwice, fmt.Sprintf("the run %s starts at the split `%s` too", first.onLine(), s), "Add a second split, or start the run somewhere else.").also = first
			} else {
				splits[s] = r.key
			}
		}
	}
	d.mainOf(runs, index)
	d.unjoined(runs, index, ends)
	for _, r := range runs {
		for k, p := range r.run.Pieces {
			if p.What == shop.Split && p.Split != "" && splits[p.Split] == nil && k < len(r.pieces) {
				d.fault(r.pieces[k].get("split"), SplitUnused, "no run starts at the split `"+p.Split+"`", "Write `from: split "+p.Split+"` in the run that leaves here, or remove the split.")
			}
		}
	}
	for i := range runs {
		d.drawn(runs, ends, i)
	}
}

// wye notes the runs a wye names.
func (d *decoder) wye(runs []runAt, index map[string]int, ends []*joined, i, k int) {
	p := runs[i].run.Pieces[k]
	n := runs[i].pieces[k].get("wye")
	for j, name := range p.Wye {
		at := n
		if n.form == list && j < len(n.items) {
			at = n.items[j]
		}
		to, known := index[name]
		switch {
		case name == "main":
			d.fault(at, MainJoined, "`main` ends at the system's inlet, and a wye cannot take it in", "Name another run here, or give this run the name main.")
		case !known: // told as an unknown name
		case ends[to] != nil:
			d.fault(at, RunJoinedTwice, fmt.Sprintf("`%s` already ends in the wye %s", name, ends[to].wye.onLine()), "A run ends in one place: remove it from one of the two wyes.").also = ends[to].wye
		default:
			ends[to] = &joined{into: i, wye: at, at: k}
		}
	}
	if k == 0 && len(p.Wye) == 1 && runs[i].run.From.Basis == unit.Unsaid {
		d.fault(n, LoneWye, "this wye starts the run, and brings only one run together", "Name two runs, [A, B]; or say where this run's own air comes from with `from`.")
	}
}

// begins: a run has air from somewhere.
func (d *decoder) begins(r runAt) {
	if r.run.From.Basis != unit.Unsaid || len(r.run.Pieces) > 0 && (r.run.Pieces[0].What == shop.Wye || r.run.Pieces[0].What == "") {
		return
	}
	if len(r.pieces) != len(r.run.Pieces) || r.from != nil && !r.from.unsaid() {
		return
	}
	d.fault(r.key, NoSource, "nothing says where this run's air comes from", "Add from: MACHINE or from: cap, or start it with a wye of the runs it brings together.")
}

func (d *decoder) mainOf(runs []runAt, index map[string]int) {
	if _, ok := index["main"]; ok {
		return
	}
	d.fault(runs[0].key, NoMain, "`"+runs[0].system+"` has runs, and none of them is called main", "Call the run that ends at the inlet `main`.")
}

// unjoined finds runs whose air never reaches the fan.
func (d *decoder) unjoined(runs []runAt, index map[string]int, ends []*joined) {
	told := make([]bool, len(runs))
	done := make([]bool, len(runs)) // its way was walked before
	for i, r := range runs {
		if r.run.Name == "main" || index[r.run.Name] != i {
			continue
		}
		if ends[i] == nil {
			if _, hasMain := index["main"]; !hasMain {
				continue // one of these is main under another name, and that is told
			}
			d.fault(r.key, RunNotJoined, "no wye names `"+r.run.Name+"`, so its air goes nowhere", "Add {wye: "+r.run.Name+"} to the run it ends in, where it comes in.")
			continue
		}
		// walk towards the fan; coming round again without reaching it is a circle
		seen := map[int]bool{}
		for j := i; ends[j] != nil && runs[j].run.Name != "main" && (seen[j] || !done[j]); j = ends[j].into {
			done[j] = true
			if !seen[j] {
				seen[j] = true
				continue
			}
			if !told[j] {
				for k := j; !told[k]; k = ends[k].into {
					told[k] = true
				}
				d.fault(ends[j].wye, RunLoop, "`"+runs[j].run.Name+"` ends in itself by way of `"+runs[ends[j].into].run.Name+"`, and never reaches the fan", "Take one of the runs out of this wye and join it to the way to main.")
			}
			break
		}
	}
}

// drawn checks that the plan can answer every `drawn`: between two pieces whose place is known at most one pipe or hose,
// and a turn only where its own place is known.
func (d *decoder) drawn(runs []runAt, ends []*joined, i int) {
	r := runs[i]
	if len(r.pieces) != len(r.run.Pieces) {
		return
	}
	after := "the wye it ends in"
	if r.run.Name == "main" {
		after = "the system"
	}
	if d.endsAt(runs, ends, i) {
		after = ""
	}
	d.drawnPieces(r.run.Pieces, r.pieces, d.startsAt(r), after)
}

// exhaust checks the pieces after the fan, on their way from the system to wherever they end.
func (d *decoder) exhaust(e exhaustAt) {
	if len(e.pieces) != len(e.system.Exhaust) {
		return
	}
	for i, p := range e.system.Exhaust {
		if p.What == shop.Wye || p.What == shop.Split {
			d.fault(e.pieces[i], NotForThis, "after the fan nothing comes in and nothing leaves", "Remove the "+string(p.What)+", or put it into a run before the fan.")
		}
	}
	d.drawnPieces(e.system.Exhaust, e.pieces, e.system.At.Basis == unit.Given, "the last piece")
}

// drawnPieces: located says that the place before the first piece is known; after names what lies behind the last one
// and has no place, "" if it has one.
func (d *decoder) drawnPieces(pieces []shop.Piece, nodes []*node, located bool, after string) {
	var waiting *node  // a length to be measured since the last known place
	var between string // the fitting without a place that lies after it
	for k, p := range pieces {
		n := nodes[k]
		if p.At.Basis == unit.Given {
			if waiting != nil && !located {
				d.fault(waiting, UnclearDrawn, "the plan cannot show this length: no place is known before it", "Give what the run starts with an `at`, or write the length.")
			}
			located, waiting, between = true, nil, ""
		}
		switch {
		case p.What == shop.Elbow && p.Elbow.Basis == unit.Drawn && p.At.Basis != unit.Given:
			d.fault(n.get("elbow"), UnclearDrawn, "the plan cannot show how far this elbow turns without its place", "Give "+shop.PieceKey(pieces, k)+" an `at`, or write its angle.")
		case p.Angle.Basis == unit.Drawn && p.At.Basis != unit.Given:
			d.fault(n.get("angle"), UnclearDrawn, "the plan cannot show this angle without the place of the piece", "Give "+shop.PieceKey(pieces, k)+" an `at`, or write its angle.")
		case p.What == shop.Pipe && p.Pipe.Basis == unit.Drawn, p.What == shop.Hose && p.Hose.Basis == unit.Drawn:
			if waiting != nil {
				needs := between
				if needs == "" {
					needs = "the piece between them"
				}
				d.fault(n, UnclearDrawn, fmt.Sprintf("two lengths (the other %s) are to be measured with no known place between them", waiting.onLine()), "Give "+needs+" an `at`, or write one of the lengths.").also = waiting
			}
			waiting, between = n, ""
		default:
			if waiting != nil && between == "" && p.At.Basis != unit.Given {
				between = shop.PieceKey(pieces, k)
			}
		}
	}
	if waiting == nil {
		return
	}
	if !located {
		d.fault(waiting, UnclearDrawn, "the plan cannot show this length: no place is known before it", "Give the piece or the machine before it an `at`, or write the length.")
		return
	}
	if after != "" {
		d.fault(waiting, UnclearDrawn, "the plan cannot show this length: no place is known after it", "Give "+after+" an `at`, or write the length.")
	}
}

// startsAt: the place where a run starts is known.
func (d *decoder) startsAt(r runAt) bool {
	f := r.run.From
	switch {
	case len(f.Ports) > 0:
		m := d.machines[f.Ports[0].Machine]
		if m == nil {
			return true // told as an unknown name
		}
		if p := m.Port(f.Ports[0].Port); p != nil && p.At.Basis == unit.Given {
			return true
		}
		return len(m.Places) > 0 && m.Places[0].At.Basis == unit.Given
	case f.Split != "":
		if known, there := d.splits[f.Split]; there {
			return known
		}
		return true
	}
	return false
}

// endsAt: the place where a run ends is known.
func (d *decoder) endsAt(runs []runAt, ends []*joined, i int) bool {
	if runs[i].run.Name == "main" {
		y := d.systems[runs[i].system]
		return y == nil || y.At.Basis == unit.Given
	}
	e := ends[i]
	return e == nil || runs[e.into].run.Pieces[e.at].At.Basis == unit.Given
}
