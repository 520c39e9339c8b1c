package duct

import (
	"fmt"
	"math"

	"winnow/internal/physics/air"
	"winnow/internal/unit"
)

// Gate loss by open height over bore, K on the pipe's velocity pressure. Source [S-091]; fully open taken from Open below.
var (
	gateHeight = []float64{0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9}
	gateLoss   = []float64{35, 10, 4.6, 2.06, 0.98, 0.44, 0.17, 0.06}
)

// OpenGate returns a slide gate pulled right out: 0.1 (0 to 0.2) velocity pressures for its groove. Source [S-092].
func OpenGate() Coefficient {
	return Coefficient{K: 0.1, Low: 0, High: 0.2, Basis: unit.Assumed, Source: srcGateOpen, What: "gate, open"}
}

// Gate returns a slide gate by its open height over the bore, 0.05 to 1, on the pipe's velocity pressure; a shut gate is not a loss
// but a leak, see GateLeak, and a smaller opening is an *air.RangeError. Straight in log K between the printed openings, carried on
// in log-log below the smallest; from 0.8 up the table runs into what an open gate costs. A gate half shut by height costs about two
// velocity pressures: it does not halve the flow. Range ±25 %. Source [S-091], from memory.
func Gate(openHeight unit.Fraction) (Coefficient, error) {
	h := float64(openHeight)
	if err := air.Check("open height of the gate over the bore", h, 0.05, 1, ""); err != nil {
		return Coefficient{}, err
	}
	open := OpenGate()
	if h == 1 {
		return open, nil
	}
	k := gateTable(h)
	c := tableCoefficient(k, srcGate, fmt.Sprintf("gate, %.0f %% of its height open", 100*h))
	if k < open.K { // the groove is there however little the blade still costs
		c.K, c.High = open.K, open.High
	}
	return c, nil
}

// gateTable returns the printed loss, between and below the printed openings.
func gateTable(h float64) float64 {
	if h >= 0.9 {
		return gateLoss[len(gateLoss)-1] * (1 - h) / 0.1
	}
	if h < gateHeight[0] {
		slope := math.Log(gateLoss[0]/gateLoss[1]) / math.Log(gateHeight[0]/gateHeight[1])
		return gateLoss[0] * math.Pow(h/gateHeight[0], slope)
	}
	logs := make([]float64, len(gateLoss))
	for i, k := range gateLoss {
		logs[i] = math.Log(k)
	}
	return math.Exp(lerpTable(gateHeight, logs, h))
}

// GateLeak returns what a shut slide gate lets in: CdA 0.6 (0.2 to 2) cm² at 4 in, in proportion to the bore (the gap runs along
// the rim). 20 to 400 mm, else an *air.RangeError. Judgement; half of it shared by all gates of a make. Source [S-066].
func GateLeak(bore unit.Metre) (Leak, error) {
	if err := air.Check("bore", float64(bore), 0.020, 0.400, "m"); err != nil {
		return Leak{}, err
	}
	return Leak{
		CdA: unit.M2(0.6e-4 * float64(bore) / 0.1016), N: 0.5, Low: 1.0 / 3, High: 10.0 / 3, Basis: unit.Assumed,
		Source: srcGateLeak, What: "shut gate",
	}, nil
}

// Seal is how well the joints of a pipe are sealed, in the classes of the leakage manual.
type Seal int

// Classes of sealing, worst first. The figures are for round metal duct, cfm per 100 ft² at 1 inH2O.
const (
	Unsealed Seal = iota // 30: no class is printed for round duct; the manual's unsealed flexible duct
	SealC                // 12
	SealB                // 6
	SealA                // 3
)

var leakageClass = map[Seal]float64{Unsealed: 30, SealC: 12, SealB: 6, SealA: 3}

// RectangularClass holds the manual's classes of rectangular duct: they leak twice as much. Source [S-067].
var RectangularClass = map[Seal]float64{Unsealed: 48, SealC: 24, SealB: 12, SealA: 6}

// SeamExponent is the exponent of a row of seams, Q = C·Δp^0.65. Source [S-067].
const SeamExponent = 0.65

// classToSI is C in m³/(s m²) at 1 Pa for class 1 (1 cfm per 100 ft² at 1 inH2O).
var classToSI = 0.47194745e-3 / 9.290304 / math.Pow(249.089, SeamExponent)

// Seams returns the leak of a pipe's joints from its surface, Q = C·Δp^0.65 with C by class. Range half to double. surface 0 to
// 1000 m², else an *air.RangeError. The unsealed class is the manual's for flexible duct, none being printed for round metal:
// assumed. Source [S-067].
func Seams(seal Seal, surface unit.M2) (Leak, error) {
	class, ok := leakageClass[seal]
	if !ok {
		panic(fmt.Sprintf("duct: seal class %d does not exist", seal))
	}
	return SeamsOfClass(class, surface)
}

// SeamsOfClass returns the same for a leakage class in US units, cfm per 100 ft² at 1 inH2O; 0 to 100. Source [S-067].
func SeamsOfClass(class float64, surface unit.M2) (Leak, error) {
	if err := air.Check("surface", float64(surface), 0, 1000, "m²"); err != nil {
		return Leak{}, err
	}
	if err := air.Check("leakage class", class, 0, 100, ""); err != nil {
		return Leak{}, err
	}
	return Leak{
		C: classToSI * class * float64(surface), N: SeamExponent, Low: 0.5, High: 2, Basis: unit.Assumed, Source: srcSeams,
		What: fmt.Sprintf("seams, leakage class %.3g", class),
	}, nil
}

// LeakageClass returns C per surface, m³/(s m²) at 1 Pa^0.65, that loses a share of the fan's flow at a pressure,
//
//	C = share·(Q/A)/Δp^0.65
//
// Source [S-067] (the duct handbook's equation 37).
func LeakageClass(share unit.Fraction, flowPerSurface unit.MPerSec, p unit.Pascal) float64 {
	return float64(share) * float64(flowPerSurface) / math.Pow(float64(p), SeamExponent)
}

// Hole returns the leak of one sharp-edged hole, Cd 0.61 (0.55 to 0.75). opening 0 to 10 m², else an *air.RangeError. Source [S-068].
func Hole(opening unit.M2) (Leak, error) {
	if err := air.Check("opening", float64(opening), 0, 10, "m²"); err != nil {
		return Leak{}, err
	}
	return Leak{
		CdA: 0.61 * opening, N: 0.5, Low: 0.9, High: 1.23, Basis: unit.Assumed, Source: srcHole,
		What: fmt.Sprintf("hole, %.2g cm²", 1e4*float64(opening)),
	}, nil
}

// Flow returns what passes at a pressure difference, with its sign: CdA·√(2Δp/ρ) for a hole, C·Δp^N for seams. Source [S-067], [S-068].
func (l Leak) Flow(p unit.Pascal, density unit.KgPerM3) unit.M3PerSec {
	x := math.Abs(float64(p))
	q := float64(l.CdA) * math.Sqrt(2*x/float64(density))
	if l.C > 0 {
		q += l.C * math.Pow(x, l.N)
	}
	return unit.M3PerSec(math.Copysign(q, float64(p)))
}
