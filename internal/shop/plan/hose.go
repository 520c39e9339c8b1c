package plan

import (
	"math"

	"winnow/internal/unit"
)

// Bow is the line of a hose of the given length that hangs or lies between two points: a half wave to one side, or so
// many half waves that none is higher than a third of the way. side is +1 for the left of the air's way, -1 for the
// right. It is a drawing of slack, no prediction; its length is right to a millionth. A hose no longer than the way is
// straight.
//
//	offset(t) = h·sin(nπt) level and square to the way,  h such that the line's length is the hose's
//
// Source: own construction.
func Bow(a, b Vec3, long unit.Metre, side float64) []Vec3 { return bow(a, b, long, side, 0.35) }

// bow takes the most a half wave may be high, as a share of the way.
func bow(a, b Vec3, long unit.Metre, side, most float64) []Vec3 {
	way := b.minus(a)
	straight := way.length()
	if straight < hair {
		return coil(a, b, long, side)
	}
	if long <= straight*(1+1e-9) {
		return []Vec3{a, b}
	}
	off := way.level().across()
	if off.length() < hair { // plumb: any side will do
		off = Vec3{East: -1}
	}
	off = off.times(side / float64(off.length()))
	for n := 1; ; n++ {
		h := bowHeight(float64(straight), float64(long), n)
		if n < 8 && h > most*float64(straight) {
			continue
		}
		steps := n * stepsPerHalfWave
		line := make([]Vec3, steps+1)
		for i := range line {
			line[i] = a.towards(b, float64(i)/float64(steps)).plus(off.times(h * halfWave(i, n)))
		}
		line[steps] = b
		return line
	}
}

const stepsPerHalfWave = 12

// halfWave is sin(nπ·i/steps), exact at the knots.
func halfWave(i, n int) float64 {
	if i%stepsPerHalfWave == 0 {
		return 0
	}
	return math.Sin(math.Pi * float64(i) / stepsPerHalfWave)
}

// bowHeight is the h that makes n half waves of straight steps as long as asked. The length grows with h and curves
// upwards, so Newton's steps from above come down on it and never pass it.
func bowHeight(straight, long float64, n int) float64 {
	steps := n * stepsPerHalfWave
	c := straight / float64(steps)
	var rise [stepsPerHalfWave]float64
	for i := range rise {
		rise[i] = math.Sin(math.Pi*float64(i+1)/stepsPerHalfWave) - math.Sin(math.Pi*float64(i)/stepsPerHalfWave)
	}
	h := long / (2 * float64(n)) // two flanks of a half wave are at least 2h
	for range 60 {
		var f, slope float64
		for _, r := range rise {
			d := math.Sqrt(c*c + h*h*r*r)
			f += d
			slope += h * r * r / d
		}
		f, slope = f*float64(n)-long, slope*float64(n)
		h -= f / slope
		if f < 1e-9*long {
			break
		}
	}
	return h
}

// coil is a loop for a hose whose two ends meet.
func coil(a, b Vec3, long unit.Metre, side float64) []Vec3 {
	if long < hair {
		return []Vec3{a, b}
	}
	const steps = 24
	// a polygon of 24 sides has this radius when its outline is as long as the hose
	r := float64(long) / (2 * steps * math.Sin(math.Pi/steps))
	line := make([]Vec3, steps+1)
	for i := range line {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / steps)
		line[i] = a.plus(Vec3{East: unit.Metre(r * sin), North: unit.Metre(side * r * (1 - cos))})
	}
	line[0], line[steps] = a, b
	return line
}

// bowAlong lays a hose along a way of one or more legs, each leg with its share of the length, so that it is least in the
// way: out of walkways and obstacles and inside the room, on one side or the other, in one wide bow or several flat ones.
func (b *builder) bowAlong(way []Vec3, long unit.Metre) []Vec3 {
	straight := LineLength(way)
	sure := -1 // what even the straight way crosses; reckoned when it is asked for
	var best []Vec3
	least := 0
	for _, most := range [...]float64{0.35, 0.15, 0.07} {
		for _, side := range [...]float64{+1, -1} {
			line := bowLegs(way, long, straight, side, most)
			bad := b.inTheWay(line)
			if best == nil || bad < least {
				best, least = line, bad
			}
			if sure < 0 && least > 0 {
				sure = b.inTheWay(way)
			}
			if least == 0 || least <= sure {
				return best
			}
		}
	}
	return best
}

func bowLegs(way []Vec3, long, straight unit.Metre, side, most float64) []Vec3 {
	if len(way) == 2 {
		return bow(way[0], way[1], long, side, most)
	}
	line := []Vec3{way[0]}
	for i := 1; i < len(way); i++ {
		share := 1 / float64(len(way)-1)
		if straight > 0 {
			share = float64(Distance(way[i-1], way[i]) / straight)
		}
		line = append(line, bow(way[i-1], way[i], unit.Metre(share)*long, side, most)[1:]...)
	}
	return line
}

// inTheWay counts walkways and obstacles a line crosses, and weighs leaving the room like all of them.
func (b *builder) inTheWay(line []Vec3) int {
	n := 0
	box := boxOf(line)
	for i := range b.l.Walkways {
		if b.low(line, box, b.l.Walkways[i].Corners, headroom) {
			n++
		}
	}
	for i := range b.l.Obstacles {
		if o := &b.l.Obstacles[i]; b.low(line, box, o.Corners, o.Height.Best) {
			n++
		}
	}
	if room := b.l.Room.Corners; len(room) > 2 && !b.badRoom {
		out := 0
		for _, p := range line {
			if !room.Contains(p) && room.Gap(p) > inch {
				out = 100
			}
		}
		n += out
	}
	return n
}
