// Package air gives the density and the viscosity of the air in the shop, and turns speed into velocity pressure and back.
//
// It refuses to know ducts, fans and rooms: everything here holds for a point in space. Start reading at At, which is what the
// rest of the project calls once per shop; the other functions are its parts.
package air

import (
	"fmt"
	"math"

	"winnow/internal/unit"
)

// The two densities called "standard air". They differ by 0.2 %, so a published number must be checked with its own.
const (
	StandardSI unit.KgPerM3 = 1.204              // dry, 20 °C, 101 325 Pa. Source [S-060]
	StandardUS unit.KgPerM3 = 0.075 * 16.0184634 // 0.075 lb/ft³, the design manuals' standard air. Source [S-061]
)

// Zero is 0 °C. Exact by definition.
const Zero unit.Kelvin = 273.15

// SeaLevel is the standard atmosphere's pressure at sea level. Source [S-060].
const SeaLevel unit.Pascal = 101325

const (
	gasDryAir   = 287.042  // J/(kg K), dry air. Source [S-060]
	vapourRatio = 0.621945 // molar mass of water over that of dry air. Source [S-060]
)

// RangeError says that a value given by a person or a sensor lies outside what a formula was made for.
type RangeError struct {
	What      string  // the quantity, in words: "temperature"
	Value     float64 // what was given, SI
	Low, High float64 // what the formula holds for, SI
	Unit      string  // SI unit of all three, "" for a bare number
}

// Error names the quantity, the value and the range, in SI; the face translates before an owner sees it.
func (e *RangeError) Error() string {
	return fmt.Sprintf("%s %.6g %s is outside %.6g to %.6g", e.What, e.Value, e.Unit, e.Low, e.High)
}

// Check returns nil when value lies in [low, high], else a *RangeError. NaN is outside every range.
func Check(what string, value, low, high float64, unitName string) error {
	if value >= low && value <= high {
		return nil
	}
	return &RangeError{What: what, Value: value, Low: low, High: high, Unit: unitName}
}

// State is air at one place: what every formula of flow needs.
type State struct {
	Density     unit.KgPerM3
	Viscosity   unit.PascalSec // dynamic
	Pressure    unit.Pascal    // absolute
	Temperature unit.Kelvin
	Humidity    unit.Fraction // relative
}

// At returns the air of a shop: the standard atmosphere's pressure at the altitude, with the shop's own temperature and humidity.
//
// It does not take the standard atmosphere's temperature: that is the free air's at that height, not a heated room's, and the
// density would be up to 10 % wrong. altitude -500 to 5000 m, temperature -40 to 60 °C, humidity 0 to 1. Leaves out the weather
// (±3 % of pressure). Outside the range it returns a *RangeError. Source [S-060].
func At(altitude unit.Metre, temperature unit.Kelvin, humidity unit.Fraction) (State, error) {
	if err := Check("altitude", float64(altitude), -500, 5000, "m"); err != nil {
		return State{}, err
	}
	p, err := StandardPressure(altitude)
	if err != nil {
		return State{}, err
	}
	return Of(p, temperature, humidity)
}

// Of returns air at an absolute pressure, temperature and relative humidity. 20 to 200 kPa, -40 to 60 °C, 0 to 1; outside it
// returns a *RangeError. Humidity is against ice below 0 °C. Source [S-060].
func Of(absolute unit.Pascal, temperature unit.Kelvin, humidity unit.Fraction) (State, error) {
	if err := Check("absolute pressure", float64(absolute), 20e3, 200e3, "Pa"); err != nil {
		return State{}, err
	}
	if err := Check("temperature", float64(temperature), 233.15, 333.15, "K"); err != nil {
		return State{}, err
	}
	if err := Check("humidity", float64(humidity), 0, 1, ""); err != nil {
		return State{}, err
	}
	w := HumidityRatio(absolute, temperature, humidity)
	return State{
		Density:     Density(absolute, temperature, w),
		Viscosity:   Viscosity(temperature),
		Pressure:    absolute,
		Temperature: temperature,
		Humidity:    humidity,
	}, nil
}

// StandardPressure returns the standard atmosphere's absolute pressure at an altitude,
//
//	p = 101325·(1 - 2.25577e-5·Z)^5.2559   [Pa], Z in m
//
// from -5000 to 11000 m, else a *RangeError. Printed tables agree within 1 Pa. Source [S-060].
func StandardPressure(altitude unit.Metre) (unit.Pascal, error) {
	if err := Check("altitude", float64(altitude), -5000, 11000, "m"); err != nil {
		return 0, err
	}
	return SeaLevel * unit.Pascal(math.Pow(1-2.25577e-5*float64(altitude), 5.2559)), nil
}

// StandardTemperature returns the standard atmosphere's temperature at an altitude, 15 °C less 6.5 K per km [K]. It is here to
// show what must *not* be used for a shop: see At. -5000 to 11000 m, not checked. Source [S-060].
func StandardTemperature(altitude unit.Metre) unit.Kelvin {
	return Zero + 15 - 0.0065*unit.Kelvin(altitude)
}

// SaturationPressure returns the pressure of water vapour over water (over ice below 0 °C) at saturation [Pa], by Hyland and
// Wexler: ln p is a polynomial in T with a 1/T and a ln T term. -100 to 200 °C, not checked; within 0.1 % of the steam tables.
// Source [S-062].
func SaturationPressure(t unit.Kelvin) unit.Pascal {
	x := float64(t)
	if x < float64(Zero) {
		return unit.Pascal(math.Exp(-5.6745359e3/x + 6.3925247 +
			x*(-9.6778430e-3+x*(6.2215701e-7+x*(2.0747825e-9-9.4840240e-13*x))) + 4.1635019*math.Log(x)))
	}
	return unit.Pascal(math.Exp(-5.8002206e3/x + 1.3914993 +
		x*(-4.8640239e-2+x*(4.1764768e-5-1.4452093e-8*x)) + 6.5459673*math.Log(x)))
}

// HumidityRatio returns the mass of vapour per mass of dry air,
//
//	W = 0.621945·φ·ps / (p - φ·ps)   [kg/kg]
//
// for an absolute pressure p above φ·ps (true for any shop). Leaves out the enhancement factor (under 0.5 % of W).
// Source [S-060].
func HumidityRatio(absolute unit.Pascal, t unit.Kelvin, humidity unit.Fraction) unit.Fraction {
	vapour := float64(humidity) * float64(SaturationPressure(t))
	return unit.Fraction(vapourRatio * vapour / (float64(absolute) - vapour))
}

// Density returns the mass of moist air (dry air and vapour together) per volume,
//
//	ρ = p/(287.042·T) · (1 + W)/(1 + 1.607858·W)   [kg/m³]
//
// ideal gas, within 0.1 % in a shop. The second factor is below 1: humid air is lighter than dry. Source [S-060].
func Density(absolute unit.Pascal, t unit.Kelvin, humidityRatio unit.Fraction) unit.KgPerM3 {
	w := float64(humidityRatio)
	return unit.KgPerM3(float64(absolute) / (gasDryAir * float64(t)) * (1 + w) / (1 + w/vapourRatio))
}

// Viscosity returns the dynamic viscosity of air by Sutherland's form,
//
//	μ = 1.458e-6·T^1.5 / (T + 110.4)   [Pa s], T in K
//
// within 1 % between -40 and 100 °C, not checked. Leaves out humidity (under 1 %) and pressure (none in a shop). Source [S-063].
func Viscosity(t unit.Kelvin) unit.PascalSec {
	x := float64(t)
	return unit.PascalSec(1.458e-6 * x * math.Sqrt(x) / (x + 110.4))
}

// VelocityPressure returns ρ·V²/2 [Pa]. Any speed; the sign of the speed is dropped. Incompressible: 1 % low at 70 m/s.
// Source [S-060].
func (s State) VelocityPressure(v unit.MPerSec) unit.Pascal {
	return VelocityPressure(s.Density, v)
}

// Velocity returns the speed that has this velocity pressure, √(2·VP/ρ) [m/s]; 0 for a VP of 0 or less. Source [S-060].
func (s State) Velocity(vp unit.Pascal) unit.MPerSec {
	return Velocity(s.Density, vp)
}

// Reynolds returns ρ·V·D/μ [-], for a bore D and a mean speed V in it. Source [S-060].
func (s State) Reynolds(v unit.MPerSec, bore unit.Metre) float64 {
	return float64(s.Density) * math.Abs(float64(v)) * float64(bore) / float64(s.Viscosity)
}

// Kinematic returns the kinematic viscosity μ/ρ [m²/s].
func (s State) Kinematic() float64 { return float64(s.Viscosity) / float64(s.Density) }

// UnderSuction returns the same air (same temperature, same vapour per mass) at a suction below its pressure,
//
//	ρ = ρ0·(p0 - suction)/p0   (ρ = p_abs/(R·T))
//
// as a vacuum cleaner's hose has it. suction in Pa, positive below; up to 90 % of the pressure, else a *RangeError. Negative
// values mean pressure above. Leaves out cooling: a hose is slow and warm enough to be called isothermal. Source [S-060].
func (s State) UnderSuction(suction unit.Pascal) (State, error) {
	if err := Check("suction", float64(suction), -float64(s.Pressure), 0.9*float64(s.Pressure), "Pa"); err != nil {
		return State{}, err
	}
	ratio := float64(s.Pressure-suction) / float64(s.Pressure)
	s.Density *= unit.KgPerM3(ratio)
	s.Pressure -= suction
	s.Humidity *= unit.Fraction(ratio) // the vapour thins out with the air
	return s, nil
}

// ThinAirSpeed returns the factor on the speed that keeps chips moving, √(1.2/ρ) [-]: at the same speed thin air pushes less.
// It is 1.0 at sea level and about 1.1 at 2000 m. Judgement: equal push (velocity pressure) on the same chip. Source [S-064].
func (s State) ThinAirSpeed() float64 { return math.Sqrt(1.2 / float64(s.Density)) }

// VelocityPressure returns ρ·V²/2 [Pa]. See State.VelocityPressure.
func VelocityPressure(density unit.KgPerM3, v unit.MPerSec) unit.Pascal {
	return unit.Pascal(0.5 * float64(density) * float64(v) * float64(v))
}

// Velocity returns √(2·VP/ρ) [m/s]; 0 for a VP of 0 or less. See State.Velocity.
func Velocity(density unit.KgPerM3, vp unit.Pascal) unit.MPerSec {
	if vp <= 0 {
		return 0
	}
	return unit.MPerSec(math.Sqrt(2 * float64(vp) / float64(density)))
}

// Standard returns the SI standard air: dry, 20 °C, sea level, 1.204 kg/m³. Hand sheets and tests start from it.
func Standard() State {
	return State{Density: StandardSI, Viscosity: Viscosity(Zero + 20), Pressure: SeaLevel, Temperature: Zero + 20}
}
