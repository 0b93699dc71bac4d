package web

import (
	"context"
	"net/http"

	"github.com/go-chi/chi/v5"

	"tuckring/internal/store"
)

// access is how a request reached a figure: under which address, and what it may do there.
type access struct {
	base   string      // "/d/{id}", "/e/{token}" or "/v/{token}"
	design string      // the design's public ID
	power  store.Power // what may be done
	maker  bool        // on the maker's own machine, by the shelf
}

// may tells whether the access has a power. Each power holds the ones before it: view, build, edit.
func (a access) may(p store.Power) bool {
	rank := map[store.Power]int{store.PowerView: 1, store.PowerBuild: 2, store.PowerEdit: 3}
	return rank[a.power] >= rank[p]
}

// accessOf is the access of a request below one of the figure's bases.
func accessOf(r *http.Request) access {
	a, _ := r.Context().Value(accessKey).(access)
	return a
}

func withAccess(r *http.Request, a access) *http.Request {
	return r.WithContext(context.WithValue(r.Context(), accessKey, a))
}

// asMaker gives everything below /d/{id} the maker's access.
func (s *Server) asMaker(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		id := chi.URLParam(r, "id")
		next.ServeHTTP(w, withAccess(r, access{base: "/d/" + id, design: id, power: store.PowerEdit, maker: true}))
	})
}

// byLink gives everything below /v/{token} or /e/{token} the power of its link. A link opens only under
// the letter of its kind, so that what an address may do can be seen in it.
func (s *Server) byLink(letter string, powers ...store.Power) func(http.Handler) http.Handler {
	return func(next http.Handler) http.Handler {
		return s.page(func(w http.ResponseWriter, r *http.Request) error {
			token := chi.URLParam(r, "token")
			link, err := s.cfg.Store.Resolve(r.Context(), token)
			if err != nil {
				return err
			}
			for _, p := range powers {
				if link.Power == p {
					next.ServeHTTP(w, withAccess(r, access{base: "/" + letter + "/" + token, design: link.Design, power: link.Power}))
					return nil
				}
			}
			return problem(CodeNotFound, "no_link")
		})
	}
}

// needs lets only requests pass that have what an address needs: a write with a view link is refused here. Who the maker
// is was asked before.
func (s *Server) needs(need Need) func(http.Handler) http.Handler {
	return func(next http.Handler) http.Handler {
		if need == NeedsNothing || need == NeedsMaker {
			return next
		}
		return s.page(func(w http.ResponseWriter, r *http.Request) error {
			if !accessOf(r).may(store.Power(need)) {
				return problem(CodeForbidden, "view_only")
			}
			next.ServeHTTP(w, r)
			return nil
		})
	}
}

// figurePage starts a page of the figure that the request reached. Its name stands in the title before the figure's;
// the first page of a figure has none.
func (s *Server) figurePage(r *http.Request, figureTitle string, tab Tab) Page {
	a := accessOf(r)
	title := figureTitle
	if tab.Page != "" {
		title = speaker(r).Say(tab.Name) + " · " + figureTitle
	}
	p := s.newPage(r, title)
	p.Maker = a.maker
	p.Design = &Here{Base: a.base, Title: figureTitle, Page: tab.Page}
	return p
}
