// Package power answers the question that stops a shop before dust does: will the collector, the machine and whatever
// starts by itself trip a breaker, and what should be plugged in where.
//
// It gives three answers and never mixes them: may a circuit be loaded so (Rule), will its breaker hold (Held), what
// do wire, cord, plug and switch allow (Limit). Every set of machines the routine allows is judged with the extraction and
// the cleaners it brings; a cure is an edit of the shop file that was solved again; the best plan of plugs is found
// exactly, or said not to have been decided. Energy, heat and motor starts are beside it.
//
// It refuses to know airflow (a caller may hand it in), the controller (Permit is a plain function) and prices beyond those
// of the file. It takes a filled shop, and treats what is still unsaid as unknown, which is no kind of "holds".
// Earth-leakage and arc-fault devices are named and never computed. It is a check and not a permit: see Cautions.
// Start reading at Study, then Grid in grid.go and judge in hold.go.
package power

// Cautions stand on every output of this package.
var Cautions = []string{
	"Local code comes first, and a licensed electrician does or checks fixed wiring. This is a check, not a permit.",
	"Never fit a bigger breaker on the same wire: it protects the wire. Move a load instead.",
	"Whether a GFCI, RCD or AFCI opens cannot be computed.",
	"Moving dust charges pipes and hoses. Bonding their metal and the wire in a hose to the machine or the panel's earth keeps the spark from biting; local code comes first there, too.",
}

// CordCaution stands beside every extension cord.
const CordCaution = "One extension cord at most, unrolled, never through a wall or under a mat, and never in place of fixed wiring; stop if plug or cord feels hot."
