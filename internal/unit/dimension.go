package unit

// Dimension names what a quantity measures, in an owner's words ("length", "airflow").
type Dimension string

func (Metre) Dimension() Dimension     { return "length" }
func (M2) Dimension() Dimension        { return "area" }
func (M3) Dimension() Dimension        { return "volume" }
func (M3PerSec) Dimension() Dimension  { return "airflow" }
func (MPerSec) Dimension() Dimension   { return "speed" }
func (Pascal) Dimension() Dimension    { return "pressure" }
func (Watt) Dimension() Dimension      { return "power" }
func (Volt) Dimension() Dimension      { return "voltage" }
func (Ampere) Dimension() Dimension    { return "current" }
func (Kelvin) Dimension() Dimension    { return "temperature" }
func (Kilogram) Dimension() Dimension  { return "mass" }
func (KgPerSec) Dimension() Dimension  { return "mass rate" }
func (KgPerM3) Dimension() Dimension   { return "concentration" }
func (Second) Dimension() Dimension    { return "time" }
func (PerSec) Dimension() Dimension    { return "rate" }
func (Radian) Dimension() Dimension    { return "angle" }
func (Fraction) Dimension() Dimension  { return "share" }
func (Number) Dimension() Dimension    { return "number" }
func (Decibel) Dimension() Dimension   { return "sound level" }
func (Joule) Dimension() Dimension     { return "energy" }
func (PascalSec) Dimension() Dimension { return "viscosity" }
func (Wire) Dimension() Dimension      { return "wire size" }
