package figure

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// Common practice: a plain unit sits over the gap, so each ring is half a unit off the ring below
// and every second ring stands straight above.
func TestPlainRingsAlternateByHalfAUnit(t *testing.T) {
	u := Unroll(load(t, "sixty-eight"))
	for ring, middle := range []float64{0, 0.5, 0, 0.5, 0} {
		assert.InDelta(t, middle/12, u.Middle(ring, 0), 1e-12, "ring %d", ring+1)
		assert.InDelta(t, (middle+7)/12, u.Middle(ring, 7), 1e-12, "ring %d", ring+1)
	}
}

func TestAlwaysToTheSameSideLeansLikeASpiral(t *testing.T) {
	f := load(t, "sixty-eight")
	for i := 1; i < 5; i++ {
		f.Rings[i].Start = 1
	}
	u := Unroll(f)
	assert.InDelta(t, 4*0.5/12, u.Middle(4, 0), 1e-12)
}

func TestUnitSitsAtTheMiddleOfThePointsItTakes(t *testing.T) {
	f := load(t, "sixty-eight")
	first, n := f.PointsTaken(5, 1)
	assert.Equal(t, []int{4, 3}, []int{first, n}, "even-numbered ring 6 starts at point 1, unit 1 takes 4, 5 and 6")
	assert.Equal(t, []int{2, 3}, f.Below(5, 1))
	// Points 4, 5, 6 of twelve units standing on whole places: left and right of unit 2, left of 3.
	assert.InDelta(t, 2.25/12, Unroll(f).Middle(5, 1), 1e-12)
	assert.Equal(t, []int{1}, f.Above(4, 2))
	assert.Equal(t, []int{1, 2}, f.Above(4, 3))
}

// Common practice: the units of a closed ring stand at equal distances, so their points lie on a
// regular 2n-gon, whatever mixture of takes they have.
func TestPointsOfAClosedRingLieOnARegularPolygon(t *testing.T) {
	f := plain(12, 4)
	do(t, f, &SetCount{Rings: []RingID{3, 4}, Units: 17})
	u := Unroll(f)
	for ring := range f.Rings {
		assert.True(t, u.Even(ring), "ring %d", ring+1)
	}
	from, _ := u.Arc(2, 0)
	next, _ := u.Arc(2, 1)
	assert.InDelta(t, 1.0/17, next-from, 1e-12)
}

func TestRingWithAnOpeningLeavesAGap(t *testing.T) {
	u := Unroll(load(t, "contract-example"))
	assert.False(t, u.Even(4))
	// Ring 5 leaves the two points of a unit of ring 4 free: a tenth of the way around.
	_, last := u.Arc(4, 8)
	first, _ := u.Arc(4, 0)
	assert.InDelta(t, 0.1, first+1-last, 1e-12)
}

func TestArcsTileTheCircleButForOpenings(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := drawFigure(t)
		u := Unroll(f)
		for r := range f.Rings {
			covered := 0.0
			for i := range f.Rings[r].Cells {
				from, to := u.Arc(r, i)
				require.Less(t, from, to)
				if i > 0 {
					_, before := u.Arc(r, i-1)
					require.GreaterOrEqual(t, from, before-1e-9)
				}
				covered += to - from
				at, ok := u.UnitAt(r, u.Middle(r, i)+float64(i%3))
				require.True(t, ok)
				require.Equal(t, i, at)
			}
			if _, free := f.Rings[r].Points(); free == 0 && (r == 0 || u.closed(f, r-1)) {
				require.InDelta(t, 1, covered, 1e-9)
			}
			require.LessOrEqual(t, covered, 1+1e-9)
		}
	})
}

func (u *Unrolled) closed(f *Figure, ring int) bool {
	for ; ring > 0; ring-- {
		if _, free := f.Rings[ring].Points(); free > 0 {
			return false
		}
	}
	return true
}

func TestPointOwnersAgreeWithPointsTaken(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := drawFigure(t)
		for r := 1; r < len(f.Rings); r++ {
			owners := f.PointOwners(r)
			seen := 0
			for i := range f.Rings[r].Cells {
				first, n := f.PointsTaken(r, i)
				for k := 0; k < n; k++ {
					require.Equal(t, i, owners[(first+k)%len(owners)])
					seen++
				}
				for _, b := range f.Below(r, i) {
					require.Contains(t, f.Above(r-1, b), i)
				}
			}
			taken, _ := f.Rings[r].Points()
			require.Equal(t, taken, seen)
		}
	})
}

func TestWrapStaysBelowOneTurn(t *testing.T) {
	for _, v := range []float64{-1e-12, 1, 2.25, -0.75, math.Nextafter(1, 0)} {
		w := wrap(v)
		assert.True(t, w >= 0 && w < 1, "%v gives %v", v, w)
	}
}
