package picture

import (
	"image"
	"math"

	"github.com/lucasb-eyer/go-colorful"
)

// PreviewPixels is how many pixels a picture that is kept for a look ahead has at most: on a figure of 3000 units 700 to each.
const PreviewPixels = 2_000_000

// Reduced is the picture as it hangs with at most so many pixels: the average light of each square, as See would see it. One that is
// small enough stays as it is, but for how it is stored.
func (p *Picture) Reduced(pixels int) *Picture {
	shrink := math.Sqrt(float64(pixels) / (float64(p.Width) * float64(p.Height)))
	if shrink >= 1 {
		return Of(p.Upright())
	}
	b := p.stored.Bounds()
	w, h := b.Dx(), b.Dy()
	to := image.NewNRGBA(image.Rect(0, 0, max(1, int(float64(w)*shrink)), max(1, int(float64(h)*shrink))))
	inBands(to.Rect.Dy(), func(from, end int) { p.reduce(to, from, end) })
	return Of(newPicture(to, p.orientation).Upright())
}

// reduce fills some rows of a smaller picture.
func (p *Picture) reduce(to *image.NRGBA, from, end int) {
	b := p.stored.Bounds()
	w, h := to.Rect.Dx(), to.Rect.Dy()
	across, down := float64(b.Dx())/float64(w), float64(b.Dy())/float64(h)
	row := newRowSums(b.Dx())
	sums := make([][channels]float64, w)
	read := -1
	for y := from; y < end; y++ {
		clear(sums)
		top, bottom := float64(y)*down, math.Min(float64(y+1)*down, float64(b.Dy()))
		for line := int(top); float64(line) < bottom; line++ {
			if line != read {
				row.read(p.stored, line)
				read = line
			}
			share := math.Min(bottom, float64(line+1)) - math.Max(top, float64(line))
			for x := range sums {
				row.between(float64(x)*across, float64(x+1)*across, share, &sums[x])
			}
		}
		for x, s := range sums {
			if s[3] <= 0 {
				continue
			}
			r, g, b := colorful.LinearRgb(s[0]/s[3], s[1]/s[3], s[2]/s[3]).Clamped().RGB255()
			copy(to.Pix[to.PixOffset(x, y):], []uint8{r, g, b, uint8(math.Round(255 * math.Min(1, s[3]/(full*across*(bottom-top)))))})
		}
	}
}

// between adds the light between two places of the row, times by.
func (s rowSums) between(a, b, by float64, to *[channels]float64) {
	last := len(s) - 2
	s.put(min(int(b), last), math.Min(b, float64(last+1))-float64(min(int(b), last)), by, to)
	s.put(min(int(a), last), a-float64(min(int(a), last)), -by, to)
}
