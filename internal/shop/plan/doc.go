// Package plan lays the shop out: where each machine stands in an arrangement, where each piece of each run lies, how
// long it is and by how much it turns, what crosses what, and by how much a hose or a cord is too long or too short.
// It is the only source of lengths and of lines: the airflow reads its lengths here, the floor and the printed plan draw
// these lines, and neither measures anything again.
//
// It refuses to know air, typical values (the shop comes filled) and text (a finding carries a path, its line in the file
// is found at the edge). Start reading at Of, then PieceLayout, then trace.go.
//
// # Conventions
//
// East, north and height above the floor are in metres from the corner the owner calls zero. Bearings run clockwise from
// north. The point of a fitting is where the middle lines of its legs meet, so a drawn pipe is measured from meeting
// point to meeting point. Front, back, left and right of a machine are those of somebody who stands at its front and
// looks at it. Where the side of a port is not said, the middle of the machine stands for it, and a length measured to it
// carries half the machine as doubt.
//
// # Which length wins
//
// A written length counts, always. `drawn` is measured between the points before and after. A length nobody gave is
// measured too where the plan allows it, and else stays assumed. A hose keeps its written length: the plan gives its slack.
package plan
