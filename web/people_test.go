package web_test

import (
	"net/http"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tuckring/web/kernel"
	"tuckring/web/webtest"
)

func TestNewBrowserGetsItsPerson(t *testing.T) {
	s, kept := webtest.Keeping(t)
	base := "/d/" + webtest.KeepLighthouse(t, kept).ID
	w := webtest.Ask(t, s, webtest.Get(base+"/state"))
	require.Len(t, w.Result().Cookies(), 1)
	c := w.Result().Cookies()[0]
	assert.Equal(t, kernel.PersonCookie, c.Name)
	assert.True(t, c.HttpOnly)
	assert.Equal(t, http.SameSiteLaxMode, c.SameSite)
	r := webtest.Get(base + "/state")
	r.AddCookie(c)
	assert.Empty(t, webtest.Ask(t, s, r).Result().Cookies(), "a known browser keeps it")
	r = webtest.Get(base + "/state")
	r.AddCookie(&http.Cookie{Name: kernel.PersonCookie, Value: "<script>"})
	assert.Len(t, webtest.Ask(t, s, r).Result().Cookies(), 1)
	assert.NotContains(t, kernel.PersonOf(c.Value), c.Value[:8], "others see a digest")
}
