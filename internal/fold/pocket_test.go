package fold

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// nearestInHull finds the distance of a place to the convex hull of corners by walking towards the corner that lies
// farthest in the place's direction (Gilbert 1966, from memory): it knows nothing of faces and edges.
func nearestInHull(at vec, corners []vec) float64 {
	x := corners[0]
	for range 4000 {
		to := at.minus(x)
		best, most := x, 0.0
		for _, c := range corners {
			if d := c.minus(x).dot(to); d > most {
				best, most = c, d
			}
		}
		along := best.minus(x)
		if most < 1e-10 || along.dot(along) == 0 {
			break
		}
		x = x.plus(math.Min(1, most/along.dot(along)), along)
	}
	return math.Sqrt(at.minus(x).dot(at.minus(x)))
}

// The room of a pocket is what the linings in the mesh of the unit enclose: the left part of them the left pocket, the
// right part the right one, within the thickness of a strip.
func TestPocketIsWhatTheLiningsEnclose(t *testing.T) {
	m := Of(a9Doubled)
	s := NewSolid(m, 5.4, PaperMM)
	left, right := Pockets(m, 5.4, PaperMM)
	part := s.Parts[2]
	require.Equal(t, "pocket", part.Name)
	var sides [2][]vec
	for _, i := range s.Indices[part.First : part.First+part.Count] {
		v := vertex(s, int(i))
		sides[map[bool]int{true: 1}[v[0] > 0]] = append(sides[map[bool]int{true: 1}[v[0] > 0]], v)
	}
	rapid.Check(t, func(t *rapid.T) {
		at := vec{rapid.Float64Range(-30, 30).Draw(t, "x"), rapid.Float64Range(-40, 20).Draw(t, "y"), rapid.Float64Range(-20, 40).Draw(t, "z")}
		assert.InDelta(t, nearestInHull(at, sides[0]), left.Away(at), 0.4, "%v", at)
		assert.InDelta(t, nearestInHull(at, sides[1]), right.Away(at), 0.4, "%v", at)
	})
	assert.Zero(t, right.Away(vec(right.Point).plus(0.5, vec(right.Mouth).minus(right.Point)).plus(0.1, vec(right.Corner).minus(right.Point))))
}
