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

// Common practice: units that all take two points push one another to equal distances.
func TestPlainRingsAreEven(t *testing.T) {
	u := Unroll(plain(12, 4))
	for ring := range 4 {
		assert.True(t, u.Even(ring), "ring %d", ring+1)
	}
}

// From 12 to 15 units, 9 take two points and 6 one (24 = 9 × 2 + 6). A unit that takes one point stands right over it;
// at equal distances some would stand most of a unit beside theirs.
func TestUnitsOfAWideningStandOverTheirPoints(t *testing.T) {
	f := plain(12, 3)
	do(t, f, &SetCount{Rings: []RingID{3}, Units: 15})
	u := Unroll(f)
	for k, c := range f.Rings[2].Cells {
		first, n := f.PointsTaken(2, k)
		tip := func(p int) float64 { return u.Middle(1, p%24/2) + float64(2*(p%2)-1)/48 }
		left, right := tip(first), tip(first+n-1)
		beside := math.Max(circular(u.Middle(2, k), left), circular(u.Middle(2, k), right))
		assert.LessOrEqual(t, beside*12, 0.56, "unit %d takes %d: at most about half a unit of ring 2 to either side", k+1, c.Takes)
	}
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
			n := len(f.Rings[r].Cells)
			for i := range f.Rings[r].Cells {
				from, to := u.Arc(r, i)
				require.Less(t, from, u.Middle(r, i))
				require.Less(t, u.Middle(r, i), to)
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
				for i := range n { // no two closer than paper allows, ±20 % of the pitch (from memory)
					next := u.Middle(r, (i+1)%n) + float64((i+1)/n)
					require.GreaterOrEqual(t, (next-u.Middle(r, i))*float64(n), 0.8-1e-6)
				}
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
