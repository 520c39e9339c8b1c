package duct

import (
	"fmt"
	"math"

	"winnow/internal/physics/air"
	"winnow/internal/unit"
)

// Abrupt is the included angle of a change of size without any cone.
const Abrupt = unit.Radian(math.Pi)

// coneFriction is the Darcy factor taken inside a cone; its share of the loss is under 0.02 VP. Source [S-082].
const coneFriction = 0.018

// SizeChange returns the loss where the bore goes from one size to another in the direction of the air, on the velocity pressure
// of the *smaller* bore (On says which). included is the cone's full angle; Abrupt for none; 0 means "a reducer of the trade,
// angle unknown": 30°, with a range from a slim cone to a blunt one.
//
// Contraction and expansion by Rennels and Hudson, abrupt expansion by Borda and Carnot; see Contraction and Expansion. Bores 15
// to 600 mm, included 0 to 180°, else an *air.RangeError. Equal bores lose nothing. Leaves out the friction of a pipe of the same
// length. Source [S-082], [S-083].
func SizeChange(from, to unit.Metre, included unit.Radian) (Coefficient, error) {
	if err := checkChange(from, to, included); err != nil {
		return Coefficient{}, err
	}
	if included == 0 {
		return reducerOfTheTrade(from, to)
	}
	if from == to {
		return Coefficient{Basis: unit.Assumed, Source: srcBorda, What: "no change of size", On: to}, nil
	}
	if from > to {
		return Contraction(from, to, included)
	}
	return Expansion(from, to, included)
}

func checkChange(from, to unit.Metre, included unit.Radian) error {
	for _, d := range []unit.Metre{from, to} {
		if err := air.Check("bore", float64(d), 0.015, 0.600, "m"); err != nil {
			return err
		}
	}
	return air.Check("included angle", degrees(included), 0, 180, "°")
}

// reducerOfTheTrade takes 30° and spans 15° to 60°, which is what the trade's reducers are made to. Judgement.
func reducerOfTheTrade(from, to unit.Metre) (Coefficient, error) {
	c, err := SizeChange(from, to, Deg(30))
	if err != nil {
		return c, err
	}
	for _, deg := range []float64{15, 60} {
		d, err := SizeChange(from, to, Deg(deg))
		if err != nil {
			return c, err
		}
		c.Low, c.High = math.Min(c.Low, d.Low), math.Max(c.High, d.High)
	}
	c.What = fmt.Sprintf("reducer %s, angle unknown", sizes(from, to))
	return c, nil
}

// Contraction returns the loss of a narrowing on the velocity pressure of the bore after it. With β = D2/D1 and α the included angle,
//
//	λ = 1 + 0.622·(α/180°)^0.8·(1 - 0.215β² - 0.785β⁵)
//	K = 0.0696·sin(α/2)·(1 - β⁵)·λ² + (λ - 1)² + 0.018·(1 - β⁴)/(8·sin(α/2))      cone
//	K = 0.0696·(1 - β⁵)·λ² + (λ - 1)²                                              abrupt (α = 180°)
//
// to must be below from. Handbooks differ by 15 to 40 % on abrupt ones; range ±25 %. Source [S-082].
func Contraction(from, to unit.Metre, included unit.Radian) (Coefficient, error) {
	if err := checkChange(from, to, included); err != nil {
		return Coefficient{}, err
	}
	if err := air.Check("bore after the contraction", float64(to), 0, float64(from), "m"); err != nil {
		return Coefficient{}, err
	}
	b := float64(to / from)
	b2 := b * b
	b5 := b2 * b2 * b
	half := math.Sin(float64(included) / 2)
	lambda := 1 + 0.622*math.Pow(degrees(included)/180, 0.8)*(1-0.215*b2-0.785*b5)
	k := 0.0696*half*(1-b5)*lambda*lambda + sq(lambda-1)
	if included < Abrupt && half > 0 {
		k += coneFriction * (1 - b2*b2) / (8 * half)
	}
	return changeCoefficient(k, "contraction", from, to, included, to, srcAreaChange), nil
}

// Expansion returns the loss of a widening on the velocity pressure of the bore before it. With β = D1/D2 and α the included angle
// it is (1 - β²)² when abrupt (Borda and Carnot: exact momentum theory), else that times Rennels and Hudson's five-part fit for a cone
// plus its friction. A blunt cone, from about 45° on, loses more than none at all: up to 1.2 times.
//
// to must be above from. Range ±25 %, ±10 % when abrupt. Source [S-082], [S-083].
func Expansion(from, to unit.Metre, included unit.Radian) (Coefficient, error) {
	if err := checkChange(from, to, included); err != nil {
		return Coefficient{}, err
	}
	if err := air.Check("bore before the expansion", float64(from), 0, float64(to), "m"); err != nil {
		return Coefficient{}, err
	}
	b := float64(from / to)
	borda := sq(1 - b*b)
	if included == Abrupt {
		c := changeCoefficient(borda, "expansion", from, to, included, from, srcBorda)
		c.Low, c.High = 0.9*borda, 1.1*borda
		return c, nil
	}
	return changeCoefficient(diffuserShare(degrees(included), b)*borda+coneLoss(included, b), "expansion", from, to, included, from,
		srcAreaChange), nil
}

// diffuserShare returns the loss of a conical widening over that of an abrupt one, without friction. Source [S-082].
func diffuserShare(deg, b float64) float64 {
	b4 := b * b * b * b
	wide := 0.0 // what a ratio of more than two adds
	if b < 0.5 {
		wide = 3.28 * (0.0625 - b4)
	}
	switch {
	case deg <= 20:
		return 8.30 * math.Pow(math.Tan(deg/2*math.Pi/180), 1.75)
	case deg <= 60:
		return 1.366*math.Sqrt(math.Sin(2*math.Pi*(deg-15)/180)) - 0.170 - wide*math.Sqrt((deg-20)/40)
	case b < 0.5:
		return 1.205 - wide - 12.8*b4*b*b*math.Sqrt((deg-60)/120)
	default:
		return 1.205 - 0.20*math.Sqrt((deg-60)/120)
	}
}

// coneLoss returns the friction inside a cone on the smaller bore; none above 60° and at 0°. Source [S-082].
func coneLoss(included unit.Radian, b float64) float64 {
	half := math.Sin(float64(included) / 2)
	if half <= 0 || degrees(included) > 60 {
		return 0
	}
	return coneFriction * (1 - b*b*b*b) / (8 * half)
}

func changeCoefficient(k float64, what string, from, to unit.Metre, included unit.Radian, on unit.Metre, src string) Coefficient {
	how := fmt.Sprintf("cone %.0f°", degrees(included))
	if included == Abrupt {
		how = "abrupt"
	}
	return Coefficient{
		K: k, Low: (1 - tableDoubt) * k, High: (1 + tableDoubt) * k, Basis: unit.Assumed, Source: src,
		What: fmt.Sprintf("%s %s, %s", what, sizes(from, to), how), On: on,
	}
}

// sizes says how the bore changes, as a ratio: the words of physics know no owner's units.
func sizes(from, to unit.Metre) string {
	return fmt.Sprintf("to %.2g of the bore", float64(to/from))
}

// Adapter returns the loss of whatever joins two neighbours of different bore that nobody described: abrupt, with a range down to
// a smooth moulded adapter. Source [S-082], [S-083].
func Adapter(from, to unit.Metre) (Coefficient, error) {
	c, err := SizeChange(from, to, Abrupt)
	if err != nil || from == to {
		return c, err
	}
	smooth, err := SmoothAdapter(from, to)
	if err != nil {
		return c, err
	}
	c.Low = math.Min(c.Low, smooth.Low)
	c.What = fmt.Sprintf("adapter %s", sizes(from, to))
	return c, nil
}

// SmoothAdapter returns the loss of a moulded or turned adapter, a cone of about 20°. Source [S-082].
func SmoothAdapter(from, to unit.Metre) (Coefficient, error) {
	c, err := SizeChange(from, to, Deg(20))
	if err == nil && from != to {
		c.What = fmt.Sprintf("smooth adapter %s", sizes(from, to))
	}
	return c, err
}

// Exit returns the loss at a free end from which air blows out: its velocity pressure, K = 1, none of which comes back. It is the
// other half of reckoning a fan in total pressure. Profile factor 1 to 1.06. Source [S-094].
func Exit() Coefficient {
	return Coefficient{K: 1, Low: 1, High: 1.06, Basis: unit.Assumed, Source: srcExit, What: "free exit"}
}

var (
	capHeight = []float64{0.45, 0.5, 0.55, 0.6, 0.65, 0.7, 0.75, 1.0}
	capLoss   = []float64{1.0, 0.73, 0.56, 0.41, 0.30, 0.22, 0.18, 0.10}
)

// WeatherCap returns what a cap over a stack adds to the free exit, by the clear height under it over the bore, 0.45 to 1 and
// above (flat); lower is an *air.RangeError. Source [S-093], from memory.
func WeatherCap(height float64) (Coefficient, error) {
	if err := air.Check("clear height under the cap over the bore", height, 0.45, 10, ""); err != nil {
		return Coefficient{}, err
	}
	k := lerpTable(capHeight, capLoss, height)
	return Coefficient{
		K: k, Low: k * (1 - tableDoubt), High: k * (1 + tableDoubt), Basis: unit.Assumed, Source: srcCap,
		What: fmt.Sprintf("weather cap, %.2g D clear", height),
	}, nil
}
