package pattern_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tuckring/internal/wire"
	"tuckring/web/webtest"
)

func TestTryTellsWhatWouldChangeAndChangesNothing(t *testing.T) {
	s, kept := webtest.Keeping(t)
	base := "/d/" + webtest.KeepTube(t, kept, 3).ID
	try := func(edit string) wire.Trial {
		return webtest.Answer[wire.Trial](t, webtest.Ask(t, s, webtest.By('m', webtest.Sending(base+"/try", `{"edit":`+edit+`}`))), 200)
	}
	got := try(`{"do":"set_count","rings":[2],"units":12}`)
	require.NotNil(t, got.Change)
	require.Len(t, got.Change.Rings, 2, "the ring and the one that stands on it")
	assert.Equal(t, 12, len(got.Change.Rings[0].Cells))
	ones := 0
	for _, c := range got.Change.Rings[0].Takes {
		if c == '1' {
			ones++
		}
	}
	assert.Equal(t, 8, ones, "12 units over 16 points: eight take one, four take two")
	assert.Equal(t, 28, got.Totals.Units)

	refused := try(`{"do":"set_count","rings":[2],"units":3}`)
	assert.Nil(t, refused.Change)
	assert.Contains(t, refused.Refused.What, "cannot take the points of ring 1")
	assert.Contains(t, refused.Refused.Fix, "the row may have 4 to 16 of them")
	assert.Contains(t, try(`{"do":"dance"}`).Refused.What, `no edit "dance"`)
	w := webtest.Ask(t, s, webtest.By('m', webtest.Sending(base+"/try", `{"edit":{"do":"undo"}}`)))
	assert.Contains(t, webtest.Answer[webtest.Refusal](t, w, 400).What, "cannot be tried beforehand")
	assert.EqualValues(t, 0, webtest.State(t, s, base, 'm').Rev)
	assert.Len(t, webtest.State(t, s, base, 'm').Rings[1].Cells, 8)
}
