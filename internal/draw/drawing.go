// Package draw makes the pictures of a figure: the unrolled pattern, the figure as it stands, the
// cutting layout and the report's charts. Every picture is one vector Drawing in mm, and the same
// Drawing is written out as SVG, PNG or PDF.
//
// Text is set in the Go fonts (golang.org/x/image) where the file carries its own font, and left to
// the page's font in SVG.
package draw

import (
	"fmt"
	"image/color"
	"math"
)

// Drawing is a picture in mm, its origin at the upper left, y downwards.
type Drawing struct {
	Width, Height float64 // mm
	Title         string  // says what the picture shows, for people who do not see it
	items         []item
}

type item struct {
	path  *Path
	paint Paint
	text  *Label
}

// Paint says how a path is filled and stroked. A colour with alpha 0 paints nothing.
type Paint struct {
	Fill, Stroke color.NRGBA
	Line         float64   // width of the stroke, mm
	Dashes       []float64 // mm on, mm off, …; none for a full line
}

// Anchor says which part of a label stands at its place.
type Anchor uint8

// A label starts, is centred or ends at its place.
const (
	Start Anchor = iota
	Middle
	End
)

// Label is one line of text with its baseline at X, Y.
type Label struct {
	X, Y   float64
	Text   string
	Size   float64 // height of the letters' em, mm
	Bold   bool
	Anchor Anchor
	Ink    color.NRGBA
	Turned bool // turned a quarter to the left, reading upwards
}

// NewDrawing makes an empty picture of the given size in mm.
func NewDrawing(width, height float64, title string) *Drawing {
	return &Drawing{Width: width, Height: height, Title: title}
}

// Add puts a path on top of what is drawn already. Empty paths are left out.
func (d *Drawing) Add(p *Path, paint Paint) {
	if len(p.ops) > 0 {
		d.items = append(d.items, item{path: p, paint: paint})
	}
}

// Write puts a line of text on top of what is drawn already.
func (d *Drawing) Write(l Label) {
	if l.Text != "" {
		d.items = append(d.items, item{text: &l})
	}
}

// Place draws another drawing into this one, its origin at x, y and scaled.
func (d *Drawing) Place(other *Drawing, x, y, scale float64) {
	for _, it := range other.items {
		if it.text != nil {
			l := *it.text
			l.X, l.Y, l.Size = x+l.X*scale, y+l.Y*scale, l.Size*scale
			d.Write(l)
			continue
		}
		paint := it.paint
		paint.Line *= scale
		paint.Dashes = scaled(paint.Dashes, scale)
		d.Add(it.path.moved(x, y, scale), paint)
	}
}

func scaled(lengths []float64, by float64) []float64 {
	if len(lengths) == 0 {
		return nil
	}
	out := make([]float64, len(lengths))
	for i, v := range lengths {
		out[i] = v * by
	}
	return out
}

// OnWhite gives the drawing on white paper, for files that are looked at on their own.
func (d *Drawing) OnWhite() *Drawing {
	out := NewDrawing(d.Width, d.Height, d.Title)
	out.Add((&Path{}).Rect(0, 0, d.Width, d.Height), Paint{Fill: white})
	out.items = append(out.items, d.items...)
	return out
}

// Path is a series of outlines in mm.
type Path struct {
	ops []byte    // 'M' and 'L' with one point, 'C' with three, 'Z' with none
	xy  []float64 // the points, x and y in turn
}

// Move begins a new outline.
func (p *Path) Move(x, y float64) *Path { return p.op('M', x, y) }

// Line goes straight to a point.
func (p *Path) Line(x, y float64) *Path { return p.op('L', x, y) }

// Curve goes to x, y along a cubic Bézier curve.
func (p *Path) Curve(x1, y1, x2, y2, x, y float64) *Path { return p.op('C', x1, y1, x2, y2, x, y) }

// Close goes straight back to the beginning of the outline.
func (p *Path) Close() *Path { return p.op('Z') }

func (p *Path) op(kind byte, xy ...float64) *Path {
	p.ops = append(p.ops, kind)
	p.xy = append(p.xy, xy...)
	return p
}

// Polygon adds a closed outline through the points.
func (p *Path) Polygon(points ...Point) *Path {
	for i, q := range points {
		if i == 0 {
			p.Move(q.X, q.Y)
		} else {
			p.Line(q.X, q.Y)
		}
	}
	if len(points) > 0 {
		p.Close()
	}
	return p
}

// Rect adds a rectangle.
func (p *Path) Rect(x, y, w, h float64) *Path {
	return p.Polygon(Point{x, y}, Point{x + w, y}, Point{x + w, y + h}, Point{x, y + h})
}

// Oval adds an ellipse of the given half axes.
func (p *Path) Oval(x, y, rx, ry float64) *Path {
	return p.OvalAlong(Point{x, y}, Point{rx, 0}, Point{0, ry})
}

// OvalAlong adds an ellipse given by its middle and two conjugate half axes.
func (p *Path) OvalAlong(m, a, b Point) *Path {
	const k = 0.5522847498 // 4(√2−1)/3, the usual cubic for a quarter of a circle
	at := func(s, t float64) (x, y float64) { return m.X + s*a.X + t*b.X, m.Y + s*a.Y + t*b.Y }
	quarter := func(s0, t0, s1, t1 float64) {
		x1, y1 := at(s0+k*s1, t0+k*t1)
		x2, y2 := at(s1+k*s0, t1+k*t0)
		x, y := at(s1, t1)
		p.Curve(x1, y1, x2, y2, x, y)
	}
	x, y := at(1, 0)
	p.Move(x, y)
	quarter(1, 0, 0, 1)
	quarter(0, 1, -1, 0)
	quarter(-1, 0, 0, -1)
	quarter(0, -1, 1, 0)
	return p.Close()
}

func (p *Path) moved(x, y, scale float64) *Path {
	q := &Path{ops: p.ops, xy: make([]float64, len(p.xy))}
	for i := 0; i < len(p.xy); i += 2 {
		q.xy[i], q.xy[i+1] = x+p.xy[i]*scale, y+p.xy[i+1]*scale
	}
	return q
}

// Point is a place on the drawing, mm.
type Point struct{ X, Y float64 }

// Format is a kind of file a drawing can be written as.
type Format string

// The formats of a picture.
const (
	SVG Format = "svg"
	PNG Format = "png"
	PDF Format = "pdf"
)

// Encode writes the drawing in the given format; PNG at pixels per mm (0: the default of 8, about
// 200 dpi).
func (d *Drawing) Encode(format Format, pixels float64) ([]byte, error) {
	if !(d.Width > 0 && d.Height > 0) || math.IsInf(d.Width, 0) || math.IsInf(d.Height, 0) {
		return nil, fmt.Errorf("draw: a picture of %g × %g mm has no area", d.Width, d.Height)
	}
	switch format {
	case SVG:
		return d.SVG(), nil
	case PNG:
		return d.PNG(pixels)
	case PDF:
		return d.PDF()
	}
	return nil, fmt.Errorf("draw: %q is not a format; svg, png and pdf are", format)
}
