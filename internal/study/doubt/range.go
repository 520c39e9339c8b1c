package doubt

import (
	"math"
	"slices"
)

// Range is the median and the 90 % range of a sampled quantity.
type Range struct {
	Low    float64 `json:"low"`
	Median float64 `json:"median"`
	High   float64 `json:"high"`
}

// RangeOf sorts samples in place and reads off the 5th, 50th and 95th percentile, between the two nearest ranks.
// Samples that could not be computed must not be among them.
func RangeOf(samples []float64) Range {
	if len(samples) == 0 {
		return Range{math.NaN(), math.NaN(), math.NaN()}
	}
	slices.Sort(samples)
	return Range{quantile(samples, 0.05), quantile(samples, 0.5), quantile(samples, 0.95)}
}

// quantile reads at position p·n − ½ (Hazen): right for the middles of equal slices, which is how samples are drawn.
func quantile(sorted []float64, p float64) float64 {
	at := p*float64(len(sorted)) - 0.5
	i := int(math.Floor(at))
	switch {
	case i < 0:
		return sorted[0]
	case i >= len(sorted)-1:
		return sorted[len(sorted)-1]
	}
	return sorted[i] + (at-float64(i))*(sorted[i+1]-sorted[i])
}

// Chance is the share of samples at or above a need, and how it is said: to the nearest 5 %, never under 5 or over 95.
func Chance(samples []float64, need float64) float64 {
	if len(samples) == 0 {
		return math.NaN()
	}
	reach := 0
	for _, s := range samples {
		if s >= need {
			reach++
		}
	}
	return float64(reach) / float64(len(samples))
}
