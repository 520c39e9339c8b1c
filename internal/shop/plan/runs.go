package plan

import (
	"strconv"

	"winnow/internal/shop"
	"winnow/internal/unit"
)

// mainRun is the name of the run that ends at the system's inlet.
const mainRun shop.ID = "main"

// runs traces every run of every system, a wye's run before the runs that come in at it: they end at its point.
func (b *builder) runs() {
	b.rows()
	for i := range b.s.Systems {
		y := &b.s.Systems[i]
		b.system(i, y)
	}
}

// rows makes the bare list of runs and pieces, so that everything can be found by number from here on.
func (b *builder) rows() {
	pieces, runs := 0, 0
	for i := range b.s.Systems {
		y := &b.s.Systems[i]
		runs += len(y.Runs)
		for k := range y.Runs {
			pieces += len(y.Runs[k].Pieces)
		}
		if len(y.Exhaust) > 0 {
			runs++
			pieces += len(y.Exhaust)
		}
	}
	b.l.Runs = make([]RunLayout, 0, runs)
	b.l.Pieces = make([]PieceLayout, 0, pieces)
	b.l.byPath = make(map[shop.Path]int, pieces)
	for i := range b.s.Systems {
		y := &b.s.Systems[i]
		for k := range y.Runs {
			r := &y.Runs[k]
			b.row(y.Name, r.Name, shop.RunPath(y.Name, r.Name), "pieces", r.Pieces)
		}
		if len(y.Exhaust) > 0 {
			b.row(y.Name, "", shop.SystemPath(y.Name), "exhaust", y.Exhaust)
		}
	}
}

func (b *builder) row(system, run shop.ID, path shop.Path, list string, pieces []shop.Piece) {
	b.l.Runs = append(b.l.Runs, RunLayout{System: system, Run: run, Path: path, First: len(b.l.Pieces), Count: len(pieces)})
	base := path.Join(list)
	for i := range pieces {
		p := &pieces[i]
		out := PieceLayout{System: system, Run: run, Index: i, Path: base + "/" + shop.Path(key(pieces, i)), What: p.What}
		switch p.What {
		case shop.Gate, shop.Separator, shop.Tap, shop.Split:
			out.Name = p.Named()
		}
		b.l.byPath[out.Path] = len(b.l.Pieces)
		b.l.Pieces = append(b.l.Pieces, out)
	}
}

// key is shop.PieceKey without a copy of every piece before; a test holds them together.
func key(pieces []shop.Piece, i int) string {
	if name := pieces[i].Named(); name != "" {
		return string(pieces[i].What) + " " + name
	}
	n := 0
	for k := range pieces[:i+1] {
		if pieces[k].What == pieces[i].What {
			n++
		}
	}
	return string(pieces[i].What) + " " + strconv.Itoa(n)
}

// system traces the runs of one system: main, then what comes in at its wyes, and so on outwards; at last what no wye names.
func (b *builder) system(i int, y *shop.System) {
	done := make([]bool, len(y.Runs))
	var visit func(k int)
	visit = func(k int) {
		if done[k] {
			return
		}
		done[k] = true
		b.trace(i, k)
		for n := range y.Runs[k].Pieces {
			for _, name := range y.Runs[k].Pieces[n].Wye {
				for m := range y.Runs {
					if y.Runs[m].Name == name {
						visit(m)
					}
				}
			}
		}
	}
	for k := range y.Runs {
		if y.Runs[k].Name == mainRun {
			visit(k)
		}
	}
	for k := range y.Runs {
		visit(k)
	}
	if len(y.Exhaust) > 0 {
		b.traceExhaust(i)
	}
	b.legs(i)
}

// joinedAt is the wye that takes a run in: the number of its run and of its piece. -1: none does.
func joinedAt(y *shop.System, run shop.ID) (k, piece int) {
	for k := range y.Runs {
		for n := range y.Runs[k].Pieces {
			if p := &y.Runs[k].Pieces[n]; p.What == shop.Wye {
				for _, name := range p.Wye {
					if name == run {
						return k, n
					}
				}
			}
		}
	}
	return -1, -1
}

// splitAt finds a split by its name.
func splitAt(y *shop.System, name shop.ID) (k, piece int) {
	for k := range y.Runs {
		for n := range y.Runs[k].Pieces {
			if p := &y.Runs[k].Pieces[n]; p.What == shop.Split && p.Split == name {
				return k, n
			}
		}
	}
	return -1, -1
}

// legs gives each wye the angles at which its runs come in.
func (b *builder) legs(system int) {
	y := &b.s.Systems[system]
	for k := range y.Runs {
		for n := range y.Runs[k].Pieces {
			p := &y.Runs[k].Pieces[n]
			if p.What != shop.Wye {
				continue
			}
			out := b.l.Piece(y.Name, y.Runs[k].Name, n)
			out.Legs = make([]Leg, len(p.Wye))
			for j, name := range p.Wye {
				leg := Leg{Run: name}
				if in := b.l.Run(y.Name, name); in != nil {
					leg.Turn, leg.Known = AngleBetween(in.lastWay, out.wayOn)
				}
				out.Legs[j] = leg
			}
			b.wyeTurn(p, out)
		}
	}
}

func (b *builder) wyeTurn(p *shop.Piece, out *PieceLayout) {
	out.Turn = p.Angle
	if p.Angle.Basis != unit.Drawn {
		return
	}
	out.Turn = unit.Amount[unit.Radian]{}
	if len(out.Legs) > 0 && out.Legs[0].Known {
		out.Turn = measuredTurn(out.Legs[0].Turn)
		return
	}
	b.find(TurnUnclear, out.Path, shop.Word("piece", label(out)), shop.Word("which", "into"))
}

func measuredTurn(r unit.Radian) unit.Amount[unit.Radian] {
	return unit.Amount[unit.Radian]{Best: r, Low: r, High: r, Basis: unit.Drawn}
}

// label is how a sentence calls a piece: `pipe 2 of ceiling`.
func label(p *PieceLayout) string {
	if p.Run == "" {
		return p.Path.Last() + " of the exhaust of " + p.System
	}
	return p.Path.Last() + " of " + p.Run
}
