// Package circuit is what a breaker, a wire, a cord and a motor's plate say about each other: when a breaker holds or
// trips, what current a motor draws, what a conductor may carry, how far the voltage falls, and what the published
// rules let one circuit carry.
//
// It keeps three questions apart, and so does everyone who asks it: may a circuit be loaded so (rules.go), will its
// breaker hold (breaker.go, cycle.go), what do wire, cord and plug allow (conductor.go, drop.go). It refuses to know
// machines, shops and prices, and it refuses to compute what cannot be computed: earth-leakage and arc-fault devices
// (GFCI, RCD, AFCI), and the instantaneous trip of small US-style breakers, for which no standard fixes a point.
//
// The tables lie in data/, readable, each row with its source and whether it was seen or recalled. A table is looked
// up, never interpolated. Start reading at Breaker, then Motor in motor.go.
package circuit

// Ohm is electrical resistance. OhmPerM is resistance of one conductor, one way, per metre of its length.
type (
	Ohm     float64
	OhmPerM float64
)

// Trust says how far a number of a table may be relied on.
type Trust uint8

// The three kinds of trust.
const (
	Published Trust = iota // a copy of the number was seen
	Memory                 // the source is named, the page was not at hand: verify before citing
	Practice               // a trade fact without a source
)

func (t Trust) String() string {
	return [...]string{"published", "from memory", "common practice, no source"}[t]
}
