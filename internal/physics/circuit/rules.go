package circuit

import "winnow/internal/unit"

// ContinuousFrom is how long a load must be expected to run to count as continuous: 3 h. A collector or an air cleaner can;
// a saw does not. Source [S-320].
const ContinuousFrom unit.Second = 3 * 3600

// LeastRating is the smallest breaker the rules ask for: other loads + 125 % of the continuous ones. Not for breakers marked
// for 100 %. Source [S-320].
func LeastRating(other, continuous unit.Ampere) unit.Ampere { return other + 1.25*continuous }

// MostContinuous is the same turned round: 80 % of the rating. Source [S-320].
func MostContinuous(rating unit.Ampere) unit.Ampere { return 0.8 * rating }

// MostOnePlug is the most one cord-and-plug load not fastened in place may be rated at on a 15 or 20 A circuit with
// two or more outlets: 80 % of the rating. ok is false where the rule does not speak. Source [S-321].
func MostOnePlug(rating unit.Ampere, outlets int) (unit.Ampere, bool) {
	if (rating != 15 && rating != 20) || outlets < 2 {
		return rating, false
	}
	return 0.8 * rating, true
}

// MostFastened is the most that equipment fastened in place may add up to on a 15 or 20 A circuit that also feeds lights or
// plugs: 50 % of the rating. Source [S-321].
func MostFastened(rating unit.Ampere) (unit.Ampere, bool) {
	return 0.5 * rating, rating == 15 || rating == 20
}

// MostIndividual is what an individual circuit (one outlet, one load) may carry: its whole rating. The 125 % for continuous
// load still counts. Source [S-321].
func MostIndividual(rating unit.Ampere) unit.Ampere { return rating }

// ReceptacleRatings lists the receptacles allowed on a US circuit with two or more of them. Source [S-322].
func ReceptacleRatings(circuit unit.Ampere) []unit.Ampere {
	switch circuit {
	case 15:
		return []unit.Ampere{15}
	case 20:
		return []unit.Ampere{15, 20}
	case 30:
		return []unit.Ampere{30}
	case 40:
		return []unit.Ampere{40, 50}
	case 50:
		return []unit.Ampere{50}
	}
	return nil
}

// MostReceptacle is the most one load may draw from a receptacle where a circuit has two or more: 80 % of its rating. Source [S-322].
func MostReceptacle(receptacle unit.Ampere) unit.Ampere { return 0.8 * receptacle }

// Shape is the NEMA configuration of a grounding receptacle by voltage (120 or 240 V nominal) and rating. ok is false for
// others. Source [S-323], from memory.
func Shape(v unit.Volt, rating unit.Ampere, locking bool) (string, bool) {
	key := shapeKey{v >= 200, int(rating), locking}
	s, ok := shapes[key]
	return s, ok
}

type shapeKey struct {
	high    bool
	rating  int
	locking bool
}

var shapes = map[shapeKey]string{
	{false, 15, false}: "5-15", {false, 20, false}: "5-20", {true, 15, false}: "6-15", {true, 20, false}: "6-20", {true, 30, false}: "6-30",
	{false, 20, true}: "L5-20", {true, 20, true}: "L6-20", {true, 30, true}: "L6-30",
}

// StandardRatings are the breaker sizes of the US rules up to 60 A. Source [S-324], from memory.
func StandardRatings() []unit.Ampere { return []unit.Ampere{15, 20, 25, 30, 35, 40, 45, 50, 60} }

// NextStandard is the smallest standard rating at or above a current; ok is false beyond 60 A. Source [S-324], from memory.
func NextStandard(i unit.Ampere) (unit.Ampere, bool) {
	for _, s := range StandardRatings() {
		if s >= i {
			return s, true
		}
	}
	return 0, false
}

// MotorWire is the least ampacity of the conductors of one continuous-duty motor: 125 % of the table's full-load current. Source [S-325].
func MotorWire(table unit.Ampere) unit.Ampere { return 1.25 * table }

// MotorBreakerMost is the biggest inverse-time breaker on a dedicated motor circuit: 250 % of the table's full-load current, and
// 400 % if it will not start otherwise (full load of 100 A or less). It never frees a circuit with outlets from
// MostBreaker of its wire. Source [S-325].
func MotorBreakerMost(table unit.Ampere) (usual, willNotStart unit.Ampere) {
	return 2.5 * table, 4 * table
}

// PeakClaim is the current a claimed horsepower would draw from an outlet in the kindest case there is: 746 W per
// horsepower, power factor 1, no loss. possible is false where that is over the branch's rating: then the figure is a peak
// nobody can run at, to be ignored for circuits and for airflow alike. Source [S-308].
func PeakClaim(shaft unit.Watt, v unit.Volt, branch unit.Ampere) (current unit.Ampere, possible bool) {
	current = unit.Ampere(float64(shaft) / float64(v))
	return current, current <= branch
}

// MostInput is the electrical power a branch can give: V·I. Source [S-308].
func MostInput(v unit.Volt, i unit.Ampere) unit.Watt { return unit.Watt(float64(v) * float64(i)) }

// Horsepower is a power in electrical horsepower of 746 W. Source [S-308].
func Horsepower(w unit.Watt) float64 { return float64(w) / wattPerHP }

// Mechanical and metric horsepower in watts, which are other units than the electrical one. Source [S-308].
const (
	MechanicalHP unit.Watt = 745.6998715822702
	MetricHP     unit.Watt = 735.49875
)

// PlugFuse is the biggest fuse of a BS 1363 plug, 13 A: what such a plug lets through. Source [S-326].
const PlugFuse unit.Ampere = 13

// Ring is what a ring final circuit with BS 1363 outlets asks for. Source [S-327].
func Ring() (device [2]unit.Ampere, copper, mineralInsulated unit.Wire, eachLeg unit.Ampere) {
	return [2]unit.Ampere{30, 32}, 2.5e-6, 1.5e-6, 20
}

// RadialIEC is the usual 16 A radial: most input at 230 V, usual copper. National rules differ. Source [S-328], from memory.
func RadialIEC() (rating unit.Ampere, copper unit.Wire) { return 16, 2.5e-6 }

// MostForIEC60309 is the biggest device ahead of 16 A industrial outlets on a radial. Source [S-329].
func MostForIEC60309() unit.Ampere { return 20 }
