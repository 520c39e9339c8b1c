package airflow

import (
	"math"
	"strings"

	"winnow/internal/physics/fan"
	"winnow/internal/shop"
	"winnow/internal/shop/plan"
	"winnow/internal/unit"
)

// What is found out from the numbers.
var (
	CodeShort = &shop.Code{Name: "short-of-air", Severity: shop.Problem,
		Sentence: "{port} gets {gets} of the {needs} its chips need.", Help: "See what would help it: free acts first."}
	CodeUnsure = &shop.Code{Name: "only-just", Severity: shop.WatchOut,
		Sentence: "{port} gets {gets} of the {needs} its chips need: enough, but only just, if the usual tolerances are right.", Help: "A reading would settle it."}
	CodeFine = &shop.Code{Name: "short-for-fine-dust", Severity: shop.WatchOut,
		Sentence: "{port} gets {gets}; catching its fine dust too would take {needs}.", Help: "Chips leave; wear a mask, or find it more air."}
	CodeDrops = &shop.Code{Name: "chips-drop", Severity: shop.Problem,
		Sentence: "With {running} running the air in {piece} of {run}{lies} goes {speed}: {chips}.", Help: "Open a second gate with it, or make that pipe narrower. Before reaching into a clogged pipe: unplug, and lock out."}
	codeSettles = &shop.Code{Name: "chips-may-settle", Severity: shop.WatchOut,
		Sentence: "With {running} running the air in {piece} of {run}{lies} goes {speed}: chips may settle.", Help: "Open a second gate now and then, and look into that pipe."}
	CodeNoHose = &shop.Code{Name: "no-hose", Severity: shop.WatchOut,
		Sentence: "The {machine} has a port and no hose: it gets no air.", Help: "Give it a run of its own, or add it to the from of a carried hose."}
	codeSmallPort = &shop.Code{Name: "small-port-on-a-collector", Severity: shop.WatchOut,
		Sentence: "{port} is {size} wide on a collector: air moves {speed} there, and the fan's pull is too weak for more.", Help: "A collector moves much air at little pull; a small port wants a vacuum, or a wider port."}
	codeKink = &shop.Code{Name: "kink", Severity: shop.WatchOut,
		Sentence: "The hose of {run} is kinked.", Help: "Lay it so that it keeps round."}
	codeClaim = &shop.Code{Name: "claim-cannot-be", Severity: shop.WatchOut,
		Sentence: "What the box of {system} claims, {free} and {shut}, {verdict}: it would take {air} of air power, and a motor of {motor} makes {most} of it at the very best.",
		Help:     "What is reckoned with is cut to what the motor can make; one reading with the inlet blocked says more."}
	codeBeyond = &shop.Code{Name: "beyond-the-curve", Severity: shop.WatchOut,
		Sentence: "With {running} running the fan of {system} moves {flow}, beyond the last point of its written curve: its pressure there is a guess.",
		Help:     "Write a point of the curve at more airflow, or do not rely on this number."}
	CodeNoLength = &shop.Code{Name: "fan-is-the-limit", Severity: shop.WatchOut,
		Sentence: "No length of {piece} does it: even at the shortest {port} would get {gets} of {needs}. {limit}.",
		Help:     "Ask less of it (lighter cuts), or find it a stronger fan."}
	CodeGuessedFan = &shop.Code{Name: "fan-without-papers", Severity: shop.Note,
		Sentence: "Of the fan of {system} little is known. Expect {low} to {high} with nothing connected, and {pull} of pull with the inlet blocked: under {least} something is wrong with it.",
		Help:     "Hold a board over the inlet for three seconds and read a tube of water. Before buying one second-hand, do it there."}
	codeAdapter = &shop.Code{Name: "adapter", Severity: shop.Note,
		Sentence: "An adapter from {from} to {to} is needed before {piece}.", Help: "It is reckoned in, and listed among the parts."}
)

// Judge turns the results into findings, in the order of the shop file.
func Judge(s *shop.Shop, l *plan.Layout, results []Result) []shop.Finding {
	var fs []shop.Finding
	fs = append(fs, judgePorts(s, results)...)
	fs = append(fs, judgePieces(results)...)
	fs = append(fs, judgeShop(s, l)...)
	for _, a := range l.Adapters {
		fs = append(fs, finding(codeAdapter, a.Before, shop.Number("from", a.From), shop.Number("to", a.To), shop.Word("piece", a.Before.Last())))
	}
	beyond := map[shop.ID]bool{}
	for _, r := range results {
		fs = append(fs, r.Notes...)
		if r.Fan.Beyond && !beyond[r.System] {
			beyond[r.System] = true
			fs = append(fs, finding(codeBeyond, shop.SystemPath(r.System).Join("fan"), shop.Word("running", runningWords(r.Setting)),
				shop.Word("system", r.System), shop.Number("flow", r.Fan.Flow)))
		}
	}
	return fs
}

// ShareOf is what a port gets of its chips need; infinite where the need is not known, so that it ranks behind those that are.
func ShareOf(p PortResult) float64 {
	if !(p.NeedsChips > 0) {
		return math.Inf(1)
	}
	return float64(p.Gets / p.NeedsChips)
}

// judgePorts says once for each port how it fares at its worst.
func judgePorts(s *shop.Shop, results []Result) []shop.Finding {
	worst := map[shop.PortRef]PortResult{}
	var order []shop.PortRef
	for _, r := range results {
		for _, p := range r.Ports {
			w, seen := worst[p.Port]
			if !seen {
				order = append(order, p.Port)
			}
			if !seen || ShareOf(p) < ShareOf(w) {
				worst[p.Port] = p
			}
		}
	}
	var fs []shop.Finding
	for _, ref := range order {
		p := worst[ref]
		args := []shop.Arg{shop.Word("port", ref.String()), shop.Number("gets", p.Gets), shop.Number("needs", p.NeedsChips)}
		switch p.Verdict {
		case Short, MuchTooShort:
			fs = append(fs, finding(CodeShort, ref.Path(), args...))
		case Just:
			fs = append(fs, finding(CodeUnsure, ref.Path(), args...))
		case Works:
			if p.NeedsFine > p.Gets {
				args[2] = shop.Number("needs", p.NeedsFine)
				fs = append(fs, finding(CodeFine, ref.Path(), args...))
			}
		}
		if f, ok := smallPort(s, p); ok {
			fs = append(fs, f)
		}
	}
	return fs
}

// smallPortBore is the widest port that a collector's pull is too weak for: 2½ in. Common practice.
const smallPortBore unit.Metre = 0.065

func smallPort(s *shop.Shop, p PortResult) (shop.Finding, bool) {
	m := s.Machine(p.Port.Machine)
	if m == nil || p.Verdict == Works {
		return shop.Finding{}, false
	}
	port := m.Port(p.Port.Port)
	if port == nil || port.Size.Best > smallPortBore || !onCollector(s, p.Port) {
		return shop.Finding{}, false
	}
	return finding(codeSmallPort, p.Port.Path().Join("size"), shop.Word("port", p.Port.String()), shop.Number("size", port.Size.Best), shop.Number("speed", p.Speed)), true
}

func onCollector(s *shop.Shop, ref shop.PortRef) bool {
	for _, y := range s.Systems {
		if y.Kind != "collector" {
			continue
		}
		for _, r := range y.Runs {
			for _, p := range r.From.Ports {
				if p.Machine == ref.Machine && (p.Port == ref.Port || p.Port == "") {
					return true
				}
			}
		}
	}
	return false
}

// judgePieces names, for each run, the piece and the setting in which chips fare worst.
func judgePieces(results []Result) []shop.Finding {
	type place struct{ system, run shop.ID }
	type worst struct {
		level   Moves
		piece   PieceFlow
		setting Setting
	}
	found := map[place]worst{}
	var order []place
	for _, r := range results {
		for _, p := range r.Pieces {
			level := p.Chips
			if level < MaySettle && p.ChipsLow >= ExpectSettling {
				level = MaySettle // the best estimate keeps them moving, the doubt does not
			}
			if level < MaySettle || p.Run == "" {
				continue // the exhaust lies behind the filter or the bin
			}
			at := place{r.System, p.Run}
			w, seen := found[at]
			if !seen {
				order = append(order, at)
			}
			if !seen || level > w.level || level == w.level && p.Speed < w.piece.Speed {
				found[at] = worst{level, p, r.Setting}
			}
		}
	}
	var fs []shop.Finding
	for _, at := range order {
		w := found[at]
		code, words := codeSettles, ""
		switch w.level {
		case ExpectSettling:
			code, words = CodeDrops, "expect chips to settle"
		case WillDrop:
			code, words = CodeDrops, "chips will drop"
		}
		fs = append(fs, finding(code, w.piece.Path, shop.Word("running", runningWords(w.setting)), shop.Word("piece", w.piece.Path.Last()),
			shop.Word("run", at.run), shop.Word("lies", liesWords(w.piece)), shop.Number("speed", w.piece.Speed), shop.Word("chips", words)))
	}
	return fs
}

// liesWords says how a piece lies, as that decides what a speed does: what settles at 1040 fpm where it rises drops at 1380 fpm where
// it lies level.
func liesWords(p PieceFlow) string {
	switch {
	case p.Goes == plan.Up:
		return ", which rises,"
	case p.Goes == plan.Down:
		return ", which falls,"
	case p.short:
		return ", a short piece,"
	case p.Goes == plan.Level:
		return ", which is level,"
	}
	return ""
}

func runningWords(s Setting) string {
	names := make([]string, len(s.Running))
	for i, r := range s.Running {
		names[i] = r.Machine
		if r.Setup != "" {
			names[i] += ", " + r.Setup
		}
	}
	return strings.Join(names, " and ")
}

// judgeShop is what the file alone says.
func judgeShop(s *shop.Shop, l *plan.Layout) []shop.Finding {
	var fs []shop.Finding
	served := servedMachines(s)
	for _, m := range s.Machines {
		if len(m.Ports.Value) > 0 && !served[m.Name] {
			fs = append(fs, finding(CodeNoHose, shop.MachinePath(m.Name), shop.Word("machine", m.Name)))
		}
	}
	for _, y := range s.Systems {
		if f, ok := guessedFan(s, l, y); ok {
			fs = append(fs, f)
		}
		if f, ok := claim(y); ok {
			fs = append(fs, f)
		}
		for _, r := range y.Runs {
			for i, p := range r.Pieces {
				if p.What == shop.Kink {
					fs = append(fs, finding(codeKink, shop.PiecePath(y.Name, r, i), shop.Word("run", r.Name)))
				}
			}
		}
	}
	return fs
}

// guessedFan tells what to expect of a fan that came without figures.
func guessedFan(s *shop.Shop, l *plan.Layout, y shop.System) (shop.Finding, bool) {
	r := y.Fan.Rating.Value
	if len(y.Fan.Curve) > 0 || r.FreeAir.Basis == unit.Given && r.ShutOff.Basis == unit.Given {
		return shop.Finding{}, false
	}
	m, _ := Build(s, l, y.Name)
	if m == nil {
		return shop.Finding{}, false
	}
	e, err := (&builder{Model: m}).estimate(&y.Fan, y.Motor.Value, familyOf(y))
	if err != nil {
		return shop.Finding{}, false
	}
	return finding(CodeGuessedFan, shop.SystemPath(y.Name).Join("fan"), shop.Word("system", y.Name), shop.Number("low", e.FreeAir.Low),
		shop.Number("high", e.FreeAir.High), shop.Number("pull", e.ShutOff.Best), shop.Number("least", e.ShutOff.Low)), true
}

// claim tests what the box says by the motor's power.
func claim(y shop.System) (shop.Finding, bool) {
	free, shut, power := y.Fan.Rating.Value.FreeAir, y.Fan.Rating.Value.ShutOff, y.Motor.Value.Power
	if free.Basis != unit.Given || shut.Basis != unit.Given || power.Basis != unit.Given {
		return shop.Finding{}, false
	}
	t := fan.Truth(fan.Rating{Family: familyOf(y), FreeAir: free.Best, ShutOff: shut.Best, Motor: power.Best}, 1)
	if t.Verdict != fan.Unlikely && t.Verdict != fan.CannotBeTrue {
		return shop.Finding{}, false
	}
	words := map[fan.Verdict]string{fan.Unlikely: "is unlikely", fan.CannotBeTrue: "cannot be true"}[t.Verdict]
	return finding(codeClaim, shop.SystemPath(y.Name).Join("fan", "rating"), shop.Word("system", y.Name), shop.Number("free", free.Best),
		shop.Number("shut", shut.Best), shop.Word("verdict", words), shop.Number("air", t.Air),
		shop.Arg{Name: "motor", Value: float64(power.Best), Unit: unit.Suffix[unit.Watt](), Print: func(s unit.System) string { return unit.PrintMotor(power.Best, s) }},
		shop.Number("most", t.Loose)), true
}
