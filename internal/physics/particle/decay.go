package particle

import (
	"fmt"
	"math"

	"winnow/internal/unit"
)

// Decay is a fitted exponential fall of a reading.
type Decay struct {
	Rate   unit.PerSec
	Points int
	From   unit.Second // of the first and last reading used
	To     unit.Second
}

// FitThrough fits ln C against time with the line forced through the first point [1/s],
//
//	k = -Σ τ·ln(C/C0)/Σ τ²,  τ = t - t0
//
// over all readings given, which must be above zero. The way of fitting alone moves the answer by a fifth: say which
// window and which fit stands behind a rate. Source [S-360].
func FitThrough(t []unit.Second, c []float64) (Decay, error) {
	if err := fittable(t, c); err != nil {
		return Decay{}, err
	}
	var top, bottom float64
	for i := range t {
		tau := float64(t[i] - t[0])
		top += tau * math.Log(c[i]/c[0])
		bottom += tau * tau
	}
	return Decay{unit.PerSec(-top / bottom), len(t), t[0], t[len(t)-1]}, nil
}

// FitLine fits ln(C - background) against time with a free start, least squares [1/s]. Readings at or below the
// background are left out. Source [S-360].
func FitLine(t []unit.Second, c []float64, background float64) (Decay, error) {
	var ts []unit.Second
	var y []float64
	for i := range c {
		if c[i] > background {
			ts, y = append(ts, t[i]), append(y, c[i]-background)
		}
	}
	if err := fittable(ts, y); err != nil {
		return Decay{}, err
	}
	n := float64(len(ts))
	var mt, my, top, bottom float64
	for i := range ts {
		mt += float64(ts[i]) / n
		my += math.Log(y[i]) / n
	}
	for i := range ts {
		top += (float64(ts[i]) - mt) * (math.Log(y[i]) - my)
		bottom += (float64(ts[i]) - mt) * (float64(ts[i]) - mt)
	}
	return Decay{unit.PerSec(-top / bottom), len(ts), ts[0], ts[len(ts)-1]}, nil
}

// FitDecay chooses its own window and fits a decay: after the maximum, from half of it above the background (past the
// mixing and the saturated part) down to a twentieth, by FitLine. Readings at or above ceiling (0: none) are the
// sensor's end, not the air's, and are left out. Needs eight readings. Source [S-360].
func FitDecay(t []unit.Second, c []float64, background, ceiling float64) (Decay, error) {
	peak := -1
	for i := range c {
		if (ceiling <= 0 || c[i] < ceiling) && (peak < 0 || c[i] > c[peak]) {
			peak = i
		}
	}
	if peak < 0 {
		return Decay{}, fmt.Errorf("no reading below the sensor's ceiling of %g", ceiling)
	}
	from, to := -1, -1
	for i := peak; i < len(c); i++ {
		over := (c[i] - background) / (c[peak] - background)
		if from < 0 && over <= 0.5 {
			from = i
		}
		if over < 0.05 {
			break
		}
		to = i
	}
	if from < 0 || to-from < 7 {
		return Decay{}, fmt.Errorf("fewer than 8 readings between a half and a twentieth of the highest: nothing to fit")
	}
	return FitLine(t[from:to+1], c[from:to+1], background)
}

func fittable(t []unit.Second, c []float64) error {
	if len(t) != len(c) {
		panic("particle: as many times as readings, please")
	}
	if len(t) < 2 || t[len(t)-1] <= t[0] {
		return fmt.Errorf("%d readings are too few for a rate", len(t))
	}
	for i := range c {
		if !(c[i] > 0) {
			return fmt.Errorf("reading %d is %g: a rate needs readings above zero", i+1, c[i])
		}
	}
	return nil
}
