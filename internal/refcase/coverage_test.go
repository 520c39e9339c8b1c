package refcase_test

import (
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"sort"
	"strings"
	"testing"

	"winnow/internal/refcase"
	"winnow/internal/unit"
)

// elsewhere lists the cases that air, duct and fan cannot express, with the reason; by id or by topic.
var elsewhere = map[string]string{
	"transport":      "transport speed is judged by the airflow study; the flow at a speed (AF-TRN-005) is checked in duct",
	"exhaust_volume": "the air a machine needs belongs to the typical values; flow through a connection (AF-EXH-012) is checked in duct",
	"capture":        "capture in front of a hood belongs to the room study",
	"saltation":      "correlations explain, they do not decide: particle and the airflow study",

	"AF-CYC-001": "cut size and grade efficiency: particle",
	"AF-CYC-002": "cut size and grade efficiency: particle",
	"AF-CYC-003": "cut size and grade efficiency: particle",
	"AF-CYC-005": "cut size and grade efficiency: particle",
	"AF-FIL-003": "recommended face speeds: a rule for a study, not a resistance",
	"AF-FIL-004": "filter grades: particle",
	"AF-FIL-005": "filter grades: particle",

	"AF-VP-003":   "a difference of two total pressures: what the network does at every link, no function of its own",
	"AF-FIT-005":  "diverging tees, for the pressure side only; a collector has none and this project builds none",
	"AF-FIT-013":  "square elbow before a fan: no square duct here",
	"AF-FIT-014":  "coefficients of a supply system's own fittings; they enter AF-SYS-001 and AF-SYS-002 as given",
	"AF-FLEX-006": "a limit of installation practice for house ventilation, not a resistance",
	"AF-FLEX-022": "says which charts exist; its numbers could not be read",
	"AF-FLEX-023": "says what decides (the spiral, not the fabric); no number",
}

var used = regexp.MustCompile(`refcase\.Airflow\(t, "(AF-[A-Z]+-[0-9]+)"\)`)

// Every published airflow case is either worked by a test or listed above with its reason.
func TestEveryAirflowCaseIsWorkedOrSetAside(t *testing.T) {
	worked := map[string][]string{}
	root := refcase.Dir(t, "internal")
	err := filepath.WalkDir(root, func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || !strings.HasSuffix(path, "_test.go") {
			return err
		}
		text, err := os.ReadFile(path)
		if err != nil {
			return err
		}
		for _, m := range used.FindAllSubmatch(text, -1) {
			worked[string(m[1])] = append(worked[string(m[1])], path)
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	known, topics := map[string]bool{}, map[string]bool{}
	var hard, soft, aside []string
	for _, c := range refcase.All(t) {
		known[c.ID], topics[c.Topic] = true, true
		reason := elsewhere[c.ID]
		if len(worked[c.ID]) > 0 && reason != "" {
			t.Logf("%s is worked in %v by now: its row above can go", c.ID, worked[c.ID])
		}
		switch {
		case len(worked[c.ID]) > 0 && c.Soft():
			soft = append(soft, c.ID)
		case len(worked[c.ID]) > 0:
			hard = append(hard, c.ID)
		case reason != "" || elsewhere[c.Topic] != "":
			aside = append(aside, c.ID)
		default:
			t.Errorf("%s (%s) is neither worked nor set aside", c.ID, c.Title)
		}
	}
	for id := range worked {
		if !known[id] {
			t.Errorf("%v ask for %s, which does not exist", worked[id], id)
		}
	}
	for key := range elsewhere {
		if !known[key] && !topics[key] {
			t.Errorf("%q is set aside and does not exist", key)
		}
	}
	sort.Strings(aside)
	t.Logf("worked: %d that fail, %d that warn; set aside: %d %v", len(hard), len(soft), len(aside), aside)
}

// A soft case warns, any other fails: the promise the whole table rests on.
func TestOnlySoftCasesWarn(t *testing.T) {
	for _, row := range []struct {
		verified, trust string
		soft            bool
	}{
		{"source-text", "high", false}, {"library", "medium", false}, {"memory", "high", true}, {"library", "low", true}, {"common-practice", "low", true},
	} {
		c := refcase.Case{ID: "made up", Verified: row.verified, Trust: row.trust}
		r := &recorder{TB: t}
		c.Near(r, "x", 1.2, 1, 0.1, 0)
		if r.failed == row.soft || r.logged != row.soft {
			t.Errorf("%s, trust %s: failed %v, logged %v", row.verified, row.trust, r.failed, r.logged)
		}
		r = &recorder{TB: t}
		c.Near(r, "x", 1.05, 1, 0.1, 0)
		if r.failed || r.logged {
			t.Errorf("%s: a number inside its tolerance was reported", row.verified)
		}
	}
}

// recorder notes whether a check failed or only logged.
type recorder struct {
	testing.TB
	failed, logged bool
}

func (r *recorder) Helper()             {}
func (r *recorder) Error(...any)        { r.failed = true }
func (r *recorder) Logf(string, ...any) { r.logged = true }

// The conversions that every case uses, through the reader of the owner's quantities.
func TestUnits(t *testing.T) {
	c := refcase.Airflow(t, "AF-UNIT-001")
	c.Check(t, "in_wg_to_Pa", float64(parse[unit.Pascal](t, "1 inH2O")))
	c.Check(t, "cfm_to_L_per_s", 1000*float64(parse[unit.M3PerSec](t, "1 cfm")))
	c.Check(t, "fpm_to_m_per_s", float64(parse[unit.MPerSec](t, "1 fpm")))
	c.Check(t, "hp_to_W", float64(parse[unit.Watt](t, "1 hp")))
	c.Check(t, "lb_per_ft3_to_kg_per_m3", 0.45359237/0.028316846592) // no owner writes a density
}

func parse[T unit.Real](t *testing.T, text string) T {
	t.Helper()
	a, err := unit.Parse[T](text)
	if err != nil {
		t.Fatal(err)
	}
	return a.Best
}
