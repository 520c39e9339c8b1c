package power

import (
	"cmp"
	"slices"
)

// How many moves patch makes at most, and for how many of them a load that was moved stays where it is.
const (
	patchSteps = 120
	patchRests = 3
)

// patch mends the present plugs one at a time, always by the move that leaves the fewest clashes; a load that was just moved stays for some
// steps, so that two moves are not taken back and forth for ever. It proves nothing, and nil says nothing; but what it finds is near what is
// plugged in now, where place, which begins with empty circuits, may shuffle every plug.
func (s *seeker) patch() []int {
	p := patching{
		s: s, at: slices.Clone(s.start), on: make([]mask, len(s.g.lines)), bad: make([]int, len(s.g.lines)), rests: make([]int, len(s.start)),
	}
	for i, l := range s.g.loads {
		if l.Known && p.at[i] >= 0 {
			p.on[p.at[i]].put(i)
		}
	}
	for c := range p.bad {
		p.bad[c] = s.fails(c, p.on[c])
	}
	for _, i := range s.order {
		if p.at[i] < 0 {
			p.move([]int{i})
		}
	}
	for range patchSteps {
		c := p.worst()
		if c < 0 {
			return p.at
		}
		var who []int
		p.on[c].each(func(i int) {
			if len(s.can[i]) > 0 {
				who = append(who, i)
			}
		})
		if !p.move(who) || s.over() {
			return nil
		}
	}
	return nil
}

// patching is a plan that is being mended.
type patching struct {
	s     *seeker
	at    []int
	on    []mask
	bad   []int // circuit -> sets in which it fails
	rests []int // load -> step up to which it stays
	step  int
}

// worst is the circuit that fails in the most sets, -1 for none.
func (p *patching) worst() int {
	c := -1
	for d, n := range p.bad {
		if n > 0 && (c < 0 || n > p.bad[c]) {
			c = d
		}
	}
	return c
}

// move makes the best move of one of these loads: fewest clashes, then a plug that comes back to where it was, then one whose cord reaches.
func (p *patching) move(who []int) bool {
	type choice struct{ i, d, left, away, far int }
	best := choice{i: -1}
	p.step++
	for _, i := range who {
		if p.rests[i] >= p.step {
			continue
		}
		for _, d := range p.s.can[i] {
			if d == p.at[i] {
				continue
			}
			p.s.spent += mendCosts
			c := choice{i: i, d: d, left: p.s.fails(d, with(p.on[d], i)) - p.bad[d]}
			if from := p.at[i]; from >= 0 {
				c.left += p.s.fails(from, without(p.on[from], i)) - p.bad[from]
			}
			if d != p.s.start[i] {
				c.away = 1
			}
			if !p.s.near[d].has(i) {
				c.far = 1
			}
			if best.i < 0 || cmp.Or(cmp.Compare(c.left, best.left), cmp.Compare(c.away, best.away), cmp.Compare(c.far, best.far)) < 0 {
				best = c
			}
		}
	}
	if best.i < 0 {
		return false
	}
	if from := p.at[best.i]; from >= 0 {
		p.on[from].drop(best.i)
		p.bad[from] = p.s.fails(from, p.on[from])
	}
	p.at[best.i] = best.d
	p.on[best.d].put(best.i)
	p.bad[best.d] = p.s.fails(best.d, p.on[best.d])
	p.rests[best.i] = p.step + patchRests
	return true
}

func with(m mask, i int) mask    { m.put(i); return m }
func without(m mask, i int) mask { m.drop(i); return m }

// fails counts the sets in which a circuit fails with these loads on it.
func (s *seeker) fails(c int, on mask) int {
	n := 0
	for _, set := range s.sets {
		if !s.fine(c, on.and(set)) {
			n++
		}
	}
	return n
}
