package web_test

import (
	"context"
	"net/http"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tuckring/internal/store"
	"tuckring/web/webtest"
)

func TestLinksGiveTheirPowerAndNoMore(t *testing.T) {
	s, kept := webtest.Keeping(t)
	d := webtest.KeepLighthouse(t, kept)
	view, err := kept.MakeLink(context.Background(), d.ID, store.PowerView)
	require.NoError(t, err)
	editLink, err := kept.MakeLink(context.Background(), d.ID, store.PowerEdit)
	require.NoError(t, err)
	step := `{"client":"` + webtest.TestPage + `","steps":[{"seq":1,"edit":{"do":"set_title","title":"Puffin"}}]}`
	here := `{"client":"` + webtest.TestPage + `","name":"Mira","ring":1,"unit":2}`

	assert.Equal(t, store.PowerView, webtest.State(t, s, "/v/"+view.Token, 'v').Power)
	for path, body := range map[string]string{"/edits": step, "/here": here} {
		w := webtest.Ask(t, s, webtest.By('v', webtest.Sending("/v/"+view.Token+path, body)))
		got := webtest.Answer[webtest.Refusal](t, w, 403)
		assert.Equal(t, "forbidden", got.Code)
		assert.Contains(t, got.What, "not change anything")
	}
	for _, path := range []string{"/history", "/at/0.svg"} {
		assert.Equal(t, 403, webtest.Ask(t, s, webtest.By('v', webtest.Get("/v/"+view.Token+path))).Code, path)
	}
	for _, path := range []string{"/e/" + view.Token, "/v/" + editLink.Token, "/e/nothing", "/d/nothing"} {
		w := webtest.Ask(t, s, webtest.By('v', webtest.Sending(path+"/edits", step)))
		assert.Equal(t, "not_found", webtest.Answer[webtest.Refusal](t, w, 404).Code, path)
	}
	w := webtest.Ask(t, s, webtest.By('v', webtest.Sending("/d/nothing/here", here)))
	assert.Equal(t, "not_found", webtest.Answer[webtest.Refusal](t, w, 404).Code)
	far := webtest.By('v', webtest.Sending("/d/"+d.ID+"/edits", step))
	far.RemoteAddr = "203.0.113.9:4000"
	assert.Equal(t, 403, webtest.Ask(t, s, far).Code, "the maker's address opens on the maker's machine only")
	assert.Equal(t, "Harbour lighthouse", webtest.State(t, s, "/d/"+d.ID, 'm').Title)

	far = webtest.By('v', webtest.Sending("/e/"+editLink.Token+"/edits", step))
	far.RemoteAddr = "203.0.113.9:4000"
	assert.Equal(t, 200, webtest.Ask(t, s, far).Code)
	assert.Equal(t, "Puffin", webtest.State(t, s, "/v/"+view.Token, 'v').Title)
	require.NoError(t, kept.RevokeLink(context.Background(), d.ID, editLink.Token))
	assert.Equal(t, 404, webtest.Ask(t, s, webtest.By('v', webtest.Sending("/e/"+editLink.Token+"/edits", step))).Code)
}

// What something on this machine passes on for somebody elsewhere is not the maker's (RFC 7239).
func TestWhatIsPassedOnDoesNotComeFromHere(t *testing.T) {
	s, kept := webtest.Keeping(t)
	d := webtest.KeepLighthouse(t, kept)
	for _, name := range []string{"Forwarded", "X-Forwarded-For", "X-Real-IP", "Via"} {
		assert.Equal(t, 403, webtest.Ask(t, s, webtest.Asking("/", name, "203.0.113.9")).Code, name)
		assert.Equal(t, 403, webtest.Ask(t, s, webtest.Asking("/d/"+d.ID, name, "203.0.113.9")).Code, name)
	}
	link, err := kept.MakeLink(t.Context(), d.ID, store.PowerView)
	require.NoError(t, err)
	assert.Equal(t, 200, webtest.Ask(t, s, webtest.Asking("/v/"+link.Token, "X-Forwarded-For", "203.0.113.9")).Code)
}

// RFC 9110, 15.5.6
func TestAFiguresAddressesSayWhatTheyAnswer(t *testing.T) {
	s, kept := webtest.Keeping(t)
	d := webtest.KeepLighthouse(t, kept)
	link, err := kept.MakeLink(t.Context(), d.ID, store.PowerView)
	require.NoError(t, err)
	for address, allow := range map[string]string{"/d/" + d.ID + "/list": "GET, HEAD", "/d/" + d.ID + "/edits": "POST",
		"/d/" + d.ID: "GET, HEAD", "/d/" + d.ID + "/": "GET, HEAD", "/v/" + link.Token: "GET, HEAD"} {
		r := webtest.Asking(address)
		r.Method = http.MethodDelete
		w := webtest.Ask(t, s, r)
		assert.Equal(t, http.StatusMethodNotAllowed, w.Code, address)
		assert.Equal(t, allow, w.Header().Get("Allow"), address)
	}
}

func TestViewLinkShowsAndChangesNothing(t *testing.T) {
	s, kept := webtest.Keeping(t)
	d := webtest.KeepLighthouse(t, kept)
	link, err := kept.MakeLink(context.Background(), d.ID, store.PowerView)
	require.NoError(t, err)
	base := "/v/" + link.Token

	body := webtest.Ask(t, s, webtest.Get(base)).Body.String()
	assert.Contains(t, body, "Harbour lighthouse")
	assert.NotContains(t, body, `href="/"`, "no way to the shelf")
	assert.NotContains(t, body, d.ID, "the design's own address stays the maker's")
	assert.Equal(t, "image/svg+xml", webtest.Ask(t, s, webtest.Get(base+"/picture.svg")).Header().Get("Content-Type"))

	for _, path := range []string{"/away", "/share", "/back"} {
		assert.GreaterOrEqual(t, webtest.Ask(t, s, webtest.Post(base+path, nil)).Code, 400, path)
	}
	assert.Equal(t, 404, webtest.Ask(t, s, webtest.Get("/e/"+link.Token)).Code, "a view link opens nothing to edit")
	assert.Len(t, webtest.Shelved(t, kept), 1)

	require.NoError(t, kept.RevokeLink(context.Background(), d.ID, link.Token))
	assert.Equal(t, 404, webtest.Ask(t, s, webtest.Get(base)).Code)
}

func TestOthersReachLinksOnly(t *testing.T) {
	s, kept := webtest.Keeping(t)
	d := webtest.KeepLighthouse(t, kept)
	link, err := kept.MakeLink(context.Background(), d.ID, store.PowerView)
	require.NoError(t, err)
	for path, want := range map[string]int{"/": 403, "/new": 403, "/away": 403, "/d/" + d.ID: 403, "/v/" + link.Token: 200} {
		r := webtest.Get(path)
		r.RemoteAddr = "203.0.113.9:40000"
		assert.Equal(t, want, webtest.Ask(t, s, r).Code, path)
	}
}
