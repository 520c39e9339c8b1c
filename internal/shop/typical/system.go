package typical

import (
	"math"
	"strings"

	"winnow/internal/unit"
)

// System is what is usual for one kind of extraction system.
type System struct {
	Name, About  string
	Also         []string
	Power        Pair[unit.Watt]
	Shape        unit.Amount[unit.Number]   // n of p = p0·(1 - (Q/Q0)^n)
	Claim        unit.Amount[unit.Fraction] // real free air, with its filter, over the box's
	Filter       string
	Bin          string
	Make         string // of a separator nobody described
	Noise        unit.Amount[unit.Decibel]
	KeepsRunning unit.Amount[unit.Second]
	Coast        unit.Amount[unit.Second]
	Every        unit.Amount[unit.Second] // running hours between cleanings of the filter, bare
	EverySep     unit.Amount[unit.Second] // with a separator before it
	Since        unit.Amount[unit.Second] // age of its filter
	Tested       string
	Cord         unit.Amount[unit.Metre]
	row          [2]*FanRow // of a vacuum and an extractor, US and EU: they come in one size
	body         Body
	hoseEnd      map[string]unit.Amount[unit.M3PerSec]
}

// SystemKind finds a kind of extraction system: collector, vacuum, extractor.
func SystemKind(name string) (*System, bool) { return tables().systems.find(name) }

// SystemKinds lists them.
func SystemKinds() []*System { return tables().systems.list }

// HoseEnd returns the airflow of a vacuum or extractor at the end of its usual hose, by the words of the table.
func (s *System) HoseEnd(hose string) (unit.Amount[unit.M3PerSec], bool) {
	a, ok := s.hoseEnd[hose]
	return a, ok
}

// FanRow is what is usual for the fan of a motor of one power: Free is the real airflow with its own clean filter and no hose.
type FanRow struct {
	Name      string
	Power     unit.Amount[unit.Watt]
	Free, Box unit.Amount[unit.M3PerSec]
	ShutOff   unit.Amount[unit.Pascal]
	Wheel     unit.Amount[unit.Metre]
	Current   unit.Amount[unit.Ampere]
	Voltage   unit.Volt
	Inlet     unit.Metre
	RunUp     unit.Amount[unit.Second]
	Rest      unit.Amount[unit.Second]
	Starts    int // an hour
}

// CollectorFans lists the rows of the table, smallest first.
func CollectorFans(sys unit.System) []FanRow {
	if sys == unit.US {
		return tables().fansUS
	}
	return tables().fansEU
}

// CollectorFan returns the usual fan for a motor's power, on US 60 Hz or on 50 Hz mains: between two rows straight in the
// logarithms, beyond them airflow with power^0.8 and pull with power^0.3. The range of the power, where it has one, widens the
// answer. Common practice, beyond the rows judgement. Source [S-120], [S-121].
func CollectorFan(power unit.Amount[unit.Watt], sys unit.System) FanRow {
	rows := CollectorFans(sys)
	r := fanAt(rows, power.Best)
	if power.Low < power.Best {
		low := fanAt(rows, power.Low)
		r.Free.Low, r.ShutOff.Low, r.Wheel.Low, r.Box.Low = low.Free.Low, low.ShutOff.Low, low.Wheel.Low, low.Box.Low
	}
	if power.High > power.Best {
		high := fanAt(rows, power.High)
		r.Free.High, r.ShutOff.High, r.Wheel.High, r.Box.High = high.Free.High, high.ShutOff.High, high.Wheel.High, high.Box.High
	}
	return r
}

func fanAt(rows []FanRow, power unit.Watt) FanRow {
	last := rows[len(rows)-1]
	switch {
	case power < rows[0].Power.Low:
		return rows[0].grown(power, rows[0].Power.Low)
	case power > last.Power.High:
		return last.grown(power, last.Power.High)
	}
	for i, r := range rows {
		if power <= r.Power.High {
			if power >= r.Power.Low {
				return r
			}
			return between(rows[i-1], r, power)
		}
	}
	return last
}

// grown carries a row beyond the table.
func (r FanRow) grown(power, from unit.Watt) FanRow {
	k := float64(power / from)
	air, pull := math.Pow(k, 0.8), math.Pow(k, 0.3)
	r.Free, r.Box, r.ShutOff, r.Current = scaled(r.Free, air), scaled(r.Box, air), scaled(r.ShutOff, pull), scaled(r.Current, k)
	r.Wheel = scaled(r.Wheel, math.Pow(k, 0.25))
	r.Power = unit.Amount[unit.Watt]{Best: power, Low: power, High: power}
	return r
}

// between goes straight in the logarithms from one row to the next. Switching a motor to twice the voltage halves its current,
// so current is carried as volts times amps.
func between(a, b FanRow, power unit.Watt) FanRow {
	t := math.Log(float64(power/a.Power.High)) / math.Log(float64(b.Power.Low/a.Power.High))
	r := a
	if t > 0.5 {
		r = b
	}
	r.Free, r.Box = mixed(a.Free, b.Free, t), mixed(a.Box, b.Box, t)
	r.ShutOff, r.Wheel = mixed(a.ShutOff, b.ShutOff, t), mixed(a.Wheel, b.Wheel, t)
	va := mixed(scaled(a.Current, float64(a.Voltage)), scaled(b.Current, float64(b.Voltage)), t)
	r.Current = scaled(va, 1/float64(r.Voltage))
	r.Power = unit.Amount[unit.Watt]{Best: power, Low: power, High: power}
	return r
}

func mixed[T unit.Real](a, b unit.Amount[T], t float64) unit.Amount[T] {
	m := func(x, y T) T { return x * T(math.Pow(float64(y/x), t)) }
	return assumed(m(a.Best, b.Best), m(a.Low, b.Low), m(a.High, b.High), a.Source)
}

// wheelRule is the pull of a wheel by its tip speed.
type wheelRule struct {
	share unit.Amount[unit.Number]
	speed Pair[unit.PerSec]
}

// WheelShutOff returns the pull with the inlet blocked of a wheel on the shaft of a two-pole motor:
//
//	p0 = 0.53·ρ·u²        u = π·D·n, ρ = 1.2 kg/m³
//
// Range 0.43 to 0.63. Leaves out belts, four-pole motors, wheels of unusual blades. Judgement. Source [S-121].
func WheelShutOff(wheel unit.Amount[unit.Metre], sys unit.System) unit.Amount[unit.Pascal] {
	w := &tables().wheel
	tip := math.Pi * float64(wheel.Best) * float64(w.speed.For(sys).Best)
	sl, sh := edges(w.share)
	wl, wh := edges(wheel)
	best := unit.Pascal(float64(w.share.Best) * 1.2 * tip * tip)
	return assumed(best, best*unit.Pascal(spread(sl, wl*wl)), best*unit.Pascal(spread(sh, wh*wh)), w.share.Source)
}

// motorRow is the plate current of a motor of one power.
type motorRow struct {
	power   unit.Watt
	current unit.Amount[unit.Ampere]
}

// FilterKind is a kind of filter.
type FilterKind struct {
	Name, About string
	Also        []string
	Area        unit.Amount[unit.M2]     // on a motor up to about 1 1/2 hp
	AreaBig     unit.Amount[unit.M2]     // above that
	K1          unit.Amount[unit.Number] // clean loss over face speed, Pa·s/m
	Grade       string
}

// FilterKindOf finds a kind of filter.
func FilterKindOf(name string) (*FilterKind, bool) { return tables().filters.find(name) }

// FilterKinds lists them.
func FilterKinds() []*FilterKind { return tables().filters.list }

// State is what a filter's clean loss has grown to.
type State struct {
	Name   string
	Also   []string
	Factor unit.Amount[unit.Number]
}

// FilterState finds a state: new, seasoned (or clean), due (or dirty).
func FilterState(name string) (*State, bool) { return tables().states.find(name) }

// Grade is what a word on a filter means.
type Grade struct {
	Name, About string
	Also        []string
	Passes      unit.Amount[unit.Fraction]
}

// GradeOf finds the meaning of a filter's grade. A claimed size that is not in the table ("3 µm claimed") means what the next
// coarser one means.
func GradeOf(word string) (*Grade, bool) {
	x := &tables().grades
	if g, ok := x.find(word); ok {
		return g, true
	}
	claim, _ := strings.CutSuffix(fold(word), " claimed")
	size, err := unit.Parse[unit.Metre](claim)
	if err != nil || size.Basis != unit.Given || size.Best > 1e-3 {
		return nil, false
	}
	switch {
	case size.Best <= 2e-6:
		return x.at("1 µm claimed"), true
	case size.Best <= 5e-6:
		return x.at("5 µm claimed"), true
	}
	return x.at("30 µm claimed"), true
}

// Grades lists them.
func Grades() []*Grade { return tables().grades.list }

// SeparatorKind is a make of separator.
type SeparatorKind struct {
	Name, About string
	Also        []string
	Heads       unit.Amount[unit.Number] // loss in velocity pressures of its inlet
	Loss        unit.LossAt              // as the trade says it
	Cut         unit.Amount[unit.Metre]  // size of which half is kept
	Keeps       unit.Amount[unit.Fraction]
	Inlet       Pair[unit.Metre]
	Bin         string
}

// SeparatorMake finds a make of separator.
func SeparatorMake(name string) (*SeparatorKind, bool) { return tables().separators.find(name) }

// SeparatorMakes lists them.
func SeparatorMakes() []*SeparatorKind { return tables().separators.list }

// LossFor returns what a separator with a round inlet of a trade size loses: the trade's figure for the make's usual inlet, carried
// to another by the fourth power of the diameter, as velocity pressure goes. It is lower than 8 heads on a round inlet would be, as
// a cyclone's own inlet is wider than the pipe before it. Range: the trade's. Common practice. Source [S-120].
func (k *SeparatorKind) LossFor(inlet unit.Metre, sys unit.System) unit.LossAt {
	l := k.Loss
	if usual := k.Inlet.For(sys).Best; inlet > 0 && usual > 0 {
		l.Drop = scaled(l.Drop, math.Pow(float64(usual/inlet), 4))
	}
	return l
}

// BinKind is a kind of bin.
type BinKind struct {
	Name   string
	Also   []string
	Volume unit.Amount[unit.M3]
	Usable unit.Amount[unit.Fraction] // of the volume, before it must be emptied
}

// BinOf finds a kind of bin.
func BinOf(name string) (*BinKind, bool) { return tables().bins.find(name) }

// BinKinds lists them.
func BinKinds() []*BinKind { return tables().bins.list }

// BinUsable returns the part of a bin that can be filled, of a system's own bin or of a separator's.
func BinUsable(kindOrMake string) unit.Amount[unit.Fraction] {
	b := tables()
	if s, ok := b.systems.find(kindOrMake); ok {
		return b.bins.at(s.Bin).Usable
	}
	if s, ok := b.separators.find(kindOrMake); ok {
		return b.bins.at(s.Bin).Usable
	}
	return b.bins.at("can").Usable
}

// Chips is what loose chips of a form weigh and how they swell.
type Chips struct {
	Form  string
	Bulk  unit.Amount[unit.KgPerM3]
	Swell unit.Amount[unit.Number] // loose volume over solid wood
}

// ChipsOf finds a form of chips.
func ChipsOf(form string) (*Chips, bool) { return tables().chips.find(form) }

// Body is the room a thing takes. Floor counts the access to bag and bin.
type Body struct {
	Name         string
	Width, Depth unit.Amount[unit.Metre]
	Height       unit.Amount[unit.Metre]
	Floor        unit.Amount[unit.M2]
}

// BodyOf finds a body: bag collector, cyclone, vacuum and bucket, wall-hung.
func BodyOf(name string) (*Body, bool) { return tables().bodies.find(name) }

// Bodies lists them.
func Bodies() []*Body { return tables().bodies.list }

// TimeOf finds a usual time: most machines, band saw, sanding, mitre saw (running on), collector (coasting), 1 to 2 hp (run-up).
func TimeOf(name string) (unit.Amount[unit.Second], bool) {
	t, ok := tables().times.find(name)
	if !ok {
		return unit.Amount[unit.Second]{}, false
	}
	return t.Time, true
}

// CleanerKind is a kind of air cleaner.
type CleanerKind struct {
	Name         string
	Also         []string
	Box          unit.Amount[unit.M3PerSec] // what the box says; Unsaid for a home-made one
	Flow         unit.Amount[unit.M3PerSec]
	Power        unit.Amount[unit.Watt]
	Current      unit.Amount[unit.Ampere] // at 120 V
	KeepsRunning unit.Amount[unit.Second]
	Noise        unit.Amount[unit.Decibel]
	Width, Depth unit.Amount[unit.Metre]
	Since        unit.Amount[unit.Second]
}

// CleanerOf finds a kind of air cleaner: ceiling, box fan.
func CleanerOf(name string) (*CleanerKind, bool) { return tables().cleaners.find(name) }

func (b *book) readSystems() {
	named := map[string]*entry{}
	for _, e := range entries("systems.txt") {
		if like := e.text("like"); like != "" {
			e.inherit(named[e.class+" "+like])
		}
		named[e.class+" "+e.name] = e
		if !b.readSystemEntry(e) {
			e.bad(e.no, "nobody reads this entry")
		}
		e.done()
	}
}

func (b *book) readSystemEntry(e *entry) bool {
	names := append([]string{e.name}, e.list("also")...)
	switch e.class {
	case "system":
		b.systems.add(b.system(e), e, names...)
	case "fan-us":
		b.fansUS = append(b.fansUS, b.fan(e))
	case "fan-eu":
		b.fansEU = append(b.fansEU, b.fan(e))
	case "motor-eu":
		b.motorsEU = append(b.motorsEU, motorRow{need[unit.Watt](b, e, "power").Best, need[unit.Ampere](b, e, "current")})
	case "wheel":
		b.wheel = wheelRule{
			need[unit.Number](b, e, "share"), Pair[unit.PerSec]{need[unit.PerSec](b, e, "speed us"), need[unit.PerSec](b, e, "speed si")},
		}
	case "filter":
		b.filters.add(b.filter(e), e, names...)
	case "state":
		b.states.add(&State{e.name, names[1:], need[unit.Number](b, e, "factor")}, e, names...)
	case "grade":
		b.grades.add(&Grade{e.name, e.text("about"), names[1:], need[unit.Fraction](b, e, "passes")}, e, names...)
	case "separator":
		b.separators.add(b.separator(e), e, names...)
	case "bin":
		b.bins.add(&BinKind{e.name, names[1:], need[unit.M3](b, e, "volume"), need[unit.Fraction](b, e, "usable")}, e, names...)
	case "chips":
		b.chips.add(&Chips{e.name, need[unit.KgPerM3](b, e, "bulk"), need[unit.Number](b, e, "swell")}, e, names...)
	case "body":
		body := b.body(e)
		body.Floor = need[unit.M2](b, e, "floor")
		b.bodies.add(&body, e, names...)
	case "run-on", "coast", "run-up":
		b.times.add(&Time{e.name, need[unit.Second](b, e, "time")}, e, names...)
	case "run":
		b.place.leastRun = need[unit.Second](b, e, "least run")
	case "cleaner":
		b.cleaners.add(b.cleaner(e), e, names...)
	default:
		return false
	}
	return true
}

func (b *book) body(e *entry) Body {
	return Body{Name: e.name, Width: need[unit.Metre](b, e, "width"), Depth: need[unit.Metre](b, e, "depth"), Height: need[unit.Metre](b, e, "height")}
}

func (b *book) system(e *entry) *System {
	s := &System{
		Name: e.name, About: e.text("about"), Also: e.list("also"),
		Power: Pair[unit.Watt]{need[unit.Watt](b, e, "power us"), need[unit.Watt](b, e, "power si")},
		Shape: need[unit.Number](b, e, "shape"), Claim: need[unit.Fraction](b, e, "claim"),
		Filter: e.text("filter"), Bin: e.text("bin"), Make: e.text("make"), Tested: e.text("tested"),
		Noise: need[unit.Decibel](b, e, "noise"), KeepsRunning: need[unit.Second](b, e, "keeps"), Coast: need[unit.Second](b, e, "coast"),
		Every: need[unit.Second](b, e, "every"), EverySep: need[unit.Second](b, e, "every sep"), Since: need[unit.Second](b, e, "since"),
		Cord: need[unit.Metre](b, e, "cord"), hoseEnd: map[string]unit.Amount[unit.M3PerSec]{},
	}
	for _, l := range e.lines {
		const mark = "hose end "
		if len(l.key) > len(mark) && l.key[:len(mark)] == mark {
			l.read = true
			s.hoseEnd[l.key[len(mark):]] = read[unit.M3PerSec](b, e, l, 0)
		}
	}
	if e.line("free us") == nil {
		return s // a collector's fan goes by its motor
	}
	s.body = b.body(e)
	for i, sys := range []string{"us", "si"} {
		s.row[i] = &FanRow{
			Name: e.name, Power: need[unit.Watt](b, e, "power "+sys), Free: need[unit.M3PerSec](b, e, "free "+sys),
			ShutOff: need[unit.Pascal](b, e, "shut "+sys), Current: need[unit.Ampere](b, e, "current "+sys),
			Voltage: need[unit.Volt](b, e, "voltage "+sys).Best, Inlet: need[unit.Metre](b, e, "inlet "+sys).Best,
			RunUp: need[unit.Second](b, e, "run-up"), Rest: need[unit.Second](b, e, "rest"),
			Starts: int(need[unit.Number](b, e, "starts").Best),
		}
		s.row[i].Box = over[unit.M3PerSec, unit.Fraction, unit.M3PerSec](s.row[i].Free, s.Claim, s.Claim.Source)
	}
	need[unit.Second](b, e, "run")
	return s
}

func (b *book) fan(e *entry) FanRow {
	return FanRow{
		Name: e.name, Power: b.rowPower(e), Free: need[unit.M3PerSec](b, e, "free"), Box: need[unit.M3PerSec](b, e, "box"),
		ShutOff: need[unit.Pascal](b, e, "shut"), Wheel: need[unit.Metre](b, e, "wheel"), Current: need[unit.Ampere](b, e, "current"),
		Voltage: need[unit.Volt](b, e, "voltage").Best, Inlet: need[unit.Metre](b, e, "inlet").Best,
		RunUp: need[unit.Second](b, e, "run-up"), Rest: need[unit.Second](b, e, "rest"), Starts: int(need[unit.Number](b, e, "starts").Best),
	}
}

// rowPower is the span of motors a row stands for: its name gives it where it is more than one.
func (b *book) rowPower(e *entry) unit.Amount[unit.Watt] {
	p := need[unit.Watt](b, e, "power")
	if a, err := unit.Parse[unit.Watt](e.name); err == nil && a.Low < a.High {
		p.Low, p.High = a.Low, a.High
	}
	return p
}

func (b *book) filter(e *entry) *FilterKind {
	f := &FilterKind{Name: e.name, About: e.text("about"), Also: e.list("also"), Grade: e.text("grade")}
	f.Area, _ = have[unit.M2](b, e, "area us")
	f.AreaBig, _ = have[unit.M2](b, e, "area big")
	f.K1, _ = have[unit.Number](b, e, "k1")
	return f
}

func (b *book) separator(e *entry) *SeparatorKind {
	at := need[unit.M3PerSec](b, e, "loss at")
	at.Source = need[unit.Pascal](b, e, "loss").Source
	return &SeparatorKind{
		Name: e.name, About: e.text("about"), Also: e.list("also"), Heads: need[unit.Number](b, e, "heads"),
		Loss: unit.LossAt{Drop: need[unit.Pascal](b, e, "loss"), At: at}, Cut: need[unit.Metre](b, e, "cut"),
		Keeps: need[unit.Fraction](b, e, "keeps"), Bin: e.text("bin"),
		Inlet: Pair[unit.Metre]{need[unit.Metre](b, e, "inlet us"), need[unit.Metre](b, e, "inlet si")},
	}
}

func (b *book) cleaner(e *entry) *CleanerKind {
	c := &CleanerKind{
		Name: e.name, Also: e.list("also"), Flow: need[unit.M3PerSec](b, e, "flow"), Power: need[unit.Watt](b, e, "power"),
		Current: need[unit.Ampere](b, e, "current"), KeepsRunning: need[unit.Second](b, e, "keeps"), Noise: need[unit.Decibel](b, e, "noise"),
		Width: need[unit.Metre](b, e, "width"), Depth: need[unit.Metre](b, e, "depth"), Since: need[unit.Second](b, e, "since"),
	}
	c.Box, _ = have[unit.M3PerSec](b, e, "box")
	return c
}

// MotorCurrentEU returns the usual plate current of a 230 V collector motor of a power in the table: 0.75, 1.1, 1.5, 2.2 kW.
// Common practice. Source [S-120].
func MotorCurrentEU(power unit.Watt) (unit.Amount[unit.Ampere], bool) {
	for _, r := range tables().motorsEU {
		if math.Abs(float64(r.power/power)-1) < 0.03 {
			return r.current, true
		}
	}
	return unit.Amount[unit.Ampere]{}, false
}
