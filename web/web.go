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
	"sync"
	"time"

	"github.com/go-chi/chi/v5"

	"tuckring/internal/live"
	"tuckring/internal/report"
	"tuckring/internal/store"
	"tuckring/static"
)

// Config is what the app needs to know about where it runs.
type Config struct {
	Store  *store.Store  // where the designs are kept
	Listen string        // host:port it listens on; its host is an allowed Host
	LAN    bool          // other machines may open shared links
	Body   time.Duration // for the body of a request to come; 0 for bodyTime
	Log    *slog.Logger  // nil: slog.Default()
}

// Server answers requests. Make it with New.
type Server struct {
	cfg     Config
	log     *slog.Logger
	static  string // version of the static files
	fonts   []string
	counts  summaries
	live    *live.Hub                     // who watches which figure
	answers *answers                      // costly ones, kept until the figure changes
	told    sync.Map                      // the lastTotals of figures that were changed, by design
	counter counter                       // whose totals are being counted
	reckon  func(store.Now) report.Totals // totalsOf
	work    allowance                     // of each link, for steps
	hands   allowance                     // and for word of where hands are
	routes  http.Handler
}

// New makes the app's handler.
func New(cfg Config) *Server {
	s := &Server{cfg: cfg, log: cfg.Log, static: static.Version(), fonts: static.Fonts(), counts: summaries{of: map[string]summary{}}, live: live.NewHub(), answers: newAnswers(), reckon: totalsOf, work: allowance{limit: workLimit}, hands: allowance{limit: handLimit}}
	if s.log == nil {
		s.log = slog.Default()
	}
	if cfg.Store != nil {
		cfg.Store.SetWatch(s.announce)
		cfg.Store.SetLog(s.log)
	}
	s.routes = s.router()
	return s
}

func (s *Server) ServeHTTP(w http.ResponseWriter, r *http.Request) { s.routes.ServeHTTP(w, r) }

// Routes are all addresses that the app answers, for whoever goes through every one.
func (s *Server) Routes() chi.Routes { return s.routes.(chi.Routes) } //nolint:forcetypeassert // New makes it so

func (s *Server) router() http.Handler {
	r := chi.NewRouter()
	r.Use(withLanguage, s.recoverPanics, securityHeaders, s.checkHost, s.checkOrigin, s.limitBody)
	r.Use(headAsGet, compress)
	r.NotFound(s.page(func(http.ResponseWriter, *http.Request) error { return notFound() }))
	r.MethodNotAllowed(s.page(func(_ http.ResponseWriter, r *http.Request) error { return methodNotAllowed(r.Method) }))

	r.Get("/static/{version}/*", s.page(s.staticFile))
	r.Get("/favicon.ico", s.page(s.favicon))
	r.Get("/robots.txt", s.page(s.robots))

	r.Group(func(r chi.Router) { // the maker's own: the shelf and what stands on it
		r.Use(s.onlyHere)
		r.Get("/", s.page(s.shelf))
		r.Get("/away", s.page(s.putAwayShelf))
		r.Get("/new", s.page(s.newFigure))
		r.Post("/new", s.page(s.makeFigure))
		r.Post("/open", s.page(s.openDocument))
		r.Route("/d/{id}", func(r chi.Router) {
			r.Use(s.asMaker)
			s.figureRoutes(r)
			r.Get("/document", s.page(s.document))
			r.Post("/size/swatch", s.page(s.keepSwatch))
			r.Post("/size/forget", s.page(s.forgetSwatch))
			r.Get("/share", s.page(s.share))
			r.Post("/share", s.page(s.makeLink))
			r.Get("/share/{token}/code.svg", s.page(s.linkCode))
			r.Post("/share/{token}/revoke", s.page(s.revokeLink))
			r.Post("/away", s.page(s.putAway))
			r.Post("/back", s.page(s.bringBack))
			r.Post("/go-on", s.page(s.goOn))
		})
	})
	r.Route("/v/{token}", func(r chi.Router) {
		r.Use(s.byLink("v", store.PowerView, store.PowerBuild))
		s.figureRoutes(r)
	})
	r.Route("/e/{token}", func(r chi.Router) {
		r.Use(s.byLink("e", store.PowerEdit))
		s.figureRoutes(r)
	})
	return r
}

// figureRoutes are the pages of a figure under any of its bases. Handlers find out by accessOf where
// they are and what may be done; what changes anything stands in a group that needs a power.
func (s *Server) figureRoutes(r chi.Router) {
	r.Get("/", s.page(s.pattern))
	r.Get("/picture.svg", s.page(s.picture))
	r.Get("/pattern.svg", s.page(s.patternPicture))
	r.Get("/pattern", s.page(s.patternPrint))
	r.Get("/running/{page}.css", s.page(s.runningHead))
	r.Get("/handout-{paper}.pdf", s.page(s.handout))
	r.Get("/stand", s.page(s.stand))
	r.Get("/stand.bin", s.page(s.standPlaces))
	r.Get("/figure.svg", s.page(s.still))
	r.Get("/figure.glb", s.page(s.standModel))
	s.reportRoutes(r)
	r.Get("/state", s.page(s.state))
	r.Get("/events", s.page(s.events))
	r.Get("/findings", s.kept(s.findings))
	s.holdRoutes(r)
	r.Group(func(r chi.Router) {
		r.Use(s.needs(store.PowerEdit))
		r.Post("/edits", s.page(s.edits))
		r.Post("/here", s.page(s.here))
		r.Get("/history", s.page(s.history))
		r.Get("/at/{rev}.svg", s.page(s.pictureAt))
	})
}
