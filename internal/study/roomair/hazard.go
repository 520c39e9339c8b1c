package roomair

import "winnow/internal/unit"

// LayerDepth returns the depth of settled dust that is held to be a hazard when more than 5 % of the floor lies under it
// [m],
//
//	d = 1/32 in · 75 lb/ft³ / bulk density, and 1/32 in for denser dust
//
// Below it nothing is proved safe. Source [S-379] (OSHA 2015, after NFPA 654).
func LayerDepth(bulk unit.KgPerM3) unit.Metre {
	const reference, depth = 75 * 16.0184634, 0.0254 / 32
	if bulk >= reference {
		return depth
	}
	return unit.Metre(depth * reference / float64(bulk))
}

// Loading returns the solids in the air of a duct [kg/m³]: what is taken off over the airflow. Most chips are far too
// coarse to burn in the air: only the fine part of it counts.
func Loading(solids unit.KgPerSec, flow unit.M3PerSec) unit.KgPerM3 {
	return unit.KgPerM3(float64(solids) / float64(flow))
}
