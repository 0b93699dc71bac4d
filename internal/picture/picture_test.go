package picture

import (
	"bytes"
	"encoding/base64"
	"encoding/binary"
	"hash/crc32"
	"image"
	"image/color"
	"image/gif"
	"image/jpeg"
	"image/png"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tuckring/internal/figure"
)

var (
	unit   = figure.Unit{LongMM: 52, ShortMM: 37, Fold: figure.Doubled}
	papers = []figure.Colour{{ID: "k", Name: "Soot", Hex: "#000000"}, {ID: "w", Name: "Chalk", Hex: "#ffffff"},
		{ID: "r", Name: "Brick", Hex: "#c00000"}, {ID: "g", Name: "Grey", Hex: "#bcbcbc"}}
)

// painted makes a picture of equal squares, one letter each: k, w, r, or . for clear.
func painted(square int, rows ...string) *image.NRGBA {
	img := image.NewNRGBA(image.Rect(0, 0, square*len(rows[0]), square*len(rows)))
	inks := map[byte]color.NRGBA{'k': {0, 0, 0, 255}, 'w': {255, 255, 255, 255}, 'r': {192, 0, 0, 255}, '.': {}}
	for y := range img.Rect.Dy() {
		for x := range img.Rect.Dx() {
			img.SetNRGBA(x, y, inks[rows[y/square][x/square]])
		}
	}
	return img
}

// letters gives a ring's papers by id, from unit 0.
func letters(f *figure.Figure, ring int) string {
	s := ""
	for _, c := range f.Rings[ring].Cells {
		s += f.Colours[c.Colour].ID
	}
	return s
}

// pattern lays a picture around a tube.
func pattern(t testing.TB, img image.Image, units, rings int, choice Choice) (*figure.Figure, *Result) {
	t.Helper()
	if choice.Papers == nil {
		choice.Papers = papers
	}
	f, r, err := Pattern(Of(img), Options{Title: "t", Unit: unit, Units: units, Rings: rings, Choice: choice})
	require.NoError(t, err)
	return f, r
}

// The upper edge of the picture is at the tips of the last ring, its lower edge at the foot of the first. Black and white mixed half and half
// as light is 188 of 255 in sRGB (IEC 61966-2-1), which is the grey paper, not the middle grey of 128.
func TestPictureLiesOnceAroundWithItsMiddleOnTheFrontLine(t *testing.T) {
	f, _ := pattern(t, painted(20, "kkwwwwkk"), 8, 2, Choice{})
	assert.Equal(t, 4.0, f.Front)
	assert.Equal(t, "kkgwwwgk", letters(f, 0), "units 2 and 6 are cut by the edges of the white")
	assert.Equal(t, "kkwwwwkk", letters(f, 1), "half a unit on none is")
	f, _ = pattern(t, painted(20, "rr", "ww", "ww", "kk", "kk"), 8, 10, Choice{})
	for ring, want := range []string{0: "kkkkkkkk", 2: "kkkkkkkk", 5: "wwwwwwww", 9: "rrrrrrrr"} {
		if want != "" {
			assert.Equal(t, want, letters(f, ring), "ring %d", ring+1)
		}
	}
}

func TestClearPartsCountAsWhiteOnANewTube(t *testing.T) {
	f, _ := pattern(t, painted(10, "....", "kkkk"), 4, 6, Choice{})
	assert.Equal(t, "kkkk", letters(f, 0))
	assert.Equal(t, "wwww", letters(f, 5))
}

func encoded(t testing.TB, kind string, img image.Image) []byte {
	t.Helper()
	var b bytes.Buffer
	switch kind {
	case "png":
		require.NoError(t, png.Encode(&b, img))
	case "jpeg":
		require.NoError(t, jpeg.Encode(&b, img, &jpeg.Options{Quality: 95}))
	case "gif":
		require.NoError(t, gif.Encode(&b, img, nil))
	case "webp": // one pixel, lossless
		raw, err := base64.StdEncoding.DecodeString("UklGRhoAAABXRUJQVlA4TA0AAAAvAAAAEAcQERGIiP4HAA==")
		require.NoError(t, err)
		return raw
	}
	return b.Bytes()
}

func TestReadKnowsFourFormats(t *testing.T) {
	for _, kind := range []string{"png", "jpeg", "gif", "webp"} {
		img, err := Read(bytes.NewReader(encoded(t, kind, painted(8, "kw"))))
		require.NoError(t, err, kind)
		assert.Positive(t, img.Width, kind)
	}
}

// hugePNG says in its header that it is 30 000 × 30 000 pixels.
func hugePNG() []byte {
	var b bytes.Buffer
	_ = png.Encode(&b, image.NewGray(image.Rect(0, 0, 1, 1)))
	raw := b.Bytes()
	binary.BigEndian.PutUint32(raw[16:], 30_000)
	binary.BigEndian.PutUint32(raw[20:], 30_000)
	return raw
}

func TestBadPicturesAreRefusedInPlainWords(t *testing.T) {
	whole := encoded(t, "png", painted(40, "kwr", "rwk"))
	huge := hugePNG()
	// The header's checksum would be refused first; make it right.
	binary.BigEndian.PutUint32(huge[29:], crc32.ChecksumIEEE(huge[12:29]))
	for _, c := range []struct {
		name string
		data []byte
		want string
	}{
		{"empty", nil, "The picture is empty"},
		{"text", []byte("Dear puffin"), "not a picture that can be read"},
		{"cut off", whole[:len(whole)/2], "damaged or incomplete"},
		{"huge", huge, "30000 × 30000 pixels; at most 40 million"},
		{"heavy", make([]byte, MaxBytes+1), "larger than 32 MiB"},
	} {
		_, err := Read(bytes.NewReader(c.data))
		assert.ErrorContains(t, err, c.want, c.name)
	}
}

func TestBadOptionsAreRefused(t *testing.T) {
	img := painted(4, "kw")
	for _, c := range []struct {
		o    Options
		want string
	}{
		{Options{Units: 2, Rings: 5, Choice: Choice{Papers: papers}}, "A ring has 3 to 1000 units; 2 is not possible."},
		{Options{Units: 20, Rings: 0, Choice: Choice{Papers: papers}}, "rings; 0 is not possible"},
		{Options{Units: 1000, Rings: 1000, Choice: Choice{Papers: papers}}, "1000000 units; at most 100000"},
		{Options{Units: 20, Rings: 5}, "colours; 0 is not possible"},
	} {
		_, _, err := Pattern(Of(img), c.o)
		assert.ErrorContains(t, err, c.want)
	}
	_, _, err := Pattern(Of(img), Options{Units: 20, Rings: 5, Choice: Choice{Papers: papers}, Unit: figure.Unit{LongMM: -1, ShortMM: 37, Fold: figure.Doubled}})
	assert.Error(t, err, "the document's own rules hold")
}

// For each orientation, where the stored first pixel goes (Exif 2.32, 4.6.4.A).
func TestEveryOrientationPutsTheFirstPixelInItsCorner(t *testing.T) {
	corner := map[int]image.Point{1: {0, 0}, 2: {2, 0}, 3: {2, 1}, 4: {0, 1}, 5: {0, 0}, 6: {1, 0}, 7: {1, 2}, 8: {0, 2}}
	for o, want := range corner {
		img := image.NewGray(image.Rect(0, 0, 3, 2))
		img.SetGray(0, 0, color.Gray{255})
		r, _, _, _ := newPicture(img, o).Upright().At(want.X, want.Y).RGBA()
		assert.Equal(t, uint32(0xffff), r, "orientation %d", o)
	}
}

func TestColoursComeFromLinesListsAndDocuments(t *testing.T) {
	want := []string{"#a63a2b", "#f4efe6"}
	for name, file := range map[string]string{
		"lines":    "#A63A2B Brick red\n\n#f4efe6\n",
		"list":     `[{"id":"brick","name":"Brick red","hex":"#a63a2b"},{"hex":"#f4efe6"}]`,
		"document": string(figure.Tube("t", unit, []figure.Colour{{ID: "a", Name: "A", Hex: want[0]}, {ID: "b", Name: "B", Hex: want[1]}}, 6, 2).Write()),
	} {
		colours, err := Colours([]byte(file))
		require.NoError(t, err, name)
		require.Len(t, colours, 2, name)
		assert.Equal(t, want, []string{colours[0].Hex, colours[1].Hex}, name)
	}
	for file, wrong := range map[string]string{
		"":                                "colours; 0 is not possible",
		"#a63a2b Brick\nred":              "Line 2 of the colours is “red”",
		`[{"hex":"red"}]`:                 "colours[0].hex",
		`[{"hexx":"#a63a2b"}]`:            "hexx",
		strings.Repeat("#a63a2b\n", 65):   "colours; 65 is not possible",
		`{"tuckring":1}`:                  "title",
		`[{"id":"a","hex":"#a63a2b"}] []`: "more follows",
	} {
		_, err := Colours([]byte(file))
		assert.ErrorContains(t, err, wrong, file)
	}
}

func FuzzRead(f *testing.F) {
	for _, kind := range []string{"png", "jpeg", "gif", "webp"} {
		f.Add(encoded(f, kind, painted(4, "kw", "rk")))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		img, err := Read(bytes.NewReader(data))
		if err == nil && img.Width*img.Height > MaxPixels {
			t.Fatal("too large a picture came through")
		}
	})
}

func FuzzColours(f *testing.F) {
	f.Add([]byte("#a63a2b Brick red"))
	f.Add([]byte(`[{"hex":"#f4efe6"}]`))
	f.Fuzz(func(t *testing.T, data []byte) {
		if colours, err := Colours(data); err == nil && (len(colours) == 0 || len(colours) > figure.MaxColours) {
			t.Fatalf("%d colours came through", len(colours))
		}
	})
}
