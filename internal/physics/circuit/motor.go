package circuit

import (
	"fmt"
	"math"

	"winnow/internal/unit"
)

var (
	fullLoad    = rows(fullLoadText)
	lockedRotor = rows(lockedRotorText)
	codeLetters = rows(codeLetterText)
	efficiency  = rows(efficiencyText)
	startsTable = rows(startsText)
)

// Looked is a number out of a table, with how far to trust it.
type Looked struct {
	Current unit.Ampere
	Trust   Trust
	Source  string
}

// nominal gives the column heading that serves a voltage: 110-120 V are 115, 220-240 V are 230, 440-480 V are 460.
// Source [S-300], heading of the table.
func nominal(v unit.Volt) int {
	switch {
	case v >= 110 && v <= 120:
		return 115
	case v == 200 || v == 208:
		return int(v)
	case v >= 220 && v <= 240:
		return 230
	case v >= 440 && v <= 480:
		return 460
	}
	return 0
}

func asked(shaft unit.Watt, v unit.Volt, phases int) string {
	return fmt.Sprintf("%.4g hp at %.4g V, %d-phase", float64(shaft)/wattPerHP, float64(v), phases)
}

// FullLoad is the current the wiring rules take for a motor of this shaft power, by the published table: for sizing
// conductors, switches and short-circuit protection. The overload device goes by the plate, and so does a tool sold with a
// cord and marked amperes. Phases 1 (1/6 to 10 hp; 115, 200, 208, 230 V) or 3 (1/2 to 10 hp, recalled). Never
// interpolated: another power or voltage is a *RowError. Not a current to compute heat or cost from: it implies
// efficiency x power factor of only 0.41 to 0.65. Source [S-300], [S-301].
func FullLoad(shaft unit.Watt, v unit.Volt, phases int) (Looked, error) {
	none := &RowError{"full-load currents", asked(shaft, v, phases)}
	r, ok := horsepower(fullLoadBy[max(phases, 1)], shaft)
	if !ok {
		return Looked{}, none
	}
	col := map[int]int{115: 0, 200: 1, 208: 2, 230: 3, 460: 4}
	i, ok := col[nominal(v)]
	if !ok {
		return Looked{}, none
	}
	x, ok := r.column(i)
	if !ok {
		return Looked{}, none
	}
	return Looked{unit.Ampere(x), r.trust, r.source}, nil
}

// fullLoadBy holds the rows by number of phases, the horsepower as their label.
var fullLoadBy = func() map[int][]row {
	by := map[int][]row{}
	for _, r := range fullLoad {
		n := int(cell(r.label))
		r.label = fmt.Sprint(r.x[0])
		r.x = r.x[1:]
		by[n] = append(by[n], r)
	}
	return by
}()

// LockedRotor is the current of a single-phase motor whose rotor is held, by the published table: six times FullLoad
// at 115 and 230 V. 1/2 to 10 hp; 115, 208, 230 V; else a *RowError. Source [S-302].
func LockedRotor(shaft unit.Watt, v unit.Volt) (Looked, error) {
	none := &RowError{"locked-rotor currents", asked(shaft, v, 1)}
	r, ok := horsepower(lockedRotor, shaft)
	if !ok {
		return Looked{}, none
	}
	i, ok := map[int]int{115: 0, 208: 1, 230: 2}[nominal(v)]
	if !ok {
		return Looked{}, none
	}
	x, _ := r.column(i)
	return Looked{unit.Ampere(x), r.trust, r.source}, nil
}

// CodeLetter gives the starting kVA per horsepower that a letter on the plate stands for; letter V is open above (to
// is Inf). ok is false for a letter not in use. Source [S-303].
func CodeLetter(letter string) (from, to float64, ok bool) {
	for _, r := range codeLetters {
		if r.label == letter {
			to, closed := r.column(1)
			if !closed {
				to = math.Inf(1)
			}
			return r.x[0], to, true
		}
	}
	return 0, 0, false
}

// StartByLetter is the range of the start current of a motor by its code letter:
//
//	I = hp · kVA/hp · 1000/V   (three-phase: over √3)
//
// with one horsepower 746 W. A *RowError for a letter not in use. At full voltage; see Dip for what the wire takes
// off. Source [S-303].
func StartByLetter(letter string, shaft unit.Watt, v unit.Volt, phases int) (low, high unit.Ampere, err error) {
	from, to, ok := CodeLetter(letter)
	if !ok {
		return 0, 0, &RowError{"code letters", "letter " + letter}
	}
	one := float64(shaft) / wattPerHP * 1000 / float64(v)
	if phases == 3 {
		one /= math.Sqrt(3)
	}
	return unit.Ampere(from * one), unit.Ampere(to * one), nil
}

// StartMultiple is the start current over the full-load current where no letter is known: 6 (4 to 8) for an induction
// motor, as in the locked-rotor table; 4 (2 to 6) for a brushed one without soft start. Sources [S-302], [S-314].
func StartMultiple(brushed bool) (low, best, high float64) {
	if brushed {
		return 2, 4, 6
	}
	return 4, 6, 8
}

// Efficiency is the least full-load efficiency of a new open single-phase motor: the row at or next below this shaft
// power, 1/4 to 3 hp and 2, 4 or 6 poles; beyond the table its last row. An old or enclosed motor can lie 10 to 20
// points lower. This one is a bound, so it is stepped, not interpolated. Source [S-304].
func Efficiency(shaft unit.Watt, poles int) unit.Fraction {
	i := map[int]int{2: 0, 4: 1, 6: 2}[poles]
	hp := float64(shaft) / wattPerHP
	best := efficiency[0].x[i]
	for _, r := range efficiency {
		if x, ok := r.column(i); ok && cell(r.label) <= hp*1.01 {
			best = x
		}
	}
	return unit.Fraction(best / 100)
}

// Input is the electrical power a motor takes for a shaft power: shaft/efficiency. Both at the same load. Source [S-304].
func Input(shaft unit.Watt, efficiency unit.Fraction) unit.Watt {
	return shaft / unit.Watt(efficiency)
}

// ImpliedProduct is efficiency times power factor if these amperes were the motor's true current at full load:
// shaft/(V·I). For the full-load table it comes to 0.41 to 0.65, which is why that table gives neither heat nor cost.
// Single-phase. Source [S-300].
func ImpliedProduct(shaft unit.Watt, v unit.Volt, i unit.Ampere) unit.Fraction {
	return unit.Fraction(float64(shaft) / (float64(v) * float64(i)))
}

// EstimateCurrent is the likely full-load current of a motor of which only the shaft power is known:
//
//	I = shaft/(η·cosφ·V)   (three-phase: over √3)
//
// η by Efficiency (4 poles; 0.85 to 1.05 of it), cosφ 0.70 (0.60 to 0.85) single-phase under 200 V, 0.78 (0.67 to
// 0.95) above, where motors are bigger and mostly keep a capacitor in, 0.80 (0.72 to 0.88) three-phase. low to high is
// the 90 % range. It gives the usual plates of the trade within their spread; a plate replaces it. Source [S-304], [S-314].
func EstimateCurrent(shaft unit.Watt, v unit.Volt, phases int) (low, best, high unit.Ampere) {
	eta := float64(Efficiency(shaft, 4))
	at := func(cosphi, worn float64) unit.Ampere {
		i := float64(shaft) / (eta * worn * cosphi * float64(v))
		if phases == 3 {
			i /= math.Sqrt(3)
		}
		return unit.Ampere(i)
	}
	if phases == 3 {
		return at(0.88, 1.05), at(0.80, 1), at(0.72, 0.85)
	}
	// the ends of η and of cosφ do not meet: root of the sum of squares of the two in logs
	if v < 200 {
		return at(0.85, 1.05), at(0.70, 1), at(0.60, 0.90)
	}
	return at(0.95, 1.05), at(0.78, 1), at(0.67, 0.90)
}

// PowerFactor is the usual power factor at full load: brushed 0.92 (0.85 to 0.98), single-phase induction 0.70 (0.55 to
// 0.95), three-phase 0.80 (0.72 to 0.88). It falls steeply at light load. Source [S-314], common practice.
func PowerFactor(brushed bool, phases int) (low, best, high unit.Fraction) {
	switch {
	case brushed:
		return 0.85, 0.92, 0.98
	case phases == 3:
		return 0.72, 0.80, 0.88
	}
	return 0.55, 0.70, 0.95
}

// Starting is how often a motor may be started.
type Starting struct {
	PerHour unit.PerSec // as a rate: 1/3600 is once an hour
	Rest    unit.Second // least time off
}

// kgm2PerLbft2 turns WK², lb ft², into kg m²: 0.45359237 · 0.3048².
const kgm2PerLbft2 = 0.45359237 * 0.3048 * 0.3048

// MostStarts is how often a motor may start a load of this inertia: the lesser of A and B/WK² an hour, with rest C, by
// the published table for POLYPHASE motors of 2 or 4 poles, 1 to 10 hp, which is an upper bound for single-phase
// ones. A *RowError for another power or pole count. Source [S-305].
func MostStarts(shaft unit.Watt, poles int, inertiaKgM2 float64) (Starting, error) {
	r, ok := horsepower(startsTable, shaft)
	if !ok || (poles != 2 && poles != 4) {
		return Starting{}, &RowError{"starts an hour", fmt.Sprintf("%.3g hp, %d poles", float64(shaft)/wattPerHP, poles)}
	}
	i := 0
	if poles == 4 {
		i = 3
	}
	return LeastStarts(r.x[i], r.x[i+1], r.x[i+2], inertiaKgM2), nil
}

// LeastStarts is the rule of the table itself: the lesser of A and B/WK² starts an hour, B in lb ft² an hour, C
// seconds of rest. Source [S-305].
func LeastStarts(a, bLbFt2, cSeconds, inertiaKgM2 float64) Starting {
	perHour := a
	if inertiaKgM2 > 0 {
		perHour = math.Min(a, bLbFt2/(inertiaKgM2/kgm2PerLbft2))
	}
	return Starting{unit.PerSec(perHour / 3600), unit.Second(cSeconds)}
}

// UsualStarts is what a single-phase collector of 1 to 5 hp stands where nothing else is known: 8 (6 to 10) an hour,
// 75 s (60 to 90) of rest, derived from the two-pole rows of the table. Source [S-305], common practice.
func UsualStarts() Starting { return Starting{8.0 / 3600, 75} }

// WheelInertia is about what a fan wheel of this diameter has: 0.046 kg m² at 12 in (a steel wheel of 4 kg taken as a
// disc), growing as D^4.5; good to a factor of two either way. Judgement [S-312].
func WheelInertia(d unit.Metre) float64 {
	return 0.046 * math.Pow(float64(d)/0.3048, 4.5)
}

// How long a start lasts and how motors are loaded, as low, best, high. Trade figures and judgement [S-314], [S-312].
var (
	BrushedStart = [3]unit.Second{0.05, 0.3, 0.5} // brushed motor
	MachineStart = [3]unit.Second{0.3, 0.6, 1}    // a machine running light
	WheelStart   = [3]unit.Second{1, 2, 3}        // a fan wheel of about 12 in
	HeavyStart   = [3]unit.Second{1, 3, 5}        // a big wheel or a heavy machine

	Cut = [3]float64{0.50, 0.65, 0.80} // of the plate: a typical cut
	Fan = [3]float64{0.70, 0.85, 1.00} // of the plate: a fan or a brushed vacuum, nearly flat in airflow
)
