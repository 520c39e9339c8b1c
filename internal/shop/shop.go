// Package shop is the owner's shop as plain data, in the owner's order and words, and the language in which
// everything speaks of it: paths, edits, findings.
//
// It refuses to know text (shop/file reads and writes that), typical values (shop/typical fills gaps), lines on
// the floor (shop/plan) and every study. Start reading at Shop, then Piece, then Finding.
//
// # Tags
//
// The `key` tags are the grammar of the shop file; shop/file decodes by them, and the schema, the completion and
// the table of keys in the docs are made from them.
//
//	key:"air goes"          the key in the file
//	key:"*"                 on a Name field: this struct is an item of a map of names, and this is its name
//	key:"ports,one=port"    a map of names, or under the singular key one item without a name
//	key:"-"                 not in the file
//	key:"~"                 takes every key the struct does not know, as a map of names
//	key:"="                 the struct is not a map: this field is the whole value behind the name
//	,count                  counts things: a bare number without a unit
//	,of=a|b|c               one of these words
//	,what                   exactly one key with this mark says what the piece, the edit or the reading is
//	,not=a|b                never together with these keys
//	,for=a|b                only for pieces of these kinds
//	,single                 a list of one may be written without brackets
//	,drawn                  may say `drawn`: measured on the plan
//	,def=machine            a name given here; unique among its kind
//	,ref=machine            a name given elsewhere: checked, and mended by a rename
//	,kind=machine           a kind from this list of typical values
//	,positive               above zero; without a mark a quantity may be zero, never less
//	,signed                 may be less than zero
//	,most=100 %             never more than this
//
// A `help` tag is one line for the docs and the editor. In the file everything may be left out or `unknown`
// (Basis Unsaid), and `none` where a Maybe or an Amount stands (Basis Absent).
package shop

import "winnow/internal/unit"

// ID is a name in the owner's own words, unique among its kind.
type ID = string

// Maybe is a block that may be given, unsaid (the typical one is taken) or known to be absent.
type Maybe[T any] struct {
	Value T
	Basis unit.Basis
}

// Is reports whether there is one, given or assumed.
func (m Maybe[T]) Is() bool { return m.Basis != unit.Unsaid && m.Basis != unit.Absent }

// Shop is the whole shop file. A nil or zero section was not written.
type Shop struct {
	Version      int           `key:"winnow,count" help:"version of the grammar, always 1; the only key that must be there"`
	Name         string        `key:"name" help:"what you call your shop"`
	Note         string        `key:"note" help:"shown on the page"`
	Units        string        `key:"units,of=us|si" help:"how results are printed"`
	Site         Site          `key:"site" help:"where the shop stands"`
	Room         Room          `key:"room" help:"the room, for the floor, for dust in the air and for reach"`
	Circuits     []Circuit     `key:"circuits" help:"breakers and the outlets on them"`
	OtherLoads   []Load        `key:"other loads" help:"whatever else draws current"`
	Machines     []Machine     `key:"machines" help:"whatever takes in air or makes dust"`
	Arrangements []Arrangement `key:"arrangements" help:"layouts by name; the first is today's"`
	Systems      []System      `key:"systems" help:"each collector, vacuum and extractor with its runs"`
	AirCleaners  []AirCleaner  `key:"air cleaners" help:"cleaners that treat the air of the room"`
	Control      Control       `key:"control" help:"how starting and stopping is done"`
	Sensors      []Sensor      `key:"sensors" help:"what is read, and on what"`
	Respirators  []Respirator  `key:"respirators" help:"masks you own"`
	Routine      Routine       `key:"routine" help:"a usual week"`
	Options      []Option      `key:"options" help:"changes you could buy, each a list of edits with a price"`
	Wishes       Wishes        `key:"wishes" help:"what to weigh when a next step is proposed"`
	Costs        Costs         `key:"costs" help:"what energy costs"`
	Stock        []StockItem   `key:"stock" help:"sizes that can be had, by kind of pipe or hose"`
	Spares       []Spare       `key:"spares" help:"spare parts at hand, by name"`
	Readings     []Reading     `key:"readings" help:"what was measured, one reading a line"`
}

// Point is [east, north] or [east, north, height above the floor] from the corner the owner calls zero.
type Point struct {
	East, North unit.Metre
	Height      unit.Amount[unit.Metre] // Unsaid where only two were written
	Basis       unit.Basis
}

// Footprint is a rectangle, width across the front first.
type Footprint struct {
	Width, Depth unit.Metre
	Basis        unit.Basis
}

// Site is what the place does to air and to the rules.
type Site struct {
	Altitude    unit.Amount[unit.Metre]    `key:"altitude,signed" help:"height above sea level"`
	Temperature unit.Amount[unit.Kelvin]   `key:"temperature,signed" help:"in the shop, over the year"`
	Humidity    unit.Amount[unit.Fraction] `key:"humidity,most=100 %" help:"relative humidity over the year"`
	Wiring      string                     `key:"wiring,of=us|iec" help:"family of wiring rules"`
	Limits      []string                   `key:"limits" help:"whose exposure limits to compare with"`
	Note        string                     `key:"note" help:"shown on the page"`
}

// Room is walls, doors and what stands in the way. Corners or footprint, never both.
type Room struct {
	Corners    []Point                  `key:"corners,not=footprint" help:"the corners in order, any polygon"`
	Footprint  Footprint                `key:"footprint" help:"a rectangular room, instead of corners"`
	Height     unit.Amount[unit.Metre]  `key:"height,positive" help:"floor to ceiling"`
	AirChanges unit.Amount[unit.PerSec] `key:"air changes" help:"with the doors shut, per hour"`
	Doors      []Door                   `key:"doors" help:"doors by name"`
	Obstacles  []Obstacle               `key:"obstacles" help:"what stands in the way, by name"`
	Flames     Maybe[[]Flame]           `key:"flames" help:"open flames and burners in the room; none if there are none"`
	Walkways   []Walkway                `key:"walkways" help:"where feet go"`
	Note       string                   `key:"note" help:"shown on the page"`
}

// Door goes from its hinge side to the other.
type Door struct {
	Name  ID     `key:"*"`
	From  Point  `key:"from" help:"hinge side"`
	To    Point  `key:"to" help:"the other side"`
	Opens string `key:"opens,of=in|out|up|slides" help:"which way it opens"`
	Note  string `key:"note" help:"shown on the page"`
}

// Obstacle is anything a pipe, hose or machine has to go round.
type Obstacle struct {
	Name      ID                       `key:"*"`
	At        Point                    `key:"at" help:"its middle"`
	Facing    unit.Amount[unit.Radian] `key:"facing,signed" help:"0° is front to the north, clockwise"`
	Footprint Footprint                `key:"footprint" help:"width x depth"`
	Corners   []Point                  `key:"corners,not=footprint|at" help:"its corners, instead of at and footprint"`
	Height    unit.Amount[unit.Metre]  `key:"height,positive" help:"how tall it is"`
	Note      string                   `key:"note" help:"shown on the page"`
}

// Flame is a burner whose draught a fan could upset.
type Flame struct {
	Name    ID     `key:"*"`
	At      Point  `key:"at" help:"where it is: [east, north] or [east, north, height]"`
	Draught string `key:"draught,of=natural|forced|sealed" help:"how its flue draws"`
	Note    string `key:"note" help:"shown on the page"`
}

// Walkway is an area that feet need.
type Walkway struct {
	Name    ID      `key:"*"`
	Corners []Point `key:"corners" help:"its corners in order"`
	Note    string  `key:"note" help:"shown on the page"`
}

// Circuit is one breaker and what hangs on it.
type Circuit struct {
	Name       ID                       `key:"*,def=circuit"`
	Breaker    unit.Amount[unit.Ampere] `key:"breaker,positive" help:"its rating"`
	Voltage    unit.Amount[unit.Volt]   `key:"voltage,positive" help:"of the circuit"`
	Wire       unit.Amount[unit.Wire]   `key:"wire,positive" help:"size of the conductors: 12 AWG, 2.5 mm²"`
	Length     unit.Amount[unit.Metre]  `key:"length,positive" help:"panel to the farthest outlet"`
	Curve      string                   `key:"curve,of=B|C|D|K" help:"letter of an IEC breaker"`
	Protection []string                 `key:"protection" help:"gfci, afci, rcd"`
	Outlets    []Outlet                 `key:"outlets" help:"its outlets by name"`
	Note       string                   `key:"note" help:"shown on the page"`
}

// Outlet belongs to the circuit it is written in.
type Outlet struct {
	Name ID     `key:"*,def=outlet"`
	At   Point  `key:"at" help:"where it is: [east, north] or [east, north, height]"`
	Note string `key:"note" help:"shown on the page"`
}

// Load draws current and makes no dust.
type Load struct {
	Name    ID                       `key:"*"`
	Circuit ID                       `key:"circuit,ref=circuit,not=outlet" help:"the circuit it is wired to"`
	Outlet  ID                       `key:"outlet,ref=outlet" help:"or the outlet it is plugged into"`
	Power   unit.Amount[unit.Watt]   `key:"power" help:"what it draws"`
	Current unit.Amount[unit.Ampere] `key:"current" help:"or the current it draws"`
	Start   unit.Amount[unit.Ampere] `key:"start" help:"current for the moment it starts"`
	Works   string                   `key:"works,of=always|with machines|by hand|by itself" help:"when it draws current"`
	Note    string                   `key:"note" help:"shown on the page"`
}
