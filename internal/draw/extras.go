package draw

import (
	"image/color"

	"tuckring/internal/figure"
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

// outlineOf adds the outline of a glued piece around m; right and down are one mm of the piece to
// its right and downwards, on the drawing.
func outlineOf(p *Path, e *figure.Extra, m, right, down Point) {
	w, h := e.Width/2, e.Height/2
	if e.Outline == figure.Disc || e.Outline == "" {
		w, h = e.Diameter/2, e.Diameter/2
	}
	at := func(x, y float64) Point {
		return Point{m.X + x*right.X + y*down.X, m.Y + x*right.Y + y*down.Y}
	}
	switch e.Outline {
	case figure.Triangle:
		p.Polygon(at(0, -h), at(w, h), at(-w, h))
	case figure.Bar:
		p.Polygon(at(-w, -h), at(w, -h), at(w, h), at(-w, h))
	default:
		p.OvalAlong(m, Point{w * right.X, w * right.Y}, Point{h * down.X, h * down.Y})
	}
}

// pitchMM and riseMM are the arc of one unit in its ring and the height of one ring, from the leg
// of the folded unit: 0.58 and 0.48 legs (trade.md, from memory).
func pitchMM(u figure.Unit) float64 { return 0.58 * legMM(u) }
func riseMM(u figure.Unit) float64  { return 0.48 * legMM(u) }

func legMM(u figure.Unit) float64 {
	if u.Fold == figure.Single {
		return u.ShortMM
	}
	return u.ShortMM / 2
}
