package wire

// ChanceWords says a chance as an owner does: in sixths and twentieths, never surer than the tolerances are.
func ChanceWords(c float64) string {
	switch {
	case c < 0:
		return ""
	case c < 0.05:
		return "under 1 in 20"
	case c > 0.95:
		return "over 19 in 20"
	}
	best, words := 1.0, ""
	for _, w := range []struct {
		p float64
		s string
	}{
		{0.05, "1 in 20"}, {0.1, "1 in 10"}, {1. / 6, "1 in 6"}, {0.25, "1 in 4"}, {1. / 3, "1 in 3"}, {0.5, "1 in 2"}, {2. / 3, "2 in 3"},
		{0.75, "3 in 4"}, {5. / 6, "5 in 6"}, {0.9, "9 in 10"}, {0.95, "19 in 20"},
	} {
		if d := max(c-w.p, w.p-c); d < best {
			best, words = d, w.s
		}
	}
	return "about " + words
}
