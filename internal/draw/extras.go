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

// outlineOf adds the outline of a glued piece around m; right and down are one mm of the piece to
// its right and downwards, on the drawing.
func outlineOf(p *Path, e *figure.Extra, m, right, down Point) {
	w, h := pieceSize(e)
	w, h = w/2, h/2
	at := func(x, y float64) Point {
		return Point{m.X + x*right.X + y*down.X, m.Y + x*right.Y + y*down.Y}
	}
	switch e.Outline {
	case figure.Triangle:
		p.Polygon(at(0, h), at(w, -h), at(-w, -h)) // pointing down, like a beak
	case figure.Bar:
		p.Polygon(at(-w, -h), at(w, -h), at(w, h), at(-w, h))
	default:
		p.OvalAlong(m, Point{w * right.X, w * right.Y}, Point{h * down.X, h * down.Y})
	}
}

// pitchMM is the arc of one unit in its ring, mm, before the maker has measured a swatch.
func pitchMM(u figure.Unit) float64 { return shape.FromMemory(u).Pitch.Best }
