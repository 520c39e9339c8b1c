package cli

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"winnow/internal/study/roomair"
)

// The scripts of air read like its help page: questions 8 and 9 of an owner.
func TestAirScripts(t *testing.T) {
	runScripts(t, "air")
}

// aired runs air alone, whatever else is registered.
func aired(t *testing.T, asJSON bool, units string, args ...string) (out string, code int) {
	t.Helper()
	return alone(t, airCommand, &env{json: asJSON, units: units}, args)
}

func TestAirOfEveryExample(t *testing.T) {
	for _, f := range exampleShops(t) {
		out, code := aired(t, false, "", f)
		if code != exitFine && code != exitFailing {
			t.Errorf("%s: exit code %d\n%s", f, code, out)
		}
		for _, want := range []string{"What helps most", "Mask on for", "Others stay out", "In detail: averages over 8 hours"} {
			if !strings.Contains(out, want) {
				t.Errorf("%s: %q is not said", f, want)
			}
		}
		if strings.ContainsAny(out, "{}") || strings.Contains(out, "NaN") {
			t.Errorf("%s: a sentence is not filled in:\n%s", f, out)
		}
		if regexp.MustCompile(`\d\.\d %|\bno[,.]`).MatchString(out) {
			t.Errorf("%s: said finer than it is known, or a bare no:\n%s", f, out)
		}
		if general := strings.Count(out, "In any shop"); general != 1 {
			t.Errorf("%s: general cautions stand in %d lines", f, general)
		}
		// Ratios lead: no level comes before them.
		if strings.Index(out, "mg/m³") < strings.Index(out, "What helps most") {
			t.Errorf("%s: a level comes first", f)
		}
	}
}

func TestAirMasksInOneLine(t *testing.T) {
	var buf bytes.Buffer
	printMasks(&env{out: &buf}, roomair.Answer{Tasks: []roomair.Task{
		{Name: "sanding", Mask: roomair.MaskYes}, {Name: "lathe", Mask: roomair.MaskBetter}, {Name: "jointer", Mask: roomair.MaskAlone},
		{Name: "sweeping dry", Mask: roomair.MaskYes}, {Name: "mitre saw", Mask: roomair.MaskBetter},
	}})
	if want := "Mask on for: sanding, sweeping dry. Better with one: lathe, mitre saw.\n"; buf.String() != want {
		t.Errorf("%q", buf.String())
	}
}

func TestAirAsJSON(t *testing.T) {
	out, _ := aired(t, true, "", exampleShops(t)[0])
	var x struct {
		Shape  string
		Answer struct {
			Tasks []struct {
				Name     string
				Mask     string
				TaskMean map[string]map[string]float64 `json:"task_mean"`
			}
			TWA     map[string]map[string]float64 `json:"twa_8h"`
			Options []struct {
				Code       string
				Sentence   string
				Respirable map[string]float64 `json:"respirable_of_today"`
			}
			Findings []struct{ Code string }
		}
	}
	if err := json.Unmarshal([]byte(out), &x); err != nil {
		t.Fatal(err)
	}
	if x.Shape != "air/1" || len(x.Answer.Tasks) == 0 || len(x.Answer.Options) == 0 || len(x.Answer.Findings) == 0 {
		t.Fatalf("%+v", x)
	}
	for _, of := range []string{"respirable", "thoracic", "inhalable"} {
		if x.Answer.TWA[of]["median_kgm3"] <= 0 || x.Answer.Tasks[0].TaskMean[of]["high_kgm3"] <= 0 {
			t.Errorf("%s is missing", of)
		}
	}
	for _, k := range x.Answer.Tasks {
		if k.Mask != roomair.MaskYes && k.Mask != roomair.MaskBetter && k.Mask != roomair.MaskAlone {
			t.Errorf("%s: mask %q", k.Name, k.Mask)
		}
	}
	if x.Answer.Options[0].Sentence == "" || x.Answer.Options[0].Respirable["median"] <= 0 {
		t.Errorf("%+v", x.Answer.Options[0])
	}
}

func TestAirRefusesNonsense(t *testing.T) {
	dir := t.TempDir()
	bad := filepath.Join(dir, "bad.yaml")
	if err := os.WriteFile(bad, []byte("winnow: 1\nmachines: {saw: {kind: 3}}\nroom: {height: 9}\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	if _, code := aired(t, false, "", bad); code != exitBadInput {
		t.Errorf("exit code %d", code)
	}
	if _, code := aired(t, false, "", filepath.Join(dir, "nowhere.yaml")); code != exitBadInput {
		t.Errorf("exit code %d", code)
	}
}
