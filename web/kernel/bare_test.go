package kernel

import (
	"io"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"testing"
)

// bareApp is an app without rooms.
type bareApp struct {
	*App
	http.Handler
}

// bare makes an app that listens on this machine only, or as it is told.
func bare(cfg ...Config) *bareApp {
	cfg = append(cfg, Config{Listen: "127.0.0.1:8080"})
	cfg[0].Log = quiet()
	app := New(cfg[0])
	return &bareApp{app, app.Open()}
}

func quiet() *slog.Logger { return slog.New(slog.NewTextHandler(io.Discard, nil)) }

// ask sends a request from this machine.
func ask(t *testing.T, s http.Handler, r *http.Request) *httptest.ResponseRecorder {
	t.Helper()
	r.RemoteAddr, r.Host = "127.0.0.1:40000", "localhost:8080"
	w := httptest.NewRecorder()
	s.ServeHTTP(w, r)
	return w
}
