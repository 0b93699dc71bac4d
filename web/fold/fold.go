// Package fold is the page /fold: how a unit is folded, step by step and as a drawing that moves, how units are tucked together,
// and how the first rings are made.
package fold

import (
	"encoding/json"
	"errors"
	"net/http"

	"github.com/go-chi/chi/v5"

	"tuckring/internal/draw"
	"tuckring/internal/figure"
	paper "tuckring/internal/fold"
	"tuckring/internal/wire"
	"tuckring/internal/words"
	"tuckring/web/common"
	"tuckring/web/kernel"
)

// room answers for the place: the kernel, as its handlers use it.
type room struct{ *kernel.App }

// Room is the place with its addresses, for the app to open.
func Room(app *kernel.App) kernel.Room {
	s := &room{App: app}
	return kernel.Room{Name: "fold", Heads: map[string]words.Text{"foldpage": words.T("foldpage.title")}, Routes: []kernel.Route{
		kernel.Get(kernel.OfFigure+"/fold", kernel.NeedsView, s.Kept(s.fold)),
		kernel.Get(kernel.OfFigure+"/fold/{picture}.svg", kernel.NeedsView, s.picture),
	}}
}

// Sizes of the pictures, mm.
const (
	stepWidth, stepHeight       = 62.0, 44.0
	tuckWidth, tuckHeight       = 56.0, 50.0
	creasesWidth, creasesHeight = 90.0, 50.0
	signsWidth, narrowSigns     = 170.0, 78.0
)

// View is what the page shows.
type View struct {
	Base    string
	Units   int
	Lead    words.Text
	Trouble string // why the paper cannot be folded; "" when it can
	Steps   []Shown
	Unit    string // drawing of the finished unit
	Creases string
	Signs   [2]string // drawings for wide and for narrow screens
	Moving  string    // the sheet as it is folded, for the script (wire.Folding)
	Tucks   []Shown
	First   []Shown
}

// Shown is a picture with its words: a drawing, or the address of one.
type Shown struct {
	Text    words.Text
	Drawing string
	Address string
}

// fold shows how the units of a figure are folded and tucked.
func (s *room) fold(w http.ResponseWriter, r *http.Request) error {
	p, err := s.Present(r)
	if err != nil {
		return err
	}
	say := kernel.Speaker(r)
	v := View{Base: kernel.AccessOf(r).Base, Units: p.Figure.Units()}
	u := p.Figure.Unit
	v.Lead = words.T("draw.handout.unit."+string(u.Fold), "Long", kernel.Digits(u.LongMM), "Short", kernel.Digits(u.ShortMM), "Count", v.Units)
	pattern, err := paper.NewPattern(u)
	var why words.Text
	switch {
	case errors.As(err, &why):
		v.Trouble = say.Say(why)
	case err != nil:
		return err
	default:
		if err := v.steps(pattern, say); err != nil {
			return err
		}
	}
	for _, how := range draw.Tucks {
		v.Tucks = append(v.Tucks, Shown{Text: words.T("draw.tuck." + string(how)), Address: v.Base + "/fold/" + string(how) + ".svg"})
	}
	for _, step := range draw.Joinings {
		v.First = append(v.First, Shown{Text: words.T("draw.join." + string(step)), Address: v.Base + "/fold/" + string(step) + ".svg"})
	}
	page := common.PrintPage(s.App, r, p.Figure.Title, words.T("foldpage.title"), "build")
	page.Styles = append(page.Styles, "fold")
	page.Scripts = append(page.Scripts, "fold")
	return kernel.Render(w, r, http.StatusOK, FoldPage(page, v))
}

// steps makes the pictures of one unit.
func (v *View) steps(pattern *paper.Pattern, say *words.Speaker) error {
	for _, st := range pattern.Steps {
		v.Steps = append(v.Steps, Shown{Text: st.Text, Drawing: string(draw.FoldStep(st, stepWidth, stepHeight, say).SVG())})
	}
	v.Unit = string(draw.FoldedUnit(pattern, 1.2*stepWidth, 1.2*stepHeight, say).SVG())
	v.Creases = string(draw.Creases(pattern, creasesWidth, creasesHeight, say).SVG())
	for i, width := range []float64{signsWidth, narrowSigns} {
		v.Signs[i] = string(draw.FoldSigns(width, say).SVG())
	}
	moving, err := json.Marshal(wire.FoldingOf(pattern, say))
	v.Moving = string(moving)
	return err
}

// picture is one of how units are tucked and how the first rings are made.
func (s *room) picture(w http.ResponseWriter, r *http.Request) error {
	name := chi.URLParam(r, "picture")
	pen := penOf(name, kernel.Speaker(r))
	if pen == nil {
		return kernel.NotFound()
	}
	return common.SendDrawing(s.App, w, r, "fold "+name, pen)
}

func penOf(name string, say *words.Speaker) func(*figure.Figure) *draw.Drawing {
	for _, how := range draw.Tucks {
		if name == string(how) {
			return func(f *figure.Figure) *draw.Drawing { return draw.Tucking(f.Unit, how, tuckWidth, tuckHeight, say) }
		}
	}
	for _, step := range draw.Joinings {
		if name == string(step) {
			return func(f *figure.Figure) *draw.Drawing { return draw.FirstRings(f.Unit, step, tuckWidth, tuckHeight, say) }
		}
	}
	return nil
}
