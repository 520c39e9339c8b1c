package airflow

import (
	"fmt"
	"math"

	"winnow/internal/physics/duct"
	"winnow/internal/physics/network"
	"winnow/internal/shop"
	"winnow/internal/unit"
)

// Sheet is the working of one port's number: every piece in the order of the air, with what it loses and why. Its sum is
// worked out from the rows alone and is the fan's pressure of the solver.
type Sheet struct {
	Port     shop.PortRef  `json:"port"`
	System   shop.ID       `json:"system"`
	Setting  Setting       `json:"setting"`
	Density  unit.KgPerM3  `json:"density_kgm3"`
	Rows     []Row         `json:"rows"`
	Sum      unit.Pascal   `json:"sum_pa"` // of the rows, each from its own formula
	FanRise  unit.Pascal   `json:"fan_pa"` // what the solver found for the fan
	FanWords string        `json:"fan"`    // how its curve was come by
	FanFlow  unit.M3PerSec `json:"fan_flow_m3s"`
}

// Row is one piece.
type Row struct {
	Path     shop.Path     `json:"path"`
	What     string        `json:"what"`
	Group    Group         `json:"group"`
	Flow     unit.M3PerSec `json:"flow_m3s"`
	Bore     unit.Metre    `json:"bore_m,omitempty"`
	Length   unit.Metre    `json:"length_m,omitempty"`
	Speed    unit.MPerSec  `json:"speed_ms"`
	Velocity unit.Pascal   `json:"velocity_pressure_pa"`
	Friction float64       `json:"darcy,omitempty"`  // Darcy friction factor, for a pipe or hose
	K        float64       `json:"loss_coefficient"` // all losses of the row over its velocity pressure, friction included
	Loss     unit.Pascal   `json:"loss_pa"`
	Total    unit.Pascal   `json:"total_pressure_pa"`  // gauge, behind the piece
	Static   unit.Pascal   `json:"static_pressure_pa"` // gauge, behind the piece: total less the velocity pressure there
	How      string        `json:"how"`                // the formula with its numbers, for a pocket calculator
	Basis    string        `json:"basis"`
	Source   string        `json:"source"`
}

// Explain works out a port's sheet for a setting, at the best estimate.
func (m *Model) Explain(set Setting, port shop.PortRef) (Sheet, error) {
	sol := m.Solve(set, nil, 0, 0)
	if !sol.Status.Solved() {
		return Sheet{}, fmt.Errorf("%s is not balanced: %s", m.system.Name, sol.Status)
	}
	for _, mo := range m.mouths {
		if mo.port == port && m.attached(mo, set) {
			return m.sheet(mo, set, sol), nil
		}
	}
	return Sheet{}, fmt.Errorf("no run of %s is on %s in this setting", m.system.Name, port)
}

func (m *Model) sheet(mo mouth, set Setting, sol network.Solution) Sheet {
	s := Sheet{Port: mo.port, System: m.system.Name, Setting: set, Density: m.air.Density, FanRise: -m.drop(m.fan, sol),
		FanWords: m.elements[m.fan].what, FanFlow: m.flow(m.fan, sol)}
	way := m.way(mo)
	var total unit.Pascal
	behind := false // the fan: its data are static, so the nodes after it lack the velocity pressure at its outlet
	for i, n := range way {
		if n == m.fan {
			total += s.FanRise
			behind = true
			continue
		}
		row := m.row(n, set, sol)
		s.Sum += row.Loss
		total -= row.Loss
		row.Total = total
		row.Static = total - m.velocityAfter(way[i:], sol)
		if behind {
			row.Static = total
		}
		if row.Loss == 0 && row.Length == 0 {
			continue // nothing to work out
		}
		s.Rows = append(s.Rows, row)
	}
	return s
}

// velocityAfter is the velocity pressure just behind the first element of a way: that in the bore the air goes on in.
func (m *Model) velocityAfter(way []int, sol network.Solution) unit.Pascal {
	vp := func(q unit.M3PerSec, bore unit.Metre, rho unit.KgPerM3) unit.Pascal {
		v := float64(q) * float64(m.air.Density/rho) / area(bore)
		return unit.Pascal(float64(rho) / 2 * v * v)
	}
	if e := &m.elements[way[0]]; e.join >= 0 {
		j := m.net.Joins[e.join]
		return vp(sol.JoinFlow[e.join][0]+sol.JoinFlow[e.join][1], j.DCommon, m.air.Density)
	}
	for _, n := range way[1:] {
		e := &m.elements[n]
		switch {
		case n == m.fan || n == m.filter:
			// up to the inlet the air keeps the bore it has
		case e.bore > 0 && (e.length > 0 || e.join >= 0):
			return vp(m.flow(n, sol), e.bore, m.density(n, sol))
		}
	}
	if e := &m.elements[way[0]]; e.bore > 0 {
		return vp(m.flow(way[0], sol), e.bore, m.density(way[0], sol))
	}
	return 0
}

// row works one element out from its flow alone, by the formula printed in How.
func (m *Model) row(n int, set Setting, sol network.Solution) Row {
	e := &m.elements[n]
	q := m.flow(n, sol)
	r := Row{Path: e.path, What: e.what, Group: e.group, Flow: q, Bore: e.bore, Length: e.length, Basis: basisWords[e.basis], Source: e.source}
	rho := float64(m.density(n, sol))
	if e.bore > 0 {
		v := float64(q) * float64(m.air.Density) / rho / (math.Pi / 4 * float64(e.bore) * float64(e.bore))
		r.Speed = unit.MPerSec(v)
		r.Velocity = unit.Pascal(rho / 2 * v * v)
	}
	thin := float64(m.air.Density) / rho // the same mass is more volume in thin air
	law := m.lawNow(n, set)
	switch {
	case e.join >= 0:
		m.joinRow(&r, e, sol)
	case law.Kind == network.Duct:
		f := law.Darcy
		if f == 0 {
			re := rho * math.Abs(float64(r.Speed)) * float64(e.bore) / float64(m.air.Viscosity)
			f, _ = duct.FrictionFactor(re, float64(law.Roughness/e.bore))
		}
		r.Friction = f
		r.K = law.FrictionScale*f*float64(e.length/e.bore) + law.K
		r.How = "f·L/D·VP"
		if law.FrictionScale != 1 {
			r.How = fmt.Sprintf("f·L/D·VP x %.3f for the chips in it", law.FrictionScale)
		}
	case law.Kind == network.Loss:
		r.K = law.K
		r.How = "K·VP"
		if extra := law.K - e.law.K; extra > 0 {
			r.How = fmt.Sprintf("K·VP, %.3g of it to speed the chips up", extra)
		}
	case law.Kind == network.Filter:
		r.Loss = unit.Pascal(thin * (law.A*float64(q) + law.B*float64(q)*math.Abs(float64(q))))
		r.How = fmt.Sprintf("a·Q, a = %.4g Pa per m³/s: new %.4g, x %.3g for the %s", law.A, e.law.A, m.filterLoad(set.Filter), set.Filter)
		return r
	case law.Kind == network.Orifice:
		x := float64(q) * thin / float64(law.CdA)
		r.Loss = unit.Pascal(rho / 2 * x * math.Abs(x))
		r.How = fmt.Sprintf("ρ/2·(Q/CdA)², CdA = %.4g cm²", 1e4*float64(law.CdA))
		return r
	case law.Kind == network.FanRating, law.Kind == network.Fan: // the machine's own blower
		r.Loss = m.drop(n, sol)
		r.How = "its curve"
		return r
	}
	r.Loss = unit.Pascal(r.K) * r.Velocity
	return r
}

// joinRow works a junction's leg out by the momentum balance of the wye.
func (m *Model) joinRow(r *Row, e *element, sol network.Solution) {
	j := m.net.Joins[e.join]
	qs, qb := float64(sol.JoinFlow[e.join][0]), float64(sol.JoinFlow[e.join][1])
	as, ab, ac := area(j.DThrough), area(j.DBranch), area(j.DCommon)
	ps, pb := max(qs, 0), max(qb, 0)
	half := float64(m.air.Density) / 2
	p := half * ((ps+pb)*(ps+pb)/(ac*ac) - 2*ps*ps/(as*ac) - 2*j.Kappa*pb*pb/(ab*ac))
	v, k := qs/as, j.KThrough
	if e.leg == network.Branch {
		v, k = qb/ab, j.KBranch
	}
	r.Loss = unit.Pascal(p + half*(1+k)*v*math.Abs(v))
	if r.Velocity != 0 {
		r.K = float64(r.Loss / r.Velocity)
	}
	r.How = fmt.Sprintf("ρ/2·(Vc² + (1+k)·V² - 2·Vs²·As/Ac - 2κ·Vb²·Ab/Ac), κ %.3g, k %.3g", j.Kappa, k)
}

func area(d unit.Metre) float64 { return math.Pi / 4 * float64(d) * float64(d) }

// lawNow is an element's law under a setting, at the best estimate.
func (m *Model) lawNow(n int, set Setting) network.Law {
	e := &m.elements[n]
	law := e.law
	if e.gate != "" && !m.openGates(set)[e.gate] {
		law = e.shutLaw
	}
	if n == m.filter {
		load := m.filterLoad(set.Filter)
		law.A, law.B = law.A*load, law.B*load
	}
	return withChips(law, e.group, m.loads(set)[n])
}

// density is that of the air in an element: the shop's, but for a vacuum the solver's own.
func (m *Model) density(n int, sol network.Solution) unit.KgPerM3 {
	if e := &m.elements[n]; e.join < 0 {
		return m.solver.Density(e.link)
	}
	return m.air.Density
}

var basisWords = map[unit.Basis]string{
	unit.Unsaid: "", unit.Assumed: "assumed", unit.Given: "given", unit.Drawn: "drawn", unit.Fitted: "fitted", unit.Absent: "none",
}
