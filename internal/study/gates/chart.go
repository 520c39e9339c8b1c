package gates

import (
	"slices"

	"winnow/internal/shop"
	"winnow/internal/unit"
)

// SlowStart is the wait from which a person is told to wait for the light. Common practice, no source; S-405.
const SlowStart unit.Second = 3

// CodeSlow warns of a machine that cuts before its extraction is there.
var CodeSlow = &shop.Code{Name: "wait-for-the-light", Severity: shop.WatchOut,
	Sentence: "{machine}: {system} draws fully only {wait} after the start. Wait for the light before the first cut.",
	Help:     "Start the collector by its button first, let a gate rest open, or let the collector keep running between cuts."}

// Line is one line of the chart: a machine, used one way, at one place.
type Line struct {
	Machine  shop.ID     `json:"machine"`
	Setup    shop.ID     `json:"setup,omitempty"`
	Place    shop.ID     `json:"place,omitempty"`
	System   shop.ID     `json:"system"`
	Open     []shop.ID   `json:"open"`
	Shut     []shop.ID   `json:"shut"`
	ByHand   []shop.ID   `json:"by_hand"` // of Open and Shut together, those moved by hand
	Carry    shop.ID     `json:"carry_hose,omitempty"`
	Starts   Starts      `json:"starts"`
	Also     []shop.ID   `json:"also_start,omitempty"`
	Wait     unit.Second `json:"wait_s"` // from the machine's start, or from the collector's where that is started first
	Made     []Delay     `json:"wait_made_of"`
	CoastFor unit.Second `json:"coast_down_s"`
	Keep     unit.Second `json:"keeps_running_s"`
	Proof    shop.ID     `json:"proof_sensor,omitempty"`
}

// Delay is one part of the wait.
type Delay struct {
	What string      `json:"what"`
	Time unit.Second `json:"time_s"`
}

// Starts is how the system of a line is started.
type Starts uint8

const (
	ByYou    Starts = iota // by hand, before the machine
	ByItself               // when the machine starts
)

func (s Starts) String() string { return [...]string{"by hand, first", "by itself"}[s] }

// MarshalText writes the words.
func (s Starts) MarshalText() ([]byte, error) { return []byte(s.String()), nil }

// Chart is the whole of it: what to do for every machine, in the order of the file.
type Chart struct {
	Lines    []Line         `json:"lines"`
	Unserved []shop.ID      `json:"no_extraction,omitempty"` // machines that no system draws from
	Findings []shop.Finding `json:"-"`
}

// ChartOf makes the gate chart of a filled shop. A setup or a place has a line of its own only where its gates differ from
// those of the line above.
func ChartOf(s *shop.Shop, ways Ways) Chart {
	var c Chart
	plants, _ := PlantsOf(s, ways, nil)
	for i := range s.Machines {
		m := &s.Machines[i]
		lines := machineLines(s, m, ways, plants)
		if len(lines) == 0 {
			c.Unserved = append(c.Unserved, m.Name)
		}
		c.Lines = append(c.Lines, lines...)
	}
	for _, l := range c.Lines {
		if l.Starts == ByItself && l.Wait > SlowStart && l.Setup == "" && l.Place == "" {
			c.Findings = append(c.Findings, shop.Finding{Code: CodeSlow, Where: shop.MachinePath(l.Machine), Args: []shop.Arg{
				shop.Word("machine", l.Machine), shop.Word("system", l.System), shop.Number("wait", l.Wait)}})
		}
	}
	return c
}

func machineLines(s *shop.Shop, m *shop.Machine, ways Ways, plants []*Plant) []Line {
	var lines []Line
	add := func(setup, place shop.ID) {
		for _, w := range ways(m.Name, setup, place) {
			l := lineOf(s, m, w, plants)
			if slices.ContainsFunc(lines, func(have Line) bool { return have.System == l.System && slices.Equal(have.Open, l.Open) }) {
				continue
			}
			if len(lines) > 0 {
				l.Setup, l.Place = setup, place
			}
			lines = append(lines, l)
		}
	}
	add("", "")
	for i, u := range m.Setups {
		if i > 0 {
			add(u.Name, "")
		}
	}
	for i, p := range m.Places {
		if i > 0 {
			add("", p.Name)
		}
	}
	return lines
}

func lineOf(s *shop.Shop, m *shop.Machine, w Way, plants []*Plant) Line {
	l := Line{Machine: m.Name, System: w.System, Also: m.AlsoStarts, Open: []shop.ID{}, Shut: []shop.ID{}, ByHand: []shop.ID{}}
	y := s.System(w.System)
	travel := unit.Second(0)
	for _, r := range y.Runs {
		if len(r.From.Ports) > 1 && slices.ContainsFunc(r.From.Ports, func(p shop.PortRef) bool { return p.Machine == m.Name }) {
			l.Carry = r.Name
		}
		for _, g := range r.Pieces {
			if g.What != shop.Gate {
				continue
			}
			if slices.Contains(w.Open, g.Gate) {
				l.Open = append(l.Open, g.Gate)
				if g.Device != "" {
					travel = max(travel, g.Travel.Best)
				}
			} else {
				l.Shut = append(l.Shut, g.Gate)
			}
			if g.Device == "" {
				l.ByHand = append(l.ByHand, g.Gate)
			}
		}
	}
	l.CoastFor, l.Keep = y.Starting.CoastDown.Best, y.Starting.KeepsRunning.Best
	for _, p := range plants {
		if p.Name == w.System {
			l.byPlant(p, m.Name)
		}
	}
	if l.Starts == ByItself {
		l.part("report", reportTime/1000.)
		l.part("to be sure", onDebounce/1000.)
		l.part("gate moves", travel)
	}
	l.part("fan runs up", y.Starting.RunUp.Best)
	return l
}

// byPlant says what a controller does of the line by itself.
func (l *Line) byPlant(p *Plant, machine shop.ID) {
	l.Proof = p.ProofIs
	for _, st := range p.Stations {
		if slices.Contains(st.Machines, machine) {
			l.Starts = ByItself
		}
	}
}

func (l *Line) part(what string, t unit.Second) {
	if t > 0 {
		l.Made = append(l.Made, Delay{what, t})
		l.Wait += t
	}
}
