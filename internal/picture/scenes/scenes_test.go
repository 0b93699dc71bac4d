package scenes_test

import (
	"image"
	"image/png"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tuckring/internal/figure"
	"tuckring/internal/outline"
	"tuckring/internal/picture"
	"tuckring/internal/picture/scenes"
	"tuckring/internal/shape"
)

var unit = figure.Unit{LongMM: 52, ShortMM: 37, Fold: figure.Doubled}

// ready are the ready papers.
func ready() (out []figure.Colour) {
	for _, p := range figure.Papers {
		out = append(out, figure.Colour{ID: p.ID, Name: p.Name().String(), Hex: p.Hex})
	}
	return out
}

// keep writes what a test made to TUCKRING_SHOTS, where that is asked for, to be looked at.
func keep(t *testing.T, name string, img image.Image, f *figure.Figure) {
	t.Helper()
	folder := os.Getenv("TUCKRING_SHOTS")
	if folder == "" {
		return
	}
	file, err := os.Create(filepath.Join(folder, name+".png"))
	require.NoError(t, err)
	require.NoError(t, png.Encode(file, img))
	require.NoError(t, file.Close())
	require.NoError(t, os.WriteFile(filepath.Join(folder, name+".tuckring.json"), f.Write(), 0o600))
}

func colours(f *figure.Figure) map[string]int {
	out := map[string]int{}
	for i := range f.Rings {
		for _, c := range f.Rings[i].Cells {
			out[f.Colours[c.Colour].ID]++
		}
	}
	return out
}

// The emblem becomes a tower of its own outline: broad below, narrow under the roof, in its own few papers, and the checks have nothing against it.
func TestEmblemBecomesATower(t *testing.T) {
	img := scenes.Lighthouse()
	s, err := picture.FromSilhouette(picture.Of(img), picture.Body{Title: "Lighthouse emblem", Unit: unit, Gauge: shape.FromMemory(unit), Units: 40,
		Choice: picture.Choice{Papers: ready(), Best: 5, Edges: true, Mirror: true}})
	require.NoError(t, err)
	keep(t, "lighthouse", img, s.Figure)
	assert.Nil(t, outline.Warns(s.Figure, shape.FromMemory(unit)))
	rings := s.Figure.Rings
	assert.Greater(t, len(rings[1].Cells), len(rings[len(rings)/2].Cells), "it stands on its rock")
	used := colours(s.Figure)
	for _, id := range []string{"chalk", "soot"} {
		assert.Greater(t, used[id], 20, "%s of %v", id, used)
	}
	assert.Greater(t, used["brick"]+used["poppy"], 100, "%v", used)
	assert.True(t, s.Result.Proven)
	assert.Less(t, s.Aside, 0.01)
}

// The drawing lies on the front of a tube, its paper one paper all around.
func TestDrawingLiesOnTheFrontOfATube(t *testing.T) {
	img := picture.Of(scenes.Puffin())
	f := figure.Tube("Puffin drawing", unit, ready(), 56, 44)
	g, err := picture.NewGround(f, shape.FromMemory(unit), 0, 0, 0)
	require.NoError(t, err)
	r, err := picture.Choose(g, img, g.Fit(img, picture.Straight, 1), picture.Choice{Edges: true, Clean: true, Mirror: true, Background: true, Ground: "sand"}, picture.FullWork)
	require.NoError(t, err)
	_, _, err = figure.Apply(f, r.Edit())
	require.NoError(t, err)
	keep(t, "puffin", scenes.Puffin(), f)
	used := colours(f)
	assert.Equal(t, f.Units(), r.Covered)
	assert.Greater(t, used["sand"], f.Units()/2, "the back, and around the puffin")
	for _, id := range []string{"soot", "chalk"} {
		assert.Greater(t, used[id], 50, "%s of %v", id, used)
	}
	for ring := range f.Rings { // unit 0 is at the back
		assert.Equal(t, "sand", f.Colours[f.Rings[ring].Cells[0].Colour].ID)
	}
}

// The photo goes around a tube in the eight best papers, which make up for one another, and keeps to what there is of them.
func TestPhotoGoesAroundATubeWithinAStock(t *testing.T) {
	img := picture.Of(scenes.HoneyJar())
	make := func(c picture.Choice) (*figure.Figure, *picture.Result) {
		c.Papers, c.Best = ready(), 8
		f, r, err := picture.Pattern(img, picture.Options{Title: "Honey jar", Unit: unit, Units: 64, Rings: 58, Choice: c})
		require.NoError(t, err)
		return f, r
	}
	f, plain := make(picture.Choice{})
	assert.True(t, plain.Proven)
	assert.Less(t, plain.Mean, 12.0)
	assert.Len(t, f.Colours, 8)
	spread, _ := make(picture.Choice{Spread: 0.8, Edges: true})
	keep(t, "honey-jar", scenes.HoneyJar(), spread)
	scarce := map[string]int{}
	for _, use := range plain.By {
		if use.Laid > 400 {
			scarce[use.Colour.ID] = use.Laid / 2
		}
	}
	require.NotEmpty(t, scarce)
	_, short := make(picture.Choice{Stock: scarce})
	assert.Greater(t, short.Mean, plain.Mean)
	for _, use := range short.By {
		if use.Scarce {
			assert.LessOrEqual(t, use.Units, use.Stock)
		}
	}
}

func TestScenesAreTheSameEveryTime(t *testing.T) {
	assert.Equal(t, scenes.HoneyJar().Pix, scenes.HoneyJar().Pix)
}
