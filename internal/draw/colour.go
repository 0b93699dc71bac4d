package draw

import (
	"fmt"
	"image/color"
	"strconv"

	"github.com/lucasb-eyer/go-colorful"

	"tuckring/internal/sight"
)

// The page's own colours (the house's looks).
var (
	card       = mustHex("#fffdf8")
	ink        = mustHex("#2b2a33")
	muted      = mustHex("#6b6760")
	hair       = mustHex("#d9d1c1")
	accent     = mustHex("#0b6e6e")
	accentTint = mustHex("#dcecea")
	white      = mustHex("#ffffff")
	edge       = mustHex(sight.Edge)
)

// FromHex reads "#rrggbb". ok is false, and the colour a middle grey, when it is not one.
func FromHex(s string) (c color.NRGBA, ok bool) {
	if len(s) == 7 && s[0] == '#' {
		if v, err := strconv.ParseUint(s[1:], 16, 32); err == nil {
			return color.NRGBA{uint8(v >> 16), uint8(v >> 8), uint8(v), 255}, true
		}
	}
	return color.NRGBA{128, 128, 128, 255}, false
}

func mustHex(s string) color.NRGBA {
	c, ok := FromHex(s)
	if !ok {
		panic("draw: not a colour: " + s)
	}
	return c
}

// Hex writes a colour as "#rrggbb"; its opacity is left out.
func Hex(c color.NRGBA) string { return fmt.Sprintf("#%02x%02x%02x", c.R, c.G, c.B) }

// mix goes from a to b by share 0 … 1.
func mix(a, b color.NRGBA, share float64) color.NRGBA {
	m := func(x, y uint8) uint8 { return uint8(float64(x) + (float64(y)-float64(x))*share + 0.5) }
	return color.NRGBA{m(a.R, b.R), m(a.G, b.G), m(a.B, b.B), m(a.A, b.A)}
}

// veil is a colour made see-through.
func veil(c color.NRGBA, opacity float64) color.NRGBA {
	c.A = uint8(opacity*255 + 0.5)
	return c
}

// inkOn is the ink that reads best on a paper.
func inkOn(paper color.NRGBA) color.NRGBA { return mustHex(sight.InkOn(seen(paper))) }

// edgeOn is the outline that is seen on a paper.
func edgeOn(paper color.NRGBA) color.NRGBA { return mustHex(sight.EdgeOn(seen(paper))) }

// seen is an opaque colour as the rules of sight take it.
func seen(c color.NRGBA) colorful.Color {
	return colorful.Color{R: float64(c.R) / 255, G: float64(c.G) / 255, B: float64(c.B) / 255}
}
