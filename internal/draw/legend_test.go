package draw

import (
	"bytes"
	"image/png"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tuckring/internal/figure"
	"tuckring/internal/shelf"
	"tuckring/internal/words"
)

// A paper that waits in the palette is in no legend; one of which only glued pieces are cut is, without units.
func TestLegendsLeaveOutColoursThatAreNotUsed(t *testing.T) {
	f := plainWall(t, 3, 12, 4)
	for i := range f.Rings {
		for k := range f.Rings[i].Cells {
			f.Rings[i].Cells[k].Colour = 0
		}
	}
	f.Extras = []figure.Extra{{ID: 1, Kind: figure.Glued, Name: "eye", Colour: "c2", Ring: 2, At: 3, Outline: figure.Disc, Diameter: 9}}
	cards, err := Cards(f, A4, words.English)
	require.NoError(t, err)
	for name, pages := range map[string]Pages{"pattern": {Pattern(f, PatternOptions{Signs: true, Legend: true})},
		"handout": Handout(f, A4, words.English), "cards": cards} {
		all := ""
		for _, p := range pages {
			all += strings.Join(texts(p), "\n") + "\n"
		}
		assert.Contains(t, all, "Paper 0: 36 units", name)
		assert.Contains(t, all, "Paper 2: glued pieces only", name)
		assert.NotContains(t, all, "Paper 1", name)
		assert.NotContains(t, all, "Paper 3", name)
	}
}

// Names of 80 letters, all alike but for their ends, are told apart in the legends of pattern and handout: they are
// written out, on more lines.
func TestLegendsWriteLongNamesOut(t *testing.T) {
	f := plainWall(t, 6, 12, 6)
	for i := range f.Colours {
		f.Colours[i].Name = strings.Repeat("Handmade paper ", 4) + "of lot " + strconv.Itoa(i)
	}
	for name, pages := range map[string]Pages{"pattern": {Pattern(f, PatternOptions{Signs: true, Legend: true})}, "handout": Handout(f, A4, words.English)} {
		all := ""
		for _, p := range pages {
			all += strings.Join(texts(p), " ") + " "
			for _, it := range p.items {
				if it.text != nil && it.text.Anchor == Start {
					assert.LessOrEqual(t, it.text.X+TextWidth(it.text.Text, it.text.Size, it.text.Bold), p.Width+0.01, "%s: %s", name, it.text.Text)
				}
			}
		}
		for i := range f.Colours {
			assert.Contains(t, all, "of lot "+strconv.Itoa(i)+": ", name)
		}
	}
}

func lighthouse() *figure.Figure {
	demo := shelf.Demo()
	return demo[slices.IndexFunc(demo, func(d shelf.Figure) bool { return len(d.Figure.Rings) == 35 })].Figure
}

// An extra is told with its colour and sign, a glued piece with its size: who builds must know what to take.
func TestLegendTellsColourAndSizeOfExtras(t *testing.T) {
	f := lighthouse()
	var got []string
	for i := range f.Extras {
		got = append(got, ExtraText(f, &f.Extras[i]).String())
	}
	assert.Equal(t, []string{"finial: 2 units tucked in, O Soot, ring 35", "lamp: disc of 16 mm glued on, L Lamplight, ring 30"}, got)
}

// The lighthouse's finial stands on the front line, so that from the front its leaves are seen edge-on: its colour is
// seen even so, on the pattern and on the standing figure, above the red roof.
func TestTuckedUnitsSeenEdgeOnShowTheirColour(t *testing.T) {
	f := lighthouse()
	for name, d := range map[string]*Drawing{"pattern": Pattern(f, PatternOptions{Width: 8}), "figure": Stand(f, Front, words.English)} {
		d.items = slices.DeleteFunc(d.items, func(it item) bool { return it.text != nil })
		data, err := d.OnWhite().PNG(4)
		require.NoError(t, err, name)
		picture, err := png.Decode(bytes.NewReader(data))
		require.NoError(t, err, name)
		dark := 0
		for y := range picture.Bounds().Dy() / 6 {
			for x := range picture.Bounds().Dx() {
				r, g, b, _ := picture.At(x, y).RGBA()
				if r>>8 < 0x50 && g>>8 < 0x50 && b>>8 < 0x50 {
					dark++
				}
			}
		}
		assert.Greater(t, dark, 350, name)
	}
}

// The honey jar's bow is tied under its lid, whose spines stand out further: as in 3D, the lid is drawn over it. The
// lighthouse's finial has nothing above it, and is drawn last.
func TestALidHidesWhatIsTuckedUnderIt(t *testing.T) {
	demo := shelf.Demo()
	jar := demo[slices.IndexFunc(demo, func(d shelf.Figure) bool { return d.Figure.Title == "Honey jar" })].Figure
	s := newStage(jar, Front)
	s.roofs = []int{-1, -1}
	s.findRoofs()
	assert.Equal(t, []int{15, 15}, s.roofs, "ring 16, the rim of the lid")
	s = newStage(lighthouse(), Front)
	s.roofs = []int{-1}
	s.findRoofs()
	assert.Equal(t, []int{-1}, s.roofs)
}

// A title of any length stays in the picture.
func TestTitleStaysInThePicture(t *testing.T) {
	f := plainWall(t, 3, 12, 1)
	f.Title = strings.Repeat("W", 200)
	d := Views(f, words.English)
	for _, it := range d.items {
		if it.text != nil && it.text.Bold {
			assert.LessOrEqual(t, it.text.X+TextWidth(it.text.Text, it.text.Size, true), d.Width)
		}
	}
}

// Printed, the standing figure carries its signs where they can be read: 24 units around at 9 cm are 3.9 mm wide, 120
// are not a millimetre.
func TestPrintedFigureCarriesItsSignsWhereTheyCanBeRead(t *testing.T) {
	few := standPrinted(plainWall(t, 12, 24, 4), Front, words.English, 90, 90)
	got := map[string]int{}
	for _, s := range texts(few) {
		got[s]++
	}
	for _, sign := range plainWall(t, 12, 24, 4).Signs() {
		assert.Greater(t, got[sign], 3, sign)
	}
	assert.Empty(t, texts(standPrinted(plainWall(t, 12, 120, 4), Front, words.English, 90, 90)))
	assert.Empty(t, texts(Stand(plainWall(t, 12, 24, 4), Front, words.English)), "a picture on the screen has them by the switch")
}
