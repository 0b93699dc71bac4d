// Package web is the app's pages and the addresses they stand at. A handler parses, asks a package
// that knows, and renders; it never computes a number itself. Every error goes to one place
// (problem.go), which turns it into a status and a page.
//
// One file per page or resource, named for it; NAME.templ holds its page, NAME.go its handler.
// Middleware is in guard.go (who may ask), head.go (security headers), request.go (language).
package web

import (
	"log/slog"
	"maps"
	"net/http"
	"sync"
	"time"

	"github.com/go-chi/chi/v5"

	"tuckring/internal/live"
	"tuckring/internal/report"
	"tuckring/internal/store"
	"tuckring/internal/words"
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
	tabs    []Tab
	heads   map[string]words.Text
	routes  http.Handler
}

// New makes the app's handler.
func New(cfg Config) *Server {
	s := &Server{cfg: cfg, log: cfg.Log, static: static.Version(), fonts: static.Fonts(), counts: summaries{of: map[string]summary{}}, live: live.NewHub(), answers: newAnswers(), reckon: totalsOf, work: allowance{limit: workLimit}, hands: allowance{limit: handLimit}, heads: map[string]words.Text{}}
	if s.log == nil {
		s.log = slog.Default()
	}
	if cfg.Store != nil {
		cfg.Store.SetWatch(s.announce)
		cfg.Store.SetLog(s.log)
	}
	rooms := s.rooms()
	for _, room := range rooms {
		if room.Tab != nil {
			s.tabs = append(s.tabs, *room.Tab)
		}
		maps.Copy(s.heads, room.Heads)
	}
	s.routes = s.mount(rooms)
	return s
}

func (s *Server) ServeHTTP(w http.ResponseWriter, r *http.Request) { s.routes.ServeHTTP(w, r) }

// Routes are all addresses that the app answers, for whoever goes through every one.
func (s *Server) Routes() chi.Routes { return s.routes.(chi.Routes) } //nolint:forcetypeassert // New makes it so

// rooms are the places of the app, those in the navigation of a figure's pages in its order.
func (s *Server) rooms() []Room {
	return []Room{
		s.filesRoom(), s.shelfRoom(), s.patternRoom(), s.checkRoom(), s.sizeRoom(), s.reportRoom(), s.listRoom(), s.cutRoom(),
		s.kitsRoom(), s.buildRoom(), s.standRoom(), s.shareRoom(), s.documentRoom(),
	}
}
