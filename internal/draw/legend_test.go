package draw

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tuckring/internal/figure"
	"tuckring/internal/words"
)

// A paper that waits in the palette is in no legend; one of which only glued pieces are cut is, without units.
func TestLegendsLeaveOutColoursThatAreNotUsed(t *testing.T) {
	f := wall(t, 3, 12, 4)
	for i := range f.Rings {
		for k := range f.Rings[i].Cells {
			f.Rings[i].Cells[k].Colour = 0
		}
	}
	f.Extras = []figure.Extra{{ID: 1, Kind: figure.Glued, Name: "eye", Colour: "c2", Ring: 2, At: 3, Outline: figure.Disc, Diameter: 9}}
	cards, err := Cards(f, A4, words.English)
	require.NoError(t, err)
	for name, pages := range map[string]Pages{"pattern": {Pattern(f, PatternOptions{Signs: true, Legend: true})},
		"handout": Handout(f, A4, words.English), "cards": cards} {
		all := ""
		for _, p := range pages {
			all += strings.Join(texts(p), "\n") + "\n"
		}
		assert.Contains(t, all, "Paper 0: 36 units", name)
		assert.Contains(t, all, "Paper 2: glued pieces only", name)
		assert.NotContains(t, all, "Paper 1", name)
		assert.NotContains(t, all, "Paper 3", name)
	}
}
