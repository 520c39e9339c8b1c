package particle

import (
	"math"

	"winnow/internal/physics/air"
	"winnow/internal/unit"
)

// FreePath returns the mean free path of air molecules [m],
//
//	λ = μ/p·√(π·R·T/(2·M))
//
// for any air that air.At gives. Within 2 % of printed 0.066 µm at 20 °C and 1 atm. Source [S-350], ch. 2.
func FreePath(a air.State) unit.Metre {
	const gasConstant, molarMass = 8.31446, 0.0289652 // J/(mol K), kg/mol of dry air. Source [S-350]
	return unit.Metre(float64(a.Viscosity) / float64(a.Pressure) *
		math.Sqrt(math.Pi*gasConstant*float64(a.Temperature)/(2*molarMass)))
}

// Slip returns how much easier a small particle slips between molecules than a drag law says [-],
//
//	Cc = 1 + λ/d·(2.34 + 1.05·exp(-0.39·d/λ))
//
// d 0.1 to 100 µm. 1.15 at 1 µm, 1.02 at 10 µm. Published constants differ by 1 to 2 %. Source [S-350], eq. 3.20.
func Slip(d unit.Metre, a air.State) unit.Number {
	kn := float64(FreePath(a) / d)
	return unit.Number(1 + kn*(2.34+1.05*math.Exp(-0.39/kn)))
}

// Settling returns the speed at which a particle of an aerodynamic diameter falls in still air [m/s]: Stokes' law with
// slip and the drag of Schiller and Naumann,
//
//	v·(1 + 0.15·Re^0.687) = (1000 - ρ)·d²·g·Cc/(18·μ),  Re = ρ·v·d/μ
//
// d 0.1 µm to 1 mm (Re up to 800), not checked. Stokes alone is a fifth too fast at 100 µm. Within 4 % of tables there.
// Leaves out that splinters flutter. Solved by Newton's step from Stokes' speed, which only falls. Source [S-350]
// eq. 3.21, drag [S-352].
func Settling(d unit.Metre, a air.State) unit.MPerSec {
	stokes := (unitDensity - float64(a.Density)) * float64(d*d) * gravity * float64(Slip(d, a)) / (18 * float64(a.Viscosity))
	perSpeed := float64(a.Density) * float64(d) / float64(a.Viscosity)
	v := stokes
	for range 20 {
		drag := 0.15 * math.Pow(perSpeed*v, 0.687)
		step := (v*(1+drag) - stokes) / (1 + 1.687*drag)
		v -= step
		if math.Abs(step) <= 1e-12*v {
			break
		}
	}
	return unit.MPerSec(v)
}

// StirredLoss returns how fast settling alone takes dust out of a stirred room [1/s],
//
//	k = v_s/H
//
// H the height of the ceiling. Below about 1 µm it is 30 times too slow: Deposition is measured there, not settled.
// Source [S-350], stirred settling; measured [S-355].
func StirredLoss(d unit.Metre, height unit.Metre, a air.State) unit.PerSec {
	return unit.PerSec(float64(Settling(d, a)) / float64(height))
}
