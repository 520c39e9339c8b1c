package shop

import "winnow/internal/unit"

// System is one extraction system: a network of its own. The run `main` ends at its inlet.
type System struct {
	Name      ID                        `key:"*,def=system"`
	Kind      string                    `key:"kind,of=collector|vacuum|extractor" help:"fixes the order of the parts: a collector has its fan before the filter, a vacuum and an extractor after"`
	Wheels    bool                      `key:"wheels" help:"true if it can be rolled"`
	At        Point                     `key:"at" help:"where it is: [east, north] or [east, north, height]"`
	Facing    unit.Amount[unit.Radian]  `key:"facing,signed" help:"0° is front to the north, clockwise"`
	Footprint Footprint                 `key:"footprint" help:"width x depth"`
	Height    unit.Amount[unit.Metre]   `key:"height,positive" help:"how tall it is"`
	Inlet     unit.Amount[unit.Metre]   `key:"inlet,positive" help:"trade size of its inlet; left out: that of the main"`
	Fan       Fan                       `key:"fan" help:"a curve, or a rating"`
	Motor     Maybe[Motor]              `key:"motor" help:"its plate"`
	Plug      Maybe[Plug]               `key:"plug" help:"where it is plugged in"`
	Filter    Maybe[Filter]             `key:"filter" help:"the filter in the system itself; none if it has none"`
	Bin       Maybe[Bin]                `key:"bin" help:"where what is caught falls"`
	Noise     unit.Amount[unit.Decibel] `key:"noise" help:"sound level beside it, in dBA"`
	AirGoes   string                    `key:"air goes,of=room|outdoors" help:"where the air goes after the fan"`
	Exhaust   []Piece                   `key:"exhaust" help:"pieces after the fan, in the direction of the air"`
	Device    string                    `key:"device" help:"name of its switch on MQTT; left out: by hand"`
	Starting  Starting                  `key:"starting" help:"how its motor may be treated"`
	Runs      []Run                     `key:"runs" help:"its runs; the one called main ends at the inlet"`
	Price     unit.Money                `key:"price" help:"what it costs: 95 USD, 60 to 110 USD"`
	Note      string                    `key:"note" help:"shown on the page"`
}

// Fan is a curve or a rating.
type Fan struct {
	Curve     []FanPoint              `key:"curve" help:"points [airflow, pressure], static"`
	Rating    Maybe[Rating]           `key:"rating" help:"what the box says"`
	Tested    string                  `key:"tested,of=bare|as sold" help:"bare fan, or with its own clean filter in place"`
	Wheel     unit.Amount[unit.Metre] `key:"wheel,positive" help:"diameter of the wheel"`
	Outlet    unit.Amount[unit.Metre] `key:"outlet,positive" help:"trade size of the fan's outlet"`
	Installed unit.Date               `key:"installed" help:"readings before it do not judge it"`
	Note      string                  `key:"note" help:"shown on the page"`
}

// FanPoint is one point of a fan curve.
type FanPoint struct {
	Flow     unit.M3PerSec
	Pressure unit.Pascal
}

// Rating is the two ends of a fan curve, as sold.
type Rating struct {
	FreeAir unit.Amount[unit.M3PerSec] `key:"free air,positive" help:"airflow with nothing connected"`
	ShutOff unit.Amount[unit.Pascal]   `key:"shut-off,positive" help:"pull with the inlet blocked"`
}

// Filter is the one in the system itself.
type Filter struct {
	Kind          string                   `key:"kind,kind=filter" help:"bag, cartridge, ... (winnow kinds)"`
	Area          unit.Amount[unit.M2]     `key:"area,positive" help:"of its cloth or paper, unfolded"`
	Grade         string                   `key:"grade" help:"what it claims: 1 µm claimed, MERV 13, HEPA H13, M"`
	SinceCleaning unit.Amount[unit.Second] `key:"since cleaning" help:"running hours since it was last cleaned"`
	SinceChange   unit.Amount[unit.Second] `key:"since change" help:"running hours since it was new"`
	CleanEvery    unit.Amount[unit.Second] `key:"clean every" help:"running hours after which you clean it"`
	Loss          unit.LossAt              `key:"loss" help:"pressure at flow, clean"`
	Installed     unit.Date                `key:"installed" help:"readings before it do not judge it"`
	Price         unit.Money               `key:"price" help:"what it costs: 95 USD, 60 to 110 USD"`
	Note          string                   `key:"note" help:"shown on the page"`
}

// Bin catches what is separated.
type Bin struct {
	Volume unit.Amount[unit.M3] `key:"volume,positive" help:"what it holds"`
	Note   string               `key:"note" help:"shown on the page"`
}

// Starting is how a motor may be treated.
type Starting struct {
	RunUp         unit.Amount[unit.Second] `key:"run-up" help:"from standing to full speed"`
	KeepsRunning  unit.Amount[unit.Second] `key:"keeps running" help:"after the machine stops"`
	CoastDown     unit.Amount[unit.Second] `key:"coast-down" help:"from full speed to standing"`
	RestAtLeast   unit.Amount[unit.Second] `key:"rest at least" help:"between a stop and the next start"`
	RunAtLeast    unit.Amount[unit.Second] `key:"run at least" help:"once it has started"`
	StartsPerHour int                      `key:"starts per hour,count" help:"more than that heats the motor"`
}

// Run is an ordered line of pieces in the direction of the air.
type Run struct {
	Name   ID                      `key:"*,def=run"`
	From   From                    `key:"from,ref=source" help:"MACHINE, MACHINE/PORT, [several: carried to the one that runs], cap, split NAME; left out: it starts with a wye"`
	Size   unit.Amount[unit.Metre] `key:"size,positive" help:"trade size of all its pieces, unless a piece says otherwise"`
	Kind   string                  `key:"kind,kind=duct" help:"kind of all its pieces, unless a piece says otherwise"`
	Pieces []Piece                 `key:"pieces" help:"in the direction of the air"`
	Note   string                  `key:"note" help:"shown on the page"`
}

// From is where a run's air comes from.
type From struct {
	Ports []PortRef // one: fixed; several: carried to the one that runs
	Cap   bool
	Split ID
	Basis unit.Basis // Unsaid: the run starts with a wye
}

// PortRef is MACHINE or MACHINE/PORT; Port is empty where the machine has one unnamed port.
type PortRef struct{ Machine, Port ID }

// What is the kind of a piece: its one telling key.
type What string

// The pieces a run is made of.
const (
	Pipe      What = "pipe"
	Hose      What = "hose"
	Elbow     What = "elbow"
	Reducer   What = "reducer"
	Gate      What = "gate"
	Wye       What = "wye"
	Separator What = "separator"
	Tap       What = "tap"
	Kink      What = "kink"
	Other     What = "other"
	Split     What = "split"
)

// Piece is one piece of a run. What says which of the telling fields counts.
type Piece struct {
	What What `key:"-"`

	Pipe      unit.Amount[unit.Metre]    `key:"pipe,what,drawn,positive" help:"straight pipe: its length, or drawn"`
	Hose      unit.Amount[unit.Metre]    `key:"hose,what,drawn,positive" help:"hose: its length, or drawn"`
	Elbow     unit.Amount[unit.Radian]   `key:"elbow,what,drawn,positive,most=180°" help:"its angle, or drawn"`
	Reducer   unit.Amount[unit.Metre]    `key:"reducer,what,positive" help:"the size from here on"`
	Gate      ID                         `key:"gate,what,def=gate" help:"its name"`
	Wye       []ID                       `key:"wye,what,single,ref=run" help:"the run coming in at its side; as the first piece: the runs it brings together"`
	Separator ID                         `key:"separator,what,def=separator" help:"its name"`
	Tap       ID                         `key:"tap,what,def=tap" help:"its name: a stopped small hole where suction is measured"`
	Kink      unit.Amount[unit.Fraction] `key:"kink,what,most=100 %" help:"the part still open"`
	Other     unit.LossAt                `key:"other,what" help:"anything else: pressure at flow"`
	Split     ID                         `key:"split,what,def=split" help:"its name: air leaves here into the run that says from: split NAME"`

	Size      unit.Amount[unit.Metre]    `key:"size,positive" help:"trade size, if not the run's"`
	Kind      string                     `key:"kind,kind=duct" help:"kind of pipe or hose, if not the run's"`
	Make      string                     `key:"make" help:"how the fitting is made: stamped, 5-piece, two-way split, baffle lid, ..."`
	At        Point                      `key:"at" help:"where it is"`
	Goes      string                     `key:"goes,of=up|down|level" help:"which way the air moves in it"`
	Radius    unit.Amount[unit.Number]   `key:"radius,positive,for=elbow|hose" help:"of an elbow's middle line, in diameters"`
	Angle     unit.Amount[unit.Radian]   `key:"angle,drawn,positive,most=180°,for=wye|reducer|split" help:"of a wye's side leg, or of a reducer's cone"`
	Stretch   unit.Amount[unit.Fraction] `key:"stretch,positive,most=100 %,for=hose" help:"how far the hose is pulled out"`
	Bends     unit.Amount[unit.Radian]   `key:"bends,for=hose" help:"all bends of the hose added up"`
	Leak      unit.Amount[unit.M2]       `key:"leak" help:"open area air leaks in by"`
	Installed unit.Date                  `key:"installed" help:"readings before it do not judge it"`
	Price     unit.Money                 `key:"price" help:"what it costs: 95 USD, 60 to 110 USD"`
	Note      string                     `key:"note" help:"shown on the page"`

	Idle        string                   `key:"idle,for=gate,of=open|shut" help:"a gate left open when nothing runs"`
	Device      string                   `key:"device,for=gate" help:"a gate's name on MQTT; left out: moved by hand"`
	Travel      unit.Amount[unit.Second] `key:"travel,for=gate" help:"time a gate takes to move"`
	EndSwitches string                   `key:"end switches,for=gate,of=open|shut|both|none" help:"which ends a gate reports"`

	Inlet unit.Amount[unit.Metre] `key:"inlet,positive,for=separator" help:"trade size of a separator's inlet"`
	Loss  unit.LossAt             `key:"loss,for=separator" help:"a separator's loss: pressure at flow"`
	Bin   Maybe[Bin]              `key:"bin,for=separator" help:"a separator's bin"`
}

// AirCleaner takes dust out of the air of the room.
type AirCleaner struct {
	Name         ID                         `key:"*,def=cleaner"`
	At           Point                      `key:"at" help:"where it is: [east, north] or [east, north, height]"`
	Footprint    Footprint                  `key:"footprint" help:"width x depth"`
	Flow         unit.Amount[unit.M3PerSec] `key:"flow,positive" help:"air it moves, all speeds"`
	Stages       []Filter                   `key:"stages" help:"its filters in the order the air meets them"`
	Plug         Maybe[Plug]                `key:"plug" help:"where it is plugged in"`
	Power        unit.Amount[unit.Watt]     `key:"power" help:"what it draws"`
	Works        string                     `key:"works,of=with machines|always|by hand" help:"when it runs"`
	KeepsRunning unit.Amount[unit.Second]   `key:"keeps running" help:"after the last machine stops"`
	Device       string                     `key:"device" help:"name of its switch on MQTT; left out: by hand"`
	Noise        unit.Amount[unit.Decibel]  `key:"noise" help:"sound level beside it, in dBA"`
	Price        unit.Money                 `key:"price" help:"what it costs: 95 USD, 60 to 110 USD"`
	Note         string                     `key:"note" help:"shown on the page"`
}
