package picture

import (
	"image"
	"image/color"
	"math/rand/v2"
	"testing"

	"github.com/lucasb-eyer/go-colorful"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tuckring/internal/sight"
)

// patches are colours of the 24-patch colour chart that photographers know, as sRGB of its maker's (from memory): blue flower,
// orange, moderate red, yellow green, red, yellow, magenta, neutral 5.
var patches = []string{"#8580b1", "#d67e2c", "#c15a63", "#9dbc40", "#af363c", "#e7c71f", "#bb5695", "#7a7a79"}

// A photo of sheets under warm, weak, noisy light, with a crease in each: corrected by the white sheet beside them they are again
// the colours of the chart, however the light was.
func TestSheetsInAPhotoAreCorrectedByTheWhiteOne(t *testing.T) {
	for _, lamp := range [][3]float64{{1, 1, 1}, {0.9, 0.62, 0.31}, {0.35, 0.42, 0.5}} {
		const side = 200
		img := image.NewNRGBA(image.Rect(0, 0, side*(len(patches)+1), side))
		random := rand.New(rand.NewPCG(7, 9))
		at := make([]Spot, len(patches))
		for k := range len(patches) + 1 {
			light := [3]float64{linear(whiteIs), linear(whiteIs), linear(whiteIs)}
			if k > 0 {
				c, err := colorful.Hex(patches[k-1])
				require.NoError(t, err)
				light[0], light[1], light[2] = c.LinearRgb()
				at[k-1] = Spot{(float64(k) + 0.5) / float64(len(patches)+1), 0.5}
			}
			for y := range side {
				for x := range side {
					shade := 1 + 0.04*random.NormFloat64()
					if x == side/2 {
						shade = 0.3 // a crease
					}
					c := colorful.LinearRgb(light[0]*lamp[0]*shade, light[1]*lamp[1]*shade, light[2]*lamp[2]*shade).Clamped()
					r, g, b := c.RGB255()
					img.SetNRGBA(k*side+x, y, color.NRGBA{r, g, b, 255})
				}
			}
		}
		sheets, err := Of(img).Sheets(Spot{0.5 / float64(len(patches)+1), 0.5}, at)
		require.NoError(t, err)
		for i, s := range sheets {
			want, _ := colorful.Hex(patches[i])
			got, _ := colorful.Hex(s.Hex)
			assert.Less(t, sight.Difference(sight.LabOf(want), sight.LabOf(got)), 2.5, "%s under %v became %s", patches[i], lamp, s.Hex)
			assert.Less(t, s.Uneven, Uneven)
		}
	}
}

func TestPhotoOfSheetsIsRefusedWhereItSaysNothing(t *testing.T) {
	half := image.NewNRGBA(image.Rect(0, 0, 40, 20)) // black at the left, burnt out at the right
	for y := range 20 {
		for x := range 40 {
			v := uint8(0)
			if x >= 20 {
				v = 255
			}
			half.SetNRGBA(x, y, color.NRGBA{v, v, v, 255})
		}
	}
	p := Of(half)
	dark, burnt, edge := Spot{0.2, 0.5}, Spot{0.8, 0.5}, Spot{0.5, 0.5}
	for _, c := range []struct {
		white Spot
		at    []Spot
		says  string
	}{
		{dark, []Spot{burnt}, "too dark"}, {burnt, []Spot{dark}, "burnt out"}, {edge, nil, "0 sheets"},
		{edge, make([]Spot, MaxSheets+1), "65 sheets"}, {Spot{2, 0}, []Spot{dark}, "beside"}, {edge, []Spot{{0, -1}}, "beside"},
	} {
		_, err := p.Sheets(c.white, c.at)
		require.Error(t, err)
		assert.Contains(t, err.Error(), c.says)
	}
}
