package gates

import (
	"fmt"
	"math/bits"
)

// key is a world packed into four machine words: all of it, so that equal keys are equal worlds. The last byte holds what went
// wrong so far and nothing else, so that a world and its twin with nothing wrong differ only there.
type key [4]uint64

const trouble = uint64(0xff) << 56 // of key[3]

// hash spreads a key without its last byte.
func (k *key) hash() uint64 {
	const a, b = 0x9e3779b97f4a7c15, 0xd6e8feb86659fd93
	hi, lo := bits.Mul64(k[0]^a, k[1]^b)
	hi2, lo2 := bits.Mul64(k[2]^b^lo, k[3]&^trouble^a^hi)
	h := hi2 ^ lo2 ^ hi
	return (h ^ h>>29) * a
}

// faults are how many things went wrong on the way to a world.
func (k *key) faults() int { return int(k[3] >> 57) }

type bitsOut struct {
	w [5]uint64
	n uint
}

func (b *bitsOut) put(v uint64, width uint) {
	i, o := b.n>>6, b.n&63
	b.w[i] |= v << o
	if o+width > 64 {
		b.w[i+1] |= v >> (64 - o)
	}
	b.n += width
}

type bitsIn struct {
	w [5]uint64
	n uint
}

func (b *bitsIn) get(width uint) uint64 {
	i, o := b.n>>6, b.n&63
	v := b.w[i] >> o
	if o+width > 64 {
		v |= b.w[i+1] << (64 - o)
	}
	b.n += width
	return v & (1<<width - 1)
}

// widths of the fields that are not masks.
const (
	ticksWide = 4 // a counter of ticks
	flagsWide = 14
)

// pack writes a world as a key; unpack is its inverse for every world that forget has gone over.
func (r *room) pack(w *world) key {
	var b bitsOut
	n, g, s, d := uint(len(r.p.Stations)), uint(len(r.p.Gates)), &w.s, &w.d
	for _, m := range [...]Mask{s.On, s.Rising, s.Falling, s.Seen, s.Edge, s.Admitted, s.Keep, s.Lost, s.AirDue, d.Machines, w.silent, w.sawOff, w.fresh} {
		b.put(uint64(m), n)
	}
	for _, m := range [...]Mask{s.CmdOpen, s.Known, s.Open, s.Travels, s.Fault, s.GateOut, d.AtOpen, d.GoOpen, d.Jam, d.Deaf} {
		b.put(uint64(m), g)
	}
	b.put(uint64(s.Starts), uint(r.p.Starts))
	b.put(uint64(s.Alarms>>NoExtraction)&1, 1)
	b.put(uint64(s.Fan)|uint64(s.Mode)<<2|uint64(d.Fan)<<4|truth64(d.Contact)<<6|truth64(w.person)<<7, 8)
	b.put(uint64(s.Flags), flagsWide)
	for _, t := range w.left[:r.counters] {
		b.put(uint64(t), r.wide)
	}
	armed := uint64(0)
	for i, t := range w.left[r.counters:len(r.slots)] {
		armed |= uint64(t) << i
	}
	b.put(armed, uint(len(r.slots)-r.counters))
	if r.dials.Timed {
		for _, t := range w.gate[:g] {
			b.put(uint64(t), 2)
		}
		b.put(uint64(w.coast), ticksWide)
	}
	b.put(truth64(w.late.is)|uint64(w.late.gate)<<1|truth64(w.late.open)<<4|uint64(w.rest)<<5, 7)
	k := key(b.w[:4])
	k[3] |= (uint64(w.faults)<<1 | truth64(w.hand)) << 56
	return k
}

func (r *room) unpack(k key, w *world) {
	*w = world{}
	w.faults, w.hand = uint8(k.faults()), k[3]>>56&1 == 1
	var b bitsIn
	copy(b.w[:], k[:])
	b.w[3] &^= trouble
	n, g, s, d := uint(len(r.p.Stations)), uint(len(r.p.Gates)), &w.s, &w.d
	for _, m := range [...]*Mask{&s.On, &s.Rising, &s.Falling, &s.Seen, &s.Edge, &s.Admitted, &s.Keep, &s.Lost, &s.AirDue, &d.Machines, &w.silent, &w.sawOff, &w.fresh} {
		*m = Mask(b.get(n))
	}
	for _, m := range [...]*Mask{&s.CmdOpen, &s.Known, &s.Open, &s.Travels, &s.Fault, &s.GateOut, &d.AtOpen, &d.GoOpen, &d.Jam, &d.Deaf} {
		*m = Mask(b.get(g))
	}
	s.Starts = uint16(b.get(uint(r.p.Starts)))
	s.Alarms = uint16(b.get(1)) << NoExtraction
	v := b.get(8)
	s.Fan, s.Mode, d.Fan, d.Contact, w.person = Fan(v&3), Mode(v>>2&3), Fan(v>>4&3), v>>6&1 == 1, v>>7 == 1
	s.Flags = flags(b.get(flagsWide))
	for i := range r.counters {
		w.left[i] = uint8(b.get(r.wide))
	}
	armed := b.get(uint(len(r.slots) - r.counters))
	for i := range w.left[r.counters:len(r.slots)] {
		w.left[r.counters+i] = uint8(armed >> i & 1)
	}
	if r.dials.Timed {
		for i := range g {
			w.gate[i] = uint8(b.get(2))
		}
		w.coast = uint8(b.get(ticksWide))
	}
	v = b.get(7)
	w.late, w.rest = lateWord{v&1 == 1, int8(v >> 1 & 7), v>>4&1 == 1}, uint8(v>>5)
}

// fits says whether the plant can be packed.
func (r *room) fits() error {
	n, g := len(r.p.Stations), len(r.p.Gates)
	need := 13*n + 10*g + r.p.Starts + 1 + 8 + flagsWide + r.counters*int(r.wide) + len(r.slots) - r.counters + 7
	if r.dials.Timed {
		need += 2*g + ticksWide
	}
	if n > 8 || g > proofGates || len(r.slots) > proofSlots || need > 248 {
		return fmt.Errorf("%d stations and %d gates of %s take %d bits; the proof holds 248", n, g, r.p.Name, need)
	}
	return nil
}

func truth64(b bool) uint64 {
	if b {
		return 1
	}
	return 0
}
