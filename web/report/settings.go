package report

import (
	"net/http"
	"strings"

	"github.com/a-h/templ"

	"tuckring/internal/paper"
	"tuckring/internal/report"
	"tuckring/internal/words"
	"tuckring/web/kernel"
)

// replaceUnread is the field of a form whose page said that saving it replaces settings that cannot be read.
const replaceUnread = "replace_unread"

// saveSettings keeps the settings that were typed, all or none: what is refused is shown beside its
// field with everything as typed, and the numbers stay those of the kept settings.
func (s *room) saveSettings(w http.ResponseWriter, r *http.Request) error {
	if err := r.ParseForm(); err != nil {
		return kernel.CutShort(err)
	}
	p, err := s.Present(r)
	if err != nil {
		return err
	}
	if r.PostForm.Get(replaceUnread) != "" {
		p.Unread = false // the page said so beside the form
	}
	if err := p.Replaceable(); err != nil {
		return err
	}
	changed, faults := p.Settings.With(p.Figure, lastValues(r.PostForm))
	err = nil
	if len(faults) > 0 {
		err = faults
	} else {
		_, err = report.Make(r.Context(), p.Figure, changed)
	}
	if err != nil {
		return s.refuseSettings(w, r, p, err)
	}
	p.Settings = changed
	if err := s.KeepSettings(r.Context(), p); err != nil {
		return err
	}
	http.Redirect(w, r, kernel.AccessOf(r).Base+"/report?saved=1", http.StatusSeeOther)
	return nil
}

func (s *room) refuseSettings(w http.ResponseWriter, r *http.Request, p kernel.Present, refusal error) error {
	form := kernel.NewForm(r.PostForm, nil)
	fill(form, p)
	if err := form.RefuseFaults(refusal); err != nil {
		return err
	}
	r = r.WithContext(paper.Together(r.Context()))
	made, err := report.Make(r.Context(), p.Figure, p.Settings)
	if err != nil {
		made = nil // the kept settings do not go with the figure either; the form says what to change
	}
	return s.renderReport(w, r, http.StatusUnprocessableEntity, p, made, form)
}

// lastValues takes the last value of each field: a box that may be ticked sends "false" before its "true".
func lastValues(values map[string][]string) map[string]string {
	out := make(map[string]string, len(values))
	for name, v := range values {
		if len(v) > 0 {
			out[name] = v[len(v)-1]
		}
	}
	return out
}

// settingsForm holds the settings as they are kept.
func settingsForm(p kernel.Present) *kernel.Form {
	form := kernel.NewForm(map[string][]string{}, nil)
	fill(form, p)
	return form
}

// fill puts the kept value into every field that nothing was typed into.
func fill(f *kernel.Form, p kernel.Present) {
	for _, field := range p.Settings.Fields(p.Figure) {
		if _, given := f.Values[field.Name]; !given {
			f.Values[field.Name] = []string{field.Value}
		}
	}
}

// seldom are the fields of the form that most makers leave alone.
var seldom = map[string]bool{"thickness_mm": true, "kerf_mm": true, "stack_mm": true, "paces": true,
	"swatch_long_mm": true, "swatch_short_mm": true, "swatch_fold": true}

// formGroups are the parts of the settings form beside those of single colours.
var formGroups = []string{string(report.GroupPaper), string(report.GroupTime), string(report.GroupSize)}

func isOwnTime(f report.Field) bool { return strings.HasPrefix(f.Name, "time.") }

// assumed says in one line what the numbers rest on.
func (v *View) assumed(say *words.Speaker) string {
	s := &v.Settings
	return say.T("reportpage.assumed", "Sheet", s.Sheet, "Grammage", kernel.Digits(s.Grammage), "Spare", kernel.Digits(s.Spare),
		"People", words.T("pace.people", "Count", s.People), "Pace", words.T("pace.profile."+s.Pace))
}

// isTick tells a field that is a box to tick.
func isTick(f report.Field) bool {
	return len(f.Choices) == 2 && f.Choices[0].Value == "true" && f.Choices[1].Value == "false"
}

func moreWrong(form *kernel.Form, fields []report.Field) bool {
	for _, f := range fields {
		if len(form.Wrong[f.Name]) > 0 {
			return true
		}
	}
	return false
}

// sheetNames are the sheets that have a name, offered while typing.
func sheetNames() []string {
	var out []string
	for _, s := range paper.Sheets() {
		out = append(out, s.Name)
	}
	return out
}

// settingAttributes tie a field to its hint and to what is wrong with it.
func settingAttributes(form *kernel.Form, f report.Field) templ.Attributes {
	a := templ.Attributes{"aria-describedby": form.DescribedBy(f.Name, "hint")}
	if len(form.Wrong[f.Name]) > 0 {
		a["aria-invalid"] = "true"
	}
	switch {
	case f.Name == "sheet" || strings.HasSuffix(f.Name, ".sheet"):
		a["list"] = "sheet-names"
	case f.Measure != "" && f.Name != "stopwatch" && !strings.HasSuffix(f.Name, "stock_parts"):
		a["class"], a["inputmode"] = "number", "decimal"
	}
	return a
}

// settingValue shows a setting to somebody who may only look.
func settingValue(p kernel.Page, f report.Field) string {
	for _, c := range f.Choices {
		if c.Value == f.Value {
			return p.Say.Say(c.Label)
		}
	}
	if f.Measure != "" {
		return f.Value + " " + f.Measure
	}
	return f.Value
}
