package airflow

import (
	"fmt"

	"winnow/internal/physics/air"
	"winnow/internal/physics/duct"
	"winnow/internal/physics/fan"
	"winnow/internal/physics/network"
	"winnow/internal/shop"
	"winnow/internal/shop/typical"
	"winnow/internal/unit"
)

// buildMouth adds a machine's port as the start of a run: the way in, a fan of the machine's own, and an adapter to the
// run's first piece. A carried hose has several, of which one is on.
func (b *builder) buildMouth(r *runModel, ref shop.PortRef) {
	m := b.shop.Machine(ref.Machine)
	if m == nil {
		b.fail(codeNoPort, shop.RunPath(b.system.Name, r.run.Name).Join("from"), shop.Word("port", ref.String()))
		return
	}
	port := m.Port(ref.Port)
	if port == nil && ref.Port == "" && len(m.Ports.Value) == 1 {
		port = &m.Ports.Value[0]
	}
	if port == nil {
		b.fail(codeNoPort, shop.RunPath(b.system.Name, r.run.Name).Join("from"), shop.Word("port", ref.String()))
		return
	}
	ref.Port = port.Name
	at := ref.Path()
	bore := port.Size.Best
	into := mouth{port: ref, run: r, bore: bore}
	node := room
	next := func(e element) {
		e.run = r.run.Name
		to := b.node()
		into.elements = append(into.elements, b.add(node, to, e))
		node = to
	}
	if err := b.mouthPieces(at, port, bore, next); err != nil {
		b.fail(codeBadPart, at, shop.Word("part", ref.String()), shop.Word("why", err.Error()))
		return
	}
	into.first = b.elements[into.elements[0]].link
	first := b.firstBore(r)
	k, err := duct.Adapter(bore, first)
	if err != nil {
		b.fail(codeBadPart, at, shop.Word("part", ref.String()), shop.Word("why", err.Error()))
		return
	}
	if near(bore, first) {
		k = duct.Coefficient{On: bore, What: "slips on", Basis: unit.Assumed}
	}
	e := b.coefficient(at, Rest, k, min(bore, first))
	e.run = r.run.Name
	into.elements = append(into.elements, b.add(node, r.start, e))
	b.mouths = append(b.mouths, into)
}

// mouthPieces are the openings of the machine, its mouth and its own blower.
func (b *builder) mouthPieces(at shop.Path, port *shop.Port, bore unit.Metre, next func(element)) error {
	m := duct.Mouth{}
	var err error
	switch {
	case port.Opening.Best > 0:
		open, err := duct.Opening(port.Opening.Best)
		if err != nil {
			return err
		}
		next(element{
			path: at, what: open.What, group: Mouth, source: open.Source, basis: port.Opening.Basis,
			law:    network.Law{Kind: network.Orifice, CdA: open.CdA},
			doubts: []doubted{leakDoubt("", at, open)},
		})
		m, err = duct.MachineMouth(duct.PlainPort)
		if err != nil {
			return err
		}
	case port.Entry.Best > 0:
		low, high := port.Entry.Low, port.Entry.High
		m, err = duct.MouthGiven(float64(port.Entry.Best), max(1, float64(low)), float64(high))
		m.Suction.Basis = port.Entry.Basis
		if port.Entry.Source != "" {
			m.Suction.Source = port.Entry.Source
		}
	default:
		m, err = duct.MachineMouth(duct.PlainPort)
	}
	if err != nil {
		return err
	}
	loss := m.Loss()
	loss.What = "mouth of the machine"
	e := b.coefficient(at, Mouth, loss, bore)
	e.doubts = mouthDoubt(at, m)
	next(e)
	if port.Blower.Is() {
		est, err := b.estimate(&port.Blower.Value, shop.Motor{}, fan.Radial)
		if err != nil {
			return err
		}
		law, curve := est.law()
		next(element{path: at.Join("blower"), what: "the machine's own blower, " + curve, group: Rest, source: est.source, law: law, doubts: fanDoubt(at, est)})
	}
	return nil
}

// firstBore is the true bore of a run's first piece of its own.
func (b *builder) firstBore(r *runModel) unit.Metre {
	for _, n := range r.elements {
		if bore := b.elements[n].bore; bore > 0 {
			return bore
		}
	}
	return r.endBore
}

// buildFanEnd adds what comes after the main: the inlet, the fan, the filter, the way out. The last of them leads into
// the room where no pieces follow.
func (b *builder) buildFanEnd(main *runModel) {
	at := shop.SystemPath(b.system.Name)
	var parts []element
	inlet := b.system.Inlet.Best
	if inlet > 0 && !near(inlet, main.endBore) {
		k, err := duct.Adapter(main.endBore, inlet)
		if err != nil {
			b.fail(codeBadPart, at.Join("inlet"), shop.Word("part", "the inlet"), shop.Word("why", err.Error()))
			return
		}
		parts = append(parts, b.coefficient(at.Join("inlet"), Rest, k, min(inlet, main.endBore)))
	}
	if what := b.bendNearFan(main); what != "" {
		k := duct.FanInletEffect()
		k.What += ": " + what
		bore := inlet
		if bore == 0 {
			bore = main.endBore
		}
		parts = append(parts, b.coefficient(at.Join("inlet"), Bends, k, bore))
	}
	family := familyOf(*b.system)
	est, err := b.estimate(&b.system.Fan, b.system.Motor.Value, family)
	if err != nil {
		b.fail(codeBadPart, at.Join("fan"), shop.Word("part", "the fan"), shop.Word("why", err.Error()))
		return
	}
	filter, withFilter, err := b.filterElement(est)
	if err != nil {
		b.fail(codeBadPart, at.Join("filter"), shop.Word("part", "the filter"), shop.Word("why", err.Error()))
		return
	}
	law, curve := est.law()
	theFan := element{path: at.Join("fan"), what: "fan, " + curve, group: Rest, source: est.source, basis: est.basis, law: law, doubts: fanDoubt(at, est)}
	fanAt, filterAt := len(parts), -1
	switch {
	case !withFilter:
		parts = append(parts, theFan)
	case family == fan.Radial: // the collector blows into its filter, the vacuum draws through it
		parts = append(parts, theFan, filter)
		filterAt = fanAt + 1
	default:
		parts = append(parts, filter, theFan)
		filterAt, fanAt = fanAt, fanAt+1
	}
	node := main.end
	for i, e := range parts {
		to := room
		if i < len(parts)-1 || len(b.system.Exhaust) > 0 {
			to = b.node()
		}
		n := b.add(node, to, e)
		b.tail = append(b.tail, n)
		node = to
		switch i {
		case fanAt:
			b.fan = n
		case filterAt:
			b.filter = n
		}
	}
	if len(b.system.Exhaust) > 0 {
		b.exhaust(at, node, main)
	}
}

// exhaust adds the pieces after the fan and the free end. Fan data are static, so the velocity pressure at the outlet is
// already given away: a straight pipe of the outlet's bore costs only its friction.
func (b *builder) exhaust(at shop.Path, node int, main *runModel) {
	r := &runModel{run: &shop.Run{Pieces: b.system.Exhaust}}
	size := b.system.Fan.Outlet.Best
	if size == 0 {
		size = main.run.Size.Best
	}
	c := &cursor{builder: b, r: r, node: node, size: size, bore: size}
	for i, p := range b.system.Exhaust {
		c.piece(p, i)
		if b.failed {
			return
		}
	}
	b.tail = append(b.tail, r.elements...)
	k := duct.Exit()
	k.K = max(0, k.K-pow4(c.bore/size))
	e := b.coefficient(at.Join("exhaust"), Rest, k, c.bore)
	e.what = "free end, beyond the velocity pressure at the fan's outlet"
	e.doubts = nil
	b.tail = append(b.tail, b.add(c.node, room, e))
}

// familyOf is the shape of a system's fan curve.
func familyOf(y shop.System) fan.Family {
	if y.Kind == "collector" {
		return fan.Radial
	}
	return fan.Vacuum
}

func pow4[T ~float64](x T) float64 { return float64(x * x * x * x) }

// nearFan is how close to the inlet a bend spoils the fan, in bores.
const nearFan = 3

// bendNearFan names an elbow, a split or a sharp turn within three bores of the inlet; empty if there is none.
func (b *builder) bendNearFan(main *runModel) string {
	if b.system.Kind != "collector" {
		return "" // a vacuum's fan has its tank before it
	}
	var straight unit.Metre
	for i := len(main.elements) - 1; i >= 0; i-- {
		e := &b.elements[main.elements[i]]
		switch {
		case e.group == Bends:
			return e.what
		case e.group == SeparatorGroup:
			return ""
		}
		if straight += e.length; straight > nearFan*e.bore {
			return ""
		}
	}
	if len(main.elements) == 0 || straight == 0 {
		if p := main.run.Pieces; len(p) > 0 && p[0].What == shop.Wye && len(p[0].Wye) > 1 {
			return "two-way split"
		}
	}
	return ""
}

// filterElement is the system's own filter. Its law is that of the filter new; a setting's state multiplies it.
func (b *builder) filterElement(est fanEstimate) (element, bool, error) {
	f := b.system.Filter
	if f.Basis == unit.Absent {
		return element{}, false, nil
	}
	r, err := filterNew(f.Value)
	if err != nil {
		return element{}, false, err
	}
	e := element{
		path: shop.SystemPath(b.system.Name).Join("filter"), what: r.What, group: FilterGroup, source: r.Source, basis: r.Basis,
		law: network.Law{Kind: network.Filter, A: r.Linear, B: r.Square}, doubts: filterDoubt(b.system.Name),
	}
	b.asSold = est.IncludesFilter
	return e, true, nil
}

// filterNew is the resistance of a filter when it was new: from the owner's figure, which is that of a clean filter in use,
// or from the fabric of its kind and its area. Source [S-099].
func filterNew(f shop.Filter) (duct.Resistance, error) {
	if f.Loss.Drop.Basis == unit.Given {
		r, err := duct.FilterAtFlow(f.Loss.Drop.Best, f.Loss.At.Best)
		if err != nil {
			return r, err
		}
		r.Linear /= loadClean
		r.What = "filter"
		return r, nil
	}
	kind, ok := typical.FilterKindOf(f.Kind)
	if !ok {
		kind, _ = typical.FilterKindOf("bag") // a finding of typical's says that the kind is not known
	}
	if !(f.Area.Best > 0) {
		return duct.Resistance{}, fmt.Errorf("its area is not known")
	}
	return duct.Resistance{
		Linear: float64(kind.K1.Best) / float64(f.Area.Best), Basis: unit.Assumed, Source: kind.K1.Source,
		What: fmt.Sprintf("filter, %s, %.2g m²", kind.Name, float64(f.Area.Best)),
	}, nil
}

// fanEstimate is a fan as a law, with its ranges.
type fanEstimate struct {
	fan.Estimate
	curve  *network.Curve // from points; nil for an estimate
	points int
	source string
	basis  unit.Basis
}

// estimate turns the owner's fan into one: the points of a curve, or what a rating is worth.
func (b *builder) estimate(f *shop.Fan, motor shop.Motor, family fan.Family) (fanEstimate, error) {
	if len(f.Curve) > 0 {
		return curveEstimate(f.Curve, b.air, f.Tested)
	}
	r := fan.Rating{Family: family, Density: b.air.Density, Motor: motor.Power.Best, Wheel: f.Wheel.Best}
	if b.shop.Site.Wiring == "iec" {
		r.Mains = 50
	}
	if f.Tested == "as sold" {
		r.Tested = fan.ClaimAsSold
	}
	// A claim is the owner's; what was filled in is the usual fan as it really is, and the estimate gives way to it.
	free, shut := f.Rating.Value.FreeAir, f.Rating.Value.ShutOff
	r.FreeAir, r.ShutOff = free.Best, shut.Best
	e, err := r.Estimate()
	if err != nil {
		return fanEstimate{}, err
	}
	if free.Basis == unit.Assumed {
		e.FreeAir = free
	}
	if shut.Basis == unit.Assumed {
		thin := unit.Pascal(b.air.Density / air.StandardSI)
		e.ShutOff = unit.Amount[unit.Pascal]{Best: shut.Best * thin, Low: shut.Low * thin, High: shut.High * thin, Basis: shut.Basis, Source: shut.Source}
	}
	return fanEstimate{Estimate: e, source: e.FreeAir.Source + "; " + e.ShutOff.Source, basis: unit.Assumed}, nil
}

func curveEstimate(points []shop.FanPoint, a air.State, tested string) (fanEstimate, error) {
	thin := unit.Pascal(a.Density / air.StandardSI)
	ps := make([]network.FanPoint, len(points))
	for i, p := range points {
		ps[i] = network.FanPoint{Flow: p.Flow, Rise: p.Pressure * thin}
	}
	c, err := network.Smooth(ps)
	if err != nil {
		return fanEstimate{}, err
	}
	e := fanEstimate{curve: c, points: len(points), source: "the maker's curve, uncertified [S-103]", basis: unit.Given}
	e.IncludesFilter = tested == "as sold"
	return e, nil
}

// law is the fan as a link, and how its curve was come by.
func (e fanEstimate) law() (network.Law, string) {
	if e.curve != nil {
		return network.Law{Kind: network.Fan, Curve: e.curve, Speed: 1, FlowScale: 1, PressureScale: 1}, "curve through the points written"
	}
	return network.Law{
		Kind: network.FanRating, ShutOff: e.ShutOff.Best, FreeFlow: e.FreeAir.Best, Exponent: float64(e.Exponent.Best),
		Speed: 1, FlowScale: 1, PressureScale: 1,
	}, "curve estimated from its rating"
}
