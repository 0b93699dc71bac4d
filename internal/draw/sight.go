package draw

import (
	"image/color"
	"math"
)

// luminance is the relative luminance of WCAG 2.2, 0 (black) to 1 (white).
func luminance(c color.NRGBA) float64 {
	return 0.2126*toLinear(c.R) + 0.7152*toLinear(c.G) + 0.0722*toLinear(c.B)
}

// toLinear undoes the sRGB curve (IEC 61966-2-1).
func toLinear(v uint8) float64 {
	s := float64(v) / 255
	if s <= 0.04045 {
		return s / 12.92
	}
	return math.Pow((s+0.055)/1.055, 2.4)
}
