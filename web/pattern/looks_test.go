package pattern_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tuckring/internal/figure"
	"tuckring/internal/shelf"
	"tuckring/internal/wire"
	"tuckring/web/webtest"
)

// The lamp of the contract's lighthouse is a disc of 50 mm; a leg of a 52 × 37 mm doubled unit is 18.5 mm and a pitch
// 0.58 of it (from memory, the trade's first values).
func TestTheEditorIsToldHowExtrasLook(t *testing.T) {
	s, kept := webtest.Keeping(t)
	base := "/d/" + webtest.KeepLighthouse(t, kept).ID
	looks := webtest.State(t, s, base, 'm').Looks
	require.Len(t, looks, 2)
	assert.EqualValues(t, 2, looks[0].Key, "the glued lamp first, then what stands off further")
	lamp := looks[0].Solid
	require.Len(t, lamp, 1)
	assert.Zero(t, lamp[0][0], "no leaf")
	least, most := 0.0, 0.0
	for i := 1; i < len(lamp[0]); i += 3 {
		least, most = min(least, lamp[0][i]), max(most, lamp[0][i])
	}
	assert.InDelta(t, 50/(0.58*18.5), most-least, 0.002)
	assert.Len(t, looks[1].Solid, 4, "the rail's two units have two leaves each")
	assert.Len(t, looks[1].Flat, 4)
}

func TestAStepTellsTheLooksThatItChanges(t *testing.T) {
	s, kept := webtest.Keeping(t)
	demo := shelf.Demo()[0]
	require.Equal(t, "puffin", demo.Name)
	d, err := kept.Create(t.Context(), demo.Figure)
	require.NoError(t, err)
	base := "/d/" + d.ID
	before := webtest.State(t, s, base, 'm').Looks
	webtest.Edit(t, s, base, 'm', 1, `{"do":"edit_extra","extra":{"key":6,"kind":"glued","name":"left eye rim","colour":"orange","ring":18,"at":10.5,"outline":"bar","width_mm":20,"height_mm":4}}`)
	after := webtest.State(t, s, base, 'm').Looks
	require.Len(t, after, len(before))
	assert.Len(t, after[0].Solid[0], 1+4*3, "a bar has four corners")
	ch := wire.ChangeOf(demo.Figure, figure.Change{Paint: []figure.PaintRun{{Ring: 1, At: 0, N: 1, Colour: "soot"}}})
	assert.Nil(t, ch.Looks, "a stroke changes no extra")
	ch = wire.ChangeOf(demo.Figure, figure.Change{Rings: []figure.RingID{3}})
	require.NotNil(t, ch.Looks, "other rings, other walls: tucked units may lean otherwise")
	assert.Len(t, *ch.Looks, 9)
}
