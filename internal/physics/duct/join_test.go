package duct_test

import (
	"encoding/json"
	"math"
	"testing"

	"pgregory.net/rapid"

	"winnow/internal/physics/duct"
	"winnow/internal/refcase"
	"winnow/internal/unit"
)

// joinAt returns a join without edge losses, for closed forms.
func joinAt(t testing.TB, deg float64) duct.Join {
	t.Helper()
	j := must[duct.Join](t)(duct.JoinOf(duct.Deg(deg)))
	j.Through.K, j.Branch.K = 0, 0
	return j
}

// κ = 1 - K(θ)/2, and with nothing in the through leg and a common leg as wide as the branch the published entry loss comes back
// (ACGIH branch-entry chart, AF-FIT-003).
func TestJoinGivesTheBranchEntryBack(t *testing.T) {
	for deg, want := range map[float64]float64{30: 0.91, 45: 0.86, 60: 0.78, 90: 0.50} {
		j := joinAt(t, deg)
		if math.Abs(j.Kappa.K-want) > 0.0051 { // stated to two figures
			t.Errorf("κ(%v°) = %v, want %v", deg, j.Kappa.K, want)
		}
		_, lost := j.Losses(0, 0.1, 0.15, 0.1, 0.1, 1.2)
		vp := 0.6 * math.Pow(0.1/areaOf(0.1), 2)
		published := must[duct.Coefficient](t)(duct.BranchEntry(duct.Deg(deg))).K
		if math.Abs(float64(lost)/vp-published) > 1e-9 {
			t.Errorf("%v°: the branch loses %v VP, the chart says %v", deg, float64(lost)/vp, published)
		}
	}
	// kb comes on top
	j := must[duct.Join](t)(duct.JoinOf(duct.Deg(45)))
	_, lost := j.Losses(0, 0.1, 0.15, 0.1, 0.1, 1.2)
	if got := float64(lost) / (0.6 * math.Pow(0.1/areaOf(0.1), 2)); math.Abs(got-0.38) > 1e-9 {
		t.Errorf("45° with its edge: %v, want 0.38", got)
	}
}

// At equal speeds with As + Ab = Ac both legs lose K·Ab/Ac velocity pressures: momentum theory, closed form.
func TestJoinAtEqualSpeeds(t *testing.T) {
	ds, db := 0.12, 0.09
	dc := math.Sqrt(ds*ds + db*db)
	v := 20.0
	j := joinAt(t, 45)
	through, branch := j.Losses(unit.M3PerSec(v*areaOf(ds)), unit.M3PerSec(v*areaOf(db)), unit.Metre(ds), unit.Metre(db), unit.Metre(dc), 1.2)
	want := 2 * (1 - j.Kappa.K) * areaOf(db) / areaOf(dc) * 0.6 * v * v
	for name, got := range map[string]unit.Pascal{"through": through, "branch": branch} {
		if math.Abs(float64(got)-want) > 1e-9 {
			t.Errorf("%s loses %v Pa, want %v", name, got, want)
		}
	}
}

// The slow leg may gain total pressure. ASHRAE ch. 21 after Idelchik; the size by the exact network join-07.
func TestPitfall07SlowLegMayGain(t *testing.T) {
	c := refcase.Airflow(t, "AF-FIT-011")
	j := must[duct.Join](t)(duct.JoinOf(duct.Deg(45)))
	through, branch := j.Losses(0.15, 0.01, 0.1, 0.08, 0.1, 1.2)
	negative := 0.0
	if branch < 0 {
		negative = 1
	}
	c.Check(t, "coefficient_of_slower_leg_may_be_negative", negative)
	if through <= 0 {
		t.Errorf("the fast leg loses %v Pa: it must pay", through)
	}
}

// The exact networks join-01 to join-09: both differences of pressure at every join that runs forwards.
func TestJoinAgainstExactNetworks(t *testing.T) {
	checked := 0
	for _, name := range []string{"join-01", "join-02", "join-03", "join-04", "join-05", "join-07", "join-09"} {
		var net struct {
			Air   struct{ Density float64 }
			Nodes []struct {
				ID       string
				Type     string
				Pressure float64
			}
			Joins []struct {
				Through, Branch, Common string
				DThrough                float64 `json:"d_through"`
				DBranch                 float64 `json:"d_branch"`
				DCommon                 float64 `json:"d_common"`
				Kappa                   float64
				KThrough                float64 `json:"k_through"`
				KBranch                 float64 `json:"k_branch"`
			}
		}
		var exact struct {
			Pressures []float64
			Joins     [][2]float64
		}
		decode(t, name+".json", &net)
		decode(t, name+".solution.json", &exact)
		pressure := map[string]float64{}
		for i, n := range net.Nodes {
			pressure[n.ID] = exact.Pressures[i]
		}
		for i, x := range net.Joins {
			q := exact.Joins[i]
			if q[0] < 0 || q[1] < 0 {
				continue
			}
			j := duct.Join{
				Kappa: duct.Coefficient{K: x.Kappa}, Through: duct.Coefficient{K: x.KThrough}, Branch: duct.Coefficient{K: x.KBranch},
			}
			s, b := j.Losses(unit.M3PerSec(q[0]), unit.M3PerSec(q[1]), unit.Metre(x.DThrough), unit.Metre(x.DBranch), unit.Metre(x.DCommon),
				unit.KgPerM3(net.Air.Density))
			wantS, wantB := pressure[x.Through]-pressure[x.Common], pressure[x.Branch]-pressure[x.Common]
			if math.Abs(float64(s)-wantS) > 1e-8 || math.Abs(float64(b)-wantB) > 1e-8 {
				t.Errorf("%s join %d: got %v and %v Pa, want %v and %v", name, i, s, b, wantS, wantB)
			}
			checked++
		}
	}
	if checked < 20 {
		t.Errorf("only %d joins were checked", checked)
	}
}

func decode(t *testing.T, file string, into any) {
	t.Helper()
	if err := json.Unmarshal(refcase.Open(t, "testdata/reference/networks/"+file), into); err != nil {
		t.Fatal(err)
	}
}

// A join never makes power: the flows' pressures add up to a loss, whatever the split and the sizes.
func TestJoinDissipates(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		deg := rapid.Float64Range(0, 90).Draw(t, "angle")
		d := func(name string) unit.Metre { return unit.Metre(rapid.Float64Range(0.03, 0.3).Draw(t, name)) }
		q := func(name string) unit.M3PerSec { return unit.M3PerSec(rapid.Float64Range(0, 0.5).Draw(t, name)) }
		var j duct.Join
		var err error
		if rapid.Bool().Draw(t, "fork") {
			j, err = duct.TwoWaySplit(duct.Deg(2 * deg))
		} else {
			j, err = duct.JoinOf(duct.Deg(deg))
		}
		if err != nil {
			t.Fatal(err)
		}
		if math.Abs(j.Kappa.K) > 1 || j.Kappa.Low < -1 || j.Kappa.High > 1 || j.Through.K < 0 || j.Branch.K < 0 {
			t.Fatalf("parameters that the network cannot take: %+v", j)
		}
		qs, qb := q("qs"), q("qb")
		s, b := j.Losses(qs, qb, d("ds"), d("db"), d("dc"), 1.2)
		if power := float64(qs)*float64(s) + float64(qb)*float64(b); power < -1e-9*(1+math.Abs(float64(qs)*float64(s))) {
			t.Fatalf("the join makes %v W", -power)
		}
	})
}

// Two legs at 30° on either side, running alike: each loses what a 30° branch loses at equal speeds by momentum theory, with both
// legs' momentum turned, 2(1-κ)(As+Ab)/Ac with As = Ab; and neither is favoured.
func TestTwoWaySplitTreatsItsLegsAlike(t *testing.T) {
	j := must[duct.Join](t)(duct.TwoWaySplit(duct.Deg(60)))
	s, b := j.Losses(0.1, 0.1, 0.1, 0.1, 0.15, 1.2)
	if math.Abs(float64(s-b)) > 1e-9 {
		t.Errorf("equal legs lose %v and %v Pa", s, b)
	}
	kappa := joinAt(t, 30).Kappa.K
	vs, vc := 0.1/areaOf(0.1), 0.2/areaOf(0.15)
	// both legs enter with cos-like share κ of their momentum: M = 4·κ·Q²/(A·Ac)
	want := 0.6 * (vc*vc + (1+j.Branch.K)*vs*vs - 4*kappa*0.01/(areaOf(0.1)*areaOf(0.15)))
	if math.Abs(float64(s)-want) > 1e-9 {
		t.Errorf("got %v Pa, want %v", s, want)
	}
	straight := must[duct.Join](t)(duct.TwoWaySplit(0))
	if straight.Kappa.K != 1 {
		t.Errorf("two legs side by side: κ %v, want 1", straight.Kappa.K)
	}
}
