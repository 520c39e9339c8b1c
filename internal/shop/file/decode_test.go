package file

import (
	"reflect"
	"strings"
	"testing"
	"unicode/utf16"

	"winnow/internal/shop"
	"winnow/internal/unit"
)

// Ten mistakes in one file are told at once, in the order of the file, each where it is.
func TestAllFaultsAtOnceInTheOrderOfTheFile(t *testing.T) {
	src := `winnow: 1
site: {altitude: 620 cfm}
machines:
  µ planer: {note: 'µµ',	kindd: planer}
  table saw:
    ports:
      guard: {size: 2.5}
    port: {size: 4 in}
systems:
  collector:
    kind: collecter
    runs:
      main:
        from: tabel saw
        pieces: [hose: 5 ft, kind: ribbed hose]
      drop: {from: µ planer, pieces: [{hose: -3 ft}]}
sensors:
  clamp: {reads: current, machine: saw}
`
	_, faults := Parse([]byte(src))
	want := []struct {
		line, column int
		code         *Code
	}{
		{2, 18, WrongDimension},
		{4, 26, UnknownKey}, // the tab and both µ count one each
		{7, 21, NoUnit},
		{8, 5, BothForms},
		{11, 11, NotOneOf},
		{14, 15, UnknownName},
		{15, 18, BarePair},
		{15, 30, BarePair},
		{16, 7, RunNotJoined},
		{16, 46, OutOfRange},
		{18, 36, UnknownName},
	}
	for i, w := range want {
		if i >= len(faults) {
			t.Fatalf("only %d faults:\n%s", len(faults), texts(faults))
		}
		if f := faults[i]; f.Pos != (Pos{w.line, w.column}) || f.Code != w.code {
			t.Errorf("fault %d: got %d:%d [%s], want %d:%d [%s]\n%s", i+1, f.Pos.Line, f.Pos.Column, f.Code.Name, w.line, w.column, w.code.Name, f.Text("shop.yaml"))
		}
	}
	if len(faults) != len(want) {
		t.Errorf("%d faults, want %d:\n%s", len(faults), len(want), texts(faults))
	}
}

// A section that cannot be read hides nothing in the others but what names say of each other.
func TestSyntaxHidesOnlyItsSection(t *testing.T) {
	src := `winnow: 1
site:
  altitude: 620
machines:
  planer: {kind: thickness planer, port: {size: 4 in}
  jointer: {port: {size: 4}}
systems:
  collector:
    note: "never closed
    kind: collecter
wishes:
  first: mony
sensors:
  clamp: {reads: current, machine: planer, start at: 1 A}
`
	want := []struct {
		line int
		code *Code
	}{{3, NoUnit}, {5, Syntax}, {9, Syntax}, {12, NotOneOf}, {14, UnknownKey}}
	for _, eol := range []string{"\n", "\r\n"} {
		d, faults := Parse([]byte(strings.ReplaceAll(src, "\n", eol)))
		if len(faults) != len(want) {
			t.Fatalf("got:\n%s", texts(faults))
		}
		for i, w := range want {
			if faults[i].Pos.Line != w.line || faults[i].Code != w.code {
				t.Errorf("fault %d: want line %d [%s], got:\n%s", i+1, w.line, w.code.Name, faults[i].Text("shop.yaml"))
			}
		}
		if len(d.Shop().Sensors) != 1 || len(d.Shop().Machines) != 0 {
			t.Error("what can be read is read, and nothing else")
		}
	}
}

func TestExcerptMarksThePlace(t *testing.T) {
	long := "winnow: 1\nmachines: {" + strings.Repeat("µ saw: {kind: x}, ", 1) + strings.Repeat("x", 0) + "planer: {note: " + strings.Repeat("µ ", 300) + "x, knd: y}}\n"
	for _, test := range []struct{ name, src, line, mark string }{
		{"a tab is one blank", "winnow: 1\nnames:\tx\n", "    2 | names: x", "      | ^^^^^"},
		{"after µ", "winnow: 1\nsite: {note: µµ, wirring: us}\n", "    2 | site: {note: µµ, wirring: us}", "      |                  ^^^^^^^"},
		{"a list is marked as a whole", "winnow: 1\nroom: {height: [9 ft, 2 ft]}\n", "    2 | room: {height: [9 ft, 2 ft]}", "      |                ^^^^^^^^^^^^"},
		{"a long line is cut", long, "", ""},
	} {
		_, faults := Parse([]byte(test.src))
		if len(faults) != 1 {
			t.Fatalf("%s: %d faults", test.name, len(faults))
		}
		line, mark, _ := strings.Cut(faults[0].Excerpt, "\n")
		if test.line == "" {
			at := strings.IndexByte(mark, '^')
			if r := []rune(line); len(r) > 130 || string(r[at:at+3]) != "knd" {
				t.Errorf("%s:\n%s", test.name, faults[0].Excerpt)
			}
			continue
		}
		if line != test.line || mark != test.mark {
			t.Errorf("%s: got\n%s\nwant\n%s\n%s", test.name, faults[0].Excerpt, test.line, test.mark)
		}
	}
}

// What a person may write in more than one way reads as one thing.
func TestSameThingWrittenDifferently(t *testing.T) {
	machine := func(s string) shop.Machine {
		return good(t, []byte("winnow: 1\nmachines:\n  m:\n"+s)).Shop().Machines[0]
	}
	for _, pair := range [][2]string{
		{"    at: [1 ft, 2 ft]\n", "    at: ['1 ft', \"24 in\"]\n"},
		{"    port: {size: 4 in}\n", "    port:\n      size: 4 in\n"},
		{"    port: unknown\n", "    wheels: false\n"},
		{"    port:\n", "    wheels: unknown\n"},
		{"    motor: {power: 3 hp}\n", "    motor: {power: 3 HP, voltage: unknown}\n"},
		{"    makes: unknown\n", "    makes: {}\n"},
		{"    footprint: 2 ft x 3 ft\n", "    footprint: 24 in x 36 in\n"},
	} {
		if a, b := machine(pair[0]), machine(pair[1]); !reflect.DeepEqual(a, b) {
			t.Errorf("%q and %q differ:\n%+v\n%+v", pair[0], pair[1], a, b)
		}
	}
	one := good(t, []byte("winnow: 1\nmachines: {m: {}}\nsystems: {s: {runs: {main: {from: m, pieces: [{wye: a}]}, a: {from: cap}}}}\n"))
	listed := good(t, []byte("winnow: 1\nmachines: {m: {}}\nsystems: {s: {runs: {main: {from: [m], pieces: [{wye: [a]}]}, a: {from: cap}}}}\n"))
	if !reflect.DeepEqual(one.Shop(), listed.Shop()) {
		t.Error("one alone and a list of one differ")
	}
	named := good(t, []byte("winnow: 1\nmachines: {m: {ports: {p: {size: 4 in}}, places: {here: {at: [1 ft, 1 ft]}}}}\n")).Shop().Machines[0]
	if named.Ports.Value[0].Name != "p" || named.Places[0].Name != "here" || named.Ports.Basis != unit.Given {
		t.Errorf("names are lost: %+v", named)
	}
}

func TestEncodings(t *testing.T) {
	src := "winnow: 1\nname: Café µ\n"
	want := good(t, []byte(src)).Shop()
	marked := good(t, []byte(byteOrderMark+src))
	if !reflect.DeepEqual(marked.Shop(), want) || marked.Place("name") != (Pos{2, 1}) || marked.Place("winnow") != (Pos{1, 1}) {
		t.Error("a mark at the start of the file changes it")
	}
	for _, big := range []bool{false, true} {
		for _, mark := range []string{"", byteOrderMark} {
			var wide []byte
			for _, u := range utf16.Encode([]rune(mark + src)) {
				if big {
					wide = append(wide, byte(u>>8), byte(u))
				} else {
					wide = append(wide, byte(u), byte(u>>8))
				}
			}
			_, faults := Parse(wide)
			if len(faults) != 1 || faults[0].Code != NotUTF8 || !strings.Contains(faults[0].What, "UTF-16") {
				t.Errorf("UTF-16, big end first %v: %s", big, texts(faults))
			}
		}
	}
}

// Characters nobody sees are refused, each where it is; what people write is not.
func TestOddCharacters(t *testing.T) {
	for sign, code := range map[string]*Code{
		"\x00": NulByte, "\x07": OddCharacter, "\x1b": OddCharacter, "\x7f": OddCharacter, "\u0085": OddCharacter, "\u2028": OddCharacter, "\u2029": OddCharacter,
		"\ufeff": OddCharacter, "\rx": OddCharacter, "\xff": NotUTF8, "\xc3\x28": NotUTF8,
		"é": nil, "µ": nil, "±": nil, "½": nil, "″": nil, "漢": nil, "😀": nil, "\u00a0x": nil,
	} {
		_, faults := Parse([]byte("winnow: 1\nname: Caf " + sign + "\n"))
		if code == nil && len(faults) > 0 {
			t.Errorf("%q: %s", sign, texts(faults))
		}
		if code != nil && (len(faults) != 1 || faults[0].Code != code || faults[0].Pos != (Pos{2, 11})) {
			t.Errorf("%q: want [%s] at 2:11, got:\n%s", sign, code.Name, texts(faults))
		}
	}
}

// Runs that look odd and are in order.
func TestRunsThatAreInOrder(t *testing.T) {
	for name, runs := range map[string]string{
		"a ring main":                "main: {from: m, pieces: [{split: s}, {pipe: 9 ft}, {wye: ring}]}, ring: {from: split s, pieces: [{pipe: 12 ft}]}",
		"a wye right at the machine": "main: {from: m, pieces: [{wye: side}, {pipe: 9 ft}]}, side: {from: cap}",
		"a double wye on the way":    "main: {from: m, pieces: [{pipe: 9 ft}, {wye: [a, b]}]}, a: {from: cap}, b: {from: cap}",
		"three brought together":     "main: {pieces: [{wye: [a, b, c]}]}, a: {from: cap}, b: {from: cap}, c: {from: m}",
		"a run without pieces":       "main: {from: m}",
		"no runs yet":                "",
	} {
		src := "winnow: 1\nmachines: {m: {port: {size: 4 in}}}\nsystems: {s: {runs: {" + runs + "}}}\n"
		if _, faults := Parse([]byte(src)); len(faults) > 0 {
			t.Errorf("%s:\n%s", name, texts(faults))
		}
	}
}

// `drawn` needs known places on both sides; who has none is named.
func TestDrawnNamesWhatNeedsAPlace(t *testing.T) {
	for _, test := range []struct{ name, machine, system, pieces, cure string }{
		{"all known", "at: [9 ft, 2 ft]", "at: [1 ft, 2 ft]", "{pipe: drawn}", ""},
		{"an elbow between", "at: [9 ft, 2 ft]", "at: [1 ft, 2 ft]", "{pipe: drawn}, {elbow: drawn, at: [5 ft, 2 ft]}, {pipe: drawn}", ""},
		{"a written pipe between", "at: [9 ft, 2 ft]", "at: [1 ft, 2 ft]", "{pipe: 2 ft}, {elbow: 90°}, {pipe: drawn}", ""},
		{"the gate has none", "at: [9 ft, 2 ft]", "at: [1 ft, 2 ft]", "{pipe: drawn}, {gate: g}, {elbow: 90°}, {pipe: drawn}", "Give gate g an `at`"},
		{"nothing between", "at: [9 ft, 2 ft]", "at: [1 ft, 2 ft]", "{pipe: drawn}, {pipe: drawn}", "Give the piece between them an `at`"},
		{"the machine has none", "wheels: true", "at: [1 ft, 2 ft]", "{pipe: drawn}, {gate: g, at: [5 ft, 2 ft]}", "Give what the run starts with an `at`"},
		{"the system has none", "at: [9 ft, 2 ft]", "wheels: true", "{gate: g, at: [5 ft, 2 ft]}, {pipe: drawn}", "Give the system an `at`"},
		{"the elbow's own", "at: [9 ft, 2 ft]", "at: [1 ft, 2 ft]", "{pipe: 3 ft}, {elbow: drawn}", "Give elbow 1 an `at`"},
		{"a wye's angle", "at: [9 ft, 2 ft]", "at: [1 ft, 2 ft]", "{pipe: 3 ft}, {wye: side, angle: drawn}", "Give wye side an `at`"},
	} {
		src := "winnow: 1\nmachines: {m: {" + test.machine + ", port: {size: 4 in}}}\nsystems:\n  s:\n    " + test.system + "\n    runs:\n      main: {from: m, pieces: [" + test.pieces + "]}\n"
		if strings.Contains(test.pieces, "side") {
			src += "      side: {from: cap}\n"
		}
		_, faults := Parse([]byte(src))
		switch {
		case test.cure == "" && len(faults) > 0:
			t.Errorf("%s:\n%s", test.name, texts(faults))
		case test.cure != "" && (len(faults) != 1 || faults[0].Code != UnclearDrawn || !strings.Contains(faults[0].Cure, test.cure)):
			t.Errorf("%s: want %q, got:\n%s", test.name, test.cure, texts(faults))
		}
	}
}

// What stands after the fan obeys rules of its own.
func TestExhaust(t *testing.T) {
	for _, test := range []struct {
		pieces string
		code   *Code
	}{
		{"{pipe: 3 ft}, {elbow: 90°}", nil},
		{"{pipe: drawn}, {elbow: drawn, at: [0 ft, 2 ft]}", nil},
		{"{pipe: drawn}", UnclearDrawn},
		{"{pipe: 3 ft}, {split: far}", NotForThis},
		{"{pipe: 3 ft}, {hose: 0 ft}", OutOfRange},
	} {
		src := "winnow: 1\nsystems:\n  s: {at: [1 ft, 2 ft], air goes: outdoors, exhaust: [" + test.pieces + "]}\n"
		_, faults := Parse([]byte(src))
		if test.code == nil && len(faults) > 0 || test.code != nil && (len(faults) != 1 || faults[0].Code != test.code) {
			t.Errorf("%s:\n%s", test.pieces, texts(faults))
		}
	}
}

// Mistakes beyond those the bad files show: another way into the same code.
func TestMoreFaults(t *testing.T) {
	const run = "machines: {m: {port: {size: 4 in}}}\nsystems: {s: {runs: {main: {from: m, pieces: [%]}}}}"
	piped := strings.Replace(run, "%", "{pipe: 3 ft}", 1)
	for _, test := range []struct {
		src  string
		code *Code
	}{
		{strings.Replace(run, "%", "{pipe: none}", 1), NoneNotHere},
		{"machines: {m: {motor: {voltage: none}}}", NoneNotHere},
		{"circuits: {A: {breaker: none}}", NoneNotHere},
		{strings.Replace(run, "%", "{hose: 6 ft, size: none}", 1), NoneNotHere},
		{strings.Replace(run, "%", "{pipe: 0 ft}", 1), OutOfRange},
		{strings.Replace(run, "%", "{pipe: 3 ft ± 4 ft}", 1), OutOfRange},
		{strings.Replace(run, "%", "{elbow: 200°}", 1), OutOfRange},
		{strings.Replace(run, "%", "{elbow: -90°}", 1), OutOfRange},
		{strings.Replace(run, "%", "{hose: 6 ft, stretch: 101 %}", 1), OutOfRange},
		{strings.Replace(run, "%", "{reducer: drawn}", 1), DrawnNotHere},
		{strings.Replace(run, "%", "{gate: 5}", 1), BadName},
		{strings.Replace(run, "%", "{gate: }", 1), BadName},
		{strings.Replace(run, "%", "{gate: unknown}", 1), BadName},
		{strings.Replace(run, "%", "{wye: }", 1), SaysNothing},
		{strings.Replace(run, "%", "{wye: []}", 1), SaysNothing},
		{strings.Replace(run, "%", "{gate: no}", 1), YAMLWord},
		{strings.Replace(run, "%", "{gate: a}, {gate: a}", 1), NameClash},
		{strings.Replace(run, "%", "{wye: other}", 1), UnknownName},
		{strings.Replace(run, "%", "{pipe: 3 ft, stretch: 50 %}", 1), NotForThis},
		{strings.Replace(run, "%", "{elbow: 90°, angle: 45°}", 1), NotForThis},
		{strings.Replace(run, "%", "{other: 1.8 inH2O}", 1), BadLoss},
		{strings.Replace(run, "%", "{other: 1.8 cfm at 9 inH2O}", 1), WrongDimension},
		{strings.Replace(run, "%", "3 ft", 1), WrongShape},
		{strings.Replace(piped, "from: m", "from: [m, cap]", 1), WrongShape},
		{strings.Replace(piped, "from: m", "from: m/hood", 1), UnknownName},
		{strings.Replace(piped, "from: m", "from: split x", 1), UnknownName},
		{strings.Replace(piped, "port: {size: 4 in}", "port: none", 1), UnknownName},
		{strings.Replace(piped, "port: {size: 4 in}", "ports: {a: {}, b: {}}", 1), UnknownName},
		{"machines: {m: {port: {size: 4 in, side: topp}}}", NotOneOf},
		{"machines: {m: {places: {away: {}}}}", BadName},
		{"machines: {room: {}}", BadName},
		{"machines: {tap saw: {}}", BadName},
		{"machines: {\"a/b\": {}}", BadName},
		{"machines: {\" a\": {}}", BadName},
		{"machines: {m: {}}\nsystems: {m: {}}", NameClash},
		{"machines: {m: {}}\nair cleaners: {m: {}}", NameClash},
		{"machines: {m: {setups: {a: {without: [p]}}}}", UnknownName},
		{"machines: {m: {also opens: [g]}}", UnknownName},
		{"machines: {m: {also starts: [g]}}", UnknownName},
		{"machines: {m: {}}\narrangements: {a: {m: there}}", UnknownName},
		{"arrangements: {a: {m: away}}", UnknownName},
		{"machines: {a: {}}\nroutine: {together: [[a, b]]}", UnknownName},
		{"control: {bleed gate: g}", UnknownName},
		{"circuits: {A: {outlets: {B: {}}}}\nother loads: {l: {circuit: A, outlet: B}}", BothForms},
		{"sensors: {s: {reads: suction, system: x}}", UnknownName},
		{"sensors: {s: {reads: particles, starts at: 1 A}}", NotForThis},
		{"machines: {m: {}}\nsensors: {s: {reads: current, machine: m, starts at: 1 inH2O}}", WrongDimension},
		{"systems: {a: {runs: {main: {from: cap, pieces: [{tap: T}]}}}, b: {}}\nsensors: {s: {reads: suction, system: b, tap: T}}", UnknownName},
		{"readings: [{flow: 1 cfm, where: tap T}]", UnknownName},
		{"readings: [{flow: 1 cfm, suction: 1 inH2O, where: room}]", SaysTwo},
		{"options: {o: {only with: [p]}}", UnknownName},
		{"options: {o: {change: [{insert: {pipe: 3 ft}}]}}", EditShape},
		{"options: {o: {change: [{set: name, to: x, after: machines/m}]}}", EditShape},
		{"options: {o: {change: [{remove: name, to: x}]}}", EditShape},
		{"options: {o: {change: [{rename: machines/m, to: x, was: m}]}}", EditShape},
		{"options: {o: {change: [{rename: machines/m, to: [x]}]}}", EditShape},
		{"options: {o: {change: [{set: machines//port, to: x}]}}", EditPath},
		{"options: {o: {change: [{insert: x, after: name}]}}", EditPath},
		{"options: {o: {change: [{set: systems/s/runs/main/pieces/pip 1/pipe, to: 3 ft}]}}", EditPath},
		{"options: {o: {change: [{set: systems/s/runs/main/pieces/pipe 1/pipe, to: 3 cfm}]}}", WrongDimension},
		{"options: {o: {change: [{insert: {pipe: 3 ft, hose: 3 ft}, after: systems/s/runs/main/pieces/pipe 1}]}}", SaysTwo},
		{"room: {corners: [[0 ft, 0 ft], [1 ft, 0 ft], [1 ft, 1 ft]], footprint: 1 ft x 1 ft}", BothForms},
		{"room: {footprint: 0 ft x 1 ft}", BadFootprint},
		{"room: {height: 9 ft, height: 9 ft}", DuplicateKey},
		{"site: {humidity: 30 to 130 %}", OutOfRange},
		{"machines: {m: {at: [1 ft, unknown]}}", BadPoint},
		{"machines: {m: {at: [1 ft, 2 ft, 3 ft, 4 ft]}}", BadPoint},
		{"machines: {m: {at: [1 ft, 2 cfm]}}", WrongDimension},
		{"systems: {s: {fan: {curve: [[0 cfm, 9 inH2O]]}}}", BadCurve},
		{"systems: {s: {fan: {curve: [[0 cfm, 9 inH2O], [9 cfm, -1 inH2O]]}}}", BadCurve},
		{"routine: {people: 2 people}", NotACount},
		{"routine: {people: -1}", NotACount},
		{"winnows: 1", UnknownKey},
		{"- a", Syntax},
	} {
		_, faults := Parse([]byte("winnow: 1\n" + test.src + "\n"))
		if len(faults) != 1 || faults[0].Code != test.code {
			t.Errorf("%s: want [%s] alone, got:\n%s", test.src, test.code.Name, texts(faults))
		}
	}
	for src, code := range map[string]*Code{"": EmptyFile, "\n\n": EmptyFile, "- winnow: 1\n": WrongShape, "winnow\n": WrongShape, "winnow: unknown\n": NoVersion, "winnow: one\n": NotACount, "winnow: 1.0\n": NotACount} {
		if _, faults := Parse([]byte(src)); len(faults) != 1 || faults[0].Code != code {
			t.Errorf("%q: want [%s] alone, got:\n%s", src, code.Name, texts(faults))
		}
	}
}

// What the YAML library could not read is said in the owner's words, at the place where the trouble starts.
func TestSyntaxInWords(t *testing.T) {
	for _, test := range []struct {
		src  string
		at   Pos
		code *Code
		says string
	}{
		{"name: {a: b\nsite: {}\n", Pos{2, 7}, Syntax, "braces that open here"},
		{"name: [a, b\nsite: {}\n", Pos{2, 7}, Syntax, "list that opens here"},
		{"name: \"abc\nnote: x\n", Pos{2, 7}, Syntax, "never closed"},
		{"name: 'abc\n", Pos{2, 7}, Syntax, "never closed"},
		{"name: it: is\n", Pos{2, 9}, Syntax, "colon stands where no key"},
		{"name: @home\n", Pos{2, 7}, Syntax, "cannot start with @"},
		{"name: `x`\n", Pos{2, 7}, Syntax, "cannot start with `"},
		{"name: \"a\\qb\"\n", Pos{2, 9}, Syntax, "inside double quotes"},
		{"name\n", Pos{2, 1}, Syntax, "no colon after its key"},
		{"site:\n  note: x\n   wiring: us\n", Pos{4, 10}, Syntax, "colon stands where no key"},
		{"site:\n  note: x\n wiring: us\n", Pos{4, 2}, Syntax, "does not belong to the lines above"},
		{"site: {note: x}}\n", Pos{2, 16}, Syntax, ""},
		{"site:\n\tnote: x\n", Pos{3, 1}, TabIndent, "spaces belong"},
		{"name: *x\n", Pos{2, 7}, Alias, "repeat something"},
		{"name: !x z\n", Pos{2, 7}, Tag, "order to the YAML reader"},
		{"name: & x\n", Pos{2, 7}, Syntax, "cannot start with &"},
		{"limits: [a,,b]\n", Pos{2, 12}, Syntax, "value is missing"},
	} {
		_, faults := Parse([]byte("winnow: 1\n" + test.src))
		if len(faults) != 1 || faults[0].Code != test.code || faults[0].Pos != test.at || !strings.Contains(faults[0].What, test.says) {
			t.Errorf("%q: want %d:%d [%s] ...%s..., got:\n%s", test.src, test.at.Line, test.at.Column, test.code.Name, test.says, texts(faults))
		}
	}
}

// What was probably meant is said.
func TestCures(t *testing.T) {
	for _, test := range []struct{ src, cure string }{
		{"machines: {planer: {port: 4 in}}", "{size: 4 in}"},
		{"machines: {planer: {motor: 3 hp}}", "{power: 3 hp}"},
		{"machines: {planer: {plug: bench wall}}", "{outlet: bench wall}"},
		{"machines: {planer: {kind x}}", "`kind: x`"},
		{"machines: {planer: {size: 4 in}}", "under `port`"},
		{"machines: planer", "{planer: {}}"},
		{"machines:\n  - planer: {}", "Remove the dashes"},
		{"machines: [planer]", "each name is a key"},
		{"machine: {planer: {}}", "`machines`"},
		{"room: {footprint: [30 ft, 22 ft]}", "30 ft x 22 ft"},
		{"site: {limits: us osha}", "[us osha]"},
		{"stock: {spiral steel: 4 in}", "[4 in]"},
		{"options: {o: {change: {set: name, to: x}}}", "behind a dash"},
		{"machines: {planer: {at: 16 ft}}", "[16 ft, 8 ft]"},
		{"systems: {s: {fan: {curve: [0 cfm, 9 inH2O]}}}", "[400 cfm, 8.9 inH2O]"},
		{"systems: {s: {fan: {rating: 900 cfm}}}", "{free air: 900 cfm}"},
		{"systems: {s: {runs: {main: {from: none}}}}", "Write cap"},
		{"machines: {planer: {wheels: yes}}", "Write true"},
		{"machines: {planer: {makes: {form: shaving}}}", "`shavings`"},
		{"costs: {electricity: $0.17/kWh}", "0.17 USD/kWh"},
	} {
		_, faults := Parse([]byte("winnow: 1\n" + test.src + "\n"))
		if len(faults) == 0 || !strings.Contains(faults[0].Cure, test.cure) {
			t.Errorf("%s: want %s, got:\n%s", test.src, test.cure, texts(faults))
		}
	}
}

// Words that YAML readers quarrel about are refused wherever they stand.
func TestTrapsEverywhere(t *testing.T) {
	for _, src := range []string{
		"name: no", "name: Off", "note: Y", "machines: ~", "site: null", "machines: {m: {wheels: on}}", "machines: {no: {}}", "machines: {m: {motor: {code: N}}}",
		"machines: {m: {at: yes}}", "routine: {together: [[n, a]]}", "name: true",
	} {
		_, faults := Parse([]byte("winnow: 1\n" + src + "\n"))
		found := false
		for _, f := range faults {
			found = found || f.Code == YAMLWord
		}
		if !found && src != "machines: {m: {at: yes}}" {
			t.Errorf("%s:\n%s", src, texts(faults))
		}
	}
	for _, src := range []string{"name: 'no'", "note: \"Y\"", "machines: {m: {motor: {code: 'N'}}}", "name: nobody", "note: on the shelf"} {
		if _, faults := Parse([]byte("winnow: 1\n" + src + "\n")); len(faults) > 0 {
			t.Errorf("%s:\n%s", src, texts(faults))
		}
	}
}

// Place finds every part, and the nearest thing above for what is not written.
func TestPlace(t *testing.T) {
	d := good(t, whole(t))
	for _, test := range []struct {
		path shop.Path
		line string // what stands at the place
	}{
		{"machines/planer/port/size", "size: 4 in, needs: {chips: 400"},
		{"machines/table saw/ports/guard", "guard: {size: 2 1/2 in"},
		{"systems/collector/runs/ceiling/pieces/gate saw gate", "{gate: saw gate, device"},
		{"systems/collector/runs/ceiling/pieces/pipe 3/pipe", "pipe: drawn}"},
		{"systems/collector/runs/ceiling/pieces/wye band saw drop/angle", "angle: 45°"},
		{"systems/collector/runs/main/pieces/wye 1", "{wye: [ceiling, long hose]"},
		{"readings/2/where", "where: tap A}"},
		{"machines/lathe/makes/rate", "lathe:"},
		{"machines/anvil", "machines:"},
		{"systems/collector/runs/ceiling/pieces/hose 7", "pieces:"},
		{"", "winnow: 1"},
	} {
		at := d.Place(test.path)
		if got := string([]rune(d.lineText(at.Line))[at.Column-1:]); !strings.HasPrefix(got, test.line) {
			t.Errorf("%s: at %d:%d stands %q, want %q", test.path, at.Line, at.Column, got, test.line)
		}
	}
	// every path that is made for a part finds it again
	for n, p := range pathsOf(d.root) {
		way, left := d.root.follow(p)
		if found := way[len(way)-1]; len(left) > 0 || found != n && n.form != scalar {
			t.Errorf("%s does not lead back", p)
		}
	}
}

// The paths that package shop makes are those of the file.
func TestPathsOfShopAreThoseOfTheFile(t *testing.T) {
	d := good(t, whole(t))
	s := d.Shop()
	var paths []shop.Path
	for _, m := range s.Machines {
		paths = append(paths, shop.MachinePath(m.Name))
		for _, p := range m.Ports.Value {
			paths = append(paths, shop.PortRef{Machine: m.Name, Port: p.Name}.Path())
		}
	}
	for _, y := range s.Systems {
		paths = append(paths, shop.SystemPath(y.Name))
		for _, r := range y.Runs {
			paths = append(paths, shop.RunPath(y.Name, r.Name))
			for i := range r.Pieces {
				paths = append(paths, shop.PiecePath(y.Name, r, i))
			}
		}
	}
	paths = append(paths, shop.CleanerPath("ceiling cleaner"))
	if len(paths) < 60 {
		t.Fatalf("only %d paths", len(paths))
	}
	for _, p := range paths {
		if _, ok := d.Value(p); !ok {
			t.Errorf("%s is not in the file", p)
		}
	}
}

func TestSpots(t *testing.T) {
	s := good(t, whole(t)).Shop()
	for where, want := range map[string]shop.Spot{
		"planer":          {Port: shop.PortRef{Machine: "planer"}},
		"table saw/guard": {Port: shop.PortRef{Machine: "table saw", Port: "guard"}},
		"tap A":           {Tap: "A", TapSystem: "collector"},
		"collector":       {System: "collector"},
		"room":            {Room: true},
	} {
		if got, ok := s.Spot(where); !ok || got != want {
			t.Errorf("%s: got %+v %v, want %+v", where, got, ok, want)
		}
	}
	for _, where := range []string{"tap B", "table saw/hood", "anvil", ""} {
		if got, ok := s.Spot(where); ok {
			t.Errorf("%s: got %+v, and there is none", where, got)
		}
	}
}
