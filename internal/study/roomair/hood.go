package roomair

import (
	"math"

	"winnow/internal/shop"
	"winnow/internal/unit"
)

// PlainHood returns the airflow that pulls air at a speed toward a plain round or square opening from a distance on its
// middle line [m³/s],
//
//	Q = V·(10·x² + A)
//
// with a flange round it 0.75 of that. x up to 1.5 diameters. As physics good to 20 % and more. Source [S-372]
// (AF-CAP-001).
func PlainHood(speed unit.MPerSec, x unit.Metre, open unit.M2, flanged bool) unit.M3PerSec {
	q := float64(speed) * (10*float64(x*x) + float64(open))
	if flanged {
		q *= 0.75
	}
	return unit.M3PerSec(q)
}

// SlotHood returns the same for a slot at least five times as long as wide [m³/s],
//
//	Q = 3.7·L·V·x, with a flange 2.6·L·V·x
//
// Source [S-372], from memory (AF-CAP-002).
func SlotHood(speed unit.MPerSec, x, length unit.Metre, flanged bool) unit.M3PerSec {
	k := 3.7
	if flanged {
		k = 2.6
	}
	return unit.M3PerSec(k * float64(length) * float64(speed) * float64(x))
}

// Shroud returns the airflow of a shroud or a down-draught top from the speed through its open area [m³/s],
//
//	Q = V·A
//
// Source: definition.
func Shroud(speed unit.MPerSec, open unit.M2) unit.M3PerSec {
	return unit.M3PerSec(float64(speed) * float64(open))
}

// captureSpeed is what turning and sanding by hand ask for: dust thrown into moving air, 1.0 m/s (0.5 to 2.5).
// Source [S-372] (AF-CAP-004).
const captureSpeed unit.MPerSec = 1.0

// HoodAdvice is what a machine without a pickup would need: by a flanged opening of 30 cm each way, by a flanged slot along
// the work, or closed in so far that little stays open. The more of it is closed in, the less air it takes.
type HoodAdvice struct {
	Machine string        `json:"machine"`
	At      unit.Metre    `json:"at_m"` // distance from the work to the opening or the slot
	Near    unit.M3PerSec `json:"needs_m3s"`
	Twice   unit.M3PerSec `json:"needs_at_twice_that_m3s"`
	Long    unit.Metre    `json:"slot_m"` // its length
	Slot    unit.M3PerSec `json:"slot_needs_m3s"`
	Open    unit.M2       `json:"closed_in_to_m2"` // what stays open
	Closed  unit.M3PerSec `json:"closed_in_needs_m3s"`
	Usual   unit.M3PerSec `json:"usual_need_m3s"` // fine need of the pickup such machines usually have; 0: none is usual
}

func hoodAdvice(s *source) HoodAdvice {
	const side, x, long, open = 0.3, unit.Metre(0.1524), unit.Metre(0.6), unit.M2(0.05)
	h := HoodAdvice{
		Machine: s.name, At: x, Near: PlainHood(captureSpeed, x, side*side, true), Twice: PlainHood(captureSpeed, 2*x, side*side, true),
		Long: long, Slot: SlotHood(captureSpeed, x, long, true), Open: open, Closed: Shroud(captureSpeed, open),
	}
	if s.about != nil {
		for i := range s.about.Ports {
			p := &s.about.Ports[i]
			_, fine := p.Needs(p.Size.US.Best, 0)
			h.Usual = max(h.Usual, fine.Best)
		}
	}
	return h
}

// usualArg says what the usual pickup needs, where there is one.
func usualArg(q unit.M3PerSec) shop.Arg {
	return said("usual", q, func(sys unit.System) string {
		if q <= 0 {
			return ""
		}
		return "The pickup such machines usually have needs " + unit.Print(q, sys) + ". "
	})
}

// OrificeFlow returns the air through an opening [m³/s],
//
//	Q = 0.61·A·√(2·Δp/ρ)
//
// Source [S-373] (AF-LEAK-006).
func OrificeFlow(open unit.M2, drop unit.Pascal, density unit.KgPerM3) unit.M3PerSec {
	return unit.M3PerSec(0.61 * float64(open) * math.Sqrt(2*float64(drop)/float64(density)))
}

// Opening returns the area that lets a flow in at a pressure [m²]: OrificeFlow solved for A. Source [S-373].
func Opening(flow unit.M3PerSec, drop unit.Pascal, density unit.KgPerM3) unit.M2 {
	return unit.M2(float64(flow) / (0.61 * math.Sqrt(2*float64(drop)/float64(density))))
}

// Depression returns how far a room is pulled below outdoors by a fan that blows out [Pa],
//
//	Δp = (Q/C)^(1/0.65),  C = n50·V/50^0.65
//
// n50 is the air changes that leak in at 50 Pa. Doors shut, no other opening. Source [S-374].
func Depression(exhaust unit.M3PerSec, leaks50 unit.PerSec, volume unit.M3) unit.Pascal {
	c := float64(leaks50) * float64(volume) / math.Pow(50, 0.65)
	return unit.Pascal(math.Pow(float64(exhaust)/c, 1/0.65))
}

// HeatLost returns the heat that leaves with air blown outdoors [W],
//
//	P = Q·ρ·1006·ΔT
//
// Dry air; leaves out moisture. Source: definition of heat capacity.
func HeatLost(exhaust unit.M3PerSec, density unit.KgPerM3, warmer unit.Kelvin) unit.Watt {
	return unit.Watt(float64(exhaust) * float64(density) * 1006 * float64(warmer))
}
