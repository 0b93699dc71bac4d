package main

import (
	"bytes"
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
