package draw

import (
	"bytes"
	"compress/gzip"
	"compress/zlib"
	"encoding/binary"
	"encoding/xml"
	"fmt"
	"image"
	"image/color"
	"image/png"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tuckring/internal/figure"
	"tuckring/internal/shelf"
	"tuckring/internal/words"
)

// plainWall is a plain figure of so many rings and units, its colours in diagonal stripes.
func plainWall(t testing.TB, rings, units, colours int) *figure.Figure {
	t.Helper()
	var b strings.Builder
	b.WriteString(`{"tuckring":1,"title":"Wall & <tower>","unit":{"long_mm":52,"short_mm":37},"colours":[`)
	for i := range colours {
		if i > 0 {
			b.WriteByte(',')
		}
		fmt.Fprintf(&b, `{"id":"c%d","name":"Paper %d","hex":"#%02x%02x%02x"}`, i, i, (30+i*15)%256, (968-i*12)%256, (i*67)%256)
	}
	b.WriteString(`],"rings":[`)
	for r := range rings {
		if r > 0 {
			b.WriteByte(',')
		}
		b.WriteString(`{"runs":[`)
		for u := range units {
			if u > 0 {
				b.WriteByte(',')
			}
			fmt.Fprintf(&b, `{"n":1,"colour":"c%d"}`, (u/3+r/2)%colours)
		}
		b.WriteString(`]}`)
	}
	b.WriteString(`],"front":0}`)
	f, err := figure.Read([]byte(b.String()))
	require.NoError(t, err)
	return f
}

func drawings(t testing.TB) map[string]*Drawing {
	out := map[string]*Drawing{}
	for _, d := range shelf.Demo() {
		out[d.Name+" pattern"] = Pattern(d.Figure, PatternOptions{Legend: true, Signs: true})
		out[d.Name+" bare"] = Pattern(d.Figure, PatternOptions{Bare: true})
		out[d.Name+" card"] = Thumbnail(d.Figure, 60)
		out[d.Name+" views"] = Views(d.Figure, nil)
	}
	out["markup"] = Pattern(plainWall(t, 3, 8, 2), PatternOptions{Legend: true})
	return out
}

func TestSVGIsWellFormed(t *testing.T) {
	for name, d := range drawings(t) {
		dec := xml.NewDecoder(bytes.NewReader(d.SVG()))
		elements := 0
		for {
			tok, err := dec.Token()
			if err == io.EOF {
				break
			}
			require.NoError(t, err, name)
			if _, ok := tok.(xml.StartElement); ok {
				elements++
			}
		}
		assert.Greater(t, elements, 3, name)
	}
	assert.Contains(t, string(drawings(t)["markup"].SVG()), "Wall &amp; &lt;tower&gt;")
}

func TestSameDrawingGivesTheSameBytes(t *testing.T) {
	first, second := drawings(t), drawings(t)
	for name, d := range first {
		assert.Equal(t, d.SVG(), second[name].SVG(), name)
	}
	encode := func(of map[string]*Drawing) map[string][]byte {
		out := map[string][]byte{}
		for _, name := range []string{"puffin pattern", "honey-jar card"} {
			for _, format := range []Format{PNG, PDF} {
				raw, err := of[name].Encode(format, 3)
				require.NoError(t, err)
				out[name+" as "+string(format)] = raw
			}
		}
		return out
	}
	before := encode(first)
	time.Sleep(1100 * time.Millisecond) // PDF and OpenType count time in seconds
	for name, raw := range encode(second) {
		assert.True(t, bytes.Equal(before[name], raw), name)
	}
}

// The PNG of a bare pattern shows every unit's paper where the craft says it sits: units 5 mm wide,
// ring above ring by 0.83 of that, every other ring half a unit further (common practice). The left
// leaf is the paper lightened, the right one darkened, so the paper lies between the two.
func TestPNGShowsEveryUnitInItsPlace(t *testing.T) {
	f := plainWall(t, 6, 12, 5)
	f.Front = 6 // so that the picture begins half a unit left of unit 0's middle of ring 1
	const scale = 10.0
	d := Pattern(f, PatternOptions{Bare: true})
	raw, err := d.PNG(scale)
	require.NoError(t, err)
	img, err := png.Decode(bytes.NewReader(raw))
	require.NoError(t, err)
	for ring := range 6 {
		for unit := range 12 {
			middle := 3.5 + 5*float64(unit) // mm; the picture leaves half a unit and 1 mm at the sides
			if ring%2 == 1 {
				middle += 2.5
			}
			if middle > 3.5+5*11.9 {
				continue // the unit that the picture's edge cuts is drawn at the left
			}
			y := d.Height - 1.75 - (float64(ring)+0.7)*0.83*5
			left, right := at(img, (middle-0.8)*scale, y*scale), at(img, (middle+0.8)*scale, y*scale)
			paper := f.Colours[f.Rings[ring].Cells[unit].Colour].Hex
			want, _ := FromHex(paper)
			for i, w := range []uint8{want.R, want.G, want.B} {
				l, r := []uint8{left.R, left.G, left.B}[i], []uint8{right.R, right.G, right.B}[i]
				assert.GreaterOrEqual(t, l, w, "ring %d unit %d left", ring+1, unit)
				assert.LessOrEqual(t, int(r), max(int(w), 48), "ring %d unit %d right", ring+1, unit)
				assert.InDelta(t, float64(w), float64(l), 46)
				assert.InDelta(t, float64(w), float64(r), 46)
			}
		}
	}
}

func at(img image.Image, x, y float64) color.NRGBA {
	return color.NRGBAModel.Convert(img.At(int(x), int(y))).(color.NRGBA)
}

func TestPicturesAreNotBlank(t *testing.T) {
	for name, d := range drawings(t) {
		raw, err := d.PNG(2)
		require.NoError(t, err, name)
		img, err := png.Decode(bytes.NewReader(raw))
		require.NoError(t, err, name)
		seen := map[color.Color]bool{}
		painted, all := 0, 0
		b := img.Bounds()
		for y := b.Min.Y; y < b.Max.Y; y++ {
			for x := b.Min.X; x < b.Max.X; x++ {
				c := img.At(x, y)
				seen[c] = true
				if _, _, _, a := c.RGBA(); a > 0 {
					painted++
				}
				all++
			}
		}
		assert.Greater(t, len(seen), 20, name)
		assert.Greater(t, float64(painted)/float64(all), 0.05, name)
	}
}

func TestPDFCarriesRealText(t *testing.T) {
	puffin := shelf.Demo()[0].Figure
	raw, err := Pattern(puffin, PatternOptions{Legend: true}).PDF()
	require.NoError(t, err)
	text := pdfText(t, raw)
	for _, want := range []string{"Puffin on the quay", "front", "Soot: 433 units", "right wing: 6 units tucked in, S Soot", "left eye rim: disc of 14 mm glued on, O"} {
		assert.Contains(t, text, want)
	}
}

// pdfText is what poppler's pdftotext reads out of a file.
func pdfText(t testing.TB, raw []byte) string {
	t.Helper()
	file := filepath.Join(t.TempDir(), "drawing.pdf")
	require.NoError(t, os.WriteFile(file, raw, 0o600))
	out, err := exec.Command("pdftotext", "-layout", file, "-").CombinedOutput()
	require.NoError(t, err, string(out))
	return string(out)
}

func TestEncodeRefusesWhatItCannotDraw(t *testing.T) {
	d := NewDrawing(10, 10, "")
	_, err := d.Encode("bmp", 0)
	assert.ErrorContains(t, err, "bmp")
	_, err = NewDrawing(0, 10, "").Encode(SVG, 0)
	assert.ErrorContains(t, err, "no area")
	_, err = d.PNG(0.01)
	assert.ErrorContains(t, err, "less than one pixel")
}

// A picture of 12 800 units stays small enough for a page (the card's own limit: 100 kB packed).
func TestPagePictureStaysSmall(t *testing.T) {
	d := Pattern(plainWall(t, 200, 64, 12), PatternOptions{Bare: true})
	var packed bytes.Buffer
	z := gzip.NewWriter(&packed)
	_, err := z.Write(d.SVG())
	require.NoError(t, err)
	require.NoError(t, z.Close())
	assert.Less(t, packed.Len(), 100_000)
	t.Logf("%d bytes, %d packed", len(d.SVG()), packed.Len())
}

// However large a figure, its card stays small enough for a shelf of many; it keeps the papers in
// their places.
func TestCardOfALargeFigureStaysSmall(t *testing.T) {
	f := plainWall(t, 200, 64, 2)
	for ring := range f.Rings {
		for unit := range f.Rings[ring].Cells {
			f.Rings[ring].Cells[unit].Colour = uint8(ring / 100)
		}
	}
	d := Thumbnail(f, 60)
	assert.Less(t, len(d.SVG()), 400_000)
	raw, err := d.PNG(4)
	require.NoError(t, err)
	img, err := png.Decode(bytes.NewReader(raw))
	require.NoError(t, err)
	lower, upper := at(img, 120, 180), at(img, 120, 70)
	assert.Greater(t, lower.G, upper.G, "the lower half is the greener paper")
	assert.Less(t, lower.R, upper.R)
}

func BenchmarkPatternSVG(b *testing.B) {
	for _, size := range [][2]int{{200, 64}, {500, 200}} {
		f := plainWall(b, size[0], size[1], 12)
		b.Run(fmt.Sprintf("%d", size[0]*size[1]), func(b *testing.B) {
			for b.Loop() {
				b.SetBytes(int64(len(Pattern(f, PatternOptions{Bare: true}).SVG())))
			}
		})
	}
}

func BenchmarkStandSVG(b *testing.B) {
	f := plainWall(b, 200, 64, 12)
	for b.Loop() {
		b.SetBytes(int64(len(Stand(f, Front, nil).SVG())))
	}
}

func BenchmarkThumbnail(b *testing.B) {
	f := shelf.Demo()[0].Figure
	for b.Loop() {
		b.SetBytes(int64(len(Thumbnail(f, 60).SVG())))
	}
}

func BenchmarkPatternPNG(b *testing.B) {
	f := plainWall(b, 200, 64, 12)
	for b.Loop() {
		raw, err := Pattern(f, PatternOptions{}).PNG(0)
		require.NoError(b, err)
		b.SetBytes(int64(len(raw)))
	}
}

// The time of writing would make every file different.
func TestPDFDoesNotSayWhenItWasWritten(t *testing.T) {
	raw, err := NewDrawing(10, 10, "x").PDF()
	require.NoError(t, err)
	assert.Contains(t, string(raw), "/CreationDate(D:20000101000000")
}

// The fonts of a file from which the hour was taken are whole: poppler reads the file without a
// complaint and finds both fonts embedded, and all words of a font add up to 0xB1B0AFBA (OpenType 1.9,
// table head, checksumAdjustment).
func TestFontsInAPDFAreWhole(t *testing.T) {
	puffin := shelf.Demo()[0].Figure
	raw, err := Handout(puffin, A4, words.English).PDF()
	require.NoError(t, err)
	file := filepath.Join(t.TempDir(), "handout.pdf")
	require.NoError(t, os.WriteFile(file, raw, 0o600))
	out, err := exec.Command("pdffonts", file).CombinedOutput()
	require.NoError(t, err, string(out))
	for _, font := range []string{"GoRegular", "Go-Bold"} {
		assert.Regexp(t, `SUBSET\+`+font+` +CID TrueType +Identity-H +yes`, string(out))
	}
	assert.NotContains(t, string(out), "Error")

	fonts := 0
	for rest := raw; ; {
		_, after, found := bytes.Cut(rest, []byte(">>stream\n"))
		if !found {
			break
		}
		rest = after
		r, err := zlib.NewReader(bytes.NewReader(after))
		require.NoError(t, err)
		plain, err := io.ReadAll(r)
		require.NoError(t, err)
		if !bytes.HasPrefix(plain, []byte{0, 1, 0, 0}) {
			continue
		}
		fonts++
		sum := uint32(0)
		for i := 0; i < len(plain); i += 4 {
			sum += binary.BigEndian.Uint32(plain[i:])
		}
		assert.Equal(t, uint32(0xB1B0AFBA), sum)
	}
	assert.Equal(t, 2, fonts)
}

// A tube of 24 × 6 units of A9 (leg 18.5 mm) measures 24 × 10.73 / 3.1416 = 82.0 mm between its points, with
// 18.5 × (cos 18° − sin 18°) = 11.9 mm of spine on either side 105.7 mm, and 23.3 + 5 × 8.88 = 67.7 mm of height (from
// memory). Seen level from the front its drawing is as wide and as high, but for the tips of free points.
func TestStandingFigureIsDrawnAsLargeAsItIs(t *testing.T) {
	f := figure.Tube("Tube", figure.Unit{LongMM: 52, ShortMM: 37, Fold: figure.Doubled}, []figure.Colour{{ID: "a", Name: "A", Hex: "#aa0000"}}, 24, 6)
	s := newStage(f, View{})
	s.rings()
	assert.InDelta(t, 105.7, s.max.X-s.min.X, 0.02*105.7)
	assert.InDelta(t, 67.7, s.max.Y-s.min.Y, 0.04*67.7)
}
