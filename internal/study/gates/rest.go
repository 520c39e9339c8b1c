package gates

// The rest of a plant of any size, as the stations in full see it. Step asks of the others only whether any is wanted, whether any gate
// of theirs is known to be open, whether all that are wanted are, and whether any keeps the fan running or runs unseen. Three more
// stations can answer that in every way that any number of stations can: one for those whose gates are open, one for those whose gates
// are not yet, and one for those that run and are not followed, or are refused. They have no sensor, no timer and no device: what they do is free, but for
// one thing. That the last gate of theirs is no longer known to be open needs another gate that is and that keeps its open command: no gate
// is shut otherwise, which is checked of each gate at every step (rule 1). A gate of theirs that is lost is a thing gone wrong. What
// verdict a set with others has is free too.
const (
	others       = 3 // the last is not followed or refused, and has no gate of its own
	restVerdicts = 4 // fine, with the bleed gate, refused; with the bleed gate, and one more refused
	restRefused  = 2
)

// What others do.
const (
	restStarts = iota
	restStops
	restKeepEnds
	restOpens
	restNotYet
	restUnfollowed
)

// withRest adds the others to a small plant, once for each verdict that sets with them may have.
func (p *Plant) withRest() (plants [restVerdicts]*Plant) {
	n := len(p.Stations)
	for v, verdict := range [restVerdicts]SetVerdict{SetFine, SetBleed, SetRefuse, SetBleed} {
		q := *p
		q.Gates = append([]Gate(nil), p.Gates...)
		q.Stations = append([]Station(nil), p.Stations...)
		for range others - 1 {
			q.Stations = append(q.Stations, Station{Name: "another", Gates: 1 << len(q.Gates)})
			q.Gates = append(q.Gates, Gate{Name: "the gate of another", Proof: BySwitch, Travel: 2, TimeOut: 3})
		}
		q.Stations = append(q.Stations, Station{Name: "another", Gates: 1 << (len(q.Gates) - 1), Keep: 1}) // like nobody else
		q.sets = make([]SetVerdict, 1<<len(q.Stations))
		for set := range Mask(len(q.sets)) {
			switch rest := set >> n; {
			case rest == 0:
				q.sets[set] = p.verdict(set)
			case verdict == SetRefuse && set&(set-1) == 0: // one alone
			case v > restRefused && set.has(n+others-1):
				q.sets[set] = SetRefuse
			case verdict == SetBleed && p.Bleed == 0:
				q.sets[set] = SetWarn
			default:
				q.sets[set] = verdict
			}
		}
		plants[v] = &q
	}
	return plants
}

// restOf lets the others do what they like.
func (x *walker) restOf(w *world, link bool) {
	unseen := len(x.p.Stations) - 1
	for n := x.full; n <= unseen; n++ {
		bit, gate := Mask(1)<<n, x.p.Stations[n].Gates
		do := func(what int8, may bool, change func(w *world)) {
			if may {
				x.try(moment{mRest, int8(n), what}, func(w *world) {
					change(w)
					x.apply(w, Input{Kind: Fired, Timer: timers}) // something happened, and none of ours fired
				})
			}
		}
		do(restStops, link && w.s.On&bit != 0, func(w *world) {
			w.s.Keep |= w.s.Edge & w.s.Admitted & bit
			w.s.On, w.s.Edge, w.fresh = w.s.On&^bit, w.s.Edge&^bit, w.fresh&^bit
		})
		do(restStarts, link && !w.s.is(stopped|locked) && w.s.On&w.s.Edge&bit == 0, func(w *world) {
			w.s.On, w.s.Edge, w.fresh = w.s.On|bit, w.s.Edge|bit, w.fresh|bit
			w.s.Flags &^= person
			w.person = false
		})
		if n == unseen {
			do(restUnfollowed, link && w.s.On&bit == 0, func(w *world) { w.s.On |= bit })
			continue
		}
		do(restKeepEnds, w.s.Keep&bit != 0, func(w *world) { w.s.Keep &^= bit })
		known := w.s.CmdOpen &^ w.s.Fault &^ w.s.GateOut
		if link && known&gate&^w.s.Open != 0 {
			x.try(moment{mRest, int8(n), restOpens}, func(w *world) {
				x.apply(w, Input{Kind: SwitchOpen, Index: int8(numbers(gate)[0]), Value: 1})
			})
		}
		do(restNotYet, known&w.s.Open&gate != 0 && known&w.s.Open&^gate != 0, func(w *world) { w.s.Open &^= gate })
	}
	for v := range uint8(restVerdicts) {
		if x.dials.Rest && v != w.rest {
			x.try(moment{what: mVerdict, value: int8(v)}, func(w *world) {
				w.rest = v
				x.apply(w, Input{Kind: Fired, Timer: timers})
			})
		}
	}
}

// heapUp puts each of the others where it belongs: who runs and is not followed, and who was not and is now.
func (x *walker) heapUp(w *world) {
	last := len(x.p.Stations) - 1
	rest, unseen := Mask(1<<last-1<<x.full), Mask(1)<<last
	if lone := w.s.On &^ w.s.Edge & rest; lone != 0 {
		w.s.On, w.fresh = w.s.On&^lone|unseen, w.fresh&^lone
	}
	if w.s.Edge&w.s.Admitted&unseen != 0 { // its gate is not open yet
		for _, m := range [...]*Mask{&w.s.On, &w.s.Edge, &w.s.Admitted, &w.fresh} {
			*m |= *m & unseen >> 1
			*m &^= unseen
		}
	}
	w.s.Seen, w.sawOff, w.s.Lost, w.s.AirDue = w.s.Seen&^(rest|unseen), w.sawOff&^(rest|unseen), w.s.Lost&^(rest|unseen), w.s.AirDue&^(rest|unseen)
	w.s.Travels &^= x.restGates()
}

// restGates are the gates of the others.
func (x *walker) restGates() Mask { return (1<<len(x.p.Gates) - 1) &^ (1<<x.gates - 1) }
