package airflow

import (
	"cmp"
	"fmt"
	"math"
	"strings"

	"winnow/internal/physics/air"
	"winnow/internal/physics/duct"
	"winnow/internal/physics/network"
	"winnow/internal/shop"
	"winnow/internal/shop/plan"
	"winnow/internal/shop/typical"
	"winnow/internal/unit"
)

// piece turns one piece of a run into elements.
func (c *cursor) piece(p shop.Piece, i int) {
	var err error
	switch p.What {
	case shop.Pipe:
		err = c.pipe(p, i)
	case shop.Hose:
		err = c.hose(p, i)
	case shop.Elbow:
		err = c.elbow(p, i)
	case shop.Reducer:
		err = c.reducer(p, i)
	case shop.Gate:
		err = c.gate(p, i)
	case shop.Separator:
		err = c.separator(p, i)
	case shop.Kink:
		err = c.fitting(p, i, HoseGroup, func() (duct.Coefficient, error) { return duct.Kink(p.Kink.Best) })
	case shop.Other:
		err = c.other(p, i)
	case shop.Wye:
		c.wye(p, i)
	case shop.Split:
		c.splitHere(p, i)
	case shop.Tap: // a stopped hole: it measures, it does not resist
	default:
		err = fmt.Errorf("a piece that says none of pipe, hose, elbow, reducer, gate, wye, separator, tap, kink, other or split")
	}
	if err != nil {
		c.fail(codeBadPart, c.path(i), shop.Word("part", string(c.path(i).Last())), shop.Word("why", err.Error()))
		return
	}
	if p.Leak.Best > 0 && p.What != shop.Gate { // a gate's leak is what passes it when shut
		c.leak(c.path(i), p.Leak.Best)
	}
}

// kind is what the piece is made of: its own kind, else the run's.
func (c *cursor) kind(p shop.Piece) string { return cmp.Or(p.Kind, c.r.run.Kind) }

// wall is the inside of a kind, by the name the friction model knows it under.
func wallOf(kind string, bore unit.Metre) (duct.Wall, error) {
	p, ok := typical.PipeKind(kind)
	if !ok {
		return duct.WallOf(duct.Kind(kind), bore)
	}
	return duct.WallOf(duct.Kind(p.Wall), bore)
}

// length is the plan's word on how long a pipe or hose is.
func (c *cursor) length(i int) (unit.Amount[unit.Metre], plan.Goes, error) {
	l := c.laid(i)
	if l == nil || l.Length.Basis == unit.Unsaid {
		return unit.Amount[unit.Metre]{}, plan.GoesUnknown, fmt.Errorf("its length is not known: write one, or give the pieces beside it a place")
	}
	return l.Length, l.Goes, nil
}

func (c *cursor) pipe(p shop.Piece, i int) error {
	length, goes, err := c.length(i)
	if err != nil {
		return err
	}
	bore := c.bore0(p)
	wall, err := wallOf(c.kind(p), bore.Best)
	if err != nil {
		return err
	}
	e := straight(c.path(i), PipeGroup, wall, length.Best)
	e.goes, e.basis = goes, length.Basis
	if p.Leak.Basis != unit.Absent { // `leak: none`: its joints are sealed
		e.seams = seamClass(c.kind(p))
	}
	e.doubts = c.frictionDoubt(e.path, wall, length, bore)
	c.then(e)
	return nil
}

// straight is an element of plain friction. A pipe follows Colebrook's law, a hose has a constant factor.
func straight(at shop.Path, g Group, wall duct.Wall, length unit.Metre) element {
	e := element{
		path: at, what: wall.What, group: g, bore: wall.Bore, length: length, source: wall.Roughness.Source,
		law: network.Law{Kind: network.Duct, Diameter: wall.Bore, Length: length, Roughness: wall.Roughness.Best, FrictionScale: 1},
	}
	if wall.Darcy.Best > 0 {
		e.law.Darcy, e.source = float64(wall.Darcy.Best), wall.Darcy.Source
	}
	return e
}

func (c *cursor) hose(p shop.Piece, i int) error {
	length, goes, err := c.length(i)
	if err != nil {
		return err
	}
	bore := c.bore0(p)
	wall, err := wallOf(c.kind(p), bore.Best)
	if err != nil {
		return err
	}
	// Only the owner's word on the stretch counts: the usual hose's band already spans from pulled straight to slack.
	if p.Stretch.Basis == unit.Given && p.Stretch.Best < 1 {
		if wall, err = wall.Slack(p.Stretch.Best); err != nil {
			return err
		}
	}
	e := straight(c.path(i), HoseGroup, wall, length.Best)
	if p.Stretch.Basis != unit.Given {
		e.what = strings.TrimSuffix(e.what, ", pulled straight")
	}
	e.goes, e.basis = goes, length.Basis
	e.doubts = c.frictionDoubt(e.path, wall, length, bore)
	c.then(e)
	if p.Bends.Best > 0 {
		k, err := duct.HoseBend(p.Bends.Best)
		if err != nil {
			return err
		}
		b := c.coefficient(c.path(i), HoseGroup, k, wall.Bore)
		b.basis = p.Bends.Basis
		c.then(b)
	}
	return nil
}

// fitting adds a piece that loses K velocity pressures, and the pipe it stands for where the plan gives it a length.
func (c *cursor) fitting(p shop.Piece, i int, g Group, k func() (duct.Coefficient, error)) error {
	coefficient, err := k()
	if err != nil {
		return err
	}
	bore := c.bore0(p).Best
	if coefficient.On > 0 {
		bore = coefficient.On
	}
	e := c.coefficient(c.path(i), g, coefficient, bore)
	if l := c.laid(i); l != nil {
		e.goes = l.Goes
	}
	c.then(e)
	return nil
}

func (c *cursor) elbow(p shop.Piece, i int) error {
	angle := p.Elbow
	if l := c.laid(i); l != nil && l.Turn.Basis != unit.Unsaid {
		angle = l.Turn
	}
	if angle.Basis == unit.Unsaid || angle.Basis == unit.Drawn && angle.Best == 0 {
		return fmt.Errorf("its angle is not known: write one, or give the pieces beside it a place")
	}
	make := duct.FourPiece
	if k, ok := typical.ElbowMake(p.Make); ok {
		make = duct.Make(k.Table)
	}
	err := c.fitting(p, i, Bends, func() (duct.Coefficient, error) {
		return duct.Elbow(duct.Bend{Make: make, Radius: float64(p.Radius.Best), Angle: angle.Best})
	})
	if err == nil {
		e := &c.elements[len(c.elements)-1]
		e.turns, e.radius = float64(angle.Best), cmp.Or(float64(p.Radius.Best), 1.5)
	}
	return err
}

func (c *cursor) reducer(p shop.Piece, i int) error {
	from := c.bore0(shop.Piece{Kind: p.Kind}).Best
	if c.bore > 0 {
		from = c.bore
	}
	c.size = p.Reducer.Best
	to := c.bore0(shop.Piece{Kind: p.Kind}).Best
	k, err := duct.SizeChange(from, to, p.Angle.Best)
	if err != nil {
		return err
	}
	e := c.coefficient(c.path(i), Rest, k, min(from, to))
	e.what = k.What
	c.bore = e.bore // the reducer is its own adapter
	c.then(e)
	c.bore = to
	return nil
}

func (c *cursor) gate(p shop.Piece, i int) error {
	bore := c.bore0(p).Best
	e := c.coefficient(c.path(i), Rest, duct.OpenGate(), bore)
	e.gate, e.shutLaw = p.Gate, network.Law{}
	leak, err := duct.GateLeak(bore)
	if err != nil {
		return err
	}
	if p.Leak.Basis != unit.Unsaid && p.Leak.Basis != unit.Assumed { // the owner's word on this gate
		if leak, err = duct.Hole(p.Leak.Best); err != nil {
			return err
		}
	}
	if leak.CdA > 0 && p.Leak.Basis != unit.Absent {
		e.shutLaw = network.Law{Kind: network.Orifice, CdA: leak.CdA}
		e.doubts = append(e.doubts, leakDoubt("kind/gate/leak", e.path, leak))
	}
	n := c.then(e)
	c.gates[p.Gate] = append(c.gates[p.Gate], n)
	c.r.gates = append(c.r.gates, p.Gate)
	return nil
}

func (c *cursor) separator(p shop.Piece, i int) error {
	bore := c.bore0(p).Best
	if p.Loss.Drop.Best > 0 {
		k, err := duct.LossAtFlow(p.Loss.Drop.Best, p.Loss.At.Best, bore, air.StandardSI, "separator "+p.Separator)
		if err != nil {
			return err
		}
		k.Low, k.High = withDoubt(p.Loss.Drop, k.K, k.Low, k.High)
		return c.fitting(p, i, SeparatorGroup, func() (duct.Coefficient, error) { return k, nil })
	}
	inlet := bore
	if p.Inlet.Best > 0 {
		inlet = p.Inlet.Best
	}
	make := duct.BaffleLid
	if k, ok := typical.SeparatorMake(p.Make); ok {
		make = duct.Separator(k.Name)
	}
	before := c.bore
	err := c.fitting(p, i, SeparatorGroup, func() (duct.Coefficient, error) {
		return duct.SeparatorLoss(make, duct.AreaOfBore(inlet))
	})
	if before > 0 {
		c.bore = bore // it takes the run's size on again behind it; its own loss includes that
	}
	return err
}

func (c *cursor) other(p shop.Piece, i int) error {
	bore := c.bore0(p).Best
	k, err := duct.LossAtFlow(p.Other.Drop.Best, p.Other.At.Best, bore, air.StandardSI, "as written")
	if err != nil {
		return err
	}
	k.Low, k.High = withDoubt(p.Other.Drop, k.K, k.Low, k.High)
	return c.fitting(p, i, Rest, func() (duct.Coefficient, error) { return k, nil })
}

// withDoubt takes the owner's doubt about a pressure in place of the usual one.
func withDoubt(drop unit.Amount[unit.Pascal], k, low, high float64) (float64, float64) {
	if drop.Low == drop.High || drop.Best <= 0 {
		return low, high
	}
	return k * float64(drop.Low/drop.Best), k * float64(drop.High/drop.Best)
}

// splitLoss is what air loses that turns off into a split's side leg, in velocity pressures of that leg; the way on
// loses splitThrough. Judgement: a dividing tee of a ring main, seldom met.
const (
	splitLoss    = 0.5
	splitThrough = 0.05
)

// splitHere is where air leaves into another run: the way there has two ends.
func (c *cursor) splitHere(p shop.Piece, i int) {
	node := c.builder.split(p.Split)
	k := duct.Coefficient{K: splitThrough, Low: 0, High: 4 * splitThrough, Basis: unit.Assumed, Source: "judgement [S-210]", What: "split, straight on"}
	e := c.coefficient(c.path(i), Bends, k, c.bore0(p).Best)
	e.run = c.r.run.Name
	c.adapt(e.path, e.bore)
	n := c.add(c.node, node, e)
	c.r.elements = append(c.r.elements, n)
	c.node, c.bore = node, e.bore
}

// leak adds a hole from the room into the run at this place. It is not on the way of the air.
func (c *cursor) leak(at shop.Path, area unit.M2) {
	hole, err := duct.Hole(area)
	if err != nil {
		c.fail(codeBadPart, at, shop.Word("part", string(at.Last())), shop.Word("why", err.Error()))
		return
	}
	c.addLeak(at, c.node, hole)
}

func (b *builder) addLeak(at shop.Path, into int, l duct.Leak) {
	e := element{
		path: at, what: l.What, group: Rest, source: l.Source, basis: l.Basis,
		doubts: []doubted{leakDoubt("kind/leak", at, l)},
	}
	if l.CdA > 0 {
		e.law = network.Law{Kind: network.Orifice, CdA: l.CdA}
	} else {
		e.law = network.Law{Kind: network.Leak, C: l.C, Exponent: l.N}
	}
	b.add(room, into, e)
}

// seams adds the leak of a finished run's pipe joints at its end, where the suction is greatest, by the leakage class of
// each kind of pipe. Hose is taken as tight.
func (b *builder) seams(r *runModel) {
	var classed, surface float64
	for _, n := range r.elements {
		if e := &b.elements[n]; e.seams > 0 {
			wall := math.Pi * float64(e.bore) * float64(e.length)
			surface += wall
			classed += e.seams * wall
		}
	}
	if surface == 0 {
		return
	}
	l, err := duct.SeamsOfClass(classed/surface, unit.M2(surface))
	if err != nil {
		b.fail(codeBadPart, shop.RunPath(b.system.Name, r.run.Name), shop.Word("part", r.run.Name), shop.Word("why", err.Error()))
		return
	}
	b.addLeak(shop.RunPath(b.system.Name, r.run.Name), r.end, l)
}

// seamClass is the leakage class of a kind of pipe; 0 where nothing leaks.
func seamClass(kind string) float64 {
	if p, ok := typical.PipeKind(kind); ok && !p.Hose {
		return float64(p.Seam.Best)
	}
	return 0
}
