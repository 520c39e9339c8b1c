package airflow

import (
	"math"

	"winnow/internal/physics/network"
	"winnow/internal/shop"
	"winnow/internal/study/doubt"
	"winnow/internal/unit"
)

// tight is how near the solver comes: far closer than any sheet is printed.
const tight = 1e-10

// Solve balances the system for a setting. sample 0 is the best estimate; 1 to `of` draw every uncertain factor. The
// slices of the answer belong to the model until its next Solve.
func (m *Model) Solve(set Setting, b *doubt.Belief, sample, of int) network.Solution {
	if sample > 0 {
		m.draw(b, of)
	}
	m.refused = nil
	m.apply(set, sample)
	sol := m.solver.Solve(tight)
	if m.refused != nil {
		sol.Status = network.NotFinite
	}
	return sol
}

// Draw fetches the multipliers of a belief, so that clones made after it share them and several may solve at once.
func (m *Model) Draw(b *doubt.Belief) { m.draw(b, doubt.Samples) }

// draw fetches the multipliers of every factor, once a belief.
func (m *Model) draw(b *doubt.Belief, of int) {
	if m.drawn && m.belief == b && m.of == of {
		return
	}
	seen := map[doubt.Key]bool{}
	m.keyDraws = nil
	for i := range m.elements {
		for j := range m.elements[i].doubts {
			d := &m.elements[i].doubts[j]
			for _, t := range d.factor.Terms {
				if !seen[t.Key] {
					seen[t.Key] = true
					m.keyDraws = append(m.keyDraws, b.KeyDraws(t.Key, of)[1:])
				}
			}
			d.values = d.factor.Values(b.Draws(d.factor, of))
		}
	}
	m.belief, m.of, m.drawn = b, of, true
}

// apply sets every law for the setting and the sample.
func (m *Model) apply(set Setting, sample int) {
	open := m.openGates(set)
	load := m.filterLoad(set.Filter)
	chips := m.loads(set)
	for i := range m.elements {
		e := &m.elements[i]
		if e.join >= 0 {
			continue
		}
		law := e.law
		if e.gate != "" && !open[e.gate] {
			law = e.shutLaw
		}
		if i == m.filter {
			law.A *= load
			law.B *= load
		}
		law = withChips(law, e.group, chips[i])
		if sample > 0 {
			for j := range e.doubts {
				e.doubts[j].multiply(&law, sample)
			}
		}
		m.set(e.link, law)
	}
	for _, mo := range m.mouths {
		if !m.attached(mo, set) {
			m.set(mo.first, network.Law{})
		}
	}
	for j, legs := range m.joinElem {
		join := m.net.Joins[j]
		join.KThrough = m.elements[legs[0]].legLoss(join.KThrough, sample)
		join.KBranch = m.elements[legs[1]].legLoss(join.KBranch, sample)
		if err := m.solver.SetJoin(j, join); err != nil {
			m.refused = err
		}
	}
}

// set gives a link its law; one that cannot be computed with spoils this solve, not the next.
func (m *Model) set(link int, law network.Law) {
	if err := m.solver.Set(link, law); err != nil {
		m.refused = err
	}
}

func (e *element) legLoss(k float64, sample int) float64 {
	if sample == 0 {
		return k
	}
	for _, d := range e.doubts {
		k *= d.values[sample]
	}
	return k
}

func (d *doubted) multiply(l *network.Law, sample int) {
	f := d.values[sample]
	switch d.on {
	case onK:
		l.K *= f
	case onFriction:
		l.FrictionScale *= f
	case onBore: // losses go with the fourth power of the bore, friction with the fifth; that Re changes too is under 1 % of that
		f2 := f * f
		l.K /= f2 * f2
		l.FrictionScale /= f2 * f2 * f
	case onResistance:
		l.A *= f
		l.B *= f
	case onLeak:
		l.CdA *= unit.M2(f)
		l.C *= f
	case onPressure:
		l.PressureScale *= f
	case onFlow:
		l.FlowScale *= f
	case onExponent:
		l.Exponent *= f
	}
}

// What the states of a filter do to its resistance when new. Source [S-099], as in physics/duct.
const (
	loadNew   = 1
	loadClean = 3
	loadDue   = 8
)

// filterLoad is the multiplier on the filter's law, which is that of the filter new. A fan that was rated with its own
// clean filter in place has that much of it in its curve already.
func (m *Model) filterLoad(state FilterState) float64 {
	load := max(loadDue, loadNow(m.system.Filter.Value)) // a filter that is overdue is worse than due
	switch state {
	case Clean:
		load = loadClean
	case AsIs:
		load = loadNow(m.system.Filter.Value)
	}
	if m.asSold {
		load -= loadNew
	}
	return load
}

// loadNow is the load by the hours since cleaning: from clean to due in proportion, no further than twice due; where the
// owner does not know, the middle of the two in the logarithm.
func loadNow(f shop.Filter) float64 {
	since, every := float64(f.SinceCleaning.Best), float64(f.CleanEvery.Best)
	if f.SinceCleaning.Basis != unit.Given || every <= 0 {
		return math.Sqrt(loadClean * loadDue)
	}
	return min(2*loadDue, loadClean+(loadDue-loadClean)*since/every)
}

// attached reports whether a mouth's run is on it: a fixed run always, a carried hose on the first of its machines that
// runs, and on the first of its list while none does.
func (m *Model) attached(mo mouth, set Setting) bool {
	ports := mo.run.run.From.Ports
	if len(ports) == 1 {
		return true
	}
	at := ports[0]
	for _, p := range ports {
		if set.Runs(p.Machine) {
			at = p
			break
		}
	}
	return at.Machine == mo.port.Machine && (at.Port == mo.port.Port || at.Port == "")
}

// drawing reports whether air is wanted at a mouth: its machine runs, the run is on it, and its setup uses that port.
func (m *Model) drawing(mo mouth, set Setting) bool {
	r, runs := set.of(mo.port.Machine)
	if !runs || !m.attached(mo, set) {
		return false
	}
	setup := setupOf(m.shop.Machine(mo.port.Machine), r.Setup)
	for _, off := range setup.Without {
		if off == mo.port.Port {
			return false
		}
	}
	return true
}

// setupOf finds a setup by name; the empty name is the first, and a machine without setups has one that changes nothing.
func setupOf(m *shop.Machine, name shop.ID) shop.Setup {
	if m == nil {
		return shop.Setup{}
	}
	for i, s := range m.Setups {
		if s.Name == name || name == "" && i == 0 {
			return s
		}
	}
	return shop.Setup{}
}

// openGates are the gates that stand open: those on the way of the running machines to the fan, those that they open
// besides, and what a hand did. Where the practice is to balance, all are open; where nothing runs, the gate left open.
func (m *Model) openGates(set Setting) map[shop.ID]bool {
	open := make(map[shop.ID]bool, len(m.gates))
	if m.shop.Control.Practice == "balance" {
		for g := range m.gates {
			open[g] = true
		}
	}
	none := true
	for _, mo := range m.mouths {
		if !m.drawing(mo, set) {
			continue
		}
		none = false
		for _, g := range m.gatesOnWay(mo) {
			open[g] = true
		}
		if machine := m.shop.Machine(mo.port.Machine); machine != nil {
			for _, g := range machine.AlsoOpens {
				open[g] = true
			}
		}
	}
	if none {
		for g, elements := range m.gates {
			open[g] = m.idleOpen(elements[0]) || open[g]
		}
	}
	for _, g := range set.Open {
		open[g] = true
	}
	for _, g := range set.Shut {
		open[g] = false
	}
	return open
}

func (m *Model) idleOpen(element int) bool {
	name := m.elements[element].gate
	for _, r := range m.system.Runs {
		for _, p := range r.Pieces {
			if p.What == shop.Gate && p.Gate == name {
				return p.Idle == "open"
			}
		}
	}
	return false
}

func (m *Model) gatesOnWay(mo mouth) []shop.ID {
	var gates []shop.ID
	for _, n := range m.way(mo) {
		if g := m.elements[n].gate; g != "" {
			gates = append(gates, g)
		}
	}
	return gates
}

// way lists the elements from a mouth to the open air behind the fan, in the direction of the air.
func (m *Model) way(mo mouth) []int {
	way := append([]int(nil), mo.elements...)
	at := 0
	for r := mo.run; r != nil; r = r.into {
		way = append(way, r.elements[at:]...)
		way = append(way, r.tail...)
		at = r.at
	}
	return append(way, m.tail...)
}

// Ports are the ports that draw air from this system in a setting, in the order of the file.
func (m *Model) Ports(set Setting) []shop.PortRef {
	var ports []shop.PortRef
	for _, mo := range m.mouths {
		if m.drawing(mo, set) {
			ports = append(ports, mo.port)
		}
	}
	return ports
}
