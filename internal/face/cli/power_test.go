package cli

import (
	"encoding/json"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// The scripts of power read like its help page: questions 3 and 8 of an owner, in an owner's words.
func TestPowerScripts(t *testing.T) {
	runScripts(t, "power")
}

// ran runs power alone, whatever else is registered.
func ran(t *testing.T, asJSON bool, args ...string) (out string, code int) {
	t.Helper()
	return alone(t, powerCommand, &env{json: asJSON}, args)
}

func exampleShops(t *testing.T) []string {
	t.Helper()
	files, err := filepath.Glob(filepath.Join("..", "..", "..", "examples", "*.yaml"))
	if err != nil || len(files) == 0 {
		t.Fatalf("no examples: %v", err)
	}
	return files
}

// Every example shop gets an answer in whole sentences, with the cautions, and fails only where a problem is named.
func TestPowerOfEveryExample(t *testing.T) {
	for _, f := range exampleShops(t) {
		out, code := ran(t, false, f, "--why")
		for _, want := range []string{"This is a check, not a permit", "Never fit a bigger breaker", "Not computed: "} {
			if !strings.Contains(out, want) {
				t.Errorf("%s: nothing says %q", f, want)
			}
		}
		for _, bad := range []string{"{", "}", "NaN", "Inf", "%!"} {
			if strings.Contains(out, bad) {
				t.Errorf("%s: %q in the output", f, bad)
			}
		}
		if problem := strings.Contains(out, "\nProblem: "); problem != (code == exitFailing) {
			t.Errorf("%s: exit code %d with a problem named: %v", f, code, problem)
		}
	}
}

// Keys of --json carry their unit; the answer of a circuit reads back.
func TestPowerJSON(t *testing.T) {
	out, _ := ran(t, true, filepath.Join("..", "..", "..", "examples", "carport.yaml"))
	var e struct {
		Shape  string
		Answer struct {
			Circuits []struct {
				Name   string
				Rating float64 `json:"rating_a"`
				Worst  struct {
					Verdict string
					Cut     float64 `json:"cut_a"`
				}
			}
			Outlets  []struct{ Name string }
			Cautions []string
			Findings []struct{ Code, Sentence string }
		}
	}
	if err := json.Unmarshal([]byte(out), &e); err != nil {
		t.Fatal(err)
	}
	if e.Shape != "power/1" || len(e.Answer.Circuits) == 0 || len(e.Answer.Outlets) == 0 || len(e.Answer.Cautions) != 4 {
		t.Fatalf("an empty answer: %+v", e)
	}
	known := []string{"holds", "may trip", "trips", "not known"}
	for _, c := range e.Answer.Circuits {
		if c.Rating <= 0 || !slices.Contains(known, c.Worst.Verdict) {
			t.Errorf("circuit %+v", c)
		}
	}
}
