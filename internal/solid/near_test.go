package solid

import (
	"context"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tuckring/internal/solid/solidtest"
)

// soup is triangles that lie across each other, within a box of 100 mm and with one far away beside it.
func soup(n int) *Mesh {
	random := rand.New(rand.NewPCG(3, 4))
	m := &Mesh{Kind: STL, Paints: []Paint{white}, Coloured: true}
	for i := range 3 * n {
		for range 3 {
			m.Positions = append(m.Positions, random.Float32()*100)
		}
		m.Triangles = append(m.Triangles, uint32(i))
	}
	m.Positions[0] += 3000
	return m
}

// What the tree finds is what looking at every triangle finds.
func TestNearestAndFirstAreThoseOfAllTriangles(t *testing.T) {
	s, err := soup(60).stand(UpZ, 0, 100)
	require.NoError(t, err)
	tr := newTree(context.Background(), s)
	random := rand.New(rand.NewPCG(5, 6))
	hits := 0
	for range 300 {
		p := [3]float64{random.Float64()*400 - 1700, random.Float64() * 100, random.Float64()*400 - 200}
		long := math.Hypot(p[0], p[2])
		d := [3]float64{-p[0] / long, 0, -p[2] / long}
		nearest, first, met := math.Inf(1), long, false
		for i := range s.mesh.TriangleCount() {
			a, b, c := s.corners(i)
			_, away := nearestOf(p, a, b, c)
			nearest = math.Min(nearest, away)
			if _, away, ok := crosses(p, d, a, b, c); ok && away < first {
				first, met = away, true
			}
		}
		assert.InDelta(t, nearest, tr.nearest(p).away, 1e-9)
		hit, ok := tr.hit(p)
		assert.Equal(t, met, ok)
		assert.InDelta(t, first, hit.away, 1e-9)
		if ok {
			hits++
		}
	}
	assert.Greater(t, hits, 30)
}

// A solid that is fine in one place and reaches far in another is looked at in the time of any other; one whose triangles lie
// across each other is refused before that takes for ever.
func TestLookingForPlacesTakesOnlySoMuch(t *testing.T) {
	egg := solidtest.Lathe(250, 200, 100, func(s float64) float64 { return 180 * solidtest.EggRadius(s) }, func(s, _ float64) [3]uint8 { return [3]uint8{uint8(255 * s), 80, 40} })
	asked := func(s *solidtest.Solid) int {
		stood, err := read(t, s.PLY("binary_little_endian")).stand("", 0, 250)
		require.NoError(t, err)
		tr := newTree(context.Background(), stood)
		for i := range 500 {
			sin, cos := math.Sincos(float64(i))
			p := [3]float64{150 * sin, float64(i) / 2, 150 * cos}
			tr.nearest(p)
			tr.hit(p)
		}
		return tr.work
	}
	alone := asked(egg)
	sliver := &solidtest.Solid{Vertices: [][3]float64{{-6000, 100, 0}, {6000, 100, 0}, {6000, 101, 0}}, Triangles: [][3]int{{0, 1, 2}}, Colours: make([][3]uint8, 3)}
	assert.Less(t, asked(egg.Add(sliver, 0, 0, 0)), 2*alone)

	m := soup(40_000)
	m.Positions[0] -= 3000
	_, err := Make(context.Background(), m, Options{Title: "Soup", HeightMM: 60, Papers: papers})
	assert.ErrorContains(t, err, "lie across each other")
}

// A heap of many separate pieces keeps those that reach farthest, and outlines that touch become one whatever their order.
func TestOutlinesThatTouchBecomeOne(t *testing.T) {
	square := func(x, z, side float64) []crossing {
		a, b, c, d := point{x, z}, point{x + side, z}, point{x + side, z + side}, point{x, z + side}
		return []crossing{{a, b}, {b, c}, {c, d}, {d, a}}
	}
	var lines []crossing
	for i := range 300 {
		lines = append(lines, square(float64(3*(i%20)), float64(3*(i/20)), 1)...)
	}
	assert.Len(t, loopsOf(lines, new(int)), mostLoops)
	// The bridge between two squares reaches over a third, which touches neither.
	lines = append(square(0, 0, 10), square(20, 0, 10)...)
	lines = append(lines, square(14, 4, 1)...)
	require.Len(t, loopsOf(lines, new(int)), 3)
	lines = append(lines, square(9, 8, 12)...)
	got := loopsOf(lines, new(int))
	require.Len(t, got, 1)
	assert.InDelta(t, 30, got[0].profile[directions/2]+got[0].profile[0], 3, "from the left to the right")
}

// Whoever sees to it that cutting takes long is refused before it does: many triangles that reach all the way up, and many that lie
// across each other, of which each crosses the sight of half of all directions.
func TestCuttingTakesOnlySoMuch(t *testing.T) {
	random := rand.New(rand.NewPCG(7, 8))
	needles := &Mesh{Kind: STL, Paints: []Paint{white}}
	for i := range 3 * 150_000 {
		needles.Positions = append(needles.Positions, random.Float32()*100, random.Float32()*100, float32(i%3)*50)
		needles.Triangles = append(needles.Triangles, uint32(i))
	}
	for _, c := range []struct {
		high  float64
		units int
	}{{900, 0}, {1200, 60}} {
		_, err := Make(context.Background(), needles, Options{Title: "Hay", HeightMM: c.high, Units: c.units, Papers: papers})
		assert.ErrorContains(t, err, "too finely made")
	}
	s, err := needles.stand(UpZ, 0, 100)
	require.NoError(t, err)
	_, err = s.slices(context.Background(), []float64{30})
	require.NoError(t, err)
	across := s.work
	near := solidtest.Cylinder(100, 100, 75_000, 1)
	s, err = read(t, near.STL()).stand(UpZ, 0, 100)
	require.NoError(t, err)
	_, err = s.slices(context.Background(), []float64{30})
	require.NoError(t, err)
	assert.Greater(t, across, s.work*3/2, "as many crossings, each of them long")
}

// What is left out before a hull is made of places is none of it.
func TestHullsGoAroundAllPlaces(t *testing.T) {
	random := rand.New(rand.NewPCG(9, 10))
	for range 200 {
		stretch, turn := math.Pow(10, 4*random.Float64()), 7*random.Float64()
		sin, cos := math.Sincos(turn)
		var all []point
		for range 300 {
			x, z := stretch*random.NormFloat64(), random.NormFloat64()
			all = append(all, point{x*cos - z*sin, x*sin + z*cos})
		}
		hull := hullOf(slices.Clone(all))
		for _, p := range hull {
			assert.Contains(t, all, p)
		}
		for i, a := range hull {
			b := hull[(i+1)%len(hull)]
			for _, p := range all {
				require.GreaterOrEqual(t, (b.x-a.x)*(p.z-a.z)-(b.z-a.z)*(p.x-a.x), -1e-9*stretch*stretch)
			}
		}
	}
}
