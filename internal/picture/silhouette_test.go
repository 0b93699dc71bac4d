package picture

import (
	"image"
	"image/color"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tuckring/internal/figure"
	"tuckring/internal/outline"
	"tuckring/internal/shape"
	"tuckring/internal/wall"
)

// shaped draws what lies within an outline, upper half red and lower half black, on a ground.
func shaped(w, h int, ground color.NRGBA, within func(x, y float64) bool) *image.NRGBA {
	img := image.NewNRGBA(image.Rect(0, 0, w, h))
	for y := range h {
		for x := range w {
			c := ground
			if within(float64(x)+0.5, float64(y)+0.5) {
				if c = (color.NRGBA{192, 0, 0, 255}); y > h/2 {
					c = color.NRGBA{0, 0, 0, 255}
				}
			}
			img.SetNRGBA(x, y, c)
		}
	}
	return img
}

func body(units int) Body {
	return Body{Title: "t", Unit: unit, Gauge: shape.FromMemory(unit), Units: units, Choice: Choice{Papers: papers}}
}

// A disc becomes a ball: where it is r high above the middle it is 2√(R²−r²) wide (geometry), and a ring around that has π times as many
// units as it is units wide.
func TestDiscBecomesABall(t *testing.T) {
	disc := func(x, y float64) bool { return math.Hypot(x-150, y-120) < 90 }
	for name, ground := range map[string]color.NRGBA{"cut out": {}, "on a wall": {188, 188, 188, 255}} {
		s, err := FromSilhouette(Of(shaped(300, 240, ground, disc)), body(36))
		require.NoError(t, err, name)
		f := s.Figure
		radius := 36 / (2 * math.Pi)
		rings := math.Round(2*radius/(0.48/0.58) - (wall.TipRise - 1)) // pitch and rise of trade.md
		require.Len(t, f.Rings, int(rings), name)
		high := rings - 1 + wall.TipRise
		for i, w := range s.Wanted[1 : len(s.Wanted)-1] {
			up := (float64(i+1)+0.96)/high*2 - 1 // the middle of most of the face, of −1 … 1
			assert.InDelta(t, 36*math.Sqrt(1-up*up), w, 1, "%s, ring %d", name, i+2)
			if w < 12 { // where the ball closes the craft cannot follow
				continue
			}
			assert.InDelta(t, w, len(f.Rings[i+1].Cells), 3.5, "%s, ring %d", name, i+2)
		}
		assert.Nil(t, outline.Warns(f, shape.FromMemory(unit)), name)
		assert.Equal(t, f.Units(), s.Result.Covered, "%s: front and back", name)
		assert.Less(t, s.Aside, 0.02)
		for ring, want := range map[int]string{1: "k", len(f.Rings) - 2: "r"} {
			for _, c := range f.Rings[ring].Cells {
				assert.Equal(t, want, f.Colours[c.Colour].ID, "%s, ring %d: the ground does not show", name, ring+1)
			}
		}
	}
}

// A picture that leans cannot be followed to the side, and says by how much.
func TestMotifThatLeansIsToldOf(t *testing.T) {
	s, err := FromSilhouette(Of(shaped(300, 300, color.NRGBA{}, func(x, y float64) bool {
		return y > 40 && y < 260 && math.Abs(x-150-(150-y)/4) < 40
	})), body(24))
	require.NoError(t, err)
	assert.InDelta(t, 110.0/4/80, s.Aside, 0.03, "27.5 of 80 pixels")
	for _, r := range s.Figure.Rings {
		assert.Len(t, r.Cells, 24, "it is as wide everywhere")
	}
}

// Specks beside the motif, and a hole in it, change nothing.
func TestSpecksAreNoMotif(t *testing.T) {
	plain := func(x, y float64) bool { return math.Abs(x-100) < 50 && math.Abs(y-100) < 70 }
	a, err := FromSilhouette(Of(shaped(200, 200, color.NRGBA{}, plain)), body(20))
	require.NoError(t, err)
	b, err := FromSilhouette(Of(shaped(200, 200, color.NRGBA{}, func(x, y float64) bool {
		return plain(x, y) && math.Hypot(x-100, y-100) > 12 || math.Hypot(x-15, y-15) < 6
	})), body(20))
	require.NoError(t, err)
	assert.Equal(t, a.Wanted, b.Wanted)
}

func TestPicturesWithoutAMotifAreRefused(t *testing.T) {
	for name, img := range map[string]image.Image{"even": grey(90), "clear": image.NewNRGBA(image.Rect(0, 0, 40, 40)), "one pixel": grey(0).SubImage(image.Rect(3, 3, 4, 4))} {
		_, err := FromSilhouette(Of(img), body(20))
		assert.ErrorContains(t, err, "nothing in the picture that stands out", name)
	}
	pole := shaped(60, 20_000, color.NRGBA{}, func(x, _ float64) bool { return math.Abs(x-30) < 20 })
	_, err := FromSilhouette(Of(pole), body(200))
	assert.ErrorContains(t, err, "at most 1000 are possible")
	_, err = FromSilhouette(Of(grey(90)), body(2))
	assert.ErrorContains(t, err, "6 to 1000 units; 2 is not possible")
}

// A board of single pixels is as many motifs as can be: it takes no longer than one.
func TestManyMotifsAreLookedOverOnce(t *testing.T) {
	img := image.NewNRGBA(image.Rect(0, 0, 400, 400))
	for i := range 160_000 {
		if (i+i/400)%2 == 0 {
			copy(img.Pix[4*i:], []byte{0, 0, 0, 255})
		}
	}
	_, err := FromSilhouette(Of(img), body(20))
	assert.ErrorContains(t, err, "nothing in the picture that stands out")
}

// What is kept for a look ahead shows what the whole does.
func TestReducedPictureShowsTheSame(t *testing.T) {
	g := groundOf(t, figure.Tube("t", unit, papers, 20, 12), 0, 0)
	for o := 1; o <= 8; o++ {
		p := newPicture(noise(420, 300, 8), o)
		small := p.Reduced(30_000)
		assert.LessOrEqual(t, small.Width*small.Height, 30_000)
		want, err := p.See(g, g.Fit(p, Around, 1))
		require.NoError(t, err)
		got, err := small.See(g, g.Fit(small, Around, 1))
		require.NoError(t, err)
		for i := range want {
			assert.InDelta(t, want[i].Light[0], got[i].Light[0], 0.03, "orientation %d", o)
		}
	}
	half := image.NewNRGBA(image.Rect(0, 0, 100, 100))
	for i := range 10_000 {
		copy(half.Pix[4*i:], []byte{200, 0, 0, 128})
	}
	c := Of(half).Reduced(100).Upright().NRGBAAt(3, 3)
	assert.Equal(t, color.NRGBA{200, 0, 0, 128}, c, "clear parts weigh as much as they cover")
}

// What is in the middle of the motif stands on the front alone, and neither it nor a line drawn around the motif goes on behind.
func TestBackOfAMotifIsWhatIsAtItsSides(t *testing.T) {
	img := image.NewNRGBA(image.Rect(0, 0, 240, 240))
	for y := 20; y < 220; y++ {
		for x := 50; x < 190; x++ {
			c := color.NRGBA{192, 0, 0, 255}
			switch {
			case min(x-50, 189-x, y-20, 219-y) < 5:
				c = color.NRGBA{0, 0, 0, 255} // a line around
			case x > 95 && x < 145 && y > 80 && y < 160:
				c = color.NRGBA{255, 255, 255, 255}
			}
			img.SetNRGBA(x, y, c)
		}
	}
	s, err := FromSilhouette(Of(img), body(30))
	require.NoError(t, err)
	f := s.Figure
	u := figure.Unroll(f)
	white := 0
	for r := 1; r < len(f.Rings)-1; r++ {
		n := len(f.Rings[r].Cells)
		for i, c := range f.Rings[r].Cells {
			away := math.Abs(u.Middle(r, i) - u.FrontTurn())
			away = math.Abs(away - math.Round(away))
			switch id := f.Colours[c.Colour].ID; {
			case away > 0.3:
				assert.Equal(t, "r", id, "ring %d, unit %d of %d is behind", r+1, i+1, n)
			case id == "w":
				white++
			}
		}
	}
	assert.Greater(t, white, 20, "the front has its window")
}
