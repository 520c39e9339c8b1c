package roomair

import "winnow/internal/shop"

// The findings of this package.
var (
	CodeUnknownGrade = &shop.Code{
		Name: "unknown-filter-grade", Severity: shop.WatchOut,
		Sentence: "{grade} is no filter grade known here: it is taken as an unknown cloth, which lets much of the finest dust through.",
		Help:     "Write MERV 13, ePM1 55 %, HEPA H13, class M, or a claim such as 1 µm claimed.",
	}
	CodeAirflowAssumed = &shop.Code{
		Name: "air-airflow-assumed", Severity: shop.Note,
		Sentence: "The airflow at the {machines} is not computed: it is taken as a little under what its chips need.",
		Help:     "Complete the run from the machine to the fan, so that its airflow can be computed.",
	}
	CodeNoPickup = &shop.Code{
		Name: "no-pickup", Severity: shop.WatchOut,
		Sentence: "Nothing catches the dust of the {machine}: all of it goes into the room. {usual}A flanged opening {at} from the work would need {needs}, at twice that distance {twice}; closed in so that only {open} stays open, {closed}.",
		Help:     "The airflow goes up nearly with the square of the distance, and down with what is closed in: bring the opening close, close in the rest, and join it to the collector.",
	}
	CodeShapeAssumed = &shop.Code{
		Name: "capture-shape-assumed", Severity: shop.Note,
		Sentence: "How much is caught with less air than the fine need is not published for any machine on a stand. For the {machines} a straight line is assumed; what escapes is known to a factor of three.",
		Help:     "Only for hand sanders has anyone published how the share caught grows with the airflow.",
	}
	CodeCleaningUpDominates = &shop.Code{
		Name: "cleaning-up-dominates", Severity: shop.WatchOut,
		Sentence: "Cleaning up gives about {share} of what you breathe in a day: sweeping, emptying, beating the filter.",
		Help:     "Sweep with the vacuum instead of the broom, empty the bin outdoors, and wear the mask for it.",
	}
	CodeReturns = &shop.Code{
		Name: "collector-returns-dust", Severity: shop.WatchOut,
		Sentence: "About {share} of the respirable dust you breathe comes back into the room out of the {system}.",
		Help:     "A finer filter helps; blowing outdoors ends it, if no flame in the room needs its flue.",
	}
	CodeShortWork = &shop.Code{
		Name: "cleaner-short-work", Severity: shop.Note,
		Sentence: "While you work at the {machine}, an air cleaner spares you only {ten} of the respirable dust in 10 min, {thirty} in 30 min and {long} in 3 h: catch it at the machine first. The cleaner protects the next person and the house.",
		Help:     "What you breathe beside the machine has not been through the room yet.",
	}
	CodeKeepsShort = &shop.Code{
		Name: "cleaner-stops-too-soon", Severity: shop.WatchOut,
		Sentence: "The {cleaner} stops {keeps} after the last machine; nine times in ten it takes {needs}, cleaning up included, until a tenth of the dust is left.",
		Help:     "Set its timer to the longer time.",
	}
	CodeByHand = &shop.Code{
		Name: "cleaner-by-hand", Severity: shop.Note,
		Sentence: "The {cleaner} is switched by hand, so it is not counted in the day: it helps only while it runs.",
		Help:     "Let it start with the machines and keep running afterwards.",
	}
	CodeAskFlame = &shop.Code{
		Name: "ask-flame", Severity: shop.WatchOut,
		Sentence: "Is there a flame in the room: water heater, furnace, stove? It must be known before any advice to blow air outdoors.",
		Help:     "Write it under `flames` in the room, with its draught, or `flames: none`.",
	}
	CodeDraught = &shop.Code{
		Name: "flame-draught-not-known", Severity: shop.Note,
		Sentence: "How the flue of the {flame} draws is not known: it is taken as an open one, by natural draught, which is the careful way.",
		Help:     "A flue with a fan, or a burner that takes its air from outdoors through a pipe of its own, bears more: write `draught: forced` or `sealed`.",
	}
	CodeFlame = &shop.Code{
		Name: "exhaust-beside-flame", Severity: shop.Problem,
		Sentence: "The {system} blows {flow} outdoors beside the {flame}: with the doors shut the room is pulled {below} below outdoors, and a natural-draught flue may spill at 2 to 5 Pa. It needs an opening of {opening}.",
		Help:     "Open a door that far whenever it runs, blow back into the room, or have the burner changed. Have the flue tested with everything running: no single way of reckoning is accepted. Hang up a carbon monoxide alarm.",
	}
	CodeBesideFlame = &shop.Code{
		Name: "exhaust-and-flame", Severity: shop.WatchOut,
		Sentence: "The {system} blows {flow} outdoors beside the {flame}: with the doors shut the room is pulled {below} below outdoors by a rough reckoning, and a natural-draught flue may spill at 2 to 5 Pa. An opening of {opening} keeps it low.",
		Help:     "A tighter room, another fan or the wind can make it more: have the flue tested with everything running, and hang up a carbon monoxide alarm.",
	}
	CodeMakeUp = &shop.Code{
		Name: "exhaust-needs-air", Severity: shop.WatchOut,
		Sentence: "The {system} blows {flow} outdoors: as much must come in, through an opening of {opening}. On a day {colder} colder outdoors it throws out {heat}.",
		Help:     "Open a door or a vent by so much; without it the fan loses airflow.",
	}
	CodeNoFit = &shop.Code{
		Name: "mask-without-fit-test", Severity: shop.Note,
		Sentence: "The {mask} has no fit test, so no number can be said for what it holds back.",
		Help:     "An assigned protection factor needs a fit test and a face shaved where the mask seals. With a beard it is void.",
	}
	CodeFitOld = &shop.Code{
		Name: "mask-fit-test-old", Severity: shop.WatchOut,
		Sentence: "The fit of the {mask} was tested on {tested}, more than a year before {newest}: no number can be said for what it holds back.",
		Help:     "A fit test is done anew each year, and when the face has changed. With a beard it is void.",
	}
	CodeMaskFilter = &shop.Code{
		Name: "mask-filter-unknown", Severity: shop.WatchOut,
		Sentence: "The filter of the {mask} is of no class known here ({filter}), so no number can be said for what it holds back.",
		Help:     "Write N95, P100, FFP2, FFP3, P2 or P3, as it is printed on the filter.",
	}
	CodeFitYearly = &shop.Code{
		Name: "mask-fit-is-yearly", Severity: shop.Note,
		Sentence: "The fit of the {mask} was tested on {tested}: the number said for it holds for a year from then, and only on a face shaved where it seals.",
		Help:     "A fit test is done anew each year, and when the face has changed. With a beard it is void.",
	}
	CodeNoMask = &shop.Code{
		Name: "mask-wanted", Severity: shop.WatchOut,
		Sentence: "A mask is advised for {tasks}, and none is in the file.",
		Help:     "A half mask with P100 or P3 filters, fit-tested; or a filtering mask N95 or FFP2 at least.",
	}
	CodeLikelyAbove = &shop.Code{
		Name: "limit-likely-above", Severity: shop.WatchOut,
		Sentence: "The average over 8 hours is likely above {limit} of {by} ({place}, {year}), which counts {fraction} dust.",
		Help:     "Only a measurement with a pump and a filter worn on the chest can settle it.",
	}
	CodeNoLimit = &shop.Code{
		Name: "no-limit-for-this-wood", Severity: shop.Note,
		Sentence: "None of the limits asked for ({limits}) is for {wood}; masks are judged by 1 mg/m³ of inhalable dust instead.",
		Help:     "Known here: us osha, us niosh, us acgih, uk hse, eu (hardwood only), de ags.",
	}
	CodeMonitor = &shop.Code{
		Name: "monitor-is-not-exposure", Severity: shop.Note,
		Sentence: "A PM2.5 number is not wood-dust exposure: such monitors mostly read wood dust low, some other dust high, and their coarse sizes follow from the fine ones. An index made for 24 hours outdoors says nothing about minutes in a shop.",
		Help:     "Use a monitor to see when dust rises and when it is back to this morning's level.",
	}
	CodeFinerPaper = &shop.Code{
		Name: "finer-paper", Severity: shop.Note,
		Sentence: "Finer paper takes off less wood but puts more of it in the air: 16 to 32 % more with P120 than with P80 in one study.",
		Help:     "Keep the extraction on for the last grits most of all, and keep the pad covered: on an edge half or more escapes.",
	}
	CodeExplosive = &shop.Code{
		Name: "dust-can-burn", Severity: shop.Note,
		Sentence: "Air one can breathe is hundreds of times too thin to explode, at the least; collectors, bins and dust stirred up from ledges are not. Sweep before fine dust lies {depth} deep (at {bulk}, assumed). {scope}",
		Help:     "No metal, sparks or grinder dust in the collector; empty bins cold and often; oily rags in a closed metal can; no hot ash; an extinguisher at the exit; never blow down with compressed air.",
	}
	CodeVapour = &shop.Code{
		Name: "vapour-is-not-dust", Severity: shop.Note,
		Sentence: "Finishes, solvents and glue give off vapour: no dust filter or dust mask holds it, and a collector's motor may light it.",
		Help:     "Open the door, keep flames out, and use a mask with vapour cartridges.",
	}
	CodeOldPaint = &shop.Code{
		Name: "old-paint-and-treated-wood", Severity: shop.Note,
		Sentence: "Old paint may hold lead and treated wood arsenic or worse: none of the numbers here hold for them.",
		Help:     "Test first; do not sand or burn them here.",
	}
	CodePeople = &shop.Code{
		Name: "children-and-asthma", Severity: shop.Note,
		Sentence: "Children and anyone with asthma stay out while there is work and for {out} after it. No level is known to be safe for them.",
		Help:     "Wait for the cleaner's time, change clothes, and keep the door to the house shut.",
	}
	CodeCar = &shop.Code{
		Name: "car-inside", Severity: shop.Note,
		Sentence: "A car in the same room warms and stirs the dust and leaves its own fumes: none of that is counted.",
		Help:     "Do not run the engine inside, and do not collect dust on a hot exhaust.",
	}
	CodeSensitiser = &shop.Code{
		Name: "wood-that-sensitises", Severity: shop.WatchOut,
		Sentence: "{wood} can make people allergic, some at levels far below any limit.",
		Help:     "At the first cough, rash or running nose stop, and see a doctor who is told which wood it was.",
	}
	CodeBoard = &shop.Code{
		Name: "board-dust", Severity: shop.WatchOut,
		Sentence: "MDF and other boards make finer dust and more of it than wood, and hold formaldehyde, which no dust filter keeps.",
		Help:     "Cut it with extraction on both sides of the blade, outdoors if you can.",
	}
	CodeCarcinogen = &shop.Code{
		Name: "wood-dust-group-1", Severity: shop.Note,
		Sentence: "Wood dust is in group 1 of the IARC: it causes cancer of the nose in people. Less is better, below any limit too.",
		Help:     "What is computed here never shows that a limit is kept.",
	}
	CodeBeyond = &shop.Code{
		Name: "beyond-what-this-can-say", Severity: shop.WatchOut,
		Sentence: "{what}: that lies beyond what is reckoned with here, and what is said of it is no more than a rough hint.",
		Help:     "See whether the number is what you mean: hours a week, air changes an hour, a cleaner's airflow. Nothing here was checked against days of more than 12 h, nor against air that is changed more than 20 times or cleaned more than 40 times an hour.",
	}
	CodeReturnRules = &shop.Code{
		Name: "whose-rule-on-return", Severity: shop.Note,
		Sentence: "Whether air from a wood-dust filter may go back into the room differs by country; {whose} say different things.",
		Help:     "Ask which rule holds where you are. A shop below a standard's scope is out of its scope, not safe.",
	}
)

// What can be done, as acts.
var (
	ActVacuumSweep   = &shop.Code{Name: "act-sweep-with-vacuum", Sentence: "Sweep with the vacuum or damp, not with a dry broom", Help: "A dry broom puts back into the air what had settled."}
	ActOutdoorChores = &shop.Code{Name: "act-empty-outdoors", Sentence: "Empty the bin and beat the filter outdoors", Help: "Both give a short, thick cloud."}
	ActFineNeed      = &shop.Code{Name: "act-fine-need", Sentence: "Give the {machine} its fine need of {needs}", Help: "See `winnow airflow` for what that takes."}
	ActGuard         = &shop.Code{Name: "act-guard", Sentence: "Catch at the top of the {machine} too, with an over-blade guard or hood", Help: "Below the table only about two thirds are caught."}
	ActPickup        = &shop.Code{Name: "act-pickup", Sentence: "Give the {machine} a pickup and extraction", Help: "Nothing catches its dust today."}
	ActFilter        = &shop.Code{Name: "act-filter", Sentence: "A filter of grade {grade} on the {system}", Help: "Its seal matters as much as its grade."}
	ActOutdoors      = &shop.Code{Name: "act-outdoors", Sentence: "Blow the air of the {system} outdoors", Help: "As much air must come in; heat goes out with it."}
	ActCleaner       = &shop.Code{Name: "act-cleaner", Sentence: "An air cleaner of {flow} with MERV 13", Help: "It clears the room after work; beside the machine it helps little."}
	ActStage         = &shop.Code{Name: "act-stage", Sentence: "A last filter of {grade} in the {cleaner}", Help: "The finest dust is what stays longest."}
	ActWithMachines  = &shop.Code{Name: "act-with-machines", Sentence: "Let the {cleaner} start with the machines", Help: "By hand it is forgotten."}
	ActTimer         = &shop.Code{Name: "act-timer", Sentence: "Set the {cleaner} to keep running {keeps}", Help: "Good nine times in ten."}
	ActDoor          = &shop.Code{Name: "act-door", Sentence: "Work with the {door} open", Help: "Wind does the rest; in winter it costs heat."}
)

// ActWindowFan needs air to come in.
var ActWindowFan = &shop.Code{Name: "act-window-fan", Sentence: "A fan in the window that blows out {flow} while you work", Help: "As much air must come in on the other side of the room; heat goes out with it."}

// ActOwn is an option of the owner's file.
var ActOwn = &shop.Code{Name: "act-own-option", Sentence: "Your option {option}", Help: "It is written under options in the file."}

// Codes lists all findings and acts of this package.
func Codes() []*shop.Code {
	return []*shop.Code{
		CodeUnknownGrade, CodeAirflowAssumed, CodeNoPickup, CodeShapeAssumed, CodeCleaningUpDominates, CodeReturns, CodeShortWork,
		CodeKeepsShort, CodeByHand, CodeAskFlame, CodeDraught, CodeFlame, CodeBesideFlame, CodeMakeUp, CodeNoFit, CodeFitOld, CodeMaskFilter, CodeFitYearly, CodeNoMask, CodeLikelyAbove, CodeNoLimit, CodeMonitor,
		CodeFinerPaper, CodeExplosive, CodeVapour, CodeOldPaint, CodePeople, CodeCar, CodeSensitiser, CodeBoard, CodeCarcinogen,
		CodeReturnRules, CodeBeyond,
		ActVacuumSweep, ActOutdoorChores, ActFineNeed, ActGuard, ActPickup, ActFilter, ActOutdoors, ActCleaner, ActStage,
		ActWithMachines, ActTimer, ActDoor, ActWindowFan, ActOwn,
	}
}
