package duct

import (
	"fmt"
	"math"

	"winnow/internal/physics/air"
	"winnow/internal/unit"
)

// Kind is what a pipe or a hose is made of, in the shop file's words.
type Kind string

// Kinds of pipe and hose.
const (
	SpiralSteel Kind = "spiral steel"
	SeamSteel   Kind = "snap-lock pipe" // round sheet steel with a lengthwise seam
	SmoothSteel Kind = "welded steel"
	Aluminium   Kind = "aluminium pipe"
	ThinSewer   Kind = "thin sewer pipe" // ASTM D2729
	SewerPipe   Kind = "sewer pipe"      // ASTM D3034 SDR 35
	Schedule40  Kind = "schedule 40 pipe"
	DrainPipe   Kind = "drain pipe"      // EN 1401, below ground
	IndoorDrain Kind = "indoor drain"    // EN 1451
	SmoothHose  Kind = "smooth hose"     // the wire lies in the wall, the bore is smooth
	HelixHose   Kind = "wire-helix hose" // small ribs; the ordinary dust hose
	RibbedHose  Kind = "ribbed hose"     // deep ribs to be felt, or a hose that lies slack
	FilmDuct    Kind = "flexible duct"   // house-ventilation duct of film over a wire
)

// IsHose says whether the kind is a hose: it has a friction factor of its own instead of a roughness, and it can bend.
func (k Kind) IsHose() bool {
	return k == SmoothHose || k == HelixHose || k == RibbedHose || k == FilmDuct
}

// Wall is the inside of a pipe or hose, as friction needs it. A pipe has a Roughness and Darcy is zero; a hose has a constant
// Darcy factor *per installed length* and its Roughness is the one that factor was reckoned from (for the sheet only).
type Wall struct {
	Kind      Kind
	Bore      unit.Metre
	Roughness unit.Amount[unit.Metre]
	Darcy     unit.Amount[unit.Number]
	What      string
}

// roughness by kind: Best is the figure recommended for hand work, Low and High what was measured or printed.
// Source [S-078] all but the plastics' assignment.
var roughness = map[Kind][3]float64{ // low, best, high; metres
	SpiralSteel: {0.061e-3, 0.09e-3, 0.12e-3},
	SeamSteel:   {0.049e-3, 0.09e-3, 0.15e-3},
	SmoothSteel: {0.046e-3, 0.046e-3, 0.06e-3},
	Aluminium:   {0.037e-3, 0.046e-3, 0.061e-3},
	ThinSewer:   {0.009e-3, 0.046e-3, 0.046e-3},
	SewerPipe:   {0.009e-3, 0.046e-3, 0.046e-3},
	Schedule40:  {0.009e-3, 0.046e-3, 0.046e-3},
	DrainPipe:   {0.009e-3, 0.046e-3, 0.046e-3},
	IndoorDrain: {0.009e-3, 0.046e-3, 0.046e-3},
}

// The conventions of galvanised duct that published numbers come with: up to 12 % apart. They are here to reproduce such numbers.
const (
	RoughnessSmooth   unit.Metre = 0.46e-6 // drawn tubing, "smooth". Source [S-078]
	RoughnessHandbook unit.Metre = 0.09e-3 // the duct handbook since 1985 (0.0003 ft). Source [S-078]
	RoughnessSpiral12 unit.Metre = 0.12e-3 // its worked example of spiral duct at altitude. Source [S-078]
	RoughnessOldChart unit.Metre = 0.15e-3 // the older friction chart (0.0005 ft). Source [S-078]
	RoughnessFilmDuct unit.Metre = 0.9e-3  // house-ventilation duct, fully extended. Source [S-078]
)

// hoseBand is the relative roughness of a dust hose pulled straight, and the factors on its Darcy factor. Source [S-079].
var hoseBand = map[Kind]struct{ relative, low, high float64 }{
	SmoothHose: {relSmoothHose, 0.75, 1.5},  // smooth pipe to 1.8 x smooth pipe
	HelixHose:  {relHelixHose, 0.47, 1.83},  // the whole band, until it has been measured
	RibbedHose: {relConvoluted, 0.55, 1.45}, // helix hose to corrugated drain of the roughest n
}

const (
	relSmoothHose = 0.001
	relHelixHose  = 0.017
	relConvoluted = 0.070
	hoseSpeed     = 20.0 // m/s, at which the band is stated
)

// WallOf returns the inside of a straight pipe, or of a hose pulled straight, of a kind and a true bore.
//
// Pipes: roughness by kind, Source [S-078]. Dust hoses: a constant Darcy factor, Colebrook's at the band's relative roughness,
// 20 m/s and 20 °C, per installed length, Source [S-079]; the band is derived, not measured. Film duct: 0.9 mm. Bore 20 to 500 mm,
// else an *air.RangeError; an unknown kind is an *UnknownError. Leaves out dents, seams standing inward, chips lying in the pipe.
func WallOf(kind Kind, bore unit.Metre) (Wall, error) {
	if err := air.Check("bore", float64(bore), 0.020, 0.500, "m"); err != nil {
		return Wall{}, err
	}
	if r, ok := roughness[kind]; ok {
		return Wall{
			Kind: kind, Bore: bore, What: string(kind),
			Roughness: amount(r[1], r[0], r[2], srcRoughness),
		}, nil
	}
	if kind == FilmDuct {
		return hoseWall(kind, bore, float64(RoughnessFilmDuct/bore), 0.55, 1.25, srcRoughness)
	}
	if b, ok := hoseBand[kind]; ok {
		return hoseWall(kind, bore, b.relative, b.low, b.high, srcHoseBand)
	}
	return Wall{}, &UnknownError{What: "kind of pipe or hose", Given: string(kind), Known: kinds()}
}

// hoseWall builds the wall of a hose from its relative roughness; low and high are factors on the Darcy factor.
func hoseWall(kind Kind, bore unit.Metre, relative, low, high float64, src string) (Wall, error) {
	s := air.Standard()
	f, err := FrictionFactor(s.Reynolds(hoseSpeed, bore), relative)
	if err != nil {
		return Wall{}, err
	}
	return Wall{
		Kind: kind, Bore: bore, What: string(kind) + ", pulled straight",
		Roughness: unit.Amount[unit.Metre]{
			Best: unit.Metre(relative) * bore, Low: unit.Metre(relative) * bore, High: unit.Metre(relative) * bore,
			Basis: unit.Assumed, Source: src,
		},
		Darcy: unit.Amount[unit.Number]{
			Best: unit.Number(f), Low: unit.Number(f * low), High: unit.Number(f * high), Basis: unit.Assumed, Source: src,
		},
	}, nil
}

// Slack returns the wall of a hose that is not pulled straight: stretch is its installed length over its length fully extended.
//
// Dust hose: no compression data exist for it, and house-duct data must not be used for it. A hose pulled to 100 % keeps its kind's
// factor; at 90 % and less it counts as the high end of the band ("deep convolutions or a few percent slack"), in between the
// logarithm goes straight. Judgement, Source [S-079]. Film duct: the measured multiplier of Compression. stretch 0.2 to 1, else an
// *air.RangeError. A pipe is returned unchanged.
func (w Wall) Slack(stretch unit.Fraction) (Wall, error) {
	if err := air.Check("stretch of the hose", float64(stretch), 0.2, 1, ""); err != nil {
		return Wall{}, err
	}
	if !w.Kind.IsHose() || stretch == 1 {
		return w, nil
	}
	slack := 1 - float64(stretch)
	w.What = fmt.Sprintf("%s, pulled to %.0f %%", w.Kind, 100*float64(stretch))
	if w.Kind == FilmDuct {
		m, err := Compression(w.Bore, slack)
		if err != nil {
			return Wall{}, err
		}
		w.Darcy = unit.Amount[unit.Number]{
			Best: w.Darcy.Best * unit.Number(m.K), Low: w.Darcy.Low * unit.Number(m.Low), High: w.Darcy.High * unit.Number(m.High),
			Basis: unit.Assumed, Source: m.Source,
		}
		return w, nil
	}
	limp, err := WallOf(RibbedHose, w.Bore)
	if err != nil {
		return Wall{}, err
	}
	part := unit.Number(math.Min(1, slack/0.10))
	w.Darcy.Best = mix(w.Darcy.Best, limp.Darcy.Best, part)
	w.Darcy.High = mix(w.Darcy.High, max(limp.Darcy.High, w.Darcy.High), part)
	return w, nil // Low stays: it may be a hose that does not mind
}

// mix goes straight in the logarithm from a to b.
func mix(a, b, part unit.Number) unit.Number {
	return unit.Number(math.Exp(math.Log(float64(a)) + float64(part)*math.Log(float64(b/a))))
}

// Compression returns the factor on the fully extended friction (0.9 mm roughness) of house-ventilation film duct, per installed
// length,
//
//	1 + 0.58·Kc·exp(-0.00496·D)      Kc = 100·slack in %, D in mm
//
// Measured on 6, 8 and 10 in duct to 30 % slack; a bore under 150 mm is extrapolation and widens the range. slack 0 to 0.45, else
// an *air.RangeError. It is not for dust hose: see Wall.Slack. It falls with the bore. Source [S-080].
func Compression(bore unit.Metre, slack float64) (Coefficient, error) {
	if err := air.Check("slack of the duct", slack, 0, 0.45, ""); err != nil {
		return Coefficient{}, err
	}
	if err := air.Check("bore", float64(bore), 0.050, 0.500, "m"); err != nil {
		return Coefficient{}, err
	}
	rise := 0.58 * 100 * slack * math.Exp(-0.00496*1000*float64(bore))
	doubt := 0.25
	what := "compressed film duct"
	if bore < 0.150 {
		doubt, what = 0.5, "compressed film duct, smaller than any tested"
	}
	return Coefficient{
		K: 1 + rise, Low: 1 + rise*(1-doubt), High: 1 + rise*(1+doubt), Basis: unit.Assumed, Source: srcCompression, What: what,
	}, nil
}

func amount(best, low, high float64, src string) unit.Amount[unit.Metre] {
	return unit.Amount[unit.Metre]{
		Best: unit.Metre(best), Low: unit.Metre(low), High: unit.Metre(high), Basis: unit.Assumed, Source: src,
	}
}

// kinds lists what WallOf knows, for the error that offers them.
func kinds() []string {
	return []string{
		string(SpiralSteel), string(SeamSteel), string(SmoothSteel), string(Aluminium), string(ThinSewer), string(SewerPipe),
		string(Schedule40), string(DrainPipe), string(IndoorDrain), string(SmoothHose), string(HelixHose), string(RibbedHose),
		string(FilmDuct),
	}
}
