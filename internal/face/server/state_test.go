package server

import (
	"net/http"
	"os"
	"slices"
	"strings"
	"testing"

	"winnow/internal/face/wire"
)

func stateOf(t testing.TB, url string) wire.State {
	t.Helper()
	var st wire.State
	if code := get(t, url+"/api/shops/shop", &st); code != http.StatusOK {
		t.Fatal(code)
	}
	return st
}

// tried is what edits would make of the layout.
func tried(t testing.TB, url string, edits ...wire.Edit) wire.Layout {
	t.Helper()
	var l wire.Look
	if code := post(t, url+"/api/shops/shop/look", wire.Ask{Edits: edits, Want: []string{"layout"}}, &l); code != http.StatusOK {
		t.Fatalf("%+v: %d", edits, code)
	}
	return *l.Layout
}

// Every path that the state says an edit sets is one: the thing is then where the edit put it.
func TestWhatTheStateSaysCanBeSetCanBeSet(t *testing.T) {
	_, web, _ := open(t, nil)
	st := stateOf(t, web.URL)
	place := wire.Value{}
	if err := place.UnmarshalJSON([]byte(`["3 m","4 m"]`)); err != nil {
		t.Fatal(err)
	}
	for i, s := range st.Layout.Systems {
		l := tried(t, web.URL, wire.Edit{Set: s.AtPath, To: &place}, wire.Edit{Set: s.FacingPath, To: text("90°")})
		if now := l.Systems[i]; now.At != (wire.XY{3, 4}) || now.Facing < 1.57 || now.Facing > 1.58 || now.Facing == s.Facing {
			t.Errorf("%s was put at 3, 4 facing east and stands at %v facing %.3f", s.Name, now.At, now.Facing)
		}
	}
	for i, c := range st.Layout.Cleaners {
		if now := tried(t, web.URL, wire.Edit{Set: c.AtPath, To: &place}).Cleaners[i]; now.At != (wire.XY{3, 4}) {
			t.Errorf("%s hangs at %v", c.Name, now.At)
		}
	}
	for i, o := range st.Layout.Outlets {
		if now := tried(t, web.URL, wire.Edit{Set: o.AtPath, To: &place}).Outlets[i]; now.At != (wire.XY{3, 4}) {
			t.Errorf("%s is at %v", o.Name, now.At)
		}
	}
	for _, y := range st.Systems {
		for _, r := range y.Runs {
			tried(t, web.URL, wire.Edit{Set: r.FromPath, To: text("lathe")}, wire.Edit{Set: "machines/lathe/port", To: text("unknown")})
		}
	}
}

// Each thing can be plugged in anywhere by the path that comes with it, whatever the file says of its plug today.
func TestPlugsCanBeMoved(t *testing.T) {
	_, web, path := open(t, nil)
	src, _ := os.ReadFile(path)
	src2 := strings.NewReplacer("plug: {outlet: rack, cord: 14 ft}", "plug: none", "    plug: {outlet: east wall, cord: 8 ft}\n    port: none", "    port: none").Replace(string(src))
	if err := os.WriteFile(path, []byte(src2), 0o644); err != nil {
		t.Fatal(err)
	}
	st := stateOf(t, web.URL)
	plugs := map[string]wire.PlugAt{}
	for _, m := range st.Machines {
		plugs[m.Name] = m.PlugAt
	}
	for _, y := range st.Systems {
		plugs[y.Name] = y.PlugAt
	}
	for _, c := range st.Layout.Cleaners {
		plugs[c.Name] = c.PlugAt
	}
	if plugs["band saw"].Outlet != "" || plugs["lathe"].Outlet != "" || plugs["planer"].Outlet != "east wall" || plugs["band saw"].PlugPath != "" {
		t.Errorf("plugs as written: %+v", plugs)
	}
	in := 0
	for _, o := range st.Layout.Outlets {
		for _, p := range o.Plugged {
			in++
			if at, known := plugs[p.Name]; known && (at.Outlet != o.Name || at.PlugPath != p.PlugPath) {
				t.Errorf("%s is in %s by the outlet, and %+v by itself", p.Name, o.Name, at)
			} else if !known {
				plugs[p.Name] = wire.PlugAt{Outlet: o.Name, PlugPath: p.PlugPath} // another load
			}
		}
	}
	if in != 10 { // fridge, five machines that are plugged in, three systems, the cleaner
		t.Errorf("%d things are plugged in, and the file says 10", in)
	}
	delete(plugs, "band saw") // the file says that it has no plug
	for name, at := range plugs {
		for _, to := range tried(t, web.URL, wire.Edit{Set: at.PlugPath, To: text("joist")}).Outlets {
			got := slices.ContainsFunc(to.Plugged, func(p wire.Plugged) bool { return p.Name == name })
			if got != (to.Name == "joist") {
				t.Errorf("%s was plugged into the joist; in %s: %t", name, to.Name, got)
			}
		}
	}
}

// What each run serves, and how its gates stand when nothing runs, is as the file has it.
func TestRunsSayWhatTheyServe(t *testing.T) {
	_, web, _ := open(t, nil)
	runs := map[string]wire.RunInfo{}
	for _, y := range stateOf(t, web.URL).Systems {
		for _, r := range y.Runs {
			runs[y.Name+"/"+r.Name] = r
		}
	}
	for name, want := range map[string]struct {
		ports   string
		carried bool
		gate    wire.GateInfo
	}{
		"collector/main":          {},
		"collector/wall pipe":     {gate: wire.GateInfo{Name: "saw gate", Path: "systems/collector/runs/wall pipe/pieces/gate saw gate"}},
		"collector/saw guard":     {ports: "table saw/guard"},
		"collector/band saw drop": {ports: "band saw", gate: wire.GateInfo{Name: "band saw gate", Path: "systems/collector/runs/band saw drop/pieces/gate band saw gate", RestsOpen: true, Bleed: true}},
		"collector/long hose":     {ports: "planer jointer", carried: true, gate: wire.GateInfo{Name: "hose gate", Path: "systems/collector/runs/long hose/pieces/gate hose gate"}},
		"extractor/main":          {ports: "sander"},
	} {
		got, there := runs[name]
		if !there || strings.Join(got.Ports, " ") != want.ports || got.Carried != want.carried || got.Cap || got.Split != "" {
			t.Errorf("%s: %+v", name, got)
		}
		if want.gate.Name != "" && (len(got.Gates) != 1 || got.Gates[0] != want.gate) {
			t.Errorf("%s: gates %+v", name, got.Gates)
		}
	}
	resting := []string{}
	for _, p := range stateOf(t, web.URL).Layout.Pieces {
		if p.RestsOpen {
			resting = append(resting, p.Path)
		}
	}
	if !slices.Equal(resting, []string{"systems/collector/runs/band saw drop/pieces/gate band saw gate"}) {
		t.Errorf("pieces that rest open: %q", resting)
	}
	var l wire.Look
	post(t, web.URL+"/api/shops/shop/look", wire.Ask{Edits: []wire.Edit{{TakeOut: "machines/sander"}}, Want: []string{"layout"}}, &l)
	post(t, web.URL+"/api/shops/shop/edits", wire.Change{Cause: "sold", Edits: []wire.Edit{{TakeOut: "machines/sander"}}}, nil)
	for _, y := range stateOf(t, web.URL).Systems {
		for _, r := range y.Runs {
			if y.Name == "extractor" && (!r.Cap || len(r.Ports) > 0) {
				t.Errorf("nothing draws from the extractor's run any more: %+v", r)
			}
		}
	}
}

// A walkway laid between a machine and its outlet is where its cord trips people, and nowhere else.
func TestCordsTripWhereTheyCrossAWalkway(t *testing.T) {
	_, web, _ := open(t, nil)
	cord := func(l wire.Layout) wire.LaidCord {
		for _, c := range l.Cords {
			if c.Of == "lathe" {
				return c
			}
		}
		t.Fatal("the lathe has no cord")
		return wire.LaidCord{}
	}
	free := wire.Edit{Set: "room/walkways", To: text("unknown")}
	if c := cord(tried(t, web.URL, free)); c.Outlet != "east wall" || c.Trips == nil || len(c.Trips) != 0 {
		t.Errorf("with no walkway: %+v", c)
	}
	walkway := &wire.Value{} // the lathe stands at 23 ft, 12 ft; its outlet is at 26 ft, 8 ft
	if err := walkway.UnmarshalJSON([]byte(`{"past the lathe":{"corners":[["24 ft","9 ft"],["26 ft","9 ft"],["26 ft","10 ft"],["24 ft","10 ft"]]}}`)); err != nil {
		t.Fatal(err)
	}
	c := cord(tried(t, web.URL, wire.Edit{Set: "room/walkways", To: walkway}))
	const ft = 0.3048
	if len(c.Trips) != 1 || c.Trips[0][0] < 24*ft || c.Trips[0][0] > 26*ft || c.Trips[0][1] < 9*ft || c.Trips[0][1] > 10*ft {
		t.Errorf("with a walkway between: %v", c.Trips)
	}
}
