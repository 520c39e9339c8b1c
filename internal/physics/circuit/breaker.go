package circuit

import (
	"math"

	"winnow/internal/unit"
)

// Standard is the family a breaker belongs to.
type Standard uint8

// The two families. UL489: North American moulded-case breakers. IEC60898: household breakers of IEC 60898-1.
const (
	UL489 Standard = iota
	IEC60898
)

// Breaker is an inverse-time circuit breaker.
type Breaker struct {
	Standard Standard
	Rating   unit.Ampere
	Curve    string // IEC letter B, C, D or K; empty: unknown, or a US-style breaker
}

// Verdict is the answer to "will it hold".
type Verdict uint8

// From the mildest to the worst; Unknown stands apart: it is no kind of "holds".
const (
	Holds   Verdict = iota
	MayTrip         // either is correct
	Trips
	Unknown // a current, the breaker or its curve is not known
)

func (v Verdict) String() string { return [...]string{"holds", "may trip", "trips", "not known"}[v] }

// Never is the time of something that does not happen.
var Never = unit.Second(math.Inf(1))

// point is a multiple of the rating at which the standard says a time.
type point struct{ multiple, seconds float64 }

// must gives the points at which a breaker must have tripped, falling. Beyond the last the time goes as 1/m².
//
// US-style, UL 489 calibration at 135 % and 200 % [S-309]; the third point, 300 %, is a field-test limit recalled from
// NETA/NEMA AB 4 [S-310]. Above 30 A the times at 200 % and 300 % are recalled too. IEC 60898-1 tests b and c [S-311].
func (b Breaker) must() []point {
	if b.Standard == IEC60898 {
		hour, c := 3600.0, 60.0
		if b.Rating > 63 {
			hour = 7200
		}
		if b.Rating > 32 {
			c = 120
		}
		return []point{{1.45, hour}, {2.55, c}}
	}
	switch {
	case b.Rating <= 30:
		return []point{{1.35, 3600}, {2, 120}, {3, 50}}
	case b.Rating <= 50:
		return []point{{1.35, 3600}, {2, 240}, {3, 80}}
	}
	return []point{{1.35, 7200}, {2, 360}, {3, 140}}
}

// holding is the multiple up to which the breaker must never trip: 1 (UL 489, 100 % calibration, one breaker in open
// air) or 1.13 (IEC 60898-1 test a). Sources [S-309], [S-311].
func (b Breaker) holding() float64 {
	if b.Standard == IEC60898 {
		return 1.13
	}
	return 1
}

// Must is the longest a breaker may take to trip at this multiple of its rating, Never where no test makes it trip:
// straight lines in log-log through the points of must, then 1/m². Between the points it is interpolation of ours,
// and no test of the standard. Ambient 25 °C (UL) or 30 °C (IEC), started cold; leaves out neighbours in a hot panel.
// Source [S-309], [S-310], [S-311].
func (b Breaker) Must(multiple float64) unit.Second {
	p := b.must()
	if multiple < p[0].multiple {
		return Never
	}
	for i := 1; i < len(p); i++ {
		if multiple <= p[i].multiple {
			return unit.Second(logLog(p[i-1], p[i], multiple))
		}
	}
	last := p[len(p)-1]
	r := last.multiple / multiple
	return unit.Second(last.seconds * r * r)
}

func logLog(a, b point, m float64) float64 {
	slope := math.Log(b.seconds/a.seconds) / math.Log(b.multiple/a.multiple)
	return a.seconds * math.Pow(m/a.multiple, slope)
}

// May is the shortest time in which a breaker is taken to be able to trip, Never at and below the multiple it must
// hold: 32 s/(m² - 1) for US-style, an order of magnitude for wording and plots only [S-312, judgement]; for
// IEC 60898-1 (2.55² - 1.13²) s/(m² - 1.13²), which is the 1 s of test c carried along a curve of constant heat [S-311].
// Magnetic trips are not in it; see Magnetic.
func (b Breaker) May(multiple float64) unit.Second {
	hold := b.holding()
	if multiple <= hold {
		return Never
	}
	heat := 32.0
	if b.Standard == IEC60898 {
		heat = 2.55*2.55 - 1.13*1.13
	}
	return unit.Second(heat / (multiple*multiple - hold*hold))
}

// Promise is what the standard alone promises of a steady current of this multiple lasting this long, with nothing
// of ours between its points: Holds up to 100 % (UL 489) or for an hour at 113 % (IEC 60898-1); Trips where the
// current reached a test point (135 or 200 %; 145 or 255 %) for that point's time; else MayTrip, either being correct.
// within is the time of the point that decides, Never where none does. Source [S-309], [S-311].
func (b Breaker) Promise(multiple float64, lasts unit.Second) (v Verdict, within unit.Second) {
	if multiple <= b.holding() {
		return Holds, Never
	}
	points := b.must()
	if b.Standard == UL489 {
		points = points[:2] // the 300 % point is a field test, not the standard's
	}
	v, within = MayTrip, Never
	for _, p := range points {
		if multiple >= p.multiple && float64(lasts) >= p.seconds {
			v, within = Trips, unit.Second(p.seconds)
		}
	}
	return v, within
}

// TripTime is when the device at place z of all such breakers trips thermally at a steady multiple: z = 0 is the
// quickest, z = 1 the slowest.
//
//	above the first must-point   ln t = (1 - z)·ln May + z·ln Must
//	below it                     only devices with z < w trip, w = ln(m/hold)/ln(first/hold): in that share of
//	                             devices u = z/w takes the place of z, and an hour that of Must
//
// Both meet at the first must-point, and t falls with m and rises with z. The second line is ours: between what must
// hold and what must trip the standard says nothing, and a breaker that trips at all there does so within about the
// hour of the test. One z is kept for all sets of a circuit. Source [S-312, judgement].
func (b Breaker) TripTime(multiple, z float64) unit.Second {
	l := b.line(multiple)
	if z >= l.w {
		return Never
	}
	return unit.Second(math.Exp(l.a + l.b*z))
}

// magnetic are the multiples between which a breaker of that letter may open at once. Letters B, C, D: IEC 60898-1
// tests d and e [S-311]. K: 8 to 14, recalled from IEC 60947-2 practice [S-313].
var magnetic = map[string][2]float64{"B": {3, 5}, "C": {5, 10}, "D": {10, 20}, "K": {8, 14}}

// Magnetic tells whether a start of this multiple opens the breaker at once, in under 0.1 s: Holds at and below the
// low end of its letter, Trips at and above the high end, MayTrip between. For US-style breakers of these sizes no
// point is fixed: Unknown, whatever the multiple, and it must be said so. Currents are r.m.s.; the first half-wave of
// a start can stand higher, which is left out. Source [S-311].
func (b Breaker) Magnetic(multiple float64) Verdict {
	band, ok := magnetic[b.Curve]
	switch {
	case b.Standard == UL489 || !ok:
		return Unknown
	case multiple <= band[0]:
		return Holds
	case multiple >= band[1]:
		return Trips
	}
	return MayTrip
}

// MagneticBand gives the multiples of Magnetic; ok is false where no point is fixed.
func (b Breaker) MagneticBand() (low, high float64, ok bool) {
	band, ok := magnetic[b.Curve]
	return band[0], band[1], ok && b.Standard == IEC60898
}
