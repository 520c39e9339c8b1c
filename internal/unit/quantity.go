// Package unit holds quantities: typed numbers in SI, the doubt about them, where they came from, and the
// one way each is read from and written for a person.
//
// It refuses to know anything else: no shop, no air, no file. Start reading at Amount, then Parse and Print.
package unit

// Each quantity is a float64 in the SI unit its name says. The type keeps a pressure from being added to a flow;
// it cannot keep two pressures of different meaning apart: names do that.
type (
	Metre     float64
	M2        float64 // area
	M3        float64 // volume
	M3PerSec  float64 // volume flow, at the conditions of the place
	MPerSec   float64 // velocity
	Pascal    float64 // pressure difference
	Watt      float64
	Volt      float64
	Ampere    float64
	Kelvin    float64 // temperature, absolute
	Kilogram  float64
	KgPerSec  float64
	KgPerM3   float64 // density, and mass concentration
	Second    float64
	PerSec    float64 // rate: air changes, decay, starts per hour
	Radian    float64 // angle
	Fraction  float64 // 1 = 100 %
	Number    float64 // a bare number: a coefficient, a count
	Decibel   float64 // A-weighted sound level
	Joule     float64
	PascalSec float64 // dynamic viscosity
	Wire      float64 // metal cross-section of one conductor, m²: an area that is sold by gauge number
)

// Real is what every quantity is: a float64 that knows its dimension.
type Real interface {
	~float64
	Dimension() Dimension
}

// Basis says where a number came from. The zero value is Unsaid: nobody said, and nothing has been assumed yet.
type Basis uint8

const (
	Unsaid  Basis = iota // left out or written `unknown`
	Assumed              // the typical value of the kind
	Given                // written by the owner
	Drawn                // measured on the plan
	Fitted               // from readings
	Absent               // written `none`: known not to be there
)

// Amount is a quantity with its doubt and its origin. Nine times in ten the truth lies between Low and High.
// Low == Best == High means that no doubt was written: the usual doubt of such a part applies.
type Amount[T Real] struct {
	Best, Low, High T
	Basis           Basis
	Source          string // for Assumed: where the typical value comes from
}

// System is the owner's family of units.
type System uint8

const (
	US System = iota
	SI
)
