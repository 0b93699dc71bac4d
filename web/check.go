package web

import (
	"context"
	"errors"
	"net/http"
	"strconv"

	"tuckring/internal/figure"
	"tuckring/internal/findings"
	"tuckring/internal/report"
	"tuckring/internal/store"
	"tuckring/internal/wire"
	"tuckring/internal/words"
)

var checkTab = Tab{Page: "check", Name: words.T("web.page.check")}

func (s *Server) checkRoom() Room {
	return Room{Name: "check", Heads: map[string]words.Text{"check": words.T("hold.check.title")}, Routes: []Route{
		Get(OfFigure+"/check", NeedsView, s.kept(s.check)),
		Post(OfFigure+"/check", NeedsEdit, s.inTurn(s.putRight)),
		Post(OfFigure+"/check/undo", NeedsEdit, s.takeBackOn(checkTab.Page)),
	}}
}

// try tells what an edit would change, without changing anything: the look ahead of the editor.
func (s *Server) try(w http.ResponseWriter, r *http.Request) error {
	var asked wire.TryAsk
	if err := readJSON(r, &asked); err != nil {
		return err
	}
	say := speaker(r)
	now, err := s.present(r)
	if err != nil {
		return err
	}
	out := wire.Trial{Rev: now.Rev}
	ask := wire.ReadAsk(1, asked.Edit)
	if ask.Faults == nil && ask.Edit == nil {
		return problemAt("edit", "try")
	}
	faults := ask.Faults
	if faults == nil {
		_, change, err := figure.Apply(now.Figure, ask.Edit)
		if err == nil {
			told, totals := wire.ChangeOf(now.Figure, change), report.TotalsOf(context.Background(), now.Figure, now.Settings)
			out.Change, out.Totals = &told, &totals
			for _, remark := range change.Remarks {
				out.Remarks = append(out.Remarks, say.Say(remark))
			}
		} else if faults, err = faultsOf(err); err != nil {
			return err
		}
	}
	if faults != nil {
		out.Refused = wire.RefusalOf(say, faults)
	}
	writeJSON(w, http.StatusOK, out)
	return nil
}

// faultsOf gives the faults that an edit was refused with, or the error when it is of another kind.
func faultsOf(err error) (figure.Faults, error) {
	var faults figure.Faults
	if errors.As(err, &faults) {
		return faults, nil
	}
	return nil, err
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
	Groups []CheckGroup
	Base   string
	Done   words.Text // what was just done, zero for nothing
	Undo   bool       // it can be taken back here
	Wrong  words.Text // why the fix could not be carried out, zero when it was
}

// CheckGroup is all findings of one level.
type CheckGroup struct {
	Level findings.Level
	List  []Finding
}

// check shows what was found in the figure; it works without scripts.
func (s *Server) check(w http.ResponseWriter, r *http.Request) error {
	return s.renderCheck(w, r, http.StatusOK, words.Text{})
}

func (s *Server) renderCheck(w http.ResponseWriter, r *http.Request, status int, wrong words.Text) error {
	p, err := s.present(r)
	if err != nil {
		return err
	}
	a, list := accessOf(r), findings.Check(p.Figure, p.Gauge())
	c := Check{Counts: countsOf(list), Groups: groupsOf(list, p.Figure, a.base, a.may(store.PowerEdit)), Base: a.base, Wrong: wrong}
	switch r.URL.Query().Get("done") {
	case "fix":
		c.Done, c.Undo = words.T("hold.check.fixed"), a.may(store.PowerEdit)
	case "undo", "stuck":
		c.Done = words.T(words.Among("hold.done.", r.URL.Query().Get("done"), "undo", "stuck"))
	}
	page := s.figurePage(r, p.Figure.Title, checkTab)
	page.Running = runningAddress(page, checkTab.Page)
	page.Styles = []string{"check"}
	return render(w, r, status, CheckPage(page, c))
}

func countsOf(list []findings.Finding) words.Text {
	faults, warnings, hints := findings.Count(list)
	if faults+warnings+hints == 0 {
		return words.T("hold.check.none")
	}
	aboutBuilding, aboutPattern := words.T("hold.check.warnings", "Count", warnings+faults), words.T("hold.check.hints", "Count", hints)
	switch {
	case hints == 0:
		return words.T("hold.check.counts.one", "Counted", aboutBuilding)
	case warnings+faults == 0:
		return words.T("hold.check.counts.one", "Counted", aboutPattern)
	}
	return words.T("hold.check.counts", "Warnings", aboutBuilding, "Hints", aboutPattern)
}

// groupsOf puts findings together by their level, each with the way to its place for whoever may edit.
func groupsOf(list []findings.Finding, of *figure.Figure, base string, mayEdit bool) []CheckGroup {
	var out []CheckGroup
	unrolled := figure.Unroll(of)
	for _, f := range list {
		if len(out) == 0 || out[len(out)-1].Level != f.Level {
			out = append(out, CheckGroup{Level: f.Level})
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
func (s *Server) putRight(w http.ResponseWriter, r *http.Request) error {
	if err := r.ParseForm(); err != nil {
		return cutShort(err)
	}
	p, err := s.present(r)
	if err != nil {
		return err
	}
	for _, f := range findings.Check(p.Figure, p.Gauge()) {
		if f.Key != r.PostFormValue("finding") || f.Edit == nil {
			continue
		}
		if err := s.step(w, r, f.Edit); err != nil {
			faults, err := faultsOf(err)
			if err != nil {
				return err
			}
			return s.renderCheck(w, r, http.StatusUnprocessableEntity, words.T("hold.check.refused", "What", faults[0].What, "Fix", faults[0].Fix))
		}
		http.Redirect(w, r, accessOf(r).base+"/check?done=fix", http.StatusSeeOther)
		return nil
	}
	return s.renderCheck(w, r, http.StatusConflict, words.T("hold.check.gone"))
}
