package roomair

import (
	"encoding/json"
	"math"
	"runtime"
	"sync/atomic"
	"testing"

	"winnow/internal/study/doubt"
)

// On one processor and on many the answer is the same to the last bit.
func TestOneProcessorOrManyTheSameAnswer(t *testing.T) {
	on := func(processors int) string {
		defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(processors))
		doc, s := parsed(t, quarryLane)
		a := Study(Input{Shop: s, Try: doc.Try, Samples: 32})
		out, err := json.Marshal(struct {
			Answer
			Options []Option
		}{a, a.Options})
		if err != nil {
			t.Fatal(err)
		}
		return string(out)
	}
	if one, many := on(1), on(4); one != many {
		t.Errorf("on one processor\n%s\non four\n%s", one, many)
	}
}

func TestEachIsDoneOnceAndAFaultComesBack(t *testing.T) {
	var done [100]atomic.Int32
	each(len(done), func(i int) { done[i].Add(1) })
	for i := range done {
		if done[i].Load() != 1 {
			t.Fatalf("%d was done %d times", i, done[i].Load())
		}
	}
	defer func() {
		if recover() != "ours" {
			t.Error("a fault in a worker was lost")
		}
	}()
	each(3, func(i int) {
		if i == 1 {
			panic("ours")
		}
	})
}

// Without a line to draw the day is run in fewer, longer spells: the closed form is exact between events, so no sum changes.
func TestTheDayIsTheSameWithoutALine(t *testing.T) {
	_, s := parsed(t, quarryLane)
	l := build(s, nil)
	with, without := l.run(doubt.Prior(), 32, true), l.run(doubt.Prior(), 32, false)
	for i := range with.twa {
		for c := range with.twa[i] {
			if a, b := with.twa[i][c], without.twa[i][c]; math.Abs(a-b) > 1e-9*a {
				t.Fatalf("draw %d: %g with a line, %g without", i, a, b)
			}
		}
		if a, b := with.helped[i], without.helped[i]; math.Abs(a-b) > 1e-3*a {
			t.Fatalf("draw %d: a wait of %g s with a line, %g s without", i, a, b)
		}
	}
}
