package check_test

import (
	"context"
	"net/url"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tuckring/internal/store"
	"tuckring/web/webtest"
)

func TestCheckPagePutsRightAndTakesBackWithoutScripts(t *testing.T) {
	s, kept := webtest.Keeping(t)
	d := webtest.KeepTube(t, kept, 42)
	base := "/d/" + d.ID
	page := webtest.Ask(t, s, webtest.By('m', webtest.Get(base+"/check")))
	assert.Contains(t, page.Body.String(), "1 warning about building.")
	assert.Contains(t, page.Body.String(), base+"#at-1-4", "the front unit of ring 1")
	fix := url.Values{"finding": {"straight rings[0] 0"}}
	w := webtest.Ask(t, s, webtest.By('m', webtest.Post(base+"/check", fix)))
	require.Equal(t, 303, w.Code)
	page = webtest.Ask(t, s, webtest.By('m', webtest.Get(w.Header().Get("Location"))))
	assert.Contains(t, page.Body.String(), "Nothing found")
	assert.Contains(t, page.Body.String(), "Undo")
	w = webtest.Ask(t, s, webtest.By('m', webtest.Post(base+"/check", fix)))
	assert.Equal(t, 409, w.Code)
	assert.Contains(t, w.Body.String(), "not found any more")
	w = webtest.Ask(t, s, webtest.By('m', webtest.Post(base+"/check/undo", nil)))
	require.Equal(t, 303, w.Code)
	assert.Contains(t, webtest.Ask(t, s, webtest.By('m', webtest.Get(base+"/check"))).Body.String(), "42 rings")
}

func TestViewersSeeTheCheckButFixNothing(t *testing.T) {
	s, kept := webtest.Keeping(t)
	d := webtest.KeepTube(t, kept, 42)
	link, err := kept.MakeLink(context.Background(), d.ID, store.PowerView)
	require.NoError(t, err)
	base := "/v/" + link.Token
	page := webtest.Ask(t, s, webtest.By('v', webtest.Get(base+"/check"))).Body.String()
	assert.Contains(t, page, "42 rings")
	assert.NotContains(t, page, "Fix")
	assert.NotContains(t, page, "Show")
	assert.Equal(t, 403, webtest.Ask(t, s, webtest.By('v', webtest.Post(base+"/check", url.Values{}))).Code)
	assert.Equal(t, 403, webtest.Ask(t, s, webtest.By('v', webtest.Sending(base+"/try", `{"edit":{}}`))).Code)
}
