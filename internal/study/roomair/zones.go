package roomair

import (
	"fmt"
	"math"

	"winnow/internal/unit"
)

// Room is two zones of air, the near one at the person and the far one that is the rest, with one balance for each
// size of dust. Slices run by size.
//
// What enters or leaves, in m³/s of air cleaned: Between is the air that the zones exchange; NearFalls what dust of a
// size falls out of the near zone (settling speed times the floor under it); FarLands what it loses to surfaces in the
// far one; Changes the air that comes in from outdoors by itself.
type Room struct {
	Near, Far unit.M3
	Between   unit.M3PerSec
	Changes   unit.M3PerSec
	NearFalls []float64 // m³/s
	FarLands  []float64 // m³/s
	Outdoors  []float64 // kg/m³ in the air that comes in
	Drops     []bool    // too coarse to spread: what leaves the near zone lands, the far zone never holds it
}

// Draw is air taken from the room: by a hood, or by a cleaner.
type Draw struct {
	Flow     unit.M3PerSec
	Near     float64   // share of it that comes from the near zone
	Passes   []float64 // share of each size that comes back to the far zone; nil: none does
	Outdoors bool      // the air leaves the building: as much comes in from outdoors
	Caught   []float64 // kg/s that goes into it straight from the machine, not from the air
}

// Mode is what goes on in the room for a while.
type Mode struct {
	NearSource []float64     // kg/s into the near zone; nil: none
	FarSource  []float64     // kg/s into the far zone; nil: none
	Draws      []Draw        //
	Opened     unit.M3PerSec // more air from outdoors: doors, a window fan
}

// Spell is one mode for a time. Moves: the person goes somewhere else first, so the near zone is a new piece of air.
type Spell struct {
	Mode  int
	For   unit.Second
	Moves bool
}

// Course is what Run found. Sums are over time: kg·s/m³ by spell and size, spell after spell.
type Course struct {
	Sizes      int
	NearSum    []float64
	FarSum     []float64
	Near, Far  []float64 // kg/m³ at the end
	NearAt     []float64 // kg/m³ at the end of each spell, by size
	FarAt      []float64
	keepLevels bool
}

// rates is one mode's balance for one size, ready to be run: x' = A·x + b with its two rates and projections.
type rates struct {
	l1, l2             float64 // 1/s, both at or below zero
	p11, p12, p21, p22 float64 // projection on l1; on l2 it is the rest of 1
	b1, b2             float64 // kg/(m³ s)
	drops              bool
}

// Engine runs a room. It keeps its memory from run to run; one for each goroutine.
type Engine struct {
	rates []rates // mode after mode
	sizes int
}

// Prepare sets the room and the modes. Everything is checked here once, so that Run cannot fail.
//
// For each size, n in the near zone and f in the far one [kg/m³]:
//
//	Vn·n' = Gn + (β+Qn)·f - (β+Qn+s)·n
//	Vf·f' = Gf + Σ p·caught + β·n + Σ p·(Qn·n + Qf·f) + Qout·c - (β+Qn)·f - Qf·f - (X+d)·f
//
// β Between, Qn and Qf what draws take from the near and the far zone, p what passes their filters, s and d falling and
// landing, X all air that comes from outdoors by itself, c its dust. Air balances zone by zone. So a system that blows
// back into the room is a sink of Q·C and a source of p·(caught + Q·C), and the room's own air is counted once.
//
// Leaves out how dust clumps, and that air short-circuits from a return to a hood. Source [S-380], [S-381].
func (e *Engine) Prepare(r *Room, modes []Mode) error {
	n := len(r.NearFalls)
	if !(r.Near > 0 && r.Far > 0 && r.Between > 0 && r.Changes >= 0) {
		return fmt.Errorf("a room needs two zones with air and an exchange between them: near %g m³, far %g m³, between %g m³/s, changes %g m³/s", r.Near, r.Far, r.Between, r.Changes)
	}
	if len(r.FarLands) != n || len(r.Outdoors) != n || len(r.Drops) != n {
		panic("roomair: the slices of a room differ in length")
	}
	e.sizes = n
	if cap(e.rates) < n*len(modes) {
		e.rates = make([]rates, n*len(modes))
	}
	e.rates = e.rates[:n*len(modes)]
	for m := range modes {
		for k := range n {
			e.rates[m*n+k] = balance(r, &modes[m], k)
		}
	}
	return nil
}

// balance makes the rates of one size.
func balance(r *Room, m *Mode, k int) rates {
	vn, vf := float64(r.Near), float64(r.Far)
	beta, opened := float64(r.Between), float64(r.Changes+m.Opened)
	var drawnNear, drawnFar, backNear, backFar, out, caughtBack float64
	for i := range m.Draws {
		d := &m.Draws[i]
		near := float64(d.Flow) * d.Near
		far := float64(d.Flow) - near
		drawnNear += near
		drawnFar += far
		if d.Outdoors {
			out += float64(d.Flow)
		}
		if d.Passes != nil {
			p := d.Passes[k]
			backNear += p * near
			backFar += p * far
			if d.Caught != nil {
				caughtBack += p * d.Caught[k]
			}
		}
	}
	var x rates
	a11 := -(beta + drawnNear + r.NearFalls[k]) / vn
	a12 := (beta + drawnNear) / vn
	a21 := (beta + backNear) / vf
	a22 := -(beta + drawnNear + drawnFar - backFar + opened + r.FarLands[k]) / vf
	if m.NearSource != nil {
		x.b1 = m.NearSource[k] / vn
	}
	x.b2 = (caughtBack + (opened+out)*r.Outdoors[k]) / vf
	if m.FarSource != nil {
		x.b2 += m.FarSource[k] / vf
	}
	if r.Drops[k] {
		x.drops, x.l1, x.b2 = true, a11, 0
		return x
	}
	// Real and apart: a12·a21 > 0 as the zones exchange air.
	mean, half := (a11+a22)/2, math.Sqrt((a11-a22)*(a11-a22)/4+a12*a21)
	x.l1 = mean - half
	// From the product, as mean + half cancels where the room hardly loses anything.
	x.l2 = (a11*a22 - a12*a21) / x.l1
	if x.l2 > 0 {
		x.l2 = 0 // a room without any loss: rounding alone
	}
	gap := x.l1 - x.l2
	x.p11, x.p12 = (a11-x.l2)/gap, a12/gap
	x.p21, x.p22 = a21/gap, (a22-x.l2)/gap
	return x
}

// grown returns exp(l·t), (exp(l·t)-1)/l and its own integral over t, for l <= 0.
func grown(l, t float64) (e, first, second float64) {
	z := l * t
	switch {
	case z > -0.25: // the closed forms cancel; the series is exact to rounding, and each sum follows from the next
		s := 1 + z*(1.0/3+z*(1.0/12+z*(1.0/60+z*(1.0/360+z*(1.0/2520+z*(1.0/20160+z*(1.0/181440+z*(1.0/1814400+z/19958400))))))))
		second = t * t / 2 * s
		first = t + l*second
		return 1 + l*first, first, second
	case z < -45:
		first = -1 / l
	default:
		e = math.Exp(z)
		first = (e - 1) / l
	}
	return e, first, (first - t) / l
}

// Run goes through the spells from still, clean air, or from near and far [kg/m³] where they are given, and returns the
// levels summed over time. Exact between events, for any list of them: splitting a spell changes nothing.
func (e *Engine) Run(r *Room, spells []Spell, near, far []float64, keepLevels bool, c *Course) {
	n := e.sizes
	c.Sizes, c.keepLevels = n, keepLevels
	c.NearSum, c.FarSum = sized(c.NearSum, n*len(spells)), sized(c.FarSum, n*len(spells))
	c.Near, c.Far = sized(c.Near, n), sized(c.Far, n)
	if keepLevels {
		c.NearAt, c.FarAt = sized(c.NearAt, n*len(spells)), sized(c.FarAt, n*len(spells))
	}
	for k := range n {
		c.Near[k], c.Far[k] = r.Outdoors[k], r.Outdoors[k]
		if near != nil {
			c.Near[k], c.Far[k] = near[k], far[k]
		}
		if r.Drops[k] {
			c.Far[k] = 0
			if near == nil {
				c.Near[k] = 0
			}
		}
	}
	share := float64(r.Near / r.Far)
	for i, s := range spells {
		if s.Moves {
			e.move(share, c, r)
		}
		t := float64(s.For)
		for k := range n {
			x := &e.rates[s.Mode*n+k]
			n0, f0 := c.Near[k], c.Far[k]
			e1, g1, h1 := grown(x.l1, t)
			if x.drops {
				c.Near[k] = e1*n0 + g1*x.b1
				c.NearSum[i*n+k] = g1*n0 + h1*x.b1
				c.FarSum[i*n+k] = 0
				continue
			}
			e2, g2, h2 := grown(x.l2, t)
			// The part of start and source that goes with the first rate; the rest goes with the second.
			un, uf := x.p11*n0+x.p12*f0, x.p21*n0+x.p22*f0
			bn, bf := x.p11*x.b1+x.p12*x.b2, x.p21*x.b1+x.p22*x.b2
			vn, vf, cn, cf := n0-un, f0-uf, x.b1-bn, x.b2-bf
			c.Near[k] = e1*un + e2*vn + g1*bn + g2*cn
			c.Far[k] = e1*uf + e2*vf + g1*bf + g2*cf
			c.NearSum[i*n+k] = g1*un + g2*vn + h1*bn + h2*cn
			c.FarSum[i*n+k] = g1*uf + g2*vf + h1*bf + h2*cf
		}
		if keepLevels {
			copy(c.NearAt[i*n:(i+1)*n], c.Near)
			copy(c.FarAt[i*n:(i+1)*n], c.Far)
		}
	}
}

// move makes the near zone a new piece of the far air; what was in the old one spreads, but for what drops. share is
// the near zone's air over the far one's.
func (e *Engine) move(share float64, c *Course, r *Room) {
	for k := range c.Near {
		if r.Drops[k] {
			c.Near[k] = 0
			continue
		}
		f := c.Far[k]
		c.Far[k] += share * (c.Near[k] - f)
		c.Near[k] = f
	}
}

func sized(s []float64, n int) []float64 {
	if cap(s) < n {
		return make([]float64, n)
	}
	return s[:n]
}

// Ledger is where the dust of one size went, in kg. Began + In is Held + Landed + Left + Kept to rounding.
type Ledger struct {
	Began  float64 // in the air at the start
	In     float64 // from machines and people, and with the outdoor air
	Held   float64 // in the air at the end
	Landed float64 // on the floor and other surfaces
	Left   float64 // outdoors
	Kept   float64 // in filters, separators and bins
}

// Off is what the ledger does not account for, as a share of all there was.
func (l Ledger) Off() float64 {
	if l.Began+l.In == 0 {
		return math.Abs(l.Held + l.Landed + l.Left + l.Kept)
	}
	return math.Abs(l.Began+l.In-l.Held-l.Landed-l.Left-l.Kept) / (l.Began + l.In)
}

// Account adds up where each size went over a whole course that began at near and far (nil: as Run takes it).
func Account(r *Room, modes []Mode, spells []Spell, near, far []float64, c *Course) []Ledger {
	n := c.Sizes
	out := make([]Ledger, n)
	moved := movedAway(r, spells, c, near)
	for k := range n {
		l := &out[k]
		n0, f0 := r.Outdoors[k], r.Outdoors[k]
		if near != nil {
			n0, f0 = near[k], far[k]
		}
		if r.Drops[k] {
			f0 = 0
			if near == nil {
				n0 = 0
			}
		}
		l.Began = n0*float64(r.Near) + f0*float64(r.Far)
		l.Held = c.Near[k]*float64(r.Near) + c.Far[k]*float64(r.Far)
		l.Landed = moved[k]
		for i, s := range spells {
			l.add(r, &modes[s.Mode], k, float64(s.For), c.NearSum[i*n+k], c.FarSum[i*n+k])
		}
	}
	return out
}

// movedAway is what drops when the person leaves a near zone full of dust too coarse to spread.
func movedAway(r *Room, spells []Spell, c *Course, near []float64) []float64 {
	out := make([]float64, c.Sizes)
	for i, s := range spells {
		if !s.Moves {
			continue
		}
		for k := range c.Sizes {
			if !r.Drops[k] {
				continue
			}
			switch {
			case i > 0 && c.keepLevels:
				out[k] += c.NearAt[(i-1)*c.Sizes+k] * float64(r.Near)
			case i > 0:
				panic("roomair: an account of moves needs the levels kept")
			case near != nil:
				out[k] += near[k] * float64(r.Near)
			}
		}
	}
	return out
}

func (l *Ledger) add(r *Room, m *Mode, k int, t, nearSum, farSum float64) {
	opened := float64(r.Changes + m.Opened)
	if m.NearSource != nil {
		l.In += m.NearSource[k] * t
	}
	if m.FarSource != nil && !r.Drops[k] {
		l.In += m.FarSource[k] * t
	}
	l.Landed += r.NearFalls[k]*nearSum + r.FarLands[k]*farSum
	if r.Drops[k] {
		l.Landed += float64(r.Between) * nearSum
	} else {
		l.In += opened * r.Outdoors[k] * t
		l.Left += opened * farSum
	}
	for i := range m.Draws {
		d := &m.Draws[i]
		near := float64(d.Flow) * d.Near
		stream := near*nearSum + (float64(d.Flow)-near)*farSum
		if d.Caught != nil {
			stream += d.Caught[k] * t
			l.In += d.Caught[k] * t
		}
		back := 0.0
		if d.Passes != nil {
			back = d.Passes[k] * stream
		}
		if d.Outdoors && !r.Drops[k] {
			l.In += float64(d.Flow) * r.Outdoors[k] * t
		}
		switch {
		case d.Outdoors:
			l.Left += stream - back
		default:
			l.Kept += stream - back
		}
		if r.Drops[k] {
			l.Landed += back
		}
	}
}
