package draw

import (
	"errors"

	qr "github.com/piglig/go-qr"

	"tuckring/internal/words"
)

// quiet is how many modules stay white around a code (ISO/IEC 18004: four).
const quiet = 4

// Code draws an address, or whatever else a phone's camera is to read, as a QR code of the given side in mm, its white border
// included. It fails with a words.Text when there is more to say than a code holds.
func Code(text string, side float64, say *words.Speaker) (*Drawing, error) {
	code, err := qr.EncodeText(text, qr.Medium)
	if errors.Is(err, qr.ErrDataTooLong) {
		return nil, words.T("draw.code.long")
	}
	if err != nil {
		return nil, err
	}
	d := NewDrawing(side, side, say.T("draw.code.title", "Text", text))
	d.Add((&Path{}).Rect(0, 0, side, side), Paint{Fill: white})
	n := code.Size()
	module := side / float64(n+2*quiet)
	dark := &Path{}
	for y := range n {
		for x := 0; x < n; x++ {
			from := x
			for x < n && code.Module(x, y) {
				x++
			}
			if x > from {
				dark.Rect(float64(from+quiet)*module, float64(y+quiet)*module, float64(x-from)*module, module)
			}
		}
	}
	d.Add(dark, Paint{Fill: mustHex("#000000")})
	return d, nil
}
