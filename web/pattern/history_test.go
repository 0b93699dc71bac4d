package pattern_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tuckring/internal/wire"
	"tuckring/web/webtest"
)

func TestHistoryListsAndShowsEarlierVersions(t *testing.T) {
	s, kept := webtest.Keeping(t)
	base := "/d/" + webtest.KeepLighthouse(t, kept).ID
	webtest.Edit(t, s, base, 'm', 1, `{"do":"paint","runs":[{"ring":1,"at":0,"n":3,"colour":"soot"}]}`, `{"do":"undo"}`)
	webtest.Edit(t, s, base, 'j', 1, `{"do":"set_title","title":"Puffin"}`)
	got := webtest.Answer[struct {
		Steps []wire.HistoryStep
		More  bool
	}](t, webtest.Ask(t, s, webtest.By('m', webtest.Get(base+"/history"))), 200)
	require.Len(t, got.Steps, 3)
	assert.False(t, got.More)
	for i := range got.Steps {
		assert.False(t, got.Steps[i].At.IsZero())
		got.Steps[i].At = got.Steps[0].At
	}
	at := got.Steps[0].At
	assert.Equal(t, []wire.HistoryStep{
		{Rev: 3, At: at, Name: "Mira", Kind: "edit", Label: "Changed the title to “Puffin”"},
		{Rev: 2, At: at, Name: "Mira", Own: true, Kind: "undo", Label: "Undid: Painted 3 units Soot", Target: 1},
		{Rev: 1, At: at, Name: "Mira", Own: true, Kind: "edit", Label: "Painted 3 units Soot", Undone: true},
	}, got.Steps)
	w := webtest.Ask(t, s, webtest.By('m', webtest.Get(base+"/at/1.svg")))
	assert.Equal(t, 200, w.Code)
	assert.Equal(t, "image/svg+xml", w.Header().Get("Content-Type"))
	assert.Contains(t, w.Body.String(), "<svg")
	for path, status := range map[string]int{"/at/4.svg": 404, "/at/-1.svg": 404, "/at/x.svg": 404, "/history?before=0": 400, "/history?before=x": 400, "/history?before=2": 200} {
		assert.Equal(t, status, webtest.Ask(t, s, webtest.By('m', webtest.Get(base+path))).Code, path)
	}
}
