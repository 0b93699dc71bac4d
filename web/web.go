// Package web is the app's pages and the addresses they stand at. A handler parses, asks a package
// that knows, and renders; it never computes a number itself. Every error goes to one place
// (problem.go), which turns it into a status and a page.
//
// One file per page or resource, named for it; NAME.templ holds its page, NAME.go its handler.
// Middleware is in guard.go (who may ask), head.go (security headers), request.go (language).
package web

import (
	"log/slog"
	"net/http"

	"github.com/go-chi/chi/v5"
	"github.com/go-chi/chi/v5/middleware"

	"tuckring/static"
)

// Config is what the app needs to know about where it runs.
type Config struct {
	Listen string       // host:port it listens on; its host is an allowed Host
	LAN    bool         // other machines may open shared links
	Log    *slog.Logger // nil: slog.Default()
}

// Server answers requests. Make it with New.
type Server struct {
	cfg    Config
	log    *slog.Logger
	static string // version of the static files
	routes http.Handler
}

// New makes the app's handler.
func New(cfg Config) *Server {
	s := &Server{cfg: cfg, log: cfg.Log, static: static.Version()}
	if s.log == nil {
		s.log = slog.Default()
	}
	s.routes = s.router()
	return s
}

func (s *Server) ServeHTTP(w http.ResponseWriter, r *http.Request) { s.routes.ServeHTTP(w, r) }

func (s *Server) router() http.Handler {
	r := chi.NewRouter()
	r.Use(withLanguage, s.recoverPanics, securityHeaders, s.checkHost, s.checkOrigin, s.limitBody)
	r.Use(middleware.Compress(5))
	r.NotFound(s.page(func(http.ResponseWriter, *http.Request) error { return notFound() }))
	r.MethodNotAllowed(s.page(func(_ http.ResponseWriter, r *http.Request) error { return methodNotAllowed(r.Method) }))

	r.Get("/static/{version}/*", s.page(s.staticFile))
	r.Get("/favicon.ico", s.page(s.favicon))
	return r
}
