package fold

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func vertex(s *Solid, i int) vec {
	return vec{float64(s.Positions[3*i]), float64(s.Positions[3*i+1]), float64(s.Positions[3*i+2])}
}

func TestSolidIsSmallAndWhole(t *testing.T) {
	for name, u := range papers {
		s := NewSolid(Of(u), 0.29*Of(u).LegMM, PaperMM)
		assert.LessOrEqual(t, s.Triangles(), 60, name)
		next := 0
		for _, p := range s.Parts {
			assert.Equal(t, next, p.First, name)
			next += p.Count
		}
		assert.Equal(t, len(s.Indices), next, "%s: every triangle is in a part", name)
		require.Len(t, s.Normals, len(s.Positions))
		for _, v := range s.Positions {
			assert.False(t, math.IsNaN(float64(v)), name)
		}
	}
}

// The normal of every triangle points to the side from which it runs counterclockwise (glTF 2.0 §3.7.2).
func TestNormalsFollowTheWinding(t *testing.T) {
	s := NewSolid(Of(a9Doubled), 5.4, PaperMM)
	for i := 0; i < len(s.Indices); i += 3 {
		a, b, c := vertex(s, int(s.Indices[i])), vertex(s, int(s.Indices[i+1])), vertex(s, int(s.Indices[i+2]))
		n := b.minus(a).cross(c.minus(a)).unit()
		for k := range 3 {
			assert.InDelta(t, n[k], float64(s.Normals[3*int(s.Indices[i])+k]), 1e-4)
		}
	}
}

// The two points of the standing unit are as far apart as asked, within the thickness of its layers,
// one right, one left, and above everything else.
func TestPointsStandUp(t *testing.T) {
	s := NewSolid(Of(a9Doubled), 5.4, PaperMM)
	top, low, out := math.Inf(-1), math.Inf(1), 0.0
	right := 0.0
	for i := range len(s.Positions) / 3 {
		v := vertex(s, i)
		top, low, out = math.Max(top, v[1]), math.Min(low, v[1]), math.Max(out, v[2])
		if v[1] > -0.2 {
			right = math.Max(right, v[0])
		}
	}
	assert.InDelta(t, 2.7, right, 0.4)
	assert.InDelta(t, 0, top, 0.1)
	assert.InDelta(t, 18.5, out, 1e-4, "the spine reaches one leg outwards")
	assert.InDelta(t, -18.5, low, 0.5, "the spine lies one leg below the points")
}

// In a ring the points of units side by side stand half a unit apart, and the units touch: a unit is
// twice as wide as its points are apart (common practice: a ring is pushed together until it is firm).
func TestUnitsSideBySideTouch(t *testing.T) {
	s := NewSolid(Of(a9Doubled), 5.4, PaperMM)
	wide := 0.0
	for i := range len(s.Positions) / 3 {
		wide = math.Max(wide, vertex(s, i)[0])
	}
	assert.InDelta(t, 5.4, wide, 0.1)
}

// The standing unit is mirror-symmetric: what is on the right is on the left.
func TestLeavesMirrorEachOther(t *testing.T) {
	s := NewSolid(Of(a9Doubled), 5.4, PaperMM)
	for i := range len(s.Positions) / 3 {
		v, found := vertex(s, i), false
		for j := range len(s.Positions) / 3 {
			w := vertex(s, j)
			found = found || math.Abs(v[0]+w[0])+math.Abs(v[1]-w[1])+math.Abs(v[2]-w[2]) < 1e-4
		}
		assert.True(t, found, "%v", v)
	}
}

// Opened in space the inner face keeps the sizes of the folded paper: legs 18.5 mm, hypotenuse 26.2 mm.
func TestInnerFaceKeepsTheSizesOfThePaper(t *testing.T) {
	l := leaf{sign: 1, leg: 18.5, open: 0.14, under: 0.4, strip: 0.2}
	length := func(a, b vec) float64 {
		d := a.minus(b)
		return math.Sqrt(d[0]*d[0] + d[1]*d[1] + d[2]*d[2])
	}
	corner, apex, point := l.at(0, 0, 0.4), l.at(18.5, 0, 0.4), l.at(0, 18.5, 0.4)
	assert.InDelta(t, 18.5, length(corner, apex), 1e-9)
	assert.InDelta(t, 18.5, length(corner, point), 1e-9)
	assert.InDelta(t, 26.2, length(apex, point), 0.05)
}

func BenchmarkNewPattern(b *testing.B) {
	for b.Loop() {
		if _, err := NewPattern(a9Doubled); err != nil {
			b.Fatal(err)
		}
	}
}
