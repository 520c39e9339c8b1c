package circuit

import (
	"math"

	"winnow/internal/unit"
)

// MotorHeat is the heat a running motor and what it drives leave in the room, by where each of them is:
//
//	motor and air both inside   load·shaft/η
//	motor in, its air goes out  load·shaft·(1/η - 1)
//	motor out, its air comes in load·shaft
//
// load is the share of the rated shaft power in use; efficiency 0 to 1, over 0. All power ends as heat, so a collector that blows
// back into the room leaves all its input there. Leaves out what is stored in chips thrown out. Source [S-330].
func MotorHeat(shaft unit.Watt, efficiency, load unit.Fraction, motorInRoom, airReturns bool) unit.Watt {
	p := float64(shaft) * float64(load)
	var heat float64
	if motorInRoom {
		heat += p * (1/float64(efficiency) - 1)
	}
	if airReturns {
		heat += p
	}
	return unit.Watt(heat)
}

// cpAir is the specific heat of air at room temperature, J/(kg K). Source [S-331].
const cpAir = 1006.0

// ThrownHeat is the heat carried off by air blown outdoors and made up from outside: ρ·cp·Q·ΔT, sensible heat only; inside minus
// outside, negative in summer. Moisture comes on top. Source [S-331].
func ThrownHeat(q unit.M3PerSec, density unit.KgPerM3, insideMinusOutside unit.Kelvin) unit.Watt {
	return unit.Watt(float64(density) * cpAir * float64(q) * float64(insideMinusOutside))
}

// AirRise is how much a heat warms a flow: ΔT = heat/(ρ·cp·Q). Source [S-331].
func AirRise(heat unit.Watt, q unit.M3PerSec, density unit.KgPerM3) unit.Kelvin {
	if q == 0 {
		return unit.Kelvin(math.Inf(1))
	}
	return unit.Kelvin(float64(heat) / (float64(density) * cpAir * float64(q)))
}

// FuelFor is the energy a heater of this efficiency burns to replace a heat that is lost for a time. Source [S-331].
func FuelFor(heat unit.Watt, lasts unit.Second, heater unit.Fraction) unit.Joule {
	return unit.Joule(float64(heat) * float64(lasts) / float64(heater))
}

// SeasonHeat is the heat thrown out over a season by degree-days: ρ·cp·Q·(degree-days as K·s)·(share of the week in use). Source [S-332].
func SeasonHeat(q unit.M3PerSec, density unit.KgPerM3, kelvinSeconds float64, share unit.Fraction) unit.Joule {
	return unit.Joule(float64(density) * cpAir * float64(q) * kelvinSeconds * float64(share))
}
