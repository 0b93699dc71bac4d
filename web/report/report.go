// Package report is the page /report: the numbers and what they rest on, the settings, and the report's files.
package report

import (
	"net/http"

	"tuckring/internal/paper"
	"tuckring/internal/report"
	"tuckring/internal/words"
	"tuckring/web/kernel"
)

var tab = kernel.Tab{Page: "report", Name: words.T("web.page.report")}

// room answers for the place: the kernel, as its handlers use it.
type room struct{ *kernel.App }

// Room is the place with its addresses, for the app to open.
func Room(app *kernel.App) kernel.Room {
	s := &room{App: app}
	return kernel.Room{Name: "report", Tab: &tab, Heads: map[string]words.Text{"reportpage": words.T("reportpage.title")}, Routes: []kernel.Route{
		kernel.Get(kernel.OfFigure+"/report", kernel.NeedsView, s.Kept(s.report, kernel.Asks{Name: "saved", Values: []string{"1"}}, kernel.Asks{Name: "unit"})),
		kernel.Get(kernel.OfFigure+"/report.json", kernel.NeedsView, s.Kept(s.reportJSON)),
		kernel.Get(kernel.OfFigure+"/report.xlsx", kernel.NeedsView, s.Kept(s.reportXLSX)),
		kernel.Get(kernel.OfFigure+"/report/{table}.csv", kernel.NeedsView, s.Kept(s.reportCSV)),
		kernel.Post(kernel.OfFigure+"/report", kernel.NeedsEdit, s.InTurn(s.saveSettings)),
		kernel.Post(kernel.OfFigure+"/report/unit", kernel.NeedsEdit, s.takeUnit),
	}}
}

// report shows the report. Where the stored settings no longer go with the figure, it shows the form
// with what has to change, and no numbers.
func (s *room) report(w http.ResponseWriter, r *http.Request) error {
	p, err := s.Present(r)
	if err != nil {
		return err
	}
	form := settingsForm(p)
	r = r.WithContext(paper.Together(r.Context())) // so that the sizes close by share the report's work
	made, err := report.Make(r.Context(), p.Figure, p.Settings)
	if err := form.RefuseFaults(err); err != nil {
		return err
	}
	return s.renderReport(w, r, http.StatusOK, p, made, form)
}

func (s *room) renderReport(w http.ResponseWriter, r *http.Request, status int, p kernel.Present, made *report.Report, form *kernel.Form) error {
	if made != nil {
		made.LookOver(p.Figure, p.Settings)
	}
	v, err := s.reportView(r, p, made, form)
	if err != nil {
		return err
	}
	page := s.FigurePage(r, p.Figure.Title, tab)
	page.Running = kernel.RunningAddress(page, "reportpage")
	page.Styles = []string{"report", "print"}
	page.Scripts = []string{"report"}
	return kernel.Render(w, r, status, Page(page, v))
}
