package picture

import (
	"bytes"
	"encoding/binary"
	"hash/crc32"
	"image"
	"image/color"
	"image/gif"
	"image/png"
	"os"
	"path/filepath"
	"runtime"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The files of testdata/kinds were written by the library sharp 0.35 (libvips 8.18) and show two halves, rgb(160, 32, 32) to the left and
// rgb(160, 200, 240) to the right, or clear.

func kind(t testing.TB, name string) []byte {
	t.Helper()
	data, err := os.ReadFile(filepath.Join("testdata", "kinds", name))
	require.NoError(t, err)
	return data
}

func TestEveryKindOfFileGivesItsColours(t *testing.T) {
	red, blue := color.NRGBA{160, 32, 32, 255}, color.NRGBA{160, 200, 240, 255}
	for name, want := range map[string]struct {
		left, right color.NRGBA
		off         float64 // how far a lossy format may be off, of 255
	}{
		"passes.jpg": {red, blue, 6}, "sixteen.png": {red, blue, 0}, "interlaced.png": {red, blue, 0}, "lossy.webp": {red, blue, 6},
		"moves.gif": {red, blue, 6}, "clear.png": {red, color.NRGBA{}, 0}, "clear.webp": {red, color.NRGBA{}, 6},
		"grey.jpg": {color.NRGBA{79, 79, 79, 255}, color.NRGBA{193, 193, 193, 255}, 12}, // luminance as libvips has it
	} {
		p, err := Read(bytes.NewReader(kind(t, name)))
		require.NoError(t, err, name)
		assert.Equal(t, 32, p.Width, name)
		assert.Equal(t, 16, p.Height, name)
		img := p.Upright()
		small := p.Compact()
		assert.NotContains(t, []color.Model{color.RGBA64Model, color.NRGBA64Model}, small.stored.ColorModel(), "%s: 8 bytes a pixel", name)
		assert.Equal(t, img, small.Upright(), name)
		for at, c := range map[image.Point]color.NRGBA{{4, 8}: want.left, {27, 8}: want.right} {
			got := img.NRGBAAt(at.X, at.Y)
			assert.Equal(t, c.A, got.A, "%s at %v", name, at)
			if c.A > 0 {
				for k, v := range []uint8{c.R, c.G, c.B} {
					assert.InDelta(t, v, []uint8{got.R, got.G, got.B}[k], want.off, "%s at %v", name, at)
				}
			}
		}
	}
}

// Inks are told to be inks, and become the colours that image/color makes of them.
func TestPictureInInksIsRead(t *testing.T) {
	data := kind(t, "inks.jpg")
	components, _ := jpegFrame(data)
	require.Equal(t, 4, components, "cyan, magenta, yellow and black")
	p, err := Read(bytes.NewReader(data))
	require.NoError(t, err)
	img := p.Upright()
	left, right := img.NRGBAAt(4, 8), img.NRGBAAt(27, 8)
	assert.Greater(t, int(left.R), int(left.B)+60, "the left half is red")
	assert.Greater(t, int(right.B), int(right.R)+20, "the right half is blue")
}

func TestFilesOfOtherKindsAreRefusedByName(t *testing.T) {
	for name, want := range map[string]string{"moves.webp": "This WebP picture moves", "other.tiff": "not a picture that can be read"} {
		_, err := Read(bytes.NewReader(kind(t, name)))
		assert.ErrorContains(t, err, want, name)
	}
	for name, data := range map[string]string{
		"SVG": `<svg xmlns="http://www.w3.org/2000/svg"/>`, "PDF": "%PDF-1.7\n", "HTML": "<!doctype html>", "BMP": "BM\x00\x00", "nothing but zeros": string(make([]byte, 4096)),
	} {
		_, err := Read(bytes.NewReader([]byte(data)))
		assert.ErrorContains(t, err, "not a picture that can be read", name)
	}
}

// claims are small files that say they are 50 000 × 50 000 pixels; the WebP 40 000 × 40 000, since its decoder refuses more by itself.
func claims(t testing.TB) map[string][]byte {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, png.Encode(&b, image.NewGray(image.Rect(0, 0, 1, 1))))
	asPNG := bytes.Clone(b.Bytes())
	binary.BigEndian.PutUint32(asPNG[16:], 50_000)
	binary.BigEndian.PutUint32(asPNG[20:], 50_000)
	binary.BigEndian.PutUint32(asPNG[29:], crc32.ChecksumIEEE(asPNG[12:29]))
	asJPEG := bytes.Clone(encoded(t, "jpeg", painted(8, "kw")))
	frame := bytes.Index(asJPEG, []byte{0xff, 0xc0})
	binary.BigEndian.PutUint16(asJPEG[frame+5:], 50_000)
	binary.BigEndian.PutUint16(asJPEG[frame+7:], 50_000)
	b.Reset()
	require.NoError(t, gif.Encode(&b, painted(8, "kw"), nil))
	asGIF := bytes.Clone(b.Bytes())
	binary.LittleEndian.PutUint16(asGIF[6:], 50_000)
	binary.LittleEndian.PutUint16(asGIF[8:], 50_000)
	asWebP := riffChunk("RIFF", append([]byte("WEBP"), riffChunk("VP8X", []byte{0, 0, 0, 0, 0x3f, 0x9c, 0, 0x3f, 0x9c, 0})...))
	return map[string][]byte{"png": asPNG, "jpeg": asJPEG, "gif": asGIF, "webp": asWebP}
}

// A claim is refused before anything is made of it: in less memory than a thousandth of what is claimed.
func TestClaimsOfTooManyPixelsAreRefusedBeforeTheyAreRead(t *testing.T) {
	for name, data := range claims(t) {
		var before, after runtime.MemStats
		runtime.ReadMemStats(&before)
		_, err := Read(bytes.NewReader(data))
		runtime.ReadMemStats(&after)
		assert.ErrorContains(t, err, "0000 pixels; at most 40 million", name)
		assert.Less(t, after.TotalAlloc-before.TotalAlloc, uint64(2_500_000), name)
	}
}

// What decoding takes is known before: kinds that take more of each pixel may have fewer of them.
func TestKindsThatTakeMuchMemoryMayHaveFewerPixels(t *testing.T) {
	grow := func(data []byte, marker byte, side uint16) []byte {
		data = bytes.Clone(data)
		at := bytes.Index(data, []byte{0xff, marker})
		binary.BigEndian.PutUint16(data[at+5:], side)
		binary.BigEndian.PutUint16(data[at+7:], side)
		return data
	}
	_, err := Read(bytes.NewReader(grow(kind(t, "passes.jpg"), 0xc2, 6000)))
	assert.ErrorContains(t, err, "6000 × 6000 pixels; of this kind at most 17 million", "three components in several passes: 15 bytes of each pixel")
	assert.Equal(t, 3, bytesPerPixel("jpeg", encoded(t, "jpeg", painted(8, "kw"))))
	assert.Equal(t, 6, bytesPerPixel("png", kind(t, "interlaced.png")))
	assert.Equal(t, 8, bytesPerPixel("png", kind(t, "sixteen.png")))
	assert.Equal(t, 24, bytesPerPixel("jpeg", []byte{0xff, 0xd8, 0, 0}), "of what makes no sense the worst is thought")
}

// However early a file ends: it is refused, or was whole before; never does reading fail in another way.
func TestFilesThatBreakOffAreRefused(t *testing.T) {
	for _, name := range []string{"passes.jpg", "inks.jpg", "sixteen.png", "interlaced.png", "moves.gif", "lossy.webp", "clear.webp"} {
		data := kind(t, name)
		refused := 0
		for n := range data {
			if _, err := Read(bytes.NewReader(data[:n])); err != nil {
				refused++
			}
		}
		assert.Greater(t, refused, len(data)/3, name)
	}
}

// The first picture of a GIF may cover only a part of its canvas: the rest is clear, and the whole has the canvas's size.
func TestPictureThatCoversPartOfItsCanvasStaysInItsPlace(t *testing.T) {
	small := image.NewPaletted(image.Rect(20, 4, 28, 12), color.Palette{color.NRGBA{160, 32, 32, 255}})
	var b bytes.Buffer
	require.NoError(t, gif.EncodeAll(&b, &gif.GIF{Image: []*image.Paletted{small}, Delay: []int{0}, Config: image.Config{Width: 32, Height: 16}}))
	p, err := Read(&b)
	require.NoError(t, err)
	require.Equal(t, 32, p.Width)
	assert.Equal(t, uint8(0), p.Upright().NRGBAAt(4, 8).A)
	assert.Equal(t, color.NRGBA{160, 32, 32, 255}, p.Upright().NRGBAAt(24, 8))
}

// Whatever comes in, a picture that is read can be laid, and every unit gets what it should: light from 0 to 1, and a cover from 0 to 1.
func FuzzLay(f *testing.F) {
	files, err := filepath.Glob("testdata/kinds/*")
	require.NoError(f, err)
	require.Greater(f, len(files), 8)
	for _, name := range files {
		data, err := os.ReadFile(name)
		require.NoError(f, err)
		f.Add(data, 0.5, 3.0, 4.0, 5.0, 30.0, uint8(1))
	}
	for _, data := range claims(f) {
		f.Add(data, 0.0, 0.0, 1.0, 1.0, 0.0, uint8(2))
	}
	g := groundOf(f, figureOf(f, grounds["widened"], 3.5), 0, 0)
	f.Fuzz(func(t *testing.T, data []byte, x, y, width, height, turn float64, way uint8) {
		if len(data) > 1<<16 {
			return
		}
		p, err := Read(bytes.NewReader(data))
		if err != nil || p.Width*p.Height > 1_000_000 {
			return
		}
		seen, err := p.See(g, Lay{Way: Ways[int(way)%len(Ways)], Times: int(way) / 8, X: x, Y: y, Width: width, Height: height, Turn: turn, Mirror: way&1 == 1})
		if err != nil {
			return
		}
		for i, s := range seen {
			for _, v := range append(s.Light[:], s.Cover) {
				if !(v >= 0 && v <= 1) {
					t.Fatalf("unit %d: %+v", i, s)
				}
			}
		}
	})
}
