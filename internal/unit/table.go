package unit

import (
	"math"
	"strings"
)

// def is one unit: how it is written, what it measures, how much of the SI unit it is, and how finely it is shown.
type def struct {
	name string  // the one way we write it
	also string  // other spellings, parted by |; capitals, dots, spaces, µ/u and ²/2 are forgiven anyway
	si   float64 // SI = si·(x + zero)
	zero float64 // offset of the scale; only °C and °F have one
	step int     // finest decimal shown: 0 is whole units, 1 is tens, -2 is hundredths
	flag uint16
	why  string // where the factor comes from

	dim      Dimension
	spells   []string
	folds    []string // spells, folded
	mul, per float64  // si again, as mul/per: see ratio
}

const (
	us      uint16 = 1 << iota // shown to, or written by, owners who chose US units
	metric                     // the same for SI
	offer                      // named in messages as a unit that would do
	milli                      // a capital M in front would make it mega: refused, not forgiven
	chain                      // may be followed by a smaller one: 9 ft 3 in, 1 h 30 min
	fixed                      // shown to its step whatever the size: a scale with no natural zero
	gauge                      // a numbered size, not a multiple: AWG
	hideGap                    // written against the number: 90°, 6"
	capital                    // only as written: no other case
)

const (
	inch = 0.0254     // exact, international inch
	foot = 12 * inch  // exact
	lb   = 0.45359237 // exact, avoirdupois pound
	gee  = 9.80665    // exact, conventional
	hour = 3600.0
	day  = 24 * hour
	year = 365.25 * day // the Julian year; a month is its twelfth
	gal  = 231 * inch * inch * inch
	btu  = 1055.05585262 // International Table Btu
)

const (
	exact   = "by definition"
	sp811   = "NIST SP 811 (2008) App. B"
	derived = "from the definitions of its parts"
)

// groups lists every unit, dimension by dimension, in the order a person reads them: the everyday ones first.
var groups = []struct {
	dim  Dimension
	unit string // the SI unit that values are kept in
	defs []def
}{
	{"length", "m", []def{
		{name: "in", also: "inch|inches|\"|″|”|''", si: inch, step: -2, flag: us | offer | chain, why: exact},
		{name: "ft", also: "foot|feet|'|′|’", si: foot, step: -2, flag: us | offer | chain, why: exact},
		{name: "yd", also: "yard|yards|yds", si: 3 * foot, step: -2, flag: us, why: exact},
		{name: "mm", also: "millimetre|millimetres|millimeter|millimeters", si: 1e-3, step: -2, flag: metric | offer | milli, why: exact},
		{name: "cm", also: "centimetre|centimetres|centimeter|centimeters", si: 1e-2, step: -1, flag: metric, why: exact},
		{name: "m", also: "metre|metres|meter|meters", si: 1, step: -2, flag: metric | offer | milli, why: exact},
		{name: "µm", also: "micron|microns|micrometre|micrometres|micrometer|micrometers", si: 1e-6, step: -1, flag: us | metric, why: exact},
	}},
	{"area", "m²", []def{
		{name: "ft²", also: "sq ft|square foot|square feet|sf", si: foot * foot, step: -1, flag: us | offer, why: derived},
		{name: "in²", also: "sq in|square inch|square inches", si: inch * inch, step: -2, flag: us | offer, why: derived},
		{name: "m²", also: "sq m|square metre|square metres|square meter|square meters", si: 1, step: -2, flag: metric | offer | milli, why: exact},
		{name: "cm²", also: "sq cm", si: 1e-4, step: -2, flag: metric | offer, why: exact},
		{name: "mm²", also: "sq mm", si: 1e-6, step: -1, flag: metric | milli, why: exact},
		{name: "yd²", also: "sq yd|square yard|square yards", si: 9 * foot * foot, step: -1, flag: us, why: derived},
	}},
	{"volume", "m³", []def{
		{name: "gal", also: "gallon|gallons|us gal|us gallon|us gallons", si: gal, step: -1, flag: us | offer, why: "by definition: 231 in³, the US gallon"},
		{name: "ft³", also: "cu ft|cubic foot|cubic feet", si: foot * foot * foot, step: -1, flag: us | offer, why: derived},
		{name: "bd ft", also: "board foot|board feet|bf", si: 144 * inch * inch * inch, step: 0, flag: us, why: "by definition: 144 in³ of timber"},
		{name: "in³", also: "cu in|cubic inch|cubic inches", si: inch * inch * inch, step: -1, flag: us, why: derived},
		{name: "yd³", also: "cu yd|cubic yard|cubic yards", si: 27 * foot * foot * foot, step: -1, flag: us, why: derived},
		{name: "qt", also: "quart|quarts", si: gal / 4, step: -1, flag: us, why: derived},
		{name: "L", also: "litre|litres|liter|liters", si: 1e-3, step: -1, flag: metric | offer, why: exact},
		{name: "m³", also: "cu m|cubic metre|cubic metres|cubic meter|cubic meters", si: 1, step: -1, flag: metric | offer | milli, why: exact},
		{name: "mL", also: "cm³|cc|millilitre|milliliter", si: 1e-6, step: 0, flag: metric | milli, why: exact},
		{name: "imp gal", also: "uk gal|imperial gallon|imperial gallons", si: 4.54609e-3, step: -1, flag: metric, why: exact},
	}},
	{"airflow", "m³/s", []def{
		{name: "cfm", also: "ft³/min|cu ft/min|cubic feet per minute|ft³ per min", si: foot * foot * foot / 60, step: 0, flag: us | offer, why: derived},
		{name: "L/s", also: "l per s|litres per second|liters per second", si: 1e-3, step: 0, flag: metric | offer, why: exact},
		{name: "m³/h", also: "m³ per h|m³/hr|m³/hour|cubic metres per hour|cubic meters per hour|cmh", si: 1 / hour, step: 0, flag: metric | offer | milli, why: exact},
		{name: "m³/s", also: "m³ per s|m³/sec|cubic metres per second|cubic meters per second", si: 1, step: -3, flag: metric | offer | milli, why: exact},
		{name: "m³/min", also: "m³ per min", si: 1.0 / 60, step: -1, flag: metric | milli, why: exact},
		{name: "L/min", also: "l per min|lpm|litres per minute|liters per minute", si: 1e-3 / 60, step: -1, flag: metric, why: exact},
		{name: "L/h", also: "l per h|l/hr|l/hour|litres per hour|liters per hour", si: 1e-3 / hour, step: 0, flag: metric, why: exact},
		{name: "gal/h", also: "gal per h|gal/hr|gal/hour|gallons per hour|gph", si: gal / hour, step: 0, flag: us, why: derived},
		{name: "gal/min", also: "gal per min|gallons per minute|gpm", si: gal / 60, step: -1, flag: us, why: derived},
		{name: "ft³/h", also: "cfh|ft³/hr|ft³ per h|cubic feet per hour", si: foot * foot * foot / hour, step: 0, flag: us, why: derived},
		{name: "ft³/s", also: "cfs|ft³ per s|cubic feet per second", si: foot * foot * foot, step: -2, flag: us, why: derived},
	}},
	{"speed", "m/s", []def{
		{name: "fpm", also: "ft/min|ft per min|feet per minute", si: foot / 60, step: 1, flag: us | offer, why: derived},
		{name: "ft/s", also: "fps|ft per s|feet per second|ft/sec", si: foot, step: -1, flag: us | offer, why: derived},
		{name: "m/s", also: "m per s|m/sec|metres per second|meters per second", si: 1, step: -1, flag: metric | offer | milli, why: exact},
		{name: "cm/s", also: "cm per s", si: 1e-2, step: -1, flag: metric, why: exact},
		{name: "mm/s", also: "mm per s|mm/sec", si: 1e-3, step: -1, flag: metric | milli, why: exact},
		{name: "m/min", also: "m per min", si: 1.0 / 60, step: -1, flag: metric | milli, why: exact},
		{name: "km/h", also: "kph|km per h", si: 1 / 3.6, step: 0, flag: metric, why: exact},
		{name: "mph", also: "miles per hour|mi/h", si: 0.44704, step: 0, flag: us, why: derived},
	}},
	{"pressure", "Pa", []def{
		{name: "inH2O", also: "in wg|in wc|in w|in of water|inch of water|inches of water|inch water|inches water|inch wg|inches wg|inch wc|inches wc|iwg|iwc|\"wg|\"wc|\"h2o|″wg|″wc|″h2o|”wg|”wc|''wg|''wc|in aq|in wg.", si: 1000 * gee * inch, step: -2, flag: us | offer, why: "conventional: 1000 kg/m³ · 9.80665 m/s² · 1 in = 249.089 Pa (NIST SP 811). Real water at 4 °C gives 249.082, at 60 °F 248.84"},
		{name: "Pa", also: "pascal|pascals", si: 1, step: 0, flag: metric | offer, why: exact},
		{name: "kPa", also: "kilopascal|kilopascals", si: 1e3, step: -2, flag: metric | offer, why: exact},
		{name: "mbar", also: "millibar|millibars", si: 100, step: -1, flag: metric | milli, why: exact},
		{name: "hPa", also: "hectopascal", si: 100, step: -1, flag: metric, why: exact},
		{name: "mmH2O", also: "mm wg|mm wc|mm ws|mm of water|mm water", si: gee, step: 0, flag: metric | milli, why: "conventional: 1000 kg/m³ · 9.80665 m/s² · 1 mm (NIST SP 811)"},
		{name: "bar", also: "bars", si: 1e5, step: -2, flag: metric, why: exact},
		{name: "psi", also: "lb/in²|lbf/in²|pounds per square inch", si: lb * gee / (inch * inch), step: -2, flag: us, why: derived},
		{name: "inHg", also: "in of mercury|inches of mercury", si: 13595.1 * gee * inch, step: -2, flag: us, why: "conventional: 13595.1 kg/m³ (NIST SP 811)"},
		{name: "mmHg", also: "mm of mercury", si: 13.5951 * gee, step: 0, flag: metric | milli, why: "conventional: 13595.1 kg/m³ (NIST SP 811)"},
	}},
	{"power", "W", []def{
		{name: "hp", also: "horsepower|bhp", si: 550 * lb * gee * foot, step: -2, flag: us | offer, why: "by definition: 550 ft·lbf/s"},
		{name: "W", also: "watt|watts", si: 1, step: 0, flag: us | metric | offer, why: exact},
		{name: "kW", also: "kilowatt|kilowatts", si: 1e3, step: -2, flag: us | metric | offer, why: exact},
		{name: "PS", also: "metric hp|metric horsepower", si: 75 * gee, step: -2, flag: metric, why: "by definition: 75 kgf·m/s"},
		{name: "Btu/h", also: "btu/hr|btu per h|btuh", si: btu / hour, step: 1, flag: us, why: sp811},
	}},
	{"voltage", "V", []def{
		{name: "V", also: "volt|volts|vac|v ac", si: 1, step: -1, flag: us | metric | offer, why: exact},
		{name: "mV", also: "millivolt|millivolts", si: 1e-3, step: 0, flag: us | metric | milli, why: exact},
		{name: "kV", also: "kilovolt|kilovolts", si: 1e3, step: -2, flag: us | metric, why: exact},
	}},
	{"current", "A", []def{
		{name: "A", also: "amp|amps|ampere|amperes", si: 1, step: -2, flag: us | metric | offer, why: exact},
		{name: "mA", also: "milliamp|milliamps", si: 1e-3, step: 0, flag: us | metric | offer | milli, why: exact},
	}},
	{"temperature", "K", []def{
		{name: "°F", also: "F|deg F|degree F|degrees F|fahrenheit|℉|ºF", si: 5.0 / 9, zero: 459.67, step: 0, flag: us | offer | fixed, why: exact},
		{name: "°C", also: "C|deg C|degree C|degrees C|celsius|℃|ºC", si: 1, zero: 273.15, step: 0, flag: metric | offer | fixed, why: exact},
		{name: "K", also: "kelvin|kelvins", si: 1, step: 0, flag: metric | offer | fixed, why: exact},
	}},
	{"mass", "kg", []def{
		{name: "lb", also: "lbs|pound|pounds", si: lb, step: -1, flag: us | offer | chain, why: exact},
		{name: "oz", also: "ounce|ounces", si: lb / 16, step: -1, flag: us | offer | chain, why: derived},
		{name: "kg", also: "kilogram|kilograms|kilo|kilos", si: 1, step: -2, flag: metric | offer, why: exact},
		{name: "g", also: "gram|grams|gm", si: 1e-3, step: -1, flag: us | metric | offer, why: exact},
		{name: "mg", also: "milligram|milligrams", si: 1e-6, step: -2, flag: us | metric | milli, why: exact},
		{name: "µg", also: "mcg|microgram|micrograms", si: 1e-9, step: -1, flag: us | metric, why: exact},
	}},
	{"mass rate", "kg/s", []def{
		{name: "mg/min", also: "mg per min|mg per minute", si: 1e-6 / 60, step: -2, flag: us | metric | offer | milli, why: exact},
		{name: "g/min", also: "g per min|g per minute", si: 1e-3 / 60, step: -1, flag: us | metric | offer, why: exact},
		{name: "kg/h", also: "kg/hr|kg per h|kg per hour|kg/hour", si: 1 / hour, step: -1, flag: metric | offer, why: exact},
		{name: "lb/h", also: "lb/hr|lbs/h|lbs/hr|lb per h|lb per hour|lb/hour|pph", si: lb / hour, step: -1, flag: us | offer, why: derived},
		{name: "lb/min", also: "lbs/min|lb per min|lb per minute", si: lb / 60, step: -2, flag: us, why: derived},
		{name: "mg/s", also: "mg per s", si: 1e-6, step: -2, flag: metric | milli, why: exact},
		{name: "mg/h", also: "mg/hr|mg per h|mg per hour", si: 1e-6 / hour, step: -1, flag: metric | milli, why: exact},
		{name: "g/h", also: "g/hr|g per h|g per hour", si: 1e-3 / hour, step: -1, flag: metric, why: exact},
		{name: "g/s", also: "g per s", si: 1e-3, step: -2, flag: metric, why: exact},
		{name: "kg/min", also: "kg per min", si: 1.0 / 60, step: -2, flag: metric, why: exact},
		{name: "kg/s", also: "kg per s", si: 1, step: -4, flag: metric, why: exact},
	}},
	{"concentration", "kg/m³", []def{
		{name: "mg/m³", also: "mg per m³|mg/cubic metre|mg/cubic meter", si: 1e-6, step: -2, flag: us | metric | offer | milli, why: exact},
		{name: "µg/m³", also: "mcg/m³|µg per m³", si: 1e-9, step: 0, flag: us | metric | offer, why: exact},
		{name: "g/m³", also: "g per m³", si: 1e-3, step: -2, flag: us | metric, why: exact},
		{name: "kg/m³", also: "kg per m³", si: 1, step: -2, flag: metric | offer, why: exact},
		{name: "lb/ft³", also: "pcf|lbs/ft³|lb per ft³|lb/cu ft", si: lb / (foot * foot * foot), step: -4, flag: us | offer, why: derived},
		{name: "gr/ft³", also: "grains/ft³|grain/ft³|gr/cu ft|grains per cubic foot", si: lb / 7000 / (foot * foot * foot), step: -4, flag: us, why: derived},
		{name: "mg/L", also: "mg per l", si: 1e-3, step: -2, flag: metric | milli, why: exact},
		{name: "kg/L", also: "kg per l", si: 1e3, step: -3, flag: metric, why: exact},
	}},
	{"time", "s", []def{
		{name: "s", also: "sec|secs|second|seconds", si: 1, step: -1, flag: us | metric | offer | chain, why: exact},
		{name: "min", also: "mins|minute|minutes", si: 60, step: -1, flag: us | metric | offer | chain, why: exact},
		{name: "h", also: "hr|hrs|hour|hours", si: hour, step: -1, flag: us | metric | offer | chain, why: exact},
		{name: "days", also: "d|day", si: day, step: -1, flag: us | metric | offer | chain, why: exact},
		{name: "weeks", also: "week|wk|wks", si: 7 * day, step: -1, flag: us | metric, why: exact},
		{name: "months", also: "month|mo", si: year / 12, step: -1, flag: us | metric, why: "a twelfth of a year"},
		{name: "years", also: "year|yr|yrs", si: year, step: -1, flag: us | metric | offer, why: "365.25 days"},
		{name: "ms", also: "msec|millisecond|milliseconds", si: 1e-3, step: 0, flag: us | metric | milli, why: exact},
	}},
	{"rate", "1/s", []def{
		{name: "/h", also: "per hour|/hr|/hour|per h|ach|air changes per hour|times an hour|an hour", si: 1 / hour, step: -2, flag: us | metric | offer, why: exact},
		{name: "/min", also: "per minute|/minute|per min|rpm", si: 1.0 / 60, step: -1, flag: us | metric | offer, why: exact},
		{name: "/s", also: "per second|/sec|/second|per s", si: 1, step: -2, flag: us | metric, why: exact},
		{name: "Hz", also: "hertz", si: 1, step: -1, flag: us | metric | offer, why: exact},
		{name: "/day", also: "per day|a day|/d", si: 1 / day, step: -2, flag: us | metric | offer, why: exact},
		{name: "/week", also: "per week|a week|/wk", si: 1 / (7 * day), step: -2, flag: us | metric, why: exact},
		{name: "/month", also: "per month|a month", si: 12 / year, step: -2, flag: us | metric, why: "a twelfth of a year"},
		{name: "/year", also: "per year|a year|/yr", si: 1 / year, step: -2, flag: us | metric, why: "365.25 days"},
	}},
	{"angle", "rad", []def{
		{name: "°", also: "deg|degree|degrees|º", si: math.Pi / 180, step: -1, flag: us | metric | offer | hideGap, why: exact},
		{name: "rad", also: "radian|radians", si: 1, step: -3, flag: us | metric | offer, why: exact},
	}},
	{"share", "1", []def{
		{name: "%", also: "percent|per cent|pct|% rh|% r.h.", si: 1e-2, step: -1, flag: us | metric | offer, why: exact},
		{name: "points", also: "point|percentage points|percentage point", si: 1e-2, step: -1, flag: us | metric, why: "for the doubt of a share: 70 % ± 5 points is 65 to 75 %"},
		{name: "‰", also: "per mille", si: 1e-3, step: -1, flag: us | metric, why: exact},
	}},
	{"sound level", "dBA", []def{
		{name: "dBA", also: "dB(A)|dB A", si: 1, step: 0, flag: us | metric | offer | fixed, why: "A-weighted, re 20 µPa"},
	}},
	{"energy", "J", []def{
		{name: "kWh", also: "kilowatt hour|kilowatt hours|kW h|kW·h", si: 1e3 * hour, step: -2, flag: us | metric | offer, why: exact},
		{name: "Wh", also: "watt hour|watt hours|W h|W·h", si: hour, step: 0, flag: us | metric, why: exact},
		{name: "J", also: "joule|joules", si: 1, step: 0, flag: us | metric | offer, why: exact},
		{name: "kJ", also: "kilojoule|kilojoules", si: 1e3, step: -1, flag: metric, why: exact},
		{name: "MJ", also: "megajoule|megajoules", si: 1e6, step: -2, flag: metric | capital, why: exact},
		{name: "Btu", also: "btus", si: btu, step: 0, flag: us, why: sp811},
		{name: "therm", also: "therms", si: 1e5 * btu, step: -2, flag: us, why: "100 000 Btu (NIST SP 811)"},
	}},
	{"viscosity", "Pa·s", []def{
		{name: "Pa·s", also: "Pa s", si: 1, step: -6, flag: metric | offer, why: exact},
		{name: "mPa·s", also: "mPa s|cP|centipoise", si: 1e-3, step: -4, flag: metric | offer | milli, why: exact},
		{name: "µPa·s", also: "µPa s", si: 1e-6, step: -1, flag: us | metric | offer, why: exact},
	}},
	{"wire size", "m²", []def{
		{name: "AWG", also: "ga|gauge|awg wire", si: 1, flag: us | offer | gauge, why: "ASTM B258: diameter 0.127 mm · 92^((36 - n)/39)"},
		{name: "mm²", also: "sq mm|square mm", si: 1e-6, step: -4, flag: metric | offer | milli, why: exact},
		{name: "kcmil", also: "mcm", si: math.Pi / 4 * inch * inch * 1e-3, step: 0, flag: us, why: "by definition: 1000 circles of 0.001 in"},
	}},
	{"number", "1", nil},
}

// book is what one dimension can be written in.
type book struct {
	dim   Dimension
	unit  string
	defs  []*def
	exact map[string]*def // as spelled
	loose map[string]*def // folded: see fold
}

var (
	books, anyBook = open() // anyBook holds them all; the first to claim a spelling keeps it
	percent        = books["share"].exact["%"]
)

// open enters every unit into the book of its dimension, and into one book of all.
func open() (into map[Dimension]*book, all *book) {
	into = map[Dimension]*book{}
	all = &book{exact: map[string]*def{}, loose: map[string]*def{}}
	for _, g := range groups {
		b := &book{dim: g.dim, unit: g.unit, exact: map[string]*def{}, loose: map[string]*def{}}
		for i := range g.defs {
			d := &g.defs[i]
			d.dim = g.dim
			d.spells = []string{d.name}
			d.mul, d.per = ratio(d.si)
			if d.also != "" {
				d.spells = append(d.spells, strings.Split(d.also, "|")...)
			}
			b.defs = append(b.defs, d)
			for _, s := range d.spells {
				d.folds = append(d.folds, fold(s))
				b.enter(s, d)
				all.enter(s, d)
			}
		}
		into[g.dim] = b
	}
	return into, all
}

// ratio writes a factor as a quotient of two whole numbers if that says the same, so that a conversion is rounded once:
// 1 1/2 in is 1.5·254/10000 = 0.0381 m to the last bit, and 70 % is 0.7.
func ratio(si float64) (mul, per float64) {
	for _, ten := range tens[:16] {
		for _, odd := range [...]float64{1, 6, 9, 36} {
			per = odd * ten
			mul = math.Round(si * per)
			if mul >= 1 && mul < 1<<53 && math.Abs(mul/per-si) <= 2.3e-16*si {
				return mul, per
			}
		}
	}
	return si, 1
}

func (b *book) enter(spelling string, d *def) {
	if _, taken := b.exact[spelling]; !taken {
		b.exact[spelling] = d
	}
	// A plain-keyboard form of each is as good as the proper one, and needs no folding to be found.
	if plain := ascii(spelling); plain != spelling {
		if _, taken := b.exact[plain]; !taken {
			b.exact[plain] = d
		}
	}
	if f := fold(spelling); d.flag&capital == 0 {
		if _, taken := b.loose[f]; !taken {
			b.loose[f] = d
		}
	}
}

// find looks a written unit up, as spelled first, then forgiving capitals, dots and spaces. It is nil for a stranger.
func (b *book) find(word string) *def {
	if d := b.exact[word]; d != nil {
		return d
	}
	d := b.loose[fold(word)]
	if d == nil || mega(word, d) {
		return nil
	}
	return d
}

// mega reports a capital M where the unit means milli or metre: "Mm" is no millimetre, while "MM" and "M3/H" can
// only be someone's caps lock.
func mega(word string, d *def) bool {
	if d.flag&milli == 0 || word[0] != 'M' {
		return false
	}
	f := fold(word)
	if strings.HasPrefix(f, "met") || strings.HasPrefix(f, "mill") || f[1:] != "" && (f[1] == '2' || f[1] == '3') {
		return false // spelled out, or squared: M3/h can only be metres
	}
	return len(word) == 1 || word != strings.ToUpper(word)
}

var plainSigns = strings.NewReplacer("µ", "u", "μ", "u", "²", "2", "³", "3", "·", "", "⋅", "", "º", "°")

func ascii(s string) string { return plainSigns.Replace(s) }

// fold strips what does not change the meaning of a unit: case, dots, spaces, how a micro or a square is typed.
func fold(s string) string {
	out := make([]byte, 0, 24)
	for _, r := range s {
		switch {
		case r >= 'A' && r <= 'Z':
			out = append(out, byte(r)+'a'-'A')
		case r == ' ' || r == '.' || r == '^' || r == '*' || r == '·' || r == '⋅' || r == '_' || r == '-' || space(r):
		case r == 'µ' || r == 'μ':
			out = append(out, 'u')
		case r == '²':
			out = append(out, '2')
		case r == '³':
			out = append(out, '3')
		case r == 'º' || r == '˚':
			out = append(out, "°"...)
		case r == '₂':
			out = append(out, '2')
		default:
			out = append(out, string(r)...)
		}
	}
	return string(out)
}

func space(r rune) bool {
	return r == ' ' || r == '\t' || r == '\u00a0' || r == '\u202f' || r == '\u2009'
}

// toSI takes x of this unit to SI.
func (d *def) toSI(x float64) float64 {
	switch {
	case d.flag&gauge != 0:
		return awgArea(x)
	case d.zero != 0:
		return (x + d.zero) * d.mul / d.per
	}
	return d.diff(x)
}

// fromSI is toSI backwards.
func (d *def) fromSI(v float64) float64 {
	switch {
	case d.flag&gauge != 0:
		return awgNumber(v)
	case d.zero != 0:
		return v*d.per/d.mul - d.zero
	}
	return v * d.per / d.mul
}

// diff takes a difference of x of this unit to SI: no offset.
func (d *def) diff(x float64) float64 { return x * d.mul / d.per }

// awgArea is the metal area of gauge n, m²; 1/0 is 0, 2/0 is -1. ASTM B258: d = 0.127 mm · 92^((36 - n)/39). Source [S-004].
func awgArea(n float64) float64 {
	d := 0.127e-3 * math.Pow(92, (36-n)/39)
	return math.Pi / 4 * d * d
}

// awgNumber is awgArea backwards, not rounded to a whole gauge.
func awgNumber(area float64) float64 {
	d := math.Sqrt(4 / math.Pi * area)
	return 36 - 39*math.Log(d/0.127e-3)/math.Log(92)
}

// UnitRow is one line of the table of units.
type UnitRow struct {
	Name      string
	Also      []string // other spellings; capitals, dots, spaces, u for µ and 2 for ² are forgiven besides
	Dimension Dimension
	InSI      float64 // one of it in SIUnit; for °C, °F a step of one degree; for AWG 0, as it is no multiple
	SIUnit    string
	US, SI    bool // which owners meet it
	Source    string
}

// Table lists every unit understood, dimension by dimension, the everyday ones first.
func Table() []UnitRow {
	var rows []UnitRow
	for _, g := range groups {
		for _, d := range books[g.dim].defs {
			row := UnitRow{
				Name: d.name, Also: append([]string(nil), d.spells[1:]...), Dimension: g.dim, InSI: d.si, SIUnit: g.unit,
				US: d.flag&us != 0, SI: d.flag&metric != 0, Source: d.why,
			}
			if d.flag&gauge != 0 {
				row.InSI = 0
			}
			rows = append(rows, row)
		}
	}
	return rows
}

// Dimensions lists what can be measured, in the order of Table.
func Dimensions() []Dimension {
	out := make([]Dimension, len(groups))
	for i, g := range groups {
		out[i] = g.dim
	}
	return out
}

// Units lists the names of the units a dimension can be written in, the everyday ones first. It is empty for a bare
// number and for a dimension nobody knows.
func Units(d Dimension) []string {
	b := books[d]
	if b == nil {
		return nil
	}
	out := make([]string, len(b.defs))
	for i, u := range b.defs {
		out[i] = u.name
	}
	return out
}

// offered lists the units a message names: the few an owner would really write.
func offered(d Dimension) []string {
	var out []string
	if b := books[d]; b != nil {
		for _, u := range b.defs {
			if u.flag&offer != 0 {
				out = append(out, u.name)
			}
		}
	}
	return out
}

// In gives v in the named unit, unrounded; false if the name is no unit of that dimension.
func In[T Real](v T, name string) (float64, bool) {
	b := books[v.Dimension()]
	if b == nil {
		return 0, false
	}
	d := b.find(name)
	if d == nil {
		return 0, false
	}
	return d.fromSI(float64(v)), true
}

// From makes a quantity of x of the named unit; false if the name is no unit of that dimension.
func From[T Real](x float64, name string) (T, bool) {
	var zero T
	b := books[zero.Dimension()]
	if b == nil {
		return 0, false
	}
	d := b.find(name)
	if d == nil {
		return 0, false
	}
	return T(d.toSI(x)), true
}
