// Package gates says which gates belong to which machine, and starts and stops an extraction system by itself.
//
// Two ways lead through it. By hand: ChartOf lists for every machine which gates to open, which hose to carry, what to start, how
// long to wait. By itself: PlantsOf reads the control of a filled shop into a Plant, and Step is the whole behaviour of the
// controller, a pure function that names for every command the rule that made it.
//
// It refuses to know the clock, messages on a wire and how air flows: time comes in as fired timers, the way of the air as Ways,
// and what may run at once as Permit. It is not a safety device and has no command that powers a machine. Start reading at Plant,
// then Step.
package gates
