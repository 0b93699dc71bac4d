package draw

import (
	"cmp"
	"math"
	"slices"

	"tuckring/internal/figure"
	"tuckring/internal/shape"
)

// freePoints tells of the units of a row which of their two points nothing takes.
func (s *stage) freePoints(row int) func(unit int) [2]bool {
	taken := s.f.Taken(row)
	if upon, ok := s.f.Upon(row); ok && !s.shows(upon) {
		clear(taken)
	}
	return func(unit int) [2]bool { return [2]bool{!taken[2*unit], !taken[2*unit+1]} }
}

// frameOf is a spot's own directions in space, on a wall that leans so.
func (s *stage) frameOf(spot *shape.Spot, lean float64) frame {
	right, up, out := s.p.Axes(spot, lean)
	return frame{at: s.p.Middle(spot), right: right, up: up, out: out}
}

// facing is how far a spot looks at the viewer: the cosine of the direction out of its wall, seen from above.
func (s *stage) facing(spot *shape.Spot) float64 {
	if spot.In == shape.Standing {
		return math.Cos(spot.Azimuth - s.v.Turn)
	}
	_, _, out := s.p.Axes(spot, 0)
	flat := math.Hypot(out[0], out[2])
	if flat < 1e-9 {
		return 0
	}
	return s.near(out) / flat
}

// near is how near a place is to the viewer of those that stand as high, mm from the figure's axis.
func (s *stage) near(at solid) float64 { return at[0]*s.sin[0] + at[2]*s.cos[0] }

// looseUnit is a unit of a part in the picture.
type looseUnit struct {
	row, unit int
	near      float64
}

// parts draws what stands around the part on the table: behind it, before it is drawn, or else before it. A part that closes is
// drawn whole on the side where its middle is, after the part on the table where it stands upon that.
func (s *stage) parts(behind bool, most int) {
	type group struct {
		part  int
		near  float64
		units []looseUnit
	}
	var groups []group
	each := 1 // of so many units one is drawn, so much wider
	if n := s.f.Units(); n > most {
		each = (n + most - 1) / most
	}
	for k := range max(1, len(s.f.Parts)) {
		g := group{part: k}
		first, rows := 0, len(s.f.Rings)
		if len(s.f.Parts) > 0 {
			first, rows = s.f.Parts[k].First, s.f.Parts[k].Rows
		}
		for row := first; row < first+rows; row++ {
			r := &s.p.Rings[row]
			if r.Around() || !s.shows(row) {
				continue
			}
			for unit := (each - 1) / 2 % r.Count; unit < r.Count; unit += each {
				g.units = append(g.units, looseUnit{row, unit, s.near(s.p.Middle(&s.p.Spots[r.First+unit]))})
			}
		}
		if len(g.units) == 0 {
			continue
		}
		if len(s.f.Parts) == 0 || !s.f.Parts[k].Open {
			for _, u := range g.units {
				g.near += u.near / float64(len(g.units))
			}
			if (g.near < -upright*s.leg) != behind {
				continue
			}
		} else {
			g.units = slices.DeleteFunc(g.units, func(u looseUnit) bool { return (u.near < 0) != behind })
			for _, u := range g.units {
				g.near += u.near / float64(len(g.units))
			}
		}
		groups = append(groups, g)
	}
	slices.SortStableFunc(groups, func(a, b group) int { return cmp.Compare(a.near, b.near) })
	for _, g := range groups {
		s.loose(g.units, each, len(s.f.Parts) == 0 || !s.f.Parts[g.part].Open)
	}
}

// upright is how far behind the axis, in legs, the middle of a part that closes still counts as standing upon the part on
// the table and not behind it.
const upright = 0.5

// loose draws units of a part: of one that closes first what is turned away, ring by ring, as of the part on the table; of an
// open one row by row, and of chains the farther first.
func (s *stage) loose(units []looseUnit, each int, closed bool) {
	widest := 0
	for _, u := range units {
		widest = max(widest, s.p.Rings[u.row].Count)
	}
	away := func(u looseUnit) bool {
		return closed && s.facing(&s.p.Spots[s.p.Rings[u.row].First+u.unit]) < -0.12
	}
	slices.SortStableFunc(units, func(a, b looseUnit) int {
		if x, y := away(a), away(b); x != y {
			if x {
				return -1
			}
			return 1
		}
		if widest > 2 && a.row != b.row {
			return a.row - b.row
		}
		return cmp.Compare(a.near, b.near)
	})
	var free func(int) [2]bool
	of := -1
	for _, u := range units {
		if u.row != of {
			free, of = s.freePoints(u.row), u.row
		}
		r := &s.p.Rings[u.row]
		spot := s.p.Spots[r.First+u.unit]
		width := s.p.WidthMM(s.arcs, u.row, u.unit) * fanWidth * float64(each)
		fr := s.frameOf(&spot, r.Lean)
		paper, _ := FromHex(s.f.Colours[spot.Colour].Hex)
		rise := s.rise
		if closed {
			rise /= math.Cos(r.Lean)
		}
		if widest <= 2 && each == 1 { // it is seen from all around
			s.whole(s.p.Leaves(spot), paper)
			if s.signs != nil && s.facing(&spot) > turnedAway {
				s.sign(fr, width, rise, paper, s.signs[spot.Colour])
			}
			continue
		}
		flat := s.f.Rings[u.row].Cells[u.unit].Side == figure.Short
		s.scale(fr, width, rise, footDown*rise, paper, flat || each > 1, free(u.unit))
		if s.signs != nil && each == 1 && s.facing(&spot) > turnedAway {
			s.sign(fr, width, rise, paper, s.signs[spot.Colour])
		}
	}
}
