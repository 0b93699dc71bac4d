package kernel_test

import (
	"fmt"
	"net/http"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tuckring/internal/store"
	"tuckring/web/kernel"
	"tuckring/web/webtest"
)

// Anything after the question mark made a page anew, one after the other, while everybody waited.
func TestWhatAPageDoesNotKnowMakesNoNewPage(t *testing.T) {
	s, kept := webtest.Keeping(t)
	d := webtest.KeepLighthouse(t, kept)
	made := 0
	page := s.App.Kept(func(w http.ResponseWriter, r *http.Request) error {
		made++
		_, err := fmt.Fprint(w, r.URL.RawQuery)
		return err
	}, kernel.Asks{Name: "done", Values: []string{"fix"}}, kernel.Asks{Name: "people"})
	for query, want := range map[string]string{"": "", "x=1": "", "done=no": "", "done=fix": "done=fix", "y&done=fix&done=undo": "done=fix", "people=3": "people=3", "people=4&z": "people=4"} {
		w := webtest.Ask(t, s.App.Handle(page), kernel.WithAccess(webtest.Get("/d/"+d.ID+"/check?"+query), kernel.Access{Base: "/d/" + d.ID, Design: d.ID, Power: store.PowerEdit, Maker: true}))
		assert.Equal(t, want, w.Body.String(), query)
	}
	assert.Equal(t, 4, made)
	first := webtest.Ask(t, s, webtest.Get("/d/"+d.ID+"/report?x=1")).Header().Get("ETag")
	assert.NotEmpty(t, first)
	assert.Equal(t, first, webtest.Ask(t, s, webtest.Get("/d/"+d.ID+"/report?x=2")).Header().Get("ETag"))
	assert.NotEqual(t, first, webtest.Ask(t, s, webtest.Get("/d/"+d.ID+"/report?saved=1")).Header().Get("ETag"))
}

func TestThePictureOfARevisionIsKept(t *testing.T) {
	s, kept := webtest.Keeping(t)
	d := webtest.KeepLighthouse(t, kept)
	ask := func(tag string) (int, string) {
		r := webtest.Get("/d/" + d.ID + "/at/0.svg")
		r.Header.Set("If-None-Match", tag)
		w := webtest.Ask(t, s, r)
		return w.Code, w.Header().Get("ETag")
	}
	code, tag := ask("")
	require.Equal(t, 200, code)
	require.NotEmpty(t, tag)
	webtest.PaintSome(t, kept, d.ID, 2)
	code, again := ask(tag)
	assert.Equal(t, 304, code, "a revision never changes (RFC 9110, 13.1.2)")
	assert.Equal(t, tag, again)
	assert.Equal(t, 404, webtest.Ask(t, s, webtest.Get("/d/"+d.ID+"/at/3.svg")).Code)
}
