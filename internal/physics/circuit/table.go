package circuit

import (
	_ "embed"
	"fmt"
	"math"
	"strconv"
	"strings"

	"winnow/internal/unit"
)

var (
	//go:embed data/full_load.tsv
	fullLoadText string
	//go:embed data/locked_rotor.tsv
	lockedRotorText string
	//go:embed data/code_letters.tsv
	codeLetterText string
	//go:embed data/efficiency.tsv
	efficiencyText string
	//go:embed data/starts.tsv
	startsText string
	//go:embed data/conductors_awg.tsv
	awgText string
	//go:embed data/conductors_mm2.tsv
	mm2Text string
)

// Tables gives the embedded tables as they are written, for the docs and the curious.
func Tables() map[string]string {
	return map[string]string{
		"full load": fullLoadText, "locked rotor": lockedRotorText, "code letters": codeLetterText,
		"efficiency": efficiencyText, "starts": startsText, "conductors by gauge": awgText, "conductors by area": mm2Text,
	}
}

// row is one line of a table: its label, its numbers (NaN for a dash), and what the last columns say.
type row struct {
	label  string
	x      []float64
	trust  Trust
	source string
}

// rows reads an embedded table; a table that cannot be read is our own mistake, so it panics at start.
func rows(text string) []row {
	var out []row
	for _, line := range strings.Split(strings.TrimSpace(text), "\n") {
		if strings.HasPrefix(line, "#") {
			continue
		}
		cells := strings.Split(line, "\t")
		n := len(cells)
		r := row{label: cells[0], source: cells[n-1]}
		if strings.Contains(cells[n-2], "memory") {
			r.trust = Memory
		}
		for _, c := range cells[1 : n-2] {
			r.x = append(r.x, cell(c))
		}
		out = append(out, r)
	}
	return out
}

func cell(c string) float64 {
	if c == "-" {
		return math.NaN()
	}
	if whole, part, ok := strings.Cut(c, " "); ok {
		return cell(whole) + cell(part)
	}
	if top, bottom, ok := strings.Cut(c, "/"); ok {
		return cell(top) / cell(bottom)
	}
	x, err := strconv.ParseFloat(c, 64)
	if err != nil {
		panic(fmt.Sprintf("circuit: bad cell %q in an embedded table", c))
	}
	return x
}

// wattPerHP is the electrical horsepower, by which motors are rated in the tables. Source [S-308].
const wattPerHP = 746.0

// horsepower finds the row of a table whose label is this shaft power, to 1 % (746 W, 745.7 W and 0.75 kW are three
// spellings of almost one horsepower; 0.75 kW is 0.5 % off, 1.1 kW is 1.7 % under 1 1/2 hp and is not that row).
func horsepower(table []row, shaft unit.Watt) (row, bool) {
	hp := float64(shaft) / wattPerHP
	for _, r := range table {
		want := cell(r.label)
		if math.Abs(hp-want) <= 0.01*want {
			return r, true
		}
	}
	return row{}, false
}

// column gives cell i of a row, if it is not a dash.
func (r row) column(i int) (float64, bool) {
	if i < 0 || i >= len(r.x) || math.IsNaN(r.x[i]) {
		return 0, false
	}
	return r.x[i], true
}

// RowError says that a table has no row or column for what was asked. Nothing is interpolated in its place.
type RowError struct {
	Table string // what the table lists
	Asked string // what was looked for
}

func (e *RowError) Error() string {
	return "the table of " + e.Table + " has no entry for " + e.Asked + ", and is never interpolated"
}
