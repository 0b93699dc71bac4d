package outline

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tuckring/internal/shape"
)

// sizes are twenty sizes, from the smallest to large ones: units in the widest ring, rings (0: as it looks best).
var sizes = [][2]int{
	{8, 4}, {8, 10}, {8, 60}, {9, 0}, {10, 5}, {12, 0}, {14, 30}, {16, 0}, {18, 16}, {20, 8},
	{21, 0}, {24, 24}, {28, 0}, {30, 12}, {33, 45}, {36, 0}, {40, 20}, {48, 0}, {60, 9}, {72, 30},
}

// Every shape in every size, on either fold, is a figure that the checks find nothing wrong with: no fault, no warning.
func TestEveryShapeHoldsInEverySize(t *testing.T) {
	for _, unit := range folds {
		g := shape.FromMemory(unit)
		for _, s := range Shapes {
			for _, size := range sizes {
				rings := size[1]
				if rings == 0 {
					rings = s.Rings(size[0], g)
				}
				f, err := s.Make("Eider", unit, papers, size[0], rings, g)
				require.NoError(t, err, "%s %v", s.Key, size)
				assert.Empty(t, f.Validate())
				assert.Nil(t, Warns(f, g), "%s %v", s.Key, size)
				assert.Len(t, f.Rings, rings)
				assert.Equal(t, size[0], Widest(f), "%s %v", s.Key, size)
			}
		}
	}
}

// A shape looks like what it is called: where it is widest, and how wide its ends are.
func TestShapesLookLikeTheirNames(t *testing.T) {
	g := shape.FromMemory(folds[0])
	counts := func(key string) (out []int) {
		s, ok := ByKey(key)
		require.True(t, ok)
		f, err := s.Make("Eider", folds[0], papers, 40, 30, g)
		require.NoError(t, err)
		for _, r := range f.Rings {
			out = append(out, len(r.Cells))
		}
		return out
	}
	widest := func(c []int) (at int) {
		for i, n := range c {
			if n > c[at] {
				at = i
			}
		}
		return at
	}
	for _, n := range counts("tube") {
		assert.Equal(t, 40, n)
	}
	cone := counts("cone")
	for i := 1; i < len(cone); i++ {
		assert.LessOrEqual(t, cone[i], cone[i-1])
	}
	ball := counts("ball")
	assert.InDelta(t, 14, widest(ball), 3, "a ball is widest in the middle")
	assert.InDelta(t, ball[0], ball[29], 1, "and alike above and below")
	assert.Less(t, widest(counts("egg")), widest(ball), "an egg is widest below the middle")
	assert.Zero(t, widest(counts("bell")), "a bell is widest at its rim")
	owl := counts("owl")
	neck := owl[18]
	assert.Greater(t, owl[10], neck)
	assert.Greater(t, owl[23], neck, "an owl has a head over its neck")
	assert.Equal(t, 40, counts("bowl")[29], "a bowl is widest at its top")
}

func TestShapesThatAreTooSmallAreRefused(t *testing.T) {
	s, _ := ByKey("owl")
	for _, size := range [][2]int{{7, 10}, {8, 3}, {1001, 10}, {20, 1001}, {-1, 10}} {
		_, err := s.Make("Eider", folds[0], papers, size[0], size[1], shape.FromMemory(folds[0]))
		require.Error(t, err)
		assert.Contains(t, err.Error(), "8 to 1000 units")
	}
	_, err := s.Make("Eider", folds[0], papers, 1000, 1000, shape.FromMemory(folds[0]))
	assert.ErrorContains(t, err, "at most 100000")
}
