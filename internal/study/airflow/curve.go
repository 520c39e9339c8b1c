package airflow

import (
	"winnow/internal/physics/network"
	"winnow/internal/shop"
	"winnow/internal/unit"
)

// System names the system a model is of.
func (m *Model) System() shop.ID { return m.system.Name }

// Gates say how the gates stand in a setting, whether or not anything runs.
func (m *Model) Gates(set Setting) []GateState { return m.gateStates(set) }

// FanAt is the fan's static pressure at an airflow, at the best estimate: its written points, or its rating. Below 0 beyond free air.
func (m *Model) FanAt(q unit.M3PerSec) unit.Pascal { return network.FanRise(m.elements[m.fan].law, q) }

// FreeAir is the airflow at which the fan's pressure is used up.
func (m *Model) FreeAir() unit.M3PerSec {
	return network.FreeFlow(m.elements[m.fan].law)
}

// LoadAt is what the system of a result would take at another airflow: the filter in proportion, the rest by the square.
func (m *Model) LoadAt(q unit.M3PerSec, r Result) unit.Pascal {
	if r.Fan.Flow <= 0 {
		return 0
	}
	x := float64(q / r.Fan.Flow)
	return unit.Pascal(float64(r.Fan.Filter)*x + float64(r.Fan.Rise-r.Fan.Filter)*x*x)
}
