package duct

import (
	"math"

	"winnow/internal/unit"
)

// Coefficient is the loss of *total* pressure of one piece in velocity pressures: Δp = K·ρV²/2, V in the bore On.
// Nine times in ten the truth lies between Low and High.
type Coefficient struct {
	K, Low, High float64
	Basis        unit.Basis
	Source       string     // short citation with its number in the ledger of sources, shown on the sheet
	What         string     // e.g. "elbow 90°, R/D 1.5, stamped"
	On           unit.Metre // bore whose velocity pressure K multiplies; 0: the bore of the pipe the piece sits in
}

// ToBore returns the same loss as a coefficient on another bore's velocity pressure, K·(D/On)⁴: at one flow the two give the same
// pascals. A coefficient whose On is 0 is returned with On set and K unchanged.
func (c Coefficient) ToBore(bore unit.Metre) Coefficient {
	if c.On > 0 {
		c = c.times(math.Pow(float64(bore/c.On), 4))
	}
	c.On = bore
	return c
}

// Loss returns the pressure lost at a mean speed v in the bore On, K·ρ·V²/2 [Pa].
func (c Coefficient) Loss(density unit.KgPerM3, v unit.MPerSec) unit.Pascal {
	return unit.Pascal(c.K * 0.5 * float64(density) * float64(v) * float64(v))
}

// times returns the coefficient and its range, all three times a factor.
func (c Coefficient) times(factor float64) Coefficient {
	c.K, c.Low, c.High = c.K*factor, c.Low*factor, c.High*factor
	return c
}

// Resistance is a loss that belongs to a flow, not to a bore: Δp = Linear·Q + Square·Q·|Q|. Low and High are factors on both,
// nine times in ten: 0.5 and 2 say "half to double".
type Resistance struct {
	Linear    float64 // Pa per m³/s
	Square    float64 // Pa per (m³/s)²
	Low, High float64
	Basis     unit.Basis
	Source    string
	What      string
}

// Loss returns Linear·Q + Square·Q·|Q| [Pa].
func (r Resistance) Loss(q unit.M3PerSec) unit.Pascal {
	x := float64(q)
	return unit.Pascal(r.Linear*x + r.Square*x*math.Abs(x))
}

// Leak is a way for air to slip in (or out): a hole by CdA, or a row of seams by Q = C·Δp^N. One of the two is zero. Low and High
// are factors on CdA and C.
type Leak struct {
	CdA       unit.M2 // discharge coefficient times area: Q = CdA·√(2Δp/ρ)
	C         float64 // m³/s at 1 Pa
	N         float64 // exponent, 0.5 to 1
	Low, High float64
	Basis     unit.Basis
	Source    string
	What      string
}

// area returns π·D²/4.
func area(bore unit.Metre) float64 { return math.Pi / 4 * float64(bore) * float64(bore) }

// lerpTable returns y at x between the points of a table, straight between them and flat beyond its ends. xs must rise.
func lerpTable(xs, ys []float64, x float64) float64 {
	if x <= xs[0] {
		return ys[0]
	}
	for i := 1; i < len(xs); i++ {
		if x <= xs[i] {
			w := (x - xs[i-1]) / (xs[i] - xs[i-1])
			return ys[i-1] + w*(ys[i]-ys[i-1])
		}
	}
	return ys[len(ys)-1]
}

// degrees returns an angle in degrees, the unit of every published fitting table.
func degrees(a unit.Radian) float64 { return float64(a) * 180 / math.Pi }

// Deg returns an angle given in degrees.
func Deg(d float64) unit.Radian { return unit.Radian(d * math.Pi / 180) }
