package figure

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// Common practice: in a plain wall a unit touches six others, two beside it, two below and two above; at the rim and at
// the bottom four.
func TestPlainUnitTouchesSixOthers(t *testing.T) {
	f := Tube("t", Unit{52, 37, Doubled}, []Colour{{ID: "k"}}, 7, 3)
	touches := TouchesOf(f)
	for ring, want := range []int{4, 6, 4} {
		for unit := range 7 {
			n := 0
			touches.Each(ring, unit, func(int, int) { n++ })
			assert.Equal(t, want, n, "ring %d unit %d", ring+1, unit+1)
		}
	}
}

func TestUnitsTouchWhereTheySharePoints(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := drawFigure(t)
		touches := TouchesOf(f)
		for ring := range f.Rings {
			for unit := range f.Rings[ring].Cells {
				got := map[int][]int{}
				touches.Each(ring, unit, func(r, u int) { got[r] = append(got[r], u) })
				n := len(f.Rings[ring].Cells)
				require.ElementsMatch(t, []int{(unit + 1) % n, (unit + n - 1) % n}, got[ring])
				require.ElementsMatch(t, f.Below(ring, unit), got[ring-1])
				require.ElementsMatch(t, f.Above(ring, unit), got[ring+1])
			}
		}
	})
}
