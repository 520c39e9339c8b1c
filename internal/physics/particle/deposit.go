package particle

import (
	"math"

	"winnow/internal/physics/air"
	"winnow/internal/unit"
)

// Surfaces are what dust can land on, and the air above them.
type Surfaces struct {
	Floor   unit.M2 // all that faces up
	Walls   unit.M2
	Ceiling unit.M2 // all that faces down
	Volume  unit.M3
}

// SurfacesOf returns the surfaces of a room with straight walls.
func SurfacesOf(floor unit.M2, perimeter, height unit.Metre) Surfaces {
	return Surfaces{
		Floor: floor, Ceiling: floor,
		Walls:  unit.M2(float64(perimeter) * float64(height)),
		Volume: unit.M3(float64(floor) * float64(height)),
	}
}

// Onto returns the speeds at which dust lands on a wall, on what faces up and on what faces down [m/s] in a stirred
// room, by the three-layer model of Lai and Nazaroff:
//
//	r+ = d·u*/(2ν)   Sc = ν/D   D = k·T·Cc/(3π·μ·d)
//	I  = 3.64·Sc^(2/3)·(a - b) + 39
//	wall u*/I   up v_s/(1 - exp(-v_s·I/u*))   down v_s/(exp(v_s·I/u*) - 1)
//
// friction is u*, 0.003 to 0.1 m/s; d 0.01 to 30 µm. Smooth surfaces only: below 1 µm furnished rooms measure five to
// thirty times more, which is why Deposition puts a measured floor under it. Source [S-353].
func Onto(d unit.Metre, friction unit.MPerSec, a air.State) (wall, up, down unit.MPerSec) {
	const boltzmann = 1.380649e-23 // J/K. Exact
	mu, u := float64(a.Viscosity), float64(friction)
	nu := mu / float64(a.Density)
	diffusion := boltzmann * float64(a.Temperature) * float64(Slip(d, a)) / (3 * math.Pi * mu * float64(d))
	sc, radius := nu/diffusion, float64(d)*u/(2*nu)

	// y^(1/3) of the inner layer; the two brackets are one integral at its upper and lower end.
	third := 10.92 * math.Pow(sc, -1.0/3)
	angle := func(x float64) float64 { return math.Sqrt(3) * math.Atan(x/(math.Sqrt(3)*third)) }
	top := 0.5*math.Log(math.Pow(third+4.3, 3)/(1/sc+0.0609)) + angle(8.6-third)
	bottom := 0.5*math.Log(math.Pow(third+radius, 3)/(1/sc+7.669e-4*math.Pow(radius, 3))) + angle(2*radius-third)
	integral := 3.64*math.Pow(sc, 2.0/3)*(top-bottom) + 39

	vs := float64(Settling(d, a))
	x := vs * integral / u
	return unit.MPerSec(u / integral), unit.MPerSec(vs / -math.Expm1(-x)), unit.MPerSec(vs / math.Expm1(x))
}

// Modelled returns the rate at which a stirred room loses dust to its smooth surfaces [1/s],
//
//	k = (v_wall·A_wall + v_up·A_floor + v_down·A_ceiling)/V
//
// Ranges and what it leaves out as Onto. Source [S-353].
func Modelled(d unit.Metre, friction unit.MPerSec, s Surfaces, a air.State) unit.PerSec {
	wall, up, down := Onto(d, friction, a)
	return unit.PerSec((float64(wall)*float64(s.Walls) + float64(up)*float64(s.Floor) + float64(down)*float64(s.Ceiling)) / float64(s.Volume))
}

// Rate is a rate with its 90 % range.
type Rate struct{ Low, Best, High unit.PerSec }

// UsualFriction is the friction velocity of a shop's air [m/s], 0.005 to 0.03. Judgement, within Source [S-353].
const UsualFriction unit.MPerSec = 0.01

// What furnished rooms measured below about 1 µm, where no smooth surface explains it [1/s]: 0.3 per hour at 0.3 to
// 0.5 µm in one house (S-355), 0.6 at 0.3 µm in another (S-356), half to double between houses.
const (
	measuredLow  unit.PerSec = 0.15 / 3600
	measuredBest unit.PerSec = 0.4 / 3600
	measuredHigh unit.PerSec = 1.2 / 3600
)

// Deposition returns the rate at which a shop's room loses dust to its surfaces, with its range [1/s]: the larger of
// Modelled and what furnished rooms measured. The range is half to three times, which spans bare to furnished (1 to
// 2.6 times, S-357) and still to moving air (1.3 to 2.4 times, S-357), and for the coarse a fan that doubles it
// (S-355). d 0.3 to 30 µm; above that dust falls before it spreads. Not one rate for "PM2.5": each size has its own.
// Source [S-353], [S-355], [S-356], [S-357].
func Deposition(d unit.Metre, s Surfaces, a air.State) Rate {
	k := Modelled(d, UsualFriction, s, a)
	return Rate{
		Low:  max(k/2, measuredLow),
		Best: max(k, measuredBest),
		High: max(3*k, measuredHigh),
	}
}
