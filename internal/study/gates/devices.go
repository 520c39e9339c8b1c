package gates

// Devices is what stands in the shop: the truth that the controller sees only by its inputs. The proof explores it and a
// simulation plays it.
type Devices struct {
	Machines Mask // really running
	AtOpen   Mask // gates at their open end
	AtShut   Mask
	GoOpen   Mask // what the gate was last told
	Jam      Mask // does not move
	Deaf     Mask // hears no command
	Contact  bool // of the fan: held
	Fan      Fan
}

// newDevices are a shop at rest: all gates shut but those left open, nothing running.
func newDevices(p *Plant) Devices {
	all := Mask(1)<<len(p.Gates) - 1
	return Devices{AtOpen: p.Idle, AtShut: all &^ p.Idle, GoOpen: p.Idle}
}

// obey carries a command out, as far as it reaches its device.
func (d *Devices) obey(p *Plant, c Command) {
	switch c.Kind {
	case RunFan:
		d.Contact, d.Fan = true, Running
	case StopFan:
		d.letGo()
	case OpenGate, ShutGate:
		bit := Mask(1) << c.Index
		if d.Deaf&bit != 0 {
			return
		}
		if c.Kind == OpenGate {
			d.GoOpen |= bit
		} else {
			d.GoOpen &^= bit
		}
		if d.Jam&bit == 0 && (d.GoOpen&bit != 0) != (d.AtOpen&bit != 0) {
			if d.GoOpen&bit != 0 {
				d.AtShut &^= bit
			}
		}
	}
}

// letGo drops the run contact; the fan coasts.
func (d *Devices) letGo() {
	d.Contact = false
	if d.Fan == Running {
		d.Fan = Coasting
	}
}

// underway are the gates that are not where they were told to be, and can get there.
func (d *Devices) underway() Mask { return (d.GoOpen&^d.AtOpen | d.AtOpen&^d.GoOpen) &^ d.Jam }

// leave takes a gate off its end; the switch tells.
func (d *Devices) leave(g int) { d.AtOpen &^= 1 << g; d.AtShut &^= 1 << g }

// arrive brings a gate to where it was told to be.
func (d *Devices) arrive(g int) {
	bit := Mask(1) << g
	d.AtOpen &^= bit
	d.AtShut &^= bit
	if d.GoOpen&bit != 0 {
		d.AtOpen |= bit
	} else {
		d.AtShut |= bit
	}
}
