package typical_test

import (
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"winnow/internal/shop"
	"winnow/internal/shop/file"
	"winnow/internal/shop/typical"
	"winnow/internal/unit"
)

const testdata = "../../../testdata"

// whole is the example that uses every part of the grammar.
func whole(t testing.TB) *shop.Shop {
	t.Helper()
	src, err := os.ReadFile(filepath.Join(testdata, "shop", "whole.yaml"))
	if err != nil {
		t.Fatal(err)
	}
	return parsed(t, string(src))
}

func parsed(t testing.TB, src string) *shop.Shop {
	t.Helper()
	d, faults := file.Parse([]byte(src))
	for _, f := range faults {
		t.Fatalf("fault: %s", f.Text("shop.yaml"))
	}
	return d.Shop()
}

// walk calls see for every value below v, with its place by field names and list numbers.
func walk(v reflect.Value, at string, see func(at string, v reflect.Value)) {
	see(at, v)
	switch v.Kind() {
	case reflect.Slice:
		for i := range v.Len() {
			walk(v.Index(i), at+"[]", see)
		}
	case reflect.Pointer:
		if !v.IsNil() {
			walk(v.Elem(), at, see)
		}
	case reflect.Struct:
		if b, ok := basisOf(v); ok && b == unit.Absent && v.FieldByName("Value").IsValid() {
			return // a block that is not there
		}
		for i := range v.NumField() {
			if v.Type().Field(i).IsExported() {
				walk(v.Field(i), at+"."+v.Type().Field(i).Name, see)
			}
		}
	}
}

// leftUnsaid are the places that Fill leaves alone, each with its reason. Whatever else may be Unsaid in a filled shop is a gap.
var leftUnsaid = map[string]string{
	// nobody may guess these
	".Room.Flames":         "advice to blow air outdoors waits for an answer",
	".Machines[].Plug":     "where a thing is plugged in",
	".Systems[].Plug":      "where a thing is plugged in",
	".AirCleaners[].Plug":  "where a thing is plugged in",
	".Control.Quiet":       "no quiet hours unless said",
	".Machines[].Setups[]": "a setup says only what differs from the machine",
	".Options[]":           "options are edits, prices and floor",
	".Wishes":              "what to weigh is the owner's",
	".Costs":               "prices are the owner's",
	".Readings[]":          "a reading has one quantity",
	".Stock[]":             "what can be had is the owner's",
	// one of two says it
	".Systems[].Fan.Rating":                 "where there is a curve",
	".Machines[].Ports.Value[].Blower":      "where the machine has no fan of its own",
	".Machines[].Plug.Value.Extension":      "where there is none",
	".Machines[].Ports.Value[].Opening":     "the lumped mouth stands for the openings",
	".Sensors[].StartsAt":                   "one of current and pressure",
	".Sensors[].StopsAt":                    "one of current and pressure",
	".Systems[].Fan.Wheel":                  "vacuums: the rating says it all",
	".Systems[].Runs[].From":                "a run may start with a wye",
	".Room.Footprint":                       "where there are corners",
	".Room.Obstacles[].Footprint":           "where there are corners",
	".Arrangements[].AlsoThere[].Footprint": "where there are corners",
	".Room.Obstacles[].At":                  "where there are corners",
	".Arrangements[].AlsoThere[].At":        "where there are corners",
	".Systems[].Runs[].Pieces[].Leak":       "pipes and hoses: SeamLeak, once the length is known",
	".AirCleaners[].Stages[].Loss":          "not used",
	".Systems[].Runs[].Pieces[].Bin":        "only separators have bins",
	".Systems[].Exhaust[].Bin":              "only separators have bins",
	".Systems[].Exhaust[].Leak":             "what leaks out after the fan is no suction leak",
}

// geometry is optional everywhere: where nobody said where a thing stands, nothing is drawn.
var geometry = []string{".At", ".From.", ".To.", ".Corners[]", "Price"}

// pieceFields says which amounts count for a piece, by what it is; the others stay Unsaid on it.
var pieceFields = map[string][]shop.What{
	"Pipe": {shop.Pipe}, "Hose": {shop.Hose}, "Elbow": {shop.Elbow}, "Reducer": {shop.Reducer}, "Kink": {shop.Kink}, "Other": {shop.Other},
	"Radius": {shop.Elbow, shop.Hose}, "Angle": {shop.Wye, shop.Reducer, shop.Split}, "Bends": {shop.Hose},
	"Travel": {shop.Gate}, "Inlet": {shop.Separator}, "Loss": {shop.Separator},
}

// gaps lists the places that are still Unsaid though a study needs them.
func gaps(s *shop.Shop) []string {
	var out []string
	skip := func(at string) bool {
		for prefix := range leftUnsaid {
			if at == prefix || strings.HasPrefix(at, prefix+".") || strings.HasPrefix(at, prefix+"[") {
				return true
			}
		}
		for _, g := range geometry {
			if strings.Contains(at+".", g) {
				return true
			}
		}
		return false
	}
	walk(reflect.ValueOf(s).Elem(), "", func(at string, v reflect.Value) {
		if v.Type() == reflect.TypeFor[shop.Piece]() {
			out = append(out, pieceGaps(at, v)...)
			return
		}
		if strings.Contains(at, "Pieces[].") || strings.Contains(at, "Exhaust[].") {
			return // seen with their piece
		}
		if basis, ok := basisOf(v); ok && basis == unit.Unsaid && !skip(at) {
			out = append(out, at)
		}
	})
	return out
}

func pieceGaps(at string, v reflect.Value) []string {
	var out []string
	what := shop.What(v.FieldByName("What").String())
	for field, whats := range pieceFields {
		for _, w := range whats {
			f := v.FieldByName(field)
			if w == what {
				if f.Type() == reflect.TypeFor[unit.LossAt]() {
					f = f.Field(0)
				}
				if b, _ := basisOf(f); b == unit.Unsaid {
					out = append(out, at+"."+field+" of "+string(what))
				}
			}
		}
	}
	if b, _ := basisOf(v.FieldByName("Size")); b == unit.Unsaid {
		out = append(out, at+".Size of "+string(what))
	}
	if v.FieldByName("Kind").String() == "" {
		out = append(out, at+".Kind of "+string(what))
	}
	return out
}

// basisOf is where a value came from, if it is of a kind that says so.
func basisOf(v reflect.Value) (unit.Basis, bool) {
	if v.Kind() != reflect.Struct {
		return 0, false
	}
	f := v.FieldByName("Basis")
	if !f.IsValid() || f.Type() != reflect.TypeFor[unit.Basis]() {
		return 0, false
	}
	return f.Interface().(unit.Basis), true
}

// words that the studies switch on must be there too.
func missingWords(s *shop.Shop) []string {
	var out []string
	check := func(where, word string) {
		if word == "" {
			out = append(out, where)
		}
	}
	check("units", s.Units)
	check("wiring", s.Site.Wiring)
	check("practice", s.Control.Practice)
	check("would trip", s.Control.WouldTrip)
	check("slow set", s.Control.SlowSet)
	check("wood", s.Routine.Wood)
	for _, m := range s.Machines {
		check("kind of "+m.Name, m.Kind)
		check("form of "+m.Name, m.Makes.Form)
		for _, p := range m.Ports.Value {
			check("side of "+m.Name+"/"+p.Name, p.Side)
		}
	}
	for _, y := range s.Systems {
		check("kind of "+y.Name, y.Kind)
		check("air goes of "+y.Name, y.AirGoes)
		check("tested of "+y.Name, y.Fan.Tested)
		if y.Filter.Is() {
			check("filter of "+y.Name, y.Filter.Value.Kind)
			check("grade of "+y.Name, y.Filter.Value.Grade)
		}
		for _, r := range y.Runs {
			check("kind of run "+r.Name, r.Kind)
			for _, p := range r.Pieces {
				switch p.What {
				case shop.Elbow, shop.Wye, shop.Separator:
					check("make of a "+string(p.What)+" in "+r.Name, p.Make)
				case shop.Gate:
					check("idle of "+p.Gate, p.Idle)
					check("end switches of "+p.Gate, p.EndSwitches)
				}
			}
		}
	}
	return out
}

func TestNothingTheStudiesNeedIsLeftUnsaid(t *testing.T) {
	for name, s := range shops(t) {
		filled, _ := typical.Fill(s)
		for _, g := range gaps(filled) {
			t.Errorf("%s: %s is still unsaid", name, g)
		}
		for _, w := range missingWords(filled) {
			t.Errorf("%s: %s is still empty", name, w)
		}
	}
}

// shops are the whole example and sparse ones that leave nearly everything out.
func shops(t testing.TB) map[string]*shop.Shop {
	t.Helper()
	return map[string]*shop.Shop{
		"whole": whole(t),
		"empty": parsed(t, "winnow: 1\n"),
		"bare": parsed(t, `winnow: 1
machines:
  planer: {}
  saw: {kind: cabinet saw, ports: {guard: {}}}
  old thing: {}
  bench: {kind: down-draught bench}
  blower planer: {kind: planer with blower}
systems:
  collector:
    runs:
      main: {pieces: [{wye: [a, b]}, {pipe: unknown}, {separator: can}, {hose: 3 ft}]}
      a: {from: planer, pieces: [{hose: unknown}, {kink: unknown}]}
      b:
        from: saw/guard
        pieces: [{hose: 4 ft}, {gate: g}, {pipe: 3 ft}, {elbow: unknown}, {reducer: 5 in}, {pipe: 2 ft}, {tap: T}, {other: unknown}]
  vac: {runs: {main: {from: old thing, pieces: [{hose: unknown}, {separator: pail}]}}}
air cleaners: {ceiling cleaner: {}}
circuits: {A: {outlets: {wall: {at: [1 ft, 1 ft]}}}}
other loads: {lights: {circuit: A}, freezer: {outlet: wall}, thing: {outlet: wall, power: 300 W}}
sensors: {c: {reads: current, machine: saw, device: x}, s: {reads: suction, system: collector, tap: T, device: z}}
`),
		"metric": parsed(t, `winnow: 1
units: si
site: {wiring: iec}
machines:
  hobel: {kind: planer-thicknesser, motor: {power: 2.2 kW}}
  säge: {kind: table saw, motor: {current: 9 A, voltage: 230 V}, ports: {guard: {}, cabinet: {size: 120 mm}}}
systems:
  absaugung: {kind: collector, motor: {power: 0.75 kW}, air goes: outdoors, exhaust: [{hose: 2 m}], runs: {main: {from: [hobel, säge/cabinet], pieces: [{hose: 3 m}]}}}
  sauger: {kind: extractor, runs: {main: {from: säge/guard, pieces: [{hose: unknown}]}}}
`),
	}
}

func TestFillingTwiceIsFillingOnce(t *testing.T) {
	for name, s := range shops(t) {
		once, _ := typical.Fill(s)
		twice, notes := typical.Fill(once)
		if diff := cmp.Diff(once, twice); diff != "" {
			t.Errorf("%s: a filled shop is filled again:\n%s", name, diff)
		}
		for _, n := range notes {
			if n.Code == typical.CodeAssumed {
				t.Errorf("%s: %s is assumed a second time", name, n.Where)
			}
		}
	}
}

// said lists everything an owner wrote: each place whose basis is not Unsaid, and each word.
func said(s *shop.Shop) map[string]any {
	all := map[string]any{}
	n := 0
	walk(reflect.ValueOf(s).Elem(), "", func(at string, v reflect.Value) {
		n++
		if basis, ok := basisOf(v); ok && basis != unit.Unsaid {
			if _, isMaybe := v.Type().FieldByName("Value"); isMaybe {
				return // what is in the block is seen by itself
			}
			all[at] = v.Interface()
		}
	})
	return all
}

// kept compares an original with its filled copy, place by place.
func kept(t interface{ Errorf(string, ...any) }, before, after reflect.Value, at string) {
	if b, ok := basisOf(before); ok {
		if _, isMaybe := before.Type().FieldByName("Value"); !isMaybe {
			if b != unit.Unsaid && !reflect.DeepEqual(before.Interface(), after.Interface()) {
				if before.Type() == reflect.TypeFor[shop.Point]() { // its height may be unsaid
					p, q := before.Interface().(shop.Point), after.Interface().(shop.Point)
					if p.East == q.East && p.North == q.North && p.Height.Basis == unit.Unsaid {
						return
					}
				}
				t.Errorf("%s was %+v and became %+v", at, before.Interface(), after.Interface())
			}
			return
		}
		if b != unit.Unsaid {
			a, _ := basisOf(after)
			if a != b {
				t.Errorf("%s had basis %d and has %d", at, b, a)
			}
		}
	}
	switch before.Kind() {
	case reflect.String:
		if before.String() != "" && before.String() != after.String() {
			t.Errorf("%s was %q and became %q", at, before.String(), after.String())
		}
	case reflect.Slice:
		if before.Len() > after.Len() {
			t.Errorf("%s lost items", at)
			return
		}
		for i := range before.Len() {
			kept(t, before.Index(i), after.Index(i), at+"[]")
		}
	case reflect.Struct:
		for i := range before.NumField() {
			if before.Type().Field(i).IsExported() {
				kept(t, before.Field(i), after.Field(i), at+"."+before.Type().Field(i).Name)
			}
		}
	case reflect.Int, reflect.Float64, reflect.Bool:
		if !before.IsZero() && !reflect.DeepEqual(before.Interface(), after.Interface()) {
			t.Errorf("%s was %v and became %v", at, before.Interface(), after.Interface())
		}
	}
}

func TestWhatIsSaidStays(t *testing.T) {
	for name, s := range shops(t) {
		before := said(s)
		filled, _ := typical.Fill(s)
		kept(t, reflect.ValueOf(s).Elem(), reflect.ValueOf(filled).Elem(), name)
		if diff := cmp.Diff(before, said(s)); diff != "" {
			t.Errorf("%s: Fill wrote into the shop it was given:\n%s", name, diff)
		}
	}
}

// Any part of a shop may be said or not; whatever it is, the three promises hold.
func TestFillKeepsItsPromisesForAnyGaps(t *testing.T) {
	base := whole(t)
	rapid.Check(t, func(t *rapid.T) {
		s, _ := typical.Fill(base) // a copy in which everything is said
		seed := rapid.Uint64().Draw(t, "seed")
		forget(reflect.ValueOf(s).Elem(), &seed)
		filled, _ := typical.Fill(s)
		kept(t, reflect.ValueOf(s).Elem(), reflect.ValueOf(filled).Elem(), "shop")
		again, _ := typical.Fill(filled)
		if !reflect.DeepEqual(filled, again) {
			t.Fatalf("a filled shop is filled again:\n%s", cmp.Diff(filled, again))
		}
		for _, g := range gaps(filled) {
			t.Errorf("%s is still unsaid", g)
		}
		walk(reflect.ValueOf(filled).Elem(), "", func(at string, v reflect.Value) {
			if problem := badAmount(v); problem != "" {
				t.Errorf("%s: %s", at, problem)
			}
		})
	})
}

// forget makes about half of all amounts Unsaid again.
func forget(v reflect.Value, seed *uint64) {
	if v.Type() == reflect.TypeFor[unit.LossAt]() { // said whole or not at all
		if *seed = *seed*6364136223846793005 + 1442695040888963407; *seed>>63 == 1 {
			v.SetZero()
		}
		return
	}
	if basis, ok := basisOf(v); ok && v.FieldByName("Best").IsValid() && basis != unit.Absent {
		*seed = *seed*6364136223846793005 + 1442695040888963407
		if *seed>>63 == 1 {
			v.SetZero()
		}
		return
	}
	switch v.Kind() {
	case reflect.Slice:
		for i := range v.Len() {
			forget(v.Index(i), seed)
		}
	case reflect.Struct:
		for i := range v.NumField() {
			if v.Type().Field(i).IsExported() {
				forget(v.Field(i), seed)
			}
		}
	}
}

// badAmount demands of every assumed amount: ends in order, all finite, and a source.
func badAmount(v reflect.Value) string {
	if v.Kind() != reflect.Struct || !v.FieldByName("Best").IsValid() || !v.FieldByName("Low").IsValid() {
		return ""
	}
	best, low, high := v.FieldByName("Best").Float(), v.FieldByName("Low").Float(), v.FieldByName("High").Float()
	switch basis, _ := basisOf(v); {
	case basis != unit.Assumed:
		return ""
	case !(low <= best && best <= high):
		return "its ends are out of order: " + unit.Print(unit.Number(low), unit.SI) + ", " + unit.Print(unit.Number(best), unit.SI) + ", " + unit.Print(unit.Number(high), unit.SI)
	case high > 1e12 || low < -1e12:
		return "it is not finite"
	case v.FieldByName("Source").String() == "":
		return "it has no source"
	}
	return ""
}

func TestEveryAssumedAmountHasARangeAndASource(t *testing.T) {
	for name, s := range shops(t) {
		filled, _ := typical.Fill(s)
		walk(reflect.ValueOf(filled).Elem(), name, func(at string, v reflect.Value) {
			if problem := badAmount(v); problem != "" {
				t.Errorf("%s: %s", at, problem)
			}
		})
	}
}

func TestAssumptionsSaySomethingInBothSystems(t *testing.T) {
	for name, s := range shops(t) {
		_, notes := typical.Fill(s)
		for _, n := range notes {
			for _, sys := range []unit.System{unit.US, unit.SI} {
				text := n.Sentence(sys)
				if strings.ContainsAny(text, "{}") || len(text) < 20 || strings.Contains(text, "  ") {
					t.Errorf("%s: %s: %q", name, n.Where, text)
				}
			}
			if n.Code.Help == "" {
				t.Errorf("%s has no help", n.Code.Name)
			}
		}
	}
}

func BenchmarkFillWholeExample(b *testing.B) {
	s := whole(b)
	typical.Fill(s)
	b.ReportAllocs()
	for b.Loop() {
		typical.Fill(s)
	}
}
