package web_test

import (
	"bytes"
	"context"
	"net"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tuckring/web/kernel"
	"tuckring/web/webtest"
)

func TestWriteFromAnotherSiteIsRefused(t *testing.T) {
	r := httptest.NewRequest("POST", "/new", strings.NewReader("title=x"))
	r.Header.Set("Sec-Fetch-Site", "cross-site")
	w := webtest.Ask(t, webtest.BareServer(), r)
	assert.Equal(t, http.StatusForbidden, w.Code)
	assert.Contains(t, w.Body.String(), "Another page tried to change something")

	r = httptest.NewRequest("POST", "/new", strings.NewReader("title=x"))
	r.Header.Set("Origin", "http://evil.example")
	assert.Equal(t, http.StatusForbidden, webtest.Ask(t, webtest.BareServer(), r).Code)
}

func TestOversizedBodyGetsAPage(t *testing.T) {
	w := webtest.Ask(t, webtest.BareServer(), httptest.NewRequest("POST", "/new", bytes.NewReader(make([]byte, kernel.MaxBody+1))))
	assert.Equal(t, http.StatusRequestEntityTooLarge, w.Code)
	assert.Contains(t, w.Body.String(), "Too large")
	assert.Contains(t, w.Body.String(), "4 MiB")
}

func TestUnknownAddressGetsAPage(t *testing.T) {
	w := webtest.Ask(t, webtest.BareServer(), httptest.NewRequest("GET", "/no/such/page", nil))
	assert.Equal(t, http.StatusNotFound, w.Code)
	assert.Contains(t, w.Body.String(), "Page not found")
	assert.Contains(t, w.Body.String(), `href="/"`)
}

func TestProgramsGetProblemsAsJSON(t *testing.T) {
	r := httptest.NewRequest("GET", "/no/such/page", nil)
	r.Header.Set("Accept", "application/json")
	w := webtest.Ask(t, webtest.BareServer(), r)
	assert.Equal(t, http.StatusNotFound, w.Code)
	assert.Equal(t, "application/json", w.Header().Get("Content-Type"))
	assert.Contains(t, w.Body.String(), `"code":"not_found"`)
}

func TestPagesHaveNoInlineScriptOrStyle(t *testing.T) {
	body := webtest.Ask(t, webtest.BareServer(), httptest.NewRequest("GET", "/nowhere", nil)).Body.String()
	assert.NotContains(t, body, "style=")
	assert.NotContains(t, body, "<style")
	assert.NotContains(t, body, "onclick")
}

func TestServeStopsWhenAsked(t *testing.T) {
	l, err := net.Listen("tcp", "127.0.0.1:0")
	require.NoError(t, err)
	ctx, stop := context.WithCancel(context.Background())
	done := make(chan error, 1)
	go func() { done <- webtest.BareServer().Serve(ctx, l) }()

	answer, err := http.Get("http://" + l.Addr().String() + "/favicon.ico")
	require.NoError(t, err)
	_ = answer.Body.Close()
	assert.Equal(t, 200, answer.StatusCode)

	stop()
	select {
	case err := <-done:
		assert.NoError(t, err)
	case <-time.After(10 * time.Second):
		t.Fatal("Serve did not return")
	}
}
