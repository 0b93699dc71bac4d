package draw

import (
	"bytes"
	"fmt"
	"image"
	"image/png"
	"math"

	"github.com/tdewolff/canvas"
	"golang.org/x/image/draw"
	"golang.org/x/image/vector"
)

const (
	defaultPixels = 8.0        // pixels per mm, about 200 dpi
	maxPixels     = 32_000_000 // of one PNG; larger pictures are drawn coarser
	jointFrom     = 1.2        // pixels: strokes as wide as this get round joints
)

// PNG writes the drawing as a picture of so many pixels per mm (0: 8) on a clear ground. A picture
// that would grow beyond 32 million pixels is drawn as fine as fits.
func (d *Drawing) PNG(pixels float64) ([]byte, error) {
	if !(pixels > 0) {
		pixels = defaultPixels
	}
	if area := d.Width * d.Height; area*pixels*pixels > maxPixels {
		pixels = math.Sqrt(maxPixels / area)
	}
	if d.Width*pixels < 1 || d.Height*pixels < 1 {
		return nil, fmt.Errorf("draw: %g × %g mm at %g pixels per mm is less than one pixel", d.Width, d.Height, pixels)
	}
	var b bytes.Buffer
	enc := png.Encoder{CompressionLevel: png.BestSpeed}
	if err := enc.Encode(&b, d.raster(pixels)); err != nil {
		return nil, fmt.Errorf("draw: png: %w", err)
	}
	return b.Bytes(), nil
}

// Raster paints the drawing at so many pixels per mm on a clear ground. The caller keeps to a size that fits into memory.
func (d *Drawing) Raster(pixels float64) *image.RGBA { return d.raster(pixels) }

// raster paints the drawing at so many pixels per mm.
func (d *Drawing) raster(pixels float64) *image.RGBA {
	img := image.NewRGBA(image.Rect(0, 0, int(d.Width*pixels+0.5), int(d.Height*pixels+0.5)))
	r := &raster{img: img, scale: pixels, glyphs: map[textKey]*canvas.Path{}}
	for _, it := range d.items {
		if it.text != nil {
			r.write(it.text)
			continue
		}
		lines := r.flatten(it.path)
		if it.paint.Fill.A > 0 {
			r.fill(lines, it.paint.Fill)
		}
		if it.paint.Stroke.A > 0 && it.paint.Line > 0 {
			r.stroke(lines, it.paint)
		}
	}
	return img
}

// raster paints outlines, given in pixels, on a picture.
type raster struct {
	img    *image.RGBA
	scale  float64
	pen    vector.Rasterizer
	cover  []uint8 // of the path at hand, a byte a pixel of its box
	glyphs map[textKey]*canvas.Path
}

// polyline is an outline of straight pieces, in pixels.
type polyline struct {
	points []Point
	closed bool
}

// flatten turns a path into straight pieces no further than a tenth of a pixel from its curves.
func (r *raster) flatten(p *Path) []polyline {
	var out []polyline
	all := make([]Point, 0, len(p.xy)/2)
	first, at := 0, 0
	end := func(closed bool) {
		if len(all) > first {
			out = append(out, polyline{all[first:len(all):len(all)], closed})
		}
		first = len(all)
	}
	q := func(k int) Point { return Point{p.xy[at+k] * r.scale, p.xy[at+k+1] * r.scale} }
	for _, op := range p.ops {
		switch op {
		case 'M':
			end(false)
			all = append(all, q(0))
			at += 2
		case 'L':
			all = append(all, q(0))
			at += 2
		case 'C':
			all = appendCurve(all, all[len(all)-1], q(0), q(2), q(4))
			at += 6
		case 'Z':
			end(true)
		}
	}
	end(false)
	return out
}

func appendCurve(out []Point, a, b, c, d Point) []Point {
	size := math.Hypot(b.X-a.X, b.Y-a.Y) + math.Hypot(c.X-b.X, c.Y-b.Y) + math.Hypot(d.X-c.X, d.Y-c.Y)
	n := int(math.Ceil(1 + math.Sqrt(size)))
	for i := 1; i <= n; i++ {
		t := float64(i) / float64(n)
		u := 1 - t
		k0, k1, k2, k3 := u*u*u, 3*u*u*t, 3*u*t*t, t*t*t
		out = append(out, Point{k0*a.X + k1*b.X + k2*c.X + k3*d.X, k0*a.Y + k1*b.Y + k2*c.Y + k3*d.Y})
	}
	return out
}

// begin clears the pen for a box of pixels and gives its corner; ok is false when the box lies
// outside the picture.
func (r *raster) begin(lo, hi Point) (box image.Rectangle, ok bool) {
	box = image.Rect(int(math.Floor(lo.X)), int(math.Floor(lo.Y)), int(math.Ceil(hi.X))+1, int(math.Ceil(hi.Y))+1).Intersect(r.img.Bounds())
	if box.Empty() {
		return box, false
	}
	r.pen.Reset(box.Dx(), box.Dy())
	return box, true
}

func bounds(lines []polyline, around float64) (lo, hi Point) {
	lo, hi = Point{math.Inf(1), math.Inf(1)}, Point{math.Inf(-1), math.Inf(-1)}
	for _, l := range lines {
		for _, q := range l.points {
			lo = Point{math.Min(lo.X, q.X-around), math.Min(lo.Y, q.Y-around)}
			hi = Point{math.Max(hi.X, q.X+around), math.Max(hi.Y, q.Y+around)}
		}
	}
	return lo, hi
}

func (r *raster) polygon(box image.Rectangle, points ...Point) {
	for i, q := range points {
		x, y := float32(q.X-float64(box.Min.X)), float32(q.Y-float64(box.Min.Y))
		if i == 0 {
			r.pen.MoveTo(x, y)
		} else {
			r.pen.LineTo(x, y)
		}
	}
	r.pen.ClosePath()
}

// paint lays a colour over the picture where the pen went. Most of a large pattern's box is not
// covered by any one path, so covering and colouring are done apart and the empty pixels left out.
func (r *raster) paint(box image.Rectangle, c colour) {
	w, h := box.Dx(), box.Dy()
	if cap(r.cover) < w*h {
		r.cover = make([]uint8, w*h)
	}
	mask := &image.Alpha{Pix: r.cover[:w*h], Stride: w, Rect: image.Rect(0, 0, w, h)}
	r.pen.DrawOp = draw.Src
	r.pen.Draw(mask, mask.Rect, image.Opaque, image.Point{})
	for y := range h {
		row := r.img.Pix[r.img.PixOffset(box.Min.X, box.Min.Y+y):]
		for x, cover := range mask.Pix[y*w : (y+1)*w] {
			if cover != 0 {
				blend(row[4*x:4*x+4:4*x+4], c, uint32(cover)*uint32(c.A))
			}
		}
	}
}

// blend lays a colour over one premultiplied pixel; opacity is out of 255².
func blend(pixel []uint8, c colour, opacity uint32) {
	const full = 255 * 255
	rest := full - opacity
	pixel[0] = uint8((uint32(c.R)*opacity + uint32(pixel[0])*rest + full/2) / full)
	pixel[1] = uint8((uint32(c.G)*opacity + uint32(pixel[1])*rest + full/2) / full)
	pixel[2] = uint8((uint32(c.B)*opacity + uint32(pixel[2])*rest + full/2) / full)
	pixel[3] = uint8((255*opacity + uint32(pixel[3])*rest + full/2) / full)
}

func (r *raster) fill(lines []polyline, c colour) {
	lo, hi := bounds(lines, 0)
	box, ok := r.begin(lo, hi)
	if !ok {
		return
	}
	for _, l := range lines {
		r.polygon(box, l.points...)
	}
	r.paint(box, c)
}

// stroke lays a bar along every straight piece; all bars turn the same way round, so that where they
// overlap they do not cancel.
func (r *raster) stroke(lines []polyline, paint Paint) {
	half := paint.Line * r.scale / 2
	lo, hi := bounds(lines, half+1)
	box, ok := r.begin(lo, hi)
	if !ok {
		return
	}
	for _, l := range lines {
		points := l.points
		if l.closed {
			points = append(points[:len(points):len(points)], points[0])
		}
		if len(paint.Dashes) > 0 {
			for _, piece := range dashed(points, scaled(paint.Dashes, r.scale)) {
				r.bars(box, piece, half)
			}
			continue
		}
		r.bars(box, points, half)
	}
	r.paint(box, paint.Stroke)
}

func (r *raster) bars(box image.Rectangle, points []Point, half float64) {
	for i, a := range points {
		if 2*half >= jointFrom {
			k := half * 0.707
			r.polygon(box, Point{a.X + half, a.Y}, Point{a.X + k, a.Y + k}, Point{a.X, a.Y + half}, Point{a.X - k, a.Y + k},
				Point{a.X - half, a.Y}, Point{a.X - k, a.Y - k}, Point{a.X, a.Y - half}, Point{a.X + k, a.Y - k})
		}
		if i == 0 {
			continue
		}
		b := points[i-1]
		length := math.Hypot(a.X-b.X, a.Y-b.Y)
		if length == 0 {
			continue
		}
		nx, ny := (a.Y-b.Y)/length*half, (b.X-a.X)/length*half
		r.polygon(box, Point{b.X + nx, b.Y + ny}, Point{a.X + nx, a.Y + ny}, Point{a.X - nx, a.Y - ny}, Point{b.X - nx, b.Y - ny})
	}
}

// dashed cuts a line into the pieces that are drawn.
func dashed(points []Point, dashes []float64) [][]Point {
	var out [][]Point
	var piece []Point
	k, left := 0, dashes[0]
	for i := 1; i < len(points); i++ {
		a, b := points[i-1], points[i]
		length := math.Hypot(b.X-a.X, b.Y-a.Y)
		for at := 0.0; at < length; {
			step := math.Min(left, length-at)
			if k%2 == 0 {
				if len(piece) == 0 {
					piece = append(piece, between(a, b, at/length))
				}
				piece = append(piece, between(a, b, (at+step)/length))
			}
			at += step
			if left -= step; left <= 1e-9 {
				if len(piece) > 0 {
					out, piece = append(out, piece), nil
				}
				k++
				left = math.Max(dashes[k%len(dashes)], 1e-3)
			}
		}
	}
	if len(piece) > 0 {
		out = append(out, piece)
	}
	return out
}

func between(a, b Point, t float64) Point { return Point{a.X + t*(b.X-a.X), a.Y + t*(b.Y-a.Y)} }

// write paints the outlines of a line of text in the Go fonts.
func (r *raster) write(l *Label) {
	text := r.outline(l)
	if text.Empty() {
		return
	}
	if l.Turned {
		text = text.Copy().Transform(canvas.Identity.Rotate(90))
	}
	b := text.Bounds()
	lo := Point{(l.X + b.X0) * r.scale, (l.Y - b.Y1) * r.scale}
	hi := Point{(l.X + b.X1) * r.scale, (l.Y - b.Y0) * r.scale}
	box, ok := r.begin(lo, hi)
	if !ok {
		return
	}
	// The library measures upwards from the lower edge of the box.
	dx := l.X - float64(box.Min.X)/r.scale
	dy := float64(box.Max.Y)/r.scale - l.Y
	text.Copy().Translate(dx, dy).ToVectorRasterizer(&r.pen, canvas.DPMM(r.scale))
	r.paint(box, l.Ink)
}

// outline is the outline of a label around its place, mm, upwards.
func (r *raster) outline(l *Label) *canvas.Path {
	key := textKey{faceKey{l.Size, l.Bold, ink}, l.Text, l.Anchor}
	if p, ok := r.glyphs[key]; ok {
		return p
	}
	fontLock.Lock()
	defer fontLock.Unlock()
	p, width, err := fontFace(l.Size, l.Bold, ink).ToPath(l.Text)
	if err != nil {
		p = &canvas.Path{}
	}
	p = p.Translate(map[Anchor]float64{Start: 0, Middle: -width / 2, End: -width}[l.Anchor], 0)
	r.glyphs[key] = p
	return p
}
