package power

import "winnow/internal/shop"

// Codes of findings. A place in braces is filled by the argument of that name.
var (
	CodeTrips = &shop.Code{
		Name: "circuit-trips", Severity: shop.Problem,
		Sentence: "Circuit {circuit} ({rating}) trips with {sets}: {cut} at a typical cut, {full} at full plate, {when}; chance {chance}.",
		Help:     "Plug one of the loads in on another circuit, or run them one after the other. Never a bigger breaker on the same wire.",
	}
	CodeTripsAssumed = &shop.Code{
		Name: "circuit-trips-if", Severity: shop.WatchOut,
		Sentence: "If circuit {circuit} has a breaker of {rating} (assumed), it trips with {sets}: {cut} at a typical cut, {full} at full plate, {when}; chance {chance}.",
		Help:     "Read the rating off the breaker's handle and write it in the file.",
	}
	CodeMayTrip = &shop.Code{
		Name: "circuit-may-trip", Severity: shop.WatchOut,
		Sentence: "Circuit {circuit} ({rating}) may trip with {sets}: {cut} at a typical cut, {full} at full plate, {when}; chance {chance} in usual work.",
		Help:     "Good breakers of one rating differ: some hold this, some open. If yours has held it so far, it is likely to go on. Keep full-depth cuts short, or plug one of the loads in on another circuit.",
	}
	CodeStartTrips = &shop.Code{
		Name: "start-trips", Severity: shop.Problem,
		Sentence: "The start of the {starter} opens circuit {circuit} ({rating}) with {sets}: {start} for about {lasts}{once}; chance {chance}.",
		Help:     "Start the biggest motor first, alone, and the others two seconds and more after it.",
	}
	CodeStartMayTrip = &shop.Code{
		Name: "start-may-trip", Severity: shop.WatchOut,
		Sentence: "The start of the {starter} may open circuit {circuit} ({rating}) with {sets}: {start} for about {lasts}{once}; chance {chance}.",
		Help:     "Start the biggest motor first, alone, and the others two seconds and more after it.",
	}
	CodeNotJudged = &shop.Code{
		Name: "circuit-not-known", Severity: shop.WatchOut,
		Sentence: "Whether circuit {circuit} holds with {sets} is not known: {missing} must be said first. Not known is no kind of holding.",
		Help:     "Read the plate of the motor or the handle of the breaker, and write it in the file.",
	}
	CodeNoOutlet = &shop.Code{
		Name: "no-outlet-said", Severity: shop.Note,
		Sentence: "Nobody said where the {load} is plugged in, so no circuit is judged with it.",
		Help:     "Write its plug: `plug: {outlet: NAME}`. The outlet chart below says where it would hold.",
	}
	CodeNoCircuits = &shop.Code{
		Name: "no-circuits", Severity: shop.Note,
		Sentence: "The file names no circuits, so nothing can be said about breakers.",
		Help:     "Two questions are enough: the number on the breaker's handle, and which outlets go dark when you switch it off.",
	}
	CodeBreakerOverWire = &shop.Code{
		Name: "breaker-over-wire", Severity: shop.Problem,
		Sentence: "Circuit {circuit}: a breaker of {breaker} does not protect {wire} copper, which allows {allows} at most. The wire can overheat without a trip.",
		Help:     "Ask a licensed electrician before using it again.",
	}
	CodeWireDepends = &shop.Code{
		Name: "wire-depends", Severity: shop.WatchOut,
		Sentence: "Circuit {circuit}: whether {wire} is enough for a breaker of {breaker} depends on how it is laid, or on its being a ring.",
		Help:     "Ask an electrician, or find out whether it is a ring and whether the cable lies inside insulation.",
	}
	CodeReadPlate = &shop.Code{
		Name: "read-the-plate", Severity: shop.Note,
		Sentence: "No amps are given for the {load}. {said} {has}, on circuit {circuit} more than the {most} the rules allow; its plate may well say less.",
		Help:     "Read the amps on the plate and write them in the file: for a tool with a cord they count, not the table.",
	}
	CodeOverRating = &shop.Code{
		Name: "load-over-circuit", Severity: shop.Problem,
		Sentence: "The {load} {said} {has}, more than its circuit {circuit} of {rating}.",
		Help:     "It needs a bigger circuit of its own, or a plate for twice the voltage: a question for an electrician.",
	}
	CodePlugOverEighty = &shop.Code{
		Name: "plug-over-eighty", Severity: shop.Note,
		Sentence: "The {load} {said} {has}; on circuit {circuit} with more than one outlet the rules allow one plugged load {most}. Whether the breaker holds is another question.",
		Help:     "A circuit with a single outlet for it may be loaded to its rating.",
	}
	CodeContinuous = &shop.Code{
		Name: "continuous-over-eighty", Severity: shop.WatchOut,
		Sentence: "What can run for three hours on circuit {circuit} ({load}) adds up to {has}; the rules allow {most}, 80 % of the breaker.",
		Help:     "A breaker in a warm panel may open under its rating after hours. Move one of them.",
	}
	CodeTotal = &shop.Code{
		Name: "circuit-over-loaded", Severity: shop.WatchOut,
		Sentence: "What may run at once on circuit {circuit} ({load}) adds up to {has} by the plates{said}; the rules allow {most}. Whether the breaker holds is another question.",
		Help:     "Move one of them to another circuit, or do not run them together.",
	}
	CodeFastened = &shop.Code{
		Name: "fastened-over-half", Severity: shop.WatchOut,
		Sentence: "What is wired to circuit {circuit}, which feeds outlets too ({load}), adds up to {has}; the rules allow half of it, {most}.",
		Help:     "A question for an electrician.",
	}
	CodeVoltage = &shop.Code{
		Name: "voltage-differs", Severity: shop.Problem,
		Sentence: "The {load} is made for {plate} and plugged into circuit {circuit} of {supply}.",
		Help:     "Check the plate and the outlet before switching it on.",
	}
	CodeLongWay = &shop.Code{
		Name: "long-way", Severity: shop.WatchOut,
		Sentence: "Wire and cords take {lost} of the voltage on the way to the {load} ({left} left of {supply}); the advice is 5 % at most.",
		Help:     "A shorter or thicker extension, or a nearer outlet. A motor short of volts runs hot and starts slowly.",
	}
	CodeWeakStart = &shop.Code{
		Name: "weak-start", Severity: shop.Note,
		Sentence: "At its start the {load} finds {left} of {supply} and has {torque} of its pull: it starts slowly and draws its start current for longer.",
		Help:     "Plug it in nearer the panel, or without the extension.",
	}
	CodeThinExtension = &shop.Code{
		Name: "thin-extension", Severity: shop.Problem,
		Sentence: "The extension cord of the {load} ({wire}) is good for {allows}; the {load} {said} {has}.",
		Help:     "Take a thicker cord, or none.",
	}
	CodePlugFuse = &shop.Code{
		Name: "plug-fuse", Severity: shop.Problem,
		Sentence: "The {load} {said} {has}; a fused plug lets {allows} through.",
		Help:     "It needs an industrial plug and outlet: a question for an electrician.",
	}
	CodeResistiveSwitch = &shop.Code{
		Name: "switch-for-motors", Severity: shop.WatchOut,
		Sentence: "Switch {device} starts the motor of the {load} ({start}). It must be rated for motors, or be a contactor: a switch rated for heaters only welds shut.",
		Help:     "Read the switch's rating in hp or kW, not in amps alone. A welded switch cannot stop the motor.",
	}
	CodePeak = &shop.Code{
		Name: "peak-horsepower", Severity: shop.Note,
		Sentence: "{power} at {supply} would draw {current} even without any loss, more than circuit {circuit} ({rating}) can give. The {load} cannot run at that; the figure is a peak and is not used.",
		Help:     "Write the amps of its plate instead.",
	}
	CodeSelfStarter = &shop.Code{
		Name: "shares-with-self-starter", Severity: shop.Note,
		Sentence: "The {load} starts by itself and shares circuit {circuit}, which {word}: it would then stand without power until someone looks.",
		Help:     "Give it a circuit that nothing in the shop can trip.",
	}
	CodeGuard = &shop.Code{
		Name: "cannot-be-computed", Severity: shop.Note,
		Sentence: "Circuit {circuit} has {guard}: whether that opens cannot be computed.",
		Help:     "Motors and long cords can open one without any overload. If it happens, note which machine started.",
	}
	CodeAskGuard = &shop.Code{
		Name: "guard-not-said", Severity: shop.Note,
		Sentence: "Nobody said whether the outlets of {circuits} have {guard}, which opens before a fault to earth kills. Rules for shops of this kind ask for one: ask an electrician.",
		Help:     "It has a test button, at the panel or on the outlet. Where it is there, write it: `protection`.",
	}
	CodeStarts = &shop.Code{
		Name: "starts-too-often", Severity: shop.Note,
		Sentence: "Switched with every cut, the motor of the {load} could start {could} times an hour; it is good for {may}. Left running {keeps} after each cut it stays within that.",
		Help:     "Or start it once for a whole job.",
	}
	CodeThrown = &shop.Code{
		Name: "heat-thrown-out", Severity: shop.Note,
		Sentence: "The {load} blows {flow} outdoors: {heat} of heat at {difference} between inside and outside{cost}.",
		Help:     "Sensible heat only, at the airflow named. Made-up air has to come in somewhere.",
	}
	CodeFlame = &shop.Code{
		Name: "flame-before-outdoors", Severity: shop.WatchOut,
		Sentence: "The {load} blows air outdoors, and {flame}. Pulled backwards, a flue fills the room with carbon monoxide.",
		Help:     "Do not run it so before the make-up air is settled: an opening big enough, or a sealed burner.",
	}
	CodeCannot = &shop.Code{
		Name: "no-plan-of-plugs-holds", Severity: shop.WatchOut,
		Sentence: "However the plugs are arranged, some circuit trips with {loads} running as the routine allows{smallest}.",
		Help:     "Run less at once, or ask an electrician about one more circuit.",
	}
	CodePlan = &shop.Code{
		Name: "plan-of-plugs", Severity: shop.Note,
		Sentence: "With {moves} moved, every circuit {holds} in every set the routine allows: {plan}.{but}",
		Help:     "The outlet chart shows the whole plan.",
	}
	CodeNotDecided = &shop.Code{
		Name: "plan-not-decided", Severity: shop.Note,
		Sentence: "Whether any plan of plugs holds was not decided within the search's limit; the best found leaves {left} of {of} sets that trip.",
		Help:     "Fewer sets in the routine, or fewer loads with `works: by hand`, make the question smaller.",
	}
)

// Codes of remedies.
var (
	ActMove = &shop.Code{
		Name: "move-plug", Sentence: "Plug the {load} into {outlet} (circuit {to}): with {set}, circuit {from} then carries {after} at a typical cut instead of {before} and {fromword}; circuit {to} carries {there} and {toword}{self}{reach}{weak}{breaks}.",
		Help: "Free.",
	}
	ActShift = &shop.Code{
		Name: "move-the-risk", Sentence: "Plugging the {load} into {outlet} only moves the risk: with {set}, circuit {from} then carries {after} at a typical cut instead of {before} and {fromword}, but circuit {to}, which is better today, carries {there} and {toword}{self}{reach}{weak}{breaks}.",
		Help: "No cure: it chooses which circuit is at risk.",
	}
	ActPlan = &shop.Code{
		Name: "move-plugs", Sentence: "Move these plugs: {plan}. Then {left} of {of} allowed sets trip a breaker, instead of {before}{breaks}.",
		Help: "Free.",
	}
	ActApart = &shop.Code{
		Name: "not-together", Sentence: "Run {machines} one after the other: circuit {circuit} then carries {after} at a typical cut instead of {before}, and {word}.",
		Help: "Free. Takes the line out of what the routine allows.",
	}
	ActOrder = &shop.Code{
		Name: "start-in-order", Sentence: "Start the {starter} first, alone, and the rest two seconds and more after it.",
		Help: "Free. A start on top of other load is what opens the breaker.",
	}
	ActKeep = &shop.Code{
		Name: "start-once", Sentence: "Start the {starter} once and let it run through the job: one start instead of many.",
		Help: "Free. It costs a little electricity.",
	}
	ActSoft = &shop.Code{
		Name: "ask-about-start", Sentence: "Ask an electrician about the start of the {starter}: {start} at this breaker, even where it starts first. A soft starter or a circuit made for motors is for them to choose.",
		Help: "A question, not a design.",
	}
	ActDedicated = &shop.Code{
		Name: "ask-own-circuit", Sentence: "Ask an electrician about a circuit of its own for the {load}: {rating} would do by its plate of {has}.",
		Help: "A question, not a design.",
	}
	ActHigher = &shop.Code{
		Name: "ask-higher-voltage", Sentence: "If the plate of the {load} also names {volts}, ask an electrician about it: the same power at half the amps, {half}.",
		Help: "A question, not a design. Most motors of 1 hp and more can be joined either way; many tools cannot.",
	}
)

// AllCodes lists every code of findings, for the docs and the test that each can be met.
func AllCodes() []*shop.Code {
	return []*shop.Code{
		CodeTrips, CodeTripsAssumed, CodeMayTrip, CodeStartTrips, CodeStartMayTrip, CodeReadPlate, CodeNotJudged, CodeNoOutlet, CodeNoCircuits, CodeBreakerOverWire, CodeWireDepends,
		CodeOverRating, CodePlugOverEighty, CodeContinuous, CodeTotal, CodeAskGuard, CodeFastened, CodeVoltage, CodeLongWay, CodeWeakStart, CodeThinExtension, CodePlugFuse,
		CodeResistiveSwitch, CodePeak, CodeSelfStarter, CodeGuard, CodeStarts, CodeThrown, CodeFlame, CodeCannot, CodePlan, CodeNotDecided,
	}
}

// AllActs lists every code of remedies.
func AllActs() []*shop.Code {
	return []*shop.Code{ActMove, ActShift, ActPlan, ActApart, ActOrder, ActKeep, ActSoft, ActDedicated, ActHigher}
}
