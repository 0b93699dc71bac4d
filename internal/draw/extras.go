package draw

import (
	"image/color"

	"tuckring/internal/figure"
	"tuckring/internal/shape"
)

type colour = color.NRGBA

// unpainted is the colour of a glued piece that is not cut from the figure's papers.
var unpainted = mustHex("#f3e3a1")

// extraColour is the paper of an extra; a glued piece without one is shown light.
func extraColour(f *figure.Figure, e *figure.Extra) colour {
	if i, ok := f.ColourIndex(e.Colour); ok {
		c, _ := FromHex(f.Colours[i].Hex)
		return c
	}
	return unpainted
}

// pieceSize gives the width and height of a glued piece, mm.
func pieceSize(e *figure.Extra) (w, h float64) {
	if e.Outline == figure.Disc || e.Outline == "" {
		return e.Diameter, e.Diameter
	}
	return e.Width, e.Height
}

// pitchMM is the arc of one unit in its ring, mm, before the maker has measured a swatch.
func pitchMM(u figure.Unit) float64 { return shape.FromMemory(u).Pitch.Best }
