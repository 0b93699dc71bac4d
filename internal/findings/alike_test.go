package findings

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"tuckring/internal/figure"
	"tuckring/internal/shape"
)

// twoBlues is a row of one blue over another; #3050a0 and #3252a3 are ΔE00 1.1 apart (issue 8; the formula
// is held to the pairs of Sharma, Wu and Dalal 2005 in internal/sight).
func twoBlues(t require.TestingT) *figure.Figure {
	f := figureOf(t, "............", "bbbbbbbbbbbb", "ssssssssssss")
	f.Colours = []figure.Colour{{ID: "a", Name: "Harbour blue", Hex: "#3050a0"}, {ID: "b", Name: "Quay blue", Hex: "#3252a3"}, {ID: "c", Name: "Chalk", Hex: "#f4efe6"}}
	return f
}

func TestColoursThatTouchAndLookAlikeAreFound(t *testing.T) {
	f := twoBlues(t)
	list := Of(f.Write())
	require.Len(t, list, 1)
	found := list[0]
	assert.Equal(t, []any{Hint, "alike", Own, 1, "colours[1]", "alike colours[1] 0"},
		[]any{found.Level, found.Rule, found.Standing, found.Ring, found.Where, found.Key})
	assert.Contains(t, found.What.String(), "Harbour blue and Quay blue touch at 24 places", "each of 12 units touches 2 below")
	assert.Contains(t, found.What.String(), "our own choice")
	assert.NotContains(t, found.What.String()+found.Fix.String(), "[findings")
	assert.Equal(t, []string{"a", "b"}, found.Colours)
	assert.Len(t, found.Cells, 24, "both rings, none twice")
	assert.Equal(t, Cell{Ring: 1, Unit: 0}, found.Cells[0])

	f.Colours[1].Hex = "#a0d0ff"
	assert.Empty(t, Of(f.Write()), "a lighter blue is told apart")
}

// Olive and rust differ to full sight and hardly to red-green blind eyes (common knowledge of colour
// blindness; the simulation is held to published values in internal/sight).
func TestColoursAlikeToColourBlindEyes(t *testing.T) {
	f := twoBlues(t)
	f.Colours[0].Hex, f.Colours[1].Hex = "#8a8a20", "#a8741e"
	list := Of(f.Write())
	require.NotEmpty(t, list)
	assert.Equal(t, "alike.deuteranopia", list[0].Rule)
	assert.Contains(t, list[0].What.String(), "people who do not see green")
}

// The list is in one order: by level, then from the bottom up; its keys differ; a second look gives the
// same.
func TestFindingsAreOrderedAndKeyed(t *testing.T) {
	rank := map[Level]int{Fault: 0, Warning: 1, Hint: 2}
	rapid.Check(t, func(t *rapid.T) {
		f := painted(t)
		list := Check(f, shape.FromMemory(f.Unit))
		keys := map[string]bool{}
		for i, found := range list {
			assert.False(t, keys[found.Key], "%s twice", found.Key)
			keys[found.Key] = true
			if i > 0 {
				before := list[i-1]
				assert.LessOrEqual(t, rank[before.Level], rank[found.Level])
				assert.True(t, before.Level != found.Level || before.Ring <= found.Ring)
			}
		}
		assert.Equal(t, list, Check(f.Clone(), shape.FromMemory(f.Unit)))
	})
}

// painted draws a tube painted at random with colours of which some are close.
func painted(t *rapid.T) *figure.Figure {
	hexes := []string{"#3050a0", "#3252a3", "#f4efe6", "#8a8a20", "#a8741e", "#2b2b2e"}
	var colours []figure.Colour
	for i := range rapid.IntRange(1, len(hexes)).Draw(t, "colours") {
		colours = append(colours, figure.Colour{ID: string(rune('a' + i)), Name: hexes[i], Hex: hexes[i]})
	}
	f := figure.Tube("Painted", figure.Unit{LongMM: 52, ShortMM: 37, Fold: figure.Doubled}, colours,
		rapid.IntRange(3, 14).Draw(t, "units"), rapid.IntRange(1, 9).Draw(t, "rings"))
	for i := range f.Rings {
		for k := range f.Rings[i].Cells {
			f.Rings[i].Cells[k].Colour = uint8(rapid.IntRange(0, len(colours)-1).Draw(t, "colour"))
		}
	}
	return f
}
