package roomair

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"winnow/internal/unit"
)

// scene is a random room with a random day in it.
type scene struct {
	room   Room
	modes  []Mode
	spells []Spell
}

const few = 3 // sizes in the random scenes; the last is too coarse to spread

func drawScene(t *rapid.T) scene {
	f := func(low, high float64, name string) float64 {
		if x := rapid.Float64Range(low, high).Draw(t, name); x > 1e-9*high { // nothing below what a float64 can carry
			return x
		}
		return low
	}
	list := func(low, high float64, name string) []float64 {
		out := make([]float64, few)
		for i := range out {
			out[i] = f(low, high, name)
		}
		return out
	}
	var s scene
	near := f(0.5, 3, "near")
	s.room = Room{
		Near: unit.M3(near), Far: unit.M3(near * f(5, 100, "far over near")), Between: unit.M3PerSec(f(0.02, 0.6, "between")),
		Changes: unit.M3PerSec(f(0, 0.05, "changes")), NearFalls: list(0, 0.1, "falls"), FarLands: list(0, 0.2, "lands"),
		Outdoors: list(0, 1e-8, "outdoors"), Drops: []bool{false, false, true},
	}
	s.room.Outdoors[2] = 0
	for range rapid.IntRange(1, 4).Draw(t, "modes") {
		m := Mode{NearSource: list(0, 1e-6, "near source"), FarSource: list(0, 1e-6, "far source"), Opened: unit.M3PerSec(f(0, 0.3, "opened"))}
		m.FarSource[2] = 0
		for range rapid.IntRange(0, 3).Draw(t, "draws") {
			m.Draws = append(m.Draws, Draw{
				Flow: unit.M3PerSec(f(0, 0.5, "flow")), Near: f(0, 1, "near share"), Passes: list(0, 1, "passes"),
				Outdoors: rapid.Bool().Draw(t, "outdoors"), Caught: list(0, 1e-5, "caught"),
			})
		}
		s.modes = append(s.modes, m)
	}
	for range rapid.IntRange(1, 8).Draw(t, "spells") {
		s.spells = append(s.spells, Spell{
			Mode: rapid.IntRange(0, len(s.modes)-1).Draw(t, "mode"), For: unit.Second(f(0, 4000, "for")), Moves: rapid.Bool().Draw(t, "moves"),
		})
	}
	return s
}

func TestMassIsKept(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawScene(t)
		var e Engine
		if err := e.Prepare(&s.room, s.modes); err != nil {
			t.Fatal(err)
		}
		c := &Course{}
		e.Run(&s.room, s.spells, nil, nil, true, c)
		for k, l := range Account(&s.room, s.modes, s.spells, nil, nil, c) {
			if l.Off() > 1e-9 {
				t.Fatalf("size %d: %g of the mass is lost: %+v", k, l.Off(), l)
			}
		}
		for _, x := range append(append([]float64{}, c.Near...), c.Far...) {
			if !(x >= -1e-18) {
				t.Fatalf("a level of %g", x)
			}
		}
	})
}

func TestSplittingASpellChangesNothing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawScene(t)
		var e Engine
		if err := e.Prepare(&s.room, s.modes); err != nil {
			t.Fatal(err)
		}
		whole, parts := &Course{}, &Course{}
		e.Run(&s.room, s.spells, nil, nil, false, whole)
		i := rapid.IntRange(0, len(s.spells)-1).Draw(t, "which")
		share := unit.Second(rapid.Float64Range(0, 1).Draw(t, "share"))
		first, second := s.spells[i], s.spells[i]
		first.For, second.For, second.Moves = first.For*share, second.For*(1-share), false
		cut := append(append(append([]Spell{}, s.spells[:i]...), first, second), s.spells[i+1:]...)
		e.Run(&s.room, cut, nil, nil, false, parts)
		for k := range few {
			scale := math.Max(whole.Near[k], whole.Far[k])
			same(t, "near", whole.Near[k], parts.Near[k], scale, 1e-12)
			same(t, "far", whole.Far[k], parts.Far[k], scale, 1e-12)
			near, far := whole.NearSum[i*few+k], whole.FarSum[i*few+k]
			scale = math.Max(near, far)
			same(t, "near sum", near, parts.NearSum[i*few+k]+parts.NearSum[(i+1)*few+k], scale, 1e-12)
			same(t, "far sum", far, parts.FarSum[i*few+k]+parts.FarSum[(i+1)*few+k], scale, 1e-12)
		}
	})
}

func same(t interface {
	Helper()
	Fatalf(string, ...any)
}, what string, a, b, scale, rel float64) {
	t.Helper()
	if math.Abs(a-b) > rel*scale+1e-22 {
		t.Fatalf("%s: %.15g and %.15g", what, a, b)
	}
}

// slow is the same balance written straight from the words, stepped by Runge and Kutta's fourth order.
func (s scene) slow(steps int) (near, far, nearSum, farSum [few]float64) {
	r := &s.room
	for k := range few {
		n, f := r.Outdoors[k], r.Outdoors[k]
		if r.Drops[k] {
			n, f = 0, 0
		}
		for _, sp := range s.spells {
			if sp.Moves {
				if r.Drops[k] {
					n = 0
				} else {
					n, f = f, f+float64(r.Near)*(n-f)/float64(r.Far)
				}
			}
			m := s.modes[sp.Mode]
			flow := func(n, f float64) (dn, df float64) {
				mixIn, mixOut := float64(r.Between)*f, float64(r.Between)*n
				dn = m.NearSource[k] + mixIn - mixOut - r.NearFalls[k]*n
				df = m.FarSource[k] - mixIn - r.FarLands[k]*f + float64(r.Changes+m.Opened)*(r.Outdoors[k]-f)
				if !r.Drops[k] {
					df += mixOut
				}
				for _, d := range m.Draws {
					q, qn := float64(d.Flow), float64(d.Flow)*d.Near
					hood := d.Caught[k] + qn*n + (q-qn)*f // what goes into the hood
					dn += qn*f - qn*n                     // far air follows into the near zone
					df += -qn*f - (q-qn)*f + d.Passes[k]*hood
					if d.Outdoors {
						df += q * r.Outdoors[k]
					}
				}
				if r.Drops[k] {
					df = 0
				}
				return dn / float64(r.Near), df / float64(r.Far)
			}
			h := float64(sp.For) / float64(steps)
			for range steps {
				a, b := flow(n, f)
				c, d := flow(n+h/2*a, f+h/2*b)
				p, q := flow(n+h/2*c, f+h/2*d)
				u, v := flow(n+h*p, f+h*q)
				// The sum over time by Hermite's cubic: exact to the step's own order.
				n1, f1 := n+h/6*(a+2*c+2*p+u), f+h/6*(b+2*d+2*q+v)
				a1, b1 := flow(n1, f1)
				nearSum[k] += h/2*(n+n1) + h*h/12*(a-a1)
				farSum[k] += h/2*(f+f1) + h*h/12*(b-b1)
				n, f = n1, f1
			}
		}
		near[k], far[k] = n, f
	}
	return near, far, nearSum, farSum
}

// The twin is itself checked: twice the steps must move it by a sixteenth of what it is trusted to.
func TestAgainstRungeKutta(t *testing.T) {
	agreed := 0
	defer func() {
		if agreed < 20 {
			t.Errorf("the twin converged in %d rooms only: nothing is tested", agreed)
		}
	}()
	rapid.Check(t, func(t *rapid.T) {
		s := drawScene(t)
		for i := range s.spells { // stiff rooms need short steps
			s.spells[i].For = min(s.spells[i].For, 300)
		}
		var e Engine
		if err := e.Prepare(&s.room, s.modes); err != nil {
			t.Fatal(err)
		}
		c := &Course{}
		e.Run(&s.room, s.spells, nil, nil, false, c)
		n1, f1, ns1, fs1 := s.slow(400)
		n2, f2, ns, fs := s.slow(800)
		agreed++
		for k := range few {
			// Richardson: the finer one is good to a fifteenth of the change.
			for _, x := range [][2]float64{{n1[k], n2[k]}, {f1[k], f2[k]}, {ns1[k], ns[k]}, {fs1[k], fs[k]}} {
				if math.Abs(x[0]-x[1])/15 > 1e-7*math.Max(x[0], x[1])+1e-25 {
					agreed--
					return // too stiff for the twin's steps
				}
			}
			same(t, "near", c.Near[k], n2[k], n2[k], 1e-6)
			same(t, "far", c.Far[k], f2[k], f2[k], 1e-6)
			var near, far float64
			for i := range s.spells {
				near += c.NearSum[i*few+k]
				far += c.FarSum[i*few+k]
			}
			same(t, "near sum", near, ns[k], ns[k], 1e-6)
			same(t, "far sum", far, fs[k], fs[k], 1e-6)
		}
	})
}

// At a fixed source, more cleaning never raises a level: neither a better filter on any draw, nor one more cleaner, which
// takes its air from the room. (A hood that pulls the person's air into the room may: it moves dust, and that is why a
// cleaner is never modelled as drawing from the near zone.)
func TestMoreCleaningNeverRaisesALevel(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawScene(t)
		more := s
		more.modes = append([]Mode{}, s.modes...)
		i := rapid.IntRange(0, len(s.modes)-1).Draw(t, "mode")
		m := &more.modes[i]
		m.Draws = append([]Draw{}, m.Draws...)
		if len(m.Draws) > 0 && rapid.Bool().Draw(t, "better filter") {
			by := rapid.Float64Range(0, 1).Draw(t, "by")
			p := append([]float64{}, m.Draws[0].Passes...)
			for k := range p {
				p[k] *= by
			}
			m.Draws[0].Passes = p
		} else {
			p := rapid.Float64Range(0, 1).Draw(t, "passes")
			m.Draws = append(m.Draws, Draw{Flow: unit.M3PerSec(rapid.Float64Range(0, 1).Draw(t, "flow")), Passes: []float64{p, p, p}})
		}
		before, after := s.runIn(t), more.runIn(t)
		for i := range before.NearSum {
			if after.NearSum[i] > before.NearSum[i]*(1+1e-9)+1e-25 || after.FarSum[i] > before.FarSum[i]*(1+1e-9)+1e-25 {
				t.Fatalf("cleaning raised a level: near %g to %g, far %g to %g", before.NearSum[i], after.NearSum[i], before.FarSum[i], after.FarSum[i])
			}
		}
	})
}

func (s scene) runIn(t *rapid.T) *Course {
	var e Engine
	if err := e.Prepare(&s.room, s.modes); err != nil {
		t.Fatal(err)
	}
	c := &Course{}
	e.Run(&s.room, s.spells, nil, nil, true, c)
	return c
}

func TestARoomWithoutAirIsRefused(t *testing.T) {
	var e Engine
	if err := e.Prepare(&Room{Near: 1, Far: 0, Between: 1}, nil); err == nil {
		t.Error("a room without air was run")
	}
	if err := e.Prepare(&Room{Near: 1, Far: unit.M3(math.NaN()), Between: 1}, nil); err == nil {
		t.Error("a room of less than nothing was run")
	}
}

// A day of 500 events with 12 sizes and 30 machines.
func bigDay() (Room, []Mode, []Spell) {
	const sizes = 12
	room := Room{Near: 1.1, Far: 120, Between: 0.17, Changes: 0.02, NearFalls: make([]float64, sizes), FarLands: make([]float64, sizes), Outdoors: make([]float64, sizes), Drops: make([]bool, sizes)}
	for k := range sizes {
		room.NearFalls[k], room.FarLands[k], room.Drops[k] = 1e-5*math.Exp2(float64(k)), 1e-3*math.Exp2(float64(k)), k > 9
	}
	var modes []Mode
	for m := range 31 {
		g, p := make([]float64, sizes), make([]float64, sizes)
		for k := range sizes {
			g[k], p[k] = 1e-9*float64(m+k), 0.5/float64(k+1)
		}
		modes = append(modes, Mode{NearSource: g, Draws: []Draw{{Flow: 0.15, Near: 0.5, Passes: p, Caught: g}, {Flow: 0.2, Passes: p}}})
	}
	var spells []Spell
	for i := range 500 {
		spells = append(spells, Spell{Mode: (i * 7) % 31, For: unit.Second(30 + i%90), Moves: i%2 == 0})
	}
	return room, modes, spells
}

func BenchmarkDay(b *testing.B) {
	room, modes, spells := bigDay()
	var e Engine
	c := &Course{}
	for b.Loop() {
		if err := e.Prepare(&room, modes); err != nil {
			b.Fatal(err)
		}
		e.Run(&room, spells, nil, nil, false, c)
	}
}
