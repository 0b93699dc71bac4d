package main

import (
	"bytes"
	"encoding/json"
	"image"
	"image/color"
	"image/png"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tuckring/internal/figure"
)

func TestPictureMakesAFigure(t *testing.T) {
	dir := t.TempDir()
	img := image.NewGray(image.Rect(0, 0, 40, 40))
	for i := range img.Pix[:800] { // the upper half is white
		img.Pix[i] = 255
	}
	img.SetGray(0, 0, color.Gray{255})
	var b bytes.Buffer
	require.NoError(t, png.Encode(&b, img))
	papers, out := filepath.Join(dir, "papers.txt"), filepath.Join(dir, "out.tuckring.json")
	require.NoError(t, os.WriteFile(papers, []byte("#202020 Soot\n#f8f8f8 Chalk\n"), 0o600))
	said, errs, code := tuckring(t, b.String(), "picture", "-", "--units", "10", "--rings", "4", "--colours", papers, "--title", "Half and half", "--out", out)
	require.Equal(t, 0, code, errs)
	assert.Contains(t, said, "40 units")
	doc, err := os.ReadFile(out)
	require.NoError(t, err)
	f, err := figure.Read(doc)
	require.NoError(t, err)
	assert.Equal(t, "Half and half", f.Title)
	for ring, want := range []uint8{0, 0, 1, 1} {
		for _, c := range f.Rings[ring].Cells {
			assert.Equal(t, want, c.Colour, "ring %d", ring+1)
		}
	}
}

// sail is a picture of a white sail on blue, its clear margin left away.
func sail(t *testing.T, dir string) string {
	t.Helper()
	img := image.NewNRGBA(image.Rect(0, 0, 60, 60))
	for y := range 60 {
		for x := range 60 {
			c := color.NRGBA{0x22, 0x77, 0xa0, 255}
			if x > 20 && x < 20+y*2/3 {
				c = color.NRGBA{0xf4, 0xef, 0xe6, 255}
			}
			img.SetNRGBA(x, y, c)
		}
	}
	var b bytes.Buffer
	require.NoError(t, png.Encode(&b, img))
	path := filepath.Join(dir, "sail.png")
	require.NoError(t, os.WriteFile(path, b.Bytes(), 0o600))
	return path
}

func write(t *testing.T, dir, name, text string) string {
	t.Helper()
	path := filepath.Join(dir, name)
	require.NoError(t, os.WriteFile(path, []byte(text), 0o600))
	return path
}

func TestPictureOntoAPresentFigureKeepsToTheStock(t *testing.T) {
	dir := t.TempDir()
	img := sail(t, dir)
	papers := write(t, dir, "papers.txt", "#2b2b2e Soot\n#f4efe6 Chalk\n#2277a0 Sea\n#a63a2b Brick\n")
	tube, out := filepath.Join(dir, "tube.tuckring.json"), filepath.Join(dir, "out.tuckring.json")
	_, errs, code := tuckring(t, "", "picture", img, "--units", "20", "--rings", "12", "--colours", papers, "--title", "Sail", "--best", "2", "--out", tube)
	require.Equal(t, 0, code, errs)
	more := write(t, dir, "more.json", `[{"id":"deep","name":"Deep sea","hex":"#1f6e95"},{"id":"white","name":"White","hex":"#f4efe6"}]`)
	stock := write(t, dir, "stock.txt", "deep sea 30\n")
	said, errs, code := tuckring(t, "", "picture", img, "--onto", tube, "--from-ring", "3", "--to-ring", "10", "--front", "--colours", more, "--stock", stock, "--json", "--out", out)
	require.Equal(t, 0, code, errs)
	var told struct {
		Mean     float64 `json:"mean_difference"`
		Greatest float64 `json:"greatest_difference"`
		ByColour []struct {
			Colour string `json:"colour"`
			Units  int    `json:"units"`
			Stock  *int   `json:"stock"`
		} `json:"by_colour"`
		Proven bool `json:"proven"`
	}
	require.NoError(t, json.Unmarshal([]byte(said), &told))
	assert.True(t, told.Proven)
	assert.Greater(t, told.Greatest, told.Mean)
	doc, err := os.ReadFile(out)
	require.NoError(t, err)
	f, err := figure.Read(doc)
	require.NoError(t, err)
	before, err := os.ReadFile(tube)
	require.NoError(t, err)
	was, err := figure.Read(before)
	require.NoError(t, err)
	assert.Len(t, was.Colours, 2, "the best two")
	deep, ok := f.ColourIndex("deep")
	require.True(t, ok, "a paper that the figure had not")
	assert.Len(t, f.Colours, 3, "white it had")
	count := 0
	for i := range f.Rings {
		for k, c := range f.Rings[i].Cells {
			if int(c.Colour) == deep {
				count++
			}
			if i < 2 || i > 9 || k == 0 { // the seam of a tube is at the back
				assert.Equal(t, was.Rings[i].Cells[k].Colour, c.Colour, "ring %d, unit %d", i+1, k)
			}
		}
	}
	assert.Equal(t, 30, count)
	for _, c := range told.ByColour {
		if c.Colour == "deep" {
			assert.Equal(t, 30, c.Units)
			assert.Equal(t, 30, *c.Stock)
		}
	}
}

func TestPictureFlagsThatDoNotGoTogetherAreRefused(t *testing.T) {
	dir := t.TempDir()
	img, out := sail(t, dir), filepath.Join(dir, "out.tuckring.json")
	stock := write(t, dir, "stock.txt", "brick 40\nlots of soot\n")
	for _, c := range []struct {
		args []string
		code int
		want string
	}{
		{[]string{"--colours", sixtyEight, "--front"}, 2, "--front says where on a present figure"},
		{[]string{"--onto", sixtyEight, "--units", "12"}, 2, "--units is for a new figure"},
		{[]string{"--onto", sixtyEight, "--outline"}, 2, "--outline is for a new figure"},
		{[]string{"--colours", sixtyEight, "--outline", "--rings", "9"}, 2, "--rings does not go with --outline"},
		{[]string{"--onto", sixtyEight, "--flat"}, 2, "--flat goes with --front"},
		{[]string{"--onto", sixtyEight, "--spread", "2"}, 2, "--spread: found 2"},
		{[]string{"--onto", sixtyEight, "--best", "-1"}, 2, "--best: found -1"},
		{[]string{"--onto", sixtyEight, "--part", "wing"}, 1, "no part \"wing\": it is all one"},
		{[]string{"--onto", sixtyEight, "--from-ring", "4", "--to-ring", "9"}, 1, "rings 1 to 6"},
		{[]string{"--onto", sixtyEight, "--stock", stock}, 1, "Line 1 of the stock names “brick”"},
		{[]string{"--onto", sixtyEight, "--background", "gold"}, 1, "no paper “gold”"},
	} {
		_, errs, code := tuckring(t, "", append([]string{"picture", img, "--out", out}, c.args...)...)
		assert.Equal(t, c.code, code, c.args)
		assert.Contains(t, errs, c.want)
		assert.NoFileExists(t, out)
	}
}

func TestPictureSaysWhatIsWrong(t *testing.T) {
	papers := filepath.Join(t.TempDir(), "papers.txt")
	require.NoError(t, os.WriteFile(papers, []byte("brick\n"), 0o600))
	for _, c := range []struct {
		args []string
		code int
		want string
	}{
		{[]string{"picture", "-"}, 2, "--colours is missing"},
		{[]string{"picture", "-", "--colours", papers}, 2, "--out is missing"},
		{[]string{"picture", "-", "--colours", papers, "--out", "x"}, 1, "Line 1 of the colours"},
		{[]string{"picture", testPicture(t), "--colours", sixtyEight, "--title", "\u200B", "--out", filepath.Join(t.TempDir(), "x")}, 1, "title: The name holds only characters that show nothing."},
		{[]string{"picture", "no-such.png", "--colours", sixtyEight, "--out", "x"}, 1, "no such file"},
		{[]string{"picture", "-", "--colours", sixtyEight, "--out", "x"}, 1, "not a picture that can be read"},
	} {
		_, errs, code := tuckring(t, "words, not pixels", c.args...)
		assert.Equal(t, c.code, code, c.args)
		assert.Contains(t, errs, c.want)
	}
}

// testPicture is a picture of one grey.
func testPicture(t *testing.T) string {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, png.Encode(&b, image.NewGray(image.Rect(0, 0, 4, 4))))
	path := filepath.Join(t.TempDir(), "grey.png")
	require.NoError(t, os.WriteFile(path, b.Bytes(), 0o600))
	return path
}
