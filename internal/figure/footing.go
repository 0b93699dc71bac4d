package figure

import (
	"iter"

	"tuckring/internal/words"
)

// Footing is what a row of units stands on: the table, or the row below and the points that it offers. It alone
// knows which row that is, how many points there are, which unit each belongs to, how they follow one another and which
// a row leaves free. Points are numbered 0 … Offered−1 to the right: left and right point of unit 0, of unit 1, …. Those of
// a closed ring lie in a circle, so that numbers outside count on around it; those of an open row lie in a line. The first
// row of a part that grows takes some of the points, from the row's Start on; every other row takes or skips all of them.
//
// Whatever reads, places, checks or tells a row asks its footing, so that rows which stand otherwise need only
// another footing. The zero Footing is the table, which offers nothing; a part that is set on stands on nothing else.
type Footing struct {
	row    int32 // of the row below, from 1, in the list of all rows; 0 on the table
	number int32 // of the row below in its part, from 1
	units  int32 // of the row below
	line   bool  // its points lie in a line
	grows  bool  // the row is the first of a part that grows: it takes some of the points and has no balance
	open   bool  // the units of the row itself stand in a line
}

// Footing gives what a row (from 0) stands on.
func (f *Figure) Footing(row int) Footing { return f.pile().footing(row) }

// footing is what a row stands on or is about to: all that it may stand on has to be in the pile.
func (p pile) footing(row int) Footing {
	part := p.part(row)
	if part == nil {
		if row == 0 {
			return Footing{}
		}
		return Footing{row: int32(row), number: int32(row), units: p.units(row - 1)}
	}
	if row > part.First {
		return Footing{row: int32(row), number: int32(row - part.First), units: p.units(row - 1), line: part.Open, open: part.Open}
	}
	if !part.grown() {
		return Footing{}
	}
	on, ok := p.indexOf(part.Grows)
	if !ok {
		return Footing{}
	}
	return Footing{row: int32(on + 1), number: int32(p.number(on)), units: p.units(on), line: p.open(on), grows: true, open: part.Open}
}

func (p pile) units(row int) int32 { return int32(len(p.rings[row].Cells)) }

// offering is the footing of what a row of so many units offers, wherever it stands.
func offering(units int) Footing { return Footing{units: int32(units)} }

// Upon gives the row (from 0) of the same part that stands on a row; ok is false when none does. Other parts may grow on
// that row too: see Growing.
func (f *Figure) Upon(row int) (above int, ok bool) { return f.pile().upon(row) }

func (p pile) upon(row int) (above int, ok bool) {
	end := len(p.rings)
	if part := p.part(row); part != nil {
		end = part.First + part.Rows
	}
	return row + 1, row+1 < end
}

// Growing gives the first rows (from 0) of the parts that grow on a row.
func (f *Figure) Growing(row int) []int { return f.pile().growing(row) }

func (p pile) growing(row int) (rows []int) {
	for i := range p.parts {
		if part := &p.parts[i]; part.grown() && part.Grows == p.rings[row].ID {
			rows = append(rows, part.First)
		}
	}
	return rows
}

// Standing gives all rows (from 0) that take points of a row: the next of its part, and the first ones of parts that grow on it.
func (f *Figure) Standing(row int) []int {
	rows := f.Growing(row)
	if above, ok := f.Upon(row); ok {
		rows = append([]int{above}, rows...)
	}
	return rows
}

// Taken tells of every point that a row (from 0) offers whether anything takes it: the row upon it, or a part that grows there.
func (f *Figure) Taken(row int) []bool {
	out := make([]bool, offering(len(f.Rings[row].Cells)).Offered())
	for _, upon := range f.Standing(row) {
		for p, unit := range f.PointOwners(upon) {
			out[p] = out[p] || unit >= 0
		}
	}
	return out
}

// listed gives the identity of the row that stands before one in the list of all, 0 for the first.
func (p pile) listed(row int) RingID {
	if row == 0 {
		return 0
	}
	return p.rings[row-1].ID
}

// OnTable says that the row takes no points: it stands on the table, or is set on something.
func (g Footing) OnTable() bool { return g.row == 0 }

// Ring gives the row below, from 0 in the list of all rows; −1 on the table.
func (g Footing) Ring() int { return int(g.row) - 1 }

// Number gives the row below as people count, from 1 in its part; 0 on the table.
func (g Footing) Number() int { return int(g.number) }

// Grows says that the row is the first of a part that grows: it takes some of the points, from its Start on, and no balance
// binds it.
func (g Footing) Grows() bool { return g.grows }

// Line says that the points lie in a line, from first to last, and not in a circle.
func (g Footing) Line() bool { return g.line }

// Open says that the row itself is open: its last unit is no neighbour of its first.
func (g Footing) Open() bool { return g.open }

// ownCircle says that the row stands in a circle that does not follow from what it stands on: on the table, or as the first of
// a tube that grows from a stretch of points.
func (g Footing) ownCircle() bool { return g.OnTable() || g.grows && !g.open }

// Units is how many units the row below has.
func (g Footing) Units() int { return int(g.units) }

// Offered is how many points the row below offers: two of each unit.
func (g Footing) Offered() int { return 2 * int(g.units) }

// Point brings a point's number, counted on around the circle, to 0 … Offered−1. In a line it changes nothing.
func (g Footing) Point(p int) int {
	if g.line {
		return p
	}
	offered := g.Offered()
	if p %= offered; p < 0 {
		p += offered
	}
	return p
}

// Owner tells of a point, counted on around the circle, which unit of the row below it belongs to, whether it is that unit's
// left (0) or right (1) one, and how many times around it lies.
func (g Footing) Owner(p int) (unit, side, lap int) {
	at := g.Point(p)
	return at / 2, at % 2, (p - at) / g.Offered()
}

// pointName is what people call a point: one of a unit, which they count from 1.
func (g Footing) pointName(p int) words.Text {
	unit, side, _ := g.Owner(p)
	if side == 0 {
		return words.T("figure.point.left", "Unit", unit+1)
	}
	return words.T("figure.point.right", "Unit", unit+1)
}

// Gap gives the two points to either side of the gap after a unit of the row below: the unit's right one and its
// neighbour's left one. ok is false where a line ends.
func (g Footing) Gap(unit int) (left, right int, ok bool) {
	return 2*unit + 1, g.Point(2*unit + 2), !g.line || 2*unit+2 < g.Offered()
}

// Seam is the point that a ring's seam takes, counted back from before the circle when it lies in its left half.
func (g Footing) Seam(start int) int {
	if start > int(g.units) && !g.line {
		return start - g.Offered()
	}
	return start
}

// Usual is the point that the seam takes when a document does not say: 1 for even-numbered rings, the last for odd-numbered
// ones, so that plain rings come to stand half a unit to the right and to the left by turns. An open row begins at the
// first point.
func (g Footing) Usual() int {
	switch {
	case g.line:
		return 0
	case g.number%2 == 1:
		return 1
	}
	return g.Offered() - 1
}

// Seats gives for each unit of a ring the first of the points it takes, counted on around the circle from the seam.
func (g Footing) Seats(ring *Ring) iter.Seq2[int, int] {
	return func(yield func(unit, first int) bool) {
		p := g.Seam(ring.Start)
		for i, c := range ring.Cells {
			p += int(c.Free)
			if !yield(i, p) {
				return
			}
			p += int(c.Takes)
		}
	}
}

// TakenBy tells of every point which unit of a ring takes it, −1 where it is left free.
func (g Footing) TakenBy(ring *Ring) []int {
	owners := make([]int, g.Offered())
	for p := range owners {
		owners[p] = -1
	}
	for unit, first := range g.Seats(ring) {
		for k := range int(ring.Cells[unit].Takes) {
			owners[g.Point(first+k)] = unit
		}
	}
	return owners
}

// Over is by how many points a ring takes and leaves free more than there are, negative when fewer: 0 is the rule of
// the points. The first row of a part that grows is only over when it reaches beyond the end of a line, or once around a circle.
func (g Footing) Over(ring *Ring) int {
	taken, free := ring.Points()
	if !g.grows {
		return taken + free - g.Offered()
	}
	end := g.Offered()
	if g.line {
		end -= ring.Start
	}
	return max(0, taken+free-end)
}

// Counts is how few and how many units can take all points, when each takes MinTakes to MaxTakes.
func (g Footing) Counts() (fewest, most int) {
	return (g.Offered() + MaxTakes - 1) / MaxTakes, g.Offered() / MinTakes
}
