package gates

import "sync"

// visited is the set of all worlds seen, in shards that are filled side by side. A world has a number: its place in its shard and the
// shard, together.
type visited struct {
	shards [shardCount]shard
	apart  bool // twins are kept apart, for a test
}

const (
	shardCount = 16
	chunkSize  = 1 << 12
)

// shard keeps its worlds in chunks, so that growing copies none, and finds them by open addressing. An entry of the table is the upper
// half of the hash and the place plus one.
type shard struct {
	worlds [][]key
	from   [][]uint32
	by     [][]moment
	table  []uint64
	n      int
}

// arrival is a world that was just made, on its way to the set.
type arrival struct {
	key  key
	hash uint64
	from uint32
	by   moment
}

func (v *visited) key(id uint32) *key {
	s, i := &v.shards[id%shardCount], id/shardCount
	return &s.worlds[i/chunkSize][i%chunkSize]
}

func (v *visited) origin(id uint32) (uint32, moment) {
	s, i := &v.shards[id%shardCount], id/shardCount
	return s.from[i/chunkSize][i%chunkSize], s.by[i/chunkSize][i%chunkSize]
}

func (v *visited) count() (n int) {
	for i := range v.shards {
		n += v.shards[i].n
	}
	return n
}

// bytes is the memory the set holds.
func (v *visited) bytes() (n int) {
	for i := range v.shards {
		s := &v.shards[i]
		n += len(s.worlds)*chunkSize*(32+4+4) + 8*len(s.table)
	}
	return n
}

// add puts a world into the set where neither it nor its twin, to which less went wrong, is there. What can happen to a world can
// happen to that twin, and no less is asked of the twin: see docs/gates.md.
func (s *shard) add(a *arrival, apart bool) {
	if 2*s.n >= len(s.table) {
		s.grow()
	}
	tag := a.hash >> 32
	mask := uint64(len(s.table) - 1)
	for h := tag & mask; ; h = (h + 1) & mask {
		e := s.table[h]
		if e == 0 {
			s.table[h] = tag<<32 | uint64(s.n+1)
			s.push(a)
			return
		}
		if e>>32 != tag {
			continue
		}
		i := int(uint32(e)) - 1
		have := &s.worlds[i/chunkSize][i%chunkSize]
		if have[0] == a.key[0] && have[1] == a.key[1] && have[2] == a.key[2] && (have[3]^a.key[3])&^trouble == 0 &&
			(have[3] == a.key[3] || have[3] < a.key[3] && !apart) {
			return
		}
	}
}

func (s *shard) push(a *arrival) {
	c := s.n / chunkSize
	if c == len(s.worlds) {
		s.worlds = append(s.worlds, make([]key, 0, chunkSize))
		s.from = append(s.from, make([]uint32, 0, chunkSize))
		s.by = append(s.by, make([]moment, 0, chunkSize))
	}
	s.worlds[c] = append(s.worlds[c], a.key)
	s.from[c] = append(s.from[c], a.from)
	s.by[c] = append(s.by[c], a.by)
	s.n++
}

func (s *shard) grow() {
	old := s.table
	s.table = make([]uint64, max(1<<10, 2*len(old)))
	mask := uint64(len(s.table) - 1)
	for _, e := range old {
		if e == 0 {
			continue
		}
		h := e >> 32 & mask
		for s.table[h] != 0 {
			h = (h + 1) & mask
		}
		s.table[h] = e
	}
}

// side runs work on so many hands, each taking the next piece.
func side(hands, pieces int, work func(hand, piece int)) {
	if hands <= 1 || pieces <= 1 {
		for i := range pieces {
			work(0, i)
		}
		return
	}
	var next sync.Mutex
	n := 0
	take := func() int {
		next.Lock()
		defer next.Unlock()
		n++
		return n - 1
	}
	var all sync.WaitGroup
	for h := range hands {
		all.Go(func() {
			for i := take(); i < pieces; i = take() {
				work(h, i)
			}
		})
	}
	all.Wait()
}
