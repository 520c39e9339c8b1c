package airflow

import (
	"math"
	"slices"

	"winnow/internal/shop"
	"winnow/internal/shop/typical"
	"winnow/internal/unit"
)

// What another collector, wider runs and the owner's own options would do.

// nextFan tries the usual collector of the next motor size.
func (c *cure) nextFan() {
	y := c.base.System(c.result.System)
	if y.Kind != "collector" {
		return
	}
	sys := system(c.base)
	now := y.Motor.Value.Power.Best
	for _, row := range typical.CollectorFans(sys) {
		if row.Power.Best <= now*1.1 {
			continue
		}
		at := shop.SystemPath(y.Name)
		// The table's airflow is what such a fan really moves with its clean filter; a claim is taken at 0.80 of its word.
		claimed := row.Free.Best / 0.8
		var edits []shop.Edit
		if len(y.Fan.Curve) > 0 {
			edits = append(edits, shop.Edit{Remove: at.Join("fan", "curve")})
		}
		pressure := pressureText(row.ShutOff.Best, sys)
		rating := &shop.Value{Kind: shop.Map, Keys: []string{"free air", "shut-off"}, Items: []shop.Value{*shop.Text(flowText(claimed, c.base.Units)), *shop.Text(pressure)}}
		edits = append(edits, shop.Edit{Set: at.Join("fan", "rating"), To: rating}, set(at.Join("fan", "tested"), "as sold"),
			shop.Edit{Set: at.Join("motor"), To: &shop.Value{Kind: shop.Map, Keys: []string{"power", "voltage", "current"}, Items: []shop.Value{
				*shop.Text(unit.PrintMotor(row.Power.Best, sys)), *shop.Text(unit.PrintIn(row.Voltage, "V")), *shop.Text(unit.PrintIn(row.Current.Best, "A")),
			}}})
		if y.Fan.Wheel.Basis == unit.Given {
			edits = append(edits, shop.Edit{Remove: at.Join("fan", "wheel")})
		}
		from, to := shop.Word("from", unit.PrintMotor(now, sys)), shop.Word("to", unit.PrintMotor(row.Power.Best, sys))
		r := c.offer(actNextFan, false, c.state(), edits, from, to)
		if r == nil || r.Effects[0].After < r.Effects[0].NeedsAfter {
			c.withShorterHose(edits, from, to)
		}
		return
	}
}

// withShorterHose looks for the longest hose with which the bigger fan does it.
func (c *cure) withShorterHose(edits []shop.Edit, from, to shop.Arg) {
	need := findPort(&c.result, c.port).NeedsChips
	tried := false
	c.onWay(func(r *shop.Run, _ int, p *shop.Piece, path shop.Path) {
		if tried || p.What != shop.Hose || p.Hose.Basis != unit.Given || p.Hose.Best < 1.5 {
			return
		}
		tried = true
		step, least := c.step(), c.shortest(r, p)
		for length := step * (math.Ceil(float64(p.Hose.Best)/step) - 1); length >= least; length -= step {
			both := append(slices.Clone(edits), set(path.Join("hose"), lengthText(length, c.base.Units)))
			if c.quick(both...) >= need {
				c.offer(actNextFanHose, false, c.state(), both, from, to, shop.Number("length", unit.Metre(length)))
				return
			}
		}
	})
}

// widerRuns takes each shared run on the way one size up: less loss, and slower air.
func (c *cure) widerRuns() {
	y := c.base.System(c.result.System)
	first := c.firstRun(y)
	seen := map[shop.ID]bool{}
	c.onWay(func(r *shop.Run, _ int, _ *shop.Piece, _ shop.Path) {
		if seen[r.Name] || first != nil && r.Name == first.Name || r.Size.Basis != unit.Given {
			return
		}
		seen[r.Name] = true
		next := nextSize(c.base, r, r.Size.Best)
		if next == 0 {
			return
		}
		c.offer(actWiderRun, false, c.state(), []shop.Edit{set(shop.RunPath(y.Name, r.Name).Join("size"), sizeText(next, c.base.Units))},
			shop.Word("run", r.Name), shop.Number("from", r.Size.Best), shop.Number("to", next))
	})
}

// collectorInstead is for a machine that asks more than any vacuum moves: the usual collector with a short hose.
func (c *cure) collectorInstead() {
	y := c.base.System(c.result.System)
	need := findPort(&c.result, c.port).NeedsChips
	if y.Kind == "collector" || need < vacuumMost {
		return
	}
	sys := system(c.base)
	size, length := "4 in", "10 ft"
	if sys == unit.SI {
		size, length = "100 mm", "3 m"
	}
	run := c.firstRun(y)
	if run == nil || len(run.Pieces) == 0 {
		return
	}
	at, main := shop.SystemPath(y.Name), shop.RunPath(y.Name, run.Name)
	text := func(s string) shop.Value { return *shop.Text(s) }
	for _, row := range typical.CollectorFans(sys) {
		if row.Free.Best < 1.6*need {
			continue
		}
		rating := &shop.Value{Kind: shop.Map, Keys: []string{"free air", "shut-off"}, Items: []shop.Value{
			text(flowText(row.Free.Best/0.8, c.base.Units)), text(pressureText(row.ShutOff.Best, sys)),
		}}
		fan := &shop.Value{Kind: shop.Map, Keys: []string{"rating"}, Items: []shop.Value{*rating}}
		hose := &shop.Value{Kind: shop.List, Items: []shop.Value{{Kind: shop.Map, Keys: []string{"hose"}, Items: []shop.Value{text(length)}}}}
		bag := &shop.Value{Kind: shop.Map, Keys: []string{"kind"}, Items: []shop.Value{text("bag")}}
		motor := &shop.Value{Kind: shop.Map, Keys: []string{"power"}, Items: []shop.Value{text(unit.PrintMotor(row.Power.Best, sys))}}
		edits := []shop.Edit{
			set(at.Join("kind"), "collector"), {Set: at.Join("fan"), To: fan}, {Set: at.Join("filter"), To: bag}, {Set: at.Join("motor"), To: motor},
			set(main.Join("size"), size), set(main.Join("kind"), "wire-helix hose"), {Set: main.Join("pieces"), To: hose}, set(c.port.Path().Join("size"), size),
		}
		c.offer(actCollector, false, c.state(), edits, shop.Word("power", unit.PrintMotor(row.Power.Best, sys)), shop.Word("length", length), shop.Word("size", size))
		return
	}
}

// vacuumMost is the airflow beyond which no shop vacuum comes at the end of a hose: 110 cfm (80 to 140) is usual. Common practice.
const vacuumMost unit.M3PerSec = 0.085 // 180 cfm

func pressureText(p unit.Pascal, sys unit.System) string {
	if sys == unit.SI {
		return unit.PrintIn(p, "Pa")
	}
	return unit.PrintIn(p, "inH2O")
}

// options tries what the owner has written down with a price.
func (c *cure) options() {
	for _, o := range c.base.Options {
		if len(o.OnlyWith) > 0 {
			continue
		}
		if r := c.offer(actOption, false, c.state(), o.Change, shop.Word("name", o.Name)); r != nil {
			r.Price = o.Price
		}
	}
}
