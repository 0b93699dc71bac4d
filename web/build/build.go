// Package build is the page /build: what to do ring by ring, to be ticked off.
package build

import (
	"net/http"

	"tuckring/internal/words"
	"tuckring/web/common"
	"tuckring/web/kernel"
)

var tab = kernel.Tab{Page: "build", Name: words.T("web.page.build")}

// room answers for the place: the kernel, as its handlers use it.
type room struct{ *kernel.App }

// Room is the place with its addresses, for the app to open.
func Room(app *kernel.App) kernel.Room {
	s := &room{App: app}
	return kernel.Room{Name: "build", Tab: &tab, Heads: map[string]words.Text{"buildpage": words.T("buildpage.title")}, Routes: []kernel.Route{
		kernel.Get(kernel.OfFigure+"/build", kernel.NeedsView, s.Kept(s.build)),
	}}
}

// build is the build sheet: what to do ring by ring, to be ticked off.
func (s *room) build(w http.ResponseWriter, r *http.Request) error {
	p, err := s.Present(r)
	if err != nil {
		return err
	}
	v := common.Instruct(p.Figure)
	v.Base = kernel.AccessOf(r).Base
	page := common.PrintPage(s.App, r, p.Figure.Title, words.T("buildpage.title"), tab.Page)
	page.Scripts = append(page.Scripts, "build")
	return kernel.Render(w, r, http.StatusOK, BuildPage(page, v))
}
