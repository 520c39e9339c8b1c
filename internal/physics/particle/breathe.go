package particle

import (
	"math"

	"winnow/internal/unit"
)

// Convention is how deep a particle must go to count. Limits for the four are different things: never compare across.
type Convention uint8

// The conventions of ISO 7708 (EN 481), and Inside for all that is airborne.
const (
	Airborne   Convention = iota // everything in the air
	Inhalable                    // through nose and mouth
	Thoracic                     // past the larynx
	Respirable                   // to the gas-exchange region
)

func (c Convention) String() string {
	return [...]string{"airborne", "inhalable", "thoracic", "respirable"}[c]
}

// At returns the share of the airborne particles of a size that a convention counts [-],
//
//	inhalable  SI = ½·(1 + exp(-0.06·d)),  d in µm up to 100
//	thoracic   ST = SI·(1 - Φ(ln(d/11.64)/ln 1.5))
//	respirable SR = SI·(1 - Φ(ln(d/4.25)/ln 1.5))
//
// d is aerodynamic; above 100 µm the inhalable curve is held at its value there, as it was never measured further.
// Leaves out fast outdoor air and how a person really breathes. Source [S-351].
func (c Convention) At(d unit.Metre) unit.Fraction {
	um := math.Min(float64(d/Micrometre), 100)
	inhaled := 0.5 * (1 + math.Exp(-0.06*um))
	switch c {
	case Inhalable:
		return unit.Fraction(inhaled)
	case Thoracic:
		return unit.Fraction(inhaled * (1 - normal(math.Log(um/11.64)/math.Log(1.5))))
	case Respirable:
		return unit.Fraction(inhaled * (1 - normal(math.Log(um/4.25)/math.Log(1.5))))
	}
	return 1
}

// WoodDust is the spread of airborne wood dust by which a convention is averaged inside a bin: 12 µm, GSD 2, between
// sanding (9 to 10 µm, S-354) and sawing. Judgement.
var WoodDust = Spread{Median: 12 * Micrometre, GSD: 2}

// Of returns the mean of a convention over a bin, weighted by WoodDust [-]: Simpson's rule on seven points. For dust of
// 9 to 20 µm the bins of Usual then give the respirable share within 5 % of the integral; the value at the middle of
// each bin would be up to a fifth wrong. Source [S-351].
func (c Convention) Of(b Bin) unit.Fraction {
	const n = 6
	step := math.Log(float64(b.High/b.Low)) / n
	sum, all := 0.0, 0.0
	for i, w := range [n + 1]float64{1, 4, 2, 4, 2, 4, 1} {
		d := b.Low * unit.Metre(math.Exp(step*float64(i)))
		z := math.Log(float64(d/WoodDust.Median)) / math.Log(float64(WoodDust.GSD))
		w *= math.Exp(-z * z / 2)
		sum += w * float64(c.At(d))
		all += w
	}
	return unit.Fraction(sum / all)
}

// OfBins returns Of for each bin.
func (c Convention) OfBins(bins Sizes) []float64 {
	out := make([]float64, len(bins))
	for i, b := range bins {
		out[i] = float64(c.Of(b))
	}
	return out
}
