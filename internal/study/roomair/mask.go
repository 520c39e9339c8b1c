package roomair

import (
	"strings"

	"winnow/internal/shop"
	"winnow/internal/unit"
)

// ProtectionFactor is what a kind of mask is assumed to divide the dust by, with a fit test and a clean-shaven face
// [-]; 0 where there is none to assume. Without a fit test there is no such factor at all. Source [S-370], from memory
// but for the two rows of hoods and loose facepieces.
func ProtectionFactor(kind string) unit.Number {
	switch kind {
	case "quarter mask":
		return 5
	case "filtering", "half mask":
		return 10
	case "full face":
		return 50
	case "powered": // a loose hood, with no test by its maker
		return 25
	case "powered half mask":
		return 50
	case "powered full face", "powered hood tested":
		return 1000
	}
	return 0
}

// Highest is the highest level a mask may be worn in [kg/m³]: its factor times the limit. Source [S-370].
func Highest(factor unit.Number, limit unit.KgPerM3) unit.KgPerM3 {
	return unit.KgPerM3(factor) * limit
}

// MaskFilter returns the least a mask's filter keeps of 0.3 µm dust [-]; false where the class is not known here. US
// classes source [S-371]; FFP and P classes of EN 149 and EN 143 from memory.
func MaskFilter(class string) (unit.Fraction, bool) {
	keeps, ok := map[string]unit.Fraction{
		"N95": 0.95, "R95": 0.95, "P95": 0.95, "N99": 0.99, "P99": 0.99, "N100": 0.9997, "R100": 0.9997, "P100": 0.9997,
		"FFP1": 0.80, "FFP2": 0.94, "FFP3": 0.99, "P1": 0.80, "P2": 0.94, "P3": 0.9995,
	}[strings.ToUpper(strings.TrimSpace(class))]
	return keeps, ok
}

// counts reports whether a mask has a factor: only with a fit test.
func counts(r shop.Respirator) bool {
	return r.FitTested.Valid() && ProtectionFactor(r.Type) > 0
}
