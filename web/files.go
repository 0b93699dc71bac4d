package web

import (
	"io/fs"
	"net/http"
	"path"
	"strings"

	"github.com/go-chi/chi/v5"

	"tuckring/static"
)

// mediaTypes are the kinds of static files; a name with another ending is not served. The types
// stand here since the system's own table differs between machines.
var mediaTypes = map[string]string{
	".css":   "text/css; charset=utf-8",
	".js":    "text/javascript; charset=utf-8",
	".svg":   "image/svg+xml",
	".png":   "image/png",
	".woff2": "font/woff2",
	".txt":   "text/plain; charset=utf-8",
}

// staticURL is the address of a static file; it changes when any static file does.
func (s *Server) staticURL(name string) string { return "/static/" + s.static + "/" + name }

// staticFile serves one static file. Under the current version it may be kept for ever.
func (s *Server) staticFile(w http.ResponseWriter, r *http.Request) error {
	if chi.URLParam(r, "version") != s.static {
		return sendFile(w, chi.URLParam(r, "*"), "no-cache")
	}
	return sendFile(w, chi.URLParam(r, "*"), "public, max-age=31536000, immutable")
}

// favicon answers browsers that ask for it without being told to.
func (s *Server) favicon(w http.ResponseWriter, _ *http.Request) error {
	return sendFile(w, "icon.svg", "public, max-age=86400")
}

func sendFile(w http.ResponseWriter, name, cache string) error {
	mediaType, known := mediaTypes[strings.ToLower(path.Ext(name))]
	if !known {
		return notFound()
	}
	data, err := fs.ReadFile(static.Files(), name)
	if err != nil {
		return notFound()
	}
	w.Header().Set("Content-Type", mediaType)
	w.Header().Set("Cache-Control", cache)
	_, _ = w.Write(data) // the reader may be gone; nothing is left to do then
	return nil
}
