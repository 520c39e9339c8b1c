package power

import (
	"context"
	"fmt"
	"testing"

	"winnow/internal/shop"
	"winnow/internal/unit"
)

// bigShop has 25 machines, two collectors, three cleaners and five other loads on 8 circuits: the size the speed is asked for.
func bigShop() *shop.Shop {
	s := &shop.Shop{Site: shop.Site{Wiring: "us"}}
	for i := range 8 {
		c := shop.Circuit{Name: fmt.Sprint("c", i), Breaker: exactly(unit.Ampere(15 + 5*(i%2))), Voltage: exactly[unit.Volt](120), Wire: exactly[unit.Wire](3.31e-6), Length: exactly(unit.Metre(8 + i))}
		if i >= 6 {
			c.Voltage = exactly[unit.Volt](240)
		}
		for k := range 3 {
			c.Outlets = append(c.Outlets, shop.Outlet{Name: fmt.Sprintf("o%d.%d", i, k)})
		}
		s.Circuits = append(s.Circuits, c)
	}
	plug := func(i int) shop.Maybe[shop.Plug] {
		return shop.Maybe[shop.Plug]{Basis: unit.Given, Value: shop.Plug{Outlet: fmt.Sprintf("o%d.%d", i%8, i%3), Cord: exactly[unit.Metre](2.5)}}
	}
	motor := func(i int, v unit.Volt) shop.Maybe[shop.Motor] {
		return shop.Maybe[shop.Motor]{Basis: unit.Given, Value: shop.Motor{Voltage: exactly(v), Phases: 1, Current: exactly(unit.Ampere(5 + (i*7)%11))}}
	}
	run := shop.Run{Name: "main"}
	for i := range 25 {
		v := unit.Volt(120)
		if i%8 >= 6 {
			v = 240
		}
		m := shop.Machine{Name: fmt.Sprint("m", i), Kind: "band saw", Motor: motor(i, v), Plug: plug(i)}
		s.Machines = append(s.Machines, m)
		run.From.Ports = append(run.From.Ports, shop.PortRef{Machine: m.Name})
	}
	for i := range 2 {
		y := shop.System{Name: fmt.Sprint("s", i), Kind: "collector", Motor: motor(3, 120), Plug: plug(i)}
		y.Runs = []shop.Run{{Name: "main", From: shop.From{Ports: run.From.Ports[i*12 : i*12+12]}}}
		s.Systems = append(s.Systems, y)
	}
	for i := range 3 {
		s.AirCleaners = append(s.AirCleaners, shop.AirCleaner{Name: fmt.Sprint("a", i), Power: exactly[unit.Watt](120), Works: "with machines", Plug: plug(i + 2)})
	}
	for i := range 5 {
		s.OtherLoads = append(s.OtherLoads, shop.Load{Name: fmt.Sprint("x", i), Outlet: fmt.Sprintf("o%d.0", i), Current: exactly[unit.Ampere](1.5), Start: exactly[unit.Ampere](9), Works: "by itself"})
	}
	s.Routine.People = 2
	for i := range 24 {
		s.Routine.Together = append(s.Routine.Together, []shop.ID{fmt.Sprint("m", i), fmt.Sprint("m", (i*5+3)%25)})
	}
	return s
}

// BenchmarkAllSets judges every allowed set of 25 machines on 8 circuits from nothing: to stay under 5 ms.
func BenchmarkAllSets(b *testing.B) {
	s := bigShop()
	for b.Loop() {
		GridOf(s).results()
	}
}

// BenchmarkAssign finds the plan of plugs of the same shop exactly: to stay under 2 s.
func BenchmarkAssign(b *testing.B) {
	s := bigShop()
	var a Assignment
	for b.Loop() {
		a = GridOf(s).Assign(context.Background(), 0)
	}
	b.ReportMetric(float64(a.Steps), "steps")
	b.Log(a.Outcome, a.Fewest, len(a.Moves), a.Cannot, a.Smallest)
}

// BenchmarkAssignTight is a shop in which sets of three to six machines meet on full circuits, so that the search has to work.
func BenchmarkAssignTight(b *testing.B) {
	s := bigShop()
	for i := range s.Machines {
		s.Machines[i].Motor.Value.Current = exactly(unit.Ampere(3.5 + float64((i*5)%13)*0.75))
	}
	for i := range 40 {
		var set []shop.ID
		for k := range 3 + i%4 {
			set = append(set, fmt.Sprint("m", (i*7+k*k*3+k)%25))
		}
		s.Routine.Together = append(s.Routine.Together, set)
	}
	var a Assignment
	for b.Loop() {
		a = GridOf(s).Assign(context.Background(), 0)
	}
	b.ReportMetric(float64(a.Steps), "steps")
	b.Log(a.Outcome, a.Fewest, len(a.Moves), a.Cannot, a.Smallest)
}

func BenchmarkStudy(b *testing.B) {
	s := bigShop()
	for b.Loop() {
		if _, err := Study(context.Background(), s, Options{}); err != nil {
			b.Fatal(err)
		}
	}
}
