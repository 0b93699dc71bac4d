package picture

import (
	"fmt"
	"image"
	"image/color"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tuckring/internal/figure"
	"tuckring/internal/shape"
	"tuckring/internal/sight"
	"tuckring/internal/wall"
)

// Figures to lay pictures on: a tube; one that widens and narrows, some of its short sides out; one with an opening.
var grounds = map[string]string{
	"tube": `[{"runs":[{"n":14,"colour":"k"}]},{"runs":[{"n":14,"colour":"k"}]},{"runs":[{"n":14,"colour":"k"}]},{"runs":[{"n":14,"colour":"k"}]},{"runs":[{"n":14,"colour":"k"}]}]`,
	"widened": `[{"runs":[{"n":12,"colour":"k"}]},{"runs":[{"n":12,"colour":"k"}]},
		{"runs":[{"n":4,"colour":"k"},{"n":4,"colour":"k","takes":1},{"n":6,"colour":"k"}]},{"runs":[{"n":14,"colour":"k","side":"short"}]},
		{"runs":[{"n":14,"colour":"k"}]},{"runs":[{"n":4,"colour":"k","takes":3},{"n":8,"colour":"k"}]},{"runs":[{"n":12,"colour":"k"}]}]`,
	"opening": `[{"runs":[{"n":14,"colour":"k"}]},{"runs":[{"n":14,"colour":"k"}]},{"runs":[{"n":5,"colour":"k"},{"skip":6},{"n":6,"colour":"k"}]},
		{"runs":[{"n":11,"colour":"k"}]}]`,
}

func figureOf(t testing.TB, rings string, front float64) *figure.Figure {
	t.Helper()
	f, err := figure.Read(fmt.Appendf(nil, `{"tuckring":1,"title":"t","unit":{"long_mm":52,"short_mm":37},"colours":[
		{"id":"k","name":"Soot","hex":"#2b2b2e"},{"id":"w","name":"Chalk","hex":"#f4efe6"},{"id":"r","name":"Brick","hex":"#a63a2b"},{"id":"b","name":"Sea","hex":"#2277a0"}],
		"rings":%s,"front":%v}`, rings, front))
	require.NoError(t, err)
	return f
}

// gaugeOf is how units of the figure stand before their maker has measured any.
func gaugeOf(f *figure.Figure) shape.Gauge { return shape.FromMemory(f.Unit) }

func groundOf(t testing.TB, f *figure.Figure, from, to int) *Ground {
	t.Helper()
	g, err := NewGround(f, shape.FromMemory(f.Unit), 0, from, to)
	require.NoError(t, err)
	return g
}

// shuffled gives every unit a paper by chance.
func shuffled(f *figure.Figure, seed uint64) {
	by := rand.New(rand.NewPCG(seed, 1))
	for i := range f.Rings {
		for k := range f.Rings[i].Cells {
			f.Rings[i].Cells[k].Colour = uint8(by.IntN(len(f.Colours)))
		}
	}
}

// holds says whether a place is in an outline: how often a line to the right crosses it (the even-odd rule).
func holds(outline []wall.Spot, turn, up float64) bool {
	in := false
	for i, b := range outline {
		a := outline[(i+len(outline)-1)%len(outline)]
		if (a.Up > up) != (b.Up > up) && turn < a.Turn+(up-a.Up)/(b.Up-a.Up)*(b.Turn-a.Turn) {
			in = !in
		}
	}
	return in
}

// drawn paints the faces of a figure on a picture that goes once around it, its front in the middle, so many pixels to a unit of the
// fullest ring, each pixel in the paper of the face that holds its middle. What no face covers is clear.
func drawn(f *figure.Figure, perUnit int) *image.NRGBA {
	u := figure.Unroll(f)
	around, high := 0, 0.0
	for i := range f.Rings {
		around = max(around, len(f.Rings[i].Cells))
		high = math.Max(high, float64(i)+1.5)
	}
	if _, on := f.Upon(len(f.Rings) - 1); !on {
		high = float64(len(f.Rings)-1) + wall.TipRise
	}
	w, h := around*perUnit, int(math.Round(high*float64(perUnit)*shape.RisePerPitch))
	img := image.NewNRGBA(image.Rect(0, 0, w, h))
	wall.Each(f, u, 0, len(f.Rings), func(fc *wall.Face) {
		outline := fc.Outline(nil)
		var c color.NRGBA
		fmt.Sscanf(f.Colours[fc.Colour].Hex, "#%02x%02x%02x", &c.R, &c.G, &c.B)
		c.A = 255
		for y := range h {
			up := high * (1 - (float64(y)+0.5)/float64(h))
			if up < float64(fc.Ring) || up > float64(fc.Ring)+1.5 {
				continue
			}
			for x := range w {
				turn := (float64(x)+0.5)/float64(w) - 0.5 + u.FrontTurn()
				turn += math.Round(fc.Middle() - turn)
				if holds(outline, turn, up) {
					img.SetNRGBA(x, y, c)
				}
			}
		}
	})
	return img
}

func TestPictureOfTheFiguresOwnFacesComesBackExactly(t *testing.T) {
	for name, rings := range grounds {
		for _, perUnit := range []int{4, 5, 7, 13, 40} {
			for turn, front := range []float64{0, 3.5, 7, 11.5} {
				if perUnit > 13 && turn != 1 {
					continue // many pixels, and nothing else than with fewer
				}
				want := figureOf(t, rings, front)
				shuffled(want, uint64(perUnit+turn))
				got := want.Clone()
				for i := range got.Rings {
					for k := range got.Rings[i].Cells {
						got.Rings[i].Cells[k].Colour = 0
					}
				}
				g := groundOf(t, got, 0, 0)
				p := Of(drawn(want, perUnit))
				r, err := Choose(g, p, g.Fit(p, Around, 1), Choice{}, LiveWork)
				require.NoError(t, err)
				_, _, err = figure.Apply(got, r.Edit())
				require.NoError(t, err)
				assert.Equal(t, want.Rings, got.Rings, "%s, %d pixels a unit, front %v", name, perUnit, front)
			}
		}
	}
}

// noise is a picture of soft shapes and single pixels.
func noise(w, h int, seed uint64) *image.NRGBA {
	by := rand.New(rand.NewPCG(seed, 2))
	img := image.NewNRGBA(image.Rect(0, 0, w, h))
	for y := range h {
		for x := range w {
			v := 0.5 + 0.4*math.Sin(float64(x)/9)*math.Cos(float64(y)/7) + 0.1*by.Float64()
			img.SetNRGBA(x, y, color.NRGBA{uint8(255 * v), uint8(200 * (1 - v)), uint8(by.IntN(256)), 255})
		}
	}
	return img
}

// sampled is the average light of a picture over the visible face of a unit, by a grid of side × side samples over the square
// around the face: what a Lay says, worked out place by place.
func sampled(p *image.NRGBA, g *Ground, l Lay, unit, side int) (light [3]float64, cover float64) {
	face := g.face(unit)
	lo, hi := face[0], face[0]
	for _, s := range face {
		lo = wall.Spot{Turn: math.Min(lo.Turn, s.Turn), Up: math.Min(lo.Up, s.Up)}
		hi = wall.Spot{Turn: math.Max(hi.Turn, s.Turn), Up: math.Max(hi.Up, s.Up)}
	}
	sum, all := 0.0, 0.0
	for i := range side {
		for j := range side {
			turn, up := lo.Turn+(hi.Turn-lo.Turn)*(float64(i)+0.5)/float64(side), lo.Up+(hi.Up-lo.Up)*(float64(j)+0.5)/float64(side)
			if !holds(face, turn, up) {
				continue
			}
			all++
			x, weight := turn*g.around, 1.0
			if l.Way == Straight {
				turn -= math.Round(turn)
				if math.Abs(turn) > 0.25 {
					continue
				}
				x, weight = g.radius(up)*math.Sin(2*math.Pi*turn), g.radius(up)*math.Cos(2*math.Pi*turn)
			} else {
				period := g.wide / math.Max(1, float64(l.Times))
				x = l.X + (x - l.X) - period*math.Round((x-l.X)/period)
			}
			dx, dy := x-l.X, up*g.rise-l.Y
			a := l.Turn * math.Pi / 180
			right, high := dx*math.Cos(a)-dy*math.Sin(a), dx*math.Sin(a)+dy*math.Cos(a)
			if l.Mirror {
				right = -right
			}
			px, py := (right/l.Width+0.5)*float64(p.Rect.Dx()), (0.5-high/l.Height)*float64(p.Rect.Dy())
			if px < 0 || py < 0 || px >= float64(p.Rect.Dx()) || py >= float64(p.Rect.Dy()) {
				continue
			}
			c := p.NRGBAAt(int(px), int(py))
			for k, v := range []uint8{c.R, c.G, c.B} {
				light[k] += weight * toLinear(float64(v)/255)
			}
			sum += weight
			cover++
		}
	}
	for k := range light {
		light[k] /= sum
	}
	return light, cover / all
}

// toLinear is the transfer function of IEC 61966-2-1, 5.2.
func toLinear(v float64) float64 {
	if v <= 0.04045 {
		return v / 12.92
	}
	return math.Pow((v+0.055)/1.055, 2.4)
}

func TestAveragesAgreeWithSupersampling(t *testing.T) {
	img := noise(240, 160, 3)
	for name, rings := range grounds {
		g := groundOf(t, figureOf(t, rings, 3.5), 0, 0)
		for _, l := range []Lay{
			{Way: Flat, X: 0.3, Y: 2, Width: 9, Height: 5, Turn: 17},
			{Way: Flat, X: 5, Y: 2, Width: 6, Height: 8, Turn: -130, Mirror: true},
			{Way: Flat, Times: 3, X: 1, Y: 1.5, Width: 4, Height: 4},
			{Way: Straight, X: 0.1, Y: 2, Width: 5, Height: 4, Turn: 8},
			{Way: Straight, Y: 2, Width: 4, Height: 4, Mirror: true},
		} {
			seen, err := Of(img).See(g, l)
			require.NoError(t, err)
			compared := 0
			for i, s := range seen {
				if s.Cover < 0.9 || i%4 != 1 { // every fourth: samples are slow
					continue
				}
				light, cover := sampled(img, g, l, i, 8*16) // 64 samples to a pixel and more
				assert.Less(t, sight.Difference(labOf(light), labOf(s.Light)), 0.5, "%s, %+v, unit %d", name, l, i)
				assert.InDelta(t, cover, s.Cover, 0.05) // seen straight on it is of what is seen
				compared++
			}
			assert.Positive(t, compared, "%s %+v", name, l)
		}
	}
}

// Pictures in all kinds of memory, and turned by their Exif, show the same.
func TestEveryKindOfPixelsIsSeenAlike(t *testing.T) {
	g := groundOf(t, figureOf(t, grounds["tube"], 2), 0, 0)
	src := image.NewNRGBA(image.Rect(0, 0, 33, 21))
	for y := range 21 {
		for x := range 33 {
			v := uint8(40 * (x / 7))
			src.SetNRGBA(x, y, color.NRGBA{v, v, v, 255})
		}
	}
	l := g.Fit(Of(src), Around, 1)
	want, err := Of(src).See(g, l)
	require.NoError(t, err)
	kinds := map[string]interface {
		image.Image
		Set(x, y int, c color.Color)
	}{
		"RGBA": image.NewRGBA(src.Rect), "NRGBA64": image.NewNRGBA64(src.Rect), "RGBA64": image.NewRGBA64(src.Rect), "Gray": image.NewGray(src.Rect),
		"Gray16": image.NewGray16(src.Rect), "CMYK": image.NewCMYK(src.Rect),
		"Paletted": image.NewPaletted(src.Rect, color.Palette{color.Gray{0}, color.Gray{40}, color.Gray{80}, color.Gray{120}, color.Gray{160}}),
	}
	for name, img := range kinds {
		for y := range 21 {
			for x := range 33 {
				img.Set(x, y, src.At(x, y))
			}
		}
		got, err := Of(img).See(g, l)
		require.NoError(t, err)
		for i := range want {
			assert.InDelta(t, want[i].Light[1], got[i].Light[1], 2e-3, "%s, unit %d", name, i)
			assert.InDelta(t, 1, got[i].Cover, 1e-3)
		}
	}
	for o := 1; o <= 8; o++ {
		upright := Of(newPicture(src, o).Upright())
		l := g.Fit(upright, Around, 1)
		want, _ := upright.See(g, l)
		got, err := newPicture(src, o).See(g, l)
		require.NoError(t, err)
		for i := range want {
			assert.InDelta(t, want[i].Light[1], got[i].Light[1], 1e-9, "orientation %d, unit %d", o, i)
		}
	}
}

func TestClearPartsCoverNothing(t *testing.T) {
	g := groundOf(t, figureOf(t, grounds["tube"], 7), 0, 0)
	img := image.NewNRGBA(image.Rect(0, 0, 140, 100))
	for y := range 100 {
		for x := range 70 {
			img.SetNRGBA(x, y, color.NRGBA{200, 0, 0, 128})
		}
	}
	seen, err := Of(img).See(g, g.Fit(Of(img), Around, 1))
	require.NoError(t, err)
	for i, s := range seen {
		switch turn := g.units[i].turn; {
		case turn > 0.05 && turn < 0.45:
			assert.InDelta(t, 0, s.Cover, 1e-6)
		case turn < -0.05 && turn > -0.45:
			assert.InDelta(t, 128.0/255, s.Cover, 1e-3)
			assert.InDelta(t, toLinear(200.0/255), s.Light[0], 1e-3, "what is half clear has its own colour")
		}
	}
}

func TestPictureOnTheFrontLeavesTheBackAlone(t *testing.T) {
	g := groundOf(t, figureOf(t, grounds["tube"], 7), 2, 4)
	img := Of(painted(10, "rr", "rr"))
	for _, way := range []Way{Flat, Straight} {
		seen, err := img.See(g, g.Fit(img, way, 1))
		require.NoError(t, err)
		front, back := 0, 0
		for i, s := range seen {
			if c := g.units[i]; math.Abs(c.turn) > 0.3 && s.Cover > 0 {
				back++
			} else if math.Abs(c.turn) < 0.05 && s.Cover > 0.5 {
				front++
			}
		}
		assert.Zero(t, back, way)
		assert.Positive(t, front, way)
		assert.Equal(t, 3*14, len(seen), "rings 2 to 4")
	}
}

// On a tube of n units seen straight on, a place at half the radius is at 30° (sine), a twelfth of a turn: there the picture's quarter lies.
func TestSeenStraightOnTheSidesAreForeshortened(t *testing.T) {
	f := figure.Tube("t", unit, papers, 120, 3)
	f.Front = 0
	g := groundOf(t, f, 0, 0)
	img := Of(painted(30, "kwwk")) // the white is the middle half
	l := Lay{Way: Straight, Y: 1.5, Width: 2 * 120 / (2 * math.Pi), Height: 10}
	seen, err := img.See(g, l)
	require.NoError(t, err)
	white := 0
	for i, s := range seen {
		if g.units[i].ring == 0 && s.Cover > 0.5 && s.Light[1] > 0.5 {
			white++
		}
	}
	assert.InDelta(t, 120/6, white, 1, "from −30° to 30°")
	flat := Lay{Way: Flat, Y: 1.5, Width: 60, Height: 10}
	seen, err = img.See(g, flat)
	require.NoError(t, err)
	white = 0
	for i, s := range seen {
		if g.units[i].ring == 0 && s.Cover > 0.5 && s.Light[1] > 0.5 {
			white++
		}
	}
	assert.InDelta(t, 30, white, 1, "half of 60 units")
}

func TestPictureThatIsRepeatedIsAlikeAllAround(t *testing.T) {
	f := figure.Tube("t", unit, papers, 24, 4)
	g := groundOf(t, f, 0, 0)
	img := Of(noise(60, 40, 5))
	for _, way := range []Way{Around, Flat, Straight} {
		seen, err := img.See(g, g.Fit(img, way, 3))
		require.NoError(t, err)
		for i := range seen {
			ring, unit := i/24, i%24
			other := seen[24*ring+(unit+8)%24]
			assert.InDelta(t, seen[i].Cover, other.Cover, 1e-6, way)
			if seen[i].Cover > 0.1 {
				assert.InDelta(t, seen[i].Light[0], other.Light[0], 1e-6, way)
			}
		}
	}
}

func TestLaysThatMakeNoSenseAreRefused(t *testing.T) {
	g := groundOf(t, figureOf(t, grounds["tube"], 7), 0, 0)
	img := Of(painted(10, "rr"))
	for want, l := range map[string]Lay{
		"around, flat or straight": {Way: "upside down", Width: 1, Height: 1},
		"repeated 1 to 100 times":  {Way: Flat, Width: 1, Height: 1, Times: 101},
		"place and turn":           {Way: Flat, Width: 1, Height: 1, X: math.NaN()},
		"units wide and high":      {Way: Flat, Width: math.Inf(1), Height: 1},
	} {
		_, err := img.See(g, l)
		assert.ErrorContains(t, err, want)
	}
	for _, rows := range [][2]int{{0, 6}, {4, 3}, {-1, 2}} {
		_, err := NewGround(g.Figure, shape.FromMemory(unit), 0, rows[0], rows[1])
		assert.ErrorContains(t, err, "rings 1 to 5")
	}
	_, err := NewGround(g.Figure, shape.FromMemory(unit), 9, 0, 0)
	assert.ErrorContains(t, err, "no such part")
}

// Every colour that a JPEG can hold becomes the one that image/color makes of it, in all ways in which pixels share it.
func TestColoursOfJPEGsAreThoseOfTheStandardLibrary(t *testing.T) {
	by := rand.New(rand.NewPCG(21, 1))
	for _, ratio := range []image.YCbCrSubsampleRatio{image.YCbCrSubsampleRatio444, image.YCbCrSubsampleRatio422, image.YCbCrSubsampleRatio420,
		image.YCbCrSubsampleRatio440, image.YCbCrSubsampleRatio411, image.YCbCrSubsampleRatio410} {
		m := image.NewYCbCr(image.Rect(0, 0, 509, 9), ratio)
		for _, plane := range [][]byte{m.Y, m.Cb, m.Cr} {
			for i := range plane {
				plane[i] = uint8(by.IntN(256))
				if i%5 == 0 {
					plane[i] = 255 * uint8(by.IntN(2)) // the far ends
				}
			}
		}
		row := newRowSums(509)
		for y := range 9 {
			row.read(m, y)
			for x := range 509 {
				c := color.NRGBAModel.Convert(m.At(x, y)).(color.NRGBA)
				for k, v := range []uint8{c.R, c.G, c.B, 255} {
					want := lightOf[v]
					if k == 3 {
						want = full
					}
					require.Equal(t, want, uint32(row[x+1].channels()[k]-row[x].channels()[k]), "%v, pixel %d, %d, channel %d", ratio, x, y, k)
				}
			}
		}
	}
}
