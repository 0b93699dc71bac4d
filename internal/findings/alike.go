package findings

import (
	"strconv"

	"tuckring/internal/figure"
	"tuckring/internal/sight"
	"tuckring/internal/words"
)

// mostAlike is how many units of two colours that look alike are named, the lowest first: enough to lead
// the eye there, few enough for 64 colours that all touch.
const mostAlike = 64

// alike notes colours that touch and are hard to tell apart, by full sight or by colour-blind eyes. How far
// apart is enough is the house's own choice (sight.TooClose).
func (c *checker) alike() {
	pairs := sight.Alike(c.f)
	if len(pairs) == 0 {
		return
	}
	where := c.touchingOf(pairs)
	for i, p := range pairs {
		rule := "alike"
		if p.Vision != sight.Full {
			rule = words.Among("alike.", string(p.Vision), string(sight.Deuteranopia), string(sight.Protanopia))
		}
		f := c.add(Hint, rule, Own, where[i].ring, "colours["+strconv.Itoa(p.B)+"]",
			"A", c.f.Colours[p.A].Name, "B", c.f.Colours[p.B].Name, "Count", p.Touching,
			"Difference", tenth(p.Difference), "Least", tenth(sight.TooClose))
		f.Cells = where[i].cells
		f.Colours = []string{c.f.Colours[p.A].ID, c.f.Colours[p.B].ID}
	}
}

// meeting is where two colours touch: the lowest ring, and units of both from there up.
type meeting struct {
	ring  int // number, from 1; 0 where they do not meet
	cells []Cell
}

// touchingOf finds where each of the pairs touch.
func (c *checker) touchingOf(pairs []sight.Pair) []meeting {
	var of [figure.MaxColours][figure.MaxColours]int // number of a pair by its colours, from 1
	for i, p := range pairs {
		of[p.A][p.B], of[p.B][p.A] = i+1, i+1
	}
	out := make([]meeting, len(pairs))
	for i := range c.f.Rings {
		for k, cell := range c.f.Rings[i].Cells {
			c.touching().Each(i, k, func(ring, unit int) {
				n := of[cell.Colour][c.f.Rings[ring].Cells[unit].Colour]
				if n == 0 {
					return
				}
				m := &out[n-1]
				if m.ring == 0 {
					m.ring = i + 1
				}
				here := Cell{Ring: c.f.Rings[i].ID, Unit: k}
				if last := len(m.cells) - 1; len(m.cells) < mostAlike && (last < 0 || m.cells[last] != here) {
					m.cells = append(m.cells, here)
				}
			})
		}
	}
	return out
}
