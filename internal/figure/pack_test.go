package figure

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func TestPackedStrokeIsShortAndReadable(t *testing.T) {
	p := &Paint{Runs: []PaintRun{{Ring: 17, At: 3, N: 1, Colour: "chalk", IfColour: "soot"}, {Ring: 18, At: 3, N: 12, Colour: "chalk", IfColour: "soot"}, {Ring: 1, At: 0, N: 2, Side: "short"}}}
	assert.Equal(t, `{"do":"strokes","looks":[{"colour":"chalk","if_colour":"soot"},{"side":"short"}],"runs":"17,3 1,0,12 -17,-3,2,1"}`, string(PackEdit(p)))
	back, err := UnpackEdit(PackEdit(p))
	require.NoError(t, err)
	assert.Equal(t, p, back)
}

// Every edit, and what takes it back, comes out of the log as it went in.
func TestEveryEditIsReadBackFromTheLog(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		f := drawFigure(rt)
		e := drawEdit(rt, f)
		for range 2 {
			back, err := UnpackEdit(PackEdit(e))
			require.NoError(rt, err)
			require.JSONEq(rt, string(EncodeEdit(e)), string(EncodeEdit(back)))
			asBefore, err := UnpackEdit(EncodeEdit(e)) // as logs of earlier versions have it
			require.NoError(rt, err)
			require.JSONEq(rt, string(EncodeEdit(e)), string(EncodeEdit(asBefore)))
			if e, _, err = Apply(f, e); err != nil {
				return
			}
		}
	})
}

func TestDamagedPackedStrokesAreRefused(t *testing.T) {
	for _, raw := range []string{
		`{"do":"strokes",`,
		`{"do":"strokes","looks":[],"runs":"1,0"}`,
		`{"do":"strokes","looks":[{"colour":"soot"}],"runs":"1"}`,
		`{"do":"strokes","looks":[{"colour":"soot"}],"runs":"1,0 "}`,
		`{"do":"strokes","looks":[{"colour":"soot"}],"runs":"1,0  1,0"}`,
		`{"do":"strokes","looks":[{"colour":"soot"}],"runs":"1,0,1,-1"}`,
		`{"do":"strokes","looks":[{"colour":"soot"}],"runs":"1,0,1,0,0"}`,
		`{"do":"strokes","looks":[{"colour":"soot"}],"runs":"1,99999999999999999999"}`,
	} {
		_, err := UnpackEdit([]byte(raw))
		assert.ErrorAs(t, err, new(Faults), raw)
	}
	_, err := DecodeEdit([]byte(`{"do":"strokes","looks":[],"runs":""}`))
	assert.ErrorAs(t, err, new(Faults), "it does not travel")
}

// What Strokes says to leave looks and places alone does so, for each ring that is still there.
func TestWhatPaintsNothingLeavesLooksAlone(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		f := drawFigure(rt)
		e := drawEdit(rt, f)
		runs, ok := Strokes(e)
		if !ok || len(runs) > 0 {
			return
		}
		looks := func() map[RingID][]string {
			out := map[RingID][]string{}
			for _, r := range f.Rings {
				for _, c := range r.Cells {
					out[r.ID] = append(out[r.ID], f.Colours[c.Colour].ID+" "+c.Side.String())
				}
			}
			return out
		}
		before := looks()
		if _, _, err := Apply(f, e); err != nil {
			return
		}
		now := looks()
		for id := range before {
			if now[id] != nil {
				require.Equal(rt, before[id], now[id])
			}
		}
	})
}
