package plan

import (
	"winnow/internal/shop"
)

// Of lays out a shop whose gaps are filled, in one of its arrangements; the empty name means the first, today's. It
// never fails: what cannot be measured has an Unsaid length and a finding that names the point or length to write.
// The shop is kept by reference and not changed.
//
// The findings are about this arrangement: what cannot be measured, where a written length, angle or way disagrees with
// the plan, hoses and cords that lack where their machine stands now, what lies across a walkway or through an obstacle or
// wall, and what stands outside, in each other or in the way of a door. Other places of a machine are answered by Reach
// and CordReach, without a finding.
func Of(filled *shop.Shop, arrangement shop.ID) (*Layout, []shop.Finding) {
	b := &builder{s: filled, l: &Layout{shop: filled}}
	b.arrange(arrangement)
	b.room()
	b.obstacles()
	b.outlets()
	b.spots()
	b.machines()
	b.systems()
	b.runs()
	b.lays()
	b.cords()
	b.standing()
	b.crossings()
	b.steps()
	return b.l, b.findings
}

// builder is a layout in the making.
type builder struct {
	s        *shop.Shop
	l        *Layout
	arr      *shop.Arrangement
	findings []shop.Finding
	badRoom  bool // the outline crosses itself: inside and outside mean nothing

	// the run being traced; the slices are kept from run to run
	marks []mark
	spans []int
	gaps  []gap
	way   []Vec3
}

func (b *builder) find(c *shop.Code, where shop.Path, args ...shop.Arg) {
	b.findings = append(b.findings, shop.Finding{Code: c, Where: where, Args: args})
}

func (b *builder) arrange(name shop.ID) {
	for i := range b.s.Arrangements {
		if name == "" || b.s.Arrangements[i].Name == name {
			b.arr = &b.s.Arrangements[i]
			b.l.Arrangement = b.arr.Name
			return
		}
	}
	if name != "" {
		b.find(NoSuchArrangement, "arrangements", shop.Word("arrangement", name))
	}
}
