package plan

import (
	"winnow/internal/shop"
	"winnow/internal/unit"
)

// Layout is the shop laid out in one arrangement. Everything stands in the order of the shop file.
type Layout struct {
	Arrangement shop.ID          `json:"arrangement"`
	Room        RoomLayout       `json:"room"`
	Box         Box              `json:"box"`
	Machines    []MachineLayout  `json:"machines"`
	Systems     []SystemLayout   `json:"systems"`
	Cleaners    []CleanerLayout  `json:"air_cleaners"`
	Obstacles   []ObstacleLayout `json:"obstacles"`
	Walkways    []WalkwayLayout  `json:"walkways"`
	Outlets     []OutletLayout   `json:"outlets"`
	Spots       []Spot           `json:"spots"` // flames, and sensors with a point
	Runs        []RunLayout      `json:"runs"`
	Pieces      []PieceLayout    `json:"pieces"`
	Lays        []Lay            `json:"lays"` // the ways of every hose that starts at a machine which can be moved
	Cords       []CordLayout     `json:"cords"`
	Adapters    []Adapter        `json:"adapters"`
	Steps       []Step           `json:"steps"` // the rises and drops, numbered

	shop   *shop.Shop
	byPath map[shop.Path]int
}

// Box is the smallest upright rectangle that holds everything that has a place.
type Box struct {
	Low    Vec3 `json:"low"`
	High   Vec3 `json:"high"`
	Placed bool `json:"placed"` // false: nothing in the shop has a place
}

func (b *Box) add(points ...Vec3) {
	for _, p := range points {
		if !b.Placed {
			*b = Box{p, p, true}
			continue
		}
		b.Low = Vec3{min(b.Low.East, p.East), min(b.Low.North, p.North), min(b.Low.Height, p.Height)}
		b.High = Vec3{max(b.High.East, p.East), max(b.High.North, p.North), max(b.High.Height, p.Height)}
	}
}

// RoomLayout is the room's outline, what is left of its walls beside the doors, and the doors.
type RoomLayout struct {
	Corners Polygon                 `json:"corners"` // nil: no room was drawn; its area, if any, is the usual one
	Area    unit.M2                 `json:"area_m2"` // 0 where the outline is missing or crosses itself
	Height  unit.Amount[unit.Metre] `json:"height_m"`
	Walls   []Wall                  `json:"walls"`
	Doors   []DoorLayout            `json:"doors"`
}

// Wall is a straight stretch of wall.
type Wall struct {
	From Vec3 `json:"from"`
	To   Vec3 `json:"to"`
}

// DoorLayout is a door: shut it is the line from hinge to latch; Swing is the area its leaf sweeps, hinge first, nil for
// a door that goes up or slides.
type DoorLayout struct {
	Name  shop.ID   `json:"name"`
	Path  shop.Path `json:"path"`
	Hinge Vec3      `json:"hinge"`
	Latch Vec3      `json:"latch"`
	Opens string    `json:"opens"`
	Swing Polygon   `json:"swing"`
}

// MachineLayout is where a machine stands.
type MachineLayout struct {
	Name      shop.ID      `json:"name"`
	Path      shop.Path    `json:"path"`
	Placed    bool         `json:"placed"` // false: the file gives it no place; it stands in the tray
	Away      bool         `json:"away"`   // cannot be used in this arrangement; At is then where it usually stands
	Place     shop.ID      `json:"place"`
	At        Vec3         `json:"at"`
	Facing    unit.Radian  `json:"facing_rad"`
	Footprint Polygon      `json:"footprint"` // nil where the size is not known
	Infeed    Polygon      `json:"infeed"`    // floor kept free before it, nil where nothing is asked
	Outfeed   Polygon      `json:"outfeed"`
	Ports     []PortLayout `json:"ports"`
}

// PortLayout is where a port is.
type PortLayout struct {
	Name          shop.ID   `json:"name"`
	Path          shop.Path `json:"path"`
	At            Vec3      `json:"at"`
	Placed        bool      `json:"placed"`
	SideKnown     bool      `json:"side_known"` // false: the middle of the machine stands for it
	HeightAssumed bool      `json:"height_assumed"`

	noHeight bool       // nothing at all is known of its height: level with its neighbour
	slop     unit.Metre // how far off the point may be, as the side is not known
	away     Vec3       // the way the air leaves it; zero: not known
}

// SystemLayout is where a collector, vacuum or extractor stands.
type SystemLayout struct {
	Name      shop.ID     `json:"name"`
	Path      shop.Path   `json:"path"`
	Placed    bool        `json:"placed"`
	At        Vec3        `json:"at"`
	Facing    unit.Radian `json:"facing_rad"`
	Footprint Polygon     `json:"footprint"`
	// Inlet is where its main ends: its middle, at the height written with its point, else level with the last point of
	// the main, but no higher than it is tall.
	Inlet Vec3 `json:"inlet"`

	noHeight bool
	tall     unit.Metre // 0: not known
	slop     unit.Metre
}

// CleanerLayout is where an air cleaner hangs.
type CleanerLayout struct {
	Name      shop.ID   `json:"name"`
	Path      shop.Path `json:"path"`
	Placed    bool      `json:"placed"`
	At        Vec3      `json:"at"`
	Footprint Polygon   `json:"footprint"`
}

// ObstacleLayout is what stands in the way.
type ObstacleLayout struct {
	Name    shop.ID                 `json:"name"`
	Path    shop.Path               `json:"path"`
	Corners Polygon                 `json:"corners"`
	Height  unit.Amount[unit.Metre] `json:"height_m"`
	Also    bool                    `json:"also"` // there in this arrangement only
}

// WalkwayLayout is where feet go.
type WalkwayLayout struct {
	Name    shop.ID   `json:"name"`
	Path    shop.Path `json:"path"`
	Corners Polygon   `json:"corners"`
}

// OutletLayout is where an outlet is.
type OutletLayout struct {
	Name        shop.ID   `json:"name"`
	Circuit     shop.ID   `json:"circuit"`
	Path        shop.Path `json:"path"`
	At          Vec3      `json:"at"`
	Placed      bool      `json:"placed"`
	HeightKnown bool      `json:"height_known"` // else it is the usual one, or 0
}

// Spot is a thing that is only a point on the floor.
type Spot struct {
	What string    `json:"what"` // flame or sensor
	Name shop.ID   `json:"name"`
	Path shop.Path `json:"path"`
	At   Vec3      `json:"at"`
}

// Goes says which way the air moves in a piece.
type Goes uint8

// Up and Down are within 30° of plumb, Level within 5° of level; between the two a piece slopes. Both bounds are our
// judgement: what moves in a pipe like in an upright one, and what an eye and a level call level.
const (
	GoesUnknown Goes = iota
	Level
	Up
	Down
	SlopesUp
	SlopesDown
)

var goesWords = [...]string{"unknown", "level", "up", "down", "slopes up", "slopes down"}

func (g Goes) String() string { return goesWords[g] }

// MarshalText writes the word.
func (g Goes) MarshalText() ([]byte, error) { return []byte(g.String()), nil }

// UnmarshalText reads the word back.
func (g *Goes) UnmarshalText(text []byte) error {
	for i, w := range goesWords {
		if w == string(text) {
			*g = Goes(i)
			return nil
		}
	}
	*g = GoesUnknown
	return nil
}

// Upright reports whether the piece stands within 30° of plumb.
func (g Goes) Upright() bool { return g == Up || g == Down }

// PieceLayout is one piece of a run, measured.
type PieceLayout struct {
	System shop.ID   `json:"system"`
	Run    shop.ID   `json:"run"`   // empty for the exhaust
	Index  int       `json:"index"` // in the run, from 0
	Path   shop.Path `json:"path"`
	What   shop.What `json:"what"`
	Name   shop.ID   `json:"name"` // of a gate, separator, tap or split

	// Length of a pipe or hose: Given, Drawn, Assumed, or Unsaid where it is to be measured and cannot be (a finding says
	// why). A fitting has its share of the plan between its neighbours where no pipe is written there, else 0.
	Length unit.Amount[unit.Metre] `json:"length_m"`
	// Turn is the angle of an elbow, or between a wye's side leg and its middle line; Unsaid as above.
	Turn unit.Amount[unit.Radian] `json:"turn_rad"`
	// From and To are the trade sizes before and after it; they differ for a reducer and for a separator's inlet.
	From unit.Metre `json:"from_m"`
	To   unit.Metre `json:"to_m"`

	Rise      unit.Metre `json:"rise_m"` // up is positive; 0 where Goes is unknown
	Goes      Goes       `json:"goes"`
	GoesBasis unit.Basis `json:"goes_basis"`

	At     Vec3   `json:"at"` // of a fitting: its point
	Placed bool   `json:"placed"`
	Line   []Vec3 `json:"line"` // in the direction of the air; nil: not drawn
	// Sketch is for where Line is nil, or a fitting has no place, but both ends of the stretch are known: to be drawn
	// dashed, not to scale. A fitting has one point.
	Sketch []Vec3 `json:"sketch"`
	// HeightAssumed: one end has no height of its own in the file, so the length, if measured, leans on a guess.
	HeightAssumed bool `json:"height_assumed"`

	// Straight and Slack of a hose whose ends are known: the straight distance and what the written length has over.
	// Negative slack is lack. Where several hoses share a stretch each has its share.
	Straight   unit.Metre `json:"straight_m"`
	Slack      unit.Metre `json:"slack_m"`
	SlackKnown bool       `json:"slack_known"`

	Crosses []Crossing `json:"crosses"`
	Legs    []Leg      `json:"legs"` // of a wye: the runs it takes in

	guessFrom, guessTo bool // the size is not the owner's

	wayOn Vec3 // of a wye: the way the air goes on; zero: not known
}

// Leg is a run that comes in at a wye.
type Leg struct {
	Run   shop.ID     `json:"run"`
	Turn  unit.Radian `json:"turn_rad"` // between its last stretch and the way on, as drawn
	Known bool        `json:"known"`
}

// RunLayout is a run: its pieces are Layout.Pieces[First : First+Count].
type RunLayout struct {
	System shop.ID   `json:"system"`
	Run    shop.ID   `json:"run"`
	Path   shop.Path `json:"path"`
	First  int       `json:"first"`
	Count  int       `json:"count"`
	// From and To are its ends where they have a place.
	From    Vec3                    `json:"from"`
	FromOK  bool                    `json:"from_ok"`
	To      Vec3                    `json:"to"`
	ToOK    bool                    `json:"to_ok"`
	Carried bool                    `json:"carried"`  // served from several machines
	Away    bool                    `json:"away"`     // its machine is away, or all of them
	Length  unit.Amount[unit.Metre] `json:"length_m"` // of its pipes and hoses; Unsaid where one of them is

	lastWay Vec3 // the way its air takes into the wye; zero: not known
}

// Crossing is a line over, under or through something.
type Crossing struct {
	What CrossingKind `json:"what"`
	Name shop.ID      `json:"name"`
	Path shop.Path    `json:"path"`
	At   Vec3         `json:"at"`  // where it comes in
	Out  Vec3         `json:"out"` // where it leaves
}

// CrossingKind is what is crossed.
type CrossingKind string

// What a line can cross.
const (
	CrossesWalkway  CrossingKind = "walkway"
	CrossesObstacle CrossingKind = "obstacle"
	CrossesMachine  CrossingKind = "machine"
	CrossesWall     CrossingKind = "wall"
	CrossesDoor     CrossingKind = "door"
)

// Adapter is needed where neighbours differ in trade size.
type Adapter struct {
	System shop.ID    `json:"system"`
	Run    shop.ID    `json:"run"`
	Before shop.Path  `json:"before"` // the piece, port, wye or inlet it leads into
	After  shop.Path  `json:"after"`  // the piece or port it follows
	From   unit.Metre `json:"from_m"`
	To     unit.Metre `json:"to_m"`
	// Leg: it leads into the side leg of a wye; a wye made with a leg of that size needs none.
	Leg bool `json:"leg"`
	// Assumed: one of the sizes is the usual one, not the owner's.
	Assumed bool `json:"assumed"`
	// Only for this port: the hose is carried, and fits the others.
	Port shop.PortRef `json:"port"`
}

// Piece finds a piece by its system, run and number in the run, from 0; an empty run means the exhaust.
// Nil where there is none.
func (l *Layout) Piece(system, run shop.ID, index int) *PieceLayout {
	if p := l.RunPieces(system, run); index >= 0 && index < len(p) {
		return &p[index]
	}
	return nil
}

// PieceAt finds a piece by its path. Nil where there is none.
func (l *Layout) PieceAt(p shop.Path) *PieceLayout {
	if i, ok := l.byPath[p]; ok {
		return &l.Pieces[i]
	}
	return nil
}

// RunPieces are the pieces of a run in the direction of the air; an empty run means the exhaust.
func (l *Layout) RunPieces(system, run shop.ID) []PieceLayout {
	if r := l.Run(system, run); r != nil {
		return l.Pieces[r.First : r.First+r.Count]
	}
	return nil
}

// Run finds a run. Nil where there is none.
func (l *Layout) Run(system, run shop.ID) *RunLayout {
	for i := range l.Runs {
		if l.Runs[i].System == system && l.Runs[i].Run == run {
			return &l.Runs[i]
		}
	}
	return nil
}

// Machine finds a machine. Nil where there is none.
func (l *Layout) Machine(name shop.ID) *MachineLayout {
	for i := range l.Machines {
		if l.Machines[i].Name == name {
			return &l.Machines[i]
		}
	}
	return nil
}

// Port finds a port; a reference without a port's name means the machine's only or first one.
func (l *Layout) Port(ref shop.PortRef) *PortLayout {
	m := l.Machine(ref.Machine)
	if m == nil {
		return nil
	}
	return m.port(ref.Port)
}

func (m *MachineLayout) port(name shop.ID) *PortLayout {
	for i := range m.Ports {
		if name == "" || m.Ports[i].Name == name {
			return &m.Ports[i]
		}
	}
	return nil
}

// System finds a system. Nil where there is none.
func (l *Layout) System(name shop.ID) *SystemLayout {
	for i := range l.Systems {
		if l.Systems[i].Name == name {
			return &l.Systems[i]
		}
	}
	return nil
}

// Outlet finds an outlet. Nil where there is none.
func (l *Layout) Outlet(name shop.ID) *OutletLayout {
	for i := range l.Outlets {
		if l.Outlets[i].Name == name {
			return &l.Outlets[i]
		}
	}
	return nil
}

// Named finds a gate, tap, separator or split of a system by its name; with an empty system, of any. Nil if none.
func (l *Layout) Named(what shop.What, system, name shop.ID) *PieceLayout {
	for i := range l.Pieces {
		if p := &l.Pieces[i]; p.What == what && p.Name == name && (system == "" || p.System == system) {
			return p
		}
	}
	return nil
}
