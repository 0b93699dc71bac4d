package wire

import (
	"math"

	"tuckring/internal/figure"
	"tuckring/internal/shape"
)

// Look is how an extra is drawn in the editor's own pictures (shape.Looks). A facet is its leaf (−1 left, 1
// right, 0 a glued piece) and then its corners, in pitches from the middle of the face of the unit at its place:
// along the wall, up, and out of it. Flat is the same on the unrolled wall, along and up, where it is another.
type Look struct {
	Key   figure.ExtraID `json:"key"`
	Solid [][]float64    `json:"solid"`
	Flat  [][]float64    `json:"flat,omitempty"`
}

// Numbers of a corner of a look.
const (
	solidNumbers = 3
	flatNumbers  = 2
)

// looksOf are the looks of a figure's extras in drawing order.
func looksOf(f *figure.Figure) []Look {
	gauge := shape.FromMemory(f.Unit)
	out := []Look{}
	for _, l := range shape.Looks(f, gauge) {
		w := Look{Key: l.ID, Solid: facetsOf(l.Facets, solidNumbers, gauge.Pitch.Best)}
		if l.Facets[0].Leaf != shape.FlatPiece {
			w.Flat = facetsOf(l.Flat(), flatNumbers, gauge.Pitch.Best)
		}
		out = append(out, w)
	}
	return out
}

// facetsOf gives the first numbers of the corners of facets, in pitches.
func facetsOf(facets []shape.Facet, numbers int, pitch float64) [][]float64 {
	out := make([][]float64, len(facets))
	for i, facet := range facets {
		out[i] = append(make([]float64, 0, 1+numbers*len(facet.Corners)), float64(facet.Leaf))
		for _, c := range facet.Corners {
			for _, v := range c[:numbers] {
				out[i] = append(out[i], math.Round(v/pitch*1000)/1000)
			}
		}
	}
	return out
}
