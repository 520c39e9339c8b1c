package roomair

import (
	"testing"

	"winnow/internal/shop"
	"winnow/internal/shop/file"
	"winnow/internal/shop/typical"
	"winnow/internal/unit"
)

const quarryLane = `
winnow: 1
name: Quarry Lane garage
units: us
site: {altitude: 300 ft, temperature: 50 to 75 °F, limits: [us osha, us niosh, us acgih]}
room:
  footprint: 24 ft x 20 ft
  height: 8 ft
  doors:
    big door: {from: [4 ft, 0 ft], to: [13 ft, 0 ft], opens: up}
  flames: {heater: {at: [22 ft, 18 ft], draught: natural}}
machines:
  table saw: {kind: cabinet saw, port: {size: 4 in, needs: {chips: 350 cfm, fine: 500 cfm}}}
  planer: {kind: thickness planer, port: {size: 4 in, needs: {chips: 400 cfm, fine: 785 cfm}}}
  sander: {kind: random orbit sander, port: {size: 27 mm}}
  lathe: {kind: lathe, port: none}
systems:
  bag collector:
    kind: collector
    fan: {rating: {free air: 1200 cfm, shut-off: 9 inH2O}}
    filter: {grade: 5 µm claimed}
    runs:
      main: {from: [table saw, planer], size: 4 in, kind: wire-helix hose, pieces: [{hose: 12 ft}]}
  little vacuum:
    kind: vacuum
    runs:
      main: {from: sander, size: 27 mm, kind: smooth hose, pieces: [{hose: 3 m}]}
air cleaners:
  hanging cleaner: {flow: 400 cfm, stages: [{grade: MERV 8}, {grade: MERV 13}], works: with machines, keeps running: 20 min}
respirators:
  half mask: {type: half mask, filter: P100}
routine:
  wood: hardwood
  hours per week: {table saw: 3 h, planer: 1 h, sander: 2 h, lathe: 1 h}
`

func parsed(t testing.TB, text string) (*file.Doc, *shop.Shop) {
	t.Helper()
	doc, faults := file.Parse([]byte(text))
	if len(faults) > 0 {
		t.Fatalf("%v", faults)
	}
	s, _ := typical.Fill(doc.Shop())
	return doc, s
}

func cfm(x float64) float64 { return x * 0.000471947443 }

func refOf(s *shop.Shop, machine, port int) shop.PortRef {
	return shop.PortRef{Machine: s.Machines[machine].Name, Port: s.Machines[machine].Ports.Value[port].Name}
}

func half(q unit.Amount[unit.M3PerSec]) unit.Amount[unit.M3PerSec] {
	return unit.Amount[unit.M3PerSec]{Best: q.Best / 2, Low: q.Best / 2, High: q.Best / 2, Basis: unit.Given}
}
