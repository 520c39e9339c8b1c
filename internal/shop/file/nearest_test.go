package file

import "testing"

// Distances counted by hand.
func TestNearest(t *testing.T) {
	for _, test := range []struct {
		word  string
		known []string
		want  string
	}{
		{"planner", []string{"planer", "lathe"}, "planer"}, // one letter too many
		{"palner", []string{"planer", "lathe"}, "planer"},  // two swapped
		{"PLANER", []string{"planer"}, "planer"},           // capitals do not count
		{"thicknss planr", []string{"thickness planer", "planer"}, "thickness planer"},
		{"at", []string{"of", "height"}, ""}, // two of two letters wrong
		{"anvil", []string{"planer", "lathe", "saw"}, ""},
		{"sze", []string{"side", "size"}, "size"},      // the nearer of two
		{"µ saw", []string{"u saw", "lathe"}, "u saw"}, // characters, not bytes
	} {
		if got := nearest(test.word, test.known); got != test.want {
			t.Errorf("%s: got %q, want %q", test.word, got, test.want)
		}
	}
	for _, test := range []struct {
		a, b string
		want int
	}{{"", "", 0}, {"gate", "gate", 0}, {"gate", "gaet", 1}, {"gate", "gat", 1}, {"gate", "agte", 1}, {"gate", "pipe", 3}} {
		if got := typos([]rune(test.a), []rune(test.b), 9); got != test.want {
			t.Errorf("%s %s: got %d, want %d", test.a, test.b, got, test.want)
		}
	}
}
