// Package common is what several rooms show: the marks of colours, numbers and tables of the report, shopping in words,
// instructions, the head of what is printed, drawings. It knows no room.
package common

import (
	"tuckring/internal/figure"
	"tuckring/internal/report"
	"tuckring/internal/words"
	"tuckring/web/kernel"
)

// Reckoning is a report with what its numbers are shown by.
type Reckoning struct {
	Made     *report.Report // nil when the settings do not go with the figure
	Settings report.Settings
	Marks    Marks
	Unit     figure.Unit
	Unread   bool // the stored settings cannot be read, so that the usual ones stand in for them
}

// Reckon is a report of a design.
func Reckon(p kernel.Present, made *report.Report) Reckoning {
	return Reckoning{Made: made, Settings: p.Settings, Marks: MarksOf(p.Figure), Unit: p.Figure.Unit, Unread: p.Unread}
}

// source finds where a number comes from.
func (v *Reckoning) source(key string) []words.Text {
	for _, s := range v.Made.Sources {
		if s.Key == key {
			return s.Text
		}
	}
	return nil
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

// ColourMarks are the marks of the colours in the order of the report's tables.
func ColourMarks(v *Reckoning) []Mark {
	out := make([]Mark, len(v.Made.Paper.ByColour))
	for i, c := range v.Made.Paper.ByColour {
		out[i] = v.Marks[c.Colour]
	}
	return out
}

// FoldText says what is counted in the units to fold: units of the figure and spares, less those folded already.
func FoldText(r *report.Report) words.Text {
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

// TakenText says which sheets are taken beside whole ones, what a sheet gives, and what the figure would take with
// nothing at hand.
func TakenText(p kernel.Page, v *Reckoning) string {
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

// sheetsText says which sheets are used and how many units each gives.
func sheetsText(p kernel.Page, v *Reckoning) string {
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

func PeopleText(p kernel.Page, v *Reckoning) string {
	return p.Say.Say(words.T("reportpage.people", "People", words.T("pace.people", "Count", v.Made.Time.People),
		"Pace", words.T("pace.profile."+v.Made.Time.Pace)))
}
