package common

import (
	"errors"
	"net/http"
	"strings"

	"tuckring/internal/figure"
	"tuckring/internal/report"
	"tuckring/internal/wire"
	"tuckring/internal/words"
	"tuckring/web/kernel"
)

// Printout is what a page to be printed from the report shows.
type Printout struct {
	Reckoning
	Base    string
	Purpose words.Text // what the page is for
	Glued   []report.GluedPiece
}

// UnderReport is the page under which the pages to be printed stand in the navigation.
const UnderReport = "report"

// NewPrintout makes the report for a page to be printed. Where it cannot be made, the refusal sends the
// reader to the report, whose form says what to change.
func NewPrintout(app *kernel.App, r *http.Request, purpose string) (Printout, kernel.Page, error) {
	p, err := app.Present(r)
	if err != nil {
		return Printout{}, kernel.Page{}, err
	}
	made, err := report.Make(r.Context(), p.Figure, p.Settings)
	if err != nil {
		return Printout{}, kernel.Page{}, NoReport(err)
	}
	sheet := Printout{Reckoning: Reckon(p, made), Base: kernel.AccessOf(r).Base, Purpose: words.T(purpose), Glued: report.GluedPieces(p.Figure)}
	return sheet, PrintPage(app, r, p.Figure.Title, sheet.Purpose, UnderReport), nil
}

// PrintPage starts a page that is made to be printed: its title says what it is and of which figure.
func PrintPage(app *kernel.App, r *http.Request, figureTitle string, purpose words.Text, under string) kernel.Page {
	page := app.FigurePage(r, figureTitle, kernel.Tab{Page: under, Name: purpose})
	page.Styles = []string{"report", "print"}
	page.Scripts = []string{"report"}
	page.Running = kernel.RunningAddress(page, strings.TrimSuffix(purpose.Key, ".title"))
	return page
}

// NoReport turns the faults of settings that do not go with the figure into a refusal of the page.
func NoReport(err error) error {
	var faults figure.Faults
	if err == nil || !errors.As(err, &faults) {
		return err
	}
	p := kernel.NewProblem(wire.CodeRefused, "report", "Count", faults.Count())
	p.Faults = faults
	return p
}
