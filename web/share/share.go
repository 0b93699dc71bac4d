// Package share is the page /share: links to a figure, made and taken back.
package share

import (
	"net/http"
	"time"

	"github.com/go-chi/chi/v5"
	qr "github.com/piglig/go-qr"

	"tuckring/internal/store"
	"tuckring/internal/wire"
	"tuckring/internal/words"
	"tuckring/web/common"
	"tuckring/web/kernel"
)

var tab = kernel.Tab{Page: "share", Name: words.T("web.page.share"), OfMaker: true}

// room answers for the place: the kernel, as its handlers use it.
type room struct{ *kernel.App }

// Room is the place with its addresses, for the app to open.
func Room(app *kernel.App) kernel.Room {
	s := &room{App: app}
	return kernel.Room{Name: "share", Tab: &tab, Heads: map[string]words.Text{"share": words.T("web.share.title")}, Routes: []kernel.Route{
		kernel.Get(kernel.OfFigure+"/share", kernel.NeedsMaker, s.share),
		kernel.Post(kernel.OfFigure+"/share", kernel.NeedsMaker, s.makeLink),
		kernel.Get(kernel.OfFigure+"/share/{token}/code.svg", kernel.NeedsMaker, s.linkCode),
		kernel.Post(kernel.OfFigure+"/share/{token}/revoke", kernel.NeedsMaker, s.revokeLink),
	}}
}

// Link is a link as the share page shows it.
type Link struct {
	Token   string
	Power   store.Power
	Address string // whole address, to be copied
	Made    words.Text
}

// linkLetter is the first part of a link's address, by its power.
var linkLetter = map[store.Power]string{store.PowerView: "v", store.PowerBuild: "v", store.PowerEdit: "e"}

// share lists the links to a figure.
func (s *room) share(w http.ResponseWriter, r *http.Request) error {
	d, _, err := s.Store.Get(r.Context(), kernel.AccessOf(r).Design)
	if err != nil {
		return err
	}
	links, err := s.Store.Links(r.Context(), d.ID)
	if err != nil {
		return err
	}
	shown := make([]Link, len(links))
	for i, l := range links {
		shown[i] = Link{Token: l.Token, Power: l.Power, Made: common.When(l.Made, time.Now()), Address: s.linkAddress(r, l)}
	}
	page := s.FigurePage(r, d.Title, tab)
	page.Styles = []string{"shelf"}
	page.Running = kernel.RunningAddress(page, tab.Page)
	return kernel.Render(w, r, http.StatusOK, SharePage(page, shown, s.LAN))
}

// linkAddress is the whole address of a link, as somebody else types it: with --lan by this machine's
// address on the network, otherwise by the name the maker uses.
func (s *room) linkAddress(r *http.Request, l store.Link) string {
	host := r.Host
	if s.LAN {
		host = kernel.LanHost(host)
	}
	return "http://" + host + "/" + linkLetter[l.Power] + "/" + l.Token
}

// codeScale and codeBorder are the pixels of one module of a code, and the quiet zone around it in
// modules (ISO/IEC 18004: 4).
const codeScale, codeBorder = 4, 4

// linkCode draws a link's address as a code for a phone's camera (QR code, ISO/IEC 18004).
func (s *room) linkCode(w http.ResponseWriter, r *http.Request) error {
	links, err := s.Store.Links(r.Context(), kernel.AccessOf(r).Design)
	if err != nil {
		return err
	}
	for _, l := range links {
		if l.Token != chi.URLParam(r, "token") {
			continue
		}
		code, err := qr.EncodeText(s.linkAddress(r, l), qr.Medium)
		if err != nil {
			return err
		}
		svg, err := code.ToSVGBytes(qr.NewQrCodeImgConfig(codeScale, codeBorder, qr.WithOptimalSVG()))
		if err != nil {
			return err
		}
		w.Header().Set("Content-Type", kernel.MediaTypes[".svg"])
		_, _ = w.Write(svg) // the reader may be gone; nothing is left to do then
		return nil
	}
	return kernel.NewProblem(wire.CodeNotFound, "no_link")
}

// makeLink makes a link of the power that the form asks for.
func (s *room) makeLink(w http.ResponseWriter, r *http.Request) error {
	power := store.Power(r.PostFormValue("power"))
	if power != store.PowerView && power != store.PowerEdit {
		return kernel.NewProblem(wire.CodeInvalid, "form")
	}
	if _, err := s.Store.MakeLink(r.Context(), kernel.AccessOf(r).Design, power); err != nil {
		return err
	}
	http.Redirect(w, r, kernel.AccessOf(r).Base+"/share", http.StatusSeeOther)
	return nil
}

// revokeLink takes a link back: it opens nothing from now on.
func (s *room) revokeLink(w http.ResponseWriter, r *http.Request) error {
	token := chi.URLParam(r, "token")
	if err := s.Store.RevokeLink(r.Context(), kernel.AccessOf(r).Design, token); err != nil {
		return err
	}
	s.Live.End(kernel.AccessOf(r).Design, token)
	http.Redirect(w, r, kernel.AccessOf(r).Base+"/share", http.StatusSeeOther)
	return nil
}
