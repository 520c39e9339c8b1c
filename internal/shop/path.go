package shop

import (
	"strconv"
	"strings"
)

// Join adds keys to a path.
func (p Path) Join(keys ...string) Path {
	for _, k := range keys {
		if p == "" {
			p = Path(k)
			continue
		}
		p += Path("/" + k)
	}
	return p
}

// Keys are the steps of a path.
func (p Path) Keys() []string {
	if p == "" {
		return nil
	}
	return strings.Split(string(p), "/")
}

// Parent is the path without its last key; of a single key it is empty.
func (p Path) Parent() Path {
	i := strings.LastIndexByte(string(p), '/')
	if i < 0 {
		return ""
	}
	return p[:i]
}

// Last is the last key of a path.
func (p Path) Last() string { return string(p[strings.LastIndexByte(string(p), '/')+1:]) }

// MachinePath names a machine.
func MachinePath(m ID) Path { return Path("machines").Join(m) }

// SystemPath names an extraction system.
func SystemPath(s ID) Path { return Path("systems").Join(s) }

// RunPath names a run of a system.
func RunPath(system, run ID) Path { return SystemPath(system).Join("runs", run) }

// CleanerPath names an air cleaner.
func CleanerPath(c ID) Path { return Path("air cleaners").Join(c) }

// Path names the port in the file: `machines/planer/port` where it is the only one, else `machines/table saw/ports/guard`.
func (r PortRef) Path() Path {
	if r.Port == "" {
		return MachinePath(r.Machine).Join("port")
	}
	return MachinePath(r.Machine).Join("ports", r.Port)
}

// String is the port as the owner says it: `table saw/guard`, or `planer`.
func (r PortRef) String() string {
	if r.Port == "" {
		return r.Machine
	}
	return r.Machine + "/" + r.Port
}

// MarshalText writes a port as the owner says it.
func (r PortRef) MarshalText() ([]byte, error) { return []byte(r.String()), nil }

// UnmarshalText reads it back.
func (r *PortRef) UnmarshalText(text []byte) error {
	r.Machine, r.Port, _ = strings.Cut(string(text), "/")
	return nil
}

// PiecePath names piece i, from 0, of a run.
func PiecePath(system ID, r Run, i int) Path {
	return RunPath(system, r.Name).Join("pieces", PieceKey(r.Pieces, i))
}

// PieceKey is how a path names piece i, from 0: its kind with its name, or with its number of that kind.
func PieceKey(pieces []Piece, i int) string {
	p := pieces[i]
	if name := p.Named(); name != "" {
		return string(p.What) + " " + name
	}
	n := 0
	for _, q := range pieces[:i+1] {
		if q.What == p.What {
			n++
		}
	}
	return string(p.What) + " " + strconv.Itoa(n)
}

// Named is the name a piece has, or "" for one that has none: pipes, hoses, and the wye of several runs.
func (p Piece) Named() ID {
	switch p.What {
	case Gate:
		return p.Gate
	case Separator:
		return p.Separator
	case Tap:
		return p.Tap
	case Split:
		return p.Split
	case Wye:
		if len(p.Wye) == 1 {
			return p.Wye[0]
		}
	}
	return ""
}

// Machine finds a machine by name; nil if there is none.
func (s *Shop) Machine(name ID) *Machine {
	for i := range s.Machines {
		if s.Machines[i].Name == name {
			return &s.Machines[i]
		}
	}
	return nil
}

// System finds an extraction system by name; nil if there is none.
func (s *Shop) System(name ID) *System {
	for i := range s.Systems {
		if s.Systems[i].Name == name {
			return &s.Systems[i]
		}
	}
	return nil
}

// Run finds a run by name; nil if there is none.
func (y *System) Run(name ID) *Run {
	for i := range y.Runs {
		if y.Runs[i].Name == name {
			return &y.Runs[i]
		}
	}
	return nil
}

// Port finds a port of the machine; the empty name is the single unnamed one. nil if there is none.
func (m *Machine) Port(name ID) *Port {
	for i := range m.Ports.Value {
		if m.Ports.Value[i].Name == name {
			return &m.Ports.Value[i]
		}
	}
	return nil
}

// Spot is where a reading was taken; exactly one of its fields is filled.
type Spot struct {
	Port      PortRef // Port.Port is empty for the machine as a whole, or its one port
	Tap       ID
	TapSystem ID // the system the tap is in
	System    ID
	Room      bool
}

// Spot resolves the `where` of a reading.
func (s *Shop) Spot(where string) (Spot, bool) {
	if where == "room" {
		return Spot{Room: true}, true
	}
	if tap, ok := strings.CutPrefix(where, "tap "); ok {
		for _, y := range s.Systems {
			for _, r := range y.Runs {
				for _, p := range r.Pieces {
					if p.What == Tap && p.Tap == tap {
						return Spot{Tap: tap, TapSystem: y.Name}, true
					}
				}
			}
		}
		return Spot{}, false
	}
	machine, port, named := strings.Cut(where, "/")
	if m := s.Machine(machine); m != nil {
		if !named || m.Port(port) != nil {
			return Spot{Port: PortRef{Machine: machine, Port: port}}, true
		}
		return Spot{}, false
	}
	if s.System(where) != nil {
		return Spot{System: where}, true
	}
	return Spot{}, false
}
