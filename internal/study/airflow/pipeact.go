package airflow

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"winnow/internal/shop"
	"winnow/internal/shop/typical"
	"winnow/internal/unit"
)

// What can be done about pipes, hose sizes, joints and filters.

// narrow is the share of the run's bore below which a piece counts as a throttle.
const narrow = 0.85

// narrowPieces puts the run's own size where a piece of it is narrower.
func (c *cure) narrowPieces() {
	c.onWay(func(r *shop.Run, _ int, p *shop.Piece, path shop.Path) {
		if p.Size.Basis != unit.Given || p.Size.Best >= narrow*r.Size.Best {
			return
		}
		edits := []shop.Edit{{Remove: path.Join("size")}}
		to := r.Kind
		if p.Kind != "" && p.What == shop.Hose {
			to = p.Kind
		}
		c.offer(actWiden, false, c.state(), edits, shop.Word("piece", path.Last()), shop.Word("run", r.Name),
			shop.Number("from", p.Size.Best), shop.Word("to", unit.Print(r.Size.Best, system(c.base))+" "+to))
	})
}

func system(s *shop.Shop) unit.System {
	if s.Units == "si" {
		return unit.SI
	}
	return unit.US
}

// widerHose takes the port and the run it starts one trade size up: wider hose alone helps little while the port stays.
func (c *cure) widerHose() {
	y := c.base.System(c.result.System)
	run := c.firstRun(y)
	if run == nil {
		return
	}
	m := c.base.Machine(c.port.Machine)
	if c.hand() {
		return // the port of a hand tool is what it is
	}
	port := m.Port(c.port.Port)
	if run.Size.Best > 1.1*port.Size.Best { // the hose is wider than the port: it is the port that throttles
		c.offer(actOpenPort, false, c.state(), []shop.Edit{set(c.port.Path().Join("size"), sizeText(run.Size.Best, c.base.Units))},
			shop.Word("machine", c.port.String()), shop.Number("from", port.Size.Best), shop.Number("to", run.Size.Best))
		return
	}
	next := nextSize(c.base, run, port.Size.Best)
	if next == 0 {
		return
	}
	size := sizeText(next, c.base.Units)
	edits := []shop.Edit{set(c.port.Path().Join("size"), size)}
	if run.Size.Best < next {
		edits = append(edits, set(shop.RunPath(y.Name, run.Name).Join("size"), size))
	}
	for i, p := range run.Pieces {
		if p.Size.Basis == unit.Given && p.Size.Best < next {
			edits = append(edits, set(shop.PiecePath(y.Name, *run, i).Join("size"), size))
		}
	}
	c.offer(actWiderHose, false, c.state(), edits, shop.Word("machine", c.port.String()), shop.Word("what", branchWords(run)),
		shop.Number("from", port.Size.Best), shop.Number("to", next))
}

// branchWords says what has to be wider along a run.
func branchWords(r *shop.Run) string {
	hose, pipe := false, false
	for _, p := range r.Pieces {
		hose = hose || p.What == shop.Hose
		pipe = pipe || p.What == shop.Pipe || p.What == shop.Elbow
	}
	switch {
	case hose && pipe:
		return "hose and pipe"
	case pipe:
		return "pipe"
	}
	return "hose"
}

// smootherHose puts the next smoother kind of hose in place of a ribbed one, or of the usual one.
func (c *cure) smootherHose() {
	y := c.base.System(c.result.System)
	c.onWay(func(r *shop.Run, i int, p *shop.Piece, path shop.Path) {
		if p.What != shop.Hose {
			return
		}
		kind := cmp.Or(p.Kind, r.Kind)
		if k, ok := typical.PipeKind(kind); ok {
			kind = k.Name
		}
		to := map[string]string{"ribbed hose": "smooth hose", "flexible duct": "wire-helix hose", "wire-helix hose": "smooth hose"}[kind]
		if to == "" {
			return
		}
		c.offer(actSmooth, false, c.state(), []shop.Edit{set(shop.PiecePath(y.Name, *r, i).Join("kind"), to)}, shop.Word("piece", c.pieceName(r, path)), shop.Word("to", to))
	})
}

// seal tapes every pipe joint of the system.
func (c *cure) seal() {
	y := c.base.System(c.result.System)
	var edits []shop.Edit
	for i := range y.Runs {
		for k, p := range y.Runs[i].Pieces {
			if p.What == shop.Pipe && p.Leak.Basis != unit.Absent {
				edits = append(edits, set(shop.PiecePath(y.Name, y.Runs[i], k).Join("leak"), "none"))
			}
		}
	}
	if len(edits) > 0 {
		c.offer(actSeal, false, c.state(), edits, shop.Word("system", y.Name))
	}
}

// biggerFilter doubles and more the area: to the usual one of a cartridge.
func (c *cure) biggerFilter() {
	y := c.base.System(c.result.System)
	f := y.Filter.Value
	if y.Kind != "collector" || y.Filter.Basis == unit.Absent || f.Loss.Drop.Basis == unit.Given || f.Area.Best <= 0 {
		return
	}
	kind, ok := typical.FilterKindOf("cartridge")
	if !ok {
		return
	}
	to := kind.Area.Best
	if y.Motor.Value.Power.Best > 1300 {
		to = kind.AreaBig.Best
	}
	if to < 1.5*f.Area.Best {
		return
	}
	name := "ft²"
	if c.base.Units == "si" {
		name = "m²"
	}
	at := shop.SystemPath(y.Name).Join("filter")
	c.offer(actFilter, false, c.state(), []shop.Edit{set(at.Join("area"), unit.PrintIn(to, name)), set(at.Join("kind"), "cartridge")},
		shop.Word("system", y.Name), shop.Number("from", f.Area.Best), shop.Number("to", to))
}

// firstRun is the run that starts at the port.
func (c *cure) firstRun(y *shop.System) *shop.Run {
	for i := range y.Runs {
		for _, p := range y.Runs[i].From.Ports {
			if p.Machine == c.port.Machine && (p.Port == c.port.Port || p.Port == "") {
				return &y.Runs[i]
			}
		}
	}
	return nil
}

// nextSize is the next trade size of the run's kind above a size: from the owner's stock, else those usually had.
func nextSize(s *shop.Shop, r *shop.Run, size unit.Metre) unit.Metre {
	var sizes []unit.Metre
	if kind, ok := typical.PipeKind(r.Kind); ok {
		sizes = kind.Sizes(system(s))
	}
	for _, item := range s.Stock {
		if item.Kind == r.Kind {
			sizes = sizes[:0]
			for _, a := range item.Sizes {
				sizes = append(sizes, a.Best)
			}
		}
	}
	for _, x := range slices.Sorted(slices.Values(sizes)) {
		if x > 1.05*size {
			return x
		}
	}
	return 0
}

func sizeText(size unit.Metre, units string) string {
	if units == "si" {
		return fmt.Sprintf("%.0f mm", 1000*float64(size))
	}
	return unit.PrintIn(size, "in")
}

// kept is how much hose stays when pipe takes over: enough to move the machine. Common practice.
const kept = 6 * 0.3048

func (c *cure) pipeToPost() {
	c.onWay(func(r *shop.Run, _ int, p *shop.Piece, path shop.Path) {
		if p.What != shop.Hose || p.Hose.Basis != unit.Given || p.Hose.Best < kept+1.2 || len(r.From.Ports) > 1 || c.hand() {
			return // a carried hose, or that of a tool in the hand, must stay one
		}
		pipe := float64(p.Hose.Best) - kept
		kind := "snap-lock pipe"
		if c.base.Units == "si" {
			kind = "spiral steel"
		}
		item := &shop.Value{Kind: shop.Map, Keys: []string{"pipe", "kind"}, Items: []shop.Value{*shop.Text(lengthText(pipe, c.base.Units)), *shop.Text(kind)}}
		edits := []shop.Edit{set(path.Join("hose"), lengthText(kept, c.base.Units)), {Insert: item, After: path}}
		if p.Bends.Basis == unit.Given && p.Bends.Best > math.Pi/2 {
			edits = append(edits, set(path.Join("bends"), "90°"))
		}
		c.offer(actPipe, false, c.state(), edits, shop.Word("piece", c.pieceName(r, path)),
			shop.Number("from", unit.Metre(pipe)), shop.Number("to", unit.Metre(kept)))
	})
}
