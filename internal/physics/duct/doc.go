// Package duct turns geometry into resistance: a kind of pipe or hose, a size, an angle, a mouth go in; bore, roughness, friction
// factor and loss coefficient come out, each with its nine-in-ten range and the source it was taken from.
//
// It refuses to know networks: nothing here has a neighbour or a flow of its own, and nothing is solved. Two books are kept apart:
// everything in this package but sheet.go speaks of *total* pressure lost, as the network's links do; sheet.go holds the hand
// method of printed calculation sheets (static pressures, hood suction with its 1), and nothing outside a sheet may use it.
//
// Start reading at Coefficient, then WallOf (what a pipe or hose is like inside) and Elbow (a typical fitting).
package duct
