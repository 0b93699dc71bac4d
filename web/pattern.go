package web

import (
	"net/http"
	"strconv"

	"tuckring/internal/figure"
	"tuckring/internal/store"
	"tuckring/internal/wire"
	"tuckring/internal/words"
)

func (s *Server) patternRoom() Room {
	return Room{Name: "pattern", Tab: &Tab{Name: words.T("web.page.pattern")}, Routes: []Route{
		Get(OfFigure, NeedsView, s.pattern),
		Get(OfFigure+"/picture.svg", NeedsView, s.picture),
		Get(OfFigure+"/pattern.svg", NeedsView, s.patternPicture),
		Get(OfFigure+"/pattern", NeedsView, s.patternPrint),
		Get(OfFigure+"/state", NeedsView, s.state),
		Get(OfFigure+"/events", NeedsView, s.events),
		Get(OfFigure+"/findings", NeedsView, s.kept(s.findings)),
		Post(OfFigure+"/try", NeedsEdit, s.try),
		Post(OfFigure+"/edits", NeedsEdit, s.edits),
		Post(OfFigure+"/here", NeedsEdit, s.here),
		Get(OfFigure+"/history", NeedsEdit, s.history),
		Get(OfFigure+"/at/{rev}.svg", NeedsEdit, s.pictureAt),
	}}
}

// PatternShell is what the pattern editor needs to know before it asks for the figure's state.
type PatternShell struct {
	Base    string // address of the figure under the reader's power
	Power   string // "view", "build" or "edit"
	Title   string
	Picture string // address of the figure's picture, shown until the editor is there
}

// pattern is the first page of a figure: the editor for whoever may change it, a page to look at for
// everybody else.
func (s *Server) pattern(w http.ResponseWriter, r *http.Request) error {
	a := accessOf(r)
	if !a.may(store.PowerEdit) {
		return s.view(w, r)
	}
	var shell PatternShell
	err := s.cfg.Store.Look(r.Context(), a.design, func(n store.Now) error {
		rev := strconv.FormatInt(n.Rev, 10)
		shell = PatternShell{Base: a.base, Power: string(a.power), Title: n.Figure.Title, Picture: a.base + "/picture.svg?rev=" + rev}
		return nil
	})
	if err != nil {
		return err
	}
	person(w, r) // now, so that the editor's first requests, which come together, find one cookie
	return render(w, r, http.StatusOK, PatternPage(s.figurePage(r, shell.Title, Tab{}), shell))
}

// patternPage adds what the editor needs to a page of the figure.
func patternPage(p Page, e PatternShell) Page {
	p.Title = e.Title
	p.Wide = true
	p.Client = true
	p.Styles = append(p.Styles, "pattern", "stand", "patternprint")
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
