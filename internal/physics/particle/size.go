package particle

import (
	"fmt"
	"math"

	"winnow/internal/unit"
)

// Bin is one class of aerodynamic diameters.
type Bin struct{ Low, High unit.Metre }

// Mid is the geometric middle of the bin, which stands for all of it.
//
// The upper edge would inflate a mass reckoned from counts by up to 2.8 in a bin twice as wide as its lower edge.
// Source [S-366].
func (b Bin) Mid() unit.Metre { return unit.Metre(math.Sqrt(float64(b.Low) * float64(b.High))) }

// Sizes are bins that touch, finest first.
type Sizes []Bin

// Bins makes bins from edges in µm, at least two, rising; anything else is our own mistake and panics.
func Bins(edgesMicrometre ...float64) Sizes {
	if len(edgesMicrometre) < 2 {
		panic("particle: bins need two edges")
	}
	s := make(Sizes, len(edgesMicrometre)-1)
	for i := range s {
		low, high := edgesMicrometre[i], edgesMicrometre[i+1]
		if !(low > 0 && high > low) {
			panic(fmt.Sprintf("particle: bin edges %g and %g µm do not rise", low, high))
		}
		s[i] = Bin{unit.Metre(low) * Micrometre, unit.Metre(high) * Micrometre}
	}
	return s
}

// Usual are the twelve bins the rooms are computed in. The edges of sensors (0.3, 0.5, 1, 2.5, 5, 10), of the filter
// classes (0.3, 1, 10) and of the depths of breathing are among them; above 30 µm dust falls before it spreads.
func Usual() Sizes { return Bins(0.3, 0.5, 1, 1.7, 2.5, 3.5, 5, 7, 10, 17, 30, 55, 100) }

// Spread is a log-normal mass distribution over aerodynamic diameter.
type Spread struct {
	Median unit.Metre  // mass median aerodynamic diameter
	GSD    unit.Number // geometric standard deviation, above 1
}

// Under returns the share of the mass below a diameter,
//
//	F(d) = Φ( ln(d/median) / ln GSD )   [-]
//
// any d above 0. Leaves out that real dust has a hard upper end. No errors: a GSD of 1 or less is our own mistake and
// gives NaN. Source [S-350], ch. 4.
func (s Spread) Under(d unit.Metre) unit.Fraction {
	return unit.Fraction(normal(math.Log(float64(d/s.Median)) / math.Log(float64(s.GSD))))
}

// Shares returns the share of mass in each bin. What is finer than the first edge is counted in the first bin and what
// is coarser than the last edge in the last, so the shares add up to 1. Source [S-350], ch. 4.
func (s Spread) Shares(bins Sizes) []float64 {
	share := make([]float64, len(bins))
	below := 0.0
	for i, b := range bins {
		upTo := float64(s.Under(b.High))
		if i == len(bins)-1 {
			upTo = 1
		}
		share[i], below = upTo-below, upTo
	}
	return share
}

// Breathed returns the share of the airborne mass that a convention counts, by integration over the spread [-]: the
// trapezoid on 2,000 points to ±6 standard deviations, good to 1e-6. Source [S-351].
func (s Spread) Breathed(c Convention) unit.Fraction {
	const n, reach = 2000, 6.0
	sigma, sum, all := math.Log(float64(s.GSD)), 0.0, 0.0
	for i := 0; i <= n; i++ {
		z := reach * (2*float64(i)/n - 1)
		w := math.Exp(-z * z / 2)
		all += w
		sum += w * float64(c.At(s.Median*unit.Metre(math.Exp(sigma*z))))
	}
	return unit.Fraction(sum / all)
}

// Aerodynamic returns the aerodynamic diameter of a particle that is not a water-heavy sphere,
//
//	d_a = d_v·√( ρ/(1000·χ) )   [m]
//
// d_v the diameter of the sphere of equal volume, above 1 µm (slip is left out: 5 % at 1 µm); density ρ [kg/m³]; χ the
// dynamic shape factor, 1 for a sphere, 1.2 to 1.5 for splinters. Source [S-350], ch. 3.
func Aerodynamic(volumeEquivalent unit.Metre, density unit.KgPerM3, shape unit.Number) unit.Metre {
	return volumeEquivalent * unit.Metre(math.Sqrt(float64(density)/(unitDensity*float64(shape))))
}

// normal is the standard normal distribution function.
func normal(x float64) float64 { return math.Erfc(-x/math.Sqrt2) / 2 }
