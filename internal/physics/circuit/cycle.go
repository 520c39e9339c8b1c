package circuit

import (
	"math"

	"winnow/internal/unit"
)

// Stretch is a current that lasts.
type Stretch struct {
	Current unit.Ampere
	Lasts   unit.Second
}

// forget is how long a breaker must carry less than it can hold for what went before to be forgotten. Source [S-312, judgement].
const forget = 600.0

// Damage adds up how far a run of loads brings the device z towards its trip: the largest sum of dt/TripTime met on
// the way (Miner's sum); 1 trips. It starts from nothing again after ten minutes below what the breaker must hold.
// Cooling in shorter pauses is left out, so it is on the quick side. Source [S-312, judgement].
func (b Breaker) Damage(run []Stretch, z float64) float64 {
	sum, most, cool := 0.0, 0.0, 0.0
	for _, s := range run {
		t := float64(b.TripTime(float64(s.Current/b.Rating), z))
		if math.IsInf(t, 1) {
			// also the devices above their own pick-up rest here: those below it took the other branch
			if cool += float64(s.Lasts); cool >= forget {
				sum = 0
			}
			continue
		}
		cool = 0
		sum += float64(s.Lasts) / t
		most = math.Max(most, sum)
	}
	return most
}

// Chance is the share of such breakers that trip in a run of loads, 0 to 1: the z up to which Damage reaches 1, as
// Damage falls with z and z is even over devices. To 1/1024. Source [S-312, judgement].
func (b Breaker) Chance(run []Stretch) float64 {
	if b.most(run) <= b.Rating*unit.Ampere(b.holding()) || b.Damage(run, 0) < 1 {
		return 0
	}
	if b.Damage(run, 1) >= 1 {
		return 1
	}
	low, high := 0.0, 1.0 // trips at low, holds at high
	for range 10 {
		mid := (low + high) / 2
		if b.Damage(run, mid) >= 1 {
			low = mid
		} else {
			high = mid
		}
	}
	return (low + high) / 2
}

func (b Breaker) most(run []Stretch) unit.Ampere {
	var most unit.Ampere
	for _, s := range run {
		most = max(most, s.Current)
	}
	return most
}
