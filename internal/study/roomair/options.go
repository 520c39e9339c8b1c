package roomair

import (
	"cmp"
	"math"
	"slices"

	"winnow/internal/physics/particle"
	"winnow/internal/shop"
	"winnow/internal/unit"
)

// candidate is something that could be done: as edits of the file, or as a habit the file does not know.
type candidate struct {
	remedy shop.Remedy
	change func(*shop.Shop) // the edits, done on a copy; nil: a habit
	tweak  func(*layout)
	held   string
}

// options computes what each candidate leaves of today's dose, with the same draws, best first; what is held back stands last.
func (st *study) options() {
	candidates := st.candidates()
	layouts := make([]*layout, len(candidates))
	for i := range candidates {
		layouts[i] = st.with(&candidates[i], st.in.Try)
	}
	for i, x := range st.ratios(layouts) {
		if c := &candidates[i]; layouts[i] != nil {
			st.ans.Options = append(st.ans.Options, Option{Remedy: c.remedy, Withheld: c.held, Inhalable: x.inhalable, Respirable: x.respirable})
		}
	}
	slices.SortStableFunc(st.ans.Options, func(a, b Option) int {
		return cmp.Or(cmp.Compare(min(1, len(a.Withheld)), min(1, len(b.Withheld))), cmp.Compare(a.Inhalable.Median, b.Inhalable.Median))
	})
}

func (st *study) ratio(after *outcome, c int) Span {
	return spanOf(st.of, func(i int) float64 { return after.twa[i][c] / st.base.twa[i][c] })
}

// with is the shop with a candidate done: re-read through Try where the file can say it. nil: the edits do not apply.
func (st *study) with(c *candidate, try shop.Trial) *layout {
	if c.change == nil {
		l := build(st.in.Shop, st.flow)
		c.tweak(l)
		return l
	}
	var changed *shop.Shop
	if try != nil {
		s, err := try(c.remedy.Edits...)
		if err != nil {
			return nil
		}
		changed = st.in.Fill(s)
	} else {
		copied := *st.in.Shop
		copied.Systems = slices.Clone(copied.Systems)
		copied.AirCleaners = slices.Clone(copied.AirCleaners)
		for i := range copied.AirCleaners {
			copied.AirCleaners[i].Stages = slices.Clone(copied.AirCleaners[i].Stages)
		}
		c.change(&copied)
		changed = &copied
	}
	return build(changed, st.in.Airflow(changed))
}

func (st *study) candidates() []candidate {
	var out []candidate
	out = append(out, st.habits()...)
	for s := range st.l.sources {
		if c, ok := st.catching(s); ok {
			out = append(out, c)
		}
	}
	for i := range st.l.systems {
		out = append(out, st.systemOptions(i)...)
	}
	return append(append(out, st.cleanerOptions()...), st.ownOptions()...)
}

// habits cost nothing and are often the best.
func (st *study) habits() []candidate {
	var out []candidate
	has := func(c Chore) bool {
		return slices.ContainsFunc(st.l.sources, func(s source) bool { return s.chore == c && s.time > 0 })
	}
	if has(Sweeping) {
		out = append(out, candidate{
			remedy: shop.Remedy{What: ActVacuumSweep, Free: true},
			tweak: func(l *layout) {
				for i := range l.sources {
					if l.sources[i].chore == Sweeping { // a tenth of a dry broom. Judgement [S-389]
						l.sources[i].dust = band{l.sources[i].dust.best / 10, l.sources[i].dust.low / 10, l.sources[i].dust.high / 10}
					}
				}
			},
		})
	}
	if has(Emptying) || has(Beating) {
		out = append(out, candidate{
			remedy: shop.Remedy{What: ActOutdoorChores, Free: true},
			tweak: func(l *layout) {
				for i := range l.sources {
					if c := l.sources[i].chore; c == Emptying || c == Beating {
						l.sources[i].dust = band{} // it takes as long, in other air
					}
				}
			},
		})
	}
	if name, area := widestDoor(st.in.Shop.Room); area > 0 {
		out = append(out, candidate{
			remedy: shop.Remedy{What: ActDoor, Free: true, Args: []shop.Arg{shop.Word("door", name)}},
			tweak: func(l *layout) { // one opening in the wind: 0.025·A·U, U 1.5 m/s (0.5 to 4). From memory [S-376]
				l.opened = band{0.025 * area * 1.5, 0.025 * area * 0.5, 0.025 * area * 4}
			},
		})
	}
	if len(st.l.sources) > 0 { // a box fan: 600 cfm, 300 to 850 by what it blows against. Common practice
		flow := band{0.28, 0.14, 0.40}
		out = append(out, candidate{
			held:   st.flameWord(),
			remedy: shop.Remedy{What: ActWindowFan, Args: []shop.Arg{sizeArg("flow", unit.M3PerSec(flow.best))}},
			tweak:  func(l *layout) { l.opened = flow },
		})
	}
	return out
}

// widestDoor is the largest door, 2 m high.
func widestDoor(r shop.Room) (shop.ID, float64) {
	name, area := "", 0.0
	for _, d := range r.Doors {
		if a := 2 * math.Hypot(float64(d.To.East-d.From.East), float64(d.To.North-d.From.North)); a > area {
			name, area = d.Name, a
		}
	}
	return name, area
}

// catching is what would catch more at one machine: a pickup, a guard, or its fine need.
func (st *study) catching(s int) (candidate, bool) {
	src := &st.l.sources[s]
	if src.chore != NotAChore || src.time <= 0 || src.about == nil {
		return candidate{}, false
	}
	name := shop.Word("machine", src.name)
	joined, short, fine := false, false, 0.0
	for _, h := range src.hoods {
		joined = joined || h.system >= 0
		short = short || h.gets.best < 0.95*h.needs.best
		fine += h.needs.best
	}
	switch {
	case !joined:
		if src.about.Escape == nil {
			return candidate{}, false
		}
		return candidate{
			remedy: shop.Remedy{What: ActPickup, Args: []shop.Arg{name}},
			tweak: func(l *layout) {
				t := &l.sources[s]
				t.all = bandOf(t.about.Escape.Share, 0.3, 3)
				t.bare = t.all
				t.hoods = []hood{{system: -1, needs: band{1, 1, 1}, gets: band{1, 1, 1}}}
			},
		}, true
	case short:
		return candidate{
			remedy: shop.Remedy{What: ActFineNeed, Args: []shop.Arg{name, shop.Number("needs", unit.M3PerSec(fine))}},
			tweak: func(l *layout) {
				for h := range l.sources[s].hoods {
					t := &l.sources[s].hoods[h]
					t.gets = band{math.Max(t.gets.best, t.needs.best), math.Max(t.gets.low, t.needs.best), math.Max(t.gets.high, t.needs.best)}
				}
			},
		}, true
	case src.about.EscapeBare != nil && !src.hasExtra():
		return candidate{
			remedy: shop.Remedy{What: ActGuard, Args: []shop.Arg{name}},
			tweak:  func(l *layout) { l.sources[s].bare = l.sources[s].all },
		}, true
	}
	return candidate{}, false
}

// systemOptions are a better filter and the way outdoors for a system that returns its air.
func (st *study) systemOptions(i int) []candidate {
	y := &st.l.systems[i]
	if y.outdoors || !st.used(i) {
		return nil
	}
	var out []candidate
	const better = "HEPA H13"
	if y.filter.Family != particle.HighGrade && y.filter.Family != particle.VacuumClass {
		out = append(out, candidate{
			remedy: shop.Remedy{What: ActFilter, Args: []shop.Arg{shop.Word("grade", better), shop.Word("system", y.name)},
				Edits: []shop.Edit{{Set: y.path.Join("filter", "grade"), To: shop.Text(better)}}},
			change: func(s *shop.Shop) { s.Systems[i].Filter = regraded(s.Systems[i].Filter, better) },
		})
	}
	if y.kind == "collector" {
		out = append(out, candidate{
			held: st.flameWord(),
			remedy: shop.Remedy{What: ActOutdoors, Args: []shop.Arg{shop.Word("system", y.name)},
				Edits: []shop.Edit{{Set: y.path.Join("air goes"), To: shop.Text("outdoors")}}},
			change: func(s *shop.Shop) { s.Systems[i].AirGoes = "outdoors" },
		})
	}
	return out
}

func regraded(f shop.Maybe[shop.Filter], grade string) shop.Maybe[shop.Filter] {
	f.Value.Grade = grade
	if !f.Is() {
		f.Basis = unit.Given
	}
	return f
}

func (st *study) used(system int) bool {
	for s := range st.l.sources {
		for _, h := range st.l.sources[s].hoods {
			if h.system == system && st.l.sources[s].time > 0 {
				return true
			}
		}
	}
	return false
}

// newCleaner is a usual ceiling cleaner. Common practice.
const (
	newCleaner     = "new cleaner"
	newCleanerFlow = "700 m³/h"
	newCleanerM3s  = unit.M3PerSec(700.0 / 3600)
)

func (st *study) cleanerOptions() []candidate {
	if len(st.l.cleaners) == 0 {
		to := &shop.Value{Kind: shop.Map, Keys: []string{"flow", "stages", "works", "keeps running"}, Items: []shop.Value{
			*shop.Text(newCleanerFlow),
			{Kind: shop.List, Items: []shop.Value{
				{Kind: shop.Map, Keys: []string{"grade"}, Items: []shop.Value{*shop.Text("MERV 8")}},
				{Kind: shop.Map, Keys: []string{"grade"}, Items: []shop.Value{*shop.Text("MERV 13")}},
			}},
			*shop.Text("with machines"), *shop.Text("60 min"),
		}}
		return []candidate{{
			remedy: shop.Remedy{What: ActCleaner, Args: []shop.Arg{sizeArg("flow", newCleanerM3s)},
				Edits: []shop.Edit{{Set: shop.CleanerPath(newCleaner), To: to}}},
			change: func(s *shop.Shop) {
				s.AirCleaners = append(s.AirCleaners, shop.AirCleaner{
					Name: newCleaner, Flow: unit.Exactly(newCleanerM3s), Stages: []shop.Filter{{Grade: "MERV 8"}, {Grade: "MERV 13"}},
					Works: "with machines", KeepsRunning: unit.Exactly(unit.Second(3600)),
				})
			},
		}}
	}
	var out []candidate
	for i := range st.in.Shop.AirCleaners {
		c := &st.in.Shop.AirCleaners[i]
		path := shop.CleanerPath(c.Name)
		if c.Works == "by hand" {
			out = append(out, candidate{
				remedy: shop.Remedy{What: ActWithMachines, Free: true, Args: []shop.Arg{shop.Word("cleaner", c.Name)},
					Edits: []shop.Edit{{Set: path.Join("works"), To: shop.Text("with machines")}}},
				change: func(s *shop.Shop) { s.AirCleaners[i].Works = "with machines" },
			})
		}
		n := len(c.Stages)
		if n == 0 {
			continue
		}
		last, err := particle.ParseGrade(c.Stages[n-1].Grade)
		if err != nil || last.Keeps(0.6*particle.Micrometre, particle.Seasoned).Best < 0.7 {
			const grade = "MERV 15"
			out = append(out, candidate{
				remedy: shop.Remedy{What: ActStage, Args: []shop.Arg{shop.Word("grade", grade), shop.Word("cleaner", c.Name)},
					Edits: []shop.Edit{{Set: path.Join("stages", itoa(n), "grade"), To: shop.Text(grade)}}},
				change: func(s *shop.Shop) { s.AirCleaners[i].Stages[n-1].Grade = grade },
			})
		}
	}
	return out
}

// sold are the grades that are compared, and what is sold with them. Common practice, no source.
var sold = []struct{ grade, as string }{
	{"30 µm claimed", "a plain bag"}, {"5 µm claimed", "a felt bag"}, {"1 µm claimed", "a fine bag or a cartridge"},
	{"MERV 15", "a fine cartridge"}, {"HEPA H13", "a sealed last filter"},
}

// filters is the choice of filter for the collector that returns most air.
func (st *study) filters() {
	i := st.returning()
	if i < 0 {
		return
	}
	st.ans.FilterOf = st.l.systems[i].name
	var layouts []*layout // compared here, not proposed
	for _, g := range sold {
		layouts = append(layouts, st.with(&candidate{change: func(s *shop.Shop) { s.Systems[i].Filter = regraded(s.Systems[i].Filter, g.grade) }}, nil))
		st.ans.Filters = append(st.ans.Filters, FilterChoice{Grade: g.grade, Sold: g.as})
	}
	layouts = append(layouts, st.with(&candidate{change: func(s *shop.Shop) { s.Systems[i].AirGoes = "outdoors" }}, nil))
	st.ans.Filters = append(st.ans.Filters, FilterChoice{Grade: "outdoors"})
	for k, x := range st.ratios(layouts) {
		st.ans.Filters[k].Inhalable, st.ans.Filters[k].Respirable = x.inhalable, x.respirable
	}
	if share := 1 - st.ans.Filters[len(layouts)-1].Respirable.Median; share > 0.1 {
		st.find(CodeReturns, st.l.systems[i].path, "S-380", partArg("share", share), shop.Word("system", st.l.systems[i].name))
	}
}

// returning is the system that blows most air back into the room over a day; -1: none does.
func (st *study) returning() int {
	best, most := -1, 0.0
	for i := range st.l.systems {
		if st.l.systems[i].outdoors {
			continue
		}
		if v := st.blown(i); v > most {
			best, most = i, v
		}
	}
	return best
}

// blown is the air through a system in a day [m³].
func (st *study) blown(i int) float64 {
	sum := 0.0
	for s := range st.l.sources {
		for _, h := range st.l.sources[s].hoods {
			if h.system == i {
				sum += h.gets.best * float64(st.l.sources[s].time)
			}
		}
	}
	return sum
}

// fan is the most a system's fan moves: as solved, else what the ports of one machine get together.
func (st *study) fan(i int) unit.Amount[unit.M3PerSec] {
	if q, ok := st.in.Fans[st.l.systems[i].name]; ok {
		return q
	}
	return unit.Exactly(unit.M3PerSec(st.drawn(i)))
}

// drawn is the most that the ports of one machine draw from a system.
func (st *study) drawn(i int) float64 {
	most := 0.0
	for s := range st.l.sources {
		q := 0.0
		for _, h := range st.l.sources[s].hoods {
			if h.system == i {
				q += h.gets.best
			}
		}
		most = math.Max(most, q)
	}
	return most
}
