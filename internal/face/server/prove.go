package server

import (
	"context"
	"errors"
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
		proof := &wire.Proof{Shop: ready.Shop.Name, Systems: []wire.SystemProof{}, Findings: wire.Findings(found, units, at)}
		looks := 0
		for _, p := range plants {
			looks += len(p.Usual())
		}
		far(func(j *wire.Job) { j.Parts, j.Proof = looks, proof })
		seen := 0 // in the looks that are over
		for _, p := range plants {
			one := wire.SystemProof{System: p.Name, Stations: len(p.Stations), Gates: len(p.Gates), Sets: p.Sets(), Runs: []gates.ProofResult{}, NotCovered: p.NotCovered()}
			for _, dials := range p.Usual() {
				dials.Hands, dials.States = max(1, runtime.GOMAXPROCS(0)-1), min(dials.States, mostStates)
				r, err := explore(ctx, p, dials, looks, func(states int) { far(func(j *wire.Job) { j.Count = seen + states }) })
				if err != nil {
					return err
				}
				one.Runs = append(one.Runs, r)
				seen += r.Explored
				looks--
				far(func(j *wire.Job) { j.Count = seen; j.Done++ })
			}
			proof.Systems = append(proof.Systems, one) // nobody reads it before the job has ended
		}
		return nil
	}
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
