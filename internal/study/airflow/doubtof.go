package airflow

import (
	"cmp"
	"math"
	"slices"
	"strings"

	"winnow/internal/shop"
	"winnow/internal/shop/plan"
	"winnow/internal/study/doubt"
)

// Contribution is how much of the doubt about a port's airflow one uncertain thing makes.
type Contribution struct {
	What  string // in words
	Path  shop.Path
	Share float64 // of the variance of ln Q
}

// DoubtOf shares the doubt about a port's airflow out to its causes: the squared correlation of ln Q with each uncertain
// factor over the draws of the result. The factors are drawn independently, so the squares add up to about 1; what is
// below the noise of so many draws is left out.
func DoubtOf(s *shop.Shop, l *plan.Layout, b *doubt.Belief, r Result, p PortResult) []Contribution {
	m, _ := Build(s, l, r.System)
	if m == nil || len(p.Samples) != doubt.Samples {
		return nil
	}
	m.draw(b, doubt.Samples)
	logs := make([]float64, len(p.Samples))
	for i, q := range p.Samples {
		logs[i] = math.Log(max(q, 1e-9))
	}
	shares := map[string]*Contribution{}
	for i := range m.elements {
		e := &m.elements[i]
		for _, d := range e.doubts {
			for _, t := range d.factor.Terms {
				key := string(t.Key)
				if _, seen := shares[key]; seen {
					continue
				}
				z := b.KeyDraws(t.Key, doubt.Samples)
				c := correlation(z[1:], logs)
				shares[key] = &Contribution{What: words(key, e), Path: e.path, Share: c * c}
			}
		}
	}
	var all []Contribution
	for _, c := range shares {
		if c.Share > 3.0/doubt.Samples { // three standard errors of an unrelated factor's square
			all = append(all, *c)
		}
	}
	slices.SortFunc(all, func(a, b Contribution) int {
		return cmp.Or(cmp.Compare(b.Share, a.Share), strings.Compare(string(a.Path), string(b.Path)), strings.Compare(a.What, b.What))
	})
	return all
}

func correlation(x, y []float64) float64 {
	n := float64(len(x))
	var sx, sy, sxx, syy, sxy float64
	for i := range x {
		sx, sy = sx+x[i], sy+y[i]
		sxx, syy, sxy = sxx+x[i]*x[i], syy+y[i]*y[i], sxy+x[i]*y[i]
	}
	vx, vy := sxx-sx*sx/n, syy-sy*sy/n
	if vx <= 0 || vy <= 0 {
		return 0
	}
	return (sxy - sx*sy/n) / math.Sqrt(vx*vy)
}

// words says what a key is about: "kind/wire-helix hose/friction" is "friction of wire-helix hose".
func words(key string, e *element) string {
	switch {
	case strings.HasPrefix(key, "kind/"):
		name, what, _ := strings.Cut(strings.TrimPrefix(key, "kind/"), "/")
		return what + " of " + name
	case key == "fittings/table":
		return "tables of fittings"
	case key == "wyes/model":
		return "losses of wyes"
	case key == "pipe/friction":
		return "friction of pipe"
	}
	what := key[strings.LastIndexByte(key, '/')+1:]
	switch what {
	case "fan flow":
		return "the fan's free air"
	case "fan pressure":
		return "the fan's pull with the inlet blocked"
	case "fan exponent":
		return "the bend of the fan's curve"
	case "filter":
		return "the filter's resistance"
	case "mouth":
		return "the mouth of " + mouthName(e.path)
	case "length":
		return "length of " + e.path.Last()
	}
	return e.path.Last() + ": " + what
}

func mouthName(p shop.Path) string {
	if keys := p.Keys(); len(keys) > 1 {
		return keys[1]
	}
	return string(p)
}
