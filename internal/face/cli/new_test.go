package cli

import (
	"context"
	"io"
	"strings"
	"testing"

	"winnow/internal/shop/file"
	"winnow/internal/shop/typical"
)

// Whatever is answered, the file decodes; not sure of anything is among it.
func TestNewFileAlwaysDecodes(t *testing.T) {
	for _, have := range []string{"", "vacuum", "bag", "cartridge", "cyclone", "nothing"} {
		for _, units := range []string{"us", "si", "mixed"} {
			for _, kind := range typical.MachineKinds() {
				for _, said := range []bool{false, true} {
					v := newInterview(&env{in: strings.NewReader(""), out: io.Discard, units: strings.TrimPrefix(units, "mixed")}, units == "mixed")
					v.a.have = have
					v.a.machines = []ticked{{name: shortName(kind.Name), kind: kind.Name, annoys: true}, {name: "planer two", kind: "thickness planer"}}
					if said {
						v.a.noPapers, v.a.motor, v.a.claim, v.a.inlet, v.a.wheel, v.a.bag, v.a.pull = true, "1 hp", "500 cfm", "4 in", "10 in", "12 ft2", "6 inH2O"
						v.a.hoseWidth, v.a.hoseLength, v.a.lies, v.a.cleaned, v.a.floor = "4 in", "8 ft", "loops", "never", "12 ft2"
						v.a.askedPower, v.a.breaker, v.a.airGoes, v.a.flame = true, "16 A", "outdoors", "chimney"
						v.a.machines[0].port, v.a.machines[0].chips = "80 mm", "300 cfm"
					}
					text := v.text()
					if _, faults := file.Parse(text); len(faults) > 0 {
						t.Fatalf("%s, %s, %s: %s\n%s", have, units, kind.Name, faults[0].Text("new"), text)
					}
				}
			}
		}
	}
}

// Each guess behind a # is the value that is taken in its place: writing it in changes no verdict's best estimate by more
// than the rounding of its print.
func TestGuessesAreWhatIsTaken(t *testing.T) {
	v := newInterview(&env{in: strings.NewReader(""), out: io.Discard, units: "us"}, false)
	v.a.have = "bag"
	v.a.machines = []ticked{{name: "planer", kind: "thickness planer"}, {name: "jointer", kind: "jointer"}}
	unsure, faults := file.Parse(v.text())
	if len(faults) > 0 {
		t.Fatal(faults[0])
	}
	v.a.hoseWidth, v.a.hoseLength = "4 in", "10 ft"
	v.a.machines[0].port, v.a.machines[0].chips = "4 in", "400 cfm"
	v.a.machines[1].port, v.a.machines[1].chips = "4 in", "350 cfm"
	v.a.motor = "1 1/2 hp"
	for _, guess := range []string{"# guessed: 1.5 hp", "4 in wide, 400 cfm for chips", "4 in wide, 350 cfm for chips", "# guessed: 10 ft long"} {
		if !strings.Contains(string(unsure.Text()), guess) {
			t.Errorf("%q is not in\n%s", guess, unsure.Text())
		}
	}
	sure, faults := file.Parse(v.text())
	if len(faults) > 0 {
		t.Fatal(faults[0])
	}
	a, err := portsWith(context.Background(), unsure)
	if err != nil {
		t.Fatal(err)
	}
	b, err := portsWith(context.Background(), sure)
	if err != nil {
		t.Fatal(err)
	}
	if len(a) != 2 || len(b) != 2 {
		t.Fatalf("%d and %d ports", len(a), len(b))
	}
	for i := range a {
		if d := float64(a[i].Gets/b[i].Gets) - 1; d < -0.02 || d > 0.02 {
			t.Errorf("%s: %v with guesses, %v with the same written in", a[i].Port, a[i].Gets, b[i].Gets)
		}
	}
}

func TestInchesAreSpoken(t *testing.T) {
	for lang, want := range map[string]bool{"": true, "C": true, "C.UTF-8": true, "en_US.UTF-8": true, "en_GB.UTF-8": false, "de_DE": false, "POSIX": true} {
		got := inchesSpoken(func(name string) string {
			if name == "LANG" {
				return lang
			}
			return ""
		})
		if got != want {
			t.Errorf("%q: %v", lang, got)
		}
	}
}
