package gates

import (
	"slices"

	"winnow/internal/shop"
	"winnow/internal/shop/typical"
	"winnow/internal/unit"
)

// Bounds of one plant. They keep State small and of fixed size; a shop beyond them is told so.
const (
	MaxGates    = 16
	MaxStations = 16
)

// Ways says which gates stand open when one machine runs alone, for every system that draws air from it. The airflow study
// knows: what is on the machine's way to the fan, and what it opens besides.
type Ways func(machine, setup, place shop.ID) []Way

// Way is a machine's way to the fan of one system.
type Way struct {
	System shop.ID
	Open   []shop.ID   // gates
	Clears unit.Second // the last chips take so long to the fan; 0 where it is not known
}

// Permit says whether some machines may run at once: whether the air is enough and no breaker trips (the studies of airflow and
// power, joined by the caller). why is nil where nothing is to be said.
type Permit func(running []shop.ID) (ok bool, why *shop.Code)

// Proof is how it is known that a gate is open.
type Proof uint8

const (
	ByTravel Proof = iota // commanded, and its travel time is over
	BySwitch              // its end switch for open is made
	ByHand                // moved by hand: the owner answers for it
)

func (p Proof) String() string { return [...]string{"travel", "switch", "hand"}[p] }

// Millis is a time in whole milliseconds.
type Millis uint32

// Gate is one gate of a plant. Source of the time-out: S-402.
type Gate struct {
	Name    shop.ID
	Device  string
	Proof   Proof
	Travel  Millis
	TimeOut Millis // after it, a gate with a switch that was not made is a fault
}

// Station is whatever one sensor watches: a machine, or the machines at one outlet.
type Station struct {
	Name     shop.ID // the machine, or the sensor of an outlet
	Sensor   shop.ID
	Device   string
	Machines []shop.ID
	Gates    Mask  // opened for it
	StartsAt int32 // mA
	StopsAt  int32 // mA
	Keep     Millis
	RunUp    Millis // of the machine's own motor
}

// Mask is a set of gates or of stations by number.
type Mask uint16

func (m Mask) has(i int) bool { return m>>i&1 == 1 }

// Plant is one extraction system, or one air cleaner, with all that its controller needs to know. It is never changed by Step.
type Plant struct {
	Name     shop.ID
	Device   string
	Gates    []Gate
	Stations []Station
	Idle     Mask // gates left open when nothing runs
	Bleed    Mask // the bleed gate
	Rescue   Mask // the gate opened when none is confirmed
	AllOpen  bool // practice: balance

	Proved     bool  // a sensor proves that air moves
	ProvedAt   int32 // tenths of a pascal, or mA
	NotProved  int32 // below it nothing is proved
	ShutOff    int32 // above it nothing is open; 0: not known
	ProofIs    shop.ID
	RunUp      Millis
	Coast      Millis
	Rest       Millis
	RunAtLeast Millis
	Starts     int // in an hour; at most 16
	AlarmAfter Millis
	Stale      Millis
	Hold       Millis
	OnDelay    Millis
	OffDelay   Millis
	Report     Millis
	Watchdog   Millis
	Reassert   Millis

	sets []SetVerdict // by the set of stations that run
	why  []*shop.Code // of each; nil where nothing is to be said, or nobody was asked
}

// SetVerdict is what the file's choice makes of a set of stations that run at once.
type SetVerdict uint8

const (
	SetFine   SetVerdict = iota
	SetBleed             // too slow: the bleed gate is opened besides
	SetRefuse            // not started by us
	SetWarn              // started, and warned
)

// Usual times that no key of the file sets. Sources S-401 to S-406.
const (
	reportTime  = 1000 // a metering plug's delay in telling of a change
	onDebounce  = 500
	offDebounce = 2000
	timeOuts    = 3 // of the travel time
	minute      = 60_000
	hour        = 60 * minute
	runDown     = 10_000 // of a machine, from the switch to standing: chips come until then
	rescueTime  = 0      // T_r: the gate left open is commanded in the same step
)

// The findings of this study.
var (
	CodeByHand = &shop.Code{Name: "started-by-hand", Severity: shop.Note,
		Sentence: "{system} has no switch that a program can reach: it is started by hand, by the chart.",
		Help:     "Give it a device under systems, and a sensor to one machine, to have it start by itself."}
	CodeNoSensor = &shop.Code{Name: "nothing-starts-it", Severity: shop.WatchOut,
		Sentence: "{system} has a switch, but no sensor says when a machine runs, so nothing starts it.",
		Help:     "Write a sensor that reads current on a machine or on its outlet, with its device."}
	CodeNotWatched = &shop.Code{Name: "machine-not-watched", Severity: shop.Note,
		Sentence: "No sensor watches {machine}: {system} does not start with it.",
		Help:     "Start the system by hand for this machine, or give the machine a sensor."}
	CodeSwitchesMachine = &shop.Code{Name: "switches-a-machine", Severity: shop.Problem,
		Sentence: "{what} and the sensor {sensor} are one device, {device}: switching it would switch the machine.",
		Help:     "Winnow never powers a machine. Give the collector and every gate a device of their own."}
	CodeNotProvable = &shop.Code{Name: "air-not-proved", Severity: shop.Note,
		Sentence: "Nothing proves that {system} really draws: it is taken to run when it was told to.",
		Help:     "A suction sensor at the fan's inlet proves the fan and every gate at once: buy that before end switches."}
	CodeBadLevels = &shop.Code{Name: "stops-above-start", Severity: shop.Problem,
		Sentence: "The sensor {sensor} counts as stopped below {stops} and as running from {starts}: the first must be the lower.",
		Help:     "Put `stops at` at about half of `starts at`."}
	CodeTooMany = &shop.Code{Name: "plant-too-large", Severity: shop.Problem,
		Sentence: "{system} has more than 16 gates or 16 sensors: one controller cannot hold them.",
		Help:     "Let the farthest gates be moved by hand, or split the system."}
	CodeMixedHand = &shop.Code{Name: "gates-partly-by-hand", Severity: shop.Note,
		Sentence: "{gate} is moved by hand: the controller takes it to be open when its machine runs, and you answer for it.",
		Help:     "Open it before you start the machine."}
	CodeNoWayOpen = &shop.Code{Name: "no-gate-left-open", Severity: shop.WatchOut,
		Sentence: "{system} has no gate that is left open when idle, so if every gate fails shut there is none to fall back on.",
		Help:     "Write `idle: open` on one gate that moves by itself."}
)

// Codes are the findings of this study, for the docs.
func Codes() []*shop.Code {
	return []*shop.Code{CodeByHand, CodeNoSensor, CodeNotWatched, CodeSwitchesMachine, CodeNotProvable, CodeBadLevels, CodeTooMany, CodeMixedHand, CodeNoWayOpen, CodeSlow}
}

func millis(a unit.Amount[unit.Second], worst unit.Second) Millis {
	return Millis(max(a.Best, worst)*1000 + 0.5)
}

// PlantsOf reads the controllers of a filled shop: one plant for each system and air cleaner that has a device. A system without
// one is left to the chart. A plant with a problem is told and left out.
func PlantsOf(s *shop.Shop, ways Ways, permit Permit) ([]*Plant, []shop.Finding) {
	var plants []*Plant
	var found []shop.Finding
	for i := range s.Systems {
		y := &s.Systems[i]
		if y.Device == "" {
			found = append(found, shop.Finding{Code: CodeByHand, Where: shop.SystemPath(y.Name), Args: []shop.Arg{shop.Word("system", y.Name)}})
			continue
		}
		p, fs := systemPlant(s, y, ways)
		found = append(found, fs...)
		if p != nil {
			p.judgeSets(s, permit)
			plants = append(plants, p)
		}
	}
	for i := range s.AirCleaners {
		c := &s.AirCleaners[i]
		if c.Device != "" && c.Works == "with machines" {
			p, fs := cleanerPlant(s, c)
			found = append(found, fs...)
			if p != nil {
				p.judgeSets(s, nil)
				plants = append(plants, p)
			}
		}
	}
	return plants, found
}

func systemPlant(s *shop.Shop, y *shop.System, ways Ways) (*Plant, []shop.Finding) {
	var found []shop.Finding
	tell := func(code *shop.Code, where shop.Path, args ...shop.Arg) {
		found = append(found, shop.Finding{Code: code, Where: where, Args: args})
	}
	at := shop.SystemPath(y.Name)
	t := y.Starting
	p := &Plant{
		Name: y.Name, Device: y.Device, AllOpen: s.Control.Practice == "balance",
		RunUp: millis(t.RunUp, t.RunUp.High), Coast: millis(t.CoastDown, t.CoastDown.High), Rest: millis(t.RestAtLeast, 0),
		RunAtLeast: millis(t.RunAtLeast, 0), Starts: min(t.StartsPerHour, 16),
	}
	p.times(s)
	for _, r := range y.Runs {
		for i, g := range r.Pieces {
			if g.What != shop.Gate {
				continue
			}
			if len(p.Gates) == MaxGates {
				tell(CodeTooMany, at, shop.Word("system", y.Name))
				return nil, found
			}
			p.addGate(g)
			if g.Device == "" {
				tell(CodeMixedHand, shop.PiecePath(y.Name, r, i), shop.Word("gate", g.Gate))
			}
		}
	}
	for i, g := range p.Gates {
		if g.Name == s.Control.BleedGate && s.Control.SlowSet == "bleed gate" {
			p.Bleed |= 1 << i
		}
	}
	p.Rescue = p.rescue()
	if len(p.Gates) > 0 && p.Rescue == 0 {
		tell(CodeNoWayOpen, at, shop.Word("system", y.Name))
	}
	stations, fs := stationsOf(s, y.Name, func(m shop.ID) (Mask, bool) { return p.way(s, m, ways) }, millis(t.KeepsRunning, 0))
	found = append(found, fs...)
	p.Stations = stations
	p.keepForChips(ways)
	p.delayOnSharedCircuit(s, y)
	p.proof(s, y)
	switch {
	case len(stations) > MaxStations:
		tell(CodeTooMany, at, shop.Word("system", y.Name))
		return nil, found
	case len(stations) == 0:
		tell(CodeNoSensor, at, shop.Word("system", y.Name))
		return nil, found
	case !p.Proved:
		tell(CodeNotProvable, at, shop.Word("system", y.Name))
	}
	if bad := p.sharesDevice(s, at); len(bad) > 0 {
		return nil, append(found, bad...)
	}
	for _, f := range fs {
		if f.Code.Severity == shop.Problem {
			return nil, found
		}
	}
	return p, found
}

// everywhere: an air cleaner has no pipes to clear.
func everywhere(_, _, _ shop.ID) []Way { return nil }

func cleanerPlant(s *shop.Shop, c *shop.AirCleaner) (*Plant, []shop.Finding) {
	p := &Plant{Name: c.Name, Device: c.Device, Starts: 16}
	p.times(s)
	everyone := func(shop.ID) (Mask, bool) { return 0, true }
	var found []shop.Finding
	p.Stations, found = stationsOf(s, c.Name, everyone, millis(c.KeepsRunning, 0))
	at := shop.CleanerPath(c.Name)
	if len(p.Stations) == 0 || len(p.Stations) > MaxStations {
		return nil, []shop.Finding{{Code: CodeNoSensor, Where: at, Args: []shop.Arg{shop.Word("system", c.Name)}}}
	}
	p.keepForChips(everywhere)
	if bad := p.sharesDevice(s, at); len(bad) > 0 {
		return nil, bad
	}
	return p, slices.DeleteFunc(found, func(f shop.Finding) bool { return f.Code == CodeNotWatched })
}

// keepForChips stretches keeping running to the machine's run-down and the way of the last chips (rule 4), and the life of the run
// contact with it (rule 18): twice as long as the longest, as a second start within a minute doubles it.
func (p *Plant) keepForChips(ways Ways) {
	for i := range p.Stations {
		st := &p.Stations[i]
		for _, m := range st.Machines {
			for _, w := range ways(m, "", "") {
				if w.System == p.Name {
					st.Keep = max(st.Keep, runDown+Millis(w.Clears*1000+0.5))
				}
			}
		}
		p.Watchdog = max(p.Watchdog, 2*st.Keep)
	}
}

// delayOnSharedCircuit has our own start wait for the machine's run-up where both motors hang on one breaker (rule 19). Elsewhere
// waiting would only cost clean air.
func (p *Plant) delayOnSharedCircuit(s *shop.Shop, y *shop.System) {
	ours := circuitOf(s, y.Plug)
	if ours == "" {
		return
	}
	runUp, _ := typical.TimeOf("1 to 2 hp")
	for i := range p.Stations {
		for _, name := range p.Stations[i].Machines {
			if m := s.Machine(name); m != nil && circuitOf(s, m.Plug) == ours {
				p.Stations[i].RunUp = millis(runUp, 0)
			}
		}
	}
}

func circuitOf(s *shop.Shop, plug shop.Maybe[shop.Plug]) shop.ID {
	if !plug.Is() {
		return ""
	}
	for _, c := range s.Circuits {
		for _, o := range c.Outlets {
			if o.Name == plug.Value.Outlet {
				return c.Name
			}
		}
	}
	return ""
}

// times sets what no system has of its own.
func (p *Plant) times(s *shop.Shop) {
	c := s.Control
	p.AlarmAfter, p.Stale, p.Hold = millis(c.AlarmAfter, 0), millis(c.StaleAfter, 0), millis(c.LostSensorHolds, 0)
	p.OnDelay, p.OffDelay, p.Report = onDebounce, offDebounce, reportTime
	p.Reassert = 5000
	p.Watchdog = minute
}

func (p *Plant) addGate(g shop.Piece) {
	i := len(p.Gates)
	k := Gate{Name: g.Gate, Device: g.Device, Travel: millis(g.Travel, 0)}
	k.TimeOut = timeOuts * k.Travel
	switch {
	case g.Device == "":
		k.Proof = ByHand
	case g.EndSwitches == "open" || g.EndSwitches == "both":
		k.Proof = BySwitch
	}
	p.Gates = append(p.Gates, k)
	if g.Idle == "open" {
		p.Idle |= 1 << i
	}
}

// rescue is the gate to open when none is confirmed: one left open when idle, else the bleed gate. It must move by itself.
func (p *Plant) rescue() Mask {
	for _, from := range []Mask{p.Idle, p.Bleed} {
		for i, g := range p.Gates {
			if from.has(i) && g.Proof != ByHand {
				return 1 << i
			}
		}
	}
	return 0
}

// way is the gates a machine opens here, and whether the system serves it at all.
func (p *Plant) way(s *shop.Shop, machine shop.ID, ways Ways) (Mask, bool) {
	for _, w := range ways(machine, "", "") {
		if w.System != p.Name {
			continue
		}
		var m Mask
		for i, g := range p.Gates {
			if slices.Contains(w.Open, g.Name) {
				m |= 1 << i
			}
		}
		return m, true
	}
	if m := s.Machine(machine); m != nil && slices.Contains(m.AlsoStarts, p.Name) {
		return p.Rescue, true // it has no way of its own here; something must be open all the same
	}
	return 0, false
}

// stationsOf lists the sensors of current that start a plant. A sensor of one machine is preferred to that of its outlet; at a
// shared outlet whatever is plugged in counts.
func stationsOf(s *shop.Shop, plant shop.ID, way func(shop.ID) (Mask, bool), keep Millis) ([]Station, []shop.Finding) {
	var stations []Station
	var found []shop.Finding
	own := map[shop.ID]bool{}
	for _, n := range s.Sensors {
		if n.Reads == "current" && n.Machine != "" {
			own[n.Machine] = true
		}
	}
	watched := map[shop.ID]bool{}
	for _, n := range s.Sensors {
		if n.Reads != "current" || n.Machine == "" && n.Outlet == "" {
			continue
		}
		st := Station{Name: n.Machine, Sensor: n.Name, Device: n.Device, Keep: keep, StartsAt: milliAmps(n.StartsAt), StopsAt: milliAmps(n.StopsAt)}
		if st.Name == "" {
			st.Name = n.Name
		}
		for _, m := range s.Machines {
			here := m.Name == n.Machine || n.Machine == "" && !own[m.Name] && m.Plug.Is() && m.Plug.Value.Outlet == n.Outlet
			if !here {
				continue
			}
			if gates, served := way(m.Name); served {
				st.Gates |= gates
				st.Machines = append(st.Machines, m.Name)
				watched[m.Name] = true
			}
		}
		if len(st.Machines) == 0 {
			continue
		}
		if st.StopsAt >= st.StartsAt {
			found = append(found, shop.Finding{Code: CodeBadLevels, Where: shop.Path("sensors").Join(n.Name), Args: []shop.Arg{
				shop.Word("sensor", n.Name), shop.Number("stops", n.StopsAt.Current.Best), shop.Number("starts", n.StartsAt.Current.Best)}})
		}
		stations = append(stations, st)
	}
	for _, m := range s.Machines {
		if _, served := way(m.Name); served && !watched[m.Name] {
			found = append(found, shop.Finding{Code: CodeNotWatched, Where: shop.MachinePath(m.Name), Args: []shop.Arg{
				shop.Word("machine", m.Name), shop.Word("system", plant)}})
		}
	}
	return stations, found
}

func milliAmps(l shop.Level) int32 { return int32(float64(l.Current.Best)*1000 + 0.5) }

// proof finds the sensor that proves the fan draws: suction first, then its motor's current at the system.
func (p *Plant) proof(s *shop.Shop, y *shop.System) {
	for _, n := range s.Sensors {
		if n.Reads != "suction" || n.System != y.Name || n.StartsAt.Pressure.Best <= 0 {
			continue
		}
		p.Proved, p.ProofIs = true, n.Name
		p.ProvedAt = int32(float64(n.StartsAt.Pressure.Best)*10 + 0.5)
		p.NotProved = int32(float64(n.StopsAt.Pressure.Best)*10 + 0.5)
		for _, r := range s.Readings {
			if r.Inlet == "blocked" && r.Where == y.Name {
				p.ShutOff = int32(float64(r.Suction.Best) * 10 * 0.9)
			}
		}
		return
	}
	for _, n := range s.Sensors { // a motor that draws turns its fan; whether a gate is open it cannot tell
		if n.Reads == "current" && n.System == y.Name && n.StartsAt.Current.Best > 0 {
			p.Proved, p.ProofIs = true, n.Name
			p.ProvedAt, p.NotProved = milliAmps(n.StartsAt), milliAmps(n.StopsAt)
			return
		}
	}
}

// sharesDevice tells of a device that both watches a machine and would be switched by us (rule 10).
func (p *Plant) sharesDevice(s *shop.Shop, at shop.Path) []shop.Finding {
	var found []shop.Finding
	check := func(what, device string) {
		for _, n := range s.Sensors {
			if device != "" && n.Device == device && (n.Machine != "" || n.Outlet != "") {
				found = append(found, shop.Finding{Code: CodeSwitchesMachine, Where: at, Args: []shop.Arg{
					shop.Word("what", what), shop.Word("sensor", n.Name), shop.Word("device", device)}})
			}
		}
	}
	check(p.Name, p.Device)
	for _, g := range p.Gates {
		check(g.Name, g.Device)
	}
	return found
}

// judgeSets asks once for every set of stations, so that the controller itself need not compute. Above 10 stations only each
// alone is asked, and the rest is warned of.
func (p *Plant) judgeSets(s *shop.Shop, permit Permit) {
	n := len(p.Stations)
	p.sets, p.why = make([]SetVerdict, 1<<n), make([]*shop.Code, 1<<n)
	if permit == nil {
		return
	}
	for set := 1; set < 1<<n; set++ {
		if n > 10 && set&(set-1) != 0 {
			p.sets[set] = SetWarn
			continue
		}
		var running []shop.ID
		for i, st := range p.Stations {
			if Mask(set).has(i) {
				running = append(running, st.Machines[0]) // one at a shared outlet, the first plugged in
			}
		}
		ok, why := permit(running)
		p.why[set] = why
		switch {
		case !ok:
			p.sets[set] = SetRefuse
		case why == nil:
		case why.Name == SlowSet && p.Bleed != 0 && s.Control.SlowSet == "bleed gate":
			p.sets[set] = SetBleed
		case (why.Name == SlowSet || why.Name == WeakSet) && s.Control.SlowSet == "refuse":
			p.sets[set] = SetRefuse
		default:
			p.sets[set] = SetWarn
		}
	}
}

// By these names of its code a Permit says what is wrong with the air of a set: with SlowSet one more open gate may cure it, with WeakSet
// it takes more away from machines that have too little, so it is warned of where the file would have the bleed gate.
const (
	SlowSet = "slow-set"
	WeakSet = "weak-set"
)
