package shop

import "winnow/internal/unit"

// Machine takes in air or makes dust; a floor sweep is one too.
type Machine struct {
	Name       ID                        `key:"*,def=machine"`
	Kind       string                    `key:"kind,kind=machine" help:"what it is; brings in typical values (winnow kinds)"`
	Wheels     bool                      `key:"wheels" help:"true if it can be rolled"`
	Places     []Place                   `key:"places,one=at" help:"where it may stand, by name; the first is where it stands today"`
	Facing     unit.Amount[unit.Radian]  `key:"facing,signed" help:"0° is front to the north, clockwise"`
	Footprint  Footprint                 `key:"footprint" help:"width x depth"`
	Motor      Maybe[Motor]              `key:"motor" help:"its plate"`
	Plug       Maybe[Plug]               `key:"plug" help:"where it is plugged in"`
	Ports      Maybe[[]Port]             `key:"ports,one=port" help:"where air is drawn from it; none if it has none"`
	Setups     []Setup                   `key:"setups" help:"ways it is used; the first is the usual one"`
	Makes      Makes                     `key:"makes" help:"what comes off it"`
	Infeed     unit.Amount[unit.Metre]   `key:"infeed" help:"free length before it"`
	Outfeed    unit.Amount[unit.Metre]   `key:"outfeed" help:"free length behind it"`
	AlsoOpens  []ID                      `key:"also opens,ref=gate" help:"gates opened with it besides those on its way"`
	AlsoStarts []ID                      `key:"also starts,ref=starter" help:"systems and air cleaners started with it besides its own"`
	Noise      unit.Amount[unit.Decibel] `key:"noise" help:"sound level beside it, in dBA"`
	Note       string                    `key:"note" help:"shown on the page"`
}

// Place is one spot a machine may stand.
type Place struct {
	Name   ID                       `key:"*,def=place"`
	At     Point                    `key:"at" help:"its middle"`
	Facing unit.Amount[unit.Radian] `key:"facing,signed" help:"0° is front to the north, clockwise"`
	Note   string                   `key:"note" help:"shown on the page"`
}

// Motor is what the plate says.
type Motor struct {
	Power   unit.Amount[unit.Watt]   `key:"power" help:"what the plate says"`
	Voltage unit.Amount[unit.Volt]   `key:"voltage,positive" help:"volts on the plate"`
	Current unit.Amount[unit.Ampere] `key:"current" help:"amps on the plate"`
	Phases  int                      `key:"phases,count" help:"1 or 3"`
	Code    string                   `key:"code" help:"starting code letter on the plate"`
	Note    string                   `key:"note" help:"shown on the page"`
}

// Plug joins a machine to an outlet.
type Plug struct {
	Outlet    ID                      `key:"outlet,ref=outlet" help:"where it is plugged in"`
	Cord      unit.Amount[unit.Metre] `key:"cord" help:"length of its own cord"`
	Extension Maybe[Extension]        `key:"extension" help:"an extension cord, if there is one"`
	Note      string                  `key:"note" help:"shown on the page"`
}

// Extension is a loose cord.
type Extension struct {
	Length unit.Amount[unit.Metre] `key:"length,positive" help:"of the extension"`
	Wire   unit.Amount[unit.Wire]  `key:"wire,positive" help:"12 AWG, 1.5 mm²"`
	Note   string                  `key:"note" help:"shown on the page"`
}

// Port is where air enters: pickup, shroud or hood.
type Port struct {
	Name    ID                       `key:"*,def=port"`
	Size    unit.Amount[unit.Metre]  `key:"size,positive" help:"trade size"`
	Needs   Needs                    `key:"needs" help:"airflow for chips, and for fine dust"`
	Blower  Maybe[Fan]               `key:"blower" help:"a fan inside the machine that pushes"`
	Opening unit.Amount[unit.M2]     `key:"opening,positive" help:"area of the slots air really enters by"`
	Entry   unit.Amount[unit.Number] `key:"entry" help:"its loss in velocity pressures at the port, the 1 that speeds the air up included"`
	Side    string                   `key:"side,of=front|back|left|right|top|bottom" help:"which side of the machine it is on"`
	Height  unit.Amount[unit.Metre]  `key:"height" help:"above the floor"`
	At      Point                    `key:"at" help:"where it is: [east, north] or [east, north, height]"`
	Price   unit.Money               `key:"price" help:"what it costs: 95 USD, 60 to 110 USD"`
	Note    string                   `key:"note" help:"shown on the page"`
}

// Needs are the two airflows, both judged.
type Needs struct {
	Chips unit.Amount[unit.M3PerSec] `key:"chips" help:"airflow at which chips leave"`
	Fine  unit.Amount[unit.M3PerSec] `key:"fine" help:"airflow at which fine dust is caught too"`
}

// Setup is one way of using a machine. Only what differs is written.
type Setup struct {
	Name    ID     `key:"*,def=setup"`
	Without []ID   `key:"without,ref=port" help:"ports that are off in this setup"`
	Makes   Makes  `key:"makes" help:"if this setup makes something else"`
	Needs   Needs  `key:"needs" help:"if this setup asks for other airflow"`
	Note    string `key:"note" help:"shown on the page"`
}

// Makes is what comes off: form and loose volume a working hour.
type Makes struct {
	Form string                     `key:"form,of=shavings|chips|sawdust|fine dust|mixed" help:"what it looks like"`
	Rate unit.Amount[unit.M3PerSec] `key:"rate" help:"loose volume an hour of work, e.g. 120 L/h"`
	Note string                     `key:"note" help:"shown on the page"`
}

// Arrangement is a layout: where each machine stands, and what else is in the room. Machines not named stay at their first place.
type Arrangement struct {
	Name      ID         `key:"*,def=arrangement"`
	Stand     []Standing `key:"~" help:"MACHINE: PLACE, or MACHINE: away"`
	AlsoThere []Obstacle `key:"also there" help:"what else stands in the room then"`
	Note      string     `key:"note" help:"shown on the page"`
}

// Standing puts one machine at one of its places, or away.
type Standing struct {
	Machine ID `key:"*,ref=machine"`
	Place   ID `key:"=,ref=place" help:"a place of that machine, or away"`
}
