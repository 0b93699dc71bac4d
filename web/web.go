// Package web puts the app together: a kernel, and around it a room for each place that a maker goes to. A room's folder
// has the name of its address; its handlers, its pages (NAME.templ) and the table of its routes are in it. What several
// rooms show is in common.
package web

import (
	"net/http"

	"github.com/go-chi/chi/v5"

	"tuckring/web/begin"
	"tuckring/web/build"
	"tuckring/web/check"
	"tuckring/web/cut"
	"tuckring/web/document"
	"tuckring/web/fold"
	"tuckring/web/kernel"
	"tuckring/web/kits"
	"tuckring/web/list"
	"tuckring/web/pattern"
	"tuckring/web/report"
	"tuckring/web/share"
	"tuckring/web/shelf"
	"tuckring/web/size"
	"tuckring/web/stand"
)

// Config is what the app needs to know about where it runs.
type Config = kernel.Config

// Server answers requests. Make it with New.
type Server struct {
	App     *kernel.App // what its rooms share
	rooms   []kernel.Room
	answers chi.Router
}

// New makes the app's handler.
func New(cfg Config) *Server {
	app := kernel.New(cfg)
	s := &Server{App: app, rooms: rooms(app)}
	s.answers = app.Open(s.rooms...)
	return s
}

// rooms are the places of the app, those in the navigation of a figure's pages in its order.
func rooms(app *kernel.App) []kernel.Room {
	return []kernel.Room{
		shelf.Room(app), begin.Room(app), pattern.Room(app), check.Room(app), size.Room(app), report.Room(app), list.Room(app), cut.Room(app),
		kits.Room(app), build.Room(app), fold.Room(app), stand.Room(app), share.Room(app), document.Room(app),
	}
}

// Rooms are the app's rooms with every route, for whoever wants to go through all of them.
func (s *Server) Rooms() []kernel.Room { return s.rooms }

// Routes are all addresses that the app answers, for whoever goes through every one.
func (s *Server) Routes() chi.Routes { return s.answers }

func (s *Server) ServeHTTP(w http.ResponseWriter, r *http.Request) { s.answers.ServeHTTP(w, r) }
