package roomair

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"winnow/internal/shop"
	"winnow/internal/unit"
)

// steps are the waits that are said, in minutes: a wait is known to half of itself at best, so it is rounded up to the
// next of them. The steps are ours.
var steps = []float64{5, 10, 15, 20, 30, 40, 60, 90, 120, 180, 240, 360, 480, 720, 1440}

// stepUp rounds a wait up to the next step.
func stepUp(s float64) unit.Second {
	for _, m := range steps {
		if s <= 60*m*(1+1e-9) {
			return unit.Second(60 * m)
		}
	}
	return unit.Second(86400 * math.Ceil(s/86400))
}

// PrintWait writes a time as it is said of waits and chores: whole minutes, from an hour on in hours where that is short.
func PrintWait(t unit.Second) string {
	m := math.Max(1, math.Round(float64(t)/60))
	switch {
	case m >= 48*60:
		return unit.PrintIn(unit.Second(86400*math.Round(m/1440)), "days")
	case m >= 60 && math.Mod(m, 30) == 0:
		return strconv.FormatFloat(m/60, 'f', -1, 64) + " h"
	}
	return strconv.FormatFloat(m, 'f', 0, 64) + " min"
}

// PrintSize writes the airflow of something to buy or build, rounded to a step of 50 cfm or 100 m³/h: up, as too small is
// the worse mistake.
func PrintSize(q unit.M3PerSec, sys unit.System) string {
	step := 100.0 / 3600
	if sys == unit.US {
		step = 50 * 0.000471947443
	}
	return unit.Print(unit.M3PerSec(step*math.Max(1, math.Ceil(float64(q)/step-0.25))), sys)
}

// PrintColder writes a difference of temperature.
func PrintColder(d unit.Kelvin, sys unit.System) string {
	if sys == unit.US {
		return strconv.FormatFloat(math.Round(1.8*float64(d)), 'f', 0, 64) + " °F"
	}
	return strconv.FormatFloat(math.Round(float64(d)), 'f', 0, 64) + " °C"
}

// PrintTwo writes a quantity to two figures of the unit it is shown in: what is computed here is known no better.
func PrintTwo[T unit.Real](v T, sys unit.System) string {
	text := unit.Print(v, sys)
	number, rest, _ := strings.Cut(text, " ")
	x, err := strconv.ParseFloat(number, 64)
	if err != nil || x == 0 { // sixteenths of an inch are coarse enough
		return text
	}
	p := math.Pow(10, 1-math.Floor(math.Log10(math.Abs(x))))
	return strings.TrimSpace(strconv.FormatFloat(math.Round(x*p)/p, 'f', -1, 64) + " " + rest)
}

// Two rounds a level to two figures: in every unit of it they are the same.
func Two(v unit.KgPerM3) unit.KgPerM3 {
	x := float64(v)
	if !(x > 0) || math.IsInf(x, 0) {
		return v
	}
	p := math.Pow(10, 1-math.Floor(math.Log10(x)))
	return unit.KgPerM3(math.Round(x*p) / p)
}

// said is a number that is printed another way than its unit is by itself.
func said[T unit.Real](name string, v T, print func(unit.System) string) shop.Arg {
	a := shop.Number(name, v)
	a.Print = print
	return a
}

func sizeArg(name string, q unit.M3PerSec) shop.Arg {
	return said(name, q, func(s unit.System) string { return PrintSize(q, s) })
}

func waitArg(name string, t unit.Second) shop.Arg {
	return said(name, t, func(unit.System) string { return PrintWait(t) })
}

// partArg is a share in whole hundredths.
func partArg(name string, share float64) shop.Arg {
	return said(name, unit.Fraction(share), func(unit.System) string { return strconv.FormatFloat(math.Round(100*share), 'f', 0, 64) + " %" })
}

func roughArg[T unit.Real](name string, v T) shop.Arg {
	return said(name, v, func(s unit.System) string { return PrintTwo(v, s) })
}

// PrintPull writes how far a room is pulled below outdoors: in Pa for everybody, as what a flue bears is said in Pa, and as a
// range: how tight a room is nobody knows without a test.
func PrintPull(low, high unit.Pascal) string {
	return strings.TrimSuffix(PrintTwo(low, unit.SI), " Pa") + " to " + PrintTwo(high, unit.SI)
}

func pullArg(low, high unit.Pascal) shop.Arg {
	return said("below", high, func(unit.System) string { return PrintPull(low, high) })
}

// depthArg is a depth to two figures in both systems: sixteenths of an inch are a third of it.
func depthArg(d unit.Metre) shop.Arg {
	return said("depth", d, func(s unit.System) string {
		if s == unit.US {
			return strconv.FormatFloat(float64(d)/0.0254, 'g', 2, 64) + " in"
		}
		return PrintTwo(d, s)
	})
}

// bulkArg is a bulk density to two figures.
func bulkArg(d unit.KgPerM3) shop.Arg {
	return said("bulk", d, func(s unit.System) string {
		if s == unit.US {
			return strconv.FormatFloat(float64(d)/16.0184634, 'f', 0, 64) + " lb/ft³"
		}
		return strconv.FormatFloat(float64(d), 'f', 0, 64) + " kg/m³"
	})
}

func colderArg(d unit.Kelvin) shop.Arg {
	return said("colder", d, func(s unit.System) string { return PrintColder(d, s) })
}

// PrintLess writes a ratio as how much less of what it is than at another time, in hundredths, as no more is known; from
// twice as much on as times. The median alone decides, so that in a list two of one size are said in one way.
func PrintLess(s Span, what, than string) string {
	if s.Median >= 1.95 {
		return times(s.Median) + " times as much" + what + " (" + times(s.Low) + " to " + times(s.High) + ")"
	}
	part := func(x float64) int { return int(math.Round(100 * (1 - x))) }
	mid, most, least := part(s.Median), part(s.Low), part(s.High)
	switch {
	case mid == 0 && most <= 1 && least >= -1:
		return "as much" + what + " as " + than
	case mid > 0 && least >= 0:
		return fmt.Sprintf("%d %% less%s (%d to %d)", mid, what, least, most)
	case mid < 0 && most <= 0:
		return fmt.Sprintf("%d %% more%s (%d to %d)", -mid, what, -most, -least)
	case mid > 0:
		return fmt.Sprintf("%d %% less%s (%s to %s)", mid, what, signed(most), signed(least))
	case mid < 0:
		return fmt.Sprintf("%d %% more%s (%s to %s)", -mid, what, signed(most), signed(least))
	}
	return fmt.Sprintf("about as much%s as %s (%s to %s)", what, than, signed(most), signed(least))
}

// signed says which way a part of a range goes.
func signed(less int) string {
	switch {
	case less > 0:
		return fmt.Sprintf("%d less", less)
	case less < 0:
		return fmt.Sprintf("%d more", -less)
	}
	return "0"
}

// times is a ratio as it is known: to two figures.
func times(x float64) string { return PrintTwo(unit.Number(x), unit.SI) }

// PrintShare is a share in hundredths; what is there is never said to be nothing.
func PrintShare(share float64) string {
	if share > 0 && share < 0.005 {
		return "under 1 %"
	}
	return fmt.Sprintf("%.0f %%", math.Round(100*share))
}

// PrintLevels is a range, as a single number would say more than is known.
func PrintLevels(l Levels, sys unit.System) string {
	return unit.PrintRange(Two(l.Low), Two(l.High), sys)
}
