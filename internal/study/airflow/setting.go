package airflow

import (
	"fmt"
	"slices"

	"winnow/internal/shop"
)

// Settings lists what is studied by default: each machine that some run serves, alone and as usual; then every set the
// routine allows at once. Each is judged with the filter just before cleaning.
func Settings(s *shop.Shop) []Setting {
	served := servedMachines(s)
	var sets []Setting
	for _, m := range s.Machines {
		if served[m.Name] {
			sets = append(sets, Setting{Running: []Running{{Machine: m.Name}}})
		}
	}
	for _, set := range s.Routine.Together {
		var running []Running
		for _, id := range set {
			if served[id] {
				running = append(running, Running{Machine: id})
			}
		}
		if len(running) > 1 {
			sets = append(sets, Setting{Running: running})
		}
	}
	return sets
}

// servedMachines are those that some run of some system starts at.
func servedMachines(s *shop.Shop) map[shop.ID]bool {
	served := map[shop.ID]bool{}
	for _, y := range s.Systems {
		for _, r := range y.Runs {
			for _, p := range r.From.Ports {
				served[p.Machine] = true
			}
		}
	}
	return served
}

// CheckSetting says what a setting names that the shop does not have: a mistyped setup must not be answered as another one.
func CheckSetting(s *shop.Shop, set Setting) error {
	for _, r := range set.Running {
		m := s.Machine(r.Machine)
		if m == nil {
			return fmt.Errorf("there is no machine %q", r.Machine)
		}
		if r.Setup != "" && !slices.ContainsFunc(m.Setups, func(x shop.Setup) bool { return x.Name == r.Setup }) {
			return fmt.Errorf("%s has no setup %q", r.Machine, r.Setup)
		}
		if r.Place != "" && !slices.ContainsFunc(m.Places, func(x shop.Place) bool { return x.Name == r.Place }) {
			return fmt.Errorf("%s has no place %q", r.Machine, r.Place)
		}
	}
	if a := set.Arrangement; a != "" && !slices.ContainsFunc(s.Arrangements, func(x shop.Arrangement) bool { return x.Name == a }) {
		return fmt.Errorf("there is no arrangement %q", a)
	}
	for _, g := range slices.Concat(set.Open, set.Shut) {
		if !hasGate(s, g) {
			return fmt.Errorf("there is no gate %q", g)
		}
	}
	return nil
}

func hasGate(s *shop.Shop, name shop.ID) bool {
	for _, y := range s.Systems {
		for _, r := range y.Runs {
			if slices.ContainsFunc(r.Pieces, func(p shop.Piece) bool { return p.What == shop.Gate && p.Gate == name }) {
				return true
			}
		}
	}
	return false
}

// maxSettings is the most settings one study takes on; a shop that allows more is told so.
const maxSettings = 400

// EverySetting lists what the verdict looks at: the usual settings, and each machine alone in each of its setups. Places matter
// through the layout: see verdict. left is how many were left out because there are more than the cap.
func EverySetting(s *shop.Shop) (sets []Setting, left int) {
	served := servedMachines(s)
	add := func(r Running) {
		set := Setting{Running: []Running{r}}
		for _, have := range sets {
			if have.same(set) {
				return
			}
		}
		sets = append(sets, set)
	}
	sets = Settings(s)
	for _, m := range s.Machines {
		if !served[m.Name] {
			continue
		}
		for i, setup := range m.Setups {
			if i > 0 {
				add(Running{Machine: m.Name, Setup: setup.Name})
			}
		}
	}
	if len(sets) > maxSettings {
		left = len(sets) - maxSettings
		sets = sets[:maxSettings]
	}
	return sets, left
}

// same reports whether two settings ask the same.
func (s Setting) same(o Setting) bool {
	return slices.Equal(s.Running, o.Running) && s.Arrangement == o.Arrangement && s.Filter == o.Filter &&
		slices.Equal(s.Open, o.Open) && slices.Equal(s.Shut, o.Shut)
}
