package server

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"
	"sync"
	"time"

	"winnow/internal/face/wire"
	"winnow/internal/shop"
	"winnow/internal/shop/file"
	"winnow/internal/study/airflow"
	"winnow/internal/study/doubt"
	"winnow/internal/study/gates"
	"winnow/internal/study/power"
	"winnow/internal/study/roomair"
	"winnow/internal/study/verdict"
	"winnow/internal/unit"
)

// errBadAsk is a question that cannot be answered as it was put.
var errBadAsk = errors.New("the question cannot be answered")

// lookLasts is how long a look may take; nobody looks longer at a page that stands still.
const lookLasts = 20 * time.Second

// errTooLarge is a look that was given up.
var errTooLarge = errors.New("too large to finish")

// look answers what would be: a revision with edits in hand, and what runs. It writes nothing.
func (s *Server) look(asked context.Context, ask wire.Ask) (wire.Look, error) {
	ctx, cancel := context.WithTimeout(asked, s.lookLasts)
	defer cancel()
	l, err := s.lookIn(ctx, ask)
	if err != nil && errors.Is(ctx.Err(), context.DeadlineExceeded) && asked.Err() == nil {
		return wire.Look{}, fmt.Errorf("%w in %.0f s: ask for less of it at a time, or when nobody else asks", errTooLarge, s.lookLasts.Seconds())
	}
	return l, err
}

func (s *Server) lookIn(ctx context.Context, ask wire.Ask) (wire.Look, error) {
	leave, err := s.works.enter(ctx)
	if err != nil {
		return wire.Look{}, err
	}
	defer leave()
	began := time.Now()
	l := &looker{server: s, ctx: ctx, ask: ask, leave: leave, out: wire.Look{
		Faults: []wire.Fault{}, Sentence: []wire.Part{}, Ports: []wire.LookPort{}, Pieces: []wire.LookPiece{}, Gates: []wire.LookGate{},
		Fans: []wire.LookFan{}, Findings: []wire.Finding{}, Remedies: []wire.Remedy{},
	}}
	if err := l.prepare(); err != nil {
		return wire.Look{}, err
	}
	if err := l.answer(); err != nil {
		return wire.Look{}, err
	}
	l.out.TookMS = float64(time.Since(began).Microseconds()) / 1000
	return l.out, nil
}

// looker is one look under way.
type looker struct {
	server *Server
	ctx    context.Context
	ask    wire.Ask
	leave  func() // gives its place back to others
	out    wire.Look

	doc    *file.Doc   // with the draft, without the edits
	inHand []shop.Edit // the edits, plain
	ready  *verdict.Ready
	models []*airflow.Model
	set    airflow.Setting
	units  unit.System
}

func (l *looker) wants(what string) bool { return slices.Contains(l.ask.Want, what) }

// prepare finds the revision, applies what is in hand and lays the shop out.
func (l *looker) prepare() error {
	head := l.server.Desk.Head()
	if l.ask.Rev != 0 && l.ask.Rev != head.Number {
		old, ok := l.server.Desk.Revision(l.ask.Rev)
		if !ok {
			return fmt.Errorf("%w: revision %d is not known any more", errBadAsk, l.ask.Rev)
		}
		head = old
	}
	l.out.Rev, l.doc = head.Number, head.Doc
	if l.ask.Text != nil && len(l.ask.Edits) > 0 {
		return errBoth
	}
	if l.ask.Text != nil {
		doc, fs := file.Parse([]byte(*l.ask.Text))
		l.out.Faults = faults(fs)
		if len(fs) == 0 {
			l.doc = doc // else the floor stays on the last good text
		}
	}
	raw := l.doc.Shop()
	if len(l.ask.Edits) > 0 {
		inHand, err := editsOf(l.doc, l.ask.Edits)
		if err != nil {
			return err
		}
		tried, err := l.doc.Try(inHand...)
		if err != nil {
			return err
		}
		l.inHand = inHand
		raw = tried
	}
	l.ready, l.models = l.server.shops.prepared(raw, l.ask.Arrangement)
	if l.ready.Shop.Units == "si" {
		l.units = unit.SI
	}
	return l.setting()
}

func (l *looker) setting() error {
	l.set = airflow.Setting{Arrangement: l.ask.Arrangement, Open: l.ask.Open, Shut: l.ask.Shut}
	switch l.ask.Filter {
	case "now":
		l.set.Filter = airflow.AsIs
	case "clean":
		l.set.Filter = airflow.Clean
	}
	for _, r := range l.ask.Running {
		if l.ready.Shop.Machine(r.Machine) == nil {
			return fmt.Errorf("%w: there is no machine %q", errBadAsk, r.Machine)
		}
		l.set.Running = append(l.set.Running, airflow.Running{Machine: r.Machine, Setup: r.Setup, Place: r.Place})
	}
	if err := airflow.CheckSetting(l.ready.Shop, l.set); err != nil {
		return fmt.Errorf("%w: %w", errBadAsk, err)
	}
	return nil
}

// answer solves what runs, what would run alone, and whatever else is wanted.
func (l *looker) answer() error {
	belief := l.ready.Belief
	if !l.wants("ranges") {
		belief = nil
	}
	sets := []airflow.Setting{l.set}
	if l.wants("alone") {
		for _, set := range airflow.Settings(l.ready.Shop) {
			if len(set.Running) == 1 && !l.set.Runs(set.Running[0].Machine) {
				set.Filter, set.Arrangement = l.set.Filter, l.set.Arrangement
				sets = append(sets, set)
			}
		}
	}
	results, err := airflow.Solve(l.ctx, l.models, belief, sets)
	if err != nil {
		return err
	}
	var running, alone []airflow.Result
	for _, r := range results {
		if slices.Equal(r.Setting.Running, l.set.Running) {
			running = append(running, r)
		} else {
			alone = append(alone, r)
		}
	}
	for _, r := range running {
		l.result(r)
	}
	for _, r := range alone {
		for _, p := range r.Ports {
			l.out.Ports = append(l.out.Ports, port(r, p, false))
		}
	}
	l.idle(running)
	l.out.Sentence = sentence(l.ready.Shop, l.units, running, alone)
	if l.wants("findings") {
		l.out.Findings = wire.Findings(l.findings(results), l.units, l.at)
	}
	if l.wants("layout") {
		w := layout(l.ready.Shop, l.ready.Layout)
		l.out.Layout = &w
	}
	if err := l.places(); err != nil {
		return err
	}
	if err := l.selected(running, alone); err != nil {
		return err
	}
	return l.slowly()
}

// slowly answers what may take seconds. It comes last, so that others may look meanwhile.
func (l *looker) slowly() error {
	if !l.wants("power") && !l.wants("next") && !l.wants("air") {
		return nil
	}
	l.leave()
	key, name := keyOf(l.doc, l.ask.Edits, l.ask.Arrangement), l.ready.Shop.Name
	if l.wants("power") {
		r, err := l.server.powers.answer(l.ctx, key, func(ctx context.Context) (power.Report, error) {
			return verdict.Circuits(ctx, l.ready.Shop, l.ready.Layout, l.trial(ctx))
		})
		if err != nil {
			return err
		}
		p := wire.PowerOf(name, r, l.units, l.at)
		l.out.Power = &p
	}
	if l.wants("next") {
		v, err := l.server.nexts.answer(l.ctx, key, func(ctx context.Context) (verdict.Verdict, error) {
			return verdict.Of(ctx, l.ready, l.trial(ctx))
		})
		if err != nil {
			return err
		}
		n := wire.NextOf(name, v, l.units, l.at)
		l.out.Next = &n
	}
	if l.wants("air") {
		answer, err := l.server.airs.answer(l.ctx, key, func(ctx context.Context) (roomair.Answer, error) {
			return verdict.Air(ctx, l.ready.Shop, l.ready.Belief, l.trial(ctx)), nil
		})
		if err != nil {
			return err
		}
		a := wire.AirOf(name, answer, l.units, l.at)
		l.out.Air = &a
	}
	return nil
}

// places answers what the places beside the floor show at once: the whole shop, whatever runs at the moment.
func (l *looker) places() error {
	if l.wants("gates") {
		c := wire.ChartOf(l.ready.Shop.Name, gates.ChartOf(l.ready.Shop, verdict.Ways(l.ready.Shop, l.ready.Layout)), l.units, l.at)
		l.out.Chart = &c
	}
	return l.ctx.Err()
}

// trial tries edits until ctx ends: nothing is tried any more once nobody waits.
func (l *looker) trial(ctx context.Context) shop.Trial {
	return func(edits ...shop.Edit) (*shop.Shop, error) {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		return l.try(edits...)
	}
}

// idle shows the gates of the systems of which nothing runs, too.
func (l *looker) idle(running []airflow.Result) {
	for _, m := range l.models {
		if !slices.ContainsFunc(running, func(r airflow.Result) bool { return r.System == m.System() }) {
			for _, g := range m.Gates(l.set) {
				l.out.Gates = append(l.out.Gates, wire.LookGate{Gate: g.Gate, System: m.System(), Open: g.Open})
			}
		}
	}
}

func (l *looker) at(p shop.Path) (int, int) {
	pos := l.doc.Place(p)
	return pos.Line, pos.Column
}

func (l *looker) findings(results []airflow.Result) []shop.Finding {
	fs := slices.Concat(l.ready.Notes, verdict.Loud(l.ready.Assumed), l.ready.Laid, airflow.Judge(l.ready.Shop, l.ready.Layout, results))
	verdict.Rank(fs)
	return fs
}

func (l *looker) result(r airflow.Result) {
	for _, p := range r.Ports {
		l.out.Ports = append(l.out.Ports, port(r, p, true))
	}
	for _, p := range r.Pieces {
		l.out.Pieces = append(l.out.Pieces, wire.LookPiece{
			Path: string(p.Path), Run: p.Run, System: r.System, Flow: float64(p.Flow), Speed: float64(p.Speed), Bore: float64(p.Bore),
			Chips: p.Chips.String(), Used: !p.Shut,
		})
	}
	for _, g := range r.Gates {
		l.out.Gates = append(l.out.Gates, wire.LookGate{Gate: g.Gate, System: r.System, Open: g.Open})
	}
	f := wire.LookFan{System: r.System, Flow: float64(r.Fan.Flow), Pressure: float64(r.Fan.Rise), Leaks: float64(r.Leaks), Beyond: r.Fan.Beyond}
	f.Low, f.High = ends(r.Fan.Range)
	l.out.Fans = append(l.out.Fans, f)
}

func ends(r *doubt.Range) (low, high *float64) {
	if r == nil || math.IsNaN(r.Low) || math.IsNaN(r.High) {
		return nil, nil
	}
	return &r.Low, &r.High
}

func port(r airflow.Result, p airflow.PortResult, running bool) wire.LookPort {
	w := wire.LookPort{
		Port: p.Port.String(), Machine: p.Port.Machine, System: r.System, Running: running, Setup: p.Setup, Gets: float64(p.Gets),
		NeedsChips: float64(p.NeedsChips), NeedsFine: float64(p.NeedsFine), Verdict: p.Verdict.String(), VerdictFine: p.VerdictFine.String(),
		Speed: float64(p.Speed), Suction: float64(p.Suction), Pull: []wire.LookShare{},
	}
	w.Low, w.High = ends(p.Range)
	if p.Chance >= 0 {
		w.Chance, w.ChanceWords = &p.Chance, wire.ChanceWords(p.Chance)
	}
	for _, s := range p.Pull {
		paths := make([]string, len(s.Paths))
		for i, x := range s.Paths {
			paths[i] = string(x)
		}
		w.Pull = append(w.Pull, wire.LookShare{Group: s.Group.String(), Loss: float64(s.Loss), Share: s.Of, Paths: paths})
	}
	return w
}

// selected works out what is wanted of one port: as it runs, else alone.
func (l *looker) selected(running, alone []airflow.Result) error {
	machine, portName, named := strings.Cut(l.ask.Select, "/")
	for _, r := range append(slices.Clone(running), alone...) {
		for _, p := range r.Ports {
			if p.Port.Machine != machine || named && p.Port.Port != portName {
				continue
			}
			return l.explain(r, p)
		}
	}
	return nil
}

func (l *looker) explain(r airflow.Result, p airflow.PortResult) error {
	i := slices.IndexFunc(l.models, func(m *airflow.Model) bool { return m.System() == r.System })
	m := l.models[i].Clone()
	if l.wants("sheet") {
		sheet, err := m.Explain(r.Setting, p.Port)
		if err != nil {
			return err
		}
		l.out.Sheet = lookSheet(sheet)
	}
	if l.wants("curve") {
		l.out.Curve = lookCurve(m, r)
	}
	if l.wants("remedies") {
		remedies, limits := airflow.Remedies(l.ctx, l.ready.Shop, l.ready.Layout, r, p.Port, airflow.Settings(l.ready.Shop), l.try)
		l.out.Remedies = wire.Remedies(remedies, l.units, l.at)
		l.out.Findings = append(l.out.Findings, wire.Findings(limits, l.units, l.at)...)
	}
	return l.ctx.Err()
}

// try tries a remedy on top of what is in hand.
func (l *looker) try(edits ...shop.Edit) (*shop.Shop, error) {
	return l.doc.Try(slices.Concat(l.inHand, edits)...)
}

func lookSheet(s airflow.Sheet) *wire.LookSheet {
	w := &wire.LookSheet{
		Port: s.Port.String(), System: s.System, Density: float64(s.Density), Sum: float64(s.Sum), Fan: float64(s.FanRise), Flow: float64(s.FanFlow),
		Words: s.FanWords, Rows: make([]wire.LookRow, 0, len(s.Rows)),
	}
	for _, r := range s.Rows {
		w.Rows = append(w.Rows, wire.LookRow{
			Path: string(r.Path), What: r.What, Group: r.Group.String(), Flow: float64(r.Flow), Bore: float64(r.Bore), Length: float64(r.Length),
			Speed: float64(r.Speed), VP: float64(r.Velocity), K: r.K, Loss: float64(r.Loss), Static: float64(r.Static), How: r.How, Basis: r.Basis,
			Source: r.Source,
		})
	}
	return w
}

// lookCurve draws the fan's curve to a little beyond its free air, and the parabola of the system through the working point;
// a filter makes the true line a little straighter.
func lookCurve(m *airflow.Model, r airflow.Result) *wire.LookCurve {
	const steps = 40
	c := &wire.LookCurve{System: r.System, At: [2]float64{float64(r.Fan.Flow), float64(r.Fan.Rise)}}
	end := m.FreeAir()
	for i := range steps + 1 {
		q := end * unit.M3PerSec(i) / steps
		c.Fan = append(c.Fan, [2]float64{float64(q), float64(m.FanAt(q))})
		if p := m.LoadAt(q, r); float64(p) <= 1.1*float64(m.FanAt(0)) {
			c.Line = append(c.Line, [2]float64{float64(q), float64(p)})
		}
	}
	if low, high := ends(r.Fan.Range); low != nil {
		c.LowHigh = &[2]float64{*low, *high}
	}
	return c
}

// sentence is the first line of the page: what is true now, the worst first.
func sentence(s *shop.Shop, units unit.System, running, alone []airflow.Result) []wire.Part {
	judged, inTurn := ports(running), ""
	if len(judged) == 0 {
		judged, inTurn = ports(alone), "One at a time, "
	}
	if len(judged) == 0 && joined(s) {
		return []wire.Part{{Text: "Nothing runs that is joined to a collector or vacuum, so there is no airflow to judge."}}
	}
	if len(judged) == 0 {
		return []wire.Part{{Text: "No machine is joined to a collector or vacuum yet, so there is no airflow to judge."}}
	}
	worst := slices.MinFunc(judged, func(a, b airflow.PortResult) int { return cmp.Compare(airflow.ShareOf(a), airflow.ShareOf(b)) })
	well := 0
	for _, p := range judged {
		if p.Verdict == airflow.Works || p.Verdict == airflow.Just {
			well++
		}
	}
	var parts []wire.Part
	name := wire.Part{Text: worst.Port.String(), Kind: "machine", Path: string(shop.MachinePath(worst.Port.Machine))}
	switch worst.Verdict {
	case airflow.Short, airflow.MuchTooShort:
		parts = append(parts, wire.Part{Text: "The "}, name, wire.Part{Text: " is "}, wire.Part{Text: worst.Verdict.String(), Kind: "verdict"},
			wire.Part{Text: fmt.Sprintf(": it gets %s of the %s its chips need. ", bare(worst.Gets, units), unit.Print(worst.NeedsChips, units))})
		parts = append(parts, pullParts(worst)...)
		if others := len(judged) - 1; others > 0 {
			parts = append(parts, wire.Part{Text: leadIn(inTurn, restWords(well, others))})
		}
	case airflow.Unknown:
		parts = append(parts, wire.Part{Text: "The "}, name, wire.Part{Text: fmt.Sprintf(" gets %s.", unit.Print(worst.Gets, units))})
	default:
		if len(judged) == 1 {
			parts = append(parts, wire.Part{Text: "The "}, name, wire.Part{Text: " "}, wire.Part{Text: worst.Verdict.String(), Kind: "verdict"},
				wire.Part{Text: fmt.Sprintf(": it gets %s, and its chips need %s.", unit.Print(worst.Gets, units), unit.Print(worst.NeedsChips, units))})
			break
		}
		parts = append(parts, wire.Part{Text: leadIn(inTurn, fmt.Sprintf("All %d ports get the airflow their chips need; nearest to the line is the ", len(judged)))}, name,
			wire.Part{Text: fmt.Sprintf(", with %s of %s.", bare(worst.Gets, units), unit.Print(worst.NeedsChips, units))})
	}
	return parts
}

func ports(rs []airflow.Result) []airflow.PortResult {
	var all []airflow.PortResult
	for _, r := range rs {
		all = append(all, r.Ports...)
	}
	return all
}

// bare is a quantity without its unit, for "283 of the 400 cfm".
func bare(q unit.M3PerSec, units unit.System) string { return strings.Fields(unit.Print(q, units))[0] }

// pullParts names the two groups that take most of the pull; the rest has no name that would tell anybody anything.
func pullParts(p airflow.PortResult) []wire.Part {
	var parts []wire.Part
	for i, s := range slices.DeleteFunc(slices.Clone(p.Pull), func(s airflow.Share) bool { return s.Group == airflow.Rest }) {
		if i == 2 || s.Of < 0.15 {
			break
		}
		if i == 1 {
			parts = append(parts, wire.Part{Text: " and "})
		}
		part := wire.Part{Text: groupWords(s.Group), Kind: "piece"}
		if len(s.Paths) > 0 {
			part.Path = string(s.Paths[0])
		}
		parts = append(parts, part)
	}
	switch len(parts) {
	case 0:
		return nil
	case 1:
		parts = append(parts, wire.Part{Text: " takes most of the pull."})
	default:
		parts = append(parts, wire.Part{Text: " take most of the pull."})
	}
	t := parts[0].Text
	parts[0].Text = strings.ToUpper(t[:1]) + t[1:]
	return parts
}

func groupWords(g airflow.Group) string {
	switch g {
	case airflow.Mouth:
		return "its own mouth"
	case airflow.HoseGroup:
		return "its hose"
	case airflow.FilterGroup:
		return "the filter"
	case airflow.SeparatorGroup:
		return "the separator"
	case airflow.PipeGroup:
		return "the pipe"
	}
	return g.String()
}

// leadIn puts words before a sentence, which then goes on in small letters.
func leadIn(words, sentence string) string {
	if words == "" {
		return sentence
	}
	s := strings.TrimLeft(sentence, " ")
	return sentence[:len(sentence)-len(s)] + words + strings.ToLower(s[:1]) + s[1:]
}

func restWords(well, others int) string {
	switch {
	case well == others && others == 1:
		return " The other one gets its airflow."
	case well == others:
		return fmt.Sprintf(" The other %d ports get their airflow.", others)
	case others == 1:
		return " The other one does not get enough."
	case well == 0:
		return fmt.Sprintf(" None of the other %d ports gets enough.", others)
	case well == 1:
		return fmt.Sprintf(" Of the other %d ports, one gets its airflow.", others)
	}
	return fmt.Sprintf(" Of the other %d ports, %d get their airflow.", others, well)
}

// joined: some run of a system starts at a machine.
func joined(s *shop.Shop) bool {
	return slices.ContainsFunc(s.Systems, func(y shop.System) bool {
		return slices.ContainsFunc(y.Runs, func(r shop.Run) bool { return len(r.From.Ports) > 0 })
	})
}

// prepared keeps the last few shops ready: while a hand drags, every look but the first few has a new one, and between
// drags they are all the same.
type prepared struct {
	mu   sync.Mutex
	last []readyShop
}

type readyShop struct {
	raw         *shop.Shop
	arrangement shop.ID
	ready       *verdict.Ready
	models      []*airflow.Model
}

const keptShops = 4

// prepared returns models of one's own: they are cloned from those kept.
func (p *prepared) prepared(raw *shop.Shop, arrangement shop.ID) (*verdict.Ready, []*airflow.Model) {
	p.mu.Lock()
	defer p.mu.Unlock()
	i := slices.IndexFunc(p.last, func(r readyShop) bool { return r.raw == raw && r.arrangement == arrangement })
	if i < 0 {
		r := readyShop{raw: raw, arrangement: arrangement, ready: verdict.PrepareArranged(raw, arrangement, p.belief())}
		r.models, _ = airflow.Models(r.ready.Shop, r.ready.Layout)
		for _, m := range r.models {
			m.Draw(r.ready.Belief)
		}
		p.last = append(p.last, r)
		if len(p.last) > keptShops {
			p.last = p.last[1:]
		}
		i = len(p.last) - 1
	}
	models := make([]*airflow.Model, len(p.last[i].models))
	for k, m := range p.last[i].models {
		models[k] = m.Clone()
	}
	return p.last[i].ready, models
}

// belief is shared by all looks, so that the draws of a key are made once.
func (p *prepared) belief() *doubt.Belief {
	if len(p.last) > 0 {
		return p.last[0].ready.Belief
	}
	return doubt.Prior()
}
