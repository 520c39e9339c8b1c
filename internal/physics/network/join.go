package network

import "math"

// join is a converging junction, linearised: the two pressure differences to the common port are e + J·(q - at).
type join struct {
	q, at, was [2]float64 // Qs, Qb
	full       [2]float64 // the step being shortened
	e          [2]float64
	j          [4]float64 // ∂es/∂Qs ∂es/∂Qb ∂eb/∂Qs ∂eb/∂Qb

	cc, css, cbb, ls, lb float64 // ρ/2 times 1/Ac², 2/(As·Ac), 2κ/(Ab·Ac), (1+ks)/As², (1+kb)/Ab²

	thin float64 // network density over the join's, from Compressible

	// flows of the two ports away from the root, by the pressure at the port towards it: child 0 and child 1
	maps [2]affine

	v      [3]int32 // vertices at through, branch, common
	id     int32    // the caller's number
	pos    int32    // in order; none in the core
	fresh  bool     // new numbers: evaluate even at the same flow
	parent int8     // the port towards the root: 0, 1, 2; none in the core
}

func (jn *join) load(j *Join, rho float64) {
	if jn.thin == 0 {
		jn.thin = 1
	}
	rho *= jn.thin
	as, ab, ac := boreArea(float64(j.DThrough)), boreArea(float64(j.DBranch)), boreArea(float64(j.DCommon))
	h := rho / 2
	jn.cc = h / (ac * ac)
	jn.css = 2 * h / (as * ac)
	jn.cbb = 2 * h * j.Kappa / (ab * ac)
	jn.ls = h * (1 + j.KThrough) / (as * as)
	jn.lb = h * (1 + j.KBranch) / (ab * ab)
	jn.fresh = true
}

// times stretches all losses: another density.
func (jn *join) times(x float64) {
	jn.cc, jn.css, jn.cbb, jn.ls, jn.lb = jn.cc*x, jn.css*x, jn.cbb*x, jn.ls*x, jn.lb*x
	jn.fresh = true
}

func boreArea(d float64) float64 { return math.Pi / 4 * d * d }

// evaluate takes law and slope at the present flows. At a flow of exactly 0 the slope is that of the converging side.
func (jn *join) evaluate() {
	qs, qb := jn.q[0], jn.q[1]
	jn.at = jn.q
	s, b := math.Max(qs, 0), math.Max(qb, 0)
	sum := s + b
	p := jn.cc*sum*sum - jn.css*s*s - jn.cbb*b*b
	as, ab := math.Abs(qs), math.Abs(qb)
	jn.e = [2]float64{p + jn.ls*qs*as, p + jn.lb*qb*ab}
	var ps, pb float64
	if qs >= 0 {
		ps = 2*jn.cc*sum - 2*jn.css*s
	}
	if qb >= 0 {
		pb = 2*jn.cc*sum - 2*jn.cbb*b
	}
	jn.j = [4]float64{ps + 2*jn.ls*as, pb, ps, pb + 2*jn.lb*ab}
}

// drops are the two linearised pressure differences at the present flows.
func (jn *join) drops() (s, b float64) {
	ds, db := jn.q[0]-jn.at[0], jn.q[1]-jn.at[1]
	return jn.e[0] + jn.j[0]*ds + jn.j[1]*db, jn.e[1] + jn.j[2]*ds + jn.j[3]*db
}

// child ports of each parent port
var joinKids = [3][2]int8{{1, 2}, {0, 2}, {0, 1}}

// seen is the linearised join from its parent port: the pressures at the two other ports, x and y, are
// p + e + Z·(what they supply).
func (jn *join) seen() (e [2]float64, z [4]float64) {
	j := &jn.j
	es := jn.e[0] - j[0]*jn.at[0] - j[1]*jn.at[1]
	eb := jn.e[1] - j[2]*jn.at[0] - j[3]*jn.at[1]
	switch jn.parent {
	case 2:
		return [2]float64{es, eb}, *j
	case 0: // Qs = -(qb + qc)
		return [2]float64{eb - es, -es}, [4]float64{j[3] - j[1] - j[2] + j[0], j[0] - j[2], j[0] - j[1], j[0]}
	default: // Qb = -(qs + qc)
		return [2]float64{es - eb, -eb}, [4]float64{j[0] - j[2] - j[1] + j[3], j[3] - j[1], j[3] - j[2], j[3]}
	}
}

// rises are the pressures at the two child ports over the one at the parent port, at the present flows.
func (jn *join) rises() [2]float64 {
	es, eb := jn.drops()
	switch jn.parent {
	case 2:
		return [2]float64{es, eb}
	case 0:
		return [2]float64{eb - es, -es}
	default:
		return [2]float64{es - eb, -eb}
	}
}

// settle takes what the two child ports supply and sets the leg flows.
func (jn *join) settle(x, y float64) {
	switch jn.parent {
	case 2:
		jn.q = [2]float64{x, y}
	case 0:
		jn.q = [2]float64{-(x + y), x}
	default:
		jn.q = [2]float64{x, -(x + y)}
	}
}

// parts is what the two child ports supply.
func (jn *join) parts() (x, y float64) {
	switch jn.parent {
	case 2:
		return jn.q[0], jn.q[1]
	case 0:
		return jn.q[1], -(jn.q[0] + jn.q[1])
	default:
		return jn.q[0], -(jn.q[0] + jn.q[1])
	}
}

func (jn *join) total() float64 {
	x, y := jn.parts()
	return x + y
}

// add gives a little more flow to the child port that yields more.
func (jn *join) add(dq float64) {
	x, y := jn.parts()
	if jn.maps[0].g > jn.maps[1].g {
		x += dq
	} else {
		y += dq
	}
	jn.settle(x, y)
}

// foldJoin combines the subtrees at the two child ports into one, seen from the parent port: (B + A·Z)·q = C - A·(dp + e),
// dp being the change of pressure at the parent port.
func (s *Solver) foldJoin(jn *join) affine {
	e, z := jn.seen()
	p := s.verts[jn.v[jn.parent]].p
	var a, b, c [2]float64
	for k, port := range joinKids[jn.parent] {
		v := &s.verts[jn.v[port]]
		e[k] += p - v.p
		if v.fixed {
			a[k], b[k], c[k] = 1, 0, 0
			continue
		}
		if v.dirty {
			s.sumKids(v)
		}
		a[k], b[k], c[k] = v.g, 1, v.alpha
	}
	m00, m01 := b[0]+a[0]*z[0], a[0]*z[1]
	m10, m11 := a[1]*z[2], b[1]+a[1]*z[3]
	det := m00*m11 - m01*m10
	if !(det > 1e-12*(math.Abs(m00*m11)+math.Abs(m01*m10))) {
		// only a leg running backwards can do this (the rule is not monotone there): go on without the coupling
		m01, m10 = 0, 0
		m00, m11 = b[0]+a[0]*math.Max(z[0], slopeFloor), b[1]+a[1]*math.Max(z[3], slopeFloor)
		det = m00 * m11
	}
	inv := 1 / det
	r0, r1 := c[0]-a[0]*e[0], c[1]-a[1]*e[1]
	jn.maps[0] = affine{(m11*r0 - m01*r1) * inv, (m11*a[0] - m01*a[1]) * inv}
	jn.maps[1] = affine{(m00*r1 - m10*r0) * inv, (m00*a[1] - m10*a[0]) * inv}
	return affine{jn.maps[0].alpha + jn.maps[1].alpha, jn.maps[0].g + jn.maps[1].g}
}
