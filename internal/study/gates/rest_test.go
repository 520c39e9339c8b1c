package gates

import "testing"

// Beside others the rest of the plant is a few machines that are free. Whatever one machine sees of three real others, by the look that
// follows all four, it sees of those few: each world of the one look, with the three others put together in heaps, is a world of the
// other.
func TestFreeMachinesStandForAnyOthers(t *testing.T) {
	p := mill()
	free := explored(t, p, Dials{Stations: 1, Rest: true, Brief: true}, false, plainKey)
	to, err := newRoom(p, Dials{Stations: 1, Rest: true, Brief: true}, Step)
	if err != nil {
		t.Fatal(err)
	}
	worlds, missing := 0, 0
	explored(t, p, Dials{Stations: 4, Brief: true}, false, func(w *walker, now *world) key {
		worlds++
		if !seenBeside(w.room, to, now, free) {
			missing++
			if missing < 3 {
				t.Errorf("not seen beside others: %+v", *now)
			}
		}
		return key{}
	})
	t.Logf("%d worlds of four machines, %d of one beside others; %d are missing", worlds, len(free), missing)
}

// seenBeside tries each way to put the others that are followed in two heaps.
func seenBeside(from, to *room, w *world, free map[key]bool) bool {
	for heaps := range 8 {
		x := heap(from, to, w, heaps)
		for verdict := range uint8(restVerdicts) {
			for starts := range uint16(2) {
				x.rest, x.s.Starts = verdict, starts
				x.left[to.slotOf[TimerStart]] = uint8(starts)
				if free[to.pack(&x)] {
					return true
				}
			}
		}
	}
	return false
}

// heap is the world as one machine sees it. Of the real plant the gates are those of four stations and the sweep gate; beside others
// those of one, the sweep gate, and one for each heap.
func heap(from, to *room, w *world, heaps int) world {
	x := world{person: w.person, faults: w.faults, hand: w.hand}
	x.s = State{Fan: w.s.Fan, Mode: w.s.Mode, Flags: w.s.Flags}
	x.d = Devices{Contact: w.d.Contact, Fan: w.d.Fan}
	for i, t := range to.slots {
		if t == TimerGate+1 {
			t = TimerGate + 4 // the sweep gate
		}
		x.left[i] = w.left[from.slotOf[t]]
	}
	for _, m := range [...][2]*Mask{{&x.s.On, &w.s.On}, {&x.s.Seen, &w.s.Seen}, {&x.s.Edge, &w.s.Edge}, {&x.s.Admitted, &w.s.Admitted}, {&x.s.Keep, &w.s.Keep},
		{&x.d.Machines, &w.d.Machines}, {&x.sawOff, &w.sawOff}, {&x.fresh, &w.fresh}} {
		*m[0] = *m[1] & 1
	}
	for _, m := range [...][2]*Mask{{&x.s.CmdOpen, &w.s.CmdOpen}, {&x.s.Known, &w.s.Known}, {&x.s.Open, &w.s.Open}, {&x.s.Travels, &w.s.Travels}, {&x.s.Fault, &w.s.Fault},
		{&x.d.AtOpen, &w.d.AtOpen}, {&x.d.GoOpen, &w.d.GoOpen}} {
		*m[0] = *m[1]&1 | *m[1]>>4&1<<1
	}
	unseen := w.s.On &^ (w.s.Edge & w.s.Admitted) & 0b1110
	if unseen != 0 {
		x.s.On |= 1 << others
	}
	if unseen&w.s.Edge != 0 {
		x.s.Edge |= 1 << others
		x.fresh |= 1 << others
	}
	for h := range others - 1 {
		var members Mask
		for k := range 3 {
			if heaps>>k&1 == h {
				members |= 2 << k
			}
		}
		station, gate := Mask(1)<<(1+h), Mask(1)<<(2+h)
		for _, m := range [...][2]*Mask{{&x.s.On, &w.s.On}, {&x.s.Edge, &w.s.Edge}, {&x.s.Admitted, &w.s.Admitted}, {&x.s.Keep, &w.s.Keep}, {&x.fresh, &w.fresh}} {
			if *m[1]&members&^unseen != 0 {
				*m[0] |= station
			}
		}
		if told := w.s.CmdOpen & members; told != 0 {
			x.s.CmdOpen |= gate
			if told&^w.s.Open == 0 {
				x.s.Open |= gate
			}
		}
		if members&^w.s.Known == 0 || x.s.CmdOpen&gate != 0 {
			x.s.Known |= gate
		}
	}
	return x
}
