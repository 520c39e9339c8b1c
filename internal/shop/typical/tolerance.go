package typical

import "winnow/internal/unit"

// Doubt is how far a number that was written without doubt may be off: the truth is the number times a factor, which lies
// between Low and High nine times in ten, best at Best (1, but for claims).
type Doubt struct {
	Of              string
	Best, Low, High float64
	Source          string
}

// Tolerance returns the usual doubt of a kind of number: claimed free air, claimed shut-off, tested curve, curve, length, bore,
// fitting, fitting table, pipe friction, hose friction, hood, gate leak, filter loss, filter area, separator loss, other loss,
// density, hose bends, hose stretch, kink, plate current, plate power, footprint, assumed footprint, room volume, chip rate, time,
// needs, cleaner flow. false: no such kind.
func Tolerance(of string) (Doubt, bool) {
	d, ok := tables().doubts[of]
	return d, ok
}

// Tolerances lists all kinds.
func Tolerances() []Doubt {
	b := tables()
	out := make([]Doubt, len(b.doubtKeys))
	for i, k := range b.doubtKeys {
		out[i] = b.doubts[k]
	}
	return out
}

func (b *book) readDoubts() {
	b.doubts = map[string]Doubt{}
	for _, e := range entries("doubt.txt") {
		f := need[unit.Fraction](b, e, "factor")
		b.doubts[e.name] = Doubt{e.name, float64(f.Best), float64(f.Low), float64(f.High), f.Source}
		b.doubtKeys = append(b.doubtKeys, e.name)
		e.done()
	}
}
