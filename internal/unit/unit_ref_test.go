package unit

import (
	"encoding/csv"
	"math"
	"os"
	"regexp"
	"strconv"
	"strings"
	"testing"
)

// Every factor against the definitions of two general-purpose libraries; testdata/reference.py says which and how.
// Tolerance 1e-12: the same definitions, other roundings. [S-002], [S-004]
func TestFactorsAgainstLibraries(t *testing.T) {
	f, err := os.Open("testdata/reference.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	seen := map[string]bool{}
	for _, row := range rows[1:] {
		dim, name := Dimension(row[0]), row[1]
		want, err := strconv.ParseFloat(row[3], 64)
		if err != nil {
			t.Fatal(err)
		}
		text := "1 " + name
		switch dim {
		case "temperature at":
			dim, text = "temperature", strings.Replace(row[2], "deg", "°", 1)
		case "gauge":
			dim, text = "wire size", name+" AWG"
		}
		s := scanner{text: text, book: books[dim]}
		r, bad := s.amount()
		if bad != nil {
			t.Errorf("%s: %v", text, bad)
			continue
		}
		if row[0] == "gauge" { // the table gives the diameter to a tenth of a thousandth of an inch
			got, want := math.Sqrt(4/math.Pi*r.best), math.Sqrt(4/math.Pi*want)
			if math.Abs(got-want) > 0.05e-3*0.0254 {
				t.Errorf("%s: got %.5g m across, %s says %.5g", text, got, row[2], want)
			}
		} else if !near(r.best, want, 1e-12) {
			t.Errorf("%s: got %.17g, %s says %.17g", text, r.best, row[2], want)
		}
		seen[string(dim)+"/"+name] = true
	}
	// Nothing may stay unchecked but what is one by definition, or ours.
	for _, row := range Table() {
		key := string(row.Dimension) + "/" + row.Name
		ours := row.Name == "points" || row.Name == "dBA" || row.Name == "AWG" || row.Name == "%" || row.Name == "‰"
		if !seen[key] && row.InSI != 1 && !ours {
			t.Errorf("%s has no reference", key)
		}
	}
}

// AF-UNIT-001: the conversions the published airflow cases rest on, after NIST SP 811. The case is marked as recalled,
// so it only warns.
func TestReferenceConversions(t *testing.T) {
	data, err := os.ReadFile("../../testdata/reference/airflow.yaml")
	if err != nil {
		t.Fatal(err)
	}
	_, body, ok := strings.Cut(string(data), "- id: AF-UNIT-001")
	if !ok {
		t.Fatal("AF-UNIT-001 is gone")
	}
	body, _, _ = strings.Cut(body, "\n- id:")
	of := map[string]func() (float64, error){
		"in_wg_to_Pa":             func() (float64, error) { a, err := Parse[Pascal]("1 in wg"); return float64(a.Best), err },
		"cfm_to_L_per_s":          func() (float64, error) { a, err := Parse[M3PerSec]("1 cfm"); x, _ := In(a.Best, "L/s"); return x, err },
		"fpm_to_m_per_s":          func() (float64, error) { a, err := Parse[MPerSec]("1 fpm"); return float64(a.Best), err },
		"lb_per_ft3_to_kg_per_m3": func() (float64, error) { a, err := Parse[KgPerM3]("1 lb/ft3"); return float64(a.Best), err },
		"hp_to_W":                 func() (float64, error) { a, err := Parse[Watt]("1 hp"); return float64(a.Best), err },
	}
	found := 0
	for _, m := range regexp.MustCompile(`name: (\w+), value: ([\d.e-]+), unit: [^,]+, tol_rel: ([\d.e-]+)`).FindAllStringSubmatch(body, -1) {
		want, _ := strconv.ParseFloat(m[2], 64)
		tol, _ := strconv.ParseFloat(m[3], 64)
		f := of[m[1]]
		if f == nil {
			t.Errorf("no check for %s", m[1])
			continue
		}
		found++
		if got, err := f(); err != nil || !near(got, want, tol) {
			t.Logf("WARN AF-UNIT-001 %s: got %.9g, %v; recalled %.9g", m[1], got, err, want)
		}
	}
	if found != len(of) {
		t.Errorf("%d of %d conversions found", found, len(of))
	}
}

// NIST SP 811 (2008), Appendix B.8, printed to seven figures, from memory: these warn only, the libraries above fail.
func TestSP811FromMemory(t *testing.T) {
	for _, c := range []struct {
		dim  Dimension
		text string
		want float64
	}{
		{"pressure", "1 inH2O", 2.490889e2}, // "inch of water, conventional"
		{"pressure", "1 mmH2O", 9.80665},    // "millimeter of water, conventional"
		{"pressure", "1 inHg", 3.386389e3},
		{"pressure", "1 psi", 6.894757e3},
		{"power", "1 hp", 7.456999e2},
		{"airflow", "1 cfm", 4.719474e-4},
		{"speed", "1 fpm", 5.08e-3},
		{"volume", "1 gal", 3.785412e-3},
		{"volume", "1 bd ft", 2.359737e-3},
		{"concentration", "1 lb/ft³", 1.601846e1},
		{"concentration", "1 gr/ft³", 2.288352e-3},
		{"energy", "1 Btu", 1.055056e3},
		{"area", "1 ft²", 9.290304e-2},
		{"mass rate", "1 lb/h", 1.259979e-4},
	} {
		s := scanner{text: c.text, book: books[c.dim]}
		if r, err := s.amount(); err != nil || !near(r.best, c.want, 5e-7) {
			t.Logf("WARN %s: got %.9g, %v; recalled %.7g", c.text, r.best, err, c.want)
		}
	}
}

// The table of units must not contradict itself.
func TestTable(t *testing.T) {
	for _, row := range Table() {
		if row.Name == "" || row.Source == "" || row.SIUnit == "" || !row.US && !row.SI {
			t.Errorf("%+v is incomplete", row)
		}
		b := books[row.Dimension]
		for _, s := range append([]string{row.Name}, row.Also...) {
			if d := b.find(s); d == nil || d.name != row.Name {
				t.Errorf("%s %q is read as %v", row.Dimension, s, d)
			}
		}
	}
	for _, g := range groups {
		loose := map[string]string{}
		for _, d := range books[g.dim].defs {
			for _, s := range d.spells {
				if other, taken := loose[fold(s)]; taken && other != d.name {
					t.Errorf("%s: %q is both %s and %s", g.dim, s, other, d.name)
				}
				loose[fold(s)] = d.name
			}
		}
		if got := Units(g.dim); len(got) != len(g.defs) {
			t.Errorf("%s: %d units, Units says %d", g.dim, len(g.defs), len(got))
		}
		if g.dim != "number" && len(offered(g.dim)) == 0 {
			t.Errorf("%s offers no unit", g.dim)
		}
	}
	// Each type has its dimension in the table.
	for _, d := range []Dimension{
		Metre(0).Dimension(), M2(0).Dimension(), M3(0).Dimension(), M3PerSec(0).Dimension(), MPerSec(0).Dimension(), Pascal(0).Dimension(), Watt(0).Dimension(),
		Volt(0).Dimension(), Ampere(0).Dimension(), Kelvin(0).Dimension(), Kilogram(0).Dimension(), KgPerSec(0).Dimension(), KgPerM3(0).Dimension(), Second(0).Dimension(),
		PerSec(0).Dimension(), Radian(0).Dimension(), Fraction(0).Dimension(), Number(0).Dimension(), Decibel(0).Dimension(), Joule(0).Dimension(), PascalSec(0).Dimension(), Wire(0).Dimension(),
	} {
		if suffixes[d] == "" {
			t.Errorf("%s has no ending for --json", d)
		}
		if books[d] == nil || len(looksOf(d, US)) == 0 || len(looksOf(d, SI)) == 0 {
			t.Errorf("%s cannot be read or shown", d)
		}
	}
	if len(Dimensions()) != 22 {
		t.Errorf("%d dimensions, 22 types", len(Dimensions()))
	}
}

func TestInAndFrom(t *testing.T) {
	// 1 cfm is 0.4719474432 L/s: 0.3048³/60, by definition.
	if x, ok := In(M3PerSec(0.4719474432e-3), "cfm"); !ok || !near(x, 1, 1e-14) {
		t.Errorf("got %v, %v", x, ok)
	}
	if v, ok := From[M3PerSec](1000, "CFM"); !ok || !near(float64(v), 0.4719474432, 1e-14) {
		t.Errorf("got %v, %v", v, ok)
	}
	if v, ok := From[Kelvin](68, "°F"); !ok || !near(float64(v), 293.15, 1e-14) {
		t.Errorf("got %v, %v", v, ok)
	}
	if _, ok := From[Metre](1, "cfm"); ok {
		t.Error("a length in cfm")
	}
	if _, ok := In(Number(1), "cfm"); ok {
		t.Error("a bare number in cfm")
	}
	if Units("weather") != nil || Units("number") == nil || len(Units("number")) != 0 {
		t.Errorf("units of the weather: %v; of a number: %v", Units("weather"), Units("number"))
	}
}
