package plan

import (
	"math"

	"winnow/internal/unit"
)

// Vec3 is a point of the shop, or a way from one point to another.
type Vec3 struct {
	East   unit.Metre `json:"east_m"`
	North  unit.Metre `json:"north_m"`
	Height unit.Metre `json:"height_m"`
}

func (a Vec3) plus(b Vec3) Vec3 { return Vec3{a.East + b.East, a.North + b.North, a.Height + b.Height} }

func (a Vec3) minus(b Vec3) Vec3 {
	return Vec3{a.East - b.East, a.North - b.North, a.Height - b.Height}
}

func (a Vec3) times(f float64) Vec3 {
	return Vec3{unit.Metre(f) * a.East, unit.Metre(f) * a.North, unit.Metre(f) * a.Height}
}

func (a Vec3) dot(b Vec3) float64 {
	return float64(a.East*b.East + a.North*b.North + a.Height*b.Height)
}

func (a Vec3) length() unit.Metre { return unit.Metre(math.Sqrt(a.dot(a))) }

// level is the vector without its height: what is seen from above.
func (a Vec3) level() Vec3 { return Vec3{East: a.East, North: a.North} }

// across is the level vector turned a quarter to the left, seen from above.
func (a Vec3) across() Vec3 { return Vec3{East: -a.North, North: a.East} }

// towards is the point a share f of the way from a to b.
func (a Vec3) towards(b Vec3, f float64) Vec3 { return a.plus(b.minus(a).times(f)) }

// Distance is the straight distance between two points.
func Distance(a, b Vec3) unit.Metre { return b.minus(a).length() }

// AngleBetween is the angle between two ways, 0 to π; false where one of them is no longer than a hair, for it has no
// direction then. It is atan2 of the cross and the dot product, which keeps its digits near 0 and π where arccos loses them.
func AngleBetween(a, b Vec3) (unit.Radian, bool) {
	if a.length() < hair || b.length() < hair {
		return 0, false
	}
	cross := Vec3{
		a.North*b.Height - a.Height*b.North,
		a.Height*b.East - a.East*b.Height,
		a.East*b.North - a.North*b.East,
	}
	return unit.Radian(math.Atan2(float64(cross.length()), a.dot(b))), true
}

// hair is the distance under which two points are one: a millimetre, well under what anybody draws.
const hair unit.Metre = 1e-3

// bearing is the level unit vector of a bearing: 0 north, clockwise.
func bearing(r unit.Radian) Vec3 {
	sin, cos := math.Sincos(float64(r))
	return Vec3{East: unit.Metre(sin), North: unit.Metre(cos)}
}

// LineLength is the length of a line through its points.
func LineLength(line []Vec3) unit.Metre {
	var sum unit.Metre
	for i := 1; i < len(line); i++ {
		sum += Distance(line[i-1], line[i])
	}
	return sum
}
