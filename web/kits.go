package web

import (
	"net/http"

	"tuckring/internal/figure"
	"tuckring/internal/report"
	"tuckring/internal/words"
)

func (s *Server) kitsRoom() Room {
	return Room{Name: "kits", Heads: map[string]words.Text{"kits": words.T("kits.title")}, Routes: []Route{
		Get(OfFigure+"/kits", NeedsView, s.kept(s.kits)),
	}}
}

// KitsView is the labels for the bags of those who share the folding.
type KitsView struct {
	Sheet
	Form *Form
}

// kits are labels to cut out, one for each person. ?people= asks for another number than the settings
// have, without keeping it.
func (s *Server) kits(w http.ResponseWriter, r *http.Request) error {
	p, err := s.present(r)
	if err != nil {
		return err
	}
	form, status := newForm(map[string][]string{"people": {short(float64(p.Settings.People))}}, nil), http.StatusOK
	if r.URL.Query().Has("people") {
		form.Values["people"] = r.URL.Query()["people"]
		changed, faults := p.Settings.With(p.Figure, map[string]string{"people": form.Value("people")})
		if err := form.refuseFaults(asError(faults)); err != nil {
			return err
		}
		p.Settings = changed
	}
	if !form.OK() {
		status = http.StatusUnprocessableEntity
	}
	made, err := report.Make(r.Context(), p.Figure, p.Settings)
	if err != nil {
		return noReport(err)
	}
	purpose := words.T("kits.title")
	v := KitsView{Form: form, Sheet: Sheet{Reckoning: reckoningOf(p, made), Base: accessOf(r).base, Purpose: purpose}}
	return render(w, r, status, KitsPage(s.printPage(r, p.Figure.Title, purpose, underReport), v))
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
