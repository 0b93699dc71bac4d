package web

import (
	"net/http"
	"strconv"
	"strings"

	"github.com/a-h/templ"

	"tuckring/internal/figure"
	"tuckring/internal/paper"
	"tuckring/internal/report"
	"tuckring/internal/store"
	"tuckring/internal/words"
)

// Reckoning is a report with what its numbers are shown by.
type Reckoning struct {
	Made     *report.Report // nil when the settings do not go with the figure
	Settings report.Settings
	Marks    Marks
	Unit     figure.Unit
}

// reckoningOf is a report of a design.
func reckoningOf(p Present, made *report.Report) Reckoning {
	return Reckoning{Made: made, Settings: p.Settings, Marks: marksOf(p.Figure), Unit: p.Figure.Unit}
}

// ReportView is what the report page shows.
type ReportView struct {
	Reckoning
	Base     string
	Form     *Form
	Groups   []FieldGroup
	Papers   []FieldGroup // one for each colour
	Nearby   *report.Nearby
	Was      *figure.Unit // the unit before a one-press change just now
	MayEdit  bool
	Saved    bool
	Unread   bool
	Pictures Pictures
}

// FieldGroup is fields of the form that stand together.
type FieldGroup struct {
	Key    string
	Name   string
	Mark   *Mark
	Fields []report.Field // seen at once
	More   []report.Field // behind a fold of the page, for those who want to go into detail
	Open   bool
}

// Mark is how a colour is told apart, on screen and in black and white: its sign, name and colour.
type Mark struct {
	ID, Sign, Name, Hex string
	Number              int // place in the palette, from 0
}

// Marks are the marks of a figure's colours, by the colour's ID.
type Marks map[string]Mark

func marksOf(f *figure.Figure) Marks {
	signs := f.Signs()
	m := make(Marks, len(f.Colours))
	for i, c := range f.Colours {
		m[c.ID] = Mark{c.ID, signs[i], c.Name, c.Hex, i}
	}
	return m
}

// seldom are the fields of the form that most makers leave alone.
var seldom = map[string]bool{"thickness_mm": true, "kerf_mm": true, "stack_mm": true, "paces": true,
	"swatch_long_mm": true, "swatch_short_mm": true, "swatch_fold": true}

func (s *Server) reportView(r *http.Request, p Present, made *report.Report, form *Form) (ReportView, error) {
	a := accessOf(r)
	v := ReportView{
		Reckoning: reckoningOf(p, made), Base: a.base, Form: form,
		MayEdit: a.may(store.PowerEdit), Saved: r.URL.Query().Get("saved") != "", Unread: p.Unread,
		Was: oldUnit(r.URL.Query().Get("unit")),
	}
	v.group(speaker(r), p)
	if made == nil {
		return v, nil
	}
	near, err := report.FindNearby(r.Context(), p.Figure, p.Settings)
	if err == nil { // no answer when the sheet of all colours is too small, though each colour has its own
		v.Nearby = &near
	}
	v.Pictures = picturesOf(speaker(r), p, made)
	return v, nil
}

// formGroups are the parts of the settings form beside those of single colours.
var formGroups = []string{string(report.GroupPaper), string(report.GroupTime), string(report.GroupSize)}

// group sorts the fields of the settings into the parts of the form.
func (v *ReportView) group(say *words.Speaker, p Present) {
	at := map[string]int{}
	for _, field := range p.Settings.Fields(p.Figure) {
		key := string(field.Group)
		list := &v.Groups
		if field.Group == report.GroupColour {
			key, list = field.Colour, &v.Papers
		}
		if _, known := at[key]; !known {
			at[key] = len(*list)
			g := FieldGroup{Key: key}
			if field.Group == report.GroupColour {
				mark := v.Marks[key]
				g.Mark, g.Name = &mark, mark.Name
			} else {
				g.Name = say.T(words.Among("reportpage.group.", key, formGroups...))
			}
			*list = append(*list, g)
		}
		g := &(*list)[at[key]]
		if len(v.Form.Wrong[field.Name]) > 0 {
			g.Open = true
		}
		if seldom[field.Name] || isOwnTime(field) {
			g.More = append(g.More, field)
		} else {
			g.Fields = append(g.Fields, field)
		}
	}
}

func isOwnTime(f report.Field) bool { return strings.HasPrefix(f.Name, "time.") }

// source finds where a number comes from.
func (v *Reckoning) source(key string) []words.Text {
	for _, s := range v.Made.Sources {
		if s.Key == key {
			return s.Text
		}
	}
	return nil
}

// assumed says in one line what the numbers rest on.
func (v *ReportView) assumed(say *words.Speaker) string {
	s := &v.Settings
	return say.T("reportpage.assumed", "Sheet", s.Sheet, "Grammage", short(s.Grammage), "Spare", short(s.Spare),
		"People", words.T("pace.people", "Count", s.People), "Pace", words.T("pace.profile."+s.Pace))
}

// runsText says a ring in signs: "8 S · 11 C · 7 S".
func runsText(m Marks, runs []report.Run) string {
	var out strings.Builder
	for i, run := range runs {
		if i > 0 {
			out.WriteString(" · ")
		}
		out.WriteString(strconv.Itoa(run.Units) + " " + m[run.Colour].Sign)
	}
	return out.String()
}

// numeric tells whether a column of a table holds numbers.
func numeric(t report.Table, column int) bool {
	for _, row := range t.Rows {
		switch row[column].(type) {
		case int, float64:
			return true
		}
	}
	return false
}

// colourMarks are the marks of the colours in the order of the report's tables.
func colourMarks(v *Reckoning) []Mark {
	out := make([]Mark, len(v.Made.Paper.ByColour))
	for i, c := range v.Made.Paper.ByColour {
		out[i] = v.Marks[c.Colour]
	}
	return out
}

func tenths(v float64) string { return strconv.FormatFloat(v, 'f', 1, 64) }

// foldText says what is counted in the units to fold: units of the figure and spares, less those folded already.
func foldText(r *report.Report) words.Text {
	s := &r.Shopping
	spares := words.T("reportpage.fold.more", "Count", s.Spare)
	switch {
	case s.ToFold == 0:
		return words.T("reportpage.fold.none", "Count", s.Folded)
	case s.Folded > 0:
		return words.T("reportpage.fold.after", "Spares", spares, "Count", s.Folded)
	}
	return spares
}

// takenText says which sheets are taken beside whole ones, what a sheet gives, and what the figure would take with
// nothing at hand.
func takenText(p Page, v *Reckoning) string {
	out := sheetsText(p, v)
	shopping := &v.Made.Shopping
	if n := shopping.PartSheets(); n > 0 {
		out = p.Say.T("reportpage.sheets.parts", "Count", n) + "; " + out
	}
	if shopping.FromStock() {
		out += "; " + p.Say.T("reportpage.sheets.whole", "Count", v.Made.Paper.Sheets)
	}
	return out
}

func massText(v *ReportView) words.Text {
	if v.Made.Shopping.PartSheets() > 0 {
		return words.T("reportpage.mass.whole")
	}
	return words.T("reportpage.mass.more")
}

// sheetsText says which sheets are used and how many units each gives.
func sheetsText(p Page, v *Reckoning) string {
	out, seen := "", map[string]bool{}
	for _, c := range v.Made.Paper.ByColour {
		if seen[c.Sheet] {
			continue
		}
		seen[c.Sheet] = true
		if out != "" {
			out += "; "
		}
		out += p.Say.T("reportpage.sheets.more", "Sheet", c.Sheet, "Count", c.PerSheet)
	}
	return out
}

// costText says what is to be paid, as far as it is known.
func costText(p Page, shopping *report.Shopping) string {
	switch {
	case shopping.Buy == 0:
		return p.Say.T("reportpage.cost.nothing")
	case len(shopping.Costs) == 0:
		return p.Say.T("reportpage.cost.unknown")
	}
	out := ""
	for i, m := range shopping.Costs {
		if i > 0 {
			out += " + "
		}
		out += m.String()
	}
	if !shopping.Priced {
		return p.Say.T("reportpage.cost.part", "Cost", out)
	}
	return out
}

// buyText says what is to be bought.
func buyText(p Page, shopping *report.Shopping) string {
	packs := words.T("reportpage.of_packs", "Count", shopping.Packs)
	if of := shopping.PackOf(); of > 0 {
		packs = words.T("reportpage.of_packs_alike", "Count", shopping.Packs, "Of", of)
	}
	sheets := words.T("reportpage.of_sheets", "Count", shopping.Buy)
	switch {
	case shopping.Packs > 0 && shopping.Single > 0:
		return p.Say.Say(words.T("reportpage.buy.mixed", "Packs", packs, "Single", words.T("reportpage.single", "Count", shopping.Single)))
	case shopping.Packs > 0:
		return p.Say.Say(words.T("reportpage.buy.packs", "Packs", packs, "Sheets", sheets))
	case shopping.Single > 0:
		return p.Say.T("reportpage.buy.sheets", "Count", shopping.Buy)
	}
	return p.Say.T("reportpage.buy.nothing")
}

func peopleText(p Page, v *Reckoning) string {
	return p.Say.Say(words.T("reportpage.people", "People", words.T("pace.people", "Count", v.Made.Time.People),
		"Pace", words.T("pace.profile."+v.Made.Time.Pace)))
}

// planText says how many sessions the work takes.
func planText(v *ReportView) words.Text {
	plan := v.Made.Time.Plan
	key := "reportpage.sessions"
	if plan.CutBefore && v.Made.Cutting.Strokes > 0 {
		key = "reportpage.sessions.cut_before"
	}
	people := words.T("pace.people", "Count", plan.People)
	if plan.Low < plan.High {
		people = words.T("reportpage.sessions.range", "People", people, "Low", plan.Low, "High", plan.High)
	}
	return words.T(key, "Count", plan.Sessions, "Minutes", short(plan.SessionMin), "People", people)
}

// isTick tells a field that is a box to tick.
func isTick(f report.Field) bool {
	return len(f.Choices) == 2 && f.Choices[0].Value == "true" && f.Choices[1].Value == "false"
}

func moreWrong(form *Form, fields []report.Field) bool {
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
func settingAttributes(form *Form, f report.Field) templ.Attributes {
	a := templ.Attributes{"aria-describedby": form.describedBy(f.Name, "hint")}
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
func settingValue(p Page, f report.Field) string {
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
