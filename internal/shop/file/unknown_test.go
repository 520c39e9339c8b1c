package file

import (
	"errors"
	"strings"
	"testing"

	"winnow/internal/shop"
)

// Everything may be left unknown but a name, what a piece is, and the numbers of a point. Where that is refused, it is
// because something else then lacks what it needs.
func TestAnythingMayBeUnknown(t *testing.T) {
	d := good(t, whole(t))
	taken := 0
	for n, p := range pathsOf(d.root) {
		keys := p.Keys()
		if n.form != scalar || len(keys) == 0 || keys[0] == "options" || p == "winnow" || d.nodeAt(p) != n || d.nodeAt(p.Parent()).form != dict {
			continue
		}
		switch keys[len(keys)-1] {
		case "gate", "tap", "separator", "wye", "split":
			continue
		}
		_, err := d.Try(shop.Edit{Set: p, To: shop.Text("unknown")})
		var e *EditError
		switch {
		case err == nil:
			taken++
		case errors.As(err, &e) && e.Code == MakesFault && contains([]string{"no-source", "no-target", "unclear-drawn", "unknown-name"}, e.Faults[0].Code.Name):
		default:
			t.Errorf("%s: %v", p, err)
		}
	}
	if taken < 250 {
		t.Errorf("only %d values could be left unknown", taken)
	}
	t.Logf("%d values may be unknown", taken)
}

// Zero is a number where the thing can be zero.
func TestZeroWhereItCanBe(t *testing.T) {
	good(t, []byte(`winnow: 1
site: {altitude: -20 ft}
machines:
  sweep: {infeed: 0 ft, facing: -90°, at: [-3 ft, 0 ft], port: {size: 4 in, height: 0 in, entry: 0}}
systems:
  s: {starting: {run-up: 0 s}, runs: {main: {from: sweep, pieces: [{hose: 5 ft, bends: 0°}, {kink: 0 %}]}}}
readings: [{suction: 0 inH2O, where: sweep}]
`))
}

// Of two keys that exclude each other the later one is marked, whichever it is.
func TestTheLaterOfTwoKeysIsMarked(t *testing.T) {
	const corners, footprint = "  corners: [[0 ft, 0 ft], [9 ft, 0 ft], [9 ft, 9 ft]]\n", "  footprint: 9 ft x 9 ft\n"
	for _, src := range []string{corners + footprint, footprint + corners} {
		_, faults := Parse([]byte("winnow: 1\nroom:\n" + src))
		if len(faults) != 1 || faults[0].Pos != (Pos{4, 3}) || faults[0].Also != (Pos{3, 3}) {
			t.Errorf("got:\n%s", texts(faults))
		}
	}
	for src, at := range map[string]int{
		"room: {footprint: 9 ft x 9 ft, corners: [[0 ft, 0 ft], [9 ft, 0 ft], [9 ft, 9 ft]]}": 32,
		"room: {corners: [[0 ft, 0 ft], [9 ft, 0 ft], [9 ft, 9 ft]], footprint: 9 ft x 9 ft}": 61,
	} {
		_, faults := Parse([]byte("winnow: 1\n" + src + "\n"))
		if len(faults) != 1 || faults[0].Pos != (Pos{2, at}) || faults[0].Also != (Pos{2, 8}) {
			t.Errorf("got:\n%s", texts(faults))
		}
	}
}

// Where the name itself is missing, the message says so.
func TestMissingNames(t *testing.T) {
	for src, says := range map[string]string{
		"machines: {m: {plug: {outlet: ''}}}": "the name of the outlet is missing",
		"machines: {: {kind: x}}":             "the name is missing",
		"site: {: 5 ft}":                      "a key is missing before the colon",
	} {
		_, faults := Parse([]byte("winnow: 1\n" + src + "\n"))
		if len(faults) != 1 || !strings.Contains(faults[0].What, says) {
			t.Errorf("%s: want %q, got:\n%s", src, says, texts(faults))
		}
	}
}
