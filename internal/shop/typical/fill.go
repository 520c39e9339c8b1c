package typical

import (
	"slices"
	"strings"

	"winnow/internal/shop"
	"winnow/internal/unit"
)

// Fill returns a copy of the shop in which whatever the studies need and the owner left out has its usual value, with Basis
// Assumed, its range and its source; and findings that say what was assumed, the weightiest first, and what was not understood.
//
// What is Given, Drawn, Fitted or Absent stays as it is, so filling a filled shop changes nothing. Left as they are, because nobody
// may guess them: flames, doors, the outlet a thing is plugged into, prices, masks, and where anything stands. So are an area of
// openings (the mouth's loss stands for it) and a pipe's leak (see SeamLeak: its length may have to be measured on the plan first).
// After Fill every piece of a run carries its own Size and Kind.
//
// An Assumed free air is the real airflow with the fan's own clean filter; a Given one is a claim, to be taken with
// Tolerance("claimed free air").
func Fill(s *shop.Shop) (*shop.Shop, []shop.Finding) {
	f := &filler{b: tables(), s: cloned(s)}
	f.notes = make([]note, 0, 256)
	f.family()
	f.site()
	f.room()
	f.circuits()
	for i := range f.s.Machines {
		f.machine(&f.s.Machines[i])
	}
	f.loads()
	for i := range f.s.Systems {
		f.system(&f.s.Systems[i])
	}
	for i := range f.s.AirCleaners {
		f.cleaner(&f.s.AirCleaners[i])
	}
	f.practice()
	return f.s, assumptions(f.notes, f.faults)
}

// filler is one run of Fill.
type filler struct {
	b      *book
	s      *shop.Shop
	sizes  unit.System // family of trade sizes: as results are printed
	mains  unit.System // US: 120/240 V 60 Hz; SI: 230 V 50 Hz
	notes  []note
	faults []shop.Finding
}

// fill gives dst the usual value if nobody said one, and notes it.
func fill[T unit.Real](f *filler, dst *unit.Amount[T], v unit.Amount[T], t *topic, base shop.Path, key string) bool {
	if dst.Basis != unit.Unsaid {
		return false
	}
	v.Basis = unit.Assumed
	*dst = v
	f.notes = append(f.notes, note{topic: t, base: base, key: key, from: v.Source, value: &amountOf[T]{v}})
	return true
}

// quietly gives dst what follows from something that was said, or does not matter.
func quietly[T unit.Real](dst *unit.Amount[T], v unit.Amount[T]) {
	if dst.Basis == unit.Unsaid {
		v.Basis = unit.Assumed
		*dst = v
	}
}

// word gives dst the usual word if nobody said one.
func (f *filler) word(dst *string, v string, t *topic, base shop.Path, key string) bool {
	if *dst != "" || v == "" {
		return false
	}
	*dst = v
	f.say(v, t, base, key)
	return true
}

// say notes an assumption that is no number.
func (f *filler) say(v string, t *topic, base shop.Path, key string) {
	f.notes = append(f.notes, note{topic: t, base: base, key: key, word: v, from: f.judgement()})
}

func (f *filler) judgement() string { return f.b.sources["S-121"].String() }

// unknown reports a word nobody knows, with those it is most like.
func (f *filler) unknown(code *shop.Code, where shop.Path, given string, known []string) {
	near := "`winnow kinds` lists those known."
	if names := Nearest(given, known, 3); len(names) > 0 {
		near = "Did you mean " + strings.Join(names, ", ") + "?"
	}
	f.faults = append(f.faults, shop.Finding{
		Code: code, Where: where,
		Args: []shop.Arg{shop.Word("part", partOfPath(where)), shop.Word("kind", given), shop.Word("nearest", near)},
	})
}

// family settles which sizes and which mains the shop has, from what is written.
func (f *filler) family() {
	s := f.s
	if s.Site.Wiring == "" {
		s.Site.Wiring = f.guessWiring()
		f.say(s.Site.Wiring, ofHabits, "site", "wiring")
	}
	f.mains = unit.US
	if s.Site.Wiring == "iec" {
		f.mains = unit.SI
	}
	if s.Units == "" {
		s.Units = "us"
		if f.mains == unit.SI {
			s.Units = "si"
		}
		f.say(s.Units, ofHabits, "", "units")
	}
	if s.Units == "si" {
		f.sizes = unit.SI
	}
}

// guessWiring goes by the voltages that are written: 120 V is nowhere but in US-style wiring, 230 V nowhere in it.
func (f *filler) guessWiring() string {
	var volts []unit.Volt
	see := func(m shop.Maybe[shop.Motor]) {
		if m.Value.Voltage.Basis == unit.Given {
			volts = append(volts, m.Value.Voltage.Best)
		}
	}
	for _, c := range f.s.Circuits {
		if c.Voltage.Basis == unit.Given {
			volts = append(volts, c.Voltage.Best)
		}
	}
	for _, m := range f.s.Machines {
		see(m.Motor)
	}
	for _, y := range f.s.Systems {
		see(y.Motor)
	}
	for _, v := range volts {
		if v >= 100 && v <= 130 {
			return "us"
		}
	}
	for _, v := range volts {
		if v >= 215 && v <= 235 || v >= 375 && v <= 420 {
			return "iec"
		}
	}
	if f.s.Units == "si" {
		return "iec"
	}
	return "us"
}

// height of a point on the floor that only two numbers were written for.
func (f *filler) height(p *shop.Point, v unit.Amount[unit.Metre]) {
	if p.Basis != unit.Unsaid && p.Height.Basis == unit.Unsaid {
		v.Basis = unit.Assumed
		p.Height = v
	}
}

func (f *filler) floor() unit.Amount[unit.Metre] {
	return assumed[unit.Metre](0, 0, 0, "on the floor")
}

// facing assumes the front to the north, which turns nothing, so nothing is said of it.
func (f *filler) facing(dst *unit.Amount[unit.Radian]) {
	quietly(dst, assumed[unit.Radian](0, 0, 0, "front to the north"))
}

func (f *filler) footprint(dst *shop.Footprint, w, d unit.Amount[unit.Metre], t *topic, base shop.Path) {
	if dst.Basis != unit.Unsaid {
		return
	}
	*dst = shop.Footprint{Width: w.Best, Depth: d.Best, Basis: unit.Assumed}
	f.notes = append(f.notes, note{
		topic: t, base: base, key: "footprint", from: w.Source, value: &amountOf[unit.Metre]{w},
		print: func(sys unit.System) string { return unit.Print(w.Best, sys) + " x " + unit.Print(d.Best, sys) },
	})
}

// Nearest returns up to n of the known words that are most like a given one: a letter wrong, a word in common.
func Nearest(given string, known []string, n int) []string {
	type scored struct {
		word string
		far  int
	}
	g := fold(given)
	var near []scored
	for _, k := range known {
		folded := fold(k)
		far := distance(g, folded)
		if far > max(2, len(g)/3) {
			if !commonWord(g, folded) {
				continue
			}
			far += 3
		}
		near = append(near, scored{k, far})
	}
	slices.SortStableFunc(near, func(a, b scored) int { return a.far - b.far })
	var out []string
	for _, s := range near[:min(n, len(near))] {
		out = append(out, s.word)
	}
	return out
}

func commonWord(a, b string) bool {
	for _, w := range strings.Fields(a) {
		if len(w) >= 3 && slices.Contains(strings.Fields(b), w) {
			return true
		}
	}
	return false
}

// distance is how many letters must be changed, added or dropped (Levenshtein).
func distance(a, b string) int {
	ra, rb := []rune(a), []rune(b)
	row := make([]int, len(rb)+1)
	for j := range row {
		row[j] = j
	}
	for i, x := range ra {
		diagonal := row[0]
		row[0] = i + 1
		for j, y := range rb {
			cost := diagonal
			if x != y {
				cost++
			}
			diagonal = row[j+1]
			row[j+1] = min(cost, row[j]+1, diagonal+1)
		}
	}
	return row[len(rb)]
}
