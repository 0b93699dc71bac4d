package wire

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tuckring/internal/figure"
	"tuckring/internal/fold"
	"tuckring/internal/words"
)

// By hand, on the single strip: four edges of the sheet, and of its folds two ends (step 2), two corners (4), two flaps (5) and the
// half (6), each seen from both of its sides.
func TestFoldingNamesTheStepOfEveryFold(t *testing.T) {
	p, err := fold.NewPattern(figure.Unit{LongMM: 52, ShortMM: 18.5, Fold: figure.Single})
	require.NoError(t, err)
	f := FoldingOf(p, words.English)
	sides := map[int]int{}
	for _, facet := range f.Facets {
		require.Len(t, facet.At, len(f.Steps)+1)
		require.Len(t, facet.Layers, len(f.Steps)+1)
		require.Len(t, facet.Edges, len(facet.At[0])/2)
		for _, step := range facet.Edges {
			sides[step]++
		}
	}
	assert.Equal(t, map[int]int{2: 4, 4: 4, 5: 4, 6: 2}, map[int]int{2: sides[2], 4: sides[4], 5: sides[5], 6: sides[6]})
	assert.Equal(t, []string{"mark", "ends", "turn", "corners", "flaps", "half"}, []string{p.Steps[0].Name, p.Steps[1].Name, p.Steps[2].Name, p.Steps[3].Name, p.Steps[4].Name, p.Steps[5].Name})
	assert.Equal(t, 14+sides[0], sides[0]+sides[2]+sides[4]+sides[5]+sides[6], "no other")
}
