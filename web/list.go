package web

import (
	"errors"
	"net/http"
	"strings"
	"unicode/utf8"

	"tuckring/internal/figure"
	"tuckring/internal/report"
	"tuckring/internal/words"
)

func (s *Server) listRoom() Room {
	return Room{Name: "list", Heads: map[string]words.Text{"list": words.T("list.title")}, Routes: []Route{
		Get(OfFigure+"/list", NeedsView, s.kept(s.list)),
	}}
}

// Sheet is what a page to be printed from the report shows.
type Sheet struct {
	Reckoning
	Base    string
	Purpose words.Text // what the page is for
	Glued   []report.GluedPiece
}

// list is the shopping list.
func (s *Server) list(w http.ResponseWriter, r *http.Request) error {
	sheet, page, err := s.sheet(r, "list.title")
	if err != nil {
		return err
	}
	return render(w, r, http.StatusOK, ListPage(page, sheet))
}

// underReport is the page under which the pages to be printed stand in the navigation.
const underReport = "report"

// sheet makes the report for a page to be printed. Where it cannot be made, the refusal sends the
// reader to the report, whose form says what to change.
func (s *Server) sheet(r *http.Request, purpose string) (Sheet, Page, error) {
	p, err := s.present(r)
	if err != nil {
		return Sheet{}, Page{}, err
	}
	made, err := report.Make(r.Context(), p.Figure, p.Settings)
	if err != nil {
		return Sheet{}, Page{}, noReport(err)
	}
	sheet := Sheet{Reckoning: reckoningOf(p, made), Base: accessOf(r).base, Purpose: words.T(purpose), Glued: report.GluedPieces(p.Figure)}
	return sheet, s.printPage(r, p.Figure.Title, sheet.Purpose, underReport), nil
}

// printPage starts a page that is made to be printed: its title says what it is and of which figure.
func (s *Server) printPage(r *http.Request, figureTitle string, purpose words.Text, under string) Page {
	page := s.figurePage(r, figureTitle, Tab{Page: under, Name: purpose})
	page.Styles = []string{"report", "print"}
	page.Scripts = []string{"report"}
	page.Running = runningAddress(page, strings.TrimSuffix(purpose.Key, ".title"))
	return page
}

// noReport turns the faults of settings that do not go with the figure into a refusal of the page.
func noReport(err error) error {
	var faults figure.Faults
	if err == nil || !errors.As(err, &faults) {
		return err
	}
	p := problem(CodeRefused, "report", "Count", faults.Count())
	p.Faults = faults
	return p
}

// lineNote says what paper a line of the shopping list is, and what of it is at hand beside whole sheets.
func lineNote(l report.ShoppingLine) words.Text {
	out := words.T("list.sheet", "Sheet", l.Sheet, "Grammage", short(l.Grammage))
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
		add("list.part", "Count", part.Count, "Size", short(part.WidthMM)+" × "+short(part.HeightMM))
	}
	return out
}

// countedText says which units the list is for, so that they add up: units + spares − folded = to fold.
func countedText(s *Sheet) words.Text {
	shopping := &s.Made.Shopping
	units := words.T("figure.units", "Count", s.Made.Units.Total)
	spares := words.T("list.spares", "Count", shopping.Spare)
	counted := words.T("list.counts.all", "Units", units, "Spares", spares, "Percent", short(s.Settings.Spare))
	switch {
	case shopping.ToFold == 0:
		return words.T("list.counts.none", "Units", units)
	case shopping.Folded > 0:
		counted = words.T("list.counts.after", "Units", units, "Spares", spares, "Percent", short(s.Settings.Spare), "Folded", shopping.Folded, "Fold", shopping.ToFold)
	}
	if shopping.Cut > 0 {
		return words.T("list.counts.cut", "Counted", counted, "Count", shopping.Cut)
	}
	return counted
}

// roomy is how many characters of names and notes a list holds in its usual print; a longer one is set
// smaller, so that twelve colours still stand on one page.
const roomy = 700

func crowded(p Page, s *Sheet) bool {
	n := 0
	for _, l := range s.Made.Shopping.Lines {
		n += utf8.RuneCountInString(l.Name) + utf8.RuneCountInString(p.Say.Say(lineNote(l)))
	}
	return n > roomy
}

// anyStock tells whether some of the paper is at hand, so that the list needs columns for it.
func anyStock(s *Sheet) bool {
	for _, l := range s.Made.Shopping.Lines {
		if l.Own > 0 || l.FromPart > 0 || l.Cut > 0 || l.Folded > 0 {
			return true
		}
	}
	return false
}

// anyPack tells whether some of the paper is sold in packs.
func anyPack(s *Sheet) bool {
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
func gluedText(p Page, s *Sheet) string {
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

// hatches are patterns that tell colours apart in black and white, on a field of 20 × 20; the first
// twelve colours of a palette each have their own.
var hatches = [12]string{
	"",
	"M-2 12 12 -2M-2 22 22 -2M8 22 22 8",
	"M-2 8 12 22M-2 -2 22 22M8 -2 22 12",
	"M0 4H20M0 10H20M0 16H20",
	"M4 0V20M10 0V20M16 0V20",
	"M0 6H20M0 14H20M6 0V20M14 0V20",
	"M0 0 20 20M20 0 0 20M10 0 20 10 10 20 0 10Z",
	"M5 4v2M15 4v2M10 9v2M5 14v2M15 14v2",
	"M0 7 5 2 10 7 15 2 20 7M0 17 5 12 10 17 15 12 20 17",
	"M10 3 17 10 10 17 3 10Z",
	"M4 10a6 6 0 1 0 12 0a6 6 0 1 0 -12 0",
	"M10 3V17M3 10H17",
}

func hatch(number int) string { return hatches[number%len(hatches)] }
