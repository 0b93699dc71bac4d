package sight

import (
	"github.com/lucasb-eyer/go-colorful"
)

// What is written and drawn on a paper, on screen as in print: signs in DarkInk, or in LightInk on papers whose
// luminance is below LightInkBelow; outlines in Edge, or in EdgeOnDark on papers below EdgeOnDarkBelow.
const (
	// LightInkBelow is the relative luminance L at which black and white read equally well: both have the contrast
	// ratio (L+0.05)/0.05 = 1.05/(L+0.05) of WCAG 2.2 there, so L = √(1.05 × 0.05) − 0.05. Whichever side a paper is on,
	// its ink then has 4.58:1 or more, above the 4.5:1 that WCAG 2.2 asks of text (success criterion 1.4.3). Softer inks
	// would not have it on papers of middling luminance.
	LightInkBelow = 0.17912878474779

	DarkInk  = "#000000"
	LightInk = "#ffffff"

	// EdgeOnDarkBelow is the relative luminance below which a dark outline is lost on its paper (own).
	EdgeOnDarkBelow = 0.1

	Edge       = "#55504a" // seen on light and middling papers, on the page's card, and in print
	EdgeOnDark = "#8d877d"
)

// Luminance is the relative luminance of WCAG 2.2, 0 (black) to 1 (white).
func Luminance(c colorful.Color) float64 {
	r, g, b := c.LinearRgb()
	return 0.2126*r + 0.7152*g + 0.0722*b
}

// Contrast is the contrast ratio of WCAG 2.2 between two colours, 1 (none) to 21 (black on white).
func Contrast(x, y colorful.Color) float64 {
	a, b := Luminance(x), Luminance(y)
	return (max(a, b) + 0.05) / (min(a, b) + 0.05)
}

// InkOn is the ink, "#rrggbb", that reads best on a paper.
func InkOn(paper colorful.Color) string {
	if Luminance(paper) < LightInkBelow {
		return LightInk
	}
	return DarkInk
}

// EdgeOn is the colour, "#rrggbb", of outlines that are seen on a paper.
func EdgeOn(paper colorful.Color) string {
	if Luminance(paper) < EdgeOnDarkBelow {
		return EdgeOnDark
	}
	return Edge
}
