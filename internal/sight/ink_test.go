package sight

import (
	"fmt"
	"testing"

	"github.com/lucasb-eyer/go-colorful"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func hex(t require.TestingT, s string) colorful.Color {
	c, err := colorful.Hex(s)
	require.NoError(t, err)
	return c
}

// Black on white has 21:1 (WCAG 2.2, definition of contrast ratio); #767676 is the lightest grey with 4.5:1 on white, and
// #777777 just fails (4.54:1 and 4.48:1: WebAIM's contrast checker, from memory).
func TestContrastIsThatOfWCAG(t *testing.T) {
	white := hex(t, "#ffffff")
	assert.InDelta(t, 21, Contrast(hex(t, "#000000"), white), 1e-9)
	assert.InDelta(t, 1, Contrast(white, white), 1e-9)
	assert.InDelta(t, 4.54, Contrast(hex(t, "#767676"), white), 0.005)
	assert.InDelta(t, 4.48, Contrast(white, hex(t, "#777777")), 0.005)
}

// WCAG 2.2, success criterion 1.4.3: text has a contrast of 4.5:1 at least. A sign has it on every paper there can be.
func TestSignsReadOnEveryPaper(t *testing.T) {
	reads := func(t require.TestingT, paper string) {
		c := hex(t, paper)
		assert.GreaterOrEqual(t, Contrast(hex(t, InkOn(c)), c), 4.5, paper)
	}
	for v := range 256 {
		reads(t, fmt.Sprintf("#%02x%02x%02x", v, v, v))
		for _, channel := range []int{0, 8, 16} {
			reads(t, fmt.Sprintf("#%06x", v<<channel))
			reads(t, fmt.Sprintf("#%06x", 0xffffff&^(v<<channel)))
		}
	}
	rapid.Check(t, func(t *rapid.T) {
		reads(t, fmt.Sprintf("#%06x", rapid.IntRange(0, 0xffffff).Draw(t, "paper")))
	})
}

// The greys on both sides of the luminance at which black and white read equally well: #757575 is darker, #767676 lighter.
func TestInkChangesWhereBlackAndWhiteReadAlike(t *testing.T) {
	assert.Equal(t, "#ffffff", InkOn(hex(t, "#757575")))
	assert.Equal(t, "#000000", InkOn(hex(t, "#767676")))
}

// WCAG 2.2, success criterion 1.4.11 asks 3:1 of graphics. Outlines have it on white and on black paper.
func TestOutlinesAreSeenOnWhiteAndOnBlackPaper(t *testing.T) {
	for _, paper := range []string{"#ffffff", "#f4efe6", "#000000", "#2b2b2e"} {
		c := hex(t, paper)
		assert.GreaterOrEqual(t, Contrast(hex(t, EdgeOn(c)), c), 3.0, paper)
	}
}
