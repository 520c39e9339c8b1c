package fan_test

import (
	"math"
	"testing"

	"winnow/internal/physics/duct"
	"winnow/internal/physics/fan"
	"winnow/internal/physics/network"
	"winnow/internal/refcase"
	"winnow/internal/unit"
)

// points turns a curve into the network's, outlet's velocity pressure included.
func points(c fan.Curve, per int) []network.FanPoint {
	var out []network.FanPoint
	for _, p := range c.Sample(per) {
		out = append(out, network.FanPoint{Flow: p.Flow, Rise: p.Pressure})
	}
	return out
}

// line solves room - laws - room and returns the flow.
func line(t testing.TB, rho, mu float64, laws ...network.Law) float64 {
	t.Helper()
	n := network.Network{Air: network.Air{Density: unit.KgPerM3(rho), Viscosity: unit.PascalSec(mu)}}
	n.Nodes = append(n.Nodes, network.Node{Fixed: true})
	for i, l := range laws {
		n.Nodes = append(n.Nodes, network.Node{Fixed: i == len(laws)-1})
		n.Links = append(n.Links, network.Link{From: i, To: i + 1, Law: l})
	}
	s := must[*network.Solver](t)(network.Compile(n))
	got := s.Solve(1e-10)
	if got.Status != network.Balanced {
		t.Fatalf("status %v", got.Status)
	}
	return float64(got.Flow[0])
}

// Cengel and Cimbala ch. 14 once more, through the network's solver: bores, roughness and coefficients in, working point out.
func TestFanAndDuctMeetInTheNetwork(t *testing.T) {
	c := refcase.Airflow(t, "AF-FAN-004")
	const rho, mu, g = 1.184, 1.849e-5, 9.81
	water := 1e-3 * c.Num(t, "water_density") * g
	var given []fan.Point
	for i := range 12 {
		lpm := 1400 * float64(i)
		given = append(given, fan.Point{Flow: unit.M3PerSec(lpm / 60000), Pressure: unit.Pascal(water * (60 - 2.50e-7*lpm*lpm))})
	}
	curve := must[fan.Curve](t)(fan.NewCurve(given, fan.Monotone, rho))
	smooth := must[*network.Curve](t)(network.Smooth(points(curve, 4)))
	exit := duct.Exit()
	exit.K = c.Num(t, "alpha_exit")
	for name, d := range map[string]unit.Metre{"Q_150mm": 0.150, "Q_129mm": 0.129} {
		q := line(t, rho, mu,
			network.Law{Kind: network.Duct, Diameter: d, Length: unit.Metre(c.Num(t, "L")), Roughness: duct.RoughnessOldChart, K: 3.3 + 3*0.21 + 1.8 + 0.36 + 6.6},
			network.Law{Kind: network.Loss, Diameter: d, K: exit.K},
			network.Law{Kind: network.Fan, Curve: smooth})
		c.Check(t, name, 60000*q)
	}
}

// Static and total are two books for one thing: a total curve with K = 1 at an exit of the outlet's bore gives the same flow as the static
// curve without it. ASHRAE ch. 21 eq. 17.
func TestTotalWithItsExitIsStaticWithout(t *testing.T) {
	const bore = unit.Metre(0.125)
	c := fan.Rated(2200, 0.5, 3, 1.2)
	pipe := network.Law{Kind: network.Duct, Diameter: 0.1, Length: 5, Roughness: duct.RoughnessHandbook, K: 2}
	static := line(t, 1.2, 1.82e-5, pipe, network.Law{Kind: network.Fan, Curve: must[*network.Curve](t)(network.Smooth(points(c, 8)))})
	total := line(t, 1.2, 1.82e-5, pipe,
		network.Law{Kind: network.Fan, Curve: must[*network.Curve](t)(network.Smooth(points(c.Total(duct.AreaOfBore(bore)), 8)))},
		network.Law{Kind: network.Loss, Diameter: bore, K: duct.Exit().K})
	if math.Abs(total/static-1) > 1e-5 {
		t.Errorf("%v m³/s by static pressure, %v by total", static, total)
	}
	forgotten := line(t, 1.2, 1.82e-5, pipe,
		network.Law{Kind: network.Fan, Curve: must[*network.Curve](t)(network.Smooth(points(c.Total(duct.AreaOfBore(bore)), 8)))})
	if forgotten < static*1.005 {
		t.Errorf("without its exit a total curve must show too much air: %v against %v", forgotten, static)
	}
}

// The network keeps a monotone cubic of its own: it must be this one.
func TestNetworkCurveIsOurs(t *testing.T) {
	c := must[fan.Curve](t)(fan.NewCurve([]fan.Point{{Flow: 0, Pressure: 2300}, {Flow: 0.1, Pressure: 2350}, {Flow: 0.25, Pressure: 1900}, {Flow: 0.4, Pressure: 900}, {Flow: 0.5, Pressure: 0}}, fan.Monotone, 1.2))
	n := must[*network.Curve](t)(network.Smooth(points(c, 1)))
	for _, k := range []float64{4, 8, 15, 40, 120} {
		loss := func(q float64) float64 { return k * 0.6 * math.Pow(q/0.01, 2) }
		got := line(t, 1.2, 1.82e-5, network.Law{Kind: network.Loss, Diameter: duct.BoreOfArea(0.01), K: k}, network.Law{Kind: network.Fan, Curve: n})
		if want := meet(t, c, loss); math.Abs(got/want-1) > 1e-8 {
			t.Errorf("K %v: the network meets at %v, our curve at %v", k, got, want)
		}
	}
}
