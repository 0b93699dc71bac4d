package findings

import (
	"math"
	"strconv"

	"tuckring/internal/figure"
)

const (
	fewUses     = 3    // a colour used fewer times is asked about: common practice
	oddMost     = 12   // more odd pairs than this: the pattern is not meant to be symmetric
	pairsPerOdd = 4    // so many pairs must match for each odd one
	sameTurn    = 1e-7 // turns closer than this are one place
	sameUnit    = 0.02 // parts of a unit closer than this are one place
	mostMotifs  = 3    // motifs off the front line that are named, the largest first
	mostStrays  = 2    // more lone units of a kind than this are a pattern
)

// look is what a unit shows.
type look struct {
	colour uint8
	side   figure.Side
}

func (c *checker) look(ring, unit int) look {
	cell := &c.f.Rings[ring].Cells[unit]
	return look{cell.Colour, cell.Side}
}

// pattern looks for what may not have been meant.
func (c *checker) pattern() {
	c.eachPart(func(first, end int) {
		c.low, c.high, c.front = first, end, c.u.PartFront(c.f.PartOf(first))
		if part := c.partOf(first); part == nil || part.Grows == 0 && part.Twin == 0 { // a wing or an ear is not like itself about its middle
			c.patternOfPart()
		}
	})
	c.strays()
}

func (c *checker) patternOfPart() {
	ground := c.ground()
	here := c.mirrored(c.front, ground)
	if c.shiftedFront(here, ground) {
		return
	}
	c.nearlySymmetric(here)
	c.motifsOffFront(c.motifs(ground.colour))
}

// ground is the look that most units have.
func (c *checker) ground() look {
	count := map[look]int{}
	var most look
	for i := c.low; i < c.high; i++ {
		for k := range c.f.Rings[i].Cells {
			count[c.look(i, k)]++
		}
	}
	best := 0
	for i := range c.f.Colours {
		for _, side := range []figure.Side{figure.Long, figure.Short} {
			if l := (look{uint8(i), side}); count[l] > best {
				most, best = l, count[l]
			}
		}
	}
	return most
}

// pair is a unit and the one in its mirror place.
type pair struct{ ring, unit, mate int }

// symmetry tells how a pattern lies about an axis: pairs that match, of those that show more than the
// ground; pairs that do not; and units that have no unit in their mirror place.
type symmetry struct {
	matched  int
	odd      []pair
	homeless int
}

// mirrored compares every unit with the one in its mirror place about an axis, in turns.
func (c *checker) mirrored(axis float64, ground look) symmetry {
	var s symmetry
	for i := c.low; i < c.high; i++ {
		for k := range c.f.Rings[i].Cells {
			mate, ok := c.mate(axis, i, k)
			switch {
			case !ok:
				s.homeless++
			case mate < k:
			case c.look(i, k) != c.look(i, mate):
				s.odd = append(s.odd, pair{i, k, mate})
			case c.look(i, k) != ground:
				s.matched++
			}
		}
	}
	return s
}

// mate finds the unit that stands in the mirror place of a unit about an axis.
func (c *checker) mate(axis float64, ring, unit int) (int, bool) {
	t := 2*axis - c.u.Middle(ring, unit)
	mate, ok := c.u.UnitAt(ring, t)
	if !ok {
		return 0, false
	}
	off := c.u.Middle(ring, mate) - t
	return mate, math.Abs(off-math.Round(off)) < sameTurn
}

// unitsInPart counts the units of the part at hand.
func (c *checker) unitsInPart() (n int) {
	for i := c.low; i < c.high; i++ {
		n += len(c.f.Rings[i].Cells)
	}
	return n
}

// mostlyHoused tells whether nearly all units have a mirror place to be compared with.
func (c *checker) mostlyHoused(s symmetry) bool { return s.homeless*10 <= c.unitsInPart() }

// shiftedFront notes a pattern that is not symmetric about the front line, but wholly so half a unit
// beside it. The edit moves the front line there.
func (c *checker) shiftedFront(here symmetry, ground look) bool {
	if len(here.odd) == 0 {
		return false
	}
	n := float64(len(c.f.Rings[c.low].Cells))
	for _, by := range []float64{0.5, -0.5} {
		s := c.mirrored(c.front+by/n, ground)
		if len(s.odd) > 0 || s.matched == 0 || !c.mostlyHoused(s) {
			continue
		}
		f := c.add(Hint, "front_shifted", Practice, c.low, "front")
		f.Cells = c.pairCells(here.odd)
		if c.low == 0 {
			f.Edit = &figure.SetFront{Front: math.Mod(c.f.Front+by+n, n)}
		}
		return true
	}
	return false
}

// nearlySymmetric notes a pattern that is symmetric about the front line but for a few units. The
// edit makes the units to the right of the line like those to its left.
func (c *checker) nearlySymmetric(s symmetry) {
	odd := len(s.odd)
	if odd == 0 || odd > oddMost || s.matched < odd*pairsPerOdd || !c.mostlyHoused(s) {
		return
	}
	first := s.odd[0]
	f := c.add(Hint, "nearly_symmetric", Practice, first.ring+1, c.where(first.ring), "Count", odd, "Ring", c.f.RowName(first.ring), "Unit", first.unit+1, "Mate", first.mate+1)
	f.Cells = c.pairCells(s.odd)
	paint := &figure.Paint{}
	for _, p := range s.odd {
		left, right := p.unit, p.mate
		if away := c.u.Middle(p.ring, left) - c.front; away-math.Floor(away) < 0.5 {
			left, right = right, left
		}
		paint.Runs = append(paint.Runs, c.paint(p.ring, right, c.look(p.ring, left)))
	}
	f.Edit = paint
}

func (c *checker) paint(ring, unit int, l look) figure.PaintRun {
	return figure.PaintRun{Ring: c.f.Rings[ring].ID, At: unit, N: 1, Colour: c.f.Colours[l.colour].ID, Side: l.side.String()}
}

func (c *checker) pairCells(pairs []pair) []Cell {
	var out []Cell
	for _, p := range pairs {
		out = append(out, c.cells(p.ring, p.unit)...)
		if p.mate != p.unit {
			out = append(out, c.cells(p.ring, p.mate)...)
		}
	}
	return out
}

// touching knows for every unit which others it touches; worked out once.
func (c *checker) touching() *figure.Touches {
	if c.touches == nil {
		c.touches = figure.TouchesOf(c.f)
	}
	return c.touches
}

// strays notes a lone unit of a colour among units of one other colour, where no like unit mirrors
// it. The edit paints it like its neighbours.
func (c *checker) strays() {
	type kind struct{ own, around uint8 }
	found := map[kind][]pair{}
	var order []kind
	for i := range c.f.Rings {
		for k := range c.f.Rings[i].Cells {
			around, lone := c.alone(i, k)
			if !lone {
				continue
			}
			key := kind{c.f.Rings[i].Cells[k].Colour, around}
			if len(found[key]) == 0 {
				order = append(order, key)
			}
			found[key] = append(found[key], pair{ring: i, unit: k})
		}
	}
	for _, key := range order {
		if len(found[key]) > mostStrays {
			continue
		}
		for _, p := range found[key] {
			mate, ok := c.mate(c.u.PartFront(c.f.PartOf(p.ring)), p.ring, p.unit)
			if ok && c.f.Rings[p.ring].Cells[mate].Colour == key.own {
				continue
			}
			f := c.add(Hint, "stray", Practice, p.ring+1, c.where(p.ring), "Ring", c.f.RowName(p.ring), "Unit", p.unit+1,
				"Colour", c.f.Colours[key.own].Name, "Around", c.f.Colours[key.around].Name)
			f.Cells = c.cells(p.ring, p.unit)
			if c.f.Rings[p.ring].ID < 0 {
				continue // a twin's is painted on the part it mirrors
			}
			f.Edit = &figure.Paint{Runs: []figure.PaintRun{{
				Ring: c.f.Rings[p.ring].ID, At: p.unit, N: 1, Colour: c.f.Colours[key.around].ID}}}
		}
	}
}

// alone tells whether all units around one have one other colour.
func (c *checker) alone(ring, unit int) (around uint8, lone bool) {
	own, met := c.f.Rings[ring].Cells[unit].Colour, 0
	lone = true
	c.touching().Each(ring, unit, func(i, k int) {
		colour := c.f.Rings[i].Cells[k].Colour
		lone = lone && colour != own && (met == 0 || colour == around)
		around = colour
		met++
	})
	return around, lone
}

// motif is a patch of one colour: its units ring by ring.
type motif struct {
	colour uint8
	rings  map[int][]bool // by ring index, true for the ring's units that belong to it
	size   int
}

// motifs finds the patches of every colour but the ground's.
func (c *checker) motifs(ground uint8) []*motif {
	seen := make([][]bool, len(c.f.Rings))
	for i := range seen {
		seen[i] = make([]bool, len(c.f.Rings[i].Cells))
	}
	var out []*motif
	for i := c.low; i < c.high; i++ {
		for k, cell := range c.f.Rings[i].Cells {
			if !seen[i][k] && cell.Colour != ground {
				out = append(out, c.flood(seen, i, k))
			}
		}
	}
	return out
}

func (c *checker) flood(seen [][]bool, ring, unit int) *motif {
	m := &motif{colour: c.f.Rings[ring].Cells[unit].Colour, rings: map[int][]bool{}}
	seen[ring][unit] = true
	open := [][2]int{{ring, unit}}
	for len(open) > 0 {
		at := open[len(open)-1]
		open = open[:len(open)-1]
		if m.rings[at[0]] == nil {
			m.rings[at[0]] = make([]bool, len(c.f.Rings[at[0]].Cells))
		}
		m.rings[at[0]][at[1]] = true
		m.size++
		c.touching().Each(at[0], at[1], func(i, k int) {
			if !seen[i][k] && c.f.Rings[i].Cells[k].Colour == m.colour {
				seen[i][k] = true
				open = append(open, [2]int{i, k})
			}
		})
	}
	return m
}

// motifsOffFront notes motifs on the front line that lie half a unit off it in some rings: there the
// width is odd where it should be even, or the other way round.
func (c *checker) motifsOffFront(motifs []*motif) {
	named := 0
	for named < mostMotifs {
		var largest *motif
		at := 0
		for i, m := range motifs {
			if m != nil && (largest == nil || m.size > largest.size) {
				largest, at = m, i
			}
		}
		if largest == nil {
			return
		}
		motifs[at] = nil
		if c.offFront(largest) {
			named++
		}
	}
}

func (c *checker) offFront(m *motif) bool {
	var cells []Cell
	first, rings := -1, 0
	for i := c.low; i < c.high; i++ {
		units, off, crosses := c.onFront(i, m.rings[i])
		if !crosses {
			continue
		}
		if math.Abs(off) > 0.5+sameUnit || 2*len(units) >= len(c.f.Rings[i].Cells) {
			return false // not a motif about the front line
		}
		if math.Abs(off) < 0.5-sameUnit {
			continue
		}
		if first < 0 {
			first = i
		}
		rings++
		cells = append(cells, c.cells(i, units...)...)
	}
	if rings == 0 {
		return false
	}
	f := c.add(Hint, "off_front", Practice, first+1, c.where(first), "Colour", c.f.Colours[m.colour].Name, "Ring", c.f.RowName(first), "Count", rings)
	f.Cells = cells
	return true
}

// onFront finds the unbroken run of a motif's units that the front line crosses in a ring, and how
// far its middle lies right of the line, in units of the ring.
func (c *checker) onFront(ring int, belongs []bool) (units []int, off float64, crosses bool) {
	n := len(belongs)
	front := c.front
	for k := range n {
		if !belongs[k] || belongs[(k+n-1)%n] {
			continue
		}
		units = units[:0]
		from, to := c.u.Arc(ring, k)
		middle := 0.0
		for j := k; belongs[j%n] && len(units) < n; j++ {
			units = append(units, j%n)
			lap := float64(j / n)
			_, to = c.u.Arc(ring, j%n)
			to += lap
			middle += c.u.Middle(ring, j%n) + lap
		}
		middle = middle/float64(len(units)) - front
		middle -= math.Round(middle)
		if math.Abs(middle) <= (to-from)/2+sameTurn {
			return units, middle * float64(n), true
		}
	}
	return nil, 0, false
}

// colours notes colours that hardly any unit has.
func (c *checker) colours() {
	used := make([]int, len(c.f.Colours))
	for i, n := range c.f.CountByColour() {
		used[i] = n.InRings + n.InExtras
	}
	for _, e := range c.f.Extras {
		if i, ok := c.f.ColourIndex(e.Colour); ok && e.Kind == figure.Glued {
			used[i] += fewUses // a glued piece is meant, however small
		}
	}
	for i, n := range used {
		where := "colours[" + strconv.Itoa(i) + "]"
		switch {
		case n == 0 && len(used) > 1:
			f := c.add(Hint, "unused", Practice, 0, where, "Colour", c.f.Colours[i].Name)
			f.Edit = &figure.RemoveColour{ID: c.f.Colours[i].ID}
		case n > 0 && n < fewUses:
			f := c.add(Hint, "rare", Practice, 0, where, "Colour", c.f.Colours[i].Name, "Count", n)
			f.Cells = c.cellsOf(uint8(i))
		}
	}
}

func (c *checker) cellsOf(colour uint8) []Cell {
	var out []Cell
	for i := range c.f.Rings {
		for k, cell := range c.f.Rings[i].Cells {
			if cell.Colour == colour {
				out = append(out, c.cells(i, k)...)
			}
		}
	}
	return out
}
