package plan

import (
	"math"

	"winnow/internal/unit"
)

// Polygon is an area of the floor by its corners in order; heights are ignored and the last corner joins the first.
// It need not be convex.
type Polygon []Vec3

// SignedArea is positive where the corners run counter-clockwise seen from above (shoelace formula). Source [S-200].
func (p Polygon) SignedArea() unit.M2 {
	if len(p) < 3 {
		return 0
	}
	var twice float64
	// measured from the first corner: a shop far from its zero would lose digits otherwise
	for i := 1; i+1 < len(p); i++ {
		a, b := p[i].minus(p[0]), p[i+1].minus(p[0])
		twice += float64(a.East*b.North - b.East*a.North)
	}
	return unit.M2(twice / 2)
}

// Area is the area enclosed; meaningless where the outline crosses itself (see CrossesItself).
func (p Polygon) Area() unit.M2 { return unit.M2(math.Abs(float64(p.SignedArea()))) }

// Perimeter is the length of the outline.
func (p Polygon) Perimeter() unit.Metre {
	var sum unit.Metre
	p.edges(func(a, b Vec3) bool { sum += Distance(a.level(), b.level()); return true })
	return sum
}

// edges calls f for each edge until it returns false.
func (p Polygon) edges(f func(a, b Vec3) bool) {
	for i := range p {
		if !f(p[i], p[(i+1)%len(p)]) {
			return
		}
	}
}

// CrossesItself reports whether two edges that are not neighbours meet, or two neighbours fold back on each other.
func (p Polygon) CrossesItself() bool {
	n := len(p)
	for i := 0; i < n; i++ {
		a, b := p[i], p[(i+1)%n]
		c := p[(i+2)%n]
		if foldsBack(a, b, c) {
			return true
		}
		for j := i + 2; j < n; j++ {
			if i == 0 && j == n-1 {
				continue // the last edge is the first one's neighbour
			}
			if touch(a, b, p[j], p[(j+1)%n]) {
				return true
			}
		}
	}
	return false
}

func foldsBack(a, b, c Vec3) bool {
	u, v := b.minus(a).level(), c.minus(b).level()
	return math.Abs(turn(a, b, c)) < tiny && u.dot(v) < 0
}

// tiny is an area in square metres: three points whose triangle is smaller lie in one line.
const tiny = 1e-9

// turn is twice the signed area of a, b, c: positive for a turn to the left.
func turn(a, b, c Vec3) float64 {
	u, v := b.minus(a), c.minus(a)
	return float64(u.East*v.North - u.North*v.East)
}

// touch reports whether two segments have a point in common, seen from above.
func touch(a, b, c, d Vec3) bool {
	if between(a, b, c) || between(a, b, d) || between(c, d, a) || between(c, d, b) {
		return true
	}
	_, ok := cut(a, b, c, d)
	return ok
}

// between reports whether p lies on the segment a-b, seen from above.
func between(a, b, p Vec3) bool {
	const eps = hair / 10
	if p.East < min(a.East, b.East)-eps || p.East > max(a.East, b.East)+eps ||
		p.North < min(a.North, b.North)-eps || p.North > max(a.North, b.North)+eps {
		return false // most points are far away, and this is asked often
	}
	return toSegment(p, a, b) < eps
}

// cut is the share of a-b at which c-d truly crosses it, seen from above: ends that only touch do not count.
func cut(a, b, c, d Vec3) (float64, bool) {
	t1, t2 := turn(a, b, c), turn(a, b, d)
	t3, t4 := turn(c, d, a), turn(c, d, b)
	if !(t1 > tiny && t2 < -tiny || t1 < -tiny && t2 > tiny) || !(t3 > tiny && t4 < -tiny || t3 < -tiny && t4 > tiny) {
		return 0, false
	}
	return t3 / (t3 - t4), true
}

// toSegment is the distance of p from the segment a-b, seen from above.
func toSegment(p, a, b Vec3) unit.Metre { return Distance(p.level(), nearest(p, a, b)) }

// nearest is the point of the segment a-b nearest to p, seen from above.
func nearest(p, a, b Vec3) Vec3 {
	ab, ap := b.minus(a).level(), p.minus(a).level()
	long := ab.dot(ab)
	if long == 0 {
		return a.level()
	}
	return a.level().plus(ab.times(min(1, max(0, ap.dot(ab)/long))))
}

// Contains reports whether the point lies inside; the outline itself is not inside. Even-odd rule. Source [S-201].
func (p Polygon) Contains(q Vec3) bool {
	inside := false
	for i := range p {
		a, b := p[i], p[(i+1)%len(p)]
		if between(a, b, q) {
			return false
		}
		if (a.North > q.North) != (b.North > q.North) &&
			q.East < a.East+(b.East-a.East)*(q.North-a.North)/(b.North-a.North) {
			inside = !inside
		}
	}
	return inside
}

// Gap is how far the point is from the outline.
func (p Polygon) Gap(q Vec3) unit.Metre {
	best := unit.Metre(math.Inf(1))
	p.edges(func(a, b Vec3) bool { best = min(best, toSegment(q, a, b)); return true })
	return best
}

// Nearest is the point of the area nearest to q: q itself where it lies inside.
func (p Polygon) Nearest(q Vec3) Vec3 {
	if len(p) == 0 || p.Contains(q) {
		return q.level()
	}
	best, at := unit.Metre(math.Inf(1)), q.level()
	p.edges(func(a, b Vec3) bool {
		n := nearest(q, a, b)
		if d := Distance(q.level(), n); d < best {
			best, at = d, n
		}
		return true
	})
	return at
}

// Entry is the first share of the segment a-b that lies inside the polygon, seen from above, and the share where it
// leaves again; false where it passes by, or only along the edge.
func (p Polygon) Entry(a, b Vec3) (from, to float64, ok bool) {
	// The segment is cut by the outline into stretches; a stretch lies inside when its middle does.
	var fixed [16]float64 // room for most outlines without asking the heap
	cuts := append(fixed[:0], 0, 1)
	p.edges(func(c, d Vec3) bool {
		if f, ok := cut(a, b, c, d); ok {
			cuts = append(cuts, f)
		} else if f, ok := shareOf(c, a, b); ok { // a corner on the segment
			cuts = append(cuts, f)
		}
		return true
	})
	sortFloats(cuts)
	for i := 1; i < len(cuts); i++ {
		if cuts[i]-cuts[i-1] < 1e-9 || !p.Contains(a.towards(b, (cuts[i]+cuts[i-1])/2)) {
			if ok {
				return from, to, true
			}
			continue
		}
		if !ok {
			from, ok = cuts[i-1], true
		}
		to = cuts[i]
	}
	return from, to, ok
}

func shareOf(q, a, b Vec3) (float64, bool) {
	if !between(a, b, q) {
		return 0, false
	}
	ab := b.minus(a).level()
	long := ab.dot(ab)
	if long == 0 {
		return 0, false
	}
	return min(1, max(0, q.minus(a).level().dot(ab)/long)), true
}

func sortFloats(s []float64) {
	for i := 1; i < len(s); i++ {
		for j := i; j > 0 && s[j] < s[j-1]; j-- {
			s[j], s[j-1] = s[j-1], s[j]
		}
	}
}

// Overlap is how deep two convex areas reach into each other, 0 where they are apart: the shortest way one would have to
// be pushed (separating axes). Source [S-202].
func Overlap(p, q Polygon) unit.Metre {
	if len(p) < 3 || len(q) < 3 {
		return 0
	}
	depth := math.Inf(1)
	for _, shape := range [2]Polygon{p, q} {
		for i := range shape {
			edge := shape[(i+1)%len(shape)].minus(shape[i]).level()
			n := edge.length()
			if n < hair {
				continue
			}
			axis := edge.across().times(1 / float64(n))
			pLow, pHigh := p.shadow(axis)
			qLow, qHigh := q.shadow(axis)
			if depth = min(depth, pHigh-qLow, qHigh-pLow); depth <= 0 {
				return 0
			}
		}
	}
	return unit.Metre(depth)
}

func (p Polygon) shadow(axis Vec3) (low, high float64) {
	low, high = math.Inf(1), math.Inf(-1)
	for _, c := range p {
		d := c.dot(axis)
		low, high = min(low, d), max(high, d)
	}
	return low, high
}

// Meets reports whether two areas have floor in common, whatever their shape.
func Meets(p, q Polygon) bool {
	if len(p) < 3 || len(q) < 3 {
		return false
	}
	for _, pair := range [2][2]Polygon{{p, q}, {q, p}} {
		for i := range pair[0] {
			if _, _, ok := pair[1].Entry(pair[0][i], pair[0][(i+1)%len(pair[0])]); ok {
				return true
			}
		}
	}
	return samePlace(p, q)
}

// samePlace catches two equal outlines: no edge of one passes inside the other then.
func samePlace(p, q Polygon) bool {
	m := p.Middle()
	return p.Contains(m) && q.Contains(m)
}

// Middle is the mean of the corners.
func (p Polygon) Middle() Vec3 {
	var sum Vec3
	for _, c := range p {
		sum = sum.plus(c)
	}
	return sum.times(1 / float64(max(1, len(p))))
}

// Rectangle is a footprint of the given width (across the front) and depth about its middle, turned so that its front
// faces the bearing. Its corners start at the front, on the right of somebody looking at the front, and run clockwise.
func Rectangle(middle Vec3, width, depth unit.Metre, facing unit.Radian) Polygon {
	f := frameOf(middle, width, depth, facing)
	return Polygon{f.at(+1, +1), f.at(-1, +1), f.at(-1, -1), f.at(+1, -1)}
}

// frame is a rectangle with a front.
type frame struct {
	middle, ahead, right Vec3 // half the depth, half the width as vectors
}

func frameOf(middle Vec3, width, depth unit.Metre, facing unit.Radian) frame {
	ahead := bearing(facing)
	// Somebody who looks at the front looks the other way: the right hand is on the left of the bearing.
	return frame{middle.level(), ahead.times(float64(depth / 2)), ahead.across().times(float64(width / 2))}
}

// at is the point a share right and ahead of the middle, in half sides.
func (f frame) at(right, ahead float64) Vec3 {
	return f.middle.plus(f.right.times(right)).plus(f.ahead.times(ahead))
}

// side is the middle of a side by its name; the middle of all for top, bottom and a side not said.
func (f frame) side(name string) (Vec3, bool) {
	switch name {
	case "front":
		return f.at(0, 1), true
	case "back":
		return f.at(0, -1), true
	case "right":
		return f.at(1, 0), true
	case "left":
		return f.at(-1, 0), true
	case "top", "bottom":
		return f.middle, true
	}
	return f.middle, false
}
