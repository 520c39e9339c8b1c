package cli

import (
	"bytes"
	"strings"
	"testing"

	"winnow/internal/shop/file"
)

// The page's first run and winnow new make the same file of the same answers.
func TestThePagesFirstRunMakesTheFileOfNew(t *testing.T) {
	text, err := firstText(map[string]string{
		"units": "us", "collector": "bag", "motor": "1 1/2 hp", "hose-width": "4 in", "hose-length": "10 ft", "machines": "planer*, table saw",
	})
	if err != nil {
		t.Fatal(err)
	}
	t.Chdir(t.TempDir())
	var out, errs bytes.Buffer
	if code := Run([]string{"new", "--units", "us", "--collector", "bag", "--motor", "1 1/2 hp", "--hose-width", "4 in", "--hose-length", "10 ft",
		"--machines", "planer*, table saw", "--yes"}, strings.NewReader(""), &out, &errs); code > exitFailing {
		t.Fatal(errs.String())
	}
	want, err := readFile(&env{}, "shop.yaml")
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(text, want) {
		t.Errorf("the page's file differs:\n%s\nwinnow new's:\n%s", text, want)
	}
	for _, answers := range []map[string]string{{}, {"collector": "vacuum"}, {"collector": "nothing", "floor": "12 ft2"}, {"units": "si", "no-papers": "yes", "inlet": "100 mm"}} {
		text, err := firstText(answers)
		if err != nil {
			t.Errorf("%v: %v", answers, err)
			continue
		}
		if _, faults := file.Parse(text); len(faults) > 0 {
			t.Errorf("%v: %s", answers, faults[0].Text("shop.yaml"))
		}
	}
	if _, err := firstText(map[string]string{"colour": "red"}); err == nil {
		t.Error("an answer to no question was taken")
	}
	if _, err := firstText(map[string]string{"motor": "strong"}); err == nil || !strings.HasPrefix(err.Error(), "motor: ") {
		t.Errorf("a motor that is no quantity: %v", err)
	}
}
