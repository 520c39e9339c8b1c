package shop

import (
	"slices"
	"testing"
)

func TestPath(t *testing.T) {
	p := Path("systems").Join("collector", "runs")
	if p != "systems/collector/runs" || p.Last() != "runs" || p.Parent() != "systems/collector" || !slices.Equal(p.Keys(), []string{"systems", "collector", "runs"}) {
		t.Errorf("got %q %q %q %q", p, p.Last(), p.Parent(), p.Keys())
	}
	if Path("x").Parent() != "" || len(Path("").Keys()) != 0 || Path("").Join("x") != "x" {
		t.Error("the empty path is not empty")
	}
}

func TestPieceKeys(t *testing.T) {
	pieces := []Piece{
		{What: Wye, Wye: []ID{"a", "b"}}, {What: Pipe}, {What: Gate, Gate: "blast"}, {What: Pipe}, {What: Wye, Wye: []ID{"c"}}, {What: Elbow}, {What: Gate}, {What: Tap, Tap: "A"},
	}
	want := []string{"wye 1", "pipe 1", "gate blast", "pipe 2", "wye c", "elbow 1", "gate 2", "tap A"}
	for i := range pieces {
		if got := PieceKey(pieces, i); got != want[i] {
			t.Errorf("piece %d: got %q, want %q", i+1, got, want[i])
		}
	}
}
