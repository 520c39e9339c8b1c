package typical

import (
	"winnow/internal/shop"
	"winnow/internal/unit"
)

// runs fills sizes and kinds of all runs, then their pieces. A size is asked of whatever the run starts with, so runs that start
// with a wye wait for those they bring together.
func (f *filler) runs(y *shop.System, k *System, base shop.Path) {
	for i := range y.Runs {
		f.runSize(y, k, &y.Runs[i], 0)
	}
	for i := range y.Runs {
		r := &y.Runs[i]
		f.runKind(r, k, base.Join("runs", r.Name))
		carried := len(r.From.Ports) > 1
		pieces := string(base) + "/runs/" + r.Name + "/pieces/"
		f.pieces(r.Pieces, r.Size, r.Kind, k, carried, func(i int) shop.Path { return shop.Path(pieces + shop.PieceKey(r.Pieces, i)) })
	}
}

// runSize takes the port's size, for the main the inlet's, for a run that starts with a wye the largest it brings together.
func (f *filler) runSize(y *shop.System, k *System, r *shop.Run, depth int) {
	if r.Size.Basis != unit.Unsaid || depth > len(y.Runs) {
		return
	}
	base := shop.RunPath(y.Name, r.Name)
	if r.Name == "main" {
		size := y.Inlet
		size.Source = "the size of the inlet"
		quietly(&r.Size, size) // said once, at the inlet
		return
	}
	size := f.sizeAtStart(y, k, r, depth)
	fill(f, &r.Size, size, ofSize, base, "size")
}

func (f *filler) sizeAtStart(y *shop.System, k *System, r *shop.Run, depth int) unit.Amount[unit.Metre] {
	for _, ref := range r.From.Ports {
		if m := f.s.Machine(ref.Machine); m != nil {
			if p := m.Port(ref.Port); p != nil && p.Size.Best > 0 {
				size := p.Size
				size.Source = "the size of the port it starts at"
				return size
			}
		}
	}
	largest := unit.Amount[unit.Metre]{}
	if len(r.Pieces) > 0 && r.Pieces[0].What == shop.Wye {
		for _, name := range r.Pieces[0].Wye {
			if in := y.Run(name); in != nil && in != r {
				f.runSize(y, k, in, depth+1)
				if in.Size.Best > largest.Best {
					largest = in.Size
					largest.Source = "the largest run it brings together"
				}
			}
		}
	}
	if largest.Best > 0 {
		return largest
	}
	return asAmount(f.commonSize(k), f.b.sources["S-120"].String())
}

func (f *filler) commonSize(k *System) unit.Metre {
	if row := k.row[f.mains]; row != nil {
		return k.row[f.sizes].Inlet
	}
	if f.sizes == unit.SI {
		return 0.100
	}
	return gateSize
}

// runKind: a run that has pipe is of the usual pipe, else of the usual hose.
func (f *filler) runKind(r *shop.Run, k *System, base shop.Path) {
	if r.Kind != "" {
		if _, ok := PipeKind(r.Kind); !ok {
			f.unknown(CodeUnknownKind, base.Join("kind"), r.Kind, f.b.pipes.names())
		}
		return
	}
	usual := f.usualHose(r.Size.Best, k)
	for _, p := range r.Pieces {
		if p.What == shop.Pipe && p.Kind == "" {
			usual = f.usualPipe(r.Size.Best)
			break
		}
	}
	for _, p := range r.Pieces { // pieces that say it themselves leave nothing to assume
		if (p.What == shop.Pipe || p.What == shop.Hose) && p.Kind == "" {
			f.word(&r.Kind, usual, ofPipeKind, base, "kind")
			return
		}
	}
	r.Kind = usual
}

// usualHose: under 70 mm shop vacuums have ribbed hose and extractors smooth hose, above it is dust hose. Common practice.
func (f *filler) usualHose(size unit.Metre, k *System) string {
	switch {
	case size >= 0.070:
		return "wire-helix hose"
	case k.Name == "extractor":
		return "smooth hose"
	}
	return "ribbed hose"
}

// usualPipe: sheet steel from 70 mm up, else the plastic pipe at hand. Common practice.
func (f *filler) usualPipe(size unit.Metre) string {
	switch {
	case size >= 0.070:
		return "snap-lock pipe"
	case f.sizes == unit.SI:
		return "indoor drain"
	}
	return "schedule 40 pipe"
}

// pieces gives every piece its size and kind, then what is its own. A reducer carries the size before it and changes it for those
// after; a piece with a size of its own changes nothing.
func (f *filler) pieces(list []shop.Piece, size unit.Amount[unit.Metre], kind string, k *System, carried bool, path func(int) shop.Path) {
	for i := range list {
		p := &list[i]
		at := path(i)
		if p.Size.Basis == unit.Unsaid {
			p.Size = size
		}
		f.pieceKind(p, kind, k, at)
		switch p.What {
		case shop.Pipe:
			fill(f, &p.Pipe, f.b.hoses.pipe, ofLength, at, "pipe")
		case shop.Hose:
			f.hose(p, carried, at)
		case shop.Elbow:
			f.elbow(p, at)
		case shop.Wye:
			f.wye(p, i == 0, at)
		case shop.Split:
			fill(f, &p.Angle, f.b.wyes.at("wye").Angle, ofWye, at, "angle")
		case shop.Reducer:
			f.reducer(p, at)
			size = p.Reducer
		case shop.Gate:
			f.gate(p, at)
		case shop.Separator:
			f.separator(p, k, at)
		case shop.Kink:
			fill(f, &p.Kink, f.b.kinks.at("half").Open, ofKink, at, "kink")
		case shop.Other:
			if p.Other.Drop.Basis == unit.Unsaid {
				p.Other.At = asAmount(unit.M3PerSec(0.2), f.judgement())
				fill(f, &p.Other.Drop, assumed[unit.Pascal](50, 10, 250, f.judgement()), ofSeparator, at, "other")
			}
		}
	}
}

// pieceKind gives a piece the run's kind where the two are of one sort, else the usual one of its sort.
func (f *filler) pieceKind(p *shop.Piece, kind string, k *System, at shop.Path) {
	if p.Kind != "" {
		if _, ok := PipeKind(p.Kind); !ok {
			f.unknown(CodeUnknownKind, at.Join("kind"), p.Kind, f.b.pipes.names())
			return
		}
		f.oddSize(p, at)
		return
	}
	run, known := PipeKind(kind)
	hose := p.What == shop.Hose || p.What == shop.Kink
	rigid := p.What == shop.Pipe || p.What == shop.Elbow
	switch {
	case hose && known && !run.Hose, hose && kind == "":
		f.word(&p.Kind, f.usualHose(p.Size.Best, k), ofPipeKind, at, "kind")
	case rigid && known && run.Hose, rigid && kind == "":
		p.Kind = f.usualPipe(p.Size.Best)
		if p.What == shop.Pipe {
			f.say(p.Kind, ofPipeKind, at, "kind")
		}
	default:
		p.Kind = kind
	}
	f.oddSize(p, at)
}

// oddSize reports a pipe or hose that is not sold in its size.
func (f *filler) oddSize(p *shop.Piece, at shop.Path) {
	if p.What != shop.Pipe && p.What != shop.Hose || p.Size.Basis != unit.Given {
		return
	}
	if _, ok := Bore(p.Kind, p.Size.Best); ok {
		return
	}
	if _, known := PipeKind(p.Kind); !known {
		return
	}
	f.faults = append(f.faults, shop.Finding{
		Code: CodeOddSize, Where: at,
		Args: []shop.Arg{shop.Word("part", partOfPath(at)), shop.Word("kind", p.Kind), shop.Number("size", p.Size.Best)},
	})
}

func (f *filler) hose(p *shop.Piece, carried bool, at shop.Path) {
	length := f.b.hoses.drop
	if carried {
		length = f.b.hoses.carried
	}
	fill(f, &p.Hose, length, ofLength, at, "hose")
	// How far it is pulled out stays unsaid: the band of a hose's friction spans from pulled straight to slack.
	reach := p.Hose.Best
	if reach == 0 { // measured on the plan later
		reach = length.Best
	}
	fill(f, &p.Bends, HoseBends(reach), ofBends, at, "bends")
	quietly(&p.Radius, f.b.hoses.radius)
}

func (f *filler) elbow(p *shop.Piece, at shop.Path) {
	fill(f, &p.Elbow, assumed[unit.Radian](quarter, quarter/2, quarter, f.b.sources["S-120"].String()), ofElbow, at, "elbow")
	usual := "4-piece"
	if k, ok := PipeKind(p.Kind); ok && k.Elbow != "" {
		usual = k.Elbow
	}
	f.word(&p.Make, usual, ofElbow, at, "make")
	kind, ok := ElbowMake(p.Make)
	if !ok {
		f.unknown(CodeUnknownMake, at.Join("make"), p.Make, f.b.elbows.names())
		kind = f.b.elbows.at(usual)
	}
	fill(f, &p.Radius, kind.Radius, ofShape, at, "radius")
	if kind.Name == "4-piece" {
		fill(f, &p.Leak, f.opening("adjustable elbow"), ofLeak, at, "leak")
		return
	}
	f.tight(p)
}

const quarter = 1.5707963267948966

// tight says that nothing leaks in worth counting.
func (f *filler) tight(p *shop.Piece) {
	if p.Leak.Basis == unit.Unsaid {
		p.Leak = assumed[unit.M2](0, 0, 0, f.judgement())
	}
}

// opening is a usual leak as the open area that the shop file's `leak` means.
func (f *filler) opening(name string) unit.Amount[unit.M2] {
	l, _ := LeakOf(name)
	return scaled(l.Area, 1/Discharge)
}

func (f *filler) wye(p *shop.Piece, first bool, at shop.Path) {
	usual := "wye"
	if first && len(p.Wye) > 1 {
		usual = "two-way split"
	}
	if p.Make == "" {
		p.Make = usual // the slant is what counts, and is said below
	}
	kind, ok := WyeMake(p.Make)
	if !ok {
		f.unknown(CodeUnknownMake, at.Join("make"), p.Make, f.b.wyes.names())
		kind = f.b.wyes.at(usual)
	}
	fill(f, &p.Angle, kind.Angle, ofWye, at, "angle")
}

func (f *filler) reducer(p *shop.Piece, at shop.Path) {
	if p.Make == "" {
		p.Make = "cone"
	}
	kind, ok := ReducerMake(p.Make)
	if !ok {
		f.unknown(CodeUnknownMake, at.Join("make"), p.Make, f.b.reducers.names())
		kind = f.b.reducers.at("cone")
	}
	fill(f, &p.Angle, kind.Angle, ofShape, at, "angle")
	same := p.Size
	same.Source = "the size before it"
	fill(f, &p.Reducer, same, ofSize, at, "reducer")
}

func (f *filler) gate(p *shop.Piece, at shop.Path) {
	leak, ok := GateLeak(p.Make, p.Size.Best)
	if !ok {
		f.unknown(CodeUnknownMake, at.Join("make"), p.Make, f.b.gates.names())
	}
	fill(f, &p.Leak, scaled(leak, 1/Discharge), ofGateLeak, at, "leak")
	by := "motor"
	if p.Device == "" {
		by = "hand"
	}
	travel, _ := TravelOf(by)
	fill(f, &p.Travel, travel, ofTime, at, "travel")
	f.word(&p.Idle, "shut", ofHabits, at, "idle")
	f.word(&p.EndSwitches, "none", ofHabits, at, "end switches")
}

func (f *filler) separator(p *shop.Piece, k *System, at shop.Path) {
	f.word(&p.Make, k.Make, ofSeparator, at, "make")
	kind, ok := SeparatorMake(p.Make)
	if !ok {
		f.unknown(CodeUnknownMake, at.Join("make"), p.Make, f.b.separators.names())
		kind = f.b.separators.at(k.Make)
	}
	fill(f, &p.Inlet, f.separatorInlet(p, kind), ofInlet, at, "inlet")
	if p.Loss.Drop.Basis == unit.Unsaid {
		usual := kind.LossFor(p.Inlet.Best, f.sizes)
		p.Loss.At = usual.At
		fill(f, &p.Loss.Drop, usual.Drop, ofSeparator, at, "loss")
	}
	if p.Bin.Basis == unit.Unsaid {
		p.Bin.Basis = unit.Assumed
	}
	if p.Bin.Is() {
		fill(f, &p.Bin.Value.Volume, f.b.bins.at(kind.Bin).Volume, ofBin, at, "bin/volume")
	}
	fill(f, &p.Leak, f.opening("good bin lid"), ofLeak, at, "leak")
}

// separatorInlet is the make's own, but never wider than the pipe: what is smaller is turned down with an adapter.
func (f *filler) separatorInlet(p *shop.Piece, kind *SeparatorKind) unit.Amount[unit.Metre] {
	usual := asAmount(kind.Inlet.For(f.sizes).Best, f.b.sources["S-120"].String())
	usual.Low, usual.High = min(usual.Best, p.Size.Best), max(usual.Best, p.Size.Best)
	if p.Size.Best > 0 && p.Size.Best < usual.Best {
		usual.Best, usual.Low = p.Size.Best, p.Size.Best
		usual.High = p.Size.Best
	}
	return usual
}
