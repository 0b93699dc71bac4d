package figure

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func TestALoggedEditIsCarriedOutAsItWas(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := drawFigure(t)
		for range 6 {
			before := f.Clone()
			e := drawEdit(t, f)
			inverse, _, err := Apply(f, e)
			if err != nil {
				continue
			}
			e, err = UnpackEdit(PackEdit(e))
			require.NoError(t, err)
			inverse, err = UnpackEdit(PackEdit(inverse))
			require.NoError(t, err)
			require.NoError(t, Replay(before, e, inverse))
			identities(t, f, before)
		}
	})
}

// A ring that was spread by another rule comes out as the log says: here the unit that takes four is another.
func TestAReplayKeepsTheRingsOfTheLog(t *testing.T) {
	f := plain(12, 3)
	g := f.Clone()
	e := &SetCount{Rings: []RingID{2}, Units: 11}
	inverse, _, err := Apply(f, e)
	require.NoError(t, err)
	logged := inverse.(*Splice)
	for i := range logged.Out {
		if logged.Out[i].ID == 2 {
			logged.Out[i].Start = 1
			logged.Out[i].Runs = []Run{{N: 3, Colour: f.Colours[0].ID}, {N: 1, Colour: f.Colours[0].ID, Takes: 4}, {N: 7, Colour: f.Colours[0].ID}}
		}
	}
	require.NoError(t, Replay(g, e, logged))
	assert.EqualValues(t, 4, g.Rings[1].Cells[3].Takes)
	require.Empty(t, g.Validate())
	_, _, err = Apply(g, logged)
	require.NoError(t, err, "and is taken back as the log says")
	logged.Out[0].Runs[0].N = 5
	assert.Error(t, Replay(f.Clone(), e, logged), "a log that contradicts itself is no figure")
}
