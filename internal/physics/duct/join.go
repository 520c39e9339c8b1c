package duct

import (
	"fmt"
	"math"

	"winnow/internal/physics/air"
	"winnow/internal/unit"
)

// Branch entry loss of the exhaust manual by angle, in branch velocity pressures. Source [S-090], from memory; 45° = 0.28 also seen
// in a worksheet [S-071].
var (
	branchDegrees = []float64{0, 10, 15, 20, 25, 30, 35, 40, 45, 50, 60, 90}
	branchLoss    = []float64{0, 0.06, 0.09, 0.12, 0.15, 0.18, 0.21, 0.25, 0.28, 0.32, 0.44, 1.00}
)

// BranchEntry returns the exhaust manual's loss of a branch entering a main, on the branch's velocity pressure, main free of charge:
// a rule for hand sheets. The network does not use it: see JoinOf. 0 to 90°, else an *air.RangeError. Source [S-090].
func BranchEntry(angle unit.Radian) (Coefficient, error) {
	deg := degrees(angle)
	if err := air.Check("angle of the wye", deg, 0, 90, "°"); err != nil {
		return Coefficient{}, err
	}
	return tableCoefficient(lerpTable(branchDegrees, branchLoss, deg), srcBranch, fmt.Sprintf("branch entry %.0f°", deg)), nil
}

// Join holds the parameters of a converging junction as one three-port element, in the momentum (impact-loss) model:
//
//	M = 2·Qs²/(As·Ac) + 2κ·Qb²/(Ab·Ac)
//	TPs - TPc = ρ/2·(Vc² + Vs² - M) + ρ/2·ks·Vs²
//	TPb - TPc = ρ/2·(Vc² + Vb² - M) + ρ/2·kb·Vb²
//
// through leg s, branch b, common c. κ says how much of the branch's momentum helps the common leg along.
type Join struct {
	Kappa   Coefficient // κ [-]; |κ| <= 1 keeps the element monotone, so its High stops at 1
	Through Coefficient // ks on the through leg's velocity pressure
	Branch  Coefficient // kb on the branch's
	What    string
}

// JoinError is the error of a join's coefficients in velocity pressures of the leg, nine times in ten, half of it shared by all
// joins of a shop. Judgement. Source [S-090].
const JoinError = 0.3

// Losses returns the total pressure that either leg loses on its way to the common leg [Pa], for flows of 0 and more through bores ds,
// db and dc: the formulas above, for a sheet and for tests. One of the two may be negative: the slower leg is helped along by the faster.
// The network solves the same element and also knows what to do with air running backwards. Source [S-090].
func (j Join) Losses(qs, qb unit.M3PerSec, ds, db, dc unit.Metre, density unit.KgPerM3) (through, branch unit.Pascal) {
	as, ab, ac := area(ds), area(db), area(dc)
	s, b := float64(qs), float64(qb)
	vs, vb, vc := s/as, b/ab, (s+b)/ac
	m := 2*s*s/(as*ac) + 2*j.Kappa.K*b*b/(ab*ac)
	half := 0.5 * float64(density)
	through = unit.Pascal(half * (vc*vc - m + (1+j.Through.K)*vs*vs))
	branch = unit.Pascal(half * (vc*vc - m + (1+j.Branch.K)*vb*vb))
	return through, branch
}

// JoinOf returns the join of a branch that enters a straight main at an angle: κ = 1 - K(θ)/2 with K the published branch-entry
// loss, 30° 0.91, 45° 0.86, 60° 0.78, 90° 0.50. With Qs = 0, Ab = Ac and kb = 0 that gives K back. kb 0.1 (0 to 0.3) and ks 0.05 (0
// to 0.15) are judgement, for the edge inside. 0 to 90°, else an *air.RangeError. Source [S-090].
func JoinOf(angle unit.Radian) (Join, error) {
	k, err := BranchEntry(angle)
	if err != nil {
		return Join{}, err
	}
	what := fmt.Sprintf("wye %.0f°", degrees(angle))
	return Join{
		Kappa: Coefficient{
			K: 1 - k.K/2, Low: 1 - k.High/2, High: math.Min(1, 1-k.Low/2), Basis: unit.Assumed, Source: srcBranch, What: what,
		},
		Through: Coefficient{K: 0.05, Low: 0, High: 0.15, Basis: unit.Assumed, Source: srcBranch, What: what + ", through"},
		Branch:  Coefficient{K: 0.1, Low: 0, High: 0.3, Basis: unit.Assumed, Source: srcBranch, What: what + ", branch"},
		What:    what,
	}, nil
}

// TwoWaySplit returns the join of a fork whose two legs come in at the same angle on either side; between is the angle from leg to leg
// (60° for two at 30°), 0 to 180°, else an *air.RangeError.
//
// Each leg enters at between/2, so both carry κ(between/2). The element has one κ only, its through leg taken as straight; since the
// pressure at which the legs meet is common to both, κ = 2·κ(between/2) - 1 with equal leg losses gives the fork's loss exactly
// when the legs run alike, and treats them alike always but for which leg's momentum the κ weighs. Source [S-090].
func TwoWaySplit(between unit.Radian) (Join, error) {
	if err := air.Check("angle between the legs", degrees(between), 0, 180, "°"); err != nil {
		return Join{}, err
	}
	j, err := JoinOf(between / 2)
	if err != nil {
		return Join{}, err
	}
	j.What = fmt.Sprintf("two-way split %.0f°", degrees(between))
	j.Kappa.K, j.Kappa.Low, j.Kappa.High = 2*j.Kappa.K-1, 2*j.Kappa.Low-1, 2*j.Kappa.High-1
	j.Kappa.Low = math.Max(-1, j.Kappa.Low)
	j.Through.K, j.Through.Low, j.Through.High = j.Branch.K, j.Branch.Low, j.Branch.High
	j.Kappa.What, j.Through.What, j.Branch.What = j.What, j.What+", a leg", j.What+", a leg"
	return j, nil
}
