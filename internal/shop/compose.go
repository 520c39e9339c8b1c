package shop

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"winnow/internal/unit"
)

// Look reads a part of the file as a value; false if it is not written. A Doc of shop/file has one.
type Look func(Path) (*Value, bool)

// Rename gives a thing another name; all that speaks of it is mended with it.
func Rename(p Path, name ID) []Edit { return []Edit{{Rename: p, To: Text(name)}} }

// RemoveMachine takes a machine out of the shop with all that speaks of it. Its pipes stay where they are: a run that only
// it fed ends in a cap, a hose it shared is left to the others. Readings taken while it ran go too: there is nothing
// left to judge by them. An option that would change nothing but the machine goes with it; one that would change more stays,
// and is said to be out of date.
func RemoveMachine(s *Shop, machine ID) []Edit {
	var edits []Edit
	for _, y := range s.Systems {
		for _, r := range y.Runs {
			edits = append(edits, withoutSource(y.Name, r, machine)...)
		}
	}
	for _, a := range s.Arrangements {
		for _, st := range a.Stand {
			if st.Machine == machine {
				edits = append(edits, Edit{Remove: Path("arrangements").Join(a.Name, machine)})
			}
		}
	}
	for _, h := range s.Routine.HoursPerWeek {
		if h.Of == machine {
			edits = append(edits, Edit{Remove: Path("routine/hours per week").Join(machine)})
		}
	}
	for i := len(s.Routine.Together) - 1; i >= 0; i-- { // from the end, so that the numbers before still hold
		p := Path("routine/together").Join(strconv.Itoa(i + 1))
		at := slices.Index(s.Routine.Together[i], machine)
		switch {
		case at < 0:
		case len(s.Routine.Together[i]) <= 2:
			edits = append(edits, Edit{Remove: p})
		default:
			edits = append(edits, Edit{Remove: p.Join(strconv.Itoa(at + 1))})
		}
	}
	for _, sensor := range s.Sensors {
		if sensor.Machine == machine {
			edits = append(edits, Edit{Remove: Path("sensors").Join(sensor.Name)})
		}
	}
	for i := len(s.Readings) - 1; i >= 0; i-- {
		r := s.Readings[i]
		where, _, _ := strings.Cut(r.Where, "/")
		if where == machine || slices.Contains(r.Running, machine) {
			edits = append(edits, Edit{Remove: Path("readings").Join(strconv.Itoa(i + 1))})
		}
	}
	for _, o := range s.Options {
		if onlyAbout(o, MachinePath(machine)) && !spokenOf(s.Options, o.Name) {
			edits = append(edits, Edit{Remove: Path("options").Join(o.Name)})
		}
	}
	return append(edits, Edit{Remove: MachinePath(machine)})
}

// onlyAbout reports whether an option changes the thing at a path and nothing else.
func onlyAbout(o Option, p Path) bool {
	return len(o.Change) > 0 && !slices.ContainsFunc(o.Change, func(e Edit) bool {
		t := e.Target()
		return t != p && !strings.HasPrefix(string(t), string(p)+"/")
	})
}

// spokenOf reports whether another option needs or rules out this one.
func spokenOf(all []Option, option ID) bool {
	return slices.ContainsFunc(all, func(o Option) bool {
		return o.Name != option && (slices.Contains(o.OnlyWith, option) || slices.Contains(o.NotWith, option))
	})
}

// withoutSource takes a machine off the start of a run.
func withoutSource(system ID, r Run, machine ID) []Edit {
	var left []Value
	for _, p := range r.From.Ports {
		if p.Machine != machine {
			left = append(left, Value{Text: p.String()})
		}
	}
	if len(left) == len(r.From.Ports) {
		return nil
	}
	e := Edit{Set: RunPath(system, r.Name).Join("from")}
	switch len(left) {
	case 0:
		e.To = Text("cap")
	case 1:
		e.To = &left[0]
	default:
		e.To = &Value{Kind: List, Items: left}
	}
	edits := []Edit{e}
	if len(left) > 0 {
		return edits
	}
	// a cap has no place of its own, so what was measured from the machine on is no longer known
	for i, p := range r.Pieces {
		if p.At.Basis == unit.Given {
			break
		}
		if p.What == Pipe && p.Pipe.Basis == unit.Drawn || p.What == Hose && p.Hose.Basis == unit.Drawn {
			edits = append(edits, Edit{Set: PiecePath(system, r, i).Join(string(p.What)), To: Text("unknown")})
		}
	}
	return edits
}

// Duplicate puts a copy of a thing with a name right after it. Names inside that must be unique get a number, and device
// names are left out: two gates on one name would move together. The copy of a run is joined where the run is joined.
// It is false where there is nothing to copy.
func Duplicate(s *Shop, look Look, p Path, name ID) ([]Edit, bool) {
	v, ok := look(p)
	if !ok {
		return nil, false
	}
	c := &copier{used: namesIn(s), fresh: map[string]string{}}
	keys := p.Keys()
	isRun := len(keys) == 4 && keys[0] == "systems" && keys[2] == "runs"
	twin := c.copy(*v, isRun)
	c.mend(&twin)
	edits := []Edit{{Insert: &Value{Kind: Map, Keys: []string{name}, Items: []Value{twin}}, After: p}}
	if isRun {
		edits = append(edits, joinBeside(s, keys[1], keys[3], name)...)
	}
	return edits, true
}

// DuplicateMachine copies what a machine is, not where it is: the copy stands nowhere and is plugged in nowhere until
// somebody says so, for two machines neither share a spot nor must they share an outlet.
func DuplicateMachine(s *Shop, look Look, machine, name ID) ([]Edit, bool) {
	edits, ok := Duplicate(s, look, MachinePath(machine), name)
	if !ok {
		return nil, false
	}
	twin := &edits[0].Insert.Items[0]
	twin.without("at", "places", "facing")
	for i, k := range twin.Keys {
		switch k {
		case "plug":
			twin.Items[i].without("outlet")
		case "port":
			twin.Items[i].without("at")
		case "ports":
			for j := range twin.Items[i].Items {
				twin.Items[i].Items[j].without("at")
			}
		}
	}
	return edits, true
}

// without leaves keys of a map out.
func (v *Value) without(keys ...string) {
	if v.Kind != Map {
		return
	}
	for i := len(v.Keys) - 1; i >= 0; i-- {
		if slices.Contains(keys, v.Keys[i]) {
			v.Keys, v.Items = slices.Delete(v.Keys, i, i+1), slices.Delete(v.Items, i, i+1)
		}
	}
}

// joinBeside names a new run beside another in the wye that takes it in.
func joinBeside(s *Shop, system, run, name ID) []Edit {
	y := s.System(system)
	if y == nil {
		return nil
	}
	for _, r := range y.Runs {
		for i, p := range r.Pieces {
			at := slices.Index(p.Wye, run)
			if p.What != Wye || at < 0 {
				continue
			}
			path := PiecePath(system, r, i)
			if len(p.Wye) > 1 {
				return []Edit{{Insert: Text(name), After: path.Join("wye", strconv.Itoa(at+1))}}
			}
			return []Edit{{Insert: &Value{Kind: Map, Keys: []string{"wye"}, Items: []Value{{Text: name}}}, After: path}}
		}
	}
	return nil
}

// copier makes names inside a copy new.
type copier struct {
	used  map[string]bool
	fresh map[string]string // old name of a split, new name
}

func namesIn(s *Shop) map[string]bool {
	used := map[string]bool{}
	for _, y := range s.Systems {
		for _, r := range y.Runs {
			for _, p := range r.Pieces {
				if p.What != Wye {
					used[p.Named()] = true
				}
			}
		}
	}
	for _, c := range s.Circuits {
		for _, o := range c.Outlets {
			used[o.Name] = true
		}
	}
	return used
}

func (c *copier) name(old string) string {
	for n := 2; ; n++ {
		if try := fmt.Sprintf("%s %d", old, n); !c.used[try] {
			c.used[try] = true
			return try
		}
	}
}

// copy copies a value; without the wyes of a run, whose runs end in the first of the two.
func (c *copier) copy(v Value, isRun bool) Value {
	out := Value{Kind: v.Kind, Text: v.Text}
	for i, item := range v.Items {
		if v.Kind == List {
			if isRun && item.Kind == Map && slices.Contains(item.Keys, "wye") {
				continue
			}
			out.Items = append(out.Items, c.copy(item, isRun))
			continue
		}
		k := v.Keys[i]
		twin := c.copy(item, isRun)
		switch k {
		case "device":
			continue
		case string(Gate), string(Tap), string(Separator), string(Split):
			if item.Kind == Scalar {
				twin.Text = c.name(item.Text)
				if k == string(Split) {
					c.fresh[item.Text] = twin.Text
				}
			}
		case "outlets":
			for j := range twin.Keys {
				twin.Keys[j] = c.name(twin.Keys[j])
			}
		}
		out.Keys, out.Items = append(out.Keys, k), append(out.Items, twin)
	}
	return out
}

// mend lets runs of the copy start at the splits of the copy.
func (c *copier) mend(v *Value) {
	for i := range v.Items {
		if v.Kind == Map && v.Keys[i] == "from" {
			if old, is := strings.CutPrefix(v.Items[i].Text, "split "); is && c.fresh[old] != "" {
				v.Items[i].Text = "split " + c.fresh[old]
			}
		}
		c.mend(&v.Items[i])
	}
}

// Lengthen gives a pipe or hose another length, written as an owner would: to the inch, or to the centimetre.
func Lengthen(system ID, r Run, piece int, to unit.Metre, sys unit.System) []Edit {
	p := r.Pieces[piece]
	return []Edit{{Set: PiecePath(system, r, piece).Join(string(p.What)), To: Text(LengthText(to, sys))}}
}

// LengthText writes a length for the file: `12 ft 6 in`, or `3.81 m`.
func LengthText(l unit.Metre, sys unit.System) string {
	if sys == unit.SI {
		return strconv.FormatFloat(math.Round(float64(l)*100)/100, 'f', -1, 64) + " m"
	}
	inches := int(math.Round(float64(l) / 0.0254))
	switch feet := inches / 12; {
	case inches < 0:
		return strconv.Itoa(inches) + " in"
	case feet == 0:
		return strconv.Itoa(inches) + " in"
	case inches%12 == 0:
		return strconv.Itoa(feet) + " ft"
	default:
		return fmt.Sprintf("%d ft %d in", feet, inches%12)
	}
}
