package file

import "testing"

// Lines that look like comments are hidden from the YAML library; inside a text they are part of it, and after an open one
// they end it.
func TestLinesThatLookLikeComments(t *testing.T) {
	for _, test := range []struct{ name, src, want string }{
		{"in a | text", "winnow: 1\n# c\nnote: |\n  one\n  # two\n  three\n", "one\n# two\nthree\n"},
		{"in quotes", "winnow: 1\n# c\nnote: \"one\n  # two\n  three\"\n", "one # two three"},
		{"around a text over two lines", "winnow: 1\n# c\nnote: one\n  two\n# c\nname: x\n", "one two"},
		{"between", "# c\nwinnow: 1\n  # c\nnote: one # two\n     # c\n", "one"},
	} {
		if got := good(t, []byte(test.src)).Shop().Note; got != test.want {
			t.Errorf("%s: got %q, want %q", test.name, got, test.want)
		}
	}
	if _, faults := Parse([]byte("winnow: 1\nnote: one\n# c\n  two\n")); len(faults) != 1 || faults[0].Code != Syntax {
		t.Errorf("a comment ends a text without quotes:\n%s", texts(faults))
	}
}
