package shop

import "winnow/internal/unit"

// Control is how starting and stopping is done.
type Control struct {
	Practice        string                   `key:"practice,of=isolate|balance" help:"isolate: only what runs is open; balance: all stay open, gates only trim"`
	SlowSet         string                   `key:"slow set,of=bleed gate|refuse|warn" help:"when a set of open gates is too slow or too weak"`
	BleedGate       ID                       `key:"bleed gate,ref=gate" help:"the gate opened to keep a pipe fast enough"`
	WouldTrip       string                   `key:"would trip,of=refuse|warn" help:"when a start would trip a breaker"`
	AlarmAfter      unit.Amount[unit.Second] `key:"alarm after" help:"a machine runs and extraction is not proved"`
	LostSensorHolds unit.Amount[unit.Second] `key:"lost sensor holds" help:"how long the last reading of a lost sensor is believed"`
	StaleAfter      unit.Amount[unit.Second] `key:"stale after" help:"a reading older than this is no signal"`
	Quiet           Maybe[unit.Hours]        `key:"quiet" help:"hours of quiet: 9 pm to 7 am"`
	Note            string                   `key:"note" help:"shown on the page"`
}

// Sensor reads one thing.
type Sensor struct {
	Name      ID     `key:"*,def=sensor"`
	Reads     string `key:"reads,of=current|suction|filter pressure|particles|bin level|temperature|position" help:"what it reads"`
	Machine   ID     `key:"machine,ref=machine" help:"the machine it watches"`
	Outlet    ID     `key:"outlet,ref=outlet" help:"the outlet it sits at: whatever is plugged in"`
	System    ID     `key:"system,ref=system" help:"the system it watches"`
	Tap       ID     `key:"tap,ref=tap" help:"the tap it is joined to"`
	Separator ID     `key:"separator,ref=separator" help:"the separator it watches"`
	Gate      ID     `key:"gate,ref=gate" help:"the gate whose position it reads"`
	At        Point  `key:"at" help:"where it is: [east, north] or [east, north, height]"`
	StartsAt  Level  `key:"starts at" help:"counts as running from here on"`
	StopsAt   Level  `key:"stops at" help:"counts as stopped below this"`
	Device    string `key:"device" help:"its name on MQTT"`
	Note      string `key:"note" help:"shown on the page"`
}

// Level is a threshold in whatever the sensor reads: one of the two is given.
type Level struct {
	Current  unit.Amount[unit.Ampere]
	Pressure unit.Amount[unit.Pascal]
}

// Respirator is a mask.
type Respirator struct {
	Name      ID        `key:"*,def=respirator"`
	Type      string    `key:"type,of=filtering|half mask|full face|powered" help:"what it is"`
	Filter    string    `key:"filter" help:"P100, N95, FFP2, ..."`
	FitTested unit.Date `key:"fit tested" help:"the day its fit was tested; without a test its protection factor does not count"`
	Note      string    `key:"note" help:"shown on the page"`
}

// Routine is a usual week.
type Routine struct {
	People       int     `key:"people,count" help:"how many work there"`
	Wood         string  `key:"wood" help:"softwood, hardwood, mdf, cedar, ..."`
	HoursPerWeek []Hours `key:"hours per week" help:"MACHINE: hours"`
	Together     [][]ID  `key:"together,ref=machine" help:"machines allowed to run at once; each alone is always studied"`
	Note         string  `key:"note" help:"shown on the page"`
}

// Hours is how long one machine runs a week. Sweeping and sanding by hand are machines too.
type Hours struct {
	Of   ID                       `key:"*,ref=machine"`
	Time unit.Amount[unit.Second] `key:"=" help:"hours a week"`
}

// Option is a change with a price: a list of edits of this file.
type Option struct {
	Name     ID                   `key:"*,def=option"`
	Price    unit.Money           `key:"price" help:"what it costs: 95 USD, 60 to 110 USD"`
	Floor    unit.Amount[unit.M2] `key:"floor" help:"extra floor it takes"`
	OnlyWith []ID                 `key:"only with,ref=option" help:"options it cannot do without"`
	NotWith  []ID                 `key:"not with,ref=option" help:"options it rules out"`
	Change   []Edit               `key:"change" help:"its edits of this file"`
	Note     string               `key:"note" help:"shown on the page"`
}

// Wishes are what to weigh.
type Wishes struct {
	Budget      Budget               `key:"budget" help:"300 USD per month, or 900 USD"`
	FloorAtMost unit.Amount[unit.M2] `key:"floor at most" help:"floor you can spare"`
	First       string               `key:"first,of=airflow|breathing|money|floor" help:"what matters most"`
}

// Budget is a sum, or so much every so often: one of the two is given.
type Budget struct {
	Sum  unit.Money
	Each unit.MoneyPer[unit.Second]
}

// Costs are the owner's prices of energy.
type Costs struct {
	Electricity unit.MoneyPer[unit.Joule] `key:"electricity" help:"0.17 USD/kWh"`
	Heating     unit.MoneyPer[unit.Joule] `key:"heating" help:"0.05 USD/kWh"`
}

// StockItem is the sizes that can be had of one kind.
type StockItem struct {
	Kind  ID                        `key:"*,kind=duct"`
	Sizes []unit.Amount[unit.Metre] `key:"=,positive" help:"the sizes that can be had"`
}

// Spare is a part at hand.
type Spare struct {
	Name  ID  `key:"*"`
	Count int `key:"=,count" help:"how many are at hand"`
}

// Reading is one measurement: exactly one of the quantities.
type Reading struct {
	Date           unit.Date                  `key:"date" help:"2026-10-03"`
	Running        []ID                       `key:"running,ref=machine" help:"machines that ran; [] for none"`
	Velocity       unit.Amount[unit.MPerSec]  `key:"velocity,what" help:"air speed in the pipe"`
	Flow           unit.Amount[unit.M3PerSec] `key:"flow,what" help:"airflow"`
	Suction        unit.Amount[unit.Pascal]   `key:"suction,what" help:"pull against the room"`
	FilterPressure unit.Amount[unit.Pascal]   `key:"filter pressure,what" help:"across the filter"`
	Current        unit.Amount[unit.Ampere]   `key:"current,what" help:"amps the motor draws"`
	Decay          unit.Amount[unit.PerSec]   `key:"decay,what" help:"how fast the dust in the room goes, per hour"`
	Where          string                     `key:"where,ref=spot" help:"a machine or its port, tap NAME, a system, room"`
	Filter         string                     `key:"filter,of=clean|dirty" help:"as it was then"`
	Inlet          string                     `key:"inlet,of=open|blocked" help:"blocked: for the pull with the inlet blocked"`
	Note           string                     `key:"note" help:"shown on the page"`
}
