// Package kernel is what every room of the app stands on: requests and their language, who may ask, the layout of pages,
// forms, problems, answers that are kept, static files, who watches which figure, and the store. It knows no page of a
// room; a room knows the kernel and no other room.
//
// A handler parses, asks a package that knows, and renders; it never computes a number itself. Every error goes to one
// place (problem.go), which turns it into a status and a page.
package kernel

import (
	"log/slog"
	"maps"
	"time"

	"github.com/go-chi/chi/v5"

	"tuckring/internal/live"
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

// App is what all rooms share. Make it with New.
type App struct {
	Config
	Live  *live.Hub // who watches which figure
	Work  Allowance // of each link, for steps
	Hands Allowance // and for word of where hands are

	static  string // version of the static files
	fonts   []string
	answers *answers              // costly ones, kept until the figure changes
	tabs    []Tab                 // the navigation of a figure's pages
	heads   map[string]words.Text // running heads of printed pages
	bodies  map[string]Route      // addresses whose requests may bring more than others
}

// New makes an app without rooms.
func New(cfg Config) *App {
	if cfg.Log == nil {
		cfg.Log = slog.Default()
	}
	if cfg.Store != nil {
		cfg.Store.SetLog(cfg.Log)
	}
	return &App{Config: cfg, Live: live.NewHub(), Work: Allowance{limit: workLimit}, Hands: Allowance{limit: handLimit},
		static: static.Version(), fonts: static.Fonts(), answers: newAnswers(), heads: map[string]words.Text{}, bodies: map[string]Route{}}
}

// Open opens rooms, and gives the handler of all their addresses and of the kernel's own. The tabs of a figure's pages
// stand in the order of the rooms. It panics on a route that declares no need.
func (s *App) Open(rooms ...Room) chi.Router {
	for _, room := range rooms {
		if room.Tab != nil {
			s.tabs = append(s.tabs, *room.Tab)
		}
		maps.Copy(s.heads, room.Heads)
	}
	return s.mount(append([]Room{s.filesRoom()}, rooms...))
}
