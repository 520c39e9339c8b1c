package cli

import (
	"bytes"
	"encoding/json"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// The drawing says of each machine and gate what the chart says in numbers.
func TestTheDrawingIsTheChart(t *testing.T) {
	for _, shop := range []string{"carport.yaml", "garden-shed.yaml", "millrace.yaml"} {
		file := filepath.Join("..", "..", "..", "examples", shop)
		run := func(how string) []byte {
			var out, errs bytes.Buffer
			if code := Run([]string{"gates", "chart", file, how}, strings.NewReader(""), &out, &errs); code != 0 {
				t.Fatalf("%s %s: exit code %d\n%s", shop, how, code, errs.String())
			}
			return out.Bytes()
		}
		var chart struct {
			Answer struct {
				Lines []struct {
					Machine, Setup, Place string
					Open, Shut            []string
				}
			}
		}
		if err := json.Unmarshal(run("--json"), &chart); err != nil {
			t.Fatal(err)
		}
		svg := string(run("--svg"))
		cells := 0
		for _, l := range chart.Answer.Lines {
			name := strings.Join(slices.DeleteFunc([]string{l.Machine, l.Setup + l.Place}, func(s string) bool { return s == "" }), ", ")
			if !strings.Contains(svg, ">"+name+"</text>") {
				t.Errorf("%s: no row for %s", shop, name)
			}
			for state, gates := range map[string][]string{"open": l.Open, "shut": l.Shut} {
				for _, g := range gates {
					cells++
					if !strings.Contains(svg, "<title>"+name+", "+g+": "+state+"</title>") {
						t.Errorf("%s: %s is not %s for %s", shop, g, state, name)
					}
				}
			}
		}
		if shop != "garden-shed.yaml" && cells < 10 {
			t.Errorf("%s: only %d cells compared", shop, cells)
		}
	}
}
