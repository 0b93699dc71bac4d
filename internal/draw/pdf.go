package draw

import (
	"bytes"
	"fmt"
	"image/color"
	"sync"

	"github.com/tdewolff/canvas"
	"github.com/tdewolff/canvas/renderers/pdf"
	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/goregular"

	"tuckring/internal/paper"
)

const pointsPerMM = 72 / paper.MMPerInch // PostScript points

// PDF writes the drawing as a PDF of one page of the drawing's own size, with real text.
func (d *Drawing) PDF() ([]byte, error) { return Pages{d}.PDF() }

// Pages are drawings that belong together, one a page.
type Pages []*Drawing

// PDF writes the pages as one PDF. The same pages give the same bytes on any day.
func (ps Pages) PDF() ([]byte, error) {
	if len(ps) == 0 {
		return nil, fmt.Errorf("draw: a PDF needs at least one page")
	}
	var b bytes.Buffer
	p := pdf.New(&b, ps[0].Width, ps[0].Height, nil)
	p.SetInfo(ps[0].Title, "", "", "", "tuckring")
	for i, d := range ps {
		if i > 0 {
			p.NewPage(d.Width, d.Height)
		}
		c := canvas.New(d.Width, d.Height)
		newBrush(c, d.Height).draw(d)
		c.RenderTo(p)
	}
	if err := p.Close(); err != nil {
		return nil, fmt.Errorf("draw: pdf: %w", err)
	}
	return timeless(b.Bytes())
}

var loadFonts = sync.OnceValue(func() *canvas.FontFamily {
	family := canvas.NewFontFamily("Go")
	family.MustLoadFont(goregular.TTF, 0, canvas.FontRegular)
	family.MustLoadFont(gobold.TTF, 0, canvas.FontBold)
	return family
})

// fontLock guards the shared fonts: the library's shaping is not safe for use from several
// goroutines at once.
var fontLock sync.Mutex

// brush draws a Drawing on a canvas, whose y axis points upwards.
type brush struct {
	ctx    *canvas.Context
	height float64
	faces  map[faceKey]*canvas.FontFace
	texts  map[textKey]*canvas.Text
}

type faceKey struct {
	size float64
	bold bool
	ink  color.NRGBA
}

type textKey struct {
	face   faceKey
	text   string
	anchor Anchor
}

func newBrush(c *canvas.Canvas, height float64) *brush {
	return &brush{ctx: canvas.NewContext(c), height: height,
		faces: map[faceKey]*canvas.FontFace{}, texts: map[textKey]*canvas.Text{}}
}

func (b *brush) draw(d *Drawing) {
	fontLock.Lock()
	defer fontLock.Unlock()
	b.ctx.SetStrokeJoiner(canvas.RoundJoin)
	b.ctx.SetStrokeCapper(canvas.RoundCap)
	for _, it := range d.items {
		if it.text != nil {
			b.write(it.text)
			continue
		}
		b.ctx.SetFillColor(it.paint.Fill)
		stroke := it.paint.Stroke
		if !(it.paint.Line > 0) {
			stroke = color.NRGBA{}
		}
		b.ctx.SetStrokeColor(stroke)
		b.ctx.SetStrokeWidth(it.paint.Line)
		b.ctx.SetDashes(0, it.paint.Dashes...)
		b.ctx.DrawPath(0, 0, b.path(it.path))
	}
}

func (b *brush) path(p *Path) *canvas.Path {
	out := &canvas.Path{}
	at := 0
	y := func(k int) float64 { return b.height - p.xy[at+k] }
	for _, op := range p.ops {
		switch op {
		case 'M':
			out.MoveTo(p.xy[at], y(1))
			at += 2
		case 'L':
			out.LineTo(p.xy[at], y(1))
			at += 2
		case 'C':
			out.CubeTo(p.xy[at], y(1), p.xy[at+2], y(3), p.xy[at+4], y(5))
			at += 6
		case 'Z':
			out.Close()
		}
	}
	return out
}

func (b *brush) write(l *Label) {
	text := b.text(l)
	if !l.Turned {
		b.ctx.DrawText(l.X, b.height-l.Y, text)
		return
	}
	b.ctx.Push()
	b.ctx.RotateAbout(90, l.X, b.height-l.Y)
	b.ctx.DrawText(l.X, b.height-l.Y, text)
	b.ctx.Pop()
}

func (b *brush) text(l *Label) *canvas.Text {
	key := textKey{faceKey{l.Size, l.Bold, l.Ink}, l.Text, l.Anchor}
	if t, ok := b.texts[key]; ok {
		return t
	}
	face, ok := b.faces[key.face]
	if !ok {
		face = fontFace(l.Size, l.Bold, l.Ink)
		b.faces[key.face] = face
	}
	align := map[Anchor]canvas.TextAlign{Start: canvas.Left, Middle: canvas.Center, End: canvas.Right}[l.Anchor]
	t := canvas.NewTextLine(face, l.Text, align)
	b.texts[key] = t
	return t
}

// TextWidth gives how wide a line of text comes out in the Go font, mm.
func TextWidth(text string, size float64, bold bool) float64 {
	fontLock.Lock()
	defer fontLock.Unlock()
	return fontFace(size, bold, ink).TextWidth(text)
}

// fontFace needs the font lock held.
func fontFace(size float64, bold bool, c colour) *canvas.FontFace {
	style := canvas.FontRegular
	if bold {
		style = canvas.FontBold
	}
	return loadFonts().Face(size*pointsPerMM, c, style, canvas.FontNormal)
}
