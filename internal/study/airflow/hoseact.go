package airflow

import (
	"fmt"
	"math"
	"strings"

	"winnow/internal/shop"
	"winnow/internal/shop/typical"
	"winnow/internal/unit"
)

// What can be done about a hose, a cut and a cabinet.

func (c *cure) hoseActs() {
	c.onWay(func(r *shop.Run, _ int, p *shop.Piece, path shop.Path) {
		switch p.What {
		case shop.Kink:
			c.offer(actNoKink, true, c.state(), []shop.Edit{{Remove: path}}, shop.Word("run", r.Name))
		case shop.Hose:
			c.straighten(r, p, path)
			c.shorten(r, p, path)
		}
	})
}

func (c *cure) straighten(r *shop.Run, p *shop.Piece, path shop.Path) {
	piece := shop.Word("piece", c.pieceName(r, path))
	const quarter = math.Pi / 2
	if p.Bends.Basis == unit.Given && p.Bends.Best > quarter*1.2 {
		c.offer(actStraighten, true, c.state(), []shop.Edit{set(path.Join("bends"), "90°")}, piece,
			shop.Number("from", p.Bends.Best), shop.Number("to", unit.Radian(quarter)))
	}
	if p.Stretch.Basis == unit.Given && p.Stretch.Best < 0.95 {
		edits := []shop.Edit{set(path.Join("stretch"), "100 %")}
		if p.Hose.Basis == unit.Given { // pulled out it is longer
			edits = append(edits, set(path.Join("hose"), unit.PrintIn(p.Hose.Best/unit.Metre(p.Stretch.Best), lengthUnit(c.base.Units))))
		}
		c.offer(actStretch, true, c.state(), edits, piece)
	}
}

// pieceName is a hose or pipe as the owner would point at it.
// Where there is one run only nothing has to be told apart, and its name, "main", would tell an owner nothing.
func (c *cure) pieceName(r *shop.Run, path shop.Path) string {
	name := "the " + strings.TrimRight(path.Last(), " 0123456789")
	if y := c.base.System(c.result.System); y != nil && len(y.Runs) == 1 {
		return name
	}
	return name + " of " + r.Name
}

// reserve is how much longer than the straight way a hose must stay: a third, as it has to lie and move. Judgement.
const reserve = 1.33

// shorten looks for the longest hose that gives the port its need; where none does, the shortest that still reaches.
func (c *cure) shorten(r *shop.Run, p *shop.Piece, path shop.Path) {
	full := float64(p.Hose.Best)
	if p.Hose.Basis != unit.Given || full < 1.5 {
		return
	}
	step, least := c.step(), c.shortest(r, p)
	need := findPort(&c.result, c.port).NeedsChips
	if p.Size.Best >= narrow*r.Size.Best {
		c.noLength(r, path, step)
	}
	best := 0.0
	for length := step * math.Floor(full/step); length >= least; length -= step {
		if length >= full-step/2 {
			continue
		}
		best = length
		if q := c.quick(set(path.Join("hose"), lengthText(length, c.base.Units))); q >= need {
			break
		}
	}
	if best > 0 {
		c.offer(actShorten, true, c.state(), []shop.Edit{set(path.Join("hose"), lengthText(best, c.base.Units))},
			shop.Word("piece", c.pieceName(r, path)), shop.Number("from", p.Hose.Best), shop.Number("to", unit.Metre(best)))
	}
}

// noLength tells that even the shortest hose would not do, and what takes most of the pull then.
func (c *cure) noLength(r *shop.Run, path shop.Path, shortest float64) {
	s, l := c.tried([]shop.Edit{set(path.Join("hose"), lengthText(shortest, c.base.Units))})
	if s == nil {
		return
	}
	rs := c.solve(s, l, c.sets[:1])
	if len(rs) == 0 {
		return
	}
	p := findPort(&rs[0], c.port)
	if p == nil || p.Gets >= p.NeedsChips {
		return
	}
	limit := "The fan is the limit"
	if len(p.Pull) > 0 && p.Pull[0].Of >= 0.4 && p.Pull[0].Group != Rest {
		limit = map[Group]string{
			Mouth: "Its own mouth is the limit", FilterGroup: "The filter is the limit", HoseGroup: "The other hose on the way is the limit",
			PipeGroup: "The pipe is the limit", Bends: "Bends and wyes are the limit", SeparatorGroup: "The separator is the limit",
		}[p.Pull[0].Group]
	}
	c.limits = append(c.limits, finding(CodeNoLength, c.port.Path(), shop.Word("port", c.port.String()), shop.Word("piece", c.pieceName(r, path)),
		shop.Number("gets", p.Gets), shop.Number("needs", p.NeedsChips), shop.Word("limit", limit)))
}

// step is how finely hose lengths are tried: whole feet, or quarters of a metre.
func (c *cure) step() float64 {
	if c.base.Units == "si" {
		return 0.25
	}
	return 0.3048
}

func lengthUnit(units string) string {
	if units == "si" {
		return "m"
	}
	return "ft"
}

func lengthText(metres float64, units string) string {
	if units == "si" {
		return fmt.Sprintf("%.2f m", metres)
	}
	return fmt.Sprintf("%.0f ft", metres/0.3048)
}

// shortest is the least length at which the hose reaches every machine it serves, where the plan knows; else a third of
// what it is, and no less than 1 m.
func (c *cure) shortest(r *shop.Run, p *shop.Piece) float64 {
	least := 0.0
	for _, lay := range c.layout.Lays {
		if lay.System == c.result.System && lay.Run == r.Name && lay.Known {
			rest := float64(lay.Hose.Best - p.Hose.Best)
			least = max(least, reserve*float64(lay.Straight)-rest)
		}
	}
	if c.hand() {
		return max(handReach, least)
	}
	if least > 0 {
		return max(0.5, least)
	}
	return max(1, float64(p.Hose.Best)/3)
}

// handReach is the shortest hose a tool in the hand can be worked with. Common practice.
const handReach = 2.5

// hand reports whether the machine is held in the hand.
func (c *cure) hand() bool {
	kind, ok := typical.MachineKind(c.base.Machine(c.port.Machine).Kind)
	return ok && kind.Hand
}

// quick is what the port gets after edits, in its own setting; 0 if it cannot be computed.
func (c *cure) quick(edits ...shop.Edit) unit.M3PerSec {
	s, l := c.tried(edits)
	if s == nil {
		return 0
	}
	rs := c.solve(s, l, c.sets[:1])
	if len(rs) == 0 {
		return 0
	}
	if p := findPort(&rs[0], c.port); p != nil {
		return p.Gets
	}
	return 0
}

// lighterCuts lowers what has to be carried, for machines that plane.
func (c *cure) lighterCuts() {
	m := c.base.Machine(c.port.Machine)
	kind, ok := typical.MachineKind(m.Kind)
	if !ok || kind.Form != "shavings" {
		return
	}
	p := m.Port(c.port.Port)
	from := p.Needs.Chips.Best
	if from <= 0 {
		return
	}
	to := from * lighterNeed
	path := c.port.Path().Join("needs", "chips")
	c.offer(actLighterCuts, true, c.state(), []shop.Edit{set(path, flowText(to, c.base.Units))},
		shop.Word("machine", m.Name), shop.Number("from", from), shop.Number("to", to))
}

func flowText(q unit.M3PerSec, units string) string {
	if units == "si" {
		return unit.PrintIn(q, "m³/h")
	}
	return unit.PrintIn(q, "cfm")
}

func (c *cure) openings() {
	m := c.base.Machine(c.port.Machine)
	p := m.Port(c.port.Port)
	if p.Opening.Basis != unit.Given {
		return
	}
	to := 2 * p.Opening.Best
	name := "in²"
	if c.base.Units == "si" {
		name = "cm²"
	}
	c.offer(actOpening, true, c.state(), []shop.Edit{set(c.port.Path().Join("opening"), unit.PrintIn(to, name))},
		shop.Word("machine", m.Name), shop.Number("from", p.Opening.Best), shop.Number("to", to))
}
