package fan

import (
	"math"

	"winnow/internal/physics/air"
	"winnow/internal/unit"
)

// Shaft power of a small radial blower over that at free air, by flow over free air. Common practice. Source [S-105].
var (
	loadFlow  = []float64{0, 0.2, 0.4, 0.6, 0.8, 1}
	loadShare = []float64{0.40, 0.50, 0.61, 0.73, 0.86, 1}
)

// LoadShare returns the shaft power of a radial blower at a share of its free air, over that at free air: 0.40 at none, 1 at free air.
// It *rises* with the flow: a blocked blower works least. share 0 to 1.2, else an *air.RangeError. Within 0.1. Source [S-105].
func LoadShare(share float64) (float64, error) {
	if err := air.Check("flow over free air", share, 0, 1.2, ""); err != nil {
		return 0, err
	}
	n := len(loadFlow)
	i := n - 2
	for i > 0 && share < loadFlow[i] {
		i--
	}
	w := (share - loadFlow[i]) / (loadFlow[i+1] - loadFlow[i])
	return loadShare[i] + w*(loadShare[i+1]-loadShare[i]), nil // past free air straight on
}

// Motor is what the plate of the fan's motor says. Zero means not known.
type Motor struct {
	Plate unit.Ampere // rated current
	Idle  float64     // current without load over the plate's; 0: 0.55 (0.40 to 0.75)
	Full  float64     // shaft load at free air over the plate's power; 0: 1 (0.8 to 1.1)
}

// Current returns the current of an induction motor on a radial blower at a flow,
//
//	I = plate·√(idle² + (1 - idle²)·load²)      load = full·LoadShare(Q/Q0)
//
// the magnetising part at right angles to the working part. It is nearly flat in Q: ten percent more flow is about two and a half
// percent more current, so it proves that a fan runs and says little about how much air it moves. flow 0 to 1.2 times free air, else an
// *air.RangeError; without a plate current the amount is Unsaid. Low and High are the range of idle and full. Source [S-106].
func (m Motor) Current(q, freeAir unit.M3PerSec) (unit.Amount[unit.Ampere], error) {
	load, err := LoadShare(float64(q / freeAir))
	if err != nil {
		return unit.Amount[unit.Ampere]{}, err
	}
	if m.Plate == 0 {
		return unit.Amount[unit.Ampere]{}, nil
	}
	idle, full := [3]float64{m.Idle, m.Idle, m.Idle}, [3]float64{m.Full, m.Full, m.Full}
	if m.Idle == 0 {
		idle = [3]float64{0.40, 0.55, 0.75}
	}
	if m.Full == 0 {
		full = [3]float64{0.8, 1, 1.1}
	}
	at := func(i int) unit.Ampere {
		l := full[i] * load
		return m.Plate * unit.Ampere(math.Sqrt(idle[i]*idle[i]+(1-idle[i]*idle[i])*l*l))
	}
	return unit.Amount[unit.Ampere]{Best: at(1), Low: at(0), High: at(2), Basis: unit.Assumed, Source: "induction motor on a radial blower [S-106]"}, nil
}
