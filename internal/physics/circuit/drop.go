package circuit

import (
	"math"

	"winnow/internal/unit"
)

// Segment is a length of cable or cord: the way there; the way back is as long.
type Segment struct {
	Length  unit.Metre
	Each    OhmPerM // one conductor
	Current unit.Ampere
}

// Drop is how far the voltage falls on the way to a single-phase load (120 V, 230 V, or 240 V of a split phase):
//
//	drop = Σ 2·L·R·I
//
// each segment with the current that flows in it. Scalar, so an upper bound where power factors differ. Source [S-317].
func Drop(way []Segment) unit.Volt {
	var v float64
	for _, s := range way {
		v += 2 * float64(s.Length) * float64(s.Each) * float64(s.Current)
	}
	return unit.Volt(v)
}

// DropThreePhase is the fall between two lines of a balanced three-phase load: Σ √3·L·R·I. Source [S-317].
func DropThreePhase(way []Segment) unit.Volt {
	return Drop(way) * unit.Volt(math.Sqrt(3)/2)
}

// SplitDrop is the fall on each half of a 120/240 V feeder or shared-neutral circuit that carries current a on one half and b
// on the other. The neutral carries only the difference, so the lighter half can even rise (a negative fall):
//
//	fall_a = L·R·(a + (a - b))      fall_b = L·R·(b + (b - a))
//
// Neutral as thick as the lines; resistive loads in phase. Source [S-317], by Kirchhoff's laws.
func SplitDrop(l unit.Metre, each OhmPerM, a, b unit.Ampere) (fallA, fallB unit.Volt) {
	r := float64(l) * float64(each)
	return unit.Volt(r * float64(2*a-b)), unit.Volt(r * float64(2*b-a))
}

// MostEach is the biggest resistance per metre that keeps a single-phase fall within a share of the supply: share·V/(2·L·I).
func MostEach(share unit.Fraction, supply unit.Volt, l unit.Metre, i unit.Ampere) OhmPerM {
	return OhmPerM(float64(share) * float64(supply) / (2 * float64(l) * float64(i)))
}

// Start is what is left when a motor starts through a wire.
type Start struct {
	Current unit.Ampere
	Voltage unit.Volt     // at the motor
	Torque  unit.Fraction // of the start torque at full voltage; it goes as the square of the voltage
}

// Dip is a start through the resistance of the loop (there and back): the held rotor is an impedance V/I, in line with the
// loop, so the current falls too:
//
//	I' = V/(V/I + R)   V' = V - I'·R   torque = (V'/V)²
//
// All taken in phase, which overstates the dip by up to about a third at a start's power factor. Leaves out what else
// flows in the loop and the supply's own impedance unless it is in loop. Source [S-317], [S-302].
func Dip(supply unit.Volt, locked unit.Ampere, loop Ohm) Start {
	v := float64(supply)
	rotor := v / float64(locked)
	share := rotor / (rotor + float64(loop)) // as a quotient it falls with the loop to the last bit
	return Start{unit.Ampere(share * float64(locked)), unit.Volt(share * v), unit.Fraction(share * share)}
}

// Loop is the resistance of a way, there and back.
func Loop(way []Segment) Ohm {
	var r float64
	for _, s := range way {
		r += 2 * float64(s.Length) * float64(s.Each)
	}
	return Ohm(r)
}

// Advice on voltage drop, as shares of the supply. Advice, not a rule: NEC informational notes (branch 3 %, feeder and branch
// 5 %) [S-317]; IEC 60364-5-52 Annex G (lighting 3 %, other uses 5 %, from memory) [S-318].
const (
	DropBranch   unit.Fraction = 0.03
	DropWhole    unit.Fraction = 0.05
	DropLighting unit.Fraction = 0.03
	DropOther    unit.Fraction = 0.05
)

// LeastMotorVoltage is what a motor must still find at its terminals: 90 % of its rated voltage, which for a 115 V plate on
// a 120 V system is 103.5 V. Source [S-319], from memory.
func LeastMotorVoltage(plate unit.Volt) unit.Volt { return plate * 0.90 }
