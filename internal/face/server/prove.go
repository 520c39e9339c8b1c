package server

import (
	"context"
	"errors"
	"fmt"
	"runtime"
	"slices"
	"strings"
	"time"

	"winnow/internal/face/wire"
	"winnow/internal/shop"
	"winnow/internal/shop/file"
	"winnow/internal/study/gates"
	"winnow/internal/study/verdict"
	"winnow/internal/unit"
)

// mostStates keeps a proof that goes on long from taking a small computer's memory: about 70 bytes each.
const mostStates = 4_000_000

// proving looks for a way in which a controller of the shop could break one of its rules, one look after the other. It leaves a core
// to the floor where there is more than one.
func proving(doc *file.Doc) work {
	return func(ctx context.Context, far func(func(*wire.Job))) error {
		ready := verdict.Prepare(doc.Shop(), nil)
		units := unit.US
		if ready.Shop.Units == "si" {
			units = unit.SI
		}
		plants, found := gates.PlantsOf(ready.Shop, verdict.Ways(ready.Shop, ready.Layout), verdict.Permit(ready.Shop, ready.Layout))
		if len(plants) == 0 {
			return nothingStarts(found, units)
		}
		at := func(p shop.Path) (int, int) { pos := doc.Place(p); return pos.Line, pos.Column }
		looks := 0
		for _, p := range plants {
			looks += len(p.Usual())
		}
		far(func(j *wire.Job) { j.Parts = looks })
		hands := max(1, runtime.GOMAXPROCS(0)-1)
		proof, err := Prove(ctx, plants, hands, mostStates, func(done, states int) { far(func(j *wire.Job) { j.Done, j.Count = done, states }) })
		proof.Shop, proof.Findings = ready.Shop.Name, wire.Findings(found, units, at)
		far(func(j *wire.Job) { j.Proof = &proof })
		return err
	}
}

// Prove takes one look after the other at each controller, each with its part of the time that is left to ctx, and says how many are
// done and how many states were seen. What was found until an error stands in the answer.
func Prove(ctx context.Context, plants []*gates.Plant, hands, most int, tell func(done, states int)) (wire.Proof, error) {
	proof := wire.Proof{Systems: []wire.SystemProof{}, Findings: []wire.Finding{}}
	left, done, seen := 0, 0, 0
	for _, p := range plants {
		left += len(p.Usual())
	}
	for _, p := range plants {
		one := wire.SystemProof{System: p.Name, Stations: len(p.Stations), Gates: len(p.Gates), Sets: p.Sets(), Runs: []gates.ProofResult{}, NotCovered: p.NotCovered()}
		for _, dials := range p.Usual() {
			dials.Hands, dials.States = hands, min(dials.States, most)
			r, err := explore(ctx, p, dials, left, func(states int) { tell(done, seen+states) })
			if err != nil {
				return proof, fmt.Errorf("%s: %w", p.Name, err)
			}
			one.Runs = append(one.Runs, r)
			seen += r.Explored
			left--
			done++
			tell(done, seen)
		}
		proof.Systems = append(proof.Systems, one)
	}
	return proof, nil
}

// explore gives one look its part of the time that is left.
func explore(ctx context.Context, p *gates.Plant, dials gates.Dials, left int, tell func(states int)) (gates.ProofResult, error) {
	if end, limited := ctx.Deadline(); limited {
		share, done := context.WithTimeout(ctx, time.Until(end)/time.Duration(left))
		defer done()
		ctx = share
	}
	return gates.Prove(ctx, p, dials, func(share float64) { tell(int(share * float64(dials.States))) })
}

// nothingStarts says why there is no controller to look at.
func nothingStarts(found []shop.Finding, units unit.System) error {
	why := []string{"nothing starts by itself here, so there is no controller to look at."}
	for _, f := range found {
		if f.Code.Severity == shop.Problem || slices.Contains([]*shop.Code{gates.CodeByHand, gates.CodeNoSensor}, f.Code) {
			why = append(why, f.Sentence(units), f.Code.Help)
		}
	}
	return errors.New(strings.Join(why, " "))
}
