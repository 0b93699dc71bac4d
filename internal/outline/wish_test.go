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
		widest       int // counts that are tried, from the least on
		rings        int
	}{ // the first is thin; the last four are flat or small, where a search that only goes on from step to step stops early
		{"tower", 300, 60, 2, 14, 44}, {"vase", 84, 104, 2, 36, 14},
		{"ball", 60, 140, 1, 36, 14}, {"bell", 120, 90, 2, 36, 14}, {"owl", 60, 140, 1, 36, 14}, {"bowl", 60, 140, 1, 36, 14},
	} {
		s, _ := ByKey(c.key)
		w := shape.Wish{HeightMM: c.height, DiameterMM: c.wide}
		cut := shape.UsualCuts()[c.cut]
		g := shape.FromMemory(cut.Unit)
		ways, err := Ways(context.Background(), s, w, []shape.Cut{cut}, papers, shape.FromMemory)
		require.NoError(t, err)
		best := math.Inf(1)
		for widest := LeastWidest; widest <= c.widest; widest++ {
			for rings := LeastRings; rings <= c.rings; rings++ {
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
		assert.Less(t, ways[0].Widest, c.widest, "not where the trying ended")
		assert.Less(t, ways[0].Rings, c.rings, "not where the trying ended")
	}
}

// However odd the proportions are, so much is done and no more: by far the most for the figure that is made last. And nothing is done
// where nobody waits.
func TestWishesTakeOnlySoMuch(t *testing.T) {
	const last = 12 * hugeUnits // made for up to nine steps, and checked
	for _, mm := range [][2]float64{{2000, 30}, {30, 2000}, {600, 400}, {1000, 100}, {300, 20}} {
		w := shape.Wish{HeightMM: mm[0], DiameterMM: mm[1]}
		for _, s := range []Shape{Shapes[0], Shapes[6], Shapes[9]} {
			for _, tube := range tubesOf(t, w) {
				k := newSearch(context.Background(), s, w, tube.Cut, papers, shape.FromMemory(tube.Unit), quickWork)
				if way, ok := k.measure(max(LeastWidest, tube.Units), max(LeastRings, tube.Rings)); ok {
					k.nearer(way, farBeside)
				}
				assert.LessOrEqual(t, k.spent, quickWork+last, "%s %v", s.Key, mm)
			}
		}
	}
	gone, leave := context.WithCancel(context.Background())
	leave()
	ways, err := Ways(gone, Shapes[0], shape.Wish{HeightMM: 250, DiameterMM: 160}, shape.UsualCuts(), papers, shape.FromMemory)
	assert.ErrorIs(t, err, context.Canceled)
	assert.Empty(t, ways)
}

// tubesOf are the first guesses at a wish.
func tubesOf(t *testing.T, w shape.Wish) []shape.Candidate {
	t.Helper()
	tubes, err := shape.Suggest(w, shape.UsualCuts()[:2], shape.FromMemory)
	require.NoError(t, err)
	return tubes
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
