package gates

import (
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

// The controller of two machines is written a second time in Promela and checked by spin, a model checker that knows nothing of this
// program. Both must come to the same verdict on the controller as it should be and on the same seeded faults.
func TestSpinComesToTheSameVerdicts(t *testing.T) {
	for _, tool := range []string{"spin", "gcc"} {
		if _, err := exec.LookPath(tool); err != nil {
			if os.Getenv("CI") != "" {
				t.Fatalf("%s is missing: install the packages spin and gcc", tool)
			}
			t.Skipf("%s is not installed (packages spin and gcc): the second opinion is left out", tool)
		}
	}
	model, err := filepath.Abs(filepath.Join("testdata", "two.pml"))
	if err != nil {
		t.Fatal(err)
	}
	ours := map[uint8]bool{} // what the proof of this package says
	for _, m := range mutants {
		if m.rule <= 5 && !ours[m.rule] {
			r := found(t, m.step)
			ours[m.rule] = r.Broken != 0
		}
	}
	for mutant := range uint8(6) {
		t.Run(fmt.Sprintf("mutant %d", mutant), func(t *testing.T) {
			t.Parallel()
			broken, states := spin(t, model, mutant)
			t.Logf("spin: broken %v, %s states", broken, states)
			if broken != ours[mutant] {
				t.Errorf("spin says broken: %v; the proof says %v", broken, ours[mutant])
			}
		})
	}
}

var statesStored = regexp.MustCompile(`(\d+) states, stored`)

func spin(t *testing.T, model string, mutant uint8) (broken bool, states string) {
	t.Helper()
	dir := t.TempDir()
	run := func(name string, args ...string) string {
		cmd := exec.CommandContext(t.Context(), name, args...)
		cmd.Dir = dir
		out, err := cmd.CombinedOutput()
		if err != nil {
			t.Fatalf("%s: %v\n%s", name, err, out)
		}
		return string(out)
	}
	run("spin", fmt.Sprintf("-DMUTANT=%d", mutant), "-a", model)
	run("gcc", "-O0", "-w", "-DSAFETY", "-DNOREDUCE", "-o", "pan", "pan.c") // 394 states: compiling takes longer than looking
	out := run(filepath.Join(dir, "pan"), "-m100000")
	found := statesStored.FindStringSubmatch(out)
	if found == nil || !strings.Contains(out, "errors: ") || strings.Contains(out, "max search depth too small") {
		t.Fatalf("spin did not finish:\n%s", out)
	}
	return !strings.Contains(out, "errors: 0"), found[1]
}
