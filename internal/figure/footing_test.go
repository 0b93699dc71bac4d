package figure

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// The contract: points of the ring below are numbered 0 … 2n−1, left and right point of unit 0, of unit 1, …; a seam takes
// point 1 in even-numbered rings and the last one in odd-numbered rings, unless the document says otherwise.
func TestFootingNumbersPointsAsTheDocumentDoes(t *testing.T) {
	f := load(t, "sixty-eight") // five rings of 12 units and one of 8
	assert.True(t, f.Footing(0).OnTable())
	assert.Equal(t, Footing{}, f.Footing(0))
	foot := f.Footing(5)
	assert.Equal(t, []int{4, 5, 12, 24}, []int{foot.Ring(), foot.Number(), foot.Units(), foot.Offered()})
	assert.Equal(t, 1, foot.Usual(), "ring 6")
	assert.Equal(t, 23, f.Footing(4).Usual(), "ring 5")
	for _, c := range []struct{ point, unit, side, lap int }{{0, 0, 0, 0}, {1, 0, 1, 0}, {23, 11, 1, 0}, {24, 0, 0, 1}, {-1, 11, 1, -1}, {-24, 0, 0, -1}, {51, 1, 1, 2}} {
		unit, side, lap := foot.Owner(c.point)
		assert.Equal(t, c, struct{ point, unit, side, lap int }{c.point, unit, side, lap})
	}
	left, right, ok := foot.Gap(11)
	assert.True(t, ok)
	assert.Equal(t, []int{23, 0}, []int{left, right}, "the gap between the last unit and the first")
	fewest, most := foot.Counts()
	assert.Equal(t, []int{6, 24}, []int{fewest, most}, "each takes 1 to 4 of 24")
	_, above := f.Upon(5)
	assert.False(t, above)
}

// What a footing says is what follows from walking over the points one by one, as the document lists them.
func TestFootingAgreesWithThePointsListedOneByOne(t *testing.T) {
	type point struct{ unit, side int }
	rapid.Check(t, func(t *rapid.T) {
		f := drawFigure(t)
		var below *Ring
		for i := range f.Rings {
			ring, foot := &f.Rings[i], f.Footing(i)
			require.Equal(t, below == nil, foot.OnTable())
			if below == nil {
				below = ring
				continue
			}
			require.Equal(t, below.ID, f.Rings[foot.Ring()].ID)
			above, ok := f.Upon(foot.Ring())
			require.True(t, ok)
			require.Equal(t, ring.ID, f.Rings[above].ID)
			var offered []point
			for unit := range below.Cells {
				offered = append(offered, point{unit, 0}, point{unit, 1})
			}
			require.Equal(t, len(offered), foot.Offered())
			require.Zero(t, foot.Over(ring))

			takenBy := map[point]int{}
			at := ring.Start
			take := func() point { p := offered[at%len(offered)]; at++; return p }
			for unit, c := range ring.Cells {
				at += int(c.Free)
				var stands []int
				for range c.Takes {
					p := take()
					takenBy[p] = unit
					if len(stands) == 0 || stands[len(stands)-1] != p.unit {
						stands = append(stands, p.unit)
					}
				}
				require.Equal(t, stands, f.Below(i, unit))
			}
			for p, unit := range foot.TakenBy(ring) {
				owner, taken := takenBy[offered[p]]
				require.Equal(t, taken, unit >= 0, "point %d is free or not", p)
				if taken {
					require.Equal(t, owner, unit)
				}
			}
			for unit, first := range foot.Seats(ring) {
				from, n := f.PointsTaken(i, unit)
				require.Equal(t, from, foot.Point(first))
				require.Equal(t, int(ring.Cells[unit].Takes), n)
				stands, side, lap := foot.Owner(first)
				require.Equal(t, offered[from], point{stands, side})
				require.Equal(t, first, lap*len(offered)+from)
			}
			below = ring
		}
	})
}
