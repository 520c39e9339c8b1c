// Package typical holds the usual values of the trade, each with its range and its source, and fills every gap of a
// shop with them, marked *assumed*.
//
// It refuses to know how the values are used: no airflow, no room, no circuit is computed here, and no line on the floor.
// A number the owner gave is never touched. Start reading at Fill, then data/machines.txt; look-ups are MachineKind,
// PipeKind, Bore, Tolerance and their like.
package typical

import (
	"strings"
	"sync"

	"winnow/internal/unit"
)

// Pair is a value for either kind of owner: US sizes, voltages and 60 Hz, or metric sizes, 230 V and 50 Hz.
type Pair[T unit.Real] struct{ US, SI unit.Amount[T] }

// For picks one of the two.
func (p Pair[T]) For(sys unit.System) unit.Amount[T] {
	if sys == unit.US {
		return p.US
	}
	return p.SI
}

// book is all the tables, read once.
type book struct {
	sources    map[string]Source
	sourceList []Source

	machines  index[Machine]
	emissions index[Emission]
	escapes   index[Escape]
	entries   index[Entry]

	pipes    index[Pipe]
	outside  []sized
	elbows   index[Elbow]
	wyes     index[Wye]
	reducers index[Wye]
	gates    index[Gate]
	leaks    index[Leak]
	kinks    index[Kink]
	travel   index[Time]
	hoses    hoseHabits

	systems    index[System]
	fansUS     []FanRow
	fansEU     []FanRow
	motorsEU   []motorRow
	wheel      wheelRule
	filters    index[FilterKind]
	states     index[State]
	grades     index[Grade]
	separators index[SeparatorKind]
	bins       index[BinKind]
	chips      index[Chips]
	bodies     index[Body]
	times      index[Time]
	cleaners   index[CleanerKind]

	place     place
	motors    index[MotorKind]
	loads     index[LoadKind]
	doubts    map[string]Doubt
	doubtKeys []string
	facts     map[string]*fact
	factNames []string
}

// tables reads the embedded tables at the first call.
var tables = sync.OnceValue(func() *book {
	b := &book{}
	b.readSources()
	b.readMachines()
	b.readDucts()
	b.readSystems()
	b.readPlace()
	b.readDoubts()
	b.readFacts()
	return b
})

// index finds things by their name and other spellings, and keeps the order of the table.
type index[T any] struct {
	list []*T
	by   map[string]*T
}

func (x *index[T]) add(t *T, e *entry, names ...string) {
	if x.by == nil {
		x.by = map[string]*T{}
	}
	x.list = append(x.list, t)
	for _, n := range names {
		if other, taken := x.by[fold(n)]; taken && other != t {
			e.bad(e.no, "%q names two things", n)
		}
		x.by[fold(n)] = t
	}
}

// find forgives case, hyphens and the spelling of sizes.
func (x *index[T]) find(name string) (*T, bool) {
	if t, ok := x.by[name]; ok { // the usual case costs no folding
		return t, true
	}
	t, ok := x.by[fold(name)]
	return t, ok
}

// must finds a thing the tables themselves name.
func (x *index[T]) must(e *entry, name string) *T {
	t, ok := x.find(name)
	if !ok {
		e.bad(e.no, "there is no %q", name)
	}
	return t
}

// at is a thing that the code itself names.
func (x *index[T]) at(name string) *T {
	t, ok := x.find(name)
	if !ok {
		panic("typical: the tables lack " + name)
	}
	return t
}

var (
	spelling = strings.NewReplacer("-", " ", "_", " ", "/", " ", "\"", " in ", "″", " in ", "½", " 1 2", "⅞", " 7 8", "¼", " 1 4", "μ", "µ",
		"miter", "mitre", "draught", "draft", "galvanized", "galvanised", "aluminum", "aluminium")
	wordSpelling = map[string]string{"inch": "in", "inches": "in", "um": "µm", "micron": "µm", "microns": "µm", "disk": "disc"}
)

// fold makes one spelling of many: small letters, single spaces, British where the two differ.
func fold(name string) string {
	words := strings.Fields(spelling.Replace(strings.ToLower(name)))
	for i, w := range words {
		if other, ok := wordSpelling[w]; ok {
			words[i] = other
		}
	}
	return strings.Join(words, " ")
}
