package typical_test

import (
	"os"
	"regexp"
	"strings"
	"testing"

	"winnow/internal/shop/typical"
	"winnow/internal/unit"
)

// Whatever is offered can be described, in both systems, every number with a range that holds it and a source of the ledger.
func TestEveryKindCanBeShown(t *testing.T) {
	sorts := typical.Kinds()
	if len(sorts) < 12 {
		t.Fatalf("only %d sorts", len(sorts))
	}
	for _, s := range sorts {
		if len(s.Items) == 0 || s.Where == "" {
			t.Errorf("%s lists nothing, or says not where it is written", s.Name)
		}
		for _, item := range s.Items {
			for _, sys := range []unit.System{unit.US, unit.SI} {
				showAll(t, s.Name, item, sys)
			}
		}
	}
	for _, r := range typical.Facts() {
		if r.Text(unit.US) == "" || !strings.HasPrefix(r.Source, "S-") {
			t.Errorf("fact %s: %q, %q", r.What, r.Text(unit.US), r.Source)
		}
	}
	if typical.Describe("no such thing", unit.US) != nil {
		t.Error("nobody knows no such thing")
	}
}

// sheet is the description of a name as one sort of thing.
func sheet(name, sort string, sys unit.System) (typical.Sheet, bool) {
	for _, s := range typical.Describe(name, sys) {
		if s.Sort == sort {
			return s, true
		}
	}
	return typical.Sheet{}, false
}

func showAll(t *testing.T, sort string, item typical.Item, sys unit.System) {
	t.Helper()
	for _, name := range append([]string{item.Name}, item.Also...) {
		if s, ok := sheet(name, sort, sys); !ok || s.Name != item.Name {
			t.Errorf("%s, a spelling of the %s %s, is described as %q", name, sort, item.Name, s.Name)
		}
	}
	s, _ := sheet(item.Name, sort, sys)
	if len(s.Rows) == 0 && item.Name != "none" {
		t.Errorf("%s %s has nothing to show", sort, item.Name)
	}
	for _, r := range s.Rows {
		text := r.Text(sys)
		if r.What == "" || text == "" || text == "unknown" {
			t.Errorf("%s: %q is %q", item.Name, r.What, text)
		}
		if r.Print != nil && (r.Low > r.Best || r.Best > r.High || r.Unit == "") {
			t.Errorf("%s: %s is %v in %v to %v, unit %q", item.Name, r.What, r.Best, r.Low, r.High, r.Unit)
		}
	}
}

var (
	idInTable  = regexp.MustCompile(`\bS-1\d\d\b`)
	idInLedger = regexp.MustCompile(`(?m)^\| (S-1\d\d) \|`)
)

// The ledger lists every source the tables name, and no other.
func TestTheLedgerListsEverySource(t *testing.T) {
	ledger, err := os.ReadFile("../../../docs/sources/typical.md")
	if err != nil {
		t.Fatal(err)
	}
	listed := map[string]bool{}
	for _, m := range idInLedger.FindAllSubmatch(ledger, -1) {
		listed[string(m[1])] = true
	}
	named := map[string]bool{}
	files, err := os.ReadDir("data")
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range files {
		if f.Name() == "sources.txt" {
			continue
		}
		text, err := os.ReadFile("data/" + f.Name())
		if err != nil {
			t.Fatal(err)
		}
		for _, id := range idInTable.FindAll(text, -1) {
			named[string(id)] = true
		}
	}
	known := map[string]bool{"S-143": true} // named by code only: 230 V
	for _, s := range typical.Sources() {
		known[s.ID] = true
		if !listed[s.ID] {
			t.Errorf("%s (%s) is not in the ledger", s.ID, s.Cite)
		}
		if !named[s.ID] && s.ID != "S-143" {
			t.Errorf("%s (%s) is used by no table", s.ID, s.Cite)
		}
		if got, ok := typical.SourceOf(s.ID); !ok || got != s {
			t.Errorf("%s is not found again", s.ID)
		}
	}
	for id := range listed {
		if !known[id] {
			t.Errorf("the ledger lists %s, which is no source", id)
		}
	}
}

func TestLittleLookUps(t *testing.T) {
	same(t, "usable part of a vacuum's bin", typical.BinUsable("vacuum"), "60 %", "")
	same(t, "of a collector's lower bag", typical.BinUsable("collector"), "66.7 %", "")
	same(t, "of the can under a lid", typical.BinUsable("baffle lid"), "75 %", "")
	pipe, _ := typical.PipeKind("spiral")
	if us, si := pipe.Sizes(unit.US), pipe.Sizes(unit.SI); len(us) < 5 || len(si) < 5 || us[0] == si[0] {
		t.Errorf("sizes %v and %v", us, si)
	}
	if drain, _ := typical.PipeKind("drain pipe"); len(drain.Sizes(unit.US)) != 0 {
		t.Error("EN 1401 pipe is sold in no US size")
	}
	for _, code := range typical.Codes() {
		if code.Name == "" || code.Sentence == "" || code.Help == "" {
			t.Errorf("%+v is not whole", code)
		}
	}
}

// A fan inside the machine, 150 to 300 cfm: common practice.
func TestPlanersWithFansOfTheirOwn(t *testing.T) {
	s, _ := filled(t, `
machines:
  pushing: {kind: planer with blower}
  said: {kind: thickness planer, port: {blower: {rating: {free air: 200 cfm}}}}
  without: {kind: thickness planer, port: {blower: none}}
  perhaps: {kind: thickness planer}
`)
	blower := func(name string) (unit.Amount[unit.M3PerSec], bool) {
		b := s.Machine(name).Ports.Value[0].Blower
		return b.Value.Rating.Value.FreeAir, b.Is()
	}
	if q, ok := blower("pushing"); !ok {
		t.Error("a planer with a blower has one")
	} else {
		same(t, "its airflow", q, "", "150 to 300 cfm")
	}
	if q, ok := blower("said"); !ok || q.Basis != unit.Given {
		t.Error("what the owner said of it stays")
	}
	if b := s.Machine("said").Ports.Value[0].Blower.Value.Rating.Value.ShutOff; b.Basis != unit.Assumed || b.Best <= 0 {
		t.Error("what was not said of it is assumed")
	}
	for _, name := range []string{"without", "perhaps"} {
		if _, ok := blower(name); ok {
			t.Errorf("%s has no fan of its own", name)
		}
	}
	_, notes := filled(t, "machines: {perhaps: {kind: thickness planer}, sure: {kind: jointer}}\n")
	told := 0
	for _, n := range notes {
		if strings.HasSuffix(string(n.Where), "/blower") {
			told++
		}
	}
	if told != 1 {
		t.Errorf("%d machines are told that no fan inside was assumed, want the planer alone", told)
	}
}
