package kernel

import (
	"context"
	"net/http"

	"github.com/a-h/templ"

	"tuckring/internal/words"
)

type contextKey int

const (
	speakerKey contextKey = iota
	accessKey
	headKey
)

// withLanguage finds the speaker for the reader's language (RFC 9110, Accept-Language).
func withLanguage(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		say := words.For(r.Header.Get("Accept-Language"))
		next.ServeHTTP(w, r.WithContext(context.WithValue(r.Context(), speakerKey, say)))
	})
}

// Speaker says sentences in the language of the request.
func Speaker(r *http.Request) *words.Speaker {
	if say, ok := r.Context().Value(speakerKey).(*words.Speaker); ok {
		return say
	}
	return words.English
}

// Handler answers a request or returns the error that explains why not (see problem.go).
type Handler func(w http.ResponseWriter, r *http.Request) error

// Handle turns a handler into one of net/http: an error becomes a page, or JSON where that was asked for.
func (s *App) Handle(h Handler) http.HandlerFunc {
	return func(w http.ResponseWriter, r *http.Request) {
		if err := h(w, r); err != nil {
			s.fail(w, r, err)
		}
	}
}

// Render writes a whole page with the given status. The page is made before a byte is sent, so that
// a failing template still ends in a proper error page.
func Render(w http.ResponseWriter, r *http.Request, status int, c templ.Component) error {
	buf := templ.GetBuffer()
	defer templ.ReleaseBuffer(buf)
	if err := c.Render(r.Context(), buf); err != nil {
		return err
	}
	w.Header().Set("Content-Type", "text/html; charset=utf-8")
	w.WriteHeader(status)
	_, _ = w.Write(buf.Bytes()) // the reader may be gone; nothing is left to do then
	return nil
}
