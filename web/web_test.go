package web

import (
	"bytes"
	"context"
	"io"
	"log/slog"
	"net"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// ask sends one request to a fresh app from this machine.
func ask(t *testing.T, s *Server, r *http.Request) *httptest.ResponseRecorder {
	t.Helper()
	if r.RemoteAddr == "192.0.2.1:1234" { // httptest's own default, a documentation address
		r.RemoteAddr = "127.0.0.1:40000"
	}
	if r.Host == "example.com" {
		r.Host = "localhost:8080"
	}
	w := httptest.NewRecorder()
	s.ServeHTTP(w, r)
	return w
}

func bareServer() *Server { return New(Config{Listen: "127.0.0.1:8080", Log: quiet()}) }

func quiet() *slog.Logger { return slog.New(slog.NewTextHandler(io.Discard, nil)) }

func TestForeignHostIsRefused(t *testing.T) {
	tests := []struct {
		host string
		ok   bool
	}{
		{"localhost", true},
		{"localhost:8080", true},
		{"LOCALHOST:8080", true},
		{"127.0.0.1:8080", true},
		{"[::1]:8080", true},
		{"[::1]", true},
		{"evil.example", false},
		{"localhost.evil.example:8080", false},
		{"127.0.0.1.evil.example", false},
		{"192.168.1.20:8080", false},
		{"", false},
	}
	s := bareServer()
	for _, tt := range tests {
		r := httptest.NewRequest("GET", "/static/"+s.static+"/icon.svg", nil)
		r.Host = tt.host
		w := httptest.NewRecorder()
		s.ServeHTTP(w, r)
		if tt.ok {
			assert.Equal(t, 200, w.Code, tt.host)
			continue
		}
		assert.Equal(t, http.StatusMisdirectedRequest, w.Code, tt.host) // RFC 9110, 15.5.20
		assert.Contains(t, w.Body.String(), "Wrong name for this computer", tt.host)
	}
}

func TestListenHostIsOwn(t *testing.T) {
	s := New(Config{Listen: "workbench.example:8080", Log: quiet()})
	assert.True(t, s.ownHost("workbench.example:8080"))
	assert.False(t, s.ownHost("kitchen.example:8080"))
}

func TestLANAcceptsTheMachinesOwnAddresses(t *testing.T) {
	addrs, err := net.InterfaceAddrs()
	require.NoError(t, err)
	lan, local := New(Config{LAN: true, Log: quiet()}), bareServer()
	for _, a := range addrs {
		ip := a.(*net.IPNet).IP
		host := net.JoinHostPort(ip.String(), "8080")
		assert.True(t, lan.ownHost(host), host)
		assert.Equal(t, ip.IsLoopback(), local.ownHost(host), host)
	}
	assert.False(t, lan.ownHost("203.0.113.7:8080"), "a documentation address (RFC 5737) is never ours")
}

func TestWriteFromAnotherSiteIsRefused(t *testing.T) {
	r := httptest.NewRequest("POST", "/new", strings.NewReader("title=x"))
	r.Header.Set("Sec-Fetch-Site", "cross-site")
	w := ask(t, bareServer(), r)
	assert.Equal(t, http.StatusForbidden, w.Code)
	assert.Contains(t, w.Body.String(), "Another page tried to change something")

	r = httptest.NewRequest("POST", "/new", strings.NewReader("title=x"))
	r.Header.Set("Origin", "http://evil.example")
	assert.Equal(t, http.StatusForbidden, ask(t, bareServer(), r).Code)
}

func TestOversizedBodyGetsAPage(t *testing.T) {
	w := ask(t, bareServer(), httptest.NewRequest("POST", "/new", bytes.NewReader(make([]byte, maxBody+1))))
	assert.Equal(t, http.StatusRequestEntityTooLarge, w.Code)
	assert.Contains(t, w.Body.String(), "Too large")
	assert.Contains(t, w.Body.String(), "4 MiB")
}

func TestUnknownAddressGetsAPage(t *testing.T) {
	w := ask(t, bareServer(), httptest.NewRequest("GET", "/no/such/page", nil))
	assert.Equal(t, http.StatusNotFound, w.Code)
	assert.Contains(t, w.Body.String(), "Page not found")
	assert.Contains(t, w.Body.String(), `href="/"`)
}

func TestProgramsGetProblemsAsJSON(t *testing.T) {
	r := httptest.NewRequest("GET", "/no/such/page", nil)
	r.Header.Set("Accept", "application/json")
	w := ask(t, bareServer(), r)
	assert.Equal(t, http.StatusNotFound, w.Code)
	assert.Equal(t, "application/json", w.Header().Get("Content-Type"))
	assert.Contains(t, w.Body.String(), `"code":"not_found"`)
}

func TestEveryAnswerCarriesTheSecurityHeaders(t *testing.T) {
	s := bareServer()
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

func TestPagesHaveNoInlineScriptOrStyle(t *testing.T) {
	body := ask(t, bareServer(), httptest.NewRequest("GET", "/nowhere", nil)).Body.String()
	assert.NotContains(t, body, "style=")
	assert.NotContains(t, body, "<style")
	assert.NotContains(t, body, "onclick")
}

func TestStaticFilesMayBeKeptUnderTheirVersionOnly(t *testing.T) {
	s := bareServer()
	now := ask(t, s, httptest.NewRequest("GET", s.staticURL("icon.svg"), nil))
	assert.Equal(t, 200, now.Code)
	assert.Equal(t, "image/svg+xml", now.Header().Get("Content-Type"))
	assert.Contains(t, now.Header().Get("Cache-Control"), "immutable")

	old := ask(t, s, httptest.NewRequest("GET", "/static/0123456789ab/icon.svg", nil))
	assert.Equal(t, 200, old.Code)
	assert.Equal(t, "no-cache", old.Header().Get("Cache-Control"))
}

func TestHeadAsksForThePageWithoutIt(t *testing.T) {
	s := bareServer()
	assert.Equal(t, 200, ask(t, s, httptest.NewRequest("HEAD", s.staticURL("icon.svg"), nil)).Code) // RFC 9110, 9.3.2
	assert.Equal(t, 405, ask(t, s, httptest.NewRequest("DELETE", s.staticURL("icon.svg"), nil)).Code)
}

func TestStaticServesOnlyKnownKinds(t *testing.T) {
	s := bareServer()
	for _, name := range []string{"static.go", "../web/web.go", "build", "", "no.css"} {
		assert.Equal(t, 404, ask(t, s, httptest.NewRequest("GET", s.staticURL(name), nil)).Code, name)
	}
}

func TestLargeTextIsCompressed(t *testing.T) {
	s := bareServer()
	r := httptest.NewRequest("GET", s.staticURL("build/base.css"), nil)
	r.Header.Set("Accept-Encoding", "gzip")
	w := ask(t, s, r)
	assert.Equal(t, 200, w.Code)
	assert.Equal(t, "gzip", w.Header().Get("Content-Encoding"))
}

func TestPanicBecomesAPage(t *testing.T) {
	s := bareServer()
	h := withLanguage(s.recoverPanics(http.HandlerFunc(func(http.ResponseWriter, *http.Request) { panic("secret detail") })))
	w := httptest.NewRecorder()
	h.ServeHTTP(w, httptest.NewRequest("GET", "/", nil))
	assert.Equal(t, 500, w.Code)
	assert.Contains(t, w.Body.String(), "Something went wrong")
	assert.NotContains(t, w.Body.String(), "secret detail")
}

func TestOnlyThisMachineMayPassOnlyHere(t *testing.T) {
	s := bareServer()
	h := s.onlyHere(http.HandlerFunc(func(w http.ResponseWriter, _ *http.Request) { w.WriteHeader(204) }))
	peers := map[string]int{"127.0.0.1:5": 204, "[::1]:5": 204, "[::ffff:127.0.0.1]:5": 204, "203.0.113.9:5": 403, "[fe80::1%eth0]:5": 403, "203.0.113.7:5": 403}
	for _, ip := range LANAddresses() {
		peers[net.JoinHostPort(ip.String(), "5")] = 204 // this machine, by another of its addresses
	}
	for peer, want := range peers {
		r := httptest.NewRequest("GET", "/", nil)
		r.RemoteAddr = peer
		w := httptest.NewRecorder()
		h.ServeHTTP(w, r)
		assert.Equal(t, want, w.Code, peer)
	}
}

func TestServeStopsWhenAsked(t *testing.T) {
	l, err := net.Listen("tcp", "127.0.0.1:0")
	require.NoError(t, err)
	ctx, stop := context.WithCancel(context.Background())
	done := make(chan error, 1)
	go func() { done <- bareServer().Serve(ctx, l) }()

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
