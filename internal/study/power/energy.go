package power

import (
	"fmt"
	"math"

	"winnow/internal/physics/air"
	"winnow/internal/physics/circuit"
	"winnow/internal/shop"
	"winnow/internal/shop/typical"
	"winnow/internal/unit"
)

// EnergyRow is one load's energy in a usual week.
type EnergyRow struct {
	Name   shop.ID     `json:"name"`
	Hours  unit.Second `json:"hours_s"`
	Power  unit.Watt   `json:"power_w"` // electrical, on average while it runs
	Energy unit.Joule  `json:"energy_j"`
	Low    unit.Joule  `json:"low_j"`
	High   unit.Joule  `json:"high_j"`
}

// Energy is what a usual week takes, and what the room gets of it.
type Energy struct {
	Rows     []EnergyRow `json:"rows"`
	Week     unit.Joule  `json:"week_j"`
	Low      unit.Joule  `json:"low_j"`
	High     unit.Joule  `json:"high_j"`
	Cost     *float64    `json:"cost_a_week,omitempty"` // in Currency
	CostLow  *float64    `json:"cost_a_week_low,omitempty"`
	CostHigh *float64    `json:"cost_a_week_high,omitempty"`
	Currency string      `json:"currency,omitempty"`
	Heat     unit.Watt   `json:"heat_w"`             // into the room while the set HeatSet works
	HeatSet  string      `json:"heat_set,omitempty"` // the warmest of the allowed sets
	LeftOut  []string    `json:"left_out"`           // what is not in the sum
}

// How a motor is loaded on average while it is on, as a share of its rated power: a machine between cuts and in them, a fan, a freezer's
// or a pump's share of the day. Judgement [S-340].
var (
	machineLoad = [3]float64{0.20, 0.40, 0.65}
	fanLoad     = [3]float64{0.70, 0.85, 1.00}
	selfDuty    = [3]float64{0.20, 0.40, 0.60}
	rareDuty    = [3]float64{0.01, 0.03, 0.10}
)

// seldom: a compressor or a pump starts by itself too, but runs for minutes a day where a freezer runs for hours.
func seldom(l *Load) bool {
	k, ok := typical.LoadOf(l.Name)
	return ok && (k.Name == "compressor" || k.Name == "pump")
}

const week = 7 * 24 * 3600.0

// input is the electrical power of a load on average while it is on: never from the full-load table. A motor with a rated shaft power:
// load·shaft/η; a brushed one, or one of which only amps are known: V·I·cosφ·load; else its watts. false where nothing is known.
func (g *Grid) input(l *Load) (power [3]float64, ok bool) {
	load := [3]float64{1, 1, 1}
	switch {
	case l.Sort == Machine:
		load = machineLoad
	case l.Sort == System:
		load = fanLoad
	case l.StartsItself:
		if load = selfDuty; seldom(l) {
			load = rareDuty
		}
	}
	var full float64
	switch {
	case l.input.Basis != unit.Unsaid:
		full = float64(l.input.Best)
	case l.motor && !l.brushed && l.shaft.Basis != unit.Unsaid && !l.peak:
		full = float64(circuit.Input(l.shaft.Best, g.efficiency(l)))
	case l.Known:
		_, cosphi, _ := circuit.PowerFactor(l.brushed || !l.motor, l.phases)
		full = float64(g.voltageOf(l)) * float64(l.full[1]) * float64(cosphi)
		if l.phases == 3 {
			full *= 1.7320508
		}
	default:
		return power, false
	}
	for i, s := range load {
		power[i] = full * s
	}
	return power, true
}

// efficiency takes two poles for a fan's motor, four for a machine's.
func (g *Grid) efficiency(l *Load) unit.Fraction {
	poles := 4
	if l.Sort == System {
		poles = 2
	}
	return circuit.Efficiency(l.shaft.Best, poles)
}

// hours are how long each load runs in a usual week. A system runs with its machines (what it keeps running after is left out); a
// cleaner that works with machines runs as long as they all do together; what is always on, the whole week; by itself, the week at its
// share of the day; by hand, nobody knows.
func (g *Grid) hours() map[*Load]unit.Second {
	out := map[*Load]unit.Second{}
	each := map[shop.ID]unit.Second{}
	var all unit.Second
	for _, h := range g.shop.Routine.HoursPerWeek {
		each[h.Of] += h.Time.Best
		all += h.Time.Best
	}
	for _, l := range g.loads {
		switch {
		case l.Sort == Machine:
			out[l] = each[l.Name]
		case l.Sort == System:
			for _, m := range g.shop.Machines {
				for _, y := range g.brings(m.Name) {
					if y == l.Name {
						out[l] += each[m.Name]
						break
					}
				}
			}
		case l.byHand:
		case l.Works == "always" || l.StartsItself:
			out[l] = week
			if l.Sort == Other && l.Works == "always" { // lights: while somebody works
				out[l] = all
			}
		default:
			out[l] = all
		}
		out[l] = min(out[l], week)
	}
	return out
}

func (g *Grid) energy() Energy {
	e := Energy{Rows: []EnergyRow{}, LeftOut: []string{"how long fans and cleaners run on after the machine"}}
	hours := g.hours()
	for _, l := range g.loads {
		if l.byHand {
			e.LeftOut = append(e.LeftOut, l.Name+" (by hand: hours not known)")
			continue
		}
		p, ok := g.input(l)
		if !ok {
			e.LeftOut = append(e.LeftOut, l.Name+" (power not known)")
			continue
		}
		if hours[l] == 0 {
			continue
		}
		h := float64(hours[l])
		r := EnergyRow{l.Name, hours[l], unit.Watt(p[1]), unit.Joule(p[1] * h), unit.Joule(p[0] * h), unit.Joule(p[2] * h)}
		e.Rows = append(e.Rows, r)
		e.Week, e.Low, e.High = e.Week+r.Energy, e.Low+r.Low, e.High+r.High
	}
	if price := g.shop.Costs.Electricity; price.Amount.Basis != unit.Unsaid {
		cost, low, high := float64(price.Amount.Best)*float64(e.Week), float64(price.Amount.Best)*float64(e.Low), float64(price.Amount.Best)*float64(e.High)
		e.Cost, e.CostLow, e.CostHigh, e.Currency = &cost, &low, &high, price.Code
	}
	g.roomHeat(&e)
	return e
}

// PrintCost writes a cost as it is known: to two figures, never finer than a hundredth.
func PrintCost(x float64) string {
	switch {
	case x >= 100:
		step := math.Pow(10, math.Floor(math.Log10(x))-1)
		return fmt.Sprintf("%.0f", math.Round(x/step)*step)
	case x >= 9.95:
		return fmt.Sprintf("%.0f", x)
	case x >= 0.995:
		return fmt.Sprintf("%.1f", x)
	}
	return fmt.Sprintf("%.2f", x)
}

// roomHeat is the heat of the warmest allowed set: all electrical input of what runs, less the shaft power of fans that blow outdoors.
func (g *Grid) roomHeat(e *Energy) {
	for _, s := range g.sets {
		var heat float64
		for _, l := range g.loadsOf(s.loads) {
			if p, ok := g.input(l); ok && !l.byHand {
				heat += p[1]
				if y := g.shop.System(l.Name); l.Sort == System && y != nil && y.AirGoes == "outdoors" {
					heat -= p[1] * float64(g.efficiency(l))
				}
			}
		}
		if unit.Watt(heat) > e.Heat {
			e.Heat, e.HeatSet = unit.Watt(heat), s.Name
		}
	}
}

// Thrown is the heat that a system carries off if it blows outdoors, for three differences between inside and outside.
type Thrown struct {
	System   shop.ID       `json:"system"`
	Now      bool          `json:"now"` // it blows outdoors today; false: if it did
	Flow     unit.M3PerSec `json:"flow_m3s"`
	FlowFrom string        `json:"flow_from"`
	PerTen   unit.Watt     `json:"per_10_k_w"`
	AtTwenty unit.Watt     `json:"per_20_k_w"`
	AtThirty unit.Watt     `json:"per_30_k_w"`
	Cost     *float64      `json:"cost_a_week_at_20_k,omitempty"`
	Currency string        `json:"currency,omitempty"`
	Flame    string        `json:"flame,omitempty"` // what must be settled before it does

	hours unit.Second
}

// thrown works out every system: what it would throw out, or does.
func (g *Grid) thrown(flow func(shop.ID) (unit.M3PerSec, bool)) []Thrown {
	out := []Thrown{}
	density := unit.KgPerM3(1.2)
	site := g.shop.Site
	if st, err := air.At(site.Altitude.Best, max(site.Temperature.Best, 273.15), site.Humidity.Best); err == nil && site.Temperature.Basis != unit.Unsaid {
		density = st.Density
	}
	hours := g.hours()
	for i := range g.shop.Systems {
		y := &g.shop.Systems[i]
		t := Thrown{System: y.Name, Now: y.AirGoes == "outdoors", Flame: g.flame()}
		t.Flow, t.FlowFrom = flowOf(y, flow)
		if t.Flow == 0 || y.Kind != "collector" && !t.Now {
			continue
		}
		t.PerTen = circuit.ThrownHeat(t.Flow, density, 10)
		t.AtTwenty, t.AtThirty = 2*t.PerTen, 3*t.PerTen
		for l, h := range hours {
			if l.Sort == System && l.Name == y.Name {
				t.hours = h
			}
		}
		if price := g.shop.Costs.Heating; price.Amount.Basis != unit.Unsaid {
			cost := float64(price.Amount.Best) * float64(circuit.FuelFor(t.AtTwenty, t.hours, 1))
			t.Cost, t.Currency = &cost, price.Code
		}
		out = append(out, t)
	}
	return out
}

// flowOf takes the airflow study's figure where the caller has it, else a guess from the fan: 0.6 of what it is claimed to move freely.
func flowOf(y *shop.System, flow func(shop.ID) (unit.M3PerSec, bool)) (unit.M3PerSec, string) {
	if flow != nil {
		if q, ok := flow(y.Name); ok {
			return q, "the airflow study"
		}
	}
	var free unit.M3PerSec
	for _, p := range y.Fan.Curve {
		free = max(free, p.Flow)
	}
	if y.Fan.Rating.Is() && len(y.Fan.Curve) == 0 {
		free = y.Fan.Rating.Value.FreeAir.Best
	}
	return 0.6 * free, "a guess: 0.6 of its free air"
}

// flame says what the room holds that a fan blowing outdoors could pull backwards; empty where it is known that nothing does.
func (g *Grid) flame() string {
	f := g.shop.Room.Flames
	if f.Basis == unit.Unsaid {
		return "nobody said whether a flame burns in this room"
	}
	for _, fl := range f.Value {
		if fl.Draught != "sealed" && fl.Draught != "forced" {
			return "the " + fl.Name + " in this room has a flue that draws by itself"
		}
	}
	return ""
}

// MotorStarts is how often a system's motor is started, could be, and may be.
type MotorStarts struct {
	System shop.ID     `json:"system"`
	Could  unit.PerSec `json:"could_per_s"` // switched with every cut
	May    unit.PerSec `json:"may_per_s"`
	Rest   unit.Second `json:"rest_s"`
	Keeps  unit.Second `json:"keeps_running_s"` // that would bring it within what it may
	From   string      `json:"from"`
}

// A cut and the pause after it, where a collector is switched with every cut. Judgement [S-340].
const (
	oneCut   unit.Second = 20
	onePause unit.Second = 20
)

func (g *Grid) starts() []MotorStarts {
	out := []MotorStarts{}
	for i := range g.shop.Systems {
		y := &g.shop.Systems[i]
		if y.Kind != "collector" || y.Motor.Basis == unit.Absent { // brushed motors do not mind
			continue
		}
		may, from := circuit.UsualStarts(), "usual for a single-phase motor of this size"
		m := y.Motor.Value
		if m.Power.Basis != unit.Unsaid && y.Fan.Wheel.Basis != unit.Unsaid {
			if s, err := circuit.MostStarts(m.Power.Best, 2, circuit.WheelInertia(y.Fan.Wheel.Best)); err == nil {
				may, from = s, "the table for polyphase motors with a wheel of this size: an upper bound"
			}
		}
		if y.Starting.StartsPerHour > 0 {
			may.PerHour, from = unit.PerSec(float64(y.Starting.StartsPerHour)/3600), "the file"
		}
		if y.Starting.RestAtLeast.Basis != unit.Unsaid {
			may.Rest = y.Starting.RestAtLeast.Best
		}
		run := max(oneCut+y.Starting.KeepsRunning.Best, y.Starting.RunAtLeast.Best)
		pause := max(onePause, y.Starting.RestAtLeast.Best)
		out = append(out, MotorStarts{
			System: y.Name, Could: 1 / unit.PerSec(run+pause), May: may.PerHour, Rest: may.Rest, From: from,
			Keeps: max(0, unit.Second(1/may.PerHour)-oneCut-pause),
		})
	}
	return out
}
