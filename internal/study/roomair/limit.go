package roomair

import (
	"strings"

	"winnow/internal/physics/particle"
	"winnow/internal/unit"
)

// Limit is one published exposure limit for wood dust, as an average over 8 hours. Limits differ by what is counted, by
// the wood and by who set them: they are never compared with each other or with minutes.
type Limit struct {
	Key      string              `json:"key"` // as in the shop file: `us acgih`
	By       string              `json:"by"`
	Place    string              `json:"place"`
	Year     string              `json:"year"`
	Fraction string              `json:"fraction"` // inhalable, thoracic, respirable, total
	Wood     string              `json:"wood"`     // which wood it is for; empty: any
	Level    unit.KgPerM3        `json:"level_kgm3"`
	Status   string              `json:"status"` // regulation, recommendation, guideline
	Source   string              `json:"source"`
	counts   particle.Convention // for total: Inhalable, times what such a sampler reads of it
	total    bool
	applies  func(wood woodKind) bool
}

type woodKind struct{ hard, soft, cedar, board bool }

// woodOf reads the owner's words. A mixture counts as the strictest wood in it; what is not known counts as hardwood.
func woodOf(text string) woodKind {
	t := strings.ToLower(text)
	w := woodKind{
		cedar: strings.Contains(t, "cedar"),
		board: isBoard(t),
		soft:  containsAny(t, "softwood", "pine", "spruce", "fir", "larch", "cypress"),
		hard:  containsAny(t, "hardwood", "oak", "beech", "ash", "maple", "walnut", "cherry", "birch", "teak", "mahogany", "mixed", "any", "board", "mdf", "plywood"),
	}
	if w.cedar {
		w.soft = true
	}
	if !w.soft && !w.hard {
		w.hard = true
	}
	return w
}

func containsAny(t string, words ...string) bool {
	for _, w := range words {
		if strings.Contains(t, w) {
			return true
		}
	}
	return false
}

// sensitises reports whether the owner's words name a wood that makes people allergic. From memory but for cedar [S-396].
func sensitises(wood string) bool {
	return containsAny(strings.ToLower(wood), "cedar", "teak", "mahogany", "walnut", "iroko", "rosewood", "ebony", "padauk", "cocobolo")
}

const mgM3 unit.KgPerM3 = 1e-6

func anyWood(woodKind) bool     { return true }
func withHard(w woodKind) bool  { return w.hard }
func onlySoft(w woodKind) bool  { return w.soft && !w.hard }
func withCedar(w woodKind) bool { return w.cedar }
func otherWood(w woodKind) bool { return !w.cedar || w.hard }

// limits are all that are known here. Source [S-394] to [S-399].
var limits = []Limit{
	{Key: "us osha", By: "OSHA", Place: "US", Year: "current", Fraction: "total", Level: 15 * mgM3, Status: "regulation, dust of any kind", Source: "S-394", total: true, counts: particle.Inhalable, applies: anyWood},
	{Key: "us osha", By: "OSHA", Place: "US", Year: "current", Fraction: "respirable", Level: 5 * mgM3, Status: "regulation, dust of any kind", Source: "S-394", counts: particle.Respirable, applies: anyWood},
	{Key: "us niosh", By: "NIOSH", Place: "US", Year: "2019", Fraction: "total", Level: 1 * mgM3, Status: "recommendation", Source: "S-395", total: true, counts: particle.Inhalable, applies: anyWood},
	{Key: "us acgih", By: "ACGIH", Place: "US", Year: "current", Fraction: "inhalable", Wood: "western red cedar", Level: 0.5 * mgM3, Status: "guideline", Source: "S-396", counts: particle.Inhalable, applies: withCedar},
	{Key: "us acgih", By: "ACGIH", Place: "US", Year: "current", Fraction: "inhalable", Wood: "all other wood", Level: 1 * mgM3, Status: "guideline", Source: "S-396", counts: particle.Inhalable, applies: otherWood},
	{Key: "uk hse", By: "HSE", Place: "UK", Year: "2020", Fraction: "inhalable", Wood: "hardwood, or a mixture with it", Level: 3 * mgM3, Status: "regulation", Source: "S-397", counts: particle.Inhalable, applies: withHard},
	{Key: "uk hse", By: "HSE", Place: "UK", Year: "2020", Fraction: "inhalable", Wood: "softwood", Level: 5 * mgM3, Status: "regulation", Source: "S-397", counts: particle.Inhalable, applies: onlySoft},
	{Key: "uk hse", By: "HSE", Place: "UK", Year: "2002", Fraction: "inhalable", Wood: "dust of any kind", Level: 10 * mgM3, Status: "regulation", Source: "S-397", counts: particle.Inhalable, applies: anyWood},
	{Key: "uk hse", By: "HSE", Place: "UK", Year: "2002", Fraction: "respirable", Wood: "dust of any kind", Level: 4 * mgM3, Status: "regulation", Source: "S-397", counts: particle.Respirable, applies: anyWood},
	{Key: "eu", By: "European Union", Place: "EU", Year: "2023", Fraction: "inhalable", Wood: "hardwood, or a mixture with it", Level: 2 * mgM3, Status: "regulation", Source: "S-398", counts: particle.Inhalable, applies: withHard},
	{Key: "de ags", By: "AGS, TRGS 553", Place: "Germany", Year: "2008", Fraction: "inhalable", Level: 2 * mgM3, Status: "technical rule, from memory", Source: "S-399", counts: particle.Inhalable, applies: anyWood},
}

// chosen are the limits the owner asked for, or all where nothing is said, for the wood that is worked. `us` alone is
// every one of that place.
func chosen(asked []string, wood woodKind) []Limit {
	var out []Limit
	for _, l := range limits {
		if !l.applies(wood) {
			continue
		}
		wanted := len(asked) == 0
		for _, a := range asked {
			a = strings.ToLower(strings.TrimSpace(a))
			wanted = wanted || a == l.Key || strings.HasPrefix(l.Key, a+" ") || a == strings.ToLower(l.Place)
		}
		if wanted {
			out = append(out, l)
		}
	}
	return out
}

// The three words. A model never shows compliance: only a measurement does.
const (
	LikelyBelow = "likely below"
	CannotSay   = "cannot say"
	LikelyAbove = "likely above"
)

// wordFor turns the chance of being over into a word.
func wordFor(over float64) string {
	switch {
	case over < 0.05:
		return LikelyBelow
	case over > 0.70:
		return LikelyAbove
	}
	return CannotSay
}

// TWA is the average over 8 hours of levels that lasted for times, however short the work was,
//
//	E = Σ C·T / 8 h   [kg/m³]
//
// Source [S-392].
func TWA(levels []unit.KgPerM3, times []unit.Second) unit.KgPerM3 {
	if len(levels) != len(times) {
		panic("roomair: as many levels as times, please")
	}
	sum := 0.0
	for i := range levels {
		sum += float64(levels[i]) * float64(times[i])
	}
	return unit.KgPerM3(sum / eightHours)
}

// ReturnRule is whose rule says what about air that goes back into the room. The rules conflict: none is asserted.
type ReturnRule struct{ Whose, Says, Source string }

// ReturnRules are those known here, each with whose it is.
func ReturnRules() []ReturnRule {
	return []ReturnRule{
		{"Michigan OSHA, exhaust recirculation policy", "at most 10 % of the legal limit in the returned air, and 1 cfm of fresh air for each square foot of floor; at 15 mg/m³ that allows 1.5 mg/m³, above what NIOSH recommends", "published"},
		{"NIOSH, 1975 criteria", "no return of carcinogens, which wood dust was not then and is now (IARC group 1); watch the filter, and turn the air outdoors when it fails", "published"},
		{"Germany, TRGS 553 and its guidance", "a tested filter that passes at most 0.5 %, at most 150 m³/h for each m² of it, and at most 0.1 mg/m³ left in the returned air", "published"},
		{"Norway, Workplace Regulations 7-2", "return of air with carcinogens is banned, and work with wood dust is exempt from that ban", "published"},
		{"US, NFPA 664 and 654", "air returned to the building passes a filter of 99.9 % at 10 µm", "from memory"},
	}
}
