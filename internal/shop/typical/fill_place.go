package typical

import (
	"winnow/internal/shop"
	"winnow/internal/unit"
)

func (f *filler) site() {
	p, s := &f.b.place, &f.s.Site
	fill(f, &s.Altitude, p.altitude, ofAltitude, "site", "altitude")
	fill(f, &s.Temperature, p.temperature, ofWeather, "site", "temperature")
	fill(f, &s.Humidity, p.humidity, ofWeather, "site", "humidity")
	if len(s.Limits) == 0 {
		if s.Limits = []string{"us osha", "us acgih"}; f.mains == unit.SI {
			s.Limits = []string{"eu"}
		}
		f.say(s.Limits[0], ofHabits, "site", "limits")
	}
}

func (f *filler) room() {
	p, r := &f.b.place, &f.s.Room
	if len(r.Corners) == 0 {
		f.footprint(&r.Footprint, p.width.For(f.sizes), p.depth.For(f.sizes), ofVolume, "room")
	}
	fill(f, &r.Height, p.height.For(f.sizes), ofVolume, "room", "height")
	fill(f, &r.AirChanges, p.airChanges, ofAirChange, "room", "air changes")
	for i := range r.Doors {
		f.height(&r.Doors[i].From, f.floor())
		f.height(&r.Doors[i].To, f.floor())
	}
	f.obstacles(r.Obstacles, "room/obstacles")
	for i := range f.s.Arrangements {
		a := &f.s.Arrangements[i]
		f.obstacles(a.AlsoThere, shop.Path("arrangements").Join(a.Name, "also there"))
	}
}

func (f *filler) obstacles(list []shop.Obstacle, under shop.Path) {
	for i := range list {
		o := &list[i]
		base := under.Join(o.Name)
		f.facing(&o.Facing)
		fill(f, &o.Height, f.b.place.obstacle, ofPlace, base, "height")
		f.height(&o.At, f.floor())
	}
}

func (f *filler) circuits() {
	p := &f.b.place
	for i := range f.s.Circuits {
		c := &f.s.Circuits[i]
		base := shop.Path("circuits").Join(c.Name)
		row := p.circuits["us 120"]
		switch {
		case f.mains == unit.SI:
			row = p.circuits["iec"]
			f.word(&c.Curve, row.curve, ofHabits, base, "curve")
		case c.Voltage.Best > 180:
			row = p.circuits["us 240"]
		}
		fill(f, &c.Voltage, row.voltage, ofVoltage, base, "voltage")
		fill(f, &c.Breaker, row.breaker, ofBreaker, base, "breaker")
		fill(f, &c.Wire, WireFor(c.Breaker.Best, f.mains), ofWire, base, "wire")
		fill(f, &c.Length, row.length, ofRun, base, "length")
		for j := range c.Outlets {
			f.height(&c.Outlets[j].At, p.outlet.For(f.sizes))
		}
	}
}

// circuitOf finds the circuit an outlet is on; nil where it is not known.
func (f *filler) circuitOf(outlet shop.ID) *shop.Circuit {
	for i := range f.s.Circuits {
		c := &f.s.Circuits[i]
		for _, o := range c.Outlets {
			if o.Name == outlet {
				return c
			}
		}
	}
	return nil
}

func (f *filler) loads() {
	for i := range f.s.OtherLoads {
		l := &f.s.OtherLoads[i]
		base := shop.Path("other loads").Join(l.Name)
		k, _ := LoadOf(l.Name)
		volt := f.loadVolt(l)
		current, start := scaled(k.Current, 120/float64(volt)), scaled(k.Start, 120/float64(volt))
		switch {
		case l.Power.Basis == unit.Given:
			current = over[unit.Watt, unit.Number, unit.Ampere](l.Power, exactly(float64(volt)), k.Current.Source)
			current.High *= 1.25 // power factor of what is no heater
			start = scaled(start, float64(l.Power.Best/k.Power.Best))
		case l.Current.Basis == unit.Given:
			fill(f, &l.Power, times[unit.Ampere, unit.Number, unit.Watt](l.Current, exactly(0.9*float64(volt)), k.Power.Source), ofMotor, base, "power")
		}
		fill(f, &l.Current, current, ofCurrent, base, "current")
		fill(f, &l.Power, k.Power, ofMotor, base, "power")
		fill(f, &l.Start, atLeast(start, l.Current.Best), ofCurrent, base, "start")
		f.word(&l.Works, k.Works, ofHabits, base, "works")
	}
}

func (f *filler) loadVolt(l *shop.Load) unit.Volt {
	for i := range f.s.Circuits {
		if f.s.Circuits[i].Name == l.Circuit && l.Circuit != "" {
			return f.s.Circuits[i].Voltage.Best
		}
	}
	if c := f.circuitOf(l.Outlet); c != nil {
		return c.Voltage.Best
	}
	return f.houseVolt()
}

func (f *filler) houseVolt() unit.Volt {
	if f.mains == unit.SI {
		return f.b.place.circuits["iec"].voltage.Best
	}
	return f.b.place.circuits["us 120"].voltage.Best
}

// atLeast lifts an amount that would fall below a floor.
func atLeast[T unit.Real](a unit.Amount[T], least T) unit.Amount[T] {
	a.Low, a.Best, a.High = max(a.Low, least), max(a.Best, least), max(a.High, least)
	return a
}

// practice fills how things are run, sensors and the usual week.
func (f *filler) practice() {
	p, c := &f.b.place, &f.s.Control
	f.word(&c.Practice, "isolate", ofHabits, "control", "practice")
	slow := "warn"
	if c.BleedGate != "" {
		slow = "bleed gate"
	}
	f.word(&c.SlowSet, slow, ofHabits, "control", "slow set")
	f.word(&c.WouldTrip, "refuse", ofHabits, "control", "would trip")
	fill(f, &c.AlarmAfter, p.alarm, ofTime, "control", "alarm after")
	fill(f, &c.LostSensorHolds, p.lost, ofTime, "control", "lost sensor holds")
	fill(f, &c.StaleAfter, p.old, ofTime, "control", "stale after")
	for i := range f.s.Sensors {
		f.sensor(&f.s.Sensors[i])
	}
	f.routine()
}

// sensor sets thresholds between nothing and idling.
func (f *filler) sensor(n *shop.Sensor) {
	p, base := &f.b.place, shop.Path("sensors").Join(n.Name)
	switch n.Reads {
	case "current":
		plate := f.plateOf(n)
		fill(f, &n.StartsAt.Current, times[unit.Ampere, unit.Fraction, unit.Ampere](plate, p.starts, p.starts.Source), ofHabits, base, "starts at")
		fill(f, &n.StopsAt.Current, below(times[unit.Ampere, unit.Fraction, unit.Ampere](plate, p.stops, p.stops.Source), n.StartsAt.Current.Best), ofHabits, base, "stops at")
	case "suction":
		pull := unit.Amount[unit.Pascal]{Best: 2000, Low: 1000, High: 3000}
		if y := f.s.System(n.System); y != nil && y.Fan.Rating.Value.ShutOff.Best > 0 {
			pull = y.Fan.Rating.Value.ShutOff
		}
		fill(f, &n.StartsAt.Pressure, times[unit.Pascal, unit.Fraction, unit.Pascal](pull, p.suction, p.suction.Source), ofHabits, base, "starts at")
		fill(f, &n.StopsAt.Pressure, below(times[unit.Pascal, unit.Fraction, unit.Pascal](pull, p.slack, p.slack.Source), n.StartsAt.Pressure.Best), ofHabits, base, "stops at")
	}
}

// below keeps the lower threshold under the upper: at most 0.6 of it.
func below[T unit.Real](a unit.Amount[T], upper T) unit.Amount[T] {
	if a.Best > upper*0.6 {
		a = scaled(a, float64(upper*0.6/a.Best))
	}
	return a
}

// plateOf is the plate current of whatever a sensor watches; of an outlet, the smallest motor plugged into it.
func (f *filler) plateOf(n *shop.Sensor) unit.Amount[unit.Ampere] {
	if m := f.s.Machine(n.Machine); m != nil && m.Motor.Is() {
		return m.Motor.Value.Current
	}
	if y := f.s.System(n.System); y != nil && y.Motor.Is() {
		return y.Motor.Value.Current
	}
	least := unit.Amount[unit.Ampere]{Best: 8, Low: 3, High: 15}
	found := false
	for i := range f.s.Machines {
		m := &f.s.Machines[i]
		if n.Outlet == "" || m.Plug.Value.Outlet != n.Outlet || !m.Motor.Is() {
			continue
		}
		if c := m.Motor.Value.Current; !found || c.Best < least.Best {
			least, found = c, true
		}
	}
	return least
}

// routine takes an hour a week of each machine where no hours were said at all.
func (f *filler) routine() {
	r := &f.s.Routine
	if r.People == 0 {
		r.People = 1
		f.say("1", ofHabits, "routine", "people")
	}
	f.word(&r.Wood, "hardwood", ofHabits, "routine", "wood")
	for i := range r.HoursPerWeek {
		h := &r.HoursPerWeek[i]
		fill(f, &h.Time, f.b.place.hours, ofHours, shop.Path("routine/hours per week"), h.Of)
	}
	if len(r.HoursPerWeek) > 0 {
		return
	}
	for i := range f.s.Machines {
		h := shop.Hours{Of: f.s.Machines[i].Name}
		fill(f, &h.Time, f.b.place.hours, ofHours, shop.Path("routine/hours per week"), h.Of)
		r.HoursPerWeek = append(r.HoursPerWeek, h)
	}
}
