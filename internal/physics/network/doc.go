// Package network finds the airflow in every link of a network of ducts, gates, leaks, filters, fans and converging
// junctions: what each leg carries when losses, fan curves and node balances all hold at once.
//
// It refuses to know what a link is for: no machine, no shop, no name, no unit but SI. Links and nodes are numbers; the
// caller keeps the names. It never returns an unconverged answer as if it were one: look at Solution.Status.
//
// All node pressures are total gauge pressures. A loss is a loss of total pressure, so the K of 1 at a free exit is
// written in that link's K, and the static pressure in a link next to a node is the node's pressure less ρv²/2 there.
//
// Start reading at Network and Law (types.go), then Solver.Solve (solve.go): one Newton step is a sweep from the leaves
// to the root and back (tree.go), with a small sparse elimination where there are loops (core.go).
package network
