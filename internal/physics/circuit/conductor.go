package circuit

import (
	"math"

	"winnow/internal/unit"
)

// Edition is the age of the US rules: the 60 °C column for small copper changed between 2008 and 2011.
type Edition uint8

// The two ages.
const (
	NEC2011 Edition = iota // 2011 and later
	NEC2008                // 2008 and earlier
)

// Insulation is the temperature a conductor's insulation, and the terminals it ends in, stand.
type Insulation uint8

// The columns of the table. Up to 100 A and terminals not marked for 75 °C, the 60 °C column counts [S-306, memory].
const (
	At60 Insulation = iota
	At75
	At90
)

// Make is how a conductor is made.
type Make uint8

// Fixed wire is solid or of few strands, cord of many.
const (
	Solid Make = iota
	Stranded
)

var (
	awgRows = rows(awgText)
	mm2Rows = rows(mm2Text)
)

// Conductor is a copper conductor of a trade size.
type Conductor struct {
	Area   unit.Wire // metal cross-section
	Metric bool      // sold by mm², and judged by the IEC tables
	row    row
}

// Size finds the trade size of a conductor: by gauge or by area, whichever standard size it is within 2 % of; where it
// is none, the next smaller one of the family named (metric or gauge), as nothing bigger can be promised. ok is false
// below the smallest size of the tables (18 AWG, 0.75 mm²). Above 8 AWG and 6 mm² the biggest row is taken, which is
// on the safe side. Source [S-306], [S-307].
func Size(w unit.Wire, metric bool) (Conductor, bool) {
	for _, family := range [2]bool{metric, !metric} {
		for _, c := range sizes(family) {
			if math.Abs(float64(w/c.Area)-1) < 0.02 {
				return c, true
			}
		}
	}
	best, ok := Conductor{}, false
	for _, c := range sizes(metric) {
		if c.Area <= w*1.001 && c.Area > best.Area {
			best, ok = c, true
		}
	}
	return best, ok
}

// Gauge is the conductor of this AWG number.
func Gauge(n int) (Conductor, bool) {
	for _, c := range awgSizes {
		if cell(c.row.label) == float64(n) {
			return c, true
		}
	}
	return Conductor{}, false
}

// Square is the conductor of this many mm².
func Square(mm2 float64) (Conductor, bool) {
	for _, c := range mm2Sizes {
		if cell(c.row.label) == mm2 {
			return c, true
		}
	}
	return Conductor{}, false
}

// Name is the size as it is written on the reel.
func (c Conductor) Name() string {
	if c.Metric {
		return c.row.label + " mm²"
	}
	return c.row.label + " AWG"
}

var awgSizes, mm2Sizes = func() (awg, metric []Conductor) {
	for _, r := range awgRows {
		n := cell(r.label)
		d := 0.127e-3 * math.Pow(92, (36-n)/39) // ASTM B258 [S-315]
		awg = append(awg, Conductor{Area: unit.Wire(math.Pi / 4 * d * d), row: r})
	}
	for _, r := range mm2Rows {
		metric = append(metric, Conductor{Area: unit.Wire(cell(r.label) * 1e-6), Metric: true, row: r})
	}
	return awg, metric
}()

func sizes(metric bool) []Conductor {
	if metric {
		return mm2Sizes
	}
	return awgSizes
}

// CircularMils is the area as the US tables write it; 0 where the row has none.
func (c Conductor) CircularMils() float64 {
	if c.Metric {
		return 0
	}
	x, _ := c.row.column(0)
	return x
}

// Temperature coefficients of copper: 0.00323/K at 75 °C (NEC Chapter 9, note to Table 8 [S-306, memory]) and 0.00393/K
// at 20 °C (NBS Handbook 100 [S-315]).
const (
	alpha75 = 0.00323
	alpha20 = 0.00393
)

// Resistance is that of one metre of the conductor, one way, direct current, at a conductor temperature of 0 to 90 °C:
//
//	gauge  R = R75·[1 + 0.00323·(t - 75)]      table: NEC Chapter 9 Table 8
//	mm²    R = R20·[1 + 0.00393·(t - 20)]      table: IEC 60228, most allowed
//
// For 17 AWG, not in Table 8, that of 18 AWG. Uncoated copper; leaves out reactance (nothing at these sizes), joints
// and plug contacts. Source [S-306], [S-307].
func (c Conductor) Resistance(m Make, celsius float64) OhmPerM {
	if c.Metric {
		x, _ := c.row.column(int(m))
		return OhmPerM(x / 1000 * (1 + alpha20*(celsius-20)))
	}
	x, ok := c.row.column(1 + int(m))
	if !ok {
		x, _ = awgRows[0].column(1 + int(m))
	}
	return OhmPerM(x / 1000 * (1 + alpha75*(celsius-75)))
}

// CopperResistance is that of one metre of solid annealed copper from first principles: ρ20·[1 + 0.00393·(t - 20)]/A with
// ρ20 = 17.241 nΩ·m (10.371 Ω·cmil/ft). It is the independent check of the table. Source [S-315].
func CopperResistance(area unit.Wire, celsius float64) OhmPerM {
	return OhmPerM(1.7241e-8 * (1 + alpha20*(celsius-20)) / float64(area))
}

// ToTwenty is the factor that takes a resistance measured at t to 20 °C: 1/(1 + 0.004·(t - 20)), IEC 60228. Source [S-307].
func ToTwenty(celsius float64) float64 { return 1 / (1 + 0.004*(celsius-20)) }

// Ampacity is what building wire by gauge may carry at 30 °C with not more than three current-carrying conductors, by
// edition. ok is false below 14 AWG and for metric sizes. Derating for heat, bundles and insulation around the cable
// is left out. Source [S-306].
func (c Conductor) Ampacity(in Insulation, e Edition) (unit.Ampere, bool) {
	if c.Metric {
		return 0, false
	}
	i := map[Insulation]int{At60: 3, At75: 5, At90: 6}[in]
	if in == At60 && e == NEC2008 {
		i = 4
	}
	x, ok := c.row.column(i)
	return unit.Ampere(x), ok
}

// Laid is how metric cable is laid.
type Laid uint8

// Three of the reference methods of IEC 60364-5-52.
const (
	InInsulation Laid = iota // A2: in a pipe in a thermally insulating wall
	InPipe                   // B2: in a pipe on a wall
	Clipped                  // C: clipped to a surface
)

// AmpacityLaid is what metric fixed wire may carry, two loaded conductors, PVC, 30 °C, by how it is laid. ok is false
// for gauge sizes and below 1 mm². Recalled: low trust. Source [S-307, memory].
func (c Conductor) AmpacityLaid(l Laid) (unit.Ampere, bool) {
	if !c.Metric {
		return 0, false
	}
	x, ok := c.row.column(2 + int(l))
	return unit.Ampere(x), ok
}

// CordAmpacity is what a flexible cord of this size may carry at 30 °C, hard or junior-hard service, by how many of its
// conductors carry current: two in a grounded cord on a single-phase tool, three in a three-phase one. Coiled up it carries
// far less. Metric: two conductors only. Source [S-306], [S-307].
func (c Conductor) CordAmpacity(carrying int) (unit.Ampere, bool) {
	if c.Metric {
		x, ok := c.row.column(5)
		return unit.Ampere(x), ok && carrying <= 2
	}
	i := 7
	if carrying > 2 {
		i = 8
	}
	x, ok := c.row.column(i)
	return unit.Ampere(x), ok
}

// MostBreaker is the biggest breaker allowed on copper of this gauge in a general circuit, even where the ampacity reads
// higher: 14 AWG 15 A, 12 AWG 20 A, 10 AWG 30 A. A dedicated motor circuit may follow the motor rules instead; a
// circuit with outlets never. ok is false for other sizes. Source [S-316].
func (c Conductor) MostBreaker() (unit.Ampere, bool) {
	if c.Metric {
		return 0, false
	}
	x, ok := c.row.column(9)
	return unit.Ampere(x), ok
}

// Trust is how far the row of this size may be relied on.
func (c Conductor) Trust() Trust { return c.row.trust }

// SmallestFor picks the smallest of the candidates whose resistance per metre is at most this, at that temperature.
func SmallestFor(most OhmPerM, m Make, celsius float64, among []Conductor) (Conductor, bool) {
	best, ok := Conductor{}, false
	for _, c := range among {
		if c.Resistance(m, celsius) <= most && (!ok || c.Area < best.Area) {
			best, ok = c, true
		}
	}
	return best, ok
}
