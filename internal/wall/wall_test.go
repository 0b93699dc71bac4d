package wall

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"tuckring/internal/figure"
)

// area is the shoelace formula, in turns × rises.
func area(outline []Spot) float64 {
	sum := 0.0
	for i, a := range outline {
		b := outline[(i+1)%len(outline)]
		sum += a.Turn*b.Up - b.Turn*a.Up
	}
	return math.Abs(sum) / 2
}

// A wall without openings is covered exactly once: every ring's faces together are one turn wide and
// one ring high, whatever the counts (geometry; the closing ring's free points apart).
func TestFacesOfAClosedWallCoverItOnce(t *testing.T) {
	f, err := figure.Read([]byte(`{"tuckring":1,"title":"t","unit":{"long_mm":52,"short_mm":37},
		"colours":[{"id":"a","name":"A","hex":"#aa0000"}],
		"rings":[{"runs":[{"n":12,"colour":"a"}]},{"runs":[{"n":12,"colour":"a"}]},
		{"runs":[{"n":8,"colour":"a","takes":3}]},
		{"runs":[{"n":3,"colour":"a"},{"n":4,"colour":"a","takes":1},{"n":3,"colour":"a"}]},
		{"runs":[{"n":10,"colour":"a","side":"short"}]},{"runs":[{"n":5,"colour":"a","takes":4}]}],"front":0}`))
	require.NoError(t, err)
	rings := make([]float64, len(f.Rings))
	Each(f, figure.Unroll(f), 0, len(f.Rings), func(fc *Face) {
		rings[fc.Ring] += area(fc.Left) + area(fc.Right)
	})
	for i, got := range rings[:len(rings)-1] {
		want := 1.0
		// A short side out has a broader lower edge: it reaches 0.26 × ½ of its arc's corner deeper.
		foot := map[bool]float64{true: blunt * Shoulder, false: Shoulder / 2}
		want += foot[f.Rings[i+1].Cells[0].Side == figure.Short] - foot[f.Rings[i].Cells[0].Side == figure.Short]
		require.InDelta(t, want, got, 1e-9, "ring %d", i+1)
	}
}

// Free points are the tips of an opening and of the last ring (contract: skip leaves points free).
func TestFreePointsStandAsTips(t *testing.T) {
	f, err := figure.Read([]byte(`{"tuckring":1,"title":"t","unit":{"long_mm":52,"short_mm":37},
		"colours":[{"id":"a","name":"A","hex":"#aa0000"}],
		"rings":[{"runs":[{"n":10,"colour":"a"}]},{"runs":[{"skip":2},{"n":9,"colour":"a"}]}],"front":0}`))
	require.NoError(t, err)
	free := [2]int{}
	Each(f, figure.Unroll(f), 0, len(f.Rings), func(fc *Face) {
		for _, is := range fc.Free {
			if is {
				free[fc.Ring]++
			}
		}
	})
	require.Equal(t, [2]int{2, 18}, free)
}
