package webtest

import (
	"context"
	"io"
	"log/slog"
	"net"
	"net/http"
	"net/http/httptest"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"tuckring/internal/store"
	"tuckring/web"
)

// Running is the app on a real connection.
func Running(t *testing.T, kept *store.Store, body time.Duration) string {
	t.Helper()
	l, err := net.Listen("tcp", "127.0.0.1:0")
	require.NoError(t, err)
	app := web.New(web.Config{Store: kept, Listen: l.Addr().String(), Log: Quiet(), Body: body})
	ctx, stop := context.WithCancel(context.Background())
	done := make(chan error, 1)
	go func() { done <- app.Serve(ctx, l) }()
	t.Cleanup(func() { stop(); <-done })
	return "http://" + l.Addr().String()
}

// Keeping is an app with an empty database of its own.
func Keeping(t *testing.T) (*web.Server, *store.Store) {
	t.Helper()
	kept, err := store.Open(context.Background(), filepath.Join(t.TempDir(), "tuckring.db"))
	require.NoError(t, err)
	t.Cleanup(func() { require.NoError(t, kept.Close()) })
	return web.New(web.Config{Store: kept, Listen: "127.0.0.1:8080", Log: Quiet()}), kept
}

// Ask sends one request to a fresh app from this machine.
func Ask(t *testing.T, s http.Handler, r *http.Request) *httptest.ResponseRecorder {
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

func BareServer() *web.Server { return web.New(web.Config{Listen: "127.0.0.1:8080", Log: Quiet()}) }

func Quiet() *slog.Logger { return slog.New(slog.NewTextHandler(io.Discard, nil)) }
