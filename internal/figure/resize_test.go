package figure

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// jar is a figure that widens and narrows.
func jar(t testing.TB) *Figure {
	f := plain(12, 6)
	do(t, f, &SetCounts{Counts: []RingCount{{2, 16}, {3, 20}, {4, 20}, {5, 16}}})
	return f
}

func countsOf(f *Figure) []int {
	var out []int
	for i := range f.Rings {
		out = append(out, len(f.Rings[i].Cells))
	}
	return out
}

func TestResizeKeepsTheProportions(t *testing.T) {
	f := jar(t)
	require.Equal(t, []int{12, 16, 20, 20, 16, 12}, countsOf(f))
	e, err := Resize(f, Unit{74, 52, Doubled}, 30, 12)
	require.NoError(t, err)
	before := f.Clone()
	back, _ := do(t, f, e)
	assert.Equal(t, []int{18, 18, 24, 24, 30, 30, 30, 30, 24, 24, 18, 18}, countsOf(f))
	assert.Equal(t, Unit{74, 52, Doubled}, f.Unit)
	do(t, f, back)
	identities(t, before, f)
}

func TestResizeLowerKeepsRingsWithExtras(t *testing.T) {
	f := jar(t)
	do(t, f, &AddExtra{Extra: ExtraState{Kind: Glued, Name: "eye", Ring: 4, At: 2, Diameter: 12}})
	e, err := Resize(f, f.Unit, 20, 3)
	require.NoError(t, err)
	do(t, f, e)
	assert.Len(t, f.Rings, 3)
	assert.EqualValues(t, 4, f.Rings[f.Extras[0].Ring-1].ID)
}

func TestResizeToWhatItIsChangesNothing(t *testing.T) {
	f := jar(t)
	e, err := Resize(f, f.Unit, 20, 6)
	require.NoError(t, err)
	assert.Nil(t, e)
	_, err = Resize(f, f.Unit, 2, 6)
	assert.ErrorContains(t, err, "3 to 1000")
}

// Whatever is planned can be done, comes out as wished, and can be taken back.
func TestResizeDoesWhatItPlans(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := drawFigure(t)
		units, rings := rapid.IntRange(3, 60).Draw(t, "units"), rapid.IntRange(1, 30).Draw(t, "rings")
		before := f.Clone()
		e, err := Resize(f, Unit{74, 52, Doubled}, units, rings)
		require.Equal(t, before, f, "planning changes nothing")
		if err != nil {
			require.NotEmpty(t, err.(Faults))
			return
		}
		if e == nil {
			return
		}
		e, err = DecodeEdit(EncodeEdit(e))
		require.NoError(t, err)
		back, _, err := Apply(f, e)
		require.NoError(t, err)
		require.Empty(t, f.Validate())
		require.Len(t, f.Rings, rings)
		widest := 0
		for _, n := range countsOf(f) {
			widest = max(widest, n)
		}
		require.Equal(t, units, widest)
		_, _, err = Apply(f, back)
		require.NoError(t, err)
		identities(t, before, f)
	})
}

// A pair of eyes stays a pair: what stands alike to both sides of the front does so still when its ring gets
// another count, as near as half units allow.
func TestExtrasStayAlikeToBothSidesWhenCountsChange(t *testing.T) {
	for _, ring := range []int{9, 10} {
		for _, units := range []int{9, 12, 15, 16, 17, 20, 24, 36} {
			for _, off := range []float64{1, 1.5, 2, 2.5, 3} {
				f := plain(18, 16)
				f.Front = 9
				middle := f.Front
				if ring%2 == 0 {
					middle -= 0.5 // even rings stand half a unit further to the right
				}
				for _, at := range []float64{middle - off, middle + off} {
					do(t, f, &AddExtra{Extra: ExtraState{Kind: Glued, Name: "eye", Diameter: 8, Ring: RingID(ring), At: at}})
				}
				away := func(i int) float64 {
					u := plan(f)
					return fromFront(placeTurn(u.arcs[f.Extras[i].Ring-1], f.Extras[i].At) - f.Front/float64(len(f.Rings[0].Cells)))
				}
				require.InDelta(t, -off/18, away(0), 1e-9, "as set up")
				require.InDelta(t, off/18, away(1), 1e-9, "as set up")
				do(t, f, &SetCount{Rings: []RingID{9, 10}, Units: units})
				assert.InDelta(t, away(1), -away(0), 1e-9, "ring %d, %d units, ± %v", ring, units, off)
				assert.InDelta(t, off/18, away(1), 0.2501/float64(units), "ring %d, %d units, ± %v", ring, units, off)
			}
		}
	}
}
