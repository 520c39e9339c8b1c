package network_test

import (
	"fmt"
	"math"

	"winnow/internal/physics/duct"
	"winnow/internal/physics/network"
)

// The laws once more, written plainly from README.md beside the reference networks, for checking answers: what is here shares
// nothing with the solver but the friction factor, which has tests of its own.

// failer is what a check needs of a test: rapid's and Go's.
type failer interface {
	Helper()
	Fatal(...any)
	Fatalf(string, ...any)
}

func twinDrop(t failer, air network.Air, l network.Law, q float64) float64 {
	t.Helper()
	rho := float64(air.Density)
	one := func(x float64) float64 {
		if x == 0 {
			return 1
		}
		return x
	}
	thin := 1.0
	if l.Density > 0 {
		thin = rho / float64(l.Density)
	}
	d := float64(l.Diameter)
	v := q / (math.Pi / 4 * d * d)
	switch l.Kind {
	case network.Duct:
		f := l.Darcy
		if re := rho * math.Abs(v) * d / float64(air.Viscosity); f == 0 && re > 1e-290 { // below, 64/re overflows and the drop is nothing
			var err error
			if f, err = duct.FrictionFactor(re, float64(l.Roughness)/d); err != nil {
				t.Fatal(err)
			}
		}
		return thin * (one(l.FrictionScale)*f*float64(l.Length)/d + l.K) * rho / 2 * v * math.Abs(v)
	case network.Loss:
		return thin * l.K * rho / 2 * v * math.Abs(v)
	case network.Orifice:
		return thin * rho / 2 * q * math.Abs(q) / float64(l.CdA*l.CdA)
	case network.Filter:
		return thin * (l.A*q + l.B*q*math.Abs(q))
	case network.Leak:
		return thin * (math.Copysign(math.Pow(math.Abs(q)/l.C, 1/l.Exponent), q) + 0.01*q/l.C)
	case network.FanRating:
		s := one(l.Speed)
		u := q / (s * one(l.FlowScale) * float64(l.FreeFlow))
		return -s * s * one(l.PressureScale) * float64(l.ShutOff) * (1 - math.Copysign(math.Pow(math.Abs(u), l.Exponent), u))
	}
	t.Fatalf("no twin of law %d", l.Kind)
	return 0
}

// twinJoin is the momentum balance as it is usually written, Vc² + V² - M, with the rule for legs that run backwards.
func twinJoin(air network.Air, j network.Join, qs, qb float64) (s, b float64) {
	area := func(d float64) float64 { return math.Pi / 4 * d * d }
	as, ab, ac := area(float64(j.DThrough)), area(float64(j.DBranch)), area(float64(j.DCommon))
	ps, pb := math.Max(qs, 0), math.Max(qb, 0)
	vc, vs, vb := (ps+pb)/ac, qs/as, qb/ab
	m := 2*ps*ps/(as*ac) + 2*j.Kappa*pb*pb/(ab*ac)
	h := float64(air.Density) / 2
	return h * (vc*vc - m + (1+j.KThrough)*vs*math.Abs(vs)), h * (vc*vc - m + (1+j.KBranch)*vb*math.Abs(vb))
}

// fanLaws are the points of Fan laws, which a Curve does not give back.
type fanLaws map[int][]network.FanPoint

func twinFan(l network.Law, points []network.FanPoint, q float64) float64 {
	s := l.Speed
	if s == 0 {
		s = 1
	}
	x := q / s
	i := 0
	for i < len(points)-2 && x > float64(points[i+1].Flow) {
		i++
	}
	a, b := points[i], points[i+1]
	return -s * s * (float64(a.Rise) + float64(b.Rise-a.Rise)*(x-float64(a.Flow))/float64(b.Flow-a.Flow))
}

// offLaw returns the largest difference, in Pa, between what a link or join takes and the pressures at its ends, and node
// balances over the largest flow. A drop's own steepness times a flow error of qTol is forgiven.
func offLaw(t failer, n network.Network, fans fanLaws, sol network.Solution, qTol float64) (pascal, balance float64, where string) {
	t.Helper()
	qmax := 1e-6
	for _, q := range sol.Flow {
		qmax = math.Max(qmax, math.Abs(float64(q)))
	}
	drop := func(i int, q float64) float64 {
		if l := n.Links[i].Law; l.Kind == network.Fan {
			return twinFan(l, fans[i], q)
		}
		return twinDrop(t, n.Air, n.Links[i].Law, q)
	}
	for i, l := range n.Links {
		q := float64(sol.Flow[i])
		if l.Law.Kind == network.Shut {
			if q != 0 {
				t.Fatalf("shut link %d carries %g", i, q)
			}
			continue
		}
		given := float64(sol.Pressure[l.From] - sol.Pressure[l.To])
		off := math.Abs(given - drop(i, q))
		slack := math.Abs(drop(i, q+qTol*qmax) - drop(i, q-qTol*qmax))
		if off -= slack; off > pascal {
			pascal, where = off, fmt.Sprintf("link %d (kind %d, flow %g, drop %g, given %g)", i, l.Law.Kind, q, drop(i, q), given)
		}
	}
	for k, j := range n.Joins {
		qs, qb := float64(sol.JoinFlow[k][0]), float64(sol.JoinFlow[k][1])
		s, b := twinJoin(n.Air, j, qs, qb)
		pc := float64(sol.Pressure[j.Common])
		for _, off := range [2]float64{s - float64(sol.Pressure[j.Through]) + pc, b - float64(sol.Pressure[j.Branch]) + pc} {
			if math.Abs(off) > pascal {
				pascal, where = math.Abs(off), fmt.Sprintf("join %d (%g, %g)", k, qs, qb)
			}
		}
	}
	return pascal, imbalance(n, sol) / qmax, where
}
