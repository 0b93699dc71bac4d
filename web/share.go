package web

import (
	"net/http"
	"time"

	"github.com/go-chi/chi/v5"
	qr "github.com/piglig/go-qr"

	"tuckring/internal/store"
	"tuckring/internal/words"
)

var shareTab = Tab{Page: "share", Name: words.T("web.page.share"), OfMaker: true}

func (s *Server) shareRoom() Room {
	return Room{Name: "share", Tab: &shareTab, Heads: map[string]words.Text{"share": words.T("web.share.title")}, Routes: []Route{
		Get(OfFigure+"/share", NeedsMaker, s.share),
		Post(OfFigure+"/share", NeedsMaker, s.makeLink),
		Get(OfFigure+"/share/{token}/code.svg", NeedsMaker, s.linkCode),
		Post(OfFigure+"/share/{token}/revoke", NeedsMaker, s.revokeLink),
	}}
}

// SharedLink is a link as the share page shows it.
type SharedLink struct {
	Token   string
	Power   store.Power
	Address string // whole address, to be copied
	Made    words.Text
}

// linkLetter is the first part of a link's address, by its power.
var linkLetter = map[store.Power]string{store.PowerView: "v", store.PowerBuild: "v", store.PowerEdit: "e"}

// share lists the links to a figure.
func (s *Server) share(w http.ResponseWriter, r *http.Request) error {
	d, _, err := s.cfg.Store.Get(r.Context(), accessOf(r).design)
	if err != nil {
		return err
	}
	links, err := s.cfg.Store.Links(r.Context(), d.ID)
	if err != nil {
		return err
	}
	shown := make([]SharedLink, len(links))
	for i, l := range links {
		shown[i] = SharedLink{Token: l.Token, Power: l.Power, Made: when(l.Made, time.Now()), Address: s.linkAddress(r, l)}
	}
	page := s.figurePage(r, d.Title, shareTab)
	page.Styles = []string{"shelf"}
	page.Running = runningAddress(page, shareTab.Page)
	return render(w, r, http.StatusOK, SharePage(page, shown, s.cfg.LAN))
}

// linkAddress is the whole address of a link, as somebody else types it: with --lan by this machine's
// address on the network, otherwise by the name the maker uses.
func (s *Server) linkAddress(r *http.Request, l store.Link) string {
	host := r.Host
	if s.cfg.LAN {
		host = lanHost(host)
	}
	return "http://" + host + "/" + linkLetter[l.Power] + "/" + l.Token
}

// codeScale and codeBorder are the pixels of one module of a code, and the quiet zone around it in
// modules (ISO/IEC 18004: 4).
const codeScale, codeBorder = 4, 4

// linkCode draws a link's address as a code for a phone's camera (QR code, ISO/IEC 18004).
func (s *Server) linkCode(w http.ResponseWriter, r *http.Request) error {
	links, err := s.cfg.Store.Links(r.Context(), accessOf(r).design)
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
		w.Header().Set("Content-Type", mediaTypes[".svg"])
		_, _ = w.Write(svg) // the reader may be gone; nothing is left to do then
		return nil
	}
	return problem(CodeNotFound, "no_link")
}

// makeLink makes a link of the power that the form asks for.
func (s *Server) makeLink(w http.ResponseWriter, r *http.Request) error {
	power := store.Power(r.PostFormValue("power"))
	if power != store.PowerView && power != store.PowerEdit {
		return problem(CodeInvalid, "form")
	}
	if _, err := s.cfg.Store.MakeLink(r.Context(), accessOf(r).design, power); err != nil {
		return err
	}
	http.Redirect(w, r, accessOf(r).base+"/share", http.StatusSeeOther)
	return nil
}

// revokeLink takes a link back: it opens nothing from now on.
func (s *Server) revokeLink(w http.ResponseWriter, r *http.Request) error {
	token := chi.URLParam(r, "token")
	if err := s.cfg.Store.RevokeLink(r.Context(), accessOf(r).design, token); err != nil {
		return err
	}
	s.live.End(accessOf(r).design, token)
	http.Redirect(w, r, accessOf(r).base+"/share", http.StatusSeeOther)
	return nil
}
