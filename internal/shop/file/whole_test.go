package file

import (
	"math"
	"os"
	"path/filepath"
	"testing"

	"winnow/internal/shop"
	"winnow/internal/unit"
)

const testdata = "../../../testdata"

// whole is the example that uses every part of the grammar.
func whole(t testing.TB) []byte { return read(t, filepath.Join(testdata, "shop", "whole.yaml")) }

func read(t testing.TB, name string) []byte {
	t.Helper()
	b, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// good parses a file that must have no fault.
func good(t testing.TB, src []byte) *Doc {
	t.Helper()
	d, faults := Parse(src)
	for _, f := range faults {
		t.Errorf("fault in a good file:\n%s", f.Text("shop.yaml"))
	}
	if t.Failed() {
		t.FailNow()
	}
	return d
}

// The wants are computed by hand from exact definitions: 1 in = 0.0254 m, 1 cfm = 0.3048³/60 m³/s,
// 1 inH2O = 249.08891 Pa (conventional: 1000 kg/m³ · 9.80665 m/s² · 0.0254 m, NIST SP 811), 1 hp = 745.699872 W.
func TestWholeFileSaysWhatItSays(t *testing.T) {
	s := good(t, whole(t)).Shop()
	planer, saw := s.Machine("planer"), s.Machine("table saw")
	collector := s.System("collector")
	hose := collector.Run("long hose").Pieces[0]
	ceiling := collector.Run("ceiling").Pieces
	drum := collector.Run("main").Pieces[2]
	numbers := []struct {
		name      string
		got, want float64
	}{
		{"altitude 620 ft", float64(s.Site.Altitude.Best), 620 * 0.3048},
		{"coldest 45 °F", float64(s.Site.Temperature.Low), (45-32)/1.8 + 273.15},
		{"warmest 85 °F", float64(s.Site.Temperature.High), (85-32)/1.8 + 273.15},
		{"bench 2' 6\" deep", float64(s.Room.Obstacles[0].Footprint.Depth), 30 * 0.0254},
		{"panel to outlet 46 ft", float64(s.Circuits[0].Length.Best), 46 * 0.3048},
		{"12 AWG", float64(s.Circuits[0].Wire.Best), math.Pi / 4 * math.Pow(0.127e-3*math.Pow(92, 24.0/39), 2)},
		{"freezer start 11 A", float64(s.OtherLoads[2].Start.Best), 11},
		{"saw 3 hp", float64(saw.Motor.Value.Power.Best), 3 * 745.69987158227},
		{"guard 2 1/2 in", float64(saw.Port("guard").Size.Best), 2.5 * 0.0254},
		{"guard fine 150 cfm", float64(saw.Port("guard").Needs.Fine.Best), 150 * 0.028316846592 / 60},
		{"guard height", float64(saw.Port("guard").Height.Best), 44 * 0.0254},
		{"planer 120 L/h", float64(planer.Makes.Rate.Best), 0.120 / 3600},
		{"planer extension 25 ft", float64(planer.Plug.Value.Extension.Value.Length.Best), 25 * 0.3048},
		{"second place of the jointer", float64(s.Machine("jointer").Places[1].Facing.Best), math.Pi / 4},
		{"shut-off 9.5 inH2O", float64(collector.Fan.Rating.Value.ShutOff.Best), 9.5 * 249.08891},
		{"drum 1.5 inH2O", float64(drum.Loss.Drop.Best), 1.5 * 249.08891},
		{"drum at 500 cfm", float64(drum.Loss.At.Best), 500 * 0.028316846592 / 60},
		{"drum bin 30 gal", float64(drum.Bin.Value.Volume.Best), 30 * 231 * math.Pow(0.0254, 3)},
		{"hose 20 ft", float64(hose.Hose.Best), 20 * 0.3048},
		{"hose bends 180°", float64(hose.Bends.Best), math.Pi},
		{"reducer 6 in", float64(ceiling[10].Reducer.Best), 6 * 0.0254},
		{"drop 45°", float64(ceiling[11].Angle.Best), math.Pi / 4},
		{"elbow radius 1.5", float64(ceiling[6].Radius.Best), 1.5},
		{"extractor's curve", float64(s.System("extractor").Fan.Curve[1].Pressure), 62 * 249.08891},
		{"lathe 1.5 h a week", float64(s.Routine.HoursPerWeek[6].Time.Best), 5400},
		{"cleaner low", float64(s.AirCleaners[0].Flow.Low), 360 * 0.028316846592 / 60},
		{"reading 3150 fpm, low", float64(s.Readings[0].Velocity.Low), 0.95 * 3150 * 0.3048 / 60},
		{"decay 2.6 /h", float64(s.Readings[4].Decay.Best), 2.6 / 3600},
		{"electricity 0.17 USD/kWh", float64(s.Costs.Electricity.Amount.Best), 0.17 / 3.6e6},
	}
	for _, n := range numbers {
		if math.Abs(n.got-n.want) > 1e-7*math.Abs(n.want) {
			t.Errorf("%s: got %.10g, want %.10g", n.name, n.got, n.want)
		}
	}
	words := []struct{ name, got, want string }{
		{"name", s.Name, "Alder Slip boathouse"},
		{"limits", s.Site.Limits[1], "us acgih"},
		{"order of machines", s.Machines[5].Name, "sander"},
		{"carried hose", collector.Run("long hose").From.Ports[1].Machine, "jointer"},
		{"port of a run", collector.Run("saw guard").From.Ports[0].Port, "guard"},
		{"first wye", collector.Run("main").Pieces[0].Wye[1], "long hose"},
		{"one wye", ceiling[11].Wye[0], "band saw drop"},
		{"end switches", ceiling[2].EndSwitches, "both"},
		{"installed", hose.Installed.String(), "2026-03-01"},
		{"quiet", s.Control.Quiet.Value.String(), "9 pm to 7 am"},
		{"kink's note", collector.Run("long hose").Pieces[1].Note, "where it passes the drum"},
		{"together", s.Routine.Together[1][0], "mitre saw"},
		{"arrangement", s.Arrangements[1].Stand[1].Place, "short boards"},
		{"boat", s.Arrangements[1].AlsoThere[0].Name, "boat"},
		{"option path", string(s.Options[0].Change[1].Set), "systems/collector/runs/long hose/pieces/hose 1/hose"},
		{"option value", s.Options[1].Change[1].To.Items[2].Items[1].Items[0].Text, "lathe gate"},
		{"stock", s.Stock[1].Kind, "ribbed hose"},
		{"currency", s.Wishes.Budget.Each.Code, "USD"},
	}
	for _, w := range words {
		if w.got != w.want {
			t.Errorf("%s: got %q, want %q", w.name, w.got, w.want)
		}
	}
	bases := []struct {
		name      string
		got, want unit.Basis
	}{
		{"air changes: unknown", s.Room.AirChanges.Basis, unit.Unsaid},
		{"lathe's port: none", s.Machine("lathe").Ports.Basis, unit.Absent},
		{"planer's blower: none", planer.Ports.Value[0].Blower.Basis, unit.Absent},
		{"sander's motor left out", s.Machine("sander").Motor.Basis, unit.Unsaid},
		{"pipe: drawn", ceiling[1].Pipe.Basis, unit.Drawn},
		{"elbow: drawn", ceiling[4].Elbow.Basis, unit.Drawn},
		{"filter loss: unknown", collector.Filter.Value.Loss.Drop.Basis, unit.Unsaid},
		{"point", ceiling[0].At.Height.Basis, unit.Given},
		{"jointer's needs: unknown", s.Machine("jointer").Ports.Value[0].Needs.Chips.Basis, unit.Unsaid},
		{"running: []", unit.Basis(len(s.Readings[3].Running)), unit.Unsaid},
	}
	for _, b := range bases {
		if b.got != b.want {
			t.Errorf("%s: got %v, want %v", b.name, b.got, b.want)
		}
	}
	if got := ceiling[6].What; got != shop.Elbow {
		t.Errorf("piece is %q, want elbow", got)
	}
}
