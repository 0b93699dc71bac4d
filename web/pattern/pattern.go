// Package pattern is the first page of a figure: the editor for whoever may change it, a page to look at for everybody
// else, and all that both ask for: the state, edits, events, findings, history, pictures, the pattern to print.
package pattern

import (
	"net/http"
	"strconv"
	"sync"

	"tuckring/internal/figure"
	"tuckring/internal/report"
	"tuckring/internal/store"
	"tuckring/internal/wire"
	"tuckring/internal/words"
	"tuckring/web/kernel"
)

// room answers for the place: the kernel, as its handlers use it, and what it remembers.
type room struct {
	*kernel.App
	last     sync.Map                      // the stepTotals of figures that were changed, by design
	counter  counter                       // whose totals are being counted
	pictures pictures                      // that are being laid
	reckon   func(store.Now) report.Totals // TotalsOf
}

// Room is the place with its addresses, for the app to open.
func Room(app *kernel.App) kernel.Room { return newRoom(app).open() }

func newRoom(app *kernel.App) *room {
	s := &room{App: app, reckon: TotalsOf}
	if app.Store != nil {
		app.Store.SetWatch(s.announce)
	}
	return s
}

func (s *room) open() kernel.Room {
	return kernel.Room{Name: "pattern", Tab: &kernel.Tab{Name: words.T("web.page.pattern")}, Routes: []kernel.Route{
		kernel.Get(kernel.OfFigure, kernel.NeedsView, s.pattern),
		kernel.Get(kernel.OfFigure+"/picture.svg", kernel.NeedsView, s.picture),
		kernel.Get(kernel.OfFigure+"/pattern.svg", kernel.NeedsView, s.patternPicture),
		kernel.Get(kernel.OfFigure+"/pattern", kernel.NeedsView, s.patternPrint),
		kernel.Get(kernel.OfFigure+"/state", kernel.NeedsView, s.state),
		kernel.Get(kernel.OfFigure+"/rings", kernel.NeedsMaker, s.rings),
		kernel.Get(kernel.OfFigure+"/rings/others", kernel.NeedsMaker, s.others),
		kernel.Get(kernel.OfFigure+"/events", kernel.NeedsView, s.events),
		kernel.Get(kernel.OfFigure+"/findings", kernel.NeedsView, s.Kept(s.findings)),
		kernel.Post(kernel.OfFigure+"/try", kernel.NeedsEdit, s.try),
		kernel.Post(kernel.OfFigure+"/picture", kernel.NeedsEdit, s.keepPicture),
		kernel.Post(kernel.OfFigure+"/picture/try", kernel.NeedsEdit, s.tryPicture),
		kernel.Post(kernel.OfFigure+"/picture/sheets", kernel.NeedsEdit, s.readSheets),
		kernel.Post(kernel.OfFigure+"/edits", kernel.NeedsEdit, s.edits),
		kernel.Post(kernel.OfFigure+"/here", kernel.NeedsEdit, s.here),
		kernel.Get(kernel.OfFigure+"/history", kernel.NeedsEdit, s.history),
		kernel.Get(kernel.OfFigure+"/at/{rev}.svg", kernel.NeedsEdit, s.pictureAt),
	}}
}

// Shell is what the pattern editor needs to know before it asks for the figure's state.
type Shell struct {
	Base    string // address of the figure under the reader's power
	Power   string // "view", "build" or "edit"
	Title   string
	Picture string // address of the figure's picture, shown until the editor is there
}

// pattern is the first page of a figure: the editor for whoever may change it, a page to look at for
// everybody else.
func (s *room) pattern(w http.ResponseWriter, r *http.Request) error {
	a := kernel.AccessOf(r)
	if !a.May(store.PowerEdit) {
		return s.view(w, r)
	}
	var shell Shell
	err := s.Store.Look(r.Context(), a.Design, func(n store.Now) error {
		rev := strconv.FormatInt(n.Rev, 10)
		shell = Shell{Base: a.Base, Power: string(a.Power), Title: n.Figure.Title, Picture: a.Base + "/picture.svg?rev=" + rev}
		return nil
	})
	if err != nil {
		return err
	}
	kernel.Person(w, r) // now, so that the editor's first requests, which come together, find one cookie
	return kernel.Render(w, r, http.StatusOK, Page(s.FigurePage(r, shell.Title, kernel.Tab{}), shell))
}

// patternPage adds what the editor needs to a page of the figure.
func patternPage(p kernel.Page, e Shell) kernel.Page {
	p.Title = e.Title
	p.Wide = true
	p.Client = true
	p.Styles = append(p.Styles, "pattern", "stand", "pattern-print")
	p.Scripts = append(p.Scripts, "pattern")
	return p
}

// readyPapers lists the ready papers with their names in the reader's language.
func readyPapers(say *words.Speaker) []wire.ReadyPaper {
	out := make([]wire.ReadyPaper, len(figure.Papers))
	for i, paper := range figure.Papers {
		out[i] = wire.ReadyPaper{ID: paper.ID, Name: say.Say(paper.Name()), Hex: paper.Hex}
	}
	return out
}
