package gates

import (
	"encoding/json"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/goccy/go-yaml"

	"winnow/internal/refcase"
)

// bench is a plant of its own for the rules: two machines with a gate each, one gate left open, all times short and different.
func bench(change func(*Plant)) *Plant {
	p := &Plant{
		Name: "cyclone", Device: "c",
		Gates:    []Gate{{Name: "A gate", Device: "a", Travel: 1500, TimeOut: 4500, Proof: BySwitch}, {Name: "B gate", Device: "b", Travel: 1500, TimeOut: 4500, Proof: BySwitch}, {Name: "idle gate", Device: "i", Travel: 1500, TimeOut: 4500, Proof: BySwitch}},
		Stations: []Station{{Name: "A", Gates: 1, StartsAt: 1000, StopsAt: 500, Keep: 15000}, {Name: "B", Gates: 2, StartsAt: 1000, StopsAt: 500, Keep: 15000}},
		Idle:     4, Rescue: 4, Proved: true, ProvedAt: 3000, NotProved: 1500, ShutOff: 20000,
		RunUp: 3000, Coast: 30000, Rest: 80000, Starts: 8, AlarmAfter: 8000, Stale: 10000, Hold: 600000, OnDelay: 500, OffDelay: 2000,
		Watchdog: 60000, Reassert: 5000, sets: make([]SetVerdict, 4),
	}
	if change != nil {
		change(p)
	}
	return p
}

var spaces = regexp.MustCompile(` +`)

// played returns the lines of a story as "33.00 run cyclone rule 2".
func played(t testing.TB, p *Plant, scenario string) []string {
	t.Helper()
	story, err := Play(p, scenario)
	if err != nil {
		t.Fatal(err)
	}
	lines := strings.Split(strings.TrimSpace(story), "\n")
	for i, l := range lines {
		time, what, _ := strings.Cut(strings.TrimSpace(l), " s  ")
		lines[i] = time + " " + spaces.ReplaceAllString(strings.TrimSpace(what), " ")
	}
	return lines
}

// when is the time of the first line that says this at or after a time; NaN where it never does.
func when(lines []string, what string, from float64) float64 {
	for _, l := range lines {
		time, said, _ := strings.Cut(l, " ")
		if x, err := strconv.ParseFloat(time, 64); err == nil && x >= from && strings.HasPrefix(said, what) {
			return x
		}
	}
	return math.NaN()
}

// Each rule of docs/gates.md has a story in which it decides. want lines must be there, never lines must not.
func TestEachRuleDecidesItsStory(t *testing.T) {
	for _, x := range []struct {
		rule     string
		plant    func(*Plant)
		scenario string
		want     []string
		never    []string
	}{
		{"1b the gate left open is told to open when the last is lost, and the fan stops if it does not come", nil, `
40 s  A on
50 s  idle gate jams
55 s  A gate lost
90 s  end`, []string{"55.00 open idle gate rule 1", "59.50 stop cyclone rule 1", "59.50 alarm: the fan turns and no gate is known to be open rule 1"}, nil},
		{"1 the pull of a shut inlet overrules what the gates say", func(p *Plant) { p.Gates[0].Proof = ByTravel }, `
35 s  A gate deaf
40 s  A on
90 s  end`, []string{"42.00 run cyclone rule 2", "47.00 alarm: the pull is that of a shut inlet: no gate is open rule 1", "47.00 open idle gate rule 1", "47.00 alarm: a gate did not arrive rule 14"}, nil},
		{"2 gate, then confirmed, then the collector, then the lamp", nil, `
40 s  A on
60 s  end`, []string{"40.50 open A gate rule 2", "42.00 run cyclone rule 2", "45.00 lamp: ready rule 2"}, nil},
		{"3 the new gate is open before the old one is told to shut", nil, `
40 s  A on
50 s  A off
53 s  B on
90 s  end`, []string{"53.50 open B gate rule 2", "67.00 shut A gate rule 3"}, []string{"53.50 shut A gate rule 3"}},
		{"4 a machine that starts while the fan keeps running cancels the stop without a new start", nil, `
40 s  A on
50 s  A off
60 s  A on
100 s  end`, nil, []string{"67.00 stop cyclone rule 4"}},
		{"5 the last gate shuts only when the fan stands", func(p *Plant) { p.Idle, p.Rescue = 0, 0 }, `
40 s  A on
50 s  A off
200 s  end`, []string{"67.00 stop cyclone rule 4", "102.00 shut A gate rule 5"}, []string{"67.00 shut A gate rule 5"}},
		{"6 the stop is withheld when all starts are spent", func(p *Plant) { p.Starts = 1 }, `
40 s  A on
50 s  A off
4000 s  end`, []string{"67.00 alarm: the collector runs on, to spare its motor a start rule 6", "3642.00 stop cyclone rule 4"}, []string{"67.00 stop cyclone rule 4"}},
		{"6 and before the least running time", func(p *Plant) { p.RunAtLeast = 60000 }, `
40 s  A on
50 s  A off
200 s  end`, []string{"102.00 stop cyclone rule 4"}, []string{"67.00 stop cyclone rule 4"}},
		{"6 a second start within a minute makes it run on twice as long", nil, `
40 s  A on
50 s  A off
60 s  A on
70 s  A off
200 s  end`, []string{"102.00 stop cyclone rule 4"}, []string{"87.00 stop cyclone rule 4"}},
		{"6 extraction is never refused for want of rest", nil, `
40 s  A on
50 s  A off
70 s  A on
100 s  end`, []string{"67.00 stop cyclone rule 4", "72.00 run cyclone rule 2", "72.00 alarm: the motor had less rest than it should rule 6"}, nil},
		{"7 emergency stop: off in the same step, gates hold", nil, `
40 s  A on
50 s  emergency stop
60 s  start
90 s  end`, []string{"50.00 stop cyclone rule 7"}, []string{"60.00 run cyclone rule 2", "50.00 open idle gate rule 5", "60.00 shut A gate rule 5"}},
		{"7 stop beats start", nil, `
40 s  A on
50 s  start and stop
60 s  end`, []string{"50.00 stop cyclone rule 7"}, []string{"50.00 run cyclone rule 2"}},
		{"7 local off is not driven against", nil, `
35 s  selector off
40 s  A on
60 s  end`, []string{"48.50 alarm: a machine runs without extraction rule 11"}, []string{"42.00 run cyclone rule 2"}},
		{"8 releasing the emergency stop starts nothing; off and on again does", nil, `
40 s  A on
50 s  emergency stop
60 s  emergency released
70 s  A off
80 s  A on
100 s  end`, []string{"82.00 run cyclone rule 2"}, []string{"60.00 run cyclone rule 2"}},
		{"8 and so does a person", nil, `
40 s  A on
50 s  emergency stop
60 s  emergency released
65 s  start
100 s  end`, []string{"66.50 run cyclone rule 2"}, []string{"60.00 run cyclone rule 2"}},
		{"9 power returns while a machine runs: an alarm, no start", nil, `
40 s  A on
50 s  power back
100 s  end`, []string{"50.00 stop cyclone rule 9", "53.83 alarm: a machine ran before anybody saw it start rule 9"}, nil},
		{"11 a machine that runs without extraction is told after the time of the file, and it is held", nil, `
35 s  A gate jams
40 s  A on
90 s  end`, []string{"48.50 alarm: a machine runs without extraction rule 11"}, []string{"45.00 run cyclone rule 2"}},
		{"11 where nothing proves it, that is said once", func(p *Plant) { p.Proved = false }, `
40 s  A on
60 s  end`, []string{"42.00 alarm: nothing can prove that air moves rule 11"}, nil},
		{"12 a blip is no start", nil, `
40 s  A on
40.4 s  A off
60 s  end`, nil, []string{"40.50 open A gate rule 2"}},
		{"13 a silent sensor is held, told at once, and then given up", func(p *Plant) { p.Hold = 100000 }, `
40 s  A on
50 s  A silent
300 s  end`, []string{"59.99 alarm: a sensor gives no signal rule 13", "160.00 stop cyclone rule 4"}, nil},
		{"13 lost, then on, is no start", nil, `
40 s  A silent
60 s  A on
70 s  A speaks
90 s  end`, []string{"50.00 alarm: a sensor gives no signal rule 13", "70.50 alarm: a machine ran before anybody saw it start rule 9"}, []string{"72.00 run cyclone rule 2"}},
		{"13 lost, off, on, is one", nil, `
40 s  A silent
60 s  A speaks
70 s  A on
90 s  end`, []string{"72.00 run cyclone rule 2"}, nil},
		{"14 a gate that does not arrive is a fault, no start relies on it, the others stay", nil, `
35 s  A gate jams
40 s  A on
60 s  end`, []string{"45.00 alarm: a gate did not arrive rule 14"}, []string{"45.00 run cyclone rule 2", "45.00 open B gate rule 2"}},
		{"15 a set that may not be is refused to the last", func(p *Plant) { p.sets[3] = SetRefuse }, `
40 s  A on
50 s  B on
60 s  end`, []string{"50.50 alarm: these machines may not run at once: extraction is refused to the last rule 15"}, []string{"50.50 open B gate rule 2"}},
		{"15 a slow set gets the bleed gate", func(p *Plant) { p.sets[1], p.Bleed = SetBleed, 4 }, `
40 s  A on
60 s  end`, nil, []string{"40.50 shut idle gate rule 5", "42.00 shut idle gate rule 3"}},
		{"17 a lost link loses all its gates, and nothing is sent", nil, `
40 s  A on
50 s  link lost
70 s  link back
90 s  end`, []string{"50.00 alarm: the link to the devices is gone rule 17", "70.00 stop cyclone rule 9"}, []string{"50.00 open idle gate rule 1"}},
		{"18 a controller that stands still loses the run contact", nil, `
40 s  A on
50 s  stall
150 s  end`, []string{"110.00 the run contact drops by itself"}, nil}, // last said at 50 s: a minute later
		{"19 our own start waits for the run-up of the machine's motor", func(p *Plant) { p.Stations[0].RunUp = 5000 }, `
40 s  A on
60 s  end`, []string{"45.50 run cyclone rule 2"}, []string{"42.00 run cyclone rule 2"}},
		{"19 a set whose start trips is refused", func(p *Plant) { p.sets[1] = SetRefuse }, `
40 s  A on
60 s  end`, []string{"48.50 alarm: a machine runs without extraction rule 11"}, []string{"40.50 open A gate rule 2"}},
	} {
		t.Run(x.rule, func(t *testing.T) {
			lines := played(t, bench(x.plant), x.scenario)
			for _, w := range x.want {
				if !slices.Contains(lines, w) {
					t.Errorf("not in the story: %s", w)
				}
			}
			for _, w := range x.never {
				if slices.Contains(lines, w) {
					t.Errorf("in the story: %s", w)
				}
			}
			if t.Failed() {
				t.Log("\n" + strings.Join(lines, "\n"))
			}
		})
	}
}

// timeline reads one case of testdata/reference/power.yaml: its numbers by name.
func timeline(t *testing.T, id string) (given, expected map[string]float64, events []any, samples []any) {
	t.Helper()
	if cases == nil {
		var all struct {
			Cases []map[string]any `yaml:"cases"`
		}
		if err := yaml.Unmarshal(refcase.Open(t, "testdata/reference/power.yaml"), &all); err != nil {
			t.Fatal(err)
		}
		cases = map[string]map[string]any{}
		for _, c := range all.Cases {
			cases[c["id"].(string)] = c
		}
	}
	c, ok := cases[id]
	if !ok {
		t.Fatalf("no case %s", id)
	}
	value := func(side, name string) any {
		m, _ := c[side].(map[string]any)[name].(map[string]any)
		return m["value"]
	}
	numbers := func(side string) map[string]float64 {
		out := map[string]float64{}
		for k := range c[side].(map[string]any) {
			text, _ := json.Marshal(value(side, k))
			if f, err := strconv.ParseFloat(string(text), 64); err == nil {
				out[k] = f
			}
		}
		return out
	}
	events, _ = value("expected", "events").([]any)
	samples, _ = value("given", "samples").([]any)
	return numbers("given"), numbers("expected"), events, samples
}

var cases map[string]map[string]any

func near(t *testing.T, what string, got, want float64) {
	t.Helper()
	if !(math.Abs(got-want) <= 0.25) { // the tolerance of the cases
		t.Errorf("%s at %.2f s, want %.2f s", what, got, want)
	}
}

// The worked timelines of testdata/reference/power.yaml (common practice). Machines of the stories start 40 s after boot, when the
// fan is known to stand; times are counted from there.
func TestTheWorkedTimelines(t *testing.T) {
	ms := func(s float64) Millis { return Millis(s*1000 + 0.5) }
	t.Run("tl-start-first-tool", func(t *testing.T) {
		g, e, _, _ := timeline(t, "tl-start-first-tool")
		p := bench(func(p *Plant) {
			p.Idle, p.Rescue, p.OnDelay, p.RunUp, p.Gates[0].Travel = 0, 0, ms(g["on_debounce"]), ms(g["fan_run_up"]), ms(g["gate_travel"])
		})
		l := played(t, p, "40 s  A on\n90 s  end")
		near(t, "gate", when(l, "open A gate", 40)-40, e["gate_open_command"])
		near(t, "collector", when(l, "run cyclone", 0)-40, e["collector_start_not_before"])
		near(t, "ready", when(l, "lamp: ready", 0)-40, e["extraction_ready"])
	})
	t.Run("tl-start-second-tool", func(t *testing.T) {
		g, e, _, _ := timeline(t, "tl-start-second-tool")
		p := bench(func(p *Plant) { p.OnDelay, p.Gates[1].Travel = ms(g["on_debounce"]), ms(g["gate_travel"]) })
		l := played(t, p, "40 s  A on\n60 s  B on\n90 s  end")
		near(t, "gate B told", when(l, "open B gate", 60)-60, e["gate_B_open_command"])
		near(t, "gate B open", when(l, "B gate is open", 60)-60, e["gate_B_open"])
		if at := when(l, "run cyclone", 50); !math.IsNaN(at) || !math.IsNaN(when(l, "stop cyclone", 50)) {
			t.Errorf("the collector was told something at %.2f s", at)
		}
	})
	t.Run("tl-stop-last-tool", func(t *testing.T) {
		g, e, _, _ := timeline(t, "tl-stop-last-tool")
		p := bench(func(p *Plant) {
			p.Idle, p.Rescue, p.OffDelay, p.Stations[0].Keep, p.Coast = 0, 0, ms(g["off_debounce"]), ms(g["configured_run_on"]), ms(g["fan_coast_down"])
		})
		l := played(t, p, "40 s  A on\n100 s  A off\n300 s  end")
		near(t, "stop", when(l, "stop cyclone", 50), e["collector_off_command"])
		if at := when(l, "shut A gate", 100); !(at >= e["last_gate_may_close_not_before"]-0.25) {
			t.Errorf("the last gate is told to shut at %.2f s", at)
		}
	})
	t.Run("tl-change-over", func(t *testing.T) {
		g, e, _, _ := timeline(t, "tl-change-over")
		p := bench(func(p *Plant) { p.Stations[0].Keep = ms(g["run_on_A"]) })
		l := played(t, p, "40 s  A on\n58 s  A off\n61.5 s  B on\n100 s  end") // recognised at 60 and 62: 50 s after the case's clock
		near(t, "gate B", when(l, "open B gate", 50)-50, e["gate_B_open_command"])
		if at := when(l, "shut A gate", 50) - 50; !(at >= e["gate_A_close_not_before"]-0.25) {
			t.Errorf("gate A is told to shut at %.2f s", at)
		}
	})
	t.Run("tl-start-budget", func(t *testing.T) {
		g, _, _, _ := timeline(t, "tl-start-budget")
		s := State{Fan: Running, Starts: 1<<int(g["starts_in_last_hour"]) - 1, CmdOpen: 4, Known: 7, Open: 4}
		p := bench(func(p *Plant) { p.Starts = int(g["max_starts_per_hour"]) })
		s, out := Step(p, s, Input{Kind: Fired, Timer: TimerKeep}, nil)
		if s.Fan != Running || slices.ContainsFunc(out, func(c Command) bool { return c.Kind == StopFan }) {
			t.Errorf("stopped with all starts spent: %v", out)
		}
		if s, _ = Step(p, s, Input{Kind: Fired, Timer: TimerStart}, nil); s.Fan == Running {
			t.Error("still withheld after a start is to be had again")
		}
	})
	t.Run("tl-sensor-lost", func(t *testing.T) {
		g, e, _, _ := timeline(t, "tl-sensor-lost")
		p := bench(func(p *Plant) { p.Hold, p.Stale = ms(g["max_hold"]), 3000 })
		l := played(t, p, "40 s  A on\n47.5 s  A silent\n1000 s  end") // last word at 47 s, lost at 50 s
		near(t, "alarm", when(l, "alarm: a sensor gives no signal", 0), e["alarm_from"])
		near(t, "stop", when(l, "stop cyclone rule 4", 0), e["collector_keeps_running_until"])
	})
	t.Run("tl-gate-jam", func(t *testing.T) {
		g, e, _, _ := timeline(t, "tl-gate-jam")
		p := bench(func(p *Plant) { p.Idle, p.Rescue, p.Gates[0].TimeOut = 0, 0, ms(g["travel_timeout"]) })
		l := played(t, p, "35 s  A gate jams\n40 s  A on\n80 s  end")
		near(t, "fault", when(l, "alarm: a gate did not arrive", 40)-40, e["fault_at"])
		if at := when(l, "run cyclone", 40); !math.IsNaN(at) {
			t.Errorf("the collector starts at %.2f s on a gate that did not arrive", at)
		}
	})
	t.Run("tl-short-cycle", func(t *testing.T) {
		// The case has the motor rest until 197 s and a person breathe dust from 130 s on. Rule 6 never refuses extraction to a running
		// machine for want of rest. So the start is at once and the alarm is of the rest; it ends where the case lets the motor start.
		g, e, _, _ := timeline(t, "tl-short-cycle")
		p := bench(func(p *Plant) {
			p.Idle, p.Rescue, p.Rest, p.Starts = 0, 0, ms(g["min_off_time"]), int(g["max_starts_per_hour"])
		})
		l := played(t, p, "40 s  A on\n100 s  A off\n129.5 s  A on\n250 s  end")
		near(t, "off", when(l, "stop cyclone rule 4", 50), g["collector_off_at"])
		near(t, "on again", when(l, "run cyclone rule 2", 100), g["tool_on_recognised_at"])
		near(t, "alarm", when(l, "alarm: the motor had less rest than it should rule 6", 0), e["alarm_no_extraction_from"])
		near(t, "alarm over", when(l, "over: the motor had less rest than it should rule 6", 0), e["collector_start_not_before"])
	})
}

// The samples of testdata/reference/power.yaml, topic sensing (common practice): a quarter second each.
func TestStartsAndStopsAreRecognisedAsInTheSensingCases(t *testing.T) {
	for _, id := range []string{"sense-clean-start-stop", "sense-inrush-blip", "sense-between-thresholds", "sense-hold-in-band", "sense-short-dropout"} {
		t.Run(id, func(t *testing.T) {
			g, _, events, samples := timeline(t, id)
			p := bench(func(p *Plant) {
				p.OnDelay, p.OffDelay = Millis(g["on_debounce"]*1000), Millis(g["off_debounce"]*1000)
				p.Stations[0].StartsAt, p.Stations[0].StopsAt = int32(g["I_on"]*1000), int32(g["I_off"]*1000)
			})
			if len(samples) < 10 {
				t.Fatalf("samples: %v", samples)
			}
			var got [][2]any
			y := newPlayer(p)
			y.beat = never
			y.input("", Input{Kind: Boot})
			was := false
			watch := func() {
				if on := y.s.On.has(0); on != was {
					was = on
					got = append(got, [2]any{map[bool]string{true: "on", false: "off"}[on], float64(y.now) / 1000})
				}
			}
			for i, v := range samples {
				text, _ := json.Marshal(v)
				amps, _ := strconv.ParseFloat(string(text), 64)
				for y.now < Millis(i*250) { // in steps as small as the timers are fine
					y.runTo(y.now + 50)
					watch()
				}
				y.input("", Input{Kind: Reading, Index: 0, Value: int32(amps * 1000)})
				watch()
			}
			y.runTo(y.now + 250)
			watch()
			want, _ := json.Marshal(events)
			have, _ := json.Marshal(got)
			if got == nil {
				have = []byte("[]")
			}
			if string(have) != string(want) {
				t.Errorf("recognised %s, want %s", have, want)
			}
		})
	}
}

func TestTheSameInputsGiveTheSameCommands(t *testing.T) {
	scenario := "40 s  A on\n50 s  B on\n60 s  A off\n70 s  A gate jams\n80 s  A on\n90 s  link lost\n95 s  link back\n200 s  end"
	a, b := played(t, bench(nil), scenario), played(t, bench(nil), scenario)
	if !slices.Equal(a, b) {
		t.Error("two plays of one scenario differ")
	}
	// The issue number only counts: it decides nothing.
	p := bench(nil)
	s, _ := Step(p, State{}, Input{Kind: Boot}, nil)
	late := s
	late.Issue += 777
	x, one := Step(p, s, Input{Kind: Reading, Value: 5000}, nil)
	y, two := Step(p, late, Input{Kind: Reading, Value: 5000}, nil)
	y.Issue -= 777
	if x != y || len(one) != len(two) {
		t.Error("the issue number decides something")
	}
}

// Rule 10: nothing that goes to a device reaches a machine. The kinds that do are the gate's two and the fan's two.
func TestNoCommandReachesAMachine(t *testing.T) {
	moving := 0
	for k := range commandKinds {
		if (Command{Kind: k}).Moves() {
			moving++
		}
	}
	if moving != 4 {
		t.Errorf("%d kinds of command go to a device; 4 were thought through", moving)
	}
}

// Rule 16: levels are said again, the same levels, in issue order, and void soon.
func TestLevelsAreSaidAgain(t *testing.T) {
	p := bench(nil)
	s := State{Fan: Running, CmdOpen: 1, Known: 7, Open: 1, Admitted: 1, On: 1, Edge: 1, Seen: 1, Issue: 41}
	after, out := Step(p, s, Input{Kind: Fired, Timer: TimerAssert}, nil)
	want := []CommandKind{Arm, RunFan, OpenGate, ShutGate, ShutGate}
	for i, c := range out[:min(len(out), 5)] {
		if c.Kind != want[i] || i > 0 && (c.Issue != uint16(41+i) || c.Time == 0 || c.Time > p.Watchdog) {
			t.Errorf("%d: %+v, want kind %d", i, c, want[i])
		}
	}
	if after.CmdOpen != s.CmdOpen || after.Fan != s.Fan {
		t.Error("saying the levels again changed them")
	}
}

// Rule 18: the contact outlives the keeps-running time, so that a dead controller does not cut extraction short.
func TestTheContactOutlivesKeepingRunning(t *testing.T) {
	text := strings.Replace(loft, "keeps running: 15 s", "keeps running: 90 s", 1)
	for _, text := range []string{loft, text} {
		plants, _ := PlantsOf(shopOf(t, text), loftWays, nil)
		for _, p := range plants {
			for _, s := range p.Stations {
				if p.Watchdog < s.Keep || p.Reassert*3 > p.Watchdog {
					t.Errorf("the contact drops after %d ms, the fan keeps running %d ms", p.Watchdog, s.Keep)
				}
			}
		}
	}
}

func TestAScenarioThatCannotBeReadSaysWhere(t *testing.T) {
	for text, want := range map[string]string{
		"":                              "last line",
		"1 s  A on":                     "last line",
		"A on\n2 s  end":                "line 1",
		"5 s  A on\n2 s  end":           "line 2",
		"1 s  C on\n2 s  end":           "its stations: A, B",
		"1 s  A gate explodes\n2 s end": "line 1",
	} {
		if _, err := Play(bench(nil), text); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%q: %v, want %s", text, err, want)
		}
	}
}

func BenchmarkStep(b *testing.B) {
	p := bench(nil)
	inputs := []Input{
		{Kind: Reading, Value: 5000}, {Kind: Fired, Timer: TimerOn}, {Kind: SwitchOpen, Value: 1}, {Kind: Suction, Value: 6000}, {Kind: Reading, Index: 1, Value: 5000},
		{Kind: Fired, Timer: TimerOn + 1}, {Kind: SwitchOpen, Index: 1, Value: 1}, {Kind: Reading}, {Kind: Fired, Timer: TimerOff}, {Kind: Fired, Timer: TimerKeep},
		{Kind: Reading, Index: 1}, {Kind: Fired, Timer: TimerOff + 1}, {Kind: Fired, Timer: TimerKeep + 1}, {Kind: Fired, Timer: TimerCoast}, {Kind: Fired, Timer: TimerAssert},
	}
	out := make([]Command, 0, 64)
	s, _ := Step(p, State{}, Input{Kind: Boot}, out)
	b.ReportAllocs()
	for i := 0; b.Loop(); i++ {
		s, out = Step(p, s, inputs[i%len(inputs)], out[:0])
	}
	b.ReportMetric(float64(b.N)/b.Elapsed().Seconds()/1e6, "MSteps/s")
}
