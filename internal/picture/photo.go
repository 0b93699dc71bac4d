package picture

import (
	"image"
	"image/color"
	"math"
	"slices"

	"github.com/lucasb-eyer/go-colorful"

	"tuckring/internal/figure"
	"tuckring/internal/sight"
	"tuckring/internal/words"
)

// Spot is a place of a picture, in shares of its width and height from the upper left corner, 0 … 1.
type Spot struct {
	X float64 `json:"x"`
	Y float64 `json:"y"`
}

// Sheet is a sheet of paper in a photo, as it would look in even white light. It is approximate: a photo is lit unevenly, and a
// camera makes of colours what it likes.
type Sheet struct {
	Hex    string
	Like   figure.Paper // the ready paper that looks most like it
	Off    float64      // how far off that is, CIEDE2000
	Uneven float64      // how far the places of the spot are from its colour on average, CIEDE2000
}

// Limits of Sheets.
const (
	MaxSheets = figure.MaxColours
	// spotShare is how far around a spot its paper is looked at, in shares of the picture's shorter side (own).
	spotShare = 0.02
	// whiteIs is what a white sheet beside the papers shows of the light, as sRGB: usual copying paper has a luminance factor of about 0.9
	// (from memory).
	whiteIs = 0.95
	// Darker than this a white sheet says too little of the light (own).
	leastWhite = 0.02
	// A channel above this is burnt out: nobody knows how bright it was.
	burntOut = 0.995
	// Uneven is from where on a spot is no even sheet (own): papers this far apart are told apart by anybody.
	Uneven = 8.0
)

// Sheets reads the colours of sheets of paper at some spots of a photo, corrected by the white sheet at another spot: each channel of
// light is measured by it (the von Kries rule in linear sRGB). The colour of a spot is the median of what lies around it, so that a
// crease or a speck does not count. It fails when there are too many spots or one lies beside the picture, and when the white sheet
// is too dark or burnt out.
func (p *Picture) Sheets(white Spot, at []Spot) ([]Sheet, error) {
	if len(at) < 1 || len(at) > MaxSheets {
		return nil, words.T("picture.photo.sheets", "Found", len(at), "Most", MaxSheets)
	}
	for _, s := range append([]Spot{white}, at...) {
		if !(s.X >= 0 && s.X <= 1 && s.Y >= 0 && s.Y <= 1) {
			return nil, words.T("picture.photo.beside")
		}
	}
	img := p.Upright()
	light, _ := medianAt(img, white)
	burnt := 0
	for _, v := range light {
		if v < leastWhite {
			return nil, words.T("picture.photo.dark")
		}
		if v >= burntOut {
			burnt++
		}
	}
	if burnt == len(light) {
		return nil, words.T("picture.photo.burnt")
	}
	paper := linear(whiteIs)
	out := make([]Sheet, len(at))
	for i, s := range at {
		seen, around := medianAt(img, s)
		out[i] = sheetOf(corrected(seen, light, paper))
		own := labOf(corrected(seen, light, paper))
		for _, c := range around {
			out[i].Uneven += sight.Difference(own, labOf(corrected(c, light, paper))) / float64(len(around))
		}
	}
	return out, nil
}

// corrected is light as it would be where a white sheet shows as much light as paper.
func corrected(seen, white [3]float64, paper float64) (out [3]float64) {
	for c := range out {
		out[c] = math.Min(1, seen[c]/white[c]*paper)
	}
	return out
}

func sheetOf(light [3]float64) Sheet {
	shown := colorful.LinearRgb(light[0], light[1], light[2]).Clamped()
	out := Sheet{Hex: shown.Hex(), Off: math.Inf(1)}
	lab := sight.LabOf(shown)
	for _, ready := range figure.Papers {
		if d := sight.Difference(lab, labOfPaper(figure.Colour{Hex: ready.Hex})); d < out.Off {
			out.Like, out.Off = ready, d
		}
	}
	return out
}

// most is how many pixels of a spot are looked at.
const mostOfSpot = 400

// medianAt gives the median light of each channel around a spot, and the light of the pixels looked at.
func medianAt(img *image.NRGBA, s Spot) (median [3]float64, seen [][3]float64) {
	b := img.Bounds()
	radius := math.Max(1, spotShare*float64(min(b.Dx(), b.Dy())))
	x, y := s.X*float64(b.Dx()-1), s.Y*float64(b.Dy()-1)
	step := math.Max(1, 2*radius/math.Sqrt(mostOfSpot))
	for dy := -radius; dy <= radius; dy += step {
		for dx := -radius; dx <= radius; dx += step {
			at := image.Pt(int(math.Round(x+dx)), int(math.Round(y+dy)))
			if dx*dx+dy*dy > radius*radius || !at.In(b) {
				continue
			}
			seen = append(seen, lightAt(img.NRGBAAt(at.X, at.Y)))
		}
	}
	if len(seen) == 0 {
		seen = append(seen, lightAt(img.NRGBAAt(int(math.Round(x)), int(math.Round(y)))))
	}
	values := make([]float64, len(seen))
	for c := range median {
		for i := range seen {
			values[i] = seen[i][c]
		}
		slices.Sort(values)
		median[c] = values[len(values)/2]
	}
	return median, seen
}

func lightAt(c color.NRGBA) [3]float64 {
	return [3]float64{linear(float64(c.R) / 255), linear(float64(c.G) / 255), linear(float64(c.B) / 255)}
}
