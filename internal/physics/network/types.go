package network

import "winnow/internal/unit"

// Network is a set of nodes, the links between them and the converging junctions (joins) that bind three nodes.
type Network struct {
	Air   Air
	Nodes []Node
	Links []Link
	Joins []Join

	// Compressible, if not nil, lets each link have the density of its own absolute pressure: for vacuums at 15 to 25 kPa,
	// where constant density overstates the flow by 3 to 7 %. Flows stay volume flows at Air.Density: see Compressible.
	Compressible *Compressible
}

// Air is the gas in all links. Density is constant unless Network.Compressible or Law.Density says otherwise.
type Air struct {
	Density   unit.KgPerM3
	Viscosity unit.PascalSec // dynamic
}

// Node is a meeting point of links. A fixed node holds its pressure whatever flows (a room, the open air);
// at any other node the flows sum to zero and the pressure is found.
type Node struct {
	Fixed    bool
	Pressure unit.Pascal // total, gauge; for a fixed node only
}

// Link carries air between two nodes; its flow is positive from From to To.
type Link struct {
	From, To int // node numbers
	Law      Law
}

// Join is a converging junction: one element with three ports, each at a node of its own. It takes the flow Qs out of node
// Through and Qb out of node Branch and gives Qc = Qs + Qb to node Common. With A = πd²/4 and x⁺ = max(x, 0):
//
//	P = ρ/2·( (Qs⁺ + Qb⁺)²/Ac² - 2·Qs⁺²/(As·Ac) - 2·κ·Qb⁺²/(Ab·Ac) )
//	p_through - p_common = P + ρ/2·(1 + KThrough)·Qs|Qs|/As²
//	p_branch  - p_common = P + ρ/2·(1 + KBranch)·Qb|Qb|/Ab²
//
// Kappa [-] is -1 to 1: κ = 1 - K(θ)/2 with K the published branch-entry loss. KThrough and KBranch [-] are 0 or more.
// A leg that runs backwards leaves P and loses 1 + K velocity pressures of its own: a definition that keeps the answer
// definite, not physics to rely on; Solution.LegsReversed names such legs. Leaves out swirl and the distance to the next
// fitting. Source [S-042], [S-043].
type Join struct {
	Through, Branch, Common    int // node numbers
	DThrough, DBranch, DCommon unit.Metre
	Kappa, KThrough, KBranch   float64
}

// Kind says which law a link follows. The zero value is Shut.
type Kind uint8

const (
	Shut      Kind = iota // no flow at all
	Duct                  // Diameter, Length, Roughness or Darcy, FrictionScale, K
	Loss                  // Diameter, K: an open gate, a separator, a hood
	Orifice               // CdA: a hole
	Filter                // A, B
	Leak                  // C, Exponent: a seam
	Fan                   // Curve, Speed, FlowScale, PressureScale
	FanRating             // ShutOff, FreeFlow, Exponent, Speed, FlowScale, PressureScale
)

// Law is how the pressure drop Δp = p_from - p_to of a link depends on its flow Q. With v = Q/(πD²/4) and Re = ρ|v|D/μ:
//
//	Duct       Δp = (s·f·L/D + K)·ρ/2·v|v|, s = FrictionScale, f Darcy: duct.FrictionFactor's rule, or Darcy if that is set
//	Loss       Δp = K·ρ/2·v|v|
//	Orifice    Δp = ρ/2·Q|Q|/CdA²
//	Filter     Δp = A·Q + B·Q|Q|
//	Leak       Δp = sign(Q)·(|Q|/C)^(1/Exponent) + 0.01·Q/C: the last, laminar, term is 1 % at 1 Pa and less above
//	Fan        p_to - p_from = c·s²·H(Q/(s·q)), H = Curve, s = Speed, q = FlowScale, c = PressureScale
//	FanRating  the same with H(Q) = ShutOff·(1 - sign(Q)·|Q/FreeFlow|^Exponent): falling everywhere, also for air blown backwards
//
// A fan's curve holds for the density of the network; it is not scaled again. Q is the volume flow at Air.Density, so it is
// conserved where links differ in density: a link with density ρ' loses ρ/ρ' times the Δp above.
type Law struct {
	Kind Kind

	Diameter  unit.Metre
	Length    unit.Metre
	Roughness unit.Metre
	// Darcy, if above 0, is a constant Darcy friction factor in place of the one from Roughness (hose).
	Darcy float64
	// FrictionScale multiplies f·L/D; 0 means 1.
	FrictionScale float64
	K             float64 // loss coefficient on the link's own velocity pressure

	CdA unit.M2 // Orifice: discharge coefficient times area

	A float64 // Filter: Pa per (m³/s)
	B float64 // Filter: Pa per (m³/s)²

	C        float64 // Leak: m³/s at 1 Pa
	Exponent float64 // Leak: 0.5 to 1. FanRating: 1 to 20

	Curve    *Curve        // Fan
	ShutOff  unit.Pascal   // FanRating: pressure at no flow
	FreeFlow unit.M3PerSec // FanRating: flow at no pressure
	// Speed is the fan's speed over that of its curve; 0 means 1. FlowScale and PressureScale stretch the curve
	// (doubt about the rating); 0 means 1.
	Speed, FlowScale, PressureScale float64

	// Density of the air in this link; 0 means the network's.
	Density unit.KgPerM3
}

// Status says how a solve ended. Only Balanced and FanOffCurve come with an answer.
type Status uint8

const (
	Unsolved       Status = iota
	Balanced              // all laws and node balances hold to the tolerance
	FanOffCurve           // the same, but a fan runs beyond the points of its curve (Solution.Fan): its pressure is a guess
	IterationLimit        // did not converge: Residual and WorstLink say how far off and where
	NotFinite             // a number overflowed: WorstLink says where
	NoSteadyPoint         // a humped fan has no point where it would stay
)

func (s Status) String() string {
	switch s {
	case Unsolved:
		return "unsolved"
	case Balanced:
		return "balanced"
	case FanOffCurve:
		return "balanced, fan beyond its curve"
	case IterationLimit:
		return "not balanced: iteration limit"
	case NotFinite:
		return "not balanced: a number overflowed"
	case NoSteadyPoint:
		return "no steady point of the humped fan"
	}
	return "unknown status"
}

// Solved tells whether the flows may be used.
func (s Status) Solved() bool { return s == Balanced || s == FanOffCurve }

// Leg names a leg of a join.
type Leg uint8

const (
	Through Leg = iota
	Branch
)

// JoinLeg is one leg of one join.
type JoinLeg struct {
	Join int
	Leg  Leg
}

// Solution is the state of the network after a solve. Its slices belong to the solver: the next Solve overwrites them.
type Solution struct {
	Flow     []unit.M3PerSec    // by link number, positive From -> To
	Pressure []unit.Pascal      // by node number, total, gauge; 0 in a part shut off from every fixed node
	JoinFlow [][2]unit.M3PerSec // by join number: Qs, Qb

	Status Status
	// Residual is a bound of what the law of any one link is still off by, and WorstLink the link it is about (-1 if none).
	Residual  unit.Pascal
	WorstLink int
	// FanOff is the fan beyond its curve when Status is FanOffCurve; else -1.
	FanOff       int
	LegsReversed []JoinLeg // join legs that run backwards, by join number
	Iterations   int
	// SeveralPoints says that a humped fan could also settle elsewhere: see OperatingPoints.
	SeveralPoints bool
}

// OperatingPoint is a flow at which a fan and its system agree.
type OperatingPoint struct {
	Flow   unit.M3PerSec
	Rise   unit.Pascal
	Stable bool // more fan pressure would give more flow
}

// Compressible turns on density by pressure at constant temperature: ρ = p_abs/(R·T) with p_abs the mean of the absolute
// total pressures at a link's two ends. After each balance the densities are brought up to date, until they rest (two or
// three passes); below Threshold of suction or pressure nothing is done. Flows are mass flows divided by Air.Density, so
// node balances conserve mass. Fan curves are taken as measured (suction against flow at Air.Density).
// Leaves out the pressure that speeds up the thinning air, 2·ln(p1/p2) against f·L/D. Source [S-045].
type Compressible struct {
	Temperature unit.Kelvin
	Ambient     unit.Pascal // absolute pressure at gauge 0
	GasConstant float64     // J/(kg·K); 0 means 287.05, dry air
	Threshold   unit.Pascal // 0 means 5 kPa
}
