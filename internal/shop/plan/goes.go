package plan

import (
	"math"

	"winnow/internal/shop"
	"winnow/internal/unit"
)

// slope names a way: within 30° of plumb it is up or down, within 5° of level it is level, else it slopes.
func slope(way Vec3) Goes {
	if way.length() < hair {
		return GoesUnknown
	}
	steep := math.Atan2(math.Abs(float64(way.Height)), float64(way.level().length()))
	const rounding = 1e-9
	switch up := way.Height > 0; {
	case steep >= math.Pi/3-rounding && up:
		return Up
	case steep >= math.Pi/3-rounding:
		return Down
	case steep <= fiveDg+rounding:
		return Level
	case up:
		return SlopesUp
	}
	return SlopesDown
}

// ways says which way the air moves in each pipe and hose: as written, else as drawn, else as it follows from a plumb
// neighbour: through fittings that do not turn the way stays, and a quarter bend beside a plumb pipe leads level.
func (t *tracer) ways() {
	for i := range t.pieces {
		if extended(t.pieces[i].What) {
			t.goes(&t.pieces[i], &t.out[i])
		}
	}
	carry := GoesUnknown
	for i := range t.pieces {
		carry = t.goesOn(i, carry)
	}
	carry = GoesUnknown
	for i := len(t.pieces) - 1; i >= 0; i-- {
		carry = t.goesOn(i, carry)
	}
}

func (t *tracer) goes(p *shop.Piece, out *PieceLayout) {
	drawn := GoesUnknown
	if n := len(out.Line); n > 1 {
		way := out.Line[n-1].minus(out.Line[0])
		drawn = slope(way)
		out.Rise = way.Height
	}
	switch p.Goes {
	case "up":
		out.Goes = Up
	case "down":
		out.Goes = Down
	case "level":
		out.Goes = Level
	default:
		if drawn != GoesUnknown {
			out.Goes, out.GoesBasis = drawn, unit.Drawn
		}
		return
	}
	out.GoesBasis = unit.Given
	if drawn != GoesUnknown && p.What == shop.Pipe && contradicts(out.Goes, drawn) && !out.HeightAssumed {
		t.find(GoesDiffers, out.Path, shop.Word("piece", label(out)), shop.Word("written", out.Goes.String()), shop.Word("drawn", goesVerb(drawn)))
	}
	if drawn == GoesUnknown || contradicts(out.Goes, drawn) {
		out.Rise = riseOf(out.Goes, out.Length.Best)
	}
}

// contradicts: what is written up may slope up, and so on; level is level.
func contradicts(written, drawn Goes) bool {
	switch written {
	case Up:
		return drawn != Up && drawn != SlopesUp
	case Down:
		return drawn != Down && drawn != SlopesDown
	}
	return drawn != Level
}

func goesVerb(g Goes) string {
	switch g {
	case Level:
		return "lies level"
	case Up, Down:
		return "goes " + g.String()
	}
	return g.String()
}

func riseOf(g Goes, long unit.Metre) unit.Metre {
	switch g {
	case Up:
		return long
	case Down:
		return 0 - long // no minus zero
	}
	return 0
}

// goesOn carries the way through piece i, in either order.
func (t *tracer) goesOn(i int, carry Goes) Goes {
	p, out := &t.pieces[i], &t.out[i]
	switch p.What {
	case shop.Pipe:
		if out.Goes == GoesUnknown && carry != GoesUnknown {
			out.Goes, out.GoesBasis = carry, unit.Assumed
			out.Rise = riseOf(carry, out.Length.Best)
		}
		return out.Goes
	case shop.Hose, shop.Separator:
		return GoesUnknown
	case shop.Elbow:
		quarter := said(out.Turn) && math.Abs(math.Abs(float64(out.Turn.Best))-math.Pi/2) <= fiveDg
		switch {
		case !t.mayTurn(i):
			return carry
		case quarter && (carry == Up || carry == Down):
			return Level
		}
		return GoesUnknown
	}
	return carry
}
