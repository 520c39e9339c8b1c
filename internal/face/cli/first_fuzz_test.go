package cli

import (
	"encoding/json"
	"testing"

	"winnow/internal/shop/file"
)

// Whatever a page answers, the first run makes a file without faults, or says which answer it does not understand.
func FuzzFirstText(f *testing.F) {
	for _, seed := range []string{
		`{}`, `{"units":"us","collector":"bag","motor":"1 1/2 hp","claim":"1250 cfm","hose-width":"4 in","hose-length":"20 ft","hose-lies":"loops","machines":"planer*, table saw"}`,
		`{"units":"si","no-papers":"yes","collector":"bag","inlet":"100 mm","wheel":"300 mm","bag":"0.5 m x 1 m","pull-blocked":"2 kPa"}`,
		`{"collector":"vacuum","machines":"mitre saw"}`, `{"collector":"nothing","floor":"12 ft2","units":"mixed"}`, `{"machines":"a: b, #, \"x\", - y"}`, `{"machines":"null, true, 7, ~"}`,
	} {
		f.Add([]byte(seed))
	}
	f.Fuzz(func(t *testing.T, src []byte) {
		var answers map[string]string
		if json.Unmarshal(src, &answers) != nil {
			return
		}
		text, err := firstText(answers)
		if err != nil {
			return
		}
		if _, faults := file.Parse(text); len(faults) > 0 {
			t.Fatalf("%q makes a file with a fault: %s\n%s", answers, faults[0].Text("shop.yaml"), text)
		}
	})
}
