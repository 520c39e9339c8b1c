package duct

import (
	"fmt"
	"math"

	"winnow/internal/physics/air"
	"winnow/internal/unit"
)

// Mouth is a place where room air enters a port. Tables and people speak of its *suction*, 1 + F velocity pressures: F is lost and
// the 1 gives the air its speed. A network link in total pressure takes F alone. The two are kept apart here so that the 1 is
// neither forgotten nor counted twice.
type Mouth struct {
	Suction Coefficient // static suction just inside over the port's velocity pressure: 1 + F
}

// Loss returns F, the total pressure lost: what a network link takes.
func (m Mouth) Loss() Coefficient {
	c := m.Suction
	c.K, c.Low, c.High = c.K-1, math.Max(0, c.Low-1), c.High-1
	return c
}

// CoefficientOfEntry returns the efficiency √(VP/SP) = 1/√(1+F) [-], at most 1. It is not a loss factor, whatever some texts call it.
func (m Mouth) CoefficientOfEntry() float64 { return 1 / math.Sqrt(m.Suction.K) }

// MouthOf returns the mouth that has the loss factor F.
func MouthOf(loss Coefficient) Mouth {
	loss.K, loss.Low, loss.High = loss.K+1, loss.Low+1, loss.High+1
	return Mouth{Suction: loss}
}

// MouthGiven returns the mouth whose suction, 1 included, the owner wrote in velocity pressures (`entry: 2.0` in the shop file).
// Below 1 there is no such mouth: an *air.RangeError, up to 50.
func MouthGiven(suction, low, high float64) (Mouth, error) {
	for _, k := range []float64{suction, low, high} {
		if err := air.Check("entry in velocity pressures", k, 1, 50, ""); err != nil {
			return Mouth{}, err
		}
	}
	return Mouth{Suction: Coefficient{K: suction, Low: low, High: high, Basis: unit.Given, Source: srcGiven, What: "machine port"}}, nil
}

// Port is a kind of machine mouth.
type Port string

// Kinds of machine mouth.
const (
	PlainPort   Port = "plain port"
	PlanerHood  Port = "planer hood" // jointers too
	SawCabinet  Port = "saw cabinet"
	BandSawCase Port = "band saw case" // lower case
	SmallGuard  Port = "guard"         // a guard or shroud with a small port
	MitreChute  Port = "mitre saw chute"
)

// machineSuction holds the suction over port velocity pressure, the 1 included: low, best, high. Judgement. Source [S-088].
var machineSuction = map[Port][3]float64{
	PlainPort:   {1.4, 1.5, 1.9},
	PlanerHood:  {1.5, 2.0, 2.9},
	SawCabinet:  {1.7, 2.5, 5},
	BandSawCase: {1.5, 2.0, 3.5},
	SmallGuard:  {2, 3, 5},
	MitreChute:  {2, 4, 8},
}

// MachineMouth returns the lumped mouth of a machine on its port's velocity pressure: hood, ways inside the machine, port. It says
// nothing about the air at the blade. Judgement, wide. An unknown kind is an *UnknownError. Source [S-088].
func MachineMouth(kind Port) (Mouth, error) {
	k, ok := machineSuction[kind]
	if !ok {
		return Mouth{}, &UnknownError{What: "kind of port", Given: string(kind), Known: []string{
			string(PlainPort), string(PlanerHood), string(SawCabinet), string(BandSawCase), string(SmallGuard), string(MitreChute),
		}}
	}
	return Mouth{Suction: Coefficient{
		K: k[1], Low: k[0], High: k[2], Basis: unit.Assumed, Source: srcMachine, What: string(kind),
	}}, nil
}

// Opening returns what the slots of a machine cost by which the air really enters, as a Leak-like resistance Δp = ρ/2·(Q/(0.62·A))².
// It comes before the port, whose own mouth is then a PlainPort. open is the free area, above 0 (else an *air.RangeError). Range of
// the discharge coefficient 0.55 to 0.75. Source [S-089].
func Opening(open unit.M2) (Leak, error) {
	if err := air.Check("opening", float64(open), 1e-6, 10, "m²"); err != nil {
		return Leak{}, err
	}
	return Leak{
		CdA: openingDischarge * open, N: 0.5, Low: 0.55 / openingDischarge, High: 0.75 / openingDischarge, Basis: unit.Assumed,
		Source: srcOpening, What: fmt.Sprintf("openings, %.0f cm²", 1e4*float64(open)),
	}, nil
}

const openingDischarge = 0.62

// Hood is a kind of simple exhaust hood or duct end.
type Hood string

// Kinds of hood.
const (
	PlainEnd        Hood = "plain duct end"
	FlangedEnd      Hood = "flanged duct end"
	Bellmouth       Hood = "bellmouth inlet"
	SharpOrifice    Hood = "sharp-edged orifice" // on the orifice's own velocity pressure
	GrinderStraight Hood = "grinder hood, straight take-off"
	GrinderTapered  Hood = "grinder hood, tapered take-off"
	TrapChamber     Hood = "trap or settling chamber"
	BoothBranch     Hood = "direct branch into booth or box"
)

// hoodLoss holds the entry loss factors F. Source [S-084]; the straight grinder hood 0.65 also in law [S-085].
var hoodLoss = map[Hood]float64{
	PlainEnd: 0.93, FlangedEnd: 0.49, Bellmouth: 0.04, SharpOrifice: 1.78, GrinderStraight: 0.65, GrinderTapered: 0.40,
	TrapChamber: 1.5, BoothBranch: 0.5,
}

// LegalGrinderTapered is the loss factor the US rule on grinding hoods sets for a tapered take-off, against the manual's 0.40.
// Source [S-085].
const LegalGrinderTapered = 0.45

// HoodMouth returns a simple hood on the duct's velocity pressure (the orifice: on its own). Range ±25 % of F. An unknown kind is an
// *UnknownError. Source [S-084].
func HoodMouth(kind Hood) (Mouth, error) {
	f, ok := hoodLoss[kind]
	if !ok {
		return Mouth{}, &UnknownError{What: "kind of hood", Given: string(kind), Known: []string{
			string(PlainEnd), string(FlangedEnd), string(Bellmouth), string(SharpOrifice), string(GrinderStraight),
			string(GrinderTapered), string(TrapChamber), string(BoothBranch),
		}}
	}
	return MouthOf(tableCoefficient(f, srcHoods, string(kind))), nil
}

// Tapered hood loss by included angle. Source [S-086].
var (
	taperDegrees = []float64{20, 40, 60, 80, 90, 100, 120, 140, 160, 180}
	taperRound   = []float64{0.11, 0.06, 0.08, 0.12, 0.15, 0.18, 0.25, 0.34, 0.44, 0.56}
	taperRect    = []float64{0.19, 0.13, 0.16, 0.21, 0.25, 0.28, 0.35, 0.43, 0.52, 0.64}
)

// TaperedHood returns a hood that narrows to the duct by an *included* angle, 20 to 180° (the table that was seen counts the angle
// from the face plane: included = 180° - 2α), with a face of at least twice the duct's area; else an *air.RangeError. Range ±0.03
// or 25 %. Source [S-086].
func TaperedHood(included unit.Radian, rectangular bool) (Mouth, error) {
	deg := degrees(included)
	if err := air.Check("included angle of the hood", deg, 20, 180, "°"); err != nil {
		return Mouth{}, err
	}
	table, shape := taperRound, "round"
	if rectangular {
		table, shape = taperRect, "rectangular"
	}
	f := lerpTable(taperDegrees, table, deg)
	c := tableCoefficient(f, srcTaper, fmt.Sprintf("tapered hood %.0f°, %s", deg, shape))
	c.Low, c.High = math.Max(0, math.Min(c.Low, f-0.03)), math.Max(c.High, f+0.03)
	return MouthOf(c), nil
}

// Bellmouth loss by lip radius over bore. Source [S-087].
var (
	lipRadius  = []float64{0, 0.01, 0.02, 0.03, 0.04, 0.05, 0.06, 0.08, 0.10, 0.12, 0.16, 0.20}
	lipInWall  = []float64{0.5, 0.44, 0.37, 0.31, 0.26, 0.22, 0.20, 0.15, 0.12, 0.09, 0.06, 0.03}
	lipInSpace = []float64{1.0, 0.87, 0.74, 0.61, 0.51, 0.40, 0.32, 0.20, 0.15, 0.10, 0.06, 0.03}
)

// RoundedEnd returns a duct end with a rounded lip, by lip radius over bore (0 and up, flat beyond 0.2), set in a wall or standing
// free. A negative radius is an *air.RangeError. Source [S-087].
func RoundedEnd(lipOverBore float64, inWall bool) (Mouth, error) {
	if err := air.Check("lip radius over the bore", lipOverBore, 0, 5, ""); err != nil {
		return Mouth{}, err
	}
	table, where := lipInSpace, "standing free"
	if inWall {
		table, where = lipInWall, "in a wall"
	}
	f := lerpTable(lipRadius, table, lipOverBore)
	return MouthOf(tableCoefficient(f, srcEntry, fmt.Sprintf("rounded end, lip %.2g D, %s", lipOverBore, where))), nil
}

// Duct end sticking out of a wall, by wall thickness and projection, both over the bore. Source [S-087].
var (
	endThickness  = []float64{0, 0.02, 0.05}
	endProjection = []float64{0, 0.002, 0.01, 0.05, 0.2, 0.5, 1}
	endLoss       = [][]float64{
		{0.5, 0.57, 0.68, 0.80, 0.92, 1.00, 1.00},
		{0.5, 0.51, 0.52, 0.55, 0.66, 0.72, 0.72},
		{0.5, 0.50, 0.50, 0.50, 0.50, 0.50, 0.50},
	}
)

// ProjectingEnd returns a plain end by the thickness of its wall and how far it stands out, both over the bore; 0 and up (flat
// beyond the table), else an *air.RangeError. It explains why a razor edge loses 1.0, sheet metal 0.93 and thick plastic 0.72.
// Source [S-087].
func ProjectingEnd(wallOverBore, projectionOverBore float64) (Mouth, error) {
	for _, x := range []float64{wallOverBore, projectionOverBore} {
		if err := air.Check("wall thickness and projection over the bore", x, 0, 100, ""); err != nil {
			return Mouth{}, err
		}
	}
	column := make([]float64, len(endThickness))
	for i := range endThickness {
		column[i] = lerpTable(endProjection, endLoss[i], projectionOverBore)
	}
	f := lerpTable(endThickness, column, wallOverBore)
	return MouthOf(tableCoefficient(f, srcEntry, "plain end")), nil
}

// SlotHood returns a hood whose air passes a slot and then a plenum: the slot's own velocity pressure is lost with F_slot = 1.78 on
// it, and the duct's entry out of the plenum follows,
//
//	suction = 1.78·VP_slot + (1 + F_duct)·VP_duct        with VP_slot = (A_duct/A_slot)²·VP_duct
//
// given on the duct's velocity pressure. It is the compound hood of the design manuals; where the duct runs faster than the slot, as
// in a collector, only the duct's 1 is counted, else the slot's. slot and port above 0, else an *air.RangeError. Source [S-084].
func SlotHood(slot, port unit.M2, ductLoss float64) (Mouth, error) {
	for _, a := range []unit.M2{slot, port} {
		if err := air.Check("area", float64(a), 1e-6, 10, "m²"); err != nil {
			return Mouth{}, err
		}
	}
	if err := air.Check("entry loss of the duct", ductLoss, 0, 5, ""); err != nil {
		return Mouth{}, err
	}
	vpSlot := sq(float64(port / slot)) // in duct velocity pressures
	lost := hoodLoss[SharpOrifice]*vpSlot + ductLoss
	if vpSlot > 1 {
		lost += vpSlot - 1 // the faster of the two speeds has to be made; the slower is had from it for nothing
	}
	return MouthOf(tableCoefficient(lost, srcHoods, "slot and plenum")), nil
}

// Stub returns the flow through a measuring stub held in the end of a hose, from the suction in it,
//
//	Q = Ce·A·√(2·suction/ρ)
//
// ce is the stub's coefficient of entry (plain end 0.72, bellmouth 0.98), 0 to 1; suction below the room, positive. Out of range it
// returns an *air.RangeError. Within 3 % for a bellmouth, 5 % for a plain end. Source [S-069].
func Stub(ce float64, bore unit.Metre, suction unit.Pascal, density unit.KgPerM3) (unit.M3PerSec, error) {
	if err := air.Check("coefficient of entry", ce, 0.3, 1, ""); err != nil {
		return 0, err
	}
	if err := air.Check("suction", float64(suction), 0, 50e3, "Pa"); err != nil {
		return 0, err
	}
	return unit.M3PerSec(ce * area(bore) * math.Sqrt(2*float64(suction)/float64(density))), nil
}

// tableCoefficient wraps a figure of a published table with the usual doubt.
func tableCoefficient(k float64, src, what string) Coefficient {
	return Coefficient{K: k, Low: k * (1 - tableDoubt), High: k * (1 + tableDoubt), Basis: unit.Assumed, Source: src, What: what}
}
