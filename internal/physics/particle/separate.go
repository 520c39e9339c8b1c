package particle

import (
	"math"

	"winnow/internal/physics/air"
	"winnow/internal/unit"
)

// Separator is a cyclone or a lid that drops dust before the filter: a cut size with its 90 % range.
type Separator struct {
	Cut, Low, High unit.Metre // half of this size is kept
	Source         string
}

// Keeps returns the share of a size that a separator with the cut d50 keeps, by Lapple's curve,
//
//	η = 1/(1 + (d50/d)²)   [-]
//
// Leaves out a leaky or full bin, which stops it separating: then its grade is unknown. Source [S-358].
func Keeps(d, cut unit.Metre) unit.Fraction {
	r := float64(cut / d)
	return unit.Fraction(1 / (1 + r*r))
}

// At returns Keeps at the best estimate of the cut, and at the ends of its range.
func (s Separator) At(d unit.Metre) Part {
	return Part{Low: Keeps(d, s.High), Best: Keeps(d, s.Cut), High: Keeps(d, s.Low)}
}

// CycloneCut returns the cut of a cyclone by Lapple [m],
//
//	d50 = √( 9·μ·W/(2π·N·V·(ρp - ρ)) )
//
// inlet width W [m], inlet speed V 5 to 30 m/s, N turns of the air, about 6 (4 to 10). For an aerodynamic cut take
// density 1000 kg/m³. As physics good to a factor of 1.5: re-entrainment and the bin's air are left out. Not checked.
// Source [S-358].
func CycloneCut(inletWidth unit.Metre, turns unit.Number, inlet unit.MPerSec, density unit.KgPerM3, a air.State) unit.Metre {
	return unit.Metre(math.Sqrt(9 * float64(a.Viscosity) * float64(inletWidth) /
		(2 * math.Pi * float64(turns) * float64(inlet) * float64(density-a.Density))))
}

// BodyCut returns the same cut of Lapple's standard proportions from the diameter of the body D and the flow Q [m],
//
//	d50 = √( 3·μ·D³/(128·π·Q·(ρp - ρ)) )
//
// which is CycloneCut with an inlet of D/4 by D/2 and 6 turns. Source [S-358].
func BodyCut(body unit.Metre, flow unit.M3PerSec, density unit.KgPerM3, a air.State) unit.Metre {
	return unit.Metre(math.Sqrt(3 * float64(a.Viscosity) * math.Pow(float64(body), 3) /
		(128 * math.Pi * float64(flow) * float64(density-a.Density))))
}

// Cyclone is a cyclone with that body and flow; the cut is good to a factor of 1.5.
func Cyclone(body unit.Metre, flow unit.M3PerSec, a air.State) Separator {
	cut := BodyCut(body, flow, unitDensity, a)
	return Separator{Cut: cut, Low: cut / 1.5, High: cut * 1.5, Source: "S-358"}
}

// Baffle is a lid or baffle on a bin: a cut of 30 µm (15 to 80). Assumed: no measurement could be read. It keeps most
// of the mass and next to nothing under 10 µm. Judgement [S-359].
func Baffle() Separator {
	return Separator{Cut: 30 * Micrometre, Low: 15 * Micrometre, High: 80 * Micrometre, Source: "S-359"}
}
