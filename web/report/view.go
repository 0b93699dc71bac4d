package report

import (
	"net/http"
	"strconv"
	"strings"

	"tuckring/internal/figure"
	"tuckring/internal/report"
	"tuckring/internal/store"
	"tuckring/internal/words"
	"tuckring/web/common"
	"tuckring/web/kernel"
)

// View is what the report page shows.
type View struct {
	common.Reckoning
	Base     string
	Form     *kernel.Form
	Groups   []FieldGroup
	Papers   []FieldGroup // one for each colour
	Nearby   *report.Nearby
	Was      *figure.Unit // the unit before a one-press change just now
	MayEdit  bool
	Saved    bool
	Pictures Pictures
}

// FieldGroup is fields of the form that stand together.
type FieldGroup struct {
	Key    string
	Name   string
	Mark   *common.Mark
	Fields []report.Field // seen at once
	More   []report.Field // behind a fold of the page, for those who want to go into detail
	Open   bool
}

func (s *room) reportView(r *http.Request, p kernel.Present, made *report.Report, form *kernel.Form) (View, error) {
	a := kernel.AccessOf(r)
	v := View{
		Reckoning: common.Reckon(p, made), Base: a.Base, Form: form,
		MayEdit: a.May(store.PowerEdit), Saved: r.URL.Query().Get("saved") != "",
		Was: oldUnit(r.URL.Query().Get("unit")),
	}
	v.group(kernel.Speaker(r), p)
	if made == nil {
		return v, nil
	}
	near, err := report.FindNearby(r.Context(), p.Figure, p.Settings)
	if err == nil { // no answer when the sheet of all colours is too small, though each colour has its own
		v.Nearby = &near
	}
	v.Pictures = picturesOf(kernel.Speaker(r), p, made)
	return v, nil
}

// group sorts the fields of the settings into the parts of the form.
func (v *View) group(say *words.Speaker, p kernel.Present) {
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

// runsText says a ring in signs: "8 S · 11 C · 7 S".
func runsText(m common.Marks, runs []report.Run) string {
	var out strings.Builder
	for i, run := range runs {
		if i > 0 {
			out.WriteString(" · ")
		}
		out.WriteString(strconv.Itoa(run.Units) + " " + m[run.Colour].Sign)
	}
	return out.String()
}

func tenths(v float64) string { return strconv.FormatFloat(v, 'f', 1, 64) }

func massText(v *View) words.Text {
	if v.Made.Shopping.PartSheets() > 0 {
		return words.T("reportpage.mass.whole")
	}
	return words.T("reportpage.mass.more")
}

// planText says how many sessions the work takes.
func planText(v *View) words.Text {
	plan := v.Made.Time.Plan
	key := "reportpage.sessions"
	if plan.CutBefore && v.Made.Cutting.Strokes > 0 {
		key = "reportpage.sessions.cut_before"
	}
	people := words.T("pace.people", "Count", plan.People)
	if plan.Low < plan.High {
		people = words.T("reportpage.sessions.range", "People", people, "Low", plan.Low, "High", plan.High)
	}
	return words.T(key, "Count", plan.Sessions, "Minutes", kernel.Digits(plan.SessionMin), "People", people)
}

// ringsOpen says how much the list of rings holds; parts may have rows that are no rings.
func ringsOpen(p kernel.Page, v *View) string {
	if len(v.Made.Units.ByPart) > 0 {
		return p.Say.T("reportpage.rows.open", "Count", len(v.Made.Rings))
	}
	return p.Say.T("reportpage.rings.open", "Count", len(v.Made.Rings))
}

// ringName is what the list of rings calls one: its number, and its part in a figure of several.
func ringName(p kernel.Page, v *View, ring int) string {
	r := v.Made.Rings[ring]
	for _, part := range v.Made.Units.ByPart {
		if part.Part == r.Part {
			return p.Say.T("figure.row_of", "Ring", r.Ring, "Part", part.Name)
		}
	}
	return strconv.Itoa(r.Ring)
}
