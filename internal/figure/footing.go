package figure

import "iter"

// Footing is what a row of units stands on: the table, or the row below and the points that it offers. It alone
// knows which row that is, how many points there are, which unit each belongs to, how they follow one another and which
// a row leaves free. Points are numbered 0 … Offered−1 to the right: left and right point of unit 0, of unit 1, …;
// they lie in a circle, so that numbers outside count on around it.
//
// Whatever reads, places, checks or tells a row asks its footing, so that rows which stand otherwise need only
// another footing. The zero Footing is the table, which offers nothing.
type Footing struct {
	number int // of the ring below, from 1; 0 on the table
	units  int // of the ring below
}

// Footing gives what a ring (from 0) stands on.
func (f *Figure) Footing(ring int) Footing { return footingOn(f.Rings[:ring]) }

// footingOn is what a ring stands on that is put on top of the given ones.
func footingOn(rings []Ring) Footing {
	if len(rings) == 0 {
		return Footing{}
	}
	return Footing{number: len(rings), units: len(rings[len(rings)-1].Cells)}
}

// Upon gives the ring (from 0) that stands on a ring; ok is false when none does.
func (f *Figure) Upon(ring int) (above int, ok bool) { return upon(f.Rings, ring) }

func upon(rings []Ring, ring int) (above int, ok bool) { return ring + 1, ring+1 < len(rings) }

// OnTable says that the row takes no points: it stands on the table.
func (g Footing) OnTable() bool { return g.number == 0 }

// Ring gives the ring below, from 0; −1 on the table.
func (g Footing) Ring() int { return g.number - 1 }

// Number gives the ring below, from 1, as people count; 0 on the table.
func (g Footing) Number() int { return g.number }

// Units is how many units the row below has.
func (g Footing) Units() int { return g.units }

// Offered is how many points the row below offers: two of each unit.
func (g Footing) Offered() int { return 2 * g.units }

// Point brings a point's number, counted on around the circle, to 0 … Offered−1.
func (g Footing) Point(p int) int {
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

// Gap gives the two points to either side of the gap after a unit of the row below: the unit's right one and its
// neighbour's left one.
func (g Footing) Gap(unit int) (left, right int) { return 2*unit + 1, g.Point(2*unit + 2) }

// Seam is the point that a ring's seam takes, counted back from before the circle when it lies in its left half.
func (g Footing) Seam(start int) int {
	if start > g.units {
		return start - g.Offered()
	}
	return start
}

// Usual is the point that the seam takes when a document does not say: 1 for even-numbered rings, the last for odd-numbered
// ones, so that plain rings come to stand half a unit to the right and to the left by turns.
func (g Footing) Usual() int {
	if g.number%2 == 1 {
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
// the points.
func (g Footing) Over(ring *Ring) int {
	taken, free := ring.Points()
	return taken + free - g.Offered()
}

// Counts is how few and how many units can take all points, when each takes MinTakes to MaxTakes.
func (g Footing) Counts() (fewest, most int) {
	return (g.Offered() + MaxTakes - 1) / MaxTakes, g.Offered() / MinTakes
}
