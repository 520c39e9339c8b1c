package airflow

import (
	"cmp"
	"maps"
	"slices"

	"winnow/internal/physics/network"
	"winnow/internal/shop"
	"winnow/internal/shop/plan"
	"winnow/internal/study/doubt"
	"winnow/internal/unit"
)

// Result is one system under one setting.
type Result struct {
	System  shop.ID       `json:"system"`
	Setting Setting       `json:"setting"`
	Solved  bool          `json:"solved"`
	Status  string        `json:"status"` // in words, where it is not simply balanced
	Ports   []PortResult  `json:"ports"`  // of the machines that run
	Pieces  []PieceFlow   `json:"pieces"`
	Fan     FanPoint      `json:"fan"`
	Gates   []GateState   `json:"gates"`
	Leaks   unit.M3PerSec `json:"leaks_m3s"` // air that enters anywhere but at a running port
	// Unsolved counts the draws for which no balance was found; they are left out of the ranges.
	Unsolved int            `json:"unsolved,omitempty"`
	Notes    []shop.Finding `json:"-"`
}

// PortResult is what one port gets.
type PortResult struct {
	Port        shop.PortRef               `json:"port"`
	Setup       shop.ID                    `json:"setup,omitempty"`
	Gets        unit.M3PerSec              `json:"gets_m3s"`
	Chips       unit.Amount[unit.M3PerSec] `json:"-"`
	Fine        unit.Amount[unit.M3PerSec] `json:"-"`
	NeedsChips  unit.M3PerSec              `json:"needs_chips_m3s"`
	NeedsFine   unit.M3PerSec              `json:"needs_fine_m3s,omitempty"`
	Range       *doubt.Range               `json:"range_m3s,omitempty"`
	Chance      float64                    `json:"chance_chips"` // of reaching the chips need; -1 where not computed
	ChanceFine  float64                    `json:"chance_fine"`
	Verdict     Verdict                    `json:"verdict"`
	VerdictFine Verdict                    `json:"verdict_fine"`
	Samples     []float64                  `json:"-"` // what it gets in every draw that was solved, in their order
	Speed       unit.MPerSec               `json:"port_speed_ms"`
	Pull        []Share                    `json:"pull"`
	Suction     unit.Pascal                `json:"port_suction_pa"` // static, just inside the port
	Clears      Clearing                   `json:"clears"`          // time the last chips take to the fan
}

// Share is what one group takes of the fan's pressure on the way of one port.
type Share struct {
	Group Group       `json:"group"`
	Loss  unit.Pascal `json:"loss_pa"`
	Of    float64     `json:"share"`
	Paths []shop.Path `json:"paths"` // the parts of the shop that are in it, the costliest first
}

// PieceFlow is the air in one pipe or hose.
type PieceFlow struct {
	Path     shop.Path     `json:"path"`
	Run      shop.ID       `json:"run"`
	What     string        `json:"what"`
	Flow     unit.M3PerSec `json:"flow_m3s"`
	Speed    unit.MPerSec  `json:"speed_ms"`
	Bore     unit.Metre    `json:"bore_m"`
	Goes     plan.Goes     `json:"goes"`
	Chips    Moves         `json:"chips"`
	ChipsLow Moves         `json:"chips_at_low_flow,omitempty"` // at the lower end of the speed's range
	Floor    unit.MPerSec  `json:"floor_ms"`                    // speed at which what passes keeps moving, level, in standard air
	Shut     bool          `json:"shut"`                        // no running machine's air passes here
	Range    *doubt.Range  `json:"speed_range_ms,omitempty"`

	element int
	short   bool // below shortPiece bores: judged a step milder
}

// FanPoint is where fan and hose agree.
type FanPoint struct {
	Flow   unit.M3PerSec `json:"flow_m3s"`
	Rise   unit.Pascal   `json:"pressure_pa"` // fan static pressure
	Filter unit.Pascal   `json:"filter_pa"`
	Beyond bool          `json:"beyond_curve"` // past the last point of the written curve
	Range  *doubt.Range  `json:"flow_range_m3s,omitempty"`
}

// GateState is how one gate stands.
type GateState struct {
	Gate shop.ID `json:"gate"`
	Open bool    `json:"open"`
}

// hasPart reports whether any of the setting's machines draws its air from this system.
func (m *Model) hasPart(set Setting) bool {
	return slices.ContainsFunc(m.mouths, func(mo mouth) bool { return m.drawing(mo, set) })
}

// Result solves one setting and reads everything off.
func (m *Model) Result(set Setting, b *doubt.Belief) Result {
	sol := m.Solve(set, b, 0, doubt.Samples)
	r := Result{System: m.system.Name, Setting: set, Solved: sol.Status.Solved(), Status: sol.Status.String()}
	r.Gates = m.gateStates(set)
	if !r.Solved {
		where := shop.SystemPath(m.system.Name)
		if sol.WorstLink >= 0 {
			where = m.elementOfLink(sol.WorstLink).path
		}
		r.Notes = append(r.Notes, finding(codeNotSolved, where, shop.Word("system", m.system.Name), shop.Word("status", sol.Status.String())))
		return r
	}
	r.Fan = m.fanPoint(sol)
	var wanted unit.M3PerSec
	for _, mo := range m.mouths {
		if m.drawing(mo, set) {
			p := m.portResult(mo, set, sol)
			wanted += p.Gets
			r.Ports = append(r.Ports, p)
		}
	}
	r.Leaks = r.Fan.Flow - wanted
	r.Pieces = m.pieceFlows(set, sol)
	for _, leg := range sol.LegsReversed {
		e := &m.elements[m.joinElem[leg.Join][leg.Leg]]
		r.Notes = append(r.Notes, finding(codeReversed, e.path, shop.Word("wye", string(e.path.Last()))))
	}
	if sol.Status == network.FanOffCurve && sol.FanOff == m.elements[m.fan].link {
		r.Fan.Beyond = true
	}
	if sol.SeveralPoints {
		r.Notes = append(r.Notes, finding(codeSeveralPoints, shop.SystemPath(m.system.Name).Join("fan"), shop.Word("system", m.system.Name)))
	}
	return r
}

func (m *Model) elementOfLink(link int) *element {
	for i := range m.elements {
		if m.elements[i].link == link {
			return &m.elements[i]
		}
	}
	return &element{}
}

func (m *Model) fanPoint(sol network.Solution) FanPoint {
	f := FanPoint{Flow: sol.Flow[m.elements[m.fan].link], Rise: -m.drop(m.fan, sol)}
	if m.filter >= 0 {
		f.Filter = m.drop(m.filter, sol)
	}
	return f
}

// drop is the loss of total pressure over an element.
func (m *Model) drop(n int, sol network.Solution) unit.Pascal {
	from, to := m.nodes(n)
	return sol.Pressure[from] - sol.Pressure[to]
}

// nodes are the two ends of an element.
func (m *Model) nodes(n int) (int, int) {
	e := &m.elements[n]
	if e.join < 0 {
		l := m.net.Links[e.link]
		return l.From, l.To
	}
	j := m.net.Joins[e.join]
	if e.leg == network.Through {
		return j.Through, j.Common
	}
	return j.Branch, j.Common
}

// flow is the air through an element.
func (m *Model) flow(n int, sol network.Solution) unit.M3PerSec {
	e := &m.elements[n]
	if e.join < 0 {
		return sol.Flow[e.link]
	}
	return sol.JoinFlow[e.join][e.leg]
}

func (m *Model) portResult(mo mouth, set Setting, sol network.Solution) PortResult {
	running, _ := set.of(mo.port.Machine)
	machine := m.shop.Machine(mo.port.Machine)
	setup := setupOf(machine, running.Setup)
	needs := needsOf(machine, mo.port.Port, setup)
	p := PortResult{
		Port: mo.port, Setup: setup.Name, Gets: sol.Flow[mo.first],
		Chips: needs.Chips, Fine: needs.Fine, NeedsChips: needs.Chips.Best, NeedsFine: needs.Fine.Best,
		Chance: -1, ChanceFine: -1,
	}
	p.Verdict = VerdictOf(p.Gets, p.NeedsChips, p.Chance)
	p.VerdictFine = VerdictOf(p.Gets, p.NeedsFine, p.ChanceFine)
	p.Speed = unit.MPerSec(float64(p.Gets) / area(mo.bore))
	p.Pull = m.pull(mo, sol)
	p.Clears = m.clearing(mo, sol)
	port := m.net.Links[m.elements[mo.elements[len(mo.elements)-1]].link].From
	p.Suction = -(sol.Pressure[port] - unit.Pascal(float64(m.air.Density)/2*float64(p.Speed)*float64(p.Speed)))
	return p
}

// needsOf are a port's needs, or what the setup says instead.
func needsOf(m *shop.Machine, port shop.ID, setup shop.Setup) shop.Needs {
	var n shop.Needs
	if p := m.Port(port); p != nil {
		n = p.Needs
	}
	if setup.Needs.Chips.Best > 0 {
		n.Chips = setup.Needs.Chips
	}
	if setup.Needs.Fine.Best > 0 {
		n.Fine = setup.Needs.Fine
	}
	return n
}

// pull is where the fan's pressure goes on the way of one port, largest first. Negative shares (a slow leg that the main
// draws along) stay in: they are real and the sum is the whole.
func (m *Model) pull(mo mouth, sol network.Solution) []Share {
	var loss [groups]unit.Pascal
	var parts [groups]map[shop.Path]unit.Pascal
	var sum unit.Pascal
	for _, n := range m.way(mo) {
		if n == m.fan {
			continue
		}
		d, e := m.drop(n, sol), &m.elements[n]
		loss[e.group] += d
		sum += d
		if parts[e.group] == nil {
			parts[e.group] = map[shop.Path]unit.Pascal{}
		}
		parts[e.group][e.path] += d
	}
	shares := make([]Share, 0, groups)
	for g, p := range loss {
		if p != 0 {
			paths := slices.SortedFunc(maps.Keys(parts[g]), func(a, b shop.Path) int {
				return cmp.Or(cmp.Compare(parts[g][b], parts[g][a]), cmp.Compare(a, b))
			})
			shares = append(shares, Share{Group(g), p, float64(p / sum), paths})
		}
	}
	slices.SortStableFunc(shares, func(a, b Share) int { return cmp.Compare(b.Loss, a.Loss) })
	return shares
}

func (m *Model) pieceFlows(set Setting, sol network.Solution) []PieceFlow {
	used := map[int][]string{} // what passes each element
	for _, mo := range m.portsOf(set) {
		form := m.formAt(mo, set)
		for _, n := range m.way(mo) {
			used[n] = append(used[n], form)
		}
	}
	var flows []PieceFlow
	for n := range m.elements {
		e := &m.elements[n]
		if e.group != PipeGroup && e.group != HoseGroup || e.length == 0 {
			continue
		}
		f := PieceFlow{
			Path: e.path, Run: e.run, What: e.what, Flow: m.flow(n, sol), Speed: m.speed(n, sol), Bore: e.bore, Goes: e.goes,
			Shut: used[n] == nil, Floor: floorOf(used[n]), element: n, short: float64(e.length/e.bore) < shortPiece,
		}
		if !f.Shut {
			f.Chips = m.moves(f, f.Speed)
		}
		flows = append(flows, f)
	}
	return flows
}

// formAt is what comes off a running machine, in the shop file's words.
func (m *Model) formAt(mo mouth, set Setting) string {
	machine := m.shop.Machine(mo.port.Machine)
	running, _ := set.of(mo.port.Machine)
	if form := setupOf(machine, running.Setup).Makes.Form; form != "" {
		return form
	}
	return machine.Makes.Form
}

// moves judges the chips of a piece at a speed.
func (m *Model) moves(p PieceFlow, v unit.MPerSec) Moves {
	e := &m.elements[p.element]
	return movesIn(v, p.Floor, e.goes, float64(e.length/e.bore), m.air)
}

// speed is the mean speed of the air in an element, at the shop's density.
func (m *Model) speed(n int, sol network.Solution) unit.MPerSec {
	return unit.MPerSec(float64(m.flow(n, sol)) / area(m.elements[n].bore))
}

func (m *Model) gateStates(set Setting) []GateState {
	open := m.openGates(set)
	var states []GateState
	for _, r := range m.system.Runs {
		for _, p := range r.Pieces {
			if p.What == shop.Gate {
				states = append(states, GateState{p.Gate, open[p.Gate]})
			}
		}
	}
	return states
}
