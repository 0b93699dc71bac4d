package draw

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tuckring/internal/figure"
)

// grownOnTheBack is a tube on whose top ring a wing of 6 units grows over the back, a neck on the front, and a tail with a long name.
func grownOnTheBack(t *testing.T) *figure.Figure {
	t.Helper()
	f := figure.Tube("Eider", figure.Unit{LongMM: 52, ShortMM: 37, Fold: figure.Doubled},
		[]figure.Colour{{ID: "chalk", Name: "Chalk", Hex: "#f4efe6"}, {ID: "sea", Name: "Sea", Hex: "#2277a0"}}, 16, 5)
	for _, e := range []figure.Edit{
		&figure.SetFront{Front: 8},
		&figure.Grow{On: f.Rings[4].ID, Point: 27, As: figure.AsWing, Units: 6, Rows: 6, Colour: "sea", Name: "Cape over the back"},
		&figure.Grow{On: f.Rings[4].ID, Point: 16, As: figure.AsChain, Units: 1, Rows: 9, Colour: "chalk", Name: "Neck"},
	} {
		_, _, err := figure.Apply(f, e)
		require.NoError(t, err)
	}
	return f
}

// The line of a part that grows over the back is drawn at both ends of the pattern, nothing of it beside the units, and its name once
// and within the picture.
func TestPartThatGrowsOverTheBackStaysOnThePattern(t *testing.T) {
	d := Pattern(grownOnTheBack(t), PatternOptions{piece: 1})
	var lines [][2]float64
	names := map[string]int{}
	var fronts, necks []float64
	for _, it := range d.items {
		switch {
		case it.path != nil && it.paint.Stroke == accent && it.paint.Line == growthLine:
			lines = append(lines, [2]float64{it.path.xy[0], it.path.xy[2]})
		case it.text != nil && it.text.Size == growthSize && it.text.Ink == accent:
			names[it.text.Text]++
			half := TextWidth(it.text.Text, growthSize, false) / 2
			assert.GreaterOrEqual(t, it.text.X-half, 0.0, it.text.Text)
			assert.LessOrEqual(t, it.text.X+half, d.Width, it.text.Text)
			if it.text.Text == "Neck" {
				necks = append(necks, it.text.X)
			}
		case it.text != nil && it.text.Text == "front":
			fronts = append(fronts, it.text.X)
		}
	}
	require.Len(t, lines, 3, "the cape at either end, and the neck")
	for _, l := range lines {
		assert.Less(t, l[0], l[1])
		assert.GreaterOrEqual(t, l[0], 0.0)
		assert.LessOrEqual(t, l[1], d.Width)
	}
	assert.Len(t, names, 2)
	assert.Equal(t, 1, names["Neck"])
	require.Len(t, necks, 1)
	assert.InDelta(t, fronts[0], necks[0], unitWidth, "the neck is at the front, where its name lies over the line")
}
