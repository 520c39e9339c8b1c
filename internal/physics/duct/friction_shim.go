package duct

import "math"

// darcy returns Colebrook's factor, to the last digits.
func darcy(re, relative float64) (float64, error) {
	x := 6.0 // 1/√f
	for range 40 {
		g := x + 2*math.Log10(relative/3.7+2.51*x/re)
		d := 1 + 2*2.51/re/(relative/3.7+2.51*x/re)/math.Ln10
		x -= g / d
	}
	return 1 / (x * x), nil
}
