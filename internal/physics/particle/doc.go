// Package particle is what dust does by itself: how fast it falls, which part of it is breathed how deep, how fast it
// leaves still or stirred air for the surfaces, and how much of each size a filter, a cyclone or a lid lets through.
//
// It refuses to know rooms, people and shops: everything here holds for one particle size, or for a spread of sizes.
// Diameters are aerodynamic and in metres unless a name says otherwise. Start reading at Sizes, then Filter.
package particle

import "winnow/internal/unit"

// Micrometre is the everyday unit of particle sizes [m].
const Micrometre unit.Metre = 1e-6

// gravity is the standard acceleration [m/s²]. Exact by convention.
const gravity = 9.80665

// unitDensity is the density of the sphere that defines the aerodynamic diameter [kg/m³]. Exact by definition.
const unitDensity = 1000.0
