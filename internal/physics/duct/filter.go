package duct

import (
	"fmt"

	"winnow/internal/physics/air"
	"winnow/internal/unit"
)

// Fabric is what a filter is made of.
type Fabric string

// Kinds of fabric.
const (
	Felt     Fabric = "felt bag"       // woven bags too
	Spunbond Fabric = "spunbond pleat" // polyester cartridge
	Membrane Fabric = "membrane pleat" // or cellulose
)

// FilterState is how loaded a filter is.
type FilterState int

// States of a filter, and what they do to the resistance it had when new.
const (
	New      FilterState = iota // 1
	Seasoned                    // 3 (2 to 5): dust in its depth, just cleaned
	Due                         // 8 (5 to 15): time to clean it
)

// cleanDrag holds K1, the pressure over face speed of a new fabric, Pa s/m: low, best, high. Source [S-099].
var cleanDrag = map[Fabric][3]float64{
	Felt:     {400, 700, 1200},
	Spunbond: {700, 930, 1250},
	Membrane: {1600, 2500, 4000},
}

// stateFactor holds the multipliers of FilterState: low, best, high. Source [S-099].
var stateFactor = map[FilterState][3]float64{New: {1, 1, 1}, Seasoned: {2, 3, 5}, Due: {5, 8, 15}}

// Filter returns the loss of a filter, *linear* in the flow: Δp = K1·state/A·Q. area is what air can still pass, 0.02 to 200 m²: a
// pleat packed with chips has lost area, not gained resistance. Out of range it returns an *air.RangeError, for an unknown fabric an
// *UnknownError. Leaves out the temperature (through viscosity, 2 % in 10 K) and the square part of coarse pleats. Source [S-099].
func Filter(fabric Fabric, state FilterState, area unit.M2) (Resistance, error) {
	k, ok := cleanDrag[fabric]
	if !ok {
		return Resistance{}, &UnknownError{What: "filter fabric", Given: string(fabric), Known: []string{
			string(Felt), string(Spunbond), string(Membrane),
		}}
	}
	if err := air.Check("area of the filter", float64(area), 0.02, 200, "m²"); err != nil {
		return Resistance{}, err
	}
	m := stateFactors(state)
	return Resistance{
		Linear: k[1] * m[1] / float64(area), Low: k[0] / k[1] * m[0] / m[1], High: k[2] / k[1] * m[2] / m[1], Basis: unit.Assumed,
		Source: srcPermeable, What: fmt.Sprintf("filter, %s, %s, %.2g m²", fabric, stateWords[state], float64(area)),
	}, nil
}

var stateWords = map[FilterState]string{New: "new", Seasoned: "seasoned", Due: "due for cleaning"}

func stateFactors(state FilterState) [3]float64 {
	m, ok := stateFactor[state]
	if !ok {
		panic(fmt.Sprintf("duct: filter state %d does not exist", state))
	}
	return m
}

// InState returns a filter that was given or measured in one state as it is in another: times the ratio of the states' factors. Its
// range widens by theirs. Source [S-099].
func (r Resistance) InState(was, is FilterState) Resistance {
	if was == is {
		return r
	}
	a, b := stateFactors(was), stateFactors(is)
	f := b[1] / a[1]
	r.Linear *= f
	r.Square *= f
	r.Low *= (b[0] / a[2]) / f
	r.High *= (b[2] / a[0]) / f
	r.What += ", then " + stateWords[is]
	return r
}

// FilterAtFlow turns "this pressure at this flow" into a filter, linear in the flow: Δp/Q. Both above 0, else an *air.RangeError.
// Range ±15 % of one reading.
func FilterAtFlow(p unit.Pascal, q unit.M3PerSec) (Resistance, error) {
	if err := air.Check("pressure", float64(p), 0, 50e3, "Pa"); err != nil {
		return Resistance{}, err
	}
	if err := air.Check("flow", float64(q), 1e-5, 20, "m³/s"); err != nil {
		return Resistance{}, err
	}
	return Resistance{
		Linear: float64(p) / float64(q), Low: 0.85, High: 1.15, Basis: unit.Given, Source: srcGiven, What: "filter",
	}, nil
}

// CleanDrag returns K1, the pressure over face speed of a clean fabric [Pa s/m], from a permeability test: test pressure over test
// face speed (125 Pa for cfm/ft², 200 Pa for L/(dm² min)). Source [S-099].
func CleanDrag(test unit.Pascal, face unit.MPerSec) float64 { return float64(test) / float64(face) }

// Cake resistance of wood dust [1/s]: Δp = K2·W·v, W the dust on the cloth in kg/m². Factory bags measured 6,500 to 30,000; the
// old 63,300 is the pessimistic end. Source [S-065].
const (
	CakeLow, CakeTypical, CakeHigh = 6500.0, 14000.0, 30000.0
	CakePessimistic                = 63300.0
)

// Cake returns the loss of a dust cake, (K1 + K2·W)·v, as a resistance to the flow through an area; K1 clean drag, load W [kg/m²].
// Linear at a given load, but square if the load was laid at that same flow. Source [S-065].
func Cake(k1, k2, load float64, area unit.M2) Resistance {
	return Resistance{
		Linear: (k1 + k2*load) / float64(area), Low: 0.5, High: 2, Basis: unit.Assumed, Source: srcCake, What: "filter with its cake",
	}
}
