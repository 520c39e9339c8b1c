package roomair

import (
	"slices"

	"winnow/internal/shop"
)

// setups compares each further setup of a machine with its usual one. The airflow of the ports that stay on is taken as
// it was: that it rises a little when another is off is left out.
func (st *study) setups() {
	for i := range st.in.Shop.Machines {
		m := &st.in.Shop.Machines[i]
		at := slices.IndexFunc(st.l.sources, func(s source) bool { return s.name == m.Name && s.chore == NotAChore })
		if at < 0 || len(m.Setups) < 2 {
			continue
		}
		for _, setup := range m.Setups[1:] {
			if len(setup.Without) == 0 {
				continue
			}
			l := *st.l
			l.sources = slices.Clone(l.sources)
			l.sources[at].hoods = slices.DeleteFunc(slices.Clone(l.sources[at].hoods), func(h hood) bool { return slices.Contains(setup.Without, h.ref.Port) })
			missed := l.missed(st, at)
			st.ans.Setups = append(st.ans.Setups, SetupAnswer{
				Machine: m.Name, Setup: setup.Name,
				Caught:  spanOf(st.of, func(i int) float64 { return 1 - missed[i] }),
				Escapes: spanOf(st.of, func(i int) float64 { return missed[i] / (1 - st.base.caught[at][i]) }),
			})
		}
	}
}

// missed is the share that escapes at one source, draw by draw.
func (l *layout) missed(st *study, at int) []float64 {
	x, d := l.newNumbers(), l.sampled(st.in.Belief, st.of)
	out := make([]float64, st.of+1)
	for i := range out {
		l.set(x, d, i)
		out[i] = x.missed[at]
	}
	return out
}

// together compares half an hour at one machine with the other running beside it, for the pairs the routine allows.
func (st *study) together() {
	for _, set := range st.in.Shop.Routine.Together {
		for _, a := range set {
			for _, b := range set {
				i, j := st.sourceOf(a), st.sourceOf(b)
				if a == b || i < 0 || j < 0 {
					continue
				}
				ratio := st.beside(i, j)
				st.ans.Together = append(st.ans.Together, Together{At: a, With: b, Breathes: spanOf(st.of, func(k int) float64 { return ratio[k] })})
			}
		}
	}
}

func (st *study) sourceOf(name shop.ID) int {
	return slices.IndexFunc(st.l.sources, func(s source) bool { return s.name == name && s.chore == NotAChore })
}

// beside is the inhalable dose of half an hour at source i with j running too, over that of i alone, draw by draw. What
// escapes at j goes to the rest of the room.
func (st *study) beside(i, j int) []float64 {
	l := st.l
	x, d := l.newNumbers(), l.sampled(st.in.Belief, st.of)
	out := make([]float64, st.of+1)
	spell := []Spell{{For: 1800, Moves: true}}
	n := len(l.sizes)
	for k := range out {
		l.set(x, d, k)
		alone := l.mode(x, &modeOf{source: i, makes: true, cleaners: true, people: true})
		other := l.mode(x, &modeOf{source: j, makes: true})
		both := alone
		both.FarSource = make([]float64, n)
		for b := range both.FarSource {
			both.FarSource[b] = x.stirred[b]
			if !x.room.Drops[b] {
				both.FarSource[b] += x.near[j][b]
			}
		}
		both.Draws = slices.Clone(alone.Draws)
		for _, draw := range other.Draws {
			if draw.Caught != nil { // its hoods; cleaners are there already
				draw.Near = 0
				both.Draws = append(both.Draws, draw)
			}
		}
		dose := [2]float64{}
		for w, m := range []Mode{alone, both} {
			if err := x.eng.Prepare(&x.room, []Mode{m}); err != nil {
				panic(err) // build keeps every room one that can be run
			}
			x.eng.Run(&x.room, spell, nil, nil, false, &x.course)
			dose[w] = l.counted(x.course.NearSum, 1)[0]
		}
		out[k] = dose[1] / dose[0]
	}
	return out
}

// ownOptions are the options the file holds, with their prices: they are computed only where edits can be tried.
func (st *study) ownOptions() []candidate {
	if st.in.Try == nil {
		return nil
	}
	var out []candidate
	for _, o := range st.in.Shop.Options {
		if len(o.Change) == 0 {
			continue
		}
		out = append(out, candidate{
			remedy: shop.Remedy{What: ActOwn, Args: []shop.Arg{shop.Word("option", o.Name)}, Edits: o.Change, Price: o.Price},
			change: func(*shop.Shop) {},
			held:   st.ownHeld(o),
		})
	}
	return out
}

// ownHeld holds back an option that would blow air outdoors, as any other.
func (st *study) ownHeld(o shop.Option) string {
	for _, e := range o.Change {
		if e.Set.Last() == "air goes" && e.To != nil && e.To.Text == "outdoors" {
			return st.flameWord()
		}
	}
	return ""
}
