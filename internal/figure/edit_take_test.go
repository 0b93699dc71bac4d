package figure

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// points lists, for every unit of a ring, the points of the ring below that it takes.
func points(f *Figure, ring int) [][]int {
	var out [][]int
	for u := range f.Rings[ring].Cells {
		first, n := f.PointsTaken(ring, u)
		run := []int{}
		for k := range n {
			run = append(run, (first+k)%(2*len(f.Rings[ring-1].Cells)))
		}
		out = append(out, run)
	}
	return out
}

// Common practice: a unit that takes three points leaves one for its neighbour. Ring 2 of a plain tube of
// 4 units takes points 1+2, 3+4, 5+6, 7+0.
func TestUnitThatTakesMoreLeavesItsNeighbourLess(t *testing.T) {
	f := plain(4, 3)
	require.Equal(t, [][]int{{1, 2}, {3, 4}, {5, 6}, {7, 0}}, points(f, 1))
	_, ch := do(t, f, &Take{Ring: 2, Unit: 1, Takes: 3})
	assert.Equal(t, [][]int{{1, 2}, {3, 4, 5}, {6}, {7, 0}}, points(f, 1))
	assert.Equal(t, "Unit 3 of ring 2 takes 1 point now, to make up for it.", ch.Remarks[0].String())
	do(t, f, &Take{Ring: 2, Unit: 1, Takes: 4})
	assert.Equal(t, [][]int{{1}, {2, 3, 4, 5}, {6}, {7, 0}}, points(f, 1), "the second point comes from the other side")
	do(t, f, &Take{Ring: 2, Unit: 1, Takes: 2})
	assert.Equal(t, [][]int{{1, 2}, {3, 4}, {5, 6}, {7, 0}}, points(f, 1), "and goes back to both")
}

// What crosses the seam moves the seam with it: unit 0 gives up its first point, so ring 2 begins one later.
func TestTakingAcrossTheSeam(t *testing.T) {
	f := plain(4, 2)
	do(t, f, &Take{Ring: 2, Unit: 3, Takes: 3})
	assert.Equal(t, [][]int{{2}, {3, 4}, {5, 6}, {7, 0, 1}}, points(f, 1))
	assert.Equal(t, 2, f.Rings[1].Start)
}

func TestTakeIsRefusedWhenNobodyCanMakeUpForIt(t *testing.T) {
	f := plain(3, 1)
	do(t, f, &InsertRing{Above: 1, Colour: "brick"})
	do(t, f, &SetCount{Rings: []RingID{2}, Units: 6})
	_, _, err := Apply(f, &Take{Ring: 2, Unit: 0, Takes: 2})
	assert.ErrorContains(t, err, "every other unit of the ring takes only one already")
	do(t, f, &SetCount{Rings: []RingID{1}, Units: 6})
	do(t, f, &SetCount{Rings: []RingID{2}, Units: 3})
	_, _, err = Apply(f, &Take{Ring: 2, Unit: 0, Takes: 3})
	assert.ErrorContains(t, err, "every other unit of the ring takes four already")
	_, _, err = Apply(f, &Take{Ring: 1, Unit: 0, Takes: 3})
	assert.ErrorContains(t, err, "its units take no points")
}

func TestPointsLeftFreeComeFromBothNeighbours(t *testing.T) {
	f := plain(6, 2)
	do(t, f, &LeaveFree{Ring: 2, Unit: 3, Points: 2})
	assert.Equal(t, [][]int{{1, 2}, {3, 4}, {5}, {8}, {9, 10}, {11, 0}}, points(f, 1))
	assert.Equal(t, uint16(2), f.Rings[1].Cells[3].Free)
	do(t, f, &LeaveFree{Ring: 2, Unit: 3, Points: 0})
	assert.Equal(t, [][]int{{1, 2}, {3, 4}, {5, 6}, {7, 8}, {9, 10}, {11, 0}}, points(f, 1))
}

func TestPointsLeftFreeBesideTheSeam(t *testing.T) {
	for _, unit := range []int{0, 6} { // before the first unit, after the last: the same place
		f := plain(6, 2)
		do(t, f, &LeaveFree{Ring: 2, Unit: unit, Points: 2})
		assert.Equal(t, [][]int{{2}, {3, 4}, {5, 6}, {7, 8}, {9, 10}, {11}}, points(f, 1))
	}
}

// Common practice: a unit left out makes an opening of the two points it stood on.
func TestUnitLeftOutMakesAnOpening(t *testing.T) {
	f := plain(6, 3)
	do(t, f, &LeaveOut{Ring: 2, At: 2, N: 1})
	assert.Equal(t, [][]int{{1, 2}, {3, 4}, {7, 8}, {9, 10}, {11, 0}}, points(f, 1))
	taken, free := f.Rings[2].Points()
	assert.Equal(t, 10, taken+free, "the ring above stands on the five that are left")
	do(t, f, &FillIn{Ring: 2, Unit: 2})
	assert.Equal(t, [][]int{{1, 2}, {3, 4}, {5, 6}, {7, 8}, {9, 10}, {11, 0}}, points(f, 1))
	_, _, err := Apply(f, &FillIn{Ring: 2, Unit: 2})
	assert.ErrorContains(t, err, "no opening")
	_, _, err = Apply(f, &LeaveOut{Ring: 2, At: 0, N: 4})
	assert.ErrorContains(t, err, "left with 2 units")
}

func TestCountsInEvenSteps(t *testing.T) {
	f := plain(12, 5)
	do(t, f, &SetCount{Rings: []RingID{1, 2, 3, 4, 5}, Units: 12, Top: 20})
	var got []int
	for i := range f.Rings {
		got = append(got, len(f.Rings[i].Cells))
	}
	assert.Equal(t, []int{12, 14, 16, 18, 20}, got)
	do(t, f, &SetCounts{Counts: []RingCount{{5, 10}, {1, 18}}})
	assert.Len(t, f.Rings[0].Cells, 18)
	assert.Len(t, f.Rings[4].Cells, 10)
}

func TestClosedOpeningsAreSaid(t *testing.T) {
	f := plain(12, 3)
	do(t, f, &LeaveOut{Ring: 3, At: 2, N: 1})
	_, ch := do(t, f, &SetCount{Rings: []RingID{2}, Units: 14})
	assert.Contains(t, ch.Remarks[0].String(), "openings of ring 3 were closed")
}

// A unit that takes three of the points 1, 2, 3 of a ring of 12 has its own two points on 0 … 1/16 and
// 1/16 … 1/8 turn, so the front line at 1/12 runs through one of them, and nothing above can be mirrored.
func TestSpreadThatCannotBeMirroredIsSaidOnce(t *testing.T) {
	f := plain(12, 3)
	do(t, f, &Take{Ring: 2, Unit: 0, Takes: 3})
	do(t, f, &SetFront{Front: 1})
	_, ch := do(t, f, &SetCount{Rings: []RingID{3}, Units: 14})
	require.Len(t, ch.Remarks, 1)
	assert.Contains(t, ch.Remarks[0].String(), "Ring 3 could not be spread evenly to both sides")
	f = plain(12, 6)
	do(t, f, &Take{Ring: 2, Unit: 0, Takes: 3})
	do(t, f, &SetFront{Front: 1})
	_, ch = do(t, f, &SetCount{Rings: []RingID{3, 4, 5}, Units: 14, Top: 18})
	require.Len(t, ch.Remarks, 1)
	assert.Contains(t, ch.Remarks[0].String(), "rings, the lowest ring 3, could not be spread evenly")
	_, ch = do(t, plain(12, 6), &SetCount{Rings: []RingID{3}, Units: 14})
	assert.Empty(t, ch.Remarks)
}

// Work by hand changes only its own ring and what stands on it, keeps every unit's look, and an opening
// keeps its size while units beside it take more or fewer.
func TestTakeKeepsUnitsAndOpenings(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := drawFigure(t)
		i := rapid.IntRange(0, len(f.Rings)-1).Draw(t, "ring")
		before := f.Clone()
		unit := rapid.IntRange(0, len(f.Rings[i].Cells)-1).Draw(t, "unit")
		takes := rapid.IntRange(1, 4).Draw(t, "takes")
		if _, _, err := Apply(f, &Take{Ring: f.Rings[i].ID, Unit: unit, Takes: takes}); err != nil {
			require.Equal(t, before, f)
			return
		}
		require.Empty(t, f.Validate())
		require.Equal(t, takes, int(f.Rings[i].Cells[unit].Takes))
		for k := range f.Rings {
			if k != i {
				require.Equal(t, before.Rings[k], f.Rings[k])
			}
		}
		require.Equal(t, before.Rings[i].FreeEnd, f.Rings[i].FreeEnd)
		for u, c := range f.Rings[i].Cells {
			c.Takes = before.Rings[i].Cells[u].Takes
			require.Equal(t, before.Rings[i].Cells[u], c)
		}
	})
}
