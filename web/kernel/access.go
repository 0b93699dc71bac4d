package kernel

import (
	"context"
	"net/http"

	"github.com/go-chi/chi/v5"

	"tuckring/internal/store"
	"tuckring/internal/wire"
)

// Access is how a request reached a figure: under which address, and what it may do there.
type Access struct {
	Base   string      // "/d/{id}", "/e/{token}" or "/v/{token}"
	Design string      // the design's public ID
	Power  store.Power // what may be done
	Maker  bool        // on the maker's own machine, by the shelf
}

// May tells whether the access has a power. Each power holds the ones before it: view, build, edit.
func (a Access) May(p store.Power) bool {
	rank := map[store.Power]int{store.PowerView: 1, store.PowerBuild: 2, store.PowerEdit: 3}
	return rank[a.Power] >= rank[p]
}

// AccessOf is the access of a request below one of the figure's bases.
func AccessOf(r *http.Request) Access {
	a, _ := r.Context().Value(accessKey).(Access)
	return a
}

func withAccess(r *http.Request, a Access) *http.Request {
	return r.WithContext(context.WithValue(r.Context(), accessKey, a))
}

// asMaker gives everything below /d/{id} the maker's access.
func (s *App) asMaker(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		id := chi.URLParam(r, "id")
		next.ServeHTTP(w, withAccess(r, Access{Base: "/d/" + id, Design: id, Power: store.PowerEdit, Maker: true}))
	})
}

// byLink gives everything below /v/{token} or /e/{token} the power of its link. A link opens only under
// the letter of its kind, so that what an address may do can be seen in it.
func (s *App) byLink(letter string, powers ...store.Power) func(http.Handler) http.Handler {
	return func(next http.Handler) http.Handler {
		return s.Handle(func(w http.ResponseWriter, r *http.Request) error {
			token := chi.URLParam(r, "token")
			link, err := s.Store.Resolve(r.Context(), token)
			if err != nil {
				return err
			}
			for _, p := range powers {
				if link.Power == p {
					next.ServeHTTP(w, withAccess(r, Access{Base: "/" + letter + "/" + token, Design: link.Design, Power: link.Power}))
					return nil
				}
			}
			return NewProblem(wire.CodeNotFound, "no_link")
		})
	}
}

// needs lets only requests pass that have what an address needs: a write with a view link is refused here. Who the maker
// is was asked before.
func (s *App) needs(need Need) func(http.Handler) http.Handler {
	return func(next http.Handler) http.Handler {
		if need == NeedsNothing || need == NeedsMaker {
			return next
		}
		return s.Handle(func(w http.ResponseWriter, r *http.Request) error {
			if !AccessOf(r).May(store.Power(need)) {
				return NewProblem(wire.CodeForbidden, "view_only")
			}
			next.ServeHTTP(w, r)
			return nil
		})
	}
}

// FigurePage starts a page of the figure that the request reached. Its name stands in the title before the figure's;
// the first page of a figure has none.
func (s *App) FigurePage(r *http.Request, figureTitle string, tab Tab) Page {
	a := AccessOf(r)
	title := figureTitle
	if tab.Page != "" {
		title = Speaker(r).Say(tab.Name) + " · " + figureTitle
	}
	p := s.NewPage(r, title)
	p.Maker = a.Maker
	p.Design = &Here{Base: a.Base, Title: figureTitle, Page: tab.Page}
	return p
}
