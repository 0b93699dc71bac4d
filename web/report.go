package web

import (
	"bytes"
	"errors"
	"io"
	"mime"
	"net/http"
	"strconv"
	"strings"

	"github.com/go-chi/chi/v5"

	"tuckring/internal/figure"
	"tuckring/internal/paper"
	"tuckring/internal/report"
	"tuckring/internal/words"
)

var reportTab = Tab{Page: "report", Name: words.T("web.page.report")}

func (s *Server) reportRoom() Room {
	return Room{Name: "report", Tab: &reportTab, Heads: map[string]words.Text{"reportpage": words.T("reportpage.title")}, Routes: []Route{
		Get(OfFigure+"/report", NeedsView, s.kept(s.report)),
		Get(OfFigure+"/report.json", NeedsView, s.kept(s.reportJSON)),
		Get(OfFigure+"/report.xlsx", NeedsView, s.kept(s.reportXLSX)),
		Get(OfFigure+"/report/{table}.csv", NeedsView, s.kept(s.reportCSV)),
		Post(OfFigure+"/report", NeedsEdit, s.inTurn(s.saveSettings)),
		Post(OfFigure+"/report/unit", NeedsEdit, s.takeUnit),
	}}
}

// report shows the report. Where the stored settings no longer go with the figure, it shows the form
// with what has to change, and no numbers.
func (s *Server) report(w http.ResponseWriter, r *http.Request) error {
	p, err := s.present(r)
	if err != nil {
		return err
	}
	form := settingsForm(p)
	r = r.WithContext(paper.Together(r.Context())) // so that the sizes close by share the report's work
	made, err := report.Make(r.Context(), p.Figure, p.Settings)
	if err := form.refuseFaults(err); err != nil {
		return err
	}
	return s.renderReport(w, r, http.StatusOK, p, made, form)
}

func (s *Server) renderReport(w http.ResponseWriter, r *http.Request, status int, p Present, made *report.Report, form *Form) error {
	if made != nil {
		made.LookOver(p.Figure, p.Settings)
	}
	v, err := s.reportView(r, p, made, form)
	if err != nil {
		return err
	}
	page := s.figurePage(r, p.Figure.Title, reportTab)
	page.Running = runningAddress(page, "reportpage")
	page.Styles = []string{"report", "print"}
	page.Scripts = []string{"report"}
	return render(w, r, status, ReportPage(page, v))
}

// saveSettings keeps the settings that were typed, all or none: what is refused is shown beside its
// field with everything as typed, and the numbers stay those of the kept settings.
func (s *Server) saveSettings(w http.ResponseWriter, r *http.Request) error {
	if err := r.ParseForm(); err != nil {
		return cutShort(err)
	}
	p, err := s.present(r)
	if err != nil {
		return err
	}
	changed, faults := p.Settings.With(p.Figure, typed(r.PostForm))
	err = nil
	if len(faults) > 0 {
		err = faults
	} else {
		_, err = report.Make(r.Context(), p.Figure, changed)
	}
	if err != nil {
		return s.refuseSettings(w, r, p, err)
	}
	if err := s.cfg.Store.SetSettings(r.Context(), p.ID, changed.Write()); err != nil {
		return err
	}
	http.Redirect(w, r, accessOf(r).base+"/report?saved=1", http.StatusSeeOther)
	return nil
}

func (s *Server) refuseSettings(w http.ResponseWriter, r *http.Request, p Present, refusal error) error {
	form := newForm(r.PostForm, nil)
	fill(form, p)
	if err := form.refuseFaults(refusal); err != nil {
		return err
	}
	r = r.WithContext(paper.Together(r.Context()))
	made, err := report.Make(r.Context(), p.Figure, p.Settings)
	if err != nil {
		made = nil // the kept settings do not go with the figure either; the form says what to change
	}
	return s.renderReport(w, r, http.StatusUnprocessableEntity, p, made, form)
}

// typed takes the last value of each field: a box that may be ticked sends "false" before its "true".
func typed(values map[string][]string) map[string]string {
	out := make(map[string]string, len(values))
	for name, v := range values {
		if len(v) > 0 {
			out[name] = v[len(v)-1]
		}
	}
	return out
}

// settingsForm holds the settings as they are kept.
func settingsForm(p Present) *Form {
	form := newForm(map[string][]string{}, nil)
	fill(form, p)
	return form
}

// fill puts the kept value into every field that nothing was typed into.
func fill(f *Form, p Present) {
	for _, field := range p.Settings.Fields(p.Figure) {
		if _, given := f.Values[field.Name]; !given {
			f.Values[field.Name] = []string{field.Value}
		}
	}
}

// last is what stands in a field of which more than one value was sent.
func (f *Form) last(field string) string {
	v := f.Values[field]
	if len(v) == 0 {
		return ""
	}
	return v[len(v)-1]
}

// refuseFaults notes faults beside their fields; any other error comes back.
func (f *Form) refuseFaults(err error) error {
	var faults figure.Faults
	if err == nil || !errors.As(err, &faults) {
		return err
	}
	for _, fault := range faults {
		f.refuse(fault.Where, fault.What, fault.Fix)
	}
	return nil
}

// takeUnit gives the figure's units another size, by a step in the log like any other.
func (s *Server) takeUnit(w http.ResponseWriter, r *http.Request) error {
	if err := r.ParseForm(); err != nil {
		return cutShort(err)
	}
	form := newForm(r.PostForm, nil)
	edit := &figure.SetUnit{
		LongMM:  form.length("long", figure.MinUnitMM, figure.MaxUnitMM),
		ShortMM: form.length("short", figure.MinUnitMM, figure.MaxUnitMM),
		Fold:    figure.Fold(form.Value("fold")),
	}
	if !form.OK() {
		return problem(CodeInvalid, "form")
	}
	before, err := s.present(r)
	if err != nil {
		return err
	}
	if err := s.step(w, r, edit); err != nil {
		return err
	}
	was := short(before.Figure.Unit.LongMM) + "x" + short(before.Figure.Unit.ShortMM) + "x" + string(before.Figure.Unit.Fold)
	http.Redirect(w, r, accessOf(r).base+"/report?unit="+was+"#sizes", http.StatusSeeOther)
	return nil
}

// reportFile makes the report for one of its files; a report that cannot be made is a refusal.
func (s *Server) reportFile(r *http.Request) (*report.Report, error) {
	p, err := s.present(r)
	if err != nil {
		return nil, err
	}
	made, err := report.Make(r.Context(), p.Figure, p.Settings)
	return made, noReport(err)
}

// reportJSON is what `tuckring report --json` prints, with the design's own settings.
func (s *Server) reportJSON(w http.ResponseWriter, r *http.Request) error {
	p, err := s.present(r)
	if err != nil {
		return err
	}
	made, err := report.Make(r.Context(), p.Figure, p.Settings)
	if err != nil {
		return noReport(err)
	}
	made.LookOver(p.Figure, p.Settings)
	return handOut(w, made.Title, "report.json", "application/json", func(out io.Writer) error {
		return report.WriteJSON(out, made)
	})
}

// reportXLSX is all tables as one workbook.
func (s *Server) reportXLSX(w http.ResponseWriter, r *http.Request) error {
	made, err := s.reportFile(r)
	if err != nil {
		return err
	}
	const kind = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"
	return handOut(w, made.Title, "xlsx", kind, func(out io.Writer) error {
		return report.XLSX(out, speaker(r), made.Tables())
	})
}

// reportCSV is one table as RFC 4180 writes it.
func (s *Server) reportCSV(w http.ResponseWriter, r *http.Request) error {
	made, err := s.reportFile(r)
	if err != nil {
		return err
	}
	for _, t := range made.Tables() {
		if t.Key == chi.URLParam(r, "table") {
			return handOut(w, made.Title, t.Key+".csv", "text/csv; charset=utf-8; header=present", func(out io.Writer) error {
				return t.CSV(out, speaker(r))
			})
		}
	}
	return notFound()
}

// handOut hands out a file named for the figure. It is made whole before a byte is sent.
func handOut(w http.ResponseWriter, title, ending, kind string, write func(io.Writer) error) error {
	var body bytes.Buffer
	if err := write(&body); err != nil {
		return err
	}
	w.Header().Set("Content-Type", kind)
	w.Header().Set("Content-Disposition", mime.FormatMediaType("attachment", map[string]string{"filename": fileName(title) + "." + ending}))
	_, _ = w.Write(body.Bytes()) // the reader may be gone; nothing is left to do then
	return nil
}

// oldUnit reads the size that a figure had before a one-press change: "53x37xdoubled".
func oldUnit(text string) *figure.Unit {
	parts := strings.Split(text, "x")
	if len(parts) != 3 {
		return nil
	}
	long, okLong := decimal(parts[0])
	wide, okShort := decimal(parts[1])
	fold := figure.Fold(parts[2])
	if !okLong || !okShort || (fold != figure.Doubled && fold != figure.Single) {
		return nil
	}
	return &figure.Unit{LongMM: long, ShortMM: wide, Fold: fold}
}

// measuredText says a unit's paper, in inches too if asked for: "52 × 37 mm (2.05 × 1.46 in)".
func measuredText(u figure.Unit, inches bool) words.Text {
	if !inches {
		return unitText(u)
	}
	hundredths := func(mm float64) string { return strconv.FormatFloat(paper.Inches(mm), 'f', 2, 64) }
	return words.T("reportpage.unit_in", "Unit", unitText(u), "Long", hundredths(u.LongMM), "Short", hundredths(u.ShortMM))
}

// unitText says a unit's paper: "52 × 37 mm".
func unitText(u figure.Unit) words.Text {
	return words.T("reportpage.unit", "Long", short(u.LongMM), "Short", short(u.ShortMM))
}
