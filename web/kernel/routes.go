package kernel

import (
	"cmp"
	"fmt"
	"net/http"
	"strings"

	"github.com/go-chi/chi/v5"

	"tuckring/internal/store"
	"tuckring/internal/words"
)

// Room is one place that a maker goes to: its addresses, and what the layout says of it.
type Room struct {
	Name   string                // its folder below web
	Routes []Route               // every address that it answers
	Tab    *Tab                  // its place in the navigation of a figure's pages, nil for none
	Heads  map[string]words.Text // what the running heads of its printed pages say, by the last part of their address
}

// Route is one address and what it needs.
type Route struct {
	Method  string // "GET" also answers HEAD
	Address string // as chi writes patterns; one that begins with OfFigure stands below every base of a figure
	Needs   Need
	Answer  Handler
	Body    int64    // most bytes of a request's body, 0 for MaxBody; for addresses without placeholders only
	Large   *Problem // what a longer body is answered with, nil for what is said of documents
}

// Get is a route that shows something and changes nothing; it answers HEAD too.
func Get(address string, needs Need, answer Handler) Route {
	return Route{Method: http.MethodGet, Address: address, Needs: needs, Answer: answer}
}

// Post is a route that changes something.
func Post(address string, needs Need, answer Handler) Route {
	return Route{Method: http.MethodPost, Address: address, Needs: needs, Answer: answer}
}

// Heavy is a route whose requests may bring more than others: at most so many bytes. One that brings more gets the problem.
func Heavy(route Route, body int64, large *Problem) Route {
	route.Body, route.Large = body, large
	return route
}

// OfFigure stands for the base of a figure: "/d/{id}" for its maker, "/e/{token}" and "/v/{token}" for a link.
const OfFigure = "{figure}"

// Need is what somebody has to be, or has to have been given, for an address to answer.
type Need string

// The needs. A figure's address needs one of the last four; only the first two stand elsewhere.
const (
	NeedsNothing Need = "nothing" // files that tell of no figure
	NeedsMaker   Need = "maker"   // to sit at this machine; of a figure's addresses it is only below "/d/{id}"
	NeedsView    Need = Need(store.PowerView)
	NeedsBuild   Need = Need(store.PowerBuild)
	NeedsEdit    Need = Need(store.PowerEdit)
)

// mount makes the app's addresses of its rooms. It panics on a route whose need is not declared or makes no sense where
// it stands: that is a mistake in the program, and no address is to be open for want of a word.
func (s *App) mount(rooms []Room) chi.Router {
	r := chi.NewRouter()
	r.Use(withLanguage, s.recoverPanics, securityHeaders, s.checkHost, s.checkOrigin, s.limitBody)
	r.Use(headAsGet, compress)
	r.NotFound(s.Handle(func(http.ResponseWriter, *http.Request) error { return NotFound() }))
	var figure chi.Router // that of one kind of base; all answer the same at the base itself
	r.MethodNotAllowed(s.Handle(func(w http.ResponseWriter, asked *http.Request) error {
		w.Header().Set("Allow", strings.Join(allowed(r, figure, asked), ", ")) // RFC 9110, 15.5.6
		return methodNotAllowed(asked.Method)
	}))
	var routes []Route
	for _, room := range rooms {
		routes = append(routes, room.Routes...)
	}
	for _, route := range routes {
		route.check()
		if route.Body > 0 {
			s.bodies[route.Address] = route
		}
	}
	s.answerTo(r, routes, "", NeedsNothing)
	r.Group(func(r chi.Router) {
		r.Use(s.onlyHere)
		s.answerTo(r, routes, "", NeedsMaker)
		figure = r.Route("/d/{id}", func(r chi.Router) {
			r.Use(s.asMaker)
			s.answerTo(r, routes, OfFigure, NeedsMaker, NeedsView, NeedsBuild, NeedsEdit)
		})
	})
	r.Route("/v/{token}", func(r chi.Router) {
		r.Use(s.byLink("v", store.PowerView, store.PowerBuild))
		s.answerTo(r, routes, OfFigure, NeedsView, NeedsBuild, NeedsEdit)
	})
	r.Route("/e/{token}", func(r chi.Router) {
		r.Use(s.byLink("e", store.PowerEdit))
		s.answerTo(r, routes, OfFigure, NeedsView, NeedsBuild, NeedsEdit)
	})
	return r
}

// allowed are the methods that the address of a request answers, as Allow lists them. chi takes the base of a figure for
// one that answers all of them, TRACE too: what it does answer, its own router knows.
func allowed(all, figure chi.Routes, r *http.Request) []string {
	path := cmp.Or(r.URL.RawPath, r.URL.Path) // as chi finds its way
	var methods []string
	if all.Match(chi.NewRouteContext(), http.MethodTrace, path) {
		all, path = figure, "/"
	}
	if all.Match(chi.NewRouteContext(), http.MethodGet, path) {
		methods = append(methods, http.MethodGet, http.MethodHead) // headAsGet
	}
	for _, method := range []string{http.MethodPost, http.MethodPut, http.MethodPatch, http.MethodDelete} {
		if all.Match(chi.NewRouteContext(), method, path) {
			methods = append(methods, method)
		}
	}
	return methods
}

// answerTo registers the routes that stand below a base and have one of some needs.
func (s *App) answerTo(r chi.Router, routes []Route, base string, needs ...Need) {
	for _, route := range routes {
		below, ofFigure := strings.CutPrefix(route.Address, OfFigure)
		if ofFigure != (base == OfFigure) {
			continue
		}
		for _, need := range needs {
			if route.Needs == need {
				r.With(s.needs(need)).Method(route.Method, "/"+strings.TrimPrefix(below, "/"), s.Handle(route.Answer))
			}
		}
	}
}

// check panics on a route that declares no need, or one that means nothing where it stands.
func (r *Route) check() {
	if r.Body > 0 && strings.Contains(r.Address, "{") {
		panic(fmt.Sprintf("%s: bodies of an address with placeholders are all alike", r.Address))
	}
	switch r.Needs {
	case NeedsMaker:
		return
	case NeedsNothing:
		if !strings.HasPrefix(r.Address, OfFigure) {
			return
		}
	case NeedsView, NeedsBuild, NeedsEdit:
		if strings.HasPrefix(r.Address, OfFigure) {
			return
		}
	}
	panic(fmt.Sprintf("%s %s: %q is no need of such an address", r.Method, r.Address, r.Needs))
}
