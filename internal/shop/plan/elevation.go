package plan

import (
	"winnow/internal/shop"
	"winnow/internal/unit"
)

// Step is a rise or a drop: on the floor it is one point, so it gets a number there and in the list.
type Step struct {
	Number int        `json:"number"` // from 1, through the whole shop
	Piece  shop.Path  `json:"piece"`
	At     Vec3       `json:"at"` // where the air comes in
	Rise   unit.Metre `json:"rise_m"`
}

func (b *builder) steps() {
	for i := range b.l.Pieces {
		p := &b.l.Pieces[i]
		line := p.Line
		if line == nil {
			line = p.Sketch
		}
		if p.What == shop.Pipe && p.Goes.Upright() && len(line) > 1 {
			b.l.Steps = append(b.l.Steps, Step{Number: len(b.l.Steps) + 1, Piece: p.Path, At: line[0], Rise: p.Rise})
		}
	}
}

// Unfolded is a run as seen from the side, pulled straight: distance along it against height.
type Unfolded struct {
	System shop.ID         `json:"system"`
	Run    shop.ID         `json:"run"`
	Points []UnfoldedPoint `json:"points"`
	// Absolute: heights are above the floor. Else nothing in the run has a height, and they count from its start.
	Absolute bool `json:"absolute"`
}

// UnfoldedPoint is the start of a piece, or of a stretch of it; the last one is the end of the run.
type UnfoldedPoint struct {
	Along  unit.Metre `json:"along_m"`
	Height unit.Metre `json:"height_m"`
	Sure   bool       `json:"sure"`  // drawn, or it follows from what is written; else it is filled in between its neighbours
	Piece  shop.Path  `json:"piece"` // the piece that starts here; empty at the end
}

// Unfold gives the elevation strip of a run; an empty run means the exhaust. Along counts the lengths that count, so a
// hose takes as much as is written. Where the plan gives no height, up and down count, and what is left to the next known
// height is shared by the pieces of which nobody said which way they go. Nil where there is no such run.
func (l *Layout) Unfold(system, run shop.ID) *Unfolded {
	row := l.Run(system, run)
	if row == nil {
		return nil
	}
	pieces := l.Pieces[row.First : row.First+row.Count]
	u := &Unfolded{System: system, Run: run, Points: make([]UnfoldedPoint, 0, len(pieces)+1)}
	var along unit.Metre
	for i := range pieces {
		u.Points = append(u.Points, UnfoldedPoint{Along: along, Piece: pieces[i].Path})
		along += stretch(&pieces[i])
	}
	u.Points = append(u.Points, UnfoldedPoint{Along: along})
	known := l.knownHeights(row, pieces, u.Points)
	u.fill(pieces, known)
	return u
}

// stretch is what a piece takes on the strip: its length, or the straight way where it is not known.
func stretch(p *PieceLayout) unit.Metre {
	if p.Length.Basis == unit.Unsaid && len(p.Sketch) > 1 {
		return LineLength(p.Sketch)
	}
	return p.Length.Best
}

// knownHeights fills in the heights the plan gives and says which they are.
func (l *Layout) knownHeights(row *RunLayout, pieces []PieceLayout, points []UnfoldedPoint) []bool {
	known := make([]bool, len(points))
	set := func(i int, h unit.Metre) { points[i].Height, points[i].Sure, known[i] = h, true, true }
	if row.FromOK {
		set(0, row.From.Height)
	}
	if row.ToOK {
		set(len(pieces), row.To.Height)
	}
	for i := range pieces {
		p := &pieces[i]
		switch {
		case len(p.Line) > 1:
			set(i, p.Line[0].Height)
			set(i+1, p.Line[len(p.Line)-1].Height)
		case p.Placed:
			set(i, p.At.Height)
			set(i+1, p.At.Height)
		}
	}
	return known
}

// fill gives the points between known heights theirs.
func (u *Unfolded) fill(pieces []PieceLayout, known []bool) {
	last := -1
	for i := range known {
		if !known[i] {
			continue
		}
		u.Absolute = true
		if last < 0 {
			for k := i - 1; k >= 0; k-- { // before the first: backwards
				u.Points[k].Height = u.Points[k+1].Height - pieces[k].Rise
				u.Points[k].Sure = u.Points[k+1].Sure && sureRise(&pieces[k])
			}
		} else if i > last+1 {
			u.between(pieces, last, i)
		}
		last = i
	}
	for k := max(last, 0) + 1; k < len(known); k++ { // behind the last, or all of it: forwards
		u.Points[k].Height = u.Points[k-1].Height + pieces[k-1].Rise
		u.Points[k].Sure = last >= 0 && u.Points[k-1].Sure && sureRise(&pieces[k-1])
	}
}

func sureRise(p *PieceLayout) bool { return p.Goes != GoesUnknown || !extended(p.What) }

// between shares the height left between two known points among the pieces of unknown way, hoses first, by length.
func (u *Unfolded) between(pieces []PieceLayout, a, b int) {
	left := u.Points[b].Height - u.Points[a].Height
	var hose, pipe, all unit.Metre
	open := 0
	for k := a; k < b; k++ {
		left -= pieces[k].Rise
		all += stretch(&pieces[k])
		if !sureRise(&pieces[k]) {
			open++
		}
		if p := &pieces[k]; p.Goes == GoesUnknown && p.What == shop.Hose {
			hose += stretch(p)
		} else if p.Goes == GoesUnknown && p.What == shop.Pipe {
			pipe += stretch(p)
		}
	}
	takes := func(p *PieceLayout) unit.Metre {
		switch unsaid := p.Goes == GoesUnknown; {
		case hose > 0 && unsaid && p.What == shop.Hose:
			return left * stretch(p) / hose
		case hose > 0:
			return 0
		case pipe > 0 && unsaid && p.What == shop.Pipe:
			return left * stretch(p) / pipe
		case pipe > 0 || all == 0:
			return 0
		}
		return left * stretch(p) / all // nothing is open, and the plan disagrees with what is written: all share it
	}
	for k := a + 1; k < b; k++ {
		u.Points[k].Height = u.Points[k-1].Height + pieces[k-1].Rise + takes(&pieces[k-1])
		u.Points[k].Sure = open == 1 // what is left can only be that one's
	}
}
