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

// The form of the first databases with packed strokes, as they were written then.
func TestStrokePackedInTheFirstFormIsRead(t *testing.T) {
	back, err := UnpackEdit([]byte(`{"do":"strokes","looks":[{"colour":"chalk","if_colour":"soot"},{"side":"short"}],"runs":"17 3 1 0 18 3 12 0 1 0 2 1"}`))
	require.NoError(t, err)
	assert.Equal(t, &Paint{Runs: []PaintRun{{Ring: 17, At: 3, N: 1, Colour: "chalk", IfColour: "soot"}, {Ring: 18, At: 3, N: 12, Colour: "chalk", IfColour: "soot"}, {Ring: 1, At: 0, N: 2, Side: "short"}}}, back)
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
		`{"do":"strokes","looks":[{"colour":"soot"}],"runs":"1 0 1"}`,
		`{"do":"strokes","looks":[{"colour":"soot"}],"runs":"1 0 1 1"}`,
		`{"do":"strokes","looks":[{"colour":"soot"}],"runs":"1 0 1 -1"}`,
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

// FuzzUnpackEdit reads any bytes as a step of the log: what can be read is written and read again as the same edit,
// and carrying it out, where it can be, is taken back exactly by its inverse.
func FuzzUnpackEdit(f *testing.F) {
	for _, raw := range []string{
		`{"do":"paint","runs":[{"ring":1,"at":0,"n":3,"colour":"a","if_colour":"b"}]}`, `{"do":"set_title","title":"x"}`,
		`{"do":"insert_ring","above":1,"count":2,"colour":"a"}`, `{"do":"set_count","rings":[2],"units":9}`, `{"do":"undo"}`,
		`{"do":"batch","edits":[{"do":"turn","rings":[2],"by":1}]}`, `{"do":"become","document":"{}","keys":{}}`, `{"do":"splice"}`,
	} {
		f.Add([]byte(raw))
		if e, err := decodeLogged([]byte(raw)); err == nil {
			f.Add(PackEdit(e))
		}
	}
	f.Fuzz(func(t *testing.T, raw []byte) {
		e, err := UnpackEdit(raw)
		if err != nil {
			return
		}
		again, err := UnpackEdit(PackEdit(e))
		require.NoError(t, err)
		require.Equal(t, EncodeEdit(e), EncodeEdit(again))
		tower := Tube("Tower", Unit{52, 37, Doubled}, []Colour{{ID: "a", Name: "A", Hex: "#112233"}, {ID: "b", Name: "B", Hex: "#445566"}}, 12, 4)
		if Work(tower, e) > 100_000 {
			return // the store refuses it
		}
		before, keys := tower.Write(), tower.Keys()
		inverse, _, err := Apply(tower, e)
		if err == nil {
			require.Empty(t, tower.Validate())
			_, _, err = Apply(tower, inverse)
			require.NoError(t, err)
		} else {
			require.Equal(t, keys, tower.Keys())
		}
		require.Equal(t, string(before), string(tower.Write()))
	})
}
