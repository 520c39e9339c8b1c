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

// line is what one stretch does to the devices: those below w trip in exp(a + b·z) seconds, the others never.
type line struct{ lasts, a, b, w float64 }

// line prepares TripTime for many devices at one multiple.
func (b Breaker) line(multiple float64) line {
	may := float64(b.May(multiple))
	if math.IsInf(may, 1) {
		return line{w: math.Inf(-1)}
	}
	l := line{a: math.Log(may), w: math.Inf(1)}
	must, first := float64(b.Must(multiple)), b.must()[0]
	over := 1.0
	if multiple < first.multiple {
		l.w = math.Log(multiple/b.holding()) / math.Log(first.multiple/b.holding())
		must, over = first.seconds, l.w
	}
	// only a hair above what must hold the quick end passes the hour; it is then the time of all
	l.b = (math.Log(math.Max(must, may)) - l.a) / over
	return l
}

func (b Breaker) lines(run []Stretch) []line {
	lines := make([]line, len(run))
	for i, s := range run {
		lines[i] = b.line(float64(s.Current / b.Rating))
		lines[i].lasts = float64(s.Lasts)
	}
	return lines
}

// damage is Damage on prepared lines.
func damage(lines []line, z float64) float64 {
	sum, most, cool := 0.0, 0.0, 0.0
	for _, l := range lines {
		if z >= l.w { // this device does not trip at this current
			if cool += l.lasts; cool >= forget {
				sum = 0
			}
			continue
		}
		cool = 0
		sum += l.lasts * math.Exp(-l.a-l.b*z)
		most = math.Max(most, sum)
	}
	return most
}

// Damage adds up how far a run of loads brings the device z towards its trip: the largest sum of dt/TripTime met on
// the way (Miner's sum); 1 trips. It starts from nothing again after ten minutes below what the breaker must hold.
// Cooling in shorter pauses is left out, so it is on the quick side. Source [S-312, judgement].
func (b Breaker) Damage(run []Stretch, z float64) float64 { return damage(b.lines(run), z) }

// Chance is the share of such breakers that trip in a run of loads, 0 to 1: of the devices up to the z at which Damage
// reaches 1, as Damage falls with z. The ends of the band are limits of tests, and few devices lie near them: z is taken as
// spread by 6z(1 - z), so the share is z²(3 - 2z). z to 1/2048. Source [S-312, judgement].
func (b Breaker) Chance(run []Stretch) float64 {
	if b.most(run) <= b.Rating*unit.Ampere(b.holding()) {
		return 0
	}
	lines := b.lines(run)
	switch {
	case damage(lines, 0) < 1:
		return 0
	case damage(lines, 1) >= 1:
		return 1
	}
	low, high := 0.0, 1.0 // trips at low, holds at high
	for range 10 {
		mid := (low + high) / 2
		if damage(lines, mid) >= 1 {
			low = mid
		} else {
			high = mid
		}
	}
	return Spread((low + high) / 2)
}

// Spread is the share of devices up to place z of a band: z²(3 - 2z). Source [S-312, judgement].
func Spread(z float64) float64 { return z * z * (3 - 2*z) }

func (b Breaker) most(run []Stretch) unit.Ampere {
	var most unit.Ampere
	for _, s := range run {
		most = max(most, s.Current)
	}
	return most
}
