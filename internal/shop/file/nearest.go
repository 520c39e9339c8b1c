package file

import "strings"

// mostNames is how many names are looked through for one that is like a stranger.
const mostNames = 500

// nearest is the known word most like a stranger, or "" if none is near: a third of its letters wrong at most, and
// never more than three.
func nearest(word string, known []string) string {
	if len(known) > mostNames {
		return "" // a made-up file; a shop has some dozens
	}
	w := strings.ToLower(strings.TrimSpace(word))
	best, found := 1+min(3, (len([]rune(w))+1)/3), ""
	for _, k := range known {
		if d := typos([]rune(w), []rune(strings.ToLower(k)), best); d < best {
			best, found = d, k
		}
	}
	return found
}

// typos counts the letters put in, left out, changed or swapped with a neighbour; limit or more is not told apart.
func typos(a, b []rune, limit int) int {
	if d := len(a) - len(b); d >= limit || -d >= limit {
		return limit
	}
	before, last, row := make([]int, len(b)+1), make([]int, len(b)+1), make([]int, len(b)+1)
	for j := range last {
		last[j] = j
	}
	for i := 1; i <= len(a); i++ {
		row[0] = i
		for j := 1; j <= len(b); j++ {
			cost := 1
			if a[i-1] == b[j-1] {
				cost = 0
			}
			row[j] = min(last[j]+1, row[j-1]+1, last[j-1]+cost)
			if i > 1 && j > 1 && a[i-1] == b[j-2] && a[i-2] == b[j-1] {
				row[j] = min(row[j], before[j-2]+1)
			}
		}
		before, last, row = last, row, before
	}
	return last[len(b)]
}
