// Package picture turns a picture into a pattern: every unit of a plain tube gets the paper that
// comes closest to the part of the picture it covers.
//
// The picture is laid once around the tube, its middle on the front line, its lower edge at ring 1.
// What a unit covers is averaged as light (linear sRGB, IEC 61966-2-1), so that fine patterns keep
// their brightness; the nearest paper is the one of least CIEDE2000. Clear parts count as white.
package picture

import (
	"bytes"
	"errors"
	"image"
	_ "image/gif"  // the formats that Read knows
	_ "image/jpeg" // …
	_ "image/png"  // …
	"io"
	"math"

	"github.com/lucasb-eyer/go-colorful"
	"golang.org/x/image/draw"
	_ "golang.org/x/image/webp" // …

	"tuckring/internal/figure"
	"tuckring/internal/sight"
	"tuckring/internal/words"
)

// Limits of a picture.
const (
	MaxBytes  = 32 << 20
	MaxPixels = 40_000_000
	MaxSide   = 20_000 // pixels
)

// Read decodes a picture: PNG, JPEG, WebP (each turned as its Exif orientation says) or GIF (its first
// frame). Anything else, and a picture beyond the limits, is refused before its pixels are read; the
// error says what was found and what is allowed.
func Read(r io.Reader) (image.Image, error) {
	data, err := io.ReadAll(io.LimitReader(r, MaxBytes+1))
	if err != nil {
		return nil, words.T("picture.read", "Reason", err.Error())
	}
	if len(data) == 0 {
		return nil, words.T("picture.empty")
	}
	if len(data) > MaxBytes {
		return nil, words.T("picture.heavy", "Limit", MaxBytes>>20)
	}
	head, kind, err := image.DecodeConfig(bytes.NewReader(data))
	if err != nil {
		return nil, unknown(err)
	}
	if head.Width < 1 || head.Height < 1 || head.Width > MaxSide || head.Height > MaxSide || head.Width*head.Height > MaxPixels {
		return nil, words.T("picture.large", "Width", head.Width, "Height", head.Height, "Side", MaxSide, "Million", MaxPixels/1_000_000)
	}
	img, _, err := image.Decode(bytes.NewReader(data))
	if err != nil {
		return nil, unknown(err)
	}
	return upright(img, orientation(kind, data)), nil
}

func unknown(err error) error {
	if errors.Is(err, image.ErrFormat) {
		return words.T("picture.format")
	}
	return words.T("picture.broken", "Reason", err.Error())
}

// Options say what tube to lay the picture around, and which papers there are.
type Options struct {
	Title        string
	Unit         figure.Unit
	Units, Rings int // units in a ring, rings
	Colours      []figure.Colour
	Clean        bool // give a lone unit the paper of most units that touch it
}

func (o Options) check() error {
	switch {
	case o.Units < figure.MinUnits || o.Units > figure.MaxUnits:
		return words.T("picture.units", "Found", o.Units, "Least", figure.MinUnits, "Most", figure.MaxUnits)
	case o.Rings < 1 || o.Rings > figure.MaxRings:
		return words.T("picture.rings", "Found", o.Rings, "Most", figure.MaxRings)
	case o.Units*o.Rings > figure.MaxAllUnits:
		return words.T("picture.many", "Found", o.Units*o.Rings, "Most", figure.MaxAllUnits)
	case len(o.Colours) == 0 || len(o.Colours) > figure.MaxColours:
		return words.T("picture.colours", "Found", len(o.Colours), "Most", figure.MaxColours)
	}
	return nil
}

// Pattern lays a picture around a plain tube of the given units and rings. It fails when the
// options break a limit of the figure document.
func Pattern(img image.Image, o Options) (*figure.Figure, error) {
	if err := o.check(); err != nil {
		return nil, err
	}
	f := figure.Tube(o.Title, o.Unit, o.Colours, o.Units, o.Rings)
	nearest := newPalette(o.Colours)
	arcs := figure.Unroll(f)
	for ring := range f.Rings {
		band := newBand(img, o.Rings-1-ring, o.Rings)
		for unit := range f.Rings[ring].Cells {
			from, to := arcs.Arc(ring, unit)
			light := band.average(from-arcs.FrontTurn()+0.5, to-arcs.FrontTurn()+0.5)
			f.Rings[ring].Cells[unit].Colour = nearest.to(light)
		}
	}
	if o.Clean {
		clean(f)
	}
	if faults := f.Validate(); len(faults) > 0 {
		return nil, faults
	}
	return f, nil
}

// light is linear red, green and blue, 0 … 1.
type light [3]float64

// band is a strip of the picture, one ring high: the light summed from its left edge to each column.
type band struct {
	sums  []light // width+1 of them
	total float64 // rows of pixels that went in
}

// newBand sums strip index (from the top) of so many equal strips. Strips may cut through pixels.
func newBand(img image.Image, index, strips int) *band {
	bounds := img.Bounds()
	w, h := bounds.Dx(), bounds.Dy()
	top, bottom := float64(h)*float64(index)/float64(strips), float64(h)*float64(index+1)/float64(strips)
	columns := make([]light, w)
	row := image.NewRGBA(image.Rect(0, 0, w, 1))
	for y := int(top); y < h && float64(y) < bottom; y++ {
		share := math.Min(bottom, float64(y+1)) - math.Max(top, float64(y))
		draw.Draw(row, row.Rect, image.White, image.Point{}, draw.Src)
		draw.Draw(row, row.Rect, img, image.Pt(bounds.Min.X, bounds.Min.Y+y), draw.Over)
		for x := range columns {
			for k := range 3 {
				columns[x][k] += share * linear[row.Pix[4*x+k]]
			}
		}
	}
	b := &band{sums: make([]light, w+1), total: bottom - top}
	for x, c := range columns {
		for k := range c {
			b.sums[x+1][k] = b.sums[x][k] + c[k]
		}
	}
	return b
}

// average gives the mean light between two turns around the picture, 0 at its left edge, 1 at its
// right, where it begins again.
func (b *band) average(from, to float64) light {
	w := float64(len(b.sums) - 1)
	hi, lo := b.until(to*w), b.until(from*w)
	var out light
	for k := range out {
		out[k] = math.Max(0, (hi[k]-lo[k])/((to-from)*w*b.total))
	}
	return out
}

// until sums the light up to column x, which may lie laps away from the picture.
func (b *band) until(x float64) light {
	w := len(b.sums) - 1
	laps := math.Floor(x / float64(w))
	x -= laps * float64(w)
	i := min(int(x), w-1)
	rest := x - float64(i)
	var out light
	for k := range out {
		out[k] = laps*b.sums[w][k] + b.sums[i][k] + rest*(b.sums[i+1][k]-b.sums[i][k])
	}
	return out
}

var linear = func() (table [256]float64) {
	for i := range table {
		v := float64(i) / 255
		r, _, _ := colorful.Color{R: v, G: v, B: v}.LinearRgb()
		table[i] = r
	}
	return table
}()

// palette finds the nearest paper, and remembers what it has found for each shade (sRGB in 256
// steps a channel).
type palette struct {
	papers []sight.Lab
	known  map[[3]uint8]uint8
}

func newPalette(colours []figure.Colour) *palette {
	p := &palette{known: map[[3]uint8]uint8{}}
	for _, c := range colours {
		p.papers = append(p.papers, sight.LabOf(sight.Paper(c)))
	}
	return p
}

// to gives the index of the paper nearest to the light; of two as near, the first.
func (p *palette) to(l light) uint8 {
	r, g, b := colorful.LinearRgb(l[0], l[1], l[2]).Clamped().RGB255()
	key := [3]uint8{r, g, b}
	if i, ok := p.known[key]; ok {
		return i
	}
	seen := sight.LabOf(colorful.Color{R: float64(r) / 255, G: float64(g) / 255, B: float64(b) / 255})
	best, least := 0, math.Inf(1)
	for i, paper := range p.papers {
		if d := sight.Difference(seen, paper); d < least {
			best, least = i, d
		}
	}
	p.known[key] = uint8(best)
	return uint8(best)
}

// most is how many of the units that touch a lone unit must agree before it is repainted.
const most = 4

// clean repaints units that no touching unit shares the paper of, where at least four of those that
// touch (of six in a plain wall) agree on one. It looks at the pattern as it was, so that what is
// repainted does not depend on the order.
func clean(f *figure.Figure) {
	type repaint struct {
		ring, unit int
		colour     uint8
	}
	var todo []repaint
	touches := figure.TouchesOf(f)
	for ring := range f.Rings {
		for unit, c := range f.Rings[ring].Cells {
			touching := [figure.MaxColours]int{}
			touches.Each(ring, unit, func(ring, unit int) { touching[f.Rings[ring].Cells[unit].Colour]++ })
			if touching[c.Colour] > 0 {
				continue
			}
			for i, n := range touching {
				if n >= most {
					todo = append(todo, repaint{ring, unit, uint8(i)})
				}
			}
		}
	}
	for _, r := range todo {
		f.Rings[r.ring].Cells[r.unit].Colour = r.colour
	}
}
