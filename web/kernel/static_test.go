package kernel

import (
	"net/http/httptest"
	"testing"

	"github.com/stretchr/testify/assert"
)

// RFC 9110, 12.4.2: a quality of 0 means "not acceptable".
func TestGzipIsSentOnlyToWhomTakesIt(t *testing.T) {
	s := bare()
	for accept, packed := range map[string]bool{"gzip": true, "br, gzip;q=0.5": true, "gzip;q=0": false, "gzip;q=0, br": false, "": false, "identity": false} {
		r := httptest.NewRequest("GET", s.staticURL("build/base.css"), nil)
		r.Header.Set("Accept-Encoding", accept)
		w := ask(t, s, r)
		assert.Equal(t, packed, w.Header().Get("Content-Encoding") == "gzip", accept)
	}
}

func TestEveryAnswerCarriesTheSecurityHeaders(t *testing.T) {
	s := bare()
	for _, path := range []string{"/static/" + s.static + "/icon.svg", "/nowhere"} {
		h := ask(t, s, httptest.NewRequest("GET", path, nil)).Header()
		policy := h.Get("Content-Security-Policy")
		assert.Contains(t, policy, "default-src 'none'", path)
		assert.Contains(t, policy, "script-src 'self';", path)
		assert.NotContains(t, policy, "unsafe", path)
		assert.Equal(t, "nosniff", h.Get("X-Content-Type-Options"), path)
		assert.Equal(t, "same-origin", h.Get("Referrer-Policy"), path)
	}
}

func TestStaticFilesMayBeKeptUnderTheirVersionOnly(t *testing.T) {
	s := bare()
	now := ask(t, s, httptest.NewRequest("GET", s.staticURL("icon.svg"), nil))
	assert.Equal(t, 200, now.Code)
	assert.Equal(t, "image/svg+xml", now.Header().Get("Content-Type"))
	assert.Contains(t, now.Header().Get("Cache-Control"), "immutable")

	old := ask(t, s, httptest.NewRequest("GET", "/static/0123456789ab/icon.svg", nil))
	assert.Equal(t, 200, old.Code)
	assert.Equal(t, "no-cache", old.Header().Get("Cache-Control"))
}

func TestHeadAsksForThePageWithoutIt(t *testing.T) {
	s := bare()
	assert.Equal(t, 200, ask(t, s, httptest.NewRequest("HEAD", s.staticURL("icon.svg"), nil)).Code) // RFC 9110, 9.3.2
	assert.Equal(t, 405, ask(t, s, httptest.NewRequest("DELETE", s.staticURL("icon.svg"), nil)).Code)
}

func TestStaticServesOnlyKnownKinds(t *testing.T) {
	s := bare()
	for _, name := range []string{"static.go", "../web/web.go", "build", "", "no.css"} {
		assert.Equal(t, 404, ask(t, s, httptest.NewRequest("GET", s.staticURL(name), nil)).Code, name)
	}
}

func TestLargeTextIsCompressed(t *testing.T) {
	s := bare()
	r := httptest.NewRequest("GET", s.staticURL("build/base.css"), nil)
	r.Header.Set("Accept-Encoding", "gzip")
	w := ask(t, s, r)
	assert.Equal(t, 200, w.Code)
	assert.Equal(t, "gzip", w.Header().Get("Content-Encoding"))
}
