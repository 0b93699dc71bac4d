package shelf

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tuckring/internal/figure"
)

func TestDemoDocumentsAreCanonical(t *testing.T) {
	require.Len(t, Demo(), 6)
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
			if k := f.PartOf(ring); k > 0 && (f.Parts[k].Set == nil || f.Parts[k].Twin != 0) {
				continue // parts that grow are like their twins, not like themselves
			}
			front := arcs.PartFront(f.PartOf(ring))
			for unit, c := range f.Rings[ring].Cells {
				mirrored := 2*front - arcs.Middle(ring, unit)
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
			if foot := d.Figure.Footing(i); foot.OnTable() || foot.Grows() || foot.Open() {
				continue // a part of its own, or rows of a wing or a neck
			}
			below, here := float64(len(d.Figure.Rings[i-1].Cells)), float64(len(d.Figure.Rings[i].Cells))
			assert.LessOrEqual(t, math.Abs(here-below)/below, 1.0/3+1e-9, "%s ring %d", d.Name, i+1)
			assert.GreaterOrEqual(t, here, 5.0) // of an ear; of all other rings 6, common practice
		}
	}
}

// A swan of the size that is published for this craft: 400 to 450 units (origami-resource-center.com), 562 (susiej.com), 634
// with the ring it stands on (atelierilyere.wordpress.com, 2014). Those are for comparing the size only; this one is our own: of
// its wings of m rows that narrow from m units each has m(m + 1) ÷ 2 units, its neck as many as rows, and its twin wings are alike.
func TestDemoSwanIsOneAsMakersBuildThem(t *testing.T) {
	for _, d := range Demo() {
		if d.Name != "swan" {
			continue
		}
		f := d.Figure
		units, rows := map[string]int{}, map[string]int{}
		for i := range f.Rings {
			part := &f.Parts[f.PartOf(i)]
			units[part.Name] += len(f.Rings[i].Cells)
			rows[part.Name]++
		}
		assert.Equal(t, map[string]int{"Body": 6, "Right wing": 13, "Left wing": 13, "Tail": 3, "Neck": 20}, rows)
		for _, wing := range []string{"Right wing", "Left wing"} {
			assert.Equal(t, 13*14/2, units[wing])
		}
		assert.Equal(t, 3*4/2, units["Tail"])
		assert.Equal(t, 20, units["Neck"])
		assert.GreaterOrEqual(t, f.Units(), 350)
		assert.LessOrEqual(t, f.Units(), 650)
		return
	}
	t.Fatal("there is no swan")
}
