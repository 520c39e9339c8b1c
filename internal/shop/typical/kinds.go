package typical

import (
	"slices"

	"winnow/internal/unit"
)

// Sort is one sort of thing that has kinds or makes.
type Sort struct {
	Name  string // machine, pipe, hose, system, filter, grade, separator, bin, elbow, wye, reducer, gate, air cleaner, load
	Where string // the key of the shop file that takes its words
	Items []Item
}

// Item is one kind or make.
type Item struct {
	Name  string
	Also  []string // other spellings understood
	About string
}

// Row is one usual value of a kind, ready to print.
type Row struct {
	What      string
	Word      string // where it is no number
	Best      float64
	Low, High float64
	Unit      string // suffix of the SI unit
	Print     func(unit.System) string
	Source    string
}

// Text is the row's value for the owner.
func (r Row) Text(sys unit.System) string {
	if r.Print == nil {
		return r.Word
	}
	return r.Print(sys)
}

// Kinds lists every sort with its kinds and makes, in the order of the tables.
func Kinds() []Sort {
	b := tables()
	pipes, hoses := []Item{}, []Item{}
	for _, p := range b.pipes.list {
		if p.Hose {
			hoses = append(hoses, Item{p.Name, p.Also, p.About})
		} else {
			pipes = append(pipes, Item{p.Name, p.Also, p.About})
		}
	}
	return []Sort{
		{"machine", "machines/NAME/kind", items(b.machines.list, func(m *Machine) Item { return Item{m.Name, m.Also, m.About} })},
		{"pipe", "kind of a run or a piece", pipes},
		{"hose", "kind of a run or a piece", hoses},
		{"system", "systems/NAME/kind", items(b.systems.list, func(s *System) Item { return Item{s.Name, s.Also, s.About} })},
		{"filter", "filter/kind", items(b.filters.list, func(f *FilterKind) Item { return Item{f.Name, f.Also, f.About} })},
		{"grade", "filter/grade", items(b.grades.list, func(g *Grade) Item { return Item{g.Name, g.Also, g.About} })},
		{"separator", "make of a separator", items(b.separators.list, func(s *SeparatorKind) Item { return Item{s.Name, s.Also, s.About} })},
		{"elbow", "make of an elbow", items(b.elbows.list, func(e *Elbow) Item { return Item{e.Name, e.Also, e.About} })},
		{"wye", "make of a wye", items(b.wyes.list, func(w *Wye) Item { return Item{w.Name, w.Also, w.About} })},
		{"reducer", "make of a reducer", items(b.reducers.list, func(w *Wye) Item { return Item{w.Name, w.Also, w.About} })},
		{"gate", "make of a gate", items(b.gates.list, func(g *Gate) Item { return Item{Name: g.Name, Also: g.Also} })},
		{"bin", "bins of systems and separators", items(b.bins.list, func(k *BinKind) Item { return Item{Name: k.Name, Also: k.Also} })},
		{"air cleaner", "air cleaners/NAME", items(b.cleaners.list, func(k *CleanerKind) Item { return Item{Name: k.Name, Also: k.Also} })},
		{"load", "other loads/NAME", items(b.loads.list, func(k *LoadKind) Item { return Item{Name: k.Name, Also: k.Also} })},
	}
}

func items[T any](list []*T, item func(*T) Item) []Item {
	out := make([]Item, len(list))
	for i, t := range list {
		out[i] = item(t)
	}
	return out
}

// Words lists all names and spellings of some sorts: what a shop file may say there. `machine`, `pipe`, `hose`, `filter` and so on,
// as in Kinds.
func Words(sorts ...string) []string {
	var out []string
	for _, s := range Kinds() {
		if !slices.Contains(sorts, s.Name) {
			continue
		}
		for _, i := range s.Items {
			out = append(append(out, i.Name), i.Also...)
		}
	}
	return out
}

// Sheet is one kind or make with its usual values.
type Sheet struct {
	Sort string // as in Kinds
	Item
	Rows []Row
}

// Describe returns the usual values of whatever has a name or another spelling: one word may name several things, as `cyclone` is
// a separator and a sort of collector. sys decides between US and metric sizes and mains. Empty: nobody knows it.
func Describe(name string, sys unit.System) []Sheet {
	b := tables()
	var out []Sheet
	add := func(sort string, item Item, rows []Row) { out = append(out, Sheet{sort, item, rows}) }
	if m, ok := b.machines.find(name); ok {
		add("machine", Item{m.Name, m.Also, m.About}, m.rows(sys))
	}
	if p, ok := b.pipes.find(name); ok {
		sort := "pipe"
		if p.Hose {
			sort = "hose"
		}
		add(sort, Item{p.Name, p.Also, p.About}, p.rows(sys))
	}
	if s, ok := b.systems.find(name); ok {
		add("system", Item{s.Name, s.Also, s.About}, s.rows(sys))
	}
	if f, ok := b.filters.find(name); ok {
		add("filter", Item{f.Name, f.Also, f.About}, f.rows())
	}
	if g, ok := b.grades.find(name); ok {
		add("grade", Item{g.Name, g.Also, g.About}, list(amountRow("lets through at most", g.Passes)))
	}
	if s, ok := b.separators.find(name); ok {
		add("separator", Item{s.Name, s.Also, s.About}, s.rows(sys))
	}
	if e, ok := b.elbows.find(name); ok {
		add("elbow", Item{e.Name, e.Also, e.About}, list(amountRow("radius in bores", e.Radius)))
	}
	if w, ok := b.wyes.find(name); ok {
		add("wye", Item{w.Name, w.Also, w.About}, list(amountRow("slant of the side leg", w.Angle)))
	}
	if w, ok := b.reducers.find(name); ok {
		add("reducer", Item{w.Name, w.Also, w.About}, list(amountRow("angle of its cone", w.Angle)))
	}
	if g, ok := b.gates.find(name); ok {
		add("gate", Item{Name: g.Name, Also: g.Also}, list(amountRow("shut, 4 in: open area that counts", g.leak)))
	}
	return append(out, describeRest(b, name)...)
}

// describeRest are the sorts without words about them.
func describeRest(b *book, name string) []Sheet {
	var out []Sheet
	if k, ok := b.bins.find(name); ok {
		out = append(out, Sheet{"bin", Item{Name: k.Name, Also: k.Also}, list(amountRow("volume", k.Volume), amountRow("usable part", k.Usable))})
	}
	if k, ok := b.cleaners.find(name); ok {
		out = append(out, Sheet{"air cleaner", Item{Name: k.Name, Also: k.Also}, list(
			amountRow("airflow", k.Flow), amountRow("airflow on the box", k.Box), amountRow("power", k.Power), amountRow("noise at the ear", k.Noise))})
	}
	if k, ok := b.loads.find(name); ok {
		out = append(out, Sheet{"load", Item{Name: k.Name, Also: k.Also}, list(
			amountRow("current at 120 V", k.Current), amountRow("start", k.Start), amountRow("power", k.Power), wordRow("works", k.Works))})
	}
	return out
}

// amountRow is empty for an amount that is not there.
func amountRow[T unit.Real](what string, a unit.Amount[T]) Row {
	if a.Basis == unit.Unsaid {
		return Row{}
	}
	return Row{
		What: what, Best: float64(a.Best), Low: float64(a.Low), High: float64(a.High), Unit: unit.Suffix[T](), Source: a.Source,
		Print: func(sys unit.System) string { return unit.PrintAmount(a, sys) },
	}
}

func wordRow(what, word string) Row { return Row{What: what, Word: word} }

// list leaves the empty rows out.
func list(rows ...Row) []Row {
	out := rows[:0]
	for _, r := range rows {
		if r.What != "" && (r.Print != nil || r.Word != "") {
			out = append(out, r)
		}
	}
	return out
}

// printedBy replaces how a row is written.
func printedBy[T unit.Real](r Row, a unit.Amount[T], print func(T, unit.System) string) Row {
	if r.What != "" {
		r.Print = func(sys unit.System) string { return likely(a, sys, print) }
	}
	return r
}

func (m *Machine) rows(sys unit.System) []Row {
	var rows []Row
	for i := range m.Ports {
		p := &m.Ports[i]
		at := "port"
		if p.Name != "" {
			at = p.Name + " port"
		}
		if !p.Usual {
			at += " (not on all)"
		}
		size := p.Size.For(sys)
		chips, fine := p.Needs(size.Best, 0)
		rows = append(rows,
			amountRow(at+": size", size), amountRow(at+": needs, chips", chips), amountRow(at+": needs, fine", fine),
			amountRow(at+": mouth, in velocity pressures", p.Entry.Suction), amountRow(at+": height", p.Height))
	}
	if m.Drive != "" {
		rows = append(rows, printedBy(amountRow("motor: power", m.Power.For(sys)), m.Power.For(sys), unit.PrintMotor),
			amountRow("motor: voltage", m.Voltage.For(sys)), amountRow("motor: current", m.Current.For(sys)), wordRow("motor", m.Drive))
	}
	rows = append(rows,
		amountRow("needs of all ports together, fine", m.FineInAll),
		wordRow("makes", m.Form), printedBy(amountRow("makes an hour, loose", m.Rate), m.Rate, unit.PrintBulk),
		wordRow("dust like", m.Emission.Name), amountRow("dust where it is not caught", m.Emission.Rate),
		amountRow("share that escapes", m.Escape.Share), amountRow("share that escapes without the ports not on all", m.EscapeBare.Share),
		amountRow("width", m.Width), amountRow("depth", m.Depth), amountRow("infeed", m.Infeed), amountRow("outfeed", m.Outfeed),
		amountRow("keeps the fan running", m.KeepsRunning), amountRow("noise at the ear", m.Noise))
	return list(rows...)
}

func (p *Pipe) rows(sys unit.System) []Row {
	rows := []Row{
		amountRow("roughness", p.Roughness), amountRow("friction, times smooth pipe", p.Friction), amountRow("least radius, in bores", p.Bend),
		amountRow("pulled out", p.Stretch), amountRow("folds to", p.FoldsTo), wordRow("usual elbow", p.Elbow),
	}
	for _, s := range p.sizes {
		if s.sys == sys {
			rows = append(rows, amountRow("true bore of "+unit.Print(s.nominal, sys), s.true))
		}
	}
	return list(rows...)
}

func (s *System) rows(sys unit.System) []Row {
	rows := []Row{wordRow("filter", s.Filter), wordRow("bin", s.Bin), amountRow("real airflow over the box's", s.Claim), amountRow("bend of the fan's curve, n", s.Shape)}
	add := func(r FanRow) {
		rows = append(rows, amountRow(r.Name+": airflow, clean filter, no hose", r.Free), amountRow(r.Name+": airflow on the box", r.Box),
			amountRow(r.Name+": pull with the inlet blocked", r.ShutOff), amountRow(r.Name+": wheel", r.Wheel), amountRow(r.Name+": current", r.Current))
	}
	if row := s.row[sys]; row != nil {
		add(*row)
	} else {
		for _, r := range CollectorFans(sys) {
			add(r)
		}
	}
	return list(append(rows, amountRow("cleaned every, bare", s.Every), amountRow("cleaned every, with a separator", s.EverySep),
		amountRow("coasts", s.Coast), amountRow("noise at the ear", s.Noise))...)
}

func (k *FilterKind) rows() []Row {
	return list(amountRow("area, to 1 1/2 hp", k.Area), amountRow("area, above", k.AreaBig),
		amountRow("clean loss over face speed, Pa·s/m", k.K1), wordRow("grade", k.Grade))
}

func (k *SeparatorKind) rows(sys unit.System) []Row {
	at := amountRow("loss", k.Loss.Drop)
	drop, flow := k.Loss.Drop, k.Loss.At.Best
	at.Print = func(sys unit.System) string { return unit.PrintAmount(drop, sys) + ", at " + unit.Print(flow, sys) }
	return list(at, amountRow("loss in velocity pressures of its own inlet", k.Heads), amountRow("half is kept of", k.Cut),
		amountRow("keeps of the mass", k.Keeps), amountRow("inlet", k.Inlet.For(sys)), wordRow("bin", k.Bin))
}
