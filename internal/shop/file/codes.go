package file

// The kinds of fault. Each has a file under testdata/bad that shows it, and only it.
var (
	// The file as such.
	TooBig           = code("too-big", "A shop file is text of some ten to a hundred kB; this one is beyond what is read.")
	NotUTF8          = code("not-utf8", "The file is saved in an encoding that is not UTF-8.")
	NulByte          = code("nul-byte", "Text has no zero bytes; this is likely another kind of file.")
	OddCharacter     = code("odd-character", "A control character, a second line-end sign or an invisible mark is in the text.")
	EmptyFile        = code("empty-file", "There is nothing in the file.")
	Syntax           = code("syntax", "The text does not follow YAML, so nothing after this place can be read.")
	TabIndent        = code("tab-indent", "Lines are set in with spaces; a tab has a different width in every editor.")
	TooDeep          = code("too-deep", "Brackets or lines are nested deeper than any shop needs.")
	SeveralDocuments = code("several-documents", "--- starts a second YAML document; a shop file is one.")
	Directive        = code("directive", "%YAML and the like speak to the YAML reader; a shop file needs none.")
	Anchor           = code("anchor", "&name is refused: what an edit of the marked value would change could not be said.")
	Alias            = code("alias", "*name is refused: a value is written where it is.")
	MergeKey         = code("merge-key", "<< is refused: a key is written where it is.")
	Tag              = code("tag", "!tag is refused: what a value is follows from its key.")
	OddKey           = code("odd-key", "A key is one word or a few, followed by a colon.")

	// Keys and shapes.
	NoVersion    = code("no-version", "`winnow: 1` tells which grammar the file is written in, and is the only key that must be there.")
	WrongVersion = code("wrong-version", "The file is written for another version of the grammar.")
	UnknownKey   = code("unknown-key", "The key is not in the grammar at this place.")
	DuplicateKey = code("duplicate-key", "The same key or name stands twice in one map; which one counts cannot be said.")
	WrongShape   = code("wrong-shape", "A list, a map or a single value stands where another of the three belongs.")
	BarePair     = code("bare-pair", "In [hose: 5 ft, kind: ribbed hose] YAML sees two pieces. Each piece has braces of its own.")
	BothForms    = code("both-forms", "Two keys say the same thing in two ways, such as `port` and `ports`, or `footprint` and `corners`.")
	SaysNothing  = code("says-nothing", "A piece, a reading or an edit is told by exactly one key, and there is none of them.")
	SaysTwo      = code("says-two", "A piece, a reading or an edit is told by exactly one key, and there are two of them.")
	NotForThis   = code("not-for-this", "The key belongs to another kind of piece, or to another kind of sensor.")

	// Values.
	YAMLWord       = code("yaml-word", "Many YAML readers take on, off, yes, no, y, n, true, false and null for something else than the word.")
	ClockTime      = code("clock-time", "Some YAML readers take 21:00 for the number 1260.")
	NoUnit         = code("no-unit", "Every quantity carries its unit.")
	UnknownUnit    = code("unknown-unit", "The unit is not one that is known here (winnow units).")
	WrongDimension = code("wrong-dimension", "The unit measures something else than what belongs here.")
	BadQuantity    = code("bad-quantity", "The text is not a quantity: a number, its unit and, if you like, its doubt.")
	BadDoubt       = code("bad-doubt", "Doubt is written ± 10 %, +25/-10 % or 45 to 85 °F.")
	DoubtNotHere   = code("doubt-not-here", "Points on the floor and points of a curve are plain numbers.")
	OutOfRange     = code("out-of-range", "The number is below or above what is possible here.")
	DrawnNotHere   = code("drawn-not-here", "`drawn` stands for the length or angle of a piece, measured on the plan.")
	NoneNotHere    = code("none-not-here", "`none` says that there is none of something that a shop may lack.")
	NotACount      = code("not-a-count", "A whole number without a unit belongs here.")
	NotTrueFalse   = code("not-true-or-false", "true or false belongs here.")
	NotOneOf       = code("not-one-of", "The word is not one of those that are understood here.")
	UnknownKind    = code("unknown-kind", "No typical values are known for this kind (winnow kinds).")
	BadPoint       = code("bad-point", "A point is [east, north] or [east, north, height].")
	BadFootprint   = code("bad-footprint", "A footprint is WIDTH x DEPTH, the width across the front first.")
	BadCorners     = code("bad-corners", "An outline has three corners or more.")
	BadCurve       = code("bad-curve", "A fan curve is two points or more, [airflow, pressure] each, with rising airflow.")
	BadDate        = code("bad-date", "A day is written 2026-03-01.")
	BadMoney       = code("bad-money", "Money is written 95 USD, or 60 to 110 USD.")
	BadLoss        = code("bad-loss", "A loss is a pressure at a flow: 1.8 inH2O at 800 cfm.")
	BadHours       = code("bad-hours", "Hours of the day are written 9 pm to 7 am.")

	// Names.
	BadName     = code("bad-name", "A name starts with a letter, has no / ~ : , # or quotes, and is none of the words the grammar uses.")
	NameClash   = code("name-clash", "Two things that are spoken of in the same place have the same name.")
	UnknownName = code("unknown-name", "The name is given nowhere in the file.")

	// Runs.
	NoMain         = code("no-main", "The run called main ends at the system's inlet; without it no air reaches the fan.")
	RunNotJoined   = code("run-not-joined", "Every run but main ends in the wye of another run that names it.")
	RunJoinedTwice = code("run-joined-twice", "A run ends in one place; two wyes name it.")
	MainJoined     = code("main-joined", "main ends at the system's inlet, so no wye can name it.")
	RunLoop        = code("run-loop", "Runs end in each other in a circle and never reach the fan.")
	NoSource       = code("no-source", "A run starts at a machine, at a cap, at a split, or with a wye that brings its runs together.")
	LoneWye        = code("lone-wye", "As the first piece a wye brings several runs together; with one there is nothing to bring together.")
	UnclearDrawn   = code("unclear-drawn", "Between two pieces whose place is known, at most one length or angle can be measured on the plan.")
	SplitUnused    = code("split-unused", "Air leaves at a split into the run that says `from: split NAME`, and no run does.")
	SplitTwice     = code("split-twice", "Two runs start at the same split.")

	// Sensors, readings and options.
	NoTarget  = code("no-target", "A sensor says what it sits on.")
	EditShape = code("edit-shape", "An edit of an option lacks a part, or has one too many.")
	EditPath  = code("edit-path", "The path of an edit leads where the grammar has nothing.")
)

// Codes lists every kind of fault.
var Codes []*Code

func code(name, help string) *Code {
	c := &Code{Name: name, Help: help}
	Codes = append(Codes, c)
	return c
}
