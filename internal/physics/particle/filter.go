package particle

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"winnow/internal/unit"
)

// Part is a share with its 90 % range.
type Part struct{ Low, Best, High unit.Fraction }

// State is how long a filter has been in use.
type State uint8

// The states of a filter. Cleaning takes it back from Due to Seasoned, with a puff, never to New.
const (
	Seasoned State = iota // in use, with the dust in it that shaking leaves
	New                   // never used
	Due                   // just before cleaning
)

func (s State) String() string { return [...]string{"seasoned", "new", "due"}[s] }

// Family is what a grade was tested by, which says how far to trust it.
type Family uint8

// The families of grades.
const (
	UnknownGrade Family = iota // nothing is said
	NoFilter                   // known not to be there
	MERV                       // ASHRAE 52.2: minimum efficiency in three ranges
	EPM                        // ISO 16890: share of ePM1, ePM2.5 or ePM10 removed
	HighGrade                  // EN 1822 or the 99.97 % definition: overall, at the worst size
	HighClaim                  // the word HEPA without a class
	VacuumClass                // EN 60335-2-69: the whole vacuum, seals included
	Stated                     // an efficiency at a size
	MicronClaim                // a size without an efficiency: nominal, it fixes nothing
)

// Filter is how much of each size a filter lets through. Make one with a constructor or ParseGrade.
type Filter struct {
	Name   string
	Family Family
	Source string

	steps  []step     // what passes, by rising size
	claim  unit.Metre // for MicronClaim
	low    float64    // 90 % range of the odds of passing, as factors
	high   float64
	fabric bool // a dust cake changes it
}

type step struct {
	upTo unit.Metre
	pass float64
}

// Caked is the filter in a collector or a vacuum, where a cake of dust builds on it as on a cloth: its odds of passing
// then go by its state. In an air cleaner hardly any does. Judgement [S-365].
func (f Filter) Caked() Filter {
	f.fabric = f.Family != NoFilter
	return f
}

// Odds returns the odds of passing, p/(1 - p), at the best estimate; +Inf where there is no filter.
func (f Filter) Odds(d unit.Metre, s State) float64 {
	p := f.pass(d)
	return p / (1 - p) * f.cake(s)
}

// Doubt returns the 90 % range of the odds of passing, as factors: one draw for all sizes of a filter, as a leaky
// frame leaks at every size.
func (f Filter) Doubt() (low, high float64) {
	if f.low == 0 {
		return 1, 1
	}
	return f.low, f.high
}

// Passing turns odds into the share that passes.
func Passing(odds float64) float64 {
	if math.IsInf(odds, 1) {
		return 1
	}
	return odds / (1 + odds)
}

// Keeps returns the share of a size that a filter keeps, with its range.
//
// Inside a range of the test the class's minimum holds; above its coarsest range what passes falls as 1/d; a micron
// claim is read as 90 % at that size, falling as √d below it, and odds of five either way. A cloth lets through 0.3 of
// the odds once it is seasoned and 0.15 when it is due. Outside the tests all of this is judgement, and the range says
// so. d 0.1 to 100 µm. Leaves out how fast the air goes through. Source [S-364] for classes, [S-365] for claims.
func (f Filter) Keeps(d unit.Metre, s State) Part {
	odds := f.Odds(d, s)
	low, high := f.Doubt()
	return Part{
		Low:  unit.Fraction(1 - Passing(odds*high)),
		Best: unit.Fraction(1 - Passing(odds)),
		High: unit.Fraction(1 - Passing(odds*low)),
	}
}

func (f Filter) pass(d unit.Metre) float64 {
	if f.Family == NoFilter {
		return 1
	}
	if f.claim > 0 {
		if d >= f.claim {
			return 0.1 * math.Pow(float64(f.claim/d), 2)
		}
		return 1 - 0.9*math.Sqrt(float64(d/f.claim))
	}
	for _, s := range f.steps {
		if d <= s.upTo {
			return s.pass
		}
	}
	last := f.steps[len(f.steps)-1]
	return last.pass * float64(last.upTo/d)
}

// cake is what the dust in a cloth does to the odds of passing. Judgement [S-365].
func (f Filter) cake(s State) float64 {
	if !f.fabric {
		return 1
	}
	switch s {
	case Seasoned:
		return 0.3
	case Due:
		return 0.15
	}
	return 1
}

// mervRow holds the minimum efficiencies of a class in 0.3 to 1, 1 to 3 and 3 to 10 µm; below 0 is not set by the
// standard. Source [S-364], edition 2017 (1 to 7: from memory).
var mervRow = map[int][3]float64{
	1: {-1, -1, 0.05}, 2: {-1, -1, 0.05}, 3: {-1, -1, 0.10}, 4: {-1, -1, 0.15},
	5: {-1, -1, 0.20}, 6: {-1, -1, 0.35}, 7: {-1, -1, 0.50}, 8: {-1, 0.20, 0.70},
	9: {-1, 0.35, 0.75}, 10: {-1, 0.50, 0.80}, 11: {0.20, 0.65, 0.85}, 12: {0.35, 0.80, 0.90},
	13: {0.50, 0.85, 0.90}, 14: {0.75, 0.90, 0.95}, 15: {0.85, 0.90, 0.95}, 16: {0.95, 0.95, 0.95},
}

// notSet is the efficiency taken where the standard sets no minimum: 5 %, as such filters catch little there. Judgement.
const notSet = 0.05

// MERVMinimum returns the minimum efficiency of a class in the range 1, 2 or 3 (0.3 to 1, 1 to 3, 3 to 10 µm), and
// false where the standard sets none. Source [S-364], edition 2017.
func MERVMinimum(class, e int) (unit.Fraction, bool) {
	row, ok := mervRow[class]
	if !ok || e < 1 || e > 3 || row[e-1] < 0 {
		return 0, false
	}
	return unit.Fraction(row[e-1]), true
}

// OfMERV returns a filter of a MERV class, 1 to 16. The class is a minimum, and a loose frame or a lost charge undoes
// part of it: odds of passing 0.4 to 2.5. Source [S-364].
func OfMERV(class int) (Filter, error) {
	row, ok := mervRow[class]
	if !ok {
		return Unknown(), fmt.Errorf("MERV %d is no class: they run from 1 to 16", class)
	}
	for i := range row {
		if row[i] < 0 {
			row[i] = math.Min(notSet, row[2])
		}
	}
	return Filter{
		Name: "MERV " + strconv.Itoa(class), Family: MERV, Source: "S-364", low: 0.4, high: 2.5,
		steps: []step{{1 * Micrometre, 1 - row[0]}, {3 * Micrometre, 1 - row[1]}, {10 * Micrometre, 1 - row[2]}},
	}, nil
}

// OfEPM returns a filter that removes a part of ePM1, ePM2.5 or ePM10 (top 1, 2.5 or 10), by the shape of a MERV 13,
// scaled until the mean over 0.3 µm to the top, even in the logarithm, is that part. Odds 0.5 to 2. Source [S-367].
func OfEPM(top float64, removed unit.Fraction) (Filter, error) {
	if top != 1 && top != 2.5 && top != 10 {
		return Unknown(), fmt.Errorf("ePM%g is no group: they are ePM1, ePM2.5 and ePM10", top)
	}
	if !(removed > 0 && removed < 1) {
		return Unknown(), fmt.Errorf("ePM%g %g %% is no efficiency", top, 100*float64(removed))
	}
	edges, shape := []float64{0.3, 1, 3, 10}, []float64{-math.Log(0.5), -math.Log(0.15), -math.Log(0.10)}
	mean := func(a float64) float64 {
		sum := 0.0
		for i, s := range shape {
			if to := math.Min(edges[i+1], top); to > edges[i] {
				sum += math.Log(to/edges[i]) * -math.Expm1(-a*s)
			}
		}
		return sum / math.Log(top/0.3)
	}
	lo, hi := 0.0, 50.0
	for range 80 {
		if mid := (lo + hi) / 2; mean(mid) < float64(removed) {
			lo = mid
		} else {
			hi = mid
		}
	}
	f := Filter{Name: fmt.Sprintf("ePM%g %.0f %%", top, 100*float64(removed)), Family: EPM, Source: "S-367", low: 0.5, high: 2}
	for i, s := range shape {
		f.steps = append(f.steps, step{unit.Metre(edges[i+1]) * Micrometre, math.Exp(-lo * s)})
	}
	return f, nil
}

// highGrade holds the overall efficiency at the worst size. Source [S-368], from memory but for the US definition.
var highGrade = map[string]float64{
	"E10": 0.85, "E11": 0.95, "E12": 0.995, "H13": 0.9995, "H14": 0.99995, "U15": 0.999995, "HEPA 99.97": 0.9997,
}

// OfHighGrade returns a filter of an EN 1822 class (E10 to U15). The medium is tested; in a shop the frame's seal
// decides: odds of passing 0.3 to 10. Source [S-368].
func OfHighGrade(class string) (Filter, error) {
	e, ok := highGrade[class]
	if !ok {
		return Unknown(), fmt.Errorf("%s is no class: E10 to E12, H13, H14, U15", class)
	}
	return Filter{
		Name: class, Family: HighGrade, Source: "S-368", low: 0.3, high: 10,
		steps: []step{{1 * Micrometre, 1 - e}},
	}, nil
}

// OfHighClaim returns a filter that is called HEPA without a class: 0.3 % passes (0.03 to 5), mostly past its seal.
// Judgement [S-365].
func OfHighClaim() Filter {
	return Filter{Name: "HEPA claimed", Family: HighClaim, Source: "S-365", low: 0.1, high: 17, steps: []step{{1 * Micrometre, 0.003}}}
}

// vacuumClass holds what the whole vacuum may pass of its test dust. Source [S-369].
var vacuumClass = map[string]float64{"L": 0.01, "M": 0.001, "H": 0.00005}

// OfVacuumClass returns a sealed vacuum of class L, M or H. Seals age: odds 0.3 to 5. Source [S-369].
func OfVacuumClass(class string) (Filter, error) {
	p, ok := vacuumClass[class]
	if !ok {
		return Unknown(), fmt.Errorf("%s is no class of vacuum: L, M or H", class)
	}
	return Filter{Name: "class " + class, Family: VacuumClass, Source: "S-369", low: 0.3, high: 5, steps: []step{{2 * Micrometre, p}}}, nil
}

// OfClaim returns a cloth or paper sold by a size alone. The claim is nominal: no efficiency is stated with it, so it
// is read as 90 % at that size and the odds of passing are good to a factor of five either way. Source [S-365].
func OfClaim(size unit.Metre) (Filter, error) {
	if !(size > 0 && size <= 200*Micrometre) {
		return Unknown(), fmt.Errorf("%g µm is no size of a filter", float64(size/Micrometre))
	}
	return Filter{
		Name: fmt.Sprintf("%g µm claimed", float64(size/Micrometre)), Family: MicronClaim, Source: "S-365",
		claim: size, low: 0.2, high: 5, fabric: true,
	}, nil
}

// OfStated returns a filter with an efficiency at a size. Odds 0.5 to 5, as nobody certified it. Source [S-365].
func OfStated(keeps unit.Fraction, at unit.Metre) (Filter, error) {
	if !(keeps > 0 && keeps < 1 && at > 0) {
		return Unknown(), fmt.Errorf("%g %% at %g µm is no efficiency", 100*float64(keeps), float64(at/Micrometre))
	}
	return Filter{
		Name: fmt.Sprintf("%g %% at %g µm", 100*float64(keeps), float64(at/Micrometre)), Family: Stated, Source: "S-365",
		low: 0.5, high: 5, steps: []step{{max(at, Micrometre), 1 - float64(keeps)}},
	}, nil
}

// Unknown returns a filter of which nothing is said: a cloth of about 5 µm, odds good to a factor of ten. It is what a
// plain shop vacuum and an old bag have, and it returns the finest dust. Common practice, no source.
func Unknown() Filter {
	return Filter{Name: "unknown", Family: UnknownGrade, Source: "common practice", claim: 5 * Micrometre, low: 0.1, high: 10, fabric: true}
}

// None returns no filter: everything passes.
func None() Filter { return Filter{Name: "none", Family: NoFilter, Source: "definition"} }

// europeanOld maps the classes of EN 779 to the ISO group and share usually taken for them. From memory [S-367].
var europeanOld = map[string]struct{ top, removed float64 }{
	"M5": {10, 0.50}, "M6": {2.5, 0.50}, "F7": {1, 0.50}, "F8": {1, 0.70}, "F9": {1, 0.80},
}

// ParseGrade reads a grade as it is written in a shop file: `MERV 13`, `ePM1 55 %`, `HEPA H13`, `HEPA claimed`,
// `class M` or `M`, `1 µm claimed`, `99.97 % at 0.3 µm`, `F7`, `none`; empty is Unknown. The error says what would do.
func ParseGrade(text string) (Filter, error) {
	t := strings.ToUpper(strings.TrimSpace(text))
	t = strings.NewReplacer("Μ", "µ", "Μ", "µ", "MICRONS", "µM", "MICRON", "µM", "UM", "µM", ",", ".").Replace(t)
	t = strings.ReplaceAll(strings.ReplaceAll(t, "µM", " µM "), "%", " % ")
	words := strings.Fields(t)
	if len(words) == 0 || t == "UNKNOWN" {
		return Unknown(), nil
	}
	if t == "NONE" {
		return None(), nil
	}
	for i, w := range words {
		if f, ok, err := gradeAt(words, i, w); ok {
			return f, err
		}
	}
	if t == "HEPA" || strings.HasPrefix(t, "HEPA ") {
		return OfHighClaim(), nil
	}
	if size, ok := sizeIn(words); ok {
		if keeps, stated := shareIn(words); stated {
			return OfStated(keeps, size)
		}
		return OfClaim(size)
	}
	return Unknown(), fmt.Errorf("%s is no grade known here: write MERV 13, ePM1 55 %%, HEPA H13, class M, or 1 µm claimed", strings.TrimSpace(text))
}

// gradeAt looks for the word that names a tested class.
func gradeAt(words []string, i int, w string) (Filter, bool, error) {
	next := ""
	if i+1 < len(words) {
		next = words[i+1]
	}
	if w == "MERV" || strings.HasPrefix(w, "MERV") {
		n, err := strconv.Atoi(strings.TrimPrefix(strings.TrimPrefix(w, "MERV"), "-") + map[bool]string{true: next}[w == "MERV"])
		if err != nil {
			return Unknown(), true, fmt.Errorf("MERV needs its class, such as MERV 13")
		}
		f, err := OfMERV(n)
		return f, true, err
	}
	if strings.HasPrefix(w, "EPM") {
		top, err := strconv.ParseFloat(strings.TrimPrefix(w, "EPM"), 64)
		share, ok := shareIn(words)
		if err != nil || !ok {
			return Unknown(), true, fmt.Errorf("an ePM grade needs its group and its share, such as ePM1 55 %%")
		}
		f, err := OfEPM(top, share)
		return f, true, err
	}
	if _, ok := highGrade[w]; ok {
		f, err := OfHighGrade(w)
		return f, true, err
	}
	if _, ok := vacuumClass[w]; ok && (len(words) == 1 || i > 0 && words[i-1] == "CLASS" || next == "CLASS") {
		f, err := OfVacuumClass(w)
		return f, true, err
	}
	if o, ok := europeanOld[w]; ok {
		f, err := OfEPM(o.top, unit.Fraction(o.removed))
		return f, true, err
	}
	return Filter{}, false, nil
}

func sizeIn(words []string) (unit.Metre, bool) {
	for i, w := range words {
		if w == "µM" && i > 0 {
			if x, err := strconv.ParseFloat(words[i-1], 64); err == nil {
				return unit.Metre(x) * Micrometre, true
			}
		}
	}
	return 0, false
}

func shareIn(words []string) (unit.Fraction, bool) {
	for i, w := range words {
		if w == "%" && i > 0 {
			if x, err := strconv.ParseFloat(words[i-1], 64); err == nil {
				return unit.Fraction(x / 100), true
			}
		}
	}
	return 0, false
}

// InRow returns what filters in a row keep of a size: each gets what the one before lets through,
//
//	E = 1 - Π(1 - E_i)   [-]
//
// Leaves out that the first changes the sizes the next is graded for within a bin.
func InRow(filters []Filter, d unit.Metre, s State) unit.Fraction {
	pass := 1.0
	for _, f := range filters {
		pass *= Passing(f.Odds(d, s))
	}
	return unit.Fraction(1 - pass)
}
