package figure

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// By hand: the first two stand 0.1 apart and want 0.2, so each gives way by 0.05; the third need not move. In the second
// row the last and the first stand 0.07 apart across the seam, and each gives way by 0.065.
func TestNeighboursGiveWayEqually(t *testing.T) {
	places := []float64{0, 0.1, 0.5}
	assert.True(t, keepApart(places, []float64{0.2, 0.2, 0.2}, 1))
	assert.InDeltaSlice(t, []float64{-0.05, 0.15, 0.5}, places, 1e-12)
	places = []float64{0.05, 0.5, 0.98}
	assert.True(t, keepApart(places, []float64{0.2, 0.2, 0.2}, 1))
	assert.InDeltaSlice(t, []float64{0.115, 0.5, 0.915}, places, 1e-12)
	places = []float64{0, 0.3, 0.7}
	assert.False(t, keepApart(places, []float64{0.2, 0.2, 0.2}, 1))
}

// The nearest point x of a convex set to a place a is the one with (a − x)·(z − x) ≤ 0 for every z of the set (the
// variational inequality of projection; any textbook of convex analysis).
func TestKeepApartGivesTheNearestPlaces(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(2, 30).Draw(t, "n")
		a, least := make([]float64, n), make([]float64, n)
		at, sum := rapid.Float64Range(-1, 1).Draw(t, "seam"), 0.0
		steps := make([]float64, n)
		for i := range steps {
			steps[i] = rapid.Float64Range(0, 1).Draw(t, "step") + 1e-6
			least[i] = rapid.Float64Range(0, 1).Draw(t, "least")
			sum += steps[i]
		}
		room := 0.0
		for i := range a {
			a[i] = at
			at += steps[i] / sum
			room += least[i]
		}
		for i := range least {
			least[i] *= 0.9 / math.Max(room, 1e-9)
		}
		x := append([]float64(nil), a...)
		keepApart(x, least, 1)
		gap := func(z []float64, i int) float64 { return z[(i+1)%n] + float64((i+1)/n) - z[i] }
		for i := range x {
			require.GreaterOrEqual(t, gap(x, i), least[i]-2e-9)
		}
		for range 20 { // other places that keep the distances
			z := make([]float64, n)
			z[0] = rapid.Float64Range(-2, 2).Draw(t, "z")
			total, more := 0.0, make([]float64, n)
			for i := range more {
				more[i] = rapid.Float64Range(0, 1).Draw(t, "more") + 1e-9
				total += more[i]
			}
			for i := 1; i < n; i++ {
				z[i] = z[i-1] + least[i-1] + (1-0.9*math.Min(1, room/math.Max(room, 1e-9)))*more[i-1]/total
			}
			if gap(z, n-1) < least[n-1] {
				continue
			}
			dot := 0.0
			for i := range x {
				dot += (a[i] - x[i]) * (z[i] - x[i])
			}
			require.LessOrEqual(t, dot, 1e-7)
		}
	})
}

// A figure whose units take their points the same to both sides of the front line stands the same to both sides, and
// the same figure stands the same every time.
func TestRelaxedFigureStaysMirrorSymmetric(t *testing.T) {
	seen := 0
	rapid.Check(t, func(t *rapid.T) {
		f := plain(2*rapid.IntRange(4, 20).Draw(t, "half"), 6)
		f.Front = float64(rapid.IntRange(0, len(f.Rings[0].Cells)-1).Draw(t, "front"))
		for _, id := range []RingID{2, 3, 4, 5, 6} {
			n := len(f.Rings[0].Cells)
			_, _, _ = Apply(f, &SetCount{Rings: []RingID{id}, Units: 2 * rapid.IntRange(n/3, 2*n/3).Draw(t, "units")})
		}
		planned, u := plan(f), Unroll(f)
		require.Equal(t, u, Unroll(f))
		for r := range f.Rings {
			if !sameToBothSides(planned, r) || r > 0 && !sameTakes(planned, groundOf(f.Footing(r), planned.arcs), r, &f.Rings[r]) {
				return
			}
		}
		seen++
		for r := range f.Rings {
			require.True(t, sameToBothSides(u, r), "ring %d", r+1)
		}
	})
	assert.Positive(t, seen)
}

// The front is a unit of ring 1, or the middle between two: wherever an uneven figure pushes it, it stays there (by hand:
// 24 units in ring 1 under a ring with a gap on one side, which pushed unit 3 by half a unit off azimuth 0 before).
func TestFrontStaysAtItsUnitOfRing1(t *testing.T) {
	f := plain(24, 3)
	cells := f.Rings[0].Cells[:19]
	for i := 1; i < 3; i++ {
		f.Rings[i].Cells = append([]Cell(nil), cells...)
		for k := range f.Rings[i].Cells {
			f.Rings[i].Cells[k].Takes = 2
		}
	}
	f.Rings[2].Start = 1
	f.Rings[1].Cells[0].Free, f.Rings[1].FreeEnd = 5, 5
	require.Empty(t, f.Validate())
	moved := 0.0
	for at := range 24 {
		f.Front = float64(at)
		u := Unroll(f)
		require.InDelta(t, 0, circular(u.Middle(0, at), u.FrontTurn()), 1e-12)
		moved = math.Max(moved, circular(u.FrontTurn(), float64(at)/24)*24)
		f.Front += 0.5
		u = Unroll(f)
		between := (u.Middle(0, at) + u.Middle(0, (at+1)%24) + float64((at+1)/24)) / 2
		require.InDelta(t, 0, circular(between, u.FrontTurn()), 1e-12)
	}
	assert.Greater(t, moved, 0.2, "the units of ring 1 are pushed, so there is something to keep")
}

func sameToBothSides(u *Unrolled, ring int) bool {
	for k := range u.arcs[ring] {
		at := 2*u.fronts[0] - u.Middle(ring, k)
		mate, ok := u.UnitAt(ring, at)
		if !ok || circular(u.Middle(ring, mate), at) > 1e-9 {
			return false
		}
	}
	return true
}

// sameTakes tells whether a ring takes the points of the ring below the same to both sides of the front.
func sameTakes(planned *Unrolled, g ground, ring int, r *Ring) bool {
	wanted := naturalArcs(g, r)
	for k := range wanted {
		mate, _ := planned.UnitAt(ring, 2*planned.fronts[0]-planned.Middle(ring, k))
		if circular(wanted[k].from, 2*planned.fronts[0]-wanted[mate].to) > 1e-9 {
			return false
		}
	}
	return true
}
