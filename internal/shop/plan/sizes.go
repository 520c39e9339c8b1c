package plan

import (
	"math"

	"winnow/internal/shop"
	"winnow/internal/unit"
)

// near is how much two trade sizes may differ and still go together: 100 mm on 4 in, 150 mm on 6 in, 125 mm on 5 in are
// within 1.6 %; 120 on 125 mm, 36 on 38 mm are not. Common practice, no source.
const near = 0.025

func fits(a, b unit.Metre) bool {
	return a == 0 || b == 0 || math.Abs(float64(a-b)) <= near*float64(max(a, b))
}

// sizes gives each piece the trade sizes at its two ends, and lists the adapters where neighbours differ.
func (t *tracer) sizes() {
	var now unit.Amount[unit.Metre]
	if t.run != nil && said(t.run.Size) {
		now = t.run.Size
	}
	for i := range t.pieces {
		p, out := &t.pieces[i], &t.out[i]
		from, to := now, now
		if said(p.Size) {
			from, to = p.Size, p.Size
		}
		switch p.What {
		case shop.Reducer:
			if said(p.Reducer) {
				to, now = p.Reducer, p.Reducer
			}
		case shop.Separator:
			if said(p.Inlet) {
				from = p.Inlet
			}
		}
		out.From, out.To = from.Best, to.Best
		out.guessFrom, out.guessTo = from.Basis != unit.Given, to.Basis != unit.Given
	}
	t.adapters()
}

func (t *tracer) adapters() {
	if len(t.out) == 0 {
		return
	}
	if t.run != nil {
		t.portAdapters()
	}
	for i := 1; i < len(t.out); i++ {
		t.adapter(Adapter{
			After: t.out[i-1].Path, Before: t.out[i].Path, From: t.out[i-1].To, To: t.out[i].From,
			Assumed: t.out[i-1].guessTo || t.out[i].guessFrom,
		})
	}
	if t.run != nil {
		t.endAdapter(&t.out[len(t.out)-1])
	}
}

func (t *tracer) adapter(a Adapter) {
	if fits(a.From, a.To) {
		return
	}
	a.System, a.Run = t.row.System, t.row.Run
	t.l.Adapters = append(t.l.Adapters, a)
}

func (t *tracer) portAdapters() {
	first := &t.out[0]
	for _, ref := range t.run.From.Ports {
		for i := range t.s.Machines {
			m := &t.s.Machines[i]
			if m.Name != ref.Machine {
				continue
			}
			for k := range m.Ports.Value {
				p := &m.Ports.Value[k]
				if ref.Port != "" && p.Name != ref.Port || !said(p.Size) {
					continue
				}
				t.adapter(Adapter{
					After: shop.PortRef{Machine: m.Name, Port: p.Name}.Path(), Before: first.Path,
					From: p.Size.Best, To: first.From, Port: ref, Assumed: p.Size.Basis != unit.Given || first.guessFrom,
				})
				break
			}
		}
	}
}

// endAdapter: main leads into the inlet, any other run into the side leg of its wye.
func (t *tracer) endAdapter(last *PieceLayout) {
	if k, n := joinedAt(t.y, t.run.Name); k >= 0 {
		wye := t.l.Piece(t.y.Name, t.y.Runs[k].Name, n)
		t.adapter(Adapter{After: last.Path, Before: wye.Path, From: last.To, To: wye.From, Leg: true, Assumed: last.guessTo || wye.guessFrom})
		return
	}
	if t.run.Name == mainRun && said(t.y.Inlet) {
		t.adapter(Adapter{
			After: last.Path, Before: shop.SystemPath(t.y.Name).Join("inlet"), From: last.To, To: t.y.Inlet.Best,
			Assumed: last.guessTo || t.y.Inlet.Basis != unit.Given,
		})
	}
}
