package roomair

import (
	"math"
	"slices"
	"strings"

	"winnow/internal/physics/air"
	"winnow/internal/physics/particle"
	"winnow/internal/shop"
	"winnow/internal/shop/typical"
	"winnow/internal/study/doubt"
	"winnow/internal/unit"
)

// Airflow is what each port gets while its machine runs, with its range.
type Airflow map[shop.PortRef]unit.Amount[unit.M3PerSec]

// Fixed is an airflow that no edit changes.
func Fixed(a Airflow) func(*shop.Shop) Airflow { return func(*shop.Shop) Airflow { return a } }

// band is a best value with its 90 % range.
type band struct{ best, low, high float64 }

// factor is the band as a multiplier of its best value.
func (b band) factor(key doubt.Key) doubt.Factor {
	if !(b.best > 0) {
		return doubt.Own(key, 1, 1)
	}
	return doubt.Own(key, math.Max(b.low/b.best, 1e-6), b.high/b.best)
}

// bandOf takes an amount, or the usual doubt where none was written.
func bandOf[T unit.Real](a unit.Amount[T], low, high float64) band {
	b := band{float64(a.Best), float64(a.Low), float64(a.High)}
	if a.Low == a.Best && a.Best == a.High {
		b.low, b.high = b.best*low, b.best*high
	}
	return b
}

// source is a machine or a chore that makes dust.
type source struct {
	name    shop.ID
	path    shop.Path
	chore   Chore
	hand    bool // a hand tool: its capture against airflow is published
	about   *typical.Machine
	dust    band // kg/s inhalable, where nothing catches it
	spread  particle.Spread
	stream  band // kg/s of fine dust that goes with the chips, and never flies where it is caught
	all     band // share missed with every port at its fine need
	bare    band // share missed without the ports that many do not have
	hoods   []hood
	time    unit.Second // in one day of work
	guessed bool        // nobody wrote these hours
}

// hood is a port that is joined to a system.
type hood struct {
	ref         shop.PortRef
	system      int // index; below 0: joined to nothing
	gets, needs band
	extra       bool // an over-blade guard and its like
	separators  []particle.Separator
	assumed     bool // nobody computed its airflow
}

type system struct {
	name     shop.ID
	path     shop.Path
	kind     string
	filter   particle.Filter
	outdoors bool
	leak     band // share of the stream that leaks out before the filter
	runOn    unit.Second
	cleaning bool // has a filter that is beaten
}

type cleaner struct {
	name   shop.ID
	path   shop.Path
	flow   band
	stages []particle.Filter
	works  string
	keeps  unit.Second
}

// layout is a shop as the balance sees it.
type layout struct {
	sizes    particle.Sizes
	counts   [3][]float64 // inhalable, thoracic, respirable share of each size
	air      air.State
	floor    unit.M2
	height   unit.Metre
	volume   unit.M3
	surfaces particle.Surfaces
	landing  []particle.Rate
	falling  []float64 // m/s
	changes  band      // 1/s
	between  band      // m³/s
	near     unit.M3
	nearArea float64
	opened   band // m³/s more from outdoors while people work
	sources  []source
	systems  []system
	cleaners []cleaner
	days     int // of work in a week
	findings []shop.Finding
}

// radius of the near zone, half a ball over a bench, and the air it exchanges with the room: β = ½·S·A, 10 (3 to 30)
// m³/min. Source [S-381].
const radius = 0.8

// build reads a filled shop. It never fails: what is missing is taken as usual and said.
func build(s *shop.Shop, flow Airflow) *layout {
	l := &layout{sizes: particle.Usual(), days: 1}
	for i, c := range []particle.Convention{particle.Inhalable, particle.Thoracic, particle.Respirable} {
		l.counts[i] = c.OfBins(l.sizes)
	}
	l.readRoom(s)
	l.readSystems(s)
	l.readCleaners(s)
	l.readMachines(s, flow)
	l.readRoutine(s)
	l.addChores(s)
	return l
}

func (l *layout) readRoom(s *shop.Shop) {
	a, err := air.At(s.Site.Altitude.Best, orElse(s.Site.Temperature.Best, air.Zero+20), orElse(s.Site.Humidity.Best, 0.5))
	if err != nil {
		a = air.Standard()
	}
	l.air = a
	floor, around := roomSize(s.Room)
	l.height = orElse(s.Room.Height.Best, 2.5)
	l.floor = floor
	l.volume = unit.M3(float64(floor) * float64(l.height))
	l.surfaces = particle.SurfacesOf(floor, around, l.height)
	for _, b := range l.sizes {
		l.landing = append(l.landing, particle.Deposition(b.Mid(), l.surfaces, a))
		l.falling = append(l.falling, float64(particle.Settling(b.Mid(), a)))
	}
	if c := s.Room.AirChanges; c.Basis == unit.Unsaid || c.Basis == unit.Absent {
		l.changes = band{0.7 / 3600, 0.2 / 3600, 2.0 / 3600} // S-383
	} else {
		l.changes = bandOf(c, 0.6, 1.7)
	}
	l.near = unit.M3(2.0 / 3 * math.Pi * radius * radius * radius)
	l.nearArea = math.Pi * radius * radius
	l.between = band{10.0 / 60, 3.0 / 60, 30.0 / 60}
	if l.volume < 5*l.near { // a cupboard; the zones need a rest of the room
		l.volume = 5 * l.near
	}
}

// roomSize is the floor and the length of the walls; a room of unknown size is 6 m by 6 m.
func roomSize(r shop.Room) (unit.M2, unit.Metre) {
	if n := len(r.Corners); n >= 3 {
		var area, around float64
		for i, p := range r.Corners {
			q := r.Corners[(i+1)%n]
			area += float64(p.East*q.North - q.East*p.North)
			around += math.Hypot(float64(q.East-p.East), float64(q.North-p.North))
		}
		if area = math.Abs(area) / 2; area > 1 {
			return unit.M2(area), unit.Metre(around)
		}
	}
	if w, d := r.Footprint.Width, r.Footprint.Depth; w > 0 && d > 0 {
		return unit.M2(float64(w) * float64(d)), 2 * (w + d)
	}
	return 36, 24
}

func orElse[T ~float64](x, usual T) T {
	if x > 0 {
		return x
	}
	return usual
}

func (l *layout) readSystems(s *shop.Shop) {
	for i := range s.Systems {
		y := &s.Systems[i]
		out := system{name: y.Name, path: shop.SystemPath(y.Name), kind: y.Kind, outdoors: y.AirGoes == "outdoors", runOn: y.Starting.KeepsRunning.Best}
		out.filter = l.grade(y.Filter.Value.Grade, out.path.Join("filter", "grade")).Caked()
		if y.Filter.Basis == unit.Absent {
			out.filter = particle.None()
		}
		if y.Kind == "collector" || y.Kind == "" { // its fan pushes through the filter: seams and the bag's band leak outwards
			out.leak = band{0.003, 0.0003, 0.03} // S-384
		}
		out.cleaning = !out.outdoors && out.filter.Family != particle.NoFilter
		l.systems = append(l.systems, out)
	}
}

func (l *layout) grade(text string, at shop.Path) particle.Filter {
	f, err := particle.ParseGrade(text)
	if err != nil {
		l.findings = append(l.findings, shop.Finding{Code: CodeUnknownGrade, Where: at, Args: []shop.Arg{shop.Word("grade", text)}})
	}
	return f
}

func (l *layout) readCleaners(s *shop.Shop) {
	for i := range s.AirCleaners {
		c := &s.AirCleaners[i]
		if !(c.Flow.Best > 0) {
			continue
		}
		out := cleaner{name: c.Name, path: shop.CleanerPath(c.Name), works: c.Works, keeps: c.KeepsRunning.Best}
		// A usual value is real already.
		out.flow = bandOf(c.Flow, 0.75, 1.2)
		if c.Flow.Basis == unit.Given {
			out.flow = delivered(c.Flow)
		}
		for n, f := range c.Stages {
			out.stages = append(out.stages, l.grade(f.Grade, out.path.Join("stages", itoa(n+1), "grade")))
		}
		if len(out.stages) == 0 {
			f, _ := particle.OfMERV(8)
			out.stages = []particle.Filter{f}
		}
		l.cleaners = append(l.cleaners, out)
	}
}

// delivered is what a cleaner really moves of what is claimed for it: a claim is of a bare box; 0.85 (0.65 to 1) of it is real.
func delivered(claim unit.Amount[unit.M3PerSec]) band {
	d, ok := typical.Tolerance("cleaner flow")
	if !ok {
		return bandOf(claim, 0.75, 1.2)
	}
	b := float64(claim.Best)
	return band{b * d.Best, math.Min(b*d.Low, float64(claim.Low)*d.Best), math.Max(b*d.High, float64(claim.High)*d.Best)}
}

func (l *layout) readMachines(s *shop.Shop, flow Airflow) {
	board := isBoard(s.Routine.Wood)
	for i := range s.Machines {
		m := &s.Machines[i]
		about, known := typical.MachineKind(m.Kind)
		if !known || about == nil {
			about = typical.WidestMachine()
		}
		src := source{name: m.Name, path: shop.MachinePath(m.Name), hand: about.Hand, about: about, spread: spreadOf(m.Makes.Form)}
		if about.Emission == nil || isSweep(about.Name) { // a floor sweep makes no dust of its own: sweeping does
			continue
		}
		src.dust = bandOf(about.Emission.Rate, 0.2, 5)
		if board && (about.Emission.Name == "table saw" || about.Emission.Name == "band saw") {
			if e, ok := typical.EmissionOf("board sawing or routing"); ok {
				src.dust = bandOf(e.Rate, 0.2, 5)
			}
		}
		if board && about.Emission.Name == "power sanding" {
			src.dust = band{src.dust.best * boardOverWood, src.dust.low * boardOverWood, src.dust.high * boardOverWood}
		}
		src.all, src.bare = band{1, 1, 1}, band{1, 1, 1}
		if about.Escape != nil {
			src.all = bandOf(about.Escape.Share, 0.3, 3)
			src.bare = src.all
		}
		if about.EscapeBare != nil {
			src.bare = bandOf(about.EscapeBare.Share, 0.3, 2)
		}
		src.stream = streamOf(m)
		var without []shop.ID
		if len(m.Setups) > 0 {
			without = m.Setups[0].Without
		}
		for k := range m.Ports.Value {
			p := &m.Ports.Value[k]
			if slices.Contains(without, p.Name) || m.Ports.Basis == unit.Absent {
				continue
			}
			src.hoods = append(src.hoods, l.hood(s, m, p, about, flow))
		}
		l.sources = append(l.sources, src)
	}
}

// boardOverWood is how much more dust MDF gives than softwood in the same tasks: 2.8 and 2.0 times at the two ends of
// one study. Only this ratio is taken from it, no level. Source [S-382].
const boardOverWood = 2.4

// streamOf is the fine dust that goes with the chips: what a machine makes, times what such chips weigh, times the part
// of them under 100 µm. Source [S-385].
func streamOf(m *shop.Machine) band {
	chips, ok := typical.ChipsOf(m.Makes.Form)
	if !ok || !(m.Makes.Rate.Best > 0) {
		return band{}
	}
	fine := map[string]float64{"fine dust": 0.9, "sawdust": 0.05, "chips": 0.02, "shavings": 0.005, "mixed": 0.03}[m.Makes.Form]
	x := float64(m.Makes.Rate.Best) * float64(chips.Bulk.Best) * fine
	return band{x, x / 5, x * 5}
}

// streamSpread is the size of that dust: 90 % of sanding dust lies under 80 µm. Source [S-386].
var streamSpread = particle.Spread{Median: 33 * particle.Micrometre, GSD: 2}

// spreadOf is the size of airborne dust by what comes off. Sanding 9 µm (S-354), its width of 2 assumed. Sawing and
// planing coarser and wider: most of the mass above 10 µm (S-387), and yet a respirable share of 10 to 30 % of what
// people breathe, reckoned back.
func spreadOf(form string) particle.Spread {
	if form == "fine dust" {
		return particle.Spread{Median: 9 * particle.Micrometre, GSD: 2}
	}
	return coarseSpread
}

var coarseSpread = particle.Spread{Median: 22 * particle.Micrometre, GSD: 3}

func (l *layout) hood(s *shop.Shop, m *shop.Machine, p *shop.Port, about *typical.Machine, flow Airflow) hood {
	h := hood{ref: shop.PortRef{Machine: m.Name, Port: p.Name}, system: -1}
	for i := range about.Ports {
		u := &about.Ports[i]
		if !u.Usual && p.Name != "" && (u.Name == p.Name || slices.Contains(u.Also, p.Name)) {
			h.extra = true
		}
	}
	if h.extra && len(m.Ports.Value) == 1 {
		h.extra = false // it is all the machine has
	}
	fine := p.Needs.Fine
	if !(fine.Best > 0) {
		fine = unit.Amount[unit.M3PerSec]{Best: 1.9 * p.Needs.Chips.Best} // 1.5 to 2.5 times chips, common practice
	}
	h.needs = band{float64(fine.Best), float64(fine.Best), float64(fine.Best)} // a stated need is not sampled
	h.system, h.separators = l.way(s, h.ref, len(m.Ports.Value))
	if h.system < 0 {
		return h
	}
	if q, ok := flow.portOf(h.ref, len(m.Ports.Value) == 1); ok {
		h.gets = bandOf(q, 0.85, 1.15)
		return h
	}
	h.assumed = true
	chips := float64(p.Needs.Chips.Best)
	if !(chips > 0) {
		chips = h.needs.best / 1.9
	}
	h.gets = band{0.8 * chips, 0.4 * chips, 1.2 * chips} // S-388
	return h
}

// way finds the system a port is joined to, and the separators its air meets; -1 where it is joined to nothing.
func (l *layout) way(s *shop.Shop, ref shop.PortRef, ports int) (int, []particle.Separator) {
	for i := range s.Systems {
		y := &s.Systems[i]
		for k := range y.Runs {
			for _, p := range y.Runs[k].From.Ports {
				if p.Machine == ref.Machine && (p.Port == ref.Port || ports == 1) {
					return i, append(separatorsIn(y.Runs[k].Pieces), separatorsAfter(y, y.Runs[k].Name, 0)...)
				}
			}
		}
	}
	return -1, nil
}

// separatorsAfter are those of the runs that a run ends in.
func separatorsAfter(y *shop.System, run shop.ID, depth int) []particle.Separator {
	if depth > 40 {
		return nil
	}
	for i := range y.Runs {
		for n, p := range y.Runs[i].Pieces {
			if p.What == shop.Wye && slices.Contains(p.Wye, run) {
				out := separatorsIn(y.Runs[i].Pieces[n+1:])
				return append(out, separatorsAfter(y, y.Runs[i].Name, depth+1)...)
			}
		}
	}
	return nil
}

func separatorsIn(pieces []shop.Piece) []particle.Separator {
	var out []particle.Separator
	for _, p := range pieces {
		if p.What != shop.Separator {
			continue
		}
		sep := particle.Baffle()
		if k, ok := typical.SeparatorMake(p.Make); ok && k.Cut.Best > 0 {
			sep = particle.Separator{Cut: k.Cut.Best, Low: k.Cut.Low, High: k.Cut.High, Source: k.Cut.Source}
		}
		out = append(out, sep)
	}
	return out
}

func isBoard(wood string) bool {
	w := strings.ToLower(wood)
	return strings.Contains(w, "mdf") || strings.Contains(w, "board") || strings.Contains(w, "plywood")
}

func isSweep(kind string) bool { return kind == "floor sweep" }

func itoa(n int) string { return string(rune('0' + n%10)) }

// readRoutine spreads a week's hours over days of work of about four hours, at most five.
func (l *layout) readRoutine(s *shop.Shop) {
	var week float64
	for _, h := range s.Routine.HoursPerWeek {
		week += float64(h.Time.Best)
	}
	l.days = int(math.Min(5, math.Max(1, math.Ceil(week/(4*3600)))))
	for i := range l.sources {
		for _, h := range s.Routine.HoursPerWeek {
			if h.Of == l.sources[i].name {
				l.sources[i].time, l.sources[i].guessed = h.Time.Best/unit.Second(l.days), h.Time.Basis == unit.Assumed
			}
		}
	}
}

// Chore is a cleaning-up task. Cleaning up often gives the largest dose of the day.
type Chore uint8

// The chores.
const (
	NotAChore Chore = iota
	Sweeping
	Emptying
	Beating
)

func (c Chore) String() string {
	return [...]string{"", "sweeping dry", "emptying the bin", "beating the filter"}[c]
}

// The time a chore takes, judgement [S-389].
const (
	sweepTime = 10 * 60 // s each day of work
	emptyTime = 4 * 60  // s each time
	beatTime  = 5 * 60  // s each time
)

// addChores adds sweeping each day, and emptying and beating as often as what is made and the filter ask.
func (l *layout) addChores(s *shop.Shop) {
	rate := band{20e-6 / 60, 4e-6 / 60, 100e-6 / 60}
	if e, ok := typical.EmissionOf("sweeping, emptying, beating a filter"); ok {
		rate = bandOf(e.Rate, 0.2, 5)
	}
	add := func(c Chore, at shop.Path, time float64) {
		if time > 0 {
			l.sources = append(l.sources, source{
				name: c.String(), path: at, chore: c, dust: rate, spread: coarseSpread,
				all: band{1, 1, 1}, bare: band{1, 1, 1}, time: unit.Second(time),
			})
		}
	}
	if len(l.sources) == 0 {
		return
	}
	add(Sweeping, "routine", sweepTime)
	var empties, beats float64
	for i := range s.Systems {
		y := &s.Systems[i]
		hours, litres := 0.0, 0.0 // s and m³ a week
		for k := range l.sources {
			for _, h := range l.sources[k].hoods {
				if h.system != i {
					continue
				}
				week := float64(l.sources[k].time) * float64(l.days)
				hours += week
				if m := s.Machine(l.sources[k].name); m != nil {
					litres += week * float64(m.Makes.Rate.Best)
				}
				break
			}
		}
		if v := binOf(y); v > 0 {
			empties += litres / v
		}
		if every := float64(y.Filter.Value.CleanEvery.Best); l.systems[i].cleaning && every > 0 {
			beats += hours / every
		}
	}
	add(Emptying, "systems", emptyTime*empties/float64(l.days))
	add(Beating, "systems", beatTime*beats/float64(l.days))
}

// binOf is what fits in the bin that fills first, the separator's where there is one: 0.6 to 0.75 of its volume.
func binOf(y *shop.System) float64 {
	for _, r := range y.Runs {
		for _, p := range r.Pieces {
			if p.What == shop.Separator && p.Bin.Value.Volume.Best > 0 {
				return float64(p.Bin.Value.Volume.Best) * float64(typical.BinUsable(p.Make).Best)
			}
		}
	}
	return float64(y.Bin.Value.Volume.Best) * float64(typical.BinUsable(y.Kind).Best)
}
