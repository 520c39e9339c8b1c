package wire

// XY is a point on the floor: metres east and north of the owner's zero.
type XY [2]float64

// XYZ is a point with its height above the floor.
type XYZ [3]float64

// State is the shop file as the page holds it.
type State struct {
	Rev          int          `json:"rev"`
	Run          string       `json:"run" doc:"of this file and this start of the server: revisions of another run are other revisions"`
	Name         string       `json:"name"`
	File         string       `json:"file" doc:"name of the file, without its folder"`
	Text         string       `json:"text"`
	Units        string       `json:"units" enum:"us,si"`
	Faults       []Fault      `json:"faults"`
	Machines     []Machine    `json:"machines"`
	Systems      []SystemInfo `json:"systems"`
	Arrangements []string     `json:"arrangements"`
	Layout       Layout       `json:"layout"`
	Undo         string       `json:"undo" doc:"what undo would undo; empty for nothing"`
	Redo         string       `json:"redo"`
	Trouble      string       `json:"trouble" doc:"why history could not be kept; empty if all is well"`
	InService    int          `json:"in_service" doc:"revision the controller obeys; 0 for none"`
}

// Fault is one fault of a text.
type Fault struct {
	Code   string `json:"code"`
	Line   int    `json:"line"`
	Column int    `json:"column"`
	What   string `json:"what"`
	Cure   string `json:"cure"`
	Text   string `json:"text" doc:"the whole message with its excerpt"`
}

// Machine is what the page needs to know of a machine beside its place.
type Machine struct {
	Name   string     `json:"name"`
	Path   string     `json:"path"`
	Kind   string     `json:"kind"`
	Wheels bool       `json:"wheels"`
	Served bool       `json:"served" doc:"some run starts at it"`
	Setups []string   `json:"setups"`
	Places []string   `json:"places"`
	Ports  []PortInfo `json:"ports"`
	Note   string     `json:"note"`
	PlugAt
}

// PlugAt is where a thing is plugged in: the same words wherever a plug is.
type PlugAt struct {
	Outlet   string `json:"outlet" doc:"the outlet it is plugged into; empty where none is said"`
	PlugPath string `json:"plug_path" doc:"the path an edit sets to plug it in elsewhere; empty where the file says that it has no plug"`
}

// PortInfo is a port as written or assumed.
type PortInfo struct {
	Port       string  `json:"port"`
	Size       float64 `json:"size_m"`
	NeedsChips float64 `json:"needs_chips_m3s"`
	NeedsFine  float64 `json:"needs_fine_m3s"`
}

// SystemInfo is what the page needs to know of an extraction system.
type SystemInfo struct {
	Name  string    `json:"name"`
	Path  string    `json:"path"`
	Kind  string    `json:"kind"`
	Gates []string  `json:"gates"`
	Runs  []RunInfo `json:"runs"`
	PlugAt
}

// RunInfo is a run of a system: what it serves, and its gates.
type RunInfo struct {
	Name     string     `json:"name"`
	Path     string     `json:"path"`
	FromPath string     `json:"from_path" doc:"the path an edit sets to serve other machines"`
	Ports    []string   `json:"ports" doc:"MACHINE or MACHINE/PORT that it draws from; none where it starts with a wye, a cap or a split"`
	Carried  bool       `json:"carried" doc:"its hose is carried to the machine that runs"`
	Cap      bool       `json:"cap" doc:"it starts with a cap: nothing draws from it"`
	Split    string     `json:"split" doc:"the split it starts at"`
	Gates    []GateInfo `json:"gates"`
}

// GateInfo is a gate as the file says it.
type GateInfo struct {
	Name      string `json:"name"`
	Path      string `json:"path"`
	RestsOpen bool   `json:"rests_open" doc:"left open when idle"`
	ByItself  bool   `json:"by_itself" doc:"it has a device; else it is moved by hand"`
	Bleed     bool   `json:"bleed" doc:"opened to keep a pipe fast enough"`
}

// Layout is the shop laid out in one arrangement.
type Layout struct {
	Arrangement string        `json:"arrangement"`
	Placed      bool          `json:"placed" doc:"false: nothing has a place; everything stands in the tray"`
	Low         XY            `json:"low"`
	High        XY            `json:"high"`
	Corners     []XY          `json:"corners"`
	Walls       [][2]XY       `json:"walls"`
	Doors       []LaidDoor    `json:"doors"`
	Machines    []LaidMachine `json:"machines"`
	Systems     []LaidSystem  `json:"systems"`
	Cleaners    []LaidCleaner `json:"cleaners"`
	Obstacles   []LaidShape   `json:"obstacles"`
	Walkways    []LaidShape   `json:"walkways"`
	Outlets     []LaidOutlet  `json:"outlets"`
	Pieces      []LaidPiece   `json:"pieces"`
	Lays        []LaidHose    `json:"lays"`
	Cords       []LaidCord    `json:"cords"`
}

// LaidDoor is a door; Swing is what its leaf sweeps.
type LaidDoor struct {
	Name  string `json:"name"`
	From  XY     `json:"from"`
	To    XY     `json:"to"`
	Opens string `json:"opens"`
	Swing []XY   `json:"swing"`
}

// LaidMachine is a machine where it stands.
type LaidMachine struct {
	Name       string     `json:"name"`
	Placed     bool       `json:"placed"`
	Away       bool       `json:"away"`
	Place      string     `json:"place"`
	AtPath     string     `json:"at_path" doc:"the path an edit sets to move it"`
	FacingPath string     `json:"facing_path"`
	At         XY         `json:"at"`
	Facing     float64    `json:"facing_rad"`
	Footprint  []XY       `json:"footprint"`
	Infeed     []XY       `json:"infeed"`
	Outfeed    []XY       `json:"outfeed"`
	Ports      []LaidPort `json:"ports"`
}

// LaidPort is a port where it is.
type LaidPort struct {
	Port   string `json:"port"`
	At     XYZ    `json:"at"`
	Placed bool   `json:"placed"`
}

// LaidSystem is a collector, vacuum or extractor where it stands.
type LaidSystem struct {
	Name       string  `json:"name"`
	Placed     bool    `json:"placed"`
	At         XY      `json:"at"`
	AtPath     string  `json:"at_path" doc:"the path an edit sets to move it"`
	FacingPath string  `json:"facing_path"`
	Facing     float64 `json:"facing_rad"`
	Footprint  []XY    `json:"footprint"`
	Inlet      XYZ     `json:"inlet"`
}

// LaidCleaner is an air cleaner where it hangs. It has no front.
type LaidCleaner struct {
	Name    string `json:"name"`
	Path    string `json:"path"`
	Placed  bool   `json:"placed"`
	At      XY     `json:"at"`
	AtPath  string `json:"at_path" doc:"the path an edit sets to move it"`
	Corners []XY   `json:"corners"`
	PlugAt
}

// LaidShape is an area with a name.
type LaidShape struct {
	Name    string `json:"name"`
	Corners []XY   `json:"corners"`
	Also    bool   `json:"also" doc:"there in this arrangement only"`
}

// LaidOutlet is an outlet with the letter of its circuit, and what is plugged in.
type LaidOutlet struct {
	Name    string    `json:"name"`
	Path    string    `json:"path"`
	AtPath  string    `json:"at_path" doc:"the path an edit sets to move it"`
	Circuit string    `json:"circuit"`
	At      XY        `json:"at"`
	Placed  bool      `json:"placed"`
	Plugged []Plugged `json:"plugged"`
}

// Plugged is a thing plugged into an outlet.
type Plugged struct {
	Name     string `json:"name"`
	Path     string `json:"path"`
	PlugPath string `json:"plug_path" doc:"the path an edit sets to plug it in elsewhere"`
}

// LaidPiece is one piece of a run.
type LaidPiece struct {
	Path      string  `json:"path"`
	System    string  `json:"system"`
	Run       string  `json:"run"`
	What      string  `json:"what"`
	Name      string  `json:"name"`
	Size      float64 `json:"size_m"`
	Length    float64 `json:"length_m"`
	Line      []XYZ   `json:"line"`
	Sketch    []XYZ   `json:"sketch" doc:"not to scale"`
	At        XYZ     `json:"at"`
	Placed    bool    `json:"placed"`
	Goes      string  `json:"goes"`
	RestsOpen bool    `json:"rests_open" doc:"of a gate: left open when idle"`
}

// LaidHose is the way of a hose from one of its machines.
type LaidHose struct {
	System  string  `json:"system"`
	Run     string  `json:"run"`
	Machine string  `json:"machine"`
	Port    string  `json:"port"`
	Now     bool    `json:"now"`
	Carried bool    `json:"carried"`
	Known   bool    `json:"known"`
	Line    []XYZ   `json:"line"`
	Slack   float64 `json:"slack_m"`
	Trips   []XY    `json:"trips" doc:"where it crosses a walkway"`
}

// LaidCord is a cord from a machine to its outlet.
type LaidCord struct {
	Of     string `json:"of"`
	Outlet string `json:"outlet"`
	Line   []XYZ  `json:"line"`
	Short  bool   `json:"short"`
	Trips  []XY   `json:"trips" doc:"where it crosses a walkway"`
}

// Ask is a question about one revision with edits in hand.
type Ask struct {
	Rev         int          `json:"rev" doc:"0: the latest"`
	Edits       []Edit       `json:"edits,omitempty"`
	Text        *string      `json:"text,omitempty" doc:"a draft instead of edits; an empty one is a text, too"`
	Running     []AskRunning `json:"running,omitempty"`
	Filter      string       `json:"filter,omitempty" enum:"due,now,clean"`
	Arrangement string       `json:"arrangement,omitempty"`
	Open        []string     `json:"open,omitempty"`
	Shut        []string     `json:"shut,omitempty"`
	Select      string       `json:"select,omitempty" doc:"MACHINE or MACHINE/PORT that sheet, curve and remedies are wanted for"`
	Want        []string     `json:"want,omitempty" doc:"of ranges, alone, sheet, curve, remedies, findings, layout, power, air, gates, next"`
}

// AskRunning is one machine at work.
type AskRunning struct {
	Machine string `json:"machine"`
	Setup   string `json:"setup,omitempty"`
	Place   string `json:"place,omitempty"`
}

// Look is the answer.
type Look struct {
	Rev      int         `json:"rev"`
	Faults   []Fault     `json:"faults"`
	Sentence []Part      `json:"sentence"`
	Ports    []LookPort  `json:"ports"`
	Pieces   []LookPiece `json:"pieces"`
	Gates    []LookGate  `json:"gates"`
	Fans     []LookFan   `json:"fans"`
	Findings []Finding   `json:"findings"`
	Remedies []Remedy    `json:"remedies"`
	Sheet    *LookSheet  `json:"sheet,omitempty"`
	Curve    *LookCurve  `json:"curve,omitempty"`
	Layout   *Layout     `json:"layout,omitempty"`
	Power    *Power      `json:"power,omitempty"`
	Air      *Air        `json:"air,omitempty"`
	Next     *Next       `json:"next,omitempty"`
	Chart    *Chart      `json:"chart,omitempty" doc:"the gate chart"`
	TookMS   float64     `json:"took_ms"`
}

// Part is a stretch of the first sentence; Path is what it points at.
type Part struct {
	Text string `json:"text"`
	Kind string `json:"kind" enum:",machine,piece,system,verdict,circuit,task,act"`
	Path string `json:"path,omitempty"`
}

// LookPort is what one port gets, as it runs or alone.
type LookPort struct {
	Port        string      `json:"port"`
	Machine     string      `json:"machine"`
	System      string      `json:"system"`
	Running     bool        `json:"running"`
	Setup       string      `json:"setup,omitempty"`
	Gets        float64     `json:"gets_m3s"`
	NeedsChips  float64     `json:"needs_chips_m3s"`
	NeedsFine   float64     `json:"needs_fine_m3s"`
	Low         *float64    `json:"low_m3s,omitempty"`
	High        *float64    `json:"high_m3s,omitempty"`
	Chance      *float64    `json:"chance_chips,omitempty"`
	ChanceWords string      `json:"chance_words,omitempty"`
	Verdict     string      `json:"verdict"`
	VerdictFine string      `json:"verdict_fine"`
	Speed       float64     `json:"port_speed_ms"`
	Suction     float64     `json:"port_suction_pa"`
	Pull        []LookShare `json:"pull"`
}

// LookShare is what one group takes of the pull.
type LookShare struct {
	Group string   `json:"group"`
	Loss  float64  `json:"loss_pa"`
	Share float64  `json:"share"`
	Paths []string `json:"paths"`
}

// LookPiece is the air in one pipe or hose.
type LookPiece struct {
	Path   string  `json:"path"`
	Run    string  `json:"run"`
	System string  `json:"system"`
	Flow   float64 `json:"flow_m3s"`
	Speed  float64 `json:"speed_ms"`
	Bore   float64 `json:"bore_m"`
	Chips  string  `json:"chips"`
	Used   bool    `json:"used"`
}

// LookGate is how a gate stands.
type LookGate struct {
	Gate   string `json:"gate"`
	System string `json:"system"`
	Open   bool   `json:"open"`
}

// LookFan is where a fan and its system agree.
type LookFan struct {
	System   string   `json:"system"`
	Flow     float64  `json:"flow_m3s"`
	Pressure float64  `json:"pressure_pa"`
	Low      *float64 `json:"low_m3s,omitempty"`
	High     *float64 `json:"high_m3s,omitempty"`
	Leaks    float64  `json:"leaks_m3s"`
	Beyond   bool     `json:"beyond_curve"`
}

// LookSheet is the calculation sheet of the selected port.
type LookSheet struct {
	Port    string    `json:"port"`
	System  string    `json:"system"`
	Density float64   `json:"density_kgm3"`
	Sum     float64   `json:"sum_pa"`
	Fan     float64   `json:"fan_pa"`
	Flow    float64   `json:"fan_flow_m3s"`
	Words   string    `json:"fan_words"`
	Rows    []LookRow `json:"rows"`
}

// LookRow is one row of it.
type LookRow struct {
	Path   string  `json:"path"`
	What   string  `json:"what"`
	Group  string  `json:"group"`
	Flow   float64 `json:"flow_m3s"`
	Bore   float64 `json:"bore_m"`
	Length float64 `json:"length_m"`
	Speed  float64 `json:"speed_ms"`
	VP     float64 `json:"velocity_pressure_pa"`
	K      float64 `json:"loss_coefficient"`
	Loss   float64 `json:"loss_pa"`
	Static float64 `json:"static_pressure_pa"`
	How    string  `json:"how"`
	Basis  string  `json:"basis"`
	Source string  `json:"source"`
}

// LookCurve is the fan's curve with that of the selected port's system through the working point. Points are [m³/s, Pa].
type LookCurve struct {
	System  string       `json:"system"`
	Fan     [][2]float64 `json:"fan"`
	Line    [][2]float64 `json:"line"`
	At      [2]float64   `json:"at"`
	LowHigh *[2]float64  `json:"flow_range_m3s,omitempty"`
}

// Change asks for a new revision.
type Change struct {
	Rev   int     `json:"rev"`
	Run   string  `json:"run,omitempty" maxLength:"100" doc:"the run that rev was read in; where it is another now the answer is a conflict. Empty: not checked"`
	ID    string  `json:"id" maxLength:"100" doc:"makes a retry harmless"`
	Edits []Edit  `json:"edits,omitempty"`
	Text  *string `json:"text,omitempty" doc:"the whole text instead of edits; an empty one is a text, too"`
	Cause string  `json:"cause" maxLength:"200" pattern:"^[^\\x00-\\x1f\\x7f-\\x9f]*$" doc:"in the words of whoever changed it, on one line"`
}

// Changed tells of a revision.
type Changed struct {
	Rev  int    `json:"rev"`
	What string `json:"what" doc:"empty where there was nothing to undo or redo"`
}

// ShopLine is one shop of a server.
type ShopLine struct {
	ID   string `json:"id"`
	Name string `json:"name"`
}

// Words are what an owner may pick from.
type Words struct {
	Machines []Word `json:"machines"`
	Pipes    []Word `json:"pipes"`
	Units    []Word `json:"units"`
}

// Word is a name with a line about it.
type Word struct {
	Name  string `json:"name"`
	About string `json:"about"`
}

// FirstAsk is what somebody answered so far; what is missing is not sure.
type FirstAsk struct {
	Answers map[string]string `json:"answers" doc:"by the names of winnow new's flags: units, collector, motor, claim, no-papers, inlet, wheel, bag, pull-blocked, hose-width, hose-length, hose-lies, machines, floor, cleaned"`
	Want    []string          `json:"want,omitempty" doc:"as in Ask"`
}

// First is the shop file that the answers make, and how it stands: every machine alone, the worst first in the sentence.
type First struct {
	Text string `json:"text"`
	Look Look   `json:"look"`
}
