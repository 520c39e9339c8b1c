package duct

import (
	"fmt"

	"winnow/internal/physics/air"
	"winnow/internal/unit"
)

// FanInletEffect returns what an elbow, a split or a hose bend within three diameters of the fan's inlet takes from the fan, as a
// loss on the inlet's velocity pressure: 0.6 (0 to 1.3). It comes on top of the piece's own loss. Judgement. Source [S-096].
func FanInletEffect() Coefficient {
	return Coefficient{K: 0.6, Low: 0, High: 1.3, Basis: unit.Assumed, Source: srcFanInletJ, What: "bend close to the fan's inlet"}
}

// Loss of a round four-gore elbow upstream of a centrifugal fan by R/D and straight pipe between, the elbow's own loss included.
// Source [S-095].
var (
	inletRadius   = []float64{0.5, 0.75, 1, 1.5, 2, 4}
	inletStraight = []float64{0, 2, 5, 10}
	inletLoss     = [][]float64{
		{1.8, 1.0, 0.53, 0.53},
		{1.4, 0.80, 0.40, 0.40},
		{1.2, 0.67, 0.33, 0.33},
		{1.1, 0.60, 0.33, 0.33},
		{1.0, 0.53, 0.33, 0.33},
		{0.67, 0.40, 0.22, 0.22},
	}
)

// FanInletElbow returns the published loss of a round gored elbow before a centrifugal fan, on the inlet's velocity pressure, by
// R/D 0.5 to 4 and by the straight pipe between in diameters (0 and up). The elbow itself is in it: what the nearness adds is this
// less the value at 10 D. Range ±25 %. Else an *air.RangeError. Source [S-095].
func FanInletElbow(radiusOverBore, straightOverBore float64) (Coefficient, error) {
	if err := air.Check("centreline radius of the elbow over its bore", radiusOverBore, 0.5, 4, ""); err != nil {
		return Coefficient{}, err
	}
	if err := air.Check("straight pipe before the fan over the bore", straightOverBore, 0, 1000, ""); err != nil {
		return Coefficient{}, err
	}
	column := make([]float64, len(inletRadius))
	for i := range inletRadius {
		column[i] = lerpTable(inletStraight, inletLoss[i], straightOverBore)
	}
	return tableCoefficient(lerpTable(inletRadius, column, radiusOverBore), srcFanInlet,
		fmt.Sprintf("elbow R/D %.3g, %.2g D before the fan", radiusOverBore, straightOverBore)), nil
}

// NearFan returns what is to be added for an elbow of this radius this many diameters before the fan, its own loss counted
// elsewhere: the published elbow less the same elbow far away. Source [S-095].
func NearFan(radiusOverBore, straightOverBore float64) (Coefficient, error) {
	near, err := FanInletElbow(radiusOverBore, straightOverBore)
	if err != nil {
		return Coefficient{}, err
	}
	far, err := FanInletElbow(radiusOverBore, 10)
	if err != nil {
		return Coefficient{}, err
	}
	c := tableCoefficient(near.K-far.K, srcFanInlet, near.What)
	c.Low, c.High = 0, c.K*1.5
	return c, nil
}
