package roomair

import (
	"fmt"
	"math"
	"strings"
	"unicode"

	"winnow/internal/physics/particle"
	"winnow/internal/shop"
	"winnow/internal/study/doubt"
	"winnow/internal/unit"
)

// flameWord is why blowing outdoors is not advised; empty where it may be. The question about a flame comes first.
func (st *study) flameWord() string {
	switch kind, _ := flames(st.in.Shop.Room); kind {
	case notSaid:
		return "say first whether there is a flame in the room"
	case natural:
		return "not beside a natural-draught flame, unless a door is open"
	}
	return ""
}

const (
	notSaid = "not said"
	noFlame = "none"
	sealed  = "sealed or forced"
	natural = "natural draught"
)

// flames says what burns in the room: a draught that was not said counts as natural.
func flames(r shop.Room) (kind string, name shop.ID) {
	if r.Flames.Basis == unit.Unsaid {
		return notSaid, ""
	}
	if !r.Flames.Is() || len(r.Flames.Value) == 0 {
		return noFlame, ""
	}
	for _, f := range r.Flames.Value {
		if f.Draught != "forced" && f.Draught != "sealed" {
			return natural, f.Name
		}
	}
	return sealed, r.Flames.Value[0].Name
}

const (
	flueHolds unit.Pascal = 2  // lower end of the 2 to 5 Pa commonly allowed. From memory [S-377]
	colder    unit.Kelvin = 20 // a winter's day. Assumed
	// leaksPerChange is the air changes at 50 Pa over those of everyday, a rule of thumb. From memory [S-378]
	leaksPerChange = 20
)

// outdoors says what it means to blow out what is blown back today, or what is blown out already.
func (st *study) outdoors() {
	i, already := st.returning(), false
	for k := range st.l.systems {
		if st.l.systems[k].outdoors && st.used(k) {
			i, already = k, true
		}
	}
	if i < 0 || !already && st.l.systems[i].kind != "collector" { // nobody pipes a vacuum's air outdoors
		return
	}
	kind, flame := flames(st.in.Shop.Room)
	fan := st.fan(i)
	flow, highest := fan.Best, max(fan.Best, fan.High)
	if flow <= 0 {
		return
	}
	below := func(q unit.M3PerSec, changes float64) unit.Pascal {
		return Depression(q, unit.PerSec(leaksPerChange*changes), st.l.volume)
	}
	o := &Outdoors{
		Flames: kind, Already: already, System: st.l.systems[i].name, Flow: flow, Highest: highest, Colder: colder, Heat: HeatLost(flow, st.l.air.Density, colder),
		Below: below(flow, st.l.changes.best), BelowLow: below(min(fan.Best, fan.Low), st.l.changes.high), BelowTop: below(highest, st.l.changes.low),
		Opening: Opening(highest, flueHolds, st.l.air.Density), Gain: Span{1, 1, 1},
	}
	if !already && len(st.ans.Filters) > 0 {
		o.Gain = st.ans.Filters[len(st.ans.Filters)-1].Respirable
	}
	if drawn := st.drawn(i); drawn > 0 { // as long as its ports draw, by the fan's own flow
		o.HeatWeek = unit.Joule(float64(o.Heat) / drawn * st.blown(i) * float64(st.l.days))
	}
	switch kind {
	case notSaid:
		o.Advice = "say first"
		st.find(CodeAskFlame, "room/flames", "S-377")
	case natural:
		o.Advice = "not beside the flame"
	default:
		o.Advice = "may"
	}
	st.ans.Outdoors = o
	if !already {
		return
	}
	at := st.l.systems[i].path.Join("air goes")
	args := []shop.Arg{shop.Word("system", o.System), sizeArg("flow", flow), roughArg("opening", o.Opening)}
	if kind == natural { // one finding, as grave as the draught
		code := CodeBesideFlame
		if o.Below > flueHolds {
			code = CodeFlame
		}
		st.find(code, at, "S-377", append(args, shop.Word("flame", flame), pullArg(o.BelowLow, o.BelowTop))...)
		return
	}
	st.find(CodeMakeUp, at, "S-374", append(args, roughArg("heat", o.Heat), colderArg(o.Colder))...)
}

func (st *study) hoods() {
	for s := range st.l.sources {
		src := &st.l.sources[s]
		joined := false
		for _, h := range src.hoods {
			joined = joined || h.system >= 0
		}
		if src.chore != NotAChore || joined || src.time <= 0 {
			continue
		}
		h := hoodAdvice(src)
		st.ans.Hoods = append(st.ans.Hoods, h)
		st.find(CodeNoPickup, src.path, "S-372", shop.Word("machine", src.name), shop.Number("at", h.At), usualArg(h.Usual), sizeArg("needs", h.Near), sizeArg("twice", h.Twice),
			roughArg("open", h.Open), sizeArg("closed", h.Closed))
	}
}

// cleanerAdvice says how big a cleaner is worth having, as boxes are sold, and what it cannot do.
func (st *study) cleanerAdvice() {
	merv13, err := particle.OfMERV(13)
	if err != nil {
		return
	}
	// What of the dust is left by the end of work hangs on the cleaner as well: so the day is run with the size that came out.
	losses := st.base.losses
	for pass := range 3 {
		if pass > 0 {
			l := *st.l
			l.cleaners = []cleaner{{
				path: shop.CleanerPath(newCleaner), flow: delivered(unit.Exactly(st.ans.Cleaner.HalfHour)), stages: []particle.Filter{merv13}, works: "with machines", keeps: 3600,
			}}
			losses = l.run(st.in.Belief, st.of, false).losses
		}
		st.ans.Cleaner = sizeOf(st.waitWith(merv13, losses))
	}
	st.shortWork()
}

// waitWith is the wait that is long enough nine times in ten by what is claimed for a cleaner [m³/s], of the size that stays
// longest and with the luck of a cleaner that is there; losses are by draw and size.
func (st *study) waitWith(f particle.Filter, losses [][]float64) func(claim float64) float64 {
	path := shop.CleanerPath(newCleaner)
	one := delivered(unit.Exactly(unit.M3PerSec(1)))
	flow := vary(st.in.Belief, one.factor(doubt.Key(path+"/flow")), st.of)
	low, high := f.Doubt()
	odds := vary(st.in.Belief, doubt.Own(doubt.Key(path+"/filter"), low, high), st.of)
	room := st.l.sampled(st.in.Belief, st.of)
	cleans := matrix(st.of+1, len(st.l.sizes)) // 1/s for each m³/s
	for i := range cleans {
		for k, b := range st.l.sizes {
			keeps := 1 - particle.Passing(f.Odds(b.Mid(), particle.Seasoned)*odds[i])
			cleans[i][k] = one.best * flow[i] * keeps / (float64(st.l.volume) * room.volume[i])
		}
	}
	return func(claim float64) float64 {
		t := make([]float64, st.of+1)
		for i := range t {
			least := math.Inf(1)
			for k, loss := range losses[i] {
				least = math.Min(least, loss+claim*cleans[i][k])
			}
			t[i] = math.Ln10 / (mixing(room.mixing[i]) * least)
		}
		_, nine := waits(t)
		return nine
	}
}

// sizeOf reads the two sizes off the wait by what is claimed for a cleaner.
func sizeOf(wait func(claim float64) float64) CleanerAdvice {
	const step, sizes = 170.0 / 3600, 100 // in quarters of a step: up to 1.2 m³/s
	var waited [sizes + 5]float64
	for q := range waited {
		waited[q] = wait(float64(q) * step / 4)
	}
	var c CleanerAdvice
	for q := range waited[:sizes+1] {
		if c.HalfHour == 0 && waited[q] <= 1800 {
			c.HalfHour = unit.M3PerSec(float64(q) * step / 4)
		}
		if c.StopAt == 0 && waited[q]-waited[q+4] < 300 {
			c.StopAt = unit.M3PerSec(float64(q) * step / 4)
		}
	}
	return c
}

// shortWork is what a cleaner spares the person at the dustiest machine in 10 min, 30 min and 3 h that begin in clean
// air, by the best estimate.
func (st *study) shortWork() {
	at, most := -1, 0.0
	for s := range st.l.sources {
		if st.l.sources[s].chore == NotAChore && st.l.sources[s].time > 0 && st.base.task[s][0][2] > most {
			at, most = s, st.base.task[s][0][2]
		}
	}
	if at < 0 {
		return
	}
	with, without := *st.l, *st.l
	without.cleaners = nil
	with.cleaners = []cleaner{typicalCleaner()}
	if len(st.l.cleaners) > 0 {
		with.cleaners = []cleaner{st.l.cleaners[0]}
		with.cleaners[0].works = "always"
	}
	spared := [3]float64{}
	for n, t := range []unit.Second{600, 1800, 10800} {
		spared[n] = 1 - with.breathed(st.in.Belief, at, t)/without.breathed(st.in.Belief, at, t)
	}
	st.ans.Cleaner.Short, st.ans.Cleaner.At = spared, st.l.sources[at].name
	st.find(CodeShortWork, st.l.sources[at].path, "S-381", shop.Word("machine", st.l.sources[at].name),
		partArg("ten", spared[0]), partArg("thirty", spared[1]), partArg("long", spared[2]))
}

func typicalCleaner() cleaner {
	f, _ := particle.OfMERV(13)
	return cleaner{flow: delivered(unit.Exactly(newCleanerM3s)), stages: []particle.Filter{f}, works: "always"}
}

// looseDust is the bulk density of settled wood dust. Assumed: 200 to 300 kg/m³ by common practice.
const looseDust unit.KgPerM3 = 250

// Beyond these nothing was checked, and a room does not behave as two stirred zones. Judgement.
const (
	longestDay  = 12 * 3600 // s
	mostChanges = 20        // times an hour by itself
	mostCleaned = 40        // times an hour by cleaners
)

// beyond names what the file says that is out of range, instead of a smooth number alone.
func (st *study) beyond() {
	say := func(at shop.Path, form string, x float64) {
		st.find(CodeBeyond, at, "judgement", shop.Word("what", fmt.Sprintf(form, PrintTwo(unit.Number(x), unit.SI))))
	}
	day, cleaned := 0.0, 0.0
	for i := range st.l.sources {
		if st.l.sources[i].chore == NotAChore {
			day += float64(st.l.sources[i].time)
		}
	}
	for i := range st.l.cleaners {
		cleaned += st.l.cleaners[i].flow.best * 3600 / float64(st.l.volume)
	}
	if day > longestDay {
		say("routine", "The routine comes to %s h a day at the machines", day/3600)
	}
	if n := 3600 * st.l.changes.best; n > mostChanges {
		say("room/air changes", "The air of the room is said to change %s times an hour", n)
	}
	if cleaned > mostCleaned {
		say("air cleaners", "The cleaners would clean the air of the room %s times an hour", cleaned)
	}
}

// cautions are said by what the shop and its routine are.
func (st *study) cautions() {
	s := st.in.Shop
	wood := woodOf(s.Routine.Wood)
	sanding := false
	for i := range st.l.sources {
		sanding = sanding || st.l.sources[i].about != nil && st.l.sources[i].about.Form == "fine dust" && st.l.sources[i].time > 0
	}
	if sanding {
		st.find(CodeFinerPaper, "routine", "air.yaml, emission cases")
	}
	if wood.cedar {
		st.find(CodeSensitiser, "routine/wood", "S-396", shop.Word("wood", s.Routine.Wood))
	} else if sensitises(s.Routine.Wood) {
		st.find(CodeSensitiser, "routine/wood", "from memory", shop.Word("wood", s.Routine.Wood))
	}
	if wood.board {
		st.find(CodeBoard, "routine/wood", "from memory")
	}
	st.find(CodeCarcinogen, "routine", "IARC, Monographs vol. 62 and 100C")
	if len(st.ans.Tasks) > 0 {
		st.find(CodePeople, "routine", "judgement", waitArg("out", st.ans.Clearing.StayOut.NineInTen))
	}
	st.find(CodeMonitor, "sensors", "air.yaml, sensor cases")
	st.find(CodeExplosive, "systems", "NFPA 664 section 1.1.2", shop.Word("scope", st.scope()), depthArg(LayerDepth(looseDust)), bulkArg(looseDust))
	st.find(CodeVapour, "room", "common practice, no source")
	st.find(CodeOldPaint, "room", "common practice, no source")
	if _, area := widestDoor(s.Room); area > 4 || saysCar(s) {
		st.find(CodeCar, "room", "common practice, no source")
	}
	for _, f := range s.Room.Flames.Value {
		if f.Draught == "" {
			st.find(CodeDraught, shop.Path("room/flames").Join(f.Name, "draught"), "judgement", shop.Word("flame", f.Name))
		}
	}
	for i := range st.l.systems {
		if !st.l.systems[i].outdoors && st.used(i) {
			var whose []string
			for _, r := range ReturnRules() {
				whose = append(whose, r.Whose)
			}
			st.find(CodeReturnRules, st.l.systems[i].path.Join("air goes"), "air.yaml, recirculation cases", shop.Word("whose", list(whose)))
			break
		}
	}
}

// General reports whether a finding holds in any shop, so that it tells nothing of this one.
func General(f shop.Finding, s *shop.Shop) bool {
	switch f.Code {
	case CodeMonitor:
		return len(s.Sensors) == 0
	case CodeShortWork:
		return len(s.AirCleaners) == 0
	case CodeCar:
		return !saysCar(s)
	case CodeShapeAssumed, CodeFinerPaper, CodeExplosive, CodeVapour, CodeOldPaint, CodePeople, CodeCarcinogen, CodeReturnRules:
		return true
	}
	return false
}

// saysCar reports whether the shop's own names tell of a car.
func saysCar(s *shop.Shop) bool {
	said := s.Name + " " + s.Note
	for _, d := range s.Room.Doors {
		said += " " + d.Name
	}
	for _, w := range strings.FieldsFunc(strings.ToLower(said), func(r rune) bool { return !unicode.IsLetter(r) }) {
		switch w {
		case "car", "cars", "garage", "carport", "truck", "van":
			return true
		}
	}
	return false
}

// scope says whether the US standard on wood dust takes the shop in: over 5,000 ft² or over 1,500 cfm in all. Below
// both it is out of the scope, which proves nothing.
func (st *study) scope() string {
	total := 0.0
	for i := range st.l.systems {
		total += float64(st.fan(i).Best)
	}
	if st.l.floor > 5000*0.09290304 || total > 1500*0.000471947443 {
		return "By its size this shop is in the scope of NFPA 664 (US)."
	}
	return "By its size this shop is below the scope of NFPA 664 (US): out of scope is not safe."
}
