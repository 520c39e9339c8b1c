package typical

import (
	"strconv"
	"strings"

	"winnow/internal/shop"
	"winnow/internal/unit"
)

// system fills one extraction system: runs first, as its inlet is that of the main.
func (f *filler) system(y *shop.System) {
	base := shop.SystemPath(y.Name)
	k := f.systemKind(y, base)
	row := f.systemMotor(y, k, base)
	f.inlet(y, row, base)
	f.runs(y, k, base)
	f.fan(y, k, row, base)
	f.filter(y, k, base)
	f.ownBin(y, k, base)
	f.body(y, k, base)
	fill(f, &y.Noise, k.Noise, ofNoise, base, "noise")
	f.word(&y.AirGoes, "room", ofHabits, base, "air goes")
	f.facing(&y.Facing)
	f.height(&y.At, f.floor())
	f.plug(&y.Plug, k.Cord, base)
	f.starting(y, k, row, base.Join("starting"))
	f.pieces(y.Exhaust, y.Fan.Outlet, "", k, false, func(i int) shop.Path { return base.Join("exhaust", shop.PieceKey(y.Exhaust, i)) })
}

// systemKind goes by the name, then by the fan, then by the size of its main: what pulls 25 inH2O or has a small main is a vacuum.
func (f *filler) systemKind(y *shop.System, base shop.Path) *System {
	if k, ok := SystemKind(y.Kind); ok {
		return k
	}
	if y.Kind != "" {
		f.unknown(CodeUnknownKind, base.Join("kind"), y.Kind, f.b.systems.names())
	}
	k := f.guessSystem(y)
	f.word(&y.Kind, k.Name, ofSystemKind, base, "kind")
	return k
}

func (f *filler) guessSystem(y *shop.System) *System {
	name := fold(y.Name)
	for _, k := range []string{"extractor", "vacuum", "collector"} {
		if strings.Contains(name, k) {
			return f.b.systems.at(k)
		}
	}
	pull := y.Fan.Rating.Value.ShutOff.Best
	for _, p := range y.Fan.Curve {
		pull = max(pull, p.Pressure)
	}
	size := y.Inlet.Best
	if main := y.Run("main"); size == 0 && main != nil {
		size = main.Size.Best
	}
	switch {
	case pull > 25*249 || strings.Contains(name, "vac"):
		return f.b.systems.at("vacuum")
	case pull == 0 && size > 0 && size < 0.07:
		return f.b.systems.at("vacuum")
	}
	return f.b.systems.at("collector")
}

// systemMotor fills the motor and returns what is usual for its fan. The power comes from the plate, else from amps and volts,
// else from the wheel, else from the kind.
func (f *filler) systemMotor(y *shop.System, k *System, base shop.Path) FanRow {
	if y.Motor.Basis == unit.Unsaid {
		y.Motor.Basis = unit.Assumed
	}
	m := &y.Motor.Value
	own := y.Motor.Basis != unit.Absent
	power := k.Power.For(f.mains)
	if row := k.row[f.mains]; row != nil {
		if own {
			f.motor(m, usualMotor{row.Power, asAmount(row.Voltage, row.Current.Source), row.Current, "universal", ofMotor}, f.outletVolt(y.Plug), base.Join("motor"))
		}
		return *row
	}
	if own && m.Power.Basis != unit.Unsaid {
		power = m.Power
	} else if own && m.Current.Basis == unit.Given {
		volt := m.Voltage.Best
		if volt == 0 {
			if volt = f.outletVolt(y.Plug); volt == 0 {
				volt = f.houseVolt()
			}
		}
		kind, _ := MotorOf("induction")
		power = times[unit.Watt, unit.Fraction, unit.Watt](times[unit.Ampere, unit.Number, unit.Watt](m.Current, exactly(float64(volt)), ""), kind.Ratio, kind.Ratio.Source)
	} else if y.Fan.Wheel.Basis == unit.Given {
		power = powerOfWheel(CollectorFans(f.mains), y.Fan.Wheel.Best)
	}
	row := CollectorFan(power, f.mains)
	if own {
		f.motor(m, usualMotor{power, asAmount(row.Voltage, row.Current.Source), row.Current, "induction", ofFanMotor}, f.outletVolt(y.Plug), base.Join("motor"))
	}
	return row
}

func asAmount[T unit.Real](v T, source string) unit.Amount[T] { return assumed(v, v, v, source) }

// powerOfWheel is the motor whose usual wheel is nearest, with its neighbours as range.
func powerOfWheel(rows []FanRow, wheel unit.Metre) unit.Amount[unit.Watt] {
	at := 0
	for i, r := range rows {
		if share(r.Wheel.Best, wheel) < share(rows[at].Wheel.Best, wheel) {
			at = i
		}
	}
	p := rows[at].Power
	return assumed(p.Best, rows[max(0, at-1)].Power.Best, rows[min(len(rows)-1, at+1)].Power.Best, rows[at].Wheel.Source)
}

// inlet is what the main's size says, else what is usual; the main's own size follows from it in turn.
func (f *filler) inlet(y *shop.System, row FanRow, base shop.Path) {
	if y.Inlet.Basis != unit.Unsaid {
		return
	}
	if main := y.Run("main"); main != nil && main.Size.Basis != unit.Unsaid {
		size := main.Size
		size.Source = "the size of its main"
		quietly(&y.Inlet, size)
		return
	}
	fill(f, &y.Inlet, asAmount(row.Inlet, f.b.sources["S-120"].String()), ofInlet, base, "inlet")
}

// fan fills a rating where there is no curve. See Fill for what an assumed free air means.
func (f *filler) fan(y *shop.System, k *System, row FanRow, base shop.Path) {
	base = base.Join("fan")
	fan := &y.Fan
	if row.Wheel.Best > 0 {
		fill(f, &fan.Wheel, row.Wheel, ofSpace, base, "wheel")
	}
	fill(f, &fan.Outlet, y.Inlet, ofSpace, base, "outlet")
	if len(fan.Curve) > 0 {
		f.word(&fan.Tested, k.Tested, ofHabits, base, "tested")
		return
	}
	if !fan.Rating.Is() {
		fan.Rating.Basis = unit.Assumed
	}
	r := &fan.Rating.Value
	shut := row.ShutOff
	if k.row[f.mains] == nil && fan.Wheel.Basis == unit.Given {
		shut = WheelShutOff(fan.Wheel, f.mains)
	}
	fill(f, &r.ShutOff, shut, ofShutOff, base, "rating/shut-off")
	if r.FreeAir.Basis != unit.Unsaid {
		f.word(&fan.Tested, k.Tested, ofHabits, base, "tested")
		return
	}
	free := row.Free
	if fan.Tested == "bare" { // the real airflow with its filter, taken back to the bare fan by the two claim factors
		bare, _ := Tolerance("claimed free air")
		free = scaled(free, bare.Best/float64(k.Claim.Best))
	}
	fill(f, &r.FreeAir, free, ofFan, base, "rating/free air")
	f.word(&fan.Tested, "as sold", ofHabits, base, "tested")
}

// bigMotor is the power above which collectors have the larger filters of the trade.
const bigMotor unit.Watt = 1.6 * 745.7

// manyPleats is the area above which a collector's filter must be pleated.
const manyPleats unit.M2 = 45 * 0.3048 * 0.3048

func (f *filler) filter(y *shop.System, k *System, base shop.Path) {
	base = base.Join("filter")
	if y.Filter.Basis == unit.Unsaid {
		if y.AirGoes == "outdoors" {
			y.Filter.Basis = unit.Absent
			f.say("none, as the air goes outdoors", ofFilterKind, base, "kind")
			return
		}
		y.Filter.Basis = unit.Assumed
	}
	if !y.Filter.Is() {
		return
	}
	v := &y.Filter.Value
	flow := f.filterFlow(y)
	kind := f.filterKind(v, k, base)
	area := kind.Area
	if y.Motor.Value.Power.Best > bigMotor {
		area = kind.AreaBig
	}
	f.filterFields(v, kind, area, flow, base)
	every := k.Every
	if separated(y) {
		every = k.EverySep
	}
	f.filterAge(v, every, k.Since, base)
}

// filterFields fills area, clean loss and grade. The loss is K1·q/A at the fan's free air: linear in flow, so any flow would do.
func (f *filler) filterFields(v *shop.Filter, kind *FilterKind, area unit.Amount[unit.M2], flow unit.M3PerSec, base shop.Path) {
	fill(f, &v.Area, area, ofFilterArea, base, "area")
	if v.Loss.Drop.Basis == unit.Unsaid {
		v.Loss.At = asAmount(flow, "the fan's free air")
		drop := times[unit.Number, unit.Number, unit.Pascal](kind.K1, over[unit.Number, unit.M2, unit.Number](exactly(float64(flow)), v.Area, ""), kind.K1.Source)
		fill(f, &v.Loss.Drop, drop, ofFilterLoss, base, "loss")
	}
	f.word(&v.Grade, kind.Grade, ofHabits, base, "grade")
}

func (f *filler) filterAge(v *shop.Filter, every, since unit.Amount[unit.Second], base shop.Path) {
	fill(f, &v.CleanEvery, every, ofClean, base, "clean every")
	half := assumed(v.CleanEvery.Best/2, 0, v.CleanEvery.Best, every.Source)
	fill(f, &v.SinceCleaning, half, ofFilterAge, base, "since cleaning")
	fill(f, &v.SinceChange, atLeast(since, v.SinceCleaning.Best), ofTime, base, "since change")
}

// filterFlow is the airflow at which an assumed loss is stated.
func (f *filler) filterFlow(y *shop.System) unit.M3PerSec {
	if q := y.Fan.Rating.Value.FreeAir.Best; q > 0 {
		return q
	}
	q := unit.M3PerSec(0)
	for _, p := range y.Fan.Curve {
		q = max(q, p.Flow)
	}
	if q > 0 {
		return q
	}
	return 0.2
}

// filterKind goes by the word, then by area and grade: a big area is pleated, and HEPA is a membrane.
func (f *filler) filterKind(v *shop.Filter, k *System, base shop.Path) *FilterKind {
	if kind, ok := FilterKindOf(v.Kind); ok && kind.K1.Best > 0 {
		return kind
	}
	usual := f.b.filters.at(k.Filter)
	if k.Filter == "bag" {
		switch {
		case strings.Contains(strings.ToLower(v.Grade), "hepa"):
			usual = f.b.filters.at("membrane cartridge")
		case v.Area.Basis == unit.Given && v.Area.Best >= manyPleats:
			usual = f.b.filters.at("cartridge")
		}
	}
	if v.Kind != "" {
		f.unknown(CodeUnknownKind, base.Join("kind"), v.Kind, f.b.filters.names())
	}
	f.word(&v.Kind, usual.Name, ofFilterKind, base, "kind")
	return usual
}

func separated(y *shop.System) bool {
	for _, r := range y.Runs {
		for _, p := range r.Pieces {
			if p.What == shop.Separator {
				return true
			}
		}
	}
	return false
}

func (f *filler) ownBin(y *shop.System, k *System, base shop.Path) {
	if y.Bin.Basis == unit.Unsaid {
		y.Bin.Basis = unit.Assumed
	}
	if y.Bin.Is() {
		fill(f, &y.Bin.Value.Volume, f.b.bins.at(k.Bin).Volume, ofBin, base, "bin/volume")
	}
}

func (f *filler) body(y *shop.System, k *System, base shop.Path) {
	body := k.body
	if body.Width.Best == 0 {
		body = *f.b.bodies.at("bag collector")
		if strings.Contains(fold(y.Name+" "+y.Kind), "cyclone") {
			body = *f.b.bodies.at("cyclone")
		}
	}
	f.footprint(&y.Footprint, body.Width, body.Depth, ofSpace, base)
	fill(f, &y.Height, body.Height, ofSpace, base, "height")
}

// starting fills times. A fan runs on for the longest of what it serves.
func (f *filler) starting(y *shop.System, k *System, row FanRow, base shop.Path) {
	t := &y.Starting
	keeps := k.KeepsRunning
	for _, r := range y.Runs {
		for _, p := range r.From.Ports {
			if m := f.s.Machine(p.Machine); m != nil {
				if kind, ok := MachineKind(m.Kind); ok && kind.KeepsRunning.Best > keeps.Best {
					keeps = kind.KeepsRunning
				}
			}
		}
	}
	fill(f, &t.RunUp, row.RunUp, ofTime, base, "run-up")
	fill(f, &t.KeepsRunning, keeps, ofTime, base, "keeps running")
	fill(f, &t.CoastDown, k.Coast, ofTime, base, "coast-down")
	fill(f, &t.RestAtLeast, row.Rest, ofTime, base, "rest at least")
	least := f.b.place.leastRun
	if k.row[f.mains] != nil {
		least = assumed[unit.Second](0, 0, 10, k.Coast.Source)
	}
	fill(f, &t.RunAtLeast, least, ofTime, base, "run at least")
	if t.StartsPerHour == 0 {
		t.StartsPerHour = row.Starts
	}
}

// cleaner fills an air cleaner.
func (f *filler) cleaner(c *shop.AirCleaner) {
	base := shop.CleanerPath(c.Name)
	k, ok := CleanerOf(c.Name)
	if !ok {
		k = f.b.cleaners.at("ceiling")
		if strings.Contains(fold(c.Name), "box fan") {
			k = f.b.cleaners.at("box fan")
		}
	}
	fill(f, &c.Flow, k.Flow, ofCleaner, base, "flow")
	fill(f, &c.Power, k.Power, ofMotor, base, "power")
	fill(f, &c.KeepsRunning, k.KeepsRunning, ofTime, base, "keeps running")
	fill(f, &c.Noise, k.Noise, ofNoise, base, "noise")
	f.footprint(&c.Footprint, k.Width, k.Depth, ofSpace, base)
	f.word(&c.Works, "with machines", ofHabits, base, "works")
	f.height(&c.At, f.b.place.cleanerHeight)
	f.plug(&c.Plug, f.b.place.cord.For(f.sizes), base)
	if len(c.Stages) == 0 {
		c.Stages = []shop.Filter{{Grade: "MERV 8"}, {Grade: "MERV 13"}}
		f.say("MERV 8, then MERV 13", ofFilterKind, base, "stages")
	}
	panel := f.b.filters.at("panel")
	for i := range c.Stages {
		v := &c.Stages[i]
		at := base.Join("stages", strconv.Itoa(i+1))
		if v.Kind == "" {
			v.Kind = panel.Name
		}
		kind, ok := FilterKindOf(v.Kind)
		if !ok || kind.K1.Best == 0 {
			f.unknown(CodeUnknownKind, at.Join("kind"), v.Kind, f.b.filters.names())
			kind = panel
		}
		if v.Area.Basis == unit.Unsaid { // nobody measures it: the flow is that with its filters in
			v.Area = kind.Area
		}
		if v.Loss.Drop.Basis == unit.Unsaid {
			v.Loss.At = asAmount(c.Flow.Best, "the cleaner's airflow")
			v.Loss.Drop = times[unit.Number, unit.Number, unit.Pascal](kind.K1, over[unit.Number, unit.M2, unit.Number](exactly(float64(c.Flow.Best)), v.Area, ""), kind.K1.Source)
		}
		f.word(&v.Grade, kind.Grade, ofHabits, at, "grade")
		fill(f, &v.CleanEvery, assumed(k.Since.Best*1.5, k.Since.Low, k.Since.High*1.5, k.Since.Source), ofTime, at, "clean every")
		fill(f, &v.SinceChange, k.Since, ofTime, at, "since change")
		fill(f, &v.SinceCleaning, assumed(v.SinceChange.Best, 0, v.SinceChange.Best, k.Since.Source), ofTime, at, "since cleaning")
	}
}
