package plan_test

import (
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"winnow/internal/shop"
	"winnow/internal/shop/plan"
	"winnow/internal/unit"
)

const mainPieces = shop.Path("systems/collector/runs/main/pieces")

// main lays out a collector whose only run is main with the given pieces; its inlet is at the point.
func layMain(t testing.TB, inlet shop.Point, pieces ...shop.Piece) (*plan.Layout, []string) {
	t.Helper()
	return lay(t, of(collector(inlet, run("main", 4, pieces...))))
}

func TestWithoutAnyPoint(t *testing.T) {
	l, codes := lay(t, of(shop.System{Name: "collector", Runs: []shop.Run{
		run("main", 6, wye("drop"), pipe(10), hose(3)),
		from(run("drop", 4, hose(4), gate("g"), goes(pipe(5), "up"), elbow(90), pipe(3), tap("T"), pipe(2), elbow(45), pipe(1)), port("saw")),
	}}))
	none(t, codes)
	drop := l.RunPieces("collector", "drop")
	if len(drop) != 9 {
		t.Fatalf("%d pieces in drop, want 9", len(drop))
	}
	for i, want := range []struct {
		feet  float64
		goes  plan.Goes
		basis unit.Basis
		rise  float64
	}{
		{4, plan.GoesUnknown, unit.Unsaid, 0}, // a hose goes as it likes
		{0, plan.GoesUnknown, unit.Unsaid, 0},
		{5, plan.Up, unit.Given, 5},
		{0, plan.GoesUnknown, unit.Unsaid, 0},
		{3, plan.Level, unit.Assumed, 0}, // a quarter bend off a plumb pipe leads level
		{0, plan.GoesUnknown, unit.Unsaid, 0},
		{2, plan.Level, unit.Assumed, 0}, // straight through the tap
		{0, plan.GoesUnknown, unit.Unsaid, 0},
		{1, plan.GoesUnknown, unit.Unsaid, 0}, // 45° off level may lead anywhere
	} {
		p := drop[i]
		near(t, string(p.Path), p.Length.Best, ft(want.feet))
		near(t, string(p.Path)+" rise", p.Rise, ft(want.rise))
		if p.Goes != want.goes || p.GoesBasis != want.basis {
			t.Errorf("%s: goes %v (%d), want %v (%d)", p.Path, p.Goes, p.GoesBasis, want.goes, want.basis)
		}
		if p.Line != nil || p.Sketch != nil || p.Placed || p.SlackKnown {
			t.Errorf("%s has a place in a shop without any", p.Path)
		}
		if fitting := want.feet == 0; fitting != (p.Length.Basis == unit.Absent) {
			t.Errorf("%s: basis %d", p.Path, p.Length.Basis)
		}
	}
	if l.Box.Placed || l.Room.Corners != nil || len(l.Steps) != 0 {
		t.Errorf("box %v, room %v, steps %v in a shop without a place", l.Box, l.Room, l.Steps)
	}
	// 4 + 5 + 3 + 2 + 1
	if sum := l.Run("collector", "drop").Length; sum.Basis != unit.Given {
		t.Errorf("sum basis %d", sum.Basis)
	} else {
		near(t, "sum", sum.Best, ft(15))
	}
}

// From a tap at 0,0 to the inlet 10 ft east of it: 2 ft written, the rest is measured, and the elbow that does not turn
// does not matter.
func TestRestOfAStraightLine(t *testing.T) {
	l, codes := layMain(t, at(10, 0, 1), tap("T", 0, 0, 1), pipe(2), gate("g"), elbow(0), pipeDrawn())
	none(t, codes)
	near(t, "rest", piece(t, l, mainPieces+"/pipe 2").Length.Best, ft(8))
	g := piece(t, l, mainPieces+"/gate g")
	if !g.Placed || plan.Distance(g.At, plan.Vec3{East: ft(2), Height: ft(1)}) > 1e-12 {
		t.Errorf("the gate lies 2 ft along, not at %v", g.At)
	}
}

// One bend between, without a point: the law of cosines with the turn θ gives D² = x² + y² + 2xy·cos θ. [S-203]
func TestBesideABend(t *testing.T) {
	for _, c := range []struct {
		name    string
		turn    float64
		before  []shop.Piece
		after   []shop.Piece
		d, want float64
		key     shop.Path
		finding string
	}{
		{"3-4-5", 90, []shop.Piece{pipe(3)}, []shop.Piece{pipeDrawn()}, 5, 4, "pipe 2", ""},
		{"3-4-5, open first", 90, []shop.Piece{pipeDrawn()}, []shop.Piece{pipe(4)}, 5, 3, "pipe 1", ""},
		{"5-12-13", 90, []shop.Piece{pipe(5)}, []shop.Piece{pipeDrawn()}, 13, 12, "pipe 2", ""},
		// 7² = 3² + 5² + 2·3·5·cos 60°: 49 = 9 + 25 + 15
		{"3-5-7", 60, []shop.Piece{pipe(3)}, []shop.Piece{pipeDrawn()}, 7, 5, "pipe 2", ""},
		// the same with the 5 ft in two pipes, one of them written as 2
		{"3-5-7 in parts", 60, []shop.Piece{pipe(3)}, []shop.Piece{pipe(2), tap("T"), pipeDrawn()}, 7, 3, "pipe 3", ""},
		// 120° turn: 7² = 3² + x² - 3x, so x = 8 (or -5)
		{"3-8-7", 120, []shop.Piece{pipe(3)}, []shop.Piece{pipeDrawn()}, 7, 8, "pipe 2", ""},
		// 7² = 8² + x² - 8x: x = 3 and 5 both do
		{"8-3-7 or 8-5-7", 120, []shop.Piece{pipe(8)}, []shop.Piece{pipeDrawn()}, 7, 0, "pipe 2", "length-unclear"},
		{"no such triangle", 90, []shop.Piece{pipe(6)}, []shop.Piece{pipeDrawn()}, 5, 0, "pipe 2", "nothing-left"},
	} {
		var pieces []shop.Piece
		pieces = append(pieces, gate("start", 0, 0, 1))
		pieces = append(pieces, c.before...)
		pieces = append(pieces, elbow(c.turn))
		pieces = append(pieces, c.after...)
		l, codes := layMain(t, at(c.d, 0, 1), pieces...)
		p := piece(t, l, mainPieces.Join(string(c.key)))
		if c.finding != "" {
			if !has(codes, c.finding) || p.Length.Basis != unit.Unsaid || p.Length.Best != 0 {
				t.Errorf("%s: codes %q, length %v", c.name, codes, p.Length)
			}
			continue
		}
		none(t, codes)
		near(t, c.name, p.Length.Best, ft(c.want))
		if p.Length.Basis != unit.Drawn || p.Line != nil || p.Sketch == nil {
			t.Errorf("%s: basis %d, line %v, sketch %v", c.name, p.Length.Basis, p.Line, p.Sketch)
		}
	}
}

// A plumb pipe of written length carries the point along: 6 ft up from 0,0,1 is 0,0,7, and 8 ft east of it the inlet.
func TestPlumbPipeCarriesThePoint(t *testing.T) {
	l, codes := layMain(t, at(8, 0, 7), gate("g", 0, 0, 1), goes(pipe(6), "up"), elbow(90), pipeDrawn())
	none(t, codes)
	near(t, "level pipe", piece(t, l, mainPieces+"/pipe 2").Length.Best, ft(8))
	e := piece(t, l, mainPieces+"/elbow 1")
	if !e.Placed || plan.Distance(e.At, plan.Vec3{Height: ft(7)}) > 1e-12 {
		t.Errorf("elbow at %v", e.At)
	}
	if len(l.Steps) != 1 || l.Steps[0].Number != 1 || l.Steps[0].Piece != mainPieces+"/pipe 1" || math.Abs(float64(l.Steps[0].Rise-ft(6))) > 1e-12 {
		t.Errorf("steps %v", l.Steps)
	}
	// and backwards: the drop to the inlet is 5 ft, so the elbow is at 6 ft
	l, codes = layMain(t, at(8, 0, 1), gate("g", 0, 0, 6), pipeDrawn(), elbow(90), goes(pipe(5), "down"))
	none(t, codes)
	near(t, "level pipe", piece(t, l, mainPieces+"/pipe 1").Length.Best, ft(8))
	if e := piece(t, l, mainPieces+"/elbow 1"); !e.Placed || plan.Distance(e.At, plan.Vec3{East: ft(8), Height: ft(6)}) > 1e-12 {
		t.Errorf("elbow at %v", e.At)
	}
	// a hose and a pipe in one stretch: the pipe takes its 2 ft off the way of 9, and only the hose has slack
	l, codes = layMain(t, at(9, 0, 1), gate("g", 0, 0, 1), pipe(2), hose(8))
	none(t, codes)
	if p := piece(t, l, mainPieces+"/pipe 1"); p.SlackKnown || p.Straight != 0 {
		t.Errorf("a pipe with slack: %+v", p)
	}
	near(t, "slack", piece(t, l, mainPieces+"/hose 1").Slack, ft(1))
	// two hoses share what is over by their lengths: 9 and 3 ft for a way of 8
	l, codes = layMain(t, at(8, 0, 1), gate("g", 0, 0, 1), hose(9), kink(0.5), hose(3))
	none(t, codes)
	near(t, "slack of the long one", piece(t, l, mainPieces+"/hose 1").Slack, ft(3))
	near(t, "slack of the short one", piece(t, l, mainPieces+"/hose 2").Slack, ft(1))
	if k := piece(t, l, mainPieces+"/kink 1"); !k.Placed {
		t.Error("the kink lies on the hose")
	}
}

// A plumb pipe whose length is to be measured, or only the usual one, carries no point along.
func TestOnlyWrittenPlumbPipesCarryThePoint(t *testing.T) {
	l, codes := layMain(t, at(8, 0, 7), gate("g", 0, 0, 1), goes(pipeDrawn(), "up"), elbow(90), pipeDrawn())
	if !has(codes, "length-unclear") || piece(t, l, mainPieces+"/elbow 1").Placed {
		t.Errorf("codes %q, elbow %+v", codes, piece(t, l, mainPieces+"/elbow 1"))
	}
	usual := shop.Piece{What: shop.Pipe, Pipe: assumed(ft(6)), Goes: "up"}
	l, _ = layMain(t, at(8, 0, 7), gate("g", 0, 0, 1), usual, elbow(90), pipeDrawn())
	if piece(t, l, mainPieces+"/elbow 1").Placed {
		t.Error("a usual length carried the point")
	}
	// a hose goes up as it likes
	l, _ = layMain(t, at(8, 0, 7), gate("g", 0, 0, 1), goes(hose(6), "up"), elbow(90), pipe(8))
	if piece(t, l, mainPieces+"/elbow 1").Placed {
		t.Error("a hose carried the point")
	}
}

// The end of a slack hose may point anywhere: beside it a written angle is not held against the plan, and an angle nobody
// gave stays the usual one. A drawn one takes the straight way.
func TestElbowBesideAHose(t *testing.T) {
	for _, c := range []struct {
		name  string
		elbow shop.Piece
		want  float64
		basis unit.Basis
	}{
		{"written", elbow(45, 5, 0, 1), 45, unit.Given},
		{"usual", where(shop.Piece{What: shop.Elbow, Elbow: assumed(deg(60))}, 5, 0, 1), 60, unit.Assumed},
		{"drawn", elbowDrawn(5, 0, 1), 90, unit.Drawn},
	} {
		l, codes := layMain(t, at(5, 5, 1), gate("g", 0, 0, 1), hose(6), c.elbow, pipeDrawn())
		none(t, codes)
		e := piece(t, l, mainPieces+"/elbow 1")
		nearAngle(t, c.name, e.Turn.Best, deg(c.want))
		if e.Turn.Basis != c.basis {
			t.Errorf("%s: basis %d", c.name, e.Turn.Basis)
		}
	}
	// between pipes the plan knows better than the usual angle
	l, codes := layMain(t, at(5, 5, 1), gate("g", 0, 0, 1), pipeDrawn(), where(shop.Piece{What: shop.Elbow, Elbow: assumed(deg(60))}, 5, 0, 1), pipeDrawn())
	none(t, codes)
	if e := piece(t, l, mainPieces+"/elbow 1"); e.Turn.Basis != unit.Drawn || math.Abs(float64(e.Turn.Best-deg(90))) > 1e-9 {
		t.Errorf("turn %v", e.Turn)
	}
}

func TestWrittenLengthCounts(t *testing.T) {
	for _, c := range []struct {
		name           string
		written, drawn float64 // inches
		finding        bool
	}{
		{"equal", 48, 48, false},
		{"5 1/2 in and 11 % off", 48, 53.5, false},      // under 6 in
		{"7 in and 15 % off", 48, 55, true},             // both
		{"8 in and 7 % off", 120, 128, false},           // under 10 %
		{"12 1/2 in and 10.4 % off", 120, 132.5, true},  // both
		{"written too long by 13 in", 120, 107, true},   // both, the other way
		{"just 6 in and 12.5 %", 48, 48 + 5.999, false}, // the bound itself is no finding
	} {
		l, codes := layMain(t, at(c.drawn/12, 0, 1), gate("g", 0, 0, 1), pipe(c.written/12))
		p := piece(t, l, mainPieces+"/pipe 1")
		near(t, c.name, p.Length.Best, in(c.written))
		if p.Length.Basis != unit.Given || has(codes, "length-differs") != c.finding {
			t.Errorf("%s: basis %d, findings %q", c.name, p.Length.Basis, codes)
		}
		near(t, c.name+": the line is where it was drawn", plan.LineLength(p.Line), in(c.drawn))
	}
}

func TestAssumedLengthGivesWayToThePlan(t *testing.T) {
	unknown := shop.Piece{What: shop.Pipe, Pipe: assumed(ft(3))}
	l, codes := layMain(t, at(9, 0, 1), gate("g", 0, 0, 1), unknown)
	none(t, codes)
	if p := piece(t, l, mainPieces+"/pipe 1"); p.Length.Basis != unit.Drawn || math.Abs(float64(p.Length.Best-ft(9))) > 1e-12 {
		t.Errorf("length %v", p.Length)
	}
	l, codes = layMain(t, shop.Point{}, gate("g", 0, 0, 1), unknown)
	none(t, codes)
	if p := piece(t, l, mainPieces+"/pipe 1"); p.Length.Basis != unit.Assumed || p.Length.Best != ft(3) {
		t.Errorf("without an end it stays assumed: %v", p.Length)
	}
	// two of them cannot be told apart
	l, codes = layMain(t, at(9, 0, 1), gate("g", 0, 0, 1), unknown, tap("T"), unknown)
	none(t, codes)
	if p := piece(t, l, mainPieces+"/pipe 1"); p.Length.Basis != unit.Assumed || p.Length.Best != ft(3) {
		t.Errorf("two open lengths stay assumed: %v", p.Length)
	}
	// nor beside a hose
	l, codes = layMain(t, at(9, 0, 1), gate("g", 0, 0, 1), unknown, tap("T"), hose(8))
	none(t, codes)
	if p := piece(t, l, mainPieces+"/pipe 1"); p.Length.Basis != unit.Assumed || p.Length.Best != ft(3) {
		t.Errorf("beside a hose it stays assumed: %v", p.Length)
	}
}

// By hand: north then north-east is 45°, east then up is 90°, and a way that goes on straight turns by nothing.
func TestDrawnElbows(t *testing.T) {
	l, codes := layMain(t, at(10, 10, 1),
		gate("g", 0, 0, 1), pipeDrawn(), elbowDrawn(0, 5, 1), pipeDrawn(), elbowDrawn(5, 10, 1), pipeDrawn())
	none(t, codes)
	nearAngle(t, "north to north-east", piece(t, l, mainPieces+"/elbow 1").Turn.Best, deg(45))
	nearAngle(t, "north-east to east", piece(t, l, mainPieces+"/elbow 2").Turn.Best, deg(45))
	near(t, "the slant", piece(t, l, mainPieces+"/pipe 2").Length.Best, ft(5*math.Sqrt2))

	// an elbow right at the port: the air leaves the back of a machine that faces north to the south, then goes up
	s := of(collector(at(0, -5, 8), from(run("main", 4, elbowDrawn(), goes(pipe(7), "up"), elbowDrawn(), pipeDrawn()), port("saw"))))
	s.Machines = []shop.Machine{{
		Name: "saw", Places: []shop.Place{{At: at(0, 1)}}, Footprint: foot(ft(3), ft(2)),
		Ports: ports(shop.Port{Side: "back", Height: given(ft(1))}),
	}}
	l, codes = lay(t, s)
	none(t, codes)
	nearAngle(t, "off the port", piece(t, l, mainPieces+"/elbow 1").Turn.Best, deg(90))
	nearAngle(t, "up to level", piece(t, l, mainPieces+"/elbow 2").Turn.Best, deg(90))
	// port at 0,0,1; up to 0,0,8; inlet at 0,-5,8
	near(t, "to the inlet", piece(t, l, mainPieces+"/pipe 2").Length.Best, ft(5))
}

func TestWyeLegs(t *testing.T) {
	y := collector(at(10, 0, 1),
		run("main", 6, gate("g", 0, 0, 1), pipeDrawn(), where(shop.Piece{What: shop.Wye, Wye: []shop.ID{"side"}, Angle: drawn[unit.Radian]()}, 5, 0, 1), pipeDrawn()),
		// comes in from the south-west at 45° to the way east
		run("side", 4, gate("h", 2, -3, 1), pipeDrawn()),
	)
	l, codes := lay(t, of(y))
	none(t, codes)
	w := piece(t, l, mainPieces+"/wye side")
	nearAngle(t, "drawn angle of the wye", w.Turn.Best, deg(45))
	if len(w.Legs) != 1 || !w.Legs[0].Known || w.Legs[0].Run != "side" {
		t.Fatalf("legs %v", w.Legs)
	}
	nearAngle(t, "leg", w.Legs[0].Turn, deg(45))
	near(t, "side", l.Run("collector", "side").Length.Best, ft(3*math.Sqrt2))
}

// A wye without a point lies where the lengths put it, and its branch ends there.
func TestWyeFoundByLengths(t *testing.T) {
	y := collector(at(10, 0, 1),
		run("main", 6, gate("g", 0, 0, 1), pipe(4), wye("side"), pipeDrawn()),
		run("side", 4, gate("h", 4, 3, 1), pipeDrawn()),
	)
	l, codes := lay(t, of(y))
	none(t, codes)
	near(t, "side, from 4,3 to 4,0", piece(t, l, "systems/collector/runs/side/pieces/pipe 1").Length.Best, ft(3))
}

// A ring: the split's run leaves main and comes back further on. 3 ft north, 4 ft east, 3 ft south by points.
func TestSplitAndRing(t *testing.T) {
	ring := run("ring", 4, pipeDrawn(), elbowDrawn(2, 3, 1), pipeDrawn(), elbowDrawn(6, 3, 1), pipeDrawn())
	ring.From = shop.From{Split: "S", Basis: unit.Given}
	y := collector(at(10, 0, 1),
		run("main", 6, gate("g", 0, 0, 1), pipeDrawn(), where(shop.Piece{What: shop.Split, Split: "S"}, 2, 0, 1), pipeDrawn(), where(wye("ring"), 6, 0, 1), pipeDrawn()),
		ring,
	)
	l, codes := lay(t, of(y))
	none(t, codes)
	near(t, "ring", l.Run("collector", "ring").Length.Best, ft(10))
	near(t, "main", l.Run("collector", "main").Length.Best, ft(10))
	nearAngle(t, "corner", piece(t, l, "systems/collector/runs/ring/pieces/elbow 1").Turn.Best, deg(90))
}

func TestExhaust(t *testing.T) {
	y := collector(at(0, 0, 2), run("main", 6, hose(3)))
	y.Exhaust = []shop.Piece{pipeDrawn(), elbowDrawn(0, 5, 2), pipeDrawn(), gate("flap", 4, 5, 2)}
	l, codes := lay(t, of(y))
	none(t, codes)
	near(t, "first", piece(t, l, "systems/collector/exhaust/pipe 1").Length.Best, ft(5))
	near(t, "second", l.Piece("collector", "", 2).Length.Best, ft(4))
	nearAngle(t, "elbow", l.Piece("collector", "", 1).Turn.Best, deg(90))
}

// Heights: own, else level with the one before, else with the one behind; plumb pipes count between.
func TestHeights(t *testing.T) {
	l, _ := layMain(t, at(20, 0), // the inlet has none: level with the tap before it
		gate("g", 0, 0),       // none before it: level with the elbow behind
		pipeDrawn(),           //
		elbow(0, 5, 0, 3),     //
		pipeDrawn(),           //
		tap("T", 10, 0),       // level with the elbow
		goes(pipe(4), "up"),   //
		gate("h"), hose(12.5), // 4 ft higher: at 7 ft
	)
	for key, want := range map[string]float64{"gate g": 3, "elbow 1": 3, "tap T": 3, "gate h": 7} {
		p := piece(t, l, mainPieces.Join(key))
		near(t, key, p.At.Height, ft(want))
		if p.HeightAssumed == (key == "elbow 1") {
			t.Errorf("%s: height assumed %v", key, p.HeightAssumed)
		}
	}
	h := piece(t, l, mainPieces+"/hose 1")
	near(t, "inlet level with the last", h.Line[len(h.Line)-1].Height, ft(7))
	near(t, "straight", h.Straight, ft(10))
	near(t, "slack", h.Slack, ft(2.5))
}

// The written word counts for the way and the rise, where the plan says otherwise; a slope the same way is no quarrel.
func TestGoes(t *testing.T) {
	for _, c := range []struct {
		name string
		end  shop.Point
		goes string
		want plan.Goes
		rise float64
		find bool
	}{
		{"written up, drawn level", at(5, 0, 1), "up", plan.Up, 5, true},
		{"written up, drawn down", at(0, 0, 0.5), "up", plan.Up, 0.5, true},
		{"written level, drawn up", at(0, 0, 6), "level", plan.Level, 0, true},
		{"written up, slopes up", at(3, 0, 5), "up", plan.Up, 4, false},
		{"written down, slopes down", at(0.75, 0, 0), "down", plan.Down, -1, false},
		// 30° off plumb: tan 30° = 0.57735; 5 ft up and so much aside is just up, a little more slopes
		{"just up", at(5*math.Tan(math.Pi/6), 0, 6), "", plan.Up, 5, false},
		{"no longer up", at(5*math.Tan(math.Pi/6)+0.01, 0, 6), "", plan.SlopesUp, 5, false},
		{"just level", at(10, 0, 1+10*math.Tan(5*math.Pi/180)), "", plan.Level, 10 * math.Tan(5*math.Pi/180), false},
		{"no longer level", at(10, 0, 1.01+10*math.Tan(5*math.Pi/180)), "", plan.SlopesUp, 0.01 + 10*math.Tan(5*math.Pi/180), false},
		{"slopes down", at(1, 0, 0), "", plan.SlopesDown, -1, false},
		{"down", at(0.1, 0, 0), "", plan.Down, -1, false},
	} {
		l, codes := layMain(t, c.end, gate("g", 0, 0, 1), goes(pipeDrawn(), c.goes))
		p := piece(t, l, mainPieces+"/pipe 1")
		if p.Goes != c.want || math.Abs(float64(p.Rise-ft(c.rise))) > 1e-9 || has(codes, "goes-differs") != c.find {
			t.Errorf("%s: goes %v, rises %g ft, findings %q", c.name, p.Goes, p.Rise/0.3048, codes)
		}
	}
	for g := plan.GoesUnknown; g <= plan.SlopesDown; g++ {
		text, _ := g.MarshalText()
		var back plan.Goes
		if err := back.UnmarshalText(text); err != nil || back != g {
			t.Errorf("%v came back as %v", g, back)
		}
		if g.Upright() != (g == plan.Up || g == plan.Down) {
			t.Errorf("%v upright: %v", g, g.Upright())
		}
	}
}

// The fitting that is named is the one whose point helps: what turns, else what parts the open length from the rest.
func TestWhichFittingNeedsAPoint(t *testing.T) {
	for _, c := range []struct {
		name   string
		pieces []shop.Piece
		want   []string
	}{
		{"a bend between", []shop.Piece{gate("g"), tap("T"), pipeDrawn(), elbowDrawn(), pipe(2)}, []string{"pipe 1: elbow 1 of main"}},
		{"two open", []shop.Piece{pipeDrawn(), tap("T"), pipeDrawn()}, []string{"pipe 1: tap T of main", "pipe 2: tap T of main"}},
		{"beside a hose", []shop.Piece{pipe(1), tap("T"), pipeDrawn(), gate("g"), hose(3)}, []string{"pipe 2: tap T of main"}},
		{"right before a hose", []shop.Piece{pipeDrawn(), gate("g"), kink(0.5), hose(3)}, []string{"pipe 1: gate g of main"}},
		{"no fitting at all", []shop.Piece{pipeDrawn(), hose(3)}, []string{"pipe 1: a fitting between them"}},
		{"a separator between", []shop.Piece{pipeDrawn(), separator("drum"), pipe(2)}, []string{"pipe 1: separator drum of main"}},
	} {
		s := of(collector(at(9, 0, 1), run("main", 4, append([]shop.Piece{tap("start", 0, 0, 1)}, c.pieces...)...)))
		_, found := plan.Of(s, "")
		var got []string
		for _, f := range found {
			if f.Code != plan.LengthUnclear {
				continue
			}
			for _, a := range f.Args {
				if a.Name == "fitting" {
					got = append(got, f.Where.Last()+": "+a.Word)
				}
			}
		}
		if strings.Join(got, ", ") != strings.Join(c.want, ", ") {
			t.Errorf("%s: got %q, want %q", c.name, got, c.want)
		}
	}
}

// Which end is missing: the machine, the wye of another run, the inlet, or a first fitting.
func TestWhichEndNeedsAPoint(t *testing.T) {
	saw := shop.Machine{Name: "saw", Ports: ports(shop.Port{Name: "top"})}
	for _, c := range []struct {
		name string
		runs []shop.Run
		want string
	}{
		{"port", []shop.Run{from(run("main", 4, pipeDrawn(), tap("T", 1, 1, 1), hose(2)), port("saw", "top"))}, "its port at saw/top, saw"},
		{"inlet", []shop.Run{run("main", 4, tap("T", 1, 1, 1), pipeDrawn())}, "the inlet of collector, collector"},
		{"wye", []shop.Run{run("main", 4, wye("side"), hose(3)), run("side", 4, tap("T", 1, 1, 1), pipeDrawn())}, "its end at wye side of main, wye side of main"},
		{"cap", []shop.Run{{Name: "main", From: shop.From{Cap: true, Basis: unit.Given}, Pieces: []shop.Piece{pipeDrawn(), tap("T", 1, 1, 1), hose(2)}}}, "the start of main, the first fitting"},
		{"nothing has a place", []shop.Run{from(run("main", 4, pipeDrawn()), port("saw", "top"))}, "its port at saw/top, saw"},
	} {
		s := of(collector(shop.Point{}, c.runs...))
		s.Machines = []shop.Machine{saw}
		_, found := plan.Of(s, "")
		if len(found) != 1 || found[0].Code != plan.LengthNoPoint {
			t.Errorf("%s: findings %v", c.name, found)
			continue
		}
		var got []string
		for _, a := range found[0].Args[1:] {
			got = append(got, a.Word)
		}
		if strings.Join(got, ", ") != c.want {
			t.Errorf("%s: got %q, want %q", c.name, got, c.want)
		}
	}
}

// A port whose side is not known may be half a machine nearer: 4 x 4 ft, so 2 ft. Then a fitting 3.9 ft from its middle
// may touch, and one 4.7 ft away does not.
func TestPipeMissingAllowsForDoubt(t *testing.T) {
	for _, c := range []struct {
		feet float64
		find bool
	}{{2.5, false}, {3.9, false}, {4.1, true}, {4.7, true}} {
		s := of(collector(at(20, 0, 1), from(run("main", 4, gate("g", c.feet, 0, 1), pipeDrawn()), port("saw"))))
		s.Machines = []shop.Machine{{Name: "saw", Places: []shop.Place{{At: at(0, 0)}}, Footprint: foot(ft(4), ft(4)), Ports: ports(shop.Port{Height: given(ft(1))})}}
		if _, codes := lay(t, s); has(codes, "pipe-missing") != c.find {
			t.Errorf("%g ft: findings %q", c.feet, codes)
		}
	}
}

func TestPointsOfPipesAndHoses(t *testing.T) {
	// by way of 0,4: 4 + 3 ft
	l, codes := layMain(t, at(3, 4, 1), gate("g", 0, 0, 1), where(pipeDrawn(), 0, 4, 1))
	none(t, codes)
	p := piece(t, l, mainPieces+"/pipe 1")
	near(t, "pipe", p.Length.Best, ft(7))
	if len(p.Line) != 3 {
		t.Errorf("line %v", p.Line)
	}
	l, codes = layMain(t, at(3, 4, 1), gate("g", 0, 0, 1), where(hose(9), 0, 4, 1))
	none(t, codes)
	p = piece(t, l, mainPieces+"/hose 1")
	near(t, "hose slack", p.Slack, ft(2))
	if math.Abs(float64(plan.LineLength(p.Line)-ft(9))) > 0.01*float64(ft(9)) {
		t.Errorf("line of %g ft", plan.LineLength(p.Line)/0.3048)
	}
}

// A port whose side is not said is the middle of its machine, and its length carries half the machine as doubt: a 4 x 2 ft
// machine is (4+2)/4 = 1.5 ft.
func TestUnknownSideIsDoubt(t *testing.T) {
	s := of(collector(at(10, 0, 1), from(run("main", 4, pipeDrawn()), port("saw"))))
	s.Machines = []shop.Machine{{Name: "saw", Places: []shop.Place{{At: at(0, 0)}}, Footprint: foot(ft(4), ft(2)), Ports: ports(shop.Port{Height: given(ft(1))})}}
	l, codes := lay(t, s)
	none(t, codes)
	a := piece(t, l, mainPieces+"/pipe 1").Length
	near(t, "best", a.Best, ft(10))
	near(t, "low", a.Low, ft(8.5))
	near(t, "high", a.High, ft(11.5))
}

func TestSizesAndAdapters(t *testing.T) {
	sep := separator("drum")
	sep.Inlet = given(in(5))
	y := shop.System{
		Name: "collector", Inlet: assumed(in(9)),
		Runs: []shop.Run{
			run("main", 6, wye("hose"), pipe(3), sep, sized(hose(2), 7), pipe(2), reducer(8), pipe(1)),
			from(run("hose", 4, hose(5)), port("saw"), port("planer")),
		},
	}
	s := of(y)
	s.Machines = []shop.Machine{
		{Name: "saw", Ports: ports(shop.Port{Size: given(unit.Metre(0.1))})}, // 100 mm goes on 4 in
		{Name: "planer", Ports: ports(shop.Port{Size: given(in(2.5))})},      //
	}
	l, _ := lay(t, s)
	var got []string
	for _, a := range l.Adapters {
		line := a.After.Last() + " " + unit.Print(a.From, unit.US) + " > " + unit.Print(a.To, unit.US) + " " + a.Before.Last()
		if a.Leg {
			line += " leg"
		}
		if a.Assumed {
			line += " assumed"
		}
		if a.Port.Machine != "" {
			line += " for " + a.Port.Machine
		}
		got = append(got, line)
	}
	want := []string{
		"pipe 1 6 in > 5 in separator drum",
		"separator drum 6 in > 7 in hose 1",
		"hose 1 7 in > 6 in pipe 2",
		"pipe 3 8 in > 9 in inlet assumed",
		"port 2 1/2 in > 4 in hose 1 for planer",
		"hose 1 4 in > 6 in wye hose leg",
	}
	if strings.Join(got, "\n") != strings.Join(want, "\n") {
		t.Errorf("got\n%s\nwant\n%s", strings.Join(got, "\n"), strings.Join(want, "\n"))
	}
	near(t, "behind the reducer", l.Piece("collector", "main", 6).From, in(8))
}

// Random ways: lengths and turns against plain vectors, and the same backwards.
func TestRandomWays(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(3, 8).Draw(t, "points")
		var points [][3]float64
		for i := range n {
			points = append(points, [3]float64{
				float64(i)*3 + rapid.Float64Range(0, 2).Draw(t, "e"), rapid.Float64Range(-9, 9).Draw(t, "n"), rapid.Float64Range(0, 9).Draw(t, "h"),
			})
		}
		forth := layWay(t, points)
		var back [][3]float64
		for i := range points {
			back = append(back, points[n-1-i])
		}
		rev := layWay(t, back)
		for i := 0; i+1 < n; i++ {
			a, b := points[i], points[i+1]
			want := math.Hypot(math.Hypot(b[0]-a[0], b[1]-a[1]), b[2]-a[2])
			got := float64(forth[2*i+1].Length.Best) / 0.3048
			if math.Abs(got-want) > 1e-9 {
				t.Fatalf("pipe %d: got %g ft, want %g ft", i+1, got, want)
			}
			if other := float64(rev[2*(n-2-i)+1].Length.Best) / 0.3048; math.Abs(other-want) > 1e-9 {
				t.Fatalf("pipe %d backwards: got %g ft, want %g ft", i+1, other, want)
			}
			if r := forth[2*i+1].Rise + rev[2*(n-2-i)+1].Rise; math.Abs(float64(r)) > 1e-9 {
				t.Fatalf("pipe %d: a rise forth is no drop back: %g", i+1, r)
			}
		}
		for i := 1; i+1 < n; i++ {
			p, q, r := points[i-1], points[i], points[i+1]
			u := [3]float64{q[0] - p[0], q[1] - p[1], q[2] - p[2]}
			v := [3]float64{r[0] - q[0], r[1] - q[1], r[2] - q[2]}
			dot := u[0]*v[0] + u[1]*v[1] + u[2]*v[2]
			want := math.Acos(dot / math.Sqrt((u[0]*u[0]+u[1]*u[1]+u[2]*u[2])*(v[0]*v[0]+v[1]*v[1]+v[2]*v[2])))
			if got := float64(forth[2*i].Turn.Best); math.Abs(got-want) > 1e-6 {
				t.Fatalf("elbow %d: got %g, want %g", i, got, want)
			}
			if got := float64(rev[2*(n-1-i)].Turn.Best); math.Abs(got-want) > 1e-6 {
				t.Fatalf("elbow %d backwards: got %g, want %g", i, got, want)
			}
		}
	})
}

// layWay is a run of gates and elbows at the points with drawn pipes between; it ends in a gate at the last.
func layWay(t *rapid.T, points [][3]float64) []plan.PieceLayout {
	var pieces []shop.Piece
	for i, p := range points {
		switch {
		case i == 0:
			pieces = append(pieces, gate("first", p[0], p[1], p[2]))
		case i == len(points)-1:
			pieces = append(pieces, pipeDrawn(), gate("last", p[0], p[1], p[2]))
		default:
			pieces = append(pieces, pipeDrawn(), elbowDrawn(p[0], p[1], p[2]))
		}
	}
	l, found := plan.Of(of(collector(shop.Point{}, run("main", 4, pieces...))), "")
	if len(found) > 0 {
		t.Fatalf("finding %s", found[0].Code.Name)
	}
	return l.RunPieces("collector", "main")
}
