package shop

import "slices"

// What the file says that is allowed, and seldom meant.
var (
	OnTwoRuns = &Code{
		Name: "on-two-runs", Severity: WatchOut,
		Sentence: "{port} is on two runs: {first} serves it, {second} does not.",
		Help:     "Both runs name it in `from`, and it has one port. Take it off one of them.",
	}
	GateNothingOpens = &Code{
		Name: "gate-nothing-opens", Severity: WatchOut,
		Sentence: "Nothing opens the gate {gate}: it is on no machine's way to the fan.",
		Help:     "Name it under `also opens` of a machine, let it rest open with `idle: open`, make it the bleed gate, or remove it.",
	}
	DeviceTwice = &Code{
		Name: "device-twice", Severity: WatchOut,
		Sentence: "{first} and {second} share the device {device}: on MQTT they are one.",
		Help:     "Give each its own device name, or check that one switch really moves both.",
	}
)

// Notes are findings that need no study, only the file.
func Notes(s *Shop) []Finding {
	var found []Finding
	for _, y := range s.Systems {
		found = append(found, openers(s, y)...)
	}
	found = append(found, sharedDevices(s)...)
	type place struct{ system, run ID }
	first := map[PortRef]place{}
	for _, y := range s.Systems {
		for _, r := range y.Runs {
			for _, p := range r.From.Ports {
				if at, twice := first[p]; twice {
					found = append(found, Finding{
						Code: OnTwoRuns, Where: RunPath(y.Name, r.Name).Join("from"),
						Args: []Arg{Word("port", p.String()), Word("first", at.run), Word("second", r.Name)},
					})
					continue
				}
				first[p] = place{y.Name, r.Name}
			}
		}
	}
	return found
}

// openers finds gates that no machine opens.
func openers(s *Shop, y System) []Finding {
	opened := map[ID]bool{s.Control.BleedGate: true}
	for _, m := range s.Machines {
		for _, g := range m.AlsoOpens {
			opened[g] = true
		}
	}
	into := map[ID]ID{}   // the run a run ends in
	after := map[ID]int{} // the piece behind which it comes in
	for _, r := range y.Runs {
		for i, p := range r.Pieces {
			for _, w := range p.Wye {
				into[w], after[w] = r.Name, i
			}
		}
	}
	var walk func(run ID, from int, seen []ID)
	walk = func(run ID, from int, seen []ID) {
		r := y.Run(run)
		if r == nil || slices.Contains(seen, run) {
			return
		}
		seen = append(seen, run)
		for i, p := range r.Pieces {
			if i < from {
				continue
			}
			switch p.What {
			case Gate:
				opened[p.Gate] = true
			case Split:
				for _, other := range y.Runs {
					if other.From.Split == p.Split {
						walk(other.Name, 0, seen)
					}
				}
			}
		}
		if next, ok := into[run]; ok {
			walk(next, after[run], seen)
		}
	}
	for _, r := range y.Runs {
		if len(r.From.Ports) > 0 {
			walk(r.Name, 0, nil)
		}
	}
	var found []Finding
	for _, r := range y.Runs {
		for i, p := range r.Pieces {
			if p.What == Gate && p.Idle != "open" && !opened[p.Gate] {
				found = append(found, Finding{Code: GateNothingOpens, Where: PiecePath(y.Name, r, i), Args: []Arg{Word("gate", p.Gate)}})
			}
		}
	}
	return found
}

// sharedDevices finds two things under one name on MQTT.
func sharedDevices(s *Shop) []Finding {
	var found []Finding
	first := map[string]string{}
	note := func(device, what string, p Path) {
		if device == "" {
			return
		}
		if other, twice := first[device]; twice {
			found = append(found, Finding{Code: DeviceTwice, Where: p.Join("device"), Args: []Arg{Word("first", other), Word("second", what), Word("device", device)}})
			return
		}
		first[device] = what
	}
	for _, y := range s.Systems {
		note(y.Device, y.Name, SystemPath(y.Name))
		for _, r := range y.Runs {
			for i, p := range r.Pieces {
				note(p.Device, p.Named(), PiecePath(y.Name, r, i))
			}
		}
	}
	for _, c := range s.AirCleaners {
		note(c.Device, c.Name, CleanerPath(c.Name))
	}
	for _, n := range s.Sensors {
		note(n.Device, n.Name, Path("sensors").Join(n.Name))
	}
	return found
}
