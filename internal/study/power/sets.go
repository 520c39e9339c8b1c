package power

import (
	"slices"
	"strconv"
	"strings"

	"winnow/internal/shop"
)

// allowed lists every set that may run: each machine alone, then what the routine says may run together; each with the
// extraction it needs, the cleaners that run with machines, and whatever draws current by itself, by hand or always.
// Two lines of the routine that come to the same are one set.
func (g *Grid) allowed() []Set {
	var out []Set
	for _, m := range g.shop.Machines {
		if set, ok := g.set([]shop.ID{m.Name}, ""); ok {
			out = append(out, set)
		}
	}
	for i, together := range g.shop.Routine.Together {
		set, ok := g.set(together, shop.Path("routine/together").Join(strconv.Itoa(i+1)))
		if ok && !slices.ContainsFunc(out, func(o Set) bool { return o.Name == set.Name }) {
			out = append(out, set)
		}
	}
	if len(out) == 0 { // nothing but what runs by itself
		out = append(out, Set{Name: "no machine", loads: g.common()})
	}
	return out
}

// set makes one set; false where one of its machines is away.
func (g *Grid) set(machines []shop.ID, where shop.Path) (Set, bool) {
	set := Set{Name: list(machines), Machines: machines, Brings: []shop.ID{}, where: where, loads: g.common()}
	away := g.away()
	for _, m := range machines {
		if away[m] || g.shop.Machine(m) == nil {
			return set, false
		}
		g.put(&set.loads, Machine, m)
		for _, y := range g.brings(m) {
			if !slices.Contains(set.Brings, y) {
				set.Brings = append(set.Brings, y)
			}
			g.put(&set.loads, System, y)
			g.put(&set.loads, Cleaner, y)
		}
	}
	return set, true
}

// brings lists the systems and cleaners that start with a machine: those a run leads to, and those it also starts.
func (g *Grid) brings(machine shop.ID) []shop.ID {
	var out []shop.ID
	for _, y := range g.shop.Systems {
		for _, r := range y.Runs {
			if slices.ContainsFunc(r.From.Ports, func(p shop.PortRef) bool { return p.Machine == machine }) && !slices.Contains(out, y.Name) {
				out = append(out, y.Name)
			}
		}
	}
	if m := g.shop.Machine(machine); m != nil {
		out = append(out, m.AlsoStarts...)
	}
	for _, c := range g.shop.AirCleaners {
		if c.Works != "by hand" && !slices.Contains(out, c.Name) {
			out = append(out, c.Name)
		}
	}
	return out
}

// common are the loads that may draw current whatever runs.
func (g *Grid) common() mask {
	var m mask
	for i, l := range g.loads {
		if l.always() {
			m.put(i)
		}
	}
	return m
}

func (g *Grid) put(m *mask, s Sort, name shop.ID) {
	for i, l := range g.loads {
		if l.Sort == s && l.Name == name {
			m.put(i)
		}
	}
}

// list writes names as one would say them: "saw", "saw and planer", "saw, planer and lathe".
func list(names []string) string {
	switch n := len(names); n {
	case 0:
		return "nothing"
	case 1:
		return names[0]
	default:
		return strings.Join(names[:n-1], ", ") + " and " + names[n-1]
	}
}
