package cli

import (
	"bufio"
	"fmt"
	"io"
	"strings"
)

// firstText is the shop file that a page's answers make, by the same questions as winnow new asks. The answers go by the names of
// its flags ("collector", "motor", "hose-width", ...), with "units" us, si or mixed and "no-papers" yes; what is missing or empty
// is not sure.
func firstText(answers map[string]string) ([]byte, error) {
	e := &env{in: strings.NewReader(""), out: io.Discard, err: io.Discard}
	if u := answers["units"]; u == "us" || u == "si" {
		e.units = u
	}
	v := newInterview(e, answers["units"] == "mixed")
	v.in, v.silent = bufio.NewReader(e.in), true
	v.a.noPapers = answers["no-papers"] == "yes"
	known := map[string]bool{"units": true, "no-papers": true}
	for _, q := range v.questions() {
		known[q.flag] = true
		if q.flag == "" || q.when != nil && !q.when() {
			continue
		}
		if err := v.take(q, answers[q.flag]); err != nil {
			return nil, fmt.Errorf("%s: %w", q.flag, err)
		}
	}
	for name := range answers {
		if !known[name] {
			return nil, fmt.Errorf("%s: there is no such question", name)
		}
	}
	return v.text(), nil
}
