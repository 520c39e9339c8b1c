package power

import (
	"sync"

	"winnow/internal/physics/circuit"
	"winnow/internal/shop"
)

// Permit gives the controller one question to ask: may these machines, systems and cleaners run at once, with whatever draws current by
// itself? It answers no, with the code of the finding, where a circuit trips and the file says to refuse that. Where a circuit may trip,
// or is not known, it answers yes and says so by the code. Asking is safe from several goroutines. Names it does not know are passed over.
func Permit(s *shop.Shop) func(running []shop.ID) (ok bool, why *shop.Code) {
	g := GridOf(s)
	refuse := s.Control.WouldTrip != "warn"
	var one sync.Mutex
	return func(running []shop.ID) (bool, *shop.Code) {
		one.Lock()
		defer one.Unlock()
		set := g.common()
		for _, name := range running {
			for _, sort := range []Sort{Machine, System, Cleaner} {
				g.put(&set, sort, name)
			}
		}
		worst := circuit.Holds
		for _, l := range g.loadsOf(set) {
			if l.circuit < 0 && !l.byHand { // nobody said where it is plugged in
				worst = circuit.Unknown
			}
		}
		for c := range g.lines {
			if v := g.judge(c, g.on(c, set)).Verdict; rank(v) > rank(worst) {
				worst = v
			}
		}
		switch worst {
		case circuit.Trips:
			return !refuse, CodeTrips
		case circuit.Unknown:
			return true, CodeNotJudged
		case circuit.MayTrip:
			return true, CodeMayTrip
		}
		return true, nil
	}
}
