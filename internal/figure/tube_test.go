package figure

import (
	"reflect"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestTubeIsAPlainFigure(t *testing.T) {
	f := Tube("Jar", Unit{LongMM: 52, ShortMM: 37, Fold: Doubled}, []Colour{{ID: "honey", Name: "Honey", Hex: "#e0a030"}}, 18, 12)
	require.Empty(t, f.Validate())
	assert.Equal(t, 18*12, f.Units())
	again, err := Read(f.Write())
	require.NoError(t, err)
	assert.True(t, reflect.DeepEqual(f, again), "reading what was written gives another figure")
	// Common practice: each plain ring stands half a unit off the ring below, right and left in turn.
	u := Unroll(f)
	assert.InDelta(t, u.Middle(0, 0)+0.5/18, u.Middle(1, 0), 1e-9)
	assert.InDelta(t, u.Middle(0, 0), u.Middle(2, 0), 1e-9)
}
