package e2e_test

import (
	"image"
	"image/color"
	"image/png"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tuckring/internal/figure"
	"tuckring/web/e2e"
)

// emblem is a picture of our own: a dark lighthouse with a lit lantern on a sea-green ground.
func emblem(t *testing.T) string {
	t.Helper()
	const w, h = 240, 360
	img := image.NewNRGBA(image.Rect(0, 0, w, h))
	sea, soot, chalk := color.NRGBA{0x0b, 0x6e, 0x6e, 255}, color.NRGBA{0x2b, 0x2b, 0x2e, 255}, color.NRGBA{0xf4, 0xef, 0xe6, 255}
	for y := range h {
		for x := range w {
			across, c := math.Abs(float64(x)-w/2), sea
			switch {
			case y < 110 && math.Hypot(across, float64(y-90)) < 34:
				c = chalk
			case y >= 110 && across < 26+float64(y-110)*0.14:
				if c = soot; y/50%2 == 0 {
					c = chalk
				}
			}
			img.SetNRGBA(x, y, c)
		}
	}
	return writePNG(t, "lighthouse.png", img)
}

// writePNG keeps a picture as a file for this test.
func writePNG(t testing.TB, name string, img image.Image) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), name)
	file, err := os.Create(path)
	require.NoError(t, err)
	require.NoError(t, png.Encode(file, img))
	require.NoError(t, file.Close())
	return path
}

// countOf is how many units a figure has of a colour.
func countOf(f *figure.Figure, id string) (n int) {
	for _, r := range f.Rings {
		for _, c := range r.Cells {
			if f.Colours[c.Colour].ID == id {
				n++
			}
		}
	}
	return n
}

const laid = "+document.querySelector('.picture-part').dataset.laid > 0"

// A picture is laid on the front, moved by hand and taken: one step, which one undo takes back. Leaving it changes nothing.
func TestMakerLaysAPictureOverTheGrid(t *testing.T) {
	file := emblem(t)
	e2e.OnEachScreen(t, func(t *testing.T, app *e2e.App, maker *e2e.Person) {
		base := app.KeepFigure(t, seasideTube(24, 20))
		openEditor(maker, base)
		before := kept(t, app, base).Write()
		part(maker, "picture")
		maker.View("laying-start")
		maker.Upload("Choose a picture", file)
		maker.Until("the picture is laid", laid)
		maker.View("laying-around")
		assert.Equal(t, 480, e2e.Eval[int](maker, "+document.querySelector('.picture-part').dataset.laid"), "around the whole it covers every unit")
		maker.Choose("How it lies", "On the front, as a label on a jar")
		maker.Until("the picture lies on the front", laid+" && +document.querySelector('.picture-part').dataset.laid < 480")
		maker.View("laying-front")
		maker.FitsWidth()
		maker.CheckAccess()

		part(maker, "parts")
		maker.Sees("Your picture is put aside")
		part(maker, "picture")
		maker.SeesNot("Your picture is put aside")
		maker.Until("the picture is laid again", laid)

		grid := maker.MiddleOf(".stage")
		shown := e2e.Eval[string](maker, "document.querySelector('#lay-x').value")
		maker.Stroke(grid, e2e.Point{X: grid.X + 40, Y: grid.Y - 10})
		maker.Until("it was moved", laid+" && document.querySelector('#lay-x').value !== '"+shown+"'")
		assert.Equal(t, before, kept(t, app, base).Write(), "nothing is changed before it is taken")
		maker.View("laying-moved")
		maker.Press("Leave it")
		maker.Until("the picture is gone", "document.querySelector('.picture-part form').hidden")
		assert.Equal(t, before, kept(t, app, base).Write(), "nor when it is left")

		maker.Upload("Choose a picture", file)
		maker.Until("the picture is laid", laid)
		e2e.Eval[bool](maker, "(window.asked = 0, document.querySelector('.picture-start').addEventListener('click', () => asked++), document.querySelector('.panel-body').scrollTop = 0, true)")
		maker.Press("Take it")
		settled(maker)
		assert.Zero(t, e2e.Eval[int](maker, "asked"), "the press reaches nothing that comes to lie there: no other picture is asked for")
		f := kept(t, app, base)
		assert.Greater(t, countOf(f, "sea"), 240, "the ground is most of the picture")
		assert.Greater(t, countOf(f, "soot"), 10)
		assert.Equal(t, "c", strings.ToLower(f.Colours[f.Rings[14].Cells[12].Colour].ID[:1]), "the lantern is chalk at the front")
		if maker.Width() < 960 {
			maker.Press("Back to the pattern")
		}
		maker.Press("Undo")
		settled(maker)
		assert.Equal(t, before, kept(t, app, base).Write(), "one undo takes it back")
	})
}

// Papers are read from a photo of them beside a white sheet, in lamp light: a red and a blue come near what they are.
func TestMakerTakesColoursFromAPhoto(t *testing.T) {
	lamp := [3]float64{0.9, 0.75, 0.5} // of the light a white sheet gives back, as sRGB values
	img := image.NewNRGBA(image.Rect(0, 0, 300, 200))
	sheets := [3]color.NRGBA{{255, 255, 255, 255}, {0xd8, 0x40, 0x2f, 255}, {0x22, 0x77, 0xa0, 255}}
	for y := range 200 {
		for x := range 300 {
			c := sheets[x/100]
			img.SetNRGBA(x, y, color.NRGBA{uint8(float64(c.R) * lamp[0]), uint8(float64(c.G) * lamp[1]), uint8(float64(c.B) * lamp[2]), 255})
		}
	}
	path := writePNG(t, "papers.png", img)
	app := e2e.Start(t)
	maker := app.Phone(t)
	base := app.KeepFigure(t, seasideTube(12, 6))
	openEditor(maker, base)
	maker.Press("Add a colour")
	maker.Press("From a photo of your papers")
	maker.Upload("Choose or take a photo", path)
	maker.Sees("Touch the white sheet.")
	for _, share := range []float64{0.16, 0.5, 0.83} {
		box := e2e.Eval[[]float64](maker, "(() => { const b = document.querySelector('canvas.photo').getBoundingClientRect(); return [b.left, b.top, b.width, b.height]; })()")
		maker.PressAt(e2e.Point{X: box[0] + share*box[2], Y: box[1] + box[3]/2})
	}
	maker.Finds("Add 2 colours")
	maker.View("photo-papers")
	maker.CheckAccess()
	maker.FitsWidth()
	maker.Press("Add 2 colours")
	settled(maker)
	added := kept(t, app, base).Colours[3:]
	require.Len(t, added, 2)
	assert.Equal(t, []string{"Poppy red, from a photo", "Sea blue, from a photo"}, []string{added[0].Name, added[1].Name})
}
