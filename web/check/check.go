// Package check is the page /check: what was found when the figure was looked over, and its fixes.
package check

import (
	"net/http"
	"strconv"

	"tuckring/internal/figure"
	"tuckring/internal/findings"
	"tuckring/internal/store"
	"tuckring/internal/words"
	"tuckring/web/common"
	"tuckring/web/kernel"
)

var tab = kernel.Tab{Page: "check", Name: words.T("web.page.check")}

// room answers for the place: the kernel, as its handlers use it.
type room struct{ *kernel.App }

// Room is the place with its addresses, for the app to open.
func Room(app *kernel.App) kernel.Room {
	s := &room{App: app}
	return kernel.Room{Name: "check", Heads: map[string]words.Text{"check": words.T("checkpage.title")}, Routes: []kernel.Route{
		kernel.Get(kernel.OfFigure+"/check", kernel.NeedsView, s.Kept(s.check, kernel.Asks{Name: "done", Values: []string{"fix", "undo", "stuck"}})),
		kernel.Post(kernel.OfFigure+"/check", kernel.NeedsEdit, s.InTurn(s.putRight)),
		kernel.Post(kernel.OfFigure+"/check/undo", kernel.NeedsEdit, s.TakeBackOn(tab.Page)),
	}}
}

// Finding is a finding as the check page shows it.
type Finding struct {
	findings.Finding
	Place string // address of its place in the pattern, "" when it has none
	Ready bool   // it offers a fix that the reader may carry out
}

// Check is what the check page shows.
type Check struct {
	Counts words.Text
	Unread bool // usual settings stand in for those that cannot be read
	Groups []Group
	Base   string
	Done   words.Text // what was just done, zero for nothing
	Undo   bool       // it can be taken back here
	Wrong  words.Text // why the fix could not be carried out, zero when it was
}

// Group is all findings of one level.
type Group struct {
	Level findings.Level
	List  []Finding
}

// check shows what was found in the figure; it works without scripts.
func (s *room) check(w http.ResponseWriter, r *http.Request) error {
	return s.renderCheck(w, r, http.StatusOK, words.Text{})
}

func (s *room) renderCheck(w http.ResponseWriter, r *http.Request, status int, wrong words.Text) error {
	p, err := s.Present(r)
	if err != nil {
		return err
	}
	a, list := kernel.AccessOf(r), findings.Check(p.Figure, p.Gauge())
	c := Check{Counts: common.CountFindings(list), Unread: p.Unread, Groups: groupsOf(list, p.Figure, a.Base, a.May(store.PowerEdit)), Base: a.Base, Wrong: wrong}
	switch r.URL.Query().Get("done") {
	case "fix":
		c.Done, c.Undo = words.T("checkpage.fixed"), a.May(store.PowerEdit)
	case "undo", "stuck":
		c.Done = words.T(words.Among("checkpage.done.", r.URL.Query().Get("done"), "undo", "stuck"))
	}
	page := s.FigurePage(r, p.Figure.Title, tab)
	page.Running = kernel.RunningAddress(page, tab.Page)
	page.Styles = []string{"check"}
	return kernel.Render(w, r, status, CheckPage(page, c))
}

// groupsOf puts findings together by their level, each with the way to its place for whoever may edit.
func groupsOf(list []findings.Finding, of *figure.Figure, base string, mayEdit bool) []Group {
	var out []Group
	unrolled := figure.Unroll(of)
	for _, f := range list {
		if len(out) == 0 || out[len(out)-1].Level != f.Level {
			out = append(out, Group{Level: f.Level})
		}
		shown := Finding{Finding: f, Ready: f.Edit != nil && mayEdit}
		if mayEdit {
			shown.Place = placeOf(of, unrolled, base, f)
		}
		group := &out[len(out)-1]
		group.List = append(group.List, shown)
	}
	return out
}

// placeOf is the address that opens the editor at the finding's place: "#at-RING-UNIT". What concerns a whole ring is
// shown at its front.
func placeOf(of *figure.Figure, unrolled *figure.Unrolled, base string, f findings.Finding) string {
	if len(f.Cells) > 0 {
		return base + "#at-" + strconv.Itoa(int(f.Cells[0].Ring)) + "-" + strconv.Itoa(f.Cells[0].Unit)
	}
	if f.Ring > 0 {
		front, _ := unrolled.UnitAt(f.Ring-1, unrolled.FrontTurn())
		return base + "#at-" + strconv.Itoa(int(of.Rings[f.Ring-1].ID)) + "-" + strconv.Itoa(front)
	}
	return ""
}

// putRight carries out the fix of one finding, named by its key. A finding that is gone by now is said to
// be so.
func (s *room) putRight(w http.ResponseWriter, r *http.Request) error {
	if err := r.ParseForm(); err != nil {
		return kernel.CutShort(err)
	}
	p, err := s.Present(r)
	if err != nil {
		return err
	}
	for _, f := range findings.Check(p.Figure, p.Gauge()) {
		if f.Key != r.PostFormValue("finding") || f.Edit == nil {
			continue
		}
		if err := s.TakeStep(w, r, f.Edit); err != nil {
			faults, err := kernel.FaultsOf(err)
			if err != nil {
				return err
			}
			return s.renderCheck(w, r, http.StatusUnprocessableEntity, words.T("checkpage.refused", "What", faults[0].What, "Fix", faults[0].Fix))
		}
		http.Redirect(w, r, kernel.AccessOf(r).Base+"/check?done=fix", http.StatusSeeOther)
		return nil
	}
	return s.renderCheck(w, r, http.StatusConflict, words.T("checkpage.gone"))
}
