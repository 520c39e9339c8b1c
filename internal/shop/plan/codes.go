package plan

import "winnow/internal/shop"

// The findings of this package.
var (
	NoSuchArrangement = &shop.Code{
		Name: "no-such-arrangement", Severity: shop.WatchOut,
		Sentence: "There is no arrangement called {arrangement}; the shop is laid out as it usually stands.",
		Help:     "Name one of the arrangements in the file, or add it there.",
	}
	NoSuchPlace = &shop.Code{
		Name: "no-such-place", Severity: shop.WatchOut,
		Sentence: "{machine} has no place called {place}; it is left at its first one.",
		Help:     "An arrangement may name a place of the machine, or away.",
	}
	RoomCrossesItself = &shop.Code{
		Name: "room-crosses-itself", Severity: shop.Problem,
		Sentence: "The walls of the room cross each other, so it has no area.",
		Help:     "Write the corners in order, once round the room. Two corners were probably swapped.",
	}
	DoorOffWall = &shop.Code{
		Name: "door-off-wall", Severity: shop.WatchOut,
		Sentence: "The door {door} is {gap} away from the nearest wall.",
		Help:     "Both ends of a door lie on the line of one wall.",
	}
	DoorBlocked = &shop.Code{
		Name: "door-blocked", Severity: shop.WatchOut,
		Sentence: "{thing} stands where the door {door} swings.",
		Help:     "Move it, or hang the door to open the other way.",
	}
	OutsideRoom = &shop.Code{
		Name: "outside-room", Severity: shop.WatchOut,
		Sentence: "{thing} reaches {by} beyond the walls.",
		Help:     "Move it in, turn it, or correct the corners of the room.",
	}
	StandInEachOther = &shop.Code{
		Name: "stand-in-each-other", Severity: shop.WatchOut,
		Sentence: "{thing} and {other} stand {by} into each other.",
		Help:     "Move one of them, or correct a footprint. What stands on a bench is not meant: put its middle on the bench.",
	}
	FeedBlocked = &shop.Code{
		Name: "feed-blocked", Severity: shop.Note,
		Sentence: "The {feed} that {machine} asks for, {length}, is not free: {thing} is in it.",
		Help:     "Long boards need the way in and out. A machine on wheels, or a table of the same height, may be meant to stand there.",
	}
	LengthUnclear = &shop.Code{
		Name: "length-unclear", Severity: shop.Problem,
		Sentence: "{piece} is to be measured on the plan, but between {from} and {to} more than its length is open: give {fitting} its at, or write the length.",
		Help:     "One drawn pipe can be measured between two points. A hose, or a bend without a point, leaves its length open.",
	}
	LengthNoPoint = &shop.Code{
		Name: "length-no-point", Severity: shop.Problem,
		Sentence: "{piece} is to be measured on the plan, but {end} has no place there: give {owner} its at, or write the length.",
		Help:     "A drawn length runs from the point before it to the point behind it. A machine's port, a wye and the inlet have one as soon as what they belong to has.",
	}
	NothingLeft = &shop.Code{
		Name: "nothing-left", Severity: shop.Problem,
		Sentence: "{piece} is to be measured on the plan, but from {from} to {to} it is {straight}, and the pieces between already take {written}.",
		Help:     "Correct a point or one of the written lengths.",
	}
	TurnUnclear = &shop.Code{
		Name: "turn-unclear", Severity: shop.Problem,
		Sentence: "The angle of {piece} is to be measured on the plan, but the plan does not show how the pipe runs {which} it: give {piece} and its neighbours their at, or write the angle.",
		Help:     "The angle follows from three points: the one before, its own, and the one behind.",
	}
	LengthDiffers = &shop.Code{
		Name: "length-differs", Severity: shop.WatchOut,
		Sentence: "{piece} is written as {written}, and on the plan it is {drawn}. The written length counts.",
		Help:     "One of the two is out of date. Write drawn to follow the plan.",
	}
	StretchDiffers = &shop.Code{
		Name: "stretch-differs", Severity: shop.WatchOut,
		Sentence: "From {from} to {to} the pieces are written as {written} together, and on the plan it is {drawn}. The written lengths count.",
		Help:     "One of the two is out of date. Write drawn for one of the pipes to follow the plan.",
	}
	TurnDiffers = &shop.Code{
		Name: "turn-differs", Severity: shop.WatchOut,
		Sentence: "{piece} is written as {written}, and on the plan it turns by {drawn}. The written angle counts.",
		Help:     "One of the two is out of date. Write drawn to follow the plan.",
	}
	GoesDiffers = &shop.Code{
		Name: "goes-differs", Severity: shop.WatchOut,
		Sentence: "{piece} is written as going {written}, and on the plan it {drawn}. The written word counts.",
		Help:     "Correct goes, or the height of one of the points.",
	}
	PipeMissing = &shop.Code{
		Name: "pipe-missing", Severity: shop.WatchOut,
		Sentence: "There are {distance} between {from} and {to} on the plan, and no pipe or hose is written there.",
		Help:     "Put {pipe: drawn} between the two. Fittings may touch; two feet of nothing are a forgotten pipe.",
	}
	HoseTooShort = &shop.Code{
		Name: "hose-too-short", Severity: shop.WatchOut,
		Sentence: "The hose {run} does not reach {machine}: it is {hose} long and the straight way is {straight}, {lack} more.",
		Help:     "A longer hose costs pull. Moving the machine, or the end of the hose, costs nothing.",
	}
	PieceTooShort = &shop.Code{
		Name: "piece-too-short", Severity: shop.WatchOut,
		Sentence: "From {from} to {to} the straight way is {straight}, and hose and pipe there are only {hose} long.",
		Help:     "Correct the length of the hose, or the place of one of its ends.",
	}
	CordTooShort = &shop.Code{
		Name: "cord-too-short", Severity: shop.WatchOut,
		Sentence: "The cord of {thing} does not reach {outlet}: it is {cord} long and the straight way is {straight}.",
		Help:     "Move it, plug it in elsewhere, or use an extension with wire to match. Ask what the wire allows first.",
	}
	AcrossWalkway = &shop.Code{
		Name: "across-walkway", Severity: shop.WatchOut,
		Sentence: "{thing} lies across {walkway}: somebody will trip.",
		Help:     "Lead it round or over, or bridge it. A hose hung from a boom or ceiling hook clears the way.",
	}
	ThroughObstacle = &shop.Code{
		Name: "through-obstacle", Severity: shop.WatchOut,
		Sentence: "{thing} runs through {obstacle}.",
		Help:     "Give it a way round, or over: correct the points or their heights.",
	}
	ThroughWall = &shop.Code{
		Name: "through-wall", Severity: shop.Note,
		Sentence: "{thing} goes through {wall}.",
		Help:     "Right if there is a hole for it. Else correct the points, or the corners of the room.",
	}
	AboveCeiling = &shop.Code{
		Name: "above-ceiling", Severity: shop.Note,
		Sentence: "{piece} lies {by} above the ceiling.",
		Help:     "Right if it runs in the attic. Else correct its height, or that of the room.",
	}
)

// Codes are all findings this package can make.
func Codes() []*shop.Code {
	return []*shop.Code{
		NoSuchArrangement, NoSuchPlace, RoomCrossesItself, DoorOffWall, DoorBlocked, OutsideRoom, StandInEachOther,
		FeedBlocked, LengthUnclear, LengthNoPoint, NothingLeft, TurnUnclear, LengthDiffers, StretchDiffers, TurnDiffers,
		GoesDiffers, PipeMissing, HoseTooShort, PieceTooShort, CordTooShort, AcrossWalkway, ThroughObstacle, ThroughWall,
		AboveCeiling,
	}
}
