package outline

import (
	"context"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tuckring/internal/shape"
)

// The way of each cut is the best of all counts there are for it, of every shape, as an exhaustive search finds.
func TestWishesComeTrueAsWellAsCanBe(t *testing.T) {
	for _, c := range []struct {
		key          string
		height, wide float64
		cut          int
	}{ // the last four are flat or small, where a search that only goes on from step to step stops early
		{"vase", 84, 104, 2},
		{"ball", 60, 140, 1}, {"bell", 120, 90, 2}, {"owl", 60, 140, 1}, {"bowl", 60, 140, 1},
	} {
		s, _ := ByKey(c.key)
		w := shape.Wish{HeightMM: c.height, DiameterMM: c.wide}
		cut := shape.UsualCuts()[c.cut]
		g := shape.FromMemory(cut.Unit)
		ways, err := Ways(context.Background(), s, w, []shape.Cut{cut}, papers, shape.FromMemory)
		require.NoError(t, err)
		best := math.Inf(1)
		for widest := LeastWidest; widest <= 36; widest++ {
			for rings := LeastRings; rings <= 14; rings++ {
				f, err := s.Make(s.Key, cut.Unit, papers, widest, rings, g)
				if err != nil {
					continue
				}
				size := shape.Estimate(f, g)
				best = min(best, math.Max(math.Abs(size.Height.Best/w.HeightMM-1), math.Abs(size.Diameter.Best/w.DiameterMM-1)))
			}
		}
		require.Len(t, ways, 1, s.Key)
		assert.InDelta(t, best, ways[0].Miss, 1e-9, s.Key)
	}
}

// About 25 cm tall and round like an owl: there are ways to choose among, the first of which takes the fewest units of those
// that come near.
func TestWishGivesWaysToChooseAmong(t *testing.T) {
	owl, _ := ByKey("owl")
	ways, err := Ways(context.Background(), owl, shape.Wish{HeightMM: 250, DiameterMM: 160}, shape.UsualCuts(), papers, shape.FromMemory)
	require.NoError(t, err)
	require.GreaterOrEqual(t, len(ways), 3)
	assert.LessOrEqual(t, ways[0].Miss, 0.05)
	for i, way := range ways {
		assert.Nil(t, Warns(way.Figure, shape.FromMemory(way.Cut.Unit)))
		if i > 0 && ways[i-1].Miss <= 0.05 && way.Miss <= 0.05 {
			assert.LessOrEqual(t, ways[i-1].Figure.Units(), way.Figure.Units())
		}
	}
	_, err = Ways(context.Background(), owl, shape.Wish{HeightMM: 9, DiameterMM: 100}, shape.UsualCuts(), papers, shape.FromMemory)
	assert.ErrorContains(t, err, "1 to 500")
}
