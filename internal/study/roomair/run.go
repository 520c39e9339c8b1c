package roomair

import (
	"math"
	"strconv"

	"winnow/internal/physics/particle"
	"winnow/internal/study/doubt"
	"winnow/internal/unit"
)

// day is the order of things: which mode for how long, and who breathes it.
type day struct {
	spells []Spell
	task   []int // by spell: index of the source worked at, pause or away
	modes  []modeOf
	after  float64 // s from the last machine to the end of work: a pause, and cleaning up
}

const (
	pause = -1 // in the room, making no dust
	away  = -2 // not in the room
)

// modeOf says what runs in a mode: at most one source with its extraction, and the cleaners.
type modeOf struct {
	source   int  // the machine or chore; -1: none
	makes    bool // false: it has stopped, and its extraction runs on
	cleaners bool
	people   bool // somebody is there: feet stir up dust, and a door may stand open
}

const (
	pauseTime = 5 * 60      // s between two machines. Judgement [S-389]
	after     = 4 * 60 * 60 // s the day is followed after work
	piece     = 10 * 60     // s: the longest step of the line that is drawn
)

// dayOf lays out a usual day: each machine in the owner's order, a pause after it, cleaning up at the end, then the
// empty room with what keeps running. A line is drawn in pieces; without one a spell is as long as it is, which changes no sum.
func (l *layout) dayOf(line bool) *day {
	longest := math.Inf(1)
	if line {
		longest = piece
	}
	d := &day{}
	mode := func(m modeOf) int {
		d.modes = append(d.modes, m)
		return len(d.modes) - 1
	}
	add := func(m int, t float64, moves bool, task int) {
		for t > 1e-9 {
			step := math.Min(t, longest)
			d.spells = append(d.spells, Spell{Mode: m, For: unit.Second(step), Moves: moves})
			d.task = append(d.task, task)
			t, moves = t-step, false
		}
	}
	idle := mode(modeOf{source: -1, cleaners: true, people: true})
	keeps := l.keeps()
	for i := range l.sources {
		s := &l.sources[i]
		if s.time <= 0 {
			continue
		}
		if s.chore != NotAChore { // the cleaners' timers began when the last machine stopped
			left := math.Min(float64(s.time), math.Max(0, keeps-d.after))
			add(mode(modeOf{source: i, makes: true, cleaners: true, people: true}), left, true, i)
			add(mode(modeOf{source: i, makes: true, people: true}), float64(s.time)-left, left == 0, i)
			d.after += float64(s.time)
			continue
		}
		add(mode(modeOf{source: i, makes: true, cleaners: true, people: true}), float64(s.time), true, i)
		on := 0.0
		for _, y := range s.systemsOf() {
			on = math.Max(on, math.Min(pauseTime, float64(l.systems[y].runOn)))
		}
		if on > 0 {
			add(mode(modeOf{source: i, cleaners: true, people: true}), on, false, pause)
		}
		add(idle, pauseTime-on, true, pause)
		d.after = pauseTime
	}
	keeps = math.Min(math.Max(0, keeps-d.after), after)
	add(mode(modeOf{source: -1, cleaners: true}), keeps, true, away)
	add(mode(modeOf{source: -1}), after-keeps, keeps == 0, away)
	return d
}

// keeps is how long the longest timer keeps a cleaner running after the last machine [s].
func (l *layout) keeps() float64 {
	keeps := 0.0
	for _, c := range l.cleaners {
		keeps = math.Max(keeps, float64(c.keeps))
	}
	return keeps
}

func (s *source) systemsOf() []int {
	var out []int
	for _, h := range s.hoods {
		seen := h.system < 0
		for _, y := range out {
			seen = seen || y == h.system
		}
		if !seen {
			out = append(out, h.system)
		}
	}
	return out
}

// draws are the multipliers of every uncertain number, sample by sample; index 0 is the best estimate.
type draws struct {
	of      int
	volume  []float64
	between []float64
	changes []float64
	opened  []float64
	stirred []float64
	mixing  []float64
	landing [][]float64 // by size
	dust    [][]float64 // by source
	stream  [][]float64
	size    [][]float64
	escape  [][]float64 // multiplies the share missed
	bare    [][]float64
	gets    [][][]float64 // by source and hood
	odds    [][]float64   // by system
	leak    [][]float64
	cut     []float64
	flow    [][]float64 // by cleaner
	stage   [][]float64
	total   []float64 // a "total dust" sampler over an inhalable one
}

// vary draws a factor.
func vary(b *doubt.Belief, f doubt.Factor, of int) []float64 {
	z := b.Draws(f, of)
	out := make([]float64, len(z))
	for i := range z {
		out[i] = f.At(z[i])
	}
	return out
}

// sampled draws everything. Keys are names of the shop: the same luck before and after a change.
func (l *layout) sampled(b *doubt.Belief, of int) *draws {
	one := func(key string, low, high float64) []float64 {
		return vary(b, doubt.Own(doubt.Key(key), low, high), of)
	}
	from := func(key string, x band) []float64 { return vary(b, x.factor(doubt.Key(key)), of) }
	d := &draws{
		of: of, volume: one("room/volume", 0.9, 1.1), between: from("room/air between the zones", l.between),
		changes: from("room/air changes", l.changes), mixing: one("room/mixing", 2.0/3, 4.0/3),
		cut: one("room/separator cut", 0.5, 2), total: one("room/total dust sampler", 0.55, 1.8),
		opened: from("room/opened", l.opened), stirred: from("room/stirred up", stirredUp),
	}
	z := b.Draws(doubt.Own("room/deposition", 0.5, 2), of)
	for _, r := range l.landing {
		f := doubt.Own("room/deposition", float64(r.Low/r.Best), float64(r.High/r.Best))
		row := make([]float64, of+1)
		for i := range row {
			row[i] = f.At(z[i])
		}
		d.landing = append(d.landing, row)
	}
	for i := range l.sources {
		s := &l.sources[i]
		key := string(s.path)
		if s.chore != NotAChore {
			key += "/" + s.chore.String()
		}
		// Half of the doubt about emission is ours and common to all: the tables were reckoned back in the same way.
		f := s.dust.factor(doubt.Key(key + "/dust"))
		d.dust = append(d.dust, vary(b, doubt.Shared("kind/dust", 0.5, doubt.Key(key+"/dust"), f.Low, f.High), of))
		d.stream = append(d.stream, from(key+"/stream", s.stream))
		d.size = append(d.size, one("kind/"+sizeKey(s.spread)+"/size", 0.75, 1.33))
		d.escape = append(d.escape, from(key+"/escape", s.all))
		d.bare = append(d.bare, from(key+"/escape", s.bare)) // one key: a worse cabinet is worse with and without its guard
		var hoods [][]float64
		for _, h := range s.hoods {
			k := key + "/airflow"
			if h.system >= 0 {
				k = string(l.systems[h.system].path) + "/airflow"
			}
			hoods = append(hoods, from(k, h.gets))
		}
		d.gets = append(d.gets, hoods)
	}
	for i := range l.systems {
		y := &l.systems[i]
		low, high := y.filter.Doubt()
		d.odds = append(d.odds, one(string(y.path)+"/filter", low, high))
		d.leak = append(d.leak, from(string(y.path)+"/leak", y.leak))
	}
	for i := range l.cleaners {
		c := &l.cleaners[i]
		d.flow = append(d.flow, from(string(c.path)+"/flow", c.flow))
		low, high := 1.0, 1.0
		for _, f := range c.stages {
			a, b := f.Doubt()
			low, high = math.Min(low, a), math.Max(high, b)
		}
		d.stage = append(d.stage, one(string(c.path)+"/filter", low, high))
	}
	return d
}

func sizeKey(s particle.Spread) string {
	return strconv.FormatFloat(float64(s.Median/particle.Micrometre), 'f', 0, 64) + " µm"
}

// numbers is one sample of the shop, with memory kept from sample to sample.
type numbers struct {
	room    Room
	passes  [][]float64 // by system: share of each size that comes back to the room
	cleaned [][]float64 // by cleaner: share that passes
	flow    []float64   // by cleaner
	rate    [][]float64 // by source: airborne kg/s of each size where nothing catches it
	near    [][]float64 // what escapes
	caught  [][][]float64
	gets    [][]float64
	missed  []float64 // share missed, by source
	opened  float64
	stirred []float64 // what feet stir up, kg/s of each size
	modes   []Mode
	eng     Engine
	course  Course
	shares  map[particle.Spread][]float64 // of this sample, by spread as drawn
	stream  []float64                     // shares of the fine dust that goes with the chips
}

func matrix(rows, columns int) [][]float64 {
	all := make([]float64, rows*columns)
	out := make([][]float64, rows)
	for i := range out {
		out[i] = all[i*columns : (i+1)*columns]
	}
	return out
}

func (l *layout) newNumbers() *numbers {
	n := len(l.sizes)
	x := &numbers{
		room:   Room{NearFalls: make([]float64, n), FarLands: make([]float64, n), Outdoors: make([]float64, n), Drops: make([]bool, n)},
		passes: matrix(len(l.systems), n), cleaned: matrix(len(l.cleaners), n), flow: make([]float64, len(l.cleaners)),
		rate: matrix(len(l.sources), n), near: matrix(len(l.sources), n), missed: make([]float64, len(l.sources)),
		shares: map[particle.Spread][]float64{}, stream: streamSpread.Shares(l.sizes),
		stirred: make([]float64, n),
	}
	for i := range l.sources {
		x.caught = append(x.caught, matrix(len(l.sources[i].hoods), n))
		x.gets = append(x.gets, make([]float64, len(l.sources[i].hoods)))
	}
	for k, b := range l.sizes {
		x.room.Drops[k] = b.Low >= 29*particle.Micrometre // above about 30 µm there is no concentration of a room
	}
	return x
}

// set fills in sample i.
func (l *layout) set(x *numbers, d *draws, i int) {
	n := len(l.sizes)
	volume := float64(l.volume) * d.volume[i]
	x.room.Near = l.near
	x.room.Far = unit.M3(volume) - l.near
	x.room.Between = unit.M3PerSec(l.between.best * d.between[i])
	x.room.Changes = unit.M3PerSec(l.changes.best * d.changes[i] * volume)
	x.opened = l.opened.best * d.opened[i]
	l.setStirred(x, stirredUp.best*d.stirred[i])
	for k := range n {
		x.room.NearFalls[k] = l.falling[k] * l.nearArea
		x.room.FarLands[k] = float64(l.landing[k].Best) * d.landing[k][i] * float64(x.room.Far)
	}
	for y := range l.systems {
		s := &l.systems[y]
		leak := math.Min(1, s.leak.best*d.leak[y][i])
		for k, b := range l.sizes {
			p := 0.0
			if !s.outdoors {
				p = particle.Passing(s.filter.Odds(b.Mid(), particle.Seasoned) * d.odds[y][i])
			}
			x.passes[y][k] = leak + (1-leak)*p
		}
	}
	for c := range l.cleaners {
		x.flow[c] = l.cleaners[c].flow.best * d.flow[c][i]
		for k, b := range l.sizes {
			p := 1.0
			for _, f := range l.cleaners[c].stages {
				p *= particle.Passing(f.Odds(b.Mid(), particle.Seasoned) * d.stage[c][i])
			}
			x.cleaned[c][k] = p
		}
	}
	clear(x.shares)
	for s := range l.sources {
		l.setSource(x, d, i, s)
	}
}

// stirredUp is the inhalable dust that a person walking about puts back into the air [kg/s]: 0.03 to 0.5 mg/min of the
// dust under 5 µm in homes (Ferro and others 2004, from memory), wider here. Source [S-391].
var stirredUp = band{0.1e-6 / 60, 0.01e-6 / 60, 1e-6 / 60}

func (l *layout) setStirred(x *numbers, rate float64) {
	mass, ok := x.shares[coarseSpread]
	if !ok {
		mass = coarseSpread.Shares(l.sizes)
	}
	inhalable := 0.0
	for k := range mass {
		inhalable += mass[k] * l.counts[0][k]
	}
	for k := range mass {
		if x.stirred[k] = rate * mass[k] / inhalable; x.room.Drops[k] { // it falls at once
			x.stirred[k] = 0
		}
	}
}

// setSource is what one source gives off, what of it escapes, and what goes into each hood.
//
//	missed = 1 - Σ η·min(1, Q/Q_fine)
//
// with η the part the main ports catch, and what an over-blade guard catches beyond them. A straight line up to the
// fine need has published support for hand sanders only; for machines on a stand its shape is an assumption.
// Source [S-390].
func (l *layout) setSource(x *numbers, d *draws, i, s int) {
	src := &l.sources[s]
	spread := src.spread
	spread.Median *= unit.Metre(d.size[s][i])
	mass, ok := x.shares[spread] // most sources share a few spreads
	if !ok {
		mass = spread.Shares(l.sizes)
		x.shares[spread] = mass
	}
	inhalable := 0.0
	for k := range mass {
		inhalable += mass[k] * l.counts[0][k]
	}
	rate := src.dust.best * d.dust[s][i] / inhalable
	bare := math.Min(1, src.bare.best*d.bare[s][i])
	all := math.Min(bare, src.all.best*d.escape[s][i])

	var need, extraNeed, got, extraGot float64
	for h := range src.hoods {
		q := src.hoods[h].gets.best * d.gets[s][h][i]
		x.gets[s][h] = q
		if src.hoods[h].extra {
			extraNeed += src.hoods[h].needs.best
			extraGot += q
		} else {
			need += src.hoods[h].needs.best
			got += q
		}
	}
	if len(src.hoods) == 0 || need == 0 || !src.hasExtra() && src.about != nil && src.about.EscapeBare != nil {
		all = bare // what the ports it lacks would catch
	}
	main, extra := 0.0, 0.0
	if need > 0 {
		main = (1 - bare) * math.Min(1, got/need)
	}
	if extraNeed > 0 {
		extra = (bare - all) * math.Min(1, extraGot/extraNeed)
	}
	missed := 1 - main - extra
	x.missed[s] = missed
	for k := range mass {
		x.rate[s][k] = rate * mass[k]
		x.near[s][k] = missed * x.rate[s][k]
	}
	for h := range src.hoods {
		part := 0.0
		switch hd := &src.hoods[h]; {
		case hd.extra && extraGot > 0:
			part = extra * x.gets[s][h] / extraGot
		case !hd.extra && got > 0:
			part = main * x.gets[s][h] / got
		}
		for k, b := range l.sizes {
			c := part * (x.rate[s][k] + src.stream.best*d.stream[s][i]*x.stream[k])
			for _, sep := range src.hoods[h].separators {
				c *= 1 - float64(particle.Keeps(b.Mid(), sep.Cut*unit.Metre(d.cut[i])))
			}
			x.caught[s][h][k] = c
		}
	}
}

func (s *source) hasExtra() bool {
	for _, h := range s.hoods {
		if h.extra && h.system >= 0 {
			return true
		}
	}
	return false
}

// modesOf are the modes of a day at the sample that is set.
func (l *layout) modesOf(x *numbers, d *day) []Mode {
	x.modes = x.modes[:0]
	for m := range d.modes {
		x.modes = append(x.modes, l.mode(x, &d.modes[m]))
	}
	return x.modes
}

func (l *layout) mode(x *numbers, m *modeOf) Mode {
	var out Mode
	if m.source >= 0 {
		src := &l.sources[m.source]
		if m.makes {
			out.NearSource = x.near[m.source]
		}
		for h := range src.hoods {
			y := src.hoods[h].system
			if y < 0 {
				continue
			}
			draw := Draw{Flow: unit.M3PerSec(x.gets[m.source][h]), Near: hoodNear, Passes: x.passes[y], Outdoors: l.systems[y].outdoors}
			if m.makes {
				draw.Caught = x.caught[m.source][h]
			}
			out.Draws = append(out.Draws, draw)
		}
	}
	for c := range l.cleaners {
		w := l.cleaners[c].works
		if w == "always" || m.cleaners && w != "by hand" {
			out.Draws = append(out.Draws, Draw{Flow: unit.M3PerSec(x.flow[c]), Passes: x.cleaned[c]})
		}
	}
	if m.people {
		out.Opened = unit.M3PerSec(x.opened)
		out.FarSource = x.stirred
	}
	return out
}

// hoodNear is the part of a hood's room air that comes past the person. Judgement [S-389].
const hoodNear = 0.5

// dose is an average level while something went on, by convention: inhalable, thoracic, respirable [kg/m³].
type dose [3]float64

// outcome is what the samples gave. Index 0 of each is the best estimate, the rest are draws.
type outcome struct {
	task   [][]dose // by source and sample: mean while at it
	caught [][]float64
	twa    []dose      // by sample: over 8 h
	others []dose      // by sample: mean in the rest of the room from the first machine to the last
	line   [][]dose    // by spell and sample: mean in it, of what the person breathes
	alone  []float64   // s until a tenth is left, without any cleaner
	helped []float64   // s with the cleaners; NaN where there is none
	asSet  []fade      // as the cleaners' timers are set today
	losses [][]float64 // by sample and size: 1/s without any cleaner; +Inf where the size does not count
}

// run goes through the day with every draw.
func (l *layout) run(b *doubt.Belief, of int, line bool) *outcome {
	d, dr, x := l.dayOf(line), l.sampled(b, of), l.newNumbers()
	out := &outcome{
		task: make([][]dose, len(l.sources)), caught: make([][]float64, len(l.sources)),
		twa: make([]dose, of+1), others: make([]dose, of+1),
		alone: make([]float64, of+1), helped: make([]float64, of+1), losses: matrix(of+1, len(l.sizes)),
	}
	for s := range l.sources {
		out.task[s], out.caught[s] = make([]dose, of+1), make([]float64, of+1)
	}
	for _, t := range l.timers(d.after) {
		out.asSet = append(out.asSet, fade{until: t, tenth: make([]float64, of+1)})
	}
	if line {
		out.line = make([][]dose, len(d.spells))
		for i := range out.line {
			out.line[i] = make([]dose, of+1)
		}
	}
	for i := 0; i <= of; i++ {
		l.set(x, dr, i)
		modes := l.modesOf(x, d)
		if err := x.eng.Prepare(&x.room, modes); err != nil {
			panic(err) // build keeps every room one that can be run
		}
		x.eng.Run(&x.room, d.spells, nil, nil, false, &x.course)
		l.gather(out, d, x, i)
		l.clears(out, d, x, dr, i)
	}
	return out
}

// gather adds up what was breathed.
func (l *layout) gather(out *outcome, d *day, x *numbers, i int) {
	n := len(l.sizes)
	var work float64
	for s, spell := range d.spells {
		at := d.task[s]
		if at == away {
			if out.line != nil {
				out.line[s][i] = l.counted(x.course.FarSum[s*n:(s+1)*n], 1/float64(spell.For))
			}
			continue
		}
		breathed := l.counted(x.course.NearSum[s*n:(s+1)*n], 1)
		room := l.counted(x.course.FarSum[s*n:(s+1)*n], 1)
		work += float64(spell.For)
		for c := range breathed {
			out.twa[i][c] += breathed[c] / eightHours
			out.others[i][c] += room[c]
			if at >= 0 {
				out.task[at][i][c] += breathed[c] / float64(l.sources[at].time)
			}
			if out.line != nil {
				out.line[s][i][c] = breathed[c] / float64(spell.For)
			}
		}
	}
	if work > 0 {
		for c := range out.others[i] {
			out.others[i][c] /= work
		}
	}
	for s := range l.sources {
		out.caught[s][i] = 1 - x.missed[s]
	}
}

// eightHours is what every 8-hour average divides by, however short the work was. Source [S-392].
const eightHours = 8 * 3600.0

func (l *layout) counted(sum []float64, by float64) dose {
	var out dose
	for c := range out {
		for k, w := range l.counts[c] {
			out[c] += w * sum[k]
		}
		out[c] *= by
	}
	return out
}

// clears is how long a tenth of the dust stays once work is over,
//
//	t = max over sizes of ln 10/(m·k)   [s]
//
// over the sizes that carry at least a twentieth of the respirable dust then. m 0.5 to 1 is for corners that mix badly.
// It holds only while nothing emits: a room that is being worked in never clears. Source [S-362], [S-393].
func (l *layout) clears(out *outcome, d *day, x *numbers, dr *draws, i int) {
	n := len(l.sizes)
	last := len(d.spells) - 1
	for last > 0 && d.task[last] == away {
		last--
	}
	// The far level when work ends: the mean of the last spell stands for it, as only shares matter.
	far := x.course.FarSum[last*n : (last+1)*n]
	sum := 0.0
	for k := range far {
		sum += l.counts[2][k] * far[k]
	}
	counts := func(k int) bool { return !x.room.Drops[k] && l.counts[2][k]*far[k] >= 0.05*sum }
	volume := float64(x.room.Far + x.room.Near)
	loss := out.losses[i]
	for k := range loss {
		if loss[k] = math.Inf(1); counts(k) {
			loss[k] = float64(x.room.Changes)/volume + x.room.FarLands[k]/float64(x.room.Far)
		}
	}
	slowest := func(running func(*cleaner) bool) float64 { // 1/s
		least := math.Inf(1)
		for k := range far {
			if counts(k) {
				least = math.Min(least, loss[k]+x.cleanedBy(l, k, running)/volume)
			}
		}
		return least
	}
	tenth := math.Ln10 / mixing(dr.mixing[i])
	all := func(*cleaner) bool { return true }
	out.alone[i] = tenth / slowest(func(*cleaner) bool { return false })
	out.helped[i] = math.NaN()
	if len(l.cleaners) > 0 {
		out.helped[i] = tenth / slowest(all)
	}
	from := 0.0
	for s := range out.asSet {
		out.asSet[s].tenth[i] = tenth / slowest(func(c *cleaner) bool { return c.runsOn()-d.after > from })
		from = out.asSet[s].until
	}
}

// mixing is what corners leave of a purge that is mixed through: 0.75 (0.5 to 1), and never more than perfect.
func mixing(drawn float64) float64 { return math.Min(1, 0.75*drawn) }

// cleanedBy is the air that the running cleaners clean of one size [m³/s].
func (x *numbers) cleanedBy(l *layout, k int, running func(*cleaner) bool) float64 {
	sum := 0.0
	for c := range l.cleaners {
		if running(&l.cleaners[c]) {
			sum += x.flow[c] * (1 - x.cleaned[c][k])
		}
	}
	return sum
}

// breathed is the respirable dust that the person at one source breathes in a time that begins in clean air, by the best
// estimate [kg·s/m³].
func (l *layout) breathed(b *doubt.Belief, source int, t unit.Second) float64 {
	x := l.newNumbers()
	l.set(x, l.sampled(b, 1), 0)
	m := modeOf{source: source, makes: true, cleaners: true, people: true}
	if err := x.eng.Prepare(&x.room, []Mode{l.mode(x, &m)}); err != nil {
		panic(err)
	}
	x.eng.Run(&x.room, []Spell{{For: t, Moves: true}}, nil, nil, false, &x.course)
	return l.counted(x.course.NearSum, 1)[2]
}
