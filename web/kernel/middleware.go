package kernel

import (
	"context"
	"net/http"
	"runtime/debug"

	"github.com/klauspost/compress/gzhttp"

	"tuckring/internal/wire"
)

// compress packs what is text and longer than a network packet, as the reader's Accept-Encoding allows.
var compress = func() func(http.Handler) http.Handler {
	wrap, err := gzhttp.NewWrapper(gzhttp.MinSize(1400), gzhttp.CompressionLevel(5), gzhttp.ContentTypes([]string{
		"text/html", "text/css", "text/plain", "text/csv", "text/javascript", "application/json", "image/svg+xml", "model/gltf-binary", "application/octet-stream",
	}))
	if err != nil {
		panic(err) // the options are constants
	}
	return func(next http.Handler) http.Handler { return wrap(next) }
}()

// headAsGet answers HEAD as GET; the server leaves out the body (RFC 9110, 9.3.2).
func headAsGet(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if r.Method == http.MethodHead {
			r = r.WithContext(context.WithValue(r.Context(), headKey, true))
			r.Method = http.MethodGet
		}
		next.ServeHTTP(w, r)
	})
}

// HeadOnly tells whether only the head of the answer was asked for.
func HeadOnly(r *http.Request) bool { return r.Context().Value(headKey) != nil }

// recoverPanics turns a panic into the page of an internal problem, and logs where it came from.
func (s *App) recoverPanics(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		defer func() {
			v := recover()
			if v == nil {
				return
			}
			if v == http.ErrAbortHandler { //nolint:errorlint // the documented way to compare it
				panic(v)
			}
			s.Log.Error("panic", "method", r.Method, "path", r.URL.Path, "value", v, "stack", string(debug.Stack()))
			s.fail(w, r, NewProblem(wire.CodeInternal, "internal"))
		}()
		next.ServeHTTP(w, r)
	})
}
