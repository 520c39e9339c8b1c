package unit

// Suffix is the ending of a --json key that carries a quantity of type T in SI: "m3s" in gets_m3s.
func Suffix[T Real]() string {
	var t T
	return suffixes[t.Dimension()]
}

var suffixes = map[Dimension]string{
	Metre(0).Dimension():     "m",
	M2(0).Dimension():        "m2",
	M3(0).Dimension():        "m3",
	M3PerSec(0).Dimension():  "m3s",
	MPerSec(0).Dimension():   "ms",
	Pascal(0).Dimension():    "pa",
	Watt(0).Dimension():      "w",
	Volt(0).Dimension():      "v",
	Ampere(0).Dimension():    "a",
	Kelvin(0).Dimension():    "k",
	Kilogram(0).Dimension():  "kg",
	KgPerSec(0).Dimension():  "kgs",
	KgPerM3(0).Dimension():   "kgm3",
	Second(0).Dimension():    "s",
	PerSec(0).Dimension():    "per_s",
	Radian(0).Dimension():    "rad",
	Fraction(0).Dimension():  "share",
	Number(0).Dimension():    "number",
	Decibel(0).Dimension():   "dba",
	Joule(0).Dimension():     "j",
	PascalSec(0).Dimension(): "pas",
	Wire(0).Dimension():      "m2",
}
