// Package airflow computes what every machine's ports get from their extraction system: it turns runs of pieces into
// a network of laws, sets which machines run, solves, and says where the pull goes.
//
// It refuses to know text, circuits and the room's air, and computes no length (shop/plan does). Start reading at
// Study, then Build, then Model.Solve; Explain is the calculation sheet.
package airflow

import (
	"winnow/internal/shop"
	"winnow/internal/unit"
)

// Group is a part of the system as an owner would name it when asking where the pull goes.
type Group uint8

// The groups, in the order of the air.
const (
	Mouth Group = iota // the machine's own mouth
	HoseGroup
	Bends // elbows, wyes and splits
	PipeGroup
	SeparatorGroup
	FilterGroup
	Rest // adapters, reducers, gates, whatever else
	groups
)

var groupWords = [groups]string{"the machine's own mouth", "hose", "bends and wyes", "pipe", "separator", "filter", "the rest"}

func (g Group) String() string { return groupWords[g] }

// MarshalText writes the word.
func (g Group) MarshalText() ([]byte, error) { return []byte(g.String()), nil }

// FilterState is how loaded the systems' own filters are taken to be.
type FilterState uint8

// The three states that are studied.
const (
	Due   FilterState = iota // just before cleaning: what is judged
	AsIs                     // as the file says it is now
	Clean                    // just cleaned
)

func (f FilterState) String() string {
	return [...]string{"filter due for cleaning", "filter as it is", "filter just cleaned"}[f]
}

// MarshalText writes the words.
func (f FilterState) MarshalText() ([]byte, error) { return []byte(f.String()), nil }

// Running is one machine at work.
type Running struct {
	Machine shop.ID `json:"machine"`
	Setup   shop.ID `json:"setup,omitempty"` // empty: its first
	Place   shop.ID `json:"place,omitempty"` // empty: its first
}

// Setting is what is being asked: who runs, in which layout, with which filter, and what a hand has done to the gates.
type Setting struct {
	Running     []Running   `json:"running"`
	Arrangement shop.ID     `json:"arrangement,omitempty"` // empty: the first
	Filter      FilterState `json:"filter"`
	Open        []shop.ID   `json:"open,omitempty"` // gates opened by hand besides those that belong to the running machines
	Shut        []shop.ID   `json:"shut,omitempty"` // gates shut by hand; wins over everything else
}

// Runs reports whether the setting runs the machine.
func (s Setting) Runs(machine shop.ID) bool {
	_, ok := s.of(machine)
	return ok
}

// besides names the machines that run with this one.
func (s Setting) besides(machine shop.ID) []shop.ID {
	var others []shop.ID
	for _, r := range s.Running {
		if r.Machine != machine {
			others = append(others, r.Machine)
		}
	}
	return others
}

func (s Setting) of(machine shop.ID) (Running, bool) {
	for _, r := range s.Running {
		if r.Machine == machine {
			return r, true
		}
	}
	return Running{}, false
}

// Verdict is how a machine fares, by the share of its chips need that it gets.
type Verdict uint8

// From the best to the worst; Unknown where nothing could be computed.
const (
	Works Verdict = iota
	Just
	Short
	MuchTooShort
	Unknown
)

func (v Verdict) String() string {
	return [...]string{"works", "just", "short", "much too short", "unknown"}[v]
}

// MarshalText writes the words.
func (v Verdict) MarshalText() ([]byte, error) { return []byte(v.String()), nil }

// sure is the chance from which on "works" is said: about 5 in 6.
const sure = 5.0 / 6

// enough is the share of the need from which on "works" is said where no chance was computed.
const enough = 1.10

// muchTooShort is the share of the need below which no small act will do.
const muchTooShort = 0.75

// VerdictOf judges a best estimate against a need. chance is that of reaching the need, or below 0 where it was not
// computed. It is the one place where a number becomes a verdict.
//
//	works           reaches the need, with a chance of about 5 in 6 or better (or 1.10 times the need, without a chance)
//	just            reaches it, but less surely
//	short           0.75 to 1 of the need
//	much too short  under 0.75
//
// The 0.75 and 1.10 are judgement.
func VerdictOf(gets, needs unit.M3PerSec, chance float64) Verdict {
	if !(needs > 0) || gets != gets {
		return Unknown
	}
	share := float64(gets / needs)
	switch {
	case share < muchTooShort:
		return MuchTooShort
	case share < 1:
		return Short
	case chance >= 0 && chance < sure, chance < 0 && share < enough:
		return Just
	}
	return Works
}
