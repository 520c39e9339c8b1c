package server

import (
	"context"
	"path/filepath"
	"slices"

	"winnow/internal/face/wire"
	"winnow/internal/shop"
	"winnow/internal/shop/plan"
	"winnow/internal/shop/typical"
	"winnow/internal/study/verdict"
	"winnow/internal/unit"
)

// state is the shop as it stands. What was changed outside is noticed first; a disk that is away for the moment keeps nobody
// from looking.
func (s *Server) state(ctx context.Context) wire.State {
	head, err := s.Desk.Look(ctx)
	if err != nil {
		head = s.Desk.Head()
	}
	r := verdict.Prepare(head.Doc.Shop(), nil)
	undo, redo := s.Desk.Steps()
	st := wire.State{
		Rev: head.Number, Run: s.run, Name: r.Shop.Name, File: filepath.Base(s.Desk.Path()), Text: string(head.Text), Units: "us",
		Faults: faults(head.Doc.Faults()), Machines: machines(r.Shop), Systems: systems(r.Shop), Arrangements: []string{},
		Layout: layout(r.Shop, r.Layout), Undo: undo, Redo: redo,
	}
	if r.Shop.Units == "si" {
		st.Units = "si"
	}
	for _, a := range r.Shop.Arrangements {
		st.Arrangements = append(st.Arrangements, a.Name)
	}
	if t := s.Desk.Trouble(); t != nil {
		st.Trouble = troubleText(t, s.Desk.Path())
	}
	if err != nil {
		st.Trouble = err.Error() // the file itself is away: what is shown is the last that was read
	}
	if in, ok := s.Desk.InService(); ok {
		st.InService = in.Number
	}
	return st
}

func machines(s *shop.Shop) []wire.Machine {
	served := map[string]bool{}
	for _, y := range s.Systems {
		for _, r := range y.Runs {
			for _, p := range r.From.Ports {
				served[p.Machine] = true
			}
		}
	}
	out := make([]wire.Machine, 0, len(s.Machines))
	for _, m := range s.Machines {
		w := wire.Machine{
			Name: m.Name, Path: string(shop.MachinePath(m.Name)), Kind: m.Kind, Wheels: m.Wheels, Served: served[m.Name], Note: m.Note,
			Setups: []string{}, Places: []string{}, Ports: []wire.PortInfo{}, PlugAt: plugAt(shop.MachinePath(m.Name), m.Plug),
		}
		for _, x := range m.Setups {
			w.Setups = append(w.Setups, x.Name)
		}
		for _, x := range m.Places {
			w.Places = append(w.Places, x.Name)
		}
		for _, p := range m.Ports.Value {
			w.Ports = append(w.Ports, wire.PortInfo{
				Port: shop.PortRef{Machine: m.Name, Port: p.Name}.String(), Size: float64(p.Size.Best),
				NeedsChips: float64(p.Needs.Chips.Best), NeedsFine: float64(p.Needs.Fine.Best),
			})
		}
		out = append(out, w)
	}
	return out
}

func systems(s *shop.Shop) []wire.SystemInfo {
	out := make([]wire.SystemInfo, 0, len(s.Systems))
	for _, y := range s.Systems {
		w := wire.SystemInfo{
			Name: y.Name, Path: string(shop.SystemPath(y.Name)), Kind: y.Kind, Gates: []string{}, Runs: []wire.RunInfo{},
			PlugAt: plugAt(shop.SystemPath(y.Name), y.Plug),
		}
		for _, r := range y.Runs {
			run := run(s, y.Name, r)
			for _, g := range run.Gates {
				w.Gates = append(w.Gates, g.Name)
			}
			w.Runs = append(w.Runs, run)
		}
		out = append(out, w)
	}
	return out
}

func run(s *shop.Shop, system shop.ID, r shop.Run) wire.RunInfo {
	path := shop.RunPath(system, r.Name)
	w := wire.RunInfo{
		Name: r.Name, Path: string(path), FromPath: string(path.Join("from")), Ports: []string{}, Carried: len(r.From.Ports) > 1, Cap: r.From.Cap,
		Split: r.From.Split, Gates: []wire.GateInfo{},
	}
	for _, p := range r.From.Ports {
		w.Ports = append(w.Ports, p.String())
	}
	for i, p := range r.Pieces {
		if p.What == shop.Gate {
			w.Gates = append(w.Gates, wire.GateInfo{
				Name: p.Gate, Path: string(shop.PiecePath(system, r, i)), RestsOpen: restsOpen(p), ByItself: p.Device != "", Bleed: p.Gate == s.Control.BleedGate,
			})
		}
	}
	return w
}

func restsOpen(p shop.Piece) bool { return p.What == shop.Gate && p.Idle == "open" }

// plugAt is where the plug of a thing is, and where an edit says so.
func plugAt(thing shop.Path, p shop.Maybe[shop.Plug]) wire.PlugAt {
	if p.Basis == unit.Absent {
		return wire.PlugAt{}
	}
	return wire.PlugAt{Outlet: p.Value.Outlet, PlugPath: string(thing.Join("plug", "outlet"))}
}

// plugged lists what is plugged into each outlet, in the order of the file.
func plugged(s *shop.Shop) map[shop.ID][]wire.Plugged {
	out := map[shop.ID][]wire.Plugged{}
	add := func(name shop.ID, path shop.Path, at wire.PlugAt) {
		if at.Outlet != "" {
			out[at.Outlet] = append(out[at.Outlet], wire.Plugged{Name: name, Path: string(path), PlugPath: at.PlugPath})
		}
	}
	for _, l := range s.OtherLoads {
		path := shop.Path("other loads").Join(l.Name)
		add(l.Name, path, wire.PlugAt{Outlet: l.Outlet, PlugPath: string(path.Join("outlet"))})
	}
	for _, m := range s.Machines {
		add(m.Name, shop.MachinePath(m.Name), plugAt(shop.MachinePath(m.Name), m.Plug))
	}
	for _, y := range s.Systems {
		add(y.Name, shop.SystemPath(y.Name), plugAt(shop.SystemPath(y.Name), y.Plug))
	}
	for _, c := range s.AirCleaners {
		add(c.Name, shop.CleanerPath(c.Name), plugAt(shop.CleanerPath(c.Name), c.Plug))
	}
	return out
}

func xy(v plan.Vec3) wire.XY   { return wire.XY{float64(v.East), float64(v.North)} }
func xyz(v plan.Vec3) wire.XYZ { return wire.XYZ{float64(v.East), float64(v.North), float64(v.Height)} }

func corners(p plan.Polygon) []wire.XY {
	out := make([]wire.XY, len(p))
	for i, v := range p {
		out[i] = xy(v)
	}
	return out
}

func line(p []plan.Vec3) []wire.XYZ {
	out := make([]wire.XYZ, len(p))
	for i, v := range p {
		out[i] = xyz(v)
	}
	return out
}

// layout is the plan in the page's shape. Nothing is measured here.
func layout(s *shop.Shop, l *plan.Layout) wire.Layout {
	w := wire.Layout{
		Arrangement: l.Arrangement, Placed: l.Box.Placed, Low: xy(l.Box.Low), High: xy(l.Box.High), Corners: corners(l.Room.Corners),
		Walls: [][2]wire.XY{}, Doors: []wire.LaidDoor{}, Machines: []wire.LaidMachine{}, Systems: []wire.LaidSystem{}, Cleaners: []wire.LaidCleaner{},
		Obstacles: []wire.LaidShape{}, Walkways: []wire.LaidShape{}, Outlets: []wire.LaidOutlet{}, Pieces: []wire.LaidPiece{},
		Lays: []wire.LaidHose{}, Cords: []wire.LaidCord{},
	}
	for _, x := range l.Room.Walls {
		w.Walls = append(w.Walls, [2]wire.XY{xy(x.From), xy(x.To)})
	}
	for _, d := range l.Room.Doors {
		w.Doors = append(w.Doors, wire.LaidDoor{Name: d.Name, From: xy(d.Hinge), To: xy(d.Latch), Opens: d.Opens, Swing: corners(d.Swing)})
	}
	for _, m := range l.Machines {
		w.Machines = append(w.Machines, laidMachine(s, m))
	}
	for _, y := range l.Systems {
		path := shop.SystemPath(y.Name)
		w.Systems = append(w.Systems, wire.LaidSystem{
			Name: y.Name, Placed: y.Placed, At: xy(y.At), AtPath: string(path.Join("at")), FacingPath: string(path.Join("facing")), Facing: float64(y.Facing),
			Footprint: corners(y.Footprint), Inlet: xyz(y.Inlet),
		})
	}
	for _, c := range l.Cleaners {
		path := shop.CleanerPath(c.Name)
		laid := wire.LaidCleaner{Name: c.Name, Path: string(path), Placed: c.Placed, At: xy(c.At), AtPath: string(path.Join("at")), Corners: corners(c.Footprint)}
		for _, owner := range s.AirCleaners {
			if owner.Name == c.Name {
				laid.PlugAt = plugAt(path, owner.Plug)
			}
		}
		w.Cleaners = append(w.Cleaners, laid)
	}
	for _, o := range l.Obstacles {
		w.Obstacles = append(w.Obstacles, wire.LaidShape{Name: o.Name, Corners: corners(o.Corners), Also: o.Also})
	}
	for _, x := range l.Walkways {
		w.Walkways = append(w.Walkways, wire.LaidShape{Name: x.Name, Corners: corners(x.Corners)})
	}
	in := plugged(s)
	for _, o := range l.Outlets {
		w.Outlets = append(w.Outlets, wire.LaidOutlet{
			Name: o.Name, Path: string(o.Path), AtPath: string(o.Path.Join("at")), Circuit: o.Circuit, At: xy(o.At), Placed: o.Placed,
			Plugged: slices.Concat([]wire.Plugged{}, in[o.Name]),
		})
	}
	resting := map[shop.Path]bool{}
	for _, y := range s.Systems {
		for _, r := range y.Runs {
			for i, p := range r.Pieces {
				if restsOpen(p) {
					resting[shop.PiecePath(y.Name, r, i)] = true
				}
			}
		}
	}
	for _, p := range l.Pieces {
		piece := laidPiece(p)
		piece.RestsOpen = resting[p.Path]
		w.Pieces = append(w.Pieces, piece)
	}
	for _, h := range l.Lays {
		w.Lays = append(w.Lays, laidHose(h))
	}
	for _, c := range l.Cords {
		if c.Known {
			w.Cords = append(w.Cords, wire.LaidCord{Of: c.Of, Outlet: c.Outlet, Line: line(c.Line), Short: c.SlackOK && c.Slack < 0, Trips: trips(c.Crosses)})
		}
	}
	return w
}

// laidMachine says besides which path an edit sets to move or turn it: where there are several places, the one it stands at.
func laidMachine(s *shop.Shop, m plan.MachineLayout) wire.LaidMachine {
	path := shop.MachinePath(m.Name)
	at, facing := path.Join("at"), path.Join("facing")
	if owner := s.Machine(m.Name); owner != nil && len(owner.Places) > 0 && owner.Places[0].Name != "" {
		place := m.Place
		if place == "" {
			place = owner.Places[0].Name
		}
		at, facing = path.Join("places", place, "at"), path.Join("places", place, "facing")
	}
	w := wire.LaidMachine{
		Name: m.Name, Placed: m.Placed, Away: m.Away, Place: m.Place, AtPath: string(at), FacingPath: string(facing), At: xy(m.At),
		Facing: float64(m.Facing), Footprint: corners(m.Footprint), Infeed: corners(m.Infeed), Outfeed: corners(m.Outfeed), Ports: []wire.LaidPort{},
	}
	for _, p := range m.Ports {
		w.Ports = append(w.Ports, wire.LaidPort{Port: shop.PortRef{Machine: m.Name, Port: p.Name}.String(), At: xyz(p.At), Placed: p.Placed})
	}
	return w
}

func laidPiece(p plan.PieceLayout) wire.LaidPiece {
	w := wire.LaidPiece{
		Path: string(p.Path), System: p.System, Run: p.Run, What: string(p.What), Name: p.Name, Size: float64(p.From),
		Line: line(p.Line), Sketch: line(p.Sketch), At: xyz(p.At), Placed: p.Placed, Goes: p.Goes.String(),
	}
	if p.Length.Basis != unit.Unsaid {
		w.Length = float64(p.Length.Best)
	}
	return w
}

func laidHose(h plan.Lay) wire.LaidHose {
	w := wire.LaidHose{
		System: h.System, Run: h.Run, Machine: h.Port.Machine, Port: h.Port.String(), Now: h.Now, Carried: h.Carried, Known: h.Known,
		Line: line(h.Line), Slack: float64(h.Slack), Trips: trips(h.Crosses),
	}
	return w
}

// trips are where a hose or a cord lies across a walkway.
func trips(crosses []plan.Crossing) []wire.XY {
	out := []wire.XY{}
	for _, c := range crosses {
		if c.What == plan.CrossesWalkway {
			out = append(out, xy(middle(c.At, c.Out)))
		}
	}
	return out
}

// words are the kinds and units an owner may pick from.
func words() wire.Words {
	w := wire.Words{Machines: []wire.Word{}, Pipes: []wire.Word{}, Units: []wire.Word{}}
	for _, m := range typical.MachineKinds() {
		w.Machines = append(w.Machines, wire.Word{Name: m.Name, About: m.About})
	}
	for _, p := range typical.PipeKinds() {
		w.Pipes = append(w.Pipes, wire.Word{Name: p.Name, About: p.About})
	}
	for _, u := range unit.Table() {
		w.Units = append(w.Units, wire.Word{Name: u.Name, About: string(u.Dimension)})
	}
	return w
}

func middle(a, b plan.Vec3) plan.Vec3 {
	return plan.Vec3{East: (a.East + b.East) / 2, North: (a.North + b.North) / 2, Height: (a.Height + b.Height) / 2}
}
