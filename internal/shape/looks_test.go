package shape

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tuckring/internal/figure"
	"tuckring/internal/shelf"
)

func puffin(t *testing.T) *figure.Figure {
	t.Helper()
	for _, d := range shelf.Demo() {
		if d.Name == "puffin" {
			return d.Figure
		}
	}
	t.Fatal("no puffin on the demo shelf")
	return nil
}

// span is how wide and high the facets of a look are, mm.
func span(facets []Facet) (wide, high float64) {
	low, top := [2]float64{math.Inf(1), math.Inf(1)}, [2]float64{math.Inf(-1), math.Inf(-1)}
	for _, f := range facets {
		for _, c := range f.Corners {
			for k := range low {
				low[k], top[k] = math.Min(low[k], c[k]), math.Max(top[k], c[k])
			}
		}
	}
	return top[0] - low[0], top[1] - low[1]
}

// The puffin's document: eye rims of 14 mm with eyes of 8 mm glued onto them, named after them.
func TestAPieceLiesOnTheOneGluedBeforeInItsTrueSize(t *testing.T) {
	f := puffin(t)
	var discs []Look
	for _, l := range Looks(f, FromMemory(f.Unit)) {
		if l.Facets[0].Leaf == FlatPiece {
			discs = append(discs, l)
		}
	}
	require.Len(t, discs, 4)
	for i, want := range []struct {
		id     figure.ExtraID
		colour int
		mm     float64
	}{{6, 2, 14}, {7, 0, 8}, {8, 2, 14}, {9, 0, 8}} {
		wide, high := span(discs[i].Facets)
		assert.Equal(t, want.id, discs[i].ID)
		assert.Equal(t, want.colour, discs[i].Colour)
		assert.InDelta(t, want.mm, wide, 1e-9)
		assert.InDelta(t, want.mm, high, 1e-9)
	}
	assert.Greater(t, discs[1].Facets[0].Corners[0][2], discs[0].Facets[0].Corners[0][2], "the eye lies on its rim")
	assert.Greater(t, discs[3].Facets[0].Corners[0][2], discs[2].Facets[0].Corners[0][2])
}

// A wing of six units is twelve leaves that stand off the wall: bent back into space, they are the leaves of the
// units that the 3D view places there.
func TestTuckedUnitsStandOffTheWallAsInSpace(t *testing.T) {
	f := puffin(t)
	g := FromMemory(f.Unit)
	p := Place(f, g)
	for _, l := range Looks(f, g) {
		for _, spots := range p.Extras {
			if spots.ID != l.ID {
				continue
			}
			require.Len(t, l.Facets, 2*spots.Count)
			ring := p.Rings[f.Extras[l.ID-1].Ring-1]
			sin, cos := math.Sincos(l.Turn)
			for k := range spots.Count {
				for _, leaf := range p.Leaves(p.Spots[spots.First+k]) {
					found := false
					for _, facet := range l.Facets {
						same := true
						for c, corner := range facet.Corners {
							x, y, z := corner[0], corner[1]-g.Rise.Best/2+ring.Y, corner[2]+ring.RadiusMM
							same = same && math.Hypot(math.Hypot(x*cos+z*sin-leaf[c][0], y-leaf[c][1]), z*cos-x*sin-leaf[c][2]) < 1e-6
						}
						found = found || same
					}
					assert.True(t, found, "extra %d, unit %d", l.ID, k)
				}
			}
		}
	}
}

// Flat, a chain keeps its units and heights, turned as seen from the front: a wing at the side spreads to its
// side, what is tucked in on the front line is as wide as a unit's points stand apart.
func TestAChainSpreadsToItsSideOnTheUnrolledWall(t *testing.T) {
	f := puffin(t)
	for _, l := range Looks(f, FromMemory(f.Unit)) {
		flat := l.Flat()
		_, high := span(l.Facets)
		wide, flatHigh := span(flat)
		assert.InDelta(t, high, flatHigh, 1e-9)
		middle := 0.0
		for _, c := range flat {
			middle += c.Corners[1][0]
		}
		switch l.ID {
		case 3:
			assert.Greater(t, wide, 40.0, "the left wing's six units of 18.5 mm legs")
			assert.Negative(t, middle, "it is on the viewer's left")
		case 4:
			assert.Greater(t, wide, 40.0)
			assert.Positive(t, middle)
		case 5:
			assert.InDelta(t, 2.0/3*0.58*18.5, wide, 1e-6, "the beak is seen straight on (0.58 leg a pitch, from memory)")
		}
	}
}

func TestVeryManyTuckedUnitsAreShownInPart(t *testing.T) {
	f := puffin(t)
	f.Extras = nil
	for i := range figure.MaxExtras {
		f.Extras = append(f.Extras, figure.Extra{ID: figure.ExtraID(i + 1), Kind: figure.Tucked, Name: "frill", Colour: "soot", Units: 180, Ring: 2, At: 3})
	}
	facets := 0
	for _, l := range Looks(f, FromMemory(f.Unit)) {
		assert.GreaterOrEqual(t, len(l.Facets), 4)
		facets += len(l.Facets)
	}
	assert.LessOrEqual(t, facets, 2*mostLooks)
}
