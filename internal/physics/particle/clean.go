package particle

import (
	"math"

	"winnow/internal/unit"
)

// CleanAir returns the clean-air delivery of a flow through a filter for one size [m³/s],
//
//	CADR = Q·E
//
// Leaves out that a cleaner breathes its own clean air back: 0 to 30 % less by how it stands. Source [S-360].
func CleanAir(flow unit.M3PerSec, keeps unit.Fraction) unit.M3PerSec {
	return flow * unit.M3PerSec(keeps)
}

// CleanAirFromDecay returns the clean-air delivery from two decays in one room [m³/s],
//
//	CADR = V·(k_on - k_off)
//
// Source [S-360].
func CleanAirFromDecay(volume unit.M3, on, off unit.PerSec) unit.M3PerSec {
	return unit.M3PerSec(float64(volume) * float64(on-off))
}

// Effect returns by which part a cleaner lowers a steady level [-],
//
//	1 - C_on/C_off = a/(a + k),  a = CADR/V
//
// other is the room's loss rate without it. Well mixed, and with a source that runs for hours: never for short work
// beside the machine. Source [S-361].
func Effect(cadr unit.M3PerSec, volume unit.M3, other unit.PerSec) unit.Fraction {
	a := float64(cadr) / float64(volume)
	return unit.Fraction(a / (a + float64(other)))
}

// Delivery returns the clean-air delivery that lowers a steady level by a part [m³/s]: Effect solved for CADR,
//
//	CADR = V·k·e/(1 - e)
//
// effect 0 to below 1. Source [S-361].
func Delivery(effect unit.Fraction, volume unit.M3, other unit.PerSec) unit.M3PerSec {
	return unit.M3PerSec(float64(effect/(1-effect)) * float64(other) * float64(volume))
}

// PurgeTime returns the time until a part is gone after the source has stopped [s],
//
//	t = m·ln(1/(1 - removed))/k
//
// k the loss rate; m the mixing factor, 1 for perfect mixing, up to 10 for a dead corner. It does not hold while
// something still emits. Source [S-362].
func PurgeTime(loss unit.PerSec, removed unit.Fraction, mixing unit.Number) unit.Second {
	return unit.Second(-float64(mixing) * math.Log1p(-float64(removed)) / float64(loss))
}
