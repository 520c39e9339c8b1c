package wire

import (
	"encoding/json"
	"strings"
	"testing"

	"winnow/internal/shop/file"
	"winnow/internal/study/gates"
	"winnow/internal/study/power"
	"winnow/internal/study/roomair"
	"winnow/internal/study/verdict"
	"winnow/internal/unit"
)

// No list of an answer is null, not even of a shop that has nothing: a page that reads its length would stop there.
func TestNoListIsNull(t *testing.T) {
	doc, faults := file.Parse([]byte("winnow: 1\n"))
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	shop := doc.Shop()
	for name, answer := range map[string]any{
		"power": PowerOf("", power.Report{}, unit.US, nowhere),
		"air":   AirOf("", roomair.Study(roomair.Input{Shop: verdict.Prepare(shop, nil).Shop}), unit.US, nowhere),
		"chart": ChartOf("", gates.Chart{}, unit.US, nowhere),
		"next":  NextOf("", verdict.Verdict{}, unit.US, nowhere),
	} {
		text, err := json.Marshal(answer)
		if err != nil {
			t.Fatal(err)
		}
		if strings.Contains(string(text), "null") {
			t.Errorf("%s: %s", name, text)
		}
	}
}
