package shelf

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tuckring/internal/figure"
)

func TestDemoDocumentsAreCanonical(t *testing.T) {
	require.Len(t, Demo(), 4)
	for _, d := range Demo() {
		assert.Equal(t, string(d.Document), string(d.Figure.Write()), d.Name)
	}
}

// The demo shelf has a banded character with a face and extras, at least 16 units × 15 rings, and a
// figure with a narrowing top (the card of this shelf).
func TestDemoShelfShowsWhatTheProgramCanDo(t *testing.T) {
	byName := map[string]*figure.Figure{}
	for _, d := range Demo() {
		byName[d.Name] = d.Figure
	}
	puffin := byName["puffin"]
	require.GreaterOrEqual(t, len(puffin.Rings), 18)
	for i := 0; i < 20; i++ {
		assert.GreaterOrEqual(t, len(puffin.Rings[i].Cells), 18, "ring %d", i+1)
	}
	kinds := map[figure.Kind]int{}
	for _, e := range puffin.Extras {
		kinds[e.Kind]++
		if e.Kind == figure.Tucked {
			assert.NotEmpty(t, e.Shaping, e.Name)
		}
	}
	assert.Positive(t, kinds[figure.Tucked])
	assert.Positive(t, kinds[figure.Glued])

	takes := map[uint8]int{}
	for _, r := range byName["lighthouse"].Rings {
		for _, c := range r.Cells {
			takes[c.Takes]++
		}
	}
	assert.Positive(t, takes[1], "the gallery widens")
	assert.Positive(t, takes[3], "the tower narrows")
	assert.Positive(t, takes[4], "the roof closes")
}

// Every demo figure is the same left and right of its front line: for each unit there is one as far on
// the other side, of the same colour, side and width. On alternate rings a motif is odd and even units
// wide (common practice; trade notes on mirror symmetry).
func TestDemoFiguresAreMirrorSymmetric(t *testing.T) {
	for _, d := range Demo() {
		f, arcs := d.Figure, figure.Unroll(d.Figure)
		for ring := range f.Rings {
			for unit, c := range f.Rings[ring].Cells {
				mirrored := 2*arcs.FrontTurn() - arcs.Middle(ring, unit)
				other, ok := arcs.UnitAt(ring, mirrored)
				require.True(t, ok)
				away := math.Abs(math.Remainder(arcs.Middle(ring, other)-mirrored, 1))
				require.InDelta(t, 0, away, 1e-9, "%s ring %d unit %d has no counterpart", d.Name, ring+1, unit)
				o := f.Rings[ring].Cells[other]
				require.Equal(t, [3]uint8{c.Colour, c.Takes, uint8(c.Side)}, [3]uint8{o.Colour, o.Takes, uint8(o.Side)},
					"%s ring %d unit %d", d.Name, ring+1, unit)
			}
		}
	}
}

// Counts change from one ring to the next by no more than a third, so that the wall holds (common
// practice).
func TestDemoFiguresCanBeBuilt(t *testing.T) {
	for _, d := range Demo() {
		for i := 1; i < len(d.Figure.Rings); i++ {
			below, here := float64(len(d.Figure.Rings[i-1].Cells)), float64(len(d.Figure.Rings[i].Cells))
			assert.LessOrEqual(t, math.Abs(here-below)/below, 1.0/3+1e-9, "%s ring %d", d.Name, i+1)
			assert.GreaterOrEqual(t, here, 6.0)
		}
	}
}
