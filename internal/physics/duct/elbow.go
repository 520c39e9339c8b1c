package duct

import (
	"fmt"
	"math"

	"winnow/internal/physics/air"
	"winnow/internal/unit"
)

// Make is how a bend is made. The words are the shop file's.
type Make string

// The makes of elbow. Tables differ between them by a factor of three at one radius, so the make is never guessed silently:
// the caller that has none takes FourPiece and says "assumed".
const (
	Stamped     Make = "stamped"       // one smooth pressing
	FivePiece   Make = "5-piece"       // four joints
	FourPiece   Make = "4-piece"       // three joints; the adjustable elbow of the trade
	ThreePiece  Make = "3-piece"       // two joints
	Mitred      Make = "mitred"        // one joint, no vanes
	MitredVanes Make = "mitred, vanes" // one joint with turning vanes
	ShortSocket Make = "short plastic" // moulded socket elbow of drain pipe, short radius
	LongSocket  Make = "long plastic"  // moulded socket elbow, long radius ("sweep")
	OldManual   Make = "older tables"  // the one row for all round elbows that manuals printed before the 1990s
)

// AngleRule says how a bend that is not 90° follows from one that is. Two handbooks, two rules; one is half at 45°, the other not.
type AngleRule int

const (
	ExhaustManual  AngleRule = iota // K·θ/90: the rule that belongs to the elbow table used here, hence the default
	DuctHandbook                    // 0.60 at 45°, 0.78 at 60°
	angleRuleCount                  // keep last
)

// Bend describes one elbow.
type Bend struct {
	Make   Make
	Radius float64     // centreline radius over bore, R/D; 0: 1.5. Without meaning for mitred and plastic ones
	Angle  unit.Radian // how far it turns; 0 to 180°
	Rule   AngleRule
}

// elbow90 holds the loss of a 90° elbow by centreline radius, K on its own velocity pressure. Source [S-070]; the 4-piece value at
// 1.5 also in [S-071].
var elbow90 = map[Make]struct{ radius, k []float64 }{
	Stamped:    {[]float64{0.5, 0.75, 1, 1.5, 2, 2.5}, []float64{0.71, 0.33, 0.22, 0.15, 0.13, 0.12}},
	FivePiece:  {[]float64{0.75, 1, 1.5, 2, 2.5}, []float64{0.46, 0.33, 0.24, 0.19, 0.17}},
	FourPiece:  {[]float64{0.75, 1, 1.5, 2, 2.5}, []float64{0.50, 0.37, 0.27, 0.24, 0.23}},
	ThreePiece: {[]float64{0.5, 0.75, 1, 1.5, 2, 2.5}, []float64{0.90, 0.54, 0.42, 0.34, 0.33, 0.33}},
	OldManual:  {[]float64{1.25, 1.5, 1.75, 2, 2.25, 2.5, 2.75}, []float64{0.55, 0.39, 0.32, 0.27, 0.26, 0.22, 0.26}},
}

// flatElbow90 holds the makes whose loss is given without a radius. Source [S-070] mitred, [S-072] the others.
var flatElbow90 = map[Make]float64{Mitred: 1.2, MitredVanes: 0.2, ShortSocket: 0.9, LongSocket: 0.6}

// Angle tables, K over K at 90°.
var (
	mitreDegrees = []float64{0, 20, 30, 45, 60, 75, 90}
	mitreShare   = []float64{0, 0.07 / 1.2, 0.16 / 1.2, 0.34 / 1.2, 0.55 / 1.2, 0.81 / 1.2, 1} // Source [S-073]
	handDegrees  = []float64{0, 20, 30, 45, 60, 75, 90}
	handShare    = []float64{0, 0.31, 0.45, 0.60, 0.78, 0.90, 1} // Source [S-074]; 45° and 60° in the reference cases
)

// tableDoubt is the nine-in-ten doubt of a published fitting coefficient: ±20 % of its own and ±15 % of the table, together.
// Judgement. Source [S-075].
const tableDoubt = 0.25

// Elbow returns the loss of a bend on its own velocity pressure.
//
// Round elbows by make and R/D (Source [S-070], from memory but for the 4-piece 0.27), straight between the printed radii; mitred
// without vanes by angle from its own table (Source [S-073]), else by Rule. R/D from the smallest printed to 3 (flat beyond the
// last column), angle 0 to 180°, else an *air.RangeError; an unknown make is an *UnknownError. Leaves out: a second bend closer
// than 3 D, Reynolds number (+10 to 20 % below 5e4), chips. Range: table doubt ±25 %, widened to the other handbook's rule where
// the angle is not 90°; the plastic ones (pipe-fitting table) reach down to the smooth duct elbow of their radius.
func Elbow(b Bend) (Coefficient, error) {
	if err := air.Check("angle of the elbow", degrees(b.Angle), 0, 180, "°"); err != nil {
		return Coefficient{}, err
	}
	if b.Rule < 0 || b.Rule >= angleRuleCount {
		panic(fmt.Sprintf("duct: angle rule %d does not exist", b.Rule))
	}
	c, err := elbowAt90(b)
	if err != nil {
		return Coefficient{}, err
	}
	exhaust, handbook := angleShares(b)
	share := exhaust
	if b.Rule == DuctHandbook {
		share = handbook
	}
	c.K *= share
	c.Low *= math.Min(exhaust, handbook)
	c.High *= math.Max(exhaust, handbook)
	return c, nil
}

// elbowAt90 returns the 90° loss with its table doubt and its words.
func elbowAt90(b Bend) (Coefficient, error) {
	deg := degrees(b.Angle)
	if flat, ok := flatElbow90[b.Make]; ok {
		c := Coefficient{
			K: flat, Low: flat * (1 - tableDoubt), High: flat * (1 + tableDoubt), Basis: unit.Assumed,
			Source: srcPipeFittings, What: fmt.Sprintf("elbow %.0f°, %s", deg, b.Make),
		}
		switch b.Make {
		case Mitred:
			c.Source = srcMitre
		case ShortSocket:
			c.Low = 0.33 // a smooth duct elbow of R/D 0.75
		case LongSocket:
			c.Low = 0.15 // a smooth duct elbow of R/D 1.5
		}
		return c, nil
	}
	table, ok := elbow90[b.Make]
	if !ok {
		return Coefficient{}, &UnknownError{What: "make of elbow", Given: string(b.Make), Known: elbowMakes()}
	}
	r := b.Radius
	if r == 0 {
		r = 1.5
	}
	if err := air.Check("centreline radius of the elbow over its bore", r, table.radius[0], 3, ""); err != nil {
		return Coefficient{}, err
	}
	k := lerpTable(table.radius, table.k, r)
	src := srcElbows
	if b.Make == OldManual {
		src = srcOldElbows
	}
	return Coefficient{
		K: k, Low: k * (1 - tableDoubt), High: k * (1 + tableDoubt), Basis: unit.Assumed, Source: src,
		What: fmt.Sprintf("elbow %.0f°, R/D %.3g, %s", deg, r, b.Make),
	}, nil
}

// angleShares returns K(θ)/K(90°) by the exhaust manual's rule and by the duct handbook's. A mitred bend has one table for both.
func angleShares(b Bend) (exhaust, handbook float64) {
	deg := degrees(b.Angle)
	if b.Make == Mitred {
		s := lerpTable(mitreDegrees, mitreShare, deg)
		if deg > 90 {
			s = deg / 90
		}
		return s, s
	}
	exhaust = deg / 90
	handbook = exhaust
	if deg < 90 {
		handbook = lerpTable(handDegrees, handShare, deg)
	}
	return exhaust, handbook
}

// elbowMakes lists what Elbow knows, for the error that offers them.
func elbowMakes() []string {
	return []string{
		string(Stamped), string(FivePiece), string(FourPiece), string(ThreePiece), string(Mitred), string(MitredVanes),
		string(ShortSocket), string(LongSocket), string(OldManual),
	}
}

// UnknownError says that a word given by a person is none of those known.
type UnknownError struct {
	What, Given string
	Known       []string
}

// Error names the word and those that would do.
func (e *UnknownError) Error() string {
	return fmt.Sprintf("%s %q is unknown; known: %v", e.What, e.Given, e.Known)
}

// HoseBend returns the loss of bends in a hose, together angle: K 0.4 (0.2 to 0.8) for each 90° at R/D 2, in proportion to the
// angle. 0 to 1080°, else an *air.RangeError. Judgement: no published loss of a bent dust hose was found. Source [S-076].
func HoseBend(angle unit.Radian) (Coefficient, error) {
	deg := degrees(angle)
	if err := air.Check("bends of the hose", deg, 0, 1080, "°"); err != nil {
		return Coefficient{}, err
	}
	c := Coefficient{
		K: 0.4, Low: 0.2, High: 0.8, Basis: unit.Assumed, Source: srcHoseBend,
		What: fmt.Sprintf("bends of the hose, %.0f° together", deg),
	}
	return c.times(deg / 90), nil
}

// Kink returns the loss of a hose flattened so that the part open of its area is left, on the hose's own velocity pressure:
//
//	low   (1/σ - 1)²            a smooth throat, then a sudden widening
//	high  (1/(σ·Cc) - 1)²       a sharp one, Cc = 0.63 + 0.37·σ³
//	K     √(low·high)
//
// open 0.1 to 1, else an *air.RangeError. In words: slightly flat 0.8, half 0.5, pinched 0.3. The two bounds are momentum theory,
// the mean between them judgement. Source [S-077].
func Kink(open unit.Fraction) (Coefficient, error) {
	s := float64(open)
	if err := air.Check("open part of the kink", s, 0.1, 1, ""); err != nil {
		return Coefficient{}, err
	}
	cc := 0.63 + 0.37*s*s*s
	low, high := sq(1/s-1), sq(1/(s*cc)-1)
	return Coefficient{
		K: math.Sqrt(low * high), Low: low, High: high, Basis: unit.Assumed, Source: srcKink,
		What: fmt.Sprintf("kink, %.0f %% open", 100*s),
	}, nil
}

func sq(x float64) float64 { return x * x }
