package kernel_test

import (
	"fmt"
	"net/http"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tuckring/internal/store"
	"tuckring/web/webtest"
)

func TestALinkThatWorksWithoutEndIsHeldUpAndLosesNothing(t *testing.T) {
	s, kept := webtest.Keeping(t)
	s.App.LimitWork(1, 20_000)
	d := webtest.KeepLighthouse(t, kept)
	link, err := kept.MakeLink(t.Context(), d.ID, store.PowerEdit)
	require.NoError(t, err)
	other, err := kept.MakeLink(t.Context(), d.ID, store.PowerEdit)
	require.NoError(t, err)
	send := func(base string, person byte, seq int) (int, http.Header) {
		w := webtest.Ask(t, s, webtest.By(person, webtest.Sending(base+"/edits", fmt.Sprintf(`{"client":%q,"steps":[{"seq":%d,"edit":{"do":"paint","runs":[{"ring":1,"at":%d,"n":1,"colour":%q}]}}]}`,
			webtest.TestPage, seq, seq%20, []string{"soot", "chalk"}[seq/20%2]))))
		return w.Code, w.Header()
	}
	seq, code, head := 0, 200, http.Header{}
	for code == 200 {
		seq++
		require.Less(t, seq, 100, "it is held up")
		code, head = send("/e/"+link.Token, 'g', seq)
	}
	require.Equal(t, 429, code) // RFC 6585, 4
	assert.NotEmpty(t, head.Get("Retry-After"))
	assert.Greater(t, seq, 10)
	before, _, err := kept.Get(t.Context(), d.ID)
	require.NoError(t, err)
	assert.EqualValues(t, seq-1, before.Rev, "what was answered is kept, and nothing else was done")

	form := webtest.Ask(t, s, webtest.By('g', webtest.Post("/e/"+link.Token+"/check/undo", nil)))
	assert.Equal(t, 429, form.Code)
	assert.Contains(t, form.Body.String(), "Nothing of it was done")
	code, _ = send("/e/"+other.Token, 'o', 1)
	assert.Equal(t, 200, code, "others go on")
	code, _ = send("/d/"+d.ID, 'm', 1)
	assert.Equal(t, 200, code, "and so does the maker")
	assert.Equal(t, 200, webtest.Ask(t, s, webtest.Get("/e/"+link.Token+"/state")).Code, "who waits still sees everything")

	s.App.LimitWork(0, 0) // time has gone by
	code, _ = send("/e/"+link.Token, 'g', seq)
	assert.Equal(t, 200, code, "the step that waited is taken under its number")
}

func TestWordOfHandsIsBounded(t *testing.T) {
	s, kept := webtest.Keeping(t)
	d := webtest.KeepLighthouse(t, kept)
	link, err := kept.MakeLink(t.Context(), d.ID, store.PowerEdit)
	require.NoError(t, err)
	here := func(base, name string) int {
		return webtest.Ask(t, s, webtest.By('g', webtest.Sending(base+"/here", fmt.Sprintf(`{"client":%q,"name":%q,"ring":1,"unit":2}`, webtest.TestPage, name)))).Code
	}
	assert.Equal(t, 413, here("/d/"+d.ID, strings.Repeat("long ", 1000)))
	s.App.LimitHands(0.001, 5)
	var codes []int
	for range 7 {
		codes = append(codes, here("/e/"+link.Token, "Jon"))
	}
	assert.Equal(t, []int{204, 204, 204, 204, 204, 429, 429}, codes)
	assert.Equal(t, 204, here("/d/"+d.ID, "Mira"))
}
