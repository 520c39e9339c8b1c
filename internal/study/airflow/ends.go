package airflow

import (
	"fmt"
	"math"

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
		if port.Entry.Basis == unit.Given { // both were written: the slots come before the mouth
			m, err = duct.MouthGiven(float64(port.Entry.Best), max(1, float64(port.Entry.Low)), float64(port.Entry.High))
		} else {
			m, err = duct.MachineMouth(duct.PlainPort)
		}
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
		law, curve := est.blowerLaw(bore, b.air)
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
	if k, bent := b.bendNearFan(main); bent {
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
	// Where the end is wider than the outlet some pressure would come back; none is counted, and widening costs nothing either.
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

// nearFan is how close to the inlet a bend can spoil the fan, in bores. Source [S-095].
const nearFan = 5

// bendNearFan is what an elbow, a split or the bends of a hose close to the inlet take from the fan. An elbow goes by the published
// table of its radius and distance (S-095); a split or a hose's bends by the lump of 0.6 (0 to 1.3), fading out over five bores (S-096).
func (b *builder) bendNearFan(main *runModel) (duct.Coefficient, bool) {
	if b.system.Kind != "collector" {
		return duct.Coefficient{}, false // a vacuum's fan has its tank before it
	}
	straight := 0.0 // bores between
	for i := len(main.elements) - 1; i >= 0 && straight < nearFan; i-- {
		e := &b.elements[main.elements[i]]
		switch {
		case e.group == SeparatorGroup:
			return duct.Coefficient{}, false
		case e.turns > 0: // an elbow
			k, err := duct.NearFan(min(4, max(0.5, e.radius)), straight)
			if err != nil || k.K <= 0 {
				return duct.Coefficient{}, false
			}
			share := e.turns / (math.Pi / 2)
			k.K, k.Low, k.High = k.K*share, k.Low*share, k.High*share
			return k, true
		case e.group == Bends:
			return fading(straight, e.what), true
		case e.group == HoseGroup && e.length == 0 && e.k > hoseTurn: // the bends of a hose, anywhere along it
			k := fading(straight, e.what)
			if i > 0 {
				if hose := &b.elements[main.elements[i-1]]; hose.length > 0 && hose.bore > 0 {
					near := min(1, nearFan*float64(hose.bore)/float64(hose.length)) // the part of the hose that is near
					k.K, k.High = k.K*near, k.High*near
				}
			}
			return k, k.K > 0.02
		}
		if e.bore > 0 {
			straight += float64(e.length / e.bore)
		}
	}
	if p := main.run.Pieces; straight < nearFan && len(p) > 0 && p[0].What == shop.Wye && len(p[0].Wye) > 1 {
		return fading(straight, "two-way split"), true
	}
	return duct.Coefficient{}, false
}

// hoseTurn is the coefficient of a hose's bends from which on they count as a turn: 45° together.
const hoseTurn = 0.15

func fading(straight float64, what string) duct.Coefficient {
	k := duct.FanInletEffect()
	f := max(0, 1-straight/nearFan)
	k.K, k.Low, k.High = k.K*f, k.Low*f, k.High*f
	k.What += ": " + what
	return k
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
		What: "filter, " + kind.Name,
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
	e.IncludesFilter = f.Tested == "as sold"
	capped := capByMotor(&e, motor)
	source := e.FreeAir.Source + "; " + e.ShutOff.Source
	if capped {
		source += "; both cut to what the motor can make [S-103]"
	}
	return fanEstimate{Estimate: e, source: source, basis: unit.Assumed}, nil
}

// mostEfficiency is the share of a motor's plate that a small radial blower turns into air power at its best. Judgement,
// source [S-103].
const mostEfficiency = 0.60

// capByMotor cuts an estimate that asks more air power of the motor than any such fan makes of it: pull and free air alike, each by
// the root, with a wider range downwards. Only a plate the owner gave may do that.
func capByMotor(e *fan.Estimate, motor shop.Motor) bool {
	if motor.Power.Basis != unit.Given || motor.Power.Best <= 0 {
		return false
	}
	n := float64(e.Exponent.Best)
	peak := n / (n + 1) * math.Pow(n+1, -1/n) * float64(e.ShutOff.Best) * float64(e.FreeAir.Best)
	over := peak / (mostEfficiency * float64(motor.Power.Best))
	if over <= 1 {
		return false
	}
	f := 1 / math.Sqrt(over)
	e.ShutOff.Best, e.ShutOff.High, e.ShutOff.Low = e.ShutOff.Best*unit.Pascal(f), e.ShutOff.High*unit.Pascal(f), e.ShutOff.Low*unit.Pascal(0.8*f)
	e.FreeAir.Best, e.FreeAir.High, e.FreeAir.Low = e.FreeAir.Best*unit.M3PerSec(f), e.FreeAir.High*unit.M3PerSec(f), e.FreeAir.Low*unit.M3PerSec(0.8*f)
	return true
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

// freewheel is what a machine's blower costs that cannot keep up: a passage of a few velocity pressures of the port. Judgement.
// Source [S-216].
const freewheel = 2.0

// blowerLaw is a fan that air is drawn through faster than it can blow: beyond its free air it is a passage, not a brake.
func (e fanEstimate) blowerLaw(bore unit.Metre, a air.State) (network.Law, string) {
	law, words := e.law()
	const steps = 60
	end := 4 * network.FreeFlow(law)
	points := make([]network.FanPoint, 0, steps+1)
	for i := range steps + 1 {
		q := end * unit.M3PerSec(i) / steps
		v := float64(q) / area(bore)
		passage := -unit.Pascal(freewheel * float64(a.Density) / 2 * v * v)
		points = append(points, network.FanPoint{Flow: q, Rise: max(network.FanRise(law, q), passage)})
	}
	c, err := network.Smooth(points)
	if err != nil {
		return law, words
	}
	return network.Law{Kind: network.Fan, Curve: c, Speed: 1, FlowScale: 1, PressureScale: 1}, words
}
