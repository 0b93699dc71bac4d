package e2e_test

import (
	"bytes"
	"errors"
	"image"
	"image/png"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/image/draw"

	"tuckring/internal/picture/scenes"
	"tuckring/internal/solid/solidtest"
	"tuckring/web/e2e"
)

// The pictures of the README are taken here, into tmp/pictures; `make pictures` puts them into
// testdata/pictures.
func TestPicturesOfTheReadme(t *testing.T) {
	app := e2e.Start(t)
	base := app.KeepDemo(t)["puffin"]

	desk := app.Screen(t, 1280, 860, false)
	desk.Open(base)
	desk.Until("the pattern is painted", "document.querySelector('[role=grid]')")
	desk.Sees("648 units in all")
	readmePicture(t, desk.View("readme-editor"))
	desk.Open(base + "/report")
	desk.Sees("Units to fold")
	readmePicture(t, desk.View("readme-report"))
	desk.Open(base + "/list")
	pdf := desk.Keep("readme-list.pdf", desk.Print(chromedp.PaperA4))
	list := strings.TrimSuffix(pdf, ".pdf")
	out, err := exec.Command("pdftoppm", "-png", "-singlefile", "-r", "80", pdf, list).CombinedOutput()
	require.NoError(t, err, string(out))
	readmePicture(t, list+".png")

	phone := app.Phone(t)
	phone.Open(base)
	phone.Until("the pattern is painted", "document.querySelector('[role=grid]')")
	halve(t, phone.View("readme-phone"))

	calm(phone)
	owl := modelOwl(t, app, phone)
	openStand(phone, owl)
	halve(t, phone.View("readme-stand"))
	phone.Open(owl + "/check")
	phone.Sees("about the pattern.")
	phone.SeesNot("about building")
	for name, model := range map[string][]byte{"owl": solidtest.Owl().GLB(), "lighthouse": solidtest.Lighthouse().GLB()} {
		file := filepath.Join(t.TempDir(), name+".glb")
		require.NoError(t, os.WriteFile(file, model, 0o600))
		phone.Open("/new?begin=solid")
		phone.Upload("Solid", file)
		phone.Press("Open")
		phone.Until("it stands in 3D", "document.querySelector('#solid-view')?.dataset.shows?.includes('title="+name+"')")
		halve(t, phone.View("readme-solid-"+name))
	}
	for _, drawn := range []struct {
		name, way, units, colours string
		scene                     image.Image
	}{
		{"lighthouse", "The figure takes on its outline, and its front shows the picture", "40", "5", scenes.Lighthouse()},
		{"puffin", "The figure takes on its outline, and its front shows the picture", "48", "7", scenes.Puffin()},
		{"dusk", "A tube with the picture all around", "48", "12", scenes.Dusk()},
	} {
		file := filepath.Join(t.TempDir(), drawn.name+".png")
		var b bytes.Buffer
		require.NoError(t, png.Encode(&b, drawn.scene))
		require.NoError(t, os.WriteFile(file, b.Bytes(), 0o600))
		phone.Open("/new?begin=picture")
		phone.Upload("Picture", file)
		phone.Fill("Title", strings.ToUpper(drawn.name[:1])+drawn.name[1:])
		phone.Press(drawn.way)
		phone.Fill("Units in the widest ring", drawn.units)
		phone.Fill("Colours at most", drawn.colours)
		phone.Press("Make the figure")
		phone.Until("the editor is there", "document.querySelector('.pattern.ready [role=gridcell]')")
		openStand(phone, phone.Path())
		lookFrom(phone, "Front")
		halve(t, phone.View("readme-picture-"+drawn.name))
	}
	desk.Open(owl)
	desk.Until("the pattern is painted", "document.querySelector('[role=grid]')")
	desk.PressAt(desk.MiddleOf("#tab-stand"))
	desk.SeesNot("Guest") // the phone has left the pattern
	desk.Until("the figure stands beside the grid", "document.querySelector('.beside[data-stands] canvas[data-calls]')")
	readmePicture(t, desk.View("readme-beside"))
}

// halve brings a phone's picture, which has more than one pixel to a CSS pixel, to half its size.
func halve(t *testing.T, path string) {
	t.Helper()
	img := picture(t, path)
	half := image.NewRGBA(image.Rect(0, 0, img.Bounds().Dx()/2, img.Bounds().Dy()/2))
	draw.CatmullRom.Scale(half, half.Bounds(), img, img.Bounds(), draw.Src, nil)
	file, err := os.Create(path)
	require.NoError(t, err)
	require.NoError(t, errors.Join(png.Encode(file, half), file.Close()))
	readmePicture(t, path)
}

// readmePicture checks that a picture shows something and is small enough for a README.
func readmePicture(t *testing.T, path string) {
	t.Helper()
	img := picture(t, path)
	colours := map[[3]uint32]bool{}
	for y := img.Bounds().Min.Y; y < img.Bounds().Max.Y; y += 7 {
		for x := img.Bounds().Min.X; x < img.Bounds().Max.X; x += 7 {
			r, g, b, _ := img.At(x, y).RGBA()
			colours[[3]uint32{r, g, b}] = true
		}
	}
	assert.Greater(t, len(colours), 8, "%s is nearly blank", filepath.Base(path))
	info, err := os.Stat(path)
	require.NoError(t, err)
	assert.Less(t, info.Size(), int64(450_000), filepath.Base(path))
}
