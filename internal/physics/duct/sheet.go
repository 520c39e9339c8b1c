package duct

import (
	"math"

	"winnow/internal/unit"
)

// This file is the hand method of printed calculation sheets: static pressures, the manual's friction fit, acceleration between
// sections. It reproduces published sheets under their own conventions. It is not monotone, so nothing here may reach the solver.

// HandFriction returns the exhaust manual's friction of galvanised duct in velocity pressures per metre, from its fit
//
//	Hf = 0.0307·V^0.533 / Q^0.612   [VP per ft], V in fpm, Q in cfm
//
// standard air, galvanised duct; 2 to 4 % above Colebrook at 0.15 mm. Above 0 both. Source [S-074].
func HandFriction(v unit.MPerSec, q unit.M3PerSec) float64 {
	fpm := float64(v) / 0.00508
	cfm := float64(q) / 0.47194745e-3
	return 0.0307 * math.Pow(fpm, 0.533) / math.Pow(cfm, 0.612) / 0.3048
}

// HandSection is one line of a sheet: a duct of one bore and its fittings in velocity pressures.
type HandSection struct {
	Flow     unit.M3PerSec
	Bore     unit.Metre
	Length   unit.Metre
	Friction float64 // velocity pressures per metre
	Fittings float64 // elbows and branch entries, in velocity pressures
	Hood     float64 // hood entry loss factor F; counted with its 1 when HasHood
	HasHood  bool
}

// HandLine is what a section loses.
type HandLine struct {
	Speed            unit.MPerSec
	VelocityPressure unit.Pascal
	HoodSuction      unit.Pascal // (1 + F)·VP: entry and acceleration
	DuctLoss         unit.Pascal // friction and fittings
	Suction          unit.Pascal // both: the static suction at the section's end if it starts in the room
}

// HandSheet works one section by the velocity-pressure method in air of a density. Source [S-074].
func HandSheet(s HandSection, density unit.KgPerM3) HandLine {
	v := float64(s.Flow) / area(s.Bore)
	vp := 0.5 * float64(density) * v * v
	l := HandLine{Speed: unit.MPerSec(v), VelocityPressure: unit.Pascal(vp)}
	if s.HasHood {
		l.HoodSuction = unit.Pascal((1 + s.Hood) * vp)
	}
	l.DuctLoss = unit.Pascal((s.Friction*float64(s.Length) + s.Fittings) * vp)
	l.Suction = l.HoodSuction + l.DuctLoss
	return l
}

// StaticOf returns the static pressure at a place from its total and its velocity pressure, SP = TP - VP, gauge with signs. In suction
// SP is further below the room than TP. The network's nodes hold TP; a sheet shows SP, which jumps where the bore changes. Source [S-094].
func StaticOf(total, velocity unit.Pascal) unit.Pascal { return total - velocity }

// ResultantVP returns the velocity pressure of two streams merged, weighted by flow: (Q1·VP1 + Q2·VP2)/(Q1 + Q2). Source [S-074].
func ResultantVP(q1 unit.M3PerSec, vp1 unit.Pascal, q2 unit.M3PerSec, vp2 unit.Pascal) unit.Pascal {
	return (unit.Pascal(q1)*vp1 + unit.Pascal(q2)*vp2) / unit.Pascal(q1+q2)
}

// Acceleration returns what the sheet adds behind a junction, max(0, VPc - VPr): speed must be paid for, but nothing is given back.
// Source [S-074].
func Acceleration(common, resultant unit.Pascal) unit.Pascal { return max(0, common-resultant) }

// BalancedFlow returns the flow a branch takes when its suction is raised to the governing one, Q·√(SPgov/SP). Both above 0.
// Source [S-074].
func BalancedFlow(q unit.M3PerSec, governing, own unit.Pascal) unit.M3PerSec {
	return q * unit.M3PerSec(math.Sqrt(float64(governing/own)))
}

// StaticRegain returns the static pressure won by slowing down, (VP1 - VP2) - loss; negative where it costs. Source [S-078].
func StaticRegain(before, after, loss unit.Pascal) unit.Pascal { return before - after - loss }

// EvenStart returns the straight duct a centrifugal fan needs at its outlet before the flow is even,
//
//	V > 13 m/s: V·√A/4500      else: √A/350      [m], A in mm²
//
// Source [S-078] (the handbook's equations 35 and 36).
func EvenStart(v unit.MPerSec, outlet unit.M2) unit.Metre {
	root := math.Sqrt(float64(outlet) * 1e6)
	if v > 13 {
		return unit.Metre(float64(v) * root / 4500)
	}
	return unit.Metre(root / 350)
}
