package file

import (
	"reflect"
	"strings"
	"sync"
	"testing"

	"winnow/internal/shop"
	"winnow/internal/unit"
)

func TestRemoveMachineLeavesNoWordOfIt(t *testing.T) {
	d := good(t, whole(t))
	for _, m := range d.Shop().Machines {
		t.Run(m.Name, func(t *testing.T) {
			next := apply(t, d, shop.RemoveMachine(d.Shop(), m.Name)...)
			if next.Shop().Machine(m.Name) != nil {
				t.Error("it is still there")
			}
			if got, want := len(next.Shop().Systems[0].Runs), len(d.Shop().Systems[0].Runs); got != want {
				t.Errorf("%d runs are left of %d: pipes stay", got, want)
			}
		})
	}
}

// An option that is about the machine alone has nothing left to change; one that changes more, or that another leans on, is
// the owner's to look at.
func TestRemoveMachineTakesItsOptions(t *testing.T) {
	d := good(t, []byte(`winnow: 1
machines: {saw: {port: {size: 4 in}}, saw two: {}}
options:
  bigger port: {change: [{set: machines/saw/port/size, to: 5 in}]}
  other saw: {change: [{set: machines/saw two/wheels, to: true}]}
  both: {change: [{set: machines/saw/wheels, to: true}, {set: machines/saw two/wheels, to: true}]}
  leant on: {change: [{set: machines/saw/wheels, to: true}]}
  leaning: {only with: [leant on], change: [{set: machines/saw two/wheels, to: true}]}
`))
	next := apply(t, d, shop.RemoveMachine(d.Shop(), "saw")...)
	var left []string
	for _, o := range next.Shop().Options {
		left = append(left, o.Name)
	}
	if want := []string{"other saw", "both", "leant on", "leaning"}; !reflect.DeepEqual(left, want) {
		t.Errorf("got %q, want %q", left, want)
	}
}

// A copy of a machine is the same machine in no place: nothing that says where it is, or on which outlet, is copied.
func TestDuplicateMachineStandsNowhere(t *testing.T) {
	d := good(t, []byte(`winnow: 1
circuits: {A: {outlets: {wall: {}}}}
machines:
  saw:
    kind: cabinet saw
    places: {here: {at: [1 m, 1 m], facing: 90°}, there: {at: [3 m, 1 m]}}
    plug: {outlet: wall, cord: 2 m}
    ports: {hood: {size: 4 in, at: [1 m, 2 m], side: back}}
  drill: {at: [1 m, 3 m], facing: 90°, port: {size: 2 in, at: [1 m, 3 m]}}
`))
	for machine, want := range map[string]string{
		"saw":   "{kind: cabinet saw, plug: {cord: 2 m}, ports: {hood: {size: 4 in, side: back}}}",
		"drill": "{port: {size: 2 in}}",
	} {
		edits, ok := shop.DuplicateMachine(d.Shop(), d.Value, machine, "twin")
		if !ok {
			t.Fatal("nothing to copy")
		}
		got, _ := apply(t, d, edits...).Value("machines/twin")
		if !reflect.DeepEqual(got, value(t, want)) {
			t.Errorf("%s: got %+v, want %s", machine, got, want)
		}
	}
	if _, ok := shop.DuplicateMachine(d.Shop(), d.Value, "lathe", "twin"); ok {
		t.Error("copied what is not there")
	}
}

// Where the machine's place was the start of a measured length, that length is no longer known; others stay.
func TestRemoveMachineForgetsWhatWasMeasuredFromIt(t *testing.T) {
	d := good(t, []byte(`winnow: 1
machines: {saw: {at: [20 ft, 2 ft], port: {size: 4 in}}}
systems:
  s:
    at: [1 ft, 2 ft]
    runs:
      main: {from: saw, pieces: [{pipe: 3 ft}, {hose: drawn}, {gate: g, at: [9 ft, 2 ft]}, {pipe: drawn}]}
`))
	next := apply(t, d, shop.RemoveMachine(d.Shop(), "saw")...)
	want := "      main: {from: cap, pieces: [{pipe: 3 ft}, {hose: unknown}, {gate: g, at: [9 ft, 2 ft]}, {pipe: drawn}]}"
	if got := next.lineText(7); got != want {
		t.Errorf("got  %s\nwant %s", got, want)
	}
}

func TestDuplicate(t *testing.T) {
	d := good(t, whole(t))
	for _, p := range []shop.Path{
		"machines/planer", "machines/table saw", "systems/collector", "systems/saw vacuum", "systems/collector/runs/band saw drop", "systems/collector/runs/long hose", "systems/collector/runs/ceiling",
		"circuits/A", "air cleaners/ceiling cleaner", "sensors/saw clamp", "room/obstacles/bench", "options/lathe hood", "arrangements/boat in",
	} {
		t.Run(string(p), func(t *testing.T) {
			edits, ok := shop.Duplicate(d.Shop(), d.Value, p, "twin")
			if !ok {
				t.Fatal("nothing to copy")
			}
			if strings.HasSuffix(string(p), "ceiling") { // it starts with a wye, and a copy has none of it
				edits = append(edits, shop.Edit{Set: "systems/collector/runs/twin/from", To: shop.Text("cap")})
				for i := range d.Shop().System("collector").Run("ceiling").Pieces {
					if i == 0 {
						edits = append(edits, shop.Edit{Set: "systems/collector/runs/twin/pieces/pipe 1/pipe", To: shop.Text("3 ft")})
					}
				}
			}
			next := apply(t, d, edits...)
			if _, there := next.Value(p.Parent().Join("twin")); !there {
				t.Error("no copy")
			}
		})
	}
	if _, ok := shop.Duplicate(d.Shop(), d.Value, "machines/anvil", "twin"); ok {
		t.Error("copied what is not there")
	}
}

// Names inside a copy are new, and what speaks of them inside it speaks of the new ones; no two things share a device.
func TestDuplicateOfARing(t *testing.T) {
	d := good(t, []byte(`winnow: 1
machines: {saw: {port: {size: 4 in}}}
systems:
  s:
    device: contactor-1
    runs:
      main: {from: saw, pieces: [{split: far}, {gate: g, device: gate-1}, {tap: A}, {pipe: 9 ft}, {wye: ring}]}
      ring: {from: split far, pieces: [{pipe: 12 ft}]}
`))
	edits, ok := shop.Duplicate(d.Shop(), d.Value, "systems/s", "twin")
	if !ok {
		t.Fatal("nothing to copy")
	}
	twin := apply(t, d, edits...).Shop().System("twin")
	main := twin.Run("main").Pieces
	if twin.Device != "" || main[0].Split != "far 2" || main[1].Gate != "g 2" || main[1].Device != "" || main[2].Tap != "A 2" || twin.Run("ring").From.Split != "far 2" {
		t.Errorf("got %+v", twin.Runs)
	}
}

func TestLengthen(t *testing.T) {
	d := good(t, whole(t))
	run := *d.Shop().System("collector").Run("long hose")
	for _, test := range []struct {
		to   unit.Metre
		sys  unit.System
		want string
	}{
		{3.6576, unit.US, "12 ft"}, {3.81, unit.US, "12 ft 6 in"}, {0.2, unit.US, "8 in"}, {3.814, unit.SI, "3.81 m"}, {3, unit.SI, "3 m"},
	} {
		next := apply(t, d, shop.Lengthen("collector", run, 0, test.to, test.sys)...)
		if v, _ := next.Value("systems/collector/runs/long hose/pieces/hose 1/hose"); v.Text != test.want {
			t.Errorf("%v m: got %q, want %q", test.to, v.Text, test.want)
		}
	}
}

func TestOptionsThatNoLongerFitAreSaid(t *testing.T) {
	d := good(t, whole(t))
	if w := d.Warnings(); len(w) > 0 {
		t.Errorf("the example's options fit, and yet:\n%s", texts(w))
	}
	next := apply(t, d, shop.Edit{Set: "systems/collector/runs/long hose/size", To: shop.Text("6 in")}, shop.Edit{Remove: "systems/collector/fan/rating"},
		shop.Edit{Set: "systems/collector/fan/curve", To: value(t, "[[0 cfm, 9 inH2O], [900 cfm, 0 inH2O]]")})
	w := next.Warnings()
	if len(w) != 2 || w[0].Path != "options/short wide hose" || w[1].Path != "options/bigger collector" {
		t.Fatalf("got:\n%s", texts(w))
	}
	if text := w[0].Text("shop.yaml"); !strings.Contains(text, "warn ") || !strings.Contains(text, "`4 in`, and now it is `6 in`") || w[0].Pos.Line != 318 {
		t.Errorf("got line %d:\n%s", w[0].Pos.Line, text)
	}
}

func TestNotes(t *testing.T) {
	d := good(t, whole(t))
	if n := shop.Notes(d.Shop()); len(n) > 0 {
		t.Errorf("the example is in order, and yet: %s", n[0].Sentence(unit.US))
	}
	twice := apply(t, d, shop.Edit{Set: "sensors/fan proof/device", To: shop.Text("gate-hose")})
	if n := shop.Notes(twice.Shop()); len(n) != 1 || n[0].Code != shop.DeviceTwice || n[0].Sentence(unit.US) != "hose gate and fan proof share the device gate-hose: on MQTT they are one." {
		t.Errorf("got %+v", n)
	}
	upstream := good(t, []byte("winnow: 1\nmachines: {m: {}}\nsystems: {s: {runs: {main: {from: cap, pieces: [{gate: before}, {wye: side}, {gate: behind}]}, side: {from: m}}}}\n"))
	if n := shop.Notes(upstream.Shop()); len(n) != 1 || n[0].Where != "systems/s/runs/main/pieces/gate before" {
		t.Errorf("only the gate before the wye is off the way: %+v", n)
	}
	ring := good(t, []byte("winnow: 1\nmachines: {m: {}}\nsystems: {s: {runs: {main: {from: m, pieces: [{split: far}, {wye: ring}]}, ring: {from: split far, pieces: [{gate: g}]}}}}\n"))
	if n := shop.Notes(ring.Shop()); len(n) != 0 {
		t.Errorf("air goes both ways round a ring: %+v", n)
	}
	next := apply(t, d,
		shop.Edit{Set: "systems/collector/runs/band saw drop/from", To: value(t, "[band saw, jointer]")},
		shop.Edit{Set: "systems/collector/runs/stub", To: value(t, "{from: cap, size: 4 in, pieces: [{gate: stub gate}]}")},
		shop.Edit{Insert: value(t, "{wye: stub}"), After: "systems/collector/runs/ceiling/pieces/tap A"},
	)
	n := shop.Notes(next.Shop())
	if len(n) != 2 || n[0].Code != shop.GateNothingOpens || n[1].Code != shop.OnTwoRuns {
		t.Fatalf("got %+v", n)
	}
	if got, want := n[0].Sentence(unit.US), "Nothing opens the gate stub gate: it is on no machine's way to the fan."; got != want {
		t.Errorf("got %q, want %q", got, want)
	}
	if got, want := n[1].Sentence(unit.SI), "jointer is on two runs: band saw drop serves it, long hose does not."; got != want {
		t.Errorf("got %q, want %q", got, want)
	}
	if at := next.Place(n[1].Where); next.lineText(at.Line) == "" || !strings.Contains(next.lineText(at.Line), "from: [planer, jointer]") {
		t.Errorf("the finding is placed on line %d", at.Line)
	}
}

// A what-if kept as an option is read back as the same edits.
func TestKeepAsOption(t *testing.T) {
	d := good(t, whole(t))
	for _, o := range d.Shop().Options {
		next := apply(t, d, shop.Keep("kept", "95 USD", o.Change)...)
		kept := next.Shop().Options[len(next.Shop().Options)-1]
		if kept.Name != "kept" || kept.Price.Code != "USD" || !reflect.DeepEqual(kept.Change, o.Change) {
			t.Errorf("%s: kept as %+v", o.Name, kept)
		}
		t.Logf("\n%s", strings.Join(diff(d.src, next.src), "\n"))
	}
}

// A Doc never changes, so many may try at once.
func TestManyTryAtOnce(t *testing.T) {
	d := good(t, whole(t))
	want, err := d.Try(dragged(t)...)
	if err != nil {
		t.Fatal(err)
	}
	var all sync.WaitGroup
	for range 8 {
		all.Go(func() {
			for range 5 {
				got, err := d.Try(dragged(t)...)
				if err != nil || !reflect.DeepEqual(got, want) {
					t.Errorf("tried at once, it says something else: %v", err)
				}
				if _, err := d.Apply(shop.Edit{Rename: "machines/planer", To: shop.Text("thicknesser")}); err != nil {
					t.Error(err)
				}
				d.Warnings()
			}
		})
	}
	all.Wait()
}
