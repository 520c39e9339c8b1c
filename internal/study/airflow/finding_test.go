package airflow

import (
	"context"
	"strings"
	"testing"

	"winnow/internal/shop"
	"winnow/internal/shop/file"
	"winnow/internal/shop/plan"
	"winnow/internal/shop/typical"
	"winnow/internal/study/doubt"
	"winnow/internal/unit"
)

// codes are all findings of the study. The first four guard against a shop that never went through the file's own checks.
var codes = []*shop.Code{
	codeNoSystem, codeNoMain, codeNoRun, codeRunLoop, codeNoPort, codeBadPart, codeCannotSolve, codeNotSolved, codeReversed, codeSeveralPoints,
	CodeShort, CodeUnsure, CodeFine, CodeDrops, codeSettles, CodeNoHose, codeSmallPort, codeKink, codeClaim, CodeNoLength, CodeGuessedFan, codeAdapter, codeBeyond,
}

var acts = []*shop.Code{
	actCleanFilter, actStraighten, actStretch, actNoKink, actShorten, actLighterCuts, actOpening, actWiden, actWiderHose, actPipe, actNextFan,
	actNextFanHose, actWiderRun, actOption, actOpenPort, actCollector, actSmooth, actFilter, actSeal,
}

func TestEveryFindingHasASentenceInBothSystemsAndHelp(t *testing.T) {
	seen := map[string]bool{}
	for _, c := range codes {
		if c.Sentence == "" || c.Help == "" {
			t.Errorf("%s lacks a sentence or help", c.Name)
		}
		if seen[c.Name] {
			t.Errorf("two findings are called %s", c.Name)
		}
		seen[c.Name] = true
	}
}

// found studies a shop with ranges and remedies and collects the codes it brings about.
func found(t *testing.T, text string) map[*shop.Code]shop.Finding {
	t.Helper()
	doc, faults := file.Parse([]byte(text))
	for _, f := range faults {
		t.Fatalf("the test's own shop is faulty: %s", f.Text("shop.yaml"))
	}
	s, _ := typical.Fill(doc.Shop())
	l, _ := plan.Of(s, "")
	got := map[*shop.Code]shop.Finding{}
	rs, fs, err := Study(context.Background(), s, l, doubt.Prior(), Settings(s))
	if err != nil {
		t.Fatal(err)
	}
	fs = append(fs, Judge(s, l, rs)...)
	for _, r := range rs {
		for _, p := range r.Ports {
			rem, limits := Remedies(context.Background(), s, l, r, p.Port, Settings(s), doc.Try)
			fs = append(fs, limits...)
			for _, x := range rem {
				got[x.What] = shop.Finding{Code: x.What, Args: x.Args}
			}
		}
	}
	for _, f := range fs {
		got[f.Code] = f
	}
	return got
}

// Each finding and each act is brought about by a shop, its sentence is filled in both systems, and no hole is left in it.
func TestEveryFindingAndActIsBroughtAboutByAShop(t *testing.T) {
	everything := `winnow: 1
machines:
  planer: {kind: thickness planer, port: {size: 4 in, needs: {chips: 430 cfm}, opening: 12 in2}}
  jointer: {kind: jointer, port: {size: 4 in, needs: {chips: 250 cfm, fine: 900 cfm}}}
  guard: {kind: mitre saw, port: {size: 2 1/2 in, needs: {chips: 150 cfm}}}
  lonely: {kind: band saw, port: {size: 4 in}}
systems:
  collector:
    kind: collector
    fan: {rating: {free air: 2400 cfm, shut-off: 12 inH2O}}
    motor: {power: 1 hp, voltage: 120 V}
    filter: {kind: bag, area: 12 ft2}
    runs:
      main: {size: 6 in, kind: spiral steel, pieces: [{wye: [carried, small], make: two-way split}, {pipe: 20 ft}, {hose: 3 ft, kind: wire-helix hose}]}
      carried: {from: [planer, jointer], size: 4 in, kind: wire-helix hose, pieces: [{hose: 28 ft, bends: 360°, stretch: 85 %}, {kink: 60 %}, {gate: one}]}
      small: {from: guard, size: 4 in, kind: wire-helix hose, pieces: [{hose: 8 ft, size: 2 1/2 in, kind: ribbed hose}, {gate: two}]}
options:
  wide: {price: 90 USD, change: [{set: systems/collector/runs/carried/size, to: 5 in}]}
`
	onlyMotor := `winnow: 1
machines:
  saw: {kind: cabinet saw, port: {size: 4 in, needs: {chips: 330 cfm}}}
  planer: {kind: thickness planer, port: {size: 4 in, needs: {chips: 400 cfm}}}
systems:
  collector:
    kind: collector
    motor: {power: 1 hp, voltage: 120 V}
    runs:
      main: {from: [saw, planer], size: 4 in, kind: wire-helix hose, pieces: [{hose: 20 ft, bends: 180°}]}
`
	shortCurve := hoseShop("{curve: [[0 cfm, 10 inH2O], [200 cfm, 9.5 inH2O]]}", "{hose: 8 ft}")
	leaky := replaced(t, replaced(t, twoDrops, "{pipe: 12 ft}", "{pipe: 45 ft}"), "needs: {chips: 350 cfm}", "needs: {chips: 550 cfm}")
	leaky = replaced(t, leaky, "main: {size: 6 in, kind: spiral steel", "main: {size: 6 in, kind: snap-lock pipe")
	roomForPipe := hoseShop("{rating: {free air: 1000 cfm, shut-off: 8 inH2O}}", "{hose: 24 ft, bends: 180°}")
	vacuum := `winnow: 1
machines:
  planer: {kind: thickness planer, port: {size: 2 1/2 in, needs: {chips: 400 cfm}}}
systems:
  vacuum:
    kind: vacuum
    fan: {rating: {free air: 180 cfm, shut-off: 60 inH2O}, tested: as sold}
    runs: {main: {from: planer, size: 2 1/2 in, kind: ribbed hose, pieces: [{hose: 8 ft}]}}
`
	smallPort := replaced(t, hoseShop("{rating: {free air: 1200 cfm, shut-off: 9.5 inH2O}}", "{hose: 8 ft}"), "port: {size: 4 in", "port: {size: 2 1/2 in")
	thinMain := replaced(t, twoDrops, "main: {size: 6 in", "main: {size: 4 in")
	just := hoseShop("{rating: {free air: 1200 cfm, shut-off: 9.5 inH2O}}", "{hose: 10 ft}")
	got := map[*shop.Code]shop.Finding{}
	for _, text := range []string{everything, onlyMotor, thinMain, vacuum, smallPort, shortCurve, leaky, roomForPipe, just} {
		for c, f := range found(t, text) {
			got[c] = f
		}
	}
	elsewhere := map[*shop.Code]string{
		codeNoSystem: "TestWhatTheFileWouldHaveCaught", codeNoMain: "TestWhatTheFileWouldHaveCaught", codeNoRun: "TestWhatTheFileWouldHaveCaught",
		codeRunLoop: "TestWhatTheFileWouldHaveCaught", codeNoPort: "TestWhatTheFileWouldHaveCaught", codeBadPart: "TestWhatTheFileWouldHaveCaught",
		codeCannotSolve: "no shop is known that brings it about", codeNotSolved: "no shop is known that brings it about",
		codeReversed: "TestAirThatRunsBackwardsIsTold", codeSeveralPoints: "TestAHumpedFanIsTold",
	}
	for _, c := range append(append([]*shop.Code(nil), codes...), acts...) {
		f, ok := got[c]
		if !ok {
			if _, other := elsewhere[c]; !other {
				t.Errorf("no shop brings about %s", c.Name)
			}
			continue
		}
		for _, sys := range []unit.System{unit.US, unit.SI} {
			if s := f.Sentence(sys); strings.ContainsAny(s, "{}") {
				t.Errorf("%s leaves a hole: %s", c.Name, s)
			}
		}
	}
}

// A shop built by hand, past the file's checks, must not bring the study down.
func TestWhatTheFileWouldHaveCaught(t *testing.T) {
	s, l := ready(t, twoDrops)
	broken := func(change func(y *shop.System)) *shop.Shop {
		c := *s
		c.Systems = []shop.System{s.Systems[0]}
		c.Systems[0].Runs = append([]shop.Run(nil), s.Systems[0].Runs...)
		change(&c.Systems[0])
		return &c
	}
	for _, c := range []struct {
		want   *shop.Code
		system shop.ID
		change func(y *shop.System)
	}{
		{codeNoSystem, "vacuum", func(*shop.System) {}},
		{codeNoMain, "collector", func(y *shop.System) { y.Runs[0].Name = "trunk" }},
		{codeNoRun, "collector", func(y *shop.System) { y.Runs = y.Runs[:2] }},
		{codeRunLoop, "collector", func(y *shop.System) {
			y.Runs[1] = shop.Run{Name: "saw drop", Pieces: []shop.Piece{{What: shop.Wye, Wye: []shop.ID{"main"}}}}
		}},
		{codeNoPort, "collector", func(y *shop.System) { y.Runs[1].From.Ports = []shop.PortRef{{Machine: "ghost"}} }},
		{codeBadPart, "collector", func(y *shop.System) {
			y.Runs[1].Pieces = append([]shop.Piece(nil), y.Runs[1].Pieces...)
			y.Runs[1].Pieces[0].Size = unit.Exactly(unit.Metre(0.001))
		}},
	} {
		m, fs := Build(broken(c.change), l, c.system)
		if m != nil || len(fs) == 0 || fs[0].Code != c.want {
			t.Errorf("%s: model %v, findings %v", c.want.Name, m != nil, fs)
		}
	}
}

func TestAHumpedFanIsTold(t *testing.T) {
	text := replaced(t, twoDrops, "[[0 cfm, 10 inH2O], [400 cfm, 9.2 inH2O], [800 cfm, 6 inH2O], [1100 cfm, 0 inH2O]]",
		"[[0 cfm, 6 inH2O], [300 cfm, 2.2 inH2O], [420 cfm, 9.5 inH2O], [600 cfm, 8 inH2O], [900 cfm, 0 inH2O]]")
	s, l := ready(t, text)
	told := false
	for _, set := range []Setting{alone("saw", Due), alone("planer", Due), {Running: []Running{{Machine: "saw"}}, Filter: Due, Shut: []shop.ID{"saw gate"}}} {
		for _, r := range study(t, s, l, set) {
			for _, n := range r.Notes {
				told = told || n.Code == codeSeveralPoints
			}
		}
	}
	if !told {
		t.Error("no setting of a shop with a humped fan says that it may settle elsewhere")
	}
}

// A vacuum of its own on the other leg of the wye draws harder than the fan: air comes out of the branch's machine.
func TestAirThatRunsBackwardsIsTold(t *testing.T) {
	text := replaced(t, twoDrops, "planer: {kind: thickness planer, port: {size: 4 in, needs: {chips: 400 cfm}}}",
		"planer: {kind: thickness planer, port: {size: 4 in, needs: {chips: 400 cfm}, blower: {curve: [[0 cfm, 60 inH2O], [1500 cfm, 40 inH2O], [3000 cfm, 0 inH2O]]}}}")
	text = replaced(t, text, "main: {size: 6 in", "main: {size: 4 in")
	s, l := ready(t, text)
	told := false
	for _, r := range study(t, s, l, Setting{Running: []Running{{Machine: "saw"}, {Machine: "planer"}}}) {
		for _, n := range r.Notes {
			told = told || n.Code == codeReversed
		}
	}
	if !told {
		t.Error("a blower far stronger than the fan pushes air out at the saw, and nothing says so")
	}
}

// A slower piece may fare better than a faster one that lies level: the finding must say why.
func TestAFindingOfChipsSaysHowThePieceLies(t *testing.T) {
	for _, c := range []struct {
		piece PieceFlow
		want  string
	}{
		{PieceFlow{Goes: plan.Up, short: true}, ", which rises,"},
		{PieceFlow{Goes: plan.Down}, ", which falls,"},
		{PieceFlow{Goes: plan.Level, short: true}, ", a short piece,"},
		{PieceFlow{Goes: plan.Level}, ", which is level,"},
		{PieceFlow{}, ""},
	} {
		if got := liesWords(c.piece); got != c.want {
			t.Errorf("%+v: %q, want %q", c.piece, got, c.want)
		}
	}
}
