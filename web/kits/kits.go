// Package kits is the page /kits: labels for the bags of those who share the folding.
package kits

import (
	"net/http"

	"tuckring/internal/figure"
	"tuckring/internal/report"
	"tuckring/internal/words"
	"tuckring/web/common"
	"tuckring/web/kernel"
)

// room answers for the place: the kernel, as its handlers use it.
type room struct{ *kernel.App }

// Room is the place with its addresses, for the app to open.
func Room(app *kernel.App) kernel.Room {
	s := &room{App: app}
	return kernel.Room{Name: "kits", Heads: map[string]words.Text{"kits": words.T("kits.title")}, Routes: []kernel.Route{
		kernel.Get(kernel.OfFigure+"/kits", kernel.NeedsView, s.Kept(s.kits, kernel.Asks{Name: "people"})),
	}}
}

// View is the labels for the bags of those who share the folding.
type View struct {
	common.Printout
	Form *kernel.Form
}

// kits are labels to cut out, one for each person. ?people= asks for another number than the settings
// have, without keeping it.
func (s *room) kits(w http.ResponseWriter, r *http.Request) error {
	p, err := s.Present(r)
	if err != nil {
		return err
	}
	form, status := kernel.NewForm(map[string][]string{"people": {kernel.Digits(float64(p.Settings.People))}}, nil), http.StatusOK
	if r.URL.Query().Has("people") {
		form.Values["people"] = r.URL.Query()["people"]
		changed, faults := p.Settings.With(p.Figure, map[string]string{"people": form.Value("people")})
		if err := form.RefuseFaults(asError(faults)); err != nil {
			return err
		}
		p.Settings = changed
	}
	if !form.OK() {
		status = http.StatusUnprocessableEntity
	}
	made, err := report.Make(r.Context(), p.Figure, p.Settings)
	if err != nil {
		return common.NoReport(err)
	}
	purpose := words.T("kits.title")
	v := View{Form: form, Printout: common.Printout{Reckoning: common.Reckon(p, made), Base: kernel.AccessOf(r).Base, Purpose: purpose}}
	return kernel.Render(w, r, status, KitsPage(common.PrintPage(s.App, r, p.Figure.Title, purpose, common.UnderReport), v))
}

// asError makes no faults no error.
func asError(faults figure.Faults) error {
	if len(faults) == 0 {
		return nil
	}
	return faults
}

// kitUnits is what all kits hold together.
func kitUnits(made *report.Report) int { return made.Time.Work.Units }

// filledKits are the kits that hold something: with fewer units than people some hold nothing.
func filledKits(made *report.Report) (out []report.Kit) {
	for _, k := range made.Kits {
		if k.Units > 0 {
			out = append(out, k)
		}
	}
	return out
}
