package figure

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestReadyPapersMakeAValidPalette(t *testing.T) {
	var colours []Colour
	for _, p := range Papers {
		name := p.Name().String()
		assert.False(t, strings.HasPrefix(name, "["), "no name for %s", p.ID)
		colours = append(colours, Colour{ID: p.ID, Name: name, Hex: p.Hex})
	}
	assert.Empty(t, Tube("All papers", Unit{LongMM: 52, ShortMM: 37, Fold: Doubled}, colours, 12, 3).Validate())
}
