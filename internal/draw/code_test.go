package draw

import (
	"image"
	"strings"
	"testing"

	"github.com/makiuchi-d/gozxing"
	"github.com/makiuchi-d/gozxing/qrcode"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/image/draw"

	"tuckring/internal/words"
)

// What stands in a code is read back by a decoder of somebody else (ZXing).
func TestCodesAreReadBack(t *testing.T) {
	for _, text := range []string{"https://library.example/club/puffin", "https://library.example/" + strings.Repeat("a", 176), "Möwe, 海鳥, 200 %"} {
		d, err := Code(text, 27, words.English)
		require.NoError(t, err)
		img := d.Raster(10)
		onWhite := image.NewRGBA(img.Bounds())
		draw.Draw(onWhite, img.Bounds(), image.White, image.Point{}, draw.Src)
		draw.Draw(onWhite, img.Bounds(), img, image.Point{}, draw.Over)
		bits, err := gozxing.NewBinaryBitmapFromImage(onWhite)
		require.NoError(t, err)
		read, err := qrcode.NewQRCodeReader().Decode(bits, nil)
		require.NoError(t, err, text)
		assert.Equal(t, text, read.GetText())
	}
	_, err := Code(strings.Repeat("a", 4000), 27, words.English)
	assert.EqualError(t, err, "The address is too long for a code.")
}
