package draw

import (
	"testing"

	"github.com/lucasb-eyer/go-colorful"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tuckring/internal/figure"
	"tuckring/internal/sight"
	"tuckring/internal/words"
)

// WCAG 2.2, success criterion 1.4.3: 4.5:1. Signs stand on papers of middling luminance, where the choice of ink is close.
func TestSignsOfPicturesReadOnTheirPapers(t *testing.T) {
	papers := []string{"#747474", "#787878", "#8a8a8a", "#c0392b", "#2e86ab", "#a07020"}
	var colours []figure.Colour
	for i, hex := range papers {
		colours = append(colours, figure.Colour{ID: "c" + string(rune('a'+i)), Name: hex, Hex: hex, Sign: string(rune('A' + i))})
	}
	f := figure.Tube("Middling", figure.Unit{LongMM: 52, ShortMM: 37, Fold: figure.Doubled}, colours, 12, 6)
	for ring := range f.Rings {
		for k := range f.Rings[ring].Cells {
			f.Rings[ring].Cells[k].Colour = uint8(ring)
		}
	}
	signs := f.Signs()
	for name, d := range map[string]*Drawing{
		"pattern": Pattern(f, PatternOptions{Signs: true}), "bar": ColourBar(f, 180, words.English),
	} {
		found := 0
		for _, it := range d.items {
			for i, sign := range signs {
				if it.text == nil || it.text.Text != sign {
					continue
				}
				found++
				paper, err := colorful.Hex(papers[i])
				require.NoError(t, err)
				ink, err := colorful.Hex(Hex(it.text.Ink))
				require.NoError(t, err)
				assert.GreaterOrEqual(t, sight.Contrast(ink, paper), 4.5, "%s: %s on %s", name, Hex(it.text.Ink), papers[i])
			}
		}
		assert.GreaterOrEqual(t, found, len(papers), name)
	}
}
