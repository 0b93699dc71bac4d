package findings

import (
	"math"
	"strconv"

	"tuckring/internal/figure"
)

const (
	longChain = 20  // units of a chain after which it droops: from memory
	closeMM   = 1.0 // less than a tube's wall is drawn together by is not said
	hiddenBy  = 0.6 // pitches: a unit so near behind another, as it is seen, is hidden
)

// parts notes what may go wrong with parts that stand off: how they hold, hang and look, and whether the figure stands.
func (c *checker) parts() {
	for k := 1; k < len(c.f.Parts); k++ {
		part := &c.f.Parts[k]
		if part.Grows != 0 {
			c.singlePoints(part)
		}
		for _, d := range c.placed.Drawn {
			if d.Part == part.ID && d.MM >= closeMM {
				c.add(Hint, "closes", Memory, part.First+1, c.where(part.First), "Part", part.Name, "By", mm(math.Round(2*d.MM)))
			}
		}
		c.droops(k)
	}
	if len(c.f.Parts) > 0 {
		c.hidden()
		c.tips()
	}
}

// singlePoints notes units of a part's first row that take a single point: there the part comes off first.
func (c *checker) singlePoints(part *figure.Part) {
	var units []int
	for k, cell := range c.f.Rings[part.First].Cells {
		if cell.Takes == 1 {
			units = append(units, k)
		}
	}
	if len(units) == 0 {
		return
	}
	rule := "single_point"
	if len(units) > 1 {
		rule = "single_point.units"
	}
	f := c.add(Warning, rule, Practice, part.First+1, c.where(part.First), "Part", part.Name, "Units", named(units))
	f.Cells = c.cells(part.First, units...)
}

// droops notes a chain that is too long to keep its shape by itself.
func (c *checker) droops(k int) {
	part := &c.f.Parts[k]
	if !part.Open || part.Rows <= longChain {
		return
	}
	for _, r := range c.f.Rings[part.First : part.First+part.Rows] {
		if len(r.Cells) > 1 {
			return
		}
	}
	c.add(Hint, "droops", Memory, part.First+1, "parts["+strconv.Itoa(k)+"]", "Part", part.Name, "Units", part.Rows, "Most", longChain)
}

// tips notes a figure whose centre of mass does not lie over what it stands on.
func (c *checker) tips() {
	b := c.placed.Balance()
	if b.Out <= 0 || math.IsInf(b.Out, 1) {
		return
	}
	rule := "tips.front"
	switch {
	case math.Abs(b.X) > math.Abs(b.Z) && b.X > 0:
		rule = "tips.right"
	case math.Abs(b.X) > math.Abs(b.Z):
		rule = "tips.left"
	case b.Z < 0:
		rule = "tips.back"
	}
	c.add(Warning, rule, Memory, 0, "parts", "Off", mm(math.Max(1, math.Round(b.Out))))
}

// hidden notes parts that hide, from the front, units that are painted otherwise than most of their part: what was painted
// there is not seen. The part before them all is named.
func (c *checker) hidden() {
	p := c.placed
	common := make([]uint8, len(c.f.Parts)) // of each part
	for k := range c.f.Parts {
		c.low, c.high = c.f.Parts[k].First, c.f.Parts[k].First+c.f.Parts[k].Rows
		common[k] = c.ground().colour
	}
	near := hiddenBy * p.Gauge.Pitch.Best
	type seen struct {
		row, unit, part int
		at              [3]float64
	}
	boxes := map[[2]int][]seen{} // units as seen from the front, by where they are
	box := func(at [3]float64) [2]int {
		return [2]int{int(math.Floor(at[0] / near)), int(math.Floor(at[1] / near))}
	}
	var painted []seen
	for k := range c.f.Parts {
		part := &c.f.Parts[k]
		for row := part.First; row < part.First+part.Rows; row++ {
			for unit := range p.Rings[row].Count {
				spot := &p.Spots[p.Rings[row].First+unit]
				s := seen{row, unit, k, p.Middle(spot)}
				boxes[box(s.at)] = append(boxes[box(s.at)], s)
				if _, _, out := p.Axes(spot, 0); out[2] > 0 && spot.Colour != common[k] {
					painted = append(painted, s)
				}
			}
		}
	}
	found := make([][]seen, len(c.f.Parts)) // by the part that hides them
	for _, s := range painted {
		hides, front := -1, s.at[2]
		at := box(s.at)
		for dx := -1; dx <= 1; dx++ {
			for dy := -1; dy <= 1; dy++ {
				for _, o := range boxes[[2]int{at[0] + dx, at[1] + dy}] {
					if o.part != s.part && o.at[2] > front && math.Hypot(o.at[0]-s.at[0], o.at[1]-s.at[1]) < near {
						hides, front = o.part, o.at[2]
					}
				}
			}
		}
		if hides >= 0 {
			found[hides] = append(found[hides], s)
		}
	}
	for k, list := range found {
		if len(list) == 0 {
			continue
		}
		part := &c.f.Parts[k]
		behind := &c.f.Parts[list[0].part]
		f := c.add(Hint, "hides", Practice, part.First+1, "parts["+strconv.Itoa(k)+"]", "Part", part.Name, "Behind", behind.Name, "Count", len(list))
		for _, s := range list {
			f.Cells = append(f.Cells, c.cells(s.row, s.unit)...)
		}
	}
}
