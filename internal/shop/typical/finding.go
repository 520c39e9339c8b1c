package typical

import (
	"slices"
	"strings"

	"winnow/internal/shop"
	"winnow/internal/unit"
)

// The findings of Fill.
var (
	CodeAssumed = &shop.Code{
		Name: "assumed", Severity: shop.Note,
		Sentence: "{part}: {what} is assumed, {value}. {how}",
		Help:     "Winnow took what is usual. Write the true value into the shop file and the ranges get narrower.",
	}
	CodeAssumedSmall = &shop.Code{
		Name: "assumed-small", Severity: shop.Note,
		Sentence: "{part}: smaller things are assumed: {what}.",
		Help:     "They change the results little. `winnow kinds` shows what is usual and why.",
	}
	CodeUnknownKind = &shop.Code{
		Name: "unknown-kind", Severity: shop.Problem,
		Sentence: "{part}: nobody knows the kind {kind}. {nearest}",
		Help:     "The widest range of its sort is used until the kind is one of those that `winnow kinds` lists.",
	}
	CodeUnknownMake = &shop.Code{
		Name: "unknown-make", Severity: shop.WatchOut,
		Sentence: "{part}: nobody knows the make {kind}. {nearest}",
		Help:     "What is usual for an unknown make is used. `winnow kinds` lists the makes.",
	}
	CodeOddSize = &shop.Code{
		Name: "odd-size", Severity: shop.WatchOut,
		Sentence: "{part}: {kind} is not usually sold in {size}; its true bore is a guess.",
		Help:     "Measure the bore, or look at the sizes that `winnow kinds` lists for it.",
	}
)

// Codes lists every finding of this package.
func Codes() []*shop.Code {
	return []*shop.Code{CodeAssumed, CodeAssumedSmall, CodeUnknownKind, CodeUnknownMake, CodeOddSize}
}

// topic is a sort of assumption: how much it may matter, and how to find the truth out. The weights are fixed for now, from the
// width of the range and how strongly airflow hangs on it.
type topic struct {
	weight int
	what   string
	how    string
}

// small topics are gathered, one finding a part.
const small = 25

var (
	ofFan         = &topic{100, "the airflow with nothing connected", "Read the box or the plate; or time a big bag as it fills."}
	ofShutOff     = &topic{98, "the pull with the inlet blocked", "Block the inlet for three seconds and read a clear tube of water."}
	ofSystemKind  = &topic{97, "the kind", "Say whether it is a collector, a vacuum or an extractor."}
	ofFanMotor    = &topic{96, "the power of the fan's motor", "Read the motor plate."}
	ofChips       = &topic{90, "the airflow at which chips leave", "Look in the machine's manual."}
	ofMachineKind = &topic{89, "the kind", "Say what it is; `winnow kinds` lists the kinds."}
	ofPort        = &topic{88, "the port", "Look where a hose goes on, and measure across it."}
	ofSize        = &topic{84, "the size", "Measure across it."}
	ofInlet       = &topic{83, "the size of the inlet", "Measure across it."}
	ofBlower      = &topic{83, "that no fan inside pushes", "Feed a board with no hose on: do chips shoot out?"}
	ofFilterLoss  = &topic{82, "what the filter loses", "Read a clear tube of water before and after it."}
	ofFilterArea  = &topic{80, "the area of the filter", "Measure it: around times high; count and unfold a pleat."}
	ofFilterKind  = &topic{78, "the kind of filter", "Look: a cloth bag, or a pleated drum?"}
	ofFilterAge   = &topic{76, "the hours since the filter was cleaned", "Note when you clean it."}
	ofEntry       = &topic{74, "what the machine's mouth loses", "Read the suction just behind the port."}
	ofLength      = &topic{73, "the length", "Measure it."}
	ofBends       = &topic{70, "the sum of the hose's bends", "Look how it lies: add up its turns."}
	ofPipeKind    = &topic{66, "the kind of pipe or hose", "Look at it, feel inside it, read what is printed on it."}
	ofSeparator   = &topic{64, "what the separator loses", "Read a clear tube of water before and after it."}
	ofKink        = &topic{59, "how flat the kink is", "Look: slightly flat, half, pinched?"}
	ofFine        = &topic{55, "the airflow at which fine dust is caught", "No manual says it well; a particle monitor beside the machine shows it."}
	ofElbow       = &topic{50, "how the elbow is made", "Look: one smooth piece, or segments? Measure its radius."}
	ofWye         = &topic{49, "the slant of the side leg", "Hold a bevel to it."}
	ofGateLeak    = &topic{46, "what the shut gate lets through", "Shut it, run the fan, hold a tissue to it."}
	ofLeak        = &topic{45, "what leaks in", "Run the fan and go round with a tissue."}
	ofBreaker     = &topic{44, "the breaker", "Read the number on its handle."}
	ofCurrent     = &topic{42, "the current", "Read the motor plate, or clamp a meter round one wire."}
	ofWire        = &topic{40, "the wire", "Read the print on the cable."}
	ofRun         = &topic{39, "the length of the circuit", "Pace it from the panel."}
	ofAltitude    = &topic{38, "the height above the sea", "Look at a map."}
	ofVolume      = &topic{37, "the size of the room", "Measure two walls and the height."}
	ofAirChange   = &topic{36, "how fast the room's air renews itself", "Watch a particle monitor fall with everything off."}
	ofMotor       = &topic{34, "the power of the motor", "Read the motor plate."}
	ofVoltage     = &topic{33, "the voltage", "Read the motor plate."}
	ofRate        = &topic{32, "how much comes off", "Count the bins you empty."}
	ofBin         = &topic{31, "the size of the bin", "Read it on the bin, or fill it from a bucket."}
	ofClean       = &topic{30, "how often the filter is cleaned", "Write down what you do."}
	ofHours       = &topic{29, "the hours of a week", "Say how long you use it in a usual week."}
	ofWeather     = &topic{28, "the weather", "Hang a thermometer."}
	ofCleaner     = &topic{27, "the airflow of the air cleaner", "Read its plate; take a tenth to a third off."}

	ofTime   = &topic{20, "times", ""}
	ofShape  = &topic{22, "its shape", ""}
	ofPlace  = &topic{15, "height and side", ""}
	ofSpace  = &topic{14, "the space it takes", ""}
	ofNoise  = &topic{10, "noise", ""}
	ofCord   = &topic{9, "cord", ""}
	ofUse    = &topic{8, "the way it is used", ""}
	ofHabits = &topic{4, "how it is run", ""}
)

// note is one assumption before it becomes a finding.
type note struct {
	*topic
	base  shop.Path // the part
	key   string    // the key within it
	word  string    // where it is no number
	value number
	print func(unit.System) string // where the usual way of writing it will not do
	from  string                   // source
}

// number is an assumed amount of any quantity, as the arguments of a finding.
type number interface {
	best() shop.Arg // written with its range
	low() shop.Arg
	high() shop.Arg
}

type amountOf[T unit.Real] struct{ unit.Amount[T] }

func (a *amountOf[T]) best() shop.Arg {
	arg := shop.Number("value", a.Best)
	arg.Print = a.print
	return arg
}
func (a *amountOf[T]) print(sys unit.System) string { return unit.PrintAmount(a.Amount, sys) }
func (a *amountOf[T]) low() shop.Arg                { return shop.Number("low", a.Low) }
func (a *amountOf[T]) high() shop.Arg               { return shop.Number("high", a.High) }

// assumptions turns notes into findings: the weightiest first, the small ones gathered by part.
func assumptions(notes []note, faults []shop.Finding) []shop.Finding {
	order := make([]int, 0, len(notes))
	trifles := make([]int, 0, len(notes))
	for i := range notes {
		if notes[i].weight > small {
			order = append(order, i)
		} else {
			trifles = append(trifles, i)
		}
	}
	slices.SortFunc(order, func(a, b int) int { // by weight, then as in the file
		if d := notes[b].weight - notes[a].weight; d != 0 {
			return d
		}
		return a - b
	})
	out := make([]shop.Finding, 0, len(faults)+len(order)+len(trifles)/3)
	out = append(out, faults...)
	args := make([]shop.Arg, 0, 6*len(order)) // one piece of memory for all
	for _, i := range order {
		from := len(args)
		args = notes[i].args(args)
		out = append(out, shop.Finding{
			Code: CodeAssumed, Where: notes[i].base.Join(notes[i].key), Source: notes[i].from, Args: args[from:len(args):len(args)],
		})
	}
	return gathered(out, notes, trifles)
}

// args appends what the sentence of a note needs.
func (n *note) args(to []shop.Arg) []shop.Arg {
	to = append(to, shop.Word("what", n.what), shop.Word("part", partOfPath(n.base)), shop.Word("how", n.how))
	if n.value == nil {
		return append(to, shop.Word("value", n.word))
	}
	value := n.value.best()
	if n.print != nil {
		value.Print = n.print
	}
	return append(to, value, n.value.low(), n.value.high())
}

// gathered adds one finding a part for all its trifles. Those of a part stand together, as it was filled at one go.
func gathered(out []shop.Finding, notes []note, trifles []int) []shop.Finding {
	at := map[shop.Path]int{}
	first := len(out)
	var words [][]string
	for _, t := range trifles {
		n := &notes[t]
		i, ok := at[n.base]
		if !ok {
			i = len(words)
			at[n.base] = i
			out = append(out, shop.Finding{Code: CodeAssumedSmall, Where: n.base, Source: n.from})
			words = append(words, nil)
		}
		if !slices.Contains(words[i], n.what) {
			words[i] = append(words[i], n.what)
		}
	}
	for i, w := range words {
		f := &out[first+i]
		f.Args = []shop.Arg{shop.Word("part", partOfPath(f.Where)), shop.Word("what", strings.Join(w, ", "))}
	}
	return out
}

// partOfPath says a path as a person would: the machine, or the piece of a run.
func partOfPath(p shop.Path) string {
	var keys [6]string // systems/collector/runs/long hose/pieces/hose 1
	n, rest, more := 0, string(p), p != ""
	for more && n < len(keys) {
		keys[n], rest, more = strings.Cut(rest, "/")
		n++
	}
	switch {
	case n == 0:
		return "the shop"
	case n == 1:
		return "the " + keys[0]
	case keys[0] == "systems" && n == 6:
		return keys[5] + " in " + keys[3]
	case keys[0] == "systems" && n >= 4 && keys[2] == "runs":
		return keys[3]
	case keys[0] == "machines" && n >= 4: // machines/table saw/ports/guard
		return keys[1] + "/" + keys[3]
	case keys[0] == "routine" && n > 2, keys[0] == "room" && n > 2:
		return keys[2]
	case keys[0] == "circuits":
		return "circuit " + keys[1]
	}
	return keys[1]
}
