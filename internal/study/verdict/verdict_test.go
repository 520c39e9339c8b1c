package verdict

import (
	"context"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"winnow/internal/shop"
	"winnow/internal/shop/file"
	"winnow/internal/study/airflow"
	"winnow/internal/study/doubt"
	"winnow/internal/study/roomair"
	"winnow/internal/unit"
)

func example(t testing.TB, name string) *file.Doc {
	t.Helper()
	src, err := os.ReadFile(filepath.Join("..", "..", "..", "examples", name))
	if err != nil {
		t.Fatal(err)
	}
	doc, faults := file.Parse(src)
	for _, f := range faults {
		t.Fatal(f.Text(name))
	}
	return doc
}

// The two figures of the issue of speed: all settings with ranges, and with remedies.
func BenchmarkVerdictMillraceRangesOnly(b *testing.B) {
	doc := example(b, "millrace.yaml")
	for b.Loop() {
		r := Prepare(doc.Shop(), doubt.Prior())
		sets, _ := airflow.EverySetting(r.Shop)
		if _, _, err := airflow.Study(context.Background(), r.Shop, r.Layout, r.Belief, sets); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkVerdictMillraceWithRemedies(b *testing.B) {
	doc := example(b, "millrace.yaml")
	for b.Loop() {
		if _, err := Of(context.Background(), Prepare(doc.Shop(), doubt.Prior()), doc.Try); err != nil {
			b.Fatal(err)
		}
	}
}

func of(t *testing.T, doc *file.Doc) (*Ready, Verdict) {
	t.Helper()
	r := Prepare(doc.Shop(), doubt.Prior())
	v, err := Of(context.Background(), r, doc.Try)
	if err != nil {
		t.Fatal(err)
	}
	return r, v
}

func read(t *testing.T, text string) *file.Doc {
	t.Helper()
	doc, faults := file.Parse([]byte(text))
	for _, f := range faults {
		t.Fatal(f.Text("shop.yaml"))
	}
	return doc
}

// Every port stands once, at its worst, the worst first; and the worst setting is what its remedies are for.
func TestEveryPortStandsOnceAtItsWorst(t *testing.T) {
	_, v := of(t, example(t, "millrace.yaml"))
	seen := map[string]bool{}
	last := 0.0
	for _, p := range v.Ports {
		name := p.Port.Port.String()
		if seen[name] {
			t.Errorf("%s stands twice", name)
		}
		seen[name] = true
		if s := airflow.ShareOf(*p.Port); s < last {
			t.Errorf("%s gets %.2f of its need and stands behind one with %.2f", name, s, last)
		} else {
			last = s
		}
		for _, r := range v.Results {
			for _, q := range r.Ports {
				if q.Port == p.Port.Port && q.Gets < p.Port.Gets*(1-1e-9) {
					t.Errorf("%s is judged at %.4f m³/s and gets %.4f with %v", name, p.Port.Gets, q.Gets, r.Setting.Running)
				}
			}
		}
	}
	if len(v.Ports) < 10 {
		t.Errorf("%d ports of a ten-drop shop", len(v.Ports))
	}
}

// The danger to life is told, and once.
func TestAFlameBesideTheExhaustIsToldOnce(t *testing.T) {
	_, v := of(t, example(t, "millrace.yaml"))
	flames := 0
	for _, f := range v.Other {
		if strings.Contains(f.Sentence(unit.SI), "stove") {
			flames++
		}
	}
	if flames != 1 {
		t.Errorf("the stove is spoken of %d times", flames)
	}
}

const twoPlaces = `winnow: 1
machines:
  saw:
    kind: cabinet saw
    wheels: true
    places:
      near: {at: [6 ft, 2 ft, 0 ft]}
      far: {at: [26 ft, 2 ft, 0 ft]}
    port: {size: 4 in, needs: {chips: 350 cfm}, side: left, height: 1 ft}
arrangements:
  today: {}
  car in: {saw: far}
systems:
  collector:
    kind: collector
    at: [2 ft, 2 ft]
    fan: {rating: {free air: 1200 cfm, shut-off: 9.5 inH2O}}
    runs:
      main: {from: saw, size: 4 in, kind: wire-helix hose, pieces: [{hose: drawn}]}
`

// A layout in which a drawn length comes out otherwise is studied too; there the saw gets less.
func TestAnotherLayoutIsStudiedWhereTheAirHasAnotherWay(t *testing.T) {
	_, v := of(t, read(t, twoPlaces))
	var today, carIn float64
	for _, r := range v.Results {
		for _, p := range r.Ports {
			if r.Setting.Arrangement == "car in" {
				carIn = float64(p.Gets)
			} else {
				today = float64(p.Gets)
			}
		}
	}
	if carIn == 0 || carIn >= today {
		t.Errorf("%.4f m³/s today and %.4f with the car in: the longer way was not studied", today, carIn)
	}
	if len(v.Ports) != 1 || v.Ports[0].Result.Setting.Arrangement != "car in" {
		t.Error("the port is not judged in the layout where it fares worst")
	}
}

// What would be worth finding out is named where the verdict is open, by its share of the doubt.
func TestWorthFindingOutNamesWhatMakesTheDoubt(t *testing.T) {
	_, v := of(t, read(t, strings.Replace(twoPlaces, "350 cfm", "420 cfm", 1)))
	if len(v.Worth) == 0 {
		t.Fatal("nothing is named")
	}
	sum := 0.0
	for i, w := range v.Worth {
		sum += w.Share
		if i > 0 && w.Share > v.Worth[i-1].Share {
			t.Error("not the largest first")
		}
		if w.What == "" || w.Path == "" {
			t.Errorf("%+v is not named", w)
		}
	}
	if sum < 0.5 || sum > 1.1 {
		t.Errorf("the shares named add up to %.2f of the doubt", sum)
	}
}

func TestAStoppedVerdictSaysSo(t *testing.T) {
	doc := example(t, "carport.yaml")
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if _, err := Of(ctx, Prepare(doc.Shop(), nil), doc.Try); err == nil {
		t.Error("no error from a verdict that was stopped")
	}
}

// The worst is the least share of a need, not the least airflow: a setup that asks for much counts though it gets more.
func TestASetupThatAsksForMoreIsTheWorst(t *testing.T) {
	_, v := of(t, read(t, `winnow: 1
machines:
  saw:
    kind: cabinet saw
    port: {size: 4 in}
    setups:
      ripping: {needs: {chips: 100 cfm}}
      dado: {needs: {chips: 900 cfm}}
systems:
  collector:
    kind: collector
    fan: {rating: {free air: 1200 cfm, shut-off: 9.5 inH2O}}
    runs: {main: {from: saw, size: 4 in, kind: wire-helix hose, pieces: [{hose: 10 ft}]}}
`))
	if len(v.Ports) != 1 || v.Ports[0].Port.Setup != "dado" {
		t.Fatalf("judged as %+v", v.Ports[0].Port)
	}
	if !slices.ContainsFunc(v.Findings, func(f shop.Finding) bool { return f.Code == airflow.CodeShort }) {
		t.Error("a port that is much too short in one setup is no finding")
	}
}

// Acts for a port that fares worst in another layout are tried in that layout.
func TestActsAreTriedInTheLayoutThatNeedsThem(t *testing.T) {
	_, v := of(t, read(t, strings.Replace(twoPlaces, "350 cfm", "450 cfm", 1)))
	if len(v.Ports) != 1 || len(v.Ports[0].Remedies) < 2 {
		t.Errorf("%d acts were found for the far place", len(v.Ports[0].Remedies))
	}
}

func TestProblemsStandFirst(t *testing.T) {
	_, v := of(t, example(t, "carport.yaml"))
	for i, f := range v.Findings {
		if i > 0 && f.Code.Severity > v.Findings[i-1].Code.Severity {
			t.Errorf("%s stands behind a milder finding", f.Code.Name)
		}
	}
	for _, f := range v.Other {
		if f.Code.Severity == shop.Note {
			t.Errorf("the note %s is among what is loud", f.Code.Name)
		}
	}
	if v.Power == nil || v.Air == nil {
		t.Error("a shop with circuits and a routine is not heard on power and air")
	}
}

// Without a word of the room or the week its air is anybody's guess, and nothing is said of it.
func TestTheAirOfARoomNobodySpokeOfIsNotJudged(t *testing.T) {
	_, v := of(t, example(t, "garden-shed.yaml"))
	if v.Air != nil || v.Power != nil {
		t.Error("air or power was judged of nothing")
	}
}

// One figure everywhere: what the verdict says of the air is what the study of the air says.
func TestTheVerdictSaysOfTheAirWhatItsStudySays(t *testing.T) {
	doc := example(t, "millrace.yaml")
	r, v := of(t, doc)
	a := Air(context.Background(), r.Shop, r.Belief, doc.Try)
	if len(v.Air.Options) == 0 {
		t.Fatal("the verdict says nothing of the air")
	}
	off := func(x, y roomair.Span) float64 { // airflow is solved anew each time, to rounding
		return max(math.Abs(x.Low-y.Low), math.Abs(x.Median-y.Median), math.Abs(x.High-y.High))
	}
	for _, o := range v.Air.Options {
		what := o.Remedy.Sentence(unit.SI)
		i := slices.IndexFunc(a.Options, func(x roomair.Option) bool { return x.Remedy.Sentence(unit.SI) == what })
		if i < 0 || off(a.Options[i].Inhalable, o.Inhalable) > 1e-9 || off(a.Options[i].Respirable, o.Respirable) > 1e-9 {
			t.Errorf("%s: %+v by the verdict", what, o.Inhalable)
		}
	}
}
