package duct

import (
	"math"

	"winnow/internal/unit"
)

const inch = 0.0254

// trueBores lists the trade sizes whose bore differs from the name: size, low, best, high, in metres. Source [S-081]; the pipe
// standards from memory, the hose bores common practice.
var trueBores = map[Kind][][4]float64{
	ThinSewer:   {{4 * inch, 0.1022, 0.1032, 0.1042}, {6 * inch, 0.1528, 0.1543, 0.1558}},
	SewerPipe:   {{4 * inch, 0.1000, 3.975 * inch, 0.1020}, {6 * inch, 0.1488, 5.915 * inch, 0.1517}},
	Schedule40:  {{2 * inch, 0.0519, 2.067 * inch, 0.0531}, {4 * inch, 0.1013, 4.026 * inch, 0.1033}, {6 * inch, 0.1526, 6.065 * inch, 0.1556}},
	DrainPipe:   {{0.110, 0.1028, 0.1036, 0.1044}, {0.125, 0.1177, 0.1186, 0.1195}, {0.160, 0.1508, 0.152, 0.1532}},
	IndoorDrain: {{0.050, 0.0458, 0.0464, 0.0470}, {0.075, 0.0706, 0.0712, 0.0718}, {0.110, 0.1038, 0.1046, 0.1054}},
	SmoothHose:  hoseBores,
	HelixHose:   hoseBores,
	RibbedHose:  hoseBores,
}

var hoseBores = [][4]float64{
	{1.25 * inch, 0.0314, 0.032, 0.0326},
	{1.875 * inch, 0.0461, 0.047, 0.0479},
	{2.5 * inch, 0.054, 0.056, 0.058},
	{4 * inch, 0.102, 0.103, 0.104},
	{0.100, 0.100, 0.101, 0.102},
	{5 * inch, 0.125, 0.126, 0.127},
	{6 * inch, 0.150, 0.151, 0.152},
}

// BoreOf returns the true bore behind a trade size: for listed sizes of plastic pipe and hose from the table, else the size itself,
// ±0.5 % for sheet metal and ±2 % for hose and plastic. ±2 % of bore is ±10 % of loss, so the owner's own measurement beats it.
// Source [S-081].
func BoreOf(kind Kind, size unit.Metre) unit.Amount[unit.Metre] {
	for _, row := range trueBores[kind] {
		if math.Abs(float64(size)/row[0]-1) < 0.006 { // 4 in and 100 mm are 1.6 % apart
			return amount(row[2], row[1], row[3], srcBores)
		}
	}
	doubt := 0.02
	switch kind {
	case SpiralSteel, SeamSteel, SmoothSteel, Aluminium:
		doubt = 0.005
	}
	d := float64(size)
	return amount(d, d*(1-doubt), d*(1+doubt), srcBores)
}

// RoundOfRectangle returns the bore of the round duct that has a rectangular one's friction *at the same flow*,
//
//	De = 1.30·(ab)^0.625 / (a + b)^0.25
//
// Friction goes with De and the real flow; fitting losses go with the speed in the real section. Source [S-078].
func RoundOfRectangle(a, b unit.Metre) unit.Metre {
	x, y := float64(a), float64(b)
	return unit.Metre(1.30 * math.Pow(x*y, 0.625) / math.Pow(x+y, 0.25))
}

// Hydraulic returns the hydraulic diameter of a rectangle, 2ab/(a+b): for Reynolds numbers and for friction at the real speed.
func Hydraulic(a, b unit.Metre) unit.Metre { return 2 * a * b / (a + b) }

// DarcyOfFanning returns the Darcy factor of a Fanning one: four times. Books that print 0.005 mean Fanning.
func DarcyOfFanning(f float64) float64 { return 4 * f }

// DarcyOfManning returns the Darcy factor of a full pipe whose Manning n is known, 8·g·n²/(D/4)^(1/3), n in SI. Source [S-079].
func DarcyOfManning(n float64, bore unit.Metre) float64 {
	return 8 * 9.80665 * n * n / math.Cbrt(float64(bore)/4)
}

// DarcyOfPitch returns the Darcy factor of a convoluted hose that treats every convolution as a sudden expansion,
//
//	f = (D/p)·[1 - (D/(D + 0.438·p))²]²
//
// p the pitch. 30 to 50 % high where ribs are shallow; it shows why hose is not pipe, it is not the default. Source [S-079], from memory.
func DarcyOfPitch(pitch, bore unit.Metre) float64 {
	x := float64(bore / (bore + 0.438*pitch))
	return float64(bore/pitch) * sq(1-x*x)
}

// DarcyOfRibs returns the Darcy factor of sharp ribs of height e and pitch p standing into the bore, fully rough,
//
//	√(2/f_Fanning) = 0.95·(p/e)^0.53 - 2.5·ln(2e/D) - 3.75
//
// p/e 10 to 40, e/D 0.01 to 0.04, not checked. A warning how bad a hose can be. Source [S-079], from memory.
func DarcyOfRibs(rib, pitch, bore unit.Metre) float64 {
	s := 0.95*math.Pow(float64(pitch/rib), 0.53) - 2.5*math.Log(2*float64(rib/bore)) - 3.75
	return 4 * 2 / (s * s)
}
