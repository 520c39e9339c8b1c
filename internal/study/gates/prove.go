package gates

import (
	"context"
	"slices"
)

// Dials say what a proof looks at. Nothing outside them is proved; NotCovered says so in words.
type Dials struct {
	Name     string `json:"name"`
	Stations int    `json:"machines"`       // the first of the plant, each with its gates
	Timed    bool   `json:"by_the_clock"`   // timers run by ticks; else any armed timer may fire at any time
	Whole    bool   `json:"whole"`          // follow also what nothing else follows from: whether air is proved, its alarm, the least running time
	Rest     bool   `json:"any_others"`     // and any number of other machines: all that matters of them is free
	Alike    bool   `json:"alike_once"`     // look once at what only differs in the names of stations that nothing else tells apart
	Brief    bool   `json:"brief"`          // a level stands for its time at once: nothing else happens between a machine's start and its being recognised
	Faults   int    `json:"faults_at_most"` // at most so many disturbances on one way
	States   int    `json:"states_at_most"` // gives up behind so many
	Hands    int    `json:"-"`              // work side by side; 0 is one
}

// ProofResult is what came out of one run.
type ProofResult struct {
	Dials
	Explored int      `json:"states"`
	Steps    int      `json:"steps"`
	Bytes    int      `json:"memory_bytes"`
	Complete bool     `json:"complete"` // every reachable state was looked at
	Premises [22]int  `json:"premises"` // how often each rule had something to decide; [0] is not used
	Broken   uint8    `json:"broken_rule,omitempty"`
	Why      string   `json:"why,omitempty"`
	Timeline []string `json:"timeline,omitempty"`

	moments []moment // of the timeline: it can be replayed
}

// Prove explores every world the dials allow and says whether a rule can be broken. It ends early with what it has when ctx is
// done or the number of states is reached. tell is given the share of the allowed states seen so far; it may be nil.
func Prove(ctx context.Context, p *Plant, d Dials, tell func(float64)) (ProofResult, error) {
	return prove(ctx, p, d, tell, Step)
}

func prove(ctx context.Context, p *Plant, d Dials, tell func(float64), step stepper) (ProofResult, error) {
	r, err := newRoom(p, d, step)
	if err != nil {
		return ProofResult{}, err
	}
	x := newSearch(r)
	if tell == nil {
		tell = func(float64) {}
	}
	result := x.run(ctx, tell)
	if result.Broken != 0 && d.Alike { // the way there mixes up names: look for one that does not
		d.Alike = false
		plain, err := prove(ctx, p, d, tell, step)
		if err != nil || plain.Broken != 0 {
			return plain, err
		}
		result.Timeline, result.moments = nil, nil
	}
	return result, nil
}

const (
	pieceSize = 256 // worlds
	batchSize = 64  // pieces
)

// search walks all worlds breadth first, those in which less went wrong before the others, so that a counterexample is a shortest
// one among those with as few things going wrong. The order, and so the answer, does not depend on how many hands work.
type search struct {
	r      *room
	seen   visited
	hands  []*walker
	made   [batchSize][shardCount][]arrival
	broke  [batchSize]breach
	result ProofResult
}

// breach is a rule that broke, on the last step of a way.
type breach struct {
	rule uint8
	why  string
	from uint32
	by   moment
}

// piece is a run of worlds of one shard.
type piece struct{ shard, from, to int }

func newSearch(r *room) *search {
	x := &search{r: r, result: ProofResult{Dials: r.dials}}
	for range max(1, r.dials.Hands) {
		x.hands = append(x.hands, newWalker(r))
	}
	return x
}

func (x *search) run(ctx context.Context, tell func(float64)) ProofResult {
	w := x.hands[0]
	first := w.begin()
	if w.broken != 0 {
		return x.end(breach{rule: w.broken, why: w.why})
	}
	x.put(arrival{key: x.r.pack(&first)})
	var begun [shardCount]int
	for faults := 0; ; faults++ {
		from := begun
		for {
			to := x.ends()
			if to == from {
				break
			}
			if b, ok := x.pass(ctx, tell, from, to, false); !ok || b.rule != 0 {
				return x.end(b)
			}
			from = to
		}
		if faults == x.r.dials.Faults {
			break
		}
		if b, ok := x.pass(ctx, tell, begun, from, true); !ok || b.rule != 0 {
			return x.end(b)
		}
		begun = from
	}
	x.result.Complete = true
	return x.end(breach{})
}

func (x *search) put(a arrival) {
	a.hash = a.key.hash()
	x.seen.shards[a.hash%shardCount].add(&a, x.seen.apart)
}

func (x *search) ends() (e [shardCount]int) {
	for i := range e {
		e[i] = x.seen.shards[i].n
	}
	return e
}

// pass makes happen what may, in all worlds between two marks: what goes wrong, or all else. It ends at a broken rule; false where it
// was cut short.
func (x *search) pass(ctx context.Context, tell func(float64), from, to [shardCount]int, wrong bool) (breach, bool) {
	var pieces []piece
	for s := range shardCount {
		for at := from[s]; at < to[s]; at += pieceSize {
			pieces = append(pieces, piece{s, at, min(at+pieceSize, to[s])})
		}
	}
	for batch := range slices.Chunk(pieces, batchSize) {
		if ctx.Err() != nil || x.seen.count() > x.r.dials.States {
			return breach{}, false
		}
		side(len(x.hands), len(batch), func(hand, n int) { x.expand(x.hands[hand], n, batch[n], wrong) })
		for _, b := range x.broke[:len(batch)] {
			if b.rule != 0 {
				return b, true
			}
		}
		side(len(x.hands), shardCount, func(_, s int) {
			for n := range batch {
				for i := range x.made[n][s] {
					x.seen.shards[s].add(&x.made[n][s][i], x.seen.apart)
				}
			}
		})
		if !wrong {
			for _, b := range batch {
				x.result.Explored += b.to - b.from
			}
			tell(float64(x.result.Explored) / float64(x.r.dials.States))
		}
	}
	return breach{}, true
}

// expand takes one piece.
func (x *search) expand(w *walker, n int, b piece, wrong bool) {
	made := &x.made[n]
	for s := range made {
		made[s] = made[s][:0]
	}
	x.broke[n] = breach{}
	for i := b.from; i < b.to; i++ {
		id := uint32(i*shardCount + b.shard)
		x.r.unpack(*x.seen.key(id), &w.now)
		w.found = func(next *world, m moment) {
			k := x.r.pack(next)
			h := k.hash()
			s := h % shardCount
			made[s] = append(made[s], arrival{k, h, id, m})
		}
		w.successors(wrong)
		if w.broken != 0 {
			x.broke[n] = breach{w.broken, w.why, id, w.at}
			w.broken = 0
			return
		}
	}
}

// end sums up.
func (x *search) end(b breach) ProofResult {
	r := &x.result
	for _, w := range x.hands {
		r.Steps += w.steps
		for i, n := range w.premises {
			r.Premises[i] += n
		}
	}
	r.Bytes = x.seen.bytes()
	if b.rule != 0 {
		r.Complete, r.Broken, r.Why = false, b.rule, b.why
		r.moments = x.way(b)
		r.Timeline = x.r.story(r)
	}
	return *r
}

// way is what happened on the way to a breach.
func (x *search) way(b breach) []moment {
	if x.seen.count() == 0 {
		return nil
	}
	ms := []moment{b.by}
	for id := b.from; ; {
		from, by := x.seen.origin(id)
		if by.what == mBegin {
			break
		}
		ms = append(ms, by)
		id = from
	}
	slices.Reverse(ms)
	return ms
}

// replay walks a timeline again and returns the rule that breaks on it; 0 where none does, or where the timeline can no longer happen.
func replay(p *Plant, d Dials, moments []moment, step stepper) (uint8, error) {
	r, err := newRoom(p, d, step)
	if err != nil {
		return 0, err
	}
	w := newWalker(r)
	w.now = w.begin()
	for n := range moments {
		next, happened := w.now, false
		w.only = &moments[n]
		w.found = func(now *world, _ moment) { next, happened = *now, true }
		w.successors(false)
		w.successors(true)
		if w.broken != 0 {
			return w.broken, nil
		}
		if !happened {
			return 0, nil
		}
		w.now = next
	}
	return w.broken, nil
}
