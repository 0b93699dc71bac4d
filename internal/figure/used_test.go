package figure

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestAColourIsUsedByUnitsAndByExtras(t *testing.T) {
	f := plain(12, 3) // all brick
	for _, id := range []string{"soot", "sea", "gold"} {
		do(t, f, &AddColour{ID: id, Name: id, Hex: "#2b2b2e"})
	}
	do(t, f, &AddExtra{Extra: ExtraState{Kind: Glued, Name: "eye", Colour: "soot", Ring: 3, At: 2, Diameter: 12}})
	do(t, f, &AddExtra{Extra: ExtraState{Kind: Tucked, Name: "ear", Colour: "gold", Units: 2, Ring: 3, At: 5}})
	assert.Equal(t, []bool{true, false, true, false, true}, f.Used(), "brick, chalk, soot, sea, gold")
}
