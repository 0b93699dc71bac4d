// Package list is the page /list: the shopping list.
package list

import (
	"net/http"
	"strings"
	"unicode/utf8"

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
	return kernel.Room{Name: "list", Heads: map[string]words.Text{"list": words.T("list.title")}, Routes: []kernel.Route{
		kernel.Get(kernel.OfFigure+"/list", kernel.NeedsView, s.Kept(s.list)),
	}}
}

// list is the shopping list.
func (s *room) list(w http.ResponseWriter, r *http.Request) error {
	sheet, page, err := common.NewPrintout(s.App, r, "list.title")
	if err != nil {
		return err
	}
	return kernel.Render(w, r, http.StatusOK, ListPage(page, sheet))
}

// lineNote says what paper a line of the shopping list is, and what of it is at hand beside whole sheets.
func lineNote(l report.ShoppingLine) words.Text {
	out := words.T("list.sheet", "Sheet", l.Sheet, "Grammage", kernel.Digits(l.Grammage))
	add := func(key string, pairs ...any) {
		out = words.T("list.and", "One", out, "Other", words.T(key, pairs...))
	}
	if l.Sides != "" {
		add("list.sides", "Sides", words.T(words.Among("report.sides.", l.Sides, "both", "one")))
	}
	if l.Folded > 0 {
		add("list.folded", "Count", l.Folded)
	}
	if l.Cut > 0 {
		add("list.cut", "Count", l.Cut)
	}
	for _, part := range l.Parts {
		add("list.part", "Count", part.Count, "Size", kernel.Digits(part.WidthMM)+" × "+kernel.Digits(part.HeightMM))
	}
	return out
}

// countedText says which units the list is for, so that they add up: units + spares − folded = to fold.
func countedText(s *common.Printout) words.Text {
	shopping := &s.Made.Shopping
	units := words.T("figure.units", "Count", s.Made.Units.Total)
	spares := words.T("list.spares", "Count", shopping.Spare)
	counted := words.T("list.counts.all", "Units", units, "Spares", spares, "Percent", kernel.Digits(s.Settings.Spare))
	switch {
	case shopping.ToFold == 0:
		return words.T("list.counts.none", "Units", units)
	case shopping.Folded > 0:
		counted = words.T("list.counts.after", "Units", units, "Spares", spares, "Percent", kernel.Digits(s.Settings.Spare), "Folded", shopping.Folded, "Fold", shopping.ToFold)
	}
	if shopping.Cut > 0 {
		return words.T("list.counts.cut", "Counted", counted, "Count", shopping.Cut)
	}
	return counted
}

// roomy is how many characters of names and notes a list holds in its usual print; a longer one is set
// smaller, so that twelve colours still stand on one page.
const roomy = 700

func crowded(p kernel.Page, s *common.Printout) bool {
	n := 0
	for _, l := range s.Made.Shopping.Lines {
		n += utf8.RuneCountInString(l.Name) + utf8.RuneCountInString(p.Say.Say(lineNote(l)))
	}
	return n > roomy
}

// anyStock tells whether some of the paper is at hand, so that the list needs columns for it.
func anyStock(s *common.Printout) bool {
	for _, l := range s.Made.Shopping.Lines {
		if l.Own > 0 || l.FromPart > 0 || l.Cut > 0 || l.Folded > 0 {
			return true
		}
	}
	return false
}

// anyPack tells whether some of the paper is sold in packs.
func anyPack(s *common.Printout) bool {
	for _, l := range s.Made.Shopping.Lines {
		if l.PackOf > 1 {
			return true
		}
	}
	return false
}

// leftText says what of a colour is left over when all units are cut.
func leftText(l report.ShoppingLine) words.Text {
	if l.Left == 0 {
		return words.T("list.left.units", "Count", l.LeftLast)
	}
	return words.T("list.left.both", "Count", l.Left, "Units", words.T("list.left.units", "Count", l.LeftLast))
}

// gluedText lists the pieces that are glued on: "2 × disc of 14 mm, Orange".
func gluedText(p kernel.Page, s *common.Printout) string {
	var out []string
	for _, g := range s.Glued {
		text := p.Say.Say(words.T("list.glued", "Count", g.Count, "Size", g.Size()))
		if m, ok := s.Marks[g.Colour]; ok {
			text += " (" + m.Name + ")"
		}
		out = append(out, text)
	}
	return strings.Join(out, ", ")
}
