package unit

import (
	"math"
	"strconv"
	"strings"
)

// The rounding rule, the only one in the program:
//
//   - Three figures, but never finer than the finest step of the unit: whole cfm, tens of fpm, hundredths of an inH2O.
//   - What is less than one step keeps one figure (0.3 cfm), so that little is not shown as nothing; what is less than
//     a thousandth of a step is 0.
//   - No zeros that say nothing (2 inH2O, not 2.00), no comma or space in a number (1250 cfm), no -0, and a hair under
//     a half rounds up as the half it was meant to be. What is shown can be typed back.
//   - The unit follows the size: kPa from 1000 Pa, h from 120 min. US lengths are inches and sixteenths under 2 ft,
//     feet and whole inches up to 100 ft, then feet.
//   - A share has one decimal under 10 %, none above, and near 100 % one figure of what is missing: 99.97 %, never
//     100 % unless it is. Temperatures and sound levels are shown to the whole degree and dBA.

// look is a unit values are shown in, from a size up.
type look struct {
	unit string
	from float64 // in this unit; the first look of a list serves whatever is smaller
	how  string  // "": decimal; "sixteenths"; "feet and inches"
	zero bool    // nothing at all is shown in this one: 0 in, not 0 µm
	def  *def
}

type looksPair struct{ si, us []look }

// looks says in which units values are shown, smallest first. Where the two systems agree, us is empty.
var looks = resolve(map[Dimension]looksPair{
	"length": {
		si: []look{{unit: "µm"}, {unit: "mm", from: 0.1, zero: true}, {unit: "m", from: 1}},
		us: []look{
			{unit: "µm"},
			{unit: "mm", from: 0.1},
			{unit: "in", from: 1.0 / 16, how: "sixteenths", zero: true},
			{unit: "ft", from: 2, how: "feet and inches"},
			{unit: "ft", from: 100},
		},
	},
	"area": {
		si: []look{{unit: "mm²"}, {unit: "cm²", from: 1, zero: true}, {unit: "m²", from: 0.1}},
		us: []look{{unit: "in²"}, {unit: "ft²", from: 1}},
	},
	"volume": {
		si: []look{{unit: "mL"}, {unit: "L", from: 1, zero: true}, {unit: "m³", from: 1}},
		us: []look{{unit: "in³"}, {unit: "gal", from: 0.5, zero: true}, {unit: "ft³", from: 30}},
	},
	"airflow":     {si: []look{{unit: "m³/h"}}, us: []look{{unit: "cfm"}}},
	"speed":       {si: []look{{unit: "mm/s"}, {unit: "m/s", from: 0.1, zero: true}}, us: []look{{unit: "fpm"}}},
	"pressure":    {si: []look{{unit: "Pa"}, {unit: "kPa", from: 1}}, us: []look{{unit: "inH2O"}}},
	"power":       {si: []look{{unit: "W"}, {unit: "kW", from: 1}}},
	"voltage":     {si: []look{{unit: "V"}, {unit: "kV", from: 1}}},
	"current":     {si: []look{{unit: "mA"}, {unit: "A", from: 0.1, zero: true}}},
	"temperature": {si: []look{{unit: "°C"}}, us: []look{{unit: "°F"}}},
	"mass": {
		si: []look{{unit: "µg"}, {unit: "mg", from: 0.1, zero: true}, {unit: "g", from: 1}, {unit: "kg", from: 1}},
		us: []look{{unit: "µg"}, {unit: "mg", from: 0.1, zero: true}, {unit: "g", from: 1}, {unit: "oz", from: 1}, {unit: "lb", from: 1}},
	},
	"mass rate": {
		si: []look{{unit: "mg/min"}, {unit: "g/min", from: 1}, {unit: "kg/h", from: 1}},
		us: []look{{unit: "mg/min"}, {unit: "g/min", from: 1}, {unit: "lb/h", from: 1}},
	},
	"concentration": {
		si: []look{{unit: "µg/m³"}, {unit: "mg/m³", from: 0.1, zero: true}, {unit: "g/m³", from: 1}, {unit: "kg/m³", from: 0.1}},
		us: []look{{unit: "µg/m³"}, {unit: "mg/m³", from: 0.1, zero: true}, {unit: "g/m³", from: 1}, {unit: "lb/ft³", from: 0.01}},
	},
	"time": {si: []look{
		{unit: "ms"}, {unit: "s", from: 1, zero: true}, {unit: "min", from: 2}, {unit: "h", from: 2}, {unit: "days", from: 42}, {unit: "years", from: 2},
	}},
	"rate":        {si: []look{{unit: "/h"}, {unit: "Hz", from: 1}}},
	"angle":       {si: []look{{unit: "°"}}},
	"share":       {si: []look{{unit: "%"}}},
	"sound level": {si: []look{{unit: "dBA"}}},
	"energy":      {si: []look{{unit: "J"}, {unit: "kWh", from: 0.01, zero: true}}},
	"viscosity":   {si: []look{{unit: "µPa·s"}}},
	"wire size":   {si: []look{{unit: "mm²"}}, us: []look{{unit: "AWG"}}},
	"number":      {si: []look{{}}},
})

func resolve(all map[Dimension]looksPair) map[Dimension]looksPair {
	for dim, pair := range all {
		for _, list := range [][]look{pair.si, pair.us} {
			for i := range list {
				if list[i].def = &bare; list[i].unit != "" {
					list[i].def = mustUnit(dim, list[i].unit)
				}
			}
		}
	}
	return all
}

func looksOf(d Dimension, sys System) []look {
	if l := looks[d]; sys == US && l.us != nil {
		return l.us
	}
	return looks[d].si
}

// Print writes v for the owner, by the rule at the head of this file. NaN is "unknown"; infinity is "no limit". What it
// writes parses back to what it says, and printing that gives the same text.
func Print[T Real](v T, sys System) string {
	return shown(float64(v), v.Dimension(), sys)
}

// PrintIn writes v in the named unit, rounded by the same rule. The name is the program's own choice, so a unit that
// does not fit T panics.
func PrintIn[T Real](v T, unit string) string {
	return shownIn(float64(v), mustUnit(v.Dimension(), unit))
}

// PrintBulk writes a flow of loose chips rather than of air: gal/h or L/h.
func PrintBulk(v M3PerSec, sys System) string {
	if sys == US {
		return PrintIn(v, "gal/h")
	}
	return PrintIn(v, "L/h")
}

// PrintMotor writes the power on a motor's plate: hp or kW.
func PrintMotor(v Watt, sys System) string {
	if sys == US {
		return PrintIn(v, "hp")
	}
	return PrintIn(v, "kW")
}

// PrintRange writes "250 to 345 cfm", both ends in the unit that suits the larger, or one value if both look alike.
func PrintRange[T Real](low, high T, sys System) string {
	return shownRange(float64(low), float64(high), low.Dimension(), sys)
}

// PrintAmount writes an amount with its doubt: "310 cfm, likely 250 to 345 cfm". The words of the shop file stand for
// what has no number: unknown, none.
func PrintAmount[T Real](a Amount[T], sys System) string {
	switch {
	case a.Basis == Unsaid:
		return "unknown"
	case a.Basis == Absent:
		return "none"
	case a.Basis == Drawn && a == Amount[T]{Basis: Drawn}:
		return "drawn"
	}
	best := Print(a.Best, sys)
	if a.Low == a.High {
		return best
	}
	if r := PrintRange(a.Low, a.High, sys); r != best {
		return best + ", likely " + r
	}
	return best
}

// Ranged says whether the amount carries a doubt of its own.
func (a Amount[T]) Ranged() bool { return a.Low < a.High }

// Exactly is a Given amount with no doubt written.
func Exactly[T Real](v T) Amount[T] { return Amount[T]{Best: v, Low: v, High: v, Basis: Given} }

func mustUnit(dim Dimension, name string) *def {
	if b := books[dim]; b != nil {
		if d := b.find(name); d != nil {
			return d
		}
	}
	panic("unit: " + name + " measures no " + string(dim))
}

func odd(v float64) (string, bool) {
	switch {
	case math.IsInf(v, 1):
		return "no limit", true
	case math.IsNaN(v) || math.IsInf(v, 0):
		return "unknown", true
	}
	return "", false
}

func shown(v float64, dim Dimension, sys System) string {
	if s, is := odd(v); is {
		return s
	}
	l, v := chooseLook(v, looksOf(dim, sys))
	return l.write(v)
}

// chooseLook picks the largest unit v reaches. A value that only reaches the next unit by being rounded (999.6 Pa) is
// shown as the least of that, else it would change its looks when typed back.
func chooseLook(v float64, all []look) (look, float64) {
	i := len(all) - 1
	for i > 0 && math.Abs(v) < all[i].start()*(1-1e-9) {
		i--
	}
	if i+1 < len(all) {
		if next := all[i+1].start(); math.Abs(all[i].rounded(v)) >= next*(1-1e-9) {
			i, v = i+1, math.Copysign(next, v)
		}
	}
	if all[i].rounded(v) == all[i].def.toSI(0) {
		for _, l := range all {
			if l.zero {
				return l, 0
			}
		}
	}
	return all[i], v
}

// start is where a look begins, SI.
func (l look) start() float64 { return l.def.toSI(l.from) }

// rounded is v as this look will show it, SI.
func (l look) rounded(v float64) float64 {
	d := l.def
	switch l.how {
	case "sixteenths":
		return d.toSI(whole(d.fromSI(v)*16) / 16)
	case "feet and inches":
		return d.toSI(whole(d.fromSI(v)*12) / 12)
	}
	n, k := figures(d.fromSI(v), d)
	return d.toSI(n * pow10(k))
}

func (l look) write(v float64) string {
	switch l.how {
	case "sixteenths":
		return sixteenths(whole(l.def.fromSI(v) * 16))
	case "feet and inches":
		return feetInches(whole(l.def.fromSI(v) * 12))
	}
	return shownIn(v, l.def)
}

// bare is how a number without a unit is rounded.
var bare = def{step: -6, mul: 1, per: 1, si: 1}

func shownIn(v float64, d *def) string {
	if s, is := odd(v); is {
		return s
	}
	if d.flag&gauge != 0 {
		return gaugeText(v)
	}
	n, k := figures(d.fromSI(v), d)
	if d.name == "" {
		return decimal(n, k)
	}
	return decimal(n, k) + gap(d.name) + d.name
}

// figures rounds x: n·10^k is what is shown.
func figures(x float64, d *def) (n float64, k int) {
	a := math.Abs(x)
	if d.name == "%" {
		k = sharePlaces(a)
	} else {
		k = places(a, d.step, d.flag&fixed != 0)
	}
	n = whole(a / pow10(k))
	if x < 0 {
		n = -n
	}
	if d.zero != 0 && n*pow10(k) < -d.zero {
		n++ // no rounding to under absolute zero
	}
	return n, k
}

func places(a float64, step int, fixed bool) int {
	e := order(a)
	switch {
	case fixed, a == 0, e < step-3:
		return max(step, e-8)
	case e < step:
		return e
	}
	return max(step, e-2)
}

func sharePlaces(a float64) int {
	switch short := 100 - a; {
	case a < 1e-5, a >= 1000:
		return max(0, order(a)-2)
	case a < 1:
		return order(a)
	case a < 10:
		return -1
	case a > 99 && short > 1e-5:
		return min(0, order(short))
	}
	return 0
}

// order is the power of ten of the first figure; a hair under a power of ten counts as that power.
func order(a float64) int {
	if a <= 0 {
		return 0
	}
	return int(math.Floor(math.Log10(a * (1 + 1e-9))))
}

// whole rounds halves away from zero, and what is a hair under a half because of its conversion too.
func whole(x float64) float64 {
	if x < 0 {
		return -whole(-x)
	}
	return math.Floor(x*(1+1e-12) + 0.5)
}

func pow10(k int) float64 {
	if k < 0 && k >= -22 {
		return 1 / tens[-k]
	}
	return math.Pow10(k)
}

// decimal writes n·10^k with no zeros that say nothing. Beyond 10^15 it takes an exponent: no such thing is met.
func decimal(n float64, k int) string {
	if n == 0 {
		return "0"
	}
	if math.Abs(n)*pow10(k) >= 1e15 || k < -15 || math.Abs(n) >= 1<<53 {
		return strconv.FormatFloat(n*pow10(k), 'g', 3, 64)
	}
	sign := ""
	if n < 0 {
		sign, n = "-", -n
	}
	s := strconv.FormatInt(int64(n), 10)
	if k >= 0 {
		return sign + s + strings.Repeat("0", k)
	}
	if len(s) <= -k {
		s = strings.Repeat("0", -k-len(s)+1) + s
	}
	s = s[:len(s)+k] + "." + s[len(s)+k:]
	return sign + strings.TrimRight(strings.TrimRight(s, "0"), ".")
}

// sixteenths writes n/16 in: 4 in, 2 1/2 in, 3/4 in.
func sixteenths(n float64) string {
	sign := ""
	if n < 0 {
		sign, n = "-", -n
	}
	inches, top, bottom := int(n)/16, int(n)%16, 16
	for top > 0 && top%2 == 0 {
		top, bottom = top/2, bottom/2
	}
	s := ""
	if inches > 0 || top == 0 {
		s = strconv.Itoa(inches)
	}
	if top > 0 {
		if s != "" {
			s += " "
		}
		s += strconv.Itoa(top) + "/" + strconv.Itoa(bottom)
	}
	return sign + s + " in"
}

// feetInches writes n inches: 9 ft 3 in, 12 ft.
func feetInches(n float64) string {
	sign := ""
	if n < 0 {
		sign, n = "-", -n
	}
	s := sign + strconv.Itoa(int(n)/12) + " ft"
	if rest := int(n) % 12; rest > 0 {
		s += " " + strconv.Itoa(rest) + " in"
	}
	return s
}

// gaugeText writes a wire by its gauge if it has one, to 2 %, else in mm². It judges the area as it would be shown,
// so that a text typed back is judged alike.
func gaugeText(area float64) string {
	mm2 := books["wire size"].exact["mm²"]
	x, k := figures(mm2.fromSI(area), mm2)
	n := math.Round(awgNumber(mm2.toSI(x * pow10(k))))
	if !(x > 0) || n < -3 || n > 40 || math.Abs(awgArea(n)/mm2.toSI(x*pow10(k))-1) > 0.02 {
		return shownIn(area, mm2)
	}
	return gaugeName(int(n))
}

func gaugeName(n int) string {
	if n <= 0 {
		return strconv.Itoa(1-n) + "/0 AWG"
	}
	return strconv.Itoa(n) + " AWG"
}

func shownRange(low, high float64, dim Dimension, sys System) string {
	_, a := odd(low)
	_, b := odd(high)
	if a || b {
		return shown(low, dim, sys) + " to " + shown(high, dim, sys)
	}
	big := &high
	if math.Abs(low) > math.Abs(high) {
		big = &low
	}
	l, v := chooseLook(*big, looksOf(dim, sys))
	*big = v
	from, to := l.write(low), l.write(high)
	if l.how != "" { // inches and feet speak for themselves
		from, to = shown(low, dim, sys), shown(high, dim, sys)
	}
	if from == to {
		return to
	}
	if cut := unitPart(to); l.how == "" && cut != "" && strings.HasSuffix(from, cut) {
		from = strings.TrimRight(strings.TrimSuffix(from, cut), " ")
	}
	return from + " to " + to
}

// unitPart is what follows the number in a value printed as a decimal.
func unitPart(s string) string {
	if cut := strings.IndexByte(s, ' '); cut > 0 {
		return s[cut+1:]
	}
	return strings.TrimLeft(s, "-.0123456789")
}
