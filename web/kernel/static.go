package kernel

import (
	"bytes"
	"io"
	"io/fs"
	"net/http"
	"path"
	"strings"
	"time"

	"github.com/go-chi/chi/v5"

	"tuckring/static"
)

// filesRoom are the addresses that the app itself answers: static files, and the running heads of printed pages.
func (s *App) filesRoom() Room {
	return Room{Name: "kernel", Routes: []Route{
		Get("/static/{version}/*", NeedsNothing, s.staticFile),
		Get("/favicon.ico", NeedsNothing, s.favicon),
		Get("/robots.txt", NeedsNothing, s.robots),
		Get(OfFigure+"/running/{page}.css", NeedsView, s.runningHead),
	}}
}

// MediaTypes are the kinds of static files; a name with another ending is not served. The types
// stand here since the system's own table differs between machines.
var MediaTypes = map[string]string{
	".css":   "text/css; charset=utf-8",
	".js":    "text/javascript; charset=utf-8",
	".svg":   "image/svg+xml",
	".png":   "image/png",
	".woff2": "font/woff2",
	".txt":   "text/plain; charset=utf-8",
}

// staticURL is the address of a static file; it changes when any static file does.
func (s *App) staticURL(name string) string { return "/static/" + s.static + "/" + name }

// staticFile serves one static file. Under the current version it may be kept for ever.
func (s *App) staticFile(w http.ResponseWriter, r *http.Request) error {
	if chi.URLParam(r, "version") != s.static {
		return s.sendFile(w, r, chi.URLParam(r, "*"), "no-cache")
	}
	return s.sendFile(w, r, chi.URLParam(r, "*"), "public, max-age=31536000, immutable")
}

// favicon answers browsers that ask for it without being told to.
func (s *App) favicon(w http.ResponseWriter, r *http.Request) error {
	return s.sendFile(w, r, "icon.svg", "public, max-age=86400")
}

// robots asks search engines to stay away: a link is known only to those whom its maker gave it
// (RFC 9309).
func (s *App) robots(w http.ResponseWriter, _ *http.Request) error {
	w.Header().Set("Content-Type", MediaTypes[".txt"])
	_, _ = io.WriteString(w, "User-agent: *\nDisallow: /\n")
	return nil
}

func (s *App) sendFile(w http.ResponseWriter, r *http.Request, name, cache string) error {
	mediaType, known := MediaTypes[strings.ToLower(path.Ext(name))]
	if !known {
		return NotFound()
	}
	data, err := fs.ReadFile(static.Files(), name)
	if err != nil {
		return NotFound()
	}
	w.Header().Set("Content-Type", mediaType)
	w.Header().Set("Cache-Control", cache)
	w.Header().Set("ETag", `W/"`+s.static+`"`)
	http.ServeContent(w, r, "", time.Time{}, bytes.NewReader(data))
	return nil
}
